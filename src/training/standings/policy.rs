//! The rules of a board as one value.

use super::When;
use crate::training::score::least_wins;
use crate::training::session::ScoreKind;
use serde::{Deserialize, Serialize};

/// Which of several attempts counts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Attempts {
    /// the first; later ones are not shown
    #[default]
    First,
    /// the best of all
    Best,
    /// the last
    Last,
}

/// What happens to a result that was done too late.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Late {
    /// listed without a place
    #[default]
    Listed,
    /// counts all the same
    Counts,
}

/// What parts equal results. Only what the coach announced before anybody started.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum TieBreak {
    /// nothing: they share a place
    #[default]
    None,
    /// a time on the clock, less is better; in the coach's words
    Clock(String),
    /// lighter body first
    LighterBody,
    /// fewer reps at the same load first
    FewerReps,
    /// more reps at the same load first
    MoreReps,
    /// the heavier load first
    HeavierLoad,
}

/// The rules of a board. A coach can change each of them; [`Policy::sentences`] says them to members.
///
/// # Design
/// A value instead of code with switches: what ranks is what is shown, and a change is a new value with a date.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Policy {
    /// everybody in one list, whatever the version
    pub one_list: bool,
    /// versions after the full one; those that are not named follow in the coach's order
    pub group_order: Vec<String>,
    /// loads closer than this are equal, kilograms
    pub load_step_kg: f64,
    /// which attempt counts
    pub attempts: Attempts,
    /// what parts equal results
    pub tie_break: TieBreak,
    /// when the board closes, minutes into the session's day where the member lives
    pub closes_min: Option<i64>,
    /// how long a result done in time may take to come in, hours
    pub grace_h: f64,
    /// what happens to late results
    pub late: Late,
    /// groups that do the same part on the same day may also be seen in one list
    pub across_groups: bool,
}

impl Default for Policy {
    fn default() -> Self {
        Self {
            one_list: false,
            group_order: vec!["lighter".to_owned(), "shorter".to_owned()],
            load_step_kg: 0.5,
            attempts: Attempts::First,
            tie_break: TieBreak::None,
            closes_min: None,
            grace_h: 24.0,
            late: Late::Listed,
            across_groups: false,
        }
    }
}

impl Policy {
    /// Why a result is too late, or `None`. What counts is when it was done where the member lives; the grace is for the
    /// way in.
    #[must_use]
    pub fn too_late(&self, when: &When) -> Option<String> {
        let closes = self.closes_min.filter(|_| self.late == Late::Listed)?;
        let done = when.performed_min.or(when.received_min)?;
        if done > closes {
            return Some(format!("done after {}, when the board closed", clock(closes)));
        }
        #[expect(clippy::cast_possible_truncation, reason = "hours of grace, a small number; a cast saturates")]
        let grace = (self.grace_h * 60.0).round() as i64;
        let came_in = when.received_min?;
        (came_in > closes.saturating_add(grace)).then(|| format!("came in more than {} h after the board closed", self.grace_h))
    }

    /// The rules in plain sentences for members.
    #[must_use]
    pub fn sentences(&self) -> Vec<String> {
        let all = [ScoreKind::Time, ScoreKind::RoundsReps, ScoreKind::Load];
        self.sentences_with(all.into_iter().flat_map(|kind| self.first(kind)).collect())
    }

    /// The rules of one board: which result stands first is said for its kind of score alone.
    #[must_use]
    pub fn sentences_for(&self, kind: ScoreKind, score_rule: Option<&str>) -> Vec<String> {
        if kind != ScoreKind::Time && score_rule.is_some_and(least_wins) {
            return self.sentences_with(vec!["The least stands first, as the coach wrote.".to_owned()]);
        }
        self.sentences_with(self.first(kind))
    }

    /// Which result stands first.
    fn first(&self, kind: ScoreKind) -> Vec<String> {
        let words: &[&str] = match kind {
            ScoreKind::Time => &[
                "The shortest time stands first. Every finisher stands before everyone who was capped; capped results go by reps done.",
                "Reps left are turned into reps in all.",
                "A time over the cap is asked about. If it is right, it is listed without a place.",
            ],
            ScoreKind::RoundsReps => &["The most work stands first: rounds and reps are turned into reps in all."],
            ScoreKind::Reps => &["The most reps stand first."],
            ScoreKind::Load => &["The heaviest load stands first."],
            ScoreKind::Distance => &["The longest distance stands first."],
            ScoreKind::Calories => &["The most calories stand first."],
            ScoreKind::HoldTime => &["The longest hold stands first."],
            ScoreKind::None => &[],
        };
        let loads = (kind == ScoreKind::Load || self.tie_break == TieBreak::HeavierLoad)
            .then(|| format!("Loads are compared in kilograms, to the nearest {} kg.", self.load_step_kg));
        words.iter().map(|w| (*w).to_owned()).chain(loads).collect()
    }

    fn sentences_with(&self, first: Vec<String>) -> Vec<String> {
        let mut out = vec![
            self.groups(),
            "Whoever did another movement is listed with the result and the change, without a place.".to_owned(),
        ];
        out.extend(first);
        out.extend([
            self.ties(),
            "A correction replaces the result, better or worse.".to_owned(),
            match self.attempts {
                Attempts::First => "The first attempt counts. A second one changes nothing on the board.".to_owned(),
                Attempts::Best => "You may try more than once; the best attempt counts.".to_owned(),
                Attempts::Last => "You may try more than once; the last attempt counts.".to_owned(),
            },
        ]);
        out.extend(self.closes_min.map(|closes| match self.late {
            Late::Counts => "Late results count.".to_owned(),
            Late::Listed => format!(
                "The board closes at {} where you live. What counts is when you did it; it may come in up to {} h later. \
                 Logged on the day itself, the time it came in counts; logged later, the day you give. Later results are listed \
                 without a place.",
                clock(closes),
                self.grace_h
            ),
        }));
        if self.across_groups {
            out.push("Groups that do the same part on the same day can also be seen in one list.".to_owned());
        }
        out.push("Whoever left the group leaves its boards.".to_owned());
        out.push("A result with an open question waits without a place, and nobody waits for it.".to_owned());
        out.push(
            "A result that is hard to believe counts. Its member and the coach see it marked, and the coach can correct it."
                .to_owned(),
        );
        out.push("A result that you keep private or take back leaves no trace on the board.".to_owned());
        out.push("Effort, pain and notes go to the coach alone.".to_owned());
        out
    }

    fn groups(&self) -> String {
        if self.one_list {
            return "All versions stand in one list.".to_owned();
        }
        let after: Vec<String> = self.group_order.iter().map(|g| format!(", then {g}")).collect();
        format!("As written stands first, with either load{}. Inside each, results decide.", after.concat())
    }

    fn ties(&self) -> String {
        let share = "share a place: 1, 2, 2, 4";
        match &self.tie_break {
            TieBreak::None => format!("Equal results {share}. Body weight plays no part."),
            TieBreak::Clock(words) => format!("Equal results are parted by {words}; if that is equal too, they {share}."),
            TieBreak::LighterBody => {
                format!("Of equal results the lighter person stands first; if that is equal too, they {share}.")
            }
            TieBreak::FewerReps => {
                format!("Of equal loads the one with fewer reps stands first; if that is equal too, they {share}.")
            }
            TieBreak::HeavierLoad => {
                format!("Of equal results the one with the heavier load stands first; if that is equal too, they {share}.")
            }
            TieBreak::MoreReps => {
                format!("Of equal loads the one with more reps stands first; if that is equal too, they {share}.")
            }
        }
    }
}

/// `21:00`, `the end of the day`, `12:00 the day after`.
fn clock(minutes: i64) -> String {
    let (days, of_day) = (minutes.div_euclid(1440), minutes.rem_euclid(1440));
    let (days, time) = if of_day == 0 && days > 0 {
        (days - 1, "the end of the day".to_owned())
    } else {
        (days, format!("{:02}:{:02}", of_day.div_euclid(60), of_day.rem_euclid(60)))
    };
    match (days, of_day) {
        (0, _) => time,
        (1, 0) => format!("{time} after"),
        (1, _) => format!("{time} the day after"),
        (days, _) => format!("{time} {days} days after"),
    }
}
