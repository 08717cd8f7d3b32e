//! What stands in brackets: marks of the line before, swaps for it, facts about the part, or a note.

mod swapped;

use super::super::super::dose::{Amount, Load, Side};
use super::super::clause::{Clause, Join};
use super::super::draft::Row;
use super::super::element::What;
use super::super::item::{Facts, Item, Span};
use super::super::quantity::{Quantity, Unit};
use super::super::token::Kind;
use super::Assembler;
use super::rows::{columns_of_load, merge};

impl Assembler<'_, '_> {
    /// Words in brackets: marks or a swap for the line before, facts about the part, or a note.
    pub(super) fn inside(&mut self, i: usize) -> usize {
        let mut end = i + 1;
        while self.clauses.get(end).is_some_and(|c| c.inside && c.line == self.clauses[i].line && c.join != Join::Line) {
            end += 1;
        }
        self.tells_the_halves(i, end);
        self.bracket(i, end)
    }

    /// The same up to clause `end`.
    fn bracket(&mut self, i: usize, end: usize) -> usize {
        let said = self.clauses[i].said.from;
        if matches!(self.doc.low(said), "so" | "i" | "ie" | "meaning" | "that's" | "thats" | "that" | "=" | "aka") {
            // `(so 10 swings first, then 8 ...)` says it once more
            return self.note_to(i, end);
        }
        let to = self.clauses[end - 1].to;
        let tells = self.clauses[i..end].iter().any(|c| !c.said.facts.is_empty());
        if !tells && (said..to).any(|t| self.doc.says_any(t, &["and so on", "and so forth", "etc"]).is_some()) {
            // `(one clean, one push-up, two cleans, two push-ups, and so on)`
            return self.note_to(i, end);
        }
        if self.asks_who(i, end) {
            return self.other_length(i, end);
        }
        if said > 0 && self.doc.low(said - 1) == "=" {
            return self.sum(i, end);
        }
        if self.one_of_each(i) || self.says_what_counts(i, end) {
            return self.note_to(i, end);
        }
        let group = &self.clauses[i..end];
        let own_line = self.clauses[i].join == Join::Line;
        let on_line = self
            .cur
            .rows
            .last()
            .is_some_and(|r| r.line == self.clauses[i].line || own_line && r.line + 1 == self.clauses[i].line)
            || self.built_on(self.clauses[i].line);
        let kit = self.names_kit(i);
        let (mut swapped, mut listed) = (false, false);
        let mut swaps = kit || group.iter().any(|c| c.said.replaces || c.question || matches!(c.said.prefix, Some(What::Or)));
        for (k, c) in group.iter().enumerate() {
            let talky = c.said.talk > 0 && !matches!(c.said.prefix, Some(What::Or));
            swaps |= c.question
                || self.allows(i + k)
                || matches!(self.doc.low(c.said.from), "no" | "if" | "quiet" | "or" | "sub" | "scale" | "easier" | "beginners");
            let span = (c.from, c.to);
            let named: Vec<&Item> = c.said.items.iter().filter(|it| it.movement.is_some()).collect();
            let choice = named.iter().any(|it| !it.choices.is_empty()) && named.iter().all(|it| !it.is_dosed());
            if self.cur.rows.is_empty() && self.cur.pending.is_empty() && self.cur.doses_lines() && !talky && k == 0 {
                let all: Vec<Item> = group
                    .iter()
                    .flat_map(|c| &c.said.items)
                    .filter(|it| it.movement.is_some() && !it.is_dosed())
                    .cloned()
                    .collect();
                if let Some(row) = self.any_of(all) {
                    // `4 x 4 min hard, 3 min easy (bike, row or run)`
                    self.row(row, (group[0].from, group[group.len() - 1].to), i);
                    return end - i;
                }
            }
            if on_line && (swaps || choice) && !named.is_empty() {
                let mut items: Vec<Item> = named.into_iter().cloned().collect();
                if choice {
                    items = self.chosen(items);
                }
                self.swap(items, span);
                swapped = true;
                continue;
            }
            if swapped && self.more_of_the_swap(c) {
                continue;
            }
            if kit && on_line {
                self.other_load(&c.said.items, span);
                continue;
            }
            if on_line && self.stick(span) {
                continue;
            }
            if on_line && self.variant(span) {
                continue;
            }
            if c.said.prefix == Some(What::Option) && !self.says_as_written(c) {
                self.note(span);
                continue;
            }
            if let [only] = &c.said.items[..]
                && !on_line
                && self.cur.rows.is_empty()
                && self.cur.pending.is_empty()
                && !self.cur.is_blank()
                && !only.is_named()
                && only.sets.is_none()
                && only.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds && q.amount.low() >= 120.0)
            {
                // `Part 1 - positions (8 min, no rush)`
                let item = only.clone();
                self.window(&item, span);
                continue;
            }
            let marks = !c.said.items.is_empty() && c.said.items.iter().all(|it| !it.is_named());
            if let [only] = &c.said.items[..]
                && marks
                && !talky
                && matches!(only.load, Some(Load::Kg { .. } | Load::Lb { .. }))
                && !only.is_dosed()
                && self.cur.rows.is_empty()
                && self.cur.pending.is_empty()
                && !self.cur.is_blank()
            {
                // `3 rounds with a bar (20/15 kg):`: everything below
                self.cur.load_of_all = Some(only.clone());
                self.cur.said.push(span);
                continue;
            }
            if on_line && self.builds_from(&c.said.items, c.from, c.to) {
                self.cur.said.push(span);
                continue;
            }
            if marks && !talky && !self.says_another_number(c, on_line) && self.inside_marks(&c.said.items, on_line, span) {
                self.cur.said.push(span);
                continue;
            }
            if c.said.items.is_empty()
                && !c.said.facts.is_empty()
                && !(talky && c.said.facts.rounds.is_none() && c.said.facts.cap.is_none())
            {
                self.cur.said.push(span);
                self.cur.facts.push(c.said.facts.clone());
                continue;
            }
            if !on_line
                && !self.cur.is_blank()
                && !talky
                && c.said.items.iter().any(|it| it.is_named() && (it.is_dosed() || !it.complex.is_empty()))
            {
                for item in &c.said.items {
                    self.row(item.clone(), span, i + k);
                }
                listed = true;
                continue;
            }
            if listed && !talky && !swaps && !named.is_empty() && c.said.facts.is_empty() {
                // `warm-up (10 min jog, some leg swings)`
                for item in &c.said.items {
                    self.row(item.clone(), span, i + k);
                }
                continue;
            }
            self.note(span);
        }
        end - i
    }

    /// `4x3 @ 85% (build from 70)`: `(start at 70%)`: where a percent that goes up over the sets begins.
    fn builds_from(&mut self, items: &[Item], from: usize, to: usize) -> bool {
        let [only] = items else { return false };
        let ways = ["from", "start", "starting", "build", "building"];
        let says = ways.contains(&self.doc.low(from))
            && (from..to).all(|t| self.doc.tokens[t].kind != Kind::Word || is_way_up(self.doc.low(t)));
        let plain = says && only.sets.is_none() && !only.is_named();
        let told = match (&only.load, &only.dose) {
            (Some(Load::Percent { percent, .. }), None) => Some(percent),
            (None, Some(q)) if q.unit == Unit::Bare => Some(&q.amount),
            _ => None,
        };
        let Some(&Amount::One(first)) = told.filter(|_| plain) else { return false };
        let Some(Load::Percent { percent, .. }) = self.cur.rows.last_mut().and_then(|r| r.item.load.as_mut()) else {
            return false;
        };
        let Amount::One(last) = *percent else { return false };
        if first < 30.0 || first >= last {
            return false;
        }
        *percent = Amount::Range(first, last);
        true
    }

    /// `8 rows (stop near 6)`: behind a line that has its dose, a number among other words is said about it, and no dose.
    fn says_another_number(&self, c: &Clause, on_line: bool) -> bool {
        let dosed = on_line && self.cur.rows.last().is_some_and(|r| r.item.dose.is_some());
        let count = |it: &Item| it.sets.is_none() && it.side.is_none() && it.dose.as_ref().is_some_and(|q| q.unit == Unit::Bare);
        let word = |w: &Span| self.doc.tokens[w.0].kind == Kind::Word && self.doc.low(w.0).chars().count() > 2;
        dosed && c.said.items.iter().any(count) && c.said.words.iter().any(word)
    }

    /// The heavy set of the one line so far was told on this typed line, below its name.
    fn built_on(&self, line: usize) -> bool {
        let told = self.cur.said.last().is_some_and(|s| self.doc.tokens[s.0].line == line);
        told && matches!(&self.cur.rows[..], [row] if row.item.build.is_some())
    }

    /// `power snatch + overhead squat (one of each = 1 rep)`: how a repetition is counted.
    fn one_of_each(&mut self, i: usize) -> bool {
        let says = self.doc.says_any(self.clauses[i].said.from, &["one of each", "1 of each", "one each", "1 each"]).is_some();
        let Some(row) = self.cur.rows.last_mut().filter(|r| says && !r.item.complex.is_empty()) else { return false };
        let one = Some(Quantity::bare(Amount::One(1.0)));
        row.item.first.get_or_insert(Quantity::bare(Amount::One(1.0)));
        row.item.complex.iter_mut().for_each(|(_, dose)| *dose = dose.take().or_else(|| one.clone()));
        true
    }

    /// `lunges (both legs = 1)`, `(L+R is one)`: what counts as a repetition, and no number of them.
    fn says_what_counts(&self, i: usize, end: usize) -> bool {
        let last = &self.clauses[end - 1];
        let reps = usize::from(matches!(self.doc.low(last.to - 1), "rep" | "reps"));
        let at = last.to.saturating_sub(1 + reps);
        let one = matches!(self.doc.low(at), "1" | "one");
        let sign = at.checked_sub(1).is_some_and(|t| matches!(self.doc.low(t), "=" | "is" | "are" | "counts" | "as" | "make"));
        let sides = (self.clauses[i].from..at)
            .any(|t| matches!(self.doc.low(t), "both" | "leg" | "legs" | "side" | "sides" | "arm" | "arms" | "l" | "r" | "left"));
        one && sign && sides
    }

    /// `(DB: ...)`, `(at home: ...)`: what stands behind the colon is for who has that.
    fn names_kit(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let kit = |t: usize| {
            matches!(
                self.doc.plain[t].as_str(),
                "dumbbell"
                    | "kettlebell"
                    | "barbell"
                    | "bar"
                    | "band"
                    | "backpack"
                    | "home"
                    | "at"
                    | "with"
                    | "or"
                    | "only"
                    | "bell"
            )
        };
        c.colon && c.said.from < c.said.to && (c.said.from..c.said.to).all(kit)
    }

    /// `(DB: 2 x 15 kg)`: the same line with another load; anything else in such brackets is kept in words.
    fn other_load(&mut self, items: &[Item], span: Span) {
        let Some(row) = self.cur.rows.last_mut() else { return };
        if let [only] = items
            && only.load.is_some()
            && !only.is_dosed()
        {
            row.alternatives.push(Item { movement: row.item.movement, unknown: None, ..only.clone() });
        }
        row.notes.push(span);
    }

    /// Marks in brackets go to the line they stand behind.
    pub(super) fn inside_marks(&mut self, items: &[Item], on_line: bool, span: Span) -> bool {
        if self.sum_behind_windows(items, span) {
            return true;
        }
        let target = if on_line { self.cur.rows.last_mut() } else { self.cur.pending.last_mut() };
        let Some(row) = target else {
            return false;
        };
        let mut taken = false;
        for item in items {
            if let (Some(_), Some(q)) = (row.item.build, item.dose.as_ref().filter(|q| q.unit == Unit::Seconds)) {
                // `build to a heavy triple (20 min)`
                self.cur.facts.push(Facts { window: Some((q.amount.clone(), (item.from, item.to))), ..Facts::default() });
                self.cur.said.push((item.from, item.to));
                return true;
            }
            let sets =
                row.item.sets.is_some() && row.item.dose.as_ref().is_some_and(|q| matches!(q.unit, Unit::Bare | Unit::Reps));
            if let (true, Some(q)) =
                (sets, item.dose.as_ref().filter(|q| q.unit == Unit::Seconds && q.amount.high() >= 15.0 && item.sets.is_none()))
            {
                // `4x8 (90 s)`
                self.cur.facts.push(Facts { rest: Some((Some(q.amount.clone()), false, span)), ..Facts::default() });
                self.cur.said.push(span);
                return true;
            }
            if columns_of_load(&mut row.item, item) {
                taken = true;
                continue;
            }
            let told = |it: &Item| it.dose.as_ref().and_then(|q| if let Amount::One(n) = q.amount { Some(n) } else { None });
            if let (Some(all), Some(some), Some(side)) = (told(&row.item), told(item), item.side)
                && row.item.sets.is_none()
            {
                // `16 lunges (8 per side, 16 total)`
                let half = (2.0 * some - all).abs() < 0.01;
                row.item.side = row.item.side.or(Some(if half && side == Side::PerSide { Side::Total } else { side }));
                taken |= half || (some - all).abs() < 0.01;
                continue;
            }
            let pair = item.sets.is_some_and(|n| n <= 2.0) && item.dose.as_ref().is_some_and(|q| q.unit == Unit::Bare);
            if let (true, Some(q), Some(_)) = (pair, &item.dose, &row.item.dose) {
                // `10 deadlifts (2x20)`: a pair of loads without its unit
                if row.item.load.is_none() && row.item.bare_load.is_none() {
                    (row.item.bare_load, row.item.bare_at) = (Some(q.amount.high()), Some((item.from, item.to)));
                }
                row.notes.push(span);
                taken = true;
                continue;
            }
            taken |= merge(&mut row.item, item);
        }
        if taken {
            row.item.to = row.item.to.max(span.1);
        }
        taken
    }

    /// `max calories on any machine (row, bike or ski)`: each of them, counted as the line is.
    fn chosen(&self, items: Vec<Item>) -> Vec<Item> {
        let max = self.cur.rows.last().and_then(|r| r.item.max);
        let mut all = Vec::new();
        for item in items {
            let rest = item.choices.iter().map(|(name, _)| Item { movement: Some(*name), ..item.clone() }).collect::<Vec<_>>();
            all.push(item);
            all.extend(rest);
        }
        all.into_iter().map(|it| Item { choices: Vec::new(), max, ..it }).collect()
    }

    /// The first of several machines, with the others as its choices.
    fn any_of(&self, items: Vec<Item>) -> Option<Item> {
        let choice = items.iter().any(|it| !it.choices.is_empty());
        let mut all = self.chosen(items).into_iter();
        let first = all.next().filter(|_| choice)?;
        Some(Item { choices: all.filter_map(|it| it.movement).map(|name| (name, None)).collect(), ..first })
    }

    /// `(stick)`, `(with a stick)`: what the line is done with.
    pub(super) fn stick(&mut self, span: Span) -> bool {
        let only = (span.0..span.1).all(|t| {
            self.doc.plain[t] == "stick"
                || matches!(
                    self.doc.low(t),
                    "with"
                        | "w"
                        | "/"
                        | "a"
                        | "the"
                        | "only"
                        | "just"
                        | "light"
                        | "or"
                        | "empty"
                        | "bar"
                        | "mop"
                        | "rod"
                        | "your"
                        | "using"
                        | "holding"
                )
        });
        if !only || !(span.0..span.1).any(|t| self.doc.plain[t] == "stick") {
            return false;
        }
        let line = self.doc.tokens[span.0].line;
        if self.cur.rows.is_empty() && !self.cur.is_blank() {
            // `Snatch primer, with the stick`: everything below
            self.cur.load_of_all = Some(Item { load: Some(Load::Stick), from: span.0, to: span.1, ..Item::default() });
            self.cur.said.push(span);
            return true;
        }
        let on_line = |r: &&mut Row| r.line == line || r.item.dose_at.is_some_and(|at| self.doc.tokens[at.0].line == line);
        let Some(row) = self.cur.rows.last_mut().filter(on_line).filter(|r| r.item.load.is_none()) else { return false };
        row.item.load = Some(Load::Stick);
        row.item.to = row.item.to.max(span.1);
        true
    }

    /// `hands on sofa ok`, `single arm, split the number`: words that name a variation of the line's movement.
    pub(super) fn variant(&mut self, span: Span) -> bool {
        let words: Vec<&str> = (span.0..span.1).map(|t| self.doc.low(t)).collect();
        let Some(row) = self.cur.rows.last_mut() else { return false };
        let pair = |a: &str, b: &str| words.windows(2).any(|w| w[0] == a && w[1] == b);
        if pair("single", "arm") || pair("one", "arm") {
            row.alternatives.push(Item {
                unknown: None,
                movement: None,
                implements: Some(1),
                from: span.0,
                to: span.1,
                ..Item::default()
            });
            row.item.to = span.1.max(row.item.to);
            return true;
        }
        let ok = words.iter().any(|w| matches!(*w, "ok" | "fine" | "okay" | "allowed"));
        if pair("hands", "on") && (ok || words.contains(&"or")) || words.contains(&"knees") && (ok || words.contains(&"or")) {
            row.alternatives.push(Item { from: span.0, to: span.1, ..Item::default() });
            row.item.to = span.1.max(row.item.to);
            return true;
        }
        false
    }
}

/// A word of `build up from`, `starting at`.
fn is_way_up(word: &str) -> bool {
    matches!(word, "from" | "start" | "starting" | "build" | "building" | "up" | "at" | "about" | "around")
}
