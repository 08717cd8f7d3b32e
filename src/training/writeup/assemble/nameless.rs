//! Doses, loads and sides that name no movement: which line, or which part, they speak of.
//!
//! # Design
//! A list of rules in order, of which the first that knows settles it, as for [where a part begins](super::rules): those in
//! [`part`] are about what is said of the part, those in [`line`](self::line) about lines that stand already, those in
//! [`wait`] about what still waits for its name. What no rule knows is a remark, and the coach is told where it holds a number.

mod line;
mod part;
mod wait;

use super::super::super::dose::{Amount, Load};
use super::super::clause::Clause;
use super::super::draft::Row;
use super::super::item::{Facts, Item, Span};
use super::super::quantity::{Quantity, Unit, number};
use super::Assembler;

/// An item without a name, and where it stands.
struct Lone<'c> {
    item: Item,
    clause: &'c Clause,
    /// the clause's place
    i: usize,
    /// its tokens
    span: Span,
    /// behind a row on the same typed line
    on_line: bool,
}

/// Settles what an item speaks of, or leaves it as it is and says `false`.
type Rule = fn(&mut Assembler<'_, '_>, &Lone<'_>) -> bool;

/// In the order in which they are asked.
const RULES: &[Rule] = &[
    part::turns,
    line::calories_in_the_time_left,
    line::most_of_what_nobody_names,
    line::the_next_minute,
    part::time_of_open_rungs,
    part::time_of_each_hold,
    part::sets_of_each,
    part::time_of_each,
    part::time_in_all,
    part::time_to_build_below,
    part::time_of_a_build,
    part::rest_under_sets,
    part::time_left,
    part::time_behind_a_try,
    line::words_nobody_knows,
    line::counted_in_its_window,
    line::easy_between,
    line::columns,
    line::load_of_others,
    part::rest_behind_sets,
    line::more_of_it,
    line::a_weight_and_its_reps,
    line::more_sets_at_a_weight,
    line::load_of_all_beside,
    line::the_row_before,
    wait::the_dose_of_names,
    wait::more_about_names,
    wait::a_strange_name,
    wait::a_name_above,
    part::scheme,
    part::window,
    line::load_of_all_above,
    line::the_last_row,
    part::load_of_all_below,
    line::effort_beside_a_load,
];

impl Assembler<'_, '_> {
    /// Gives an item without a name to what it speaks of.
    pub(super) fn nameless(&mut self, item: Item, i: usize) {
        let clause = &self.clauses[i];
        let item = self.weighed(item, i);
        let item = self.with_own_sets(item, i);
        let item = self.with_the_stick(item, i);
        let item = self.without_its_sets(item);
        let on_line = self.cur.rows.last().is_some_and(|r| r.line == clause.line);
        let lone = Lone { item, clause, i, span: (clause.from, clause.to), on_line };
        if !RULES.iter().any(|settles| settles(self, &lone)) {
            self.remark(&lone);
        }
    }

    /// `80 kg x 5, 85 x 3`: behind a weight and its reps, what no one does in sets is the next weight.
    fn weighed(&self, item: Item, i: usize) -> Item {
        let before = self.cur.rows.last().filter(|r| r.line == self.clauses[i].line && r.item.dose.is_some());
        let values = item.sets.filter(|n| *n >= 20.0 && item.load.is_none() && item.dose.is_some()).map(|n| vec![n]);
        let load = match (before.and_then(|r| r.item.load.as_ref()), values) {
            (Some(Load::Kg { .. }), Some(values)) => Load::Kg { values, range: false },
            (Some(Load::Lb { .. }), Some(values)) => Load::Lb { values, range: false },
            _ => return item,
        };
        Item { sets: None, load: Some(load), ..item }
    }

    /// `4 x 3 with the stick`: what the sets are done with.
    fn with_the_stick(&self, item: Item, i: usize) -> Item {
        let to = self.clauses[i].to;
        let with = |t: usize| matches!(self.doc.low(t), "with" | "w" | "using" | "holding");
        let stick = |t: usize| (t + 1..to.min(t + 4)).any(|k| self.doc.plain[k] == "stick");
        let dosed = item.dose.is_some() && item.load.is_none();
        let told = dosed && (item.from..to).any(|t| with(t) && stick(t));
        if told { Item { load: Some(Load::Stick), ..item } } else { item }
    }

    /// `same weight all 8` below eight sets: which of them, and no count of repetitions.
    fn without_its_sets(&self, item: Item) -> Item {
        let Some(Amount::One(n)) = item.dose.as_ref().filter(|q| q.unit == Unit::Bare).map(|q| q.amount.clone()) else {
            return item;
        };
        let all = |t: usize| self.doc.low(t) == "all" && self.doc.tokens.get(t + 1).and_then(number).is_some_and(|k| k.0 == n);
        let told = item.sets.is_none() && (item.from.saturating_sub(1)..item.to).any(all);
        let windows = self.cur.first(|f| f.every).and_then(|e| e.2);
        let rounds = self.cur.first(|f| f.rounds.clone()).map(|r| r.0.high());
        let sets = self.cur.first(|f| f.sets.or(f.times)).map(|s| s.0).or(self.cur.rows.last().and_then(|r| r.item.sets));
        let often = [windows, rounds, sets].into_iter().flatten().any(|k| (k - n).abs() < 0.01);
        if told && often { Item { dose: None, ..item } } else { item }
    }

    /// What speaks of nothing stays as it was typed; a number in it is asked about.
    fn remark(&mut self, lone: &Lone) {
        let (c, span) = (lone.clause, lone.span);
        let holds = c.said.words.iter().any(|w| matches!(self.doc.low(w.0), "hold" | "holds"));
        if holds && lone.dose().is_some_and(|q| q.unit == Unit::Bare) {
            self.sheet.unitless.push(span);
        } else if self.doc.typed(span.0, span.1).chars().any(char::is_numeric) && c.said.talk == 0 && !self.cur.is_blank() {
            self.sheet.unread.push(span);
        }
        self.note(span);
    }

    /// A time that is the rest between sets or rounds.
    fn rest_is(&mut self, lone: &Lone) -> bool {
        let amount = lone.dose().map(|q| q.amount.clone());
        self.cur.facts.push(Facts { rest: Some((amount, false, lone.span)), ..Facts::default() });
        self.cur.said.push(lone.span);
        true
    }

    /// A time that the part lasts.
    fn lasts(&mut self, lone: &Lone) -> bool {
        self.window(&lone.item, lone.span);
        true
    }

    /// What each of the lines below is done by.
    fn each_below(&mut self, item: Item, span: Span) -> bool {
        self.keep_scheme(item, span);
        true
    }
}

impl Lone<'_> {
    fn dose(&self) -> Option<&Quantity> {
        self.item.dose.as_ref()
    }

    /// A time and no sets of it.
    fn is_time(&self) -> bool {
        is_seconds(&self.item) && self.item.sets.is_none()
    }

    /// A time of four minutes and more.
    fn is_long_time(&self) -> bool {
        self.is_time() && self.dose().is_some_and(|q| q.amount.low() >= 240.0)
    }
}

fn is_seconds(item: &Item) -> bool {
    item.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds)
}

/// It counts reps, said or not.
fn is_reps(item: &Item) -> bool {
    item.dose.as_ref().is_some_and(|q| matches!(q.unit, Unit::Bare | Unit::Reps))
}

/// It counts reps, and one number of them.
fn is_one_count(item: &Item) -> bool {
    is_reps(item) && item.dose.as_ref().is_some_and(|q| matches!(q.amount, Amount::One(_)))
}

/// `4x6`
fn is_sets_of_reps(row: &Row) -> bool {
    row.item.sets.is_some() && is_reps(&row.item)
}
