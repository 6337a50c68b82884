//! Pixels of a sheet: pieces of art drawn at their place, band by band.

mod choke;
mod compose;
mod ink;
mod light;
mod resample;
mod screen;
mod stamp;

pub(crate) use choke::{Cover, choked, reach};
pub(crate) use compose::{BATCH_ROWS, Composer};
pub(crate) use ink::overlays;
pub(crate) use screen::Threshold;
pub(crate) use stamp::Stamp;
