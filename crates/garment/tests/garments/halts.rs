//! Every rule that stops planning, with its source; each against a garment that
//! is like it but free of the mark.

use crate::bench::{cloth, shop, size, style};
use garment::{HaltCase, Position, codes, halts};
use report::{Code, Finding, Severity, Value};
use trade::Kind;

fn found(garment: &str, size_name: Option<&str>, kind: Option<Kind>, children: bool) -> Vec<Finding> {
    let shop = shop();
    let style = style(&shop, garment);
    halts(&HaltCase {
        style,
        size: size_name.map(|name| size(style, name)),
        colour: &style.colours[0],
        cloth: cloth(&shop, style),
        position: Some(Position::FullFront),
        kind,
        said_for_children: children,
    })
}

fn rule(findings: &[Finding], code: Code) -> Option<(Severity, String)> {
    let finding = findings.iter().find(|finding| finding.code == code)?;
    let rule = finding.quantities.iter().find(|q| q.name == "rule")?;
    match &rule.value {
        Value::Text(text) => Some((finding.severity, text.clone())),
        _ => None,
    }
}

/// Garment, size, kind, said for children; the code, its severity, what its rule must name; a garment without it.
/// Sources as named in the rule itself; the numbers were read in official summaries of them.
type Row<'a> = (&'a str, Option<&'a str>, Option<Kind>, bool, Code, Severity, &'a str, &'a str);

#[test]
fn every_rule_stops_and_names_its_source() {
    let rows: &[Row<'_>] = &[
        ("sleepwear", Some("Y-M"), None, false, codes::HALT_SLEEPWEAR, Severity::Ask, "16 CFR 1615", "tee"),
        ("child-hoodie", Some("Y-M"), None, false, codes::HALT_HOOD_CORD, Severity::Ask, "16 CFR 1120", "hoodie"),
        ("child-hoodie", Some("Y-M"), None, false, codes::HALT_HOOD_CORD, Severity::Ask, "EN 14682", "hoodie"),
        ("child-hoodie", Some("Y-M"), None, false, codes::HALT_WAIST_CORD, Severity::Ask, "16 CFR 1120", "coach"),
        ("hoodie", None, None, true, codes::HALT_HOOD_CORD, Severity::Ask, "16 CFR 1120", "tee"),
        ("vis-vest", None, None, false, codes::HALT_HIGH_VISIBILITY, Severity::Ask, "ISO 20471", "vest"),
        ("vis-vest", None, None, false, codes::HALT_HIGH_VISIBILITY, Severity::Ask, "ANSI/ISEA 107", "vest"),
        ("fire-shirt", None, None, false, codes::HALT_FLAME_RESISTANT, Severity::Ask, "ISO 11612", "shirt"),
        ("fire-shirt", None, None, false, codes::HALT_FLAME_RESISTANT, Severity::Ask, "NFPA 2112", "shirt"),
        ("guard-shell", None, None, false, codes::HALT_PROTECTIVE, Severity::Ask, "certificate", "bomber"),
        ("lab-shirt", None, None, false, codes::HALT_TREATED, Severity::Ask, "finisher", "shirt"),
        ("bib", None, None, false, codes::HALT_BIB, Severity::Ask, "16 CFR 1307", "apron"),
        ("bib", None, Some(Kind::ScreenMade), false, codes::HALT_PHTHALATES, Severity::Ask, "16 CFR 1307", "apron"),
        ("child-cover", Some("small"), None, false, codes::HALT_FACE_COVER, Severity::Ask, "CWA 17553", "face-cover"),
        ("child-apron", None, None, false, codes::HALT_CHILD, Severity::Ask, "16 CFR 1303", "apron"),
        ("child-apron", None, None, false, codes::HALT_CHILD, Severity::Ask, "14(a)(2)", "apron"),
        ("tee", Some("Y-M"), None, false, codes::HALT_CHILD, Severity::Ask, "CPSIA section 101", "tee"),
        (
            "tee",
            Some("12m"),
            Some(Kind::Glitter),
            false,
            codes::NOTE_SMALL_PARTS,
            Severity::Warning,
            "16 CFR 1501",
            "tee",
        ),
        ("lawn-tee", None, None, false, codes::NOTE_FLAMMABILITY, Severity::Warning, "16 CFR 1610", "tee"),
        ("face-cover", None, None, false, codes::NOTE_FACE_COVER, Severity::Note, "CWA 17553", "bib"),
        ("tee", None, None, false, codes::NOTE_DECLARATION, Severity::Note, "2018/1513", "tote"),
    ];
    for (garment, size, kind, children, code, severity, source, free) in rows {
        let (got, rule_name) = rule(&found(garment, *size, *kind, *children), *code)
            .unwrap_or_else(|| panic!("{garment}: {code:?} is not raised"));
        assert_eq!(got, *severity, "{garment} {code:?}");
        assert!(rule_name.contains(source), "{code:?}: “{rule_name}” does not name {source}");
        assert!(rule(&found(free, None, None, false), *code).is_none(), "{free} has {code:?} too");
    }
}

/// 16 CFR 1610.1(d): exempt from 2.6 oz/yd² = 88.2 g/m², or wholly of polyester and the like.
#[test]
fn light_polyester_is_exempt_from_the_flammability_test() {
    assert!(rule(&found("light-top", None, None, false), codes::NOTE_FLAMMABILITY).is_none());
    assert!(rule(&found("tee", None, None, false), codes::NOTE_FLAMMABILITY).is_none());
}

/// 16 CFR 423 asks for care instructions that stay readable.
#[test]
fn a_print_at_the_nape_minds_the_label() {
    let shop = shop();
    let style = style(&shop, "tee");
    let case = |position| HaltCase {
        style,
        size: None,
        colour: &style.colours[0],
        cloth: cloth(&shop, style),
        position: Some(position),
        kind: None,
        said_for_children: false,
    };
    assert!(rule(&halts(&case(Position::Nape)), codes::NOTE_LABEL).is_some_and(|(_, r)| r.contains("16 CFR 423")));
    assert!(rule(&halts(&case(Position::FullBack)), codes::NOTE_LABEL).is_none());
}

#[test]
fn an_adult_tee_stops_nowhere() {
    assert!(found("tee", Some("M"), Some(Kind::CutFilm), false).iter().all(|f| f.severity < Severity::Ask));
}
