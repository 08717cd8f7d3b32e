//! Doses that stand apart from their name: further sets, windows, the scheme of a whole part.

use super::super::super::dose::{Amount, Load};
use super::super::clause::Join;
use super::super::doses::hand;
use super::super::draft::Row;
use super::super::item::{Facts, Item, Span};
use super::super::line::heavy as built;
use super::super::quantity::{Quantity, Unit};
use super::Assembler;
use super::rows::merge;

impl Assembler<'_, '_> {
    /// `1x10 @ 60%` and below it `1x8 @ 65%`: further sets of the same lift.
    pub(super) fn goes_on_with_sets(&self, item: &Item, i: usize) -> bool {
        let c = &self.clauses[i];
        let counted = |it: &Item| {
            let one = |q: &Quantity| matches!(q.unit, Unit::Bare | Unit::Reps) && matches!(q.amount, Amount::One(_));
            it.dose.as_ref().is_some_and(one)
        };
        let loaded = |it: &Item| it.load.as_ref().is_some_and(|l| Load::per_set(&[l]).is_some()) && counted(it);
        let listed = |r: &Row| r.item.sets.is_some() || !r.item.more.is_empty() && r.item.more.iter().all(|(_, l)| l.is_some());
        let [row] = &self.cur.rows[..] else { return false };
        let rested = self.cur.first(|f| f.rest.clone()).is_some();
        let sets = item.sets.is_some_and(|n| (1.0..=10.0).contains(&n) && n.fract() == 0.0);
        let here = row.line == c.line || row.item.dose_at.is_some_and(|at| self.doc.tokens[at.0].line == c.line);
        // `3 sets: 2 @ 80%`
        let opens = c.join == Join::Line || c.join == Join::Colon && self.clauses[i - 1].join == Join::Line;
        let near = opens && !c.blank && !rested || c.join == Join::Comma && here;
        // `2x5, 1x5+ @ 85 %`: the load behind the last is that of all
        let behind = c.join == Join::Comma && row.item.load.is_none() && counted(&row.item);
        near && sets && !item.is_named() && loaded(item) && (loaded(&row.item) || behind) && listed(row)
    }

    /// `2 sets: 2 @ 75%`, and below it `3 sets: 2 @ 80%`; `75% x 2 x 2 sets`: the number of sets is that of the line.
    pub(super) fn with_own_sets(&mut self, item: Item, i: usize) -> Item {
        let told = |k: usize| {
            let n = &self.clauses[k];
            let ahead = n.colon && n.said.items.is_empty() && self.clauses.get(k + 1).is_some_and(|d| d.line == n.line);
            let dose = if ahead { &self.clauses[k + 1] } else { n };
            let [only] = &dose.said.items[..] else { return None };
            let plain = !only.is_named() && only.sets.is_none() && only.load.is_some();
            let counted = only.dose.as_ref().is_some_and(|q| matches!(q.amount, Amount::One(_)));
            n.said.facts.sets.or(n.said.facts.times).filter(|_| plain && counted).map(|s| (s, if ahead { k + 1 } else { k }))
        };
        let near = i.saturating_sub(4)..self.clauses.len().min(i + 5);
        let all: Vec<_> = near.filter_map(told).collect();
        let Some(((n, at), _)) = all.iter().find(|(_, k)| *k == i).filter(|_| all.len() > 1) else { return item };
        for f in &mut self.cur.facts {
            f.sets = f.sets.filter(|s| s.1 != *at);
            f.times = f.times.filter(|t| t.1 != *at);
        }
        Item { sets: Some(*n), ..item }
    }

    pub(super) fn more_sets(&mut self, item: &Item, i: usize) -> bool {
        if !self.goes_on_with_sets(item, i) {
            return false;
        }
        let (Some(row), Some(q)) = (self.cur.rows.last_mut(), &item.dose) else { return false };
        row.item.load = row.item.load.take().or_else(|| item.load.clone());
        let times =
            |one: (Quantity, Option<Load>), n: f64| (1..=10).take_while(move |k| f64::from(*k) <= n).map(move |_| one.clone());
        if let (Some(sets), Some(own)) = (row.item.sets.take(), row.item.dose.clone()) {
            let load = row.item.load.clone();
            row.item.more.extend(times((own, load), sets - 1.0));
        }
        row.item.more.extend(times((q.clone(), item.load.clone()), item.sets.unwrap_or(1.0)));
        row.item.tail.extend(&item.tail);
        self.cur.said.push((item.from, item.to));
        true
    }

    /// `8 x 20 s sprint on the bike, 40 s easy`: the second time is the rest of each window.
    pub(super) fn easy_between(&mut self, item: &Item, i: usize) -> bool {
        let c = &self.clauses[i];
        let easy = matches!(self.doc.low(item.to), "easy" | "slow" | "walk" | "walking" | "light" | "gentle" | "spin" | "jog");
        let alone = self.cur.rows.len() == 1 && !self.in_windows();
        let Some(row) = self.cur.rows.last_mut().filter(|r| r.line == c.line && easy && c.join == Join::Comma) else {
            return false;
        };
        let timed = row.item.dose.as_ref().filter(|q| q.unit == Unit::Seconds).map(|q| q.amount.high());
        // `6 rounds of 20 s hard on the bike, 40 s easy`
        let rounds = self.cur.facts.iter().find_map(|f| if let Some((Amount::One(n), _)) = &f.rounds { Some(*n) } else { None });
        let sets = row.item.sets.or(rounds.filter(|_| alone));
        let (Some(on), Some(sets), Some(off)) = (timed, sets, item.dose.as_ref().map(|q| q.amount.high())) else {
            return false;
        };
        (row.item.dose, row.item.sets) = (None, None);
        let span = (item.from, item.to);
        let windows =
            Facts { on_off: Some((Some(on), Some(off), span)), rounds: Some((Amount::One(sets), span)), ..Facts::default() };
        self.cur.facts.push(windows);
        self.cur.said.push((c.from, c.to));
        true
    }

    /// `10 min of get-ups, 1 per side`, `10 min plank, 1 min each side`: the long time was how long there is for it.
    pub(super) fn counted_in_window(&mut self, item: &Item) -> bool {
        let windowed = self.cur.is_shaped() || self.cur.first(|f| f.window.clone()).is_some();
        let [row] = &mut self.cur.rows[..] else { return false };
        let long = |q: &&Quantity| q.unit == Unit::Seconds && q.amount.low() >= 180.0;
        let (Some(time), Some(own)) = (row.item.dose.as_ref().filter(long), &item.dose) else { return false };
        let counts = matches!(own.unit, Unit::Bare | Unit::Reps);
        let held = own.unit == Unit::Seconds && item.side.is_some() && own.amount.high() <= time.amount.low() / 2.0;
        let plain = row.item.sets.is_none() && item.sets.is_none() && !item.is_named() && item.max.is_none() && !windowed;
        if !plain || !(counts || held) {
            return false;
        }
        let window = Facts { window: Some((time.amount.clone(), (row.item.from, row.item.to))), ..Facts::default() };
        row.item.dose = None;
        merge(&mut row.item, item);
        self.cur.facts.push(window);
        true
    }

    /// `8 swings right, 8 left`: the other hand of the line before.
    pub(super) fn other_hand(&mut self, item: &Item, i: usize) -> bool {
        let ([word], Some(row)) = (&self.clauses[i].said.words[..], self.cur.rows.last_mut()) else { return false };
        let hands = row.item.tail.last().and_then(|t| hand(self.doc.low(t.0))).zip(hand(self.doc.low(word.0)));
        let one = |it: &Item| it.dose.as_ref().and_then(|q| if let Amount::One(n) = q.amount { Some(n) } else { None });
        let (Some((a, b)), Some((first, second))) = (one(&row.item).zip(one(item)), hands) else { return false };
        if first == second || item.is_named() || item.sets.is_some() {
            return false;
        }
        row.item.split = Some((a, b));
        self.cur.said.push((item.from, word.1));
        true
    }

    /// `drop 10% and do 2x5`, `2x5 with 10% off` behind a heavy set: what is left of it.
    pub(super) fn dropped_from(&self, heavy: &Item, i: usize) -> Option<Load> {
        let n = heavy.build?;
        let c = &self.clauses[i];
        // `then take 20% off, 3x3`
        let before = i.checked_sub(1).map(|k| &self.clauses[k]).filter(|b| b.line == c.line && b.said.items.is_empty());
        let from = before.map_or(c.from, |b| b.from);
        let percent = |t: usize| self.doc.tokens[t].number().filter(|p| self.doc.low(t + 1) == "%" && (1.0..60.0).contains(p));
        let at = (from..c.to).find(|t| percent(*t).is_some())?;
        let off = matches!(self.doc.low(at + 2), "off" | "less" | "lighter" | "down");
        let drops = (at.saturating_sub(3)..at).any(|t| matches!(self.doc.low(t), "drop" | "minus" | "strip" | "reduce"));
        let of = self.name_of_heavy(heavy, n);
        (off || drops).then_some(Load::Percent { percent: Amount::One(100.0 - percent(at)?), of })
    }

    /// `today's 5RM` where the coach says so, else `today's heavy set of 5`.
    fn name_of_heavy(&self, heavy: &Item, n: f64) -> String {
        let rm = (heavy.from..(heavy.to + 1).min(self.doc.tokens.len())).any(|t| matches!(self.doc.low(t), "rm" | "rms"));
        if rm { format!("today's {n}RM") } else { built(n) }
    }

    pub(super) fn counts_seconds(&self, row: &Row) -> bool {
        (row.item.from..row.item.to).any(|t| matches!(self.doc.low(t), "hold" | "plank" | "stretch" | "sit" | "pose" | "hang"))
    }

    pub(super) fn keep_scheme(&mut self, item: Item, span: Span) {
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
    pub(super) fn window(&mut self, item: &Item, span: Span) {
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

    /// `30-20-10 cal row & burpees`: the list of the name before, for a name behind it on the same line that has no dose.
    pub(super) fn shared_list(&self, item: &Item, line: usize) -> Option<Quantity> {
        let before = self.cur.rows.last().filter(|r| r.line == line && r.item.sets.is_none())?;
        let rungs = self.cur.first(|f| f.ladder).is_some();
        let q = before
            .item
            .dose
            .as_ref()
            .filter(|q| matches!(q.amount, Amount::Scheme(_)) || rungs && matches!(q.amount, Amount::Range(..)))?;
        let counts = matches!(q.unit, Unit::Bare | Unit::Reps | Unit::Calories);
        (counts && !item.is_dosed() && item.load.as_ref().is_none_or(|l| !matches!(l, Load::Percent { .. })))
            .then(|| Quantity { unit: Unit::Bare, ..q.clone() })
    }
}
