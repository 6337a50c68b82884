//! The square code on a ticket: order and line by name, nothing else.

use crate::PaperError;
use qrcode::{Color, EcLevel, QrCode};
use std::fmt::Write as _;

/// Light modules around the code (ISO/IEC 18004: four at least).
const QUIET: usize = 4;
/// Longest text, in bytes, so that a module stays larger than 0.4 mm on a ticket.
const LONGEST: usize = 180;

/// SVG of the code that says `text`; text past what can be read on paper is cut.
///
/// Fails only when the text holds more than any code can carry.
pub(crate) fn square_code(text: &str) -> Result<String, PaperError> {
    let code = QrCode::with_error_correction_level(cut(text).as_bytes(), EcLevel::M);
    let code = code.map_err(|_| PaperError::CodeTooLong)?;
    let side = code.width();
    let mut path = String::new();
    for (at, colour) in code.to_colors().into_iter().enumerate() {
        if colour == Color::Dark {
            let _ = write!(path, "M{} {}h1v1h-1z", at % side + QUIET, at / side + QUIET);
        }
    }
    let whole = side + 2 * QUIET;
    Ok(format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {whole} {whole}\" width=\"{whole}\" height=\"{whole}\" \
         shape-rendering=\"crispEdges\"><path d=\"{path}\"/></svg>"
    ))
}

fn cut(text: &str) -> &str {
    let mut end = text.len().min(LONGEST);
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    &text[..end]
}
