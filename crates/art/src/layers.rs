//! Several films on one print: which lies lowest, how far each reaches under the next, where
//! the lower one is left out.
//!
//! The largest colour lies lowest and a film that may not be covered lies on top. A lower film
//! reaches under its neighbours by the overlap, so that no cloth shows when a piece is laid a
//! little aside. A place wholly enclosed by a lower colour is not cut out of it, unless the films
//! there would lie too thick or the upper one does not hold on film. Common practice, no source,
//! for the rules and for the numbers of [`LayerRules::usual`].

use crate::clean::{CleanArt, PrintSize};
use crate::codes;
use crate::colour_regions::{ColourRegion, colour_regions};
use crate::read::count;
use geometry::{Outline, Region};
use report::{Finding, Outcome, Severity, Value};
use units::Length;

/// What a shop's rules say of films on films.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LayerRules {
    /// How far a lower film reaches under an upper one.
    pub overlap: Length,
    /// Films on one print at most.
    pub most_films: u32,
    /// How thick the films may lie on one another.
    pub stack: Length,
}

impl LayerRules {
    /// 1.2 mm of overlap, three films, 250 µm. Common practice, no source.
    pub fn usual() -> Self {
        let mm = |mm: f64| Length::from_mm(mm).unwrap_or_default();
        Self { overlap: mm(1.2), most_films: 3, stack: mm(0.25) }
    }
}

/// The film that a colour is cut from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LayerFilm {
    /// Which film it is: colours of the same number are cut together.
    pub film: usize,
    /// Its thickness on the cloth.
    pub thickness: Length,
    /// Smooth and even enough that another film holds on it.
    pub may_lie_below: bool,
    /// Whether it may be pressed on top of another film; pile, glitter, mirror, foam and films
    /// that throw light back want the cloth, so that what lies beneath is left out.
    pub holds_on_film: bool,
}

/// One film to cut.
#[derive(Debug, Clone, PartialEq)]
pub struct FilmLayer {
    /// Which of the art's colours, the fullest first.
    pub colours: Vec<usize>,
    /// What is seen of it, mm.
    pub seen: Region,
    /// What is cut, with what reaches under the films above, mm.
    pub cut: Region,
    /// Places left out of this film because of what lies above.
    pub knocked_out: u32,
    /// How thick the films lie at the thickest place that this film has a part in.
    pub stack: Length,
}

/// The films of a print, the lowest first, which is the order of pressing.
///
/// `films` tells for each of [`CleanArt::colours`], in that order, what it is cut from; `None`
/// leaves the colour to the cloth.
///
/// # Errors
/// A finding that stops the line when the art is not of flat colours, a film is missing from
/// `films`, or there are more films than the rules allow.
pub fn layers(
    art: &CleanArt,
    size: PrintSize,
    films: &[Option<LayerFilm>],
    rules: &LayerRules,
) -> Result<Outcome<Vec<FilmLayer>>, Finding> {
    let seen = colour_regions(art, size)?;
    let at = |part: &ColourRegion| art.colours().iter().position(|colour| *colour == part.colour);
    let mut sheets: Vec<Sheet> = Vec::new();
    for part in seen {
        let colour = at(&part).unwrap_or(0);
        let film = films.get(colour).ok_or_else(|| {
            Finding::new(Severity::StopsLine, codes::LAYER_FILM_MISSING, codes::FIX_NAME_FILM)
                .named("colour", crate::background::hex(part.colour.rgb))
        })?;
        let Some(film) = film else { continue };
        match sheets.iter_mut().find(|sheet| sheet.film.film == film.film) {
            Some(sheet) => {
                sheet.colours.push(colour);
                sheet.seen = geometry::union(&[std::mem::take(&mut sheet.seen), part.region]);
            }
            None => sheets.push(Sheet { colours: vec![colour], film: *film, seen: part.region }),
        }
    }
    let films_found = sheets.len() as u64;
    if films_found > u64::from(rules.most_films) {
        return Err(Finding::new(Severity::StopsLine, codes::LAYERS_MANY, codes::FIX_FEWER_COLOURS)
            .with("count", count(films_found))
            .with("limit", count(rules.most_films.into())));
    }
    sheets.sort_by(|a, b| a.rank().cmp(&b.rank()).then(b.seen.area().total_cmp(&a.seen.area())));
    let findings = clashes(&sheets);
    let laid = laid(&sheets, rules);
    let mut outcome = Outcome { value: laid, findings };
    outcome.findings.extend(knocked(&outcome.value, rules));
    Ok(outcome)
}

/// A film with the colours cut from it.
struct Sheet {
    colours: Vec<usize>,
    film: LayerFilm,
    seen: Region,
}

impl Sheet {
    /// Films that carry others lie below, those that may not be covered on top.
    fn rank(&self) -> u8 {
        u8::from(!self.film.may_lie_below)
    }
}

fn laid(sheets: &[Sheet], rules: &LayerRules) -> Vec<FilmLayer> {
    let mut layers: Vec<FilmLayer> = Vec::new();
    for (at, sheet) in sheets.iter().enumerate() {
        let below = &layers;
        let (cut, knocked_out) = reached(sheet, &sheets[at + 1..], below, rules);
        layers.push(FilmLayer {
            colours: sheet.colours.clone(),
            seen: sheet.seen.clone(),
            cut,
            knocked_out,
            stack: sheet.film.thickness,
        });
    }
    for at in 0..layers.len() {
        layers[at].stack = thickest(at, &layers, sheets);
    }
    layers
}

/// The region to cut of a sheet beneath others, and how many places are left out of it.
fn reached(sheet: &Sheet, above: &[Sheet], below: &[FilmLayer], rules: &LayerRules) -> (Region, u32) {
    let covering: Vec<Region> = above.iter().map(|upper| upper.seen.clone()).collect();
    if !sheet.film.may_lie_below || covering.iter().all(|region| region.outlines.is_empty()) {
        return (sheet.seen.clone(), 0);
    }
    let over = geometry::union(&covering);
    let reach = rules.overlap.mm();
    let rim = geometry::intersect(&geometry::grow(&sheet.seen, reach), &over);
    let mut parts = vec![sheet.seen.clone(), rim];
    let mut knocked_out = 0;
    for hole in sheet.seen.outlines.iter().flat_map(Outline::holes) {
        let Ok(hole) = Outline::new(hole.clone(), Vec::new()) else { continue };
        let hole = Region { outlines: vec![hole] };
        // A hole that shows cloth stays one; rounding along its edge is no cloth.
        let bare = geometry::shrink(&geometry::subtract(&hole, &over), BARE_MM / 2.0);
        if !bare.outlines.is_empty() {
            continue;
        }
        if may_fill(&hole, sheet, above, below, rules) {
            parts.push(hole);
        } else {
            knocked_out += 1;
        }
    }
    (geometry::union(&parts), knocked_out)
}

/// Bare strips narrower than this are rounding, mm.
const BARE_MM: f64 = 0.05;

/// Whether a sheet may run on under what lies in one of its holes.
fn may_fill(hole: &Region, sheet: &Sheet, above: &[Sheet], below: &[FilmLayer], rules: &LayerRules) -> bool {
    let within = |region: &Region| geometry::intersect(region, hole).area() > BARE_MM * BARE_MM;
    let upper: Vec<&Sheet> = above.iter().filter(|upper| within(&upper.seen)).collect();
    // Uppers lie beside one another and, where one fills another's hole, on one another: all count.
    let lower: f64 = below.iter().filter(|layer| within(&layer.cut)).map(|layer| layer.stack.mm()).sum();
    let stack = lower + sheet.film.thickness.mm() + upper.iter().map(|upper| upper.film.thickness.mm()).sum::<f64>();
    upper.iter().all(|upper| upper.film.holds_on_film) && stack <= rules.stack.mm() + 1e-9
}

/// The films at the thickest place that one of them has a part in.
fn thickest(at: usize, layers: &[FilmLayer], sheets: &[Sheet]) -> Length {
    let mut piles = vec![(layers[at].cut.clone(), sheets[at].film.thickness)];
    for (other, sheet) in layers.iter().zip(sheets).enumerate().filter(|(nth, _)| *nth != at).map(|(_, pair)| pair) {
        let more: Vec<(Region, Length)> = piles
            .iter()
            .map(|(pile, thick)| (geometry::intersect(pile, &other.cut), *thick + sheet.film.thickness))
            .filter(|(pile, _)| pile.area() > BARE_MM * BARE_MM)
            .collect();
        piles.extend(more);
    }
    piles.into_iter().map(|(_, thick)| thick).reduce(Length::max).unwrap_or_default()
}

/// Films that touch while neither may lie under the other: they can only be laid edge to edge.
fn clashes(sheets: &[Sheet]) -> Vec<Finding> {
    let topmost: Vec<&Sheet> = sheets.iter().filter(|sheet| !sheet.film.may_lie_below).collect();
    let mut found = Vec::new();
    for (nth, one) in topmost.iter().enumerate() {
        for other in &topmost[nth + 1..] {
            let meeting = geometry::intersect(&geometry::grow(&one.seen, 2.0 * BARE_MM), &other.seen);
            if let Some(bounds) = meeting.bounds() {
                found
                    .push(Finding::new(Severity::Warning, codes::LAYER_EDGE_TO_EDGE, codes::FIX_OTHER_FILM).at(bounds));
            }
        }
    }
    found
}

fn knocked(layers: &[FilmLayer], rules: &LayerRules) -> Option<Finding> {
    let places: u32 = layers.iter().map(|layer| layer.knocked_out).sum();
    (places > 0).then(|| {
        Finding::new(Severity::Note, codes::LAYER_KNOCKED_OUT, codes::FIX_LOOK)
            .with("count", count(places.into()))
            .with("limit", Value::Length(rules.stack))
            .with("overlap", Value::Length(rules.overlap))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::clean::SizeWish;
    use crate::read::{ReadOptions, read};

    fn mm(mm: f64) -> Length {
        Length::from_mm(mm).expect("finite")
    }

    fn film(film: usize, um: f64) -> Option<LayerFilm> {
        Some(LayerFilm { film, thickness: mm(um / 1000.0), may_lie_below: true, holds_on_film: true })
    }

    fn pile(film: usize, um: f64) -> Option<LayerFilm> {
        Some(LayerFilm { film, thickness: mm(um / 1000.0), may_lie_below: false, holds_on_film: false })
    }

    fn art(body: &str) -> (CleanArt, PrintSize) {
        let drawing = format!("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 80 60\">{body}</svg>");
        let art = read("kite", drawing.as_bytes(), &ReadOptions::default()).expect("art").value;
        let size = art.size(SizeWish::Width(mm(80.0))).expect("a size");
        (art, size)
    }

    const PATCH: &str = "<rect width=\"80\" height=\"60\" fill=\"#1450a0\"/>\
        <rect x=\"20\" y=\"20\" width=\"40\" height=\"20\" fill=\"#f0c020\"/>";

    /// A patch on a thin film lies on it: the lower film is cut whole, 80 × 60 mm.
    #[test]
    fn a_lower_film_runs_on_under_a_thin_patch() {
        let (art, size) = art(PATCH);
        let laid = layers(&art, size, &[film(0, 90.0), film(1, 90.0)], &LayerRules::usual()).expect("layers");
        let [low, top] = laid.value.as_slice() else { panic!("two films") };
        assert_eq!((&low.colours[..], &top.colours[..], low.knocked_out), (&[0][..], &[1][..], 0));
        assert!((low.cut.area() - 4800.0).abs() < 0.5 && (top.cut.area() - 800.0).abs() < 0.5);
        assert!((low.stack.mm() - 0.18).abs() < 1e-9);
        assert!(laid.findings.is_empty());
    }

    /// 300 µm of pile on 90 µm would be past 250 µm, and pile wants the cloth: the lower film is
    /// cut out but for 1.2 mm: 4800 − (40 − 2.4)·(20 − 2.4), round corners cost nothing inside.
    #[test]
    fn it_is_knocked_out_under_a_thick_one() {
        let (art, size) = art(PATCH);
        let laid = layers(&art, size, &[film(0, 90.0), pile(1, 300.0)], &LayerRules::usual()).expect("layers");
        let low = &laid.value[0];
        assert_eq!(low.knocked_out, 1);
        assert!((low.cut.area() - (4800.0 - 37.6 * 17.6)).abs() < 0.8, "{}", low.cut.area());
        assert!((low.seen.area() - 4000.0).abs() < 0.5);
        assert_eq!(laid.findings.len(), 1);
        assert_eq!(laid.findings[0].code, codes::LAYER_KNOCKED_OUT);
    }

    /// Side by side, 1.2 mm of the lower reaches under the upper along their common edge of 60 mm.
    #[test]
    fn neighbours_overlap_and_cloth_stays_bare() {
        let (art, size) = art("<rect width=\"50\" height=\"60\" fill=\"#1450a0\"/>\
            <rect x=\"50\" width=\"30\" height=\"60\" fill=\"#f0c020\"/>");
        let laid = layers(&art, size, &[film(0, 90.0), film(1, 90.0)], &LayerRules::usual()).expect("layers");
        let low = &laid.value[0];
        assert!((low.cut.area() - 51.2 * 60.0).abs() < 0.5, "{}", low.cut.area());
        assert_eq!(low.knocked_out, 0);
    }

    #[test]
    fn a_film_that_may_not_be_covered_lies_on_top_though_it_is_the_larger() {
        let (art, size) = art(PATCH);
        let laid = layers(&art, size, &[pile(0, 300.0), film(1, 90.0)], &LayerRules::usual()).expect("layers");
        assert_eq!(laid.value.iter().map(|layer| layer.colours[0]).collect::<Vec<_>>(), [1, 0]);
        // The patch reaches 1.2 mm under the pile on all four sides, with round corners.
        let reached = 42.4 * 22.4 - (4.0 - std::f64::consts::PI) * 1.44;
        assert!((laid.value[0].cut.area() - reached).abs() < 0.5, "{}", laid.value[0].cut.area());
    }

    /// Two colours of one film are one film: 50 · 60 and 30 · 60 mm side by side.
    #[test]
    fn colours_of_one_film_are_cut_together() {
        let (art, size) = art("<rect width=\"50\" height=\"60\" fill=\"#1450a0\"/>\
            <rect x=\"50\" width=\"30\" height=\"60\" fill=\"#f0c020\"/>");
        let laid = layers(&art, size, &[film(7, 90.0), film(7, 90.0)], &LayerRules::usual()).expect("layers").value;
        let [only] = laid.as_slice() else { panic!("one film") };
        assert_eq!(only.colours, [0, 1]);
        assert!((only.cut.area() - 4800.0).abs() < 0.5 && only.cut.outlines.len() == 1);
    }

    /// A colour left to the cloth is no film, and what lies around it keeps its hole.
    #[test]
    fn what_the_cloth_shows_is_cut_from_nothing() {
        let (art, size) = art(PATCH);
        let laid = layers(&art, size, &[film(0, 90.0), None], &LayerRules::usual()).expect("layers").value;
        let [only] = laid.as_slice() else { panic!("one film") };
        assert!((only.cut.area() - 4000.0).abs() < 0.5 && only.cut.outlines[0].holes().len() == 1);
    }

    #[test]
    fn too_many_films_and_films_edge_to_edge_are_said() {
        let bars = ["#1450a0", "#f0c020", "#c01020", "#109030"];
        let body: String = (0..4)
            .map(|at| format!("<rect x=\"{}\" width=\"20\" height=\"60\" fill=\"{}\"/>", at * 20, bars[at]))
            .collect();
        let (four, size) = art(&body);
        let refused =
            layers(&four, size, &[0, 1, 2, 3].map(|at| film(at, 90.0)), &LayerRules::usual()).expect_err("four films");
        assert_eq!(refused.code, codes::LAYERS_MANY);
        let (two, size) = art(PATCH);
        let laid = layers(&two, size, &[pile(0, 300.0), pile(1, 300.0)], &LayerRules::usual()).expect("layers");
        assert_eq!(laid.findings[0].code, codes::LAYER_EDGE_TO_EDGE);
        assert_eq!(
            layers(&two, size, &[film(0, 90.0)], &LayerRules::usual()).expect_err("no film").code,
            codes::LAYER_FILM_MISSING
        );
    }
}
