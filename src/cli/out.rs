//! What a command says on standard output.

use anyhow::Context;
use std::fmt::Display;
use std::io::{self, ErrorKind, Write as _};

/// Writes a line. Whoever has read enough, as `head` has, may close the pipe: that is no fault of the command.
///
/// # Errors
/// Standard output cannot take it, such as a file on a full disk.
pub fn say(words: impl Display) -> anyhow::Result<()> {
    print(format_args!("{words}\n"))
}

/// Writes text that has its line ends already.
///
/// # Errors
/// As [`say`].
pub fn print(words: impl Display) -> anyhow::Result<()> {
    let mut out = io::stdout().lock();
    match write!(out, "{words}").and_then(|()| out.flush()) {
        Err(e) if e.kind() != ErrorKind::BrokenPipe => Err(e).context("standard output"),
        _ => Ok(()),
    }
}
