//! What stands around a clause: whether it goes on with the part before it, or leaves it.

use super::super::super::dose::Amount;
use super::super::super::movement::Pattern;
use super::super::clause::{Clause, Join};
use super::super::draft::Row;
use super::super::element::{Heading, Name};
use super::super::item::Item;
use super::super::quantity::{Quantity, Unit};
use super::rows::descends;
use super::situation::Situation;
use super::{Assembler, starts_lines};

impl Assembler<'_, '_> {
    /// `30 squats, 15 wall balls - as many rounds as possible in 8 minutes`: how it runs stands behind its lines.
    pub(super) fn told_after(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let named = |c: &Clause| c.said.items.iter().any(Item::is_named);
        // `20 min. 5 pull-ups, 10 push-ups. As many rounds as you can.`
        let lasts = self.cur.first(|f| f.window.clone()).is_some() && !self.cur.is_shaped();
        let stop = c.join == Join::Stop && c.said.items.is_empty() && c.said.facts.amrap.is_some_and(|a| a.0.is_some() || lasts);
        let end = if stop { self.sentence_end(i) } else { self.line_end(i) };
        let last = self.clauses[i + 1..end].iter().all(|n| !named(n) && !n.said.facts.shapes());
        let window = c.said.facts.amrap.map(|a| a.1).or(c.said.facts.every.map(|e| e.3));
        let behind = window.is_some_and(|w| c.said.items.iter().all(|it| it.to <= w.0));
        let own = c.said.facts.every.is_some_and(|e| e.1.is_none() && e.2.is_none()) && c.said.items.is_empty();
        let times = self.cur.first(|f| f.times).is_some();
        let sets = self.cur.rows.last().is_some_and(|r| r.line == c.line && (r.item.sets.is_some() || times));
        if own && sets && c.join == Join::Comma && !self.cur.is_shaped() {
            // `3x3 @ 80 %, every 90 s`
            return true;
        }
        let rounds_only = self.cur.first(|f| f.rounds.clone()).is_some() && !self.in_windows() && !self.is_timed();
        if own && rounds_only && self.first_line() == c.line && matches!(c.join, Join::Comma | Join::Bracket) {
            // `5 x (10 swings + 100 m run), every 90 s`
            return true;
        }
        let open = !self.cur.is_shaped() && self.cur.rows.iter().all(|r| r.line == c.line && r.item.sets.is_none());
        behind
            && last
            && open
            && (stop || matches!(c.join, Join::Comma | Join::Bracket))
            && !self.lines_follow(self.line_end(i) - 1)
    }

    /// `skater steps`, `bear hold`, an empty line, `40 s on / 20 s off, 3 rounds`: the lines above have no dose and no clock yet,
    /// and none comes below.
    pub(super) fn clock_told_below(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let windows = c.said.facts.on_off.is_some_and(|o| o.0.is_some() && o.1.is_some()) && c.said.items.is_empty();
        let waiting = |r: &Row| !r.item.is_dosed() && r.item.complex.is_empty() && r.item.is_named();
        let open = self.cur.rows.len() + self.cur.pending.len() > 1 && self.cur.rows.iter().chain(&self.cur.pending).all(waiting);
        let free = !self.cur.is_shaped() && self.cur.scheme.is_none() && !self.in_prep();
        windows && open && free && c.join == Join::Line && !self.names_follow(i)
    }

    /// `then 8 min amrap of ..., and a 2 min child's pose to land`: what comes when it is over.
    pub(super) fn long_hold_behind(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let items = &c.said.items;
        let long = |it: &Item| it.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds && q.amount.low() >= 60.0);
        let held = !items.is_empty() && items.iter().all(|it| long(it) && it.movement.is_some() && it.max.is_none());
        if !held || self.sentence_end(i) != i + 1 {
            return false;
        }
        let and = self.doc.says_any(c.from, &["and a", "plus a", "and then", "and finally", "and to finish"]).is_some();
        let windows = self.cur.first(|f| f.amrap).is_some() || self.cur.first(|f| f.for_time).is_some();
        // `12 min amrap ..., then 2 min child's pose`
        let stretches = items.iter().all(|it| self.stretches(it));
        let ended = self.cur.is_shaped() || self.cur.rows.iter().all(|r| r.item.sets.is_some());
        let then = c.join == Join::Then && stretches && ended && !self.cur.rows.iter().any(|r| self.stretches(&r.item));
        // `AMRAP 14` of counted lines, and on a line below `child's pose 2 min`
        let counted = |it: &Item| it.dose.as_ref().is_some_and(|q| q.unit != Unit::Seconds);
        let below = c.join == Join::Line && windows && stretches && self.cur.rows.iter().all(|r| counted(&r.item));
        windows && and && c.join == Join::Comma && items.len() == 1 || then || below && items.len() == 1
    }

    /// `some easy cat-cow and down dog` where no line so far is a stretch.
    pub(super) fn only_stretches(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let bare = |it: &Item| self.stretches(it) && !it.is_dosed() && it.load.is_none();
        let apart = c.sentence || c.join == Join::Line || i > 0 && self.clauses[i - 1].line != c.line;
        let other = !self.cur.rows.iter().any(|r| self.stretches(&r.item)) && self.cur.has_rounds_lines();
        apart && other && !c.said.items.is_empty() && c.said.items.iter().all(bare)
    }

    /// `finish with couch stretch 45 s per side and box breathing 60 s`: stretches that are held, where no line so far is one.
    pub(super) fn stretches_alone(&self, i: usize) -> bool {
        let items = &self.clauses[i].said.items;
        let held = |it: &Item| self.stretches(it) && it.dose.as_ref().is_none_or(|q| q.unit == Unit::Seconds);
        let other = !self.cur.rows.iter().any(|r| self.stretches(&r.item)) && self.cur.has_rounds_lines();
        other && !items.is_empty() && items.iter().all(held)
    }

    /// Three minutes and more on a machine, on the road or of a stretch.
    pub(super) fn steady(&self, item: &Item) -> bool {
        let long = item.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds && q.amount.low() >= 180.0);
        let way = match item.movement {
            Some(Name::Known(m)) => matches!(self.library.all()[m].pattern, Pattern::Cyclical | Pattern::Mobility),
            Some(Name::Row) => true,
            _ => false,
        };
        long && way && item.sets.is_none()
    }

    /// It is a stretch or the like.
    pub(super) fn stretches(&self, item: &Item) -> bool {
        matches!(item.movement, Some(Name::Known(m)) if self.library.all()[m].pattern == Pattern::Mobility)
    }

    /// `..., alternate, 8 rounds` at the end of the line that holds the part: it speaks of that part.
    pub(super) fn ends_its_line(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let named = |c: &Clause| c.said.items.iter().any(Item::is_named);
        let more = || self.clauses[i..self.sentence_end(i)].iter().any(named);
        c.join == Join::Comma && self.line == c.line && c.said.facts.rounds.is_some() && (self.rounds_behind(i) || !more())
    }

    /// `..., 6 front squats, 6 push press x 5 rounds`: they stand behind the last of several names, and are those of all.
    fn rounds_behind(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let plain = |it: &Item| it.is_named() && it.is_dosed() && it.sets.is_none();
        let at = c.said.facts.rounds.as_ref().map(|r| r.1).or(c.said.facts.times.map(|t| t.1));
        let behind = at.is_some_and(|at| c.said.items.iter().all(|it| it.from < at.1 && it.to <= at.1 && plain(it)));
        let last = !self.clauses[i + 1..self.sentence_end(i)].iter().any(|n| n.said.items.iter().any(Item::is_named));
        let own = |n: &&Clause| n.line == c.line && n.join != Join::Colon;
        let before = self.clauses[..i].iter().rev().take(20).take_while(own);
        behind && last && !c.said.items.is_empty() && before.flat_map(|n| &n.said.items).all(plain)
    }

    /// The typed line that begins at clause `i` ends with the rounds of all of it.
    pub(super) fn told_behind(&self, i: usize) -> bool {
        let near = (i + 1..self.line_end(i)).take(20);
        near.take_while(|&k| self.clauses[k].join == Join::Comma).any(|k| self.rounds_behind(k))
    }

    /// `2 km easy, 6 x 400 m, 1 km easy`: the next stretch of the same way, where one of the two is in sets.
    pub(super) fn runs_on(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let ([only], [row]) = (&c.said.items[..], &self.cur.rows[..]) else { return false };
        let far = |it: &Item| it.dose.as_ref().is_some_and(|q| q.unit == Unit::Metres) && it.load.is_none();
        let in_sets = only.sets.is_some() != row.item.sets.is_some();
        c.join == Join::Comma && row.line == c.line && !only.is_named() && far(only) && far(&row.item) && in_sets
    }

    /// `max calories with the time left` belongs to the window that it is left of.
    pub(super) fn says_left(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        (c.from..c.to).any(|t| matches!(self.doc.low(t), "left" | "remaining" | "remainder" | "remains"))
    }

    /// `2 min dead hang in total`, `accumulate 3 min plank`: done once, in as many pieces as it takes.
    pub(super) fn says_in_all(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let held = |it: &Item| it.dose.as_ref().is_some_and(|q| q.unit != Unit::Bare && q.unit != Unit::Calories);
        let word = |t| matches!(self.doc.low(t), "total" | "accumulate" | "accumulated" | "accumulating" | "collect");
        c.said.items.iter().any(held) && (c.from..c.to).any(word)
    }

    /// `then` stands before clause `i`, perhaps with words on when between: `then, once you are ready, 3 min dead hang`.
    pub(super) fn comes_then(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let before = || self.clauses[..i].iter().rev().take_while(|n| n.line == c.line);
        let words = |n: &&Clause| n.said.items.is_empty() && n.said.facts.is_empty();
        let then = || before().take_while(words).find(|n| n.join != Join::Comma).is_some_and(|n| n.join == Join::Then);
        let announced = || c.join == Join::Stop && !c.inside && self.announces_more(i);
        c.join == Join::Then || matches!(c.join, Join::Comma | Join::Colon) && !c.inside && then() || announced()
    }

    /// `5 x (10 swings + 100 m run)`: behind the number brackets hold what is done so often.
    pub(super) fn brackets_follow(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let only = c.said.items.is_empty() && c.said.words.is_empty();
        only && self.clauses.get(i + 1).is_some_and(|n| n.inside && n.line == c.line && starts_lines(&n.said.items))
    }

    /// The next clause is a dose without a name.
    pub(super) fn next_is_dose(&self, i: usize) -> bool {
        self.clauses[i + 1..].iter().find(|c| !c.inside).is_some_and(|c| {
            c.said.items.first().is_some_and(|it| !it.is_named() && it.is_dosed())
                || c.said.facts.every.is_some()
                || c.said.facts.sets.is_some()
        })
    }

    /// `then strict press, 5 sets of 5`
    pub(super) fn name_before_sets(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let bare = matches!(&c.said.items[..], [only] if only.is_named() && !only.is_dosed());
        // `then it's squat day (hurray!), five sets of five`
        bare && self.clauses[i + 1..].iter().find(|n| !n.inside).is_some_and(|n| {
            let sets = |it: &Item| !it.is_named() && (it.sets.is_some() || it.build.is_some());
            // `then wall sit, one set, as long as you can`
            let max = |it: &Item| !it.is_named() && it.max.is_some();
            let own = (n.said.facts.sets.is_some() || n.said.facts.every.is_some()) && n.said.items.is_empty()
                || n.said.items.first().is_some_and(max) && self.cur.rows.iter().all(|r| r.item.max.is_none());
            // `Then bench. Work up to a heavy five`, `then walk it out, 5 min`
            let sentence = n.join == Join::Stop && n.said.items.first().is_some_and(|it| sets(it) && it.from == n.said.from);
            let long = |it: &Item| {
                !it.is_named() && it.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds && q.amount.low() >= 180.0)
            };
            // `Plank to finish, 1 min`
            let timed = |it: &Item| !it.is_named() && it.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds);
            let ends = (c.from..c.to).any(|t| self.doc.says_any(t, &["to finish", "to end", "to close"]).is_some());
            let lasts = self.cur.is_shaped() && n.said.items.first().is_some_and(|it| long(it) || ends && timed(it));
            let comma = n.join == Join::Comma && (own || lasts || n.said.items.first().is_some_and(sets));
            n.line == c.line && (comma || sentence)
        })
    }

    /// `Easy bike 10 min` under lines with their own sets: a piece of its own.
    pub(super) fn leaves_sets(&self, i: usize) -> bool {
        let p = &self.clauses[i].said;
        let own = self.cur.rows.iter().all(|r| r.item.sets.is_some()) && self.cur.pending.is_empty() && !self.cur.is_shaped();
        let prep = matches!(self.cur.heading, Some(Heading::WarmUp | Heading::CoolDown | Heading::Mobility | Heading::Skill));
        let steady = |it: &Item| it.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds && q.amount.low() >= 180.0);
        own && !prep && self.cur.scheme.is_none() && !p.items.is_empty() && p.items.iter().all(|it| it.is_named() && steady(it))
    }

    /// The next clause on this line is the dose of the name in this one.
    pub(super) fn dose_beside(&self, i: usize) -> bool {
        let line = self.clauses[i].line;
        self.clauses.get(i + 1).is_some_and(|n| {
            n.join == Join::Comma && n.line == line && n.said.items.first().is_some_and(|it| !it.is_named() && it.is_dosed())
        })
    }

    /// `push-ups, 10` below `squats, 8`: a name and one plain dose behind its comma, as the lines above it have; sets or a build
    /// would head a part of their own.
    pub(super) fn is_line_by_comma(&self, s: &Situation) -> bool {
        let plain = |it: &Item| it.sets.is_none() && it.build.is_none() && it.dose.as_ref().is_some_and(is_plain);
        let beside = self.clauses.get(s.i + 1).and_then(|n| n.said.items.first()).is_some_and(plain);
        let above = s.cur.rows.iter().all(|r| plain(&r.item));
        self.dose_beside(s.i) && beside && above && !s.c.blank
    }

    /// Right below the typed line of clause `i` another line is named with its dose.
    pub(super) fn line_comes_below(&self, i: usize) -> bool {
        let below = self.line_end(i);
        let next = self.clauses.get(below).filter(|n| !n.blank && n.said.facts.is_empty() && n.lead.label.is_none());
        next.is_some_and(|n| starts_lines(&n.said.items) || n.said.items.iter().any(Item::is_named) && self.dose_beside(below))
    }

    /// `21-15-9` above other lines.
    pub(super) fn new_rungs(&self, i: usize) -> bool {
        let [only] = &self.clauses[i].said.items[..] else { return false };
        let long = |q: &Quantity| match &q.amount {
            Amount::Scheme(list) => list.len() > 2,
            // `10 to 1`
            amount => descends(amount),
        };
        let rungs = !only.is_named() && only.dose.as_ref().is_some_and(|q| q.unit == Unit::Bare && long(q));
        let timed = self.cur.first(|f| f.window.clone()).is_some();
        let skill = self.cur.heading == Some(Heading::Skill);
        let full = self.cur.has_rounds_lines() || (timed || skill || self.cur.is_shaped()) && !self.cur.pending.is_empty();
        rungs && full && self.lines_follow(i)
    }
}

/// One number of something, or a range: no list of sets.
fn is_plain(q: &Quantity) -> bool {
    !matches!(q.amount, Amount::Scheme(_))
}

#[cfg(test)]
mod tests {
    use super::super::super::read;
    use crate::training::dose::{Amount, Load};
    use crate::training::movement::Library;
    use crate::training::session::Part;

    fn parts(text: &str) -> Vec<Part> {
        read(text, Library::shipped()).parts
    }

    #[test]
    fn rounds_behind_the_last_of_a_list_are_those_of_all_of_it() {
        for text in [
            "6 rows, 6 cleans, 6 front squats x 5 rounds, 90 s off between",
            "8 min AMRAP\n5 burpees\n\n6 rows, 6 cleans, 6 front squats x 5 rounds",
            "400 m run\n6 rows, 6 cleans, 6 front squats x 5 rounds",
            "6 rows, 6 cleans, 6 front squats x 5",
        ] {
            let part = parts(text).pop().unwrap();
            assert_eq!((part.rounds, part.lines.len()), (Some(Amount::One(5.0)), 3), "{text}");
        }
    }

    #[test]
    fn sets_behind_one_name_are_its_own_where_the_others_have_theirs() {
        let read = parts("Bench press 5 x 5, 10 push-ups x 3");
        assert_eq!(read.iter().map(|p| p.rounds.clone()).collect::<Vec<_>>(), [Some(Amount::One(5.0)), Some(Amount::One(3.0))]);
    }

    #[test]
    fn the_load_and_the_tool_above_the_line_are_those_of_all_of_it() {
        let part = parts("DB complex, 2x12.5kg, don't put them down\n6 rows, 6 cleans, 6 push press x 5 rounds").remove(0);
        let load = Some(Load::Kg { values: vec![12.5], range: false });
        assert!(part.lines.iter().all(|l| l.load == load && l.implements == Some(2)), "{:?}", part.lines);
        assert_eq!(part.lines[1].movement, "dumbbell clean");
        assert_eq!((part.name.as_str(), &part.notes[..]), ("DB complex", &["don't put them down".to_owned()][..]));
    }

    #[test]
    fn numbers_that_count_down_begin_a_part_below_another() {
        for rungs in ["10 to 1:", "10-1:", "10 down to 1:"] {
            let part = parts(&format!("5 rounds\n10 squats\n\n{rungs} sit ups + lunges (both legs = 1)")).pop().unwrap();
            let down = Amount::Scheme((1..=10).rev().map(f64::from).collect());
            assert!(part.lines.len() == 2 && part.lines.iter().all(|l| l.reps.as_ref() == Some(&down)), "{:?}", part.lines);
        }
    }
}
