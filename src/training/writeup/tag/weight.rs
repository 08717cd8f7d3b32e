//! `70x3 80x3 90x3+`: weights and their reps, which look like sets.

use super::super::super::dose::Amount;
use super::super::element::{Doc, Element, What};
use super::super::quantity::Unit;
use std::collections::HashMap;

/// Sets that nobody counts.
const MANY: f64 = 30.0;
/// Sets that nobody counts twice on a line.
const SEVERAL: f64 = 20.0;

/// What nobody does in so many sets is how heavy it is, and the number behind the sign how often.
pub(super) fn by_reps(doc: &Doc, elements: Vec<Element>) -> Vec<Element> {
    let heavy = |e: &Element| match &e.what {
        What::SetsOf(n, q) if q.unit == Unit::Bare && e.to == e.from + 3 => {
            Some(*n).filter(|n| *n >= SEVERAL && matches!(q.amount, Amount::One(reps) if (2.0..=6.0).contains(&reps)))
        }
        _ => None,
    };
    let line = |e: &Element| doc.tokens[e.from].line;
    let mut on_line: HashMap<usize, usize> = HashMap::new();
    elements.iter().filter(|e| heavy(e).is_some()).for_each(|e| *on_line.entry(line(e)).or_default() += 1);
    let weight = |e: &Element| heavy(e).filter(|n| *n >= MANY || on_line.get(&line(e)).is_some_and(|n| *n > 1));
    if elements.iter().all(|e| weight(e).is_none()) {
        return elements;
    }
    let apart = |e: &Element| match (weight(e), &e.what) {
        (Some(n), What::SetsOf(_, q)) => vec![
            Element { what: What::BareLoad(n), from: e.from, to: e.from + 1 },
            Element { what: What::Dash, from: e.from + 1, to: e.from + 2 },
            Element { what: What::Dose(q.clone()), from: e.from + 2, to: e.to },
        ],
        _ => vec![e.clone()],
    };
    elements.iter().flat_map(apart).collect()
}
