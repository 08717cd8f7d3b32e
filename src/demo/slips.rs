//! A few results that cannot be right, as they come in every practice: a minute too few, a comma lost, a digit twice.

use super::dice::Dice;
use super::results::Draft;
use super::{Logged, Version};
use crate::training::session::ScoreKind;

/// Spoils one recent result of each of these kinds.
pub fn spoil(drafts: &mut [Draft], dice: &mut Dice) {
    for (kind, slip) in [
        (ScoreKind::Time, lost_minutes as fn(&str) -> String),
        (ScoreKind::Load, lost_comma),
        (ScoreKind::RoundsReps, digit_twice),
    ] {
        let mut able: Vec<&mut Logged> =
            drafts.iter_mut().filter(|d| d.score == kind && d.logged.version == Version::Full).map(|d| &mut d.logged).collect();
        // Among the latest, where the coach is still looking.
        let from = able.len().saturating_sub(12);
        let able = &mut able[from..];
        let places: Vec<usize> = (0..able.len()).filter(|i| slip(&able[*i].text) != able[*i].text).collect();
        if let Some(place) = (!places.is_empty()).then(|| *dice.pick(&places)) {
            able[place].text = slip(&able[place].text);
        }
    }
}

/// `11:42` becomes `1:42`, and `7:42` `0:42`.
fn lost_minutes(text: &str) -> String {
    match text.split_once(':') {
        Some((minutes, seconds)) if minutes.len() == 2 => format!("{}:{seconds}", &minutes[..1]),
        Some((_, seconds)) => format!("0:{seconds}"),
        None => text.to_owned(),
    }
}

/// `62.5 kg` becomes `625 kg`.
fn lost_comma(text: &str) -> String {
    text.replace(['.', ','], "")
}

/// `6+14` becomes `66+14`.
fn digit_twice(text: &str) -> String {
    match text.chars().next().filter(char::is_ascii_digit) {
        Some(digit) if text.contains('+') => format!("{digit}{text}"),
        _ => text.to_owned(),
    }
}
