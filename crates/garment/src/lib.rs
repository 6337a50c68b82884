//! Garments as shapes by size, positions, and how a press reaches them.
//!
//! In: a style and a size with a few measures ([`trade`]), a position as people
//! say it, art of a size, the shop's platens and pillows. Out: flat panels with
//! what is sewn on ([`flat()`]), the print in its place with tape measures
//! ([`place`]), how it is loaded and isolated ([`reach()`]) or the nearest that
//! works, what must be asked first ([`halts`]), the order of pressing, a paper
//! template. Left is always the wearer's left. Money and sheets are not known here.

mod apart;
mod blocked;
mod closing;
pub mod codes;
mod curve;
mod fit;
mod flat;
mod halts;
mod layers;
mod measures;
mod nearest;
mod order;
mod panel;
mod place;
mod position;
mod reach;
mod sizes;
mod template;
mod why;

pub use apart::apart;
pub use fit::PlatenPlace;
pub use flat::flat;
pub use halts::{HaltCase, halts};
pub use measures::{ask_for, measure_terms};
pub use order::{Pressing, PressingOrder, order_on_garment};
pub use panel::{Beside, Flat, Landmark, LineKind, Obstacle, ObstacleKind, Panel, PanelShape, Trim};
pub use place::{Direction, Placed, TapeMeasure, place};
pub use position::{Position, read_position};
pub use reach::{Alternative, Change, Isolation, LoadWay, Nearest, Reach, Under, UnderPlaten, Unreachable, reach};
pub use sizes::{CHEST_SHARE_HIGH, CHEST_SHARE_LOW, SizePlan, SizeRange, SizedArt, Sizing, size_plan, usual_size};
pub use template::{Template, TemplateLine, paper_template, pocket_art};
