//! A length or a cap that is told twice, and differs.

use super::super::super::dose::Amount;
use super::super::super::session::{Format, ProblemKind, Session, Severity};
use super::super::draft::{Draft, Sheet};
use super::super::element::Doc;
use super::super::item::Span;
use super::super::line::Reader;
use super::super::quantity::{Quantity, Unit, quantity};
use super::super::resolve::words;
use super::super::token::Kind;

/// Words before the length of a part in what is said of its score.
const SCORED: &[&str] = &["after", "in", "within", "during", "across", "over", "end of"];

/// `8 min AMRAP` above and `reps after 10 minutes` in its score, or `all 14 minutes` in the words beside it.
pub(super) fn lengths(reader: &mut Reader, sheet: &Sheet, session: &mut Session) {
    for (draft, part) in sheet.parts.iter().zip(&mut session.parts) {
        let Some(written) = part.duration_s.filter(|_| matches!(part.format, Format::Amrap | Format::Emom)) else { continue };
        let notes = draft.notes.iter().chain(draft.rows.iter().flat_map(|r| &r.notes));
        let scored = draft.score.iter().find_map(|s| length_in(reader.doc, *s, SCORED, written));
        // `3 x 4 min AMRAP`, and the score is that of all 12 minutes
        let blocks = part.rounds.as_ref().map_or(1.0, Amount::high);
        let scored = scored.filter(|(_, q)| blocks < 2.0 || q.amount.high() + 1.0 < blocks * written);
        let scored = scored.or_else(|| other_window(reader.doc, draft, part.format, written));
        let Some((t, q)) = scored
            .or_else(|| notes.into_iter().find_map(|s| length_in(reader.doc, *s, &["all", "whole", "full", "entire"], written)))
        else {
            continue;
        };
        let text = format!("It is {} long, but the words beside it say {}.", words(written), words(q.amount.high()));
        let suggest = vec![words(written), words(q.amount.high())];
        reader.problem(ProblemKind::Contradiction, Severity::Error, (t, t + q.tokens), text, suggest);
        part.duration_s = None;
        if part.format == Format::Emom {
            part.rounds = None;
        }
    }
}

/// `AMRAP 12` above `15 minutes of:`
fn other_window(doc: &Doc, draft: &Draft, format: Format, written: f64) -> Option<(usize, Quantity)> {
    let told = draft.first(|f| f.amrap.and_then(|a| a.0)).filter(|_| format == Format::Amrap)?;
    let other = |(amount, at): (Amount, Span)| ((amount.high() - told).abs() > 1.0 && amount.high() >= 180.0).then_some(at);
    let at = draft.facts.iter().filter_map(|f| f.window.clone()).find_map(other).filter(|_| (told - written).abs() < 1.0)?;
    quantity(&doc.tokens[at.0..at.1]).map(|q| (at.0, q))
}

/// `cap 14 min` above the lines and `12 min cap as always` in the words below: which of the two is right is in doubt.
pub(super) fn caps(reader: &mut Reader, sheet: &Sheet, session: &mut Session) {
    for i in 0..session.parts.len() {
        let Some(written) = session.parts[i].time_cap_s else { continue };
        let below = (i..session.parts.len()).take_while(|k| *k == i || session.parts[*k].time_cap_s.is_none());
        let notes = below.flat_map(|k| &sheet.parts[k].notes);
        let noted = notes.into_iter().find_map(|s| cap_in(reader.doc, *s, written));
        let noted = noted.map(|(t, q)| ((t, t + q.tokens), q.amount.high()));
        let Some((at, other)) = noted.or_else(|| second_cap(reader.doc, &sheet.parts[i], written)) else { continue };
        let text = format!("The cap is {} in one place and {} in another.", words(written), words(other));
        reader.problem(ProblemKind::Contradiction, Severity::Error, at, text, vec![words(written), words(other)]);
        session.parts[i].time_cap_s = None;
    }
}

/// `cap 18 min` in the heading, `The cap is 20 min` on a line of its own below: not the cap of a version, which is named before it.
fn second_cap(doc: &Doc, draft: &Draft, written: f64) -> Option<(Span, f64)> {
    let all = || draft.facts.iter().filter_map(|f| f.cap).filter_map(|(s, each, at)| Some((s?, each, at)));
    let whole = all().all(|(_, each, _)| !each);
    let opens = |at: Span| {
        let line = (0..at.0).rev().take_while(|t| doc.tokens[*t].kind != Kind::Newline);
        line.into_iter().all(|t| matches!(doc.low(t), "the" | "time" | "cap" | "limit" | "is" | "today's"))
    };
    all().find(|(s, _, at)| whole && (s - written).abs() > 1.0 && opens(*at)).map(|(s, _, at)| (at, s))
}

/// Another cap than `written` in a note that speaks of the cap of today.
fn cap_in(doc: &Doc, span: Span, written: f64) -> Option<(usize, Quantity)> {
    let other = |t: usize| matches!(doc.low(t), "if" | "last" | "next" | "was" | "shorter" | "beginners" | "instead" | "option");
    (span.0..span.1).find_map(|t| {
        let q = quantity(&doc.tokens[t..span.1]).filter(|q| q.unit == Unit::Seconds && matches!(q.amount, Amount::One(_)))?;
        let behind = doc.says_any(t + q.tokens, &["cap", "time cap", "limit", "time limit"]).is_some();
        let before = t > span.0
            && (matches!(doc.low(t - 1), "cap" | "limit") || doc.low(t - 1) == "is" && doc.low(t.saturating_sub(2)) == "cap");
        let elsewhere = (span.0..t).any(other) || (t..(t + q.tokens + 3).min(span.1)).any(other);
        ((behind || before) && !elsewhere && (q.amount.high() - written).abs() > 1.0).then_some((t, q))
    })
}

/// Another length than `written` behind one of these words.
fn length_in(doc: &Doc, span: Span, behind: &[&str], written: f64) -> Option<(usize, Quantity)> {
    (span.0..span.1).find_map(|t| {
        let said = t + doc.says_any(t, behind)?;
        let at = said + usize::from(matches!(doc.low(said), "the" | "those" | "these" | "all"));
        let q = quantity(&doc.tokens[at.min(span.1)..span.1]).filter(|q| q.unit == Unit::Seconds)?;
        ((q.amount.high() - written).abs() > 1.0 && q.amount.high() >= 60.0).then_some((at, q))
    })
}
