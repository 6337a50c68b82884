//! The open forms of this room: the order file that people write (TOML) and
//! the plan file that programs read (JSON), each with its schema. An order is
//! read and written, and what was written reads as the same order.

mod locked;
mod order;
mod plan_file;
mod problems;
mod stated;
mod write_order;

pub use order::{ORDER_VERSION, order_schema, read_order};
pub use plan_file::{PLAN_VERSION, plan_schema, write_plan};
pub use write_order::write_order;

pub(crate) use order::probably;
