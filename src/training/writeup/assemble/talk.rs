//! What is only said: titles, sentences, scores and other versions.

use super::super::clause::{Clause, Join, Lead};
use super::super::draft::Row;
use super::super::element::{Heading, What};
use super::super::item::{Facts, Item, Span};
use super::super::quantity::Unit;
use super::super::token::Kind;
use super::greeting::{is_greeting, is_quote};
use super::{Assembler, starts_lines};

impl Assembler<'_, '_> {
    /// A few words and nothing else, not a sentence.
    pub(super) fn is_bare_words(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let p = &c.said;
        let ends_as_sentence = self.doc.tokens.get(c.to).is_some_and(|t| matches!(t.text, "." | "!" | "?"));
        p.items.is_empty()
            && p.facts.is_empty()
            && p.prefix.is_none()
            && p.talk == 0
            && !c.inside
            && !p.link
            && (1..=4).contains(&p.words.len())
            && p.words.iter().all(|w| self.doc.tokens[w.0].kind == Kind::Word || is_quote(self.doc.low(w.0)))
            && !ends_as_sentence
            && !is_greeting(self.doc.low(p.from))
    }

    /// `Morning all! Heavy-ish squats today and then a grinder.`: a typed line of sentences that tells no number and no format
    /// is read by people only, whatever it names.
    pub(super) fn is_prose(&self, i: usize, line_end: usize) -> bool {
        if self.clauses[i].join != Join::Line || self.clauses[i].lead != Lead::default() {
            return false;
        }
        let line = &self.clauses[i..line_end.max(i + 1)];
        let c = &line[0];
        let to = line[line.len() - 1].to;
        let sentences = line.iter().skip(1).filter(|n| matches!(n.join, Join::Stop | Join::Question)).count() + 1;
        let talk: usize = line.iter().map(|n| n.said.talk).sum();
        let tells = |n: &Clause| {
            let it = |it: &Item| it.is_dosed() || it.load.is_some() || it.max.is_some() || it.build.is_some();
            n.colon || n.said.items.iter().any(it) || Facts { heading: None, ..n.said.facts.clone() } != Facts::default()
        };
        let plain = !line.iter().any(tells);
        plain
            && !(i..i + line.len()).any(|k| self.says_score(k) || self.clauses[k].said.prefix.is_some())
            && sentences > 1
            && talk > 2
            && to - c.from > 8
    }

    /// `1 min rest every time you've done 3 rounds`: the words before the number say when, not how often.
    fn is_condition(&self, before: Span) -> bool {
        const WHEN: &[&str] =
            &["every time", "each time", "whenever", "any time", "anytime", "every", "after every", "after each"];
        (before.0..before.1).any(|t| self.doc.says_any(t, WHEN).is_some())
    }

    /// `deads today. work up to a 5RM`, `we're front squatting. Four sets of five`: the lift that the sets of the next sentence
    /// are of.
    fn spoken_of(&self, i: usize) -> Option<Row> {
        let c = &self.clauses[i];
        let [only] = &c.said.items[..] else { return None };
        let bare = only.movement.is_some() && !only.is_dosed() && only.choices.is_empty();
        let opens = !self.started && c.line == self.opening;
        let today = matches!(self.doc.low(c.said.to.saturating_sub(1)), "today" | "tonight" | "day");
        let whole = |it: &Item| !it.is_named() && (it.build.is_some() || it.sets.is_some() && it.dose.is_some());
        let next =
            self.clauses.get(i + 1).filter(|n| n.line == c.line && matches!(n.join, Join::Stop | Join::Comma | Join::Colon));
        let sets = next.is_some_and(|n| n.said.items.first().is_some_and(whole)) && only.to == c.said.to;
        let line = if sets { c.line } else { 0 };
        (bare && (opens && today || sets)).then(|| Row { item: only.clone(), line, ..Row::default() })
    }

    /// Words: a note, kept whole up to the end of the sentence.
    pub(super) fn talk(&mut self, i: usize) -> usize {
        let c = &self.clauses[i];
        let mut end = i + 1;
        let gentle = matches!(self.cur.heading, Some(Heading::WarmUp | Heading::CoolDown | Heading::Mobility));
        let waits = self.cur.rows.last().is_some_and(|r| r.line == c.line && !r.item.is_dosed());
        let window = |c: &Clause| {
            let long =
                |it: &Item| !it.is_named() && it.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds && q.amount.low() >= 60.0);
            (gentle || c.colon)
                && self.cur.rows.is_empty()
                && matches!(&c.said.items[..], [only] if long(only))
                && c.said.talk == 0
        };
        let begun = !self.cur.is_blank();
        let says = |c: &Clause| {
            // `Pull-ups, weighted, 5x3`: the sets are still those of the name before
            let sets = |it: &Item| !it.is_named() && it.sets.is_some() && it.dose.is_some();
            // `burpees, slow, x6`: so is the number that the name still waits for
            let number = matches!(&c.said.items[..], [only] if waits && !only.is_named() && only.dose.is_some());
            window(c)
                || number && c.said.words.is_empty()
                || c.said.talk == 0 && c.said.items.iter().any(sets)
                || c.inside
                || !c.said.facts.is_empty()
                || starts_lines(&c.said.items)
                || c.join == Join::Colon && !c.said.items.is_empty()
                // `until the clock stops, score is total reps`
                || c.said.prefix == Some(What::Score) && c.join == Join::Comma && begun
        };
        if let Some(row) = self.spoken_of(i) {
            self.cur.carried = Some(row);
        }
        let sentence = self.sentence_end(i);
        let when = self.doc.says_any(c.said.from, &["whenever", "if you", "any time", "anytime"]).is_some();
        if when && self.comes_then(i) {
            // `then, whenever you are ready, accumulate 3 min dead hang`: only when
        } else if self
            .doc
            .says_any(c.said.from, &["every time", "each time", "whenever", "any time", "anytime", "if you"])
            .is_some()
        {
            // `every time you stop, 5 squats`: what it costs is told, not counted
            end = sentence;
        }
        while end < sentence && !says(&self.clauses[end]) {
            end += 1;
        }
        self.hears_numbers(i);
        if (c.from..c.to).any(|t| matches!(self.doc.low(t), "counts" | "count")) {
            self.counts_as(i, end);
        }
        let span = self.span(i, end);
        if c.said.items.iter().any(|it| it.unknown.is_some() && it.is_dosed()) && c.said.talk == 0 {
            self.sheet.unread.push(span);
        }
        if self.hides_work(i) {
            self.sheet.unread.push(span);
        }
        self.note(span);
        end - i
    }

    /// `all 5 rounds`, `all 4 sets` in a sentence: kept, for they have to agree with what is written.
    fn hears_numbers(&mut self, i: usize) {
        let c = &self.clauses[i];
        if let Some((rounds, at)) = c.said.facts.rounds.clone().filter(|(_, at)| !self.is_condition((c.from, at.0))) {
            self.cur.mentions.push((rounds, at));
        }
        if let Some((sets, at)) = c
            .said
            .facts
            .sets
            .filter(|(_, at)| !c.blank && at.0 > 0 && self.doc.low(at.0 - 1) == "all" && self.doc.low(at.1) != "of")
        {
            self.cur.sets_said.push((sets, at));
        }
    }
}
