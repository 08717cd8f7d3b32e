//! A member's own pace: how their times compare with the estimates.

/// Fewer results than this say nothing yet.
const FEWEST: usize = 3;
/// So many results weigh as much as the belief that everybody is typical.
const BELIEF: f64 = 4.0;

/// A member's own pace factor from ratios actual / predicted: their median, drawn toward 1 while results are few. 1 below
/// three results. A factor of 1.2 means: takes a fifth longer than estimated.
#[must_use]
pub fn own_factor(ratios: &[f64]) -> f64 {
    let sound: Vec<f64> = ratios.iter().copied().filter(|r| r.is_finite() && *r > 0.0).collect();
    if sound.len() < FEWEST {
        return 1.0;
    }
    #[expect(clippy::cast_precision_loss, reason = "a member has few results")]
    let n = sound.len() as f64;
    1.0 + (median(&sound).unwrap_or(1.0) - 1.0) * n / (n + BELIEF)
}

/// The middle value; the mean of the two middle ones of an even number; `None` of nothing.
#[must_use]
pub fn median(values: &[f64]) -> Option<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let upper = sorted.get(sorted.len() / 2).copied()?;
    if sorted.len() % 2 == 1 { Some(upper) } else { Some(f64::midpoint(sorted[sorted.len() / 2 - 1], upper)) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_results_say_nothing() {
        assert!((own_factor(&[1.4, 1.5]) - 1.0).abs() < f64::EPSILON);
    }

    #[test]
    fn one_odd_result_among_many_is_no_matter() {
        let usual = own_factor(&[1.2; 8]);
        assert!((own_factor(&[1.2, 1.2, 1.2, 1.2, 1.2, 1.2, 1.2, 9.0]) - usual).abs() < 1e-12);
    }

    #[test]
    fn more_results_draw_less_toward_one() {
        assert!(own_factor(&[1.3; 3]) < own_factor(&[1.3; 30]));
        assert!(own_factor(&[1.3; 30]) < 1.3);
    }
}
