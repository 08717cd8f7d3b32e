//! Reps of each set beside one weight: `8, 8, 8, 6, 5 @ 35 lb`, `3x8 w/ the 35s, then 6 and 5`, `35 lb x 8, 8, 6`, `5x8 bw`.
//!
//! A list that could as well be weights is asked about: a set that was never lifted must not stand in anybody's history.

mod parse;

use self::parse::{Block, Group, Listed};
use super::rules::ScoreRules;
use super::sets::{Plan, words};
use super::tokens::Tok;
use super::{Draft, Drafted, Lift, MassUnit, Score, load};

/// Numbers up to this stand for sets and reps where both are bare.
pub(super) const FEW: u32 = 20;
/// A bare number behind `@` up to this may be how hard it was.
const RATED: f64 = 10.0;

pub(super) use self::parse::parted;

/// The sets, where all of the text is lists of reps with their weights; else none.
pub(super) fn read(tokens: &[Tok], plan: Option<Plan>, rules: &ScoreRules) -> Option<Drafted> {
    let planned = || {
        let Plan { sets, reps } = plan?;
        let groups = vec![Group { sets: Some(sets), reps, named: true, before: None }];
        Some(Listed { blocks: vec![Block { groups, weight: parse::weight_alone(tokens)? }], tail: Vec::new() })
    };
    let listed = planned().or_else(|| parse::listed(tokens, most_reps(plan)))?;
    sets_of(&listed, plan, rules).transpose()
}

/// Several sets at one weight in a part that is scored by weight; what is no list is read as ever.
pub(super) fn several(tokens: &[Tok], rules: &ScoreRules) -> Option<Drafted> {
    let plan = rules.reps.map(|reps| Plan { sets: 1, reps });
    let listed = parse::listed(tokens, most_reps(plan))?;
    let several = !listed.tail.is_empty() || listed.blocks.iter().any(|block| block.groups.len() > 1);
    several.then(|| sets_of(&listed, plan, &sharing(tokens, rules)).transpose())?
}

/// A unit that is written once goes for all the sets.
pub(super) fn sharing(tokens: &[Tok], rules: &ScoreRules) -> ScoreRules {
    let mut written = (0..tokens.len()).filter_map(|i| load::unit_at(tokens, i));
    let first = written.next();
    let shared = first.filter(|unit| written.all(|other| other == *unit));
    ScoreRules { mass_unit: shared.or(rules.mass_unit), ..rules.clone() }
}

/// More than this is no set of anybody's.
fn most_reps(plan: Option<Plan>) -> u32 {
    plan.map_or(FEW, |plan| FEW.max(plan.reps.saturating_mul(2)))
}

/// The text is lists of reps; else it is a weight for each set, which is read one by one.
///
/// # Errors
/// What may be either, as a question.
fn is_lists(listed: &Listed, most: u32) -> Result<bool, String> {
    if let Some(sets) = listed.groups().find_map(|group| group.sets.filter(|sets| *sets > FEW)) {
        return Err(format!("Is {sets} the weight, or how many sets?"));
    }
    let heavy = |groups: &[Group]| groups.iter().filter(|group| !group.fits(most)).count();
    if let Some(block) = listed.blocks.iter().find(|block| heavy(&block.groups) > 0) {
        // `60, 65, 5 @ 70`
        let each = heavy(&block.groups) + 1 >= block.groups.len();
        return if each { Ok(false) } else { Err("Which of these are reps, and which are weights?".to_owned()) };
    }
    let [first, others @ ..] = &listed.blocks[..] else { return Ok(false) };
    let one = first.groups.len() == 1;
    let unclear = one && others.iter().any(|block| block.groups.len() > 1) || !one && heavy(&listed.tail) > 0;
    if unclear {
        return Err(EACH.to_owned());
    }
    Ok(heavy(&listed.tail) == 0)
}

/// Nothing says which weight goes with which set.
pub(super) const EACH: &str = "Which sets were at which weight? Write the weight behind each.";

fn sets_of(listed: &Listed, plan: Option<Plan>, rules: &ScoreRules) -> Result<Option<Draft>, String> {
    if !is_lists(listed, most_reps(plan))? {
        return Ok(None);
    }
    let mut lifted = Vec::new();
    for block in &listed.blocks {
        lifted.push((block, weight(block, rules)?));
    }
    let mut lifts: Vec<Lift> = lifted.iter().flat_map(|(block, weight)| at(&block.groups, weight.lift)).collect();
    if let Some((_, last)) = lifted.last() {
        lifts.extend(at(&listed.tail, last.lift));
    }
    if lifts.is_empty() {
        return Ok(None);
    }
    let unread = lifted.iter().flat_map(|(_, weight)| weight.unread.clone()).collect();
    let draft = Draft::clear(Score::Load { lifts: lifts.clone() }, unread);
    Ok(Some(asked(draft, &lifts, listed, plan, &lifted)))
}

/// The weight of a block, of one set.
struct Weighed {
    lift: Lift,
    unread: Vec<String>,
}

fn weight(block: &Block, rules: &ScoreRules) -> Result<Weighed, String> {
    let draft = load::read(&block.weight.tokens, rules)?;
    let Score::Load { lifts } = draft.score else { return Err("There is no weight here.".to_owned()) };
    let [lift] = lifts[..] else { return Err("There are too many numbers for one weight.".to_owned()) };
    let pair = block.weight.plural && rules.implements == Some(2);
    let implements = if pair { 2 } else { lift.implements };
    Ok(Weighed { lift: Lift { reps: None, implements, ..lift }, unread: draft.unread })
}

fn at(groups: &[Group], lift: Lift) -> impl Iterator<Item = Lift> {
    let sets = |group: &Group| (0..group.sets.unwrap_or(1)).map(move |_| group.reps).collect::<Vec<_>>();
    groups.iter().flat_map(sets).map(move |reps| Lift { reps: Some(reps), ..lift })
}

/// The question that is left, if any.
fn asked(draft: Draft, lifts: &[Lift], listed: &Listed, plan: Option<Plan>, lifted: &[(&Block, Weighed)]) -> Draft {
    let Some((_, last)) = lifted.last() else { return draft };
    let meant = words(lifts);
    if lifts.iter().any(|lift| lift.unit.is_none()) {
        return ask_unit(draft, lifts);
    }
    if let Some(sets) = two_numbers(&listed.blocks[0], plan) {
        let instead = words(&at(&[sets], lifted[0].1.lift).collect::<Vec<_>>());
        return draft.ask(format!("Is that {instead}, or {meant}?"), vec![instead, meant]);
    }
    let rated = |(block, weight): &&(&Block, Weighed)| {
        let list = block.groups.len() > 1 && block.groups.iter().all(|group| group.sets.is_none());
        list && block.weight.bare && weight.lift.weight <= RATED
    };
    if let Some((_, weight)) = lifted.iter().find(rated) {
        return draft.ask(format!("Is {} the weight, or how hard it was?", weight.lift.weight), vec![meant]);
    }
    let as_heavy = |group: &Group| group.sets.is_none() && f64::from(group.reps) * 2.0 >= last.lift.weight;
    if last.lift.weight > 0.0 && listed.tail.iter().any(as_heavy) {
        let weights = listed.tail.iter().map(|g| Lift { weight: f64::from(g.reps), reps: plan.map(|p| p.reps), ..last.lift });
        let before = &lifts[..lifts.len() - listed.tail.len().min(lifts.len())];
        let instead = words(&before.iter().copied().chain(weights).collect::<Vec<_>>());
        return draft.ask(format!("Is that {meant}, or {instead}?"), vec![meant, instead]);
    }
    if let Some((_, weight)) = lifted.iter().find(|(block, weight)| block.weight.plural && weight.lift.implements != 2) {
        let pair = words(&lifts.iter().map(|lift| Lift { implements: 2, ..*lift }).collect::<Vec<_>>());
        let each = words(&[Lift { reps: None, ..weight.lift }]);
        return draft.ask(format!("Is that a pair of {each}, or {each} in all?"), vec![pair, meant]);
    }
    draft
}

/// A unit is never guessed.
pub(super) fn ask_unit(draft: Draft, lifts: &[Lift]) -> Draft {
    let all_in = |unit: MassUnit| {
        words(&lifts.iter().map(|lift| Lift { unit: Some(lift.unit.unwrap_or(unit)), ..*lift }).collect::<Vec<_>>())
    };
    let answers = vec![all_in(MassUnit::Kg), all_in(MassUnit::Lb)];
    draft.ask("Is that in kilograms or in pounds?", answers)
}

/// `5, 8 @ 35` where five eights were asked for, and `8-10 @ 35`: two numbers that may be sets and reps.
fn two_numbers(block: &Block, plan: Option<Plan>) -> Option<Group> {
    let [first, second] = &block.groups[..] else { return None };
    let planned = plan == Some(Plan { sets: first.reps, reps: second.reps }) && first.reps != second.reps;
    let joined = second.before.is_some_and(|sign| sign == '-' || sign == '/');
    let alone = first.sets.is_none() && second.sets.is_none();
    (alone && (planned || joined)).then_some(Group {
        sets: Some(first.reps.max(1)),
        reps: second.reps,
        named: true,
        before: None,
    })
}

/// How many sets is said and not of how many reps, or sets and reps and no weight: `4 sets at 35`, `5x8 empty bar`.
pub(super) fn half_said(tokens: &[Tok]) -> Option<String> {
    let counted = |w: &[Tok]| w[0].num().is_some() && w[1].is_word(parse::SETS);
    if tokens.windows(2).any(counted) {
        return Some("How many sets, of how many reps, and at what load?".to_owned());
    }
    let few = |t: &Tok| t.num().and_then(super::tokens::Num::count).is_some_and(|n| n <= FEW);
    let joins = |t: Option<&Tok>| t.is_some_and(|t| t.is('×') || t.is('@') || t.num().is_some());
    let no_load = (0..tokens.len().saturating_sub(2)).any(|i| {
        let product = few(&tokens[i]) && tokens[i + 1].is('×') && few(&tokens[i + 2]);
        let typed = [i.wrapping_sub(1), i + 1, i + 3].into_iter().any(|at| load::unit_at(tokens, at).is_some());
        let at = tokens.get(i + 3).is_some_and(|t| t.is_word(&["at", "with", "w", "of", "reps", "rep"]));
        product && !typed && !at && !joins(tokens.get(i + 3)) && !joins(i.checked_sub(1).and_then(|i| tokens.get(i)))
    });
    no_load.then(|| "At what load?".to_owned())
}

/// Bare numbers of which nothing says whether they are reps or weights: `8, 8, 8, 6, 5`, `60x8, 6, 5`.
pub(super) fn unclear(tokens: &[Tok], plan: Option<Plan>) -> Option<String> {
    let bare = parse::bare_numbers(tokens);
    let all = || tokens.iter().filter_map(Tok::num);
    let most = f64::from(plan.map_or(FEW, |plan| plan.reps.saturating_mul(2)));
    let heaviest = all().map(|n| n.value).fold(0.0, f64::max);
    let typed = (0..tokens.len()).any(|i| load::unit_at(tokens, i).is_some());
    let as_heavy = |n: f64| (heaviest > most || typed) && n * 2.0 >= heaviest;
    let open = bare.iter().any(|n| n.part.is_empty() && n.value <= most && !as_heavy(n.value));
    let text = || bare.iter().map(|n| n.whole.as_str()).collect::<Vec<_>>().join(", ");
    let listed = bare.len() > 1 || tokens.iter().any(|t| t.is(',') || t.is(';'));
    (open && listed && all().count() > 1).then(|| format!("Is {} reps or weight? Write both.", text()))
}
