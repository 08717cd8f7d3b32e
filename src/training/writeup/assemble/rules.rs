//! Where a part begins: rules in order, of which the first that knows decides.
//!
//! # Design
//! As a list every rule can be read, tried and taken out by itself: each has a name and a write-up that it is for. Where no
//! rule knows, the part goes on.

mod told;
mod topics;
mod tried;

use super::super::super::dose::Amount;
use super::super::super::session::Role;
use super::super::clause::{Clause, Join};
use super::super::element::Heading;
use super::super::item::Item;
use super::super::quantity::Unit;
use super::Assembler;
use super::situation::{Situation, Verdict};
use Verdict::{Begins, GoesOn};

/// What a rule makes of a clause; `None` where it does not know.
type Rule = fn(&Assembler, &Situation) -> Option<Verdict>;

/// In the order in which they are asked.
const RULES: &[(&str, Rule)] = &[
    ("nothing yet", nothing_yet),
    ("a station", a_station),
    ("the heading again", the_heading_again),
    ("a label", a_label),
    ("behind windows that go on with the line above", told::behind_windows_alone),
    ("a heading", a_heading),
    ("leaves the warm-up", leaves_the_warm_up),
    ("races behind the warm-up", races_behind_the_warm_up),
    ("then, below what lasts", told::then_below_what_lasts),
    ("a topic below what lasts", topics::a_topic_below_what_lasts),
    ("waits for its lines", waits_for_its_lines),
    ("rungs below a skill", rungs_below_a_skill),
    ("built up below an empty line", built_up_below_an_empty_line),
    ("one amount in all", one_amount_in_all),
    ("a buy-in begins", a_buy_in_begins),
    ("behind a cash-out", behind_a_cash_out),
    ("only if something is left", told::only_if),
    ("done once behind the rounds", done_once_behind),
    ("every minute, for time", every_minute_for_time),
    ("a long hold to end", a_long_hold_to_end),
    ("too long for a round", too_long_for_a_round),
    ("steady, below a window told on one line", steady_below_a_window),
    ("told behind its lines", told_behind_its_lines),
    ("a window of its own", a_window_of_its_own),
    ("a time before its lines", a_time_before_its_lines),
    ("for time below an empty line", for_time_below_an_empty_line),
    ("a list below a part told on one line", topics::a_list_below_one_line),
    ("lines below what lasts", lines_below_what_lasts),
    ("then, below an empty line", then_below_an_empty_line),
    ("rounds behind the whole line", rounds_behind_the_line),
    ("rounds inside", rounds_inside),
    ("the next of a list", the_next_of_a_list),
    ("another superset", another_superset),
    ("rounds and lines", rounds_and_lines),
    ("sets of its own", sets_of_its_own),
    ("more sets of the same", more_sets_of_the_same),
    ("sets without a name", sets_without_a_name),
    ("a try before its name", tried::a_try_before_its_name),
    ("a try", tried::a_try),
    ("then stretches", told::then_stretches),
    ("then a try", tried::then_a_try),
    ("then stretches, behind a race", told::then_stretches_behind_a_race),
    ("then, for time", then_for_time),
    ("then lines", then_lines),
    ("a long stretch at the end", a_long_stretch_at_the_end),
    ("then a name and its sets", then_a_name_and_its_sets),
    ("a bare name", a_bare_name),
    ("lines below an empty line", lines_below_an_empty_line),
    (COUNT_BELOW, a_count_below_an_empty_line),
    ("leaves the sets", leaves_the_sets),
];

/// The rule that knows as far as can be told, so that the coach is asked.
const COUNT_BELOW: &str = "a count below an empty line";

impl Assembler<'_, '_> {
    /// A new part begins at clause `i`.
    pub(super) fn begins(&self, i: usize) -> bool {
        self.decides(i).is_some_and(|(_, verdict)| verdict == Begins)
    }

    /// What no more than an empty line tells of clause `i`: whether its lines are read as a part of their own.
    pub(super) fn told_by_gap_alone(&self, i: usize) -> Option<bool> {
        self.decides(i).filter(|(name, _)| *name == COUNT_BELOW && self.first_line() != self.line).map(|(_, v)| v == Begins)
    }

    /// The rule that knows whether a part begins at clause `i`, and what it says.
    fn decides(&self, i: usize) -> Option<(&'static str, Verdict)> {
        let s = Situation::at(self, i);
        RULES.iter().find_map(|(name, rule)| rule(self, &s).map(|verdict| (*name, verdict)))
    }
}

fn begins_if(yes: bool) -> Option<Verdict> {
    yes.then_some(Begins)
}

fn goes_on_if(yes: bool) -> Option<Verdict> {
    yes.then_some(GoesOn)
}

/// It knows where `asked`, and then begins a part where `yes`.
fn where_asked(asked: bool, yes: impl FnOnce() -> bool) -> Option<Verdict> {
    asked.then(|| if yes() { Begins } else { GoesOn })
}

/// There is no part yet that could end.
fn nothing_yet(_: &Assembler, s: &Situation) -> Option<Verdict> {
    goes_on_if(s.cur.is_blank())
}

/// `A.`, `B.` under `every 2:00, alternating` are its stations.
fn a_station(a: &Assembler, s: &Situation) -> Option<Verdict> {
    goes_on_if(a.is_station_label(s.i))
}

/// `Skill: L-sit + handstand`, and below it `20 s L-sit`: the names of the heading come again with their doses.
fn the_heading_again(a: &Assembler, s: &Situation) -> Option<Verdict> {
    // `0-10 build up to a deadlift`, and below it `10-20 EMOM: 3 deadlifts`: the next stretch of the hour
    let names = s.says.heading.is_some_and(|(_, at)| at.0 == s.c.from);
    goes_on_if(s.c.lead.label.is_none() && !s.c.blank && !names && a.pending_comes(s.i))
}

/// `B. Rows 3x10` ends A; `A2` does not end `A1`.
fn a_label(a: &Assembler, s: &Situation) -> Option<Verdict> {
    let label = s.c.lead.label.as_ref()?;
    let own = s.cur.label.as_ref();
    if a.goes_on_below_capital(s.i) {
        return Some(GoesOn);
    }
    let pair = own.is_some_and(|l| l.chars().next() == label.chars().next() && label.len() > 1);
    let other = own.is_some_and(|l| l != label);
    where_asked(true, || !pair && (!s.cur.rows.is_empty() || !s.cur.pending.is_empty() || s.shaped || other))
}

/// The clause names a part where a name can stand, and something of a part stands above.
fn names_a_part(a: &Assembler, s: &Situation) -> bool {
    let Some((heading, _)) = s.says.heading else { return false };
    let above = s.full || s.shaped || s.cur.heading.is_some() && (s.c.line != a.first_line() || another_lasts(s));
    let placed = s.on_line || s.then || s.c.join == Join::Stop || s.c.join == Join::Comma && heading != Heading::Plain;
    above && placed
}

/// `warm up 10 min first, cool down 5 min`: two times, each with its heading.
fn another_lasts(s: &Situation) -> bool {
    let other = s.says.heading.is_some_and(|(h, _)| h != Heading::Plain && s.cur.heading.is_some_and(|own| own != h));
    other && s.lasts() && (s.says.window.is_some() || !s.items.is_empty())
}

/// `Cool-down` under the lines of another part; a second heading word on one line only names the first part further.
fn a_heading(a: &Assembler, s: &Situation) -> Option<Verdict> {
    let further = || s.c.line != a.first_line() && !matches!(s.says.heading, Some((Heading::Plain, _))) && !told_below(a, s);
    // `Warm-up is 5 min easy row, then 4 x 20 s fast / 40 s easy`, and below it `Main: ...`
    let windowed = || s.on_line && s.c.line != a.first_line() && a.carries_on();
    where_asked(names_a_part(a, s), || s.full || further() || another_lasts(s) || windowed())
}

/// `Down`, and right below it `5 min easy stretching`: what the heading above is about, and no heading of its own.
fn told_below(a: &Assembler, s: &Situation) -> bool {
    let stretch = s.says.heading.is_some_and(|(h, _)| matches!(h, Heading::Mobility | Heading::CoolDown));
    let right_below = s.on_line && !s.c.blank && s.c.line == a.first_line() + 1;
    let timed = s.says.window.is_some() || a.next_is_dose(s.i);
    stretch && s.gentle && right_below && timed && !s.c.colon && !a.lines_follow(s.i)
}

/// `Warm-up: 5 min easy`, an empty line, and then a lift.
fn leaves_the_warm_up(a: &Assembler, s: &Situation) -> Option<Verdict> {
    begins_if(a.leaves_prep(s.i))
}

/// `Warm up for 5 minutes with whatever you like. Then it's for time: 40 squats`: nobody races in a warm-up.
fn races_behind_the_warm_up(_: &Assembler, s: &Situation) -> Option<Verdict> {
    let races = s.says.for_time.is_some() || s.says.cap.is_some() || s.window;
    begins_if(s.gentle && !s.full && s.then && s.lasts() && races)
}

/// `3 rounds`, and below it `10 squats`: it was only a heading so far.
fn waits_for_its_lines(_: &Assembler, s: &Situation) -> Option<Verdict> {
    goes_on_if(!s.full)
}

/// `Skill: handstand`, and below it `21-15-9` above names: nobody holds a handstand in such rungs.
fn rungs_below_a_skill(a: &Assembler, s: &Situation) -> Option<Verdict> {
    begins_if(s.on_line && s.cur.heading == Some(Heading::Skill) && !s.cur.pending.is_empty() && a.new_rungs(s.i))
}

/// `EMOM 10: 5 push-ups`, an empty line, `10 min to find a 5RM back squat`
fn built_up_below_an_empty_line(_: &Assembler, s: &Situation) -> Option<Verdict> {
    let built = s.items.iter().any(|it| it.is_named() && it.build.is_some());
    begins_if(s.under_blank && s.lines && built && s.c.lead.minute.is_none())
}

/// `12 min AMRAP: ...`, an empty line, `plank 2 min total`; `4 x 40 m carry`, and below it `dead hang 2 min in total`
fn one_amount_in_all(a: &Assembler, s: &Situation) -> Option<Verdict> {
    let apart = s.under_blank || s.on_line && s.all_in_sets() && !s.shaped;
    // no minute holds a minute and a half of it
    let apart = apart || s.on_line && a.in_windows() && s.holds_long() && !s.gentle;
    let told = s.starts && a.says_in_all(s.i) || a.gathered(s.i).is_some() && !s.gentle;
    begins_if(apart && s.lines && told && s.c.lead.minute.is_none())
}

/// `3 sets: ...`, and below it `buy-in 1 km run, then 5 rounds`: nothing comes before what stands above.
fn a_buy_in_begins(_: &Assembler, s: &Situation) -> Option<Verdict> {
    let buys_in = s.says.role.is_some_and(|(role, _)| role == Role::BuyIn);
    let above = s.cur.rows.iter().all(|r| r.role.is_none()) && s.cur.first(|f| f.for_time).is_none();
    begins_if(buys_in && s.on_line && s.lines && above && !a_window_waits(s))
}

/// The part so far says how long it runs, and its buy-in may be told below its lines.
fn a_window_waits(s: &Situation) -> bool {
    s.cur.first(|f| f.amrap).is_some() && !s.c.blank
}

/// `cash-out 500 m row`, an empty line, and then a lift
fn behind_a_cash_out(_: &Assembler, s: &Situation) -> Option<Verdict> {
    let ended = s.cur.rows.last().is_some_and(|r| r.role == Some(Role::CashOut));
    let again = s.says.role.is_some();
    begins_if(s.under_blank && ended && !again && (s.starts || s.items.iter().any(Item::is_named) && s.says.shapes()))
}

/// `21-15-9`, and below its lines `then 400 m run`: the same part, once at its end.
fn done_once_behind(a: &Assembler, s: &Situation) -> Option<Verdict> {
    goes_on_if(a.finish(s.i).is_some())
}

/// `5 rounds for time`, and below it `every minute: 3 burpees`: what it costs.
fn every_minute_for_time(a: &Assembler, s: &Situation) -> Option<Verdict> {
    goes_on_if(s.open_window() && (s.timed && !s.c.blank || a.costs(s.i)))
}

/// `8 min AMRAP of ..., and a 2 min child's pose to land`
fn a_long_hold_to_end(a: &Assembler, s: &Situation) -> Option<Verdict> {
    begins_if(s.lines && a.long_hold_behind(s.i))
}

/// `12 min AMRAP` with its lines, and behind an empty line `max plank` or `5 min easy bike`
fn too_long_for_a_round(a: &Assembler, s: &Situation) -> Option<Verdict> {
    begins_if(s.lines && !s.gentle && (s.shaped || s.cur.scheme.is_some()) && a.outlasts(s.i))
}

/// `8 min AMRAP: 6 burpees, 10 sit-ups` all on one line, and right below it `4 min easy walk`
fn steady_below_a_window(a: &Assembler, s: &Situation) -> Option<Verdict> {
    let [only] = s.items else { return None };
    let long = only.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds && q.amount.low() >= 180.0) && only.is_named();
    // `3 min couch stretch 90 s each side`: the time is the part's
    let lasts = s.says.window.as_ref().is_some_and(|w| w.0.low() >= 120.0) && only.is_named();
    let one_line = a.in_windows() && s.cur.rows.iter().all(|r| r.line == a.first_line());
    let apart = one_line && (lasts || long && s.cur.rows.len() > 1);
    begins_if(s.on_line && s.lines && !s.gentle && apart && s.c.lead.minute.is_none())
}

/// `30 squats, 15 wall balls - as many rounds as possible in 8 minutes`
fn told_behind_its_lines(a: &Assembler, s: &Situation) -> Option<Verdict> {
    goes_on_if(a.told_after(s.i) || a.clock_told_below(s.i))
}

/// `AMRAP 8`, `every 2:00 x 5`, `30 s on / 30 s off` under the lines of another part.
fn a_window_of_its_own(a: &Assembler, s: &Situation) -> Option<Verdict> {
    where_asked(s.window, || s.lines || s.shaped || s.then || s.under_blank && s.lasts() && a.names_follow(s.i))
}

/// `Then 10 minutes on the floor: 2 min pigeon, ...`: how long the part lasts, and behind a colon what it is made of.
fn a_time_before_its_lines(a: &Assembler, s: &Situation) -> Option<Verdict> {
    let [only] = s.items else { return None };
    let long = only.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds && q.amount.low() >= 180.0) && only.sets.is_none();
    let opens = s.then || s.on_line || s.c.join == Join::Stop;
    let beside = a.clauses.get(s.i + 1).filter(|n| n.line == s.c.line);
    let lines =
        beside.is_some_and(|n| n.said.facts.every.is_some() || n.said.items.iter().any(|it| it.is_named() && it.is_dosed()));
    // `then 8 min of` or `8 min of` behind an empty line, and below it `leg swings 10 / side`
    let of = s.then || s.on_line && matches!(a.doc.low(s.c.to - 1), "of" | "with");
    let below = of && s.c.blank && s.i + 1 == a.line_end(s.i) && a.lines_follow(s.i);
    begins_if(s.lines && long && !only.is_named() && (s.c.colon && opens && lines || below))
}

/// `21-15-9 for time` behind an empty line.
fn for_time_below_an_empty_line(a: &Assembler, s: &Situation) -> Option<Verdict> {
    let opens = s.under_blank || s.c.blank && s.then || topics::behind_words_under_blank(a, s);
    begins_if(opens && s.lines && s.says.for_time.is_some() && a.names_follow(s.i))
}

/// `Warm-up: brisk walk, 5 minutes`, and behind an empty line `run 2 minutes, walk 1 minute`
fn lines_below_what_lasts(_: &Assembler, s: &Situation) -> Option<Verdict> {
    begins_if(s.under_blank && !s.cur.pending.is_empty() && s.lasts() && s.starts)
}

/// `AMRAP 8: ...`, an empty line, `then 3 minutes plank`
fn then_below_an_empty_line(_: &Assembler, s: &Situation) -> Option<Verdict> {
    // `8 x 20 s / 1:40 off`, its score, an empty line, `then 10 min easy bike`: no window holds that
    let windows = s.cur.first(|f| f.on_off).is_some() && s.holds_long() && s.c.lead.minute.is_none();
    begins_if(s.c.blank && s.then && s.shaped && (s.lines || windows) && s.items.iter().any(Item::is_named))
}

/// `6 rows, 6 cleans, 6 push press x 5 rounds` under other lines: all of the line is a part.
fn rounds_behind_the_line(a: &Assembler, s: &Situation) -> Option<Verdict> {
    begins_if(s.on_line && s.lines && s.starts && !s.gentle && a.told_behind(s.i))
}

/// `For time: 800 m run`, and below it `3 rounds`; `..., alternate, 8 rounds`: it speaks of what stands above.
fn rounds_inside(a: &Assembler, s: &Situation) -> Option<Verdict> {
    goes_on_if(a.opens_rounds(s.i) || a.ends_its_line(s.i))
}

/// `1) 4 sets of ...`, `2) ...`
fn the_next_of_a_list(a: &Assembler, s: &Situation) -> Option<Verdict> {
    begins_if(a.next_of_list(s.i))
}

/// `superset, 3 rounds: ...` with its lines, and below it `triset x3`
fn another_superset(a: &Assembler, s: &Situation) -> Option<Verdict> {
    let often = s.says.times.is_some() || s.says.sets.is_some() || s.says.rounds.is_some();
    let heads = s.on_line && s.lines && s.items.is_empty() && often && a.says_together((s.c.from, s.c.to));
    begins_if(heads && a.lines_follow(s.i))
}

/// `3 rounds of 10 swings` under other lines.
fn rounds_and_lines(a: &Assembler, s: &Situation) -> Option<Verdict> {
    let said = s.says.rounds.is_some() || s.says.for_time.is_some() || s.says.sets.is_some();
    // `ten minutes of get-up practice. Then it's five rounds, each round is ten swings`
    let practised = s.then && s.c.sentence && s.lasts() && !s.cur.pending.is_empty() && a.names_follow(s.i);
    // `Log nothing there. Then, for time, four rounds of ...`
    let raced = s.then && s.says.for_time.is_some() && a.names_follow(s.i);
    // `six rounds of one minute on, one off. Then trunk work, three rounds: twenty twists`
    let windows = s.then && s.shaped && s.cur.first(|f| f.on_off).is_some() && s.says.rounds.is_some() && a.names_follow(s.i);
    let asked = said && (s.lines && (s.starts || a.lines_follow(s.i) || a.brackets_follow(s.i) || raced) || practised || windows);
    where_asked(asked, || s.c.join != Join::Comma || s.says.rounds.is_some() || raced)
}

/// `Rows 3x10` under `Squats 5x5`
fn sets_of_its_own(a: &Assembler, s: &Situation) -> Option<Verdict> {
    // `Clean singles, every 90 s x 10`, and below it `then 3x5 front squat`
    let told = s.lines || s.shaped && s.then && !s.cur.pending.is_empty();
    let sets = s.items.iter().any(|it| it.is_named() && it.sets.is_some());
    where_asked(sets || told::lists_its_sets(a, s), || told && a.splits_sets(s.i))
}

/// `1x10 @ 60%`, and below it `1x8 @ 65%`
fn more_sets_of_the_same(a: &Assembler, s: &Situation) -> Option<Verdict> {
    let [only] = s.items else { return None };
    goes_on_if(a.goes_on_with_sets(only, s.i))
}

/// `Heavy single snatch`, `then 3x2 @ 80 %`
fn sets_without_a_name(a: &Assembler, s: &Situation) -> Option<Verdict> {
    // `4x3 @ 85%`, and below it `1xAMRAP @ 65%`
    let opens = s.on_line || s.c.join == Join::Stop && s.c.sentence;
    let limit = |it: &Item| it.max.is_some() && it.load.is_some() && opens && s.all_in_sets();
    let sets = s.items.iter().any(|it| !it.is_named() && it.sets.is_some() && (it.dose.is_some() || limit(it)));
    let last = s.cur.rows.last();
    let waits = last.is_some_and(|r| !r.item.is_dosed());
    let built = last.is_some_and(|r| r.item.build.is_some()) && s.c.join != Join::Bracket;
    if a.runs_on(s.i) {
        return Some(Begins);
    }
    // `5x3 @ 80%. Drop to 60% and do 1 x max`
    let dropped = s.c.join == Join::Stop && s.items.iter().any(|it| !it.is_named() && limit(it));
    begins_if(sets && !waits && s.cur.pending.is_empty() && s.lines && (s.then || s.on_line || built || dropped))
}

/// `then 800 m run to finish` under `for time`
fn then_for_time(a: &Assembler, s: &Situation) -> Option<Verdict> {
    let below = s.i > 0 && a.clauses[s.i - 1].line != s.c.line;
    goes_on_if(s.timed && s.then && !s.c.blank && !s.says.shapes() && below)
}

/// `3 rounds of 10 swings. Then 5 min bike`; not on the line of what runs by a format, nor inside its window.
fn then_lines(a: &Assembler, s: &Situation) -> Option<Verdict> {
    let ended = s.c.sentence && s.cur.first(|f| f.rounds.as_ref().map(|_| ())).is_some() && !s.timed && s.items.len() == 1;
    let beside = s.c.line == a.line;
    // `12 min AMRAP: ... score is rounds + reps, then 3 min easy walk`
    let timed = |it: &Item| it.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds);
    let apart = s.items.len() == 1 || s.items.iter().all(timed);
    let ended = ended || s.c.line == a.line && !s.cur.score.is_empty() && apart;
    // `2000 m row for time. Rest 5 min and then row 1000 m easy`
    let ended = ended || s.i > 0 && beside && a.only_rests(s.i - 1) && a.clauses[s.i - 1].sentence;
    // `10 swings 10 push-ups every 3 min for 15 min then 100 crunches`: all of what runs so was told before it
    let window = s.cur.first(|f| f.every.map(|e| e.3)).or_else(|| s.cur.first(|f| f.amrap.map(|w| w.1)));
    let closed = window.is_some_and(|w| s.cur.rows.iter().all(|r| r.item.from < w.0));
    let ended = ended || closed && beside && s.items.len() == 1;
    // `10 min amrap of ... . Finish with 5 min walk.`
    let ended = ended || s.c.sentence && beside && !s.timed && s.items.iter().all(|it| a.steady(it)) && !a.says_left(s.i);
    // `3 min jog to warm up, then 21-15-9 swings and burpees, cap 8`: nobody races in a warm-up
    let list = |it: &Item| it.dose.as_ref().is_some_and(|q| matches!(&q.amount, Amount::Scheme(rungs) if rungs.len() > 2));
    let raced = s.says.cap.is_some() || s.says.for_time.is_some() || s.items.iter().any(list);
    let goes_on = s.gentle && beside && !s.c.sentence && !raced || s.shaped && !ended && (beside || s.in_window_below(a.line));
    // `6 min EMOM: ... . Last of all walk for 4 min`: no window holds it
    let outlasts = s.c.sentence && a.in_windows() && s.holds_long() && s.items.len() == 1;
    // `Finish with a pigeon stretch, 45 s each leg`: the dose may stand behind a comma
    let starts = s.starts || s.c.sentence && s.items.iter().all(Item::is_named) && a.dose_beside(s.i) && !s.items.is_empty();
    begins_if(s.then && starts && s.lines && (!goes_on || outlasts))
}

/// `4 rounds of ... . Walk for 5 min at the end.`: a sentence of its own on something steady, once.
fn a_long_stretch_at_the_end(a: &Assembler, s: &Situation) -> Option<Verdict> {
    let [only] = s.items else { return None };
    let long = only.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds && q.amount.low() >= 180.0) && only.is_named();
    let own = matches!(s.c.join, Join::Stop | Join::Line) && s.lines && s.shaped && !s.timed && !a.in_windows();
    begins_if(long && own && says_at_the_end(a, s))
}

fn says_at_the_end(a: &Assembler, s: &Situation) -> bool {
    const END: &[&str] = &["at the end", "at the very end", "to finish", "to end", "afterwards", "to cool down", "to wind down"];
    let end = a.clauses[a.sentence_end(s.i) - 1].to;
    (s.c.from..end).any(|t| a.doc.says_any(t, END).is_some())
}

/// `then strict press, 5 sets of 5`
fn then_a_name_and_its_sets(a: &Assembler, s: &Situation) -> Option<Verdict> {
    begins_if(s.lines && a.name_before_sets(s.i) && (s.then || behind_words(a, s)))
}

/// `Legs next. Goblet squats, four sets of ten`: only words stand before the clause on its line.
fn behind_words(a: &Assembler, s: &Situation) -> bool {
    let plain = |n: &Clause| n.said.items.is_empty() && n.said.facts.is_empty();
    let mut before = a.clauses[..s.i].iter().rev().take_while(|n| n.line == s.c.line);
    matches!(s.c.join, Join::Stop | Join::Colon) && before.all(plain)
}

/// `Front squat` on a line of its own behind a finished part, with its dose below: the next heading.
fn a_bare_name(a: &Assembler, s: &Situation) -> Option<Verdict> {
    let [only] = s.items else { return None };
    let bare = only.is_named() && !only.is_dosed() && s.on_line && !s.c.lead.bullet;
    let own = a.next_is_dose(s.i) && !a.is_line_by_comma(s);
    where_asked(bare && s.lines && !s.cur.doses_lines(), || s.c.blank || own || s.all_in_sets())
}

/// `Squats 5x5`, an empty line, `10 burpees`
fn lines_below_an_empty_line(a: &Assembler, s: &Situation) -> Option<Verdict> {
    begins_if(s.under_blank && a.blank_splits(s.i))
}

/// `12 min AMRAP` with its lines, an empty line, `50 sit-ups`; the list of a chipper goes on below it.
fn a_count_below_an_empty_line(a: &Assembler, s: &Situation) -> Option<Verdict> {
    let runs = s.shaped || s.cur.scheme.is_some();
    where_asked(s.lines && runs && !s.gentle && a.counts_below(s.i), || !a.loose_list(s.i))
}

/// `Squats 5x5`, and below it `Easy bike 10 min`; `Bench 3x5 @ 60 %. Walk 20 min.`
fn leaves_the_sets(a: &Assembler, s: &Situation) -> Option<Verdict> {
    begins_if((s.on_line || s.c.join == Join::Stop && s.c.sentence) && a.leaves_sets(s.i))
}

#[cfg(test)]
mod tests;
