//! The plan: one value that pictures, papers, files and pages are made from.
//!
//! Here the plan with its orders, lines, prints and dates; what is chosen, how it is pressed,
//! what is laid out, bought and charged in a file each.

mod card;
mod choice;
mod pool;
mod price;
mod purchase;

pub use card::{
    CardStep, Cooldown, HeatCard, HeatWindow, HeatedAgain, Leeway, PressCard, SetPoint, Stacked, UnderLater,
};
pub use choice::{Candidate, Choice, FilmChoice, FilmStack, Fit, StackedFilm};
pub use pool::{Pool, PoolDesign, PoolStock, PoolUse};
pub use price::{
    BreakEven, BreakEvenPoint, CostItem, Landed, LandedPoint, LinePrice, OrderPrice, Rung, WayLine, WayOffer,
};
pub use purchase::{Goods, Purchase, PurchaseItem, RushOffer, SecondDelivery};

use crate::Way;
use art::{ContentHash, PrintSize};
use garment::{Nearest, Placed, Position, Reach};
use jiff::civil::{Date, DateTime};
use report::{Figure, Finding};
use trade::{GarmentId, TestPiece, TransferId};
use units::{Duration, Money};

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

/// When things must happen.
#[derive(Debug, Clone, PartialEq)]
pub struct Dates {
    /// Last moment for the customer to sign off and pay the deposit.
    pub sign_off_by: Option<Figure<DateTime>>,
    /// Last moment to order the transfers that are bought.
    pub order_transfers_by: Option<Figure<DateTime>>,
    /// Last moment to order garments.
    pub order_garments_by: Option<Figure<DateTime>>,
    /// The day on which all its goods must be here, to be counted in before pressing.
    pub goods_by: Option<Date>,
    /// Last moment to begin the test piece and then to press, so that it is in time.
    pub press_by: Option<DateTime>,
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
