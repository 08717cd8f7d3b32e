//! The clock of a part: windows, caps, stations, work and rest.

use super::super::super::dose::{Amount, Side};
use super::super::super::session::{Format, Intent, Interval, Line, Part, ProblemKind, Severity};
use super::super::draft::Draft;
use super::super::item::Span;
use super::super::line::Reader;
use super::super::token::Kind;
use super::rounds::rungs;
use super::sums::said_otherwise;
use super::{count, tidy, words};

impl Reader<'_, '_> {
    pub(super) fn windows(&mut self, draft: &Draft, part: &mut Part) {
        let window = draft.first(|f| f.window.clone());
        let length = window.as_ref().map(|w| w.0.high());
        self.two_lengths(draft);
        if let Some((cap, each, span)) = draft.first(|f| f.cap) {
            part.time_cap_s = cap.and_then(|c| self.sane_window(c, "cap", span));
            part.cap_scope = each.then(|| "round".to_owned());
        }
        match part.format {
            Format::Amrap => {
                let said = draft.first(|f| f.amrap);
                let on = draft.first(|f| f.on_off.and_then(|o| o.0));
                let seconds = said.and_then(|a| a.0).or(on).or(length).or_else(|| draft.first(|f| f.every).and_then(|e| e.1));
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
            Format::Ladder => part.duration_s = length.or_else(|| draft.first(|f| f.amrap).and_then(|a| a.0)),
            _ => part.duration_s = length.or_else(|| self.steady(part)),
        }
        self.max_window(part);
        self.lasts_as_part(part, window.map(|w| w.0));
        if part.format == Format::Ladder && part.duration_s.is_none() {
            part.duration_s = part.time_cap_s.take();
        }
    }

    /// `5 min max double-unders`: the time is the window, not a hold.
    pub(super) fn max_window(&self, part: &mut Part) {
        let [line] = &mut part.lines[..] else { return };
        let hold = self.library.find(&line.movement).is_some_and(|m| m.unit == super::super::super::movement::Unit::Seconds);
        if part.format == Format::MaxEffort
            && !hold
            && part.duration_s.is_none()
            && let Some(Amount::One(s)) = line.seconds
        {
            part.duration_s = Some(s);
            line.seconds = None;
        }
    }

    /// `Warm-up: brisk walk, 5 minutes`: the part's time is its one line's time.
    pub(super) fn lasts_as_part(&self, part: &mut Part, said: Option<Amount>) {
        let (Some(length), Format::Practice, [line]) = (part.duration_s, part.format, &mut part.lines[..]) else { return };
        let undosed =
            line.reps.is_none() && line.seconds.is_none() && line.metres.is_none() && line.calories.is_none() && !line.max;
        let cyclical =
            self.library.find(&line.movement).is_some_and(|m| m.pattern == super::super::super::movement::Pattern::Cyclical);
        if undosed && (cyclical || part.intent == Intent::Prep) && part.rounds.is_none() {
            // `45-60 min zone 2, run or bike`
            line.seconds = Some(said.filter(|s| (s.high() - length).abs() < 0.5).unwrap_or(Amount::One(length)));
        }
    }

    /// `5 min` in the heading and `10 min` on another line of the same part: only one of them can be its length, so the other is
    /// not dropped without a word.
    fn two_lengths(&mut self, draft: &Draft) {
        let mut told = draft.facts.iter().filter_map(|f| f.window.clone());
        let Some((first, at)) = told.next() else { return };
        let line = |span: &Span| self.doc.tokens.get(span.0).map(|t| t.line);
        let Some((other, span)) = told.find(|(w, s)| *w != first && line(s) != line(&at)) else { return };
        let (first, other) = (words(first.high()), words(other.high()));
        let text = format!("It says {first} in one place and {other} in another; it was read as {first}.");
        self.problem(ProblemKind::Contradiction, Severity::Ask, span, text, vec![]);
    }

    /// A part that is one steady line lasts as long as that line.
    pub(super) fn steady(&self, part: &Part) -> Option<f64> {
        let [line] = &part.lines[..] else { return None };
        let long = line.seconds.as_ref().is_some_and(|s| s.low() >= 60.0);
        let minutes = line.seconds.as_ref().is_some_and(|s| s.low() >= 180.0);
        let steady = self.library.find(&line.movement).is_some_and(|m| {
            let cyclical = m.pattern == super::super::super::movement::Pattern::Cyclical;
            let gentle = m.pattern == super::super::super::movement::Pattern::Mobility || part.intent == Intent::Prep;
            // `5 min jump rope`: what is counted otherwise, and here by the minute
            let counted = m.unit != super::super::super::movement::Unit::Seconds && minutes;
            cyclical || long && gentle || counted
        });
        match &line.seconds {
            Some(Amount::One(s)) if steady && part.format == Format::Practice && line.side.is_none() => Some(*s),
            _ => None,
        }
    }

    /// A window of a minute to three hours; anything else is a slip.
    pub(super) fn sane_window(&mut self, seconds: f64, what: &str, span: Span) -> Option<f64> {
        if self.is_odd(span) {
            return None;
        }
        if (45.0..=10_800.0).contains(&seconds) {
            return Some(seconds);
        }
        let text = format!(
            "{} {what} of {} cannot be meant; was another unit meant?",
            if what == "AMRAP" { "An" } else { "A" },
            words(seconds)
        );
        let meant = if seconds < 45.0 { format!("{seconds} min") } else { format!("{} s", seconds / 60.0) };
        let suggest = vec![self.with_time(span, &meant)];
        self.problem(ProblemKind::OddTime, Severity::Error, span, text, suggest);
        None
    }

    /// A clock time past 59 seconds stands in this stretch; it is told once for the whole text.
    fn is_odd(&self, span: Span) -> bool {
        self.doc.tokens[span.0.min(span.1)..span.1].iter().any(|t| super::super::quantity::odd_clock(t))
    }

    pub(super) fn emom(&mut self, draft: &Draft, part: &mut Part, length: Option<f64>) {
        let Some((every, total, count, span)) = draft.first(|f| f.every) else { return };
        if !(5.0..=3600.0).contains(&every) || total.is_some_and(|t| !(every..=10_800.0).contains(&t)) {
            return self.odd_windows(every, total, span);
        }
        let stations = self.stations(draft, part);
        let window = draft.first(|f| f.window.clone()).map(|w| w.1).filter(|_| total.is_none());
        let total = total.or(length).or_else(|| draft.first(|f| f.amrap).and_then(|a| a.0));
        let said = draft.first(|f| f.rounds.clone());
        let times = draft.first(|f| f.times).map(|t| t.0).or(draft.first(|f| f.sets).map(|s| s.0)).or(count);
        let times = times.or_else(|| draft.rows.iter().find_map(|r| r.item.sets));
        part.interval = Some(Interval { every_s: Some(every), ..Interval::default() });
        part.duration_s = total;
        self.outlasts(part, every, span);
        let through = total.map(|t| t / every / stations);
        let otherwise = through.filter(|_| said.is_none()).and_then(|n| said_otherwise(draft, count, n, stations));
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
                    let suggest = vec![self.with_number(at, &tidy(n)), self.with_number(at, &r.to_string())];
                    self.problem(ProblemKind::Contradiction, Severity::Error, at, text, suggest);
                    // `5 rounds = 12 min`: the sum went wrong, not what it was taken from; nor can a length be right in which
                    // the stations do not come out even
                    let summed = window.is_some_and(|w| matches!(self.doc.low(w.0.saturating_sub(1)), "=" | "so"));
                    let uneven = (n - n.round()).abs() > 0.01 && stations > 1.0 && r.high().fract() == 0.0;
                    if summed || uneven {
                        (part.rounds, part.duration_s) = (Some(r), None);
                    }
                }
            }
            (Some(n), _, _) if let Some(sets) = otherwise => self.wrong_sum(part, sets, n, window),
            (Some(n), _, _) if n >= 1.0 && (n - n.round()).abs() < 0.01 => part.rounds = Some(Amount::One(n.round())),
            (Some(n), _, _) if n >= 1.0 => {
                let all = words(total.unwrap_or(0.0));
                let text = if stations > 1.0 {
                    format!("{all} does not divide evenly among {stations} stations.")
                } else {
                    format!("{all} is {} times {}: how often is meant?", tidy(n), words(every))
                };
                self.problem(ProblemKind::Contradiction, Severity::Ask, span, text, vec![]);
            }
            (Some(_), _, _) => {}
            (None, Some((r, _)), _) => part.rounds = Some(r),
            (None, None, Some(n)) => {
                let of_all = stations > 1.0 && n % stations == 0.0 && n > stations && !draft.facts.iter().any(|f| f.each);
                part.rounds = Some(Amount::One(if of_all { n / stations } else { n }));
            }
            (None, None, None) if part.lines.iter().any(|l| l.open) => {}
            (None, None, None) if rungs(&part.lines).is_some() => part.rounds = rungs(&part.lines),
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

    /// `every 0:00`, `EMOM 0`, `EMOM 900`: windows that nobody can mean.
    fn odd_windows(&mut self, every: f64, total: Option<f64>, span: Span) {
        let whole = total.map_or(String::new(), |t| format!(" for {}", words(t)));
        let text = format!("Every {}{whole} cannot be meant; was another time meant?", words(every));
        self.problem(ProblemKind::OddTime, Severity::Error, span, text, vec![]);
    }

    /// How many windows one time through takes.
    pub(super) fn stations(&mut self, draft: &Draft, part: &mut Part) -> f64 {
        let mut minutes: Vec<u32> = part.lines.iter().filter_map(|l| l.minute).collect();
        minutes.dedup();
        let named = draft.rest_minutes.iter().filter(|_| !minutes.is_empty());
        let highest = minutes.iter().chain(named).copied().max().unwrap_or(0);
        self.silent_minutes(draft, &minutes, highest);
        let listed = part.lines.iter().filter(|l| l.role.is_none()).count() + draft.rest_stations;
        if let Some((said, span)) = draft.first(|f| f.stations) {
            let counted = if highest > 0 {
                f64::from(highest).max(count(listed.min(minutes.len() + draft.rest_stations)))
            } else {
                count(listed)
            };
            if (said - counted).abs() > 0.01 && counted > 1.0 {
                let text = format!("It says {said} stations, but {counted} are listed.");
                let suggest = vec![self.with_number(span, &tidy(counted))];
                self.problem(ProblemKind::Contradiction, Severity::Error, span, text, suggest);
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
        let lettered = draft.rows.iter().all(|r| r.lead.label.as_ref().is_some_and(|l| l.len() == 1));
        if lettered && draft.label.is_none() && listed > 1 {
            // `A: 10 swings`, `B: 10 burpees` under `20 min EMOM`
            return count(listed);
        }
        let one_line = draft.rows.windows(2).all(|w| w[0].line == w[1].line);
        let alternating = draft.rows.iter().any(|r| r.item.from > 0 && self.doc.low(r.item.from - 1) == "alternating")
            || draft.said.iter().chain(draft.at.iter()).any(|s| {
                (s.0..s.1).any(|t| {
                    matches!(self.doc.low(t), "alternating" | "alternate" | "alternated" | "rotating" | "rotate")
                        && !self.is_side_of_row(draft, t)
                })
            });
        let alternating = alternating || draft.facts.iter().any(|f| f.turns);
        let work: f64 = part.lines.iter().map(|l| least_seconds(l, self)).sum();
        let window = part.interval.and_then(|i| i.every_s).or(draft.first(|f| f.every).map(|e| e.0)).unwrap_or(60.0);
        let stations = alternating || !one_line && work > 0.9 * window && listed > 1;
        if stations { count(listed) } else { 1.0 }
    }

    /// `min 1`, `min 2` and then `min 4`: nothing is said of one minute of the turn.
    fn silent_minutes(&mut self, draft: &Draft, minutes: &[u32], highest: u32) {
        let several = draft.rows.iter().any(|r| r.at.is_some_and(|at| self.several_minutes((at.0, r.item.from))));
        let gap: Vec<u32> = (1..highest).filter(|m| !minutes.contains(m) && !draft.rest_minutes.contains(m)).collect();
        let unnumbered = draft.rest_stations > draft.rest_minutes.len();
        let Some((.., span)) = draft.first(|f| f.every).filter(|_| highest <= 20 && !several && !unnumbered) else { return };
        let which = match &gap[..] {
            [] => return,
            [one] => format!("minute {one}"),
            [first, .., last] => {
                format!("minutes {first} to {last}").replace(&format!("{first} to {}", first + 1), &format!("{first} and {last}"))
            }
        };
        let text = format!("Nothing is written for {which} of {highest}. Is it rest, or is a line missing?");
        self.problem(ProblemKind::Unclear, Severity::Ask, span, text, vec![]);
    }

    /// `min 1-3:`, `min 1, 3 and 5:`: one line for several minutes.
    fn several_minutes(&self, lead: Span) -> bool {
        let numbers =
            (lead.0..lead.1).filter(|&t| self.doc.tokens[t].number().is_some() || self.doc.tokens[t].kind == Kind::List);
        numbers.count() > 1
            || (lead.0..lead.1).any(|t| matches!(self.doc.low(t), "odd" | "odds" | "even" | "evens" | "and" | "&"))
    }

    /// `12 lunges, alternating`: the word at `t` speaks of the line that it stands behind.
    fn is_side_of_row(&self, draft: &Draft, t: usize) -> bool {
        let line = self.doc.tokens[t].line;
        let before = draft.rows.iter().filter(|r| r.item.from < t && self.doc.tokens[r.item.from].line == line);
        before.max_by_key(|r| r.item.from).is_some_and(|r| r.item.side == Some(Side::Alternating))
    }

    pub(super) fn intervals(&mut self, draft: &Draft, part: &mut Part, length: Option<f64>) {
        let (work, off, span) = draft.first(|f| f.on_off).unwrap_or((None, None, (0, 0)));
        let off = off.or_else(|| draft.first(|f| f.on_off.as_ref().and_then(|o| o.1)));
        // `90 s windows, rest 90 s between`: the rest is the other half of the window
        let off = off.or_else(|| {
            let said = draft.first(|f| f.rest.clone())?;
            let rounds = (said.2.0..said.2.1).any(|t| matches!(self.doc.low(t), "round" | "rounds" | "rds" | "sets" | "set"));
            said.0.filter(|_| !rounds && work.is_some()).map(|r| r.high())
        });
        part.interval = Some(Interval { work_s: work, rest_s: off, every_s: None });
        let listed = count(part.lines.len().max(1) + draft.rest_stations);
        // `15 cal row`, `max wall balls in the time left`: both in one window
        let turns = if super::super::super::clock::together(part) { 1.0 } else { listed };
        let stations = draft.first(|f| f.stations).map_or(turns, |s| s.0);
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
        part.rounds = in_turns(draft, part.rounds.take(), stations);
        if let Some(usual) = draft.first(|f| f.windows) {
            part.rounds = Some(windows(draft, part, usual, listed));
        } else if draft.first(|f| f.rounds.clone()).is_none()
            && let Some((n, _)) = draft.first(|f| f.times)
            && part.lines.len() > 1
            && !draft.facts.iter().any(|f| f.each)
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
            // the length is what a mend changes, and neither the work nor the rest
            let told = draft.first(|f| f.window.clone()).map(|w| w.1).or_else(|| draft.first(|f| f.amrap).map(|a| a.1));
            let at = told.unwrap_or(span);
            let suggest = [exact, total].map(|s| self.with_time(at, &words(s))).to_vec();
            self.problem(ProblemKind::Contradiction, Severity::Error, at, text, suggest);
        }
    }

    pub(super) fn rest(&mut self, draft: &Draft, part: &mut Part) {
        if part.format == Format::Amrap
            && let Some(off) = draft.first(|f| f.on_off.and_then(|o| o.1))
        {
            part.rest_s = Some(Amount::One(off));
            return;
        }
        let Some((amount, bare, span)) = draft.facts.iter().filter_map(|f| f.rest.clone()).max_by_key(|r| r.0.is_some()) else {
            return;
        };
        let Some(amount) = amount else { return };
        let inside = part.interval.is_some_and(|i| i.rest_s.is_some())
            && !draft.facts.iter().any(|f| f.on_off.is_some_and(|o| o.1.is_some()));
        if inside && part.format == Format::Intervals && part.interval.and_then(|i| i.rest_s) == Some(amount.high()) {
            return;
        }
        if let Some(words) = self.after_all_windows(draft, part, span) {
            return part.notes.push(words);
        }
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
}

/// Seconds of a line at a brisk pace, to tell stations from one minute's work.
pub(super) fn least_seconds(line: &Line, reader: &Reader) -> f64 {
    super::super::super::pace::fastest_line(line, reader.library) * 1.4
}

/// `ten rounds, 30 s work, 30 s rest, alternating between burpees and plank`: the stations share them.
fn in_turns(draft: &Draft, rounds: Option<Amount>, stations: f64) -> Option<Amount> {
    let turns = draft.facts.iter().any(|f| f.turns) && !draft.facts.iter().any(|f| f.each);
    match rounds {
        Some(Amount::One(n)) if turns && stations > 1.0 && draft.first(|f| f.windows).is_none() && n % stations == 0.0 => {
            Some(Amount::One(n / stations))
        }
        rounds => rounds,
    }
}

/// Times through of `usual` windows: each station has that many, or they share them where they take turns.
fn windows(draft: &Draft, part: &Part, usual: f64, stations: f64) -> Amount {
    let said = part.rounds.clone().unwrap_or(Amount::One(usual));
    let turns = draft.facts.iter().any(|f| f.turns) && !draft.facts.iter().any(|f| f.each);
    match said {
        Amount::One(n) if turns && n % stations == 0.0 => Amount::One(n / stations),
        other => other,
    }
}

#[cfg(test)]
mod tests;
