//! What is only said: titles, sentences, scores and other versions.

use super::super::clause::{Clause, Join, Lead};
use super::super::draft::Row;
use super::super::element::Heading;
use super::super::item::{Facts, Item, Span};
use super::super::quantity::Unit;
use super::super::token::Kind;
use super::super::words::is_talk;
use super::greeting::{is_greeting, is_quote};
use super::{Assembler, starts_lines};

impl Assembler<'_, '_> {
    /// A few words and nothing else, not a sentence.
    pub(super) fn is_bare_words(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let p = &c.said;
        let ends_as_sentence = self.doc.tokens.get(c.to).is_some_and(|t| matches!(t.text, "." | "!" | "?"));
        p.items.is_empty()
            && p.facts.is_empty()
            && p.prefix.is_none()
            && p.talk == 0
            && !c.inside
            && !p.link
            && (1..=4).contains(&p.words.len())
            && p.words.iter().all(|w| self.doc.tokens[w.0].kind == Kind::Word || is_quote(self.doc.low(w.0)))
            && !ends_as_sentence
            && !is_greeting(self.doc.low(p.from))
    }

    /// A sentence to a reader, not something to do.
    /// `Morning all! Heavy-ish squats today and then a grinder.`: a typed line of sentences that tells no number and no format
    /// is read by people only, whatever it names.
    pub(super) fn is_prose(&self, i: usize, line_end: usize) -> bool {
        if self.clauses[i].join != Join::Line || self.clauses[i].lead != Lead::default() {
            return false;
        }
        let line = &self.clauses[i..line_end.max(i + 1)];
        let c = &line[0];
        let to = line[line.len() - 1].to;
        let sentences = line.iter().skip(1).filter(|n| matches!(n.join, Join::Stop | Join::Question)).count() + 1;
        let talk: usize = line.iter().map(|n| n.said.talk).sum();
        let tells = |n: &Clause| {
            let it = |it: &Item| it.is_dosed() || it.load.is_some() || it.max.is_some() || it.build.is_some();
            n.colon || n.said.items.iter().any(it) || Facts { heading: None, ..n.said.facts.clone() } != Facts::default()
        };
        let plain = !line.iter().any(tells);
        plain
            && !(i..i + line.len()).any(|k| self.says_score(k) || self.clauses[k].said.prefix.is_some())
            && sentences > 1
            && talk > 2
            && to - c.from > 8
    }

    pub(super) fn is_talk(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let p = &c.said;
        let talk_before = p.before.iter().filter(|w| is_talk(self.doc.low(w.0))).count();
        let article = |w: &&Span| matches!(self.doc.low(w.0), "a" | "an" | "the" | "some" | "your");
        let lead_in = p.before.iter().rev().find(|w| !article(w)).is_some_and(|w| {
            matches!(
                self.doc.low(w.0),
                "do" | "make"
                    | "perform"
                    | "complete"
                    | "go"
                    | "have"
                    | "with"
                    | "w"
                    | "is"
                    | "get"
                    | "through"
                    | "accumulate"
                    | "take"
                    | "hit"
                    | "today"
                    | "it's"
                    | "just"
                    | "are"
                    | "up"
                    | "we"
                    | "rung"
                    | "round"
                    | "set"
            )
        });
        let strong_item = p.items.iter().any(|it| it.is_named() && it.is_dosed());
        let verb = p.before.len() > 1 && p.before.last().is_some_and(|w| self.doc.low(w.0) == "to") && {
            let w = p.before[p.before.len() - 2].0;
            matches!(self.doc.low(w), "drop" | "down" | "cut" | "reduce" | "scale" | "switch" | "go" | "back" | "swap" | "change")
        };
        let modal = p.items.first().and_then(|it| it.tail.first().filter(|_| it.is_named())).is_some_and(|w| {
            matches!(
                self.doc.low(w.0),
                "should" | "is" | "are" | "was" | "will" | "must" | "can" | "may" | "needs" | "feels" | "gets"
            )
        });
        if self.time_to_find(i) || self.surely_tells(i) {
            return false;
        }
        if self.says_it_warms_up(i).is_some() {
            return false;
        }
        // `ok so warm up 3 min skipping`
        let headed = |at: &Span| p.items.first().is_some_and(|it| it.from == at.1 && it.is_named() && it.is_dosed());
        if p.facts.heading.is_some_and(|(_, at)| headed(&at)) && p.words.len() < 4 {
            return false;
        }
        // `bench press is four sets of eight`: the sets are told, nothing is said of them
        let modal = modal && p.items.iter().all(|it| it.sets.is_none());
        let counted = p.items.first().is_some_and(|it| it.is_named() && it.sets.is_none());
        if verb && counted || modal && p.facts.is_empty() || strong_item && self.says_enough(i) {
            // `drop to 6 squats`, `breathing should be ugly by round 3`
            return true;
        }
        let format = p.facts.amrap.is_some() || p.facts.every.is_some() || p.facts.on_off.is_some() || p.facts.rounds.is_some();
        let between = (c.from..c.to).any(|t| self.doc.low(t) == "between");
        if between && p.items.is_empty() && p.facts.rest.as_ref().is_some_and(|r| r.0.is_some()) {
            // `Between the rounds you take rest 1 minute`
            return false;
        }
        if p.items.is_empty() && p.facts.is_empty() {
            return c.lead.label.is_none() || p.talk > 1;
        }
        let again =
            p.facts.amrap.is_some_and(|a| a.0.is_none()) && p.items.iter().all(|it| !it.is_named()) && self.cur.is_shaped();
        if again && self.cur.has_rounds_lines() && !self.lines_follow(i) && !p.words.is_empty() {
            // `each AMRAP scored on its own`
            return true;
        }
        let open = |it: &Item| it.dose.as_ref().is_some_and(|q| q.open) && !it.is_named();
        if p.items.len() == 1 && open(&p.items[0]) && p.talk < 3 {
            // `1-2-3-4-... no end`
            return false;
        }
        if p.facts.step.is_some() && self.cur.first(|f| f.step).is_some() {
            return false;
        }
        if p.facts.step.is_some() && p.items.iter().any(|it| it.dose.as_ref().is_some_and(|q| q.open)) {
            // `3-6-9-12-... keep adding 3`
            return false;
        }
        if strong_item {
            let unknown_only = p.items.iter().filter(|it| it.is_named()).all(|it| it.movement.is_none());
            // the words before may be the strange name itself: `Copenhagen plank 3x20 s`
            let outside = p.before.iter().any(|w| !p.items.iter().filter_map(|it| it.unknown).any(|u| u.0 <= w.0 && w.1 <= u.1));
            if unknown_only && (p.talk > 0 || p.words.len() > 6 || outside) {
                return !format;
            }
            if self.tells_to_do(i) {
                return false;
            }
            if p.facts.rounds.is_some() && p.items.iter().filter(|it| it.is_named() && it.is_dosed()).count() > 1 {
                // `okay so today we start with 2 rounds of 10 squats 10 arm circles`
                return false;
            }
            return talk_before > 2 || talk_before > 0 && !lead_in && !format || p.before.len() > 4 && !format;
        }
        if format || p.facts.cap.is_some() && talk_before < 2 || p.facts.rest.is_some() && talk_before < 2 {
            let ended = self.doc.tokens.get(c.to).is_some_and(|t| matches!(t.text, "." | "!"));
            // `Finish all 5 rounds!`
            let urges = ended && !c.colon && p.facts.heading.is_some() && !p.words.is_empty() && p.items.is_empty();
            let about = p.facts.rounds.is_some() && self.cur.has_rounds_lines() && (p.talk > 0 || urges) && !self.lines_follow(i);
            // `then rest 90 seconds before the next round because I am kind like that`
            let rests = p.facts.rest.as_ref().is_some_and(|r| r.0.is_some() && r.2.0 == p.from);
            return about || p.talk > 3 && !rests && !self.lines_follow(i) && !self.cur.is_blank() && p.facts.amrap.is_none();
        }
        if p.facts.for_time.is_some() {
            return talk_before > 2;
        }
        let alone = Facts { heading: None, ..p.facts.clone() }.is_empty() && p.items.is_empty();
        if p.facts.heading.is_some() && alone && !matches!(c.join, Join::Line | Join::Then) && !self.lines_follow(i) {
            return true;
        }
        if p.facts.heading.is_some() && alone && c.question && !p.words.is_empty() {
            // `Didn't finish? Score is total reps`
            return true;
        }
        let ended = self.doc.tokens.get(c.to).is_some_and(|t| matches!(t.text, "." | "!"));
        let works = p.facts.heading.is_some_and(|h| matches!(h.0, Heading::Conditioning | Heading::Strength | Heading::Test));
        if alone && works && ended && !p.words.is_empty() && !c.colon && c.lead.label.is_none() && !self.lines_follow(i) {
            // `Finish easy.`
            return true;
        }
        if alone && p.facts.heading.is_some_and(|h| h.0 == Heading::Plain) && p.words.len() > 2 && !c.colon {
            // `second wave heavier than the first`
            return true;
        }
        if p.facts.heading.is_some() {
            // `easy cool down whenever you like` is a heading; `warm up well before you start` is advice
            return p.talk > 2 || talk_before > 1;
        }
        let lift = c.join == Join::Line && p.before.is_empty() && p.items.len() == 1 && p.facts.is_empty();
        let dosed_below = lift
            && p.items[0].movement.is_some()
            && self.clauses.get(i + 1).is_some_and(|n| {
                let dose = n.said.items.first().filter(|it| !it.is_named() && it.is_dosed());
                dose.is_some_and(|it| {
                    n.line == c.line + 1 || n.line == c.line && matches!(n.join, Join::Stop | Join::Then) && it.sets.is_some()
                })
            });
        if dosed_below {
            // `Strict press: wave it up` above `3-2-1`
            return false;
        }
        // `it's back squat day (hurray!), five sets of five`
        let dosed_next = self.clauses[i + 1..].iter().find(|n| !n.inside).is_some_and(|n| {
            n.join == Join::Comma && n.line == c.line && n.said.items.first().is_some_and(|it| !it.is_named() && it.is_dosed())
        });
        let bare_name = !dosed_next && p.items.iter().any(Item::is_named) && p.items.iter().all(|it| !it.is_dosed());
        // `3-position snatch`
        let manner = |w: &Span| {
            super::super::words::is_manner(self.doc.low(w.0)) || self.doc.tokens[w.0].kind == Kind::Number && w.1 > w.0 + 1
        };
        let and = matches!(&p.before[..], [and] if self.doc.plain[and.0] == "and");
        // `four stations: swings, mountain climbers, and plank`
        let station = self.cur.first(|f| f.on_off).is_some()
            && self.cur.rows.last().is_some_and(|r| r.line == c.line && !r.item.is_dosed());
        if and && bare_name && station || and && p.items.iter().all(|it| self.shared_list(it, c.line).is_some()) {
            // `21-15-9 wall balls (9/6 kg) & sit-ups`
            return false;
        }
        if bare_name && p.facts.is_empty() && c.lead.label.is_none() && p.before.iter().any(|w| !manner(w)) {
            return true;
        }
        // marks, bare doses and bare names: short or nothing
        let named = p.items.iter().any(Item::is_named);
        let mark = |it: &Item| !it.is_named() && !it.is_dosed() && it.load.is_some();
        if c.join == Join::Stop && p.before.len() > 1 && p.items.iter().all(mark) && !p.items.is_empty() {
            // `Belt on from 80%.`
            return true;
        }
        // `as long as you can hold it`
        let limit = p.items.first().is_some_and(|it| it.max.is_some() && it.from == p.from);
        p.talk > 0 && !(named && dosed_next) && !limit && p.items.iter().all(|it| it.sets.is_none() && it.build.is_none())
            || p.words.len() > 4 && !self.opens_with_sets(i)
    }

    /// `1 min rest every time you've done 3 rounds`: the words before the number say when, not how often.
    fn is_condition(&self, before: Span) -> bool {
        const WHEN: &[&str] =
            &["every time", "each time", "whenever", "any time", "anytime", "every", "after every", "after each"];
        (before.0..before.1).any(|t| self.doc.says_any(t, WHEN).is_some())
    }

    /// `deads today. work up to a 5RM`, `we're front squatting. Four sets of five`: the lift that the sets of the next sentence
    /// are of.
    fn spoken_of(&self, i: usize) -> Option<Row> {
        let c = &self.clauses[i];
        let [only] = &c.said.items[..] else { return None };
        let bare = only.movement.is_some() && !only.is_dosed() && only.choices.is_empty();
        let opens = !self.started && c.line == self.opening;
        let today = matches!(self.doc.low(c.said.to.saturating_sub(1)), "today" | "tonight" | "day");
        let whole = |it: &Item| !it.is_named() && (it.build.is_some() || it.sets.is_some() && it.dose.is_some());
        let next =
            self.clauses.get(i + 1).filter(|n| n.line == c.line && matches!(n.join, Join::Stop | Join::Comma | Join::Colon));
        let sets = next.is_some_and(|n| n.said.items.first().is_some_and(whole)) && only.to == c.said.to;
        let line = if sets { c.line } else { 0 };
        (bare && (opens && today || sets)).then(|| Row { item: only.clone(), line, ..Row::default() })
    }

    /// Words: a note, kept whole up to the end of the sentence.
    pub(super) fn talk(&mut self, i: usize) -> usize {
        let c = &self.clauses[i];
        let mut end = i + 1;
        let gentle = matches!(self.cur.heading, Some(Heading::WarmUp | Heading::CoolDown | Heading::Mobility));
        let waits = self.cur.rows.last().is_some_and(|r| r.line == c.line && !r.item.is_dosed());
        let window = |c: &Clause| {
            let long =
                |it: &Item| !it.is_named() && it.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds && q.amount.low() >= 60.0);
            (gentle || c.colon)
                && self.cur.rows.is_empty()
                && matches!(&c.said.items[..], [only] if long(only))
                && c.said.talk == 0
        };
        let says = |c: &Clause| {
            // `Pull-ups, weighted, 5x3`: the sets are still those of the name before
            let sets = |it: &Item| !it.is_named() && it.sets.is_some() && it.dose.is_some();
            // `burpees, slow, x6`: so is the number that the name still waits for
            let number = matches!(&c.said.items[..], [only] if waits && !only.is_named() && only.dose.is_some());
            window(c)
                || number && c.said.words.is_empty()
                || c.said.talk == 0 && c.said.items.iter().any(sets)
                || c.inside
                || !c.said.facts.is_empty()
                || starts_lines(&c.said.items)
                || c.join == Join::Colon && !c.said.items.is_empty()
        };
        if let Some(row) = self.spoken_of(i) {
            self.cur.carried = Some(row);
        }
        let sentence = self.sentence_end(i);
        let when = self.doc.says_any(c.said.from, &["whenever", "if you", "any time", "anytime"]).is_some();
        if when && self.comes_then(i) {
            // `then, whenever you are ready, accumulate 3 min dead hang`: only when
        } else if self
            .doc
            .says_any(c.said.from, &["every time", "each time", "whenever", "any time", "anytime", "if you"])
            .is_some()
        {
            // `every time you stop, 5 squats`: what it costs is told, not counted
            end = sentence;
        }
        while end < sentence && !says(&self.clauses[end]) {
            end += 1;
        }
        if let Some((rounds, at)) = c.said.facts.rounds.clone().filter(|(_, at)| !self.is_condition((c.from, at.0))) {
            self.cur.mentions.push((rounds, at));
        }
        if let Some((sets, at)) = c
            .said
            .facts
            .sets
            .filter(|(_, at)| !c.blank && at.0 > 0 && self.doc.low(at.0 - 1) == "all" && self.doc.low(at.1) != "of")
        {
            self.cur.sets_said.push((sets, at));
        }
        if (c.from..c.to).any(|t| matches!(self.doc.low(t), "counts" | "count")) {
            self.counts_as(i, end);
        }
        let span = self.span(i, end);
        if c.said.items.iter().any(|it| it.unknown.is_some() && it.is_dosed()) && c.said.talk == 0 {
            self.sheet.unread.push(span);
        }
        if self.hides_work(i) {
            self.sheet.unread.push(span);
        }
        self.note(span);
        end - i
    }
}
