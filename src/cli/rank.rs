//! `dowel rank FILE`: ranks the results of one part by the written rules.

use super::out;
use crate::training::standings::case::{Place, Ranking, rank};
use anyhow::{Context, anyhow};
use clap::Args;
use std::fmt::Write;
use std::io::Read;
use std::path::{Path, PathBuf};

/// What to rank.
#[derive(Args)]
pub struct Command {
    /// Scoring and entries as JSON; `-` reads what is piped in
    file: PathBuf,
    /// Print JSON
    #[arg(long)]
    json: bool,
}

/// Runs it.
///
/// # Errors
/// A file that cannot be read or is no ranking.
pub fn run(command: &Command) -> anyhow::Result<()> {
    let ranking = rank(&text_of(&command.file)?).map_err(|e| anyhow!("{}: {e}", command.file.display()))?;
    if command.json {
        out::say(serde_json::to_string_pretty(&ranking)?)?;
    } else {
        out::print(plain(&ranking))?;
    }
    Ok(())
}

fn text_of(file: &Path) -> anyhow::Result<String> {
    if file.as_os_str() == "-" {
        let mut text = String::new();
        std::io::stdin().read_to_string(&mut text).context("cannot read what was piped in")?;
        return Ok(text);
    }
    std::fs::read_to_string(file).with_context(|| format!("cannot read {}", file.display()))
}

/// A line an entry, best first, each with its reason.
fn plain(ranking: &Ranking) -> String {
    let mut out = String::new();
    let placed = ranking.order.iter().flat_map(|p| match p {
        Place::One(id) => std::slice::from_ref(id),
        Place::Shared(ids) => ids,
    });
    for id in placed.chain(&ranking.listed_not_ranked).chain(&ranking.held).chain(&ranking.hidden) {
        let why = ranking.why.get(id).map_or("", String::as_str);
        let _ = writeln!(out, "{id}: {why}");
    }
    for key in &ranking.not_understood {
        let _ = writeln!(out, "not understood: {key}");
    }
    out
}
