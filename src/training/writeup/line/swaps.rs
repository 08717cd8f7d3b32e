//! Complexes, choices and swaps of a line, and the words beside it.

use super::super::super::dose::{Amount, Side};
use super::super::super::session::{Line, Piece};
use super::super::draft::Row;
use super::super::element::Name;
use super::super::item::{Item, Span};
use super::super::token::Kind;
use super::super::words::plain;
use super::{Around, Reader};

impl Reader<'_, '_> {
    pub(super) fn complex(&mut self, item: &Item, line: &mut Line) {
        if item.complex.is_empty() {
            return;
        }
        let own = item.first.as_ref().map(|q| q.amount.clone());
        let inner = item.complex.iter().any(|(_, q)| q.is_some());
        let first = Piece {
            movement: line.movement.clone(),
            reps: if inner { own.or(Some(Amount::One(1.0))) } else { None },
            known: line.known,
        };
        let rest = item.complex.iter().map(|(name, q)| Piece {
            movement: self.jerk_with(&line.movement, self.canonical(*name, item, &Around::default()), item),
            reps: q.as_ref().map(|q| q.amount.clone()),
            known: true,
        });
        let mut pieces: Vec<Piece> = std::iter::once(first).chain(rest).collect();
        if let Some(sum) = item.dose.as_ref().map(|q| &q.sum).filter(|sum| sum.len() == pieces.len()) {
            // `5 sets of 2+1`: how often each piece is done in one repetition
            for (piece, n) in pieces.iter_mut().zip(sum) {
                piece.reps = Some(Amount::One(*n));
            }
            line.reps = None;
        }
        if line.reps.is_none() && pieces.iter().any(|p| p.reps.is_some()) {
            line.reps = Some(Amount::One(1.0));
        }
        line.complex = pieces;
        line.movement = "complex".to_owned();
    }

    /// `dumbbell hang clean & jerk`: the jerk is the one that is done with the same tool, where nobody wrote which.
    fn jerk_with(&self, first: &str, name: String, item: &Item) -> String {
        let tool = ["dumbbell", "kettlebell"].iter().any(|t| first.contains(t));
        let split = (item.from..item.to).any(|t| self.doc.low(t) == "split");
        if name == "split jerk" && tool && !split { "push jerk".to_owned() } else { name }
    }

    pub(super) fn alternatives(&mut self, row: &Row, item: &Item, around: &Around, line: &mut Line) {
        for (name, q) in &item.choices {
            let own = Item {
                movement: Some(*name),
                choices: item.movement.iter().map(|n| (*n, None)).collect(),
                dose: q.clone().or_else(|| item.dose.clone()),
                side: item.side,
                ..Item::default()
            };
            let other = self.swap(&own, line, around);
            line.alternatives.push(other);
        }
        for swap in &row.alternatives {
            let beside = self.beside_its_machine(swap, item);
            let swap = beside.as_ref().unwrap_or(swap);
            let other = if swap.movement.is_some() { self.swap(swap, line, around) } else { self.variation(swap, line) };
            let itself = other.movement == line.movement && swap.dose.is_none() && swap.load.is_none();
            if !other.movement.is_empty() && !itself {
                line.alternatives.push(other);
            }
        }
    }

    /// `30 min bike (or row, or walk)`: in the place of a machine nobody rows a bar.
    fn beside_its_machine(&self, swap: &Item, item: &Item) -> Option<Item> {
        let rows = swap.movement == Some(Name::Row) && swap.choices.is_empty() && swap.load.is_none();
        let own = item.movement.filter(|n| rows && self.is_machine(*n))?;
        Some(Item { choices: vec![(own, None)], ..swap.clone() })
    }

    /// A swap with its own dose, or else the line's.
    pub(super) fn swap(&mut self, item: &Item, line: &Line, around: &Around) -> Line {
        let mut other = Line::default();
        let movement = self.name(item, &Around { scheme: None, ..around.clone() }, &mut other);
        if item.dose.is_some() {
            self.dose(item, movement.as_ref(), around, &mut other);
            self.side(item, &mut other);
        } else {
            (other.reps, other.seconds, other.side) = (line.reps.clone(), line.seconds.clone(), item.side.or(line.side));
            (other.metres, other.calories) = (line.metres.clone(), line.calories.clone());
            (other.open, other.step) = (line.open, line.step);
        }
        other.load.clone_from(&item.load);
        other.implements = item.implements;
        other.tempo.clone_from(&item.tempo);
        (other.pause_s, other.down_s) = (item.pause, item.down);
        if item.bare_load.is_some() {
            self.load(item, around, None, &mut other);
        }
        other
    }

    /// `single arm`, `hands on the sofa`: a variation of the line's own movement.
    pub(super) fn variation(&self, swap: &Item, line: &Line) -> Line {
        let typed = self.doc.typed(swap.from, swap.to).to_lowercase();
        let name = if typed.contains("arm") {
            let run: Vec<String> = format!("single arm {}", line.movement).split([' ', '-']).map(plain).collect();
            self.lexicon
                .find(self.library, &run)
                .filter(|f| f.words == run.len())
                .map(|f| self.library.all()[f.movement].name.clone())
        } else if line.movement == "push-up" {
            Some(if typed.contains("knee") { "knee push-up" } else { "hands-raised push-up" }.to_owned())
        } else {
            None
        };
        let arm = typed.contains("arm");
        Line {
            movement: name.unwrap_or_default(),
            load: None,
            implements: arm.then_some(1),
            side: if arm { Some(Side::Total) } else { line.side },
            alternatives: vec![],
            note: Some(typed),
            at: None,
            ..line.clone()
        }
    }

    /// `zone 2`, `strict`, `ring dips`: how it is done, said before or in the name and no part of the library's.
    fn manner(&self, item: &Item) -> Vec<Span> {
        let told = |t: usize| item.tail.iter().any(|s| s.0 <= t && t < s.1);
        let number = |t: usize| self.doc.tokens.get(t).is_some_and(|n| n.kind == Kind::Number);
        let how = |t: usize| match self.doc.low(t) {
            "zone" | "z" if number(t + 1) => Some((t, t + 2)),
            "strict" | "ring" | "z1" | "z2" | "z3" => Some((t, t + 1)),
            _ => None,
        };
        (item.from..item.to).filter_map(how).take(4).filter(|s| !told(s.0)).filter(|s| !self.in_name(item, *s)).collect()
    }

    /// The library's name has this word itself: `strict press`, `ring muscle-up`.
    fn in_name(&self, item: &Item, span: Span) -> bool {
        let mut names = item.movement.iter().chain(item.choices.iter().chain(&item.complex).map(|(name, _)| name));
        let word = self.doc.low(span.0);
        item.movement.is_none() || names.any(|n| matches!(n, Name::Known(i) if self.library.all()[*i].name.contains(word)))
    }

    /// Its words, with `height` among them where the line tells one.
    pub(super) fn note(&self, row: &Row, item: &Item, height: Option<Span>) -> Option<String> {
        let mut spans: Vec<Span> = Vec::new();
        for span in &item.tail {
            match spans.last_mut().filter(|last| last.1 == span.0) {
                Some(last) => last.1 = span.1,
                None => spans.push(*span),
            }
        }
        let glue = |s: &Span| (s.0..s.1).all(|t| is_glue(self.doc.low(t)));
        spans.retain(|s| !glue(s));
        spans.extend(self.manner(item));
        spans.extend(height);
        spans.extend(&row.notes);
        let words: Vec<&str> = spans.iter().map(|s| self.doc.typed(s.0, s.1)).filter(|w| !w.is_empty()).collect();
        (!words.is_empty()).then(|| words.join("; "))
    }
}

/// A word that only joins what was read: `20 thrusters and 20 squats`, `with a 31X1 tempo`.
fn is_glue(word: &str) -> bool {
    matches!(word, "with" | "a" | "an" | "and" | "at" | "the" | "of" | "using" | "for" | "by" | "@" | "&" | "in" | "then")
}
