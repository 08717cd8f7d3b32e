//! A complex whose pieces stand in brackets behind its name.

use super::super::super::dose::Amount;
use super::super::clause::Join;
use super::super::draft::Row;
use super::super::item::{Item, Span};
use super::super::quantity::Quantity;
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
        let end = self.clauses[self.line_end(i) - 1].to;
        let says = (self.clauses[i].from..end)
            .any(|t| self.doc.says_any(t, &["the complex", "complexes", "of that", "of it"]).is_some());
        let counts = |t: usize| self.doc.says_any(t, &["1 rep", "one rep", "a rep", "1 complex", "one complex"]).is_some();
        let defines = |r: &Row| !r.item.complex.is_empty() && (r.item.from.saturating_sub(4)..r.item.from).any(counts);
        if !says || self.cur.is_shaped() || self.cur.rows.len() != 1 || !self.cur.rows.iter().all(defines) {
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
