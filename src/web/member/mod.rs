//! Members: joining, the day, results, history, their own settings.

pub mod cautions;
pub mod kit;
mod kit_form;
pub mod limits;
pub mod you;

use crate::training::movement::Demand;

/// What a home asks to keep out, set on the kit page; every other demand is set on the limits page.
const HOME: [Demand; 3] = [Demand::Ceiling, Demand::Noise, Demand::Space];

/// The page stands on the way through joining, not among the settings.
fn joining(uri: &axum::http::Uri) -> bool {
    uri.path().starts_with("/welcome")
}
