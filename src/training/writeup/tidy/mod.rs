//! A write-up put in order, in the words that a coach types.
//!
//! # Design
//! It works on what was typed, not on the reading alone: each part is tried in the tidy form, and the form stands only where
//! the whole text still reads as the same session and no word, mark or number of the coach's own is gone. What cannot be said
//! so stays as it was typed, line by line. So a tidy never looks like code, a note stays at its place with its full stop, and
//! whatever the reader learns is safe here too. The road not taken, printing from the reading alone, loses both
//! ([`super::canonical`] does that for what has no write-up).

mod cut;
mod keep;
mod part;
mod words;

use super::super::movement::Library;
use super::super::session::{Line, ProblemKind, Session};
use super::read;
use std::ops::Range;

/// So many characters are read again at the most for one tidy; what is left then stays as it was typed.
const READ_AT_MOST: usize = 1 << 21;

/// The write-up in tidy form. It reads as the same session, and every sentence, name and number of it is the coach's own.
#[must_use]
pub fn tidy(text: &str, library: &Library) -> String {
    let mut text = text.replace("\r\n", "\n");
    // a line in order can let another one be put in order
    for _ in 0..TIMES {
        let tidied = once(&text, library);
        if tidied == text {
            break;
        }
        text = tidied;
    }
    text
}

/// Most times that a write-up is gone through.
const TIMES: usize = 3;

fn once(text: &str, library: &Library) -> String {
    let session = read(text, library);
    let mut desk = Desk { library, want: essence(&session), spent: 0 };
    let mut sheet = Sheet::cut(text, &session);
    sheet.part_at_boundaries(&mut desk);
    for i in 0..session.parts.len() {
        sheet.tidy_part(&mut desk, i);
    }
    let tidied = desk.plain_lines(&sheet.text());
    // whatever was not asked on the way (spaces at line ends) is asked here
    if essence(&read(&tidied, library)) == desk.want { tidied } else { text.to_owned() }
}

/// What must stay the same: the session, and what cannot be right in it.
fn essence(session: &Session) -> (Session, Vec<String>) {
    let mut kinds: Vec<String> =
        session.problems.iter().map(|p| format!("{:?}", p.kind)).filter(|k| *k != format!("{:?}", ProblemKind::Unread)).collect();
    kinds.sort_unstable();
    (session.clone().placeless(), kinds)
}

/// Compares every try with the reading of what was typed.
struct Desk<'l> {
    library: &'l Library,
    want: (Session, Vec<String>),
    spent: usize,
}

impl Desk<'_> {
    /// It reads as the same session.
    fn same(&mut self, text: &str) -> bool {
        self.spent += text.len();
        self.spent <= READ_AT_MOST && essence(&read(text, self.library)) == self.want
    }

    /// Lines without bullets, spare spaces and spare empty lines, wherever they mean the same without.
    fn plain_lines(&mut self, text: &str) -> String {
        let typed: Vec<&str> = text.trim().split('\n').map(str::trim_end).collect();
        let mut lines: Vec<String> = typed.iter().map(|l| (*l).to_owned()).collect();
        let ways: [fn(&str) -> String; 2] = [unbulleted, single_spaced];
        for way in ways {
            let all = lines.len();
            self.change(&mut lines, 0..all, &way);
        }
        let joined = collapsed(&lines);
        if self.same(&joined) { joined } else { lines.join("\n") + "\n" }
    }

    /// Changes the lines of a stretch, or those of its halves where not all of them can be changed.
    fn change(&mut self, lines: &mut Vec<String>, range: Range<usize>, way: &fn(&str) -> String) {
        let changed: Vec<String> = lines[range.clone()].iter().map(|l| way(l)).collect();
        if changed[..] == lines[range.clone()] {
            return;
        }
        let mut all = lines.clone();
        all[range.clone()].clone_from_slice(&changed);
        if self.same(&all.join("\n")) {
            *lines = all;
        } else if range.len() > 1 {
            let middle = range.start + range.len() / 2;
            self.change(lines, range.start..middle, way);
            self.change(lines, middle..range.end, way);
        }
    }
}

/// `- 10 burpees` without its bullet.
fn unbulleted(line: &str) -> String {
    let bare =
        line.trim_start().trim_start_matches(['-', '*', '\u{2022}', '\u{2013}', '\u{25cf}', '\u{25e6}', '\u{25aa}']).trim_start();
    if bare.is_empty() && !line.is_empty() { line.to_owned() } else { bare.to_owned() }
}

/// One space between words; columns stay in their places.
fn single_spaced(line: &str) -> String {
    if line.trim().contains("   ") {
        return line.to_owned();
    }
    line.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// One empty line at a time, none at the ends.
fn collapsed(lines: &[String]) -> String {
    let mut out: Vec<&str> = Vec::new();
    for line in lines {
        if !(line.is_empty() && out.last().is_none_or(|l| l.is_empty())) {
            out.push(line);
        }
    }
    out.join("\n").trim_end().to_owned() + "\n"
}

/// The write-up in stretches: what stands before the parts, then each part.
struct Sheet<'t> {
    text: &'t str,
    session: &'t Session,
    /// as typed
    ranges: Vec<Range<usize>>,
    /// as they stand now
    now: Vec<String>,
    /// the stretch before the one that is tried, where that begins a line of its own
    above: Option<(usize, String)>,
}

impl<'t> Sheet<'t> {
    fn cut(text: &'t str, session: &'t Session) -> Self {
        let lines = cut::Lines::of(text);
        let starts = cut::starts(text, &lines, session).unwrap_or_default();
        let cuts: Vec<usize> = std::iter::once(0).chain(starts).chain(std::iter::once(text.len())).collect();
        let ranges: Vec<Range<usize>> = cuts.windows(2).map(|w| w[0]..w[1]).collect();
        let now = ranges.iter().map(|r| text[r.clone()].to_owned()).collect();
        Self { text, session, ranges, now, above: None }
    }

    fn text(&self) -> String {
        self.now.concat()
    }

    /// The whole text with another wording of stretch `i`.
    fn with(&self, i: usize, words: &str) -> String {
        let above = |k: usize| self.above.as_ref().filter(|(a, _)| *a == k).map(|(_, words)| words.as_str());
        self.now.iter().enumerate().map(|(k, now)| if k == i { words } else { above(k).unwrap_or(now) }).collect()
    }

    /// An empty line before each part, where nothing hangs on its standing behind the one before.
    fn part_at_boundaries(&mut self, desk: &mut Desk) {
        for i in 0..self.now.len().saturating_sub(1) {
            let typed = self.now[i].trim_end();
            // not in the midst of a sentence
            let stops =
                self.now[i].trim_end_matches(' ').ends_with('\n') || !typed.ends_with(|c: char| c.is_alphanumeric() || c == ',');
            let ended = format!("{typed}\n\n");
            if stops && !self.now[i].trim().is_empty() && ended != self.now[i] && desk.same(&self.with(i, &ended)) {
                self.now[i] = ended;
            }
        }
    }

    /// Part `i` in the first of its wordings that may stand.
    fn tidy_part(&mut self, desk: &mut Desk, i: usize) {
        if self.ranges.len() != self.session.parts.len() + 1 {
            return;
        }
        let lines = cut::Lines::of(self.text);
        let part = &self.session.parts[i];
        let range = self.ranges[i + 1].clone();
        let drawn = part::Drawn { text: self.text, part, bits: cut::bits(self.text, &range, &lines, part), from: range.start };
        let typed = &self.text[range];
        let fresh = !(self.now[i].trim().is_empty() || self.now[i].ends_with('\n'));
        if fresh {
            // `5 min jog, then ...`: the comma goes where a new line begins
            let above = self.now[i].trim_end();
            let bare = above.strip_suffix(',').unwrap_or(above).to_owned() + "\n\n";
            self.above = Some((i, bare));
        }
        let below = if self.now[i + 1].ends_with("\n\n") { "\n\n" } else { "\n" };
        let ended = |words: String| format!("{words}{below}");
        let said: Vec<&Line> = part.lines.iter().chain(part.options.iter().flat_map(|o| &o.lines)).collect();
        let mut stands = |form: &part::Form| -> Option<String> {
            let words = ended(drawn.worded(form)?);
            (keep::nothing_lost(typed, &words, &said, desk.library) && desk.same(&self.with(i + 1, &words))).then_some(words)
        };
        let all = vec![true; part.lines.len()];
        let found = drawn.forms(&all).iter().find_map(&mut stands).or_else(|| {
            let mut may = vec![false; part.lines.len()];
            // typed lines alone do not tear a sentence from the words before it
            let mut best = if fresh { None } else { drawn.as_typed(&may).iter().find_map(&mut stands) };
            for k in 0..may.len() {
                may[k] = true;
                match drawn.as_typed(&may).iter().find_map(&mut stands) {
                    Some(words) => best = Some(words),
                    None => may[k] = false,
                }
            }
            drawn.forms(&may).iter().find_map(&mut stands).or(best)
        });
        let above = self.above.take();
        if let Some(words) = found {
            self.now[i + 1] = words;
            if let Some((i, bare)) = above {
                self.now[i] = bare;
            }
        }
    }
}
