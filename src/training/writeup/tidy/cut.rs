//! Cuts a write-up where its parts begin, and each part into what stands in it, by the places that the reading has.

use super::super::super::session::{Part, Place, Session};
use std::ops::Range;

/// What a stretch of a part is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Kind {
    /// its heading, or how it runs
    Said,
    /// another version, or anything else that was understood and has no words of its own here
    Other,
    /// the line with this number
    Line(usize),
    /// words
    Text,
}

/// A stretch of a part as it was typed.
#[derive(Clone, Debug)]
pub(super) struct Bit {
    pub kind: Kind,
    /// bytes of the whole text
    pub at: Range<usize>,
}

/// Bytes of each typed line.
pub(super) struct Lines<'t> {
    text: &'t str,
    starts: Vec<usize>,
}

impl<'t> Lines<'t> {
    pub(super) fn of(text: &'t str) -> Self {
        let starts = std::iter::once(0).chain(text.match_indices('\n').map(|(i, _)| i + 1)).collect();
        Self { text, starts }
    }

    /// The bytes of a place.
    pub(super) fn bytes(&self, p: Place) -> Range<usize> {
        let end = self.text.len();
        let start = self.starts.get(p.line.saturating_sub(1)).copied().unwrap_or(end);
        let byte = |n: usize| self.text[start..].char_indices().nth(n).map_or(end, |(i, _)| start + i);
        let from = byte(p.column.saturating_sub(1));
        from..byte(p.column.saturating_sub(1) + p.length).max(from)
    }
}

/// Where each part begins; none where they do not stand one behind the other.
pub(super) fn starts(text: &str, lines: &Lines, session: &Session) -> Option<Vec<usize>> {
    let mut out: Vec<usize> = Vec::new();
    let mut taken: Vec<Place> = Vec::new();
    for p in &session.parts {
        // a line that goes on with the movement of the part before stands there
        let own: Vec<Place> = p.lines.iter().filter_map(|l| l.at).filter(|at| !taken.contains(at)).collect();
        let heads = p.at.iter().chain(&own).map(|at| lines.bytes(*at).start).min();
        let first = heads.or_else(|| p.said.iter().map(|at| lines.bytes(*at).start).min())?;
        out.push(with_name(text, first, &p.name));
        taken = own;
    }
    out.windows(2).all(|w| w[0] < w[1]).then_some(out)
}

/// Back to the beginning of the typed line where the name or a list number stands there: `3. Carry, 4 rounds`.
fn with_name(text: &str, at: usize, name: &str) -> usize {
    let line = text[..at].rfind('\n').map_or(0, |i| i + 1);
    let above = text[line..at].trim_start();
    let mark = above.find(|c: char| !c.is_alphanumeric()).unwrap_or(0);
    let numbered = (1..3).contains(&mark) && above[mark..].starts_with(['.', ')']) && above[mark + 1..].starts_with(' ');
    let short = above.split_whitespace().count() < 6;
    if short && (numbered || !name.is_empty() && above.contains(name)) { line } else { with_then(text, with_lead(text, at)) }
}

/// Back over a `then` that only joins: the order says it.
fn with_then(text: &str, at: usize) -> usize {
    let above = text[..at].trim_end();
    let Some(start) = above.len().checked_sub(4).filter(|s| above.is_char_boundary(*s)) else { return at };
    let alone = above[..start].trim_end_matches(' ').ends_with(['\n', '.', ',']);
    if alone && above[start..].eq_ignore_ascii_case("then") { start } else { at }
}

/// Back over bullets, brackets and quotes that belong to what begins here.
fn with_lead(text: &str, at: usize) -> usize {
    let lead = |c: char| {
        !c.is_alphanumeric() && !matches!(c, '\n' | '.' | '!' | '?' | ',' | ';' | ':' | ')') && (c.is_ascii() || c == '\u{2022}')
    };
    text[..at].trim_end_matches(lead).len()
}

/// The stretches of a part, in order.
pub(super) fn bits(text: &str, range: &Range<usize>, lines: &Lines, part: &Part) -> Vec<Bit> {
    let mut owner: Vec<Option<Kind>> = vec![None; range.len()];
    let mut take = |kind: Kind, at: Range<usize>| {
        for i in at.start.max(range.start)..at.end.min(range.end) {
            owner[i - range.start] = Some(kind);
        }
    };
    part.said.iter().chain(&part.at).for_each(|p| take(Kind::Said, lines.bytes(*p)));
    part.options.iter().filter_map(|o| o.at).for_each(|p| take(Kind::Other, lines.bytes(p)));
    for (i, line) in part.lines.iter().enumerate() {
        line.at.into_iter().for_each(|p| take(Kind::Line(i), lines.bytes(p)));
    }
    let mut out: Vec<Bit> = Vec::new();
    let mut at = range.start;
    while at < range.end {
        let kind = owner[at - range.start];
        let len = owner[at - range.start..].iter().take_while(|k| **k == kind).count();
        match kind {
            Some(kind) => out.push(Bit { kind, at: at..at + len }),
            None => out.extend(words(text, at..at + len)),
        }
        at += len;
    }
    joined(text, out)
}

/// The typed lines of a stretch that nothing was understood of, each without what only divides.
fn words(text: &str, range: Range<usize>) -> Vec<Bit> {
    let mut out = Vec::new();
    let mut from = range.start;
    for piece in text[range].split_inclusive('\n') {
        let speaks =
            |c: char| c.is_alphanumeric() || matches!(c, '!' | '?') || !c.is_ascii() && !c.is_whitespace() && c != '\u{2022}';
        if piece.chars().any(speaks) {
            let left = piece.len()
                - piece
                    .trim_start_matches(|c: char| c.is_whitespace() || matches!(c, ',' | ';' | ':' | '.' | '-' | ')' | '*'))
                    .len();
            let right = piece.trim_end_matches(|c: char| c.is_whitespace() || matches!(c, ',' | ';' | ':')).len();
            out.push(Bit { kind: Kind::Text, at: from + left..from + right.max(left) });
        }
        from += piece.len();
    }
    out
}

/// Marks that end a sentence go with the words before them.
fn joined(text: &str, bits: Vec<Bit>) -> Vec<Bit> {
    let mut out: Vec<Bit> = Vec::new();
    for mut bit in bits {
        if let Some(last) = out.last_mut()
            && bit.kind == Kind::Text
            && last.at.end <= bit.at.start
            && !text[last.at.end..bit.at.start].contains('\n')
        {
            let marks = text[bit.at.clone()].len()
                - text[bit.at.clone()]
                    .trim_start_matches(|c: char| !c.is_alphanumeric() && !matches!(c, '(' | '[' | '"' | '\u{201c}'))
                    .len();
            if last.kind != Kind::Text && text[bit.at.clone()][..marks].chars().any(|c| !c.is_whitespace()) {
                last.at.end = bit.at.start + marks;
                let more = &text[last.at.clone()];
                last.at.end = last.at.start + more.trim_end().len();
                bit.at.start += marks;
                if bit.at.is_empty() {
                    continue;
                }
            }
        }
        out.push(bit);
    }
    for i in 0..out.len() {
        let next = out.get(i + 1).map_or(text.len(), |b| b.at.start);
        let more = &text[out[i].at.end..next.max(out[i].at.end)];
        let stops = more.len() - more.trim_start_matches(['.', '!', '?', '\u{2026}', '"', '\u{201d}']).len();
        out[i].at.end += stops;
    }
    out
}
