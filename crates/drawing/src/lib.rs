//! SVG pictures: one writer, and a module per kind of picture.
//!
//! In: shapes and results of the engines, in millimetres or chart units. Out:
//! SVG text that stands alone. Text is escaped, every picture has a title and a
//! description, and limits are named on the picture itself.

mod svg;

pub use svg::{Anchor, Style, Svg, palette};
