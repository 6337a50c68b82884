//! (laid out; filled next)
