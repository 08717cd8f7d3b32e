//! From the written session to what one member does at home today, with a reason for each change.
//!
//! Order: a note that calls for a person stops first; then the line as written; then the coach's own swaps; then the
//! stand-ins of `data/stand_ins.csv` and the library, hard rules as filters and cost second.

mod convert;
mod fit;
mod kit;
mod note;
mod pick;
mod shelf;
mod why;

use super::dose::Load;
use super::member::Profile;
use super::movement::Library;
use super::session::{Line, Part, Session};
use fit::Asked;
use note::Reading;
pub use pick::Cost;
use pick::{Ask, Bar, Choice, Who};
use serde::{Deserialize, Serialize};
use shelf::{Purpose, Shelf};

/// A session as one member does it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Tailored {
    /// as written
    pub title: String,
    /// in order
    pub parts: Vec<TailoredPart>,
}

/// A part as written, with its lines tailored.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct TailoredPart {
    /// Everything of the written part but its lines.
    #[serde(flatten)]
    pub written: PartHead,
    /// In order, one for each written line.
    pub lines: Vec<TailoredLine>,
}

/// A written part without its lines and options.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct PartHead(pub serde_json::Map<String, serde_json::Value>);

/// What happens to a line.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Action {
    /// As written.
    #[default]
    Keep,
    /// The movement stays; load, reps or tool are worth a word.
    KeepWithNote,
    /// Something else is done.
    Swap,
    /// Something else is done, and the coach is told.
    SwapAndTellCoach,
    /// Nothing is given: a person decides.
    Refer,
}

/// A written line and what this member does.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct TailoredLine {
    /// As written.
    #[serde(flatten)]
    pub written: Line,
    /// What happens to it.
    pub action: Action,
    /// What the member does; empty for [`Action::Refer`].
    pub given: Vec<Line>,
    /// One plain sentence; empty only for a plain keep.
    pub why: String,
    /// The coach hears of it.
    pub tell_coach: bool,
    /// Plates on one side where a bar is loaded, heaviest first, in the unit of the given load.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub plates_per_side_kg: Option<Vec<f64>>,
}

/// Tailors `session` for a member. Pure: the same input gives the same answer.
#[must_use]
pub fn tailor(session: &Session, profile: &Profile, library: &Library) -> Tailored {
    let shelf = Shelf::new(library);
    let who = Who::new(profile);
    let reading = note::read(profile.note.as_deref());
    let parts = session
        .parts
        .iter()
        .map(|p| TailoredPart { written: head(p), lines: p.lines.iter().map(|l| line(l, p, &shelf, &who, &reading)).collect() });
    Tailored { title: session.title.clone(), parts: parts.collect() }
}

/// What was weighed up for one written line.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Considered {
    /// The part's name.
    pub part: String,
    /// The written movement.
    pub written: String,
    /// Cheapest first.
    pub candidates: Vec<Candidate>,
}

/// One sound candidate and what it costs.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Candidate {
    /// As it would be given.
    pub line: Line,
    /// Smaller is better.
    pub cost: Cost,
}

/// What [`tailor`] weighs up, line by line: every sound stand-in with its cost. A coach can look behind a swap with it.
#[must_use]
pub fn explain(session: &Session, profile: &Profile, library: &Library) -> Vec<Considered> {
    let shelf = Shelf::new(library);
    let who = Who::new(profile);
    let lines = session.parts.iter().flat_map(|p| p.lines.iter().map(move |l| (p, l)));
    lines
        .map(|(part, written)| {
            let at = library.position(&written.movement).filter(|_| written.known);
            let candidates = at.map_or_else(Vec::new, |at| candidates(written, at, part, &shelf, &who));
            Considered { part: part.name.clone(), written: written.movement.clone(), candidates }
        })
        .collect()
}

fn candidates(written: &Line, at: usize, part: &Part, shelf: &Shelf<'_>, who: &Who<'_>) -> Vec<Candidate> {
    let ask = Ask::new(written, at, Purpose::of(part.intent), shelf, who);
    let mut all = ask.choices(at, Some(0), who).unwrap_or_default();
    all.extend(ask.stand_ins(who));
    all.iter()
        .map(|c| {
            let out = give(TailoredLine::default(), &ask, c, String::new());
            Candidate { line: out.given.into_iter().next().unwrap_or_default(), cost: c.cost }
        })
        .collect()
}

fn head(part: &Part) -> PartHead {
    let bare = Part { lines: Vec::new(), options: Vec::new(), ..part.clone() };
    match serde_json::to_value(bare) {
        Ok(serde_json::Value::Object(mut map)) => {
            map.remove("lines");
            PartHead(map)
        }
        _ => PartHead::default(),
    }
}

/// One line for one member.
fn line(written: &Line, part: &Part, shelf: &Shelf<'_>, who: &Who<'_>, reading: &Reading) -> TailoredLine {
    let out = TailoredLine { written: written.clone(), ..TailoredLine::default() };
    if reading.stop_all {
        return refer(out, why::STOP);
    }
    let Some(at) = shelf.library.position(&written.movement).filter(|_| written.known) else {
        return unknown(out, who, reading);
    };
    if reading.stop_regions.iter().any(|&r| note::touches(r, at, shelf)) {
        return refer(out, why::STOP_PART);
    }
    let purpose = Purpose::of(part.intent);
    let ask = Ask::new(written, at, purpose, shelf, who);
    let mut done = match ask.choices(at, Some(0), who) {
        Ok(ways) => keep_or_better(out, &ask, ways, who),
        Err(broken) => swap(out, &ask, broken, who),
    };
    if reading.tell && done.action != Action::Refer {
        done.tell_coach = true;
        if done.action == Action::Swap {
            done.action = Action::SwapAndTellCoach;
        }
    }
    done
}

fn refer(mut out: TailoredLine, words: &str) -> TailoredLine {
    out.action = Action::Refer;
    out.given.clear();
    out.tell_coach = true;
    words.clone_into(&mut out.why);
    out
}

/// A movement that the library does not have: nothing is known of what it asks.
fn unknown(mut out: TailoredLine, who: &Who<'_>, reading: &Reading) -> TailoredLine {
    if who.avoid != 0 || !reading.stop_regions.is_empty() {
        return refer(out, why::UNKNOWN_REFER);
    }
    out.action = Action::KeepWithNote;
    out.given = vec![out.written.clone()];
    out.tell_coach = true;
    why::UNKNOWN.clone_into(&mut out.why);
    out
}

/// The written movement is sound: it stays, unless a strength load is so far off that another movement keeps the effort better.
fn keep_or_better(out: TailoredLine, ask: &Ask<'_, '_>, mut ways: Vec<Choice>, who: &Who<'_>) -> TailoredLine {
    ways.sort_by(|x, y| x.cost.total().total_cmp(&y.cost.total()));
    let best = ways.swap_remove(0);
    let far_off = ask.purpose == Purpose::Strength && best.fit.share.is_some_and(|s| s < 0.4);
    if far_off && let Some(other) = ask.stand_ins(who).into_iter().find(|c| c.cost.total() < best.cost.total()) {
        return give(out, ask, &other, why::swapped(ask, &other, Bar::TooHeavy, true));
    }
    let why = why::kept(ask, &best);
    give(out, ask, &best, why)
}

fn swap(out: TailoredLine, ask: &Ask<'_, '_>, broken: Bar, who: &Who<'_>) -> TailoredLine {
    if let Some(own) = coachs_own(ask, who) {
        return give(out, ask, &own, why::coachs_own(ask, &own));
    }
    match ask.stand_ins(who).into_iter().next() {
        Some(choice) => {
            let why = why::swapped(ask, &choice, broken, false);
            give(out, ask, &choice, why)
        }
        None => refer(out, &why::no_version(ask, broken)),
    }
}

/// The first of the coach's own swaps for the line that is sound for this member.
fn coachs_own(ask: &Ask<'_, '_>, who: &Who<'_>) -> Option<Choice> {
    ask.line.alternatives.iter().find_map(|own| {
        let at = ask.shelf.library.position(&own.movement)?;
        let mine = Ask::new(own, at, ask.purpose, ask.shelf, who);
        mine.choices(at, Some(0), who).ok()?.into_iter().next()
    })
}

/// The given line, and whether that is as written.
fn give(mut out: TailoredLine, ask: &Ask<'_, '_>, choice: &Choice, why: String) -> TailoredLine {
    let m = ask.shelf.movement(choice.at);
    let same = choice.at == ask.at;
    let written = ask.line;
    let mut given = if same {
        written.clone()
    } else {
        Line { role: written.role, minute: written.minute, label: written.label.clone(), ..Line::default() }
    };
    given.movement.clone_from(&m.name);
    let dose = &choice.dose;
    given.reps.clone_from(&dose.reps);
    given.seconds.clone_from(&dose.seconds);
    given.metres.clone_from(&dose.metres);
    given.calories.clone_from(&dose.calories);
    given.side = dose.side;
    given.max = dose.max;
    given.tempo.clone_from(&dose.tempo);
    given.alternatives.clear();
    if !same || keeps_no_written_load(ask, choice) {
        given.load.clone_from(&choice.fit.load);
        given.implements = choice.fit.pair.then_some(2);
    }
    let plain = Line { movement: m.name.clone(), alternatives: Vec::new(), ..written.clone() };
    out.action = if !same {
        Action::Swap
    } else if given == plain || why.is_empty() {
        Action::Keep
    } else {
        Action::KeepWithNote
    };
    out.plates_per_side_kg.clone_from(&choice.fit.plates);
    out.why = if out.action == Action::Keep { String::new() } else { why };
    out.given = vec![given];
    out
}

/// The written load is replaced by what the member holds; an effort, or no load at all, stays as written where the kit leaves a choice.
fn keeps_no_written_load(ask: &Ask<'_, '_>, choice: &Choice) -> bool {
    match ask.asked {
        Asked::Weight { .. } | Asked::NoMax => true,
        Asked::Nothing => choice.fit.load.is_some() && !matches!(choice.fit.load, Some(Load::Find(_))),
        _ => choice.fit.load.is_some(),
    }
}
