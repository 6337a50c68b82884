//! One page of a PDF document, turned into a drawing.

use crate::clean::CleanArt;
use crate::read::{Door, SourceKind, count};
use crate::{codes, svg};
use hayro_svg::hayro_interpret::font::FontQuery;
use hayro_svg::hayro_interpret::{InterpreterSettings, InterpreterWarning};
use hayro_svg::hayro_syntax::object::{Array, Dict, Name, Stream};
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
        // Where the page's own list of fonts tells which are not in the file, those are the names a
        // person knows; else the names of what stands in for them.
        let named = not_held(page);
        let fonts = if named.is_empty() { fonts } else { named };
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

/// Names of the page's fonts whose letters are not in the file (ISO 32000-2, §9.6 to §9.8).
fn not_held(page: &Page<'_>) -> Vec<String> {
    let mut names = Vec::new();
    // Drawings hold drawings, perhaps one another: only so many are opened.
    let resources = page.resources();
    let mut waiting = vec![(resources.fonts.clone(), resources.x_objects.clone())];
    for _ in 0..MOST_OPENED {
        let Some((fonts, drawings)) = waiting.pop() else { break };
        add_not_held(&fonts, &mut names);
        for key in drawings.keys().take(MOST_OPENED) {
            let resources = drawings.get::<Stream<'_>>(&*key).and_then(|drawing| drawing.dict().get(b"Resources"));
            let Some(resources): Option<Dict<'_>> = resources else { continue };
            let of = |what: &[u8]| resources.get::<Dict<'_>>(what).unwrap_or_else(Dict::empty);
            waiting.push((of(b"Font"), of(b"XObject")));
        }
    }
    names
}

/// Drawings within a page whose fonts are looked at.
const MOST_OPENED: usize = 64;

fn add_not_held(fonts: &Dict<'_>, names: &mut Vec<String>) {
    for key in fonts.keys().take(MOST_OPENED) {
        let Some(font) = fonts.get::<Dict<'_>>(&*key) else { continue };
        // The letters of a composite font are those of the one font it descends from.
        let descendant = font.get::<Array<'_>>(b"DescendantFonts").and_then(|all| all.iter::<Dict<'_>>().next());
        let own = descendant.as_ref().unwrap_or(&font);
        let drawn_in_page = own.contains_key(b"CharProcs");
        let held = own
            .get::<Dict<'_>>(b"FontDescriptor")
            .is_some_and(|of| [&b"FontFile"[..], b"FontFile2", b"FontFile3"].iter().any(|file| of.contains_key(file)));
        let name = font.get::<Name<'_>>(b"BaseFont").map(|name| name.as_str().to_owned());
        if let Some(name) = name.filter(|name| !held && !drawn_in_page && !names.contains(name)) {
            names.push(name);
        }
    }
}

/// The page as a drawing, and the fonts that stand in for those its text wants and it does not hold.
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
