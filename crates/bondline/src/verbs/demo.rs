//! `bondline demo`.

use crate::End;
use crate::progress::{Shown, complain, say};
use clap::Args;
use std::path::PathBuf;
use units::UnitSystem;
use words::Speech;

/// Options of `demo`.
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Folder for the demo's files and plan.
    #[arg(long, default_value = "bondline-demo")]
    out: PathBuf,
    /// Print the reasons of every figure.
    #[arg(long)]
    explain: bool,
    /// Keep the demo as a shop and serve its page.
    #[arg(long)]
    serve: bool,
    /// Where the page listens, with --serve.
    #[arg(long, default_value = "127.0.0.1:7180")]
    listen: std::net::SocketAddr,
    /// Threads to use; the plan does not depend on it.
    #[arg(long, default_value_t = 2, value_parser = clap::value_parser!(u8).range(1..=64))]
    threads: u8,
}

pub(crate) fn run(options: &Options) -> End {
    if options.serve {
        return serve(options);
    }
    let mut watch = Shown::new(Speech::english(UnitSystem::Metric));
    let outcome = desk::demo(&options.out, usize::from(options.threads), &mut watch);
    watch.finish();
    let demo = match outcome {
        Ok(demo) => demo,
        Err(refusal) => {
            complain(&refusal.to_string());
            return End::Refused;
        }
    };
    let speech = Speech::english(demo.planned.shop.units);
    say(&desk::summary(&demo.planned.shop, &demo.planned.plan, &speech));
    if options.explain {
        say(&desk::explanation(&demo.planned.shop, &demo.planned.plan, &speech));
    }
    if demo.as_intended {
        say("\nThe carriers of line 5 are refused on purpose: their cloth melts under a press. All is invented.");
    } else {
        say("\nThe demo was not planned as intended: see the findings above.");
    }
    say(&format!("Look first at {}: quote, job ticket, purchase list.", demo.plan.join("papers").display()));
    say(&format!("Sheets to print, cut files and pictures lie beside them in {}.", demo.plan.display()));
    say(&format!("Change the order or the shop in {} and run bondline plan on them.", demo.files.display()));
    if demo.as_intended { End::Done } else { End::NeedsAPerson }
}

/// The demo as a shop behind its page; every start begins anew, always on the demo's own day.
fn serve(options: &Options) -> End {
    let home = options.out.join("shop");
    let made = desk::demo_shop(&home);
    let kept = match made {
        Ok(kept) => kept,
        Err(error) => {
            complain(&error.to_string());
            return End::Refused;
        }
    };
    say("All of it is invented: the festival, its people, the shop, its makers and prices.");
    let serving = web::Serving {
        listen: options.listen,
        names: Vec::new(),
        certificate: None,
        home,
        threads: usize::from(options.threads),
        clock: web::Clock::Fixed(desk::DEMO_TODAY),
    };
    super::serve::served(kept, &serving)
}
