//! The board: entries into groups, places, and a line of why for each.

use super::ladder::Ladder;
use super::policy::Policy;
use super::{Entry, Scoring, Shown};
use serde::Serialize;
use std::collections::BTreeSet;

/// One line of a board.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Row {
    /// of the entry
    pub id: String,
    /// 1, 2, 2, 4 inside the table; `None` where it has no place
    pub place: Option<u32>,
    /// one plain sentence
    pub why: String,
}

/// One version with its results, best first.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Table {
    /// `full`, or the option's name; empty where all versions stand in one list
    pub name: String,
    /// best first; equal places stand side by side in the order of their ids
    pub rows: Vec<Row>,
}

/// An entry that the board does not show. For the coach and the owner alone.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Hidden {
    /// of the entry
    pub id: String,
    /// one plain sentence
    pub why: String,
}

/// A board.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Board {
    /// versions in order
    pub tables: Vec<Table>,
    /// shown without a place, in the order of their ids
    pub listed: Vec<Row>,
    /// waiting for an answer, in the order of their ids
    pub held: Vec<Row>,
    /// not shown
    pub hidden: Vec<Hidden>,
}

impl Board {
    /// Ids best first through all tables; ids that share a place stand together.
    #[must_use]
    pub fn order(&self) -> Vec<Vec<&str>> {
        let mut out: Vec<Vec<&str>> = Vec::new();
        for table in &self.tables {
            let mut last = None;
            for row in &table.rows {
                match out.last_mut().filter(|_| last == row.place) {
                    Some(shared) => shared.push(&row.id),
                    None => out.push(vec![&row.id]),
                }
                last = row.place;
            }
        }
        out
    }
}

/// Ranks the entries of one part. The order in which they are given does not matter.
#[must_use]
pub fn board(scoring: &Scoring, policy: &Policy, entries: &[Entry]) -> Board {
    let replaced = replaced(entries);
    let (gone, stand): (Vec<&Entry>, Vec<&Entry>) =
        entries.iter().partition(|e| e.shown == Shown::Yes && replaced.contains(e.id.as_str()));
    // a correction is no later than what it corrects
    let stand = stand.into_iter().map(|e| Entry { when: first_of(e, entries).when, ..e.clone() });
    let mut out = Ladder::new(scoring.clone(), policy.clone(), stand).board();
    let why = "Replaced by a correction; it stays in the history.";
    out.hidden.extend(gone.into_iter().map(|e| Hidden { id: e.id.clone(), why: why.to_owned() }));
    out.hidden.sort_by(|a, b| a.id.cmp(&b.id));
    out
}

/// Ids of results that a correction replaced: the one it names, or the member's latest before it. A correction that was
/// taken back has still replaced: the member does not stand by the old value.
fn replaced(entries: &[Entry]) -> BTreeSet<&str> {
    entries.iter().filter_map(|c| corrected(c, entries)).map(|e| e.id.as_str()).collect()
}

/// What a correction corrects.
fn corrected<'a>(c: &Entry, entries: &'a [Entry]) -> Option<&'a Entry> {
    let target = c.corrects.as_ref()?;
    let named = entries.iter().find(|e| e.id == *target && e.id != c.id);
    let before = |e: &&Entry| e.member == c.member && e.id != c.id && sequence(e) < sequence(c);
    named.or_else(|| entries.iter().filter(before).max_by_key(|e| sequence(e)))
}

/// The result that a chain of corrections began with: a correction is no later than what it corrects.
fn first_of<'a>(entry: &'a Entry, entries: &'a [Entry]) -> &'a Entry {
    let mut first = entry;
    for _ in 0..entries.len() {
        match corrected(first, entries) {
            Some(earlier) if earlier.id != entry.id => first = earlier,
            _ => break,
        }
    }
    first
}

/// The order of one member's entries.
pub(super) fn sequence(e: &Entry) -> (i64, bool, &str) {
    let came = e.when.received_min.or(e.when.performed_min).unwrap_or(i64::MAX);
    (came, e.corrects.is_some(), &e.id)
}
