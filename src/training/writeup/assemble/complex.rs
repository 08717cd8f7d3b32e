//! A complex whose pieces stand in brackets behind its name.

use super::super::super::dose::Amount;
use super::super::clause::Join;
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
