//! Art whose size follows the garments' sizes: a line is divided so that each part has one art size.

use crate::{Arts, Decision, Line, Order, codes};
use art::SizeWish;
use garment::{SizePlan, Sizing, read_position, size_plan};
use report::{Finding, Outcome, Severity, Subject, Value};
use trade::{GarmentSize, GarmentStyle, Shop};
use units::Length;

/// Orders in which every print has one width: a line whose art grows with the
/// garment is divided into one line for each set of widths. The first part stays
/// in its place, the others follow the last line, with the same answers; so lines
/// keep their numbers. What it means in transfers to order is in the notes.
///
/// Lines that name an unknown garment, size or position, or art that could not be
/// read, are left as they are: planning says what is wrong with them.
pub fn sized(shop: &Shop, orders: &[Order], arts: &Arts) -> Outcome<Vec<Order>> {
    let mut findings = Vec::new();
    let mut all = orders.to_vec();
    for (at, order) in all.iter_mut().enumerate() {
        for nth in 0..order.lines.len() {
            let subject = Subject { order: Some(at), line: Some(nth), print: None };
            let Some(parts) = divided(shop, &order.lines[nth], arts, subject, &mut findings) else { continue };
            let mut parts = parts.into_iter();
            if let Some(first) = parts.next() {
                order.lines[nth] = first;
            }
            for part in parts {
                let answers = answers_for(order, nth);
                order.lines.push(part);
                order.decisions.extend(answers);
            }
        }
    }
    Outcome { value: all, findings }
}

/// The answers given for a line, for one that is added behind the last.
fn answers_for(order: &Order, line: usize) -> Vec<Decision> {
    let added = order.lines.len();
    let mut all = Vec::new();
    for decision in &order.decisions {
        // A locked piece names a line as the plan counts it, which this is not yet.
        let Decision::Answered { line: of, question, go_on, by } = decision else { continue };
        if *of == line {
            all.push(Decision::Answered { line: added, question: question.clone(), go_on: *go_on, by: by.clone() });
        }
    }
    all
}

fn divided(shop: &Shop, line: &Line, arts: &Arts, subject: Subject, findings: &mut Vec<Finding>) -> Option<Vec<Line>> {
    if line.prints.iter().all(|print| print.sizing.is_none()) {
        return None;
    }
    let style = shop.garment(shop.find_garment(&line.garment)?);
    let sizes: Vec<(&GarmentSize, u32)> =
        line.sizes.iter().map(|size| Some((style.size(&size.size)?, size.count))).collect::<Option<_>>()?;
    let plans: Vec<Option<SizePlan>> = line.prints.iter().map(|print| plan_of(style, &sizes, print, arts)).collect();
    // Sizes with the same width of every print stay together, in the order in which they were written.
    let mut parts: Vec<(Vec<Option<Length>>, Line)> = Vec::new();
    for (at, size) in line.sizes.iter().enumerate() {
        let widths: Vec<Option<Length>> = plans.iter().map(|plan| width_at(plan.as_ref()?, at)).collect();
        match parts.iter_mut().find(|(known, _)| *known == widths) {
            Some((_, part)) => part.sizes.push(size.clone()),
            None => {
                let part = Line { sizes: vec![size.clone()], prints: with_widths(line, &widths), ..line.clone() };
                parts.push((widths, part));
            }
        }
    }
    for (nth, print) in line.prints.iter().enumerate() {
        if let (Some(plan), Some(sizing)) = (&plans[nth], print.sizing) {
            let subject = Subject { print: Some(nth), ..subject };
            findings.extend(told(style, &sizes, print, arts, plan, sizing).map(|finding| finding.about(subject)));
        }
    }
    Some(parts.into_iter().map(|(_, part)| part).collect())
}

fn plan_of(style: &GarmentStyle, sizes: &[(&GarmentSize, u32)], print: &crate::Print, arts: &Arts) -> Option<SizePlan> {
    planned(style, sizes, print, arts, print.sizing?)
}

fn planned(
    style: &GarmentStyle,
    sizes: &[(&GarmentSize, u32)],
    print: &crate::Print,
    arts: &Arts,
    sizing: Sizing,
) -> Option<SizePlan> {
    let position = read_position(&print.position).ok()?;
    let art = arts.get(&print.art, print.remove_background)?.as_ref().ok()?;
    Some(size_plan(style, sizes, position, art.value.aspect(), sizing))
}

fn width_at(plan: &SizePlan, size: usize) -> Option<Length> {
    plan.groups.iter().find(|group| group.sizes.contains(&size)).map(|group| group.width)
}

/// The line's prints with their widths; a size the trade does not print there keeps the file's own.
fn with_widths(line: &Line, widths: &[Option<Length>]) -> Vec<crate::Print> {
    let mut prints = line.prints.clone();
    for (print, width) in prints.iter_mut().zip(widths) {
        if let Some(width) = width {
            print.size = SizeWish::Width(*width);
            print.sizing = None;
        }
    }
    prints
}

/// How many different transfers this asks for, against one size for all.
fn told(
    style: &GarmentStyle,
    sizes: &[(&GarmentSize, u32)],
    print: &crate::Print,
    arts: &Arts,
    plan: &SizePlan,
    sizing: Sizing,
) -> Option<Finding> {
    let other = if sizing == Sizing::OneForAll { Sizing::EachBand } else { Sizing::OneForAll };
    let against = planned(style, sizes, print, arts, other)?;
    let code = if sizing == Sizing::OneForAll { codes::SIZED_ONE } else { codes::SIZED_MANY };
    let groups = |plan: &SizePlan| i64::try_from(plan.groups.len()).unwrap_or(i64::MAX);
    Some(
        Finding::new(Severity::Note, code, codes::SIZED_REMEDY)
            .named("art", print.art.clone())
            .with("different", Value::Count(groups(plan)))
            .with("against", Value::Count(groups(&against)))
            .with("narrowest", Value::Length(plan.groups.first()?.width))
            .with("widest", Value::Length(plan.groups.last()?.width))
            .with("other-narrowest", Value::Length(against.groups.first()?.width))
            .with("other-widest", Value::Length(against.groups.last()?.width)),
    )
}
