//! What may stand in for a line: swaps that are named beside it, and sentences that say who does something else.

use super::super::super::movement::Implement;
use super::super::clause::{Clause, Join};
use super::super::draft::{Other, Row};
use super::super::element::{Name, What};
use super::super::item::{Item, Span};
use super::{Assembler, starts_lines};

impl Assembler<'_, '_> {
    /// `backpack people = ground to shoulder`, `beginners: ring rows`: what some of the readers do in place of the line before.
    fn for_some(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let at = c.said.words.iter().find(|w| {
            matches!(
                self.doc.low(w.0),
                "people"
                    | "folks"
                    | "ppl"
                    | "users"
                    | "owners"
                    | "beginners"
                    | "newbies"
                    | "anyone"
                    | "those"
                    | "newcomers"
                    | "neighbours"
                    | "neighbors"
                    | "sleepers"
                    | "flats"
                    | "downstairs"
                    | "upstairs"
            )
        });
        let beside = self.clauses.get(i + 1).filter(|n| n.line == c.line && n.join == Join::Colon && c.said.items.is_empty());
        let items = || c.said.items.iter().chain(beside.iter().flat_map(|n| &n.said.items));
        let named = items().any(|it| it.movement.is_some());
        if beside.is_some() {
            return named && at.is_some() && c.said.facts.is_empty() && self.cur.rows.last().is_some();
        }
        let sign = at.is_some_and(|w| {
            (w.0..c.to).any(|t| matches!(self.doc.low(t), "=" | ":" | "do" | "use" | "take" | "go" | "can" | "swap" | "->"))
        });
        named
            && sign
            && c.said.facts.is_empty()
            && at.is_some_and(|w| c.said.items.iter().all(|it| it.from >= w.0 || !it.is_dosed()))
    }

    /// `step-ups are fine`, `jumping pull-ups ok`: what is named may stand in for the line before.
    pub(super) fn allows(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let fine = (c.from..c.to)
            .any(|t| matches!(self.doc.low(t), "fine" | "ok" | "okay" | "allowed" | "welcome" | "works" | "acceptable" | "good"))
            && !(c.from..c.to).any(|t| matches!(self.doc.low(t), "not" | "no" | "never" | "only" | "form"));
        let named = !c.said.items.is_empty() && c.said.items.iter().all(|it| it.movement.is_some() && !it.is_dosed());
        fine && named && c.said.facts.is_empty()
    }

    /// Swaps for the last line, each with its own dose or the line's.
    pub(super) fn swap(&mut self, items: Vec<Item>, span: Span) {
        let items: Vec<Item> = items.into_iter().map(|it| self.dosed_as_before(it)).collect();
        if self.cur.rows.last().is_some_and(|r| r.line != self.doc.tokens[span.0].line) {
            // brackets on a line of their own
            let at = self.relative(&items);
            if let Some(row) = self.cur.rows.get_mut(at) {
                row.alternatives.extend(items);
                row.notes.push(span);
            }
        } else if let Some(row) = self.cur.rows.last_mut() {
            row.item.to = items.iter().map(|it| it.to).fold(row.item.to, usize::max);
            row.alternatives.extend(items);
        }
    }

    /// A typed line or sentence that only says what may stand in for something above.
    pub(super) fn replacement(&mut self, i: usize, line_end: usize) -> Option<usize> {
        let c = &self.clauses[i];
        if self.cur.rows.is_empty() {
            return None;
        }
        let lead_word = self.doc.low(c.said.from);
        let asks = c.question && c.said.facts.is_empty() && !starts_lines(&c.said.items);
        let lead = self.allows(i)
            || self.for_some(i)
            || matches!(c.said.prefix, Some(What::Or | What::Instead))
            || matches!(lead_word, "no" | "if" | "quiet" | "sore" | "neighbours" | "can't" | "cant");
        if lead_word == "if" && self.comes_then(i) && self.clauses.get(i + 1).is_some_and(|n| n.join == Join::Colon) {
            // `And afterwards, if you feel like it: 5 x 30 s handstand hold`
            return None;
        }
        if !lead && (!asks || c.join == Join::Bracket) {
            return None;
        }
        let end = (i + 1..line_end).find(|&k| self.clauses[k].join == Join::Then).unwrap_or(line_end);
        let other_case = |k: &usize| {
            self.clauses[*k].join == Join::Stop
                && matches!(self.doc.low(self.clauses[*k].said.from), "no" | "if" | "can't" | "cant")
        };
        let end = (i + 1..end).find(other_case).unwrap_or(end);
        let end = if asks || !matches!(c.join, Join::Line) { end.min(self.next_sentence(i, end, asks)) } else { end };
        let group = &self.clauses[i..end];
        let items = self.with_their_tempo(group);
        let (replaced, items): (Vec<Item>, Vec<Item>) = items.into_iter().partition(|it| self.is_replaced(it));
        let instead = group.iter().any(|c| c.said.replaces);
        if items.is_empty() {
            let told = lead && !matches!(c.said.prefix, Some(What::Or)) && c.said.talk > 0;
            return told.then(|| self.note_to(i, self.before_a_score(i, end)));
        }
        let same_line = self.cur.rows.last().is_some_and(|r| r.line == c.line);
        if let Some(at) = self.row_done_with(i).filter(|_| !same_line) {
            // `No box: 12 reverse lunges`
            let span = self.span(i, end);
            self.swap_above(at, &items, span);
            self.cur.rows[at].alternatives.extend(items);
            self.cur.rows[at].notes.push(span);
        } else if let Some(part) = self.part_done_with(i) {
            // `then stretch, no rope just jog on the spot`: of the skipping that stands further up
            let span = self.span(i, end);
            if let Some(row) = self.sheet.parts[part.0].rows.get_mut(part.1) {
                row.alternatives.extend(items);
                row.notes.push(span);
            }
        } else if asks || instead && !same_line {
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
            let (gone, items) = self.without(lead_word, items);
            let gone = gone.or_else(|| replaced.first().and_then(|it| self.row_called(it)));
            let at = gone.unwrap_or_else(|| self.relative(&items));
            if matches!(lead_word, "no" | "if") {
                self.swap_above(at, &items, span);
            }
            if let Some(row) = self.cur.rows.get_mut(at) {
                row.alternatives.extend(items);
                row.notes.push(span);
            }
        }
        Some(end - i)
    }

    /// What is named in these clauses; `slow 3 s down` behind a name is how that one is done.
    fn with_their_tempo(&self, group: &[Clause]) -> Vec<Item> {
        let mut named: Vec<Item> = Vec::new();
        for item in group.iter().flat_map(|c| &c.said.items) {
            match named.last_mut() {
                _ if item.movement.is_some() => named.push(item.clone()),
                Some(last) if !item.is_named() && !item.is_dosed() => {
                    last.tempo = last.tempo.take().or_else(|| item.tempo.clone());
                    (last.pause, last.down) = (last.pause.or(item.pause), last.down.or(item.down));
                }
                _ => {}
            }
        }
        named
    }

    /// `10 burpees instead of the clean and jerk`: it is what is left out.
    fn is_replaced(&self, item: &Item) -> bool {
        let small = |t: usize| matches!(self.doc.low(t), "the" | "those" | "these" | "your" | "all");
        let at = item.from - usize::from(item.from > 0 && small(item.from - 1));
        let says = |n: usize, words: &str| at >= n && self.doc.says(at - n, words) == Some(n);
        !item.is_dosed() && (says(2, "instead of") || says(3, "in place of") || says(2, "rather than"))
    }

    /// `5x3`, `then back off 2x8`, `no bar: goblet squats`: what stands in for the lift stands in for it in both.
    fn swap_above(&mut self, at: usize, items: &[Item], span: Span) {
        let alone = self.cur.rows.len() == 1 && items.iter().all(|it| it.dose.is_none());
        let name = self.cur.rows[at].item.movement.filter(|_| alone);
        for row in self.same_lift_above(name) {
            row.alternatives.extend(items.iter().cloned());
            row.notes.push(span);
        }
    }

    /// `No rower: 12 burpees`: the line that is meant by its name, and the swaps without that name.
    fn without(&self, lead: &str, items: Vec<Item>) -> (Option<usize>, Vec<Item>) {
        let gone = match (lead, &items[..]) {
            ("no" | "if" | "can't" | "cant", [first, _, ..]) if !first.is_dosed() => self.row_named(first.movement),
            _ => None,
        };
        let skip = usize::from(gone.is_some());
        (gone, items.into_iter().skip(skip).collect())
    }

    /// `No bell?`: the one line of this part that is done with what is missing.
    fn row_done_with(&self, i: usize) -> Option<usize> {
        let tool = self.missing_tool(i)?;
        let sets = |r: &Row| match r.item.movement {
            Some(Name::Known(m)) => &self.library.all()[m].equipment[..],
            _ => &[],
        };
        let one = |uses: &dyn Fn(&Row) -> bool| {
            let mut found = self.cur.rows.iter().enumerate().filter(|(_, r)| uses(r)).map(|(at, _)| at);
            found.next().filter(|_| found.next().is_none())
        };
        one(&|r| sets(r).first().is_some_and(|set| set.contains(&tool)))
            .or_else(|| one(&|r| sets(r).iter().any(|set| set.contains(&tool))))
    }

    /// `no rope: jog on the spot`: the one line of an earlier part that is done with what is missing, where none of this part is.
    fn part_done_with(&self, i: usize) -> Option<(usize, usize)> {
        let tool = self.missing_tool(i)?;
        let uses = |r: &Row| matches!(r.item.movement, Some(Name::Known(m)) if self.library.all()[m].equipment.iter().flatten().any(|e| *e == tool));
        let here = self.cur.rows.iter().any(uses);
        let parts = self.sheet.parts.iter().enumerate();
        let mut found = parts.flat_map(|(p, d)| d.rows.iter().enumerate().filter(|(_, r)| uses(r)).map(move |(k, _)| (p, k)));
        found.next().filter(|_| !here && found.next().is_none())
    }

    /// `No bell?`: what is missing.
    fn missing_tool(&self, i: usize) -> Option<Implement> {
        let c = &self.clauses[i];
        let none = matches!(self.doc.low(c.said.from), "no" | "if" | "without");
        (c.said.from..c.to).take(6).find_map(|t| implement(&self.doc.plain[t])).filter(|_| none)
    }

    /// The last line of this part with that name; a `row` that no one has settled yet is any machine's row.
    fn row_named(&self, name: Option<Name>) -> Option<usize> {
        let same = |r: &Row| r.item.movement == name || r.item.choices.iter().any(|(n, _)| Some(*n) == name);
        let rows = &self.cur.rows;
        rows.iter().rposition(same).or_else(|| rows.iter().rposition(|r| r.item.movement == Some(Name::Row)))
    }

    /// `instead of the deadlifts` above `10 dumbbell deadlifts`: the last line with that name, or whose longer name holds it.
    fn row_called(&self, item: &Item) -> Option<usize> {
        let words = |it: &Item| (it.from..it.to).map(|t| self.doc.plain[t].as_str()).collect::<Vec<_>>();
        let said = words(item);
        let holds = |r: &Row| r.item.movement.is_some() && said.iter().all(|w| words(&r.item).contains(w));
        self.row_named(item.movement).or_else(|| self.cur.rows.iter().rposition(holds).filter(|_| !said.is_empty()))
    }

    /// `no running please`: what is not done at all, and nothing that could stand in for it.
    pub(super) fn forbids(&mut self, i: usize) -> Option<usize> {
        let c = &self.clauses[i];
        let end = self.sentence_end(i);
        let bare =
            matches!(&c.said.items[..], [only] if only.movement.is_some() && !only.is_dosed() && only.from == c.said.from + 1);
        let alone = self.clauses[i + 1..end].iter().all(|n| n.said.items.is_empty() && n.said.facts.is_empty());
        let no = self.doc.low(c.said.from) == "no" && !c.question && !c.colon && !c.inside && c.said.facts.is_empty();
        (no && bare && alone && !self.cur.rows.is_empty()).then(|| self.note_to(i, end))
    }

    /// The end of the sentence behind a question, or of this sentence.
    pub(super) fn next_sentence(&self, i: usize, end: usize, asks: bool) -> usize {
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

    pub(super) fn replaced_lines(&self, i: usize, end: usize) -> Option<usize> {
        let words: Vec<&str> = (self.clauses[i].from..self.clauses[end - 1].to).map(|t| self.doc.low(t)).collect();
        let at = words.windows(2).position(|w| w[0] == "the" && w[1] == "first")?;
        Some(match words.get(at + 2) {
            Some(&"two" | &"2") => 2,
            Some(&"three" | &"3") => 3,
            _ => 1,
        })
    }

    /// The line of this part that a swap is for: the one whose name the swap's name holds, else the last.
    pub(super) fn relative(&self, items: &[Item]) -> usize {
        let words = |it: &Item| -> Vec<String> { (it.from..it.to).map(|t| self.doc.plain[t].clone()).collect() };
        let swap: Vec<String> = items.iter().flat_map(&words).collect();
        // behind the lines of one typed line it is for one of those
        let line = items.first().map_or(0, |it| self.doc.tokens[it.from].line);
        let beside = self.cur.rows.last().is_some_and(|r| r.line == line);
        let found = self.cur.rows.iter().position(|r| {
            let own: Vec<String> = words(&r.item);
            let alike = own.iter().any(|w| w.len() > 3 && !matches!(w.as_str(), "with" | "each" | "side") && swap.contains(w));
            alike && (!beside || r.line == line)
        });
        found.unwrap_or(self.cur.rows.len().saturating_sub(1))
    }
}

/// What a word for a tool stands for.
fn implement(word: &str) -> Option<Implement> {
    Some(match word {
        "kettlebell" | "bell" => Implement::Kettlebell,
        "dumbbell" => Implement::Dumbbell,
        "barbell" => Implement::Barbell,
        "pullup" | "pull-up" => Implement::PullupBar,
        "box" | "step" | "chair" => Implement::RaisedSurface,
        "rope" => Implement::Rope,
        "ball" => Implement::MedBall,
        "rings" | "ring" => Implement::Rings,
        "band" => Implement::Band,
        _ => return None,
    })
}
