//! Small parts that several pages are made of.

use crate::form::plan::{FigurePart, FindingPart, Reader, ReasonPart, Why};
use crate::tongue::Tongue;
use askama::Template;

/// A state with its colour's name and its shape: never the colour alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Mark {
    pub class: &'static str,
    /// Drawn by us, safe to set as it is.
    pub shape: &'static str,
}

const TICK: &str =
    "<svg viewBox=\"0 0 12 12\" aria-hidden=\"true\"><path d=\"M4.6 10.4.8 6.6l1.7-1.7 2.1 2.1 5-5L11.3 3.7z\"/></svg>";
const TRIANGLE: &str = "<svg viewBox=\"0 0 12 12\" aria-hidden=\"true\"><path d=\"M6 .8 11.6 11H.4z\"/></svg>";
const BAR: &str = "<svg viewBox=\"0 0 12 12\" aria-hidden=\"true\"><path d=\"M.5 3.8h11v4.4H.5z\"/></svg>";
const QUESTION: &str = "<svg viewBox=\"0 0 12 12\" aria-hidden=\"true\"><path d=\"M3 4.2C3 2 4.3 .8 6.1 .8S9.2 2 9.2 3.8C9.2 5.9 7 6 7 7.7H5C5 5.5 7.1 5.2 7.1 3.9 7.1 3.2 6.7 2.7 6.1 2.7S5.1 3.2 5.1 4.2zM5 9h2v2.2H5z\"/></svg>";
const DOT: &str = "<svg viewBox=\"0 0 12 12\" aria-hidden=\"true\"><circle cx=\"6\" cy=\"6\" r=\"3.4\"/></svg>";

impl Mark {
    pub const FINE: Self = Self { class: "fine", shape: TICK };
    pub const WATCH: Self = Self { class: "watch", shape: TRIANGLE };
    pub const STOP: Self = Self { class: "stop", shape: BAR };
    pub const ASK: Self = Self { class: "ask", shape: QUESTION };
    pub const PLAIN: Self = Self { class: "plain", shape: DOT };

    /// The mark of a finding's severity as files name it.
    pub fn of(severity: &str) -> Self {
        match severity {
            "stops-line" => Self::STOP,
            "ask" => Self::ASK,
            "warning" => Self::WATCH,
            _ => Self::PLAIN,
        }
    }
}

/// A finding beside what it speaks of.
#[derive(Debug, Clone)]
pub(crate) struct Note {
    pub mark: Mark,
    /// How much it weighs.
    pub weight: u8,
    pub word: String,
    pub what: String,
    pub remedy: String,
    /// A repair that can be accepted here: its name and its words.
    pub repair: Option<(String, String)>,
    /// The question that a person may answer so that work goes on.
    pub question: Option<String>,
    pub line: Option<usize>,
    pub print: Option<usize>,
    /// "Line 2, print 1", where it stands away from its line.
    pub place: String,
}

impl Note {
    pub fn of(w: &Tongue, reader: &Reader<'_>, finding: &FindingPart) -> Self {
        use report::Severity;
        let (what, remedy, repair) = reader.finding(finding);
        let (weight, severity) = match finding.severity.as_str() {
            "stops-line" => (3, Severity::StopsLine),
            "ask" => (2, Severity::Ask),
            "warning" => (1, Severity::Warning),
            _ => (0, Severity::Note),
        };
        let place = match (finding.line, finding.print) {
            (Some(line), Some(print)) => w.ab("web.line-print", line + 1, print + 1),
            (Some(line), None) => w.a("web.line-nth", line + 1),
            _ => String::new(),
        };
        Self {
            mark: Mark::of(&finding.severity),
            weight,
            word: w.speech.word(severity).to_owned(),
            what,
            remedy,
            repair: repair.and_then(|words| {
                let name = finding.repair.as_deref()?.strip_prefix("art.repair-")?;
                Some((name.to_owned(), words))
            }),
            question: (weight == 2).then(|| finding.code.clone()),
            line: finding.line,
            print: finding.print,
            place,
        }
    }
}

/// A figure that answers "why?".
#[derive(Template)]
#[template(path = "fig.html")]
pub(crate) struct Fig {
    pub w: Tongue,
    pub shown: String,
    /// Its second unit or range, in small.
    pub small: String,
    pub whys: Vec<Why>,
}

impl Fig {
    pub fn new(w: &Tongue, reader: &Reader<'_>, shown: String, small: String, whys: &[ReasonPart]) -> Self {
        Self { w: *w, shown, small, whys: whys.iter().map(|why| reader.reason(why)).collect() }
    }

    /// Money with its range, where there is doubt.
    pub fn money(w: &Tongue, reader: &Reader<'_>, figure: &FigurePart<i64>) -> Self {
        let shown = w.money(figure.value, reader.currency);
        let small = match (figure.low, figure.high) {
            (Some(low), Some(high)) if low != high => {
                w.ab("web.range", w.money(low, reader.currency), w.money(high, reader.currency))
            }
            _ => String::new(),
        };
        Self::new(w, reader, shown, small, &figure.why)
    }

    pub fn moment(w: &Tongue, reader: &Reader<'_>, figure: &FigurePart<String>) -> Self {
        Self::new(w, reader, w.moment(&figure.value), String::new(), &figure.why)
    }

    pub fn celsius(w: &Tongue, reader: &Reader<'_>, figure: &FigurePart<f64>) -> Self {
        let (first, second) = w.c(figure.value);
        let mut small = second;
        if let (Some(low), Some(high)) = (figure.low, figure.high)
            && low != high
        {
            small = format!("{small}; {}", w.ab("web.range", w.c(low).0, w.c(high).0));
        }
        Self::new(w, reader, first, small, &figure.why)
    }

    pub fn seconds(w: &Tongue, reader: &Reader<'_>, figure: &FigurePart<f64>) -> Self {
        let small = match (figure.low, figure.high) {
            (Some(low), Some(high)) if low != high => w.ab("web.range", w.s(low), w.s(high)),
            _ => String::new(),
        };
        Self::new(w, reader, w.s(figure.value), small, &figure.why)
    }
}

/// An order in a list.
#[derive(Template)]
#[template(path = "slip.html")]
pub(crate) struct Slip {
    pub id: String,
    pub name: String,
    pub customer: String,
    pub pieces: String,
    pub net: String,
    pub act: String,
}

impl Slip {
    pub fn of(w: &Tongue, currency: Option<units::Currency>, listed: &store::Listed) -> Self {
        let net = listed.net.zip(currency).map(|(net, currency)| w.money(net, currency));
        Self {
            id: listed.id.clone(),
            name: words::clean(&listed.name),
            customer: words::clean(&listed.customer),
            pieces: w.speech.counted(listed.pieces.unsigned_abs(), "piece", "pieces"),
            net: net.unwrap_or_default(),
            act: match &listed.act_by {
                Some(by) => w.a("web.act-by", w.moment(by)),
                None => w.a("web.due-on", w.moment(&listed.due)),
            },
        }
    }
}

/// A colour as `#rrggbb`, for a swatch's fill.
pub(crate) fn hex(rgb: [u8; 3]) -> String {
    format!("#{:02x}{:02x}{:02x}", rgb[0], rgb[1], rgb[2])
}
