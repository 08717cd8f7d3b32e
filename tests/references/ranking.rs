//! Source: `ranking_checks.csv`: the definitions of competition ranking and SciPy's documentation of `rankdata`, computed
//! with `scipy.stats.rankdata(method="min")`; and `load_tie_checks.csv`: halves rounded up, computed with Python's decimal.

use dowel::training::score::{Lift, MassUnit, Score};
use dowel::training::session::ScoreKind;
use dowel::training::standings::{Entry, Policy, Scoring, board};
use std::collections::BTreeMap;

/// Hold times go up, times go down: either order of a reference set has a score kind.
fn entry(order: &str, index: &str, value: f64) -> Entry {
    let score = if order == "asc" { Score::Time { seconds: value + 1.0 } } else { Score::Hold { seconds: value } };
    Entry::new(index, score)
}

#[test]
fn places_are_the_standard_competition_ranks() {
    let rows = super::rows(include_str!("data/ranking_checks.csv"));
    let mut sets: BTreeMap<String, Vec<_>> = BTreeMap::new();
    for row in rows {
        sets.entry(row["set"].clone()).or_default().push(row);
    }
    assert!(sets.len() > 3);
    for (name, rows) in sets {
        let kind = if rows[0]["order"] == "asc" { ScoreKind::Time } else { ScoreKind::HoldTime };
        let entries: Vec<Entry> = rows.iter().map(|r| entry(&r["order"], &r["index"], r["score"].parse().unwrap())).collect();
        let board = board(&Scoring { kind, ..Scoring::default() }, &Policy::default(), &entries);
        let got: BTreeMap<&str, u32> = board.tables[0].rows.iter().map(|r| (r.id.as_str(), r.place.unwrap())).collect();
        for row in &rows {
            assert_eq!(got[row["index"].as_str()], row["standard"].parse::<u32>().unwrap(), "{name} {row:?}");
        }
    }
}

#[test]
fn a_load_halfway_between_two_steps_counts_as_the_upper() {
    let rows = super::rows(include_str!("data/load_tie_checks.csv"));
    assert!(!rows.is_empty());
    for row in rows {
        let number = |key: &str| row[key].parse::<f64>().unwrap();
        let load = |id: &str, weight: f64| {
            let lift = Lift { weight, unit: Some(MassUnit::Kg), reps: None, implements: 1, added: false };
            Entry::new(id, Score::Load { lifts: vec![lift] })
        };
        let policy = Policy { load_step_kg: number("step"), ..Policy::default() };
        let scoring = Scoring { kind: ScoreKind::Load, ..Scoring::default() };
        let board = board(&scoring, &policy, &[load("raw", number("raw")), load("up", number("half_up"))]);
        assert_eq!(board.order(), [["raw", "up"]], "{row:?}");
    }
}
