//! Sources: `session_load_checks.csv` (definition, Foster et al. 2001), `foster_checks.csv` (definitions, Foster 1998;
//! invented weeks computed with numpy and pandas), `foster_published_weeks.csv` (five real weeks quoted from Foster 1998),
//! `ewma_checks.csv` (Williams et al. 2017, BJSM 51:209; computed with pandas `ewm(adjust=False)`).

use dowel::training::strain::{ACUTE_DAYS, CHRONIC_DAYS, Deviation, Effort, Week, session_load, smoothed, trend};
use std::collections::{BTreeMap, HashMap};

fn number(row: &HashMap<String, String>, key: &str) -> Option<f64> {
    Some(row[key].as_str()).filter(|s| !s.is_empty()).map(|s| s.parse().unwrap())
}

fn close(got: Option<f64>, want: Option<f64>, within: f64, what: &str) {
    match (got, want) {
        (Some(got), Some(want)) => assert!((got - want).abs() <= within, "{what}: {got} is not {want}"),
        (got, want) => assert_eq!(got.is_some(), want.is_some(), "{what}"),
    }
}

#[test]
fn session_load_is_rating_times_minutes() {
    for row in super::rows(include_str!("data/session_load_checks.csv")) {
        let effort = Effort::new(number(&row, "rating").unwrap()).unwrap();
        let got = session_load(effort, number(&row, "minutes").unwrap());
        close(Some(got), number(&row, "load"), 1e-9, &format!("{row:?}"));
    }
}

#[test]
fn weeks_have_the_published_definitions_with_either_deviation() {
    for row in super::rows(include_str!("data/foster_checks.csv")) {
        let days: [f64; 7] = std::array::from_fn(|i| number(&row, &format!("d{}", i + 1)).unwrap());
        for (kind, name) in [(Deviation::Population, "pop"), (Deviation::Sample, "sample")] {
            let week = Week::of(&days, kind);
            let what = format!("{} {name}", row["week"]);
            close(Some(week.load), number(&row, "weekly_load"), 1e-9, &what);
            close(Some(week.mean), number(&row, "mean"), 1e-6, &what);
            close(Some(week.deviation), number(&row, &format!("sd_{name}")), 1e-6, &what);
            close(week.monotony, number(&row, &format!("monotony_{name}")), 1e-6, &what);
            close(week.strain, number(&row, &format!("strain_{name}")), 1e-3, &what);
        }
    }
}

/// The daily loads were not printed, so what can be checked is that printed load x printed monotony is the printed strain
/// to the rounding of monotony (0.005): the definition of strain that Dowel uses.
#[test]
fn published_weeks_follow_the_same_definition_of_strain() {
    let rows = super::rows(include_str!("data/foster_published_weeks.csv"));
    assert_eq!(rows.len(), 5);
    for row in rows {
        let (load, monotony) = (number(&row, "weekly_load").unwrap(), number(&row, "monotony_published").unwrap());
        // Seven days with exactly this load and monotony: three above and four below the mean.
        let (mean, deviation) = (load / 7.0, load / 7.0 / monotony);
        let up = deviation * (4.0_f64 / 3.0).sqrt();
        let days = std::array::from_fn(|i| if i < 3 { mean + up } else { mean - up * 0.75 });
        let strain = Week::of(&days, Deviation::Population).strain;
        close(strain, number(&row, "strain_published"), load * 0.005 + 1.0, &format!("{row:?}"));
    }
}

#[test]
fn smoothed_loads_are_those_of_pandas() {
    let mut series: BTreeMap<String, Vec<HashMap<String, String>>> = BTreeMap::new();
    for row in super::rows(include_str!("data/ewma_checks.csv")) {
        series.entry(row["series"].clone()).or_default().push(row);
    }
    assert!(series.len() > 1);
    for (name, rows) in series {
        let loads: Vec<f64> = rows.iter().map(|r| number(r, "load").unwrap()).collect();
        let (acute, chronic, days) = (smoothed(&loads, ACUTE_DAYS), smoothed(&loads, CHRONIC_DAYS), trend(&loads));
        for (i, row) in rows.iter().enumerate() {
            let what = format!("{name} day {}", i + 1);
            close(Some(acute[i]), number(row, "ewma7"), 1e-3, &what);
            close(Some(chronic[i]), number(row, "ewma28"), 1e-3, &what);
            close(days[i].ratio, number(row, "ratio_ewma"), 1e-4, &what);
        }
    }
}
