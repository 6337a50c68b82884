//! The door: bytes of a file in, clean art or one clear finding out.

use crate::clean::CleanArt;
use crate::{codes, pdf, raster, svg};
use report::{Code, Finding, Outcome, Severity, Value};
use std::panic::{AssertUnwindSafe, catch_unwind};

/// What a reader may take up; a file past any of them is refused before the memory is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Caps {
    /// Bytes of the file, and of what it unpacks to where it is compressed text.
    pub bytes: u64,
    /// Pixels of one picture; four bytes each.
    pub pixels: u64,
    /// Elements of a drawing.
    pub elements: u32,
    /// Corner points of all outlines together.
    pub points: usize,
    /// Longest side of the picture that a drawing is measured on, px.
    pub drawn_side: u32,
    /// Pixels painted when a drawing is rendered, all its layers and effects together.
    pub painted: u64,
}

impl Default for Caps {
    fn default() -> Self {
        Self {
            bytes: 100_000_000,
            pixels: 50_000_000,
            elements: 400_000,
            points: 2_000_000,
            drawn_side: 2_400,
            painted: 3_000_000_000,
        }
    }
}

/// How to read a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ReadOptions {
    /// Which page of a document, counted from 1.
    pub page: u32,
    /// Remove a uniform box behind the mark; only when the order says so.
    pub remove_background: bool,
    /// What may be taken up.
    pub caps: Caps,
}

impl Default for ReadOptions {
    fn default() -> Self {
        Self { page: 1, remove_background: false, caps: Caps::default() }
    }
}

/// The form of a file, told from its bytes, never from its name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SourceKind {
    /// Scalable Vector Graphics, plain or compressed.
    Svg,
    /// Portable Network Graphics.
    Png,
    /// JPEG in JFIF or Exif.
    Jpeg,
    /// WebP.
    WebP,
    /// A page of a PDF document.
    Pdf,
}

impl SourceKind {
    /// The form's usual name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Svg => "SVG",
            Self::Png => "PNG",
            Self::Jpeg => "JPEG",
            Self::WebP => "WebP",
            Self::Pdf => "PDF",
        }
    }
}

/// Reads art; `name` is only shown in findings.
///
/// Nothing is fetched: no network, no other file, no script, no font of the machine.
/// What cannot be honoured comes back as a finding.
///
/// # Errors
/// One finding that stops the line, with its remedy, when there is no usable art.
pub fn read(name: &str, bytes: &[u8], options: &ReadOptions) -> Result<Outcome<CleanArt>, Finding> {
    let door = Door { name, options };
    if bytes.is_empty() {
        return Err(door.stop(codes::FILE_EMPTY, codes::FIX_SEND_AGAIN));
    }
    if bytes.len() as u64 > options.caps.bytes {
        return Err(door.too_large(bytes.len() as u64, options.caps.bytes));
    }
    let kind = kind_of(bytes).ok_or_else(|| door.stop(codes::FILE_UNKNOWN, codes::FIX_SAVE_AS))?;
    // A fault inside a reader is that file's trouble, not the plan's.
    let reading = catch_unwind(AssertUnwindSafe(|| match kind {
        SourceKind::Svg => svg::read(&door, bytes),
        SourceKind::Pdf => pdf::read(&door, bytes),
        SourceKind::Png | SourceKind::Jpeg | SourceKind::WebP => raster::read(&door, kind, bytes),
    }));
    reading.unwrap_or_else(|_| Err(door.stop(codes::READER_FAILED, codes::FIX_SAVE_AS).named("form", kind.name())))
}

/// The form that the first bytes tell.
pub fn kind_of(bytes: &[u8]) -> Option<SourceKind> {
    let start = bytes.get(..bytes.len().min(1024)).unwrap_or_default();
    if start.starts_with(b"\x89PNG\r\n\x1a\n") {
        Some(SourceKind::Png)
    } else if start.starts_with(b"\xff\xd8\xff") {
        Some(SourceKind::Jpeg)
    } else if start.starts_with(b"RIFF") && start.get(8..12) == Some(b"WEBP") {
        Some(SourceKind::WebP)
    } else if start.windows(5).any(|five| five == b"%PDF-") {
        Some(SourceKind::Pdf)
    } else if start.starts_with(&[0x1f, 0x8b]) || svg::looks_like_one(bytes) {
        Some(SourceKind::Svg)
    } else {
        None
    }
}

/// A file being read: its name for findings, and how to read it.
pub(crate) struct Door<'a> {
    pub name: &'a str,
    pub options: &'a ReadOptions,
}

impl Door<'_> {
    pub fn stop(&self, code: Code, remedy: Code) -> Finding {
        self.found(Severity::StopsLine, code, remedy)
    }

    pub fn note(&self, code: Code) -> Finding {
        self.found(Severity::Note, code, codes::FIX_LOOK)
    }

    pub fn found(&self, severity: Severity, code: Code, remedy: Code) -> Finding {
        Finding::new(severity, code, remedy).named("file", self.name)
    }

    pub fn broken(&self, kind: SourceKind) -> Finding {
        self.stop(codes::FILE_BROKEN, codes::FIX_SEND_AGAIN).named("form", kind.name())
    }

    /// Refused before any pixel is asked for.
    pub fn huge(&self, width: u64, height: u64) -> Finding {
        self.stop(codes::PICTURE_HUGE, codes::FIX_SAVE_SMALLER)
            .with("width-px", count(width))
            .with("height-px", count(height))
            .with("limit-mpx", count(self.options.caps.pixels / 1_000_000))
    }

    pub fn too_large(&self, bytes: u64, limit: u64) -> Finding {
        self.stop(codes::FILE_LARGE, codes::FIX_SAVE_SMALLER)
            .with("size-mb", Value::Number(bytes as f64 / 1e6))
            .with("limit-mb", Value::Number(limit as f64 / 1e6))
    }

    pub fn heavy(&self, what: &str) -> Finding {
        self.stop(codes::DRAWING_HEAVY, codes::FIX_SIMPLIFY).named("what", what)
    }
}

/// A count for a finding; held at the largest.
pub(crate) fn count(number: u64) -> Value {
    Value::Count(i64::try_from(number).unwrap_or(i64::MAX))
}
