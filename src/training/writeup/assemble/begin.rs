//! Where a part begins, and what its heading says.

use super::super::super::dose::{Amount, Load};
use super::super::clause::{Clause, Join};
use super::super::draft::Row;
use super::super::element::{Heading, Name};
use super::super::item::{Facts, Item, Span};
use super::super::marks::after_rest;
use super::super::quantity::Unit;
use super::super::token::Kind;
use super::{Assembler, starts_lines};

impl Assembler<'_, '_> {
    /// `for time; every minute stop and do 5 burpees` stays for time.
    pub(super) fn costs(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let steady = |r: &Row| r.item.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds && q.amount.low() >= 600.0);
        let timed = self.is_timed()
            || self.timed_below[i]
            // `AMRAP 16`, and right below its lines `every 4 minutes stop and do 10 burpees`
            || self.cur.first(|f| f.amrap).is_some_and(|a| a.0.is_some()) && !c.blank && c.join != Join::Then
            || self.cur.rows.len() == 1 && self.cur.rows.iter().all(steady) && c.join != Join::Line;
        let open = c.said.facts.every.is_some_and(|e| e.1.is_none() && e.2.is_none());
        open && timed && self.cur.has_rounds_lines()
    }

    /// `3 AMRAPs of 4 min, 2 min rest:` above `A)`, `B)`, `C)`: each of them runs as the line above them says.
    pub(super) fn blocks(&mut self, i: usize) {
        let c = &self.clauses[i];
        let plain = c.lead.label.is_some() && !c.said.facts.shapes();
        if !plain {
            self.shared = Vec::new();
        } else if self.cur.label.is_none() {
            let empty = self.cur.rows.is_empty() && self.cur.pending.is_empty() && self.cur.scheme.is_none();
            let shared = empty && self.cur.first(|f| f.amrap).is_some();
            self.shared = if shared { std::mem::take(&mut self.cur.facts) } else { Vec::new() };
            self.shared.iter_mut().for_each(|f| (f.rounds, f.times, f.sets) = (None, None, None));
            if shared {
                self.cur.heading = None;
            }
        }
    }

    /// A rest at clause `i` is the way from this part to the next: its own rests are told by its windows.
    pub(super) fn parts_from(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let cur = &self.cur;
        if c.lead.minute.is_some() || c.lead.number.is_some() || c.lead.bullet || self.says_between(i) {
            return false;
        }
        let Some(next) = self.clauses.get(i + 1).filter(|n| n.line > c.line || matches!(n.join, Join::Then | Join::Stop)) else {
            return false;
        };
        let f = &next.said.facts;
        let begins = next.lead.label.as_ref().is_some_and(|l| Some(l) != cur.label.as_ref())
            // `1) max pull-ups`, `rest 5 min`, `2) max push-ups`
            || super::follows(next.lead.number, cur.number)
            || f.amrap.is_some()
            || f.every.is_some()
            || f.on_off.is_some()
            || f.heading.is_some()
            || f.for_time.is_some()
            || next.join == Join::Then && next.said.items.iter().any(|it| it.max.is_some());
        if self.stands_between(i) {
            return true;
        }
        let tries = cur.rows.iter().all(|r| r.item.max.is_some() && r.item.sets.is_none());
        let windows = cur.first(|f| f.every).is_some()
            || tries && cur.first(|f| f.rounds.clone()).is_none() && cur.first(|f| f.on_off).is_none()
            || cur.first(|f| f.on_off).is_some() && (cur.rows.len() < 2 || c.blank && next.blank);
        begins && windows && !c.said.facts.each
    }

    /// `Rest 3 min` on a line of its own, between two empty ones, below rounds and above what runs by itself; a shorter one may
    /// be the rest of each round.
    fn stands_between(&self, i: usize) -> bool {
        let (c, end) = (&self.clauses[i], self.line_end(i));
        let Some(next) = self.clauses.get(end).filter(|n| n.blank && c.blank && c.join == Join::Line && end == i + 1) else {
            return false;
        };
        let (f, own) = (&next.said.facts, |it: &Item| it.sets.is_some() || it.build.is_some() || it.max.is_some());
        let begins = f.shapes() || next.lead.label.is_some() || next.said.items.iter().any(own);
        let long = c.said.facts.rest.as_ref().and_then(|r| r.0.as_ref()).is_some_and(|rest| rest.low() > 120.0);
        let rounds = self.cur.first(|f| f.rounds.clone()).is_some() && !self.in_windows();
        begins && long && rounds && self.cur.rows.iter().all(|r| r.item.sets.is_none())
    }

    /// `rest 3 minutes, then` above the line that begins the next part.
    pub(super) fn leads_over(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let next = self.clauses.get(i + 1).filter(|n| n.join == Join::Then && n.line > c.line);
        let in_sets = |r: &Row| r.item.sets.is_some() || r.item.more.iter().any(|m| m.1.is_some());
        let own = c.join == Join::Line && self.cur.first(|f| f.rest.clone()).is_none() && self.cur.rows.iter().all(in_sets);
        // `four rounds: 8 bench press, 8 rows, then rest two minutes.`
        let rounds = self.cur.first(|f| f.rounds.clone()).is_some() && !self.is_timed() && !self.in_windows();
        let own = own
            || rounds
                && c.join == Join::Then
                && !c.sentence
                && self.line == c.line
                && self.cur.first(|f| f.rest.clone()).is_none();
        let apart = (next.is_some_and(|n| n.blank) || own) && !c.blank;
        !apart
            && next.is_some_and(|n| n.said.facts.shapes())
            && matches!(c.join, Join::Line | Join::Then)
            && !self.says_between(i)
    }

    /// `after 3 minutes rest` before clause `i`: no rest of the part that begins there, nor of the one before it.
    pub(super) fn rest_before(&self, i: usize) -> Option<Span> {
        let from = i.checked_sub(1).map_or(0, |b| self.clauses[b].to);
        let said = self.clauses[i].said.from;
        (from..said).find_map(|t| after_rest(self.doc, t).map(|n| (t, t + n))).filter(|s| s.1 <= said)
    }

    /// `Rest 3 min between the two.`
    pub(super) fn between_parts(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        const PARTS: &[&str] = &[
            "between the two",
            "between both",
            "between parts",
            "between the parts",
            "between pieces",
            "between the pieces",
            "between part",
            "between tests",
        ];
        c.join != Join::Comma && self.cur.has_rounds_lines() && (c.from..c.to).any(|t| self.doc.says_any(t, PARTS).is_some())
    }

    /// It says how long to rest, and nothing else.
    pub(super) fn only_rests(&self, i: usize) -> bool {
        let said = &self.clauses[i].said;
        said.facts.rest.is_some() && said.items.is_empty() && Facts { rest: None, ..said.facts.clone() }.is_empty()
    }

    fn says_between(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        (c.from..c.to).any(|t| matches!(self.doc.low(t), "between" | "btw" | "btwn" | "betw" | "each" | "every" | "per"))
    }

    /// `4 rounds for time (cap 3 min):`, `12 min AMRAP` on a line of its own: how something else than a warm-up runs.
    fn announces(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let f = &c.said.facts;
        let timed = f.for_time.is_some() || f.cap.is_some() || self.timed_below[i];
        let clocked = f.amrap.is_some() || f.every.is_some() || f.on_off.is_some() || f.ladder.is_some();
        let rungs = |it: &Item| {
            !it.is_named() && it.dose.as_ref().is_some_and(|q| matches!(&q.amount, Amount::Scheme(list) if list.len() > 2))
        };
        let clocked = clocked || c.said.items.iter().any(rungs);
        let runs = timed || clocked || f.rounds.is_some() && self.says_what(i);
        c.join == Join::Line && !c.inside && runs && f.heading.is_none() && self.names_follow(i)
    }

    /// The part so far needs nothing more: its words say what is done in its time.
    fn says_what(&self, i: usize) -> bool {
        let heading = self.cur.at.map_or(0, |at| at.0);
        let spoken = (heading..self.clauses[i].from).filter(|t| self.doc.tokens[*t].kind == Kind::Word).any(|t| {
            matches!(
                self.doc.low(t),
                "easy"
                    | "anything"
                    | "whatever"
                    | "something"
                    | "like"
                    | "own"
                    | "gentle"
                    | "light"
                    | "usual"
                    | "pick"
                    | "choice"
                    | "want"
            )
        });
        spoken || self.cur.has_rounds_lines() && self.cur.first(|f| f.rounds.clone()).is_none()
    }

    /// `Warm-up: 5 min easy`, an empty line, and then a lift: the warm-up was all said in words.
    pub(super) fn leaves_prep(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let prep = matches!(self.cur.heading, Some(Heading::WarmUp | Heading::CoolDown | Heading::Mobility));
        let cur = &self.cur;
        let told =
            cur.first(|f| f.window.clone()).is_some() || !cur.notes.is_empty() || !cur.pending.is_empty() || !cur.rows.is_empty();
        let listed = |it: &Item| it.dose.as_ref().is_some_and(|q| matches!(q.amount, Amount::Scheme(_)));
        let heavy =
            |it: &Item| it.build.is_some() || it.sets.is_some() || listed(it) || matches!(it.load, Some(Load::Percent { .. }));
        let lift = c.said.items.iter().any(|it| it.is_named() && (heavy(it) || !it.is_dosed() && self.next_is_dose(i)));
        let below = prep && (c.join == Join::Line || c.sentence && c.join == Join::Then) && self.prep_in_words(i);
        // `10 min mobility of your choice. Deadlift, build to a heavy 5`: nobody warms up so
        let sure = |it: &Item| {
            it.is_named()
                && (it.build.is_some() || matches!(it.load, Some(Load::Percent { .. })) || it.sets.is_some_and(|n| n >= 4.0))
        };
        let beside = c.join == Join::Stop && c.sentence && cur.rows.is_empty() && cur.first(|f| f.window.clone()).is_some();
        let heavy_behind = prep && beside && c.said.items.iter().any(sure) && self.is_heavy_lift(i);
        heavy_behind
            || (c.blank || below) && prep && told && (lift || below && self.lifts_in_sets(i) || c.blank && self.announces(i))
    }

    /// Clause `i` names what is done with a weight.
    fn is_heavy_lift(&self, i: usize) -> bool {
        let heavy = |name: Name| match name {
            Name::Known(m) => self.library.all()[m].needs_weight(),
            Name::Row | Name::Squat => true,
        };
        self.clauses[i].said.items.iter().any(|it| it.movement.is_some_and(heavy))
    }

    /// `We start slow: 8 minutes of mobility, your pick`, `Warm the hips up for five minutes.`: words that need no lines below.
    fn prep_in_words(&self, i: usize) -> bool {
        if !(self.cur.rows.is_empty() && self.cur.pending.is_empty()) {
            return false;
        }
        let head = self.clauses[..i].iter().rfind(|n| n.line == self.first_line() && !n.said.facts.is_empty());
        let c = &self.clauses[i];
        let then = c.sentence && c.join == Join::Then;
        let ended = |n: &Clause| then || self.doc.tokens.get(n.to).is_some_and(|t| t.is("."));
        let sentence = head.is_some_and(|n| !n.said.words.is_empty() && ended(n));
        self.says_what(i) || sentence && self.cur.first(|f| f.window.clone()).is_some()
    }

    /// `Pull-ups after that. Five sets of five`: a name and, right behind it on the line, its sets.
    fn lifts_in_sets(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let sets = |it: &Item| it.sets.is_some() && it.dose.is_some() || it.build.is_some();
        let bare = c.said.items.iter().any(|it| it.is_named() && !it.is_dosed());
        bare && self.clauses[i + 1..].iter().take(2).filter(|n| n.line == c.line).flat_map(|n| &n.said.items).any(sets)
    }

    /// `3 rounds` inside a warm-up, or inside a part for time behind its first run: the part goes on.
    pub(super) fn opens_rounds(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let opens_line = i == 0 || self.clauses[i - 1].line != c.line || c.join == Join::Then && !c.sentence && self.is_timed();
        let only = c.said.facts.rounds.is_some() && opens_line && !c.blank;
        let first = self.cur.first(|f| f.rounds.clone()).is_none() && self.cur.scheme.is_none();
        let timed = self.is_timed() || self.timed_below[i];
        only && first && (timed || matches!(self.cur.heading, Some(Heading::WarmUp | Heading::CoolDown | Heading::Mobility)))
    }

    pub(super) fn first_line(&self) -> usize {
        self.cur.at.map_or(0, |at| self.doc.tokens[at.0].line)
    }

    /// Behind an empty line, plain lines go on with the part unless it was made of sets or time.
    pub(super) fn blank_splits(&self, i: usize) -> bool {
        let p = &self.clauses[i].said;
        let lines = starts_lines(&p.items);
        let sets = self.cur.rows.iter().all(|r| r.item.sets.is_some() || r.item.build.is_some());
        let sets = sets || self.told_on_one_line(i);
        self.new_rungs(i) || lines && self.cur.has_rounds_lines() && (sets || matches!(self.cur.heading, Some(Heading::WarmUp)))
    }

    /// `EMOM 10: 3 snatches`, an empty line, `Front squat 3-3-3`: a window and its only line on one typed line were all of it
    /// where what follows brings a dose for sets of its own.
    fn told_on_one_line(&self, i: usize) -> bool {
        let [row] = &self.cur.rows[..] else { return false };
        let windowed = self.cur.first(|f| f.every).is_some() || self.cur.first(|f| f.amrap).is_some();
        let below = self.clauses[i].said.items.iter().any(|it| {
            it.is_named() && it.dose.as_ref().is_some_and(|q| it.sets.is_some() || matches!(q.amount, Amount::Scheme(_)))
        });
        windowed && row.line == self.first_line() && below
    }

    /// Clause `i` brings sets of what is done with a weight.
    fn is_lift(&self, i: usize) -> bool {
        self.clauses[i].said.items.iter().any(|it| it.sets.is_some()) && self.is_heavy_lift(i)
    }

    /// A line with its own sets is its own part, unless it is one of a superset or of a warm-up.
    pub(super) fn splits_sets(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let paired = self.cur.notes.iter().any(|s| (s.0..s.1).any(|t| self.doc.low(t).starts_with("superset")));
        let sets = c.said.items.iter().find_map(|it| it.sets);
        let heads =
            self.cur.at.is_some_and(|at| self.says_together(at)) && !c.blank && self.cur.facts.iter().all(|f| f.rest.is_none());
        let paired = paired || heads;
        let other = self.cur.first(|f| f.rest.clone()).is_some() && self.cur.rows.iter().all(|r| r.item.sets != sets);
        if paired && !other {
            return false;
        }
        let skill = self.cur.heading == Some(Heading::Skill) && self.cur.first(|f| f.window.clone()).is_some();
        let prep = skill || matches!(self.cur.heading, Some(Heading::WarmUp | Heading::CoolDown | Heading::Mobility));
        // nobody warms up in five sets of five
        let works = |it: &Item| it.sets.is_some_and(|n| it.load.is_some() || n >= 4.0 && self.is_lift(i));
        let loaded_next = c.join == Join::Then && c.said.items.iter().any(works);
        // `W/U 8 min: ..., then 2 rounds ...` on one line, and below it `Squat 4x6`
        let told = c.join == Join::Line && self.cur.rows.iter().all(|r| r.line == self.first_line()) && self.is_lift(i);
        // a line that begins with `Afterwards`
        let later = self.comes_then(i) && self.cur.rows.iter().all(|r| r.line == self.first_line() && r.line != c.line);
        if prep && !c.blank && !loaded_next && !told && !later {
            return false;
        }
        let sets = c.said.items.iter().find_map(|it| it.sets);
        let alike = self.cur.rows.iter().all(|r| r.item.sets == sets);
        let rested = self.cur.first(|f| f.rest.clone()).is_some();
        let together = matches!(self.cur.heading, Some(Heading::Strength | Heading::Conditioning)) || c.join == Join::Comma;
        !(alike && !rested && !c.blank && c.lead.number.is_none() && (together || self.cur.label.is_some()))
            || self.cur.is_shaped()
    }
}
