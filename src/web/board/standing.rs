//! A board as it stands, made once for all readers and kept while nothing changes.
//!
//! # Design
//! Ranking a crowd takes longer than a page may. So a board is kept in memory beside the number that its data had
//! ([`crate::store::Store::board_change`]), and made anew where that number, the rules or the version on show are others. The number is
//! counted by the database itself, so nothing that writes can forget it. Pages render a few rows around the top and the reader.

use super::entries::{self, Against};
use crate::store::boards::{BoardRow, Rules};
use crate::store::ids::VersionId;
use crate::store::people::Person;
use crate::store::weeks::Published;
use crate::training::movement::Library;
use crate::training::retest::{value, work};
use crate::training::score::Score;
use crate::training::session::Part;
use crate::training::standings::{self, Board, Policy};
use crate::web::App;
use crate::web::error::Error;
use std::collections::{HashMap, HashSet};
use std::sync::{Arc, Mutex, PoisonError};

/// Rows of all kept boards together; past it the ones that were not asked for longest go.
const KEPT_ROWS: usize = 500_000;
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

/// A board with what its rows are of.
#[derive(Debug)]
pub struct Standing {
    /// who stands where
    pub board: Board,
    /// the rules it was made by
    pub policy: Policy,
    /// where the rules come from
    pub rules: Rules,
    /// a strip for each of the board's tables, where its results are numbers of one kind
    pub strips: Vec<Option<Strip>>,
    rows: HashMap<String, BoardRow>,
    /// places of a person: table and row
    places: HashMap<i64, Vec<(usize, usize)>>,
    /// who logged it and keeps it off the board
    private: HashSet<i64>,
}

impl Standing {
    /// What a row of the board is of.
    #[must_use]
    pub fn row(&self, id: &str) -> Option<&BoardRow> {
        self.rows.get(id)
    }

    /// Where a person stands: table and row, in order.
    #[must_use]
    pub fn places_of(&self, person: &Person) -> &[(usize, usize)] {
        self.places.get(&person.id.0).map_or(&[], Vec::as_slice)
    }

    /// This person logged it and keeps it off the board.
    #[must_use]
    pub fn is_private(&self, person: &Person) -> bool {
        self.private.contains(&person.id.0)
    }

    fn new(board: Board, policy: Policy, rules: Rules, rows: Vec<BoardRow>) -> Self {
        let private = rows.iter().filter(|r| !r.shown).map(|r| r.person_id.0).collect();
        let rows: HashMap<String, BoardRow> = rows.into_iter().map(|r| (r.id.to_string(), r)).collect();
        let mut places: HashMap<i64, Vec<(usize, usize)>> = HashMap::new();
        for (t, table) in board.tables.iter().enumerate() {
            for (i, row) in table.rows.iter().enumerate() {
                if let Some(r) = rows.get(&row.id) {
                    places.entry(r.person_id.0).or_default().push((t, i));
                }
            }
        }
        let strips = board.tables.iter().map(|t| strip(t, &rows)).collect();
        Self { board, policy, rules, strips, rows, places, private }
    }
}

fn strip(table: &standings::Table, rows: &HashMap<String, BoardRow>) -> Option<Strip> {
    let scores = || table.rows.iter().filter_map(|r| rows.get(&r.id)?.score.as_ref());
    let numbers: Vec<(f64, bool, &Score)> = scores().filter_map(|s| value(s).map(|(v, less)| (v, less, s))).collect();
    let ((_, less, best), (.., worst)) = (numbers.first()?, numbers.last()?);
    let every = numbers.len().div_ceil(STRIP).max(1);
    let values = numbers.iter().step_by(every).map(|(v, ..)| *v).collect();
    Some(Strip { values, total: numbers.len(), less_is_better: *less, best: (*best).clone(), worst: (*worst).clone() })
}

/// One part of one published session.
#[derive(Clone, Debug)]
struct Place {
    shown: Arc<Published>,
    part: usize,
}

impl Place {
    fn part(&self) -> Result<&Part, Error> {
        self.shown.session.parts.get(self.part).ok_or(Error::NotFound)
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
struct Key {
    version: VersionId,
    part: usize,
    which: Which,
}

#[derive(Debug)]
struct Kept {
    change: i64,
    library: usize,
    standing: Arc<Standing>,
    used: u64,
}

/// Boards that are kept.
#[derive(Clone, Debug, Default)]
pub struct Boards {
    kept: Arc<Mutex<(u64, HashMap<Key, Kept>)>>,
    /// one board is made at a time: a crowd that asks at once is answered by one
    making: Arc<tokio::sync::Mutex<()>>,
}

impl Boards {
    fn get(&self, key: &Key, change: i64, library: &Arc<Library>, rules: &Rules) -> Option<Arc<Standing>> {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        kept.0 += 1;
        let now = kept.0;
        let it = kept.1.get_mut(key)?;
        let same = it.change == change && it.library == Arc::as_ptr(library).addr() && it.standing.rules.policy == rules.policy;
        it.used = now;
        same.then(|| it.standing.clone())
    }

    fn put(&self, key: Key, change: i64, library: &Arc<Library>, standing: Arc<Standing>) {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        let used = kept.0;
        kept.1.insert(key, Kept { change, library: Arc::as_ptr(library).addr(), standing, used });
        while kept.1.len() > 1 && kept.1.values().map(|k| k.standing.rows.len() + 1).sum::<usize>() > KEPT_ROWS {
            let oldest = kept.1.iter().filter(|(k, _)| **k != key).min_by_key(|(_, k)| k.used).map(|(k, _)| *k);
            match oldest {
                Some(oldest) => kept.1.remove(&oldest),
                None => break,
            };
        }
    }
}

/// The board of a part of a session that this reader may see.
///
/// # Errors
/// A part that is not there.
pub async fn standing(app: &App, shown: &Published, part: usize, which: Which) -> Result<Arc<Standing>, Error> {
    let place = Place { shown: Arc::new(shown.clone()), part };
    place.part()?;
    let rules = app.store.board_rules(shown.group_id, shown.session_id, part).await?;
    let library = app.library();
    let places = if which.all_groups { with_others(app, place).await? } else { vec![place] };
    let key = Key { version: shown.version_id, part, which };
    let mut change = 0;
    for p in &places {
        change += app.store.board_change(p.shown.session_id).await?;
    }
    if let Some(kept) = app.boards.get(&key, change, &library, &rules) {
        return Ok(kept);
    }
    let _one_at_a_time = app.boards.making.lock().await;
    if let Some(kept) = app.boards.get(&key, change, &library, &rules) {
        return Ok(kept);
    }
    let mut results = Vec::new();
    let mut earlier = HashSet::new();
    for p in &places {
        let rows = app.store.board_rows(p.shown.session_id, p.part).await?;
        earlier.extend(other_work(app, p, &rows).await?);
        results.extend(rows);
    }
    if let Some(kit) = which.kit {
        results.retain(|r| Kit::from(r.has) == kit);
    }
    let (of, with) = (places[0].clone(), library.clone());
    let made = tokio::task::spawn_blocking(move || make(&of, which, &with, rules, &earlier, results));
    let made = Arc::new(made.await.map_err(anyhow::Error::from)??);
    app.boards.put(key, change, &library, made.clone());
    Ok(made)
}

fn make(
    place: &Place,
    which: Which,
    library: &Library,
    rules: Rules,
    earlier: &HashSet<VersionId>,
    rows: Vec<BoardRow>,
) -> Result<Standing, Error> {
    let part = place.part()?;
    let mut policy = entries::policy(part, rules.policy.clone());
    policy.one_list = which.one_list.unwrap_or(policy.one_list);
    let to = Against { part, library, policy: &policy, day: place.shown.day, earlier };
    let entries = entries::entries(rows.iter(), &to);
    let board = standings::board(&entries::scoring(part, library), &policy, &entries);
    Ok(Standing::new(board, policy, rules, rows))
}

/// Versions of the session in which this part was something else.
async fn other_work(app: &App, place: &Place, rows: &[BoardRow]) -> Result<HashSet<VersionId>, Error> {
    let shown = &place.shown;
    let now = work(place.part()?);
    let mut others: HashSet<VersionId> = rows.iter().map(|r| r.version_id).filter(|v| *v != shown.version_id).collect();
    if !others.is_empty() {
        for version in app.store.versions(shown.session_id).await? {
            if version.session.parts.get(place.part).map(work).as_ref() == Some(&now) {
                others.remove(&version.version_id);
            }
        }
    }
    Ok(others)
}

/// The same work in other groups on the same day.
async fn with_others(app: &App, place: Place) -> Result<Vec<Place>, Error> {
    let now = work(place.part()?);
    let (session, day) = (place.shown.session_id, place.shown.day);
    let mut places = vec![place];
    for version in app.store.live_beside(session, day).await? {
        let other = app.store.version(version).await?;
        if let Some(part) = other.session.parts.iter().position(|p| work(p) == now) {
            places.push(Place { shown: Arc::new(other), part });
        }
    }
    Ok(places)
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
