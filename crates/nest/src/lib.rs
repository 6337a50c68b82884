//! Laying designs out on sheets and rolls at least cost.
//!
//! In: an [`Instance`] of designs with quantities and stock with prices. Out: a
//! [`Layout`] with its cost and a bound no layout can beat, passed by a checker
//! that shares no code with the search. What a price means and where an outline
//! comes from is left to others.
//!
//! Reading order: `instance` (what is asked and answered), `solve` (the search
//! as a whole), `batches` (very many designs), `parts`, `forbidden` and `pair_book` (where two pieces may
//! lie), `board`, `fill`, `separate` (with its `raster`), `strip` (the moves), `stock_sets` (cheaper sets of
//! stock) and `blocks` (sets filled without waste), `bound`, `check`; `form` reads and writes JSON.

mod answer;
mod batches;
mod blocks;
mod board;
mod bound;
mod check;
pub mod codes;
mod convolve;
mod door;
mod fill;
mod first;
mod forbidden;
pub mod form;
mod instance;
mod lanes;
mod pair_book;
mod parts;
mod price;
mod random;
mod raster;
mod separate;
mod solve;
mod spares;
mod stock_sets;
mod strip;

pub use bound::grown_area;
pub use check::{Verdict, check, check_within};
pub use instance::{Design, Direction, Instance, Layout, LockedPiece, Piece, Rotations, Sheet, Stock, StockKind, Trim};
pub use pair_book::PairBook;
pub use price::{Trimming, reprice, trimming};
pub use report::Refusal;
pub use solve::{Settings, solve, solve_knowing};
