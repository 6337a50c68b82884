//! The inked region of a drawing: from its paths where they say it all, else from a rendering.

use crate::clean::ragged;
use crate::picture::Rgba8Image;
use crate::read::Door;
use crate::svg::effort;
use crate::vector::{VectorPicture, ViewBox, drawn};
use crate::{codes, contour, coverage::Coverage};
use geometry::{Outline, Point, Region, Ring};
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::overlay::FloatOverlay;
use report::{Finding, Value};
use resvg::tiny_skia::{self, PathSegment, Transform};
use usvg::{ClipPath, Group, Node, Paint, Path};

/// Curves are followed to this share of the page's longer side: 0.03 mm on 600 mm.
const FLAT: f64 = 1.0 / 20_000.0;

/// Points of all paths up to which they are joined exactly; past it a fine rendering is quicker.
const MOST_JOINED: usize = 150_000;

/// Ink counts from half coverage.
const HALF: f32 = 0.5;

/// What was found.
pub(crate) struct Outlined {
    /// Drawing units, y up, origin in the lower left corner of `view`.
    pub region: Region,
    /// The box around the ink, in the page's own frame, y down.
    pub view: ViewBox,
    /// How far the region may be off, drawing units.
    pub tolerance: f64,
}

/// Finds the inked region of a drawing and the box around it.
pub(crate) fn of(door: &Door<'_>, drawing: &VectorPicture, findings: &mut Vec<Finding>) -> Result<Outlined, Finding> {
    let page = drawing.view();
    let flat = page.width.max(page.height) * FLAT;
    let (region, tolerance) = match from_paths(drawing, flat, door.options.caps.points.min(MOST_JOINED)) {
        Ok(region) => (region, flat),
        Err(reason) => {
            let (region, tolerance) = from_rendering(door, drawing)?;
            findings.push(
                door.note(codes::OUTLINE_FROM_RENDERING)
                    .with("what", Value::Term(reason))
                    .with("tolerance-share", Value::Share(tolerance / page.width.max(page.height))),
            );
            (region, tolerance)
        }
    };
    let within = cut_to_page(door, region, page, findings);
    let ink = within.bounds().filter(|b| b.width() > 0.0 && b.height() > 0.0);
    let ink = ink.ok_or_else(|| door.stop(codes::PICTURE_BLANK, codes::FIX_DRAW_INK))?;
    let view = ViewBox { x: ink.min.x, y: page.height - ink.max.y, width: ink.width(), height: ink.height() };
    let region = within.map(|p| Point::new(p.x - ink.min.x, p.y - ink.min.y));
    Ok(Outlined { region, view, tolerance })
}

/// The picture as a PNG file, quickly packed; `None` when it cannot be written.
pub(crate) fn as_png(image: &Rgba8Image) -> Option<Vec<u8>> {
    let mut file = Vec::new();
    let mut encoder = png::Encoder::new(&mut file, image.width(), image.height());
    encoder.set_color(png::ColorType::Rgba);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_compression(png::Compression::Fastest);
    encoder.write_header().ok()?.write_image_data(image.pixels()).ok()?;
    Some(file)
}

/// What hangs over the page's edge is not part of the art.
fn cut_to_page(door: &Door<'_>, region: Region, page: ViewBox, findings: &mut Vec<Finding>) -> Region {
    let slack = page.width.max(page.height) * FLAT;
    let over = region.bounds().is_some_and(|b| {
        b.min.x < -slack || b.min.y < -slack || b.max.x > page.width + slack || b.max.y > page.height + slack
    });
    let Ok(sheet) = Outline::rectangle(page.width, page.height) else { return region };
    if !over {
        return region;
    }
    let before = region.area();
    let within = geometry::intersect(&region, &Region { outlines: vec![sheet] });
    let lost = 1.0 - within.area() / before.max(f64::MIN_POSITIVE);
    if lost > 0.001 {
        findings.push(door.note(codes::PART_OUTSIDE_PAGE).with("share", Value::Share(lost)));
    }
    within
}

/// The region of a rendering at half coverage, units of the page, y up.
fn from_rendering(door: &Door<'_>, drawing: &VectorPicture) -> Result<(Region, f64), Finding> {
    let page = drawing.view();
    let caps = door.options.caps;
    let side = effort::affordable_side(drawing.tree(), caps.drawn_side.into(), caps.painted as f64)
        .ok_or_else(|| door.heavy("layers"))?;
    let scale = side / page.width.max(page.height);
    let px = |units: f64| (units * scale).ceil().max(1.0) as u32;
    let (width, height) = (px(page.width), px(page.height));
    let image = drawn(drawing.tree(), page, width, height).ok_or_else(|| door.heavy("pixels"))?;
    let region = contour::region(&Coverage::of(&image), caps.points).map_err(|_| ragged(door))?;
    let (sx, sy) = (page.width / f64::from(width), page.height / f64::from(height));
    Ok((region.map(|p| Point::new(p.x * sx, p.y * sy)), 0.5 * sx.max(sy)))
}

/// The exact region, units of the page, y up; or why the paths do not say it all.
fn from_paths(drawing: &VectorPicture, flat: f64, most_points: usize) -> Result<Region, report::Code> {
    let mut paths = Paths { flat, points_left: most_points, by_paint: false };
    // Joining is the slow part: what has too many points is known before it begins.
    if paths.filled_points(drawing.tree().root(), Transform::identity()) > most_points {
        return Err(codes::WHAT_POINTS);
    }
    let mut pieces = Vec::new();
    paths.group(drawing.tree().root(), Transform::identity(), 1.0, &mut pieces)?;
    let shapes: Shapes = pieces.into_iter().flat_map(|piece| piece.rings).collect();
    simple_enough(&shapes)?;
    let height = drawing.view().height;
    Ok(without_seams(region_of(&shapes, height), flat / 2.0))
}

/// The region of a drawing's own paths in the art box of its view, y up; `None` where paths do
/// not say it all.
pub(crate) fn exact(drawing: &VectorPicture) -> Option<Region> {
    let view = drawing.view();
    let region = from_paths(drawing, view.width.max(view.height) * FLAT, MOST_JOINED).ok()?;
    Some(region.map(|p| Point::new(p.x - view.x, p.y + view.y)))
}

/// What is painted in flat colours, from the lowest up: neighbours of one colour are one piece.
/// In units of the picture, y down as drawn; `None` when paths do not say it all.
pub(crate) fn painted(drawing: &VectorPicture, most_points: usize) -> Option<Vec<Piece>> {
    let view = drawing.view();
    let flat = view.width.max(view.height) * FLAT;
    let mut paths = Paths { flat, points_left: most_points, by_paint: true };
    let mut pieces = Vec::new();
    paths.group(drawing.tree().root(), Transform::identity(), 1.0, &mut pieces).ok()?;
    Some(pieces)
}

type Shapes = Vec<Vec<[f64; 2]>>;

/// Rings painted one after another in one colour.
pub(crate) struct Piece {
    /// The flat colour, where colours are told apart.
    pub rgb: Option<[u8; 3]>,
    /// Its area, joined by the rule that any winding is ink.
    pub rings: Shapes,
}

impl Piece {
    /// What is inked, in the art box of a view: units of the drawing, y up.
    pub fn region(&self, view: ViewBox) -> Region {
        region_of(&self.rings, view.y + view.height).map(|p| Point::new(p.x - view.x, p.y))
    }
}

/// Gathers the filled and stroked areas of a tree as simple rings.
struct Paths {
    flat: f64,
    points_left: usize,
    /// Whether colours are told apart.
    by_paint: bool,
}

impl Paths {
    fn group(
        &mut self,
        group: &Group,
        outer: Transform,
        opacity: f32,
        into: &mut Vec<Piece>,
    ) -> Result<(), report::Code> {
        if !group.filters().is_empty() {
            return Err(codes::WHAT_FILTER);
        }
        if group.mask().is_some() {
            return Err(codes::WHAT_MASK);
        }
        if group.blend_mode() != usvg::BlendMode::Normal {
            return Err(codes::WHAT_BLEND);
        }
        let here = outer.pre_concat(group.transform());
        let opacity = opacity * group.opacity().get();
        let mut inner = Vec::new();
        let target = if group.clip_path().is_some() { &mut inner } else { &mut *into };
        for node in group.children() {
            match node {
                Node::Group(child) => self.group(child, here, opacity, target)?,
                Node::Path(path) if path.is_visible() => self.path(path, here, opacity, target)?,
                Node::Path(_) => {}
                Node::Image(image) if !image.is_visible() => {}
                Node::Image(_) => return Err(codes::WHAT_IMAGE),
                Node::Text(text) => self.group(text.flattened(), here, opacity, target)?,
            }
        }
        if let Some(clip) = group.clip_path() {
            for Piece { rgb, rings } in inner {
                let rings = self.clipped(united(rings), clip, here)?;
                lay(into, rgb, rings);
            }
        }
        Ok(())
    }

    /// What of a shape lies inside a clip path, and inside the clip path's own.
    fn clipped(&mut self, shapes: Shapes, clip: &ClipPath, here: Transform) -> Result<Shapes, report::Code> {
        let mut window = Vec::new();
        let told_apart = std::mem::replace(&mut self.by_paint, false);
        let gathered = self.group(clip.root(), here.pre_concat(clip.transform()), 1.0, &mut window);
        self.by_paint = told_apart;
        gathered?;
        let window = window.into_iter().flat_map(|piece| piece.rings).collect();
        let inside = overlaid(&shapes, &united(window), OverlayRule::Intersect);
        match clip.clip_path() {
            Some(outer) => self.clipped(inside, outer, here),
            None => Ok(inside),
        }
    }

    fn path(&mut self, path: &Path, here: Transform, opacity: f32, into: &mut Vec<Piece>) -> Result<(), report::Code> {
        match path.paint_order() {
            usvg::PaintOrder::FillAndStroke => {
                self.filled(path, here, opacity, into)?;
                self.stroked(path, here, opacity, into)
            }
            usvg::PaintOrder::StrokeAndFill => {
                self.stroked(path, here, opacity, into)?;
                self.filled(path, here, opacity, into)
            }
        }
    }

    fn filled(
        &mut self,
        path: &Path,
        here: Transform,
        opacity: f32,
        into: &mut Vec<Piece>,
    ) -> Result<(), report::Code> {
        let Some(fill) = path.fill() else { return Ok(()) };
        if !inked(fill.paint(), fill.opacity().get() * opacity)? {
            return Ok(());
        }
        let rule = match fill.rule() {
            usvg::FillRule::NonZero => FillRule::NonZero,
            usvg::FillRule::EvenOdd => FillRule::EvenOdd,
        };
        self.add(path.data(), here, rule, fill.paint(), into)
    }

    fn stroked(
        &mut self,
        path: &Path,
        here: Transform,
        opacity: f32,
        into: &mut Vec<Piece>,
    ) -> Result<(), report::Code> {
        let Some(stroke) = path.stroke() else { return Ok(()) };
        if !inked(stroke.paint(), stroke.opacity().get() * opacity)? {
            return Ok(());
        }
        let (sx, sy) = here.get_scale();
        // Curves of the stroke are cut to a quarter of the pen's own unit at scale 1.
        let fine = (0.25 / self.flat as f32 * sx.max(sy)).clamp(1.0, 10_000.0);
        let pen = stroke.to_tiny_skia();
        let dashed = match &pen.dash {
            Some(dash) => path.data().dash(dash, fine),
            None => Some(path.data().clone()),
        };
        match dashed.and_then(|data| data.stroke(&pen, fine)) {
            Some(stroked) => self.add(&stroked, here, FillRule::NonZero, stroke.paint(), into),
            None => Ok(()),
        }
    }

    /// A path's area as rings that neither cross nor overlap.
    fn add(
        &mut self,
        path: &tiny_skia::Path,
        here: Transform,
        rule: FillRule,
        paint: &Paint,
        into: &mut Vec<Piece>,
    ) -> Result<(), report::Code> {
        let Some(path) = path.clone().transform(here) else { return Ok(()) };
        let rings = self.flattened(&path)?;
        simple_enough(&rings)?;
        let simple = FloatOverlay::<[f64; 2], i64>::from_subj(&rings).overlay(OverlayRule::Subject, rule);
        let rgb = match paint {
            Paint::Color(colour) if self.by_paint => Some([colour.red, colour.green, colour.blue]),
            _ => None,
        };
        lay(into, rgb, simple.into_iter().flatten().collect());
        Ok(())
    }

    /// A path as closed rings, its curves within the tolerance.
    fn flattened(&mut self, path: &tiny_skia::Path) -> Result<Shapes, report::Code> {
        let mut rings = Shapes::new();
        let mut ring: Vec<[f64; 2]> = Vec::new();
        for segment in path.segments() {
            let last = ring.last().copied().unwrap_or_default();
            match segment {
                PathSegment::MoveTo(to) => {
                    rings.push(std::mem::take(&mut ring));
                    ring.push(plain(to));
                }
                PathSegment::LineTo(to) => ring.push(plain(to)),
                PathSegment::QuadTo(a, to) => self.curve(raised(last, plain(a), plain(to)), &mut ring),
                PathSegment::CubicTo(a, b, to) => self.curve([last, plain(a), plain(b), plain(to)], &mut ring),
                PathSegment::Close => {}
            }
            if ring.len() > self.points_left {
                return Err(codes::WHAT_POINTS);
            }
        }
        rings.push(ring);
        rings.retain(|ring| ring.len() > 2);
        let points: usize = rings.iter().map(Vec::len).sum();
        self.points_left = self.points_left.checked_sub(points).ok_or(codes::WHAT_POINTS)?;
        Ok(rings)
    }

    /// Points that the filled paths of a group come to, at the least: strokes are not counted.
    fn filled_points(&self, group: &Group, outer: Transform) -> usize {
        let here = outer.pre_concat(group.transform());
        let of = |node: &Node| match node {
            Node::Group(child) => self.filled_points(child, here),
            Node::Path(path) if path.is_visible() && path.fill().is_some() => {
                path.data().clone().transform(here).map_or(0, |path| self.points_of(&path))
            }
            _ => 0,
        };
        group.children().iter().map(of).fold(0, usize::saturating_add)
    }

    /// Points of a path once its curves are stepped along.
    fn points_of(&self, path: &tiny_skia::Path) -> usize {
        let mut last = [0.0; 2];
        let mut points = 0_usize;
        for segment in path.segments() {
            let (steps, to) = match segment {
                PathSegment::MoveTo(to) | PathSegment::LineTo(to) => (1, to),
                PathSegment::QuadTo(a, to) => (self.steps(raised(last, plain(a), plain(to))), to),
                PathSegment::CubicTo(a, b, to) => (self.steps([last, plain(a), plain(b), plain(to)]), to),
                PathSegment::Close => continue,
            };
            last = plain(to);
            points = points.saturating_add(steps as usize);
        }
        points
    }

    /// How many steps follow a cubic: n ≥ √(3/4 · M / tolerance), M the larger second difference of its
    /// control points (the chord error of a curve is at most its second derivative / 8n²).
    fn steps(&self, p: [[f64; 2]; 4]) -> u32 {
        let bend = |a: [f64; 2], b: [f64; 2], c: [f64; 2]| (a[0] - 2.0 * b[0] + c[0]).hypot(a[1] - 2.0 * b[1] + c[1]);
        let most = bend(p[0], p[1], p[2]).max(bend(p[1], p[2], p[3]));
        (0.75 * most / self.flat).sqrt().ceil().clamp(1.0, 500.0) as u32
    }

    /// Steps along a cubic, its start left out.
    fn curve(&self, p: [[f64; 2]; 4], ring: &mut Vec<[f64; 2]>) {
        let steps = self.steps(p);
        for step in 1..=steps {
            let t = f64::from(step) / f64::from(steps);
            let s = 1.0 - t;
            let weights = [s * s * s, 3.0 * s * s * t, 3.0 * s * t * t, t * t * t];
            let at = |axis: usize| weights.iter().zip(&p).map(|(w, p)| w * p[axis]).sum::<f64>();
            ring.push([at(0), at(1)]);
        }
    }
}

fn plain(p: tiny_skia::Point) -> [f64; 2] {
    [f64::from(p.x), f64::from(p.y)]
}

/// The cubic that runs as a quadratic curve does.
fn raised(from: [f64; 2], a: [f64; 2], to: [f64; 2]) -> [[f64; 2]; 4] {
    let thirds = |p: [f64; 2]| [p[0] + 2.0 / 3.0 * (a[0] - p[0]), p[1] + 2.0 / 3.0 * (a[1] - p[1])];
    [from, thirds(from), thirds(to), to]
}

/// Lays rings on top of what is painted already.
fn lay(into: &mut Vec<Piece>, rgb: Option<[u8; 3]>, rings: Shapes) {
    match into.last_mut() {
        Some(top) if top.rgb == rgb => top.rings.extend(rings),
        _ => into.push(Piece { rgb, rings }),
    }
}

/// Whether a paint leaves ink; a fade across half coverage or a pattern needs a rendering.
fn inked(paint: &Paint, opacity: f32) -> Result<bool, report::Code> {
    let fade = |stops: &[usvg::Stop]| {
        let above = stops.iter().filter(|stop| stop.opacity().get() * opacity >= HALF).count();
        if above == 0 {
            Ok(false)
        } else if above == stops.len() {
            Ok(true)
        } else {
            Err(codes::WHAT_FADE)
        }
    };
    match paint {
        Paint::Color(_) => Ok(opacity >= HALF),
        Paint::LinearGradient(gradient) => fade(gradient.stops()),
        Paint::RadialGradient(gradient) => fade(gradient.stops()),
        Paint::Pattern(_) => Err(codes::WHAT_PATTERN),
    }
}

fn united(rings: Shapes) -> Shapes {
    let shapes = FloatOverlay::<[f64; 2], i64>::from_subj(&rings).overlay(OverlayRule::Subject, FillRule::NonZero);
    shapes.into_iter().flatten().collect()
}

fn overlaid(a: &Shapes, b: &Shapes, rule: OverlayRule) -> Shapes {
    let shapes = FloatOverlay::<[f64; 2], i64>::from_subj_and_clip(a, b).overlay(rule, FillRule::NonZero);
    shapes.into_iter().flatten().collect()
}

/// Crossings of sides past which paths are not joined exactly: a scribble of some thousand sides
/// crosses itself by the million.
const MOST_CROSSINGS: f64 = 1_000_000.0;

/// Pairs of sides tried to estimate how many cross.
const TRIED: usize = 20_000;

/// Refuses rings whose sides cross too often, estimated on pairs spread evenly over all.
fn simple_enough(rings: &Shapes) -> Result<(), report::Code> {
    let sides: Vec<([f64; 2], [f64; 2])> =
        rings.iter().flat_map(|ring| ring.iter().copied().zip(ring.iter().copied().cycle().skip(1))).collect();
    let count = sides.len();
    // All pairs of fewer sides are no trouble.
    if count < 2000 {
        return Ok(());
    }
    // Steps without a common factor with most counts visit pairs all over.
    let pairs = (0..TRIED).map(|at| (at * 7919 % count, (at * 104_729 + count / 2) % count));
    let crossing = pairs.filter(|(a, b)| a != b && cross(sides[*a], sides[*b])).count();
    let all = count as f64 * count as f64 / 2.0;
    if crossing as f64 / TRIED as f64 * all > MOST_CROSSINGS { Err(codes::WHAT_POINTS) } else { Ok(()) }
}

/// Whether two sides cross in their insides.
fn cross(a: ([f64; 2], [f64; 2]), b: ([f64; 2], [f64; 2])) -> bool {
    let turn = |p: [f64; 2], q: [f64; 2], r: [f64; 2]| (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
    turn(a.0, a.1, b.0) * turn(a.0, a.1, b.1) < 0.0 && turn(b.0, b.1, a.0) * turn(b.0, b.1, a.1) < 0.0
}

/// Points past which seams are left as they are.
const MOST_SEAMED: usize = 30_000;

/// Shapes drawn edge to edge part by a rounding error; what a blade cannot tell apart is joined.
/// The region comes back as it was unless that joins parts or closes slits.
fn without_seams(region: Region, width: f64) -> Region {
    let rings = |region: &Region| region.outlines.iter().flat_map(Outline::rings).count();
    let points: usize = region.outlines.iter().flat_map(Outline::rings).map(<[_]>::len).sum();
    if rings(&region) < 2 || points > MOST_SEAMED {
        return region;
    }
    let closed = geometry::shrink(&geometry::grow(&region, width / 2.0), width / 2.0);
    if rings(&closed) < rings(&region) && !closed.outlines.is_empty() { closed } else { region }
}

/// Shapes with y down to outlines with y up; slivers without area are dropped.
fn region_of(rings: &Shapes, height: f64) -> Region {
    let shapes = FloatOverlay::<[f64; 2], i64>::from_subj(rings).overlay(OverlayRule::Subject, FillRule::NonZero);
    let flipped = |ring: Vec<[f64; 2]>| -> Ring { ring.into_iter().map(|[x, y]| Point::new(x, height - y)).collect() };
    let outline = |shape: Vec<Vec<[f64; 2]>>| {
        let mut rings = shape.into_iter().map(flipped);
        contour::with_sound_holes(rings.next()?, rings.collect())
    };
    Region { outlines: shapes.into_iter().filter_map(outline).collect() }
}
