//! What the heat model says of a recipe on this cloth.

use super::Weighing;
use crate::codes;
use crate::press_heat::{HeatBook, Layered, Pressing};
use heat::press::Verdict;
use report::{Origin, Reason, Value};
use trade::{Recipe, TransferId};
use units::{Duration, TemperatureDifference};

/// Weighs the window; the pressing it rests on.
pub(super) fn weigh(
    weighing: &mut Weighing<'_>,
    transfer: TransferId,
    at: usize,
    recipe: &Recipe,
    layered: Layered,
    heat: &HeatBook,
) -> Option<Pressing> {
    let shade = weighing.shade();
    let pressing = heat.pressing(weighing.shop, weighing.line, weighing.print, transfer, at, layered, shade)?;
    match pressing.verdict() {
        Verdict::None { by_k, .. } => {
            let by = TemperatureDifference::from_k(by_k).unwrap_or_default();
            let reason = figures(codes::HEAT_OVER, &pressing).from("by", Value::Difference(by), Origin::Model);
            weighing.fails(reason, by_k / 10.0);
        }
        Verdict::TestOrOther { .. } => weighing.condition(figures(codes::HEAT_SHORT, &pressing)),
        Verdict::Longer { by_s } => {
            let longer = Duration::from_s(by_s).unwrap_or_default();
            weighing.speaks_for(figures(codes::HEAT_FITS, &pressing).from(
                "longer",
                Value::Duration(longer),
                Origin::Model,
            ));
        }
        Verdict::AsMaker => weighing.speaks_for(figures(codes::HEAT_FITS, &pressing)),
    }
    if pressing.care_k() < 0.0 && pressing.margin_k() >= 0.0 {
        weighing.condition(
            Reason::new(codes::HEAT_NEAR)
                .from("peak", Value::Temperature(pressing.hottest()), Origin::Model)
                .from("limit", Value::Temperature(pressing.warn()), Origin::Default)
                .sourced("recipe", Value::Text(recipe.source.clone()), Origin::Maker, recipe.source.clone()),
        );
    }
    Some(pressing)
}

fn figures(rule: report::Code, pressing: &Pressing) -> Reason {
    let margin = TemperatureDifference::from_k(pressing.margin_k()).unwrap_or_default();
    Reason::new(rule)
        .from("bond", Value::Temperature(pressing.bond_end()), Origin::Model)
        .from("peak", Value::Temperature(pressing.hottest()), Origin::Model)
        .from("limit", Value::Temperature(pressing.limit()), Origin::Default)
        .from("margin", Value::Difference(margin), Origin::Model)
        .changed_by(codes::CHANGE_CLOTH)
}
