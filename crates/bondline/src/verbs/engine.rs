//! What verbs of engines share: how hard to look, what is told on the way, refusals in words.

use report::{Effort, Finding, Go, Progress, Watch};
use std::io::Write as _;
use std::time::{Duration, Instant};

/// How hard an engine looks, and until when.
pub(crate) struct Pace {
    pub effort: Effort,
    until: Option<Instant>,
}

impl Pace {
    /// By counted effort, else by the clock from now on, else the usual effort.
    pub fn of(effort: Option<u64>, seconds: Option<f64>, usual: Effort) -> Result<Self, String> {
        if let Some(s) = seconds.filter(|s| !(s.is_finite() && (0.0..=86_400.0).contains(s))) {
            return Err(format!("--seconds {s} is out of range; give 0 to 86400"));
        }
        let by_clock = if seconds.is_some() { Effort(u64::MAX) } else { usual };
        Ok(Self {
            effort: effort.map_or(by_clock, Effort),
            until: seconds.map(|s| Instant::now() + Duration::from_secs_f64(s)),
        })
    }

    /// Streams improving answers to standard error, and stops by the clock when asked.
    pub fn watch(&self) -> impl Watch + use<> {
        Told { until: self.until, best: None }
    }
}

struct Told {
    until: Option<Instant>,
    best: Option<f64>,
}

impl Watch for Told {
    fn told(&mut self, progress: &Progress) -> Go {
        if progress.best.is_some() && progress.best != self.best {
            self.best = progress.best;
            let (best, bound) = (progress.best.unwrap_or(0.0), progress.bound.unwrap_or(0.0));
            let gap = if best > 0.0 { (best - bound) / best * 100.0 } else { 0.0 };
            let mut err = std::io::stderr().lock();
            let _ = writeln!(err, "{} cost {best:.0} bound {bound:.0} gap {gap:.1} %", progress.stage.0);
        }
        if self.until.is_some_and(|until| Instant::now() >= until) { Go::Stop } else { Go::On }
    }
}

/// A finding in words: what, and what to do.
pub(crate) fn sentence(finding: &Finding) -> String {
    let said = words::Speech::english(units::UnitSystem::Metric).finding(finding);
    format!("{} {}", said.what, said.remedy)
}
