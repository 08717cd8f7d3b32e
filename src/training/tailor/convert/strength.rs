//! Doses of strength: as near to the limit with the load there is.

use super::{BUILT, Dose, Swap};
use crate::training::dose::{Load, Side};
use crate::training::movement::{Pattern, Sided, Unit};
use crate::training::strength::{percent_at, reps_at};
use crate::training::tailor::shelf::{Shelf, Tool};

impl Swap<'_> {
    /// A strength set of a movement that switches sides is told for each side.
    pub(super) fn one_side_in_strength(&self, dose: &mut Dose) {
        if dose.side == Some(Side::Alternating) {
            dose.side = Some(Side::PerSide);
        }
        if self.fit.loaded && !self.fit.pair && dose.seconds.is_some() {
            dose.side = Some(Side::PerSide);
        }
    }

    /// Reps near the limit with the load there is.
    pub(super) fn strength_reps(&self, written: f64, shelf: &Shelf<'_>) -> f64 {
        let usual = shelf.entries[self.to].dose;
        if self.found_on_a_bar() {
            return written;
        }
        match self.fit.share.filter(|_| self.comparable(shelf)) {
            Some(share) if share > 1.0 => heavier_reps(written, share),
            Some(share) if share >= 0.9 => written,
            Some(share) if share >= 0.6 => lighter_reps(written, share, self.most(shelf)).max(usual.low),
            _ if self.fit.loaded && !self.was_loaded => written.clamp(usual.low, usual.high.max(written)),
            // a bar with all that was written is not light, whatever the lift
            _ if self.way.tool == Tool::Bar && self.fit.of_written.is_some_and(|s| s >= 0.9) => written,
            // among several weights the heaviest that stays clean is found set by set
            _ if self.found_by_building() => (written * 2.0).min(written.max(BUILT)),
            _ if self.body_is_enough || self.was_a_jump(shelf) => self.as_many(written, shelf),
            _ if self.was_loaded => (written * 2.0).clamp(usual.low, usual.high).max(written.min(usual.high)),
            _ => written.clamp(usual.low, usual.high.max(written)),
        }
        .round()
        .clamp(1.0, written.max(self.most(shelf)))
    }

    /// A jump is done for its speed: what is given for it on the feet is as many, or as long, and not until it is hard.
    fn was_a_jump(&self, shelf: &Shelf<'_>) -> bool {
        let (from, to) = self.movements(shelf);
        from.pattern == Pattern::Jump && !self.fit.loaded && to.sided == Sided::Bilateral
    }

    /// The written count, or so many as a coach gives for it.
    fn as_many(&self, written: f64, shelf: &Shelf<'_>) -> f64 {
        let usual = shelf.entries[self.to].dose;
        if self.was_a_jump(shelf) {
            return (written * shelf.count(self.from, self.to).unwrap_or(1.0)).round();
        }
        written.clamp(usual.low, usual.high.max(written))
    }

    /// The load is built up set by set among what is at home.
    fn found_by_building(&self) -> bool {
        self.builds && matches!(self.fit.load, Some(Load::Find(_)))
    }

    /// A bar is loaded until the written reps are as hard as they should be.
    fn found_on_a_bar(&self) -> bool {
        self.was_loaded && self.way.tool == Tool::Bar && matches!(self.fit.load, Some(Load::Find(_)))
    }

    /// A load of one says something about the other: same kind of movement, or measured against the same lift.
    fn comparable(&self, shelf: &Shelf<'_>) -> bool {
        let (a, b) = (&shelf.entries[self.from], &shelf.entries[self.to]);
        let (from, to) = self.movements(shelf);
        from.pattern == to.pattern || a.ratio.zip(b.ratio).is_some_and(|((x, _), (y, _))| x == y)
    }

    /// The load got lighter, or there is none: a slower rep brings the effort back.
    pub(super) fn slower(&self, shelf: &Shelf<'_>) -> bool {
        let (_, to) = self.movements(shelf);
        !shelf.entries[self.to].fast
            && !self.found_on_a_bar()
            && !self.found_by_building()
            && self.was_loaded
            && !self.body_is_enough
            && to.unit == Unit::Reps
            && self.fit.share.is_none_or(|s| s < 0.8)
    }
}

/// Reps of the same movement with `share` of the load, as near to the limit: by the %1RM table, kept close to the written
/// count while the load is close (two reps are taken to be in reserve), at most double and at most `most`.
pub(crate) fn lighter_reps(written: f64, share: f64, most: f64) -> f64 {
    let by_table = reps_at(percent_at(written + 2.0) * share) - 2.0;
    let most_here = (written * (1.0 + 2.0 * (1.0 - share))).min(written * 2.0).clamp(written, written.max(most));
    by_table.clamp(written, most_here).round()
}

/// Reps of an easier written load turned to a harder movement with the same weight: fewer, by the table. A weight that is written
/// for everybody is nobody's limit, so a movement that is a little harder takes little away: three quarters of what it is
/// harder by at the most, and never more than 40 % (*common practice*).
fn heavier_reps(written: f64, share: f64) -> f64 {
    let least = written * (1.0 - (share - 1.0) * 0.75).clamp(0.6, 1.0);
    (reps_at(percent_at(written + 2.0) * share) - 2.0).clamp(least.max(1.0), written).round()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_the_load_is_at_most_double_the_reps() {
        assert!((lighter_reps(5.0, 0.5, 20.0) - 10.0).abs() < 1e-9);
    }

    #[test]
    fn the_same_weight_at_a_movement_that_is_a_little_harder_takes_a_rep_or_two() {
        assert!((heavier_reps(8.0, 0.85 / 0.75) - 7.0).abs() < 1e-9);
        assert!((heavier_reps(10.0, 2.0) - 6.0).abs() < 1e-9);
    }

    #[test]
    fn a_load_a_little_lighter_adds_a_rep_or_two() {
        assert!((lighter_reps(5.0, 0.9, 20.0) - 6.0).abs() < 1e-9);
    }
}
