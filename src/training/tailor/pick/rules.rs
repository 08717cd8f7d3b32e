//! The hard rules: whether a movement may be given one particular way.

use super::{Ask, Bar, Who};
use crate::training::movement::{Demand, Implement, Movement, Pattern, Unit};
use crate::training::tailor::fit::Asked;
use crate::training::tailor::kit::{Tools, bit};
use crate::training::tailor::shelf::{Entry, Purpose, Tool, Way, mask};

impl Ask<'_, '_> {
    /// The hard rules, for one movement done one way. `Err` tells the first that it breaks.
    pub fn allowed(&self, to: usize, way: Way, who: &Who<'_>) -> Result<(), Bar> {
        let (entry, m) = (&self.shelf.entries[to], self.shelf.movement(to));
        if who.reading.held.holds(to, self.shelf) {
            return Err(Bar::Waits);
        }
        let asked = entry.demands | asked_by_the_way(entry, m, way);
        if let Some((part, loads)) = who.out.keeps_out(m.pattern, asked | self.asked_of_the_body(to, way)) {
            return Err(Bar::KeptOut(part, loads));
        }
        if let Some(d) = Demand::ALL.iter().find(|d| who.avoid & asked & mask(&[**d]) != 0) {
            return Err(if who.for_now & mask(&[*d]) == 0 { Bar::Avoids(*d) } else { Bar::SetAside });
        }
        if who.in_place && entry.long_step {
            return Err(Bar::SetAside);
        }
        let held = !matches!(way.tool, Tool::Body | Tool::Stick | Tool::Band);
        if held
            && who.avoid & mask(&[Demand::SpinalLoad]) != 0
            && m.pattern != Pattern::PullHorizontal
            && m.pattern != Pattern::PushHorizontal
        {
            return Err(Bar::Avoids(Demand::SpinalLoad));
        }
        // a weight held where the library asks for none needs the hands
        let extra = entry.ways.iter().all(|w| w.tool != way.tool);
        if extra && matches!(way.tool, Tool::Dumbbell | Tool::Kettlebell) && who.avoid & mask(&[Demand::Grip]) != 0 {
            return Err(Bar::Avoids(Demand::Grip));
        }
        let missing: Tools = way.tools & !who.kit.tools;
        if missing != 0 {
            return Err(Bar::Lacks(*Implement::ALL.iter().find(|i| missing & bit(**i) != 0).unwrap_or(&Implement::None)));
        }
        if who.kit.doorway_only && way.tools & bit(Implement::PullupBar) != 0 && entry.not_in_doorway {
            return Err(Bar::Doorway);
        }
        if entry.solid_base && !who.kit.solid_base && way.tools & bit(Implement::RaisedSurface) != 0 {
            return Err(Bar::ShakyBase);
        }
        if entry.feet_held && !who.kit.foot_hold {
            return Err(Bar::Lacks(Implement::Anchor));
        }
        if entry.travels && way.tools & ROOM_TO_GO == 0 && (to != self.at || !self.on_the_spot()) {
            return Err(Bar::Lacks(Implement::RunSpace));
        }
        if way.tool == Tool::Stick && !self.stick_is_enough(to) {
            return Err(Bar::StickForLoad);
        }
        if way.tool == Tool::Backpack && m.asks(Demand::Overhead) {
            return Err(Bar::MakeshiftOverhead);
        }
        if self.skill(to, way) > who.ceiling {
            return Err(Bar::Skill);
        }
        if self.cannot(to, who) {
            return Err(Bar::SaidCannot);
        }
        Ok(())
    }

    /// The written line is a distance or calories, and the other movement is counted in reps or seconds.
    pub fn is_turned_into_time(&self, to: usize) -> bool {
        !self.on_the_spot() && matches!(self.shelf.movement(to).unit, Unit::Reps | Unit::Seconds)
    }

    /// Time can be gone on the spot, a distance cannot.
    fn on_the_spot(&self) -> bool {
        self.line.metres.is_none() && self.line.calories.is_none()
    }

    /// What a weight in the hands asks, one bit a demand: it needs the hands, and the back bears it.
    fn asked_of_the_body(&self, to: usize, way: Way) -> u32 {
        let (entry, m) = (&self.shelf.entries[to], self.shelf.movement(to));
        let held = !matches!(way.tool, Tool::Body | Tool::Stick | Tool::Band);
        let lies_or_leans = matches!(m.pattern, Pattern::PullHorizontal | Pattern::PushHorizontal);
        let borne = if held && !lies_or_leans { mask(&[Demand::SpinalLoad]) } else { 0 };
        let gripped = if held && entry.ways.iter().all(|w| w.tool != way.tool) { mask(&[Demand::Grip]) } else { 0 };
        borne | gripped
    }

    /// They wrote that they cannot do it yet: by name, or as the one that is written, and then what is no easier is none either.
    fn cannot(&self, to: usize, who: &Who<'_>) -> bool {
        let (a, b) = (self.shelf.movement(self.at), self.shelf.movement(to));
        let hard = who.cannot.written && !a.loadable && a.skill >= 2;
        who.cannot.named.contains(&to) || (hard && (to == self.at || (a.pattern == b.pattern && b.skill >= a.skill)))
    }

    /// A stick carries nothing: it is enough where no load is meant.
    pub(in crate::training::tailor) fn stick_is_enough(&self, to: usize) -> bool {
        let m = self.shelf.movement(to);
        self.purpose.stick_may_stand_in()
            || (self.purpose == Purpose::Conditioning && (self.asked == Asked::Stick || !m.loadable))
    }

    /// What the movement asks of skill this way: a bell caught overhead is a taught skill, practice with a stick one step easier.
    fn skill(&self, to: usize, way: Way) -> u8 {
        let skill = self.shelf.movement(to).skill;
        match way.tool {
            Tool::Kettlebell if self.shelf.entries[to].taught_with_bell => skill.max(4),
            Tool::Stick if self.purpose.stick_may_stand_in() => skill.saturating_sub(1).max(1),
            _ => skill,
        }
    }
}

/// Where one can cover a distance.
const ROOM_TO_GO: Tools = (1 << Implement::RunSpace as u8) | (1 << Implement::Treadmill as u8);

/// What is asked where the body goes right down.
pub(crate) const RIGHT_DOWN: [Demand; 3] = [Demand::DeepKnee, Demand::FloorStart, Demand::Prone];

/// What one way to do a movement asks beside the movement itself: with nothing raised under the hands the body goes right down, and
/// plates that are lifted from the floor come down on it.
fn asked_by_the_way(entry: &Entry, m: &Movement, way: Way) -> u32 {
    let down = entry.lowered && way.tools & bit(Implement::RaisedSurface) == 0;
    let from_the_floor = entry.demands & mask(&[Demand::FloorStart]) != 0 && m.pattern != Pattern::PushHorizontal;
    let clangs = way.tool == Tool::Bar && from_the_floor && !entry.on_the_hips;
    let sits_down = entry.seated && way.tools & bit(Implement::RaisedSurface) == 0;
    (if sits_down { mask(&[Demand::FloorStart]) } else { 0 })
        | (if down { mask(&RIGHT_DOWN) } else { 0 })
        | if clangs { mask(&[Demand::Noise]) } else { 0 }
}
