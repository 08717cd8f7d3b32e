//! How people type what they did.

use super::people::Writes;
use crate::training::score::KG_PER_LB;

/// `7:42`, sometimes `7:42 min`.
pub fn time(seconds: f64, writes: Writes) -> String {
    let (m, s) = minutes_and_seconds(seconds);
    let clock = format!("{m}:{s:02}");
    if writes == Writes::Chatty { clock + " min" } else { clock }
}

/// `12+5`, or `12 rounds + 5`; the reps of the cut-off round are left out where there are none.
pub fn rounds(full: u32, extra: u32, writes: Writes) -> String {
    match (writes, extra) {
        (_, 0) => format!("{full} rounds"),
        (Writes::Chatty, _) => format!("{full} rounds + {extra}"),
        (Writes::Comma, _) => format!("{full} + {extra}"),
        _ => format!("{full}+{extra}"),
    }
}

/// `131/135`, or `capped at 131`.
pub fn capped(done: u32, of: u32, writes: Writes) -> String {
    if matches!(writes, Writes::Chatty | Writes::Comma) { format!("capped at {done}") } else { format!("{done}/{of}") }
}

/// `62.5 kg`, `62,5 kg`, `62.5`, `135 lb`. Someone who types pounds loads in pounds.
pub fn load(kg: f64, writes: Writes) -> String {
    match writes {
        Writes::Pounds => format!("{} lb", (kg / KG_PER_LB).round()),
        Writes::Comma => format!("{kg} kg").replace('.', ","),
        Writes::Short => kg.to_string(),
        Writes::Plain => format!("{kg} kg"),
        Writes::Chatty => format!("{kg}kg"),
    }
}

/// `23`, or `23 reps`.
pub fn reps(n: u32, writes: Writes) -> String {
    if writes == Writes::Chatty { format!("{n} reps") } else { n.to_string() }
}

/// `1:35`, or `95 s`.
pub fn hold(seconds: f64, writes: Writes) -> String {
    if matches!(writes, Writes::Short | Writes::Comma) { format!("{} s", seconds.round()) } else { time(seconds, Writes::Plain) }
}

fn minutes_and_seconds(seconds: f64) -> (u64, u64) {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a session's seconds, never negative")]
    let whole = seconds.round().max(0.0) as u64;
    (whole / 60, whole % 60)
}
