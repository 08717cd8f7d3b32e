//! From a session to the parts of its rod.

use super::rod::RodPart;
use crate::training::movement::Library;
use crate::training::session::{Part, Session};
use crate::training::{effort, pace};

/// The parts of a session's rod; none of them is done.
#[must_use]
pub fn parts(session: &Session, library: &Library) -> Vec<RodPart> {
    let part = |part: &Part| RodPart {
        name: part.name.clone(),
        intent: part.intent,
        minutes: pace::part(part, library).typical_s / 60.0,
        effort: effort::part(part),
        done: false,
    };
    session.parts.iter().map(part).collect()
}

/// How long a session takes most people, in whole minutes.
#[must_use]
pub fn minutes(session: &Session, library: &Library) -> f64 {
    (pace::session(session, library).typical_s / 60.0).round()
}
