//! Which platen temperatures and dwells set the adhesive without harming the cloth.

use rayon::prelude::*;

use crate::assembly::Assembly;
use crate::cloth::FaceLimits;
use crate::dose::DoseRule;
use crate::doubt::Draw;
use crate::error::HeatError;
use crate::session::{Session, Step, Surroundings, Trace, Until};

/// What keeps a point out of the window.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Constraint {
    /// The adhesive gets less time or flow than the recipe gives it.
    AdhesiveUnset,
    /// The cloth under the transfer gets too hot.
    ClothUnderTransfer,
    /// The bare cloth beside the transfer gets too hot.
    BareCloth,
    /// The maker's sheet goes no further.
    MakerSheet,
    /// The maker's longest dwell, and what may be added to it, is passed.
    MakerDwell,
    /// This kind of transfer must not be pressed longer.
    NeverLonger,
    /// The recipe itself never brings its reference cloth to the activation temperature.
    ReferenceUnset,
    /// Nothing: the range looked at ends here.
    #[default]
    RangeEnds,
}

/// One platen temperature of the window.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WindowColumn {
    /// Platen, °C.
    pub platen_c: f64,
    /// Shortest dwell that gives the reference's time and flow, s; `None`
    /// when the longest looked at does not.
    pub set_from_s: Option<f64>,
    /// Dwell at which a cloth face passes the stop limit, s; `None`: not within the longest.
    pub too_hot_from_s: Option<f64>,
    /// Dwell at which a cloth face passes the warn limit, s; as above.
    pub care_from_s: Option<f64>,
    /// Which of the faces passes first.
    pub hot_place: Constraint,
    /// Hottest face at the shortest dwell of the window, bare cloth included, °C.
    pub face_peak_c: f64,
    /// The open span of dwells, s; `None` when closed.
    pub open_s: Option<(f64, f64)>,
    /// What closes it, when closed.
    pub closed_by: Option<Constraint>,
}

/// Platen temperature × dwell.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Window {
    /// Platen temperatures, rising.
    pub columns: Vec<WindowColumn>,
    /// Shortest and longest dwell looked at, s.
    pub dwell_s: (f64, f64),
    /// What closes it towards cold.
    pub cold_edge: Constraint,
    /// What closes it towards hot.
    pub hot_edge: Constraint,
}

impl Window {
    /// The open columns.
    pub fn open(&self) -> impl Iterator<Item = &WindowColumn> {
        self.columns.iter().filter(|c| c.open_s.is_some())
    }

    /// What keeps a dwell out at a column, `None` when it is in.
    pub fn closed_at(&self, column: usize, dwell_s: f64) -> Option<Constraint> {
        let column = self.columns.get(column)?;
        if column.too_hot_from_s.is_some_and(|s| dwell_s >= s) {
            return Some(column.hot_place);
        }
        match column.set_from_s {
            Some(set) if dwell_s >= set => None,
            _ => Some(Constraint::AdhesiveUnset),
        }
    }
}

/// What a window is looked for with.
#[derive(Debug, Clone, PartialEq)]
pub struct Search<'a> {
    /// The work.
    pub target: &'a Assembly,
    /// What is done before the full press.
    pub steps: &'a [Step],
    /// Temperatures around.
    pub around: Surroundings,
    /// How the dose is counted.
    pub rule: DoseRule,
    /// The reference's flow dose, s.
    pub dose_s: f64,
    /// The reference's time above activation, s.
    pub above_s: f64,
    /// Limits of the cloth.
    pub limits: FaceLimits,
}

/// The window over the given platen temperatures (at most 400) and dwells (up to 120 s).
///
/// Two simulations a temperature, on all cores; the same result on any number.
pub fn window(search: &Search<'_>, platens_c: &[f64], dwell_s: (f64, f64)) -> Result<Window, HeatError> {
    crate::error::counted(|| "platen temperatures".into(), platens_c.len(), (1, 400))?;
    crate::error::within(|| "longest dwell".into(), dwell_s.1, (0.1, 120.0), "s")?;
    crate::error::within(|| "shortest dwell".into(), dwell_s.0, (0.0, dwell_s.1), "s")?;
    let draw = Draw::default();
    let bare = search.target.bare();
    let ready = Ready::of(search, &bare, &draw)?.searching();
    let columns: Result<Vec<WindowColumn>, HeatError> =
        platens_c.par_iter().map(|&platen_c| column(search, &ready, platen_c, dwell_s)).collect();
    let columns = columns?;
    let first = columns.iter().position(|c| c.open_s.is_some());
    let last = columns.iter().rposition(|c| c.open_s.is_some());
    let beyond = |at: Option<usize>| at.and_then(|i| columns.get(i)).and_then(|c| c.closed_by);
    let (cold_edge, hot_edge) = match (first, last) {
        (Some(first), Some(last)) => (
            beyond(first.checked_sub(1)).unwrap_or(Constraint::RangeEnds),
            beyond(last.checked_add(1)).unwrap_or(Constraint::RangeEnds),
        ),
        _ => (
            columns.first().and_then(|c| c.closed_by).unwrap_or(Constraint::RangeEnds),
            columns.last().and_then(|c| c.closed_by).unwrap_or(Constraint::RangeEnds),
        ),
    };
    Ok(Window { columns, dwell_s, cold_edge, hot_edge })
}

/// The work as it lies when the full press closes: the print, and the bare
/// cloth beside it. Steps before it do not depend on the full press's platen.
pub(crate) struct Ready<'a> {
    print: Session<'a>,
    beside: Session<'a>,
}

impl<'a> Ready<'a> {
    pub fn of(search: &Search<'a>, bare: &'a Assembly, draw: &'a Draw) -> Result<Self, HeatError> {
        let mut print = Session::begin(search.target, draw, search.around, search.rule)?;
        print.take(search.steps)?;
        let mut beside = Session::begin(bare, draw, search.around, search.rule)?;
        beside.take(search.steps)?;
        Ok(Self { print, beside })
    }

    /// The traces of both at one platen temperature.
    pub fn traces(&self, platen_c: f64, seconds: f64) -> Result<(Trace, Trace), HeatError> {
        let print = self.print.clone().full_press(platen_c, Until::Seconds(seconds))?;
        let beside = self.beside.clone().full_press(platen_c, Until::Seconds(seconds))?;
        Ok((print, beside))
    }

    /// With the longer steps of a search among many presses.
    pub fn searching(self) -> Self {
        Self { print: self.print.searching(), beside: self.beside.searching() }
    }
}

fn column(
    search: &Search<'_>,
    ready: &Ready<'_>,
    platen_c: f64,
    (least, most): (f64, f64),
) -> Result<WindowColumn, HeatError> {
    let (print, beside) = ready.traces(platen_c, most)?;
    let set_from_s = print.reaches(search.dose_s, search.above_s);
    let first = |limit: f64| match (print.passes(limit), beside.passes(limit)) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (a, b) => a.or(b),
    };
    let too_hot_from_s = first(search.limits.stop_c);
    let hot_place = match (print.passes(search.limits.stop_c), beside.passes(search.limits.stop_c)) {
        (Some(under), Some(bare)) if under < bare => Constraint::ClothUnderTransfer,
        (Some(_), None) => Constraint::ClothUnderTransfer,
        _ => Constraint::BareCloth,
    };
    let from = set_from_s.map(|s| s.max(least));
    let until = too_hot_from_s.map_or(most, |s| s.min(most));
    let open_s = from.filter(|&f| f <= until && too_hot_from_s.is_none_or(|hot| f < hot)).map(|f| (f, until));
    let closed_by = match (open_s, from) {
        (Some(_), _) => None,
        (None, Some(_)) => Some(hot_place),
        // Cold or hot? Too cold counts first: a hotter platen would set it.
        (None, None) => Some(Constraint::AdhesiveUnset),
    };
    let shown = from.unwrap_or(most);
    let face_peak_c = print.at(&print.face_peak_c, shown).max(beside.at(&beside.face_peak_c, shown));
    Ok(WindowColumn {
        platen_c,
        set_from_s,
        too_hot_from_s,
        care_from_s: first(search.limits.warn_c),
        hot_place,
        face_peak_c,
        open_s,
        closed_by,
    })
}
