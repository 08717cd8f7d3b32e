//! Movement names in typed words: the longest match over every name and alias.
//!
//! # Design
//! Names are compared as one run of plain letters (`push-ups`, `push up` and `pushup` are one key), so a look-up
//! is a handful of hash reads however large the library is. A slip of one letter is forgiven inside a long word,
//! and only where the whole name then stands in the library: a name that merely sounds alike is never taken.

mod lead;
mod short;

use super::super::movement::Library;
use super::words::{is_filler, plain};
use lead::Lead;
use short::{COMMON, SHORT};
use std::collections::{HashMap, HashSet};

/// Longest name, in typed words.
const LONGEST: usize = 8;

/// Every name of a library, ready to be found.
#[derive(Clone, Debug, Default)]
pub struct Lexicon {
    /// run of plain letters to place in the library
    keys: HashMap<String, usize>,
    /// the same runs in order, to tell at once that no name begins so
    sorted: Vec<String>,
    /// every plain word of every name
    vocabulary: HashSet<String>,
    /// a word with one letter left out, to the words it can come from
    slips: HashMap<String, Vec<String>>,
    /// a long name with one letter left out, to the names it can come from
    dropped: HashMap<String, Vec<usize>>,
    /// each movement's name as plain words, and the same run together
    names: Vec<(Vec<String>, String)>,
}

/// A movement found in typed words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Found {
    /// Place in the library.
    pub movement: usize,
    /// How many typed words the name took.
    pub words: usize,
}

impl Lexicon {
    /// Reads every name and alias once.
    #[must_use]
    pub fn new(library: &Library) -> Self {
        let mut lexicon = Self::default();
        for (i, m) in library.all().iter().enumerate() {
            let words = split(&m.name);
            lexicon.names.push((words.clone(), words.concat()));
            for name in std::iter::once(&m.name).chain(&m.aliases) {
                let words = split(name);
                lexicon.keys.entry(words.concat()).or_insert(i);
                lexicon.keys.entry(without_fillers(&words)).or_insert(i);
                lexicon.vocabulary.extend(words);
            }
        }
        for (name, canonical) in SHORT {
            if let Some(&i) = lexicon.keys.get(&split(canonical).concat()) {
                let words = split(name);
                lexicon.keys.entry(words.concat()).or_insert(i);
                lexicon.vocabulary.extend(words);
            }
        }
        lexicon.sorted = lexicon.keys.keys().cloned().collect();
        lexicon.sorted.sort();
        for word in lexicon.vocabulary.iter().filter(|w| w.chars().count() >= 5) {
            for slip in with_one_left_out(word) {
                lexicon.slips.entry(slip).or_default().push(word.clone());
            }
        }
        for (i, m) in library.all().iter().enumerate() {
            for name in std::iter::once(&m.name).chain(&m.aliases) {
                let run: String = name.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect();
                for short in with_one_left_out(&run).skip(2).filter(|_| run.len() >= 9) {
                    lexicon.dropped.entry(short).or_default().push(i);
                }
            }
        }
        lexicon
    }

    /// `tosto bar`: a long name that lacks one letter and whose words are cut elsewhere. The first of `words` is none that
    /// any name has, so nothing that says something else is taken for a slip.
    #[must_use]
    pub fn run_together(&self, words: &[String]) -> Option<Found> {
        let first = words.first().filter(|w| w.len() >= 4 && !self.vocabulary.contains(*w) && !COMMON.contains(&w.as_str()))?;
        let mut run = first.clone();
        (1..words.len().min(4)).find_map(|n| {
            run.push_str(&words[n].replace(' ', ""));
            let names = self.dropped.get(&run).filter(|_| !self.keys.contains_key(&run))?;
            names.iter().all(|m| *m == names[0]).then_some(Found { movement: names[0], words: n + 1 })
        })
    }

    /// The longest name at the beginning of `words`; each is [`plain`].
    #[must_use]
    pub fn find(&self, library: &Library, words: &[String]) -> Option<Found> {
        let words = &words[..words.len().min(LONGEST)];
        longer(self.longest(words), self.with_implement(library, words))
    }

    /// Some name can begin with this plain word, or with the implement that it is.
    #[must_use]
    pub fn opens(&self, word: &str) -> bool {
        let first = word.split(' ').next().unwrap_or(word);
        let at = self.sorted.partition_point(|key| key.as_str() < first);
        self.sorted.get(at).is_some_and(|key| key.starts_with(first)) || Lead::opens(first)
    }

    fn longest(&self, words: &[String]) -> Option<Found> {
        let mut key = String::new();
        let mut best = None;
        for (n, word) in words.iter().enumerate() {
            if n > 0 && is_filler(word) {
                continue;
            }
            key.push_str(&word.replace(' ', ""));
            if let Some(&movement) = self.keys.get(&key) {
                best = Some(Found { movement, words: n + 1 });
            }
        }
        best
    }

    /// `kettlebell push press`, `one-arm db row`: an implement or a single limb before a name that allows it.
    fn with_implement(&self, library: &Library, words: &[String]) -> Option<Found> {
        let lead = Lead::read(words);
        if lead.words == 0 {
            return None;
        }
        let base = self.longest(&words[lead.words..])?;
        let m = &library.all()[base.movement];
        let movement = std::iter::once(&m.name)
            .chain(&m.aliases)
            .flat_map(|name| lead.spellings(&split(name).concat()))
            .find_map(|key| self.keys.get(&key).copied())
            .filter(|&i| lead.allowed(&library.all()[i]))
            .or_else(|| (lead.allowed(m) && !lead.single).then_some(base.movement))?;
        Some(Found { movement, words: lead.words + base.words })
    }

    /// The one word of the vocabulary that is one slip away, or the word itself. `word` is [`plain`].
    #[must_use]
    pub fn mend(&self, word: &str) -> String {
        let length = word.chars().count();
        if length == 4 && !self.vocabulary.contains(word) && !COMMON.contains(&word) {
            return self.swapped(word).unwrap_or_else(|| word.to_owned());
        }
        if !(5..=24).contains(&length) || self.vocabulary.contains(word) || COMMON.contains(&word) {
            return word.to_owned();
        }
        let singular = word.strip_suffix('s').filter(|_| length > 5);
        self.one_slip_away(word).or_else(|| self.one_slip_away(singular?)).unwrap_or_else(|| word.to_owned())
    }

    /// `wlak`: a word of four letters whose inner letters changed places.
    fn swapped(&self, word: &str) -> Option<String> {
        let b = word.as_bytes();
        let [a, x, y, z] = *b else { return None };
        let ways = [[a, y, x, z], [a, x, z, y]];
        let mut found =
            ways.iter().filter_map(|w| std::str::from_utf8(w).ok()).filter(|w| *w != word && self.vocabulary.contains(*w));
        let one = found.next()?;
        found.next().is_none().then(|| one.to_owned())
    }

    fn one_slip_away(&self, word: &str) -> Option<String> {
        let near = |w: &&String| w.chars().next() == word.chars().next() && strsim::osa_distance(w, word) == 1;
        let mut candidates: Vec<&String> =
            with_one_left_out(word).filter_map(|slip| self.slips.get(&slip)).flatten().filter(near).collect();
        candidates.sort();
        candidates.dedup();
        match candidates[..] {
            [one] => Some(one.clone()),
            _ => None,
        }
    }

    /// One word alone is hardly a slip of a name where another letter stands in the place of one: `pinches` are no punches.
    /// A letter typed twice for its neighbour is one (`burpess`), and so are letters left out, doubled or in the wrong order.
    #[must_use]
    pub fn sure(typed: &str, meant: &str) -> bool {
        let (a, b): (Vec<char>, Vec<char>) = (typed.chars().collect(), meant.chars().collect());
        if a.len() != b.len() || a.len() > 8 {
            return true;
        }
        let wrong: Vec<usize> = (0..a.len()).filter(|&i| a[i] != b[i]).collect();
        let [at] = wrong[..] else { return true };
        at > 0 && a[at - 1] == a[at] || a.get(at + 1) == Some(&a[at])
    }

    /// This plain word stands in some movement's name.
    #[must_use]
    pub fn holds(&self, plain: &str) -> bool {
        self.vocabulary.contains(plain)
    }

    /// Names nearest to typed words, to be offered, never to be taken.
    #[must_use]
    pub fn nearest(&self, library: &Library, typed: &str) -> Vec<String> {
        let words: Vec<String> = split(typed);
        let run = words.concat();
        let same = |name: &str| name.to_lowercase() == typed.trim().to_lowercase();
        let telling = |w: &String| !Lead::opens(w) && !is_filler(w);
        let mut scored: Vec<(f64, &str)> = library
            .all()
            .iter()
            .zip(&self.names)
            .map(|(m, (own, together))| {
                let shared = own.iter().filter(|w| telling(w) && words.contains(w)).count();
                (strsim::normalized_damerau_levenshtein(&run, together) + to_f64(shared), m.name.as_str())
            })
            .collect();
        scored.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(b.1)));
        // far-off names help nobody
        scored.into_iter().filter(|(near, name)| *near >= 0.5 && !same(name)).take(3).map(|(_, name)| name.to_owned()).collect()
    }
}

#[expect(clippy::cast_precision_loss, reason = "a count of words")]
fn to_f64(n: usize) -> f64 {
    n as f64
}

fn longer(a: Option<Found>, b: Option<Found>) -> Option<Found> {
    match (a, b) {
        (Some(x), Some(y)) if y.words > x.words => Some(y),
        (Some(x), _) => Some(x),
        (None, y) => y,
    }
}

/// `thread the needle` is also found where `the` was skipped.
fn without_fillers(words: &[String]) -> String {
    words.iter().enumerate().filter(|(n, w)| *n == 0 || !is_filler(w)).map(|(_, w)| w.as_str()).collect()
}

/// A name as plain words.
fn split(name: &str) -> Vec<String> {
    name.replace('&', " and ")
        .split(|c: char| !(c.is_alphanumeric() || c == '\'' || c == '’'))
        .filter(|w| !w.is_empty())
        .flat_map(cut_digits)
        .map(|w| plain(&w).replace(' ', ""))
        .collect()
}

/// `g2oh` is three words to the lexer.
fn cut_digits(word: &str) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let mut was_digit = None;
    for c in word.chars() {
        if was_digit != Some(c.is_ascii_digit()) {
            out.push(String::new());
        }
        was_digit = Some(c.is_ascii_digit());
        if let Some(last) = out.last_mut() {
            last.push(c);
        }
    }
    out
}

fn with_one_left_out(word: &str) -> impl Iterator<Item = String> {
    let letters: Vec<char> = word.chars().collect();
    let n = letters.len();
    std::iter::once(word.to_owned())
        .chain((0..n).map(move |gap| letters.iter().enumerate().filter(|(i, _)| *i != gap).map(|(_, c)| *c).collect()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn name(typed: &str) -> Option<String> {
        let library = Library::shipped();
        let lexicon = Lexicon::new(library);
        let words: Vec<String> = typed.split([' ', '-']).map(|w| lexicon.mend(&plain(w))).collect();
        let found = lexicon.find(library, &words)?;
        (found.words == words.len()).then(|| library.all()[found.movement].name.clone())
    }

    #[test]
    fn many_spellings_are_one_movement() {
        for typed in ["push-ups", "push up", "pushups", "PUSHUP", "press ups", "Press-Up"] {
            assert_eq!(name(typed).as_deref(), Some("push-up"), "{typed}");
        }
        assert_eq!(name("burpees over the dumbbell").as_deref(), Some("burpee over dumbbell"));
        assert_eq!(name("one-arm rows").as_deref(), Some("single-arm row"));
        assert_eq!(name("farmers carry").as_deref(), Some("farmer carry"));
    }

    #[test]
    fn an_implement_before_a_name_finds_what_it_allows() {
        assert_eq!(name("kb goblet squats").as_deref(), Some("goblet squat"));
        assert_eq!(name("kettlebell push press").as_deref(), Some("dumbbell push press"));
        assert_eq!(name("one arm db floor press").as_deref(), Some("single-arm floor press"));
        assert_eq!(name("db walking lunges").as_deref(), Some("walking lunge"));
    }

    #[test]
    fn a_slip_of_one_letter_is_forgiven() {
        assert_eq!(name("burpess").as_deref(), Some("burpee"));
        assert_eq!(name("deadlfits").as_deref(), Some("deadlift"));
        assert_eq!(name("goblet squta").as_deref(), Some("goblet squat"));
    }

    #[test]
    fn a_name_that_merely_sounds_alike_is_not_taken() {
        for typed in ["harbour turns", "slow zeppelins", "goblin squats", "trestle jacks", "glute fridge"] {
            assert_eq!(name(typed), None, "{typed}");
        }
    }
}
