//! One line for one member: a person, the written line, the coach's own swap, the nearest stand-in, in this order.

use super::give::{Place, give, old_max, refer, say, unknown};
use super::kit::bit;
use super::pick::{self, Ask, Bar, Choice, Who};
use super::shelf::{self, Purpose, Shelf, Tool};
use super::{Action, Pin, TailoredLine, complex, meant, pinned, volume, why, window};
use crate::training::member::Level;
use crate::training::movement::{Demand, Implement};
use crate::training::session::{Line, Part};

/// What is done with a line, before it is put into words.
pub(super) enum Verdict<'s> {
    /// what the coach chose for this member
    Pinned(Choice, &'s Pin),
    /// the written movement, done this way
    Keep(Choice),
    /// the coach's own swap
    Own(Choice),
    /// another movement, because the written one breaks a rule, or its load is far too light
    Swap(Choice, Bar, bool),
    /// nothing sound was found
    Nothing(Bar),
    /// a person decides, in these words; and whether it is the member's own word that waits
    Stop(&'static str, bool),
    /// the library does not have it; nothing speaks against it
    Unknown,
}

/// The order of choice: a person, the written line, the coach's own swap, the nearest stand-in.
pub(super) fn judge<'s>(
    written: &Line,
    ask: Option<&Ask<'_, 's>>,
    who: &Who<'_>,
    shelf: &Shelf<'_>,
) -> (Verdict<'s>, Option<(&'s Pin, Bar)>) {
    if let Some(stop) = stopped(written, ask, who, shelf) {
        return (stop, None);
    }
    let Some(ask) = ask.filter(|_| written.known) else { return (Verdict::Unknown, None) };
    let (given, refused) = pinned::pinned(ask, who);
    let verdict = match given {
        Some((choice, pin)) => Verdict::Pinned(choice, pin),
        None => match ask.choices(ask.at, Some(0), who) {
            Ok(ways) => keep_or_better(ask, ways, who),
            Err(broken) => match coachs_own(ask, who) {
                Some(own) => Verdict::Own(own),
                None => ask.stand_in(who).map_or(Verdict::Nothing(broken), |c| Verdict::Swap(c, broken, false)),
            },
        },
    };
    (verdict, refused)
}

/// A person decides: the note stops the session or what it touches, or nothing can be checked.
pub(super) fn stopped<'s>(written: &Line, ask: Option<&Ask<'_, 's>>, who: &Who<'_>, shelf: &Shelf<'_>) -> Option<Verdict<'s>> {
    let held = &who.reading.held;
    if held.all {
        return Some(Verdict::Stop(why::STOP, true));
    }
    let Some(ask) = ask.filter(|_| written.known) else {
        let checked = who.avoid == 0 && held.is_empty() && who.out.is_empty();
        return (!checked).then_some(Verdict::Stop(why::UNKNOWN_REFER, !held.is_empty()));
    };
    held.holds(ask.at, shelf).then_some(Verdict::Stop(why::STOP_PART, true))
}

/// The written movement is sound: it stays, unless a strength load is so far off that another movement keeps the effort better.
fn keep_or_better<'s>(ask: &Ask<'_, 's>, ways: Vec<Choice>, who: &Who<'_>) -> Verdict<'s> {
    let Some(best) = pick::cheapest(ways) else { return Verdict::Nothing(Bar::TooHeavy) };
    let far_off = ask.purpose == Purpose::Strength && best.fit.share.is_some_and(|s| s < pick::FAR_TOO_LIGHT);
    match far_off.then(|| ask.stand_in(who)).flatten().filter(|c| c.cost.total() < best.cost.total()) {
        Some(other) => Verdict::Swap(other, Bar::TooHeavy, true),
        None => Verdict::Keep(best),
    }
}

/// The first of the coach's own swaps for the line that is sound for this member.
pub(super) fn coachs_own(ask: &Ask<'_, '_>, who: &Who<'_>) -> Option<Choice> {
    ask.own.iter().find_map(|own| {
        let at = ask.shelf.library.position(&own.movement)?;
        // a distance or a count of calories that the swap only has from the written line is turned into time
        if own.metres == ask.line.metres && own.calories == ask.line.calories && ask.is_turned_into_time(at) {
            return pick::cheapest(ask.choices(at, Some(0), who).ok()?);
        }
        let mine = Ask::new(own, at, ask.purpose, ask.shelf, who);
        pick::cheapest(mine.choices(at, Some(0), who).ok()?)
    })
}

/// One line for one member; where it is changed, with so much of its dose as fits into its window.
pub(super) fn line(written: &Line, part: &Part, shelf: &Shelf<'_>, who: &Who<'_>, share: Option<f64>) -> TailoredLine {
    if !written.complex.is_empty() {
        return complex::line(written, part, shelf, who, share);
    }
    let Some(meant) = meant::meant(written, part, shelf, who) else { return one(written, part, shelf, who, share) };
    let mut done = TailoredLine { written: written.clone(), ..one(&meant, part, shelf, who, share) };
    if meant.movement != written.movement && done.given.iter().any(|g| g.movement == meant.movement) {
        say(&mut done, &why::for_two(&meant.movement), Place::Before);
    }
    done
}

fn one(written: &Line, part: &Part, shelf: &Shelf<'_>, who: &Who<'_>, share: Option<f64>) -> TailoredLine {
    let ask = Ask::of(written, part, shelf, who);
    let out = TailoredLine { written: written.clone(), ..TailoredLine::default() };
    let (mut verdict, refused) = judge(written, ask.as_ref(), who, shelf);
    if let Verdict::Swap(choice, ..) = &mut verdict
        && who.profile.level == Level::Beginner
        && volume::no_more_than_written(&mut choice.dose, written, part)
    {
        choice.inside = Some(volume::FOR_A_START.to_owned());
    }
    // a ladder that goes on ends where it no longer fits
    if let (Some(share), Verdict::Keep(choice) | Verdict::Swap(choice, ..)) = (share.filter(|_| !written.open), &mut verdict)
        && window::cut(&mut choice.dose, share)
    {
        choice.inside = Some(window::words(part));
    }
    let mut done = match (verdict, &ask) {
        (Verdict::Pinned(choice, pin), Some(ask)) => {
            let given = give(out, ask, &choice, why::pinned(pin, &shelf.movement(choice.at).name));
            // another dose of the written movement is another version too
            TailoredLine { pin: Some(pin.id), action: Action::Swap, ..given }
        }
        (Verdict::Stop(words, waits), _) => TailoredLine { waits, ..refer(out, words) },
        (Verdict::Keep(choice), Some(ask)) => give(out, ask, &choice, why::kept(ask, &choice)),
        (Verdict::Own(choice), Some(ask)) => give(out, ask, &choice, why::coachs_own(ask, &choice)),
        (Verdict::Swap(choice, broken, light), Some(ask)) => give(out, ask, &choice, why::swapped(ask, &choice, broken, light)),
        (Verdict::Nothing(broken), Some(ask)) => refer(out, &why::no_version(ask, broken)),
        (_, _) => unknown(out),
    };
    if let Some((pin, broken)) = refused {
        done.refused_pin = Some(pin.id);
        say(&mut done, &why::refused(pin, broken), Place::Before);
    }
    finish(&mut done, ask.as_ref(), shelf, who);
    done
}

/// What no given line goes without, whichever way it was found: the age of its max, how high the seat or the hands are, and that
/// the coach hears of it.
pub(super) fn finish(done: &mut TailoredLine, ask: Option<&Ask<'_, '_>>, shelf: &Shelf<'_>, who: &Who<'_>) {
    if let Some(words) = ask.and_then(|ask| old_max(ask, done, who)) {
        say(done, &words, Place::After);
    }
    let given = done.given.first().and_then(|g| shelf.library.position(&g.movement));
    if let Some(words) = given.and_then(|at| set_up(at, shelf, who)) {
        say(done, words, Place::After);
    }
    if who.reading.tell && done.action != Action::Refer {
        done.tell_coach = true;
        if done.action == Action::Swap {
            done.action = Action::SwapAndTellCoach;
        }
    }
}

/// A word to the height of a seat or step, or of the hands, for who keeps deep knee bends or the floor out; and to what does for a towel.
pub(super) fn set_up(at: usize, shelf: &Shelf<'_>, who: &Who<'_>) -> Option<&'static str> {
    let keeps_out = |demands: &[Demand]| who.avoid & shelf::mask(demands) != 0;
    let entry = &shelf.entries[at];
    if entry.lowered && keeps_out(&pick::RIGHT_DOWN) {
        return Some(why::RAISED);
    }
    if entry.set_height && keeps_out(&[Demand::DeepKnee]) {
        return Some(why::height(shelf.movement(at)));
    }
    let has_stick = who.kit.tools & bit(Implement::Stick) != 0;
    if shelf.movement(at).name.contains("stick") && !has_stick && entry.ways.iter().any(|w| w.tool == Tool::Body) {
        return Some(why::NO_STICK);
    }
    // named for a towel, and done without one too
    let towel = shelf.movement(at).name.contains("towel") && who.kit.tools & bit(Implement::Towel) == 0;
    (towel && shelf.entries[at].ways.iter().any(|w| w.tools & bit(Implement::Towel) != 0)).then_some(why::NO_TOWEL)
}
