//! A print tried in another place, at once: where it lies, whether a press
//! reaches it, what is in the way. Nothing is planned or kept.

use crate::codes;
use crate::pictures::png_shown;
use art::{CleanArt, PrintSize};
use drawing::{ArtImage, GarmentPicture, Labelled, PrintOn};
use garment::{Placed, Position};
use plan::Line;
use report::Finding;
use trade::{GarmentSize, GarmentStyle, Shop};
use units::Length;
use words::Speech;

/// What is tried.
#[derive(Debug, Clone, Copy)]
pub struct Trying<'a> {
    /// The line, as it is kept.
    pub line: &'a Line,
    /// Which print of it, from 0.
    pub print: usize,
    /// On which size; the line's first when it has none of that name.
    pub size: &'a str,
    /// Where.
    pub position: Position,
    /// How large.
    pub wish: art::SizeWish,
    /// Moved from the usual place, right and up.
    pub offset: (Length, Length),
    /// Art of the line's other prints, as far as it is read, by their number.
    pub others: &'a [(usize, std::sync::Arc<CleanArt>)],
}

/// A print where it was tried.
#[derive(Debug, Clone)]
pub struct TriedPlace {
    /// The garment with it; one unit of the picture is one millimetre.
    pub picture: String,
    /// What is found there, the gravest first; empty when all is well.
    pub findings: Vec<Finding>,
    /// Size of the print.
    pub size: (Length, Length),
    /// The platen that takes it, where one does.
    pub platen: Option<String>,
}

/// Tries a place. `None` where garment or size are not on the shelf.
///
/// # Errors
/// The finding of a size that art cannot have. Cost: a few milliseconds.
pub fn try_place(
    shop: &Shop,
    art: &CleanArt,
    tried: &Trying<'_>,
    speech: &Speech,
) -> Option<Result<TriedPlace, Finding>> {
    let style = shop.garment(shop.find_garment(&tried.line.garment)?);
    let size = style.size(tried.size).or_else(|| style.size(&tried.line.sizes.first()?.size))?;
    let colour = style.colour(&tried.line.colour)?;
    let cloth = shop.cloth(colour.cloth);
    let print = match art.size(tried.wish) {
        Ok(print) => print,
        Err(finding) => return Some(Err(finding)),
    };
    let area = (print.width(), print.height());
    let outcome = garment::place(style, size, tried.position, area, Some(tried.offset));
    let mut findings = outcome.findings;
    let Some(placed) = outcome.value else {
        // What keeps it from lying there at all, the gravest word.
        return findings.into_iter().max_by_key(|finding| finding.severity).map(Err);
    };
    let others = others(style, size, tried);
    for (_, other, _) in &others {
        findings.extend(garment::apart(&placed, other));
    }
    let earlier: Vec<Placed> =
        others.iter().filter(|(at, _, _)| *at < tried.print).map(|(_, placed, _)| placed.clone()).collect();
    let reach = garment::reach(shop, style, size, cloth, &placed, &earlier);
    let platen = match &reach {
        Ok(reach) => Some(shop.platen(reach.platen).name.clone()),
        Err(unreachable) => {
            findings.push(unreachable.finding.clone());
            None
        }
    };
    findings.sort_by_key(|finding| std::cmp::Reverse(finding.severity));
    let on = On { style, size, rgb: colour.rgb, art, print };
    let place = reach.as_ref().ok().map(|reach| &reach.place);
    let picture = on.picture(&placed, &others, place, tried, speech)?;
    Some(Ok(TriedPlace { picture, findings, size: area, platen }))
}

/// The line's other prints where they lie on this size, as far as they can.
fn others(style: &GarmentStyle, size: &GarmentSize, tried: &Trying<'_>) -> Vec<(usize, Placed, String)> {
    let place = |(at, art): &(usize, std::sync::Arc<CleanArt>)| {
        let print = tried.line.prints.get(*at)?;
        let position = garment::read_position(&print.position).ok()?;
        let print_size = art.size(print.size).ok()?;
        let area = (print_size.width(), print_size.height());
        let placed = garment::place(style, size, position, area, print.offset).value?;
        Some((*at, placed, png_shown(art, (area.0.mm(), area.1.mm()))?))
    };
    tried.others.iter().filter_map(place).collect()
}

/// What is drawn.
struct On<'a> {
    style: &'a GarmentStyle,
    size: &'a GarmentSize,
    rgb: [u8; 3],
    art: &'a CleanArt,
    print: PrintSize,
}

impl On<'_> {
    fn picture(
        &self,
        placed: &Placed,
        others: &[(usize, Placed, String)],
        platen: Option<&garment::PlatenPlace>,
        tried: &Trying<'_>,
        speech: &Speech,
    ) -> Option<String> {
        let flat = garment::flat(self.style, self.size).ok()?;
        let image = png_shown(self.art, (self.print.width().mm(), self.print.height().mm()))?;
        let name = tried.line.prints.get(tried.print).map_or("", |print| print.art.as_str());
        // The one that is moved comes first: by that a hand finds it.
        let mut prints = vec![PrintOn { placed, image: ArtImage::Png(&image), name }];
        let beside = others.iter().filter(|(_, other, _)| other.panel == placed.panel);
        prints.extend(beside.map(|(at, placed, image)| PrintOn {
            placed,
            image: ArtImage::Png(image),
            name: tried.line.prints.get(*at).map_or("", |print| print.art.as_str()),
        }));
        let labels: Vec<String> = placed
            .measures
            .iter()
            .map(|measure| format!("{} {}", speech.length(measure.length), speech.term(measure.from)))
            .collect();
        let measures: Vec<Labelled<'_>> =
            placed.measures.iter().zip(&labels).map(|(measure, label)| Labelled { measure, label }).collect();
        let title = format!("{}, {}", words::clean(&self.style.name), self.size.name);
        Some(drawing::garment_picture(&GarmentPicture {
            title: &title,
            description: &labels.join("; "),
            shape: flat.panel(placed.panel)?,
            cloth: Some(self.rgb),
            prints: &prints,
            platen,
            pillow: None,
            measures: &measures,
            wearers_left: &speech.term(codes::WEARERS_LEFT),
            obstacles: true,
        }))
    }
}
