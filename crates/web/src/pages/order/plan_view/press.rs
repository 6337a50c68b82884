//! How it is pressed: steps, the heat of each, cautions.

use super::Show;
use crate::form::plan::{CardPart, CoolingPart, HeatPart, LinePart, OrderPart, PrintPart, SetPart, StepPart};
use crate::parts::Fig;

pub(in crate::pages::order) struct CardView {
    pub title: String,
    pub on: String,
    pub source: String,
    pub steps: Vec<StepView>,
    pub heat: Option<HeatView>,
    pub press_link: Option<String>,
}

pub(in crate::pages::order) struct StepView {
    pub words: String,
    pub figs: Vec<Fig>,
    pub more: String,
}

pub(in crate::pages::order) struct HeatView {
    pub window: String,
    pub bond_src: String,
    pub alt: String,
    pub bond: Fig,
    pub peak: String,
    pub leeway: String,
    pub cooling: Vec<String>,
}

impl Show<'_> {
    pub(super) fn cards(&self, part: &OrderPart) -> Vec<CardView> {
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

    pub(super) fn cautions(&self, part: &OrderPart) -> Vec<String> {
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
        let set = |sets: &[SetPart]| -> String {
            let said = |set: &SetPart| {
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
        let cooling = |cooling: &CoolingPart| {
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
}
