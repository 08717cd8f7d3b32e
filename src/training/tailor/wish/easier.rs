//! Too heavy, and no lighter weight: what the coach wrote for it, an easier movement, a lower level.

use super::{Again, each_kg, less};
use crate::training::dose::Load;
use crate::training::member::{Level, Profile};
use crate::training::movement::{Demand, Movement};
use crate::training::pace;
use crate::training::session::Line;
use crate::training::tailor::fit::Asked;
use crate::training::tailor::give::give;
use crate::training::tailor::line::{coachs_own, finish};
use crate::training::tailor::pick::{Ask, Choice, Who, cheapest};
use crate::training::tailor::shelf::Purpose;
use crate::training::tailor::{Action, TailoredLine, volume, why, window};
use std::rc::Rc;

/// How much longer an easier line may take (*common practice*).
const LONGER: f64 = 1.25;

impl Again<'_, '_> {
    /// What the coach wrote for such a case, where it asks for less than what is given.
    pub(super) fn coachs(&self, now: &TailoredLine, given: &Line) -> Option<TailoredLine> {
        let who = Who::new(self.profile, &self.tailor.shelf);
        let ask = Ask::of(&now.written, self.part, &self.tailor.shelf, &who)?;
        let own = coachs_own(&ask, &who)?;
        let (from, to) = (self.tailor.shelf.library.find(&given.movement)?, ask.shelf.movement(own.at));
        let weighted = ask.shelf.library.position(&from.name).is_some_and(|at| ask.shelf.entries[at].is_weighted());
        let less = to.name != from.name && (to.skill < from.skill || (weighted && !own.fit.loaded));
        less.then(|| self.ended(give(TailoredLine::default(), &ask, &own, why::coachs_own(&ask, &own)), &ask, &who))
    }

    /// A line that was found here, with the same last words and the same cuts as any other.
    fn ended(&self, mut done: TailoredLine, ask: &Ask<'_, '_>, who: &Who<'_>) -> TailoredLine {
        finish(&mut done, Some(ask), &self.tailor.shelf, who);
        let less = volume::less(self.session, &who.reading, self.tailor.shelf.library);
        volume::cut(&mut done, self.part, less.as_ref(), self.profile.level, self.tailor.shelf.library);
        done
    }

    /// An easier movement: the library's easier one first, then what stands in for it with the same pattern, then what needs no weight.
    /// The dose is converted from the written one, so that what was one count does not become one for each side.
    pub(super) fn easier(&self, now: &TailoredLine, given: &Line) -> Option<TailoredLine> {
        let (shelf, who) = (&self.tailor.shelf, Who::new(self.profile, &self.tailor.shelf));
        let (load, implements) = (given.load.as_ref().and_then(less), given.implements.or(Some(1)));
        let lighter = Line { load, implements, alternatives: Vec::new(), ..now.written.clone() };
        let ask = Ask { own: Rc::new([]), ..Ask::of(&lighter, self.part, shelf, &who)? };
        // where nothing with a known weight is given, a weight would be more and not less
        let may_hold = matches!(ask.asked, Asked::Weight { .. });
        let sound = |c: usize| cheapest(ask.choices(c, Some(0), &who).ok()?).filter(|c| may_hold || !c.fit.loaded);
        let choice = self.easier_ones(given, ask.purpose).into_iter().filter(|c| *c != ask.at).find_map(sound)?;
        Some(self.ended(self.held(now, &ask, self.no_longer(given, &ask, choice)), &ask, &who))
    }

    /// Movements that ask for less than `given`, nearest first.
    fn easier_ones(&self, given: &Line, purpose: Purpose) -> Vec<usize> {
        let shelf = &self.tailor.shelf;
        let Some(at) = shelf.library.position(&given.movement) else { return Vec::new() };
        let (from, weighted) = (shelf.movement(at), shelf.entries[at].is_weighted());
        let listed = shelf.preferred(at, 0, purpose).into_iter();
        let lighter = |c: &usize| weighted && !shelf.entries[*c].is_weighted() && lands_as_much(from, shelf.movement(*c));
        let (near, far): (Vec<usize>, Vec<usize>) = listed.partition(|c| shelf.movement(*c).pattern == from.pattern);
        let skill = |c: &usize| shelf.movement(*c).skill;
        let near = near.into_iter().filter(|c| skill(c) < from.skill || (lighter(c) && skill(c) <= from.skill));
        let far = far.into_iter().filter(|c| lighter(c) && skill(c) <= from.skill + 1);
        let own = from.easier.iter().filter_map(|name| shelf.library.position(name));
        own.chain(near).chain(far).filter(|c| *c != at && !shelf.entries[*c].never_given).collect()
    }

    /// In conditioning an easier line goes on for about as long as what was given.
    fn no_longer(&self, given: &Line, ask: &Ask<'_, '_>, mut choice: Choice) -> Choice {
        let easier = give(TailoredLine::default(), ask, &choice, String::new()).given;
        let time = |line: &Line| pace::line(line, self.tailor.shelf.library).typical_s;
        let longer = easier.iter().map(time).sum::<f64>() / time(given).max(1.0);
        if ask.purpose == Purpose::Conditioning && longer > LONGER {
            window::cut(&mut choice.dose, 1.0 / longer);
        }
        choice
    }

    /// An easier line, with as much of it as fits into its window.
    fn held(&self, now: &TailoredLine, ask: &Ask<'_, '_>, mut choice: Choice) -> TailoredLine {
        let words = easier_words(&ask.shelf.movement(choice.at).name);
        let written = || TailoredLine { written: now.written.clone(), ..TailoredLine::default() };
        let mut done = give(written(), ask, &choice, words.clone());
        if let Some(share) = self.share(&done)
            && window::cut(&mut choice.dose, share)
        {
            done = give(written(), ask, &choice, words);
        }
        done
    }

    /// What a lower level does at the written line.
    pub(super) fn lower_level(&self, now: &TailoredLine, given: &Line) -> Option<TailoredLine> {
        let down = Profile { level: lower(self.profile.level), ..self.profile.clone() };
        let fresh = self.tailored(&now.written, &down);
        let lighter = |g: &Line| g.movement != given.movement && self.is_no_heavier(g, given);
        let other = fresh.action != Action::Refer && fresh.given.first().is_some_and(lighter);
        let name = fresh.given.first().map(|g| g.movement.clone()).unwrap_or_default();
        other.then(|| TailoredLine { why: easier_words(&name), ..fresh })
    }
}

impl Again<'_, '_> {
    /// No more is held in all; a load that is still to be found says nothing of how much it is.
    fn is_no_heavier(&self, line: &Line, than: &Line) -> bool {
        let all = |line: &Line| if self.is_chosen(line) { None } else { held_kg(line) };
        all(line).zip(all(than)).is_some_and(|(a, b)| a <= b + 1e-9)
    }
}

/// The one lands only where the other does.
fn lands_as_much(from: &Movement, to: &Movement) -> bool {
    from.asks(Demand::Impact) || !to.asks(Demand::Impact)
}

fn easier_words(name: &str) -> String {
    format!("The {name} is the easier one.")
}

fn lower(level: Level) -> Level {
    match level {
        Level::Advanced => Level::Intermediate,
        Level::Intermediate | Level::Beginner => Level::Beginner,
    }
}

/// Everything that is held, in kilograms; a percent and an effort are no number.
fn held_kg(line: &Line) -> Option<f64> {
    match line.load {
        Some(Load::Kg { .. } | Load::Lb { .. }) => Some(each_kg(line)? * f64::from(line.implements.unwrap_or(1))),
        None | Some(Load::Stick | Load::Band(_)) => Some(0.0),
        _ => None,
    }
}
