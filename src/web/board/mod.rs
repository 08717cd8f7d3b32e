//! Results of a session, side by side: the leaderboard of a part, and the coach's list of who did what.

mod entries;
pub mod nod;
pub mod part;
pub mod session;

use crate::store::people::Units;
use crate::store::results::ResultRow;
use crate::training::score::{KG_PER_LB, MassUnit, Score};
use crate::training::session::Part;

/// The unit that a reader thinks in.
fn mass(units: Units) -> MassUnit {
    match units {
        Units::Kg => MassUnit::Kg,
        Units::Lb => MassUnit::Lb,
    }
}

/// The load used, in the reader's unit; as typed where it is no number.
fn load_words(result: &ResultRow, units: Units) -> Option<String> {
    let Some(kg) = result.load_kg else {
        return Some(result.load_text.trim().to_owned()).filter(|t| !t.is_empty());
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
fn version_words(result: &ResultRow, part: &Part) -> String {
    match result.version_done.as_str() {
        "" | "full" => "as written".to_owned(),
        "adapted" => match entries::swap(result.given.as_ref(), part) {
            swap if swap.is_empty() => "adapted".to_owned(),
            swap => format!("adapted: {swap}"),
        },
        name => name.to_owned(),
    }
}
