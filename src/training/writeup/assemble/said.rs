//! What is said about a part: how it is scored, and its other versions.

use super::super::super::dose::{Amount, Load};
use super::super::super::movement::Pattern;
use super::super::clause::{Clause, Join, Lead};
use super::super::draft::{Draft, Other};
use super::super::element::{Name, What};
use super::super::item::{Facts, Item};
use super::super::marks::names_no_kit;
use super::super::quantity::Unit;
use super::super::token::Kind;
use super::{Assembler, starts_lines};

/// `Heaviest triple goes on the board`: where results are written up.
const ON_THE_BOARD: &[&str] =
    &["on the board", "on the whiteboard", "on the leaderboard", "on our board", "on the wall", "on the sheet"];

impl Assembler<'_, '_> {
    /// `Jog home.`, `walks home`: the way back, and no line.
    pub(super) fn goes_home(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let steady = |n: Name| matches!(n, Name::Known(at) if self.library.all()[at].pattern == Pattern::Cyclical);
        let way = |it: &Item| it.movement.is_some_and(steady) && !it.is_dosed() && it.load.is_none();
        let home = matches!(self.doc.low(c.said.to.saturating_sub(1)), "home" | "there");
        let short = c.said.to.saturating_sub(c.said.from) <= 5 && c.said.facts.is_empty();
        home && short && c.said.items.len() == 1 && c.said.items.iter().all(way)
    }

    /// `New to this? 3 rounds, 12 min cap` in brackets or behind a full stop: a question, and another length for who says yes.
    pub(super) fn asks_who(&self, i: usize, end: usize) -> bool {
        let c = &self.clauses[i];
        let lengths = |n: &Clause| {
            let f = &n.said.facts;
            (f.rounds.is_some() || f.cap.is_some() || f.amrap.is_some()) && n.said.items.iter().all(|it| !it.is_named())
        };
        let answers = self.clauses.get(i + 1).filter(|n| i + 1 < end && n.line == c.line && n.join == Join::Question);
        let asks = c.question && c.said.items.is_empty() && Facts { heading: None, ..c.said.facts.clone() }.is_empty();
        let asks = asks && !c.said.words.is_empty();
        let set = self.cur.first(|f| f.rounds.clone()).is_some() || self.cur.first(|f| f.cap).is_some() || self.in_windows();
        asks && set && answers.is_some_and(lengths)
    }

    /// `24 kg for the guys`, `16 kg women`: words behind a load say whose it is.
    pub(super) fn says_for_whom(&self, from: usize, to: usize) -> bool {
        let kilos = |t: usize| matches!(self.doc.low(t), "kg" | "kgs" | "kilos" | "lb" | "lbs");
        let Some(at) = (from..to).find(|t| kilos(*t)) else { return false };
        let people = |t: usize| {
            matches!(
                self.doc.low(t),
                "men"
                    | "women"
                    | "guys"
                    | "girls"
                    | "ladies"
                    | "gents"
                    | "lads"
                    | "most"
                    | "some"
                    | "others"
                    | "beginners"
                    | "m"
                    | "f"
            )
        };
        (at + 1..to.min(at + 4)).any(people)
    }

    /// `Log your time. Ease out with a quad stretch, thirty seconds a side`: the sentence behind the score is something to do.
    fn leaves_the_score(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let named = |n: &Clause| n.said.items.iter().any(|it| it.movement.is_some());
        let dosed = |n: &Clause| n.said.items.iter().any(Item::is_dosed);
        let sentence = &self.clauses[i..self.sentence_end(i)];
        let doubt = sentence
            .iter()
            .any(|n| n.said.prefix.is_some() || (n.from..n.to).any(|t| matches!(self.doc.low(t), "counts" | "count" | "score")));
        c.join == Join::Stop && c.sentence && !doubt && named(c) && sentence.iter().take(2).any(dosed)
    }

    /// A score line, with everything up to the end of its typed line that begins nothing new.
    pub(super) fn score(&mut self, i: usize) -> usize {
        let line = self.clauses[i].line;
        let mut end = i + 1;
        while self.clauses.get(end).is_some_and(|c| {
            c.line == line
                && c.join != Join::Then
                && !self.leaves_the_score(end)
                && !(starts_lines(&c.said.items) && c.join != Join::Colon && !c.inside && c.said.facts.shapes())
                && c.said.facts.heading.is_none()
                // `5 min easy bike, not scored. AMRAP 12: ...`
                && !(c.join == Join::Stop && c.colon && c.said.facts.shapes() && c.said.talk == 0)
                && !(c.join == Join::Stop && c.said.prefix == Some(What::Option))
                && !(c.question && matches!(self.doc.low(c.said.from), "no" | "can't" | "cant" | "sore" | "quiet"))
                && !(c.join == Join::Stop
                    && c.said.talk == 0
                    && c.said.items.iter().any(|it| it.movement.is_some() && it.is_dosed()))
        }) {
            end += 1;
        }
        // `b) log the load`: the letter is that of the line, and of no other part
        let own = self.is_small_below_capital(i);
        let span = if own { (self.clauses[i].said.from, self.clauses[end - 1].to) } else { self.span(i, end) };
        self.cur.said.extend(own.then_some((self.clauses[i].from, span.0)));
        if (span.0..span.1).any(|t| self.doc.says(t, "for yourself").or_else(|| self.doc.says(t, "for your own")).is_some()) {
            // `write down the weights for yourself`: nobody else wants them
            self.note(span);
            return end - i;
        }
        if self.cur.is_blank() && self.sheet.parts.is_empty() {
            self.sheet.notes.push(span);
            return end - i;
        }
        for c in &self.clauses[i..end] {
            if let Some((rounds, at)) = &c.said.facts.rounds {
                self.cur.mentions.push((rounds.clone(), *at));
            }
        }
        self.counts_as(i, end);
        self.cur.score.push(span);
        end - i
    }

    /// `lowest reps in any interval = your score`, `slowest round is your score`, `1 round, total reps = score`
    pub(super) fn says_score(&self, i: usize) -> bool {
        const WHAT: [&str; 14] = [
            "lowest", "slowest", "fastest", "best", "heaviest", "longest", "most", "total", "worst", "sum", "highest", "your",
            "fewest", "top",
        ];
        let c = &self.clauses[i];
        let the = usize::from(matches!(self.doc.low(c.said.from), "the" | "your"));
        if !WHAT.contains(&self.doc.low(c.said.from + the))
            || starts_lines(&c.said.items) && c.said.items.iter().any(|it| it.movement.is_some())
        {
            return false;
        }
        let end = self.clauses[self.sentence_end(i) - 1].to;
        let what =
            |t: usize| matches!(self.doc.low(t), "round" | "set" | "time" | "interval" | "lap" | "try" | "attempt" | "effort");
        let counts = what(c.said.from + the + 1) && matches!(self.doc.low(c.said.from + the + 2), "counts" | "wins");
        // `Best single goes on the board`
        let board = (c.said.from..end).any(|t| self.doc.says_any(t, ON_THE_BOARD).is_some());
        counts
            || board
            || (c.said.from..end).any(|t| {
                matches!(self.doc.low(t), "score" | "scores" | "result")
                    && (t.saturating_sub(2)..t).any(|k| matches!(self.doc.low(k), "=" | "is" | "your" | "the" | "as" | "counts"))
            })
    }

    /// `no % today, go by feel. Best single goes on the board`: the clause from `i` to `end` that says what is scored, else `end`.
    pub(super) fn before_a_score(&self, i: usize, end: usize) -> usize {
        (i + 1..end).find(|k| self.clauses[*k].sentence && self.says_score(*k)).unwrap_or(end)
    }

    /// `A finished plank counts as 1 rep.`
    pub(super) fn counts_as(&mut self, i: usize, end: usize) {
        for c in &self.clauses[i..end] {
            let words: Vec<&str> = (c.from..c.to).map(|t| self.doc.low(t)).collect();
            let counts = words.iter().any(|w| matches!(*w, "counts" | "count" | "is" | "="));
            let reps =
                c.said.items.iter().find_map(|it| {
                    it.dose.as_ref().filter(|q| matches!(q.unit, Unit::Reps | Unit::Bare)).map(|q| q.amount.high())
                });
            let named = c.said.items.iter().find_map(|it| it.movement);
            if let (true, Some(reps), Some(name)) = (counts, reps, named)
                && let Some(row) = self.cur.rows.iter_mut().find(|r| r.item.movement == Some(name))
            {
                row.counts_as = Some(reps);
            }
        }
    }

    /// Another version: `Short version: 3 rounds, 9 min cap. Same loads.`
    pub(super) fn option(&mut self, i: usize, line_end: usize) -> usize {
        let first = !self.cur.has_rounds_lines() && self.cur.pending.is_empty() && self.sheet.parts.is_empty();
        let end = if first { self.sentence_end(i) } else { line_end };
        let end = (i + 1..end).find(|&k| matches!(self.clauses[k].join, Join::Then)).unwrap_or(end);
        if self.as_written(i, end) {
            return end - i;
        }
        if first {
            // `Bodyweight only: ...` above everything tells of all of it
            let end = if self.clauses[i].colon { i + 1 } else { end };
            let works = |c: &Clause| starts_lines(&c.said.items) || c.said.facts.amrap.is_some() || c.said.facts.every.is_some();
            if self.clauses[i..end].iter().any(works) {
                self.sheet.unread.push(self.span(i, end));
            }
            return self.note_to(i, end);
        }
        let end = if end == line_end { self.option_lines(i, end).unwrap_or(end) } else { end };
        self.other_length(i, end)
    }

    /// Another version of the part so far, as the clauses from `i` say.
    pub(super) fn other_length(&mut self, i: usize, end: usize) -> usize {
        let name = self.clauses[i].said.from;
        let mut other = Other { span: self.span(i, end), name: self.option_name(name), ..Other::default() };
        for c in &self.clauses[i..end] {
            other.facts.push(c.said.facts.clone());
            other.items.extend(c.said.items.iter().cloned());
        }
        let blank = self.cur.is_blank();
        match self.sheet.parts.last_mut().filter(|_| blank) {
            Some(part) => part.options.push(other),
            None => self.cur.options.push(other),
        }
        end - i
    }

    /// `The short one: 5 pull-ups, 10 push-ups. As many rounds as possible in 15 min` above everything: of nothing that stands
    /// before can it be another version, so this is its name.
    pub(super) fn opens_by_name(&mut self, i: usize, line_end: usize) -> bool {
        let c = &self.clauses[i];
        let first = self.sheet.parts.is_empty() && self.cur.is_blank() && c.join == Join::Line && !c.inside;
        // `Bodyweight only: as many reps as possible in ...`
        let bare = |t: &usize| names_no_kit(self.doc.typed(c.said.from, t + 1)) && self.doc.low(t + 1) == ":";
        let one = (c.said.from..c.said.to).take(5).find(|t| matches!(self.doc.low(*t), "one" | "ones") || bare(t));
        let Some(name) = one.filter(|t| first && self.doc.low(t + 1) == ":").map(|t| (c.said.from, t + 1)) else { return false };
        let line = &self.clauses[i..line_end.max(i + 1)];
        let works = line.iter().any(|n| starts_lines(&n.said.items)) && line.iter().any(|n| n.said.facts.shapes());
        if works {
            self.cur.name = self.doc.typed(name.0, name.1).to_owned();
            self.cur.said.push(name);
        }
        works
    }

    /// `one bell, 16/12 kg for all of it` above its lines, `then with the big bell, 24/16 kg`: the load of what follows.
    pub(super) fn load_ahead(&self, i: usize, line_end: usize) -> Option<Item> {
        if i > 0 && self.clauses[i - 1].line == self.clauses[i].line {
            return None;
        }
        let line = &self.clauses[i..line_end.max(i + 1)];
        let c = &line[0];
        let fresh = self.cur.is_blank() || self.cur.has_rounds_lines() && (c.blank || c.join == Join::Then);
        // `one bell` alone says nothing about how heavy
        let one = |it: &Item| it.implements.is_some() || it.dose.as_ref().is_some_and(|q| q.amount == Amount::One(1.0));
        let tool = |it: &&Item| !(one(it) && it.load.is_none() && !it.is_named() && it.sets.is_none());
        let mut items = line.iter().flat_map(|n| &n.said.items).filter(tool);
        let (Some(only), None) = (items.next(), items.next()) else { return None };
        let kilos = matches!(only.load, Some(Load::Kg { .. } | Load::Lb { .. }));
        let bare = kilos && !only.is_named() && !only.is_dosed() && only.max.is_none() && only.build.is_none();
        let plain = line.iter().all(|n| n.said.facts == Facts::default() && n.said.prefix.is_none() && !n.inside && !n.question);
        let next = self.clauses.get(line_end).is_some_and(|n| !n.said.items.is_empty() || n.said.facts.shapes());
        (fresh && bare && plain && next && c.lead == Lead::default()).then(|| only.clone())
    }

    /// `or if you're alone: 5 RFT, same movements`: another version of a part for two.
    pub(super) fn for_who_is_alone(&self, i: usize) -> bool {
        const ALONE: &[&str] = &[
            "if you're alone",
            "if you are alone",
            "if you train alone",
            "if you're on your own",
            "if you are on your own",
            "if alone",
            "if solo",
            "if on your own",
            "if you have no partner",
            "if you've no partner",
            "if you've got no partner",
            "no partner",
            "without a partner",
            "on your own",
            "training alone",
            "solo",
        ];
        let c = &self.clauses[i];
        let or = usize::from(self.doc.low(c.from) == "or");
        let says = self.doc.says_any(c.from + or, ALONE).is_some();
        let line = &self.clauses[i..self.line_end(i).max(i + 1)];
        let runs = line.iter().any(|n| n.said.facts.shapes() || starts_lines(&n.said.items));
        says && runs && c.join == Join::Line && self.cur.has_rounds_lines()
    }

    /// `1 rep in the first minute, 2 in the second, 3 in the third etc` below `Death by burpees`: the same once more.
    pub(super) fn counts_the_minutes(&self, i: usize, line_end: usize) -> bool {
        let by_the_minute = self.cur.first(|f| f.every.zip(f.step)).is_some_and(|(e, by)| e.0 == 60.0 && by == 1.0);
        let named = !self.cur.pending.is_empty() || self.cur.rows.len() == 1;
        let c = &self.clauses[i];
        let one = c.said.items.first().and_then(|it| it.dose.as_ref().filter(|_| !it.is_named())).map(|q| &q.amount);
        let first =
            (c.from..c.to).any(|t| self.doc.says_any(t, &["first minute", "minute 1", "minute one", "1st minute"]).is_some());
        let plain = self.clauses[i..line_end].iter().all(|n| !n.said.items.iter().any(Item::is_named));
        by_the_minute && named && first && plain && c.join == Join::Line && one == Some(&Amount::One(1.0))
    }

    /// `DB complex, 2 x 12.5 kg, don't put them down` above its lines: a name, and words about all of them.
    pub(super) fn words_of_load(&mut self, i: usize, line_end: usize) {
        if self.is_bare_words(i) && self.cur.name.is_empty() {
            let said = &self.clauses[i].said;
            self.cur.name = self.doc.typed(said.from, said.to).to_owned();
        }
        let spoken = self.clauses[i..line_end].iter().filter(|c| c.said.talk > 0 && c.said.items.is_empty());
        self.cur.notes.extend(spoken.map(|c| (c.said.from, c.said.to)));
    }

    /// `Light day: 2 rounds, 13:00 cap`, `easy day - 3 rounds` below the rounds: another length for such a day, and no part;
    /// `Easy day: 3 rounds` above lines of its own is one.
    fn names_another_day(&self, i: usize, line_end: usize) -> bool {
        let c = &self.clauses[i];
        let length = |n: &Clause| n.said.facts.rounds.is_some() || n.said.facts.cap.is_some() || n.said.facts.amrap.is_some();
        let bare = |n: &Clause| n.said.facts.heading.is_none() && n.said.items.iter().all(|it| !it.is_named());
        let behind = &self.clauses[(i + 1).min(line_end)..line_end];
        let dash = c.said.words.last().is_some_and(|w| matches!(self.doc.low(w.1), "-" | "–" | "—")) && length(c);
        let heads = c.colon && c.said.facts.is_empty() && behind.iter().any(length) || dash;
        let plain = c.said.items.is_empty() && c.lead == Lead::default() && self.names_a_day(i);
        let runs =
            |d: &Draft| d.first(|f| f.rounds.clone()).is_some() || d.first(|f| f.cap).is_some() || d.first(|f| f.amrap).is_some();
        let above = if self.cur.is_blank() { self.sheet.parts.last() } else { Some(&self.cur) };
        let above = above.is_some_and(|d| d.has_rounds_lines() && runs(d));
        let ends = self
            .clauses
            .get(line_end)
            .is_none_or(|n| n.blank || n.lead.label.is_some() || n.said.facts.heading.is_some() || n.said.prefix.is_some());
        let alone = ends || !self.lines_follow(line_end - 1);
        c.join == Join::Line && plain && above && heads && alone && behind.iter().all(bare)
    }

    /// `light day`, `tired legs`: words of a day on which one does less.
    fn names_a_day(&self, i: usize) -> bool {
        const FIRST: &[&str] =
            &["light", "lighter", "easy", "easier", "short", "shorter", "busy", "tired", "sore", "deload", "half", "quick"];
        const LAST: &[&str] = &["day", "days", "week", "weeks", "mode", "legs", "heads", "people", "folks"];
        let words = &self.clauses[i].said.words;
        let (Some(first), Some(last)) = (words.first(), words.last()) else { return false };
        words.len() < 5 && FIRST.contains(&self.doc.low(first.0)) && LAST.contains(&self.doc.low(last.0))
    }

    /// Another length for who cannot do all of it.
    pub(super) fn asks_for_less(&self, i: usize) -> bool {
        self.names_another_day(i, self.line_end(i)) || self.asks_who_is_tired(i)
    }

    /// `not feeling 5? do 3 rounds, 15 min cap`: a question, and another length as its answer.
    fn asks_who_is_tired(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let plain =
            c.question && c.join == Join::Line && c.said.items.iter().all(|it| !it.is_named()) && self.cur.has_rounds_lines();
        let Some(n) = self.clauses.get(i + 1).filter(|n| n.line == c.line && n.join == Join::Question) else { return false };
        let f = &n.said.facts;
        plain
            && c.said.facts == Facts::default()
            && (f.rounds.is_some() || f.cap.is_some() || f.amrap.is_some())
            && n.said.items.is_empty()
    }

    /// `Anyone who is tired: 3 rounds` below rounds: another length for some.
    pub(super) fn lengths_for_some(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let next = self.clauses.get(i + 1).filter(|n| n.line == c.line && c.colon && n.said.items.is_empty());
        let lengths = next.is_some_and(|n| n.said.facts.rounds.is_some() || n.said.facts.cap.is_some());
        let plain = c.said.items.is_empty() && c.said.facts.is_empty() && !c.inside && c.join != Join::Comma;
        let again = self.cur.first(|f| f.rounds.clone()).is_some() && self.cur.has_rounds_lines();
        again && plain && lengths && self.says_who(c)
    }

    /// `who ...`, `anyone ...`: for some of the readers.
    pub(super) fn says_who(&self, c: &Clause) -> bool {
        matches!(self.doc.low(c.said.from), "who" | "whoever" | "anyone" | "anybody" | "those" | "people" | "everyone")
    }

    /// It speaks of the part as it is written, not of another version.
    pub(super) fn says_as_written(&self, c: &Clause) -> bool {
        let from = c.said.from;
        self.doc.low(from) == "rx" && self.doc.low(from + 1) != "+" || self.doc.says(from, "as written").is_some()
    }

    /// `Rx: 40/30 kg`: the load of everything that is done with one, as written.
    pub(super) fn as_written(&mut self, i: usize, end: usize) -> bool {
        let plain = self.says_as_written(&self.clauses[i]);
        let items: Vec<&Item> = self.clauses[i..end].iter().flat_map(|c| &c.said.items).collect();
        let ([load], true) = (&items[..], plain && self.cur.load_of_all.is_none()) else { return false };
        if load.is_named() || load.is_dosed() || load.load.is_none() {
            return false;
        }
        self.cur.load_of_all = Some((*load).clone());
        self.cur.said.push(self.span(i, end));
        true
    }

    pub(super) fn option_name(&self, from: usize) -> String {
        // `Option: low impact`: the word alone says nothing of what kind it is
        let sign = matches!(self.doc.low(from), "option" | "options") && matches!(self.doc.low(from + 1), ":" | "-" | "–" | "=");
        let from = from + if sign && self.doc.tokens.get(from + 2).is_some_and(|t| t.kind == Kind::Word) { 2 } else { 0 };
        let mut to = from;
        while self.doc.tokens.get(to).is_some_and(|t| t.kind == Kind::Word || t.is("-") || t.is("+") && !t.spaced)
            && to - from < 4
        {
            to += 1;
        }
        self.doc.typed(from, to.max(from + 1)).trim_end_matches(['-', ' ']).to_lowercase()
    }
}
