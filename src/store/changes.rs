//! What changed since, known without asking the file: for whatever is kept in memory.
//!
//! # Design
//! All writes of this program go through one connection, and SQLite tells it of each row that it writes. Triggers write down
//! whose a row is (`own_changes`) and which board it stands on (`board_changes`), so nothing that writes can forget to say so;
//! a table that is not named here counts for everybody. What another process writes cannot be told row by row: then
//! everything counts as changed.
//!
//! A mark is the number of the newest commit. Whoever keeps something takes the mark *before* reading, and may use what is
//! kept while nothing it depends on has changed since. Changes are counted after their commit and before it is acknowledged.

use super::ids::{PersonId, SessionId};
use std::collections::{HashMap, HashSet, VecDeque};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// Most changes of boards that are listed one by one; who asks for older ones starts anew.
const LISTED: usize = 50_000;

/// What a change of somebody's is about: the last three bits of a place in `own_changes`.
const SIGN_INS: i64 = 0;
const HOME: i64 = 1;
const RESULTS: i64 = 2;
const GROUPS: i64 = 3;
/// Their row in `people`; SQLite tells of it itself.
const PERSON: i64 = 4;

/// Written often, and on no page that is kept.
const ASIDE: [&str; 12] = [
    "passkeys",
    "tried_writes",
    "trail",
    "uploads",
    "nods",
    "seen_results",
    "tokens",
    "links",
    "result_sends",
    "result_edits",
    "spoken_with",
    "past_results",
];
/// Told of by triggers instead.
const BY_TRIGGER: [&str; 4] = ["sign_ins", "maxes", "wishes", "memberships"];

/// The number of a commit, to ask later what came after it.
pub type Mark = u64;

/// What changed on a board.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Since {
    /// it cannot be told: all of it is to be read again
    All,
    /// these results, by row, and everything of these people
    Some {
        /// rows of `results`, some gone by now
        results: Vec<i64>,
        /// rows of `people`
        people: Vec<i64>,
    },
}

/// Rows that were written and not yet committed.
#[derive(Debug, Default)]
pub(super) struct Pending {
    /// results whose board is told next
    results: Vec<i64>,
    boards: Vec<(i64, i64)>,
    own: HashSet<i64>,
    everybody: bool,
    movements: bool,
}

impl Pending {
    /// A row was written.
    pub(super) fn row(&mut self, table: &str, row: i64) {
        match table {
            "results" => self.results.push(row),
            // 0 stands for people and groups, who are told of by name
            "board_changes" if row == 0 => {}
            "board_changes" => self.boards.extend(self.results.drain(..).map(|result| (row, result))),
            "own_changes" => drop(self.own.insert(row)),
            "people" => drop(self.own.insert(row * 8 + PERSON)),
            table if ASIDE.contains(&table) || BY_TRIGGER.contains(&table) => {}
            table => {
                self.everybody = true;
                self.movements |= table == "movements";
            }
        }
    }
}

#[derive(Debug, Default)]
struct Known {
    /// of the newest commit
    mark: Mark,
    everybody: Mark,
    /// a movement of the practice's own was written
    movements: Mark,
    /// another process wrote
    others: Mark,
    own: HashMap<i64, Mark>,
    boards: HashMap<i64, VecDeque<(Mark, i64)>>,
    people: VecDeque<(Mark, i64)>,
    listed: usize,
    /// up to here, changes of boards are no longer listed
    forgotten: Mark,
}

impl Known {
    fn newest(&self, person: PersonId, about: &[i64]) -> Mark {
        about.iter().filter_map(|what| self.own.get(&(person.0 * 8 + what))).copied().max().unwrap_or_default()
    }

    fn forget(&mut self) {
        self.boards.clear();
        self.people.clear();
        (self.listed, self.forgotten) = (0, self.mark);
    }
}

/// What changed since. Clones share what they know.
#[derive(Clone, Debug, Default)]
pub struct Changes(Arc<Mutex<Known>>);

impl Changes {
    fn known(&self) -> MutexGuard<'_, Known> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The newest commit; to be taken before reading.
    #[must_use]
    pub fn mark(&self) -> Mark {
        self.known().mark
    }

    /// Rows were committed.
    pub(super) fn committed(&self, rows: Pending) {
        let mut known = self.known();
        known.mark += 1;
        let mark = known.mark;
        if rows.everybody {
            known.everybody = mark;
        }
        if rows.movements {
            known.movements = mark;
        }
        for place in rows.own {
            known.own.insert(place, mark);
            if matches!(place % 8, GROUPS | PERSON) {
                known.people.push_back((mark, place / 8));
                known.listed += 1;
            }
        }
        known.listed += rows.boards.len();
        for (session, result) in rows.boards {
            known.boards.entry(session).or_default().push_back((mark, result));
        }
        // a result without its board cannot be placed
        if known.listed > LISTED || !rows.results.is_empty() {
            known.forget();
        }
    }

    /// Somebody else wrote into the file: nobody knows what.
    pub(super) fn everything(&self) {
        let mut known = self.known();
        known.mark += 1;
        (known.everybody, known.movements, known.others) = (known.mark, known.mark, known.mark);
        known.own.clear();
        known.forget();
    }

    /// Nothing changed since that this person's pages could show: their own, and what the coach does for everybody.
    #[must_use]
    pub fn same_pages(&self, person: PersonId, since: Mark) -> bool {
        let known = self.known();
        known.everybody.max(known.newest(person, &[SIGN_INS, HOME, RESULTS, GROUPS, PERSON])) <= since
    }

    /// Nobody signed this person in or out since, and their row is as it was.
    #[must_use]
    pub fn same_sign_in(&self, person: PersonId, since: Mark) -> bool {
        let known = self.known();
        known.others.max(known.newest(person, &[SIGN_INS, PERSON])) <= since
    }

    /// What tailoring reads is as it was: the person, their groups, maxes and what they said at lines, and the coach's rules.
    #[must_use]
    pub fn same_home(&self, person: PersonId, since: Mark) -> bool {
        let known = self.known();
        known.everybody.max(known.newest(person, &[HOME, GROUPS, PERSON])) <= since
    }

    /// What the coach does for everybody is as it was.
    #[must_use]
    pub fn same_practice(&self, since: Mark) -> bool {
        self.known().everybody <= since
    }

    /// The practice's own movements are as they were.
    #[must_use]
    pub fn same_movements(&self, since: Mark) -> bool {
        self.known().movements <= since
    }

    /// What changed on the boards of a session since.
    #[must_use]
    pub fn on_board(&self, session: SessionId, since: Mark) -> Since {
        let known = self.known();
        if since < known.forgotten {
            return Since::All;
        }
        let after = |list: &VecDeque<(Mark, i64)>| -> Vec<i64> {
            let from = list.partition_point(|(mark, _)| *mark <= since);
            let set: HashSet<i64> = list.iter().skip(from).map(|(_, row)| *row).collect();
            set.into_iter().collect()
        };
        Since::Some { results: known.boards.get(&session.0).map(after).unwrap_or_default(), people: after(&known.people) }
    }
}

#[cfg(test)]
mod tests {
    #[tokio::test]
    async fn every_table_is_one_that_sqlite_tells_of() {
        let folder = tempfile::tempdir().unwrap();
        let store = crate::store::Store::open(&folder.path().join("dowel.db")).await.unwrap();
        let untold: Vec<String> =
            sqlx::query_scalar("select name from pragma_table_list where wr = 1").fetch_all(&store.read).await.unwrap();
        assert_eq!(untold, Vec::<String>::new());
    }
}
