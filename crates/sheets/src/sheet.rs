//! A sheet as it is to be printed, in the frame of the film.
//!
//! **Frame.** x runs along the length of the film, y across its width and upward; the
//! origin is the corner of the sheet. Pieces are placed in the usable area, whose
//! corner lies the margin in from both edges. In a picture the film stands upright:
//! x runs down, y to the right. That is a plain quarter turn; it mirrors nothing.
//!
//! **Reversal, the one rule.** A piece lies on the film as its [`Pose`] says, and
//! nothing turns it over later: film that is cut or printed reversed carries poses
//! with `mirrored` set, a bought sheet poses without. [`PrintSheet::reading`] only
//! says which of the two the file is, for its labels and tags, and a sheet whose
//! poses say otherwise is refused with [`SheetError::ReadingDisagrees`].

use crate::cut::CutPiece;
use crate::error::SheetError;
use art::{CleanArt, PrintSize};
use geometry::{Bounds, Point, Pose, Region};

/// Which way round a file is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Reading {
    /// As the customer sees the print: for a printer who reverses it, and for film that
    /// is moved with its face up.
    #[default]
    Right,
    /// Left and right changed over: for film pressed face down.
    Reversed,
}

impl Reading {
    /// The words in a file's tags.
    pub fn tag(self) -> &'static str {
        match self {
            Self::Right => "right-reading",
            Self::Reversed => "reversed",
        }
    }
}

/// How half-transparent ink becomes white or no white.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Screen {
    /// White where the ink covers half or more.
    Threshold,
    /// Round dots in rows, larger where the ink is denser.
    Halftone {
        /// Rows of dots to the inch, 10 to 150; held within 0.2 %.
        lines_per_inch: f64,
        /// Direction of the rows, degrees; held within 0.2°.
        angle_deg: f64,
    },
    /// Dots of one size, scattered evenly, more of them where the ink is denser.
    Stochastic {
        /// Side of a dot, mm, at least one pixel.
        dot_mm: f64,
    },
}

/// The white under the colours.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct White {
    /// How far the white stays back from the edge of the ink, mm, 0 to 2.
    pub choke_mm: f64,
    /// What becomes of half-transparent ink.
    pub soft: Screen,
}

/// Art in the garment's own colour is left unprinted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LetClothShow {
    /// The garment's colour, sRGB.
    pub cloth: [u8; 3],
    /// Colours no further from it than this (CIEDE2000) are left out.
    pub within: f64,
}

/// Names of the spot colours in a PDF, as the printer's workflow knows them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SpotNames {
    /// The white ink.
    pub white: String,
    /// The line to be cut along.
    pub cut: String,
}

impl Default for SpotNames {
    fn default() -> Self {
        Self { white: "White".into(), cut: "Cut outline".into() }
    }
}

/// One copy of a piece of art on the sheet.
#[derive(Debug, Clone)]
pub struct PlacedArt<'a> {
    /// The art.
    pub art: &'a CleanArt,
    /// Its size as pressed.
    pub size: PrintSize,
    /// From the art (lower left corner of the art box, y up) to the usable area.
    pub pose: Pose,
    /// What is printed beside it for sorting: order, design, which of how many.
    pub label: String,
    /// What is printed where the label has no room; empty for nothing.
    pub short_label: String,
    /// Art in the garment's colour is left out.
    pub let_cloth_show: Option<LetClothShow>,
    /// An extra copy against spoilage.
    pub spare: bool,
    /// The caller's own number for it, kept through divisions.
    pub id: usize,
}

/// A sheet to be printed.
#[derive(Debug, Clone)]
pub struct PrintSheet<'a> {
    /// Across the film, edges included, mm.
    pub width_mm: f64,
    /// Along the film, both ends included, mm.
    pub length_mm: f64,
    /// From every edge to the usable area, mm.
    pub margin_mm: f64,
    /// The pieces.
    pub pieces: Vec<PlacedArt<'a>>,
    /// Which way round the file is.
    pub reading: Reading,
    /// The white layer, where the printer wants it from us.
    pub white: Option<White>,
    /// A line to be cut along round every piece, in a PDF, this far outside the ink, mm.
    pub cut_outline_mm: Option<f64>,
    /// Pixels to the inch, 50 to 1200.
    pub dpi: f64,
    /// A bar of 100 mm to measure the print by.
    pub check_bar: bool,
    /// Labels beside the pieces.
    pub labels: bool,
    /// Corner marks a cutter finds the print by.
    pub register_marks: bool,
    /// Names of the spot colours.
    pub spot_names: SpotNames,
}

/// The largest side of a picture, px; 200 m at 300 dpi stays far below.
const MOST_PX: f64 = 2_000_000.0;

impl<'a> PrintSheet<'a> {
    /// A plain right-reading sheet at 300 dpi: no white, no marks, no labels.
    pub fn plain(width_mm: f64, length_mm: f64, margin_mm: f64, pieces: Vec<PlacedArt<'a>>) -> Self {
        Self {
            width_mm,
            length_mm,
            margin_mm,
            pieces,
            reading: Reading::Right,
            white: None,
            cut_outline_mm: None,
            dpi: 300.0,
            check_bar: false,
            labels: false,
            register_marks: false,
            spot_names: SpotNames::default(),
        }
    }

    /// Width and height of the picture, px: across the film, along the film.
    pub fn size_px(&self) -> (u32, u32) {
        let px = |mm: f64| (mm * self.px_per_mm()).round().clamp(0.0, MOST_PX) as u32;
        (px(self.width_mm), px(self.length_mm))
    }

    pub(crate) fn px_per_mm(&self) -> f64 {
        self.dpi / 25.4
    }

    /// The pose of a piece in the frame of the whole sheet.
    pub(crate) fn pose_on_sheet(&self, piece: &PlacedArt<'_>) -> Pose {
        let shift = Point::new(piece.pose.shift.x + self.margin_mm, piece.pose.shift.y + self.margin_mm);
        Pose { shift, ..piece.pose }
    }

    /// The rectangle around a piece's art box, in the frame of the whole sheet.
    pub(crate) fn bounds_on_sheet(&self, piece: &PlacedArt<'_>) -> Bounds {
        let pose = self.pose_on_sheet(piece);
        let (w, h) = (piece.size.width().mm(), piece.size.height().mm());
        let corners = [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)].map(|(x, y)| pose.apply(Point::new(x, y)));
        Bounds::around(&corners).unwrap_or(Bounds { min: pose.shift, max: pose.shift })
    }

    /// What a piece inks, in the frame of the whole sheet.
    pub(crate) fn region_on_sheet(&self, piece: &PlacedArt<'_>) -> Region {
        self.pose_on_sheet(piece).region(&piece.art.region(piece.size))
    }

    /// What a cutter cuts round every printed piece, this far outside the ink, mm: same frame and
    /// same way round as the print.
    pub fn outline_cuts(&self, outside_mm: f64) -> Vec<CutPiece> {
        let back = Pose::at(-self.margin_mm, -self.margin_mm);
        self.pieces
            .iter()
            .zip(self.regions_on_sheet(outside_mm))
            .map(|(piece, region)| CutPiece {
                region: back.region(&region),
                mirrored: piece.pose.mirrored,
                label: piece.label.clone(),
                marks: Vec::new(),
            })
            .collect()
    }

    /// What every piece inks, grown by so much; each art and size is worked out once for all its copies.
    pub(crate) fn regions_on_sheet(&self, grown_mm: f64) -> Vec<Region> {
        let mut known: Vec<(&CleanArt, PrintSize, Region)> = Vec::new();
        self.pieces
            .iter()
            .map(|piece| {
                let same = |(art, size, _): &(&CleanArt, PrintSize, Region)| {
                    std::ptr::eq(*art, piece.art) && *size == piece.size
                };
                let at = known.iter().position(same).unwrap_or_else(|| {
                    let region = geometry::grow(&piece.art.region(piece.size), grown_mm);
                    known.push((piece.art, piece.size, region));
                    known.len() - 1
                });
                known.get(at).map_or_else(Region::default, |(_, _, region)| self.pose_on_sheet(piece).region(region))
            })
            .collect()
    }

    /// Refuses what cannot be written truly; see the errors' own words.
    pub(crate) fn check(&self) -> Result<(), SheetError> {
        check_size(self.width_mm, self.length_mm, self.margin_mm)?;
        if !(50.0..=1200.0).contains(&self.dpi) {
            return Err(SheetError::Resolution { dpi: self.dpi });
        }
        let (w, h) = self.size_px();
        if w == 0 || h == 0 || f64::from(w) >= MOST_PX || f64::from(h) >= MOST_PX {
            return Err(SheetError::Size {
                width_mm: self.width_mm,
                length_mm: self.length_mm,
                margin_mm: self.margin_mm,
            });
        }
        self.check_white()?;
        for (at, piece) in self.pieces.iter().enumerate() {
            if piece.pose.mirrored != (self.reading == Reading::Reversed) {
                return Err(SheetError::ReadingDisagrees { piece: at, reading: self.reading });
            }
            let finite =
                piece.pose.turn_deg.is_finite() && piece.pose.shift.x.is_finite() && piece.pose.shift.y.is_finite();
            let sheet = Bounds { min: Point::default(), max: Point::new(self.length_mm, self.width_mm) };
            if !finite || !sheet.grown(0.05).contains(&self.bounds_on_sheet(piece)) {
                // A box may stand out where its corner is empty; ink may not.
                let ink = finite.then(|| self.region_on_sheet(piece).bounds()).flatten();
                if !ink.is_some_and(|ink| sheet.grown(0.1).contains(&ink)) {
                    return Err(SheetError::PieceOutside { piece: at });
                }
            }
        }
        Ok(())
    }
}

impl PrintSheet<'_> {
    fn check_white(&self) -> Result<(), SheetError> {
        let within = |name, value: f64, least: f64, most: f64| {
            if (least..=most).contains(&value) { Ok(()) } else { Err(SheetError::Setting { name, value, least, most }) }
        };
        for piece in &self.pieces {
            if let Some(cloth) = piece.let_cloth_show {
                within("how far a colour may be from the cloth's, CIEDE2000,", cloth.within, 0.0, 100.0)?;
            }
        }
        if let Some(outside) = self.cut_outline_mm {
            within("the cut outline's distance, mm,", outside, 0.0, 50.0)?;
        }
        let Some(white) = self.white else { return Ok(()) };
        within("the choke of the white, mm,", white.choke_mm, 0.0, 2.0)?;
        match white.soft {
            Screen::Threshold => Ok(()),
            Screen::Halftone { lines_per_inch, angle_deg } => {
                within("the ruling, lines per inch,", lines_per_inch, 10.0, 150.0)?;
                within("the screen's angle, degrees,", angle_deg, -360.0, 360.0)
            }
            Screen::Stochastic { dot_mm } => within("the side of a dot, mm,", dot_mm, 0.0, 5.0),
        }
    }
}

/// Sheets between 1 mm and 200 m whose margins leave some usable area.
pub(crate) fn check_size(width_mm: f64, length_mm: f64, margin_mm: f64) -> Result<(), SheetError> {
    let side = |mm: f64| (1.0..=200_000.0).contains(&mm);
    let margin = margin_mm >= 0.0 && 2.0 * margin_mm < width_mm.min(length_mm);
    if side(width_mm) && side(length_mm) && margin {
        Ok(())
    } else {
        Err(SheetError::Size { width_mm, length_mm, margin_mm })
    }
}
