//! What print and cut files hold: a printer's wishes, a film's needs, a cutter's traits.
//!
//! A wish leaves open what it does not say. What a stock item says outranks its
//! supplier, which outranks the defaults; for cut files the shop's cutter stands in the
//! supplier's place.

use crate::{Layers, Shop, StockItem};
use units::Length;

/// A form of print file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PrintFormat {
    /// Pixels.
    Png,
    /// Pages.
    Pdf,
}

/// A form of cut file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CutFormat {
    /// Drawing.
    Svg,
    /// Exchange drawing, release 12.
    Dxf,
    /// Plotter commands.
    Hpgl,
}

/// Where the white layer goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum WhiteIn {
    /// As a separation in the PDF of the colours; beside a PNG, which has no separations, in its own.
    SameFile,
    /// In a file of its own.
    OwnFile,
}

/// Where the pages of a divided sheet go.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PagesIn {
    /// Numbered pages of one PDF.
    OneFile,
    /// A file each.
    OwnFiles,
}

/// What becomes of half-transparent ink in the white layer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SoftEdges {
    /// White where the ink covers half or more.
    Threshold,
    /// Dots in rows, larger where the ink is denser.
    Halftone,
    /// Scattered dots of one size.
    Stochastic,
}

/// Extra cuts that ease lifting off the waste.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Weeding {
    /// None.
    None,
    /// A frame round the job.
    Frame,
    /// A frame, and cuts across the waste.
    FrameAndSplits,
}

/// What a printer or a stock item says of print files.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PrintWish {
    /// Which files.
    pub formats: Option<Vec<PrintFormat>>,
    /// Which layers, where a stock item differs from its printer's rule.
    pub layers: Option<Layers>,
    /// Pixels to the inch, 50 to 1200.
    pub dpi: Option<f64>,
    /// Where the white goes.
    pub white_in: Option<WhiteIn>,
    /// How far the white stays back from the ink's edge, 0 to 2 mm.
    pub choke: Option<Length>,
    /// What becomes of soft edges.
    pub soft_edges: Option<SoftEdges>,
    /// Rows of dots to the inch, 10 to 150.
    pub ruling: Option<f64>,
    /// Direction of the rows, degrees.
    pub angle_deg: Option<f64>,
    /// Side of a scattered dot, 0 to 5 mm.
    pub dot: Option<Length>,
    /// How far a colour may be from the cloth's and still be left out, CIEDE2000.
    pub cloth_difference: Option<f64>,
    /// The white separation's name.
    pub white_name: Option<String>,
    /// The cut separation's name.
    pub cut_name: Option<String>,
    /// Where pages go.
    pub pages_in: Option<PagesIn>,
    /// The longest sheet taken in one page or picture.
    pub longest: Option<Length>,
    /// The largest file taken, millions of bytes.
    pub largest_mb: Option<f64>,
    /// Labels beside the pieces.
    pub labels: Option<bool>,
    /// A bar of 100 mm to measure the print by.
    pub check_bar: Option<bool>,
    /// Corner marks that a cutter finds the print by.
    pub register_marks: Option<bool>,
}

/// What a cutter or a stock item says of cut files.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CutWish {
    /// Which files.
    pub formats: Option<Vec<CutFormat>>,
    /// How far the knife's tip trails, 0 to 2 mm; nothing where the machine corrects for it.
    pub knife_offset: Option<Length>,
    /// Corners that turn more than this get a swivel, degrees, 1 to 90.
    pub turn_from_deg: Option<f64>,
    /// How far a closed cut runs on past its start, 0 to 5 mm.
    pub overlap: Option<Length>,
    /// How far a curve's cut may stray, 0.001 to 1 mm.
    pub tolerance: Option<Length>,
    /// Extra cuts for weeding.
    pub weeding: Option<Weeding>,
    /// How far the frame runs outside the pieces, 0 to 50 mm.
    pub frame: Option<Length>,
    /// Distance between cuts across the waste, 10 mm or more.
    pub split_every: Option<Length>,
    /// How far outside the ink a printed piece is cut, 0 to 50 mm.
    pub outline: Option<Length>,
}

/// How print files are made, nothing left open.
#[derive(Debug, Clone, PartialEq)]
#[expect(missing_docs, reason = "each field is said at PrintWish")]
pub struct PrintFiles {
    pub formats: Vec<PrintFormat>,
    pub layers: Option<Layers>,
    pub dpi: f64,
    pub white_in: WhiteIn,
    pub choke: Length,
    pub soft_edges: SoftEdges,
    pub ruling: f64,
    pub angle_deg: f64,
    pub dot: Length,
    pub cloth_difference: f64,
    pub white_name: String,
    pub cut_name: String,
    pub pages_in: PagesIn,
    pub longest: Option<Length>,
    pub largest_mb: Option<f64>,
    pub labels: bool,
    pub check_bar: bool,
    /// `None`: only where the pieces are cut out by a machine.
    pub register_marks: Option<bool>,
}

/// How cut files are made, nothing left open.
#[derive(Debug, Clone, PartialEq)]
#[expect(missing_docs, reason = "each field is said at CutWish")]
pub struct CutFiles {
    pub formats: Vec<CutFormat>,
    pub knife_offset: Length,
    pub turn_from_deg: f64,
    pub overlap: Length,
    pub tolerance: Length,
    pub weeding: Weeding,
    pub frame: Length,
    pub split_every: Length,
    /// `None`: only for film that is printed and cut.
    pub outline: Option<Length>,
}

impl Shop {
    /// How the print files of a stock item are made. Values nobody gave are common practice, no source.
    pub fn print_files(&self, item: &StockItem) -> PrintFiles {
        let none = PrintWish::default();
        let supplier = item.supplier.map(|id| self.supplier(id));
        let (own, theirs) = (&item.print, supplier.map_or(&none, |supplier| &supplier.print));
        macro_rules! said {
            ($key:ident) => {
                own.$key.clone().or_else(|| theirs.$key.clone())
            };
        }
        let rule = supplier.and_then(|supplier| supplier.files.as_ref());
        PrintFiles {
            formats: said!(formats).unwrap_or_else(|| vec![PrintFormat::Png, PrintFormat::Pdf]),
            layers: said!(layers).or(rule.map(|rule| rule.layers)),
            dpi: said!(dpi).unwrap_or(300.0),
            white_in: said!(white_in).unwrap_or(WhiteIn::SameFile),
            choke: said!(choke).unwrap_or_else(|| mm(0.17)),
            soft_edges: said!(soft_edges).unwrap_or(SoftEdges::Threshold),
            ruling: said!(ruling).unwrap_or(35.0),
            angle_deg: said!(angle_deg).unwrap_or(22.5),
            dot: said!(dot).unwrap_or_else(|| mm(0.5)),
            cloth_difference: said!(cloth_difference).unwrap_or(2.0),
            white_name: said!(white_name).unwrap_or_else(|| "White".to_owned()),
            cut_name: said!(cut_name).unwrap_or_else(|| "Cut outline".to_owned()),
            pages_in: said!(pages_in).unwrap_or(PagesIn::OneFile),
            longest: said!(longest),
            largest_mb: said!(largest_mb),
            labels: said!(labels).unwrap_or(true),
            check_bar: said!(check_bar).unwrap_or(false),
            register_marks: said!(register_marks),
        }
    }

    /// How the cut files of a stock item are made. Values nobody gave are common practice, no source.
    pub fn cut_files(&self, item: &StockItem) -> CutFiles {
        let (own, theirs) = (&item.cut, &self.cutter);
        macro_rules! said {
            ($key:ident) => {
                own.$key.clone().or_else(|| theirs.$key.clone())
            };
        }
        CutFiles {
            formats: said!(formats).unwrap_or_else(|| vec![CutFormat::Svg, CutFormat::Dxf, CutFormat::Hpgl]),
            knife_offset: said!(knife_offset).unwrap_or(Length::ZERO),
            turn_from_deg: said!(turn_from_deg).unwrap_or(20.0),
            overlap: said!(overlap).unwrap_or_else(|| mm(0.3)),
            tolerance: said!(tolerance).unwrap_or_else(|| mm(0.05)),
            weeding: said!(weeding).unwrap_or(Weeding::FrameAndSplits),
            frame: said!(frame).unwrap_or_else(|| mm(6.0)),
            split_every: said!(split_every).unwrap_or_else(|| mm(100.0)),
            outline: said!(outline),
        }
    }
}

fn mm(mm: f64) -> Length {
    Length::from_mm(mm).unwrap_or_default()
}
