//! What was decided for a line, put into the line that the member reads.

use super::fit::{Asked, Source};
use super::pick::{Ask, Choice, Who};
use super::{Action, TailoredLine, why};
use crate::training::calendar;
use crate::training::dose::{Amount, Load};
use crate::training::movement::Unit;
use crate::training::session::Line;

/// Where a further sentence goes.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Place {
    Before,
    After,
}

/// Puts a further sentence to the reason.
pub(super) fn say(done: &mut TailoredLine, words: &str, place: Place) {
    let both = if place == Place::Before { [words, &done.why] } else { [&done.why, words] };
    done.why = both.join(" ").trim().to_owned();
    if done.action == Action::Keep {
        done.action = Action::KeepWithNote;
    }
}

/// Words to a load that comes from a max older than the coach's rule.
pub(super) fn old_max(ask: &Ask<'_, '_>, done: &TailoredLine, who: &Who<'_>) -> Option<String> {
    let from_max = matches!(ask.asked, Asked::Weight { source: Source::Percent, .. });
    let Some(Load::Percent { of, .. }) = ask.line.load.as_ref().filter(|_| from_max && done.given.iter().any(has_weight)) else {
        return None;
    };
    let house = &ask.shelf.house;
    let lift = if of.eq_ignore_ascii_case("1rm") { ask.shelf.movement(ask.at) } else { ask.shelf.library.find(of)? };
    let day = calendar::read_iso(who.profile.max_days.get(&lift.name)?)?;
    let weeks = (house.today? - day).whole_weeks();
    (weeks > i64::from(house.rules.max_age_weeks)).then(|| why::old_max(&lift.name, day, weeks))
}

/// `12-12` is 12.
pub(super) fn once(amount: Amount) -> Amount {
    match amount {
        Amount::Range(a, b) if (a - b).abs() < 1e-9 => Amount::One(a),
        other => other,
    }
}

fn has_weight(line: &Line) -> bool {
    matches!(line.load, Some(Load::Kg { .. } | Load::Lb { .. }))
}

pub(super) fn refer(mut out: TailoredLine, words: &str) -> TailoredLine {
    out.action = Action::Refer;
    out.given.clear();
    out.tell_coach = true;
    words.clone_into(&mut out.why);
    out
}

/// A movement that the library does not have: nothing is known of what it asks.
pub(super) fn unknown(mut out: TailoredLine) -> TailoredLine {
    out.action = Action::KeepWithNote;
    out.given = vec![out.written.clone()];
    out.tell_coach = true;
    why::UNKNOWN.clone_into(&mut out.why);
    out
}

/// The given line, and whether that is as written.
pub(super) fn give(mut out: TailoredLine, ask: &Ask<'_, '_>, choice: &Choice, why: String) -> TailoredLine {
    let m = ask.shelf.movement(choice.at);
    let same = choice.at == ask.at;
    let written = ask.line;
    let mut given = if same {
        written.clone()
    } else {
        Line { role: written.role, minute: written.minute, label: written.label.clone(), ..Line::default() }
    };
    given.movement.clone_from(&m.name);
    let dose = &choice.dose;
    let amounts = [&dose.reps, &dose.seconds, &dose.metres, &dose.calories];
    [given.reps, given.seconds, given.metres, given.calories] = amounts.map(|a| a.clone().map(once));
    given.side = dose.side;
    given.max = dose.max;
    given.tempo.clone_from(&dose.tempo);
    if !same && keeps_pace(ask, choice) {
        (given.down_s, given.pause_s) = (written.down_s, written.pause_s);
    }
    given.alternatives.clear();
    if same && ask.asked == Asked::Stick && !matches!(choice.fit.load, Some(Load::Stick)) {
        // words beside the line must not name what is not there
        given.note = given.note.filter(|n| !n.to_lowercase().contains("stick"));
    }
    if !same || keeps_no_written_load(ask, choice) {
        given.load.clone_from(&choice.fit.load);
        given.implements = choice.fit.pair.then_some(2);
    }
    out.action = if !same {
        Action::Swap
    } else if why.is_empty() {
        Action::Keep
    } else {
        Action::KeepWithNote
    };
    let pounds = matches!(choice.fit.load, Some(Load::Lb { .. }));
    *if pounds { &mut out.plates_per_side_lb } else { &mut out.plates_per_side_kg } = choice.fit.plates.clone();
    out.why = if out.action == Action::Keep { String::new() } else { why };
    out.given = vec![given];
    out
}

/// A pause and a slow way down go with a movement of the same kind that can be done slowly; a tempo of our own is one already.
fn keeps_pace(ask: &Ask<'_, '_>, choice: &Choice) -> bool {
    let (from, to) = (ask.shelf.movement(ask.at), ask.shelf.movement(choice.at));
    let slowly = to.unit == Unit::Reps && !ask.shelf.entries[choice.at].fast;
    slowly && from.pattern == to.pattern && choice.dose.tempo.is_none()
}

/// The written load is replaced by what the member holds; an effort, or no load at all, stays as written where the kit leaves a choice.
fn keeps_no_written_load(ask: &Ask<'_, '_>, choice: &Choice) -> bool {
    match ask.asked {
        Asked::Weight { .. } | Asked::NoMax | Asked::Stick => true,
        Asked::Nothing => choice.fit.load.is_some() && !matches!(choice.fit.load, Some(Load::Find(_))),
        _ => choice.fit.load.is_some(),
    }
}
