//! The open forms of this room: the order file that people write (TOML) and
//! the plan file that programs read (JSON), each with its schema.

mod order;
mod plan_file;
mod problems;
mod stated;

pub use order::{ORDER_VERSION, order_schema, read_order};
pub use plan_file::{PLAN_VERSION, plan_schema, write_plan};

pub(crate) use order::probably;
