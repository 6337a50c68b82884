//! From the plan to the plain text of each paper.

mod costing;
mod press_plan;
mod purchase;
mod quote;
mod shop_floor;
mod steps;
mod ticket;

pub(crate) use costing::costing;
pub(crate) use press_plan::press_plan;
pub(crate) use purchase::{purchases, sheets};
pub(crate) use quote::quote;
pub(crate) use shop_floor::{care, packing, places, record};
pub(crate) use ticket::tickets;

use crate::form::{Film, Frame, Head, Size};
use crate::{Page, PaperError, Papers};
use plan::{LinePlan, LineState, OrderPlan, PrintPlan};
use report::{Code, Finding, Named, Reason, Severity, Value};
use trade::{Colours, TestOn, Transfer};
use units::{Money, Temperature};

/// Characters of a word after which a line may break: file names have no spaces.
const BREAK_AFTER: usize = 18;
/// Characters of the foot's left end that fit beside its other parts.
const FOOT: usize = 56;

impl<'a> Papers<'a> {
    /// What stands on every page; `title` is the key of the paper's name.
    fn frame(&self, title: &'static str, order: &str) -> Frame {
        let order = shown(order);
        let shop = shown(&self.shop.name);
        Frame {
            paper: match self.page {
                Page::A4 => "a4",
                Page::Letter => "us-letter",
            },
            language: match self.speech.language() {
                words::Language::English => "en",
            },
            say: self.speech.section("papers").collect(),
            invented: self.shop.invented,
            head: Head {
                title: self.speech.term(Code(title)),
                foot: shortened(&if order.is_empty() { shop.clone() } else { format!("{shop} · {order}") }, FOOT),
                address: self.shop.address.iter().map(|line| shown(line)).collect(),
                mark: self.pictures.mark.clone(),
                shop,
                order,
            },
        }
    }

    fn order(&self, order: usize) -> Result<&'a OrderPlan, PaperError> {
        let orders = self.plan.orders.len();
        self.plan.orders.get(order).ok_or(PaperError::NoSuchOrder { order, orders })
    }

    fn say(&self, code: &'static str, values: &[Named]) -> String {
        self.speech.say(Code(code), values)
    }

    /// A label by its key, as it stands.
    fn label(&self, code: &'static str) -> String {
        self.speech.term(Code(code))
    }

    /// Where something lies in the shop; where nobody noted it, that.
    fn shelf_place(&self, place: &str) -> String {
        if place.is_empty() { self.label("papers.no-place") } else { place.to_owned() }
    }

    /// What the test pieces of an order are made on, as the value `on` of a sentence.
    fn test_on(&self, order: &OrderPlan) -> Named {
        let on = match order.test_piece.on {
            TestOn::Garment => "papers.test-on-garment",
            TestOn::Offcut => "papers.test-on-offcut",
            TestOn::InsideHem => "papers.test-on-inside-hem",
        };
        Named { name: "on", value: Value::Term(Code(on)) }
    }

    fn money(&self, money: Money) -> String {
        tight(&self.speech.money(money))
    }

    /// The amount without the letters of its currency.
    fn bare(&self, money: Money) -> String {
        let text = self.speech.money(money);
        text.rsplit_once(' ').map_or(text.clone(), |(amount, _)| amount.to_owned())
    }

    fn temperature(&self, temperature: Temperature) -> String {
        tight(&self.speech.temperature(temperature))
    }

    fn pieces(&self, count: u32) -> String {
        if count == 1 {
            self.label("papers.piece-count")
        } else {
            self.say("papers.pieces-count", &[Named::count("count", i64::from(count))])
        }
    }

    fn sizes(&self, line: &LinePlan) -> Vec<Size> {
        let size =
            |size: &plan::SizeCount| Size { size: shown(&size.size), count: self.speech.count(i64::from(size.count)) };
        line.sizes.iter().map(size).collect()
    }

    /// What was found for one line, of the severities asked for: what and what to do.
    fn found(&self, order: usize, line: usize, fit: impl Fn(Severity) -> bool) -> Vec<String> {
        let about = |finding: &&Finding| {
            let subject = finding.subject;
            subject.order.unwrap_or(0) == order && subject.line == Some(line) && fit(finding.severity)
        };
        let said = |finding: &Finding| {
            let said = self.speech.finding(finding);
            shown(&format!("{} {}", said.what, said.remedy))
        };
        let mut all: Vec<String> = Vec::new();
        for text in self.plan.findings.iter().filter(about).map(said) {
            if !all.contains(&text) {
                all.push(text);
            }
        }
        all
    }

    fn pictures(&self, order: usize, line: usize, most: usize) -> Vec<String> {
        self.pictures
            .garments
            .get(&(order, line))
            .map_or(Vec::new(), |views| views.iter().take(most).cloned().collect())
    }

    fn state(&self, state: LineState) -> String {
        self.speech.word(state).to_owned()
    }

    fn transfer(&self, print: &PrintPlan) -> Option<&'a Transfer> {
        print.choice.taken().map(|taken| self.shop.transfer(taken.transfer))
    }

    /// The films of one colour that a print is cut from, the lowest first.
    fn films(&self, print: &PrintPlan) -> Vec<Film> {
        let films = print.choice.taken().map_or(&[][..], |taken| taken.films.as_slice());
        films.iter().map(|film| Film { name: shown(&film.name), rgb: Some(film.rgb) }).collect()
    }

    fn position(&self, print: &PrintPlan) -> String {
        print.position.map_or_else(|| "—".to_owned(), |position| self.speech.term(position.term()))
    }

    fn print_size(&self, print: &PrintPlan) -> Option<String> {
        print.size.map(|size| tight(&self.speech.size(size.width(), size.height())))
    }

    /// The rule of the first reason.
    fn why(&self, reasons: &[Reason]) -> Vec<String> {
        reasons.first().map(|reason| shown(&self.speech.rule(reason))).into_iter().collect()
    }
}

/// Colour of a transfer's film by name.
fn film_rgb(transfer: &Transfer, colour: &str) -> Option<[u8; 3]> {
    match &transfer.colours {
        Colours::Film(films) => films.iter().find(|film| film.name == colour).map(|film| film.rgb),
        Colours::Full { .. } | Colours::Spot { .. } => None,
    }
}

/// Text as people typed it, clean, with places to break within long words.
fn shown(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut run = 0;
    for letter in words::clean(text).chars() {
        run = if letter == ' ' { 0 } else { run + 1 };
        if run > BREAK_AFTER {
            // Zero width space: a chance to break the line, nothing to see.
            out.push('\u{200B}');
            run = 1;
        }
        out.push(letter);
    }
    out
}

/// A value held together on its line; both halves of "149 °C · 300 °F" by themselves.
fn tight(value: &str) -> String {
    value.split(" · ").map(|half| half.replace(' ', "\u{A0}")).collect::<Vec<_>>().join(" · ")
}

/// At most `most` characters, with an ellipsis when something was left off.
fn shortened(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    let mut short: String = text.chars().take(most.saturating_sub(1)).collect();
    short.truncate(short.trim_end().len());
    short.push('…');
    short
}

fn text(name: &'static str, value: impl Into<String>) -> Named {
    Named { name, value: Value::Text(value.into()) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_words_may_break_and_values_may_not() {
        assert_eq!(shown("a\u{7}b  c"), "ab c");
        assert!(shown(&"x".repeat(40)).contains('\u{200B}'));
        assert_eq!(tight("149 °C · 300 °F"), "149\u{A0}°C · 300\u{A0}°F");
        assert_eq!(shortened("kite", 4), "kite");
        assert_eq!(shortened("kites", 4), "kit…");
    }
}
