//! How far an operator may move from the advised setting, and what stops them
//! on each side: the window's part that lies on the maker's sheet.

use crate::press::{Constraint, Longer, MakerLimits, Question, Setting, Window, WindowColumn};

/// Settings around the advised one that serve and that the maker's sheet allows,
/// as the press can be set. Temperatures hold at the advised dwell, dwells at
/// the advised temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leeway {
    /// Coldest and hottest platen at the advised dwell, °C.
    pub platen_c: (f64, f64),
    /// Shortest and longest dwell at the advised temperature, s.
    pub dwell_s: (f64, f64),
    /// What stops it on the colder side.
    pub colder: Constraint,
    /// What stops it on the hotter side.
    pub hotter: Constraint,
    /// What stops it on the shorter side.
    pub shorter: Constraint,
    /// What stops it on the longer side.
    pub longer: Constraint,
}

/// The leeway around `advised`; `None` when that point itself does not serve.
pub(crate) fn leeway(question: &Question, window: &Window, advised: Setting) -> Option<Leeway> {
    let around = Around { question, window, slack_s: question.slack_s() };
    around.closed(advised).is_none().then_some(())?;
    let step = question.press_step.platen_k;
    let (cold, colder) = around.walk(advised, -step);
    let (hot, hotter) = around.walk(advised, step);
    let (short, shorter) = around.shortest(advised);
    let (long, longer) = around.longest(advised);
    Some(Leeway { platen_c: (cold, hot), dwell_s: (short, long), colder, hotter, shorter, longer })
}

struct Around<'a> {
    question: &'a Question,
    window: &'a Window,
    /// Half a step of the timer counts as nothing.
    slack_s: f64,
}

impl Around<'_> {
    fn maker(&self) -> &MakerLimits {
        &self.question.maker
    }

    /// The last setting that serves on the way from the advised temperature, and what ends it.
    fn walk(&self, advised: Setting, step: f64) -> (f64, Constraint) {
        let (low, high) = self.maker().platen_c;
        let mut here = advised.platen_c;
        loop {
            let next = here + step;
            if next < low - 1e-9 || next > high + 1e-9 {
                return (here, Constraint::MakerSheet);
            }
            match self.closed(Setting { platen_c: next, ..advised }) {
                None => here = next,
                Some(why) => return (here, why),
            }
        }
    }

    fn shortest(&self, advised: Setting) -> (f64, Constraint) {
        let sheet = self.maker().dwell_s.0.min(advised.dwell_s);
        let step = self.question.press_step.dwell_s;
        match self.at(advised.platen_c).and_then(|c| c.set_from_s) {
            Some(set) if set - self.slack_s > sheet => {
                (upward(set - self.slack_s, step).min(advised.dwell_s), Constraint::AdhesiveUnset)
            }
            _ => (sheet, Constraint::MakerSheet),
        }
    }

    fn longest(&self, advised: Setting) -> (f64, Constraint) {
        let allowed = self.question.longest_allowed_s().max(advised.dwell_s);
        let step = self.question.press_step.dwell_s;
        let column = self.at(advised.platen_c);
        match column.and_then(|c| c.too_hot_from_s.map(|s| (s, c.hot_place))) {
            // Not at the very second at which the limit is passed.
            Some((hot, place)) if hot - 1e-9 <= allowed => (downward(hot - 1e-6, step).max(advised.dwell_s), place),
            _ => (downward(allowed, step).max(advised.dwell_s), self.end_of_sheet()),
        }
    }

    fn end_of_sheet(&self) -> Constraint {
        match self.maker().longer {
            Longer::Borne => Constraint::MakerDwell,
            Longer::Harmful => Constraint::NeverLonger,
        }
    }

    /// Why a setting does not serve.
    fn closed(&self, setting: Setting) -> Option<Constraint> {
        let Some(column) = self.at(setting.platen_c) else { return Some(Constraint::RangeEnds) };
        if column.too_hot_from_s.is_some_and(|s| setting.dwell_s >= s) {
            return Some(column.hot_place);
        }
        match column.set_from_s {
            Some(set) if set - self.slack_s <= setting.dwell_s => None,
            _ => Some(Constraint::AdhesiveUnset),
        }
    }

    /// The window at a temperature between its columns, by straight lines.
    fn at(&self, platen_c: f64) -> Option<WindowColumn> {
        let columns = &self.window.columns;
        let after = columns.partition_point(|c| c.platen_c <= platen_c + 1e-9);
        let before = columns.get(after.checked_sub(1)?)?;
        let share_of = |next: &WindowColumn| (platen_c - before.platen_c) / (next.platen_c - before.platen_c);
        match columns.get(after) {
            None => ((platen_c - before.platen_c).abs() < 1e-6).then_some(*before),
            Some(next) if platen_c - before.platen_c < 1e-9 || share_of(next) <= 0.0 => Some(*before),
            Some(next) => {
                let share = share_of(next);
                let both = |a: Option<f64>, b: Option<f64>| a.zip(b).map(|(a, b)| a + (b - a) * share);
                // Too hot at the hotter neighbour counts here as well.
                let hot = both(before.too_hot_from_s, next.too_hot_from_s).or(next.too_hot_from_s);
                let set_from_s = both(before.set_from_s, next.set_from_s);
                Some(WindowColumn { platen_c, set_from_s, too_hot_from_s: hot, hot_place: next.hot_place, ..*before })
            }
        }
    }
}

fn upward(value: f64, step: f64) -> f64 {
    ((value / step) - 1e-9).ceil() * step
}

fn downward(value: f64, step: f64) -> f64 {
    ((value / step) + 1e-9).floor() * step
}
