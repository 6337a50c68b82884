//! Where planning stops until a person has answered, with the rule's name.
//!
//! Local law and the customer's contract come first; this warns and records, it
//! certifies nothing. Each finding carries the rule by name in `rule`.

use crate::codes;
use crate::position::Position;
use report::{Code, Finding, Severity};
use trade::{
    Age, Band, Cloth, Feature, Fibre, GarmentClass, GarmentColour, GarmentSize, GarmentStyle, Kind, Regulated,
    Structure, Surface,
};

/// What is to be judged.
#[derive(Debug, Clone, Copy)]
pub struct HaltCase<'a> {
    /// The style.
    pub style: &'a GarmentStyle,
    /// The size, when it is known: a youth size makes a child's garment.
    pub size: Option<&'a GarmentSize>,
    /// The colour.
    pub colour: &'a GarmentColour,
    /// The cloth of that colour.
    pub cloth: &'a Cloth,
    /// Where the print goes.
    pub position: Option<Position>,
    /// The transfer's family, when one is looked at.
    pub kind: Option<Kind>,
    /// Whether a person said that children will wear it.
    pub said_for_children: bool,
}

impl HaltCase<'_> {
    fn band(&self) -> Option<Band> {
        self.size.map(|size| size.band)
    }

    /// Up to 3 years.
    fn infant(&self) -> bool {
        self.style.age == Age::Infant || matches!(self.band(), Some(Band::Infant | Band::Toddler))
    }

    /// Up to 12 years, by the style, the size or a person's word.
    fn child(&self) -> bool {
        self.said_for_children || self.infant() || self.style.age == Age::Child || self.band() == Some(Band::Youth)
    }

    fn sleepwear(&self) -> bool {
        self.style.class == GarmentClass::ChildSleepwear || self.style.regulated.contains(&Regulated::ChildSleepwear)
    }

    fn is(&self, regulated: Regulated) -> bool {
        self.style.regulated.contains(&regulated)
    }
}

/// 16 CFR 1610.1(d): plain fabrics from 2.6 oz/yd², 88.2 g/m² at 33.906 g/m² each, need no test.
const LIGHT_G_M2: f64 = 2.6 * 33.906;

/// What stops this line until a person has answered (`Ask`), and what is to be
/// known besides (`Warning`, `Note`); in a fixed order, the gravest first.
pub fn halts(case: &HaltCase<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    let mut ask = |when: bool, code: Code, remedy: Code, rule: &str| {
        if when {
            found.push(finding(case, Severity::Ask, code, remedy, rule));
        }
    };
    let (child, style) = (case.child(), case.style);
    ask(case.sleepwear(), codes::HALT_SLEEPWEAR, codes::HALT_REFUSE, "16 CFR 1615 and 1616");
    ask(
        child && style.has(Feature::HoodCord),
        codes::HALT_HOOD_CORD,
        codes::HALT_REFUSE,
        "16 CFR 1120 (hood and neck, 2T to 12); EN 14682",
    );
    ask(
        child && style.has(Feature::WaistCord),
        codes::HALT_WAIST_CORD,
        codes::HALT_ANSWER,
        "16 CFR 1120 (waist and bottom, 2T to 16); EN 14682",
    );
    ask(
        case.is(Regulated::HighVisibility),
        codes::HALT_HIGH_VISIBILITY,
        codes::HALT_CONSENT,
        "ISO 20471; EN 17353; ANSI/ISEA 107",
    );
    ask(case.is(Regulated::FlameResistant), codes::HALT_FLAME_RESISTANT, codes::HALT_CONSENT, "ISO 11612; NFPA 2112");
    ask(case.is(Regulated::Protective), codes::HALT_PROTECTIVE, codes::HALT_CONSENT, "the garment's own certificate");
    ask(
        case.cloth.surface == Surface::Treated && !case.is(Regulated::FlameResistant),
        codes::HALT_TREATED,
        codes::HALT_CONSENT,
        "the finisher's own conditions; ISO 11612 where flame-retardant",
    );
    ask(style.class == GarmentClass::Bib, codes::HALT_BIB, codes::HALT_REPORT, "CPSIA section 108; 16 CFR 1307");
    ask(plastisol_for_infant(case), codes::HALT_PHTHALATES, codes::HALT_REPORT, "CPSIA section 108; 16 CFR 1307.3");
    ask(
        case.style.class == GarmentClass::FaceCover && case.infant(),
        codes::HALT_FACE_COVER,
        codes::HALT_REFUSE,
        "CWA 17553:2020",
    );
    ask(
        child,
        codes::HALT_CHILD,
        codes::HALT_REPORT,
        "CPSIA section 101; 16 CFR 1303; CPSA section 14(a)(2) and 14(a)(5)",
    );
    found.extend(notes(case));
    found
}

/// Screen-made and puff transfers may be plastisol: none on bibs and infants' sleepwear without a report.
fn plastisol_for_infant(case: &HaltCase<'_>) -> bool {
    let plastisol = matches!(case.kind, Some(Kind::ScreenMade | Kind::Puff));
    let care_article = case.style.class == GarmentClass::Bib || (case.sleepwear() && case.infant());
    plastisol && care_article
}

fn finding(case: &HaltCase<'_>, severity: Severity, code: Code, remedy: Code, rule: &str) -> Finding {
    Finding::new(severity, code, remedy)
        .named("garment", case.style.name.clone())
        .named("colour", case.colour.name.clone())
        .named("rule", rule)
}

fn notes(case: &HaltCase<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    let mut note = |when: bool, severity, code, remedy, rule: &str| {
        if when {
            found.push(finding(case, severity, code, remedy, rule));
        }
    };
    let clothing = !matches!(case.style.class, GarmentClass::Tote);
    note(
        clothing && may_flame(case.cloth),
        Severity::Warning,
        codes::NOTE_FLAMMABILITY,
        codes::NOTE_FLAMMABILITY_REMEDY,
        "16 CFR 1610",
    );
    note(
        case.infant() && matches!(case.kind, Some(Kind::Glitter | Kind::Flock | Kind::Metallic | Kind::Puff)),
        Severity::Warning,
        codes::NOTE_SMALL_PARTS,
        codes::NOTE_SMALL_PARTS_REMEDY,
        "16 CFR 1501",
    );
    note(
        case.style.class == GarmentClass::FaceCover && !case.infant(),
        Severity::Note,
        codes::NOTE_FACE_COVER,
        codes::NOTE_FACE_COVER_REMEDY,
        "CWA 17553:2020",
    );
    note(
        case.position == Some(Position::Nape) && case.style.has(Feature::NeckLabel),
        Severity::Warning,
        codes::NOTE_LABEL,
        codes::NOTE_LABEL_REMEDY,
        "16 CFR 423; ISO 3758:2023",
    );
    note(
        clothing,
        Severity::Note,
        codes::NOTE_DECLARATION,
        codes::NOTE_DECLARATION_REMEDY,
        "REACH Annex XVII entry 72, Regulation (EU) 2018/1513",
    );
    found
}

/// Light plain cloth, or raised-fibre cloth, that is not wholly of fibres that 16 CFR 1610.1(d) exempts.
fn may_flame(cloth: &Cloth) -> bool {
    let exempt = |fibre| {
        matches!(
            fibre,
            Fibre::Acrylic | Fibre::Nylon6 | Fibre::Nylon66 | Fibre::Polypropylene | Fibre::Polyester | Fibre::Wool
        )
    };
    let all_exempt = cloth.fibres.iter().all(|share| exempt(share.fibre));
    let raised = cloth.structure == Structure::Fleece || cloth.surface == Surface::Pile;
    !all_exempt && (raised || cloth.mass.g_m2() < LIGHT_G_M2)
}
