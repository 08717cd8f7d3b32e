//! How something is spelled changes nothing about what is read: case, signs of multiplication, units written out, bullets.

use crate::corpus::texts;
use dowel::training::movement::Library;
use dowel::training::session::{Line, Session};
use dowel::training::writeup::read;
use proptest::prelude::*;

/// What a line tells, without its place and its words.
fn told(line: &Line) -> String {
    format!(
        "{} {:?} {:?} {:?} {:?} {:?} {:?} {:?}",
        // a name that nobody knows is kept as it was typed
        line.movement.replace('–', "-"),
        line.reps,
        line.seconds,
        line.metres,
        line.calories,
        line.side,
        line.load,
        line.tempo
    )
}

/// What a session tells, without its places and words.
fn gist(session: &Session) -> Vec<String> {
    let parts = session.parts.iter().flat_map(|p| {
        let head = format!(
            "{:?} {:?} {:?} {:?} {:?} {:?} {:?}",
            p.format, p.rounds, p.time_cap_s, p.duration_s, p.interval, p.rest_s, p.score
        );
        std::iter::once(head).chain(p.lines.iter().map(told)).collect::<Vec<_>>()
    });
    parts.chain(session.problems.iter().map(|p| format!("{:?} {:?}", p.kind, p.severity))).collect()
}

fn same(before: &str, after: &str, what: &str) {
    let (a, b) = (read(before, Library::shipped()), read(after, Library::shipped()));
    assert_eq!(gist(&a), gist(&b), "{what} changed the reading of\n{before}\n--- as\n{after}");
}

fn corpus() -> Vec<String> {
    texts("tests/data/sessions").iter().map(|p| std::fs::read_to_string(p).unwrap()).collect()
}

/// Changes each `x` between two numbers.
fn with_sign(text: &str, sign: &str) -> String {
    let letters: Vec<char> = text.chars().collect();
    let digit = |i: Option<usize>| i.and_then(|i| letters.get(i)).is_some_and(char::is_ascii_digit);
    let between = |i: usize| letters[i] == 'x' && digit(i.checked_sub(1)) && digit(Some(i + 1));
    (0..letters.len()).map(|i| if between(i) { sign.to_owned() } else { letters[i].to_string() }).collect()
}

#[test]
fn small_letters_read_as_capitals_do() {
    for text in corpus().iter().filter(|t| !t.contains("http") && !t.contains('X')) {
        same(text, &text.to_lowercase(), "lower case");
    }
}

#[test]
fn any_sign_of_multiplication_reads_as_x() {
    for text in corpus() {
        for sign in ["×", "*", " x ", " × "] {
            same(&text, &with_sign(&text, sign), sign);
        }
    }
}

#[test]
fn spaces_at_the_end_and_windows_line_ends_read_as_none() {
    for text in corpus() {
        same(&text, &text.replace('\n', "  \n"), "spaces at the end");
        same(&text, &text.replace('\n', "\r\n"), "line ends");
        same(&text, &format!("\n\n{text}\n\n\n"), "empty lines around");
    }
}

#[test]
fn dashes_of_any_length_read_alike() {
    for text in corpus() {
        let longer = text.replace('-', "–");
        // a dash that opens a line or stands for minus is a sign of its own
        if !text.lines().any(|l| l.trim_start().starts_with('-')) && !text.contains("->") {
            same(&text, &longer, "an en dash");
        }
    }
}

#[test]
fn every_bullet_reads_alike() {
    for text in corpus().iter().filter(|t| t.lines().any(|l| l.trim_start().starts_with("- "))) {
        for bullet in ["* ", "• ", "– "] {
            let lines: Vec<String> = text
                .lines()
                .map(|l| match l.trim_start().strip_prefix("- ") {
                    Some(rest) => format!("{bullet}{rest}"),
                    None => l.to_owned(),
                })
                .collect();
            same(text, &lines.join("\n"), bullet);
        }
    }
}

/// A movement as it may be typed: plural or not, with hyphens or spaces, in any case.
fn typed() -> impl Strategy<Value = (String, String)> {
    let library = Library::shipped();
    let counted: Vec<String> = library
        .all()
        .iter()
        .filter(|m| m.unit == dowel::training::movement::Unit::Reps && !m.name.contains('/'))
        .map(|m| m.name.clone())
        .collect();
    (proptest::sample::select(counted), any::<bool>(), any::<bool>(), 0..3u8).prop_map(|(name, plural, spaced, case)| {
        let mut typed = if spaced { name.replace('-', " ") } else { name.clone() };
        let one_letter = name.rsplit(['-', ' ']).next().is_some_and(|w| w.len() == 1);
        if plural && !one_letter && !typed.ends_with('s') && !typed.contains('(') {
            let es = ["ch", "sh", "x"].iter().any(|end| typed.ends_with(end));
            typed.push_str(if es { "es" } else { "s" });
        }
        let typed = match case {
            0 => typed,
            1 => typed.to_uppercase(),
            _ => typed.chars().enumerate().map(|(i, c)| if i == 0 { c.to_ascii_uppercase() } else { c }).collect(),
        };
        (name, typed)
    })
}

proptest! {
    #[test]
    fn a_movement_is_found_however_it_is_spelled(
        (name, typed) in typed(),
        n in 2..30u32,
        end in proptest::sample::select(vec!["", ".", ",", "!", " ", "\n"]),
        reps in proptest::sample::select(vec!["", " reps", " x", "x"]),
    ) {
        let session = read(&format!("3 rounds\n{n}{reps} {typed}{end}"), Library::shipped());
        let lines: Vec<&Line> = session.parts.iter().flat_map(|p| &p.lines).collect();
        prop_assert_eq!(lines.len(), 1, "{:?}", session);
        prop_assert_eq!(&lines[0].movement, &name);
        prop_assert_eq!(lines[0].reps.as_ref().map(|r| r.high()), Some(f64::from(n)));
        prop_assert!(session.problems.is_empty(), "{:?}", session.problems);
    }
}
