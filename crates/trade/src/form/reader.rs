//! Reads single values of a form; what is wrong is told and a stand-in goes on.
//!
//! Stand-ins never leave this room: with one fault told, no shop is returned.

use super::fault::{Faults, meant};
use super::texts::{Quantity, Text, Worded, Written, shown};
use crate::{FibreShare, Marked};
use jiff::civil::{Date, Time};
use std::collections::BTreeMap;
use std::ops::RangeInclusive;
use units::{Currency, Money, Share};

/// Names of the items of each list, in the order of their file.
pub(super) type Names = BTreeMap<&'static str, Vec<String>>;

/// Reads the values of one file.
pub(super) struct Reader<'a> {
    pub faults: Faults<'a>,
    pub names: &'a Names,
    pub currency: Currency,
}

impl Reader<'_> {
    /// A quantity within a range given in its own unit.
    pub fn quantity<Q: Quantity>(&mut self, written: &Written<Q>, range: RangeInclusive<f64>) -> Q {
        let at = written.text.at;
        match Q::read(&written.text.value) {
            Err(what) => {
                let (what, remedy) = what.split_once("; ").unwrap_or((&what, "look at it again"));
                self.faults.tell(at, what, capital(remedy));
            }
            Ok(quantity) if range.contains(&quantity.number()) => return quantity,
            Ok(_) => self.faults.tell(
                at,
                format!("“{}” is out of range", shown(&written.text.value)),
                format!("Write {} to {} {}", range.start(), range.end(), Q::UNIT),
            ),
        }
        Q::default()
    }

    /// A quantity that may be left out; then the default stands, marked as one.
    pub fn or_default<Q: Quantity>(
        &mut self,
        written: Option<&Written<Q>>,
        range: RangeInclusive<f64>,
        default: Marked<Q>,
    ) -> Marked<Q> {
        written.map_or(default, |written| Marked::shop(self.quantity(written, range)))
    }

    /// A bare number within a range.
    pub fn number(&mut self, at: usize, number: f64, range: RangeInclusive<f64>, unit: &str) -> f64 {
        if range.contains(&number) {
            return number;
        }
        self.faults.tell(
            at,
            format!("{number} is out of range"),
            format!("Write {} to {} {unit}", range.start(), range.end()),
        );
        *range.start()
    }

    /// A whole number within a range.
    pub fn count(&mut self, at: usize, number: u32, range: RangeInclusive<u32>) -> u32 {
        if !range.contains(&number) {
            let remedy = format!("Write {} to {}", range.start(), range.end());
            self.faults.tell(at, format!("{number} is out of range"), remedy);
        }
        number
    }

    /// An amount, not below nothing.
    pub fn money(&mut self, written: &Written<Money>) -> Money {
        let text = &written.text;
        match units::read_money(&text.value, self.currency) {
            Ok(money) if (0..=MOST_MINOR).contains(&money.minor()) => money,
            Ok(_) => {
                self.faults.tell(
                    text.at,
                    format!("“{}” is out of range", shown(&text.value)),
                    "Write 0 or more, and no more than a price can be",
                );
                Money::zero(self.currency)
            }
            Err(_) => {
                let (code, decimals) = (self.currency.code().to_owned(), self.currency.decimals());
                self.faults.tell(
                    text.at,
                    format!("“{}” is not an amount in {code}", shown(&text.value)),
                    format!("Write digits with at most {decimals} decimals, like \"18.40\""),
                );
                Money::zero(self.currency)
            }
        }
    }

    /// A share that stays below the whole.
    pub fn part(&mut self, written: &Written<Share>) -> Share {
        self.quantity(written, 0.0..=99.0)
    }

    /// A name by which files call an item: small letters, digits, hyphens.
    pub fn id(&mut self, text: &Text) -> String {
        let fine = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        if text.value.is_empty() || text.value.len() > 64 || !text.value.chars().all(fine) {
            self.faults.tell(
                text.at,
                format!("“{}” cannot be used as an id", shown(&text.value)),
                "Write 1 to 64 small letters a–z, digits and hyphens",
            );
        }
        text.value.clone()
    }

    /// A text for people.
    pub fn name(&mut self, text: &Text) -> String {
        if text.value.trim().is_empty() || text.value.chars().count() > 300 || text.value.chars().any(char::is_control)
        {
            self.faults.tell(
                text.at,
                format!("“{}” cannot be shown as a name", shown(&text.value)),
                "Write 1 to 300 characters on one line",
            );
        }
        text.value.clone()
    }

    /// The place of the item that `text` names in a list.
    pub fn refer(&mut self, list: &'static str, text: &Text) -> usize {
        let known: &[String] = self.names.get(list).map_or(&[], Vec::as_slice);
        if let Some(at) = known.iter().position(|name| *name == text.value) {
            return at;
        }
        let remedy = meant(&text.value, known.iter().map(String::as_str));
        self.faults.tell(text.at, format!("there is no {list} “{}”", shown(&text.value)), remedy);
        0
    }

    /// "#1F4E9A" as red, green, blue.
    pub fn rgb(&mut self, text: &Text) -> [u8; 3] {
        let digits =
            text.value.strip_prefix('#').filter(|hex| hex.len() == 6 && hex.bytes().all(|b| b.is_ascii_hexdigit()));
        match digits.and_then(|hex| u32::from_str_radix(hex, 16).ok()) {
            Some(number) => {
                let [_, red, green, blue] = number.to_be_bytes();
                [red, green, blue]
            }
            None => {
                self.faults.tell(
                    text.at,
                    format!("“{}” is not a colour", shown(&text.value)),
                    "Write it like \"#1F4E9A\"",
                );
                [0; 3]
            }
        }
    }

    /// "08:30".
    pub fn time(&mut self, text: &Text) -> Time {
        Time::strptime("%H:%M", &text.value).unwrap_or_else(|_| {
            self.faults.tell(
                text.at,
                format!("“{}” is not a time of day", shown(&text.value)),
                "Write it like \"08:30\"",
            );
            Time::midnight()
        })
    }

    /// "2026-12-24"; a year of four digits, as it is written back.
    pub fn date(&mut self, text: &Text) -> Date {
        let day = Date::strptime("%Y-%m-%d", &text.value).ok().filter(|day| (1000..=9999).contains(&day.year()));
        day.unwrap_or_else(|| {
            self.faults.tell(text.at, format!("“{}” is not a day", shown(&text.value)), "Write it like \"2026-12-24\"");
            Date::constant(2000, 1, 1)
        })
    }

    /// "80 % cotton", as a sewn-in label says it.
    pub fn fibres(&mut self, at: usize, texts: &[Text]) -> Vec<FibreShare> {
        let mut shares: Vec<FibreShare> = texts.iter().filter_map(|text| self.fibre(text)).collect();
        if shares.len() < texts.len() {
            return shares;
        }
        let sum: u32 = shares.iter().map(|share| u32::from(share.percent)).sum();
        if sum != 100 {
            self.faults.tell(at, format!("the fibres sum to {sum} %"), "Make them sum to 100 %");
        }
        for (later, share) in shares.iter().enumerate() {
            if shares[..later].iter().any(|earlier| earlier.fibre == share.fibre) {
                self.faults.tell(
                    texts[later].at,
                    format!("{} is named twice", share.fibre.word()),
                    "Name each fibre once",
                );
            }
        }
        shares.sort_by_key(|share| std::cmp::Reverse(share.percent));
        shares
    }

    fn fibre(&mut self, text: &Text) -> Option<FibreShare> {
        let refused = || {
            (format!("“{}” is not a share of a fibre", shown(&text.value)), "Write it like \"80 % cotton\"".to_owned())
        };
        let Some((number, word)) = text.value.split_once('%') else {
            let (what, remedy) = refused();
            self.faults.tell(text.at, what, remedy);
            return None;
        };
        let percent = number.trim().parse::<u8>().ok().filter(|percent| (1..=100).contains(percent));
        let word = word.trim().to_lowercase();
        match (percent, crate::Fibre::from_word(&word)) {
            (Some(percent), Some(fibre)) => Some(FibreShare { fibre, percent }),
            (None, _) => {
                let (what, _) = refused();
                self.faults.tell(text.at, what, "Write a whole percent from 1 to 100 before the fibre");
                None
            }
            (_, None) => {
                let known = crate::Fibre::WORDS.iter().map(|(word, _)| *word);
                self.faults.tell(text.at, format!("“{}” is not a fibre", shown(&word)), meant(&word, known));
                None
            }
        }
    }
}

/// About 10¹² minor units: no price is more, and sums stay countable.
const MOST_MINOR: i64 = 1_000_000_000_000;

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}
