//! What somebody would score in a part: the typical figures of the trade, moved by how quick and strong they are.

use super::at_home::AtHome;
use super::dice::Dice;
use super::people::{Habit, Writes};
use super::typed;
use crate::training::dose::Amount;
use crate::training::member::Profile;
use crate::training::movement::Library;
use crate::training::pace;
use crate::training::score::{KG_PER_LB, ScoreRules};
use crate::training::session::{Format, Part, ScoreKind};

/// Six weeks of training make someone this much quicker a week, about.
const QUICKER_A_WEEK: f64 = 0.018;
/// ... and this much stronger.
const STRONGER_A_WEEK: f64 = 0.008;
/// Nobody comes nearer than this to the least possible time, so that no honest result looks like a slip.
const ABOVE_LEAST: f64 = 1.15;
/// From one round to the next, seconds.
const BETWEEN_ROUNDS_S: f64 = 5.0;
/// A long count-against-the-clock is done a little slower than one fresh round.
const TIRED: f64 = 1.08;

/// Somebody's day.
pub struct Someone<'a> {
    /// kit, limits, maxes
    pub profile: &'a Profile,
    /// how they train
    pub habit: &'a Habit,
    /// weeks of the cycle behind them
    pub weeks: f64,
    /// today's form: 1 is usual, more is slower
    pub form: f64,
}

/// What came of it.
pub struct Outcome {
    /// as typed
    pub text: String,
    /// how long the part took, seconds
    pub seconds: f64,
    /// load of one implement, kilograms
    pub load_kg: Option<f64>,
}

impl Someone<'_> {
    /// Their time for what takes most people one second.
    fn factor(&self, dice: &mut Dice) -> f64 {
        self.habit.pace * self.form * (1.0 - QUICKER_A_WEEK * self.weeks) * dice.around(1.0, 0.03)
    }

    fn strength(&self) -> f64 {
        self.habit.strength * (1.0 + STRONGER_A_WEEK * self.weeks) / self.form
    }

    /// What they log for `written`, which they do as `home` says; nothing where there is no number to give.
    pub fn outcome(&self, written: &Part, home: &AtHome, library: &Library, dice: &mut Dice) -> Option<Outcome> {
        let (part, load_kg) = (&home.part, home.load_kg);
        let rules = ScoreRules::of(written, library);
        let typical = pace::part(part, library).typical_s;
        let own = |text: String, seconds: f64| Some(Outcome { text, seconds, load_kg });
        let writes = self.habit.writes;
        match part.score {
            ScoreKind::Time => {
                let (text, seconds) = self.time(part, &rules, library, dice);
                own(text, seconds)
            }
            ScoreKind::RoundsReps => own(self.rounds(part, &rules, library, dice), typical),
            ScoreKind::HoldTime => {
                let s = (95.0 * self.strength() / self.factor(dice) * dice.around(1.0, 0.12)).max(12.0);
                own(typed::hold(s, writes), s + 60.0)
            }
            ScoreKind::Reps => {
                let n = whole(self.most_reps(dice)).max(3);
                own(typed::reps(n, writes), 180.0)
            }
            ScoreKind::Load => {
                let kg = self.heavy(written, home, dice)?;
                Some(Outcome { text: typed::load(kg, writes), seconds: typical * 1.05, load_kg: Some(kg) })
            }
            ScoreKind::None => {
                let seconds = typical * (1.0 + (self.factor(dice) - 1.0) * 0.5);
                own("done".to_owned(), seconds)
            }
            // The demo's write-ups count neither metres nor calories.
            ScoreKind::Distance | ScoreKind::Calories => None,
        }
    }

    fn time(&self, part: &Part, rules: &ScoreRules, library: &Library, dice: &mut Dice) -> (String, f64) {
        let open = Part { time_cap_s: None, ..part.clone() };
        let seconds = pace::part(&open, library).typical_s * self.factor(dice);
        let seconds = seconds.max(rules.fastest_s.unwrap_or(0.0) * ABOVE_LEAST).round();
        match part.time_cap_s {
            Some(cap) if seconds > cap => {
                let all = rules.total_reps.unwrap_or(0);
                let done = whole(f64::from(all) * cap / seconds).min(all.saturating_sub(1));
                (typed::capped(done, all, self.habit.writes), cap)
            }
            _ => (typed::time(seconds, self.habit.writes), seconds),
        }
    }

    fn rounds(&self, part: &Part, rules: &ScoreRules, library: &Library, dice: &mut Dice) -> String {
        let window = part.duration_s.unwrap_or(0.0);
        let slower = TIRED * self.factor(dice);
        if part.format == Format::Ladder {
            let (rung, extra) = climb(part, library, window, slower);
            return typed::rounds(rung, extra, self.habit.writes);
        }
        let most = rules.most_rounds.unwrap_or(f64::INFINITY) / ABOVE_LEAST;
        let done = (window / (round_s(part, library) * slower)).min(most);
        let extra = done.fract() * f64::from(rules.round_reps.unwrap_or(0));
        typed::rounds(whole(done), whole(extra), self.habit.writes)
    }

    /// One set of push-ups to the end.
    fn most_reps(&self, dice: &mut Dice) -> f64 {
        let usual = if self.profile.column == Some(1) { 27.0 } else { 17.0 };
        usual * self.strength().powi(2) / self.factor(dice) * dice.around(1.0, 0.05)
    }

    /// A heavy set: of the lift's max where it is done as written and the max is known, else what is given at home.
    fn heavy(&self, written: &Part, home: &AtHome, dice: &mut Dice) -> Option<f64> {
        let line = written.lines.first()?;
        let Some(max) = self.profile.known_maxes_kg.get(&line.movement).filter(|_| !home.swapped) else { return home.load_kg };
        // Epley's formula, turned round.
        let share = 1.0 / (1.0 + line.reps.as_ref().map_or(1.0, Amount::high) / 30.0);
        let kg = max * share * (1.0 + STRONGER_A_WEEK * self.weeks) * dice.around(0.995, 0.01);
        let step = if self.habit.writes == Writes::Pounds { 5.0 * KG_PER_LB } else { 2.5 };
        Some((kg / step).floor() * step)
    }
}

/// Typical seconds of one round, with the step to the next.
fn round_s(part: &Part, library: &Library) -> f64 {
    let one = Part {
        format: Format::Rounds,
        rounds: Some(Amount::One(1.0)),
        duration_s: None,
        time_cap_s: None,
        rest_s: None,
        ..part.clone()
    };
    pace::part(&one, library).typical_s + BETWEEN_ROUNDS_S
}

/// The last full rung of a ladder that goes on, and reps of the next.
fn climb(part: &Part, library: &Library, window: f64, slower: f64) -> (u32, u32) {
    let first = part.lines.iter().find_map(|l| l.reps.as_ref()).map_or(1.0, Amount::low);
    let step = part.lines.iter().find_map(|l| l.step).unwrap_or(1.0).max(1.0);
    let (mut rung, mut left) = (0.0, window);
    loop {
        let next = if rung == 0.0 { first } else { rung + step };
        let mut one = part.clone();
        one.lines.iter_mut().for_each(|l| l.reps = Some(Amount::One(next)));
        let needs = round_s(&one, library) * slower;
        if needs >= left || next > 100.0 {
            #[expect(clippy::cast_precision_loss, reason = "a part has a few lines")]
            let reps = next * part.lines.len() as f64;
            return (whole(rung), whole((left / needs).min(0.99) * reps));
        }
        (rung, left) = (next, left - needs);
    }
}

fn whole(n: f64) -> u32 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a count of reps, never negative")]
    let n = n.max(0.0) as u32;
    n
}
