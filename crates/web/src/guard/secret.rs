//! Secrets: 128 bits from the system, kept only as their hash.

use sha2::{Digest as _, Sha256};
use std::fmt;

/// A secret that is shown once.
#[derive(Clone, PartialEq, Eq)]
pub struct Secret(String);

impl Secret {
    /// A new one; `None` where the system gives no random bytes.
    pub fn new() -> Option<Self> {
        let mut bytes = [0_u8; 16];
        getrandom::fill(&mut bytes).ok()?;
        Some(Self(bytes.iter().map(|byte| format!("{byte:02x}")).collect()))
    }

    /// A secret as it came back; `None` when it cannot be one.
    pub fn of(text: &str) -> Option<Self> {
        let fits = text.len() == 32 && text.bytes().all(|byte| matches!(byte, b'0'..=b'9' | b'a'..=b'f'));
        fits.then(|| Self(text.to_owned()))
    }

    /// The secret itself, to be handed out.
    pub fn shown(&self) -> &str {
        &self.0
    }

    /// What is kept of it: its SHA-256.
    pub fn hash(&self) -> String {
        Sha256::digest(self.0.as_bytes()).iter().map(|byte| format!("{byte:02x}")).collect()
    }
}

impl fmt::Debug for Secret {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Secret(…)")
    }
}

/// Whether two texts are the same, in a time that does not tell where they differ.
pub fn same(a: &str, b: &str) -> bool {
    let differ = a.bytes().zip(b.bytes()).fold(0_u8, |differ, (a, b)| differ | (a ^ b));
    a.len() == b.len() && differ == 0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn secrets_are_long_different_and_not_shown_by_accident() {
        let (a, b) = (Secret::new().expect("random"), Secret::new().expect("random"));
        assert_ne!(a.shown(), b.shown());
        // 32 hexadecimal digits are 128 bits.
        assert_eq!((a.shown().len(), a.hash().len()), (32, 64));
        assert!(!format!("{a:?}").contains(a.shown()));
        assert_eq!(Secret::of(a.shown()).map(|again| again.hash()), Some(a.hash()));
        for not in ["", "x", &"g".repeat(32), &"A".repeat(32), &"a".repeat(33)] {
            assert_eq!(Secret::of(not), None, "{not}");
        }
        // SHA-256 of 32 noughts as text, by coreutils sha256sum.
        let zero = Secret::of(&"0".repeat(32)).expect("a secret");
        assert_eq!(zero.hash(), "84e0c0eafaa95a34c293f278ac52e45ce537bab5e752a00e6959a13ae103b65a");
    }

    #[test]
    fn sameness() {
        assert!(same("", "") && same("abc", "abc"));
        assert!(!same("abc", "abd") && !same("abc", "ab") && !same("ab", "abc"));
    }
}
