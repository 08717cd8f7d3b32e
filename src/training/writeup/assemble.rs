//! Puts clauses together into parts: where one begins, which lines stand in it, what is only said.

use super::super::dose::Amount;
use super::super::session::Role;
use super::clause::{Clause, Join};
use super::draft::{Draft, Other, Row, Sheet};
use super::element::{Doc, Heading, What};
use super::item::{Facts, Item, Span};
use super::quantity::Unit;
use super::words::is_talk;

/// Reads the clauses of a whole write-up.
#[must_use]
pub fn assemble(doc: &Doc, clauses: &[Clause]) -> Sheet {
    let mut line_ends = vec![clauses.len(); clauses.len()];
    for i in (1..clauses.len()).rev() {
        line_ends[i - 1] = if clauses[i - 1].line == clauses[i].line { line_ends[i] } else { i };
    }
    let opening = clauses.iter().find(|c| !c.said.link).map_or(0, |c| c.line);
    let mut a = Assembler {
        line_ends,
        opening,
        doc,
        clauses,
        sheet: Sheet::default(),
        cur: Draft::default(),
        role: None,
        line: 0,
        started: false,
    };
    let mut i = 0;
    while i < clauses.len() {
        i += a.take(i).max(1);
    }
    a.close();
    a.sheet
}

struct Assembler<'a, 't> {
    doc: &'a Doc<'t>,
    clauses: &'a [Clause],
    sheet: Sheet,
    cur: Draft,
    /// the buy-in or cash-out that the next lines are
    role: Option<Role>,
    /// for each clause, the one after the last on its typed line
    line_ends: Vec<usize>,
    /// the first typed line that says anything
    opening: usize,
    /// typed line of the last row
    line: usize,
    /// some part has begun
    started: bool,
}

impl<'a> Assembler<'a, '_> {
    /// Takes clause `i` and perhaps some after it; says how many.
    fn take(&mut self, i: usize) -> usize {
        let c = &self.clauses[i];
        if c.said.from == c.said.to && c.lead.label.is_none() {
            // `then` or a bullet alone on its line
            let span = (c.from, c.to);
            if self.cur.is_blank() {
                self.sheet.notes.push(span)
            } else {
                self.cur.said.push(span)
            }
            return 1;
        }
        let line_end = self.line_end(i);
        match &c.said.prefix {
            Some(What::Note) => return self.note_to(i, line_end),
            Some(What::Aim) if !c.inside => return self.aim(i),
            Some(What::Score) => return self.score(i),
            Some(What::Option) if !c.inside => return self.option(i, line_end),
            Some(What::Option) => return self.note_to(i, i + 1),
            _ => {}
        }
        if c.said.link {
            return self.note_to(i, i + 1);
        }
        if c.inside {
            return self.inside(i);
        }
        if let Some(n) = self.replacement(i, line_end) {
            return n;
        }
        if self.is_title(i) {
            self.sheet.title = Some(self.span(i, line_end));
            let named = self.clauses[i..line_end].iter().flat_map(|c| &c.said.items).find(|it| it.movement.is_some());
            self.cur.carried = named.map(|it| Row { item: it.clone(), ..Row::default() });
            return line_end - i;
        }
        if self.is_unknown_name(i) {
            let span = (c.said.from, c.said.to);
            self.row(Item { unknown: Some(span), from: span.0, to: span.1, ..Item::default() }, (c.from, c.to), i);
            return 1;
        }
        if self.is_talk(i) {
            return self.talk(i);
        }
        self.shape(i);
        self.items(i);
        1
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
        } else if self.cur.is_blank() {
            self.sheet.notes.push(span);
        } else {
            self.cur.notes.push(span);
        }
    }

    fn aim(&mut self, i: usize) -> usize {
        let end = self.sentence_end(i);
        let span = self.span(i, end);
        if self.sheet.aim.is_empty() {
            self.sheet.aim.push(span);
        } else {
            self.note(span);
        }
        end - i
    }

    /// Clause after the sentence that begins at `i`.
    fn sentence_end(&self, i: usize) -> usize {
        let line = self.clauses[i].line;
        let more = |c: &Clause| c.line == line && !matches!(c.join, Join::Stop | Join::Question | Join::Then);
        self.clauses[i + 1..].iter().position(|c| !more(c)).map_or(self.clauses.len(), |n| i + 1 + n)
    }

    /// A score line, with everything up to the end of its typed line that begins nothing new.
    fn score(&mut self, i: usize) -> usize {
        let line = self.clauses[i].line;
        let mut end = i + 1;
        while self.clauses.get(end).is_some_and(|c| {
            c.line == line
                && c.join != Join::Then
                && !(starts_lines(&c.said.items) && c.join != Join::Colon && !c.inside && c.said.facts.shapes())
                && c.said.facts.heading.is_none()
                && !(c.join == Join::Stop && starts_lines(&c.said.items) && c.said.talk == 0)
        }) {
            end += 1;
        }
        let span = self.span(i, end);
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

    /// `A finished plank counts as 1 rep.`
    fn counts_as(&mut self, i: usize, end: usize) {
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
    fn option(&mut self, i: usize, line_end: usize) -> usize {
        if !self.cur.has_rounds_lines() && self.cur.pending.is_empty() && self.sheet.parts.is_empty() {
            return self.note_to(i, line_end);
        }
        let end = (i + 1..line_end).find(|&k| matches!(self.clauses[k].join, Join::Then)).unwrap_or(line_end);
        let name = self.clauses[i].said.from;
        let mut other = Other { span: self.span(i, end), name: self.option_name(name), ..Other::default() };
        for c in &self.clauses[i..end] {
            other.facts.push(c.said.facts.clone());
            other.items.extend(c.said.items.iter().cloned());
        }
        self.cur.options.push(other);
        end - i
    }

    fn option_name(&self, from: usize) -> String {
        let mut to = from;
        while self.doc.tokens.get(to).is_some_and(|t| t.kind == super::token::Kind::Word || t.is("-")) && to - from < 4 {
            to += 1;
        }
        self.doc.typed(from, to.max(from + 1)).to_lowercase()
    }

    /// Words in brackets: marks or a swap for the line before, facts about the part, or a note.
    fn inside(&mut self, i: usize) -> usize {
        let mut end = i + 1;
        while self.clauses.get(end).is_some_and(|c| c.inside && c.line == self.clauses[i].line && c.join != Join::Line) {
            end += 1;
        }
        let group = &self.clauses[i..end];
        let on_line = self.cur.rows.last().is_some_and(|r| r.line == self.clauses[i].line);
        let mut swaps = group.iter().any(|c| c.said.replaces || c.question || matches!(c.said.prefix, Some(What::Or)));
        for (k, c) in group.iter().enumerate() {
            let talky = c.said.talk > 0 && !matches!(c.said.prefix, Some(What::Or));
            swaps |= c.question
                || matches!(self.doc.low(c.said.from), "no" | "if" | "quiet" | "or" | "sub" | "scale" | "easier" | "beginners");
            let span = (c.from, c.to);
            let named: Vec<&Item> = c.said.items.iter().filter(|it| it.movement.is_some()).collect();
            if on_line && swaps && !named.is_empty() {
                let items: Vec<Item> = named.into_iter().cloned().collect();
                self.swap(items);
                continue;
            }
            if on_line && self.variant(span) {
                continue;
            }
            let marks = !c.said.items.is_empty() && c.said.items.iter().all(|it| !it.is_named());
            if marks && !talky && self.inside_marks(&c.said.items, on_line, span) {
                continue;
            }
            if c.said.items.is_empty()
                && !c.said.facts.is_empty()
                && !(talky && c.said.facts.rounds.is_none() && c.said.facts.cap.is_none())
            {
                self.cur.said.push(span);
                self.cur.facts.push(c.said.facts.clone());
                continue;
            }
            if !on_line && !self.cur.is_blank() && !talky && c.said.items.iter().any(|it| it.is_named() && it.is_dosed()) {
                for item in &c.said.items {
                    self.row(item.clone(), span, i + k);
                }
                continue;
            }
            self.note(span);
        }
        end - i
    }

    /// Marks in brackets go to the line they stand behind.
    fn inside_marks(&mut self, items: &[Item], on_line: bool, span: Span) -> bool {
        let target = if on_line { self.cur.rows.last_mut() } else { self.cur.pending.last_mut() };
        let Some(row) = target else {
            return false;
        };
        let mut taken = false;
        for item in items {
            taken |= merge(&mut row.item, item);
        }
        if taken {
            row.item.to = row.item.to.max(span.1);
        }
        taken
    }

    /// Swaps for the last line, each with its own dose or the line's.
    fn swap(&mut self, items: Vec<Item>) {
        if let Some(row) = self.cur.rows.last_mut() {
            row.item.to = items.iter().map(|it| it.to).fold(row.item.to, usize::max);
            row.alternatives.extend(items);
        }
    }

    /// `hands on sofa ok`, `single arm, split the number`: words that name a variation of the line's movement.
    fn variant(&mut self, span: Span) -> bool {
        let words: Vec<&str> = (span.0..span.1).map(|t| self.doc.low(t)).collect();
        let Some(row) = self.cur.rows.last_mut() else { return false };
        let pair = |a: &str, b: &str| words.windows(2).any(|w| w[0] == a && w[1] == b);
        if pair("single", "arm") || pair("one", "arm") {
            row.alternatives.push(Item {
                unknown: None,
                movement: None,
                implements: Some(1),
                from: span.0,
                to: span.1,
                ..Item::default()
            });
            row.item.to = span.1.max(row.item.to);
            return true;
        }
        let ok = words.iter().any(|w| matches!(*w, "ok" | "fine" | "okay" | "allowed"));
        if pair("hands", "on") && (ok || words.contains(&"or")) || words.contains(&"knees") && (ok || words.contains(&"or")) {
            row.alternatives.push(Item { from: span.0, to: span.1, ..Item::default() });
            row.item.to = span.1.max(row.item.to);
            return true;
        }
        false
    }

    /// A typed line or sentence that only says what may stand in for something above.
    fn replacement(&mut self, i: usize, line_end: usize) -> Option<usize> {
        let c = &self.clauses[i];
        if self.cur.rows.is_empty() {
            return None;
        }
        let lead_word = self.doc.low(c.said.from);
        let asks = c.question && c.said.facts.is_empty() && !starts_lines(&c.said.items);
        let lead = matches!(c.said.prefix, Some(What::Or | What::Instead))
            || matches!(lead_word, "no" | "if" | "quiet" | "sore" | "neighbours" | "can't" | "cant");
        if !lead && (!asks || c.join == Join::Bracket) {
            return None;
        }
        let end = (i + 1..line_end).find(|&k| self.clauses[k].join == Join::Then).unwrap_or(line_end);
        let end = if asks || !matches!(c.join, Join::Line) { end.min(self.next_sentence(i, end, asks)) } else { end };
        let group = &self.clauses[i..end];
        let items: Vec<Item> =
            group.iter().flat_map(|c| c.said.items.iter()).filter(|it| it.movement.is_some()).cloned().collect();
        let instead = group.iter().any(|c| c.said.replaces);
        if items.is_empty() {
            return None
                .or_else(|| (lead && !matches!(c.said.prefix, Some(What::Or)) && c.said.talk > 0).then(|| self.note_to(i, end)));
        }
        let same_line = self.cur.rows.last().is_some_and(|r| r.line == c.line);
        if asks || instead && !same_line {
            let replaces = self.replaced_lines(i, end);
            let other = Other {
                span: self.span(i, end),
                name: self.doc.typed(c.from, c.to).to_owned(),
                items,
                replaces,
                ..Other::default()
            };
            self.cur.options.push(other);
        } else {
            let span = self.span(i, end);
            if let Some(row) = self.relative(&items) {
                row.alternatives.extend(items);
                row.notes.push(span);
            }
        }
        Some(end - i)
    }

    /// The end of the sentence behind a question, or of this sentence.
    fn next_sentence(&self, i: usize, end: usize, asks: bool) -> usize {
        let mut k = i + 1;
        let mut left = usize::from(asks);
        while k < end {
            if matches!(self.clauses[k].join, Join::Stop | Join::Question) {
                if left == 0 {
                    return k;
                }
                left -= 1;
            }
            k += 1;
        }
        end
    }

    fn replaced_lines(&self, i: usize, end: usize) -> Option<usize> {
        let words: Vec<&str> = (self.clauses[i].from..self.clauses[end - 1].to).map(|t| self.doc.low(t)).collect();
        let at = words.windows(2).position(|w| w[0] == "the" && w[1] == "first")?;
        Some(match words.get(at + 2) {
            Some(&"two" | &"2") => 2,
            Some(&"three" | &"3") => 3,
            _ => 1,
        })
    }

    /// The line of this part that a swap is for: the one whose name the swap's name holds, else the last.
    fn relative(&mut self, items: &[Item]) -> Option<&mut Row> {
        let words = |it: &Item| -> Vec<String> { (it.from..it.to).map(|t| self.doc.plain[t].clone()).collect() };
        let swap: Vec<String> = items.iter().flat_map(&words).collect();
        let found = self.cur.rows.iter().position(|r| {
            let own: Vec<String> = words(&r.item);
            own.iter().any(|w| w.len() > 3 && swap.contains(w))
        });
        let at = found.unwrap_or(self.cur.rows.len().saturating_sub(1));
        self.cur.rows.get_mut(at)
    }

    /// The first typed line where it only names the day.
    fn is_title(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        if self.started || self.sheet.title.is_some() || c.join != Join::Line || !self.cur.is_blank() || c.line > self.opening {
            return false;
        }
        let end = self.line_end(i);
        let line = &self.clauses[i..end];
        let plain = line.iter().all(|c| {
            let last = self.doc.low(line[line.len() - 1].to.saturating_sub(1));
            let names_day = is_day(self.doc.low(line[0].said.from)) || last == "day";
            c.said.facts.rounds.is_none()
                && c.said.facts.amrap.is_none()
                && c.said.facts.every.is_none()
                && c.said.facts.on_off.is_none()
                && c.said.facts.for_time.is_none()
                && c.said.facts.role.is_none()
                && c.said.facts.rest.is_none()
                && c.said.facts.cap.is_none()
                && c.said.items.iter().all(|it| !it.is_dosed() && (!it.is_named() || names_day))
        });
        let tokens = line[line.len() - 1].to - c.from;
        let ends_as_sentence = self.doc.tokens.get(line[line.len() - 1].to).is_some_and(|t| matches!(t.text, "." | "!" | "?"));
        let heading = line.iter().any(|c| c.said.facts.heading.is_some());
        let greeting = matches!(
            self.doc.low(c.from),
            "hi" | "hey" | "hello" | "morning" | "good" | "hola" | "ok" | "buenos" | "team" | "gm" | "happy"
        );
        if c.lead.label.is_some() || c.lead.bullet && !self.doc.tokens[c.from].is("#") || greeting {
            return false;
        }
        let last = self.doc.low(line[line.len() - 1].to.saturating_sub(1));
        let day = is_day(self.doc.low(c.said.from)) || self.doc.tokens[c.from].is("#") || last == "day";
        plain && (day || tokens <= 9 && !ends_as_sentence && !heading && line.iter().map(|c| c.said.talk).sum::<usize>() < 3)
    }

    /// A short line of strange words that sounds like a movement, among lines that are names alone.
    fn is_unknown_name(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let p = &c.said;
        let alone =
            p.items.is_empty() && p.facts.is_empty() && p.prefix.is_none() && p.talk == 0 && (1..=5).contains(&p.words.len());
        let named = p.words.iter().any(|w| super::words::reshapes(&self.doc.plain[w.0]));
        alone && named && c.join == Join::Line && self.cur.doses_lines() && self.line_ends[i] == i + 1
    }

    /// A sentence to a reader, not something to do.
    fn is_talk(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let p = &c.said;
        let talk_before = p.before.iter().filter(|w| is_talk(self.doc.low(w.0))).count();
        let lead_in = p.before.last().is_some_and(|w| {
            matches!(
                self.doc.low(w.0),
                "do" | "make"
                    | "perform"
                    | "complete"
                    | "go"
                    | "have"
                    | "with"
                    | "is"
                    | "get"
                    | "through"
                    | "accumulate"
                    | "hit"
                    | "today"
                    | "it's"
                    | "are"
                    | "up"
                    | "we"
            )
        });
        let strong_item = p.items.iter().any(|it| it.is_named() && it.is_dosed());
        let format = p.facts.amrap.is_some() || p.facts.every.is_some() || p.facts.on_off.is_some() || p.facts.rounds.is_some();
        if p.items.is_empty() && p.facts.is_empty() {
            return c.lead.label.is_none() || p.talk > 1;
        }
        if strong_item {
            let unknown_only = p.items.iter().filter(|it| it.is_named()).all(|it| it.movement.is_none());
            if unknown_only && (p.talk > 0 || p.words.len() > 6 || !p.before.is_empty()) {
                return !format;
            }
            return talk_before > 2 || talk_before > 0 && !lead_in && !format || p.before.len() > 4 && !format;
        }
        if format || p.facts.cap.is_some() && talk_before < 2 || p.facts.rest.is_some() && talk_before < 2 {
            let about = p.facts.rounds.is_some() && self.cur.has_rounds_lines() && p.talk > 0 && !self.lines_follow(i);
            return about || p.talk > 3 && !self.lines_follow(i) && !self.cur.is_blank() && p.facts.amrap.is_none();
        }
        if p.facts.for_time.is_some() {
            return talk_before > 2;
        }
        let alone = Facts { heading: None, ..p.facts.clone() }.is_empty() && p.items.is_empty();
        if p.facts.heading.is_some() && alone && !matches!(c.join, Join::Line | Join::Then) && !self.lines_follow(i) {
            return true;
        }
        if p.facts.heading.is_some() {
            // `easy cool down whenever you like` is a heading; `warm up well before you start` is advice
            return p.talk > 2 || talk_before > 1;
        }
        let dosed_next = self.clauses.get(i + 1).is_some_and(|n| {
            n.join == Join::Comma && n.line == c.line && n.said.items.first().is_some_and(|it| !it.is_named() && it.is_dosed())
        });
        let bare_name = !dosed_next && p.items.iter().any(Item::is_named) && p.items.iter().all(|it| !it.is_dosed());
        let manner = |w: &Span| super::words::is_manner(self.doc.low(w.0));
        if bare_name && p.facts.is_empty() && c.lead.label.is_none() && p.before.iter().any(|w| !manner(w)) {
            return true;
        }
        // marks, bare doses and bare names: short or nothing
        let named = p.items.iter().any(Item::is_named);
        p.talk > 0 && !(named && dosed_next) && p.items.iter().all(|it| it.sets.is_none() && it.build.is_none())
            || p.words.len() > 4
    }

    /// A line to be done follows before the next empty line or heading.
    fn lines_follow(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        self.clauses[i + 1..]
            .iter()
            .take(8)
            .take_while(|n| !n.blank || n.line == c.line || n.line <= c.line + 2 && c.colon)
            .find(|n| !n.inside && !n.said.items.is_empty())
            .is_some_and(|n| n.said.items.iter().any(Item::is_named) && !n.said.facts.shapes() && n.said.talk == 0)
    }

    /// Words: a note, kept whole up to the end of the sentence.
    fn talk(&mut self, i: usize) -> usize {
        let c = &self.clauses[i];
        let mut end = i + 1;
        let says = |c: &Clause| {
            c.inside
                || !c.said.facts.is_empty()
                || starts_lines(&c.said.items)
                || c.join == Join::Colon && !c.said.items.is_empty()
        };
        let sentence = self.sentence_end(i);
        while end < sentence && !says(&self.clauses[end]) {
            end += 1;
        }
        if let Some((rounds, at)) = c.said.facts.rounds.clone() {
            self.cur.mentions.push((rounds, at));
        }
        let span = self.span(i, end);
        if c.said.items.iter().any(|it| it.unknown.is_some() && it.is_dosed()) && c.said.talk == 0 {
            self.sheet.unread.push(span);
        }
        self.note(span);
        end - i
    }

    /// Facts and headings: begins a new part where this clause does.
    fn shape(&mut self, i: usize) {
        let c = &self.clauses[i];
        if self.begins(i) {
            self.close();
            self.cur.at = Some((c.from, c.to));
        }
        let facts = &c.said.facts;
        let timed = self.cur.first(|f| f.for_time).is_some() || self.cur.first(|f| f.cap).is_some();
        if self.opens_rounds(i) && timed {
            for row in &mut self.cur.rows {
                row.role = Some(Role::BuyIn);
            }
        }
        if let Some((role, _)) = facts.role {
            self.role = Some(role);
        } else if facts.rounds.is_some() || facts.amrap.is_some() || facts.for_time.is_some() || facts.cap.is_some() {
            self.role = None;
        }
        if let Some(label) = &c.lead.label {
            self.cur.label.get_or_insert_with(|| label.clone());
        }
        let rest_only = facts.rest.is_some() && c.said.items.is_empty() && Facts { rest: None, ..facts.clone() }.is_empty();
        let station = c.lead.minute.is_some() || c.lead.number.is_some() && self.cur.first(|f| f.every).is_some();
        if rest_only && station {
            self.cur.rest_stations += 1;
            self.cur.said.push((c.from, c.to));
            return;
        }
        if !facts.is_empty() {
            self.started = true;
            if self.cur.at.is_none() {
                self.cur.at = Some((c.from, c.to));
            } else {
                self.cur.said.push((c.from, c.to));
            }
            if let Some((heading, span)) = facts.heading {
                self.cur.heading.get_or_insert(heading);
                if self.cur.name.is_empty() {
                    self.cur.name = self.doc.typed(span.0, span.1).to_owned();
                }
            }
            self.cur.facts.push(facts.clone());
            if c.said.words.len() > 2 && c.said.items.is_empty() {
                self.cur.notes.push((c.from, c.to));
            }
        } else if c.lead.label.is_some() && self.cur.at.is_none() {
            self.cur.at = Some((c.from, c.to));
        }
    }

    /// A new part begins at clause `i`.
    fn begins(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let p = &c.said;
        let cur = &self.cur;
        if cur.is_blank() {
            return false;
        }
        if let Some(label) = &c.lead.label {
            let same = cur.label.as_ref().is_some_and(|l| l.chars().next() == label.chars().next() && label.len() > 1);
            return !same && (!cur.rows.is_empty() || !cur.pending.is_empty() || cur.is_shaped());
        }
        let full = cur.has_rounds_lines() || !cur.pending.is_empty();
        let own_sets = p.items.iter().any(|it| it.is_named() && it.sets.is_some());
        let then = c.join == Join::Then;
        let f = &p.facts;
        if f.heading.is_some()
            && (full || cur.is_shaped() || cur.heading.is_some() && c.line != self.first_line())
            && (c.join == Join::Line
                || then
                || c.join == Join::Stop
                || c.join == Join::Comma && f.heading.is_some_and(|h| h.0 != Heading::Plain))
        {
            // a second heading word on one line only names the first part further
            return full || c.line != self.first_line() && !matches!(f.heading, Some((Heading::Plain, _)));
        }
        if !full {
            let reshaped =
                f.amrap.is_some() && cur.first(|f| f.amrap).is_some() || f.every.is_some() && cur.first(|f| f.every).is_some();
            let window = cur.first(|f| f.window.clone()).is_some()
                && !cur.rows.iter().any(|r| r.role.is_some())
                && (f.amrap.is_some() || f.every.is_some() || f.on_off.is_some());
            let shaped_prep = matches!(cur.heading, Some(Heading::WarmUp | Heading::CoolDown)) && window;
            return reshaped
                || shaped_prep
                || c.blank && cur.is_shaped() && (f.shapes() && !self.cur_waits())
                || then && cur.scheme.is_some() && f.shapes();
        }
        let strong = f.amrap.is_some()
            || f.every.is_some()
            || f.on_off.is_some()
            || f.ladder.is_some() && (self.lines_follow(i) || !p.items.is_empty());
        if strong {
            return cur.has_rounds_lines() || cur.is_shaped() || then;
        }
        let follows = self.lines_follow(i) || starts_lines(&p.items);
        if self.opens_rounds(i) {
            return false;
        }
        if (f.rounds.is_some() || f.for_time.is_some() || f.sets.is_some()) && follows && cur.has_rounds_lines() {
            return c.join != Join::Comma || f.rounds.is_some();
        }
        let max = p.items.iter().any(|it| it.is_named() && (it.max.is_some() || it.build.is_some()));
        if own_sets {
            return cur.has_rounds_lines() && self.splits_sets(i);
        }
        let nameless_sets = p.items.iter().any(|it| !it.is_named() && it.sets.is_some() && it.dose.is_some());
        let waits = cur.rows.last().is_some_and(|r| !r.item.is_dosed());
        if nameless_sets && !waits && cur.pending.is_empty() && (then || c.join == Join::Line) && cur.has_rounds_lines() {
            return true;
        }
        if max && cur.has_rounds_lines() && !cur.is_shaped() && (c.join == Join::Line || then) {
            let timed = |it: &Item| it.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds);
            let circuit =
                cur.rows.iter().all(|r| timed(&r.item)) && p.items.iter().all(timed) && cur.first(|f| f.rest.clone()).is_some();
            let lists = cur.rows.iter().any(|r| r.item.dose.as_ref().is_some_and(|q| matches!(q.amount, Amount::Scheme(_))));
            let tried = cur.rows.iter().any(|r| r.item.max.is_some() || r.item.build.is_some() || r.item.sets.is_some());
            return !circuit && (then || lists || tried);
        }
        let build = p.items.iter().any(|it| it.build.is_some());
        if build && cur.has_rounds_lines() && (c.join == Join::Line || then) {
            return true;
        }
        let goes_on = cur.is_shaped() && c.line == self.line;
        if then && starts_lines(&p.items) && cur.has_rounds_lines() && !goes_on {
            return true;
        }
        // a bare name on a line of its own behind a finished part is the next heading
        let bare =
            p.items.len() == 1 && p.items[0].is_named() && !p.items[0].is_dosed() && c.join == Join::Line && !c.lead.bullet;
        if bare && cur.has_rounds_lines() && !cur.doses_lines() {
            return c.blank || self.next_is_dose(i) || self.cur.rows.iter().all(|r| r.item.sets.is_some());
        }
        let timed = f.for_time.is_some() && starts_lines(&p.items);
        if timed && cur.has_rounds_lines() {
            return true;
        }
        c.blank && c.join == Join::Line && self.blank_splits(i)
    }

    /// `3 rounds` inside a warm-up, or inside a part for time behind its first run: the part goes on.
    fn opens_rounds(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let only = c.said.facts.rounds.is_some() && c.join == Join::Line && !c.blank;
        let first = self.cur.first(|f| f.rounds.clone()).is_none() && self.cur.scheme.is_none();
        let timed = self.cur.first(|f| f.for_time).is_some() || self.cur.first(|f| f.cap).is_some();
        only && first && (timed || matches!(self.cur.heading, Some(Heading::WarmUp | Heading::CoolDown | Heading::Mobility)))
    }

    /// The current part is only a heading so far and waits for its lines.
    fn cur_waits(&self) -> bool {
        self.cur.rows.is_empty() && self.cur.facts.iter().all(|f| f.amrap.is_none() && f.every.is_none())
    }

    fn first_line(&self) -> usize {
        self.cur.at.map_or(0, |at| self.doc.tokens[at.0].line)
    }

    /// Behind an empty line, plain lines go on with the part unless it was made of sets or time.
    fn blank_splits(&self, i: usize) -> bool {
        let p = &self.clauses[i].said;
        let lines = starts_lines(&p.items);
        let sets = self.cur.rows.iter().all(|r| r.item.sets.is_some() || r.item.build.is_some());
        lines && self.cur.has_rounds_lines() && (sets || matches!(self.cur.heading, Some(Heading::WarmUp)))
    }

    /// A line with its own sets is its own part, unless it is one of a superset or of a warm-up.
    fn splits_sets(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let paired = self.cur.notes.iter().any(|s| (s.0..s.1).any(|t| self.doc.low(t).starts_with("superset")));
        if paired {
            return false;
        }
        let prep = matches!(self.cur.heading, Some(Heading::WarmUp | Heading::CoolDown | Heading::Mobility));
        if prep && !c.blank {
            return false;
        }
        let sets = c.said.items.iter().find_map(|it| it.sets);
        let alike = self.cur.rows.iter().all(|r| r.item.sets == sets);
        let rested = self.cur.first(|f| f.rest.clone()).is_some();
        let together = matches!(self.cur.heading, Some(Heading::Strength | Heading::Conditioning)) || c.join == Join::Comma;
        !(alike && !rested && !c.blank && c.lead.number.is_none() && (together || self.cur.label.is_some()))
            || self.cur.is_shaped()
    }

    /// The next clause is a dose without a name.
    fn next_is_dose(&self, i: usize) -> bool {
        self.clauses[i + 1..].iter().find(|c| !c.inside).is_some_and(|c| {
            c.said.items.first().is_some_and(|it| !it.is_named() && it.is_dosed())
                || c.said.facts.every.is_some()
                || c.said.facts.sets.is_some()
        })
    }

    fn items(&mut self, i: usize) {
        let c = &self.clauses[i];
        if c.colon && c.said.facts.heading.is_some() && self.lines_follow(i) && c.said.items.iter().all(|it| it.sets.is_none()) {
            // `10 min to practise handstands: 5 wall walks, ...` names the part and says how long
            for item in c.said.items.iter().filter(|it| it.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds)) {
                self.window(item, (c.from, c.to));
            }
            return;
        }
        let last = c.said.items.len().saturating_sub(1);
        for (k, item) in c.said.items.clone().into_iter().enumerate() {
            let from = if k == 0 { c.from } else { item.from };
            let to = if k == last { c.to } else { item.to };
            if item.is_named() {
                self.named(item, (from, to), i);
            } else {
                self.nameless(item, i);
            }
        }
    }

    fn named(&mut self, item: Item, at: Span, i: usize) {
        let c = &self.clauses[i];
        self.started = true;
        let dosed = item.is_dosed() || item.more.len() > 1;
        let heading = !dosed
            && !c.lead.bullet
            && matches!(c.join, Join::Line | Join::Colon)
            && c.lead.minute.is_none()
            && self.cur.rows.is_empty()
            && !self.cur.doses_lines()
            && self.cur.pending.is_empty()
            && self.role.is_none();
        let emom_name = !dosed && self.cur.first(|f| f.every).is_some() && c.lead.minute.is_none();
        if (heading || emom_name && self.cur.rows.is_empty())
            && (self.next_is_dose(i)
                || !self.lines_follow(i)
                || c.colon
                || c.lead.label.is_some()
                || c.said.facts.every.is_some())
        {
            if self.cur.at.is_none() {
                self.cur.at = Some((c.from, c.to));
            }
            if self.cur.name.is_empty() {
                self.cur.name = self.doc.typed(item.from, item.to).to_owned();
            }
            self.cur.pending.push(Row {
                item,
                lead: c.lead.clone(),
                line: c.line,
                role: self.role,
                at: Some(at),
                ..Row::default()
            });
            return;
        }
        self.row(item, at, i);
    }

    fn row(&mut self, item: Item, at: Span, i: usize) {
        let c = &self.clauses[i];
        self.line = c.line;
        self.started = true;
        self.release_pending();
        let opening = self.cur.rows.first().filter(|r| r.role == Some(Role::BuyIn) && self.cur.has_rounds_lines());
        if opening.is_some_and(|r| r.item.movement == item.movement && r.item.dose == item.dose && r.line != c.line) {
            self.role = Some(Role::CashOut);
        }
        let mut item = item;
        let stations = self.cur.doses_lines() && item.slashed;
        let others = if stations { std::mem::take(&mut item.choices) } else { Vec::new() };
        for (name, dose) in others {
            let (from, to) = (item.from, item.to);
            let row = Row {
                item: Item { movement: Some(name), dose, from, to, ..Item::default() },
                lead: c.lead.clone(),
                line: c.line,
                role: self.role,
                ..Row::default()
            };
            self.cur.pending.push(row);
        }
        let row = Row { item, lead: c.lead.clone(), line: c.line, role: self.role, at: Some(at), ..Row::default() };
        self.cur.rows.push(row);
        self.release_pending();
    }

    /// Names that waited for a dose stand as lines once other lines come.
    fn release_pending(&mut self) {
        let waiting = std::mem::take(&mut self.cur.pending);
        self.cur.rows.extend(waiting);
    }

    fn nameless(&mut self, item: Item, i: usize) {
        let c = &self.clauses[i];
        let span = (c.from, c.to);
        let on_line = self.cur.rows.last().is_some_and(|r| r.line == c.line);
        let seconds = item.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds);
        let builds = self.cur.rows.last().or(self.cur.pending.last()).is_some_and(|r| r.item.build.is_some());
        if seconds && builds && item.sets.is_none() {
            return self.window(&item, span);
        }
        let in_sets = on_line
            && self.cur.rows.last().is_some_and(|r| {
                r.item.sets.is_some() && r.item.dose.as_ref().is_some_and(|q| matches!(q.unit, Unit::Bare | Unit::Reps))
            });
        if seconds && in_sets && self.cur.pending.is_empty() && !item.is_named() && c.join == Join::Comma && item.sets.is_none() {
            // `4x6, 65 %, 2 min`: a time behind sets of reps is their rest
            let amount = item.dose.as_ref().map(|q| q.amount.clone());
            self.cur.facts.push(Facts { rest: Some((amount, false, span)), ..Facts::default() });
            self.cur.said.push(span);
            return;
        }
        let counted =
            item.dose.as_ref().is_some_and(|q| matches!(q.unit, Unit::Bare | Unit::Reps) && matches!(q.amount, Amount::One(_)));
        if counted
            && item.load.is_some()
            && item.sets.is_none()
            && self.cur.pending.is_empty()
            && let Some(row) = self.cur.rows.last_mut()
            && row.item.load.is_some()
            && row
                .item
                .dose
                .as_ref()
                .is_some_and(|q| matches!(q.amount, Amount::One(_)) && matches!(q.unit, Unit::Bare | Unit::Reps))
        {
            merge(&mut row.item, &item);
            self.cur.said.push(span);
            return;
        }
        if self.cur.pending.is_empty()
            && on_line
            && let Some(row) = self.cur.rows.last_mut()
            && merge(&mut row.item, &item)
        {
            row.item.to = row.item.to.max(c.to);
            return;
        }
        if !self.cur.pending.is_empty() && (item.is_dosed() || !item.more.is_empty()) {
            let scheme = item.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds) && item.sets.is_none();
            if scheme && self.cur.pending.iter().all(|r| !self.counts_seconds(r)) {
                self.window(&item, span);
                return;
            }
            for row in &mut self.cur.pending {
                merge(&mut row.item, &item);
            }
            self.cur.said.push(span);
            self.release_pending();
            return;
        }
        if !self.cur.pending.is_empty() {
            for row in &mut self.cur.pending {
                merge(&mut row.item, &item);
            }
            self.cur.said.push(span);
            return;
        }
        let own_dose = item.build.is_some() || item.sets.is_some() && item.dose.is_some();
        if self.cur.rows.is_empty()
            && own_dose
            && let Some(mut row) = self.cur.carried.take().filter(|_| c.join == Join::Then || !self.lines_follow(i))
        {
            row.item = Item { movement: row.item.movement, unknown: row.item.unknown, ..item };
            row.line = c.line;
            self.cur.rows.push(row);
            self.cur.said.push(span);
            return;
        }
        let list = item
            .dose
            .as_ref()
            .is_some_and(|q| matches!(q.amount, Amount::Scheme(_)) && matches!(q.unit, Unit::Bare | Unit::Reps) || q.open);
        if self.cur.rows.is_empty()
            && (item.sets.is_some()
                || list
                || item.max.is_some()
                || item.dose.as_ref().is_some_and(|q| q.unit == Unit::Reps || descends(&q.amount)))
        {
            self.keep_scheme(item, span);
            return;
        }
        if item.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds)
            && (self.cur.rows.is_empty() || self.cur.first(|f| f.window.clone()).is_none())
        {
            self.window(&item, span);
            return;
        }
        let attach = self.cur.rows.last().is_some_and(|r| !r.item.is_dosed()) || !item.is_dosed();
        if attach
            && let Some(row) = self.cur.rows.last_mut()
            && merge(&mut row.item, &item)
        {
            self.cur.said.push(span);
            return;
        }
        if !item.is_dosed() && self.cur.rows.is_empty() && !self.cur.is_blank() {
            self.keep_scheme(item, span);
            return;
        }
        if self.doc.typed(span.0, span.1).chars().any(char::is_numeric) && c.said.talk == 0 && !self.cur.is_blank() {
            self.sheet.unread.push(span);
        }
        self.note(span);
    }

    fn counts_seconds(&self, row: &Row) -> bool {
        (row.item.from..row.item.to).any(|t| matches!(self.doc.low(t), "hold" | "plank" | "stretch" | "sit" | "pose" | "hang"))
    }

    fn keep_scheme(&mut self, item: Item, span: Span) {
        self.started = true;
        match &mut self.cur.scheme {
            Some(scheme) => {
                merge(scheme, &item);
            }
            None => self.cur.scheme = Some(item),
        }
        if self.cur.at.is_none() {
            self.cur.at = Some(span);
        } else {
            self.cur.said.push(span);
        }
    }

    /// A time that belongs to no line is the part's length.
    fn window(&mut self, item: &Item, span: Span) {
        if let Some(q) = &item.dose {
            self.started = true;
            self.cur.facts.push(Facts { window: Some((q.amount.clone(), (item.from, item.to))), ..Facts::default() });
            if self.cur.at.is_none() {
                self.cur.at = Some(span);
            } else {
                self.cur.said.push(span);
            }
        }
    }

    fn close(&mut self) {
        self.role = None;
        self.release_pending();
        let done = std::mem::take(&mut self.cur);
        let carried = done.rows.last().cloned();
        if !done.is_blank() {
            self.sheet.parts.push(done);
        } else {
            self.sheet.notes.extend(done.notes.into_iter().chain(done.said).chain(done.score));
        }
        self.cur.carried = carried;
    }
}

fn descends(amount: &Amount) -> bool {
    matches!(amount, Amount::Range(a, b) if a > b)
}

fn is_day(word: &str) -> bool {
    matches!(
        word,
        "mon"
            | "monday"
            | "tue"
            | "tues"
            | "tuesday"
            | "wed"
            | "weds"
            | "wednesday"
            | "thu"
            | "thur"
            | "thurs"
            | "thursday"
            | "fri"
            | "friday"
            | "sat"
            | "saturday"
            | "sun"
            | "sunday"
            | "day"
            | "week"
    )
}

fn starts_lines(items: &[Item]) -> bool {
    items.iter().any(|it| it.is_named() && it.is_dosed())
}

/// Gives `row` what `more` says and the row does not yet say. False where nothing was taken.
fn merge(row: &mut Item, more: &Item) -> bool {
    let mut taken = false;
    macro_rules! take {
        ($($field:ident),*) => { $(if row.$field.is_none() && more.$field.is_some() { row.$field = more.$field.clone(); taken = true; })* };
    }
    take!(max, build, load, bare_load, implements, side, split, tempo, pause, down);
    if row.dose.is_none() && more.dose.is_some() {
        row.dose.clone_from(&more.dose);
        taken = true;
    } else if let Some(q) = &more.dose {
        row.more.push((q.clone(), more.load.clone()));
        taken = true;
    }
    if row.sets.is_none() && more.sets.is_some() {
        row.sets = more.sets;
        taken = true;
    }
    if more.same && !row.same {
        row.same = true;
        taken = true;
    }
    if !more.more.is_empty() {
        row.more.extend(more.more.iter().cloned());
        taken = true;
    }
    taken
}
