//! Clauses: the stretches between commas, full stops, brackets and line ends that a coach means as one thing each.

mod apart;

use super::super::dose::{Amount, Side};
use super::element::{Doc, Element, Heading, What};
use super::item::{Facts, Item, Parsed, parse};
use super::quantity::{Quantity, Unit};
use super::token::Kind;
use super::words::is_talk;

/// How a clause hangs on the one before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Join {
    /// a new typed line
    Line,
    /// a full stop or a picture character
    Stop,
    /// a question mark ended the one before
    Question,
    /// a comma
    Comma,
    /// a colon behind a heading
    Colon,
    /// `then`
    Then,
    /// goes on behind a bracket
    Bracket,
}

/// What stands before the content of a typed line.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lead {
    /// `A1`
    pub label: Option<String>,
    /// a bullet or a list number
    pub bullet: bool,
    /// its number
    pub number: Option<f64>,
    /// station of an EMOM
    pub minute: Option<u32>,
    /// every station that it is, where it is several
    pub more: Vec<u32>,
}

/// One clause with what it says.
#[derive(Clone, Debug)]
pub struct Clause {
    /// what stands before its content
    pub lead: Lead,
    /// how it hangs on the one before
    pub join: Join,
    /// inside brackets
    pub inside: bool,
    /// an empty line stands before it
    pub blank: bool,
    /// begins a sentence
    pub sentence: bool,
    /// ended by a question mark
    pub question: bool,
    /// ended by a colon
    pub colon: bool,
    /// first token, label and bullet included
    pub from: usize,
    /// token after the last
    pub to: usize,
    /// typed line, from 1
    pub line: usize,
    /// what it says
    pub said: Parsed,
}

/// Cuts the elements of a text into clauses and reads each.
#[must_use]
pub fn clauses(doc: &Doc, elements: &[Element]) -> Vec<Clause> {
    let mut cutter = Cutter {
        doc,
        elements,
        out: Vec::new(),
        start: 0,
        join: Join::Line,
        depth: 0,
        blank: true,
        fresh: true,
        sentence: true,
        inner: false,
        then: None,
    };
    for i in 0..elements.len() {
        cutter.step(i);
    }
    cutter.flush(elements.len(), Join::Line);
    let mut out = cutter.out;
    times_of_all(&mut out);
    count_of_its_line(doc, &mut out);
    out
}

/// `reverse lunges, alternating, x12`: behind a name that has no number yet, the one behind the sign counts it.
fn count_of_its_line(doc: &Doc, clauses: &mut [Clause]) {
    let marks = |it: &Item| !it.is_named() && !it.is_dosed();
    // `slow`, `alternating`, `22.5 kg`
    let more =
        |c: &Clause| c.join == Join::Comma && c.said.facts.is_empty() && c.said.talk == 0 && c.said.items.iter().all(marks);
    let listed = |it: &Item| it.dose.as_ref().is_some_and(|q| matches!(q.amount, Amount::Scheme(_)));
    let waits =
        |c: &Clause| matches!(&c.said.items[..], [only] if only.is_named() && !only.is_dosed() && only.complex.is_empty());
    for k in 1..clauses.len() {
        let c = &clauses[k];
        let only = c.said.items.is_empty()
            && c.said.words.is_empty()
            && c.join == Join::Comma
            && !c.inside
            && Facts { times: None, ..c.said.facts.clone() }.is_empty();
        let bare = |(_, at): &(f64, (usize, usize))| doc.tokens[at.1 - 1].kind == Kind::Number;
        let Some((n, at)) = c.said.facts.times.filter(bare).filter(|_| only) else { continue };
        let mut before = clauses[..k].iter().rev().take_while(|b| b.line == c.line && !b.inside);
        let name = before.find(|b| !more(b));
        // `2-4-6 deadlifts, push-ups, x 3`
        let list = before.any(|b| b.said.items.iter().any(listed));
        if !list && name.is_some_and(|b| waits(b) && b.said.facts.is_empty() && !b.colon) {
            let said = &mut clauses[k].said;
            said.facts.times = None;
            let dose = Some(Quantity::bare(Amount::One(n)));
            said.items.push(Item { dose, from: at.0, to: at.1, ..Item::default() });
        }
    }
}

/// `8 rows each side, 10 push-ups x 4`: behind the last of several names with a count each, `x 4` speaks of all of them.
fn times_of_all(clauses: &mut [Clause]) {
    let counted = |it: &Item| {
        it.is_named() && it.dose.as_ref().is_some_and(|q| q.unit != Unit::Seconds && matches!(q.amount, Amount::One(_)))
    };
    let lists = |c: &Clause| !c.inside && c.said.facts.is_empty() && !c.said.items.is_empty() && c.said.items.iter().all(counted);
    // how many plain entries the list has so far
    let mut before = 0;
    for k in 0..clauses.len() {
        let goes_on = clauses.get(k + 1).is_some_and(|n| n.line == clauses[k].line && n.join == Join::Comma && lists(n));
        let c = &mut clauses[k];
        if c.inside {
            // `10 lunges (5/leg), 10 push-ups x 3`
            continue;
        }
        before = if matches!(c.join, Join::Comma | Join::Bracket) { before } else { 0 };
        let plain = lists(c) && c.said.items.iter().all(|it| it.sets.is_none());
        if let ([only], false, true) = (&mut c.said.items[..], goes_on, before > 0 && !c.inside && c.said.facts.is_empty())
            && only.sets_behind
            && counted(only)
            && let Some(n) = only.sets.take()
        {
            c.said.facts.times = Some((n, (only.from, only.to)));
        }
        before = if plain { before + 1 } else { 0 };
    }
}

struct Cutter<'a, 't> {
    doc: &'a Doc<'t>,
    elements: &'a [Element],
    out: Vec<Clause>,
    start: usize,
    join: Join,
    depth: usize,
    blank: bool,
    /// nothing has been said on this typed line yet
    fresh: bool,
    /// a sentence begins
    sentence: bool,
    /// inside brackets that do not cut
    inner: bool,
    /// the `then` before a comma or colon that the next clause of the line begins with
    then: Option<usize>,
}

impl Cutter<'_, '_> {
    fn step(&mut self, i: usize) {
        let e = &self.elements[i];
        match &e.what {
            What::Newline => {
                let empty = self.fresh && self.start == i;
                // `Then:` alone on its line
                let then = self.join == Join::Then && self.start == i && i > 0 && self.elements[i - 1].what == What::Colon;
                if self.only_then(i) {
                    self.start = i;
                }
                let then = then || self.start == i && i > 0 && self.elements[i - 1].what == What::Then;
                self.flush(i, if then { Join::Then } else { Join::Line });
                self.then = None;
                self.sentence = true;
                self.blank |= empty;
                self.fresh = true;
                self.depth = 0;
            }
            What::Open if self.transparent(i) => {}
            What::Close if self.inner => self.inner = false,
            What::Open => {
                self.flush(i, Join::Comma);
                self.depth += 1;
            }
            What::Close if self.depth > 0 => {
                self.flush(i, Join::Bracket);
                self.depth -= 1;
            }
            // `then last thing, max hang`
            What::Comma | What::Colon if self.only_then(i) => {
                self.then = self.then.or(Some(self.start));
                (self.start, self.join) = (i + 1, Join::Then);
            }
            What::Comma => self.flush(i, Join::Comma),
            What::Dash if self.depth == 0 && self.remark(i) => self.flush(i, Join::Comma),
            What::Stop => {
                let question = self.doc.tokens[e.from].text == "?";
                self.flush(i, if question { Join::Question } else { Join::Stop });
            }
            What::Dose(q) if self.rounds_behind_and(i, q) => self.flush_before(i, Join::Then),
            What::Score if self.tells_to_write_down(i) => self.flush_before(i, Join::Stop),
            What::Score if self.start < i && matches!(self.elements[i - 1].what, What::Dash | What::Slash) => {
                self.flush_before(i, Join::Stop)
            }
            What::Word | What::SetsOf(..) | What::SetsOfMax(_) if self.leaves_off(i) => self.flush_before(i, Join::Stop),
            What::Load(..) | What::BareLoad(_) if self.next_weight(i) => self.flush_before(i, Join::Comma),
            What::Then if self.named_to_finish(i) => self.join = Join::Then,
            What::Then if self.start < i && !self.only_then(i) && !self.only_signs(i) => self.flush_before(i, Join::Then),
            What::Then => {
                self.start = i;
                if self.join != Join::Line {
                    self.join = Join::Then;
                }
            }
            What::Colon if self.is_heading(i) => {
                self.flush(i, Join::Colon);
                if let Some(last) = self.out.last_mut() {
                    last.colon = true;
                }
            }
            // `A1) ... A2) ...` in one line of chat
            What::Label(_) | What::Minute(_) | What::Minutes(_) | What::Bullet(Some(_)) if self.start < i && !self.is_lead(i) => {
                self.flush_before(i, Join::Stop)
            }
            _ => {}
        }
    }

    /// `pull-ups -- jumping pull-ups are fine`: behind this dash a remark stands, no dose.
    fn remark(&self, i: usize) -> bool {
        let named = self.elements[self.start.min(i)..i].iter().any(|e| matches!(e.what, What::Movement(_)));
        let rest = self.elements[i + 1..].iter().take_while(|e| !matches!(e.what, What::Newline | What::Stop));
        let mut talk = 0;
        for e in rest {
            match &e.what {
                What::Word => talk += usize::from(is_talk(self.doc.low(e.from))),
                What::Movement(_)
                | What::Comma
                | What::Dash
                | What::Open
                | What::Close
                | What::Colon
                | What::Or
                | What::Instead => {}
                _ => return false,
            }
        }
        named && talk > 0
    }

    /// `12 (6/6) split squats`: brackets between a number and its name only say more of the number.
    fn transparent(&mut self, i: usize) -> bool {
        let counts = |e: &Element| matches!(&e.what, What::Dose(q) if matches!(q.unit, Unit::Bare | Unit::Reps));
        let open = self.elements[self.start..i].last().is_some_and(counts)
            && !self.elements[self.start..i].iter().any(|e| matches!(e.what, What::Movement(_)));
        let inside = |e: &Element| counts(e) || matches!(e.what, What::Side(_) | What::Split(..) | What::Slash | What::Plus);
        let n = self.elements[i + 1..].iter().take(5).take_while(|e| inside(e)).count();
        let behind = [1, 2].map(|k| self.elements.get(i + n + k).map(|e| &e.what));
        self.inner = open && n > 0 && matches!(behind, [Some(What::Close), Some(What::Movement(_))]);
        self.inner
    }

    fn only_then(&self, i: usize) -> bool {
        let before = &self.elements[self.start.min(i)..i];
        let then = |e: &Element| e.what == What::Then;
        before.iter().any(then) && before.iter().all(|e| then(e) || e.what == What::Bullet(None))
    }

    /// `--- then 3 rounds`: nothing but a drawn line stands before `i`.
    fn only_signs(&self, i: usize) -> bool {
        self.elements[self.start..i].iter().all(|e| e.what == What::Bullet(None))
    }

    /// Only bullets and labels stand before `i` in this clause.
    fn is_lead(&self, i: usize) -> bool {
        self.elements[self.start..i]
            .iter()
            .all(|e| matches!(e.what, What::Bullet(_) | What::Label(_) | What::Then | What::Minute(_) | What::Minutes(_)))
    }

    /// The clause before this colon is a heading, and something follows it.
    fn is_heading(&self, i: usize) -> bool {
        let before = &self.elements[self.start..i];
        let shapes = before.iter().any(|e| shapes_a_part(&e.what));
        let item = before.iter().any(|e| matches!(e.what, What::Movement(_)));
        let prefix = before.iter().any(|e| matches!(e.what, What::Score | What::Aim | What::Note | What::Option | What::Instead));
        let ends_line = self.elements.get(i + 1).is_none_or(|n| matches!(n.what, What::Newline));
        let named =
            before.iter().any(|e| matches!(e.what, What::Heading(_))) && before.iter().any(|e| matches!(e.what, What::Dose(_)));
        if item && !prefix && !shapes && (self.leads_to_sets(i) || self.names_complex(i)) {
            return true;
        }
        // `Swing test: as many swings as you can`
        let test = match before {
            [name, word] => matches!(name.what, What::Movement(_)) && word.what == What::Heading(Heading::Test),
            _ => false,
        };
        if test && !ends_line {
            return true;
        }
        !prefix
            && (shapes
                || ends_line
                || before
                    .iter()
                    .all(|e| matches!(e.what, What::Word | What::Then | What::Heading(_) | What::Side(Side::Alternating))))
            && (!item || named)
    }

    /// `Press complex with an empty bar: 5 strict press, 5 push press`
    fn names_complex(&self, i: usize) -> bool {
        let before = &self.elements[self.start..i];
        let says = |e: &Element| e.what == What::Word && matches!(self.doc.low(e.from), "complex" | "combo");
        let dosed = |e: &Element| matches!(e.what, What::Dose(_) | What::SetsOf(..));
        let behind = || self.elements[i + 1..].iter().take(40).take_while(|e| e.what != What::Newline);
        let list = || behind().filter(|e| dosed(e)).count() > 1 && !behind().any(|e| e.what == What::Plus);
        before.len() < 12 && before.iter().any(says) && !before.iter().any(dosed) && list()
    }

    /// `Then we will squat: four sets of five back squats`: words that only say what comes, and then the line itself.
    fn leads_to_sets(&self, i: usize) -> bool {
        let talk = self.elements[self.start..i].iter().filter(|e| e.what == What::Word && is_talk(self.doc.low(e.from))).count();
        let behind = &self.elements[i + 1..];
        let sets = behind.first().is_some_and(|e| matches!(e.what, What::SetsOf(..)));
        let named = behind.iter().take_while(|e| !matches!(e.what, What::Comma | What::Stop | What::Newline));
        talk > 1 && sets && named.into_iter().any(|e| matches!(e.what, What::Movement(_)))
    }

    fn flush(&mut self, i: usize, next: Join) {
        self.cut(i);
        self.sentence |= matches!(next, Join::Line | Join::Stop | Join::Question);
        self.start = i + 1;
        self.join = next;
    }

    fn flush_before(&mut self, i: usize, next: Join) {
        self.cut(i);
        self.sentence |= next == Join::Stop;
        self.start = i;
        self.join = next;
    }

    fn cut(&mut self, end: usize) {
        let mut span = &self.elements[self.start.min(end)..end];
        let Some(first) = span.first() else { return };
        // `Then, EMOM 10`: the word belongs to what it leads to
        let from = self.then.take().map_or(first.from, |k| self.elements[k].from);
        let mut lead = Lead::default();
        let mut join = self.join;
        while let Some(e) = span.first() {
            match &e.what {
                What::Bullet(n) => (lead.bullet, lead.number) = (true, n.or(lead.number)),
                What::Label(l) => lead.label = Some(l.clone()),
                What::Minute(m) => lead.minute = Some(*m),
                What::Minutes(all) => (lead.minute, lead.more) = (all.first().copied(), all.clone()),
                What::Then if join != Join::Line || self.fresh => join = Join::Then,
                What::Dash => {}
                _ => break,
            }
            span = &span[1..];
        }
        let to = self.elements[end - 1].to;
        let question = self.elements.get(end).is_some_and(|e| self.doc.low(e.from) == "?");
        self.out.push(Clause {
            lead,
            join: if self.fresh && join != Join::Then { Join::Line } else { join },
            inside: self.depth > 0,
            blank: self.blank,
            sentence: std::mem::take(&mut self.sentence),
            question,
            colon: false,
            from,
            to,
            line: self.doc.tokens[from].line,
            said: parse(self.doc, span),
        });
        self.fresh = false;
        self.blank = false;
    }
}

/// It can stand in a heading and says how a part runs.
fn shapes_a_part(what: &What) -> bool {
    matches!(
        what,
        What::Amrap(_)
            | What::Every { .. }
            | What::OnOff(..)
            | What::Windows(..)
            | What::Work(_)
            | What::ForTime
            | What::NotForTime
            | What::Growing
            | What::Ladder
            | What::Intervals
            | What::Cap(..)
            | What::Heading(_)
            | What::Role(_)
            | What::Stations(_)
            | What::Times(_)
            | What::Rest(..)
            | What::Build(_)
            | What::Max(_)
            | What::Dose(_)
            | What::SetsOf(..)
    )
}
