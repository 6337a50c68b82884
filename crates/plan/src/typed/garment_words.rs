//! Which garment and colour the words mean.

use trade::{GarmentClass, GarmentId, GarmentStyle, Shop};

/// A style that words mean.
pub(super) struct FoundStyle {
    pub style: GarmentId,
    /// Styles that fit the words as well.
    pub others: Vec<GarmentId>,
    /// Words that did not name the style.
    pub rest: Vec<String>,
}

/// A colour that words mean.
pub(super) struct FoundColour {
    pub name: Option<String>,
    /// Whether it was said so that only this colour can be meant.
    pub said: bool,
    pub rest: Vec<String>,
}

/// The style that the words fit best; `None` when they name no garment.
pub(super) fn style_of(shop: &Shop, text: &str) -> Option<FoundStyle> {
    let words: Vec<String> = text.split_whitespace().map(plain).filter(|word| !word.is_empty()).collect();
    let scored: Vec<(i32, GarmentId)> =
        shop.garments().filter_map(|(id, style)| Some((score(style, &words)?, id))).collect();
    let best = scored.iter().map(|(score, _)| *score).max()?;
    let mut fitting = scored.iter().filter(|(score, _)| *score == best).map(|(_, id)| *id);
    let style = fitting.next()?;
    let of = shop.garment(style);
    let names = style_words(of);
    let colours: Vec<String> = of.colours.iter().flat_map(|colour| split(&colour.name)).collect();
    let names_it = |word: &String| {
        let whole = singular(word);
        (names.contains(&whole) || is_alias(of.class, &whole)) && !colours.contains(word)
    };
    let rest = text.split_whitespace().filter(|word| !names_it(&plain(word))).map(str::to_owned).collect();
    Some(FoundStyle { style, others: fitting.collect(), rest })
}

/// How well the words fit; `None` when none of them says what kind of garment it is.
fn score(style: &GarmentStyle, words: &[String]) -> Option<i32> {
    let names = style_words(style);
    let (mut score, mut kind) = (0, false);
    let id = style.id.to_lowercase();
    for word in words {
        let whole = singular(word);
        if *word == id {
            return Some(1000);
        }
        let alias = is_alias(style.class, &whole);
        if names.contains(&whole) {
            score += 30;
        } else if alias {
            score += 20;
        }
        kind |= alias;
    }
    if style.colours.iter().any(|colour| split(&colour.name).iter().all(|part| words.contains(part))) {
        score += 15;
    }
    // Of styles that fit alike, the one with the fewest words left unsaid; children's only when said.
    let unsaid = names.iter().filter(|name| !words.iter().any(|word| singular(word) == **name)).count();
    let young = style.age != trade::Age::Adult && names.iter().any(|name| matches!(name.as_str(), "youth" | "child"));
    let said_young = words.iter().any(|word| matches!(singular(word).as_str(), "youth" | "kid" | "child" | "children"));
    if young && !said_young {
        score -= 10;
    }
    score -= i32::try_from(unsaid).unwrap_or(i32::MAX).min(9);
    kind.then_some(score)
}

fn style_words(style: &GarmentStyle) -> Vec<String> {
    const SMALL: [&str; 6] = ["with", "of", "and", "the", "in", "a"];
    let mut all: Vec<String> = split(&style.name).into_iter().filter(|word| !SMALL.contains(&word.as_str())).collect();
    all.extend(split(&style.id));
    for word in &mut all {
        *word = singular(word);
    }
    all.sort();
    all.dedup();
    all
}

fn split(text: &str) -> Vec<String> {
    text.to_lowercase()
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}

/// Lower case; hyphens within stay for "t-shirt", marks around go.
fn plain(word: &str) -> String {
    word.to_lowercase().trim_matches(|c: char| !c.is_alphanumeric()).to_owned()
}

fn singular(word: &str) -> String {
    let word = plain(word);
    match word.strip_suffix('s') {
        Some(stem) if stem.len() > 2 && !stem.ends_with('s') => stem.to_owned(),
        _ => word,
    }
}

/// Names of a kind of garment in everyday use, singular.
fn is_alias(class: GarmentClass, word: &str) -> bool {
    let names: &[&str] = match class {
        GarmentClass::Tee => &["tee", "t-shirt", "tshirt", "shirt"],
        GarmentClass::PerformanceTee => &["tee", "t-shirt", "tshirt", "jersey"],
        GarmentClass::Vest => &["vest", "singlet"],
        GarmentClass::Sweatshirt => &["sweatshirt", "sweat", "sweater", "jumper"],
        GarmentClass::Hoodie => &["hoodie", "hoody", "hooded"],
        GarmentClass::ShellJacket => &["jacket"],
        GarmentClass::RainShell => &["raincoat", "jacket", "rain"],
        GarmentClass::Softshell => &["softshell", "jacket"],
        GarmentClass::Polo => &["polo"],
        GarmentClass::DressShirt => &["shirt", "blouse"],
        GarmentClass::Apron => &["apron"],
        GarmentClass::Tote => &["tote", "bag", "carrier"],
        GarmentClass::Cap => &["cap", "hat"],
        GarmentClass::FaceCover => &["mask", "face-cover"],
        GarmentClass::Bib => &["bib"],
        GarmentClass::Sock => &["sock"],
        GarmentClass::Legwear => &["legging", "trouser", "short", "jogger"],
        GarmentClass::ChildSleepwear => &["pyjama", "sleepsuit", "nightdress"],
    };
    names.contains(&word) || names.contains(&word.trim_end_matches('s'))
}

/// The colour among the words: its whole name, or one word that only this colour has.
pub(super) fn colour_of(style: &GarmentStyle, words: &[String]) -> FoundColour {
    let mut best: Option<(usize, usize, &str)> = None;
    for colour in &style.colours {
        let parts = split(&colour.name);
        let found =
            words.windows(parts.len().max(1)).position(|run| run.iter().map(|w| plain(w)).eq(parts.iter().cloned()));
        if let Some(at) = found
            && best.is_none_or(|(_, length, _)| parts.len() > length)
        {
            best = Some((at, parts.len(), &colour.name));
        }
    }
    if let Some((at, length, name)) = best {
        let mut rest = words.to_vec();
        rest.drain(at..at + length);
        return FoundColour { name: Some(name.to_owned()), said: true, rest };
    }
    for (at, word) in words.iter().enumerate() {
        let mut having = style.colours.iter().filter(|colour| split(&colour.name).contains(&plain(word)));
        if let (Some(colour), None) = (having.next(), having.next()) {
            let mut rest = words.to_vec();
            rest.remove(at);
            return FoundColour { name: Some(colour.name.clone()), said: true, rest };
        }
    }
    FoundColour { name: None, said: false, rest: words.to_vec() }
}
