//! Why a paper cannot be made.

use std::fmt;

/// Why a paper cannot be made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PaperError {
    /// The plan has no order of this index, from 0.
    NoSuchOrder {
        /// Asked for.
        order: usize,
        /// How many the plan has.
        orders: usize,
    },
    /// The order has no line of this index, from 0.
    NoSuchLine {
        /// Asked for.
        line: usize,
        /// How many the order has.
        lines: usize,
    },
    /// Text too long for the square code on the ticket.
    CodeTooLong,
    /// Template and data do not fit: a fault of ours, with its place.
    OwnFault(String),
}

impl fmt::Display for PaperError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoSuchOrder { order, orders } => {
                write!(f, "there is no order {} in the plan; its orders: {orders}", order.saturating_add(1))
            }
            Self::NoSuchLine { line, lines } => {
                write!(f, "there is no line {} in the order; its lines: {lines}", line.saturating_add(1))
            }
            Self::CodeTooLong => write!(f, "the order's name is too long for the code on the ticket; shorten it"),
            Self::OwnFault(what) => write!(f, "the paper could not be set, which is our own fault: {what}"),
        }
    }
}

impl std::error::Error for PaperError {}
