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

/// The films that the art's colours are cut from.
#[derive(Debug, Clone, Default)]
pub(super) enum Films {
    /// No film of one colour, or none that serves.
    #[default]
    None,
    /// All of it from one.
    One(FilmChoice),
    /// Each of the art's colours from its own, in their order; nothing where the cloth shows.
    Several(Vec<Option<Assigned>>),
}

/// The film of one colour.
#[derive(Debug, Clone)]
pub(super) struct Assigned {
    /// Its place among the transfer's colours.
    pub at: usize,
    pub film: FilmChoice,
}

/// Weighs the colours; the films taken, for films of one colour.
pub(super) fn weigh(weighing: &mut Weighing<'_>) -> Films {
    let art = weighing.print.art;
    let count = i64::try_from(art.colours().len()).unwrap_or(i64::MAX);
    let graded = !matches!(art.colour_nature(), ColourNature::Spot(_));
    let too_many = || Reason::new(codes::TOO_MANY_COLOURS).from("colours", Value::Count(count), Origin::Measured);
    let shown = || Reason::new(codes::COLOURS_GOOD).from("colours", Value::Count(count), Origin::Measured);
    match &weighing.transfer.colours {
        Colours::Full { white } => {
            if !white && weighing.line.colour.dye != Dye::Undyed {
                weighing.fails(Reason::new(codes::NO_WHITE), 3.0);
            } else {
                weighing.speaks_for(shown());
            }
            Films::None
        }
        Colours::Spot { most } => {
            if graded {
                weighing.fails(Reason::new(codes::NEEDS_FULL_COLOUR), 2.0);
            } else if count > i64::from(*most) {
                weighing.fails(too_many(), 1.0);
            } else {
                weighing.speaks_for(shown());
            }
            Films::None
        }
        Colours::Film(films) => {
            let one_stated = weighing.print.wish.colours.len() == 1;
            if graded {
                weighing.fails(Reason::new(codes::NEEDS_FULL_COLOUR), 2.0);
            } else if count > 1 && !one_stated {
                return several(weighing, films);
            }
            film(weighing, films).map_or(Films::None, Films::One)
        }
    }
}

/// A film for each colour of the art.
fn several(weighing: &mut Weighing<'_>, films: &[FilmColour]) -> Films {
    let art = weighing.print.art;
    let wish = &weighing.print.wish.colours;
    let found = |name: &String| films.iter().position(|film| film.name.eq_ignore_ascii_case(name));
    if let Some(stated) = wish.iter().find(|name| found(name).is_none()) {
        weighing.fails(about_name(codes::FILM_NOT_STOCKED, "film", stated, Origin::Person), 1.0);
        return Films::None;
    }
    let stated: Vec<usize> = wish.iter().filter_map(found).collect();
    let shows = |rgb: [u8; 3]| {
        weighing.print.wish.let_cloth_show
            && art::ciede2000(Lab::of(rgb), Lab::of(weighing.line.colour.rgb)) <= CLOTH_SHOWS
    };
    let left: Vec<bool> = art.colours().iter().map(|colour| shows(colour.rgb)).collect();
    let cut: Vec<usize> = (0..left.len()).filter(|at| !left[*at]).collect();
    for (colour, _) in art.colours().iter().zip(&left).filter(|(_, left)| **left) {
        weighing.speaks_for(about_name(codes::CLOTH_SHOWS, "colour", &hex(colour.rgb), Origin::Person));
    }
    let taken: Vec<Option<usize>> = if stated.is_empty() {
        cut.iter().map(|at| nearest(weighing, films, &art.colours()[*at])).collect()
    } else {
        for at in &stated {
            weighing.speaks_for(about_name(codes::FILM_STATED, "film", &films[*at].name, Origin::Person));
        }
        let wanted: Vec<Lab> =
            cut.iter().map(|at| meant(&art.colours()[*at], &weighing.print.wish.stated).0.lab).collect();
        assigned(&wanted, &stated, films).into_iter().map(Some).collect()
    };
    let mut all: Vec<Option<Assigned>> = vec![None; left.len()];
    for (colour, at) in cut.iter().zip(&taken) {
        let Some(at) = *at else { return Films::None };
        let difference = (stated.is_empty()).then(|| {
            let (wanted, _) = meant(&art.colours()[*colour], &weighing.print.wish.stated);
            art::ciede2000(wanted.lab, Lab::of(films[at].rgb))
        });
        let film = FilmChoice { name: films[at].name.clone(), rgb: films[at].rgb, difference };
        all[*colour] = Some(Assigned { at, film });
    }
    let mut used: Vec<usize> = all.iter().flatten().map(|one| one.at).collect();
    used.sort_unstable();
    for twice in used.windows(2).filter(|pair| pair[0] == pair[1]) {
        let film = &films[twice[0]].name;
        weighing.condition(about_name(codes::COLOURS_SHARE_FILM, "film", film, Origin::Model));
    }
    if used.is_empty() {
        weighing.fails(Reason::new(codes::NOTHING_CUT), 1.0);
        return Films::None;
    }
    Films::Several(all)
}

/// Colours as near as this to the cloth's are left to it where that is asked for, CIEDE2000.
const CLOTH_SHOWS: f64 = 2.0;

/// Stated films to colours: where there are as many, each once, so that they are nearest in all;
/// else each colour takes the nearest. Ties go to the first way found, in the order stated.
fn assigned(wanted: &[Lab], stated: &[usize], films: &[FilmColour]) -> Vec<usize> {
    let far = |lab: Lab, at: usize| art::ciede2000(lab, Lab::of(films[at].rgb));
    if stated.len() == wanted.len() && stated.len() <= MOST_PERMUTED {
        let mut best: (f64, Vec<usize>) = (f64::INFINITY, stated.to_vec());
        permuted(&mut stated.to_vec(), 0, &mut |order| {
            let sum: f64 = wanted.iter().zip(order).map(|(lab, at)| far(*lab, *at)).sum();
            if sum < best.0 {
                best = (sum, order.to_vec());
            }
        });
        return best.1;
    }
    let nearest = |lab: &Lab| stated.iter().copied().min_by(|a, b| far(*lab, *a).total_cmp(&far(*lab, *b)));
    wanted.iter().filter_map(nearest).collect()
}

/// More films than may lie on one print are matched one by one.
const MOST_PERMUTED: usize = 5;

/// Every order of a list, told one by one.
fn permuted(list: &mut Vec<usize>, from: usize, tell: &mut impl FnMut(&[usize])) {
    if from == list.len() {
        return tell(list);
    }
    for at in from..list.len() {
        list.swap(from, at);
        permuted(list, from + 1, tell);
        list.swap(from, at);
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
    let colour = weighing.print.art.colours().first()?;
    let film = films.get(nearest(weighing, films, colour)?)?;
    let (wanted, _) = meant(colour, &weighing.print.wish.stated);
    let difference = art::ciede2000(wanted.lab, Lab::of(film.rgb));
    Some(FilmChoice { name: film.name.clone(), rgb: film.rgb, difference: Some(difference) })
}

/// The plain film nearest to a colour of the art, with what that says for or against it.
fn nearest(weighing: &mut Weighing<'_>, films: &[FilmColour], colour: &SpotColour) -> Option<usize> {
    let (wanted, stated) = meant(colour, &weighing.print.wish.stated);
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
    Some(best.film)
}

/// `#rrggbb`.
fn hex(rgb: [u8; 3]) -> String {
    format!("#{:02x}{:02x}{:02x}", rgb[0], rgb[1], rgb[2])
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

#[cfg(test)]
mod tests {
    use super::*;

    fn film(name: &str, rgb: [u8; 3]) -> FilmColour {
        FilmColour { name: name.into(), rgb, family: ColourFamily::Plain }
    }

    /// Each stated film is taken once where there are as many films as colours, though one of them
    /// is nearest to both.
    #[test]
    fn stated_films_are_given_out_so_that_all_are_used() {
        let films = [film("red", [200, 30, 40]), film("dark", [60, 20, 20]), film("blue", [20, 60, 160])];
        let wanted = [[210, 40, 40], [150, 20, 30]].map(Lab::of);
        assert_eq!(assigned(&wanted, &[1, 0], &films), [0, 1]);
        assert_eq!(assigned(&wanted, &[1, 0, 2], &films), [0, 0]);
        let mut orders = 0;
        permuted(&mut vec![1, 2, 3, 4], 0, &mut |_| orders += 1);
        assert_eq!(orders, 24);
    }
}
