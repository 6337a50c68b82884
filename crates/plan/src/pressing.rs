//! Several prints on one garment: their order, the heat later ones give earlier
//! ones, how long finished ones are held, how many blanks are bought to spare.

use crate::draft::{LineDraft, PrintDraft};
use crate::press_heat::HeatBook;
use crate::result::{CardStep, Choice, PressCard};
use crate::{codes, planning};
use garment::{Pressing as GarmentPress, order_on_garment};
use report::{Figure, Finding, Origin, Reason, Severity, Value};
use trade::ceilings::{PrintShade, platen_ceilings};
use trade::{Shop, StepRole};
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

/// Prints that a later platen would heat beyond what their maker says they bear.
pub(crate) fn later_heat(
    shop: &Shop,
    drafts: &[Vec<Option<LineDraft<'_>>>],
    cards: &[Vec<Vec<Option<PressCard>>>],
    heat: &HeatBook,
) -> Vec<Finding> {
    let mut all = Vec::new();
    for (lines, cards) in drafts.iter().zip(cards) {
        for (line, cards) in lines.iter().zip(cards) {
            let (Some(line), Some(cards)) =
                (line, cards.iter().map(Option::as_ref).collect::<Option<Vec<&PressCard>>>())
            else {
                continue;
            };
            let order = sequence(shop, line, &cards).value;
            for (nth, later) in order.iter().enumerate() {
                for earlier in &order[..nth] {
                    all.extend(one_over_another(shop, line, cards[*earlier], *earlier, cards[*later], *later, heat));
                }
            }
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
    card: &PressCard,
    earlier: usize,
    over: &PressCard,
    later: usize,
    heat: &HeatBook,
) -> Option<Finding> {
    if !covered(line, earlier, later) {
        return None;
    }
    let transfer = shop.transfer(card.transfer);
    let recipe = transfer.recipes.iter().find(|recipe| recipe.source == card.source)?;
    let setting = over.steps.iter().find_map(|step| match step {
        CardStep::Press { role: StepRole::Full, temperature, dwell, .. } => {
            Some(heat::press::Setting { platen_c: temperature.value.c(), dwell_s: dwell.value.s() })
        }
        _ => None,
    })?;
    let extra = heat.later_heat(shop, line, transfer, recipe, setting)?;
    let bears = recipe.bears.value;
    let too_hot = setting.platen_c > bears.c();
    let severity = if too_hot { Severity::Warning } else { Severity::Note };
    Some(
        Finding::new(severity, codes::LATER_HEAT, codes::LATER_HEAT_REMEDY)
            .named("earlier", transfer.name.clone())
            .named("later", shop.transfer(over.transfer).name.clone())
            .with("peak", Value::Temperature(Temperature::from_c(extra.bond_peak_c).unwrap_or_default()))
            .with("above", Value::Duration(Duration::from_s(extra.above_activation_s).unwrap_or_default()))
            .with("bears", Value::Temperature(bears))
            .about(line.prints.get(earlier).map(|print| print.subject).unwrap_or_default()),
    )
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

/// Blanks bought to spare: the expected loss rounded to whole garments, none for
/// what the customer brings. A share of one garment is priced, not bought.
pub(crate) fn spare_garments(shop: &Shop, line: &LineDraft<'_>) -> u32 {
    if line.brought {
        return 0;
    }
    let expected = i128::from(line.pieces()) * i128::from(shop.spoilage.garment_loss.value.ppm());
    u32::try_from((expected + 500_000) / 1_000_000).unwrap_or(0)
}

/// Whether some of a print is lighter than the cloth.
pub(crate) fn shade(line: &LineDraft<'_>, print: &PrintDraft<'_>) -> PrintShade {
    let shades = print.art.colours().iter().map(|colour| PrintShade::between(colour.rgb, line.colour.rgb));
    shades.min().unwrap_or(PrintShade::Lighter)
}

/// The recipe a choice stands on.
pub(crate) fn recipe_of<'a>(shop: &'a Shop, choice: &Choice) -> Option<&'a trade::Recipe> {
    let candidate = choice.taken()?;
    planning::recipe(shop, candidate.transfer, candidate.recipe)
}
