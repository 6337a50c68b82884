//! The page a shop works in.
