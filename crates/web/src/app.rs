//! What all requests share.

use crate::guard::{Hosts, Limits, Session, Sessions};
use crate::tongue::Tongue;
use desk::kept::Kept;
use jiff::civil::Date;
use std::fmt;
use std::time::{SystemTime, UNIX_EPOCH};
use store::Stamp;

/// Where today comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Clock {
    /// This machine's clock.
    #[default]
    Machine,
    /// Always this day, as the demo needs it.
    Fixed(Date),
}

/// An open shop behind its page.
#[derive(Debug)]
pub struct App {
    /// The shop.
    pub kept: Kept,
    /// The page's names.
    pub hosts: Hosts,
    /// How often senders knock.
    pub limits: Limits,
    /// Where today comes from.
    pub clock: Clock,
}

/// Why the page cannot do what it should, beyond what a deed says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AppError {
    /// The system gives no random bytes.
    NoRandom,
}

impl fmt::Display for AppError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(
            "the system gives no random bytes, and without them nothing can be kept secret; restart the machine",
        )
    }
}

impl std::error::Error for AppError {}

impl App {
    /// A shop's page under these names.
    pub fn new(kept: Kept, hosts: Hosts, clock: Clock) -> Self {
        let kept = match clock {
            Clock::Machine => kept,
            Clock::Fixed(day) => kept.on_day(day),
        };
        Self { kept, hosts, limits: Limits::default(), clock }
    }

    /// Milliseconds since the beginning of 1970, UTC.
    pub fn now_ms(&self) -> i64 {
        let since = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
        i64::try_from(since.as_millis()).unwrap_or(i64::MAX)
    }

    /// Today.
    pub fn today(&self) -> Date {
        match self.clock {
            Clock::Machine => desk::today(),
            Clock::Fixed(day) => day,
        }
    }

    /// The sessions of the shop.
    pub fn sessions(&self) -> Sessions<'_> {
        Sessions { store: self.kept.store(), now_ms: self.now_ms(), beyond: self.hosts.secure() }
    }
}

/// What a handler knows about the request at hand.
pub(crate) struct Ctx<'a> {
    pub app: &'a App,
    /// Who asks; none on pages that need nobody.
    pub session: Option<Session>,
    pub w: Tongue,
}

impl Ctx<'_> {
    pub fn kept(&self) -> &Kept {
        &self.app.kept
    }

    /// Who changes something, and when.
    pub fn hand(&self) -> Stamp {
        Stamp { at_ms: self.app.now_ms(), by: self.who().to_owned() }
    }

    pub fn who(&self) -> &str {
        self.session.as_ref().map_or("", |session| session.who.as_str())
    }

    /// What every form of a page carries back.
    pub fn token(&self) -> &str {
        self.session.as_ref().map_or("", |session| session.token.as_str())
    }
}
