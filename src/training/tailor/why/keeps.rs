//! What a swap keeps: the effort, the time, the count, or only that the part goes on.

use crate::training::dose::{Load, Side};
use crate::training::movement::{Movement, Pattern, Sided, Unit};
use crate::training::pace;
use crate::training::session::Line;
use crate::training::tailor::fit::{Asked, Source};
use crate::training::tailor::pick::{Ask, Choice};
use crate::training::tailor::shelf::{Purpose, Tool};

/// What the swap keeps, in words.
pub(super) fn keeps(ask: &Ask<'_, '_>, choice: &Choice, m: &Movement) -> String {
    let effort = ask.effort.as_deref().unwrap_or("with 1-3 reps left");
    let one_side = choice.dose.side == Some(Side::PerSide);
    if let Some(inside) = &choice.inside {
        return inside.clone();
    }
    match ask.purpose {
        Purpose::Strength if choice.dose.max => most_of_it(m).to_owned(),
        // how hard it is to be stands in the load already
        Purpose::Strength if ask.builds && matches!(choice.fit.load, Some(Load::Find(_))) => {
            "it is built up to one heavy set, as written".to_owned()
        }
        Purpose::Strength if matches!(choice.fit.load, Some(Load::Find(_))) => {
            let percent = matches!(ask.asked, Asked::Weight { source: Source::Percent, .. });
            let of_another = percent && choice.way.tool == Tool::Bar;
            let no_number = if of_another { ", without a number, since your max is of another lift" } else { "" };
            format!("the effort stays{no_number}")
        }
        Purpose::Strength if ask.builds => format!("a few easy sets first, then one hard set {effort}"),
        Purpose::Strength if choice.dose.tempo.is_some() => {
            let limb = if one_side { "one side at a time and " } else { "" };
            format!("{limb}slow on the way down, {effort}, keeps it hard")
        }
        Purpose::Strength if choice.dose.seconds.is_some() && m.unit == Unit::Seconds && m.pattern != Pattern::Carry => {
            "hold it hard for the time".to_owned()
        }
        Purpose::Strength if choice.dose.seconds.is_some() => "keep it going for the time".to_owned(),
        Purpose::Strength if m.pattern == Pattern::Carry => "it is carried as far, standing tall".to_owned(),
        Purpose::Strength if from_a_jump(ask, choice, m) => "fast on the way up, the feet stay down".to_owned(),
        // easy going and trunk work are not done to the last rep
        Purpose::Strength if !ask.was_loaded() && !choice.fit.loaded && goes_on(m.pattern) => {
            "the nearest that is sound for you today".to_owned()
        }
        Purpose::Strength if is_easier(ask, choice, m) => format!("the nearest that is sound for you today, {effort}"),
        Purpose::Strength => format!("the effort stays, {effort}"),
        Purpose::Conditioning => going(ask, choice, one_side).to_owned(),
        Purpose::Technique if m.pattern == ask.shelf.movement(ask.at).pattern => "the same shape to practise".to_owned(),
        Purpose::Technique => "the nearest that you can practise today".to_owned(),
        Purpose::Mobility if m.pattern == ask.shelf.movement(ask.at).pattern => same_kind(m.pattern),
        Purpose::Mobility => "the nearest that is sound for you today".to_owned(),
    }
}

/// As many or as long as they can: there is no rep to be left.
fn most_of_it(m: &Movement) -> &'static str {
    if m.unit == Unit::Reps { "as many as you can in good form" } else { "as long as you can in good form" }
}

/// Speed is what a jump is for.
fn from_a_jump(ask: &Ask<'_, '_>, choice: &Choice, m: &Movement) -> bool {
    let lands = m.pattern == Pattern::Jump;
    ask.shelf.movement(ask.at).pattern == Pattern::Jump && !lands && !choice.fit.loaded && m.sided == Sided::Bilateral
}

/// The body does an easier movement of the same kind, and no more of it.
fn is_easier(ask: &Ask<'_, '_>, choice: &Choice, m: &Movement) -> bool {
    let a = ask.shelf.movement(ask.at);
    let more = ask.line.reps.as_ref().zip(choice.dose.reps.as_ref()).is_some_and(|(w, g)| g.high() > w.high());
    !ask.was_loaded() && !choice.fit.loaded && a.pattern == m.pattern && m.skill < a.skill && !more
}

/// Patterns of which one goes on rather than comes near a limit.
fn goes_on(pattern: Pattern) -> bool {
    matches!(pattern, Pattern::Conditioning | Pattern::Cyclical | Pattern::Mobility | Pattern::Core)
}

/// What two movements of one pattern have in common, in a coach's words.
fn same_kind(pattern: Pattern) -> String {
    match pattern {
        Pattern::PullHorizontal | Pattern::PullVertical => "the same kind of pull".to_owned(),
        Pattern::PushHorizontal | Pattern::PushVertical => "the same kind of push".to_owned(),
        Pattern::Core => "the same work for the trunk".to_owned(),
        Pattern::Conditioning | Pattern::Cyclical => "it keeps you moving".to_owned(),
        Pattern::FullBody => "the same work for the whole body".to_owned(),
        Pattern::Accessory => "the same muscles".to_owned(),
        Pattern::Inverted => "weight on the hands, head down, as written".to_owned(),
        Pattern::SingleLeg => "the same work for one leg".to_owned(),
        _ => format!("the same {} for today", pattern.label()),
    }
}

/// What a swap keeps in a conditioning part: of count and time only what the numbers say.
fn going(ask: &Ask<'_, '_>, choice: &Choice, one_side: bool) -> &'static str {
    let time = time_share(ask, choice);
    match (choice.dose.seconds.is_some(), one_side) {
        (true, _) if (0.8..=1.25).contains(&time) => "the same time at the same effort",
        (_, true) if same_count(ask, choice) => "the whole count stays about the same, split between sides",
        (_, true) if each_as_written(ask, choice) => "the written count with each side",
        (_, true) => "one side, then the other",
        (_, _) if (0.6..=1.6).contains(&time) => "it takes about the same time",
        (_, _) => "the nearest that keeps the part going",
    }
}

/// Both sides together come to the written count, give or take a rep or a sixth.
fn same_count(ask: &Ask<'_, '_>, choice: &Choice) -> bool {
    let all = |line: &Line, sides: f64| line.reps.as_ref().map(|r| (r.low() * sides, r.high() * sides));
    let given = choice.dose.reps.as_ref().map(|r| (r.low() * 2.0, r.high() * 2.0));
    let near = |a: f64, b: f64| (a - b).abs() <= (b / 6.0).max(1.0);
    all(ask.line, sides(ask)).zip(given).is_some_and(|(w, g)| near(g.0, w.0) && near(g.1, w.1))
}

fn each_as_written(ask: &Ask<'_, '_>, choice: &Choice) -> bool {
    ask.line.reps.is_some() && ask.line.reps == choice.dose.reps
}

/// How often the written count is done: twice where it is for each side.
fn sides(ask: &Ask<'_, '_>) -> f64 {
    let unsaid = ask.line.side.is_none() && ask.shelf.movement(ask.at).sided == Sided::Unilateral;
    if unsaid || ask.line.side == Some(Side::PerSide) { 2.0 } else { 1.0 }
}

/// How long the given dose takes against the written one.
fn time_share(ask: &Ask<'_, '_>, choice: &Choice) -> f64 {
    let dose = &choice.dose;
    let given = Line {
        movement: ask.shelf.movement(choice.at).name.clone(),
        reps: dose.reps.clone(),
        seconds: dose.seconds.clone(),
        metres: dose.metres.clone(),
        calories: dose.calories.clone(),
        side: dose.side,
        ..Line::default()
    };
    let time = |line: &Line| pace::line(line, ask.shelf.library).typical_s;
    time(&given) / time(ask.line).max(1.0)
}
