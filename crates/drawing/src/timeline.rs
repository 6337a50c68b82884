//! The timeline of a schedule: presses and people as rows, time to the right.
//!
//! In: a problem, its schedule and the words to set beside them. Out: a picture of one
//! window of time, and the same figures as rows of a table. Each batch stands in its
//! press's row with its temperature, set-ups hatched, cooling as a thin bar beneath;
//! a person who serves two presses at once has two lanes; due dates are named lines.

use crate::svg::{Anchor, Style, Svg, palette};
use geometry::Point;
use schedule::{Closing, Entry, Problem, Schedule, Span};

/// The words and forms of the picture, in the reader's language and units.
pub struct TimelineText<'a> {
    /// Name of the picture.
    pub title: &'a str,
    /// What it shows, in a sentence, for those who cannot see it.
    pub description: &'a str,
    /// An instant on the axis, "14:00", from seconds since the problem's origin.
    pub clock: &'a dyn Fn(i64) -> String,
    /// A temperature, "150 °C".
    pub temperature: &'a dyn Fn(i32) -> String,
    /// Set before a job's name at its due date, "due".
    pub due: &'a str,
    /// Set behind a late job's name, "late".
    pub late: &'a str,
    /// The line of the present in a plan made anew, "now".
    pub now: &'a str,
    /// What hatching means, "set-up".
    pub set_up: &'a str,
    /// What the thin bar beneath a batch means, "cooling".
    pub cooling: &'a str,
    /// What the thin bar beneath a person's work means, "peeling and packing".
    pub finishing: &'a str,
}

impl std::fmt::Debug for TimelineText<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("TimelineText").field("title", &self.title).finish_non_exhaustive()
    }
}

/// One row of the table beside the picture: a batch, or a part of one, on a press.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TimelineRow {
    /// Name of the press.
    pub press: String,
    /// Name of the job.
    pub job: String,
    /// Name of the batch.
    pub batch: String,
    /// Names of the people at the press.
    pub people: Vec<String>,
    /// Pieces pressed.
    pub pieces: u32,
    /// Temperature, °C.
    pub temp_c: i32,
    /// Set-up before it, when there is any.
    pub set_up: Option<Span>,
    /// First loading, s from the origin.
    pub start_s: i64,
    /// Press free again.
    pub end_s: i64,
    /// Last piece cool; as `end_s` where nothing cools.
    pub cool_end_s: i64,
    /// Last piece finished.
    pub done_s: i64,
    /// The job's due date.
    pub due_s: i64,
    /// Whether the job is late.
    pub late: bool,
    /// Whether it was done before the plan was made anew.
    pub kept: bool,
}

/// The schedule as a table, in order of start. Indices that are not there are left out.
pub fn timeline_table(problem: &Problem, schedule: &Schedule) -> Vec<TimelineRow> {
    schedule.entries.iter().filter_map(|entry| row(problem, schedule, entry)).collect()
}

/// The stretches of time worth a picture each: work with no pause of four hours in it.
pub fn timeline_windows(schedule: &Schedule) -> Vec<Span> {
    let mut spans: Vec<Span> = schedule.entries.iter().flat_map(spans_of).collect();
    spans.sort_unstable();
    let mut windows: Vec<Span> = Vec::new();
    for span in spans {
        match windows.last_mut() {
            Some(last) if span.start_s <= last.end_s.saturating_add(4 * 3600) => {
                last.end_s = last.end_s.max(span.end_s)
            }
            _ => windows.push(span),
        }
    }
    windows
}

/// The picture of one window of time, 1000 units wide, as high as its rows need.
pub fn timeline(problem: &Problem, schedule: &Schedule, window: Span, text: &TimelineText<'_>) -> String {
    let scale = Scale::new(window);
    let dues = due_lines(problem, schedule, &scale, text);
    let top = TOP + LANE * dues.iter().map(|d| d.lane + 1).max().unwrap_or(0) as f64;
    let people: Vec<Vec<Vec<Work>>> = (0..problem.people.len()).map(|p| lanes(schedule, p, &scale)).collect();
    let height = top + bottom_of(problem, &people) + FOOT;
    let mut svg = Svg::new(WIDTH, height, text.title, text.description);
    svg.raw(HATCH);
    draw_axis(&mut svg, &scale, text, top, height - FOOT);
    // Beneath the rows, so that no line crosses a name.
    draw_dues(&mut svg, &dues, height - FOOT, top);
    let mut y = top;
    for (press, machine) in problem.presses.iter().enumerate() {
        svg.begin_group("press", &machine.name);
        name_row(&mut svg, &machine.name, y + 24.0);
        let entries = schedule.entries.iter().filter(|e| e.press == press);
        draw_press(&mut svg, problem, schedule, entries, &scale, text, y);
        svg.end_group();
        y += PRESS_ROW;
    }
    for (person, lanes) in people.iter().enumerate() {
        let name = &problem.people[person].name;
        svg.begin_group("person", name);
        name_row(&mut svg, name, y + 18.0);
        draw_person(&mut svg, problem, schedule, person, lanes, &scale, y);
        svg.end_group();
        y += person_row(lanes);
    }
    draw_now(&mut svg, problem, &scale, text, top, y);
    draw_key(&mut svg, text, height);
    svg.finish()
}

const WIDTH: f64 = 1000.0;
const LEFT: f64 = 118.0;
const RIGHT: f64 = 14.0;
const TOP: f64 = 30.0;
const FOOT: f64 = 44.0;
const PRESS_ROW: f64 = 56.0;
const LANE: f64 = 16.0;
const SIZE: f64 = 12.0;

/// Set-ups: a hatch that prints in one colour.
const HATCH: &str = "<defs><pattern id=\"set-up\" width=\"5\" height=\"5\" patternUnits=\"userSpaceOnUse\" \
     patternTransform=\"rotate(45)\"><line x1=\"0\" y1=\"0\" x2=\"0\" y2=\"5\" stroke=\"#5C606B\" \
     stroke-width=\"1.4\"/></pattern></defs>\n";

struct Scale {
    window: Span,
}

impl Scale {
    fn new(window: Span) -> Self {
        let end_s = window.end_s.max(window.start_s.saturating_add(60));
        Self { window: Span::new(window.start_s, end_s) }
    }

    fn x(&self, at_s: i64) -> f64 {
        let inside = at_s.clamp(self.window.start_s, self.window.end_s) - self.window.start_s;
        LEFT + (WIDTH - LEFT - RIGHT) * inside as f64 / self.window.seconds() as f64
    }

    /// The part of a span that shows, left and right.
    fn shown(&self, span: Span) -> Option<(f64, f64)> {
        let seen = span.start_s < self.window.end_s && span.end_s > self.window.start_s;
        seen.then(|| (self.x(span.start_s), self.x(span.end_s)))
    }

    /// The shortest round step that leaves room for its label.
    fn step_s(&self) -> i64 {
        let steps = [300, 600, 900, 1800, 3600, 7200, 14_400, 21_600, 43_200];
        let fits = |s: &i64| self.window.seconds() / s <= 12;
        steps.into_iter().find(fits).unwrap_or((self.window.seconds() / 86_400 / 12 + 1) * 86_400)
    }
}

fn row(problem: &Problem, schedule: &Schedule, entry: &Entry) -> Option<TimelineRow> {
    let batch = problem.batches.get(entry.batch)?;
    let job = problem.jobs.get(batch.job)?;
    let name = |p: usize| problem.people.get(p).map(|x| x.name.clone());
    Some(TimelineRow {
        press: problem.presses.get(entry.press)?.name.clone(),
        job: job.name.clone(),
        batch: batch.name.clone(),
        people: entry.people().into_iter().filter_map(name).collect(),
        pieces: entry.pieces(),
        temp_c: batch.setup.temp_c,
        set_up: entry.set_up.and_then(|s| s.span()),
        start_s: entry.first_load_s(),
        end_s: entry.end_s(),
        cool_end_s: entry.cool_end_s(),
        done_s: entry.done_s(),
        due_s: job.due_s,
        late: schedule.late_jobs.contains(&batch.job),
        kept: entry.kept,
    })
}

fn set_up_spans(entry: &Entry) -> Vec<Span> {
    let set_up = entry.set_up.unwrap_or_default();
    [set_up.hands.map(|h| h.span), set_up.heat, set_up.test.map(|t| t.span)].into_iter().flatten().collect()
}

fn spans_of(entry: &Entry) -> Vec<Span> {
    let closings = entry.closings.iter().map(|c| Span::new(c.load.start_s, c.done_s().max(c.unload.end_s)));
    closings.chain(set_up_spans(entry)).collect()
}

/// Spans joined across pauses of up to two minutes, so that a run shows as one bar and a
/// break as a gap.
fn joined(spans: impl Iterator<Item = Span>) -> Vec<Span> {
    let mut spans: Vec<Span> = spans.collect();
    spans.sort_unstable();
    let mut bars: Vec<Span> = Vec::new();
    for span in spans {
        match bars.last_mut() {
            Some(last) if span.start_s <= last.end_s.saturating_add(120) => last.end_s = last.end_s.max(span.end_s),
            _ => bars.push(span),
        }
    }
    bars
}

fn draw_axis(svg: &mut Svg, scale: &Scale, text: &TimelineText<'_>, top: f64, bottom: f64) {
    let step = scale.step_s();
    let mut at_s = scale.window.start_s.div_euclid(step) * step;
    while at_s <= scale.window.end_s {
        if at_s >= scale.window.start_s {
            let x = scale.x(at_s);
            svg.line(Point::new(x, top - 6.0), Point::new(x, bottom), &Style::line(palette::LINE, 0.8));
            svg.text(Point::new(x, bottom + 13.0), Anchor::Middle, 11.0, palette::SOFT, &(text.clock)(at_s));
        }
        at_s = at_s.saturating_add(step);
    }
}

fn name_row(svg: &mut Svg, name: &str, y: f64) {
    svg.text(Point::new(LEFT - 10.0, y), Anchor::End, 13.0, palette::INK, &fitted(name, LEFT - 16.0, 13.0));
}

fn draw_press<'e>(
    svg: &mut Svg,
    problem: &Problem,
    schedule: &Schedule,
    entries: impl Iterator<Item = &'e Entry>,
    scale: &Scale,
    text: &TimelineText<'_>,
    y: f64,
) {
    let mut label_from = f64::MIN;
    let mut last_c = None;
    for entry in entries {
        let Some(batch) = problem.batches.get(entry.batch) else { continue };
        let late = schedule.late_jobs.contains(&batch.job);
        for (a, b) in joined(set_up_spans(entry).into_iter()).into_iter().filter_map(|s| scale.shown(s)) {
            let style = Style { width: 0.6, stroke: palette::SOFT, ..Style::fill("url(#set-up)") };
            svg.rectangle(Point::new(a, y + 16.0), Point::new(b, y + 34.0), 0.0, &style);
        }
        let bars = joined(entry.closings.iter().map(|c| Span::new(c.load.start_s, c.unload.end_s)));
        for (a, b) in bars.into_iter().filter_map(|s| scale.shown(s)) {
            draw_batch(svg, (a, b), y, &batch.name, late, entry.kept);
            let temperature = (text.temperature)(batch.setup.temp_c);
            let width = reach(&temperature, 11.0);
            if last_c != Some(batch.setup.temp_c) && a >= label_from {
                svg.text(Point::new(a, y + 11.0), Anchor::Start, 11.0, palette::SOFT, &temperature);
                label_from = a + width + 6.0;
                last_c = Some(batch.setup.temp_c);
            }
        }
        let cool = |c: &Closing| Span::new(c.unload.end_s, c.finish.map_or(c.cool_end_s, |f| f.span.start_s));
        let cooling = entry.closings.iter().filter(|c| c.cool_end_s > c.unload.end_s).map(cool);
        for (a, b) in joined(cooling).into_iter().filter_map(|s| scale.shown(s)) {
            svg.rectangle(Point::new(a, y + 38.0), Point::new(b, y + 42.0), 1.0, &Style::fill(palette::ASK));
        }
    }
}

fn draw_batch(svg: &mut Svg, (a, b): (f64, f64), y: f64, name: &str, late: bool, kept: bool) {
    let (stroke, width) = if late { (palette::STOP, 2.2) } else { (palette::INK, 1.0) };
    let fill = if kept { palette::LINE } else { palette::CARD };
    let style = Style { stroke, width, ..Style::fill(fill) };
    svg.rectangle(Point::new(a, y + 16.0), Point::new(b.max(a + 1.0), y + 34.0), 2.0, &style);
    let label = fitted(name, b - a - 6.0, SIZE);
    if !label.is_empty() {
        svg.text(Point::new(a + 3.0, y + 29.0), Anchor::Start, SIZE, palette::INK, &label);
    }
}

/// A person's work at one press, as it shows.
#[derive(Debug, Clone, Copy)]
struct Work {
    span: Span,
    batch: usize,
}

/// The person's runs of work, in as many lanes as go on at once.
fn lanes(schedule: &Schedule, person: usize, scale: &Scale) -> Vec<Vec<Work>> {
    let mut works: Vec<Work> = Vec::new();
    for entry in &schedule.entries {
        let set_up = entry.set_up.unwrap_or_default();
        let hands = [set_up.hands, set_up.test].into_iter().flatten().filter(|a| a.person == person).map(|a| a.span);
        let closings = entry.closings.iter().filter(|c| c.person == person);
        let spans = closings.map(|c| Span::new(c.load.start_s, c.unload.end_s)).chain(hands);
        works.extend(joined(spans).into_iter().map(|span| Work { span, batch: entry.batch }));
    }
    works.retain(|w| scale.shown(w.span).is_some());
    works.sort_by_key(|w| (w.span, w.batch));
    let mut lanes: Vec<Vec<Work>> = vec![Vec::new()];
    for work in works {
        let free = |lane: &Vec<Work>| lane.last().is_none_or(|l| l.span.end_s <= work.span.start_s);
        match lanes.iter_mut().find(|lane| free(lane)) {
            Some(lane) => lane.push(work),
            None => lanes.push(vec![work]),
        }
    }
    lanes
}

fn person_row(lanes: &[Vec<Work>]) -> f64 {
    18.0 + LANE * lanes.len() as f64
}

fn bottom_of(problem: &Problem, people: &[Vec<Vec<Work>>]) -> f64 {
    PRESS_ROW * problem.presses.len() as f64 + people.iter().map(|lanes| person_row(lanes)).sum::<f64>()
}

fn draw_person(
    svg: &mut Svg,
    problem: &Problem,
    schedule: &Schedule,
    person: usize,
    lanes: &[Vec<Work>],
    scale: &Scale,
    y: f64,
) {
    let floor = y + 8.0 + LANE * lanes.len() as f64;
    for (a, b) in problem.people[person].hours.iter().filter_map(|h| scale.shown(*h)) {
        svg.line(Point::new(a, y + 4.0), Point::new(b, y + 4.0), &Style::line(palette::SOFT, 1.4));
    }
    for (at, lane) in lanes.iter().enumerate() {
        let y = y + 7.0 + LANE * at as f64;
        for work in lane {
            let Some((a, b)) = scale.shown(work.span) else { continue };
            let style = Style { stroke: palette::INK, width: 0.6, ..Style::fill(palette::CARD) };
            svg.rectangle(Point::new(a, y), Point::new(b.max(a + 0.8), y + LANE - 2.0), 1.5, &style);
            let name = problem.batches.get(work.batch).map_or("", |x| x.name.as_str());
            let label = fitted(name, b - a - 5.0, 10.0);
            if !label.is_empty() {
                svg.text(Point::new(a + 2.5, y + 10.5), Anchor::Start, 10.0, palette::INK, &label);
            }
        }
    }
    let finishing = schedule.entries.iter().flat_map(|e| &e.closings).filter_map(|c| c.finish);
    let own = finishing.filter(|f| f.person == person).map(|f| f.span);
    for (a, b) in joined(own).into_iter().filter_map(|s| scale.shown(s)) {
        svg.rectangle(Point::new(a, floor), Point::new(b.max(a + 0.8), floor + 3.0), 0.0, &Style::fill(palette::FINE));
    }
}

struct Due {
    x: f64,
    label: String,
    late: bool,
    lane: usize,
}

/// The due dates in the window, those of one instant together, labels in lanes so that
/// none covers another.
fn due_lines(problem: &Problem, schedule: &Schedule, scale: &Scale, text: &TimelineText<'_>) -> Vec<Due> {
    let mut jobs: Vec<(i64, usize)> = problem.jobs.iter().enumerate().map(|(at, j)| (j.due_s, at)).collect();
    jobs.retain(|(due_s, _)| (scale.window.start_s..=scale.window.end_s).contains(due_s));
    jobs.sort_unstable();
    let mut dues: Vec<Due> = Vec::new();
    let mut ends: Vec<f64> = Vec::new();
    for group in jobs.chunk_by(|a, b| a.0 == b.0) {
        let late = |at: &usize| schedule.late_jobs.contains(at);
        let name = |&(_, at): &(i64, usize)| {
            let name = &problem.jobs[at].name;
            if late(&at) { format!("{name} ({})", text.late) } else { name.clone() }
        };
        let names: Vec<String> = group.iter().map(name).collect();
        let label = fitted(&format!("{} {}", text.due, names.join(", ")), 420.0, 11.0);
        let x = scale.x(group[0].0);
        let (from, to) = label_reach(x, &label);
        let lane = ends.iter().position(|end| *end + 8.0 <= from).unwrap_or(ends.len());
        match ends.get_mut(lane) {
            Some(end) => *end = to,
            None => ends.push(to),
        }
        dues.push(Due { x, label, late: group.iter().any(|(_, at)| late(at)), lane });
    }
    dues
}

/// Left and right end of a due date's label: right of its line, or left where it would run out.
fn label_reach(x: f64, label: &str) -> (f64, f64) {
    let width = reach(label, 11.0) + 4.0;
    if x + width > WIDTH - RIGHT { (x - width, x) } else { (x, x + width) }
}

fn draw_dues(svg: &mut Svg, dues: &[Due], bottom: f64, top: f64) {
    for due in dues {
        let colour = if due.late { palette::STOP } else { palette::ACCENT };
        let y = top - 12.0 - LANE * due.lane as f64;
        svg.line(Point::new(due.x, y - 9.0), Point::new(due.x, bottom), &Style::line(colour, 1.4).dashed(&[5.0, 3.0]));
        let left = label_reach(due.x, &due.label).0 < due.x;
        let (at, anchor) = if left { (due.x - 4.0, Anchor::End) } else { (due.x + 4.0, Anchor::Start) };
        svg.text(Point::new(at, y), anchor, 11.0, colour, &due.label);
    }
}

fn draw_now(svg: &mut Svg, problem: &Problem, scale: &Scale, text: &TimelineText<'_>, top: f64, bottom: f64) {
    let inside = (scale.window.start_s..scale.window.end_s).contains(&problem.now_s);
    if problem.done.is_empty() || !inside {
        return;
    }
    let x = scale.x(problem.now_s);
    svg.line(Point::new(x, top - 4.0), Point::new(x, bottom), &Style::line(palette::INK, 1.8));
    svg.text(Point::new(x + 4.0, bottom - 2.0), Anchor::Start, 11.0, palette::INK, text.now);
}

/// What hatching and thin bars mean, each beside a sample of itself.
fn draw_key(svg: &mut Svg, text: &TimelineText<'_>, height: f64) {
    let y = height - 12.0;
    let hatch = Style { width: 0.6, stroke: palette::SOFT, ..Style::fill("url(#set-up)") };
    let samples = [
        (text.set_up, 9.0, hatch),
        (text.cooling, 4.0, Style::fill(palette::ASK)),
        (text.finishing, 3.0, Style::fill(palette::FINE)),
    ];
    let mut x = LEFT;
    for (label, thick, style) in samples {
        svg.rectangle(Point::new(x, y - 4.0 - thick / 2.0), Point::new(x + 22.0, y - 4.0 + thick / 2.0), 0.0, &style);
        svg.text(Point::new(x + 27.0, y), Anchor::Start, 11.0, palette::SOFT, label);
        x += 27.0 + reach(label, 11.0) + 24.0;
    }
}

/// About how wide a text sets; on the wide side, so that labels keep apart.
fn reach(text: &str, size: f64) -> f64 {
    text.chars().count() as f64 * size * 0.56
}

/// As much of a text as fits, with an ellipsis; nothing when four letters do not fit.
fn fitted(text: &str, width: f64, size: f64) -> String {
    let room = (width / (size * 0.56)).floor().max(0.0) as usize;
    let count = text.chars().count();
    match room {
        room if room >= count => text.to_owned(),
        room if room < 5 => String::new(),
        room => text.chars().take(room - 1).chain(['…']).collect(),
    }
}
