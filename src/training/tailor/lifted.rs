//! Parts of plain sets: whether the sets are what there is to log, and what a member was given to lift.

use super::TailoredPart;
use crate::training::dose::{Amount, Load};
use crate::training::movement::Library;
use crate::training::score::MassUnit;
use crate::training::score::sets::{self, Plan};
use crate::training::session::{Format, Line, Part, ScoreKind};

/// The part is plain sets of one lift with nothing scored, so that its sets are what there is to tell.
#[must_use]
pub fn asked(part: &Part, own: Option<&TailoredPart>, library: &Library) -> bool {
    let [line] = &part.lines[..] else { return false };
    let loaded = |l: &Line| l.load.is_some() || library.find(&l.movement).is_some_and(|m| m.loadable);
    let given = own.and_then(given);
    part.score == ScoreKind::None
        && part.format == Format::Sets
        && line.complex.is_empty()
        && line.reps.is_some()
        && (loaded(line) || given.is_some_and(loaded))
}

/// What a member was given for the only line; none where that is nothing or several things.
fn given(own: &TailoredPart) -> Option<&Line> {
    let [line] = &own.lines[..] else { return None };
    let [given] = &line.given[..] else { return None };
    Some(given)
}

/// What was given is the lift that was done, so that its sets are the ones a bare weight stands for.
#[must_use]
pub fn is_same_lift(done: &Part, own: &TailoredPart) -> bool {
    given(own).zip(done.lines.first()).is_some_and(|(given, line)| given.movement == line.movement)
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "checked to be whole and small")]
fn whole(n: f64) -> Option<u32> {
    (n.fract() == 0.0 && (1.0..=100.0).contains(&n)).then_some(n as u32)
}

/// Sets and reps as given, else as written; the fewest of a span, because that is what was asked for at least.
#[must_use]
pub fn plan(part: &Part, own: Option<&TailoredPart>) -> Option<Plan> {
    let line = own.and_then(given).or(part.lines.first())?;
    let reps = match line.reps.as_ref()? {
        Amount::Scheme(_) => return None,
        one => whole(one.low())?,
    };
    Some(Plan { sets: whole(part.rounds.as_ref().map_or(1.0, Amount::low))?, reps })
}

/// What stands in the field at first: the sets as given, where their load is one number; else nothing.
#[must_use]
pub fn offered(part: &Part, own: &TailoredPart, column: u8) -> String {
    set_by_set(part, own, column).pop().unwrap_or_default()
}

/// The same after one set, after two, and so on to all of them: who stops early logs what was done.
#[must_use]
pub fn set_by_set(part: &Part, own: &TailoredPart, column: u8) -> Vec<String> {
    let words = || {
        let line = given(own)?;
        let (values, unit) = match line.load.as_ref()? {
            Load::Kg { values, range: false } => (values, MassUnit::Kg),
            Load::Lb { values, range: false } => (values, MassUnit::Lb),
            _ => return None,
        };
        // three loads or more are of a set each
        let weight = if column == 2 { values.last() } else { values.first() }.filter(|_| values.len() <= 2)?;
        let all = plan(part, Some(own))?;
        let after = |sets| sets::as_planned(Plan { sets, ..all }, *weight, unit, line.implements.map_or(1, u32::from));
        Some((1..=all.sets).map(after).collect())
    };
    words().unwrap_or_default()
}
