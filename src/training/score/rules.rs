//! What a part says about its scores, and what is hard to believe.

use super::clock::show;
use super::words::number;
use super::{DistanceUnit, MassUnit, Score, Work};
use crate::training::dose::{Amount, Side};
use crate::training::movement::Library;
use crate::training::pace::{fastest, fastest_line, fastest_round, rounds_of};
use crate::training::session::{Format, Line, Part, ScoreKind};
use serde::{Deserialize, Serialize};

/// How several numbers make one score.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Combine {
    /// added
    Sum,
    /// the lowest counts
    Lowest,
    /// the highest counts
    Highest,
}

impl Combine {
    /// What was done, in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Sum => "added up",
            Self::Lowest => "the lowest counts",
            Self::Highest => "the highest counts",
        }
    }

    /// One number from several; 0 from none.
    #[must_use]
    pub fn of(self, list: &[f64]) -> f64 {
        match self {
            Self::Sum => list.iter().sum(),
            Self::Lowest => list.iter().copied().reduce(f64::min).unwrap_or(0.0),
            Self::Highest => list.iter().copied().reduce(f64::max).unwrap_or(0.0),
        }
    }

    /// Reads a coach's score rule: `lowest round`, `sum of both blocks`, `best set`.
    #[must_use]
    pub fn from_words(rule: &str) -> Option<Self> {
        if least_wins(rule) {
            return None;
        }
        let rule = rule.to_lowercase();
        let says = |list: &[&str]| list.iter().any(|w| rule.contains(w));
        if says(&["lowest", "worst", "fewest", "smallest", "lower", "weaker", "shorter side", "minimum"]) {
            Some(Self::Lowest)
        } else if says(&["highest", "best", "most", "longest", "heaviest", "higher", "better", "maximum"]) {
            Some(Self::Highest)
        } else if says(&["sum", "total", "added", "add up", "together", "all rounds", "all blocks"]) {
            Some(Self::Sum)
        } else {
            None
        }
    }
}

/// The names by which coaches call one go of several. `lowest round wins` says which of them counts, and turns no board round.
pub(super) const GOES: [&str; 11] =
    ["round", "set", "block", "interval", "minute", "side", "attempt", "rung", "lap", "station", "go"];

/// `fewest wins`, `fewest breaks wins`, `lower is better`: the coach turns the order round. It says nothing about which round
/// counts, nor about what is done between them.
#[must_use]
pub fn least_wins(rule: &str) -> bool {
    let rule = rule.to_lowercase();
    let words: Vec<&str> = rule.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).collect();
    let wins = |words: &[&str]| matches!(words, ["wins" | "win", ..] | ["is" | "are", "better", ..]);
    // fewer rounds are counted; the lowest rounds are those that count
    let counted = |least: &str, word: &str| {
        let few = matches!(least, "fewest" | "fewer" | "least" | "less");
        let go = GOES.iter().any(|go| word == *go || !few && word.strip_suffix('s') == Some(go));
        !go && !matches!(word, "rest" | "resting")
    };
    (0..words.len()).any(|i| match &words[i..] {
        [least, tail @ ..] if LEAST.contains(least) => {
            wins(tail) || matches!(tail, [word, tail @ ..] if counted(least, word) && wins(tail))
        }
        _ => false,
    })
}

const LEAST: [&str; 7] = ["fewest", "fewer", "least", "less", "lowest", "lower", "smallest"];

/// What a part and a member settle about scores. Everything may be unknown.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct ScoreRules {
    /// seconds
    pub cap_s: Option<f64>,
    /// for time, and nothing is written that would end it
    pub uncapped: bool,
    /// reps of the whole part
    pub total_reps: Option<u32>,
    /// reps of one round
    pub round_reps: Option<u32>,
    /// the rounds of a score are rungs of a ladder
    pub rungs: bool,
    /// the rungs are minutes: one more each, until one is not kept up
    pub minutes: bool,
    /// a lift counts with so many reps
    pub reps: Option<u32>,
    /// 2 for a pair
    pub implements: Option<u32>,
    /// settled by the part or by the member's own setting
    pub mass_unit: Option<MassUnit>,
    /// settled by the part or by the member's own setting
    pub distance_unit: Option<DistanceUnit>,
    /// how several numbers make one
    pub combine: Option<Combine>,
    /// least seconds for all of it
    pub fastest_s: Option<f64>,
    /// most rounds that the window can hold
    pub most_rounds: Option<f64>,
    /// most reps that the window can hold
    pub most_reps: Option<f64>,
    /// longest hold that the window allows, seconds
    pub longest_s: Option<f64>,
    /// the member's known max of this lift, kilograms
    pub known_max_kg: Option<f64>,
}

/// A result heavier than this many known maxes is asked about.
const HEAVY: f64 = 1.3;
/// Where no max is known: nobody's bar is heavier, kilograms (common practice, no source).
const HEAVIEST_KG: f64 = 600.0;
/// Where no clock ends them: hardly anybody holds longer, seconds, or does more reps (common practice, no source).
const LONGEST_HOLD_S: f64 = 1800.0;
const MOST_REPS: u32 = 2000;

impl ScoreRules {
    /// What the part itself says. The caller adds the member's unit and known max.
    #[must_use]
    pub fn of(part: &Part, library: &Library) -> Self {
        let minutes = part.format == Format::Emom && part.lines.iter().any(|l| l.open);
        let rungs = minutes || part.format == Format::Ladder && part.lines.iter().any(|l| l.open);
        let written = part.score_rule.as_deref().and_then(Combine::from_words);
        let clocked = part.duration_s.filter(|_| matches!(part.format, Format::Amrap | Format::Ladder));
        let window = clocked.or_else(|| goes(part, written));
        let round_s = fastest_round(part, library);
        let round_reps = if rungs { None } else { round_reps(part) };
        let most_rounds = clocked.filter(|_| round_s > 0.0 && !rungs).map(|w| w / round_s);
        let rep_s = part.lines.iter().map(|l| fastest_rep(l, library)).reduce(f64::min).filter(|s| *s > 0.0);
        let fixed = matches!(part.format, Format::ForTime | Format::Ladder | Format::Rounds | Format::Sets) && !rungs;
        Self {
            cap_s: part.time_cap_s.filter(|_| part.cap_scope.is_none()),
            uncapped: part.score == ScoreKind::Time && part.time_cap_s.is_none(),
            total_reps: if fixed { total_reps(part) } else { None },
            round_reps,
            rungs,
            minutes,
            reps: part.lines.first().and_then(|l| whole(l.reps.as_ref()?.high())).filter(|_| part.score == ScoreKind::Load),
            implements: part.lines.iter().find_map(|l| l.implements).map(u32::from),
            combine: written.filter(|_| part.score != ScoreKind::Time),
            fastest_s: Some(fastest(part, library)).filter(|s| *s > 0.0 && part.score == ScoreKind::Time),
            most_rounds,
            most_reps: match (most_rounds, round_reps) {
                (Some(most), Some(each)) => Some(most * f64::from(each)),
                // each go of several is fresh, and a short one a burst
                _ => window.zip(rep_s).map(|(w, s)| if clocked.is_some() { w / s } else { w / s / BURST }),
            },
            longest_s: window,
            ..Self::default()
        }
    }
}

/// Of the pace that lasts, what a short fresh go takes; as `pace` reckons it.
const BURST: f64 = 0.7;

/// Seconds that the clock gives for all that is counted, at the very most: a max effort inside a time, intervals, an EMOM. Where one go of
/// several counts, those of that one.
fn goes(part: &Part, rule: Option<Combine>) -> Option<f64> {
    let interval = part.interval.unwrap_or_default();
    let go = match part.format {
        Format::MaxEffort => part.duration_s?,
        Format::Intervals => interval.work_s.or(interval.every_s)?,
        Format::Emom => interval.every_s.unwrap_or(60.0),
        _ => return None,
    };
    #[expect(clippy::cast_precision_loss, reason = "a part has a few lines")]
    let stations = part.lines.len().max(1) as f64;
    let once = go * stations;
    let rounds = part.rounds.as_ref().map_or_else(|| rounds_of(part), Amount::high).max(1.0);
    let all = (once * rounds).max(part.duration_s.unwrap_or(0.0));
    let counted = if matches!(rule, Some(Combine::Lowest | Combine::Highest)) { once } else { all };
    (counted.is_finite() && counted > 0.0).then_some(counted)
}

/// Least seconds of a rep in a long set.
fn fastest_rep(line: &Line, library: &Library) -> f64 {
    const MANY: f64 = 1000.0;
    let set = Line { reps: Some(Amount::One(MANY)), metres: None, calories: None, side: None, ..line.clone() };
    fastest_line(&set, library) / MANY
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "checked to be whole and below a million")]
fn whole(n: f64) -> Option<u32> {
    (n.fract() == 0.0 && (0.0..1e6).contains(&n)).then_some(n as u32)
}

/// What a line adds to the count of one round; `None` where it has no fixed count.
fn line_reps(line: &Line) -> Option<f64> {
    if let Some(n) = line.counts_as_reps {
        return Some(n);
    }
    match (&line.reps, &line.calories) {
        (Some(Amount::One(n)), _) | (None, Some(Amount::One(n))) if line.metres.is_none() && line.seconds.is_none() => {
            Some(if line.side == Some(Side::PerSide) { n * 2.0 } else { *n })
        }
        _ => None,
    }
}

fn round_reps(part: &Part) -> Option<u32> {
    let each: Option<Vec<f64>> = part.lines.iter().filter(|l| l.role.is_none()).map(line_reps).collect();
    each.map(|list| list.iter().sum()).and_then(whole).filter(|n| *n > 0)
}

/// Reps of everything written; `None` where something has no fixed count.
fn total_reps(part: &Part) -> Option<u32> {
    let rounds = match &part.rounds {
        Some(Amount::Range(..)) => return None,
        _ => rounds_of(part),
    };
    let all = |line: &Line| match &line.reps {
        Some(Amount::Scheme(rungs)) => Some(rungs.iter().sum::<f64>() * if line.side == Some(Side::PerSide) { 2.0 } else { 1.0 }),
        _ => line_reps(line).map(|n| if line.role.is_some() { n } else { n * rounds }),
    };
    let each: Option<Vec<f64>> = part.lines.iter().map(all).collect();
    each.map(|list| list.iter().sum()).and_then(whole).filter(|n| *n > 0)
}

/// One plain sentence where the score is hard to believe. It is kept all the same.
pub(super) fn doubt(score: &Score, rules: &ScoreRules) -> Option<String> {
    match score {
        Score::Time { seconds } if rules.cap_s.is_some_and(|cap| *seconds > cap) => {
            let cap = rules.cap_s.map(show).unwrap_or_default();
            Some(format!("This is over the cap of {cap}, so it is listed without a place."))
        }
        Score::Time { seconds } => {
            let least = rules.fastest_s.filter(|least| seconds < least)?;
            Some(format!("Even the fastest would need about {}. Is that right?", show(least.floor())))
        }
        Score::Capped { .. } if rules.uncapped => {
            Some("This part has no cap: it ends when all of it is done. Is that right?".to_owned())
        }
        Score::Capped { work: Work::Done(n) } => {
            let total = rules.total_reps.filter(|total| n > total)?;
            Some(format!("There are {total} reps in all. Is that right?"))
        }
        Score::RoundsReps { rounds, reps } => doubt_rounds(*rounds, *reps, rules),
        Score::Reps { reps } => doubt_reps(*reps, rules),
        Score::Load { lifts } => doubt_load(lifts, rules),
        Score::Hold { seconds } => match rules.longest_s {
            Some(longest) if *seconds > longest => Some(format!("The part is {} long. Is that right?", show(longest))),
            None if *seconds > LONGEST_HOLD_S => {
                Some(format!("Hardly anybody holds longer than {}. Is that right?", show(LONGEST_HOLD_S)))
            }
            _ => None,
        },
        Score::Capped { .. } | Score::Distance { .. } | Score::Calories { .. } | Score::Done | Score::NotDone { .. } => None,
    }
}

fn doubt_reps(reps: u32, rules: &ScoreRules) -> Option<String> {
    match rules.most_reps {
        Some(most) if f64::from(reps) > most => {
            Some(format!("About {} is the most that anybody could do. Is that right?", number(most.floor())))
        }
        None if reps > MOST_REPS => Some(format!("Hardly anybody does more than {MOST_REPS} reps. Is that right?")),
        _ => None,
    }
}

fn doubt_load(lifts: &[super::Lift], rules: &ScoreRules) -> Option<String> {
    let made = lifts.iter().filter(|l| l.reps != Some(0));
    let heaviest = made.filter_map(super::Lift::kg).reduce(f64::max)?;
    match rules.known_max_kg {
        Some(known) if heaviest > HEAVY * known => Some(format!("The known max is {} kg. Is that right?", number(known))),
        _ if heaviest > HEAVIEST_KG => Some(format!("Nobody has lifted more than {HEAVIEST_KG} kg. Is that right?")),
        _ => None,
    }
}

fn doubt_rounds(rounds: u32, reps: u32, rules: &ScoreRules) -> Option<String> {
    if let Some(each) = rules.round_reps.filter(|each| reps >= *each) {
        return Some(format!("A round is {each} reps, so {reps} extra would be a round more. Is that right?"));
    }
    let most = rules.most_rounds.filter(|most| f64::from(rounds) > *most)?;
    Some(format!("About {} rounds is the most that anybody could do. Is that right?", number(most.floor())))
}
