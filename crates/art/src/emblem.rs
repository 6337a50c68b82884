//! Signs that a mark is registered: whether it may be printed is for a person to say.

use geometry::{Bounds, Outline, Point, Region};
use usvg::roxmltree::Document;

/// Words and signs by which files say so, in lower case.
const SAID: [&str; 6] = ["®", "™", "℠", "registered trademark", "trade mark", "trademark"];

/// Whether the file itself says so, in its title, description, data about itself or lettering.
pub(crate) fn said(document: &Document<'_>) -> bool {
    const TELLING: [&str; 5] = ["title", "desc", "metadata", "text", "tspan"];
    let telling = document.descendants().filter(|node| TELLING.contains(&node.tag_name().name()));
    telling.flat_map(|node| node.descendants()).filter_map(|node| node.text()).any(|text| {
        let text = text.to_lowercase();
        SAID.iter().any(|sign| text.contains(sign))
    })
}

/// A ring this round is a circle: 4πA/P², 1 for a circle (the isoperimetric quotient).
const ROUND: f64 = 0.93;

/// The encircled letter is at most this large beside the art.
const SMALL: f64 = 0.15;

/// Where a small letter with one counter stands in a circle of its own, as the sign ® is drawn.
pub(crate) fn drawn(ink: &Region) -> Option<Bounds> {
    let whole = ink.bounds()?;
    let longest = whole.width().max(whole.height());
    let circles = ink.outlines.iter().filter_map(|part| Some((part.bounds(), within(part, SMALL * longest)?)));
    circles.into_iter().find_map(|(around, hole)| {
        let letter = |part: &&Outline| {
            let (box_, across) = (part.bounds(), hole.width());
            let part_centre = box_.centre();
            part.holes().len() == 1
                && hole.contains(&box_)
                && (0.35..0.85).contains(&(box_.height() / across))
                && part_centre.distance(hole.centre()) < 0.2 * across
        };
        ink.outlines.iter().find(letter).map(|_| around)
    })
}

/// The inside of a thin circle no larger than `most` across.
fn within(part: &Outline, most: f64) -> Option<Bounds> {
    let [hole] = part.holes() else { return None };
    let across = part.bounds().width();
    if across > most || roundness(part.outer()) < ROUND || roundness(hole) < ROUND {
        return None;
    }
    let inside = Bounds::around(hole)?;
    (inside.width() > 0.6 * across).then_some(inside)
}

fn roundness(ring: &[Point]) -> f64 {
    let next = || ring.iter().cycle().skip(1);
    let area: f64 = ring.iter().zip(next()).map(|(a, b)| a.x * b.y - a.y * b.x).sum::<f64>().abs() / 2.0;
    let girth: f64 = ring.iter().zip(next()).map(|(a, b)| a.distance(*b)).sum();
    4.0 * std::f64::consts::PI * area / (girth * girth).max(1e-12)
}
