//! The parts of the plan file, each beside what turns the plan's value into it.

use super::money_figure;
use crate::Way;
use crate::result::{
    BreakEven, Candidate, CardStep, CostItem, Dates, FilmChoice, Fit, Goods, HeatCard, HeatWindow, HeatedAgain,
    LinePrice, LineState, OrderPrice, Plan, Pool, PressCard, Purchase, SelectionCost, SetPoint, Stacked, WayOffer,
};
use jiff::civil::DateTime;
use report::{Figure, Finding, Named, Origin, Reason, Severity, Value};
use schemars::JsonSchema;
use serde::Serialize;
use trade::{Peel, PressureClass, Shop, StepRole};
use units::{Duration, Money, Temperature};

/// A figure with its range of doubt and its reasons.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct FigureFile<T> {
    value: T,
    #[serde(skip_serializing_if = "Option::is_none")]
    low: Option<T>,
    #[serde(skip_serializing_if = "Option::is_none")]
    high: Option<T>,
    why: Vec<ReasonFile>,
}

pub(super) fn figure<A, B>(figure: &Figure<A>, to: impl Fn(&A) -> B) -> FigureFile<B> {
    FigureFile {
        value: to(&figure.value),
        low: figure.range.as_ref().map(|(low, _)| to(low)),
        high: figure.range.as_ref().map(|(_, high)| to(high)),
        why: reasons(&figure.why),
    }
}

/// A reason: its rule and what went in.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct ReasonFile {
    rule: &'static str,
    inputs: Vec<InputFile>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    refused: Vec<&'static str>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    would_change: Vec<&'static str>,
}

/// One input of a reason.
#[derive(Debug, Serialize, JsonSchema)]
struct InputFile {
    name: &'static str,
    value: ValueFile,
    origin: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    source: Option<String>,
}

/// A value with its unit.
#[derive(Debug, Serialize, JsonSchema)]
#[serde(tag = "unit", content = "value", rename_all = "snake_case")]
enum ValueFile {
    Mm(f64),
    Mm2(f64),
    C(f64),
    K(f64),
    S(f64),
    Minor(i64),
    Count(i64),
    Share(f64),
    Number(f64),
    Date(String),
    Moment(String),
    Text(String),
    Term(&'static str),
    List(Vec<ValueFile>),
}

pub(super) fn reasons(all: &[Reason]) -> Vec<ReasonFile> {
    all.iter()
        .map(|reason| ReasonFile {
            rule: reason.rule.0,
            inputs: reason
                .inputs
                .iter()
                .map(|input| InputFile {
                    name: input.name,
                    value: value(&input.value),
                    origin: origin(input.origin),
                    source: input.source.clone(),
                })
                .collect(),
            refused: reason.refused.iter().map(|code| code.0).collect(),
            would_change: reason.would_change.iter().map(|code| code.0).collect(),
        })
        .collect()
}

fn origin(origin: Origin) -> &'static str {
    match origin {
        Origin::Maker => "maker",
        Origin::Shop => "shop",
        Origin::Default => "default",
        Origin::Measured => "measured",
        Origin::Model => "model",
        Origin::Person => "person",
    }
}

fn value(value_: &Value) -> ValueFile {
    match value_ {
        Value::Length(length) => ValueFile::Mm(length.mm()),
        Value::Area(area) => ValueFile::Mm2(area.mm2()),
        Value::Temperature(temperature) => ValueFile::C(temperature.c()),
        Value::Difference(difference) => ValueFile::K(difference.k()),
        Value::Duration(span) => ValueFile::S(span.s()),
        Value::Money(amount) => ValueFile::Minor(amount.minor()),
        Value::Count(count) => ValueFile::Count(*count),
        Value::Share(share) => ValueFile::Share(*share),
        Value::Number(number) => ValueFile::Number(*number),
        Value::Date(date) => ValueFile::Date(date.to_string()),
        Value::Moment(moment) => ValueFile::Moment(moment.to_string()),
        Value::Text(text) => ValueFile::Text(text.clone()),
        Value::Term(code) => ValueFile::Term(code.0),
        Value::List(list) => ValueFile::List(list.iter().map(value).collect()),
    }
}

/// A finding.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct FindingFile {
    code: &'static str,
    severity: &'static str,
    /// Order, line and print, counted from 0.
    #[serde(skip_serializing_if = "Option::is_none")]
    order: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    line: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    print: Option<usize>,
    /// Left, lower, right, upper edge on the art as pressed.
    #[serde(skip_serializing_if = "Option::is_none")]
    place_mm: Option<[f64; 4]>,
    quantities: Vec<NamedFile>,
    remedy: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    repair: Option<&'static str>,
}

/// A named value.
#[derive(Debug, Serialize, JsonSchema)]
struct NamedFile {
    name: &'static str,
    value: ValueFile,
}

pub(super) fn finding(finding: &Finding) -> FindingFile {
    FindingFile {
        code: finding.code.0,
        severity: match finding.severity {
            Severity::Note => "note",
            Severity::Warning => "warning",
            Severity::Ask => "ask",
            Severity::StopsLine => "stops-line",
        },
        order: finding.subject.order,
        line: finding.subject.line,
        print: finding.subject.print,
        place_mm: finding.place.as_ref().map(|place| {
            let b = place.bounds;
            [b.min.x, b.min.y, b.max.x, b.max.y]
        }),
        quantities: finding
            .quantities
            .iter()
            .map(|Named { name, value: of }| NamedFile { name, value: value(of) })
            .collect(),
        remedy: finding.remedy.0,
        repair: finding.repair.map(|code| code.0),
    }
}

/// One transfer weighed for one print.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct CandidateFile {
    transfer: String,
    fit: &'static str,
    r#for: Vec<ReasonFile>,
    against: Vec<ReasonFile>,
    estimate: Option<i64>,
    lasting: u8,
    shortfall: f64,
    /// Films of one colour it is cut from, the lowest first.
    films: Vec<FilmFile>,
}

/// A film of one colour.
#[derive(Debug, Serialize, JsonSchema)]
struct FilmFile {
    name: String,
    rgb: String,
    /// CIEDE2000 from the art's colour; left out where a person stated the film.
    #[serde(skip_serializing_if = "Option::is_none")]
    difference: Option<f64>,
    /// What is cut from it, where there are several colours.
    #[serde(skip_serializing_if = "Option::is_none")]
    cut: Option<FilmCutFile>,
}

/// What is cut from one of several films.
#[derive(Debug, Serialize, JsonSchema)]
struct FilmCutFile {
    area_mm2: f64,
    /// Places left out because of what lies above.
    knocked_out: u32,
    /// How thick the films lie at the thickest place that it has a part in.
    stack_mm: f64,
    weeding_s: f64,
}

fn films(candidate: &Candidate) -> Vec<FilmFile> {
    let cut = |nth: usize| {
        let one = candidate.stack.as_ref()?.layers.get(nth)?;
        Some(FilmCutFile {
            area_mm2: one.layer.cut.area(),
            knocked_out: one.layer.knocked_out,
            stack_mm: one.layer.stack.mm(),
            weeding_s: one.weeding.s(),
        })
    };
    let film = |(nth, film): (usize, &FilmChoice)| FilmFile {
        name: film.name.clone(),
        rgb: hex(film.rgb),
        difference: film.difference,
        cut: cut(nth),
    };
    candidate.films.iter().enumerate().map(film).collect()
}

fn hex(rgb: [u8; 3]) -> String {
    format!("#{:02x}{:02x}{:02x}", rgb[0], rgb[1], rgb[2])
}

pub(super) fn candidate(shop: &Shop, candidate: &Candidate) -> CandidateFile {
    CandidateFile {
        transfer: shop.transfer(candidate.transfer).id.clone(),
        fit: match candidate.fit {
            Fit::Fits => "fits",
            Fit::WithConditions => "fits-with-conditions",
            Fit::DoesNot => "does-not-fit",
        },
        r#for: reasons(&candidate.for_it),
        against: reasons(&candidate.against),
        estimate: candidate.estimate.map(Money::minor),
        lasting: candidate.lasting,
        shortfall: candidate.shortfall,
        films: films(candidate),
    }
}

/// How a print is pressed.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct CardFile {
    transfer: String,
    source: String,
    presses: Vec<String>,
    platen: String,
    pillow: Option<String>,
    per_closing: u32,
    steps: Vec<StepFile>,
    /// Films laid over one another.
    #[serde(skip_serializing_if = "Option::is_none")]
    stacked: Option<StackedFile>,
    heat: Option<HeatFile>,
    /// Heat this print gets once more from each later press over it.
    heated_again: Vec<AgainFile>,
    /// Cautions, in the order they are read out.
    cautions: Vec<&'static str>,
}

/// Films laid over one another, the lowest first.
#[derive(Debug, Serialize, JsonSchema)]
struct StackedFile {
    films: Vec<String>,
    overlap_mm: f64,
    thickest_mm: f64,
    thickest_allowed_mm: f64,
    dwell_on_lowest_s: f64,
    dwell_on_lowest_allowed_s: f64,
    /// What the films beneath get from the last full press.
    beneath: Option<BeneathFile>,
}

/// What lies under a later plate gets.
#[derive(Debug, Serialize, JsonSchema)]
struct BeneathFile {
    bond_peak_c: f64,
    above_activation_s: f64,
    bears_c: f64,
}

fn stacked_file(stacked: &Stacked) -> StackedFile {
    StackedFile {
        films: stacked.films.iter().map(|film| film.name.clone()).collect(),
        overlap_mm: stacked.overlap.mm(),
        thickest_mm: stacked.thickest.0.mm(),
        thickest_allowed_mm: stacked.thickest.1.mm(),
        dwell_on_lowest_s: stacked.dwell_on_lowest.0.s(),
        dwell_on_lowest_allowed_s: stacked.dwell_on_lowest.1.s(),
        beneath: stacked.beneath.map(|under| BeneathFile {
            bond_peak_c: under.bond_peak.c(),
            above_activation_s: under.above_activation.s(),
            bears_c: under.bears.c(),
        }),
    }
}

/// What a finished print gets from a later press over it.
#[derive(Debug, Serialize, JsonSchema)]
struct AgainFile {
    /// The later print, from 1.
    by_print: usize,
    platen_c: f64,
    dwell_s: f64,
    bond_peak_c: f64,
    cloth_peak_c: f64,
    above_activation_s: f64,
    bears_c: f64,
}

/// What one press is set to.
#[derive(Debug, Serialize, JsonSchema)]
struct SetFile {
    press: String,
    c: FigureFile<f64>,
}

/// One step.
#[derive(Debug, Serialize, JsonSchema)]
#[serde(tag = "do", rename_all = "kebab-case")]
enum StepFile {
    Preheat {
        /// True plate.
        c: f64,
        /// What each press is set to for it.
        set: Vec<SetFile>,
        dwell_s: FigureFile<f64>,
    },
    Place {
        /// Which of the stacked films, counted from the lowest, from 0.
        #[serde(skip_serializing_if = "Option::is_none")]
        film: Option<usize>,
    },
    Press {
        role: &'static str,
        /// True plate.
        c: FigureFile<f64>,
        /// What each press is set to for it.
        set: Vec<SetFile>,
        from_inside: bool,
        dwell_s: FigureFile<f64>,
        pressure: &'static str,
        cover: Option<String>,
    },
    SetAside {
        wait_s: FigureFile<f64>,
    },
    Peel {
        when: &'static str,
    },
}

/// What the heat model says.
#[derive(Debug, Serialize, JsonSchema)]
struct HeatFile {
    bond_end_c: FigureFile<f64>,
    reference_bond_end_c: f64,
    above_activation_s: f64,
    activation_c: FigureFile<f64>,
    cloth_peak_c: f64,
    limit_c: f64,
    margin_k: f64,
    longer_s: f64,
    equal_dose_s: Option<[f64; 2]>,
    energy_j: f64,
    window: WindowFile,
    cooling: Vec<CoolingFile>,
}

/// Platen temperature and dwell that serve on this cloth.
#[derive(Debug, Serialize, JsonSchema)]
struct WindowFile {
    /// How far the setting may be moved on the maker's sheet.
    leeway: Option<LeewayFile>,
    /// Why the setting does not serve, where it does not.
    closed_by: Option<&'static str>,
    /// Lowest and highest of the maker's sheet.
    maker_c: [f64; 2],
    /// What closes the map towards cold and towards hot.
    cold_edge: &'static str,
    hot_edge: &'static str,
    /// The map; what lies outside the maker's range is for information only.
    columns: Vec<WindowColumnFile>,
}

/// How far the setting may be moved, and what stops it on each side.
#[derive(Debug, Serialize, JsonSchema)]
struct LeewayFile {
    /// At the dwell set.
    platen_c: [f64; 2],
    /// At the plate set.
    dwell_s: [f64; 2],
    colder: &'static str,
    hotter: &'static str,
    shorter: &'static str,
    longer: &'static str,
}

/// One platen temperature of the map.
#[derive(Debug, Serialize, JsonSchema)]
struct WindowColumnFile {
    platen_c: f64,
    /// Dwells that serve.
    open_s: Option<[f64; 2]>,
    /// What closes it, when none does.
    closed_by: Option<&'static str>,
}

/// Cooling after the press.
#[derive(Debug, Serialize, JsonSchema)]
struct CoolingFile {
    way: &'static str,
    to_peel_s: Option<f64>,
    to_handling_s: Option<f64>,
}

pub(super) fn card(shop: &Shop, card: &PressCard) -> CardFile {
    CardFile {
        transfer: shop.transfer(card.transfer).id.clone(),
        source: card.source.clone(),
        presses: card.presses.iter().map(|id| shop.press(*id).id.clone()).collect(),
        platen: shop.platen(card.platen).id.clone(),
        pillow: card.pillow.map(|id| shop.accessory(id).id.clone()),
        per_closing: card.per_closing,
        steps: card.steps.iter().map(|step| step_file(shop, step)).collect(),
        stacked: card.stacked.as_ref().map(stacked_file),
        heat: card.heat.as_ref().map(heat_file),
        heated_again: card.heated_again.iter().map(again_file).collect(),
        cautions: card.cautions.iter().map(|code| code.0).collect(),
    }
}

fn again_file(again: &HeatedAgain) -> AgainFile {
    AgainFile {
        by_print: again.by.saturating_add(1),
        platen_c: again.platen.c(),
        dwell_s: again.dwell.s(),
        bond_peak_c: again.bond_peak.c(),
        cloth_peak_c: again.cloth_peak.c(),
        above_activation_s: again.above_activation.s(),
        bears_c: again.bears.c(),
    }
}

fn set_files(shop: &Shop, set: &[SetPoint]) -> Vec<SetFile> {
    let of = |point: &SetPoint| SetFile {
        press: shop.press(point.press).id.clone(),
        c: figure(&point.display, |t: &Temperature| t.c()),
    };
    set.iter().map(of).collect()
}

fn step_file(shop: &Shop, step: &CardStep) -> StepFile {
    let span = |of: &Duration| of.s();
    match step {
        CardStep::Preheat { temperature, set, dwell } => {
            StepFile::Preheat { c: temperature.c(), set: set_files(shop, set), dwell_s: figure(dwell, span) }
        }
        CardStep::Place { film } => StepFile::Place { film: *film },
        CardStep::Press { role, temperature, set, dwell, from_inside, pressure, cover } => StepFile::Press {
            role: match role {
                StepRole::Tack => "tack",
                StepRole::Full => "full",
                StepRole::Second => "second",
            },
            c: figure(temperature, |t: &Temperature| t.c()),
            set: set_files(shop, set),
            from_inside: *from_inside,
            dwell_s: figure(dwell, span),
            pressure: match pressure {
                PressureClass::Light => "light",
                PressureClass::Medium => "medium",
                PressureClass::Firm => "firm",
            },
            cover: cover.map(|id| shop.accessory(id).id.clone()),
        },
        CardStep::SetAside { wait } => StepFile::SetAside { wait_s: figure(wait, span) },
        CardStep::Peel(peel) => StepFile::Peel {
            when: match peel {
                Peel::Hot => "hot",
                Peel::Warm => "warm",
                Peel::Cold => "cold",
            },
        },
    }
}

fn heat_file(heat: &HeatCard) -> HeatFile {
    HeatFile {
        bond_end_c: figure(&heat.bond_end, |t: &Temperature| t.c()),
        reference_bond_end_c: heat.reference_bond_end.c(),
        above_activation_s: heat.above_activation.s(),
        activation_c: figure(&heat.activation, |t: &Temperature| t.c()),
        cloth_peak_c: heat.cloth_peak.c(),
        limit_c: heat.limit.c(),
        margin_k: heat.margin.k(),
        longer_s: heat.longer.s(),
        equal_dose_s: heat.equal_dose.map(|(low, high)| [low.s(), high.s()]),
        energy_j: heat.energy_j,
        window: window_file(&heat.window),
        cooling: heat
            .cooling
            .iter()
            .map(|cooling| CoolingFile {
                way: cooling.way.0,
                to_peel_s: cooling.to_peel.map(Duration::s),
                to_handling_s: cooling.to_handling.map(Duration::s),
            })
            .collect(),
    }
}

fn window_file(window: &HeatWindow) -> WindowFile {
    let column = |column: &heat::press::WindowColumn| WindowColumnFile {
        platen_c: column.platen_c,
        open_s: column.open_s.map(|(from, to)| [from, to]),
        closed_by: column.closed_by.map(|constraint| constraint.code().0),
    };
    WindowFile {
        leeway: window.leeway.as_ref().map(|leeway| LeewayFile {
            platen_c: [leeway.temperature.0.c(), leeway.temperature.1.c()],
            dwell_s: [leeway.dwell.0.s(), leeway.dwell.1.s()],
            colder: leeway.colder.0,
            hotter: leeway.hotter.0,
            shorter: leeway.shorter.0,
            longer: leeway.longer.0,
        }),
        closed_by: window.closed_by.map(|code| code.0),
        maker_c: [window.maker.0.c(), window.maker.1.c()],
        cold_edge: window.map.cold_edge.code().0,
        hot_edge: window.map.hot_edge.code().0,
        columns: window.map.columns.iter().map(column).collect(),
    }
}

/// Sheets and rolls of one transfer and film colour.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct PoolFile {
    key: String,
    transfer: String,
    colour: Option<String>,
    spacing_mm: f64,
    cost: FigureFile<i64>,
    lower_bound: i64,
    complete: bool,
    art_mm2: f64,
    paid_mm2: f64,
    designs: Vec<DesignFile>,
    sheets: Vec<SheetFile>,
}

/// A design of a pool and the prints that take copies of it.
#[derive(Debug, Serialize, JsonSchema)]
struct DesignFile {
    art: Option<String>,
    /// Which film of the print, counted from the lowest, from 0, where it is cut from several.
    #[serde(skip_serializing_if = "Option::is_none")]
    film: Option<usize>,
    quantity: u32,
    /// The first print takes the first copies.
    uses: Vec<UseFile>,
}

/// Copies for one print, by order, line and print, counted from 0.
#[derive(Debug, Serialize, JsonSchema)]
struct UseFile {
    order: usize,
    line: usize,
    print: usize,
    copies: u32,
}

/// One sheet or length.
#[derive(Debug, Serialize, JsonSchema)]
struct SheetFile {
    stock: String,
    on_hand: bool,
    used_length_mm: f64,
    charged_length_mm: f64,
    price: i64,
    pieces: Vec<PieceFile>,
}

/// One piece: its art box (origin lower left) mirrored or not about its own y
/// axis, turned counter-clockwise, then moved; x along the film, y across.
#[derive(Debug, Serialize, JsonSchema)]
struct PieceFile {
    design: usize,
    copy: u32,
    x_mm: f64,
    y_mm: f64,
    rotation_deg: f64,
    mirrored: bool,
    spare: bool,
}

pub(super) fn pool(shop: &Shop, plan: &Plan, pool: &Pool) -> PoolFile {
    let art = |order: usize, line: usize, print: usize| {
        Some(plan.orders.get(order)?.lines.get(line)?.prints.get(print)?.art.clone())
    };
    PoolFile {
        key: pool.key.clone(),
        transfer: shop.transfer(pool.transfer).id.clone(),
        colour: pool.colour.clone(),
        spacing_mm: pool.instance.spacing_mm,
        cost: money_figure(&pool.cost),
        lower_bound: pool.layout.lower_bound,
        complete: pool.layout.complete,
        art_mm2: pool.art_area.mm2(),
        paid_mm2: pool.paid_area.mm2(),
        designs: pool
            .designs
            .iter()
            .zip(&pool.instance.designs)
            .map(|(of, design)| DesignFile {
                art: art(of.order, of.line, of.print),
                film: of.film,
                quantity: design.quantity,
                uses: of
                    .uses()
                    .map(|one| UseFile { order: one.order, line: one.line, print: one.print, copies: one.copies })
                    .collect(),
            })
            .collect(),
        sheets: pool
            .layout
            .sheets
            .iter()
            .map(|sheet| SheetFile {
                stock: pool.stock.get(sheet.stock).map_or(String::new(), |s| shop.stock_item(s.item).id.clone()),
                on_hand: pool.stock.get(sheet.stock).is_some_and(|s| s.on_hand),
                used_length_mm: sheet.used_length_mm,
                charged_length_mm: sheet.charged_length_mm,
                price: sheet.price,
                pieces: sheet
                    .pieces
                    .iter()
                    .map(|piece| PieceFile {
                        design: piece.design,
                        copy: piece.copy,
                        x_mm: piece.x_mm,
                        y_mm: piece.y_mm,
                        rotation_deg: piece.rotation_deg,
                        mirrored: piece.mirrored,
                        spare: piece.spare,
                    })
                    .collect(),
            })
            .collect(),
    }
}

/// Work on the presses.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct TimelineFile {
    origin: String,
    entries: Vec<EntryFile>,
    labour_s: Option<i64>,
    energy_j: Option<i64>,
    late_orders: Vec<usize>,
}

/// A run of closings of one print on one press.
#[derive(Debug, Serialize, JsonSchema)]
struct EntryFile {
    order: usize,
    line: usize,
    print: usize,
    visit: usize,
    press: String,
    people: Vec<String>,
    temp_c: i32,
    from: String,
    to: String,
    done: String,
    pieces: u32,
    closings: usize,
}

pub(super) fn timeline(plan: &Plan) -> TimelineFile {
    let timeline = &plan.timeline;
    let problem = &timeline.problem;
    let entries = timeline
        .schedule
        .iter()
        .flat_map(|schedule| &schedule.entries)
        .filter_map(|entry| {
            let of = timeline.batches.get(entry.batch)?;
            Some(EntryFile {
                order: of.order,
                line: of.line,
                print: of.print,
                visit: of.visit,
                press: problem.presses.get(entry.press)?.name.clone(),
                people: entry
                    .people()
                    .into_iter()
                    .filter_map(|at| Some(problem.people.get(at)?.name.clone()))
                    .collect(),
                temp_c: problem.batches.get(entry.batch)?.setup.temp_c,
                from: timeline.moment(entry.start_s()).to_string(),
                to: timeline.moment(entry.end_s()).to_string(),
                done: timeline.moment(entry.done_s()).to_string(),
                pieces: entry.pieces(),
                closings: entry.closings.len(),
            })
        })
        .collect();
    TimelineFile {
        origin: timeline.origin.to_string(),
        entries,
        labour_s: timeline.schedule.as_ref().map(|schedule| schedule.labour_s),
        energy_j: timeline.schedule.as_ref().map(|schedule| schedule.energy_j),
        late_orders: timeline.schedule.as_ref().map_or_else(Vec::new, |schedule| schedule.late_jobs.clone()),
    }
}

/// One purchase.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct PurchaseFile {
    supplier: String,
    items: Vec<ItemFile>,
    goods: i64,
    set_up: i64,
    top_up: i64,
    handling: i64,
    freight: i64,
    /// What the supplier must first wait for, when it comes by itself.
    second: Option<SecondFile>,
    total: i64,
    order_by: FigureFile<String>,
    arrives: String,
    earliest: String,
    /// Faster delivery, where the supplier sells any.
    rush: Option<RushFile>,
}

/// A second delivery.
#[derive(Debug, Serialize, JsonSchema)]
struct SecondFile {
    arrives: String,
    freight: i64,
}

/// Faster delivery.
#[derive(Debug, Serialize, JsonSchema)]
struct RushFile {
    price: i64,
    arrives: String,
    usually: String,
    taken: bool,
}

/// One item of a purchase.
#[derive(Debug, Serialize, JsonSchema)]
struct ItemFile {
    what: String,
    colour: Option<String>,
    size: Option<String>,
    length_mm: Option<f64>,
    quantity: u32,
    unit: i64,
    total: i64,
    /// Comes in the second delivery.
    second: bool,
}

pub(super) fn purchase(shop: &Shop, purchase: &Purchase) -> PurchaseFile {
    PurchaseFile {
        supplier: shop.supplier(purchase.supplier).id.clone(),
        items: purchase
            .items
            .iter()
            .map(|item| {
                let (what, colour, size, length_mm) = match &item.goods {
                    Goods::Stock { item, colour, length, .. } => {
                        (shop.stock_item(*item).id.clone(), colour.clone(), None, length.map(|l| l.mm()))
                    }
                    Goods::Garment { style, colour, size, .. } => {
                        (shop.garment(*style).id.clone(), Some(colour.clone()), Some(size.clone()), None)
                    }
                };
                let (unit, total) = (item.unit.minor(), item.total.minor());
                ItemFile { what, colour, size, length_mm, quantity: item.quantity, unit, total, second: item.second }
            })
            .collect(),
        goods: purchase.goods.minor(),
        set_up: purchase.set_up.minor(),
        top_up: purchase.top_up.minor(),
        handling: purchase.handling.minor(),
        freight: purchase.freight.minor(),
        second: purchase
            .second
            .map(|second| SecondFile { arrives: second.arrives.to_string(), freight: second.freight.minor() }),
        total: purchase.total.minor(),
        order_by: moment(&purchase.order_by),
        arrives: purchase.arrives.to_string(),
        earliest: purchase.earliest.to_string(),
        rush: purchase.rush.map(|rush| RushFile {
            price: rush.price.minor(),
            arrives: rush.arrives.to_string(),
            usually: rush.usually.to_string(),
            taken: rush.taken,
        }),
    }
}

/// The price of a line.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct LinePriceFile {
    pieces: u32,
    costs: Vec<CostFile>,
    cost: i64,
    /// Of the cost, what the shop bears itself.
    borne: i64,
    unit: FigureFile<i64>,
    total: i64,
    /// The fewest pieces that bring back their cost at this unit price.
    not_below: Option<FigureFile<u32>>,
    /// What one spoiled piece costs.
    spoiled: FigureFile<i64>,
    ladder: Vec<RungFile>,
    /// Another way of making it, over the quantity.
    break_even: Option<BreakEvenFile>,
}

/// Two ways over the quantity.
#[derive(Debug, Serialize, JsonSchema)]
struct BreakEvenFile {
    /// Transfers of the prints, as it is made.
    here: Vec<String>,
    /// Transfers of the prints, the other way.
    other: Vec<String>,
    points: Vec<BreakEvenPointFile>,
    changes: Vec<BreakEvenChangeFile>,
}

/// Costs of all pieces at one quantity.
#[derive(Debug, Serialize, JsonSchema)]
struct BreakEvenPointFile {
    pieces: u32,
    here: i64,
    other: i64,
}

/// From so many pieces on.
#[derive(Debug, Serialize, JsonSchema)]
struct BreakEvenChangeFile {
    from: u32,
    /// "here" or "other".
    cheaper: &'static str,
}

fn break_even(shop: &Shop, both: &BreakEven) -> BreakEvenFile {
    let named = |way: usize| both.ways[way].iter().map(|id| shop.transfer(*id).id.clone()).collect();
    BreakEvenFile {
        here: named(0),
        other: named(1),
        points: both
            .points
            .iter()
            .map(|point| BreakEvenPointFile {
                pieces: point.pieces,
                here: point.costs[0].minor(),
                other: point.costs[1].minor(),
            })
            .collect(),
        changes: both
            .changes
            .iter()
            .map(|(from, way)| BreakEvenChangeFile { from: *from, cheaper: if *way == 0 { "here" } else { "other" } })
            .collect(),
    }
}

/// A part of the cost.
#[derive(Debug, Serialize, JsonSchema)]
struct CostFile {
    what: &'static str,
    amount: FigureFile<i64>,
    work_s: f64,
}

/// A rung of the quantity ladder.
#[derive(Debug, Serialize, JsonSchema)]
struct RungFile {
    pieces: u32,
    cost: i64,
    unit: i64,
    total: i64,
    cheaper_than: Option<u32>,
}

pub(super) fn line_price(shop: &Shop, price: &LinePrice) -> LinePriceFile {
    LinePriceFile {
        pieces: price.pieces,
        costs: price.costs.iter().map(cost).collect(),
        cost: price.cost.minor(),
        borne: price.borne.minor(),
        unit: money_figure(&price.unit),
        break_even: price.break_even.as_ref().map(|both| break_even(shop, both)),
        total: price.total.minor(),
        not_below: price.not_below.as_ref().map(|fewest| figure(fewest, |pieces| *pieces)),
        spoiled: money_figure(&price.spoiled),
        ladder: price
            .ladder
            .iter()
            .map(|rung| RungFile {
                pieces: rung.pieces,
                cost: rung.cost.minor(),
                unit: rung.unit.minor(),
                total: rung.total.minor(),
                cheaper_than: rung.cheaper_than,
            })
            .collect(),
    }
}

fn cost(item: &CostItem) -> CostFile {
    CostFile { what: item.what.0, amount: money_figure(&item.amount), work_s: item.work.s() }
}

/// The price of an order.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct PriceFile {
    cost: i64,
    lines: i64,
    /// Charged on top because it must be done before its normal time.
    rush: i64,
    /// What that would cost, or costs.
    rush_charge: i64,
    /// Taken off.
    discount: i64,
    least_charge: i64,
    net: FigureFile<i64>,
    taxes: Vec<TaxFile>,
    gross: i64,
    deposit: i64,
    valid_until: String,
    work_s: f64,
    earns_per_hour: Option<i64>,
}

/// A tax as the shop enters it.
#[derive(Debug, Serialize, JsonSchema)]
struct TaxFile {
    name: String,
    amount: i64,
}

pub(super) fn price(price: &OrderPrice) -> PriceFile {
    PriceFile {
        cost: price.cost.minor(),
        lines: price.lines.minor(),
        rush: price.rush.minor(),
        rush_charge: price.rush_charge.minor(),
        discount: price.discount.minor(),
        least_charge: price.least_charge.minor(),
        net: money_figure(&price.net),
        taxes: price
            .taxes
            .iter()
            .map(|(name, amount)| TaxFile { name: name.clone(), amount: amount.minor() })
            .collect(),
        gross: price.gross.minor(),
        deposit: price.deposit.minor(),
        valid_until: price.valid_until.to_string(),
        work_s: price.work.s(),
        earns_per_hour: price.earns_per_hour.map(Money::minor),
    }
}

/// A transfer for each print of the order, with what it costs.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct SelectionFile {
    /// By print; null where nothing suits.
    transfers: Vec<Option<String>>,
    /// Cost in the stated model.
    model: i64,
    /// Cost with the sheets laid out; null where there was no other to compare with.
    laid_out: Option<i64>,
    taken: bool,
    /// Whether it is proven that in the model no set of transfers is cheaper but those listed before it.
    proven: bool,
}

pub(super) fn selection(shop: &Shop, one: &SelectionCost) -> SelectionFile {
    SelectionFile {
        transfers: one.transfers.iter().map(|id| id.map(|id| shop.transfer(id).id.clone())).collect(),
        model: one.model.minor(),
        laid_out: one.laid_out.map(Money::minor),
        taken: one.taken,
        proven: one.proven,
    }
}

/// One of the three ways.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct WayFile {
    way: &'static str,
    net: i64,
    cost: i64,
    work_s: f64,
    lines: Vec<Option<WayLineFile>>,
}

/// A line made one way.
#[derive(Debug, Serialize, JsonSchema)]
struct WayLineFile {
    garment: String,
    transfers: Vec<String>,
    extras: Vec<&'static str>,
    unit: i64,
}

pub(super) fn way(shop: &Shop, offer: &WayOffer) -> WayFile {
    WayFile {
        way: way_word(offer.way),
        net: offer.net.minor(),
        cost: offer.cost.minor(),
        work_s: offer.work.s(),
        lines: offer
            .lines
            .iter()
            .map(|line| {
                line.as_ref().map(|line| WayLineFile {
                    garment: shop.garment(line.garment).id.clone(),
                    transfers: line.transfers.iter().map(|id| shop.transfer(*id).id.clone()).collect(),
                    extras: line.extras.iter().map(|code| code.0).collect(),
                    unit: line.unit.minor(),
                })
            })
            .collect(),
    }
}

/// When things must happen.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct DatesFile {
    sign_off_by: Option<FigureFile<String>>,
    order_transfers_by: Option<FigureFile<String>>,
    order_garments_by: Option<FigureFile<String>>,
    goods_in: Option<String>,
    press_from: Option<String>,
    finish: Option<FigureFile<String>>,
    dye_hold_s: f64,
    slack_s: Option<f64>,
    /// Last moment to order another for a spoiled piece.
    replace_by: Option<String>,
}

pub(super) fn dates(dates: &Dates) -> DatesFile {
    DatesFile {
        sign_off_by: dates.sign_off_by.as_ref().map(moment),
        order_transfers_by: dates.order_transfers_by.as_ref().map(moment),
        order_garments_by: dates.order_garments_by.as_ref().map(moment),
        goods_in: dates.goods_in.map(|moment| moment.to_string()),
        press_from: dates.press_from.map(|moment| moment.to_string()),
        finish: dates.finish.as_ref().map(moment),
        dye_hold_s: dates.dye_hold.s(),
        slack_s: dates.slack.map(Duration::s),
        replace_by: dates.replace_by.map(|moment| moment.to_string()),
    }
}

fn moment(figure_: &Figure<DateTime>) -> FigureFile<String> {
    figure(figure_, ToString::to_string)
}

pub(super) fn money(amount: &Money) -> i64 {
    amount.minor()
}

pub(super) fn way_word(way: Way) -> &'static str {
    match way {
        Way::Everyday => "everyday",
        Way::Stronger => "stronger",
        Way::Finest => "finest",
    }
}

pub(super) fn stage_word(state: LineState) -> &'static str {
    match state {
        LineState::Planned => "planned",
        LineState::Waiting => "waiting",
        LineState::Stopped => "stopped",
    }
}

/// Things of one place on the shelf.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct ShelfFile {
    count: u32,
    /// Where they lie.
    place: String,
    /// Since when, for transfers.
    since: Option<String>,
    /// Size, for garments.
    size: Option<String>,
}

pub(super) fn from_shelf(shop: &Shop, take: crate::ShelfTake) -> Option<ShelfFile> {
    let spare = shop.spare_transfers().get(take.entry)?;
    Some(ShelfFile { count: take.count, place: spare.place.clone(), since: Some(spare.since.to_string()), size: None })
}

pub(super) fn garment_on_hand(shop: &Shop, take: crate::ShelfTake) -> Option<ShelfFile> {
    let spare = shop.spare_garments().get(take.entry)?;
    Some(ShelfFile { count: take.count, place: spare.place.clone(), since: None, size: Some(spare.size.clone()) })
}
