//! A file of the shop.

use crate::record::{Kept, Kind};
use serde::{Deserialize, Serialize};

/// A file of the shop folder; its name is the record's.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct ShopFileForm {
    /// Its text, TOML.
    pub text: String,
}

impl Kept for ShopFileForm {
    const KIND: Kind = Kind::ShopFile;
}
