//! Measures of a size: asked for where they shape the answer, taken from
//! proportion and said where they only shape the drawing.

use crate::codes;
use report::{Code, Finding, Severity, Value};
use std::cell::RefCell;
use trade::{GarmentSize, GarmentStyle, Measure};
use units::Length;

/// The name of a measure and how to take it with a tape, as terms.
pub fn measure_terms(measure: Measure) -> (Code, Code) {
    match measure {
        Measure::ChestWidth => (codes::MEASURE_CHEST_WIDTH, codes::TAKE_CHEST_WIDTH),
        Measure::BodyLength => (codes::MEASURE_BODY_LENGTH, codes::TAKE_BODY_LENGTH),
        Measure::HemWidth => (codes::MEASURE_HEM_WIDTH, codes::TAKE_HEM_WIDTH),
        Measure::ShoulderWidth => (codes::MEASURE_SHOULDER_WIDTH, codes::TAKE_SHOULDER_WIDTH),
        Measure::NeckWidth => (codes::MEASURE_NECK_WIDTH, codes::TAKE_NECK_WIDTH),
        Measure::NeckDepth => (codes::MEASURE_NECK_DEPTH, codes::TAKE_NECK_DEPTH),
        Measure::SleeveLength => (codes::MEASURE_SLEEVE_LENGTH, codes::TAKE_SLEEVE_LENGTH),
        Measure::SleeveWidth => (codes::MEASURE_SLEEVE_WIDTH, codes::TAKE_SLEEVE_WIDTH),
        Measure::PocketWidth => (codes::MEASURE_POCKET_WIDTH, codes::TAKE_POCKET_WIDTH),
        Measure::PocketHeight => (codes::MEASURE_POCKET_HEIGHT, codes::TAKE_POCKET_HEIGHT),
        Measure::PocketDrop => (codes::MEASURE_POCKET_DROP, codes::TAKE_POCKET_DROP),
        Measure::BibWidth => (codes::MEASURE_BIB_WIDTH, codes::TAKE_BIB_WIDTH),
        Measure::BibHeight => (codes::MEASURE_BIB_HEIGHT, codes::TAKE_BIB_HEIGHT),
        Measure::RibHeight => (codes::MEASURE_RIB_HEIGHT, codes::TAKE_RIB_HEIGHT),
        Measure::HoodHeight => (codes::MEASURE_HOOD_HEIGHT, codes::TAKE_HOOD_HEIGHT),
        Measure::HoodWidth => (codes::MEASURE_HOOD_WIDTH, codes::TAKE_HOOD_WIDTH),
        Measure::PlacketLength => (codes::MEASURE_PLACKET_LENGTH, codes::TAKE_PLACKET_LENGTH),
        Measure::GussetDepth => (codes::MEASURE_GUSSET_DEPTH, codes::TAKE_GUSSET_DEPTH),
        Measure::HandleDrop => (codes::MEASURE_HANDLE_DROP, codes::TAKE_HANDLE_DROP),
        Measure::HandleSpacing => (codes::MEASURE_HANDLE_SPACING, codes::TAKE_HANDLE_SPACING),
        Measure::LegLength => (codes::MEASURE_LEG_LENGTH, codes::TAKE_LEG_LENGTH),
        Measure::LegWidth => (codes::MEASURE_LEG_WIDTH, codes::TAKE_LEG_WIDTH),
        Measure::CrownHeight => (codes::MEASURE_CROWN_HEIGHT, codes::TAKE_CROWN_HEIGHT),
        Measure::CrownWidth => (codes::MEASURE_CROWN_WIDTH, codes::TAKE_CROWN_WIDTH),
    }
}

/// Asks for a measure of a size: which, and how to take it with a tape.
pub fn ask_for(style: &GarmentStyle, size: &GarmentSize, measure: Measure) -> Finding {
    let (name, how) = measure_terms(measure);
    Finding::new(Severity::Ask, codes::MEASURE_MISSING, codes::MEASURE_TAKE)
        .named("garment", style.name.clone())
        .named("size", size.name.clone())
        .with("measure", Value::Term(name))
        .with("how", Value::Term(how))
}

/// Reads the measures of one size.
pub(crate) struct Measures<'a> {
    size: &'a GarmentSize,
    assumed: RefCell<Vec<(Measure, Length)>>,
}

impl<'a> Measures<'a> {
    pub(crate) fn of(size: &'a GarmentSize) -> Self {
        Self { size, assumed: RefCell::new(Vec::new()) }
    }

    /// A measure in mm that must be known; without it, its name.
    pub(crate) fn need(&self, measure: Measure) -> Result<f64, Measure> {
        self.known(measure).ok_or(measure)
    }

    /// A measure in mm, when it is known.
    pub(crate) fn known(&self, measure: Measure) -> Option<f64> {
        self.size.measures.get(&measure).map(|length| length.mm()).filter(|mm| *mm > 0.0)
    }

    /// A measure in mm that only shapes the drawing; `proportion` stands in and is noted.
    pub(crate) fn or(&self, measure: Measure, proportion: f64) -> f64 {
        if let Some(mm) = self.known(measure) {
            return mm;
        }
        if let Some(length) = Length::from_mm(proportion) {
            let mut assumed = self.assumed.borrow_mut();
            if assumed.iter().all(|(known, _)| *known != measure) {
                assumed.push((measure, length));
            }
        }
        proportion
    }

    /// The size read from.
    pub(crate) fn size(&self) -> &'a GarmentSize {
        self.size
    }

    pub(crate) fn assumed(self) -> Vec<(Measure, Length)> {
        self.assumed.into_inner()
    }
}
