//! The best of each lift, from what was logged.

use crate::store::people::Units;
use crate::store::results::Logged;
use crate::training::calendar;
use crate::training::dose::Amount;
use crate::training::load::Mass;
use crate::training::score::{Lift, Score};
use crate::training::session::Line;
use crate::training::strength::{self, Estimate};
use std::collections::BTreeMap;
use time::Date;

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

struct Found {
    kg: f64,
    words: String,
    day: Date,
    estimate: Option<Estimate>,
}

/// Reps of a lift: as logged, else as the line asks for where it asks for one number.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "checked to be whole and small")]
fn reps(lift: &Lift, line: &Line) -> Option<u32> {
    lift.reps.or(match line.reps {
        Some(Amount::One(n)) if n.fract() == 0.0 && (1.0..1000.0).contains(&n) => Some(n as u32),
        _ => None,
    })
}

/// The lifts of one result, where it scored a load: movement, kilograms, words, estimate.
fn lifts(logged: &Logged) -> Vec<(String, Found)> {
    let score = logged.result.score.clone().and_then(|s| serde_json::from_value(s).ok());
    let part = logged.session.parts.get(logged.result.part);
    let (Some(Score::Load { lifts }), Some(line)) = (score, part.and_then(|p| p.lines.first())) else { return Vec::new() };
    // what was done instead is another lift, and is not compared with it
    if logged.result.version_done == "adapted" || !line.complex.is_empty() {
        return Vec::new();
    }
    let one = |lift: &Lift| {
        let kg = lift.kg().filter(|kg| *kg > 0.0 && lift.reps != Some(0))?;
        let estimate = reps(lift, line).filter(|_| !lift.added).and_then(|n| strength::estimate(kg, n));
        let words = Score::Load { lifts: vec![*lift] }.words();
        Some((line.movement.clone(), Found { kg, words, day: logged.result.done_on, estimate }))
    };
    lifts.iter().filter_map(one).collect()
}

fn words(estimate: Estimate, units: Units) -> String {
    let (unit, of): (&str, fn(Mass) -> f64) = if units == Units::Kg { ("kg", Mass::in_kg) } else { ("lb", Mass::in_lb) };
    let (low, high) = (of(Mass::kg(estimate.low)).round(), of(Mass::kg(estimate.high)).round());
    if (low - high).abs() < 0.5 { format!("{low} {unit}") } else { format!("{low} to {high} {unit}") }
}

/// The heaviest of each lift and the best estimate of its 1RM, by name.
#[must_use]
pub fn best(logged: &[Logged], units: Units) -> Vec<Best> {
    let mut by_name: BTreeMap<String, Vec<Found>> = BTreeMap::new();
    for (movement, found) in logged.iter().flat_map(lifts) {
        by_name.entry(movement).or_default().push(found);
    }
    let best = |(movement, all): (String, Vec<Found>)| {
        let estimate = all.iter().filter_map(|f| f.estimate).max_by(|a, b| a.middle().total_cmp(&b.middle()));
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
