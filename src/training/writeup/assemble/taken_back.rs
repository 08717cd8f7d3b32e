//! What a coach takes back while typing.

use super::super::clause::Join;
use super::super::draft::Row;
use super::Assembler;

/// Words by which a coach surely takes back what was just typed.
const BACK: &[&str] = &[
    "wait no",
    "no wait",
    "sorry",
    "no sorry",
    "scratch that",
    "i mean",
    "correction",
    "oops",
    "actually no",
    "strike that",
    "on second thoughts",
    "on second thought",
];
/// Words that may be an answer or a thought: they take something back where another number, or more such words, follow.
const PERHAPS: &[&str] = &["no", "wait", "hang on", "hold on", "actually", "hmm"];
/// Words that lead to what it is now.
pub(super) const MAKE: &[&str] =
    &["make it", "make that", "let's make it", "let's make that", "call it", "let's call it", "let's say", "say"];

impl Assembler<'_, '_> {
    /// `buy-in: 50 skips... wait no, 100 skips`: what stands before on its line is void up to there.
    pub(super) fn taken_back(&self, i: usize, line_end: usize) -> Option<usize> {
        let says = |k: &usize| self.surely_back(*k);
        let back = (i + 1..line_end.min(i + 3)).find(says)?;
        let again =
            self.clauses[back + 1..line_end].first().is_some_and(|n| !n.said.items.is_empty() || !n.said.facts.is_empty());
        // `AMRAP 12, no wait, make it 15`: a number is another, and the rest stays
        (again && self.clauses[i].join == Join::Line && !self.mends(back + 1)).then_some(back + 1)
    }

    /// `10 cleans and 8 squats, no, sorry, 12 squats`: the last line so far is void where the same name comes again behind such
    /// words. Says how many clauses these take.
    pub(super) fn corrects_the_last(&mut self, i: usize) -> Option<usize> {
        let words = |k: &usize| self.surely_back(*k) || self.says_only(*k, PERHAPS);
        let end = (i..self.line_end(i)).find(|k| !words(k))?;
        // `no` alone is an answer
        let sorry = (i..end).any(|k| self.surely_back(k)) || end > i + 1;
        let again = self.clauses[end].said.items.first().filter(|it| it.movement.is_some() && it.is_dosed())?;
        let same = |r: &Row| r.line == self.clauses[i].line && r.item.movement == again.movement;
        self.cur.rows.last().filter(|r| sorry && same(r))?;
        let gone = self.cur.rows.pop()?;
        self.cur.said.extend([(gone.item.from, gone.item.to), self.span(i, end)]);
        Some(end - i)
    }

    /// Clause `k` takes back what stands before it, and says nothing else.
    fn surely_back(&self, k: usize) -> bool {
        self.says_only(k, BACK) || self.says_only(k, &["make that"])
    }

    /// Words at token `t` that take something back, perhaps; how many tokens they take.
    pub(super) fn words_back(&self, t: usize) -> Option<usize> {
        self.doc.says_any(t, BACK).max(self.doc.says_any(t, PERHAPS))
    }

    /// Clause `k` goes on with its line, and holds one of these phrases and nothing else.
    fn says_only(&self, k: usize, phrases: &[&str]) -> bool {
        let c = &self.clauses[k];
        let n = self.doc.says_any(c.said.from, phrases);
        n.is_some_and(|n| c.said.from + n >= c.said.to) && c.join != Join::Line && !c.inside
    }

    /// `AMRAP? no. For time today`: the question and its answer are void.
    pub(super) fn asks_and_denies(&self, i: usize) -> Option<usize> {
        let (c, n) = (&self.clauses[i], self.clauses.get(i + 1)?);
        let denies = self
            .doc
            .says_any(n.said.from, &["no", "nope", "nah", "not today", "no way", "not this time", "not really"])
            .is_some_and(|used| n.said.from + used >= n.said.to);
        (c.question && denies && n.line == c.line && n.join == Join::Question).then_some(i + 2)
    }
}
