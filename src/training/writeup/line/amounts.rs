//! Numbers of a line: rungs, lists of reps, and what it takes from the part's own.

use super::super::super::dose::Amount;
use super::super::item::Item;
use super::super::quantity::{Quantity, Unit};

/// Rungs from `a` to `b`, one at a time.
pub(super) fn rungs(a: f64, b: f64) -> Amount {
    if (a - b).abs() > 40.0 || a.fract() != 0.0 || b.fract() != 0.0 {
        return Amount::Range(a.min(b), a.max(b));
    }
    let step = if a > b { -1.0 } else { 1.0 };
    let mut list = vec![a];
    let mut n = a;
    while (n - b).abs() > 0.5 {
        n += step;
        list.push(n);
    }
    match list[..] {
        [one] => Amount::One(one),
        [x, y] => Amount::Range(x, y),
        _ => Amount::Scheme(list),
    }
}

/// `5 @ 70, 3 @ 80, 1 @ 90`: one list of reps.
pub(super) fn listed(q: &Quantity, item: &Item) -> Option<Vec<f64>> {
    let told: Vec<f64> = item.more.iter().flat_map(|(m, _)| m.amount.values()).collect();
    if matches!(q.amount, Amount::Scheme(_)) && q.amount.values() == told && item.more.len() > 1 {
        return Some(told);
    }
    let mut list = q.amount.values();
    for (more, _) in &item.more {
        let counts = |unit| matches!(unit, Unit::Bare | Unit::Reps);
        // `run 400 m, 800 m, 400 m`
        let alike = more.unit == q.unit && matches!(q.unit, Unit::Metres | Unit::Calories | Unit::Seconds);
        if !(counts(more.unit) && counts(q.unit) || alike) || more.halves {
            return None;
        }
        list.extend(more.amount.values());
    }
    (list.len() > 2 && list.iter().all(|n| *n > 0.0)).then_some(list)
}

pub(super) fn even_step(amount: &Amount) -> Option<f64> {
    let v = amount.values();
    let step = v.get(1)? - v.first()?;
    v.windows(2).all(|w| (w[1] - w[0] - step).abs() < 1e-9).then_some(step)
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "list numbers are small and whole")]
pub(super) fn minute(n: f64) -> u32 {
    n.clamp(0.0, 999.0) as u32
}

/// A line takes from the part's scheme what it does not say itself.
pub(super) fn inherit(item: &mut Item, scheme: &Item) {
    if item.dose.is_none() && item.build.is_none() {
        item.dose.clone_from(&scheme.dose);
    }
    if let (Some(unit), Some(q)) = (item.unit, &mut item.dose) {
        q.unit = unit;
    }
    if item.more.is_empty() {
        item.more.clone_from(&scheme.more);
    }
    item.sets = item.sets.or(scheme.sets);
    item.max = item.max.or(scheme.max);
    item.build = item.build.or(scheme.build);
    item.side = item.side.or(scheme.side);
    if item.load.is_none() {
        item.load.clone_from(&scheme.load);
    }
    if item.tempo.is_none() {
        item.tempo.clone_from(&scheme.tempo);
    }
    item.implements = item.implements.or(scheme.implements);
}
