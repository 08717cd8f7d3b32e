//! Doses: from the written amount to one that keeps what the part is for.

mod strength;

use super::fit::Fit;
use super::house::Rules;
use super::shelf::{Purpose, Shelf, Way};
use crate::training::dose::{Amount, Side};
use crate::training::movement::{Movement, Pattern, Sided, Unit};
use crate::training::session::Line;
use strength::lighter_reps;

/// Seconds a member needs for one calorie on a machine (*common practice*: 13 or so a minute).
const SECONDS_A_CALORIE: f64 = 4.5;
/// Metres that one lunge travels (*common practice*).
const A_STEP: f64 = 0.8;
/// Metres that one jump forward travels (*common practice*).
const A_JUMP: f64 = 1.5;

/// Reps of a heavy set that is built up with hand weights, which end below what a bar would (*common practice*).
const BUILT: f64 = 5.0;

/// The most reps of a quicker movement for one of a slower (*common practice*): beyond it the time is what is kept.
const MOST_FOR_ONE: f64 = 1.6;

/// Most reps of a fast lift in one set (*common practice*).
const FAST: f64 = 10.0;

/// Seconds of going on where neither dose nor clock says how long (*common practice*).
const GOING: (f64, f64) = (60.0, 120.0);

/// A line's amount and how it is done.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Dose {
    pub reps: Option<Amount>,
    pub seconds: Option<Amount>,
    pub metres: Option<Amount>,
    pub calories: Option<Amount>,
    pub side: Option<Side>,
    pub tempo: Option<String>,
    pub max: bool,
}

/// One swap to convert a dose for.
pub(crate) struct Swap<'a> {
    pub line: &'a Line,
    pub from: usize,
    pub to: usize,
    pub way: Way,
    pub fit: &'a Fit,
    /// the written line carries a load
    pub was_loaded: bool,
    pub purpose: Purpose,
    /// the second of two columns is this member's
    pub second_column: bool,
    /// the body alone is as heavy as the weight that was written
    pub body_is_enough: bool,
    /// a weight was written and none is held
    pub lost_the_load: bool,
    /// an effort is asked and there is only one weight: it sets the reps
    pub effort_with_one_weight: bool,
    /// it is built up to one heavy set
    pub builds: bool,
    /// nothing else says how much: a line without a dose is given a usual one
    pub dose_needed: bool,
    /// one side at a time does the written reps with each, not half of them
    pub each_side: bool,
    /// where coaches differ
    pub rules: &'a Rules,
}

/// A number of seconds that people set on a clock.
fn clock(seconds: f64) -> f64 {
    let step = if seconds < 90.0 { 5.0 } else { 10.0 };
    ((seconds / step).round() * step).max(5.0)
}

fn count(reps: f64) -> f64 {
    reps.round().max(1.0)
}

fn even_up(reps: f64) -> f64 {
    ((reps / 2.0).round() * 2.0).max(2.0)
}

/// Rungs that grow by the same number from one to the next, as the written ones do: the first and the last tell by how much.
fn climbing(rungs: Amount, side: Option<Side>) -> Amount {
    let Amount::Scheme(list) = &rungs else { return rungs };
    let [first, .., last] = list.as_slice() else { return rungs };
    let step = (last - first) / (list.len() - 1) as f64;
    let step = if side == Some(Side::Alternating) { even_up(step) } else { count(step) };
    Amount::Scheme((0..list.len()).map(|n| first + step * n as f64).collect())
}

impl Swap<'_> {
    fn movements<'l>(&self, shelf: &Shelf<'l>) -> (&'l Movement, &'l Movement) {
        (shelf.movement(self.from), shelf.movement(self.to))
    }

    /// The side that the written number counts; a one-sided movement with none written counts each side.
    fn written_side(&self, from: &Movement) -> Option<Side> {
        self.line.side.or(match from.sided {
            Sided::Unilateral => Some(Side::PerSide),
            Sided::Alternating => Some(Side::Alternating),
            Sided::Bilateral => None,
        })
    }

    fn given_side(&self, to: &Movement) -> Option<Side> {
        if self.way.one_arm || to.sided == Sided::Unilateral {
            Some(Side::PerSide)
        } else if to.sided == Sided::Alternating {
            Some(Side::Alternating)
        } else {
            None
        }
    }

    /// The dose of the swap.
    pub fn dose(&self, shelf: &Shelf<'_>) -> Dose {
        let (_, to) = self.movements(shelf);
        let line = self.line;
        if self.from == self.to && !self.way.one_arm {
            return self.same_movement(shelf);
        }
        let side = self.given_side(to);
        let mut dose = Dose { max: line.max, side, ..Dose::default() };
        if let Some(reps) = self.written_count(shelf) {
            self.written_reps(&reps, shelf, &mut dose);
        } else if let Some(seconds) = &line.seconds {
            self.written_seconds(seconds, shelf, &mut dose);
        } else if let Some(metres) = &line.metres {
            self.written_metres(metres, shelf, &mut dose);
        } else if let Some(calories) = &line.calories {
            self.machine_seconds(&self.my_column(calories).map(|c| clock(c * SECONDS_A_CALORIE)), &mut dose);
        } else if !line.max {
            dose.side = None;
            self.usual_time(shelf, &mut dose);
        }
        if line.max && matches!(dose.reps, Some(Amount::One(_))) {
            // as many as possible is the dose; the count beside it was of the written movement
            dose.reps = None;
        }
        if self.keeps_pace(shelf) {
            dose.tempo = line.tempo.clone().or(dose.tempo);
        }
        dose
    }

    /// The coach's tempo goes with a movement of the same kind that can be done slowly.
    fn keeps_pace(&self, shelf: &Shelf<'_>) -> bool {
        let (from, to) = self.movements(shelf);
        from.pattern == to.pattern && to.unit == Unit::Reps && !shelf.entries[self.to].fast
    }

    /// Going on without a dose and without a clock is as long as such a line usually is.
    fn usual_time(&self, shelf: &Shelf<'_>, dose: &mut Dose) {
        let (from, _) = self.movements(shelf);
        if self.dose_needed && from.pattern == Pattern::Cyclical {
            let usual = shelf.entries[self.from].dose;
            // the usual dose is in the movement's own unit, and a number of steps is no time
            let (low, high) = if from.unit == Unit::Reps { GOING } else { (usual.low, usual.high) };
            dose.seconds = Some(Amount::Range(low, high));
        }
    }

    /// Reps as written, or the steps and jumps that a written distance takes: 20 m of walking lunges are 25 of them.
    fn written_count(&self, shelf: &Shelf<'_>) -> Option<Amount> {
        let (from, _) = self.movements(shelf);
        let travels = match from.pattern {
            Pattern::SingleLeg => A_STEP,
            Pattern::Jump | Pattern::FullBody => A_JUMP,
            _ => return self.line.reps.clone(),
        };
        let counted = self.line.metres.as_ref().filter(|_| from.unit == Unit::Reps && shelf.entries[self.from].pace.is_none());
        let steps = counted.map(|m| self.my_column(m).map(|m| count(m / travels)));
        self.line.reps.clone().or(steps)
    }

    fn my_column(&self, amount: &Amount) -> Amount {
        match amount {
            Amount::Columns(a, b) => Amount::One(if self.second_column { *b } else { *a }),
            other => other.clone(),
        }
    }

    /// The movement stays; a lighter load may ask for more reps in a strength part.
    fn same_movement(&self, shelf: &Shelf<'_>) -> Dose {
        let line = self.line;
        let mut dose = Dose {
            reps: line.reps.clone(),
            seconds: line.seconds.clone(),
            metres: line.metres.clone(),
            calories: line.calories.clone(),
            side: if self.both_at_once(shelf) { None } else { line.side },
            tempo: line.tempo.clone(),
            max: line.max,
        };
        // a ladder that goes on climbs as it is written, and as many as possible are as many as possible
        if self.purpose != Purpose::Strength || line.open || line.max {
            return dose;
        }
        if self.effort_with_one_weight && dose.tempo.is_none() {
            let usual = shelf.entries[self.to].dose;
            let more = |n: f64| if n < usual.low { (n * 2.0).clamp(usual.low, usual.high) } else { n };
            dose.reps = line.reps.as_ref().map(|r| r.map(more));
            if dose.reps != line.reps {
                dose.tempo = self.slow();
            }
        }
        if self.lost_the_load
            && let Some(reps) = &line.reps
        {
            let usual = shelf.entries[self.to].dose;
            dose.reps = Some(reps.map(|n| (n * 2.0).clamp(usual.low, usual.high).max(n)));
            dose.tempo = dose.tempo.or_else(|| self.slow().filter(|_| !shelf.entries[self.to].fast));
        }
        if let Some(share) = self.fit.share.map(|s| self.with_the_body(s, shelf)).filter(|s| *s < 0.95) {
            dose.reps = line.reps.as_ref().map(|r| r.map(|n| lighter_reps(n, share, self.most(shelf))));
            if share < 0.8 && dose.tempo.is_none() && line.reps.is_some() && !shelf.entries[self.to].fast {
                dose.tempo = self.slow();
            }
        }
        dose
    }

    /// A pair works both sides at once: there is no count for each side then. A leg alone is one side, whatever the hands hold.
    fn both_at_once(&self, shelf: &Shelf<'_>) -> bool {
        let (_, to) = self.movements(shelf);
        self.fit.pair && self.line.side == Some(Side::PerSide) && to.sided == Sided::Bilateral && to.pattern != Pattern::SingleLeg
    }

    /// The tempo that makes a lighter load harder, where the coach wants one.
    fn slow(&self) -> Option<String> {
        self.rules.slower.then(|| "3-1-1-0".to_owned())
    }

    /// The most reps of a strength set; a fast lift loses its speed sooner.
    fn most(&self, shelf: &Shelf<'_>) -> f64 {
        let most = f64::from(self.rules.most_reps);
        if shelf.entries[self.to].fast { most.min(FAST) } else { most }
    }

    /// A leg alone carries the body too, so that half the weight is far from half the load (*common practice*: as if 40 kg more).
    fn with_the_body(&self, share: f64, shelf: &Shelf<'_>) -> f64 {
        let (_, to) = self.movements(shelf);
        if to.pattern != Pattern::SingleLeg || share <= 0.0 {
            return share;
        }
        let there = self.fit.each_kg * if self.fit.pair { 2.0 } else { 1.0 };
        (there + 40.0) / (there / share + 40.0)
    }

    fn written_reps(&self, reps: &Amount, shelf: &Shelf<'_>, dose: &mut Dose) {
        let (from, to) = self.movements(shelf);
        let side = self.written_side(from);
        let each = |n: f64| match side {
            Some(Side::Alternating | Side::Total) => n / 2.0,
            _ => n,
        };
        let all = |n: f64| if side == Some(Side::PerSide) { n * 2.0 } else { n };
        let reps = &self.my_column(reps);
        match (self.purpose, to.unit) {
            (Purpose::Strength, Unit::Reps) if !self.line.open => {
                dose.reps = Some(reps.map(|n| self.strength_reps(each(n).ceil(), shelf)));
                self.one_side_in_strength(dose);
                if self.slower(shelf) {
                    dose.tempo = self.slow();
                }
            }
            (Purpose::Strength, unit) if unit != Unit::Reps => {
                let usual = shelf.entries[self.to].dose;
                dose.seconds = Some(Amount::One(clock(f64::midpoint(usual.low, usual.high) - 1.0)));
                self.one_side_in_strength(dose);
            }
            (Purpose::Conditioning, Unit::Reps) if self.by_the_clock(shelf) => {
                let seconds = reps.map(|n| clock(all(n) * from.seconds_per_rep.unwrap_or(1.0)));
                self.machine_seconds(&seconds, dose);
            }
            (Purpose::Conditioning | Purpose::Strength, Unit::Reps) => {
                let factor = shelf.count(self.from, self.to).unwrap_or_else(|| self.time_factor(from, to));
                let converted = reps.map(|n| self.conditioning_reps(all(n), factor, dose.side, shelf));
                dose.reps = Some(converted);
                if self.way.one_arm && side == Some(Side::Alternating) {
                    dose.side = Some(Side::Total);
                    dose.reps = Some(reps.map(|n| even_up(all(n) * factor)));
                }
                if self.line.open {
                    dose.reps = dose.reps.take().map(|rungs| climbing(rungs, dose.side));
                }
            }
            (Purpose::Technique | Purpose::Mobility, Unit::Reps) => {
                dose.reps = Some(reps.map(|n| count(each(n).ceil())));
                if dose.side == Some(Side::Alternating) {
                    dose.reps = Some(reps.map(|n| even_up(if side.is_some() { all(n) } else { n })));
                }
            }
            (_, _) => {
                // a hold is not stretched to the time of many reps
                let most = shelf.entries[self.to].dose.high.max(30.0) + 10.0;
                let seconds = reps.map(|n| clock((all(n) * from.seconds_per_rep.unwrap_or(3.0)).min(most)));
                self.machine_seconds(&seconds, dose);
            }
        }
    }

    /// Quick steps and skips are not counted against each other: equal time.
    fn by_the_clock(&self, shelf: &Shelf<'_>) -> bool {
        let (from, to) = self.movements(shelf);
        let quick = |m: &Movement| m.seconds_per_rep.is_some_and(|s| s <= 1.0);
        // ten burpees are not sixteen high knees
        let steps = quick(to)
            && to.pattern == Pattern::Conditioning
            && from.seconds_per_rep > to.seconds_per_rep.map(|s| s * MOST_FOR_ONE);
        (quick(from) || steps) && shelf.count(self.from, self.to).is_none()
    }

    /// How many reps of the new movement take the time of one of the old.
    ///
    /// No rep becomes more loaded reps: only slower movements change the count. Without a load the time is kept,
    /// up to 1.6 reps for one.
    fn time_factor(&self, from: &Movement, to: &Movement) -> f64 {
        let (Some(a), Some(b)) = (from.seconds_per_rep, to.seconds_per_rep) else { return 1.0 };
        let ratio = a / b;
        // a slower rep takes some of the count, not all of it: half of the difference, as coaches round it
        let kept = if ratio >= 0.6 { f64::midpoint(1.0, ratio) } else { ratio * 1.2 };
        if ratio <= 1.0 {
            kept.clamp(0.2, 1.0)
        } else if self.fit.loaded {
            1.0
        } else {
            ratio.min(MOST_FOR_ONE)
        }
    }

    /// What two arms did is done by each, where the coach or the part wants that.
    fn one_for_two(&self, shelf: &Shelf<'_>) -> bool {
        let (from, to) = self.movements(shelf);
        let both = from.sided == Sided::Bilateral && self.line.side.is_none();
        self.each_side && both && (self.way.one_arm || (self.fit.loaded && to.pattern != Pattern::SingleLeg))
    }

    fn conditioning_reps(&self, total: f64, factor: f64, side: Option<Side>, shelf: &Shelf<'_>) -> f64 {
        let n = total * factor;
        match side {
            Some(Side::PerSide) if self.one_for_two(shelf) => count(n),
            Some(Side::PerSide) => count((n / 2.0).ceil()),
            Some(Side::Alternating) => even_up(n),
            _ if (factor - 1.0).abs() < 1e-9 => count(n),
            _ if n >= 8.0 => even_up(n),
            _ => count(n),
        }
    }

    fn written_seconds(&self, seconds: &Amount, shelf: &Shelf<'_>, dose: &mut Dose) {
        let (_, to) = self.movements(shelf);
        let seconds = &self.my_column(seconds);
        let usual = shelf.entries[self.to].dose;
        if self.purpose == Purpose::Strength && to.unit == Unit::Reps {
            let a_rep = to.seconds_per_rep.unwrap_or(3.0);
            dose.reps = Some(seconds.map(|s| (s / a_rep).clamp(usual.low, usual.high).round()));
            self.one_side_in_strength(dose);
        } else {
            self.machine_seconds(seconds, dose);
        }
    }

    fn written_metres(&self, metres: &Amount, shelf: &Shelf<'_>, dose: &mut Dose) {
        let (from, to) = self.movements(shelf);
        let metres = &self.my_column(metres);
        let pace = shelf.entries[self.from].pace.unwrap_or(1.0);
        let carry = from.pattern == Pattern::Carry;
        match (to.unit, shelf.entries[self.to].pace) {
            (Unit::Metres, Some(_)) if carry => {
                let split = if dose.side == Some(Side::PerSide) && self.line.side != Some(Side::PerSide) { 2.0 } else { 1.0 };
                dose.metres = Some(metres.map(|m| (m / split).round()));
            }
            (Unit::Metres, Some(there)) => {
                dose.metres = Some(metres.map(|m| ((m * pace / there) / 10.0).round().max(1.0) * 10.0));
            }
            _ => {
                self.machine_seconds(&metres.map(|m| clock(m * pace)), dose);
                if carry && self.fit.loaded && !self.fit.pair {
                    dose.side = Some(Side::PerSide);
                }
            }
        }
    }

    /// Equal time; a movement that switches sides runs through it.
    fn machine_seconds(&self, seconds: &Amount, dose: &mut Dose) {
        dose.seconds = Some(seconds.clone());
        dose.side = match dose.side {
            Some(Side::PerSide) if self.purpose != Purpose::Conditioning => dose.side,
            _ => None,
        };
    }
}
