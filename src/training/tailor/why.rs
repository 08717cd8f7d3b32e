//! One plain sentence for each change.

mod keeps;
mod size;

use super::fit::{Asked, Next, Source, percent_words};
use super::house::Pin;
use super::kit::bit;
use super::pick::{Ask, Bar, Choice, load_words};
use super::shelf::Tool;
use crate::training::calendar;
use crate::training::dose::{Load, Side};
use crate::training::load::{Mass, MassUnit};
use crate::training::movement::{Demand, Implement, Movement, Pattern};
use keeps::keeps;
use size::{a_touch_more, in_the_other_unit, nearest, other_mark, other_unit};
use time::Date;

pub(crate) const STOP: &str = "Please leave this session for now: tell your coach, and ask a doctor or another licensed professional what is right for you.";
pub(crate) const STOP_PART: &str =
    "Please leave this one for now: tell your coach, and ask a doctor or another licensed professional before you load it again.";
pub(crate) const UNKNOWN: &str =
    "This movement is not in the library, so nothing could be checked against your kit: ask your coach if in doubt.";
pub(crate) const UNKNOWN_REFER: &str =
    "This movement is not in the library, so it cannot be checked against what you keep out: ask your coach for a version.";

/// The lift is named for a bar, and written for two weights.
pub(crate) fn for_two(name: &str) -> String {
    format!("It is written for two weights, so it is the {name}.")
}

/// A walk for a time, where there is nowhere to go.
const ON_THE_SPOT: &str = "No room to go is needed: to and fro at home, or on the spot, does for it.";

/// A count for each side, done with a pair.
const BOTH_SIDES: &str = "With a pair both sides work at once, so the count is not for each side.";

/// The stick was written and is not at home; the movement is done with something else or with nothing.
fn without_stick(ask: &Ask<'_, '_>, choice: &Choice) -> Option<String> {
    let lacks = ask.asked == Asked::Stick && ask.stick_is_enough(choice.at);
    match choice.fit.load.as_ref().filter(|l| load_words(l).is_some()) {
        _ if !lacks => None,
        Some(Load::Stick) => None,
        Some(load) => Some(format!("You have no stick: {} does for it.", load_words(load).unwrap_or_default())),
        None if choice.way.tools & bit(Implement::Towel) != 0 => {
            Some("You have no stick: a towel held wide and pulled tight does for it.".to_owned())
        }
        None => Some("You have no stick, so do it without, hands on the chest.".to_owned()),
    }
}

/// Less than was written, so that it fits into its window.
pub(crate) fn held(inside: &str) -> String {
    format!("It is {inside}.")
}

/// The written movement stays; empty where nothing is worth a word.
pub(crate) fn kept(ask: &Ask<'_, '_>, choice: &Choice) -> String {
    let mut why = as_written(ask, choice);
    if choice.fit.pair && ask.line.side == Some(Side::PerSide) && choice.dose.side.is_none() {
        why = format!("{why} {BOTH_SIDES}").trim().to_owned();
    }
    match &choice.inside {
        Some(inside) => format!("{why} {}", held(inside)).trim().to_owned(),
        None => why,
    }
}

fn as_written(ask: &Ask<'_, '_>, choice: &Choice) -> String {
    let load = choice.fit.load.as_ref();
    if let (Some(percent), Some(words)) = (percent_words(ask.line.load.as_ref()), load.and_then(load_words))
        && matches!(ask.asked, Asked::Weight { .. })
        && !matches!(load, Some(Load::Stick))
    {
        return format!("{percent} of your max comes down to {words}, the nearest you can build without going over.");
    }
    if let Some(words) = without_stick(ask, choice) {
        return words;
    }
    let other = other_implement(ask, choice);
    match load {
        Some(Load::Stick) => "This part is about the movement, so the stick is right and needs no load.".to_owned(),
        Some(load) if matches!(ask.asked, Asked::NoMax) && load_words(load).is_some() && !matches!(load, Load::Find(_)) => {
            format!(
                "There is no max on file, so {} is what you have: let the effort decide.",
                load_words(load).unwrap_or_default()
            )
        }
        Some(Load::Find(words)) => format!("There is no max on file, so find the load by effort: {words}."),
        None if matches!(ask.asked, Asked::Weight { .. }) => format!(
            "There is no weight at hand for this, so it is done without{}.",
            if choice.dose.tempo == ask.line.tempo { "" } else { ", slowly, to stay hard" }
        ),
        _ if choice.way.one_arm => "You have one weight for this, so one arm works at a time.".to_owned(),
        Some(load) if other_mark(ask, choice) && other.is_none() => {
            let two = if choice.fit.pair { "Two of your" } else { "Your" };
            let is = if choice.fit.pair { "are" } else { "is" };
            let words = load_words(load).unwrap_or_default();
            format!("{two} {words} {is} the same size in the other unit{}.", a_touch_more(ask, choice))
        }
        Some(load) if choice.fit.share.is_some_and(|s| s < 0.99) => nearest(ask, choice, load, other),
        Some(_) if other_unit(ask, choice) && choice.way.tool == Tool::Bar => in_the_other_unit(ask, choice),
        None if choice.way.tools == bit(Implement::None) && ask.shelf.entries[choice.at].travels => ON_THE_SPOT.to_owned(),
        _ if choice.dose.reps != ask.line.reps => {
            let words = load.and_then(load_words).unwrap_or_else(|| "what you have".to_owned());
            let effort = ask.effort.as_ref().map(|e| format!(", {e}")).unwrap_or_default();
            format!("With {words} as your load, slower reps and more of them keep the written effort{effort}.")
        }
        Some(load) if ask.asked == Asked::Effort && ask.effort.is_some() => {
            let words = in_hand(&load_words(load).unwrap_or_default(), choice);
            format!("With {words}, end each set {}.", ask.effort.as_deref().unwrap_or_default())
        }
        Some(load) if other.is_some() => {
            let (words, tool) = (load_words(load).unwrap_or_default(), other.unwrap_or_default());
            if choice.fit.pair {
                format!("Your two {tool}s of {words} do for it.")
            } else {
                format!("Your {words} {tool} does for it.")
            }
        }
        _ => String::new(),
    }
}

/// What is held where the movement is named for something else: a dumbbell for a kettlebell swing.
fn other_implement(ask: &Ask<'_, '_>, choice: &Choice) -> Option<&'static str> {
    let name = &ask.shelf.movement(choice.at).name;
    match choice.way.tool {
        Tool::Dumbbell if name.contains("kettlebell") => Some("dumbbell"),
        Tool::Kettlebell if name.contains("dumbbell") => Some("kettlebell"),
        Tool::Backpack if name.contains("kettlebell") || name.contains("dumbbell") => Some("backpack"),
        _ => None,
    }
}

/// Another movement is given.
pub(crate) fn swapped(ask: &Ask<'_, '_>, choice: &Choice, broken: Bar, too_light: bool) -> String {
    let m = ask.shelf.movement(choice.at);
    let one_side = broken == Bar::TooHeavy && ask.line.side == Some(Side::PerSide) && choice.fit.loaded && !choice.fit.pair;
    let reason = match (too_light, one_side) {
        (true, _) => "Your weights are light for this one".to_owned(),
        // what is too much in both hands is right in one
        (_, true) if choice.dose.side == Some(Side::PerSide) => "One side at a time takes one weight".to_owned(),
        _ if broken == Bar::Lacks(Implement::Barbell) && below_a_bar(ask) && choice.fit.loaded => {
            format!("The {name} is written lighter than a bar", name = ask.shelf.movement(ask.at).name)
        }
        _ => because(broken, ask),
    };
    let weighed = choice.fit.load.as_ref().and_then(load_words).map(|w| in_hand(&w, choice));
    let with = weighed.or_else(|| unweighed(choice, &m.name)).map(|w| format!(" with {w}")).unwrap_or_default();
    let or = match choice.fit.next {
        Some(Next::Lighter(mass)) => format!(" Too heavy for that? Take the {}.", mass_words(mass)),
        Some(Next::PackLess) => " Too heavy for that? Pack less.".to_owned(),
        Some(Next::Heavier(mass)) => format!(" Far too light for that? Take the {}.", mass_words(mass)),
        None => String::new(),
    };
    format!("{reason}, so {}{with}: {}.{or}", m.name, keeps(ask, choice, m))
}

fn mass_words(mass: Mass) -> String {
    let unit = if mass.unit == MassUnit::Kg { "kg" } else { "lb" };
    format!("{} {unit}", mass.value)
}

/// What is held where no weight is named and the movement does not say it: `a dumbbell`, `two kettlebells`, `the backpack`.
fn unweighed(choice: &Choice, name: &str) -> Option<String> {
    let tool = match choice.way.tool {
        Tool::Dumbbell => "dumbbell",
        Tool::Kettlebell => "kettlebell",
        Tool::Backpack => "backpack",
        _ => return None,
    };
    let said = name.contains(tool) || !choice.fit.loaded;
    (!said).then(|| match (tool, choice.fit.pair) {
        ("backpack", _) => "the backpack".to_owned(),
        (_, true) => format!("two {tool}s"),
        (_, false) => format!("a {tool}"),
    })
}

/// `the 22.5 kg dumbbell`, `two of 12 kg`; other loads in their own words.
fn in_hand(load: &str, choice: &Choice) -> String {
    let tool = match choice.way.tool {
        Tool::Dumbbell => "dumbbell",
        Tool::Kettlebell => "kettlebell",
        Tool::Backpack => "backpack",
        _ => return load.to_owned(),
    };
    if choice.fit.pair { format!("two {tool}s of {load}") } else { format!("the {load} {tool}") }
}

/// The coach's own swap is given.
pub(crate) fn coachs_own(ask: &Ask<'_, '_>, choice: &Choice) -> String {
    format!("Your coach wrote {} for this case.", ask.shelf.movement(choice.at).name)
}

/// What the coach chose for this member is given.
pub(crate) fn pinned(pin: &Pin, given: &str) -> String {
    format!("Your coach chose {given} {}.", pin.whom.words())
}

/// What the coach chose for this member cannot be given.
pub(crate) fn refused(pin: &Pin, broken: Bar) -> String {
    let name = &pin.becomes.movement;
    let because = because_of(broken, name);
    let because = because.strip_prefix("You").map_or_else(|| because.clone(), |rest| format!("you{rest}"));
    format!("Your coach chose {name} {}, but {}.", pin.whom.words(), because.replacen("The ", "the ", 1))
}

/// Why a member does not get what the coach chose, as the coach reads it.
pub(crate) fn refused_for(broken: Bar, name: &str) -> String {
    match broken {
        Bar::Avoids(d) => format!("keeps out {}", d.label()),
        Bar::SetAside => format!("leaves the {name} out for now"),
        Bar::Lacks(Implement::None) => format!("has nothing at home for the {name}"),
        Bar::Lacks(Implement::RunSpace) => format!("has nowhere for the {name}"),
        Bar::Lacks(i) => format!("has not got {} for the {name}", with_article(i)),
        Bar::Skill => format!("the {name} asks for more than their level"),
        Bar::SaidCannot => format!("wrote that they cannot do the {name} yet"),
        Bar::Doorway => format!("a bar in a doorway is not enough for the {name}"),
        Bar::ShakyBase => format!("has no solid box for the {name}"),
        Bar::TooHeavy => "what they have is heavier than was written".to_owned(),
        Bar::StickForLoad => format!("a stick carries no load for the {name}"),
        Bar::MakeshiftOverhead => "a bag is not safe over the head".to_owned(),
        Bar::Waits => format!("the {name} touches what they wrote to you about"),
        Bar::KeptOut(part, loads) => format!("you keep out what {} the {part}", verb(loads)),
    }
}

/// A movement that the hands may do on something raised, for whom the floor is too far down.
pub(crate) const RAISED: &str = "Do it with the hands on a sturdy chair or step.";

/// A hold against a towel, for who has none in their list.
pub(crate) const NO_TOWEL: &str =
    "No towel is needed: a scarf or a belt does, or the fingers of both hands hooked into each other.";

/// A hinge that is named for a stick, for who has none.
pub(crate) const NO_STICK: &str = "No stick is needed for that: the fingertips in the crease of the hips do for it.";

/// How deep the knee bends is the height of the seat or step: told to who keeps deep knee bends out.
pub(crate) fn height(m: &Movement) -> &'static str {
    match m.pattern {
        Pattern::Squat => "Take a seat so high that the knees bend less than a right angle.",
        _ => "Take a step so low that the knee bends less than a right angle.",
    }
}

/// How old a max is, where that is worth a word.
pub(crate) fn old_max(lift: &str, day: Date, weeks: i64) -> String {
    format!(
        "Your {lift} max is {weeks} {} old, from {} {}: if the weight feels wrong, go lighter and tell your coach.",
        if weeks == 1 { "week" } else { "weeks" },
        calendar::short(day),
        day.year()
    )
}

/// Nothing sound was found.
pub(crate) fn no_version(ask: &Ask<'_, '_>, broken: Bar) -> String {
    format!("{} and nothing near it is sound for you today: ask your coach for a version.", because(broken, ask))
}

fn because(broken: Bar, ask: &Ask<'_, '_>) -> String {
    let name = &ask.shelf.movement(ask.at).name;
    match (broken, &ask.asked) {
        (Bar::Lacks(Implement::Barbell), _) if written_for_a_pair(ask) => because_of(Bar::Lacks(Implement::Dumbbells), name),
        (Bar::Lacks(Implement::Barbell), Asked::Stick) => because_of(Bar::Lacks(Implement::Stick), name),
        (Bar::TooHeavy, Asked::Stick) => format!("The {name} is meant with a stick, which you do not have"),
        (Bar::TooHeavy, asked) if !matches!(asked, Asked::Weight { .. }) => format!("Your weights are too heavy for the {name}"),
        _ => because_of(broken, name),
    }
}

/// Less is written than a bar weighs with nothing on it: the coach thought of something else.
fn below_a_bar(ask: &Ask<'_, '_>) -> bool {
    const LIGHTEST: f64 = 20.0;
    matches!(ask.asked, Asked::Weight { total, source: Source::Marked(_), .. } if total < LIGHTEST)
}

/// Two implements are written, and the movement is done with two.
fn written_for_a_pair(ask: &Ask<'_, '_>) -> bool {
    let pairs = ask.shelf.movement(ask.at).equipment.iter().any(|set| set.contains(&Implement::Dumbbells));
    (pairs || ask.shelf.entries[ask.at].with_two.is_some()) && ask.line.implements.is_some_and(|n| n >= 2)
}

fn because_of(broken: Bar, name: &str) -> String {
    match broken {
        Bar::Lacks(Implement::RunSpace) => format!("You have nowhere for the {name}"),
        Bar::Avoids(Demand::Ceiling) => format!("The {name} needs a higher ceiling than yours"),
        Bar::Avoids(Demand::Space) => format!("The {name} needs more room than you have"),
        Bar::Avoids(Demand::DeepKnee) => "You keep out deep knee bends".to_owned(),
        Bar::Avoids(d) => format!("You keep out {}", d.label()),
        Bar::SetAside => format!("The {name} is left out for now"),
        Bar::Lacks(Implement::None) => format!("You have nothing at home for the {name}"),
        Bar::Lacks(i) => format!("The {name} needs {}, which you do not have", with_article(i)),
        Bar::SaidCannot => format!("You wrote that you cannot do the {name} yet"),
        Bar::Skill => format!("The {name} asks for more practice first"),
        Bar::Doorway => format!("A bar in a doorway takes still pulling only, not the {name}"),
        Bar::ShakyBase => format!("The {name} needs a solid box, a chair is not enough"),
        Bar::TooHeavy => "Your weights are above the written load".to_owned(),
        Bar::StickForLoad => format!("A stick carries no load for the {name}"),
        Bar::MakeshiftOverhead => "A bag is not safe over the head".to_owned(),
        Bar::Waits => format!("The {name} touches what you wrote to your coach about"),
        Bar::KeptOut(part, loads) => format!("Your coach keeps out what {} the {part} for now", verb(loads)),
    }
}

fn verb(loads: bool) -> &'static str {
    if loads { "loads" } else { "touches" }
}

pub(crate) fn with_article(i: Implement) -> String {
    match i {
        Implement::Dumbbells
        | Implement::Kettlebells
        | Implement::RunSpace
        | Implement::Rings
        | Implement::ParallelBars
        | Implement::Stairs => {
            format!("{}{}", if matches!(i, Implement::Dumbbells | Implement::Kettlebells) { "a " } else { "" }, i.label())
        }
        Implement::Anchor => "an anchor for a band".to_owned(),
        _ => format!("a {}", i.label()),
    }
}
