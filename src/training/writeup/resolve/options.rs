//! Other versions of a part.

use super::super::super::dose::Amount;
use super::super::super::session::{Format, Line, Part, PartOption};
use super::super::draft::Other;
use super::super::item::Item;
use super::super::line::{Around, Reader};
use super::super::quantity::Unit;

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
        for item in &other.items {
            if item.movement.is_some() && (item.is_dosed() || other.replaces.is_some()) {
                let problems = self.problems.len();
                let row = super::super::draft::Row { item: item.clone(), ..super::super::draft::Row::default() };
                let line = self.line(&row, &Around { scheme: None, ..around.clone() }, None);
                self.problems.truncate(problems);
                option.lines.push(line);
            } else if !item.is_named() {
                self.option_dose(item, part, &mut option);
            }
        }
        self.own_counts(part, &mut option);
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
