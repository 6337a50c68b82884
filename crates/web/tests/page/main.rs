//! The page from outside: what a request must show, and the daily path.

mod after;
mod common;
mod door;
mod path;
mod said;
