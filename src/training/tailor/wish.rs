//! Not today: one line tailored again under what a member says at it. Nothing else of the session moves, but for what hurt.

mod easier;
mod hurt;
mod lighter;

use super::shelf::mask;
use super::{Action, Tailor, Tailored, TailoredLine, line, together, volume, window};
use crate::training::dose::Load;
use crate::training::load::KG_PER_LB;
use crate::training::member::Profile;
use crate::training::movement::{Demand, Movement};
use crate::training::session::{Line, Part, Session};

/// What a member says at a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wish {
    /// less load, or an easier movement
    TooHeavy,
    /// no noise, no landing
    TooLoud,
    /// no room to move
    NoRoom,
    /// nothing but floor and wall
    NoKit,
    /// it hurts: nothing is given
    Hurts,
    /// it hurts, and they asked for something that does not do the same
    HurtsOther,
}

impl Wish {
    /// In the order in which they are offered; [`Wish::HurtsOther`] is offered after [`Wish::Hurts`] alone.
    pub const OFFERED: [Self; 5] = [Self::TooHeavy, Self::TooLoud, Self::NoRoom, Self::NoKit, Self::Hurts];

    /// As it is stored and sent.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::TooHeavy => "too_heavy",
            Self::TooLoud => "too_loud",
            Self::NoRoom => "no_room",
            Self::NoKit => "no_kit",
            Self::Hurts => "hurts",
            Self::HurtsOther => "hurts_other",
        }
    }

    /// The wish of a key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::OFFERED.into_iter().chain([Self::HurtsOther]).find(|w| w.key() == key)
    }

    /// On the button.
    #[must_use]
    pub fn label(self) -> &'static str {
        match self {
            Self::TooHeavy => "Too heavy",
            Self::TooLoud => "Too loud",
            Self::NoRoom => "No room",
            Self::NoKit => "No kit today",
            Self::Hurts => "It hurts",
            Self::HurtsOther => "Give me something else",
        }
    }
}

/// A wish and the line it is about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wished {
    /// place of the part, from 0
    pub part: usize,
    /// place of the line in its part, from 0
    pub line: usize,
    /// the written movement: where the coach wrote another since, the wish is about nothing
    pub movement: String,
    /// what was said
    pub wish: Wish,
}

const HURTS: &str = "Stop this one. Your coach has been told. If it is sharp, or does not pass, see a doctor or another \
                     licensed professional before you load it again.";
const NO_EASIER: &str = "Nothing lighter or easier is sound for you today: leave it out, or ask your coach.";
const NO_OTHER: &str = "Nothing that asks less of the same was found: leave it out, and ask your coach.";

const LESS: &str = "Take the next lighter weight you have: the effort is what counts. If that is the lightest, ask your coach.";

/// A weight that is said to be too heavy comes down to the next there is at or below this share: a smaller step is not felt (*common
/// practice*).
const LIGHTER: f64 = 0.95;

impl Tailor<'_> {
    /// [`Tailor::tailor`], and then each line that something was said at once more.
    #[must_use]
    pub fn tailor_wished(&self, session: &Session, profile: &Profile, wishes: &[Wished]) -> Tailored {
        let mut out = self.tailor(session, profile);
        let mut hurt = hurt::Hurt::default();
        for w in wishes {
            let Some(part) = session.parts.get(w.part) else { continue };
            let Some(lines) = out.parts.get_mut(w.part).map(|p| &mut p.lines) else { continue };
            if let Some(now) = lines.get(w.line).filter(|l| l.written.movement == w.movement) {
                let again = Again { tailor: self, session, part, profile, beside: lines, at: w.line };
                hurt.note(now, w.wish);
                lines[w.line] = again.line(now, w.wish);
            }
        }
        self.spare(session, profile, wishes, &hurt, &mut out);
        out
    }
}

struct Again<'a, 'l> {
    tailor: &'a Tailor<'l>,
    session: &'a Session,
    part: &'a Part,
    profile: &'a Profile,
    /// the lines of the part as they are now
    beside: &'a [TailoredLine],
    /// which of them it is about
    at: usize,
}

impl Again<'_, '_> {
    fn line(&self, now: &TailoredLine, wish: Wish) -> TailoredLine {
        // where a person decides already, nothing that is said at the line gives it back
        if now.action == Action::Refer {
            return now.clone();
        }
        match wish {
            Wish::TooHeavy => self.lighter(now),
            Wish::Hurts => self.nothing(now, HURTS),
            Wish::HurtsOther => self.other(now),
            Wish::TooLoud => self.without(now, wish, &[Demand::Noise, Demand::Impact]),
            Wish::NoRoom => self.without(now, wish, &[Demand::Space]),
            Wish::NoKit => {
                let bare = Profile { kit: Vec::new(), ..self.profile.clone() };
                let fresh = self.tailored(&now.written, &bare);
                // they may well have it, and not today
                let why = fresh.why.replace(", which you do not have", "");
                self.unless_same(now, TailoredLine { why, ..fresh }, wish)
            }
        }
    }

    /// Something that asks none of this; where the line asks none of it already, that is said and nothing moves.
    fn without(&self, now: &TailoredLine, wish: Wish, demands: &[Demand]) -> TailoredLine {
        let given = self.given(now);
        let stands_in = given.iter().any(|m| m.name != now.written.movement);
        // plates on a bar may come down on the floor, whatever the lift asks by itself
        let on_a_bar = now.plates_per_side_kg.is_some() || now.plates_per_side_lb.is_some();
        let in_place = wish == Wish::NoRoom;
        let asks = |m: &&Movement| demands.iter().any(|d| m.asks(*d)) || (in_place && self.steps_out(m));
        if stands_in && !on_a_bar && !given.iter().any(asks) {
            return stays(now, wish);
        }
        self.unless_same(now, self.avoiding(now, demands, in_place), wish)
    }

    /// It stays where it is, and takes a step's length all the same.
    fn steps_out(&self, m: &Movement) -> bool {
        let shelf = &self.tailor.shelf;
        shelf.library.position(&m.name).is_some_and(|at| shelf.entries[at].long_step)
    }

    fn unless_same(&self, now: &TailoredLine, fresh: TailoredLine, wish: Wish) -> TailoredLine {
        let same = fresh.action != Action::Refer && fresh.given == now.given;
        if same { stays(now, wish) } else { self.said_at(now, fresh, said(wish)) }
    }

    /// The movements that are given, a complex in its pieces.
    fn given(&self, now: &TailoredLine) -> Vec<&Movement> {
        let names = |l: &Line| match l.complex.as_slice() {
            [] => vec![l.movement.clone()],
            pieces => pieces.iter().map(|p| p.movement.clone()).collect(),
        };
        now.given.iter().flat_map(names).filter_map(|name| self.tailor.shelf.library.find(&name)).collect()
    }

    /// A line as this member does it under another profile.
    fn tailored(&self, written: &Line, profile: &Profile) -> TailoredLine {
        self.tailored_for(written, &super::Who::new(profile, &self.tailor.shelf))
    }

    /// As in the whole part, not what another line of it gives already, where anything else is sound.
    fn tailored_for(&self, written: &Line, who: &super::Who<'_>) -> TailoredLine {
        let (done, library) = (self.alone(written, who), self.tailor.shelf.library);
        let mut lines = self.beside.to_vec();
        lines[self.at].clone_from(&done);
        if let Some(taken) = together::taken(&lines, self.at, library) {
            let other = super::Who { taken, ..who.clone() };
            let again = self.alone(written, &other);
            if together::is_other(&again, &done, &other.taken, library) {
                return again;
            }
        }
        done
    }

    fn alone(&self, written: &Line, who: &super::Who<'_>) -> TailoredLine {
        let less = volume::less(self.session, &who.reading, self.tailor.shelf.library);
        let mut done = line(written, self.part, &self.tailor.shelf, who, None);
        let share = self.share(&done);
        if share.is_some() {
            done = line(written, self.part, &self.tailor.shelf, who, share);
        }
        volume::cut(&mut done, self.part, less.as_ref(), who.profile.level, self.tailor.shelf.library);
        done
    }

    /// What is said at one line is no limit of the member's, and no reason says that it is.
    fn avoiding(&self, now: &TailoredLine, demands: &[Demand], in_place: bool) -> TailoredLine {
        let mut who = super::Who::new(self.profile, &self.tailor.shelf);
        who.for_now = mask(demands) & !who.avoid;
        who.avoid |= who.for_now;
        who.in_place = in_place;
        self.tailored_for(&now.written, &who)
    }

    /// Something that does not ask what the given movement asks.
    fn other(&self, now: &TailoredLine) -> TailoredLine {
        let demands: Vec<Demand> = self.given(now).iter().flat_map(|m| m.demands.iter().copied()).collect();
        let fresh = self.avoiding(now, &demands, false);
        let same = fresh.given.iter().any(|f| now.given.iter().any(|g| g.movement == f.movement));
        if demands.is_empty() || same || fresh.action == Action::Refer {
            return self.nothing(now, NO_OTHER);
        }
        let mut done = self.said_at(now, fresh, "it hurts");
        done.why.push_str(" Stop if this hurts too.");
        done.tell_coach = true;
        done
    }

    /// Less load where there is less at home, else an easier movement, else a lower level.
    fn lighter(&self, now: &TailoredLine) -> TailoredLine {
        let [given] = now.given.as_slice() else { return self.nothing(now, NO_EASIER) };
        if let Some(load) = given.load.as_ref().and_then(less) {
            // one weight is one weight, whatever else is usual for the movement
            let asked = Line { load: Some(load), implements: given.implements.or(Some(1)), ..given.clone() };
            let fresh = self.tailored(&asked, self.profile);
            let down = fresh.given.first().filter(|g| g.movement == given.movement && each_kg(g) < each_kg(given));
            if let Some(words) = down.and_then(|g| g.load.as_ref()).and_then(super::pick::load_words) {
                return self.said_at(now, self.as_often(given, fresh, &words), said(Wish::TooHeavy));
            }
        }
        if self.is_chosen(given) {
            let same = TailoredLine { given: now.given.clone(), why: LESS.to_owned(), ..TailoredLine::default() };
            return self.said_at(now, same, said(Wish::TooHeavy));
        }
        let found = self.coachs(now, given).or_else(|| self.easier(now, given)).or_else(|| self.lower_level(now, given));
        found.map_or_else(|| self.nothing(now, NO_EASIER), |l| self.said_at(now, l, said(Wish::TooHeavy)))
    }

    /// The member picks the load: no number is named, and the movement has one.
    fn is_chosen(&self, given: &Line) -> bool {
        match &given.load {
            Some(Load::Find(_) | Load::Rpe(_) | Load::Rir(_)) => true,
            None => {
                self.tailor.shelf.library.position(&given.movement).is_some_and(|at| self.tailor.shelf.entries[at].is_weighted())
            }
            _ => false,
        }
    }

    /// What share of a line in the place of this one fits into its window.
    fn share(&self, done: &TailoredLine) -> Option<f64> {
        if self.beside.len() != self.part.lines.len() {
            return None;
        }
        let mut lines = self.beside.to_vec();
        lines[self.at].clone_from(done);
        window::shares(self.part, &lines, self.tailor.shelf.library).swap_remove(self.at)
    }

    fn nothing(&self, now: &TailoredLine, words: &str) -> TailoredLine {
        super::give::refer(TailoredLine { written: now.written.clone(), ..TailoredLine::default() }, words)
    }

    /// The fresh line in the place of the written one, with what was said before its reason.
    fn said_at(&self, now: &TailoredLine, fresh: TailoredLine, said: &str) -> TailoredLine {
        let action = match fresh.action {
            Action::Refer => Action::Refer,
            _ if now.tell_coach || fresh.tell_coach => Action::SwapAndTellCoach,
            _ => Action::Swap,
        };
        let why = format!("You said {said}. {}", fresh.why).trim_end().to_owned();
        TailoredLine { written: now.written.clone(), action, why, tell_coach: now.tell_coach || fresh.tell_coach, ..fresh }
    }
}

/// Nothing in the line is what was said: it stays, and the next act is named.
fn stays(now: &TailoredLine, wish: Wish) -> TailoredLine {
    let words = match wish {
        Wish::TooLoud => "Nothing in this one jumps, lands or drops, so it stays. If it is still too loud, ask your coach.",
        Wish::NoRoom => "This one needs no room to move about in, so it stays. If there is still no room for it, ask your coach.",
        _ => "This one needs no kit, so it stays.",
    };
    let why = format!("You said {}. {words} {}", said(wish), now.why).trim_end().to_owned();
    TailoredLine { why, action: now.action.max(Action::KeepWithNote), ..now.clone() }
}

fn said(wish: Wish) -> &'static str {
    match wish {
        Wish::TooHeavy => "it is too heavy today",
        Wish::TooLoud => "it is too loud today",
        Wish::NoRoom => "there is no room today",
        Wish::NoKit => "there is no kit today",
        Wish::Hurts | Wish::HurtsOther => "it hurts",
    }
}

/// A load in numbers, lighter.
fn less(load: &Load) -> Option<Load> {
    let down = |values: &[f64]| values.iter().map(|n| n * LIGHTER).collect();
    match load {
        Load::Kg { values, range } => Some(Load::Kg { values: down(values), range: *range }),
        Load::Lb { values, range } => Some(Load::Lb { values: down(values), range: *range }),
        _ => None,
    }
}

/// The heaviest of a line's loads in kilograms, for one implement; none where no number is named.
fn each_kg(line: &Line) -> Option<f64> {
    match &line.load {
        Some(Load::Kg { values, .. }) => values.iter().copied().reduce(f64::max),
        Some(Load::Lb { values, .. }) => values.iter().map(|lb| lb * KG_PER_LB).reduce(f64::max),
        _ => None,
    }
}

#[cfg(test)]
mod tests;
