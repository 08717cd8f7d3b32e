//! Weights: `62,5 kg`, `135 lb`, `80x3, 90x2`, `2 x 20 kg`, `5 @ 100`, and misses.

use super::beside;
use super::rules::ScoreRules;
use super::timed::or;
use super::tokens::{Num, Tok, unread};
use super::{Draft, Drafted, KG_PER_LB, Lift, MassUnit, Score};

const KG: &[&str] = &["kg", "kgs", "kilo", "kilos", "kilogram", "kilograms", "kilogramme", "kilogrammes", "k"];
const LB: &[&str] = &["lb", "lbs", "pound", "pounds"];
const OTHER: &[&str] = &["pood", "poods", "st", "stone", "stones", "g", "gram", "grams", "t", "ton", "oz"];
const MISS: &[&str] = &["fail", "failed", "fails", "miss", "missed", "f", "nope", "nolift"];
pub(super) const BODY: &[&str] = &["bw", "bodyweight"];
pub(super) const REPS: &[&str] = &["rep", "reps"];
pub(super) const PAIR: &[&str] = &["each", "double", "both"];
/// A first number up to this stands for reps in `3x80`.
const FEW_REPS: f64 = 12.0;

/// A pair of anything heavier is not for one pair of hands at home.
const HEAVIEST_OF_A_PAIR_KG: f64 = 50.0;

/// One number of a lift, with what stands before it.
#[derive(Clone, Debug)]
struct Link {
    joint: Joint,
    num: Num,
    unit: Option<MassUnit>,
    reps: bool,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Joint {
    First,
    Times,
    At,
}

/// A lift as typed, with what parted it from the one before.
struct Typed {
    lift: Lift,
    slash: bool,
    note: Option<&'static str>,
    ask: Option<Lift>,
}

/// Reads one weight or several.
pub(super) fn read(tokens: &[Tok], rules: &ScoreRules) -> Drafted {
    if let Some(t) = tokens.iter().find(|t| t.is_word(OTHER)) {
        return Err(format!("Weights are read in kg or lb, not in {}.", t.word().unwrap_or_default()));
    }
    let time = |w: &[Tok]| w[0].num().is_some() && w[1].is(':') && w[2].num().is_some();
    if tokens.windows(3).enumerate().any(|(i, w)| time(w) && unit_at(tokens, i + 3).is_none()) {
        return Err("That looks like a time. This part is scored by weight.".to_owned());
    }
    if let Some(draft) = beside::asked(tokens, rules) {
        return Ok(draft);
    }
    let tokens = split_commas(&beside::paired(tokens));
    let (mut typed, unread) = lifts(&tokens, rules)?;
    if typed.is_empty() {
        return ended(&tokens, &unread);
    }
    same_twice(&mut typed);
    let pair = pair_words(&tokens);
    share_unit(&mut typed, rules);
    if pair {
        typed.iter_mut().for_each(|t| t.lift.implements = 2);
    }
    Ok(beside::of_lifts(finish(&typed, unread)?, &tokens, rules))
}

/// `did not start`, or nothing to read.
fn ended(tokens: &[Tok], unread: &[String]) -> Drafted {
    let found = super::scan::scan(tokens, false)?;
    if found.not_started || found.unfinished {
        return Ok(Draft::clear(Score::NotDone { started: !found.not_started }, found.unread));
    }
    if unread.iter().any(|w| w == "bar" || w == "barbell") {
        return Err("How heavy is the bar? Write it in kg or lb.".to_owned());
    }
    Err("There is no weight here.".to_owned())
}

/// `pair of 20 kg`, `20 kg each`, `20 kg per hand`.
fn pair_words(tokens: &[Tok]) -> bool {
    let per_hand = |w: &[Tok]| w[0].is_word(&["per", "a"]) && w[1].is_word(&["hand", "dumbbell", "side", "arm", "db", "bell"]);
    tokens.iter().any(|t| t.is_word(PAIR)) || tokens.windows(2).any(per_hand)
}

/// `80,85` is two weights: no plate makes .85.
fn split_commas(tokens: &[Tok]) -> Vec<Tok> {
    let mut out = Vec::new();
    for t in tokens {
        match t.num() {
            Some(n) if n.mark == Some(',') && n.part.len() == 2 && !["00", "25", "50", "75"].contains(&n.part.as_str()) => {
                let alone = |digits: &str| {
                    let value = digits.parse().unwrap_or(f64::INFINITY);
                    Tok::Num(Num { value, whole: digits.to_owned(), part: String::new(), mark: None })
                };
                out.extend([alone(&n.whole), Tok::Sign(','), alone(&n.part)]);
            }
            _ => out.push(t.clone()),
        }
    }
    out
}

fn lifts(tokens: &[Tok], rules: &ScoreRules) -> Result<(Vec<Typed>, Vec<String>), String> {
    let mut used = vec![false; tokens.len()];
    let (mut out, mut i, mut added, mut miss, mut slash) = (Vec::<Typed>::new(), 0, false, false, false);
    let mut pair = false;
    while i < tokens.len() {
        let before = i;
        if let Some(next) = aside(tokens, i) {
            i = next;
        } else if let Some((reps, next)) = reps_alone(tokens, i).filter(|_| !out.is_empty()) {
            if let Some(last) = out.last_mut() {
                last.lift.reps = last.lift.reps.or(Some(reps));
            }
            i = next;
        } else if let Some((links, next)) = chain(tokens, i) {
            let mut typed = lift(&links, rules)?;
            typed.lift.added = added;
            if pair {
                typed.lift.implements = 2;
            }
            typed.slash = slash;
            if miss {
                typed.lift.reps = Some(0);
            }
            out.push(typed);
            (added, miss, slash, pair, i) = (false, false, false, false, next);
        } else if tokens[i].is('✗')
            || tokens[i].is_word(MISS)
            || (tokens[i].is_word(&["no"]) && word(tokens, i + 1, &["lift", "rep"]))
        {
            i += if tokens[i].is_word(&["no"]) { 2 } else { 1 };
            let ahead = tokens.get(i).is_some_and(|t| t.num().is_some() || t.is_word(&["at", "on"]));
            match out.last_mut() {
                Some(last) if !ahead => last.lift.reps = Some(0),
                _ => miss = true,
            }
        } else if tokens[i].is_word(BODY) || (tokens[i].is_word(&["body"]) && word(tokens, i + 1, &["weight"])) {
            i += if tokens[i].is_word(BODY) { 1 } else { 2 };
            added = true;
            let plus = tokens.get(i).is_some_and(|t| t.is('+'));
            if !plus {
                out.push(body_weight());
                added = false;
            }
            i += usize::from(plus);
        } else if tokens[i].is_word(&["pair", "pairs"]) {
            i += if word(tokens, i + 1, &["of"]) { 2 } else { 1 };
            pair = true;
        } else if tokens[i].is('+') && out.is_empty() {
            added = true;
            i += 1;
        } else if tokens[i].is('+') {
            return Err("Write the whole weight as one number.".to_owned());
        } else {
            slash |= tokens[i].is('/') || between(tokens, i, out.last());
            i += 1;
            let skip = tokens[before].is_word(PAIR) || tokens[before].is_word(&["per", "hand", "dumbbell", "db", "arm", "bell"]);
            used[before] = skip;
            continue;
        }
        used[before..i].fill(true);
    }
    // `20 kg, a pair`
    if let (true, Some(last)) = (pair, out.last_mut()) {
        last.lift.implements = 2;
    }
    let unread = unread(tokens, &used)?;
    Ok((out, unread))
}

/// `60-65`, `60 to 65 kg`: two ends of which one was lifted. Sets parted by a dash (`80x3 - 90x2`) have their reps.
fn between(tokens: &[Tok], i: usize, last: Option<&Typed>) -> bool {
    let sign = tokens[i].is('-') || tokens[i].is_word(&["to", "or"]);
    sign && last.is_some_and(|t| t.lift.reps.is_none()) && tokens.get(i + 1).is_some_and(|t| t.num().is_some())
}

/// What stands beside a weight and is none: `rpe 8`, `2 rir`, `1rm`, a unit in front of its number.
fn aside(tokens: &[Tok], i: usize) -> Option<usize> {
    let number = |j: usize| tokens.get(j).is_some_and(|t| t.num().is_some());
    let rated = ["rpe", "rir"];
    let percent = i + usize::from(tokens[i].is('@') || tokens[i].is_word(&["at", "of"]));
    if number(percent) && tokens.get(percent + 1).is_some_and(|t| t.is('%')) {
        return Some(percent + 2);
    }
    if (tokens[i].is_word(&rated) && number(i + 1))
        || (number(i) && (word(tokens, i + 1, &rated) || word(tokens, i + 1, &["rm"])))
    {
        return Some(i + 2);
    }
    None
}

/// `(5 reps)` behind a weight.
fn reps_alone(tokens: &[Tok], i: usize) -> Option<(u32, usize)> {
    let n = tokens.get(i)?.num()?.count()?;
    let weight = unit_at(tokens, i + 2).is_some()
        || tokens.get(i + 2).is_some_and(|t| t.is('@') || t.num().is_some() || t.is_word(&["at", "with", "of"]));
    (word(tokens, i + 1, REPS) && !weight).then_some((n, i + 2))
}

fn body_weight() -> Typed {
    let lift = Lift { weight: 0.0, unit: Some(MassUnit::Kg), reps: None, implements: 1, added: true };
    Typed { lift, slash: false, note: None, ask: None }
}

fn word(tokens: &[Tok], i: usize, list: &[&str]) -> bool {
    tokens.get(i).is_some_and(|t| t.is_word(list))
}

/// The unit that stands at a place.
pub(super) fn unit_at(tokens: &[Tok], i: usize) -> Option<MassUnit> {
    let t = tokens.get(i)?;
    if t.is_word(KG) {
        Some(MassUnit::Kg)
    } else if t.is_word(LB) || t.is('#') {
        Some(MassUnit::Lb)
    } else {
        None
    }
}

/// Numbers joined by `x`, `@`, `for` and the like.
fn chain(tokens: &[Tok], from: usize) -> Option<(Vec<Link>, usize)> {
    let mut links: Vec<Link> = Vec::new();
    let front = unit_at(tokens, from).filter(|_| tokens.get(from + 1).is_some_and(|t| t.num().is_some()));
    let (mut i, mut joint) = (from + usize::from(front.is_some()), Joint::First);
    while let Some(num) = tokens.get(i).and_then(Tok::num).cloned() {
        i += 1;
        let unit = unit_at(tokens, i);
        i += usize::from(unit.is_some());
        let unit = unit.or(front.filter(|_| links.is_empty()));
        let reps = word(tokens, i, REPS);
        i += usize::from(reps || word(tokens, i, &["set", "sets"]));
        links.push(Link { joint, num, unit, reps });
        if let Some((next, end)) = beside(tokens, i, &links) {
            links.push(next);
            i = end;
            break;
        }
        joint = match tokens.get(i) {
            Some(t) if t.is('×') || t.is_word(&["for", "times", "of"]) => Joint::Times,
            Some(t) if t.is('@') || t.is(':') || t.is_word(&["at", "with"]) => Joint::At,
            _ => break,
        };
        let again = usize::from(word(tokens, i + 1, &["rpe"]));
        // `80 kg @ 70 %` ends with its weight
        if tokens.get(i + 2).is_some_and(|t| t.is('%')) {
            break;
        }
        // `80 kg with the bar`
        let told = tokens[i].word().is_some() && links.last().is_some_and(|l| l.unit.is_some());
        if told && tokens.get(i + 1 + again).is_none_or(|t| t.num().is_none()) {
            break;
        }
        tokens.get(i + 1 + again).and_then(Tok::num)?;
        i += 1 + again;
    }
    (!links.is_empty()).then_some((links, i))
}

/// A number right beside a chain that belongs to it: the weight behind `5x5` or `5 reps`, the sets and reps behind `80 kg`,
/// the weight of `two 20 kg`.
fn beside(tokens: &[Tok], i: usize, links: &[Link]) -> Option<(Link, usize)> {
    let num = tokens.get(i)?.num()?;
    let unit = unit_at(tokens, i + 1);
    let last = links.last()?;
    let counted = links.iter().all(|l| l.unit.is_none()) && (links.len() > 1 || last.reps);
    if let (true, Some(unit)) = (counted, unit) {
        return Some((Link { joint: Joint::At, num: num.clone(), unit: Some(unit), reps: false }, i + 2));
    }
    if let (1, 2.0, None, Some(unit)) = (links.len(), last.num.value, last.unit, unit) {
        return Some((Link { joint: Joint::Times, num: num.clone(), unit: Some(unit), reps: false }, i + 2));
    }
    let sets = links.len() == 1 && last.unit.is_some() && unit.is_none() && tokens.get(i + 1).is_some_and(|t| t.is('×'));
    let reps = tokens.get(i + 2)?.num().filter(|_| sets && unit_at(tokens, i + 3).is_none())?;
    Some((Link { joint: Joint::Times, num: reps.clone(), unit: None, reps: true }, i + 3))
}

fn count(link: &Link) -> Result<u32, String> {
    link.num.count().ok_or_else(|| "Reps are whole numbers.".to_owned())
}

/// What the numbers of a chain are.
fn lift(links: &[Link], rules: &ScoreRules) -> Result<Typed, String> {
    // A last `@ 8` behind a weight is a rated effort.
    let rated = |l: &Link| l.joint == Joint::At && l.unit.is_none() && l.num.value <= 10.0;
    match links {
        [most @ .., last] if !most.is_empty() && rated(last) && (most.len() > 1 || most[0].num.value > 10.0) => lift(most, rules),
        [weight] if !weight.reps => of(weight, None, 1),
        [_] => Err("There is no weight here.".to_owned()),
        [a, b] => two(a, b, rules),
        [a, b, c] if b.unit.is_some() && a.num.value == 2.0 && !a.reps => of(b, Some(count(c)?), 2),
        [_, b, c] if c.unit.is_some() || c.joint == Joint::At => of(c, Some(count(b)?), 1),
        [a, b, _] => of(a, Some(count(b)?), 1),
        _ => Err("There are too many numbers for one weight.".to_owned()),
    }
}

fn two(a: &Link, b: &Link, rules: &ScoreRules) -> Result<Typed, String> {
    if b.joint == Joint::At || a.reps {
        return of(b, Some(count(a)?), 1);
    }
    if a.unit.is_some() || b.reps {
        return of(a, Some(count(b)?), 1);
    }
    // `2 x 20 kg` is a pair; `2 x 100 kg` is two reps, unless the part is done with two.
    let hand_weight = b.num.value * b.unit.map_or(1.0, MassUnit::kg) <= HEAVIEST_OF_A_PAIR_KG && rules.reps != Some(2);
    let pair = a.num.value == 2.0 && (rules.implements == Some(2) || (rules.implements.is_none() && hand_weight));
    if b.unit.is_some() && pair {
        return Ok(Typed { note: Some("2 x read as a pair"), ..of(b, None, 2)? });
    }
    if b.unit.is_some() {
        return unit_last(a, b);
    }
    if a.num.value >= b.num.value || a.num.count().is_none() {
        return of(a, Some(count(b)?), 1);
    }
    if pair {
        return Ok(Typed { note: Some("2 x read as a pair"), ..of(b, None, 2)? });
    }
    if a.num.value <= FEW_REPS {
        return Ok(Typed { note: Some("read as reps x weight"), ..of(b, Some(count(a)?), 1)? });
    }
    let other = of(b, Some(count(a)?), 1)?.lift;
    Ok(Typed { ask: Some(other), ..of(a, Some(count(b)?), 1)? })
}

/// `3x80 kg` is three reps; `90x2 kg` has its unit behind the reps; `20x10 kg` may be either.
fn unit_last(a: &Link, b: &Link) -> Result<Typed, String> {
    const LIGHTEST_KG: f64 = 5.0;
    let (Some(reps), true) = (b.num.count(), a.num.value > FEW_REPS && a.num.value > b.num.value) else {
        return of(b, Some(count(a)?), 1);
    };
    let first = of(&Link { unit: b.unit, ..a.clone() }, Some(reps), 1)?;
    if b.num.value <= LIGHTEST_KG || a.num.count().is_none() {
        return Ok(first);
    }
    let other = of(b, Some(count(a)?), 1)?.lift;
    Ok(Typed { ask: Some(other), ..first })
}

fn of(weight: &Link, reps: Option<u32>, implements: u32) -> Result<Typed, String> {
    let value = weight.num.value;
    if value >= 10_000.0 {
        return Err("That is more than anybody lifts.".to_owned());
    }
    let lift = Lift { weight: value, unit: weight.unit, reps, implements, added: false };
    Ok(Typed { lift, slash: false, note: None, ask: None })
}

/// `132 lb / 60 kg` is one weight in both units: the first stays.
fn same_twice(typed: &mut Vec<Typed>) {
    let mut i = 1;
    while i < typed.len() {
        let (a, b) = (typed[i - 1].lift, typed[i].lift);
        let differ = a.unit.is_some() && b.unit.is_some() && a.unit != b.unit;
        let close = |x: f64, y: f64| (x - y).abs() <= 0.6_f64.max(x * 0.01);
        if differ && a.kg().zip(b.kg()).is_some_and(|(x, y)| close(x, y)) {
            typed[i - 1].lift.reps = a.reps.or(b.reps);
            typed.remove(i);
        } else {
            i += 1;
        }
    }
}

/// One unit written somewhere in the list goes for all of it; else the settled one.
fn share_unit(typed: &mut [Typed], rules: &ScoreRules) {
    let written: Vec<MassUnit> = typed.iter().filter(|t| t.lift.weight > 0.0).filter_map(|t| t.lift.unit).collect();
    let shared = match written.first() {
        Some(u) if written.iter().all(|w| w == u) => Some(*u),
        Some(_) => None,
        None => rules.mass_unit,
    };
    for t in typed {
        let nothing = (t.lift.weight == 0.0).then_some(MassUnit::Kg);
        t.lift.unit = t.lift.unit.or(shared).or(nothing);
        if let Some(other) = &mut t.ask {
            other.unit = other.unit.or(shared);
        }
    }
}

fn finish(typed: &[Typed], unread: Vec<String>) -> Drafted {
    let lifts: Vec<Lift> = typed.iter().map(|t| t.lift).collect();
    let score = Score::Load { lifts: lifts.clone() };
    let draft = Draft { note: typed.iter().find_map(|t| t.note).map(str::to_owned), ..Draft::clear(score.clone(), unread) };
    if lifts.iter().any(|l| l.unit.is_none()) {
        return Ok(ask_unit(draft, &lifts));
    }
    // `80x8, 90x6 kg`: a lift that reads one way only settles how the list is written.
    let settled = typed.iter().any(|t| t.ask.is_none() && t.lift.reps.is_some_and(|r| r > 0));
    let open = typed.iter().enumerate().filter(|_| !settled).find_map(|(i, t)| t.ask.map(|o| (i, o)));
    if let Some((at, other)) = open {
        let mut swapped = lifts;
        swapped[at] = other;
        let answers = vec![score.words(), Score::Load { lifts: swapped }.words()];
        return Ok(draft.ask(format!("Is that {}?", or(&answers)), answers));
    }
    if typed.iter().any(|t| t.slash) {
        let mut answers: Vec<String> = lifts.iter().map(alone).collect();
        answers.dedup();
        return Ok(draft.ask(format!("Is that {}?", or(&answers)), answers));
    }
    Ok(draft)
}

/// One of several that were meant, as it is to be typed. No weight at all would be asked about once more.
fn alone(lift: &Lift) -> String {
    let asked_again = lift.weight == 0.0 && !lift.added && lift.reps != Some(0);
    if asked_again { "body weight".to_owned() } else { Score::Load { lifts: vec![*lift] }.words() }
}

/// A unit is never guessed.
fn ask_unit(draft: Draft, lifts: &[Lift]) -> Draft {
    let all_in = |unit: MassUnit| {
        let lifts = lifts.iter().map(|l| Lift { unit: Some(l.unit.unwrap_or(unit)), ..*l }).collect();
        Score::Load { lifts }.words()
    };
    let answers = vec![all_in(MassUnit::Kg), all_in(MassUnit::Lb)];
    let heaviest = lifts.iter().filter(|l| l.unit.is_none()).map(|l| l.weight).fold(0.0, f64::max);
    let gap = heaviest - heaviest * KG_PER_LB;
    let text = format!("Is that in kilograms or in pounds? The two are {gap:.0} kg apart.");
    draft.ask(text, answers)
}
