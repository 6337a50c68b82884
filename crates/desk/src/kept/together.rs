//! Which orders would share sheets and parcels if they were planned together.

use super::{Deed, Kept, KeptOrder, KeptPlan, Stage, moment};
use jiff::ToSpan as _;
use jiff::civil::DateTime;
use std::collections::BTreeSet;
use store::form::{Goods, PlanForm, Standing, Work};
use store::{Listed, Sieve};

/// Orders looked at for one answer; a further one is found when these are planned.
const LOOKED_AT: i64 = 40;
/// Plans read for one answer.
const MOST_READ: usize = 10;

/// An order whose goods are still to be bought, with what it is printed with.
struct Buying {
    listed: Listed,
    due: DateTime,
    transfers: BTreeSet<String>,
    /// Whether it is planned together with others already.
    shares: bool,
}

impl Kept {
    /// Orders that are printed with a transfer that this one is printed with, due within the shop's share days
    /// of it, none of whose goods are bought: together they may share sheets and parcels. The first due first;
    /// at most ten. Those it is planned with already are left out.
    pub fn near(&self, order: &KeptOrder, plan: &KeptPlan) -> Deed<Vec<Listed>> {
        let Some(own) = buying(&order.listed, &plan.form).filter(|_| nothing_bought(&order.form.standing)) else {
            return Ok(Vec::new());
        };
        let days = i64::from(self.shop()?.value.share_days.value);
        let span = days.days();
        let (Ok(from), Ok(to)) = (own.due.checked_sub(span), own.due.checked_add(span)) else {
            return Ok(Vec::new());
        };
        let midnight = |at: DateTime| at.date().to_datetime(jiff::civil::Time::midnight());
        let last = midnight(to).checked_add(1.day()).unwrap_or(to);
        let due = (moment(midnight(from)).max(self.now()), moment(last));
        let sieve = Sieve { open_only: true, due: Some(due), most: LOOKED_AT, ..Sieve::default() };
        let mut read = 0;
        let mut near = Vec::new();
        for listed in self.list(&sieve)? {
            if listed.id == order.id
                || !to_be_bought(&listed)
                || read == MOST_READ
                || plan.form.orders.iter().any(|planned| planned.id == listed.id)
            {
                continue;
            }
            read += 1;
            let Some(its) = self.plan_record(&listed.id)? else { continue };
            if buying(&listed, &its.body).is_some_and(|other| goes_with(&own, &other, days))
                // Goods may have been ordered before the customer's word.
                && nothing_bought(&self.order_record(&listed.id)?.body.standing)
            {
                near.push(listed);
            }
        }
        Ok(near)
    }

    /// Of the orders to be bought for first, those that may share sheets and parcels and are not planned together
    /// yet, group by group; each group has two or more.
    pub fn worth_together(&self) -> Deed<Vec<Vec<Listed>>> {
        let stage = Some(Stage::OrderBeforeCutOff.word().to_owned());
        let days = i64::from(self.shop()?.value.share_days.value);
        let mut left = Vec::new();
        for listed in self.list(&Sieve { stage, open_only: true, most: 10, ..Sieve::default() })? {
            let Some(plan) = self.plan_record(&listed.id)? else { continue };
            left.extend(buying(&listed, &plan.body).filter(|one| !one.shares));
        }
        let mut groups = Vec::new();
        while !left.is_empty() {
            let first = left.remove(0);
            let (with, others): (Vec<Buying>, Vec<Buying>) =
                left.into_iter().partition(|other| goes_with(&first, other, days));
            left = others;
            if !with.is_empty() {
                groups.push(std::iter::once(first).chain(with).map(|one| one.listed).collect());
            }
        }
        Ok(groups)
    }
}

/// Whether none of an order's goods are bought yet, by what it waits for when time is left aside.
fn to_be_bought(listed: &Listed) -> bool {
    matches!(
        Stage::of_word(&listed.stage),
        Some(
            Stage::ToPlan
                | Stage::NeedsAnswer
                | Stage::ToQuote
                | Stage::ChangeWished
                | Stage::WaitingOnCustomer
                | Stage::OrderBeforeCutOff
        )
    )
}

fn nothing_bought(standing: &Standing) -> bool {
    matches!((&standing.goods, &standing.work), (Goods::Open, Work::Open)) && standing.dropped.is_none()
}

fn buying(listed: &Listed, plan: &PlanForm) -> Option<Buying> {
    let facts = plan.facts.iter().find(|facts| facts.order == listed.id)?;
    let prints = facts.lines.iter().flat_map(|line| &line.prints);
    let transfers: BTreeSet<String> = prints.filter_map(|print| print.transfer.clone()).collect();
    let due = listed.due.parse().ok()?;
    let worth = to_be_bought(listed) && !transfers.is_empty();
    worth.then(|| Buying { listed: listed.clone(), due, transfers, shares: plan.orders.len() > 1 })
}

/// Whether two orders would share sheets: a transfer of both, and days that are near enough.
fn goes_with(one: &Buying, other: &Buying, days: i64) -> bool {
    let apart = one.due.date().since(other.due.date()).map_or(i64::MAX, |span| i64::from(span.get_days()).abs());
    apart <= days && one.transfers.intersection(&other.transfers).next().is_some()
}
