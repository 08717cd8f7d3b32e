//! Members: joining, the day, results, history, their own settings.

pub mod cautions;
pub mod clock;
pub mod day;
pub(in crate::web) mod earlier;
pub mod history;
pub mod kit;
mod kit_form;
pub mod lift;
pub(in crate::web) mod lifts;
pub mod limits;
pub mod log;
pub mod own;
pub mod results;
mod retests;
pub mod talk;
mod weights;
pub mod wish;
pub mod you;

use crate::store::people::Units;
use crate::training::movement::Demand;
use crate::training::score::MassUnit;

/// What a home asks to keep out, set on the kit page; every other demand is set on the limits page.
const HOME: [Demand; 3] = [Demand::Ceiling, Demand::Noise, Demand::Space];

/// The page stands on the way through joining, not among the settings.
fn joining(uri: &axum::http::Uri) -> bool {
    uri.path().starts_with("/welcome")
}

/// The unit of mass that a person reads.
fn mass_unit(units: Units) -> MassUnit {
    if units == Units::Kg { MassUnit::Kg } else { MassUnit::Lb }
}
