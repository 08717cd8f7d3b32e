//! One-rep-max estimates and the table of percent of 1RM to reps.
//!
//! Sources: the seven equations as collected in `tests/references/data/e1rm_checks.csv`; the table is a published
//! strength-and-conditioning handbook's (12 reps = 67 %; the same body's load chart prints 70 %).

/// A published equation from a set to a one-rep max.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Formula {
    /// Epley 1985: w (1 + r / 30)
    Epley,
    /// Brzycki 1993: 36 w / (37 - r)
    Brzycki,
    /// Lombardi 1989: w r^0.10
    Lombardi,
    /// O'Conner et al. 1989: w (1 + r / 40)
    OConner,
    /// Mayhew et al. 1992
    Mayhew,
    /// Wathan 1994
    Wathan,
    /// Lander 1985
    Lander,
}

impl Formula {
    /// Every equation, the two that Dowel shows first.
    pub const ALL: [Self; 7] =
        [Self::Epley, Self::Brzycki, Self::Lombardi, Self::OConner, Self::Mayhew, Self::Wathan, Self::Lander];

    /// Lower-case name, as in the check data.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Epley => "epley",
            Self::Brzycki => "brzycki",
            Self::Lombardi => "lombardi",
            Self::OConner => "oconner",
            Self::Mayhew => "mayhew",
            Self::Wathan => "wathan",
            Self::Lander => "lander",
        }
    }

    /// The raw equation: `weight` lifted `reps` times to the limit; the answer is in the unit of `weight`.
    #[must_use]
    pub fn raw(self, weight: f64, reps: f64) -> f64 {
        match self {
            Self::Epley => weight * (1.0 + reps / 30.0),
            Self::Brzycki => 36.0 * weight / (37.0 - reps),
            Self::Lombardi => weight * reps.powf(0.10),
            Self::OConner => weight * (1.0 + reps / 40.0),
            Self::Mayhew => 100.0 * weight / (52.2 + 41.9 * (-0.055 * reps).exp()),
            Self::Wathan => 100.0 * weight / (48.8 + 53.8 * (-0.075 * reps).exp()),
            Self::Lander => 100.0 * weight / (101.3 - 2.67123 * reps),
        }
    }
}

/// A one-rep max as the two usual equations see it, in the unit of the weight lifted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// the lower of the two
    pub low: f64,
    /// the higher of the two
    pub high: f64,
}

impl Estimate {
    /// The middle of the two.
    #[must_use]
    pub fn middle(self) -> f64 {
        f64::midpoint(self.low, self.high)
    }
}

/// Estimates a one-rep max from a set to the limit. `None` outside 1 to 10 reps, where equations drift apart, and for a
/// weight that is not above zero. One rep is its own max.
#[must_use]
pub fn estimate(weight: f64, reps: u32) -> Option<Estimate> {
    if !(weight.is_finite() && weight > 0.0 && (1..=10).contains(&reps)) {
        return None;
    }
    if reps == 1 {
        return Some(Estimate { low: weight, high: weight });
    }
    let (a, b) = (Formula::Epley.raw(weight, f64::from(reps)), Formula::Brzycki.raw(weight, f64::from(reps)));
    Some(Estimate { low: a.min(b), high: a.max(b) })
}

/// Reps to the limit and the percent of 1RM they go with. 13 and 14 are not printed in the source and are drawn on the
/// straight line between 12 and 15; past 15 the same slope goes on to 20 (*common practice*).
const TABLE: [(f64, f64); 14] = [
    (1.0, 100.0),
    (2.0, 95.0),
    (3.0, 93.0),
    (4.0, 90.0),
    (5.0, 87.0),
    (6.0, 85.0),
    (7.0, 83.0),
    (8.0, 80.0),
    (9.0, 77.0),
    (10.0, 75.0),
    (11.0, 70.0),
    (12.0, 67.0),
    (15.0, 65.0),
    (20.0, 60.0),
];

fn between(x: f64, (x0, y0): (f64, f64), (x1, y1): (f64, f64)) -> f64 {
    y0 + (x - x0) / (x1 - x0) * (y1 - y0)
}

/// Percent of 1RM at which `reps` is the limit, 1 to 20 reps (outside: the nearest end).
#[must_use]
pub fn percent_at(reps: f64) -> f64 {
    let reps = reps.clamp(1.0, 20.0);
    TABLE.windows(2).find(|w| reps <= w[1].0).map_or(60.0, |w| between(reps, w[0], w[1]))
}

/// Reps to the limit at this percent of 1RM: 1 at 100 % and above, at most 20.
#[must_use]
pub fn reps_at(percent: f64) -> f64 {
    let percent = percent.clamp(60.0, 100.0);
    TABLE.windows(2).find(|w| percent >= w[1].1).map_or(20.0, |w| between(percent, (w[0].1, w[0].0), (w[1].1, w[1].0)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_rep_is_its_own_max() {
        assert_eq!(estimate(80.0, 1), Some(Estimate { low: 80.0, high: 80.0 }));
    }

    #[test]
    fn past_ten_reps_nothing_is_shown() {
        assert_eq!(estimate(80.0, 11), None);
    }

    #[test]
    fn both_equations_agree_at_ten_reps() {
        let e = estimate(75.0, 10).unwrap();
        assert!((e.low - 100.0).abs() < 1e-9 && (e.high - 100.0).abs() < 1e-9);
    }

    #[test]
    fn reps_and_percent_are_each_others_inverse() {
        for reps in 1..=20 {
            assert!((reps_at(percent_at(f64::from(reps))) - f64::from(reps)).abs() < 1e-9, "{reps}");
        }
    }
}
