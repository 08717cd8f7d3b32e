//! The movement library: what a body does, with what, what it asks of that body, and what stands near it.
//!
//! The starting data is `data/movements.csv`; a practice adds and changes movements on top of it.

use super::tailor::Index;
use super::writeup::lexicon::Lexicon;
use serde::{Deserialize, Serialize};
use std::collections::HashMap;
use std::sync::OnceLock;

/// A closed list of words, each with its spelling in data and its words for people.
macro_rules! words {
    ($(#[$meta:meta])* $name:ident { $($variant:ident = $key:literal, $label:literal;)* }) => {
        $(#[$meta])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
        pub enum $name { $(#[doc = $label] #[serde(rename = $key)] $variant,)* }

        impl $name {
            /// Every value, in the order of the data.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)*];

            /// Spelling in data and in the public JSON.
            #[must_use]
            pub fn key(self) -> &'static str {
                match self { $(Self::$variant => $key,)* }
            }

            /// Words for people.
            #[must_use]
            pub fn label(self) -> &'static str {
                match self { $(Self::$variant => $label,)* }
            }

            /// Reads the spelling in data.
            #[must_use]
            pub fn from_key(key: &str) -> Option<Self> {
                match key { $($key => Some(Self::$variant),)* _ => None }
            }
        }
    };
}

words! {
    /// What kind of movement it is; nearest patterns replace each other.
    Pattern {
        Squat = "squat", "squat";
        SingleLeg = "single_leg", "single leg";
        Hinge = "hinge", "hinge";
        PushHorizontal = "push_horizontal", "push away";
        PushVertical = "push_vertical", "push up";
        PullHorizontal = "pull_horizontal", "pull in";
        PullVertical = "pull_vertical", "pull down";
        Core = "core", "brace";
        Olympic = "olympic", "fast lift";
        FullBody = "full_body", "whole body";
        Jump = "jump", "jump";
        Inverted = "inverted", "upside down";
        Carry = "carry", "carry";
        Conditioning = "conditioning", "conditioning";
        Cyclical = "cyclical", "steady pace";
        Accessory = "accessory", "small muscles";
        Mobility = "mobility", "mobility";
    }
}

words! {
    /// What a movement asks of body, home or neighbours; a member can keep any of them out.
    Demand {
        Overhead = "overhead", "arms overhead";
        SpinalLoad = "spinal_load", "load on the back";
        DeepKnee = "deep_knee", "deep knee bend";
        WristLoad = "wrist_load", "weight on the wrists";
        Kneeling = "kneeling", "kneeling";
        Supine = "supine", "lying on the back";
        Prone = "prone", "lying face down";
        Hanging = "hanging", "hanging";
        Inverted = "inverted", "upside down";
        Impact = "impact", "jumping and landing";
        Grip = "grip", "hard grip";
        Noise = "noise", "noise";
        Ceiling = "ceiling", "a high ceiling";
        Space = "space", "room to move";
        ShoulderLoad = "shoulder_load", "load on the shoulders";
        SpinalFlexion = "spinal_flexion", "rounding the back";
        SpinalExtension = "spinal_extension", "arching the back";
        Balance = "balance", "balance";
        FloorStart = "floor_start", "getting down to the floor";
    }
}

words! {
    /// What a movement is done with. The plural means a pair.
    Implement {
        None = "none", "nothing";
        Barbell = "barbell", "bar";
        Rack = "rack", "rack";
        Bench = "bench", "bench";
        Plate = "plate", "plate";
        Dumbbell = "dumbbell", "dumbbell";
        Dumbbells = "dumbbells", "pair of dumbbells";
        Kettlebell = "kettlebell", "kettlebell";
        Kettlebells = "kettlebells", "pair of kettlebells";
        Backpack = "backpack", "backpack";
        MedBall = "med_ball", "medicine ball";
        Band = "band", "band";
        Anchor = "anchor", "anchor for a band";
        Stick = "stick", "broomstick";
        PullupBar = "pullup_bar", "pull-up bar";
        Rings = "rings", "rings";
        ParallelBars = "parallel_bars", "parallel bars";
        Handles = "handles", "push-up handles";
        RaisedSurface = "raised_surface", "sturdy chair or step";
        Table = "table", "sturdy table";
        Wall = "wall", "wall";
        Towel = "towel", "towel";
        Sliders = "sliders", "sliders";
        Rope = "rope", "skipping rope";
        RunSpace = "run_space", "somewhere to run";
        Stairs = "stairs", "stairs";
        Treadmill = "treadmill", "treadmill";
        Rower = "rower", "rowing machine";
        Bike = "bike", "bike";
        SkiMachine = "ski_machine", "ski machine";
    }
}

words! {
    /// What a movement is counted in.
    Unit {
        Reps = "reps", "reps";
        Seconds = "seconds", "seconds";
        Metres = "metres", "metres";
        Calories = "calories", "calories";
    }
}

words! {
    /// How a movement treats the two sides.
    Sided {
        Bilateral = "bilateral", "both sides at once";
        Unilateral = "unilateral", "one side at a time";
        Alternating = "alternating", "switching sides";
    }
}

words! {
    /// Which rule says what may stand in for it.
    StandIn {
        BodyOnly = "BODY-ONLY", "nothing to replace";
        WeightAny = "WEIGHT-ANY", "any hand weight";
        StickTech = "STICK-TECH", "a stick for technique only";
        ImpactSwap = "IMPACT-SWAP", "a quiet version";
        OneForTwo = "ONE-FOR-TWO", "one weight for a pair";
        BarHang = "BAR-HANG", "a secure bar only";
        MachineTime = "MACHINE-TIME", "equal time elsewhere";
        Anchor = "ANCHOR", "a checked anchor only";
        None = "NONE", "nothing stands in";
    }
}

/// One movement of the library.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Movement {
    /// Canonical name, lower case, singular.
    pub name: String,
    /// Other names that people type.
    pub aliases: Vec<String>,
    /// What kind it is.
    pub pattern: Pattern,
    /// Ways to do it: any one of these sets of implements is enough.
    pub equipment: Vec<Vec<Implement>>,
    /// What it asks.
    pub demands: Vec<Demand>,
    /// 1 (anyone) to 5 (years).
    pub skill: u8,
    /// How it treats the two sides.
    pub sided: Sided,
    /// Load can be added.
    pub loadable: bool,
    /// What it is counted in.
    pub unit: Unit,
    /// Typical seconds for one rep; for `metres` see [`crate::training::pace`].
    pub seconds_per_rep: Option<f64>,
    /// Names of easier variations.
    pub easier: Vec<String>,
    /// Names of harder variations.
    pub harder: Vec<String>,
    /// Which rule says what may stand in.
    pub stand_in: StandIn,
    /// That rule in words.
    pub stand_in_words: String,
    /// Set-up, execution, finish.
    pub cues: Vec<String>,
    /// Common faults.
    pub faults: Vec<String>,
    /// Where it can hurt someone.
    pub caution: Option<String>,
}

/// A row of the library that cannot be used, and why.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
#[error("{movement}: {why}")]
pub struct BadMovement {
    /// the name in the row
    pub movement: String,
    /// one plain sentence
    pub why: String,
}

#[derive(Deserialize)]
struct Row {
    name: String,
    aliases: String,
    pattern: String,
    equipment: String,
    demands: String,
    skill: String,
    sided: String,
    loadable: String,
    unit: String,
    seconds_per_rep: String,
    easier: String,
    harder: String,
    stand_in_rule: String,
    cue_1: String,
    cue_2: String,
    cue_3: String,
    faults: String,
    caution: String,
}

fn split(cell: &str) -> Vec<String> {
    cell.split('|').map(str::trim).filter(|s| !s.is_empty()).map(str::to_owned).collect()
}

impl Row {
    fn read(self) -> Result<Movement, BadMovement> {
        let bad = |why: String| BadMovement { movement: self.name.clone(), why };
        let word = |what: &str, cell: &str| bad(format!("{cell:?} is not a known {what}"));
        let equipment = split(&self.equipment)
            .iter()
            .map(|set| {
                set.split('+')
                    .map(|i| Implement::from_key(i.trim()).ok_or_else(|| word("implement", i)))
                    .collect::<Result<Vec<_>, _>>()
            })
            .collect::<Result<Vec<_>, _>>()?;
        let demands = split(&self.demands)
            .iter()
            .map(|d| Demand::from_key(d).ok_or_else(|| word("demand", d)))
            .collect::<Result<Vec<_>, _>>()?;
        let (rule, words) = self.stand_in_rule.split_once(':').unwrap_or((&self.stand_in_rule, ""));
        let seconds = match self.seconds_per_rep.trim() {
            "" => None,
            n => Some(n.parse().map_err(|_| word("number of seconds", n))?),
        };
        Ok(Movement {
            aliases: split(&self.aliases),
            pattern: Pattern::from_key(&self.pattern).ok_or_else(|| word("pattern", &self.pattern))?,
            equipment,
            demands,
            skill: self.skill.parse().ok().filter(|s| (1..=5).contains(s)).ok_or_else(|| word("skill", &self.skill))?,
            sided: Sided::from_key(&self.sided).ok_or_else(|| word("side rule", &self.sided))?,
            loadable: self.loadable == "y",
            unit: Unit::from_key(&self.unit).ok_or_else(|| word("unit", &self.unit))?,
            seconds_per_rep: seconds,
            easier: split(&self.easier),
            harder: split(&self.harder),
            stand_in: StandIn::from_key(rule.trim()).ok_or_else(|| word("stand-in rule", rule))?,
            stand_in_words: words.trim().to_owned(),
            cues: [&self.cue_1, &self.cue_2, &self.cue_3].into_iter().filter(|c| !c.is_empty()).cloned().collect(),
            faults: split(&self.faults),
            caution: Some(self.caution.clone()).filter(|c| !c.is_empty()),
            name: self.name,
        })
    }
}

/// All movements a practice knows, found by name or alias.
#[derive(Clone, Debug)]
pub struct Library {
    movements: Vec<Movement>,
    /// lower-case name or alias to place in `movements`
    by_name: HashMap<String, usize>,
    /// names as the reader finds them, made when first asked for
    lexicon: OnceLock<Lexicon>,
    /// movements as tailoring reads them, made when first asked for
    index: OnceLock<Index>,
}

impl Library {
    /// The library that ships with Dowel.
    ///
    /// # Panics
    /// Never in a binary whose tests passed: the shipped data is read by a test.
    #[must_use]
    #[expect(clippy::expect_used, reason = "the shipped data is read by a test of this module")]
    pub fn shipped() -> &'static Self {
        static SHIPPED: OnceLock<Library> = OnceLock::new();
        SHIPPED.get_or_init(|| Self::read(include_str!("../../data/movements.csv")).expect("the shipped library is sound"))
    }

    /// Reads a library from CSV in the columns of `data/movements.csv`.
    ///
    /// # Errors
    /// The first row that cannot be used.
    pub fn read(text: &str) -> Result<Self, BadMovement> {
        let movements = csv::Reader::from_reader(text.as_bytes())
            .deserialize::<Row>()
            .map(|row| row.map_err(|e| BadMovement { movement: String::new(), why: e.to_string() })?.read())
            .collect::<Result<Vec<_>, _>>()?;
        Self::new(movements)
    }

    /// A library of these movements.
    ///
    /// # Errors
    /// A name or alias that two movements share, or an easier or harder name that is nobody's.
    pub fn new(movements: Vec<Movement>) -> Result<Self, BadMovement> {
        let mut by_name = HashMap::new();
        for (i, m) in movements.iter().enumerate() {
            for name in std::iter::once(&m.name).chain(&m.aliases) {
                if let Some(other) = by_name.insert(name.to_lowercase(), i).filter(|other| *other != i) {
                    let why = format!("{name:?} is also a name of {}", movements[other].name);
                    return Err(BadMovement { movement: m.name.clone(), why });
                }
            }
        }
        for m in &movements {
            if let Some(name) = m.easier.iter().chain(&m.harder).find(|n| !by_name.contains_key(&n.to_lowercase())) {
                return Err(BadMovement { movement: m.name.clone(), why: format!("{name:?} is no movement of the library") });
            }
        }
        Ok(Self { movements, by_name, lexicon: OnceLock::new(), index: OnceLock::new() })
    }

    /// This library with the practice's own movements: one of the same name replaces the shipped one.
    ///
    /// # Errors
    /// As [`Library::new`].
    pub fn with(&self, own: Vec<Movement>) -> Result<Self, BadMovement> {
        let mut movements = self.movements.clone();
        for m in own {
            match movements.iter_mut().find(|old| old.name == m.name) {
                Some(old) => *old = m,
                None => movements.push(m),
            }
        }
        Self::new(movements)
    }

    /// Every name and alias, ready to be found in typed words.
    #[must_use]
    pub fn lexicon(&self) -> &Lexicon {
        self.lexicon.get_or_init(|| Lexicon::new(self))
    }

    /// Movements as tailoring reads them.
    pub(crate) fn index(&self) -> &Index {
        self.index.get_or_init(|| Index::of(self))
    }

    /// Every movement, in the order of the data.
    #[must_use]
    pub fn all(&self) -> &[Movement] {
        &self.movements
    }

    /// The movement with exactly this name or alias, whatever its case.
    #[must_use]
    pub fn find(&self, name: &str) -> Option<&Movement> {
        self.by_name.get(&name.trim().to_lowercase()).map(|&i| &self.movements[i])
    }

    /// The place in [`Library::all`] of the movement with exactly this name or alias, whatever its case.
    #[must_use]
    pub fn position(&self, name: &str) -> Option<usize> {
        self.by_name.get(&name.trim().to_lowercase()).copied()
    }

    /// Movements whose name or alias holds every word of `words`, whatever its case.
    #[must_use]
    pub fn search(&self, words: &str) -> Vec<&Movement> {
        let words: Vec<String> = words.split_whitespace().map(str::to_lowercase).collect();
        let holds = |name: &String| {
            let name = name.to_lowercase();
            words.iter().all(|w| name.contains(w))
        };
        self.movements.iter().filter(|m| holds(&m.name) || m.aliases.iter().any(holds)).collect()
    }
}

impl Demand {
    /// Reads a limit in the data's word or in a plain one: `quiet` keeps out noise and jumping, `lying` both ways of lying.
    /// Empty where the word is not known.
    #[must_use]
    pub fn read(word: &str) -> Vec<Self> {
        let word = word.trim().to_lowercase().replace([' ', '-'], "_");
        if let Some(demand) = Self::from_key(&word) {
            return vec![demand];
        }
        match word.as_str() {
            "lying" | "lying_down" => vec![Self::Supine, Self::Prone],
            "quiet" | "quiet_flat" | "neighbours" => vec![Self::Noise, Self::Impact],
            "jumping" | "jump" | "landing" => vec![Self::Impact],
            "dropping" => vec![Self::Noise],
            "headroom" | "low_ceiling" => vec![Self::Ceiling],
            "running_room" | "no_space" | "room" => vec![Self::Space],
            "floor" | "getting_down" => vec![Self::FloorStart],
            "wrist" | "wrists" => vec![Self::WristLoad],
            "knee" | "knees" | "deep_squat" | "deep_knee_bend" => vec![Self::DeepKnee],
            "hang" => vec![Self::Hanging],
            "upside_down" => vec![Self::Inverted],
            "back_load" | "spine" => vec![Self::SpinalLoad],
            _ => Vec::new(),
        }
    }
}

impl Movement {
    /// It is only ever done with something heavy.
    #[must_use]
    pub fn needs_weight(&self) -> bool {
        self.loadable && !self.equipment.is_empty() && self.equipment.iter().all(|set| set.as_slice() != [Implement::None])
    }

    /// It asks this of a body or a home.
    #[must_use]
    pub fn asks(&self, demand: Demand) -> bool {
        self.demands.contains(&demand)
    }
}

#[cfg(test)]
mod tests;
