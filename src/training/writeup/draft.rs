//! A part while it is being put together: everything said about it, each with its place.

use super::super::dose::Amount;
use super::super::session::Role;
use super::clause::Lead;
use super::element::{Heading, What};
use super::item::{Facts, Item, Span};
use super::quantity::Quantity;

/// A line while it is being put together.
#[derive(Clone, Debug, Default)]
pub struct Row {
    /// what was typed
    pub item: Item,
    /// label, number, minute
    pub lead: Lead,
    /// done once
    pub role: Option<Role>,
    /// the coach's own swaps
    pub alternatives: Vec<Item>,
    /// words about this line alone
    pub notes: Vec<Span>,
    /// everything typed about it on its own line
    pub at: Option<Span>,
    /// typed line, from 1
    pub line: usize,
    /// a finished hold counts as so many reps
    pub counts_as: Option<f64>,
}

/// Another version while it is being put together.
#[derive(Clone, Debug, Default)]
pub struct Other {
    /// its words
    pub span: Span,
    /// what it changes
    pub facts: Vec<Facts>,
    /// its lines or doses
    pub items: Vec<Item>,
    /// name of the version
    pub name: String,
    /// `in place of the first two`: so many lines from the first
    pub replaces: Option<usize>,
}

/// A part while it is being put together.
#[derive(Clone, Debug, Default)]
pub struct Draft {
    /// words of its heading
    pub name: String,
    /// `A`
    pub label: Option<String>,
    /// the list number of the entry that it is: `2) 4 sets of ...`
    pub number: Option<f64>,
    /// heading span
    pub at: Option<Span>,
    /// further places that speak of it
    pub said: Vec<Span>,
    /// everything said, in order
    pub facts: Vec<Facts>,
    /// what kind of part its words say
    pub heading: Option<Heading>,
    /// one dose for all lines: `21-15-9`, `3 x 12:`
    pub scheme: Option<Item>,
    /// names in the heading that wait for their dose
    pub pending: Vec<Row>,
    /// lines
    pub rows: Vec<Row>,
    /// a load on a line of its own, for every line above that is done with one
    pub load_of_all: Option<Item>,
    /// words
    pub notes: Vec<Span>,
    /// other versions
    pub options: Vec<Other>,
    /// how to score
    pub score: Vec<Span>,
    /// stations of an EMOM or of intervals that are rest
    pub rest_stations: usize,
    /// of those, the minutes that are said
    pub rest_minutes: Vec<u32>,
    /// how many sets the words to members speak of: `all 5 sets`
    pub sets_said: Vec<(f64, Span)>,
    /// rounds mentioned away from the heading, for the contradiction check
    pub mentions: Vec<(Amount, Span)>,
    /// sets of rungs or percents said for the part alone
    pub more: Vec<Quantity>,
    /// the previous part's last movement, for `then 3 x 3 @ 90 %`
    pub carried: Option<Row>,
}

impl Draft {
    /// Nothing was said that makes a part.
    #[must_use]
    pub fn is_blank(&self) -> bool {
        self.rows.is_empty()
            && self.pending.is_empty()
            && self.facts.is_empty()
            && self.heading.is_none()
            && self.label.is_none()
            && self.scheme.is_none()
    }

    /// `Session - 40 mins` above the parts: how long the day is.
    #[must_use]
    pub fn tells_the_length(&self) -> bool {
        let plain = |f: &Facts| Facts { heading: None, window: None, ..f.clone() }.is_empty();
        let bare = self.rows.is_empty() && self.pending.is_empty() && self.scheme.is_none() && self.label.is_none();
        let lasts = self.first(|f| f.window.clone()).is_some();
        bare && lasts && self.heading == Some(Heading::Plain) && self.facts.iter().all(plain)
    }

    /// Lines that are done in every round.
    #[must_use]
    pub fn has_rounds_lines(&self) -> bool {
        self.rows.iter().any(|r| r.role.is_none())
    }

    /// It already says how it runs.
    #[must_use]
    pub fn is_shaped(&self) -> bool {
        self.facts.iter().any(|f| {
            f.amrap.is_some()
                || f.every.is_some()
                || f.on_off.is_some()
                || f.for_time.is_some()
                || f.ladder.is_some()
                || f.rounds.is_some()
        })
    }

    /// The first of a fact, over everything said.
    pub fn first<T>(&self, pick: impl Fn(&Facts) -> Option<T>) -> Option<T> {
        self.facts.iter().find_map(pick)
    }

    /// Its lines need no dose of their own.
    #[must_use]
    pub fn doses_lines(&self) -> bool {
        self.scheme.is_some() || self.first(|f| f.on_off.as_ref().map(|_| ())).is_some() || self.first(|f| f.ladder).is_some()
    }
}

/// Whole write-up, cut into parts.
#[derive(Clone, Debug, Default)]
pub struct Sheet {
    /// heading of the day
    pub title: Option<Span>,
    /// what it is for
    pub aim: Vec<Span>,
    /// words that belong to no part
    pub notes: Vec<Span>,
    /// parts in order
    pub parts: Vec<Draft>,
    /// words that look like more than a note
    pub unread: Vec<Span>,
    /// `hold 20`: a hold with a number and no unit
    pub unitless: Vec<Span>,
    /// lines behind `then` that could be meant once or in every round, and whether they are read as once
    pub perhaps_once: Vec<(Span, bool)>,
    /// lines behind an empty one that could go on with the part above it, and whether they are read as a part of their own
    pub perhaps_apart: Vec<(Span, bool)>,
    /// `What` words that could not be placed
    pub stray: Vec<What>,
}
