//! The canonical form: one exact way to write a session down, that reads back as the same session.
//!
//! ```text
//! # Monday
//! Aim: stay tall
//!
//! ## Back squat
//! Intent: strength
//! Format: sets
//! Rounds: 5
//! Rest: 150 s
//! Score: load
//! - back squat: 5 reps; @ 72.5% of 1RM
//!   or goblet squat: 8 reps
//! Note: breathe at the top
//! ```
//!
//! # Design
//! It is strict where a coach is free: a text is canonical only where every line of it is. So the free reader never has to
//! guess whether a note that says `5 burpees` is a line, and nothing is lost on the way there and back. In free words a
//! semicolon, a backslash and a line end are written `\;`, `\\` and `\n`.

mod parse;
mod print;

pub use parse::parse;
pub use print::print;

/// Words without the signs that shape a canonical line.
fn escape(words: &str) -> String {
    words.replace('\\', "\\\\").replace(';', "\\;").replace('\n', "\\n").replace('\r', "\\r")
}

/// The words as they were before [`escape`].
fn unescape(words: &str) -> String {
    let mut out = String::with_capacity(words.len());
    let mut chars = words.chars();
    while let Some(c) = chars.next() {
        match (c, if c == '\\' { chars.next() } else { None }) {
            ('\\', Some('n')) => out.push('\n'),
            ('\\', Some('r')) => out.push('\r'),
            ('\\', Some(other)) => out.push(other),
            _ => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests;
