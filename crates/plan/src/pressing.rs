//! Several prints on one garment: their order, the heat later ones give earlier
//! ones, how long finished ones are held, how many blanks are bought to spare.

use crate::draft::{LineDraft, PrintDraft};
use crate::press_heat::HeatBook;
use crate::result::{CardStep, Choice, HeatedAgain, PressCard};
use crate::{codes, films, planning};
use garment::{Pressing as GarmentPress, order_on_garment};
use report::{Figure, Finding, Origin, Reason, Severity, Value};
use std::borrow::Cow;
use trade::ceilings::{PrintShade, platen_ceilings};
use trade::{Shop, StepRole, TestOn};
use units::{Duration, Temperature};

/// Longest a finished print is held to see whether dye wanders into it: dye
/// shows within 24 to 72 h; two days are kept (common practice, no source).
const DYE_HOLD_S: f64 = 48.0 * 3600.0;

/// Order in which the prints of a garment are pressed, by the garment's rules.
pub(crate) fn sequence(shop: &Shop, line: &LineDraft<'_>, cards: &[&PressCard]) -> Figure<Vec<usize>> {
    let prints: Vec<GarmentPress> =
        cards.iter().enumerate().filter_map(|(at, card)| garment_press(shop, line, cards, at, card)).collect();
    if prints.len() < 2 {
        return Figure::new((0..cards.len()).collect(), Reason::new(codes::PRESS_ORDER_ONE));
    }
    let ordered = order_on_garment(&prints, shop.times.flip.value);
    let mut reason = Reason::new(codes::PRESS_ORDER);
    for at in &ordered.order {
        reason = reason.from("temperature", Value::Temperature(hottest(cards[*at])), Origin::Maker);
    }
    let mut figure = Figure::new(ordered.order, reason);
    figure.why.extend(ordered.why);
    figure
}

fn garment_press(
    shop: &Shop,
    line: &LineDraft<'_>,
    cards: &[&PressCard],
    at: usize,
    card: &PressCard,
) -> Option<GarmentPress> {
    let transfer = shop.transfer(card.transfer);
    let recipe = transfer.recipes.iter().find(|recipe| recipe.source == card.source)?;
    let panel = line.prints.get(at)?.placements.first()?.placed.panel;
    Some(GarmentPress {
        name: transfer.name.clone(),
        kind: transfer.kind,
        temperature: hottest(card),
        bears: recipe.bears.value,
        peel: recipe.peel(),
        panel,
        over: (0..cards.len()).filter(|other| *other != at && covered(line, *other, at)).collect(),
    })
}

fn hottest(card: &PressCard) -> Temperature {
    card.steps
        .iter()
        .filter_map(|step| match step {
            CardStep::Press { temperature, .. } => Some(temperature.value),
            _ => None,
        })
        .fold(Temperature::from_c(0.0).unwrap_or_default(), Temperature::max)
}

/// Counts the heat that later platens give the prints they cover, on their
/// cards; a finding for each, a warning where its maker says it bears less.
pub(crate) fn later_heat(
    shop: &Shop,
    drafts: &[Vec<Option<LineDraft<'_>>>],
    cards: &mut [Vec<Vec<Option<PressCard>>>],
    heat: &HeatBook,
) -> Vec<Finding> {
    let mut all = Vec::new();
    for (lines, cards) in drafts.iter().zip(cards) {
        for (line, cards) in lines.iter().zip(cards) {
            let Some(line) = line else { continue };
            let again = line_heat(shop, line, cards, heat);
            for (earlier, heated) in again {
                let Some(card) = cards.get_mut(earlier).and_then(Option::as_mut) else { continue };
                all.push(finding(shop, line, (earlier, card.transfer), &heated));
                card.heated_again.push(heated.seen);
            }
        }
    }
    all
}

/// A print heated once more, and the transfer that is pressed over it.
struct Heated {
    seen: HeatedAgain,
    by: trade::TransferId,
}

/// Every print that a later platen covers, with what it gets.
fn line_heat(shop: &Shop, line: &LineDraft<'_>, cards: &[Option<PressCard>], heat: &HeatBook) -> Vec<(usize, Heated)> {
    let Some(cards) = cards.iter().map(Option::as_ref).collect::<Option<Vec<&PressCard>>>() else { return Vec::new() };
    let order = sequence(shop, line, &cards).value;
    let mut all = Vec::new();
    for (nth, later) in order.iter().enumerate() {
        for earlier in &order[..nth] {
            let heated = one_over_another(shop, line, (*earlier, cards[*earlier]), (*later, cards[*later]), heat);
            all.extend(heated.map(|heated| (*earlier, heated)));
        }
    }
    all
}

/// Whether the platen of a later print covers an earlier one on any size.
fn covered(line: &LineDraft<'_>, earlier: usize, later: usize) -> bool {
    let (Some(first), Some(second)) = (line.prints.get(earlier), line.prints.get(later)) else { return false };
    first.placements.iter().zip(&second.placements).any(|(first, second)| {
        first.placed.panel == second.placed.panel && second.reach.place.touches(&first.placed.bounds)
    })
}

fn one_over_another(
    shop: &Shop,
    line: &LineDraft<'_>,
    (earlier, card): (usize, &PressCard),
    (later, over): (usize, &PressCard),
    heat: &HeatBook,
) -> Option<Heated> {
    if !covered(line, earlier, later) {
        return None;
    }
    let transfer = shop.transfer(card.transfer);
    let recipe = transfer.recipes.iter().find(|recipe| recipe.source == card.source)?;
    let (platen, dwell, sheet) = over.steps.iter().find_map(|step| match step {
        CardStep::Press { role: StepRole::Full, temperature, dwell, cover, .. } => {
            Some((temperature.value, dwell.value, cover.is_some()))
        }
        _ => None,
    })?;
    let setting = heat::press::Setting { platen_c: platen.c(), dwell_s: dwell.s() };
    let extra = heat.later_heat(shop, line, transfer, recipe, setting, sheet)?;
    let celsius = |c| Temperature::from_c(c).unwrap_or_default();
    let seen = HeatedAgain {
        by: later,
        platen,
        dwell,
        bond_peak: celsius(extra.bond_peak_c),
        cloth_peak: celsius(extra.face_peak_c),
        above_activation: Duration::from_s(extra.above_activation_s).unwrap_or_default(),
        bears: recipe.bears.value,
    };
    Some(Heated { seen, by: over.transfer })
}

fn finding(
    shop: &Shop,
    line: &LineDraft<'_>,
    (earlier, transfer): (usize, trade::TransferId),
    Heated { seen, by }: &Heated,
) -> Finding {
    let severity = if seen.platen > seen.bears { Severity::Warning } else { Severity::Note };
    Finding::new(severity, codes::LATER_HEAT, codes::LATER_HEAT_REMEDY)
        .named("earlier", shop.transfer(transfer).name.clone())
        .named("later", shop.transfer(*by).name.clone())
        .with("peak", Value::Temperature(seen.bond_peak))
        .with("above", Value::Duration(seen.above_activation))
        .with("bears", Value::Temperature(seen.bears))
        .about(line.prints.get(earlier).map(|print| print.subject).unwrap_or_default())
}

/// How long the finished prints of a line are held to see whether dye wanders.
pub(crate) fn dye_hold(shop: &Shop, line: &LineDraft<'_>, choices: &[Choice]) -> Duration {
    let at_risk = line.prints.iter().zip(choices).any(|(print, choice)| {
        let Some(candidate) = choice.taken() else { return false };
        let shade = shade(line, print);
        let kind = shop.transfer(candidate.transfer).kind;
        platen_ceilings(line.cloth, line.colour.dye, shade, kind).iter().any(|ceiling| {
            [
                trade::codes::CEILING_MIGRATION,
                trade::codes::CEILING_MIGRATION_SUBLIMATED,
                trade::codes::CAUTION_MIGRATION_BLEND,
                trade::codes::CAUTION_DYE_UNKNOWN,
            ]
            .contains(&ceiling.rule)
        })
    });
    if at_risk { Duration::from_s(DYE_HOLD_S).unwrap_or_default() } else { Duration::ZERO }
}

/// Blanks beyond those ordered: the expected loss rounded to whole garments, none for
/// what the customer brings, and one for the test piece where it is made on a garment.
/// A share of one garment is priced, not bought.
pub(crate) fn spare_garments(shop: &Shop, line: &LineDraft<'_>) -> u32 {
    let tested = u32::from(line.test.on == TestOn::Garment);
    if line.brought {
        return tested;
    }
    let expected = i128::from(line.pieces()) * i128::from(shop.spoilage.garment_loss.value.ppm());
    u32::try_from((expected + 500_000) / 1_000_000).unwrap_or(0).saturating_add(tested)
}

/// Whether some of a print is lighter than the cloth.
pub(crate) fn shade(line: &LineDraft<'_>, print: &PrintDraft<'_>) -> PrintShade {
    let shades = print.art.colours().iter().map(|colour| PrintShade::between(colour.rgb, line.colour.rgb));
    shades.min().unwrap_or(PrintShade::Lighter)
}

/// The recipe a choice stands on, for as many films as it has.
pub(crate) fn recipe_of<'a>(shop: &'a Shop, choice: &Choice) -> Option<Cow<'a, trade::Recipe>> {
    let candidate = choice.taken()?;
    let films = candidate.stack.as_ref().map_or(1, |stack| stack.layers.len());
    Some(films::laid(planning::recipe(shop, candidate.transfer, candidate.recipe)?, films))
}
