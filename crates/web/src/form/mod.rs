//! Forms that are read here: the published plan file, as far as pages show it.

pub(crate) mod plan;
pub(crate) mod shelf_entry;
