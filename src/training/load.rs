//! Loads that can be built: units, rounding, plates on a bar, steps of what is owned.

pub use super::score::{KG_PER_LB, MassUnit};

/// A mass in the unit it is marked in: it is converted only to compare, never back.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mass {
    /// the number on it
    pub value: f64,
    /// its unit
    pub unit: MassUnit,
}

impl Mass {
    /// A mass in kilograms.
    #[must_use]
    pub fn kg(value: f64) -> Self {
        Self { value, unit: MassUnit::Kg }
    }

    /// A mass in pounds.
    #[must_use]
    pub fn lb(value: f64) -> Self {
        Self { value, unit: MassUnit::Lb }
    }

    /// In kilograms, unrounded.
    #[must_use]
    pub fn in_kg(self) -> f64 {
        match self.unit {
            MassUnit::Kg => self.value,
            MassUnit::Lb => self.value * KG_PER_LB,
        }
    }

    /// In pounds, unrounded.
    #[must_use]
    pub fn in_lb(self) -> f64 {
        match self.unit {
            MassUnit::Kg => self.value / KG_PER_LB,
            MassUnit::Lb => self.value,
        }
    }

    /// This many kilograms, told in `unit`, unrounded.
    #[must_use]
    pub fn of_kg(kg: f64, unit: MassUnit) -> Self {
        match unit {
            MassUnit::Kg => Self::kg(kg),
            MassUnit::Lb => Self::lb(kg / KG_PER_LB),
        }
    }
}

impl std::fmt::Display for Mass {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let unit = if self.unit == MassUnit::Kg { "kg" } else { "lb" };
        write!(f, "{} {unit}", tidy(self.value))
    }
}

/// A number without the noise of binary fractions: at most three decimals.
#[must_use]
pub fn tidy(n: f64) -> f64 {
    (n * 1000.0).round() / 1000.0
}

/// How a load goes to a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rounding {
    /// Down: never above what was written. What tailoring uses.
    Down,
    /// To the nearest, halves up.
    HalfUp,
    /// To the nearest, halves to the even multiple of the step.
    HalfEven,
}

/// `raw` to a multiple of `step`. Both count in millionths, so that halves are seen as halves.
#[must_use]
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    reason = "loads in millionths stay far inside i64 and f64"
)]
pub fn to_step(raw: f64, step: f64, how: Rounding) -> f64 {
    let (raw_u, step_u) = ((raw * 1e6).round() as i64, (step * 1e6).round() as i64);
    if step_u <= 0 {
        return raw;
    }
    let (below, rest) = (raw_u.div_euclid(step_u), raw_u.rem_euclid(step_u));
    let up = match how {
        Rounding::Down => false,
        Rounding::HalfUp => rest * 2 >= step_u,
        Rounding::HalfEven => rest * 2 > step_u || (rest * 2 == step_u && below % 2 != 0),
    };
    ((below + i64::from(up)) * step_u) as f64 / 1e6
}

/// A bar with the pairs of plates that fit it.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadedBar {
    /// the bar itself
    pub bar: f64,
    /// each collar
    pub collar: f64,
    /// one entry a pair, in the unit of the bar
    pub pairs: Vec<f64>,
}

/// What goes on the bar.
#[derive(Clone, Debug, PartialEq)]
pub struct Built {
    /// bar, collars and both sides
    pub total: f64,
    /// one side, heaviest first
    pub per_side: Vec<f64>,
}

impl LoadedBar {
    /// The heaviest load that is not above `most`, with the fewest plates for it. `None` where the empty bar is heavier.
    ///
    /// # Design
    /// Exact, over every sum the plates can make: taking the largest plate first misses loads
    /// (5 + 5 against a single 7.5 for 10 a side).
    #[must_use]
    pub fn at_most(&self, most: f64) -> Option<Built> {
        let room = (most - self.bar - 2.0 * self.collar) / 2.0 + 1e-6;
        if room < 0.0 {
            return None;
        }
        let per_side = heaviest_within(&self.pairs, room);
        let side: f64 = per_side.iter().sum();
        Some(Built { total: tidy(self.bar + 2.0 * (self.collar + side)), per_side })
    }

    /// The bar and its collars without a plate.
    #[must_use]
    pub fn empty(&self) -> Built {
        Built { total: tidy(self.bar + 2.0 * self.collar), per_side: Vec::new() }
    }

    /// Exactly `total`, with the fewest plates. `None` where the plates cannot make it.
    #[must_use]
    pub fn exactly(&self, total: f64) -> Option<Built> {
        self.at_most(total).filter(|b| (b.total - total).abs() < 1e-3)
    }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "plates are positive and below a tonne")]
fn grams(n: f64) -> usize {
    (n.clamp(0.0, 1000.0) * 1000.0).round() as usize
}

fn gcd(a: usize, b: usize) -> usize {
    if b == 0 { a } else { gcd(b, a % b) }
}

/// The plates of one side whose sum is the largest within `room`, fewest plates first among equals.
fn heaviest_within(pairs: &[f64], room: f64) -> Vec<f64> {
    let mut plates: Vec<usize> = pairs.iter().map(|&p| grams(p)).filter(|&p| p > 0).collect();
    plates.sort_unstable_by(|a, b| b.cmp(a));
    let Some(step) = plates.iter().copied().reduce(gcd) else { return Vec::new() };
    let cells = grams(room).min(plates.iter().sum()) / step;
    // fewest[i][s]: the fewest of the first i plates that sum to s steps
    let mut fewest = vec![vec![u32::MAX; cells + 1]; plates.len() + 1];
    fewest[0][0] = 0;
    for (i, plate) in plates.iter().enumerate() {
        let size = plate / step;
        for s in 0..=cells {
            let without = fewest[i][s];
            let with = if s >= size { fewest[i][s - size].saturating_add(1) } else { u32::MAX };
            fewest[i + 1][s] = without.min(with);
        }
    }
    let Some(mut s) = (0..=cells).rev().find(|&s| fewest[plates.len()][s] < u32::MAX) else { return Vec::new() };
    let mut side = Vec::new();
    for i in (0..plates.len()).rev() {
        let size = plates[i] / step;
        if fewest[i][s] != fewest[i + 1][s] {
            s -= size;
            side.push(plates[i]);
        }
    }
    side.sort_unstable_by(|a, b| b.cmp(a));
    #[expect(clippy::cast_precision_loss, reason = "grams below a tonne")]
    side.into_iter().map(|g| g as f64 / 1000.0).collect()
}

/// The heaviest of `owned` that is not above `most_kg`; with `slack` 0.025 a mark up to 2.5 % above still counts (a 50 lb
/// bell for 22.5 kg).
#[must_use]
pub fn heaviest_owned(owned: &[Mass], most_kg: f64, slack: f64) -> Option<Mass> {
    let fits =
        |most: f64| owned.iter().copied().filter(|m| m.in_kg() <= most + 1e-9).max_by(|a, b| a.in_kg().total_cmp(&b.in_kg()));
    fits(most_kg * (1.0 + slack))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plates_are_chosen_exactly_where_the_largest_first_would_miss() {
        let bar = LoadedBar { bar: 20.0, collar: 0.0, pairs: vec![7.5, 5.0, 5.0] };
        assert_eq!(bar.exactly(40.0).unwrap().per_side, [5.0, 5.0]);
    }

    #[test]
    fn a_load_below_the_empty_bar_cannot_be_built() {
        assert_eq!(LoadedBar { bar: 20.0, collar: 0.0, pairs: vec![] }.at_most(17.5), None);
    }

    #[test]
    fn a_bell_marked_in_pounds_stands_for_its_twin_in_kilograms() {
        assert_eq!(heaviest_owned(&[Mass::lb(50.0), Mass::lb(35.0)], 22.5, 0.025), Some(Mass::lb(50.0)));
    }
}
