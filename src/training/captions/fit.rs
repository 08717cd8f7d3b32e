//! Which part or line of a session a chapter is about.
//!
//! # Design
//! A chapter keeps its words and nothing else; where it belongs is found when it is shown. So a part that was moved or
//! lettered anew keeps its chapter by its name, and a text that changed never points at the wrong part by its number.

use super::Chapter;
use crate::training::session::{Line, Part, Session};
use crate::training::wording;

/// A place in a session.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spot {
    /// from 0
    pub part: usize,
    /// from 0; none where the chapter is about the whole part
    pub line: Option<usize>,
}

/// How alike two names must be to be one with a slip of the finger in it (Jaro-Winkler, 0 to 1; our choice).
const ALIKE: f64 = 0.92;

/// The place of each chapter, in order; none where its words name no part. No two chapters have one place.
#[must_use]
pub fn fit(chapters: &[Chapter], session: &Session) -> Vec<Option<Spot>> {
    let mut taken: Vec<Spot> = Vec::new();
    let mut around: Option<usize> = None;
    chapters
        .iter()
        .map(|c| {
            let spot = if c.nested {
                around.and_then(|part| line(&c.title, part, session, &taken))
            } else {
                let found = part(&c.title, session, &taken);
                around = found.map(|s| s.part);
                found
            };
            taken.extend(spot);
            spot
        })
        .collect()
}

/// The first line of that name that has no chapter yet.
fn line(title: &str, part: usize, session: &Session, taken: &[Spot]) -> Option<Spot> {
    let lines = session.parts[part].lines.iter().enumerate();
    lines.map(|(n, l)| (Spot { part, line: Some(n) }, l)).find(|(s, l)| !taken.contains(s) && names(title, l)).map(|(s, _)| s)
}

fn names(title: &str, line: &Line) -> bool {
    let title = folded(title);
    [line.movement.as_str(), &wording::movement(line), &line_heading(line)].iter().any(|name| same(&title, &folded(name)))
}

fn part(title: &str, session: &Session, taken: &[Spot]) -> Option<Spot> {
    let typed = title.to_lowercase();
    let typed = typed.strip_prefix("part ").unwrap_or(&typed);
    let words = folded(typed);
    let free = || session.parts.iter().enumerate().filter(|(n, _)| !taken.contains(&Spot { part: *n, line: None }));
    let whole = |p: &Part| folded(&heading(p)) == words || folded(&p.name) == words;
    let near = |p: &Part| same(&words, &folded(&p.name)) || same(&words, &folded(&heading(p)));
    let lettered = |p: &Part| p.label.as_ref().is_some_and(|l| begins_with_label(typed, &l.to_lowercase()));
    let found =
        free().find(|(_, p)| whole(p)).or_else(|| free().find(|(_, p)| lettered(p))).or_else(|| free().find(|(_, p)| near(p)));
    found.map(|(part, _)| Spot { part, line: None })
}

/// `b`, `b. anything`, `b: anything`; a bare `a warm welcome` is no part A.
fn begins_with_label(title: &str, label: &str) -> bool {
    title
        .strip_prefix(label)
        .is_some_and(|rest| rest.trim().is_empty() || rest.trim_start().starts_with(['.', ')', ':', '-', '–']))
}

fn same(a: &str, b: &str) -> bool {
    a == b || (a.len() >= 4 && b.len() >= 4 && strsim::jaro_winkler(a, b) >= ALIKE)
}

/// `B. Ten rounds`
#[must_use]
pub fn heading(part: &Part) -> String {
    part.label.as_ref().map_or_else(|| part.name.clone(), |label| format!("{label}. {}", part.name))
}

/// What a chapter about a line is called: its movement.
#[must_use]
pub fn line_heading(line: &Line) -> String {
    wording::movement(line)
}

/// Lower-case words without marks; a plural is its singular.
fn folded(text: &str) -> String {
    let text = text.to_lowercase();
    let words = text.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty());
    let single =
        |w: &str| if w.len() > 3 && !w.ends_with("ss") { w.strip_suffix('s').unwrap_or(w).to_owned() } else { w.to_owned() };
    words.map(single).collect::<Vec<_>>().join(" ")
}
