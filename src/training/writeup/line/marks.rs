//! Side and load of a line.

use super::super::super::dose::{Amount, Load, Side};
use super::super::super::movement::{Movement, Sided};
use super::super::super::session::Line;
use super::super::super::session::{ProblemKind, Severity};
use super::super::doses::EACH_HAND;
use super::super::item::{Item, Span};
use super::super::quantity::Unit;
use super::super::words::plain;
use super::{Around, Reader};

impl Reader<'_, '_> {
    pub(super) fn side(&mut self, item: &Item, line: &mut Line) {
        line.side = item.side;
        // `1+1` of a complex, or of a lift that is one: one of each, not one on each side
        let one_of_each =
            !item.complex.is_empty() || line.movement.contains(" and ") && self.library.find(&line.movement).is_some();
        let sided = |m: &Movement| m.sided != Sided::Bilateral;
        let both = self.library.find(&line.movement).is_some_and(|m| m.sided == Sided::Bilateral);
        if line.side == Some(Side::PerSide) && both && self.only_each(item) {
            // `500 m row, 3 min each`: each of what stands around
            line.side = None;
        }
        if line.side == Some(Side::Total) && item.max.is_some() && line.reps.is_none() && line.seconds.is_none() {
            // `3 sets of max reps. Total reps goes on the sheet`: of the score, not of sides
            line.side = None;
        }
        if line.side == Some(Side::Total) && line.seconds.is_some() && !self.library.find(&line.movement).is_some_and(sided) {
            // `deep squat hold, 2 min in total`: nothing about sides
            line.side = None;
        }
        if let ([(half, _)], Some(Side::PerSide), Some(whole)) = (&item.more[..], item.side, &item.dose)
            && half.unit == whole.unit
            && (half.amount.high() * 2.0 - whole.amount.high()).abs() < 0.01
        {
            // `40 m carry, 20 m each hand`: the first number is the whole
            line.side = Some(Side::Total);
            return;
        }
        let halves = item
            .more
            .iter()
            .find(|(q, _)| q.halves && q.unit == Unit::Bare && item.complex.is_empty())
            .and_then(|(q, _)| if let Amount::One(n) = q.amount { Some((n, n)) } else { None });
        if let Some((a, b)) = item.split.or(halves) {
            match line.reps.as_ref().or(line.seconds.as_ref()) {
                None if (a - b).abs() < f64::EPSILON => (line.reps, line.side) = (Some(Amount::One(a)), Some(Side::PerSide)),
                None => (line.reps, line.side) = (Some(Amount::One(a + b)), Some(Side::Total)),
                Some(Amount::One(n)) if (n - a - b).abs() < f64::EPSILON => line.side = Some(Side::Total),
                Some(Amount::One(n)) if (n - a).abs() < f64::EPSILON => line.side = Some(Side::PerSide),
                Some(n) => {
                    let text = format!("{n} in all, but {a} and {b} on the two sides make {}.", a + b);
                    self.problem(
                        ProblemKind::Contradiction,
                        Severity::Error,
                        (item.from, item.to),
                        text,
                        vec![format!("{}", a + b)],
                    );
                    (line.reps, line.side) = (None, None);
                }
            }
        } else if item.dose.as_ref().is_some_and(|q| q.halves && !(one_of_each && q.sum.len() == 2)) && line.side.is_none() {
            line.side = Some(Side::PerSide);
        }
    }

    /// `each` stands in this line, and nothing that names a side.
    fn only_each(&self, item: &Item) -> bool {
        let side = |t: usize| {
            let word = self.doc.low(t);
            let noun = ["side", "leg", "arm", "way", "hand", "direction", "foot", "knee", "hip", "shoulder", "limb"];
            noun.iter().any(|n| word.strip_suffix('s').unwrap_or(word) == *n)
                || matches!(word, "left" | "right" | "l" | "r")
                || word == "s" && self.doc.low(t.saturating_sub(1)) == "/"
        };
        let words = || item.from..item.to.min(item.from + 60);
        words().any(|t| self.doc.low(t) == "each") && !words().chain([item.to]).any(side)
    }

    /// `box jumps 60/50`, `step-ups (24/20)` onto a box: a pair that tells how high the box is, not how heavy anything.
    pub(super) fn height(&self, item: &Item, line: &Line) -> Option<Span> {
        let at = item.bare_at.filter(|_| item.load.is_none())?;
        let values: Vec<f64> = (at.0..at.1).filter_map(|t| self.doc.tokens[t].number()).collect();
        let jumps = line.movement.contains("box jump");
        let boxed = line.movement.contains("step-up") && (item.from..item.to).any(|t| self.doc.plain[t] == "box");
        let high = |n: &f64| (16.0..=36.0).contains(n) && (jumps || boxed) || (40.0..=100.0).contains(n);
        let onto = jumps || boxed || line.movement.contains("step-up") && values.len() > 1;
        (onto && !values.is_empty() && values.iter().all(high)).then_some(at)
    }

    /// The load of each hand was told of a movement that is done with one.
    fn one_hand_at_a_time(&self, item: &Item, line: &Line) -> bool {
        let hand = |t: usize| self.doc.says_any(t, EACH_HAND).is_some();
        let one = self.library.find(&line.movement).is_some_and(|m| m.sided == Sided::Unilateral);
        item.implements == Some(2) && one && line.movement.contains("single-arm") && (item.from..item.to).any(hand)
    }

    pub(super) fn load(&mut self, item: &Item, around: &Around, before: Option<&Line>, line: &mut Line) {
        line.load.clone_from(&item.load);
        line.implements = item.implements;
        if self.one_hand_at_a_time(item, line) {
            // `10 single-arm rows, 15 kg each hand`
            (line.implements, line.side) = (None, line.side.or(Some(Side::PerSide)));
        }
        if let (Some(Load::Percent { of, .. }), Some(n)) = (&mut line.load, around.built)
            && is_built(of)
        {
            of.clear();
            of.push_str(&heavy(n));
        }
        if item.same
            && let Some(before) = before
        {
            line.load = line.load.take().or_else(|| before.load.clone());
            line.implements = line.implements.or(before.implements);
        }
        let listed = item.more.len() > 1
            && item.more.iter().all(|(q, l)| l.is_some() && matches!(q.amount, Amount::One(_)))
            && item.dose.as_ref().is_some_and(|q| matches!(q.amount, Amount::Scheme(_)));
        let loads: Vec<&Load> =
            item.load.iter().filter(|_| !listed).chain(item.more.iter().filter_map(|(_, l)| l.as_ref())).collect();
        if loads.len() > 2 || loads.len() == 2 && item.more.len() == 1 {
            line.load = Load::per_set(&loads).or(line.load.take());
        }
        if let Some(n) = item.bare_load.filter(|_| line.load.is_none() && self.height(item, line).is_none()) {
            let span = item.bare_at.unwrap_or((item.from, item.to));
            // a mend adds the unit and leaves what was typed: `24/16` is two loads
            let typed = if item.bare_at.is_some() { self.doc.typed(span.0, span.1).to_owned() } else { n.to_string() };
            let several = typed.contains('/') || typed.contains('x') || typed.ends_with('s');
            let suggest = [" kg", " lb", "%"].iter().filter(|u| !several || **u != "%").map(|u| format!("{typed}{u}")).collect();
            let ask = if several { "kilograms or pounds" } else { "kilograms, pounds or percent" };
            self.problem(ProblemKind::MissingUnit, Severity::Error, span, format!("{typed} has no unit: {ask}?"), suggest);
        }
        if line.load.is_none()
            && ((item.from..item.to)
                .any(|t| matches!(self.doc.low(t), "with" | "w") && (t..item.to).any(|k| plain(self.doc.low(k)) == "stick"))
                || item.tail.first().is_some_and(|t| plain(self.doc.low(t.0)) == "stick"))
        {
            line.load = Some(Load::Stick);
        }
    }
}

/// `that`, `the triple`, `today's heavy single`: the set that was built before.
fn is_built(of: &str) -> bool {
    if of.starts_with("today's ") || of.starts_with("todays ") {
        return matches!(of, "today's" | "today's weight");
    }
    let mut words = of.split_whitespace().peekable();
    while words.next_if(|w| matches!(*w, "that" | "the" | "your" | "this" | "today's" | "todays" | "it" | "of")).is_some() {}
    let rest: Vec<&str> = words.collect();
    let built = |w: &&str| {
        matches!(*w, "above" | "today" | "weight" | "load" | "heavy" | "triple" | "double" | "single" | "set" | "top" | "max")
    };
    rest.iter().all(built)
}

/// What the heavy set of so many is called that is built on the day.
pub fn heavy(n: f64) -> String {
    let set = match n {
        n if n <= 1.0 => "single".to_owned(),
        n if n <= 2.0 => "double".to_owned(),
        n if n <= 3.0 => "triple".to_owned(),
        n => format!("set of {n}"),
    };
    format!("today's heavy {set}")
}
