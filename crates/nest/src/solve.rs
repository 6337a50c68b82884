//! From an instance to the cheapest layout found.
//!
//! A first full answer is filled sheet by sheet; then cheaper sets of stock are
//! tried and rolls are shortened, a few logical workers at a time. Each epoch's
//! results are taken in the workers' order, so threads change nothing. Effort
//! never shapes the search, it only ends it: more of it goes on where less stopped.

use rayon::prelude::*;
use report::{Code, Effort, Finding, Go, Outcome, Progress, Quiet, Refusal, Seed, Severity, Value, Watch};

use crate::answer::{Answer, Context};
use crate::batches;
use crate::blocks::{Suiting, Tried};
use crate::bound::lower_bound;
use crate::codes;
use crate::door::admit;
use crate::first::{first_answer, only_locked};
use crate::instance::{Instance, Layout, StockKind};
use crate::pair_book::PairBook;
use crate::parts::{Detail, refines};
use crate::random::Random;
use crate::spares::add_spares;
use crate::stock_sets::{Target, targets, try_target};
use crate::strip::Shrink;

/// How hard to search, from which seed, on how many threads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Settings {
    /// Positions evaluated, roughly a million a second and core. 0 asks for the first answer only.
    pub effort: Effort,
    /// Start of every random choice.
    pub seed: Seed,
    /// Threads used; the answer does not depend on it. 0 works on those of the thread pool that
    /// calls, for a caller who lays out many instances side by side.
    pub threads: usize,
}

impl Default for Settings {
    fn default() -> Self {
        Self { effort: Effort(2_000_000), seed: Seed(1), threads: 2 }
    }
}

/// Logical workers; a part of the answer's definition, unlike threads.
const LANES: usize = 2;
/// Evaluations of each lane between two looks at the watch, and for each piece.
const EPOCH: u64 = 40_000;
const EPOCH_PIECE: u64 = 3_000;
/// Evaluations of the first cycle from coarse to fine; each next one takes twice as many.
const FIRST_CYCLE: u64 = 3_000_000;

/// Lays the designs out at least cost.
///
/// Returns a layout that passed [`crate::check`]; what found no place is in
/// `unplaced` and among the findings. Refuses an instance with nothing usable in
/// it. Time grows with effort; a first answer comes before any effort is spent.
pub fn solve(instance: &Instance, settings: &Settings, watch: &mut dyn Watch) -> Result<Outcome<Layout>, Refusal> {
    solve_knowing(instance, settings, watch, &PairBook::default())
}

/// As [`solve`], with no-fit polygons that may be known; the layout does not depend on it.
pub fn solve_knowing(
    instance: &Instance,
    settings: &Settings,
    watch: &mut dyn Watch,
    book: &PairBook,
) -> Result<Outcome<Layout>, Refusal> {
    let (instance, mut findings) = admit(instance)?;
    let own_pool = |threads| rayon::ThreadPoolBuilder::new().num_threads(threads).build().ok();
    let pool = (settings.threads > 0).then(|| own_pool(settings.threads)).flatten();
    let bound = lower_bound(&instance);
    let batches = batches::of(&instance);
    let mut tell =
        Tell { watch, effort: settings.effort.0, before: 0, cost_before: 0, best: None, bound: Some(bound as f64) };
    let known = Knowing { pool: pool.as_ref(), book };
    let counts = shared_out(&instance, &batches, settings, known)?;
    let mut layout = Layout { complete: true, ..Layout::default() };
    let mut fits = vec![true; instance.designs.len()];
    let share = Settings { effort: Effort(settings.effort.0 / batches.len() as u64), ..*settings };
    for (at, batch) in batches.iter().enumerate() {
        let part = batches::instance_of(&instance, batch, at == 0, &counts[at]);
        let of_part = if batches.len() == 1 { bound } else { lower_bound(&part) };
        let found = search(&part, &share, of_part, known, &mut tell)?;
        for (design, fit) in batch.iter().zip(found.fits) {
            fits[*design] = fit;
        }
        batches::join(&mut layout, batch, found.layout);
        tell.before += share.effort.0;
        tell.cost_before = layout.cost;
    }
    layout.lower_bound = bound.min(layout.cost);
    judge(&instance, &fits, &mut layout, &mut findings);
    Ok(Outcome { value: layout, findings })
}

/// What the searches of an instance share.
#[derive(Clone, Copy)]
struct Knowing<'k> {
    pool: Option<&'k rayon::ThreadPool>,
    book: &'k PairBook,
}

/// Which sheets each batch may use, where there are only so many: the first batch all of them, if
/// there is other stock for the rest; else what its first answer takes of those that the batches
/// before left. Fixed before any search, so that more effort finds no less.
fn shared_out(
    instance: &Instance,
    batches: &[Vec<usize>],
    settings: &Settings,
    known: Knowing<'_>,
) -> Result<Vec<Vec<Option<u32>>>, Refusal> {
    let mut left = batches::counts(instance);
    if batches.len() == 1 || left.iter().any(Option::is_none) {
        let none: Vec<Option<u32>> = left.iter().map(|count| count.map(|_| 0)).collect();
        return Ok((0..batches.len()).map(|at| if at == 0 { left.clone() } else { none.clone() }).collect());
    }
    let first_only = Settings { effort: Effort(0), ..*settings };
    let mut shares = Vec::new();
    for (at, batch) in batches.iter().enumerate() {
        let part = batches::instance_of(instance, batch, at == 0, &left);
        let mut quiet = Quiet;
        let mut tell = Tell { watch: &mut quiet, effort: 0, before: 0, cost_before: 0, best: None, bound: None };
        let taken = batches::taken(&part, &search(&part, &first_only, 0, known, &mut tell)?.layout);
        let own = left.iter().zip(&taken).map(|(left, taken)| left.map(|_| *taken)).collect();
        for (left, taken) in left.iter_mut().zip(taken) {
            *left = left.map(|left| left.saturating_sub(taken));
        }
        shares.push(own);
    }
    Ok(shares)
}

/// What a search came to.
struct Found {
    layout: Layout,
    /// Whether each design has a place on any stock item.
    fits: Vec<bool>,
}

/// Lays out the designs of one batch, which cost no less than `bound`.
fn search(
    instance: &Instance,
    settings: &Settings,
    bound: i64,
    known: Knowing<'_>,
    tell: &mut Tell<'_>,
) -> Result<Found, Refusal> {
    let within = |work: &mut (dyn FnMut() + Send)| match known.pool {
        Some(pool) => pool.install(work),
        None => work(),
    };
    tell.best = None;
    let mut go = tell.say(codes::STAGE_PREPARE, 0);
    let mut context = None;
    within(&mut || context = Some(Context::new(instance, Detail::Coarse, known.book)));
    let Some(mut context) = context else { return Ok(Found { layout: nothing(instance), fits: Vec::new() }) };
    locks_lie_well(instance, &context)?;
    let mut answer = Answer::default();
    within(&mut || answer = first_answer(&context));
    tell.best = Some(answer.cost as f64);
    if go == Go::On {
        go = tell.say(codes::STAGE_FILL, 0);
    }
    if go == Go::On && settings.effort.0 > 0 {
        // The same classes over closer outlines. Where one of these bulges past the coarse one, pieces of the first
        // answer may seem to clash a little; they lie well all the same, as the check by the true outlines said.
        if refines(instance) && (answer.missing() > 0 || answer.cost > bound) {
            within(&mut || context = Context::new(instance, Detail::Fine, known.book));
        }
        let mut search = Search::new(&context, settings, bound, answer.clone());
        search.run(&within, tell);
        answer = search.best;
    }
    tell.say(codes::STAGE_SPARES, settings.effort.0);
    let answer = add_spares(&context, &answer);
    let fits = (0..instance.designs.len()).map(|design| context.fits_anywhere(design)).collect();
    Ok(Found { layout: context.layout(&answer), fits })
}

/// A layout without any piece.
fn nothing(instance: &Instance) -> Layout {
    let unplaced = instance.designs.iter().enumerate().map(|(d, design)| (d, design.quantity)).collect();
    Layout { unplaced, ..Layout::default() }
}

/// Locked pieces must be good by themselves, or no layout with them can be.
fn locks_lie_well(instance: &Instance, context: &Context<'_>) -> Result<(), Refusal> {
    let alone = context.layout(&only_locked(context));
    let mut faults = crate::check(instance, &alone).faults;
    faults.retain(|f| f.code != codes::MISCOUNTED);
    if faults.is_empty() {
        return Ok(());
    }
    for fault in &mut faults {
        fault.remedy = codes::MOVE_LOCK;
    }
    Err(Refusal { findings: faults })
}

/// The last gate: a layout that fails the check is not given out.
fn judge(instance: &Instance, fits: &[bool], layout: &mut Layout, findings: &mut Vec<Finding>) {
    let verdict = crate::check(instance, layout);
    if !verdict.good() {
        findings.push(Finding::new(Severity::StopsLine, codes::SET_ASIDE, codes::TELL_US));
        findings.extend(verdict.faults);
        *layout = nothing(instance);
    }
    for (design, count) in &layout.unplaced {
        let d = &instance.designs[*design];
        let fits = fits.get(*design).copied().unwrap_or(true);
        let (code, remedy) =
            if fits { (codes::UNPLACED, codes::ADD_STOCK) } else { (codes::TOO_LARGE, codes::CHOOSE_LARGER) };
        let b = d.outline.bounds();
        findings.push(
            Finding::new(Severity::StopsLine, code, remedy)
                .named("design", &d.id)
                .with("count", Value::Count(i64::from(*count)))
                .with("width", crate::door::mm(b.width()))
                .with("height", crate::door::mm(b.height())),
        );
    }
}

/// Says how far the search is.
struct Tell<'w> {
    watch: &'w mut dyn Watch,
    effort: u64,
    /// Effort and cost of the batches done.
    before: u64,
    cost_before: i64,
    best: Option<f64>,
    bound: Option<f64>,
}

impl Tell<'_> {
    fn say(&mut self, stage: Code, done: u64) -> Go {
        let (of, done) = (Some(self.effort), (self.before + done).min(self.effort));
        let best = self.best.map(|best| best + self.cost_before as f64);
        self.watch.told(&Progress { stage, done, of, best, bound: self.bound })
    }
}

/// The search for a cheaper answer.
struct Search<'c> {
    context: &'c Context<'c>,
    bound: i64,
    effort: u64,
    best: Answer,
    lanes: Vec<Lane<'c>>,
    spent: u64,
    /// Sets of stock still to be tried below the best cost, most roomy first.
    open: Vec<Target>,
    next: usize,
    round: u32,
    /// Rounds for which blocks have been built.
    built: u32,
    /// Whether all blocks without waste have been tried.
    exact: bool,
    cycle: (u64, u64),
}

/// A logical worker.
struct Lane<'c> {
    random: Random,
    shrink: Option<Shrink<'c>>,
}

impl<'c> Search<'c> {
    fn new(context: &'c Context<'c>, settings: &Settings, bound: i64, best: Answer) -> Self {
        let lanes = (0..LANES as u64).map(|k| Lane { random: Random::new(settings.seed.0, k), shrink: None }).collect();
        let mut search = Self {
            context,
            bound,
            effort: settings.effort.0,
            best,
            lanes,
            spent: 0,
            open: Vec::new(),
            next: 0,
            round: 0,
            built: 0,
            exact: false,
            cycle: (0, FIRST_CYCLE),
        };
        search.open = targets(context, &search.best, bound);
        search.start_shrinking();
        search
    }

    fn run(&mut self, within: &dyn Fn(&mut (dyn FnMut() + Send)), tell: &mut Tell<'_>) {
        let mut go = Go::On;
        let mut turn = 0_u64;
        while go == Go::On && self.spent < self.effort && self.worthwhile() {
            let both = !self.open.is_empty() && self.shrinking();
            if self.open.is_empty() || (both && turn.is_multiple_of(2)) {
                within(&mut || self.shrink_epoch());
            } else {
                within(&mut || self.target_epoch());
            }
            turn += 1;
            tell.best = Some(self.best.cost as f64);
            go = tell.say(codes::STAGE_SEARCH, self.spent);
        }
    }

    /// Whether anything is left to gain.
    fn worthwhile(&self) -> bool {
        (self.best.missing() > 0 || self.best.cost > self.bound) && (!self.open.is_empty() || self.shrinking())
    }

    fn shrinking(&self) -> bool {
        self.lanes.iter().any(|l| l.shrink.as_ref().is_some_and(|s| !s.done()))
    }

    /// Sets both lanes on the roll of the best answer, if it has one.
    fn start_shrinking(&mut self) {
        let roll = self
            .best
            .sheets
            .iter()
            .rposition(|s| matches!(self.context.instance.stock[s.stock].kind, StockKind::Roll { .. }));
        for lane in &mut self.lanes {
            lane.shrink = roll.and_then(|bin| {
                let (board, placed, bound) = self.context.board_of(&self.best)?;
                let seed = (lane.random.unit() * 1e15) as u64;
                Some(Shrink::new(board, bin, placed, bound, Random::new(seed, 0)))
            });
        }
    }

    /// How far the present cycle from coarse to fine is, 0 to 1.
    fn late(&self) -> f64 {
        (self.cycle.0 as f64 / self.cycle.1 as f64).min(1.0)
    }

    fn shrink_epoch(&mut self) {
        let (late, left) = (self.late(), self.effort - self.spent);
        let pieces: usize = self.best.sheets.iter().map(|s| s.items.len()).sum();
        let epoch = (EPOCH + EPOCH_PIECE * pieces as u64).min(2_000_000);
        let budget = epoch.min(left.div_ceil(LANES as u64));
        let most = left.div_ceil(LANES as u64).min(epoch.saturating_mul(2));
        let before: Vec<u64> = self.lanes.iter().map(|l| l.shrink.as_ref().map_or(0, Shrink::spent)).collect();
        self.lanes.par_iter_mut().for_each(|lane| {
            if let Some(shrink) = &mut lane.shrink {
                shrink.step(budget, most, late);
            }
        });
        let used: u64 =
            self.lanes.iter().zip(before).map(|(l, b)| l.shrink.as_ref().map_or(0, Shrink::spent) - b).sum();
        self.spend(used.max(1));
        self.take_shortest();
    }

    fn spend(&mut self, used: u64) {
        self.spent = self.spent.saturating_add(used);
        self.cycle.0 += used;
        if self.cycle.0 > self.cycle.1 {
            self.cycle = (0, self.cycle.1.saturating_mul(2));
        }
    }

    /// The shortest lane's layout becomes the best answer, and near the end of a
    /// cycle the start of the others.
    fn take_shortest(&mut self) {
        let late = self.late();
        let Some((at, length)) = self
            .lanes
            .iter()
            .enumerate()
            .filter_map(|(k, l)| Some((k, l.shrink.as_ref()?.length)))
            .min_by(|a, b| a.1.total_cmp(&b.1))
        else {
            return;
        };
        let Some(shrink) = self.lanes[at].shrink.as_ref() else { return };
        let best = shrink.best.clone();
        let answer = self.context.answer_of(&self.best, &best);
        let shorter = answer.used < self.best.used - 1e-9;
        if (answer.cost < self.best.cost || (answer.cost == self.best.cost && shorter)) && self.context.good(&answer) {
            let cheaper = answer.cost < self.best.cost;
            self.best = answer;
            if cheaper && !self.open.is_empty() {
                self.refresh();
            }
        }
        for (k, lane) in self.lanes.iter_mut().enumerate() {
            if let Some(other) =
                lane.shrink.as_mut().filter(|s| k != at && s.length > length * (1.0 + 0.03 * (1.0 - late)))
            {
                other.adopt(&best, length);
            }
        }
    }

    fn refresh(&mut self) {
        self.open = targets(self.context, &self.best, self.bound);
        self.next = 0;
    }

    /// Tries the next sets of stock, one a lane.
    fn target_epoch(&mut self) {
        if self.built <= self.round {
            self.built = self.round + 1;
            return self.block_epoch();
        }
        let chosen: Vec<Target> = (0..LANES).map(|k| self.open[(self.next + k) % self.open.len()].clone()).collect();
        self.next += LANES;
        if self.next >= self.open.len() {
            self.next = 0;
            self.round += 1;
        }
        let budget = (30_000_u64 << self.round.min(12)).min((self.effort - self.spent).div_ceil(LANES as u64));
        let context = self.context;
        let round = self.round;
        let tried: Vec<(Option<Answer>, u64)> = self
            .lanes
            .par_iter_mut()
            .zip(chosen)
            .map(|(lane, target)| try_target(context, &target, &mut lane.random, budget, round))
            .collect();
        self.spend(tried.iter().map(|(_, used)| *used).sum::<u64>().max(1000));
        let found = tried.into_iter().filter_map(|(a, _)| a).filter(|a| context.good(a));
        let before = (self.best.missing(), self.best.cost);
        if let Some(better) = found.min_by_key(|a| (a.missing(), a.cost)).filter(|b| (b.missing(), b.cost) < before) {
            self.best = better;
            self.refresh();
            self.start_shrinking();
        }
    }

    /// Tries to fill sets of stock with blocks, one lane's without waste until there are no more of those.
    fn block_epoch(&mut self) {
        let context = self.context;
        let Some(suiting) = Suiting::of(context, &self.open) else { return };
        let (round, without_waste) = (self.round, !self.exact);
        let left = (self.effort - self.spent).div_ceil(LANES as u64);
        let tried: Vec<Tried> = self
            .lanes
            .par_iter_mut()
            .enumerate()
            .map(|(lane, of)| {
                let terms = suiting.terms(round, lane == 0 && without_waste, &mut of.random);
                suiting.try_blocks(context, terms, left, &mut of.random)
            })
            .collect();
        self.exact |= tried.first().is_some_and(|t| t.whole);
        self.spend(tried.iter().map(|t| t.spent).sum::<u64>().max(1000));
        self.take(tried.into_iter().filter_map(|t| t.found));
    }

    /// A cheaper answer that is good becomes the best.
    fn take(&mut self, found: impl Iterator<Item = Answer>) {
        let context = self.context;
        let before = (self.best.missing(), self.best.cost);
        let found = found.filter(|a| context.good(a));
        if let Some(better) = found.min_by_key(|a| (a.missing(), a.cost)).filter(|b| (b.missing(), b.cost) < before) {
            self.best = better;
            self.refresh();
            self.start_shrinking();
        }
    }
}
