//! Repairs of art within an order: seen before and after, accepted, taken back.
//!
//! A repaired file lies beside the one that came, named after it and the repair
//! (`art/kite.thicken.svg`), and the print names it; taking the repair back names
//! the customer's own again. Removing the box behind art is how a file is read
//! and makes no file of its own.

use super::orders::KeptOrder;
use super::{Deed, DeedError, Kept};
use crate::art_pictures::{art_file, box_picture, repair_picture};
use crate::art_reader::read_art;
use crate::codes;
use art::{CleanArt, KindLimits, PrintSize, ReadOptions, Repair, SizeWish};
use plan::Print;
use report::{Finding, Severity};
use store::Stamp;
use trade::Shop;
use words::Speech;

/// Which print: its line and its number, from 0.
type At = (usize, usize);

const BACKGROUND: &str = "background";

/// The repair that an art file's name tells of, `thicken`; `None` for a file as it came.
pub fn repair_of(art: &str) -> Option<&'static str> {
    let (rest, _) = art.rsplit_once('.')?;
    let (_, word) = rest.rsplit_once('.')?;
    Repair::ALL.into_iter().map(name_of).find(|name| *name == word)
}

fn name_of(repair: Repair) -> &'static str {
    repair.code().0.trim_start_matches("art.repair-")
}

fn repair_named(name: &str) -> Result<Repair, Finding> {
    let unknown =
        || Finding::new(Severity::StopsLine, codes::REPAIR_UNKNOWN, codes::REPAIR_UNKNOWN_REMEDY).named("name", name);
    Repair::ALL.into_iter().find(|repair| name_of(*repair) == name).ok_or_else(unknown)
}

/// `art/kite.svg` as `art/kite`; what an earlier repair added stays, so that repairs can follow one another.
fn stem(art: &str) -> &str {
    art.rsplit_once('.').map_or(art, |(stem, _)| stem)
}

/// A print's art as it is and as it would be.
struct Case {
    before: CleanArt,
    after: CleanArt,
    size: PrintSize,
}

impl Kept {
    /// The art of a print before and after a repair, as a picture.
    ///
    /// Refuses a repair that is none or does not suit the art. Cost: the art is read once or twice.
    pub fn repair_picture(&self, order: &KeptOrder, at: At, name: &str, speech: &Speech) -> Deed<String> {
        let print = print_of(order, at)?;
        let case = self.case(order, at, name)?;
        let picture = match name {
            BACKGROUND => box_picture(&case.before, &case.after, case.size, speech),
            _ => repair_picture(&case.before, &case.after, case.size, speech),
        };
        Ok(picture.ok_or_else(|| unsuited(print))?)
    }

    /// Accepts a repair for a print.
    pub fn accept_repair(&self, id: &str, on: i64, at: At, name: &str, hand: &Stamp) -> Deed<i64> {
        let order = self.order(id)?;
        let print = print_of(&order, at)?.clone();
        if name == BACKGROUND {
            return self.edit_order(id, on, "box removed", hand, |order| {
                with_print(order, at, |print| print.remove_background = true)
            });
        }
        let case = self.case(&order, at, name)?;
        let (ending, bytes) = art_file(&case.after).ok_or_else(|| unsuited(&print))?;
        let file = format!("{}.{name}.{ending}", stem(&print.art));
        super::orders::check_art(&order.form, &file, &bytes)?;
        let kept = self.keep_bytes(bytes)?;
        self.change_form(id, on, "repair accepted", hand, |form| {
            let mut order = plan::form::read_order(super::orders::ORDER_FILE, &form.text).map_err(DeedError::Faults)?;
            with_print(&mut order, at, |print| {
                print.art.clone_from(&file);
                // The box is gone from the new file already.
                print.remove_background = false;
                if print.size == SizeWish::AsFile && print.sizing.is_none() {
                    print.size = SizeWish::Width(case.size.width());
                }
            })?;
            form.text = plan::form::write_order(&order);
            form.art.insert(file.clone(), kept);
            Ok(())
        })
    }

    /// Takes a repair back: the print names the file it was made from.
    pub fn withdraw_repair(&self, id: &str, on: i64, at: At, name: &str, hand: &Stamp) -> Deed<i64> {
        let order = self.order(id)?;
        let print = print_of(&order, at)?;
        if name == BACKGROUND {
            return self.edit_order(id, on, "box put back", hand, |order| {
                with_print(order, at, |print| print.remove_background = false)
            });
        }
        let from = print.art.strip_suffix(print.art.rsplit('.').next().unwrap_or("")).unwrap_or("");
        let own = from.strip_suffix(&format!(".{name}.")).unwrap_or("");
        let file = order.form.art.keys().find(|known| !own.is_empty() && stem(known) == own).cloned();
        let file =
            file.ok_or_else(|| DeedError::Missing { what: format!("the file that {} was made from", print.art) })?;
        self.edit_order(id, on, "repair taken back", hand, |order| {
            with_print(order, at, |print| print.art.clone_from(&file))
        })
    }

    fn case(&self, order: &KeptOrder, at: At, name: &str) -> Deed<Case> {
        let print = print_of(order, at)?;
        let shop = self.shop()?;
        let bytes = self.art_bytes(&order.id, &print.art)?;
        let read = |remove_background| {
            let options = ReadOptions { remove_background, ..ReadOptions::default() };
            read_art(&print.art, &bytes, &options).map(|read| read.value)
        };
        if name == BACKGROUND {
            let (before, after) = (read(false)?, read(true)?);
            let size = self.size_of(order, at, &before)?;
            return Ok(Case { before, after, size });
        }
        let repair = repair_named(name)?;
        let before = read(print.remove_background)?;
        let size = self.size_of(order, at, &before)?;
        let limits = self.limits(&shop.value, order, at).ok_or_else(|| unsuited(print))?;
        let after = art::repaired(&before, repair, size, &limits)?.value;
        Ok(Case { before, after, size })
    }

    /// How large a print is: as it was planned, else as it is wished for.
    fn size_of(&self, order: &KeptOrder, at: At, art: &CleanArt) -> Deed<PrintSize> {
        let planned = self.made(order, at)?.and_then(|made| made.width_mm).and_then(units::Length::from_mm);
        let wish = planned.map_or(print_of(order, at)?.size, SizeWish::Width);
        Ok(art.size(wish)?)
    }

    fn made(&self, order: &KeptOrder, (line, print): At) -> Deed<Option<store::form::MadePrint>> {
        let Some(plan) = self.plan_of(&order.id)? else { return Ok(None) };
        let made = plan.facts(&order.id).and_then(|facts| facts.lines.get(line)?.prints.get(print)).cloned();
        Ok(made)
    }

    /// What the transfer needs that the print is planned or wished in.
    fn limits(&self, shop: &Shop, order: &KeptOrder, at: At) -> Option<KindLimits> {
        let line = order.order.as_ref().ok()?.lines.get(at.0)?;
        let style = shop.garment(shop.find_garment(&line.garment)?);
        let cloth = shop.cloth(style.colour(&line.colour)?.cloth);
        let planned = self.made(order, at).ok().flatten().and_then(|made| made.transfer);
        let name = planned.or_else(|| line.prints.get(at.1)?.transfer.clone());
        // Where nothing is taken, the most delicate on the shelf stands for all.
        let transfer = name.and_then(|name| shop.find_transfer(&name)).or_else(|| {
            let finest = shop.transfers().max_by(|(_, a), (_, b)| {
                let line = |transfer: &trade::Transfer| transfer.minimums.value.line.mm();
                line(a).total_cmp(&line(b))
            });
            finest.map(|(id, _)| id)
        })?;
        Some(plan::kind_limits(shop.transfer(transfer), cloth))
    }
}

fn print_of(order: &KeptOrder, (line, print): At) -> Deed<&Print> {
    let read = order.order.as_ref().map_err(|faults| DeedError::Faults(faults.clone()))?;
    let found = read.lines.get(line).and_then(|line| line.prints.get(print));
    found.ok_or_else(|| DeedError::Missing { what: format!("such a print of order {}", order.id) })
}

fn with_print(order: &mut plan::Order, (line, print): At, change: impl FnOnce(&mut Print)) -> Result<(), Finding> {
    let missing = || Finding::new(Severity::StopsLine, codes::REPAIR_UNKNOWN, codes::REPAIR_UNKNOWN_REMEDY);
    let print = order.lines.get_mut(line).and_then(|line| line.prints.get_mut(print)).ok_or_else(missing)?;
    change(print);
    Ok(())
}

fn unsuited(print: &Print) -> Finding {
    Finding::new(Severity::StopsLine, codes::REPAIR_UNKNOWN, codes::REPAIR_UNKNOWN_REMEDY)
        .named("name", print.art.clone())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_repaired_files_name_tells_its_repair() {
        let cases = [
            ("art/kite.svg", None),
            ("art/kite.thicken.svg", Some("thicken")),
            ("art/kite.thicken.gaps.svg", Some("gaps")),
            ("art/thicken.svg", None),
            ("art/kite.final.svg", None),
            ("kite", None),
        ];
        for (name, repair) in cases {
            assert_eq!(repair_of(name), repair, "{name}");
        }
        for repair in Repair::ALL {
            assert_eq!(repair_named(name_of(repair)), Ok(repair));
        }
        assert!(repair_named("background").is_err() && repair_named("").is_err());
    }
}
