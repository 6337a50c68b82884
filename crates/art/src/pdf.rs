//! One page of a PDF document, turned into a drawing.

use crate::clean::CleanArt;
use crate::read::{Door, SourceKind, count};
use crate::{codes, svg};
use hayro_svg::hayro_interpret::font::FontQuery;
use hayro_svg::hayro_interpret::{InterpreterSettings, InterpreterWarning};
use hayro_svg::hayro_syntax::page::Page;
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
    let (made, fonts) = drawn(page, settings);
    if !fonts.is_empty() {
        return Err(door
            .stop(codes::PAGE_FONT_MISSING, codes::FIX_OUTLINE_TEXT)
            .with("page", count(wanted.into()))
            .named("font", fonts.join(", ")));
    }
    let lost: Vec<&str> = lost.lock().map(|lost| lost.clone()).unwrap_or_default();
    for what in lost {
        let finding = door.found(Severity::Warning, codes::PAGE_PART_LOST, codes::FIX_FLATTEN);
        findings.push(finding.named("what", what));
    }
    svg::read_made(door, &made, findings, size)?.finish(door, bytes)
}

/// The page as a drawing, and the fonts its text wants that it does not hold.
fn drawn(page: &Page<'_>, settings: InterpreterSettings) -> (String, Vec<String>) {
    let asked: Arc<Mutex<Vec<String>>> = Arc::default();
    let heard = Arc::clone(&asked);
    let stand_in = Arc::clone(&settings.font_resolver);
    let hearing = InterpreterSettings {
        font_resolver: Arc::new(move |query| {
            let name = match query {
                FontQuery::Standard(font) => Some(font.postscript_name().to_owned()),
                FontQuery::Fallback(font) => font.post_script_name.clone().or_else(|| font.font_name.clone()),
            };
            if let Ok(mut names) = heard.lock() {
                let name = name.unwrap_or_else(|| "?".to_owned());
                if !names.contains(&name) {
                    names.push(name);
                }
            }
            stand_in(query)
        }),
        ..settings
    };
    let convert = |settings: &InterpreterSettings| {
        convert(page, &RenderCache::new(), settings, &SvgRenderSettings { bg_color: [0; 4] })
    };
    let made = convert(&hearing);
    let fonts = asked.lock().map(|names| names.clone()).unwrap_or_default();
    // Many writers name a font on every page and set nothing in it: what changes nothing when it is
    // not there is not missed.
    let silent = InterpreterSettings {
        font_resolver: Arc::new(|_| None),
        warning_sink: Arc::new(|_| {}),
        ..InterpreterSettings::default()
    };
    let missed = !fonts.is_empty() && convert(&silent) != made;
    (made, if missed { fonts } else { Vec::new() })
}
