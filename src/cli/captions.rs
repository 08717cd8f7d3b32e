//! `dowel captions`: checks a WebVTT file, or makes one of typed chapters.

use super::out;
use super::read::text;
use crate::training::captions::{self, Fault};
use anyhow::bail;
use clap::Args;
use std::path::PathBuf;

/// What `dowel captions` takes.
#[derive(Args)]
pub struct CaptionsArgs {
    /// The file, or `-` for standard input
    file: PathBuf,
    /// They are chapters, which may lie inside each other and never overlap
    #[arg(long)]
    chapters: bool,
    /// They are typed chapters: `1:24 B. Ten rounds`
    #[arg(long)]
    typed: bool,
}

/// Prints the file as Dowel writes it.
///
/// # Errors
/// The file cannot be read, or something is wrong in it: every fault with its line.
pub fn run(args: &CaptionsArgs) -> anyhow::Result<()> {
    let text = text(&args.file)?;
    let read = if args.typed {
        captions::read_typed(&text, None).map(|c| captions::chapters(&c))
    } else if args.chapters {
        captions::read_chapters(&text).map(|c| captions::chapters(&c))
    } else {
        captions::read(&text).map(|c| captions::write(&c))
    };
    match read {
        Ok(vtt) => out::print(vtt)?,
        Err(faults) => bail!("{}", faults.iter().map(Fault::to_string).collect::<Vec<_>>().join("\n")),
    }
    Ok(())
}
