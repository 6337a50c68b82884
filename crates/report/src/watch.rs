//! Progress told between bounded steps, and the wish to stop.

use crate::Code;

/// How much work may be done, counted in a stage's own evaluations, never in time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Effort(pub u64);

/// The start of every random choice; the same seed gives the same bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Seed(pub u64);

/// How far a stage is.
#[derive(Debug, Clone, PartialEq)]
pub struct Progress {
    /// Which stage, as a term `words` has a phrase for.
    pub stage: Code,
    /// Steps done.
    pub done: u64,
    /// Steps in all, when known.
    pub of: Option<u64>,
    /// Best value so far, in the stage's own measure (money in minor units for layouts).
    pub best: Option<f64>,
    /// Proven bound on it.
    pub bound: Option<f64>,
}

/// Whether to go on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Go {
    /// Go on.
    On,
    /// Stop after this step; the best so far is returned.
    Stop,
}

/// Told between bounded steps.
pub trait Watch {
    /// Hears how far it is, says whether to go on.
    fn told(&mut self, progress: &Progress) -> Go;
}

/// Hears nothing and never stops.
#[derive(Debug, Clone, Copy, Default)]
pub struct Quiet;

impl Watch for Quiet {
    fn told(&mut self, _: &Progress) -> Go {
        Go::On
    }
}
