//! What blocks a print, said so that a person can act on it.

use crate::codes;
use crate::layers::{Layers, gap};
use crate::place::Placed;
use crate::reach::{LoadWay, PILLOW_MARGIN_MM, Search};
use report::{Finding, Severity, Value};
use trade::platens::{SEAM_DISTANCE_MM, fits, largest_art};
use trade::{GarmentStyle, PlatenForm, PlatenShape};
use units::Length;

fn length(mm: f64) -> Value {
    Value::Length(Length::from_mm(mm).unwrap_or_default())
}

/// Shell, wadding and lining are one.
pub(crate) fn quilted(style: &GarmentStyle) -> Finding {
    Finding::new(Severity::StopsLine, codes::QUILTED_THROUGH, codes::QUILTED_REMEDY)
        .named("garment", style.name.clone())
}

/// How one gets between shell and lining must be asked.
pub(crate) fn lining_unknown(style: &GarmentStyle) -> Finding {
    Finding::new(Severity::Ask, codes::LINING_ASK, codes::LINING_LOOK).named("garment", style.name.clone())
}

/// The finding for a print that none of `ways` (load, with a pillow or not) reaches.
pub(crate) fn finding(search: &Search<'_>, placed: &Placed, ways: impl Iterator<Item = (LoadWay, bool)>) -> Finding {
    if let Some(finding) = too_large(search, placed) {
        return finding;
    }
    // The most accommodating way is the last: what still blocks there is the true reason.
    let ways: Vec<(LoadWay, bool)> = ways.collect();
    let least = ways.last().map_or(LoadWay::LaidFlat, |(load, _)| *load);
    let layers = Layers::of(search, placed, least);
    match layers.art_blocked(&placed.bounds, SEAM_DISTANCE_MM) {
        Some(raised) if gap(&placed.bounds, &raised.bounds) < PILLOW_MARGIN_MM || raised.kind.under_art_only() => {
            about(search, placed, Severity::StopsLine, codes::ART_ON_OBSTACLE, codes::ART_MOVE)
                .with("obstacle", Value::Term(raised.kind.term()))
                .with("distance", length(gap(&placed.bounds, &raised.bounds)))
                .with("limit", length(SEAM_DISTANCE_MM))
        }
        _ => on_platen(search, placed, &layers),
    }
}

fn about(
    search: &Search<'_>,
    placed: &Placed,
    severity: Severity,
    code: report::Code,
    remedy: report::Code,
) -> Finding {
    Finding::new(severity, code, remedy)
        .named("garment", search.style.name.clone())
        .named("size", search.size.name.clone())
        .with("position", Value::Term(placed.position.term()))
        .with("width", length(placed.bounds.width()))
        .with("height", length(placed.bounds.height()))
}

/// No platen of the right kind holds the art at all, or no press holds the platen.
fn too_large(search: &Search<'_>, placed: &Placed) -> Option<Finding> {
    let (w, h) = (
        Length::from_mm(placed.bounds.width()).unwrap_or_default(),
        Length::from_mm(placed.bounds.height()).unwrap_or_default(),
    );
    let special = match placed.panel {
        crate::panel::Panel::CapFront => Some(PlatenForm::Cap),
        _ => None,
    };
    let suits = |form: PlatenForm| special.map_or(!crate::fit::is_special(form), |wanted| form == wanted);
    let holds = |shape: PlatenShape| fits(shape, w, h) || fits(shape, h, w);
    let suitable: Vec<_> = search.shop.platens().filter(|(_, platen)| suits(platen.form)).collect();
    let largest = suitable
        .iter()
        .map(|(_, platen)| largest_art(platen.shape))
        .max_by(|a, b| (a.0.mm() * a.1.mm()).total_cmp(&(b.0.mm() * b.1.mm())));
    let holding: Vec<_> = suitable.iter().filter(|(_, platen)| holds(platen.shape)).collect();
    if holding.is_empty() {
        let (wide, deep) = largest.unwrap_or_default();
        return Some(
            about(search, placed, Severity::StopsLine, codes::NO_PLATEN, codes::NO_PLATEN_REMEDY)
                .with("limit-width", Value::Length(wide))
                .with("limit-height", Value::Length(deep)),
        );
    }
    let mounted = |id| search.shop.presses().any(|(_, press)| press.platens.contains(&id));
    if holding.iter().any(|(id, _)| mounted(*id)) {
        return None;
    }
    let name = holding.first().map_or_else(String::new, |(_, platen)| platen.name.clone());
    Some(about(search, placed, Severity::StopsLine, codes::NO_PRESS, codes::NO_PRESS_REMEDY).named("platen", name))
}

/// Something raised lies on every platen that holds the art.
fn on_platen(search: &Search<'_>, placed: &Placed, layers: &Layers) -> Finding {
    let art = placed.bounds;
    let raised = layers.raised();
    let nearest = layers
        .all
        .iter()
        .filter(|r| raised.contains(&r.bounds))
        .min_by(|a, b| gap(&art, &a.bounds).total_cmp(&gap(&art, &b.bounds)));
    let free = free_around(&art, &raised);
    let finding = about(search, placed, Severity::StopsLine, codes::PLATEN_ON_OBSTACLE, codes::PLATEN_PILLOW)
        .with("free-width", length(free.width()))
        .with("free-height", length(free.height()))
        .with("least-width", length(art.width() + 2.0 * PILLOW_MARGIN_MM))
        .with("least-height", length(art.height() + 2.0 * PILLOW_MARGIN_MM));
    match nearest {
        Some(r) => finding
            .with("obstacle", Value::Term(r.kind.term()))
            .with("distance", length(gap(&art, &r.bounds)))
            .with("step", length(r.step_mm)),
        None => finding
            .with("obstacle", Value::Term(codes::OBSTACLE_EDGE))
            .with("distance", length(0.0))
            .with("step", length(0.0)),
    }
}

/// The free rectangle around the art: grown sideways first, then up and down.
fn free_around(art: &geometry::Bounds, raised: &[geometry::Bounds]) -> geometry::Bounds {
    const FARTHEST: f64 = 600.0;
    let mut free = art.grown(FARTHEST);
    for b in raised {
        if b.min.y < art.max.y && b.max.y > art.min.y {
            if b.min.x >= art.max.x {
                free.max.x = free.max.x.min(b.min.x);
            } else if b.max.x <= art.min.x {
                free.min.x = free.min.x.max(b.max.x);
            }
        }
    }
    for b in raised {
        if b.min.x < free.max.x && b.max.x > free.min.x {
            if b.min.y >= art.max.y {
                free.max.y = free.max.y.min(b.min.y);
            } else if b.max.y <= art.min.y {
                free.min.y = free.min.y.max(b.max.y);
            }
        }
    }
    free
}
