//! Results of a session, side by side: the leaderboard of a part and of a week, the rules by which it is made, and the coach's
//! list of who did what.

pub mod changes;
pub mod correct;
pub mod entries;
mod gone;
pub mod kept;
mod mark;
pub mod nod;
pub mod part;
pub mod rules;
pub mod session;
pub mod settle;
pub mod standing;
pub mod warm;
pub mod week;
mod wish;

use crate::store::people::Units;
use crate::store::results::ResultRow;
use crate::training::score::{KG_PER_LB, MassUnit, Score};
use crate::training::session::Part;
use serde_json::Value;

/// The unit that a reader thinks in.
fn mass(units: Units) -> MassUnit {
    match units {
        Units::Kg => MassUnit::Kg,
        Units::Lb => MassUnit::Lb,
    }
}

/// The load used, in the reader's unit; as typed where it is no number.
fn load_words(kg: Option<f64>, typed: &str, units: Units) -> Option<String> {
    let Some(kg) = kg else {
        return Some(typed.trim().to_owned()).filter(|t| !t.is_empty());
    };
    let (n, unit) = match units {
        Units::Kg => (kg, "kg"),
        Units::Lb => (kg / KG_PER_LB, "lb"),
    };
    Some(format!("{} {unit}", (n * 10.0).round() / 10.0))
}

/// The score as stored; none while it is held, or where it is of an older kind.
fn score(result: &ResultRow) -> Option<Score> {
    result.score.clone().and_then(|s| serde_json::from_value(s).ok())
}

/// What was done, in words: the version, and the movements that were given instead.
fn version_words(version: &str, given: Option<&Value>, part: &Part) -> String {
    match version {
        "" | "full" => "as written".to_owned(),
        "adapted" => {
            let swap = Some(entries::swap(given, part)).filter(|swap| !swap.is_empty());
            let said: Vec<String> = swap
                .or_else(|| entries::amounts(version, given, part))
                .into_iter()
                .chain(entries::share(version, given))
                .collect();
            if said.is_empty() { "adapted".to_owned() } else { format!("adapted: {}", said.join(", ")) }
        }
        name => name.to_owned(),
    }
}
