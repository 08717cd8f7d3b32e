//! Tries one after the other that are told in one sentence.

use super::super::super::dose::Amount;
use super::super::draft::{Draft, Row, Sheet};
use super::super::element::Doc;
use super::super::item::{Facts, Item, Span};
use super::super::quantity::Unit;

/// `as many reps as possible in 4 minutes of burpees, rest 2, 4 minutes of squats, rest 2, 4 minutes of push-ups`: each movement
/// has a time of its own that is filled with it, so each is a part; in an AMRAP of rounds nobody rests between the lines.
pub(super) fn in_turn(sheet: &mut Sheet, doc: &Doc) {
    let drafts = std::mem::take(&mut sheet.parts);
    let apart = |draft: Draft| match window(&draft, doc) {
        Some(window) => tries(draft, window),
        None => vec![draft],
    };
    sheet.parts = drafts.into_iter().flat_map(apart).collect();
}

/// The time that each of the lines is done for, where one after the other is filled with as many as possible.
fn window(draft: &Draft, doc: &Doc) -> Option<f64> {
    let (window, at) = draft.first(|f| f.amrap)?;
    let window = window?;
    let reps = (at.0..at.1).any(|t| doc.low(t) == "reps");
    let (first, others) = draft.rows.split_first()?;
    let same = |it: &Item| it.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds && q.amount == Amount::One(window));
    let timed = |r: &Row| r.line == first.line && r.item.is_named() && r.item.sets.is_none() && same(&r.item);
    let bare = first.item.is_named() && !first.item.is_dosed();
    let rests = draft.facts.iter().filter(|f| f.rest.as_ref().is_some_and(|r| r.0.is_some())).count();
    let plain = draft.scheme.is_none() && draft.label.is_none() && draft.first(|f| f.rounds.clone()).is_none();
    (reps && bare && plain && !others.is_empty() && rests == others.len() && others.iter().all(timed)).then_some(window)
}

fn tries(mut draft: Draft, window: f64) -> Vec<Draft> {
    let mut rests = draft.facts.iter().filter_map(|f| f.rest.clone()).collect::<Vec<_>>().into_iter();
    let rows = std::mem::take(&mut draft.rows);
    let one = |(k, row): (usize, Row)| {
        let span: Span = row.at.unwrap_or((row.item.from, row.item.to));
        let lasts = Facts { window: Some((Amount::One(window), span)), rest: rests.next(), ..Facts::default() };
        let item = Item { dose: None, max: Some(None), ..row.item.clone() };
        let own = if k == 0 { std::mem::take(&mut draft) } else { Draft::default() };
        Draft { at: own.at.or(Some(span)), facts: vec![lasts], rows: vec![Row { item, ..row }], ..own }
    };
    rows.into_iter().enumerate().map(one).collect()
}
