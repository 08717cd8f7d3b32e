//! Scores: what people type after a session, read into a value that can be ranked.
//!
//! Reading is forgiving about spelling and strict about meaning. Where the words allow two values the reading is *held*:
//! it keeps one typed value and asks which was meant. Where a value is clear but hard to believe it carries a *doubt*.
//! The text stays beside the value for ever.

mod beside;
mod care;
mod clock;
mod counts;
mod listed;
mod load;
mod plain;
mod prompt;
mod rules;
mod scan;
pub mod sets;
mod timed;
mod tokens;
mod words;

#[cfg(test)]
mod tests;

pub use care::version_said;
pub use prompt::{Prompt, prompt, says_no_more};
pub use rules::{Combine, ScoreRules, least_wins};

use super::session::ScoreKind;
use serde::{Deserialize, Serialize};

/// Kilograms or pounds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum MassUnit {
    /// kilograms
    Kg,
    /// pounds, 0.45359237 kg exactly
    Lb,
}

/// One pound in kilograms, exact by the international agreement of 1959.
pub const KG_PER_LB: f64 = 0.453_592_37;

impl MassUnit {
    /// `kg` or `lb`.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Kg => "kg",
            Self::Lb => "lb",
        }
    }

    /// How many kilograms one of it is.
    #[must_use]
    pub fn kg(self) -> f64 {
        match self {
            Self::Kg => 1.0,
            Self::Lb => KG_PER_LB,
        }
    }
}

/// What a distance was typed in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum DistanceUnit {
    /// metres
    M,
    /// kilometres
    Km,
    /// miles, 1609.344 m exactly
    Mi,
    /// yards, 0.9144 m exactly
    Yd,
    /// feet, 0.3048 m exactly
    Ft,
}

impl DistanceUnit {
    /// `m`, `km`, `mi`, `yd`, `ft`.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::M => "m",
            Self::Km => "km",
            Self::Mi => "mi",
            Self::Yd => "yd",
            Self::Ft => "ft",
        }
    }

    /// How many metres one of it is.
    #[must_use]
    pub fn metres(self) -> f64 {
        match self {
            Self::M => 1.0,
            Self::Km => 1000.0,
            Self::Mi => 1609.344,
            Self::Yd => 0.9144,
            Self::Ft => 0.3048,
        }
    }
}

/// How far somebody came before the cap.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Work {
    /// reps done in all
    Done(u32),
    /// reps left to do; the part's total says how many were done
    Left(u32),
    /// full rounds, and reps of the next one
    Rounds(u32, u32),
    /// capped, and nothing else is known
    Unknown,
}

/// One lift: the weight, for how many reps, with how many implements.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Lift {
    /// as typed, for one implement
    pub weight: f64,
    /// as typed or settled; `None` holds the reading
    pub unit: Option<MassUnit>,
    /// `None`: as many as the part asks for; 0: a miss
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reps: Option<u32>,
    /// 2 for a pair
    #[serde(default = "one", skip_serializing_if = "is_one")]
    pub implements: u32,
    /// the weight comes on top of body weight
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub added: bool,
}

fn one() -> u32 {
    1
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands a reference")]
fn is_one(n: &u32) -> bool {
    *n == 1
}

impl Lift {
    /// Kilograms of one implement; `None` while the unit is open.
    #[must_use]
    pub fn kg(&self) -> Option<f64> {
        self.unit.map(|u| self.weight * u.kg())
    }
}

/// A score as it is stored and ranked.
///
/// # Design
/// Values stay in the unit that was typed (`135 lb`), because a stored conversion can never be undone and a member wants
/// to see their own number again; ranking converts.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Score {
    /// finished in so many seconds
    Time {
        /// more than 0
        seconds: f64,
    },
    /// the cap came first
    Capped {
        /// how far
        work: Work,
    },
    /// full rounds (or the last full rung) and the reps of the cut-off one
    RoundsReps {
        /// full ones
        rounds: u32,
        /// of the next one
        reps: u32,
    },
    /// repetitions in all
    Reps {
        /// 0 or more
        reps: u32,
    },
    /// lifts, in the order typed
    Load {
        /// at least one
        lifts: Vec<Lift>,
    },
    /// a distance
    Distance {
        /// as typed
        value: f64,
        /// as typed or settled; `None` holds the reading
        unit: Option<DistanceUnit>,
    },
    /// calories on a machine
    Calories {
        /// 0 or more
        calories: f64,
    },
    /// a hold, in seconds
    Hold {
        /// 0 or more
        seconds: f64,
    },
    /// done, nothing counted
    Done,
    /// started and not finished, or not started
    NotDone {
        /// began
        started: bool,
    },
}

/// A question that must be answered before the score can be ranked.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Question {
    /// one plain sentence
    pub text: String,
    /// what the person may have meant; each is a text that reads without a question
    pub answers: Vec<String>,
    /// reps done at the cap would answer too: `capped at 128`
    #[serde(default)]
    pub at_cap: bool,
}

/// What was understood.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Reading {
    /// exactly as typed
    pub text: String,
    /// the value; while `held`, the value as typed
    pub score: Score,
    /// in plain words, to be shown under the field
    pub understood: String,
    /// the score waits for an answer and has no place until then
    pub held: Option<Question>,
    /// the score counts and is marked for the coach: one plain sentence
    pub doubt: Option<String>,
    /// words that changed nothing
    pub unread: Vec<String>,
    /// seconds at the announced tie-break, where typed with the score
    pub tie_s: Option<f64>,
}

/// Text that is no score of this kind. What was typed is kept beside the reason.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{why}")]
pub struct ScoreError {
    /// exactly as typed
    pub text: String,
    /// one plain sentence
    pub why: String,
    /// texts that would be read
    pub examples: Vec<String>,
}

/// Longest text that is read, in characters.
const LONGEST: usize = 500;

/// Reads what somebody typed as a score of this kind.
///
/// # Errors
/// Text that is no score of this kind, with the reason and examples.
pub fn read(kind: ScoreKind, text: &str, rules: &ScoreRules) -> Result<Reading, ScoreError> {
    let fail = |why: String| ScoreError { text: text.to_owned(), why, examples: examples(kind) };
    if text.chars().count() > LONGEST {
        return Err(fail("That is too long for a score. Put the rest into the note.".to_owned()));
    }
    let (rest, tie_s) = tokens::tie_break(tokens::read(text));
    if let Some(word) = care::unread_number(&rest).filter(|_| kind != ScoreKind::None) {
        return Err(fail(format!("Write {word} in digits.")));
    }
    let weights = || {
        let parted = tokens::tie_break(tokens::read(&listed::parted(text))).0;
        listed::several(&parted, rules).unwrap_or_else(|| load::read(&parted, rules))
    };
    let draft = match kind {
        ScoreKind::Time => timed::read(&rest, rules),
        ScoreKind::RoundsReps => counts::rounds_reps(&rest, rules),
        ScoreKind::Reps => counts::reps(&rest, rules),
        ScoreKind::Load => weights(),
        ScoreKind::Distance => plain::distance(&rest, rules),
        ScoreKind::Calories => plain::calories(&rest, rules),
        ScoreKind::HoldTime => plain::hold(&rest, rules),
        ScoreKind::None => plain::done(&rest, text),
    }
    .map_err(fail)?;
    let draft = care::asked(draft, kind, text, &rest);
    let doubt = rules::doubt(&draft.score, rules).or_else(|| care::version(&draft.unread));
    let mut understood = draft.score.in_words(rules);
    if let Some(note) = &draft.note {
        understood = format!("{understood} ({note})");
    }
    Ok(Reading { text: text.to_owned(), understood, score: draft.score, held: draft.held, doubt, unread: draft.unread, tie_s })
}

/// What a reader of one kind hands back.
#[derive(Debug)]
struct Draft {
    score: Score,
    held: Option<Question>,
    /// how a doubtful spelling was understood
    note: Option<String>,
    unread: Vec<String>,
}

impl Draft {
    fn clear(score: Score, unread: Vec<String>) -> Self {
        Self { score, held: None, note: None, unread }
    }

    fn noted(mut self, note: impl Into<String>) -> Self {
        self.note = Some(note.into());
        self
    }

    fn ask(mut self, text: impl Into<String>, answers: Vec<String>) -> Self {
        self.held = Some(Question { text: text.into(), answers, at_cap: false });
        self
    }

    /// The reps done at the cap would answer what is asked.
    fn or_at_cap(mut self) -> Self {
        if let Some(question) = &mut self.held {
            question.at_cap = true;
        }
        self
    }
}

type Drafted = Result<Draft, String>;

/// Texts that are read, for the placeholder of the field and for the error.
#[must_use]
pub fn examples(kind: ScoreKind) -> Vec<String> {
    let list: &[&str] = match kind {
        ScoreKind::Time => &["7:42", "1:02:30", "capped at 128", "4 left"],
        ScoreKind::RoundsReps => &["12+5", "12 rounds + 5", "5 rounds"],
        ScoreKind::Reps => &["52", "52 reps"],
        ScoreKind::Load => &["62.5 kg", "135 lb", "80 kg x 3, 90 kg x 2"],
        ScoreKind::Distance => &["400 m", "1.2 km"],
        ScoreKind::Calories => &["52"],
        ScoreKind::HoldTime => &["0:45", "45 s"],
        ScoreKind::None => &["done"],
    };
    list.iter().map(|s| (*s).to_owned()).collect()
}
