//! What it costs: the figures on top, the three ways, other quantities.

use super::{Show, html};
use crate::form::plan::{
    LandedPart, LandedPointPart, LinePart, LinePricePart, OrderPart, ReasonPart, RungPart, ValuePart, WayLinePart,
    WayPart, Why, WhyInput,
};
use crate::parts::Fig;
use crate::tongue::Tongue;
use plan::{Landed, LandedPoint};
use units::{Duration, Money};

pub(in crate::pages::order) struct WayView {
    pub word: String,
    pub name: String,
    pub net: Fig,
    pub lines: Vec<String>,
    pub taken: bool,
    pub take: String,
}

pub(in crate::pages::order) struct LadderView {
    pub title: String,
    /// Where other quantities cannot be had.
    pub title_bare: String,
    pub rungs: Vec<RungView>,
    pub costs: Vec<(String, String)>,
    pub landed: Option<LandedView>,
}

/// What the prints cost to have here, each way of getting them, over the quantity.
pub(in crate::pages::order) struct LandedView {
    /// Of the line's own quantity, in a sentence.
    pub said: String,
    pub pieces: Vec<String>,
    /// Name, then what it comes to and what of it is not goods at each quantity.
    pub ways: Vec<LandedWayView>,
}

pub(in crate::pages::order) struct LandedWayView {
    pub name: String,
    pub points: Vec<LandedPointView>,
}

pub(in crate::pages::order) struct LandedPointView {
    pub total: String,
    pub beside: String,
    /// None costs less at this quantity.
    pub least: bool,
}

pub(in crate::pages::order) struct RungView {
    pub pieces: String,
    pub unit: Fig,
    pub total: String,
    pub said: String,
    pub here: bool,
}

impl Show<'_> {
    pub(super) fn facts(&self, part: &OrderPart) -> Vec<(String, String, String)> {
        let w = self.w;
        let pieces: u32 =
            part.lines.iter().filter(|l| l.price.is_some()).map(LinePart::pieces).fold(0, u32::saturating_add);
        let mut all = Vec::new();
        if let [line] = &part.lines[..]
            && let Some(price) = &line.price
        {
            all.push((w.t("web.price-each"), html(&Fig::money(w, &self.reader, &price.unit)), String::new()));
        } else if pieces > 0 {
            let each = part.price.net.value / i64::from(pieces);
            let why = vec![self.model(w.t("web.price-all"), self.money(part.price.net.value)), {
                self.model(w.t("web.pieces"), pieces.to_string())
            }];
            let fig = self.worked(self.money(each), "web.why-mean", why);
            all.push((w.t("web.price-each-mean"), html(&fig), w.a("web.pieces-priced", pieces)));
        } else {
            all.push((w.t("web.price-all"), w.t("web.not-priced-yet"), w.t("web.not-priced-why")));
        }
        if pieces > 0 {
            let gross = w.a("web.with-taxes", self.money(part.price.gross));
            let label =
                if self.order.assumed().is_empty() { w.t("web.price-all") } else { w.t("web.price-provisional") };
            all.push((label, html(&Fig::money(w, &self.reader, &part.price.net)), gross));
        }
        if let Some(hour) = part.price.earns_per_hour {
            let small =
                w.ab("web.earns-how", self.money(part.price.net.value - part.price.cost), w.s(part.price.work_s));
            all.push((w.t("web.earns"), html(&self.earned(hour, part)), small));
        }
        let dates = &part.dates;
        let first = [&dates.order_transfers_by, &dates.order_garments_by]
            .into_iter()
            .flatten()
            .min_by(|a, b| a.value.cmp(&b.value));
        if let Some(by) = first {
            all.push((w.t("web.order-by"), html(&Fig::moment(w, &self.reader, by)), self.slack(part)));
        }
        all
    }

    /// What an hour of work earns: what is left after everything that is bought, by the hour.
    fn earned(&self, hour: i64, part: &OrderPart) -> Fig {
        let w = self.w;
        let rates = &self.shop.rates;
        let mut why = vec![
            self.model(w.t("web.price-all"), self.money(part.price.net.value)),
            self.model(w.t("web.cost-all"), self.money(part.price.cost)),
            self.model(w.t("web.work-in-it"), w.s(part.price.work_s)),
        ];
        if let Ok(cost) = rates.labour_per_hour.plus(rates.overhead_per_hour) {
            why.push(self.input(w.t("web.hour-costs"), w.speech.money(cost), report::Origin::Shop));
        }
        self.worked(self.money(hour), "web.why-earns", why)
    }

    pub(super) fn model(&self, label: String, value: String) -> WhyInput {
        self.input(label, value, report::Origin::Model)
    }

    pub(super) fn input(&self, label: String, value: String, origin: report::Origin) -> WhyInput {
        let origin = self.w.speech.word(origin).to_owned();
        WhyInput { label, value, origin, source: String::new() }
    }

    /// A figure that is worked out here from others of the plan.
    pub(super) fn worked(&self, shown: String, rule: &'static str, inputs: Vec<WhyInput>) -> Fig {
        let why = Why { rule: self.w.t(rule), inputs, refused: Vec::new(), would_change: Vec::new() };
        Fig { w: *self.w, shown, small: String::new(), whys: vec![why] }
    }

    fn slack(&self, part: &OrderPart) -> String {
        match part.dates.slack_s {
            Some(slack) if slack < 0.0 => self.w.a("web.late-by", self.w.s(-slack)),
            Some(slack) => self.w.a("web.slack", self.w.s(slack)),
            None => String::new(),
        }
    }

    pub(super) fn way(&self, way: &WayPart, part: &OrderPart) -> WayView {
        let w = self.w;
        let name = way_name(w, &way.way);
        let line = |(at, line): (usize, &Option<WayLinePart>)| match line {
            None => w.a("web.way-not", at + 1),
            Some(line) => {
                let transfers: Vec<String> = line.transfers.iter().map(|id| self.transfer(id)).collect();
                let mut said = w.f(
                    "web.way-line",
                    &[
                        ("line", (at + 1).to_string()),
                        ("garment", self.garment(&line.garment)),
                        ("transfers", w.speech.list(&transfers)),
                        ("unit", self.money(line.unit)),
                    ],
                );
                for extra in &line.extras {
                    said = format!("{said} {}.", w.code(extra));
                }
                said
            }
        };
        WayView {
            word: way.way.clone(),
            net: self.worked(self.money(way.net), "web.why-way", self.way_inputs(way, part)),
            lines: way.lines.iter().enumerate().map(line).collect(),
            taken: way.way == part.way,
            take: w.a("web.take-way", &name),
            name,
        }
    }

    /// What the price of a way is made of: its lines, what the order's own terms make of them, and its cost.
    fn way_inputs(&self, way: &WayPart, part: &OrderPart) -> Vec<WhyInput> {
        let w = self.w;
        let mut inputs = Vec::new();
        let mut lines = 0_i64;
        for (nth, (line, of)) in way.lines.iter().zip(&part.lines).enumerate() {
            let Some(line) = line else { continue };
            let pieces = of.pieces();
            lines = lines.saturating_add(line.unit.saturating_mul(i64::from(pieces)));
            inputs.push(self.model(
                w.ab("web.change-line", nth + 1, self.garment(&line.garment)),
                w.ab("web.pieces-at", pieces, self.money(line.unit)),
            ));
        }
        let terms = way.net.saturating_sub(lines);
        if terms != 0 {
            inputs.push(self.model(w.t("web.way-terms"), self.money(terms)));
        }
        inputs.push(self.model(w.t("web.cost-all"), self.money(way.cost)));
        inputs.push(self.model(w.t("web.work-in-it"), w.s(way.work_s)));
        inputs
    }

    /// A price of the ladder with its reason: the line's own rule over the cost and pieces of this rung. What all
    /// rungs have in common stands in the rule's sentence and beside the line's own price.
    fn rung(&self, price: &LinePricePart, rung: &RungPart) -> RungView {
        let of_rung = |why: &ReasonPart| {
            let mut why = why.clone();
            for input in &mut why.inputs {
                match input.name.as_str() {
                    "cost" => input.value = ValuePart::Minor(rung.cost),
                    "pieces" => input.value = ValuePart::Count(i64::from(rung.pieces)),
                    _ => {}
                }
            }
            why
        };
        let whys: Vec<ReasonPart> = price.unit.why.iter().map(of_rung).collect();
        let mut unit = Fig::new(self.w, &self.reader, self.money(rung.unit), String::new(), &whys);
        for why in &mut unit.whys {
            why.would_change.clear();
            why.inputs.truncate(1);
        }
        RungView {
            pieces: rung.pieces.to_string(),
            unit,
            total: self.money(rung.total),
            said: rung.cheaper_than.map(|than| self.w.a("web.cheaper-than", than)).unwrap_or_default(),
            here: rung.pieces == price.pieces,
        }
    }

    fn landed(&self, price: &LinePricePart) -> Option<LandedView> {
        let ways: Vec<Landed> = price.landed.iter().filter_map(|one| self.landed_way(one)).collect();
        let quantities: Vec<u32> = ways.first()?.points.iter().map(|point| point.pieces).collect();
        let least = |pieces: u32| ways.iter().filter_map(|way| Some(way.at(pieces)?.total.minor())).min();
        let point = |point: &LandedPoint| LandedPointView {
            total: self.money(point.total.minor()),
            beside: self.money(point.on_top().minor()),
            least: least(point.pieces) == Some(point.total.minor()),
        };
        Some(LandedView {
            said: self.w.speech.landed_at(self.shop, &ways, price.pieces).unwrap_or_default(),
            pieces: quantities.iter().map(u32::to_string).collect(),
            ways: ways
                .iter()
                .map(|way| LandedWayView {
                    name: self.w.speech.landed_name(self.shop, way),
                    points: quantities.iter().filter_map(|pieces| way.at(*pieces)).map(point).collect(),
                })
                .collect(),
        })
    }

    /// As the plan said it; `None` where the shop no longer has one of the transfers.
    fn landed_way(&self, one: &LandedPart) -> Option<Landed> {
        let money = |minor: i64| Money::new(minor, self.reader.currency);
        let point = |point: &LandedPointPart| LandedPoint {
            pieces: point.pieces,
            ready: point.ready,
            on_hand: point.on_hand,
            goods: money(point.goods),
            set_up: money(point.set_up),
            top_up: money(point.top_up),
            handling: money(point.handling),
            freight: money(point.freight),
            rush: money(point.rush),
            total: money(point.total),
            work: Duration::from_s(point.work_s).unwrap_or_default(),
        };
        Some(Landed {
            making: match one.making.as_deref() {
                Some("cut-in-shop") => Some(trade::Way::CutInShop),
                Some("printed-in-shop") => Some(trade::Way::PrintedInShop),
                Some("bought") => Some(trade::Way::Bought),
                _ => None,
            },
            transfers: one.transfers.iter().map(|id| self.shop.find_transfer(id)).collect::<Option<Vec<_>>>()?,
            points: one.points.iter().map(point).collect(),
        })
    }

    pub(super) fn ladders(&self, part: &OrderPart) -> Vec<LadderView> {
        let w = self.w;
        let mut all = Vec::new();
        for (nth, line) in part.lines.iter().enumerate() {
            let Some(price) = &line.price else { continue };
            let mut costs: Vec<(String, String)> = price
                .costs
                .iter()
                .map(|cost| (w.code(&cost.what), html(&Fig::money(w, &self.reader, &cost.amount))))
                .collect();
            costs.push((w.t("web.cost-all"), self.money(price.cost)));
            all.push(LadderView {
                title: w.ab("web.ladder-of", nth + 1, self.garment(&line.garment)),
                title_bare: w.ab("web.change-line", nth + 1, self.garment(&line.garment)),
                rungs: price.ladder.iter().map(|rung| self.rung(price, rung)).collect(),
                costs,
                landed: self.landed(price),
            });
        }
        all
    }
}

pub(crate) fn way_name(w: &Tongue, way: &str) -> String {
    match way {
        "stronger" => w.t("web.way-stronger"),
        "finest" => w.t("web.way-finest"),
        _ => w.t("web.way-everyday"),
    }
}
