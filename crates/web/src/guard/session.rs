//! Sessions: kept in the store as slips under the hash of their secret.

use super::Secret;
use serde::{Deserialize, Serialize};
use store::form::{AccountForm, Role};
use store::{Slip, Store, StoreError};

/// Who is at the other end.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Session {
    /// The name that changes bear.
    pub who: String,
    /// What they may do.
    pub role: Role,
    /// The account they signed in with; none for who opened the printed address on this machine.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub account: Option<String>,
    /// What every change from this session carries.
    pub token: String,
}

/// The kinds of slip kept here.
const SESSION: &str = "session";
const LAUNCH: &str = "launch";

/// How long an address printed at the start can be used, once.
const LAUNCH_MS: i64 = 30 * 60 * 1000;
/// A session on this machine alone, and one from elsewhere.
const HERE_MS: i64 = 30 * 24 * 3600 * 1000;
const ELSEWHERE_MS: i64 = 12 * 3600 * 1000;

/// Sessions of a store.
#[derive(Debug, Clone, Copy)]
pub struct Sessions<'a> {
    /// Where they are kept.
    pub store: &'a Store,
    /// Now, milliseconds since the beginning of 1970, UTC.
    pub now_ms: i64,
    /// Whether the page is reached from other machines.
    pub beyond: bool,
}

impl Sessions<'_> {
    /// A token that opens one session within the next half hour.
    pub fn launch(&self) -> Result<Option<Secret>, StoreError> {
        let Some(secret) = Secret::new() else { return Ok(None) };
        self.store.clear_slips(self.now_ms)?;
        let ends_ms = self.now_ms.saturating_add(LAUNCH_MS);
        self.store.put_slip(&Slip { kind: LAUNCH.into(), id: secret.hash(), body: String::new(), ends_ms })?;
        Ok(Some(secret))
    }

    /// Uses up a launch token.
    pub fn use_launch(&self, token: &Secret) -> Result<bool, StoreError> {
        Ok(self.store.take_slip(LAUNCH, &token.hash(), self.now_ms)?.is_some())
    }

    /// Begins a session; its secret goes into the cookie.
    pub fn begin(&self, who: &str, role: Role, account: Option<String>) -> Result<Option<Secret>, StoreError> {
        let (Some(secret), Some(token)) = (Secret::new(), Secret::new()) else { return Ok(None) };
        let session = Session { who: who.to_owned(), role, account, token: token.shown().to_owned() };
        self.keep(&secret, &session)?;
        Ok(Some(secret))
    }

    /// Keeps a session's changed facts, its end counted anew.
    pub fn keep(&self, secret: &Secret, session: &Session) -> Result<(), StoreError> {
        let body = serde_json::to_string(session).map_err(|error| StoreError::Other { cause: error.to_string() })?;
        let ends_ms = self.now_ms.saturating_add(if self.beyond { ELSEWHERE_MS } else { HERE_MS });
        self.store.put_slip(&Slip { kind: SESSION.into(), id: secret.hash(), body, ends_ms })
    }

    /// The session of a cookie. One of an account holds only as long as the
    /// account may sign in, and with the role that it has now.
    pub fn of(&self, secret: &Secret) -> Result<Option<Session>, StoreError> {
        let Some(slip) = self.store.slip(SESSION, &secret.hash(), self.now_ms)? else { return Ok(None) };
        let Ok(mut session) = serde_json::from_str::<Session>(&slip.body) else { return Ok(None) };
        if let Some(account) = &session.account {
            match self.store.get::<AccountForm>(account)? {
                Some(record) if record.body.active => session.role = record.body.role,
                _ => return Ok(None),
            }
        } else if self.beyond && self.store.all::<AccountForm>()?.iter().any(|record| record.body.active) {
            // The address printed at the start opens the door only until somebody has an account.
            return Ok(None);
        }
        Ok(Some(session))
    }

    /// Ends a session.
    pub fn end(&self, secret: &Secret) -> Result<(), StoreError> {
        self.store.take_slip(SESSION, &secret.hash(), self.now_ms).map(|_| ())
    }
}
