//! From a draft to a part: its format, clock, rounds, rest and score.

use super::super::dose::Amount;
use super::super::session::{Format, Intent, Interval, Line, Part, PartOption, ProblemKind, Role, ScoreKind, Severity};
use super::draft::{Draft, Other};
use super::element::Heading;
use super::item::{Item, Span};
use super::line::{Around, Reader};
use super::quantity::Unit;
use super::score;

impl Reader<'_, '_> {
    /// The part that a draft describes.
    pub fn part(&mut self, draft: &Draft) -> Part {
        let around = Around { built: self.built, ..around(draft) };
        self.built = draft.rows.iter().rev().find_map(|r| r.item.build).or(self.built);
        let mut lines: Vec<Line> = Vec::new();
        for row in &draft.rows {
            let line = self.line(row, &around, lines.last());
            lines.push(line);
        }
        let mut part = Part {
            name: draft.name.clone(),
            label: draft.label.clone(),
            format: format(draft, &lines),
            at: draft.at.map(|at| self.place(at)),
            lines,
            ..Part::default()
        };
        self.rounds(draft, &mut part);
        self.windows(draft, &mut part);
        self.rest(draft, &mut part);
        part.score = score::usual(&part, draft);
        part.intent = intent(draft, &part);
        part.options = draft.options.iter().map(|o| self.option(o, &part, &around)).collect();
        part.notes = draft.notes.iter().map(|s| self.doc.typed(s.0, s.1).to_owned()).filter(|n| !n.is_empty()).collect();
        part.said = draft.said.iter().chain(&draft.score).map(|s| self.place(*s)).collect();
        if part.name.is_empty() {
            part.name = name(&part);
        }
        part
    }

    fn rounds(&mut self, draft: &Draft, part: &mut Part) {
        let said = draft.first(|f| f.rounds.clone());
        let times = draft.first(|f| f.times);
        let sets = draft.rows.iter().find_map(|r| r.item.sets).or_else(|| draft.scheme.as_ref().and_then(|s| s.sets));
        let alone = draft.first(|f| f.sets).map(|s| s.0);
        part.rounds = match part.format {
            Format::Sets | Format::MaxEffort => sets
                .or(alone)
                .or(times.map(|t| t.0))
                .filter(|n| *n > 1.0 || part.format == Format::Sets)
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
            _ => said.clone().map(|s| s.0).or(times.map(|t| Amount::One(t.0))).or(alone.or(sets).map(Amount::One)),
        };
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
        let other = draft.facts.iter().filter_map(|f| f.sets).find(|s| sets.is_some_and(|n| (n - s.0).abs() > 0.01));
        if let (Some(sets), Some((said, span)), Format::Sets) = (sets, other, part.format) {
            let text = format!("It says {sets} sets in one place and {said} in another.");
            self.problem(ProblemKind::Contradiction, Severity::Error, span, text, vec![sets.to_string(), said.to_string()]);
            part.rounds = None;
        }
        self.mentions(draft, part);
    }

    /// Rounds said twice must agree: in the heading, in brackets, in the score line.
    fn mentions(&mut self, draft: &Draft, part: &mut Part) {
        let written: Vec<(Amount, Span)> =
            draft.facts.iter().filter_map(|f| f.rounds.clone()).chain(draft.mentions.iter().cloned()).collect();
        let Some((first, _)) = written.first() else { return };
        let rungs = rungs(&part.lines).filter(|_| part.lines.len() > 1 || part.format == Format::ForTime);
        let other = written.iter().skip(1).find(|(n, _)| n.low() > first.high() || (n.high() < first.low() && n.high() > 1.0));
        if let Some((n, span)) = other {
            let text = format!("It says {first} rounds in one place and {n} in another.");
            self.problem(ProblemKind::Contradiction, Severity::Error, *span, text, vec![first.to_string(), n.to_string()]);
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

    fn windows(&mut self, draft: &Draft, part: &mut Part) {
        let window = draft.first(|f| f.window.clone());
        let length = window.as_ref().map(|w| w.0.high());
        if let Some((cap, each, span)) = draft.first(|f| f.cap) {
            part.time_cap_s = cap.and_then(|c| self.sane_window(c, "cap", span));
            part.cap_scope = each.then(|| "round".to_owned());
        }
        match part.format {
            Format::Amrap => {
                let said = draft.first(|f| f.amrap);
                let seconds = said.and_then(|a| a.0).or(length).or_else(|| draft.first(|f| f.every).and_then(|e| e.1));
                part.duration_s = seconds.and_then(|s| self.sane_window(s, "AMRAP", said.map_or((0, 0), |a| a.1)));
            }
            Format::Emom => self.emom(draft, part, length),
            Format::Intervals => self.intervals(draft, part, length),
            Format::ForTime => {
                if part.time_cap_s.is_none() && draft.first(|f| f.cap).is_none() {
                    part.time_cap_s = None;
                }
                part.duration_s = None;
            }
            _ => part.duration_s = length.or_else(|| self.steady(part)),
        }
        self.max_window(part);
        if part.format == Format::Ladder && part.duration_s.is_none() {
            part.duration_s = part.time_cap_s.take();
        }
    }

    /// `5 min max double-unders`: the time is the window, not a hold.
    fn max_window(&self, part: &mut Part) {
        let [line] = &mut part.lines[..] else { return };
        let hold = self.library.find(&line.movement).is_some_and(|m| m.unit == super::super::movement::Unit::Seconds);
        if part.format == Format::MaxEffort
            && !hold
            && part.duration_s.is_none()
            && let Some(Amount::One(s)) = line.seconds
        {
            part.duration_s = Some(s);
            line.seconds = None;
        }
    }

    /// A part that is one steady line lasts as long as that line.
    fn steady(&self, part: &Part) -> Option<f64> {
        let [line] = &part.lines[..] else { return None };
        let steady = self.library.find(&line.movement).is_some_and(|m| m.pattern == super::super::movement::Pattern::Cyclical);
        match &line.seconds {
            Some(Amount::One(s)) if steady && part.format == Format::Practice && line.side.is_none() => Some(*s),
            _ => None,
        }
    }

    /// A window of a minute to three hours; anything else is a slip.
    fn sane_window(&mut self, seconds: f64, what: &str, span: Span) -> Option<f64> {
        if (45.0..=10_800.0).contains(&seconds) {
            return Some(seconds);
        }
        let text = format!(
            "{} {what} of {} cannot be meant; was another unit meant?",
            if what == "AMRAP" { "An" } else { "A" },
            words(seconds)
        );
        let suggest = if seconds < 45.0 { vec![format!("{seconds} min")] } else { vec![format!("{} s", seconds / 60.0)] };
        self.problem(ProblemKind::OddTime, Severity::Error, span, text, suggest);
        None
    }

    fn emom(&mut self, draft: &Draft, part: &mut Part, length: Option<f64>) {
        let Some((every, total, count, span)) = draft.first(|f| f.every) else { return };
        let stations = self.stations(draft, part);
        let total = total.or(length).or_else(|| draft.first(|f| f.amrap).and_then(|a| a.0));
        let said = draft.first(|f| f.rounds.clone());
        let times = draft.first(|f| f.times).map(|t| t.0).or(draft.first(|f| f.sets).map(|s| s.0)).or(count);
        part.interval = Some(Interval { every_s: Some(every), ..Interval::default() });
        part.duration_s = total;
        let through = total.map(|t| t / every / stations);
        match (through, said, times) {
            (Some(n), Some((r, at)), _)
                if r.high() > 0.0
                    && ((r.high() - n).abs() > 0.01 || (r.low() - n).abs() > 0.01)
                    && (r.high() * stations - n * stations).abs() > 0.01 =>
            {
                let whole = (n * stations).round();
                if (r.high() - whole).abs() < 0.01 {
                    part.rounds = Some(Amount::One(n));
                } else {
                    let text = format!(
                        "{} at {stations} a round of {} is {} times through, but it says {r}.",
                        words(total.unwrap_or(0.0)),
                        words(every),
                        tidy(n)
                    );
                    self.problem(ProblemKind::Contradiction, Severity::Error, at, text, vec![tidy(n), r.to_string()]);
                }
            }
            (Some(n), _, _) if n >= 1.0 && (n - n.round()).abs() < 0.01 => part.rounds = Some(Amount::One(n.round())),
            (Some(n), _, _) if n >= 1.0 => {
                let text = format!("{} does not divide evenly among {stations} stations.", words(total.unwrap_or(0.0)));
                self.problem(ProblemKind::Contradiction, Severity::Ask, span, text, vec![]);
            }
            (Some(_), _, _) => {}
            (None, Some((r, _)), _) => part.rounds = Some(r),
            (None, None, Some(n)) => {
                part.rounds =
                    Some(Amount::One(if stations > 1.0 && n % stations == 0.0 && n > stations { n / stations } else { n }))
            }
            (None, None, None) => {
                self.problem(
                    ProblemKind::MissingNumber,
                    Severity::Error,
                    span,
                    "How many minutes or rounds of it?".to_owned(),
                    vec![],
                );
            }
        }
    }

    /// How many windows one time through takes.
    fn stations(&mut self, draft: &Draft, part: &mut Part) -> f64 {
        let minutes: Vec<u32> = part.lines.iter().filter_map(|l| l.minute).collect();
        let highest = minutes.iter().copied().max().unwrap_or(0);
        let listed = part.lines.iter().filter(|l| l.role.is_none()).count() + draft.rest_stations;
        if let Some((said, span)) = draft.first(|f| f.stations) {
            let counted = if highest > 0 {
                f64::from(highest).max(count(listed.min(minutes.len() + draft.rest_stations)))
            } else {
                count(listed)
            };
            if (said - counted).abs() > 0.01 && counted > 1.0 {
                let text = format!("It says {said} stations, but {counted} are listed.");
                self.problem(ProblemKind::Contradiction, Severity::Error, span, text, vec![tidy(counted)]);
            }
            return said;
        }
        if highest > 0 {
            return f64::from(highest).max(if draft.rest_stations > 0 {
                count(minutes.len() + draft.rest_stations)
            } else {
                0.0
            });
        }
        let one_line = draft.rows.windows(2).all(|w| w[0].line == w[1].line);
        let alternating = draft.rows.iter().any(|r| r.item.from > 0 && self.doc.low(r.item.from - 1) == "alternating")
            || draft.said.iter().chain(draft.at.iter()).any(|s| {
                (s.0..s.1).any(|t| matches!(self.doc.low(t), "alternating" | "alternate" | "alternated" | "rotating" | "rotate"))
            });
        let alternating = alternating || draft.facts.iter().any(|f| f.turns);
        let work: f64 = part.lines.iter().map(|l| least_seconds(l, self)).sum();
        let window = part.interval.and_then(|i| i.every_s).or(draft.first(|f| f.every).map(|e| e.0)).unwrap_or(60.0);
        let stations = alternating || !one_line && work > 0.75 * window && listed > 1;
        if stations { count(listed) } else { 1.0 }
    }

    fn intervals(&mut self, draft: &Draft, part: &mut Part, length: Option<f64>) {
        let (work, off, span) = draft.first(|f| f.on_off).unwrap_or((None, None, (0, 0)));
        let off = off.or_else(|| draft.first(|f| f.on_off.as_ref().and_then(|o| o.1)));
        part.interval = Some(Interval { work_s: work, rest_s: off, every_s: None });
        let listed = count(part.lines.len().max(1) + draft.rest_stations);
        let stations = draft.first(|f| f.stations).map_or(listed, |s| s.0);
        if let Some((said, at)) = draft.first(|f| f.stations)
            && part.lines.len() > 1
            && (said - listed).abs() > 0.01
        {
            self.problem(
                ProblemKind::Contradiction,
                Severity::Error,
                at,
                format!("It says {said} stations, but {listed} are listed."),
                vec![tidy(listed)],
            );
        }
        if draft.first(|f| f.rounds.clone()).is_none()
            && let Some((n, _)) = draft.first(|f| f.times)
            && part.lines.len() > 1
            && n % stations == 0.0
            && n >= 2.0 * stations
        {
            part.rounds = Some(Amount::One(n / stations));
        }
        let (Some(total), Some(work), Some(off)) = (length.or(draft.first(|f| f.amrap).and_then(|a| a.0)), work, off) else {
            return;
        };
        let Some(Amount::One(rounds)) = part.rounds else {
            part.duration_s = Some(total);
            let n = total / (work + off) / stations;
            if part.rounds.is_none() && n >= 1.0 && (n - n.round()).abs() < 0.01 {
                part.rounds = Some(Amount::One(n.round()));
            }
            return;
        };
        let rest = draft.first(|f| f.rest.clone()).and_then(|r| r.0).map_or(0.0, |r| r.high());
        let exact = rounds * stations * (work + off);
        let fits = [
            exact,
            exact - off,
            exact + rest * (rounds - 1.0),
            exact + rest * rounds,
            exact - off + rest * (rounds - 1.0),
            exact - off * rounds + rest * (rounds - 1.0),
        ];
        if fits.iter().any(|f| (f - total).abs() < 1.0) {
            part.duration_s = Some(total);
        } else {
            let text = format!(
                "{stations} stations x {rounds} rounds x {} s is {}, but it says {}.",
                work + off,
                words(exact),
                words(total)
            );
            self.problem(ProblemKind::Contradiction, Severity::Error, span, text, vec![words(exact), words(total)]);
        }
    }

    fn rest(&mut self, draft: &Draft, part: &mut Part) {
        let Some((amount, bare, span)) = draft.facts.iter().filter_map(|f| f.rest.clone()).max_by_key(|r| r.0.is_some()) else {
            return;
        };
        let Some(amount) = amount else { return };
        let amount = if bare && amount.high() <= 10.0 { amount.map(|v| v * 60.0) } else { amount };
        if amount.low() <= 0.0 {
            return self.problem(
                ProblemKind::ZeroReps,
                Severity::Error,
                span,
                "A rest of no time: take it out, or write how long.".to_owned(),
                vec![],
            );
        }
        if amount.high() > 1500.0 {
            let shorter = amount.map(|v| v / 60.0);
            return self.problem(
                ProblemKind::OddTime,
                Severity::Error,
                span,
                format!("A rest of {} cannot be meant; was it {shorter} s?", words(amount.high())),
                vec![format!("{shorter} s")],
            );
        }
        if amount.high() < 3.0 {
            return self.problem(
                ProblemKind::OddTime,
                Severity::Error,
                span,
                format!("A rest of {} s is no rest; were minutes meant?", amount),
                vec![format!("{amount} min")],
            );
        }
        if bare {
            let text = format!("The rest has no unit; it was read as {}.", words(amount.high()));
            self.problem(ProblemKind::MissingUnit, Severity::Ask, span, text, vec![words(amount.high())]);
        }
        part.rest_s = Some(amount);
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

    fn one_score(&self, i: usize, span: Span, parts: &mut [Part]) {
        let words: Vec<&str> = (span.0..span.1).map(|t| self.doc.low(t)).collect();
        let before =
            (0..3).map(|n| self.doc.low((span.0.max(3)) - 1 - n)).any(|w| matches!(w, "capped" | "cap" | "finish" | "finished"));
        let capped =
            before && self.doc.low(span.0.saturating_sub(1)) != "score" && words.iter().any(|w| matches!(*w, "reps" | "rep"))
                || words.contains(&"capped");
        let to = score::target(self.doc, span, i, parts);
        let part = &mut parts[to];
        if capped && part.format == Format::ForTime {
            part.if_capped = Some("reps".to_owned());
        } else if let Some(kind) = score::said(&words, part) {
            part.score = kind;
        }
        let rule = self.doc.typed(span.0, span.1).to_owned();
        part.score_rule = Some(part.score_rule.take().map_or(rule.clone(), |old| format!("{old} {rule}")));
    }

    fn option(&mut self, other: &Other, part: &Part, around: &Around) -> PartOption {
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
                let row = super::draft::Row { item: item.clone(), ..super::draft::Row::default() };
                let line = self.line(&row, &Around { scheme: None, ..around.clone() }, None);
                self.problems.truncate(problems);
                option.lines.push(line);
            } else if !item.is_named() {
                self.option_dose(item, part, &mut option);
            }
        }
        if let Some(n) = other.replaces {
            option.replace = part.lines.iter().take(n).map(|l| l.movement.clone()).collect();
        }
        option
    }

    fn option_dose(&mut self, item: &Item, part: &Part, option: &mut PartOption) {
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

/// Seconds of a line at a brisk pace, to tell stations from one minute's work.
fn least_seconds(line: &Line, reader: &Reader) -> f64 {
    super::super::pace::fastest_line(line, reader.library) * 1.4
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

/// Rungs of fixed schemes: how many numbers a line lists.
fn rungs(lines: &[Line]) -> Option<Amount> {
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

fn around(draft: &Draft) -> Around {
    let by_clock = draft.first(|f| f.on_off.as_ref().map(|_| ())).is_some();
    let counts: Vec<f64> = draft
        .rows
        .iter()
        .filter_map(|r| r.item.dose.as_ref().filter(|q| q.unit == Unit::Bare && q.tokens == 1).map(|q| q.amount.high()))
        .collect();
    let in_order = counts.len() > 1
        && counts.len() == draft.rows.len()
        && counts.iter().enumerate().all(|(i, n)| (n - count(i + 1)).abs() < 0.01);
    Around {
        scheme: draft.scheme.clone(),
        step: draft.first(|f| f.step),
        by_clock,
        strength: draft.heading == Some(Heading::Strength)
            || draft.first(|f| f.rounds.clone()).is_none()
                && !by_clock
                && draft.first(|f| f.amrap).is_none()
                && draft.first(|f| f.for_time).is_none(),
        ladder: draft.first(|f| f.ladder).is_some(),
        built: None,
        minutes: draft.first(|f| f.every).is_some(),
        counts_are_numbers: by_clock && in_order,
    }
}

fn format(draft: &Draft, lines: &[Line]) -> Format {
    let has = |pick: &dyn Fn(&super::item::Facts) -> bool| draft.facts.iter().any(pick);
    let open = lines.iter().any(|l| l.open);
    let sets = draft.rows.iter().any(|r| r.item.sets.is_some()) || draft.scheme.as_ref().is_some_and(|s| s.sets.is_some());
    let max_only =
        !lines.is_empty() && draft.rows.iter().zip(lines).all(|(r, l)| (l.max && l.reps.is_none()) || r.item.build.is_some());
    let scheme =
        lines.iter().any(|l| matches!(l.reps.as_ref().or(l.calories.as_ref()).or(l.metres.as_ref()), Some(Amount::Scheme(_))));
    let prep = matches!(draft.heading, Some(Heading::WarmUp | Heading::CoolDown | Heading::Mobility | Heading::Skill));
    if has(&|f| f.every.is_some()) {
        Format::Emom
    } else if open || has(&|f| f.step.is_some()) {
        Format::Ladder
    } else if has(&|f| f.on_off.is_some()) {
        Format::Intervals
    } else if has(&|f| f.amrap.is_some()) {
        Format::Amrap
    } else if max_only && !(lines.len() > 1 && has(&|f| f.rounds.is_some())) {
        Format::MaxEffort
    } else if has(&|f| f.for_time.is_some()) && !has(&|f| f.not_for_time) || has(&|f| f.cap.is_some()) {
        Format::ForTime
    } else if has(&|f| f.ladder.is_some()) {
        if has(&|f| f.window.is_some()) || !scheme { Format::Ladder } else { Format::ForTime }
    } else if sets && !prep {
        Format::Sets
    } else if has(&|f| f.sets.is_some()) && !prep {
        if draft.rows.len() > 1 && draft.rows.iter().all(|r| r.lead.label.is_none()) { Format::Rounds } else { Format::Sets }
    } else if has(&|f| f.role.is_some()) {
        Format::ForTime
    } else if has(&|f| f.rounds.is_some()) {
        let practice = matches!(draft.heading, Some(Heading::Skill | Heading::Mobility))
            || draft.heading == Some(Heading::WarmUp) && has(&|f| f.window.is_some());
        if practice { Format::Practice } else { Format::Rounds }
    } else if sets && prep {
        Format::Practice
    } else if scheme && lines.len() == 1 {
        Format::Sets
    } else if scheme {
        Format::ForTime
    } else {
        Format::Practice
    }
}

fn intent(draft: &Draft, part: &Part) -> Intent {
    match draft.heading {
        Some(Heading::WarmUp) => return Intent::Prep,
        Some(Heading::CoolDown | Heading::Mobility) => return Intent::Mobility,
        Some(Heading::Skill) => return Intent::Technique,
        Some(Heading::Strength)
            if matches!(part.format, Format::Sets | Format::MaxEffort | Format::Rounds | Format::Emom | Format::Practice) =>
        {
            return Intent::Strength;
        }
        Some(Heading::Conditioning) => return Intent::Conditioning,
        _ => {}
    }
    match part.format {
        Format::Sets => Intent::Strength,
        Format::MaxEffort if part.score == ScoreKind::Load => Intent::Strength,
        Format::Emom if part.lines.iter().all(|l| l.load.is_some()) && !part.lines.is_empty() => Intent::Strength,
        Format::Practice if !part.lines.is_empty() && part.lines.iter().all(|l| l.seconds.is_some()) => Intent::Mobility,
        _ => Intent::Conditioning,
    }
}

fn name(part: &Part) -> String {
    match part.format {
        Format::Sets | Format::MaxEffort => part.lines.first().map_or_else(|| "Sets".to_owned(), |l| l.movement.clone()),
        Format::Rounds => "Rounds".to_owned(),
        Format::ForTime => "For time".to_owned(),
        Format::Amrap => "AMRAP".to_owned(),
        Format::Emom => "EMOM".to_owned(),
        Format::Intervals => "Intervals".to_owned(),
        Format::Practice => "Practice".to_owned(),
        Format::Ladder => "Ladder".to_owned(),
    }
}

/// Rows done once are told by their role alone.
#[must_use]
pub fn in_rounds(line: &Line) -> bool {
    !matches!(line.role, Some(Role::BuyIn | Role::CashOut))
}
