//! How long things take: a line, a part, a session; and the least that anybody could need.
//!
//! Typical figures come from the movement's own seconds a rep and from `data/paces.csv`, where every row names its
//! source. They are defaults; a member's own pace factor (median of actual by predicted) is applied by the caller.

mod fastest;
mod line;
mod own;
mod part;
mod table;
mod window;

pub use fastest::{fastest, fastest_line, fastest_round};
pub use line::line;
pub use own::{median, own_factor};
pub use part::{Pacing, part, part_with, rounds_of, session, stations_of, without_cap};
pub use window::{WORKED, Window, in_turn, together, windows};

use serde::{Deserialize, Serialize};
use std::iter::Sum;
use std::ops::{Add, Mul};

/// A span of seconds; `low_s <= typical_s <= high_s`, none of them negative.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Estimate {
    /// a quick and practised person
    pub low_s: f64,
    /// most people
    pub typical_s: f64,
    /// a careful beginner
    pub high_s: f64,
}

impl Estimate {
    /// A time that the clock decides: the same for everybody.
    #[must_use]
    pub fn fixed(seconds: f64) -> Self {
        Self { low_s: seconds, typical_s: seconds, high_s: seconds }
    }

    /// No longer than `cap` seconds.
    #[must_use]
    pub fn capped(self, cap: f64) -> Self {
        Self { low_s: self.low_s.min(cap), typical_s: self.typical_s.min(cap), high_s: self.high_s.min(cap) }
    }
}

impl Add for Estimate {
    type Output = Self;
    fn add(self, o: Self) -> Self {
        Self { low_s: self.low_s + o.low_s, typical_s: self.typical_s + o.typical_s, high_s: self.high_s + o.high_s }
    }
}

impl Mul<f64> for Estimate {
    type Output = Self;
    fn mul(self, n: f64) -> Self {
        Self { low_s: self.low_s * n, typical_s: self.typical_s * n, high_s: self.high_s * n }
    }
}

impl Sum for Estimate {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::default(), Add::add)
    }
}

#[cfg(test)]
mod tests;
