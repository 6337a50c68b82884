//! A look over the text of an SVG before it is drawn.

use super::references;
use crate::codes;
use crate::read::{Door, SourceKind, count};
use report::{Finding, Severity};
use units::Length;
use usvg::fontdb;
use usvg::roxmltree::{Document, Node, ParsingOptions};

/// What the look found.
pub(crate) struct Scanned {
    /// Width and height where the file gives them in a unit of the real world.
    pub size: Option<(Length, Length)>,
    /// Fonts embedded in the file.
    pub fonts: Vec<Vec<u8>>,
    /// Whether the file says that its mark is registered.
    pub registered: bool,
    pub findings: Vec<Finding>,
}

/// Whether the bytes read like SVG: markup whose root is `svg`.
pub(crate) fn looks_like_one(bytes: &[u8]) -> bool {
    let start = bytes.get(..bytes.len().min(65_536)).unwrap_or_default();
    let narrow: Vec<u8> = start.iter().copied().filter(|byte| *byte != 0).collect();
    let marked = narrow.iter().find(|b| !b.is_ascii_whitespace() && b.is_ascii()) == Some(&b'<');
    marked && (narrow.windows(4).any(|w| w == b"<svg") || narrow.windows(5).any(|w| w == b":svg "))
}

/// UTF-8 or UTF-16 with its mark.
pub(crate) fn decoded(bytes: Vec<u8>) -> Option<String> {
    let wide = |bytes: &[u8], unit: fn([u8; 2]) -> u16| {
        let units: Vec<u16> = bytes.chunks_exact(2).map(|pair| unit([pair[0], pair[1]])).collect();
        String::from_utf16(&units).ok()
    };
    match bytes.as_slice() {
        [0xff, 0xfe, rest @ ..] => wide(rest, u16::from_le_bytes),
        [0xfe, 0xff, rest @ ..] => wide(rest, u16::from_be_bytes),
        [0xef, 0xbb, 0xbf, rest @ ..] => String::from_utf8(rest.to_vec()).ok(),
        _ => String::from_utf8(bytes).ok(),
    }
}

/// A reference short enough to show.
pub(crate) fn short(reference: &str) -> String {
    let plain: String = reference.chars().filter(|c| !c.is_control()).take(80).collect();
    if reference.chars().count() > 80 { format!("{plain}…") } else { plain }
}

/// Looks the text over.
///
/// # Errors
/// A finding that stops the line when the text is not XML within the caps, refers to
/// something outside itself, or holds live text without its font.
pub(crate) fn scan(door: &Door<'_>, text: &str) -> Result<Scanned, Finding> {
    if let Some(entity) = outside_entity(text) {
        let row = text.split(entity.as_str()).next().map_or(1, |before| before.lines().count().max(1));
        return Err(outside(door, &entity, row as u64));
    }
    let options = ParsingOptions { allow_dtd: true, nodes_limit: door.options.caps.elements, ..Default::default() };
    let document = Document::parse_with_options(text, options).map_err(|fault| match fault {
        usvg::roxmltree::Error::NodesLimitReached | usvg::roxmltree::Error::EntityReferenceLoop(_) => {
            door.heavy("elements")
        }
        _ => door.broken(SourceKind::Svg),
    })?;
    let outer = |node: Node<'_, '_>| Some((reference_outside(node)?, row(&document, node)));
    if let Some((reference, row)) = document.descendants().find_map(outer) {
        return Err(outside(door, &reference, row));
    }
    if !references::within(&document, door.options.caps.elements) {
        return Err(door.heavy("elements"));
    }
    let styles = styles(&document);
    let fonts = embedded_fonts(&styles);
    let mut findings = Vec::new();
    live_text(door, &document, &styles, &fonts, &mut findings)?;
    set_aside(door, &document, &mut findings);
    let registered = crate::emblem::said(&document);
    Ok(Scanned { size: size(document.root_element()), fonts, registered, findings })
}

/// The first family asked for that the file itself holds.
pub(crate) fn font_among(font: &usvg::Font, fonts: &fontdb::Database) -> Option<fontdb::ID> {
    let families: Vec<fontdb::Family<'_>> = font
        .families()
        .iter()
        .filter_map(|family| match family {
            usvg::FontFamily::Named(name) => Some(fontdb::Family::Name(name)),
            _ => None,
        })
        .collect();
    let style = match font.style() {
        usvg::FontStyle::Normal => fontdb::Style::Normal,
        usvg::FontStyle::Italic => fontdb::Style::Italic,
        usvg::FontStyle::Oblique => fontdb::Style::Oblique,
    };
    let weight = fontdb::Weight(font.weight());
    fonts.query(&fontdb::Query { families: &families, weight, stretch: fontdb::Stretch::Normal, style })
}

/// The row of the file that a node begins in, from 1: where to look in what was sent.
fn row(document: &Document<'_>, node: Node<'_, '_>) -> u64 {
    document.text_pos_at(node.range().start).row.into()
}

fn outside(door: &Door<'_>, reference: &str, row: u64) -> Finding {
    door.stop(codes::REFERENCE_OUTSIDE, codes::FIX_EMBED).named("reference", short(reference)).with("row", count(row))
}

/// An entity whose text lies in another file.
fn outside_entity(text: &str) -> Option<String> {
    let inner = text.split_once("<!DOCTYPE")?.1;
    let inner = inner.get(..inner.find("<svg").unwrap_or(inner.len()))?;
    inner.split("<!ENTITY").skip(1).find_map(|entity| {
        let entity = entity.split('>').next()?;
        let at = entity.find(" SYSTEM").or_else(|| entity.find(" PUBLIC"))?;
        Some(entity.get(at..)?.split(['"', '\'']).nth(1).unwrap_or("entity").to_owned())
    })
}

/// Elements whose `href` is drawn, not only followed by a click.
const DRAWN_BY_REFERENCE: &[&str] = &[
    "image",
    "use",
    "feImage",
    "linearGradient",
    "radialGradient",
    "pattern",
    "textPath",
    "tref",
    "mpath",
    "filter",
    "font-face-uri",
    "cursor",
];

fn reference_outside(node: Node<'_, '_>) -> Option<String> {
    if let Some(instruction) = node.pi() {
        let value = instruction.value.unwrap_or_default();
        let sheet = instruction.target == "xml-stylesheet";
        return sheet.then(|| value.split_once("href=").map_or(value, |(_, after)| after).to_owned());
    }
    if !node.is_element() {
        return None;
    }
    let name = node.tag_name().name();
    if DRAWN_BY_REFERENCE.contains(&name) {
        let reference = node.attributes().find(|a| a.name() == "href" && is_outside(a.value()));
        if let Some(reference) = reference {
            return Some(reference.value().to_owned());
        }
    }
    if name == "style" {
        let style: String = node.descendants().filter_map(|n| n.text()).collect();
        return style_outside(&style);
    }
    node.attributes().find_map(|attribute| style_outside(attribute.value()))
}

fn is_outside(reference: &str) -> bool {
    let reference = reference.trim();
    !(reference.is_empty() || reference.starts_with('#') || starts_with_data(reference))
}

fn starts_with_data(reference: &str) -> bool {
    reference.get(..5).is_some_and(|start| start.eq_ignore_ascii_case("data:"))
}

/// A `url(…)` or `@import` that leads out of the file.
fn style_outside(style: &str) -> Option<String> {
    if !style.contains("url(") && !style.contains("@import") {
        return None;
    }
    let style = without_comments(style);
    let by_url = style.split("url(").skip(1).find_map(|after| {
        let inner = after.split(')').next()?.trim().trim_matches(['"', '\'']);
        is_outside(inner).then(|| inner.to_owned())
    });
    by_url.or_else(|| {
        let after = style.split_once("@import")?.1;
        let inner = after.split(';').next()?.trim().trim_matches(['"', '\'']);
        is_outside(inner).then(|| inner.to_owned())
    })
}

fn without_comments(style: &str) -> String {
    let mut plain = String::new();
    for (at, part) in style.split("/*").enumerate() {
        plain.push_str(if at == 0 { part } else { part.split_once("*/").map_or("", |(_, rest)| rest) });
    }
    plain
}

fn styles(document: &Document<'_>) -> String {
    document
        .descendants()
        .filter(|node| node.is_element() && node.tag_name().name() == "style")
        .flat_map(|node| node.descendants().filter_map(|inner| inner.text()))
        .collect::<Vec<_>>()
        .join("\n")
}

/// Fonts in `@font-face { src: url(data:…;base64,…) }`, uncompressed ones only.
fn embedded_fonts(styles: &str) -> Vec<Vec<u8>> {
    styles
        .split("@font-face")
        .skip(1)
        .filter_map(|face| face.split('}').next())
        .flat_map(|face| face.split("url(").skip(1))
        .filter_map(|after| after.split(')').next())
        .filter_map(|url| url.trim().trim_matches(['"', '\'']).split_once("base64,"))
        .filter_map(|(_, data)| from_base64(data))
        .filter(|data| [b"\0\x01\0\0", b"OTTO", b"true", b"ttcf"].iter().any(|mark| data.starts_with(mark.as_slice())))
        .collect()
}

/// RFC 4648, §4; white space is skipped.
fn from_base64(text: &str) -> Option<Vec<u8>> {
    let mut bytes = Vec::with_capacity(text.len() / 4 * 3);
    let (mut held, mut bits) = (0u32, 0);
    for byte in text.bytes().filter(|b| !b.is_ascii_whitespace() && *b != b'=') {
        let six = match byte {
            b'A'..=b'Z' => byte - b'A',
            b'a'..=b'z' => byte - b'a' + 26,
            b'0'..=b'9' => byte - b'0' + 52,
            b'+' => 62,
            b'/' => 63,
            _ => return None,
        };
        held = (held << 6 | u32::from(six)) & 0x3fff;
        bits += 6;
        if bits >= 8 {
            bits -= 8;
            bytes.push((held >> bits) as u8);
        }
    }
    Some(bytes)
}

/// Live text is drawn only with a font that the file holds.
fn live_text(
    door: &Door<'_>,
    document: &Document<'_>,
    styles: &str,
    fonts: &[Vec<u8>],
    findings: &mut Vec<Finding>,
) -> Result<(), Finding> {
    let mut held = fontdb::Database::new();
    for font in fonts {
        held.load_font_data(font.clone());
    }
    let faces: Vec<&fontdb::FaceInfo> = held.faces().collect();
    let names: Vec<String> =
        faces.iter().flat_map(|face| face.families.iter().map(|(name, _)| name.to_lowercase())).collect();
    for node in document.descendants().filter(|n| n.is_element() && n.tag_name().name() == "text") {
        let words: String = node.descendants().filter_map(|n| if n.is_text() { n.text() } else { None }).collect();
        if words.trim().is_empty() {
            continue;
        }
        for family in families(node, styles) {
            if !names.contains(&family.to_lowercase()) {
                return Err(door
                    .stop(codes::FONT_MISSING, codes::FIX_OUTLINE_TEXT)
                    .named("font", short(&family))
                    .named("text", short(words.trim()))
                    .with("row", count(row(document, node))));
            }
        }
        let missing =
            words.chars().find(|c| !c.is_whitespace() && !faces.iter().any(|face| has_glyph(&held, face.id, *c)));
        if let Some(letter) = missing {
            return Err(door
                .stop(codes::FONT_MISSING, codes::FIX_OUTLINE_TEXT)
                .named("font", faces.first().map_or(String::new(), |face| face.post_script_name.clone()))
                .named("text", letter.to_string())
                .with("row", count(row(document, node))));
        }
        let finding = door
            .found(Severity::Note, codes::FONT_LIVE, codes::FIX_LOOK)
            .named("font", names.join(", "))
            .repaired_by(codes::REPAIR_TEXT);
        if !findings.contains(&finding) {
            findings.push(finding);
        }
    }
    Ok(())
}

fn has_glyph(fonts: &fontdb::Database, id: fontdb::ID, letter: char) -> bool {
    fonts
        .with_face_data(id, |data, index| {
            rustybuzz::ttf_parser::Face::parse(data, index).is_ok_and(|face| face.glyph_index(letter).is_some())
        })
        .unwrap_or(false)
}

/// The families that a text element and its parts ask for; a plain "default" when none is named.
fn families(text: Node<'_, '_>, styles: &str) -> Vec<String> {
    let own = |node: Node<'_, '_>| {
        let by_attribute = node.attribute("font-family").map(first_family);
        let by_style = node.attribute("style").and_then(family_in_style);
        by_style.or(by_attribute)
    };
    let inherited = text.ancestors().filter(|n| n.is_element()).find_map(own);
    let mut families: Vec<String> = text.descendants().skip(1).filter(|n| n.is_element()).filter_map(own).collect();
    families.extend(inherited);
    let by_class = text.ancestors().chain(text.descendants()).any(|n| n.attribute("class").is_some());
    if families.is_empty() || by_class {
        // A sheet may set the family by any selector; every family it names must then be held.
        let sheet = styles.split('{').skip(1).filter_map(|rule| rule.split('}').next());
        families.extend(sheet.filter_map(family_in_style));
    }
    if families.is_empty() {
        families.push("default".to_owned());
    }
    families.sort();
    families.dedup();
    families
}

fn first_family(list: &str) -> String {
    list.split(',').next().unwrap_or_default().trim().trim_matches(['"', '\'']).to_owned()
}

fn family_in_style(style: &str) -> Option<String> {
    style.split(';').find_map(|rule| {
        let (name, value) = rule.split_once(':')?;
        (name.trim() == "font-family").then(|| first_family(value))
    })
}

/// Scripts, motion, parts of other languages: said, not run.
fn set_aside(door: &Door<'_>, document: &Document<'_>, findings: &mut Vec<Finding>) {
    let elements = || document.descendants().filter(|n| n.is_element());
    // How many times an element counts among those looked for, and the row of the first.
    let counted = |times: &dyn Fn(Node<'_, '_>) -> u64| {
        let all = elements().map(times).sum::<u64>();
        let first = elements().find(|node| times(*node) > 0)?;
        Some((all, row(document, first)))
    };
    let named = |names: &'static [&'static str]| move |n: Node<'_, '_>| u64::from(names.contains(&n.tag_name().name()));
    let handlers =
        |n: Node<'_, '_>| n.attributes().filter(|a| a.name().starts_with("on") && a.name().len() > 4).count();
    let scripted = |n: Node<'_, '_>| named(&["script"])(n) + handlers(n) as u64;
    if let Some((scripts, row)) = counted(&scripted) {
        findings.push(door.note(codes::SCRIPT_IGNORED).with("count", count(scripts)).with("row", count(row)));
    }
    if let Some((moving, row)) =
        counted(&named(&["animate", "animateTransform", "animateMotion", "animateColor", "set"]))
    {
        findings.push(door.note(codes::MOTION_IGNORED).with("count", count(moving)).with("row", count(row)));
    }
    if let Some((foreign, row)) = counted(&named(&["foreignObject"])) {
        findings.push(super::lost(door, codes::FOREIGN_PART, foreign).with("row", count(row)));
    }
}

/// Width and height in mm, where both carry a unit of the real world (CSS Values 3, §6.2).
fn size(root: Node<'_, '_>) -> Option<(Length, Length)> {
    let side = |name: &str| {
        let text = root.attribute(name)?.trim();
        let at = text.find(|c: char| c.is_ascii_alphabetic() && c != 'e' && c != 'E')?;
        let number: f64 = text.get(..at)?.trim().parse().ok()?;
        let mm = match text.get(at..)?.trim() {
            "mm" => 1.0,
            "cm" => 10.0,
            "in" => 25.4,
            "pt" => 25.4 / 72.0,
            "pc" => 25.4 / 6.0,
            "Q" => 0.25,
            _ => return None,
        };
        (number > 0.0).then(|| Length::from_mm(number * mm)).flatten()
    };
    Some((side("width")?, side("height")?))
}
