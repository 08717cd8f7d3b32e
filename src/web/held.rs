//! What a member's private words hold back, and what a coach decided about it, in plain sentences.
//!
//! # Design
//! Nothing here says what somebody has or what is good for it: it says what waits, who decides, and whom to ask.

use crate::store::decisions::{Decided, Decision};
use crate::store::people::Person;
use crate::training::tailor::Waits;
use crate::web::questions::when;
use time::{Duration, OffsetDateTime};

/// That nothing is held any more is said for so long; what stays out is said for as long as it does.
const SAID_DAYS: i64 = 7;
const ASK: &str = "a doctor or another licensed professional";

/// What stands once above a member's sessions.
pub struct Banner {
    /// what waits and why, or what was decided
    pub text: String,
    /// the coach's own words, and who and when
    pub said: Option<(String, String)>,
    /// something waits
    pub waits: bool,
}

/// What a coach decided, as the member reads it.
#[must_use]
pub fn sentence(decided: &Decided, waits: &Waits) -> String {
    match decided {
        Decided::Train => {
            format!(
                "Your coach has decided: nothing is held back for what you wrote. If something feels wrong, stop and ask {ASK}."
            )
        }
        Decided::KeepOut(kept) => format!("Your coach has decided: {} stays out for now.", kept.words()),
        Decided::Hold => {
            format!("Your coach has decided: {} keeps waiting for now. Ask {ASK} what is right for you.", waits.words())
        }
    }
}

/// What a member reads above their sessions; none where nothing is held back or kept out.
#[must_use]
pub fn banner(waits: &Waits, decision: Option<&Decision>, reader: &Person, now: OffsetDateTime) -> Option<Banner> {
    let held = (!waits.is_empty()).then(|| undecided(waits));
    let Some(decision) = decision.filter(|d| !waits.is_empty() || matches!(d.decided, Decided::KeepOut(_))) else { return held };
    let since = reader.zone.day(now) - reader.zone.day(decision.at);
    if decision.decided == Decided::Train && since > Duration::days(SAID_DAYS) {
        return None;
    }
    let by = decision.by.clone().unwrap_or_else(|| "Your coach".to_owned());
    let said = Some(decision.said.clone()).filter(|s| !s.is_empty());
    // words that came after the decision wait for themselves
    let held = held.filter(|_| !decision.words_stand);
    let decided = sentence(&decision.decided, waits);
    Some(Banner {
        text: held.as_ref().map_or(decided.clone(), |held| format!("{} {decided}", held.text)),
        said: said.map(|said| (format!("{by}, {}", when(reader, decision.at, now)), said)),
        waits: held.is_some() || decision.decided == Decided::Hold,
    })
}

fn undecided(waits: &Waits) -> Banner {
    let words = waits.words();
    let mut letters = words.chars();
    let first: String = letters.next().map(|c| c.to_uppercase().collect()).unwrap_or_default();
    let text = format!(
        "{first}{} waits because of what you wrote to your coach, who has been told and decides. Until then ask {ASK} what is right for you.",
        letters.as_str()
    );
    Banner { text, said: None, waits: true }
}
