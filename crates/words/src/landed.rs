//! What prints cost to have here, in words.

use crate::{Speech, clean};
use plan::{Landed, LandedPoint};
use report::{Code, Named, Value};
use trade::{Shop, Way};
use units::Money;

impl Speech {
    /// How the prints are got: "Plain film, own film".
    pub fn landed_name(&self, shop: &Shop, one: &Landed) -> String {
        let name = clean(&one.name(shop));
        let code = match one.making {
            Some(Way::CutInShop) => "papers.landed-cut",
            Some(Way::PrintedInShop) => "papers.landed-printed",
            Some(Way::Bought) => "papers.landed-bought",
            None => return name,
        };
        self.say(Code(code), &[text("transfers", name)])
    }

    /// What it comes to, and what of it is not goods: "28.00 EUR, of which 12.00 EUR freight".
    pub fn landed_sum(&self, point: &LandedPoint) -> String {
        let parts = [
            ("papers.landed-set-up", point.set_up),
            ("papers.landed-freight", point.freight),
            ("papers.landed-handling", point.handling),
            ("papers.landed-minimum", point.top_up),
            ("papers.landed-rush", point.rush),
        ];
        let amount = |(code, money): &(&'static str, Money)| {
            self.say(Code(code), &[Named { name: "amount", value: Value::Money(*money) }])
        };
        let on_top: Vec<String> = parts.iter().filter(|(_, money)| money.minor() != 0).map(amount).collect();
        let mut said = self.money(point.total);
        if !on_top.is_empty() {
            said = self.say(Code("papers.landed-of-which"), &[text("total", said), text("parts", self.list(&on_top))]);
        }
        for (code, count) in [("papers.landed-ready", point.ready), ("papers.landed-on-hand", point.on_hand)] {
            if count > 0 {
                said = self.say(Code(code), &[text("sum", said), Named::count("count", i64::from(count))]);
            }
        }
        said
    }

    /// Every way at one quantity, the line's own first; `None` where none was looked at there.
    pub fn landed_at(&self, shop: &Shop, ways: &[Landed], pieces: u32) -> Option<String> {
        let way = |one: &Landed| Some(format!("{}, {}", self.landed_name(shop, one), self.landed_sum(one.at(pieces)?)));
        let all: Vec<String> = ways.iter().filter_map(way).collect();
        let values = [Named::count("pieces", i64::from(pieces)), text("ways", all.join("; "))];
        (!all.is_empty()).then(|| self.say(Code("papers.landed-at"), &values))
    }
}

fn text(name: &'static str, value: String) -> Named {
    Named { name, value: Value::Text(value) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use units::{Currency, Duration, UnitSystem};

    /// 16.00 of goods and 12.00 of freight are 28.00.
    #[test]
    fn a_sum_says_what_of_it_is_freight() {
        let eur = |minor| Money::new(minor, Currency::new("EUR", 2).expect("a currency"));
        let zero = eur(0);
        let bought = LandedPoint {
            pieces: 6,
            ready: 0,
            on_hand: 0,
            goods: eur(1600),
            set_up: zero,
            top_up: zero,
            handling: zero,
            freight: eur(1200),
            rush: zero,
            total: eur(2800),
            work: Duration::ZERO,
        };
        let speech = Speech::english(UnitSystem::Metric);
        assert_eq!(speech.landed_sum(&bought), "28.00 EUR, of which 12.00 EUR freight");
        assert_eq!(bought.on_top(), eur(1200));
        let film = LandedPoint { freight: zero, handling: eur(150), goods: eur(750), total: eur(900), ..bought };
        assert_eq!(speech.landed_sum(&film), "9.00 EUR, of which 1.50 EUR handling");
        let ready = LandedPoint { goods: zero, freight: zero, total: zero, ready: 7, ..bought };
        assert_eq!(speech.landed_sum(&ready), "0.00 EUR (7 ready on the shelf)");
        let left_over = LandedPoint { ready: 0, on_hand: 1, ..ready };
        assert_eq!(speech.landed_sum(&left_over), "0.00 EUR (1 piece of film or sheet on hand)");
    }
}
