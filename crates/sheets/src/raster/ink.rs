//! Extras as small pictures.

use super::compose::Overlay;
use crate::extras::Extra;
use tiny_skia::{Color, FillRule, LineCap, LineJoin, Paint, PathBuilder, Pixmap, Stroke, Transform};

/// The extras in black at `k` pixels to the millimetre; what is too large to draw is left out.
pub(crate) fn overlays(extras: &[Extra], k: f64) -> Vec<Overlay> {
    extras.iter().filter_map(|extra| overlay(extra, k)).collect()
}

fn overlay(extra: &Extra, k: f64) -> Option<Overlay> {
    let bounds = extra.bounds()?;
    let (column, row) = ((bounds.min.y * k).floor() - 1.0, (bounds.min.x * k).floor() - 1.0);
    let side = |high: f64, low: f64| (high * k - low).ceil() as u32 + 1;
    let mut pixmap = Pixmap::new(side(bounds.max.y, column), side(bounds.max.x, row))?;
    let at = |p: &geometry::Point| match extra {
        Extra::Lines { .. } => ((p.y * k - column) as f32, (p.x * k - row) as f32),
        // Blocks lie on whole pixels, their lengths rounded once: hard edges, true to half a pixel.
        Extra::Fill(_) => {
            let whole = |v: f64, low: f64, first: f64| ((low * k).round() - first + ((v - low) * k).round()) as f32;
            (whole(p.y, bounds.min.y, column), whole(p.x, bounds.min.x, row))
        }
    };
    let mut path = PathBuilder::new();
    let mut add = |points: &[geometry::Point]| {
        for (nth, p) in points.iter().enumerate() {
            let (u, v) = at(p);
            if nth == 0 { path.move_to(u, v) } else { path.line_to(u, v) }
        }
    };
    let mut paint = Paint::default();
    paint.set_color(Color::BLACK);
    match extra {
        Extra::Lines { lines, thick } => {
            lines.iter().for_each(|line| add(line));
            let stroke = Stroke {
                width: (thick * k) as f32,
                line_cap: LineCap::Round,
                line_join: LineJoin::Round,
                ..Stroke::default()
            };
            pixmap.stroke_path(&path.finish()?, &paint, &stroke, Transform::identity(), None);
        }
        Extra::Fill(ring) => {
            add(ring);
            path.close();
            pixmap.fill_path(&path.finish()?, &paint, FillRule::Winding, Transform::identity(), None);
        }
    }
    // Black, so premultiplied and straight pixels are the same.
    Some(Overlay { column: column as i64, row: row as i64, width: pixmap.width() as usize, pixels: pixmap.take() })
}
