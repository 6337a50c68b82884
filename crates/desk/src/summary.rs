//! A plan in words, for a terminal or a text file.

use plan::{
    BreakEven, CardStep, Landed, LandedPoint, LinePlan, LinePrice, LineState, OrderPlan, Plan, PressCard, PrintPlan,
    Purchase,
};
use report::{Code, Finding, Reason, Severity, Subject};
use std::fmt::Write as _;
use trade::{Shop, StepRole};
use words::Speech;

/// The plan in a page: lines, prices, dates, sheets, purchases, findings.
pub fn summary(shop: &Shop, plan: &Plan, speech: &Speech) -> String {
    let mut text = String::new();
    for order in &plan.orders {
        order_lines(&mut text, shop, order, speech);
    }
    pools(&mut text, shop, plan, speech);
    purchases(&mut text, shop, plan, speech);
    for order in &plan.orders {
        money_and_dates(&mut text, order, speech);
    }
    let (notes, grave): (Vec<Finding>, Vec<Finding>) =
        plan.findings.iter().cloned().partition(|finding| finding.severity == Severity::Note);
    if !grave.is_empty() {
        let _ = writeln!(text, "\nFindings");
        for line in finding_lines(&grave, plan, speech) {
            let _ = writeln!(text, "  {line}");
        }
    }
    if !notes.is_empty() {
        let _ = writeln!(text, "  And {} in summary.txt.", speech.counted(notes.len() as u64, "note", "notes"));
    }
    text
}

/// The notes of a plan, one a line: worth knowing, nothing to do about.
pub fn notes(plan: &Plan, speech: &Speech) -> String {
    let notes: Vec<Finding> =
        plan.findings.iter().filter(|finding| finding.severity == Severity::Note).cloned().collect();
    let mut text = String::new();
    if !notes.is_empty() {
        let _ = writeln!(text, "Notes");
        for line in finding_lines(&notes, plan, speech) {
            let _ = writeln!(text, "  {line}");
        }
    }
    text
}

/// Each finding in a line: how grave, of which lines and prints, what and what to do.
/// What is said alike of several prints is said once.
pub fn finding_lines(findings: &[Finding], plan: &Plan, speech: &Speech) -> Vec<String> {
    let mut said_once: Vec<(&str, String, Vec<Subject>)> = Vec::new();
    for finding in findings {
        let said = speech.finding(finding);
        let sentence = format!("{} {}", said.what, said.remedy);
        match said_once.iter_mut().find(|(severity, earlier, _)| *severity == said.severity && *earlier == sentence) {
            Some((_, _, places)) => places.push(finding.subject),
            None => said_once.push((said.severity, sentence, vec![finding.subject])),
        }
    }
    let line = |(severity, sentence, places): (&str, String, Vec<Subject>)| {
        format!("{severity}{}: {sentence}", whereabouts(&places, plan, speech))
    };
    said_once.into_iter().map(line).collect()
}

/// An order and a line of it, where a finding is about one.
type LineOf = (Option<usize>, Option<usize>);

/// " (line 3, prints 1 and 2; line 5)", and the order where there are several.
fn whereabouts(subjects: &[Subject], plan: &Plan, speech: &Speech) -> String {
    let mut lines: Vec<(LineOf, Vec<String>)> = Vec::new();
    for subject in subjects {
        let line = (subject.order, subject.line);
        let at = lines.iter().position(|(known, _)| *known == line).unwrap_or_else(|| {
            lines.push((line, Vec::new()));
            lines.len() - 1
        });
        let prints = &mut lines[at].1;
        if let Some(print) = subject.print.map(|print| (print + 1).to_string())
            && !prints.contains(&print)
        {
            prints.push(print);
        }
    }
    let place = |((order, line), prints): (LineOf, Vec<String>)| {
        let mut parts = Vec::new();
        parts.extend(order.filter(|_| plan.orders.len() > 1).map(|order| format!("order {}", order + 1)));
        parts.extend(line.map(|line| format!("line {}", line + 1)));
        if !prints.is_empty() {
            let word = if prints.len() == 1 { "print" } else { "prints" };
            parts.push(format!("{word} {}", speech.list(&prints)));
        }
        parts.join(", ")
    };
    let places: Vec<String> = lines.into_iter().map(place).filter(|place| !place.is_empty()).collect();
    if places.is_empty() { String::new() } else { format!(" ({})", places.join("; ")) }
}

fn order_lines(text: &mut String, shop: &Shop, order: &OrderPlan, speech: &Speech) {
    let customer = words::clean(&order.customer);
    let name = words::clean(&order.name);
    let whose = if customer == name { name } else { format!("{name} — {customer}") };
    let _ = writeln!(text, "{whose}, due {}\n", speech.moment(order.due));
    let mut rows =
        vec![["line", "garment", "pieces", "print", "transfer", "press", "each", "total"].map(str::to_owned).to_vec()];
    for (nth, line) in order.lines.iter().enumerate() {
        rows.extend(line_rows(shop, nth, line, speech));
    }
    table(text, &rows, &[2, 6, 7]);
}

fn line_rows(shop: &Shop, nth: usize, line: &LinePlan, speech: &Speech) -> Vec<Vec<String>> {
    let mut rows = Vec::new();
    for (at, print) in line.prints.iter().enumerate() {
        let first = at == 0;
        let price = line.price.as_ref().filter(|_| first);
        let state = match line.state {
            LineState::Planned => None,
            LineState::Waiting => Some("waits"),
            LineState::Stopped => Some("stopped"),
        };
        let cell = |show: bool, text: String| if show { text } else { String::new() };
        rows.push(vec![
            cell(first, (nth + 1).to_string()),
            cell(first, format!("{}, {}", words::clean(&line.garment_name), words::clean(&line.colour))),
            cell(first, line.pieces().to_string()),
            print_cell(print, speech),
            transfer_cell(shop, print),
            print.card.as_ref().map_or_else(|| state.unwrap_or("").to_owned(), |card| press_cell(card, speech)),
            price.map_or_else(String::new, |price| speech.money(price.unit.value)),
            price.map_or_else(String::new, |price| speech.money(price.total)),
        ]);
    }
    rows
}

fn print_cell(print: &PrintPlan, speech: &Speech) -> String {
    let art = words::clean(&print.art);
    let art = art.rsplit('/').next().unwrap_or(&art).to_owned();
    let position = print
        .position
        .map_or_else(String::new, |position| format!(", {}", speech.term(position.term()).to_lowercase()));
    let size = print.size.map_or_else(String::new, |size| format!(", {}", speech.length(size.width())));
    format!("{art}{position}{size}")
}

fn transfer_cell(shop: &Shop, print: &PrintPlan) -> String {
    match print.choice.taken() {
        Some(taken) => {
            let name = shop.transfer(taken.transfer).name.clone();
            std::iter::once(name).chain(taken.films.iter().map(|film| film.name.clone())).collect::<Vec<_>>().join(", ")
        }
        None => "none".to_owned(),
    }
}

/// "150 °C · 302 °F, 15 s": the press that makes the bond.
fn press_cell(card: &PressCard, speech: &Speech) -> String {
    card.steps
        .iter()
        .find_map(|step| match step {
            CardStep::Press { role: StepRole::Full, temperature, dwell, .. } => {
                Some(format!("{}, {}", speech.temperature(temperature.value), speech.duration(dwell.value)))
            }
            _ => None,
        })
        .unwrap_or_default()
}

fn pools(text: &mut String, shop: &Shop, plan: &Plan, speech: &Speech) {
    if plan.pools.is_empty() {
        return;
    }
    let _ = writeln!(text, "\nSheets and film");
    let mut rows = Vec::new();
    for pool in &plan.pools {
        let name = &shop.transfer(pool.transfer).name;
        let name = pool.colour.as_ref().map_or(name.clone(), |colour| format!("{name}, {colour}"));
        let (low, cost) = pool.cost.range.unwrap_or((pool.cost.value, pool.cost.value));
        let gap = if cost.minor() > 0 { (cost.minor() - low.minor()) as f64 / cost.minor() as f64 } else { 0.0 };
        let used = if pool.paid_area.mm2() > 0.0 { pool.art_area.mm2() / pool.paid_area.mm2() } else { 0.0 };
        rows.push(vec![
            format!("  {}", pool.key),
            name,
            speech.counted(pool.layout.sheets.len() as u64, "sheet or length", "sheets or lengths"),
            speech.money(cost),
            format!("at least {}, gap {}", speech.money(low), speech.percent(gap)),
            format!("{} of the film is art", speech.percent(used)),
        ]);
    }
    table(text, &rows, &[3]);
}

fn purchases(text: &mut String, shop: &Shop, plan: &Plan, speech: &Speech) {
    if plan.purchases.is_empty() {
        return;
    }
    let _ = writeln!(text, "\nTo order");
    let rows: Vec<Vec<String>> = plan
        .purchases
        .iter()
        .map(|purchase| {
            vec![
                format!("  {}", shop.supplier(purchase.supplier).name),
                speech.money(purchase.total),
                format!("by {}", speech.moment(purchase.order_by.value))
                    + &apart(purchase, speech)
                    + &whose(plan, &purchase.orders(plan), speech),
            ]
        })
        .collect();
    table(text, &rows, &[1]);
}

/// What is out of the usual about a purchase's delivery.
fn apart(purchase: &Purchase, speech: &Speech) -> String {
    let mut said = String::new();
    if let Some(rush) = purchase.rush.filter(|rush| rush.taken) {
        let _ = write!(said, ", with rush ({})", speech.money(rush.price));
    }
    if let Some(second) = purchase.second {
        let freight = speech.money(second.freight);
        let _ = write!(said, ", a second delivery {} ({freight} freight)", speech.date(second.arrives));
    }
    said
}

fn money_and_dates(text: &mut String, order: &OrderPlan, speech: &Speech) {
    let price = &order.price;
    let _ = writeln!(text);
    let mut line = |label: &str, value: String| {
        let _ = writeln!(text, "{label:<12}{value}");
    };
    if let Some(finish) = &order.dates.finish {
        let slack = order.dates.slack.map_or_else(String::new, |slack| {
            let late = slack.s() < 0.0;
            let span = speech.duration(if late { -slack } else { slack });
            format!(", {span} {} due", if late { "after it is" } else { "before it is" })
        });
        line("Finished", format!("{}{slack}", speech.moment(finish.value)));
    }
    if let Some(by) = &order.dates.sign_off_by {
        line("Sign-off by", speech.moment(by.value));
    }
    let earns = price
        .earns_per_hour
        .map_or_else(String::new, |money| format!(", earns {} an hour of work", speech.money(money)));
    line("Price", format!("{} net, {} with tax{earns}", speech.money(price.net.value), speech.money(price.gross)));
    let ways: Vec<String> =
        order.ways.iter().map(|way| format!("{} {}", speech.word(way.way), speech.money(way.net))).collect();
    if !ways.is_empty() {
        line("Three ways", ways.join(", "));
    }
}

/// Reasons of the plan's figures, for those who ask why.
pub fn explanation(shop: &Shop, plan: &Plan, speech: &Speech) -> String {
    let mut text = String::from("Why\n");
    for order in &plan.orders {
        if plan.orders.len() > 1 {
            let _ = writeln!(text, "\n{}", words::clean(&order.name));
        }
        for (nth, line) in order.lines.iter().enumerate() {
            let _ = writeln!(
                text,
                "\nLine {}: {}, {}",
                nth + 1,
                words::clean(&line.garment_name),
                words::clean(&line.colour)
            );
            for print in &line.prints {
                explain_print(&mut text, shop, print, speech);
            }
            if let Some(price) = &line.price {
                let _ = writeln!(text, "  Price of a piece {}", speech.money(price.unit.value));
                reasons(&mut text, &price.unit.why, speech);
                if let Some(fewest) = &price.not_below {
                    let _ = writeln!(
                        text,
                        "  Not below {} at this price",
                        speech.counted(u64::from(fewest.value), "piece", "pieces")
                    );
                    reasons(&mut text, &fewest.why, speech);
                }
                let _ = writeln!(text, "  A spoiled piece costs {}", speech.money(price.spoiled.value));
                reasons(&mut text, &price.spoiled.why, speech);
                if let Some(both) = &price.break_even {
                    two_ways(&mut text, shop, both, speech);
                }
                landed(&mut text, shop, price, speech);
                for item in &price.costs {
                    let _ = writeln!(text, "    {} {}", speech.term(item.what), speech.money(item.amount.value));
                    for reason in &item.amount.why {
                        let _ = writeln!(text, "      {}", speech.rule(reason));
                    }
                }
            }
        }
        weighed(&mut text, shop, order, speech);
        for (label, figure) in [
            ("Sign-off by", &order.dates.sign_off_by),
            ("Order transfers by", &order.dates.order_transfers_by),
            ("Order garments by", &order.dates.order_garments_by),
            ("Finished", &order.dates.finish),
        ] {
            if let Some(figure) = figure {
                let _ = writeln!(text, "\n{label} {}", speech.moment(figure.value));
                reasons(&mut text, &figure.why, speech);
            }
        }
        if let Some(by) = order.dates.goods_by {
            let _ = writeln!(text, "\n{} {}", speech.term(Code("papers.by-goods")), speech.date(by));
        }
        if let Some(by) = order.dates.press_by {
            let _ = writeln!(text, "{} {}", speech.term(Code("papers.by-press")), speech.moment(by));
        }
    }
    for pool in &plan.pools {
        let _ = writeln!(text, "\nSheets {}: {}", pool.key, speech.money(pool.cost.value));
        reasons(&mut text, &pool.cost.why, speech);
    }
    bought(&mut text, shop, plan, speech);
    text
}

/// What a line costs in two ways of making it, over the quantity.
fn two_ways(text: &mut String, shop: &Shop, both: &BreakEven, speech: &Speech) {
    let named = |way: usize| words::clean(&both.way_name(shop, way));
    let ways = [named(0), named(1)];
    let first = both.points.first().map_or(1, |point| point.pieces);
    let mut said = format!("  Two ways: {} is cheaper from {first}", ways[both.cheaper_at(first)]);
    for (from, way) in &both.changes {
        let _ = write!(said, ", {} from {from}", ways[*way]);
    }
    let _ = writeln!(text, "{said}");
    let mut rows = vec![vec!["    pieces".to_owned(), ways[0].clone(), ways[1].clone()]];
    for point in &both.points {
        rows.push(vec![format!("    {:>6}", point.pieces), speech.money(point.costs[0]), speech.money(point.costs[1])]);
    }
    table(text, &rows, &[1, 2]);
}

/// What the prints cost to have here, each way of getting them, over the quantity.
fn landed(text: &mut String, shop: &Shop, price: &LinePrice, speech: &Speech) {
    let Some(said) = speech.landed_at(shop, &price.landed, price.pieces) else { return };
    let _ = writeln!(text, "  {}", speech.term(Code("papers.landed")));
    let _ = writeln!(text, "    {said}");
    let _ = writeln!(text, "    In brackets: {}", speech.term(Code("papers.landed-on-top")));
    let named = |one: &Landed| speech.landed_name(shop, one);
    let mut rows = vec![std::iter::once("    pieces".to_owned()).chain(price.landed.iter().map(named)).collect()];
    for point in price.landed.first().into_iter().flat_map(|first| &first.points) {
        let sum = |one: &Landed| {
            let said = |at: &LandedPoint| format!("{} ({})", speech.money(at.total), speech.money(at.on_top()));
            one.at(point.pieces).map_or_else(String::new, said)
        };
        let row = std::iter::once(format!("    {:>6}", point.pieces)).chain(price.landed.iter().map(sum));
        rows.push(row.collect::<Vec<String>>());
    }
    table(text, &rows, &[]);
}

/// What is bought of whom, for whom, by when and why then, and where more would cost less.
fn bought(text: &mut String, shop: &Shop, plan: &Plan, speech: &Speech) {
    for purchase in &plan.purchases {
        let supplier = words::clean(&shop.supplier(purchase.supplier).name);
        let _ = writeln!(
            text,
            "\n{supplier}: {}, order by {}",
            speech.money(purchase.total),
            speech.moment(purchase.order_by.value)
        );
        for item in &purchase.items {
            let name = match &item.goods {
                plan::Goods::Stock { item, colour, .. } => {
                    let name = shop.stock_item(*item).name.clone();
                    colour.as_ref().map_or(name.clone(), |colour| format!("{name}, {colour}"))
                }
                plan::Goods::Garment { style, colour, size, .. } => {
                    format!("{}, {colour}, {size}", shop.garment(*style).name)
                }
            };
            let whose = whose(plan, &item.goods.orders(plan), speech);
            let (count, name) = (item.quantity, words::clean(&name));
            let _ = writeln!(text, "    {count} × {name}, {}{whose}", speech.money(item.total));
        }
        reasons(text, &purchase.order_by.why, speech);
        for more in &purchase.more {
            for reason in &more.why {
                let _ = writeln!(text, "    {}", speech.rule(reason));
            }
        }
    }
}

/// ", for A and B", where several orders are planned together.
fn whose(plan: &Plan, orders: &[usize], speech: &Speech) -> String {
    let name = |at: &usize| plan.orders.get(*at).map(|order| words::clean(&order.name));
    let names: Vec<String> = orders.iter().filter_map(name).collect();
    if plan.orders.len() < 2 || names.is_empty() {
        return String::new();
    }
    const MOST: usize = 3;
    match names.get(..MOST).filter(|_| names.len() > MOST) {
        Some(first) => format!(", for {} and {} more", first.join(", "), names.len() - MOST),
        None => format!(", for {}", speech.list(&names)),
    }
}

/// The selections that were laid out to compare them, where there were several.
fn weighed(text: &mut String, shop: &Shop, order: &OrderPlan, speech: &Speech) {
    if order.selections.len() < 2 {
        return;
    }
    let _ = writeln!(text, "\nTransfers for the whole order: sheets, film, carriage and work");
    for one in &order.selections {
        let mut names: Vec<String> = Vec::new();
        for id in one.transfers.iter().flatten() {
            let name = words::clean(&shop.transfer(*id).name);
            if !names.contains(&name) {
                names.push(name);
            }
        }
        let laid_out = one
            .laid_out
            .map_or_else(|| "not to be laid out".to_owned(), |cost| format!("laid out {}", speech.money(cost)));
        let taken = if one.taken { ", taken" } else { "" };
        let proven = if one.proven { "" } else { ", not proven least" };
        let _ =
            writeln!(text, "  by area {}{proven}, {laid_out}{taken}: {}", speech.money(one.model), speech.list(&names));
    }
}

fn explain_print(text: &mut String, shop: &Shop, print: &PrintPlan, speech: &Speech) {
    let _ = writeln!(text, "  {}", print_cell(print, speech));
    reasons(text, &print.choice.why, speech);
    for candidate in &print.choice.candidates {
        let _ = writeln!(text, "    {} — {}", shop.transfer(candidate.transfer).name, speech.word(candidate.fit));
        for reason in &candidate.for_it {
            let _ = writeln!(text, "      + {}", speech.rule(reason));
        }
        for reason in &candidate.against {
            let _ = writeln!(text, "      – {}", speech.rule(reason));
        }
    }
    if let Some(placement) = print.placements.first() {
        let _ = writeln!(text, "    Platen {}", shop.platen(placement.reach.platen).name);
        reasons(text, &placement.reach.why, speech);
    }
    for step in print.card.iter().flat_map(|card| &card.steps) {
        if let CardStep::Press { temperature, set, dwell, .. } = step {
            let _ =
                writeln!(text, "    Press {}, {}", speech.temperature(temperature.value), speech.duration(dwell.value));
            reasons(text, &temperature.why, speech);
            for point in set.iter().filter(|point| (point.display.value - temperature.value).k().abs() >= 0.5) {
                let _ = writeln!(text, "    {}", words::clean(&shop.press(point.press).name));
                reasons(text, &point.display.why, speech);
            }
            reasons(text, &dwell.why, speech);
        }
    }
    if let Some(heat) = print.card.as_ref().and_then(|card| card.heat.as_ref()) {
        reasons(text, &heat.bond_end.why, speech);
        reasons(text, &heat.activation.why, speech);
        room_to_move(text, heat, speech);
    }
}

fn reasons(text: &mut String, all: &[Reason], speech: &Speech) {
    for reason in all {
        for (at, line) in speech.reason(reason).into_iter().enumerate() {
            let _ = writeln!(text, "    {}{line}", if at == 0 { "" } else { "  " });
        }
    }
}

/// How far the setting may be moved, and what closes it on each side.
fn room_to_move(text: &mut String, heat: &plan::HeatCard, speech: &Speech) {
    let Some(leeway) = &heat.window.leeway else {
        if let Some(why) = heat.window.closed_by {
            let _ = writeln!(text, "    No room to move: {}", speech.term(why));
        }
        return;
    };
    let (cold, hot) = leeway.temperature;
    let (short, long) = leeway.dwell;
    let _ = writeln!(
        text,
        "    Plate {}; colder: {}; hotter: {}",
        speech.temperature_range(cold, hot),
        speech.term(leeway.colder),
        speech.term(leeway.hotter)
    );
    let _ = writeln!(
        text,
        "    Closed {} to {}; shorter: {}; longer: {}",
        speech.duration(short),
        speech.duration(long),
        speech.term(leeway.shorter),
        speech.term(leeway.longer)
    );
}

/// Columns padded to their widest cell; those in `right` stand at the right.
fn table(text: &mut String, rows: &[Vec<String>], right: &[usize]) {
    let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
    let width = |column: usize| {
        rows.iter().filter_map(|row| row.get(column)).map(|cell| cell.chars().count()).max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..columns).map(width).collect();
    for row in rows {
        let mut line = String::new();
        for (column, cell) in row.iter().enumerate() {
            let pad = " ".repeat(widths[column] - cell.chars().count());
            if right.contains(&column) {
                line.push_str(&pad);
                line.push_str(cell);
            } else {
                line.push_str(cell);
                line.push_str(&pad);
            }
            line.push_str("  ");
        }
        let _ = writeln!(text, "{}", line.trim_end());
    }
}
