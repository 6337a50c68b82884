use super::*;
use report::Origin;
use std::collections::BTreeSet;
use units::{Area, Currency, Duration, Length, Money, Share, Temperature, TemperatureDifference};

const METRIC: Speech = Speech { language: Language::English, units: UnitSystem::Metric };
const INCH: Speech = Speech { language: Language::English, units: UnitSystem::Inch };

fn mm(mm: f64) -> Length {
    Length::from_mm(mm).expect("finite")
}

/// 1 in = 25.4 mm (international inch, 1959).
#[test]
fn lengths_are_rounded_as_they_are_measured() {
    for (length, metric, inch) in [
        (0.6, "0.6 mm", "0.024 in"),
        (0.254, "0.25 mm", "0.01 in"),
        (12.34, "12.3 mm", "0.49 in"),
        (99.97, "100 mm", "3.94 in"),
        (115.0, "115 mm", "4.53 in"),
        (2350.0, "2.35 m", "92.52 in"),
        (-3.0, "\u{2212}3 mm", "\u{2212}0.12 in"),
        (-0.001, "0 mm", "0 in"),
    ] {
        assert_eq!((METRIC.length(mm(length)), INCH.length(mm(length))), (metric.to_owned(), inch.to_owned()));
    }
    assert_eq!(METRIC.length_both(mm(25.4)), "25.4 mm · 1 in");
    assert_eq!(INCH.size(mm(279.4), mm(381.0)), "11 × 15 in");
}

/// °F = 1.8 °C + 32 for temperatures, Δ°F = 1.8 Δ°C for differences (NIST SP 811, B.8).
#[test]
fn a_difference_has_no_thirty_two() {
    let at = |c| Temperature::from_c(c).expect("finite");
    let by = |k| TemperatureDifference::from_k(k).expect("finite");
    assert_eq!(METRIC.temperature(at(149.0)), "149 °C · 300 °F");
    assert_eq!(INCH.temperature(at(100.0)), "212 °F · 100 °C");
    assert_eq!(METRIC.temperature(at(-40.0)), "\u{2212}40 °C · \u{2212}40 °F");
    assert_eq!(METRIC.temperature_range(at(130.0), at(140.0)), "130 to 140 °C · 266 to 284 °F");
    assert_eq!(METRIC.difference(by(10.0)), "10 °C · 18 °F");
    assert_eq!(INCH.difference(by(2.5)), "4.5 °F · 2.5 °C");
}

#[test]
fn spans_carry_over_when_rounded() {
    for (s, text) in [
        (0.0, "0 s"),
        (4.5, "4.5 s"),
        (9.97, "10 s"),
        (15.0, "15 s"),
        (59.6, "1 min"),
        (270.0, "4 min 30 s"),
        (599.7, "10 min"),
        (3599.0, "1 h"),
        (7500.0, "2 h 5 min"),
        (273_600.0, "3 days 4 h"),
        (-90.0, "\u{2212}1 min 30 s"),
        (-0.01, "0 s"),
    ] {
        assert_eq!(METRIC.duration(Duration::from_s(s).expect("finite")), text, "{s}");
    }
}

#[test]
fn amounts_and_numbers() {
    let eur = |minor| Money::new(minor, Currency::new("EUR", 2).expect("a currency"));
    assert_eq!(METRIC.money(eur(1840)), "18.40 EUR");
    assert_eq!(METRIC.money(eur(123_456_789)), "1,234,567.89 EUR");
    assert_eq!(METRIC.money(eur(-1_234_567)), "\u{2212}12,345.67 EUR");
    assert_eq!(METRIC.count(9999), "9999");
    assert_eq!(METRIC.count(i64::MIN), "\u{2212}9,223,372,036,854,775,808");
    assert_eq!(METRIC.percent(0.0035), "0.35 %");
    assert_eq!(METRIC.percent(0.42), "42 %");
    assert_eq!(METRIC.share(Share::from_ppm(77_500).expect("a share")), "7.75 %");
    assert_eq!(METRIC.number(0.123_456), "0.123");
    assert_eq!(METRIC.number(1234.56), "1235");
    assert_eq!(METRIC.area(Area::from_mm2(45_000.0).expect("finite")), "450 cm²");
    assert_eq!(INCH.area(Area::from_mm2(64_516.0).expect("finite")), "100 in²");
}

/// 18 December 2026 is a Friday (ISO 8601 calendar; 1 January 2000 was a Saturday).
#[test]
fn days_and_moments() {
    let date = jiff::civil::date(2026, 12, 18);
    assert_eq!(METRIC.date(date), "Fri 18 Dec 2026");
    assert_eq!(METRIC.moment(date.at(14, 5, 0, 0)), "Fri 18 Dec, 14:05");
}

#[test]
fn lists_read_as_a_person_says_them() {
    let names = |count| (0..count).map(|at| format!("n{at}")).collect::<Vec<_>>();
    assert_eq!(METRIC.list(&names(0)), "none");
    assert_eq!(METRIC.list(&names(1)), "n0");
    assert_eq!(METRIC.list(&names(3)), "n0, n1 and n2");
}

#[test]
fn an_unknown_code_is_shown_and_a_missing_value_marked() {
    assert_eq!(METRIC.term(Code("no-room.no-code")), "no-room.no-code");
    assert_eq!(sentence::fill("the {a} of {b", |_| None), "The — of {b");
    assert_eq!(sentence::fill("{a} {b}", |name| Some(format!("{{{name}}}"))), "{a} {b}");
}

/// A term keeps its case within a sentence and gets a capital at its head.
#[test]
fn terms_stand_within_sentences() {
    let peel = |name| Named { name, value: Value::Term(Code("peel.cold")) };
    let surface = Named { name: "to", value: Value::Term(Code("surface.foam")) };
    let said = METRIC.say(Code("papers.tape-on"), &[surface, peel("from")]);
    assert_eq!(said, "Foam on the cold peel");
    assert_eq!(METRIC.term(Code("peel.cold")), "Cold peel");
}

#[test]
fn control_characters_never_pass() {
    assert_eq!(clean("\u{1b}[31mred\u{7}\r\nnext\u{202E}txt\u{9b}"), "[31mred nexttxt");
    assert_eq!(METRIC.value(&Value::Text("  Café \t Zürich ".into())), "Café Zürich");
    assert_eq!(METRIC.value(&Value::Text("مهرجان الطائرات".into())), "مهرجان الطائرات");
}

#[test]
fn a_reason_names_origin_and_source() {
    let plate = Value::Temperature(Temperature::from_c(150.0).expect("finite"));
    let reason = Reason::new(Code("no-room.rule"))
        .sourced("plate", plate.clone(), Origin::Maker, "card 7")
        .sourced("plate", plate.clone(), Origin::Maker, "maker's sheet, lot 4")
        .from("under-pad", plate, Origin::Default)
        .refusing(Code("no-room.other"));
    assert_eq!(
        METRIC.reason(&reason),
        [
            "no-room.rule",
            "Press setting: 150 °C · 302 °F — maker's sheet, card 7",
            "Press setting: 150 °C · 302 °F — maker's sheet, lot 4",
            "Under pad: 150 °C · 302 °F — shop default",
            "Not taken: no-room.other",
        ]
    );
}

#[test]
fn a_finding_says_what_and_what_to_do() {
    let finding = Finding::new(Severity::Ask, Code("no-room.what"), Code("peel.cold"));
    let said = METRIC.finding(&finding);
    assert_eq!((said.severity, said.what.as_str(), said.remedy.as_str()), ("Question", "no-room.what", "Cold peel"));
    assert_eq!(Named::count("n", 3).value, Value::Count(3));
}

/// Every sentence can be filled, stands once, and blames nobody.
#[test]
fn tables_are_well_formed() {
    let mut seen = BTreeSet::new();
    let tables: Vec<_> = english::TABLES.iter().chain(enums::TABLES).collect();
    assert!(tables.len() > 20);
    for (room, code, text) in tables.iter().flat_map(|(room, table)| table.iter().map(move |(c, t)| (room, c, t))) {
        assert!(seen.insert(*code), "{room}: {code} stands twice");
        assert!(!text.trim().is_empty() && clean(text) == **text, "{code}: {text:?}");
        assert_eq!(text.matches('{').count(), placeholders(text).len(), "{code}: a brace is not closed");
        assert_eq!(text.matches('{').count(), text.matches('}').count(), "{code}: a brace too many");
        for name in placeholders(text) {
            let fit =
                !name.is_empty() && name.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-');
            assert!(fit, "{code}: {{{name}}} is not a name");
        }
        for blame in ["invalid", "error", "oops", "illegal"] {
            assert!(!text.to_lowercase().contains(blame), "{code} says {blame:?}: {text}");
        }
    }
}

/// A spot is told by its middle, a stretch from end to end, from the left and from the lower edge;
/// what lies on no art is told without a place.
#[test]
fn a_finding_on_art_says_where() {
    let at = |code, x: (f64, f64), y: (f64, f64)| {
        let corners = [geometry::Point::new(x.0, y.0), geometry::Point::new(x.1, y.1)];
        let bounds = geometry::Bounds::around(&corners).expect("bounds");
        METRIC.finding(&Finding::new(Severity::Warning, Code(code), Code("peel.cold")).at(bounds)).what
    };
    assert!(
        at("art.specks", (10.0, 11.0), (4.0, 4.4))
            .ends_with(" Where: 10.5 mm from the left, 4.2 mm from the lower edge of the art.")
    );
    assert!(
        at("art.specks", (10.0, 60.0), (4.0, 4.5))
            .ends_with(" Where: 10 mm to 60 mm from the left, 4 mm to 4.5 mm from the lower edge of the art.")
    );
    assert_eq!(at("no-room.what", (0.0, 1.0), (0.0, 1.0)), "no-room.what");
}

/// One piece, two pieces: the word follows the number.
#[test]
fn a_counted_word_follows_its_number() {
    let said = |count| {
        let finding = Finding::new(Severity::Warning, Code("art.weeding-long"), Code("peel.cold"))
            .with("minutes", Value::Text("1 min".to_owned()))
            .with("pieces", Value::Count(count));
        METRIC.finding(&finding).what
    };
    assert!(said(1).contains(": 1 piece of waste."), "{}", said(1));
    assert!(said(2).contains(": 2 pieces of waste."), "{}", said(2));
}
