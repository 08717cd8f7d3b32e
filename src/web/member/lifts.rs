//! Lifts out of what was logged: the best of each, for each rep count, and over time.

use crate::store::past::PastResult;
use crate::store::people::Units;
use crate::store::results::Lifted;
use crate::training::calendar;
use crate::training::dose::Amount;
use crate::training::load::Mass;
use crate::training::movement::Library;
use crate::training::score::{Lift, Score};
use crate::training::session::{Line, Part};
use crate::training::strength::{self, Estimate};
use std::cmp::Reverse;
use std::collections::BTreeMap;
use time::Date;

/// Reps up to which a set says something about a max that may be kept: a heavy triple at most.
const HEAVY_REPS: u32 = 3;

/// One lift's best.
pub struct Best {
    /// name in the library
    pub movement: String,
    /// the heaviest, as logged: `80 kg x 3`
    pub heaviest: String,
    /// when
    pub day: String,
    /// `85 to 87 kg`; none past ten reps
    pub estimate: Option<String>,
}

/// One set.
#[derive(Clone, Debug)]
pub struct Found {
    /// of one implement
    pub kg: f64,
    /// as logged or as the line asks
    pub reps: Option<u32>,
    /// `80 kg x 3`
    pub words: String,
    /// the member's own
    pub day: Date,
    /// of a one-rep max, 1 to 10 reps
    pub estimate: Option<Estimate>,
    /// the result it is of; none where it is from before Dowel
    pub result: Option<i64>,
    /// with one implement and nothing but the weight: what a max is
    pub plain: bool,
    /// hard to believe, and no coach has looked at it: it is no best and no max until then
    pub doubted: bool,
}

/// The reps that a line asks for, where it asks for one number.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "checked to be whole and small")]
fn asked(line: &Line) -> Option<u32> {
    match line.reps {
        Some(Amount::One(n)) if n.fract() == 0.0 && (1.0..1000.0).contains(&n) => Some(n as u32),
        _ => None,
    }
}

/// The line that was lifted: the part's first, or what stands in its place in the version that was done.
fn lifted(part: &Part, version: &str) -> Option<Line> {
    let first = part.lines.first()?;
    let Some(option) = part.options.iter().find(|o| o.name == version) else { return Some(first.clone()) };
    let place = option.replace.iter().position(|name| *name == first.movement);
    let own = match place {
        Some(at) => option.lines.get(at).or(option.lines.first()),
        None if option.replace.is_empty() => option.lines.first(),
        None => None,
    };
    let line = own.unwrap_or(first).clone();
    Some(Line { reps: option.reps.clone().or(line.reps.clone()), ..line })
}

/// The movement of a load that was logged, and the reps that its line asks for. None where something else was done instead: that
/// is another lift, and is not compared with it.
#[must_use]
pub fn of_part(part: &Part, version: &str) -> Option<(String, Option<u32>)> {
    let line = lifted(part, version).filter(|line| version != "adapted" && line.complex.is_empty())?;
    let reps = asked(&line);
    Some((line.movement, reps))
}

/// A set that was lifted, with its reps as logged or else as asked for; none for a miss.
fn found(lift: &Lift, asked: Option<u32>, day: Date, result: Option<i64>) -> Option<Found> {
    let kg = lift.kg().filter(|kg| *kg > 0.0 && lift.reps != Some(0))?;
    let reps = lift.reps.or(asked);
    let estimate = reps.filter(|_| !lift.added).and_then(|n| strength::estimate(kg, n));
    let words = Score::Load { lifts: vec![Lift { reps, ..*lift }] }.words();
    Some(Found { kg, reps, words, day, estimate, result, plain: !lift.added && lift.implements == 1, doubted: false })
}

/// The lifts of one result: movement and set.
fn lifts(lifted: &Lifted) -> Vec<(String, Found)> {
    let (Score::Load { lifts }, Some((movement, asked))) = (&lifted.score, of_part(&lifted.part, &lifted.version_done)) else {
        return Vec::new();
    };
    let one = |lift| {
        let found = found(lift, asked, lifted.done_on, Some(lifted.id.0))?;
        Some((movement.clone(), Found { doubted: lifted.doubted, ..found }))
    };
    lifts.iter().filter_map(one).collect()
}

/// The movement of a result from before Dowel, where it carries a load: as said, else the one that its title names.
#[must_use]
pub fn of_past(past: &PastResult, library: &Library) -> Option<String> {
    let named = |words: &str| library.find(words).map(|m| m.name.clone());
    matches!(past.score, Score::Load { .. }).then(|| named(past.movement.as_deref().unwrap_or(&past.title)))?
}

/// The lifts of a result from before Dowel.
fn past_lifts(past: &PastResult, library: &Library) -> Vec<(String, Found)> {
    let (Score::Load { lifts }, Some(movement)) = (&past.score, of_past(past, library)) else { return Vec::new() };
    lifts.iter().filter_map(|lift| Some((movement.clone(), found(lift, None, past.day, None)?))).collect()
}

/// Everything that was lifted, logged here or brought in, newest first.
#[must_use]
pub fn all(logged: &[Lifted], past: &[PastResult], library: &Library) -> Vec<(String, Found)> {
    let mut all: Vec<(String, Found)> = logged.iter().flat_map(lifts).collect();
    all.extend(past.iter().flat_map(|p| past_lifts(p, library)));
    all.sort_by_key(|(_, found)| Reverse(found.day));
    all
}

/// A day as it is said among days of years: with its year where that is not this one.
#[must_use]
pub fn day_words(day: Date, today: Date) -> String {
    let short = calendar::short(day);
    if day.year() == today.year() { short } else { format!("{short} {}", day.year()) }
}

/// An estimate as a span in the reader's unit: `85 to 87 kg`.
#[must_use]
pub fn words(estimate: Estimate, units: Units) -> String {
    let (low, high) = (shown(estimate.low, units).round(), shown(estimate.high, units).round());
    let unit = unit(units);
    if (low - high).abs() < 0.5 { format!("{low} {unit}") } else { format!("{low} to {high} {unit}") }
}

/// `kg` or `lb`.
#[must_use]
pub fn unit(units: Units) -> &'static str {
    if units == Units::Kg { "kg" } else { "lb" }
}

/// Kilograms in the reader's unit.
#[must_use]
pub fn shown(kg: f64, units: Units) -> f64 {
    if units == Units::Kg { kg } else { Mass::kg(kg).in_lb() }
}

/// The heaviest of each lift and the best estimate of its 1RM, by name.
#[must_use]
pub fn best(all: Vec<(String, Found)>, units: Units, today: Date) -> Vec<Best> {
    let mut by_name: BTreeMap<String, Vec<Found>> = BTreeMap::new();
    for (movement, found) in all.into_iter().filter(|(_, found)| !found.doubted) {
        by_name.entry(movement).or_default().push(found);
    }
    let best = |(movement, all): (String, Vec<Found>)| {
        let estimate = best_estimate(&all);
        let heaviest = all.into_iter().max_by(|a, b| a.kg.total_cmp(&b.kg))?;
        Some(Best {
            movement,
            heaviest: heaviest.words,
            day: day_words(heaviest.day, today),
            estimate: estimate.map(|e| words(e, units)),
        })
    };
    by_name.into_iter().filter_map(best).collect()
}

fn sure(all: &[Found]) -> impl Iterator<Item = &Found> {
    all.iter().filter(|f| !f.doubted)
}

/// The highest of the estimates.
#[must_use]
pub fn best_estimate(all: &[Found]) -> Option<Estimate> {
    sure(all).filter_map(|f| f.estimate).max_by(|a, b| a.middle().total_cmp(&b.middle()))
}

/// The heaviest set of each rep count, fewest reps first; of equal ones the first that was done.
#[must_use]
pub fn best_by_reps(all: &[Found]) -> Vec<(u32, Found)> {
    let mut best: BTreeMap<u32, Found> = BTreeMap::new();
    for f in sure(all) {
        let Some(reps) = f.reps else { continue };
        let better = |old: &Found| f.kg > old.kg || (f.kg >= old.kg && f.day < old.day);
        if best.get(&reps).is_none_or(better) {
            best.insert(reps, f.clone());
        }
    }
    best.into_iter().collect()
}

/// The best estimate of each day, oldest first.
#[must_use]
pub fn over_time(all: &[Found]) -> Vec<(Date, Estimate)> {
    let mut days: BTreeMap<Date, Estimate> = BTreeMap::new();
    for f in sure(all) {
        let Some(estimate) = f.estimate else { continue };
        let best = days.entry(f.day).or_insert(estimate);
        if estimate.middle() > best.middle() {
            *best = estimate;
        }
    }
    days.into_iter().collect()
}

/// The set that may be kept as a max: logged here, heavy, plain, and above what is known, kilograms, and no older than it. What was
/// lifted in another time says little about today's loads.
#[must_use]
pub fn to_keep(all: &[Found], known: Option<(f64, Date)>) -> Option<&Found> {
    let low = |f: &Found| f.estimate.map_or(0.0, |e| e.low);
    let heavy = |f: &&Found| f.plain && f.reps.is_some_and(|n| (1..=HEAVY_REPS).contains(&n));
    let of_now = |f: &&Found| f.result.is_some() && known.is_none_or(|(_, day)| f.day >= day);
    sure(all)
        .filter(of_now)
        .filter(heavy)
        .max_by(|a, b| low(a).total_cmp(&low(b)))
        .filter(|f| known.is_none_or(|(kg, _)| low(f) > kg + 0.05))
}

#[cfg(test)]
mod tests {
    use super::*;
    use time::macros::date;

    fn set(kg: f64, reps: u32, day: Date) -> Found {
        let estimate = strength::estimate(kg, reps);
        let words = format!("{kg} kg x {reps}");
        Found { kg, reps: Some(reps), words, day, estimate, result: Some(1), plain: true, doubted: false }
    }

    #[test]
    fn each_rep_count_has_its_best_and_the_first_of_equals() {
        let all = [
            set(80.0, 5, date!(2026 - 11 - 20)),
            set(80.0, 5, date!(2026 - 11 - 10)),
            set(75.0, 5, date!(2026 - 11 - 01)),
            set(90.0, 1, date!(2026 - 11 - 02)),
        ];
        let best = best_by_reps(&all);
        assert_eq!(best.iter().map(|(n, f)| (*n, f.kg)).collect::<Vec<_>>(), [(1, 90.0), (5, 80.0)]);
        assert_eq!(best[1].1.day, date!(2026 - 11 - 10));
    }

    #[test]
    fn a_heavy_triple_is_offered_and_five_or_less_than_known_is_not() {
        let day = date!(2026 - 11 - 20);
        let all = [set(100.0, 5, day), set(95.0, 3, day)];
        assert_eq!(to_keep(&all, None).map(|f| f.kg), Some(95.0));
        // 95 x 36 / (37 - 3) = 100.6 kg by Brzycki, the lower of the two
        assert_eq!(to_keep(&all, Some((101.0, day))).map(|f| f.kg), None);
        assert_eq!(to_keep(&all, Some((40.0, day.next_day().unwrap()))).map(|f| f.kg), None, "a newer max counts");
        let brought_in = Found { result: None, ..set(180.0, 1, day) };
        assert!(to_keep(&[brought_in], None).is_none(), "from another time");
        assert!(to_keep(&[Found { plain: false, ..set(95.0, 3, day) }], None).is_none());
        assert!(to_keep(&[Found { doubted: true, ..set(950.0, 3, day) }], None).is_none());
    }
}
