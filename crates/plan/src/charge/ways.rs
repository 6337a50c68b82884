//! The three ways side by side: each with its own garments, transfers and work.

use super::material::{LineAt, Shares};
use super::{Bench, declared, designs_of, line_basis, running, whole};
use crate::blanks::{BoughtTogether, Rack};
use crate::choose;
use crate::draft::{self, LineDraft};
use crate::offer::Offer;
use crate::planning::{self, asked, taken};
use crate::price::{self, Material};
use crate::result::{Choice, LinePlan, LineState, OrderPrice, WayLine, WayOffer};
use crate::{Way, buy, codes, layout};
use rayon::prelude::*;
use report::{Code, Subject};
use std::collections::BTreeMap;
use trade::{GarmentId, Shop};
use units::{Duration, Money, MoneyError};

/// What a way adds in work.
pub(super) struct Extras {
    /// Once, s: a wash test.
    pub once_s: i64,
    /// Packing counts so many times.
    pub packs: i64,
    pub terms: Vec<Code>,
}

impl Extras {
    pub fn of(way: Way) -> Self {
        // A wash test: cutting, washing, drying and looking, hands-on time (common practice, no source).
        const WASH_TEST_S: i64 = 900;
        match way {
            Way::Everyday => Self { once_s: 0, packs: 1, terms: Vec::new() },
            Way::Stronger => {
                Self { once_s: WASH_TEST_S, packs: 1, terms: vec![codes::EXTRA_LASTING, codes::EXTRA_WASH_TEST] }
            }
            Way::Finest => Self {
                once_s: WASH_TEST_S,
                packs: 2,
                terms: vec![codes::EXTRA_LASTING, codes::EXTRA_WASH_TEST, codes::EXTRA_SINGLE_PACK],
            },
        }
    }
}

/// The three ways side by side: each with its own garments, transfers and work.
pub(crate) fn ways(bench: &Bench<'_>, at: usize, lines: &[LinePlan], price: &OrderPrice) -> Vec<WayOffer> {
    if running(lines).next().is_none() {
        return Vec::new();
    }
    let offer = |way: &Way| {
        if *way == bench.way(at) { Some(own_way(*way, lines, price)) } else { other_way(bench, at, *way, lines).ok() }
    };
    bench.books.crew.run(|| [Way::Everyday, Way::Stronger, Way::Finest].par_iter().filter_map(offer).collect())
}

fn own_way(way: Way, lines: &[LinePlan], price: &OrderPrice) -> WayOffer {
    let of_line = |line: &LinePlan| {
        Some(WayLine {
            garment: line.garment?,
            transfers: line.prints.iter().filter_map(|print| print.choice.taken().map(|c| c.transfer)).collect(),
            extras: Extras::of(way).terms,
            unit: line.price.as_ref()?.unit.value,
        })
    };
    WayOffer {
        way,
        lines: lines.iter().map(of_line).collect(),
        net: price.net.value,
        cost: price.cost,
        work: price.work,
    }
}

/// The style a way is made on: the finer one, for the finest, where it comes in the colour and sizes.
fn style_for(shop: &Shop, way: Way, draft: &LineDraft<'_>) -> Option<GarmentId> {
    let finer = draft.style.finer.filter(|_| way == Way::Finest && !draft.brought)?;
    let style = shop.garment(finer);
    let comes = style.colour(&draft.colour.name).is_some()
        && draft.sizes.iter().all(|(size, _)| style.size(&size.name).is_some());
    comes.then_some(finer)
}

fn other_way(bench: &Bench<'_>, at: usize, way: Way, lines: &[LinePlan]) -> Result<WayOffer, MoneyError> {
    let shop = bench.shop;
    let order = &bench.orders[at];
    let mut drafts: Vec<Option<LineDraft<'_>>> = Vec::new();
    let mut finer: Vec<bool> = Vec::new();
    for (nth, line) in lines.iter().enumerate() {
        let own = bench.drafts[at][nth].as_ref().filter(|_| line.state == LineState::Planned);
        let instead = own.and_then(|own| style_for(shop, way, own)).and_then(|style| {
            let subject = Subject { order: Some(at), line: Some(nth), print: None };
            draft::draft(shop, order, subject, &order.lines[nth], Some(style), bench.arts, &bench.books.shapes)
                .value
                .line
        });
        finer.push(instead.is_some());
        drafts.push(instead.or_else(|| own.cloned()));
    }
    let offered: Vec<Vec<Vec<Offer>>> = drafts
        .iter()
        .map(|line| line.as_ref().map_or_else(Vec::new, |line| planning::offer_line(shop, line, bench.books)))
        .collect();
    let asked = asked(&drafts, &offered);
    let selection = choose::select(shop, &bench.books.shelf, &asked, way).swap_remove(0).taken;
    let mut choices: Vec<Vec<Choice>> = drafts.iter().map(|_| Vec::new()).collect();
    for (ask, taken) in asked.iter().zip(selection) {
        let mut unheard = Vec::new();
        choices[ask.line.subject.line.unwrap_or(0)].push(choose::choice(shop, ask, taken, way, &mut unheard));
    }
    let pieces = drafts.iter().flatten().map(LineDraft::pieces).fold(0, u32::saturating_add);
    let whole_order =
        Other { bench, at, way, drafts: &drafts, offered: &offered, choices: &choices, finer: &finer, pieces };
    whole_order.offer()
}

/// One way being priced.
struct Other<'a, 'b> {
    bench: &'b Bench<'b>,
    at: usize,
    way: Way,
    drafts: &'a [Option<LineDraft<'a>>],
    offered: &'a [Vec<Vec<Offer>>],
    choices: &'a [Vec<Choice>],
    finer: &'a [bool],
    pieces: u32,
}

impl Other<'_, '_> {
    fn offer(&self) -> Result<WayOffer, MoneyError> {
        let shop = self.bench.shop;
        let (mut cost, mut net, mut work) = (Money::zero(shop.currency), Money::zero(shop.currency), Duration::ZERO);
        let (materials, together) = self.materials()?;
        let mut lines = Vec::new();
        for (nth, draft) in self.drafts.iter().enumerate() {
            let priced = match draft {
                Some(draft) => {
                    self.line(nth, (draft, together.beside(draft)), materials.get(&(self.at, nth)).copied())?
                }
                None => None,
            };
            if let Some((_, sums, items)) = &priced {
                cost = cost.plus(sums.0)?;
                net = net.plus(sums.1)?;
                work = work + *items;
            }
            lines.push(priced.map(|(line, _, _)| line));
        }
        let net = super::Terms::of(shop, &self.bench.orders[self.at], net)?.sum;
        let least = shop.pricing.minimum_charge.filter(|_| net.minor() > 0);
        let net = least.filter(|least| least.minor() > net.minor()).unwrap_or(net);
        Ok(WayOffer { way: self.way, lines, net, cost, work })
    }

    /// Sheets and carriage of the order alone, shared as in the plan itself; and what it buys of each style.
    fn materials(&self) -> Result<(BTreeMap<LineAt, Material>, BoughtTogether), MoneyError> {
        let shop = self.bench.shop;
        let mut wanted = Vec::new();
        for (draft, choices) in self.drafts.iter().zip(self.choices) {
            if let (Some(draft), Some(taken)) = (draft, taken(choices)) {
                wanted.extend(layout::wanted(shop, draft, &taken, draft.pieces()));
            }
        }
        let (wanted, _) = self.bench.books.shelf.first(wanted);
        let pools = layout::priced(shop, &wanted, self.bench.look, &self.bench.books.priced);
        let mut basket = buy::Basket::new();
        buy::stock_basket(shop, pools.iter().map(AsRef::as_ref).enumerate(), &mut basket)?;
        let mut shares = Shares::new(shop, &[]);
        let shelf = &self.bench.books.shelf;
        let mut left = shelf.left();
        shares.add_pools(pools.iter().map(AsRef::as_ref))?;
        let mut rack = Rack::default();
        let mut take =
            |draft: &LineDraft<'_>| rack.take(draft, crate::pressing::spare_garments(shop, draft), (shelf, &mut left));
        let lines: Vec<_> = self.drafts.iter().flatten().map(|draft| (draft, take(draft))).collect();
        let together = BoughtTogether::of(lines.iter().map(|(draft, blanks)| (*draft, blanks)));
        for (draft, blanks) in &lines {
            let nth = draft.subject.line.unwrap_or(0);
            let mut own = buy::Basket::new();
            buy::garment_basket(shop, (draft, blanks), &together, &mut own)?;
            for (supplier, parcel) in own {
                shares.add_goods(supplier, (self.at, nth), parcel.goods()?);
                let sum = basket.entry(supplier).or_insert_with(|| buy::Parcel::empty(shop));
                sum.items.extend(parcel.items);
                sum.later.extend(parcel.later);
            }
        }
        for (supplier, parcel) in &basket {
            let goods = parcel.goods()?;
            let extra = buy::carriage(shop.supplier(*supplier), goods)?.sum()?;
            let rush = self.bench.rush(self.at, *supplier, goods)?;
            shares.add_carriage((*supplier, 0), extra.plus(rush)?, |_| true)?;
        }
        Ok((shares.done(), together))
    }

    #[expect(clippy::type_complexity, reason = "a line with its sums, used once")]
    fn line(
        &self,
        nth: usize,
        (draft, beside): (&LineDraft<'_>, u32),
        material: Option<Material>,
    ) -> Result<Option<(WayLine, (Money, Money), Duration)>, MoneyError> {
        let shop = self.bench.shop;
        let Some(taken) = taken(&self.choices[nth]) else { return Ok(None) };
        // Where all of it is on hand, nothing is bought.
        let zero = Money::zero(shop.currency);
        let material = material.unwrap_or(Material { transfers: zero, trimming_s: 0, carriage: zero });
        let mut extras = Extras::of(self.way);
        let weeding = super::weeding_of(shop, &self.choices[nth], &self.offered[nth]);
        let new_art = designs_of(&self.bench.orders[self.at], draft);
        let basis =
            line_basis(shop, (draft, beside), &self.choices[nth], whole(weeding), new_art, self.pieces, &extras)?;
        let costs = price::costs(&basis, draft.pieces(), material, &shop.rates, &shop.spoilage)?;
        let work: Duration = costs.iter().map(|item| item.work).sum();
        let apart = (declared(draft), basis.test.borne(&shop.rates)?);
        let line = price::line_price(draft.pieces(), costs, apart, &shop.pricing, Vec::new())?;
        if self.finer[nth] {
            extras.terms.insert(0, codes::EXTRA_FINER_GARMENT);
        }
        let way = WayLine {
            garment: draft.garment,
            transfers: taken.iter().map(|taken| taken.transfer).collect(),
            extras: extras.terms,
            unit: line.unit.value,
        };
        Ok(Some((way, (line.cost, line.total), work)))
    }
}
