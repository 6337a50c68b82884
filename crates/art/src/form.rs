//! The report of one check as a file other programs read.

mod parcel;

pub use parcel::{Read, pack, unpack};

use crate::clean::{CleanArt, PrintSize};
use crate::colour::ColourNature;
use crate::measure::{Measures, Spot};
use report::{Finding, Severity, Value};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use units::Length;

/// The version of this form.
pub const VERSION: u32 = 1;

/// What a check found. Lengths in mm, areas in mm², times in s, shares of one.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ArtReport {
    /// Version of the form, 1.
    pub version: u32,
    /// SHA-256 of the file, hexadecimal.
    pub hash: String,
    /// SVG, PNG, JPEG, WebP or PDF.
    pub form: String,
    /// Width as pressed.
    pub width_mm: f64,
    /// Height as pressed.
    pub height_mm: f64,
    /// Pixels an inch at this size; none for drawings.
    pub effective_dpi: Option<f64>,
    /// `spot`, `gradient` or `photo`.
    pub colour_nature: String,
    /// Colours, the largest share first.
    pub colours: Vec<ColourForm>,
    /// Share of the ink that the colours account for; the rest is blends and noise.
    pub colours_explained: f64,
    /// Share of inked pixels that hold 5 to 95 % ink.
    pub soft_edge_share: f64,
    /// Thinnest line.
    pub thinnest_line_mm: Option<f64>,
    /// Narrowest gap.
    pub narrowest_gap_mm: Option<f64>,
    /// Least height of a capital of live text.
    pub smallest_type_mm: Option<f64>,
    /// Smallest part, as the diameter of a disc of the same area.
    pub smallest_island_mm: Option<f64>,
    /// Lines under the limit.
    pub thin_lines: Vec<SpotForm>,
    /// Gaps under the limit.
    pub narrow_gaps: Vec<SpotForm>,
    /// Parts under the limit.
    pub small_islands: Vec<SpotForm>,
    /// Points that taper off under the limit.
    pub sharp_points: Vec<SpotForm>,
    /// Parts of the ink.
    pub parts: u32,
    /// Pieces of waste to lift.
    pub pieces_to_weed: u32,
    /// Time to lift them.
    pub weeding_s: f64,
    /// Inked area.
    pub inked_area_mm2: f64,
    /// Length of all edges.
    pub edge_length_mm: f64,
    /// What was found, by code.
    pub findings: Vec<FindingForm>,
}

/// One colour.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ColourForm {
    /// sRGB, `#rrggbb`.
    pub srgb: String,
    /// CIELAB under D65.
    pub lab: [f64; 3],
    /// Share of the inked area.
    pub share: f64,
}

/// One place, its corners in the art box, y up.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SpotForm {
    /// Lower left corner.
    pub min_mm: [f64; 2],
    /// Upper right corner.
    pub max_mm: [f64; 2],
    /// How wide there.
    pub width_mm: f64,
}

/// One finding.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FindingForm {
    /// Its stable name.
    pub code: String,
    /// `note`, `warning`, `ask` or `stops-line`.
    pub severity: String,
    /// Stable name of what to do.
    pub remedy: String,
    /// Stable name of a repair that would settle it.
    pub repair: Option<String>,
    /// Where, when it has a place: lower left and upper right corner.
    pub place_mm: Option<[[f64; 2]; 2]>,
    /// Values by name: numbers in mm, mm², s and shares of one, or text.
    pub values: Vec<ValueForm>,
}

/// A named value.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ValueForm {
    /// Its name in the finding's sentence.
    pub name: String,
    /// A number, where it is one.
    pub number: Option<f64>,
    /// Text, where it is not.
    pub text: Option<String>,
}

impl ArtReport {
    /// From a check; `findings` holds those of reading and of measuring.
    pub fn of(art: &CleanArt, size: PrintSize, measures: &Measures, findings: &[Finding]) -> Self {
        let mm = |length: Option<Length>| length.map(|length| rounded(length.mm()));
        let spots = |spots: &[Spot]| spots.iter().map(SpotForm::of).collect();
        Self {
            version: VERSION,
            hash: art.hash().hex(),
            form: art.kind().name().to_owned(),
            width_mm: rounded(size.width().mm()),
            height_mm: rounded(size.height().mm()),
            effective_dpi: measures.effective_dpi.map(rounded),
            colour_nature: match art.colour_nature() {
                ColourNature::Spot(_) => "spot",
                ColourNature::Gradient => "gradient",
                ColourNature::Photo => "photo",
            }
            .to_owned(),
            colours: art
                .colours()
                .iter()
                .map(|colour| ColourForm {
                    srgb: crate::background::hex(colour.rgb),
                    lab: [colour.lab.l, colour.lab.a, colour.lab.b].map(rounded),
                    share: rounded(colour.share),
                })
                .collect(),
            colours_explained: rounded(art.colours_explained()),
            soft_edge_share: rounded(measures.soft_edge_share),
            thinnest_line_mm: mm(measures.thinnest_line),
            narrowest_gap_mm: mm(measures.narrowest_gap),
            smallest_type_mm: mm(measures.smallest_type),
            smallest_island_mm: mm(measures.smallest_island),
            thin_lines: spots(&measures.thin_lines),
            narrow_gaps: spots(&measures.narrow_gaps),
            small_islands: spots(&measures.small_islands),
            sharp_points: spots(&measures.sharp_points),
            parts: measures.parts,
            pieces_to_weed: measures.pieces_to_weed,
            weeding_s: rounded(measures.weeding.s()),
            inked_area_mm2: rounded(measures.inked_area.mm2()),
            edge_length_mm: rounded(measures.edge_length.mm()),
            findings: findings.iter().map(FindingForm::of).collect(),
        }
    }

    /// As JSON with a line break at the end.
    ///
    /// # Errors
    /// When a number is not finite, which no check produces.
    pub fn to_json(&self) -> Result<String, serde_json::Error> {
        Ok(serde_json::to_string_pretty(self)? + "\n")
    }
}

/// The form's JSON Schema.
pub fn schema() -> schemars::Schema {
    schemars::schema_for!(ArtReport)
}

/// To a ten-thousandth: finer than anything measured here.
fn rounded(number: f64) -> f64 {
    (number * 1e4).round() / 1e4
}

impl SpotForm {
    fn of(spot: &Spot) -> Self {
        Self {
            min_mm: [rounded(spot.bounds.min.x), rounded(spot.bounds.min.y)],
            max_mm: [rounded(spot.bounds.max.x), rounded(spot.bounds.max.y)],
            width_mm: rounded(spot.width.mm()),
        }
    }
}

impl FindingForm {
    fn of(finding: &Finding) -> Self {
        Self {
            code: finding.code.0.to_owned(),
            severity: match finding.severity {
                Severity::Note => "note",
                Severity::Warning => "warning",
                Severity::Ask => "ask",
                Severity::StopsLine => "stops-line",
            }
            .to_owned(),
            remedy: finding.remedy.0.to_owned(),
            repair: finding.repair.map(|code| code.0.to_owned()),
            place_mm: finding
                .place
                .as_ref()
                .map(|place| [place.bounds.min, place.bounds.max].map(|p| [rounded(p.x), rounded(p.y)])),
            values: finding.quantities.iter().map(|named| ValueForm::of(named.name, &named.value)).collect(),
        }
    }
}

impl ValueForm {
    fn of(name: &str, value: &Value) -> Self {
        let (number, text) = match value {
            Value::Length(length) => (Some(length.mm()), None),
            Value::Area(area) => (Some(area.mm2()), None),
            Value::Duration(duration) => (Some(duration.s()), None),
            Value::Count(count) => (Some(*count as f64), None),
            Value::Share(share) => (Some(*share), None),
            Value::Number(number) => (Some(*number), None),
            Value::Text(text) => (None, Some(text.clone())),
            Value::Term(code) => (None, Some(code.0.to_owned())),
            other => (None, Some(format!("{other:?}"))),
        };
        Self { name: name.to_owned(), number: number.map(rounded), text }
    }
}
