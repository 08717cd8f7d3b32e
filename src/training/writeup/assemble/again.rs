//! What goes on with something that stands above: the same sets for another movement, windows of the same movement.

use super::super::super::dose::Amount;
use super::super::super::movement::Pattern;
use super::super::clause::{Clause, Join};
use super::super::draft::Row;
use super::super::element::Name;
use super::super::item::{Facts, Item};
use super::super::quantity::Unit;
use super::Assembler;

impl Assembler<'_, '_> {
    /// `Same again for glute bridges, but only three sets and 45 seconds.` behind sets of one lift: as many, so often and with as
    /// much rest, but for what is said otherwise.
    pub(super) fn same_again(&mut self, i: usize) -> Option<usize> {
        const SAME: &[&str] = &[
            "same again for",
            "same again with",
            "the same again for",
            "same for",
            "the same for",
            "same thing for",
            "same with",
            "the same with",
            "same sets and reps for",
            "same scheme for",
        ];
        let c = &self.clauses[i];
        let [only] = &c.said.items[..] else { return None };
        let n = self.doc.says_any(c.said.from, SAME)?;
        let bare = only.movement.is_some() && !only.is_dosed() && only.load.is_none() && only.from <= c.said.from + n + 1;
        let [above] = &self.cur.rows[..] else { return None };
        let whole = above.item.sets.is_some() && above.item.dose.is_some();
        if !bare || !whole || c.inside || !matches!(c.join, Join::Stop | Join::Line) {
            return None;
        }
        let (sets, dose, side) = (above.item.sets, above.item.dose.clone(), above.item.side);
        let rest = self.cur.first(|f| f.rest.clone());
        let end = self.sentence_end(i);
        let otherwise: Vec<&Clause> = self.clauses[i + 1..end].iter().collect();
        let told = |pick: &dyn Fn(&Clause) -> Option<f64>| otherwise.iter().find_map(|n| pick(n));
        let own_sets = told(&|n| n.said.facts.sets.map(|s| s.0));
        let seconds = |it: &Item| it.dose.as_ref().filter(|q| q.unit == Unit::Seconds).map(|q| q.amount.high());
        let own_rest = told(&|n| n.said.items.iter().find_map(seconds))
            .or(told(&|n| n.said.facts.window.as_ref().map(|w| w.0.high())))
            .map(|s| (Some(Amount::One(s)), false, (c.from, c.to)));
        let own_rest = own_rest.or_else(|| otherwise.iter().find_map(|n| n.said.facts.rest.clone()));
        let span = self.span(i, end);
        let item = Item { sets: own_sets.or(sets), dose, side, to: only.to.max(span.1), ..only.clone() };
        self.close();
        self.cur.at = Some(span);
        self.row(item, span, i);
        self.cur.facts.extend(own_rest.or(rest).map(|r| Facts { rest: Some(r), ..Facts::default() }));
        Some(end - i)
    }

    /// The part so far is windows without lines, behind a part of one line.
    pub(super) fn carries_on(&self) -> bool {
        let windows = self.cur.first(|f| f.on_off).is_some() && self.cur.rows.is_empty() && self.cur.pending.is_empty();
        let one = self.sheet.parts.last().is_some_and(|p| p.rows.len() == 1);
        windows && one && self.cur.options.is_empty() && self.cur.carried.is_some()
    }

    /// `10 min jog, some leg swings`, and then `8 x 20 s sprint`: windows without lines that say what is done in them, where
    /// nothing above is done on a machine.
    fn sprints_alone(&self) -> Option<usize> {
        let windows = self.cur.first(|f| f.on_off).filter(|_| self.cur.rows.is_empty() && self.cur.pending.is_empty())?;
        let says = (windows.2.0..windows.2.1).any(|t| self.doc.plain[t] == "sprint");
        let all = self.library.all();
        let on_foot = |r: &Row| match r.item.movement {
            Some(Name::Known(m)) => all[m].name == "run" || all[m].pattern != Pattern::Cyclical,
            _ => false,
        };
        let above = self.sheet.parts.last().is_none_or(|p| p.rows.iter().all(on_foot));
        all.iter().position(|m| m.name == "sprint").filter(|_| says && above)
    }

    /// `Bike 5 min easy, then 6 x (20 s hard, 40 s easy)`: windows without lines go on with the one movement before.
    pub(super) fn carry_on(&mut self) {
        if let Some(sprint) = self.sprints_alone() {
            let line = self.first_line();
            let (from, to) = self.cur.first(|f| f.on_off).map_or((0, 0), |o| o.2);
            let item = Item { movement: Some(Name::Known(sprint)), from, to, ..Item::default() };
            self.cur.rows.push(Row { item, line, ..Row::default() });
        }
        if self.carries_on()
            && let Some(row) = self.cur.carried.take()
        {
            let item = Item { movement: row.item.movement, unknown: row.item.unknown, ..Item::default() };
            self.cur.rows.push(Row { item, line: row.line, ..Row::default() });
        }
    }
}
