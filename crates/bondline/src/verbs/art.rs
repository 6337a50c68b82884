//! `bondline art check`.

mod films;

use crate::End;
use crate::progress::{complain, say};
use art::{CleanArt, ColourNature, KindLimits, PrintSize, ReadOptions, Repair, SizeWish};
use clap::{Args, Subcommand};
use report::{Finding, Severity};
use std::path::{Path, PathBuf};
use trade::Kind;
use trade::form::Worded;
use trade::kinds::Stacking;
use units::{Length, UnitSystem, read_length};
use words::Speech;

/// Options of `art`.
#[derive(Debug, Args)]
pub(crate) struct Options {
    #[command(subcommand)]
    work: Work,
}

#[derive(Debug, Subcommand)]
enum Work {
    /// Read an art file and say what must change at its final size.
    Check(Check),
}

#[derive(Debug, Args)]
struct Check {
    /// The art: SVG, PNG, JPEG, WebP or PDF.
    file: PathBuf,
    /// Width as pressed, "90mm" or "3.5in"; left out: the file's own size.
    #[arg(long, conflicts_with = "height")]
    width: Option<String>,
    /// Height as pressed, instead of the width.
    #[arg(long)]
    height: Option<String>,
    /// Family of transfer it is for, as shop files write it: its usual limits are used.
    #[arg(long = "for", default_value = "cut-film")]
    kind: String,
    /// Page of a document, from 1.
    #[arg(long, default_value_t = 1)]
    page: u32,
    /// Remove the box of one colour behind the art.
    #[arg(long)]
    remove_background: bool,
    /// Answer in JSON.
    #[arg(long)]
    json: bool,
    /// Write a picture of the findings here, as SVG.
    #[arg(long, value_name = "OUT.svg")]
    picture: Option<PathBuf>,
    /// Write the art before and after removing the box behind it here, at true size, as SVG.
    #[arg(long, value_name = "OUT.svg")]
    box_picture: Option<PathBuf>,
    /// Repair to try: threshold, halftone, specks, thicken, gaps, trace or text. The check is of the repaired art.
    #[arg(long, requires = "repaired")]
    repair: Option<String>,
    /// Where the repaired art goes, a file of its own; the one given stays as it is.
    #[arg(long, requires = "repair", value_name = "FILE")]
    repaired: Option<PathBuf>,
}

pub(crate) fn run(options: &Options) -> End {
    let Work::Check(check) = &options.work;
    checked(check).unwrap_or_else(|error| {
        complain(&error);
        End::Refused
    })
}

fn checked(check: &Check) -> Result<End, String> {
    let speech = Speech::english(UnitSystem::Metric);
    let said = |finding: &Finding| {
        let said = speech.finding(finding);
        let repair = said.repair.map_or_else(String::new, |repair| format!(" Repair, off until asked for: {repair}."));
        format!("{}: {} {}{repair}", said.severity, said.what, said.remedy)
    };
    let limits = limits(&check.kind)?;
    let bytes = bytes(&check.file)?;
    let name = check.file.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
    let options =
        ReadOptions { page: check.page, remove_background: check.remove_background, ..ReadOptions::default() };
    let repair = check.repair.as_deref().map(repair).transpose()?;
    let mut read = desk::read_art(&name, &bytes, &options).map_err(|finding| said(&finding))?;
    let mut size = size(check, &read.value).map_err(|problem| problem.unwrap_or_else(|finding| said(&finding)))?;
    if let (Some(repair), Some(out)) = (repair, &check.repaired) {
        let repaired = art::repaired(&read.value, repair, size, &limits).map_err(|finding| said(&finding))?;
        let scale = SizeWish::Width(size.width());
        size = repaired.value.size(scale).map_err(|finding| said(&finding))?;
        read.findings.extend(repaired.findings);
        read.value = repaired.value;
        let (ending, file) = desk::art_file(&read.value).ok_or("the repaired art cannot be written")?;
        if out.extension().is_none_or(|found| !found.eq_ignore_ascii_case(ending)) {
            return Err(format!(
                "the repaired art is {}: give --repaired a name that ends in .{ending}",
                ending.to_uppercase()
            ));
        }
        written(out, &file)?;
    }
    if let Some(out) = &check.box_picture {
        let cleared = ReadOptions { remove_background: true, ..options };
        let after = desk::read_art(&name, &bytes, &cleared).map_err(|finding| said(&finding))?;
        let before = desk::read_art(&name, &bytes, &ReadOptions { remove_background: false, ..options });
        let before = before.map_err(|finding| said(&finding))?.value;
        let old = before.size(SizeWish::Width(size.width())).map_err(|finding| said(&finding))?;
        let picture = before.background().and_then(|_| desk::box_picture(&before, &after.value, old, &speech));
        let picture = picture.ok_or_else(|| format!("{} stands on no box of one colour", words::clean(&name)))?;
        written(out, picture.as_bytes())?;
    }
    let mut measured = art::measure(&read.value, size, &limits);
    let films = films::films(family(&check.kind)?, &read.value, size, &limits);
    if let Some(Ok(films)) = &films {
        films::film_by_film(&mut measured, films);
    }
    if let Some(Err(finding)) = &films {
        measured.findings.push(finding.clone());
    }
    let findings: Vec<Finding> = read.findings.iter().chain(&measured.findings).cloned().collect();
    if let Some(out) = &check.picture {
        let picture = desk::art_picture(&read.value, size, &measured.value, &limits, &speech);
        written(out, picture.as_bytes())?;
    }
    if check.json {
        let report = art::form::ArtReport::of(&read.value, size, &measured.value, &findings);
        say(&report.to_json().map_err(|error| error.to_string())?);
    } else {
        say(&text(&name, &read.value, size, &measured.value, &speech));
        if let Some(Ok(films)) = &films {
            say(&films::film_lines(&read.value, films, &speech));
        }
        for finding in &findings {
            say(&format!("  {}", said(finding)));
        }
    }
    let grave = findings.iter().any(|finding| finding.severity >= Severity::Ask);
    Ok(if grave { End::NeedsAPerson } else { End::Done })
}

fn written(out: &Path, bytes: &[u8]) -> Result<(), String> {
    std::fs::write(out, bytes).map_err(|error| format!("{}: {error}", words::clean(&out.display().to_string())))
}

/// A repair by its word.
fn repair(word: &str) -> Result<Repair, String> {
    const WORDS: [(&str, Repair); 7] = [
        ("threshold", Repair::Threshold),
        ("halftone", Repair::Halftone),
        ("specks", Repair::Specks),
        ("thicken", Repair::Thicken),
        ("gaps", Repair::CloseGaps),
        ("trace", Repair::Trace),
        ("text", Repair::OutlineText),
    ];
    let found = WORDS.iter().find(|(known, _)| *known == word.trim());
    found.map(|(_, repair)| *repair).ok_or_else(|| {
        let known: Vec<&str> = WORDS.iter().map(|(word, _)| *word).collect();
        format!("“{}” is no repair known here; known are {}", words::clean(word), known.join(", "))
    })
}

/// A family of transfers by its word.
fn family(kind: &str) -> Result<Kind, String> {
    Kind::from_word(kind.trim()).ok_or_else(|| {
        let known: Vec<&str> = Kind::WORDS.iter().map(|(word, _)| *word).collect();
        format!("“{}” is no family of transfers known here; known are {}", words::clean(kind), known.join(", "))
    })
}

/// The usual limits of a family, common practice.
fn limits(kind: &str) -> Result<KindLimits, String> {
    let kind = family(kind)?;
    let usual = trade::kinds::generic(kind);
    let mm = |value: f64| Length::from_mm(value).unwrap_or_default();
    let (line, island, gap) = usual.minimums_mm;
    let full_colour = matches!(kind, Kind::PrintAndCut | Kind::PowderAdhesive | Kind::Hybrid | Kind::Sublimation);
    let screen = kind == Kind::ScreenMade;
    Ok(KindLimits {
        line: mm(line),
        island: mm(island),
        gap: mm(gap),
        cut: !full_colour && !screen,
        full_colour,
        max_colours: match usual.stacking {
            _ if full_colour => None,
            // Screen-made sheets are usual with up to six colours; common practice, no source.
            _ if screen => Some(6),
            Stacking::Single | Stacking::InCloth => Some(1),
            // Films are counted where they are laid over one another.
            _ => None,
        },
        dpi_min: 200.0,
        solid_max: None,
    })
}

fn size(check: &Check, art: &CleanArt) -> Result<PrintSize, Result<String, Finding>> {
    let read = |text: &String| read_length(text).map_err(|error| Ok(error.to_string()));
    let wish = match (&check.width, &check.height) {
        (Some(width), _) => SizeWish::Width(read(width)?),
        (None, Some(height)) => SizeWish::Height(read(height)?),
        (None, None) => SizeWish::AsFile,
    };
    art.size(wish).map_err(Err)
}

fn bytes(path: &Path) -> Result<Vec<u8>, String> {
    let most = art::Caps::default().bytes;
    let mut bytes = Vec::new();
    let read = std::fs::File::open(path).and_then(|file| {
        std::io::Read::read_to_end(&mut std::io::Read::take(file, most.saturating_add(1)), &mut bytes)
    });
    match read {
        Ok(_) => Ok(bytes),
        Err(error) => Err(format!("{} cannot be read: {error}; name an art file", path.display())),
    }
}

fn text(name: &str, art: &CleanArt, size: PrintSize, measures: &art::Measures, speech: &Speech) -> String {
    let length = |of: Option<Length>| of.map_or_else(|| "–".to_owned(), |length| speech.length(length));
    let colours: Vec<String> = art.colours().iter().map(|colour| films::hex(colour.rgb)).collect();
    format!(
        "{}, {} as pressed\n  colours       {} ({})\n  thinnest line {}\n  narrowest gap {}\n  smallest type {}\n  smallest part {}\n  \
         parts         {}, weeding {}",
        words::clean(name),
        speech.size(size.width(), size.height()),
        colours.join(" "),
        nature(art, speech),
        length(measures.thinnest_line),
        length(measures.narrowest_gap),
        length(measures.smallest_type),
        length(measures.smallest_island),
        measures.parts,
        speech.duration(measures.weeding),
    )
}

/// Why so many colours.
fn nature(art: &CleanArt, speech: &Speech) -> String {
    let share = speech.percent(art.colours_explained());
    match art.colour_nature() {
        ColourNature::Spot(1) => format!("one flat colour; {share} of the ink lies near it"),
        ColourNature::Spot(count) => {
            format!(
                "{count} flat colours; {share} of the ink lies near one of them, colours nearer than ΔE 6 counted as one"
            )
        }
        ColourNature::Gradient => format!("colours that run into one another; only {share} of the ink lies near these"),
        ColourNature::Photo => format!("a photograph; only {share} of the ink lies near these"),
    }
}
