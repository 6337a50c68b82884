//! What a reader hands from its own process to the one that asked: art, or the finding that
//! stopped it, as bytes.
//!
//! The bytes are made and read by the same program and kept nowhere. Whoever reads them trusts
//! none: a reader that was led astray by a file may write anything.

use crate::background::BackgroundBox;
use crate::clean::{CleanArt, CleanParts, Softness};
use crate::codes;
use crate::colour::{ColourNature, Lab, SpotColour};
use crate::hash::ContentHash;
use crate::picture::{Picture, Rgba8Image};
use crate::read::SourceKind;
use crate::vector::{VectorPicture, ViewBox};
use geometry::{Bounds, Outline, Point, Region};
use report::{Code, Finding, Outcome, Severity, Value};
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use units::{Area, Duration, Length};

/// What a reader found: art with its findings, or the one that stops the line.
pub type Read = Result<Outcome<CleanArt>, Finding>;

/// As bytes.
///
/// # Errors
/// When a finding carries a value that no reader makes.
pub fn pack(read: &Read) -> Option<Vec<u8>> {
    let form = match read {
        Ok(outcome) => {
            let findings = outcome.findings.iter().map(FoundForm::of).collect::<Option<_>>()?;
            ParcelForm::Art(ArtForm::of(&outcome.value), findings)
        }
        Err(finding) => ParcelForm::Stopped(FoundForm::of(finding)?),
    };
    let head = postcard::to_extend(&form, Vec::new()).ok()?;
    let pixels: &[u8] = match read {
        Ok(Outcome { value, .. }) => match value.picture() {
            Picture::Raster(image) => image.pixels(),
            Picture::Vector(_) => &[],
        },
        Err(_) => &[],
    };
    let mut bytes = Vec::with_capacity(8 + head.len() + pixels.len());
    bytes.extend((head.len() as u64).to_le_bytes());
    bytes.extend(head);
    bytes.extend_from_slice(pixels);
    Some(bytes)
}

/// From bytes; `None` when they are not a whole parcel or hold what no reader makes.
pub fn unpack(mut bytes: Vec<u8>) -> Option<Read> {
    let length = usize::try_from(u64::from_le_bytes(bytes.first_chunk::<8>().copied()?)).ok()?;
    let end = length.checked_add(8)?;
    let form: ParcelForm = postcard::from_bytes(bytes.get(8..end)?).ok()?;
    Some(match form {
        ParcelForm::Art(art, findings) => {
            bytes.drain(..end);
            let findings = findings.into_iter().map(FoundForm::finding).collect::<Option<_>>()?;
            Ok(Outcome { value: art.art(bytes)?, findings })
        }
        ParcelForm::Stopped(found) => Err(found.finding()?),
    })
}

#[derive(Serialize, Deserialize)]
enum ParcelForm {
    Art(ArtForm, Vec<FoundForm>),
    Stopped(FoundForm),
}

#[derive(Serialize, Deserialize)]
struct ArtForm {
    hash: [u8; 32],
    kind: u8,
    natural_mm: Option<(f64, f64)>,
    /// Every outline's rings, the outer one first.
    outline: Vec<Vec<Vec<(f64, f64)>>>,
    units: (f64, f64),
    tolerance: f64,
    colours: Vec<([u8; 3], [f64; 3], f64)>,
    nature: NatureForm,
    background: Option<([u8; 3], f64)>,
    softness: (f64, f64),
    smallest_type: Option<f64>,
    explained: f64,
    painted_cap: u64,
    picture: PictureForm,
}

#[derive(Serialize, Deserialize)]
enum NatureForm {
    Spot(u32),
    Gradient,
    Photo,
}

#[derive(Serialize, Deserialize)]
enum PictureForm {
    /// Width and height; the pixels follow the head.
    Raster(u32, u32),
    /// The drawing on its own page and what the art box shows of it.
    Vector(String, [f64; 4]),
}

const KINDS: [SourceKind; 5] = [SourceKind::Svg, SourceKind::Png, SourceKind::Jpeg, SourceKind::WebP, SourceKind::Pdf];

impl ArtForm {
    fn of(art: &CleanArt) -> Self {
        let parts = art.parts();
        let ring = |ring: &[Point]| ring.iter().map(|p| (p.x, p.y)).collect();
        Self {
            hash: *parts.hash.bytes(),
            kind: KINDS.iter().position(|kind| *kind == parts.kind).unwrap_or(0) as u8,
            natural_mm: parts.natural.map(|(width, height)| (width.mm(), height.mm())),
            outline: parts.outline.outlines.iter().map(|outline| outline.rings().map(ring).collect()).collect(),
            units: parts.units,
            tolerance: parts.outline_tolerance,
            colours: parts.colours.iter().map(|c| (c.rgb, [c.lab.l, c.lab.a, c.lab.b], c.share)).collect(),
            nature: match parts.nature {
                ColourNature::Spot(count) => NatureForm::Spot(count),
                ColourNature::Gradient => NatureForm::Gradient,
                ColourNature::Photo => NatureForm::Photo,
            },
            background: parts.background.map(|found| (found.rgb, found.share)),
            softness: (parts.softness.share, parts.softness.beyond_rim),
            smallest_type: parts.smallest_type,
            explained: parts.explained,
            painted_cap: parts.painted_cap,
            picture: match &parts.picture {
                Picture::Raster(image) => PictureForm::Raster(image.width(), image.height()),
                Picture::Vector(drawing) => {
                    let view = drawing.view();
                    PictureForm::Vector(drawing.whole_page(), [view.x, view.y, view.width, view.height])
                }
            },
        }
    }

    fn art(self, pixels: Vec<u8>) -> Option<CleanArt> {
        let natural = match self.natural_mm {
            Some((width, height)) => Some((Length::from_mm(width)?, Length::from_mm(height)?)),
            None => None,
        };
        let sides = [self.units.0, self.units.1];
        sides.iter().all(|side| side.is_finite() && *side > 0.0).then_some(())?;
        let picture = match self.picture {
            PictureForm::Raster(width, height) => Picture::Raster(Rgba8Image::new(width, height, pixels)?),
            PictureForm::Vector(text, [x, y, width, height]) => {
                (x.is_finite() && y.is_finite() && width > 0.0 && height > 0.0).then_some(())?;
                let tree = crate::svg::normalised_tree(&text)?;
                Picture::Vector(VectorPicture::new(Arc::new(tree), ViewBox { x, y, width, height }))
            }
        };
        Some(CleanArt::from_parts(CleanParts {
            hash: ContentHash::from_bytes(self.hash),
            kind: *KINDS.get(usize::from(self.kind))?,
            picture,
            natural,
            outline: Arc::new(region(self.outline)?),
            units: self.units,
            outline_tolerance: self.tolerance,
            colours: self
                .colours
                .into_iter()
                .map(|(rgb, [l, a, b], share)| SpotColour { rgb, lab: Lab { l, a, b }, share })
                .collect(),
            nature: match self.nature {
                NatureForm::Spot(count) => ColourNature::Spot(count),
                NatureForm::Gradient => ColourNature::Gradient,
                NatureForm::Photo => ColourNature::Photo,
            },
            background: self.background.map(|(rgb, share)| BackgroundBox { rgb, share }),
            softness: Softness { share: self.softness.0, beyond_rim: self.softness.1 },
            smallest_type: self.smallest_type,
            explained: self.explained,
            painted_cap: self.painted_cap,
        }))
    }
}

/// The outlines as they were; `None` when one is none.
fn region(outlines: Vec<Vec<Vec<(f64, f64)>>>) -> Option<Region> {
    let point = |(x, y): (f64, f64)| (x.is_finite() && y.is_finite()).then(|| Point::new(x, y));
    let outline = |rings: Vec<Vec<(f64, f64)>>| {
        let mut rings = rings.into_iter().map(|ring| ring.into_iter().map(point).collect::<Option<Vec<Point>>>());
        let outer = rings.next()??;
        Outline::new(outer, rings.collect::<Option<_>>()?).ok()
    };
    Some(Region { outlines: outlines.into_iter().map(outline).collect::<Option<_>>()? })
}

#[derive(Serialize, Deserialize)]
struct FoundForm {
    code: String,
    severity: u8,
    place: Option<[f64; 4]>,
    values: Vec<(String, ValueForm)>,
    remedy: String,
    repair: Option<String>,
}

#[derive(Serialize, Deserialize)]
enum ValueForm {
    Length(f64),
    Area(f64),
    Duration(f64),
    Count(i64),
    Share(f64),
    Number(f64),
    Text(String),
    Term(String),
}

const SEVERITIES: [Severity; 4] = [Severity::Note, Severity::Warning, Severity::Ask, Severity::StopsLine];

/// Names that readers give their values.
const NAMES: &[&str] = &[
    "file",
    "form",
    "size-mb",
    "limit-mb",
    "width-px",
    "height-px",
    "limit-mpx",
    "reference",
    "count",
    "font",
    "text",
    "what",
    "effect",
    "tolerance-share",
    "limit",
    "page",
    "pages",
    "share",
    "colour",
    "kind",
    "row",
];

impl FoundForm {
    fn of(finding: &Finding) -> Option<Self> {
        let value = |value: &Value| {
            Some(match value {
                Value::Length(length) => ValueForm::Length(length.mm()),
                Value::Area(area) => ValueForm::Area(area.mm2()),
                Value::Duration(duration) => ValueForm::Duration(duration.s()),
                Value::Count(count) => ValueForm::Count(*count),
                Value::Share(share) => ValueForm::Share(*share),
                Value::Number(number) => ValueForm::Number(*number),
                Value::Text(text) => ValueForm::Text(text.clone()),
                Value::Term(code) => ValueForm::Term(code.0.to_owned()),
                _ => return None,
            })
        };
        let values = finding.quantities.iter().map(|named| Some((named.name.to_owned(), value(&named.value)?)));
        let bounds = finding.place.as_ref().map(|place| &place.bounds);
        Some(Self {
            code: finding.code.0.to_owned(),
            severity: SEVERITIES.iter().position(|severity| *severity == finding.severity).unwrap_or(0) as u8,
            place: bounds.map(|b| [b.min.x, b.min.y, b.max.x, b.max.y]),
            values: values.collect::<Option<_>>()?,
            remedy: finding.remedy.0.to_owned(),
            repair: finding.repair.map(|code| code.0.to_owned()),
        })
    }

    fn finding(self) -> Option<Finding> {
        let severity = *SEVERITIES.get(usize::from(self.severity))?;
        let mut finding = Finding::new(severity, known(&self.code)?, known(&self.remedy)?);
        for (name, value) in self.values {
            let name = NAMES.iter().find(|known| **known == name)?;
            finding = finding.with(
                name,
                match value {
                    ValueForm::Length(mm) => Value::Length(Length::from_mm(mm)?),
                    ValueForm::Area(mm2) => Value::Area(Area::from_mm2(mm2)?),
                    ValueForm::Duration(s) => Value::Duration(Duration::from_s(s)?),
                    ValueForm::Count(count) => Value::Count(count),
                    ValueForm::Share(share) => Value::Share(share),
                    ValueForm::Number(number) => Value::Number(number),
                    ValueForm::Text(text) => Value::Text(text),
                    ValueForm::Term(code) => Value::Term(known(&code)?),
                },
            );
        }
        if let Some([x0, y0, x1, y1]) = self.place {
            finding = finding.at(Bounds { min: Point::new(x0, y0), max: Point::new(x1, y1) });
        }
        match self.repair {
            Some(repair) => Some(finding.repaired_by(known(&repair)?)),
            None => Some(finding),
        }
    }
}

/// A code of this room by its name.
fn known(name: &str) -> Option<Code> {
    codes::ALL.iter().copied().find(|code| code.0 == name)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read::{ReadOptions, read};

    fn round(bytes: &[u8]) -> (Read, Read) {
        let read = read("kite", bytes, &ReadOptions::default());
        let back = unpack(pack(&read).expect("packed")).expect("whole");
        (read, back)
    }

    const KITE: &str = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"80mm\" height=\"60mm\" viewBox=\"0 0 80 60\">\
        <linearGradient id=\"g\"><stop stop-color=\"red\"/><stop offset=\"1\" stop-color=\"blue\"/></linearGradient>\
        <circle cx=\"40\" cy=\"33\" r=\"21\" fill=\"url(#g)\" stroke=\"#123\" stroke-width=\"3\"/><script/></svg>";

    #[test]
    fn a_drawing_arrives_as_it_was() {
        let (Ok(sent), Ok(got)) = round(KITE.as_bytes()) else { panic!("art") };
        assert_eq!(sent.findings, got.findings);
        let (a, b) = (&sent.value, &got.value);
        assert_eq!(
            (a.hash(), a.kind(), a.natural_size(), a.aspect()),
            (b.hash(), b.kind(), b.natural_size(), b.aspect())
        );
        assert_eq!((a.colours(), a.outline(), a.svg()), (b.colours(), b.outline(), b.svg()));
        let (drawn, again) = (a.render(300, 300).expect("drawn"), b.render(300, 300).expect("drawn"));
        let apart = drawn.pixels().iter().zip(again.pixels()).map(|(a, b)| a.abs_diff(*b)).max();
        assert!(apart.is_some_and(|apart| apart <= 2), "{apart:?}");
    }

    #[test]
    fn pixels_and_refusals_arrive_as_they_were() {
        let art = read("kite", KITE.as_bytes(), &ReadOptions::default()).expect("art").value;
        let png = crate::outline::as_png(&art.render(90, 90).expect("pixels")).expect("a file");
        let (Ok(sent), Ok(got)) = round(&png) else { panic!("art") };
        let pixels = |art: &CleanArt| art.render(90, 90).expect("pixels").pixels().to_vec();
        assert_eq!(pixels(&sent.value), pixels(&got.value));
        let (sent, got) = round(b"Dear printer");
        assert_eq!(sent.expect_err("a refusal"), got.expect_err("a refusal"));
    }

    /// Cut short or changed anywhere, it is whole art, a finding, or nothing; never a panic.
    #[test]
    fn a_parcel_that_was_tampered_with_is_no_trouble() {
        let whole = pack(&read("kite", KITE.as_bytes(), &ReadOptions::default())).expect("packed");
        for at in 0..whole.len().min(4000) {
            let _ = unpack(whole[..at].to_vec());
            let mut changed = whole.clone();
            changed[at] ^= 0x55;
            let _ = unpack(changed);
        }
        assert!(unpack(Vec::new()).is_none());
        assert!(unpack(vec![0xff; 64]).is_none());
    }
}
