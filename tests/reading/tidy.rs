//! A tidied write-up: the same session in plain words, with every sentence, name and note of the coach's own.

use crate::corpus::texts;
use dowel::training::movement::Library;
use dowel::training::session::Session;
use dowel::training::writeup::{read, tidy};
use std::num::NonZero;
use std::path::Path;
use std::sync::LazyLock;
use std::thread::{available_parallelism, scope};

/// A write-up, its tidy form, and what is read from each.
struct Tidied {
    name: String,
    text: String,
    tidied: String,
    of_text: Session,
    of_tidied: Session,
}

impl Tidied {
    fn of(path: &Path) -> Self {
        let text = std::fs::read_to_string(path).unwrap();
        let tidied = tidy(&text, Library::shipped());
        let (of_text, of_tidied) = (read(&text, Library::shipped()), read(&tidied, Library::shipped()));
        Self { name: path.display().to_string(), text, tidied, of_text, of_tidied }
    }
}

/// Every write-up with its tidy form: made once for all tests, on as many threads as there are.
static ALL: LazyLock<Vec<Tidied>> = LazyLock::new(|| {
    let mut paths = texts("tests/data/sessions");
    paths.extend(texts("tests/data/sessions-apart"));
    let share = paths.len().div_ceil(available_parallelism().map_or(1, NonZero::get));
    scope(|s| {
        let threads: Vec<_> = paths.chunks(share).map(|some| s.spawn(|| some.iter().map(|p| Tidied::of(p)).collect())).collect();
        threads.into_iter().flat_map(|t| -> Vec<Tidied> { t.join().unwrap() }).collect()
    })
});

/// What the reader calls a part that has no name of its own.
const MADE: [&str; 8] = ["Sets", "Rounds", "For time", "AMRAP", "EMOM", "Intervals", "Practice", "Ladder"];

/// Words of the coach's own: the names, the notes, the other versions.
fn own_words(session: &Session) -> Vec<&str> {
    let mut all: Vec<&str> = vec![&session.title];
    all.extend(session.aim.as_deref());
    all.extend(session.notes.iter().map(String::as_str));
    for p in &session.parts {
        let made = MADE.contains(&p.name.as_str()) || p.lines.iter().any(|l| l.movement == p.name);
        all.extend(Some(p.name.as_str()).filter(|_| !made));
        all.extend(p.notes.iter().map(String::as_str));
        all.extend(p.options.iter().filter_map(|o| o.text.as_deref()));
        all.extend(p.lines.iter().filter_map(|l| l.note.as_deref()).flat_map(|n| n.split("; ")));
    }
    all
}

#[test]
fn a_tidied_write_up_reads_as_the_same_session() {
    for Tidied { name, tidied, of_text, of_tidied, .. } in ALL.iter() {
        assert_eq!(of_tidied.clone().placeless(), of_text.clone().placeless(), "{name}:\n{tidied}");
    }
}

#[test]
fn every_name_note_and_other_version_stands_letter_for_letter() {
    for Tidied { name, text, tidied, of_text, .. } in ALL.iter() {
        for words in own_words(of_text) {
            // where the reader made the words itself (a format's name), there was nothing to keep
            if text.contains(words) {
                assert!(tidied.contains(words), "{name}: {words:?} is gone:\n{tidied}");
            }
        }
    }
}

#[test]
fn the_marks_with_which_a_coach_speaks_are_kept() {
    let marks = |text: &str| text.matches(['!', '?', '\u{2026}', '\u{201c}', '"']).count();
    for Tidied { name, text, tidied, .. } in ALL.iter() {
        assert_eq!(marks(tidied), marks(text), "{name}:\n{tidied}");
    }
}

#[test]
fn nothing_of_it_looks_like_code() {
    const CODE: [&str; 8] = ["\nFormat: ", "\nIntent: ", "\nRounds: ", "\nCap: ", "\nEvery: ", "\\;", "; typed ", "_"];
    for Tidied { name, text, tidied, .. } in ALL.iter() {
        for code in CODE {
            assert!(text.contains(code) || !tidied.contains(code), "{name}:\n{tidied}");
        }
    }
}

#[test]
fn a_note_stays_between_its_lines_with_its_full_stop() {
    let typed = "Morning all! Heavy-ish today.\n\nC) \"The Mill\"\nFor time, 18 min cap\n- 50 double-unders\n- 21 KB swings 24/16 kg\nHalf way: breathe, then go on.\n- 15 burpees\n";
    let tidied = tidy(typed, Library::shipped());
    let want = "Morning all! Heavy-ish today.\n\nC. \"The Mill\"\nFor time, cap 18:00\n50 double-unders\n21 kettlebell swings @ 24/16 kg\nHalf way: breathe, then go on.\n15 burpees\n";
    assert_eq!(tidied, want);
}

#[test]
fn formats_are_said_as_a_coach_types_them() {
    for (typed, want) in [
        ("Day\n\namrap 12\n10 burpees\n10 air squats\n", "Day\n\n12 min AMRAP\n10 burpees\n10 air squats\n"),
        ("Day\n\nEMOM for 10 minutes:\n- 8 burpees\n", "Day\n\nEMOM 10\n8 burpees\n"),
        ("Day\n\nback squat 5x5 @75%, 2 min rest\n", "Day\n\n5 x 5 back squat @ 75 %, rest 2:00\n"),
        ("Day\n\n4 rds, 90s rest\n  * 10 burpees\n  * 15 situps\n", "Day\n\n4 rounds, rest 1:30\n10 burpees\n15 sit-ups\n"),
    ] {
        assert_eq!(tidy(typed, Library::shipped()), want);
    }
}

#[test]
fn nearly_every_line_is_put_in_order_and_tidying_again_changes_next_to_nothing() {
    let (mut lines, mut named, mut files, mut settled) = (0, 0, 0, 0);
    for Tidied { tidied, of_tidied, .. } in ALL.iter() {
        files += 1;
        settled += usize::from(tidy(tidied, Library::shipped()) == *tidied);
        for l in of_tidied.parts.iter().flat_map(|p| &p.lines) {
            let Some(typed) = l.at.and_then(|at| tidied.split('\n').nth(at.line - 1)) else { continue };
            lines += 1;
            named += usize::from(typed.to_lowercase().contains(&l.movement.replace(" machine", "")) || !l.complex.is_empty());
        }
    }
    assert!(named * 100 >= lines * 85, "{named} of {lines} lines under the library's name");
    assert!(settled * 1000 >= files * 995, "{settled} of {files} stay as they are when tidied again");
}
