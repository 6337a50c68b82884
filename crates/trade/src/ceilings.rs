//! How hot a platen may be set for a cloth: a quick check before the heat model.
//!
//! These are platen settings, common practice, no source; a shop may set its
//! own. The heat model checks the temperature of the cloth itself. The care
//! label is shown to a person and is not a ceiling.

use crate::{Cloth, Dye, Fibre, FibreShare, Kind, Marked, Structure, Surface, codes};
use report::{Code, Origin, Reason, Value};
use units::Temperature;

/// Whether the print is lighter than the cloth below it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PrintShade {
    /// Some of the print is lighter: wandering dye would show.
    Lighter,
    /// None of it is.
    NotLighter,
}

impl PrintShade {
    /// Compares the lightest colour of a print with the cloth's colour, both sRGB.
    ///
    /// Relative luminance of sRGB, IEC 61966-2-1 (coefficients and curve as
    /// restated in WCAG 2.2, "relative luminance"). A difference below 0.02
    /// counts as none.
    pub fn between(lightest_of_print: [u8; 3], cloth: [u8; 3]) -> Self {
        if luminance(lightest_of_print) > luminance(cloth) + 0.02 { Self::Lighter } else { Self::NotLighter }
    }
}

/// What happens above a ceiling.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Bearing {
    /// Go on, with a warning and a sample held back.
    Caution,
    /// No setting above it.
    Firm,
    /// Not pressed at all, at any setting.
    Refuse,
}

/// One limit on the platen's setting, and why.
#[derive(Debug, Clone, PartialEq)]
pub struct Ceiling {
    /// The setting not to be passed; for [`Bearing::Refuse`] where harm begins.
    pub limit: Marked<Temperature>,
    /// What happens above it.
    pub bearing: Bearing,
    /// Which rule sets it; the sentence uses `cloth`, `fibre`, `surface`, `dye` and `limit`.
    pub rule: Code,
    /// The fibre it comes from, when it comes from one.
    pub fibre: Option<Fibre>,
}

impl Ceiling {
    /// The ceiling as a reason whose sentence can be shown.
    pub fn reason(&self, cloth: &Cloth, dye: Dye) -> Reason {
        let source = self.limit.source.clone().unwrap_or_default();
        let mut reason = Reason::new(self.rule)
            .sourced("limit", Value::Temperature(self.limit.value), self.limit.origin, source)
            .from("cloth", Value::Text(cloth.name.clone()), Origin::Shop)
            .from("surface", Value::Term(codes::surface(cloth.surface)), Origin::Shop)
            .from("dye", Value::Term(codes::dye(dye)), Origin::Shop);
        let fibre = self.fibre.or(cloth.fibres.first().map(|share| share.fibre));
        if let Some(fibre) = fibre {
            reason = reason.from("fibre", Value::Term(codes::fibre(fibre)), Origin::Shop);
        }
        reason
    }
}

/// Every limit that this cloth sets for a transfer of `kind`, the lowest first.
///
/// `dye` is that of the garment's colour.
pub fn platen_ceilings(cloth: &Cloth, dye: Dye, print: PrintShade, kind: Kind) -> Vec<Ceiling> {
    let mut all = Vec::new();
    if kind == Kind::Sublimation {
        all.push(sublimation(cloth, dye));
    } else {
        all.extend(cloth.fibres.iter().filter(|share| share.percent >= TRACE_PERCENT).map(|share| fibre(*share, dye)));
        all.extend(blend(cloth));
        all.extend(elastane(cloth));
        all.extend(migration(cloth, dye, print));
    }
    all.extend(cloth.fibres.iter().filter_map(|share| caution(share.fibre)));
    all.extend(surface(cloth));
    all.sort_by(|a, b| {
        a.limit.value.c().total_cmp(&b.limit.value.c()).then(b.bearing.cmp(&a.bearing)).then(a.rule.cmp(&b.rule))
    });
    all
}

/// The limit that binds: a refusal first, else the lowest firm one.
pub fn platen_ceiling(cloth: &Cloth, dye: Dye, print: PrintShade, kind: Kind) -> Ceiling {
    let all = platen_ceilings(cloth, dye, print, kind);
    let refused = all.iter().find(|ceiling| ceiling.bearing == Bearing::Refuse);
    let firm = all.iter().find(|ceiling| ceiling.bearing == Bearing::Firm);
    refused.or(firm).cloned().unwrap_or_else(|| at(FABRIC_TOP_C, Bearing::Firm, codes::CEILING_FIBRE, None))
}

/// Whether polyester rules the cloth's behaviour: two thirds or more of it.
pub fn is_polyester_rich(cloth: &Cloth) -> bool {
    cloth.percent(Fibre::Polyester) >= RICH_PERCENT
}

/// Usual stretch in wear of a structure, as a fraction.
///
/// Common practice: wovens hardly stretch, a tee about 30 %, leggings 60 %.
pub fn usual_stretch(structure: Structure) -> Marked<f64> {
    Marked::default_practice(match structure {
        Structure::Woven => 0.03,
        Structure::Nonwoven => 0.02,
        Structure::Jersey | Structure::Pique | Structure::Mesh => 0.30,
        Structure::Fleece => 0.20,
        Structure::Rib => 0.50,
        Structure::ElasticKnit => 0.60,
    })
}

/// Below this share a fibre does not set a ceiling.
const TRACE_PERCENT: u8 = 5;
/// From this share polyester counts as the cloth.
const RICH_PERCENT: u8 = 65;
/// From this share polyester in a blend can lend dye to a light print.
const BLEND_PERCENT: u8 = 20;
/// Above this share elastane sets a ceiling of its own.
const ELASTANE_PERCENT: u8 = 10;
/// No garment press goes higher on cloth.
const FABRIC_TOP_C: f64 = 205.0;

fn fibre(share: FibreShare, dye: Dye) -> Ceiling {
    let dyed = dye != Dye::Undyed;
    let limit = match share.fibre {
        Fibre::Cotton | Fibre::Linen if dyed => 180.0,
        Fibre::Cotton | Fibre::Linen => 200.0,
        Fibre::Viscose => 170.0,
        Fibre::Wool => 150.0,
        Fibre::Silk => 140.0,
        Fibre::Polyester => 160.0,
        Fibre::Nylon6 => 150.0,
        Fibre::Nylon66 => 160.0,
        Fibre::Acrylic => 125.0,
        Fibre::Acetate => 120.0,
        // A small share of elastane rides along with its blend.
        Fibre::Elastane => FABRIC_TOP_C,
        Fibre::Polypropylene => {
            return at(115.0, Bearing::Refuse, codes::REFUSE_POLYPROPYLENE, Some(Fibre::Polypropylene));
        }
    };
    at(limit, Bearing::Firm, codes::CEILING_FIBRE, Some(share.fibre))
}

/// Cotton, polyester and viscose together bear less than each alone.
fn blend(cloth: &Cloth) -> Option<Ceiling> {
    let three = [Fibre::Cotton, Fibre::Polyester, Fibre::Viscose].iter().all(|&fibre| cloth.percent(fibre) > 0);
    three.then(|| at(150.0, Bearing::Firm, codes::CEILING_BLEND, None))
}

fn elastane(cloth: &Cloth) -> Option<Ceiling> {
    (cloth.percent(Fibre::Elastane) > ELASTANE_PERCENT)
        .then(|| at(150.0, Bearing::Firm, codes::CEILING_ELASTANE, Some(Fibre::Elastane)))
}

/// Disperse dye is mobile at any press setting; a lighter print shows it, often
/// only days later.
fn migration(cloth: &Cloth, dye: Dye, print: PrintShade) -> Option<Ceiling> {
    let polyester = Some(Fibre::Polyester);
    if print == PrintShade::NotLighter || cloth.percent(Fibre::Polyester) < BLEND_PERCENT {
        return None;
    }
    match (dye, is_polyester_rich(cloth)) {
        (Dye::Sublimated, _) => Some(at(125.0, Bearing::Firm, codes::CEILING_MIGRATION_SUBLIMATED, polyester)),
        (Dye::Dark, true) => Some(at(135.0, Bearing::Firm, codes::CEILING_MIGRATION, polyester)),
        (Dye::Unknown, true) => Some(at(135.0, Bearing::Firm, codes::CAUTION_DYE_UNKNOWN, polyester)),
        (Dye::Dark, false) => Some(at(135.0, Bearing::Caution, codes::CAUTION_MIGRATION_BLEND, polyester)),
        (Dye::Unknown, false) => Some(at(135.0, Bearing::Caution, codes::CAUTION_DYE_UNKNOWN, polyester)),
        (Dye::Undyed | Dye::Light, _) => None,
    }
}

fn caution(fibre: Fibre) -> Option<Ceiling> {
    let (limit, rule) = match fibre {
        Fibre::Nylon6 | Fibre::Nylon66 => (130.0, codes::CAUTION_NYLON_TEST),
        Fibre::Wool | Fibre::Silk => (130.0, codes::CAUTION_WOOL),
        Fibre::Acetate => (110.0, codes::CAUTION_ACETATE),
        _ => return None,
    };
    Some(at(limit, Bearing::Caution, rule, Some(fibre)))
}

fn surface(cloth: &Cloth) -> Option<Ceiling> {
    let (limit, bearing, rule) = match cloth.surface {
        Surface::Plain => return None,
        Surface::WaterRepellent => (150.0, Bearing::Firm, codes::CEILING_REPELLENT),
        Surface::Laminate => (135.0, Bearing::Firm, codes::CEILING_LAMINATE),
        Surface::VinylCoated => (120.0, Bearing::Refuse, codes::REFUSE_VINYL),
        Surface::Foam => (120.0, Bearing::Refuse, codes::REFUSE_FOAM),
        Surface::Pile => (150.0, Bearing::Firm, codes::CEILING_PILE),
        Surface::Treated => (120.0, Bearing::Refuse, codes::REFUSE_TREATED),
    };
    Some(at(limit, bearing, rule, None))
}

/// Dye goes into light polyester; its settings are beyond the other ceilings.
fn sublimation(cloth: &Cloth, dye: Dye) -> Ceiling {
    let takes = is_polyester_rich(cloth) && matches!(dye, Dye::Undyed | Dye::Light);
    if takes {
        at(FABRIC_TOP_C, Bearing::Firm, codes::CEILING_FIBRE, Some(Fibre::Polyester))
    } else {
        at(160.0, Bearing::Refuse, codes::REFUSE_SUBLIMATION_CLOTH, None)
    }
}

fn at(c: f64, bearing: Bearing, rule: Code, fibre: Option<Fibre>) -> Ceiling {
    Ceiling { limit: Marked::default_practice(Temperature::from_c(c).unwrap_or_default()), bearing, rule, fibre }
}

fn luminance(rgb: [u8; 3]) -> f64 {
    let linear = |channel: u8| {
        let value = f64::from(channel) / 255.0;
        // libm rather than the platform's pow, so that the same bytes come out everywhere.
        if value <= 0.040_45 { value / 12.92 } else { libm::pow((value + 0.055) / 1.055, 2.4) }
    };
    0.2126 * linear(rgb[0]) + 0.7152 * linear(rgb[1]) + 0.0722 * linear(rgb[2])
}

#[cfg(test)]
mod tests {
    use super::*;
    use units::{Length, Mass};

    fn cloth(fibres: &[(Fibre, u8)], surface: Surface) -> Cloth {
        Cloth {
            id: "c".into(),
            name: "c".into(),
            fibres: fibres.iter().map(|&(fibre, percent)| FibreShare { fibre, percent }).collect(),
            mass: Mass::from_g_m2(150.0).expect("finite"),
            pressed_thickness: Marked::default_practice(Length::ZERO),
            structure: Structure::Jersey,
            surface,
            working_stretch: Marked::default_practice(0.3),
            regain: None,
        }
    }

    /// Ceilings by fibre, surface and dye: common practice, no source. A light
    /// print on dark polyester is held to 135 °C though the fibre bears 160 °C;
    /// a blend is only cautioned.
    #[test]
    fn the_ceiling_that_binds() {
        use PrintShade::{Lighter, NotLighter};
        let polyester = [(Fibre::Polyester, 100)];
        let blend = [(Fibre::Cotton, 60), (Fibre::Polyester, 40)];
        type Case<'a> = (&'a [(Fibre, u8)], Surface, Dye, PrintShade, Kind, f64, Bearing);
        let cases: &[Case<'_>] = &[
            (&[(Fibre::Cotton, 100)], Surface::Plain, Dye::Undyed, Lighter, Kind::CutFilm, 200.0, Bearing::Firm),
            (&[(Fibre::Cotton, 100)], Surface::Plain, Dye::Dark, Lighter, Kind::CutFilm, 180.0, Bearing::Firm),
            (&polyester, Surface::Plain, Dye::Dark, Lighter, Kind::CutFilm, 135.0, Bearing::Firm),
            (&polyester, Surface::Plain, Dye::Dark, NotLighter, Kind::CutFilm, 160.0, Bearing::Firm),
            (&polyester, Surface::Plain, Dye::Sublimated, Lighter, Kind::CutFilm, 125.0, Bearing::Firm),
            (&polyester, Surface::Plain, Dye::Undyed, NotLighter, Kind::Sublimation, 205.0, Bearing::Firm),
            (&polyester, Surface::Plain, Dye::Dark, NotLighter, Kind::Sublimation, 160.0, Bearing::Refuse),
            (&blend, Surface::Plain, Dye::Dark, Lighter, Kind::ScreenMade, 160.0, Bearing::Firm),
            (&blend, Surface::Pile, Dye::Dark, Lighter, Kind::ScreenMade, 150.0, Bearing::Firm),
            (&[(Fibre::Polypropylene, 100)], Surface::Plain, Dye::Dark, Lighter, Kind::CutFilm, 115.0, Bearing::Refuse),
            (
                &[(Fibre::Nylon66, 100)],
                Surface::WaterRepellent,
                Dye::Dark,
                Lighter,
                Kind::RepellentGrade,
                150.0,
                Bearing::Firm,
            ),
            (
                &[(Fibre::Nylon66, 100)],
                Surface::Laminate,
                Dye::Dark,
                Lighter,
                Kind::RepellentGrade,
                135.0,
                Bearing::Firm,
            ),
            (&[(Fibre::Polyester, 100)], Surface::Foam, Dye::Undyed, NotLighter, Kind::CutFilm, 120.0, Bearing::Refuse),
        ];
        for (at, (fibres, surface, dye, print, kind, limit, bearing)) in cases.iter().enumerate() {
            let found = platen_ceiling(&cloth(fibres, *surface), *dye, *print, *kind);
            assert!((found.limit.value.c() - limit).abs() < 1e-9, "case {at}: {found:?}");
            assert_eq!(found.bearing, *bearing, "case {at}");
            assert_eq!(found.limit.origin, Origin::Default, "case {at}");
        }
    }

    #[test]
    fn a_dark_blend_under_a_light_print_is_cautioned() {
        let all = platen_ceilings(
            &cloth(&[(Fibre::Cotton, 50), (Fibre::Polyester, 50)], Surface::Plain),
            Dye::Dark,
            PrintShade::Lighter,
            Kind::CutFilm,
        );
        assert!(all.iter().any(|c| c.rule == codes::CAUTION_MIGRATION_BLEND && c.bearing == Bearing::Caution));
    }

    /// Relative luminance of mid grey #777777 is 0.184 (WCAG 2.2 formula by hand:
    /// 119/255 = 0.4667; ((0.4667 + 0.055)/1.055)^2.4 = 0.1845).
    #[test]
    fn lightness_is_compared_as_seen() {
        assert!((luminance([0x77; 3]) - 0.1845).abs() < 5e-4);
        assert_eq!(PrintShade::between([255; 3], [0; 3]), PrintShade::Lighter);
        assert_eq!(PrintShade::between([0; 3], [20, 30, 90]), PrintShade::NotLighter);
    }
}
