//! Short words beside a result, from `data/demo/notes.json`: by how the day went, and by what was in the part.

use super::dice::Dice;
use super::{Version, people::Writes};
use crate::training::session::Part;
use serde::Deserialize;
use std::collections::{BTreeMap, HashSet};

/// A movement that must be in the part (or nothing), and what one may say then.
type ByMovement = BTreeMap<String, Vec<String>>;

/// Every note, and which of them each member has used.
#[derive(Deserialize)]
pub struct Notes {
    hard: ByMovement,
    middle: ByMovement,
    easy: ByMovement,
    adapted: ByMovement,
    shorter: ByMovement,
    lighter: ByMovement,
    #[serde(skip)]
    used: HashSet<(usize, String)>,
}

impl Notes {
    /// The shipped notes.
    #[expect(clippy::expect_used, reason = "the file is part of the program and read by its tests")]
    pub fn shipped() -> Self {
        serde_json::from_str(include_str!("../../data/demo/notes.json")).expect("notes.json")
    }

    /// A note of this member, mostly none, and never the same one twice.
    pub fn note(&mut self, member: usize, writes: Writes, part: &Part, done: (Version, u8), dice: &mut Dice) -> String {
        let often = match writes {
            Writes::Chatty => 0.42,
            Writes::Short => 0.08,
            _ => 0.2,
        };
        if !dice.chance(often) {
            return String::new();
        }
        let fresh: Vec<String> =
            fitting(self.kind(done, dice), part).filter(|n| !self.used.contains(&(member, (*n).clone()))).cloned().collect();
        if fresh.is_empty() {
            return String::new();
        }
        let note = dice.pick(&fresh).clone();
        self.used.insert((member, note.clone()));
        note
    }

    fn kind(&self, (version, rpe): (Version, u8), dice: &mut Dice) -> &ByMovement {
        match version {
            Version::Shorter => &self.shorter,
            Version::Lighter if dice.chance(0.6) => &self.lighter,
            Version::Adapted if dice.chance(0.5) => &self.adapted,
            _ if rpe >= 8 => &self.hard,
            _ if rpe <= 4 => &self.easy,
            _ => &self.middle,
        }
    }
}

/// Notes on a movement of the part count three times, so that they are heard among the general ones.
fn fitting<'a>(kind: &'a ByMovement, part: &'a Part) -> impl Iterator<Item = &'a String> {
    let in_part = |movement: &str| part.lines.iter().any(|l| l.movement == movement);
    kind.iter().filter(move |(movement, _)| movement.is_empty() || in_part(movement)).flat_map(|(movement, notes)| {
        let times = if movement.is_empty() { 1 } else { 3 };
        std::iter::repeat_n(notes, times).flatten()
    })
}
