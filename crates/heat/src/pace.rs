//! How long each step is.

/// The length of steps through a phase.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Pace {
    /// The press's own: closed, 0.04 s, finer in the first second; open, 0.05 s for 5 s, then 0.2 s, after
    /// a minute 1 s, and a fiftieth of the time gone from then on.
    Press,
    /// Where many presses are compared and each is rounded afterwards: closed,
    /// steps grow to 0.16 s with the time since closing; open as the press's own.
    Search,
    /// Steps that grow with the time since the phase began, for textbook cases
    /// with a sharp start: each is `share` of it, at least `first_s`.
    Growing {
        /// Shortest step, s.
        first_s: f64,
        /// Step over time since the phase began.
        share: f64,
    },
    /// The same step throughout, s.
    Even(f64),
}

impl Pace {
    /// For cases posed by hand: fine at every change of phase.
    pub const FINE: Self = Self::Growing { first_s: 1e-4, share: 0.0015 };

    /// The next step at `since_s` into a phase.
    pub(crate) fn next(self, since_s: f64, closed: bool) -> f64 {
        match self {
            Self::Even(step) => step,
            Self::Growing { first_s, share } => (since_s * share).max(first_s),
            Self::Press if closed => (since_s * 0.04).clamp(0.01, 0.04),
            Self::Search if closed => (since_s * 0.03).clamp(0.02, 0.16),
            Self::Press | Self::Search if since_s < 5.0 - 1e-9 => 0.05,
            Self::Press | Self::Search if since_s < 60.0 - 1e-9 => 0.2,
            Self::Press | Self::Search => (since_s * 0.02).max(1.0),
        }
    }

    /// About how many steps `duration_s` takes; the true number is within a
    /// few percent plus the requested times.
    pub(crate) fn steps(self, duration_s: f64, closed: bool) -> f64 {
        let grown = |from: f64, first: f64, share: f64| {
            let flat = first / share;
            if duration_s - from <= flat {
                ((duration_s - from) / first).max(0.0)
            } else {
                flat / first + libm::log((duration_s - from) / flat) / share
            }
        };
        match self {
            Self::Even(step) => duration_s / step,
            Self::Growing { first_s, share } => grown(0.0, first_s, share),
            Self::Press if closed => duration_s / 0.04 + 34.0,
            Self::Search if closed => duration_s / 0.16 + 120.0,
            Self::Press | Self::Search => {
                100.0_f64.min(duration_s / 0.05)
                    + (duration_s - 5.0).clamp(0.0, 55.0) / 0.2
                    + if duration_s > 60.0 { grown(0.0, 1.0, 0.02) } else { 0.0 }
            }
        }
    }
}
