//! A load that is told in kilograms and in pounds.

use super::super::super::dose::Load;
use super::super::super::session::{Line, ProblemKind, Severity};
use super::super::doses::unlike;
use super::super::draft::Row;
use super::super::item::{Item, Span};
use super::super::quantity::{Quantity, Unit, quantity};
use super::Reader;

/// Pounds of a kilogram.
const LB: f64 = 2.204_623;
/// By how much a coach may round from one unit to the other: `10 kg (25 lb)`, `16 kg (35 lb)`.
const ROUNDED: f64 = 1.2;

impl Reader<'_, '_> {
    /// `24 kg (35 lb)`: one load in both units, and the two are no one weight; which of them is meant is in doubt.
    pub(super) fn both_units(&mut self, item: &Item, line: &mut Line) {
        if !matches!(line.load, Some(Load::Kg { .. } | Load::Lb { .. })) || item.load.is_none() {
            return;
        }
        let Some((span, one, other)) = (item.from..item.to).find_map(|t| self.told_twice(t)) else { return };
        let (first, second) = (words(&one, one.unit), words(&other, other.unit));
        let (a, b) = (words(&one, other.unit), words(&other, one.unit));
        let text = format!("{first} is about {a}, and {second} is about {b}; one of the two is wrong.");
        let suggest = vec![format!("{first} ({a})"), format!("{b} ({second})")];
        self.problem(ProblemKind::Contradiction, Severity::Error, span, text, suggest);
        line.load = None;
    }

    /// `farmer carry, one 24 kg and one 16 kg bell`: kept in words, and the coach is told that no weight was read.
    pub(super) fn unlike_sides(&mut self, row: &Row, line: &Line) {
        let said = row.notes.iter().chain(&row.item.tail);
        let at = said.flat_map(|s| s.0..s.1).find_map(|t| unlike(self.doc, t).map(|n| (t, t + n)));
        let Some(at) = at.filter(|_| line.load.is_none()) else { return };
        let typed = self.doc.typed(at.0, at.1).to_owned();
        let text =
            format!("\"{typed}\" gives the two sides different weights. It is kept in words; no weight was read for the line.");
        self.problem(ProblemKind::Unclear, Severity::Ask, at, text, vec![]);
    }

    /// The two loads at a token, where they differ by more than rounding.
    fn told_twice(&self, t: usize) -> Option<(Span, Quantity, Quantity)> {
        let load = |at: usize| quantity(self.doc.tokens.get(at..)?).filter(|q| matches!(q.unit, Unit::Kg | Unit::Lb));
        let number = self.doc.tokens[t].number().is_some() && (t == 0 || self.doc.tokens[t - 1].number().is_none());
        let one = load(t).filter(|_| number)?;
        let at = t + one.tokens;
        let bracket = self.doc.low(at) == "(";
        let sign = at + usize::from(bracket);
        let sign = sign + usize::from(matches!(self.doc.low(sign), "=" | "~" | "approx" | "about"));
        let other = load(sign).filter(|q| q.unit != one.unit && sign > at)?;
        let end = sign + other.tokens;
        let (a, b) = (kilos(&one), kilos(&other));
        let apart = |(x, y): (&f64, &f64)| x / y > ROUNDED || y / x > ROUNDED;
        let differ = a.len() == b.len() && a.iter().zip(&b).any(apart);
        (differ && (!bracket || self.doc.low(end) == ")")).then_some(((t, end + usize::from(bracket)), one, other))
    }
}

fn kilos(q: &Quantity) -> Vec<f64> {
    let factor = if q.unit == Unit::Lb { 1.0 / LB } else { 1.0 };
    q.amount.values().iter().map(|v| v * factor).collect()
}

/// The load in this unit, as round as people say it.
fn words(q: &Quantity, unit: Unit) -> String {
    let factor = if unit == Unit::Lb { LB } else { 1.0 };
    let own = q.unit == unit;
    let all = q.amount.values().into_iter().zip(kilos(q)).map(|(typed, kg)| if own { typed } else { (kg * factor).round() });
    let all: Vec<String> = all.map(|v| v.to_string()).collect();
    format!("{} {}", all.join("/"), if unit == Unit::Lb { "lb" } else { "kg" })
}
