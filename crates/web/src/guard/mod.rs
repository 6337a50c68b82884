//! The door: what a request must show before a handler sees it.
//!
//! In order: its host is one of ours (against names that a stranger points at
//! this machine), its sender does not knock too often, it has a session where
//! the address asks for one, the session's role suffices, and a change comes
//! from one of our own pages (origin) with the session's own token.

mod headers;
mod hosts;
mod limit;
mod password;
mod role;
mod secret;
mod session;

pub(crate) use headers::{guarded, picture_policy};
pub use hosts::Hosts;
pub(crate) use limit::Door;
pub use limit::Limits;
pub use password::{PasswordFault, hash_password, password_fits};
pub use role::allows;
pub use secret::{Secret, same};
pub use session::{Session, Sessions};
