//! An order as a person wrote it, and what people decided since.

use garment::Sizing;
use jiff::civil::DateTime;
use report::Code;
use trade::{Finish, Payer, TestOn, TestPiece};
use units::{Length, Share};

/// An order. Names of garments, colours and positions are kept as typed and
/// resolved against the shop while planning, so that one unknown name stops its
/// line and not the others.
#[derive(Debug, Clone, PartialEq)]
pub struct Order {
    /// Who ordered.
    pub customer: String,
    /// What the order is called.
    pub name: String,
    /// When it must be handed over.
    pub due: DateTime,
    /// Which of the three ways is asked for.
    pub way: Way,
    /// It must be done before its normal time; the shop's charge for that comes on top.
    pub rush: bool,
    /// Taken off the lines' prices, 0 to 90 %.
    pub discount: Share,
    /// A bar of 100 mm is printed on its sheets, to measure the print by.
    pub check_bar: bool,
    /// What its test pieces are made on, where the order says so.
    pub test_on: Option<TestOn>,
    /// Who pays for them, where the order says so.
    pub test_paid_by: Option<Payer>,
    /// Garment lines, at least one.
    pub lines: Vec<Line>,
    /// What people decided.
    pub decisions: Vec<Decision>,
}

/// How the work is to be done: each way has its own garment and work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Way {
    /// What does the job at least cost.
    #[default]
    Everyday,
    /// The transfer that lasts longest on this cloth, pressed twice where its maker allows.
    Stronger,
    /// A finer garment where the shop has one, the best-lasting transfer, packed singly.
    Finest,
}

/// One style in one colour.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Garment style as typed.
    pub garment: String,
    /// Colour as typed.
    pub colour: String,
    /// Brought by the customer instead of bought.
    pub brought: bool,
    /// Sizes as typed with their quantities, each at least 1.
    pub sizes: Vec<SizeCount>,
    /// Prints on each garment.
    pub prints: Vec<Print>,
}

impl Line {
    /// Garments in all sizes.
    pub fn pieces(&self) -> u32 {
        self.sizes.iter().map(|size| size.count).fold(0, u32::saturating_add)
    }
}

/// How many of a size.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SizeCount {
    /// The size as typed.
    pub size: String,
    /// How many, at least 1.
    pub count: u32,
}

/// One print.
#[derive(Debug, Clone, PartialEq)]
pub struct Print {
    /// Art file, relative to the order's folder.
    pub art: String,
    /// Position as typed.
    pub position: String,
    /// How large.
    pub size: art::SizeWish,
    /// Look asked for.
    pub finish: Option<Finish>,
    /// Moved from the usual place, right and up as one looks at the garment.
    pub offset: Option<(Length, Length)>,
    /// A transfer that a person chose.
    pub transfer: Option<String>,
    /// Whether the box behind the art is to be removed.
    pub remove_background: bool,
    /// Film colours that a person stated.
    pub colours: Vec<String>,
    /// Art in the garment's own colour is left unprinted.
    pub let_cloth_show: bool,
    /// The art is as large as is usual there on each garment size; [`crate::sized`]
    /// turns that into widths. With it `size` says nothing.
    pub sizing: Option<Sizing>,
    /// What colours of the file truly are, as a person stated; they outrank the file.
    pub stated: Vec<StatedColour>,
}

/// A colour of the file and what it is meant to be.
#[derive(Debug, Clone, PartialEq)]
pub struct StatedColour {
    /// As the file has it, sRGB.
    pub file: [u8; 3],
    /// As the customer states it, CIELAB under D65.
    pub meant: art::Lab,
    /// As typed.
    pub typed: String,
}

/// What a person decided; undoing removes one.
#[derive(Debug, Clone, PartialEq)]
pub enum Decision {
    /// An answer to a question that halts a line.
    Answered {
        /// Which line, from 0.
        line: usize,
        /// The question's code, as text, `garment.child-sleepwear`.
        question: String,
        /// Whether work may go on.
        go_on: bool,
        /// Who answered.
        by: String,
    },
    /// A piece that stays where it was laid.
    Locked(Locked),
}

/// A piece that a person laid on a sheet; planning again leaves it there.
#[derive(Debug, Clone, PartialEq)]
pub struct Locked {
    /// Whose copy it is: line, as the plan counts lines, from 0.
    pub line: usize,
    /// Print of the line, from 0.
    pub print: usize,
    /// Which film of the print's stack, from the lowest, where it is cut from several.
    pub film: Option<usize>,
    /// The transfer it is made in, as the shop's files call it.
    pub transfer: String,
    /// The stock item it lies on, as the shop's files call it.
    pub stock: String,
    /// Width and length of the film on hand; `None` on a sheet or length that is bought.
    pub remnant: Option<(Length, Length)>,
    /// Which sheet of that transfer and film, from 0. Pieces of one sheet stay on one sheet.
    pub sheet: usize,
    /// Where the origin of its art box lies: along the usable film, then across.
    pub at: (Length, Length),
    /// Counter-clockwise, degrees; after mirroring, before moving.
    pub turn_deg: f64,
    /// Who laid it there.
    pub by: String,
}

impl Order {
    /// Whether a person has let work go on in spite of `question` on `line`.
    pub fn allowed(&self, line: usize, question: Code) -> bool {
        self.decisions.iter().any(|decision| {
            matches!(decision, Decision::Answered { line: of, question: code, go_on: true, .. }
                if *of == line && code == question.0)
        })
    }

    /// How its test pieces are made: as it says itself, else as the shop does.
    pub fn test_piece(&self, shops: TestPiece) -> TestPiece {
        TestPiece { on: self.test_on.unwrap_or(shops.on), paid_by: self.test_paid_by.unwrap_or(shops.paid_by) }
    }

    /// The pieces that stay where they were laid, in the order of the decisions.
    pub fn locked(&self) -> impl Iterator<Item = &Locked> {
        self.decisions.iter().filter_map(|decision| match decision {
            Decision::Locked(locked) => Some(locked),
            Decision::Answered { .. } => None,
        })
    }
}
