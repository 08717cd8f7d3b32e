//! A note as words: lower case, without apostrophes, each with the clause and the sentence that it stands in.

/// A word of a note.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Word {
    pub text: String,
    /// counts up at every mark that ends a clause
    pub clause: usize,
    /// counts up at every mark that ends a sentence
    pub sentence: usize,
}

/// The words of a note. A hyphen or a stroke parts two words, a dash between gaps two clauses; a point inside a number does
/// neither.
pub(super) fn words(note: &str) -> Vec<Word> {
    let letters: Vec<char> = note.to_lowercase().chars().collect();
    let mut out = Vec::new();
    let (mut clause, mut sentence, mut word) = (0, 0, String::new());
    for (i, &c) in letters.iter().enumerate() {
        let before = i.checked_sub(1).and_then(|b| letters.get(b)).copied().unwrap_or(' ');
        let after = letters.get(i + 1).copied().unwrap_or(' ');
        let in_number = before.is_ascii_digit() && after.is_ascii_digit();
        match c {
            '\'' | '\u{2019}' | '\u{2018}' => continue,
            '.' | ',' | ':' if in_number => word.push(c),
            '&' if before.is_alphanumeric() && after.is_alphanumeric() => word.push(c),
            _ if c.is_alphanumeric() => word.push(c),
            _ => {
                if !word.is_empty() {
                    out.push(Word { text: std::mem::take(&mut word), clause, sentence });
                }
                let dash = matches!(c, '\u{2013}' | '\u{2014}') || (c == '-' && before.is_whitespace() && after.is_whitespace());
                let ends = matches!(c, '.' | '!' | '?' | ';' | '\n');
                clause += usize::from(ends || dash || matches!(c, ',' | ':' | '(' | ')'));
                sentence += usize::from(ends);
            }
        }
    }
    if !word.is_empty() {
        out.push(Word { text: word, clause, sentence });
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_part_clauses_and_hyphens_part_words() {
        let read: Vec<(String, usize)> =
            words("I can\u{2019}t bend, post-op (2.5 kg)").into_iter().map(|w| (w.text, w.clause)).collect();
        let want = [("i", 0), ("cant", 0), ("bend", 0), ("post", 1), ("op", 1), ("2.5", 2), ("kg", 2)];
        assert_eq!(read, want.map(|(w, c)| (w.to_owned(), c)));
    }
}
