//! What to fetch and how much room to clear before a session, from the lines that this member does.

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

/// Of several ways to do a movement the first for which everything is at home is meant.
fn tools<'m>(movement: &'m Movement, kit: &Kit) -> &'m [Implement] {
    let at_home = |way: &&Vec<Implement>| way.iter().all(|i| matches!(i, Implement::None) || kit.tools & bit(*i) != 0);
    movement.equipment.iter().find(at_home).map_or(&[], Vec::as_slice)
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
            for &tool in tools(movement, &kit) {
                if matches!(tool, Implement::None | Implement::Wall) {
                    continue;
                }
                let at = found.iter().position(|(t, _)| *t == tool).unwrap_or_else(|| {
                    found.push((tool, Vec::new()));
                    found.len() - 1
                });
                let words = load(line).filter(|w| movement.loadable && !found[at].1.contains(w));
                found[at].1.extend(words);
            }
        }
    }
    let words = |(tool, loads): (Implement, Vec<String>)| {
        if loads.is_empty() { tool.label().to_owned() } else { format!("{} ({})", tool.label(), loads.join(", ")) }
    };
    Setup { kit: found.into_iter().map(words).collect(), space }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::training::dose::Load;
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

    #[test]
    fn bodyweight_needs_nothing_but_room() {
        let setup = of(&[line("glute bridge", None), line("burpee", None)], &at_home(&[]));
        assert!(setup.kit.is_empty(), "{setup:?}");
        assert!(setup.space.contains(&"room to lie down"), "{setup:?}");
        assert_eq!(setup.space.iter().filter(|s| **s == "room to lie down").count(), 1);
    }
}
