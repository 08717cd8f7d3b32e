//! Names of the day and of its parts.

use super::super::clause::{Clause, Join, Lead};
use super::super::clocks::count;
use super::super::draft::Row;
use super::super::element::Heading;
use super::super::item::{Facts, Item, Span};
use super::super::quantity::Unit;
use super::super::token::Kind;
use super::greeting::{is_day, is_greeting};
use super::{Assembler, starts_lines};

impl Assembler<'_, '_> {
    /// The first typed line where it only names the day.
    pub(super) fn is_title(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        if self.started || self.sheet.title.is_some() || c.join != Join::Line || !self.cur.is_blank() || c.line > self.opening {
            return false;
        }
        let end = self.line_end(i);
        if self.heads_superset(i) {
            return false;
        }
        if self.counts_the_parts(i, end) {
            return true;
        }
        let line = &self.clauses[i..end];
        // `Wed 25/11`, `Tuesday 24.11.`
        let dated = |it: &Item| {
            let number = it.dose.as_ref().is_some_and(|q| q.unit == Unit::Bare);
            let first = self.doc.low(c.said.from);
            (is_day(first) || matches!(first, "session" | "block" | "phase" | "class" | "lesson" | "cycle"))
                && !it.is_named()
                && number
                && it.sets.is_none()
                && it.load.is_none()
        };
        // `run day, track or quiet road, nothing else needed`
        let about = line.len() > 1 && ends_title(self.doc.low(c.said.to.saturating_sub(1))) && self.says_where(&line[1..]);
        let plain = line.iter().all(|c| {
            let last = self.doc.low(line[line.len() - 1].to.saturating_sub(1));
            let names_day = is_day(self.doc.low(line[0].said.from)) || ends_title(last) || is_day(last) || about;
            c.said.facts.rounds.is_none()
                && c.said.facts.sets.is_none()
                && c.said.facts.times.is_none()
                && !c.said.facts.not_for_time
                // `9 minute climb` above its rungs
                && (c.said.facts.ladder.is_none() || c.said.facts.window.is_none())
                && c.said.facts.amrap.is_none()
                && c.said.facts.every.is_none()
                && c.said.facts.on_off.is_none()
                && c.said.facts.for_time.is_none()
                && c.said.facts.role.is_none()
                && c.said.facts.rest.is_none()
                && c.said.facts.cap.is_none()
                && c.said.items.iter().all(|it| (!it.is_dosed() || dated(it)) && (!it.is_named() || names_day))
        });
        // `Fri: upper pull + EMOM` over an empty line
        let digits = (c.from..line[line.len() - 1].to).any(|t| self.doc.typed(t, t + 1).contains(|c: char| c.is_ascii_digit()));
        let heads_day =
            is_day(self.doc.low(c.said.from)) && !digits && line.len() > 1 && self.clauses.get(end).is_none_or(|n| n.blank);
        // `SAT - EMOM party` over an empty line and a line that says how a part runs
        let runs_below = self.clauses.get(end).is_some_and(|n| n.blank && (n.said.facts.shapes() || n.lead.label.is_some()));
        let party = is_day(self.doc.low(c.said.from)) && !digits && line.len() == 1 && c.said.items.is_empty() && runs_below;
        // `ROW, THEN TEN TO ONE` over an empty line
        let in_turn = !digits && line.len() > 1 && line.iter().any(|n| n.join == Join::Then);
        let in_turn = in_turn && self.clauses.get(end).is_some_and(|n| n.blank && n.said.facts.shapes());
        let plain = plain || heads_day || party || in_turn;
        let tokens = line[line.len() - 1].to - c.from;
        let ends_as_sentence = self.doc.tokens.get(line[line.len() - 1].to).is_some_and(|t| matches!(t.text, "." | "!" | "?"));
        // `Ladders!!` over an empty line
        let shouts =
            tokens <= 2 && self.doc.low(line[line.len() - 1].to) == "!" && self.clauses.get(end).is_some_and(|n| n.blank);
        let ends_as_sentence = ends_as_sentence && !shouts;
        // `THE LONG ONE (chipper)`: what stands in brackets only says of what kind it is
        let heading = line.iter().any(|c| c.said.facts.heading.is_some() && !c.inside);
        let greeting = is_greeting(self.doc.low(c.from));
        let week = (c.from..line[line.len() - 1].to).any(|t| matches!(self.doc.low(t), "week" | "wk" | "day"));
        let ends_with_day = is_day(self.doc.low(line[line.len() - 1].to.saturating_sub(1)));
        // `Core & Calm` over an empty line and a heading of its own, `Session 2 of the cycle`
        let below =
            self.clauses.get(end).filter(|n| n.blank).is_some_and(|n| n.said.facts.heading.is_some() || n.lead.label.is_some());
        let week_only = week && line.iter().all(|c| c.said.items.iter().all(|it| !it.is_named()));
        let heading = heading && ![ends_with_day, below, week_only].contains(&true);
        if c.lead.label.is_some() || c.lead.bullet && !self.doc.tokens[c.from].is("#") || greeting {
            return false;
        }
        let last = self.doc.low(line[line.len() - 1].to.saturating_sub(1));
        let day = is_day(self.doc.low(c.said.from)) || self.doc.tokens[c.from].is("#") || ends_title(last) || ends_with_day;
        let day = day || about;
        plain && (day || tokens <= 9 && !ends_as_sentence && !heading && line.iter().map(|c| c.said.talk).sum::<usize>() < 3)
    }

    /// `Two AMRAPs today` above parts of which each says how it runs: how many there are, and no part.
    fn counts_the_parts(&self, i: usize, end: usize) -> bool {
        const KINDS: &[&str] =
            &["amraps", "emoms", "ladders", "chippers", "circuits", "couplets", "triplets", "tests", "parts", "pieces", "blocks"];
        const WHEN: &[&str] = &["today", "tonight", "this", "morning", "evening", "for", "you", "now", "only", "again", "just"];
        let from = self.clauses[i].from;
        let words = from..self.clauses[end - 1].to;
        let counted = count(self.doc, from).is_some_and(|n| (2.0..10.0).contains(&n)) && KINDS.contains(&self.doc.low(from + 1));
        let rest = words.skip(2).all(|t| {
            let low = self.doc.low(t);
            WHEN.contains(&low) || is_day(low) || self.doc.tokens[t].kind != Kind::Word && !self.doc.tokens[t].is("+")
        });
        let runs = |n: &Clause| {
            let facts = &n.said.facts;
            n.lead.label.is_some() || facts.amrap.is_some() || facts.every.is_some() || facts.for_time.is_some()
        };
        counted && rest && end < self.clauses.len() && self.clauses[end..self.line_end(end)].iter().any(runs)
    }

    /// `THE LONG ONE (chipper)`: the bracket that closes belongs to the name as the one that opens does.
    pub(super) fn with_its_bracket(&self, name: Span) -> Span {
        let count = |sign: &str| (name.0..name.1).filter(|t| self.doc.tokens[*t].is(sign)).count();
        let open = count("(") > count(")") && self.doc.low(name.1) == ")";
        (name.0, name.1 + usize::from(open))
    }

    /// Behind the name of the day: words that name nothing to be done and no number.
    fn says_where(&self, behind: &[Clause]) -> bool {
        behind.iter().all(|n| n.said.items.is_empty() && n.said.facts.is_empty() && n.join == Join::Comma && n.said.talk == 0)
    }

    /// `Hi all! Push press tonight.` above the work: what the day is about.
    pub(super) fn names_the_day(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let bare = |it: &Item| it.is_named() && !it.is_dosed() && it.load.is_none();
        let about = !c.said.items.is_empty() && c.said.items.iter().all(bare) && c.said.facts.is_empty();
        let ends = matches!(self.doc.low(c.said.to.saturating_sub(1)), "tonight" | "today" | "day" | "night");
        let last = i + 1 == self.line_end(i) && self.clauses.get(i + 1).is_some_and(|n| n.blank);
        // `Clean day. Prep with the stick: ...`
        let day = matches!(self.doc.low(c.said.to.saturating_sub(1)), "day" | "night") && c.join == Join::Line;
        let day = day && self.clauses.get(i + 1).is_some_and(|n| n.line == c.line && n.join == Join::Stop);
        let opens = c.join == Join::Stop && last || day && c.said.items.len() == 1;
        opens && c.line == self.opening && !self.started && about && ends
    }

    /// `Snatch technique - broomstick only` above `15 min, 3-4 rounds`: lines with the stick below such a name are practised.
    pub(super) fn practises_by_title(&mut self) {
        let Some(title) = self.sheet.title else { return };
        let says =
            (title.0..title.1).any(|t| matches!(self.doc.low(t), "technique" | "skill" | "skills" | "practice" | "drills"));
        let Some(first) = self.sheet.parts.first_mut().filter(|d| says && d.heading.is_none() && d.label.is_none()) else {
            return;
        };
        let doc = self.doc;
        let stick = |r: &Row| (r.item.from..(r.item.to + 3).min(doc.tokens.len())).any(|t| doc.plain[t] == "stick");
        if !first.rows.is_empty() && first.rows.iter().all(stick) {
            first.heading = Some(Heading::Skill);
        }
    }

    /// `Today we test the 2k row.`, and further on `2000 m for time`: the same amount comes again where it is done.
    pub(super) fn tells_what_comes(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let far = |it: &Item| it.dose.as_ref().filter(|q| q.unit == Unit::Metres && it.sets.is_none()).map(|q| q.amount.high());
        let [only] = &c.said.items[..] else { return false };
        let opens = c.line == self.opening && c.join == Join::Line && !self.started && c.said.talk > 0 && only.movement.is_some();
        let again = |n: &Clause| n.said.facts.for_time.is_some() && n.said.items.iter().any(|it| far(it) == far(only));
        opens && far(only).is_some() && self.sentence_end(i) == i + 1 && self.clauses[i + 1..].iter().any(again)
    }

    /// `Engine builder, no surprises.` above a line that heads a part: what the day is about, though its word heads parts too.
    pub(super) fn speaks_of_the_day(&self, i: usize, line_end: usize) -> bool {
        let c = &self.clauses[i];
        let opens = c.line == self.opening && c.join == Join::Line && !self.started && self.cur.is_blank();
        let line = &self.clauses[i..line_end.max(i + 1)];
        let plain = |n: &Clause| {
            n.said.items.is_empty() && Facts { heading: None, ..n.said.facts.clone() }.is_empty() && n.said.prefix.is_none()
        };
        let works = c.said.facts.heading.is_some_and(|(h, _)| matches!(h, Heading::Conditioning | Heading::Strength));
        let ended = self.doc.tokens.get(line[line.len() - 1].to).is_some_and(|t| matches!(t.text, "." | "!"));
        let said = c.lead == Lead::default() && !c.colon && c.said.words.iter().any(|w| self.doc.tokens[w.0].kind == Kind::Word);
        let below = self.clauses.get(line_end).is_some_and(|n| n.said.facts.heading.is_some() || n.lead.label.is_some());
        // `Gymnastics night! On the menu:`
        let night = matches!(self.doc.low(c.said.to.saturating_sub(1)), "night" | "day" | "evening") && line.len() > 1;
        let first_ended = self.doc.tokens.get(c.to).is_some_and(|t| matches!(t.text, "." | "!"));
        let night = opens && night && first_ended && said && c.said.facts.heading.is_some() && line.iter().all(plain);
        let speaks = night || opens && works && said && ended && below && line.iter().all(plain);
        speaks || opens && self.says_the_menu(i, line_end)
    }

    /// `Tonight: press + pull.`: names of what is coming, and no number.
    fn says_the_menu(&self, i: usize, line_end: usize) -> bool {
        let c = &self.clauses[i];
        let line = &self.clauses[i..line_end.max(i + 1)];
        let menu =
            self.doc.says_any(c.said.from, &["today", "tonight", "tomorrow", "on the menu", "on the plan", "the menu"]).is_some();
        let bare = |n: &Clause| {
            n.said.items.iter().all(|it| !it.is_dosed() && it.load.is_none())
                && Facts { heading: None, ..n.said.facts.clone() }.is_empty()
        };
        let more = self.clauses.get(line_end).is_some_and(|n| !n.said.items.is_empty() || !n.said.facts.is_empty());
        let colon = (c.from..line[line.len() - 1].to).any(|t| self.doc.tokens[t].is(":"));
        menu && colon && more && line.iter().all(bare)
    }

    /// `3 min skipping, ten squats, that's your warm-up`: what stands before on the line is named behind it.
    pub(super) fn names_what_was(&mut self, i: usize) -> bool {
        let c = &self.clauses[i];
        let says = self.doc.says_any(c.said.from, &["that's", "thats", "that is", "that was", "this is", "and that's"]).is_some();
        let behind = matches!(c.join, Join::Comma | Join::Stop) && self.cur.rows.last().is_some_and(|r| r.line == c.line);
        let only = c.said.items.is_empty() && Facts { heading: None, ..c.said.facts.clone() }.is_empty();
        let open = self.cur.heading.is_none() && self.cur.rows.iter().all(|r| r.line == c.line);
        let Some((heading, span)) = c.said.facts.heading.filter(|_| says && behind && only && open) else { return false };
        self.cur.heading = Some(heading);
        if self.cur.name.is_empty() {
            self.cur.name = self.doc.typed(span.0, span.1).to_owned();
        }
        self.cur.said.push((c.from, c.to));
        true
    }

    /// A few words before the line that says how a part runs: `Easy loop, 3 rounds`, or `Breakwater` above `5 rounds for time`.
    pub(super) fn is_name_of_part(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        if c.join != Join::Line || c.lead.minute.is_some() || !self.is_bare_words(i) {
            return false;
        }
        if c.lead.bullet {
            return self.heads_its_number(i);
        }
        let fresh = self.cur.is_blank() || c.blank || c.lead.label.is_some();
        let Some(n) = self.clauses.get(i + 1).filter(|n| !n.inside && !n.blank && n.lead.label.is_none()) else { return false };
        let lines = c.blank
            && self.cur.has_rounds_lines()
            && n.line == c.line + 1
            && starts_lines(&n.said.items)
            && n.said.talk == 0
            && self.line_end(i) == i + 1;
        if lines || self.heads_by_colon(i) {
            // `Ropes` between an empty line and lines that are done
            return true;
        }
        let f = &n.said.facts;
        let long = |it: &Item| it.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds && q.amount.low() >= 180.0);
        let window = matches!(&n.said.items[..], [only] if !only.is_named() && only.sets.is_none() && long(only))
            && n.line == c.line
            && self
                .clauses
                .get(self.line_end(i))
                .is_some_and(|l| (!l.blank || c.line == self.opening) && starts_lines(&l.said.items));
        let runs = window
            || f.rounds.is_some()
            || f.sets.is_some() && self.lines_follow(self.line_end(i) - 1)
            || f.amrap.is_some()
            || f.every.is_some()
            || f.on_off.is_some()
            || f.for_time.is_some();
        let beside =
            n.line == c.line && matches!(n.join, Join::Comma | Join::Colon) || n.line == c.line + 1 && n.join == Join::Line;
        fresh && runs && beside && n.said.talk == 0
    }

    /// Words or a movement's name that are the name of the part below, and nothing to be done.
    pub(super) fn names_what_follows(&self, i: usize) -> bool {
        self.is_name_of_part(i)
            || self.names_its_windows(i)
            || self.names_its_line(i)
            || self.names_its_kind(i)
            || self.names_a_test(i)
            || self.heads_superset(i)
            || self.heads_behind_then(i)
    }

    /// `Swing test: as many swings as you can`
    fn names_a_test(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let tested = self.doc.low(c.said.to.saturating_sub(1)) == "test" && c.colon && c.join == Join::Line;
        let bare = matches!(&c.said.items[..], [only] if only.movement.is_some() && !only.is_dosed() && only.load.is_none());
        let named = |n: &Clause| n.line == c.line && n.said.items.iter().any(Item::is_named);
        tested && bare && self.clauses.get(i + 1).is_some_and(named)
    }

    /// `Row` or `Press` on a line of its own, and below it `3 x 10 bent-over row`: the short name of what stands there.
    fn names_its_kind(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let [only] = &c.said.items[..] else { return false };
        let plain = !only.is_dosed() && only.load.is_none() && only.complex.is_empty() && only.choices.is_empty();
        let bullet = c.lead.bullet && !self.doc.tokens[c.from].is("#") && !self.heads_its_number(i);
        let alone = c.said.words.is_empty() && c.said.facts.is_empty() && self.line_end(i) == i + 1 && !bullet;
        let fresh = self.cur.is_blank() || c.blank && self.cur.has_rounds_lines() || c.lead.label.is_some();
        let fresh = fresh || self.heads_its_number(i);
        let below = self.clauses.get(i + 1).filter(|n| !n.blank && n.line == c.line + 1 && n.lead.label.is_none());
        let words = |it: &Item| (it.from..it.to).map(|t| &self.doc.plain[t]).filter(|w| w.len() > 1).collect::<Vec<_>>();
        let holds =
            |it: &Item| it.is_named() && it.movement != only.movement && words(only).iter().all(|w| words(it).contains(w));
        // `seated press, 12-10-8`: the dose may stand behind a comma
        let dosed = |n: &Clause| n.said.items.first().is_some_and(Item::is_dosed) || self.next_is_dose(i + 1);
        let named = below.is_some_and(|n| n.said.items.first().is_some_and(holds) && dosed(n));
        only.movement.is_some() && plain && alone && fresh && c.join == Join::Line && named
    }

    /// `Squats, 20/10 x 8: air squats`: a movement's name as the name of a part.
    pub(super) fn names_its_windows(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let bare = matches!(&c.said.items[..], [only] if only.is_named() && !only.is_dosed()) && c.said.facts.is_empty();
        let [Some(n), Some(lines)] = [1, 2].map(|k| self.clauses.get(i + k).filter(|n| n.line == c.line)) else { return false };
        let shaped = n.said.facts.shapes() && n.said.facts.heading.is_none() && n.colon && n.said.items.is_empty();
        bare && shaped && c.join == Join::Line && !c.lead.bullet && lines.said.items.iter().any(Item::is_named)
    }

    /// `Run` under an empty line and below other rungs, and then `400 m run for time`: a movement's name as the name of a part.
    pub(super) fn names_its_line(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let [only] = &c.said.items[..] else { return false };
        let bare = only.is_named() && !only.is_dosed() && only.complex.is_empty() && c.said.facts.is_empty() && !c.lead.bullet;
        let again = |it: &Item| it.movement.is_some() && it.movement == only.movement && it.dose.is_some();
        let below = self.clauses.get(i + 1).is_some_and(|n| !n.blank && n.line == c.line + 1 && n.said.items.iter().any(again));
        c.blank && c.join == Join::Line && bare && below && self.cur.doses_lines() && self.cur.has_rounds_lines()
    }

    /// `Snatch technique, 15 min`, `10 min double-under practice`: what the part is about, and perhaps for how long.
    pub(super) fn is_topic(&self, item: &Item, i: usize) -> bool {
        let c = &self.clauses[i];
        let word = item.tail.first().map_or(item.to, |t| t.0);
        let says = matches!(
            self.doc.low(word),
            "technique"
                | "practice"
                | "practise"
                | "work"
                | "skill"
                | "skills"
                | "drills"
                | "session"
                | "play"
                | "stuff"
                | "primer"
                | "prep"
                | "activation"
        );
        let timed = item.dose.as_ref().is_none_or(|q| q.unit == Unit::Seconds && q.amount.low() >= 180.0);
        let only = item.sets.is_none() && item.max.is_none() && item.build.is_none() && item.movement.is_some();
        let opens = (!c.lead.bullet || c.lead.number.is_some())
            && c.join != Join::Comma
            && c.lead.minute.is_none()
            && self.role.is_none();
        let fresh = self.cur.rows.is_empty() && self.cur.pending.is_empty() && !self.cur.doses_lines();
        says && timed && only && opens && fresh && (self.dosed_below(i) || item.dose.is_some())
    }

    pub(super) fn topic(&mut self, mut item: Item, at: Span, i: usize) {
        let c = &self.clauses[i];
        if self.cur.name.is_empty() {
            let name = self.name_of_topic(&item);
            self.cur.name = self.doc.typed(name.0, name.1).to_owned();
        }
        let heading = match self.doc.low(item.tail.first().map_or(item.to, |t| t.0)) {
            "work" | "session" => None,
            "primer" | "prep" | "activation" => Some(Heading::WarmUp),
            _ => Some(Heading::Skill),
        };
        self.cur.heading = self.cur.heading.filter(|h| *h != Heading::Plain || heading.is_none()).or(heading);
        if item.dose.is_some() {
            self.window(&item, at);
            item.dose = None;
        }
        if self.dosed_below(i) {
            self.cur.at.get_or_insert(at);
            self.cur.said.push(at);
            return;
        }
        let row = Row { item, lead: c.lead.clone(), line: c.line, role: self.role, at: Some(at), ..Row::default() };
        self.cur.pending.push(row);
    }

    /// Lines with a name and a dose stand on the typed lines below, before the next empty one.
    fn dosed_below(&self, i: usize) -> bool {
        let line = self.clauses[i].line;
        let alone =
            line == self.opening && self.line_end(i) == i + 1 && self.clauses[i].said.items.iter().all(|it| !it.is_dosed());
        self.clauses[i + 1..]
            .iter()
            .take(8)
            // `Jerk technique` over the session, and an empty line
            .take_while(|n| (!n.blank || alone && n.line == line + 2) && n.lead.label.is_none())
            .any(|n| n.line > line && n.said.items.iter().any(|it| it.is_named() && it.is_dosed()))
    }

    /// The same name stands with its dose in the next clauses of this line.
    pub(super) fn comes_again(&self, item: &Item, i: usize) -> bool {
        let same = |it: &Item| it.movement == item.movement && it.is_dosed();
        self.clauses[i..].iter().take(3).any(|n| n.line == self.clauses[i].line && n.said.items.iter().any(same))
    }

    /// `Skill: L-sit + handstand`: every name of the heading comes again with its dose on the lines below.
    pub(super) fn pending_comes(&self, i: usize) -> bool {
        let waits = |r: &Row| !r.item.is_dosed() && r.item.movement.is_some() && self.comes_below(&r.item, i);
        self.cur.rows.is_empty() && !self.cur.pending.is_empty() && self.cur.pending.iter().all(waits)
    }

    /// The same name stands with its dose in one of the next clauses, before an empty line.
    pub(super) fn comes_below(&self, item: &Item, i: usize) -> bool {
        let same = |it: &Item| it.movement == item.movement && it.is_dosed();
        let near = self.clauses[i..]
            .iter()
            .take(12)
            .enumerate()
            .take_while(|(k, n)| *k == 0 || !n.blank && n.lead.label.is_none() && n.said.facts.heading.is_none());
        near.flat_map(|(_, n)| &n.said.items).any(same)
    }

    /// The one name of the heading comes again with its own dose on a line below.
    pub(super) fn named_again(&self, i: usize) -> bool {
        let [only] = &self.cur.pending[..] else { return false };
        self.clauses[i + 1..]
            .iter()
            .take(6)
            .take_while(|n| !n.blank)
            .flat_map(|n| &n.said.items)
            .any(|it| it.movement.is_some() && it.movement == only.item.movement && it.is_dosed())
    }

    /// `start with 2 reps of each`: the first rung of everything.
    pub(super) fn starts_at(&mut self, i: usize) -> bool {
        const WORDS: &[&str] =
            &["start with", "start at", "start on", "starting with", "starting at", "begin with", "starting on"];
        let c = &self.clauses[i];
        let ([only], Some(_)) = (&c.said.items[..], self.doc.says_any(c.said.from, WORDS)) else { return false };
        let counted = only.dose.as_ref().is_some_and(|q| matches!(q.unit, Unit::Bare | Unit::Reps));
        let plain = !only.is_named() && only.load.is_none() && only.sets.is_none() && c.said.facts.is_empty();
        if !counted || !plain || self.cur.is_blank() || self.cur.rows.iter().any(|r| r.item.is_dosed()) {
            return false;
        }
        self.keep_scheme(Item { side: None, ..only.clone() }, (c.from, c.to));
        true
    }
}

/// A word that ends the name of a day: `squat day`, `snatch stuff tonight`.
fn ends_title(word: &str) -> bool {
    matches!(word, "day" | "tonight" | "today" | "stuff" | "focus" | "session" | "night" | "evening" | "week")
}
