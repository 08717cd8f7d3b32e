//! What does not go together on the clock of a part: lengths, sets and rests that say different things.

use super::super::super::dose::{Amount, Side};
use super::super::super::session::{Format, Line, Part, ProblemKind, Severity};
use super::super::draft::Draft;
use super::super::item::Span;
use super::super::line::Reader;
use super::{tidy, words};

impl Reader<'_, '_> {
    /// `20/10 x 8 each, 1 min between`: the windows of one movement have their rest; what is said besides of no round or set
    /// comes after all of them, and stays in words.
    pub(super) fn after_all_windows(&self, draft: &Draft, part: &Part, span: Span) -> Option<String> {
        let windows = part.format == Format::Intervals && part.lines.len() == 1;
        let both = draft.facts.iter().any(|f| f.on_off.is_some_and(|o| o.0.is_some() && o.1.is_some()) && f.rest.is_none());
        let named = |t: usize| {
            matches!(self.doc.low(t), "round" | "rounds" | "rds" | "set" | "sets" | "block" | "blocks" | "efforts" | "intervals")
        };
        let each = draft.facts.iter().any(|f| f.each || f.windows.is_some());
        let between = self.doc.low(span.1 - 1) == "between";
        (windows && both && each && between && !(span.0..span.1).any(named)).then(|| self.doc.typed(span.0, span.1).to_owned())
    }

    /// `EMOM 12, 3 min each`: a line that lasts longer than its window is asked about.
    pub(super) fn outlasts(&mut self, part: &Part, every: f64, span: Span) {
        let long = |l: &Line| l.role.is_none() && l.seconds.as_ref().is_some_and(|s| s.low() > every);
        let Some(line) = part.lines.iter().find(|l| long(l)) else { return };
        let lasts = line.seconds.as_ref().map_or(every, Amount::low);
        let text =
            format!("{} of {} every {}? That does not fit; is the window longer?", words(lasts), line.movement, words(every));
        let suggest =
            part.duration_s.filter(|t| (t / lasts).fract() < 1e-9).map(|t| format!("every {} for {}", words(lasts), words(t)));
        self.problem(ProblemKind::WindowTooShort, Severity::Ask, span, text, suggest.into_iter().collect());
    }

    /// `8 x 90 s row (= 16 min)`: sets of a time and their rests do not come to what stands behind the sign.
    pub(super) fn sum_of_sets(&mut self, draft: &Draft, part: &mut Part) {
        let (Some(total), Some((_, at)), Format::Sets) = (part.duration_s, draft.first(|f| f.window.clone()), part.format) else {
            return;
        };
        let ([line], Some(Amount::One(sets))) = (&part.lines[..], &part.rounds) else { return };
        let Some(Amount::One(each)) = line.seconds else { return };
        let rest = part.rest_s.as_ref().map_or(0.0, Amount::high);
        let sides = if line.side == Some(Side::PerSide) { 2.0 } else { 1.0 };
        let exact = sets * each * sides;
        let fits = [exact, exact + rest * sets, exact + rest * (sets - 1.0)];
        if self.doc.low(at.0.saturating_sub(1)) != "=" || fits.iter().any(|f| (f - total).abs() < 1.0) {
            return;
        }
        let whole = words(fits[1]);
        let text = format!("{sets} x {} is {whole}, but it says {}.", words(each), words(total));
        self.problem(ProblemKind::Contradiction, Severity::Error, at, text, vec![whole]);
        part.duration_s = None;
    }

    /// `every 90 s, 8 sets (= 16 min)`: the sets and the length do not go together; a sum is wrong before what it was made of.
    pub(super) fn wrong_sum(&mut self, part: &mut Part, (sets, at): (f64, Span), fits: f64, window: Option<Span>) {
        let total = part.duration_s.map_or(String::new(), words);
        let text = format!("It says {} sets, but {total} is {} times through.", tidy(sets), tidy(fits));
        let whole = (fits - fits.round()).abs() < 0.01;
        let suggest = [Some(sets), Some(fits).filter(|_| whole)];
        let suggest = suggest.into_iter().flatten().map(|n| self.with_number(at, &tidy(n))).collect();
        self.problem(ProblemKind::Contradiction, Severity::Error, at, text, suggest);
        let summed = window.is_some_and(|w| matches!(self.doc.low(w.0.saturating_sub(1)), "=" | "so"));
        if summed {
            (part.rounds, part.duration_s) = (Some(Amount::One(sets)), None);
        }
    }
}

/// `8 sets` beside a length that holds another number of windows, where it is written out apart from the lines.
pub(super) fn said_otherwise(draft: &Draft, count: Option<f64>, fits: f64, stations: f64) -> Option<(f64, Span)> {
    let (sets, at) = draft.first(|f| f.sets).filter(|_| count.is_none())?;
    let same = [fits, fits * stations].iter().any(|n| (n - sets).abs() < 0.01);
    (!same && sets > 1.0).then_some((sets, at))
}
