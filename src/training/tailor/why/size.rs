//! Weights in words: how many there are, how near they come to the written load, and the other unit's mark.

use crate::training::dose::Load;
use crate::training::load::{KG_PER_LB, MassUnit};
use crate::training::tailor::fit::{Asked, Source};
use crate::training::tailor::pick::{Ask, Choice, load_words};
use crate::training::tailor::shelf::Tool;

/// The nearest there is below the written load: how many of them, and in the coach's unit too where theirs is another.
pub(super) fn nearest(ask: &Ask<'_, '_>, choice: &Choice, load: &Load, other: Option<&str>) -> String {
    let theirs = if other_unit(ask, choice) { told_in_both(choice) } else { load_words(load).unwrap_or_default() };
    let words = format!("{theirs}{}", other.map(|o| format!(" {o}")).unwrap_or_default());
    // the same count for both sides at once is not more of it
    let more = if choice.dose.reps != ask.line.reps && choice.dose.side == ask.line.side {
        ", with more reps to keep the effort"
    } else {
        ""
    };
    let two_written = matches!(ask.asked, Asked::Weight { each, total, .. } if total > each * 1.5);
    match (two_written, choice.fit.pair, other.is_some()) {
        (true, false, _) if choice.way.tool != Tool::Bar => {
            format!("One of {words} is the nearest you have that is not above the two that are written{more}.")
        }
        (_, true, _) => format!("Two of {words} are the nearest you have that is not above the written load{more}."),
        (.., true) => format!("Your {words} is the nearest you have that is not above the written load{more}."),
        (.., false) => format!("{words} is the nearest you have that is not above the written load{more}."),
    }
}

/// `35 lb (15.9 kg)`.
fn told_in_both(choice: &Choice) -> String {
    let words = choice.fit.load.as_ref().and_then(load_words).unwrap_or_default();
    let kg = choice.fit.each_kg;
    match choice.fit.load {
        Some(Load::Lb { .. }) => format!("{words} ({} kg)", (kg * 10.0).round() / 10.0),
        _ => format!("{words} ({} lb)", (kg / KG_PER_LB).round()),
    }
}

/// The load there is has its mark in another unit than the coach wrote.
pub(super) fn other_unit(ask: &Ask<'_, '_>, choice: &Choice) -> bool {
    let Asked::Weight { source: Source::Marked(unit), ref spread, .. } = ask.asked else { return false };
    let pounds = matches!(choice.fit.load, Some(Load::Lb { .. }));
    let numbered = pounds || matches!(choice.fit.load, Some(Load::Kg { .. }));
    numbered && spread.is_empty() && pounds != (unit == MassUnit::Lb)
}

/// A bar with plates of the other unit is as near to the written load as can be built.
pub(super) fn in_the_other_unit(ask: &Ask<'_, '_>, choice: &Choice) -> String {
    format!("{} is the nearest that your bar comes to{}.", told_in_both(choice), a_touch_more(ask, choice))
}

/// A size of the other unit may be a little above: then that is said.
pub(super) fn a_touch_more(ask: &Ask<'_, '_>, choice: &Choice) -> String {
    let Asked::Weight { each, total, .. } = ask.asked else { return String::new() };
    let held = choice.fit.each_kg * if choice.fit.pair { 2.0 } else { 1.0 };
    let written = if total > each && !choice.fit.pair && held < total * 0.9 { each } else { total };
    if held > written * 1.001 {
        format!(", {} kg more", ((held - written) * 10.0).round().max(1.0) / 10.0)
    } else {
        String::new()
    }
}

/// The other unit's mark for the written load, where the numbers are told apart.
pub(super) fn other_mark(ask: &Ask<'_, '_>, choice: &Choice) -> bool {
    let Asked::Weight { source: Source::Marked(unit), .. } = ask.asked else { return false };
    let there = match choice.fit.load {
        Some(Load::Lb { .. }) => MassUnit::Lb,
        Some(Load::Kg { .. }) => MassUnit::Kg,
        _ => return false,
    };
    there != unit && choice.fit.share.is_some_and(|s| s >= 0.99) && choice.fit.of_twin
}
