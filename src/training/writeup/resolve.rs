//! From a draft to a part: its format, clock, rounds, rest and score.

mod clock;
mod kind;
mod options;
mod rounds;
mod sums;

use kind::{around, format, intent, name};

use super::super::dose::Load;
use super::super::movement::{Implement, Movement};
use super::super::session::{Format, Line, Part, Role, ScoreKind};
use super::draft::{Draft, Row};
use super::item::{Facts, Span};
use super::line::{Around, Reader};
use super::score;

impl Reader<'_, '_> {
    /// The part that a draft describes.
    pub fn part(&mut self, draft: &Draft) -> Part {
        let around = Around { built: self.built, ..around(draft) };
        self.built = draft.rows.iter().rev().find_map(|r| r.item.build).or(self.built);
        let mut lines: Vec<Line> = Vec::new();
        let stick = draft.load_of_all.as_ref().is_some_and(|all| all.load == Some(Load::Stick));
        let barred = |m: &Movement| m.equipment.iter().flatten().any(|e| matches!(e, Implement::Stick | Implement::Barbell));
        let takes = |line: &Line| {
            self.library.find(&line.movement).is_some_and(|m| m.needs_weight() || stick && barred(m)) || !line.complex.is_empty()
        };
        for row in &draft.rows {
            let above = self.above.clone().filter(|_| self.same_tool(row));
            // `the same bell` may be that of a line further up: the one between holds nothing
            let last = if row.item.same { lines.iter().rev().find(|l| l.load.is_some()).or(lines.last()) } else { lines.last() };
            let mut line = self.line(row, &around, last.or(above.as_ref()));
            if let Some(all) = draft.load_of_all.as_ref().filter(|_| line.load.is_none() && takes(&line)) {
                line.load.clone_from(&all.load);
                line.implements = line.implements.or(all.implements);
                self.with_tool_of(draft, all.from, &mut line);
            }
            lines.push(line);
        }
        // `the same dumbbell`: that of the last line that is done with a weight, however far up
        self.above = lines.iter().rev().find(|l| l.load.is_some()).cloned().or_else(|| self.above.take());
        let mut part = Part {
            name: draft.name.clone(),
            label: draft.label.clone(),
            format: format(draft, &lines),
            at: draft.at.map(|at| self.place(at)),
            lines,
            ..Part::default()
        };
        part.intent = intent(draft, &part, self.library);
        self.rounds(draft, &mut part);
        self.windows(draft, &mut part);
        self.rest(draft, &mut part);
        self.sum_of_sets(draft, &mut part);
        part.score = score::usual(&part, draft);
        part.intent = intent(draft, &part, self.library);
        part.carry_on = (part.format == Format::Amrap && self.goes_on(draft)).then_some(true);
        part.options = draft.options.iter().map(|o| self.option(o, &part, &around)).collect();
        let after = std::mem::take(&mut part.notes);
        part.notes = draft.notes.iter().map(|s| self.doc.typed(s.0, s.1).to_owned()).filter(|n| !n.is_empty()).collect();
        part.notes.extend(after);
        part.notes.extend(self.rest_in_words(draft));
        part.said = draft.said.iter().chain(&draft.score).map(|s| self.place(*s)).collect();
        if part.name.is_empty() {
            part.name = name(&part);
        }
        part
    }

    /// `same dumbbell`: what is held goes on into the next part. `same weight for all sets` speaks of this one alone.
    fn same_tool(&self, row: &Row) -> bool {
        let tool = |t: usize| matches!(self.doc.plain[t].as_str(), "dumbbell" | "kettlebell" | "bell" | "backpack" | "bag");
        let to = (row.item.to + 2).min(self.doc.tokens.len());
        row.item.same && (row.item.from + 1..to).any(|t| tool(t) && self.doc.low(t - 1) == "same")
    }

    /// `rest the time it took`, `rest as needed`: no seconds to count, so the words stand beside the part.
    fn rest_in_words(&self, draft: &Draft) -> Option<String> {
        let rest = |f: &Facts| f.rest.clone().filter(|r| r.0.is_none()).map(|r| r.2);
        let span = draft.facts.iter().filter_map(rest).find(|s| s.1 > s.0 + 1)?;
        let told = draft.notes.iter().chain(draft.rows.iter().flat_map(|r| &r.notes)).any(|n| n.0 <= span.0 && span.1 <= n.1);
        (!told).then(|| self.doc.typed(span.0, span.1).to_owned())
    }

    /// `start each block where you left off`
    fn goes_on(&self, draft: &Draft) -> bool {
        const WORDS: &[&str] =
            &["where you left off", "where you stopped", "where the last one stopped", "where you finished", "pick up where"];
        let notes = draft.notes.iter().chain(draft.rows.iter().flat_map(|r| &r.notes));
        notes.into_iter().any(|s| (s.0..s.1).any(|t| self.doc.says_any(t, WORDS).is_some()))
    }

    /// Score lines, each to the part that it speaks of.
    pub fn scores(&self, drafts: &[Draft], parts: &mut [Part]) {
        for (i, draft) in drafts.iter().enumerate() {
            for span in &draft.score {
                for piece in score::pieces(self.doc, *span) {
                    self.one_score(i, piece, parts);
                }
            }
        }
    }

    /// `Scores to log: A (kg) and E`, `1 = kg, 2 = time`: the parts that it speaks of by their letters or numbers.
    fn scores_by_label(&self, span: Span, parts: &mut [Part]) -> bool {
        let letter = |t: usize| {
            let typed = self.doc.tokens[t].text;
            let sign = matches!(self.doc.low(t + 1), "(" | "=" | ":" | "," | "." | "and" | "&" | "\n");
            let article = self.doc.low(t) == "a" && !sign && self.doc.tokens.get(t + 1).is_some();
            let same = |l: &String| typed.len() == 1 && l.eq_ignore_ascii_case(typed);
            parts.iter().position(|p| !article && p.label.as_ref().is_some_and(same))
        };
        let told: Vec<(usize, usize)> = (span.0..span.1).filter_map(|t| Some((t, letter(t)?))).collect();
        let numbered = (span.0..span.1).filter(|&t| self.doc.low(t) == "=").count() > 1;
        for (k, (t, to)) in told.iter().enumerate() {
            let end = told.get(k + 1).map_or(span.1, |n| n.0);
            let words: Vec<&str> = (*t..end).map(|t| self.doc.low(t)).collect();
            if let Some(kind) = score::said(&words, &parts[*to]) {
                parts[*to].score = kind;
            }
        }
        numbered || !told.is_empty()
    }

    fn one_score(&self, i: usize, span: Span, parts: &mut [Part]) {
        // `stop one short each time` is no time
        let often = |t: usize| {
            self.doc.low(t) == "time" && t > 0 && matches!(self.doc.low(t - 1), "each" | "every" | "this" | "next" | "one")
        };
        let words: Vec<&str> = (span.0..span.1).filter(|&t| !often(t)).map(|t| self.doc.low(t)).collect();
        let before =
            (0..3).map(|n| self.doc.low((span.0.max(3)) - 1 - n)).any(|w| matches!(w, "capped" | "cap" | "finish" | "finished"));
        let capped =
            before && self.doc.low(span.0.saturating_sub(1)) != "score" && words.iter().any(|w| matches!(*w, "reps" | "rep"))
                || words.contains(&"capped");
        if self.scores_by_label(span, parts) {
            return;
        }
        // `log the distance too`
        let besides = words.iter().any(|w| matches!(*w, "too" | "also"));
        let to = score::target(self.doc, span, i, parts);
        let part = &mut parts[to];
        if score::counts_rounds(&words, part) {
            part.format = Format::Amrap;
        }
        if capped && part.format == Format::ForTime {
            part.if_capped = Some("reps".to_owned());
        } else if let Some(kind) = score::said(&words, part).filter(|_| !(besides && part.score != ScoreKind::None)) {
            if kind == ScoreKind::Time && score::raced(part) {
                part.format = Format::ForTime;
            }
            part.score = kind;
            let of_each = words.contains(&"each") || words.contains(&"both");
            let twins = |a: &Part, b: &Part| {
                let line = |p: &Part| p.at.map(|at| at.line);
                line(a) == line(b) && a.interval.is_some() && (a.interval, &a.rounds) == (b.interval, &b.rounds)
            };
            if let Some(before) =
                to.checked_sub(1).filter(|b| of_each && !words.contains(&"round") || twins(&parts[*b], &parts[to]))
                && parts[before].format == parts[to].format
                && parts[before].score == ScoreKind::None
            {
                // `lowest set of each`
                parts[before].score = kind;
            }
        }
        let part = &mut parts[to];
        let rule = self.doc.typed(span.0, span.1).to_owned();
        part.score_rule = Some(part.score_rule.take().map_or(rule.clone(), |old| format!("{old} {rule}")));
    }
}

#[expect(clippy::cast_precision_loss, reason = "a count of lines")]
fn count(n: usize) -> f64 {
    n as f64
}

fn tidy(n: f64) -> String {
    format!("{}", (n * 100.0).round() / 100.0)
}

/// A time as people write it.
#[must_use]
pub fn words(seconds: f64) -> String {
    if seconds < 60.0 {
        return format!("{seconds} s");
    }
    let rest = (seconds % 60.0).round();
    if rest == 0.0 { format!("{} min", seconds / 60.0) } else { format!("{}:{rest:02}", (seconds / 60.0).floor()) }
}

/// Rows done once are told by their role alone.
#[must_use]
pub fn in_rounds(line: &Line) -> bool {
    !matches!(line.role, Some(Role::BuyIn | Role::CashOut))
}
