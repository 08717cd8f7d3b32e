//! Standings: who stands where on a board, and why.
//!
//! The rules are one value, [`Policy`], that a coach can change and that members read as plain sentences. Nothing here
//! depends on the order in which results arrived, and whoever is not shown leaves no gap.

mod board;
pub mod case;
mod key;
mod ladder;
mod policy;
mod verdict;
mod when;
mod why;

#[cfg(test)]
mod tests;

pub use board::{Board, Hidden, Row, Table, board};
pub use ladder::{Ladder, Rungs};
pub use policy::{Attempts, Late, Policy, TieBreak};

use super::score::Score;
use super::session::ScoreKind;
use serde::{Deserialize, Serialize};

/// What one version of a part sets: its cap and its counts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Course {
    /// seconds
    pub cap_s: Option<f64>,
    /// reps of the whole part
    pub total_reps: Option<u32>,
    /// reps of one round
    pub round_reps: Option<u32>,
}

/// What a part says about its results.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Scoring {
    /// what is scored
    pub kind: ScoreKind,
    /// the part as written
    pub course: Course,
    /// the coach's options in the coach's order, each with what it changes; the rest is as written
    pub options: Vec<(String, Course)>,
    /// written loads, kilograms; the lowest is the least that counts as written
    pub columns_kg: Vec<f64>,
    /// a lift counts with at least so many reps
    pub reps: Option<u32>,
    /// `fewest wins`: of what is counted, less is better
    pub least_wins: bool,
}

/// Which version somebody did.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Version {
    /// as written, with either load column
    #[default]
    Full,
    /// one of the coach's options: `lighter`, `shorter` ...
    Option(String),
    /// another movement: what was done instead, in words
    Adapted(String),
}

/// Whether a result may be seen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Shown {
    /// on the board
    #[default]
    Yes,
    /// logged, and kept from the board by its owner
    Private,
    /// taken back
    Withdrawn,
}

/// When it was done and when it came in, in minutes from the start of the session's day where the member lives.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct When {
    /// done; where nobody knows, the time it came in counts
    pub performed_min: Option<i64>,
    /// came in
    pub received_min: Option<i64>,
}

/// One result as ranking sees it. Effort, pain and notes are no part of it, so they cannot appear.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Entry {
    /// of the result
    pub id: String,
    /// whose it is; several entries of one member are corrections or attempts
    pub member: String,
    /// what was done
    pub version: Version,
    /// load used, kilograms, one implement
    #[serde(default)]
    pub load_kg: Option<f64>,
    /// the value
    pub score: Score,
    /// seconds at the tie-break
    #[serde(default)]
    pub tie_s: Option<f64>,
    /// kilograms; looked at only where the coach announced it
    #[serde(default)]
    pub body_kg: Option<f64>,
    /// an open question: no place until it is answered
    #[serde(default)]
    pub held: Option<String>,
    /// its owner or the coach was asked about the value, and said that it is right
    #[serde(default)]
    pub confirmed: bool,
    /// listed without a place for a reason of the coach's (a guest, a broken rule)
    #[serde(default)]
    pub unplaced: Option<String>,
    /// whether it may be seen
    #[serde(default)]
    pub shown: Shown,
    /// the result it corrects: an id, or where empty the member's latest before it
    #[serde(default)]
    pub corrects: Option<String>,
    /// 1 for the first attempt
    #[serde(default = "first")]
    pub attempt: u32,
    /// when
    #[serde(default)]
    pub when: When,
}

fn first() -> u32 {
    1
}

impl Entry {
    /// A first attempt at the part as written, shown, with nothing else known.
    #[must_use]
    pub fn new(id: &str, score: Score) -> Self {
        Self {
            id: id.to_owned(),
            member: id.to_owned(),
            version: Version::Full,
            load_kg: None,
            score,
            tie_s: None,
            body_kg: None,
            held: None,
            confirmed: false,
            unplaced: None,
            shown: Shown::Yes,
            corrects: None,
            attempt: 1,
            when: When::default(),
        }
    }
}

impl Scoring {
    /// Cap and counts of a version: the option's own, and the part's where the option changes nothing. An option that
    /// changes the cap or the work does not inherit the part's count of reps.
    #[must_use]
    pub fn course_of(&self, version: &Version) -> Course {
        let Version::Option(name) = version else { return self.course };
        match self.options.iter().find(|(n, _)| n == name) {
            None => self.course,
            Some((_, own)) => Course {
                cap_s: own.cap_s.or(self.course.cap_s),
                total_reps: own.total_reps.or(self.course.total_reps.filter(|_| own.cap_s.is_none())),
                round_reps: own.round_reps.or(self.course.round_reps),
            },
        }
    }
}
