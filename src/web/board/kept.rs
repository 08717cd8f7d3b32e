//! Boards that are kept in memory, and how one is brought up to date. [`look`] is the only way to one.

use super::entries::{self, Against, Earlier};
use super::standing::{Kit, Which};
use crate::store::boards::{BoardRow, Rules};
use crate::store::changes::{Mark, Since};
use crate::store::ids::{SessionId, VersionId};
use crate::store::weeks::Published;
use crate::training::movement::Library;
use crate::training::retest::work;
use crate::training::session::Part;
use crate::training::standings::{Entry, Ladder, Policy};
use crate::web::App;
use crate::web::error::Error;
use std::collections::{HashMap, HashSet};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// Rows of all kept boards together; past it the ones that were not asked for longest go.
const KEPT_ROWS: usize = 120_000;
/// More changes than this are read by reading the board anew.
const ONE_BY_ONE: usize = 2_000;

/// One part of one published session.
#[derive(Clone, Debug)]
struct Place {
    shown: Arc<Published>,
    part: usize,
}

impl Place {
    /// # Errors
    /// A part that is not there.
    fn new(shown: &Published, part: usize) -> Result<Self, Error> {
        let place = Self { shown: Arc::new(shown.clone()), part };
        place.part()?;
        Ok(place)
    }

    fn part(&self) -> Result<&Part, Error> {
        self.shown.session.parts.get(self.part).ok_or(Error::NotFound)
    }

    fn id(&self) -> (SessionId, VersionId, usize) {
        (self.shown.session_id, self.shown.version_id, self.part)
    }
}

/// Which board.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
struct Key {
    version: VersionId,
    part: usize,
    which: Which,
}

impl Key {
    fn of(place: &Place, which: Which) -> Self {
        Self { version: place.shown.version_id, part: place.part, which }
    }
}

/// A board as it was at a mark.
#[derive(Debug)]
pub(super) struct Kept {
    pub ladder: Ladder,
    /// the rules it was made by, with what the part says
    pub policy: Policy,
    /// as they were set
    set: Policy,
    library: Arc<Library>,
    of: Vec<(SessionId, VersionId, usize)>,
    /// the part in versions of the session in which it was something else
    pub earlier: Earlier,
    mark: Mark,
}

type Slot = Arc<tokio::sync::Mutex<Option<Kept>>>;

#[derive(Debug)]
struct Shelf {
    slot: Slot,
    rows: usize,
    used: u64,
}

/// Boards that are kept.
#[derive(Clone, Debug, Default)]
pub struct Boards(Arc<Mutex<(u64, HashMap<Key, Shelf>)>>);

impl Boards {
    fn shelves(&self) -> MutexGuard<'_, (u64, HashMap<Key, Shelf>)> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Rows of all kept boards together.
    #[must_use]
    pub fn rows(&self) -> usize {
        self.shelves().1.values().map(|s| s.rows).sum()
    }

    /// Where this board is kept. Whoever holds it brings it up to date for all who wait.
    fn slot(&self, key: Key) -> Slot {
        let mut shelves = self.shelves();
        shelves.0 += 1;
        let used = shelves.0;
        let shelf = shelves.1.entry(key).or_insert_with(|| Shelf { slot: Slot::default(), rows: 0, used });
        shelf.used = used;
        shelf.slot.clone()
    }

    /// Says how many rows a board has, and lets go of others where there are too many.
    fn holds(&self, key: Key, rows: usize) {
        let mut shelves = self.shelves();
        if let Some(shelf) = shelves.1.get_mut(&key) {
            shelf.rows = rows;
        }
        while shelves.1.len() > 1 && shelves.1.values().map(|s| s.rows + 1).sum::<usize>() > KEPT_ROWS {
            let oldest = shelves.1.iter().filter(|(k, _)| **k != key).min_by_key(|(_, s)| s.used).map(|(k, _)| *k);
            match oldest {
                Some(oldest) => shelves.1.remove(&oldest),
                None => break,
            };
        }
    }
}

/// Looks at the board of a part as it is now, and at its rules. Nobody else can look at it meanwhile, so nothing is awaited
/// there.
///
/// # Errors
/// A part that is not there.
pub(super) async fn look<T>(
    app: &App,
    shown: &Published,
    part: usize,
    which: Which,
    at: impl FnOnce(&Kept, Rules) -> T + Send,
) -> Result<T, Error> {
    let rules = app.store.board_rules(shown.group_id, shown.session_id, part).await?;
    let place = Place::new(shown, part)?;
    let places = if which.all_groups { with_others(app, place).await? } else { vec![place] };
    let key = Key::of(&places[0], which);
    let slot = app.boards.slot(key);
    let mut kept = slot.lock().await;
    let kept = up_to_date(app, &mut kept, (&places, which), &rules).await?;
    app.boards.holds(key, kept.ladder.len());
    Ok(at(kept, rules))
}

/// The board as it is now: what changed since it was kept is read and put in its place.
async fn up_to_date<'k>(
    app: &App,
    kept: &'k mut Option<Kept>,
    (places, which): (&[Place], Which),
    rules: &Rules,
) -> Result<&'k Kept, Error> {
    app.look_around().await?;
    let mark = app.store.changes().mark();
    let library = app.library();
    let ids: Vec<_> = places.iter().map(Place::id).collect();
    let same = |k: &Kept| Arc::ptr_eq(&k.library, &library) && k.set == rules.policy && k.of == ids;
    // a board that cannot be brought up to date is read anew by whoever comes next
    if let Some(mut old) = kept.take().filter(same)
        && catch_up(app, &mut old, (places, which), &library).await?
    {
        old.mark = mark;
        return Ok(kept.insert(old));
    }
    let (mut rows, mut earlier) = (Vec::new(), Earlier::new());
    for place in places {
        let read = app.store.board_rows(place.shown.session_id, place.part).await?;
        earlier.extend(other_work(app, place, &read).await?);
        rows.extend(read);
    }
    let (of, set) = (places[0].clone(), rules.policy.clone());
    let made = tokio::task::spawn_blocking(move || {
        let mut policy = entries::policy(of.part()?, set.clone());
        policy.one_list = which.one_list.unwrap_or(policy.one_list);
        let scoring = entries::scoring(of.part()?, &library);
        let entries = entries_of(&of, which, &library, &policy, &earlier, &rows)?;
        let ladder = Ladder::new(scoring, policy.clone(), entries);
        Ok::<_, Error>(Kept { ladder, policy, set, library, of: ids, earlier, mark })
    });
    Ok(kept.insert(made.await.map_err(anyhow::Error::from)??))
}

/// Puts what changed in its place; `false` where too much did.
async fn catch_up(app: &App, kept: &mut Kept, (places, which): (&[Place], Which), library: &Library) -> Result<bool, Error> {
    let (mut gone, mut come) = (HashSet::new(), Vec::new());
    for place in places {
        let Since::Some { results, people } = app.store.changes().on_board(place.shown.session_id, kept.mark) else {
            return Ok(false);
        };
        if results.len() + people.len() > ONE_BY_ONE {
            return Ok(false);
        }
        let of = (place.shown.session_id, place.part);
        let mut rows = Vec::new();
        if !results.is_empty() {
            rows.extend(app.store.board_rows_by_id(&results).await?.into_iter().filter(|r| r.of == of));
        }
        if !people.is_empty() {
            rows.extend(app.store.board_rows_of(of.0, of.1, &people).await?);
        }
        kept.earlier.extend(other_work(app, place, &rows).await?);
        gone.extend(results.iter().map(i64::to_string));
        gone.extend(people.iter().flat_map(|p| kept.ladder.ids_of(&p.to_string()).to_vec()));
        come.extend(rows);
    }
    let come = entries_of(&places[0], which, library, &kept.policy, &kept.earlier, &come)?;
    // what comes back takes its old place's stead
    gone.retain(|id| come.iter().all(|entry| entry.id != *id));
    gone.iter().for_each(|id| kept.ladder.remove(id));
    come.into_iter().for_each(|entry| kept.ladder.put(entry));
    Ok(true)
}

fn entries_of(
    place: &Place,
    which: Which,
    library: &Library,
    policy: &Policy,
    earlier: &Earlier,
    rows: &[BoardRow],
) -> Result<Vec<Entry>, Error> {
    let to = Against { part: place.part()?, library, policy, day: place.shown.day, earlier };
    let wanted = |r: &&BoardRow| which.kit.is_none_or(|kit| Kit::from(r.has) == kit);
    Ok(entries::entries(rows.iter().filter(wanted), &to))
}

/// The part in versions of the session in which it was something else, as far as results stand on them.
async fn other_work(app: &App, place: &Place, rows: &[BoardRow]) -> Result<Earlier, Error> {
    let shown = &place.shown;
    let now = work(place.part()?);
    let others: HashSet<VersionId> = rows.iter().map(|r| r.version_id).filter(|v| *v != shown.version_id).collect();
    if others.is_empty() {
        return Ok(Earlier::new());
    }
    let versions = app.store.versions(shown.session_id).await?.into_iter().filter(|v| others.contains(&v.version_id));
    let part = |v: Published| {
        let then = v.part_under(place.part);
        (v.version_id, Arc::new(then.and_then(|i| v.session.parts.into_iter().nth(i)).unwrap_or_default()))
    };
    Ok(versions.map(part).filter(|(_, it)| work(it) != now).collect())
}

/// The same work in other groups on the same day.
async fn with_others(app: &App, place: Place) -> Result<Vec<Place>, Error> {
    let now = work(place.part()?);
    let (session, day) = (place.shown.session_id, place.shown.day);
    let mut places = vec![place];
    for (_, version) in app.store.live_beside(session, day).await? {
        let other = app.store.version(version).await?;
        if let Some(part) = other.session.parts.iter().position(|p| work(p) == now) {
            places.push(Place { shown: Arc::new(other), part });
        }
    }
    Ok(places)
}
