//! Every sentence shown, by language and unit system.
//!
//! In: findings, reasons, terms and values as other rooms give them. Out: plain
//! text for a person. How a figure came about is not known here. Text typed by
//! people or makers is shown as it is, without control characters.

mod english;
mod enums;
mod landed;
mod sentence;
mod values;

pub use enums::Worded;
pub use sentence::{clean, placeholders};

use report::{Code, Finding, Input, Named, Reason, Severity, Value};
use units::UnitSystem;

/// A language that sentences are kept in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Language {
    /// Plain trade English.
    #[default]
    English,
}

/// One way of speaking: a language and a unit system.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Speech {
    language: Language,
    units: UnitSystem,
}

/// Places narrower than this on both sides are told by their middle, mm.
const SPOT_MM: f64 = 3.0;

/// A finding in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    /// How much it weighs, in a word.
    pub severity: &'static str,
    /// What was found, where, how much against which limit.
    pub what: String,
    /// What to do.
    pub remedy: String,
    /// The repair that may be asked for.
    pub repair: Option<String>,
}

/// A reason in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Why {
    /// The rule.
    pub rule: String,
    /// Each input with its label, value, origin and source.
    pub inputs: Vec<String>,
    /// What was considered and not taken.
    pub refused: Vec<String>,
    /// What would change the figure.
    pub would_change: Vec<String>,
}

impl Speech {
    /// Speaks `language` and puts `units` first.
    pub fn new(language: Language, units: UnitSystem) -> Self {
        Self { language, units }
    }

    /// English, with `units` first.
    pub fn english(units: UnitSystem) -> Self {
        Self::new(Language::English, units)
    }

    /// The unit system that comes first.
    pub fn units(&self) -> UnitSystem {
        self.units
    }

    /// The language.
    pub fn language(&self) -> Language {
        self.language
    }

    /// What was found and what to do.
    pub fn finding(&self, finding: &Finding) -> Said {
        let value = |name: &str| finding.quantities.iter().find(|named| named.name == name).map(|named| &named.value);
        Said {
            severity: self.word(finding.severity),
            what: self.sentence(finding.code, value) + &self.place(finding),
            remedy: self.sentence(finding.remedy, value),
            repair: finding.repair.map(|code| self.sentence(code, value)),
        }
    }

    /// Where on the art a finding lies, after a space; nothing for those that lie nowhere there.
    fn place(&self, finding: &Finding) -> String {
        let Some(place) = finding.place.as_ref().filter(|_| finding.code.0.starts_with("art.")) else {
            return String::new();
        };
        let length = |mm: f64| Value::Length(units::Length::from_mm(mm.max(0.0)).unwrap_or_default());
        let b = place.bounds;
        // A spot is pointed at, a stretch is told from end to end.
        let spot = b.width().max(b.height()) < SPOT_MM;
        let (code, left, low) = if spot {
            ("art.place-spot", (b.min.x + b.max.x) / 2.0, (b.min.y + b.max.y) / 2.0)
        } else {
            ("art.place", b.min.x, b.min.y)
        };
        let edges = [("left", left), ("right", b.max.x), ("low", low), ("high", b.max.y)];
        let edges = edges.map(|(name, mm)| Named { name, value: length(mm) });
        let value = |name: &str| edges.iter().find(|named| named.name == name).map(|named| &named.value);
        format!(" {}", self.sentence(Code(code), value))
    }

    /// A reason as lines: the rule, then each input with its origin and source,
    /// then what was not taken and what would change it.
    pub fn reason(&self, reason: &Reason) -> Vec<String> {
        let why = self.why(reason);
        let mut lines = vec![why.rule];
        lines.extend(why.inputs);
        lines.extend(why.refused.iter().map(|text| format!("Not taken: {text}")));
        lines.extend(why.would_change.iter().map(|text| format!("Would change it: {text}")));
        lines
    }

    /// A reason by its parts.
    pub fn why(&self, reason: &Reason) -> Why {
        let value = |name: &str| reason.inputs.iter().find(|input| input.name == name).map(|input| &input.value);
        Why {
            rule: self.sentence(reason.rule, value),
            inputs: reason.inputs.iter().map(|input| self.input(input)).collect(),
            refused: reason.refused.iter().map(|code| self.sentence(*code, value)).collect(),
            would_change: reason.would_change.iter().map(|code| self.sentence(*code, value)).collect(),
        }
    }

    /// The rule of a reason alone, for a short form.
    pub fn rule(&self, reason: &Reason) -> String {
        self.sentence(reason.rule, |name| {
            reason.inputs.iter().find(|input| input.name == name).map(|input| &input.value)
        })
    }

    /// One input: "Plate: 150 °C · 302 °F — maker's sheet, card 7".
    pub fn input(&self, input: &Input) -> String {
        let origin = self.word(input.origin);
        let from = match input.source.as_deref().map(clean) {
            None => origin.to_owned(),
            Some(source) if source.is_empty() => origin.to_owned(),
            // A source that already says whose it is needs no second mention.
            Some(source) if source.starts_with(origin) => source,
            Some(source) => format!("{origin}, {source}"),
        };
        format!("{}: {} — {from}", self.label(input.name), self.value(&input.value))
    }

    /// The phrase of a term; the code itself when there is none.
    pub fn term(&self, code: Code) -> String {
        self.sentence(code, |_| None)
    }

    /// The sentence of a code with values put in by name.
    pub fn say(&self, code: Code, values: &[Named]) -> String {
        self.sentence(code, |name| values.iter().find(|named| named.name == name).map(|named| &named.value))
    }

    /// Every sentence of a room, for a form that shows many of them as they
    /// stand: what follows "room." in its code, and the sentence.
    pub fn section(&self, room: &str) -> impl Iterator<Item = (&'static str, &'static str)> {
        english::section(room)
    }

    /// The word of an enumeration's value with a capital, for the head of a line.
    pub fn heading<T: Worded>(&self, of: T) -> String {
        sentence::capital(of.word(self.language))
    }

    /// The label of an input, with a capital: "Bond line at the end".
    pub fn label(&self, name: &str) -> String {
        match english::label(name) {
            Some(label) => label.to_owned(),
            None => sentence::capital(&clean(name).replace('-', " ")),
        }
    }

    /// The word for a value of an enumeration: `speech.word(trade::Peel::Cold)`.
    pub fn word<T: Worded>(&self, of: T) -> &'static str {
        of.word(self.language)
    }

    /// The code of this name, as a file has it; `None` when there is no sentence for it.
    pub fn code(&self, name: &str) -> Option<Code> {
        english::code(name).map(Code)
    }

    /// The sentence of a code with the values that a file gives by name; they need not be known here.
    pub fn told(&self, code: Code, values: &[(String, Value)]) -> String {
        self.sentence(code, |name| values.iter().find(|(known, _)| known == name).map(|(_, value)| value))
    }

    /// Whether there is a sentence for `code`.
    pub fn knows(&self, code: Code) -> bool {
        english::sentence(code.0).is_some()
    }

    fn sentence<'a>(&self, code: Code, value: impl Fn(&str) -> Option<&'a Value>) -> String {
        let Some(pattern) = english::sentence(code.0) else { return clean(code.0) };
        sentence::fill(pattern, |name| {
            Some(match value(name)? {
                // A sentence within a sentence, as the reason within "it does not suit",
                // speaks of the same values; one level deep, so that it ends.
                Value::Term(inner) => match english::sentence(inner.0) {
                    Some(pattern) => sentence::put_in(pattern, |name| value(name).map(|value| self.value(value))),
                    None => clean(inner.0),
                },
                other => self.value(other),
            })
        })
    }
}

impl Worded for Severity {
    fn word(self, _: Language) -> &'static str {
        match self {
            Self::Note => "Note",
            Self::Warning => "Watch",
            Self::Ask => "Question",
            Self::StopsLine => "Stops this line",
        }
    }
}

#[cfg(test)]
mod tests;
