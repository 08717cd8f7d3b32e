//! Letters and numbers before lines: parts of their own, stations, or the lines of one part.

use super::super::super::dose::Amount;
use super::super::clause::Join;
use super::super::draft::Draft;
use super::super::item::{Facts, Item, Span};
use super::{Assembler, starts_lines};

impl Assembler<'_, '_> {
    /// `1) 4 sets of ...`, `2) ...`: the next number of a list whose entries are parts of their own.
    pub(super) fn next_of_list(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let next = c.lead.number.zip(self.cur.number).is_some_and(|(n, own)| (n - own - 1.0).abs() < 0.01);
        let shaped = self.cur.is_shaped()
            || self.cur.heading.is_some()
            || self.cur.scheme.is_some()
            || self.cur.rows.iter().any(|r| r.item.sets.is_some() || r.item.max.is_some())
            || self.cur.first(|f| f.rest.clone()).is_some()
                && self.cur.rows.iter().any(|r| r.item.dose.as_ref().is_some_and(|q| matches!(q.amount, Amount::Scheme(_))));
        next && shaped && c.join == Join::Line && self.cur.has_rounds_lines()
    }

    /// `3. Pull` above `inverted rows 4 x 10`, where the line below has no number: an entry of a list, and its heading.
    pub(super) fn heads_its_number(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let next =
            self.clauses.get(i + 1).filter(|n| !n.blank && n.line == c.line + 1 && !n.lead.bullet && n.lead.label.is_none());
        let plain = c.lead.minute.is_none() && !self.in_windows() && !c.inside && c.join == Join::Line;
        let numbered = c.lead.number.is_some() && self.line_end(i) == i + 1;
        numbered && plain && next.is_some_and(|n| starts_lines(&n.said.items) && n.said.talk == 0)
    }

    /// `A.`, `B.` under `every 2:00, alternating` are stations, not parts.
    pub(super) fn is_station_label(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let stations = self.cur.first(|f| f.on_off).is_some() && c.said.items.iter().any(Item::is_named);
        if stations && self.unlettered() && c.lead.label.as_ref().is_some_and(|l| l.len() == 1) {
            return !c.blank && !c.said.facts.shapes() && c.said.items.iter().all(|it| it.sets.is_none());
        }
        if self.is_circuit(i) {
            return true;
        }
        let windows = self.cur.first(|f| f.every).is_some() && (self.unlettered() || self.is_small_below_capital(i));
        let dosed = starts_lines(&c.said.items)
            || c.said.items.iter().any(Item::is_named) && self.dose_beside(i)
            || self.only_rests(i) && self.cur.rows.iter().any(|r| r.lead.label.is_some());
        windows && c.lead.label.is_some() && !c.blank && !c.said.facts.shapes() && dosed
    }

    /// The part so far has no letter; `Part 3` is none.
    fn unlettered(&self) -> bool {
        self.cur.label.as_ref().is_none_or(|l| l.chars().all(|c| c.is_ascii_digit()))
    }

    /// `3 rounds: a) 12 rows b) 12 push-ups`: under rounds without a label, letters before doses tell its lines.
    fn is_circuit(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let rounds = self.cur.first(|f| f.rounds.clone()).is_some() || self.is_superset() || self.sets_above_letters(i);
        let rounds = rounds && (self.unlettered() || self.is_below_capital(i));
        let lettered = self.cur.pending.is_empty() && self.cur.rows.iter().all(|r| r.lead.label.is_some());
        let dosed = starts_lines(&c.said.items) && c.said.items.iter().all(|it| it.sets.is_none());
        let single = c.lead.label.as_ref().is_some_and(|l| l.len() == 1);
        rounds && lettered && single && dosed && (!c.blank || self.cur.rows.is_empty()) && !c.said.facts.shapes()
    }

    /// `B) 3 sets`, and below it `a) ...`: small letters are lines of the part with the capital.
    fn is_below_capital(&self, i: usize) -> bool {
        let typed = |t: usize| self.doc.tokens[t].text;
        let small = |t: usize| typed(t).len() == 1 && typed(t).starts_with(|c: char| c.is_ascii_lowercase());
        let capital = self.cur.at.is_some_and(|at| typed(at.0).starts_with(|c: char| c.is_ascii_uppercase()));
        let lettered = self.cur.rows.iter().all(|r| r.at.is_some_and(|at| small(at.0)));
        capital && lettered && small(self.clauses[i].from)
    }

    /// `A. Front squat`, and below it `a) build to a heavy 3`; `C. Accessory`, and below it `a) rows 3 x 12`, `b) curls 3 x 12`:
    /// behind a small letter, what is said of the part with the capital, or its first line and those in as many sets.
    pub(super) fn goes_on_below_capital(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let one = self.cur.rows.len() + self.cur.pending.len() == 1;
        let unnamed = !c.said.items.is_empty() && c.said.items.iter().all(|it| !it.is_named());
        let sets = c.said.items.iter().find(|it| it.is_named()).map(|it| it.sets);
        let alike = sets.is_some() && self.cur.rows.iter().all(|r| Some(r.item.sets) == sets);
        let rested = self.cur.first(|f| f.rest.clone()).is_some();
        let lines = alike && !rested && self.cur.pending.is_empty() && !c.said.facts.shapes();
        !c.blank && self.is_small_below_capital(i) && (one && unnamed || lines)
    }

    /// `C. EMOM 9`, and below it `i. ...`, `ii. ...` or `a) ...`: small letters below a part with a capital.
    pub(super) fn is_small_below_capital(&self, i: usize) -> bool {
        let Some(above) = self.cur.at.map(|at| &self.doc.tokens[at.0]) else { return false };
        let own = &self.doc.tokens[self.clauses[i].from];
        let lettered = own.text.len() <= 4 && own.text.chars().all(|c| c.is_ascii_lowercase());
        // who types everything small sets them further in
        let capital =
            above.text.starts_with(|c: char| c.is_ascii_uppercase()) || own.column > above.column && own.line > above.line;
        // `A1`, `b1` are the lines of pairs
        let single = |label: &Option<String>| label.as_ref().is_some_and(|l| l.len() == 1);
        let labels = single(&self.clauses[i].lead.label) && single(&self.cur.label);
        lettered && labels && above.text.len() == 1 && capital
    }

    /// `3 sets of:` right above `a) ...`
    fn sets_above_letters(&self, i: usize) -> bool {
        let said = self.cur.first(|f| f.sets.map(|s| s.1));
        let above = self.cur.rows.last().map_or_else(|| said.map(|s| self.doc.tokens[s.0].line), |r| Some(r.line));
        let small = self.doc.tokens[self.clauses[i].from].text.chars().all(|c| c.is_ascii_lowercase());
        let free = self.cur.heading.is_none() && self.cur.scheme.is_none();
        said.is_some() && small && free && above.is_some_and(|l| l + 1 == self.clauses[i].line || l == self.clauses[i].line)
    }

    /// `superset x3:`, `triset, 4 sets`: the heading so far says that what is lettered below it belongs together.
    fn is_superset(&self) -> bool {
        let often = self.cur.first(|f| f.times.map(|t| t.1).or(f.sets.map(|s| s.1))).is_some();
        often && self.cur.at.iter().chain(&self.cur.said).any(|at| self.says_together(*at))
    }

    /// `Superset those, rest 75 s` below two lines in as many sets: they are one part, and what it says is of both.
    pub(super) fn pairs_those_above(&mut self, i: usize) -> bool {
        const THOSE: &[&str] = &["those", "these", "them", "both", "the two", "the above", "the three", "all three", "that"];
        let c = &self.clauses[i];
        let said = (c.from, c.to);
        let tells = self.says_together(said) && (c.from..c.to).any(|t| self.doc.says_any(t, THOSE).is_some());
        let number = |it: &Item| !it.is_named() && it.sets.is_none() && it.load.is_none();
        let only = Facts { rest: None, ..c.said.facts.clone() }.is_empty() && c.said.items.iter().all(number) && !c.inside;
        let [row] = &self.cur.rows[..] else { return false };
        let Some(sets) = row.item.sets.filter(|_| tells && only && self.cur.pending.is_empty()) else { return false };
        let alike = |d: &Draft, below: usize| {
            let [above] = &d.rows[..] else { return false };
            above.item.sets == Some(sets) && above.line + 1 == below && d.label.is_none() && d.facts.is_empty()
        };
        if !self.cur.facts.is_empty() || !self.sheet.parts.last().is_some_and(|d| alike(d, row.line)) {
            return false;
        }
        while let Some(above) = self.sheet.parts.pop_if(|d| self.cur.rows.first().is_some_and(|r| alike(d, r.line))) {
            self.cur.rows.splice(..0, above.rows);
            self.cur.said.extend(above.said);
            self.cur.notes.splice(..0, above.notes);
            self.cur.at = above.at.or(self.cur.at);
        }
        self.cur.facts.extend(Some(c.said.facts.clone()).filter(|f| !f.is_empty()));
        self.cur.said.push(said);
        true
    }

    /// `superset`, `triset` and their like stand here.
    pub(super) fn says_together(&self, at: Span) -> bool {
        const TOGETHER: &[&str] =
            &["superset", "supersets", "super set", "ss", "triset", "tri set", "giant set", "couplet", "circuit"];
        (at.0..at.1).any(|t| self.doc.says_any(t, TOGETHER).is_some())
    }
}
