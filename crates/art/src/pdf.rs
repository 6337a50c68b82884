//! One page of a PDF document, turned into a drawing.

use crate::clean::CleanArt;
use crate::read::{Door, SourceKind, count};
use crate::{codes, svg};
use hayro_svg::hayro_interpret::{InterpreterSettings, InterpreterWarning};
use hayro_svg::hayro_syntax::{DecryptionError, LoadPdfError, Pdf};
use hayro_svg::{RenderCache, SvgRenderSettings, convert};
use report::{Finding, Outcome, Severity};
use std::sync::{Arc, Mutex};
use units::Length;

pub(crate) fn read(door: &Door<'_>, bytes: &[u8]) -> Result<Outcome<CleanArt>, Finding> {
    let pdf = Pdf::new(bytes.to_vec()).map_err(|fault| match fault {
        LoadPdfError::Decryption(DecryptionError::PasswordProtected | DecryptionError::UnsupportedAlgorithm) => {
            door.stop(codes::DOCUMENT_LOCKED, codes::FIX_UNLOCK)
        }
        _ => door.broken(SourceKind::Pdf),
    })?;
    let pages = pdf.pages();
    let wanted = door.options.page;
    let index = usize::try_from(wanted).ok().and_then(|page| page.checked_sub(1));
    let page = index.and_then(|at| pages.get(at)).ok_or_else(|| {
        door.stop(codes::PAGE_MISSING, codes::FIX_CHOOSE_PAGE)
            .with("page", count(wanted.into()))
            .with("pages", count(pages.len() as u64))
    })?;
    let mut findings = Vec::new();
    if pages.len() > 1 {
        let taken = door.note(codes::PAGE_TAKEN);
        findings.push(taken.with("page", count(wanted.into())).with("pages", count(pages.len() as u64)));
    }
    // Page units are points of 1/72 inch (ISO 32000-2, §8.3.2.3).
    let (width, height) = page.render_dimensions();
    let mm = |points: f32| Length::from_mm(f64::from(points) * 25.4 / 72.0);
    let size = mm(width).zip(mm(height));
    let lost: Arc<Mutex<Vec<&'static str>>> = Arc::default();
    let heard = Arc::clone(&lost);
    let settings = InterpreterSettings {
        warning_sink: Arc::new(move |warning| {
            let what = match warning {
                InterpreterWarning::UnsupportedFont => "font",
                InterpreterWarning::ImageDecodeFailure => "image",
            };
            if let Ok(mut lost) = heard.lock()
                && !lost.contains(&what)
            {
                lost.push(what);
            }
        }),
        ..InterpreterSettings::default()
    };
    let made = convert(page, &RenderCache::new(), &settings, &SvgRenderSettings { bg_color: [0; 4] });
    let lost: Vec<&str> = lost.lock().map(|lost| lost.clone()).unwrap_or_default();
    for what in lost {
        let finding = door.found(Severity::Warning, codes::PAGE_PART_LOST, codes::FIX_FLATTEN);
        findings.push(finding.named("what", what));
    }
    svg::read_made(door, &made, findings, size)?.finish(door, bytes)
}
