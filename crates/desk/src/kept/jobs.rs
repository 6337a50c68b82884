//! Planning as a job: put in by anybody, done by any worker that reaches the database.
//!
//! A job that is done twice does no harm: the plan follows from what went in, its
//! files are kept by their hash, and a plan of an older state of the order never
//! takes the place of one of a newer state.

use super::listing::{OrderView, listed};
use super::orders::{ORDER_FILE, content_of};
use super::plans::NewPlan;
use super::stock::Uses;
use super::{Deed, DeedError, Kept, hand, locked};
use crate::art_folder::ArtFolder;
use crate::codes;
use crate::job::{PlanWork, Planned, plan_in};
use crate::workplace::Workplace;
use jiff::civil::Date;
use report::{Finding, Go, Outcome, Progress, Severity, Value, Watch};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};
use store::form::{FileRef, Goods, NamedFile, OrderForm, PlanForm, PlannedOrder, Work};
use store::{Blob, Guard, Job, JobState, Kind, Record, Running, Stamp, StoreError, Told, Write};
use trade::Shop;
use units::UnitSystem;
use words::Speech;

/// How often a worker says that it is alive.
const BEAT: Duration = Duration::from_secs(2);
/// How long a beat may stand still before others take the job.
const PATIENCE: Duration = Duration::from_secs(20);
/// Most orders that are planned together.
const MOST_TOGETHER: usize = 50;
/// Most evaluations that a plan is asked for: hours of work.
const MOST_EFFORT: u64 = 1_000_000_000;

/// How an order is to be planned.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PlanWish {
    /// The day it is made for; today by the worker's clock when left out.
    pub today: Option<Date>,
    /// Start of every random choice.
    pub seed: u64,
    /// Evaluations of the packing engine for each pool; the usual number when left out.
    pub effort: Option<u64>,
}

impl Default for PlanWish {
    fn default() -> Self {
        Self { today: None, seed: 1, effort: None }
    }
}

/// What a job says.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct JobForm {
    /// The order to be planned.
    plan: String,
    /// Further orders that are planned together with it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    with: Vec<String>,
    /// Who asked for it.
    by: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    today: Option<String>,
    seed: u64,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    effort: Option<u64>,
}

impl JobForm {
    /// All its orders, by name.
    fn orders(&self) -> Vec<String> {
        std::iter::once(&self.plan).chain(&self.with).cloned().collect()
    }
}

/// How the work on a job ended.
enum End {
    /// A plan is kept; with what is to be said of it.
    Done,
    /// It was called off.
    CalledOff,
    /// Another worker has it.
    Lost,
    /// This worker is to end: others are to take the job.
    GivenBack,
}

impl Kept {
    /// Puts the planning of an order in; while an earlier job of the same order
    /// waits, that one is renewed. Answers with the job's name.
    pub fn plan_later(&self, id: &str, wish: PlanWish, hand: &Stamp) -> Deed<String> {
        self.order_record(id)?;
        self.put_in(id, &[], wish, hand)
    }

    /// Puts the planning of several orders together in: they share what is on hand, and where they are due near
    /// one another sheets and parcels; each is charged by its area. Answers with the job's name.
    ///
    /// Refuses fewer than two orders, one named twice, and orders whose goods are ordered already.
    pub fn plan_together(&self, ids: &[String], wish: PlanWish, hand: &Stamp) -> Deed<String> {
        let stop = |code, remedy| Finding::new(Severity::StopsLine, code, remedy);
        let mut sorted = ids.to_vec();
        sorted.sort();
        sorted.dedup();
        let (Some((first, with)), true) = (ids.split_first(), sorted.len() == ids.len() && ids.len() > 1) else {
            return Err(stop(codes::TOGETHER_FEW, codes::TOGETHER_FEW_REMEDY).into());
        };
        if ids.len() > MOST_TOGETHER {
            let limit = i64::try_from(MOST_TOGETHER).unwrap_or(i64::MAX);
            return Err(stop(codes::TOGETHER_MANY, codes::TOGETHER_MANY_REMEDY)
                .with("limit", Value::Count(limit))
                .into());
        }
        for id in ids {
            let standing = self.order_record(id)?.body.standing;
            let past = match (&standing.dropped, &standing.work, &standing.goods) {
                (Some(_), _, _) => codes::IS_DROPPED,
                (None, Work::Open, Goods::Open) => continue,
                (None, Work::Open, _) => codes::IS_ORDERED,
                (None, _, _) => codes::IS_PRESSED,
            };
            return Err(stop(codes::TOGETHER_LATE, codes::TOGETHER_LATE_REMEDY)
                .named("order", id.clone())
                .with("stage", Value::Term(past))
                .into());
        }
        self.put_in(first, with, wish, hand)
    }

    fn put_in(&self, id: &str, with: &[String], wish: PlanWish, hand: &Stamp) -> Deed<String> {
        if wish.effort.is_some_and(|effort| effort > MOST_EFFORT) {
            let limit = i64::try_from(MOST_EFFORT).unwrap_or(i64::MAX);
            let finding = Finding::new(Severity::StopsLine, codes::EFFORT, codes::EFFORT_REMEDY);
            return Err(finding.with("limit", Value::Count(limit)).into());
        }
        let form = JobForm {
            plan: id.to_owned(),
            with: with.to_vec(),
            by: hand.by.clone(),
            today: wish.today.map(|day| day.to_string()),
            seed: wish.seed,
            effort: wish.effort,
        };
        let body = serde_json::to_string(&form).map_err(|error| StoreError::Other { cause: error.to_string() })?;
        let name = format!("plan-{id}-{}", self.store().number("job")?);
        Ok(self.store().put_in(&name, id, &body, hand)?)
    }

    /// Plans an order anew as it was planned before; nothing where it never was.
    pub(super) fn price_again(&self, id: &str, hand: &Stamp) -> Deed<()> {
        if let Some(plan) = self.plan_record(id)? {
            let wish = PlanWish { today: None, seed: plan.body.seed, effort: plan.body.effort };
            self.plan_anew(id, wish, hand)?;
        }
        Ok(())
    }

    /// Puts the planning of an order in with those it was planned with, as long as they can be; by itself
    /// where there are none. Answers with the job's name.
    pub fn plan_anew(&self, id: &str, wish: PlanWish, hand: &Stamp) -> Deed<String> {
        let before = self.plan_record(id)?.map(|plan| super::plans::names(&plan.body)).unwrap_or_default();
        if !before.iter().any(|known| known == id) {
            return self.plan_later(id, wish, hand);
        }
        // The job is about the order that changed: its page says how far it is.
        let with = before.into_iter().filter(|known| known != id);
        match self.plan_together(&std::iter::once(id.to_owned()).chain(with).collect::<Vec<_>>(), wish, hand) {
            Err(DeedError::Refused(_)) => self.plan_later(id, wish, hand),
            done => done,
        }
    }

    /// A job by its name.
    pub fn job(&self, id: &str) -> Deed<Option<Job>> {
        Ok(self.store().job(id)?)
    }

    /// The latest job of an order.
    pub fn job_of(&self, order: &str) -> Deed<Option<Job>> {
        Ok(self.store().job_about(order)?)
    }

    /// Calls a job off: a waiting one at once, a running one at its worker's next beat.
    pub fn call_off(&self, job: &str) -> Deed<()> {
        Ok(self.store().call_off(job)?)
    }

    /// Puts jobs back whose worker's beat has stood still for `patience` by this
    /// machine's steady clock; answers with how many.
    ///
    /// A beat must have been seen here before: the first look only notes it.
    pub fn put_back_dead(&self, patience: Duration) -> Deed<usize> {
        let running = self.store().running()?;
        let mut beats = locked(&self.inside.beats);
        beats.retain(|(id, attempt), _| running.iter().any(|job| job.id == *id && job.attempt == *attempt));
        let mut back = 0;
        for job in running {
            let key = (job.id.clone(), job.attempt);
            match beats.get(&key) {
                Some((beat, since)) if *beat == job.beat => {
                    if since.elapsed() >= patience && self.store().put_back(&job)? {
                        back += 1;
                        beats.remove(&key);
                    }
                }
                _ => {
                    beats.insert(key, (job.beat, Instant::now()));
                }
            }
        }
        Ok(back)
    }

    /// Takes the job that waits longest, does it, keeps what came of it; `false` when nothing waited.
    ///
    /// `worker` names who works, for people. When `stop` is set the work ends soon
    /// and the job is put back for others. A job that cannot be done is given up with
    /// its reason; an error here is one of the database, and the job then goes back
    /// when its beat has stood still.
    pub fn work_one(&self, worker: &str, threads: usize, stop: &AtomicBool) -> Deed<bool> {
        self.put_back_dead(PATIENCE)?;
        let Some(job) = self.store().take_job(worker)? else { return Ok(false) };
        let signs = Signs::default();
        let ended = std::thread::scope(|scope| {
            scope.spawn(|| self.keep_beating(&job, stop, &signs));
            let ended = catch_unwind(AssertUnwindSafe(|| self.do_job(&job, threads, &signs)));
            signs.ended.store(true, Ordering::SeqCst);
            ended
        });
        let speech = Speech::english(UnitSystem::Metric);
        match ended {
            Ok(Ok(End::Done | End::Lost)) => {}
            Ok(Ok(End::CalledOff)) => self.store().stopped_job(&job)?,
            Ok(Ok(End::GivenBack)) => self.give_back(&job)?,
            // The database cannot be told now; others take the job later.
            Ok(Err(DeedError::Store(error))) if !matches!(error, StoreError::Damaged { .. }) => {
                return if matches!(error, StoreError::JobLost { .. }) { Ok(true) } else { Err(error.into()) };
            }
            Ok(Err(error)) => self.store().fail_job(&job, &error.to_string())?,
            Err(_) => self.store().fail_job(&job, &speech.term(codes::JOB_FAULT))?,
        }
        Ok(true)
    }

    fn give_back(&self, job: &Job) -> Deed<()> {
        let running = self.store().running()?;
        if let Some(own) = running.iter().find(|own: &&Running| own.id == job.id && own.attempt == job.attempt) {
            self.store().put_back(own)?;
        }
        Ok(())
    }

    /// Beats until the work has ended; hears whether it is to stop.
    fn keep_beating(&self, job: &Job, stop: &AtomicBool, signs: &Signs) {
        const LOOK: Duration = Duration::from_millis(50);
        let mut beaten = Instant::now();
        while !signs.ended.load(Ordering::SeqCst) {
            if stop.load(Ordering::SeqCst) {
                signs.given_back.store(true, Ordering::SeqCst);
            }
            if beaten.elapsed() >= BEAT {
                let progress = locked(&signs.progress).clone();
                match self.store().beat(job, &progress) {
                    Ok(Told::GoOn) => {}
                    Ok(Told::Stop) => signs.called_off.store(true, Ordering::SeqCst),
                    Ok(Told::Lost) => signs.lost.store(true, Ordering::SeqCst),
                    // A database that is away for a while may be back before others lose patience.
                    Err(_) => {}
                }
                beaten = Instant::now();
            }
            std::thread::sleep(LOOK);
        }
    }

    fn do_job(&self, job: &Job, threads: usize, signs: &Signs) -> Deed<End> {
        let form: JobForm =
            serde_json::from_str(&job.body).map_err(|error| StoreError::Damaged { cause: error.to_string() })?;
        const TRIES: usize = 5;
        for _ in 0..TRIES {
            let orders = form.orders().iter().map(|id| self.order_record(id)).collect::<Deed<Vec<_>>>()?;
            let known = self.known(&form.orders())?;
            if job.attempt > 1 && self.planned_already(&orders, &known.hash, &form)? {
                self.store().finish_job(job, "", &hand(&form.by), &[], &[])?;
                return Ok(End::Done);
            }
            let workplace = Workplace::new()?;
            let planned = self.plan_in(workplace.path(), known.shop, &orders, &form, threads, signs);
            if let Some(end) = signs.end() {
                return Ok(end);
            }
            let planned = planned?;
            let files = self.keep_files(&workplace.path().join("plan"), &planned, signs)?;
            if let Some(end) = signs.end() {
                return Ok(end);
            }
            let uses = super::stock::uses(&planned.shop, &planned.plan, &form.orders());
            let plan =
                NewPlan { planned: &planned, orders: &orders, shop: known.hash, effort: form.effort, files }.form();
            if self.finish(job, &orders, &plan, &uses, &form.by)? {
                return Ok(End::Done);
            }
            // What it would use on hand was reserved by others meanwhile: plan with what is left.
        }
        Err(Finding::new(Severity::StopsLine, codes::STOCK_FOUGHT_OVER, codes::STOCK_FOUGHT_OVER_REMEDY).into())
    }

    /// Whether another job made this very plan, while this one was left by a worker that died.
    fn planned_already(&self, orders: &[Record<OrderForm>], shop: &str, form: &JobForm) -> Deed<bool> {
        let Some(plan) = self.plan_record(&form.plan)? else { return Ok(false) };
        let same = |(one, order): (&PlannedOrder, &Record<OrderForm>)| {
            one.id == order.id && one.content == content_of(&order.body)
        };
        let same_order = plan.body.orders.len() == orders.len() && plan.body.orders.iter().zip(orders).all(same);
        let today = form.today.clone().unwrap_or_else(|| crate::today().to_string());
        let same_wish = (plan.body.seed, plan.body.effort, &plan.body.today) == (form.seed, form.effort, &today);
        Ok(same_order && same_wish && plan.body.shop == shop)
    }

    fn plan_in(
        &self,
        folder: &Path,
        shop: Outcome<Shop>,
        orders: &[Record<OrderForm>],
        form: &JobForm,
        threads: usize,
        signs: &Signs,
    ) -> Deed<Planned> {
        let today = form.today.as_deref().and_then(|day| day.parse().ok());
        let (texts, art) = apart(orders)?;
        let work = PlanWork {
            orders: &texts,
            art: &ArtFolder::Kept(self.art_of(art)),
            out: &folder.join("plan"),
            today: today.unwrap_or_else(crate::today),
            seed: form.seed,
            effort: form.effort,
            threads,
        };
        Ok(plan_in(shop, &work, &mut Heard { signs, speech: Speech::english(UnitSystem::Metric) })?)
    }

    /// Keeps a plan's files one by one, so that only one is in memory at a time.
    fn keep_files(&self, folder: &Path, planned: &Planned, signs: &Signs) -> Deed<Vec<NamedFile>> {
        let mut files = Vec::new();
        for name in &planned.files {
            if signs.end().is_some() {
                break;
            }
            let bytes = std::fs::read(folder.join(name)).map_err(|error| crate::Refusal::Unreadable {
                path: name.clone(),
                cause: error.to_string(),
                remedy: "check the space of the folder for temporary files".to_owned(),
            })?;
            let size = bytes.len() as u64;
            let blob = Blob::new(bytes);
            files.push(NamedFile { name: name.clone(), sha256: blob.hash.clone(), bytes: size });
            self.store().keep(&[blob])?;
        }
        Ok(files)
    }

    /// Ends the job together with the plan, what its orders reserve on hand and what lists show of them;
    /// `false`, with nothing done, when what the plan uses is no longer to be had.
    fn finish(&self, job: &Job, planned: &[Record<OrderForm>], plan: &PlanForm, uses: &Uses, by: &str) -> Deed<bool> {
        const TRIES: usize = 20;
        let names = super::plans::names(plan);
        let mut last = None;
        for _ in 0..TRIES {
            let (mut guards, mut writes, mut outdated) = (Vec::new(), Vec::new(), false);
            let mut dropped = false;
            for of in planned {
                let id = of.id.as_str();
                let order = self.store().get::<OrderForm>(id)?;
                let known = self.plan_record(id)?;
                let newer = |form: &PlanForm| form.orders.iter().any(|one| one.id == id && one.version > of.version);
                outdated |= known.as_ref().is_some_and(|known| newer(&known.body));
                dropped |= order.as_ref().is_some_and(|order| order.body.standing.dropped.is_some());
                let on = self.store().version(Kind::Plan, id)?;
                let mut write = Write::of(id, on, plan, "planned")?;
                if let Some(order) = &order {
                    write = write.listed(listed(&OrderView::of(id, &order.body, Some(plan))));
                }
                writes.push(write);
                let version = order.as_ref().map_or(0, |order| order.version);
                let version = if version > 0 { version } else { self.store().version(Kind::Order, id)? };
                guards.push(Guard { kind: Kind::Order, id: id.to_owned(), version });
            }
            if outdated {
                writes.clear();
            } else {
                // An order that was called off meanwhile reserves nothing.
                let none = Uses::new();
                let uses = if dropped { &none } else { uses };
                let Some((held, reserved)) = super::stock::reserving(&self.list_stock()?, &names, uses)? else {
                    return Ok(false);
                };
                guards.extend(held);
                writes.extend(reserved);
            }
            match self.store().finish_job(job, "", &hand(by), &guards, &writes) {
                Ok(_) => return Ok(true),
                // Somebody worked on the order at this very moment: look at it again.
                Err(error @ StoreError::Conflict { .. }) => last = Some(error),
                Err(error) => return Err(error.into()),
            }
        }
        Err(last.map_or(DeedError::Store(StoreError::Busy), DeedError::from))
    }

    /// Waits for a job to end, looking every tenth of a second; `None` when it did not within `most`.
    pub fn wait_for(&self, job: &str, most: Duration) -> Deed<Option<Job>> {
        let begun = Instant::now();
        loop {
            let found = self.job(job)?.ok_or_else(|| DeedError::Missing { what: format!("job {job}") })?;
            if found.state.ended() {
                return Ok(Some(found));
            }
            if begun.elapsed() >= most {
                return Ok(None);
            }
            std::thread::sleep(Duration::from_millis(100));
        }
    }

    /// Whether any job waits or runs.
    pub fn work_left(&self) -> Deed<bool> {
        let jobs = self.store().jobs(i64::MAX)?;
        Ok(jobs.iter().any(|job| matches!(job.state, JobState::Waiting | JobState::Running)))
    }
}

/// What stands before the art of the second order and later ones, where another art has its name already.
const APART: &str = "order-";

/// An art file's name in its own order.
pub(super) fn own_name(name: &str) -> &str {
    let own = name.strip_prefix(APART).and_then(|rest| rest.split_once("//"));
    own.map_or(name, |(_, own)| own)
}

/// Texts by the names of their files.
type Texts = Vec<(String, String)>;

/// The texts of orders planned together, and their art under one roof: where two orders call different files by
/// one name, the later one's is told apart.
fn apart(orders: &[Record<OrderForm>]) -> Deed<(Texts, BTreeMap<String, FileRef>)> {
    let (mut texts, mut art) = (Vec::new(), BTreeMap::<String, FileRef>::new());
    for record in orders {
        let mut text = record.body.text.clone();
        let other = |(name, file): &(&String, &FileRef)| art.get(*name).is_some_and(|known| known != *file);
        // A file that is missing here must not be found in another order.
        let mut order = plan::form::read_order(ORDER_FILE, &text).map_err(DeedError::Faults)?;
        let missing = |name: &String| art.contains_key(name) && !record.body.art.contains_key(name);
        let own: Vec<&String> = record.body.art.iter().filter(other).map(|(name, _)| name).collect();
        let mut changed = false;
        let away = |name: &str| format!("{APART}{}//{name}", record.id);
        for print in order.lines.iter_mut().flat_map(|line| &mut line.prints) {
            if own.contains(&&print.art) || missing(&print.art) {
                print.art = away(&print.art);
                changed = true;
            }
        }
        if changed {
            text = plan::form::write_order(&order);
        }
        let named = |(name, file): (&String, &FileRef)| {
            (if own.contains(&name) { away(name) } else { name.clone() }, file.clone())
        };
        let files: Vec<(String, FileRef)> = record.body.art.iter().map(named).collect();
        art.extend(files);
        texts.push((ORDER_FILE.to_owned(), text));
    }
    Ok((texts, art))
}

/// What the one who beats and the one who works tell each other.
#[derive(Default)]
struct Signs {
    progress: Mutex<String>,
    ended: AtomicBool,
    called_off: AtomicBool,
    lost: AtomicBool,
    given_back: AtomicBool,
}

impl Signs {
    /// How the work is to end early, if it is.
    fn end(&self) -> Option<End> {
        if self.lost.load(Ordering::SeqCst) {
            Some(End::Lost)
        } else if self.called_off.load(Ordering::SeqCst) {
            Some(End::CalledOff)
        } else if self.given_back.load(Ordering::SeqCst) {
            Some(End::GivenBack)
        } else {
            None
        }
    }
}

/// Listens to the planner.
struct Heard<'a> {
    signs: &'a Signs,
    speech: Speech,
}

impl Watch for Heard<'_> {
    fn told(&mut self, progress: &Progress) -> Go {
        let stage = self.speech.term(progress.stage);
        *locked(&self.signs.progress) = match progress.of {
            Some(of) => format!("{stage} {}/{of}", progress.done.saturating_add(1).min(of)),
            None => stage,
        };
        if self.signs.end().is_some() { Go::Stop } else { Go::On }
    }
}
