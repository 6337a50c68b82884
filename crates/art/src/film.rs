//! Which film on the shelf comes nearest to a colour.

use crate::background::hex;
use crate::codes;
use crate::colour::{Lab, SpotColour, ciede2000};
use report::{Code, Finding, Severity, Value};

/// What a film looks like beyond its hue; a colour difference says nothing of these but the plain one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum FilmFamily {
    /// Even, matt or glossy.
    Plain,
    /// Mirror or brushed metal.
    Metallic,
    /// Glitter.
    Glitter,
    /// Throws light back.
    Reflective,
    /// Velvet pile.
    Flock,
    /// Brighter than any print.
    Fluorescent,
}

/// A film on the shelf.
#[derive(Debug, Clone, PartialEq)]
pub struct FilmColour {
    /// The shelf's own name for it.
    pub name: String,
    /// Measured or stated colour, CIELAB under D65.
    pub lab: Lab,
    /// Its look.
    pub family: FilmFamily,
}

/// How good a match is. Limits 1, 2, 3.5, 5 and 10 of ΔE00: common practice, no source.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum MatchBand {
    /// Under 1: the same to most eyes.
    Same,
    /// Up to 2: close.
    Close,
    /// Up to 3.5: seen side by side.
    SideBySide,
    /// Up to 5: plain to see.
    Plain,
    /// Up to 10: different.
    Different,
    /// Over 10: another colour.
    Other,
}

/// What to do with a match.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Offer {
    /// Up to 2: offered without a word.
    Silently,
    /// 2 to 5: offered with a swatch to agree to.
    WithSwatch,
    /// Over 5: only named as the nearest stocked.
    NearestOnly,
}

/// One film as an answer to a colour.
#[derive(Debug, Clone, PartialEq)]
pub struct FilmMatch {
    /// Which of the films given, from 0.
    pub film: usize,
    /// ΔE00.
    pub difference: f64,
    /// How good.
    pub band: MatchBand,
    /// What to do with it.
    pub offer: Offer,
}

/// Plain films, best first; of equally good ones the nearer in hue, then in lightness.
pub fn match_film(colour: &SpotColour, films: &[FilmColour]) -> Vec<FilmMatch> {
    match_family(colour, films, FilmFamily::Plain)
}

/// What to say of the best of the films for a colour; nothing when it is as good as the colour.
pub fn film_finding(colour: &SpotColour, films: &[FilmColour], family: FilmFamily) -> Option<Finding> {
    let shown = hex(colour.rgb);
    let Some(best) = match_family(colour, films, family).into_iter().next() else {
        let none = Finding::new(Severity::StopsLine, codes::FILM_NONE, codes::FIX_SWATCH);
        return Some(none.named("colour", shown).with("family", Value::Term(family.code())));
    };
    let (severity, code, remedy) = match best.offer {
        Offer::Silently if best.band == MatchBand::Same => return None,
        Offer::Silently => (Severity::Note, codes::FILM_SAME, codes::FIX_LOOK),
        Offer::WithSwatch => (Severity::Ask, codes::FILM_CLOSE, codes::FIX_SWATCH),
        Offer::NearestOnly => (Severity::Ask, codes::FILM_NEAREST, codes::FIX_SWATCH),
    };
    Some(
        Finding::new(severity, code, remedy)
            .named("colour", shown)
            .named("film", films[best.film].name.clone())
            .with("difference", Value::Number((best.difference * 10.0).round() / 10.0)),
    )
}

impl FilmFamily {
    /// The term for it.
    pub fn code(self) -> Code {
        match self {
            Self::Plain => codes::FAMILY_PLAIN,
            Self::Metallic => codes::FAMILY_METALLIC,
            Self::Glitter => codes::FAMILY_GLITTER,
            Self::Reflective => codes::FAMILY_REFLECTIVE,
            Self::Flock => codes::FAMILY_FLOCK,
            Self::Fluorescent => codes::FAMILY_FLUORESCENT,
        }
    }
}

/// Films of one look, best first. For looks other than plain the order is only a help: a
/// person chooses by name.
pub fn match_family(colour: &SpotColour, films: &[FilmColour], family: FilmFamily) -> Vec<FilmMatch> {
    let mut matches: Vec<FilmMatch> = films
        .iter()
        .enumerate()
        .filter(|(_, film)| film.family == family)
        .map(|(at, film)| rated(at, ciede2000(colour.lab, film.lab)))
        .collect();
    let ties = |found: &FilmMatch| {
        let film = films[found.film].lab;
        ((found.difference * 10.0).round(), hue_between(colour.lab, film), (colour.lab.l - film.l).abs())
    };
    matches.sort_by(|a, b| {
        let (a_tie, b_tie) = (ties(a), ties(b));
        a_tie
            .0
            .total_cmp(&b_tie.0)
            .then(a_tie.1.total_cmp(&b_tie.1))
            .then(a_tie.2.total_cmp(&b_tie.2))
            .then(a.film.cmp(&b.film))
    });
    matches
}

fn rated(film: usize, difference: f64) -> FilmMatch {
    let band = match difference {
        d if d < 1.0 => MatchBand::Same,
        d if d <= 2.0 => MatchBand::Close,
        d if d <= 3.5 => MatchBand::SideBySide,
        d if d <= 5.0 => MatchBand::Plain,
        d if d <= 10.0 => MatchBand::Different,
        _ => MatchBand::Other,
    };
    let offer = match difference {
        d if d <= 2.0 => Offer::Silently,
        d if d <= 5.0 => Offer::WithSwatch,
        _ => Offer::NearestOnly,
    };
    FilmMatch { film, difference, band, offer }
}

/// The metric hue difference ΔH of CIELAB (CIE 15), without its sign.
fn hue_between(a: Lab, b: Lab) -> f64 {
    let chroma = |lab: Lab| lab.a.hypot(lab.b);
    let squared = (a.a - b.a).powi(2) + (a.b - b.b).powi(2) - (chroma(a) - chroma(b)).powi(2);
    squared.max(0.0).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn film(name: &str, rgb: [u8; 3], family: FilmFamily) -> FilmColour {
        FilmColour { name: name.to_owned(), lab: Lab::of(rgb), family }
    }

    #[test]
    fn the_nearest_plain_film_comes_first_and_glitter_is_not_matched_by_hue() {
        let films = [
            film("sea", [20, 60, 160], FilmFamily::Plain),
            film("poppy", [200, 30, 40], FilmFamily::Plain),
            film("poppy glitter", [198, 31, 40], FilmFamily::Glitter),
        ];
        let rgb = [198, 31, 40];
        let found = match_film(&SpotColour { rgb, lab: Lab::of(rgb), share: 1.0 }, &films);
        assert_eq!(found.len(), 2);
        assert_eq!((found[0].film, found[0].band, found[0].offer), (1, MatchBand::Same, Offer::Silently));
        assert_eq!((found[1].film, found[1].offer), (0, Offer::NearestOnly));
        let said = |rgb: [u8; 3], family| {
            film_finding(&SpotColour { rgb, lab: Lab::of(rgb), share: 1.0 }, &films, family).map(|f| f.code)
        };
        assert_eq!(said(rgb, FilmFamily::Plain), None);
        assert_eq!(said([20, 200, 40], FilmFamily::Plain), Some(codes::FILM_NEAREST));
        assert_eq!(said(rgb, FilmFamily::Flock), Some(codes::FILM_NONE));
    }
}
