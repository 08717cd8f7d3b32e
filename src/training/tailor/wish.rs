//! Not today: one line tailored again under what a member says at it. Nothing else of the session moves.

use super::{Action, Tailor, Tailored, TailoredLine, line, volume, window};
use crate::training::dose::Load;
use crate::training::member::{Level, Profile};
use crate::training::movement::Demand;
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

/// A weight that is said to be too heavy comes down to at most this share (*common practice*).
const LIGHTER: f64 = 0.8;

impl Tailor<'_> {
    /// [`Tailor::tailor`], and then each line that something was said at once more.
    #[must_use]
    pub fn tailor_wished(&self, session: &Session, profile: &Profile, wishes: &[Wished]) -> Tailored {
        let mut out = self.tailor(session, profile);
        for w in wishes {
            let Some(part) = session.parts.get(w.part) else { continue };
            let Some(lines) = out.parts.get_mut(w.part).map(|p| &mut p.lines) else { continue };
            if let Some(now) = lines.get(w.line).filter(|l| l.written.movement == w.movement) {
                let again = Again { tailor: self, session, part, profile, beside: lines, at: w.line };
                lines[w.line] = again.line(now, w.wish);
            }
        }
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
        let fresh = match wish {
            Wish::TooHeavy => return self.lighter(now),
            Wish::Hurts => return self.nothing(now, HURTS),
            Wish::HurtsOther => return self.other(now),
            Wish::TooLoud => self.avoiding(now, &[Demand::Noise, Demand::Impact]),
            Wish::NoRoom => self.avoiding(now, &[Demand::Space]),
            Wish::NoKit => self.tailored(&now.written, &Profile { kit: Vec::new(), ..self.profile.clone() }),
        };
        if fresh.action != Action::Refer && fresh.given == now.given {
            let why = format!("You said {}. This is already the version that fits it.", said(wish));
            return TailoredLine { why, action: now.action.max(Action::KeepWithNote), ..now.clone() };
        }
        self.said_at(now, fresh, said(wish))
    }

    /// A line as this member does it under another profile.
    fn tailored(&self, written: &Line, profile: &Profile) -> TailoredLine {
        let who = super::Who::new(profile, &self.tailor.shelf);
        let less = volume::less(self.session, &who.reading, self.tailor.shelf.library);
        let mut done = line(written, self.part, &self.tailor.shelf, &who, None);
        if self.beside.len() == self.part.lines.len() {
            let mut lines = self.beside.to_vec();
            lines[self.at].clone_from(&done);
            let share = window::shares(self.part, &lines, self.tailor.shelf.library).swap_remove(self.at);
            if share.is_some() {
                done = line(written, self.part, &self.tailor.shelf, &who, share);
            }
        }
        volume::cut(&mut done, self.part, less.as_ref(), profile.level, self.tailor.shelf.library);
        done
    }

    fn avoiding(&self, now: &TailoredLine, demands: &[Demand]) -> TailoredLine {
        let mut profile = self.profile.clone();
        profile.avoid.extend(demands.iter().filter(|d| !self.profile.avoid.contains(d)));
        self.tailored(&now.written, &profile)
    }

    /// Something that does not ask what the given movement asks.
    fn other(&self, now: &TailoredLine) -> TailoredLine {
        let library = self.tailor.shelf.library;
        let given = now.given.iter().filter_map(|g| library.find(&g.movement));
        let demands: Vec<Demand> = given.flat_map(|m| m.demands.iter().copied()).collect();
        let fresh = self.avoiding(now, &demands);
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
            let asked = Line { load: Some(load), ..given.clone() };
            let fresh = self.tailored(&asked, self.profile);
            let down = fresh.given.first().filter(|g| g.movement == given.movement && kilograms(g) < kilograms(given));
            if let Some(words) = down.and_then(|g| g.load.as_ref()).and_then(super::pick::load_words) {
                let fresh = TailoredLine { why: format!("{words} is the next you have."), ..fresh };
                return self.said_at(now, fresh, said(Wish::TooHeavy));
            }
        }
        self.easier(now, given).unwrap_or_else(|| self.nothing(now, NO_EASIER))
    }

    fn easier(&self, now: &TailoredLine, given: &Line) -> Option<TailoredLine> {
        let library = self.tailor.shelf.library;
        let movement = library.find(&given.movement)?;
        let never = &self.tailor.shelf.house.rules.never;
        let same_unit = |n: &&String| library.find(n).is_some_and(|m| m.unit == movement.unit && !never.contains(&m.name));
        let variations = movement.easier.iter().filter(same_unit);
        let easier = variations.map(|name| {
            let asked = Line { movement: name.clone(), load: given.load.as_ref().and_then(less), ..given.clone() };
            let fresh = self.tailored(&asked, self.profile);
            let done = fresh.given.first().map(|g| g.movement.clone()).unwrap_or_default();
            TailoredLine { why: format!("{done} is the easier one."), ..fresh }
        });
        let down = Profile { level: lower(self.profile.level), ..self.profile.clone() };
        let other = |l: &TailoredLine| l.action != Action::Refer && l.given.first().is_some_and(|g| g.movement != given.movement);
        let found = easier.chain([self.tailored(&now.written, &down)]).find(other)?;
        Some(self.said_at(now, found, said(Wish::TooHeavy)))
    }

    fn nothing(&self, now: &TailoredLine, words: &str) -> TailoredLine {
        super::refer(TailoredLine { written: now.written.clone(), ..TailoredLine::default() }, words)
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

fn said(wish: Wish) -> &'static str {
    match wish {
        Wish::TooHeavy => "it is too heavy today",
        Wish::TooLoud => "it is too loud today",
        Wish::NoRoom => "there is no room today",
        Wish::NoKit => "there is no kit today",
        Wish::Hurts | Wish::HurtsOther => "it hurts",
    }
}

fn lower(level: Level) -> Level {
    match level {
        Level::Advanced => Level::Intermediate,
        Level::Intermediate | Level::Beginner => Level::Beginner,
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

/// The heaviest number of a line's load, to compare two of the same line.
fn kilograms(line: &Line) -> f64 {
    match &line.load {
        Some(Load::Kg { values, .. } | Load::Lb { values, .. }) => values.iter().copied().fold(0.0, f64::max),
        _ => 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::training::movement::Library;

    fn session() -> Session {
        serde_json::from_str(
            r#"{"parts":[{"intent":"conditioning","format":"for_time","score":"time","lines":[
                {"movement":"goblet squat","reps":12,"load":{"kg":24}},
                {"movement":"push-up","reps":10},
                {"movement":"jumping jack","reps":40}]}]}"#,
        )
        .unwrap()
    }

    fn home(kg: &str) -> Profile {
        serde_json::from_str(&format!(r#"{{"level":"intermediate","kit":[{{"item":"kettlebell","kg":{kg},"count":1}}]}}"#))
            .unwrap()
    }

    fn said_at(line: usize, wish: Wish, profile: &Profile) -> TailoredLine {
        let session = session();
        let movement = session.parts[0].lines[line].movement.clone();
        let wishes = [Wished { part: 0, line, movement, wish }];
        Tailor::shipped().tailor_wished(&session, profile, &wishes).parts[0].lines[line].clone()
    }

    #[test]
    fn every_key_is_read_back() {
        for wish in Wish::OFFERED.into_iter().chain([Wish::HurtsOther]) {
            assert_eq!(Wish::from_key(wish.key()), Some(wish));
        }
        assert_eq!(Wish::from_key("bored"), None);
    }

    #[test]
    fn too_heavy_is_the_next_lighter_weight_at_home() {
        let done = said_at(0, Wish::TooHeavy, &home("[12,16,24]"));
        assert_eq!((done.given[0].movement.as_str(), &done.given[0].load), ("goblet squat", &Some(Load::kg(16.0))));
        assert_eq!((done.action, done.written.load.clone()), (Action::Swap, Some(Load::kg(24.0))));
        assert!(done.why.starts_with("You said it is too heavy today."), "{}", done.why);
    }

    #[test]
    fn too_heavy_without_a_lighter_weight_is_an_easier_movement() {
        for line in [0, 1] {
            let done = said_at(line, Wish::TooHeavy, &home("[24]"));
            let before = &session().parts[0].lines[line].movement;
            assert!(done.given.iter().all(|g| g.movement != *before), "{:?}", done.given);
            assert_ne!(done.why, "");
        }
    }

    #[test]
    fn too_loud_gives_nothing_that_lands_or_makes_noise() {
        let done = said_at(2, Wish::TooLoud, &home("[24]"));
        let m = Library::shipped().find(&done.given[0].movement).unwrap();
        assert!(!m.asks(Demand::Noise) && !m.asks(Demand::Impact), "{}", m.name);
    }

    #[test]
    fn no_kit_leaves_the_floor_and_what_needs_none_as_it_is() {
        let done = said_at(0, Wish::NoKit, &home("[24]"));
        assert!(done.given[0].load.is_none() && done.action == Action::Swap, "{done:?}");
        let push_up = said_at(1, Wish::NoKit, &home("[24]"));
        assert_eq!((push_up.given[0].movement.as_str(), push_up.action), ("push-up", Action::KeepWithNote));
    }

    #[test]
    fn what_hurts_gives_nothing_until_something_else_is_asked_for() {
        let stop = said_at(1, Wish::Hurts, &home("[24]"));
        assert_eq!((stop.action, stop.given.len(), stop.tell_coach), (Action::Refer, 0, true));
        let other = said_at(1, Wish::HurtsOther, &home("[24]"));
        let hurt = &Library::shipped().find("push-up").unwrap().demands;
        for g in &other.given {
            let m = Library::shipped().find(&g.movement).unwrap();
            assert!(hurt.iter().all(|d| !m.asks(*d)), "{} asks the same", m.name);
        }
        assert!(other.tell_coach);
    }

    #[test]
    fn where_a_person_decides_no_wish_gives_a_line_back() {
        let expecting = Profile { note: Some("I am pregnant".to_owned()), ..home("[24]") };
        for wish in Wish::OFFERED.into_iter().chain([Wish::HurtsOther]) {
            assert_eq!(said_at(0, wish, &expecting).action, Action::Refer, "{wish:?}");
        }
    }

    #[test]
    fn a_wish_about_another_movement_than_is_written_now_changes_nothing() {
        let old = Wished { part: 0, line: 0, movement: "thruster".to_owned(), wish: Wish::Hurts };
        let profile = home("[24]");
        let plain = super::super::tailor(&session(), &profile, Library::shipped());
        assert_eq!(Tailor::shipped().tailor_wished(&session(), &profile, &[old]), plain);
    }
}
