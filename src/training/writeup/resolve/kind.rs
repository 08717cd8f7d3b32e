//! What kind of part it is, what it is for, what it is called.

use super::super::super::dose::Amount;
use super::super::super::movement::{Library, Pattern};
use super::super::super::session::{Format, Intent, Line, Part, ScoreKind};
use super::super::draft::Draft;
use super::super::element::Heading;
use super::super::line::Around;
use super::super::quantity::Unit;
use super::count;

pub(super) fn around(draft: &Draft) -> Around {
    // `0-10 min: row easy`
    let lasts = draft.first(|f| f.window.clone()).is_some() && matches!(&draft.rows[..], [row] if !row.item.is_dosed());
    let by_clock = lasts || draft.first(|f| f.on_off.as_ref().map(|_| ())).is_some();
    let counts: Vec<f64> = draft
        .rows
        .iter()
        .filter_map(|r| r.item.dose.as_ref().filter(|q| q.unit == Unit::Bare && q.tokens == 1).map(|q| q.amount.high()))
        .collect();
    let in_order = counts.len() > 1
        && counts.len() == draft.rows.len()
        && counts.iter().enumerate().all(|(i, n)| (n - count(i + 1)).abs() < 0.01);
    Around {
        scheme: draft.scheme.clone(),
        step: draft.first(|f| f.step),
        by_clock,
        strength: draft.heading == Some(Heading::Strength)
            || draft.first(|f| f.rounds.clone()).is_none()
                && !by_clock
                && draft.first(|f| f.amrap).is_none()
                && draft.first(|f| f.for_time).is_none(),
        ladder: draft.first(|f| f.ladder).is_some(),
        built: None,
        // the one line of an entry of a list is in every window
        minutes: draft.first(|f| f.every).is_some()
            && draft.rows.len() + draft.rest_stations > 1
            && draft.rows.iter().find_map(|r| r.lead.number).is_some_and(|n| (n - 1.0).abs() < 0.01),
        counts_are_numbers: by_clock && in_order,
    }
}

pub(super) fn format(draft: &Draft, lines: &[Line]) -> Format {
    let has = |pick: &dyn Fn(&super::super::item::Facts) -> bool| draft.facts.iter().any(pick);
    let open = lines.iter().any(|l| l.open);
    let sets = draft.rows.iter().any(|r| r.item.sets.is_some()) || draft.scheme.as_ref().is_some_and(|s| s.sets.is_some());
    let max_only =
        !lines.is_empty() && draft.rows.iter().zip(lines).all(|(r, l)| (l.max && l.reps.is_none()) || r.item.build.is_some());
    let scheme =
        lines.iter().any(|l| matches!(l.reps.as_ref().or(l.calories.as_ref()).or(l.metres.as_ref()), Some(Amount::Scheme(_))));
    let prep = matches!(draft.heading, Some(Heading::WarmUp | Heading::CoolDown | Heading::Mobility | Heading::Skill));
    if has(&|f| f.every.is_some()) {
        Format::Emom
    } else if open || has(&|f| f.step.is_some()) {
        Format::Ladder
    } else if blocks(draft, lines) {
        Format::Amrap
    } else if has(&|f| f.on_off.is_some()) {
        Format::Intervals
    } else if has(&|f| f.amrap.is_some()) {
        Format::Amrap
    } else if max_only && !(lines.len() > 1 && has(&|f| f.rounds.is_some())) {
        Format::MaxEffort
    } else if has(&|f| f.for_time.is_some()) && !has(&|f| f.not_for_time) || has(&|f| f.cap.is_some()) {
        Format::ForTime
    } else if has(&|f| f.ladder.is_some()) && !(scheme && lines.len() == 1 && has(&|f| f.rest.is_some())) {
        if has(&|f| f.window.is_some()) || !scheme { Format::Ladder } else { Format::ForTime }
    } else if sets && !prep {
        Format::Sets
    } else if has(&|f| f.sets.is_some()) && !prep {
        // `three sets of each`
        let of_each = has(&|f| f.sets.is_some() && f.each);
        if draft.rows.len() > 1 && !of_each && draft.rows.iter().all(|r| r.lead.label.is_none()) {
            Format::Rounds
        } else {
            Format::Sets
        }
    } else if has(&|f| f.role.is_some()) {
        Format::ForTime
    } else if has(&|f| f.rounds.is_some()) {
        let practice = matches!(draft.heading, Some(Heading::Skill | Heading::Mobility))
            || draft.heading == Some(Heading::WarmUp) && has(&|f| f.window.is_some());
        if practice { Format::Practice } else { Format::Rounds }
    } else if has(&|f| f.times.is_some()) && lines.len() > 1 && !prep {
        Format::Rounds
    } else if sets && prep {
        Format::Practice
    } else if scheme && lines.len() == 1 {
        Format::Sets
    } else if scheme {
        Format::ForTime
    } else {
        Format::Practice
    }
}

/// `AMRAP x 3: 4 min on, 2 off`: blocks of several lines, each as often as possible, with a rest between.
fn blocks(draft: &Draft, lines: &[Line]) -> bool {
    let Some((window, _)) = draft.first(|f| f.amrap) else { return false };
    let Some((on, _, _)) = draft.first(|f| f.on_off) else { return false };
    lines.len() > 1 && window.or(on).is_some_and(|s| s >= 120.0) && window.zip(on).is_none_or(|(a, b)| (a - b).abs() < 0.5)
}

pub(super) fn intent(draft: &Draft, part: &Part, library: &Library) -> Intent {
    let gentle = |l: &Line| library.find(&l.movement).is_some_and(|m| m.pattern == Pattern::Mobility);
    let mobile = !part.lines.is_empty() && part.lines.iter().all(gentle);
    match draft.heading {
        Some(Heading::WarmUp) => return Intent::Prep,
        Some(Heading::CoolDown | Heading::Mobility) => return Intent::Mobility,
        Some(Heading::Skill) => return Intent::Technique,
        Some(Heading::Strength)
            if matches!(part.format, Format::Sets | Format::MaxEffort | Format::Rounds | Format::Emom | Format::Practice) =>
        {
            return Intent::Strength;
        }
        Some(Heading::Conditioning) if !mobile => return Intent::Conditioning,
        _ => {}
    }
    match part.format {
        Format::Sets => Intent::Strength,
        Format::MaxEffort if part.score == ScoreKind::Load => Intent::Strength,
        Format::Emom if part.lines.iter().all(|l| l.load.is_some()) && !part.lines.is_empty() => Intent::Strength,
        Format::Practice if mobile => Intent::Mobility,
        _ => Intent::Conditioning,
    }
}

pub(super) fn name(part: &Part) -> String {
    match part.format {
        // neither of the two of a superset names it alone
        Format::Sets if (2..4).contains(&part.lines.len()) => {
            part.lines.iter().map(|l| l.movement.as_str()).collect::<Vec<_>>().join(" + ")
        }
        Format::Sets | Format::MaxEffort => part.lines.first().map_or_else(|| "Sets".to_owned(), |l| l.movement.clone()),
        Format::Rounds => "Rounds".to_owned(),
        Format::ForTime => "For time".to_owned(),
        Format::Amrap => "AMRAP".to_owned(),
        Format::Emom => "EMOM".to_owned(),
        Format::Intervals => "Intervals".to_owned(),
        Format::Practice => match &part.lines[..] {
            [line] => line.movement.clone(),
            _ => "Practice".to_owned(),
        },
        Format::Ladder => "Ladder".to_owned(),
    }
}
