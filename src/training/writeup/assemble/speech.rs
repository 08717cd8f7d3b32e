//! Whether a clause is only said to a reader: rules in order, of which the first that knows decides.
//!
//! # Design
//! The same words stand in talk and in work, so no one mark tells them apart. As in [`super::rules`], every rule has a name
//! and a write-up that it is for; the last of them knows every clause.

use super::super::clause::{Clause, Join};
use super::super::element::Heading;
use super::super::item::{Facts, Item, Parsed, Span};
use super::super::token::Kind;
use super::super::words::{is_manner, is_talk};
use super::Assembler;
use Heard::{Talk, Work};

/// What a clause is heard as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Heard {
    /// said to a reader
    Talk,
    /// something to do, or how it is done
    Work,
}

/// A clause while it is asked whether it is only said.
struct Speech<'s> {
    /// which clause
    i: usize,
    /// the clause
    c: &'s Clause,
    /// what it says
    said: &'s Parsed,
    /// words of talk before the first thing to do
    talk_before: usize,
    /// it brings a name with its dose
    dosed: bool,
    /// it brings an AMRAP, windows or rounds
    format: bool,
    /// it brings nothing but perhaps a heading
    bare: bool,
    /// a full stop or an exclamation mark stands behind it
    ended: bool,
}

/// What a rule makes of a clause; `None` where it does not know.
type Rule = fn(&Assembler, &Speech) -> Option<Heard>;

/// In the order in which they are asked.
const RULES: &[Rule] = &[
    surely_told,
    headed,
    dropped_to,
    said_of_a_name,
    said_to_be_enough,
    rest_between,
    only_words,
    windows_spoken_of,
    rungs_without_end,
    steps,
    strange_names,
    told_to_do,
    lines_of_rounds,
    words_before_a_line,
    words_of_a_format,
    words_of_for_time,
    heading_in_a_sentence,
    heading_asked,
    heading_as_advice,
    plain_heading_in_words,
    words_of_a_heading,
    lift_above_its_dose,
    last_of_a_list,
    name_in_words,
    load_in_words,
    anything_else,
];

impl Assembler<'_, '_> {
    /// A sentence to a reader, not something to do.
    pub(super) fn is_talk(&self, i: usize) -> bool {
        let speech = Speech::at(self, i);
        RULES.iter().find_map(|rule| rule(self, &speech)) == Some(Talk)
    }
}

impl<'s> Speech<'s> {
    fn at(a: &'s Assembler, i: usize) -> Self {
        let c = &a.clauses[i];
        let said = &c.said;
        let f = &said.facts;
        Self {
            i,
            c,
            said,
            talk_before: said.before.iter().filter(|w| is_talk(a.doc.low(w.0))).count(),
            dosed: said.items.iter().any(|it| it.is_named() && it.is_dosed()),
            format: f.amrap.is_some() || f.every.is_some() || f.on_off.is_some() || f.rounds.is_some(),
            bare: said.items.is_empty() && Facts { heading: None, ..f.clone() }.is_empty(),
            ended: a.doc.tokens.get(c.to).is_some_and(|t| matches!(t.text, "." | "!")),
        }
    }

    /// The heading that it names.
    fn heading(&self) -> Option<Heading> {
        self.said.facts.heading.map(|(heading, _)| heading)
    }

    /// None of what it brings has a number.
    fn undosed(&self) -> bool {
        self.said.items.iter().all(|it| !it.is_dosed())
    }
}

fn talk_if(yes: bool) -> Option<Heard> {
    yes.then_some(Talk)
}

fn work_if(yes: bool) -> Option<Heard> {
    yes.then_some(Work)
}

/// It knows where `asked`, and then hears talk where `yes`.
fn where_asked(asked: bool, yes: impl FnOnce() -> bool) -> Option<Heard> {
    asked.then(|| if yes() { Talk } else { Work })
}

/// `25 min to find it`, `stay at 70%`, `three minutes of skipping to warm up`
fn surely_told(a: &Assembler, s: &Speech) -> Option<Heard> {
    work_if(a.time_to_find(s.i) || a.surely_tells(s.i) || a.says_it_warms_up(s.i).is_some())
}

/// `ok so warm up 3 min skipping`
fn headed(_: &Assembler, s: &Speech) -> Option<Heard> {
    let behind = |at: &Span| s.said.items.first().is_some_and(|it| it.from == at.1 && it.is_named() && it.is_dosed());
    work_if(s.said.facts.heading.is_some_and(|(_, at)| behind(&at)) && s.said.words.len() < 4)
}

/// `drop to 6 squats`
fn dropped_to(a: &Assembler, s: &Speech) -> Option<Heard> {
    let [.., verb, to] = &s.said.before[..] else { return None };
    let drops =
        matches!(a.doc.low(verb.0), "drop" | "down" | "cut" | "reduce" | "scale" | "switch" | "go" | "back" | "swap" | "change");
    let counted = s.said.items.first().is_some_and(|it| it.is_named() && it.sets.is_none());
    talk_if(drops && a.doc.low(to.0) == "to" && counted)
}

/// `breathing should be ugly by round 3`
fn said_of_a_name(a: &Assembler, s: &Speech) -> Option<Heard> {
    let verb = s.said.items.first().filter(|it| it.is_named())?.tail.first()?;
    let says = matches!(
        a.doc.low(verb.0),
        "should" | "is" | "are" | "was" | "will" | "must" | "can" | "may" | "needs" | "feels" | "gets"
    );
    // `bench press is four sets of eight`: the sets are told, nothing is said of them
    talk_if(says && s.said.items.iter().all(|it| it.sets.is_none()) && s.said.facts.is_empty())
}

/// `5 min easy walking in between is plenty`
fn said_to_be_enough(a: &Assembler, s: &Speech) -> Option<Heard> {
    talk_if(s.dosed && a.says_enough(s.i))
}

/// `Between the rounds you take rest 1 minute`
fn rest_between(a: &Assembler, s: &Speech) -> Option<Heard> {
    let between = (s.c.from..s.c.to).any(|t| a.doc.low(t) == "between");
    work_if(between && s.said.items.is_empty() && s.said.facts.rest.as_ref().is_some_and(|r| r.0.is_some()))
}

/// Nothing to do and nothing about a part: behind a label the words may be its name.
fn only_words(_: &Assembler, s: &Speech) -> Option<Heard> {
    where_asked(s.said.items.is_empty() && s.said.facts.is_empty(), || s.c.lead.label.is_none() || s.said.talk > 1)
}

/// `each AMRAP scored on its own`
fn windows_spoken_of(a: &Assembler, s: &Speech) -> Option<Heard> {
    let again = s.said.facts.amrap.is_some_and(|w| w.0.is_none()) && s.said.items.iter().all(|it| !it.is_named());
    let above = a.cur.is_shaped() && a.cur.has_rounds_lines();
    talk_if(again && above && !a.lines_follow(s.i) && !s.said.words.is_empty())
}

/// `1-2-3-4-... no end`
fn rungs_without_end(_: &Assembler, s: &Speech) -> Option<Heard> {
    let [only] = &s.said.items[..] else { return None };
    work_if(open(only) && !only.is_named() && s.said.talk < 3)
}

/// `3-6-9-12-... keep adding 3`, and the step said once more.
fn steps(a: &Assembler, s: &Speech) -> Option<Heard> {
    work_if(s.said.facts.step.is_some() && (a.cur.first(|f| f.step).is_some() || s.said.items.iter().any(open)))
}

/// Its rungs go on and on.
fn open(item: &Item) -> bool {
    item.dose.as_ref().is_some_and(|q| q.open)
}

/// A name that nobody knows among many words, without a format that asks for lines.
fn strange_names(_: &Assembler, s: &Speech) -> Option<Heard> {
    let unknown = s.said.items.iter().filter(|it| it.is_named()).all(|it| it.movement.is_none());
    // the words before may be the strange name itself: `Copenhagen plank 3x20 s`
    let own = |w: &Span| s.said.items.iter().filter_map(|it| it.unknown).any(|u| u.0 <= w.0 && w.1 <= u.1);
    let worded = || s.said.talk > 0 || s.said.words.len() > 6 || s.said.before.iter().any(|w| !own(w));
    where_asked(s.dosed && unknown && worded(), || !s.format)
}

/// A sentence that tells what to do, however it is put.
fn told_to_do(a: &Assembler, s: &Speech) -> Option<Heard> {
    work_if(s.dosed && a.tells_to_do(s.i))
}

/// `okay so today we start with 2 rounds of 10 squats 10 arm circles`
fn lines_of_rounds(_: &Assembler, s: &Speech) -> Option<Heard> {
    let lines = s.said.items.iter().filter(|it| it.is_named() && it.is_dosed()).count();
    work_if(s.said.facts.rounds.is_some() && lines > 1)
}

/// A name and its dose behind words: talk, unless the words only lead in to them.
fn words_before_a_line(a: &Assembler, s: &Speech) -> Option<Heard> {
    let spoken = || s.talk_before > 0 && !leads_in(a, s) || s.said.before.len() > 4;
    where_asked(s.dosed, || s.talk_before > 2 || !s.format && spoken())
}

/// The last word before what it brings is one that leads to it: `we do 10 squats`.
fn leads_in(a: &Assembler, s: &Speech) -> bool {
    let article = |w: &&Span| matches!(a.doc.low(w.0), "a" | "an" | "the" | "some" | "your");
    s.said.before.iter().rev().find(|w| !article(w)).is_some_and(|w| LEADS_IN.contains(&a.doc.low(w.0)))
}

const LEADS_IN: &[&str] = &[
    "do",
    "make",
    "perform",
    "complete",
    "go",
    "have",
    "with",
    "w",
    "is",
    "get",
    "through",
    "accumulate",
    "take",
    "hit",
    "today",
    "it's",
    "just",
    "are",
    "up",
    "we",
    "rung",
    "round",
    "set",
];

/// How a part runs, or its cap or rest: talk where it speaks of rounds that are told already, or says much more.
fn words_of_a_format(a: &Assembler, s: &Speech) -> Option<Heard> {
    let f = &s.said.facts;
    // `Finish all 5 rounds!`
    let urges = s.ended && !s.c.colon && f.heading.is_some() && !s.said.words.is_empty() && s.said.items.is_empty();
    let told = f.rounds.is_some() && a.cur.has_rounds_lines() && (s.said.talk > 0 || urges);
    // `then rest 90 seconds before the next round because I am kind like that`
    let rests = f.rest.as_ref().is_some_and(|r| r.0.is_some() && r.2.0 == s.said.from);
    let long = s.said.talk > 3 && !rests && !a.cur.is_blank() && f.amrap.is_none();
    // `Today we make 4 sets of:` above the lines
    let sets = f.sets.is_some() && s.said.items.is_empty() && s.c.colon && a.lines_follow(s.i);
    let asked = s.format || sets || (f.cap.is_some() || f.rest.is_some()) && s.talk_before < 2;
    where_asked(asked, || (told || long) && !a.lines_follow(s.i))
}

/// `for time`, and how many words before it.
fn words_of_for_time(_: &Assembler, s: &Speech) -> Option<Heard> {
    where_asked(s.said.facts.for_time.is_some(), || s.talk_before > 2)
}

/// A word that names parts, inside a line and with nothing below it.
fn heading_in_a_sentence(a: &Assembler, s: &Speech) -> Option<Heard> {
    let inside = !matches!(s.c.join, Join::Line | Join::Then);
    talk_if(s.bare && s.heading().is_some() && inside && !a.lines_follow(s.i))
}

/// `Didn't finish? Score is total reps`
fn heading_asked(_: &Assembler, s: &Speech) -> Option<Heard> {
    talk_if(s.bare && s.heading().is_some() && s.c.question && !s.said.words.is_empty())
}

/// `Finish easy.`
fn heading_as_advice(a: &Assembler, s: &Speech) -> Option<Heard> {
    let works = matches!(s.heading(), Some(Heading::Conditioning | Heading::Strength | Heading::Test));
    let sentence = s.ended && !s.said.words.is_empty() && !s.c.colon && s.c.lead.label.is_none();
    talk_if(s.bare && works && sentence && !a.lines_follow(s.i))
}

/// `second wave heavier than the first`
fn plain_heading_in_words(_: &Assembler, s: &Speech) -> Option<Heard> {
    talk_if(s.bare && s.heading() == Some(Heading::Plain) && s.said.words.len() > 2 && !s.c.colon)
}

/// `easy cool down whenever you like` is a heading; `warm up well before you start` is advice.
fn words_of_a_heading(_: &Assembler, s: &Speech) -> Option<Heard> {
    where_asked(s.heading().is_some(), || s.said.talk > 2 || s.talk_before > 1)
}

/// `Strict press: wave it up` above `3-2-1`
fn lift_above_its_dose(a: &Assembler, s: &Speech) -> Option<Heard> {
    let [only] = &s.said.items[..] else { return None };
    let lift = s.c.join == Join::Line && s.said.before.is_empty() && s.said.facts.is_empty() && only.movement.is_some();
    let next = a.clauses.get(s.i + 1)?;
    let dose = next.said.items.first().filter(|it| !it.is_named() && it.is_dosed())?;
    let behind = next.line == s.c.line && matches!(next.join, Join::Stop | Join::Then) && dose.sets.is_some();
    work_if(lift && (next.line == s.c.line + 1 || behind))
}

/// `21-15-9 wall balls (9/6 kg) & sit-ups`
fn last_of_a_list(a: &Assembler, s: &Speech) -> Option<Heard> {
    let and = matches!(&s.said.before[..], [and] if a.doc.plain[and.0] == "and");
    // `four stations: swings, mountain climbers, and plank`
    let station =
        a.cur.first(|f| f.on_off).is_some() && a.cur.rows.last().is_some_and(|r| r.line == s.c.line && !r.item.is_dosed());
    let shared = || s.said.items.iter().all(|it| a.shared_list(it, s.c.line).is_some());
    work_if(and && (station && bare_name(a, s) || shared()))
}

/// Names without a number, and none behind the next comma either.
fn bare_name(a: &Assembler, s: &Speech) -> bool {
    !dosed_next(a, s) && s.undosed() && s.said.items.iter().any(Item::is_named)
}

/// `it's back squat day (hurray!), five sets of five`
fn dosed_next(a: &Assembler, s: &Speech) -> bool {
    let dose = |n: &Clause| n.said.items.first().is_some_and(|it| !it.is_named() && it.is_dosed());
    let next = a.clauses[s.i + 1..].iter().find(|n| !n.inside);
    next.is_some_and(|n| n.join == Join::Comma && n.line == s.c.line && dose(n))
}

/// A name without a number behind words that do not say how it is done.
fn name_in_words(a: &Assembler, s: &Speech) -> Option<Heard> {
    // `3-position snatch`
    let position = |w: &Span| a.doc.tokens[w.0].kind == Kind::Number && w.1 > w.0 + 1;
    let worded = s.said.before.iter().any(|w| !(is_manner(a.doc.low(w.0)) || position(w)));
    talk_if(worded && s.said.facts.is_empty() && s.c.lead.label.is_none() && bare_name(a, s))
}

/// `Belt on from 80%.`
fn load_in_words(_: &Assembler, s: &Speech) -> Option<Heard> {
    let mark = |it: &Item| !it.is_named() && !it.is_dosed() && it.load.is_some();
    let marks = !s.said.items.is_empty() && s.said.items.iter().all(mark);
    talk_if(s.c.join == Join::Stop && s.said.before.len() > 1 && marks)
}

/// Marks, bare doses and bare names: short or nothing.
fn anything_else(a: &Assembler, s: &Speech) -> Option<Heard> {
    let waits = s.said.items.iter().any(Item::is_named) && dosed_next(a, s);
    // `as long as you can hold it`
    let limit = s.said.items.first().is_some_and(|it| it.max.is_some() && it.from == s.said.from);
    let loose = s.said.items.iter().all(|it| it.sets.is_none() && it.build.is_none());
    let spoken = s.said.talk > 0 && !waits && !limit && loose;
    where_asked(true, || spoken || s.said.words.len() > 4 && !a.opens_with_sets(s.i))
}
