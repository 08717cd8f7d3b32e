//! From characters to tokens: words, numbers, clock times and marks, each with its place.

use super::super::session::Place;
use logos::Logos;

/// What a token is, before anyone asks what it means.
#[derive(Logos, Clone, Copy, Debug, PartialEq, Eq)]
#[logos(skip r"[ \t\r\u{00a0}\u{200b}\u{feff}]+")]
#[logos(skip(r"={3,}|~{3,}", priority = 9))]
pub enum Kind {
    /// The end of a typed line.
    #[token("\n")]
    Newline,
    /// `12:00`, `:30`, `1:02:30`
    #[regex(r"[0-9]{0,3}:[0-9][0-9](:[0-9][0-9])?", priority = 6)]
    Clock,
    /// `12`, `2.5`, `2,5`, `1,000`
    #[regex(r"[0-9]+(\.[0-9]+)?", priority = 5)]
    #[regex(r"[0-9]+,[0-9][0-9]?", priority = 5)]
    #[regex(r"[0-9]{1,3}(,[0-9][0-9][0-9])+", priority = 5)]
    Number,
    /// `5,3,1`: three or more numbers with commas.
    #[regex(r"[0-9]+(, ?[0-9]+){2,}", priority = 6)]
    List,
    /// Letters, with apostrophes inside.
    #[regex(r"\p{L}[\p{L}\p{M}]*(['’][\p{L}\p{M}]+)*")]
    Word,
    /// An address on the web.
    #[regex(r"https?://[^\s]+", priority = 20)]
    Link,
    /// Three dots, or the one character that stands for them.
    #[regex(r"\.\.\.*|…")]
    Dots,
    /// `->`, `=>` and their like, and a picture of one.
    #[regex(r"->|=>|[→➔➙➜➝➞➡⇒⟶⮕]\u{fe0f}?")]
    Arrow,
    /// One mark of punctuation.
    #[regex(r"[!-/:-@\[-`{-~–—−×•·’‘“”″′½✓▪●◦]")]
    Mark,
    /// Anything else, such as a picture character.
    Other,
}

/// One token and where it stands.
#[derive(Clone, Copy, Debug)]
pub struct Token<'t> {
    /// What it is.
    pub kind: Kind,
    /// As typed.
    pub text: &'t str,
    /// Byte where it begins.
    pub start: usize,
    /// Byte after its end.
    pub end: usize,
    /// A space stands before it.
    pub spaced: bool,
    /// Line from 1.
    pub line: usize,
    /// Column from 1, in characters.
    pub column: usize,
    /// Length in characters.
    pub chars: usize,
}

impl Token<'_> {
    /// It is this mark.
    #[must_use]
    pub fn is(&self, mark: &str) -> bool {
        self.text == mark
    }

    /// Its number, where it is one.
    #[must_use]
    pub fn number(&self) -> Option<f64> {
        if self.kind != Kind::Number {
            return None;
        }
        match self.text.rsplit_once(',') {
            Some((_, tail)) if tail.len() == 3 => self.text.replace(',', "").parse().ok(),
            Some(_) => self.text.replace(',', ".").parse().ok(),
            None => self.text.parse().ok(),
        }
    }
}

/// The place from the first token of `span` to its last; both must stand on one line to be exact.
#[must_use]
pub fn place(span: &[Token]) -> Place {
    let (Some(first), Some(last)) = (span.first(), span.last()) else {
        return Place { line: 1, column: 1, length: 0 };
    };
    let length = if first.line == last.line { last.column + last.chars - first.column } else { first.chars };
    Place { line: first.line, column: first.column, length }
}

/// Every token of the text.
#[must_use]
pub fn lex(text: &str) -> Vec<Token<'_>> {
    lex_cells(text, &[])
}

/// Every token of a text with tables; the commas at these bytes part cells: `4,6` is two numbers there.
#[must_use]
pub fn lex_cells<'t>(text: &'t str, commas: &[usize]) -> Vec<Token<'t>> {
    let mut tokens = pieces(text, commas);
    if tokens.iter().any(|t| matches!(t.text, "*" | "_")) {
        without_emphasis(&mut tokens);
    }
    spelled(text, &mut tokens);
    tokens
}

/// `**Strength**`, `_easy_`: signs around words that only make them stand out are no tokens. A star at the beginning of a line
/// with a space behind it is a bullet.
fn without_emphasis(tokens: &mut Vec<Token>) {
    let sign = |t: &Token| matches!(t.text, "*" | "_");
    let mut gone = vec![false; tokens.len()];
    let mut i = 0;
    while i < tokens.len() {
        let n = tokens[i..]
            .iter()
            .take(3)
            .enumerate()
            .take_while(|(k, t)| t.text == tokens[i].text && (*k == 0 || !t.spaced))
            .count();
        let opens = sign(&tokens[i]) && tokens.get(i + n).is_some_and(|t| !t.spaced && t.kind != Kind::Newline);
        let word = tokens.get(i + n).is_some_and(|t| !matches!(t.kind, Kind::Mark))
            && (tokens[i].spaced || i == 0 || tokens[i - 1].kind == Kind::Mark);
        let end = (i + n + 1..tokens.len().min(i + n + 24)).take_while(|&k| tokens[k].kind != Kind::Newline).find(|&k| {
            tokens[k].text == tokens[i].text
                && !tokens[k].spaced
                && (0..n).all(|j| tokens.get(k + j).is_some_and(|t| t.text == tokens[i].text))
        });
        match end.filter(|_| opens && word) {
            Some(end) => {
                (0..n).for_each(|j| (gone[i + j], gone[end + j]) = (true, true));
                if let Some(first) = tokens.get_mut(i + n) {
                    first.spaced = true;
                }
                i += n;
            }
            None => i += n.max(1),
        }
    }
    let mut kept = gone.into_iter();
    tokens.retain(|_| !kept.next().unwrap_or(false));
}

/// `E M O M`, `E.M.O.M.`: a word typed with a space or a dot behind each of its letters is one word.
fn spelled<'t>(text: &'t str, tokens: &mut Vec<Token<'t>>) {
    let mut out = Vec::with_capacity(tokens.len());
    let mut i = 0;
    while let Some(first) = tokens.get(i) {
        let n = letters(&tokens[i..]).max(1);
        let last = tokens[i + n - 1];
        out.push(if n == 1 {
            *first
        } else {
            Token { text: &text[first.start..last.end], end: last.end, chars: last.column + last.chars - first.column, ..*first }
        });
        i += n;
    }
    *tokens = out;
}

/// How many of the tokens that begin here spell one word.
fn letters(t: &[Token]) -> usize {
    let letter = |k: usize| t.get(k).is_some_and(|t| t.kind == Kind::Word && t.chars == 1);
    if !letter(0) {
        return 0;
    }
    let dot = |k: usize| t.get(k).is_some_and(|t| t.is(".") && !t.spaced);
    let dots = (0..t.len()).step_by(2).take_while(|&k| letter(k) && dot(k + 1) && (k == 0 || !t[k].spaced)).count();
    let last = dots > 2 && letter(2 * dots) && !t[2 * dots].spaced;
    if dots > 3 || last {
        return 2 * dots + usize::from(last);
    }
    let spaced = 1 + (1..t.len()).take_while(|&k| letter(k) && t[k].start == t[k - 1].end + 1).count();
    if spaced > 3 { spaced } else { 0 }
}

fn pieces<'t>(text: &'t str, commas: &[usize]) -> Vec<Token<'t>> {
    let mut tokens: Vec<Token> = Vec::with_capacity(text.len() / 4);
    let (mut line, mut column, mut at) = (1, 1, 0);
    let parted = (!commas.is_empty()).then(|| {
        let part = |(i, c): (usize, char)| if c == ',' && commas.binary_search(&i).is_ok() { ';' } else { c };
        text.char_indices().map(part).collect::<String>()
    });
    let mut lexer = Kind::lexer(parted.as_deref().unwrap_or(text));
    while let Some(found) = lexer.next() {
        let span = lexer.span();
        column += text[at..span.start].chars().count();
        let typed = &text[span.clone()];
        let chars = typed.chars().count();
        let kind = found.unwrap_or(Kind::Other);
        let spaced = span.start > at || tokens.last().is_none_or(|t| t.kind == Kind::Newline);
        let token = Token { kind, text: typed, start: span.start, end: span.end, spaced, line, column, chars };
        match by(&tokens, &token) {
            Some(pair) => tokens.extend(pair),
            None if kind == Kind::List && ends_in_decimal(typed, &text[span.end..]) => apart(&token, &mut tokens),
            None => tokens.push(token),
        }
        column += chars;
        at = span.end;
        if kind == Kind::Newline {
            line += 1;
            column = 1;
        }
    }
    tokens
}

/// `5x3, 42,5/27,5 kg`: a comma with a space parts, one without is a decimal's, where a weight, a percentage or a second column
/// stands behind.
fn ends_in_decimal(list: &str, behind: &str) -> bool {
    let last = list.rsplit(", ").next().unwrap_or(list);
    let unit = behind.trim_start_matches(' ').trim_start_matches('/');
    let told = behind.starts_with('/') || ["kg", "lb", "%", "min", "km"].iter().any(|u| unit.to_lowercase().starts_with(u));
    told && list.contains(", ") && last.matches(',').count() == 1
}

/// The numbers of a list and the commas between them, each a token.
fn apart<'t>(list: &Token<'t>, out: &mut Vec<Token<'t>>) {
    let mut at = 0;
    for piece in list.text.split(", ") {
        let token = |kind, text: &'t str, at: usize, spaced| Token {
            kind,
            text,
            start: list.start + at,
            end: list.start + at + text.len(),
            spaced,
            column: list.column + at,
            chars: text.len(),
            ..*list
        };
        if at > 0 {
            out.push(token(Kind::Mark, ",", at - 2, false));
        }
        out.push(token(Kind::Number, piece, at, at > 0 || list.spaced));
        at += piece.len() + 2;
    }
}

/// `3xmax`, `70kgx3`: the `x` glued to a number or its unit is a sign, whatever follows it.
fn by<'t>(before: &[Token<'t>], token: &Token<'t>) -> Option<[Token<'t>; 2]> {
    let glued = !token.spaced && before.last().is_some_and(|t| t.kind == Kind::Number);
    let sign = token.kind == Kind::Word && token.chars > 2 && token.text.starts_with(['x', 'X']);
    let unit = matches!(token.text.to_lowercase().as_str(), "kgx" | "kgsx" | "lbx" | "lbsx");
    let numbered = before.last().is_some_and(|t| t.kind == Kind::Number);
    (glued && sign || unit && numbered).then(|| {
        let at = if unit { token.text.len() - 1 } else { 1 };
        let (x, rest) = token.text.split_at(at);
        let first = Token { text: x, end: token.start + at, chars: at, ..*token };
        let second = Token {
            text: rest,
            start: token.start + at,
            column: token.column + at,
            chars: token.chars - at,
            spaced: false,
            ..*token
        };
        [first, second]
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kinds(text: &str) -> Vec<(Kind, &str)> {
        lex(text).into_iter().map(|t| (t.kind, t.text)).collect()
    }

    #[test]
    fn numbers_words_and_clocks_are_told_apart() {
        use Kind::{Clock, Mark, Number, Word};
        assert_eq!(
            kinds("5x5 12:00 2,5kg"),
            [(Number, "5"), (Word, "x"), (Number, "5"), (Clock, "12:00"), (Number, "2,5"), (Word, "kg"),]
        );
        assert_eq!(kinds("21-15"), [(Number, "21"), (Mark, "-"), (Number, "15")]);
        assert_eq!(kinds("3xmax"), [(Number, "3"), (Word, "x"), (Word, "max")]);
    }

    #[test]
    fn columns_count_characters_not_bytes() {
        let tokens = lex("☀️ ok\nnext");
        let next = tokens.last().unwrap();
        assert_eq!((next.line, next.column), (2, 1));
        assert_eq!(tokens.iter().find(|t| t.text == "ok").unwrap().column, 4);
    }

    #[test]
    fn a_comma_is_a_decimal_or_a_thousand() {
        assert_eq!(lex("22,5")[0].number(), Some(22.5));
        assert_eq!(lex("1,000")[0].number(), Some(1000.0));
    }
}
