//! `art check` of several colours for films: what is cut from each, measured film by film.

use art::{CleanArt, ColourNature, FilmLayer, KindLimits, LayerFilm, LayerRules, Measures, PrintSize};
use report::{Finding, Outcome};
use trade::Kind;
use trade::kinds::Stacking;
use units::Length;
use words::Speech;

/// The films that art of several colours is cut from, each measured.
pub(super) struct Films {
    layers: Vec<FilmLayer>,
    measured: Vec<Outcome<Measures>>,
    findings: Vec<Finding>,
}

/// One film a colour, for films that are laid over one another; `None` for art or kinds without.
pub(super) fn films(
    kind: Kind,
    art: &CleanArt,
    size: PrintSize,
    limits: &KindLimits,
) -> Option<Result<Films, Finding>> {
    let usual = trade::kinds::generic(kind);
    let flat = matches!(art.colour_nature(), ColourNature::Spot(count) if count > 1);
    if !limits.cut || limits.max_colours.is_some() || !flat {
        return None;
    }
    let thickness = Length::from_mm(usual.middle_thickness_um() / 1000.0).unwrap_or_default();
    let below = matches!(usual.stacking, Stacking::Any | Stacking::LowTemperature | Stacking::OwnKind);
    let film = |film| Some(LayerFilm { film, thickness, may_lie_below: below, holds_on_film: below });
    let wanted: Vec<Option<LayerFilm>> = (0..art.colours().len()).map(film).collect();
    let laid = art::layers(art, size, &wanted, &LayerRules::usual());
    Some(laid.map(|Outcome { value: layers, findings }| {
        let measured = layers.iter().map(|layer| art::measure_film(&layer.cut, size, limits)).collect();
        Films { layers, measured, findings }
    }))
}

/// What is thin within another colour is not thin in the whole: the shape is judged film by film.
pub(super) fn film_by_film(measured: &mut Outcome<Measures>, films: &Films) {
    measured.findings.retain(|finding| !art::OF_SHAPE.contains(&finding.code));
    measured.findings.extend(films.findings.iter().cloned());
    measured.findings.extend(films.measured.iter().flat_map(|film| film.findings.iter().cloned()));
    let least = |of: fn(&Measures) -> Option<Length>| {
        films.measured.iter().filter_map(|film| of(&film.value)).reduce(Length::min)
    };
    let all = &mut measured.value;
    all.thinnest_line = least(|film| film.thinnest_line);
    all.narrowest_gap = least(|film| film.narrowest_gap);
    all.smallest_island = least(|film| film.smallest_island);
    all.parts = films.measured.iter().map(|film| film.value.parts).sum();
    all.pieces_to_weed = films.measured.iter().map(|film| film.value.pieces_to_weed).sum();
    all.weeding = films.measured.iter().map(|film| film.value.weeding).sum();
    let of_films = |of: fn(&Measures) -> &Vec<art::Spot>| {
        films.measured.iter().flat_map(|film| of(&film.value).iter().copied()).collect::<Vec<_>>()
    };
    all.thin_lines = of_films(|film| &film.thin_lines);
    all.narrow_gaps = of_films(|film| &film.narrow_gaps);
    all.small_islands = of_films(|film| &film.small_islands);
    all.sharp_points = of_films(|film| &film.sharp_points);
    all.sharp_insides = of_films(|film| &film.sharp_insides);
    all.widths = films.measured.iter().flat_map(|film| film.value.widths.iter().copied()).collect();
}

/// The films in the order of laying.
pub(super) fn film_lines(art: &CleanArt, films: &Films, speech: &Speech) -> String {
    let rows = films.layers.iter().zip(&films.measured).enumerate().map(|(at, (layer, measured))| {
        let of = |colour: &usize| art.colours().get(*colour).map(|colour| hex(colour.rgb));
        let colours: Vec<String> = layer.colours.iter().filter_map(of).collect();
        let place = if at == 0 { ", the lowest" } else { "" };
        format!(
            "  film {} of {}   {}{place}; thinnest line {}; weeding {}; {} thick at the thickest place",
            at + 1,
            films.layers.len(),
            colours.join(" "),
            measured.value.thinnest_line.map_or_else(|| "–".to_owned(), |length| speech.length(length)),
            speech.duration(measured.value.weeding),
            speech.length(layer.stack),
        )
    });
    rows.collect::<Vec<_>>().join("\n")
}

/// `#rrggbb`.
pub(super) fn hex(rgb: [u8; 3]) -> String {
    format!("#{:02x}{:02x}{:02x}", rgb[0], rgb[1], rgb[2])
}
