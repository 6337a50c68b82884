//! Garments of an invented shop: places, reach, halts.

mod bench;
mod halts;
mod places;
mod reach_by_hand;
