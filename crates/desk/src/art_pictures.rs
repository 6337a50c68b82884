//! Pictures of one art file: its findings in their places, and the box behind it gone.

use crate::codes;
use crate::pictures::png_of;
use art::{CleanArt, KindLimits, Measures, PrintSize};
use base64::Engine as _;
use drawing::{ArtText, BoxText};
use words::Speech;

/// Longest side of art shown, px: fine enough for a print of 300 dots an inch up to 135 mm.
const SHOWN_PX: f64 = 1600.0;

/// Every place that does not hold, marked on the art at true size, with the width of its lines as
/// a heat map.
pub fn art_picture(
    art: &CleanArt,
    size: PrintSize,
    measures: &Measures,
    limits: &KindLimits,
    speech: &Speech,
) -> String {
    let term = |code| speech.term(code);
    let (title, description) = (term(codes::ART_PICTURE), term(codes::ART_PICTURE_SHOWS));
    let (width, height) = (speech.length(size.width()), speech.length(size.height()));
    let words = [codes::ART_THIN, codes::ART_GAPS, codes::ART_ISLANDS, codes::ART_POINTS, codes::ART_HEAT].map(term);
    let text = ArtText {
        title: &title,
        description: &description,
        width: &width,
        height: &height,
        thin: &words[0],
        gaps: &words[1],
        islands: &words[2],
        points: &words[3],
        heat: &words[4],
    };
    let png = shown(art);
    drawing::art_findings(&art.region(size), png.as_deref(), size, measures, limits, &text)
}

/// The art as it came and with the box behind it removed, both at true size; `None` when one of
/// them cannot be drawn. `size` is that of the art as it came; what is left keeps its scale.
pub fn box_picture(before: &CleanArt, after: &CleanArt, size: PrintSize, speech: &Speech) -> Option<String> {
    let term = |code| speech.term(code);
    let (title, description) = (term(codes::BOX_PICTURE), term(codes::BOX_PICTURE_SHOWS));
    let (with, without) = (term(codes::BOX_BEFORE), term(codes::BOX_AFTER));
    let text = BoxText { title: &title, description: &description, before: &with, after: &without };
    let (old, new) = (shown(before)?, shown(after)?);
    let scale = size.width().mm() / f64::from(before.pixels_wide()?);
    let width = f64::from(after.pixels_wide()?) * scale;
    Some(drawing::before_after(
        (&old, size.width().mm(), size.height().mm()),
        (&new, width, width / after.aspect()),
        &text,
    ))
}

/// The art as it came and repaired, both at true size; `None` when one of them cannot be drawn.
pub(crate) fn repair_picture(before: &CleanArt, after: &CleanArt, size: PrintSize, speech: &Speech) -> Option<String> {
    let term = |code| speech.term(code);
    let (title, description) = (term(codes::REPAIR_PICTURE), term(codes::REPAIR_PICTURE_SHOWS));
    let (was, is) = (term(codes::REPAIR_BEFORE), term(codes::REPAIR_AFTER));
    let text = BoxText { title: &title, description: &description, before: &was, after: &is };
    let (old, new) = (shown(before)?, shown(after)?);
    let width = size.width().mm();
    Some(drawing::before_after((&old, width, size.height().mm()), (&new, width, width / after.aspect()), &text))
}

/// The art as PNG in base64.
fn shown(art: &CleanArt) -> Option<String> {
    let aspect = art.aspect();
    let (width, height) = if aspect >= 1.0 { (SHOWN_PX, SHOWN_PX / aspect) } else { (SHOWN_PX * aspect, SHOWN_PX) };
    let px = |side: f64| side.round().max(1.0) as u32;
    let image = art.render(px(width), px(height)).ok()?;
    Some(base64::engine::general_purpose::STANDARD.encode(png_of(&image)?))
}

/// The art as a file: SVG for a drawing, else PNG; with the usual ending.
pub fn art_file(art: &CleanArt) -> Option<(&'static str, Vec<u8>)> {
    match art.picture() {
        art::Picture::Vector(drawing) => Some(("svg", drawing.svg().as_bytes().to_vec())),
        art::Picture::Raster(image) => Some(("png", png_of(image)?)),
    }
}
