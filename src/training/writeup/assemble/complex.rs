//! A complex whose pieces stand in brackets behind its name.

use super::super::super::dose::Amount;
use super::super::clause::{Clause, Join};
use super::super::draft::Row;
use super::super::item::{Item, Span};
use super::super::quantity::{Quantity, Unit};
use super::Assembler;

impl Assembler<'_, '_> {
    /// `empty bar complex x3 (5 deadlifts, 5 hang cleans, 5 press)`: in a warm-up one line beside the others, done so often;
    /// under the lines of another part a part of its own.
    pub(super) fn complex_in_brackets(&mut self, i: usize) -> Option<usize> {
        let c = &self.clauses[i];
        let named = c.said.words.iter().find(|w| matches!(self.doc.low(w.0), "complex" | "complexes" | "combo"))?;
        let (times, _) = c.said.facts.times.filter(|_| c.said.items.is_empty() && !c.inside)?;
        let within = self.clauses[i + 1..].iter().take(12).take_while(|n| n.inside && n.line == c.line);
        let pieces: Vec<Item> = within.clone().flat_map(|n| n.said.items.clone()).collect();
        let counted = |it: &Item| it.movement.is_some() && it.dose.is_some() && it.sets.is_none() && it.complex.is_empty();
        if pieces.len() < 2 || !pieces.iter().all(counted) || !self.cur.has_rounds_lines() {
            return None;
        }
        let end = i + 1 + within.count();
        let words = (c.said.from, named.1);
        if self.in_prep() {
            self.one_line(&pieces, times, (i, end));
            self.cur.rows.last_mut().into_iter().for_each(|r| r.notes.push(words));
            return Some(end - i);
        }
        matches!(c.join, Join::Line | Join::Then).then(|| self.part_of(pieces, words, (i, end)))
    }

    /// `1 rep = power clean + front squat` on a line of its own, and below it `every 2:00: 2 reps of the complex`: the line only
    /// said what a repetition is, and waits for how often and how heavy.
    pub(super) fn recalls_complex(&mut self, i: usize) {
        let from = self.clauses[i].from;
        let end = self.clauses[self.line_end(i) - 1].to.min(from + 40);
        let says = || (from..end).any(|t| self.doc.says_any(t, &["the complex", "complexes", "of that", "of it"]).is_some());
        let counts = |t: usize| self.doc.says_any(t, &["1 rep", "one rep", "a rep", "1 complex", "one complex"]).is_some();
        let defines = |r: &Row| !r.item.complex.is_empty() && (r.item.from.saturating_sub(4)..r.item.from).any(counts);
        let waits = self.cur.rows.len() == 1 && self.cur.rows.iter().all(defines) && !self.cur.is_shaped();
        if !waits || !says() {
            return;
        }
        let Some(mut row) = self.cur.rows.pop() else { return };
        row.item.dose = None;
        self.cur.pending.push(row);
    }

    fn one_line(&mut self, pieces: &[Item], times: f64, (i, end): (usize, usize)) {
        let Some((first, rest)) = pieces.split_first() else { return };
        let item = Item {
            movement: first.movement,
            first: first.dose.clone(),
            dose: Some(Quantity::bare(Amount::One(times))),
            complex: rest.iter().filter_map(|it| it.movement.map(|name| (name, it.dose.clone()))).collect(),
            from: self.clauses[i].said.from,
            to: self.clauses[end - 1].to,
            ..Item::default()
        };
        self.row(item, self.span(i, end), i);
    }

    fn part_of(&mut self, pieces: Vec<Item>, words: Span, (i, end): (usize, usize)) -> usize {
        self.close();
        let c = &self.clauses[i];
        self.cur.at = Some((c.from, c.to));
        self.cur.name = self.doc.typed(words.0, words.1).to_owned();
        self.cur.facts.push(c.said.facts.clone());
        for piece in pieces {
            let span = (piece.from, piece.to);
            self.row(piece, span, i);
        }
        end - i
    }

    /// `1 complex @ 75%: power clean + front squat + split jerk`: how often and how heavy stands before what it is made of.
    pub(super) fn names_complex(&mut self, i: usize) -> Option<usize> {
        let c = &self.clauses[i];
        let next = self.clauses.get(i + 1).filter(|n| !n.blank && (!n.inside || n.line == c.line))?;
        let ([own], [made, ..]) = (&c.said.items[..], &next.said.items[..]) else { return None };
        let complex =
            c.said.words.iter().any(|w| matches!(self.doc.low(w.0), "complex" | "complexes" | "cycle" | "cycles" | "combo"));
        let complex = complex || self.counts_reps_of(c);
        let beside =
            c.colon && next.line == c.line || next.join == Join::Line && next.line == c.line + 1 && next.lead.label.is_none();
        let told = (own.is_dosed() || own.load.is_some()) && !own.is_named() && own.complex.is_empty();
        if !complex || !beside || !told || c.said.words.len() > 3 || made.complex.is_empty() || made.sets.is_some() {
            return None;
        }
        let item = Item {
            movement: made.movement,
            unknown: made.unknown,
            complex: made.complex.clone(),
            first: made.first.clone().or_else(|| made.dose.clone()),
            load: own.load.clone().or_else(|| made.load.clone()),
            side: made.side.or(own.side),
            tempo: own.tempo.clone().or_else(|| made.tempo.clone()),
            to: made.to,
            ..own.clone()
        };
        let span = (c.from, next.to);
        self.shape(i);
        self.row(item, span, i);
        self.cur.said.push((next.from, next.to));
        if !next.said.facts.is_empty() {
            self.cur.facts.push(next.said.facts.clone());
        }
        Some(2)
    }

    /// `4 reps per side of:` before what one repetition is made of.
    pub(super) fn counts_reps_of(&self, c: &Clause) -> bool {
        let reps = |it: &Item| !it.is_named() && it.sets.is_none() && it.dose.as_ref().is_some_and(|q| q.unit == Unit::Reps);
        let of = matches!(&c.said.words[..], [of] if self.doc.low(of.0) == "of" && of.1 == c.said.to);
        c.colon && of && c.said.facts.is_empty() && matches!(&c.said.items[..], [only] if reps(only))
    }

    /// `Barbell complex, 5 x 3` above what it is made of: the first words only name it.
    pub(super) fn heads_complex(&mut self, i: usize) -> bool {
        let c = &self.clauses[i];
        let named = self.is_bare_words(i) && c.said.words.iter().any(|w| matches!(self.doc.low(w.0), "complex" | "combo"));
        let sets = |it: &Item| !it.is_named() && it.sets.is_some();
        let beside = self
            .clauses
            .get(i + 1)
            .is_some_and(|n| n.line == c.line && n.join == Join::Comma && n.said.items.first().is_some_and(sets));
        if !named || !beside || c.lead.bullet {
            return false;
        }
        if self.cur.has_rounds_lines() {
            self.close();
        }
        let (span, name) = ((c.from, c.to), self.doc.typed(c.said.from, c.said.to));
        if self.cur.label.is_none() {
            self.cur.label.clone_from(&c.lead.label);
        }
        if self.cur.name.is_empty() {
            self.cur.name = name.to_owned();
        }
        if self.cur.at.is_none() {
            self.cur.at = Some(span);
        } else {
            self.cur.said.push(span);
        }
        true
    }

    /// `One rep = all three without a break`: in words, what a repetition of the complex above is.
    pub(super) fn explains_rep(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let whole = self
            .doc
            .says_any(c.said.from, &["one rep", "1 rep", "each rep", "a rep"])
            .is_some_and(|n| c.said.from + n >= c.said.to);
        whole && c.colon && self.cur.rows.last().is_some_and(|r| !r.item.complex.is_empty())
    }

    /// `That's one rep, do 2 of them`: how often the complex above is done in a set.
    pub(super) fn counts_complex(&mut self, i: usize) -> bool {
        const DEFINES: &[&str] = &["that's one rep", "that's 1 rep", "thats one rep", "that is one rep", "this is one rep"];
        let c = &self.clauses[i];
        if self.doc.says_any(c.said.from, DEFINES).is_some() && self.cur.rows.last().is_some_and(|r| !r.item.complex.is_empty()) {
            self.cur.said.push((c.from, c.to));
            return true;
        }
        let ([only], true) = (&c.said.items[..], c.said.facts.is_empty()) else { return false };
        let behind =
            |q: &Quantity| self.doc.says_any(only.from + q.tokens, &["of them", "of those", "of these", "of that"]).is_some();
        let told = only.dose.as_ref().filter(|q| q.unit == Unit::Bare && matches!(q.amount, Amount::One(_)) && behind(q));
        let (Some(q), false) = (told, only.movement.is_some() || only.sets.is_some()) else { return false };
        let near = |r: &&mut Row| !r.item.complex.is_empty() && r.line + 1 >= c.line;
        let Some(row) = self.cur.rows.last_mut().filter(near) else { return false };
        if row.item.first.is_none() && row.item.complex.iter().all(|(_, q)| q.is_none()) || row.item.dose.is_some() {
            return false;
        }
        row.item.dose = Some(q.clone());
        self.cur.said.push((c.from, c.to));
        true
    }

    /// `One rep = 1 tall snatch + 1 snatch balance`: what a repetition of the line above is.
    pub(super) fn defines_rep(&mut self, i: usize) -> bool {
        let c = &self.clauses[i];
        let [item] = &c.said.items[..] else { return false };
        let before = i.checked_sub(1).map(|b| &self.clauses[b]).filter(|b| b.colon && b.line == c.line);
        let says = before.is_some_and(|b| {
            let n = self
                .doc
                .says_any(b.said.from, &["one rep", "1 rep", "each rep", "every rep", "a rep", "1 complex", "one complex"]);
            n.is_some_and(|n| b.said.from + n >= b.said.to)
        });
        if !says || item.complex.is_empty() || item.sets.is_some() {
            return false;
        }
        let Some(row) = self.cur.rows.last_mut().filter(|r| r.item.is_dosed() && r.item.complex.is_empty()) else { return false };
        (row.item.movement, row.item.unknown) = (item.movement, None);
        row.item.complex.clone_from(&item.complex);
        row.item.first = item.first.clone().or_else(|| item.dose.clone());
        self.cur.said.push((c.from, c.to));
        true
    }
}

#[cfg(test)]
mod tests {
    use super::super::super::read;
    use crate::training::dose::Amount;
    use crate::training::movement::Library;
    use crate::training::session::Format;

    #[test]
    fn in_a_warm_up_it_is_one_line_beside_the_others() {
        let text = "Warm up 8 min: row 2 mins easy, then empty bar complex x3 (5 deads, 5 hang cleans, 5 press)";
        let session = read(text, Library::shipped());
        let [part] = &session.parts[..] else { panic!("{:?}", session.parts) };
        let [row, complex] = &part.lines[..] else { panic!("{:?}", part.lines) };
        assert_eq!((part.rounds.clone(), row.movement.as_str()), (None, "row machine"));
        let pieces: Vec<&str> = complex.complex.iter().map(|p| p.movement.as_str()).collect();
        assert_eq!((complex.reps.clone(), pieces), (Some(Amount::One(3.0)), vec!["deadlift", "hang clean", "strict press"]));
    }

    #[test]
    fn below_another_part_it_begins_its_own() {
        let text = "10-1\nsit-ups\nburpees\n\nBarbell complex x 3 (5 deadlifts, 5 hang cleans, 5 press)";
        let session = read(text, Library::shipped());
        let [_, part] = &session.parts[..] else { panic!("{:?}", session.parts) };
        assert_eq!((part.format, part.rounds.clone(), part.lines.len()), (Format::Rounds, Some(Amount::One(3.0)), 3));
    }
}
