//! What holds for every text: reading never trips, drops nothing, and takes time in proportion to the length.

use crate::corpus::texts;
use dowel::training::movement::Library;
use dowel::training::session::{Line, Place, Session};
use dowel::training::writeup::{print, read, tidy};
use proptest::prelude::*;
use std::time::Instant;

/// Words, numbers and signs that write-ups are made of, in any order.
fn soup() -> impl Strategy<Value = String> {
    let bits = "(10 |5x5 |burpees|air squats|push-ups|, |\n|\n\n|A1\\) |min 1 - |12 min |AMRAP|EMOM |for time|rest 60 s|\\(or ring rows\\)|@ 70%|per side|cap 12|then | \\+ | / |score: time|: |\\. |3 rounds|21-15-9|dragon walks|hold |zz|each|max |2:00|\\?|☀️|no rower\\? |short version: |warm up|30 s on 15 off|build to a heavy 3|@20|-3 |goal: |note: )";
    proptest::collection::vec(bits, 0..40).prop_map(|v| v.concat())
}

proptest! {
    #[test]
    fn reading_any_text_never_trips(text in "(\\PC|\n){0,200}") {
        let _ = read(&text, Library::shipped());
    }

    #[test]
    fn nothing_typed_is_dropped(text in soup()) {
        let session = read(&text, Library::shipped());
        prop_assert_eq!(dropped(&text, &session), Vec::<String>::new());
    }

    #[test]
    fn what_was_read_prints_and_reads_back_the_same(text in soup()) {
        let session = placeless(read(&text, Library::shipped()));
        let back = placeless(read(&print(&session), Library::shipped()));
        prop_assert_eq!(back, session);
    }
}

proptest! {
    #[test]
    fn any_text_reads_the_same_when_it_is_tidied(text in soup()) {
        let session = placeless(read(&text, Library::shipped()));
        prop_assert_eq!(placeless(read(&tidy(&text, Library::shipped()), Library::shipped())), session);
    }
}

#[test]
fn nothing_of_the_corpus_is_dropped() {
    for path in texts("tests/data/sessions").into_iter().chain(texts("tests/data/sessions-apart")) {
        let text = std::fs::read_to_string(&path).unwrap();
        let lost = dropped(&text, &read(&text, Library::shipped()));
        assert!(lost.is_empty(), "{}: {lost:?}", path.display());
    }
}

#[test]
fn the_corpus_prints_and_reads_back_the_same() {
    for path in texts("tests/data/sessions") {
        let session = placeless(read(&std::fs::read_to_string(&path).unwrap(), Library::shipped()));
        assert_eq!(placeless(read(&print(&session), Library::shipped())), session, "{}", path.display());
    }
}

#[test]
fn twice_the_text_takes_about_twice_the_time() {
    // a hundred texts tell as much as all of them
    let all: String =
        texts("tests/data/sessions").iter().step_by(5).take(100).map(|p| std::fs::read_to_string(p).unwrap()).collect();
    for glue in ["\n", ", "] {
        let once = all.replace('\n', glue);
        let large = once.repeat(8);
        let _ = read(&once, Library::shipped());
        // in turns, so that a busy machine slows both
        let (mut short, mut long) = (f64::INFINITY, f64::INFINITY);
        for _ in 0..4 {
            short = short.min(time(&once));
            long = long.min(time(&large));
        }
        let ratio = long / short;
        assert!(ratio < 8.0 * 3.0, "8 times the text took {ratio:.1} times as long");
    }
}

fn time(text: &str) -> f64 {
    let start = Instant::now();
    let session = read(text, Library::shipped());
    assert!(!session.parts.is_empty());
    start.elapsed().as_secs_f64()
}

/// Words of the text that stand in no line, heading, problem or note.
fn dropped(text: &str, session: &Session) -> Vec<String> {
    let mut taken: Vec<Vec<bool>> = text.split('\n').map(|l| vec![false; l.chars().count()]).collect();
    places(session).for_each(|p| mark(&mut taken, p));
    let lines: Vec<Vec<char>> = text.split('\n').map(|l| l.chars().collect()).collect();
    let kept = words(session);
    let mut out = Vec::new();
    for (line, taken) in lines.iter().zip(&taken) {
        let free = |i: usize| line[i].is_alphanumeric() && !taken[i];
        let mut i = 0;
        while i < line.len() {
            let from = i;
            while i < line.len() && free(i) {
                i += 1;
            }
            let word: String = line[from..i].iter().collect();
            if !word.is_empty() && !kept.iter().any(|k| k.contains(&word)) {
                out.push(word);
            }
            i += 1;
        }
    }
    out
}

fn mark(taken: &mut [Vec<bool>], p: Place) {
    if let Some(line) = taken.get_mut(p.line.wrapping_sub(1)) {
        line.iter_mut().skip(p.column.saturating_sub(1)).take(p.length).for_each(|t| *t = true);
    }
}

fn places(session: &Session) -> impl Iterator<Item = Place> + '_ {
    let line = |l: &Line| l.at.into_iter().chain(l.alternatives.iter().filter_map(|a| a.at)).collect::<Vec<_>>();
    session
        .parts
        .iter()
        .flat_map(move |p| {
            let lines = p.lines.iter().flat_map(line).collect::<Vec<_>>();
            let options = p.options.iter().filter_map(|o| o.at).collect::<Vec<_>>();
            p.at.into_iter().chain(p.said.clone()).chain(lines).chain(options).collect::<Vec<_>>()
        })
        .chain(session.problems.iter().map(|p| Place { line: p.line, column: p.column, length: p.length }))
}

fn words(session: &Session) -> Vec<&str> {
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

fn placeless(mut session: Session) -> Session {
    session.problems.clear();
    for part in &mut session.parts {
        part.at = None;
        part.said.clear();
        for option in &mut part.options {
            option.at = None;
            option.lines.iter_mut().for_each(bare);
        }
        part.lines.iter_mut().for_each(bare);
    }
    session
}

fn bare(line: &mut Line) {
    line.at = None;
    line.alternatives.iter_mut().for_each(bare);
}
