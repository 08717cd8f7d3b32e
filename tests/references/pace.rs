//! Source: `time_estimate_checks.csv`, arithmetic with Python fractions: rounds x sum(reps x seconds a rep) plus rest
//! between rounds only.

use dowel::training::dose::Amount;
use dowel::training::movement::{Library, Movement};
use dowel::training::pace::{Pacing, median, part_with};
use dowel::training::session::{Format, Line, Part};

/// `10x3.0s + 15x2.0s` as lines, with a library in which each line's movement has that pace.
fn lines_and_library(parts: &str) -> (Vec<Line>, Library) {
    let (lines, movements): (Vec<Line>, Vec<Movement>) = parts
        .split('+')
        .enumerate()
        .map(|(i, term)| {
            let (reps, seconds) = term.trim().trim_end_matches('s').split_once('x').unwrap();
            let name = format!("movement {i}");
            let mut movement = Library::shipped().all()[0].clone();
            (movement.name, movement.aliases) = (name.clone(), Vec::new());
            (movement.easier, movement.harder) = (Vec::new(), Vec::new());
            movement.seconds_per_rep = Some(seconds.parse().unwrap());
            let line = Line { movement: name, reps: Some(Amount::One(reps.parse().unwrap())), ..Line::default() };
            (line, movement)
        })
        .unzip();
    (lines, Library::new(movements).unwrap())
}

#[test]
fn the_written_arithmetic_comes_out_exactly() {
    let rows = super::rows(include_str!("data/time_estimate_checks.csv"));
    assert!(!rows.is_empty());
    for row in rows {
        let number = |key: &str| row[key].parse::<f64>().unwrap();
        let (lines, library) = lines_and_library(&row["parts"]);
        let part = Part {
            format: Format::Rounds,
            rounds: Some(Amount::One(number("rounds"))),
            rest_s: Some(Amount::One(number("rest_between_rounds_s"))),
            lines,
            ..Part::default()
        };
        let got = part_with(&part, &library, &Pacing::BARE).typical_s;
        assert!((got - number("total_s")).abs() < 1e-9, "{row:?}: {got}");
    }
}

/// Source: `robust_checks.csv`, computed with numpy and SciPy.
#[test]
fn the_median_of_ratios_is_that_of_numpy() {
    let rows = super::rows(include_str!("data/robust_checks.csv"));
    assert!(!rows.is_empty());
    for row in rows {
        let values: Vec<f64> = row["values"].split(';').map(|v| v.parse().unwrap()).collect();
        let want: f64 = row["median"].parse().unwrap();
        assert!((median(&values).unwrap() - want).abs() < 1e-9, "{row:?}");
    }
}
