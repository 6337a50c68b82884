//! Cut files: film cut here, and outlines round printed pieces.

use super::Sheet;
use crate::refusal::Refusal;
use crate::safe_folder::SafeFolder;
use report::Finding;
use sheets::{CutPiece, CutSheet, Knife, Marks, PlacedArt, PrintSheet, Weed};
use trade::{CutFiles, CutFormat, Weeding};
use units::Length;

impl Sheet<'_> {
    /// The cuts of film of one colour.
    pub(super) fn write_cuts(
        &self,
        sheet: &PrintSheet<'_>,
        cut: &CutFiles,
        folder: &mut SafeFolder,
        findings: &mut Vec<Finding>,
    ) -> Result<(), Refusal> {
        let pieces = sheet.pieces.iter().filter_map(|piece| self.cut_piece(piece)).collect();
        let colour = self.pool.colour.as_deref();
        let name = match colour {
            Some(colour) => format!("{}-{}", self.name(), slug(colour)),
            None => self.name(),
        };
        let title = [Some(self.name()), Some(self.transfer().name.clone()), colour.map(str::to_owned)];
        let title: Vec<String> = title.into_iter().flatten().collect();
        let sheet = cut_sheet(sheet, cut, title.join(", "), pieces, Marks::None);
        write(&name, &sheet, cut, folder, findings)
    }

    /// A piece as it is cut: the whole of its art, or the film of it that lies on this sheet, with
    /// the marks by which the films are laid over one another.
    pub(super) fn cut_piece(&self, piece: &PlacedArt<'_>) -> Option<CutPiece> {
        match self.film_of(piece) {
            Some((stack, nth)) => sheets::layer_piece(piece.size, &stack.cuts(), nth, piece.pose, &piece.label),
            None => Some(CutPiece {
                region: piece.pose.region(&piece.art.exact_region(piece.size)),
                mirrored: piece.pose.mirrored,
                label: piece.label.clone(),
                marks: Vec::new(),
            }),
        }
    }

    /// The cuts round printed pieces, found by the corner marks printed with them.
    pub(super) fn write_outline_cuts(
        &self,
        name: &str,
        sheet: &PrintSheet<'_>,
        outside_mm: f64,
        cut: &CutFiles,
        folder: &mut SafeFolder,
        findings: &mut Vec<Finding>,
    ) -> Result<(), Refusal> {
        let marks = if sheet.register_marks { Marks::Register } else { Marks::None };
        let title = format!("{name}, {}, outlines", self.transfer().name);
        let cuts = cut_sheet(sheet, cut, title, sheet.outline_cuts(outside_mm), marks);
        write(&format!("{name}-outline"), &cuts, cut, folder, findings)
    }
}

fn cut_sheet(sheet: &PrintSheet<'_>, cut: &CutFiles, name: String, pieces: Vec<CutPiece>, marks: Marks) -> CutSheet {
    let weed = |split_every_mm| Some(Weed { frame_mm: cut.frame.mm(), split_every_mm });
    CutSheet {
        width_mm: sheet.width_mm,
        length_mm: sheet.length_mm,
        margin_mm: sheet.margin_mm,
        pieces,
        name,
        reading: sheet.reading,
        weed: match cut.weeding {
            Weeding::None => None,
            Weeding::Frame => weed(None),
            Weeding::FrameAndSplits => weed(Some(cut.split_every.mm())),
        },
        knife: (cut.knife_offset > Length::ZERO)
            .then(|| Knife { offset_mm: cut.knife_offset.mm(), turn_from_deg: cut.turn_from_deg }),
        overcut_mm: cut.overlap.mm(),
        marks,
    }
}

fn write(
    name: &str,
    sheet: &CutSheet,
    cut: &CutFiles,
    folder: &mut SafeFolder,
    findings: &mut Vec<Finding>,
) -> Result<(), Refusal> {
    let plan = match sheets::cut_paths(sheet, cut.tolerance.mm()) {
        Ok(plan) => plan,
        Err(error) => {
            findings.push(error.finding());
            return Ok(());
        }
    };
    findings.extend(plan.findings.iter().filter(|one| !findings.contains(one)).cloned().collect::<Vec<_>>());
    let way = sheet.reading.tag();
    for format in &cut.formats {
        let (ending, text) = match format {
            CutFormat::Svg => ("svg", sheets::cut_svg(&plan)),
            CutFormat::Dxf => ("dxf", sheets::cut_dxf(&plan)),
            CutFormat::Hpgl => ("plt", sheets::cut_hpgl(&plan)),
        };
        folder.write(&format!("cut/{name}-{way}.{ending}"), text.as_bytes())?;
    }
    Ok(())
}

/// A colour's name as part of a file's name.
fn slug(text: &str) -> String {
    let plain: String =
        text.chars().map(|c| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' }).take(40).collect();
    let parts: Vec<&str> = plain.split('-').filter(|part| !part.is_empty()).collect();
    if parts.is_empty() { "colour".to_owned() } else { parts.join("-") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colours_name_files_safely() {
        assert_eq!(slug("Silver grey / 12"), "silver-grey-12");
        assert_eq!(slug("../../x"), "x");
        assert_eq!(slug("öä"), "colour");
    }
}
