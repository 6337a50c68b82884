//! A plan as its page shows it.

use crate::form::plan::{
    CandidatePart, CardPart, HeatPart, ItemPart, LinePart, OrderPart, PlanFile, PoolPart, PrintPart, Reader,
    ReasonPart, StepPart, Why, WhyInput,
};
use crate::parts::{Fig, Mark, Note, hex};
use crate::tongue::Tongue;
use art::SizeWish;
use askama::Template as _;
use desk::kept::{KeptOrder, KeptPlan};
use store::form::AssumedOf;
use trade::Shop;
use units::UnitSystem;

pub(super) struct PlanView {
    /// Label, HTML of the figure, small print.
    pub facts: Vec<(String, String, String)>,
    pub risks: Vec<Note>,
    pub lines: Vec<LineView>,
    pub cards: Vec<CardView>,
    /// Of all cards, each once.
    pub cautions: Vec<String>,
    pub pools: Vec<PoolView>,
    pub purchases: Vec<BuyView>,
    pub dates: Vec<(String, String)>,
    pub timeline: Vec<Picture>,
    pub runs: Vec<(String, String, String, String, String, String)>,
    pub ways: Vec<WayView>,
    pub ladders: Vec<LadderView>,
    /// What people read and send on: address, name, size.
    pub papers: Vec<FileView>,
    /// Everything else, by what it is for.
    pub files: Vec<(String, Vec<FileView>)>,
}

pub(super) struct FileView {
    pub address: String,
    pub name: String,
    pub size: String,
}

pub(super) struct Picture {
    pub src: String,
    /// Where it is seen close up; empty when nowhere.
    pub close: String,
    pub alt: String,
    /// Much wider than high: takes the whole width.
    pub wide: bool,
}

pub(super) struct LineView {
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

pub(super) struct PrintView {
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

pub(super) struct CandidateView {
    pub id: String,
    pub name: String,
    pub estimate: String,
    pub mark: Mark,
    pub fit: String,
    pub fits: bool,
    pub picked: bool,
    pub reasons: Vec<String>,
}

pub(super) struct CardView {
    pub title: String,
    pub on: String,
    pub source: String,
    pub steps: Vec<StepView>,
    pub heat: Option<HeatView>,
    pub press_link: Option<String>,
}

pub(super) struct StepView {
    pub words: String,
    pub figs: Vec<Fig>,
    pub more: String,
}

pub(super) struct HeatView {
    pub window: String,
    pub bond_src: String,
    pub alt: String,
    pub bond: Fig,
    pub peak: String,
    pub leeway: String,
    pub cooling: Vec<String>,
}

pub(super) struct PoolView {
    pub title: String,
    pub cost: Fig,
    pub said: String,
    pub sheets: Vec<Picture>,
}

pub(super) struct BuyView {
    pub supplier: String,
    pub items: Vec<String>,
    pub by: Fig,
    pub arrives: String,
    pub total: String,
}

pub(super) struct WayView {
    pub word: String,
    pub name: String,
    pub net: String,
    pub lines: Vec<String>,
    pub taken: bool,
    pub take: String,
}

pub(super) struct LadderView {
    pub title: String,
    /// Where other quantities cannot be had.
    pub title_bare: String,
    pub rungs: Vec<RungView>,
    pub costs: Vec<(String, String)>,
}

pub(super) struct RungView {
    pub pieces: String,
    pub unit: String,
    pub total: String,
    pub said: String,
    pub here: bool,
}

/// What is needed to show any part.
struct Show<'a> {
    w: &'a Tongue,
    shop: &'a Shop,
    order: &'a KeptOrder,
    kept: &'a KeptPlan,
    file: &'a PlanFile,
    at: usize,
    /// Names of the orders planned together, in the plan's order.
    names: &'a [String],
    reader: Reader<'a>,
}

/// The plan of the order at `at` among those planned together, with all notes that stand nowhere else.
pub(super) fn view(
    w: &Tongue,
    shop: &Shop,
    order: &KeptOrder,
    kept: &KeptPlan,
    file: &PlanFile,
    names: &[String],
    at: usize,
) -> Option<(PlanView, Vec<Note>)> {
    let part = file.orders.get(at)?;
    let reader = Reader { speech: &w.speech, currency: file.money()? };
    let show = Show { w, shop, order, kept, file, at, names, reader };
    let mine = |order: Option<usize>| order.is_none_or(|order| order == at);
    let notes: Vec<Note> =
        file.findings.iter().filter(|finding| mine(finding.order)).map(|f| Note::of(w, &reader, f)).collect();
    let mut grave: Vec<Note> = notes.iter().filter(|note| note.weight > 0).cloned().collect();
    grave.sort_by_key(|note| std::cmp::Reverse(note.weight));
    grave.dedup_by(|a, b| a.what == b.what);
    grave.truncate(3);
    for note in &mut grave {
        (note.repair, note.question) = (None, None);
    }
    let plan = PlanView {
        facts: show.facts(part),
        risks: grave,
        lines: part.lines.iter().enumerate().map(|(nth, line)| show.line(nth, line, &notes)).collect(),
        cards: show.cards(part),
        cautions: show.cautions(part),
        pools: file.pools.iter().map(|pool| show.pool(pool)).collect(),
        purchases: show.purchases(),
        dates: show.dates(part),
        timeline: show.pictures("pictures/timeline-", &w.t("web.timeline")),
        runs: show.runs(part),
        ways: part.ways.iter().map(|way| show.way(way, &part.way)).collect(),
        ladders: show.ladders(part),
        papers: show.papers(),
        files: show.other_files(),
    };
    let rest = notes.into_iter().filter(|note| note.line.is_none() || note.weight == 0).collect();
    Some((plan, rest))
}

/// A file's size.
pub(crate) fn bytes_said(bytes: u64) -> String {
    match bytes {
        0..=999_999 => format!("{} kB", bytes.div_ceil(1000)),
        _ => format!("{:.1} MB", bytes as f64 / 1e6),
    }
}

/// A figure as it stands in a page.
pub(crate) fn html_of(fig: &Fig) -> String {
    html(fig)
}

fn html(fig: &Fig) -> String {
    fig.render().unwrap_or_else(|_| fig.shown.clone())
}

impl Show<'_> {
    fn money(&self, minor: i64) -> String {
        self.w.money(minor, self.reader.currency)
    }

    fn transfer(&self, id: &str) -> String {
        words::clean(self.shop.find_transfer(id).map_or(id, |id| self.shop.transfer(id).name.as_str()))
    }

    fn garment(&self, id: &str) -> String {
        words::clean(self.shop.find_garment(id).map_or(id, |id| self.shop.garment(id).name.as_str()))
    }

    fn platen(&self, id: &str) -> String {
        words::clean(self.shop.find_platen(id).map_or(id, |id| self.shop.platen(id).name.as_str()))
    }

    fn picture_of(&self, name: &str) -> String {
        // Names are of our own making; plus signs and the like stand as they are in a path.
        let file = name.trim_start_matches("pictures/");
        format!("/orders/{}/picture/{file}?v={}", self.order.id, self.kept.version)
    }

    fn named(&self, name: &str) -> Option<String> {
        self.kept.form.files.iter().any(|file| file.name == name).then(|| self.picture_of(name))
    }

    fn pictures(&self, prefix: &str, alt: &str) -> Vec<Picture> {
        let files = self.kept.form.files.iter().filter(|file| file.name.starts_with(prefix));
        files
            .map(|file| Picture {
                src: self.picture_of(&file.name),
                close: String::new(),
                alt: alt.to_owned(),
                wide: false,
            })
            .collect()
    }

    fn facts(&self, part: &OrderPart) -> Vec<(String, String, String)> {
        let w = self.w;
        let pieces: u32 =
            part.lines.iter().filter(|l| l.price.is_some()).map(LinePart::pieces).fold(0, u32::saturating_add);
        let mut all = Vec::new();
        if let [line] = &part.lines[..]
            && let Some(price) = &line.price
        {
            all.push((w.t("web.price-each"), html(&Fig::money(w, &self.reader, &price.unit)), String::new()));
        } else if pieces > 0 {
            let each = part.price.net.value / i64::from(pieces);
            let why = vec![self.model(w.t("web.price-all"), self.money(part.price.net.value)), {
                self.model(w.t("web.pieces"), pieces.to_string())
            }];
            let fig = self.worked(self.money(each), "web.why-mean", why);
            all.push((w.t("web.price-each-mean"), html(&fig), w.a("web.pieces-priced", pieces)));
        } else {
            all.push((w.t("web.price-all"), w.t("web.not-priced-yet"), w.t("web.not-priced-why")));
        }
        if pieces > 0 {
            let gross = w.a("web.with-taxes", self.money(part.price.gross));
            let label =
                if self.order.assumed().is_empty() { w.t("web.price-all") } else { w.t("web.price-provisional") };
            all.push((label, html(&Fig::money(w, &self.reader, &part.price.net)), gross));
        }
        if let Some(hour) = part.price.earns_per_hour {
            let small =
                w.ab("web.earns-how", self.money(part.price.net.value - part.price.cost), w.s(part.price.work_s));
            all.push((w.t("web.earns"), html(&self.earned(hour, part)), small));
        }
        let dates = &part.dates;
        let first = [&dates.order_transfers_by, &dates.order_garments_by]
            .into_iter()
            .flatten()
            .min_by(|a, b| a.value.cmp(&b.value));
        if let Some(by) = first {
            all.push((w.t("web.order-by"), html(&Fig::moment(w, &self.reader, by)), self.slack(part)));
        }
        all
    }

    /// What an hour of work earns: what is left after everything that is bought, by the hour.
    fn earned(&self, hour: i64, part: &OrderPart) -> Fig {
        let w = self.w;
        let rates = &self.shop.rates;
        let mut why = vec![
            self.model(w.t("web.price-all"), self.money(part.price.net.value)),
            self.model(w.t("web.cost-all"), self.money(part.price.cost)),
            self.model(w.t("web.work-in-it"), w.s(part.price.work_s)),
        ];
        if let Ok(cost) = rates.labour_per_hour.plus(rates.overhead_per_hour) {
            let shop = w.speech.word(report::Origin::Shop).to_owned();
            let (label, value) = (w.t("web.hour-costs"), w.speech.money(cost));
            why.push(WhyInput { label, value, origin: shop, source: String::new() });
        }
        self.worked(self.money(hour), "web.why-earns", why)
    }

    fn model(&self, label: String, value: String) -> WhyInput {
        let origin = self.w.speech.word(report::Origin::Model).to_owned();
        WhyInput { label, value, origin, source: String::new() }
    }

    /// A figure that is worked out here from others of the plan.
    fn worked(&self, shown: String, rule: &'static str, inputs: Vec<WhyInput>) -> Fig {
        let why = Why { rule: self.w.t(rule), inputs, refused: Vec::new(), would_change: Vec::new() };
        Fig { w: *self.w, shown, small: String::new(), whys: vec![why] }
    }

    fn slack(&self, part: &OrderPart) -> String {
        match part.dates.slack_s {
            Some(slack) if slack < 0.0 => self.w.a("web.late-by", self.w.s(-slack)),
            Some(slack) => self.w.a("web.slack", self.w.s(slack)),
            None => String::new(),
        }
    }

    fn line(&self, nth: usize, line: &LinePart, notes: &[Note]) -> LineView {
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

    fn cards(&self, part: &OrderPart) -> Vec<CardView> {
        let mut all = Vec::new();
        for (nth, line) in part.lines.iter().enumerate() {
            for (at, print) in line.prints.iter().enumerate() {
                if let Some(card) = &print.card {
                    all.push(self.card(nth, at, line, print, card));
                }
            }
        }
        all
    }

    fn cautions(&self, part: &OrderPart) -> Vec<String> {
        let prints = part.lines.iter().flat_map(|line| &line.prints);
        let codes = prints.filter_map(|print| print.card.as_ref()).flat_map(|card| &card.cautions);
        let mut all: Vec<String> = Vec::new();
        for said in codes.map(|code| self.w.code(code)) {
            if !all.contains(&said) {
                all.push(said);
            }
        }
        all
    }

    fn card(&self, nth: usize, at: usize, line: &LinePart, print: &PrintPart, card: &CardPart) -> CardView {
        let w = self.w;
        let presses: Vec<String> = card
            .presses
            .iter()
            .map(|id| words::clean(self.shop.find_press(id).map_or(id, |id| self.shop.press(id).name.as_str())))
            .collect();
        let platen = self.platen(&card.platen);
        let position = print.position.as_deref().map(|code| w.code(code)).unwrap_or_default();
        let mut on = w.ab("web.on-press", w.speech.list(&presses), platen);
        if let Some(pillow) = &card.pillow {
            let name =
                self.shop.find_accessory(pillow).map_or(pillow.as_str(), |id| self.shop.accessory(id).name.as_str());
            on = format!("{on} {}", w.a("web.with-pillow", words::clean(name)));
        }
        if card.per_closing > 1 {
            on = format!("{on} {}", w.a("web.per-closing", card.per_closing));
        }
        let more = w.ab("web.transfers-to-make", print.transfers, print.spares);
        CardView {
            title: format!("{}. {} – {position}", nth + 1, self.garment(&line.garment)),
            on: format!("{on} {more}"),
            source: w.a("web.recipe-from", words::clean(&card.source)),
            steps: card.steps.iter().map(|step| self.step(step)).collect(),
            heat: card.heat.as_ref().and_then(|heat| self.heat(nth, at, heat)),
            press_link: Some(format!("/press/{}/{}/{}", self.order.id, nth + 1, at + 1)),
        }
    }

    fn step(&self, step: &StepPart) -> StepView {
        let w = self.w;
        let set = |sets: &[crate::form::plan::SetPart]| -> String {
            let said = |set: &crate::form::plan::SetPart| {
                let name =
                    self.shop.find_press(&set.press).map_or(set.press.as_str(), |id| self.shop.press(id).name.as_str());
                w.ab("web.set-press", words::clean(name), w.c(set.c.value).0)
            };
            sets.iter().map(said).collect::<Vec<_>>().join("; ")
        };
        match step {
            StepPart::Preheat { c, set: sets, dwell_s } => StepView {
                words: w.a("web.step-preheat", w.c(*c).0),
                figs: vec![Fig::seconds(w, &self.reader, dwell_s)],
                more: set(sets),
            },
            StepPart::Place => StepView { words: w.t("web.step-place"), figs: Vec::new(), more: String::new() },
            StepPart::Press { role, c, set: sets, from_inside, dwell_s, pressure, cover } => {
                let words_ = match role.as_str() {
                    "tack" => w.t("web.step-tack"),
                    "second" => w.t("web.step-second"),
                    _ => w.t("web.step-press"),
                };
                let pressure = match pressure.as_str() {
                    "light" => w.t("web.pressure-light"),
                    "firm" => w.t("web.pressure-firm"),
                    _ => w.t("web.pressure-medium"),
                };
                let mut more = vec![pressure, set(sets)];
                if *from_inside {
                    more.push(w.t("web.from-inside"));
                }
                if let Some(cover) = cover {
                    let name =
                        self.shop.find_accessory(cover).map_or(cover.as_str(), |id| &self.shop.accessory(id).name);
                    more.push(w.a("web.under-cover", words::clean(name)));
                }
                let figs = vec![Fig::celsius(w, &self.reader, c), Fig::seconds(w, &self.reader, dwell_s)];
                more.retain(|text| !text.is_empty());
                StepView { words: words_, figs, more: more.join(" · ") }
            }
            StepPart::SetAside { wait_s } => StepView {
                words: w.t("web.step-aside"),
                figs: vec![Fig::seconds(w, &self.reader, wait_s)],
                more: String::new(),
            },
            StepPart::Peel { when } => {
                let words_ = match when.as_str() {
                    "hot" => w.t("web.peel-hot"),
                    "warm" => w.t("web.peel-warm"),
                    _ => w.t("web.peel-cold"),
                };
                StepView { words: words_, figs: Vec::new(), more: String::new() }
            }
        }
    }

    fn heat(&self, nth: usize, at: usize, heat: &HeatPart) -> Option<HeatView> {
        let w = self.w;
        let of = format!("{}-{}-{}", self.at + 1, nth + 1, at + 1);
        let leeway = heat.window.leeway.as_ref().map(|leeway| {
            let c = w.ab("web.range", w.c(leeway.platen_c[0]).0, w.c(leeway.platen_c[1]).0);
            w.ab("web.leeway", c, w.ab("web.range", w.s(leeway.dwell_s[0]), w.s(leeway.dwell_s[1])))
        });
        let cooling = |cooling: &crate::form::plan::CoolingPart| {
            let handling = cooling.to_handling_s.map_or_else(|| w.t("web.not-soon"), |s| w.s(s));
            let peel = cooling.to_peel_s.map_or_else(|| w.t("web.not-soon"), |s| w.s(s));
            w.f("web.cooling", &[("way", w.code(&cooling.way)), ("handling", handling), ("peel", peel)])
        };
        Some(HeatView {
            window: self.named(&format!("pictures/window-{of}.svg"))?,
            bond_src: self.named(&format!("pictures/bond-{of}.svg"))?,
            alt: w.t("web.window-alt"),
            bond: Fig::celsius(w, &self.reader, &heat.bond_end_c),
            peak: w.ab("web.cloth-peak", w.c(heat.cloth_peak_c).0, w.c(heat.limit_c).0),
            leeway: leeway.unwrap_or_default(),
            cooling: heat.cooling.iter().map(cooling).collect(),
        })
    }

    fn pool(&self, pool: &PoolPart) -> PoolView {
        let w = self.w;
        let colour = pool.colour.as_deref().map(|colour| format!(", {}", words::clean(colour))).unwrap_or_default();
        let used = if pool.paid_mm2 > 0.0 { pool.art_mm2 / pool.paid_mm2 } else { 0.0 };
        let bound = match pool.cost.value.saturating_sub(pool.lower_bound) {
            gap if gap <= 0 => w.t("web.least-possible"),
            _ => w.a("web.bound", self.money(pool.lower_bound)),
        };
        let mut said = vec![w.speech.counted(pool.sheets.len() as u64, "sheet or length", "sheets and lengths")];
        said.push(w.a("web.film-used", w.speech.percent(used)));
        said.push(bound);
        if !pool.complete {
            said.push(w.t("web.not-all-laid"));
        }
        let alt = format!("{} {}", self.transfer(&pool.transfer), colour.trim_start_matches(", "));
        PoolView {
            title: format!("{}{colour}", self.transfer(&pool.transfer)),
            cost: Fig::money(w, &self.reader, &pool.cost),
            said: said.join(" · "),
            sheets: self.sheets(pool, alt.trim()),
        }
    }

    fn sheets(&self, pool: &PoolPart, alt: &str) -> Vec<Picture> {
        let mut all = self.pictures(&format!("pictures/sheet-{}-", pool.key), alt);
        // Lengths from a roll of more than a metre are read across the page.
        let long = pool.sheets.iter().any(|sheet| sheet.used_length_mm > 1000.0);
        for picture in &mut all {
            picture.wide = long;
            // "…/sheet-a-3-make-2.svg" is the third sheet of a.
            let bare = picture.src.rsplit(&format!("sheet-{}-", pool.key)).next().unwrap_or("");
            let nth: String = bare.chars().take_while(char::is_ascii_digit).collect();
            picture.close = format!("/orders/{}/sheets/{}/{nth}", self.order.id, pool.key);
            picture.alt = self.w.ab("web.sheet-of", nth, &picture.alt);
        }
        all.sort_by_key(|picture| picture.close.rsplit('/').next().and_then(|nth| nth.parse::<u32>().ok()));
        all
    }

    fn purchases(&self) -> Vec<BuyView> {
        let w = self.w;
        let all = self.file.purchases.iter().map(|buy| BuyView {
            supplier: words::clean(
                self.shop.find_supplier(&buy.supplier).map_or(&buy.supplier, |id| &self.shop.supplier(id).name),
            ),
            items: buy
                .items
                .iter()
                .map(|item| {
                    let name = match self.shop.find_stock(&item.what) {
                        Some(id) => words::clean(&self.shop.stock_item(id).name),
                        None => self.garment(&item.what),
                    };
                    let more: Vec<&str> =
                        [&item.colour, &item.size].into_iter().flatten().map(String::as_str).collect();
                    let more =
                        if more.is_empty() { String::new() } else { format!(", {}", words::clean(&more.join(", "))) };
                    let whose = self.whose(item);
                    format!("{} × {name}{more} · {}{whose}", item.quantity, self.money(item.total))
                })
                .collect(),
            by: Fig::moment(w, &self.reader, &buy.order_by),
            arrives: w.day(&buy.arrives),
            total: self.money(buy.total),
        });
        all.collect()
    }

    /// Which of the orders planned together an item is bought for; empty where there is but one.
    fn whose(&self, item: &ItemPart) -> String {
        let w = self.w;
        if self.file.orders.len() < 2 {
            return String::new();
        }
        let name = |at: usize| self.names.get(at).cloned().unwrap_or_default();
        let said: Vec<String> = if self.shop.find_stock(&item.what).is_some() {
            let pools =
                self.file.pools.iter().filter(|pool| {
                    pool.colour == item.colour && pool.sheets.iter().any(|sheet| sheet.stock == item.what)
                });
            let users: std::collections::BTreeSet<usize> =
                pools.flat_map(|pool| &pool.designs).flat_map(|design| &design.uses).map(|of| of.order).collect();
            users.into_iter().map(name).collect()
        } else {
            self.blank_for(item).into_iter().map(name).collect()
        };
        if said.is_empty() { String::new() } else { format!(" · {}", w.a("web.bought-for", w.speech.list(&said))) }
    }

    /// The orders that a blank is bought for. Blanks are bought line by line in the orders' own order, so that of like
    /// items the first is the first line's that has it; where they were put together, all of these orders are named.
    fn blank_for(&self, item: &ItemPart) -> Vec<usize> {
        let key = |one: &ItemPart| (one.what.clone(), one.colour.clone(), one.size.clone());
        let wanted = key(item);
        let of_line = |line: &LinePart| {
            let same = line.garment == item.what && Some(&line.colour) == item.colour.as_ref();
            let sized = line.sizes.iter().any(|size| size.count > 0 && Some(&size.size) == item.size.as_ref());
            same && sized && !line.brought && line.state == "planned"
        };
        let orders = self.file.orders.iter().enumerate();
        let mut users: Vec<usize> =
            orders.flat_map(|(at, order)| order.lines.iter().filter(|line| of_line(line)).map(move |_| at)).collect();
        let like = self.file.purchases.iter().flat_map(|buy| &buy.items).filter(|one| key(one) == wanted);
        let like: Vec<&ItemPart> = like.collect();
        match like.iter().position(|one| std::ptr::eq(*one, item)) {
            Some(nth) if like.len() == users.len() => users.get(nth).copied().into_iter().collect(),
            _ => {
                users.dedup();
                users
            }
        }
    }

    fn dates(&self, part: &OrderPart) -> Vec<(String, String)> {
        let w = self.w;
        let dates = &part.dates;
        let mut all = Vec::new();
        for (label, figure) in [
            ("web.sign-off-by", &dates.sign_off_by),
            ("web.transfers-by", &dates.order_transfers_by),
            ("web.garments-by", &dates.order_garments_by),
        ] {
            all.extend(figure.as_ref().map(|f| (w.t(label), html(&Fig::moment(w, &self.reader, f)))));
        }
        all.extend(dates.press_from.as_ref().map(|from| (w.t("web.press-from"), w.moment(from))));
        all.extend(dates.finish.as_ref().map(|f| (w.t("web.finished"), html(&Fig::moment(w, &self.reader, f)))));
        all
    }

    fn runs(&self, part: &OrderPart) -> Vec<(String, String, String, String, String, String)> {
        let w = self.w;
        let mine = self.file.timeline.entries.iter().filter(|entry| entry.order == self.at);
        let run = |entry: &crate::form::plan::EntryPart| {
            let line = part.lines.get(entry.line);
            let print = line.and_then(|line| line.prints.get(entry.print));
            let position =
                print.and_then(|print| print.position.as_deref()).map(|code| w.code(code)).unwrap_or_default();
            let garment = line.map(|line| self.garment(&line.garment)).unwrap_or_default();
            (
                w.moment(&entry.from),
                w.moment(&entry.done),
                format!("{garment} – {position}"),
                format!("{}, {}", words::clean(&entry.press), w.c(f64::from(entry.temp_c)).0),
                words::clean(&entry.people.join(", ")),
                w.ab("web.pieces-closings", entry.pieces, entry.closings),
            )
        };
        mine.map(run).collect()
    }

    fn way(&self, way: &crate::form::plan::WayPart, taken: &str) -> WayView {
        let w = self.w;
        let name = way_name(w, &way.way);
        let line = |(at, line): (usize, &Option<crate::form::plan::WayLinePart>)| match line {
            None => w.a("web.way-not", at + 1),
            Some(line) => {
                let transfers: Vec<String> = line.transfers.iter().map(|id| self.transfer(id)).collect();
                let mut said = w.f(
                    "web.way-line",
                    &[
                        ("line", (at + 1).to_string()),
                        ("garment", self.garment(&line.garment)),
                        ("transfers", w.speech.list(&transfers)),
                        ("unit", self.money(line.unit)),
                    ],
                );
                for extra in &line.extras {
                    said = format!("{said} {}.", w.code(extra));
                }
                said
            }
        };
        WayView {
            word: way.way.clone(),
            net: self.money(way.net),
            lines: way.lines.iter().enumerate().map(line).collect(),
            taken: way.way == taken,
            take: w.a("web.take-way", &name),
            name,
        }
    }

    fn ladders(&self, part: &OrderPart) -> Vec<LadderView> {
        let w = self.w;
        let mut all = Vec::new();
        for (nth, line) in part.lines.iter().enumerate() {
            let Some(price) = &line.price else { continue };
            let rung = |rung: &crate::form::plan::RungPart| RungView {
                pieces: rung.pieces.to_string(),
                unit: self.money(rung.unit),
                total: self.money(rung.total),
                said: rung.cheaper_than.map(|than| w.a("web.cheaper-than", than)).unwrap_or_default(),
                here: rung.pieces == price.pieces,
            };
            let mut costs: Vec<(String, String)> = price
                .costs
                .iter()
                .map(|cost| (w.code(&cost.what), html(&Fig::money(w, &self.reader, &cost.amount))))
                .collect();
            costs.push((w.t("web.cost-all"), self.money(price.cost)));
            all.push(LadderView {
                title: w.ab("web.ladder-of", nth + 1, self.garment(&line.garment)),
                title_bare: w.ab("web.change-line", nth + 1, self.garment(&line.garment)),
                rungs: price.ladder.iter().map(rung).collect(),
                costs,
            });
        }
        all
    }

    /// The papers by what they are called among people.
    fn papers(&self) -> Vec<FileView> {
        let w = self.w;
        let called: [(&str, &'static str); 10] = [
            ("papers/quote-", "web.paper-quote"),
            ("papers/job-tickets-", "web.paper-job-tickets"),
            ("papers/purchase-list", "web.paper-purchase-list"),
            ("papers/press-plan", "web.paper-press-plan"),
            ("papers/sheet-map", "web.paper-sheet-map"),
            ("papers/place-templates-", "web.paper-place-templates"),
            ("papers/packing-list-", "web.paper-packing-list"),
            ("papers/care-slips-", "web.paper-care-slips"),
            ("papers/costing-", "web.paper-costing"),
            ("papers/test-record-", "web.paper-test-record"),
        ];
        let own = format!("-{}.pdf", self.at + 1);
        let of = |(prefix, words): &(&str, &'static str)| {
            let mine = |name: &str| name.starts_with(prefix) && (!prefix.ends_with('-') || name.ends_with(&own));
            let file = self.kept.form.files.iter().find(|file| mine(&file.name))?;
            Some(FileView { name: w.t(words), ..self.file_view(file) })
        };
        called.iter().filter_map(of).collect()
    }

    fn file_view(&self, file: &store::form::NamedFile) -> FileView {
        FileView {
            address: format!("/orders/{}/file/{}", self.order.id, file.name),
            name: words::clean(&file.name),
            size: bytes_said(file.bytes),
        }
    }

    /// Every file of the plan, by what it is for.
    fn other_files(&self) -> Vec<(String, Vec<FileView>)> {
        let groups: [(&[&str], &'static str); 4] = [
            (&["sheets/", "cut/"], "web.files-to-make"),
            (&["maps/", "layouts/", "schedule/", "plan.json", "summary.txt"], "web.files-figures"),
            (&["papers/"], "web.files-papers"),
            (&["pictures/"], "web.files-pictures"),
        ];
        let of = |(starts, words): &(&[&str], &'static str)| {
            let mine = |name: &str| starts.iter().any(|start| name.starts_with(start));
            let mut files: Vec<&store::form::NamedFile> =
                self.kept.form.files.iter().filter(|file| mine(&file.name)).collect();
            files.sort_by(|a, b| a.name.cmp(&b.name));
            let views: Vec<FileView> = files.into_iter().map(|file| self.file_view(file)).collect();
            (!views.is_empty()).then(|| (self.w.t(words), views))
        };
        groups.iter().filter_map(of).collect()
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

pub(crate) fn way_name(w: &Tongue, way: &str) -> String {
    match way {
        "stronger" => w.t("web.way-stronger"),
        "finest" => w.t("web.way-finest"),
        _ => w.t("web.way-everyday"),
    }
}
