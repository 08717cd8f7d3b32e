//! What to fetch and how much room to clear before a session, from the lines that this member does.

use super::clock::{at_turn, turns};
use super::dose::Load;
use super::load::Mass;
use super::member::Profile;
use super::movement::{Demand, Implement, Library, Movement};
use super::session::Line;
use super::tailor::kit::{Kit, bit};

/// What stands ready before the first rep.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Setup {
    /// implements in words, each once, in the order of the session, with the loads that are used: `dumbbell (12 kg, 16 kg)`
    pub kit: Vec<String>,
    /// room, in words: `room to lie down`
    pub space: Vec<&'static str>,
}

/// What can be held where the library asks for nothing that carries the load.
const HOLDERS: [Implement; 6] =
    [Implement::Dumbbell, Implement::Kettlebell, Implement::Backpack, Implement::Barbell, Implement::Plate, Implement::MedBall];

/// The implements of a line, those that carry its load marked. Of several ways for which everything is at home the first is
/// meant whose load is there: 22.5 kg is the dumbbell where the kettlebell weighs 16.
fn tools(movement: &Movement, line: &Line, kit: &Kit) -> Vec<(Implement, bool)> {
    let at_home = |way: &&Vec<Implement>| way.iter().all(|i| matches!(i, Implement::None) || kit.tools & bit(*i) != 0);
    let mut ways = movement.equipment.iter().filter(at_home);
    let carries = |i: Implement| masses(line).iter().any(|m| kit.has_weight(i, *m));
    let marked = |way: &Vec<Implement>| way.iter().map(|i| (*i, carries(*i))).collect::<Vec<_>>();
    match line.load {
        Some(Load::Kg { .. } | Load::Lb { .. }) => {
            let all: Vec<_> = ways.map(marked).collect();
            if let Some(way) = all.iter().find(|way| way.iter().any(|(_, carries)| *carries)) {
                return way.clone();
            }
            let held = HOLDERS.into_iter().find(|i| carries(*i)).map(|i| (plural(i, line), true));
            all.into_iter().next().unwrap_or_default().into_iter().chain(held).collect()
        }
        Some(Load::Stick) => vec![(Implement::Stick, false)],
        _ => ways.next().map(marked).unwrap_or_default(),
    }
}

fn masses(line: &Line) -> Vec<Mass> {
    match &line.load {
        Some(Load::Kg { values, .. }) => values.iter().map(|n| Mass::kg(*n)).collect(),
        Some(Load::Lb { values, .. }) => values.iter().map(|n| Mass::lb(*n)).collect(),
        _ => Vec::new(),
    }
}

/// What the bar or the bell weighs at first: the load of each turn of the line; where none is
/// written, the bar at home with nothing on it.
#[must_use]
pub fn begins_at(line: &Line, profile: &Profile, library: &Library, column: u8) -> Vec<Mass> {
    let own = |line: Line| {
        let all = masses(&line);
        let span = matches!(line.load, Some(Load::Kg { range: true, .. } | Load::Lb { range: true, .. }));
        if column == 2 && !span { all.last().copied() } else { all.first().copied() }
    };
    let each: Vec<Mass> = (0..turns(line)).filter_map(|turn| own(at_turn(line, turn))).collect();
    if !each.is_empty() {
        return each;
    }
    let known = library.find(&line.movement);
    let by_bar = known.is_some_and(|m| m.equipment.iter().flatten().any(|i| *i == Implement::Barbell));
    Kit::of(profile).own_bar().filter(|_| by_bar).into_iter().collect()
}

fn plural(implement: Implement, line: &Line) -> Implement {
    match implement {
        Implement::Dumbbell if line.implements.is_some_and(|n| n > 1) => Implement::Dumbbells,
        Implement::Kettlebell if line.implements.is_some_and(|n| n > 1) => Implement::Kettlebells,
        other => other,
    }
}

/// Room that a demand asks for (*common practice*).
fn room(demand: Demand) -> Option<&'static str> {
    Some(match demand {
        Demand::Supine | Demand::Prone => "room to lie down",
        Demand::Overhead | Demand::Ceiling => "nothing above your raised arms",
        Demand::Inverted => "a clear wall",
        Demand::Impact => "a firm, dry floor",
        Demand::Space => "two metres clear around you",
        _ => return None,
    })
}

/// `load` puts the load of a line in the member's own words.
#[must_use]
pub fn setup(lines: &[&Line], profile: &Profile, library: &Library, load: impl Fn(&Line) -> Option<String>) -> Setup {
    let kit = Kit::of(profile);
    let mut found: Vec<(Implement, Vec<String>)> = Vec::new();
    let mut space = Vec::new();
    for line in lines {
        let names = line.complex.iter().map(|p| p.movement.as_str()).chain([line.movement.as_str()]);
        for movement in names.filter_map(|name| library.find(name)) {
            let on_floor = [Demand::Supine, Demand::Prone].into_iter().find(|d| movement.demands.contains(d));
            let rooms = movement.demands.iter().filter(|d| !matches!(d, Demand::Supine | Demand::Prone)).copied().chain(on_floor);
            for words in rooms.filter_map(room) {
                if !space.contains(&words) {
                    space.push(words);
                }
            }
            let tools = tools(movement, line, &kit);
            let marked = tools.iter().any(|(_, carries)| *carries);
            for (tool, carries) in tools {
                if matches!(tool, Implement::None | Implement::Wall) {
                    continue;
                }
                let at = found.iter().position(|(t, _)| *t == tool).unwrap_or_else(|| {
                    found.push((tool, Vec::new()));
                    found.len() - 1
                });
                let words = load(line).filter(|w| (carries || (!marked && movement.loadable)) && !found[at].1.contains(w));
                found[at].1.extend(words);
            }
        }
    }
    let pairs = [(Implement::Dumbbell, Implement::Dumbbells), (Implement::Kettlebell, Implement::Kettlebells)];
    pairs.into_iter().for_each(|(one, pair)| one_of_the_pair(&mut found, one, pair));
    let words = |(tool, loads): (Implement, Vec<String>)| {
        if loads.is_empty() { tool.label().to_owned() } else { format!("{} ({})", tool.label(), loads.join(", ")) }
    };
    Setup { kit: found.into_iter().map(words).collect(), space }
}

/// One of the same weight as a pair that stands ready is not fetched a second time.
fn one_of_the_pair(found: &mut Vec<(Implement, Vec<String>)>, one: Implement, pair: Implement) {
    let loads_of = |tool| found.iter().find(|(t, _)| *t == tool).map(|(_, loads)| loads.clone());
    let Some((pair, mut loads)) = loads_of(pair).zip(loads_of(one)) else { return };
    loads.retain(|load| !pair.contains(load));
    match found.iter().position(|(tool, _)| *tool == one) {
        Some(at) if loads.is_empty() => drop(found.remove(at)),
        Some(at) => found[at].1 = loads,
        None => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::training::member::KitItem;

    fn line(movement: &str, kg: Option<f64>) -> Line {
        let load = kg.map(|n| Load::Kg { values: vec![n], range: false });
        Line { movement: movement.to_owned(), known: true, load, ..Line::default() }
    }

    fn at_home(items: &[&str]) -> Profile {
        let item = |name: &&str| KitItem { item: (*name).to_owned(), kg: vec![12.0], ..KitItem::default() };
        Profile { kit: items.iter().map(item).collect(), ..Profile::default() }
    }

    fn of(lines: &[Line], profile: &Profile) -> Setup {
        let kilograms = |l: &Line| match l.load.as_ref()? {
            Load::Kg { values, .. } => Some(format!("{} kg", values[0])),
            _ => None,
        };
        setup(&lines.iter().collect::<Vec<_>>(), profile, Library::shipped(), kilograms)
    }

    #[test]
    fn each_implement_is_fetched_once_with_every_load_it_is_used_in() {
        let lines = [line("goblet squat", Some(12.0)), line("air squat", None), line("goblet squat", Some(16.0))];
        assert_eq!(of(&lines, &at_home(&["dumbbell"])).kit, ["dumbbell (12 kg, 16 kg)"]);
    }

    #[test]
    fn it_is_what_stands_at_home() {
        let lines = [line("goblet squat", Some(12.0))];
        assert_eq!(of(&lines, &at_home(&["kettlebell"])).kit, ["kettlebell (12 kg)"]);
    }

    /// One kettlebell of 16 kg, dumbbells of 12 and 22.5 kg.
    fn two_kinds() -> Profile {
        let item = |item: &str, kg: &[f64]| KitItem { item: item.to_owned(), kg: kg.to_vec(), ..KitItem::default() };
        Profile { kit: vec![item("kettlebell", &[16.0]), item("dumbbell", &[12.0, 22.5])], ..Profile::default() }
    }

    #[test]
    fn a_load_says_which_implement_is_meant() {
        let lines =
            [line("kettlebell swing", Some(22.5)), line("kettlebell swing", Some(16.0)), line("goblet squat", Some(12.0))];
        assert_eq!(of(&lines, &two_kinds()).kit, ["dumbbell (22.5 kg, 12 kg)", "kettlebell (16 kg)"]);
    }

    #[test]
    fn what_is_held_where_the_movement_asks_for_nothing_is_fetched_too() {
        assert_eq!(of(&[line("split squat", Some(12.0))], &two_kinds()).kit, ["dumbbell (12 kg)"]);
    }

    #[test]
    fn bodyweight_needs_nothing_but_room() {
        let setup = of(&[line("glute bridge", None), line("burpee", None)], &at_home(&[]));
        assert!(setup.kit.is_empty(), "{setup:?}");
        assert!(setup.space.contains(&"room to lie down"), "{setup:?}");
        assert_eq!(setup.space.iter().filter(|s| **s == "room to lie down").count(), 1);
    }

    #[test]
    fn one_of_a_pair_that_stands_ready_is_not_fetched_again() {
        let pair = Line { implements: Some(2), ..line("split squat", Some(12.0)) };
        let lines = [pair, line("goblet squat", Some(12.0)), line("split squat", Some(22.5))];
        assert_eq!(of(&lines, &two_kinds()).kit, ["pair of dumbbells (12 kg)", "dumbbell (22.5 kg)"]);
        assert_eq!(of(&lines[..2], &two_kinds()).kit, ["pair of dumbbells (12 kg)"]);
    }

    #[test]
    fn a_load_begins_at_what_is_written_and_else_at_the_bar_alone() {
        let library = Library::shipped();
        let home = at_home(&[]);
        let with_bar =
            Profile { kit: vec![KitItem { item: "barbell".to_owned(), kg: vec![15.0], ..KitItem::default() }], ..home.clone() };
        let squat =
            |values: &[f64], range| Line { load: Some(Load::Kg { values: values.to_vec(), range }), ..line("back squat", None) };
        let begins = |line: &Line, profile: &Profile, column| {
            begins_at(line, profile, library, column).iter().map(|m| m.value).collect::<Vec<_>>()
        };
        assert_eq!(begins(&squat(&[40.0, 50.0, 60.0], false), &home, 1), [40.0, 50.0, 60.0], "a load for each set");
        assert_eq!(begins(&squat(&[60.0, 40.0], false), &home, 2), [40.0], "the second of two columns");
        assert_eq!(begins(&squat(&[40.0, 60.0], true), &home, 2), [40.0], "the lower end of a span");
        assert_eq!(begins(&line("back squat", None), &with_bar, 1), [15.0]);
        assert!(begins(&line("goblet squat", None), &with_bar, 1).is_empty(), "no bar is used for that one");
    }
}
