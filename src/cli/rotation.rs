//! Which backups stay: the newest, and further back one a day and one a week.

use time::OffsetDateTime;

/// Days with a backup, of which one stays.
const DAYS: usize = 7;
/// Weeks with a backup, of which one stays.
const WEEKS: usize = 4;

/// For each time, oldest first, whether that backup stays: the `newest` ones, and the last of each of the last seven days and four
/// weeks that have one. Days on which nothing was written cost none of them.
pub(super) fn stay(made: &[OffsetDateTime], newest: usize) -> Vec<bool> {
    let (mut days, mut weeks) = (Vec::new(), Vec::new());
    let mut stay: Vec<bool> = made
        .iter()
        .rev()
        .enumerate()
        .map(|(n, at)| {
            let (year, week, _) = at.date().to_iso_week_date();
            let of_day = last_of(&mut days, at.date()) && days.len() <= DAYS;
            let of_week = last_of(&mut weeks, (year, week)) && weeks.len() <= WEEKS;
            n < newest.max(1) || of_day || of_week
        })
        .collect();
    stay.reverse();
    stay
}

/// Seen from the newest back, it is the first of its day or week.
fn last_of<T: PartialEq>(seen: &mut Vec<T>, this: T) -> bool {
    let first = seen.last() != Some(&this);
    if first {
        seen.push(this);
    }
    first
}

#[cfg(test)]
mod tests {
    use super::*;
    use time::Duration;
    use time::macros::datetime;

    /// The days of November and December on which a backup stays, of one every six hours for fifty days.
    #[test]
    fn the_newest_stay_and_one_a_day_for_a_week_and_one_a_week_for_four() {
        let first = datetime!(2026-10-12 00:00 UTC);
        let made: Vec<_> = (0..200).map(|n| first + Duration::hours(6) * n).collect();
        let left: Vec<_> = made.iter().zip(stay(&made, 5)).filter(|(_, stays)| *stays).map(|(at, _)| *at).collect();
        let days: Vec<_> = left.iter().map(|at| (u8::from(at.month()), at.day(), at.hour())).collect();
        assert_eq!(
            days,
            [
                // Sundays, the last of each week
                (11, 15, 18),
                (11, 22, 18),
                // a day each
                (11, 24, 18),
                (11, 25, 18),
                (11, 26, 18),
                (11, 27, 18),
                (11, 28, 18),
                // the newest five
                (11, 29, 18),
                (11, 30, 0),
                (11, 30, 6),
                (11, 30, 12),
                (11, 30, 18),
            ]
        );
    }

    #[test]
    fn many_starts_on_one_day_leave_the_days_before() {
        let days = (20..25).map(|day| datetime!(2026-11-01 06:00 UTC).replace_day(day).unwrap());
        let starts = (0..4).map(|n| datetime!(2026-11-25 12:00 UTC) + Duration::minutes(n));
        let made: Vec<_> = days.chain(starts).collect();
        assert_eq!(stay(&made, 2), [true, true, true, true, true, false, false, true, true]);
    }

    #[test]
    fn the_newest_stays_whatever_was_asked() {
        let made = [datetime!(2026-11-25 06:00 UTC), datetime!(2026-11-25 07:00 UTC)];
        assert_eq!(stay(&made, 0), [false, true]);
    }
}
