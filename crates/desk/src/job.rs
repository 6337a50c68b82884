//! Planning an order from its files into a folder.

use crate::art_folder::{ArtFolder, read_arts};
use crate::codes;
use crate::mark::mark;
use crate::output::{sheet_name, write_sheets};
use crate::pictures::Album;
use crate::refusal::Refusal;
use crate::safe_folder::SafeFolder;
use crate::shop_folder::{ShopFolder, read_shop};
use crate::summary::{explanation, notes, summary};
use jiff::civil::Date;
use papers::{Page, PaperError, Papers, Pictures};
use plan::{Arts, Order, Plan, Settings};
use rayon::prelude::*;
use report::{Effort, Finding, Go, Outcome, Progress, Seed, Severity, Watch};
use std::path::{Path, PathBuf};
use trade::Shop;
use units::UnitSystem;
use words::Speech;

/// What is to be planned, and where the result goes.
#[derive(Debug, Clone)]
pub struct PlanRequest {
    /// Name and text of each order file.
    pub orders: Vec<(String, String)>,
    /// Where their art lies.
    pub art: ArtFolder,
    /// The shop's files.
    pub shop: ShopFolder,
    /// Folder for the result; an earlier plan there stays whole until this one is complete.
    pub out: PathBuf,
    /// The day it is made for.
    pub today: Date,
    /// Seed of every random choice.
    pub seed: u64,
    /// Evaluations of the packing engine for each pool; `None` for the usual number.
    pub effort: Option<u64>,
    /// Threads; the result does not depend on it.
    pub threads: usize,
}

/// A finished job.
#[derive(Debug, Clone)]
pub struct Planned {
    /// The shop as read.
    pub shop: Shop,
    /// The plan.
    pub plan: Plan,
    /// Everything found, the shop's files and the written sheets included.
    pub findings: Vec<Finding>,
    /// Names of the files written, relative to the folder.
    pub files: Vec<String>,
}

impl Planned {
    /// Whether something is stopped, unplaced, faulty or waits for an answer.
    pub fn needs_a_person(&self) -> bool {
        self.findings.iter().any(|finding| finding.severity >= Severity::Ask)
    }
}

/// Today by this machine's clock.
pub fn today() -> Date {
    jiff::ZonedDateTime::now().date()
}

/// Plans orders together and writes everything into the request's folder.
///
/// Refused requests write nothing, nor does one whose watch asks to stop. Lines that cannot be made are in the
/// findings, with everything else planned and written.
pub fn plan_orders(request: &PlanRequest, watch: &mut dyn Watch) -> Result<Planned, Refusal> {
    let work = PlanWork {
        orders: &request.orders,
        art: &request.art,
        out: &request.out,
        today: request.today,
        seed: request.seed,
        effort: request.effort,
        threads: request.threads,
    };
    plan_in(read_shop(&request.shop)?, &work, watch)
}

/// A request whose shop is read already.
pub(crate) struct PlanWork<'a> {
    pub orders: &'a [(String, String)],
    pub art: &'a ArtFolder,
    pub out: &'a Path,
    pub today: Date,
    pub seed: u64,
    pub effort: Option<u64>,
    pub threads: usize,
}

/// Plans orders in a shop; see [`plan_orders`].
pub(crate) fn plan_in(read: Outcome<Shop>, work: &PlanWork<'_>, watch: &mut dyn Watch) -> Result<Planned, Refusal> {
    let shop = read.value;
    let orders = read_orders(work.orders, work.today)?;
    let mut folder = SafeFolder::begin(work.out)?;
    let arts = read_arts(work.art, &orders, work.threads, watch);
    told(watch, codes::STAGE_READ)?;
    let sized = plan::sized(&shop, &orders, &arts);
    let orders = sized.value;
    let settings = Settings {
        today: work.today,
        seed: Seed(work.seed),
        effort: work.effort.map_or(Settings::EFFORT, Effort),
        threads: work.threads,
    };
    let outcome = plan::plan(&shop, &orders, &arts, &settings, watch);
    let mut plan = outcome.value;
    let mut findings = read.findings;
    findings.extend(sized.findings);
    findings.extend(outcome.findings);
    let (mark, broken) = mark(&shop);
    findings.extend(broken);
    told(watch, codes::STAGE_WRITE)?;
    findings.extend(write_sheets(&shop, &plan, &orders, &arts, &mut folder, watch)?);
    plan.findings.clone_from(&findings);
    told(watch, codes::STAGE_PAPERS)?;
    write_rest(&shop, &plan, &orders, &arts, (mark, work.threads), &mut folder)?;
    let files = folder.finish()?;
    Ok(Planned { shop, plan, findings, files })
}

/// Says that a stage begins; where work is to stop, it stops here, with nothing written.
fn told(watch: &mut dyn Watch, stage: report::Code) -> Result<(), Refusal> {
    match watch.told(&Progress { stage, done: 0, of: None, best: None, bound: None }) {
        Go::On => Ok(()),
        Go::Stop => Err(Refusal::Stopped),
    }
}

fn read_orders(files: &[(String, String)], today: Date) -> Result<Vec<Order>, Refusal> {
    let mut orders = Vec::new();
    let mut faults = Vec::new();
    for (name, text) in files {
        match plan::form::read_order(name, text) {
            Ok(order) => orders.push(order),
            Err(found) => faults.extend(found),
        }
    }
    if !faults.is_empty() {
        return Err(Refusal::Faults(faults));
    }
    match orders.iter().find(|order| order.due.date() < today) {
        Some(order) => {
            Err(Refusal::DuePast { order: order.name.clone(), due: order.due.to_string(), today: today.to_string() })
        }
        None => Ok(orders),
    }
}

fn write_rest(
    shop: &Shop,
    plan: &Plan,
    orders: &[Order],
    arts: &Arts,
    (mark, threads): (Option<String>, usize),
    folder: &mut SafeFolder,
) -> Result<(), Refusal> {
    let speech = Speech::english(shop.units);
    let album = Album { shop, plan, orders, arts, speech: &speech };
    let panels = album.panels();
    for panel in &panels {
        let prints: Vec<String> = panel.prints.iter().map(|print| (print + 1).to_string()).collect();
        let name = format!("pictures/garment-{}-{}-{}.svg", panel.order + 1, panel.line + 1, prints.join("+"));
        folder.write(&name, panel.svg.as_bytes())?;
    }
    for (name, svg) in album.stuck() {
        folder.write(&format!("pictures/{name}.svg"), svg.as_bytes())?;
    }
    let mut pictures = Pictures { mark, ..Pictures::default() };
    for panel in panels {
        pictures.garments.entry((panel.order, panel.line)).or_default().push(panel.svg);
    }
    for (nth, pool) in plan.pools.iter().enumerate() {
        let drawn = album.sheets(pool);
        for (at, times) in pool.different_sheets() {
            let name = format!("pictures/sheet-{}.svg", sheet_name(pool, at, times));
            folder.write(&name, drawn[at].as_bytes())?;
        }
        // The packing engine's own forms: what is laid out can be checked and moved by itself.
        folder.write(
            &format!("layouts/{}-instance.json", pool.key),
            nest::form::write_instance(&pool.instance).as_bytes(),
        )?;
        let layout = nest::form::write_layout(&pool.instance, &pool.layout, &[]);
        folder.write(&format!("layouts/{}-layout.json", pool.key), layout.as_bytes())?;
        let on_paper = |at| ((nth, at), album.sheets_on_paper(pool, at));
        pictures.sheets.extend((0..drawn.len()).map(on_paper));
    }
    for (name, png) in album.arts() {
        folder.write(&format!("pictures/{name}.png"), &png)?;
    }
    pictures.timeline = album.timeline();
    pictures.break_even = album.break_even();
    write_papers(&album, &pictures, threads, folder)?;
    for (at, svg) in pictures.timeline.iter().enumerate() {
        folder.write(&format!("pictures/timeline-{}.svg", at + 1), svg.as_bytes())?;
    }
    for ((order, line), svg) in &pictures.break_even {
        folder.write(&format!("pictures/two-ways-{}-{}.svg", order + 1, line + 1), svg.as_bytes())?;
    }
    if let Some(found) = &plan.timeline.schedule {
        let problem = &plan.timeline.problem;
        folder.write("schedule/problem.json", schedule::form::write_problem(problem).as_bytes())?;
        folder.write("schedule/schedule.json", schedule::form::write_schedule(problem, found, &[]).as_bytes())?;
    }
    for heat in album.heat() {
        let of = format!("{}-{}-{}", heat.order + 1, heat.line + 1, heat.print + 1);
        folder.write(&format!("pictures/window-{of}.svg"), heat.window.as_bytes())?;
        folder.write(&format!("pictures/bond-{of}.svg"), heat.bond.as_bytes())?;
    }
    let json = plan::form::write_plan(shop, plan).map_err(|error| Refusal::Unwritable {
        path: "plan.json".to_owned(),
        cause: error.to_string(),
        remedy: "free some memory and run again".to_owned(),
    })?;
    folder.write("plan.json", json.as_bytes())?;
    let mut text = summary(shop, plan, &speech);
    text.push('\n');
    text.push_str(&notes(plan, &speech));
    text.push('\n');
    text.push_str(&explanation(shop, plan, &speech));
    folder.write("summary.txt", text.as_bytes())
}

fn write_papers(
    album: &Album<'_>,
    pictures: &Pictures,
    threads: usize,
    folder: &mut SafeFolder,
) -> Result<(), Refusal> {
    let Album { shop, plan, speech, .. } = *album;
    let page = match shop.units {
        UnitSystem::Metric => Page::A4,
        UnitSystem::Inch => Page::Letter,
    };
    let places: Vec<_> = (0..plan.orders.len()).map(|order| album.places(order, page)).collect();
    let papers = Papers { plan, shop, speech, pictures, page };
    let mut wanted: Vec<(String, Setting<'_>)> = Vec::new();
    for (order, places) in places.iter().enumerate() {
        let of_order: [(&str, Setting<'_>); 7] = [
            ("quote", Box::new(move || papers.quote(order))),
            ("job-tickets", Box::new(move || papers.tickets(order))),
            ("packing-list", Box::new(move || papers.packing_list(order))),
            ("place-templates", Box::new(move || papers.places(order, places))),
            ("care-slips", Box::new(move || papers.care_slip(order))),
            ("costing", Box::new(move || papers.costing(order))),
            ("test-record", Box::new(move || papers.test_record(order))),
        ];
        wanted.extend(of_order.map(|(paper, set)| (format!("papers/{paper}-{}.pdf", order + 1), set)));
    }
    let of_all: [(&str, Setting<'_>); 3] = [
        ("purchase-list", Box::new(move || papers.purchase_list())),
        ("press-plan", Box::new(move || papers.press_plan())),
        ("sheet-map", Box::new(move || papers.sheet_map())),
    ];
    wanted.extend(of_all.map(|(paper, set)| (format!("papers/{paper}.pdf"), set)));
    wanted.sort_by(|(one, _), (other, _)| one.cmp(other));
    let set = typeset(&wanted, threads);
    for ((name, _), paper) in wanted.iter().zip(set) {
        let bytes = paper.map_err(|error| Refusal::Unwritable {
            path: name.clone(),
            cause: error.to_string(),
            remedy: "keep the order and the shop's files: with them the fault can be found".to_owned(),
        })?;
        folder.write(name, &bytes)?;
    }
    Ok(())
}

/// A paper to be set.
type Setting<'a> = Box<dyn Fn() -> Result<Vec<u8>, PaperError> + Sync + 'a>;

/// Sets papers side by side: each is a document of its own.
fn typeset(wanted: &[(String, Setting<'_>)], threads: usize) -> Vec<Result<Vec<u8>, PaperError>> {
    let all = || wanted.par_iter().map(|(_, set)| set()).collect();
    match rayon::ThreadPoolBuilder::new().num_threads(threads.max(1)).build() {
        Ok(pool) => pool.install(all),
        // Without threads of their own they are set one after another.
        Err(_) => wanted.iter().map(|(_, set)| set()).collect(),
    }
}

/// Reads an order file from the disk with the folder its art lies in.
pub fn order_file(path: &Path) -> Result<((String, String), ArtFolder), Refusal> {
    const MOST_BYTES: u64 = 4 << 20;
    let shown = path.display().to_string();
    let unreadable = |cause: String| Refusal::Unreadable {
        path: shown.clone(),
        cause,
        remedy: "name the order file, a text in TOML".to_owned(),
    };
    let size = std::fs::metadata(path).map_err(|error| unreadable(error.to_string()))?.len();
    if size > MOST_BYTES {
        return Err(unreadable(format!("{size} bytes are more than the {MOST_BYTES} that are read")));
    }
    let text = std::fs::read_to_string(path).map_err(|error| unreadable(error.to_string()))?;
    let folder = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_path_buf(),
        _ => PathBuf::from("."),
    };
    let name = path.file_name().map_or_else(|| shown.clone(), |name| name.to_string_lossy().into_owned());
    Ok(((name, text), ArtFolder::Disk(folder)))
}
