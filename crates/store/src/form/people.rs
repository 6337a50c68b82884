//! People who sign in, and links for customers.

use crate::record::{Kept, Kind};
use serde::{Deserialize, Serialize};

/// What a person may do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Role {
    /// Everything.
    Owner,
    /// Orders, plans, shelf.
    Planner,
    /// The press side.
    Press,
}

/// A person who signs in; the record's name is the sign-in name.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct AccountForm {
    /// The name shown.
    pub name: String,
    /// What they may do.
    pub role: Role,
    /// The hashed password with its parameters, never the password.
    pub password: String,
    /// Whether they may sign in.
    pub active: bool,
}

/// A link by which a customer sees one quote; the record's name is the hash of its secret.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct LinkForm {
    /// The order.
    pub order: String,
    /// When it was made, milliseconds since the beginning of 1970, UTC.
    pub made_ms: i64,
    /// Whether it was taken back.
    pub revoked: bool,
}

impl Kept for AccountForm {
    const KIND: Kind = Kind::Account;
}

impl Kept for LinkForm {
    const KIND: Kind = Kind::Link;
}
