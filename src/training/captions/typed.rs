//! Chapters as a coach types them: a time and a title a line, a line about one movement set in.
//!
//! ```text
//! 0:00 Warm-up
//! 1:24 B. Ten rounds
//!   1:40 air squat
//! 4:10 end
//! ```

use super::{Chapter, Fault, short_time};

/// How long the last chapter is where nobody said when the video ends, milliseconds. Players stop at the video's own end.
const LAST_MS: u64 = 600_000;
/// Longest title, characters.
const TITLE: usize = 200;
/// Most chapters.
const MOST: usize = 200;

/// Reads typed chapters. `length_ms` is the video's length where it is known; a line `4:10 end` says it too.
///
/// # Errors
/// Everything that is wrong, in the order of the lines.
pub fn read_typed(text: &str, length_ms: Option<u64>) -> Result<Vec<Chapter>, Vec<Fault>> {
    let mut chapters: Vec<Chapter> = Vec::new();
    let mut faults = Vec::new();
    let mut end = None;
    for (i, line) in text.lines().enumerate().filter(|(_, l)| !l.trim().is_empty()) {
        match (one(line), end) {
            (Err(text), _) => faults.push(Fault::new(i + 1, text)),
            (Ok(_), Some(_)) => faults.push(Fault::new(i + 1, "Nothing can follow the end.")),
            (Ok(c), None) => {
                if let Some(text) = out_of_place(&c, &chapters) {
                    faults.push(Fault::new(i + 1, text));
                }
                if c.title.eq_ignore_ascii_case("end") && !chapters.is_empty() {
                    end = Some(c.start_ms);
                } else {
                    chapters.push(c);
                }
            }
        }
    }
    if chapters.len() > MOST {
        faults.push(Fault::new(1, format!("At most {MOST} chapters.")));
    }
    close(&mut chapters, end.or(length_ms), &mut faults, text);
    if faults.is_empty() { Ok(chapters) } else { Err(faults) }
}

/// Gives each chapter its end: where the next one on its level begins.
fn close(chapters: &mut [Chapter], length: Option<u64>, faults: &mut Vec<Fault>, text: &str) {
    let Some(last) = chapters.last().map(|c| c.start_ms) else { return };
    if let Some(length) = length.filter(|l| *l <= last) {
        let line = text.lines().enumerate().filter(|(_, l)| !l.trim().is_empty()).last().map_or(1, |(i, _)| i + 1);
        faults.push(Fault::new(line, format!("The video ends at {}.", short_time(length))));
    }
    let end = length.unwrap_or(last + LAST_MS);
    for i in 0..chapters.len() {
        let nested = chapters[i].nested;
        let next = chapters[i + 1..].iter().find(|c| nested || !c.nested);
        chapters[i].end_ms = next.map_or(end, |c| c.start_ms);
    }
}

fn out_of_place(c: &Chapter, before: &[Chapter]) -> Option<String> {
    let Some(last) = before.last() else {
        return c.nested.then(|| "It is set in, but no part stands above it.".to_owned());
    };
    // the first line of a part may begin with it
    let ok = c.start_ms > last.start_ms || (c.start_ms == last.start_ms && c.nested && !last.nested);
    (!ok).then(|| format!("It must be later than {}, the time above it.", short_time(last.start_ms)))
}

/// One line.
fn one(line: &str) -> Result<Chapter, String> {
    let mark = |c: char| matches!(c, '-' | '*' | '•' | '·' | '–');
    let nested = line.starts_with([' ', '\t']) || line.starts_with(mark);
    let body = line.trim_start_matches(|c: char| c.is_whitespace() || mark(c));
    let stop = body.find(|c: char| !(c.is_ascii_digit() || matches!(c, ':' | '.' | ','))).unwrap_or(body.len());
    let (time, title) = (body[..stop].trim_end_matches([':', '.', ',']), &body[stop..]);
    let start_ms = clock(time).ok_or("A time must stand first: 1:24 and then the title.")?;
    let title = title.trim_start_matches(|c: char| c.is_whitespace() || mark(c) || c == ':').trim_end();
    let title: String = title.split_whitespace().collect::<Vec<_>>().join(" ");
    if title.is_empty() {
        return Err(format!("What begins at {}? A title is missing.", short_time(start_ms)));
    }
    if title.chars().count() > TITLE {
        return Err(format!("The title is longer than {TITLE} characters."));
    }
    Ok(Chapter { start_ms, end_ms: 0, title, nested })
}

/// Milliseconds of `1:24`, `75:10`, `1:02:03`, `1:24.5`.
fn clock(text: &str) -> Option<u64> {
    let (whole, fraction) = text.split_once(['.', ',']).unwrap_or((text, ""));
    let digits = |s: &str| {
        (!s.is_empty() && s.len() <= 4 && s.bytes().all(|b| b.is_ascii_digit())).then(|| s.parse::<u64>().ok()).flatten()
    };
    let parts: Vec<u64> = whole.split(':').map(digits).collect::<Option<_>>()?;
    let seconds = match parts[..] {
        [m, s] if s < 60 => m * 60 + s,
        [h, m, s] if m < 60 && s < 60 => h * 3600 + m * 60 + s,
        _ => return None,
    };
    if fraction.len() > 3 || !fraction.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    Some(seconds * 1000 + format!("{fraction:0<3}").parse::<u64>().ok()?)
}

/// Chapters as they are typed.
#[must_use]
pub fn print_typed(chapters: &[Chapter]) -> String {
    let mut out = String::new();
    for c in chapters {
        let indent = if c.nested { "  " } else { "" };
        out.push_str(&format!("{indent}{} {}\n", short_time(c.start_ms), c.title));
    }
    let end = chapters.iter().map(|c| c.end_ms).max();
    let said = |end: &u64| chapters.last().is_some_and(|c| *end != c.start_ms + LAST_MS);
    if let Some(end) = end.filter(said) {
        out.push_str(&format!("{} end\n", short_time(end)));
    }
    out
}
