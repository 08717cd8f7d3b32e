//! A board as it stands, kept in memory and brought up to date by what changed since.
//!
//! # Design
//! Ranking a crowd takes longer than a page may. So a board is kept as a [`Ladder`], and before it is looked at, what was logged,
//! corrected or taken back since ([`Changes`](crate::store::changes::Changes)) is read and put in its place. It is made anew
//! where the rules, the version on show or the library are others. A page gets the few rows that it shows, and reads names and
//! scores for those alone.

use super::entries::Earlier;
use super::kept::{self, Kept};
use crate::store::boards::{BoardRow, Rules};
use crate::store::people::{Person, Role};
use crate::store::weeks::Published;
use crate::training::retest::value;
use crate::training::score::Score;
use crate::training::session::Part;
use crate::training::standings::{Policy, Row, Rungs, Shown};
use crate::web::App;
use crate::web::error::Error;
use std::collections::{BTreeSet, HashMap};
use std::sync::Arc;

/// A strip of dots is drawn by at most so many of its results.
const STRIP: usize = 400;

/// What somebody trains with, by the heaviest that is at home.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Kit {
    /// a bar that is loaded
    Bar,
    /// dumbbells or kettlebells
    Bells,
    /// neither
    Light,
}

impl Kit {
    /// Every kind, heaviest first.
    pub const ALL: [Self; 3] = [Self::Bar, Self::Bells, Self::Light];

    /// How it stands in an address.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Bar => "bar",
            Self::Bells => "bells",
            Self::Light => "light",
        }
    }

    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Bar => "a bar and plates",
            Self::Bells => "dumbbells or kettlebells",
            Self::Light => "neither bar nor bells",
        }
    }

    /// Reads [`Kit::key`].
    #[must_use]
    pub fn named(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|k| k.key() == key)
    }

    /// What this person has.
    #[must_use]
    pub fn of(person: &Person) -> Self {
        let has = |item: &str| person.kit.iter().any(|k| k.item == item);
        Self::from((has("barbell"), has("dumbbell") || has("kettlebell")))
    }
}

impl From<(bool, bool)> for Kit {
    /// A bar; bells.
    fn from(has: (bool, bool)) -> Self {
        match has {
            (true, _) => Self::Bar,
            (false, true) => Self::Bells,
            _ => Self::Light,
        }
    }
}

/// Which board of a part.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Which {
    /// one list over all versions, or by version; none: as the rules say
    pub one_list: Option<bool>,
    /// only who has this at home
    pub kit: Option<Kit>,
    /// other groups that did the same part on the same day too
    pub all_groups: bool,
}

/// What is wanted of a board.
#[derive(Clone, Debug)]
pub struct Cut<'a> {
    /// in whose eyes
    pub reader: &'a Person,
    /// rows of each table and list at first
    pub first: usize,
    /// rows on both sides of the reader's own
    pub around: usize,
    /// a table of which rows further down are wanted, and from which on
    pub from: Option<(&'a str, usize)>,
    /// with strips of dots
    pub strips: bool,
}

impl<'a> Cut<'a> {
    /// The first rows, and the reader's own.
    #[must_use]
    pub const fn top(reader: &'a Person, first: usize) -> Self {
        Self { reader, first, around: 0, from: None, strips: false }
    }
}

/// The results of a table along a line.
#[derive(Debug)]
pub struct Strip {
    /// some of them, best first
    pub values: Vec<f64>,
    /// how many there are
    pub total: usize,
    /// as for times
    pub less_is_better: bool,
    /// the two ends
    pub best: Score,
    /// the two ends
    pub worst: Score,
}

/// A table's rows that were wanted.
#[derive(Debug)]
pub struct Table {
    /// as the board names it
    pub name: String,
    /// how many have a place
    pub total: usize,
    /// by their number from 0, in order
    pub rows: Vec<(usize, Row)>,
    /// the first row of the run that was asked for
    pub start: usize,
    /// where its results are numbers of one kind
    pub strip: Option<Strip>,
}

/// A board in the eyes of one reader, with what its rows are of.
#[derive(Debug)]
pub struct Standing {
    /// by version
    pub tables: Vec<Table>,
    /// the first of those without a place
    pub listed: Vec<Row>,
    /// how many there are
    pub listed_total: usize,
    /// the first that wait for an answer; for a member their own
    pub held: Vec<Row>,
    /// the rules it was made by
    pub policy: Policy,
    /// where the rules come from
    pub rules: Rules,
    /// where the reader stands: table and row, in order
    pub places: Vec<(usize, usize)>,
    /// the reader logged it and keeps it off the board
    pub is_private: bool,
    rows: HashMap<String, BoardRow>,
    earlier: Earlier,
}

impl Standing {
    /// What a row of the board is of.
    #[must_use]
    pub fn row(&self, id: &str) -> Option<&BoardRow> {
        self.rows.get(id)
    }

    /// The part as it was when this was done, where that was other work than what stands there now.
    #[must_use]
    pub fn part_done(&self, row: &BoardRow) -> Option<&Part> {
        self.earlier.get(&row.version_id).map(Arc::as_ref)
    }

    /// Every row that was wanted.
    pub fn all(&self) -> impl Iterator<Item = &Row> {
        let placed = self.tables.iter().flat_map(|t| t.rows.iter().map(|(_, row)| row));
        placed.chain(&self.listed).chain(&self.held)
    }

    fn of(kept: &Kept, rules: Rules, cut: &Cut<'_>) -> Self {
        let (ladder, me) = (&kept.ladder, cut.reader.id.to_string());
        let places = ladder.places_of(&me);
        let table = |(t, rungs): (usize, &Rungs<'_>)| {
            let own = places.iter().filter(|(of, _)| *of == t).map(|(_, row)| *row);
            table(rungs, own, cut)
        };
        let coach = cut.reader.role == Role::Coach;
        let theirs = |row: &Row| coach || ladder.entry(&row.id).is_some_and(|e| e.member == me);
        let is_private = |id: &String| ladder.entry(id).is_some_and(|e| e.shown == Shown::Private);
        // the reader's own is in sight however many are listed before it
        let is_own = |row: &Row| ladder.entry(&row.id).is_some_and(|e| e.member == me);
        let wanted = |(i, row): (usize, Row)| (i < cut.first || is_own(&row)).then_some(row);
        Self {
            tables: ladder.tables().iter().enumerate().map(table).collect(),
            listed: ladder.listed().enumerate().filter_map(wanted).collect(),
            listed_total: ladder.listed().len(),
            held: ladder.held().filter(theirs).take(cut.first).collect(),
            policy: kept.policy.clone(),
            rules,
            is_private: ladder.ids_of(&me).iter().any(is_private),
            places,
            rows: HashMap::new(),
            earlier: kept.earlier.clone(),
        }
    }
}

fn table(rungs: &Rungs<'_>, own: impl Iterator<Item = usize>, cut: &Cut<'_>) -> Table {
    let total = rungs.len();
    let start = cut.from.filter(|(name, _)| *name == rungs.name).map_or(0, |(_, from)| from.min(total));
    let mut wanted: BTreeSet<usize> = (start..total.min(start.saturating_add(cut.first))).collect();
    for i in own {
        wanted.extend(i.saturating_sub(cut.around)..total.min(i + cut.around + 1));
    }
    Table {
        name: rungs.name.to_owned(),
        total,
        rows: wanted.into_iter().filter_map(|i| Some((i, rungs.row(i)?))).collect(),
        start,
        strip: if cut.strips { strip(rungs) } else { None },
    }
}

/// Whoever was capped has no such number, and stands behind all who have one.
fn strip(rungs: &Rungs<'_>) -> Option<Strip> {
    let total = rungs.first_that(|e| value(&e.score).is_none());
    let score = |i: usize| rungs.entry(i).map(|e| &e.score);
    let (best, worst) = (score(0)?, score(total.checked_sub(1)?)?);
    let every = total.div_ceil(STRIP).max(1);
    let values = (0..total).step_by(every).filter_map(|i| Some(value(score(i)?)?.0)).collect();
    Some(Strip { values, total, less_is_better: value(best)?.1, best: best.clone(), worst: worst.clone() })
}

/// The board of a part of a session that this reader may see.
///
/// # Errors
/// A part that is not there.
pub async fn standing(app: &App, shown: &Published, part: usize, which: Which, cut: &Cut<'_>) -> Result<Standing, Error> {
    let mut standing = kept::look(app, shown, part, which, |kept, rules| Standing::of(kept, rules, cut)).await?;
    // ids of a board are rows of results
    let ids: Vec<i64> = standing.all().filter_map(|row| row.id.parse().ok()).collect();
    let rows = app.store.board_rows_by_id(&ids).await?;
    standing.rows = rows.into_iter().map(|r| (r.id.to_string(), r)).collect();
    Ok(standing)
}

/// Whether a result can be seen on a board, and whether it waits for an answer; none where it cannot.
///
/// # Errors
/// A part that is not there.
pub async fn stands(app: &App, shown: &Published, part: usize, which: Which, result: &str) -> Result<Option<bool>, Error> {
    kept::look(app, shown, part, which, |kept, _| {
        let waits = || kept.ladder.held().any(|row| row.id == result);
        kept.ladder.entry(result).map(|_| waits())
    })
    .await
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kit_goes_by_the_heaviest_that_is_at_home() {
        assert_eq!(Kit::from((true, true)), Kit::Bar);
        assert_eq!(Kit::from((false, true)), Kit::Bells);
        assert_eq!(Kit::from((false, false)), Kit::Light);
        assert!(Kit::ALL.into_iter().all(|k| Kit::named(k.key()) == Some(k)));
    }
}
