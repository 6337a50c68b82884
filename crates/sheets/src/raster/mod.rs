//! Pixels of a sheet: pieces of art drawn at their place, band by band.

mod compose;
mod light;
mod resample;
mod stamp;

pub(crate) use compose::{BATCH_ROWS, Composer, Overlay};
