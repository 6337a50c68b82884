//! Filling sentences, and keeping text clean.

/// Shown where a sentence asks for a value that was not given.
const MISSING: &str = "—";

/// The pattern as a sentence of its own: filled, with a capital at its head unless the name of a
/// file stands there, which is written as the file is.
pub(crate) fn fill(pattern: &str, value: impl Fn(&str) -> Option<String>) -> String {
    let said = put_in(pattern, value);
    let named = ["{file}", "{art}", "{path}"].iter().any(|name| pattern.starts_with(name));
    if named { said } else { capital(&said) }
}

/// The pattern with each `{name}` replaced by what `value` gives; what is put in
/// is never read as a pattern again. `{name one|many}` adds the word for one, or that for many.
pub(crate) fn put_in(pattern: &str, value: impl Fn(&str) -> Option<String>) -> String {
    let mut said = String::with_capacity(pattern.len() + 32);
    let mut rest = pattern;
    while let Some((before, after)) = rest.split_once('{') {
        said.push_str(before);
        let Some((name, tail)) = after.split_once('}') else {
            said.push('{');
            rest = after;
            continue;
        };
        let (name, words) = counted(name);
        let put = value(name);
        let put = put.as_deref().unwrap_or(MISSING);
        said.push_str(put);
        if let Some((one, many)) = words {
            said.push(' ');
            said.push_str(if put == "1" { one } else { many });
        }
        rest = tail;
    }
    said.push_str(rest);
    said
}

/// The name in a pair of braces, and the words for one and for many where they stand beside it.
fn counted(inside: &str) -> (&str, Option<(&str, &str)>) {
    match inside.split_once(' ') {
        Some((name, words)) => (name, words.split_once('|')),
        None => (inside, None),
    }
}

/// The names between braces, in the order in which they stand.
pub fn placeholders(pattern: &str) -> Vec<&str> {
    let inside = pattern.split('{').skip(1).filter_map(|part| part.split_once('}').map(|(inside, _)| inside));
    inside.map(|inside| counted(inside).0).collect()
}

/// `text` without control characters, line breaks and marks that turn the
/// reading direction of what follows; runs of white space become one space.
pub fn clean(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for shown in text.chars() {
        let space = shown.is_whitespace();
        if space && (out.is_empty() || out.ends_with(' ')) {
            continue;
        }
        match shown {
            _ if space => out.push(' '),
            _ if shown.is_control() || turns_direction(shown) => {}
            _ => out.push(shown),
        }
    }
    if out.ends_with(' ') {
        out.pop();
    }
    out
}

/// Unicode's bidirectional embeddings, overrides and isolates (Unicode Standard
/// Annex #9, section 2): they would reorder the text after a name.
fn turns_direction(shown: char) -> bool {
    matches!(shown, '\u{200E}' | '\u{200F}' | '\u{061C}' | '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' | '\u{FEFF}')
}

/// The text with its first letter a capital.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}
