//! What one clause says: the lines in it and the facts about the part around it.

mod amounts;
mod facts;
mod walk;

use super::super::dose::{Amount, Load, Side};
use super::super::session::Role;
use super::element::{Doc, Element, Heading, Name, What};
use super::quantity::{Quantity, Unit};
use super::words::{is_manner, is_talk};

/// A stretch of tokens.
pub type Span = (usize, usize);

/// One movement in a choice or a complex, with its own dose where it has one.
pub type Named = (Name, Option<Quantity>);

/// One line to be done, as far as its own clause tells.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Item {
    /// the movement, where the library knows it
    pub movement: Option<Name>,
    /// typed words in the place of a name that nobody knows
    pub unknown: Option<Span>,
    /// reps, time, distance or calories
    pub dose: Option<Quantity>,
    /// sets written on the line itself
    pub sets: Option<f64>,
    /// they stand behind its name: `10 push-ups x 3`
    pub sets_behind: bool,
    /// to the limit
    pub max: Option<Option<Unit>>,
    /// build to a heavy set of so many
    pub build: Option<f64>,
    /// where the dose stands, if not on the line itself
    pub dose_at: Option<Span>,
    /// load
    pub load: Option<Load>,
    /// `@ 60` with no unit
    pub bare_load: Option<f64>,
    /// where that stands
    pub bare_at: Option<Span>,
    /// how many implements
    pub implements: Option<u8>,
    /// `cal` before a name whose number stands elsewhere
    pub unit: Option<Unit>,
    /// the load of the line above
    pub same: bool,
    /// what the number counts
    pub side: Option<Side>,
    /// `5 L / 5 R`
    pub split: Option<(f64, f64)>,
    /// tempo
    pub tempo: Option<String>,
    /// pause in each rep
    pub pause: Option<f64>,
    /// time on the way down
    pub down: Option<f64>,
    /// other choices behind `or` or a slash
    pub choices: Vec<Named>,
    /// the choices stand behind slashes
    pub slashed: bool,
    /// the pieces of a complex behind `+`
    pub complex: Vec<Named>,
    /// how often the first piece of a complex is done
    pub first: Option<Quantity>,
    /// more weights for the sets: `5 @ 70, 3 @ 80` in one clause
    pub more: Vec<(Quantity, Option<Load>)>,
    /// words behind the name
    pub tail: Vec<Span>,
    /// first token
    pub from: usize,
    /// token after the last
    pub to: usize,
}

impl Item {
    /// It names something to do.
    #[must_use]
    pub fn is_named(&self) -> bool {
        self.movement.is_some() || self.unknown.is_some()
    }

    /// It says how much.
    #[must_use]
    pub fn is_dosed(&self) -> bool {
        self.dose.is_some() || self.max.is_some() || self.sets.is_some() || self.build.is_some()
    }

    fn has_marks(&self) -> bool {
        self.load.is_some()
            || self.bare_load.is_some()
            || self.implements.is_some()
            || self.same
            || self.unit.is_some()
            || self.side.is_some()
            || self.split.is_some()
            || self.tempo.is_some()
            || self.pause.is_some()
            || self.down.is_some()
    }

    fn is_empty(&self) -> bool {
        !self.is_named() && !self.is_dosed() && !self.has_marks() && self.more.is_empty()
    }
}

/// What a clause says about the part around it. Each with the tokens that say it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Facts {
    /// how often through
    pub rounds: Option<(Amount, Span)>,
    /// `x 6`
    pub times: Option<(f64, Span)>,
    /// `3 sets` alone
    pub sets: Option<(f64, Span)>,
    /// AMRAP with its window
    pub amrap: Option<(Option<f64>, Span)>,
    /// blocks of it
    pub blocks: Option<f64>,
    /// every so often: window, whole time, windows
    pub every: Option<(f64, Option<f64>, Option<f64>, Span)>,
    /// work and rest
    pub on_off: Option<(Option<f64>, Option<f64>, Span)>,
    /// windows of work and rest that a word says by itself
    pub windows: Option<f64>,
    /// for time
    pub for_time: Option<Span>,
    /// not for time
    pub not_for_time: bool,
    /// rungs
    pub ladder: Option<Span>,
    /// by how much a rung grows
    pub step: Option<f64>,
    /// the word `interval`
    pub intervals: bool,
    /// cap, per round
    pub cap: Option<(Option<f64>, bool, Span)>,
    /// rest
    pub rest: Option<(Option<Amount>, bool, Span)>,
    /// stations said
    pub stations: Option<(f64, Span)>,
    /// a length that belongs to no line: seconds
    pub window: Option<(Amount, Span)>,
    /// a name for the part
    pub heading: Option<(Heading, Span)>,
    /// once, before or after
    pub role: Option<(Role, Span)>,
    /// each round or block is scored by itself
    pub each: bool,
    /// the lines take turns
    pub turns: bool,
    /// `rounds` with no number
    pub bare_rounds: Option<Span>,
}

impl Facts {
    /// It says how a part runs, so that a new part may begin here.
    #[must_use]
    pub fn shapes(&self) -> bool {
        self.amrap.is_some()
            || self.every.is_some()
            || self.on_off.is_some()
            || self.for_time.is_some()
            || self.ladder.is_some()
            || self.rounds.is_some()
            || self.heading.is_some()
            || self.not_for_time
            || self.sets.is_some()
    }

    /// Nothing at all is said.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// Everything a clause says.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Parsed {
    /// lines, in order; one without a name is a dose or marks for something named elsewhere
    pub items: Vec<Item>,
    /// about the part
    pub facts: Facts,
    /// `score`, `aim`, `note`, `option`, `instead`, `or` at its beginning
    pub prefix: Option<What>,
    /// `instead` or `or` somewhere
    pub replaces: bool,
    /// words before the first thing that was understood
    pub before: Vec<Span>,
    /// every word that was not understood
    pub words: Vec<Span>,
    /// of those, words of a sentence
    pub talk: usize,
    /// an address
    pub link: bool,
    /// first token of the content
    pub from: usize,
    /// token after the last
    pub to: usize,
}

/// Reads one clause.
#[must_use]
pub fn parse(doc: &Doc, elements: &[Element]) -> Parsed {
    let mut p = Walk { doc, elements, out: Parsed::default(), cur: Item::default(), sep: None, gap: Vec::new(), taken: false };
    p.out.from = elements.first().map_or(0, |e| e.from);
    p.out.to = elements.last().map_or(0, |e| e.to);
    for i in 0..elements.len() {
        p.step(i);
    }
    p.flush();
    p.out
}

struct Walk<'a, 't> {
    doc: &'a Doc<'t>,
    elements: &'a [Element],
    out: Parsed,
    cur: Item,
    /// the sign between the last thing and this one
    sep: Option<What>,
    /// words since the last thing that was understood
    gap: Vec<Span>,
    /// the next name was already taken with its dose
    taken: bool,
}

impl Walk<'_, '_> {
    fn flush(&mut self) {
        let mut item = std::mem::take(&mut self.cur);
        if !item.is_named() && item.dose.as_ref().is_some_and(|q| q.unit != Unit::Kg) {
            item.unknown = self.unknown_name(&item);
            if let Some(u) = item.unknown {
                item.to = u.1.max(item.to);
            }
        }
        if let Some(last) = item.tail.last() {
            item.to = item.to.max(last.1);
        }
        if !item.is_empty() {
            self.out.items.push(item);
        }
    }

    /// `8 plank-ups`: nothing but a hyphen stands between the two; `8 pendulum drops - slow` is a remark behind a dash.
    fn hyphened(&self, from: usize, to: usize) -> bool {
        from + 1 == to && matches!(self.doc.low(from), "-" | "–") && !self.doc.tokens[from].spaced
    }

    /// Words right behind a dose that stand in the place of a name.
    fn unknown_name(&self, item: &Item) -> Option<Span> {
        let words: Vec<Span> = self.out.words.iter().copied().filter(|w| w.0 >= item.from).collect();
        let mut name: Vec<Span> = Vec::new();
        for w in words {
            let low = self.doc.low(w.0);
            if is_no_name(low) && name.is_empty() {
                return None;
            }
            if name.is_empty() && matches!(low, "of" | "x" | "the" | "a" | "reps" | "times") {
                continue;
            }
            if name.last().is_some_and(|last| last.1 != w.0 && !self.hyphened(last.1, w.0))
                || is_talk(low)
                || matches!(
                    low,
                    "with"
                        | "on"
                        | "against"
                        | "to"
                        | "in"
                        | "for"
                        | "at"
                        | "from"
                        | "by"
                        | "and"
                        | "every"
                        | "within"
                        | "each"
                        | "per"
                        | "rest"
                        | "rests"
                        | "works"
                        | "build"
                        | "building"
                        | "add"
                        | "adding"
                )
            {
                break;
            }
            name.push(w);
        }
        if let [word] = name[..]
            && super::doses::hand(self.doc.low(word.0)).is_some()
        {
            return None;
        }
        // `8 slow ones`: of what was named before
        let again = name.last().is_some_and(|w| matches!(self.doc.low(w.0), "one" | "ones" | "times"))
            || name.first().is_some_and(|w| matches!(self.doc.low(w.0), "anything" | "something" | "whatever" | "whichever"));
        let real = !again && name.iter().any(|w| !is_manner(self.doc.low(w.0)) && self.doc.low(w.0).chars().count() > 1);
        let things: Vec<&str> = name.iter().map(|w| self.doc.low(w.0)).collect();
        let ready = item.dose.as_ref().is_some_and(|q| q.unit == Unit::Bare && lies_ready(&things, q.amount.high()));
        (real && name.len() <= 5 && !ready).then(|| (name[0].0, name[name.len() - 1].1))
    }
}

/// `one mat`, `1 chair`: one or two of what lies ready, with nothing behind the word.
fn lies_ready(name: &[&str], many: f64) -> bool {
    const THINGS: &[&str] = &[
        "mat",
        "mats",
        "towel",
        "towels",
        "timer",
        "bottle",
        "chair",
        "chairs",
        "box",
        "band",
        "bands",
        "bench",
        "step",
        "rope",
        "wall",
        "ball",
        "rings",
        "sofa",
        "cushion",
        "pillow",
        "backpack",
        "book",
        "books",
        "stick",
        "broomstick",
    ];
    many <= 2.0 && matches!(name, [only] if THINGS.contains(only))
}

/// A word behind a number that counts something, and names nothing to be done.
fn is_no_name(word: &str) -> bool {
    matches!(
        word,
        "complex"
            | "complexes"
            | "set"
            | "try"
            | "go"
            | "attempt"
            | "effort"
            | "piece"
            | "exercise"
            | "test"
            | "weight"
            | "load"
            | "pair"
            | "hold"
            | "holds"
            | "steps"
            | "paces"
            // what is worn
            | "belt"
            | "straps"
            | "sleeves"
            | "chalk"
    )
}
