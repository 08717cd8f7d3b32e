//! What a part says of a line beside its numbers: the coach's own swaps, a superset, a build-up, a clock.

use crate::training::session::{Format, Line, Part, PartOption, ScoreKind};
use crate::training::tailor::scaled;
use crate::training::tailor::shelf::{Purpose, Shelf};
use std::borrow::Cow;

/// Swaps that the coach wrote beside the line or in words, and lines of an option that replace it.
pub(super) fn own_swaps<'a>(line: &'a Line, part: &'a Part, shelf: &Shelf<'_>) -> Vec<Cow<'a, Line>> {
    let replaces = |o: &&PartOption| match o.replace.as_slice() {
        [] => part.lines.len() == 1 && o.lines.len() == 1,
        names => o.lines.len() == names.len() && names.iter().any(|n| n.eq_ignore_ascii_case(&line.movement)),
    };
    let at = |o: &'a PartOption| o.replace.iter().position(|n| n.eq_ignore_ascii_case(&line.movement)).unwrap_or(0);
    let options = part.options.iter().filter(replaces).filter_map(|o| o.lines.get(at(o)));
    let told = scaled::swaps(line, part, shelf).into_iter().map(Cow::Owned);
    line.alternatives.iter().chain(options).map(Cow::Borrowed).chain(told).collect()
}

/// Seconds in which a superset has room for each arm, and its rest (*common practice*).
const LONG_WINDOW: f64 = 120.0;

/// A lift that is built up set by set to the heaviest.
pub(super) fn builds(line: &Line, part: &Part) -> bool {
    let told = |text: &String| text.to_lowercase().split(|c: char| !c.is_alphanumeric()).any(|w| w == "build" || w == "building");
    let lifts = Purpose::of(part.intent) == Purpose::Strength && line.reps.is_some();
    lifts && (part.format == Format::MaxEffort || line.note.iter().chain(&part.notes).any(told))
}

/// The part says how long its lines go on, so that a line needs no dose.
pub(super) fn clocked(part: &Part) -> bool {
    part.interval.is_some() || part.duration_s.is_some() || part.time_cap_s.is_some()
}

/// Sets of two or three movements in turn, neither scored nor under a clock, are not there for the count.
pub(super) fn is_superset(part: &Part) -> bool {
    let told = |text: &str| text.to_lowercase().contains("superset");
    let windows = part.interval.is_some_and(|i| i.every_s.is_none_or(|s| s < LONG_WINDOW));
    let pace = part.time_cap_s.is_some() || part.duration_s.is_some() || windows;
    let turns = |l: &&Line| l.label.as_ref().is_some_and(|name| name.ends_with(|c: char| c.is_ascii_digit()));
    let paired = part.lines.iter().filter(turns).count() > 1;
    part.score == ScoreKind::None && !pace && (paired || told(&part.name) || part.notes.iter().any(|n| told(n)))
}
