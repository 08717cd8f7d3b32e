//! What stands beside a weight and makes another of it: a bar that is not counted, plates, a percentage, a pair of bells.

use super::load::{BODY, unit_at};
use super::rules::ScoreRules;
use super::timed::or;
use super::tokens::{Num, Tok};
use super::words::number;
use super::{Draft, Lift, MassUnit, Score};

/// What is held in one hand.
const HAND: &[&str] = &["db", "dbs", "dumbbell", "dumbbells", "kb", "kbs", "kettlebell", "kettlebells", "bell", "bells"];
const BAR: &[&str] = &["bar", "barbell"];

/// `two 16s`, `2 KB 16 kg`, `2 x 16 kg KB`, all as `pair 16 kg`: a two before bells is no weight of its own.
pub(super) fn paired(tokens: &[Tok]) -> Vec<Tok> {
    let (mut out, mut i) = (Vec::new(), 0);
    while let Some(tok) = tokens.get(i) {
        match pair_at(tokens, i) {
            Some((weight, end)) => {
                out.push(Tok::Word("pair".to_owned()));
                out.extend(weight);
                i = end;
            }
            None => {
                out.push(tok.clone());
                i += 1;
            }
        }
    }
    out
}

fn pair_at(tokens: &[Tok], i: usize) -> Option<(Vec<Tok>, usize)> {
    let word = |at: usize, list: &[&str]| usize::from(tokens.get(at).is_some_and(|t| t.is_word(list)));
    let two = tokens.get(i)?.num().is_some_and(|n| n.value == 2.0) && unit_at(tokens, i + 1).is_none();
    let joined = |at: usize| usize::from(tokens.get(at).is_some_and(|t| t.is('×') || t.is('@') || t.is_word(&["of", "at"])));
    let named = i + 1 + joined(i + 1);
    let bells = word(named, HAND);
    let at = if bells > 0 { named + bells + joined(named + bells) } else { named };
    let weight = tokens.get(at).filter(|t| two && t.num().is_some())?;
    let unit = usize::from(unit_at(tokens, at + 1).is_some());
    let plural = word(at + 1 + unit, &["s"]);
    let behind = word(at + 1 + unit + plural, HAND);
    let typed = std::iter::once(weight.clone()).chain(tokens.get(at + 1).filter(|_| unit > 0).cloned()).collect();
    let end = at + 1 + unit + plural + behind;
    // `2 x 8 KB 24 kg` has its weight behind the bell
    let more = behind > 0 && tokens.get(end).is_some_and(|t| t.num().is_some());
    (bells + plural + behind > 0 && !more).then_some((typed, end))
}

/// The weight is only part of what was lifted, or of something else: nothing is added up here, it is asked.
pub(super) fn asked(tokens: &[Tok], rules: &ScoreRules) -> Option<Draft> {
    let first = tokens.iter().position(|t| t.num().is_some())?;
    let weight = tokens[first].num()?.value;
    let unit = unit_at(tokens, first + 1).or(rules.mass_unit);
    let lift = Lift { weight, unit, reps: None, implements: 1, added: false };
    let draft = Draft::clear(Score::Load { lifts: vec![lift] }, Vec::new());
    if let Some(n) = percent(tokens) {
        let kg = rules.known_max_kg.map(|max| (max * n.value / 50.0).round() / 2.0);
        let answers = kg.map(|kg| vec![format!("{} kg", number(kg))]).unwrap_or_default();
        return Some(draft.ask(format!("How heavy was that? {} % says it of a max.", number(n.value)), answers));
    }
    let plates = tokens.windows(2).any(|w| w[0].num().is_some() && w[1].is_word(&["plate", "plates"]));
    if plates || tokens.iter().any(|t| t.is_word(&["plates"])) {
        return Some(draft.ask("How heavy was that in all, with the bar?", Vec::new()));
    }
    let of_body = |i: usize| tokens[i].num().is_some() && tokens.get(i + 1).is_some_and(|t| t.is_word(BODY));
    if (0..tokens.len()).any(of_body) {
        return Some(draft.ask("How heavy was that? It is said as so many times your body weight.", Vec::new()));
    }
    bar_apart(tokens).then(|| {
        let one = tokens.iter().filter(|t| t.num().is_some()).count() == 1;
        let answers = unit.filter(|_| one).map(|unit| with_bars(weight, unit)).unwrap_or_default();
        draft.ask("How heavy was that with the bar? Bars differ, so it is not added here.", answers)
    })
}

/// `70 %` with no weight beside it, or `70 % of 100 kg`. `80 kg @ 70 %` says its weight.
fn percent(tokens: &[Tok]) -> Option<&Num> {
    let at = tokens.windows(2).position(|w| w[0].num().is_some() && w[1].is('%'))?;
    let of = tokens.get(at + 2).is_some_and(|t| t.is_word(&["of"]));
    let weighed = (0..tokens.len()).any(|i| unit_at(tokens, i).is_some());
    (of || !weighed).then(|| tokens[at].num())?
}

/// `bar + 40`, `40 kg plus the bar`, `40 kg without the bar`: the bar is not in the number.
fn bar_apart(tokens: &[Tok]) -> bool {
    let plus = |t: &Tok| t.is('+') || t.is('&') || t.is_word(&["plus", "and"]);
    let apart = ["without", "excl", "excluding", "minus", "besides"];
    (0..tokens.len()).filter(|i| tokens[*i].is_word(BAR)).any(|i| {
        let alone = i == 0 || tokens[i - 1].num().is_none() && unit_at(tokens, i - 1).is_none();
        let behind = alone && tokens.get(i + 1).is_some_and(plus) && tokens.get(i + 2).is_some_and(|t| t.num().is_some());
        let article = usize::from(i > 0 && tokens[i - 1].is_word(&["the", "a", "my", "empty"]));
        let before = i.checked_sub(1 + article).and_then(|at| tokens.get(at));
        behind || before.is_some_and(|t| plus(t) || t.is_word(&apart))
    })
}

/// With the two bars that most have (common practice): 20 and 15 kg, 45 and 35 lb.
fn with_bars(weight: f64, unit: MassUnit) -> Vec<String> {
    let bars = match unit {
        MassUnit::Kg => [20.0, 15.0],
        MassUnit::Lb => [45.0, 35.0],
    };
    bars.iter().map(|bar| format!("{} {}", number(weight + bar), unit.word())).collect()
}

/// A question that the lifts themselves raise: nothing lifted, bells in the plural, a weight of each side.
pub(super) fn of_lifts(draft: Draft, tokens: &[Tok], rules: &ScoreRules) -> Draft {
    let Score::Load { lifts } = &draft.score else { return draft };
    let [lift] = lifts[..] else { return draft };
    if draft.held.is_some() {
        return draft;
    }
    if lift.weight == 0.0 && !lift.added && lift.reps != Some(0) {
        return draft.ask("Was nothing added to your body weight?", vec!["body weight".to_owned()]);
    }
    let words = |implements| Score::Load { lifts: vec![Lift { implements, ..lift }] }.words();
    let one_pair = rules.implements == Some(2);
    if tokens.iter().any(|t| t.is_word(&["side"])) && !one_pair {
        let text = format!("Is that a {}, or the plates on each side of a bar? With a bar, write the whole weight.", words(2));
        return draft.ask(text, vec![words(2)]);
    }
    let plural = tokens.windows(2).any(|w| w[0].num().is_some() && w[1].is_word(&["s"]));
    if plural && lift.implements == 1 {
        let answers = vec![words(2), words(1)];
        return draft.ask(format!("Is that {}?", or(&answers)), answers);
    }
    draft
}
