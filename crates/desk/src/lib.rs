//! One function for each thing a person does: plan an order, look at the demo,
//! check a shop folder; and everything done with a shop that is kept ([`kept`]).
//!
//! In: folders, settings, a watch. Out: finished folders and what to say. This
//! room owns clock, disk and child processes; what is decided is decided in the
//! rooms above it.

mod art_folder;
mod art_pictures;
mod art_reader;
pub mod codes;
mod demo;
mod first_shop;
mod heat_pictures;
mod job;
pub mod kept;
mod mark;
mod output;
mod pictures;
mod refusal;
mod safe_folder;
mod shop_folder;
mod summary;
mod try_place;
mod what_if;
mod workplace;

pub use art_folder::{ArtFolder, read_arts};
pub use art_pictures::{art_file, art_picture, box_picture};
pub use art_reader::{READER_VERB, ReaderLimits, answer_as_reader, read_art, read_art_by, read_art_with};
pub use demo::{DEMO_TODAY, Demo, demo, demo_shop, put_demo};
pub use first_shop::{FirstShop, FirstTransfer, first_shop};
pub use job::{PlanRequest, Planned, order_file, plan_orders, today};
pub use pictures::{layout_picture, schedule_picture};
pub use refusal::Refusal;
pub use shop_folder::{ShopFolder, read_shop};
pub use summary::{explanation, finding_lines, summary};
pub use try_place::{TriedPlace, Trying, try_place};
pub use what_if::{PressCase, Tried};
