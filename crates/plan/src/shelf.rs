//! Transfers and garments on hand: what of an order is taken from the shelf
//! before anything is made or bought.
//!
//! A transfer on the shelf stands in for one to be made when it is the same art
//! to the byte, in the same transfer and film, at the same size, and not older
//! than its transfer keeps. It is charged nothing: the order it was made for paid
//! for it. A garment on hand is charged at its supplier's price of today, which
//! is what it takes to replace it, but without carriage.

use crate::codes;
use crate::draft::{LineDraft, PrintDraft};
use crate::layout::Wanted;
use jiff::civil::Date;
use report::{Finding, Severity, Subject, Value};
use trade::{GarmentId, Shop, SpareTransfer, TransferId};

/// Sizes nearer than this are one size, mm: no tape tells them apart.
const SAME_SIZE_MM: f64 = 0.1;

/// So many of one entry of the shop's list of spare transfers, or of garments.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ShelfTake {
    /// Its place in the shop's list.
    pub entry: usize,
    /// How many are taken.
    pub count: u32,
}

/// What lies on the shelf on a day.
#[derive(Debug, Clone)]
pub(crate) struct Shelf<'a> {
    shop: &'a Shop,
    day: Date,
}

/// How many of each entry are left while taking.
pub(crate) struct Left {
    transfers: Vec<u32>,
    garments: Vec<u32>,
}

impl<'a> Shelf<'a> {
    pub fn of(shop: &'a Shop, day: Date) -> Self {
        Self { shop, day }
    }

    /// All that may be used on the day; what is too old counts as none.
    pub fn left(&self) -> Left {
        let usable = |spare: &SpareTransfer| if self.too_old(spare) { 0 } else { spare.count };
        Left {
            transfers: self.shop.spare_transfers().iter().map(usable).collect(),
            garments: self.shop.spare_garments().iter().map(|spare| spare.count).collect(),
        }
    }

    fn too_old(&self, spare: &SpareTransfer) -> bool {
        spare.age_days(self.day) > self.shop.transfer(spare.transfer).keeps_days.value
    }

    /// Entries that could stand in for a print in a transfer and film, the oldest first.
    fn fitting(&self, print: &PrintDraft<'_>, transfer: TransferId, film: Option<&str>) -> Vec<usize> {
        let wish = print.wish;
        // Of these the shelf does not know how they were made.
        if wish.let_cloth_show || wish.remove_background || !wish.stated.is_empty() {
            return Vec::new();
        }
        let hash = print.art.hash().hex();
        let same = |a: units::Length, b: units::Length| (a.mm() - b.mm()).abs() < SAME_SIZE_MM;
        let fits = |spare: &SpareTransfer| {
            spare.transfer == transfer
                && spare.film.as_deref() == film
                && spare.sha256 == hash
                && same(spare.width, print.size.width())
                && same(spare.height, print.size.height())
        };
        let all = self.shop.spare_transfers();
        let mut fitting: Vec<usize> = (0..all.len()).filter(|at| fits(&all[*at])).collect();
        fitting.sort_by_key(|at| (all[*at].since, *at));
        fitting
    }

    /// Takes up to `pieces` transfers for a print out of what is left, the oldest first.
    pub fn take(
        &self,
        left: &mut Left,
        print: &PrintDraft<'_>,
        (transfer, film): (TransferId, Option<&str>),
        pieces: u32,
    ) -> Vec<ShelfTake> {
        take(&mut left.transfers, self.fitting(print, transfer, film), pieces)
    }

    /// What is still to be made of what is wanted, and what is taken from the shelf for which print.
    pub fn first<'b>(&self, wanted: Vec<Wanted<'b>>) -> (Vec<Wanted<'b>>, Vec<(Subject, ShelfTake)>) {
        let (mut left, mut taken, mut to_make) = (self.left(), Vec::new(), Vec::new());
        for mut want in wanted {
            // What is laid of several films is not kept as one.
            if !want.is_layered() {
                let from = (want.transfer, want.colour.as_deref());
                for one in self.take(&mut left, want.print, from, want.pieces) {
                    want.pieces -= one.count;
                    taken.push((want.subject, one));
                }
            }
            if want.pieces > 0 {
                to_make.push(want);
            }
        }
        (to_make, taken)
    }

    /// Takes up to `count` garments of a style, colour and size out of what is left.
    pub fn garments(
        &self,
        left: &mut Left,
        (garment, colour, size): (GarmentId, &str, &str),
        count: u32,
    ) -> Vec<ShelfTake> {
        let all = self.shop.spare_garments();
        let fits = |at: &usize| (all[*at].garment, &*all[*at].colour, &*all[*at].size) == (garment, colour, size);
        take(&mut left.garments, (0..all.len()).filter(fits).collect(), count)
    }

    /// What is taken from the shelf, in words for each print; and what is too old to be.
    pub fn told(&self, lines: &[LineDraft<'_>], taken: &[(Subject, ShelfTake)]) -> Vec<Finding> {
        let all = self.shop.spare_transfers();
        let mut findings: Vec<Finding> = taken
            .iter()
            .filter_map(|(subject, take)| {
                let spare = all.get(take.entry)?;
                let finding = Finding::new(Severity::Note, codes::FROM_SHELF, codes::FROM_SHELF_REMEDY);
                Some(self.named(finding, spare, take.count).about(*subject))
            })
            .collect();
        for (print, spare) in lines.iter().flat_map(|line| &line.prints).flat_map(|print| {
            let hash = print.art.hash().hex();
            let old = move |spare: &&SpareTransfer| spare.sha256 == hash && self.too_old(spare);
            all.iter().filter(old).map(move |spare| (print, spare))
        }) {
            let keeps = i64::from(self.shop.transfer(spare.transfer).keeps_days.value);
            let finding = Finding::new(Severity::Note, codes::SHELF_TOO_OLD, codes::SHELF_TOO_OLD_REMEDY)
                .with("days", Value::Count(keeps));
            findings.push(self.named(finding, spare, spare.count).about(print.subject));
        }
        findings
    }

    fn named(&self, finding: Finding, spare: &SpareTransfer, count: u32) -> Finding {
        finding
            .with("count", Value::Count(i64::from(count)))
            .named("art", spare.art.clone())
            .named("transfer", self.shop.transfer(spare.transfer).name.clone())
            .named("place", place(&spare.place))
            .with("since", Value::Date(spare.since))
    }

    /// What garments are taken for a line, in words.
    pub fn told_garments(&self, subject: Subject, taken: &[ShelfTake]) -> Vec<Finding> {
        let all = self.shop.spare_garments();
        let told = |take: &ShelfTake| {
            let spare = all.get(take.entry)?;
            let name = &self.shop.garment(spare.garment).name;
            Some(
                Finding::new(Severity::Note, codes::GARMENTS_ON_HAND, codes::GARMENTS_ON_HAND_REMEDY)
                    .with("count", Value::Count(i64::from(take.count)))
                    .named("garment", format!("{name}, {}, {}", spare.colour, spare.size))
                    .named("place", place(&spare.place))
                    .about(subject),
            )
        };
        taken.iter().filter_map(told).collect()
    }
}

fn take(left: &mut [u32], entries: Vec<usize>, wanted: u32) -> Vec<ShelfTake> {
    let (mut wanted, mut taken) = (wanted, Vec::new());
    for entry in entries {
        let Some(there) = left.get_mut(entry) else { continue };
        let count = wanted.min(*there);
        if count > 0 {
            *there -= count;
            wanted -= count;
            taken.push(ShelfTake { entry, count });
        }
    }
    taken
}

fn place(place: &str) -> String {
    if place.is_empty() { "–".to_owned() } else { place.to_owned() }
}
