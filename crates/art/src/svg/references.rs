//! How large a drawing becomes when every reference inside it is followed.

use std::collections::BTreeMap;
use usvg::roxmltree::{Document, Node};

/// References that may follow one another.
const DEEPEST: u32 = 48;

/// Whether the drawing stays within so many elements, each part counted as often as it is
/// referred to, and no part refers to itself.
pub(crate) fn within(document: &Document<'_>, most: u32) -> bool {
    let mut named: BTreeMap<&str, Node<'_, '_>> = BTreeMap::new();
    for node in document.descendants() {
        if let Some(id) = node.attribute("id") {
            named.entry(id).or_insert(node);
        }
    }
    let mut counter = Counter { named, known: BTreeMap::new() };
    counter.grown(document.root(), 0).is_some_and(|count| count <= u64::from(most))
}

struct Counter<'d, 'i> {
    named: BTreeMap<&'d str, Node<'d, 'i>>,
    /// By name; `None` while it is being counted, so that a circle shows.
    known: BTreeMap<String, Option<u64>>,
}

impl Counter<'_, '_> {
    /// Elements of a part with what it refers to; `None` for a circle, a chain too long or a
    /// number too large.
    fn grown(&mut self, part: Node<'_, '_>, depth: u32) -> Option<u64> {
        if depth > DEEPEST {
            return None;
        }
        let mut count: u64 = 0;
        for node in part.descendants().filter(Node::is_element) {
            count = count.checked_add(1)?;
            for reference in references(node) {
                count = count.checked_add(self.named(reference, depth)?)?;
            }
        }
        Some(count)
    }

    fn named(&mut self, name: &str, depth: u32) -> Option<u64> {
        if let Some(known) = self.known.get(name) {
            return *known;
        }
        let Some(node) = self.named.get(name).copied() else { return Some(0) };
        self.known.insert(name.to_owned(), None);
        let count = self.grown(node, depth + 1)?;
        self.known.insert(name.to_owned(), Some(count));
        Some(count)
    }
}

/// Names of other parts that an element is drawn with.
fn references<'d>(node: Node<'d, '_>) -> Vec<&'d str> {
    let followed_by_click = node.tag_name().name() == "a";
    let mut names = Vec::new();
    for attribute in node.attributes() {
        let value = attribute.value();
        if attribute.name() == "href" && !followed_by_click {
            names.extend(value.trim().strip_prefix('#'));
        }
        if value.contains("url(") {
            let inner = value.split("url(").skip(1).filter_map(|after| after.split(')').next());
            names.extend(inner.filter_map(|inner| inner.trim().trim_matches(['"', '\'']).strip_prefix('#')));
        }
    }
    names
}
