//! Who may do what.

use crate::routes::Need;
use store::form::Role;

/// Whether a role suffices for what an address needs.
pub fn allows(role: Role, need: Need) -> bool {
    match need {
        Need::Nobody | Need::Link => true,
        Need::Press => true,
        Need::Planner => matches!(role, Role::Planner | Role::Owner),
        Need::Owner => role == Role::Owner,
    }
}
