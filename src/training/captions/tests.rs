use super::*;
use crate::training::session::{Line, Part, Session};
use proptest::prelude::*;

const TYPED: &str = "0:00 Warm-up\n1:24 B. Ten rounds\n  1:40 air squat\n4:10 end\n";

fn session() -> Session {
    let line = |movement: &str| Line { movement: movement.to_owned(), ..Line::default() };
    let part = |label: Option<&str>, name: &str, lines: &[&str]| Part {
        label: label.map(str::to_owned),
        name: name.to_owned(),
        lines: lines.iter().map(|l| line(l)).collect(),
        ..Part::default()
    };
    let parts = vec![
        part(None, "Warm-up", &["cat-cow"]),
        part(Some("A"), "Front squat", &["front squat"]),
        part(Some("B"), "Ten rounds", &["push-up", "air squat", "push-up"]),
    ];
    Session { parts, ..Session::default() }
}

#[test]
fn typed_chapters_end_where_the_next_on_their_level_begins() {
    let read = read_typed(TYPED, None).unwrap();
    let times: Vec<_> = read.iter().map(|c| (c.start_ms, c.end_ms, c.nested)).collect();
    assert_eq!(times, [(0, 84_000, false), (84_000, 250_000, false), (100_000, 250_000, true)]);
    assert_eq!(read[1].title, "B. Ten rounds");
    assert_eq!(print_typed(&read), TYPED);
}

#[test]
fn typed_chapters_may_be_written_in_many_ways() {
    for line in ["1:24 Squat", "01:24 - Squat", "1:24: Squat", "00:01:24 Squat", "1:24.000  Squat", "1:24 – Squat"] {
        let read = read_typed(line, None).unwrap();
        assert_eq!((read[0].start_ms, read[0].title.as_str()), (84_000, "Squat"), "{line}");
    }
    assert_eq!(read_typed("75:10 Late", None).unwrap()[0].start_ms, 4_510_000);
    assert_eq!(read_typed("0:01,5 Soon", None).unwrap()[0].start_ms, 1_500);
    assert!(read_typed("\n \n", None).unwrap().is_empty());
}

#[test]
fn what_is_wrong_is_said_with_its_line() {
    let lines = |text: &str| read_typed(text, Some(60_000)).unwrap_err().iter().map(|f| f.line).collect::<Vec<_>>();
    assert_eq!(lines("Warm-up\n0:10\n\n0:70 Squat"), [1, 2, 4]);
    assert_eq!(lines("0:20 A\n0:10 B"), [2]);
    assert_eq!(lines("0:20 A\n0:20 B"), [2]);
    assert_eq!(lines("  0:20 squat"), [1]);
    assert_eq!(lines("0:20 A\n\n1:00 B\n"), [3]);
    assert_eq!(lines("0:00 A\n0:10 end\n0:20 B"), [3]);
}

#[test]
fn a_chapter_is_about_the_part_and_line_that_it_names() {
    let chapters = read_typed(
        "0:00 Hello\n0:05 warm up\n0:10 Part B\n 0:11 push-ups\n 0:12 Push-up\n 0:13 burpee\n0:20 A) front squats\n0:30 Ten rounds",
        None,
    )
    .unwrap();
    let spot = |part, line| Some(Spot { part, line });
    let expected = [
        None,
        spot(0, None),
        spot(2, None),
        spot(2, Some(0)),
        spot(2, Some(2)),
        None,
        spot(1, None),
        None, // B has its chapter already
    ];
    assert_eq!(fit(&chapters, &session()), expected);
}

#[test]
fn a_title_that_begins_with_a_letter_of_the_language_is_no_part() {
    let chapters = read_typed("0:00 A warm welcome\n0:10 A. Anything\n0:20 b", None).unwrap();
    let parts: Vec<_> = fit(&chapters, &session()).iter().map(|s| s.map(|s| s.part)).collect();
    assert_eq!(parts, [None, Some(1), Some(2)]);
}

#[test]
fn every_heading_finds_its_own_place() {
    let session = session();
    let mut typed = String::new();
    for (i, part) in session.parts.iter().enumerate() {
        typed.push_str(&format!("{i}:00 {}\n", heading(part)));
        for (n, line) in part.lines.iter().enumerate() {
            typed.push_str(&format!("  {i}:{:02} {}\n", n + 1, line_heading(line)));
        }
    }
    let found = fit(&read_typed(&typed, None).unwrap(), &session);
    let all = session.parts.iter().enumerate().flat_map(|(part, p)| {
        std::iter::once(None).chain((0..p.lines.len()).map(Some)).map(move |line| Some(Spot { part, line }))
    });
    assert_eq!(found, all.collect::<Vec<_>>());
}

#[test]
fn captions_with_everything_that_the_format_has_are_read() {
    let text = "\u{feff}WEBVTT - talk\r\nKind: captions\r\n\r\nNOTE made by hand\r\n\r\nSTYLE\r\n::cue { color: red }\r\n\r\none\r\n00:00.000 --> 00:01.500 line:0 position:50%,center align:start\r\n<v Mara>Feet flat &amp; <i>still</i>\r\nsecond line\r\n\r\n01:00:00.000\t-->\t01:00:02.000\r\nlate";
    let cues = read(text).unwrap();
    assert_eq!((cues[0].id.as_deref(), cues[0].end_ms, cues[1].start_ms), (Some("one"), 1_500, 3_600_000));
    assert_eq!(read::plain(&cues[0].text), "Feet flat & still second line");
    assert_eq!(read(&write(&cues)).unwrap(), cues);
}

#[test]
fn faults_of_a_file_name_their_lines() {
    let lines = |text: &str| read(text).unwrap_err().iter().map(|f| f.line).collect::<Vec<_>>();
    assert_eq!(lines("00:00.000 --> 00:01.000\nA\n"), [1]);
    assert_eq!(lines("WEBVTTX\n"), [1]);
    assert_eq!(lines("WEBVTT\n00:00.000 --> 00:01.000\nA\n"), [2]);
    assert_eq!(lines("WEBVTT\n\n00:00.000 --> 00:01.000\nA\n\n00:60.000 --> 01:01.000\nB\n\nwords\n"), [6, 9]);
    assert_eq!(lines("WEBVTT\n\n00:00.000 --> 00:01.000 size:120%\nA\n\nSTYLE\n::cue{}\n"), [3, 6]);
}

proptest! {
    #[test]
    fn whatever_is_written_is_read_back(cues in prop::collection::vec((0_u64..500_000_000, 1_u64..9_000_000, "[^\\x00\r\n]{1,40}"), 0..8)) {
        let mut list: Vec<Chapter> = Vec::new();
        let mut at = 0;
        for (gap, long, title) in cues {
            let title = title.split_whitespace().collect::<Vec<_>>().join(" ");
            prop_assume!(!title.is_empty());
            let start_ms = at + gap % 10_000_000;
            list.push(Chapter { start_ms, end_ms: start_ms + long, title, nested: false });
            at = start_ms + long;
        }
        prop_assert_eq!(read_chapters(&chapters(&list)).unwrap(), list);
    }

    #[test]
    fn reading_never_panics(text in "(WEBVTT)?[\n\r \t:.0-9A-Z<&>-]{0,80}") {
        let _ = read(&text);
        let _ = read_chapters(&format!("WEBVTT\n\n{text}"));
        let _ = read_typed(&text, Some(5_000));
    }

    #[test]
    fn typed_chapters_come_back_as_they_are(text in "0:00 A\n(  0:01 b\n)?(0:0[2-5](\\.[1-9]{1,3})? C\n)?(1:0[0-9] d e\n)?(9:00 end\n)?") {
        let read = read_typed(&text, None).unwrap();
        prop_assert_eq!(read_typed(&print_typed(&read), None).unwrap(), read.clone());
        let vtt = chapters(&read);
        prop_assert_eq!(read_chapters(&vtt).unwrap(), read);
    }
}
