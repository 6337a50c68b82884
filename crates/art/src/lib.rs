//! The customer's art: read safely, measured truly, with what must change.
//!
//! In: the bytes of an SVG, PNG, JPEG, WebP or PDF file. Out: [`CleanArt`] — its
//! content's name, one picture in straight sRGB or plain paths, the outline of the
//! ink, its colours — and findings. At a size and for a transfer's limits, [`measure`]
//! says what will not hold. Garments, sheets and money are left to others.

mod alignment;
mod background;
mod clean;
pub mod codes;
mod colour;
mod colour_regions;
mod contour;
mod coverage;
mod deviation;
mod distance;
mod emblem;
mod fill;
mod film;
pub mod form;
mod grid;
mod halftone;
mod hash;
mod layers;
mod measure;
mod outline;
mod paints;
mod pdf;
mod picture;
mod profile;
mod raster;
mod read;
mod repair;
mod resample;
mod svg;
mod thickness;
mod thin;
mod trace;
mod vector;

pub use alignment::{alignment_marks, with_marks};
pub use background::BackgroundBox;
pub use clean::{CleanArt, LEAST_SIDE_MM, MOST_SIDE_MM, PrintSize, SizeWish, Softness};
pub use colour::{ColourNature, Lab, SpotColour, ciede2000};
pub use colour_regions::{ColourRegion, colour_regions};
pub use film::{FilmColour, FilmFamily, FilmMatch, MatchBand, Offer, film_finding, match_family, match_film};
pub use hash::ContentHash;
pub use layers::{FilmLayer, LayerFilm, LayerRules, layers};
pub use measure::{KindLimits, Measures, OF_SHAPE, Spot, Survey, WidthHere, WidthRange, measure, measure_film};
pub use picture::{Picture, Rgba8Image};
pub use read::{Caps, ReadOptions, SourceKind, kind_of, read};
pub use repair::{Repair, repaired};
pub use vector::{VectorPicture, ViewBox};
