//! A line that the coach chose for a member: given as chosen where every hard rule holds, else refused with the rule.

use super::fit::Asked;
use super::house::Pin;
use super::pick::{Ask, Bar, Choice, Who, cheapest};
use super::shelf::Tool;
use crate::training::dose::Load;
use crate::training::load::KG_PER_LB;
use crate::training::movement::Implement;
use crate::training::session::Line;

/// What became of the pins for a line: the first that is sound, and the first that is not.
pub(crate) type Pinned<'s> = (Option<(Choice, &'s Pin)>, Option<(&'s Pin, Bar)>);

/// Tries the pins for a line, those that go first standing first.
pub(crate) fn pinned<'s>(ask: &Ask<'_, 's>, who: &Who<'_>) -> Pinned<'s> {
    let mut refused = None;
    for pin in ask.shelf.house.pins_for(&ask.shelf.movement(ask.at).name, ask.purpose, who) {
        match choice(ask, &pin.becomes, who) {
            Ok(choice) => return (Some((choice, pin)), refused),
            Err(broken) => refused = refused.or(Some((pin, broken))),
        }
    }
    (None, refused)
}

/// The chosen line as this member does it, or the first rule that it breaks.
fn choice(ask: &Ask<'_, '_>, becomes: &Line, who: &Who<'_>) -> Result<Choice, Bar> {
    let at = ask.shelf.library.position(&becomes.movement).ok_or(Bar::Lacks(Implement::None))?;
    let converted = cheapest(ask.choices(at, Some(0), who)?).ok_or(Bar::TooHeavy)?;
    if !has_dose(becomes) && becomes.load.is_none() {
        return Ok(converted);
    }
    let mut line = Line { load: becomes.load.clone().or_else(|| written_load(ask, at)), ..becomes.clone() };
    if !has_dose(becomes) {
        let dose = converted.dose;
        (line.reps, line.seconds, line.metres, line.calories) = (dose.reps, dose.seconds, dose.metres, dose.calories);
        line.side = becomes.side.or(dose.side);
    }
    let mine = Ask::new(&line, at, ask.purpose, ask.shelf, who);
    let sound = mine.choices(at, Some(0), who)?.into_iter().filter(|c| ask.allowed(at, c.way, who).is_ok() && !above(ask, c));
    let mut choice = cheapest(sound.collect()).ok_or(Bar::TooHeavy)?;
    if has_dose(becomes) && becomes.load.is_none() {
        let dose = &mut choice.dose;
        (dose.reps, dose.seconds) = (becomes.reps.clone(), becomes.seconds.clone());
        (dose.metres, dose.calories) = (becomes.metres.clone(), becomes.calories.clone());
        (dose.side, dose.tempo, dose.max) = (becomes.side, becomes.tempo.clone(), becomes.max);
    }
    Ok(choice)
}

fn has_dose(line: &Line) -> bool {
    line.max || line.reps.is_some() || line.seconds.is_some() || line.metres.is_some() || line.calories.is_some()
}

/// Where the coach named no load, the written one stays the ceiling: for a bar in the place of others what a bar may have of it.
fn written_load(ask: &Ask<'_, '_>, to: usize) -> Option<Load> {
    match &ask.asked {
        _ if !ask.shelf.movement(to).loadable => None,
        Asked::Weight { total, on_a_bar, .. } => {
            let for_a_bar = ask.shelf.movement(to).equipment.iter().any(|set| set.contains(&Implement::Barbell));
            Some(Load::kg(if for_a_bar { *on_a_bar } else { *total }))
        }
        Asked::Effort => ask.line.load.clone(),
        _ => None,
    }
}

/// More weight in all than the written line has.
fn above(ask: &Ask<'_, '_>, choice: &Choice) -> bool {
    let Asked::Weight { total, on_a_bar, .. } = ask.asked else { return false };
    let most = if choice.way.tool == Tool::Bar { on_a_bar } else { total };
    let each = match &choice.fit.load {
        Some(Load::Kg { values, .. }) => values.iter().copied().fold(0.0, f64::max),
        Some(Load::Lb { values, .. }) => values.iter().map(|lb| lb * KG_PER_LB).fold(0.0, f64::max),
        _ => return false,
    };
    each * if choice.fit.pair { 2.0 } else { 1.0 } > most * 1.025 + 1e-9
}
