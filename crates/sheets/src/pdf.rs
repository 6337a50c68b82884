//! Print sheets as PDF: exact size, drawings kept as drawings, white and cut line as
//! named separation colours (ISO 32000-1, 8.6.6.4).

use crate::codes;
use crate::error::SheetError;
use crate::extras::{Extra, extras};
use crate::print_png::least_ink;
use crate::raster::{Cover, Stamp, Threshold, choked};
use crate::sheet::{PlacedArt, PrintSheet, Screen, White};
use crate::split::split;
use art::{CleanArt, Picture, Rgba8Image};
use geometry::{Point, Region};
use krilla::blend::BlendMode;
use krilla::color::{Color, rgb, separation};
use krilla::geom::{Path, PathBuilder, Rect, Size, Transform};
use krilla::image::Image;
use krilla::mask::{Mask, MaskType};
use krilla::num::NormalizedF32;
use krilla::page::{NumberingStyle, PageLabel, PageSettings};
use krilla::paint::{Fill, FillRule, LineCap, LineJoin, Stroke};
use krilla::surface::Surface;
use krilla_svg::{SurfaceExt, SvgSettings};
use report::{Finding, Outcome, Severity, Value};
use std::num::NonZeroU32;

/// Points in a millimetre.
const PT: f64 = 72.0 / 25.4;
/// The longest page viewers and printers take, mm: 14,400 points (ISO 32000-1, annex C).
pub const LONGEST_PAGE_MM: f64 = 5_080.0;
/// Thickness of the cut line, points: the thinnest that is still seen on paper.
const CUT_LINE_PT: f32 = 0.25;

/// A document and how many pages it has.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PdfFile {
    /// The file.
    pub bytes: Vec<u8>,
    /// Pages, at least 1.
    pub pages: usize,
}

/// The sheet as PDF: one page of its exact size, or numbered pages past `longest_mm`, 200 in at most.
///
/// Colours are sRGB values. White and cut line are separations of their own, painted over the
/// colours and multiplied with them: a separation says nothing of other inks, and what it does
/// not say is multiplied by one, so colours stay as they are in every plate, and the white
/// plate keeps white under all of them (ISO 32000-1, 11.7.4.2 and 11.3.5.2: spot colours with
/// separable, white-preserving blend modes). White drawn first and painted over would be
/// knocked out, because colours in RGB erase every spot ink below them. Overprint is not asked for
/// besides: an interpreter that knows both then multiplies the colours with themselves.
///
/// # Errors
/// What a PNG would be refused for, and a piece longer than a page.
pub fn pdf(sheet: &PrintSheet<'_>, longest_mm: f64) -> Result<Outcome<PdfFile>, SheetError> {
    written(sheet, longest_mm, Layers::All)
}

/// The white layer alone, on pages like those of [`pdf`], for a printer who wants it apart.
///
/// A sheet without [`PrintSheet::white`] gives empty pages.
///
/// # Errors
/// As [`pdf`].
pub fn white_pdf(sheet: &PrintSheet<'_>, longest_mm: f64) -> Result<Outcome<PdfFile>, SheetError> {
    written(sheet, longest_mm, Layers::White)
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Layers {
    All,
    White,
}

fn written(sheet: &PrintSheet<'_>, longest_mm: f64, layers: Layers) -> Result<Outcome<PdfFile>, SheetError> {
    let longest = longest_mm.min(LONGEST_PAGE_MM);
    let parts = split(sheet, longest)?;
    let mut findings = Vec::new();
    if parts.len() > 1 {
        findings.push(
            Finding::new(Severity::Note, codes::PAGES_SPLIT, codes::FIX_NOTHING)
                .with("count", count(parts.len()))
                .with("limit", crate::cut::length(longest)),
        );
    }
    let mut document = krilla::Document::new();
    let title = match layers {
        Layers::All => format!("Print sheet, {}", sheet.reading.tag()),
        Layers::White => format!("White layer, {}", sheet.reading.tag()),
    };
    document.set_metadata(krilla::metadata::Metadata::new().title(title));
    let mut looks = Looks::default();
    let mut as_pixels = 0;
    for (at, part) in parts.iter().enumerate() {
        as_pixels += add_page(&mut document, part, layers, at, &mut looks)?;
    }
    if as_pixels > 0 {
        findings.push(
            Finding::new(Severity::Note, codes::VECTOR_AS_PIXELS, codes::FIX_NOTHING).with("count", count(as_pixels)),
        );
    }
    let bytes = document.finish().map_err(|_| SheetError::Document)?;
    Ok(Outcome { value: PdfFile { bytes, pages: parts.len() }, findings })
}

fn count(n: usize) -> Value {
    Value::Count(i64::try_from(n).unwrap_or(i64::MAX))
}

/// What was made for one piece and serves its copies.
#[derive(Default)]
struct Looks<'a> {
    images: Vec<(&'a CleanArt, Image)>,
    whites: Vec<(&'a CleanArt, (f64, f64), Option<Path>)>,
}

/// Returns how many drawings had to be turned into pixels.
fn add_page<'a>(
    document: &mut krilla::Document,
    sheet: &PrintSheet<'a>,
    layers: Layers,
    at: usize,
    looks: &mut Looks<'a>,
) -> Result<usize, SheetError> {
    let (w, h) = ((sheet.width_mm * PT) as f32, (sheet.length_mm * PT) as f32);
    let whole = Rect::from_xywh(0.0, 0.0, w, h);
    let number = u32::try_from(at + 1).ok().and_then(NonZeroU32::new);
    let settings = PageSettings::from_wh(w, h)
        .ok_or(SheetError::Document)?
        .with_crop_box(whole)
        .with_bleed_box(whole)
        .with_trim_box(whole)
        .with_page_label(PageLabel::new(Some(NumberingStyle::Arabic), None, number));
    let mut page = document.start_page_with(settings);
    let mut surface = page.surface();
    let mut as_pixels = 0;
    if layers == Layers::All {
        for (nth, piece) in sheet.pieces.iter().enumerate() {
            as_pixels += usize::from(draw_piece(&mut surface, sheet, piece, looks, nth)?);
        }
        for extra in extras(sheet).drawn {
            draw_extra(&mut surface, &extra);
        }
    }
    surface.push_blend_mode(BlendMode::Multiply);
    if let Some(white) = sheet.white {
        for piece in &sheet.pieces {
            draw_white(&mut surface, sheet, piece, white, (layers, looks))?;
        }
    }
    if let (Layers::All, Some(outside)) = (layers, sheet.cut_outline_mm) {
        for region in sheet.regions_on_sheet(outside) {
            draw_cut_line(&mut surface, sheet, &region);
        }
    }
    surface.pop();
    surface.finish();
    page.finish();
    Ok(as_pixels)
}

/// Whether the drawing was turned into pixels.
fn draw_piece<'a>(
    surface: &mut Surface<'_>,
    sheet: &PrintSheet<'a>,
    piece: &PlacedArt<'a>,
    looks: &mut Looks<'a>,
    nth: usize,
) -> Result<bool, SheetError> {
    let (w, h) = (piece.size.width().mm(), piece.size.height().mm());
    match piece.art.picture() {
        _ if piece.let_cloth_show.is_some() => {
            draw_as_pixels(surface, sheet, piece, nth)?;
            Ok(matches!(piece.art.picture(), Picture::Vector(_)))
        }
        Picture::Vector(drawing) => {
            let (view, tree) = (drawing.view(), drawing.tree());
            let to_mm =
                [w / view.width, 0.0, -view.x * w / view.width, 0.0, -h / view.height, h + view.y * h / view.height];
            surface.push_transform(&on_page(sheet, piece, to_mm));
            let seen = Rect::from_xywh(view.x as f32, view.y as f32, view.width as f32, view.height as f32);
            let clip = seen.and_then(|seen| {
                let mut path = PathBuilder::new();
                path.push_rect(seen);
                path.finish()
            });
            let size = Size::from_wh(tree.size().width(), tree.size().height());
            if let (Some(clip), Some(size)) = (clip, size) {
                surface.push_clip_path(&clip, &FillRule::NonZero);
                let drawn = surface.draw_svg(tree, size, SvgSettings { embed_text: false, ..SvgSettings::default() });
                surface.pop();
                drawn.ok_or(SheetError::Drawing { piece: nth })?;
            }
            surface.pop();
            Ok(false)
        }
        Picture::Raster(image) => {
            let picture = match looks.images.iter().find(|(art, _)| std::ptr::eq(*art, piece.art)) {
                Some((_, picture)) => picture.clone(),
                None => {
                    let picture = smooth_image(image).ok_or(SheetError::Drawing { piece: nth })?;
                    looks.images.push((piece.art, picture.clone()));
                    picture
                }
            };
            let (pw, ph) = (f64::from(image.width()), f64::from(image.height()));
            surface.push_transform(&on_page(sheet, piece, [w / pw, 0.0, 0.0, 0.0, -h / ph, h]));
            if let Some(size) = Size::from_wh(pw as f32, ph as f32) {
                surface.draw_image(picture, size);
            }
            surface.pop();
            Ok(false)
        }
    }
}

/// The art's own pixels, marked to be interpolated where a renderer has to turn or enlarge them.
fn smooth_image(image: &Rgba8Image) -> Option<Image> {
    let mut file = Vec::new();
    let mut encoder = png::Encoder::new(&mut file, image.width(), image.height());
    encoder.set_color(png::ColorType::Rgba);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_compression(png::Compression::Fast);
    encoder.write_header().ok()?.write_image_data(image.pixels()).ok()?;
    Image::from_png(file.into(), true).ok()
}

/// The piece as it stands in the PNG of the same sheet.
fn draw_as_pixels(
    surface: &mut Surface<'_>,
    sheet: &PrintSheet<'_>,
    piece: &PlacedArt<'_>,
    nth: usize,
) -> Result<(), SheetError> {
    let stamp = Stamp::new(piece, sheet.px_per_mm());
    let pixels = stamp.rows(0..stamp.height).map_err(|_| SheetError::Drawing { piece: nth })?;
    let image = image_of(pixels, &stamp).ok_or(SheetError::Drawing { piece: nth })?;
    surface.push_transform(&stamp_on_page(sheet, &stamp, piece));
    if let Some(size) = Size::from_wh(stamp.width as f32, stamp.height as f32) {
        surface.draw_image(image, size);
    }
    surface.pop();
    Ok(())
}

fn image_of(pixels: Vec<u8>, stamp: &Stamp<'_>) -> Option<Image> {
    Some(Image::from_rgba8(pixels, u32::try_from(stamp.width).ok()?, u32::try_from(stamp.height).ok()?))
}

fn stamp_on_page(sheet: &PrintSheet<'_>, stamp: &Stamp<'_>, piece: &PlacedArt<'_>) -> Transform {
    let (column, row) = stamp.place(sheet, piece);
    let pt = 72.0 / sheet.dpi;
    Transform::from_row(pt as f32, 0.0, 0.0, pt as f32, (column as f64 * pt) as f32, (row as f64 * pt) as f32)
}

fn draw_white<'a>(
    surface: &mut Surface<'_>,
    sheet: &PrintSheet<'a>,
    piece: &PlacedArt<'a>,
    white: White,
    (layers, looks): (Layers, &mut Looks<'a>),
) -> Result<(), SheetError> {
    surface.set_stroke(None);
    // On a screen white over colours is not to be seen; by itself it has to be.
    let seen = if layers == Layers::All { [255; 3] } else { [200, 200, 210] };
    surface.set_fill(Some(spot_fill(&sheet.spot_names.white, seen)));
    if white.soft != Screen::Threshold || piece.let_cloth_show.is_some() {
        return draw_screened(surface, sheet, piece, white);
    }
    let size = (piece.size.width().mm(), piece.size.height().mm());
    let known = looks.whites.iter().position(|(art, of, _)| std::ptr::eq(*art, piece.art) && *of == size);
    let at = known.unwrap_or_else(|| {
        let region = geometry::shrink(&piece.art.region(piece.size), white.choke_mm);
        looks.whites.push((piece.art, size, path_of(&region, |p| (p.x as f32, p.y as f32))));
        looks.whites.len() - 1
    });
    if let Some((_, _, Some(path))) = looks.whites.get(at) {
        surface.push_transform(&on_page(sheet, piece, [1.0, 0.0, 0.0, 0.0, 1.0, 0.0]));
        surface.draw_path(path);
        surface.pop();
    }
    Ok(())
}

/// White in dots: the same pixels as in the white PNG of the sheet.
fn draw_screened(
    surface: &mut Surface<'_>,
    sheet: &PrintSheet<'_>,
    piece: &PlacedArt<'_>,
    white: White,
) -> Result<(), SheetError> {
    let fault = || SheetError::Document;
    let stamp = Stamp::new(piece, sheet.px_per_mm());
    let mut pixels = stamp.rows(0..stamp.height).map_err(|_| fault())?;
    let ink: Vec<u8> = pixels.chunks_exact(4).map(|p| p[3]).collect();
    let cover = Cover { width: stamp.width, first: 0, ink: &ink };
    let kept = choked(&cover, 0..stamp.height, white.choke_mm * sheet.px_per_mm(), least_ink(white.soft));
    let threshold = Threshold::new(white.soft, sheet.dpi);
    let (column, row) = stamp.place(sheet, piece);
    let on_sheet = |own: usize, first: i64| usize::try_from(own as i64 + first).unwrap_or(0);
    for (at, (pixel, ink)) in pixels.chunks_exact_mut(4).zip(kept).enumerate() {
        let (u, v) = (on_sheet(at % stamp.width, column), on_sheet(at / stamp.width, row));
        let dot = ink > 0 && threshold.white(ink, u, v);
        pixel.copy_from_slice(&[0, 0, 0, if dot { 255 } else { 0 }]);
    }
    let image = image_of(pixels, &stamp).ok_or_else(fault)?;
    let size = Size::from_wh(stamp.width as f32, stamp.height as f32).ok_or_else(fault)?;
    surface.push_transform(&stamp_on_page(sheet, &stamp, piece));
    let mask = {
        let mut builder = surface.stream_builder();
        let mut inner = builder.surface();
        inner.draw_image(image, size);
        inner.finish();
        Mask::new(builder.finish(), MaskType::Alpha)
    };
    surface.push_mask(mask);
    let mut path = PathBuilder::new();
    if let Some(all) = Rect::from_xywh(0.0, 0.0, size.width(), size.height()) {
        path.push_rect(all);
    }
    if let Some(path) = path.finish() {
        surface.draw_path(&path);
    }
    surface.pop();
    surface.pop();
    Ok(())
}

fn draw_cut_line(surface: &mut Surface<'_>, sheet: &PrintSheet<'_>, region: &Region) {
    if let Some(path) = path_of(region, on_page_pt) {
        surface.set_fill(None);
        let Fill { paint, opacity, .. } = spot_fill(&sheet.spot_names.cut, [230, 0, 126]);
        surface.set_stroke(Some(Stroke { paint, opacity, width: CUT_LINE_PT, ..Stroke::default() }));
        surface.draw_path(&path);
        surface.set_stroke(None);
    }
}

fn draw_extra(surface: &mut Surface<'_>, extra: &Extra) {
    let black = Color::from(rgb::Color::new(0, 0, 0));
    let mut path = PathBuilder::new();
    let mut add = |points: &[Point]| {
        for (nth, p) in points.iter().enumerate() {
            let (u, v) = on_page_pt(*p);
            if nth == 0 { path.move_to(u, v) } else { path.line_to(u, v) }
        }
    };
    match extra {
        Extra::Lines { lines, thick } => {
            lines.iter().for_each(|line| add(line));
            surface.set_fill(None);
            surface.set_stroke(Some(Stroke {
                paint: black.into(),
                width: (thick * PT) as f32,
                line_cap: LineCap::Round,
                line_join: LineJoin::Round,
                ..Stroke::default()
            }));
        }
        Extra::Fill(ring) => {
            add(ring);
            path.close();
            surface.set_stroke(None);
            surface.set_fill(Some(Fill { paint: black.into(), opacity: NormalizedF32::ONE, rule: FillRule::NonZero }));
        }
    }
    if let Some(path) = path.finish() {
        surface.draw_path(&path);
    }
    surface.set_stroke(None);
}

/// Full ink of a named separation; on a screen it shows as `seen`.
fn spot_fill(name: &str, seen: [u8; 3]) -> Fill {
    let [r, g, b] = seen;
    let space = separation::SeparationSpace::new(
        separation::SeparationColorant::Custom(name.to_owned()),
        rgb::Color::new(r, g, b).into(),
    );
    let colour: Color = separation::Color::new(255, space).into();
    Fill { paint: colour.into(), opacity: NormalizedF32::ONE, rule: FillRule::NonZero }
}

/// A point of the sheet on the page: x of the film runs down, y to the right.
fn on_page_pt(p: Point) -> (f32, f32) {
    ((p.y * PT) as f32, (p.x * PT) as f32)
}

/// From a piece's own units, which `to_mm` (a, b, c, d, e, f) brings to art millimetres, to the page.
fn on_page(sheet: &PrintSheet<'_>, piece: &PlacedArt<'_>, to_mm: [f64; 6]) -> Transform {
    let pose = sheet.pose_on_sheet(piece);
    let [a, b, c, d, e, f] = to_mm;
    let zero = pose.apply(Point::default());
    let (x, y) = (pose.apply(Point::new(1.0, 0.0)), pose.apply(Point::new(0.0, 1.0)));
    let (ex, ey) = ((x.x - zero.x, x.y - zero.y), (y.x - zero.x, y.y - zero.y));
    let along = |i: f64, j: f64| ((i * ex.0 + j * ey.0) * PT, (i * ex.1 + j * ey.1) * PT);
    let ((v_x, u_x), (v_y, u_y), (v_0, u_0)) = (along(a, d), along(b, e), along(c, f));
    Transform::from_row(
        u_x as f32,
        v_x as f32,
        u_y as f32,
        v_y as f32,
        (u_0 + zero.y * PT) as f32,
        (v_0 + zero.x * PT) as f32,
    )
}

fn path_of(region: &Region, place: impl Fn(Point) -> (f32, f32)) -> Option<Path> {
    let mut path = PathBuilder::new();
    for ring in region.outlines.iter().flat_map(|o| o.rings()) {
        for (nth, p) in ring.iter().enumerate() {
            let (u, v) = place(*p);
            if nth == 0 { path.move_to(u, v) } else { path.line_to(u, v) }
        }
        path.close();
    }
    path.finish()
}
