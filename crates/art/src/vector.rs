//! A drawing that has come through the door: paths only, nothing outside itself.

use crate::picture::Rgba8Image;
use resvg::tiny_skia::{Pixmap, Transform};
use std::sync::Arc;

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
    svg: Arc<str>,
}

impl VectorPicture {
    pub(crate) fn new(tree: Arc<usvg::Tree>, view: ViewBox) -> Self {
        let svg = normalised(&tree, view);
        Self { tree, view, svg: svg.into() }
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
        &self.svg
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

/// The drawing through a box, straight sRGB; `None` when a side is 0 or the memory is not to be had.
pub(crate) fn drawn(tree: &usvg::Tree, view: ViewBox, width: u32, height: u32) -> Option<Rgba8Image> {
    let mut pixmap = Pixmap::new(width, height)?;
    let scale = Transform::from_scale((f64::from(width) / view.width) as f32, (f64::from(height) / view.height) as f32);
    let transform = scale.pre_translate(-view.x as f32, -view.y as f32);
    resvg::render(tree, transform, &mut pixmap.as_mut());
    let mut pixels = pixmap.take();
    for pixel in pixels.chunks_exact_mut(4) {
        straighten(pixel);
    }
    Rgba8Image::new(width, height, pixels)
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
