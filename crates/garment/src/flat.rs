//! From a style and a size to its flat panels.
//!
//! In: a class, its features, a few measures of the size. Out: [`Flat`].
//! Proportions that no measure gives (slope of a shoulder, depth of an armhole,
//! width of a placket) and the heights of steps are common practice, no source;
//! they are named constants so that a shop's own measurement can replace them.

mod body;
mod dress;
mod hood;
mod limbs;
mod small;
mod steps;

use crate::measures::{Measures, ask_for};
use crate::panel::{Flat, Panel, PanelShape};
pub(crate) use limbs::seam_behind;

use crate::codes;
use report::{Finding, Severity, Value};
use trade::{Feature, GarmentClass, GarmentSize, GarmentStyle, Measure};

/// The garment of this size lying flat.
///
/// A panel whose measures are not known is left out and named in
/// [`Flat::missing`]. Err: an `Ask` finding when not even the first panel can be
/// drawn (it names the measure and how to take it with a tape), or when the
/// measures contradict one another.
pub fn flat(style: &GarmentStyle, size: &GarmentSize) -> Result<Flat, Finding> {
    if let Some(clash) = clash(style, size) {
        return Err(clash);
    }
    let measures = Measures::of(size);
    let mut builder = Builder { style, measures: &measures, panels: Vec::new(), missing: Vec::new() };
    match style.class {
        GarmentClass::Apron => builder.add(Panel::Front, small::apron),
        GarmentClass::Tote => builder.add(Panel::Front, small::tote),
        GarmentClass::Cap => builder.add(Panel::CapFront, small::cap),
        GarmentClass::FaceCover => builder.add(Panel::Front, small::face_cover),
        GarmentClass::Bib => builder.add(Panel::Front, small::bib),
        GarmentClass::Sock => builder.add(Panel::Sock, limbs::sock),
        GarmentClass::Legwear => {
            builder.add(Panel::LeftLeg, limbs::left_leg);
            builder.mirror(Panel::LeftLeg, Panel::RightLeg);
        }
        _ => body_panels(&mut builder),
    }
    let Builder { panels, missing, .. } = builder;
    if let (true, Some((_, measure))) = (panels.is_empty(), missing.first()) {
        return Err(ask_for(style, size, *measure));
    }
    Ok(Flat { panels, missing, assumed: measures.assumed() })
}

fn body_panels(builder: &mut Builder<'_>) {
    builder.add(Panel::Front, body::front);
    builder.add(Panel::Back, body::back);
    if has_sleeves(builder.style.class) {
        builder.add(Panel::LeftSleeve, limbs::left_sleeve);
        builder.mirror(Panel::LeftSleeve, Panel::RightSleeve);
    }
    if has_hood(builder.style) {
        builder.add(Panel::HoodLeft, hood::left);
        builder.mirror(Panel::HoodLeft, Panel::HoodRight);
    }
}

/// Whether garments of the class have sleeves.
pub(crate) fn has_sleeves(class: GarmentClass) -> bool {
    matches!(
        class,
        GarmentClass::Tee
            | GarmentClass::PerformanceTee
            | GarmentClass::Sweatshirt
            | GarmentClass::Hoodie
            | GarmentClass::ShellJacket
            | GarmentClass::RainShell
            | GarmentClass::Softshell
            | GarmentClass::Polo
            | GarmentClass::DressShirt
            | GarmentClass::ChildSleepwear
    )
}

/// Whether the garment has a hood.
pub(crate) fn has_hood(style: &GarmentStyle) -> bool {
    style.class == GarmentClass::Hoodie || style.has(Feature::Hood)
}

/// Whether the sleeves reach the wrist. A short sleeve is shorter than 0.7 of the
/// chest width, a long one longer than 0.9 in every size (common practice, no source).
pub(crate) fn is_long_sleeved(style: &GarmentStyle, size: &GarmentSize) -> bool {
    let measure = |m| size.measures.get(&m).map(|length| length.mm());
    match (measure(Measure::SleeveLength), measure(Measure::ChestWidth)) {
        (Some(sleeve), Some(chest)) => sleeve > 0.7 * chest,
        _ => !matches!(style.class, GarmentClass::Tee | GarmentClass::PerformanceTee | GarmentClass::Polo),
    }
}

/// Draws a panel, or the measure it wants.
type Draw = fn(&GarmentStyle, &Measures<'_>, &GarmentSize) -> Result<Option<PanelShape>, Measure>;

struct Builder<'a> {
    style: &'a GarmentStyle,
    measures: &'a Measures<'a>,
    panels: Vec<PanelShape>,
    missing: Vec<(Panel, Measure)>,
}

impl Builder<'_> {
    fn add(&mut self, panel: Panel, draw: Draw) {
        match draw(self.style, self.measures, self.measures.size()) {
            Ok(shape) => self.panels.extend(shape),
            Err(measure) => self.missing.push((panel, measure)),
        }
    }

    fn mirror(&mut self, from: Panel, to: Panel) {
        if let Some((_, measure)) = self.missing.iter().find(|(panel, _)| *panel == from) {
            self.missing.push((to, *measure));
        } else if let Some(shape) = self.panels.iter().find(|shape| shape.panel == from) {
            let turned = shape.mirrored_as(to);
            self.panels.extend(turned);
        }
    }
}

/// Pairs of which the first must be smaller than the second.
const SMALLER: [(Measure, Measure); 9] = [
    (Measure::NeckWidth, Measure::ShoulderWidth),
    (Measure::NeckDepth, Measure::BodyLength),
    (Measure::PocketWidth, Measure::ChestWidth),
    (Measure::PocketDrop, Measure::BodyLength),
    (Measure::BibWidth, Measure::ChestWidth),
    (Measure::BibHeight, Measure::BodyLength),
    (Measure::HandleSpacing, Measure::ChestWidth),
    (Measure::HandleDrop, Measure::BodyLength),
    (Measure::RibHeight, Measure::BodyLength),
];

/// Longest side of a garment that is believed, mm.
const LONGEST_MM: f64 = 3000.0;
/// Shortest measure that is believed, mm.
const SHORTEST_MM: f64 = 2.0;

fn clash(style: &GarmentStyle, size: &GarmentSize) -> Option<Finding> {
    let finding = |a: Measure, b: Measure| {
        let value = |m| size.measures.get(&m).copied().unwrap_or_default();
        Finding::new(Severity::Ask, codes::MEASURES_CLASH, codes::MEASURES_CLASH_REMEDY)
            .named("garment", style.name.clone())
            .named("size", size.name.clone())
            .with("measure", Value::Term(crate::measures::measure_terms(a).0))
            .with("value", Value::Length(value(a)))
            .with("other", Value::Term(crate::measures::measure_terms(b).0))
            .with("limit", Value::Length(value(b)))
    };
    let out = |mm: f64| !(SHORTEST_MM..=LONGEST_MM).contains(&mm);
    if let Some((measure, _)) = size.measures.iter().find(|(_, length)| out(length.mm())) {
        return Some(finding(*measure, *measure));
    }
    SMALLER
        .into_iter()
        .find(|(a, b)| {
            matches!((size.measures.get(a), size.measures.get(b)), (Some(small), Some(large)) if small >= large)
        })
        .map(|(a, b)| finding(a, b))
}
