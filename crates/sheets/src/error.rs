//! Why a file was not written.

use crate::codes;
use crate::sheet::Reading;
use report::{Finding, Severity, Value};
use std::{fmt, io};
use units::Length;

/// Why a file was not written.
#[derive(Debug)]
pub enum SheetError {
    /// The sheet has no usable area, or a side outside 1 mm to 200 m.
    Size {
        /// Across the film, mm.
        width_mm: f64,
        /// Along the film, mm.
        length_mm: f64,
        /// Margin, mm.
        margin_mm: f64,
    },
    /// Fewer than 50 or more than 1200 pixels to the inch.
    Resolution {
        /// What was asked for.
        dpi: f64,
    },
    /// A piece stands out over the edge of the sheet.
    PieceOutside {
        /// Which piece, from 0.
        piece: usize,
    },
    /// A piece is the other way round than the file says.
    ReadingDisagrees {
        /// Which piece, from 0.
        piece: usize,
        /// What the file says.
        reading: Reading,
    },
    /// A piece is longer than a page can be.
    PieceTooLong {
        /// Which piece, from 0.
        piece: usize,
        /// The longest page, mm.
        limit_mm: f64,
    },
    /// A piece cannot be drawn.
    Drawing {
        /// Which piece, from 0.
        piece: usize,
    },
    /// A contour cannot be cut.
    Contour {
        /// Which piece, from 0.
        piece: usize,
    },
    /// A setting outside its range.
    Setting {
        /// Its name in plain words.
        name: &'static str,
        /// What was asked for.
        value: f64,
        /// The least allowed.
        least: f64,
        /// The most allowed.
        most: f64,
    },
    /// The page description could not be put together.
    Document,
    /// The person asked to stop.
    Stopped,
    /// The file could not be written: disk full, folder gone.
    Write(io::Error),
}

impl From<io::Error> for SheetError {
    fn from(fault: io::Error) -> Self {
        Self::Write(fault)
    }
}

impl fmt::Display for SheetError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Size { width_mm, length_mm, margin_mm } => write!(
                f,
                "a sheet of {width_mm} × {length_mm} mm with margins of {margin_mm} mm cannot be written; \
                 sides go from 1 mm to 200 m and must leave room between the margins"
            ),
            Self::Resolution { dpi } => write!(f, "{dpi} dpi is out of range; choose 50 to 1200"),
            Self::PieceOutside { piece } => {
                write!(f, "piece {piece} stands out over the sheet's edge; lay the sheet out again")
            }
            Self::ReadingDisagrees { piece, reading } => write!(
                f,
                "the file is to be {}, but piece {piece} lies the other way round; lay the sheet out again for this stock",
                reading.tag()
            ),
            Self::PieceTooLong { piece, limit_mm } => {
                write!(f, "piece {piece} is longer than a page of {limit_mm} mm; use PNG for this sheet")
            }
            Self::Drawing { piece } => write!(f, "piece {piece} cannot be drawn at this size; simplify the art"),
            Self::Contour { piece } => write!(f, "piece {piece} has no contour to cut; check the art"),
            Self::Setting { name, value, least, most } => write!(f, "{name} is {value}; choose {least} to {most}"),
            Self::Document => write!(f, "the PDF could not be put together; use PNG for this sheet"),
            Self::Stopped => write!(f, "stopped before the file was complete"),
            Self::Write(fault) => {
                write!(f, "the file could not be written: {fault}; free some space or choose another folder")
            }
        }
    }
}

impl std::error::Error for SheetError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            Self::Write(fault) => Some(fault),
            _ => None,
        }
    }
}

/// A cut outline that had to come nearer to the ink than asked for, so that neighbours' cuts do not meet.
pub fn outline_narrowed(wanted: Length, outline: Length) -> Finding {
    Finding::new(Severity::Warning, codes::OUTLINE_NARROWED, codes::FIX_SPACING)
        .with("wanted", Value::Length(wanted))
        .with("outline", Value::Length(outline))
}

/// A print file of so many bytes where only so many are taken.
pub fn file_too_large(bytes: u64, limit: u64) -> Finding {
    let millions = |bytes: u64| Value::Number((bytes as f64 / 1e5).ceil() / 10.0);
    Finding::new(Severity::Warning, codes::FILE_LARGE, codes::FIX_FILE_SIZE)
        .with("size", millions(bytes))
        .with("limit", millions(limit))
}

impl SheetError {
    /// The same as a finding, for a plan that goes on with its other sheets.
    pub fn finding(&self) -> Finding {
        let length = |mm: f64| Value::Length(Length::from_mm(mm).unwrap_or_default());
        let stops = |code, fix| Finding::new(Severity::StopsLine, code, fix);
        let nth = |piece: usize| Value::Count(i64::try_from(piece).unwrap_or(i64::MAX).saturating_add(1));
        match self {
            Self::Size { width_mm, length_mm, margin_mm } => stops(codes::SIZE, codes::FIX_SIZE)
                .with("width", length(*width_mm))
                .with("length", length(*length_mm))
                .with("margin", length(*margin_mm)),
            Self::Resolution { dpi } => {
                stops(codes::RESOLUTION, codes::FIX_RESOLUTION).with("dpi", Value::Number(*dpi))
            }
            Self::PieceOutside { piece } => stops(codes::PIECE_OUTSIDE, codes::FIX_LAY_OUT).with("piece", nth(*piece)),
            Self::ReadingDisagrees { piece, reading } => stops(codes::READING_DISAGREES, codes::FIX_LAY_OUT)
                .with("piece", nth(*piece))
                .with("reading", Value::Term(codes::reading(*reading))),
            Self::PieceTooLong { piece, limit_mm } => {
                stops(codes::PIECE_LONG, codes::FIX_USE_PNG).with("piece", nth(*piece)).with("limit", length(*limit_mm))
            }
            Self::Drawing { piece } => stops(codes::DRAWING, codes::FIX_SIMPLIFY).with("piece", nth(*piece)),
            Self::Contour { piece } => stops(codes::CONTOUR, codes::FIX_SIMPLIFY).with("piece", nth(*piece)),
            Self::Setting { name, value, least, most } => stops(codes::SETTING, codes::FIX_SETTING)
                .named("name", *name)
                .with("value", Value::Number(*value))
                .with("least", Value::Number(*least))
                .with("most", Value::Number(*most)),
            Self::Document => stops(codes::DOCUMENT, codes::FIX_USE_PNG),
            Self::Stopped => Finding::new(Severity::Note, codes::STOPPED, codes::FIX_RUN_AGAIN),
            Self::Write(fault) => stops(codes::WRITE, codes::FIX_WRITE).named("cause", fault.to_string()),
        }
    }
}
