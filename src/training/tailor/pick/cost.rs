//! What a candidate costs: how far it is from the written line, weighted for the purpose.

use super::{Ask, Who};
use crate::training::dose::Load;
use crate::training::member::Level;
use crate::training::movement::{Demand, Pattern, Sided, Unit};
use crate::training::tailor::fit::{Fit, light_for_a_percent};
use crate::training::tailor::shelf::{Purpose, Tool, Way, distance};
use serde::{Deserialize, Serialize};

/// How far the next place on the coach's list is.
const PLACE: f64 = 0.06;

/// Weights of pattern, effort, time, symmetry and skill for strength, conditioning, technique and mobility: a skill part keeps
/// the pattern, a strength part the effort, a conditioning part the time (*common practice*).
const WEIGHTS: [[f64; 5]; 4] =
    [[1.0, 0.25, 0.02, 0.02, 0.02], [1.0, 0.08, 0.06, 0.02, 0.03], [1.5, 0.05, 0.02, 0.05, 0.03], [1.2, 0.05, 0.05, 0.05, 0.03]];

/// What a candidate costs, each part already weighted for the purpose; smaller is better.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Cost {
    /// how far the pattern is, or how far down the coach's own list
    pub pattern: f64,
    /// how far the load is from the written one
    pub effort: f64,
    /// how far the work time is from the written one
    pub time: f64,
    /// one side or two
    pub symmetry: f64,
    /// how far the skill is
    pub skill: f64,
}

impl Cost {
    /// The sum.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.pattern + self.effort + self.time + self.symmetry + self.skill
    }
}

/// The share of what keeps the effort below which twenty reps do not bring it back (*common practice*).
pub(in crate::training::tailor) const FAR_TOO_LIGHT: f64 = 0.4;

/// The same for another movement, which has to be worth the change.
const LIGHT_FOR_A_SWAP: f64 = 0.42;

impl Ask<'_, '_> {
    fn is_strength(&self) -> bool {
        self.purpose == Purpose::Strength
    }

    /// The cost of DOMAIN's section 5; a movement on the coach's list counts as near as its place there.
    pub(super) fn cost(&self, to: usize, way: Way, fit: &Fit, rank: Option<usize>, who: &Who<'_>) -> Cost {
        let (a, b) = (self.shelf.movement(self.at), self.shelf.movement(to));
        let w = WEIGHTS[self.purpose as usize];
        let pattern = match rank {
            Some(rank) => PLACE * rank as f64,
            None => 0.9 + distance(&self.shelf.entries[self.at].weights, &self.shelf.entries[to].weights),
        };
        let effort = match (self.was_loaded(), fit.loaded, fit.of_written) {
            // a leg alone carries the body too, so that a light weight is not far off
            (true, true, Some(_)) if b.pattern == Pattern::SingleLeg && to != self.at => 0.5,
            // so light that even twenty reps are not hard: what is harder with less is nearer
            (true, true, Some(_)) if to != self.at && self.is_strength() && fit.share.is_some_and(|s| s < LIGHT_FOR_A_SWAP) => {
                2.0
            }
            (true, true, Some(share)) => share.max(0.05).ln().abs().min(0.88),
            (true, true, None) if way.tool == Tool::Band => 0.7,
            // a weight that is named is better than one to be looked for
            (true, true, None) if matches!(fit.load, Some(Load::Find(_))) => 0.25,
            // of two that are not heavy the heavier
            (true, true, None) => {
                let light = light_for_a_percent(b.pattern, fit.pair);
                0.2 - if fit.each_kg <= light { 0.05 * fit.each_kg / light } else { 0.0 }
            }
            (true, false, _) if self.purpose == Purpose::Technique => 0.1,
            (true, false, _) => 0.9,
            (false, true, _) => 0.05,
            (false, false, _) => 0.0,
        };
        let time = match (a.seconds_per_rep, b.seconds_per_rep) {
            (Some(x), Some(y)) => (x / y).ln().abs(),
            _ if a.unit == b.unit => 0.0,
            _ => 0.4,
        };
        // minutes on end are not jumped
        let jumps = if b.asks(Demand::Impact) && self.long_work() { 0.25 } else { 0.0 };
        // a hold to the end is no count of reps
        let held = if self.line.max && (a.unit, b.unit) == (Unit::Seconds, Unit::Reps) { 0.3 } else { 0.0 };
        let one = |s: Sided| s != Sided::Bilateral;
        let symmetry = f64::from(u8::from(one(a.sided) != (one(b.sided) || way.one_arm)));
        let unusual = if way.one_arm && to != self.at { 0.08 } else { 0.0 };
        let skill = f64::from(b.skill.saturating_sub(a.skill))
            + if b.skill > 2 && who.profile.level == Level::Beginner && to != self.at { 4.0 } else { 0.0 }
            // what is only near is not much harder where anything else is sound
            + if rank.is_none() && b.skill > a.skill + 1 { 8.0 } else { 0.0 };
        Cost {
            pattern: pattern * w[0],
            effort: effort * w[1],
            time: time * w[2],
            symmetry: symmetry * w[3] + unusual,
            skill: skill * w[4] + jumps + held,
        }
    }

    /// What a place on the list costs by itself.
    pub(super) fn of_rank(&self, rank: usize) -> f64 {
        PLACE * rank as f64 * WEIGHTS[self.purpose as usize][0]
    }
}
