//! Doses on the walk over a clause.

use super::super::super::dose::{Amount, Load, Side};
use super::super::doses::hand;
use super::super::element::{Element, Name, What};
use super::super::quantity::{Quantity, Unit};
use super::{Facts, Span, Walk};

/// What a dose behind a name is.
enum Behind {
    /// `bench 4x8 - 75 s`
    Rest,
    /// `8 swings R / 8 L`
    OtherHand(f64, f64),
    /// the dose of the next line
    NextLine,
    /// `500 m row / 1000 m bike`: the next name takes it
    NextChoice(Option<Name>),
    /// once more a piece of a complex, which says nothing new
    Once,
    /// `2 cleans + 1 jerk`: the next piece of a complex takes it
    NextPiece(Option<Name>),
    /// `21-15-9 thrusters 40/30`: how heavy
    BareLoad,
    /// how long all of it lasts
    TimeOfPart,
    /// `8 min. ankle rocks 10/side`, `3 min couch stretch 90 s/side`: the time is the part's, the rest the line's
    CountUnderTime,
    /// another amount of the same line
    More,
    /// the line's own
    Own,
}

impl Walk<'_, '_> {
    pub(super) fn dose(&mut self, q: &Quantity, span: Span, i: usize) {
        match q.unit {
            Unit::Rounds => return self.rounds(q, span),
            Unit::Sets => return self.sets(q, span, i),
            _ => {}
        }
        if self.counts_through(q, span) {
            // `1 to 10 of thrusters and pull-ups`
            self.out.facts.ladder.get_or_insert(span);
        }
        if self.is_window_of_amrap(q, span) {
            self.out.facts.amrap = self.out.facts.amrap.map(|(_, at)| (Some(q.amount.high()), at));
        } else if self.cur.is_named() {
            let what = self.behind_name(q, span, i);
            self.dose_behind_name(what, q, span);
        } else {
            self.dose_before_name(q, span, i);
        }
    }

    fn rounds(&mut self, q: &Quantity, span: Span) {
        // `one trip through`
        if q.amount != Amount::One(1.0) || self.doc.low(span.1 - 1) != "through" {
            self.flush_named();
            self.out.facts.rounds.get_or_insert((q.amount.clone(), span));
        }
    }

    fn sets(&mut self, q: &Quantity, span: Span, i: usize) {
        match q.amount {
            // one try is no number of sets
            Amount::One(1.0) if matches!(self.doc.low(span.1 - 1), "try" | "go" | "goes" | "attempt") => {}
            Amount::One(n) if self.cur.movement.is_some() && self.cur.sets.is_none() && !self.named_next(i) => {
                self.cur.sets = Some(n);
                self.cur.to = span.1;
            }
            Amount::One(n) => {
                self.flush_named();
                self.out.facts.sets = Some((n, span));
            }
            Amount::Range(_, most) => {
                // `2-3 sets`: as many as one likes of these
                self.flush_named();
                self.out.facts.sets = Some((most, span));
                self.out.facts.rounds.get_or_insert((q.amount.clone(), span));
            }
            _ => {}
        }
    }

    /// `AMRAP push-ups in 2 min`
    fn is_window_of_amrap(&self, q: &Quantity, span: Span) -> bool {
        let one = matches!((&q.amount, q.unit), (Amount::One(_), Unit::Seconds));
        let inside = span.0 > 0 && matches!(self.doc.low(span.0 - 1), "in" | "within" | "for");
        one && inside && self.cur.is_named() && matches!(self.out.facts.amrap, Some((None, _)))
    }

    /// The dose of the line that is being read, from here on.
    fn take_dose(&mut self, q: &Quantity, span: Span) {
        self.open(span);
        self.cur.dose = Some(q.clone());
    }

    fn dose_before_name(&mut self, q: &Quantity, span: Span, i: usize) {
        if self.is_half_of_it(q) {
            // `12 (6/6) split squats`
            self.cur.split = Some((q.amount.high(), q.amount.high()));
            return self.open(span);
        }
        if q.unit == Unit::Seconds && self.is_time_of_part(q, span, i) {
            return self.loose(q.clone(), span);
        }
        if self.cur.sets.is_some() && self.walked_between(span, i) {
            return;
        }
        if let Some(before) = self.cur.dose.take() {
            self.loose(before, (self.cur.from, self.cur.to));
            self.cur.from = span.0;
        }
        self.take_dose(q, span);
    }

    /// So many on each side make up the count before it.
    fn is_half_of_it(&self, q: &Quantity) -> bool {
        let twice = |d: &Quantity| d.unit == Unit::Bare && (d.amount.high() - 2.0 * q.amount.high()).abs() < 0.01;
        q.halves && self.cur.dose.as_ref().is_some_and(twice)
    }

    /// A time with no name before it, and none that it could belong to.
    fn is_time_of_part(&self, q: &Quantity, span: Span, i: usize) -> bool {
        let clocked = self.out.facts.on_off.is_some() || self.out.facts.every.is_some();
        // `30 s on, 30 s off for 10 minutes`
        let whole = clocked && self.within(span) && q.amount.low() >= 120.0;
        let scheme = self.cur.dose.as_ref().is_some_and(|d| matches!(d.amount, Amount::Scheme(_)));
        whole || scheme || self.is_time_for_best(span) && !self.named_next(i)
    }

    /// `max reps in 2 min`, `15 min build to a heavy single`: the time in which the best is found.
    fn is_time_for_best(&self, span: Span) -> bool {
        self.cur.build.is_some() || self.cur.max.is_some() && self.within(span)
    }

    /// What a dose behind a name is; the first that fits.
    fn behind_name(&self, q: &Quantity, span: Span, i: usize) -> Behind {
        let named_next = self.named_next(i);
        let own = self.cur.dose.as_ref();
        let own_is = |is: fn(Unit) -> bool| own.is_some_and(|d| is(d.unit));
        let count = |unit: Unit| matches!(unit, Unit::Bare | Unit::Reps);
        let timed = q.unit == Unit::Seconds;
        let dosed = own.is_some() || self.cur.max.is_some() || self.cur.build.is_some();
        let way = own_is(|u| matches!(u, Unit::Bare | Unit::Reps | Unit::Metres));
        if way && self.cur.sets.is_some() && timed && self.sep == Some(What::Dash) && !named_next {
            return Behind::Rest;
        }
        if let Some((one, other)) = self.other_hand(q, i) {
            return Behind::OtherHand(one, other);
        }
        match self.sep {
            Some(What::Slash) if named_next && (self.counts_alike(q) || self.slashes_list()) => return Behind::NextLine,
            Some(What::Or | What::Slash) if named_next => return Behind::NextChoice(self.next_name(i)),
            _ if !self.cur.complex.is_empty() && q.unit == Unit::Reps && q.amount == Amount::One(1.0) => return Behind::Once,
            Some(What::Plus) if named_next && self.is_complex(q) => return Behind::NextPiece(self.next_name(i)),
            _ => {}
        }
        let columns = matches!((&q.amount, q.unit), (Amount::Columns(..), Unit::Bare));
        let long = own.is_some_and(|d| d.unit == Unit::Seconds && d.amount.low() >= 240.0);
        let sided = || matches!(self.elements.get(i + 1).map(|e| &e.what), Some(What::Side(Side::PerSide)));
        let both = |d: &Quantity| d.unit == Unit::Seconds && d.amount.low() >= 2.0 * q.amount.high() && d.amount.low() >= 120.0;
        // `3 min couch stretch 90 s each side`
        let halved = timed && own.is_some_and(both) && sided() && self.out.items.is_empty() && !named_next;
        if own.is_some() && columns && self.cur.load.is_none() && !named_next {
            Behind::BareLoad
        } else if timed && self.is_time_for_best(span) {
            Behind::TimeOfPart
        } else if halved || long && count(q.unit) && !named_next && self.out.items.is_empty() {
            Behind::CountUnderTime
        } else if dosed && !named_next && !self.word_next(i) {
            Behind::More
        } else if dosed || named_next {
            Behind::NextLine
        } else {
            Behind::Own
        }
    }

    fn dose_behind_name(&mut self, what: Behind, q: &Quantity, span: Span) {
        match what {
            Behind::Rest => {
                self.out.facts.rest.get_or_insert((Some(q.amount.clone()), false, span));
            }
            Behind::OtherHand(one, other) => (self.cur.split, self.cur.to) = (Some((one, other)), span.1),
            Behind::Once => self.cur.to = span.1,
            Behind::NextChoice(name) => {
                self.cur.to = span.1;
                self.taken |= name.is_some();
                self.cur.choices.extend(name.map(|name| (name, Some(q.clone()))));
            }
            Behind::NextPiece(None) => {}
            Behind::NextPiece(Some(name)) => {
                self.cur.complex.push((name, Some(q.clone())));
                self.cur.first = self.cur.first.take().or_else(|| self.cur.dose.take());
                self.taken = true;
            }
            Behind::BareLoad => {
                self.open(span);
                (self.cur.bare_load, self.cur.bare_at) = (Some(q.amount.high()), Some(span));
            }
            Behind::TimeOfPart => self.loose(q.clone(), span),
            Behind::CountUnderTime => {
                if let Some(long) = self.cur.dose.take() {
                    self.loose(long, (self.cur.from, span.0));
                }
                self.take_dose(q, span);
            }
            Behind::More => self.cur.more.push((q.clone(), None)),
            Behind::NextLine => {
                self.flush();
                self.take_dose(q, span);
            }
            Behind::Own => self.take_dose(q, span),
        }
    }

    /// `10 swings / 10 push-ups`, `plank 30 s / hollow 30 s`: both in the same count.
    fn counts_alike(&self, q: &Quantity) -> bool {
        let same = self.cur.dose.as_ref().is_some_and(|d| d.unit == q.unit);
        same && matches!(q.unit, Unit::Seconds | Unit::Bare | Unit::Reps)
    }

    /// The next movement that is named behind element `i`.
    fn next_name(&self, i: usize) -> Option<Name> {
        self.elements[i + 1..].iter().find_map(|e| match e.what {
            What::Movement(name) => Some(name),
            _ => None,
        })
    }

    /// `1 to 10 of`, `10 down to 1 of`: every number on the way.
    fn counts_through(&self, q: &Quantity, span: Span) -> bool {
        let Amount::Range(a, b) = q.amount else { return false };
        let to = (span.0..span.1).any(|t| self.doc.low(t) == "to");
        let far = (a - b).abs() >= 4.0 && a.min(b) <= 2.0 && a.max(b) <= 20.0;
        far && to && self.doc.low(span.1) == "of" && matches!(q.unit, Unit::Bare | Unit::Reps)
    }

    /// `6 x 400 m w/ 200 m jog`: the way back between the sets, in words.
    fn walked_between(&mut self, span: Span, i: usize) -> bool {
        let next = self.elements.get(i + 1).filter(|e| matches!(self.doc.low(e.from), "jog" | "walk" | "float"));
        let far = self.cur.dose.as_ref().is_some_and(|d| matches!(d.unit, Unit::Metres | Unit::Seconds));
        let Some(end) = next.map(|e| e.to).filter(|_| far && self.sep.is_some()) else { return false };
        self.taken = matches!(self.elements[i + 1].what, What::Movement(_));
        self.cur.tail.push((span.0, end));
        self.out.words.push((span.0, end));
        true
    }

    /// `8 swings R / 8 L`: so many with the one hand, so many with the other.
    fn other_hand(&self, q: &Quantity, i: usize) -> Option<(f64, f64)> {
        let first = hand(self.doc.low(self.cur.tail.last()?.0))?;
        let second = self.elements.get(i + 1).and_then(|e| hand(self.doc.low(e.from)))?;
        match (&self.cur.dose.as_ref()?.amount, &q.amount) {
            (Amount::One(a), Amount::One(b)) if first != second => Some((*a, *b)),
            _ => None,
        }
    }

    /// `200 m run / 10 squats / 10 push-ups`: three doses and more, one of them counted, are a list and no choice.
    fn slashes_list(&self) -> bool {
        let near = &self.elements[..self.elements.len().min(40)];
        let doses = near.windows(2).filter(|w| w[0].what == What::Slash && matches!(w[1].what, What::Dose(_))).count();
        let counted = |e: &Element| matches!(&e.what, What::Dose(q) if matches!(q.unit, Unit::Bare | Unit::Reps));
        doses > 1 && near.iter().any(counted)
    }

    /// `couch stretch 60 s / child's pose 60 s`: each has its own time, so both are done; between machines one chooses, and
    /// counts may be a scaled version.
    pub(super) fn lists_with_slashes(&self, name: Span, i: usize) -> bool {
        const MACHINES: &[&str] = &["row", "rower", "bike", "ski", "run", "jog", "walk", "treadmill"];
        let behind = self.elements.get(i + 1).map(|e| &e.what);
        let own = self.cur.dose.as_ref().filter(|_| self.cur.sets.is_none() && self.cur.choices.is_empty());
        let same = |q: &Quantity| own.is_some_and(|d| d.unit == q.unit && q.unit == Unit::Seconds);
        let machine = (name.0..name.1).any(|t| MACHINES.contains(&self.doc.plain[t].as_str()));
        matches!(behind, Some(What::Dose(q)) if same(q)) && !machine
    }

    /// `in 1 min`, `for 2:00`: a window rather than a dose.
    pub(super) fn within(&self, span: Span) -> bool {
        span.0 > 0 && matches!(self.doc.low(span.0 - 1), "in" | "for" | "within" | "of")
    }

    /// Small counts on both sides of a plus are one rep made of several.
    pub(super) fn is_complex(&self, q: &Quantity) -> bool {
        let from = self.elements.first().map_or(0, |e| e.from);
        let named = (from.saturating_sub(30)..from).any(|t| matches!(self.doc.low(t), "complex" | "complexes"));
        let most = if named { 12.0 } else { 3.0 };
        let small = |q: &Quantity| matches!(q.unit, Unit::Bare | Unit::Reps) && q.amount.high() <= most;
        small(q) && self.cur.dose.as_ref().is_none_or(small)
    }

    pub(super) fn sets_of(&mut self, n: f64, q: &Quantity, span: Span, i: usize) {
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
    pub(super) fn loose(&mut self, q: Quantity, span: Span) {
        if q.unit == Unit::Seconds && self.out.facts.window.is_none() {
            self.out.facts.window = Some((q.amount, span));
        }
    }

    pub(super) fn times(&mut self, n: f64, span: Span) {
        let q = Quantity::bare(Amount::One(n));
        // `10 squats 10 push-ups x 2`: all of it
        if self.cur.max.is_some() && self.cur.is_named() && self.cur.sets.is_none() {
            // `dead hang as long as you can x 3`
            self.open(span);
            self.cur.sets = Some(n);
            return;
        }
        let heavy = matches!(self.cur.load, Some(Load::Percent { .. } | Load::Kg { .. } | Load::Lb { .. }));
        if heavy && !self.cur.is_named() && !self.cur.is_dosed() && self.out.items.is_empty() && self.out.facts.is_empty() {
            // `85% x3` behind `75% x5`
            self.cur.dose = Some(q);
            return self.open(span);
        }
        let several = self.out.items.iter().any(super::Item::is_named) && self.cur.dose.is_some();
        if several {
            self.out.facts.times = Some((n, span));
        } else if self.cur.is_named()
            && self.cur.dose.is_none()
            && self.cur.sets.is_none()
            && (Facts { sets: None, ..self.out.facts.clone() }).is_empty()
        {
            self.open(span);
            self.cur.dose = Some(q);
        } else if self.cur.movement.is_some() && self.cur.sets.is_none() && self.out.facts.is_empty() {
            self.open(span);
            (self.cur.sets, self.cur.sets_behind) = (Some(n), true);
        } else {
            self.out.facts.times = Some((n, span));
        }
    }
}
