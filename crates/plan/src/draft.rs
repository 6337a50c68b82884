//! Lines resolved against the shop: garment, colour, sizes, art, places.
//!
//! A line that cannot be resolved comes back as findings; the others go on.

use crate::shapes::{PackShape, PlaceAnswer, PrintKey, Shapes, print_key};
use crate::{Arts, Line, Order, Print, Stuck, codes};
use art::{CleanArt, PrintSize};
use garment::{Change, HaltCase, Nearest, Placed, Position, Unreachable};
use report::{Finding, Outcome, Severity, Subject, Value};
use std::sync::Arc;
use trade::{Cloth, GarmentColour, GarmentId, GarmentSize, GarmentStyle, Shop, TestPiece};
use units::Length;

/// A line whose names all resolve and whose prints all have their places.
#[derive(Debug, Clone)]
pub(crate) struct LineDraft<'a> {
    pub subject: Subject,
    pub garment: GarmentId,
    pub style: &'a GarmentStyle,
    pub colour: &'a GarmentColour,
    pub cloth: &'a Cloth,
    pub brought: bool,
    pub sizes: Vec<(&'a GarmentSize, u32)>,
    pub prints: Vec<PrintDraft<'a>>,
    /// How its test pieces are made.
    pub test: TestPiece,
}

impl LineDraft<'_> {
    pub fn pieces(&self) -> u32 {
        self.sizes.iter().map(|(_, count)| *count).fold(0, u32::saturating_add)
    }
}

/// A print with its art, size and place on every size of its line.
#[derive(Debug, Clone)]
pub(crate) struct PrintDraft<'a> {
    pub subject: Subject,
    pub wish: &'a Print,
    pub art: &'a CleanArt,
    pub position: Position,
    pub size: PrintSize,
    /// As packing sees it.
    pub shape: Arc<PackShape>,
    pub placements: Vec<crate::Placement>,
}

/// What became of a line.
#[derive(Debug, Clone, Default)]
pub(crate) struct Drafted<'a> {
    /// The line, when all of it resolves.
    pub line: Option<LineDraft<'a>>,
    /// Prints that cannot be pressed where they were put, by their place in the line.
    pub stuck: Vec<(usize, Stuck)>,
}

/// A line resolved for a style: the ordered one, or a finer one in its stead.
pub(crate) fn draft<'a>(
    shop: &'a Shop,
    order: &'a Order,
    subject: Subject,
    line: &'a Line,
    instead: Option<GarmentId>,
    arts: &'a Arts,
    shapes: &Shapes,
) -> Outcome<Drafted<'a>> {
    let (mut findings, mut stuck) = (Vec::new(), Vec::new());
    let value = resolve(shop, order, subject, line, instead, arts, shapes, &mut stuck, &mut findings);
    for finding in &mut findings {
        finding.subject.order = subject.order;
        finding.subject.line = subject.line;
    }
    let halted = findings.iter().any(|finding| finding.severity >= Severity::Ask);
    Outcome { value: Drafted { line: value.filter(|_| !halted), stuck }, findings }
}

#[expect(clippy::too_many_arguments, reason = "one call site; what a line is resolved against")]
fn resolve<'a>(
    shop: &'a Shop,
    order: &'a Order,
    subject: Subject,
    line: &'a Line,
    instead: Option<GarmentId>,
    arts: &'a Arts,
    shapes: &Shapes,
    stuck: &mut Vec<(usize, Stuck)>,
    findings: &mut Vec<Finding>,
) -> Option<LineDraft<'a>> {
    let garment = match instead.or_else(|| shop.find_garment(&line.garment)) {
        Some(garment) => garment,
        None => {
            findings.push(unknown_garment(shop, line));
            return None;
        }
    };
    let style = shop.garment(garment);
    let Some(colour) = style.colour(&line.colour) else {
        findings.push(unknown_colour(style, line));
        return None;
    };
    let sizes = sizes(style, line, findings);
    let cloth = shop.cloth(colour.cloth);
    findings.extend(questions(order, subject, style, colour, cloth, &sizes, None));
    let mut prints = Vec::new();
    for (at, print) in line.prints.iter().enumerate() {
        let subject = Subject { print: Some(at), ..subject };
        let from = findings.len();
        let earlier: Vec<Vec<Placed>> = earlier_places(&prints, sizes.len());
        let before = prints.iter().map(|print| print_key(print.position, print.size, print.wish.offset)).collect();
        let context = PrintContext {
            shop,
            order,
            garment,
            style,
            colour,
            cloth,
            sizes: &sizes,
            earlier: &earlier,
            before,
            shapes,
        };
        let mut stays = None;
        prints.extend(draft_print(&context, subject, print, arts, &mut stays, findings));
        stuck.extend(stays.map(|stays| (at, stays)));
        for finding in findings.iter_mut().skip(from) {
            finding.subject.print = Some(at);
        }
    }
    let whole = prints.len() == line.prints.len() && sizes.len() == line.sizes.len();
    let test = order.test_piece(shop.pricing.test_piece.value);
    whole.then_some(LineDraft { subject, garment, style, colour, cloth, brought: line.brought, sizes, prints, test })
}

fn unknown_garment(shop: &Shop, line: &Line) -> Finding {
    let known = shop.garments().map(|(_, style)| style.id.as_str());
    let nearest = crate::form::probably(&line.garment, known).unwrap_or("–");
    Finding::new(Severity::StopsLine, codes::GARMENT_UNKNOWN, codes::GARMENT_UNKNOWN_REMEDY)
        .named("garment", line.garment.clone())
        .named("nearest", nearest)
}

fn unknown_colour(style: &GarmentStyle, line: &Line) -> Finding {
    let known: Vec<Value> = style.colours.iter().map(|colour| Value::Text(colour.name.clone())).collect();
    Finding::new(Severity::StopsLine, codes::COLOUR_UNKNOWN, codes::COLOUR_UNKNOWN_REMEDY)
        .named("garment", style.name.clone())
        .named("colour", line.colour.clone())
        .with("known", Value::List(known))
}

fn sizes<'a>(style: &'a GarmentStyle, line: &Line, findings: &mut Vec<Finding>) -> Vec<(&'a GarmentSize, u32)> {
    let mut found = Vec::new();
    for wanted in &line.sizes {
        let Some(size) = style.size(&wanted.size) else {
            let known: Vec<Value> = style.sizes.iter().map(|size| Value::Text(size.name.clone())).collect();
            findings.push(
                Finding::new(Severity::StopsLine, codes::SIZE_UNKNOWN, codes::SIZE_UNKNOWN_REMEDY)
                    .named("garment", style.name.clone())
                    .named("size", wanted.size.clone())
                    .with("known", Value::List(known)),
            );
            continue;
        };
        if !line.brought && (size.price.is_none() || style.supplier.is_none()) {
            findings.push(
                Finding::new(Severity::StopsLine, codes::GARMENT_NO_PRICE, codes::GARMENT_NO_PRICE_REMEDY)
                    .named("garment", style.name.clone())
                    .named("size", size.name.clone()),
            );
        }
        found.push((size, wanted.count));
    }
    found
}

/// Questions that nobody has answered yet, and what is to be known besides.
fn questions(
    order: &Order,
    subject: Subject,
    style: &GarmentStyle,
    colour: &GarmentColour,
    cloth: &Cloth,
    sizes: &[(&GarmentSize, u32)],
    position: Option<Position>,
) -> Vec<Finding> {
    let line = subject.line.unwrap_or(usize::MAX);
    let mut all: Vec<Finding> = Vec::new();
    for (size, _) in sizes {
        let case = HaltCase { style, size: Some(size), colour, cloth, position, kind: None, said_for_children: false };
        for question in garment::halts(&case) {
            let answered = question.severity == Severity::Ask && order.allowed(line, question.code);
            if !answered && !all.iter().any(|known| known.code == question.code) {
                all.push(question);
            }
        }
    }
    all
}

/// For each size, where the prints before this one lie.
fn earlier_places(prints: &[PrintDraft<'_>], sizes: usize) -> Vec<Vec<Placed>> {
    (0..sizes)
        .map(|size| prints.iter().filter_map(|print| print.placements.get(size)).map(|p| p.placed.clone()).collect())
        .collect()
}

struct PrintContext<'a, 'b> {
    shop: &'a Shop,
    order: &'a Order,
    garment: GarmentId,
    style: &'a GarmentStyle,
    colour: &'a GarmentColour,
    cloth: &'a Cloth,
    sizes: &'b [(&'a GarmentSize, u32)],
    earlier: &'b [Vec<Placed>],
    /// The prints before this one.
    before: Vec<PrintKey>,
    shapes: &'b Shapes,
}

impl PrintContext<'_, '_> {
    /// Where a print lies on a size and how a press reaches it; worked out once for all lines alike.
    fn answer(&self, at: usize, print: &Print, position: Position, size: PrintSize) -> Arc<PlaceAnswer> {
        let garment_size = self.sizes[at].0;
        let mut prints = self.before.clone();
        prints.push(print_key(position, size, print.offset));
        let key = (self.garment, garment_size.name.clone(), self.colour.cloth, prints);
        self.shapes.places.once(key, || {
            let area = (size.width(), size.height());
            let placed = garment::place(self.style, garment_size, position, area, print.offset);
            let earlier = self.earlier.get(at).map_or(&[][..], Vec::as_slice);
            let reach = placed
                .value
                .as_ref()
                .map(|placed| garment::reach(self.shop, self.style, garment_size, self.cloth, placed, earlier));
            Arc::new(PlaceAnswer { placed, reach })
        })
    }
}

fn draft_print<'a>(
    context: &PrintContext<'a, '_>,
    subject: Subject,
    print: &'a Print,
    arts: &'a Arts,
    stuck: &mut Option<Stuck>,
    findings: &mut Vec<Finding>,
) -> Option<PrintDraft<'a>> {
    let art = match arts.get(&print.art, print.remove_background) {
        Some(Ok(read)) => {
            let line = subject.line.unwrap_or(usize::MAX);
            let open =
                |finding: &&Finding| finding.severity != Severity::Ask || !context.order.allowed(line, finding.code);
            findings.extend(read.findings.iter().filter(open).cloned());
            &read.value
        }
        Some(Err(finding)) => {
            findings.push(finding.clone());
            return None;
        }
        None => {
            findings.push(
                Finding::new(Severity::StopsLine, codes::ART_MISSING, codes::ART_MISSING_REMEDY)
                    .named("art", print.art.clone()),
            );
            return None;
        }
    };
    let position = garment::read_position(&print.position).map_err(|finding| findings.push(finding)).ok()?;
    if print.sizing.is_some() {
        findings.push(
            Finding::new(Severity::StopsLine, codes::SIZED_NOT_USUAL, codes::SIZED_NOT_USUAL_REMEDY)
                .named("garment", context.style.name.clone())
                .with("position", Value::Term(position.term())),
        );
        return None;
    }
    let size = art.size(print.size).map_err(|finding| findings.push(finding)).ok()?;
    let context_sizes = context.sizes;
    let about =
        questions(context.order, subject, context.style, context.colour, context.cloth, context_sizes, Some(position));
    for question in about {
        if !findings.iter().any(|known| known.code == question.code) {
            findings.push(question);
        }
    }
    let placements = placements(context, print, position, size, stuck, findings)?;
    // Art that was read has ink, and ink has an outline.
    let shape = context.shapes.pack_shape(art, size)?;
    Some(PrintDraft { subject, wish: print, art, position, size, shape, placements })
}

fn placements(
    context: &PrintContext<'_, '_>,
    print: &Print,
    position: Position,
    size: PrintSize,
    stuck: &mut Option<Stuck>,
    findings: &mut Vec<Finding>,
) -> Option<Vec<crate::Placement>> {
    let mut all = Vec::new();
    let mut told: Vec<Finding> = Vec::new();
    for (at, (garment_size, _)) in context.sizes.iter().enumerate() {
        let answer = context.answer(at, print, position, size);
        tell_once(&mut told, answer.placed.findings.clone());
        let (Some(placed), Some(reach)) = (&answer.placed.value, &answer.reach) else { continue };
        let (placed, name) = (placed.clone(), garment_size.name.clone());
        let earlier = context.earlier.get(at).map_or(&[][..], Vec::as_slice);
        tell_once(&mut told, earlier.iter().filter_map(|other| garment::apart(&placed, other)).collect());
        match reach {
            Ok(reach) => all.push(crate::Placement { size: name, placed, reach: reach.clone() }),
            Err(unreachable) => {
                let Unreachable { finding, nearest: near } = unreachable.as_ref().clone();
                let known = told.iter().any(|known| known.code == finding.code);
                let finding = match &near {
                    Some(near) if !known => with_nearest(finding, context.shop, print, near),
                    _ => finding,
                };
                tell_once(&mut told, vec![finding]);
                // The first size that is blocked is shown; the others are alike.
                stuck.get_or_insert(Stuck { size: name, placed, nearest: near });
            }
        }
    }
    findings.extend(told);
    (all.len() == context.sizes.len()).then_some(all)
}

/// What blocks a print, with the nearest that works as its remedy: what to write
/// for it, counted from the usual place.
fn with_nearest(finding: Finding, shop: &Shop, print: &Print, near: &Nearest) -> Finding {
    let (right, up) = print.offset.unwrap_or_default();
    let moved = |finding: Finding, more, higher| {
        finding.with("to-right", Value::Length(right + more)).with("to-up", Value::Length(up + higher))
    };
    let (remedy, finding) = match near.change {
        Change::Moved { right, up } => (codes::NEAREST_MOVED, moved(finding, right, up)),
        Change::Smaller { right, up, .. } => {
            let width = Length::from_mm(near.placed.bounds.width()).unwrap_or_default();
            (codes::NEAREST_SMALLER, moved(finding, right, up).with("to-width", Value::Length(width)))
        }
        Change::Elsewhere => {
            (codes::NEAREST_ELSEWHERE, finding.with("to-position", Value::Term(near.placed.position.term())))
        }
    };
    let mut finding = finding.named("to-platen", shop.platen(near.reach.platen).name.clone());
    finding.remedy = remedy;
    finding
}

/// The same word about several sizes is said once, for the size it was met on first.
fn tell_once(told: &mut Vec<Finding>, more: Vec<Finding>) {
    for finding in more {
        if !told.iter().any(|known| known.code == finding.code) {
            told.push(finding);
        }
    }
}
