//! Whether the films of a print may be laid over one another.

use super::Weighing;
use super::colours::{Assigned, Films};
use crate::codes;
use crate::films;
use crate::press_heat::Pressing;
use crate::result::{FilmChoice, FilmStack};
use crate::shapes::Shapes;
use art::{KindLimits, LayerFilm};
use report::{Finding, Origin, Reason, Value};
use trade::{Colours, FilmColour, Recipe};

/// The films of a print with what is cut from each, and what was found on the way.
pub(super) struct Laid {
    pub stack: FilmStack,
    pub findings: Vec<Finding>,
}

/// Weighs laying the films over one another; `None` where there is nothing to lay.
pub(super) fn weigh(
    weighing: &mut Weighing<'_>,
    films: &Films,
    recipe: Option<&Recipe>,
    limits: &KindLimits,
    shapes: &Shapes,
) -> Option<Laid> {
    let (Films::Several(assigned), Colours::Film(shelf)) = (films, &weighing.transfer.colours) else { return None };
    let layered = layer_films(weighing, assigned, shelf);
    let stacking = films::stacking(weighing.print.art, weighing.print.size, &layered, limits, shapes);
    let stacking = match stacking.as_ref() {
        Ok(stacking) => stacking,
        Err(finding) => {
            weighing.fails(super::rules::about_finding(codes::ART_UNFIT, finding), 1.5);
            return None;
        }
    };
    let choices: Vec<Option<FilmChoice>> =
        assigned.iter().map(|one| one.as_ref().map(|one| one.film.clone())).collect();
    let stack = films::stack(stacking, &choices)?;
    if stack.layers.len() > 1 {
        say_films(weighing, &stack);
        held(weighing, recipe);
    }
    Some(Laid { stack, findings: stacking.findings.clone() })
}

fn layer_films(weighing: &Weighing<'_>, assigned: &[Option<Assigned>], shelf: &[FilmColour]) -> Vec<Option<LayerFilm>> {
    let of = |one: &Option<Assigned>| {
        let at = one.as_ref()?.at;
        Some(films::layer_film(weighing.transfer, shelf.get(at)?, at))
    };
    assigned.iter().map(of).collect()
}

fn say_films(weighing: &mut Weighing<'_>, stack: &FilmStack) {
    let names = stack.layers.iter().map(|one| Value::Text(one.film.name.clone())).collect();
    weighing.speaks_for(
        Reason::new(codes::FILMS_STACKED)
            .from("films", Value::List(names), Origin::Model)
            .from("overlap", Value::Length(stack.overlap), Origin::Default)
            .from("thickest", Value::Length(stack.thickest()), Origin::Model),
    );
}

/// Whether film holds on film here, and bears what is pressed on it later.
fn held(weighing: &mut Weighing<'_>, recipe: Option<&Recipe>) {
    if !films::may_be_stacked(weighing.transfer) {
        weighing.fails(Reason::new(codes::FILMS_SINGLE), 3.0);
    }
    match &weighing.transfer.film_on_film {
        Some(said) if said.value => {}
        Some(_) => weighing.fails(Reason::new(codes::FILM_ON_FILM_REFUSED), 3.0),
        None => weighing.condition(Reason::new(codes::FILM_ON_FILM_UNSAID)),
    }
    let Some((recipe, full)) = recipe.and_then(|recipe| Some((recipe, recipe.full_press()?))) else { return };
    if full.cover == Some(false) {
        weighing.fails(Reason::new(codes::FILMS_NO_COVER), 2.0);
    }
    if full.temperature.set > recipe.bears.value {
        let reason = Reason::new(codes::FILMS_BEAR)
            .sourced("platen", Value::Temperature(full.temperature.set), Origin::Maker, recipe.source.clone())
            .from("bears", Value::Temperature(recipe.bears.value), recipe.bears.origin);
        weighing.fails(reason, (full.temperature.set - recipe.bears.value).k() / 10.0);
    }
}

/// Whether the lowest film is pressed too long in all, with what this cloth adds to the full press.
pub(super) fn weigh_dwell(weighing: &mut Weighing<'_>, stack: &FilmStack, recipe: &Recipe, pressing: &Pressing) {
    let count = stack.layers.len();
    let (dwell, most) = (films::dwell_on_lowest(recipe, count, pressing.longer()), films::most_on_lowest(recipe));
    if count > 1 && dwell > most {
        let reason = Reason::new(codes::FILMS_DWELL).from("dwell", Value::Duration(dwell), Origin::Model).from(
            "most",
            Value::Duration(most),
            Origin::Default,
        );
        weighing.fails(reason, 1.0);
    }
}
