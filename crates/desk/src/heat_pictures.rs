//! Pictures of the press's heat: the window of a print's setting, and its bond
//! line over time.

use crate::codes;
use crate::pictures::Album;
use drawing::{Curve, HeatText, Limit, LimitKind, Moment, WindowMarks, WindowText};
use plan::{HeatCard, LinePlan, PrintPlan};
use report::{Code, Named, Value};
use units::{Duration, Temperature};

/// The pictures of one print.
#[derive(Debug, Clone)]
pub(crate) struct HeatPictures {
    pub order: usize,
    pub line: usize,
    pub print: usize,
    /// Plate and dwell that serve.
    pub window: String,
    /// The bond line through the press.
    pub bond: String,
}

impl Album<'_> {
    /// Window and bond line of every print that the heat model knows.
    pub fn heat(&self) -> Vec<HeatPictures> {
        let mut all = Vec::new();
        for (order, planned) in self.plan.orders.iter().enumerate() {
            for (nth, line) in planned.lines.iter().enumerate() {
                for (print, of) in line.prints.iter().enumerate() {
                    let Some(heat) = of.card.as_ref().and_then(|card| card.heat.as_ref()) else { continue };
                    let window = self.window(line, of, heat);
                    all.push(HeatPictures { order, line: nth, print, window, bond: self.bond(line, of, heat) });
                }
            }
        }
        all
    }

    fn titled(&self, code: Code, line: &LinePlan, print: &PrintPlan) -> String {
        let named = |name, text: &str| Named { name, value: Value::Text(words::clean(text)) };
        let print = print.position.map_or_else(|| print.art.clone(), |position| self.speech.term(position.term()));
        self.speech.say(code, &[named("print", &print), named("cloth", &line.garment_name)])
    }

    fn window(&self, line: &LinePlan, print: &PrintPlan, heat: &HeatCard) -> String {
        let window = &heat.window;
        let term = |code| self.speech.term(code);
        let named = |name, code: Code| Named { name, value: Value::Text(term(code)) };
        let description = match (&window.leeway, window.closed_by) {
            (Some(leeway), _) => {
                self.speech.say(codes::WINDOW_SAID, &[named("colder", leeway.colder), named("hotter", leeway.hotter)])
            }
            (None, Some(why)) => self.speech.say(codes::WINDOW_CLOSED, &[named("why", why)]),
            (None, None) => String::new(),
        };
        let title = self.titled(codes::WINDOW, line, print);
        let (open, unset, hot) = (term(codes::WINDOW_OPEN), term(codes::WINDOW_UNSET), term(codes::WINDOW_HOT));
        let (care, none, maker) = (term(codes::WINDOW_CARE), term(codes::WINDOW_NONE), term(codes::WINDOW_MAKER));
        let (recipe, advised) = (term(codes::WINDOW_RECIPE), term(codes::WINDOW_SET));
        let words = WindowText {
            open: &open,
            unset: &unset,
            too_hot: &hot,
            care: &care,
            none: &none,
            maker: &maker,
            recipe: &recipe,
            advised: &advised,
        };
        let point = |(temperature, dwell): (Temperature, Duration)| (temperature.c(), dwell.s());
        let marks = WindowMarks {
            recipe: point(window.recipe),
            advised: (window.advised != window.recipe).then(|| point(window.advised)),
            maker_c: (window.maker.0.c(), window.maker.1.c()),
        };
        let (dwell, plate) = (term(codes::AXIS_DWELL), term(codes::AXIS_PLATE));
        self.with_units(&title, &description, [&dwell, &plate], |text| {
            drawing::heat_window(&window.map, &marks, text, &words)
        })
    }

    fn bond(&self, line: &LinePlan, print: &PrintPlan, heat: &HeatCard) -> String {
        let term = |code| self.speech.term(code);
        let title = self.titled(codes::BOND, line, print);
        let (name, activation, opens) = (term(codes::BOND_LINE), term(codes::ACTIVATION), term(codes::OPENS));
        let curve = Curve { name: &name, points: &heat.curve, band: &[], chosen: true };
        let cloth = term(codes::CLOTH_LIMIT);
        let limits = [
            Limit { name: &activation, c: heat.activation.value.c(), kind: LimitKind::Reach },
            Limit { name: &cloth, c: heat.limit.c(), kind: LimitKind::Stop },
        ];
        let moment = Moment { name: &opens, s: heat.window.advised.1.s() };
        let (across, up) = (term(codes::AXIS_DWELL), term(codes::AXIS_TEMPERATURE));
        self.with_units(&title, &title, [&across, &up], |text| drawing::heat_curves(&[curve], &limits, &[moment], text))
    }

    /// Draws with the shop's units on the axes.
    fn with_units(
        &self,
        title: &str,
        description: &str,
        [time_axis, temperature_axis]: [&str; 2],
        draw: impl FnOnce(&HeatText<'_>) -> String,
    ) -> String {
        let temperature = |c: f64| self.speech.temperature_pair(Temperature::from_c(c).unwrap_or_default()).0;
        let seconds = |s: f64| self.speech.duration(Duration::from_s(s).unwrap_or_default());
        draw(&HeatText {
            title,
            description,
            temperature: &temperature,
            seconds: &seconds,
            time_axis,
            temperature_axis,
        })
    }
}
