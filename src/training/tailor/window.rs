//! What a member is given for one window of the clock must be doable inside it, with some rest (*common practice*).

use super::convert::Dose;
use super::give::once;
use super::{Action, TailoredLine};
use crate::training::dose::{Amount, Side};
use crate::training::movement::Library;
use crate::training::pace::{self, Window};
use crate::training::session::{Line, Part};
use crate::training::wording::seconds;

/// The most of a window that its lines take where the coach wrote a full one.
const FULL: f64 = 0.9;

/// The clock cuts the part into windows.
pub(crate) fn cuts(part: &Part) -> bool {
    !pace::windows(part).is_empty()
}

/// For each line of a part, what share of its dose fits into its window; `None` where all of it does, or where it is as written.
pub(crate) fn shares(part: &Part, lines: &[TailoredLine], library: &Library) -> Vec<Option<f64>> {
    let mut all = vec![None; lines.len()];
    for window in pace::windows(part) {
        if let Some(share) = share(&window, part, lines, library) {
            for &i in window.lines.iter().filter(|&&i| changed(&lines[i])) {
                // a line that stands in several windows is held to the fullest
                all[i] = Some(all[i].map_or(share, |other: f64| other.min(share)));
            }
        }
    }
    all
}

/// What share of the changed lines fits beside those that stay as written.
fn share(window: &Window, part: &Part, lines: &[TailoredLine], library: &Library) -> Option<f64> {
    let time = |l: &TailoredLine| pace::together(l.given.iter(), library).typical_s;
    let of = |changes: bool| window.lines.iter().map(|&i| &lines[i]).filter(|l| changed(l) == changes).map(time).sum::<f64>();
    let (moved, kept) = (of(true), of(false));
    let given = pace::together(window.lines.iter().flat_map(|&i| &lines[i].given), library).typical_s;
    let written = pace::together(window.lines.iter().map(|&i| &part.lines[i]), library).typical_s;
    let most = if window.lines.len() > 1 { written.min(window.length_s * FULL).max(window.work_s) } else { window.work_s };
    if moved <= 0.0 || given <= most + 0.5 {
        return None;
    }
    let beside = (most - (given - moved)) / moved;
    // where the rest alone fills the window, everything gets its part of it
    let share = if beside >= 0.5 || kept <= 0.0 { beside } else { most / given };
    (share < 0.99).then_some(share.max(0.01))
}

/// Another movement or another dose than was written; a load alone takes no time.
fn changed(line: &TailoredLine) -> bool {
    let w = &line.written;
    let dose = |l: &Line| (l.reps.clone(), l.seconds.clone(), l.metres.clone(), l.calories.clone(), l.side, l.tempo.clone());
    let pieces = |l: &Line| l.complex.iter().map(|p| p.movement.clone()).collect::<Vec<_>>();
    line.action != Action::Keep
        && line.given.iter().any(|g| g.movement != w.movement || dose(g) != dose(w) || pieces(g) != pieces(w))
}

/// Holds a dose to a share of it, rounded down to what people count; false where it cannot get smaller.
pub(crate) fn cut(dose: &mut Dose, share: f64) -> bool {
    let before = dose.clone();
    dose.reps = dose.reps.as_ref().map(|r| fewer(r, share, dose.side));
    dose.seconds = dose.seconds.as_ref().map(|s| s.map(|n| down(n * share, 5.0, 10.0).min(n)));
    dose.metres = dose.metres.as_ref().map(|m| m.map(|n| down(n * share, if n > 50.0 { 10.0 } else { 5.0 }, 5.0).min(n)));
    dose.calories = dose.calories.as_ref().map(|c| c.map(|n| down(n * share, 1.0, 1.0)));
    *dose != before
}

/// Fewer reps; where sides alternate an even count.
pub(crate) fn fewer(reps: &Amount, share: f64, side: Option<Side>) -> Amount {
    let step = if side == Some(Side::Alternating) { 2.0 } else { 1.0 };
    once(reps.map(|n| down(n * share, step, step).min(n)))
}

fn down(n: f64, step: f64, least: f64) -> f64 {
    ((n / step + 1e-9).floor() * step).max(least)
}

/// How much is given: `as much as fits into the minute, with a short rest`.
pub(crate) fn words(part: &Part) -> String {
    let interval = part.interval.unwrap_or_default();
    match (interval.work_s, interval.every_s.unwrap_or(60.0)) {
        (Some(on), _) => format!("as much as fits into {}", seconds(on)),
        (None, every) if (every - 60.0).abs() < 0.5 => "as much as fits into the minute, with a short rest".to_owned(),
        (None, every) => format!("as much as fits into {}, with a short rest", seconds(every)),
    }
}
