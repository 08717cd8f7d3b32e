//! Lines that stand beside those of a part: sets on the way to a lift, what it costs to stop, words before a time.

use super::super::clause::{Clause, Join};
use super::super::draft::{Draft, Row};
use super::super::element::{Heading, Name};
use super::super::item::{Facts, Item, Span};
use super::super::quantity::Unit;
use super::super::token::Kind;
use super::super::words::{is_manner, is_talk};
use super::{Assembler, starts_lines};

impl Assembler<'_, '_> {
    /// `A. Back squat`, and below it `Warm-up: 5 @ 50%, 3 @ 70%`: the sets on the way to those that count.
    pub(super) fn warms_up_the_lift(&self, i: usize, line_end: usize) -> bool {
        let c = &self.clauses[i];
        let heads = c.join == Join::Line && c.said.facts.heading.is_some_and(|h| h.0 == Heading::WarmUp);
        let one = matches!(&self.cur.pending[..], [only] if only.item.movement.is_some() && !only.item.is_dosed());
        if !heads || c.blank || !one || !self.cur.rows.is_empty() {
            return false;
        }
        let line = &self.clauses[i..line_end.max(i + 1)];
        let mut items = line.iter().flat_map(|n| &n.said.items).peekable();
        items.peek().is_some() && items.all(|it| !it.is_named() && (it.load.is_some() || it.sets.is_some()))
    }

    /// `Half an hour:` above lines that each say how long they last: the sum of the day, and the time of none of them.
    pub(super) fn tells_the_hour(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let [only] = &c.said.items[..] else { return false };
        let time = |it: &Item| it.dose.as_ref().filter(|q| q.unit == Unit::Seconds).map(|q| q.amount.low());
        let long = !only.is_named() && only.sets.is_none() && time(only).is_some_and(|s| s >= 1200.0);
        let opens = c.colon && c.line == self.opening && c.join == Join::Line && !self.started && c.said.facts.is_empty();
        let timed = |n: &&Clause| {
            let f = &n.said.facts;
            let window = f.amrap.is_some_and(|a| a.0.is_some()) || f.every.is_some_and(|e| e.1.is_some()) || f.window.is_some();
            n.join == Join::Line && (window || n.said.items.first().and_then(time).is_some_and(|s| s >= 120.0))
        };
        long && opens && self.clauses[i + 1..].iter().filter(timed).count() > 1
    }

    /// `3 min easy jog and 10 inchworms to warm up`: the words behind its lines that say what they are for.
    pub(super) fn says_it_warms_up(&self, i: usize) -> Option<Span> {
        const WORDS: &[&str] =
            &["to warm up", "as a warm up", "as warm up", "as your warm up", "for a warm up", "for warm up", "to get warm"];
        let c = &self.clauses[i];
        let last = c.said.items.last().filter(|_| starts_lines(&c.said.items))?;
        let free = self.cur.is_blank() && c.said.facts.is_empty() && !c.inside;
        let at = (last.from..c.to).find_map(|t| self.doc.says_any(t, WORDS).map(|n| (t, t + n)))?;
        (free && at.1 == c.to).then_some(at)
    }

    /// The part that begins so is a warm-up.
    pub(super) fn warms_up_by_words(&mut self, i: usize) {
        let Some((from, to)) = self.says_it_warms_up(i) else { return };
        let c = &self.clauses[i];
        self.cur.heading = Some(Heading::WarmUp);
        self.cur.name = self.doc.typed(from + 1, to).to_owned();
        self.cur.at = Some((c.from, c.to));
        self.started = true;
    }

    /// Those sets are a part of their own before the lift, which goes on waiting for the sets that count.
    pub(super) fn sets_on_the_way(&mut self, i: usize, line_end: usize) -> usize {
        let (c, end) = (&self.clauses[i], line_end.max(i + 1));
        let span = self.span(i, end);
        let lift = std::mem::take(&mut self.cur);
        let of_lift = |r: &Row| Row { item: r.item.clone(), line: c.line, at: Some(span), ..Row::default() };
        self.cur = Draft {
            name: c.said.facts.heading.map_or_else(String::new, |(_, at)| self.doc.typed(at.0, at.1).to_owned()),
            heading: Some(Heading::WarmUp),
            at: Some(span),
            pending: lift.pending.iter().map(of_lift).collect(),
            ..Draft::default()
        };
        for k in i..end {
            let said = &self.clauses[k].said;
            if said.items.is_empty() && !said.words.is_empty() {
                self.cur.notes.push((self.clauses[k].from, self.clauses[k].to));
            }
            self.cur.facts.push(Facts { heading: None, ..said.facts.clone() });
            for item in said.items.clone() {
                self.nameless(item, k);
            }
        }
        self.close();
        self.cur = lift;
        end - i
    }

    /// `Every time you stop, 5 squats` in a part that is done against the clock: what it costs, a line with its words.
    pub(super) fn penalty(&mut self, i: usize) -> Option<usize> {
        let c = &self.clauses[i];
        let clocked = self.is_timed() || self.timed_below[i] || self.cur.first(|f| f.amrap).is_some();
        if c.inside || !clocked || !self.cur.has_rounds_lines() || !self.says_when_it_costs(c.said.from) {
            return None;
        }
        let end = self.sentence_end(i);
        let cost = |it: &&Item| it.movement.is_some() && it.dose.is_some() && it.sets.is_none();
        let lines: Vec<(usize, Item)> =
            (i..end).flat_map(|k| self.clauses[k].said.items.iter().filter(cost).map(move |it| (k, it.clone()))).collect();
        let plain = (i..end).all(|k| !self.clauses[k].said.facts.shapes());
        if lines.is_empty() || !plain {
            return None;
        }
        let span = self.span(i, end);
        for (k, item) in lines {
            let at = (item.from, item.to);
            self.row(item, at, k);
            self.note(span);
        }
        Some(end - i)
    }

    /// `every time you stop`, `if you drop the bar`, `each break`
    fn says_when_it_costs(&self, from: usize) -> bool {
        const EACH: &[&str] = &["every break", "each break", "for every break", "for each break", "every stop", "each stop"];
        const WHEN: &[&str] =
            &["every time you", "each time you", "any time you", "anytime you", "whenever you", "if you", "when you"];
        let stops = |t: usize| {
            matches!(
                self.doc.low(t),
                "stop" | "break" | "rest" | "drop" | "pause" | "put" | "set" | "miss" | "fall" | "come" | "let" | "slow"
            )
        };
        self.doc.says_any(from, EACH).is_some() || self.doc.says_any(from, WHEN).is_some_and(|n| stops(from + n))
    }

    /// `pigeon 90 s each side, chest on doorway 1 min`: words that stand before a time behind a line that has its own name what
    /// nobody knows, and the time is none of the line before.
    pub(super) fn strange_words_before(&self, item: &Item, i: usize) -> bool {
        let c = &self.clauses[i];
        let timed = item.sets.is_none()
            && item.load.is_none()
            && item.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds && q.amount.high() >= 20.0);
        let dosed = self.cur.rows.last().is_some_and(|r| r.line == c.line && r.item.dose.is_some() && r.item.sets.is_none());
        let real = |w: &&Span| {
            let low = self.doc.low(w.0);
            let word = self.doc.tokens[w.0].kind == Kind::Word && w.1 == w.0 + 1 && low.chars().count() > 3;
            word && !is_manner(low) && !is_talk(low) && !tells_how_long(low)
        };
        let named = || c.said.before.iter().filter(|w| w.1 <= item.from).any(|w| real(&w));
        timed && dosed && c.join == Join::Comma && c.said.facts.is_empty() && named()
    }

    /// What is done again with the same tool in the part above this one: `5x3`, and below it `back off 2x8`.
    pub(super) fn same_lift_above(&mut self, name: Option<Name>) -> impl Iterator<Item = &mut Row> {
        let same = move |d: &&mut Draft| matches!(&d.rows[..], [row] if row.item.movement == name && name.is_some());
        self.sheet.parts.iter_mut().rev().take_while(same).filter_map(|d| d.rows.first_mut())
    }
}

/// A word before a time that only says what the time is.
fn tells_how_long(word: &str) -> bool {
    matches!(
        word,
        "hold"
            | "holds"
            | "holding"
            | "rest"
            | "time"
            | "within"
            | "pause"
            | "long"
            | "accumulate"
            | "least"
            | "side"
            | "sides"
            | "right"
            | "left"
            | "both"
            | "other"
            | "work"
            | "every"
            | "between"
            | "recover"
            | "recovery"
            | "same"
            | "again"
            | "from"
            | "maybe"
            | "roughly"
            | "another"
            | "minimum"
            | "maximum"
            | "finish"
            | "finishing"
            | "cap"
            | "going"
            | "through"
    )
}

#[cfg(test)]
mod tests {
    use super::super::super::read;
    use crate::training::dose::Amount;
    use crate::training::movement::Library;
    use crate::training::session::{Format, ProblemKind, Session};

    fn session(text: &str) -> Session {
        read(text, Library::shipped())
    }

    /// The movements of each part.
    fn names(text: &str) -> Vec<Vec<String>> {
        session(text).parts.iter().map(|p| p.lines.iter().map(|l| l.movement.clone()).collect()).collect()
    }

    #[test]
    fn sets_on_the_way_to_a_lift_are_a_part_before_it() {
        let read = session("A. Back squat\nWarm-up: 5 @ 50%, 3 @ 60%, 2 @ 70%\nWork: 4 x 4 @ 80%");
        let sets = Some(Amount::Scheme(vec![5.0, 3.0, 2.0]));
        assert_eq!((read.parts.len(), &read.parts[0].lines[0].reps), (2, &sets));
        assert_eq!((read.parts[1].label.as_deref(), &read.parts[1].rounds), (Some("A"), &Some(Amount::One(4.0))));
    }

    #[test]
    fn what_it_costs_to_stop_is_a_line_of_a_race() {
        let text = "100 burpees for time. Every time you stop, 5 squats.";
        assert_eq!(names(text), [["burpee", "air squat"]]);
        assert!(session(text).parts[0].lines[1].note.as_deref().is_some_and(|n| n.contains("Every time you stop")));
    }

    #[test]
    fn words_that_nobody_knows_before_a_time_are_kept_and_asked_about() {
        let read = session("3 rounds\n10 squats\n\nstretch: pigeon 90 s each side, chest on doorway 1 min");
        let asked = read.problems.iter().filter(|p| p.kind == ProblemKind::Unread).count();
        let kept = read.parts[1].lines[0].note.as_deref().is_some_and(|n| n.contains("chest on doorway 1 min"));
        assert_eq!((asked, kept), (1, true), "{read:?}");
    }

    #[test]
    fn the_length_of_the_day_is_none_of_its_first_part() {
        let read = session("Half an hour:\n6' jump rope\n8' AMRAP: 6 burpees, 10 sit-ups\n4' easy walk");
        assert_eq!(read.parts.iter().map(|p| p.duration_s).collect::<Vec<_>>(), [Some(360.0), Some(480.0), Some(240.0)]);
    }

    #[test]
    fn what_is_said_to_warm_up_ends_where_the_race_begins() {
        let read = session("so guys 3 min easy jog and 10 inchworms to warm up, then 21-15-9 swings and burpees cap 8");
        assert_eq!(read.parts.iter().map(|p| p.format).collect::<Vec<_>>(), [Format::Practice, Format::ForTime]);
    }

    #[test]
    fn letters_below_a_superset_are_lines_of_it() {
        for heading in ["2. superset x3:", "3 sets of:", "B) 3 sets", "triset, 3 rounds"] {
            let read = session(&format!("{heading}\na) 8-10 strict press RPE 8\nb) 12-15 ring rows\n90s after b"));
            let [part] = &read.parts[..] else { panic!("{heading}: {read:?}") };
            assert_eq!((part.lines.len(), &part.rounds, &part.rest_s), (2, &Some(Amount::One(3.0)), &Some(Amount::One(90.0))));
        }
    }
}
