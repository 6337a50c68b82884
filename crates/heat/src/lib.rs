//! Heat through a press: a stack of layers, what happens at the bond line, and
//! what to set.
//!
//! In: layers and joints, boundaries and phases, a maker's recipe. Out:
//! temperatures over time, dose, dwell, window, cooling, platen behaviour, each
//! with its doubt. The model is one-dimensional and says nothing of bond
//! strength; the maker's own sheet outranks it always. It knows nothing of
//! garments and orders.
//!
//! Numbers inside are plain `f64`: SI except lengths in mm and temperatures in
//! °C, as each field's name says.

pub mod assembly;
pub mod boundary;
pub mod calibrate;
pub mod case;
pub mod cloth;
pub mod codes;
mod column;
pub mod cooling;
pub mod dose;
pub mod doubt;
pub mod error;
pub mod form;
pub mod later;
pub mod layer;
pub mod leeway;
pub mod limits;
pub mod pace;
pub mod platen;
pub mod press;
pub mod properties;
pub mod session;
pub mod window;

pub use error::HeatError;
