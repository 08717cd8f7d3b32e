//! Work that is told in a sentence: `take the bar and do three sets of eight`.

use super::super::item::Item;
use super::Assembler;

/// Words by which a sentence tells of something else than what is to be done.
const UNSURE: &[&str] =
    &["if", "when", "can't", "cannot", "don't", "not", "instead", "could", "can", "would", "used", "did", "last"];
/// Words that begin or end a session.
const STARTS: &[&str] =
    &["start", "starting", "begin", "beginning", "open", "opening", "finish", "finishing", "end", "ending", "off"];
/// Words beside sets that speak of another day, or of a choice.
const DOUBT: &[&str] = &["if", "when", "last", "next", "instead", "or", "should", "did", "was"];

impl Assembler<'_, '_> {
    /// `so we start with five minutes on the bike`, `take the bar and do three sets of eight ...`: however long the way to it,
    /// the last words before the dose say that it is to be done.
    pub(super) fn tells_to_do(&self, i: usize) -> bool {
        let p = &self.clauses[i].said;
        let words: Vec<&str> = p.before.iter().map(|w| self.doc.low(w.0)).collect();
        let starts = words[words.len().saturating_sub(4)..].iter().any(|w| STARTS.contains(w));
        let done = match words.last() {
            Some(&"with") => starts,
            // `first thing is front squat five sets of three`
            Some(&"is") => starts_with_thing(&words) && p.items.iter().any(|it| it.movement.is_some() && it.sets.is_some()),
            Some(&("do" | "complete" | "perform")) => p.items.iter().any(|it| it.movement.is_some() && it.sets.is_some()),
            _ => false,
        };
        let moves = p.items.iter().any(|it| it.movement.is_some());
        let thing = words.last() == Some(&"is");
        done && moves && (starts || thing || !words.iter().any(|w| UNSURE.contains(w)))
    }

    /// Sets, a percent or a time of a known movement stand in a sentence that was kept as words: the coach is asked.
    pub(super) fn hides_work(&self, i: usize) -> bool {
        let p = &self.clauses[i].said;
        let told = |it: &Item| it.movement.is_some() && it.dose.is_some() && (it.sets.is_some() || it.load.is_some());
        let doubt = |t: usize| DOUBT.contains(&self.doc.low(t));
        p.items.iter().any(told) && !(p.from..p.to).any(doubt)
    }
}

/// `the first thing is`, `next up is`
fn starts_with_thing(words: &[&str]) -> bool {
    words
        .len()
        .checked_sub(2)
        .is_some_and(|k| matches!(words[k], "thing" | "up" | "one" | "lift" | "bit" | "part" | "first" | "next" | "main"))
}
