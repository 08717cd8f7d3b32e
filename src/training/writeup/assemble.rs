//! Puts clauses together into parts: where one begins, which lines stand in it, what is only said.

mod again;
mod apart;
mod around;
mod begin;
mod beside;
mod brackets;
mod complex;
mod cues;
mod finish;
mod greeting;
mod last_set;
mod letters;
mod loose;
mod named;
mod nameless;
mod notes;
mod option_block;
mod rows;
mod rules;
mod said;
mod second_thoughts;
mod sentence;
mod shape;
mod situation;
mod speech;
mod spoken;
mod strange;
mod sums;
mod sure;
mod swaps;
mod taken_back;
mod talk;
mod title;
mod turns;

pub use greeting::is_day;

use super::super::movement::Library;
use super::super::session::Role;
use super::clause::{Clause, Join};
use super::draft::{Draft, Row, Sheet};
use super::element::{Doc, What};
use super::item::{Facts, Item, Span};
use super::lexicon::Lexicon;
use super::table::Row as TableRow;

/// Reads the clauses of a whole write-up.
#[must_use]
pub fn assemble(doc: &Doc, clauses: &[Clause], library: &Library, lexicon: &Lexicon) -> Sheet {
    let mut line_ends = vec![clauses.len(); clauses.len()];
    for i in (1..clauses.len()).rev() {
        line_ends[i - 1] = if clauses[i - 1].line == clauses[i].line { line_ends[i] } else { i };
    }
    let mut timed_below = vec![false; clauses.len()];
    for i in (1..clauses.len()).rev() {
        let f = &clauses[i].said.facts;
        let closes =
            f.for_time.is_some() && f.rounds.is_none() && clauses[i].said.items.is_empty() && clauses[i].join == Join::Line;
        timed_below[i - 1] = !clauses[i].blank && (timed_below[i] || closes);
    }
    let opening = clauses.iter().find(|c| !c.said.link).map_or(0, |c| c.line);
    let mut a = Assembler {
        line_ends,
        timed_below,
        opening,
        doc,
        library,
        lexicon,
        clauses,
        sheet: Sheet::default(),
        cur: Draft::default(),
        shared: Vec::new(),
        role: None,
        line: 0,
        started: false,
        coming: None,
    };
    let mut i = 0;
    while i < clauses.len() {
        i += a.take(i).max(1);
    }
    a.close();
    a.practises_by_title();
    a.sheet
}

struct Assembler<'a, 't> {
    doc: &'a Doc<'t>,
    library: &'a Library,
    lexicon: &'a Lexicon,
    clauses: &'a [Clause],
    sheet: Sheet,
    cur: Draft,
    /// how each of the lettered parts that follow runs
    shared: Vec<Facts>,
    /// the buy-in or cash-out that the next lines are
    role: Option<Role>,
    /// for each clause, the one after the last on its typed line
    line_ends: Vec<usize>,
    /// for each clause, whether a line below it in the same block says that all of it is for time
    timed_below: Vec<bool>,
    /// the first typed line that says anything
    opening: usize,
    /// typed line of the last row
    line: usize,
    /// some part has begun
    started: bool,
    /// what the first sentence says that is coming: `Today we row 1 km`
    coming: Option<Item>,
}

impl<'a> Assembler<'a, '_> {
    /// Takes clause `i` and perhaps some after it; says how many.
    fn take(&mut self, i: usize) -> usize {
        let c = &self.clauses[i];
        if c.said.from == c.said.to && c.lead.label.is_none() {
            // `then` or a bullet alone on its line
            let span = (c.from, c.to);
            let head = matches!(self.doc.tables.rows.get(&c.line), Some(TableRow::Head));
            let on_line = |r: &&mut Row| c.inside && r.line == c.line && r.lead.minute.is_none();
            if let (Some(minute), Some(row)) = (c.lead.minute, self.cur.rows.last_mut().filter(on_line)) {
                // `10 burpees (odd)`
                row.lead.minute = Some(minute);
            }
            if self.cur.is_blank() && !head {
                self.sheet.notes.push(span)
            } else {
                self.cur.said.push(span)
            }
            return 1;
        }
        if self.role == Some(Role::BuyIn) && c.line > self.line && self.comes_then(i) {
            // `buy-in 800 m run`, and below it `then in the time left`
            self.role = None;
        }
        let line_end = self.line_end(i);
        match &c.said.prefix {
            Some(What::Note) => return self.notes_below(i).unwrap_or_else(|| self.note_to(i, line_end)),
            Some(What::Aim) if !c.inside => return self.aim(i),
            Some(What::Score) => return self.score(i),
            Some(What::Option) if self.opens_by_name(i, line_end) => {}
            Some(What::Option) if !c.inside || self.all_inside(i, line_end) => return self.option(i, line_end),
            Some(What::Option) if !self.says_as_written(c) => return self.note_to(i, i + 1),
            _ => {}
        }
        if c.said.link {
            return self.note_to(i, i + 1);
        }
        if !c.inside && self.says_score(i) {
            return self.score(i);
        }
        if c.inside {
            return if self.topic_lasts(i) { 1 } else { self.inside(i) };
        }
        if self.for_who_is_alone(i) {
            return self.option(i, line_end);
        }
        if self.counts_the_minutes(i, line_end) {
            return self.note_to(i, line_end);
        }
        if self.rounds_for_some(i) {
            let end = self.sentence_end(i);
            return self.option(i, end);
        }
        if self.tells_the_hour(i) || self.tells_the_length_of_all(i) {
            return self.note_to(i, i + 1);
        }
        if self.warms_up_the_lift(i, line_end) {
            return self.sets_on_the_way(i, line_end);
        }
        if let Some(k) = self.taken_back(i, line_end).or_else(|| self.asks_and_denies(i).or_else(|| self.on_second_thoughts(i))) {
            return self.note_to(i, k);
        }
        if let Some(end) = self.speaks_of_last_set(i).or_else(|| self.swaps_partners(i)) {
            return self.note_to(i, end);
        }
        if c.join == Join::Stop && self.cur.has_rounds_lines() && self.asks_who(i, line_end) {
            let end = self.sentence_end(i + 1);
            return self.other_length(i, end);
        }
        if self.asks_for_less(i) || self.lengths_for_some(i) {
            return self.option(i, line_end);
        }
        let aside = self.penalty(i).or_else(|| self.corrects_the_last(i)).or_else(|| self.forbids(i));
        if let Some(n) = aside.or_else(|| self.speaks_of_a_line(i)) {
            return n;
        }
        if let Some(n) = self.replacement(i, line_end) {
            return n;
        }
        if c.join == Join::Comma && c.said.items.is_empty() && self.stick((c.said.from, c.said.to)) {
            return 1;
        }
        if self.is_prose(i, line_end) || self.speaks_of_the_day(i, line_end) {
            return self.note_to(i, line_end);
        }
        if self.starts_at(i) || self.defines_rep(i) || self.counts_complex(i) || self.names_what_was(i) {
            return 1;
        }
        if let Some(n) = self.names_complex(i) {
            return n;
        }
        if let Some(load) = self.load_ahead(i, line_end) {
            let span = self.span(i, line_end);
            if self.cur.has_rounds_lines() {
                self.close();
            }
            self.cur.load_of_all = Some(load);
            self.cur.said.push(span);
            self.words_of_load(i, line_end);
            return line_end - i;
        }
        if self.is_title(i) {
            self.sheet.title = Some(self.with_its_bracket(self.span(i, line_end)));
            let named = self.clauses[i..line_end].iter().flat_map(|c| &c.said.items).find(|it| it.movement.is_some());
            self.cur.carried = named.map(|it| Row { item: it.clone(), ..Row::default() });
            return line_end - i;
        }
        if self.goes_home(i) {
            return self.note_to(i, i + 1);
        }
        if self.tells_what_comes(i) {
            self.coming = self.clauses[i].said.items.first().cloned();
            return self.note_to(i, i + 1);
        }
        if self.names_the_day(i) {
            return self.note_to(i, i + 1);
        }
        if let Some(name) = self.strange_name(i) {
            return self.strange(i, name);
        }
        if self.is_unknown_name(i) {
            let span = (c.said.from, c.said.to);
            self.row(Item { unknown: Some(span), from: span.0, to: span.1, ..Item::default() }, (c.from, c.to), i);
            return 1;
        }
        if self.is_name_of_lift(i) {
            self.lift(i);
            return 1;
        }
        if self.names_what_follows(i) {
            self.begin_by_name(i);
            return 1;
        }
        if self.heads_complex(i) {
            return 1;
        }
        if let Some(n) = self.complex_in_brackets(i) {
            return n;
        }
        if let Some(n) = self.same_again(i) {
            return n;
        }
        if self.explains_rep(i) || !c.colon && self.cur.first(|f| f.amrap).is_some() && self.costs(i) {
            return self.note_to(i, self.sentence_end(i));
        }
        if self.tells_the_sum(i) || self.pairs_those_above(i) || self.tells_more_of_those_above(i) {
            return 1;
        }
        if self.is_talk(i) {
            if self.next_of_list(i) {
                // `2) once you are rested: max sit-ups in 1 min`
                let number = self.clauses[i].lead.number;
                self.close();
                self.cur.number = number;
            }
            return self.talk(i);
        }
        self.recalls_complex(i);
        self.shape(i);
        self.warms_up_by_words(i);
        self.heading_words(i);
        self.items(i);
        let windows = |e: &(f64, Option<f64>, Option<f64>, Span)| e.1.is_none() && e.2.is_none();
        if c.colon
            && i + 1 < line_end
            && c.said.items.is_empty()
            && c.said.facts.every.as_ref().is_some_and(windows)
            && self.cur.first(|f| f.amrap).is_some()
            && self.cur.has_rounds_lines()
        {
            // `every 3 min: 5 squats` inside an AMRAP: what it costs is told, not counted
            return 1 + self.note_to(i + 1, line_end);
        }
        1
    }

    /// `Part 1 - positions with the stick`: words behind a label name the part, and may say what all of it is done with.
    fn heading_words(&mut self, i: usize) {
        let c = &self.clauses[i];
        let heads = c.said.items.is_empty() && self.cur.rows.is_empty() && self.cur.pending.is_empty();
        if !heads || c.said.words.is_empty() || c.inside {
            return;
        }
        let span = (c.said.from, c.said.to);
        if c.lead.label.is_some() && self.cur.name.is_empty() && c.said.facts.is_empty() && c.said.words.len() < 8 {
            self.cur.name = self.doc.typed(span.0, span.1).to_owned();
        }
        let with = (span.0..span.1).find(|&t| matches!(self.doc.low(t), "with" | "w" | "stick"));
        if let Some(t) = with
            && self.doc.plain[span.1 - 1] == "stick"
        {
            self.stick((t, span.1));
        }
    }

    /// `(short on time? 3 rounds)` with nothing else on its line.
    fn all_inside(&self, i: usize, end: usize) -> bool {
        self.clauses[i].join == Join::Line && self.clauses[i..end].iter().all(|c| c.inside)
    }

    /// `2 rounds if you are new`: another version, not another number.
    fn rounds_for_some(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let Some((_, at)) = c.said.facts.rounds.as_ref().filter(|_| c.said.items.is_empty()) else { return false };
        let again = self.cur.first(|f| f.rounds.clone()).is_some() && self.cur.has_rounds_lines();
        // `Who has not slept well makes only 2 rounds`
        let told = matches!(self.doc.low(at.0.saturating_sub(1)), "do" | "does" | "make" | "makes" | "only" | "just");
        let if_so = self.doc.low(c.said.from) == "if" && told;
        again && ((self.says_who(c) || if_so) && at.0 > c.said.from || matches!(self.doc.low(at.1), "if" | "when"))
    }

    /// The current part is done against the clock.
    fn is_timed(&self) -> bool {
        self.cur.first(|f| f.for_time).is_some() || self.cur.first(|f| f.cap).is_some()
    }

    /// Clause after the last one on the typed line of `i`.
    fn line_end(&self, i: usize) -> usize {
        self.line_ends[i]
    }

    fn span(&self, i: usize, end: usize) -> Span {
        (self.clauses[i].from, self.clauses[end.max(i + 1) - 1].to)
    }

    fn note_to(&mut self, i: usize, end: usize) -> usize {
        let span = self.span(i, end);
        self.note(span);
        end.max(i + 1) - i
    }

    fn note(&mut self, span: Span) {
        if let Some(row) = self.cur.rows.last_mut().filter(|r| r.line == self.doc.tokens[span.0].line) {
            row.notes.push(span);
        } else if self.cur.is_blank() && self.cur.name.is_empty() {
            self.sheet.notes.push(span);
        } else {
            self.cur.notes.push(span);
        }
    }

    fn aim(&mut self, i: usize) -> usize {
        let end = self.aim_end(i);
        let span = self.span(i, end);
        if self.sheet.aim.is_empty() {
            self.sheet.aim.push(span);
        } else {
            self.note(span);
        }
        end - i
    }

    /// Clause after the aim that begins at `i`: the whole typed line belongs to it, except where it goes on into work
    /// (a chat without line breaks).
    fn aim_end(&self, i: usize) -> usize {
        let works = |c: &Clause| starts_lines(&c.said.items) || c.said.facts.shapes();
        let sentence = self.sentence_end(i);
        if self.clauses[i].join == Join::Comma {
            // `5 x 500 m row, aim for the same split. Score: slowest 500`
            return sentence;
        }
        let rest = sentence..self.line_end(i).max(sentence);
        rest.clone().find(|&n| works(&self.clauses[n])).unwrap_or(rest.end)
    }

    /// Clause after the sentence that begins at `i`.
    fn sentence_end(&self, i: usize) -> usize {
        let line = self.clauses[i].line;
        let more = |c: &Clause| c.line == line && !matches!(c.join, Join::Stop | Join::Question | Join::Then);
        self.clauses[i + 1..].iter().position(|c| !more(c)).map_or(self.clauses.len(), |n| i + 1 + n)
    }

    /// A line to be done follows before the next empty line or heading.
    fn lines_follow(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        self.clauses[i + 1..]
            .iter()
            .take(8)
            .take_while(|n| !n.blank || n.line == c.line || n.line <= c.line + 2 && c.colon)
            .take_while(|n| !follows(n.lead.number, c.lead.number))
            // `..., 20 burpees. Three rounds for time.`, and below it `Afterwards some easy cat-cow`
            .take_while(|n| c.join == Join::Line || n.join != Join::Then || n.line == c.line)
            // `Too many pull-ups? Ring rows.` is another version
            .filter(|n| !(n.inside || n.join == Join::Question || n.question && !starts_lines(&n.said.items)))
            .find(|n| !n.said.items.is_empty() && !self.counts_reps_of(n))
            .is_some_and(|n| {
                let named = n.said.items.iter().any(Item::is_named) || self.goes_a_way(n).is_some();
                named && !n.said.facts.shapes() && n.said.talk == 0
            })
    }

    /// Something to be done is named before the next empty line, however it runs.
    fn names_follow(&self, i: usize) -> bool {
        let named = |n: &Clause| !n.inside && n.said.items.iter().any(Item::is_named);
        self.clauses[i + 1..].iter().take_while(|n| !n.blank || n.line == self.clauses[i].line).any(named)
    }

    fn close(&mut self) {
        self.role = None;
        self.release_pending();
        self.carry_on();
        let done = std::mem::take(&mut self.cur);
        let carried = done.rows.last().cloned();
        if !(done.is_blank() || self.sheet.parts.is_empty() && done.tells_the_length()) {
            self.sheet.parts.push(done);
        } else {
            self.sheet.notes.extend(
                done.notes
                    .into_iter()
                    .chain(done.at)
                    .chain(done.said)
                    .chain(done.score)
                    .chain(done.options.into_iter().map(|o| o.span)),
            );
        }
        self.cur.carried = carried;
    }
}

/// `2.` behind `1.`: the next entry of a list, not a line of this one.
fn follows(number: Option<f64>, before: Option<f64>) -> bool {
    number.zip(before).is_some_and(|(n, b)| (n - b - 1.0).abs() < 0.01)
}

fn starts_lines(items: &[Item]) -> bool {
    items.iter().any(|it| it.is_named() && it.is_dosed())
}
