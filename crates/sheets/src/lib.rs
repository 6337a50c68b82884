//! Print and cut files, true to size and the right way round.
//!
//! In: laid-out sheets with their art. Out: PNG and PDF for a film printer, SVG, DXF and
//! HP-GL for a cutter, a map of the sheet for the person who sorts it. Writes to what it
//! is given; files and folders are the caller's.

pub mod codes;
mod cut;
mod error;
mod extras;
mod layers;
mod letters;
mod map;
mod marks;
mod pdf;
mod png_file;
mod print_png;
mod raster;
mod sheet;
mod split;

pub use cut::{
    CutKind, CutPath, CutPiece, CutPlan, CutSheet, Knife, Marks, UNITS_PER_MM, Weed, cut_dxf, cut_hpgl, cut_paths,
    cut_svg,
};
pub use error::{SheetError, file_too_large, outline_narrowed};
pub use layers::layer_piece;
pub use map::{HandCuts, LabelCount, MapEntry, SheetMap, StraightCut, hand_cuts, sheet_map};
pub use pdf::{LONGEST_PAGE_MM, PdfFile, pdf, white_pdf};
pub use print_png::{PngReport, look_over, write_png, write_white_png};
pub use sheet::{LetClothShow, PlacedArt, PrintSheet, Reading, Screen, SpotNames, White};
pub use split::split;
