//! Files written by this room, read back by libraries that are not ours.

mod common;
mod cut;
mod outside;
mod print;
