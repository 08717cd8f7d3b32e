//! What a part says of a line beside its numbers: the coach's own swaps, a superset, a build-up, a clock.

use crate::training::session::{Format, Line, Part, PartOption, ScoreKind};
use crate::training::tailor::shelf::{Purpose, Shelf};
use crate::training::tailor::{effort, scaled};
use std::borrow::Cow;
use std::rc::Rc;

/// What a line and its part say, whoever does them: read once for everybody.
pub(crate) struct Said<'a> {
    /// the coach's own swaps
    pub own: Rc<[Cow<'a, Line>]>,
    /// the effort that the coach wrote, as it is said of a set
    pub effort: Option<Rc<str>>,
    /// one of a superset that nobody counts against the clock
    pub superset: bool,
    /// it is built up to one heavy set
    pub builds: bool,
    /// the part's clock says how long it goes on
    pub clocked: bool,
}

impl<'a> Said<'a> {
    /// Reads the words at the line and to its part.
    pub fn of(line: &'a Line, part: &'a Part, shelf: &Shelf<'_>) -> Self {
        Self {
            own: own_swaps(line, part, shelf).into(),
            effort: effort::written(line, part).as_ref().and_then(effort::words).map(Rc::from),
            superset: is_superset(part),
            builds: builds(line, part),
            clocked: clocked(part),
        }
    }
}

/// Swaps that the coach wrote beside the line or in words, and lines of an option that replace it.
fn own_swaps<'a>(line: &'a Line, part: &'a Part, shelf: &Shelf<'_>) -> Vec<Cow<'a, Line>> {
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

/// A lift that is built up set by set to the heaviest: the part is for that, or its own instruction says so.
pub(crate) fn builds(line: &Line, part: &Part) -> bool {
    let lifts = Purpose::of(part.intent) == Purpose::Strength && line.reps.is_some();
    // what is said of a part of many lines is said of none of them
    let of_part = part.notes.iter().filter(|_| part.lines.len() == 1);
    lifts && (part.format == Format::MaxEffort || line.note.iter().chain(of_part).any(|text| builds_to_heavy(text)))
}

/// `build to a heavy single`, `building up to a 3RM`; not `we are building to a test next month`.
fn builds_to_heavy(text: &str) -> bool {
    const NOT_TODAY: [&str; 9] = ["not", "don", "never", "next", "later", "week", "weeks", "month", "months"];
    text.to_lowercase().split(['.', ';', '\n']).any(|said| {
        let words: Vec<&str> = said.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).collect();
        let from = words.iter().position(|w| matches!(*w, "build" | "building"));
        from.is_some_and(|from| to_heavy(&words[from + 1..])) && !words.iter().any(|w| NOT_TODAY.contains(w))
    })
}

/// `up to a heavy`, `in 15 min to today's 3RM`.
fn to_heavy(words: &[&str]) -> bool {
    let Some(to) = words.iter().take(5).position(|w| *w == "to") else { return false };
    let rm = |w: &str| w.strip_suffix("rm").is_some_and(|n| n.chars().all(|c| c.is_ascii_digit()));
    words[to + 1..].iter().take(4).any(|w| matches!(*w, "heavy" | "heaviest" | "max" | "maximum") || rm(w))
}

/// The part says how long its lines go on, so that a line needs no dose.
fn clocked(part: &Part) -> bool {
    part.interval.is_some() || part.duration_s.is_some() || part.time_cap_s.is_some()
}

/// Sets of two or three movements in turn, neither scored nor under a clock, are not there for the count.
fn is_superset(part: &Part) -> bool {
    let told = |text: &str| text.to_lowercase().contains("superset");
    let windows = part.interval.is_some_and(|i| i.every_s.is_none_or(|s| s < LONG_WINDOW));
    let pace = part.time_cap_s.is_some() || part.duration_s.is_some() || windows;
    let turns = |l: &&Line| l.label.as_ref().is_some_and(|name| name.ends_with(|c: char| c.is_ascii_digit()));
    let paired = part.lines.iter().filter(turns).count() > 1;
    part.score == ScoreKind::None && !pace && (paired || told(&part.name) || part.notes.iter().any(|n| told(n)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_build_up_to_something_heavy_is_one() {
        for (text, builds) in [
            ("build to a heavy single", true),
            ("Building up to a 3RM", true),
            ("build up over 5 sets to today's heavy double", true),
            ("We are building to a test next month", false),
            ("building blocks for the pull-up", false),
            ("Build to a heavy single next week, not today", false),
            ("build up the speed", false),
        ] {
            assert_eq!(builds_to_heavy(text), builds, "{text}");
        }
    }
}
