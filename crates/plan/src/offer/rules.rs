//! Rules of cloth, recipe, art, size and finish.

use super::{Weighing, about_term};
use crate::codes;
use crate::result::Fit;
use art::Measures;
use report::{Code, Finding, Named, Origin, Outcome, Reason, Severity, Value};
use trade::ceilings::{Bearing, platen_ceiling, platen_ceilings};
use trade::{Fibre, PressStep, Proof, Recipe, StockShape, Surface};
use units::{Length, Temperature};

/// Share of the mass from which a fibre decides, percent.
const DECIDES_PERCENT: u8 = 20;

/// What this shop saw of the transfer on this cloth. After a maker's own word it
/// outranks every default and model: what is proven here is taken in spite of
/// their doubts, what failed here is not taken in spite of their praise.
pub(super) fn evidence(weighing: &mut Weighing<'_>) {
    let (shop, transfer) = (weighing.shop, weighing.transfer);
    let cloth = shop.find_cloth(&weighing.line.cloth.id);
    let seen = shop.find_transfer(&transfer.id).zip(cloth).and_then(|(transfer, cloth)| shop.evidence(transfer, cloth));
    let Some(seen) = seen else { return };
    let count = |reason: Reason, name, value: u32| reason.from(name, Value::Count(i64::from(value)), Origin::Measured);
    let said = |rule| {
        let reason = count(Reason::new(rule), "times", seen.orders);
        let reason = count(count(reason, "pieces", seen.pieces), "washes", seen.washes_held);
        count(count(reason, "returned", seen.returned), "tests", seen.tests_held)
    };
    match seen.verdict() {
        Proof::Proven => {
            // A maker's word stays; what a default or a model doubts was answered by the work itself.
            let by_maker = |reason: &Reason| {
                reason.inputs.iter().any(|input| matches!(input.origin, Origin::Maker | Origin::Person))
            };
            let outranked = |fit: Fit, reason: &Reason| {
                (fit == Fit::WithConditions && !by_maker(reason)) || reason.rule == codes::HEAT_OVER
            };
            weighing.against.retain(|(fit, reason)| !outranked(*fit, reason));
            weighing.fit = weighing.against.iter().map(|(fit, _)| *fit).max().unwrap_or(Fit::Fits);
            weighing.for_it.insert(0, said(codes::EVIDENCE_GOOD));
        }
        Proof::Failed => {
            let reason = said(codes::EVIDENCE_BAD);
            let reason = count(reason, "failed", seen.washes_failed.unwrap_or(0));
            weighing.fails(count(reason, "tests-failed", seen.tests_failed), 10.0);
        }
        Proof::Open => weighing.speaks_for(said(codes::EVIDENCE_OPEN)),
    }
}

/// Fibres, face and stretch of the cloth.
pub(super) fn cloth(weighing: &mut Weighing<'_>) {
    let (cloth, transfer) = (weighing.line.cloth, weighing.transfer);
    let dye = weighing.line.colour.dye;
    let binding = platen_ceiling(cloth, dye, weighing.shade(), transfer.kind);
    if binding.bearing == Bearing::Refuse {
        let mut reason = binding.reason(cloth, dye);
        let presses = transfer.recipes.iter().filter_map(Recipe::full_press);
        let coolest = presses.map(|press| press.temperature.low).reduce(Temperature::min);
        if let Some(low) = coolest.filter(|low| *low > binding.limit.value) {
            reason = reason.from("by", Value::Difference(low - binding.limit.value), Origin::Model);
        }
        weighing.fails(reason, 8.0);
    }
    for share in cloth.fibres.iter().filter(|share| share.percent >= DECIDES_PERCENT) {
        let term = trade::codes::fibre(share.fibre);
        if transfer.avoid.value.contains(&share.fibre) {
            weighing.fails(about_term(codes::FIBRE_AVOID, "fibre", term, transfer.avoid.origin), 4.0);
        } else if transfer.good_on.value.contains(&share.fibre) {
            weighing.speaks_for(about_term(codes::FIBRE_GOOD, "fibre", term, transfer.good_on.origin));
        } else {
            weighing.condition(about_term(codes::FIBRE_UNNAMED, "fibre", term, transfer.good_on.origin));
        }
    }
    face(weighing);
    stretch(weighing);
}

fn face(weighing: &mut Weighing<'_>) {
    let (surface, transfer) = (weighing.line.cloth.surface, weighing.transfer);
    let term = trade::codes::surface(surface);
    let named = transfer.surfaces.value.contains(&surface);
    match surface {
        Surface::Plain => {}
        _ if named => weighing.speaks_for(about_term(codes::SURFACE_GOOD, "surface", term, transfer.surfaces.origin)),
        Surface::Pile => weighing.condition(about_term(codes::SURFACE_PILE, "surface", term, transfer.surfaces.origin)),
        _ => weighing.fails(about_term(codes::SURFACE_BAD, "surface", term, transfer.surfaces.origin), 3.0),
    }
}

fn stretch(weighing: &mut Weighing<'_>) {
    let (film, cloth) = (&weighing.transfer.stretch, &weighing.line.cloth.working_stretch);
    let reason = |code| {
        Reason::new(code).from("stretch", Value::Share(film.value), film.origin).from(
            "needed",
            Value::Share(cloth.value),
            cloth.origin,
        )
    };
    // Makers' and shops' figures of stretch are read to a few percent.
    if film.value + 0.02 >= cloth.value {
        weighing.speaks_for(reason(codes::STRETCH_GOOD));
    } else if film.value + 0.15 >= cloth.value {
        weighing.condition(reason(codes::STRETCH_SHORT));
    } else {
        weighing.fails(reason(codes::STRETCH_SHORT), (cloth.value - film.value) * 10.0);
    }
}

/// The maker's recipe that holds for this cloth, and whether its temperatures may be used on it.
pub(super) fn recipe<'a>(weighing: &mut Weighing<'a>) -> Option<(usize, &'a Recipe)> {
    let transfer = weighing.transfer;
    if transfer.recipes.is_empty() {
        weighing.fails(Reason::new(codes::NO_RECIPE), 6.0);
        return None;
    }
    let cloth = weighing.line.cloth;
    let main = cloth.fibres.first().map_or(Fibre::Cotton, |share| share.fibre);
    let holds = |recipe: &&Recipe| {
        (recipe.for_fibres.is_empty() || recipe.for_fibres.contains(&main))
            && (recipe.for_surfaces.is_empty() || recipe.for_surfaces.contains(&cloth.surface))
    };
    let Some((at, recipe)) = transfer.recipes.iter().enumerate().find(|(_, recipe)| holds(recipe)) else {
        weighing.fails(
            Reason::new(codes::NO_RECIPE_FOR_CLOTH)
                .from("fibre", Value::Term(trade::codes::fibre(main)), Origin::Shop)
                .from("surface", Value::Term(trade::codes::surface(cloth.surface)), Origin::Shop),
            3.0,
        );
        return None;
    };
    let Some(full) = recipe.full_press() else {
        weighing.fails(Reason::new(codes::NO_RECIPE), 6.0);
        return None;
    };
    ceilings(weighing, full, &recipe.source);
    Some((at, recipe))
}

/// Platen ceilings of the cloth against the maker's range.
fn ceilings(weighing: &mut Weighing<'_>, full: &PressStep, source: &str) {
    let (cloth, dye, shade) = (weighing.line.cloth, weighing.line.colour.dye, weighing.shade());
    let kind = weighing.transfer.kind;
    let binding = platen_ceiling(cloth, dye, shade, kind);
    let ceiling = binding.limit.value;
    let (low, set) = (full.temperature.low, full.temperature.set);
    let with_range = |reason: Reason| {
        reason.sourced("low", Value::Temperature(low), Origin::Maker, source).from(
            "ceiling",
            Value::Temperature(ceiling),
            binding.limit.origin,
        )
    };
    if low > ceiling && binding.bearing != Bearing::Refuse {
        let by = low - ceiling;
        let reason = with_range(Reason::new(codes::TOO_HOT)).from("by", Value::Difference(by), Origin::Model);
        weighing.fails(reason, by.k() / 10.0);
    } else if set > ceiling {
        weighing.condition(with_range(Reason::new(codes::SET_LOWER)).from(
            "set",
            Value::Temperature(set),
            Origin::Maker,
        ));
    }
    for caution in platen_ceilings(cloth, dye, shade, kind) {
        if caution.bearing == Bearing::Caution && set > caution.limit.value && weighing.fit != Fit::DoesNot {
            weighing.condition(caution.reason(cloth, dye));
        }
    }
}

/// What the art's measures say for this kind.
pub(super) fn art(weighing: &mut Weighing<'_>, measured: &Outcome<Measures>) {
    for finding in &measured.findings {
        let mut reason = about_finding(codes::ART_UNFIT, finding);
        match finding.severity {
            Severity::StopsLine => weighing.fails(reason, 1.5),
            Severity::Ask | Severity::Warning => {
                reason.rule = codes::ART_RISKY;
                weighing.condition(reason);
            }
            Severity::Note => {}
        }
    }
}

/// A reason that stands on something found on the art.
pub(super) fn about_finding(rule: Code, finding: &Finding) -> Reason {
    let reason = about_term(rule, "finding", finding.code, Origin::Measured);
    let quantity = |reason: Reason, named: &Named| reason.from(named.name, named.value.clone(), Origin::Measured);
    finding.quantities.iter().fold(reason, quantity)
}

/// Whether a piece of this size can be had at all.
pub(super) fn size(weighing: &mut Weighing<'_>) {
    let (width, height) = (weighing.print.size.width(), weighing.print.size.height());
    let shop = weighing.shop;
    let on_stock = weighing.transfer.stock.iter().any(|id| {
        let item = shop.stock_item(*id);
        let (across, along) = match &item.shape {
            StockShape::Sheet { width, length, .. } => (*width, *length),
            StockShape::Roll { width, maximum, .. } => (*width, *maximum),
        };
        fits_within((width, height), (across - item.margin * 2.0, along - item.margin * 2.0))
    });
    let in_makers_limit = weighing.transfer.largest.is_none_or(|largest| fits_within((width, height), largest));
    if !(on_stock && in_makers_limit) {
        let reason = Reason::new(codes::TOO_LARGE).from("width", Value::Length(width), Origin::Person).from(
            "height",
            Value::Length(height),
            Origin::Person,
        );
        weighing.fails(reason, 2.0);
    }
}

/// The look asked for; another look stays possible but comes last.
pub(super) fn finish(weighing: &mut Weighing<'_>) {
    let Some(asked) = weighing.print.wish.finish else { return };
    let has = weighing.transfer.finish;
    let term = trade::codes::finish(has);
    if has == asked {
        weighing.speaks_for(about_term(codes::FINISH_GOOD, "finish", term, Origin::Person));
    } else {
        weighing.condition(about_term(codes::FINISH_OTHER, "finish", term, Origin::Maker).from(
            "asked",
            Value::Term(trade::codes::finish(asked)),
            Origin::Person,
        ));
    }
}

/// Whether a piece lies within an area, upright or turned by a quarter.
fn fits_within(piece: (Length, Length), area: (Length, Length)) -> bool {
    (piece.0 <= area.0 && piece.1 <= area.1) || (piece.1 <= area.0 && piece.0 <= area.1)
}
