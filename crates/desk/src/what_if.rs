//! What happens in the press, without an order: one transfer on one cloth at a
//! setting that a person tries.

use crate::codes;
use drawing::{Curve, HeatText, Limit, LimitKind, Moment, WindowMarks, WindowText};
use heat::HeatError;
use heat::press::{Advice, Constraint, Cooled, Doubt, Question, Setting, Trace, Verdict, advise, course};
use report::Code;
use trade::{ClothId, Dye, Shop, TransferId};
use units::{Duration, Temperature};
use words::Speech;

/// Draws for the ranges of doubt.
const SAMPLES: usize = 60;

/// A transfer on a cloth, with what the model advises: worked out once for all settings tried.
#[derive(Debug, Clone)]
pub struct PressCase {
    question: Question,
    advice: Advice,
}

/// What a setting does.
#[derive(Debug, Clone, PartialEq)]
pub struct Tried {
    /// The bond line and the cloth over time, as a picture.
    pub curves: String,
    /// The window of plate and dwell with the setting in it, as a picture.
    pub window: String,
    /// Bond line when the press opens.
    pub bond_end: Temperature,
    /// Seconds at or above activation.
    pub above_activation: Duration,
    /// Hottest cloth.
    pub cloth_peak: Temperature,
    /// What stands against the setting; `None` when it serves.
    pub against: Option<Code>,
    /// Whether the setting lies within the maker's sheet.
    pub on_sheet: bool,
}

impl PressCase {
    /// The case of a transfer's recipe on a cloth; `None` where the model has nothing to say.
    ///
    /// # Errors
    /// As [`heat::press::advise`]. Cost: some tens of milliseconds.
    pub fn of(
        shop: &Shop,
        cloth: ClothId,
        dye: Dye,
        transfer: TransferId,
        recipe: usize,
    ) -> Option<Result<Self, HeatError>> {
        let question = plan::press_question(shop, cloth, dye, transfer, recipe)?;
        Some(advise(&question, &Doubt::sampled(1, SAMPLES)).map(|advice| Self { question, advice }))
    }

    /// What the maker's sheet says: plate and dwell.
    pub fn recipe(&self) -> (Temperature, Duration) {
        (celsius(self.question.reference_setting.platen_c), seconds(self.question.reference_setting.dwell_s))
    }

    /// What is advised on this cloth.
    pub fn advised(&self) -> (Temperature, Duration) {
        (celsius(self.advice.platen_c), seconds(self.advice.dwell_s))
    }

    /// The verdict on it, as a term.
    pub fn verdict(&self) -> Code {
        match self.advice.verdict {
            Verdict::AsMaker => codes::TRY_AS_MAKER,
            Verdict::Longer { .. } => codes::TRY_LONGER,
            Verdict::TestOrOther { .. } => codes::TRY_TEST,
            Verdict::None { .. } => codes::TRY_NONE,
        }
    }

    /// The bond line at the advised setting, 5 to 95 % of what may well be.
    pub fn bond_range(&self) -> Option<(Temperature, Temperature)> {
        self.advice.bond_end_range_c.map(|(low, high)| (celsius(low), celsius(high)))
    }

    /// Cooling after the advised press, by way.
    pub fn cooled(&self) -> &[Cooled] {
        &self.advice.cooled
    }

    /// Plates and dwells that may be tried: the maker's span and some beyond.
    pub fn span(&self) -> ((Temperature, Temperature), (Duration, Duration)) {
        let maker = &self.question.maker;
        let set = self.question.reference_setting;
        let (low, high) = (maker.platen_c.0.min(set.platen_c) - 15.0, maker.platen_c.1.max(set.platen_c) + 15.0);
        let longest = (maker.dwell_s.1 * 2.0).clamp(5.0, 60.0);
        ((celsius(low.max(60.0)), celsius(high.min(240.0))), (seconds(1.0), seconds(longest)))
    }

    /// Tries a setting. Cost: a few milliseconds.
    ///
    /// # Errors
    /// As [`heat::press::course`]: a setting outside the model's ranges.
    pub fn tried(&self, plate: Temperature, dwell: Duration, speech: &Speech) -> Result<Tried, HeatError> {
        let setting = Setting { platen_c: plate.c(), dwell_s: dwell.s() };
        let of = &self.question;
        let activation = self.advice.activation_c;
        let trace = course(&of.target, &of.steps, setting, of.around, activation)?;
        let bare = of.target.bare();
        let beside = course(&bare, &of.steps, setting, of.around, activation)?;
        let last = |column: &[f64]| column.last().copied().unwrap_or(of.around.room_c);
        let peak = last(&trace.face_peak_c).max(last(&beside.face_peak_c));
        let dose = last(&trace.dose_s) + of.press_step.dwell_s.min(1.0) * 0.5 >= self.advice.reference.dose_s;
        let held = last(&trace.above_s) + 0.5 >= self.advice.reference.above_s;
        let against = if peak >= of.cloth_limits.stop_c {
            Some(Constraint::BareCloth.code())
        } else if !(dose && held) {
            Some(Constraint::AdhesiveUnset.code())
        } else {
            None
        };
        let maker = &of.maker;
        Ok(Tried {
            curves: self.curves(&trace, setting, speech),
            window: self.window(setting, speech),
            bond_end: celsius(last(&trace.bond_c)),
            above_activation: seconds(last(&trace.above_s)),
            cloth_peak: celsius(peak),
            against,
            on_sheet: (maker.platen_c.0..=maker.platen_c.1).contains(&setting.platen_c)
                && (maker.dwell_s.0..=maker.dwell_s.1).contains(&setting.dwell_s),
        })
    }

    fn curves(&self, trace: &Trace, setting: Setting, speech: &Speech) -> String {
        let term = |code| speech.term(code);
        let points = |column: &[f64]| drawing::trace_points(&trace.time_s, column, 160);
        let (bond, cloth) = (points(&trace.bond_c), points(&trace.face_c));
        let (bond_name, cloth_name) = (term(codes::BOND_LINE), term(codes::TRY_CLOTH));
        let curves = [
            Curve { name: &bond_name, points: &bond, band: &[], chosen: true },
            Curve { name: &cloth_name, points: &cloth, band: &[], chosen: false },
        ];
        let (activation, limit, opens) = (term(codes::ACTIVATION), term(codes::CLOTH_LIMIT), term(codes::OPENS));
        let limits = [
            Limit { name: &activation, c: self.advice.activation_c, kind: LimitKind::Reach },
            Limit { name: &limit, c: self.question.cloth_limits.stop_c, kind: LimitKind::Stop },
        ];
        let moment = Moment { name: &opens, s: setting.dwell_s };
        let title = term(codes::TRY_CURVES);
        with_units(speech, &title, [codes::AXIS_DWELL, codes::AXIS_TEMPERATURE], |text| {
            drawing::heat_curves(&curves, &limits, &[moment], text)
        })
    }

    fn window(&self, setting: Setting, speech: &Speech) -> String {
        let term = |code| speech.term(code);
        let (open, unset, hot) = (term(codes::WINDOW_OPEN), term(codes::WINDOW_UNSET), term(codes::WINDOW_HOT));
        let (care, none, maker) = (term(codes::WINDOW_CARE), term(codes::WINDOW_NONE), term(codes::WINDOW_MAKER));
        let (recipe, tried) = (term(codes::WINDOW_RECIPE), term(codes::TRY_THIS));
        let words = WindowText {
            open: &open,
            unset: &unset,
            too_hot: &hot,
            care: &care,
            none: &none,
            maker: &maker,
            recipe: &recipe,
            advised: &tried,
        };
        let set = self.question.reference_setting;
        let marks = WindowMarks {
            recipe: (set.platen_c, set.dwell_s),
            advised: (setting != set).then_some((setting.platen_c, setting.dwell_s)),
            maker_c: self.question.maker.platen_c,
        };
        let map = self.advice.window.clone().unwrap_or_default();
        let title = term(codes::TRY_WINDOW);
        with_units(speech, &title, [codes::AXIS_DWELL, codes::AXIS_PLATE], |text| {
            drawing::heat_window(&map, &marks, text, &words)
        })
    }
}

/// Draws with the person's units on the axes.
fn with_units(speech: &Speech, title: &str, axes: [Code; 2], draw: impl FnOnce(&HeatText<'_>) -> String) -> String {
    let temperature = |c: f64| speech.temperature_pair(celsius(c)).0;
    let of_seconds = |s: f64| speech.duration(seconds(s));
    let [time_axis, temperature_axis] = axes.map(|code| speech.term(code));
    draw(&HeatText {
        title,
        description: title,
        temperature: &temperature,
        seconds: &of_seconds,
        time_axis: &time_axis,
        temperature_axis: &temperature_axis,
    })
}

fn celsius(c: f64) -> Temperature {
    Temperature::from_c(c).unwrap_or_default()
}

fn seconds(s: f64) -> Duration {
    Duration::from_s(s).unwrap_or_default()
}
