//! Chapters and captions of a talk-through: WebVTT read and written, chapters as a coach types them, and which part or line
//! of the session a chapter belongs to.
//!
//! Source of the format: W3C, *WebVTT: The Web Video Text Tracks Format*, sections 4 (syntax) and 5.

mod fit;
mod read;
mod typed;
mod write;

pub use fit::{Spot, fit, heading, line_heading};
pub use read::{read, read_chapters};
pub use typed::{print_typed, read_typed};
pub use write::{chapters, long_timestamp, short_time, timestamp, write};

/// One cue.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Cue {
    /// its name in the file; unique where given
    pub id: Option<String>,
    /// from the beginning of the video, milliseconds
    pub start_ms: u64,
    /// always later than the start
    pub end_ms: u64,
    /// where it stands on the picture, as written: `line:0 align:start`
    pub settings: String,
    /// as written, with its tags and escapes; lines parted by LF, none of them empty
    pub text: String,
}

/// A chapter of a talk-through.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Chapter {
    /// from the beginning of the video, milliseconds
    pub start_ms: u64,
    /// always later than the start
    pub end_ms: u64,
    /// plain words, no line end
    pub title: String,
    /// it is about one line of the part that the chapter around it is about
    pub nested: bool,
}

/// What is wrong at a line, in words for whoever typed it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// from 1
    pub line: usize,
    /// one sentence
    pub text: String,
}

impl Fault {
    fn new(line: usize, text: impl Into<String>) -> Self {
        Self { line, text: text.into() }
    }
}

impl std::fmt::Display for Fault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Line {}: {}", self.line, self.text)
    }
}

#[cfg(test)]
mod tests;
