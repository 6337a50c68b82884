//! What is to be laid out, on what, and under which rules.

use geometry::{Outline, Point, Pose};

/// Pieces to produce and stock to produce them on. Lengths mm, prices in minor units.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Instance {
    /// Distance kept between pieces, mm, 0 or more. Nothing is kept to the edge of the usable area.
    pub spacing_mm: f64,
    /// What is to be produced.
    pub designs: Vec<Design>,
    /// On what.
    pub stock: Vec<Stock>,
    /// Pieces a person has placed; they stay.
    pub locked: Vec<LockedPiece>,
}

/// One design and how often it is wanted.
#[derive(Debug, Clone, PartialEq)]
pub struct Design {
    /// Name for findings and answers.
    pub id: String,
    /// How many are wanted, 1 or more.
    pub quantity: u32,
    /// How it may be turned.
    pub rotations: Rotations,
    /// Its outline; coordinates up to 10⁶ mm.
    pub outline: Outline,
    /// Worth of a spare; 0 for none wanted.
    pub spare_weight: f64,
    /// Designs naming the same group lie on one sheet.
    pub keep_together: Option<String>,
    /// Designs naming the same group lie on different sheets.
    pub keep_apart: Option<String>,
    /// Laid mirrored about its own y axis, for stock that is printed mirrored.
    pub mirrored: bool,
}

impl Design {
    /// A design that may be turned by quarters, without spares or groups.
    pub fn new(id: impl Into<String>, quantity: u32, outline: Outline) -> Self {
        Self {
            id: id.into(),
            quantity,
            rotations: Rotations::Quarter,
            outline,
            spare_weight: 0.0,
            keep_together: None,
            keep_apart: None,
            mirrored: false,
        }
    }
}

/// How a piece may be turned.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Rotations {
    /// By any angle.
    Any,
    /// By quarter turns.
    #[default]
    Quarter,
    /// By half a turn.
    Half,
    /// Not at all.
    None,
    /// By one of these angles, degrees counter-clockwise.
    List(Vec<f64>),
}

/// Which turns the film itself allows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Direction {
    /// All.
    #[default]
    None,
    /// Half turns.
    Half,
    /// None.
    Fixed,
}

/// One stock item.
#[derive(Debug, Clone, PartialEq)]
pub struct Stock {
    /// Name for findings and answers.
    pub id: String,
    /// Sheet or roll, with size and price.
    pub kind: StockKind,
    /// Kept free along every edge, mm.
    pub margin_mm: f64,
    /// Places where nothing may lie, in the frame of the usable area.
    pub forbidden: Vec<Outline>,
    /// Which turns the film allows.
    pub direction: Direction,
    /// Cutting apart by hand, when it costs.
    pub trim: Option<Trim>,
    /// Price per sheet from so many sheets of one layout: (from, price), rising.
    pub identical: Vec<(u32, i64)>,
    /// Price of a sheet, or of a step of a roll, from so many of them in all, whatever their
    /// layout: (from, price), rising. Where `identical` has a price as well, the lower holds.
    pub by_quantity: Vec<(u32, i64)>,
    /// Charged once per different layout, minor units.
    pub set_up: i64,
}

impl Stock {
    /// A stock item without margin, forbidden places, trimming or breaks.
    pub fn new(id: impl Into<String>, kind: StockKind) -> Self {
        Self {
            id: id.into(),
            kind,
            margin_mm: 0.0,
            forbidden: Vec::new(),
            direction: Direction::None,
            trim: None,
            identical: Vec::new(),
            by_quantity: Vec::new(),
            set_up: 0,
        }
    }

    /// The lowest price at which a sheet, or a step of a roll, can be had in some quantity.
    pub(crate) fn lowest_price(&self) -> i64 {
        let (StockKind::Sheet { price, .. } | StockKind::Roll { price_per_step: price, .. }) = self.kind;
        self.by_quantity.iter().map(|(_, each)| *each).fold(price, i64::min)
    }

    /// The usable area: length along x and width along y, mm; for a roll the longest.
    pub fn usable(&self) -> (f64, f64) {
        let (length, width) = match self.kind {
            StockKind::Sheet { width_mm, length_mm, .. } => (length_mm, width_mm),
            StockKind::Roll { width_mm, maximum_mm, .. } => (maximum_mm, width_mm),
        };
        (length - 2.0 * self.margin_mm, width - 2.0 * self.margin_mm)
    }
}

/// Sheet or roll.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StockKind {
    /// Bought or at hand by the piece. A remnant is a sheet with price 0 and count 1.
    Sheet {
        /// Across, mm.
        width_mm: f64,
        /// Along, mm.
        length_mm: f64,
        /// Each, minor units.
        price: i64,
        /// How many there are; `None` for as many as needed.
        count: Option<u32>,
    },
    /// Bought by length; charged max(minimum, ⌈(used + 2 × margin) / step⌉ × step).
    Roll {
        /// Across, mm.
        width_mm: f64,
        /// For each step of length begun, minor units.
        price_per_step: i64,
        /// A step of length, mm.
        step_mm: f64,
        /// Shortest length charged, mm.
        minimum_mm: f64,
        /// Longest uninterrupted length, mm.
        maximum_mm: f64,
    },
}

/// What cutting apart costs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trim {
    /// By hand; a cutting machine costs nothing.
    pub by_hand: bool,
    /// Seconds for a straight cut across the piece of film in hand.
    pub per_straight_cut_s: f64,
    /// Seconds for each mm along an outline.
    pub per_outline_mm_s: f64,
    /// The shop's rate, minor units an hour.
    pub rate_per_hour: i64,
}

/// A piece that a person has placed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LockedPiece {
    /// Which sheet of the answer, from 0.
    pub sheet: usize,
    /// Which stock item that sheet is; all locked pieces of a sheet agree.
    pub stock: usize,
    /// Where it lies.
    pub piece: Piece,
}

/// One piece of a layout: its outline mirrored if so, turned, then moved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Piece {
    /// Which design.
    pub design: usize,
    /// Which copy of it, from 0; spares count on from the quantity.
    pub copy: u32,
    /// Added last along the sheet's length, mm.
    pub x_mm: f64,
    /// Added last across the sheet's width, mm.
    pub y_mm: f64,
    /// Counter-clockwise, degrees.
    pub rotation_deg: f64,
    /// Mirrored about its own y axis before turning.
    pub mirrored: bool,
    /// More than was ordered.
    pub spare: bool,
}

impl Piece {
    /// How its design's outline is brought to the sheet.
    pub fn pose(&self) -> Pose {
        Pose { mirrored: self.mirrored, turn_deg: self.rotation_deg, shift: Point::new(self.x_mm, self.y_mm) }
    }
}

/// A full answer: what is bought and where everything lies.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Layout {
    /// Price of all sheets with set-ups and cutting apart, minor units.
    pub cost: i64,
    /// No answer with every piece placed can cost less, minor units.
    pub lower_bound: i64,
    /// Every piece ordered has its place.
    pub complete: bool,
    /// The sheets and lengths of roll.
    pub sheets: Vec<Sheet>,
    /// Designs with pieces left over, and how many.
    pub unplaced: Vec<(usize, u32)>,
}

/// One sheet or uninterrupted length of roll.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// Which stock item.
    pub stock: usize,
    /// Where the last piece ends in the usable area, mm.
    pub used_length_mm: f64,
    /// The length paid for, mm.
    pub charged_length_mm: f64,
    /// Its price with its share of breaks and set-up, and cutting apart, minor units.
    pub price: i64,
    /// What lies on it.
    pub pieces: Vec<Piece>,
}
