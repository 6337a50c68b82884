//! PNG files written band by band.

mod bands;
mod chunks;

pub(crate) use bands::{BAND_ROWS, BandWriter, is_blank};
pub(crate) use chunks::{Header, Pixels};
