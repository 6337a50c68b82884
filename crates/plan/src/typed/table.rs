//! Garment lines as a table: pasted from a spreadsheet, or a CSV file.

use super::{Reading, count};
use crate::Line;
use crate::codes;
use report::{Finding, Outcome, Severity};
use trade::Shop;

/// Most rows that are read.
const MOST_ROWS: usize = 5000;

/// What a column holds.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Column {
    Garment,
    Colour,
    Size,
    Quantity,
    Position,
    Width,
    Art,
    /// Quantities of the size that the column is named after.
    Of(String),
}

/// The lines of a table. Its first row names the columns: garment, colour,
/// size, quantity, position, width, art, in any order; a column named after a
/// size holds its quantities. Rows alike but for size and quantity are one line.
///
/// Outcome and faults as of [`super::lines_of_text`]; faults count rows from 1,
/// the row of names included.
pub fn lines_of_table(rows: &[Vec<String>], shop: &Shop, arts: &[String]) -> Result<Outcome<Vec<Line>>, Vec<Finding>> {
    let Some((head, body)) = rows.split_first() else {
        return Err(vec![Finding::new(Severity::StopsLine, codes::TYPED_NOTHING, codes::TYPED_NOTHING_REMEDY)]);
    };
    let columns: Vec<Column> = head.iter().map(|name| column(name)).collect();
    if !columns.contains(&Column::Garment) {
        return Err(vec![Finding::new(Severity::StopsLine, codes::TYPED_NO_COLUMN, codes::TYPED_NO_COLUMN_REMEDY)]);
    }
    let mut reading = Reading::new(shop, arts);
    // Each group becomes the line a person would type, read by the same rules.
    let mut groups: Vec<(Key, Vec<String>, usize)> = Vec::new();
    for (row, cells) in body.iter().enumerate().filter(|(_, cells)| cells.iter().any(|cell| !cell.trim().is_empty())) {
        if row >= MOST_ROWS {
            let fault = Finding::new(Severity::StopsLine, codes::TYPED_TOO_MUCH, codes::TYPED_TOO_MUCH_REMEDY);
            reading.faults.push(fault.with("row", count(row + 2)).with("most", count(MOST_ROWS)));
            break;
        }
        let (key, sizes) = row_of(&columns, cells);
        match groups.iter_mut().find(|(known, _, _)| *known == key) {
            Some((_, all, _)) => all.extend(sizes),
            None => groups.push((key, sizes, row + 2)),
        }
    }
    for (key, sizes, row) in groups {
        let mut line = format!("{} {} {}", key.garment, key.colour, sizes.join(" "));
        let print = [&key.position, &key.width, &key.art].map(|cell| cell.trim()).join(" ");
        if !print.trim().is_empty() {
            line.push_str(", ");
            line.push_str(print.trim());
        }
        reading.line(row, &line);
    }
    reading.done()
}

#[derive(Debug, Default, PartialEq, Eq)]
struct Key {
    garment: String,
    colour: String,
    position: String,
    width: String,
    art: String,
}

fn row_of(columns: &[Column], cells: &[String]) -> (Key, Vec<String>) {
    let (mut key, mut sizes) = (Key::default(), Vec::new());
    let (mut size, mut quantity) = (String::new(), String::new());
    for (column, cell) in columns.iter().zip(cells) {
        let cell = without_commas(cell);
        match column {
            Column::Garment => key.garment = cell,
            Column::Colour => key.colour = cell,
            Column::Size => size = cell.replace(' ', "-"),
            Column::Quantity => quantity = cell,
            Column::Position => key.position = cell,
            Column::Width => key.width = cell,
            Column::Art => key.art = cell,
            Column::Of(_) if cell.is_empty() || cell == "0" => {}
            Column::Of(name) => sizes.push(format!("{} {cell}", name.replace(' ', "-"))),
        }
    }
    if !quantity.is_empty() {
        sizes.push(format!("{size} {quantity}"));
    }
    (key, sizes)
}

/// A cell that no longer parts the line made of it; a comma between digits is a decimal one and stays.
fn without_commas(cell: &str) -> String {
    let letters: Vec<char> = cell.trim().chars().collect();
    let digit = |at: Option<usize>| at.and_then(|at| letters.get(at)).is_some_and(char::is_ascii_digit);
    let kept = |(at, letter): (usize, &char)| match letter {
        ',' if digit(at.checked_sub(1)) && digit(Some(at + 1)) => ',',
        ',' | ';' => ' ',
        other => *other,
    };
    letters.iter().enumerate().map(kept).collect()
}

fn column(name: &str) -> Column {
    match name.trim().to_lowercase().as_str() {
        "garment" | "style" | "article" | "item" => Column::Garment,
        "colour" | "color" => Column::Colour,
        "size" => Column::Size,
        "quantity" | "qty" | "count" | "pieces" | "number" => Column::Quantity,
        "position" | "place" | "placement" => Column::Position,
        "width" => Column::Width,
        "art" | "file" | "logo" | "print" => Column::Art,
        _ => Column::Of(name.trim().to_owned()),
    }
}
