//! Garment lines as people type them: "black tee S4 M8 L8 XL4, left chest".
//!
//! In: text, one garment a line, or the cells of a table; the shop; the names
//! of the art at hand. Out: the order's lines and, as findings, what was taken
//! for granted, so that a provisional price can be made with its assumptions
//! marked. What cannot be understood is refused with the line and a remedy.
//!
//! A line is parted by commas (not between digits: "9,5 cm" is a width). Its
//! first part names garment, colour and sizes in any order; each further part
//! is more sizes, or a print: position, width, art file.

mod garment_words;
mod sizes;
mod table;

use crate::{Line, Order, Print, SizeCount, codes};
use art::SizeWish;
use garment::Position;
use garment_words::{colour_of, style_of};
use report::{Finding, Outcome, Severity, Subject, Value};
use sizes::{Sizes, read_sizes};
pub use table::lines_of_table;
use trade::{GarmentClass, GarmentStyle, Shop};
use units::{Length, read_length};

/// The art that a print names when there is none yet: the caller puts a stand-in there.
pub const ART_TO_COME: &str = "art/to-come.svg";

/// Most lines that are read, as an order may have.
const MOST_LINES: usize = 500;
/// Longest line that is read, characters.
const LONGEST: usize = 1000;

/// The lines of a text.
///
/// `arts` are names as the order will call them, in the order they were given.
/// Findings of the outcome are notes on what was assumed, their line counted
/// from 0 among the order's lines; faults name the line of the text, from 1.
pub fn lines_of_text(text: &str, shop: &Shop, arts: &[String]) -> Result<Outcome<Vec<Line>>, Vec<Finding>> {
    let mut read = Reading::new(shop, arts);
    for (row, line) in text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty()) {
        if read.lines.len() >= MOST_LINES || line.chars().count() > LONGEST {
            let most = i64::try_from(if line.chars().count() > LONGEST { LONGEST } else { MOST_LINES });
            let fault = Finding::new(Severity::StopsLine, codes::TYPED_TOO_MUCH, codes::TYPED_TOO_MUCH_REMEDY);
            read.faults.push(fault.with("row", count(row + 1)).with("most", Value::Count(most.unwrap_or(i64::MAX))));
            break;
        }
        read.line(row + 1, line);
    }
    read.done()
}

/// An order of these lines, otherwise as a person leaves it.
pub fn order_of(customer: &str, name: &str, due: jiff::civil::DateTime, lines: Vec<Line>) -> Order {
    Order {
        customer: customer.to_owned(),
        name: if name.is_empty() { customer.to_owned() } else { name.to_owned() },
        due,
        way: crate::Way::Everyday,
        rush: false,
        discount: units::Share::default(),
        check_bar: false,
        test_on: None,
        test_paid_by: None,
        lines,
        decisions: Vec::new(),
    }
}

/// What is gathered while lines are read.
struct Reading<'a> {
    shop: &'a Shop,
    arts: &'a [String],
    lines: Vec<Line>,
    assumed: Vec<Finding>,
    faults: Vec<Finding>,
    /// Prints so far that named no art: each takes the next art given.
    unnamed: usize,
}

impl<'a> Reading<'a> {
    fn new(shop: &'a Shop, arts: &'a [String]) -> Self {
        Self { shop, arts, lines: Vec::new(), assumed: Vec::new(), faults: Vec::new(), unnamed: 0 }
    }

    fn done(mut self) -> Result<Outcome<Vec<Line>>, Vec<Finding>> {
        if self.lines.is_empty() && self.faults.is_empty() {
            self.faults.push(Finding::new(Severity::StopsLine, codes::TYPED_NOTHING, codes::TYPED_NOTHING_REMEDY));
        }
        if self.faults.is_empty() {
            Ok(Outcome { value: self.lines, findings: self.assumed })
        } else {
            Err(self.faults)
        }
    }

    fn fault(&mut self, row: usize, line: &str, finding: Finding) {
        self.faults.push(finding.with("row", count(row)).named("text", shown(line)));
    }

    fn assume(&mut self, finding: Finding) {
        let subject = Subject { order: Some(0), line: Some(self.lines.len()), print: None };
        self.assumed.push(finding.about(subject));
    }

    fn line(&mut self, row: usize, text: &str) {
        let parts = parts(text);
        let Some((first, rest)) = parts.split_first() else { return };
        let Some(found) = style_of(self.shop, first) else {
            let fault = Finding::new(Severity::StopsLine, codes::TYPED_NO_GARMENT, codes::TYPED_NO_GARMENT_REMEDY)
                .with("known", names(self.shop.garments().map(|(_, style)| style.name.as_str())));
            return self.fault(row, text, fault);
        };
        let style = self.shop.garment(found.style);
        if !found.others.is_empty() {
            let others = found.others.iter().map(|id| self.shop.garment(*id).name.as_str());
            let note = Finding::new(Severity::Note, codes::TYPED_STYLE, codes::TYPED_CHANGE)
                .named("garment", style.name.clone())
                .with("others", names(others));
            self.assume(note);
        }
        let colour = colour_of(style, &found.rest);
        let known_colours = || names(style.colours.iter().map(|colour| colour.name.as_str()));
        let Some(colour_name) = colour.name.or_else(|| style.colours.first().map(|colour| colour.name.clone())) else {
            return;
        };
        if !colour.said && style.colours.len() > 1 {
            let note = Finding::new(Severity::Note, codes::TYPED_COLOUR, codes::TYPED_CHANGE)
                .named("garment", style.name.clone())
                .named("colour", colour_name.clone())
                .with("known", known_colours());
            self.assume(note);
        }
        let mut sizes = read_sizes(style, &colour.rest);
        let mut prints = Vec::new();
        let mut brought = false;
        for word in std::mem::take(&mut sizes.rest) {
            match word.to_lowercase().as_str() {
                "own" | "brought" => brought = true,
                _ if is_filler(&word) => {}
                _ => sizes.rest.push(word),
            }
        }
        if let Some(word) = sizes.rest.first() {
            let fault = Finding::new(Severity::StopsLine, codes::TYPED_WORD, codes::TYPED_WORD_REMEDY)
                .named("word", word.clone())
                .named("garment", style.name.clone())
                .with("colours", known_colours())
                .with("sizes", names(style.sizes.iter().map(|size| size.name.as_str())));
            return self.fault(row, text, fault);
        }
        for part in rest {
            let words: Vec<String> = part.split_whitespace().map(str::to_owned).collect();
            let more = read_sizes(style, &words);
            if more.rest.iter().all(|word| is_filler(word)) && !more.found.is_empty() {
                sizes.found.extend(more.found);
                continue;
            }
            match self.print(style, part) {
                Ok(print) => prints.push(print),
                Err(finding) => return self.fault(row, text, *finding),
            }
        }
        let Some(sizes) = self.settled(style, sizes) else {
            let fault = Finding::new(Severity::StopsLine, codes::TYPED_NO_SIZES, codes::TYPED_NO_SIZES_REMEDY)
                .named("garment", style.name.clone())
                .with("sizes", names(style.sizes.iter().map(|size| size.name.as_str())));
            return self.fault(row, text, fault);
        };
        if prints.is_empty() {
            let position = usual_place(style.class);
            let note = Finding::new(Severity::Note, codes::TYPED_PLACE, codes::TYPED_CHANGE)
                .with("position", Value::Term(position.term()));
            self.assume(note);
            let print = self.print_at(style, position, None, None);
            prints.push(print);
        }
        self.lines.push(Line { garment: style.id.clone(), colour: colour_name, brought, sizes, prints });
    }

    /// Sizes with their quantities; one quantity alone goes to the only size, or
    /// for now to the one in the middle.
    fn settled(&mut self, style: &GarmentStyle, read: Sizes) -> Option<Vec<SizeCount>> {
        let mut all: Vec<SizeCount> = Vec::new();
        for (size, count) in read.found {
            match all.iter_mut().find(|known| known.size == size) {
                Some(known) => known.count = known.count.saturating_add(count),
                None => all.push(SizeCount { size, count }),
            }
        }
        if all.is_empty() {
            let count = read.alone?;
            let size = style.sizes.get(style.sizes.len() / 2)?.name.clone();
            if style.sizes.len() > 1 {
                let note = Finding::new(Severity::Note, codes::TYPED_SIZE, codes::TYPED_CHANGE)
                    .named("size", size.clone())
                    .with("count", Value::Count(i64::from(count)));
                self.assume(note);
            }
            all.push(SizeCount { size, count });
        }
        // As the shop lists them, so that tables and papers read from small to large.
        let place = |size: &str| style.sizes.iter().position(|known| known.name == size);
        all.sort_by_key(|count| place(&count.size));
        Some(all)
    }

    /// A print as typed: "left chest 90 mm kite.svg".
    fn print(&mut self, style: &GarmentStyle, text: &str) -> Result<Print, Box<Finding>> {
        let mut words: Vec<&str> = text.split_whitespace().collect();
        let art = words.iter().position(|word| self.art_named(word).is_some()).map(|at| words.remove(at));
        let art = art.and_then(|word| self.art_named(word));
        let width = take_width(&mut words);
        let position = if words.is_empty() && (art.is_some() || width.is_some()) {
            usual_place(style.class)
        } else {
            garment::read_position(&words.join(" "))?
        };
        Ok(self.print_at(style, position, width, art))
    }

    fn print_at(
        &mut self,
        style: &GarmentStyle,
        position: Position,
        width: Option<Length>,
        art: Option<String>,
    ) -> Print {
        let art = art.unwrap_or_else(|| self.next_art());
        let size = match width {
            Some(width) => SizeWish::Width(width),
            None => self.usual_width(style, position),
        };
        let name = position.term().0.trim_start_matches("garment.position-").replace('-', " ");
        Print {
            art,
            position: name,
            size,
            finish: None,
            offset: None,
            transfer: None,
            remove_background: false,
            colours: Vec::new(),
            let_cloth_show: false,
            sizing: None,
            stated: Vec::new(),
        }
    }

    fn usual_width(&mut self, style: &GarmentStyle, position: Position) -> SizeWish {
        let smallest = style
            .sizes
            .iter()
            .filter_map(|size| garment::usual_size(position, size.band, style.class))
            .map(|range| range.lowest)
            .reduce(Length::min);
        let Some(width) = smallest else { return SizeWish::AsFile };
        // To the nearest 5 mm, as people say it.
        let width = Length::from_mm((width.mm() / 5.0).round() * 5.0).unwrap_or(width);
        let note = Finding::new(Severity::Note, codes::TYPED_WIDTH, codes::TYPED_CHANGE)
            .with("position", Value::Term(position.term()))
            .with("width", Value::Length(width));
        self.assume(note);
        SizeWish::Width(width)
    }

    /// Art by its file name, with or without ending and folder.
    fn art_named(&self, word: &str) -> Option<String> {
        let word = word.to_lowercase();
        let fits = |name: &&String| {
            let lower = name.to_lowercase();
            let file = lower.rsplit('/').next().unwrap_or(&lower);
            lower == word || file == word || file.rsplit_once('.').is_some_and(|(stem, _)| stem == word)
        };
        self.arts.iter().find(fits).cloned()
    }

    fn next_art(&mut self) -> String {
        let at = self.unnamed.min(self.arts.len().saturating_sub(1));
        self.unnamed += 1;
        let Some(art) = self.arts.get(at).cloned() else {
            let none = Finding::new(Severity::Note, codes::TYPED_ART_TO_COME, codes::TYPED_ART_TO_COME_REMEDY);
            self.assume(none);
            return ART_TO_COME.to_owned();
        };
        if self.arts.len() > 1 {
            let note = Finding::new(Severity::Note, codes::TYPED_ART, codes::TYPED_CHANGE).named("art", art.clone());
            self.assume(note);
        }
        art
    }
}

/// Where a print usually goes when nothing is said.
fn usual_place(class: GarmentClass) -> Position {
    match class {
        GarmentClass::Tote => Position::Tote,
        GarmentClass::Apron => Position::ApronBib,
        GarmentClass::Cap => Position::CapFront,
        GarmentClass::Bib => Position::InfantBib,
        GarmentClass::Sock => Position::Sock,
        GarmentClass::FaceCover => Position::FaceCoverLeft,
        GarmentClass::Legwear => Position::LegLeft,
        GarmentClass::Polo | GarmentClass::DressShirt => Position::ShirtLeftChest,
        GarmentClass::Vest => Position::UpperBack,
        GarmentClass::ShellJacket | GarmentClass::RainShell | GarmentClass::Softshell => Position::LeftChest,
        GarmentClass::Tee
        | GarmentClass::PerformanceTee
        | GarmentClass::Sweatshirt
        | GarmentClass::Hoodie
        | GarmentClass::ChildSleepwear => Position::FullFront,
    }
}

/// The width among the words, "90 mm", "90mm", "9,5 cm", taken out of them.
fn take_width(words: &mut Vec<&str>) -> Option<Length> {
    const UNITS: [&str; 5] = ["mm", "cm", "m", "in", "\""];
    let starts = |word: &str| word.chars().next().is_some_and(|c| c.is_ascii_digit());
    let at = words.iter().position(|word| starts(word))?;
    let unit = words.get(at + 1).filter(|unit| UNITS.contains(&unit.to_lowercase().as_str()));
    let text = match unit {
        Some(unit) => format!("{} {unit}", words[at]),
        None => (*words.get(at)?).to_owned(),
    };
    let width = read_length(&text).ok().filter(|width| (1.0..=5000.0).contains(&width.mm()))?;
    words.drain(at..=at + usize::from(unit.is_some()));
    words.retain(|word| !matches!(word.to_lowercase().as_str(), "wide" | "width" | "w"));
    Some(width)
}

/// A line parted at commas and semicolons; a comma between digits stays.
fn parts(text: &str) -> Vec<String> {
    let letters: Vec<char> = text.chars().filter(|c| !c.is_control() || *c == '\t').collect();
    let digit = |at: Option<usize>| at.and_then(|at| letters.get(at)).is_some_and(char::is_ascii_digit);
    let mut all = vec![String::new()];
    for (at, letter) in letters.iter().enumerate() {
        let decimal = *letter == ',' && digit(at.checked_sub(1)) && digit(Some(at + 1));
        if matches!(letter, ',' | ';') && !decimal {
            all.push(String::new());
        } else if let Some(last) = all.last_mut() {
            last.push(*letter);
        }
    }
    all.into_iter().map(|part| part.trim().to_owned()).filter(|part| !part.is_empty()).collect()
}

fn is_filler(word: &str) -> bool {
    const FILLERS: [&str; 19] = [
        "of",
        "in",
        "with",
        "x",
        "pcs",
        "pieces",
        "pc",
        "each",
        "a",
        "the",
        "and",
        "print",
        "on",
        "our",
        "for",
        "s",
        "customer's",
        "size",
        "sizes",
    ];
    FILLERS.contains(&word.to_lowercase().as_str()) || word.chars().all(|c| !c.is_alphanumeric())
}

fn names<'a>(all: impl Iterator<Item = &'a str>) -> Value {
    Value::List(all.take(12).map(|name| Value::Text(name.to_owned())).collect())
}

fn count(number: usize) -> Value {
    Value::Count(i64::try_from(number).unwrap_or(i64::MAX))
}

fn shown(text: &str) -> String {
    text.trim().chars().filter(|c| !c.is_control()).take(80).collect()
}

#[cfg(test)]
mod tests;
