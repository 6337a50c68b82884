//! Plans as they are kept: made by jobs, with their files, told stale when what they were made from has changed.

use super::orders::content_of;
use super::{Deed, DeedError, Kept};
use crate::job::Planned;
use plan::{LinePlan, LineState, OrderPlan, PrintPlan};
use report::{Origin, Outcome, Reason, Value};
use store::form::{MadeLine, MadePrint, MadeRun, MadeState, NamedFile, OrderForm, PlanFacts, PlanForm, Work};
use store::{Kind, Record, Stamp};
use trade::Shop;
use units::{Currency, Money};

/// A plan as it is kept.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptPlan {
    /// Its name: that of its order.
    pub id: String,
    /// How often the order was planned.
    pub version: i64,
    /// When it was made and by whom it was asked for.
    pub stamp: Stamp,
    /// Whether the order has changed since.
    pub order_changed: bool,
    /// Whether an order planned together with it has changed since, or is planned otherwise.
    pub others_changed: bool,
    /// Whether the shop's files, its evidence or what it has on hand have changed since.
    pub shop_changed: bool,
    /// Whether it is to be made anew: what it was made from has changed and work has not been done.
    pub stale: bool,
    /// Its figures, and its files by name.
    pub form: PlanForm,
}

impl KeptPlan {
    /// Figures of an order in it.
    pub fn facts(&self, order: &str) -> Option<&PlanFacts> {
        self.form.facts.iter().find(|facts| facts.order == order)
    }
}

impl Kept {
    pub(super) fn plan_record(&self, id: &str) -> Deed<Option<Record<PlanForm>>> {
        Ok(self.store().get::<PlanForm>(id)?)
    }

    /// The latest plan of an order; `None` when it was not planned yet.
    pub fn plan_of(&self, order: &str) -> Deed<Option<KeptPlan>> {
        let Some(record) = self.plan_record(order)? else { return Ok(None) };
        let form = self.order_record(order)?.body;
        let planned = record.body.orders.iter().find(|planned| planned.id == order);
        let order_changed = planned.is_none_or(|planned| planned.content != content_of(&form));
        let shop_changed = record.body.shop != self.known(&names(&record.body))?.hash;
        let others_changed = self.others_changed(order, &record.body)?;
        let stale = (order_changed || shop_changed || others_changed) && form.standing.work == Work::Open;
        let Record { id, version, stamp, body } = record;
        Ok(Some(KeptPlan { id, version, stamp, order_changed, others_changed, shop_changed, stale, form: body }))
    }

    /// Whether an order that was planned together with this one is another now, or planned otherwise.
    fn others_changed(&self, order: &str, plan: &PlanForm) -> Deed<bool> {
        for other in plan.orders.iter().filter(|other| other.id != order) {
            let now = self.store().get::<OrderForm>(&other.id)?;
            let same =
                now.is_some_and(|now| content_of(&now.body) == other.content && now.body.standing.dropped.is_none());
            let together = self.plan_record(&other.id)?.is_some_and(|its| its.body.orders == plan.orders);
            if !same || !together {
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// The plan that an order had before its latest; `None` when it was planned only once.
    pub fn plan_before(&self, order: &str) -> Deed<Option<PlanForm>> {
        let history = self.store().history(Kind::Plan, order)?;
        let before = history.iter().rev().filter_map(|change| change.body.as_deref()).nth(1);
        let form = before.map(serde_json::from_str::<PlanForm>).transpose();
        Ok(form.map_err(|error| store::StoreError::Damaged { cause: format!("plan {order}: {error}") })?)
    }

    /// The bytes of a file that a plan names.
    pub fn file_of(&self, plan: &PlanForm, name: &str) -> Deed<Vec<u8>> {
        let file = plan.files.iter().find(|file| file.name == name);
        let file = file.ok_or_else(|| DeedError::Missing { what: format!("file {name} of a plan") })?;
        Ok(self.store().bytes(&file.sha256)?)
    }

    /// The bytes of one of a plan's files, `papers/quote-1.pdf`.
    pub fn plan_file(&self, plan: &KeptPlan, name: &str) -> Deed<Vec<u8>> {
        let file = plan.form.files.iter().find(|file| file.name == name);
        let file =
            file.ok_or_else(|| DeedError::Missing { what: format!("file {name} of the plan of order {}", plan.id) })?;
        Ok(self.store().bytes(&file.sha256)?)
    }

    /// Writes all files of a plan into a folder; an earlier plan there is replaced when this one is complete.
    pub fn write_plan_files(&self, plan: &KeptPlan, folder: &std::path::Path) -> Deed<usize> {
        let mut out = crate::safe_folder::SafeFolder::begin(folder)?;
        for file in &plan.form.files {
            out.write(&file.name, &self.store().bytes(&file.sha256)?)?;
        }
        Ok(out.finish()?.len())
    }

    /// What changed from the plan before to the latest one, the money first; `None` when it was planned only once.
    pub fn difference(&self, order: &str) -> Deed<Option<Vec<Reason>>> {
        let history = self.store().history(Kind::Plan, order)?;
        let mut forms = history.iter().rev().filter_map(|change| change.body.as_deref()).map(|body| {
            serde_json::from_str::<PlanForm>(body)
                .map_err(|error| store::StoreError::Damaged { cause: format!("plan {order}: {error}") })
        });
        let (Some(after), Some(before)) = (forms.next().transpose()?, forms.next().transpose()?) else {
            return Ok(None);
        };
        let of = |form: &PlanForm| form.facts.iter().find(|facts| facts.order == order).cloned();
        Ok(of(&before).zip(of(&after)).map(|(before, after)| changed(&before, &after)))
    }
}

/// All that a plan of an order depends on besides the order.
pub(super) struct Known {
    /// The shop with its evidence and the film and blanks on hand that the order may use.
    pub shop: Outcome<Shop>,
    /// The hash over all of it.
    pub hash: String,
}

impl Kept {
    /// What the planner is told of the shop for orders planned together.
    pub(super) fn known(&self, orders: &[String]) -> Deed<Known> {
        let (read, files) = self.shop_with_hash()?;
        let sums = super::evidence::sums(&read.value, &self.evidence()?);
        let stock = self.list_stock()?;
        // Reservations are left out: what a plan uses is reserved by its orders, and others' do not make it stale.
        let on_hand: Vec<String> =
            stock.iter().map(|one| format!("{:?} {} {}", one.body.what, one.body.count, one.body.since)).collect();
        let hash = store::hash_of(format!("{files} {sums:?} {on_hand:?}").as_bytes());
        let shop = super::stock::with_on_hand(read.value.clone(), &stock, orders).with_evidence(sums);
        Ok(Known { shop: Outcome { value: shop, findings: read.findings.clone() }, hash })
    }
}

/// The names of a plan's orders.
pub(super) fn names(plan: &PlanForm) -> Vec<String> {
    plan.orders.iter().map(|order| order.id.clone()).collect()
}

/// What differs from one plan of an order to another, the money first.
pub(super) fn changed(before: &PlanFacts, after: &PlanFacts) -> Vec<Reason> {
    use plan::codes;
    let mut all = Vec::new();
    let mut told = |rule, was: Value, is: Value| {
        if was != is {
            all.push(Reason::new(rule).from("before", was, Origin::Model).from("after", is, Origin::Model));
        }
    };
    told(codes::CHANGED_PRICE, money(before, before.net), money(after, after.net));
    told(codes::CHANGED_FINISH, when(before.finish.as_deref()), when(after.finish.as_deref()));
    told(codes::CHANGED_SHEETS, Value::Count(before.sheets.into()), Value::Count(after.sheets.into()));
    for (was, is) in before.lines.iter().zip(&after.lines) {
        if was.state != is.state {
            let term = |state| Value::Term(codes::line_state(line_state(state)));
            all.push(
                Reason::new(codes::CHANGED_STATE)
                    .from("garment", Value::Text(is.garment.clone()), Origin::Person)
                    .from("before", term(was.state), Origin::Model)
                    .from("after", term(is.state), Origin::Model),
            );
        }
        for (was, is) in was.prints.iter().zip(&is.prints).filter(|(was, is)| was.transfer != is.transfer) {
            let name = |print: &MadePrint| Value::Text(print.transfer.clone().unwrap_or_else(|| "–".to_owned()));
            all.push(
                Reason::new(codes::CHANGED_TRANSFER)
                    .from("before", name(was), Origin::Model)
                    .from("after", name(is), Origin::Model)
                    .from("print", Value::Text(is.art.clone()), Origin::Person),
            );
        }
    }
    all
}

/// An amount of a plan's figures as money.
pub(super) fn money(facts: &PlanFacts, minor: i64) -> Value {
    match Currency::new(&facts.currency, facts.decimals) {
        Some(currency) => Value::Money(Money::new(minor, currency)),
        None => Value::Count(minor),
    }
}

fn when(at: Option<&str>) -> Value {
    match at.and_then(|at| at.parse().ok()) {
        Some(moment) => Value::Moment(moment),
        None => Value::Text("–".to_owned()),
    }
}

fn line_state(state: MadeState) -> LineState {
    match state {
        MadeState::Planned => LineState::Planned,
        MadeState::Waiting => LineState::Waiting,
        MadeState::Stopped => LineState::Stopped,
    }
}

/// The kept form of a plan that was just made.
pub(super) struct NewPlan<'a> {
    pub planned: &'a Planned,
    /// The orders' names, versions and forms as they were planned.
    pub orders: &'a [Record<OrderForm>],
    /// The hash of the shop as it was planned with.
    pub shop: String,
    pub effort: Option<u64>,
    pub files: Vec<NamedFile>,
}

impl NewPlan<'_> {
    pub fn form(self) -> PlanForm {
        let plan = &self.planned.plan;
        let facts = plan.orders.iter().enumerate().map(|(at, order)| self.facts(at, order)).collect();
        let planned = |order: &Record<OrderForm>| store::form::PlannedOrder {
            id: order.id.clone(),
            version: order.version,
            content: content_of(&order.body),
        };
        PlanForm {
            orders: self.orders.iter().map(planned).collect(),
            shop: self.shop,
            today: plan.today.to_string(),
            seed: plan.seed,
            effort: self.effort,
            files: self.files,
            facts,
        }
    }

    fn facts(&self, at: usize, order: &OrderPlan) -> PlanFacts {
        let id = self.orders.get(at).map_or_else(String::new, |order| order.id.clone());
        let shop = &self.planned.shop;
        let of_order = |state| order.lines.iter().filter(|line| line.state == state).count();
        let count = |many: usize| u32::try_from(many).unwrap_or(u32::MAX);
        let warnings = self.planned.findings.iter().filter(|finding| {
            finding.severity == report::Severity::Warning && finding.subject.order.is_none_or(|of| of == at)
        });
        let by = [&order.dates.order_transfers_by, &order.dates.order_garments_by];
        let order_by = by.into_iter().flatten().map(|figure| figure.value).min();
        let text = |at: jiff::civil::DateTime| super::moment(at);
        let finish = order.dates.finish.as_ref().map(|figure| figure.value);
        PlanFacts {
            order: id,
            net: order.price.net.value.minor(),
            gross: order.price.gross.minor(),
            cost: order.price.cost.minor(),
            deposit: order.price.deposit.minor(),
            earns_per_hour: order.price.earns_per_hour.map(Money::minor),
            currency: shop.currency.code().to_owned(),
            decimals: shop.currency.decimals(),
            valid_until: Some(order.price.valid_until.to_string()),
            sign_off_by: order.dates.sign_off_by.as_ref().map(|figure| text(figure.value)),
            order_by: order_by.map(text),
            press_from: order.dates.press_from.map(text),
            finish: finish.map(text),
            late: finish.is_some_and(|finish| finish > order.due),
            stopped: count(of_order(LineState::Stopped)),
            waiting: count(of_order(LineState::Waiting)),
            warnings: count(warnings.count()),
            sheets: count(self.planned.plan.pools.iter().map(|pool| sheets_of(pool, at)).sum()),
            lines: order.lines.iter().map(|line| made_line(shop, line)).collect(),
            runs: Some(made_runs(&self.planned.plan.timeline, at)),
        }
    }
}

/// Every print of an order that goes under a press, once, the first first.
fn made_runs(timeline: &plan::Timeline, order: usize) -> Vec<MadeRun> {
    let mut all: Vec<MadeRun> = Vec::new();
    let mut entries: Vec<&schedule::Entry> = timeline.schedule.iter().flat_map(|schedule| &schedule.entries).collect();
    entries.sort_by_key(|entry| entry.start_s());
    for entry in entries {
        let (Some(of), Some(press)) = (timeline.batches.get(entry.batch), timeline.problem.presses.get(entry.press))
        else {
            continue;
        };
        if of.order == order && !all.iter().any(|run| (run.line, run.print) == (of.line, of.print)) {
            let from = super::moment(timeline.moment(entry.start_s()));
            all.push(MadeRun { line: of.line, print: of.print, press: press.name.clone(), from });
        }
    }
    all
}

/// Sheets and lengths of a pool that hold anything of an order.
fn sheets_of(pool: &plan::Pool, order: usize) -> usize {
    let holds = |sheet: &&nest::Sheet| {
        sheet
            .pieces
            .iter()
            .any(|piece| pool.designs.get(piece.design).is_some_and(|design| design.use_of(piece.copy).order == order))
    };
    pool.layout.sheets.iter().filter(holds).count()
}

fn made_line(shop: &Shop, line: &LinePlan) -> MadeLine {
    let style = line.garment.map(|id| shop.garment(id));
    let cost = line.price.as_ref().map(|price| (price.cost.minor(), i64::from(price.pieces).max(1)));
    MadeLine {
        garment: style.map_or_else(|| line.garment_name.clone(), |style| style.id.clone()),
        cloth: style.and_then(|style| style.colour(&line.colour)).map(|colour| shop.cloth(colour.cloth).id.clone()),
        colour: line.colour.clone(),
        pieces: line.pieces(),
        state: match line.state {
            LineState::Planned => MadeState::Planned,
            LineState::Waiting => MadeState::Waiting,
            LineState::Stopped => MadeState::Stopped,
        },
        unit: line.price.as_ref().map(|price| price.unit.value.minor()),
        // Rounded up: what a piece costs is never told too low.
        unit_cost: cost.map(|(cost, pieces)| cost.saturating_add(pieces - 1).div_euclid(pieces)),
        prints: line.prints.iter().map(|print| made_print(shop, print)).collect(),
    }
}

fn made_print(shop: &Shop, print: &PrintPlan) -> MadePrint {
    let taken = print.choice.taken();
    let transfer = taken.map(|taken| shop.transfer(taken.transfer));
    MadePrint {
        art: super::jobs::own_name(&print.art).to_owned(),
        sha256: print.hash.map(|hash| hash.hex()),
        position: print.position.map_or_else(String::new, |position| position.term().0.to_owned()),
        width_mm: print.size.map(|size| size.width().mm()),
        height_mm: print.size.map(|size| size.height().mm()),
        transfer: transfer.map(|transfer| transfer.id.clone()),
        films: taken.iter().flat_map(|taken| &taken.films).map(|film| film.name.clone()).collect(),
        recipe: print.card.as_ref().map(|card| card.source.clone()),
        transfers: print.transfers,
    }
}
