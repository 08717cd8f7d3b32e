//! Training load: a session's, a week's, and how it changes. Describes; predicts nothing, and no injury.
//!
//! Sources: session load = rated effort (0-10) x minutes (Foster et al. 2001); monotony = daily mean / standard deviation,
//! strain = weekly load x monotony (Foster 1998); smoothed load: Williams et al. 2017, BJSM 51:209.

use serde::{Deserialize, Serialize};

/// To stand wherever a trend is shown.
pub const CAUTION: &str =
    "These numbers describe what was done. They do not predict injury, and no limit is safe or unsafe by itself.";

/// How hard a session was, from 0 (nothing) to 10 (everything), in Dowel's own words.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(try_from = "f64", into = "f64")]
pub struct Effort(f64);

impl Effort {
    /// An effort from 0 to 10; halves and tenths are fine.
    #[must_use]
    pub fn new(rating: f64) -> Option<Self> {
        (0.0..=10.0).contains(&rating).then_some(Self(rating))
    }

    /// 0 to 10.
    #[must_use]
    pub fn rating(self) -> f64 {
        self.0
    }

    /// A word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self.0 {
            r if r < 0.5 => "rest",
            r if r < 3.0 => "light",
            r if r < 6.0 => "moderate",
            r if r < 9.0 => "hard",
            _ => "all there was",
        }
    }
}

impl TryFrom<f64> for Effort {
    type Error = String;
    fn try_from(rating: f64) -> Result<Self, String> {
        Self::new(rating).ok_or_else(|| format!("effort goes from 0 to 10, and this is {rating}"))
    }
}

impl From<Effort> for f64 {
    fn from(effort: Effort) -> Self {
        effort.0
    }
}

/// Session load in arbitrary units: effort x minutes. Minutes below zero count as none.
#[must_use]
pub fn session_load(effort: Effort, minutes: f64) -> f64 {
    effort.0 * minutes.max(0.0)
}

/// Which standard deviation is meant: the source does not say, so the choice is named wherever a number is shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Deviation {
    /// of these seven days: divides by 7
    #[default]
    Population,
    /// of a sample: divides by 6; monotony is lower by sqrt(6/7)
    Sample,
}

/// A week of daily loads; rest days are 0, and several sessions of a day are summed.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Week {
    /// arbitrary units
    pub load: f64,
    /// a day
    pub mean: f64,
    /// of the days
    pub deviation: f64,
    /// mean / deviation; `None` where all days are equal
    pub monotony: Option<f64>,
    /// load x monotony
    pub strain: Option<f64>,
}

impl Week {
    /// The numbers of seven days.
    #[must_use]
    pub fn of(days: &[f64; 7], kind: Deviation) -> Self {
        let load: f64 = days.iter().sum();
        let mean = load / 7.0;
        let squares: f64 = days.iter().map(|d| (d - mean).powi(2)).sum();
        let divisor = if kind == Deviation::Population { 7.0 } else { 6.0 };
        let deviation = (squares / divisor).sqrt();
        // Days that are equal but for the last bit of a float have no deviation.
        let monotony = (deviation > 1e-9 * mean.abs().max(1.0)).then(|| mean / deviation);
        Self { load, mean, deviation, monotony, strain: monotony.map(|m| m * load) }
    }

    /// How the numbers came about, for whoever taps them.
    #[must_use]
    pub fn explain(&self, kind: Deviation) -> Vec<String> {
        let name = match kind {
            Deviation::Population => "population",
            Deviation::Sample => "sample",
        };
        let mut out =
            vec![format!("Load {:.0}: effort x minutes of each session, added over seven days (Foster et al. 2001).", self.load)];
        match self.monotony.zip(self.strain) {
            Some((monotony, strain)) => {
                out.push(format!(
                    "Monotony {monotony:.2}: daily mean {:.0} divided by the {name} standard deviation {:.0}; rest days count as 0 (Foster 1998).",
                    self.mean, self.deviation
                ));
                out.push(format!("Strain {strain:.0}: load x monotony (Foster 1998)."));
            }
            None => out.push("Monotony and strain: none, as every day was the same.".to_owned()),
        }
        out.push(CAUTION.to_owned());
        out
    }
}

/// Days of the short and of the long view.
pub const ACUTE_DAYS: f64 = 7.0;
/// Days of the short and of the long view.
pub const CHRONIC_DAYS: f64 = 28.0;

/// Smoothed load, day by day: today's load weighs 2 / (days + 1), all before the rest; it starts at the first day's load.
#[must_use]
pub fn smoothed(loads: &[f64], days: f64) -> Vec<f64> {
    let weight = 2.0 / (days.max(1.0) + 1.0);
    let mut last = None;
    loads
        .iter()
        .map(|load| {
            let now = last.map_or(*load, |before: f64| load * weight + before * (1.0 - weight));
            last = Some(now);
            now
        })
        .collect()
}

/// One day of a trend.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Trend {
    /// smoothed over a week
    pub acute: f64,
    /// smoothed over four weeks
    pub chronic: f64,
    /// acute / chronic; `None` where there was nothing
    pub ratio: Option<f64>,
}

/// The trend of daily loads, oldest first.
#[must_use]
pub fn trend(loads: &[f64]) -> Vec<Trend> {
    let days = smoothed(loads, ACUTE_DAYS).into_iter().zip(smoothed(loads, CHRONIC_DAYS));
    days.map(|(acute, chronic)| Trend { acute, chronic, ratio: (chronic > 0.0).then(|| acute / chronic) }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn effort_goes_from_0_to_10() {
        assert_eq!(Effort::new(6.5).map(Effort::rating), Some(6.5));
        assert!(Effort::new(10.5).is_none() && Effort::new(-1.0).is_none() && Effort::new(f64::NAN).is_none());
    }

    #[test]
    fn a_week_without_training_has_no_monotony() {
        let week = Week::of(&[0.0; 7], Deviation::Population);
        assert_eq!((week.load, week.monotony, week.strain), (0.0, None, None));
    }

    #[test]
    fn every_number_says_how_it_came_about() {
        let week = Week::of(&[300.0, 0.0, 420.0, 180.0, 0.0, 540.0, 240.0], Deviation::Population);
        let said = week.explain(Deviation::Population);
        assert!(said[1].contains("population standard deviation 187"));
        assert_eq!(said.last().map(String::as_str), Some(CAUTION));
    }

    proptest! {
        #[test]
        fn the_order_of_days_changes_no_number(days in proptest::array::uniform7(0.0..1000.0_f64)) {
            let mut other = days;
            other.reverse();
            let (a, b) = (Week::of(&days, Deviation::Population), Week::of(&other, Deviation::Population));
            prop_assert!((a.deviation - b.deviation).abs() < 1e-6 && (a.load - b.load).abs() < 1e-6);
        }

        #[test]
        fn smoothed_load_stays_between_least_and_most(loads in proptest::collection::vec(0.0..1000.0_f64, 1..60)) {
            let (least, most) = loads.iter().fold((f64::MAX, f64::MIN), |(l, m), x| (l.min(*x), m.max(*x)));
            for day in trend(&loads) {
                prop_assert!(day.acute >= least - 1e-9 && day.acute <= most + 1e-9);
                prop_assert!(day.chronic >= least - 1e-9 && day.chronic <= most + 1e-9);
            }
        }
    }
}
