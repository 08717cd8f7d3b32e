//! Names that the library does not have, where something that is done is named.

use super::super::super::dose::Amount;
use super::super::clause::{Clause, Join};
use super::super::draft::Row;
use super::super::element::Heading;
use super::super::item::{Facts, Item, Span};
use super::super::quantity::{Quantity, Unit};
use super::super::token::Kind;
use super::super::words::{is_manner, is_talk, makes_another};
use super::{Assembler, TableRow, is_day};

impl Assembler<'_, '_> {
    /// A short line of strange words that sounds like a movement, among lines that are names alone.
    pub(super) fn is_unknown_name(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let p = &c.said;
        let alone =
            p.items.is_empty() && p.facts.is_empty() && p.prefix.is_none() && p.talk == 0 && (1..=5).contains(&p.words.len());
        let named = p.words.iter().any(|w| super::super::words::reshapes(&self.doc.plain[w.0]));
        alone && named && c.join == Join::Line && self.cur.doses_lines() && self.line_ends[i] == i + 1
    }

    /// Strange words at clause `i` that stand where a movement is named.
    pub(super) fn strange_name(&self, i: usize) -> Option<Span> {
        self.strange_before_dose(i).or_else(|| self.strange_before_times(i)).or_else(|| self.strange_before_a_way(i))
    }

    /// `sled push 50 ft, 90/70 lb` among lines: words that nobody knows, with a way to go behind them; `hill loop 400 m` is the way.
    fn strange_before_a_way(&self, i: usize) -> Option<Span> {
        let among = self.cur.is_shaped() || self.cur.has_rounds_lines();
        self.goes_a_way(&self.clauses[i]).filter(|_| among)
    }

    /// The strange words of a line that ends with a way to go.
    pub(super) fn goes_a_way(&self, c: &Clause) -> Option<Span> {
        let p = &c.said;
        let [only] = &p.items[..] else { return None };
        let way = only.dose.as_ref().is_some_and(|q| matches!(q.unit, Unit::Metres | Unit::Calories));
        let goes = way && !only.is_named() && only.sets.is_none() && only.to == p.to;
        let (first, last) = (p.words.first()?, p.words.last()?);
        let touch = first.0 == p.from && last.1 == only.from && p.words.windows(2).all(|w| w[0].1 == w[1].0);
        let own = |w: &Span| {
            let low = self.doc.low(w.0);
            let said = is_manner(low) || is_talk(low) || is_said_of_sets(low) || is_small(low) || is_a_way(low) || is_day(low);
            self.doc.tokens[w.0].kind == Kind::Word && low.chars().count() > 2 && !said
        };
        let named = touch && p.words.len() < 4 && p.words.iter().all(own);
        let plain = p.facts.is_empty() && p.talk == 0 && p.prefix.is_none() && !c.inside && c.join == Join::Line;
        (plain && goes && named).then_some((first.0, last.1))
    }

    /// `- banded shoulder distraction 45 s`, `- t-spine over chair, 1 min`: strange words in a list that hold a word of some
    /// movement's name, with their dose behind them.
    fn strange_before_dose(&self, i: usize) -> Option<Span> {
        let c = &self.clauses[i];
        let p = &c.said;
        let words = &p.words;
        let (first, last) = (words.first()?, words.last()?);
        if self.is_strange_by_comma(i) || self.is_unknown_by_comma(i) {
            return Some((p.from, p.to));
        }
        // `Tricep pushdown (band)` in the first cell of a row
        let cell = self.in_table(i);
        let named = words.len() < 6
            && words.iter().all(|w| self.doc.tokens[w.0].kind == Kind::Word && self.doc.low(w.0) != "rest")
            && words.iter().any(|w| self.doc.plain[w.0].len() > 3 && self.lexicon.holds(&self.doc.plain[w.0]));
        let dosed = |it: &Item| {
            let counted = it.dose.as_ref().is_some_and(|q| !matches!(q.unit, Unit::Rounds | Unit::Sets | Unit::Bare));
            !it.is_named() && (counted || it.sets.is_some() && it.dose.is_some())
        };
        // `Leg curl (band)`: a known name behind a word that makes it another
        let other =
            |it: &Item| cell && it.is_named() && !it.is_dosed() && last.1 == it.from && makes_another(self.doc.low(last.0));
        if let [only] = &p.items[..]
            && other(only)
        {
            let behind = self.clauses[i + 1..].iter().find(|n| !n.inside).filter(|n| n.line == c.line);
            let sets = behind.and_then(|n| n.said.items.first()).is_some_and(dosed);
            return sets.then_some((first.0, only.to));
        }
        let item = match &p.items[..] {
            [only] => Some(only).filter(|it| last.1 <= it.from),
            [] => {
                let behind = self.clauses[i + 1..].iter().find(|n| !(cell && n.inside));
                behind.filter(|n| n.line == c.line && (cell || n.join == Join::Comma)).and_then(|n| n.said.items.first())
            }
            _ => None,
        }?;
        let plain = p.facts.is_empty() && p.talk == 0 && p.prefix.is_none() && !c.inside && c.join == Join::Line;
        let listed = c.lead.bullet && named && !self.cur.is_blank() || cell && words.len() < 6;
        (plain && listed && dosed(item)).then_some((first.0, last.1))
    }

    /// `ferryman rolls x 6 each side` in a list of `cat-cow x 8`: words that nobody knows stand where the other lines have a name,
    /// and their count behind them; `whole thing x 3` is said of all lines.
    fn strange_before_times(&self, i: usize) -> Option<Span> {
        let c = &self.clauses[i];
        let p = &c.said;
        let (_, at) = p.facts.times.filter(|_| Facts { times: None, ..p.facts.clone() }.is_empty())?;
        let before: Vec<Span> = p.words.iter().copied().filter(|w| w.1 <= at.0).collect();
        let (first, last) = (before.first()?, before.last()?);
        let word = |w: &Span| self.doc.tokens[w.0].kind == Kind::Word && !says_all(self.doc.low(w.0));
        let of_sets = |w: &Span| is_talk(self.doc.low(w.0)) || is_said_of_sets(self.doc.low(w.0));
        let touch = before.windows(2).all(|w| w[0].1 == w[1].0 || w[0].1 + 1 == w[1].0 && self.doc.tokens[w[0].1].is("-"));
        let named =
            touch && last.1 == at.0 && first.0 == p.from && before.len() < 5 && before.iter().all(|w| word(w) && !of_sets(w));
        let real = before.iter().any(|w| !is_manner(self.doc.low(w.0)) && self.doc.low(w.0).chars().count() > 3);
        let marks = p.items.iter().all(|it| !it.is_named() && !it.is_dosed());
        let line = c.join == Join::Line && !c.inside && c.lead.label.is_none();
        (line && named && real && marks && self.counts_by_sign_beside(i)).then_some((first.0, last.1))
    }

    /// The typed line above or below clause `i` is a known name, the sign and its count: `cat-cow x 8`.
    fn counts_by_sign_beside(&self, i: usize) -> bool {
        let line = self.clauses[i].line;
        let signed = |n: &Clause| {
            let sign = |it: &Item| (it.from..it.to).any(|t| matches!(self.doc.low(t), "x" | "*"));
            matches!(&n.said.items[..], [only, ..] if only.movement.is_some() && only.dose.is_some() && only.sets.is_none() && sign(only))
        };
        let above = self.clauses[..i].iter().rev().take(8).find(|n| n.join == Join::Line).filter(|n| n.line + 1 == line);
        let below = self.clauses[i + 1..].iter().take(8).find(|n| n.join == Join::Line).filter(|n| n.line == line + 1);
        above.is_some_and(signed) || below.is_some_and(signed)
    }

    /// `Tightrope walk, 3 x 20 s`: a known name behind one word that makes it another, with its sets behind the comma.
    fn is_strange_by_comma(&self, i: usize) -> bool {
        let sets = |it: &Item| !it.is_named() && it.sets.is_some() && it.dose.is_some();
        let next = self.clauses.get(i + 1).and_then(|n| n.said.items.first()).is_some_and(sets);
        let plain = self.clauses[i].said.facts.is_empty() && !self.clauses[i].inside;
        plain && self.is_strange_lift(i) && self.dose_beside(i) && next
    }

    /// `Towel wringing, 3 x 30 s` on a line of its own: words that name no movement and say nothing of the sets behind the comma.
    fn is_unknown_by_comma(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let words = &c.said.words;
        let sets = |it: &Item| !it.is_named() && it.sets.is_some() && it.dose.is_some();
        let next = self.dose_beside(i) && self.clauses[i + 1].said.items.first().is_some_and(sets);
        let word = |w: &Span| self.doc.tokens[w.0].kind == Kind::Word && w.1 == w.0 + 1;
        let own = |w: &Span| {
            let low = self.doc.low(w.0);
            !(is_manner(low) || is_talk(low) || is_said_of_sets(low) || is_small(low) || is_day(low))
        };
        let named = (1..=3).contains(&words.len()) && words.iter().all(|w| word(w) && own(w));
        let real = words.iter().any(|w| self.doc.low(w.0).chars().count() > 3);
        let plain = self.is_bare_words(i) && c.join == Join::Line && c.lead.minute.is_none();
        plain && next && named && real && self.cur.pending.is_empty() && !self.lines_follow(i + 1)
    }

    /// Clause `i` stands in the row of a table.
    fn in_table(&self, i: usize) -> bool {
        matches!(self.doc.tables.rows.get(&self.clauses[i].line), Some(TableRow::Cells(_)))
    }

    /// `Towel wringing 3 x 30 s`: words right before sets that name no movement of the library, and say nothing of the sets.
    pub(super) fn name_of_nothing_known(&self, item: &Item, i: usize) -> Option<Span> {
        let p = &self.clauses[i].said;
        let touches = |words: &&[Span]| words.windows(2).all(|w| w[0].1 == w[1].0);
        let name = (0..p.before.len()).map(|k| &p.before[k..]).find(touches)?;
        let (first, last) = (name.first()?, name.last()?);
        // `Then some grip: towel wringing 3 x 30 s`
        let led = name.len() == p.before.len() || self.doc.tokens[first.0 - 1].is(":");
        let word = |w: &Span| self.doc.tokens[w.0].kind == Kind::Word && w.1 == w.0 + 1;
        let of_sets = |w: &str| is_manner(w) || is_talk(w) || is_said_of_sets(w);
        let named = name.len() <= 4 && name.iter().all(|w| word(w) && !of_sets(self.doc.low(w.0)));
        let real = name.iter().any(|w| self.doc.low(w.0).chars().count() > 3);
        (led && named && last.1 == item.from && real && p.facts.heading.is_none()).then_some((first.0, last.1))
    }

    /// `then heavy bag work 3 x 2 min`: a word that also heads parts, and then the rest of a name that nobody knows.
    pub(super) fn behind_heading(&self, item: &Item, i: usize) -> Option<Span> {
        let said = &self.clauses[i].said;
        let (_, head) = said.facts.heading.filter(|(_, at)| at.0 == said.from)?;
        let words: Vec<&Span> = said.words.iter().filter(|w| w.0 >= head.1 && w.1 <= item.from).collect();
        let joined = words.first()?.0 == head.1 && words.last()?.1 == item.from && words.len() < 4;
        let real = |w: &&Span| {
            let low = self.doc.low(w.0);
            !(is_manner(low) || is_talk(low) || is_said_of_sets(low))
                && low.chars().count() > 2
                && self.doc.tokens[w.0].kind == Kind::Word
        };
        (joined && words.iter().any(real)).then_some((head.0, item.from))
    }

    pub(super) fn strange(&mut self, i: usize, name: Span) -> usize {
        let c = &self.clauses[i];
        let own = c.said.items.first().cloned().unwrap_or_default();
        let count = c.said.facts.times.map(|(n, _)| Quantity::bare(Amount::One(n)));
        let own = Item { dose: own.dose.clone().or(count), ..own };
        let row = self.in_table(i) && self.cur.rows.iter().all(|r| r.item.sets.is_some());
        let sets = self.is_unknown_by_comma(i) || self.is_strange_by_comma(i) && self.begins(i);
        if self.cur.has_rounds_lines() && (row || sets) {
            // each row in sets is a part of its own
            self.close();
        }
        let item = Item { movement: None, unknown: Some(name), from: name.0, to: own.to.max(name.1), ..own };
        self.row(item, (c.from, c.to), i);
        1
    }

    /// Strange words where a lift's name stands, with its sets on the next line: `STRENGTH: zercher thing`, `5 x 8`.
    pub(super) fn is_name_of_lift(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        if !self.is_bare_words(i) && !self.is_strange_lift(i) {
            return false;
        }
        let again = c.said.words.iter().any(|w| {
            matches!(
                self.doc.low(w.0),
                "same"
                    | "again"
                    | "repeat"
                    | "above"
                    | "lift"
                    | "sets"
                    | "set"
                    | "work"
                    | "as"
                    | "lighter"
                    | "heavier"
                    | "round"
                    | "rounds"
                    | "working"
            )
        });
        let fresh = self.cur.rows.is_empty() && self.cur.pending.is_empty();
        let strength = matches!(self.cur.heading, Some(Heading::Strength | Heading::Plain));
        let headed = c.lead.label.is_some() || fresh && (c.join == Join::Colon || c.join == Join::Line && strength);
        let dosed = self.clauses.get(i + 1).is_some_and(|n| {
            !n.blank
                && n.join == Join::Line
                && n.line == c.line + 1
                && n.said.items.first().is_some_and(|it| !it.is_named() && it.sets.is_some() && it.dose.is_some())
                && n.said.items.iter().all(|it| !it.is_named())
        });
        headed && dosed && !again
    }

    /// `Jefferson curl` with nothing else on its line: a known name behind one word that makes it another lift.
    fn is_strange_lift(&self, i: usize) -> bool {
        let p = &self.clauses[i].said;
        let ([only], [word]) = (&p.items[..], &p.words[..]) else { return false };
        let alone = only.movement.is_some() && !only.is_dosed() && only.choices.is_empty() && only.complex.is_empty();
        alone && word.0 == p.from && word.1 == only.from && only.to == p.to && makes_another(self.doc.low(word.0))
    }

    pub(super) fn lift(&mut self, i: usize) {
        self.shape(i);
        let c = &self.clauses[i];
        let span = (c.said.from, c.said.to);
        if self.cur.name.is_empty() {
            self.cur.name = self.doc.typed(span.0, span.1).to_owned();
        }
        self.started = true;
        self.cur.pending.push(Row {
            item: Item { unknown: Some(span), from: span.0, to: span.1, ..Item::default() },
            lead: c.lead.clone(),
            line: c.line,
            at: Some(span),
            ..Row::default()
        });
    }
}

/// Words that mean all of the lines, or how often: what stands behind them is no count of one movement.
fn says_all(word: &str) -> bool {
    matches!(
        word,
        "all"
            | "everything"
            | "whole"
            | "lot"
            | "thing"
            | "repeat"
            | "round"
            | "rounds"
            | "circuit"
            | "loop"
            | "flow"
            | "superset"
            | "triset"
            | "complex"
            | "series"
            | "sequence"
            | "list"
            | "through"
            | "that"
            | "this"
            | "those"
            | "above"
            | "do"
            | "go"
    )
}

/// A word that joins others, and is never all of a name.
fn is_small(word: &str) -> bool {
    matches!(word, "and" | "with" | "to" | "for" | "in" | "on" | "at" | "by" | "from" | "or" | "both" | "every" | "also" | "per")
}

/// A word for where one goes, or how far, and no name of a movement.
fn is_a_way(word: &str) -> bool {
    const WAYS: &[&str] = &[
        "distance", "course", "track", "loop", "lap", "laps", "total", "hill", "hills", "gap", "apart", "cones", "markers",
        "length", "lengths", "there", "out", "home", "turn", "street", "beach", "field", "hall", "length",
    ];
    WAYS.contains(&word)
}

/// Words that tell what kind of sets these are, or that they are more of the same.
fn is_said_of_sets(word: &str) -> bool {
    matches!(
        word,
        "back"
            | "backoff"
            | "off"
            | "down"
            | "drop"
            | "same"
            | "again"
            | "set"
            | "sets"
            | "heavier"
            | "lighter"
            | "top"
            | "work"
            | "working"
            | "more"
            | "speed"
            | "volume"
            | "main"
            | "finish"
            | "finisher"
            | "last"
            | "first"
            | "second"
            | "third"
            | "next"
            | "week"
            | "today"
            | "test"
            | "retest"
            | "try"
            | "attempts"
            | "wave"
            | "waves"
            | "reps"
            | "rest"
            | "then"
            | "accessory"
            | "assistance"
            | "strength"
            | "skill"
    )
}
