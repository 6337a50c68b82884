//! What was taken for granted when an order was typed, and how much of it still stands.

use super::{Deed, Kept, KeptOrder};
use art::SizeWish;
use plan::typed::ART_TO_COME;
use plan::{Line, Order, Print, codes};
use report::{Code, Finding, Value};
use store::Stamp;
use store::form::{Assumed, AssumedOf};
use units::Length;

/// What these notes on typed lines took for granted, each where it stands in the order.
///
/// Notes of other codes are passed over.
pub fn assumed_of(order: &Order, notes: &[Finding]) -> Vec<Assumed> {
    let mut all: Vec<Assumed> = Vec::new();
    for note in notes {
        let Some(of) = of_code(note.code) else { continue };
        let at = note.subject.line.unwrap_or(0);
        let Some(line) = order.lines.get(at) else { continue };
        let print = match of {
            AssumedOf::Garment | AssumedOf::Colour | AssumedOf::Size => None,
            // The first that it may be about and that has no such note yet.
            _ => {
                let noted = |nth: usize| all.iter().any(|one| (one.line, one.print) == (at, Some(nth)) && one.of == of);
                let mut prints = line.prints.iter().enumerate();
                let found = prints.find(|(nth, print)| !noted(*nth) && is_about(note, of, print));
                let Some((nth, _)) = found else { continue };
                Some(nth)
            }
        };
        let of_print = print.and_then(|nth| line.prints.get(nth));
        if let Some(taken) = said(of, line, of_print) {
            all.push(Assumed { line: at, print, of, taken });
        }
    }
    all
}

fn of_code(code: Code) -> Option<AssumedOf> {
    let all = [
        (codes::TYPED_STYLE, AssumedOf::Garment),
        (codes::TYPED_COLOUR, AssumedOf::Colour),
        (codes::TYPED_SIZE, AssumedOf::Size),
        (codes::TYPED_PLACE, AssumedOf::Place),
        (codes::TYPED_WIDTH, AssumedOf::Width),
        (codes::TYPED_ART, AssumedOf::Art),
        (codes::TYPED_ART_TO_COME, AssumedOf::ArtToCome),
    ];
    all.into_iter().find(|(known, _)| *known == code).map(|(_, of)| of)
}

fn is_about(note: &Finding, of: AssumedOf, print: &Print) -> bool {
    let value = |name: &str| note.quantities.iter().find(|named| named.name == name).map(|named| &named.value);
    match of {
        AssumedOf::Width => {
            let position = garment::read_position(&print.position).map(|position| Value::Term(position.term()));
            let width = match print.size {
                SizeWish::Width(width) => Some(Value::Length(width)),
                _ => None,
            };
            value("position") == position.ok().as_ref() && value("width") == width.as_ref()
        }
        AssumedOf::Art => value("art") == Some(&Value::Text(print.art.clone())),
        AssumedOf::ArtToCome => print.art == ART_TO_COME,
        _ => true,
    }
}

/// What an order says now of what was not said; `None` where it says something of another kind.
fn said(of: AssumedOf, line: &Line, print: Option<&Print>) -> Option<String> {
    Some(match of {
        AssumedOf::Garment => line.garment.clone(),
        AssumedOf::Colour => line.colour.clone(),
        AssumedOf::Size => match &line.sizes[..] {
            [one] => one.size.clone(),
            _ => return None,
        },
        AssumedOf::Place => print?.position.clone(),
        AssumedOf::Width => match print?.size {
            SizeWish::Width(width) => tenths(width),
            _ => return None,
        },
        AssumedOf::Art | AssumedOf::ArtToCome => print?.art.clone(),
    })
}

/// A width as it is kept: to a tenth of a millimetre, as the order's text has it.
fn tenths(width: Length) -> String {
    format!("{:.1}", width.mm())
}

impl KeptOrder {
    /// What was taken for granted and still stands as it was taken.
    pub fn assumed(&self) -> Vec<&Assumed> {
        let Ok(order) = &self.order else { return Vec::new() };
        let stands = |one: &&Assumed| {
            let Some(line) = order.lines.get(one.line) else { return false };
            let print = one.print.and_then(|nth| line.prints.get(nth));
            said(one.of, line, print).is_some_and(|now| now == one.taken)
        };
        self.form.assumed.iter().filter(stands).collect()
    }
}

impl Kept {
    /// A person says that all that was taken for granted is meant so; art that has not come stays open.
    pub fn confirm_assumed(&self, id: &str, on: i64, hand: &Stamp) -> Deed<i64> {
        self.change_form(id, on, "what was taken as usual is right", hand, |form| {
            form.assumed.retain(|one| one.of == AssumedOf::ArtToCome);
            Ok(())
        })
    }
}
