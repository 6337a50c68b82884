//! `bondline serve`.

use crate::End;
use crate::progress::{complain, say};
use clap::Args;
use desk::kept::Kept;
use std::net::SocketAddr;
use std::path::PathBuf;
use store::Place;
use web::{Clock, Serving};

/// Options of `serve`.
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Folder that the shop is kept in; made when it is not there.
    #[arg(long, default_value = "bondline-shop")]
    shop: PathBuf,
    /// A PostgreSQL database that several stations share, instead of the folder: postgres://…
    #[arg(long)]
    database: Option<String>,
    /// Where to listen; anything but this machine alone is served over HTTPS and asks for an owner's account first.
    #[arg(long, default_value = "127.0.0.1:7180")]
    listen: SocketAddr,
    /// A name under which others reach the page; may be given several times.
    #[arg(long = "name")]
    names: Vec<String>,
    /// The shop's certificate, PEM; one is made and kept in the shop's folder when none is given.
    #[arg(long, requires = "key")]
    certificate: Option<PathBuf>,
    /// The certificate's key, PEM.
    #[arg(long, requires = "certificate")]
    key: Option<PathBuf>,
    /// Threads to plan with; a plan does not depend on it.
    #[arg(long, default_value_t = 2, value_parser = clap::value_parser!(u8).range(1..=64))]
    threads: u8,
}

pub(crate) fn run(options: &Options) -> End {
    let place = match &options.database {
        Some(address) => Place::Server(address.clone()),
        None => Place::File(options.shop.join("shop.db")),
    };
    let kept = match open_or_make(&place) {
        Ok(kept) => kept,
        Err(error) => {
            complain(&error.to_string());
            return End::Refused;
        }
    };
    let serving = Serving {
        listen: options.listen,
        names: options.names.clone(),
        certificate: options.certificate.clone().zip(options.key.clone()),
        home: options.shop.clone(),
        threads: usize::from(options.threads),
        clock: Clock::Machine,
    };
    served(kept, &serving)
}

/// The shop of a place, made when none is kept there.
pub(crate) fn open_or_make(place: &Place) -> Result<Kept, desk::kept::DeedError> {
    match Kept::open(place) {
        Err(desk::kept::DeedError::Store(store::StoreError::NotMade { .. })) => Kept::make(place),
        other => other,
    }
}

/// Serves until told to end.
pub(crate) fn served(kept: Kept, serving: &Serving) -> End {
    let done = web::serve(kept, serving, |listening| {
        say(&format!("The shop's page: {}", listening.address));
        say("The address opens it once, within half an hour. End with Ctrl-C.");
    });
    match done {
        Ok(()) => End::Done,
        Err(error) => {
            complain(&error.to_string());
            End::Refused
        }
    }
}
