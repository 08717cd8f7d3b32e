//! How often through: rounds, sets, rungs, and whether they agree.

use super::super::super::dose::Amount;
use super::super::super::session::{Format, Line, Part, ProblemKind, Role, Severity};
use super::super::draft::Draft;
use super::super::item::Span;
use super::super::line::Reader;
use super::count;

impl Reader<'_, '_> {
    pub(super) fn rounds(&mut self, draft: &Draft, part: &mut Part) {
        let said = draft.first(|f| f.rounds.clone());
        let times = draft.first(|f| f.times);
        let sets = draft.rows.iter().find_map(|r| r.item.sets).or_else(|| draft.scheme.as_ref().and_then(|s| s.sets));
        // of a list of stretches one may be done twice
        let in_sets = |r: &super::super::draft::Row| r.item.sets.is_some() || r.role == Some(Role::BuyIn);
        let all_sets = sets.filter(|_| draft.rows.iter().all(in_sets) || draft.scheme.is_some());
        let alone = draft.first(|f| f.sets).map(|s| s.0);
        // `1 set` is a number; `one try`, `in one set` is a way of speaking
        let digit = draft.first(|f| f.sets).is_some_and(|s| self.doc.tokens[s.1.0].number().is_some());
        let ranged = said.as_ref().map(|s| s.0.clone()).filter(|n| matches!(n, Amount::Range(..)) && sets.is_none());
        part.rounds = match part.format {
            Format::Sets if ranged.is_some() => ranged,
            Format::Sets | Format::MaxEffort => sets
                .or(alone)
                .or(times.map(|t| t.0))
                .filter(|n| *n > 1.0 || part.format == Format::Sets || digit)
                .map(Amount::One)
                .or(said.clone().map(|s| s.0))
                .or_else(|| rungs(&part.lines)),
            Format::Emom => None,
            Format::ForTime | Format::Ladder => said
                .clone()
                .map(|s| s.0)
                .or(times.map(|t| Amount::One(t.0)))
                .or(alone.map(Amount::One))
                .or_else(|| rungs(&part.lines).filter(|_| !part.lines.iter().any(|l| l.open))),
            _ => said.clone().map(|s| s.0).or(times.map(|t| Amount::One(t.0))).or(alone.or(all_sets).map(Amount::One)),
        };
        if sets == Some(0.0) {
            part.rounds = None;
        }
        if let Some((amount, span)) = &said
            && amount.values().iter().any(|n| *n <= 0.0)
        {
            part.rounds = None;
            self.problem(
                ProblemKind::ZeroReps,
                Severity::Error,
                *span,
                "No rounds at all: write how many, or take the part out.".to_owned(),
                vec![],
            );
        }
        if let (Some(sets), Some((said, span))) =
            (sets, draft.sets_said.iter().find(|s| sets.is_some_and(|n| (n - s.0).abs() > 0.01)))
        {
            let text = format!("It says {sets} sets in one place and {said} in another.");
            self.problem(
                ProblemKind::Contradiction,
                Severity::Ask,
                *span,
                text,
                vec![self.with_number(*span, &sets.to_string())],
            );
        }
        let other = draft.facts.iter().filter_map(|f| f.sets).find(|s| sets.is_some_and(|n| (n - s.0).abs() > 0.01));
        if let (Some(sets), Some((said, span)), Format::Sets) = (sets, other, part.format) {
            let text = format!("It says {sets} sets in one place and {said} in another.");
            let suggest = vec![self.with_number(span, &sets.to_string()), self.with_number(span, &said.to_string())];
            self.problem(ProblemKind::Contradiction, Severity::Error, span, text, suggest);
            part.rounds = None;
        }
        self.mentions(draft, part);
    }

    /// Rounds said twice must agree: in the heading, in brackets, in the score line.
    pub(super) fn mentions(&mut self, draft: &Draft, part: &mut Part) {
        let written: Vec<(Amount, Span)> =
            draft.facts.iter().filter_map(|f| f.rounds.clone()).chain(draft.mentions.iter().cloned()).collect();
        let Some((first, _)) = written.first() else { return };
        let rungs = rungs(&part.lines).filter(|_| part.lines.len() > 1 || part.format == Format::ForTime);
        let other = written.iter().skip(1).find(|(n, _)| n.low() > first.high() || (n.high() < first.low() && n.high() > 1.0));
        if let Some((n, span)) = other {
            let text = format!("It says {first} rounds in one place and {n} in another.");
            // what stands there already mends nothing
            let suggest = vec![self.with_number(*span, &first.to_string())];
            self.problem(ProblemKind::Contradiction, Severity::Error, *span, text, suggest);
            part.rounds = None;
        } else if let (Some(rungs), Format::ForTime) = (rungs, part.format)
            && *first != rungs
            && part.rounds.as_ref() == Some(first)
        {
            let text = format!("It says {first} rounds, but {rungs} numbers are listed.");
            let span = written[0].1;
            self.problem(ProblemKind::Contradiction, Severity::Error, span, text, vec![]);
            part.rounds = None;
        }
    }
}

/// Rungs of fixed schemes: how many numbers a line lists.
pub(super) fn rungs(lines: &[Line]) -> Option<Amount> {
    lines.iter().find_map(|l| match (&l.reps, &l.load) {
        (Some(Amount::Scheme(list)), _) => Some(Amount::One(count(list.len()))),
        _ => match (&l.metres, &l.calories, &l.seconds) {
            (Some(Amount::Scheme(list)), ..) | (_, Some(Amount::Scheme(list)), _) | (_, _, Some(Amount::Scheme(list))) => {
                Some(Amount::One(count(list.len())))
            }
            _ => None,
        },
    })
}
