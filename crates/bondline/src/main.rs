//! The program: reads the command line, calls one function of a room, shows the answer.
//!
//! Exit codes of every verb: 0 done; 1 written, but something is stopped,
//! unplaced, faulty or waits for an answer; 2 input or option refused, nothing
//! written; 70 our own fault.

mod progress;
mod verbs;

use clap::{Parser, Subcommand};
use std::process::ExitCode;

/// Plans heat-print orders: from art and garments to a priced, scheduled job.
#[derive(Debug, Parser)]
#[command(name = "bondline", version, about, max_term_width = 100)]
struct CommandLine {
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Debug, Subcommand)]
enum Verb {
    /// Plan an order with a shop folder: findings, transfers, press steps, sheets, timeline, price, papers.
    Plan(verbs::plan::Options),
    /// Plan the invented demo order and say where to look.
    Demo(verbs::demo::Options),
    /// Serve the page the shop works in.
    Serve(verbs::serve::Options),
    /// Look at one art file at its final size.
    Art(verbs::art::Options),
    /// The heat model: what happens at the bond line, and what to set.
    Heat(verbs::heat::Options),
    /// Lay designs out on sheets and rolls at least cost, or check a layout.
    Nest(verbs::nest::Options),
    /// Give work on the presses its times at least lateness and cost, check a schedule, or plan again from now.
    Schedule(verbs::schedule::Options),
    /// A shop that is kept: make it, take it in, write it out, back it up, look for damage.
    Shop(verbs::shop::Options),
    /// Orders that are kept: take, find, plan, and say where they stand.
    Order(verbs::order::Options),
    /// What is on hand: film, spare transfers, garments; orders reserve it and use it first.
    Stock(verbs::stock::Options),
    /// What was seen: test pieces, washes, returns, spoiled pieces, readings of a platen.
    Seen(verbs::seen::Options),
    /// Do the jobs that others put in, here or on another machine.
    Worker(verbs::worker::Options),
    /// Print the JSON Schema of a file form.
    Schema(verbs::schema::Options),
}

fn main() -> ExitCode {
    // A fault of our own is told plainly instead of as a trace.
    std::panic::set_hook(Box::new(|_| {}));
    let done = std::panic::catch_unwind(|| {
        // The reader of art is this same program, run for one file and by nobody's hand.
        if std::env::args_os().nth(1).is_some_and(|verb| verb == desk::READER_VERB) {
            return if desk::answer_as_reader() { End::Done } else { End::Refused };
        }
        if let Ok(program) = std::env::current_exe() {
            desk::read_art_with(program);
        }
        let line = match CommandLine::try_parse() {
            Ok(line) => line,
            Err(error) => {
                let asked_for = !error.use_stderr();
                let _ = error.print();
                return if asked_for { End::Done } else { End::Refused };
            }
        };
        match line.verb {
            Verb::Plan(options) => verbs::plan::run(&options),
            Verb::Demo(options) => verbs::demo::run(&options),
            Verb::Serve(options) => verbs::serve::run(&options),
            Verb::Art(options) => verbs::art::run(&options),
            Verb::Heat(options) => verbs::heat::run(&options),
            Verb::Nest(options) => verbs::nest::run(&options),
            Verb::Schedule(options) => verbs::schedule::run(&options),
            Verb::Shop(options) => verbs::shop::run(&options),
            Verb::Order(options) => verbs::order::run(&options),
            Verb::Stock(options) => verbs::stock::run(&options),
            Verb::Seen(options) => verbs::seen::run(&options),
            Verb::Worker(options) => verbs::worker::run(&options),
            Verb::Schema(options) => verbs::schema::run(&options),
        }
    });
    match done {
        Ok(end) => end.code(),
        Err(_) => {
            progress::complain(
                "a fault of the program itself; nothing already written is lost. Keep the files you gave it: with them the fault can be found.",
            );
            ExitCode::from(70)
        }
    }
}

/// How a verb ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum End {
    /// Done.
    Done,
    /// Written, but something is stopped, unplaced, faulty or waits for an answer.
    NeedsAPerson,
    /// Input or option refused, nothing written.
    Refused,
}

impl End {
    fn code(self) -> ExitCode {
        match self {
            Self::Done => ExitCode::SUCCESS,
            Self::NeedsAPerson => ExitCode::from(1),
            Self::Refused => ExitCode::from(2),
        }
    }
}
