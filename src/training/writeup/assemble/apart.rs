//! What stands below a finished part and says by itself that it is none of its lines.

use super::super::clause::{Clause, Join, Lead};
use super::super::element::Heading;
use super::super::item::{Item, Span};
use super::super::quantity::Unit;
use super::{Assembler, starts_lines};

/// Words that make a time one sum, gathered in as many tries as it takes.
pub(super) const GATHERED: &[&str] = &[
    "in total",
    "total",
    "altogether",
    "all together",
    "all in all",
    "accumulate",
    "accumulated",
    "accumulating",
    "collect",
    "gather",
    "as many goes as",
    "as many tries as",
    "as many sets as",
    "as many attempts as",
    "as many bits as",
    "in as few goes as",
    "in as few sets as",
    "in as few tries as",
    "break it up",
    "broken up",
    "split it up",
];

impl Assembler<'_, '_> {
    /// The empty line before clause `i` tells something: the part so far does not have one before each of its lines.
    pub(super) fn gap_tells(&self, i: usize) -> bool {
        let head = self.first_line();
        let opens = |c: &&Clause| matches!(c.join, Join::Line | Join::Then) && !c.inside;
        let own = self.clauses[..i].iter().rev().take(40).take_while(|c| c.line > head);
        let mut below = own.filter(opens).peekable();
        self.clauses[i].blank && (below.peek().is_none() || below.any(|c| !c.blank))
    }

    /// `plank, 2 min in total`, `2 min dead hang, as many goes as you need`: the words at clause `i` that make its time one sum.
    pub(super) fn gathered(&self, i: usize) -> Option<Span> {
        let c = self.clauses.get(i)?;
        let held = |it: &Item| it.is_named() && it.sets.is_none() && it.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds);
        let [only] = &c.said.items[..] else { return None };
        let named = held(only) || only.is_named() && !only.is_dosed() && self.dose_beside(i);
        let end = self.clauses[self.sentence_end(i) - 1].to;
        let says = (c.from..end).find_map(|t| self.doc.says_any(t, GATHERED).map(|n| (t, t + n)));
        says.filter(|s| named && s.1 <= end)
    }

    /// `accumulate 3 min dead hang`: of those words, the ones that stand before the name and would be lost to the line.
    pub(super) fn gathered_ahead(&self, i: usize) -> Option<Span> {
        let c = &self.clauses[i];
        let ahead = |s: &Span| c.said.before.contains(s) && c.said.items.first().is_some_and(|it| s.1 <= it.from);
        self.gathered(i).filter(ahead)
    }

    /// The part so far is a warm-up, a cool-down or a stretch.
    pub(super) fn in_prep(&self) -> bool {
        matches!(self.cur.heading, Some(Heading::WarmUp | Heading::CoolDown | Heading::Mobility))
    }

    /// `Max plank`, `5 min easy bike` behind an empty line: to the limit where no line so far is, or too long for a round.
    pub(super) fn outlasts(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let tried = self.cur.rows.iter().any(|r| r.item.max.is_some());
        let max = |it: &Item| it.max.is_some() && !tried;
        let long = |it: &Item| it.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds && q.amount.low() >= 180.0);
        let items = &c.said.items;
        let all = !items.is_empty() && items.iter().all(|it| it.is_named() && (max(it) || long(it)));
        all && c.join == Join::Line && self.gap_tells(i) && !self.says_left(i)
    }

    /// `50 sit-ups` behind an empty line: a line that could stand in each of the rounds above, had it not been set apart.
    pub(super) fn counts_below(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let plain = |it: &Item| it.is_named() && it.dose.is_some() && it.sets.is_none() && it.max.is_none() && it.build.is_none();
        let bare = Lead { bullet: false, ..c.lead.clone() } == Lead::default() && c.said.facts.is_empty();
        bare && starts_lines(&c.said.items) && c.said.items.iter().all(plain) && c.join == Join::Line && self.gap_tells(i)
    }

    /// Empty lines stand inside the list of the part so far as well: below its heading, or between the bullets of one list, or
    /// it is a chipper, whose list is long and done once; or the words at clause `i` say that it is done in each round.
    pub(super) fn loose_list(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let head = self.first_line();
        let first = self.clauses[..i].iter().rev().take(40).take_while(|c| c.line > head).last();
        let spaced = first.is_some_and(|c| c.blank);
        let bullets = c.lead.bullet && self.cur.rows.iter().all(|r| r.lead.bullet);
        let chipper = !self.in_windows() && self.cur.scheme.is_none() && self.cur.first(|f| f.rounds.clone()).is_none();
        spaced || bullets || chipper || self.says_each(i)
    }

    /// `Hanging: 2 min dead hang` behind an empty line: a few words with a colon, and then what is done.
    pub(super) fn heads_by_colon(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let next = self.clauses.get(i + 1).filter(|n| !n.inside && (n.line == c.line || n.line == c.line + 1 && !n.blank));
        let dosed = |it: &Item| it.is_dosed() && it.dose.is_some();
        let gathered = self.gathered(i + 1).is_some();
        let beside = |n: &Clause| n.said.items.iter().any(Item::is_named) && self.dose_beside(i + 1);
        let done = next.is_some_and(|n| gathered || starts_lines(&n.said.items) || n.said.items.iter().any(dosed) || beside(n));
        let below_sets = || gathered && self.cur.rows.iter().all(|r| r.item.sets.is_some());
        c.colon && done && self.cur.has_rounds_lines() && (self.gap_tells(i) || below_sets() || self.each_on_its_line(i))
    }

    /// `Legs, 3 sets: 10 squats, 10 lunges`, and on the next line `Out: doorway stretch, 1 min per side`: each typed line has
    /// its own words before a colon, and is a part.
    fn each_on_its_line(&self, i: usize) -> bool {
        const KIT: &[&str] = &[
            "home", "hotel", "travel", "gym", "outside", "outdoors", "no", "with", "without", "only", "load", "loads", "weight",
            "weights", "tempo", "men", "women", "level",
        ];
        let c = &self.clauses[i];
        let head = self.first_line();
        let above = head < c.line && self.cur.rows.iter().all(|r| r.line == head);
        let colon = || self.clauses[..i].iter().rev().take_while(|n| n.line >= head).any(|n| n.line == head && n.colon);
        let named = self.clauses.get(i + 1).is_some_and(|n| n.line == c.line && n.said.items.iter().any(Item::is_named));
        let kit = (c.said.from..c.said.to).any(|t| KIT.contains(&self.doc.low(t)));
        c.join == Join::Line && above && named && !kit && colon()
    }
}

#[cfg(test)]
mod tests {
    use super::super::super::read;
    use crate::training::movement::Library;
    use crate::training::session::{ProblemKind, Session, Severity};

    fn session(text: &str) -> Session {
        read(text, Library::shipped())
    }

    /// Movements of each part.
    fn parts(text: &str) -> Vec<Vec<String>> {
        session(text).parts.iter().map(|p| p.lines.iter().map(|l| l.movement.clone()).collect()).collect()
    }

    fn asks(text: &str) -> bool {
        session(text).problems.iter().any(|p| p.kind == ProblemKind::Unclear && p.severity == Severity::Ask)
    }

    const ABOVE: [&str; 4] =
        ["EMOM 10\n5 push-ups", "12 min AMRAP\n5 push-ups\n10 squats", "4 rounds\n5 push-ups", "3 rounds for time: 5 push-ups"];

    #[test]
    fn what_brings_its_own_time_purpose_or_limit_leaves_the_part_above_the_empty_line() {
        for above in ABOVE {
            for (own, movement) in [
                ("10 min to find a 5RM back squat", "back squat"),
                ("Work up to a heavy 3 on bench, 15 mins", "bench press"),
                ("Plank 2 min total", "plank"),
                ("Hanging: 2 min dead hang, as many goes as you need", "dead hang"),
                ("accumulate 2 min dead hang", "dead hang"),
                ("Max plank", "plank"),
                ("5 min easy bike", "bike"),
            ] {
                let text = format!("{above}\n\n{own}");
                let read = parts(&text);
                assert_eq!((read.len(), read[1][..].to_vec()), (2, vec![movement.to_owned()]), "{text}");
                assert!(session(&text).problems.is_empty(), "{text}");
            }
        }
    }

    #[test]
    fn a_time_in_total_is_no_dose_of_each_set() {
        let text = "Farmers walk 4 x 40 m, 2 x 24 kg, rest 90 s\nDead hang 2 min in total";
        assert_eq!(parts(text), [["farmer carry"], ["dead hang"]]);
        assert_eq!(session(text).parts[1].lines[0].note.as_deref(), Some("in total"));
    }

    #[test]
    fn what_is_gathered_inside_a_round_is_asked_about_and_each_mend_answers_it() {
        let text = "3 rounds\n10 squats\naccumulate 60 s dead hang";
        let found = session(text).problems;
        let [only] = &found[..] else { panic!("{found:?}") };
        for mend in &only.suggest {
            assert!(!asks(&text.replace("accumulate 60 s dead hang", mend)), "{mend}");
        }
    }

    #[test]
    fn a_count_below_an_empty_line_is_asked_about_and_each_mend_answers_it() {
        let text = "12 min AMRAP\n5 push-ups\n10 squats\n\n50 sit-ups";
        assert_eq!(parts(text).len(), 2);
        let found = session(text).problems;
        let [only] = &found[..] else { panic!("{found:?}") };
        let mended: Vec<usize> = only.suggest.iter().map(|m| parts(&text.replace("50 sit-ups", m)).len()).collect();
        assert_eq!(mended, [2, 1]);
        assert!(only.suggest.iter().all(|m| !asks(&text.replace("50 sit-ups", m))));
    }

    #[test]
    fn a_part_told_on_one_line_ends_there_without_a_question() {
        let text = "3 rounds: 10 squats, 10 push-ups\n\n50 sit-ups";
        assert_eq!((parts(text).len(), asks(text)), (2, false));
    }

    #[test]
    fn empty_lines_between_all_lines_end_nothing() {
        let text = "12 min AMRAP\n\n5 push-ups\n\n10 squats\n\n15 sit-ups";
        assert_eq!((parts(text).len(), asks(text)), (1, false));
    }

    #[test]
    fn the_list_of_a_chipper_goes_on_below_an_empty_line() {
        let text = "For time\n50 squats\n40 push-ups\n\n30 sit-ups\n20 burpees";
        assert_eq!((parts(text).len(), asks(text)), (1, true));
    }

    #[test]
    fn a_long_rest_between_empty_lines_is_no_rest_of_each_round() {
        let text = "5 rounds\n10 squats\n\nRest 3 min\n\n12 min AMRAP\n5 push-ups\n10 squats";
        let read = session(text);
        assert_eq!((read.parts.len(), read.parts[0].rest_s.clone()), (2, None));
        assert_eq!(read.parts[0].notes, ["Rest 3 min"]);
    }

    #[test]
    fn another_version_for_who_is_alone_takes_nothing_from_the_part() {
        let text = "24 min AMRAP\n8 pull-ups\n12 push-ups\nthen 1 min rest every time you've done 3 rounds\n\
                    or if you're alone: 5 RFT, same movements, 60 s rest after each round";
        let read = session(text);
        assert_eq!((read.problems.len(), read.parts.len(), read.parts[0].rest_s.clone()), (0, 1, None));
        assert_eq!(read.parts[0].options.len(), 1);
    }

    #[test]
    fn one_more_every_minute_keeps_its_name_and_asks_nothing() {
        let text = "Death by burpees\n1 rep in the first minute, 2 in the second, 3 in the third etc until you can't";
        let read = session(text);
        assert_eq!((read.problems.len(), read.parts[0].name.as_str()), (0, "Death by burpees"));
        assert!(read.parts[0].lines[0].open);
    }

    #[test]
    fn so_many_minutes_of_each_line_stand_one_after_the_other() {
        let minutes = |text: &str| session(text).parts[0].lines.iter().map(|l| l.minute).collect::<Vec<_>>();
        assert_eq!(minutes("EMOM 4, 2 min each:\n5 burpees\n5 squats"), [Some(1), Some(2), Some(3), Some(4)]);
        let uneven = session("EMOM 12, 5 min each:\n5 burpees\n5 squats");
        assert!(uneven.problems.iter().any(|p| p.severity == Severity::Ask), "{:?}", uneven.problems);
    }
}
