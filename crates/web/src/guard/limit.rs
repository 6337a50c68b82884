//! How often one sender may knock.

use std::collections::BTreeMap;
use std::net::IpAddr;
use std::sync::Mutex;

/// Counts by sender within a minute.
#[derive(Debug, Default)]
pub struct Limits {
    all: Mutex<BTreeMap<(IpAddr, Door), (i64, u32)>>,
}

/// What is knocked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Door {
    /// Any page.
    Page,
    /// Signing in, where guessing would pay.
    SignIn,
    /// A customer's link, likewise.
    Link,
}

/// Senders that are remembered; beyond them the oldest minute is forgotten.
const MOST_SENDERS: usize = 20_000;
const MINUTE_MS: i64 = 60_000;

impl Door {
    /// Knocks a minute.
    fn most(self) -> u32 {
        match self {
            // A page loads a few dozen pictures at once.
            Self::Page => 3000,
            Self::SignIn => 10,
            Self::Link => 120,
        }
    }
}

impl Limits {
    /// Counts a knock; `false` when it is one too many.
    pub fn admits(&self, from: IpAddr, door: Door, now_ms: i64) -> bool {
        let Ok(mut all) = self.all.lock() else { return false };
        if all.len() >= MOST_SENDERS {
            all.retain(|_, (since, _)| now_ms - *since < MINUTE_MS);
        }
        if all.len() >= MOST_SENDERS && !all.contains_key(&(from, door)) {
            return false;
        }
        let (since, count) = all.entry((from, door)).or_insert((now_ms, 0));
        if now_ms - *since >= MINUTE_MS || now_ms < *since {
            (*since, *count) = (now_ms, 0);
        }
        *count = count.saturating_add(1);
        *count <= door.most()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn guessing_is_slowed_and_forgiven_after_a_minute() {
        let limits = Limits::default();
        let (one, other) = (IpAddr::from([192, 0, 2, 1]), IpAddr::from([192, 0, 2, 2]));
        let admitted = (0..15).filter(|_| limits.admits(one, Door::SignIn, 1000)).count();
        assert_eq!(admitted, 10);
        assert!(limits.admits(other, Door::SignIn, 1000), "others are not held up");
        assert!(limits.admits(one, Door::Page, 1000), "nor other doors");
        assert!(limits.admits(one, Door::SignIn, 61_000));
    }
}
