//! A long sheet divided into shorter ones, between its pieces.

use crate::error::SheetError;
use crate::sheet::PrintSheet;

/// The sheet as one or more sheets no longer than `longest_mm`, every piece whole on one of them.
///
/// Pieces keep their order along the film and their place across it; each part begins its
/// margin before its first piece. A sheet that is short enough comes back as it is.
///
/// # Errors
/// [`SheetError::PieceTooLong`] when a piece with its margins is longer than a part may be.
pub fn split<'a>(sheet: &PrintSheet<'a>, longest_mm: f64) -> Result<Vec<PrintSheet<'a>>, SheetError> {
    sheet.check()?;
    if sheet.length_mm <= longest_mm {
        return Ok(vec![sheet.clone()]);
    }
    let mut spans: Vec<(f64, f64, usize)> = sheet
        .pieces
        .iter()
        .enumerate()
        .map(|(at, piece)| {
            let bounds = sheet.bounds_on_sheet(piece);
            (bounds.min.x, bounds.max.x, at)
        })
        .collect();
    spans.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.2.cmp(&b.2)));
    let margin = sheet.margin_mm;
    let mut parts: Vec<Part> = Vec::new();
    for (from, to, piece) in spans {
        if to - from + 2.0 * margin > longest_mm {
            return Err(SheetError::PieceTooLong { piece, limit_mm: longest_mm });
        }
        match parts.last_mut() {
            Some(part) if to + margin - part.start <= longest_mm => {
                part.end = part.end.max(to + margin);
                part.pieces.push(piece);
            }
            _ => parts.push(Part { start: from - margin, end: to + margin, pieces: vec![piece] }),
        }
    }
    Ok(parts.into_iter().map(|part| part.sheet(sheet)).collect())
}

struct Part {
    start: f64,
    end: f64,
    pieces: Vec<usize>,
}

impl Part {
    fn sheet<'a>(&self, whole: &PrintSheet<'a>) -> PrintSheet<'a> {
        let pieces = self
            .pieces
            .iter()
            .map(|at| {
                let mut piece = whole.pieces[*at].clone();
                piece.pose.shift.x -= self.start;
                piece
            })
            .collect();
        PrintSheet { length_mm: self.end - self.start, pieces, ..whole.clone() }
    }
}
