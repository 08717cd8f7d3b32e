//! What a coach decides for the whole practice: the few rules in which coaches differ, and lines chosen for some members.

use super::kit::{Tools, bit};
use super::pick::Who;
use super::shelf::Purpose;
use crate::training::movement::{Demand, Implement};
use crate::training::session::{Intent, Line};
use serde::{Deserialize, Serialize};
use time::Date;

/// The rules and pins of a practice, on one day.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct House {
    /// where coaches differ
    pub rules: Rules,
    /// lines that the coach chose for some members, those that go first standing first
    pub pins: Vec<Pin>,
    /// the day, to tell how old a max is; without one no age is told
    pub today: Option<Date>,
}

/// Where coaches differ. Every default is common practice.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Rules {
    /// a max older than this is shown with its age, weeks
    pub max_age_weeks: u32,
    /// how a count for two weights is done with one
    pub one_for_two: OneForTwo,
    /// the most reps that a lighter load turns a strength set into
    pub most_reps: u32,
    /// a lighter load is also lowered slowly
    pub slower: bool,
    /// movements that are never given as a stand-in; where one is written it stays
    pub never: Vec<String>,
}

/// How a conditioning count for two weights is done with one.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum OneForTwo {
    /// the whole count stays, split between the sides
    #[default]
    Split,
    /// the whole count on each side
    EachSide,
}

impl Default for Rules {
    fn default() -> Self {
        Self { max_age_weeks: 26, one_for_two: OneForTwo::Split, most_reps: 20, slower: true, never: Vec::new() }
    }
}

/// A line that the coach chose for some members.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Pin {
    /// what it is kept under
    pub id: i64,
    /// in this session alone; everywhere where there is none
    pub session: Option<i64>,
    /// for whom
    pub whom: Whom,
    /// the written movement, canonical name
    pub movement: String,
    /// in parts of this purpose
    pub intent: Intent,
    /// what is done instead; without a dose the written one is converted
    pub becomes: Line,
}

/// Whom a pin is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Whom {
    /// one member, by [`crate::training::member::Profile::pinned`]
    Member(i64),
    /// members whose kit lacks this; [`Implement::None`]: members who have no kit at all
    Lacking(Implement),
    /// members who keep this out
    Avoiding(Demand),
}

impl Whom {
    /// A member is one of them.
    pub(crate) fn holds(self, who: &Who<'_>) -> bool {
        let bare: Tools = bit(Implement::None) | bit(Implement::Wall);
        match self {
            Self::Member(id) => who.profile.pinned == Some(id),
            Self::Lacking(Implement::None) => who.kit.tools & !bare == 0,
            Self::Lacking(tool) => who.kit.tools & bit(tool) == 0,
            Self::Avoiding(demand) => who.profile.avoid.contains(&demand),
        }
    }

    /// `for a home without a bar`, as the member reads it.
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Self::Member(_) => "for you".to_owned(),
            Self::Lacking(Implement::None) => "for a home without kit".to_owned(),
            Self::Lacking(tool) => format!("for a home without {}", super::why::with_article(tool)),
            Self::Avoiding(demand) => format!("for those who keep out {}", demand.label()),
        }
    }
}

impl House {
    /// The house as it is for one session: pins of other sessions are left out, those of this one stand first, and among
    /// equals what is said of one member stands before what is said of a kind of home.
    #[must_use]
    pub fn in_session(&self, session: Option<i64>) -> Self {
        let mut pins: Vec<Pin> = self.pins.iter().filter(|p| p.session.is_none() || p.session == session).cloned().collect();
        pins.sort_by_key(|p| (p.session.is_none(), !matches!(p.whom, Whom::Member(_))));
        Self { pins, ..self.clone() }
    }

    /// Pins for this line of a part and this member, those that go first standing first.
    pub(crate) fn pins_for<'h>(&'h self, line: &str, purpose: Purpose, who: &Who<'_>) -> impl Iterator<Item = &'h Pin> {
        let fits = move |p: &&Pin| p.movement == line && Purpose::of(p.intent) == purpose;
        self.pins.iter().filter(fits).filter(|p| p.whom.holds(who))
    }
}
