//! One person's time: working hours, what is taken, what it adds up to.

use crate::Span;

/// The taken seconds of a person, kept in order and apart.
#[derive(Debug, Clone)]
pub(crate) struct Desk<'a> {
    hours: &'a [Span],
    busy: Vec<Span>,
    /// First and last taken second per stretch of hours.
    present: Vec<Option<Span>>,
    hands_s: i64,
}

/// When the load and the unloading of a closing begin.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Slot {
    pub load_s: i64,
    pub unload_s: i64,
}

/// Seconds of a whole closing.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Cycle {
    pub load: i64,
    pub press: i64,
    pub wait: i64,
    pub unload: i64,
}

impl<'a> Desk<'a> {
    pub fn new(hours: &'a [Span]) -> Self {
        Self { hours, busy: Vec::new(), present: vec![None; hours.len()], hands_s: 0 }
    }

    /// Earliest start, not before `from_s`, of `seconds` free in one stretch of hours.
    pub fn earliest(&self, from_s: i64, seconds: i64) -> Option<i64> {
        let cycle = Cycle { load: seconds, press: 0, wait: 0, unload: 0 };
        self.earliest_closing(from_s, cycle).map(|slot| slot.load_s)
    }

    /// Earliest closing whose load, dwell and unloading lie in one stretch of hours.
    pub fn earliest_closing(&self, from_s: i64, cycle: Cycle) -> Option<Slot> {
        let mut at = from_s;
        let mut stretch = self.hours.partition_point(|h| h.end_s <= at);
        loop {
            let hours = self.hours.get(stretch)?;
            at = at.max(hours.start_s);
            if at + cycle.load + cycle.press + cycle.unload > hours.end_s {
                stretch += 1;
                continue;
            }
            if let Some(busy) = self.conflict(at, at + cycle.load) {
                at = busy.end_s;
                continue;
            }
            let opens = at + cycle.load + cycle.press;
            let unload_s = self.free_from(opens, cycle.unload, opens + cycle.wait);
            if unload_s > opens + cycle.wait {
                at = unload_s - cycle.wait - cycle.press - cycle.load;
            } else if unload_s + cycle.unload > hours.end_s {
                stretch += 1;
            } else {
                return Some(Slot { load_s: at, unload_s });
            }
        }
    }

    /// First instant from `at` on with `seconds` untaken, looking no further than past `latest`.
    fn free_from(&self, mut at: i64, seconds: i64, latest: i64) -> i64 {
        while at <= latest {
            match self.conflict(at, at + seconds) {
                Some(busy) => at = busy.end_s,
                None => return at,
            }
        }
        at
    }

    fn conflict(&self, from: i64, to: i64) -> Option<Span> {
        if from >= to {
            return None;
        }
        // Most questions are about the end of what is taken.
        if self.busy.last().is_none_or(|last| last.end_s <= from) {
            return None;
        }
        let first = self.busy.partition_point(|b| b.end_s <= from);
        self.busy.get(first).copied().filter(|b| b.start_s < to)
    }

    /// Takes the span, which must be free; joins it to its neighbours.
    pub fn take(&mut self, span: Span) {
        if span.seconds() <= 0 {
            return;
        }
        self.hands_s += span.seconds();
        self.be_present(span);
        let at = self.busy.partition_point(|b| b.start_s < span.start_s);
        let joins_next = self.busy.get(at).is_some_and(|b| b.start_s == span.end_s);
        let joins_last = at > 0 && self.busy[at - 1].end_s == span.start_s;
        match (joins_last, joins_next) {
            (true, true) => {
                self.busy[at - 1].end_s = self.busy[at].end_s;
                self.busy.remove(at);
            }
            (true, false) => self.busy[at - 1].end_s = span.end_s,
            (false, true) => self.busy[at].start_s = span.start_s,
            (false, false) => self.busy.insert(at, span),
        }
    }

    /// Counts the span as paid, without hands on work.
    pub fn be_present(&mut self, span: Span) {
        let stretch = self.hours.partition_point(|h| h.end_s <= span.start_s);
        if let Some(present) = self.present.get_mut(stretch) {
            let so_far = present.unwrap_or(span);
            *present = Some(Span::new(so_far.start_s.min(span.start_s), so_far.end_s.max(span.end_s)));
        }
    }

    /// Paid seconds: first to last task in each stretch of hours.
    pub fn labour_s(&self) -> i64 {
        self.present.iter().flatten().map(|s| s.seconds()).sum()
    }

    /// Seconds taken.
    pub fn hands_s(&self) -> i64 {
        self.hands_s
    }
}
