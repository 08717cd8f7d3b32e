//! Loads: what was written as a ceiling, and what of it a member can hold one particular way.

mod held;

use super::band::banded;
use super::kit::{Kit, bit as bit_of};
use super::shelf::{Entry, Purpose, Shelf, Tool, Way};
use crate::training::dose::{Amount, Load};
use crate::training::load::{Mass, MassUnit};
use crate::training::member::Profile;
use crate::training::movement::{Implement, Movement, Pattern, Sided};
use crate::training::session::Line;
pub(crate) use held::light_for_a_percent;
use held::{SMALL_JUMPS, find_words, held, pick_words};

/// The written load, as a ceiling for everything that is given.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Asked {
    /// Nothing was written.
    Nothing,
    /// Kilograms for one implement, for all of them and for a bar in their place, the heaviest where several are written; `spread`
    /// holds what each is of the heaviest.
    ///
    /// # Design
    /// A bar takes the sum of a pair that was told. Where two are only our guess and the movement is a bar's as well, the written
    /// weight may have been the bar's: it is not doubled.
    Weight { each: f64, total: f64, on_a_bar: f64, source: Source, spread: Vec<f64> },
    /// An effort: RPE, reps in reserve, or words.
    Effort,
    /// A percent of a max that is not known.
    NoMax,
    /// A stick or an empty bar.
    Stick,
    /// A band, with its strength in the coach's word.
    Band(String),
}

/// How a weight was written: a percent is only rounded down, a mark in another unit may be up to 2.5 % above.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Source {
    Percent,
    Marked(MassUnit),
}

impl Source {
    /// How far above the written load a mark may be.
    fn slack(self) -> f64 {
        if self == Self::Percent { 0.0 } else { 0.025 }
    }
}

/// How far above and below the written load the mark of the other unit still is the same implement. Above it is the hard rule that
/// nothing is more than 2.5 % over what was written, however near a size is called; below it is *common practice*.
const TWIN: (f64, f64) = (1.025, 0.92);

/// Half a step between the sizes that shops sell: 2.5 lb up to 25 lb, then 5 lb; 1 kg up to 10 kg, then 2 kg (*common practice*).
fn half_step(m: Mass) -> f64 {
    match m.unit {
        MassUnit::Lb if m.value <= 25.0 => Mass::lb(1.25).in_kg(),
        MassUnit::Lb => Mass::lb(2.5).in_kg(),
        MassUnit::Kg if m.value <= 10.0 => 0.5,
        MassUnit::Kg => 1.0,
    }
}

/// The implement that shops sell in the other unit for this written load, the nearest there is that is not above the rule: a 53 lb bell
/// for 24 kg, but no 14 lb ball for 6 kg, which is 5.8 % above.
fn twin(owned: &[Mass], source: Source, kg: f64) -> Option<Mass> {
    let Source::Marked(unit) = source else { return None };
    let off = |m: &Mass| (m.in_kg() - kg).abs();
    let same = |m: &&Mass| m.unit != unit && off(m) <= half_step(**m) && (TWIN.1..=TWIN.0).contains(&(m.in_kg() / kg));
    let nearest = owned.iter().filter(same).min_by(|a, b| off(a).total_cmp(&off(b)))?;
    // a mark in the written unit that is as near is the plain answer
    let plain = owned.iter().any(|m| m.unit == unit && m.in_kg() <= kg * 1.001 && off(m) <= off(nearest));
    (!plain).then_some(*nearest)
}

/// What a line carries.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Fit {
    pub load: Option<Load>,
    pub plates: Option<Vec<f64>>,
    /// how many implements, where it is more than one
    pub pair: bool,
    /// the load there is against the load that was asked; `None` where they cannot be compared
    pub share: Option<f64>,
    /// the load there is against the whole of what was written: how far the swap is from it
    pub of_written: Option<f64>,
    /// something is held
    pub loaded: bool,
    /// kilograms of one implement, to tell equals apart
    pub each_kg: f64,
    /// the other unit's mark for the written load
    pub of_twin: bool,
    /// the weight to take where the named one is wrong for the effort
    pub next: Option<Next>,
}

/// A weight beside the one that is named.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Next {
    /// where the named one is too heavy
    Lighter(Mass),
    /// where the named one is far too light
    Heavier(Mass),
    /// a bag that is packed lighter where it is too heavy
    PackLess,
}

/// The number of two columns that is this member's; the second is the lighter.
fn column(values: &[f64], range: bool, profile: &Profile) -> Option<f64> {
    match values {
        [] => None,
        [one] => Some(*one),
        _ if range => values.iter().copied().reduce(f64::max),
        [first, second, ..] => match profile.column {
            Some(2) => Some(*second),
            Some(_) => Some(*first),
            // not asked yet: the lighter
            None => Some(first.min(*second)),
        },
    }
}

/// Reads the written load of `line` as a ceiling.
pub(crate) fn asked(line: &Line, at: usize, shelf: &Shelf<'_>, profile: &Profile) -> Asked {
    let each = match &line.load {
        Some(Load::Kg { values, .. }) => values.first().copied(),
        Some(Load::Lb { values, .. }) => values.first().map(|&lb| Mass::lb(lb).in_kg()),
        _ => None,
    };
    let one_arm = shelf.entries[at].ways.iter().any(|w| w.one_arm);
    let pair = written_pair(line, shelf.movement(at), one_arm, each);
    let may_be_a_bar = line.implements.is_none() && lists(shelf.movement(at), Implement::Barbell);
    let weigh = |each: Option<f64>, source, spread| match each {
        Some(each) if each > 0.0 => {
            let total = if pair { each * 2.0 } else { each };
            Asked::Weight { each, total, on_a_bar: if may_be_a_bar { each } else { total }, source, spread }
        }
        _ => Asked::Nothing,
    };
    let (kg, lb) = (Source::Marked(MassUnit::Kg), Source::Marked(MassUnit::Lb));
    match &line.load {
        None => Asked::Nothing,
        Some(Load::Kg { values, range }) => weigh(column(values, *range, profile), kg, Vec::new()),
        Some(Load::Lb { values, range }) => weigh(column(values, *range, profile).map(|n| Mass::lb(n).in_kg()), lb, Vec::new()),
        Some(Load::Percent { percent, of }) => match max_of(of, shelf.movement(at), shelf, profile) {
            Some(max) => weigh(Some(max * percent.high() / 100.0), Source::Percent, spread(percent)),
            None => Asked::NoMax,
        },
        Some(Load::Rpe(_) | Load::Rir(_) | Load::Find(_)) => Asked::Effort,
        Some(Load::Stick) => Asked::Stick,
        Some(Load::Band(word)) => Asked::Band(word.clone()),
    }
}

/// What each of several percents is of the highest; empty where there is one.
fn spread(percent: &Amount) -> Vec<f64> {
    match percent {
        Amount::One(_) => Vec::new(),
        many => many.values().into_iter().map(|n| n / many.high()).collect(),
    }
}

/// The known max that a percent is of: the movement's own, or the lift that is named. Never one guessed from another lift.
fn max_of(of: &str, m: &Movement, shelf: &Shelf<'_>, profile: &Profile) -> Option<f64> {
    let lift = if of.eq_ignore_ascii_case("1rm") { m } else { shelf.library.find(of)? };
    profile
        .known_maxes_kg
        .iter()
        .find(|(name, _)| shelf.library.find(name).map_or(name.eq_ignore_ascii_case(&lift.name), |k| k.name == lift.name))
        .map(|(_, kg)| *kg)
        .filter(|kg| kg.is_finite() && *kg > 0.0)
}

/// Where a bar and a pair would both do, a load from here up is taken for a bar's (*common practice*).
const HEAVY_FOR_A_HAND: f64 = 30.0;
/// The most that a small movement is given where no load was written, kilograms (*common practice*).
const LIGHT: f64 = 6.0;

/// The line means two implements: told so, or a movement for both hands that a pair is used for.
pub(crate) fn written_pair(line: &Line, m: &Movement, one_arm: bool, each_kg: Option<f64>) -> bool {
    match line.implements {
        Some(n) => n >= 2,
        None if line.side.is_some() || m.sided == Sided::Unilateral => false,
        None => {
            // where one weight in both hands is usual too, one is meant: the safe reading
            let single = lists(m, Implement::Dumbbell) && !one_arm;
            lists(m, Implement::Dumbbells)
                && !single
                && (!lists(m, Implement::Barbell) || each_kg.is_some_and(|kg| kg < HEAVY_FOR_A_HAND))
        }
    }
}

/// The movement may be done with this.
fn lists(m: &Movement, i: Implement) -> bool {
    m.equipment.iter().any(|set| set.contains(&i))
}

/// Up to here the legs carry the body and hardly anything else, so that one squat is as heavy as another, kilograms (*common practice*).
const AN_EMPTY_BAR: f64 = 20.0;

/// What a written load comes to for one implement of another movement done in another way, kilograms.
///
/// The first number is what keeps the effort, the second what was written and is never passed: between the two the reps get fewer.
fn ceiling(asked: &Asked, from: &Entry, to: &Entry, way: Way, one_sided: bool, pattern: Pattern) -> Option<(f64, f64)> {
    let Asked::Weight { each, total, on_a_bar, .. } = asked else { return None };
    let legs = pattern == Pattern::SingleLeg;
    let scale = match (from.ratio, to.ratio) {
        _ if *total <= AN_EMPTY_BAR && matches!(pattern, Pattern::Squat | Pattern::Hinge) => 1.0,
        (Some((a, r)), Some((b, s))) if a == b => (s / r).min(1.0),
        _ => 1.0,
    };
    let pair_written = total > each;
    let most = match way.tool {
        Tool::Bar => *on_a_bar,
        Tool::Plate => *total,
        _ if way.pair => {
            if pair_written {
                *each
            } else {
                each / 2.0
            }
        }
        // one arm takes the load of one arm; legs and both hands take what was in both
        _ if one_sided && !legs => {
            if pair_written {
                *each
            } else if *each > 30.0 {
                each / 2.0
            } else {
                *each
            }
        }
        _ => *total,
    };
    // a bar without a rack must first be brought to the shoulders
    let from_the_floor =
        way.tool == Tool::Bar && to.cleaned_up && way.tools & bit_of(Implement::Rack) == 0 && from.ratio != to.ratio;
    // an empty bar is brought up as it is
    let brought_up = (most * scale * 0.75).max(AN_EMPTY_BAR.min(most));
    Some((most * scale, if from_the_floor { brought_up } else { most }))
}

/// What a load is for.
#[derive(Clone, Copy)]
pub(crate) struct Aim<'a> {
    pub purpose: Purpose,
    /// the coach's effort, as it is said of a set
    pub effort: Option<&'a str>,
    /// another movement than the written one
    pub swapped: bool,
    /// it is built up to one heavy set
    pub builds: bool,
    /// someone new
    pub beginner: bool,
}

/// A percent of one lift's max says nothing about a push, a pull or a carry that is not measured against that lift: no number then.
/// For the legs, the fast lifts and a press on the back after one overhead it still is a ceiling, since they are not the weaker
/// (*common practice*).
fn says_nothing(asked: &Asked, a: &Entry, b: &Entry, (from, to): (Pattern, Pattern)) -> bool {
    let percent = matches!(asked, Asked::Weight { source: Source::Percent, .. });
    let like = a.ratio.zip(b.ratio).is_some_and(|((x, _), (y, _))| x == y);
    let strong = matches!(to, Pattern::Squat | Pattern::Hinge | Pattern::SingleLeg | Pattern::Olympic)
        || (from, to) == (Pattern::PushVertical, Pattern::PushHorizontal);
    percent && !like && !strong
}

/// What the member can hold for this movement this way, or `None` where it needs a load that is not there.
pub(crate) fn fit(kit: &Kit, asked: &Asked, from: usize, to: usize, way: Way, shelf: &Shelf<'_>, aim: Aim<'_>) -> Option<Fit> {
    let (a, b, m) = (&shelf.entries[from], &shelf.entries[to], shelf.movement(to));
    let one_sided = way.one_arm || m.sided != Sided::Bilateral;
    let asked = if way.tool == Tool::Bar && from != to && says_nothing(asked, a, b, (shelf.movement(from).pattern, m.pattern)) {
        &Asked::NoMax
    } else {
        asked
    };
    let most = ceiling(asked, a, b, way, one_sided, m.pattern);
    match way.tool {
        // a stick was written: nothing heavier takes its place
        Tool::Bar | Tool::Dumbbell | Tool::Kettlebell | Tool::Backpack | Tool::Ball | Tool::Plate if *asked == Asked::Stick => {
            None
        }
        Tool::Body => Some(Fit::default()),
        Tool::Stick => Some(Fit { load: Some(Load::Stick), ..Fit::default() }),
        Tool::Band => banded(kit, asked, way, b.light, aim),
        Tool::Bar => bar(kit, asked, most, aim),
        _ => {
            let owned = match (way.tool, way.pair) {
                (Tool::Dumbbell, true) => &kit.dumbbell_pairs,
                (Tool::Dumbbell, false) => &kit.dumbbells,
                (Tool::Kettlebell, true) => &kit.kettlebell_pairs,
                (Tool::Kettlebell, false) => &kit.kettlebells,
                (Tool::Backpack, _) => &kit.backpack,
                (Tool::Plate, _) => &kit.plates,
                _ => &kit.balls,
            };
            if b.light && (most.is_none() || !a.light) {
                // a heavy lift asks for no heavy lateral raise
                let small: Vec<Mass> = owned.iter().copied().filter(|m| m.in_kg() <= LIGHT).collect();
                return (!small.is_empty()).then(|| held(&small, asked, most, way.pair, (aim, m.pattern))).flatten();
            }
            match kit.backpack.last() {
                Some(full) if way.tool == Tool::Backpack && takes_the_bag(asked, aim) => {
                    Some(Fit { next: Some(Next::PackLess), ..weighed(*full, false) })
                }
                _ => held(owned, asked, most, way.pair, (aim, m.pattern)),
            }
        }
    }
}

/// A lift stands in for one without a weight of its own, and effort says how many: the bag is packed full, or as it feels right.
fn takes_the_bag(asked: &Asked, aim: Aim<'_>) -> bool {
    let by_effort = matches!(asked, Asked::Effort | Asked::Nothing);
    by_effort && aim.swapped && !aim.builds && aim.purpose == Purpose::Strength
}

/// This weight, named in its own unit.
fn weighed(m: Mass, pair: bool) -> Fit {
    let load = if m.unit == MassUnit::Kg { Load::kg(m.value) } else { Load::lb(m.value) };
    Fit { load: Some(load), pair, loaded: true, each_kg: m.in_kg(), ..Fit::default() }
}

/// A bar with what its plates can make, rounded down.
fn bar(kit: &Kit, asked: &Asked, most: Option<(f64, f64)>, aim: Aim<'_>) -> Option<Fit> {
    let (bar, unit) = kit.bar.as_ref()?;
    let loaded = Fit { loaded: true, ..Fit::default() };
    let written = most.map(|m| m.1);
    let Some((most_kg, _)) = most else {
        let looked_for = *asked == Asked::NoMax || (*asked == Asked::Effort && aim.swapped && aim.purpose == Purpose::Strength);
        let words = if bar.pairs.len() < SMALL_JUMPS { pick_words(aim) } else { find_words(aim) };
        return Some(Fit { load: looked_for.then_some(Load::Find(words)), ..loaded });
    };
    let most_here = match unit {
        MassUnit::Kg => most_kg,
        MassUnit::Lb => Mass::kg(most_kg).in_lb(),
    };
    let Asked::Weight { source, spread, .. } = asked else { return Some(loaded) };
    // a mark in the other unit stands for its twin: 95 lb for 42.5 kg
    let twin = if matches!(source, Source::Marked(u) if u != unit) { 1.0 + source.slack() } else { 1.0 };
    let cap = written.map_or(f64::INFINITY, |kg| if *unit == MassUnit::Kg { kg } else { Mass::kg(kg).in_lb() });
    // the empty bar may be more than keeps the effort, never more than was written: the reps get fewer
    let built = bar.at_most(most_here.min(cap) * twin).or_else(|| Some(bar.empty()).filter(|b| b.total <= cap * twin + 1e-6))?;
    let share = built.total / most_here;
    let of_written = written.map(|kg| Mass { value: built.total, unit: *unit }.in_kg() / kg);
    let plates = Some(built.per_side);
    let each: Option<Vec<f64>> = spread.iter().map(|f| bar.at_most(most_here.min(cap) * f).map(|b| b.total)).collect();
    let values = each.filter(|v| !v.is_empty()).unwrap_or_else(|| vec![built.total]);
    let range = values.len() == 2;
    let load = if *unit == MassUnit::Kg { Load::Kg { values, range } } else { Load::Lb { values, range } };
    Some(Fit {
        load: Some(load),
        plates,
        share: Some(share),
        of_written,
        each_kg: Mass { value: built.total, unit: *unit }.in_kg(),
        ..loaded
    })
}

/// The written percent in words, for a sentence.
pub(crate) fn percent_words(load: Option<&Load>) -> Option<String> {
    match load {
        Some(Load::Percent { percent: Amount::One(n), .. }) => Some(format!("{n} %")),
        Some(Load::Percent { percent, .. }) => Some(format!("{percent} %")),
        _ => None,
    }
}
