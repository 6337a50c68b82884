//! The pages, one module a subject. A handler reads what was asked, calls a
//! deed, shows the answer.

pub(crate) mod customer;
pub(crate) mod edit;
pub(crate) mod entry;
pub(crate) mod files;
pub(crate) mod first;
pub(crate) mod heat;
pub(crate) mod left_over;
pub(crate) mod new_order;
pub(crate) mod on_hand;
pub(crate) mod order;
pub(crate) mod people;
pub(crate) mod press;
pub(crate) mod sheet;
pub(crate) mod shelf;
pub(crate) mod shelf_item;
pub(crate) mod standing;
pub(crate) mod today;
pub(crate) mod took;
pub(crate) mod try_place;
