//! What was understood of a write-up, as the page shows it. The editor and the fragment beside it are the same markup.

use crate::store::weeks::Intents;
use crate::training::movement::Library;
use crate::training::pace::{self, Estimate};
use crate::training::session::{Intent, Line, Part, Place, Problem, ProblemKind, Session, Severity};
use crate::training::{wording, writeup};
use crate::web::{rod, rods};

/// Everything that was understood.
pub(super) struct Reading {
    /// as typed, or none
    pub(super) title: Option<String>,
    /// what the session is for
    pub(super) aim: Option<String>,
    /// words that belong to no part
    pub(super) notes: Vec<String>,
    /// in order
    pub(super) parts: Vec<GotPart>,
    /// what stands in the way or is asked
    pub(super) problems: Vec<GotProblem>,
    /// SVG
    pub(super) rod: String,
    /// how long, in words
    pub(super) time: String,
}

pub(super) struct GotPart {
    pub(super) index: usize,
    /// where it begins in the text: line, column, length
    pub(super) at: Option<String>,
    pub(super) label: Option<String>,
    pub(super) name: String,
    pub(super) intent: &'static str,
    /// word, and whether it is this part's
    pub(super) choices: Vec<(&'static str, bool)>,
    /// the coach chose it
    pub(super) set: bool,
    /// format, score and time
    pub(super) how: String,
    pub(super) lines: Vec<GotLine>,
    /// name, and what differs
    pub(super) options: Vec<(String, String)>,
    pub(super) notes: Vec<String>,
}

pub(super) struct GotLine {
    /// where it stands in the text: line, column, length
    pub(super) at: Option<String>,
    pub(super) dose: String,
    pub(super) movement: String,
    pub(super) known: bool,
    pub(super) details: String,
    /// the coach's own swaps and words
    pub(super) more: Vec<String>,
}

pub(super) struct GotProblem {
    pub(super) error: bool,
    pub(super) line: usize,
    pub(super) column: usize,
    pub(super) length: usize,
    pub(super) text: String,
    /// the typed line: before the place, the place, after it
    pub(super) typed: Option<(String, String, String)>,
    /// mends in one tap
    pub(super) suggest: Vec<String>,
    /// words that the library does not know
    pub(super) unknown: Option<String>,
    /// mends that do not fit the marked place, as words
    pub(super) advice: Vec<String>,
}

/// Every purpose, in the order in which a session usually has them.
pub(super) const INTENTS: [Intent; 5] =
    [Intent::Prep, Intent::Technique, Intent::Strength, Intent::Conditioning, Intent::Mobility];

/// Reads a write-up with the intents that the coach set.
pub(super) fn session(text: &str, intents: &Intents, library: &Library) -> Session {
    let mut session = writeup::read(text, library);
    for (index, intent) in intents {
        if let Some(part) = session.parts.get_mut(*index) {
            part.intent = *intent;
        }
    }
    session
}

impl Reading {
    /// What is shown beside this text.
    pub(super) fn of(text: &str, intents: &Intents, library: &Library) -> Self {
        let session = session(text, intents, library);
        let lines: Vec<&str> = text.lines().collect();
        let rod_parts = rods::parts(&session, library);
        Self {
            title: Some(session.title.clone()).filter(|t| !t.is_empty()),
            aim: session.aim.clone(),
            notes: session.notes.clone(),
            parts: session.parts.iter().enumerate().map(|(i, p)| part(i, p, intents.contains_key(&i), library)).collect(),
            problems: session.problems.iter().map(|p| problem(p, &lines)).collect(),
            rod: if rod_parts.is_empty() { String::new() } else { rod::session_rod("reading-rod", &rod_parts) },
            time: span(pace::session(&session, library)),
        }
    }
}

fn part(index: usize, part: &Part, set: bool, library: &Library) -> GotPart {
    let mut how = vec![wording::format(part)];
    how.extend(wording::score(part.score).map(|s| format!("score: {s}")));
    how.push(span(pace::part(part, library)));
    how.retain(|words| !words.is_empty());
    GotPart {
        index,
        at: part.at.map(place),
        label: part.label.clone(),
        name: part.name.clone(),
        intent: wording::intent(part.intent),
        choices: INTENTS.map(|i| (wording::intent(i), i == part.intent)).to_vec(),
        set,
        how: how.join(" · "),
        lines: part.lines.iter().map(line).collect(),
        options: part.options.iter().map(|o| (o.name.clone(), wording::option(o))).collect(),
        notes: part.notes.clone(),
    }
}

fn place(at: Place) -> String {
    format!("{}:{}:{}", at.line, at.column, at.length)
}

fn line(line: &Line) -> GotLine {
    let mut more: Vec<String> = line.alternatives.iter().map(|l| format!("or {}", wording::whole_line(l))).collect();
    more.extend(line.note.clone());
    GotLine {
        at: line.at.map(place),
        dose: wording::dose(line),
        movement: wording::movement(line),
        known: line.known && line.complex.iter().all(|p| p.known),
        details: wording::details(line).join(", "),
        more,
    }
}

fn problem(p: &Problem, lines: &[&str]) -> GotProblem {
    let cut = |typed: &&str| {
        let chars: Vec<char> = typed.chars().collect();
        let from = p.column.saturating_sub(1).min(chars.len());
        let to = (from + p.length).min(chars.len());
        let text = |range: &[char]| range.iter().collect::<String>();
        (text(&chars[..from]), text(&chars[from..to]), text(&chars[to..]))
    };
    let typed = lines.get(p.line.saturating_sub(1)).map(cut).filter(|(_, marked, _)| !marked.is_empty());
    let (suggest, advice) =
        p.suggest.iter().cloned().partition(|s| typed.as_ref().is_some_and(|(_, marked, _)| stands_for(s, marked)));
    let unknown =
        typed.as_ref().filter(|_| p.kind == ProblemKind::UnknownMovement).map(|(_, marked, _)| marked.trim().to_owned());
    GotProblem {
        error: p.severity == Severity::Error,
        line: p.line,
        column: p.column,
        length: p.length,
        text: p.text.clone(),
        typed,
        suggest,
        unknown,
        advice,
    }
}

/// A number is only ever put where a number stands, and words where none does: a mend must not take away what it is not about.
fn stands_for(new: &str, marked: &str) -> bool {
    let number = |text: &str| text.starts_with(|c: char| c.is_ascii_digit() || c == ':' || c == '@');
    number(new.trim()) == number(marked.trim())
}

/// `12 to 15 min`, `10 min`; nothing for no time at all.
fn span(time: Estimate) -> String {
    let minutes = |s: f64| (s / 60.0).round().max(1.0);
    let (low, high) = (minutes(time.low_s), minutes(time.high_s));
    if time.high_s <= 0.0 {
        String::new()
    } else if low >= high {
        format!("{high} min")
    } else {
        format!("{low} to {high} min")
    }
}

/// Puts `new` where `length` characters stand from this line and column on; none where there is no such place.
pub(super) fn mend(text: &str, line: usize, column: usize, length: usize, new: &str) -> Option<String> {
    let mut lines: Vec<String> = text.split('\n').map(str::to_owned).collect();
    let typed = lines.get_mut(line.checked_sub(1)?)?;
    let chars: Vec<char> = typed.chars().collect();
    let from = column.checked_sub(1)?;
    let to = from.checked_add(length)?;
    if to > chars.len() {
        return None;
    }
    *typed = chars[..from].iter().collect::<String>() + new + &chars[to..].iter().collect::<String>();
    Some(lines.join("\n"))
}

/// The intents that were set on the parts of `old`, on the parts of `new`: a part keeps its own by its name, or by its place
/// where the number of parts is the same, so that typing above a part does not change what it is for.
pub(super) fn carry_intents(intents: &Intents, old: &Session, new: &Session) -> Intents {
    let key = |session: &Session, index: usize| {
        let name = &session.parts.get(index)?.name;
        let nth = session.parts[..index].iter().filter(|p| &p.name == name).count();
        Some((name.clone(), nth))
    };
    let place = |index: usize| {
        let own = key(old, index)?;
        (0..new.parts.len())
            .find(|i| key(new, *i).as_ref() == Some(&own))
            .or((old.parts.len() == new.parts.len()).then_some(index))
    };
    intents.iter().filter_map(|(index, intent)| Some((place(*index)?, *intent))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mend_replaces_characters_not_bytes_and_nothing_beyond_the_line() {
        let text = "Tür\n10 bagpäck rows, total\nEnd";
        assert_eq!(mend(text, 2, 4, 12, "backpack row").as_deref(), Some("Tür\n10 backpack row, total\nEnd"));
        for (line, column, length) in [(0, 1, 1), (9, 1, 1), (1, 0, 1), (1, 2, 9), (1, usize::MAX, 2)] {
            assert_eq!(mend(text, line, column, length, "x"), None, "{line}:{column}+{length}");
        }
    }

    fn of(names: &[&str]) -> Session {
        let parts = names.iter().map(|n| Part { name: (*n).to_owned(), ..Part::default() }).collect();
        Session { parts, ..Session::default() }
    }

    #[test]
    fn what_a_part_is_for_follows_the_part() {
        let set = Intents::from([(1, Intent::Technique)]);
        let old = of(&["Warm-up", "Hang clean"]);
        let moved = carry_intents(&set, &old, &of(&["Warm-up", "Squat", "Hang clean"]));
        assert_eq!(moved, Intents::from([(2, Intent::Technique)]));
        let renamed = carry_intents(&set, &old, &of(&["Warm-up", "Hang power clean"]));
        assert_eq!(renamed, set);
        assert!(carry_intents(&set, &old, &of(&["Warm-up"])).is_empty());
    }
}
