//! What `heat` says.

/// Code and sentence.
pub const SENTENCES: &[(&str, &str)] = &[];
