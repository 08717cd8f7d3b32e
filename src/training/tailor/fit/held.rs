//! Which of the weights at home is held, and how one is found where no number is known.

use super::{Aim, Asked, Fit, Next, twin, weighed};
use crate::training::dose::Load;
use crate::training::load::{Mass, heaviest_owned};
use crate::training::movement::Pattern;
use crate::training::tailor::shelf::Purpose;

/// Pairs of plates that make small jumps; with fewer there is little to choose.
pub(super) const SMALL_JUMPS: usize = 3;
/// How a heavy set is built up with the weights there are (*common practice*).
const BUILD: &str = "build up set by set to the heaviest that stays clean";
/// Up to so many weights of a kind one is named; among more it is looked for.
const FEW: usize = 3;

/// How a load is found where no number is known (*common practice*).
pub(super) fn find_words(aim: Aim<'_>) -> String {
    match (aim.purpose, aim.effort) {
        (Purpose::Strength, effort) => {
            format!("build up in small jumps, stop {}", effort.unwrap_or("with 3-4 reps left"))
        }
        _ => "light enough to keep every rep clean".to_owned(),
    }
}

/// The most that is light against any percent that is trained, in one hand or in both (*common practice*): nobody needs to look for
/// a load where all they have is below it.
pub(crate) fn light_for_a_percent(pattern: Pattern, pair: bool) -> f64 {
    let both = match pattern {
        Pattern::Squat | Pattern::Hinge => 25.0,
        Pattern::SingleLeg => 16.0,
        _ => 10.0,
    };
    if pair { both / 2.0 } else { both }
}

/// How a load is found among hand weights where no number is known (*common practice*).
pub(super) fn pick_words(aim: Aim<'_>) -> String {
    match (aim.purpose, aim.effort) {
        (Purpose::Strength, Some(effort)) => format!("the weight that ends a set {effort}"),
        (Purpose::Strength, None) => "the weight that leaves 2-3 reps".to_owned(),
        _ => find_words(aim),
    }
}

/// Of a few weights the heaviest that is light for such a movement, else the lightest; and the one to take where that is wrong.
fn of_few(owned: &[Mass], pattern: Pattern, pair: bool) -> Option<(Mass, Option<Next>)> {
    let light = light_for_a_percent(pattern, pair);
    match owned.iter().rposition(|m| m.in_kg() <= light) {
        Some(0) | None => Some((*owned.first()?, owned.get(1).copied().map(Next::Heavier))),
        Some(at) => Some((owned[at], Some(Next::Lighter(owned[at - 1])))),
    }
}

/// Of what keeps the effort: a weight that is a rep or two harder is nearer than one that is far too light (*common practice*).
const A_LITTLE_OVER: f64 = 1.15;
const FAR_UNDER: f64 = 0.75;

/// The heaviest weight at hand that is not above what was written.
pub(super) fn held(
    owned: &[Mass],
    asked: &Asked,
    most: Option<(f64, f64)>,
    pair: bool,
    (aim, pattern): (Aim<'_>, Pattern),
) -> Option<Fit> {
    let hold = |m: Mass, share| Fit { share, ..weighed(m, pair) };
    let look = |words| Fit { load: Some(Load::Find(words)), pair, loaded: true, ..Fit::default() };
    if owned.is_empty() {
        let words = match most {
            Some((kg, _)) => format!("not above {} kg", (kg * 2.0).floor() / 2.0),
            None => pick_words(aim),
        };
        return Some(look(words));
    }
    match (asked, most) {
        (Asked::Weight { source, each, total, .. }, Some((right, most))) => {
            let slack = source.slack();
            // a weight near what one hand held is closer to the written line than one near the sum of both
            let near = heaviest_owned(owned, *each, slack).filter(|m| total > each && !pair && m.in_kg() >= each * 0.8);
            let near = near.filter(|m| m.in_kg() <= right * 1.025);
            let lightest = || owned.iter().copied().find(|m| m.in_kg() <= most * (1.0 + slack));
            // what was written, whole: half of a bar's load has no size of its own
            let whole = (right - most).abs() < 1e-9 && [each, total].iter().any(|w| (*w - most).abs() < 1e-9);
            let twin = if whole { twin(owned, *source, most) } else { None };
            let under = heaviest_owned(owned, right, slack);
            let a_little_over = owned.iter().copied().find(|m| m.in_kg() > right && m.in_kg() <= most.min(right * A_LITTLE_OVER));
            let far_under = under.is_some_and(|m| m.in_kg() < right * FAR_UNDER);
            let over = a_little_over.filter(|_| far_under && aim.purpose == Purpose::Strength);
            let m = twin.or(near).or(over).or(under).or_else(lightest)?;
            let share = m.in_kg() / right;
            let share = if twin.is_some() {
                1.0
            } else if share > 1.03 {
                share
            } else {
                share.min(1.0)
            };
            let of_written = if twin.is_some() { 1.0 } else { (m.in_kg() / most).min(1.0) };
            Some(Fit { of_written: Some(of_written), of_twin: twin.is_some(), ..hold(m, Some(share)) })
        }
        (Asked::Effort | Asked::Nothing, _) if aim.builds && owned.len() > 1 => Some(look(BUILD.to_owned())),
        // no max to go by, and nothing at hand that is heavy for it: the heaviest, and effort sets the reps
        (Asked::NoMax, _)
            if aim.purpose == Purpose::Strength
                && owned.last().is_some_and(|m| m.in_kg() <= light_for_a_percent(pattern, pair)) =>
        {
            owned.last().map(|m| hold(*m, None))
        }
        // the same weight is all there is: it is the load, and effort sets the reps
        _ if owned.len() == 1 => Some(hold(owned[0], None)),
        (Asked::Effort | Asked::NoMax | Asked::Nothing, _)
            if aim.swapped && aim.purpose == Purpose::Strength && owned.len() <= FEW =>
        {
            of_few(owned, pattern, pair).map(|(m, next)| Fit { next, ..hold(m, None) })
        }
        (Asked::Effort, _) if aim.swapped && aim.purpose == Purpose::Strength => Some(look(pick_words(aim))),
        (Asked::Effort | Asked::Nothing, _) => Some(Fit { load: None, pair, loaded: true, ..Fit::default() }),
        _ => Some(look(pick_words(aim))),
    }
}
