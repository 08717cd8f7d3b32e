//! What tailoring needs to know of a member: kit, limits, level, maxes. The public JSON's own shape.

use super::movement::Demand;
use serde::{Deserialize, Deserializer, Serialize};
use std::collections::BTreeMap;

/// A member as tailoring sees them: no name, nothing else that is personal.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Profile {
    /// What is at home.
    pub kit: Vec<KitItem>,
    /// What is kept out for now; read with [`Demand::read`], so that plain words are understood too.
    #[serde(deserialize_with = "demands")]
    pub avoid: Vec<Demand>,
    /// How much skill a line may ask.
    pub level: Level,
    /// Lift (canonical name) to kilograms.
    #[serde(deserialize_with = "null_as_default")]
    pub known_maxes_kg: BTreeMap<String, f64>,
    /// Lift (canonical name) to the day its max is from, `2026-11-25`.
    #[serde(skip_serializing_if = "BTreeMap::is_empty", deserialize_with = "null_as_default")]
    pub max_days: BTreeMap<String, String>,
    /// The number under which the coach chose lines for this member alone, where they did.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pinned: Option<i64>,
    /// Which of two load columns is theirs: 1 (heavier) or 2.
    pub column: Option<u8>,
    /// What the member wrote about today or about themselves.
    pub note: Option<String>,
    /// Words of theirs that a coach has not decided on: what these touch is held back, whatever the note says. Not known: the note is
    /// such a word.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub open_words: Option<Vec<String>>,
    /// Parts of the body that a coach keeps out of their sessions.
    #[serde(skip_serializing_if = "KeptOut::is_empty", deserialize_with = "null_as_default")]
    pub kept_out: KeptOut,
}

impl Profile {
    /// What these words touch is held back too, beside what is already.
    pub fn hold_for(&mut self, words: String) {
        let note = self.note.clone();
        self.open_words.get_or_insert_with(|| note.into_iter().collect()).push(words);
    }
}

/// Parts of the body that a coach keeps out, by the names of `data/regions.csv`: `knee`.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct KeptOut {
    /// Nothing that touches them is given.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub touches: Vec<String>,
    /// Nothing that loads them is given.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub loads: Vec<String>,
}

impl KeptOut {
    /// Nothing is kept out.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.touches.is_empty() && self.loads.is_empty()
    }

    /// `whatever touches the elbow, and whatever loads the hip or the knee`; nothing where nothing is kept out.
    #[must_use]
    pub fn words(&self) -> String {
        let of = |verb: &str, parts: &[String]| {
            let parts: Vec<String> = parts.iter().map(|p| format!("the {p}")).collect();
            (!parts.is_empty()).then(|| format!("whatever {verb} {}", parts.join(" or ")))
        };
        [of("touches", &self.touches), of("loads", &self.loads)].into_iter().flatten().collect::<Vec<_>>().join(", and ")
    }
}

/// One thing at home, with the loads it comes in.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct KitItem {
    /// `dumbbell`, `kettlebell`, `barbell`, `stick`, `backpack`, `band`, `chair`, `doorway_bar` ...
    pub item: String,
    /// Loads it comes in, kilograms; for a bar its own weight.
    #[serde(skip_serializing_if = "Vec::is_empty", deserialize_with = "null_as_default")]
    pub kg: Vec<f64>,
    /// Loads it comes in, pounds, for kit that is marked in pounds.
    #[serde(skip_serializing_if = "Vec::is_empty", deserialize_with = "null_as_default")]
    pub lb: Vec<f64>,
    /// How many of each; two dumbbells are a pair.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub count: Option<u32>,
    /// Plates for the bar, kilograms, one entry a pair.
    #[serde(skip_serializing_if = "Vec::is_empty", deserialize_with = "null_as_default")]
    pub plates_kg_pairs: Vec<f64>,
    /// Plates for the bar, pounds, one entry a pair.
    #[serde(skip_serializing_if = "Vec::is_empty", deserialize_with = "null_as_default")]
    pub plates_lb_pairs: Vec<f64>,
    /// Band strength: `light`, `medium`, `heavy`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tension: Option<String>,
    /// A checked anchor for the band.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub anchor: Option<bool>,
    /// A rack for the bar.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rack: Option<bool>,
    /// Its load can be changed in steps.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub adjustable: Option<bool>,
}

/// What a form asks beside an item.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum KitDetail {
    /// the loads it comes in, kilograms or pounds ([`KitItem::kg`], [`KitItem::lb`])
    Loads,
    /// the weight of the bar itself
    BarLoad,
    /// how many ([`KitItem::count`])
    Count,
    /// pairs of plates ([`KitItem::plates_kg_pairs`], [`KitItem::plates_lb_pairs`])
    PlatePairs,
    /// a rack ([`KitItem::rack`])
    Rack,
    /// `light`, `medium` or `heavy` ([`KitItem::tension`])
    Tension,
    /// a checked anchor ([`KitItem::anchor`])
    Anchor,
    /// loads that change in steps ([`KitItem::adjustable`])
    Adjustable,
}

/// A kind of item that tailoring knows, as a form offers it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct KitKind {
    /// spelling in [`KitItem::item`]
    pub item: &'static str,
    /// plain name
    pub label: &'static str,
    /// what is asked beside it
    pub details: &'static [KitDetail],
}

const fn kind(item: &'static str, label: &'static str, details: &'static [KitDetail]) -> KitKind {
    KitKind { item, label, details }
}

/// Every kind of item that tailoring knows, most usual first. A wall is always there.
pub const KIT_KINDS: &[KitKind] = &[
    kind("stick", "Broomstick or wooden rod", &[]),
    kind("dumbbell", "Dumbbells", &[KitDetail::Loads, KitDetail::Count, KitDetail::Adjustable]),
    kind("kettlebell", "Kettlebell", &[KitDetail::Loads, KitDetail::Count]),
    kind("backpack", "Backpack that can be filled", &[KitDetail::Loads]),
    kind("band", "Long elastic band", &[KitDetail::Tension, KitDetail::Anchor]),
    kind("chair", "Sturdy chair", &[]),
    kind("box", "Solid box, step or block", &[]),
    kind("bench", "Bench", &[]),
    kind("table", "Heavy table that cannot tip", &[]),
    kind("towel", "Towel", &[]),
    kind("doorway_bar", "Pull-up bar in a doorway", &[]),
    kind("pullup_bar", "Fixed pull-up bar", &[]),
    kind("rings", "Rings", &[]),
    kind("barbell", "Barbell", &[KitDetail::BarLoad, KitDetail::PlatePairs, KitDetail::Rack]),
    kind("plate", "Loose plates", &[KitDetail::Loads]),
    kind("med_ball", "Medicine ball", &[KitDetail::Loads]),
    kind("parallel_bars", "Parallel bars", &[]),
    kind("handles", "Push-up handles", &[]),
    kind("sliders", "Sliders", &[]),
    kind("rope", "Skipping rope", &[]),
    kind("stairs", "Stairs", &[]),
    kind("run_space", "Somewhere to run outside", &[]),
    kind("treadmill", "Treadmill", &[]),
    kind("rower", "Rowing machine", &[]),
    kind("bike", "Exercise bike", &[]),
    kind("ski_machine", "Ski machine", &[]),
    kind("foot_anchor", "Something fixed to hold the feet", &[]),
];

/// How much skill a line may ask.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Level {
    /// up to skill 3, and easier where there is a choice
    #[default]
    Beginner,
    /// up to skill 4
    Intermediate,
    /// all
    Advanced,
}

impl Level {
    /// Lowest first.
    pub const ALL: [Self; 3] = [Self::Beginner, Self::Intermediate, Self::Advanced];

    /// As it is stored and sent.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Beginner => "beginner",
            Self::Intermediate => "intermediate",
            Self::Advanced => "advanced",
        }
    }

    /// The level of a key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|l| l.key() == key)
    }

    /// As a member says it of themselves.
    #[must_use]
    pub fn own_words(self) -> &'static str {
        match self {
            Self::Beginner => "New to training, or coming back after long",
            Self::Intermediate => "I have trained for some time",
            Self::Advanced => "Experienced: the skilled lifts and gymnastics too",
        }
    }

    /// The highest skill of a movement that is given at this level.
    #[must_use]
    pub fn skill_ceiling(self) -> u8 {
        match self {
            Self::Beginner => 3,
            Self::Intermediate => 4,
            Self::Advanced => 5,
        }
    }
}

/// Demands in the data's words or in plain ones; a word that is not known is an error, because a limit must not be lost.
fn demands<'de, D: Deserializer<'de>>(d: D) -> Result<Vec<Demand>, D::Error> {
    let mut all = Vec::new();
    for word in Option::<Vec<String>>::deserialize(d)?.unwrap_or_default() {
        let read = Demand::read(&word);
        if read.is_empty() {
            let known: Vec<&str> = Demand::ALL.iter().map(|d| d.key()).collect();
            return Err(serde::de::Error::custom(format!("{word:?} is no known limit; known are {}", known.join(", "))));
        }
        for demand in read {
            if !all.contains(&demand) {
                all.push(demand);
            }
        }
    }
    Ok(all)
}

fn null_as_default<'de, D: Deserializer<'de>, T: Deserialize<'de> + Default>(d: D) -> Result<T, D::Error> {
    Ok(Option::<T>::deserialize(d)?.unwrap_or_default())
}
