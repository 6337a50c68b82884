//! What an order really took, beside what was quoted, and writing it down.

use crate::answer::{Answer, Fault, on_to};
use crate::app::Ctx;
use crate::ask::{Ask, Fields};
use crate::pages::edit::{back_with, refused};
use crate::pages::order::Aside;
use crate::tongue::Tongue;
use desk::kept::{BOUGHT, ComparedCost, Comparison, Deed, DeedError, KeptOrder, WORK};
use std::collections::BTreeMap;
use store::form::{RealCosts, Work};
use units::{Currency, Money, read_money};

/// A kind of cost: as quoted, a field for how it was, and what that makes of it.
pub(crate) struct TookRow {
    pub name: String,
    pub quoted: String,
    pub quoted_work: String,
    /// The field's name and what stands in it.
    pub field: String,
    pub typed: String,
    /// What the field is written in.
    pub unit: String,
    pub real: String,
    pub difference: String,
}

pub(crate) struct TookView {
    pub rows: Vec<TookRow>,
    /// The sum, in the same columns.
    pub sum: TookRow,
    /// Label, as quoted, as it was.
    pub facts: Vec<(String, String, String)>,
    pub sheets: String,
    pub spoiled: String,
    pub note: String,
    /// What counts as quoted because nobody wrote it down.
    pub open: String,
}

/// The comparison of an order that has been pressed, or that something was written down for; `None` before, and where
/// there is no plan to compare with. `typed` is what a person typed that could not be taken.
pub(crate) fn view(ctx: &Ctx<'_>, order: &KeptOrder, typed: Option<&Fields>) -> Result<Option<TookView>, Fault> {
    let standing = &order.form.standing;
    if standing.work == Work::Open && standing.real.is_none() {
        return Ok(None);
    }
    let found = match ctx.kept().compare_costs(&order.id) {
        Ok(found) => found,
        Err(DeedError::Missing { .. }) => return Ok(None),
        Err(error) => return Err(error.into()),
    };
    let known = standing.real.clone().unwrap_or_default();
    Ok(Some(Taking { w: &ctx.w, found: &found, known: &known, typed }.view()))
}

struct Taking<'a> {
    w: &'a Tongue,
    found: &'a Comparison,
    known: &'a RealCosts,
    typed: Option<&'a Fields>,
}

impl Taking<'_> {
    fn view(&self) -> TookView {
        let (w, found) = (self.w, self.found);
        let currency = found.net.currency();
        let bought = BOUGHT.iter().map(|(word, what)| {
            let known = self.known.money.get(*word).copied().flatten();
            let typed = known.map(|minor| plain(minor, currency)).unwrap_or_default();
            self.row(w.speech.term(*what), self.of(what.0), format!("money-{word}"), typed, currency.code().to_owned())
        });
        let work = WORK.iter().map(|(word, what)| {
            let known = self.known.work_s.get(*word).copied().flatten();
            let typed = known.map(minutes).unwrap_or_default();
            self.row(
                w.speech.term(*what),
                self.of(what.0),
                format!("minutes-{word}"),
                typed,
                w.t("web.minutes").to_lowercase(),
            )
        });
        let known = |name: &str, count: Option<u32>| {
            self.typed_or(name, count.map(|count| count.to_string()).unwrap_or_default())
        };
        let open: Vec<String> = found.open.iter().map(|what| w.speech.term(*what).to_lowercase()).collect();
        TookView {
            rows: bought.chain(work).collect(),
            sum: TookRow {
                name: w.t("web.cost-all"),
                quoted: w.speech.money(found.quoted),
                quoted_work: self.time(found.work.0.s()),
                field: String::new(),
                typed: self.time(found.work.1.s()),
                unit: String::new(),
                real: w.speech.money(found.real),
                difference: found.real.minus(found.quoted).map_or_else(|_| String::new(), |less| self.signed(less)),
            },
            facts: self.facts(),
            sheets: known("sheets", self.known.sheets),
            spoiled: known("spoiled", self.known.spoiled),
            note: self.typed_or("note", words::clean(&self.known.note)),
            open: if open.is_empty() { String::new() } else { w.a("web.took-open", w.speech.list(&open)) },
        }
    }

    fn of(&self, code: &str) -> Option<&ComparedCost> {
        self.found.rows.iter().find(|row| row.what.0 == code)
    }

    fn row(&self, name: String, row: Option<&ComparedCost>, field: String, typed: String, unit: String) -> TookRow {
        let w = self.w;
        TookRow {
            name,
            quoted: row.map(|row| w.speech.money(row.quoted)).unwrap_or_default(),
            quoted_work: row.map(|row| self.time(row.quoted_work.s())).unwrap_or_default(),
            typed: self.typed_or(&field, typed),
            field,
            unit,
            real: row.and_then(|row| row.real).map(|real| w.speech.money(real)).unwrap_or_default(),
            difference: row.and_then(|row| row.difference).map(|less| self.signed(less)).unwrap_or_default(),
        }
    }

    fn facts(&self) -> Vec<(String, String, String)> {
        let (w, found) = (self.w, self.found);
        let mut all = Vec::new();
        if let Some((quoted, real)) = found.kept {
            all.push((w.t("web.took-stays"), w.speech.percent(quoted), w.speech.percent(real)));
        }
        if let (Some(quoted), Some(real)) = found.earns {
            all.push((w.t("web.earns"), w.speech.money(quoted), w.speech.money(real)));
        }
        let used = found.sheets.1.map_or_else(|| "–".to_owned(), |used| used.to_string());
        all.push((w.t("web.took-sheets"), found.sheets.0.to_string(), used));
        all.push((w.t("web.took-spoiled"), "–".to_owned(), found.spoiled.to_string()));
        all
    }

    fn typed_or(&self, field: &str, known: String) -> String {
        self.typed.filter(|typed| typed.has(field)).map_or(known, |typed| typed.get(field).to_owned())
    }

    fn time(&self, s: f64) -> String {
        if s > 0.0 { self.w.s(s) } else { String::new() }
    }

    fn signed(&self, money: Money) -> String {
        format!("{}{}", if money.minor() > 0 { "+" } else { "" }, self.w.speech.money(money))
    }
}

/// "28.40", to be typed over.
fn plain(minor: i64, currency: Currency) -> String {
    let per = currency.minor_per_major().max(1);
    match usize::from(currency.decimals()) {
        0 => minor.to_string(),
        decimals => format!("{}.{:0decimals$}", minor / per, minor % per),
    }
}

/// "45", "12.5": minutes of so many seconds, to be typed over.
fn minutes(s: i64) -> String {
    let tenths = (s * 10 + 30) / 60;
    if tenths % 10 == 0 { (tenths / 10).to_string() } else { format!("{}.{}", tenths / 10, tenths % 10) }
}

/// Writes down what it took; a field that is left empty is open.
pub(crate) fn keep(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let id = ask.part(0);
    let currency = ctx.kept().shop()?.value.currency;
    let done =
        read(&ask.fields, currency).and_then(|took| ctx.kept().record_costs(id, ask.version(), &took, &ctx.hand()));
    match done {
        Ok(_) => Ok(on_to(&format!("/orders/{id}#took"))),
        Err(error) => back_with(ctx, id, &error, Aside { took: Some(ask.fields.clone()), ..Aside::default() }),
    }
}

fn read(fields: &Fields, currency: Currency) -> Deed<RealCosts> {
    let mut work_s = BTreeMap::new();
    for (word, _) in WORK {
        let name = format!("minutes-{word}");
        let seconds = match fields.get(&name) {
            "" => None,
            typed => Some(seconds(fields.decimal(&name), typed)?),
        };
        work_s.insert(word.to_owned(), seconds);
    }
    let mut money = BTreeMap::new();
    for (word, _) in BOUGHT {
        let minor = match fields.get(&format!("money-{word}")) {
            "" => None,
            typed => Some(minor(typed, currency)?),
        };
        money.insert(word.to_owned(), minor);
    }
    let count = |name: &str| match fields.get(name) {
        "" => Ok(None),
        typed => typed.parse::<u32>().map(Some).map_err(|_| no_count(typed)),
    };
    let note = fields.get("note").to_owned();
    Ok(RealCosts { work_s, money, sheets: count("sheets")?, spoiled: count("spoiled")?, note })
}

fn seconds(minutes: Option<f64>, typed: &str) -> Deed<i64> {
    let known = minutes.filter(|minutes| (0.0..=1e6).contains(minutes));
    // Within a million minutes the product is a whole number that holds.
    known.map(|minutes| (minutes * 60.0).round() as i64).ok_or_else(|| {
        DeedError::Refused(refused("web.no-minutes", "web.no-minutes-remedy").named("typed", words::clean(typed)))
    })
}

fn minor(typed: &str, currency: Currency) -> Deed<i64> {
    let read = read_money(typed, currency).map(|money| money.minor());
    read.map_err(|_| {
        DeedError::Refused(refused("web.no-money", "web.no-money-remedy").named("typed", words::clean(typed)))
    })
}

fn no_count(typed: &str) -> DeedError {
    DeedError::Refused(refused("web.no-count", "web.no-count-remedy").named("typed", words::clean(typed)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(pairs: &[(&str, &str)]) -> Fields {
        Fields(pairs.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect())
    }

    #[test]
    fn minutes_and_invoices_as_people_write_them() {
        let eur = Currency::new("EUR", 2).expect("a currency");
        let took = read(
            &typed(&[("minutes-press", "12,5"), ("money-transfers", "28,4"), ("sheets", "3"), ("minutes-art", " ")]),
            eur,
        )
        .expect("read");
        assert_eq!((took.work_s["press"], took.work_s["art"]), (Some(750), None));
        assert_eq!((took.money["transfers"], took.sheets), (Some(2840), Some(3)));
        for pair in [("minutes-press", "a while"), ("minutes-press", "-1"), ("money-loss", "much"), ("sheets", "1.5")] {
            assert!(matches!(read(&typed(&[pair]), eur), Err(DeedError::Refused(_))), "{pair:?}");
        }
    }

    #[test]
    fn what_was_kept_is_typed_over() {
        let yen = Currency::new("JPY", 0).expect("a currency");
        let eur = Currency::new("EUR", 2).expect("a currency");
        assert_eq!([plain(2840, eur), plain(5, eur), plain(1200, yen)], ["28.40", "0.05", "1200"]);
        assert_eq!([minutes(2700), minutes(750), minutes(0)], ["45", "12.5", "0"]);
    }
}
