//! The walk over a clause: words, names, and what stands between them.

use super::super::super::dose::Amount;
use super::super::element::{Element, Heading, Name, What};
use super::super::quantity::Unit;
use super::super::token::Kind;
use super::super::words::{is_filler, is_manner, is_talk, makes_another, reshapes};
use super::{Facts, Span, Walk};

impl Walk<'_, '_> {
    pub(super) fn step(&mut self, i: usize) {
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
                if first && self.out.words.is_empty() {
                    self.out.prefix = Some(What::Or);
                }
                self.sep = Some(What::Or);
                return;
            }
            What::Open | What::Close => return,
            What::Plus if self.plus_set(i) => {
                self.cur.tail.push((span.0 - 1, span.1));
                return;
            }
            What::Plus | What::Slash | What::Dash | What::Colon | What::Comma => {
                if e.what == What::Colon && self.cur.load.is_some() && !self.cur.is_named() && !self.cur.is_dosed() {
                    // `3 rounds, 20/15 kg: 5 deadlifts, 5 cleans`: the load of all that follows
                    self.flush();
                }
                if self.sep != Some(What::Or) {
                    self.sep = Some(e.what.clone());
                }
                return;
            }
            // `first a proper warm up`
            What::Heading(h) if self.only_plain_heading(*h) => self.out.facts.heading = Some((*h, span)),
            // `30 s wrist stretch` in a list is one of its lines
            What::Heading(Heading::Mobility)
                if !self.gap.is_empty() && self.cur.dose.as_ref().is_some_and(|q| q.amount.high() < 120.0) =>
            {
                return self.word(span, false);
            }
            What::Heading(_)
                if self.cur.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds)
                    && self.cur.sets.is_none()
                    && !self.cur.is_named() =>
            {
                self.mark(&e.what, span, i)
            }
            What::Heading(_) if !(first && self.out.words.len() < 3) && self.cur.dose.is_some() && !self.cur.is_named() => {
                // `12 lantern lifts`, `10 core twisters`
                let noun = self.word_next(i) && self.elements.get(i + 1).is_some_and(|n| n.from == span.1);
                let manner = self.gap.iter().all(|g| is_manner(self.doc.low(g.0)));
                if noun || !manner {
                    self.word(span, false);
                }
                return;
            }
            What::Heading(_) if !(first && self.out.words.len() < 3) => return self.word(span, false),
            What::Movement(name) => self.name(*name, span, i),
            // one and a half: a way to do each rep
            What::Dose(q) if q.unit == Unit::Reps && q.amount == Amount::One(1.5) => return self.word(span, false),
            What::Dose(q) => self.dose(q, span, i),
            What::SetsOf(n, q) => self.sets_of(*n, q, span, i),
            _ => self.mark(&e.what, span, i),
        }
        self.sep = None;
        self.gap.clear();
    }

    /// `5-5-5+`, `3x3+ @ 85 %`: at least so many in the last set; the sign is kept in words beside the number.
    fn plus_set(&self, i: usize) -> bool {
        let at = self.elements[i].from;
        let glued = at > 0 && !self.doc.tokens[at].spaced && self.doc.tokens[at - 1].kind == Kind::Number;
        let ends = self.doc.tokens.get(at + 1).is_none_or(|t| {
            t.kind == Kind::Newline
                || matches!(t.text, "," | "." | ";" | ")" | "@" | "-")
                || matches!(self.doc.low(at + 1), "at" | "reps")
        });
        glued && ends && self.cur.dose.is_some()
    }

    /// So far only `first` or `main` was said, and this heading tells more.
    fn only_plain_heading(&self, more: Heading) -> bool {
        let plain = matches!(self.out.facts.heading, Some((Heading::Plain, _)));
        let only = Facts { heading: None, window: None, ..self.out.facts.clone() }.is_empty() && self.out.items.is_empty();
        plain && only && more != Heading::Plain && !self.cur.is_named() && self.out.words.len() < 4
    }

    pub(super) fn word(&mut self, span: Span, link: bool) {
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
        if self.cur.is_named() && self.cur.unknown.is_none_or(|u| span.1 > u.1) {
            self.cur.tail.push(span);
        }
    }

    /// A movement follows at `i`, with nothing but its manner between.
    pub(super) fn named_next(&self, i: usize) -> bool {
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
    pub(super) fn word_next(&self, i: usize) -> bool {
        self.elements
            .get(i + 1)
            .is_some_and(|e| matches!(e.what, What::Word) && !is_talk(self.doc.low(e.from)) && !is_manner(self.doc.low(e.from)))
    }

    pub(super) fn open(&mut self, span: Span) {
        if self.cur.is_empty() {
            self.cur.from = span.0;
        }
        self.cur.to = self.cur.to.max(span.1);
    }

    /// A name: what is done, or only when one rests.
    fn name(&mut self, name: Name, span: Span, i: usize) {
        if self.rests_behind_it(span, i) { self.word(span, false) } else { self.movement(name, span, i) }
    }

    fn movement(&mut self, name: Name, span: Span, i: usize) {
        if std::mem::take(&mut self.taken) {
            self.cur.to = span.1;
            return;
        }
        let pieces = || self.elements[i + 1..].iter().any(|e| matches!(e.what, What::Movement(_)));
        let complex = matches!(self.doc.low(span.1), "complex" | "complexes");
        if complex
            && (pieces() || !matches!(self.elements.get(i + 2).map(|e| &e.what), Some(What::Colon)))
            && !self.cur.is_named()
            && self.cur.dose.is_none()
        {
            // `Clean complex: 1 clean + 1 jerk`: the name of what follows
            return self.word(span, false);
        }
        if self.cur.is_named() {
            let touching = self.gap.is_empty() && self.sep.is_none() && self.elements[i - 1].to == span.0;
            let before_is_name = matches!(self.elements[i - 1].what, What::Movement(_));
            match self.sep {
                // `row 1500 m + run 1200 m`: two lines
                Some(What::Plus)
                    if self
                        .cur
                        .dose
                        .as_ref()
                        .is_some_and(|q| matches!(q.unit, Unit::Metres | Unit::Calories | Unit::Seconds)) =>
                {
                    self.flush()
                }
                Some(What::Plus) => return self.cur.complex.push((name, None)),
                Some(What::Slash) if self.lists_with_slashes(span, i) => self.flush(),
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
        // `30 minutes on the bike` is done there
        let about = self.gap.first().is_some_and(|g| match self.doc.low(g.0) {
            "to" => true,
            "on" => {
                self.gap.len() != 2 || self.sep.is_some() || !matches!(self.doc.low(self.gap[1].0), "the" | "a" | "your" | "any")
            }
            _ => false,
        });
        if let Some(q) = self.cur.dose.take_if(|q| about && q.unit == Unit::Seconds && q.amount.low() >= 180.0) {
            // `10 min to get better at pistols`
            self.loose(q, (self.cur.from, self.cur.to));
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
        } else if self.is_another(i) {
            self.cur.unknown = Some((self.gap[self.gap.len() - 1].0, span.1));
        } else {
            self.cur.movement = Some(name);
        }
        if self.cur.unknown.is_some() {
            self.cur.from = self.cur.from.min(self.cur.unknown.map_or(span.0, |u| u.0));
        }
        let set = self.doc.low(span.1) == "drop" && self.doc.low(span.1 + 1).starts_with("set");
        let next = self.elements.get(i + 1).filter(|_| !set);
        let dosed_behind = self.elements.get(i + 2).is_some_and(|e| matches!(e.what, What::SetsOf(..) | What::Times(_)));
        if let Some(n) = next.filter(|n| (self.cur.dose.is_some() || dosed_behind) && self.makes_another(span, n)) {
            self.cur.unknown = Some((self.cur.unknown.map_or(span.0, |u| u.0), n.to));
            self.cur.movement = None;
            self.cur.to = n.to;
            return;
        }
        if let Some(n) =
            next.filter(|n| !complex && matches!(n.what, What::Word | What::Heading(_)) && reshapes(&self.doc.plain[n.from]))
        {
            let mut to = n.to;
            if matches!(self.doc.low(n.from), "over" | "through") {
                // `burpees over the bar`
                let filler = usize::from(self.elements.get(i + 2).is_some_and(|f| is_filler(self.doc.low(f.from))));
                let noun = self.elements.get(i + 2 + filler).filter(|w| {
                    matches!(w.what, What::Movement(_)) || matches!(w.what, What::Word) && !is_talk(self.doc.low(w.from))
                });
                self.taken = noun.is_some_and(|w| matches!(w.what, What::Movement(_)));
                to = noun.map_or(to, |w| w.to);
            }
            self.cur.unknown = Some((self.cur.unknown.map_or(span.0, |u| u.0), to));
            self.cur.movement = None;
        }
    }

    /// `rest 60 s after the pull-aparts`: the name only says when one rests.
    fn rests_behind_it(&self, span: Span, i: usize) -> bool {
        let small = |t: &usize| matches!(self.doc.low(*t), "the" | "each" | "every" | "all" | "your" | "those" | "these");
        let rest = i.checked_sub(1).map(|k| &self.elements[k]).filter(|e| matches!(e.what, What::Rest(Some(_), _)));
        let says = rest.is_some_and(|e| {
            let word = (e.from..span.0).rev().find(|t| !small(t));
            e.to == span.0 && word.is_some_and(|t| matches!(self.doc.low(t), "after" | "before" | "between"))
        });
        says && !self.cur.is_named() && self.cur.dose.is_none()
    }

    /// `6 pigeon rockets`: a name in the singular with a strange noun in the plural behind it is the name of something else.
    fn makes_another(&self, span: Span, next: &Element) -> bool {
        let word = self.doc.low(next.from);
        let plural = matches!(word, "outs" | "ins" | "downs")
            || word.len() > 4 && word.ends_with('s') && !word.ends_with("ss") && !word.ends_with("us") && !word.contains('\'');
        let last = self.doc.low(span.1 - 1);
        let singular = !last.ends_with('s') && last.chars().all(char::is_alphabetic);
        matches!(next.what, What::Word)
            && next.from == span.1
            && self.doc.tokens[next.from].kind == Kind::Word
            && singular
            && plural
            && !(is_manner(word) || is_talk(word) || is_filler(word) || leaves_the_name(word))
    }

    /// One strange word opens the line, touches the name and a dose follows: `Copenhagen plank 3x20 s` is not a plank.
    fn is_another(&self, i: usize) -> bool {
        let [ref before @ .., strange] = self.gap[..] else { return false };
        // `finish with some Jefferson curls 3x10`
        let leads = |s: &Span| is_talk(self.doc.low(s.0)) || is_filler(self.doc.low(s.0)) || leads_in(self.doc.low(s.0));
        let opens = self.elements.first().is_some_and(|e| e.from == self.gap[0].0) && before.iter().all(leads);
        // `Then some grip: plate pinches 3 x 30 s`
        let behind_colon = i.checked_sub(2).is_some_and(|k| self.elements[k].what == What::Colon);
        let first = (opens || behind_colon) && self.out.items.is_empty() && !leads(&strange);
        let touches = strange.1 == self.elements[i].from && self.sep.is_none();
        let sign = usize::from(self.elements.get(i + 1).is_some_and(|e| matches!(e.what, What::Colon | What::Dash)));
        let dosed = self.elements.get(i + 1 + sign).is_some_and(|e| matches!(e.what, What::SetsOf(..)));
        first && touches && dosed && makes_another(self.doc.low(strange.0))
    }
}

/// Words that lead to the first line of a part and name nothing.
fn leads_in(word: &str) -> bool {
    matches!(
        word,
        "with" | "some" | "finish" | "then" | "end" | "start" | "do" | "few" | "sets" | "now" | "on" | "last" | "finally"
    )
}

/// A noun in the plural behind a name that leaves it the same movement: how it is portioned, with what, or which limb.
fn leaves_the_name(word: &str) -> bool {
    matches!(
        word,
        "sprints"
            | "intervals"
            | "repeats"
            | "efforts"
            | "bursts"
            | "strides"
            | "laps"
            | "lengths"
            | "stairs"
            | "hills"
            | "holds"
            | "singles"
            | "doubles"
            | "triples"
            | "clusters"
            | "pauses"
            | "waves"
            | "complexes"
            | "combos"
            | "variations"
            | "ladders"
            | "attempts"
            | "minutes"
            | "seconds"
            | "metres"
            | "meters"
            | "calories"
            | "rounds"
            | "times"
            | "pairs"
            | "heels"
            | "hands"
            | "knees"
            | "elbows"
            | "palms"
            | "hips"
            | "shoulders"
            | "ankles"
            | "wrists"
            | "thumbs"
            | "dumbbells"
            | "kettlebells"
            | "bells"
            | "weights"
            | "plates"
            | "rings"
            | "bands"
            | "blocks"
            | "boxes"
            | "steps"
            | "folks"
            | "friends"
            | "always"
            | "sometimes"
            | "perhaps"
            | "afterwards"
            | "towards"
            | "across"
            | "works"
            | "counts"
            | "feels"
            | "means"
            | "breaths"
            | "options"
            | "style"
            | "negatives"
            | "eccentrics"
            | "isometrics"
            | "tempos"
            | "starts"
            | "finishes"
            | "stops"
            | "begins"
            | "comes"
            | "goes"
            | "stays"
            | "keeps"
    )
}
