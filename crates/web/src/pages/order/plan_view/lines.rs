//! Lines and prints: garments with their pictures, the place and the transfer of each print.

use super::{Picture, Show};
use crate::form::plan::{CandidatePart, LinePart, PrintPart, ReasonPart};
use crate::parts::{Fig, Mark, Note, hex};
use crate::tongue::Tongue;
use art::SizeWish;
use store::form::AssumedOf;
use units::UnitSystem;

pub(in crate::pages::order) struct LineView {
    pub nth: usize,
    pub garment: String,
    pub colour: String,
    pub swatch: String,
    pub mark: Mark,
    pub state: String,
    pub brought: bool,
    pub sizes: Vec<(String, u32)>,
    pub pictures: Vec<Picture>,
    /// The same on every size, where there are several.
    pub by_size: Vec<Picture>,
    /// What was taken as usual, in a sentence; empty when everything was said.
    pub assumed: String,
    pub unit: Option<Fig>,
    pub total: String,
    pub not_below: Option<Fig>,
    pub notes: Vec<Note>,
    pub prints: Vec<PrintView>,
}

pub(in crate::pages::order) struct PrintView {
    pub nth: usize,
    pub id: String,
    pub art: String,
    pub art_link: String,
    pub position: String,
    pub position_typed: String,
    pub size: String,
    pub width: String,
    pub right: String,
    pub up: String,
    pub place: String,
    pub chosen: Option<Fig>,
    /// The platen that takes it, and how it is loaded.
    pub platen: Option<Fig>,
    pub by_person: bool,
    /// What was taken as usual, in a sentence; empty when everything was said.
    pub assumed: String,
    /// Repairs that are in force: name and words.
    pub repaired: Vec<(String, String)>,
    pub others_said: String,
    pub candidates: Vec<CandidateView>,
    pub notes: Vec<Note>,
}

pub(in crate::pages::order) struct CandidateView {
    pub id: String,
    pub name: String,
    pub estimate: String,
    pub mark: Mark,
    pub fit: String,
    pub fits: bool,
    pub picked: bool,
    pub reasons: Vec<String>,
}

impl Show<'_> {
    pub(super) fn line(&self, nth: usize, line: &LinePart, notes: &[Note]) -> LineView {
        let w = self.w;
        let style = self.shop.find_garment(&line.garment).map(|id| self.shop.garment(id));
        let rgb = style.and_then(|style| style.colour(&line.colour)).map_or([128, 128, 128], |colour| colour.rgb);
        let (mark, state) = match line.state.as_str() {
            "planned" => (Mark::FINE, w.code("plan.state-planned")),
            "waiting" => (Mark::ASK, w.code("plan.state-waiting")),
            _ => (Mark::STOP, w.code("plan.state-stopped")),
        };
        let garment = self.garment(&line.garment);
        let mut pictures = self.pictures(
            &format!("pictures/garment-{}-{}-", self.at + 1, nth + 1),
            &w.ab("web.picture-of", &garment, words::clean(&line.colour)),
        );
        pictures.extend(
            self.pictures(&format!("pictures/out-of-reach-{}-{}-", self.at + 1, nth + 1), &w.t("web.out-of-reach")),
        );
        pictures.extend(self.pictures(&format!("pictures/nearest-{}-{}-", self.at + 1, nth + 1), &w.t("web.nearest")));
        let of_line = |note: &&Note| note.line == Some(nth) && note.weight > 0;
        let bare = |note: &Note| Note { place: String::new(), ..note.clone() };
        LineView {
            nth: nth + 1,
            colour: words::clean(&line.colour),
            swatch: hex(rgb),
            mark,
            state,
            brought: line.brought,
            sizes: line.sizes.iter().map(|size| (words::clean(&size.size), size.count)).collect(),
            pictures,
            by_size: self.by_size(nth, line),
            assumed: self.assumed(nth, None),
            unit: line.price.as_ref().map(|price| Fig::money(w, &self.reader, &price.unit)),
            total: line.price.as_ref().map(|price| self.money(price.total)).unwrap_or_default(),
            not_below: line.price.as_ref().and_then(|price| price.not_below.as_ref()).map(|fewest| {
                let shown = w.speech.counted(u64::from(fewest.value), "piece", "pieces");
                Fig::new(w, &self.reader, shown, String::new(), &fewest.why)
            }),
            notes: notes.iter().filter(of_line).filter(|note| note.print.is_none()).map(bare).collect(),
            prints: line.prints.iter().enumerate().map(|(at, print)| self.print(nth, at, line, print, notes)).collect(),
            garment,
        }
    }

    /// Each panel that is printed on, on every size, as the order says now.
    fn by_size(&self, nth: usize, line: &LinePart) -> Vec<Picture> {
        let asked = self.order.order.as_ref().ok().and_then(|order| order.lines.get(nth));
        let Some(asked) = asked.filter(|asked| asked.sizes.len() > 1 && line.state != "stopped") else {
            return Vec::new();
        };
        let mut panels: Vec<(&str, usize)> = Vec::new();
        for (at, print) in line.prints.iter().enumerate() {
            let panel = print.places.first().map_or("", |place| place.panel.as_str());
            if !print.places.is_empty() && panels.iter().all(|(known, _)| *known != panel) {
                panels.push((panel, at));
            }
        }
        // Measures on it are written in the reader's own unit.
        let way = if self.w.inch() { "in" } else { "mm" };
        let sizes = asked.sizes.iter().enumerate();
        let picture = |(at, size): (usize, &plan::SizeCount)| {
            let of = |(_, print): &(&str, usize)| Picture {
                src: format!(
                    "/orders/{}/on/{}/{}/{}?v={}-{way}",
                    self.order.id,
                    nth + 1,
                    print + 1,
                    at + 1,
                    self.order.version
                ),
                close: words::clean(&size.size),
                alt: self.w.ab("web.on-size", self.garment(&line.garment), words::clean(&size.size)),
                wide: false,
            };
            panels.iter().map(of).collect::<Vec<_>>()
        };
        sizes.flat_map(picture).collect()
    }

    /// What was taken as usual of a line, or of one of its prints, and still stands so.
    fn assumed(&self, line: usize, print: Option<usize>) -> String {
        let w = self.w;
        let all = self.order.assumed();
        let mine = all.iter().filter(|one| (one.line, one.print) == (line, print));
        let said: Vec<String> = mine.map(|one| assumed_said(w, one.of)).collect();
        if said.is_empty() { String::new() } else { w.a("web.taken-as-usual", w.speech.list(&said)) }
    }

    fn print(&self, nth: usize, at: usize, line: &LinePart, print: &PrintPart, notes: &[Note]) -> PrintView {
        let w = self.w;
        let wish = self.order.order.as_ref().ok().and_then(|o| o.lines.get(nth)).and_then(|l| l.prints.get(at));
        let typed = wish.map_or("", |wish| wish.position.as_str());
        let position = print.position.as_deref().map_or_else(|| words::clean(typed), |code| w.code(code));
        let length = |mm: f64| match w.speech.units() {
            UnitSystem::Metric => format!("{} mm", (mm * 10.0).round() / 10.0),
            UnitSystem::Inch => format!("{} in", (mm / 25.4 * 100.0).round() / 100.0),
        };
        let width = match wish.map(|wish| wish.size) {
            Some(SizeWish::Width(width)) => length(width.mm()),
            _ => print.width_mm.map(length).unwrap_or_default(),
        };
        let (right, up) = wish.and_then(|wish| wish.offset).unwrap_or_default();
        let size = match (print.width_mm, print.height_mm) {
            (Some(a), Some(b)) => w
                .speech
                .size(units::Length::from_mm(a).unwrap_or_default(), units::Length::from_mm(b).unwrap_or_default()),
            _ => String::new(),
        };
        let by_person = wish.and_then(|wish| wish.transfer.as_ref()).is_some();
        let chosen = print.chosen.as_ref().map(|id| {
            let taken = print.candidates.iter().find(|c| c.transfer == *id);
            let films: Vec<String> = taken.iter().flat_map(|c| &c.films).map(|film| words::clean(&film.name)).collect();
            Fig::new(w, &self.reader, self.transfer(id), films.join(" + "), &print.why)
        });
        let of_print = |note: &&Note| note.line == Some(nth) && note.print == Some(at) && note.weight > 0;
        let bare = |note: &Note| Note { place: String::new(), ..note.clone() };
        let place = print.places.first().map(|place| {
            let panel_size =
                line.sizes.iter().max_by_key(|size| size.count).map_or(place.size.as_str(), |s| s.size.as_str());
            format!("{}/{}/{panel_size}", nth + 1, at + 1)
        });
        PrintView {
            nth: at + 1,
            id: format!("{}-{}", nth + 1, at + 1),
            art: words::clean(&print.art),
            art_link: format!("/orders/{}/art/{}", self.order.id, print.art),
            position,
            position_typed: words::clean(typed),
            size,
            width,
            right: length(right.mm()),
            up: length(up.mm()),
            place: place.unwrap_or_default(),
            chosen,
            platen: print
                .places
                .first()
                .map(|place| Fig::new(w, &self.reader, self.platen(&place.platen), String::new(), &place.why)),
            by_person,
            assumed: self.assumed(nth, Some(at)),
            repaired: wish.map(|wish| self.repaired(wish)).unwrap_or_default(),
            others_said: w.a("web.weighed", print.candidates.len()),
            candidates: print.candidates.iter().map(|one| self.candidate(one, print, wish)).collect(),
            notes: notes.iter().filter(of_print).map(bare).collect(),
        }
    }

    /// Repairs that are in force for a print.
    fn repaired(&self, wish: &plan::Print) -> Vec<(String, String)> {
        let file = desk::kept::repair_of(&wish.art);
        let box_gone = wish.remove_background.then_some("background");
        let names = file.into_iter().chain(box_gone);
        names.map(|name| (name.to_owned(), self.w.code(&format!("art.repair-{name}")))).collect()
    }

    fn candidate(&self, one: &CandidatePart, print: &PrintPart, wish: Option<&plan::Print>) -> CandidateView {
        let w = self.w;
        let (mark, fit, fits) = match one.fit.as_str() {
            "fits" => (Mark::FINE, w.t("web.fits"), true),
            "fits-with-conditions" => (Mark::WATCH, w.t("web.fits-if"), true),
            _ => (Mark::STOP, w.t("web.does-not-fit"), false),
        };
        let rules =
            |reasons: &[ReasonPart]| -> Vec<String> { reasons.iter().map(|reason| self.reader.rule(reason)).collect() };
        let mut reasons = rules(&one.against);
        if reasons.is_empty() {
            reasons = rules(&one.r#for);
        }
        reasons.truncate(3);
        let picked = wish.and_then(|wish| wish.transfer.as_ref()) == Some(&one.transfer);
        let name = self.transfer(&one.transfer);
        CandidateView {
            id: one.transfer.clone(),
            name: if print.chosen.as_ref() == Some(&one.transfer) { w.a("web.chosen", name) } else { name },
            estimate: one.estimate.map(|cost| w.a("web.costs-about", self.money(cost))).unwrap_or_default(),
            mark,
            fit,
            fits,
            picked,
            reasons,
        }
    }
}

/// What was taken as usual, by its name.
fn assumed_said(w: &Tongue, of: AssumedOf) -> String {
    w.t(match of {
        AssumedOf::Garment => "web.took-garment",
        AssumedOf::Colour => "web.took-colour",
        AssumedOf::Size => "web.took-size",
        AssumedOf::Place => "web.took-place",
        AssumedOf::Width => "web.took-width",
        AssumedOf::Art => "web.took-art",
        AssumedOf::ArtToCome => "web.took-art-to-come",
    })
    .to_lowercase()
}
