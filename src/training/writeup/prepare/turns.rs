//! Which window of a turn each line stands in.

use super::super::clause::Lead;
use super::super::draft::{Draft, Row};
use super::super::element::Doc;
use super::super::item::{Item, Span};
use super::super::quantity::Unit;

/// `every 3 min: A) 10 swings, 10 push-ups B) 200 m run`: a letter before a line is a window, and several lines behind one letter
/// share it.
pub(super) fn lettered_windows(draft: &mut Draft) {
    let letter = |r: &Row| r.lead.label.clone().filter(|l| l.len() == 1);
    let beside = |w: &[Row]| letter(&w[1]).is_some() || w[1].line == w[0].line && w[1].lead.label.is_none();
    let mut letters: Vec<String> = draft.rows.iter().filter_map(letter).collect();
    letters.dedup();
    let windows = letters.len();
    let told = draft.first(|f| f.every).is_some() && draft.rows.first().and_then(letter).is_some() && draft.rest_stations == 0;
    if !told || windows < 2 || !draft.rows.windows(2).all(beside) {
        return;
    }
    let (mut minute, mut last) = (0, None);
    for row in &mut draft.rows {
        let own = letter(row);
        minute += u32::from(own.is_some() && own != last);
        last = own.or(last);
        row.lead.minute = Some(minute);
    }
}

/// `12 swings on odd minutes, 10 burpees on the even ones`: the windows are told behind the lines.
pub(super) fn odd_and_even(draft: &mut Draft, doc: &Doc) {
    let told = draft.first(|f| f.every).is_some() && draft.rows.len() > 1 && draft.rest_stations == 0;
    if !told || draft.rows.iter().any(|r| r.lead.minute.is_some() || r.role.is_some()) {
        return;
    }
    let from: Vec<usize> = draft.rows.iter().map(|r| r.item.from).collect();
    let line = |t: usize| doc.tokens.get(t).map(|t| t.line);
    let which = |k: usize| {
        let end = from.get(k + 1).copied().unwrap_or(from[k] + 16);
        let near = (from[k]..end).take_while(|t| line(*t) == line(from[k]));
        near.skip(1).find_map(|t| {
            let on = matches!(doc.low(t - 1), "on" | "the" | "during" | "in");
            match doc.low(t) {
                "odd" | "odds" if on => Some(1),
                "even" | "evens" if on => Some(2),
                _ => None,
            }
        })
    };
    let Some(minutes) = (0..from.len()).map(which).collect::<Option<Vec<u32>>>() else { return };
    draft.rows.iter_mut().zip(minutes).for_each(|(row, minute)| row.lead.minute = Some(minute));
}

/// `EMOM 12, 3 min each` above four lines: the first stands in the minutes 1 to 3, the next in 4 to 6. Where it does not come
/// out even, its words are to be asked about.
pub(super) fn minutes_of_each(draft: &mut Draft) -> Option<Span> {
    let (every, total, ..) = draft.first(|f| f.every)?;
    let total = total?;
    let longer =
        |s: &Item| s.sets.is_none() && s.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds && q.amount.low() > every);
    let lines = draft.rows.iter().filter(|r| r.role.is_none() && r.lead.minute.is_none() && r.lead.number.is_none()).count();
    let scheme = draft.scheme.take_if(|s| longer(s) && lines > 1 && lines == draft.rows.len())?;
    let each = scheme.dose.as_ref().map_or(0.0, |q| q.amount.low());
    let windows = (each / every).round();
    if (each * lines as f64 - total).abs() > 0.01 || (windows * every - each).abs() > 0.01 {
        return Some((scheme.from, scheme.to));
    }
    let mut minutes = 1..;
    for row in &mut draft.rows {
        row.lead.more = minutes.by_ref().take(windows as usize).collect();
        row.lead.minute = row.lead.more.first().copied();
    }
    None
}

/// `min 1-3: 12 swings`: a line for each of the minutes, in their order.
pub(super) fn each_minute(draft: &mut Draft) {
    if draft.rows.iter().all(|r| r.lead.more.is_empty()) {
        return;
    }
    let with = |row: &Row, minute| Row { lead: Lead { minute: Some(minute), ..row.lead.clone() }, ..row.clone() };
    let all = |row: Row| match &row.lead.more[..] {
        [] => vec![row],
        more => more.iter().map(|m| with(&row, *m)).collect(),
    };
    draft.rows = std::mem::take(&mut draft.rows).into_iter().flat_map(all).collect();
    draft.rows.sort_by_key(|r| r.lead.minute);
}
