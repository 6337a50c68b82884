//! Union, intersection and difference, on a whole-number grid fine enough to
//! lose nothing that can be measured (2⁻⁶⁰ of the extent).

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::overlay::FloatOverlay;

use crate::{Outline, Point, Region, Ring};

/// Rings as the overlay engine takes them.
pub(crate) type Rings = Vec<Vec<[f64; 2]>>;

/// Coordinates past this are not handled, mm; rings beyond it are left out.
const FARTHEST_MM: f64 = 1e12;

/// Everything that lies in any of the regions.
///
/// Coordinates up to 10¹² mm; rings beyond are left out.
pub fn union(regions: &[Region]) -> Region {
    let rings: Rings = regions.iter().flat_map(rings_of).collect();
    filled(&rings)
}

/// Everything that lies in both regions. Limits as for [`union`].
pub fn intersect(a: &Region, b: &Region) -> Region {
    combined(a, b, OverlayRule::Intersect)
}

/// Everything that lies in `a` and not in `b`. Limits as for [`union`].
pub fn subtract(a: &Region, b: &Region) -> Region {
    combined(a, b, OverlayRule::Difference)
}

/// The region that rings of any kind enclose, by non-zero winding: self-crossing
/// and overlapping rings become simple ones.
pub(crate) fn filled(rings: &Rings) -> Region {
    region(FloatOverlay::<[f64; 2], i64>::from_subj(rings).overlay(OverlayRule::Subject, FillRule::NonZero))
}

/// The region that rings enclose by the even-odd rule, so that crossings become touching parts.
pub fn even_odd(rings: &[Ring]) -> Region {
    let rings: Rings = rings.iter().map(|r| points(r)).filter(|r| near(r)).collect();
    region(FloatOverlay::<[f64; 2], i64>::from_subj(&rings).overlay(OverlayRule::Subject, FillRule::EvenOdd))
}

/// `subject` less `clip`, both by non-zero winding.
pub(crate) fn less(subject: &Rings, clip: &Rings) -> Region {
    if clip.is_empty() {
        return filled(subject);
    }
    region(
        FloatOverlay::<[f64; 2], i64>::from_subj_and_clip(subject, clip)
            .overlay(OverlayRule::Difference, FillRule::NonZero),
    )
}

/// The rings of a region as the overlay engine takes them.
pub(crate) fn rings_of(region: &Region) -> Rings {
    region.outlines.iter().flat_map(Outline::rings).map(points).filter(|r| near(r)).collect()
}

fn combined(a: &Region, b: &Region, rule: OverlayRule) -> Region {
    let (a, b) = (rings_of(a), rings_of(b));
    region(FloatOverlay::<[f64; 2], i64>::from_subj_and_clip(&a, &b).overlay(rule, FillRule::NonZero))
}

fn points(ring: &[Point]) -> Vec<[f64; 2]> {
    ring.iter().map(|p| [p.x, p.y]).collect()
}

fn near(ring: &[[f64; 2]]) -> bool {
    ring.iter().flatten().all(|v| v.abs() <= FARTHEST_MM)
}

fn region(shapes: Vec<Vec<Vec<[f64; 2]>>>) -> Region {
    let ring = |points: Vec<[f64; 2]>| -> Ring { points.into_iter().map(|[x, y]| Point::new(x, y)).collect() };
    let outline = |shape: Vec<Vec<[f64; 2]>>| {
        let mut rings = shape.into_iter().map(ring);
        let outer = rings.next()?;
        let holes = rings.filter(|hole| crate::shape::signed_area(hole) != 0.0).collect();
        Outline::new(outer, holes).ok()
    };
    Region { outlines: shapes.into_iter().filter_map(outline).collect() }
}
