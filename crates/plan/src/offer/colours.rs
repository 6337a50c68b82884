//! Whether a transfer can show the colours of the art, and in which film.

use super::Weighing;
use crate::codes;
use crate::order::StatedColour;
use crate::result::FilmChoice;
use art::{ColourNature, FilmMatch, Lab, SpotColour};
use report::{Origin, Reason, Value};
use trade::{ColourFamily, Colours, Dye, FilmColour};

/// CIEDE2000 below which nobody is asked, and up to which a person must consent
/// (bands of common practice, no source).
const CLOSE: f64 = 2.0;
const CONSENT: f64 = 5.0;
/// Beyond this it is another colour.
const OTHER: f64 = 10.0;

/// Weighs the colours; the film taken, for films of one colour.
pub(super) fn weigh(weighing: &mut Weighing<'_>) -> Option<FilmChoice> {
    let art = weighing.print.art;
    let count = i64::try_from(art.colours().len()).unwrap_or(i64::MAX);
    let graded = !matches!(art.colour_nature(), ColourNature::Spot(_));
    match &weighing.transfer.colours {
        Colours::Full { white } => {
            if !white && weighing.line.colour.dye != Dye::Undyed {
                weighing.fails(Reason::new(codes::NO_WHITE), 3.0);
            } else {
                weighing.speaks_for(Reason::new(codes::COLOURS_GOOD).from(
                    "colours",
                    Value::Count(count),
                    Origin::Measured,
                ));
            }
            None
        }
        Colours::Spot { most } => {
            if graded {
                weighing.fails(Reason::new(codes::NEEDS_FULL_COLOUR), 2.0);
            } else if count > i64::from(*most) {
                weighing.fails(
                    Reason::new(codes::TOO_MANY_COLOURS).from("colours", Value::Count(count), Origin::Measured),
                    1.0,
                );
            } else {
                weighing.speaks_for(Reason::new(codes::COLOURS_GOOD).from(
                    "colours",
                    Value::Count(count),
                    Origin::Measured,
                ));
            }
            None
        }
        Colours::Film(films) => {
            if graded {
                weighing.fails(Reason::new(codes::NEEDS_FULL_COLOUR), 2.0);
            } else if count > 1 && weighing.print.wish.colours.len() != 1 {
                weighing.fails(
                    Reason::new(codes::TOO_MANY_COLOURS).from("colours", Value::Count(count), Origin::Measured),
                    1.0,
                );
            }
            film(weighing, films)
        }
    }
}

fn film(weighing: &mut Weighing<'_>, films: &[FilmColour]) -> Option<FilmChoice> {
    if let Some(stated) = weighing.print.wish.colours.first() {
        return match films.iter().find(|film| film.name.eq_ignore_ascii_case(stated)) {
            Some(film) => {
                weighing.speaks_for(about_name(codes::FILM_STATED, "film", &film.name, Origin::Person));
                Some(FilmChoice { name: film.name.clone(), rgb: film.rgb, difference: None })
            }
            None => {
                weighing.fails(about_name(codes::FILM_NOT_STOCKED, "film", stated, Origin::Person), 1.0);
                None
            }
        };
    }
    let (wanted, stated) = meant(weighing.print.art.colours().first()?, &weighing.print.wish.stated);
    if let Some(stated) = stated {
        weighing.speaks_for(about_name(codes::COLOUR_STATED, "colour", &stated.typed, Origin::Person));
    }
    let best: FilmMatch = art::match_film(&wanted, &plain_films(films)).into_iter().next()?;
    let film = films.get(best.film)?;
    let reason = |code| {
        about_name(code, "film", &film.name, Origin::Shop).from(
            "difference",
            Value::Number(best.difference),
            Origin::Model,
        )
    };
    if best.difference <= CLOSE {
        weighing.speaks_for(reason(codes::FILM_CLOSE));
    } else if best.difference <= CONSENT {
        weighing.condition(reason(codes::FILM_CONSENT));
    } else if best.difference <= OTHER {
        weighing.condition(reason(codes::FILM_FAR));
    } else {
        weighing.fails(reason(codes::FILM_FAR), best.difference / 10.0);
    }
    Some(FilmChoice { name: film.name.clone(), rgb: film.rgb, difference: Some(best.difference) })
}

/// The colour that is meant: what the customer states of it outranks the file.
fn meant<'a>(found: &SpotColour, stated: &'a [StatedColour]) -> (SpotColour, Option<&'a StatedColour>) {
    // A file's own colours are found to a step or two of 255 when it is a picture.
    let near = |told: &&StatedColour| told.file.iter().zip(found.rgb).all(|(a, b)| a.abs_diff(b) <= 4);
    match stated.iter().find(near) {
        Some(told) => (SpotColour { lab: told.meant, ..*found }, Some(told)),
        None => (*found, None),
    }
}

/// Films for matching by difference; other families are matched by name only.
fn plain_films(films: &[FilmColour]) -> Vec<art::FilmColour> {
    films
        .iter()
        .map(|film| {
            let family = match film.family {
                ColourFamily::Plain => art::FilmFamily::Plain,
                ColourFamily::Metallic => art::FilmFamily::Metallic,
                ColourFamily::Glitter => art::FilmFamily::Glitter,
                ColourFamily::Reflective => art::FilmFamily::Reflective,
                ColourFamily::Fluorescent => art::FilmFamily::Fluorescent,
            };
            art::FilmColour { name: film.name.clone(), lab: Lab::of(film.rgb), family }
        })
        .collect()
}

fn about_name(code: report::Code, name: &'static str, text: &str, origin: Origin) -> Reason {
    Reason::new(code).from(name, Value::Text(text.to_owned()), origin)
}
