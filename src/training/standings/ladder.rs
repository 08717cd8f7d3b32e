//! A board that is kept while results come and go.
//!
//! # Design
//! A result that comes in moves one row; ranking a crowd anew for it would take a hundred times as long as the page may. So
//! entries stand sorted, a member's change takes out and puts back that member's alone, and places and sentences are made for
//! the rows that somebody looks at. [`board`](super::board()) is a ladder that was filled at once, so there is one set of rules.
//! Where the kinds of number of a version change (the first one who counts rounds), everybody is judged anew.

use super::board::{Board, Hidden, Row, Table, sequence};
use super::key::{Kinds, Standing};
use super::policy::{Attempts, Policy};
use super::verdict::{Group, group, verdict};
use super::why::{sentence, why};
use super::{Entry, Scoring, Shown};
use std::cmp::Ordering;
use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

/// An entry that has a place.
#[derive(Debug)]
pub(super) struct Placed {
    pub entry: Arc<Entry>,
    /// less is better, number by number
    pub result: Vec<i64>,
    /// less is better
    pub tie: i64,
}

impl Placed {
    fn order(&self, other: &Self) -> Ordering {
        (&self.result, self.tie, &self.entry.id).cmp(&(&other.result, other.tie, &other.entry.id))
    }
}

/// Where an entry stands just now.
#[derive(Debug)]
enum At {
    Placed(Arc<Placed>),
    /// in `listed`, `held` or `hidden`
    Beside,
    Nowhere,
}

#[derive(Debug)]
struct Item {
    entry: Arc<Entry>,
    group: Group,
    at: At,
}

/// One version.
#[derive(Debug, Default)]
struct Side {
    /// entries in reps done, and in rounds
    done: usize,
    rounds: usize,
    /// best first
    placed: Vec<Arc<Placed>>,
}

impl Side {
    const fn kinds(&self) -> Kinds {
        Kinds { done: self.done > 0, rounds: self.rounds > 0 }
    }
}

/// A board that is kept. An entry replaces the one with its id; what it `corrects` is not looked at.
#[derive(Debug)]
pub struct Ladder {
    scoring: Scoring,
    policy: Policy,
    items: HashMap<String, Item>,
    /// ids of a member's entries
    members: HashMap<String, Vec<String>>,
    sides: BTreeMap<Group, Side>,
    listed: BTreeMap<String, String>,
    held: BTreeMap<String, String>,
    hidden: BTreeMap<String, &'static str>,
}

/// One version of a ladder, best first.
#[derive(Clone, Copy, Debug)]
pub struct Rungs<'a> {
    /// `full`, or the option's name; empty where all versions stand in one list
    pub name: &'a str,
    placed: &'a [Arc<Placed>],
    policy: &'a Policy,
}

impl<'a> Rungs<'a> {
    /// How many have a place.
    #[must_use]
    pub const fn len(&self) -> usize {
        self.placed.len()
    }

    /// Nobody has one.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.placed.is_empty()
    }

    /// What stands in a row, from 0.
    #[must_use]
    pub fn entry(&self, i: usize) -> Option<&'a Entry> {
        self.placed.get(i).map(|p| &*p.entry)
    }

    /// The first row of which this is true, where it is true of all that follow.
    pub fn first_that(&self, is: impl Fn(&Entry) -> bool) -> usize {
        self.placed.partition_point(|p| !is(&p.entry))
    }

    /// One row, from 0.
    #[must_use]
    pub fn row(&self, i: usize) -> Option<Row> {
        let p = self.placed.get(i)?;
        let better = self.placed.partition_point(|o| (&o.result, o.tie) < (&p.result, p.tie));
        let why = why(p, better + 1, self.name, self.placed, self.policy);
        Some(Row { id: p.entry.id.clone(), place: Some(u32::try_from(better + 1).unwrap_or(u32::MAX)), why })
    }
}

impl Ladder {
    /// A ladder with these entries, in whatever order.
    pub fn new(scoring: Scoring, policy: Policy, entries: impl IntoIterator<Item = Entry>) -> Self {
        let mut ladder = Self {
            scoring,
            policy,
            items: HashMap::new(),
            members: HashMap::new(),
            sides: BTreeMap::new(),
            listed: BTreeMap::new(),
            held: BTreeMap::new(),
            hidden: BTreeMap::new(),
        };
        for entry in entries {
            ladder.enter(entry);
        }
        ladder.judge_all();
        ladder
    }

    /// Puts an entry in, in place of one with its id.
    pub fn put(&mut self, entry: Entry) {
        let (before, member) = (self.kinds_of(&entry.id), entry.member.clone());
        let id = entry.id.clone();
        let was = self.leave(&id);
        let group = self.enter(entry);
        let same = |ladder: &Self, kinds: &Option<(Group, Kinds)>| kinds.as_ref().is_none_or(|(g, k)| ladder.kinds(g) == *k);
        if !same(self, &before) || self.is_first_of_its_kind(&group, &id) {
            return self.judge_all();
        }
        for member in was.into_iter().filter(|m| *m != member).chain([member.clone()]) {
            self.judge(&member);
        }
    }

    /// Takes an entry out; does nothing where there is none.
    pub fn remove(&mut self, id: &str) {
        let before = self.kinds_of(id);
        let Some(member) = self.leave(id) else { return };
        match before {
            Some((group, kinds)) if self.kinds(&group) != kinds => self.judge_all(),
            _ => self.judge(&member),
        }
    }

    /// Versions of which somebody has a place, in order.
    #[must_use]
    pub fn tables(&self) -> Vec<Rungs<'_>> {
        let some = self.sides.iter().filter(|(_, side)| !side.placed.is_empty());
        some.map(|(group, side)| Rungs { name: &group.1, placed: &side.placed, policy: &self.policy }).collect()
    }

    /// Shown without a place, in the order of their ids.
    pub fn listed(&self) -> impl ExactSizeIterator<Item = Row> + '_ {
        self.listed.iter().map(|(id, why)| Row { id: id.clone(), place: None, why: why.clone() })
    }

    /// Waiting for an answer, in the order of their ids.
    pub fn held(&self) -> impl ExactSizeIterator<Item = Row> + '_ {
        self.held.iter().map(|(id, why)| Row { id: id.clone(), place: None, why: why.clone() })
    }

    /// Ids of a member's entries, seen or not.
    #[must_use]
    pub fn ids_of(&self, member: &str) -> &[String] {
        self.members.get(member).map_or(&[], Vec::as_slice)
    }

    /// An entry, seen or not.
    #[must_use]
    pub fn entry(&self, id: &str) -> Option<&Entry> {
        self.items.get(id).map(|item| &*item.entry)
    }

    /// How many entries there are, seen or not.
    #[must_use]
    pub fn len(&self) -> usize {
        self.items.len()
    }

    /// There are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.items.is_empty()
    }

    /// Where a member stands: table and row, in order.
    #[must_use]
    pub fn places_of(&self, member: &str) -> Vec<(usize, usize)> {
        let mut places = Vec::new();
        for item in self.ids_of(member).iter().filter_map(|id| self.items.get(id)) {
            let At::Placed(placed) = &item.at else { continue };
            let before = self.sides.range(..&item.group).filter(|(_, side)| !side.placed.is_empty()).count();
            if let Some(Ok(row)) = self.sides.get(&item.group).map(|s| s.placed.binary_search_by(|o| o.order(placed))) {
                places.push((before, row));
            }
        }
        places.sort_unstable();
        places
    }

    /// The whole board, with every sentence.
    #[must_use]
    pub fn board(&self) -> Board {
        let tables = self
            .tables()
            .into_iter()
            .map(|table| Table { name: table.name.to_owned(), rows: (0..table.len()).filter_map(|i| table.row(i)).collect() });
        let hidden = self.hidden.iter().map(|(id, why)| Hidden { id: id.clone(), why: (*why).to_owned() });
        Board { tables: tables.collect(), listed: self.listed().collect(), held: self.held().collect(), hidden: hidden.collect() }
    }

    fn kinds(&self, group: &Group) -> Kinds {
        self.sides.get(group).map(Side::kinds).unwrap_or_default()
    }

    fn kinds_of(&self, id: &str) -> Option<(Group, Kinds)> {
        let group = &self.items.get(id)?.group;
        Some((group.clone(), self.kinds(group)))
    }

    /// It alone is of its kind of number, so others may be judged in another way from now on.
    fn is_first_of_its_kind(&self, group: &Group, id: &str) -> bool {
        let (Some(side), Some(item)) = (self.sides.get(group), self.items.get(id)) else { return false };
        let own = kinds(&item.entry);
        (own.done && side.done == 1) || (own.rounds && side.rounds == 1)
    }

    /// Counts it in; it is not judged yet.
    fn enter(&mut self, entry: Entry) -> Group {
        self.leave(&entry.id);
        let group = group(&entry, &self.scoring, &self.policy);
        let own = kinds(&entry);
        let side = self.sides.entry(group.clone()).or_default();
        (side.done, side.rounds) = (side.done + usize::from(own.done), side.rounds + usize::from(own.rounds));
        self.members.entry(entry.member.clone()).or_default().push(entry.id.clone());
        let item = Item { group: group.clone(), at: At::Nowhere, entry: Arc::new(entry) };
        self.items.insert(item.entry.id.clone(), item);
        group
    }

    /// Counts it out; whose it was.
    fn leave(&mut self, id: &str) -> Option<String> {
        self.clear(id);
        let item = self.items.remove(id)?;
        let own = kinds(&item.entry);
        if let Some(side) = self.sides.get_mut(&item.group) {
            (side.done, side.rounds) = (side.done - usize::from(own.done), side.rounds - usize::from(own.rounds));
        }
        let member = item.entry.member.clone();
        if let Some(ids) = self.members.get_mut(&member) {
            ids.retain(|other| other != id);
            if ids.is_empty() {
                self.members.remove(&member);
            }
        }
        Some(member)
    }

    /// Takes it from where it stands.
    fn clear(&mut self, id: &str) {
        let Some(item) = self.items.get_mut(id) else { return };
        match std::mem::replace(&mut item.at, At::Nowhere) {
            At::Nowhere => {}
            At::Beside => {
                self.listed.remove(id);
                self.held.remove(id);
                self.hidden.remove(id);
            }
            At::Placed(placed) => {
                if let Some(side) = self.sides.get_mut(&item.group)
                    && let Ok(at) = side.placed.binary_search_by(|o| o.order(&placed))
                {
                    side.placed.remove(at);
                }
            }
        }
    }

    fn judge_all(&mut self) {
        self.listed.clear();
        self.held.clear();
        self.hidden.clear();
        self.sides.values_mut().for_each(|side| side.placed.clear());
        self.items.values_mut().for_each(|item| item.at = At::Nowhere);
        let members: Vec<String> = self.members.keys().cloned().collect();
        for member in &members {
            for (id, standing) in self.standings(member) {
                if let Some(placed) = self.stand(&id, standing)
                    && let Some(side) = self.items.get(&id).and_then(|item| self.sides.get_mut(&item.group))
                {
                    side.placed.push(placed);
                }
            }
        }
        self.sides.values_mut().for_each(|side| side.placed.sort_unstable_by(|a, b| a.order(b)));
    }

    fn judge(&mut self, member: &str) {
        for id in self.ids_of(member).to_vec() {
            self.clear(&id);
        }
        for (id, standing) in self.standings(member) {
            if let Some(placed) = self.stand(&id, standing)
                && let Some(side) = self.items.get(&id).and_then(|item| self.sides.get_mut(&item.group))
            {
                let at = side.placed.binary_search_by(|o| o.order(&placed)).unwrap_or_else(|at| at);
                side.placed.insert(at, placed);
            }
        }
    }

    /// Notes where it stands; what has a place is given back to be put there.
    fn stand(&mut self, id: &str, standing: Result<Standing, &'static str>) -> Option<Arc<Placed>> {
        let item = self.items.get_mut(id)?;
        item.at = At::Beside;
        match standing {
            Err(why) => drop(self.hidden.insert(id.to_owned(), why)),
            Ok(Standing::Held(why)) => {
                self.held.insert(id.to_owned(), sentence(&format!("waits for an answer: {why}")));
            }
            Ok(Standing::Listed(why)) => {
                self.listed.insert(id.to_owned(), sentence(&format!("listed without a place: {why}")));
            }
            Ok(Standing::Ranked { result, tie }) => {
                let placed = Arc::new(Placed { entry: item.entry.clone(), result, tie });
                item.at = At::Placed(placed.clone());
                return Some(placed);
            }
        }
        None
    }

    /// Where a member's entries stand: one line a member, the attempt that counts. The others are not shown, and why.
    fn standings(&self, member: &str) -> Vec<(String, Result<Standing, &'static str>)> {
        let mut out = Vec::new();
        let mut seen: Vec<(&Item, Standing)> = Vec::new();
        for item in self.ids_of(member).iter().filter_map(|id| self.items.get(id)) {
            let e = &item.entry;
            match e.shown {
                Shown::Private => out.push((e.id.clone(), Err("Kept private by its owner."))),
                Shown::Withdrawn => out.push((e.id.clone(), Err("Taken back by its owner."))),
                Shown::Yes => seen.push((item, verdict(e, &self.scoring, &self.policy, self.kinds(&item.group)))),
            }
        }
        let counts = counting(&seen, self.policy.attempts);
        let other = if self.policy.attempts == Attempts::First { "The first attempt counts." } else { "Another attempt counts." };
        let judged = seen.into_iter().enumerate();
        out.extend(judged.map(|(i, (item, s))| (item.entry.id.clone(), if Some(i) == counts { Ok(s) } else { Err(other) })));
        out
    }
}

/// Which kind of number a shown entry is in.
fn kinds(entry: &Entry) -> Kinds {
    let mut own = Kinds::default();
    if entry.shown == Shown::Yes {
        own.add(&entry.score);
    }
    own
}

/// Which of one member's entries counts.
fn counting(seen: &[(&Item, Standing)], attempts: Attempts) -> Option<usize> {
    let turn = |i: &usize| (seen[*i].0.entry.attempt, sequence(&seen[*i].0.entry));
    let best = |i: &usize| {
        let (item, standing) = &seen[*i];
        let rank = match standing {
            Standing::Ranked { result, tie } => (0, &item.group, result.as_slice(), *tie),
            Standing::Held(_) => (1, &item.group, &[][..], 0),
            Standing::Listed(_) => (2, &item.group, &[][..], 0),
        };
        (rank, item.entry.attempt, &item.entry.id)
    };
    match attempts {
        Attempts::First => (0..seen.len()).min_by(|a, b| turn(a).cmp(&turn(b))),
        Attempts::Last => (0..seen.len()).max_by(|a, b| turn(a).cmp(&turn(b))),
        Attempts::Best => (0..seen.len()).min_by(|a, b| best(a).cmp(&best(b))),
    }
}
