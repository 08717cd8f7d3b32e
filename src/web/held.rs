//! What a member's private words hold back, and what a coach decided about it, in plain sentences.
//!
//! # Design
//! Nothing here says what somebody has or what is good for it: it says what waits, who decides, and whom to ask.

use crate::store::decisions::{Decided, Decision, Standing};
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
    pub said: Vec<(String, String)>,
    /// something waits
    pub waits: bool,
    /// where the words stand that it waits for
    pub stand: &'static str,
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

/// What a member reads above their sessions; none where nothing is held back or kept out. `waits` because of their private words,
/// on which there are decisions; `reported` because of what they told since, which waits for an answer.
#[must_use]
pub fn banner(waits: &Waits, reported: &Waits, standing: &Standing, reader: &Person, now: OffsetDateTime) -> Option<Banner> {
    let noted = (!waits.is_empty() && !standing.settles_words()).then(|| undecided(waits));
    // the same words twice say nothing more
    let stand = if noted.is_some() || reported.is_empty() { "/you/limits" } else { "/questions-of-mine" };
    let since = (!reported.is_empty() && (noted.is_none() || reported != waits)).then(|| undecided(reported));
    let open: Vec<String> = noted.into_iter().chain(since).collect();
    let recent = |d: &Decision| reader.zone.day(now) - reader.zone.day(d.at) <= Duration::days(SAID_DAYS);
    let told = |d: &&Decision| match d.decided {
        Decided::KeepOut(_) => true,
        Decided::Hold => !waits.is_empty(),
        Decided::Train => !waits.is_empty() && recent(d),
    };
    let told: Vec<&Decision> = standing.0.iter().filter(told).collect();
    let waiting = !open.is_empty() || told.iter().any(|d| d.decided == Decided::Hold);
    let text: Vec<String> = open.into_iter().chain(told.iter().map(|d| sentence(&d.decided, waits))).collect();
    let said = told.iter().filter(|d| !d.said.is_empty()).map(|d| {
        let by = d.by.as_deref().unwrap_or("Your coach");
        (format!("{by}, {}", when(reader, d.at, now)), d.said.clone())
    });
    (!text.is_empty()).then(|| Banner { text: text.join(" "), said: said.collect(), waits: waiting, stand })
}

fn undecided(waits: &Waits) -> String {
    let words = waits.words();
    let mut letters = words.chars();
    let first: String = letters.next().map(|c| c.to_uppercase().collect()).unwrap_or_default();
    format!(
        "{first}{} waits because of what you wrote to your coach, who has been told and decides. Until then ask {ASK} what is right for you.",
        letters.as_str()
    )
}
