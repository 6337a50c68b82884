//! Passwords: Argon2id with 19 MiB, two passes, one lane (OWASP Password Storage
//! Cheat Sheet), kept as the text that names its own parameters.

use argon2::password_hash::phc::PasswordHash;
use argon2::password_hash::{PasswordHasher as _, PasswordVerifier as _};
use argon2::{Algorithm, Argon2, Params, Version};

/// Why a password is not taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PasswordFault {
    /// Fewer than twelve characters.
    Short,
    /// More than 200.
    Long,
    /// The machine gave no random bytes or no memory.
    Machine,
}

const SHORTEST: usize = 12;
const LONGEST: usize = 200;

fn argon() -> Option<Argon2<'static>> {
    Some(Argon2::new(Algorithm::Argon2id, Version::V0x13, Params::new(19 * 1024, 2, 1, None).ok()?))
}

/// The hash to keep. Cost: some 20 ms and 19 MiB.
pub fn hash_password(password: &str) -> Result<String, PasswordFault> {
    match password.chars().count() {
        count if count < SHORTEST => return Err(PasswordFault::Short),
        count if count > LONGEST => return Err(PasswordFault::Long),
        _ => {}
    }
    let hash = argon().and_then(|argon| argon.hash_password(password.as_bytes()).ok());
    hash.map(|hash: PasswordHash| hash.to_string()).ok_or(PasswordFault::Machine)
}

/// Whether the password belongs to a kept hash. Takes as long for no account
/// (`None`) as for one, so that names cannot be guessed by the clock.
pub fn password_fits(password: &str, kept: Option<&str>) -> bool {
    // Of a password nobody has; only the time it takes matters.
    const NOBODY: &str = "$argon2id$v=19$m=19456,t=2,p=1$bm9ib2R5bm9ib2R5$\
                          9sCBpMHUJPyfVAPNeGNlbK2bNcN0GVE9f3zBbYx9mI0";
    let Some(argon) = argon() else { return false };
    let Ok(hash) = PasswordHash::new(kept.unwrap_or(NOBODY)) else { return false };
    let long = password.chars().count() > LONGEST;
    !long && argon.verify_password(password.as_bytes(), &hash).is_ok() && kept.is_some()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_password_fits_its_own_hash_only() {
        let kept = hash_password("kites over the river").expect("hashed");
        assert!(kept.starts_with("$argon2id$v=19$m=19456,t=2,p=1$"), "{kept}");
        assert!(password_fits("kites over the river", Some(&kept)));
        assert!(!password_fits("kites over the rivet", Some(&kept)));
        assert!(!password_fits("kites over the river", None) && !password_fits("", Some("no hash")));
        assert_ne!(hash_password("kites over the river").expect("hashed"), kept, "salted");
        assert_eq!(hash_password("short"), Err(PasswordFault::Short));
        assert_eq!(hash_password(&"x".repeat(500)), Err(PasswordFault::Long));
    }
}
