//! Marks and facts on the walk over a clause.

use super::super::super::dose::{Amount, Load, Side};
use super::super::element::{Element, Heading, What};
use super::super::quantity::Unit;
use super::super::token::Kind;
use super::{Item, Span, Walk};

impl Walk<'_, '_> {
    pub(super) fn mark(&mut self, what: &What, span: Span, i: usize) {
        let facts_first = matches!(
            what,
            What::Amrap(_)
                | What::Every { .. }
                | What::OnOff(..)
                | What::Windows(..)
                | What::Work(_)
                | What::Off(_)
                | What::ForTime
                | What::NotForTime
                | What::Ladder
                | What::Growing
                | What::Step(_)
                | What::Intervals
                | What::Rest(..)
                | What::Cap(..)
                | What::Stations(_)
                | What::Role(_)
                | What::EachRound
                | What::Heading(_)
                | What::Stretch(_)
        );
        if facts_first {
            let turns = self.cur.side == Some(Side::Alternating) && !self.cur.is_named() && !self.cur.is_dosed();
            if turns && matches!(what, What::Every { .. } | What::OnOff(..) | What::Work(_)) {
                self.out.facts.turns = true;
                self.cur = Item::default();
            }
            let rests = matches!(what, What::Off(_) | What::Rest(Some(_), _)) && self.sep == Some(What::Slash);
            if rests && self.work_by_name(what, span) {
                return;
            }
            let counted = matches!(what, What::Amrap(_)) && self.doc.low(span.0) == "amraps" && !self.cur.is_named();
            if let Some(Amount::One(n)) = self.cur.dose.take_if(|q| counted && q.unit == Unit::Bare).map(|q| q.amount) {
                // `3 AMRAPs of 4 min`
                self.out.facts.times = Some((n, (self.cur.from, span.1)));
                self.cur = Item::default();
            }
            self.flush_named();
            return self.fact(what, span);
        }
        if let What::Times(n) = what {
            let dosed = !self.cur.is_named() && self.cur.dose.is_some() && self.cur.sets.is_none() && self.out.facts.is_empty();
            if dosed && self.named_next(i) {
                // `8 reps per side x 3 single-arm row`
                self.cur.sets = Some(*n);
                return self.open(span);
            }
            return self.times(*n, span);
        }
        let at = self.elements.partition_point(|e| e.from < span.0);
        if matches!(what, What::Max(_))
            && self.cur.dose.is_some()
            && self.cur.is_named()
            && self.sep.is_some()
            && self.named_next(at)
        {
            // `6 burpees + max swings`
            self.flush();
        }
        self.open(span);
        match what {
            What::Max(unit) => self.cur.max = Some(*unit),
            // `3x8 + 1 set AMRAP`: the last set, in words
            What::SetsOfMax(_) if self.cur.sets.is_some() => {}
            What::SetsOfMax(n) => (self.cur.sets, self.cur.max) = (Some(*n), Some(None)),
            What::Build(n) => {
                // `20 min to work up to a heavy single`
                if let Some(q) = self.cur.dose.take_if(|q| q.unit == Unit::Seconds && q.amount.low() >= 180.0) {
                    self.loose(q, span);
                }
                self.cur.build = Some(*n);
            }
            What::Load(effort @ (Load::Rir(_) | Load::Rpe(_)), _) if matches!(self.cur.load, Some(Load::Percent { .. })) => {
                // `@ 75 %, leave 2 in the tank`: the percent is the load, and the rest a word about it
                self.load(effort, None);
                self.cur.tail.push(span);
            }
            What::Load(load @ Load::Percent { .. }, _) if matches!(self.cur.load, Some(Load::Rir(_) | Load::Rpe(_))) => {
                // `leave 1 in the tank @ 80 %`
                self.cur.load = Some(load.clone());
                self.cur.tail.extend(self.effort_at());
            }
            What::Load(load, implements) => self.load(load, *implements),
            What::BareLoad(n) => (self.cur.bare_load, self.cur.bare_at) = (Some(*n), Some(span)),
            What::Implements(n) => self.cur.implements = Some(*n),
            What::Same => self.cur.same = true,
            What::UnitWord(unit) => self.cur.unit = Some(*unit),
            // `squats / push-ups, alternating`: the two take turns
            What::Side(Side::Alternating) if self.cur.slashed && self.out.facts.on_off.is_some() => self.out.facts.turns = true,
            // `on the minute, alternate 10 squats and 8 push-ups`
            What::Side(Side::Alternating) if self.several_take_turns(span) => self.out.facts.turns = true,
            // `alternate between plank and squats`
            What::Side(Side::Alternating) if self.doc.low(span.1) == "between" => self.out.facts.turns = true,
            // `3 blocks, 4 min AMRAP each`
            // `30/30 x 8 each:`
            What::Side(Side::PerSide)
                if (self.out.facts.amrap.is_some() || self.out.facts.on_off.is_some()) && self.cur.is_empty() =>
            {
                self.out.facts.each = true;
            }
            // `four sets of each`
            What::Side(Side::PerSide) if span.0 > 0 && self.doc.low(span.0 - 1) == "of" && !self.cur.is_named() => {
                self.out.facts.each = true;
            }
            // `8 rounds each`
            What::Side(Side::PerSide)
                if span.0 > 0
                    && matches!(
                        self.doc.low(span.0 - 1),
                        "rounds"
                            | "rds"
                            | "sets"
                            | "times"
                            | "try"
                            | "tries"
                            | "go"
                            | "attempt"
                            | "attempts"
                            | "set"
                            | "round"
                            | "x"
                    ) =>
            {
                self.out.facts.each = true;
            }
            What::Side(side) => self.side(*side, span),
            What::Split(a, b) => self.cur.split = Some((*a, *b)),
            What::Tempo(code) => self.cur.tempo = Some(code.clone()),
            What::Pause(s) => self.cur.pause = Some(*s),
            What::Down(s) => self.cur.down = Some(*s),
            _ => {}
        }
    }

    /// Before two or more movements under a clock, with a dose between: they take turns.
    fn several_take_turns(&self, span: Span) -> bool {
        let at = self.elements.partition_point(|e| e.from < span.1);
        let behind = self.elements[at..].iter().take(12);
        let dosed = self.elements.get(at).is_some_and(|e| matches!(e.what, What::Dose(_)));
        let names = behind.filter(|e| matches!(e.what, What::Movement(_))).count();
        let clocked = self.out.facts.every.is_some();
        (clocked && dosed || self.out.facts.on_off.is_some()) && names > 1 && !self.cur.is_named() && !self.cur.is_dosed()
    }

    /// What the number counts, where no word told it before.
    fn side(&mut self, side: Side, span: Span) {
        if side != Side::Alternating || !self.sets_with_sets(span) {
            self.cur.side = self.cur.side.or(Some(side));
        }
    }

    /// `alternate 4 sets of 6 floor press with 4 sets of 10 rows`: they are a superset, and no side is told.
    fn sets_with_sets(&self, span: Span) -> bool {
        let at = self.elements.partition_point(|e| e.from < span.1);
        let sets = |e: &&Element| matches!(e.what, What::SetsOf(..));
        let first = self.elements.get(at).filter(sets).is_some();
        let mut behind = self.elements[at..].iter().skip_while(|e| self.doc.low(e.from) != "with");
        first && behind.any(|e| sets(&e))
    }

    /// `45 s max cal bike / 75 s off`, `1 min max reps / 1 min rest`: the time before the name is the work.
    fn work_by_name(&mut self, what: &What, span: Span) -> bool {
        let works = self.cur.is_named() || self.cur.max.is_some();
        if !works || !self.out.items.is_empty() || self.cur.sets.is_some() || self.out.facts.on_off.is_some() {
            return false;
        }
        let off = match what {
            What::Off(s) => Some(*s),
            What::Rest(Some(Amount::One(s)), _) => Some(*s),
            // `30 sec jumping jacks / 15 sec pause`
            What::Pause(s) if self.sep == Some(What::Slash) && *s >= 5.0 => Some(*s),
            _ => None,
        };
        let work = self.cur.dose.take_if(|q| q.unit == Unit::Seconds && matches!(q.amount, Amount::One(_)));
        let (Some(q), Some(off)) = (work, off) else { return false };
        self.out.facts.on_off = Some((Some(q.amount.high()), Some(off), span));
        true
    }

    /// Where the effort of this line was told.
    fn effort_at(&self) -> Option<Span> {
        let effort = |e: &&Element| matches!(e.what, What::Load(Load::Rir(_) | Load::Rpe(_), _)) && e.from >= self.cur.from;
        self.elements.iter().find(effort).map(|e| (e.from, e.to))
    }

    pub(super) fn load(&mut self, load: &Load, implements: Option<u8>) {
        if let Some(last) = self.cur.more.last_mut() {
            last.1 = Some(load.clone());
        } else if self.cur.load.is_none() {
            self.cur.load = Some(load.clone());
        }
        self.cur.implements = self.cur.implements.or(implements);
    }

    pub(super) fn fact(&mut self, what: &What, span: Span) {
        let f = &mut self.out.facts;
        match what {
            What::Amrap(window) => f.amrap = Some((*window, span)),
            What::Every { every, total, count } => f.every = Some((*every, *total, *count, span)),
            What::Windows(on, off, n) => {
                f.on_off = Some((Some(*on), Some(*off), span));
                // `8 x 20/10` counts its windows; a word alone says how many each line has
                if self.doc.tokens[span.0].kind == Kind::Word { f.windows = Some(*n) } else { f.times = Some((*n, span)) }
            }
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
            What::Growing => (f.every, f.step) = (f.every.or(Some((60.0, None, None, span))), f.step.or(Some(1.0))),
            What::Intervals => f.intervals = true,
            What::Rest(amount, bare) => f.rest = Some((amount.clone(), *bare, span)),
            What::Cap(seconds, each) => f.cap = Some((*seconds, *each, span)),
            What::Stations(n) => f.stations = Some((*n, span)),
            What::Role(role) => f.role = Some((*role, span)),
            What::EachRound => f.each = true,
            What::Stretch(length) => {
                f.heading = f.heading.or(Some((Heading::Plain, span)));
                f.window = f.window.take().or(Some((Amount::One(*length), span)));
            }
            // a word of its own kind says more than `main` or a stretch of the clock
            What::Heading(h) if f.heading.is_none_or(|known| known.0 == Heading::Plain) => f.heading = Some((*h, span)),
            _ => {}
        }
    }

    pub(super) fn flush_named(&mut self) {
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
}
