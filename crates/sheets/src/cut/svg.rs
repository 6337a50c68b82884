//! SVG at true size, standing like the print file of the same sheet: x of the film runs
//! down, y to the right.

use super::{CutKind, CutPlan};
use geometry::Point;
use std::fmt::Write;

/// Whether a cut stands in a group.
type Belongs = fn(CutKind) -> bool;

/// The plan as SVG; every cut is an open path, its closing overlap drawn out.
pub fn cut_svg(plan: &CutPlan) -> String {
    let (w, h) = (number(plan.width_mm), number(plan.length_mm));
    let mut text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\">\n\
         <title>{}</title>\n",
        escaped(&plan.title())
    );
    let groups: [(&str, &str, Belongs); 3] = [
        ("marks", "#3C4F9E", |kind| kind == CutKind::Mark),
        ("cut", "#000000", |kind| matches!(kind, CutKind::Contour { .. })),
        ("weed", "#1F6B4F", |kind| matches!(kind, CutKind::Split | CutKind::Frame)),
    ];
    for (name, colour, belongs) in groups {
        let paths: Vec<_> = plan.paths.iter().filter(|p| belongs(p.kind)).collect();
        if paths.is_empty() {
            continue;
        }
        let _ = writeln!(text, "<g id=\"{name}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"0.1\">");
        for path in paths {
            let title = match path.kind {
                CutKind::Contour { piece } => plan.labels.get(piece).map_or("", String::as_str),
                _ => "",
            };
            let _ = write!(text, "<path d=\"{}\"", data(&path.points));
            let _ = match title {
                "" => writeln!(text, "/>"),
                title => writeln!(text, "><title>{}</title></path>", escaped(title)),
            };
        }
        text.push_str("</g>\n");
    }
    if !plan.printed_marks.is_empty() {
        text.push_str("<g id=\"printed-marks\" fill=\"#23262D\">\n");
        for mark in &plan.printed_marks {
            let _ = writeln!(text, "<path d=\"{}Z\"/>", data(mark));
        }
        text.push_str("</g>\n");
    }
    text.push_str("</svg>\n");
    text
}

fn data(points: &[Point]) -> String {
    let mut data = String::new();
    for (at, p) in points.iter().enumerate() {
        let _ = write!(data, "{}{} {}", if at == 0 { "M" } else { "L" }, number(p.y), number(p.x));
    }
    data
}

fn number(mm: f64) -> String {
    let text = format!("{mm:.4}");
    text.trim_end_matches('0').trim_end_matches('.').into()
}

fn escaped(text: &str) -> String {
    let plain: String = text.chars().filter(|c| !c.is_control()).collect();
    plain.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}
