//! One person's time: working hours, what is taken, what it adds up to.

use crate::Span;

/// The taken seconds of a person, kept in order and apart.
#[derive(Debug, Clone)]
pub(crate) struct Desk<'a> {
    hours: &'a [Span],
    busy: Vec<Span>,
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
        Self { hours, busy: Vec::new(), hands_s: 0 }
    }

    /// Earliest start in `from_s..=latest_s` of `seconds` free in one stretch of hours.
    pub fn earliest(&self, from_s: i64, seconds: i64, latest_s: i64) -> Option<i64> {
        let cycle = Cycle { load: seconds, press: 0, wait: 0, unload: 0 };
        self.earliest_closing(from_s, cycle, latest_s).map(|slot| slot.load_s)
    }

    /// Earliest closing begun in `from_s..=latest_s` whose load, dwell and unloading lie in
    /// one stretch of hours.
    pub fn earliest_closing(&self, from_s: i64, cycle: Cycle, latest_s: i64) -> Option<Slot> {
        let mut at = from_s;
        let mut stretch = self.hours.partition_point(|h| h.end_s <= at);
        // First taken span that ends after `at`; it only ever moves on.
        let mut taken = self.first_after(at);
        loop {
            let hours = self.hours.get(stretch)?;
            at = at.max(hours.start_s);
            if at > latest_s {
                return None;
            }
            if at + cycle.load + cycle.press + cycle.unload > hours.end_s {
                stretch += 1;
                continue;
            }
            taken = self.skip(taken, at);
            if cycle.load > 0 && self.starts_before(taken, at + cycle.load) {
                at = self.busy[taken].end_s;
                continue;
            }
            let opens = at + cycle.load + cycle.press;
            let unload_s = self.free_from(taken, opens, cycle.unload, opens + cycle.wait);
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
    fn free_from(&self, mut taken: usize, mut at: i64, seconds: i64, latest: i64) -> i64 {
        while seconds > 0 && at <= latest {
            taken = self.skip(taken, at);
            if !self.starts_before(taken, at + seconds) {
                return at;
            }
            at = self.busy[taken].end_s;
        }
        at
    }

    fn first_after(&self, at: i64) -> usize {
        // Most questions are about the end of what is taken.
        match self.busy.last() {
            Some(last) if last.end_s > at => self.busy.partition_point(|b| b.end_s <= at),
            _ => self.busy.len(),
        }
    }

    fn skip(&self, mut taken: usize, at: i64) -> usize {
        while self.busy.get(taken).is_some_and(|b| b.end_s <= at) {
            taken += 1;
        }
        taken
    }

    fn starts_before(&self, taken: usize, end_s: i64) -> bool {
        self.busy.get(taken).is_some_and(|b| b.start_s < end_s)
    }

    /// Takes the span, which must be free; joins it to its neighbours.
    pub fn take(&mut self, span: Span) {
        if span.seconds() <= 0 {
            return;
        }
        self.hands_s += span.seconds();
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

    /// Gives back a span that was taken.
    pub fn give_back(&mut self, span: Span) {
        let at = self.busy.partition_point(|b| b.end_s <= span.start_s);
        let Some(around) = self.busy.get(at).copied().filter(|_| span.seconds() > 0) else { return };
        self.hands_s -= span.seconds();
        let rest = [Span::new(around.start_s, span.start_s), Span::new(span.end_s, around.end_s)];
        self.busy.splice(at..=at, rest.into_iter().filter(|s| s.start_s < s.end_s));
    }

    /// Paid seconds: first to last task in each stretch of hours.
    pub fn labour_s(&self) -> i64 {
        let mut from = 0;
        let mut sum = 0;
        for hours in self.hours {
            let first = self.skip(from, hours.start_s);
            let next = first + self.busy[first..].partition_point(|b| b.start_s < hours.end_s);
            if first < next {
                sum += self.busy[next - 1].end_s - self.busy[first].start_s;
            }
            from = next;
        }
        sum
    }

    /// Seconds taken.
    pub fn hands_s(&self) -> i64 {
        self.hands_s
    }
}
