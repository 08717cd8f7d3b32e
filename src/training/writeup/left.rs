//! The net under the reader: words that stand nowhere in what was read become notes, so that nothing typed is dropped.

use super::super::session::{Line, Place, Session};
use std::collections::HashSet;

/// Adds a note for each typed line of which words were left over.
pub(super) fn keep(text: &str, session: &mut Session) {
    let mut taken: Vec<Vec<bool>> = text.split('\n').map(|l| vec![false; l.chars().count()]).collect();
    places(session).for_each(|p| mark(&mut taken, p));
    let kept: HashSet<String> = texts(session).into_iter().flat_map(runs).collect();
    let left: Vec<String> = text
        .split('\n')
        .zip(&taken)
        .map(|(line, taken)| {
            let free: String = line.chars().zip(taken).map(|(c, &t)| if t { ' ' } else { c }).collect();
            runs(&free).filter(|word| !kept.contains(word)).collect::<Vec<_>>().join(" ")
        })
        .filter(|words| !words.is_empty())
        .collect();
    session.notes.extend(left);
}

/// Words and numbers of a text.
fn runs(text: &str) -> impl Iterator<Item = String> + '_ {
    text.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).map(str::to_owned)
}

fn mark(taken: &mut [Vec<bool>], p: Place) {
    if let Some(line) = taken.get_mut(p.line.wrapping_sub(1)) {
        line.iter_mut().skip(p.column.saturating_sub(1)).take(p.length).for_each(|t| *t = true);
    }
}

fn places(session: &Session) -> impl Iterator<Item = Place> + '_ {
    let line = |l: &Line| l.at.into_iter().chain(l.alternatives.iter().filter_map(|a| a.at)).collect::<Vec<_>>();
    let parts = session.parts.iter().flat_map(move |p| {
        let lines = p.lines.iter().flat_map(line).collect::<Vec<_>>();
        let options = p.options.iter().filter_map(|o| o.at);
        p.at.into_iter().chain(p.said.clone()).chain(lines).chain(options).collect::<Vec<_>>()
    });
    parts.chain(session.problems.iter().map(|p| Place { line: p.line, column: p.column, length: p.length }))
}

fn texts(session: &Session) -> Vec<&str> {
    let mut all: Vec<&str> = vec![&session.title];
    all.extend(session.aim.as_deref());
    all.extend(session.notes.iter().map(String::as_str));
    for p in &session.parts {
        all.extend(p.notes.iter().map(String::as_str));
        all.extend(p.score_rule.as_deref());
        all.extend(p.options.iter().filter_map(|o| o.text.as_deref()));
        all.extend(p.lines.iter().filter_map(|l| l.note.as_deref()));
    }
    all
}
