//! A press on its way through its queue: how it is set, whether it is hot, what it draws.

use crate::model::Work;
use crate::{Press, SetUp, Setup, Span};

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Stage {
    /// The next batch of the queue is not yet begun.
    Idle,
    Hands,
    Test,
    Closings,
}

#[derive(Debug, Clone, Copy)]
pub(crate) struct Energy {
    on: Span,
    heating_s: i64,
}

/// A press on the way through its queue.
pub(crate) struct Place<'a> {
    pub press: &'a Press,
    pub queue: Vec<usize>,
    pub next: usize,
    pub stage: Stage,
    pub free_s: i64,
    /// From when the batch may be loaded.
    pub target_s: i64,
    pub setup: Setup,
    /// The span of its calendar in which it is hot.
    pub hot: Option<usize>,
    pub last_batch: Option<usize>,
    pub last_person: Option<usize>,
    pub run: usize,
    pub left: u32,
    pub energy: Vec<Option<Energy>>,
    /// How it stood before its batch was begun.
    pub before: Option<Before>,
    /// What it would do next and when; stands until one of its seconds is taken.
    pub next_step: Option<Candidate>,
    /// Nothing before this is possible for the next step.
    pub not_before_s: i64,
}

/// A press as it stood before a batch was begun, to go back to.
#[derive(Debug, Clone)]
pub(crate) struct Before {
    free_s: i64,
    setup: Setup,
    hot: Option<usize>,
    last_batch: Option<usize>,
    energy: Vec<Option<Energy>>,
}

#[derive(Debug, Clone, Copy)]
pub(crate) struct Candidate {
    pub place: usize,
    pub person: usize,
    pub start_s: i64,
    pub load_end_s: i64,
    pub unload_s: i64,
    pub end_s: i64,
}

impl Candidate {
    /// Whether the person, busy in `span`, can no longer do it.
    pub fn hindered(&self, span: Span) -> bool {
        let meets = |from: i64, to: i64| span.start_s < to && from < span.end_s;
        meets(self.start_s, self.load_end_s) || meets(self.unload_s, self.end_s)
    }
}

impl<'a> Place<'a> {
    pub fn new(press: &'a Press, queue: Vec<usize>, now_s: i64) -> Self {
        Self {
            press,
            queue,
            next: 0,
            stage: Stage::Idle,
            free_s: now_s,
            target_s: now_s,
            setup: press.start,
            hot: press.hot_at_start.then_some(0),
            last_batch: None,
            last_person: None,
            run: 0,
            left: 0,
            energy: vec![None; press.available.len()],
            before: None,
            next_step: None,
            not_before_s: i64::MIN,
        }
    }

    pub fn batch(&self) -> Option<usize> {
        self.queue.get(self.next).copied()
    }

    /// Seconds a person needs to set the press for the batch.
    pub fn hands_s(&self, work: &Work) -> i64 {
        let swap = if self.setup.platen == work.setup.platen { 0 } else { self.press.platen_swap_s };
        let reset = if self.setup.pressure == work.setup.pressure { 0 } else { self.press.pressure_reset_s };
        swap + reset
    }

    /// Begins the next batch, just in time for `target_s`.
    pub fn begin(&mut self, batch: usize, work: &Work, target_s: i64, hold: [i64; 3], run: usize) -> SetUp {
        self.before = Some(Before {
            free_s: self.free_s,
            setup: self.setup,
            hot: self.hot,
            last_batch: self.last_batch,
            energy: self.energy.clone(),
        });
        let mut set_up = SetUp {
            platen_from: (self.setup.platen != work.setup.platen).then_some(self.setup.platen),
            pressure_from: (self.setup.pressure != work.setup.pressure).then_some(self.setup.pressure),
            ..SetUp::default()
        };
        (self.run, self.left, self.target_s) = (run, work.left, target_s);
        self.look_again();
        let hands_s = self.hands_s(work);
        let change_s = self.press.change_s(self.setup.temp_c, work.setup.temp_c);
        let ahead_s = hands_s + if self.hot.is_some() { change_s } else { 0 };
        self.free_s = self.free_s.max(target_s - ahead_s) + hold[0];
        self.target_s = self.target_s.max(self.free_s + ahead_s) + hold[1];
        if self.last_batch != Some(batch) {
            self.last_batch = None;
        }
        if hands_s > 0 {
            self.stage = Stage::Hands;
        } else {
            self.heat_up(&mut set_up, work, self.free_s);
        }
        set_up
    }

    /// Brings a hot press to the batch's temperature; a cold one warms up where it is first used.
    pub fn heat_up(&mut self, set_up: &mut SetUp, work: &Work, from_s: i64) {
        self.free_s = from_s;
        let change_s = self.press.change_s(self.setup.temp_c, work.setup.temp_c);
        if let Some(span) = self.hot.filter(|_| change_s > 0).map(|hot| self.press.available[hot]) {
            let start_s = from_s.max(span.start_s);
            let heat = Span::new(start_s, start_s + change_s);
            if heat.end_s <= span.end_s {
                set_up.heat = Some(heat);
                set_up.temp_from_c = Some(self.setup.temp_c);
                let rising = work.setup.temp_c > self.setup.temp_c;
                self.use_energy(heat, if rising { change_s } else { 0 });
                self.free_s = heat.end_s;
            } else {
                // No use heating so late: it is set when it is next switched on.
                self.free_s = self.free_s.max(span.end_s);
                self.hot = None;
            }
        }
        self.setup = work.setup;
        let begun = self.last_batch.is_some();
        self.stage = if work.test_s > 0 && !begun { Stage::Test } else { Stage::Closings };
    }

    /// Earliest instant from `from_s` on at which the press is on for `seconds` (and hot).
    pub fn ready(&self, from_s: i64, seconds: i64, hot: bool) -> Option<i64> {
        let first = self.press.available.partition_point(|s| s.end_s <= from_s);
        let spans = self.press.available.iter().enumerate().skip(first);
        spans
            .map(|(at, span)| (self.on_from(at, span, hot).max(from_s), span))
            .find(|&(at, span)| at + seconds <= span.end_s)
            .map(|found| found.0)
    }

    fn on_from(&self, at: usize, span: &Span, hot: bool) -> i64 {
        if hot && self.hot != Some(at) { span.start_s + self.press.warm_up_s } else { span.start_s }
    }

    /// Notes a use of the hot press: a first one in a span means warming up before.
    pub fn use_hot(&mut self, set_up: &mut SetUp, span: Span) {
        let at = self.press.available.partition_point(|s| s.end_s <= span.start_s);
        if self.hot != Some(at) {
            let heat = Span::new(span.start_s - self.press.warm_up_s, span.start_s);
            if set_up.test.is_none() && set_up.heat.is_none() && self.last_batch.is_none() {
                set_up.heat = Some(heat);
                set_up.from_cold = true;
            }
            self.use_energy(heat, heat.seconds());
            self.hot = Some(at);
        }
        self.use_energy(span, 0);
        self.free_s = span.end_s;
    }

    fn use_energy(&mut self, span: Span, heating_s: i64) {
        let at = self.press.available.partition_point(|s| s.end_s <= span.start_s);
        if let Some(energy) = self.energy.get_mut(at) {
            let so_far = energy.unwrap_or(Energy { on: span, heating_s: 0 });
            let on = Span::new(so_far.on.start_s.min(span.start_s), so_far.on.end_s.max(span.end_s));
            *energy = Some(Energy { on, heating_s: so_far.heating_s + heating_s });
        }
    }

    pub fn energy_j(&self) -> i64 {
        let spans = self.energy.iter().flatten();
        spans
            .map(|e| e.heating_s * self.press.heating_w + (e.on.seconds() - e.heating_s).max(0) * self.press.standby_w)
            .sum()
    }

    pub fn end_batch(&mut self) {
        self.next += 1;
        self.stage = Stage::Idle;
        self.look_again();
    }

    pub fn go_back(&mut self) {
        if let Some(before) = self.before.take() {
            (self.free_s, self.setup, self.hot) = (before.free_s, before.setup, before.hot);
            (self.last_batch, self.energy) = (before.last_batch, before.energy);
        }
    }

    /// Forgets what it would do next.
    pub fn look_again(&mut self) {
        self.next_step = None;
        self.not_before_s = i64::MIN;
    }

    /// Takes over an entry kept from an earlier plan.
    pub fn keep(&mut self, entry: &crate::Entry, setup: Setup, now_s: i64) {
        let set_up = entry.set_up.unwrap_or_default();
        if let (Some(heat), false) = (set_up.heat, set_up.from_cold) {
            let rising = set_up.temp_from_c.is_some_and(|from| setup.temp_c > from);
            self.use_energy(heat, if rising { heat.seconds() } else { 0 });
        }
        let test = set_up.test.map(|t| t.span);
        let uses = test.into_iter().chain(entry.closings.iter().map(|c| Span::new(c.load.start_s, c.unload.end_s)));
        for span in uses {
            self.use_hot(&mut SetUp::default(), span);
        }
        self.setup = setup;
        self.last_batch = Some(entry.batch);
        self.free_s = self.free_s.max(entry.end_s()).max(now_s);
    }
}
