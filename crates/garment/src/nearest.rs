//! The nearest that works for a print that cannot be pressed where it was put.

use crate::panel::PanelShape;
use crate::place::{Placed, holds, moved, on_panel, scaled};
use crate::position::Position;
use crate::reach::{Change, Nearest, Reach, Search};
use crate::sizes::usual_size;
use geometry::{Bounds, Point};
use units::Length;

/// Step of the search for a move near the spot, mm.
const STEP_MM: f64 = 5.0;
/// How far the fine steps go; beyond, every third is looked at, mm.
const FINE_MM: f64 = 30.0;
/// Farthest move looked at, mm.
const FARTHEST_MM: f64 = 120.0;
/// Shares of the wanted size looked at, the largest first.
const SCALES: [f64; 9] = [0.95, 0.9, 0.85, 0.8, 0.75, 0.7, 0.65, 0.6, 0.5];

/// A short move of the whole art; else smaller art near the spot; else another
/// position in its usual size. `None` when nothing on this garment works.
pub(crate) fn nearest(search: &Search<'_>, placed: &Placed) -> Option<Nearest> {
    let shape = search.flat.panel(placed.panel)?;
    moved_only(search, shape, placed).or_else(|| smaller(search, shape, placed)).or_else(|| elsewhere(search, placed))
}

/// Moves by growing distance; art on a centre line moves along it only.
fn moves(placed: &Placed, farthest: f64) -> Vec<(f64, f64)> {
    let centred = placed.bounds.centre().x.abs() < 0.5;
    let steps = (farthest / STEP_MM) as i32;
    let mut list = Vec::new();
    for i in -steps..=steps {
        for j in -steps..=steps {
            let (x, y) = (f64::from(i) * STEP_MM, f64::from(j) * STEP_MM);
            let coarse = x.hypot(y) > FINE_MM && (i % 3 != 0 || j % 3 != 0);
            if (centred && i != 0) || coarse {
                continue;
            }
            if x.hypot(y) <= farthest {
                list.push((x, y));
            }
        }
    }
    list.sort_by(|a, b| a.0.hypot(a.1).total_cmp(&b.0.hypot(b.1)).then(a.1.total_cmp(&b.1)).then(a.0.total_cmp(&b.0)));
    list
}

fn shifted(b: &Bounds, (x, y): (f64, f64)) -> Bounds {
    Bounds { min: Point::new(b.min.x + x, b.min.y + y), max: Point::new(b.max.x + x, b.max.y + y) }
}

fn first_reached(
    search: &Search<'_>,
    shape: &PanelShape,
    placed: &Placed,
    bounds: &Bounds,
    farthest: f64,
) -> Option<((f64, f64), Placed, Reach)> {
    moves(placed, farthest).into_iter().find_map(|by| {
        let at = shifted(bounds, by);
        if !holds(shape, &at) {
            return None;
        }
        let candidate = moved(search.style, shape, placed, at);
        search.reach(&candidate).ok().map(|reach| (by, candidate, reach))
    })
}

fn length(mm: f64) -> Length {
    Length::from_mm(mm).unwrap_or_default()
}

fn moved_only(search: &Search<'_>, shape: &PanelShape, placed: &Placed) -> Option<Nearest> {
    let (by, placed, reach) = first_reached(search, shape, placed, &placed.bounds, FARTHEST_MM)?;
    Some(Nearest { change: Change::Moved { right: length(by.0), up: length(by.1) }, placed, reach })
}

fn smaller(search: &Search<'_>, shape: &PanelShape, placed: &Placed) -> Option<Nearest> {
    SCALES.into_iter().find_map(|scale| {
        let bounds = scaled(&placed.bounds, scale);
        let (by, placed, reach) = first_reached(search, shape, placed, &bounds, FARTHEST_MM / 3.0)?;
        let change = Change::Smaller { scale, right: length(by.0), up: length(by.1) };
        Some(Nearest { change, placed, reach })
    })
}

/// Other positions in the order people fall back on them.
const FALLBACK: [Position; 18] = [
    Position::LeftChest,
    Position::CentreChest,
    Position::ZipFrontLeft,
    Position::ShirtLeftChest,
    Position::UpperBack,
    Position::FullBack,
    Position::FullFront,
    Position::ShortSleeveLeft,
    Position::LongSleeveLeft,
    Position::LegLeft,
    Position::LegCuffLeft,
    Position::AbovePocket,
    Position::HoodLeft,
    Position::Tote,
    Position::ApronBib,
    Position::InfantBib,
    Position::Sock,
    Position::HemLeft,
];

fn elsewhere(search: &Search<'_>, placed: &Placed) -> Option<Nearest> {
    let (w, h) = art_size(placed);
    FALLBACK.into_iter().filter(|p| *p != placed.position && p.is_on(search.style, search.size)).find_map(|position| {
        let usual = usual_size(position, search.size.band, search.style.class)?;
        let scale = (usual.widest.mm() / w).min(usual.max_height.mm() / h).min(1.0);
        let art = (length(w * scale), length(h * scale));
        let candidate = on_panel(search.style, search.size, search.flat, position, art, None).ok()?;
        let reach = search.reach(&candidate).ok()?;
        Some(Nearest { change: Change::Elsewhere, placed: candidate, reach })
    })
}

/// Width and height of the art as designed.
fn art_size(placed: &Placed) -> (f64, f64) {
    let (w, h) = (placed.bounds.width(), placed.bounds.height());
    if placed.position.runs_along() { (h, w) } else { (w, h) }
}
