//! Sources: `webvtt_timestamp_checks.csv` and `webvtt_syntax_checks.csv`, from the grammar in the W3C WebVTT specification. The
//! files are also compared with an outside parser: `webvtt_with_webvtt_py.py`.

use dowel::training::captions::{long_timestamp, read, read_chapters, timestamp};

#[test]
fn times_are_written_and_read_as_the_grammar_says() {
    let rows = crate::rows(include_str!("data/webvtt_timestamp_checks.csv"));
    assert_eq!(rows.len(), 13);
    for row in rows {
        let ms: u64 = row["milliseconds"].parse().unwrap();
        assert_eq!((long_timestamp(ms), timestamp(ms)), (row["long"].clone(), row["shortest"].clone()));
        for written in [&row["long"], &row["shortest"]] {
            let cues = read(&format!("WEBVTT\n\n{written} --> 9999:00:00.000\nA\n")).unwrap();
            assert_eq!(cues[0].start_ms, ms, "{written}");
        }
    }
}

#[test]
fn files_are_taken_and_refused_as_the_grammar_says() {
    let rows = crate::rows(include_str!("data/webvtt_syntax_checks.csv"));
    assert_eq!(rows.len(), 11);
    for row in rows {
        let text = row["snippet_escaped"].replace("\\n", "\n");
        let valid = row["valid"].as_str();
        assert_eq!(read(&text).is_ok(), valid != "no", "{} as captions: {}", row["case"], row["why"]);
        assert_eq!(read_chapters(&text).is_ok(), valid == "yes", "{} as chapters: {}", row["case"], row["why"]);
    }
}
