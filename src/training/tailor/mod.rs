//! From the written session to what one member does at home today, with a reason for each change.
//!
//! Order: a note that calls for a person stops first; then the line as written; then the coach's own swaps; then the
//! stand-ins of `data/stand_ins.csv` and the library, hard rules as filters and cost second.

mod able;
mod as_written;
mod band;
mod beside;
mod choose;
mod complex;
mod convert;
mod coverage;
mod effort;
mod fit;
mod give;
mod house;
pub(super) mod kit;
pub mod lifted;
mod line;
mod meant;
mod note;
mod pick;
mod pinned;
pub mod recorded;
mod routes;
mod scaled;
mod shelf;
mod together;
mod volume;
mod why;
mod window;
mod wish;

use super::clock;
use super::dose::Amount;
use super::member::Profile;
use super::movement::Library;
use super::session::{Line, Part, Session};
pub use choose::Chosen;
pub use coverage::{Change, Coverage, Group, LineCoverage, Variant, coverage};
use give::give;
pub use house::{House, OneForTwo, Pin, Rules, Whom};
use line::{Verdict, judge, line};
pub use note::{Waits, body_parts, needs_the_coach, no_training_matter, waits};
pub use pick::Cost;
use pick::{Ask, Who};
pub use routes::{MissingRoute, Route, missing_routes};
use serde::{Deserialize, Serialize};
pub(crate) use shelf::Index;
use shelf::Shelf;
use std::sync::OnceLock;
pub use wish::{Wish, Wished};

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
    /// Rounds or sets for this member, where they are fewer than written.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rounds_given: Option<Amount>,
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
    /// Nothing is given until the coach has decided about what the member wrote.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub waits: bool,
    /// The coach's own choice for this member that is given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pin: Option<i64>,
    /// The coach's own choice for this member that breaks a hard rule; `why` says which.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub refused_pin: Option<i64>,
    /// Plates on one side where a bar is loaded, heaviest first; for the heaviest of several loads.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub plates_per_side_kg: Option<Vec<f64>>,
    /// The same for a bar and plates marked in pounds.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub plates_per_side_lb: Option<Vec<f64>>,
}

impl TailoredLine {
    /// What else was typed at the line, where it still holds: `or 100 singles` says nothing once something else is done, and
    /// neither does `chest to the floor`.
    #[must_use]
    pub fn note(&self) -> Option<&str> {
        let note = self.written.note.as_deref()?;
        let swapped = matches!(self.action, Action::Swap | Action::SwapAndTellCoach | Action::Refer);
        let another = self.does_another();
        let loaded = self.given.iter().any(|g| g.load.is_some());
        let holds = |text: &str| {
            let other_way = swapped && beside::is_another_way(text);
            !other_way && (!another || beside::holds_for_any(text, loaded))
        };
        if holds(note) { Some(note) } else { beside::tail(note, holds) }
    }

    /// Another movement is done than the written one.
    fn does_another(&self) -> bool {
        let pieces = |l: &Line| l.complex.iter().map(|p| p.movement.clone()).collect::<Vec<_>>();
        self.given.iter().any(|g| g.movement != self.written.movement || pieces(g) != pieces(&self.written))
    }
}

/// Tailors `session` for a member. Pure: the same input gives the same answer.
#[must_use]
pub fn tailor(session: &Session, profile: &Profile, library: &Library) -> Tailored {
    if std::ptr::eq(library, Library::shipped()) {
        return Tailor::shipped().tailor(session, profile);
    }
    Tailor::new(library).tailor(session, profile)
}

/// A library, with what the coach decided.
///
/// # Design
/// The index costs about as much as a hundred lines, so it is made once and kept with its library.
pub struct Tailor<'l> {
    shelf: Shelf<'l>,
}

impl Tailor<'static> {
    /// For the library that ships with Dowel.
    #[must_use]
    pub fn shipped() -> &'static Self {
        static SHIPPED: OnceLock<Tailor<'static>> = OnceLock::new();
        SHIPPED.get_or_init(|| Tailor::new(Library::shipped()))
    }
}

impl<'l> Tailor<'l> {
    /// For `library`.
    #[must_use]
    pub fn new(library: &'l Library) -> Self {
        Self { shelf: Shelf::new(library) }
    }

    /// With what the coach decided; take the house of the session ([`House::in_session`]).
    #[must_use]
    pub fn in_house(self, house: House) -> Self {
        Self { shelf: self.shelf.in_house(house) }
    }

    /// Tailors `session` for one member.
    #[must_use]
    pub fn tailor(&self, session: &Session, profile: &Profile) -> Tailored {
        let who = Who::new(profile, &self.shelf);
        let less = volume::less(session, &who.reading, self.shelf.library);
        let parts = session.parts.iter().map(|p| TailoredPart {
            written: head(p),
            rounds_given: volume::rounds(p, less.as_ref()).filter(|_| !who.reading.held.all),
            lines: self.lines(p, &who, less.as_ref()),
        });
        Tailored { title: session.title.clone(), parts: parts.collect() }
    }

    /// The lines of a part for one member: not the same stand-in twice where there is another, each window of the clock with no more
    /// than fits into it.
    fn lines(&self, part: &Part, who: &Who<'_>, less: Option<&volume::Less>) -> Vec<TailoredLine> {
        let library = self.shelf.library;
        let one = |written, share, who: &Who<'_>| {
            let mut done = line(written, part, &self.shelf, who, share);
            volume::cut(&mut done, part, less, who.profile.level, library);
            done
        };
        let mut done: Vec<TailoredLine> = part.lines.iter().map(|l| one(l, None, who)).collect();
        let mut others: Vec<Option<Who<'_>>> = vec![None; done.len()];
        for i in 0..done.len() {
            if let Some(taken) = together::taken(&done, i, library) {
                let other = Who { taken, ..who.clone() };
                let again = one(&part.lines[i], None, &other);
                if together::is_other(&again, &done[i], &other.taken, library) {
                    (done[i], others[i]) = (again, Some(other));
                }
            }
        }
        for (i, share) in window::shares(part, &done, library).into_iter().enumerate() {
            if share.is_some() {
                done[i] = one(&part.lines[i], share, others[i].as_ref().unwrap_or(who));
            }
        }
        // one more in each window is one more of what is done instead, too
        for line in &mut done {
            let (written, given) = (&line.written, &mut line.given);
            given.iter_mut().for_each(|g| *g = clock::climbing_on(std::mem::take(g), written));
        }
        together::say_alone(&mut done, part);
        done
    }
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
    /// What the coach's list names and a rule strikes out, the written movement first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub struck: Vec<Struck>,
}

/// A movement that a rule strikes out.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Struck {
    /// Its name.
    pub movement: String,
    /// The rule, as the coach reads it: `keeps out arms overhead`.
    pub rule: String,
}

/// One sound candidate and what it costs.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Candidate {
    /// As it would be given.
    pub line: Line,
    /// Smaller is better.
    pub cost: Cost,
}

impl Tailor<'_> {
    /// What is weighed up, line by line: every sound stand-in with its cost. A coach can look behind a swap with it.
    #[must_use]
    pub fn explain(&self, session: &Session, profile: &Profile) -> Vec<Considered> {
        let who = Who::new(profile, &self.shelf);
        let lines = session.parts.iter().flat_map(|p| p.lines.iter().map(move |l| (p, l)));
        lines
            .map(|(part, written)| {
                let ask = Ask::of(written, part, &self.shelf, &who).filter(|_| written.known);
                Considered {
                    part: part.name.clone(),
                    written: written.movement.clone(),
                    candidates: ask.as_ref().map(|ask| candidates(ask, &who)).unwrap_or_default(),
                    struck: ask.as_ref().map(|ask| struck(ask, &who)).unwrap_or_default(),
                }
            })
            .collect()
    }
}

fn struck(ask: &Ask<'_, '_>, who: &Who<'_>) -> Vec<Struck> {
    let name = |at| ask.shelf.movement(at).name.clone();
    ask.struck(who)
        .into_iter()
        .map(|(at, broken)| Struck { movement: name(at), rule: why::refused_for(broken, &name(at)) })
        .collect()
}

fn candidates(ask: &Ask<'_, '_>, who: &Who<'_>) -> Vec<Candidate> {
    let mut all = ask.choices(ask.at, Some(0), who).unwrap_or_default();
    all.extend(ask.stand_ins(who));
    all.iter()
        .map(|c| {
            let out = give(TailoredLine::default(), ask, c, String::new());
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

#[cfg(test)]
mod tests;
