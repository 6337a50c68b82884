//! How an order appears in lists: it follows from the order and its plan, without a clock.

use super::orders::{ORDER_FILE, content_of};
use super::{Kept, KeptOrder, KeptPlan, Stage, moment};
use plan::Order;
use store::Listed;
use store::form::{Deposit, Goods, OrderForm, Payment, PlanFacts, PlanForm, SignOff, Work};

/// Most characters that an order can be found by.
const MOST_WORDS: usize = 4000;

/// An order with what is known of it.
pub(super) struct OrderView<'a> {
    id: &'a str,
    form: &'a OrderForm,
    order: Option<Order>,
    /// Figures of its plan.
    facts: Option<&'a PlanFacts>,
    /// Whether the plan is of the order as it is now.
    fresh: bool,
}

impl<'a> OrderView<'a> {
    pub fn of(id: &'a str, form: &'a OrderForm, plan: Option<&'a PlanForm>) -> Self {
        let planned = plan.and_then(|plan| plan.orders.iter().find(|order| order.id == id));
        let fresh = planned.is_some_and(|planned| planned.content == content_of(form));
        let facts = plan.and_then(|plan| plan.facts.iter().find(|facts| facts.order == id));
        let order = plan::form::read_order(ORDER_FILE, &form.text).ok();
        Self { id, form, order, facts, fresh }
    }

    /// What it waits for, time left aside.
    fn stage(&self) -> Stage {
        let standing = &self.form.standing;
        if standing.dropped.is_some() {
            return Stage::Dropped;
        }
        match (&standing.work, &standing.payment) {
            (Work::HandedOver { .. }, Payment::Paid { .. }) => return Stage::Done,
            (Work::HandedOver { .. }, Payment::Open) => return Stage::ToBePaid,
            (Work::Pressed { .. }, _) => return Stage::ToHandOver,
            (Work::Open, _) => {}
        }
        if self.order.is_none() {
            return Stage::NeedsAnswer;
        }
        let Some(facts) = self.facts.filter(|_| self.fresh) else { return Stage::ToPlan };
        match &standing.sign_off {
            SignOff::ChangeWished { .. } => return Stage::ChangeWished,
            // A quote that went out all the same is the shop's own answer.
            SignOff::Open if standing.quote.is_none() => {
                return if facts.stopped + facts.waiting > 0 { Stage::NeedsAnswer } else { Stage::ToQuote };
            }
            SignOff::Open => return Stage::WaitingOnCustomer,
            SignOff::Signed { .. } if standing.deposit == Deposit::Open && facts.deposit > 0 => {
                return Stage::WaitingOnCustomer;
            }
            SignOff::Signed { .. } => {}
        }
        match &standing.goods {
            // Where nothing is bought, everything is there.
            Goods::Open if facts.order_by.is_none() => Stage::Arrived,
            Goods::Open => Stage::OrderBeforeCutOff,
            Goods::Ordered { .. } => Stage::WaitingForGoods,
            Goods::Arrived { .. } => Stage::Arrived,
        }
    }

    /// By when somebody must act for that, and what it waits for afterwards.
    fn act_by(&self, stage: Stage) -> (Option<String>, Stage) {
        let Some(facts) = self.facts else { return (None, stage) };
        match stage {
            Stage::ToPlan | Stage::NeedsAnswer | Stage::ToQuote | Stage::ChangeWished | Stage::WaitingOnCustomer => {
                (facts.sign_off_by.clone(), Stage::Late)
            }
            Stage::OrderBeforeCutOff => (facts.order_by.clone(), Stage::Late),
            Stage::WaitingForGoods => (facts.press_from.clone(), Stage::Late),
            Stage::Arrived => (facts.press_from.clone(), Stage::PressNow),
            _ => (None, stage),
        }
    }
}

/// An order as lists show it.
pub(super) fn listed(view: &OrderView<'_>) -> Listed {
    let stage = view.stage();
    let (act_by, after_act) = view.act_by(stage);
    let order = view.order.as_ref();
    let after_due = match stage {
        Stage::Done | Stage::Dropped | Stage::ToBePaid => stage,
        _ => Stage::Late,
    };
    let name = |of: Option<&String>| of.map_or_else(|| view.id.to_owned(), Clone::clone);
    Listed {
        id: view.id.to_owned(),
        number: view.id.parse().unwrap_or(i64::MAX),
        customer: name(order.map(|order| &order.customer)),
        name: name(order.map(|order| &order.name)),
        // What does not read is due at once, so that it is seen.
        due: order.map_or_else(String::new, |order| moment(order.due)),
        stage: stage.word().to_owned(),
        open: stage.open(),
        pieces: order.map_or(0, |order| order.lines.iter().map(|line| i64::from(line.pieces())).sum()),
        net: view.facts.map(|facts| facts.net),
        act_by,
        after_act: after_act.word().to_owned(),
        after_due: after_due.word().to_owned(),
        words: words_of(view),
    }
}

fn words_of(view: &OrderView<'_>) -> String {
    let mut all = vec![view.id.to_owned()];
    if let Some(order) = &view.order {
        all.extend([order.customer.clone(), order.name.clone()]);
        for line in &order.lines {
            all.extend([line.garment.clone(), line.colour.clone()]);
            all.extend(line.prints.iter().flat_map(|print| [print.art.clone(), print.position.clone()]));
        }
    }
    all.join(" ").to_lowercase().chars().take(MOST_WORDS).collect()
}

impl Kept {
    /// What an order waits for now.
    pub fn stage(&self, order: &KeptOrder, plan: Option<&KeptPlan>) -> Stage {
        let view = OrderView::of(&order.id, &order.form, plan.map(|plan| &plan.form));
        Stage::of_word(listed(&view).stage_at(&self.now())).unwrap_or(Stage::NeedsAnswer)
    }
}
