//! From an item to a line: its movement, dose, side and load in the public shape.

mod amounts;
mod marks;
mod swaps;
mod units;

pub use marks::heavy;

use super::super::dose::{Amount, Load, Side};
use super::super::movement::Unit as Counted;
use super::super::movement::{Library, Movement};
use super::super::session::{Line, Place, Problem, ProblemKind, Severity};
use super::draft::{Draft, Row};
use super::element::{Doc, Name};
use super::item::{Item, Span};
use super::lexicon::Lexicon;
use super::quantity::{Quantity, Unit, quantity};
use super::token::{Token, place};
use super::words::number_word;
use amounts::{even_step, inherit, listed, minute, rungs};

/// What is needed to turn drafts into a session, and the problems met on the way.
#[derive(Debug)]
pub struct Reader<'a, 't> {
    /// the text in tokens
    pub doc: &'a Doc<'t>,
    /// movements
    pub library: &'a Library,
    /// their names
    pub lexicon: &'a Lexicon,
    /// what cannot be right
    pub problems: Vec<Problem>,
    /// the last heavy set that was built
    pub built: Option<f64>,
    /// the last line with a load in the parts above: what `same dumbbell` in the next speaks of
    pub above: Option<Line>,
}

/// What the part around a line says about it.
#[derive(Clone, Debug, Default)]
pub struct Around {
    /// a dose for every line that has none
    pub scheme: Option<Item>,
    /// by how much a rung grows
    pub step: Option<f64>,
    /// the clock says how long each line takes
    pub by_clock: bool,
    /// a strength part
    pub strength: bool,
    /// the heavy set that was built before: what `90% of that` is of
    pub built: Option<f64>,
    /// rungs that go up or down
    pub ladder: bool,
    /// list numbers are minutes
    pub minutes: bool,
    /// leading counts 1, 2, 3 ... are list numbers
    pub counts_are_numbers: bool,
}

impl Reader<'_, '_> {
    /// Where a stretch of tokens stands.
    #[must_use]
    pub fn place(&self, span: Span) -> Place {
        let tokens = &self.doc.tokens;
        let from = span.0.min(tokens.len());
        let line = tokens.get(from).map_or(1, |t| t.line);
        let to = span.1.min(tokens.len()).max(from);
        let end = (from..to).rev().find(|&i| tokens[i].line == line).map_or(from, |i| i + 1);
        place(&tokens[from..end])
    }

    /// Adds a problem at a stretch of tokens.
    pub fn problem(&mut self, kind: ProblemKind, severity: Severity, span: Span, text: String, suggest: Vec<String>) {
        let at = self.place(span);
        self.problems.push(Problem { kind, severity, line: at.line, column: at.column, length: at.length, text, suggest });
    }

    /// What was typed at a stretch of tokens with another time in the place of its own: `cap 12 min` for `cap 4 min`.
    #[must_use]
    pub fn with_time(&self, span: Span, new: &str) -> String {
        let to = span.1.min(self.doc.tokens.len());
        let time = |t: usize| quantity(&self.doc.tokens[t..to]).filter(|q| matches!(q.unit, Unit::Seconds | Unit::Bare));
        let Some((at, q)) = (span.0..to).find_map(|t| time(t).map(|q| (t, q))) else { return new.to_owned() };
        let words = [self.doc.typed(span.0, at), new, self.doc.typed(at + q.tokens, to)];
        words.into_iter().filter(|w| !w.is_empty()).collect::<Vec<_>>().join(" ")
    }

    /// What was typed at a stretch of tokens with another number in the place of its own: `all 5 rounds` for `all 4 rounds`.
    #[must_use]
    pub fn with_number(&self, span: Span, new: &str) -> String {
        let tokens = &self.doc.tokens[span.0..span.1.min(self.doc.tokens.len())];
        let numeric = |t: &Token| t.number().is_some() || number_word(t.text).is_some();
        let Some(first) = tokens.iter().position(numeric) else { return new.to_owned() };
        let last = tokens.iter().rposition(numeric).unwrap_or(first);
        let before = self.doc.typed(span.0, span.0 + first);
        let after = self.doc.typed(span.0 + last + 1, span.1);
        [before, new, after].into_iter().filter(|w| !w.is_empty()).collect::<Vec<_>>().join(" ")
    }

    /// One line from what was typed about it.
    pub fn line(&mut self, row: &Row, around: &Around, before: Option<&Line>) -> Line {
        let mut item = row.item.clone();
        if around.counts_are_numbers {
            item.dose = None;
        }
        if around.scheme.as_ref().is_some_and(|s| s.dose.is_some())
            && let Some(q) = item.dose.take_if(|q| q.unit == Unit::Bare && matches!(q.amount, Amount::Columns(..)))
        {
            // `21-15-9`, `thrusters 40/30`: the reps are told above, so this is how heavy
            item.bare_load = item.bare_load.or(Some(q.amount.high()));
        }
        if let Some(scheme) = &around.scheme {
            inherit(&mut item, scheme);
        }
        if let (Some(unit), Some(q)) = (item.unit, item.dose.as_mut().filter(|q| q.unit == Unit::Bare)) {
            q.unit = unit;
        }
        let mut line = Line {
            at: Some(self.place(row.at.map_or((item.from, item.to), |at| (at.0.min(item.from), at.1.max(item.to))))),
            label: row.lead.label.clone().filter(|l| l.len() > 1),
            role: row.role,
            ..Line::default()
        };
        let movement = self.name(&item, around, &mut line);
        self.dose(&item, movement.as_ref(), around, &mut line);
        self.side(&item, &mut line);
        self.load(&item, around, before, &mut line);
        self.both_units(&item, &mut line);
        self.unlike_sides(row, &line);
        line.max = item.max.is_some();
        line.tempo.clone_from(&item.tempo);
        (line.pause_s, line.down_s) = (item.pause, item.down);
        line.open = item.dose.as_ref().is_some_and(|q| q.open);
        line.step = line.open.then(|| around.step.or_else(|| line.reps.as_ref().and_then(even_step))).flatten();
        line.counts_as_reps = row.counts_as;
        line.minute = row.lead.minute.or_else(|| row.lead.number.filter(|_| around.minutes).map(minute));
        self.complex(&item, &mut line);
        self.alternatives(row, &item, around, &mut line);
        line.note = self.note(row, &item, self.height(&item, &line));
        if item.side == Some(Side::Total) && line.side.is_none() && line.seconds.is_some() {
            line.note = Some(line.note.map_or_else(|| "in total".to_owned(), |n| format!("in total; {n}")));
        }
        line
    }

    fn name(&mut self, item: &Item, around: &Around, line: &mut Line) -> Option<Movement> {
        let name = match (item.movement, item.unknown) {
            (Some(name), _) => self.canonical(name, item, around),
            (None, Some(span)) => {
                let typed = self.doc.typed(span.0, span.1).to_owned();
                let suggest = self.lexicon.nearest(self.library, &typed);
                self.problem(
                    ProblemKind::UnknownMovement,
                    Severity::Error,
                    span,
                    format!("The library has no movement called \"{typed}\"."),
                    suggest,
                );
                line.known = false;
                line.movement = typed;
                return None;
            }
            (None, None) => return None,
        };
        line.movement.clone_from(&name);
        self.library.find(&name).cloned()
    }

    /// The library's name; `row` and `squat` alone by what stands around them.
    fn canonical(&self, name: Name, item: &Item, around: &Around) -> String {
        let unit = item.dose.as_ref().map(|q| q.unit);
        let loaded =
            matches!(item.load, Some(Load::Kg { .. } | Load::Lb { .. } | Load::Percent { .. } | Load::Rpe(_) | Load::Rir(_)))
                || item.bare_load.is_some();
        match name {
            Name::Known(i) => self.by_one_arm(self.held(&self.library.all()[i].name, item), item),
            Name::Row
                if matches!(unit, Some(Unit::Calories | Unit::Metres))
                    || matches!(item.max, Some(Some(Unit::Metres | Unit::Calories))) =>
            {
                "row machine".to_owned()
            }
            // `run/row/bike`
            Name::Row if item.choices.iter().any(|(n, _)| self.is_machine(*n)) => "row machine".to_owned(),
            Name::Row if item.dose.as_ref().is_some_and(|q| q.amount.low() >= 100.0) => "row machine".to_owned(),
            // `a) burpees b) rows c) plank`: one row is a stretch on the machine, several are pulled
            Name::Row if around.by_clock && unit.is_none() && self.doc.low(item.from) == "rows" && item.max.is_none() => {
                "bent-over row".to_owned()
            }
            Name::Row if around.by_clock && unit.is_none() || unit == Some(Unit::Seconds) => "row machine".to_owned(),
            Name::Row if item.side == Some(Side::PerSide) || item.split.is_some() || item.implements == Some(1) => {
                "single-arm row".to_owned()
            }
            Name::Row => "bent-over row".to_owned(),
            Name::Squat if loaded || item.build.is_some() || around.strength && item.sets.is_some() => "back squat".to_owned(),
            Name::Squat => "air squat".to_owned(),
        }
    }

    /// `10 floor presses each side`: what is done with both arms is done with one where it is counted by the side.
    fn by_one_arm(&self, name: String, item: &Item) -> String {
        let one =
            self.library.find(&format!("single-arm {name}")).filter(|_| item.side == Some(Side::PerSide) || item.split.is_some());
        one.map_or(name, |m| m.name.clone())
    }

    /// `thrusters with 2 dumbbells`: the library's name for it with that implement, where it has one.
    fn held(&self, name: &str, item: &Item) -> String {
        let words = item.from..(item.to + 3).min(self.doc.tokens.len());
        let with = words.clone().find(|t| matches!(self.doc.low(*t), "with" | "w"));
        let tool = with.and_then(|at| {
            (at + 1..words.end.min(at + 5)).find_map(|t| match self.doc.plain[t].as_str() {
                "dumbbell" => Some("dumbbell"),
                "kettlebell" => Some("kettlebell"),
                _ => None,
            })
        });
        // `10 push press, one DB`; in `10 DB floor press` the word is part of the name
        let held = |t: usize| match (self.doc.low(t.saturating_sub(1)), self.doc.plain[t].as_str()) {
            ("one" | "single" | "1" | "two" | "2" | "of" | "a", tool @ ("dumbbell" | "kettlebell")) => Some(tool),
            _ => None,
        };
        let tool = tool.or_else(|| item.implements.and_then(|_| (item.from..item.to).rev().find_map(held)));
        let own = tool.and_then(|tool| self.library.find(&format!("{tool} {name}")));
        own.map_or(name, |m| &m.name).to_owned()
    }

    /// `DB complex, 2 x 15 kg` above `5 deadlifts`: the library's name with the implement that the line of the load says.
    pub(super) fn with_tool_of(&self, draft: &Draft, load: usize, line: &mut Line) {
        let Some(said) = draft.said.iter().find(|s| s.0 <= load && load < s.1) else { return };
        let tool = |t: usize| Some(self.doc.plain[t].as_str()).filter(|w| matches!(*w, "dumbbell" | "kettlebell"));
        let Some(tool) = (said.0..said.1).find_map(tool) else { return };
        let own = format!("{tool} {}", line.movement);
        if self.library.find(&own).is_some_and(|m| m.name == own) {
            line.movement = own;
        }
    }

    /// It is done on a machine or on the road.
    pub(super) fn is_machine(&self, name: Name) -> bool {
        matches!(name, Name::Known(i) if self.library.all()[i].pattern == super::super::movement::Pattern::Cyclical)
    }

    fn dose(&mut self, item: &Item, movement: Option<&Movement>, around: &Around, line: &mut Line) {
        if let Some(n) = item.build {
            line.reps = Some(Amount::One(n));
        }
        let Some(q) = &item.dose else { return };
        let span = item.dose_at.unwrap_or((item.from, item.to));
        let nothing = |q: &Quantity| q.negative || q.amount.values().contains(&0.0);
        if item.sets == Some(0.0) {
            let typed = self.doc.typed(span.0, span.1).to_owned();
            let text = format!("\"{typed}\" has no sets; write how many, or take the line out.");
            self.problem(ProblemKind::ZeroReps, Severity::Error, span, text, vec![]);
        }
        if nothing(q) || item.more.iter().any(|(m, _)| nothing(m)) {
            let typed = self.doc.typed(span.0, span.1).to_owned();
            self.problem(
                ProblemKind::ZeroReps,
                Severity::Error,
                span,
                format!(
                    "\"{typed}\" says to do {}; write how many, or take the line out.",
                    if q.negative { "less than nothing" } else { "none" }
                ),
                vec![],
            );
            return;
        }
        if q.odd_clock {
            let typed = self.doc.typed(span.0, span.1).to_owned();
            self.problem(
                ProblemKind::OddTime,
                Severity::Error,
                span,
                format!("\"{typed}\" has a time with more than 59 seconds in its last place."),
                vec![],
            );
            return;
        }
        let mut amount = q.amount.clone();
        if let Amount::Range(a, b) = amount
            && (a > b || around.ladder && b - a > 3.0)
            && matches!(q.unit, Unit::Bare | Unit::Reps)
        {
            amount = rungs(a, b);
        }
        if !item.more.is_empty()
            && let Some(list) = listed(q, item)
        {
            amount = Amount::Scheme(list);
        }
        if let [(other, _)] = &item.more[..]
            && other.unit == q.unit
            && other.amount.high() != q.amount.high()
            // `40 m carry, 20 m each hand`
            && (2.0 * other.amount.high() - q.amount.high()).abs() > 0.01
            && matches!(q.unit, Unit::Metres | Unit::Calories)
        {
            // `run 400 m, 800 m`
            let typed = self.doc.typed(item.from, item.to).to_owned();
            let text = format!("\"{typed}\" is read with its first amount alone. Is the second one a line of its own?");
            self.problem(ProblemKind::Unclear, Severity::Ask, (item.from, item.to), text, vec![]);
        }
        match q.unit {
            Unit::Bare => self.bare(amount, item, movement, around, line),
            Unit::Reps => line.reps = Some(amount),
            Unit::Seconds => line.seconds = self.sane_seconds(amount, item, movement),
            Unit::Metres if q.bare_m && amount.high() < 10.0 && !line.movement.contains("carry") => {
                line.seconds = Some(amount.map(|v| v * 60.0))
            }
            Unit::Metres => line.metres = Some(amount),
            Unit::Calories => line.calories = Some(amount),
            _ => {}
        }
    }

    /// A number without a unit counts reps, where the movement is counted in reps.
    fn bare(&mut self, amount: Amount, item: &Item, movement: Option<&Movement>, around: &Around, line: &mut Line) {
        let unit = movement.map_or(Counted::Reps, |m| m.unit);
        let counted = match unit {
            Counted::Reps => true,
            Counted::Seconds => line.movement == "loaded march",
            Counted::Metres => {
                matches!(line.movement.as_str(), "shuttle run" | "run") && amount.high() < 40.0 && item.sets.is_some()
            }
            Counted::Calories => false,
        };
        if counted || item.build.is_some() {
            line.reps = Some(amount);
            return;
        }
        if let Some((held, _)) = item.more.first().filter(|(q, _)| q.unit == Unit::Seconds && unit == Counted::Seconds) {
            // `8 arch holds 3 s`
            (line.reps, line.seconds) = (Some(amount), Some(held.amount.clone()));
            return;
        }
        let tries = item.max.is_some() || around.by_clock && amount == Amount::One(1.0);
        if tries {
            return;
        }
        let span = item.dose_at.unwrap_or((item.from, item.to));
        let typed = self.doc.typed(span.0, span.1).to_owned();
        let n = amount;
        // a mend stands in the place of the number alone, and leaves every other word
        let span = self.number_in(span, &n).unwrap_or(span);
        let suggest = match unit {
            Counted::Seconds => vec![format!("{n} s"), format!("{n} min")],
            Counted::Metres => vec![format!("{n} m"), format!("{n} s")],
            _ => vec![format!("{n} cal"), format!("{n} s")],
        };
        self.problem(
            ProblemKind::MissingUnit,
            Severity::Error,
            span,
            format!("\"{typed}\" has a number without a unit: seconds, metres or something else?"),
            suggest,
        );
    }

    /// Where the numbers of this range stand on a place, its unit not among them.
    #[must_use]
    pub fn range_in(&self, at: Place, range: &Amount) -> Option<Place> {
        let tokens = &self.doc.tokens;
        let on = |t: &usize| tokens[*t].line == at.line && (at.column..at.column + at.length).contains(&tokens[*t].column);
        let from = (0..tokens.len()).filter(on).find(|t| quantity(&tokens[*t..]).is_some_and(|q| q.amount == *range))?;
        let q = quantity(&tokens[from..])?;
        let last = (from..from + q.tokens).rev().find(|t| tokens[*t].number().is_some())?;
        Some(place(&tokens[from..=last]))
    }

    /// Where this number without a unit stands in a stretch of tokens.
    fn number_in(&self, span: Span, n: &Amount) -> Option<Span> {
        (span.0..span.1).find_map(|t| {
            let q = quantity(&self.doc.tokens[t..span.1]).filter(|q| q.unit == Unit::Bare && q.amount == *n)?;
            Some((t, t + q.tokens))
        })
    }

    /// Times that nobody holds or rests are slips.
    fn sane_seconds(&mut self, amount: Amount, item: &Item, movement: Option<&Movement>) -> Option<Amount> {
        let steady = movement.is_none_or(|m| {
            matches!(
                m.pattern,
                super::super::movement::Pattern::Cyclical
                    | super::super::movement::Pattern::Conditioning
                    | super::super::movement::Pattern::Carry
                    | super::super::movement::Pattern::Mobility
            )
        });
        let limit = if steady { 3.0 * 3600.0 } else { 15.0 * 60.0 };
        if amount.high() <= limit {
            return Some(amount);
        }
        let span = item.dose_at.unwrap_or((item.from, item.to));
        let typed = self.doc.typed(span.0, span.1).to_owned();
        self.problem(
            ProblemKind::OddTime,
            Severity::Error,
            span,
            format!("\"{typed}\" is very long for one line; was another unit meant?"),
            vec![format!("{} s", amount.high() / 60.0)],
        );
        None
    }
}
