//! What was done more than once, side by side. It is called better only where kit, version and rules were the same.

use super::day::logged::{beside, score_words};
use super::log::version_words;
use crate::store::people::Person;
use crate::store::results::Logged;
use crate::training::calendar;
use crate::training::retest::{self, Doing};
use crate::training::score::{Score, least_wins};
use crate::training::session::{Part, ScoreKind};
use crate::training::wording;
use std::cmp::Ordering;
use std::collections::BTreeMap;

/// So many of them stand on the page: those done last.
const MOST: usize = 12;

/// One piece of work that was done more than once.
pub struct Retest {
    /// of the last doing
    pub name: String,
    /// newest first
    pub doings: Vec<Once>,
}

type Theme = (String, Vec<String>);

/// One doing.
pub struct Once {
    /// the result
    pub id: i64,
    /// `Wed 25 Nov`
    pub day: String,
    /// the score
    pub words: String,
    /// version, load and the like
    pub how: String,
    /// beside the newest: comparable or why not; none for the newest itself
    pub verdict: Option<String>,
}

fn doing<'a>(l: &'a Logged, part: &'a Part) -> Doing<'a> {
    Doing { part, version: &l.result.version_done, load_kg: l.result.load_kg, given: l.result.given.as_ref() }
}

fn score(l: &Logged) -> Option<Score> {
    l.result.score.clone().and_then(|s| serde_json::from_value(s).ok())
}

/// What the newest says about an older doing.
fn verdict(newest: (&Logged, &Part), older: (&Logged, &Part)) -> String {
    let why = retest::differences(&doing(newest.0, newest.1), &doing(older.0, older.1));
    if !why.is_empty() {
        return format!("not comparable: {}", why.join(", "));
    }
    let least = newest.1.score_rule.as_deref().is_some_and(least_wins);
    let order = score(newest.0).zip(score(older.0)).and_then(|(a, b)| retest::progress(&a, &b, least));
    match order {
        Some(Ordering::Greater) => "comparable: better since".to_owned(),
        Some(Ordering::Less) => "comparable: this was better".to_owned(),
        Some(Ordering::Equal) => "comparable: the same".to_owned(),
        None => "comparable, and no two numbers of one kind".to_owned(),
    }
}

/// Everything that was done on more than one day, done last first; `logged` is newest first.
#[must_use]
pub fn retests(logged: &[Logged], person: &Person) -> Vec<Retest> {
    let mut themes: BTreeMap<Theme, Vec<(&Logged, &Part)>> = BTreeMap::new();
    let mut order = Vec::new();
    for l in logged {
        let Some(part) = l.session.parts.get(l.result.part).filter(|p| p.score != ScoreKind::None) else { continue };
        let all = themes.entry(retest::theme(part)).or_default();
        if all.is_empty() {
            order.push(retest::theme(part));
        }
        all.push((l, part));
    }
    let one = |theme: Theme| {
        let all = themes.get(&theme)?;
        let newest = *all.first()?;
        if all.iter().all(|(l, _)| l.result.done_on == newest.0.result.done_on) {
            return None;
        }
        let once = |(i, (l, part)): (usize, &(&Logged, &Part))| {
            let mut how = vec![version_words(&l.result.version_done, l.result.given.as_ref())];
            how.extend(beside(&l.result, person.units));
            Once {
                id: l.result.id.0,
                day: calendar::short(l.result.done_on),
                words: score_words(&l.result, person.units),
                how: how.join(" · "),
                verdict: (i > 0).then(|| verdict(newest, (l, part))),
            }
        };
        Some(Retest { name: wording::part(newest.1), doings: all.iter().take(8).enumerate().map(once).collect() })
    };
    order.into_iter().filter_map(one).take(MOST).collect()
}
