//! The page from outside: what a request must show, and the daily path.

mod common;
mod door;
mod path;
mod said;
