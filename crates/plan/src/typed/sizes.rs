//! Sizes with quantities: "S4 M8", "S 4, M 8", "4 S", "4xS", "S:4", "2XL3".

use trade::GarmentStyle;

/// What was read of some words.
pub(super) struct Sizes {
    /// Sizes by the style's own names, each with its quantity.
    pub found: Vec<(String, u32)>,
    /// A quantity that names no size.
    pub alone: Option<u32>,
    /// Words that are no sizes.
    pub rest: Vec<String>,
}

/// Most pieces of a size that are taken, as in the order form.
const MOST: u32 = 100_000;

/// Sizes and quantities among the words.
pub(super) fn read_sizes(style: &GarmentStyle, words: &[String]) -> Sizes {
    let tokens = tokens(style, words);
    let mut read = Sizes { found: Vec::new(), alone: None, rest: Vec::new() };
    // "S 4 M 8" names the size first, "4 S 8 M" the quantity: the first of both decides for the line.
    let size_first = tokens.iter().find_map(|token| match token {
        Token::Size(_) => Some(true),
        Token::Number(_) => Some(false),
        _ => None,
    });
    let mut at = 0;
    while let Some(token) = tokens.get(at) {
        let next = tokens.get(at + 1);
        match (token, next) {
            (Token::Both(size, count), _) => read.found.push((size.clone(), *count)),
            (Token::Size(size), Some(Token::Number(count))) if size_first == Some(true) => {
                read.found.push((size.clone(), *count));
                at += 1;
            }
            (Token::Number(count), Some(Token::Size(size))) if size_first == Some(false) => {
                read.found.push((size.clone(), *count));
                at += 1;
            }
            (Token::Number(count), _) => read.alone = Some(*count),
            (Token::Size(size), _) => read.rest.push(size.clone()),
            (Token::Word(word), _) => read.rest.push(word.clone()),
        }
        at += 1;
    }
    read
}

enum Token {
    Size(String),
    Number(u32),
    Both(String, u32),
    Word(String),
}

fn tokens(style: &GarmentStyle, words: &[String]) -> Vec<Token> {
    let mut all = Vec::new();
    for word in words {
        for part in word.split([':', '=', '/', '(', ')']).filter(|part| !part.is_empty()) {
            if matches!(part, "x" | "X" | "×" | "*") {
                continue;
            }
            all.push(times(style, part).unwrap_or_else(|| token(style, &part.to_lowercase())));
        }
    }
    all
}

/// "8xL": a small x before a capital is "times", where "8XL" is eight of XL.
fn times(style: &GarmentStyle, part: &str) -> Option<Token> {
    let (head, tail) = part.split_once('x')?;
    let capital = tail.starts_with(|c: char| c.is_ascii_uppercase());
    let (count, size) = (quantity(head)?, size_named(style, tail)?);
    capital.then_some(Token::Both(size, count))
}

fn token(style: &GarmentStyle, part: &str) -> Token {
    if let Some(size) = size_named(style, part) {
        return Token::Size(size);
    }
    if let Some(count) = quantity(part) {
        return Token::Number(count);
    }
    // The longest size that the word begins with, then its quantity: "2XL3" is three of 2XL.
    let digits = part.len() - part.trim_end_matches(|c: char| c.is_ascii_digit()).len();
    for cut in (part.len() - digits..part.len()).filter(|cut| part.is_char_boundary(*cut)) {
        let (head, tail) = part.split_at(cut);
        let head = head.trim_end_matches(['x', '×', '*', '-']);
        if let (Some(size), Some(count)) = (size_named(style, head), quantity(tail)) {
            return Token::Both(size, count);
        }
        // "Lx4": an x that belongs to no size.
        if let (Some(size), Some(count)) = (size_named(style, part.split_at(cut).0), quantity(tail)) {
            return Token::Both(size, count);
        }
    }
    let leading = part.len() - part.trim_start_matches(|c: char| c.is_ascii_digit()).len();
    if leading > 0 {
        let (head, tail) = part.split_at(leading);
        let without = tail.trim_start_matches(['×', '*']);
        let sizes = [without, without.strip_prefix('x').unwrap_or(without)];
        for size in sizes {
            if let (Some(size), Some(count)) = (size_named(style, size), quantity(head)) {
                return Token::Both(size, count);
            }
        }
        if matches!(without, "x" | "pcs" | "pc" | "")
            && let Some(count) = quantity(head)
        {
            return Token::Number(count);
        }
    }
    Token::Word(part.to_owned())
}

fn quantity(text: &str) -> Option<u32> {
    text.parse().ok().filter(|count| (1..=MOST).contains(count))
}

/// A size by the style's name for it, or by one that means the same: XXL and 2XL.
fn size_named(style: &GarmentStyle, text: &str) -> Option<String> {
    if text.is_empty() {
        return None;
    }
    let wanted = normal(text);
    style.sizes.iter().find(|size| normal(&size.name) == wanted).map(|size| size.name.clone())
}

/// Lower case without hyphens and spaces; "xxl" as "2xl".
fn normal(text: &str) -> String {
    let bare: String = text.to_lowercase().chars().filter(|c| c.is_alphanumeric()).collect();
    let xs = bare.chars().take_while(|c| *c == 'x').count();
    if xs >= 2 { format!("{xs}{}", bare.split_at(xs - 1).1) } else { bare }
}
