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
    /// Which of two load columns is theirs: 1 (heavier) or 2.
    pub column: Option<u8>,
    /// What the member wrote about today or about themselves.
    pub note: Option<String>,
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
