//! What a clause says of its part: how it runs, what it is called, how one rests in it.

use super::super::super::dose::Amount;
use super::super::super::session::Role;
use super::super::clause::{Clause, Join};
use super::super::element::Heading;
use super::super::item::Facts;
use super::super::marks::whole;
use super::super::quantity::Unit;
use super::super::token::Kind;
use super::Assembler;
use super::finish::Finish;

impl Assembler<'_, '_> {
    /// Facts and headings: begins a new part where this clause does.
    pub(super) fn shape(&mut self, i: usize) {
        let c = &self.clauses[i];
        let rest_only = self.only_rests(i);
        if let Some(own) = self.told_by_gap_alone(i).filter(|_| !self.says_each(i)) {
            self.sheet.perhaps_apart.push(((c.said.from, c.said.to), own));
        }
        if !rest_only && self.begins(i) {
            self.begin_part(i);
        }
        self.keep_number(i);
        self.keep_role(i);
        if let Some(label) = c.lead.label.as_ref().filter(|_| !self.is_station_label(i)) {
            self.cur.label.get_or_insert_with(|| label.clone());
        }
        if rest_only && self.keep_rest(i) {
            return;
        }
        if self.costs(i) || self.is_aside(i) {
            self.cur.notes.push((c.from, c.to));
            return;
        }
        if !c.said.facts.is_empty() {
            self.keep_facts(i);
        } else if c.lead.label.is_some() && self.cur.at.is_none() {
            self.cur.at = Some((c.from, c.to));
        }
    }

    fn begin_part(&mut self, i: usize) {
        let c = &self.clauses[i];
        self.blocks(i);
        self.close();
        self.cur.at = Some((c.from, c.to));
        self.cur.notes.extend(self.rest_before(i));
        if c.lead.label.is_some() && !c.said.facts.shapes() {
            self.cur.facts.extend(self.shared.clone());
        }
    }

    /// The list number of an entry that is a part of its own.
    fn keep_number(&mut self, i: usize) {
        let c = &self.clauses[i];
        let open = self.cur.number.is_none() && self.cur.rows.is_empty() && self.cur.pending.is_empty();
        if !(self.cur.is_blank() || open) {
            return;
        }
        let named = !c.said.items.is_empty() && c.said.items.iter().all(|it| it.is_named() && !it.is_dosed());
        // `1. swings, 12` under `EMOM 9` is a station
        let own = named && self.next_is_dose(i) && self.cur.first(|f| f.every).is_none()
            || c.said.facts.shapes()
            || c.said.facts.times.is_some()
            || c.said.items.iter().any(|it| it.sets.is_some() || it.max.is_some());
        self.cur.number = c.lead.number.filter(|_| own);
    }

    /// Whether the lines that follow are done once.
    fn keep_role(&mut self, i: usize) {
        let c = &self.clauses[i];
        let facts = &c.said.facts;
        if self.opens_rounds(i) || self.opens_rungs(i) {
            for row in &mut self.cur.rows {
                row.role = Some(Role::BuyIn);
            }
        }
        match self.finish(i) {
            Some(Finish::Each) => self.role = None,
            Some(Finish::Once) => self.role = Some(Role::CashOut),
            Some(sure @ (Finish::PerhapsOnce | Finish::PerhapsEach)) => {
                let once = sure == Finish::PerhapsOnce;
                self.role = once.then_some(Role::CashOut);
                self.sheet.perhaps_once.push(((c.said.from, c.said.to), once));
            }
            None => {}
        }
        if let Some((role, _)) = facts.role {
            self.role = Some(role);
        } else if facts.rounds.is_some() || facts.amrap.is_some() || facts.for_time.is_some() || facts.cap.is_some() {
            self.role = None;
        }
    }

    /// A clause that says to rest and nothing else, where it is no fact of the part: the way to the next one, or a station.
    fn keep_rest(&mut self, i: usize) -> bool {
        let c = &self.clauses[i];
        let span = (c.from, c.to);
        if self.next_of_list(i) {
            // `2) rest 4 min` in a list of parts
            self.cur.number = c.lead.number;
            self.cur.notes.push(span);
            return true;
        }
        let apart = c.join != Join::Comma && c.join != Join::Bracket && (self.cur.has_rounds_lines() || self.carries_on());
        if apart && (self.parts_from(i) || self.leads_over(i) || self.between_parts(i)) {
            // it stands between two parts and belongs to neither
            self.cur.notes.push(span);
            return true;
        }
        if self.rests_a_station(i) {
            self.cur.rest_stations += 1;
            self.cur.said.push(span);
            return true;
        }
        if let Some(rest) = self.rests_as_long(i) {
            self.cur.said.push(span);
            self.cur.facts.push(Facts { rest: Some((Some(rest), false, span)), ..Facts::default() });
            return true;
        }
        let station =
            c.lead.minute.is_some() || c.lead.label.is_some() || c.lead.number.is_some() && self.cur.first(|f| f.every).is_some();
        if station {
            let one = c.lead.minute.or_else(|| c.lead.number.map(whole));
            let said = if c.lead.more.is_empty() { one.into_iter().collect() } else { c.lead.more.clone() };
            self.cur.rest_stations += said.len().max(1);
            self.cur.rest_minutes.extend(said);
            self.cur.said.push(span);
        }
        station
    }

    /// `for time, cap 25, pairs optional` says how it may be done, and names no part.
    fn is_aside(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let facts = &c.said.facts;
        let only = Facts { heading: None, ..facts.clone() }.is_empty() && c.said.items.is_empty();
        let plain = facts.heading.is_some_and(|(h, at)| h == Heading::Plain && at.0 > c.said.from);
        plain && c.join == Join::Comma && only && !self.cur.is_blank() && !c.colon
    }

    /// What the clause says of how the part runs, and its name.
    fn keep_facts(&mut self, i: usize) {
        let c = &self.clauses[i];
        let facts = &c.said.facts;
        self.started = true;
        if self.cur.at.is_none() {
            self.cur.at = Some((c.from, c.to));
        } else {
            self.cur.said.push((c.from, c.to));
        }
        self.keep_name(i);
        if facts.step.is_some() && facts.every.is_none() {
            // `death by swings: add 5 per minute`: no longer the one that goes without saying
            self.cur.facts.iter_mut().for_each(|f| f.step = None);
        }
        self.cur.facts.push(facts.clone());
        if c.said.words.len() > 2 && c.said.items.is_empty() {
            self.cur.notes.push((c.from, c.to));
        }
    }

    fn keep_name(&mut self, i: usize) {
        let c = &self.clauses[i];
        let facts = &c.said.facts;
        if let Some((heading, span)) = facts.heading {
            self.cur.heading.get_or_insert(heading);
            let word = self.doc.tokens[span.0].kind == Kind::Word;
            if self.cur.name.is_empty() && word {
                // `The test`, `Skill of the day`: the whole of a short heading
                let only = Facts { heading: None, ..facts.clone() }.is_empty() && c.said.items.is_empty();
                let whole = only && c.said.to - c.said.from <= 4;
                let name = if whole { (c.said.from, c.said.to) } else { span };
                self.cur.name = self.doc.typed(name.0, name.1).to_owned();
            }
        }
        if let (true, Some(only)) = (self.cur.name.is_empty() && facts.step.is_some(), c.said.items.first())
            && self.doc.says(c.said.from, "death by").is_some()
        {
            let to = (c.said.from..only.to).find(|&t| self.doc.tokens[t].kind != Kind::Word).unwrap_or(only.to);
            self.cur.name = self.doc.typed(c.said.from, to).to_owned();
        }
    }

    /// `30 s on, 30 s off: burpees, plank, rest`: among names that are done by the clock, one of the stations.
    fn rests_a_station(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let bare = c.said.facts.rest.as_ref().is_some_and(|r| r.0.is_none() && r.2.1 == r.2.0 + 1) && c.said.words.is_empty();
        let listed = c.join == Join::Comma || c.join == Join::Line && !c.blank;
        let more = |n: &Clause| n.line <= c.line + 1 && n.said.items.iter().any(|it| it.is_named() && !it.is_dosed());
        let several = self.cur.rows.len() > 1 || self.clauses.get(i + 1).is_some_and(more);
        let stations = several && !self.cur.rows.is_empty() && self.cur.rows.iter().all(|r| !r.item.is_dosed());
        bare && listed && stations && self.cur.first(|f| f.on_off).is_some_and(|o| o.0.is_some() && o.1.is_some())
    }

    /// `4 rounds, 1 min each: squats, push-ups, rest`: the last of the list is as long as each of it.
    fn rests_as_long(&self, i: usize) -> Option<Amount> {
        let c = &self.clauses[i];
        let bare = c.said.facts.rest.as_ref().is_some_and(|r| r.0.is_none() && r.2.1 == r.2.0 + 1) && c.said.words.is_empty();
        let last = self.clauses.get(i + 1).is_none_or(|n| n.line != c.line || matches!(n.join, Join::Stop | Join::Then));
        let each = self.cur.scheme.as_ref().filter(|s| s.sets.is_none())?.dose.as_ref().filter(|q| q.unit == Unit::Seconds)?;
        let rounds = self.cur.first(|f| f.rounds.clone()).is_some() && self.cur.rows.len() > 1 && !self.in_windows();
        Some(each.amount.clone()).filter(|_| bare && last && rounds && c.join == Join::Comma)
    }
}
