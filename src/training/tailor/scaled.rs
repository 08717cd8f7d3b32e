//! Swaps that a coach writes in words: `scale the hspu to pike push-ups`, `(scale: ring rows)`, `sub step-ups for box jumps`.

use super::shelf::Shelf;
use crate::training::dose::{Amount, Load};
use crate::training::movement::Library;
use crate::training::session::{Line, Part, PartOption};
use crate::training::writeup::words::plain;

const LEADS: [&str; 12] =
    ["scale", "scales", "scaled", "scaling", "sub", "subs", "substitute", "swap", "replace", "regress", "modify", "change"];
/// Words that take the second of two names for the first.
const TO: [&str; 7] = ["to", "with", "by", "for", "->", "=", "\u{2192}"];

/// The swaps for `line` that stand in words beside it or to its part.
pub(super) fn swaps(line: &Line, part: &Part, shelf: &Shelf<'_>) -> Vec<Line> {
    let Some(at) = shelf.library.position(&line.movement) else { return Vec::new() };
    let unread = |o: &&PartOption| o.lines.is_empty() && o.reps.is_none() && o.rounds.is_none();
    let options = part.options.iter().filter(unread).filter_map(|o| o.text.as_ref());
    let beside = line.note.iter().map(|text| (text, true));
    let texts = beside.chain(part.notes.iter().chain(options).map(|text| (text, false)));
    let mut all = Vec::new();
    for (text, own) in texts {
        let low = text.to_lowercase();
        if low.split(|c: char| !c.is_alphanumeric()).any(|w| LEADS.contains(&w)) {
            let clauses = low.split(['.', ';', ',', ':', '(', ')', '\n']).flat_map(|c| c.split(" and "));
            all.extend(clauses.filter_map(|clause| in_clause(&words(clause), own, at, shelf.library)));
        }
    }
    all.into_iter().map(|(to, reps)| instead(line, to, reps, shelf.library)).collect()
}

fn words(text: &str) -> Vec<&str> {
    text.split_whitespace().collect()
}

/// A name among words: where it begins and ends, and its place in the library.
struct Named {
    from: usize,
    end: usize,
    at: usize,
}

fn names(words: &[&str], library: &Library) -> Vec<Named> {
    let plain: Vec<String> = words.iter().flat_map(|w| w.split('-')).map(plain).collect();
    // hyphens part the words, so a place among them is told in parts
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
fn in_clause(typed: &[&str], own: bool, at: usize, library: &Library) -> Option<(usize, Option<f64>)> {
    let parts: Vec<&str> = typed.iter().flat_map(|w| if *w == "->" { vec![*w] } else { w.split('-').collect() }).collect();
    let told = |from: usize, end: usize, list: &[&str]| parts.get(from..end).is_some_and(|p| p.iter().any(|w| list.contains(w)));
    let named = names(typed, library);
    let to = match named.as_slice() {
        [to] if own && to.at != at && (to.from == 0 || told(0, to.from, &TO) || told(0, to.from, &LEADS)) => to,
        [a, b] if told(a.end, b.from, &TO) => {
            // `sub step-ups for box jumps` takes the first, `swap box jumps for step-ups` the second
            let first = told(a.end, b.from, &["for"]) && told(0, a.from, &["sub", "subs", "substitute"]);
            let (from, to) = if first { (b, a) } else { (a, b) };
            (from.at == at && to.at != at).then_some(to)?
        }
        _ => return None,
    };
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
