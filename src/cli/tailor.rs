//! `dowel tailor`: what one member does of a session.

use super::out;
use crate::training::dose::{Amount, Load};
use crate::training::member::Profile;
use crate::training::movement::Library;
use crate::training::session::{Line, Session};
use crate::training::tailor::{Action, Considered, Tailor, Tailored, TailoredLine};
use crate::training::writeup;
use anyhow::Context;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};

/// What was typed after `tailor`.
#[derive(clap::Args)]
pub struct Ask {
    /// A write-up, or a session in JSON; `-` reads it from the pipe
    session: PathBuf,
    /// The member: kit, limits, level, maxes, in JSON
    #[arg(long, value_name = "FILE")]
    member: PathBuf,
    /// Print JSON
    #[arg(long)]
    json: bool,
    /// Print what was weighed up for each line, and what it cost
    #[arg(long)]
    explain: bool,
}

/// Reads both files, tailors, prints.
///
/// # Errors
/// A file that cannot be read, with its name and the place in it.
pub fn run(ask: &Ask) -> anyhow::Result<()> {
    let session = session(&ask.session)?;
    let text = read(&ask.member)?;
    let profile: Profile =
        serde_json::from_str(&text).with_context(|| format!("{} is no member in JSON", ask.member.display()))?;
    let library = Library::shipped();
    let tailor = Tailor::new(library);
    let mut words = Vec::new();
    match (ask.explain, ask.json) {
        (true, true) => serde_json::to_writer_pretty(&mut words, &tailor.explain(&session, &profile))?,
        (true, false) => print_considered(&mut words, &tailor.explain(&session, &profile))?,
        (false, true) => serde_json::to_writer_pretty(&mut words, &tailor.tailor(&session, &profile))?,
        (false, false) => print_tailored(&mut words, &tailor.tailor(&session, &profile))?,
    }
    out::say(String::from_utf8_lossy(&words).trim_end())
}

fn read(path: &Path) -> anyhow::Result<String> {
    if path == Path::new("-") {
        let mut text = String::new();
        std::io::stdin().read_to_string(&mut text).context("the pipe could not be read")?;
        return Ok(text);
    }
    std::fs::read_to_string(path).with_context(|| format!("{} could not be read", path.display()))
}

fn session(path: &Path) -> anyhow::Result<Session> {
    let text = read(path)?;
    if !text.trim_start().starts_with('{') {
        return Ok(writeup::read(&text, Library::shipped()));
    }
    serde_json::from_str(&text).with_context(|| format!("{} is no session in JSON", path.display()))
}

fn print_tailored(out: &mut impl Write, tailored: &Tailored) -> anyhow::Result<()> {
    writeln!(out, "{}", tailored.title)?;
    for part in &tailored.parts {
        let name = part.written.0.get("name").and_then(|n| n.as_str()).unwrap_or_default();
        writeln!(out, "\n{name}")?;
        for line in &part.lines {
            print_line(out, line)?;
        }
    }
    Ok(())
}

fn print_line(out: &mut impl Write, line: &TailoredLine) -> anyhow::Result<()> {
    writeln!(out, "  {}", words(&line.written))?;
    if line.action != Action::Keep {
        for given in &line.given {
            writeln!(out, "    -> {}", words(given))?;
        }
        if let Some(plates) = line.plates_per_side_kg.as_ref().or(line.plates_per_side_lb.as_ref()).filter(|p| !p.is_empty()) {
            let plates: Vec<String> = plates.iter().map(f64::to_string).collect();
            writeln!(out, "       on each side of the bar: {}", plates.join(" + "))?;
        }
        writeln!(out, "       {}", line.why)?;
    }
    Ok(())
}

fn print_considered(out: &mut impl Write, all: &[Considered]) -> anyhow::Result<()> {
    for line in all {
        writeln!(out, "{}: {}", line.part, line.written)?;
        for c in line.candidates.iter().take(12) {
            let cost = &c.cost;
            writeln!(
                out,
                "  {:.3}  {}  (pattern {:.3}, effort {:.3}, time {:.3}, symmetry {:.3}, skill {:.3})",
                cost.total(),
                words(&c.line),
                cost.pattern,
                cost.effort,
                cost.time,
                cost.symmetry,
                cost.skill
            )?;
        }
        if !line.struck.is_empty() {
            writeln!(out, "  struck out:")?;
        }
        for s in &line.struck {
            writeln!(out, "    {}: {}", s.movement, s.rule)?;
        }
    }
    Ok(())
}

/// A line in one row of words.
fn words(line: &Line) -> String {
    let amount = |a: &Option<Amount>, unit: &str| a.as_ref().map(|a| format!("{a}{unit}"));
    let mut all: Vec<String> = [
        amount(&line.reps, ""),
        amount(&line.seconds, " s"),
        amount(&line.metres, " m"),
        amount(&line.calories, " cal"),
        line.max.then(|| "max".to_owned()),
        Some(line.movement.clone()),
        line.side.map(|s| s.words().to_owned()),
        line.load.as_ref().map(load_words),
        line.tempo.as_ref().map(|t| format!("tempo {t}")),
    ]
    .into_iter()
    .flatten()
    .collect();
    if line.implements == Some(2) {
        all.push("(two)".to_owned());
    }
    all.join(" ")
}

fn load_words(load: &Load) -> String {
    let list = |values: &[f64], unit: &str| {
        let all: Vec<String> = values.iter().map(f64::to_string).collect();
        format!("@ {} {unit}", all.join("/"))
    };
    match load {
        Load::Kg { values, .. } => list(values, "kg"),
        Load::Lb { values, .. } => list(values, "lb"),
        Load::Percent { percent, of } => format!("@ {percent} % of {of}"),
        Load::Rpe(n) => format!("@ RPE {n}"),
        Load::Rir(n) => format!("with {n} left"),
        Load::Stick => "with the stick".to_owned(),
        Load::Band(tension) => format!("with the {tension} band"),
        Load::Find(words) => format!("({words})"),
    }
}
