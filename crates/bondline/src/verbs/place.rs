//! Where a shop is kept, and who is at work, as options that many verbs share.

use clap::Args;
use desk::kept::{DeedError, Kept};
use std::path::PathBuf;
use store::{Place, Stamp};

/// Where the shop is kept.
#[derive(Debug, Clone, Args)]
#[group(required = true, multiple = false)]
pub(crate) struct At {
    /// The shop's data folder; everything is kept in one file in it.
    #[arg(long, value_name = "FOLDER")]
    data: Option<PathBuf>,
    /// A PostgreSQL database that several stations share, postgres://user@host/name.
    #[arg(long, value_name = "ADDRESS")]
    database: Option<String>,
}

impl At {
    pub(crate) fn place(&self) -> Place {
        match (&self.database, &self.data) {
            (Some(address), _) => Place::Server(address.clone()),
            (None, data) => Place::File(data.clone().unwrap_or_default().join("shop.db")),
        }
    }

    pub(crate) fn open(&self) -> Result<Kept, DeedError> {
        Kept::open(&self.place())
    }
}

/// Who is at work.
#[derive(Debug, Clone, Args)]
pub(crate) struct By {
    /// Who does this, as the history shall call them; your sign-in name when left out.
    #[arg(long, value_name = "NAME", global = true)]
    by: Option<String>,
}

impl By {
    pub(crate) fn hand(&self) -> Stamp {
        let known = || std::env::var("USER").ok().filter(|name| !name.is_empty());
        desk::kept::hand(&self.by.clone().or_else(known).unwrap_or_else(|| "somebody".to_owned()))
    }
}
