//! Windows of the clock, and what is done inside each: every minute, every two minutes, 30 s on.

use super::Estimate;
use super::line::line;
use super::part::rounds_of;
use crate::training::clock;
use crate::training::movement::Library;
use crate::training::session::{Format, Line, Part};
use std::collections::BTreeSet;

/// Of a window that comes again, what is worked; the rest is for breath (*common practice*: 40 to 45 s of a minute).
pub const WORKED: f64 = 0.75;
/// From one movement to the next inside a window, seconds.
const CHANGE_S: f64 = 2.0;

/// One window and what is done in it.
#[derive(Clone, Debug, PartialEq)]
pub struct Window {
    /// seconds from one start to the next, or of the work where its rest is written
    pub length_s: f64,
    /// seconds of it that are worked, so that there is some rest
    pub work_s: f64,
    /// lines done in it, by place in the part
    pub lines: Vec<usize>,
}

/// The windows of one time through a part that the clock cuts; none for other parts.
#[must_use]
pub fn windows(part: &Part) -> Vec<Window> {
    let interval = part.interval.unwrap_or_default();
    let every = interval.every_s.or((part.format == Format::Emom).then_some(60.0));
    let each: Vec<usize> = (0..part.lines.len()).filter(|&i| part.lines[i].role.is_none()).collect();
    let sound = |s: &f64| s.is_finite() && *s > 0.0;
    match (part.format, interval.work_s.filter(sound), every.filter(sound)) {
        (Format::Intervals, Some(on), _) if clock::together(part) => vec![Window { length_s: on, work_s: on, lines: each }],
        (Format::Intervals, Some(on), _) => {
            each.into_iter().map(|i| Window { length_s: on, work_s: on, lines: vec![i] }).collect()
        }
        (Format::Emom | Format::Intervals, None, Some(every)) => {
            let window = |lines| Window { length_s: every, work_s: every * WORKED, lines };
            stations(part, &each).into_iter().map(window).collect()
        }
        _ => Vec::new(),
    }
}

/// Lines that share a window: those of one numbered minute, each alone where they take turns, else all.
fn stations(part: &Part, each: &[usize]) -> Vec<Vec<usize>> {
    let numbered: BTreeSet<u32> = each.iter().filter_map(|&i| part.lines[i].minute).collect();
    if part.format == Format::Intervals || in_turn(part) {
        return each.iter().map(|&i| vec![i]).collect();
    }
    if numbered.is_empty() {
        return vec![each.to_vec()];
    }
    let on = |m: u32| each.iter().copied().filter(|&i| part.lines[i].minute.is_none_or(|own| own == m)).collect();
    numbered.into_iter().map(on).collect()
}

/// The lines of an EMOM take turns without numbers of their own: its length is as many windows for each round as it has lines,
/// or more where some are rest.
#[must_use]
pub fn in_turn(part: &Part) -> bool {
    let lines = part.lines.iter().filter(|l| l.role.is_none());
    #[expect(clippy::cast_precision_loss, reason = "a part has a few lines")]
    let listed = lines.clone().count() as f64;
    let every = part.interval.and_then(|i| i.every_s).unwrap_or(60.0);
    let (Format::Emom, Some(length), true) = (part.format, part.duration_s, part.rounds.is_some() && every > 0.0) else {
        return false;
    };
    listed > 1.0 && lines.clone().all(|l| l.minute.is_none()) && (length / every).floor() / rounds_of(part).max(1.0) >= listed
}

/// Seconds that these lines take after each other, with the change from one to the next.
#[must_use]
pub fn together<'l>(lines: impl Iterator<Item = &'l Line> + Clone, library: &Library) -> Estimate {
    #[expect(clippy::cast_precision_loss, reason = "a window has a few lines")]
    let changes = lines.clone().count().saturating_sub(1) as f64;
    lines.map(|l| line(l, library)).sum::<Estimate>() + Estimate::fixed(CHANGE_S) * changes
}
