//! What drawing a tree would cost, counted before anything is drawn.
//!
//! A small file can ask for hours of painting: dashes by the million, patterns in
//! patterns, layers over layers, effects with huge reach. Each is counted in painted
//! pixels, roughly, and refused past the cap.

use crate::codes;
use crate::read::Door;
use report::Finding;
use resvg::tiny_skia;
use std::collections::BTreeMap;
use usvg::filter::Kind;
use usvg::{Group, Node, Paint, Path, Tree};

/// Dashes of all strokes together.
const MOST_DASHES: f64 = 300_000.0;

/// Bytes of all layers open at one time.
const MOST_LAYER_BYTES: f64 = 400e6;

/// The least side, px, on which a drawing is still worth looking at.
const LEAST_SIDE: f64 = 400.0;

/// What it would cost to draw.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Effort {
    /// Pixels painted, effects counted by their work.
    pub painted: f64,
    /// Of these, by filter effects.
    pub by_filters: f64,
    /// Bytes of layers open at one time, beyond the picture itself.
    pub layers: f64,
    /// Dashes to be cut.
    pub dashes: f64,
}

/// Refuses a tree that cannot be drawn within the cap even at a small size.
pub(crate) fn within(door: &Door<'_>, tree: &Tree) -> Result<(), Finding> {
    let effort = of(tree, LEAST_SIDE / longest(tree));
    if effort.dashes > MOST_DASHES {
        return Err(door.heavy("dashes"));
    }
    let cap = door.options.caps.painted as f64;
    if effort.by_filters > cap / 2.0 {
        return Err(door.stop(codes::FILTER_HEAVY, codes::FIX_FLATTEN).named("effect", "filter"));
    }
    if effort.painted > cap {
        return Err(door.heavy("layers"));
    }
    if effort.layers > MOST_LAYER_BYTES {
        return Err(door.heavy("layers"));
    }
    Ok(())
}

/// The largest side up to `side`, px, at which the tree is drawn within `most` painted pixels.
pub(crate) fn affordable_side(tree: &Tree, side: f64, most: f64) -> Option<f64> {
    let mut side = side;
    while side >= LEAST_SIDE {
        let effort = of(tree, side / longest(tree));
        if effort.painted <= most && effort.layers <= MOST_LAYER_BYTES {
            return Some(side);
        }
        side /= std::f64::consts::SQRT_2;
    }
    let effort = of(tree, LEAST_SIDE / longest(tree));
    (effort.painted <= most && effort.layers <= MOST_LAYER_BYTES).then_some(LEAST_SIDE)
}

/// What drawing the whole tree costs at `scale` pixels a unit.
pub(crate) fn of(tree: &Tree, scale: f64) -> Effort {
    let (width, height) = (f64::from(tree.size().width()) * scale, f64::from(tree.size().height()) * scale);
    let mut counter = Counter { scale, canvas: (width * height).max(1.0), known: BTreeMap::new() };
    counter.group(tree.root())
}

fn longest(tree: &Tree) -> f64 {
    f64::from(tree.size().width().max(tree.size().height()))
}

struct Counter {
    scale: f64,
    canvas: f64,
    /// Parts drawn in more than one place, by where they are kept, so that each is counted once.
    known: BTreeMap<usize, Effort>,
}

impl Counter {
    fn group(&mut self, group: &Group) -> Effort {
        let mut sum = Effort::default();
        for node in group.children() {
            let part = match node {
                Node::Group(inner) => self.group(inner),
                Node::Path(path) => self.path(path),
                Node::Image(image) => {
                    let own = f64::from(image.size().width()) * f64::from(image.size().height());
                    Effort {
                        painted: own + self.area(image.abs_bounding_box()),
                        layers: own * 4.0,
                        ..Effort::default()
                    }
                }
                Node::Text(text) => self.group(text.flattened()),
            };
            sum.take(part);
        }
        if group.should_isolate() {
            let area = self.area(group.abs_layer_bounding_box().to_rect());
            sum.painted += 2.0 * area;
            sum.layers += 4.0 * area;
            if let Some(clip) = group.clip_path() {
                sum.take(self.shared(clip.root()));
                sum.painted += area;
                let mut inner = clip.clip_path();
                while let Some(clip) = inner {
                    sum.take(self.shared(clip.root()));
                    inner = clip.clip_path();
                }
            }
            let mut mask = group.mask();
            while let Some(inner) = mask {
                sum.take(self.shared(inner.root()));
                sum.painted += 3.0 * area;
                sum.layers += 4.0 * area;
                mask = inner.mask();
            }
            for filter in group.filters() {
                let cost = self.filter(filter);
                sum.take(cost);
            }
        }
        sum
    }

    fn shared(&mut self, root: &Group) -> Effort {
        let key = std::ptr::from_ref(root).addr();
        if let Some(known) = self.known.get(&key) {
            return *known;
        }
        let effort = self.group(root);
        self.known.insert(key, effort);
        effort
    }

    fn path(&mut self, path: &Path) -> Effort {
        let segments = path.data().len() as f64;
        let mut sum = Effort { painted: segments * 8.0, ..Effort::default() };
        let paints = [path.fill().map(usvg::Fill::paint), path.stroke().map(usvg::Stroke::paint)];
        for paint in paints.into_iter().flatten() {
            sum.painted += self.area(path.abs_stroke_bounding_box());
            if let Paint::Pattern(pattern) = paint {
                sum.take(self.shared(pattern.root()));
                sum.layers += 4.0 * self.canvas;
            }
        }
        if let Some(dashes) = path.stroke().and_then(usvg::Stroke::dasharray) {
            let period: f64 = dashes.iter().map(|d| f64::from(*d)).sum();
            sum.dashes += length(path.data()) * dashes.len() as f64 / period.max(1e-9);
            sum.painted += sum.dashes * 64.0;
        }
        sum
    }

    fn filter(&mut self, filter: &usvg::filter::Filter) -> Effort {
        let mut sum = Effort::default();
        let scale = self.scale;
        for primitive in filter.primitives() {
            // An effect never spreads over more than the picture.
            let area = self.canvas;
            let work = match primitive.kind() {
                Kind::Turbulence(turbulence) => 40.0 * f64::from(turbulence.num_octaves()),
                Kind::Morphology(morphology) => {
                    let reach = |radius: f32| (2.0 * f64::from(radius) * scale + 1.0).min(self.canvas.sqrt() * 2.0);
                    reach(morphology.radius_x().get()) * reach(morphology.radius_y().get())
                }
                Kind::ConvolveMatrix(convolve) => {
                    f64::from(convolve.matrix().columns()) * f64::from(convolve.matrix().rows())
                }
                Kind::DiffuseLighting(_) | Kind::SpecularLighting(_) => 20.0,
                Kind::GaussianBlur(_) | Kind::DropShadow(_) => 12.0,
                Kind::Image(image) => {
                    sum.take(self.shared(image.root()));
                    4.0
                }
                Kind::Merge(merge) => 4.0 * merge.inputs().len() as f64,
                _ => 4.0,
            };
            sum.by_filters += area * work;
            sum.painted += area * work;
            // Every result is kept until the filter ends.
            sum.layers += 4.0 * area;
        }
        sum
    }

    fn area(&self, bounds: usvg::Rect) -> f64 {
        let (width, height) = (f64::from(bounds.width()) * self.scale, f64::from(bounds.height()) * self.scale);
        ((width + 1.0) * (height + 1.0)).min(self.canvas)
    }
}

impl Effort {
    /// Work adds up; of layers only the deepest pile is open at one time.
    fn take(&mut self, part: Self) {
        self.painted += part.painted;
        self.by_filters += part.by_filters;
        self.dashes += part.dashes;
        self.layers = self.layers.max(part.layers);
    }
}

/// Length of a path along its control points, never less than its own.
fn length(path: &tiny_skia::Path) -> f64 {
    path.points().windows(2).map(|pair| f64::from(pair[0].distance(pair[1]))).sum()
}
