//! Figures with their reasons, findings, and the words of closed lists.

use crate::Way;
use crate::result::LineState;
use report::{Figure, Finding, Named, Origin, Reason, Severity, Value};
use schemars::JsonSchema;
use serde::Serialize;
use units::Money;

/// A figure with its range of doubt and its reasons.
#[derive(Debug, Serialize, JsonSchema)]
pub(in crate::form::plan_file) struct FigureFile<T> {
    value: T,
    #[serde(skip_serializing_if = "Option::is_none")]
    low: Option<T>,
    #[serde(skip_serializing_if = "Option::is_none")]
    high: Option<T>,
    why: Vec<ReasonFile>,
}

pub(in crate::form::plan_file) fn figure<A, B>(figure: &Figure<A>, to: impl Fn(&A) -> B) -> FigureFile<B> {
    FigureFile {
        value: to(&figure.value),
        low: figure.range.as_ref().map(|(low, _)| to(low)),
        high: figure.range.as_ref().map(|(_, high)| to(high)),
        why: reasons(&figure.why),
    }
}

/// A reason: its rule and what went in.
#[derive(Debug, Serialize, JsonSchema)]
pub(in crate::form::plan_file) struct ReasonFile {
    rule: &'static str,
    inputs: Vec<InputFile>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    refused: Vec<&'static str>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    would_change: Vec<&'static str>,
}

/// One input of a reason.
#[derive(Debug, Serialize, JsonSchema)]
struct InputFile {
    name: &'static str,
    value: ValueFile,
    origin: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    source: Option<String>,
}

/// A value with its unit.
#[derive(Debug, Serialize, JsonSchema)]
#[serde(tag = "unit", content = "value", rename_all = "snake_case")]
enum ValueFile {
    Mm(f64),
    Mm2(f64),
    C(f64),
    K(f64),
    S(f64),
    Minor(i64),
    Count(i64),
    Share(f64),
    Number(f64),
    Date(String),
    Moment(String),
    Text(String),
    Term(&'static str),
    List(Vec<ValueFile>),
}

pub(in crate::form::plan_file) fn reasons(all: &[Reason]) -> Vec<ReasonFile> {
    all.iter()
        .map(|reason| ReasonFile {
            rule: reason.rule.0,
            inputs: reason
                .inputs
                .iter()
                .map(|input| InputFile {
                    name: input.name,
                    value: value(&input.value),
                    origin: origin(input.origin),
                    source: input.source.clone(),
                })
                .collect(),
            refused: reason.refused.iter().map(|code| code.0).collect(),
            would_change: reason.would_change.iter().map(|code| code.0).collect(),
        })
        .collect()
}

fn origin(origin: Origin) -> &'static str {
    match origin {
        Origin::Maker => "maker",
        Origin::Shop => "shop",
        Origin::Default => "default",
        Origin::Measured => "measured",
        Origin::Model => "model",
        Origin::Person => "person",
    }
}

fn value(value_: &Value) -> ValueFile {
    match value_ {
        Value::Length(length) => ValueFile::Mm(length.mm()),
        Value::Area(area) => ValueFile::Mm2(area.mm2()),
        Value::Temperature(temperature) => ValueFile::C(temperature.c()),
        Value::Difference(difference) => ValueFile::K(difference.k()),
        Value::Duration(span) => ValueFile::S(span.s()),
        Value::Money(amount) => ValueFile::Minor(amount.minor()),
        Value::Count(count) => ValueFile::Count(*count),
        Value::Share(share) => ValueFile::Share(*share),
        Value::Number(number) => ValueFile::Number(*number),
        Value::Date(date) => ValueFile::Date(date.to_string()),
        Value::Moment(moment) => ValueFile::Moment(moment.to_string()),
        Value::Text(text) => ValueFile::Text(text.clone()),
        Value::Term(code) => ValueFile::Term(code.0),
        Value::List(list) => ValueFile::List(list.iter().map(value).collect()),
    }
}

/// A finding.
#[derive(Debug, Serialize, JsonSchema)]
pub(in crate::form::plan_file) struct FindingFile {
    code: &'static str,
    severity: &'static str,
    /// Order, line and print, counted from 0.
    #[serde(skip_serializing_if = "Option::is_none")]
    order: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    line: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    print: Option<usize>,
    /// Left, lower, right, upper edge on the art as pressed.
    #[serde(skip_serializing_if = "Option::is_none")]
    place_mm: Option<[f64; 4]>,
    quantities: Vec<NamedFile>,
    remedy: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    repair: Option<&'static str>,
}

/// A named value.
#[derive(Debug, Serialize, JsonSchema)]
struct NamedFile {
    name: &'static str,
    value: ValueFile,
}

pub(in crate::form::plan_file) fn finding(finding: &Finding) -> FindingFile {
    FindingFile {
        code: finding.code.0,
        severity: match finding.severity {
            Severity::Note => "note",
            Severity::Warning => "warning",
            Severity::Ask => "ask",
            Severity::StopsLine => "stops-line",
        },
        order: finding.subject.order,
        line: finding.subject.line,
        print: finding.subject.print,
        place_mm: finding.place.as_ref().map(|place| {
            let b = place.bounds;
            [b.min.x, b.min.y, b.max.x, b.max.y]
        }),
        quantities: finding
            .quantities
            .iter()
            .map(|Named { name, value: of }| NamedFile { name, value: value(of) })
            .collect(),
        remedy: finding.remedy.0,
        repair: finding.repair.map(|code| code.0),
    }
}

pub(in crate::form::plan_file) fn money(amount: &Money) -> i64 {
    amount.minor()
}

pub(in crate::form::plan_file) fn way_word(way: Way) -> &'static str {
    match way {
        Way::Everyday => "everyday",
        Way::Stronger => "stronger",
        Way::Finest => "finest",
    }
}

pub(in crate::form::plan_file) fn stage_word(state: LineState) -> &'static str {
    match state {
        LineState::Planned => "planned",
        LineState::Waiting => "waiting",
        LineState::Stopped => "stopped",
    }
}
