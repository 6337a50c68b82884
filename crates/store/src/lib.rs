//! What a shop keeps: orders, art and files, the shop's facts, plans, evidence,
//! stock, jobs – in one SQLite file, or in a PostgreSQL database that several
//! stations share. The same statements run on both.
//!
//! In: values, with who and when given by the caller ([`Stamp`]); this room has
//! no clock and makes no names. Out: the same values again, each with a version
//! number. Every change of a record is kept and can be undone; a change against
//! an older version than the kept one is refused as a conflict, never merged in
//! silence. Bytes are kept once by their SHA-256 and never change.
//!
//! Calls block until the database has answered; a change that returned is on
//! the disk. Reading order: `database` (opening), `schema`, `record` (the one
//! way a change is made), `blob`, `list`, `link`, `job`, `slip`, `check`, `copy`, and
//! `form`, the kept forms.

mod blob;
mod check;
mod copy;
mod database;
mod digest;
mod error;
pub mod form;
mod job;
mod link;
mod list;
mod record;
mod schema;
mod slip;

pub use blob::{Blob, hash_of};
pub use check::Fault;
pub use database::{Place, Store};
pub use error::StoreError;
pub use job::{Job, JobState, Running, Told};
pub use list::{Listed, Sieve};
pub use record::{Change, Guard, Kept, Kind, Record, Stamp, Write};
pub use schema::SCHEMA;
pub use slip::Slip;
