//! Every transfer of the shelf weighed for one print: what speaks for it, what
//! against, and by how much it fails.
//!
//! Makers' sheets come first, then rules of common practice, then the heat
//! model on this very cloth.

mod colours;
mod heat_window;
mod layering;
mod rules;

use crate::codes;
use crate::crew::Crew;
use crate::draft::{LineDraft, PrintDraft};
use crate::films;
use crate::layout::Priced;
use crate::press_heat::HeatBook;
use crate::result::{Candidate, Fit};
use crate::shapes::Shapes;
use crate::shelf::Shelf;
use art::{KindLimits, Measures};
use colours::Films;
use report::{Code, Finding, Origin, Outcome, Reason, Value};
use std::sync::Arc;
use trade::ceilings::PrintShade;
use trade::{Colours, Recipe, Shop, StockShape, Transfer, TransferId, Way};
use units::{Area, Duration, Money, Rounding};

/// A transfer weighed, with what was measured for it.
#[derive(Debug, Clone)]
pub(crate) struct Offer {
    /// The verdict as the plan shows it.
    pub candidate: Candidate,
    /// What was measured on the art for this kind; nothing where it is ruled out anyway.
    pub measured: Option<Arc<Outcome<Measures>>>,
}

/// What was worked out already, and who works.
pub(crate) struct Books<'a> {
    pub heat: HeatBook,
    pub shapes: Shapes,
    pub priced: Priced,
    pub crew: Crew,
    pub shelf: Shelf<'a>,
}

/// Verdict under way.
pub(super) struct Weighing<'a> {
    pub shop: &'a Shop,
    pub line: &'a LineDraft<'a>,
    pub print: &'a PrintDraft<'a>,
    pub transfer: &'a Transfer,
    pub fit: Fit,
    pub for_it: Vec<Reason>,
    pub against: Vec<(Fit, Reason)>,
    pub shortfall: f64,
}

impl Weighing<'_> {
    fn speaks_for(&mut self, reason: Reason) {
        self.for_it.push(reason);
    }

    /// Keeps it possible, under a condition.
    fn condition(&mut self, reason: Reason) {
        self.fit = self.fit.max(Fit::WithConditions);
        self.against.push((Fit::WithConditions, reason));
    }

    /// Rules it out; `short` compares failures: 1 is about a tenth of what is asked.
    fn fails(&mut self, reason: Reason, short: f64) {
        self.fit = Fit::DoesNot;
        self.shortfall += short.max(0.1);
        self.against.push((Fit::DoesNot, reason));
    }

    /// Whether some of the print is lighter than the cloth.
    fn shade(&self) -> PrintShade {
        crate::pressing::shade(self.line, self.print)
    }
}

/// Weighs every transfer of the shelf for a print, in the shop's order.
pub(crate) fn offers(shop: &Shop, line: &LineDraft<'_>, print: &PrintDraft<'_>, books: &Books<'_>) -> Vec<Offer> {
    shop.transfers().map(|(id, transfer)| offer(shop, line, print, id, transfer, books)).collect()
}

fn offer(
    shop: &Shop,
    line: &LineDraft<'_>,
    print: &PrintDraft<'_>,
    id: TransferId,
    transfer: &Transfer,
    books: &Books<'_>,
) -> Offer {
    let mut weighing = Weighing {
        shop,
        line,
        print,
        transfer,
        fit: Fit::Fits,
        for_it: Vec::new(),
        against: Vec::new(),
        shortfall: 0.0,
    };
    rules::cloth(&mut weighing);
    let recipe = rules::recipe(&mut weighing);
    let films = colours::weigh(&mut weighing);
    rules::size(&mut weighing);
    rules::finish(&mut weighing);
    // What is ruled out already is not measured: that would only lengthen the list.
    let limits = kind_limits(transfer, line.cloth);
    let laid = (weighing.fit != Fit::DoesNot)
        .then(|| layering::weigh(&mut weighing, &films, recipe.map(|(_, recipe)| recipe), &limits, &books.shapes))
        .flatten();
    let measured = (weighing.fit != Fit::DoesNot).then(|| {
        let whole = books.shapes.measured(print.art, print.size, limits);
        let measured = laid.as_ref().map_or_else(|| whole.clone(), |laid| film_by_film(&whole, laid));
        rules::art(&mut weighing, &measured);
        measured
    });
    let stack = laid.map(|laid| Arc::new(laid.stack));
    let pressing = recipe.and_then(|(at, recipe)| {
        if weighing.fit == Fit::DoesNot {
            return None;
        }
        let layered = films::layered(stack.as_deref(), transfer);
        let pressing = heat_window::weigh(&mut weighing, id, at, recipe, layered, &books.heat)?;
        if let Some(stack) = stack.as_deref() {
            layering::weigh_dwell(&mut weighing, stack, recipe, &pressing);
        }
        Some(pressing)
    });
    rules::evidence(&mut weighing);
    let taken = match (&stack, films) {
        (Some(stack), _) => stack.layers.iter().map(|one| one.film.clone()).collect(),
        (None, Films::One(film)) => vec![film],
        (None, _) => Vec::new(),
    };
    let mut candidate = Candidate {
        transfer: id,
        fit: weighing.fit,
        for_it: Vec::new(),
        against: Vec::new(),
        estimate: None,
        lasting: 0,
        shortfall: 0.0,
        films: taken,
        stack,
        recipe: recipe.map(|(at, _)| at),
    };
    candidate.estimate = measured.as_ref().and_then(|measured| {
        estimate(shop, line, print, &candidate, &measured.value, recipe.map(|(_, recipe)| recipe))
    });
    finish(weighing, candidate, measured, pressing)
}

/// The whole art's findings, but those of its shape film by film: what is thin within another
/// colour is not thin in the whole.
fn film_by_film(whole: &Outcome<Measures>, laid: &layering::Laid) -> Arc<Outcome<Measures>> {
    let mut findings: Vec<Finding> =
        whole.findings.iter().filter(|finding| !art::OF_SHAPE.contains(&finding.code)).cloned().collect();
    findings.extend(laid.findings.iter().cloned());
    Arc::new(Outcome { value: whole.value.clone(), findings })
}

fn finish(
    mut weighing: Weighing<'_>,
    candidate: Candidate,
    measured: Option<Arc<Outcome<Measures>>>,
    heat: Option<crate::press_heat::Pressing>,
) -> Offer {
    if let Some(cost) = candidate.estimate {
        weighing.for_it.push(Reason::new(codes::COSTS).from("cost", Value::Money(cost), Origin::Model));
    }
    // The gravest first; a stable sort keeps the order of the rules within a grade.
    weighing.against.sort_by_key(|(fit, _)| std::cmp::Reverse(*fit));
    let lasting = lasting(&weighing, heat.as_ref());
    let candidate = Candidate {
        fit: weighing.fit,
        for_it: weighing.for_it,
        against: weighing.against.into_iter().map(|(_, reason)| reason).collect(),
        lasting,
        shortfall: if weighing.fit == Fit::DoesNot { weighing.shortfall } else { 0.0 },
        ..candidate
    };
    Offer { candidate, measured }
}

/// How well it lasts here, 0 to 100: wash temperature (30 °C counts 10, 60 °C 40),
/// stretch beyond the cloth's (up to 30), heat margin (up to 20), and 10 for
/// fitting without condition. A shop's own ranking, common practice, no source.
fn lasting(weighing: &Weighing<'_>, heat: Option<&crate::press_heat::Pressing>) -> u8 {
    let wash = (weighing.transfer.wash.value.c() - 20.0).clamp(0.0, 40.0);
    let spare = weighing.transfer.stretch.value - weighing.line.cloth.working_stretch.value;
    let stretch = (15.0 + spare * 50.0).clamp(0.0, 30.0);
    let margin = heat.map_or(0.0, |pressing| pressing.margin_k().clamp(0.0, 20.0));
    let plain = if weighing.fit == Fit::Fits { 10.0 } else { 0.0 };
    let rank = (wash + stretch + margin + plain).round().clamp(0.0, 100.0) as u8;
    // Washes that were seen to be borne outrank what they are guessed from: the twenty that are expected count 60.
    let seen = weighing.for_it.iter().find(|reason| reason.rule == codes::EVIDENCE_GOOD);
    let washes = seen.and_then(|reason| reason.inputs.iter().find(|input| input.name == "washes"));
    match washes.map(|input| &input.value) {
        Some(Value::Count(washes)) => {
            let borne = (washes * 3).clamp(0, 60) as u8;
            rank.max(borne.saturating_add(40))
        }
        _ => rank,
    }
}

/// What one print costs by itself: film by its area at the best price of the
/// shelf, weeding and press minutes at the shop's rates.
fn estimate(
    shop: &Shop,
    line: &LineDraft<'_>,
    print: &PrintDraft<'_>,
    candidate: &Candidate,
    measures: &Measures,
    recipe: Option<&Recipe>,
) -> Option<Money> {
    let film = film_prices(shop, candidate, print)?.into_iter().fold(0, i64::saturating_add);
    let weeding = weeding(shop, candidate, measures).s();
    let films = candidate.stack.as_ref().map_or(1, |stack| stack.layers.len());
    let press = recipe.map_or(0.0, |recipe| crate::steps::person_seconds(shop, line, &films::laid(recipe, films)).s());
    let hour = shop.rates.labour_per_hour.plus(shop.rates.overhead_per_hour).ok()?;
    let work = hour.scaled((weeding + press).ceil() as i64, 3600, Rounding::Up).ok()?;
    Money::new(film, shop.currency).plus(work).ok()
}

/// Film of one print in a candidate, minor units, for each of its films.
pub(crate) fn film_prices(shop: &Shop, candidate: &Candidate, print: &PrintDraft<'_>) -> Option<Vec<i64>> {
    let transfer = shop.transfer(candidate.transfer);
    match &candidate.stack {
        Some(stack) => stack
            .shapes
            .iter()
            .map(|shape| {
                let room = shape.outline.bounds();
                cheapest_film(shop, transfer, room.width() * room.height())
            })
            .collect(),
        None => Some(vec![cheapest_film(shop, transfer, (print.size.width() * print.size.height()).mm2())?]),
    }
}

fn cheapest_film(shop: &Shop, transfer: &Transfer, area_mm2: f64) -> Option<i64> {
    transfer.stock.iter().filter_map(|id| area_price(shop, *id, area_mm2)).min()
}

/// Minor units for an area of film at three quarters of the sheet used.
fn area_price(shop: &Shop, id: trade::StockId, area_mm2: f64) -> Option<i64> {
    const USED: f64 = 0.75;
    let shape = &shop.stock_item(id).shape;
    let stock_area = match shape {
        StockShape::Sheet { width, length, .. } => (*width * *length).mm2(),
        StockShape::Roll { width, step, .. } => (*width * *step).mm2(),
    };
    (stock_area > 0.0).then(|| {
        let units = area_mm2 / (stock_area * USED);
        let price = shape.unit_price(units.ceil().clamp(1.0, 1e9) as i64).minor();
        (price as f64 * units).ceil() as i64
    })
}

/// Least dots an inch at final size (200 is borne in photographs; common practice, no source).
const DPI_MIN: f64 = 200.0;
/// Working stretch from which a large solid area is felt, and its area (common practice, no source).
const STRETCHY: f64 = 0.25;
const SOLID_MAX_MM2: f64 = 30_000.0;

/// Limits of a transfer for measuring and repairing art that goes on a cloth.
pub fn kind_limits(transfer: &Transfer, cloth: &trade::Cloth) -> KindLimits {
    let minimums = &transfer.minimums.value;
    KindLimits {
        line: minimums.line,
        island: minimums.island,
        gap: minimums.gap,
        cut: transfer.way == Way::CutInShop,
        full_colour: matches!(transfer.colours, Colours::Full { .. }),
        max_colours: match &transfer.colours {
            // Films are counted where they are laid over one another.
            Colours::Film(_) => None,
            Colours::Spot { most } => Some(u32::from(*most)),
            Colours::Full { .. } => None,
        },
        dpi_min: DPI_MIN,
        solid_max: (cloth.working_stretch.value >= STRETCHY).then(|| Area::from_mm2(SOLID_MAX_MM2).unwrap_or_default()),
    }
}

/// A reason with a single term.
pub(super) fn about_term(rule: Code, name: &'static str, term: Code, origin: Origin) -> Reason {
    Reason::new(rule).from(name, Value::Term(term), origin)
}

/// Weeding time of one print, all its films together.
pub(crate) fn weeding(shop: &Shop, candidate: &Candidate, measures: &Measures) -> Duration {
    match &candidate.stack {
        _ if shop.transfer(candidate.transfer).way != Way::CutInShop => Duration::ZERO,
        Some(stack) => stack.weeding(),
        None => measures.weeding,
    }
}
