//! Too heavy, and a lighter weight at home: the same movement with it.

use super::Again;
use crate::training::dose::{Amount, Side};
use crate::training::movement::Sided;
use crate::training::session::Line;
use crate::training::tailor::line::finish;
use crate::training::tailor::pick::Who;
use crate::training::tailor::{TailoredLine, volume};

impl Again<'_, '_> {
    /// The same movement with the next lighter load, as often as before: what was too heavy is not done more often.
    pub(super) fn as_often(&self, before: &Line, fresh: TailoredLine, words: &str) -> TailoredLine {
        let two = fresh.given.first().is_some_and(|g| g.implements.is_some_and(|n| n > 1));
        let why = match fresh.given.iter().any(|g| self.works_one_arm_now(before, g)) {
            _ if two => format!("Two of {words} are the next you have."),
            true => format!("{words} is the next you have, and it is one: one arm at a time."),
            false => format!("{words} is the next you have."),
        };
        let given = fresh.given.iter().map(|g| no_more(before, g.clone())).collect();
        let who = Who::new(self.profile, &self.tailor.shelf);
        let mut done = TailoredLine { why, given, ..fresh };
        finish(&mut done, None, &self.tailor.shelf, &who);
        let less = volume::less(self.session, &who.reading, self.tailor.shelf.library);
        let mut cut = done.clone();
        volume::cut(&mut cut, self.part, less.as_ref(), self.profile.level, self.tailor.shelf.library);
        // a long count was cut before; what is said of rounds is said again
        if cut.given == done.given { cut } else { done }
    }

    /// Both arms worked at once, and with the one weight each works by itself.
    fn works_one_arm_now(&self, before: &Line, now: &Line) -> bool {
        let both = self.tailor.shelf.library.find(&now.movement).is_some_and(|m| m.sided == Sided::Bilateral);
        both && now.side == Some(Side::PerSide) && before.side != Some(Side::PerSide)
    }
}

/// As often as before. Where it is another number of weights now, the count of both arms is not each arm's: the fresh one holds, as far
/// as it is no more.
fn no_more(before: &Line, fresh: Line) -> Line {
    let tempo = before.tempo.clone();
    if fresh.implements.unwrap_or(1) == before.implements.unwrap_or(1) {
        return Line { reps: before.reps.clone(), side: before.side, tempo, ..fresh };
    }
    let most = |reps: &Option<Amount>| reps.as_ref().map_or(f64::INFINITY, Amount::high);
    let reps = if most(&fresh.reps) <= most(&before.reps) { fresh.reps } else { before.reps.clone() };
    Line { reps, tempo, ..fresh }
}
