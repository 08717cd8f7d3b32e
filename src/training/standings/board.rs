//! The board: entries into groups, places, and a line of why for each.

use super::key::{Kinds, Standing, standing};
use super::policy::{Attempts, Policy, TieBreak};
use super::{Entry, Scoring, Shown, Version, When};
use crate::training::score::Score;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

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
    let mut out = Board::default();
    let visible = visible(entries, &mut out);
    let mut kinds: BTreeMap<Group, Kinds> = BTreeMap::new();
    for e in &visible {
        kinds.entry(group(e, scoring, policy)).or_default().add(&e.score);
    }
    let mut standings: BTreeMap<&str, (&Entry, Group, Standing)> = BTreeMap::new();
    for e in visible {
        let group = group(e, scoring, policy);
        let when = &first_of(e, entries).when;
        let standing = verdict(e, when, scoring, policy, kinds.get(&group).copied().unwrap_or_default());
        standings.insert(&e.id, (e, group, standing));
    }
    attempts(policy, &mut standings, &mut out);
    let mut tables: BTreeMap<Group, Vec<Placed>> = BTreeMap::new();
    for (entry, group, standing) in standings.into_values() {
        let row = |why: String| Row { id: entry.id.clone(), place: None, why: sentence(&why) };
        match standing {
            Standing::Held(why) => out.held.push(row(format!("waits for an answer: {why}"))),
            Standing::Listed(why) => out.listed.push(row(format!("listed without a place: {why}"))),
            Standing::Ranked { result, tie } => tables.entry(group).or_default().push(Placed { entry, result, tie }),
        }
    }
    out.listed.sort_by(|a, b| a.id.cmp(&b.id));
    out.tables = tables.into_iter().map(|(group, placed)| table(&group, placed, policy)).collect();
    out
}

/// A version's rank and name.
type Group = (usize, String);

struct Placed<'a> {
    entry: &'a Entry,
    result: Vec<i64>,
    tie: i64,
}

/// What is neither private, taken back nor replaced; the rest goes to `hidden`.
fn visible<'a>(entries: &'a [Entry], out: &mut Board) -> Vec<&'a Entry> {
    let replaced = replaced(entries);
    let mut shown = Vec::new();
    for e in entries {
        let why = match e.shown {
            Shown::Private => "kept private by its owner",
            Shown::Withdrawn => "taken back by its owner",
            Shown::Yes if replaced.contains(e.id.as_str()) => "replaced by a correction; it stays in the history",
            Shown::Yes => {
                shown.push(e);
                continue;
            }
        };
        out.hidden.push(Hidden { id: e.id.clone(), why: sentence(why) });
    }
    out.hidden.sort_by(|a, b| a.id.cmp(&b.id));
    shown.sort_by(|a, b| a.id.cmp(&b.id));
    shown
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
fn sequence(e: &Entry) -> (i64, bool, &str) {
    let came = e.when.received_min.or(e.when.performed_min).unwrap_or(i64::MAX);
    (came, e.corrects.is_some(), &e.id)
}

/// Which table an entry belongs to. A load below the written ones is the lighter version, whatever it was called.
fn group(entry: &Entry, scoring: &Scoring, policy: &Policy) -> Group {
    let name = match &entry.version {
        Version::Option(name) => name.as_str(),
        Version::Full if too_light(entry, scoring, policy) => "lighter",
        Version::Full | Version::Adapted(_) => "full",
    };
    if policy.one_list {
        return (0, String::new());
    }
    if name == "full" {
        return (0, name.to_owned());
    }
    let named = policy.group_order.iter().position(|g| g == name);
    let written = || scoring.options.iter().position(|(n, _)| n == name).map(|i| policy.group_order.len() + i);
    let last = policy.group_order.len() + scoring.options.len();
    (1 + named.or_else(written).unwrap_or(last), name.to_owned())
}

fn too_light(entry: &Entry, scoring: &Scoring, policy: &Policy) -> bool {
    let least = scoring.columns_kg.iter().copied().reduce(f64::min);
    entry.load_kg.zip(least).is_some_and(|(kg, least)| kg < least - policy.load_step_kg)
}

/// Reasons that come before the value: an open question, another movement, too late.
fn verdict(entry: &Entry, when: &When, scoring: &Scoring, policy: &Policy, kinds: Kinds) -> Standing {
    if let Some(why) = &entry.held {
        return Standing::Held(why.clone());
    }
    if let Some(why) = &entry.unplaced {
        return Standing::Listed(why.clone());
    }
    if let Version::Adapted(swap) = &entry.version {
        let swap = if swap.is_empty() { String::new() } else { format!(" ({swap})") };
        return Standing::Listed(format!("another movement{swap} cannot be compared"));
    }
    if let Some(why) = policy.too_late(when) {
        return Standing::Listed(why);
    }
    standing(entry, scoring, policy, kinds)
}

/// One line a member: the attempt that counts. The others are not shown.
fn attempts(policy: &Policy, standings: &mut BTreeMap<&str, (&Entry, Group, Standing)>, out: &mut Board) {
    let mut members: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for (id, (entry, ..)) in standings.iter() {
        members.entry(&entry.member).or_default().push(id);
    }
    for ids in members.values().filter(|ids| ids.len() > 1) {
        let turn = |id: &&&str| standings.get(**id).map(|(e, ..)| (e.attempt, sequence(e)));
        let best = |id: &&&str| {
            let (e, group, standing) = &standings[**id];
            let rank = match standing {
                Standing::Ranked { result, tie } => (0, group.clone(), result.clone(), *tie),
                Standing::Held(_) => (1, group.clone(), Vec::new(), 0),
                Standing::Listed(_) => (2, group.clone(), Vec::new(), 0),
            };
            (rank, e.attempt, e.id.clone())
        };
        let counts = match policy.attempts {
            Attempts::First => ids.iter().min_by_key(turn),
            Attempts::Last => ids.iter().max_by_key(turn),
            Attempts::Best => ids.iter().min_by_key(best),
        };
        let counts = counts.copied();
        for id in ids.iter().copied().filter(|id| Some(*id) != counts) {
            if standings.remove(id).is_some() {
                let why =
                    if policy.attempts == Attempts::First { "The first attempt counts." } else { "Another attempt counts." };
                out.hidden.push(Hidden { id: id.to_owned(), why: why.to_owned() });
            }
        }
    }
    out.hidden.sort_by(|a, b| a.id.cmp(&b.id));
}

/// Places 1, 2, 2, 4: one more than the number of better results.
fn table(group: &Group, mut placed: Vec<Placed>, policy: &Policy) -> Table {
    placed.sort_by(|a, b| (&a.result, a.tie, &a.entry.id).cmp(&(&b.result, b.tie, &b.entry.id)));
    let rows = placed
        .iter()
        .map(|p| {
            let better = placed.partition_point(|o| (&o.result, o.tie) < (&p.result, p.tie));
            let place = u32::try_from(better + 1).unwrap_or(u32::MAX);
            Row { id: p.entry.id.clone(), place: Some(place), why: why(p, place, &group.1, &placed, policy) }
        })
        .collect();
    Table { name: group.1.clone(), rows }
}

/// One line: the place, the result, and what decided. `all` is sorted.
fn why(p: &Placed, place: u32, group: &str, all: &[Placed], policy: &Policy) -> String {
    let up_to = |worse: &dyn Fn(&Placed) -> bool| all.partition_point(|o| !worse(o));
    let equal = up_to(&|o| o.result > p.result) - all.partition_point(|o| o.result < p.result);
    let better = all.partition_point(|o| (&o.result, o.tie) < (&p.result, p.tie));
    let shared = up_to(&|o| (&o.result, o.tie) > (&p.result, p.tie)) - better;
    let name = match group {
        "" => String::new(),
        "full" => " as written".to_owned(),
        other => format!(" in {other}"),
    };
    let mut line = format!("place {place} of {}{name}: {}", all.len(), p.entry.score.words());
    let finisher = |o: &Placed| matches!(o.entry.score, Score::Time { .. });
    if matches!(p.entry.score, Score::Capped { .. }) && all.first().is_some_and(finisher) {
        line.push_str(", behind every finisher");
    }
    if shared > 1 {
        let others = if shared == 2 { "one other".to_owned() } else { format!("{} others", shared - 1) };
        line.push_str(&format!("; equal to {others}, so the place is shared"));
    } else if equal > 1 {
        line.push_str(&format!("; equal results, parted by {}", tie_words(&policy.tie_break)));
    }
    sentence(&line)
}

fn tie_words(tie: &TieBreak) -> &str {
    match tie {
        TieBreak::Clock(words) => words,
        TieBreak::LighterBody => "body weight",
        TieBreak::HeavierLoad => "the load",
        TieBreak::FewerReps | TieBreak::MoreReps => "reps at that load",
        TieBreak::None => "nothing",
    }
}

/// A capital in front and a full stop behind.
fn sentence(text: &str) -> String {
    let mut chars = text.chars();
    let first: String = chars.next().map(|c| c.to_uppercase().collect()).unwrap_or_default();
    let end = if text.ends_with(['.', '?', '!']) { "" } else { "." };
    format!("{first}{}{end}", chars.as_str())
}
