//! The structured session: what was read from a write-up, in the public JSON's own shape.

use super::dose::{Amount, Load, Side};
use serde::{Deserialize, Serialize};

/// One day's session for a group.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Session {
    /// As typed, or made from the first part where the coach wrote none.
    pub title: String,
    /// One or two sentences: what the session is for.
    pub aim: Option<String>,
    /// Everything typed that is neither title, aim nor part; nothing is dropped.
    pub notes: Vec<String>,
    /// In order.
    pub parts: Vec<Part>,
    /// What could not be right, or could not be read.
    pub problems: Vec<Problem>,
}

/// What a part is for; it decides how a line may change for a member.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Intent {
    /// Warming up.
    Prep,
    /// Learning a movement: the pattern is kept.
    Technique,
    /// Getting stronger: the effort is kept.
    Strength,
    /// Getting fitter: the time is kept.
    #[default]
    Conditioning,
    /// Moving well, cooling down.
    Mobility,
}

impl Intent {
    /// Spelling in the public JSON and in the store.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Prep => "prep",
            Self::Technique => "technique",
            Self::Strength => "strength",
            Self::Conditioning => "conditioning",
            Self::Mobility => "mobility",
        }
    }
}

/// How a part is organised.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Format {
    /// Straight sets with rest.
    Sets,
    /// Rounds, not for time.
    Rounds,
    /// As fast as is sound.
    ForTime,
    /// As many rounds or reps as possible in a window.
    Amrap,
    /// Every minute, or every window, on the window.
    Emom,
    /// Work and rest by the clock.
    Intervals,
    /// Time spent, nothing counted.
    #[default]
    Practice,
    /// One try at a most: a hold, a rep count, a lift.
    MaxEffort,
    /// Rungs that go up or down.
    Ladder,
}

/// What is scored.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ScoreKind {
    /// Less is better.
    Time,
    /// Full rounds and the reps of the cut-off round.
    RoundsReps,
    /// Reps in all.
    Reps,
    /// The heaviest that counts.
    Load,
    /// Metres.
    Distance,
    /// Calories on a machine.
    Calories,
    /// Seconds held.
    HoldTime,
    /// Done or not.
    #[default]
    None,
}

/// Times of an interval part, in seconds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Interval {
    /// work
    pub work_s: Option<f64>,
    /// rest
    pub rest_s: Option<f64>,
    /// window (EMOM: 60)
    pub every_s: Option<f64>,
}

/// Where in the write-up something stands. Lines and columns count from 1, columns in characters.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Place {
    /// from 1
    pub line: usize,
    /// from 1, in characters
    pub column: usize,
    /// in characters
    pub length: usize,
}

/// One stretch of a session, with a purpose and a format.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Part {
    /// As typed, or the format's name.
    pub name: String,
    /// `A`, `A1` ... where the coach wrote one.
    pub label: Option<String>,
    /// Read from words and format; the coach can set it.
    pub intent: Intent,
    /// How it is organised.
    pub format: Format,
    /// Rounds; for sets the number of sets; for fixed rungs the number of rungs.
    pub rounds: Option<Amount>,
    /// Seconds.
    pub time_cap_s: Option<f64>,
    /// Seconds, where written or a plain window.
    pub duration_s: Option<f64>,
    /// Clock of an EMOM or of intervals.
    pub interval: Option<Interval>,
    /// Seconds between sets or rounds.
    pub rest_s: Option<Amount>,
    /// What is scored.
    pub score: ScoreKind,
    /// In order.
    pub lines: Vec<Line>,
    /// Other versions that the coach wrote.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub options: Vec<PartOption>,
    /// Announced tie-break, in words.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tie_break: Option<String>,
    /// How the score is taken, in the coach's words.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub score_rule: Option<String>,
    /// What counts when the cap comes first, e.g. `reps`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub if_capped: Option<String>,
    /// `round` where the cap is for each round.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cap_scope: Option<String>,
    /// A time to aim at, seconds.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub target_s: Option<Amount>,
    /// The next AMRAP block goes on where this one stopped.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub carry_on: Option<bool>,
    /// Words to this part alone.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<String>,
    /// Where its heading stands in the write-up.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<Place>,
    /// Other places of the write-up that speak of it: rest, cap, score.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub said: Vec<Place>,
}

/// Another version of a part that the coach wrote: a name and whatever differs.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct PartOption {
    /// e.g. `shorter`
    pub name: String,
    /// rounds instead
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rounds: Option<Amount>,
    /// cap instead
    #[serde(skip_serializing_if = "Option::is_none")]
    pub time_cap_s: Option<f64>,
    /// window instead
    #[serde(skip_serializing_if = "Option::is_none")]
    pub duration_s: Option<f64>,
    /// reps instead, for the line or lines of the part (`or shorter: 80`)
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reps: Option<Amount>,
    /// load instead
    #[serde(skip_serializing_if = "Option::is_none")]
    pub load: Option<Load>,
    /// names of the lines that `lines` replace; empty: all of them
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub replace: Vec<String>,
    /// lines instead
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub lines: Vec<Line>,
    /// as typed
    #[serde(skip_serializing_if = "Option::is_none")]
    pub text: Option<String>,
    /// where it stands in the write-up
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<Place>,
}

/// A line done once, before or after the rounds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// before the rounds
    BuyIn,
    /// after the rounds
    CashOut,
}

/// One movement of a complex, with how often it is done in one repetition of the whole.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Piece {
    /// canonical name, or the typed words
    pub movement: String,
    /// times in one repetition of the complex
    pub reps: Option<Amount>,
    /// false where the library does not know it
    #[serde(skip_serializing_if = "is_true")]
    pub known: bool,
}

impl Default for Piece {
    fn default() -> Self {
        Self { movement: String::new(), reps: None, known: true }
    }
}

/// One movement with its dose, load, side rule and tempo.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Line {
    /// Canonical name in the library; the typed words where `known` is false; `complex` where `complex` lists the pieces.
    pub movement: String,
    /// The library knows it.
    #[serde(skip_serializing_if = "is_true")]
    pub known: bool,
    /// Repetitions.
    pub reps: Option<Amount>,
    /// As many reps (or as long) as possible.
    #[serde(skip_serializing_if = "is_false")]
    pub max: bool,
    /// Time at work.
    pub seconds: Option<Amount>,
    /// Distance.
    pub metres: Option<Amount>,
    /// Calories on a machine.
    pub calories: Option<Amount>,
    /// What the number counts.
    pub side: Option<Side>,
    /// For one implement.
    pub load: Option<Load>,
    /// How many implements.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub implements: Option<u8>,
    /// Four places, `3-1-1-0`, `X` for fast.
    pub tempo: Option<String>,
    /// The pieces of a complex, in order.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub complex: Vec<Piece>,
    /// The coach's own swaps for this line.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub alternatives: Vec<Line>,
    /// Station of an EMOM, from 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub minute: Option<u32>,
    /// Done once, not per round.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub role: Option<Role>,
    /// `A1` ...
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<String>,
    /// Pause in each rep.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pause_s: Option<f64>,
    /// Time on the way down in each rep.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub down_s: Option<f64>,
    /// The ladder goes on.
    #[serde(skip_serializing_if = "is_false")]
    pub open: bool,
    /// By how much each rung grows.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub step: Option<f64>,
    /// A finished hold counts as so many reps.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub counts_as_reps: Option<f64>,
    /// What else was typed on the line.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// Where the line stands in the write-up.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<Place>,
}

impl Default for Line {
    fn default() -> Self {
        Self {
            movement: String::new(),
            known: true,
            reps: None,
            max: false,
            seconds: None,
            metres: None,
            calories: None,
            side: None,
            load: None,
            implements: None,
            tempo: None,
            complex: Vec::new(),
            alternatives: Vec::new(),
            minute: None,
            role: None,
            label: None,
            pause_s: None,
            down_s: None,
            open: false,
            step: None,
            counts_as_reps: None,
            note: None,
            at: None,
        }
    }
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands a reference")]
fn is_true(b: &bool) -> bool {
    *b
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands a reference")]
fn is_false(b: &bool) -> bool {
    !*b
}

/// Whether a problem blocks publishing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// blocks publishing
    Error,
    /// a question
    Ask,
}

/// What kind of thing cannot be right.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ProblemKind {
    /// a movement that the library does not have
    UnknownMovement,
    /// a number with no unit where one is needed
    MissingUnit,
    /// zero or a negative number
    ZeroReps,
    /// numbers that contradict each other
    Contradiction,
    /// nobody can finish inside the cap
    CapTooShort,
    /// lines that do not fit into the window that they share
    WindowTooShort,
    /// a time that looks like a slip
    OddTime,
    /// a percent of a lift that has no max
    MissingMax,
    /// so many, so heavy or so far as nobody does
    OddNumber,
    /// a part with no lines
    EmptyPart,
    /// an option that is neither easier, shorter nor different
    OptionSame,
    /// a format without its number
    MissingNumber,
    /// typed words that were kept as a note and look like more
    Unread,
    /// what could be meant in two ways
    Unclear,
}

/// One thing for the coach to look at.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Problem {
    /// what kind
    pub kind: ProblemKind,
    /// whether it blocks publishing
    pub severity: Severity,
    /// from 1
    pub line: usize,
    /// from 1, in characters
    pub column: usize,
    /// in characters; how much to underline
    pub length: usize,
    /// one plain sentence
    pub text: String,
    /// what could stand there instead
    pub suggest: Vec<String>,
}

impl Session {
    /// The same session with no places and no problems: two write-ups mean the same where this is equal.
    #[must_use]
    pub fn placeless(mut self) -> Self {
        self.problems.clear();
        for part in &mut self.parts {
            part.at = None;
            part.said.clear();
            let options = part.options.iter_mut().flat_map(|o| {
                o.at = None;
                &mut o.lines
            });
            for line in part.lines.iter_mut().chain(options) {
                line.at = None;
                line.alternatives.iter_mut().for_each(|a| a.at = None);
            }
        }
        self
    }

    /// Problems that block publishing.
    pub fn errors(&self) -> impl Iterator<Item = &Problem> {
        self.problems.iter().filter(|p| p.severity == Severity::Error)
    }

    /// What is asked: the session can be published without an answer.
    pub fn questions(&self) -> impl Iterator<Item = &Problem> {
        self.problems.iter().filter(|p| p.severity == Severity::Ask)
    }
}
