//! Sheets laid out and what is bought.

use super::{Picture, Show};
use crate::form::plan::{ItemPart, LinePart, PoolPart, PurchasePart, WhyInput};
use crate::parts::Fig;

pub(in crate::pages::order) struct PoolView {
    pub title: String,
    pub cost: Fig,
    pub said: String,
    pub sheets: Vec<Picture>,
}

pub(in crate::pages::order) struct BuyView {
    pub supplier: String,
    pub items: Vec<String>,
    /// What is charged beside the goods.
    pub beside: Vec<String>,
    /// Where buying more costs less.
    pub more: Vec<String>,
    pub by: Fig,
    pub arrives: String,
    pub total: Fig,
}

impl Show<'_> {
    pub(super) fn pool(&self, pool: &PoolPart) -> PoolView {
        let w = self.w;
        let colour = pool.colour.as_deref().map(|colour| format!(", {}", words::clean(colour))).unwrap_or_default();
        let used = if pool.paid_mm2 > 0.0 { pool.art_mm2 / pool.paid_mm2 } else { 0.0 };
        let bound = match pool.cost.value.saturating_sub(pool.lower_bound) {
            gap if gap <= 0 => w.t("web.least-possible"),
            _ => w.a("web.bound", self.money(pool.lower_bound)),
        };
        let mut said = vec![w.speech.counted(pool.sheets.len() as u64, "sheet or length", "sheets and lengths")];
        said.push(w.a("web.film-used", w.speech.percent(used)));
        said.push(bound);
        if !pool.complete {
            said.push(w.t("web.not-all-laid"));
        }
        let alt = format!("{} {}", self.transfer(&pool.transfer), colour.trim_start_matches(", "));
        PoolView {
            title: format!("{}{colour}", self.transfer(&pool.transfer)),
            cost: Fig::money(w, &self.reader, &pool.cost),
            said: said.join(" · "),
            sheets: self.sheets(pool, alt.trim()),
        }
    }

    fn sheets(&self, pool: &PoolPart, alt: &str) -> Vec<Picture> {
        let mut all = self.pictures(&format!("pictures/sheet-{}-", pool.key), alt);
        // Lengths from a roll of more than a metre are read across the page.
        let long = pool.sheets.iter().any(|sheet| sheet.used_length_mm > 1000.0);
        for picture in &mut all {
            picture.wide = long;
            // "…/sheet-a-3-make-2.svg" is the third sheet of a.
            let bare = picture.src.rsplit(&format!("sheet-{}-", pool.key)).next().unwrap_or("");
            let nth: String = bare.chars().take_while(char::is_ascii_digit).collect();
            picture.close = format!("/orders/{}/sheets/{}/{nth}", self.order.id, pool.key);
            picture.alt = self.w.ab("web.sheet-of", nth, &picture.alt);
        }
        all.sort_by_key(|picture| picture.close.rsplit('/').next().and_then(|nth| nth.parse::<u32>().ok()));
        all
    }

    pub(super) fn purchases(&self) -> Vec<BuyView> {
        let w = self.w;
        let all = self.file.purchases.iter().map(|buy| BuyView {
            supplier: words::clean(
                self.shop.find_supplier(&buy.supplier).map_or(&buy.supplier, |id| &self.shop.supplier(id).name),
            ),
            items: buy
                .items
                .iter()
                .map(|item| {
                    let name = match self.shop.find_stock(&item.what) {
                        Some(id) => words::clean(&self.shop.stock_item(id).name),
                        None => self.garment(&item.what),
                    };
                    let more: Vec<&str> =
                        [&item.colour, &item.size].into_iter().flatten().map(String::as_str).collect();
                    let more =
                        if more.is_empty() { String::new() } else { format!(", {}", words::clean(&more.join(", "))) };
                    let whose = self.whose(item);
                    format!("{} × {name}{more} · {}{whose}", item.quantity, self.money(item.total))
                })
                .collect(),
            beside: self.beside(buy),
            more: buy.more.iter().flat_map(|figure| &figure.why).map(|why| self.reader.rule(why)).collect(),
            by: Fig::moment(w, &self.reader, &buy.order_by),
            arrives: w.day(&buy.arrives),
            total: self.worked(self.money(buy.total), "web.why-bought", self.bought_inputs(buy)),
        });
        all.collect()
    }

    /// What a purchase is made of.
    fn bought_inputs(&self, buy: &PurchasePart) -> Vec<WhyInput> {
        let w = self.w;
        let parts = [buy.goods, buy.set_up, buy.freight, buy.handling, buy.top_up];
        let known = parts.iter().fold(0_i64, |sum, part| sum.saturating_add(*part));
        let names = [
            ("web.goods", buy.goods),
            ("web.set-up-of-layouts", buy.set_up),
            ("web.freight", buy.freight),
            ("web.handling", buy.handling),
            ("web.to-the-minimum", buy.top_up),
            ("web.rush-or-second", buy.total.saturating_sub(known)),
        ];
        let input =
            |(label, minor): (&'static str, i64)| self.input(w.t(label), self.money(minor), report::Origin::Shop);
        names.into_iter().filter(|(_, minor)| *minor != 0).map(input).collect()
    }

    /// What a supplier charges beside its goods, each with its amount.
    fn beside(&self, buy: &PurchasePart) -> Vec<String> {
        let parts = [
            ("papers.landed-set-up", buy.set_up),
            ("papers.landed-freight", buy.freight),
            ("papers.landed-handling", buy.handling),
            ("papers.landed-minimum", buy.top_up),
        ];
        let said = |(code, minor): (&str, i64)| {
            let amount = report::Value::Money(units::Money::new(minor, self.reader.currency));
            self.reader.say(code, &[("amount".to_owned(), amount)])
        };
        parts.into_iter().filter(|(_, minor)| *minor != 0).map(said).collect()
    }

    /// Which of the orders planned together an item is bought for; empty where there is but one.
    fn whose(&self, item: &ItemPart) -> String {
        let w = self.w;
        if self.file.orders.len() < 2 {
            return String::new();
        }
        let name = |at: usize| self.names.get(at).cloned().unwrap_or_default();
        let said: Vec<String> = if self.shop.find_stock(&item.what).is_some() {
            let pools =
                self.file.pools.iter().filter(|pool| {
                    pool.colour == item.colour && pool.sheets.iter().any(|sheet| sheet.stock == item.what)
                });
            let users: std::collections::BTreeSet<usize> =
                pools.flat_map(|pool| &pool.designs).flat_map(|design| &design.uses).map(|of| of.order).collect();
            users.into_iter().map(name).collect()
        } else {
            self.blank_for(item).into_iter().map(name).collect()
        };
        if said.is_empty() { String::new() } else { format!(" · {}", w.a("web.bought-for", w.speech.list(&said))) }
    }

    /// The orders that a blank is bought for. Blanks are bought line by line in the orders' own order, so that of like
    /// items the first is the first line's that has it; where they were put together, all of these orders are named.
    fn blank_for(&self, item: &ItemPart) -> Vec<usize> {
        let key = |one: &ItemPart| (one.what.clone(), one.colour.clone(), one.size.clone());
        let wanted = key(item);
        let of_line = |line: &LinePart| {
            let same = line.garment == item.what && Some(&line.colour) == item.colour.as_ref();
            let sized = line.sizes.iter().any(|size| size.count > 0 && Some(&size.size) == item.size.as_ref());
            same && sized && !line.brought && line.state == "planned"
        };
        let orders = self.file.orders.iter().enumerate();
        let mut users: Vec<usize> =
            orders.flat_map(|(at, order)| order.lines.iter().filter(|line| of_line(line)).map(move |_| at)).collect();
        let like = self.file.purchases.iter().flat_map(|buy| &buy.items).filter(|one| key(one) == wanted);
        let like: Vec<&ItemPart> = like.collect();
        match like.iter().position(|one| std::ptr::eq(*one, item)) {
            Some(nth) if like.len() == users.len() => users.get(nth).copied().into_iter().collect(),
            _ => {
                users.dedup();
                users
            }
        }
    }
}
