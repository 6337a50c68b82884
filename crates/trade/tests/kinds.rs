//! Families of transfers: what is usual, and what is warned about.

use report::Origin;
use trade::{
    Kind, MakerRange, Marked, Peel, PressStep, PressureClass, Reading, Recipe, RecipeStep, StepRole, Way, codes, kinds,
};
use units::{Duration, Temperature};

fn press(role: StepRole, c: f64, s: f64, cover: Option<bool>) -> RecipeStep {
    let (c, s) = (Temperature::from_c(c).expect("finite"), Duration::from_s(s).expect("finite"));
    RecipeStep::Press(PressStep {
        role,
        temperature: MakerRange { low: c, set: c, high: c },
        dwell: MakerRange { low: s, set: s, high: s },
        pressure: PressureClass::Medium,
        cover,
        from_inside: false,
    })
}

fn recipe(steps: Vec<RecipeStep>) -> Recipe {
    Recipe {
        source: "sheet".to_owned(),
        reference_cloth: None,
        for_fibres: Vec::new(),
        for_surfaces: Vec::new(),
        activation: None,
        bears: Marked::default_practice(Temperature::ZERO),
        steps,
    }
}

fn warned(kind: Kind, steps: Vec<RecipeStep>) -> Vec<&'static str> {
    kinds::unusual(kind, "transfer", &recipe(steps)).into_iter().map(|finding| finding.code.0).collect()
}

/// Four makers' sheets as they are written in the trade; common practice, no
/// source: elastic low-temperature film 138 °C (280 °F), hot peel; repellent
/// grade 135 °C (275 °F), hot peel, no cover; nylon grade in two visits, tack
/// 2 s, cold peel, 10 s under cover; full-colour sheet 149 °C (300 °F), 12 to
/// 15 s under cover, cold peel.
#[test]
fn four_usual_sheets_are_accepted_without_a_warning() {
    use RecipeStep::{Place, SetAside};
    let hot = || RecipeStep::Peel(Peel::Hot);
    let cold = || RecipeStep::Peel(Peel::Cold);
    let elastic = || vec![Place, press(StepRole::Full, 138.0, 10.0, None), hot()];
    assert!(warned(Kind::StretchFilm, elastic()).is_empty());
    assert!(warned(Kind::LowTemperatureFilm, elastic()).is_empty());
    let repellent = vec![Place, press(StepRole::Full, 135.0, 12.0, Some(false)), hot()];
    assert!(warned(Kind::RepellentGrade, repellent).is_empty());
    let tack = press(StepRole::Tack, 140.0, 2.0, None);
    let nylon = vec![Place, tack, SetAside, cold(), press(StepRole::Full, 140.0, 10.0, Some(true))];
    assert!(warned(Kind::NylonGrade, nylon).is_empty());
    for seconds in [12.0, 15.0] {
        let sheet = || vec![Place, press(StepRole::Full, 149.0, seconds, Some(true)), SetAside, cold()];
        for kind in [Kind::PowderAdhesive, Kind::Hybrid] {
            assert!(warned(kind, sheet()).is_empty(), "{kind:?} {seconds}");
        }
    }
}

/// What lies outside the usual ranges is warned about, never changed.
#[test]
fn unusual_recipes_are_warned_about() {
    use RecipeStep::Place;
    let one = |c, s, peel| vec![Place, press(StepRole::Full, c, s, None), RecipeStep::Peel(peel)];
    assert_eq!(warned(Kind::CutFilm, one(180.0, 12.0, Peel::Hot)), [codes::UNUSUAL_TEMPERATURE.0]);
    assert_eq!(warned(Kind::CutFilm, one(155.0, 30.0, Peel::Hot)), [codes::UNUSUAL_DWELL.0]);
    assert_eq!(warned(Kind::CutFilm, one(155.0, 12.0, Peel::Cold)), [codes::UNUSUAL_PEEL.0]);
    assert_eq!(warned(Kind::Glitter, one(160.0, 16.0, Peel::Hot)), [codes::UNUSUAL_PRESSURE.0]);
    let mut twice = one(160.0, 10.0, Peel::Hot);
    twice.push(press(StepRole::Second, 160.0, 4.0, None));
    assert_eq!(warned(Kind::Puff, twice), [codes::UNUSUAL_PRESSES.0]);
    let bare = vec![Place, press(StepRole::Full, 150.0, 12.0, Some(false)), RecipeStep::Peel(Peel::Cold)];
    assert_eq!(warned(Kind::Reflective, bare), [codes::UNUSUAL_NO_COVER.0]);
}

/// Cut film is cut reversed; print-and-cut is not; a bought sheet reads right
/// unless its printer says otherwise; makes of nylon and repellent grade differ.
#[test]
fn reading_is_a_rule_of_family_way_and_printer() {
    for (kind, way, printer, expected) in [
        (Kind::CutFilm, Way::CutInShop, None, Some(Reading::Reversed)),
        (Kind::Flock, Way::CutInShop, None, Some(Reading::Reversed)),
        (Kind::PrintAndCut, Way::PrintedInShop, None, Some(Reading::Right)),
        (Kind::PowderAdhesive, Way::Bought, None, Some(Reading::Right)),
        (Kind::PowderAdhesive, Way::Bought, Some(Reading::Reversed), Some(Reading::Reversed)),
        (Kind::Sublimation, Way::PrintedInShop, None, Some(Reading::Reversed)),
        (Kind::NylonGrade, Way::CutInShop, None, None),
        (Kind::RepellentGrade, Way::CutInShop, None, None),
    ] {
        assert_eq!(kinds::generic(kind).reading_for(way, printer), expected, "{kind:?} {way:?} {printer:?}");
    }
}

#[test]
fn every_family_has_sound_values() {
    assert_eq!(kinds::all().len(), 15);
    for known in kinds::all() {
        assert_eq!(kinds::generic(known.kind), known);
        for press in known.presses {
            assert!(
                press.temperature_c.0 < press.temperature_c.1 && press.dwell_s.0 < press.dwell_s.1,
                "{:?}",
                known.kind
            );
            assert!(!press.peels.is_empty(), "{:?}", known.kind);
        }
        assert!(known.pressure.0 <= known.pressure.1 && known.minimums_mm.0 > 0.0, "{:?}", known.kind);
        assert!(known.good_on.iter().all(|fibre| !known.avoid.contains(fibre)), "{:?}", known.kind);
        assert_eq!(known.coolest().origin, Origin::Default);
    }
}
