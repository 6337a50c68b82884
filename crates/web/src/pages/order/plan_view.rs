//! A plan as its page shows it.

mod files;
mod goods;
mod lines;
mod press;
mod price;
mod when;

use crate::form::plan::{PlanFile, Reader};
use crate::parts::{Fig, Note};
use crate::tongue::Tongue;
use askama::Template as _;
use desk::kept::{KeptOrder, KeptPlan};
use files::FileView;
pub(crate) use files::bytes_said;
use goods::{BuyView, PoolView};
use lines::LineView;
use press::CardView;
pub(crate) use price::way_name;
use price::{LadderView, WayView};
use trade::Shop;

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

pub(super) struct Picture {
    pub src: String,
    /// Where it is seen close up; empty when nowhere.
    pub close: String,
    pub alt: String,
    /// Much wider than high: takes the whole width.
    pub wide: bool,
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
        ways: part.ways.iter().map(|way| show.way(way, part)).collect(),
        ladders: show.ladders(part),
        papers: show.papers(),
        files: show.other_files(),
    };
    let rest = notes.into_iter().filter(|note| note.line.is_none() || note.weight == 0).collect();
    Some((plan, rest))
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
}
