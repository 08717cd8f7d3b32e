//! What the column of a cell says that it is.

use super::super::super::dose::{Amount, Load};
use super::super::element::{Doc, Element, What};
use super::super::quantity::{Quantity, Unit, quantity};
use super::super::token::{Kind, Token};
use super::{Column, Row};

/// What a table's columns make of token `i`: its head, the mark between two cells, or a cell whose column says what it is.
pub fn cell(doc: &Doc, i: usize, before: Option<&Element>) -> Option<Element> {
    let t = doc.tokens.get(i).filter(|t| t.kind != Kind::Newline)?;
    let cells = match doc.tables.rows.get(&t.line)? {
        Row::Head => {
            let to = (i..doc.tokens.len()).find(|k| doc.tokens[*k].line != t.line || doc.tokens[*k].kind == Kind::Newline);
            return Some(Element { what: What::Bullet(None), from: i, to: to.unwrap_or(doc.tokens.len()) });
        }
        Row::Cells(cells) => cells,
    };
    let of = |t: &Token| cells.iter().position(|(bytes, _)| bytes.contains(&t.start));
    let Some(at) = of(t) else {
        let opens = i == 0 || doc.tokens[i - 1].kind == Kind::Newline;
        return Some(Element { what: if opens { What::Dash } else { What::Comma }, from: i, to: i + 1 });
    };
    let last = i.checked_sub(1).map(|k| &doc.tokens[k]).filter(|l| l.line == t.line && l.kind != Kind::Newline);
    let opens = last.is_none_or(|l| of(l) != Some(at));
    if opens && last.is_some_and(|l| of(l).is_some()) && before.is_some_and(|b| b.what != What::Comma) {
        // nothing but room stands between these two cells
        return Some(Element { what: What::Comma, from: i, to: i });
    }
    let end = (i..doc.tokens.len()).find(|k| of(&doc.tokens[*k]) != Some(at)).unwrap_or(doc.tokens.len());
    let q = quantity(&doc.tokens[i..end]);
    let whole = |q: &Quantity| i + q.tokens == end;
    let found = |what: What, to: usize| Some(Element { what, from: i, to });
    match (cells[at].1, q) {
        _ if !opens => None,
        (Column::Number, Some(q)) => found(What::Bullet(Some(q.amount.high())), end),
        (Column::Load(_) | Column::Rest, None) if end == i + 1 => found(What::Dash, end),
        (Column::Rest, Some(q)) if whole(&q) && matches!(q.unit, Unit::Seconds | Unit::Bare) => {
            found(What::Rest(Some(q.amount.clone()), q.unit == Unit::Bare), end)
        }
        (Column::Load(unit), Some(q)) if whole(&q) && q.unit == Unit::Bare => found(bare_load(unit, q), end),
        (Column::Sets, Some(q))
            if whole(&q) && matches!((&q.amount, q.unit), (Amount::One(_), Unit::Bare | Unit::Sets | Unit::Rounds)) =>
        {
            let next = cells.get(at + 1).filter(|c| c.1 == Column::Reps)?;
            let from = (end..doc.tokens.len())
                .take_while(|k| doc.tokens[*k].line == t.line)
                .find(|k| next.0.contains(&doc.tokens[*k].start))?;
            let sets = q.amount.high();
            match quantity(&doc.tokens[from..]) {
                Some(reps) => found(What::SetsOf(sets, reps.clone()), from + reps.tokens),
                None if matches!(doc.low(from), "max" | "amrap") => found(What::SetsOfMax(sets), from + 1),
                None => None,
            }
        }
        _ => None,
    }
}

/// A bare number in a column of loads.
fn bare_load(unit: Option<&str>, q: Quantity) -> What {
    let n = q.amount.high();
    let load = match unit {
        Some("kg") => Load::Kg { values: q.amount.values(), range: false },
        Some("lb") => Load::Lb { values: q.amount.values(), range: false },
        Some("%") => Load::Percent { percent: q.amount, of: "1RM".to_owned() },
        Some("rpe") => Load::Rpe(q.amount),
        Some("rir") => Load::Rir(q.amount),
        _ => return What::BareLoad(n),
    };
    What::Load(load, None)
}
