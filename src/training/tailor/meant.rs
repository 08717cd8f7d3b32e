//! What a written line means beyond its movement's name: two weights instead of a bar, an empty bar, the load of its twin.

use super::kit::bit;
use super::pick::{Who, builds};
use super::shelf::{Purpose, Shelf};
use crate::training::dose::Load;
use crate::training::load::{Mass, MassUnit};
use crate::training::movement::Implement;
use crate::training::session::{Line, Part};
use crate::training::writeup::empty_bar;

/// The most that one of two weights is taken to be where nothing says how many there are, kilograms (*common practice*).
const IN_ONE_HAND: f64 = 30.0;
/// An empty bar where the member has none, kilograms, for each load column (*common practice*).
const EMPTY: [f64; 2] = [20.0, 15.0];
const TWO: [&str; 4] = ["dumbbells", "dbs", "kettlebells", "kbs"];
/// A heading names a kind of weight, and not how many: `Dumbbell complex`.
const HEADING: [&str; 8] = ["dumbbells", "dbs", "kettlebells", "kbs", "dumbbell", "db", "kettlebell", "kb"];

/// What a line may mean beside its name, whoever does it.
pub(super) struct Meaning {
    load: Option<Load>,
    empty_bar: bool,
    two: Option<usize>,
}

/// Reads the words at a line and to its part; none where it is meant as it stands, for everybody.
pub(super) fn meaning(written: &Line, part: &Part, shelf: &Shelf<'_>) -> Option<Meaning> {
    if !written.known || !written.complex.is_empty() {
        return None;
    }
    let load = load_of_the_other(written, part);
    let empty_bar = load.is_none() && names_an_empty_bar(written, part);
    let two = with_two(written, part, shelf);
    (load.is_some() || empty_bar || two.is_some()).then_some(Meaning { load, empty_bar, two })
}

impl Meaning {
    /// The line as it is meant for this member; none where it is meant as it stands.
    pub fn for_member(&self, written: &Line, part: &Part, shelf: &Shelf<'_>, who: &Who<'_>) -> Option<Line> {
        let load = self.load.clone().or_else(|| self.empty_bar.then(|| empty_bar_of(who)));
        let two = self.two.filter(|_| has_two(written, part, shelf, who));
        if load.is_none() && two.is_none() {
            return None;
        }
        let same = Line { load: load.or_else(|| written.load.clone()), ..written.clone() };
        Some(match two {
            Some(at) => Line { movement: shelf.movement(at).name.clone(), implements: Some(2), ..same },
            None => same,
        })
    }
}

/// The line as it is meant for this member; none where it is meant as it stands.
pub(super) fn meant(written: &Line, part: &Part, shelf: &Shelf<'_>, who: &Who<'_>) -> Option<Line> {
    meaning(written, part, shelf)?.for_member(written, part, shelf, who)
}

/// The load written at the same movement elsewhere in the part, where this line names none: a weight is not changed inside a part.
fn load_of_the_other(written: &Line, part: &Part) -> Option<Load> {
    let same = |l: &&Line| l.known && l.complex.is_empty() && l.movement == written.movement && l.load.is_some();
    let load = part.lines.iter().find(same).filter(|_| written.load.is_none())?.load.clone();
    load.filter(|l| matches!(l, Load::Kg { .. } | Load::Lb { .. }))
}

/// An empty bar is named as the load of the line, and nothing else is.
fn names_an_empty_bar(written: &Line, part: &Part) -> bool {
    let Some(note) = written.note.as_ref().filter(|_| written.load.is_none()) else { return false };
    let low = note.to_lowercase();
    let words: Vec<&str> = low.split(|c: char| !(c.is_alphanumeric() || c == '\'')).filter(|w| !w.is_empty()).collect();
    empty_bar::as_the_load(&words).is_some() && !words.contains(&"stick") && !builds(written, part)
}

/// An empty bar is a load: the member's own bar, else the usual one, the lighter where their column is not known.
fn empty_bar_of(who: &Who<'_>) -> Load {
    match who.kit.own_bar() {
        Some(Mass { value, unit: MassUnit::Kg }) => Load::kg(value),
        Some(Mass { value, unit: MassUnit::Lb }) => Load::lb(value),
        None => Load::kg(EMPTY[usize::from(who.profile.column != Some(1))]),
    }
}

/// The same lift with two weights, where the coach wrote it for two.
pub(super) fn with_two(written: &Line, part: &Part, shelf: &Shelf<'_>) -> Option<usize> {
    let at = shelf.library.position(&written.movement)?;
    let two = shelf.entries[at].with_two?;
    let in_one_hand = match &written.load {
        None | Some(Load::Rpe(_) | Load::Rir(_) | Load::Find(_)) => true,
        Some(Load::Kg { values, .. }) => values.iter().all(|kg| *kg < IN_ONE_HAND),
        Some(Load::Lb { values, .. }) => values.iter().all(|lb| *lb < 2.2 * IN_ONE_HAND),
        Some(_) => false,
    };
    let told = match written.implements {
        Some(n) => n >= 2 && matches!(written.load, None | Some(Load::Kg { .. } | Load::Lb { .. } | Load::Rpe(_) | Load::Rir(_))),
        None => in_one_hand && (written.note.as_ref().is_some_and(|n| names_two(n, &TWO)) || names_two(&part.name, &HEADING)),
    };
    told.then_some(two)
}

/// `with dumbbells`, and not `barbell or dumbbells` or `one dumbbell`.
fn names_two(text: &str, list: &[&str]) -> bool {
    const OTHERS: [&str; 13] =
        ["or", "bar", "barbell", "no", "not", "if", "without", "instead", "sub", "one", "single", "a", "1"];
    let low = text.to_lowercase();
    let has = |list: &[&str]| low.split(|c: char| !c.is_alphanumeric()).any(|w| list.contains(&w));
    has(list) && !has(&OTHERS)
}

/// A pair is at home, and the coach has not chosen something for this member under the written name.
fn has_two(written: &Line, part: &Part, shelf: &Shelf<'_>, who: &Who<'_>) -> bool {
    let pair = bit(Implement::Dumbbells) | bit(Implement::Kettlebells);
    let chosen = shelf.house.pins_for(&written.movement, Purpose::of(part.intent), who).next().is_some();
    who.kit.tools & pair != 0 && !chosen
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_choice_of_tools_is_no_word_for_two() {
        for (text, two) in [
            ("with dumbbells", true),
            ("5 rounds, DBs", true),
            ("barbell or dumbbells", false),
            ("dumbbells if you have no bar", false),
            ("one dumbbell", false),
        ] {
            assert_eq!(names_two(text, &TWO), two, "{text}");
        }
        assert!(names_two("Dumbbell complex", &HEADING) && !names_two("One dumbbell", &HEADING));
    }
}
