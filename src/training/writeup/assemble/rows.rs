//! Lines with a name, and doses that look for one.

use super::super::super::dose::{Amount, Side};
use super::super::super::session::Role;
use super::super::clause::{Clause, Join, Lead};
use super::super::draft::Row;
use super::super::item::{Facts, Item, Span};
use super::super::quantity::{Quantity, Unit};
use super::{Assembler, starts_lines};

impl Assembler<'_, '_> {
    pub(super) fn items(&mut self, i: usize) {
        let c = &self.clauses[i];
        if c.colon && c.said.facts.heading.is_some() && self.lines_follow(i) && c.said.items.iter().all(|it| it.sets.is_none()) {
            // `10 min to practise handstands: 5 wall walks, ...` names the part and says how long
            for item in c.said.items.iter().filter(|it| it.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds)) {
                self.window(item, (c.from, c.to));
            }
            return;
        }
        if let ([only], true) = (&c.said.items[..], c.colon && self.cur.rows.is_empty() && self.cur.pending.is_empty())
            && only.unknown.is_some()
            && only.sets.is_none()
            && only.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds && q.amount.low() >= 240.0)
            && self.lines_follow(i)
        {
            // `10 min hips: 2 min 90/90, ...`
            return self.window(only, (c.from, c.to));
        }
        if let [only] = &c.said.items[..]
            && self.loosens_the_body(only)
        {
            self.cur.notes.push((only.from, c.to));
            return self.window(only, (c.from, c.to));
        }
        self.dose_of_each(i);
        let last = c.said.items.len().saturating_sub(1);
        let turns = self.takes_turns(i);
        if turns {
            self.cur.facts.push(Facts { turns, ..Facts::default() });
        }
        for (k, mut item) in c.said.items.clone().into_iter().enumerate() {
            if turns && k == 0 {
                item.side = None;
            }
            if k == 0 && self.each_of(i).is_some() {
                (item.dose, item.side) = (None, None);
            }
            let from = if k == 0 { c.from } else { item.from };
            let to = if k == last { c.to } else { item.to };
            if item.is_named() {
                self.named(item, (from, to), i);
            } else {
                self.nameless(item, i);
            }
        }
    }

    /// `prep 5 min shoulders + wrists`: what of the body the time is for, and the name of nothing to do.
    fn loosens_the_body(&self, item: &Item) -> bool {
        const BODY: &[&str] = &[
            "shoulders",
            "shoulder",
            "wrists",
            "wrist",
            "hips",
            "hip",
            "ankles",
            "ankle",
            "knees",
            "back",
            "neck",
            "spine",
            "t",
            "lats",
            "hamstrings",
            "hammies",
            "quads",
            "calves",
            "glutes",
            "core",
            "chest",
            "legs",
            "arms",
            "traps",
            "feet",
            "elbows",
            "adductors",
        ];
        let Some(name) = item.unknown.filter(|_| self.in_prep()) else { return false };
        let timed = item.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds && q.amount.low() >= 120.0);
        let joins = |t: usize| matches!(self.doc.low(t), "and" | "+" | "&" | "/" | "-" | ",");
        timed && item.sets.is_none() && (name.0..name.1).all(|t| joins(t) || BODY.contains(&self.doc.low(t)))
    }

    /// `10 each of squats, lunges and push-ups`: the dose that all of these names share.
    fn each_of(&self, i: usize) -> Option<&Quantity> {
        let c = &self.clauses[i];
        let first = c.said.items.first().filter(|it| it.is_named() && it.sets.is_none())?;
        let told = (first.from..first.to).any(|t| self.doc.low(t) == "each" && self.doc.low(t + 1) == "of");
        let next = self.clauses.get(i + 1).filter(|n| n.line == c.line && n.join == Join::Comma);
        let bare = |it: &Item| it.is_named() && !it.is_dosed();
        let several = c.said.items.len() > 1 || next.is_some_and(|n| n.said.items.first().is_some_and(bare));
        let free = !self.cur.doses_lines() && self.cur.rows.is_empty();
        first.dose.as_ref().filter(|_| told && several && free)
    }

    fn dose_of_each(&mut self, i: usize) {
        let c = &self.clauses[i];
        let first = c.said.items.first().map_or(c.from, |it| it.from);
        if let Some(q) = self.each_of(i).cloned() {
            self.keep_scheme(Item { dose: Some(q), from: first, to: first + 1, ..Item::default() }, (c.from, c.to));
        }
    }

    /// `every 1:30: alternating 3 clean pulls / 5 pull-ups`: the lines take turns, not the sides.
    fn takes_turns(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let Some(first) = c.said.items.first().filter(|it| it.side == Some(Side::Alternating)) else { return false };
        let bare = self.cur.first(|f| f.on_off).is_some() && !first.is_dosed() && c.said.items.len() > 1;
        let before_its_dose = self.doc.plain[first.from] == "alternating"
            && self.doc.tokens[first.from + 1..].iter().take(2).any(|t| t.number().is_some());
        let beside = self.clauses.get(i + 1).filter(|n| n.join == Join::Comma && n.line == c.line);
        let several = c.said.items.len() > 1 || beside.is_some_and(|n| starts_lines(&n.said.items));
        let clocked = self.cur.first(|f| f.every).is_some() || self.cur.first(|f| f.on_off).is_some();
        clocked && (before_its_dose || bare) && several && self.cur.rows.is_empty()
    }

    pub(super) fn named(&mut self, item: Item, at: Span, i: usize) {
        let c = &self.clauses[i];
        self.started = true;
        if self.is_way_of_line(&item, i) {
            return self.note(at);
        }
        if self.loads_a_line(&item, at) {
            return;
        }
        if self.is_topic(&item, i) {
            return self.topic(item, at, i);
        }
        let dosed = item.is_dosed() || item.more.len() > 1 || item.first.is_some();
        // `1. Power clean, every 90 s for 12 min: 2 reps` and `1. Power clean` above its dose head an entry of their own
        let clocked = self.clauses.get(i + 1).is_some_and(|n| n.line > c.line || n.said.facts.every.is_some());
        let numbered = c.lead.number.is_some() && self.next_is_dose(i) && clocked;
        let heading = !dosed
            && (!c.lead.bullet || numbered)
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
                || self.comes_again(&item, i)
                || self.comes_below(&item, i + 1)
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

    /// `8 split squats, goblet hold`, `8 box jumps, step down every rep`: behind a line that has its dose, a name without one
    /// only tells how that line is done.
    fn is_way_of_line(&self, item: &Item, i: usize) -> bool {
        let c = &self.clauses[i];
        let bare = !item.is_dosed() && item.load.is_none() && item.choices.is_empty() && item.complex.is_empty();
        let beside = c.join == Join::Comma && c.lead == Lead::default() && c.said.items.len() == 1 && c.said.facts.is_empty();
        let counted = self.cur.rows.last().is_some_and(|r| r.line == c.line && (r.item.dose.is_some() || r.item.split.is_some()));
        let every = item.tail.first().is_some_and(|t| self.doc.says_any(t.0, &["every rep", "each rep", "each time"]).is_some());
        let next = self.next_is_dose(i) && self.dose_beside(i);
        let way = item.movement.is_none() || every || self.tells_the_way(item, i);
        bare && beside && counted && !next && !self.cur.doses_lines() && way
    }

    /// `24/16 kg on the swings` below the lines: how heavy the one is that is named.
    fn loads_a_line(&mut self, item: &Item, at: Span) -> bool {
        let on = (item.from..item.to).any(|t| matches!(self.doc.low(t), "on" | "for") && self.doc.low(t + 1) == "the");
        let columns = item.dose.as_ref().filter(|q| q.unit == Unit::Bare && matches!(q.amount, Amount::Columns(..)));
        let heavy = item.load.is_some() && !item.is_dosed() || columns.is_some() && item.sets.is_none() && item.load.is_none();
        let only = on && heavy && item.complex.is_empty() && item.choices.is_empty();
        let open = |r: &&mut Row| r.item.movement == item.movement && r.item.load.is_none() && r.item.bare_load.is_none();
        let Some(row) = self.cur.rows.iter_mut().filter(|_| only && item.movement.is_some()).rfind(open) else { return false };
        match columns {
            Some(q) => (row.item.bare_load, row.item.bare_at) = (Some(q.amount.high()), Some((item.from, item.from + q.tokens))),
            None => (row.item.load, row.item.implements) = (item.load.clone(), row.item.implements.or(item.implements)),
        }
        self.cur.said.push(at);
        true
    }

    /// `6 box jumps, step down` in a list: every other line has its number, and a name in the singular without one is no line.
    fn tells_the_way(&self, item: &Item, i: usize) -> bool {
        let c = &self.clauses[i];
        let singular = self.doc.plain[item.to - 1] == self.doc.low(item.to - 1) && item.tail.is_empty();
        let two = self.line_end(i) == i + 1 && self.cur.rows.iter().filter(|r| r.line == c.line).count() == 1;
        let dosed = |n: &&Clause| n.said.items.iter().any(|it| it.is_named() && it.is_dosed());
        let next = self.clauses.get(i + 1).filter(|n| !n.blank && n.line == c.line + 1).filter(dosed).is_some();
        let above = self.cur.rows.iter().any(|r| r.line + 1 == c.line && r.item.is_dosed());
        singular && two && (next || above)
    }

    pub(super) fn row(&mut self, item: Item, at: Span, i: usize) {
        let c = &self.clauses[i];
        self.line = c.line;
        self.started = true;
        let mut item = item;
        // `get-up practice, 10 min` and then `1-2 get-ups per side`: the heading only named it
        if let [only] = &self.cur.pending[..]
            && only.item.movement.is_some()
            && (only.item.movement == item.movement || !only.item.complex.is_empty() && !item.complex.is_empty())
            && !only.item.is_dosed()
            && self.cur.rows.is_empty()
        {
            self.cur.said.push((only.item.from, only.item.to));
            self.cur.said.extend(only.at);
            self.cur.pending.clear();
        }
        if self.pending_comes(i) {
            for row in std::mem::take(&mut self.cur.pending) {
                self.cur.said.push((row.item.from, row.item.to));
                self.cur.said.extend(row.at);
            }
        }
        if let [only] = &self.cur.pending[..]
            && let (Some(sets), None) = (only.item.sets, &only.item.dose)
            && only.item.movement.is_some()
            && (only.item.movement == item.movement || !item.complex.is_empty())
            && item.sets.is_none()
            && self.cur.rows.is_empty()
        {
            // `Hang clean, 5 sets:` above `1 hang clean + 2 front squats`
            item.sets = Some(sets);
            self.cur.said.extend(only.at);
            self.cur.pending.clear();
        }
        self.release_pending();
        let opening = self.cur.rows.first().filter(|r| r.role == Some(Role::BuyIn) && self.cur.has_rounds_lines());
        if opening.is_some_and(|r| r.item.movement == item.movement && r.item.dose == item.dose && r.line != c.line) {
            self.role = Some(Role::CashOut);
        }
        if !item.is_dosed() {
            // `Find a heavy double: power clean`
            item.build = self.cur.scheme.as_ref().and_then(|s| s.build);
        }
        let rungs = item.dose.as_ref().filter(|q| item.slashed && matches!(q.amount, Amount::Scheme(_))).cloned();
        let stations = item.slashed && (self.cur.doses_lines() || rungs.is_some());
        if stations && item.side == Some(Side::Alternating) && self.cur.first(|f| f.on_off).is_some() {
            item.side = None;
            self.cur.facts.push(Facts { turns: true, ..Facts::default() });
        }
        let others = if stations { std::mem::take(&mut item.choices) } else { Vec::new() };
        // `cal row / wall ball 9/6 kg`: the load stands behind the last name
        let loaded = rungs.is_some() && !others.is_empty();
        let loaded = loaded && !self.loaded_before_slash(&item);
        let load = if loaded { (item.load.take(), item.implements.take()) } else { (None, None) };
        let rungs = rungs.map(|q| Quantity { unit: Unit::Bare, ..q });
        for (name, dose) in others {
            let (from, to) = (item.from, item.to);
            let row = Row {
                item: Item { movement: Some(name), dose: dose.or_else(|| rungs.clone()), from, to, ..Item::default() },
                lead: c.lead.clone(),
                line: c.line,
                role: self.role,
                ..Row::default()
            };
            self.cur.pending.push(row);
        }
        if let Some(last) = self.cur.pending.last_mut().filter(|_| loaded) {
            (last.item.load, last.item.implements) = load;
        }
        let bare = |it: &Item| it.movement.is_some() && !it.is_dosed() && it.load.is_none() && it.complex.is_empty();
        if c.join == Join::Comma
            && bare(&item)
            && !item.slashed
            && !item.choices.is_empty()
            && !self.cur.doses_lines()
            && let Some(row) = self.cur.rows.last_mut().filter(|r| r.line == c.line && bare(&r.item))
        {
            // `bike, row or jog`: one line and its choices
            row.item.choices.extend(item.movement.map(|name| (name, None)).into_iter().chain(item.choices));
            row.item.to = item.to;
            return;
        }
        if let Some(scheme) = self.shared_list(&item, c.line) {
            item.dose = Some(scheme);
        }
        let notes = self.gathered_ahead(i).into_iter().collect();
        let row = Row { item, lead: self.lead_of(i), line: c.line, role: self.role, at: Some(at), notes, ..Row::default() };
        self.cur.rows.push(row);
        self.release_pending();
    }

    /// `deadlift @ 80 kg / box jumps`: the load stands before the first slash that parts names.
    fn loaded_before_slash(&self, item: &Item) -> bool {
        let slash = (item.from..item.to).find(|t| self.doc.tokens[*t].is("/") && self.doc.tokens[*t].spaced);
        slash.is_some_and(|t| matches!(self.doc.low(t.saturating_sub(1)), "kg" | "lb" | "lbs" | "kilos" | "%"))
    }

    /// `min 1: 10 push-ups, 20 s plank`: behind a comma the minute is still the one that was said.
    fn lead_of(&self, i: usize) -> Lead {
        let c = &self.clauses[i];
        let on = c.lead == Lead::default() && matches!(c.join, Join::Comma | Join::Bracket | Join::Then | Join::Colon);
        let said = self.cur.rows.last().filter(|r| on && r.line == c.line && r.role == self.role);
        let counted = |lead: &Lead| lead.minute.is_some() || lead.number.is_some() && self.cur.first(|f| f.every).is_some();
        // `10 burpees (odd), 15 swings (even)`: its own is still to come
        let behind = self.clauses.get(i + 1).is_some_and(|n| n.inside && n.line == c.line && n.lead.minute.is_some());
        let Some(lead) = said.map(|r| &r.lead).filter(|lead| counted(lead) && !behind) else { return c.lead.clone() };
        Lead { minute: lead.minute, number: lead.number, more: lead.more.clone(), ..Lead::default() }
    }

    /// Names that waited for a dose stand as lines once other lines come.
    pub(super) fn release_pending(&mut self) {
        let waiting = std::mem::take(&mut self.cur.pending);
        self.cur.rows.extend(waiting);
    }
}

/// `12 dumbbell rows each arm, 22.5/15`: behind a line that has its dose, a load without its unit.
pub(super) fn columns_of_load(row: &mut Item, more: &Item) -> bool {
    let columns = more.dose.as_ref().filter(|q| q.unit == Unit::Bare && matches!(q.amount, Amount::Columns(..)));
    let open = row.dose.is_some() && row.load.is_none() && row.bare_load.is_none();
    let Some(q) = columns.filter(|_| open) else { return false };
    (row.bare_load, row.bare_at) = (Some(q.amount.high()), Some((more.from, more.to)));
    true
}

/// Gives `row` what `more` says and the row does not yet say. False where nothing was taken.
pub(super) fn merge(row: &mut Item, more: &Item) -> bool {
    let mut taken = false;
    macro_rules! take {
        ($($field:ident),*) => { $(if row.$field.is_none() && more.$field.is_some() { row.$field = more.$field.clone(); taken = true; })* };
    }
    take!(max, build, load, bare_load, bare_at, implements, side, split, tempo, pause, down);
    if row.dose.is_none() && more.dose.is_some() {
        row.dose.clone_from(&more.dose);
        row.dose_at = Some((more.from, more.to));
        taken = true;
    } else if let Some(q) = &more.dose {
        row.more.push((q.clone(), more.load.clone()));
        taken = true;
    }
    if row.sets.is_none() && more.sets.is_some() {
        row.sets = more.sets;
        taken = true;
    }
    // `1+ @ 95 %`: the sign stays beside the number
    row.tail.extend(&more.tail);
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

pub(super) fn descends(amount: &Amount) -> bool {
    matches!(amount, Amount::Range(a, b) if a > b)
}
