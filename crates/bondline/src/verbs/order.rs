//! `bondline order`: what is kept of orders.

mod show;

use super::place::{At, By};
use crate::End;
use crate::progress::{complain, say};
use clap::{Args, Subcommand};
use desk::Refusal;
use desk::kept::{Counted, DeedError, GoodsIn, Kept, PlanWish, Told};
use jiff::civil::{Date, DateTime};
use show::{comparison_lines, finding_line, history_lines, list_lines, order_lines};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::atomic::AtomicBool;
use store::form::RealCosts;
use store::{JobState, Kind, Sieve, Stamp};
use units::read_money;

/// Options of `order`.
#[derive(Debug, Args)]
pub(crate) struct Options {
    #[command(flatten)]
    at: At,
    #[command(flatten)]
    by: By,
    /// The version you saw; the change is refused when somebody made another meanwhile.
    #[arg(long, value_name = "VERSION", global = true)]
    on: Option<i64>,
    #[command(subcommand)]
    deed: Deed,
}

#[derive(Debug, Subcommand)]
enum Deed {
    /// Take a new order from its file; its art lies in the file's folder.
    New {
        /// The order file in TOML.
        file: PathBuf,
    },
    /// List orders: open ones first, by due date.
    List {
        /// Only those that hold all these words.
        words: Vec<String>,
        /// Only those that wait for this, such as press-now.
        #[arg(long)]
        stage: Option<String>,
        /// Only those with something left to do.
        #[arg(long)]
        open: bool,
        /// At most so many.
        #[arg(long, default_value_t = 200)]
        most: u32,
    },
    /// Show an order: its text, where it stands, its plan's figures.
    Show { id: String },
    /// Replace an order's text by that of a file.
    Change { id: String, file: PathBuf },
    /// Add an art file to an order.
    Art {
        id: String,
        /// The name the order calls it, art/kite.svg.
        name: String,
        file: PathBuf,
    },
    /// Plan an order here and now, or leave it to a worker; several named together share sheets where
    /// their dates allow, and what is on hand.
    Plan {
        /// The order, or several.
        #[arg(required = true, value_name = "ID")]
        ids: Vec<String>,
        /// Plan as if today were this day (YYYY-MM-DD).
        #[arg(long)]
        today: Option<Date>,
        /// Start of every random choice.
        #[arg(long, default_value_t = 1)]
        seed: u64,
        /// Evaluations for each transfer.
        #[arg(long)]
        effort: Option<u64>,
        /// Threads to use; the plan does not depend on it.
        #[arg(long, default_value_t = 2, value_parser = clap::value_parser!(u8).range(1..=64))]
        threads: u8,
        /// Only put it in; a worker does it.
        #[arg(long)]
        later: bool,
    },
    /// Write the files of an order's plan into a folder.
    Files { id: String, folder: PathBuf },
    /// Show what was ever done to an order.
    History { id: String },
    /// Undo the last change.
    Undo { id: String },
    /// Do the change again that was undone last.
    Redo { id: String },
    /// The quote was sent.
    QuoteSent { id: String },
    /// The customer signed off.
    SignOff {
        id: String,
        /// Who signed.
        signed_by: String,
    },
    /// The customer wishes for something else.
    WishChange { id: String, by_whom: String, wish: String },
    /// The deposit was paid.
    Deposit { id: String, amount: String },
    /// No deposit is asked for.
    WaiveDeposit { id: String },
    /// Transfers and garments were ordered.
    Ordered { id: String },
    /// Goods arrived and were counted.
    Arrived {
        id: String,
        /// Garments counted.
        counted: u32,
        /// Of these, faulty.
        #[arg(long, default_value_t = 0)]
        faulty: u32,
        /// What is missing or wrong.
        #[arg(long, default_value = "")]
        note: String,
        /// Lot of a transfer: powder-soft=K17.
        #[arg(long, value_name = "TRANSFER=LOT")]
        lot: Vec<String>,
    },
    /// Count pieces at the press.
    Count {
        id: String,
        /// The line, from 1.
        line: usize,
        /// Its print, from 1.
        print: usize,
        /// Good pieces.
        good: u32,
        /// Spoiled pieces.
        #[arg(long, default_value_t = 0)]
        spoiled: u32,
        /// Why they were spoiled.
        #[arg(long, default_value = "")]
        why: String,
    },
    /// All is pressed.
    Pressed { id: String },
    /// Handed over to the customer.
    HandedOver { id: String, to: String },
    /// The whole was paid.
    Paid { id: String, amount: String },
    /// Write down what it really took, and compare it with what was quoted; without options, only compare.
    Took {
        id: String,
        /// Minutes of work of a kind: press=45. Kinds: office, art, set-up, trimming, weeding, press, handling.
        #[arg(long, value_name = "KIND=MINUTES")]
        minutes: Vec<String>,
        /// Invoices of a kind: transfers=28.40. Kinds: garments, loss, transfers, carriage.
        #[arg(long, value_name = "KIND=AMOUNT")]
        invoice: Vec<String>,
        /// Sheets and lengths used.
        #[arg(long)]
        sheets: Option<u32>,
        /// Spoiled pieces, where they were not counted at the press.
        #[arg(long)]
        spoiled: Option<u32>,
        /// What there is to say.
        #[arg(long, default_value = "")]
        note: String,
    },
    /// It will not be made.
    Drop { id: String, why: String },
    /// Take an order once more, exactly as it was made.
    OnceMore {
        id: String,
        /// When it must be handed over: 2027-03-01T17:00.
        #[arg(long)]
        due: DateTime,
    },
}

pub(crate) fn run(options: &Options) -> End {
    let desk = |kept| Desk { kept, hand: options.by.hand(), on: options.on };
    super::ended(options.at.open().and_then(|kept| desk(kept).done(&options.deed)))
}

struct Desk {
    kept: Kept,
    hand: Stamp,
    on: Option<i64>,
}

impl Desk {
    fn done(&self, deed: &Deed) -> Result<End, DeedError> {
        let (kept, hand) = (&self.kept, &self.hand);
        match deed {
            Deed::New { file } => self.take(file)?,
            Deed::List { words, stage, open, most } => {
                let sieve = Sieve {
                    text: words.join(" "),
                    stage: stage.clone(),
                    open_only: *open,
                    most: i64::from(*most),
                    ..Sieve::default()
                };
                say(&list_lines(kept, &kept.list(&sieve)?));
            }
            Deed::Show { id } => say(&order_lines(kept, &kept.order(id)?, kept.plan_of(id)?.as_ref())?),
            Deed::Change { id, file } => {
                let ((_, text), _) = desk::order_file(file)?;
                let version = kept.change_order(id, self.on(id)?, &text, "text replaced", hand)?;
                self.changed(id, version);
            }
            Deed::Art { id, name, file } => {
                let version = kept.add_art(id, self.on(id)?, name, bytes_of(file)?, hand)?;
                self.changed(id, version);
            }
            Deed::Plan { ids, today, seed, effort, threads, later } => {
                let wish = PlanWish { today: *today, seed: *seed, effort: *effort };
                return self.plan(ids, wish, usize::from(*threads), *later);
            }
            Deed::Files { id, folder } => self.files(id, folder)?,
            Deed::History { id } => say(&history_lines(&kept.history(Kind::Order, id)?)),
            Deed::Undo { id } => self.changed(id, kept.undo(Kind::Order, id, hand)?),
            Deed::Redo { id } => self.changed(id, kept.redo(Kind::Order, id, hand)?),
            Deed::QuoteSent { id } => return self.told(id, kept.quote_sent(id, self.on(id)?, hand)?),
            Deed::SignOff { id, signed_by } => {
                return self.told(id, kept.sign_off(id, self.on(id)?, signed_by, hand)?);
            }
            Deed::WishChange { id, by_whom, wish } => {
                return self.told(id, kept.wish_change(id, self.on(id)?, by_whom, wish, hand)?);
            }
            Deed::Deposit { id, amount } => {
                return self.told(id, kept.deposit(id, self.on(id)?, self.amount(amount)?, hand)?);
            }
            Deed::WaiveDeposit { id } => return self.told(id, kept.waive_deposit(id, self.on(id)?, hand)?),
            Deed::Ordered { id } => return self.told(id, kept.ordered(id, self.on(id)?, hand)?),
            Deed::Arrived { id, counted, faulty, note, lot } => {
                let lots: BTreeMap<String, String> = lot
                    .iter()
                    .filter_map(|lot| lot.split_once('=').map(|(of, lot)| (of.to_owned(), lot.to_owned())))
                    .collect();
                let goods = GoodsIn { counted: *counted, faulty: *faulty, note: note.clone(), lots };
                return self.told(id, kept.counted_in(id, self.on(id)?, goods, hand)?);
            }
            Deed::Count { id, line, print, good, spoiled, why } => {
                let (line, print) = (line.saturating_sub(1), print.saturating_sub(1));
                let counted = Counted { line, print, good: *good, spoiled: *spoiled, why };
                self.changed(id, kept.count(id, self.on(id)?, counted, hand)?);
            }
            Deed::Pressed { id } => return self.told(id, kept.pressed(id, self.on(id)?, hand)?),
            Deed::HandedOver { id, to } => return self.told(id, kept.handed_over(id, self.on(id)?, to, hand)?),
            Deed::Paid { id, amount } => {
                return self.told(id, kept.paid(id, self.on(id)?, self.amount(amount)?, hand)?);
            }
            Deed::Took { id, minutes, invoice, sheets, spoiled, note } => {
                let took = RealCosts {
                    work_s: by_kind(minutes, minutes_of)?,
                    money: by_kind(invoice, |text| self.amount(text))?,
                    sheets: *sheets,
                    spoiled: *spoiled,
                    note: note.clone(),
                };
                if took != RealCosts::default() {
                    self.changed(id, kept.record_costs(id, self.on(id)?, &took, hand)?);
                }
                say(&comparison_lines(&kept.compare_costs(id)?));
            }
            Deed::Drop { id, why } => return self.told(id, kept.drop_order(id, self.on(id)?, why, hand)?),
            Deed::OnceMore { id, due } => {
                let (new, changed) = kept.reorder(id, *due, hand)?;
                say(&format!("order {new}"));
                changed.iter().for_each(|one| say(&finding_line(one)));
                return Ok(if changed.is_empty() { End::Done } else { End::NeedsAPerson });
            }
        }
        Ok(End::Done)
    }

    /// The version that a change is made on: the one seen, else the one kept now.
    fn on(&self, id: &str) -> Result<i64, DeedError> {
        match self.on {
            Some(on) => Ok(on),
            None => Ok(self.kept.order(id)?.version),
        }
    }

    fn changed(&self, id: &str, version: i64) {
        say(&format!("order {id}, version {version}"));
    }

    /// The answer of a deed about its standing; what should have come first waits for a person.
    fn told(&self, id: &str, told: Told) -> Result<End, DeedError> {
        self.changed(id, told.version);
        told.warnings.iter().for_each(|warning| say(&finding_line(warning)));
        Ok(if told.warnings.is_empty() { End::Done } else { End::NeedsAPerson })
    }

    fn take(&self, file: &Path) -> Result<(), DeedError> {
        let ((name, text), _) = desk::order_file(file)?;
        let order = plan::form::read_order(&name, &text).map_err(DeedError::Faults)?;
        let home = file.parent().filter(|home| !home.as_os_str().is_empty()).unwrap_or(Path::new("."));
        let mut art = BTreeMap::new();
        for print in order.lines.iter().flat_map(|line| &line.prints) {
            let path = home.join(&print.art);
            // Art may come later; the plan says what is missing.
            if path.is_file() && !art.contains_key(&print.art) {
                art.insert(print.art.clone(), bytes_of(&path)?);
            }
        }
        let id = self.kept.new_order(&text, art.into_iter().collect(), &self.hand)?;
        say(&format!("order {id}"));
        Ok(())
    }

    fn plan(&self, ids: &[String], wish: PlanWish, threads: usize, later: bool) -> Result<End, DeedError> {
        let name = match ids {
            [one] => self.kept.plan_later(one, wish, &self.hand)?,
            several => self.kept.plan_together(several, wish, &self.hand)?,
        };
        if later {
            say(&format!("job {name}"));
            return Ok(End::Done);
        }
        let job = loop {
            let job = self.kept.job(&name)?.ok_or_else(|| DeedError::Missing { what: format!("job {name}") })?;
            if job.state.ended() {
                break job;
            }
            // Whatever waits longest is done first; another worker may have taken this very job.
            if !self.kept.work_one("command line", threads, &AtomicBool::new(false))? {
                std::thread::sleep(std::time::Duration::from_millis(200));
            }
        };
        if job.state != JobState::Done {
            complain(&words::clean(&job.result));
            return Ok(End::Refused);
        }
        let mut open = false;
        for id in ids {
            let plan = self.kept.plan_of(id)?;
            say(&order_lines(&self.kept, &self.kept.order(id)?, plan.as_ref())?);
            let facts = plan.as_ref().and_then(|plan| plan.facts(id));
            open |= facts.is_some_and(|facts| facts.stopped + facts.waiting > 0);
        }
        Ok(if open { End::NeedsAPerson } else { End::Done })
    }

    fn files(&self, id: &str, folder: &Path) -> Result<(), DeedError> {
        let plan = self.kept.plan_of(id)?.ok_or_else(|| DeedError::Missing { what: format!("plan of order {id}") })?;
        let many = self.kept.write_plan_files(&plan, folder)?;
        say(&format!("{many} files in {}", folder.display()));
        Ok(())
    }

    fn amount(&self, text: &str) -> Result<i64, DeedError> {
        let currency = self.kept.shop()?.value.currency;
        let money = read_money(text, currency).map_err(|error| Refusal::Unreadable {
            path: text.to_owned(),
            cause: error.to_string(),
            remedy: "write an amount like 18.40".to_owned(),
        })?;
        Ok(money.minor())
    }
}

/// "press=45" by its kind; a kind with nothing behind the sign is open again.
fn by_kind(
    given: &[String],
    read: impl Fn(&str) -> Result<i64, DeedError>,
) -> Result<BTreeMap<String, Option<i64>>, DeedError> {
    let mut all = BTreeMap::new();
    for text in given {
        let (kind, value) = text
            .split_once('=')
            .ok_or_else(|| unreadable(text, "there is no equals sign", "write a kind and a value, like press=45"))?;
        let value = if value.trim().is_empty() { None } else { Some(read(value)?) };
        all.insert(kind.trim().to_owned(), value);
    }
    Ok(all)
}

/// Whole or decimal minutes, as seconds.
fn minutes_of(text: &str) -> Result<i64, DeedError> {
    let minutes: f64 = text.trim().replace(',', ".").parse().unwrap_or(f64::NAN);
    if (0.0..=60_000.0).contains(&minutes) {
        Ok((minutes * 60.0).round() as i64)
    } else {
        Err(unreadable(text, "these are no minutes", "write a number from 0 to 60000, like 45"))
    }
}

fn unreadable(text: &str, cause: &str, remedy: &str) -> DeedError {
    Refusal::Unreadable { path: words::clean(text), cause: cause.to_owned(), remedy: remedy.to_owned() }.into()
}

pub(super) fn bytes_of(path: &Path) -> Result<Vec<u8>, DeedError> {
    let unreadable = |cause: String| Refusal::Unreadable {
        path: path.display().to_string(),
        cause,
        remedy: "name the art file".to_owned(),
    };
    let size = std::fs::metadata(path).map_err(|error| unreadable(error.to_string()))?.len();
    let most = art::Caps::default().bytes;
    if size > most {
        return Err(unreadable(format!("{size} bytes are more than the {most} that are read")).into());
    }
    Ok(std::fs::read(path).map_err(|error| unreadable(error.to_string()))?)
}
