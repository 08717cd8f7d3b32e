//! Units, rounding and plates against recomputed values and brute force.
//!
//! Sources: `mass_checks.csv` (international pound, 0.45359237 kg exactly, recomputed in decimal), `load_rounding_checks.csv` and
//! `load_tie_checks.csv` (recomputed in decimal), `plate_checks.csv` (recomputed by dynamic programming), `discs.csv`
//! (competition discs), `kettlebells.csv` (sport sizes).

use crate::rows;
use dowel::training::load::{LoadedBar, Mass, Rounding, to_step};
use proptest::prelude::*;

fn number(row: &std::collections::HashMap<String, String>, key: &str) -> f64 {
    row[key].parse().unwrap()
}

#[test]
fn pounds_and_kilograms_convert_exactly() {
    for row in rows(include_str!("data/mass_checks.csv")) {
        let value = number(&row, "value");
        let got = if row["unit"] == "lb" { Mass::lb(value).in_kg() } else { Mass::kg(value).in_lb() };
        assert!((got - number(&row, "converted_exact")).abs() < 1e-8, "{row:?}: {got}");
    }
}

#[test]
fn discs_and_bells_have_their_printed_pounds() {
    for text in [include_str!("data/discs.csv"), include_str!("data/kettlebells.csv")] {
        for row in rows(text) {
            assert!((Mass::kg(number(&row, "kg")).in_lb() - number(&row, "lb_exact")).abs() < 1e-3, "{row:?}");
        }
    }
}

#[test]
fn loads_round_in_all_three_ways() {
    for row in rows(include_str!("data/load_rounding_checks.csv")) {
        let raw = number(&row, "one_rm") * number(&row, "pct") / 100.0;
        for (how, key) in
            [(Rounding::HalfUp, "nearest_half_up"), (Rounding::HalfEven, "nearest_half_even"), (Rounding::Down, "floor")]
        {
            assert_eq!(to_step(raw, number(&row, "step"), how), number(&row, key), "{key} {row:?}");
        }
    }
}

#[test]
fn ties_go_the_stated_way() {
    for row in rows(include_str!("data/load_tie_checks.csv")) {
        let (raw, step) = (number(&row, "raw"), number(&row, "step"));
        assert_eq!(to_step(raw, step, Rounding::HalfUp), number(&row, "half_up"), "{row:?}");
        assert_eq!(to_step(raw, step, Rounding::HalfEven), number(&row, "half_even"), "{row:?}");
    }
}

/// As many pairs of each disc as the side could hold.
fn unlimited(discs: &[f64], side: f64) -> Vec<f64> {
    discs.iter().flat_map(|&d| std::iter::repeat_n(d, (1..).take_while(|n| f64::from(*n) * d <= side).count())).collect()
}

#[test]
fn a_bar_is_built_with_the_fewest_discs() {
    for row in rows(include_str!("data/plate_checks.csv")) {
        let iwf = [25.0, 20.0, 15.0, 10.0, 5.0, 2.5, 2.0, 1.5, 1.0, 0.5];
        let home = [20.0, 15.0, 10.0, 5.0, 2.5, 1.25];
        let discs: &[f64] = if row["set"] == "iwf" { &iwf } else { &home };
        let bar = LoadedBar {
            bar: number(&row, "bar_kg"),
            collar: number(&row, "collar_each_kg"),
            pairs: unlimited(discs, number(&row, "per_side_kg")),
        };
        let built = bar.exactly(number(&row, "total_kg"));
        if row["one_optimal_side"] == "NOT LOADABLE" {
            assert_eq!(built, None, "{row:?}");
        } else {
            let side = built.unwrap().per_side;
            assert_eq!(side.len().to_string(), row["discs_per_side"], "{row:?}");
            assert!((side.iter().sum::<f64>() - number(&row, "per_side_kg")).abs() < 1e-9, "{row:?}");
        }
    }
}

/// Every subset of the pairs: the heaviest side within `room`, then the fewest plates.
fn brute_force(pairs: &[f64], room: f64) -> (f64, usize) {
    (0u32..1 << pairs.len())
        .map(|mask| {
            let on: Vec<f64> = (0..pairs.len()).filter(|i| mask >> i & 1 == 1).map(|i| pairs[i]).collect();
            (on.iter().sum::<f64>(), on.len())
        })
        .filter(|(sum, _)| *sum <= room + 1e-6)
        .max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)))
        .unwrap()
}

proptest! {
    #[test]
    fn plates_are_as_good_as_trying_every_set(
        plates in prop::collection::vec(prop::sample::select(vec![0.5, 1.0, 1.25, 2.0, 2.5, 5.0, 7.5, 10.0, 11.3, 15.0, 20.0, 25.0]), 0..10),
        target in 0u32..240,
    ) {
        let target = f64::from(target);
        let bar = LoadedBar { bar: 20.0, collar: 0.0, pairs: plates.clone() };
        let built = bar.at_most(target);
        prop_assert_eq!(built.is_some(), target >= 20.0);
        if let Some(built) = built {
            let (sum, count) = brute_force(&plates, (target - 20.0) / 2.0);
            prop_assert!((built.per_side.iter().sum::<f64>() - sum).abs() < 1e-9);
            prop_assert_eq!(built.per_side.len(), count);
        }
    }
}
