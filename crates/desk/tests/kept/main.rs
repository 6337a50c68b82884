//! A kept shop as people use it, the same stories on SQLite and on PostgreSQL.

mod care;
mod common;
mod history;
mod jobs;
mod orders;
mod sentences;
mod sheets;
mod shelf;
mod shop;
mod standing;
