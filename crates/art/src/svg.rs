//! SVG through a narrow door.
//!
//! The text is looked over before the drawing library sees it: references out of the
//! file, live text without its font, parts of other languages. The library then gets
//! resolvers that reach nothing outside the file.

pub(crate) mod effort;
mod lettering;
mod references;
mod scan;

use crate::clean::{CleanArt, Draft};
use crate::picture::Picture;
use crate::read::{Door, SourceKind};
use crate::vector::{VectorPicture, ViewBox};
use crate::{codes, outline, raster};
use report::{Finding, Outcome, Severity};
use std::io::Read;
use std::sync::{Arc, Mutex};
use usvg::{ImageHrefResolver, ImageKind, Options};

pub(crate) use scan::looks_like_one;

pub(crate) fn read(door: &Door<'_>, bytes: &[u8]) -> Result<Outcome<CleanArt>, Finding> {
    let text = text_of(door, bytes)?;
    let scanned = scan::scan(door, &text)?;
    let tree = parse(door, &text, &scanned)?;
    let said = scanned.registered;
    let draft = draft(door, tree, scanned.size, scanned.findings)?;
    Draft { registered: said, ..draft(SourceKind::Svg) }.finish(door, bytes)
}

/// A drawing made by another reader of this room (a page of a document).
pub(crate) fn read_made(
    door: &Door<'_>,
    made: &str,
    mut findings: Vec<Finding>,
    size: Option<(units::Length, units::Length)>,
) -> Result<Draft, Finding> {
    let scanned = scan::scan(door, made)?;
    let tree = parse(door, made, &scanned)?;
    findings.extend(scanned.findings);
    Ok(draft(door, tree, size, findings)?(SourceKind::Pdf))
}

fn draft(
    door: &Door<'_>,
    tree: usvg::Tree,
    size: Option<(units::Length, units::Length)>,
    findings: Vec<Finding>,
) -> Result<impl FnOnce(SourceKind) -> Draft, Finding> {
    effort::within(door, &tree)?;
    let smallest_type = lettering::smallest(&tree);
    let page = ViewBox { x: 0.0, y: 0.0, width: tree.size().width().into(), height: tree.size().height().into() };
    let picture = Picture::Vector(VectorPicture::new(Arc::new(tree), page));
    Ok(move |kind| Draft { kind, picture, size, smallest_type, registered: false, findings })
}

/// Plain text, unpacked within the cap.
fn text_of(door: &Door<'_>, bytes: &[u8]) -> Result<String, Finding> {
    let broken = || door.broken(SourceKind::Svg);
    let plain = if bytes.starts_with(&[0x1f, 0x8b]) {
        let cap = door.options.caps.bytes.min(40_000_000);
        let mut plain = Vec::new();
        let mut unpacking = flate2::read::GzDecoder::new(bytes).take(cap + 1);
        unpacking.read_to_end(&mut plain).map_err(|_| broken())?;
        if plain.len() as u64 > cap {
            return Err(door.too_large(plain.len() as u64, cap));
        }
        plain
    } else {
        bytes.to_vec()
    };
    let text = scan::decoded(plain).ok_or_else(broken)?;
    if looks_like_one(text.as_bytes()) { Ok(text) } else { Err(door.stop(codes::FILE_UNKNOWN, codes::FIX_SAVE_AS)) }
}

fn parse(door: &Door<'_>, text: &str, scanned: &scan::Scanned) -> Result<usvg::Tree, Finding> {
    let trouble: Mutex<Option<Finding>> = Mutex::new(None);
    let first = |finding: Finding| {
        if let Ok(mut slot) = trouble.lock() {
            slot.get_or_insert(finding);
        }
    };
    let mut options = Options {
        resources_dir: None,
        image_href_resolver: ImageHrefResolver {
            resolve_data: Box::new(|_, data, _| match embedded(door, &data) {
                Ok(kind) => Some(kind),
                Err(finding) => {
                    first(finding);
                    None
                }
            }),
            resolve_string: Box::new(|reference, _| {
                let outside = door.stop(codes::REFERENCE_OUTSIDE, codes::FIX_EMBED);
                first(outside.named("reference", scan::short(reference)).named("row", "?"));
                None
            }),
        },
        font_resolver: usvg::FontResolver {
            select_font: Box::new(|font, fonts| scan::font_among(font, fonts)),
            select_fallback: Box::new(|_, _, _| None),
        },
        ..Options::default()
    };
    for font in &scanned.fonts {
        options.fontdb_mut().load_font_data(font.clone());
    }
    let tree = usvg::Tree::from_str(text, &options).map_err(|fault| refused(door, &fault))?;
    drop(options);
    match trouble.into_inner() {
        Ok(Some(finding)) => Err(finding),
        _ => Ok(tree),
    }
}

/// A drawing that a reader has written out again: paths and embedded PNG only, nothing outside it.
pub(crate) fn normalised_tree(text: &str) -> Option<usvg::Tree> {
    let png =
        |data: Arc<Vec<u8>>| (crate::read::kind_of(&data) == Some(SourceKind::Png)).then_some(ImageKind::PNG(data));
    let options = Options {
        resources_dir: None,
        image_href_resolver: ImageHrefResolver {
            resolve_data: Box::new(move |_, data, _| png(data)),
            resolve_string: Box::new(|_, _| None),
        },
        ..Options::default()
    };
    let tree = usvg::Tree::from_str(text, &options).ok()?;
    effort::affordable_side(&tree, 400.0, f64::INFINITY).map(|_| tree)
}

fn refused(door: &Door<'_>, fault: &usvg::Error) -> Finding {
    match fault {
        usvg::Error::ElementsLimitReached => door.heavy("elements"),
        usvg::Error::ParsingFailed(
            usvg::roxmltree::Error::EntityReferenceLoop(_) | usvg::roxmltree::Error::NodesLimitReached,
        ) => door.heavy("elements"),
        _ => door.broken(SourceKind::Svg),
    }
}

/// An embedded picture, brought to sRGB; anything but PNG, JPEG and WebP is refused.
fn embedded(door: &Door<'_>, data: &Arc<Vec<u8>>) -> Result<ImageKind, Finding> {
    let unusable = |form: &str| door.stop(codes::EMBEDDED_UNUSABLE, codes::FIX_FLATTEN).named("form", form);
    let kind = match crate::read::kind_of(data) {
        Some(kind @ (SourceKind::Png | SourceKind::Jpeg | SourceKind::WebP)) => kind,
        Some(kind) => return Err(unusable(kind.name())),
        None => return Err(unusable("?")),
    };
    let decoded = raster::decode(door, kind, data)?;
    outline::as_png(&decoded.image).map(|png| ImageKind::PNG(Arc::new(png))).ok_or_else(|| unusable(kind.name()))
}

/// A warning that part of the drawing is not drawn.
pub(crate) fn lost(door: &Door<'_>, code: report::Code, count: u64) -> Finding {
    door.found(Severity::Warning, code, codes::FIX_FLATTEN).with("count", crate::read::count(count))
}
