//! `bondline art check`.

use crate::End;
use clap::Args;

/// Options of `art`.
#[derive(Debug, Args)]
pub(crate) struct Options {}

pub(crate) fn run(_: &Options) -> End {
    End::Done
}
