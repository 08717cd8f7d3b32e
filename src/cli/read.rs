//! `dowel read`: what was understood of a write-up, for people or as JSON.

use super::out;
use crate::training::dose::{Amount, Load};
use crate::training::movement::Library;
use crate::training::session::{Line, Part, Role, Session, Severity};
use crate::training::{clock, wording, writeup};
use anyhow::Context;
use clap::Args;
use serde::Serialize;
use std::fmt::Write as _;
use std::io::Read as _;
use std::path::{Path, PathBuf};

/// What `dowel read` takes.
#[derive(Args)]
pub struct ReadArgs {
    /// Write-ups, or `-` for standard input
    #[arg(required = true)]
    files: Vec<PathBuf>,
    /// Print the session as JSON
    #[arg(long)]
    json: bool,
    /// Print the clock of each part that has one, a line of JSON each
    #[arg(long, conflicts_with = "json")]
    clocks: bool,
}

/// The clock of one part, as it would run where nothing is changed for anybody.
#[derive(Serialize)]
struct PartClock<'a> {
    file: &'a Path,
    part: &'a str,
    lines: Vec<String>,
    plan: clock::Plan,
}

/// Reads write-ups and prints what was understood.
///
/// # Errors
/// A file cannot be read.
pub fn run(args: &ReadArgs) -> anyhow::Result<()> {
    for file in &args.files {
        let session = writeup::read(&text(file)?, Library::shipped());
        if args.clocks {
            print_clocks(file, &session)?;
        } else if args.json {
            out::say(serde_json::to_string_pretty(&session)?)?;
        } else {
            out::print(words(&session))?;
        }
    }
    Ok(())
}

fn print_clocks(file: &Path, session: &Session) -> anyhow::Result<()> {
    for part in &session.parts {
        let lines = part.lines.iter().map(wording::whole_line).collect();
        if let Some(plan) = clock::plan(part) {
            out::say(serde_json::to_string(&PartClock { file, part: &part.name, lines, plan })?)?;
        }
    }
    Ok(())
}

/// A file's text, or what comes in where `file` is `-`. Characters that are no text are shown as such and kept.
///
/// # Errors
/// The file cannot be read.
pub fn text(file: &Path) -> anyhow::Result<String> {
    let mut bytes = Vec::new();
    if file == Path::new("-") {
        std::io::stdin().read_to_end(&mut bytes).context("nothing could be read from standard input")?;
    } else {
        bytes = std::fs::read(file).with_context(|| format!("{} could not be read", file.display()))?;
    }
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

fn words(session: &Session) -> String {
    let mut out = String::new();
    let mut say = |line: String| {
        let _ = writeln!(out, "{line}");
    };
    if !session.title.is_empty() {
        say(session.title.clone());
    }
    if let Some(aim) = &session.aim {
        say(format!("Aim: {aim}"));
    }
    for part in &session.parts {
        say(format!("\n{}", heading(part)));
        part.lines.iter().for_each(|l| say(format!("  {}", line(l))));
        part.options.iter().for_each(|o| say(format!("  other version: {}", o.text.as_deref().unwrap_or(&o.name))));
        part.notes.iter().for_each(|n| say(format!("  note: {n}")));
    }
    session.notes.iter().for_each(|n| say(format!("\nnote: {n}")));
    if !session.problems.is_empty() {
        say(String::new());
    }
    for p in &session.problems {
        let kind = if p.severity == Severity::Error { "Mend" } else { "Ask" };
        let mends = if p.suggest.is_empty() { String::new() } else { format!(" Perhaps: {}.", p.suggest.join(", ")) };
        say(format!("{kind}, line {} column {}: {}{mends}", p.line, p.column, p.text));
    }
    out
}

fn heading(part: &Part) -> String {
    let mut facts = vec![serde_word(&part.format)];
    let mut add = |name: &str, value: Option<String>| facts.extend(value.map(|v| format!("{name} {v}")));
    add("rounds", part.rounds.as_ref().map(Amount::to_string));
    add("length", part.duration_s.map(writeup::words_of_time));
    add("cap", part.time_cap_s.map(writeup::words_of_time));
    if let Some(i) = part.interval {
        add("every", i.every_s.map(writeup::words_of_time));
        add("work", i.work_s.map(writeup::words_of_time));
        add("off", i.rest_s.map(writeup::words_of_time));
    }
    add("rest", part.rest_s.as_ref().map(|r| format!("{r} s")));
    add("scored by", Some(serde_word(&part.score)).filter(|s| s != "none"));
    format!("{}{}: {}", part.label.as_ref().map(|l| format!("{l}. ")).unwrap_or_default(), part.name, facts.join(", "))
}

/// A value of a closed list as its public word, with spaces.
fn serde_word(value: &impl serde::Serialize) -> String {
    serde_json::to_value(value).ok().and_then(|v| v.as_str().map(|s| s.replace('_', " "))).unwrap_or_default()
}

fn line(l: &Line) -> String {
    let mut out: Vec<String> = Vec::new();
    out.extend(l.label.clone());
    out.extend(l.role.map(|r| match r {
        Role::BuyIn => "once, before:".to_owned(),
        Role::CashOut => "once, after:".to_owned(),
    }));
    out.extend(l.minute.map(|m| format!("minute {m}:")));
    let unit = |a: &Option<Amount>, u: &str| a.as_ref().map(|a| format!("{a}{u}"));
    out.extend(
        [unit(&l.reps, ""), unit(&l.seconds, " s"), unit(&l.metres, " m"), unit(&l.calories, " cal")].into_iter().flatten(),
    );
    if l.max {
        out.push("max".to_owned());
    }
    out.push(if l.known { l.movement.clone() } else { format!("\"{}\" (not in the library)", l.movement) });
    if !l.complex.is_empty() {
        out.push(format!("({})", l.complex.iter().map(|p| p.movement.as_str()).collect::<Vec<_>>().join(" + ")));
    }
    out.extend(l.side.map(|s| s.words().to_owned()));
    out.extend(l.load.as_ref().map(load));
    out.extend(l.tempo.as_ref().map(|t| format!("tempo {t}")));
    out.extend(l.alternatives.iter().map(|a| format!("(or {})", line(a))));
    out.join(" ")
}

fn load(load: &Load) -> String {
    let list = |v: &[f64], range: bool| v.iter().map(f64::to_string).collect::<Vec<_>>().join(if range { "-" } else { "/" });
    match load {
        Load::Kg { values, range } => format!("@ {} kg", list(values, *range)),
        Load::Lb { values, range } => format!("@ {} lb", list(values, *range)),
        Load::Percent { percent, of } => format!("@ {percent}% of {of}"),
        Load::Rpe(n) => format!("@ RPE {n}"),
        Load::Rir(n) => format!("@ {n} reps in reserve"),
        Load::Stick => "with a stick".to_owned(),
        Load::Band(strength) => format!("with a {strength} band"),
        Load::Find(how) => how.clone(),
    }
}
