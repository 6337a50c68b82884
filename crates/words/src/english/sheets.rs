//! What `sheets` says.

/// Code and sentence.
pub const SENTENCES: &[(&str, &str)] = &[];
