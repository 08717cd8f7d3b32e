//! Reading WebVTT.
//!
//! # Design
//! Strict where a wrong file would show wrong times, because the coach can mend it here and now: browsers drop a bad cue
//! without a word. Two things are let through that the syntax forbids and every browser reads: lines of the header under
//! `WEBVTT` (older drafts had them, and programs still write them), and a bare `&` or `<` in the words.

use super::{Chapter, Cue, Fault};
use std::collections::HashSet;

const ARROW: &str = "-->";

/// Reads a file of captions.
///
/// # Errors
/// Everything that is wrong, in the order of the lines; nothing is read by halves.
pub fn read(text: &str) -> Result<Vec<Cue>, Vec<Fault>> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text).replace("\r\n", "\n").replace('\r', "\n").replace('\0', "\u{fffd}");
    let lines: Vec<&str> = text.split('\n').collect();
    let first = lines[0];
    if first.strip_prefix("WEBVTT").is_none_or(|rest| !rest.is_empty() && !rest.starts_with([' ', '\t'])) {
        return Err(vec![Fault::new(1, "The file must begin with WEBVTT, alone on its line.")]);
    }
    let mut reader = Reader::default();
    for (number, block) in blocks(&lines) {
        if number == 1 {
            reader.header(block);
        } else {
            reader.block(number, block);
        }
    }
    if reader.faults.is_empty() { Ok(reader.cues) } else { Err(reader.faults) }
}

/// Reads a file of chapters: cues that lie inside each other or apart, and never overlap.
///
/// # Errors
/// As [`read`], and chapters that overlap.
pub fn read_chapters(text: &str) -> Result<Vec<Chapter>, Vec<Fault>> {
    let cues = read(text)?;
    let mut open: Vec<(u64, u64)> = Vec::new();
    let mut faults = Vec::new();
    let mut chapters = Vec::new();
    for cue in &cues {
        open.retain(|(_, end)| *end > cue.start_ms);
        let title = plain(&cue.text);
        if open.last().is_some_and(|(_, end)| *end < cue.end_ms) {
            let line = line_of(text, cue);
            faults.push(Fault::new(
                line,
                format!("Chapter “{title}” overlaps the one before it. It must end inside it, or begin after it."),
            ));
        }
        chapters.push(Chapter { start_ms: cue.start_ms, end_ms: cue.end_ms, title, nested: !open.is_empty() });
        open.push((cue.start_ms, cue.end_ms));
    }
    if faults.is_empty() { Ok(chapters) } else { Err(faults) }
}

/// The line on which a cue that was read has its times.
fn line_of(text: &str, cue: &Cue) -> usize {
    let times = |line: &str| timings(line).is_ok_and(|(start, end, _)| (start, end) == (cue.start_ms, cue.end_ms));
    text.replace("\r\n", "\n").split(['\n', '\r']).position(times).map_or(1, |at| at + 1)
}

/// Runs of lines that are not empty, each with the number of its first line.
fn blocks<'a>(lines: &'a [&'a str]) -> impl Iterator<Item = (usize, &'a [&'a str])> {
    let mut at = 0;
    std::iter::from_fn(move || {
        let start = at + lines[at..].iter().position(|l| !l.is_empty())?;
        let end = lines[start..].iter().position(|l| l.is_empty()).map_or(lines.len(), |n| start + n);
        at = end;
        Some((start + 1, &lines[start..end]))
    })
}

#[derive(Default)]
struct Reader {
    cues: Vec<Cue>,
    ids: HashSet<String>,
    faults: Vec<Fault>,
}

impl Reader {
    fn fault(&mut self, line: usize, text: impl Into<String>) {
        self.faults.push(Fault::new(line, text));
    }

    fn header(&mut self, block: &[&str]) {
        for (i, line) in block.iter().enumerate() {
            if line.contains(ARROW) {
                self.fault(i + 1, "There must be an empty line between WEBVTT and the first times.");
            }
        }
    }

    fn block(&mut self, number: usize, block: &[&str]) {
        let first = block[0];
        let named = |word: &str| first.strip_prefix(word).is_some_and(|rest| rest.is_empty() || rest.starts_with([' ', '\t']));
        if named("NOTE") {
            self.no_arrows(number, block);
        } else if (named("STYLE") || named("REGION")) && !block.get(1).is_some_and(|l| l.contains(ARROW)) {
            self.no_arrows(number, block);
            if !self.cues.is_empty() {
                self.fault(number, format!("{first} must stand before the first times."));
            }
        } else {
            self.cue(number, block);
        }
    }

    fn no_arrows(&mut self, number: usize, block: &[&str]) {
        if let Some(at) = block.iter().position(|l| l.contains(ARROW)) {
            self.fault(number + at, format!("“{ARROW}” stands in words; is an empty line missing above?"));
        }
    }

    fn cue(&mut self, number: usize, block: &[&str]) {
        let id = (!block[0].contains(ARROW)).then(|| block[0].to_owned());
        let at = usize::from(id.is_some());
        let Some(times) = block.get(at).filter(|l| l.contains(ARROW)) else {
            return self.fault(number, "Times are missing here: 00:00.000 --> 00:05.000");
        };
        self.no_arrows(number + at + 1, &block[at + 1..]);
        let (start_ms, end_ms, settings) = match timings(times) {
            Ok(read) => read,
            Err(text) => return self.fault(number + at, text),
        };
        if end_ms <= start_ms {
            self.fault(number + at, "The second time must be later than the first.");
        }
        if self.cues.last().is_some_and(|c| c.start_ms > start_ms) {
            self.fault(number + at, "It begins earlier than the one before it.");
        }
        if let Some(text) = wrong_settings(settings) {
            self.fault(number + at, text);
        }
        if id.as_ref().is_some_and(|id| !self.ids.insert(id.clone())) {
            self.fault(number, format!("“{}” names two cues.", block[0]));
        }
        let text = block[at + 1..].join("\n");
        self.cues.push(Cue { id, start_ms, end_ms, settings: settings.to_owned(), text });
    }
}

/// Start, end and settings of a line of times.
fn timings(line: &str) -> Result<(u64, u64, &str), String> {
    let blank = |c: char| c == ' ' || c == '\t';
    let (start, rest) = line.split_once(ARROW).ok_or("Times are missing here: 00:00.000 --> 00:05.000")?;
    if !start.ends_with(blank) || !rest.starts_with(blank) {
        return Err(format!("There must be a space on each side of {ARROW}"));
    }
    let rest = rest.trim_start_matches(blank);
    let (end, settings) = rest.split_once(blank).unwrap_or((rest, ""));
    let read =
        |t: &str| instant(t).ok_or_else(|| format!("“{t}” is no time. Write minutes, seconds and three digits: 01:24.000"));
    Ok((read(start.trim_end_matches(blank))?, read(end)?, settings.trim_matches(blank)))
}

/// Milliseconds of `MM:SS.mmm` or `HH:MM:SS.mmm`; hours have two digits or more.
fn instant(text: &str) -> Option<u64> {
    let digits =
        |s: &str, n: usize| (s.len() == n && s.bytes().all(|b| b.is_ascii_digit())).then(|| s.parse::<u64>().ok()).flatten();
    let (clock, millis) = text.split_once('.')?;
    let millis = digits(millis, 3)?;
    let mut parts = clock.rsplit(':');
    let (seconds, minutes) = (digits(parts.next()?, 2)?, digits(parts.next()?, 2)?);
    let hours = match parts.next() {
        Some(h) if h.len() >= 2 => digits(h, h.len())?,
        Some(_) => return None,
        None => 0,
    };
    if parts.next().is_some() || seconds > 59 || minutes > 59 {
        return None;
    }
    hours.checked_mul(3_600_000)?.checked_add((minutes * 60 + seconds) * 1000 + millis)
}

/// What is wrong with a cue's settings, if anything is.
fn wrong_settings(settings: &str) -> Option<String> {
    let mut seen = HashSet::new();
    settings.split([' ', '\t']).filter(|s| !s.is_empty()).find_map(|setting| {
        let (name, value) = setting.split_once(':').unwrap_or((setting, ""));
        if !right_setting(name, value) {
            return Some(format!("“{setting}” is no setting of a cue."));
        }
        (!seen.insert(name)).then(|| format!("“{name}” is set twice."))
    })
}

fn right_setting(name: &str, value: &str) -> bool {
    let percent = |v: &str| v.strip_suffix('%').is_some_and(|n| n.parse::<f64>().is_ok_and(|n| (0.0..=100.0).contains(&n)));
    let (head, tail) = value.split_once(',').map_or((value, None), |(h, t)| (h, Some(t)));
    match name {
        "vertical" => matches!(value, "rl" | "lr"),
        "line" => (percent(head) || head.parse::<i64>().is_ok()) && tail.is_none_or(|t| matches!(t, "start" | "center" | "end")),
        "position" => percent(head) && tail.is_none_or(|t| matches!(t, "line-left" | "center" | "line-right")),
        "size" => percent(value),
        "align" => matches!(value, "start" | "center" | "end" | "left" | "right"),
        "region" => !value.is_empty(),
        _ => false,
    }
}

/// The words of a cue without tags, escapes undone, on one line.
pub(super) fn plain(text: &str) -> String {
    let mut words = String::new();
    let mut rest = text;
    while let Some(at) = rest.find('<') {
        words.push_str(&rest[..at]);
        rest = rest[at..].find('>').map_or("", |end| &rest[at + end + 1..]);
    }
    words.push_str(rest);
    let words = words.replace("&lt;", "<").replace("&gt;", ">").replace("&nbsp;", "\u{a0}");
    let words = words.replace("&lrm;", "\u{200e}").replace("&rlm;", "\u{200f}").replace("&amp;", "&");
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}
