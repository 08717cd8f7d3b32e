//! Writing WebVTT and times.

use super::{Chapter, Cue};

/// `01:24.000`; with hours only where there are some.
#[must_use]
pub fn timestamp(ms: u64) -> String {
    if ms < 3_600_000 { long_timestamp(ms)[3..].to_owned() } else { long_timestamp(ms) }
}

/// `00:01:24.000`
#[must_use]
pub fn long_timestamp(ms: u64) -> String {
    let s = ms / 1000;
    format!("{:02}:{:02}:{:02}.{:03}", s / 3600, s / 60 % 60, s % 60, ms % 1000)
}

/// A time for people: `1:24`, `1:02:03`, `1:24.5`.
#[must_use]
pub fn short_time(ms: u64) -> String {
    let s = ms / 1000;
    let clock =
        if s < 3600 { format!("{}:{:02}", s / 60, s % 60) } else { format!("{}:{:02}:{:02}", s / 3600, s / 60 % 60, s % 60) };
    match ms % 1000 {
        0 => clock,
        rest => format!("{clock}.{}", format!("{rest:03}").trim_end_matches('0')),
    }
}

/// A file of these cues, in their order.
#[must_use]
pub fn write(cues: &[Cue]) -> String {
    let mut out = "WEBVTT\n".to_owned();
    for cue in cues {
        out.push('\n');
        if let Some(id) = &cue.id {
            out.push_str(id);
            out.push('\n');
        }
        let settings = if cue.settings.is_empty() { String::new() } else { format!(" {}", cue.settings) };
        out.push_str(&format!("{} --> {}{settings}\n", timestamp(cue.start_ms), timestamp(cue.end_ms)));
        out.push_str(&cue.text);
        out.push('\n');
    }
    out
}

/// A file of these chapters.
#[must_use]
pub fn chapters(chapters: &[Chapter]) -> String {
    let cue = |c: &Chapter| Cue { start_ms: c.start_ms, end_ms: c.end_ms, text: escaped(&c.title), ..Cue::default() };
    write(&chapters.iter().map(cue).collect::<Vec<_>>())
}

/// Words as a cue may hold them: no tag, no arrow, no line end.
fn escaped(words: &str) -> String {
    let words = words.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;");
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}
