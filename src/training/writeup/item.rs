//! What one clause says: the lines in it and the facts about the part around it.

use super::super::dose::{Amount, Load, Side};
use super::super::session::Role;
use super::element::{Doc, Element, Heading, Name, What};
use super::quantity::{Quantity, Unit};
use super::words::{is_filler, is_manner, is_talk, reshapes};

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
    /// to the limit
    pub max: Option<Option<Unit>>,
    /// build to a heavy set of so many
    pub build: Option<f64>,
    /// load
    pub load: Option<Load>,
    /// `@ 60` with no unit
    pub bare_load: Option<f64>,
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
    fn step(&mut self, i: usize) {
        let e = &self.elements[i];
        let span = (e.from, e.to);
        let first = self.out.items.is_empty() && self.cur.is_empty() && self.out.facts.is_empty();
        match &e.what {
            What::Word | What::Link => return self.word(span, matches!(e.what, What::Link)),
            What::Score | What::Aim | What::Note | What::Option
                if first && self.out.prefix.is_none() && self.out.words.len() < 2 =>
            {
                self.out.prefix = Some(e.what.clone());
            }
            What::Score | What::Aim | What::Note | What::Option => return self.word(span, false),
            What::Instead => {
                self.out.replaces = true;
                if first {
                    self.out.prefix = Some(What::Instead);
                }
            }
            What::Or => {
                if first {
                    self.out.prefix = Some(What::Or);
                }
                self.sep = Some(What::Or);
                return;
            }
            What::Plus | What::Slash | What::Dash | What::Colon | What::Comma => {
                if self.sep != Some(What::Or) {
                    self.sep = Some(e.what.clone());
                }
                return;
            }
            What::Heading(_) if self.cur.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds) && !self.cur.is_named() => {
                self.mark(&e.what, span)
            }
            What::Heading(_) if !(first && self.out.words.len() < 3) && self.cur.dose.is_some() && !self.cur.is_named() => return,
            What::Heading(_) if !(first && self.out.words.len() < 3) => return self.word(span, false),
            What::Movement(name) => self.movement(*name, span, i),
            What::Dose(q) => self.dose(q, span, i),
            What::SetsOf(n, q) => self.sets_of(*n, q, span, i),
            _ => self.mark(&e.what, span),
        }
        self.sep = None;
        self.gap.clear();
    }

    fn word(&mut self, span: Span, link: bool) {
        self.out.link |= link;
        let w = self.doc.low(span.0);
        if is_talk(w) {
            self.out.talk += 1;
        }
        if matches!(w, "rounds" | "rds") && self.out.words.is_empty() {
            self.out.facts.bare_rounds = Some(span);
        }
        if self.out.items.is_empty() && self.cur.is_empty() && self.out.facts.is_empty() {
            self.out.before.push(span);
        }
        self.out.words.push(span);
        self.gap.push(span);
        if self.cur.is_named() {
            self.cur.tail.push(span);
        }
    }

    /// A movement follows at `i`, with nothing but its manner between.
    fn named_next(&self, i: usize) -> bool {
        self.elements[i + 1..]
            .iter()
            .take(6)
            .find(|e| {
                !(matches!(e.what, What::Word) && is_manner(self.doc.low(e.from))
                    || matches!(e.what, What::Side(_) | What::Max(_) | What::Implements(_) | What::Dash))
            })
            .is_some_and(|e| matches!(e.what, What::Movement(_)))
    }

    /// A word that could be a name follows at `i`.
    fn word_next(&self, i: usize) -> bool {
        self.elements
            .get(i + 1)
            .is_some_and(|e| matches!(e.what, What::Word) && !is_talk(self.doc.low(e.from)) && !is_manner(self.doc.low(e.from)))
    }

    fn open(&mut self, span: Span) {
        if self.cur.is_empty() {
            self.cur.from = span.0;
        }
        self.cur.to = self.cur.to.max(span.1);
    }

    fn movement(&mut self, name: Name, span: Span, i: usize) {
        if std::mem::take(&mut self.taken) {
            self.cur.to = span.1;
            return;
        }
        if self.cur.is_named() {
            let touching = self.gap.is_empty() && self.sep.is_none() && self.elements[i - 1].to == span.0;
            let before_is_name = matches!(self.elements[i - 1].what, What::Movement(_));
            match self.sep {
                Some(What::Plus) => return self.cur.complex.push((name, None)),
                Some(What::Or | What::Slash) => {
                    self.cur.to = span.1;
                    self.cur.slashed = self.sep == Some(What::Slash);
                    return self.cur.choices.push((name, None));
                }
                _ if touching && before_is_name => {
                    // two names with nothing between are a third movement
                    self.cur.unknown = Some((self.elements[i - 1].from, span.1));
                    self.cur.movement = None;
                    self.cur.to = span.1;
                    return;
                }
                _ => self.flush(),
            }
        }
        self.open(span);
        let strange: Vec<Span> =
            self.gap.iter().copied().filter(|s| !is_manner(self.doc.low(s.0)) && !is_talk(self.doc.low(s.0))).collect();
        let lead_in = matches!(
            self.doc.low(self.gap.first().map_or(usize::MAX, |g| g.0)),
            "do" | "in" | "on" | "for" | "at" | "work" | "going" | "through"
        );
        if self.cur.dose.is_some()
            && self.sep.is_none()
            && (1..=2).contains(&strange.len())
            && strange.len() == self.gap.len()
            && !lead_in
        {
            self.cur.unknown = Some((strange[0].0, span.1));
        } else {
            self.cur.movement = Some(name);
        }
        let next = self.elements.get(i + 1);
        if let Some(n) = next.filter(|n| matches!(n.what, What::Word | What::Heading(_)) && reshapes(&self.doc.plain[n.from])) {
            let mut to = n.to;
            if matches!(self.doc.low(n.from), "over" | "through") {
                // `burpees over the bar`
                let filler = usize::from(self.elements.get(i + 2).is_some_and(|f| is_filler(self.doc.low(f.from))));
                let noun =
                    self.elements.get(i + 2 + filler).filter(|w| matches!(w.what, What::Word) && !is_talk(self.doc.low(w.from)));
                to = noun.map_or(to, |w| w.to);
            }
            self.cur.unknown = Some((self.cur.unknown.map_or(span.0, |u| u.0), to));
            self.cur.movement = None;
        }
    }

    fn dose(&mut self, q: &Quantity, span: Span, i: usize) {
        match q.unit {
            Unit::Rounds => {
                self.flush_named();
                self.out.facts.rounds.get_or_insert((q.amount.clone(), span));
                return;
            }
            Unit::Sets => {
                if let Amount::One(n) = q.amount {
                    if self.cur.movement.is_some() && self.cur.sets.is_none() && !self.named_next(i) {
                        self.cur.sets = Some(n);
                        self.cur.to = span.1;
                    } else {
                        self.flush_named();
                        self.out.facts.sets = Some((n, span));
                    }
                }
                return;
            }
            _ => {}
        }
        let named_next = self.named_next(i);
        if !self.cur.is_named() {
            if q.unit == Unit::Seconds && self.cur.dose.as_ref().is_some_and(|d| matches!(d.amount, Amount::Scheme(_))) {
                return self.loose(q.clone(), span);
            }
            if let Some(before) = self.cur.dose.take() {
                self.loose(before, (self.cur.from, self.cur.to));
                self.cur.from = span.0;
            }
            self.open(span);
            self.cur.dose = Some(q.clone());
            return;
        }
        match self.sep {
            Some(What::Slash)
                if named_next
                    && matches!(q.unit, Unit::Seconds | Unit::Bare | Unit::Reps)
                    && self.cur.dose.as_ref().is_some_and(|d| d.unit == q.unit) =>
            {
                self.flush();
                self.open(span);
                self.cur.dose = Some(q.clone());
            }
            Some(What::Or | What::Slash) if named_next => {
                // `500 m row / 1000 m bike`: the next name takes this dose
                self.cur.to = span.1;
                if let Some(What::Movement(name)) =
                    self.elements[i + 1..].iter().map(|e| &e.what).find(|w| matches!(w, What::Movement(_)))
                {
                    self.cur.choices.push((*name, Some(q.clone())));
                    self.taken = true;
                }
            }
            _ if !self.cur.complex.is_empty() && q.unit == Unit::Reps && q.amount == Amount::One(1.0) => self.cur.to = span.1,
            Some(What::Plus) if named_next && self.is_complex(q) => {
                if let Some(What::Movement(name)) =
                    self.elements[i + 1..].iter().map(|e| &e.what).find(|w| matches!(w, What::Movement(_)))
                {
                    self.cur.complex.push((*name, Some(q.clone())));
                    self.cur.first = self.cur.first.take().or_else(|| self.cur.dose.take());
                    self.taken = true;
                }
            }
            _ if self.cur.dose.is_some()
                && matches!((&q.amount, q.unit), (Amount::Columns(..), Unit::Bare))
                && self.cur.load.is_none()
                && !named_next =>
            {
                self.open(span);
                self.cur.bare_load = Some(q.amount.high());
            }
            _ if q.unit == Unit::Seconds && (self.cur.build.is_some() || self.cur.max.is_some() && self.within(span)) => {
                self.loose(q.clone(), span)
            }
            _ if (self.cur.dose.is_some() || self.cur.max.is_some() || self.cur.build.is_some())
                && !named_next
                && !self.word_next(i) =>
            {
                self.cur.more.push((q.clone(), None));
            }
            _ if self.cur.dose.is_some() || self.cur.max.is_some() || self.cur.build.is_some() || named_next => {
                self.flush();
                self.open(span);
                self.cur.dose = Some(q.clone());
            }
            _ => {
                self.open(span);
                self.cur.dose = Some(q.clone());
            }
        }
    }

    /// `in 1 min`, `for 2:00`: a window rather than a dose.
    fn within(&self, span: Span) -> bool {
        span.0 > 0 && matches!(self.doc.low(span.0 - 1), "in" | "for" | "within" | "of")
    }

    /// Small counts on both sides of a plus are one rep made of several.
    fn is_complex(&self, q: &Quantity) -> bool {
        let small = |q: &Quantity| matches!(q.unit, Unit::Bare | Unit::Reps) && q.amount.high() <= 3.0;
        small(q) && self.cur.dose.as_ref().is_none_or(small)
    }

    fn sets_of(&mut self, n: f64, q: &Quantity, span: Span, i: usize) {
        if self.cur.is_named() && (self.cur.is_dosed() || self.named_next(i)) {
            self.flush();
        }
        if let Some(before) = self.cur.dose.take() {
            self.loose(before, span);
        }
        self.open(span);
        self.cur.sets = Some(n);
        self.cur.dose = Some(q.clone());
    }

    /// A dose that no movement took: a time is the part's length, a list is its scheme.
    fn loose(&mut self, q: Quantity, span: Span) {
        if q.unit == Unit::Seconds && self.out.facts.window.is_none() {
            self.out.facts.window = Some((q.amount, span));
        }
    }

    fn mark(&mut self, what: &What, span: Span) {
        let facts_first = matches!(
            what,
            What::Amrap(_)
                | What::Every { .. }
                | What::OnOff(..)
                | What::Work(_)
                | What::Off(_)
                | What::ForTime
                | What::NotForTime
                | What::Ladder
                | What::Step(_)
                | What::Intervals
                | What::Rest(..)
                | What::Cap(..)
                | What::Stations(_)
                | What::Role(_)
                | What::EachRound
                | What::Heading(_)
        );
        if facts_first {
            let turns = self.cur.side == Some(Side::Alternating) && !self.cur.is_named() && !self.cur.is_dosed();
            if turns && matches!(what, What::Every { .. } | What::OnOff(..) | What::Work(_)) {
                self.out.facts.turns = true;
                self.cur = Item::default();
            }
            self.flush_named();
            return self.fact(what, span);
        }
        if let What::Times(n) = what {
            return self.times(*n, span);
        }
        self.open(span);
        match what {
            What::Max(unit) => self.cur.max = Some(*unit),
            What::SetsOfMax(n) => (self.cur.sets, self.cur.max) = (Some(*n), Some(None)),
            What::Build(n) => self.cur.build = Some(*n),
            What::Load(load, implements) => self.load(load, *implements),
            What::BareLoad(n) => self.cur.bare_load = Some(*n),
            What::Implements(n) => self.cur.implements = Some(*n),
            What::Same => self.cur.same = true,
            What::UnitWord(unit) => self.cur.unit = Some(*unit),
            What::Side(side) => self.cur.side = self.cur.side.or(Some(*side)),
            What::Split(a, b) => self.cur.split = Some((*a, *b)),
            What::Tempo(code) => self.cur.tempo = Some(code.clone()),
            What::Pause(s) => self.cur.pause = Some(*s),
            What::Down(s) => self.cur.down = Some(*s),
            _ => {}
        }
    }

    fn load(&mut self, load: &Load, implements: Option<u8>) {
        if let Some(last) = self.cur.more.last_mut() {
            last.1 = Some(load.clone());
        } else if self.cur.load.is_none() {
            self.cur.load = Some(load.clone());
        }
        self.cur.implements = self.cur.implements.or(implements);
    }

    fn times(&mut self, n: f64, span: Span) {
        let q = Quantity {
            amount: Amount::One(n),
            unit: Unit::Bare,
            open: false,
            halves: false,
            odd_clock: false,
            negative: false,
            bare_m: false,
            sum: Vec::new(),
            tokens: 1,
        };
        if self.cur.movement.is_some() && self.cur.dose.is_none() && self.cur.sets.is_none() && self.out.facts.is_empty() {
            self.open(span);
            self.cur.dose = Some(q);
        } else if self.cur.movement.is_some() && self.cur.sets.is_none() && self.out.facts.is_empty() {
            self.open(span);
            self.cur.sets = Some(n);
        } else {
            self.out.facts.times = Some((n, span));
        }
    }

    fn fact(&mut self, what: &What, span: Span) {
        let f = &mut self.out.facts;
        match what {
            What::Amrap(window) => f.amrap = Some((*window, span)),
            What::Every { every, total, count } => f.every = Some((*every, *total, *count, span)),
            What::OnOff(on, off) => f.on_off = Some((Some(*on), Some(*off), span)),
            What::Work(on) => f.on_off = Some((Some(*on), f.on_off.as_ref().and_then(|o| o.1), span)),
            What::Off(off) => f.on_off = Some((f.on_off.as_ref().and_then(|o| o.0), Some(*off), span)),
            What::ForTime => {
                f.for_time = Some(span);
                if self.doc.low(span.0) == "rft"
                    && let Some(q) = self.cur.dose.take()
                {
                    f.rounds = Some((q.amount, (self.cur.from, span.1)));
                    self.cur = Item::default();
                }
            }
            What::NotForTime => f.not_for_time = true,
            What::Ladder => f.ladder = Some(span),
            What::Step(by) => f.step = Some(*by),
            What::Intervals => f.intervals = true,
            What::Rest(amount, bare) => f.rest = Some((amount.clone(), *bare, span)),
            What::Cap(seconds, each) => f.cap = Some((*seconds, *each, span)),
            What::Stations(n) => f.stations = Some((*n, span)),
            What::Role(role) => f.role = Some((*role, span)),
            What::EachRound => f.each = true,
            What::Heading(h) => {
                f.heading.get_or_insert((*h, span));
            }
            _ => {}
        }
    }

    fn flush_named(&mut self) {
        if self.cur.is_named() {
            self.flush();
        } else if let Some(q) = self.cur.dose.clone() {
            // `3 x AMRAP 4`, `15 min EMOM` leave a bare number before the format
            let span = (self.cur.from, self.cur.to);
            match (&q.amount, q.unit) {
                (_, Unit::Seconds) => {
                    self.loose(q, span);
                    self.cur = Item::default();
                }
                (Amount::One(n), Unit::Bare)
                    if self.gap.iter().any(|g| matches!(self.doc.low(g.0), "x" | "×" | "blocks" | "times")) =>
                {
                    self.out.facts.times = Some((*n, span));
                    self.cur = Item::default();
                }
                _ => {}
            }
        }
    }

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

    /// Words right behind a dose that stand in the place of a name.
    fn unknown_name(&self, item: &Item) -> Option<Span> {
        let words: Vec<Span> = self.out.words.iter().copied().filter(|w| w.0 >= item.from).collect();
        let mut name: Vec<Span> = Vec::new();
        for w in words {
            let low = self.doc.low(w.0);
            if matches!(
                low,
                "complex" | "complexes" | "set" | "try" | "go" | "attempt" | "effort" | "piece" | "exercise" | "weight" | "load"
            ) && name.is_empty()
            {
                return None;
            }
            if name.is_empty() && matches!(low, "of" | "x" | "the" | "a" | "reps" | "times") {
                continue;
            }
            if name.last().is_some_and(|last| last.1 != w.0 && !(last.1 + 1 == w.0 && self.doc.low(last.1) == "-"))
                || is_talk(low)
                || matches!(
                    low,
                    "with"
                        | "on"
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
                )
            {
                break;
            }
            name.push(w);
        }
        let real = name.iter().any(|w| !is_manner(self.doc.low(w.0)) && self.doc.low(w.0).chars().count() > 1);
        (real && name.len() <= 5).then(|| (name[0].0, name[name.len() - 1].1))
    }
}
