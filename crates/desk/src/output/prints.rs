//! Print files: which of them, in how many parts, how large.

use super::Sheet;
use crate::refusal::Refusal;
use crate::safe_folder::SafeFolder;
use report::{Finding, Severity, Watch};
use sheets::{LONGEST_PAGE_MM, PdfFile, PrintSheet, SheetError};
use std::io::{self, Write};
use trade::{CutFiles, PagesIn, PrintFiles, PrintFormat, WhiteIn};
use units::Length;

/// Tries to keep within the largest file taken before it is only said.
const TRIES: usize = 3;
/// Aimed this much below the largest file taken, since art is not spread evenly.
const SAFE_SHARE: f64 = 0.8;

/// How the files are divided.
#[derive(Clone, Copy)]
struct Division {
    /// The longest part, mm.
    longest: f64,
    pages_in: PagesIn,
}

impl Sheet<'_> {
    pub(super) fn write_prints(
        &self,
        sheet: &PrintSheet<'_>,
        files: &PrintFiles,
        cut: &CutFiles,
        folder: &mut SafeFolder,
        watch: &mut dyn Watch,
        findings: &mut Vec<Finding>,
    ) -> Result<(), Refusal> {
        let asked = files.longest.map_or(f64::INFINITY, Length::mm);
        // A page and its cut file must be the same part, whatever kind of file is printed.
        let longest = if sheet.cut_outline_mm.is_some() { asked.min(LONGEST_PAGE_MM) } else { asked };
        let mut division = Division { longest, pages_in: files.pages_in };
        let most = files.largest_mb.map_or(u64::MAX, |mb| (mb * 1e6) as u64);
        for attempt in 1..=TRIES {
            let mark = folder.mark();
            let mut found = Vec::new();
            let largest = self.write_parts(sheet, files, cut, division, folder, watch, &mut found)?;
            let shorter = sheet.length_mm.min(division.longest) * SAFE_SHARE * most as f64 / largest.max(1) as f64;
            let next = Division { longest: shorter, pages_in: PagesIn::OwnFiles };
            if largest > most && attempt < TRIES && sheets::split(sheet, shorter).is_ok() {
                folder.forget_from(mark)?;
                division = next;
                continue;
            }
            findings.extend(found);
            if largest > most {
                findings.push(sheets::file_too_large(largest, most));
            }
            break;
        }
        Ok(())
    }

    /// Every file of every part; returns the size of the largest print file.
    #[expect(clippy::too_many_arguments, reason = "two call sites; a struct would only rename them")]
    fn write_parts(
        &self,
        sheet: &PrintSheet<'_>,
        files: &PrintFiles,
        cut: &CutFiles,
        division: Division,
        folder: &mut SafeFolder,
        watch: &mut dyn Watch,
        findings: &mut Vec<Finding>,
    ) -> Result<u64, Refusal> {
        let parts = match sheets::split(sheet, division.longest) {
            Ok(parts) => parts,
            Err(error) => {
                findings.push(error.finding());
                return Ok(0);
            }
        };
        let mut largest = 0;
        for (at, part) in parts.iter().enumerate() {
            let name = part_name(&self.name(), at, parts.len());
            match sheets::look_over(part) {
                Ok(found) => {
                    findings.extend(found.into_iter().filter(|one| !findings.contains(one)).collect::<Vec<_>>())
                }
                Err(error) => {
                    findings.push(error.finding());
                    return Ok(largest);
                }
            }
            if files.formats.contains(&PrintFormat::Png) {
                largest = largest.max(write_pngs(&name, part, folder, watch)?);
            }
            if let Some(outside) = part.cut_outline_mm {
                self.write_outline_cuts(&name, part, outside, cut, folder, findings)?;
            }
            self.write_map(&name, part, folder)?;
        }
        if files.formats.contains(&PrintFormat::Pdf) {
            let whole = [(self.name(), sheet)];
            let apart = parts.iter().enumerate().map(|(at, part)| (part_name(&self.name(), at, parts.len()), part));
            let documents = match division.pages_in {
                PagesIn::OneFile => whole.to_vec(),
                PagesIn::OwnFiles => apart.collect(),
            };
            for (name, document) in documents {
                largest = largest.max(write_pdfs(&name, document, files, division, folder, findings)?);
            }
        }
        Ok(largest)
    }
}

fn part_name(name: &str, at: usize, parts: usize) -> String {
    if parts == 1 { name.to_owned() } else { format!("{name}-part-{}", at + 1) }
}

fn write_pngs(
    name: &str,
    sheet: &PrintSheet<'_>,
    folder: &mut SafeFolder,
    watch: &mut dyn Watch,
) -> Result<u64, Refusal> {
    let mut largest = 0;
    folder.stream(&format!("sheets/{name}.png"), |out| {
        let mut out = Counted { out, bytes: 0 };
        sheets::write_png(sheet, &mut out, watch).map_err(plain)?;
        largest = out.bytes;
        Ok::<(), String>(())
    })?;
    if sheet.white.is_some() {
        folder.stream(&format!("sheets/{name}-white.png"), |out| {
            sheets::write_white_png(sheet, out, watch).map(|_| ()).map_err(plain)
        })?;
    }
    Ok(largest)
}

fn write_pdfs(
    name: &str,
    sheet: &PrintSheet<'_>,
    files: &PrintFiles,
    division: Division,
    folder: &mut SafeFolder,
    findings: &mut Vec<Finding>,
) -> Result<u64, Refusal> {
    let own_white = files.white_in == WhiteIn::OwnFile && sheet.white.is_some();
    let colours = PrintSheet { white: sheet.white.filter(|_| !own_white), ..sheet.clone() };
    let mut written = vec![(format!("sheets/{name}.pdf"), sheets::pdf(&colours, division.longest))];
    if own_white {
        written.push((format!("sheets/{name}-white.pdf"), sheets::white_pdf(sheet, division.longest)));
    }
    let mut largest = 0;
    for (path, pdf) in written {
        match pdf {
            Ok(report::Outcome { value: PdfFile { bytes, .. }, findings: found }) => {
                findings.extend(found.into_iter().filter(|one| !findings.contains(one)).collect::<Vec<_>>());
                folder.write(&path, &bytes)?;
                largest = largest.max(bytes.len() as u64);
            }
            // Where there is a PNG too, the sheet can still be printed without the PDF.
            Err(error) if files.formats.contains(&PrintFormat::Png) => findings.push(softened(&error)),
            Err(error) => findings.push(error.finding()),
        }
    }
    Ok(largest)
}

/// What the system says, without what the folder says already.
fn plain(error: SheetError) -> String {
    match error {
        SheetError::Write(fault) => fault.to_string(),
        other => other.to_string(),
    }
}

fn softened(error: &SheetError) -> Finding {
    let mut finding = error.finding();
    finding.severity = finding.severity.min(Severity::Warning);
    finding
}

/// Counts what passes through.
struct Counted<'o> {
    out: &'o mut dyn Write,
    bytes: u64,
}

impl Write for Counted<'_> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let taken = self.out.write(bytes)?;
        self.bytes = self.bytes.saturating_add(taken as u64);
        Ok(taken)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.out.flush()
    }
}
