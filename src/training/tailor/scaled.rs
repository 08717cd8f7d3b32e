//! Swaps that a coach writes in words: `scale the hspu to pike push-ups`, `(scale: ring rows)`, `sub step-ups for box jumps`.

use super::shelf::Shelf;
use crate::training::dose::{Amount, Load};
use crate::training::movement::Library;
use crate::training::session::{Line, Part, PartOption};
use crate::training::writeup::words::plain;

const LEADS: [&str; 14] = [
    "scale",
    "scales",
    "scaled",
    "scaling",
    "sub",
    "subs",
    "substitute",
    "swap",
    "swaps",
    "replace",
    "regress",
    "modify",
    "change",
    "subbing",
];
/// After these the second of two names stands in for the first, `for` between them or not.
const TURNED: [&str; 4] = ["swap", "swaps", "replace", "change"];
/// Words that take the second of two names for the first.
const TO: [&str; 6] = ["to", "with", "by", "for", "->", "="];
/// `don't sub`, `never scale`; `no` denies only the word behind it: `no bar, sub step-ups`.
const DENIED: [&str; 5] = ["not", "don't", "dont", "never", "avoid"];
/// `if you do not have a bar` denies nothing.
const IF: [&str; 4] = ["if", "when", "where", "who"];

/// The swaps for `line` that stand in words beside it or to its part.
pub(super) fn swaps(line: &Line, part: &Part, shelf: &Shelf<'_>) -> Vec<Line> {
    let Some(at) = shelf.library.position(&line.movement) else { return Vec::new() };
    let unread = |o: &&PartOption| o.lines.is_empty() && o.reps.is_none() && o.rounds.is_none();
    let options = part.options.iter().filter(unread).filter_map(|o| o.text.as_ref());
    let beside = line.note.iter().map(|text| (text, true));
    let texts = beside.chain(part.notes.iter().chain(options).map(|text| (text, false)));
    let all = texts.flat_map(|(text, own)| in_text(text, own, at, shelf.library));
    all.map(|(to, reps)| instead(line, to, reps, shelf.library)).collect()
}

/// What a text puts in the place of movement `at`, and how often; `own`: it stands beside that line.
fn in_text(text: &str, own: bool, at: usize, library: &Library) -> Vec<(usize, Option<f64>)> {
    let low = text.to_lowercase().replace('\u{2019}', "'").replace("->", " -> ").replace('\u{2192}', " -> ");
    let mut found = Vec::new();
    if low.split(|c: char| !c.is_alphanumeric()).any(|w| LEADS.contains(&w)) {
        for sentence in low.split(['.', '\n', '!', '?']) {
            // what is denied stays denied until the next word of the kind
            let mut denied = false;
            for clause in sentence.split([';', ',', ':', '(', ')']).flat_map(|c| c.split(" and ")) {
                let parts = parts(clause);
                denied = lead(&parts).map_or(denied, |to| denies(&parts, to));
                found.extend(in_clause(&parts, own, at, library).filter(|_| !denied));
            }
        }
    }
    found
}

/// The words of a clause; hyphens part them, and an arrow is a word.
fn parts(clause: &str) -> Vec<&str> {
    clause.split_whitespace().flat_map(|w| if w == "->" { vec![w] } else { w.split('-').collect() }).collect()
}

/// Where the word stands that leads a swap.
fn lead(parts: &[&str]) -> Option<usize> {
    parts.iter().position(|w| LEADS.contains(w))
}

/// A word before `to` denies what stands there.
fn denies(parts: &[&str], to: usize) -> bool {
    let before = &parts[..to];
    let two = |a: &str, b: &str| before.ends_with(&[a, b]);
    let denied = before.iter().position(|w| DENIED.contains(w)).is_some_and(|n| !before[..n].iter().any(|w| IF.contains(w)));
    denied || before.ends_with(&["no"]) || two("instead", "of") || two("rather", "than") || before.starts_with(&["no", "need"])
}

/// A name among words: where it begins and ends, and its place in the library.
struct Named {
    from: usize,
    end: usize,
    at: usize,
}

fn names(parts: &[&str], library: &Library) -> Vec<Named> {
    let plain: Vec<String> = parts.iter().map(|w| plain(w)).collect();
    let mut found = Vec::new();
    let mut from = 0;
    while from < plain.len() {
        let name = library.lexicon().find(library, &plain[from..]);
        found.extend(name.map(|f| Named { from, end: from + f.words, at: f.movement }));
        from += name.map_or(1, |f| f.words.max(1));
    }
    found
}

/// What this clause puts in the place of movement `at`, and how often; `own`: it stands beside that line.
fn in_clause(parts: &[&str], own: bool, at: usize, library: &Library) -> Option<(usize, Option<f64>)> {
    let told = |from: usize, end: usize, list: &[&str]| parts.get(from..end).is_some_and(|p| p.iter().any(|w| list.contains(w)));
    let named = names(parts, library);
    let to = match named.as_slice() {
        [to] if own && to.at != at && (to.from == 0 || told(0, to.from, &TO) || told(0, to.from, &LEADS)) => to,
        [a, b] if told(a.end, b.from, &TO) => {
            // one for another is the first for the second, but `swap box jumps for step-ups` is the second for the first
            let first = told(a.end, b.from, &["for"]) && !told(0, a.from, &TURNED);
            let (from, to) = if first { (b, a) } else { (a, b) };
            (from.at == at && to.at != at).then_some(to)?
        }
        _ => return None,
    };
    // `scale the hspu, not to pike push-ups`
    if denies(parts, to.from) {
        return None;
    }
    let count = |i: usize| parts.get(i)?.parse::<f64>().ok().filter(|n| (1.0..=500.0).contains(n));
    Some((to.at, to.from.checked_sub(1).and_then(count)))
}

/// The line with another movement, its dose where the coach wrote no other, and no more load than is written.
fn instead(line: &Line, to: usize, reps: Option<f64>, library: &Library) -> Line {
    let m = &library.all()[to];
    let load = line.load.clone().filter(|l| m.loadable && matches!(l, Load::Kg { .. } | Load::Lb { .. }));
    let implements = line.implements.filter(|_| load.is_some());
    let same = Line {
        movement: m.name.clone(),
        reps: line.reps.clone(),
        max: line.max,
        seconds: line.seconds.clone(),
        metres: line.metres.clone(),
        calories: line.calories.clone(),
        load,
        implements,
        ..Line::default()
    };
    match reps {
        Some(n) => Line { reps: Some(Amount::One(n)), max: false, seconds: None, metres: None, calories: None, ..same },
        None => same,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(text: &str, beside: bool, movement: &str) -> Vec<(String, Option<Amount>)> {
        let line = Line { movement: movement.to_owned(), reps: Some(Amount::One(10.0)), ..Line::default() };
        let (line, notes) = match beside {
            true => (Line { note: Some(text.to_owned()), ..line }, Vec::new()),
            false => (line, vec![text.to_owned()]),
        };
        let part = Part { notes, ..Part::default() };
        swaps(&line, &part, &Shelf::new(Library::shipped())).into_iter().map(|l| (l.movement, l.reps)).collect()
    }

    #[test]
    fn scaling_in_words_is_the_coachs_own_swap() {
        for (text, beside, written, to) in [
            ("Scale the hspu to pike push ups", false, "handstand push-up", "pike push-up"),
            ("scale to pike push-ups", true, "handstand push-up", "pike push-up"),
            ("Scaling: muscle ups to pull ups, hspu to pike push ups", false, "handstand push-up", "pike push-up"),
            ("Sub step-back burpees for burpees if you need to be quiet", false, "burpee", "step-back burpee"),
            ("swap box jumps for step-ups", false, "box jump", "step-up"),
        ] {
            assert_eq!(told(text, beside, written), [(to.to_owned(), Some(Amount::One(10.0)))], "{text}");
        }
        assert_eq!(
            told("scale to 6 pike push-ups", true, "handstand push-up"),
            [("pike push-up".to_owned(), Some(Amount::One(6.0)))]
        );
    }

    #[test]
    fn one_for_another_is_the_first_for_the_second_behind_a_heading_too() {
        for text in
            ["Sub: ring rows for pull-ups", "Scaling: ring rows for pull-ups", "if you have no bar, sub ring rows for pull-ups"]
        {
            assert_eq!(told(text, false, "ring row"), [], "{text}");
            assert_eq!(told(text, false, "pull-up").len(), 1, "{text}");
        }
    }

    #[test]
    fn the_coachs_count_is_kept_behind_an_arrow() {
        for text in ["scale: hspu -> 6 pike push-ups", "scale: hspu->6 pike push-ups", "scale hspu to 6 pike push-ups"] {
            assert_eq!(told(text, false, "handstand push-up"), [("pike push-up".to_owned(), Some(Amount::One(6.0)))], "{text}");
        }
    }

    #[test]
    fn what_the_coach_says_not_to_do_is_no_swap() {
        for (text, written) in [
            ("Don't sub step-ups for box jumps", "box jump"),
            ("do not scale the hspu to pike push-ups", "handstand push-up"),
            ("Never scale: hspu to pike push-ups", "handstand push-up"),
            ("No scaling hspu to pike push-ups today", "handstand push-up"),
            ("instead of scaling hspu to pike push-ups, rest longer", "handstand push-up"),
            ("scale the reps, not hspu to pike push-ups", "handstand push-up"),
        ] {
            assert_eq!(told(text, false, written), [], "{text}");
        }
        // a condition denies nothing
        assert_eq!(told("if you do not have the space sub step-ups for box jumps", false, "box jump").len(), 1);
    }

    #[test]
    fn words_about_another_line_or_about_none_are_no_swap() {
        for (text, beside) in [
            ("Scale the pull-ups to ring rows", false),
            ("scale the load to what you can move fast", true),
            ("keep the push-ups strict", false),
            ("same weight as the swings", true),
        ] {
            assert_eq!(told(text, beside, "burpee"), [], "{text}");
        }
    }
}
