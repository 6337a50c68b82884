//! The terminal: progress on standard error, answers on standard output.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use report::{Go, Progress, Watch};
use std::io::Write as _;
use std::time::Duration;
use words::Speech;

/// Shows each stage as it is told; hidden where nobody looks.
pub(crate) struct Shown {
    bar: ProgressBar,
    speech: Speech,
    stage: Option<report::Code>,
}

impl Shown {
    pub fn new(speech: Speech) -> Self {
        let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::stderr());
        if let Ok(style) = ProgressStyle::with_template("{spinner} {msg}") {
            bar.set_style(style);
        }
        bar.enable_steady_tick(Duration::from_millis(120));
        Self { bar, speech, stage: None }
    }

    /// Takes the line away.
    pub fn finish(&self) {
        self.bar.finish_and_clear();
    }
}

impl Watch for Shown {
    fn told(&mut self, progress: &Progress) -> Go {
        if self.stage != Some(progress.stage) || progress.of.is_some() {
            self.stage = Some(progress.stage);
            let count = match progress.of {
                Some(of) => format!(" {} of {of}", progress.done.saturating_add(1).min(of)),
                None => String::new(),
            };
            self.bar.set_message(format!("{}{count}", self.speech.term(progress.stage)));
        }
        Go::On
    }
}

/// An answer on standard output; a reader that went away is no fault.
pub(crate) fn say(text: &str) {
    let mut out = std::io::stdout().lock();
    let _ = out.write_all(text.as_bytes());
    if !text.ends_with('\n') {
        let _ = out.write_all(b"\n");
    }
    let _ = out.flush();
}

/// A word on standard error.
pub(crate) fn complain(text: &str) {
    let mut err = std::io::stderr().lock();
    let _ = writeln!(err, "bondline: {text}");
}
