//! The shop's own mark for its papers, read as art is: in a process of its own, with limits.

use crate::art_reader::read_art;
use crate::codes;
use crate::pictures::png_shown;
use art::{CleanArt, Picture};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use drawing::Svg;
use geometry::Point;
use report::{Finding, Severity};
use trade::Shop;

/// The mark as a picture, and what there is to say of it; papers are set without one that cannot be used.
pub(crate) fn mark(shop: &Shop) -> (Option<String>, Option<Finding>) {
    let Some(mark) = &shop.mark else { return (None, None) };
    let told = |code, remedy| Some(Finding::new(Severity::Warning, code, remedy).named("file", mark.file.clone()));
    let Some(text) = &mark.base64 else {
        return (None, told(codes::MARK_MISSING, codes::MARK_MISSING_REMEDY));
    };
    let read = STANDARD
        .decode(text)
        .ok()
        .and_then(|bytes| read_art(&mark.file, &bytes, &art::ReadOptions::default()).ok().map(|read| read.value));
    match read.as_ref().and_then(|art| picture(art, &shop.name)) {
        Some(picture) => (Some(picture), None),
        None => (None, told(codes::MARK_BROKEN, codes::MARK_BROKEN_REMEDY)),
    }
}

fn picture(art: &CleanArt, name: &str) -> Option<String> {
    match art.picture() {
        Picture::Vector(drawing) => Some(drawing.svg().to_owned()),
        Picture::Raster(_) => {
            let (width, height) = (100.0 * art.aspect(), 100.0);
            let png = png_shown(art, (width, height))?;
            let mut svg = Svg::new(width, height, name, "");
            svg.png(Point::new(0.0, 0.0), Point::new(width, height), &png, name);
            Some(svg.finish())
        }
    }
}
