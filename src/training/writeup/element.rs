//! What a stretch of tokens means: the vocabulary that the tagger speaks and the grammar reads.

use super::super::dose::{Amount, Load, Side};
use super::super::session::Role;
use super::quantity::{Quantity, Unit};
use super::token::Token;

/// A stretch of tokens with one meaning.
#[derive(Clone, Debug, PartialEq)]
pub struct Element {
    /// what it means
    pub what: What,
    /// first token
    pub from: usize,
    /// token after the last
    pub to: usize,
}

/// A movement as it was typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Name {
    /// Place in the library.
    Known(usize),
    /// `row` alone: a machine, a bar or one arm, by what stands around it.
    Row,
    /// `squat` alone: with a bar or without, by what stands around it.
    Squat,
}

/// One meaning.
#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// A word that nothing else claimed.
    Word,
    /// A movement.
    Movement(Name),
    /// A number with or without a unit.
    Dose(Quantity),
    /// `5 x 5`, `3 sets of 30 s`: sets and the dose of each.
    SetsOf(f64, Quantity),
    /// `3 x max`: so many sets to the limit.
    SetsOfMax(f64),
    /// `x 6` behind something.
    Times(f64),
    /// An AMRAP, with its window in seconds.
    Amrap(Option<f64>),
    /// Every so many seconds; with the whole in seconds or in windows.
    Every {
        /// the window
        every: f64,
        /// whole time, seconds
        total: Option<f64>,
        /// number of windows
        count: Option<f64>,
    },
    /// Work and rest by the clock.
    OnOff(f64, f64),
    /// Work alone, `40 s on`.
    Work(f64),
    /// A word that means so many windows of work and rest: work, rest, windows.
    Windows(f64, f64, f64),
    /// Time off beside it, `20 s off`.
    Off(f64),
    /// For time.
    ForTime,
    /// Not for time.
    NotForTime,
    /// One more every minute, as long as it goes.
    Growing,
    /// Rungs.
    Ladder,
    /// `add 2 every round`
    Step(f64),
    /// Each interval or set is an interval part.
    Intervals,
    /// As many or as long as possible; in what, where said.
    Max(Option<Unit>),
    /// Build to a heavy set of so many.
    Build(f64),
    /// A load, and how many implements it is for.
    Load(Load, Option<u8>),
    /// `@ 60` with no unit.
    BareLoad(f64),
    /// How many implements.
    Implements(u8),
    /// `cal` with its number elsewhere.
    UnitWord(Unit),
    /// The same load as the line above.
    Same,
    /// What the number counts.
    Side(Side),
    /// `5 L / 5 R`: so many on each side of a whole.
    Split(f64, f64),
    /// Four places.
    Tempo(String),
    /// A pause in each rep.
    Pause(f64),
    /// A slow way down in each rep.
    Down(f64),
    /// Rest: how long where said (seconds), and whether the unit was left out.
    Rest(Option<Amount>, bool),
    /// A cap in seconds, whether it is for each round.
    Cap(Option<f64>, bool),
    /// Minute or station of an EMOM; 0 is every odd, the second of two every even.
    Minute(u32),
    /// `min 1-3:`, `min 1/3/5:`: the same in several of them.
    Minutes(Vec<u32>),
    /// So many stations.
    Stations(f64),
    /// Done once.
    Role(Role),
    /// `each for time`, `each one`
    EachRound,
    /// A word that names a part.
    Heading(Heading),
    /// where in the hour a part stands, as its heading; so many seconds long
    Stretch(f64),
    /// `A`, `B2` at the beginning of a line.
    Label(String),
    /// A bullet or list number at the beginning of a line.
    Bullet(Option<f64>),
    /// What follows says how to score.
    Score,
    /// What follows is another version.
    Option,
    /// What follows is a note.
    Note,
    /// What follows is the aim.
    Aim,
    /// Another choice follows.
    Or,
    /// Something replaces something.
    Instead,
    /// `then`
    Then,
    /// `+`
    Plus,
    /// `/` between two things
    Slash,
    /// `:` or `=`
    Colon,
    /// a dash between two things
    Dash,
    /// `,`
    Comma,
    /// `;`, a full stop, a picture character: a new thought
    Stop,
    /// `(`
    Open,
    /// `)`
    Close,
    /// end of a typed line
    Newline,
    /// an address
    Link,
}

/// Words that name a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Heading {
    /// warm-up
    WarmUp,
    /// cool-down
    CoolDown,
    /// mobility, stretching
    Mobility,
    /// skill, technique, practice
    Skill,
    /// strength, accessory, superset
    Strength,
    /// conditioning, finisher
    Conditioning,
    /// a retest
    Test,
    /// `after`, `main`, `part 2`: a part of no kind of its own
    Plain,
}

/// The tokens of a write-up with the forms under which they are compared.
#[derive(Debug)]
pub struct Doc<'t> {
    /// as typed
    pub text: &'t str,
    /// tables in it
    pub(super) tables: super::table::Tables,
    /// in order
    pub tokens: Vec<Token<'t>>,
    /// lower case
    pub low: Vec<String>,
    /// see [`super::words::plain`]
    pub plain: Vec<String>,
    /// `plain`, with one slip mended
    pub mended: Vec<String>,
}

impl<'t> Doc<'t> {
    /// Lower-case text of token `i`; empty past the end.
    #[must_use]
    pub fn low(&self, i: usize) -> &str {
        self.low.get(i).map_or("", String::as_str)
    }

    /// What was typed from token `from` to before token `to`.
    #[must_use]
    pub fn typed(&self, from: usize, to: usize) -> &'t str {
        match (self.tokens.get(from), to.checked_sub(1).and_then(|last| self.tokens.get(last))) {
            (Some(a), Some(b)) if b.end >= a.start => self.text[a.start..b.end].trim(),
            _ => "",
        }
    }

    /// Tokens that `phrase` takes at `i`, hyphens between its words allowed.
    #[must_use]
    pub fn says(&self, i: usize, phrase: &str) -> Option<usize> {
        // most phrases fail on their first word; that is settled without cutting the phrase
        let first = self.low(i);
        let rest = phrase.strip_prefix(first).filter(|_| !first.is_empty())?;
        if rest.is_empty() {
            return Some(1);
        }
        let mut at = i + 1;
        for word in rest.strip_prefix(' ')?.split(' ') {
            if matches!(self.low(at), "-" | "‑" | "–") {
                at += 1;
            }
            if self.low(at) != word {
                return None;
            }
            at += 1;
        }
        Some(at - i)
    }

    /// The longest of `phrases` at `i`.
    #[must_use]
    pub fn says_any(&self, i: usize, phrases: &[&str]) -> Option<usize> {
        // the first letter settles most of them: this runs for every word and hundreds of phrases
        let first = *self.low(i).as_bytes().first()?;
        phrases.iter().filter(|p| p.as_bytes().first() == Some(&first)).filter_map(|p| self.says(i, p)).max()
    }
}
