//! Papers that go with the goods or stay beside the press: packing list, care
//! slip, test record.

use super::steps::steps;
use super::{Papers, shown, text};
use crate::form::{Care, CareSlip, Packing, PackingLine, PlaceSheet, Places, Record, RecordPrint};
use crate::{PaperError, PlacePage};
use plan::{LinePlan, LineState, PrintPlan};
use units::Temperature;

pub(crate) fn packing(teller: &Papers<'_>, at: usize) -> Result<Packing, PaperError> {
    let order = teller.order(at)?;
    let pieces = order.lines.iter().map(LinePlan::pieces).fold(0, u32::saturating_add);
    Ok(Packing {
        frame: teller.frame("papers.packing", &order.name),
        customer: shown(&order.customer),
        due: teller.speech.moment(order.due),
        pieces: teller.speech.count(i64::from(pieces)),
        lines: order.lines.iter().map(|line| packed(teller, line)).collect(),
    })
}

fn packed(teller: &Papers<'_>, line: &LinePlan) -> PackingLine {
    let prints = line.prints.iter().map(|print| teller.position(print)).collect::<Vec<_>>();
    PackingLine {
        garment: shown(&line.garment_name),
        colour: shown(&line.colour),
        rgb: line.rgb,
        prints: prints.join(" · "),
        pieces: teller.pieces(line.pieces()),
        sizes: teller.sizes(line),
        state: (line.state != LineState::Planned).then(|| teller.state(line.state)),
    }
}

pub(crate) fn places(teller: &Papers<'_>, at: usize, pages: &[PlacePage]) -> Result<Places, PaperError> {
    let order = teller.order(at)?;
    let sheet = |page: &PlacePage| PlaceSheet {
        svg: page.svg.clone(),
        width_mm: page.width_mm,
        height_mm: page.height_mm,
        alt: shown(&page.description),
    };
    Ok(Places { frame: teller.frame("papers.places", &order.name), pages: pages.iter().map(sheet).collect() })
}

pub(crate) fn care(teller: &Papers<'_>, at: usize) -> Result<Care, PaperError> {
    let order = teller.order(at)?;
    let made = order.lines.iter().filter(|line| line.state == LineState::Planned);
    Ok(Care { frame: teller.frame("papers.care", &order.name), slips: made.map(|line| slip(teller, line)).collect() })
}

fn slip(teller: &Papers<'_>, line: &LinePlan) -> CareSlip {
    let washes = line.prints.iter().filter_map(|print| teller.transfer(print)).map(|transfer| transfer.wash.value);
    let wash = match washes.reduce(Temperature::min) {
        Some(coolest) => teller.say("papers.care-wash", &[text("wash", teller.temperature(coolest))]),
        None => teller.label("papers.care-wash-gentle"),
    };
    let mut advice = vec![teller.label("papers.care-wait"), wash];
    let rest = ["papers.care-bleach", "papers.care-dry", "papers.care-iron", "papers.care-clean", "papers.care-label"];
    advice.extend(rest.iter().map(|code| teller.label(code)));
    CareSlip { garment: shown(&format!("{} · {}", line.garment_name, line.colour)), advice }
}

pub(crate) fn record(teller: &Papers<'_>, at: usize) -> Result<Record, PaperError> {
    let order = teller.order(at)?;
    let mut prints = Vec::new();
    for line in &order.lines {
        prints.extend(line.prints.iter().filter(|print| print.card.is_some()).map(|print| tested(teller, line, print)));
    }
    let entries = [
        "papers.record-temperature",
        "papers.record-time",
        "papers.record-pressure",
        "papers.record-peel",
        "papers.record-press",
        "papers.record-lot",
        "papers.record-garment-lot",
    ];
    let checks = [
        "papers.check-edges",
        "papers.check-stretch",
        "papers.check-marks",
        "papers.check-colour",
        "papers.check-dye",
        "papers.check-wash-1",
        "papers.check-wash-5",
        "papers.check-wash-10",
    ];
    Ok(Record {
        frame: teller.frame("papers.test-record", &order.name),
        on: teller.say("papers.test-on", &[teller.test_on(order)]),
        entries: entries.iter().map(|code| teller.label(code)).collect(),
        checks: checks.iter().map(|code| teller.label(code)).collect(),
        prints,
    })
}

fn tested(teller: &Papers<'_>, line: &LinePlan, print: &PrintPlan) -> RecordPrint {
    let transfer = teller.transfer(print).map(|transfer| shown(&transfer.name)).unwrap_or_default();
    RecordPrint {
        garment: shown(&format!("{} · {}", line.garment_name, line.colour)),
        print: format!("{} · {}", teller.position(print), transfer),
        steps: print.card.as_ref().map_or(Vec::new(), |card| steps(teller, card, None)),
    }
}
