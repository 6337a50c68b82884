//! Orders as text on a terminal.

use desk::kept::{Comparison, DeedError, Kept, KeptOrder, KeptPlan, Stage};
use report::Finding;
use std::fmt::Write as _;
use store::{Change, Listed};
use units::{Currency, Duration, Money, UnitSystem};
use words::Speech;

fn speech() -> Speech {
    Speech::english(UnitSystem::Metric)
}

/// A finding with its remedy on one line.
pub(super) fn finding_line(finding: &Finding) -> String {
    let said = speech().finding(finding);
    format!("{}: {} {}", said.severity, said.what, said.remedy)
}

fn phrase(stage: &str) -> String {
    Stage::of_word(stage).map_or_else(|| stage.to_owned(), |stage| speech().term(stage.term()))
}

/// A list of orders: number, due, what it waits for, whose it is, pieces, net price.
pub(super) fn list_lines(kept: &Kept, orders: &[Listed]) -> String {
    let currency = kept.shop().ok().map(|shop| shop.value.currency);
    let now = jiff::ZonedDateTime::now().datetime().strftime("%Y-%m-%dT%H:%M:%S").to_string();
    let mut text = String::new();
    for order in orders {
        let stage = phrase(order.stage_at(&now));
        let net = order.net.map_or_else(String::new, |net| money(net, currency));
        let due = order.due.get(..16).unwrap_or(&order.due).replace('T', " ");
        let name = words::clean(&order.name);
        let _ = writeln!(text, "{:>6}  {due:16}  {stage:28}  {:>5}  {net:>12}  {name}", order.id, order.pieces);
    }
    if orders.is_empty() {
        text.push_str("no order\n");
    }
    text
}

fn money(minor: i64, currency: Option<Currency>) -> String {
    match currency {
        Some(currency) => speech().money(Money::new(minor, currency)),
        None => minor.to_string(),
    }
}

/// One order with its plan's figures.
pub(super) fn order_lines(kept: &Kept, order: &KeptOrder, plan: Option<&KeptPlan>) -> Result<String, DeedError> {
    let mut text = String::new();
    let stage = speech().term(kept.stage(order, plan).term());
    let _ = writeln!(text, "order {}, version {}, {}: {stage}", order.id, order.version, words::clean(&order.stamp.by));
    let _ = writeln!(text, "{} — {}", words::clean(&order.listed.name), words::clean(&order.listed.customer));
    if let Err(faults) = &order.order {
        faults.iter().for_each(|fault| {
            let _ = writeln!(text, "{fault}");
        });
    }
    for (name, file) in &order.form.art {
        let _ = writeln!(text, "art {} ({} bytes)", words::clean(name), file.bytes);
    }
    if let Some((plan, facts)) = plan.and_then(|plan| plan.facts(&order.id).map(|facts| (plan, facts))) {
        let currency = Currency::new(&facts.currency, facts.decimals);
        let stale = if plan.stale { ", to be made anew" } else { "" };
        let _ = writeln!(text, "plan {}{stale}: {} files", plan.version, plan.form.files.len());
        let amounts =
            [("net", facts.net), ("with taxes", facts.gross), ("cost", facts.cost), ("deposit", facts.deposit)];
        for (name, minor) in amounts {
            let _ = writeln!(text, "  {name:12}{}", money(minor, currency));
        }
        let moments = [
            ("sign off by", &facts.sign_off_by),
            ("order by", &facts.order_by),
            ("press from", &facts.press_from),
            ("finished", &facts.finish),
        ];
        for (name, at) in moments {
            if let Some(at) = at {
                let _ = writeln!(text, "  {name:12}{}", at.replace('T', " "));
            }
        }
        if facts.stopped + facts.waiting > 0 {
            let _ = writeln!(text, "  lines that cannot be made: {}, that wait: {}", facts.stopped, facts.waiting);
        }
    }
    for changed in kept.changes_since(&order.id)? {
        let _ = writeln!(text, "{}", finding_line(&changed));
    }
    Ok(text)
}

/// A history, the oldest first.
pub(super) fn history_lines(changes: &[Change]) -> String {
    let mut text = String::new();
    for change in changes {
        let at = jiff::Timestamp::from_millisecond(change.stamp.at_ms).unwrap_or_default();
        let at = at.to_zoned_datetime(jiff::tz::TimeZone::system()).strftime("%Y-%m-%d %H:%M").to_string();
        let (by, what) = (words::clean(&change.stamp.by), words::clean(&change.what));
        let _ = writeln!(text, "{:>4}  {at}  {by:20}  {what}", change.version);
    }
    text
}

/// What was quoted against what it took, a kind of cost a line.
pub(super) fn comparison_lines(found: &Comparison) -> String {
    let speech = speech();
    let mut text = String::new();
    let line = |text: &mut String, cells: [&str; 6]| {
        let [what, a, b, c, d, e] = cells;
        let _ = writeln!(text, "{what:38}{a:>12}{b:>12}{c:>14}{d:>14}{e:>14}");
    };
    let open = "–";
    let signed = |money: Money| {
        let plus = if money.minor() > 0 { "+" } else { "" };
        format!("{plus}{}", speech.money(money))
    };
    let time = |work: Duration| if work.s() > 0.0 { speech.duration(work) } else { String::new() };
    line(&mut text, ["", "time quoted", "really", "quoted", "really", "difference"]);
    for row in &found.rows {
        let real = row.real.map_or(open.to_owned(), |money| speech.money(money));
        let difference = row.difference.map_or(String::new(), signed);
        let real_work = row.real_work.map_or(String::new(), time);
        let what = speech.term(row.what);
        line(&mut text, [&what, &time(row.quoted_work), &real_work, &speech.money(row.quoted), &real, &difference]);
    }
    let difference = found.real.minus(found.quoted).map_or(String::new(), signed);
    let (quoted, real) = (speech.money(found.quoted), speech.money(found.real));
    line(&mut text, ["cost", &time(found.work.0), &time(found.work.1), &quoted, &real, &difference]);
    let _ = writeln!(text, "\nprice       {}", speech.money(found.net));
    if let Some((quoted, real)) = found.kept {
        let _ = writeln!(text, "stays       {} as quoted, {} really", speech.percent(quoted), speech.percent(real));
    }
    if let (Some(quoted), Some(real)) = found.earns {
        let _ = writeln!(text, "an hour     earns {} as quoted, {} really", speech.money(quoted), speech.money(real));
    }
    let sheets = found.sheets.1.map_or(open.to_owned(), |used| used.to_string());
    let _ = writeln!(text, "sheets      {} planned, {sheets} used", found.sheets.0);
    let _ = writeln!(text, "spoiled     {}", speech.counted(u64::from(found.spoiled), "piece", "pieces"));
    if !found.open.is_empty() {
        let names: Vec<String> = found.open.iter().map(|what| speech.term(*what).to_lowercase()).collect();
        let _ = writeln!(text, "not written down, counted as quoted: {}", speech.list(&names));
    }
    if !found.note.is_empty() {
        let _ = writeln!(text, "note        {}", words::clean(&found.note));
    }
    text
}
