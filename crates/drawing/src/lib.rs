//! SVG pictures: one writer, and a module per kind of picture.
//!
//! In: shapes and results of the engines, in millimetres or chart units. Out:
//! SVG text that stands alone. Text is escaped, every picture has a title and a
//! description, and limits are named on the picture itself.

mod art;
mod break_even;
mod garment;
mod heat;
mod layout;
mod svg;
mod table;
mod timeline;

pub use self::art::{ArtText, BoxText, art_findings, before_after};
pub use self::break_even::{BreakEvenText, break_even};
pub use self::garment::{ArtImage, GarmentPicture, Labelled, PrintOn, TemplateWords, garment_picture, template_pages};
pub use self::heat::{
    Curve, HeatText, Limit, LimitKind, Moment, WindowMarks, WindowText, constraint_colour, heat_curves, heat_window,
    trace_points,
};
pub use layout::{LayoutText, layout, layout_sheets, layout_stretch, stretches};
pub use svg::{Anchor, Style, Svg, palette};
pub use table::{Handled, sheet_to_handle};
pub use timeline::{TimelineRow, TimelineText, timeline, timeline_table, timeline_windows};
