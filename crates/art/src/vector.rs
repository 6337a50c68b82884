//! A drawing that has come through the door: paths only, nothing outside itself.

use crate::picture::Rgba8Image;
use resvg::tiny_skia::{Pixmap, PixmapMut, Transform};
use std::sync::{Arc, OnceLock};

/// The part of a drawing's plane that the art box shows, in the drawing's units, y down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ViewBox {
    /// Left edge.
    pub x: f64,
    /// Upper edge.
    pub y: f64,
    /// Width; more than 0.
    pub width: f64,
    /// Height; more than 0.
    pub height: f64,
}

/// A drawing and the box it is seen through.
#[derive(Debug, Clone)]
pub struct VectorPicture {
    tree: Arc<usvg::Tree>,
    view: ViewBox,
    /// Written when it is first asked for.
    svg: Arc<OnceLock<String>>,
}

impl VectorPicture {
    pub(crate) fn new(tree: Arc<usvg::Tree>, view: ViewBox) -> Self {
        Self { tree, view, svg: Arc::default() }
    }

    /// The parsed drawing.
    pub fn tree(&self) -> &usvg::Tree {
        &self.tree
    }

    /// What the art box shows of it.
    pub fn view(&self) -> ViewBox {
        self.view
    }

    /// The drawing as plain SVG: text as paths, styles settled, its `viewBox` the art box.
    pub fn svg(&self) -> &str {
        self.svg.get_or_init(|| normalised(&self.tree, self.view))
    }

    /// The drawing on its own page, not cut to the art box.
    pub(crate) fn whole_page(&self) -> String {
        self.tree.to_string(&usvg::WriteOptions { indent: usvg::Indent::None, ..usvg::WriteOptions::default() })
    }

    /// The same drawing through another box.
    pub(crate) fn seen_through(&self, view: ViewBox) -> Self {
        Self::new(Arc::clone(&self.tree), view)
    }

    /// The art box drawn on so many pixels; `None` when they cannot be had.
    pub(crate) fn drawn(&self, width: u32, height: u32) -> Option<Rgba8Image> {
        drawn(&self.tree, self.view, width, height)
    }
}

/// Pixels from which plain shapes are drawn in two halves side by side.
const WORTH_SHARING: usize = 1 << 18;

/// The drawing through a box, straight sRGB; `None` when a side is 0 or the memory is not to be had.
pub(crate) fn drawn(tree: &usvg::Tree, view: ViewBox, width: u32, height: u32) -> Option<Rgba8Image> {
    let mut pixels = Pixmap::new(width, height)?.take();
    let scale = Transform::from_scale((f64::from(width) / view.width) as f32, (f64::from(height) / view.height) as f32);
    let transform = scale.pre_translate(-view.x as f32, -view.y as f32);
    let part = |pixels: &mut [u8], top: u32, rows: u32| {
        let mut canvas = PixmapMut::from_bytes(pixels, width, rows)?;
        resvg::render(tree, transform.post_translate(0.0, -(top as f32)), &mut canvas);
        pixels.chunks_exact_mut(4).for_each(straighten);
        Some(())
    };
    let row = width as usize * 4;
    if pixels.len() / 4 < WORTH_SHARING || height < 2 || !shapes_only(tree.root()) {
        part(&mut pixels, 0, height)?;
    } else {
        let middle = height / 2;
        let (upper, lower) = pixels.split_at_mut(middle as usize * row);
        let (a, b) = std::thread::scope(|scope| {
            let part = &part;
            let b = scope.spawn(move || part(lower, middle, height - middle));
            (part(upper, 0, middle), b.join().ok().flatten())
        });
        a.and(b)?;
    }
    Rgba8Image::new(width, height, pixels)
}

/// Whether every pixel hangs on nothing but the shapes over it: no filter, mask, pattern or picture.
fn shapes_only(group: &usvg::Group) -> bool {
    let plain = |paint: &usvg::Paint| !matches!(paint, usvg::Paint::Pattern(_));
    group.filters().is_empty()
        && group.mask().is_none()
        && group.clip_path().is_none()
        && group.children().iter().all(|node| match node {
            usvg::Node::Group(group) => shapes_only(group),
            usvg::Node::Path(path) => {
                path.fill().is_none_or(|fill| plain(fill.paint()))
                    && path.stroke().is_none_or(|stroke| plain(stroke.paint()))
            }
            usvg::Node::Text(text) => shapes_only(text.flattened()),
            usvg::Node::Image(_) => false,
        })
}

fn straighten(pixel: &mut [u8]) {
    let alpha = u32::from(pixel[3]);
    if alpha == 255 || alpha == 0 {
        return;
    }
    for sample in &mut pixel[..3] {
        *sample = ((u32::from(*sample) * 255 + alpha / 2) / alpha).min(255) as u8;
    }
}

fn normalised(tree: &usvg::Tree, view: ViewBox) -> String {
    let written = tree.to_string(&usvg::WriteOptions { indent: usvg::Indent::None, ..usvg::WriteOptions::default() });
    // The writer opens with its own root element; only that one tag is replaced.
    let body = written.split_once('>').map_or("", |(_, body)| body);
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" \
         viewBox=\"{} {} {} {}\" width=\"{}\" height=\"{}\" preserveAspectRatio=\"none\">{body}",
        view.x, view.y, view.width, view.height, view.width, view.height
    )
}
