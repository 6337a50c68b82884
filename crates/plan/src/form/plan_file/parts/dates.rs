//! When things must happen.

use super::figures::{FigureFile, figure};
use crate::result::Dates;
use jiff::civil::DateTime;
use report::Figure;
use schemars::JsonSchema;
use serde::Serialize;
use units::Duration;

/// When things must happen.
#[derive(Debug, Serialize, JsonSchema)]
pub(in crate::form::plan_file) struct DatesFile {
    sign_off_by: Option<FigureFile<String>>,
    order_transfers_by: Option<FigureFile<String>>,
    order_garments_by: Option<FigureFile<String>>,
    /// The day on which all goods must be here.
    goods_by: Option<String>,
    /// Last moment to begin the test piece and then to press.
    press_by: Option<String>,
    goods_in: Option<String>,
    press_from: Option<String>,
    finish: Option<FigureFile<String>>,
    dye_hold_s: f64,
    slack_s: Option<f64>,
    /// Last moment to order another for a spoiled piece.
    replace_by: Option<String>,
}

pub(in crate::form::plan_file) fn dates(dates: &Dates) -> DatesFile {
    DatesFile {
        sign_off_by: dates.sign_off_by.as_ref().map(moment),
        order_transfers_by: dates.order_transfers_by.as_ref().map(moment),
        order_garments_by: dates.order_garments_by.as_ref().map(moment),
        goods_by: dates.goods_by.map(|day| day.to_string()),
        press_by: dates.press_by.map(|moment| moment.to_string()),
        goods_in: dates.goods_in.map(|moment| moment.to_string()),
        press_from: dates.press_from.map(|moment| moment.to_string()),
        finish: dates.finish.as_ref().map(moment),
        dye_hold_s: dates.dye_hold.s(),
        slack_s: dates.slack.map(Duration::s),
        replace_by: dates.replace_by.map(|moment| moment.to_string()),
    }
}

pub(super) fn moment(figure_: &Figure<DateTime>) -> FigureFile<String> {
    figure(figure_, ToString::to_string)
}
