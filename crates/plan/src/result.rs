//! The plan: one value that pictures, papers, files and pages are made from.

use crate::Way;
use crate::shapes::PackShape;
use art::{ContentHash, FilmLayer, PrintSize};
use garment::{Nearest, Placed, Position, Reach};
use jiff::civil::{Date, DateTime};
use report::{Code, Figure, Finding, Reason};
use std::sync::Arc;
use trade::{
    AccessoryId, GarmentId, Peel, PlatenId, PressId, PressureClass, StepRole, StockId, SupplierId, TestPiece,
    TransferId,
};
use units::{Area, Duration, Length, Money, Temperature, TemperatureDifference};

/// A whole plan for one or several orders.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// The day it was made for.
    pub today: Date,
    /// Seed of every random choice in it.
    pub seed: u64,
    /// The orders, as given.
    pub orders: Vec<OrderPlan>,
    /// Sheets and rolls, one pool for each transfer and film colour of orders due near one another.
    pub pools: Vec<Pool>,
    /// Work on the presses.
    pub timeline: Timeline,
    /// What to buy, by supplier.
    pub purchases: Vec<Purchase>,
    /// Everything found, in the order of lines; those of an order's prints among them.
    pub findings: Vec<Finding>,
}

/// One order, planned.
#[derive(Debug, Clone, PartialEq)]
pub struct OrderPlan {
    /// Who ordered.
    pub customer: String,
    /// What it is called.
    pub name: String,
    /// When it must be handed over.
    pub due: DateTime,
    /// The way it is planned.
    pub way: Way,
    /// Its lines, as given.
    pub lines: Vec<LinePlan>,
    /// The selections of transfers weighed for it as a whole, the cheapest in the
    /// model first; one of them is taken.
    pub selections: Vec<SelectionCost>,
    /// What it costs and what is charged.
    pub price: OrderPrice,
    /// The three ways side by side; `price` above is that of `way`.
    pub ways: Vec<WayOffer>,
    /// When things must happen.
    pub dates: Dates,
    /// How its test pieces are made.
    pub test_piece: TestPiece,
}

/// A transfer for each print of an order, with what it costs.
#[derive(Debug, Clone, PartialEq)]
pub struct SelectionCost {
    /// By print, in the order of the lines that were drafted; `None` where nothing suits.
    pub transfers: Vec<Option<TransferId>>,
    /// Sheets, film, carriage and work in the stated model: film by area at three
    /// quarters used, at least the smallest sheet or length of each transfer.
    pub model: Money,
    /// The same with the sheets laid out; `None` where there was no other to compare with.
    pub laid_out: Option<Money>,
    /// Whether it is the one taken.
    pub taken: bool,
    /// Whether it is proven that in the model no set of transfers is cheaper but
    /// those listed before it; the search is stopped by counted work.
    pub proven: bool,
}

/// Whether a line can be made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LineState {
    /// Planned through.
    Planned,
    /// Waits for a person's answer.
    Waiting,
    /// Cannot be made as ordered.
    Stopped,
}

/// One line of an order.
#[derive(Debug, Clone, PartialEq)]
pub struct LinePlan {
    /// The style, when the shop knows it.
    pub garment: Option<GarmentId>,
    /// Its name for people, or as typed.
    pub garment_name: String,
    /// The colour, by the shop's name or as typed.
    pub colour: String,
    /// sRGB of the garment, when known.
    pub rgb: Option<[u8; 3]>,
    /// Brought by the customer.
    pub brought: bool,
    /// Sizes and quantities.
    pub sizes: Vec<crate::SizeCount>,
    /// Whether it can be made.
    pub state: LineState,
    /// Its prints, as given.
    pub prints: Vec<PrintPlan>,
    /// Order in which its prints are pressed, as indices of `prints`, with the reasons.
    pub pressing_order: Figure<Vec<usize>>,
    /// Garments needed beyond those ordered.
    pub spare_garments: u32,
    /// Of all its garments, what is on hand instead of being bought.
    pub on_hand: Vec<crate::ShelfTake>,
    /// When its first piece is loaded; `None` when it is not pressed.
    pub press_from: Option<DateTime>,
    /// Its price; `None` when it is not planned through.
    pub price: Option<LinePrice>,
}

impl LinePlan {
    /// Garments in all sizes.
    pub fn pieces(&self) -> u32 {
        self.sizes.iter().map(|size| size.count).fold(0, u32::saturating_add)
    }
}

/// One print of a line.
#[derive(Debug, Clone, PartialEq)]
pub struct PrintPlan {
    /// Art file as named in the order.
    pub art: String,
    /// Hash of its bytes, when it could be read.
    pub hash: Option<ContentHash>,
    /// Position; `None` when unknown.
    pub position: Option<Position>,
    /// Size as pressed, when known.
    pub size: Option<PrintSize>,
    /// Where it lies on each size and how a press reaches it, in the order of the line's sizes.
    pub placements: Vec<Placement>,
    /// The choice of transfer.
    pub choice: Choice,
    /// How it is pressed; `None` when nothing was chosen.
    pub card: Option<PressCard>,
    /// Transfers needed, spares included.
    pub transfers: u32,
    /// Of these, what is taken from the shelf instead of being made.
    pub from_shelf: Vec<crate::ShelfTake>,
    /// Of these, spares.
    pub spares: u32,
    /// Weeding time of one, all its films together, for cut films.
    pub weeding: Duration,
    /// Where it was put, when no press reaches it there.
    pub stuck: Option<Stuck>,
}

impl PrintPlan {
    /// Transfers that are still to be made.
    pub fn to_make(&self) -> u32 {
        self.from_shelf.iter().fold(self.transfers, |left, take| left.saturating_sub(take.count))
    }
}

/// A print that cannot be pressed where it was put.
#[derive(Debug, Clone, PartialEq)]
pub struct Stuck {
    /// The first size on which it is so, by name.
    pub size: String,
    /// Where it was put.
    pub placed: Placed,
    /// The nearest that works there; `None` when nothing does.
    pub nearest: Option<Nearest>,
}

/// Where a print lies on one size.
#[derive(Debug, Clone, PartialEq)]
pub struct Placement {
    /// The size by name.
    pub size: String,
    /// Where.
    pub placed: Placed,
    /// How a press reaches it.
    pub reach: Reach,
}

/// Whether a transfer suits a print.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fit {
    /// It suits.
    Fits,
    /// It suits under conditions.
    WithConditions,
    /// It does not suit.
    DoesNot,
}

/// One transfer of the shelf, weighed for one print.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// Which.
    pub transfer: TransferId,
    /// Verdict.
    pub fit: Fit,
    /// What speaks for it.
    pub for_it: Vec<Reason>,
    /// What speaks against it or must be kept in mind, the gravest first.
    pub against: Vec<Reason>,
    /// Estimated cost of one print: film by its area, press and weeding minutes.
    pub estimate: Option<Money>,
    /// How well it lasts on this cloth, 0 to 100, from stretch, wash and heat margin.
    pub lasting: u8,
    /// By how much it fails, 0 when it fits; compares candidates that fail.
    pub shortfall: f64,
    /// The films it is cut from, for films of one colour: mostly one; several lie over one
    /// another, the lowest first.
    pub films: Vec<FilmChoice>,
    /// What is cut from each film, where the art has several colours.
    pub stack: Option<Arc<FilmStack>>,
    /// Which of its recipes holds for this cloth.
    pub recipe: Option<usize>,
}

/// The colour of film taken for a print.
#[derive(Debug, Clone, PartialEq)]
pub struct FilmChoice {
    /// Name of the film colour.
    pub name: String,
    /// sRGB of the film.
    pub rgb: [u8; 3],
    /// CIEDE2000 from the art's colour; `None` when a person stated the film.
    pub difference: Option<f64>,
}

/// What is cut from each film of a print, laid over one another.
#[derive(Debug, Clone, PartialEq)]
pub struct FilmStack {
    /// The films, the lowest first; one where all other colours are left to the cloth.
    pub layers: Vec<StackedFilm>,
    /// How far a lower film reaches under an upper one.
    pub overlap: Length,
    /// How thick the films may lie on one another.
    pub thickest_allowed: Length,
    /// As packing sees each.
    pub(crate) shapes: Vec<PackShape>,
}

impl FilmStack {
    /// How thick the films lie at the thickest place.
    pub fn thickest(&self) -> Length {
        self.layers.iter().map(|one| one.layer.stack).reduce(Length::max).unwrap_or_default()
    }

    /// Weeding time of all films of one print.
    pub fn weeding(&self) -> Duration {
        self.layers.iter().map(|one| one.weeding).sum()
    }

    /// What is cut from each film, the lowest first.
    pub fn cuts(&self) -> Vec<FilmLayer> {
        self.layers.iter().map(|one| one.layer.clone()).collect()
    }
}

/// One film of a print.
#[derive(Debug, Clone, PartialEq)]
pub struct StackedFilm {
    /// The film.
    pub film: FilmChoice,
    /// What is cut from it.
    pub layer: FilmLayer,
    /// Weeding time of one.
    pub weeding: Duration,
}

/// What was chosen for a print, and why not the others.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// Index into `candidates` of the one taken.
    pub chosen: Option<usize>,
    /// When nothing suits: index of the nearest.
    pub nearest: Option<usize>,
    /// Every transfer of the shelf, in the shop's order.
    pub candidates: Vec<Candidate>,
    /// Why the chosen one.
    pub why: Vec<Reason>,
}

impl Choice {
    /// The candidate taken.
    pub fn taken(&self) -> Option<&Candidate> {
        self.chosen.and_then(|at| self.candidates.get(at))
    }
}

/// How one print is pressed.
#[derive(Debug, Clone, PartialEq)]
pub struct PressCard {
    /// The transfer.
    pub transfer: TransferId,
    /// The maker's sheet.
    pub source: String,
    /// Presses it may be done on.
    pub presses: Vec<PressId>,
    /// Platen.
    pub platen: PlatenId,
    /// Pillow under the print, when needed.
    pub pillow: Option<AccessoryId>,
    /// Steps, in order.
    pub steps: Vec<CardStep>,
    /// Films laid over one another, where there are several.
    pub stacked: Option<Stacked>,
    /// What the heat model says of the full press on this cloth.
    pub heat: Option<HeatCard>,
    /// Pieces in one closing.
    pub per_closing: u32,
    /// Heat that this print gets once more from each later press over it, in pressing order.
    pub heated_again: Vec<HeatedAgain>,
    /// Cautions of the heat room that hold for this print, in the order they are read out.
    pub cautions: Vec<Code>,
}

/// How several films of one print are pressed.
#[derive(Debug, Clone, PartialEq)]
pub struct Stacked {
    /// The films, the lowest first, which is the order of laying.
    pub films: Vec<FilmChoice>,
    /// How far a lower film reaches under an upper one.
    pub overlap: Length,
    /// How thick the films lie at the thickest place, and may lie at most.
    pub thickest: (Length, Length),
    /// All closings over the lowest film together, and at most.
    pub dwell_on_lowest: (Duration, Duration),
    /// What the films beneath get from the last full press.
    pub beneath: Option<UnderLater>,
}

/// What lies under a later plate gets.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UnderLater {
    /// Hottest bond line.
    pub bond_peak: Temperature,
    /// Time its bond line is above activation.
    pub above_activation: Duration,
    /// Hottest platen that the maker says it bears.
    pub bears: Temperature,
}

/// What a finished print gets from a later press whose platen covers it.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatedAgain {
    /// Index of the later print on the line.
    pub by: usize,
    /// The later platen.
    pub platen: Temperature,
    /// How long it is closed.
    pub dwell: Duration,
    /// This print's bond line at the hottest.
    pub bond_peak: Temperature,
    /// The cloth under it at the hottest.
    pub cloth_peak: Temperature,
    /// Time its bond line is above its own activation once more.
    pub above_activation: Duration,
    /// Hottest later platen that its maker says it bears.
    pub bears: Temperature,
}

/// What is set on one press so that its plate is as hot as wanted.
#[derive(Debug, Clone, PartialEq)]
pub struct SetPoint {
    /// The press.
    pub press: PressId,
    /// Its display: wanted less its measured offset, as it can be set.
    pub display: Figure<Temperature>,
}

/// A step as the operator does it.
#[derive(Debug, Clone, PartialEq)]
pub enum CardStep {
    /// Press the empty garment and smooth it.
    Preheat {
        /// True plate.
        temperature: Temperature,
        /// What each press of the card is set to for it.
        set: Vec<SetPoint>,
        /// Time closed.
        dwell: Figure<Duration>,
    },
    /// Put the transfer in its place.
    Place {
        /// Which of the stacked films, from the lowest; `None` where there is one.
        film: Option<usize>,
    },
    /// Close the press.
    Press {
        /// What it is for.
        role: StepRole,
        /// True plate.
        temperature: Figure<Temperature>,
        /// What each press of the card is set to for it.
        set: Vec<SetPoint>,
        /// Time closed.
        dwell: Figure<Duration>,
        /// Pressed from the inside, through the garment.
        from_inside: bool,
        /// Pressure.
        pressure: PressureClass,
        /// Cover sheet on top.
        cover: Option<AccessoryId>,
    },
    /// Lay it aside.
    SetAside {
        /// How long until it can be peeled, laid singly on a table.
        wait: Figure<Duration>,
    },
    /// Take the carrier off.
    Peel(Peel),
}

/// What the heat model says of a full press, in figures for people.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatCard {
    /// Bond line, cloth side, at the end of the dwell, on this cloth.
    pub bond_end: Figure<Temperature>,
    /// The same on the recipe's reference cloth.
    pub reference_bond_end: Temperature,
    /// Time the bond line is above activation, this cloth.
    pub above_activation: Duration,
    /// Activation temperature used: the maker's, or a default marked as such.
    pub activation: Figure<Temperature>,
    /// Hottest cloth, bare cloth beside the transfer included.
    pub cloth_peak: Temperature,
    /// The cloth's limit less its peak; negative when over.
    pub margin: TemperatureDifference,
    /// The cloth's own limit.
    pub limit: Temperature,
    /// Change against the maker's dwell that this cloth calls for (0: as the maker says).
    pub longer: Duration,
    /// Dwell that would give the reference dose, as a range, for information.
    pub equal_dose: Option<(Duration, Duration)>,
    /// Temperatures over time at the bond line (s, °C), for the picture.
    pub curve: Vec<(f64, f64)>,
    /// Heat drawn from the platen in one closing, J.
    pub energy_j: f64,
    /// Which settings serve, and what closes them.
    pub window: HeatWindow,
    /// Cooling after the press, by where it lies.
    pub cooling: Vec<Cooldown>,
}

/// Temperature and dwell that serve on this cloth.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatWindow {
    /// The whole map, recipe ± 15 K; what lies outside the maker's range is for information only.
    pub map: heat::press::Window,
    /// The maker's setting.
    pub recipe: (Temperature, Duration),
    /// What is set on this cloth.
    pub advised: (Temperature, Duration),
    /// The maker's lowest and highest temperature.
    pub maker: (Temperature, Temperature),
    /// How far the setting may be moved on the maker's sheet; `None` when it does not serve.
    pub leeway: Option<Leeway>,
    /// Why the setting does not serve, where it does not.
    pub closed_by: Option<Code>,
}

/// How far the setting may be moved, and what stops it on each side.
#[derive(Debug, Clone, PartialEq)]
pub struct Leeway {
    /// Coldest and hottest plate at the dwell set.
    pub temperature: (Temperature, Temperature),
    /// Shortest and longest dwell at the plate set.
    pub dwell: (Duration, Duration),
    /// What stops it on the colder side.
    pub colder: Code,
    /// What stops it on the hotter side.
    pub hotter: Code,
    /// What stops it on the shorter side.
    pub shorter: Code,
    /// What stops it on the longer side.
    pub longer: Code,
}

/// Waits after the press, laid or hung in one way.
#[derive(Debug, Clone, PartialEq)]
pub struct Cooldown {
    /// Where it cools.
    pub way: Code,
    /// Until the bond line is at the peel temperature; `None` when not practical.
    pub to_peel: Option<Duration>,
    /// Until it may be carried in bare hands; `None` when not practical.
    pub to_handling: Option<Duration>,
}

/// Sheets and rolls of one transfer in one film colour, shared by all prints that use it.
#[derive(Debug, Clone, PartialEq)]
pub struct Pool {
    /// Short name for files, `a` … `z`, `aa` ….
    pub key: String,
    /// The transfer.
    pub transfer: TransferId,
    /// Film colour, for films of one colour.
    pub colour: Option<String>,
    /// What was asked of the packing engine.
    pub instance: nest::Instance,
    /// For each design of the instance, the print it belongs to and its frame.
    pub designs: Vec<PoolDesign>,
    /// For each stock entry of the instance, the shop's item.
    pub stock: Vec<PoolStock>,
    /// The layout, confirmed by the independent check.
    pub layout: nest::Layout,
    /// Cost of the layout, with its bound as the low end of its range.
    pub cost: Figure<Money>,
    /// Net area of the art in it.
    pub art_area: Area,
    /// Area paid for.
    pub paid_area: Area,
}

impl Pool {
    /// Each different sheet by its index in the layout, with how often it is made.
    pub fn different_sheets(&self) -> Vec<(usize, usize)> {
        // Bits tell places apart as the engine does that gives identical sheets their price.
        let key = |sheet: &nest::Sheet| {
            let mut lies: Vec<(usize, u64, u64, u64, bool)> = sheet
                .pieces
                .iter()
                .map(|p| (p.design, p.x_mm.to_bits(), p.y_mm.to_bits(), p.rotation_deg.to_bits(), p.mirrored))
                .collect();
            lies.sort_unstable();
            (sheet.stock, sheet.charged_length_mm.to_bits(), lies)
        };
        let mut different: Vec<(usize, usize)> = Vec::new();
        let mut seen = std::collections::BTreeMap::new();
        for (at, sheet) in self.layout.sheets.iter().enumerate() {
            let place = *seen.entry(key(sheet)).or_insert(different.len());
            match different.get_mut(place) {
                Some((_, times)) => *times += 1,
                None => different.push((at, 1)),
            }
        }
        different
    }
}

/// A design in a pool. Its outline is in the frame of the art box: origin lower
/// left, y up, not mirrored.
///
/// Prints of one art at one size that look the same are one design, whatever
/// lines or orders they are for: their copies are interchangeable, and sheets
/// that differ only in whose copies they hold are identical sheets to a printer.
#[derive(Debug, Clone, PartialEq)]
pub struct PoolDesign {
    /// Index of the order of the first print.
    pub order: usize,
    /// Index of its line.
    pub line: usize,
    /// Index of the print.
    pub print: usize,
    /// Which film of the print's stack, from the lowest; `None` where it is cut from one or printed.
    pub film: Option<usize>,
    /// Copies for this print.
    pub copies: u32,
    /// Further prints that take copies of it, in the order of lines.
    pub also: Vec<PoolUse>,
}

/// Copies of a design for one print.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PoolUse {
    /// Index of the order.
    pub order: usize,
    /// Index of the line.
    pub line: usize,
    /// Index of the print.
    pub print: usize,
    /// How many.
    pub copies: u32,
}

impl PoolDesign {
    /// Every print that takes copies of it; at least one.
    pub fn uses(&self) -> impl Iterator<Item = PoolUse> + '_ {
        let first = PoolUse { order: self.order, line: self.line, print: self.print, copies: self.copies };
        std::iter::once(first).chain(self.also.iter().copied())
    }

    /// The print that takes a copy, counted from 0: the first print takes the first copies.
    pub fn use_of(&self, copy: u32) -> PoolUse {
        let mut before = 0_u32;
        let first = PoolUse { order: self.order, line: self.line, print: self.print, copies: self.copies };
        self.uses()
            .find(|one| {
                before = before.saturating_add(one.copies);
                copy < before
            })
            .unwrap_or(first)
    }
}

/// A stock entry in a pool.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PoolStock {
    /// The shop's item.
    pub item: StockId,
    /// Whether it is on hand already.
    pub on_hand: bool,
    /// Which of the item's left-over pieces it is; `None` when it is bought.
    pub remnant: Option<usize>,
}

/// Work on the presses.
#[derive(Debug, Clone, PartialEq)]
pub struct Timeline {
    /// The moment at which the engine's seconds begin.
    pub origin: DateTime,
    /// What was asked of the engine.
    pub problem: schedule::Problem,
    /// For each batch of the problem, the print and the visit to the press it stands for.
    pub batches: Vec<BatchOf>,
    /// The answer, confirmed by the independent simulation; `None` when nothing is pressed.
    pub schedule: Option<schedule::Schedule>,
}

impl Timeline {
    /// The moment of an engine's second.
    pub fn moment(&self, second: i64) -> DateTime {
        self.origin.saturating_add(jiff::SignedDuration::from_secs(second))
    }
}

/// What a batch stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BatchOf {
    /// Index of the order.
    pub order: usize,
    /// Index of the line.
    pub line: usize,
    /// Index of the print.
    pub print: usize,
    /// Which visit to the press, from 0: a second press after a cold peel is another.
    pub visit: usize,
    /// Which platen group of the line's sizes, from 0.
    pub group: usize,
    /// Which part of the line by the day its blanks arrive, from 0.
    pub part: usize,
}

/// One purchase.
#[derive(Debug, Clone, PartialEq)]
pub struct Purchase {
    /// From whom.
    pub supplier: SupplierId,
    /// What.
    pub items: Vec<PurchaseItem>,
    /// Goods value.
    pub goods: Money,
    /// Charged once for each different layout.
    pub set_up: Money,
    /// Charged to reach the supplier's minimum.
    pub top_up: Money,
    /// Handling.
    pub handling: Money,
    /// Carriage.
    pub freight: Money,
    /// What the supplier must first wait for comes by itself.
    pub second: Option<SecondDelivery>,
    /// All of it, rush included where it is taken.
    pub total: Money,
    /// Order by then, so that it arrives in time.
    pub order_by: Figure<DateTime>,
    /// Arrives on this day when ordered by `order_by`.
    pub arrives: Date,
    /// Arrives on this day when ordered at once.
    pub earliest: Date,
    /// Faster delivery, where the supplier sells any.
    pub rush: Option<RushOffer>,
}

/// Goods that come after the others, for carriage of their own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SecondDelivery {
    /// Arrives on this day when ordered at once.
    pub arrives: Date,
    /// Its carriage.
    pub freight: Money,
}

/// What faster delivery would do, or does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RushOffer {
    /// Charged for it.
    pub price: Money,
    /// Arrives on this day with it, when ordered at once.
    pub arrives: Date,
    /// Arrives on this day without it.
    pub usually: Date,
    /// Whether it is taken.
    pub taken: bool,
}

/// One item of a purchase.
#[derive(Debug, Clone, PartialEq)]
pub struct PurchaseItem {
    /// What.
    pub goods: Goods,
    /// How many pieces (rolls: of the length in `goods`).
    pub quantity: u32,
    /// Price of one.
    pub unit: Money,
    /// Price of all.
    pub total: Money,
    /// Whether it comes in the second delivery.
    pub second: bool,
}

/// What is bought.
#[derive(Debug, Clone, PartialEq)]
pub enum Goods {
    /// A sheet or length of film.
    Stock {
        /// The item.
        item: StockId,
        /// Film colour.
        colour: Option<String>,
        /// Charged length, for rolls.
        length: Option<Length>,
        /// Index of the pool it is for.
        pool: usize,
    },
    /// Garments of one size.
    Garment {
        /// Index of the order they are for.
        order: usize,
        /// The style.
        style: GarmentId,
        /// Colour by name.
        colour: String,
        /// Size by name.
        size: String,
    },
}

/// A part of the cost.
#[derive(Debug, Clone, PartialEq)]
pub struct CostItem {
    /// What for, as a term.
    pub what: Code,
    /// How much, and why.
    pub amount: Figure<Money>,
    /// Minutes of work in it.
    pub work: Duration,
}

/// The price of one line.
#[derive(Debug, Clone, PartialEq)]
pub struct LinePrice {
    /// Pieces.
    pub pieces: u32,
    /// Cost, built up.
    pub costs: Vec<CostItem>,
    /// Sum of the costs.
    pub cost: Money,
    /// Of it, what the shop bears itself: test pieces, where its rule says so.
    pub borne: Money,
    /// Price of one piece.
    pub unit: Figure<Money>,
    /// Price of all pieces.
    pub total: Money,
    /// The fewest pieces that bring back their cost at this unit price; `None` where none do.
    pub not_below: Option<Figure<u32>>,
    /// What one spoiled piece costs.
    pub spoiled: Figure<Money>,
    /// Unit and total prices at other quantities of this line alone.
    pub ladder: Vec<Rung>,
    /// Another way of making it, over the quantity; `None` where no other transfer suits.
    pub break_even: Option<BreakEven>,
}

/// What a line costs in two ways of making it, over the quantity, made alone.
#[derive(Debug, Clone, PartialEq)]
pub struct BreakEven {
    /// The transfers of its prints: as it is made, and the other way.
    pub ways: [Vec<TransferId>; 2],
    /// Costs at the quantities looked at, rising; at least one.
    pub points: Vec<BreakEvenPoint>,
    /// From so many pieces on the way of that index is the cheaper one, until the next change.
    pub changes: Vec<(u32, usize)>,
}

impl BreakEven {
    /// A way by the names of its transfers, each once.
    pub fn way_name(&self, shop: &trade::Shop, way: usize) -> String {
        let mut names: Vec<&str> = Vec::new();
        for id in &self.ways[way] {
            let name = shop.transfer(*id).name.as_str();
            if !names.contains(&name) {
                names.push(name);
            }
        }
        names.join(" + ")
    }

    /// Index of the way that is cheaper for so many pieces, by the changes found.
    pub fn cheaper_at(&self, pieces: u32) -> usize {
        let before = self.changes.iter().rev().find(|(from, _)| *from <= pieces).map(|(_, way)| *way);
        // Before the first change the cheaper way is the other one.
        before.unwrap_or_else(|| match (self.changes.first(), self.points.first()) {
            (Some((_, way)), _) => 1 - way.min(&1),
            (None, Some(point)) => usize::from(point.costs[1].minor() < point.costs[0].minor()),
            (None, None) => 0,
        })
    }
}

/// Costs of both ways at one quantity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BreakEvenPoint {
    /// Pieces.
    pub pieces: u32,
    /// Cost of all of them, each way.
    pub costs: [Money; 2],
}

/// One rung of the quantity ladder.
#[derive(Debug, Clone, PartialEq)]
pub struct Rung {
    /// Pieces.
    pub pieces: u32,
    /// Cost of all.
    pub cost: Money,
    /// Price of one.
    pub unit: Money,
    /// Price of all.
    pub total: Money,
    /// Set when this many pieces cost less in total than some smaller quantity:
    /// from which quantity on the total is higher than here.
    pub cheaper_than: Option<u32>,
}

/// What an order costs and what is charged.
#[derive(Debug, Clone, PartialEq)]
pub struct OrderPrice {
    /// Sum of all costs of its planned lines.
    pub cost: Money,
    /// Sum of the lines' prices.
    pub lines: Money,
    /// Charged on top because it must be done before its normal time.
    pub rush: Money,
    /// What that would cost, or costs.
    pub rush_charge: Money,
    /// Taken off.
    pub discount: Money,
    /// Charged on top to reach the shop's least charge.
    pub least_charge: Money,
    /// Net price.
    pub net: Figure<Money>,
    /// Taxes as the shop enters them, by name.
    pub taxes: Vec<(String, Money)>,
    /// Net and taxes.
    pub gross: Money,
    /// Deposit before money is spent.
    pub deposit: Money,
    /// The quote holds until.
    pub valid_until: Date,
    /// All work.
    pub work: Duration,
    /// What an hour of work earns: (net − all that is bought) ÷ hours.
    pub earns_per_hour: Option<Money>,
}

/// One of the three ways.
#[derive(Debug, Clone, PartialEq)]
pub struct WayOffer {
    /// Which.
    pub way: Way,
    /// For each line: garment and transfers, and the price of a piece; `None` for lines not planned.
    pub lines: Vec<Option<WayLine>>,
    /// Net price of the order this way.
    pub net: Money,
    /// Its cost.
    pub cost: Money,
    /// Work in it.
    pub work: Duration,
}

/// A line made one way.
#[derive(Debug, Clone, PartialEq)]
pub struct WayLine {
    /// The garment.
    pub garment: GarmentId,
    /// The transfer of each print.
    pub transfers: Vec<TransferId>,
    /// What the way adds in work, as terms.
    pub extras: Vec<Code>,
    /// Price of one piece.
    pub unit: Money,
}

/// When things must happen.
#[derive(Debug, Clone, PartialEq)]
pub struct Dates {
    /// Last moment for the customer to sign off and pay the deposit.
    pub sign_off_by: Option<Figure<DateTime>>,
    /// Last moment to order the transfers that are bought.
    pub order_transfers_by: Option<Figure<DateTime>>,
    /// Last moment to order garments.
    pub order_garments_by: Option<Figure<DateTime>>,
    /// Pressing can begin.
    pub goods_in: Option<DateTime>,
    /// Pressing begins as scheduled.
    pub press_from: Option<DateTime>,
    /// Everything is finished as scheduled, dye hold included.
    pub finish: Option<Figure<DateTime>>,
    /// Days a finished print is held to see whether dye wanders into it.
    pub dye_hold: Duration,
    /// Due less finish; negative when late.
    pub slack: Option<Duration>,
    /// Last moment to order another garment or transfer for a spoiled one, as usual and of the
    /// slowest supplier, so that it is pressed in time; `None` when nothing is bought.
    pub replace_by: Option<DateTime>,
}
