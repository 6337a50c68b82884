//! What goes wrong in a shop, done for real: programs ended at any moment, disks
//! full or read-only, databases locked or gone, many at once, hosts that die.
//! Whatever was acknowledged is there afterwards, and nothing is half-written.

#[path = "../../../store/tests/server/mod.rs"]
mod server;

mod common;
mod disks;
mod hosts;
mod kills;
mod writers;
