//! The threads a plan may use. What they do never depends on how many there are.

use rayon::{ThreadPool, ThreadPoolBuilder};

/// A fixed number of threads; where the machine gives none, the caller's own.
#[derive(Debug)]
pub(crate) struct Crew(Option<ThreadPool>);

impl Crew {
    pub fn of(threads: usize) -> Self {
        Self(ThreadPoolBuilder::new().num_threads(threads.max(1)).build().ok())
    }

    /// Runs `work`, whose parallel parts use this crew.
    pub fn run<T: Send>(&self, work: impl FnOnce() -> T + Send) -> T {
        match &self.0 {
            Some(pool) => pool.install(work),
            None => work(),
        }
    }
}
