//! Where an order stands between shop and customer: quote, sign-off, money, goods, work.
//!
//! Each is a fact of its own, because shops do them in different orders. What is
//! done before what should come first is kept, with a warning. What the customer
//! signs is frozen fact by fact; an order that is another afterwards is no longer
//! signed (see `orders`).

use super::orders::{ORDER_FILE, content_of};
use super::plans::money;
use super::{Deed, DeedError, Kept};
use crate::codes;
use jiff::civil::Date;
use plan::Order;
use report::{Code, Finding, Severity, Value};
use std::collections::BTreeMap;
use store::form::{
    Deposit, Frozen, Goods, OrderForm, Payment, PlanFacts, PlanForm, QuoteSent, SignOff, Standing, Work,
};
use store::{Record, Stamp, Write};

/// What a deed about an order's standing answers.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    /// The new version.
    pub version: i64,
    /// What should have come first, or does not agree.
    pub warnings: Vec<Finding>,
}

/// Garments that arrived, as counted in.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct GoodsIn {
    /// Garments counted.
    pub counted: u32,
    /// Of these, faulty.
    pub faulty: u32,
    /// What is missing or wrong, if anything.
    pub note: String,
    /// Lots by the shop's names of the transfers.
    pub lots: BTreeMap<String, String>,
}

/// An order at the moment of a deed.
struct Moment<'a> {
    id: &'a str,
    order: Option<Order>,
    form: &'a OrderForm,
    /// Figures of its plan, when it is of the order as it is now.
    facts: Option<&'a PlanFacts>,
    hand: &'a Stamp,
}

impl Kept {
    /// The quote went out, on exactly what the order says now.
    pub fn quote_sent(&self, id: &str, on: i64, hand: &Stamp) -> Deed<Told> {
        self.stand(id, on, "quote sent", hand, |now, standing| {
            let mut warnings = now.unplanned();
            if now.facts.is_some_and(|facts| facts.stopped + facts.waiting > 0) {
                warnings.push(warning(codes::LINES_OPEN, codes::LINES_OPEN_REMEDY));
            }
            standing.quote = Some(QuoteSent { at_ms: hand.at_ms, by: hand.by.clone(), frozen: now.frozen() });
            standing.sign_off = SignOff::Open;
            Ok(warnings)
        })
    }

    /// The customer signs by themselves what the order says now, while the offer holds.
    ///
    /// Refuses a name that says nothing, and after the offer's last day.
    pub fn customer_signs(&self, id: &str, on: i64, by: &str, hand: &Stamp) -> Deed<Told> {
        let version = self.order_record(id)?.version;
        match self.offer_over(id, hand)? {
            // Somebody who saw another version is told that first.
            Some(over) if version == on => Err(DeedError::Refused(over)),
            _ => self.sign_off(id, on, by, hand),
        }
    }

    /// That the offer for what the order says now no longer holds on the day of `hand`, where it does not.
    pub fn offer_over(&self, id: &str, hand: &Stamp) -> Deed<Option<Finding>> {
        let record = self.order_record(id)?;
        let plan = self.plan_record(id)?;
        Ok(Moment::of(id, &record.body, plan.as_ref().map(|plan| &plan.body), hand).offer_over())
    }

    /// The customer signed off what the order says now; `by` is who signed.
    ///
    /// On paper they may have signed in time, so that an offer that is over is a warning here.
    /// Refuses a name that says nothing.
    pub fn sign_off(&self, id: &str, on: i64, by: &str, hand: &Stamp) -> Deed<Told> {
        let by = named(by)?;
        self.stand(id, on, "signed off", hand, |now, standing| {
            let mut warnings = now.unplanned();
            let frozen = now.frozen();
            match &standing.quote {
                None => warnings.push(warning(codes::NOT_QUOTED, codes::NOT_QUOTED_REMEDY)),
                Some(quote) if quote.frozen != frozen => {
                    let differs = differing(&quote.frozen, &frozen).join(", ");
                    warnings.push(warning(codes::QUOTE_DIFFERS, codes::QUOTE_DIFFERS_REMEDY).named("facts", differs));
                }
                Some(_) => {}
            }
            warnings.extend(now.offer_over().map(|over| Finding {
                severity: Severity::Warning,
                remedy: codes::OFFER_OVER_SHOP_REMEDY,
                ..over
            }));
            standing.sign_off = SignOff::Signed { at_ms: hand.at_ms, by, on: frozen };
            Ok(warnings)
        })
    }

    /// The customer wishes for something else.
    pub fn wish_change(&self, id: &str, on: i64, by: &str, wish: &str, hand: &Stamp) -> Deed<Told> {
        let (by, wish) = (named(by)?, named(wish)?);
        self.stand(id, on, "change wished", hand, |_, standing| {
            standing.sign_off = SignOff::ChangeWished { at_ms: hand.at_ms, by, wish };
            Ok(Vec::new())
        })
    }

    /// The deposit was paid; minor units of the shop's currency.
    pub fn deposit(&self, id: &str, on: i64, amount: i64, hand: &Stamp) -> Deed<Told> {
        let amount = positive(amount)?;
        self.stand(id, on, "deposit paid", hand, |now, standing| {
            standing.deposit = Deposit::Paid { at_ms: hand.at_ms, amount };
            Ok(now.short(codes::DEPOSIT_SHORT, amount, |facts| facts.deposit))
        })
    }

    /// No deposit is asked for.
    pub fn waive_deposit(&self, id: &str, on: i64, hand: &Stamp) -> Deed<Told> {
        self.stand(id, on, "deposit not asked for", hand, |_, standing| {
            standing.deposit = Deposit::Waived { by: hand.by.clone() };
            Ok(Vec::new())
        })
    }

    /// Transfers and garments were ordered: money is spent.
    pub fn ordered(&self, id: &str, on: i64, hand: &Stamp) -> Deed<Told> {
        self.stand(id, on, "goods ordered", hand, |now, standing| {
            standing.goods = Goods::Ordered { at_ms: hand.at_ms, by: hand.by.clone() };
            Ok(now.before_spending())
        })
    }

    /// Goods arrived and were counted; lots by the shop's names of the transfers.
    pub fn arrived(
        &self,
        id: &str,
        on: i64,
        counted: u32,
        note: &str,
        lots: BTreeMap<String, String>,
        hand: &Stamp,
    ) -> Deed<Told> {
        self.counted_in(id, on, GoodsIn { counted, faulty: 0, note: note.to_owned(), lots }, hand)
    }

    /// Goods arrived, were counted and looked over.
    ///
    /// Refuses more faulty garments than were counted.
    pub fn counted_in(&self, id: &str, on: i64, goods: GoodsIn, hand: &Stamp) -> Deed<Told> {
        let GoodsIn { counted, faulty, note, lots } = goods;
        let Some(good) = counted.checked_sub(faulty) else {
            return Err(Finding::new(Severity::StopsLine, codes::FAULTY_MORE, codes::FAULTY_MORE_REMEDY)
                .with("faulty", Value::Count(faulty.into()))
                .with("counted", Value::Count(counted.into()))
                .into());
        };
        self.stand(id, on, "goods arrived", hand, |now, standing| {
            let mut warnings = Vec::new();
            let pieces = now.pieces();
            let count = |count: u32| Value::Count(count.into());
            if counted < pieces {
                warnings.push(
                    warning(codes::COUNTED_FEWER, codes::COUNTED_FEWER_REMEDY)
                        .with("counted", count(counted))
                        .with("pieces", count(pieces)),
                );
            }
            if faulty > 0 {
                let short = good < pieces;
                let remedy = if short { codes::FAULTY_SHORT_REMEDY } else { codes::FAULTY_REMEDY };
                warnings.push(
                    warning(codes::FAULTY, remedy)
                        .with("faulty", count(faulty))
                        .with("counted", count(counted))
                        .with("good", count(good))
                        .with("pieces", count(pieces)),
                );
            }
            let mut note = words::clean(&note);
            if note.is_empty() && faulty > 0 {
                // Whoever reads only the note must not miss it.
                note = format!("{faulty} faulty");
            }
            standing.goods = Goods::Arrived { at_ms: hand.at_ms, counted, faulty, note, lots };
            Ok(warnings)
        })
    }

    /// All is pressed: what was counted at the press is the result, and evidence for later choices; what the
    /// order had reserved on hand is used up.
    pub fn pressed(&self, id: &str, on: i64, hand: &Stamp) -> Deed<Told> {
        let record = self.order_record(id)?;
        let mut evidence = Vec::new();
        let told = self.stand_with(record, on, "pressed", hand, |now, standing| {
            let mut warnings = now.before_pressing();
            let (good, spoiled) = now.counted();
            let pieces = now.pieces();
            if good < pieces {
                warnings.push(
                    warning(codes::PRESSED_FEWER, codes::PRESSED_FEWER_REMEDY)
                        .with("good", Value::Count(good.into()))
                        .with("pieces", Value::Count(pieces.into())),
                );
            }
            standing.work = Work::Pressed { at_ms: hand.at_ms, good, spoiled };
            evidence = super::evidence::of_pressing(id, &standing.counts, now.facts, &standing.goods, hand);
            Ok(warnings)
        })?;
        let (mut write, warnings) = told;
        let mut writes = Vec::new();
        writes.append(&mut write);
        for form in &evidence {
            let name = self.store().number("evidence")?.to_string();
            writes.push(Write::of(&name, 0, form, "seen at the press")?);
        }
        writes.extend(self.using_up(id)?);
        let versions = self.store().change(hand, &[], &writes)?;
        Ok(Told { version: versions.first().copied().unwrap_or_default(), warnings })
    }

    /// Handed over to the customer.
    pub fn handed_over(&self, id: &str, on: i64, to: &str, hand: &Stamp) -> Deed<Told> {
        let to = named(to)?;
        self.stand(id, on, "handed over", hand, |now, standing| {
            let (good, spoiled, early) = match standing.work {
                Work::Pressed { good, spoiled, .. } | Work::HandedOver { good, spoiled, .. } => (good, spoiled, false),
                Work::Open => {
                    let (good, spoiled) = now.counted();
                    (good, spoiled, true)
                }
            };
            standing.work = Work::HandedOver { at_ms: hand.at_ms, to, good, spoiled };
            Ok(if early { vec![warning(codes::NOT_PRESSED, codes::NOT_PRESSED_REMEDY)] } else { Vec::new() })
        })
    }

    /// The whole was paid, deposit included; minor units of the shop's currency.
    pub fn paid(&self, id: &str, on: i64, amount: i64, hand: &Stamp) -> Deed<Told> {
        let amount = positive(amount)?;
        self.stand(id, on, "paid", hand, |now, standing| {
            standing.payment = Payment::Paid { at_ms: hand.at_ms, amount };
            Ok(now.short(codes::PAID_SHORT, amount, |facts| facts.gross))
        })
    }

    /// The order will not be made; what it had reserved is free again.
    pub fn drop_order(&self, id: &str, on: i64, why: &str, hand: &Stamp) -> Deed<Told> {
        let why = named(why)?;
        let record = self.order_record(id)?;
        let (mut writes, warnings) = self.stand_with(record, on, "dropped", hand, |_, standing| {
            standing.dropped = Some(why);
            Ok(Vec::new())
        })?;
        writes.extend(self.releasing(id)?);
        let versions = self.store().change(hand, &[], &writes)?;
        Ok(Told { version: versions.first().copied().unwrap_or_default(), warnings })
    }

    /// What the order says now, fact by fact: what a customer signs.
    pub fn frozen(&self, id: &str) -> Deed<Frozen> {
        let record = self.order_record(id)?;
        let plan = self.plan_record(id)?;
        let hand = record.stamp.clone();
        Ok(Moment::of(id, &record.body, plan.as_ref().map(|plan| &plan.body), &hand).frozen())
    }

    fn stand(
        &self,
        id: &str,
        on: i64,
        what: &str,
        hand: &Stamp,
        change: impl FnOnce(&Moment<'_>, &mut Standing) -> Deed<Vec<Finding>>,
    ) -> Deed<Told> {
        let record = self.order_record(id)?;
        let (writes, warnings) = self.stand_with(record, on, what, hand, change)?;
        let versions = self.store().change(hand, &[], &writes)?;
        Ok(Told { version: versions.first().copied().unwrap_or_default(), warnings })
    }

    /// The write of a changed standing, not yet made.
    fn stand_with(
        &self,
        record: Record<OrderForm>,
        on: i64,
        what: &str,
        hand: &Stamp,
        change: impl FnOnce(&Moment<'_>, &mut Standing) -> Deed<Vec<Finding>>,
    ) -> Deed<(Vec<Write>, Vec<Finding>)> {
        let id = record.id.clone();
        if record.version != on {
            let what = format!("order {id}");
            return Err(DeedError::Conflict { what, seen: on, now: record.version, by: record.stamp.by });
        }
        let plan = self.plan_record(&id)?;
        let mut standing = record.body.standing.clone();
        let moment = Moment::of(&id, &record.body, plan.as_ref().map(|plan| &plan.body), hand);
        let warnings = change(&moment, &mut standing)?;
        let form = OrderForm { standing, ..record.body };
        Ok((vec![self.order_write(&id, on, &form, what)?], warnings))
    }
}

impl<'a> Moment<'a> {
    fn of(id: &'a str, form: &'a OrderForm, plan: Option<&'a PlanForm>, hand: &'a Stamp) -> Self {
        let fresh = plan.filter(|plan| plan.orders.iter().any(|one| one.id == id && one.content == content_of(form)));
        let facts = fresh.and_then(|plan| plan.facts.iter().find(|facts| facts.order == id));
        Self { id, order: plan::form::read_order(ORDER_FILE, &form.text).ok(), form, facts, hand }
    }

    fn pieces(&self) -> u32 {
        let lines = self.order.iter().flat_map(|order| &order.lines);
        lines.map(plan::Line::pieces).fold(0, u32::saturating_add)
    }

    /// Good garments and spoiled ones: a garment is good when its last-counted print is.
    fn counted(&self) -> (u32, u32) {
        let mut lines: BTreeMap<usize, (u32, u32)> = BTreeMap::new();
        for count in &self.form.standing.counts {
            let line = lines.entry(count.line).or_insert((u32::MAX, 0));
            line.0 = line.0.min(count.good);
            line.1 = line.1.saturating_add(count.spoiled());
        }
        lines.values().fold((0, 0), |sum, line| (sum.0.saturating_add(line.0), sum.1.saturating_add(line.1)))
    }

    /// That the offer no longer holds on the day of the deed, where it does not.
    fn offer_over(&self) -> Option<Finding> {
        let until: Date = self.facts?.valid_until.as_deref()?.parse().ok()?;
        let today: Date = super::evidence::day_of(self.hand).parse().ok()?;
        let over = Finding::new(Severity::StopsLine, codes::OFFER_OVER, codes::OFFER_OVER_REMEDY)
            .with("until", Value::Date(until))
            .with("today", Value::Date(today));
        (today > until).then_some(over)
    }

    /// Without a plan of what it says now there is no price to it.
    fn unplanned(&self) -> Vec<Finding> {
        match self.facts {
            Some(_) => Vec::new(),
            None => vec![warning(codes::NOT_PLANNED, codes::NOT_PLANNED_REMEDY).named("order", self.id)],
        }
    }

    /// What must come before money is spent.
    fn before_spending(&self) -> Vec<Finding> {
        let mut warnings = self.unplanned();
        let standing = &self.form.standing;
        if !matches!(standing.sign_off, SignOff::Signed { .. }) {
            warnings.push(warning(codes::SPENT_UNSIGNED, codes::SPENT_UNSIGNED_REMEDY).named("by", &self.hand.by));
        }
        let wanted = self.facts.map_or(0, |facts| facts.deposit);
        if standing.deposit == Deposit::Open && wanted > 0 {
            let finding = warning(codes::SPENT_UNPAID, codes::SPENT_UNPAID_REMEDY);
            warnings.extend(self.facts.map(|facts| finding.with("deposit", money(facts, wanted))));
        }
        warnings
    }

    fn before_pressing(&self) -> Vec<Finding> {
        let mut warnings = self.before_spending();
        let bought = self.facts.is_none_or(|facts| facts.order_by.is_some());
        if bought && !matches!(self.form.standing.goods, Goods::Arrived { .. }) {
            warnings.push(warning(codes::NOT_ARRIVED, codes::NOT_ARRIVED_REMEDY));
        }
        warnings
    }

    fn short(&self, code: Code, amount: i64, wanted: impl Fn(&PlanFacts) -> i64) -> Vec<Finding> {
        let Some(facts) = self.facts.filter(|facts| wanted(facts) > amount) else { return Vec::new() };
        vec![
            warning(code, codes::MONEY_SHORT_REMEDY)
                .with("amount", money(facts, amount))
                .with("wanted", money(facts, wanted(facts))),
        ]
    }

    /// Every fact that a customer signs: spelling by the art itself, sizes, positions, colours, price.
    fn frozen(&self) -> Frozen {
        let mut facts = BTreeMap::new();
        let mut fact = |name: String, value: String| {
            if !value.is_empty() {
                facts.insert(name, value);
            }
        };
        if let Some(order) = &self.order {
            fact("customer".to_owned(), order.customer.clone());
            fact("due".to_owned(), super::moment(order.due));
            for (at, line) in order.lines.iter().enumerate() {
                let of = format!("line {:02}", at + 1);
                fact(format!("{of} garment"), format!("{}, {}", line.garment, line.colour));
                let sizes: Vec<String> =
                    line.sizes.iter().map(|size| format!("{} × {}", size.count, size.size)).collect();
                fact(format!("{of} sizes"), sizes.join(", "));
                for (nth, print) in line.prints.iter().enumerate() {
                    let of = format!("{of} print {}", nth + 1);
                    let sha256 = self.form.art.get(&print.art).map_or("not there", |file| file.sha256.as_str());
                    fact(format!("{of} art"), format!("{} ({})", print.art, sha256));
                    fact(format!("{of} position"), offset_of(print));
                    fact(format!("{of} size"), size_of(print));
                    fact(format!("{of} colours"), print.colours.join(", "));
                    let stated: Vec<String> = print.stated.iter().map(stated_of).collect();
                    fact(format!("{of} stated colours"), stated.join(", "));
                }
            }
        }
        for (at, line) in self.facts.iter().flat_map(|facts| facts.lines.iter().enumerate()) {
            for (nth, print) in line.prints.iter().enumerate() {
                let of = format!("line {:02} print {}", at + 1, nth + 1);
                if let (Some(width), Some(height)) = (print.width_mm, print.height_mm) {
                    fact(format!("{of} as pressed"), format!("{width:.1} × {height:.1} mm"));
                }
                fact(format!("{of} films"), print.films.join(", "));
            }
        }
        Frozen { facts, net: self.facts.map(|facts| facts.net) }
    }
}

fn offset_of(print: &plan::Print) -> String {
    match print.offset {
        Some((right, up)) => format!("{}, right {:.1} mm, up {:.1} mm", print.position, right.mm(), up.mm()),
        None => print.position.clone(),
    }
}

fn size_of(print: &plan::Print) -> String {
    match print.size {
        art::SizeWish::Width(width) => format!("{:.1} mm wide", width.mm()),
        art::SizeWish::Height(height) => format!("{:.1} mm high", height.mm()),
        art::SizeWish::AsFile => String::new(),
    }
}

fn stated_of(stated: &plan::StatedColour) -> String {
    let [r, g, b] = stated.file;
    format!("#{r:02x}{g:02x}{b:02x} is {}", stated.typed)
}

/// Names of facts that are not the same in both.
pub(super) fn differing(one: &Frozen, other: &Frozen) -> Vec<String> {
    let mut names: Vec<String> = one
        .facts
        .keys()
        .chain(other.facts.keys())
        .filter(|name| one.facts.get(*name) != other.facts.get(*name))
        .cloned()
        .collect();
    names.sort();
    names.dedup();
    if one.net != other.net {
        names.push("price".to_owned());
    }
    names
}

fn warning(code: Code, remedy: Code) -> Finding {
    Finding::new(Severity::Warning, code, remedy)
}

/// A name or a reason that says something.
pub(super) fn named(text: &str) -> Result<String, Finding> {
    let clean: String = words::clean(text).chars().take(500).collect();
    if clean.is_empty() {
        return Err(Finding::new(Severity::StopsLine, codes::SAYS_NOTHING, codes::SAYS_NOTHING_REMEDY));
    }
    Ok(clean)
}

fn positive(amount: i64) -> Result<i64, Finding> {
    if amount > 0 {
        Ok(amount)
    } else {
        Err(Finding::new(Severity::StopsLine, codes::NO_AMOUNT, codes::NO_AMOUNT_REMEDY))
    }
}
