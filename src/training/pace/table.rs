//! The pace figures: read once from `data/paces.csv`, and the running records.

use serde::Deserialize;
use std::collections::HashMap;
use std::sync::OnceLock;

/// What a pace is counted in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum Per {
    Rep,
    Metre,
    Calorie,
}

/// Seconds for one rep, metre or calorie.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Pace {
    pub typical_s: Option<f64>,
    pub fastest_s: Option<f64>,
}

#[derive(Deserialize)]
struct Row {
    movement: String,
    unit: Per,
    typical_s: Option<f64>,
    fastest_s: Option<f64>,
}

type Table = HashMap<(String, Per), Pace>;

fn read(text: &str) -> Result<Table, csv::Error> {
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(text.as_bytes())
        .deserialize::<Row>()
        .map(|row| row.map(|r| ((r.movement, r.unit), Pace { typical_s: r.typical_s, fastest_s: r.fastest_s })))
        .collect()
}

#[expect(clippy::expect_used, reason = "the shipped figures are read by a test of this module")]
fn table() -> &'static Table {
    static TABLE: OnceLock<Table> = OnceLock::new();
    TABLE.get_or_init(|| read(include_str!("../../../data/paces.csv")).expect("the shipped paces are sound"))
}

/// The figures for a movement by its canonical name; empty where there are none.
pub(super) fn find(movement: &str, per: Per) -> Pace {
    table().get(&(movement.to_owned(), per)).copied().unwrap_or_default()
}

/// Men's world records on track and road, metres and seconds, rounded down: nobody covers the distance faster.
/// Source: world athletics records as known in 2025 (100 m 9.58 ... 800 m 1:40.91, mile 3:43.13, marathon 2:00:35).
const RUNNING: [(f64, f64); 13] = [
    (0.0, 0.0),
    (100.0, 9.5),
    (200.0, 19.1),
    (400.0, 43.0),
    (800.0, 100.0),
    (1000.0, 131.0),
    (1500.0, 205.0),
    (1609.344, 223.0),
    (3000.0, 436.0),
    (5000.0, 754.0),
    (10_000.0, 1570.0),
    (21_097.5, 3370.0),
    (42_195.0, 7200.0),
];

/// Least seconds on foot over so many metres, straight between the records; past the marathon at its pace.
pub(super) fn running_s(metres: f64) -> f64 {
    let pairs = RUNNING.windows(2).map(|w| (w[0], w[1]));
    for ((m0, s0), (m1, s1)) in pairs {
        if metres <= m1 {
            return s0 + (metres - m0).max(0.0) / (m1 - m0) * (s1 - s0);
        }
    }
    metres * 7200.0 / 42_195.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::training::movement::Library;

    #[test]
    fn every_row_is_about_a_movement_of_the_library() {
        for (name, _) in read(include_str!("../../../data/paces.csv")).unwrap().keys() {
            assert!(Library::shipped().find(name).is_some_and(|m| m.name == *name), "{name}");
        }
    }

    #[test]
    fn fastest_is_faster_than_typical() {
        for ((name, per), pace) in table() {
            let own = Library::shipped().find(name).and_then(|m| m.seconds_per_rep).filter(|_| *per == Per::Rep);
            let typical = pace.typical_s.or(own).unwrap();
            assert!(pace.fastest_s.unwrap_or(0.0) < typical, "{name}");
        }
    }

    #[test]
    fn running_takes_the_records_as_its_floor() {
        assert!(running_s(800.0) <= 100.91 && running_s(800.0) > 99.0);
        assert!(running_s(1200.0) > running_s(1000.0));
    }
}
