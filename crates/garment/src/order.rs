//! Order of pressing on one garment: sublimation first, then falling
//! temperature, flock and puff last, so that no later press overheats or
//! flattens an earlier print. Common practice, no source.

use crate::codes;
use crate::panel::Panel;
use report::{Finding, Origin, Reason, Severity, Value};
use trade::{Kind, Peel};
use units::{Duration, Temperature};

/// A print as it is pressed.
#[derive(Debug, Clone, PartialEq)]
pub struct Pressing {
    /// What it is called on the ticket.
    pub name: String,
    /// Its family.
    pub kind: Kind,
    /// Platen temperature of its hottest step.
    pub temperature: Temperature,
    /// Hottest later platen it bears once finished.
    pub bears: Temperature,
    /// When its carrier comes off.
    pub peel: Option<Peel>,
    /// The panel it lies on.
    pub panel: Panel,
    /// Prints (by place in the list) that lie under its platen.
    pub over: Vec<usize>,
}

/// The order, and what follows from it.
#[derive(Debug, Clone, PartialEq)]
pub struct PressingOrder {
    /// Places in the list given, first pressed first.
    pub order: Vec<usize>,
    /// Why each of `order` comes where it does.
    pub why: Vec<Reason>,
    /// How often the garment is turned or loaded anew between prints.
    pub reloads: u32,
    /// Time for that: `flip` for each.
    pub reload_time: Duration,
    /// Prints pressed one after the other whose carriers stay on and are peeled together, cold.
    pub peeled_together: Vec<Vec<usize>>,
    /// Earlier prints that a later platen would spoil.
    pub findings: Vec<Finding>,
}

/// Rank of a kind: sublimation, everything else, flock, puff.
fn rank(kind: Kind) -> u8 {
    match kind {
        Kind::Sublimation => 0,
        Kind::Flock => 2,
        Kind::Puff => 3,
        _ => 1,
    }
}

/// Orders the prints of one garment; `flip` is the time to turn it or load it anew.
///
/// Prints of equal rank and temperature keep their panel together, then the order given.
pub fn order_on_garment(prints: &[Pressing], flip: Duration) -> PressingOrder {
    let mut order: Vec<usize> = (0..prints.len()).collect();
    order.sort_by(|a, b| {
        let (Some(p), Some(q)) = (prints.get(*a), prints.get(*b)) else { return a.cmp(b) };
        rank(p.kind)
            .cmp(&rank(q.kind))
            .then(q.temperature.c().total_cmp(&p.temperature.c()))
            .then(p.panel.cmp(&q.panel))
            .then(a.cmp(b))
    });
    let sequence: Vec<(usize, &Pressing)> = order.iter().filter_map(|at| Some((*at, prints.get(*at)?))).collect();
    let reloads = sequence.windows(2).filter(|pair| matches!(pair, [a, b] if a.1.panel != b.1.panel)).count();
    let reloads = u32::try_from(reloads).unwrap_or(u32::MAX);
    PressingOrder {
        why: sequence.iter().map(|(_, print)| why(print)).collect(),
        reloads,
        reload_time: flip * f64::from(reloads),
        peeled_together: common_peels(&sequence),
        findings: spoiled(&sequence, prints),
        order,
    }
}

fn why(print: &Pressing) -> Reason {
    let rule = match rank(print.kind) {
        0 => codes::ORDER_SUBLIMATION,
        1 => codes::ORDER_HOTTER,
        _ => codes::ORDER_RAISED_LAST,
    };
    Reason::new(rule).from("print", Value::Text(print.name.clone()), Origin::Person).sourced(
        "temperature",
        Value::Temperature(print.temperature),
        Origin::Maker,
        "maker's recipe",
    )
}

/// Runs of cold-peeled prints: each is pressed with the carrier of the one before still on.
fn common_peels(sequence: &[(usize, &Pressing)]) -> Vec<Vec<usize>> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    let mut run: Vec<usize> = Vec::new();
    for (at, print) in sequence {
        if print.peel == Some(Peel::Cold) {
            run.push(*at);
            continue;
        }
        groups.push(std::mem::take(&mut run));
    }
    groups.push(run);
    groups.retain(|group| group.len() > 1);
    groups
}

/// Earlier prints under a later platen that is too hot for them, or that would flatten them.
fn spoiled(sequence: &[(usize, &Pressing)], prints: &[Pressing]) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (later_at, (_, later)) in sequence.iter().enumerate() {
        for (at, earlier) in sequence.iter().take(later_at) {
            if !later.over.contains(at) || prints.get(*at).is_none() {
                continue;
            }
            let about = |code, remedy| {
                Finding::new(Severity::Warning, code, remedy)
                    .named("earlier", earlier.name.clone())
                    .named("later", later.name.clone())
                    .with("temperature", Value::Temperature(later.temperature))
                    .with("limit", Value::Temperature(earlier.bears))
            };
            if later.temperature.c() > earlier.bears.c() + 1e-9 {
                findings.push(about(codes::ORDER_TOO_HOT, codes::ORDER_TOO_HOT_REMEDY));
            }
            if earlier.kind == Kind::Puff {
                findings.push(about(codes::ORDER_PUFF_TWICE, codes::ORDER_PUFF_TWICE_REMEDY));
            }
        }
    }
    findings
}
