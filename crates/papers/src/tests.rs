use super::*;
use crate::samples;
use hayro::hayro_syntax::Pdf;
use std::io::Write as _;
use std::process::{Command, Stdio};

/// Every kind of paper with data, small and large.
fn papers(paper: &'static str) -> Vec<(&'static str, Vec<u8>)> {
    vec![
        ("quote", set(QUOTE, &samples::quote(paper, 3)).expect("a quote")),
        ("ticket", set(TICKET, &samples::tickets(paper, 3)).expect("a ticket")),
        ("purchase", set(PURCHASE, &samples::purchases(paper, 3)).expect("a purchase list")),
        ("sheets", set(SHEETS, &samples::sheet_map(paper)).expect("a sheet map")),
        ("packing", set(PACKING, &samples::packing(paper)).expect("a packing list")),
        ("care", set(CARE, &samples::care(paper)).expect("care slips")),
        ("record", set(RECORD, &samples::record(paper)).expect("a test record")),
        ("press-plan", set(PRESS_PLAN, &samples::press_plan(paper, 4)).expect("a press plan")),
        ("costing", set(COSTING, &samples::costing(paper, 3)).expect("a costing")),
    ]
}

/// A4 is 210 × 297 mm (ISO 216), Letter 8.5 × 11 in; a point is 1/72 in (PDF 32000-1, 8.3.2.3).
#[test]
fn pages_have_their_size() {
    for (paper, width, height) in [("a4", 210.0 * 72.0 / 25.4, 297.0 * 72.0 / 25.4), ("us-letter", 612.0, 792.0)] {
        for (name, bytes) in papers(paper) {
            let pdf = Pdf::new(bytes).expect("a PDF another library reads");
            assert!(!pdf.pages().is_empty(), "{name}");
            for page in pdf.pages().iter() {
                let (w, h) = page.render_dimensions();
                // The press plan lies across: its timeline is wide.
                let (w, h) = if name == "press-plan" { (h, w) } else { (w, h) };
                assert!((f64::from(w) - width).abs() < 0.1 && (f64::from(h) - height).abs() < 0.1, "{name} {w} {h}");
            }
        }
    }
}

#[test]
fn the_same_values_give_the_same_bytes() {
    let first = papers("a4");
    let other = std::thread::spawn(|| papers("a4")).join().expect("no panic");
    assert_eq!(first, other);
    for (name, bytes) in first {
        for stamp in [b"/CreationDate".as_slice(), b"/ModDate"] {
            assert!(!bytes.windows(stamp.len()).any(|at| at == stamp), "{name} holds a clock's time");
        }
    }
}

/// What people type is shown letter by letter, whatever it looks like to a typesetter.
#[test]
fn text_is_never_markup() {
    let tricky = "#read(\"/etc/passwd\") *x* $y$ @z <w> \\u{41} //";
    let mut quote = samples::quote("a4", 1);
    quote.customer = tricky.to_owned();
    quote.terms = vec!["= Not a heading".to_owned()];
    let Some(text) = shown_text(&set(QUOTE, &quote).expect("a quote")) else { return };
    assert!(text.contains(tricky), "{text}");
    assert!(text.contains("= Not a heading"));
}

/// Poppler's pdftotext finds every name, accented and right to left.
#[test]
fn text_can_be_searched() {
    for lines in 0..4 {
        let quote = samples::quote("a4", lines);
        let Some(text) = shown_text(&set(QUOTE, &quote).expect("a quote")) else { return };
        let flat = words::clean(&text);
        for name in [&quote.customer, &quote.frame.head.order] {
            assert!(flat.contains(name.as_str()) || letters_are_there(name, &flat), "{name} in {flat}");
        }
        for row in &quote.totals.rows {
            assert!(flat.contains(&row.1), "{}", row.1);
        }
    }
}

/// Poppler gives joined right-to-left letters in pieces; each letter must be there.
fn letters_are_there(name: &str, text: &str) -> bool {
    let joined = name.chars().any(|letter| ('\u{590}'..'\u{700}').contains(&letter));
    joined && name.chars().all(|letter| text.contains(letter))
}

#[test]
fn every_size_and_line_is_there() {
    let tickets = samples::tickets("us-letter", 3);
    let pdf = set(TICKET, &tickets).expect("a ticket");
    let Some(text) = shown_text(&pdf) else { return };
    // Readers guess at spaces from gaps; the rest must be as written.
    let squeeze = |text: &str| text.split_whitespace().collect::<String>();
    let flat = squeeze(&text);
    for size in tickets.tickets.iter().flat_map(|ticket| &ticket.sizes) {
        let said = squeeze(&format!("{} × {}", size.size, size.count));
        assert!(flat.contains(&said), "{said}");
    }
    for caution in tickets.tickets.iter().flat_map(|ticket| &ticket.cautions) {
        // In its narrow box a caution breaks over lines: its first words stand for it.
        let first: String = caution.split(' ').take(2).collect();
        assert!(flat.contains(&first), "{caution}");
    }
}

/// Cautions are read before the work begins: they stand on a ticket's first page, however many
/// pictures and sizes there are. (Poppler parts pages by form feeds.)
#[test]
fn cautions_stand_on_the_first_page() {
    for paper in ["a4", "us-letter"] {
        for (pictures, sizes) in [(0, 1), (1, 2), (1, 6), (1, 10), (1, 16), (1, 40), (2, 4), (2, 16), (3, 10), (3, 40)]
        {
            let mut tickets = samples::tickets(paper, 1);
            let ticket = &mut tickets.tickets[0];
            let picture = ticket.pictures.first().cloned().unwrap_or_default();
            ticket.pictures = vec![picture; pictures];
            ticket.sizes =
                (0..sizes).map(|at| form::Size { size: format!("{at} long"), count: at.to_string() }).collect();
            let Some(text) = shown_text(&set(TICKET, &tickets).expect("a ticket")) else { return };
            let squeeze = |text: &str| text.split_whitespace().collect::<String>();
            let first = squeeze(text.split('\u{c}').next().unwrap_or_default());
            for caution in &tickets.tickets[0].cautions {
                let begins: String = caution.split(' ').take(2).collect();
                assert!(first.contains(&begins), "{paper}, {pictures} pictures, {sizes} sizes: {caution}\n{first}");
            }
        }
    }
}

/// Two hundred lines, forty sizes and no lines at all are set without a fault.
#[test]
fn small_and_large_papers_are_set() {
    for lines in [0, 1, 200] {
        let pdf = Pdf::new(set(QUOTE, &samples::quote("a4", lines)).expect("a quote")).expect("readable");
        assert!(pdf.pages().len() > lines / 8, "{lines} lines on {} pages", pdf.pages().len());
    }
    let nothing = form::Tickets { tickets: Vec::new(), ..samples::tickets("a4", 0) };
    assert!(set(TICKET, &nothing).is_ok());
    assert!(set(PURCHASE, &samples::purchases("a4", 0)).is_ok());
    for rows in [0, 1, 120] {
        assert!(set(PRESS_PLAN, &samples::press_plan("us-letter", rows)).is_ok(), "{rows} batches");
    }
    for lines in [0, 1, 200] {
        assert!(set(COSTING, &samples::costing("us-letter", lines)).is_ok(), "{lines} lines");
    }
    // Forty sizes of every line stand on its ticket, and pictures that are missing leave no gap behind.
    let mut tickets = samples::tickets("us-letter", 2);
    for ticket in &mut tickets.tickets {
        ticket.pictures.clear();
        ticket.sizes = (0..40).map(|at| form::Size { size: format!("{at} long"), count: at.to_string() }).collect();
    }
    assert!(set(TICKET, &tickets).is_ok());
}

/// Each paper as it was looked at and found good: how dark each spot of its pages is, from
/// 0 (white) to 9, in a grid of 12 points a cell. A change that is meant is looked at, then
/// taken with `BONDLINE_GOLDEN=write`.
#[test]
fn papers_look_as_they_did() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden");
    let mut seen = 0;
    for paper in ["a4", "us-letter"] {
        for (name, bytes) in papers(paper) {
            let grid = darkness(bytes);
            assert!(grid.lines().filter(|line| line.chars().any(|c| c > '0')).count() > 5, "{name} is empty");
            let file = folder.join(format!("{name}-{paper}.txt"));
            if std::env::var_os("BONDLINE_GOLDEN").is_some() {
                std::fs::write(&file, &grid).expect("written");
            }
            let golden = std::fs::read_to_string(&file).unwrap_or_default();
            let off: Vec<usize> = golden
                .lines()
                .zip(grid.lines())
                .enumerate()
                .filter(|(_, (was, is))| {
                    was.len() != is.len() || was.bytes().zip(is.bytes()).any(|(a, b)| a.abs_diff(b) > 1)
                })
                .map(|(row, _)| row + 1)
                .collect();
            assert_eq!(golden.lines().count(), grid.lines().count(), "{}", file.display());
            assert!(off.is_empty(), "{}: rows {off:?} look different", file.display());
            seen += 1;
        }
    }
    assert_eq!(seen, 18);
}

/// The darkness of every page, cell by cell; pages are parted by an empty line.
fn darkness(pdf: Vec<u8>) -> String {
    const SCALE: f32 = 0.5;
    const CELL: usize = 6;
    let pdf = Pdf::new(pdf).expect("readable");
    let settings = hayro::hayro_interpret::InterpreterSettings::default();
    let pages = hayro::render_pdf(&pdf, SCALE, settings, None).expect("pages");
    let mut text = String::new();
    for page in pages {
        let (width, height) = (usize::from(page.width()), usize::from(page.height()));
        let pixels = page.data_as_u8_slice();
        for top in (0..height).step_by(CELL) {
            for left in (0..width).step_by(CELL) {
                let (mut dark, mut count) = (0_usize, 0_usize);
                for y in top..(top + CELL).min(height) {
                    for x in left..(left + CELL).min(width) {
                        let at = 4 * (y * width + x);
                        dark += pixels[at..at + 3].iter().map(|c| 255 - usize::from(*c)).sum::<usize>();
                        count += 3;
                    }
                }
                // Ink is sparse: a third of a cell covered is as dark as text gets.
                let level = (dark * 30 / (count * 255).max(1)).min(9);
                text.push(char::from(b'0' + u8::try_from(level).unwrap_or(9)));
            }
            text.push('\n');
        }
        text.push('\n');
    }
    text
}

/// Papers for readers that are not ours: read by `tests/outside/check_papers.py` (pikepdf,
/// PDFium) when the environment names a Python that has them in `BONDLINE_PYTHON`.
#[test]
fn papers_for_readers_that_are_not_ours() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../target/tmp/papers-outside");
    std::fs::create_dir_all(&folder).expect("a folder");
    for paper in ["a4", "us-letter"] {
        for (name, bytes) in papers(paper) {
            std::fs::write(folder.join(format!("{name}-{paper}.pdf")), bytes).expect("written");
        }
    }
    let Some(python) = std::env::var_os("BONDLINE_PYTHON") else {
        let _ = writeln!(std::io::stderr(), "SKIPPED: BONDLINE_PYTHON names no Python with pikepdf and pypdfium2");
        return;
    };
    let script = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/outside/check_papers.py");
    let run = Command::new(python).arg(script).arg(&folder).output().expect("the script runs");
    let told = String::from_utf8_lossy(&run.stdout).into_owned() + &String::from_utf8_lossy(&run.stderr);
    assert!(run.status.success(), "{told}");
    assert!(told.contains("checks passed"), "{told}");
}

/// Words that templates ask for are kept in the words room.
#[test]
fn templates_ask_for_known_words_only() {
    let speech = Speech::english(units::UnitSystem::Metric);
    let known: Vec<&str> = speech.section("papers").map(|(key, _)| key).collect();
    let mut asked = 0;
    for template in [QUOTE, TICKET, PURCHASE, SHEETS, PACKING, PLACES, CARE, RECORD, PRESS_PLAN, COSTING] {
        for part in template.text.split("say.").skip(1) {
            let key: String = part.chars().take_while(|c| c.is_ascii_alphanumeric() || *c == '-').collect();
            assert!(known.contains(&key.as_str()), "{} asks for papers.{key}", template.name);
            asked += 1;
        }
    }
    assert!(asked > 40, "only {asked} found");
}

/// A measurement, not a check of sameness: run by itself, it prints its figure.
#[test]
#[ignore = "a measurement; run alone with --ignored --nocapture"]
fn thirty_pages_in_time() {
    let start = std::time::Instant::now();
    let bytes = set(TICKET, &samples::tickets("a4", 16)).expect("tickets");
    let taken = start.elapsed();
    let pages = Pdf::new(bytes).expect("readable").pages().len();
    // The only place where a test prints: its figure is what it is for.
    let _ = writeln!(std::io::stderr(), "{pages} pages of tickets in {:.2} s", taken.as_secs_f64());
    assert!(pages >= 30, "only {pages} pages");
    assert!(taken.as_secs_f64() < 2.0, "{taken:?}");
}

/// The text as poppler reads it; `None`, said aloud, where poppler is not installed.
fn shown_text(pdf: &[u8]) -> Option<String> {
    let run = Command::new("pdftotext").args(["-", "-"]).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn();
    let Ok(mut run) = run else {
        let _ = writeln!(std::io::stderr(), "SKIPPED: pdftotext (poppler-utils) is not installed");
        return None;
    };
    let mut inlet = run.stdin.take()?;
    let bytes = pdf.to_vec();
    let feed = std::thread::spawn(move || inlet.write_all(&bytes));
    let out = run.wait_with_output().ok()?;
    feed.join().ok()?.ok()?;
    Some(String::from_utf8_lossy(&out.stdout).into_owned())
}
