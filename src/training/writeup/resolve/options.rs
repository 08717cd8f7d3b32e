//! Other versions of a part.

use super::super::super::dose::Amount;
use super::super::super::session::{Format, Line, Part, PartOption, Problem, ProblemKind, Severity};
use super::super::draft::{Other, Row};
use super::super::element::Name;
use super::super::item::{Item, Span};
use super::super::line::{Around, Reader};
use super::super::marks::names_no_kit;
use super::super::quantity::Unit;
use super::super::token::Token;
use super::super::words::plain;

impl Reader<'_, '_> {
    pub(super) fn option(&mut self, other: &Other, part: &Part, around: &Around) -> PartOption {
        let mut option = PartOption {
            name: other.name.clone(),
            text: Some(self.doc.typed(other.span.0, other.span.1).to_owned()),
            at: Some(self.place(other.span)),
            ..PartOption::default()
        };
        for f in &other.facts {
            option.rounds = option.rounds.or(f.rounds.clone().map(|r| r.0));
            option.time_cap_s = option.time_cap_s.or(f.cap.and_then(|c| c.0));
            option.duration_s = option.duration_s.or(f.amrap.and_then(|a| a.0)).or(f.window.clone().map(|w| w.0.high()));
        }
        let kit = names_no_kit(&other.name);
        for item in &other.items {
            if kit && item.movement.is_some() && !item.is_dosed() && !self.is_skipped(other, item) {
                option.lines.extend(self.bare_lines(item, around));
            } else if item.movement.is_some() && (item.is_dosed() || other.replaces.is_some()) {
                let problems = self.problems.len();
                let row = Row { item: item.clone(), ..Row::default() };
                let line = self.line(&row, &Around { scheme: None, ..around.clone() }, None);
                self.problems.truncate(problems);
                option.lines.push(line);
            } else if !item.is_named() {
                self.option_dose(item, part, &mut option);
            } else if let Some(name) = item.unknown.filter(|_| item.dose.is_some()) {
                self.short_name(item, name, part, &mut option);
            }
        }
        self.one_number_a_line(other, part, &mut option);
        if kit {
            self.doses_of_part(part, &mut option);
        }
        self.own_counts(part, &mut option);
        self.skipped(other, part, &mut option);
        if let Some(n) = other.replaces {
            option.replace = part.lines.iter().take(n).map(|l| l.movement.clone()).collect();
        }
        option
    }

    /// `5 pull-ups, 10 push-ups, 15 squats` and `short on time? 3 rounds of 3/6/9`: as many numbers as lines, one for each.
    fn own_counts(&self, part: &Part, option: &mut PartOption) {
        let counts = match &option.reps {
            Some(Amount::Scheme(list)) => list.clone(),
            Some(Amount::Columns(a, b)) => vec![*a, *b],
            _ => return,
        };
        let counted = |l: &Line| {
            let amounts = [&l.reps, &l.calories, &l.metres, &l.seconds].into_iter().flatten().collect::<Vec<_>>();
            matches!(amounts[..], [Amount::One(_)])
        };
        let one_each = counts.len() == part.lines.len() && part.lines.len() > 1 && part.lines.iter().all(counted);
        if !one_each || !option.lines.is_empty() {
            return;
        }
        option.reps = None;
        option.lines = part.lines.iter().zip(counts).map(|(line, n)| with_count(line, n)).collect();
    }

    /// `scaled: 10 step-ups, 12 rocks` under `16 hollow rocks`: the last word of a line is enough to name it again.
    fn short_name(&mut self, item: &Item, name: Span, part: &Part, option: &mut PartOption) {
        let word = &self.doc.plain[name.1 - 1];
        let ends = |l: &&Line| l.movement.rsplit([' ', '-']).next().is_some_and(|last| plain(last) == *word);
        let count = item.dose.as_ref().and_then(|q| if let Amount::One(n) = q.amount { Some(n) } else { None });
        if let (Some(line), Some(n)) = (part.lines.iter().find(ends), count) {
            return option.lines.push(with_count(line, n));
        }
        let typed = self.doc.typed(item.from, item.to);
        let text = format!("\"{typed}\" could not be read as a line of this version; it stands in its words alone.");
        self.problem(ProblemKind::Unread, Severity::Ask, (item.from, item.to), text, vec![]);
    }

    /// `scaled: 6 / 10 / 12` under three lines: a number for each of them.
    fn one_number_a_line(&self, other: &Other, part: &Part, option: &mut PartOption) {
        let tokens = &self.doc.tokens[other.span.0..other.span.1];
        let Some(sign) = tokens.iter().position(|t| matches!(t.text, ":" | "=" | "-" | "–")) else { return };
        let list = &tokens[sign + 1..];
        let numbers: Option<Vec<f64>> = list.iter().step_by(2).map(Token::number).collect();
        let parted = list.iter().skip(1).step_by(2).all(|t| matches!(t.text, "/" | "," | "|" | ";"));
        let Some(counts) = numbers.filter(|n| parted && n.len() == part.lines.len() && n.len() > 1 && option.lines.is_empty())
        else {
            return;
        };
        option.reps = None;
        option.lines = part.lines.iter().zip(counts).map(|(line, n)| with_count(line, n)).collect();
    }

    /// `air squats + inverted rows`: each of the names is a line of its own.
    fn bare_lines(&mut self, item: &Item, around: &Around) -> Vec<Line> {
        let problems = self.problems.len();
        let around = Around { scheme: None, ..around.clone() };
        let names = item.movement.into_iter().map(|name| (name, None)).chain(item.complex.clone());
        let items = names.map(|(name, dose)| Item {
            movement: Some(name),
            dose,
            complex: Vec::new(),
            first: None,
            from: item.from,
            to: item.to,
            ..Item::default()
        });
        let rows = items.map(|item| Row { item, ..Row::default() }).collect::<Vec<_>>();
        let lines = rows.iter().map(|row| Line { at: None, ..self.line(row, &around, None) }).collect();
        self.problems.truncate(problems);
        lines
    }

    /// Names alone take the numbers of the part: the one list that all its lines share, or line by line.
    fn doses_of_part(&mut self, part: &Part, option: &mut PartOption) {
        let bare = |l: &Line| l.reps.is_none() && l.seconds.is_none() && l.metres.is_none() && l.calories.is_none() && !l.max;
        if !option.lines.iter().any(bare) {
            return;
        }
        let own: Vec<&Line> = part.lines.iter().filter(|l| l.role.is_none() && l.reps.is_some()).collect();
        let each = part.lines.iter().filter(|l| l.role.is_none()).count() == own.len();
        let shared = own.first().filter(|f| each && own.iter().all(|l| l.reps == f.reps));
        let paired = own.len() == option.lines.len() && own.len() == part.lines.len();
        for (k, line) in option.lines.iter_mut().enumerate().filter(|(_, l)| bare(l)) {
            let like = if paired { own.get(k) } else { shared };
            line.reps = like.and_then(|l| l.reps.clone());
        }
        if let (true, Some(at)) = (option.lines.iter().any(bare), option.at) {
            let text = format!("\"{}\" names what is done and not how much of it.", option.name);
            let (kind, severity) = (ProblemKind::Unclear, Severity::Ask);
            self.problems.push(Problem {
                kind,
                severity,
                line: at.line,
                column: at.column,
                length: at.length,
                text,
                suggest: vec![],
            });
        }
    }

    /// `15-12-9, skip the run`: the lines of the part without the one that is left out.
    fn skipped(&self, other: &Other, part: &Part, option: &mut PartOption) {
        let bare = other.items.iter().filter(|it| it.movement.is_some() && !it.is_dosed() && self.is_skipped(other, it));
        let gone: Vec<String> = bare.map(|it| self.canonical_of(it, part)).collect();
        if !option.lines.is_empty() || !gone.iter().any(|g| part.lines.iter().any(|l| l.movement == *g)) {
            return;
        }
        let reps = option.reps.take();
        let kept = part.lines.iter().filter(|l| !gone.contains(&l.movement));
        option.lines = kept
            .map(|l| Line { at: None, reps: l.reps.as_ref().map(|own| reps.clone().unwrap_or(own.clone())), ..l.clone() })
            .collect();
    }

    /// `skip the run`, `no running`: an item that is left out.
    fn is_skipped(&self, other: &Other, item: &Item) -> bool {
        let before = (item.from.saturating_sub(3)..item.from).rev();
        before
            .take_while(|t| *t >= other.span.0)
            .map(|t| self.doc.low(t))
            .take_while(|w| !matches!(*w, "," | "." | ":" | "?"))
            .any(|w| matches!(w, "skip" | "without" | "drop" | "cut" | "minus" | "no" | "omit" | "lose" | "out"))
    }

    /// The name in the part of what an item names: `the row` is the row that stands there.
    fn canonical_of(&self, item: &Item, part: &Part) -> String {
        match item.movement {
            Some(Name::Known(m)) => self.library.all()[m].name.clone(),
            Some(Name::Row) => {
                part.lines.iter().find(|l| l.movement.contains("row")).map_or_else(String::new, |l| l.movement.clone())
            }
            Some(Name::Squat) => {
                part.lines.iter().find(|l| l.movement.contains("squat")).map_or_else(String::new, |l| l.movement.clone())
            }
            None => String::new(),
        }
    }

    pub(super) fn option_dose(&mut self, item: &Item, part: &Part, option: &mut PartOption) {
        option.load = option.load.clone().or(item.load.clone());
        let Some(q) = &item.dose else { return };
        match q.unit {
            Unit::Bare | Unit::Reps => option.reps = option.reps.clone().or(Some(q.amount.clone())),
            Unit::Seconds if part.format == Format::ForTime => option.time_cap_s = option.time_cap_s.or(Some(q.amount.high())),
            Unit::Seconds => option.duration_s = option.duration_s.or(Some(q.amount.high())),
            _ => {}
        }
    }
}

/// The line with another number of whatever it counts.
fn with_count(line: &Line, n: f64) -> Line {
    let mut own = Line { at: None, ..line.clone() };
    for amount in [&mut own.reps, &mut own.calories, &mut own.metres, &mut own.seconds].into_iter().flatten() {
        *amount = Amount::One(n);
    }
    own
}

#[cfg(test)]
mod tests {
    use super::super::super::read;
    use super::*;
    use crate::training::movement::Library;

    fn lines(text: &str) -> Vec<(String, Option<Amount>)> {
        let session = read(text, Library::shipped());
        assert!(session.problems.is_empty(), "{:?}", session.problems);
        session.parts[0].options[0].lines.iter().map(|l| (l.movement.clone(), l.reps.clone())).collect()
    }

    #[test]
    fn a_line_that_is_skipped_is_left_out_of_the_shorter_version() {
        let rungs = Some(Amount::Scheme(vec![15.0, 12.0, 9.0]));
        let all = lines("21-15-9\nthrusters\npull ups\n400 m run\ncap 14\nShort on time? 15-12-9, skip the run, cap 9");
        assert_eq!(all, [("thruster".to_owned(), rungs.clone()), ("pull-up".to_owned(), rungs)]);
    }

    #[test]
    fn names_for_who_has_no_kit_take_the_numbers_of_the_part() {
        let rungs = Some(Amount::Scheme(vec![21.0, 15.0, 9.0]));
        let all = lines("For time, cap 15\n21-15-9\nwall balls\npull ups\nNo kit: air squats + inverted rows under a table");
        assert_eq!(all, [("air squat".to_owned(), rungs.clone()), ("inverted row".to_owned(), rungs)]);
    }

    #[test]
    fn a_movement_that_somebody_cannot_do_is_no_line_of_what_they_do_instead() {
        for text in [
            "4 rounds for time\n400 m run\n10 burpees\nno running? 500 m row",
            "4 ROUNDS FOR TIME\n400 M RUN\n10 BURPEES\nNO RUNNING? 500 M ROW",
        ] {
            assert_eq!(lines(text), [("row machine".to_owned(), None)]);
        }
    }

    #[test]
    fn a_question_below_rounds_that_are_told_in_one_line_is_another_version() {
        let rounds = "5 pull ups, 10 push ups, 15 squats. As many rounds as possible in 15 mins.";
        for text in [format!("{rounds}\nToo many pull-ups? Ring rows."), format!("{rounds} Too many pull-ups? Ring rows.")] {
            let session = read(&text, Library::shipped());
            let told = session.parts.iter().map(|p| (p.lines.len(), p.options.len())).collect::<Vec<_>>();
            assert_eq!(told, [(3, 1)], "{text}");
        }
    }

    #[test]
    fn the_short_one_above_everything_is_a_name() {
        let session = read("The short one: 5 pull ups, 10 push ups. As many rounds as possible in 8 mins.", Library::shipped());
        assert_eq!((session.parts[0].name.as_str(), session.parts[0].lines.len()), ("The short one", 2));
    }

    #[test]
    fn names_without_a_number_to_take_are_asked_about() {
        let session = read("5 rounds for time\n400 m run\n15 swings\nNo kit: burpees, air squats, sit-ups", Library::shipped());
        assert_eq!(session.problems.iter().map(|p| p.kind).collect::<Vec<_>>(), [ProblemKind::Unclear]);
    }

    #[test]
    fn what_stands_in_for_a_missing_tool_stands_beside_the_line_that_needs_it() {
        let text = "4 rounds\n10 db snatches\n12 box step ups\nIf you have no dumbbell: 10 burpees. No box: 12 reverse lunges";
        let session = read(text, Library::shipped());
        let beside =
            session.parts[0].lines.iter().map(|l| l.alternatives.iter().map(|a| a.movement.as_str()).collect::<Vec<_>>());
        assert_eq!(beside.collect::<Vec<_>>(), [vec!["burpee"], vec!["reverse lunge"]]);
    }

    #[test]
    fn one_number_a_line_scales_every_line() {
        let all = lines("10 min AMRAP\n8 burpees\n12 step ups\n16 hollow rocks\nscaled: 6 / 10 / 12");
        let reps = all.into_iter().map(|l| l.1).collect::<Vec<_>>();
        assert_eq!(reps, [6.0, 10.0, 12.0].map(|n| Some(Amount::One(n))));
    }

    #[test]
    fn the_last_word_of_a_line_names_it_again() {
        let all = lines("10 min AMRAP\n8 burpees\n12 step ups\n16 hollow rocks\nscaled: 6 burpees, 10 step ups, 12 rocks");
        assert_eq!(all.last(), Some(&("hollow rock".to_owned(), Some(Amount::One(12.0)))));
    }

    #[test]
    fn a_mend_of_a_number_leaves_the_words_beside_it() {
        let text = "3 rounds\n400 jog or 3 min skip rope\n10 push-ups";
        let found = read(text, Library::shipped()).problems;
        assert_eq!(found.iter().map(|p| (p.line, p.column, p.length)).collect::<Vec<_>>(), [(2, 1, 3)]);
    }
}
