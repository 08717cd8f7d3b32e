//! Doses, loads and sides that name no movement: which line, or which part, they speak of.

use super::super::super::dose::{Amount, Load, Side};
use super::super::clause::Join;
use super::super::draft::Row;
use super::super::item::{Facts, Item};
use super::super::quantity::Unit;
use super::Assembler;
use super::apart::GATHERED;
use super::rows::{columns_of_load, descends, merge};

impl Assembler<'_, '_> {
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

    /// Gives an item without a name to what it speaks of.
    pub(super) fn nameless(&mut self, item: Item, i: usize) {
        let c = &self.clauses[i];
        let item = self.weighed(item, i);
        let item = self.with_own_sets(item, i);
        let span = (c.from, c.to);
        let on_line = self.cur.rows.last().is_some_and(|r| r.line == c.line);
        let turns = Item { side: Some(Side::Alternating), from: item.from, to: item.to, ..Item::default() };
        let stations = self.cur.rows.iter().filter(|r| r.line == c.line).count() > 1 && self.cur.first(|f| f.on_off).is_some();
        if item == turns && (stations || self.cur.rows.is_empty() && self.cur.first(|f| f.every).is_some()) {
            self.cur.facts.push(Facts { turns: true, ..Facts::default() });
            self.cur.said.push(span);
            return;
        }
        if let (Some(Some(Unit::Calories)), None, true) =
            (item.max, &item.dose, self.cur.pending.is_empty() && item.sets.is_none())
            && let Some(machine) = self.cur.rows.iter().rfind(|r| r.item.dose.as_ref().is_some_and(|q| q.unit == Unit::Calories))
            && self.cur.rows.last().is_some_and(|r| r.item.is_dosed())
        {
            // `then max calories in the time left`: on the machine that stands above
            let named = Item { movement: machine.item.movement, ..item };
            return self.row(named, span, i);
        }
        let reps = |it: &Item| it.dose.as_ref().is_some_and(|q| matches!(q.unit, Unit::Bare | Unit::Reps));
        if let Some(row) = self.cur.rows.last().filter(|r| r.lead.minute.is_some() && c.lead.minute.is_some() && reps(&r.item))
            && reps(&item)
            && item.sets.is_none()
        {
            // `min 1: 1 burpee, min 2: 2`
            let named = Item { movement: row.item.movement, unknown: row.item.unknown, ..item };
            return self.row(named, span, i);
        }
        let seconds = item.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds);
        let open = self.cur.rows.last().is_some_and(|r| r.item.dose.as_ref().is_some_and(|q| q.open));
        if seconds && open && item.sets.is_none() {
            // `2-4-6-8-... burpees, 9 min`
            return self.window(&item, span);
        }
        let each = item.side == Some(Side::PerSide) && matches!(self.doc.low(item.to.saturating_sub(1)), "each" | "ea");
        let hold = (c.said.from..item.from)
            .any(|t| self.doc.says_any(t, &["hold each", "each for", "each one for", "hold everything"]).is_some());
        let ahead = c.colon && self.cur.rows.is_empty() && self.cur.pending.is_empty() && self.lines_follow(i);
        if hold && ahead && seconds && item.sets.is_none() {
            // `hold each 60 s:`
            return self.keep_scheme(item, span);
        }
        if each && ahead && item.sets.is_some() && item.dose.is_some() {
            // `accessories 3 x 10 each:`: of each line below
            return self.keep_scheme(Item { side: None, ..item }, span);
        }
        if seconds && each && item.sets.is_none() && self.cur.rows.is_empty() && self.cur.pending.is_empty() {
            // `4 rounds, 30 s each: squats, sit-ups`
            return self.keep_scheme(Item { side: None, ..item }, span);
        }
        let unsaid = self.cur.first(|f| f.every).is_some_and(|e| e.1.is_none() && e.2.is_none())
            || self.cur.first(|f| f.amrap).is_some_and(|a| a.0.is_none());
        let long = item.dose.as_ref().is_some_and(|q| q.amount.low() >= 240.0);
        if seconds && unsaid && long && item.sets.is_none() && self.cur.first(|f| f.window.clone()).is_none() {
            // `at the top of every minute 6 thrusters, 10 minutes in all`
            return self.window(&item, span);
        }
        let built_next = c.colon
            && self.clauses.get(i + 1).is_some_and(|n| n.line == c.line && n.said.items.iter().any(|it| it.build.is_some()));
        if seconds && long && built_next && item.sets.is_none() {
            // `15 min: build to a heavy 3`
            return self.window(&item, span);
        }
        let builds = self.cur.rows.last().or(self.cur.pending.last()).is_some_and(|r| r.item.build.is_some());
        if seconds && builds && item.sets.is_none() {
            return self.window(&item, span);
        }
        let sets =
            |r: &Row| r.item.sets.is_some() && r.item.dose.as_ref().is_some_and(|q| matches!(q.unit, Unit::Bare | Unit::Reps));
        let short = item.dose.as_ref().is_some_and(|q| q.amount.high() <= 300.0);
        let under = c.join == Join::Line && !c.blank && !self.cur.rows.is_empty() && self.cur.rows.iter().all(sets);
        if seconds && short && under && c.said.words.is_empty() && item.sets.is_none() && self.cur.pending.is_empty() {
            // `60 s` alone under sets of reps
            let amount = item.dose.as_ref().map(|q| q.amount.clone());
            self.cur.facts.push(Facts { rest: Some((amount, false, span)), ..Facts::default() });
            self.cur.said.push(span);
            return;
        }
        if seconds && self.says_left(i) && self.cur.is_shaped() {
            // `rest with what is left of the two minutes`
            return self.note(span);
        }
        if seconds && c.join == Join::Then && self.cur.rows.last().is_some_and(|r| r.item.max.is_some()) {
            // `max distance row in 12 min. Then 5 min easy`
            return self.note(span);
        }
        let right_below = c.join == Join::Line && !c.blank && self.line + 1 == c.line;
        if (on_line || right_below) && self.counted_in_window(&item) {
            return self.cur.said.push(span);
        }
        if seconds && self.easy_between(&item, i) {
            return;
        }
        if on_line
            && c.join == Join::Comma
            && let Some(row) = self.cur.rows.last_mut()
            && columns_of_load(&mut row.item, &item)
        {
            row.item.to = row.item.to.max(item.to);
            return;
        }
        let in_sets = on_line
            && self.cur.rows.last().is_some_and(|r| {
                r.item.sets.is_some() && r.item.dose.as_ref().is_some_and(|q| matches!(q.unit, Unit::Bare | Unit::Reps))
            });
        let rests = item.dose.as_ref().is_some_and(|q| q.amount.high() >= 15.0);
        if seconds
            && rests
            && in_sets
            && self.cur.pending.is_empty()
            && !item.is_named()
            && c.join == Join::Comma
            && item.sets.is_none()
        {
            // `4x6, 65 %, 2 min`: a time behind sets of reps is their rest
            let amount = item.dose.as_ref().map(|q| q.amount.clone());
            self.cur.facts.push(Facts { rest: Some((amount, false, span)), ..Facts::default() });
            self.cur.said.push(span);
            return;
        }
        if self.more_sets(&item, i) || on_line && self.other_hand(&item, i) {
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
        if let (Some(sets), Some(q), true, Join::Comma) =
            (item.sets.filter(|n| *n <= 10.0), &item.dose, on_line && item.load.is_some(), c.join)
            && let Some(row) =
                self.cur.rows.last_mut().filter(|r| r.item.sets.is_none() && r.item.load.is_some() && r.item.dose.is_some())
        {
            // `5 @ 60%, 3 x 3 @ 80%`: three more sets of the same list
            let mut left = sets;
            while left >= 1.0 {
                row.item.more.push((q.clone(), item.load.clone()));
                left -= 1.0;
            }
            row.item.to = row.item.to.max(c.to);
            return;
        }
        if self.cur.pending.is_empty()
            && on_line
            && let Some(row) = self.cur.rows.last_mut()
            && merge(&mut row.item, &item)
        {
            row.item.to = row.item.to.max(c.to);
            self.cur.said.push(span);
            return;
        }
        if !self.cur.pending.is_empty() && (item.is_dosed() || !item.more.is_empty()) {
            let scheme = item.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds) && item.sets.is_none();
            let named_again = self.named_again(i);
            if scheme && (named_again || self.cur.pending.iter().all(|r| !self.counts_seconds(r))) {
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
            && item.sets.is_some()
            && own_dose
            && let Some(name) = self.name_of_nothing_known(&item, i).or_else(|| self.behind_heading(&item, i))
        {
            let named = Item { unknown: Some(name), from: name.0, ..item };
            return self.row(named, span, i);
        }
        if self.cur.rows.is_empty()
            && own_dose
            && let Some(mut row) =
                self.cur.carried.take().filter(|r| c.join == Join::Then && !c.colon || !self.lines_follow(i) || r.line == c.line)
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
        // `Ladder 1-10`
        let ladder = c.said.facts.ladder.is_some()
            && item.dose.as_ref().is_some_and(|q| q.unit == Unit::Bare && matches!(q.amount, Amount::Range(..)));
        if !self.cur.has_rounds_lines()
            && (item.sets.is_some()
                || ladder
                || list
                || item.max.is_some()
                || item.build.is_some()
                || item.dose.as_ref().is_some_and(|q| q.unit == Unit::Reps || descends(&q.amount)))
        {
            self.keep_scheme(item, span);
            return;
        }
        if item.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds)
            && (self.cur.rows.is_empty() || self.cur.first(|f| f.window.clone()).is_none())
        {
            if c.said.words.iter().any(|w| self.doc.says_any(w.0, GATHERED).is_some()) {
                // `Hanging: accumulate 2 min from a bar`: its words are all that tells what is done
                self.cur.notes.push(span);
            }
            self.window(&item, span);
            return;
        }
        let told = item.load.is_some() && !item.is_dosed();
        let effort = matches!(item.load, Some(Load::Rpe(_)));
        let whole = effort && c.sentence && self.cur.rows.last().is_some_and(|r| r.line != c.line);
        let unloaded = self.cur.rows.iter().all(|r| r.item.load.is_none());
        if told && self.cur.rows.len() > 1 && (c.join == Join::Line && unloaded || whole) {
            // a line of its own speaks of every line above
            if effort {
                for row in self.cur.rows.iter_mut().filter(|r| r.item.load.is_none()) {
                    merge(&mut row.item, &item);
                }
            } else {
                self.cur.load_of_all = Some(item);
            }
            self.cur.said.push(span);
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
        let all = matches!(self.doc.low(c.said.from), "everything" | "all");
        if !item.is_dosed() && self.cur.rows.is_empty() && (!self.cur.is_blank() || all) {
            if matches!(item.load, Some(Load::Kg { .. } | Load::Lb { .. })) {
                // `3 rounds, 20 kg: 5 deadlifts, 10 burpees`: of what is done with a weight
                self.cur.load_of_all = Some(item);
                return self.cur.said.push(span);
            }
            self.keep_scheme(item, span);
            return;
        }
        let effort = matches!(item.load, Some(Load::Rpe(_) | Load::Rir(_))) && !item.is_dosed();
        if effort && self.cur.rows.last().is_some_and(|r| matches!(r.item.load, Some(Load::Percent { .. }))) {
            // `@ 75 %. Leave 2 in the tank.`: said of a line that has its load
            return self.note(span);
        }
        let holds = c.said.words.iter().any(|w| matches!(self.doc.low(w.0), "hold" | "holds"));
        if holds && item.dose.as_ref().is_some_and(|q| q.unit == Unit::Bare) {
            self.sheet.unitless.push(span);
        } else if self.doc.typed(span.0, span.1).chars().any(char::is_numeric) && c.said.talk == 0 && !self.cur.is_blank() {
            self.sheet.unread.push(span);
        }
        self.note(span);
    }
}
