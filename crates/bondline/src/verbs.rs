//! One module a verb: options in, one call, the answer shown.

pub(crate) mod art;
pub(crate) mod demo;
mod engine;
pub(crate) mod heat;
pub(crate) mod nest;
pub(crate) mod order;
pub(crate) mod place;
pub(crate) mod plan;
pub(crate) mod schedule;
pub(crate) mod schema;
pub(crate) mod seen;
pub(crate) mod serve;
pub(crate) mod shop;
mod shown;
pub(crate) mod stock;
pub(crate) mod worker;

use crate::End;
use crate::progress::complain;
use desk::kept::DeedError;
use std::io::Read as _;
use std::path::Path;

/// How a deed on a kept shop ended; why it was refused is told.
fn ended(done: Result<End, DeedError>) -> End {
    done.unwrap_or_else(|error| {
        complain(&error.to_string());
        End::Refused
    })
}

/// The text of a file, or of standard input for "-"; at most 256 MiB.
pub(crate) fn read_text(path: &Path) -> Result<String, String> {
    const MOST: u64 = 256 << 20;
    let mut text = String::new();
    let read = if path == Path::new("-") {
        std::io::stdin().lock().take(MOST).read_to_string(&mut text)
    } else {
        std::fs::File::open(path).and_then(|file| file.take(MOST).read_to_string(&mut text))
    };
    match read {
        Ok(_) => Ok(text),
        Err(error) => Err(format!("{} cannot be read: {error}; name a text file in JSON", path.display())),
    }
}
