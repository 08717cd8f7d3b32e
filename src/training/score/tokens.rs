//! Typed text as numbers, words and signs, with the many shapes of each made one.

/// A number as typed: digits, and what stood behind a point or comma.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Num {
    pub value: f64,
    /// the digits before the point
    pub whole: String,
    /// the digits behind it
    pub part: String,
    /// `.` or `,`
    pub mark: Option<char>,
}

impl Num {
    /// A count: whole, not negative, not absurd.
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "checked to be whole and below a million")]
    pub fn count(&self) -> Option<u32> {
        // `1.200` and `1.000` are thousands in half of Europe, and no count that can be guessed
        (self.value.fract() == 0.0 && self.value < 1e6 && self.part.len() != 3).then_some(self.value as u32)
    }

    /// The count, or why it is none.
    pub fn reps(&self) -> Result<u32, String> {
        let why = if self.value >= 1e6 { "That is too many reps." } else { "Reps are whole numbers." };
        self.count().ok_or_else(|| why.to_owned())
    }
}

#[derive(Clone, Debug, PartialEq)]
pub(super) enum Tok {
    Num(Num),
    /// lower case; no dots but those of a slip such as `25.5.5`
    Word(String),
    Sign(char),
}

impl Tok {
    pub fn num(&self) -> Option<&Num> {
        if let Self::Num(n) = self { Some(n) } else { None }
    }

    pub fn is(&self, c: char) -> bool {
        *self == Self::Sign(c)
    }

    pub fn word(&self) -> Option<&str> {
        if let Self::Word(w) = self { Some(w) } else { None }
    }

    pub fn is_word(&self, list: &[&str]) -> bool {
        self.word().is_some_and(|w| list.contains(&w))
    }
}

/// One shape for each sign and digit, whatever keyboard it came from.
fn plain(c: char) -> char {
    match c {
        '×' | '✕' | '✖' | '⨯' | '*' => '×',
        '✗' | '✘' | '❌' => '✗',
        '：' | '∶' | '﹕' => ':',
        '–' | '—' | '−' | '‐' | '‑' | '﹣' | '－' => '-',
        '＋' => '+',
        '，' | '、' | '،' | '٬' => ',',
        '。' | '．' | '·' | '٫' => '.',
        '′' | '’' | '‘' | '´' | '`' => '\'',
        '″' | '“' | '”' | '„' => '"',
        '／' | '⁄' => '/',
        '＃' => '#',
        '＠' => '@',
        '０'..='９' => digit(c, '０'),
        '٠'..='٩' => digit(c, '٠'),
        '۰'..='۹' => digit(c, '۰'),
        '०'..='९' => digit(c, '०'),
        c if c.is_whitespace() || c == '\u{200b}' || c == '\u{feff}' => ' ',
        c => c,
    }
}

fn digit(c: char, zero: char) -> char {
    char::from_digit(c as u32 - zero as u32, 10).unwrap_or(c)
}

fn fraction(c: char) -> Option<(f64, &'static str)> {
    Some(match c {
        '½' => (0.5, "5"),
        '¼' => (0.25, "25"),
        '¾' => (0.75, "75"),
        _ => return None,
    })
}

/// The tokens of a text. Anything that is no digit, letter or known sign (a smiley, say) is left out.
pub(super) fn read(text: &str) -> Vec<Tok> {
    let chars: Vec<char> = text.chars().map(plain).collect();
    let mut out = Vec::new();
    let mut i = 0;
    while i < chars.len() {
        let c = chars[i];
        if let Some(end) = two_points(&chars, i) {
            out.push(Tok::Word(chars[i..end].iter().collect()));
            i = end;
        } else if c.is_ascii_digit() || point_number(&chars, i) {
            let (num, next) = number(&chars, i, &out);
            out.push(Tok::Num(num));
            i = next;
        } else if let Some((value, part)) = fraction(c) {
            add_fraction(&mut out, value, part);
            i += 1;
        } else if c.is_alphabetic() {
            let end = word_end(&chars, i);
            out.extend(words(&chars[i..end]));
            i = end;
        } else {
            let label = c == ':' && i > 0 && chars[i - 1].is_alphabetic();
            if ":+-×/,;@#'\"=().<>~|✓✔✅✗%&".contains(c) && !label {
                out.push(Tok::Sign(if c == '✔' || c == '✅' { '✓' } else { c }));
            }
            i += 1;
        }
    }
    out.retain(|t| !t.is('.'));
    out
}

/// `.5` with nothing in front.
fn point_number(chars: &[char], i: usize) -> bool {
    let digit_at = |j: usize| chars.get(j).is_some_and(char::is_ascii_digit);
    chars[i] == '.' && digit_at(i + 1) && (i == 0 || !chars[i - 1].is_alphanumeric())
}

/// Where `25.5.5` ends: with two points it is no number, and no other is made of a piece of it.
fn two_points(chars: &[char], i: usize) -> Option<usize> {
    let fresh = i == 0 || !chars[i - 1].is_ascii_digit();
    let first = digits(chars, i);
    let points = |at: usize| chars.get(at) == Some(&'.') && chars.get(at + 1).is_some_and(char::is_ascii_digit);
    if !fresh || first == i || !points(first) || !points(digits(chars, first + 1)) {
        return None;
    }
    Some(i + chars[i..].iter().take_while(|c| c.is_ascii_digit() || **c == '.').count())
}

fn digits(chars: &[char], from: usize) -> usize {
    from + chars[from..].iter().take_while(|c| c.is_ascii_digit()).count()
}

/// A number from `i`: digits, and a decimal part behind a point, or behind a comma that is no list comma.
fn number(chars: &[char], i: usize, before: &[Tok]) -> (Num, usize) {
    let end = digits(chars, i);
    let whole: String = chars[i..end].iter().collect();
    let mark = chars.get(end).copied().filter(|c| *c == '.' || *c == ',');
    let stop = mark.map_or(end, |_| digits(chars, end + 1));
    let part: String = if stop > end { chars[end + 1..stop].iter().collect() } else { String::new() };
    let next = |j: usize| chars.get(j).copied().unwrap_or(' ');
    let chain = next(stop) == ',' && next(stop + 1).is_ascii_digit() || next(stop) == ':' || next(stop) == '×';
    let times = (next(stop) == 'x' || next(stop) == 'X') && next(stop + 1).is_ascii_digit();
    let listed = mark == Some(',') && (chain || times || before.last().is_some_and(|t| t.is(',')));
    if mark == Some(',') && part.len() == 3 && !listed && (1..=3).contains(&whole.len()) {
        let value = parse(&format!("{whole}{part}"));
        return (Num { value, whole: whole + &part, part: String::new(), mark: None }, stop);
    }
    if part.is_empty() || listed {
        return (Num { value: parse(&whole), whole, part: String::new(), mark: None }, end);
    }
    (Num { value: parse(&format!("{whole}.{part}")), whole, part, mark }, stop)
}

/// Digits and one point always parse; a number beyond all sense becomes infinite and is refused later.
fn parse(digits: &str) -> f64 {
    if digits.starts_with('.') { format!("0{digits}").parse().unwrap_or(0.0) } else { digits.parse().unwrap_or(f64::INFINITY) }
}

fn add_fraction(out: &mut Vec<Tok>, value: f64, part: &str) {
    if let Some(Tok::Num(n)) = out.last_mut().filter(|t| t.num().is_some_and(|n| n.part.is_empty())) {
        n.value += value;
        n.part = part.to_owned();
        n.mark = Some('.');
    } else {
        out.push(Tok::Num(Num { value, whole: "0".to_owned(), part: part.to_owned(), mark: Some('.') }));
    }
}

/// A word goes on over letters, and over an apostrophe with a letter behind it (`didn't`).
fn word_end(chars: &[char], from: usize) -> usize {
    let mut i = from;
    while i < chars.len() {
        let inside = chars[i] == '\'' && chars.get(i + 1).is_some_and(|c| c.is_alphabetic());
        if !chars[i].is_alphabetic() && !inside {
            break;
        }
        i += 1;
    }
    i
}

/// A lone `x` between numbers is the times sign; small number words become numbers.
fn words(chars: &[char]) -> Vec<Tok> {
    let word: String = chars.iter().collect::<String>().to_lowercase();
    if word == "x" {
        return vec![Tok::Sign('×')];
    }
    const SMALL: [&str; 13] =
        ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];
    match SMALL.iter().position(|w| *w == word) {
        Some(n) => {
            #[expect(clippy::cast_precision_loss, reason = "at most twelve")]
            let value = n as f64;
            vec![Tok::Num(Num { value, whole: n.to_string(), part: String::new(), mark: None })]
        }
        None => vec![Tok::Word(word)],
    }
}

/// Takes a tie-break (`tb 9:50`, `tie 9:50`) off the end.
pub(super) fn tie_break(mut tokens: Vec<Tok>) -> (Vec<Tok>, Option<f64>) {
    let Some(at) = tokens.iter().position(|t| t.is_word(&["tb", "tie", "tiebreak", "tiebreaker"])) else {
        return (tokens, None);
    };
    let tail: Vec<Tok> =
        tokens[at + 1..].iter().filter(|t| !t.is_word(&["break", "at"]) && !t.is('-') && !t.is('=')).cloned().collect();
    match super::clock::exact(&tail) {
        Some(seconds) => {
            tokens.truncate(at);
            (tokens, Some(seconds))
        }
        None => (tokens, None),
    }
}

/// Words that change nothing about a number and need no mention.
const FILLER: [&str; 40] = [
    "in", "at", "a", "the", "i", "got", "did", "my", "time", "score", "result", "total", "final", "finished", "finish", "done",
    "about", "approx", "ca", "ish", "with", "and", "of", "for", "was", "is", "it", "just", "only", "new", "pb", "pr", "today",
    "on", "all", "full", "so", "to", "around", "roughly",
];

/// What is left after `used` was understood: words to mention. Digits or signs between numbers that were not understood
/// are an error, because they may change the meaning.
pub(super) fn unread(tokens: &[Tok], used: &[bool]) -> Result<Vec<String>, String> {
    let left = || tokens.iter().zip(used).filter(|(_, used)| !**used).map(|(t, _)| t);
    if let Some(n) = left().find_map(Tok::num) {
        let digits = if n.part.is_empty() { n.whole.clone() } else { format!("{}.{}", n.whole, n.part) };
        return Err(format!("It is not clear what {digits} means here."));
    }
    Ok(left().filter_map(Tok::word).filter(|w| !FILLER.contains(w)).map(str::to_owned).collect())
}
