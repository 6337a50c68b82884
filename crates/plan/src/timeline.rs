//! Work on the presses: batches from press cards, people's hours from the
//! shop's, and the engine's answer.

use crate::blanks::Part;
use crate::draft::LineDraft;
use crate::layout::Look;
use crate::result::{BatchOf, CardStep, PressCard, Timeline};
use crate::{calendar, codes, dates, steps};
use jiff::civil::DateTime;
use report::{Effort, Finding, Progress, Severity, Watch};
use schedule::{Batch, Job, Lag, Person, Problem, Setup, Span};
use std::collections::BTreeMap;
use trade::{Peel, PlatenId, PressureClass, Shop};
use units::Duration;

/// A planned line with the cards of its prints, in the order they are pressed.
pub(crate) struct Work<'a> {
    pub order: usize,
    pub line: usize,
    pub draft: &'a LineDraft<'a>,
    pub cards: Vec<(usize, &'a PressCard)>,
    /// Its pieces by the day their blanks arrive; at least one part.
    pub parts: Vec<Part>,
}

/// When an order's transfers are in and when it is due.
pub(crate) struct Deadline {
    pub name: String,
    pub release: DateTime,
    pub due: DateTime,
    /// Time kept after the last press, to see whether dye wanders.
    pub hold: Duration,
}

/// Days past the last due date in which work is still looked for.
const LATE_DAYS: i64 = 30;
/// Longest calendar, days.
const MOST_DAYS: i64 = 400;

/// Schedules all work.
pub(crate) fn timeline(
    shop: &Shop,
    origin: DateTime,
    work: &[Work<'_>],
    deadlines: &[Deadline],
    look: Look,
    watch: &mut dyn Watch,
    findings: &mut Vec<Finding>,
) -> Timeline {
    watch.told(&Progress { stage: codes::STAGE_SCHEDULE, done: 0, of: None, best: None, bound: None });
    let last = deadlines.iter().map(|d| d.due.max(d.release)).max().unwrap_or(origin);
    let days = (calendar::second(origin, last) / 86_400 + LATE_DAYS).clamp(1, MOST_DAYS);
    let (batches, of) = batches(shop, work, origin);
    let people = people(shop, origin, days);
    let open = calendar::joined(people.iter().flat_map(|person| person.hours.iter().copied()).collect());
    let problem = Problem {
        presses: presses(shop, &open),
        people,
        rack_places: shop.rack_places,
        jobs: deadlines.iter().map(|deadline| job(origin, deadline)).collect(),
        batches,
        now_s: 0,
        done: Vec::new(),
        rates: schedule::Rates {
            labour_per_hour: shop.rates.labour_per_hour.minor().clamp(0, 1_000_000),
            ..schedule::Rates::default()
        },
    };
    // A schedule costs about a thousand positions of a piece to try.
    let effort = Effort(look.effort.0 / 1000);
    let settings = schedule::Settings { effort, seed: look.seed };
    let schedule = if problem.batches.is_empty() {
        None
    } else {
        match schedule::solve(&problem, &settings, watch) {
            Ok(outcome) => Some(outcome.value),
            Err(refusal) => {
                findings.push(
                    Finding::new(Severity::Warning, codes::SCHEDULE_REFUSED, codes::SCHEDULE_REFUSED_REMEDY)
                        .named("reason", refusal.to_string()),
                );
                None
            }
        }
    };
    Timeline { origin, problem, batches: of, schedule }
}

/// Seconds of an order's press work, were it done by one person on one press.
pub(crate) fn sequential_seconds(shop: &Shop, work: &[Work<'_>], order: usize, origin: DateTime) -> i64 {
    let (batches, _) = batches(shop, work, origin);
    batches
        .iter()
        .filter(|batch| batch.job == order)
        .map(|batch| {
            let closings = i64::from(batch.pieces.div_ceil(batch.per_closing.max(1)));
            let piece = batch.load_s + batch.unload_s + batch.finish_s;
            batch.test_piece_s + closings * batch.press_s + i64::from(batch.pieces) * piece + batch.cool_s
        })
        .fold(0, i64::saturating_add)
}

fn presses(shop: &Shop, open: &[Span]) -> Vec<schedule::Press> {
    shop.presses()
        .map(|(_, press)| {
            let pace = pace(shop, press);
            schedule::Press {
                name: press.name.clone(),
                available: open.to_vec(),
                start: Setup { platen: press.platens.first().map_or(0, |id| id.index()), temp_c: 150, pressure: 1 },
                hot_at_start: false,
                warm_up_s: whole(press.warm_up.value),
                heat_ms_per_k: pace.heating_ms_per_k,
                cool_ms_per_k: pace.cooling_ms_per_k,
                settle_s: SETTLE_S,
                platen_swap_s: whole(press.platen_swap.value),
                pressure_reset_s: whole(press.pressure_reset.value),
                standby_w: pace.standing_w,
                heating_w: press.heater_w.value.clamp(0.0, 1e5) as i64,
            }
        })
        .collect()
}

/// How fast a plate changes its temperature, and what it draws to hold it.
struct PlatePace {
    heating_ms_per_k: i64,
    cooling_ms_per_k: i64,
    standing_w: i64,
}

/// From the heat model's own plate, between 130 and 150 °C; where it has no
/// answer, 8 °C a minute up and 2.5 °C a minute down (common practice, no source).
fn pace(shop: &Shop, press: &trade::Press) -> PlatePace {
    const SPAN_K: f64 = 20.0;
    let sizes = [press.plate_width.mm(), press.plate_depth.mm(), press.plate_thickness.value.mm()];
    let plate = heat::platen::Plate::aluminium(sizes, press.heater_w.value);
    let room = shop.room.c();
    let up = heat::platen::change_time_s(&plate, 130.0, 150.0, room).unwrap_or(150.0);
    let down = heat::platen::change_time_s(&plate, 150.0, 130.0, room).unwrap_or(480.0);
    let standing = (plate.casing_w_k + plate.open_loss_w_k()) * (150.0 - room);
    PlatePace {
        heating_ms_per_k: (up / SPAN_K * 1000.0).clamp(0.0, 1e6) as i64,
        cooling_ms_per_k: (down / SPAN_K * 1000.0).clamp(0.0, 1e6) as i64,
        standing_w: standing.clamp(0.0, 1e5) as i64,
    }
}

/// After a change of temperature, until the plate is even, s; common practice (3 to 5 min), no source.
const SETTLE_S: i64 = 240;

/// What one change of temperature usually takes, s: 20 K up on the shop's first press, and settling.
pub(crate) fn change_over_s(shop: &Shop) -> i64 {
    const USUAL_K: i64 = 20;
    let heating = shop.presses().next().map_or(0, |(_, press)| pace(shop, press).heating_ms_per_k);
    SETTLE_S + heating * USUAL_K / 1000
}

fn people(shop: &Shop, origin: DateTime, days: i64) -> Vec<Person> {
    shop.people()
        .map(|(_, person)| Person {
            name: person.name.clone(),
            hours: calendar::joined(calendar::spans(shop, person, origin, days)),
        })
        .collect()
}

fn job(origin: DateTime, deadline: &Deadline) -> Job {
    let hold = whole(deadline.hold);
    Job {
        name: deadline.name.clone(),
        release_s: calendar::second(origin, deadline.release).max(0),
        due_s: calendar::second(origin, deadline.due) - hold,
        weight: 1,
    }
}

fn batches(shop: &Shop, work: &[Work<'_>], origin: DateTime) -> (Vec<Batch>, Vec<BatchOf>) {
    let mut all = Vec::new();
    let mut of = Vec::new();
    for work in work {
        for (nth, part) in work.parts.iter().enumerate() {
            let release = part.arrive.map(|day| calendar::second(origin, dates::goods_of_day(shop, day)));
            let mut stack =
                Stack { shop, work, part, nth, release_s: release.unwrap_or(0), all: &mut all, of: &mut of };
            stack.prints();
        }
    }
    (all, of)
}

/// The batches of one part of a line, one print after the other.
struct Stack<'a, 'b> {
    shop: &'a Shop,
    work: &'a Work<'a>,
    part: &'a Part,
    nth: usize,
    release_s: i64,
    all: &'b mut Vec<Batch>,
    of: &'b mut Vec<BatchOf>,
}

impl Stack<'_, '_> {
    fn prints(&mut self) {
        // The batches of the print before, by size: a garment goes on to its next print.
        let mut before: BTreeMap<usize, usize> = BTreeMap::new();
        let cards = self.work.cards.clone();
        for (nth, (print, card)) in cards.iter().enumerate() {
            before = self.print(*print, card, nth + 1 == cards.len(), before);
        }
    }

    /// Batches of one print: one for each platen its sizes need, and for each visit
    /// to the press; returns, by size, the batch that ends the print.
    fn print(
        &mut self,
        print: usize,
        card: &PressCard,
        last_print: bool,
        before: BTreeMap<usize, usize>,
    ) -> BTreeMap<usize, usize> {
        let (shop, work) = (self.shop, self.work);
        let mut groups: BTreeMap<PlatenId, Vec<usize>> = BTreeMap::new();
        let Some(print_draft) = work.draft.prints.get(print) else { return before };
        for (size, placement) in print_draft.placements.iter().enumerate() {
            if self.part.counts.get(size).is_some_and(|count| *count > 0) {
                groups.entry(placement.reach.platen).or_default().push(size);
            }
        }
        let mut ends = BTreeMap::new();
        for (group, (platen, sizes)) in groups.into_iter().enumerate() {
            let pieces =
                sizes.iter().filter_map(|size| self.part.counts.get(*size)).copied().fold(0, u32::saturating_add);
            let reach =
                sizes.first().and_then(|size| print_draft.placements.get(*size)).map(|placement| &placement.reach);
            let Some(reach) = reach else { continue };
            let visits = visits(shop, card);
            let count = visits.len();
            for (nth, visit) in visits.into_iter().enumerate() {
                let mut after: Vec<Lag> = Vec::new();
                if nth == 0 {
                    let mut earlier: Vec<usize> = sizes.iter().filter_map(|size| before.get(size).copied()).collect();
                    earlier.dedup();
                    after.extend(earlier.into_iter().map(|batch| Lag { batch, lag_s: 0 }));
                } else {
                    after.push(Lag { batch: self.all.len() - 1, lag_s: 0 });
                }
                let times = &shop.times;
                let handling = steps::load(shop, work.draft) + times.smooth.value + reach.extra;
                let pack = if last_print && nth + 1 == count { times.pack.value } else { Duration::ZERO };
                self.all.push(Batch {
                    name: format!("{}.{}.{}", work.order + 1, work.line + 1, print + 1),
                    job: work.order,
                    presses_allowed: reach.presses.iter().map(|press| press.index()).collect(),
                    release_s: self.release_s,
                    setup: Setup { platen: platen.index(), temp_c: visit.temp_c, pressure: visit.pressure },
                    pieces,
                    per_closing: card.per_closing,
                    load_s: whole(handling + visit.before),
                    press_s: whole(visit.closed).max(1),
                    open_wait_s: 0,
                    unload_s: whole(visit.after + times.unload.value),
                    cool_s: whole(visit.cooling),
                    finish_s: whole(visit.finishing + pack),
                    after,
                    test_piece_s: if nth == 0 { whole(times.test_piece.value) } else { 0 },
                });
                let part = self.nth;
                self.of.push(BatchOf { order: work.order, line: work.line, print, visit: nth, group, part });
            }
            ends.extend(sizes.into_iter().map(|size| (size, self.all.len() - 1)));
        }
        ends
    }
}

/// One stay of the garment on the press.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
struct Visit {
    temp_c: i32,
    pressure: u8,
    /// A person's time before the press closes.
    before: Duration,
    /// Closed.
    closed: Duration,
    /// A person's time after it opens, on the press: hot peel and a press after it.
    after: Duration,
    /// On the rack.
    cooling: Duration,
    /// A person's time off the press.
    finishing: Duration,
}

/// A card cut into stays: after a wait the garment comes to the press again.
fn visits(shop: &Shop, card: &PressCard) -> Vec<Visit> {
    let times = &shop.times;
    let mut all: Vec<Visit> = Vec::new();
    let mut now = Visit::default();
    let mut closed = false;
    let mut cooling = false;
    for step in &card.steps {
        match step {
            CardStep::Preheat { dwell, .. } => now.before = now.before + dwell.value,
            CardStep::Place { .. } => {
                if cooling {
                    all.push(now);
                    (now, closed, cooling) = (Visit::default(), false, false);
                }
                // On a garment that stays on the press, the next film is laid after the closing.
                let when = if closed { &mut now.after } else { &mut now.before };
                *when = *when + times.place.value;
            }
            CardStep::Press { temperature, dwell, pressure, .. } => {
                if cooling {
                    all.push(now);
                    (now, closed, cooling) = (Visit::default(), false, false);
                }
                if closed {
                    now.after = now.after + dwell.value;
                } else {
                    now.closed = dwell.value;
                    now.temp_c = temperature.value.c().round() as i32;
                    now.pressure = pressure_step(*pressure);
                    closed = true;
                }
            }
            CardStep::SetAside { wait } => {
                now.cooling = now.cooling + wait.value;
                cooling = true;
            }
            CardStep::Peel(Peel::Hot) => now.after = now.after + times.peel_hot.value,
            CardStep::Peel(_) => now.finishing = now.finishing + times.peel_cold.value,
        }
    }
    if closed {
        all.push(now);
    }
    all
}

fn pressure_step(class: PressureClass) -> u8 {
    match class {
        PressureClass::Light => 0,
        PressureClass::Medium => 1,
        PressureClass::Firm => 2,
    }
}

/// Whole seconds, rounded up.
fn whole(span: Duration) -> i64 {
    span.s().ceil().clamp(0.0, 604_800.0) as i64
}
