//! Prints cut from several films: what is cut from each, and how they are laid over one another.
//!
//! Lower films are only tacked, so that they hold while the next is laid; the last press makes
//! the bond of all. Common practice, no source.

use crate::codes;
use crate::draft::LineDraft;
use crate::press_heat::{HeatBook, Layered};
use crate::result::{CardStep, FilmChoice, FilmStack, PressCard, Stacked, StackedFilm, UnderLater};
use crate::shapes::{PackShape, Shapes, at_size, limits_key, um};
use art::{CleanArt, FilmLayer, KindLimits, LayerFilm, LayerRules, PrintSize};
use heat::press::Setting;
use report::{Figure, Finding, Origin, Outcome, Reason, Value};
use std::borrow::Cow;
use std::sync::Arc;
use trade::kinds::{self, Stacking as Place};
use trade::{ColourFamily, FilmColour, MakerRange, Peel, PressStep, Recipe, RecipeStep, Shop, StepRole, Transfer};
use units::{Duration, Length, Temperature};

/// Closed over a lower film, s: shortest and as set (common practice, no source).
const TACK_S: (f64, f64) = (2.0, 3.0);

/// What is cut from the films of a print, whatever they are called.
#[derive(Debug, Clone)]
pub(crate) struct Stacking {
    pub layers: Vec<FilmLayer>,
    pub shapes: Vec<PackShape>,
    pub weeding: Vec<Duration>,
    pub findings: Vec<Finding>,
}

/// Overlap, thickness and number of films.
pub(crate) fn rules() -> LayerRules {
    LayerRules { most_films: u32::try_from(kinds::MOST_FILMS).unwrap_or(u32::MAX), ..LayerRules::usual() }
}

/// Whether film of this kind may lie over or under another piece of it at all.
pub(crate) fn may_be_stacked(transfer: &Transfer) -> bool {
    !matches!(kinds::generic(transfer.kind).stacking, Place::Single | Place::InCloth)
}

/// A film colour as one of several on a print; `nth` tells it from the others.
pub(crate) fn layer_film(transfer: &Transfer, film: &FilmColour, nth: usize) -> LayerFilm {
    // What glitters, mirrors or throws light back lies on top and wants the cloth beneath.
    let smooth = matches!(film.family, ColourFamily::Plain | ColourFamily::Fluorescent)
        && matches!(kinds::generic(transfer.kind).stacking, Place::Any | Place::LowTemperature | Place::OwnKind);
    LayerFilm { film: nth, thickness: transfer.thickness.value, may_lie_below: smooth, holds_on_film: smooth }
}

/// What is cut from each film, measured for the limits of its transfer; worked out once.
pub(crate) fn stacking(
    art: &CleanArt,
    size: PrintSize,
    films: &[Option<LayerFilm>],
    limits: &KindLimits,
    shapes: &Shapes,
) -> Arc<Result<Stacking, Finding>> {
    let number = |film: &LayerFilm| {
        let nth = i64::try_from(film.film).unwrap_or(i64::MAX);
        [nth, um(film.thickness.mm()), i64::from(film.may_lie_below), i64::from(film.holds_on_film)]
    };
    let key = (at_size(art, size), films.iter().map(|film| film.as_ref().map(number)).collect(), limits_key(limits));
    shapes.stacks.get_or(key, || Arc::new(worked_out(art, size, films, limits)))
}

fn worked_out(
    art: &CleanArt,
    size: PrintSize,
    films: &[Option<LayerFilm>],
    limits: &KindLimits,
) -> Result<Stacking, Finding> {
    let Outcome { value: layers, mut findings } = art::layers(art, size, films, &rules())?;
    let mut stacking = Stacking { layers: Vec::new(), shapes: Vec::new(), weeding: Vec::new(), findings: Vec::new() };
    for layer in layers {
        let measured = art::measure_film(&layer.cut, size, limits);
        findings.extend(measured.findings);
        stacking.weeding.push(measured.value.weeding);
        // What is seen of a colour has an outline.
        stacking.shapes.extend(PackShape::of_film(size, &layer.cut));
        stacking.layers.push(layer);
    }
    stacking.findings = findings;
    Ok(stacking)
}

/// The stack as the plan shows it; `films` are those of the art's colours, in that order.
pub(crate) fn stack(stacking: &Stacking, films: &[Option<FilmChoice>]) -> Option<FilmStack> {
    let rules = rules();
    let of = |(layer, weeding): (&FilmLayer, &Duration)| {
        let film = films.get(*layer.colours.first()?)?.clone()?;
        Some(StackedFilm { film, layer: layer.clone(), weeding: *weeding })
    };
    let layers: Vec<StackedFilm> = stacking.layers.iter().zip(&stacking.weeding).filter_map(of).collect();
    let whole = !layers.is_empty() && layers.len() == stacking.shapes.len();
    whole.then(|| FilmStack {
        layers,
        overlap: rules.overlap,
        thickest_allowed: rules.stack,
        shapes: stacking.shapes.clone(),
    })
}

/// What the heat model must know of a stack.
pub(crate) fn layered(stack: Option<&FilmStack>, transfer: &Transfer) -> Layered {
    stack.map_or(Layered::default(), |stack| Layered {
        films: stack.layers.len(),
        above: (stack.thickest() - transfer.thickness.value).max(Length::ZERO),
    })
}

/// A recipe for so many films: each lower one is placed, tacked and peeled, then the last is
/// pressed as the maker says, under a cover sheet.
pub(crate) fn laid(recipe: &Recipe, films: usize) -> Cow<'_, Recipe> {
    if films < 2 {
        return Cow::Borrowed(recipe);
    }
    let Some(place) = recipe.steps.iter().position(|step| matches!(step, RecipeStep::Place)) else {
        return Cow::Borrowed(recipe);
    };
    let (before, rest) = recipe.steps.split_at(place);
    let mut steps = before.to_vec();
    for nth in 1..films {
        steps.extend(lower(recipe, rest, nth));
    }
    steps.extend(rest.iter().cloned());
    for step in &mut steps {
        match step {
            RecipeStep::Press(press) if press.role == StepRole::Full => press.cover = press.cover.or(Some(true)),
            _ => {}
        }
    }
    Cow::Owned(Recipe { steps, ..recipe.clone() })
}

/// Laying one lower film, the `nth` from the lowest, from 1.
fn lower(recipe: &Recipe, rest: &[RecipeStep], nth: usize) -> Vec<RecipeStep> {
    let peeled = rest.iter().position(|step| matches!(step, RecipeStep::Peel(_)));
    let first_visit = peeled.map_or(rest, |at| &rest[..=at]);
    let role = |step: &RecipeStep, wanted| matches!(step, RecipeStep::Press(press) if press.role == wanted);
    // A maker's own tack is taken as it is.
    if first_visit.iter().any(|step| role(step, StepRole::Tack))
        && !first_visit.iter().any(|step| role(step, StepRole::Full))
    {
        return first_visit.to_vec();
    }
    let mut steps = vec![RecipeStep::Place];
    steps.extend(recipe.full_press().map(|full| RecipeStep::Press(tack(full, nth))));
    let peel = recipe.peel().unwrap_or(Peel::Cold);
    if peel != Peel::Hot {
        steps.push(RecipeStep::SetAside);
    }
    steps.push(RecipeStep::Peel(peel));
    steps
}

fn tack(full: &PressStep, nth: usize) -> PressStep {
    let seconds = |s| Duration::from_s(s).unwrap_or_default();
    PressStep {
        role: StepRole::Tack,
        dwell: MakerRange { low: seconds(TACK_S.0), set: seconds(TACK_S.1), high: seconds(TACK_S.1) },
        // From the second film on, one lies bare beside it.
        cover: if nth > 1 { Some(true) } else { full.cover },
        ..full.clone()
    }
}

/// Whether a closing is ours and not the maker's.
pub(crate) fn is_own_tack(recipe: &Recipe, press: &PressStep) -> bool {
    press.role == StepRole::Tack && !recipe.presses().any(|known| known.role == StepRole::Tack)
}

/// The time of a tack that no sheet gives.
pub(crate) fn tack_dwell(press: &PressStep) -> Figure<Duration> {
    let reason = Reason::new(codes::FILM_TACK).from("dwell", Value::Duration(press.dwell.set), Origin::Default);
    Figure::new(press.dwell.set, reason).between(press.dwell.low, press.dwell.high)
}

/// All closings over the lowest film as the sheet sets them, the full press `longer` than that.
pub(crate) fn dwell_on_lowest(recipe: &Recipe, films: usize, longer: Duration) -> Duration {
    laid(recipe, films).presses().map(|press| press.dwell.set).sum::<Duration>() + longer
}

/// How long the lowest film may be pressed in all.
pub(crate) fn most_on_lowest(recipe: &Recipe) -> Duration {
    recipe.full_press().map_or(Duration::ZERO, |full| full.dwell.set) * kinds::MOST_DWELL_ON_LOWEST
}

/// What the card says of several films, whose steps it has.
pub(crate) fn stacked(stack: &FilmStack, recipe: &Recipe, steps: &[CardStep]) -> Option<Stacked> {
    let closed = |step: &CardStep| match step {
        CardStep::Press { dwell, .. } => Some(dwell.value),
        _ => None,
    };
    let all: Duration = steps.iter().filter_map(closed).sum();
    (stack.layers.len() > 1).then(|| Stacked {
        films: stack.layers.iter().map(|one| one.film.clone()).collect(),
        overlap: stack.overlap,
        thickest: (stack.thickest(), stack.thickest_allowed),
        dwell_on_lowest: (all, most_on_lowest(recipe)),
        beneath: None,
    })
}

/// What the films beneath get from the last full press of a card.
pub(crate) fn beneath(
    shop: &Shop,
    line: &LineDraft<'_>,
    card: &PressCard,
    recipe: &Recipe,
    heat: &HeatBook,
) -> Option<UnderLater> {
    let (platen, dwell, cover) = card.steps.iter().find_map(|step| match step {
        CardStep::Press { role: StepRole::Full, temperature, dwell, cover, .. } => {
            Some((temperature.value, dwell.value, cover.is_some()))
        }
        _ => None,
    })?;
    let setting = Setting { platen_c: platen.c(), dwell_s: dwell.s() };
    let extra = heat.later_heat(shop, line, shop.transfer(card.transfer), recipe, setting, cover)?;
    Some(UnderLater {
        bond_peak: Temperature::from_c(extra.bond_peak_c).unwrap_or_default(),
        above_activation: Duration::from_s(extra.above_activation_s).unwrap_or_default(),
        bears: recipe.bears.value,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use trade::{Marked, PressureClass};

    fn press(role: StepRole, s: f64, cover: Option<bool>) -> RecipeStep {
        let c = Temperature::from_c(150.0).expect("finite");
        let s = Duration::from_s(s).expect("finite");
        RecipeStep::Press(PressStep {
            role,
            temperature: MakerRange { low: c, set: c, high: c },
            dwell: MakerRange { low: s, set: s, high: s },
            pressure: PressureClass::Medium,
            cover,
            from_inside: false,
        })
    }

    fn recipe(steps: Vec<RecipeStep>) -> Recipe {
        Recipe {
            source: "sheet".into(),
            reference_cloth: None,
            for_fibres: Vec::new(),
            for_surfaces: Vec::new(),
            activation: None,
            bears: Marked::default_practice(Temperature::from_c(160.0).expect("finite")),
            steps,
        }
    }

    fn said(recipe: &Recipe) -> Vec<String> {
        let of = |step: &RecipeStep| match step {
            RecipeStep::Preheat { .. } => "preheat".to_owned(),
            RecipeStep::Place => "place".to_owned(),
            RecipeStep::Press(press) => format!("{:?} {}{}", press.role, press.dwell.set.s(), cover(press)),
            RecipeStep::SetAside => "aside".to_owned(),
            RecipeStep::Peel(peel) => format!("peel {peel:?}"),
        };
        recipe.steps.iter().map(of).collect()
    }

    fn cover(press: &PressStep) -> &'static str {
        if press.cover == Some(true) { " covered" } else { "" }
    }

    /// Common practice, no source: 2 to 3 s for every lower film, a full press under cover last.
    #[test]
    fn lower_films_are_tacked_and_the_last_press_is_the_makers() {
        let preheat = RecipeStep::Preheat { dwell: Duration::from_s(4.0).expect("finite") };
        let hot = recipe(vec![
            preheat,
            RecipeStep::Place,
            press(StepRole::Full, 12.0, None),
            RecipeStep::Peel(Peel::Hot),
            press(StepRole::Second, 3.0, Some(true)),
        ]);
        assert_eq!(said(&laid(&hot, 1)), said(&hot));
        assert_eq!(
            said(&laid(&hot, 3)),
            [
                "preheat",
                "place",
                "Tack 3",
                "peel Hot",
                "place",
                "Tack 3 covered",
                "peel Hot",
                "place",
                "Full 12 covered",
                "peel Hot",
                "Second 3 covered"
            ]
        );
        // 3 + 3 + 12 + 3 s lie over the lowest film; three times its own twelve may.
        assert_eq!(dwell_on_lowest(&hot, 3, Duration::ZERO).s(), 21.0);
        assert_eq!(most_on_lowest(&hot).s(), 36.0);
    }

    /// A sheet with a tack of its own keeps it for every film.
    #[test]
    fn a_makers_own_tack_is_kept() {
        let two_visits = recipe(vec![
            RecipeStep::Place,
            press(StepRole::Tack, 2.0, None),
            RecipeStep::SetAside,
            RecipeStep::Peel(Peel::Cold),
            press(StepRole::Full, 10.0, Some(true)),
        ]);
        let tacked = ["place", "Tack 2", "aside", "peel Cold"];
        assert_eq!(said(&laid(&two_visits, 2)), [&tacked[..], &tacked[..], &["Full 10 covered"]].concat());
        assert!(!is_own_tack(&two_visits, laid(&two_visits, 2).presses().next().expect("a tack")));
    }
}
