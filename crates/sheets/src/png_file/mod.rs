//! PNG files written band by band.

mod bands;
mod chunks;
mod filters;

pub(crate) use bands::{BAND_ROWS, BandWriter};
pub(crate) use chunks::{Header, Pixels};
pub(crate) use filters::is_blank;
