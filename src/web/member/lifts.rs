//! Lifts out of what was logged: the best of each, for each rep count, and over time.

use crate::store::people::Units;
use crate::store::results::Logged;
use crate::training::calendar;
use crate::training::dose::Amount;
use crate::training::load::Mass;
use crate::training::score::{Lift, Score};
use crate::training::session::{Line, Part};
use crate::training::strength::{self, Estimate};
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
    /// the result it is of
    pub result: i64,
    /// with one implement and nothing but the weight: what a max is
    pub plain: bool,
}

/// Reps of a lift: as logged, else as the line asks for where it asks for one number.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "checked to be whole and small")]
fn reps(lift: &Lift, line: &Line) -> Option<u32> {
    lift.reps.or(match line.reps {
        Some(Amount::One(n)) if n.fract() == 0.0 && (1.0..1000.0).contains(&n) => Some(n as u32),
        _ => None,
    })
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

/// The lifts of one result, where it scored a load: movement and set.
#[must_use]
pub fn lifts(logged: &Logged) -> Vec<(String, Found)> {
    let score = logged.result.score.clone().and_then(|s| serde_json::from_value(s).ok());
    let part = logged.session.parts.get(logged.result.part);
    let line = part.and_then(|p| lifted(p, &logged.result.version_done));
    let (Some(Score::Load { lifts }), Some(line)) = (score, line) else { return Vec::new() };
    // what was done instead is another lift, and is not compared with it
    if logged.result.version_done == "adapted" || !line.complex.is_empty() {
        return Vec::new();
    }
    let one = |lift: &Lift| {
        let kg = lift.kg().filter(|kg| *kg > 0.0 && lift.reps != Some(0))?;
        let reps = reps(lift, &line);
        let estimate = reps.filter(|_| !lift.added).and_then(|n| strength::estimate(kg, n));
        let words = Score::Load { lifts: vec![Lift { reps, ..*lift }] }.words();
        let plain = !lift.added && lift.implements == 1;
        let found = Found { kg, reps, words, day: logged.result.done_on, estimate, result: logged.result.id.0, plain };
        Some((line.movement.clone(), found))
    };
    lifts.iter().filter_map(one).collect()
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
pub fn best(logged: &[Logged], units: Units) -> Vec<Best> {
    let mut by_name: BTreeMap<String, Vec<Found>> = BTreeMap::new();
    for (movement, found) in logged.iter().flat_map(lifts) {
        by_name.entry(movement).or_default().push(found);
    }
    let best = |(movement, all): (String, Vec<Found>)| {
        let estimate = best_estimate(&all);
        let heaviest = all.into_iter().max_by(|a, b| a.kg.total_cmp(&b.kg))?;
        Some(Best {
            movement,
            heaviest: heaviest.words,
            day: calendar::short(heaviest.day),
            estimate: estimate.map(|e| words(e, units)),
        })
    };
    by_name.into_iter().filter_map(best).collect()
}

/// The highest of the estimates.
#[must_use]
pub fn best_estimate(all: &[Found]) -> Option<Estimate> {
    all.iter().filter_map(|f| f.estimate).max_by(|a, b| a.middle().total_cmp(&b.middle()))
}

/// The heaviest set of each rep count, fewest reps first; of equal ones the first that was done.
#[must_use]
pub fn best_by_reps(all: &[Found]) -> Vec<(u32, Found)> {
    let mut best: BTreeMap<u32, Found> = BTreeMap::new();
    for f in all {
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
    for f in all {
        let Some(estimate) = f.estimate else { continue };
        let best = days.entry(f.day).or_insert(estimate);
        if estimate.middle() > best.middle() {
            *best = estimate;
        }
    }
    days.into_iter().collect()
}

/// The set that may be kept as a max: heavy, plain, and above what is known, kilograms.
#[must_use]
pub fn to_keep(all: &[Found], known: Option<f64>) -> Option<&Found> {
    let low = |f: &Found| f.estimate.map_or(0.0, |e| e.low);
    let heavy = |f: &&Found| f.plain && f.reps.is_some_and(|n| (1..=HEAVY_REPS).contains(&n));
    all.iter().filter(heavy).max_by(|a, b| low(a).total_cmp(&low(b))).filter(|f| known.is_none_or(|kg| low(f) > kg + 0.05))
}

#[cfg(test)]
mod tests {
    use super::*;
    use time::macros::date;

    fn set(kg: f64, reps: u32, day: Date) -> Found {
        let estimate = strength::estimate(kg, reps);
        Found { kg, reps: Some(reps), words: format!("{kg} kg x {reps}"), day, estimate, result: 1, plain: true }
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
        assert_eq!(to_keep(&all, Some(101.0)).map(|f| f.kg), None);
        assert!(to_keep(&[Found { plain: false, ..set(95.0, 3, day) }], None).is_none());
    }
}
