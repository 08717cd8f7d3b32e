//! What a member writes that they cannot do yet: a movement by name, or the one that is written.

use super::shelf::Shelf;
use crate::training::movement::Library;

/// What cannot be done yet.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Cannot {
    /// movements that are named, and what is harder than they are, by place in the library
    pub named: Vec<usize>,
    /// "one", "them": whatever is written, where it is done with the body alone
    pub written: bool,
}

const PHRASES: [&str; 9] = [
    "cannot do",
    "can't do",
    "can not do",
    "cant do",
    "unable to do",
    "not able to do",
    "cannot yet do",
    "can't yet do",
    "never done",
];
/// Words that stand for the written movement.
const IT: [&str; 7] = ["one", "it", "them", "these", "this", "a single", "full"];
/// Most words of a name.
const WORDS: usize = 4;

/// Reads a note for what cannot be done yet.
pub(crate) fn read(note: Option<&str>, shelf: &Shelf<'_>) -> Cannot {
    let Some(note) = note else { return Cannot::default() };
    let text = note.to_lowercase().replace('\u{2019}', "'");
    let mut all = Cannot::default();
    for phrase in PHRASES {
        for (at, _) in text.match_indices(phrase) {
            let clause = text[at + phrase.len()..].split(['.', ',', ';', ':', '!', '?', '(']).next().unwrap_or("");
            let words: Vec<&str> = clause.split_whitespace().collect();
            let named = names(&words, shelf.library);
            all.written |= named.is_empty() && IT.iter().any(|it| clause.trim_start().starts_with(it));
            all.named.extend(named);
        }
    }
    harder(&mut all.named, shelf.library);
    all
}

/// Movements that these words name, the longest name first: `a full push-up` is a push-up.
fn names(words: &[&str], library: &Library) -> Vec<usize> {
    let mut found = Vec::new();
    let mut at = 0;
    while at < words.len() {
        let most = WORDS.min(words.len() - at);
        let name = (1..=most).rev().find_map(|n| {
            let text = words[at..at + n].join(" ");
            let one = text.strip_suffix('s').unwrap_or(&text);
            library.position(&text).or_else(|| library.position(one)).map(|place| (place, n))
        });
        found.extend(name.map(|(place, _)| place));
        at += name.map_or(1, |(_, n)| n);
    }
    found
}

/// Adds what is harder than what is there.
fn harder(places: &mut Vec<usize>, library: &Library) {
    let mut at = 0;
    while at < places.len() {
        for name in &library.all()[places[at]].harder {
            if let Some(place) = library.position(name).filter(|p| !places.contains(p)) {
                places.push(place);
            }
        }
        at += 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read_note(note: &str) -> (Vec<&'static str>, bool) {
        let shelf = Shelf::new(Library::shipped());
        let cannot = read(Some(note), &shelf);
        (cannot.named.iter().map(|&i| Library::shipped().all()[i].name.as_str()).collect(), cannot.written)
    }

    #[test]
    fn a_movement_that_is_named_goes_with_what_is_harder() {
        let (named, written) = read_note("I can\u{2019}t do push-ups yet, squats are fine");
        assert!(named.contains(&"push-up") && named.contains(&"feet-raised push-up") && !written, "{named:?}");
        assert!(!named.contains(&"air squat"), "{named:?}");
    }

    #[test]
    fn one_is_the_written_movement() {
        assert_eq!(read_note("cannot do one from the floor yet"), (Vec::new(), true));
    }

    #[test]
    fn other_words_say_nothing() {
        for note in ["cannot do Mondays", "athlete tag: knees", "I can do push-ups all day"] {
            assert_eq!(read_note(note), (Vec::new(), false), "{note}");
        }
    }
}
