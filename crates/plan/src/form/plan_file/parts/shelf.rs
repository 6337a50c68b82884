//! What is taken from the shelf.

use schemars::JsonSchema;
use serde::Serialize;
use trade::Shop;

/// Things of one place on the shelf.
#[derive(Debug, Serialize, JsonSchema)]
pub(in crate::form::plan_file) struct ShelfFile {
    count: u32,
    /// Where they lie.
    place: String,
    /// Since when, for transfers.
    since: Option<String>,
    /// Size, for garments.
    size: Option<String>,
}

pub(in crate::form::plan_file) fn from_shelf(shop: &Shop, take: crate::ShelfTake) -> Option<ShelfFile> {
    let spare = shop.spare_transfers().get(take.entry)?;
    Some(ShelfFile { count: take.count, place: spare.place.clone(), since: Some(spare.since.to_string()), size: None })
}

pub(in crate::form::plan_file) fn garment_on_hand(shop: &Shop, take: crate::ShelfTake) -> Option<ShelfFile> {
    let spare = shop.spare_garments().get(take.entry)?;
    Some(ShelfFile { count: take.count, place: spare.place.clone(), since: None, size: Some(spare.size.clone()) })
}
