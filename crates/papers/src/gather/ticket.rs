//! Job tickets: one a garment line.

use super::steps::{set_points, steps};
use super::{Papers, shown, text, tight};
use crate::PaperError;
use crate::code::square_code;
use crate::form::{Ticket, TicketPlace, TicketPrint, Tickets};
use plan::{HeatCard, HeatedAgain, LinePlan, LineState, OrderPlan, Placement, PressCard, PrintPlan, Stacked};
use report::{Code, Named, Severity, Value};
use trade::{PressId, Reading};
use units::{Duration, Length};

/// Views of one garment that find room on a ticket.
const VIEWS: usize = 3;
/// A tape cannot show less, mm.
const ON_MARK_MM: f64 = 0.5;
/// Remarks printed; more would hide the first.
const REMARKS: usize = 8;

pub(crate) fn tickets(teller: &Papers<'_>, at: usize, only: Option<usize>) -> Result<Tickets, PaperError> {
    let order = teller.order(at)?;
    if let Some(line) = only.filter(|line| *line >= order.lines.len()) {
        return Err(PaperError::NoSuchLine { line, lines: order.lines.len() });
    }
    let wanted = |index: &usize| only.is_none_or(|only| only == *index);
    let tickets: Result<Vec<Ticket>, PaperError> =
        (0..order.lines.len()).filter(wanted).map(|index| ticket(teller, order, (at, index))).collect();
    Ok(Tickets {
        frame: teller.frame("papers.ticket", &order.name),
        customer: shown(&order.customer),
        due: teller.speech.moment(order.due),
        tickets: tickets?,
    })
}

/// Those of the line's prints, in the order in which they are read out, with the
/// press's own; the usual ones where nothing is known of the prints.
fn cautions(teller: &Papers<'_>, line: &LinePlan) -> Vec<String> {
    let mut all: Vec<Code> = Vec::new();
    // A print with more of them has the same order: what is new goes in after what came before it.
    for card in line.prints.iter().filter_map(|print| print.card.as_ref()) {
        let mut after = 0;
        for code in &card.cautions {
            match all.iter().position(|known| known == code) {
                Some(at) => after = at + 1,
                None => {
                    all.insert(after.min(all.len()), *code);
                    after += 1;
                }
            }
        }
    }
    if all.is_empty() {
        return USUAL_CAUTIONS.iter().map(|code| teller.label(code)).collect();
    }
    all.insert(2.min(all.len()), Code("papers.caution-pinch"));
    all.into_iter().map(|code| teller.speech.term(code)).collect()
}

/// In the order in which they are kept, which is that of danger.
const USUAL_CAUTIONS: [&str; 7] = [
    "papers.caution-burn",
    "papers.caution-pinch",
    "papers.caution-steam",
    "papers.caution-fumes",
    "papers.caution-maker",
    "papers.caution-test",
    "papers.caution-local",
];

fn ticket(teller: &Papers<'_>, order: &OrderPlan, at: (usize, usize)) -> Result<Ticket, PaperError> {
    let (order_index, index) = at;
    let line = &order.lines[index];
    let number = index.saturating_add(1);
    let halted = line.state != LineState::Planned;
    let from = line.press_from.filter(|_| !halted).map(|from| Named { name: "from", value: Value::Moment(from) });
    Ok(Ticket {
        number: format!("{number} / {}", order.lines.len()),
        garment: shown(&line.garment_name),
        colour: shown(&line.colour),
        rgb: line.rgb,
        brought: line.brought,
        pieces: teller.pieces(line.pieces()),
        press_at: from.map(|from| teller.say("papers.press-at", &[from])),
        qr: square_code(&format!(
            "{} · {} {number}",
            words::clean(&order.name),
            teller.label("papers.line").to_lowercase()
        ))?,
        pictures: teller.pictures(order_index, index, VIEWS),
        sizes: teller.sizes(line),
        spare: spare(teller, line),
        placements: line
            .prints
            .iter()
            .map(|print| places(teller, print))
            .filter(|place| !place.rows.is_empty())
            .collect(),
        pressing_order: pressing_order(teller, line),
        prints: pressed(line).map(|at| ticket_print(teller, (order_index, index, at), &line.prints[at])).collect(),
        halted: if halted { halts(teller, at) } else { Vec::new() },
        state: match line.state {
            LineState::Planned => String::new(),
            LineState::Waiting => teller.label("papers.halted-waiting"),
            LineState::Stopped => teller.label("papers.halted-stopped"),
        },
        remarks: remarks(teller, at),
        cautions: cautions(teller, line),
        test: teller.say("papers.test-on", &[teller.test_on(order)]),
    })
}

fn halts(teller: &Papers<'_>, (order, line): (usize, usize)) -> Vec<String> {
    let why = teller.found(order, line, |severity| matches!(severity, Severity::Ask | Severity::StopsLine));
    // A halted line says so even when nothing more is known.
    if why.is_empty() { vec![String::new()] } else { why }
}

fn remarks(teller: &Papers<'_>, (order, line): (usize, usize)) -> Vec<String> {
    let all = teller.found(order, line, |severity| severity == Severity::Warning);
    all.into_iter().take(REMARKS).collect()
}

fn spare(teller: &Papers<'_>, line: &LinePlan) -> Option<String> {
    let count = Named::count("count", i64::from(line.spare_garments));
    let mut all: Vec<String> = Vec::new();
    if line.spare_garments > 0 {
        all.push(teller.say("papers.spare-garments", &[count]));
    }
    for take in &line.on_hand {
        let Some(spare) = teller.shop.spare_garments().get(take.entry) else { continue };
        let values = [
            Named::count("count", i64::from(take.count)),
            text("garment", spare.size.as_str()),
            text("place", teller.shelf_place(&spare.place)),
        ];
        all.push(shown(&teller.say("papers.shelf-garment", &values)));
    }
    (!all.is_empty()).then(|| all.join(" · "))
}

/// Prints in the order in which they are pressed; any the order leaves out follow.
fn pressed(line: &LinePlan) -> impl Iterator<Item = usize> {
    let known: Vec<usize> = line.pressing_order.value.iter().copied().filter(|at| *at < line.prints.len()).collect();
    let rest: Vec<usize> = (0..line.prints.len()).filter(|at| !known.contains(at)).collect();
    known.into_iter().chain(rest)
}

fn pressing_order(teller: &Papers<'_>, line: &LinePlan) -> Option<String> {
    if line.prints.len() < 2 || line.state != LineState::Planned {
        return None;
    }
    let name = |at: usize| format!("{} {}", at.saturating_add(1), teller.position(&line.prints[at]).to_lowercase());
    let prints = teller.speech.list(&pressed(line).map(name).collect::<Vec<_>>());
    Some(teller.say("papers.pressing-order", &[text("prints", prints)]))
}

/// Where a print goes; sizes that measure alike share their rows.
fn places(teller: &Papers<'_>, print: &PrintPlan) -> TicketPlace {
    let mut alike: Vec<(Vec<String>, Vec<String>)> = Vec::new();
    for placement in &print.placements {
        let said = tape(teller, placement);
        match alike.iter_mut().find(|(_, other)| *other == said) {
            Some((sizes, _)) => sizes.push(shown(&placement.size)),
            None => alike.push((vec![shown(&placement.size)], said)),
        }
    }
    let alone = alike.len() == 1;
    let mut rows = Vec::new();
    for (sizes, said) in alike {
        if !alone {
            rows.push(format!("{}:", sizes.join(", ")));
        }
        rows.extend(said);
    }
    TicketPlace { print: teller.position(print), rows }
}

/// One line for each measure; what lies on its mark is said so, not "0 mm".
fn tape(teller: &Papers<'_>, placement: &Placement) -> Vec<String> {
    let measure = |tape: &garment::TapeMeasure| {
        let from = Named { name: "from", value: Value::Term(tape.from) };
        let to = Named { name: "to", value: Value::Term(tape.to) };
        if tape.length.mm().abs() < ON_MARK_MM {
            return teller.say("papers.tape-on", &[from, to]);
        }
        teller.say("papers.tape", &[from, to, text("length", tight(&teller.speech.length(tape.length)))])
    };
    placement.placed.measures.iter().map(measure).collect()
}

fn ticket_print(teller: &Papers<'_>, at: (usize, usize, usize), print: &PrintPlan) -> TicketPrint {
    let card = print.card.as_ref();
    TicketPrint {
        number: at.2.saturating_add(1).to_string(),
        position: teller.position(print),
        size: teller.print_size(print),
        art: shown(&print.art),
        transfer: teller.transfer(print).map(|transfer| shown(&transfer.name)),
        films: teller.films(print),
        reading: reading(teller, at),
        steps: card.map_or(Vec::new(), |card| steps(teller, card, planned_on(teller, at))),
        state: teller.label("papers.no-card"),
        facts: card.map_or(Vec::new(), |card| facts(teller, print, card)),
        why: full_press(card).map_or(Vec::new(), |why| teller.why(why)),
    }
}

/// The press on which the print is planned, where it is.
fn planned_on(teller: &Papers<'_>, (order, line, print): (usize, usize, usize)) -> Option<PressId> {
    let timeline = &teller.plan.timeline;
    let of = |batch: &plan::BatchOf| batch.order == order && batch.line == line && batch.print == print;
    let entries = &timeline.schedule.as_ref()?.entries;
    let entry = entries.iter().find(|entry| timeline.batches.get(entry.batch).is_some_and(of))?;
    teller.shop.presses().map(|(id, _)| id).nth(entry.press)
}

/// Reasons of the dwell of the press that makes the bond.
fn full_press(card: Option<&PressCard>) -> Option<&[report::Reason]> {
    card?.steps.iter().find_map(|step| match step {
        plan::CardStep::Press { role: trade::StepRole::Full, dwell, .. } => Some(dwell.why.as_slice()),
        _ => None,
    })
}

/// Which way the art reads on the film it lies on.
fn reading(teller: &Papers<'_>, (order, line, print): (usize, usize, usize)) -> Option<String> {
    let of =
        |design: &plan::PoolDesign| design.uses().any(|one| (one.order, one.line, one.print) == (order, line, print));
    let pool = teller.plan.pools.iter().find(|pool| pool.designs.iter().any(of))?;
    let used = pool.layout.sheets.first().and_then(|sheet| pool.stock.get(sheet.stock)).or(pool.stock.first())?;
    Some(teller.label(match teller.shop.stock_item(used.item).reading.value {
        Reading::Right => "papers.read-right",
        Reading::Reversed => "papers.read-mirrored",
    }))
}

fn facts(teller: &Papers<'_>, print: &PrintPlan, card: &PressCard) -> Vec<(String, String)> {
    let count = Named::count("count", i64::from(print.transfers));
    let spares = Named::count("spares", i64::from(print.spares));
    let transfers = if print.spares == 0 {
        teller.say("papers.transfers-exact", &[count])
    } else {
        teller.say("papers.transfers", &[count, spares])
    };
    let transfers = print.from_shelf.iter().fold(transfers, |said, take| {
        let Some(spare) = teller.shop.spare_transfers().get(take.entry) else { return said };
        let values = [
            text("transfers", said),
            Named::count("count", i64::from(take.count)),
            text("place", teller.shelf_place(&spare.place)),
            text("since", teller.speech.date(spare.since)),
        ];
        teller.say("papers.transfers-shelf", &values)
    });
    let presses: Vec<String> = card.presses.iter().map(|press| shown(&teller.shop.press(*press).name)).collect();
    let mut facts = vec![
        (teller.label("papers.fact-transfers"), transfers),
        (teller.label("papers.fact-press"), presses.join(" / ")),
    ];
    facts.extend(set_points(teller, card).into_iter().map(|said| (String::new(), said)));
    facts.push((teller.label("papers.fact-platen"), shown(&teller.shop.platen(card.platen).name)));
    if let Some(pillow) = card.pillow {
        facts.push((teller.label("papers.fact-pillow"), shown(&teller.shop.accessory(pillow).name)));
    }
    if let Some(load) = print.placements.first().map(|placement| placement.reach.load.term()) {
        facts.push((teller.label("papers.fact-load"), teller.speech.term(load)));
    }
    if card.per_closing > 1 {
        facts.push((teller.label("papers.fact-per-closing"), teller.pieces(card.per_closing)));
    }
    if print.weeding > Duration::ZERO {
        facts.push((teller.label("papers.fact-weeding"), weeding(teller, print)));
    }
    facts.extend(card.stacked.iter().flat_map(|stacked| stack_facts(teller, stacked)));
    facts.push((teller.label("papers.fact-source"), shown(&card.source)));
    facts.extend(card.heat.iter().flat_map(|heat| heat_facts(teller, heat)));
    facts.extend(card.heated_again.iter().map(|again| again_fact(teller, again)));
    facts
}

/// Weeding time of one print, and of each of its films.
fn weeding(teller: &Papers<'_>, print: &PrintPlan) -> String {
    let duration = |of: Duration| tight(&teller.speech.duration(of));
    let films = print.choice.taken().and_then(|taken| taken.stack.as_ref()).map_or(&[][..], |stack| &stack.layers);
    let each: Vec<String> =
        films.iter().map(|one| format!("{} {}", shown(&one.film.name), duration(one.weeding))).collect();
    let all = duration(print.weeding);
    if each.len() < 2 { all } else { format!("{all}: {}", teller.speech.list(&each)) }
}

/// Films over one another: which lies where, how they overlap, what the lower ones bear.
fn stack_facts(teller: &Papers<'_>, stacked: &Stacked) -> Vec<(String, String)> {
    let length = |of: Length| tight(&teller.speech.length(of));
    let names: Vec<String> = stacked.films.iter().map(|film| shown(&film.name)).collect();
    let overlap = [
        text("overlap", length(stacked.overlap)),
        text("thickest", length(stacked.thickest.0)),
        text("most", length(stacked.thickest.1)),
    ];
    let duration = |of: Duration| tight(&teller.speech.duration(of));
    let lowest =
        [text("dwell", duration(stacked.dwell_on_lowest.0)), text("most", duration(stacked.dwell_on_lowest.1))];
    let mut facts = vec![
        (teller.label("papers.fact-films"), teller.say("papers.films", &[text("films", teller.speech.list(&names))])),
        (teller.label("papers.fact-overlap"), teller.say("papers.overlap", &overlap)),
        (teller.label("papers.fact-lowest"), teller.say("papers.lowest", &lowest)),
    ];
    facts.extend(stacked.beneath.map(|under| {
        let values = [
            text("peak", teller.temperature(under.bond_peak)),
            text("above", duration(under.above_activation)),
            text("bears", teller.temperature(under.bears)),
        ];
        (teller.label("papers.fact-beneath"), teller.say("papers.again", &values))
    }));
    facts
}

fn heat_facts(teller: &Papers<'_>, heat: &HeatCard) -> Vec<(String, String)> {
    let bond = match heat.bond_end.range {
        Some((low, high)) => tight(&teller.speech.temperature_range(low, high)),
        None => teller.temperature(heat.bond_end.value),
    };
    let (label, margin) =
        if heat.margin.k() < 0.0 { ("papers.fact-over", -heat.margin) } else { ("papers.fact-margin", heat.margin) };
    let mut facts = window_facts(teller, heat);
    facts.push((teller.label("papers.fact-bond"), bond));
    facts.push((teller.label(label), tight(&teller.speech.difference(margin))));
    facts.extend(cool_fact(teller, heat));
    facts
}

/// How far the setting may be moved, and what closes it on each side.
fn window_facts(teller: &Papers<'_>, heat: &HeatCard) -> Vec<(String, String)> {
    let Some(leeway) = &heat.window.leeway else {
        let why = heat.window.closed_by.map_or(String::new(), |code| teller.say(closed(code), &[]));
        return vec![(teller.label("papers.fact-window"), teller.say("papers.window-none", &[text("why", why)]))];
    };
    let (cold, hot) = leeway.temperature;
    let (short, long) = leeway.dwell;
    let span = |low: String, high: String| if low == high { low } else { format!("{low} – {high}") };
    let temperatures =
        if cold == hot { teller.temperature(cold) } else { tight(&teller.speech.temperature_range(cold, hot)) };
    let duration = |of: Duration| tight(&teller.speech.duration(of));
    let said = |code, range: String, low: Code, high: Code| {
        let why = |code| teller.say(closed(code), &[]);
        teller.say(code, &[text("range", range), text("low", why(low)), text("high", why(high))])
    };
    vec![
        (
            teller.label("papers.fact-window"),
            said("papers.window-temperature", temperatures, leeway.colder, leeway.hotter),
        ),
        (
            String::new(),
            said("papers.window-time", span(duration(short), duration(long)), leeway.shorter, leeway.longer),
        ),
    ]
}

/// The short form of what closes a window.
fn closed(code: Code) -> &'static str {
    match code.0 {
        "heat.closed-unset" => "papers.closed-unset",
        "heat.closed-face" => "papers.closed-face",
        "heat.closed-bare" => "papers.closed-bare",
        "heat.closed-reference" => "papers.closed-reference",
        "heat.closed-range" => "papers.closed-range",
        "plan.window-ceiling" => "papers.closed-ceiling",
        // The maker's sheet, its longest dwell, or a kind that bears no longer one.
        _ => "papers.closed-sheet",
    }
}

/// When the piece may be carried in bare hands.
fn cool_fact(teller: &Papers<'_>, heat: &HeatCard) -> Option<(String, String)> {
    let waits: Vec<String> = heat
        .cooling
        .iter()
        .filter_map(|cooling| {
            let wait = tight(&teller.speech.duration(cooling.to_handling?));
            Some(format!("{}: {wait}", teller.speech.say(cooling.way, &[])))
        })
        .collect();
    (!waits.is_empty()).then(|| (teller.label("papers.fact-handling"), waits.join("; ")))
}

/// What a later press over the finished print gives it once more.
fn again_fact(teller: &Papers<'_>, again: &HeatedAgain) -> (String, String) {
    let by = Named::count("print", i64::try_from(again.by).unwrap_or(i64::MAX).saturating_add(1));
    let values = [
        text("peak", teller.temperature(again.bond_peak)),
        text("above", tight(&teller.speech.duration(again.above_activation))),
        text("bears", teller.temperature(again.bears)),
    ];
    (teller.say("papers.fact-again", &[by]), teller.say("papers.again", &values))
}
