//! Which band of several: the strongest that is right for it, and never stronger than was written (*common practice*).

use super::fit::{Aim, Asked, Fit};
use super::kit::{Kit, bit};
use super::shelf::{Purpose, Way};
use crate::training::dose::Load;
use crate::training::movement::Implement;

/// What the band is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Use {
    /// it carries part of the body: the stronger, the easier
    Assists { strength: bool },
    /// strength work against it
    Strength,
    /// small muscles, mobility, practice
    Light,
    /// many reps against the clock
    GoingOn,
}

/// How strong a band is by its word; a word that says nothing is a medium one.
fn strength(word: &str) -> i8 {
    let low = word.to_lowercase();
    let very = ["extra", "very", "xx", "x-", "x ", "ultra"].iter().any(|v| low.contains(v));
    let has = |list: &[&str]| list.iter().any(|w| low.contains(w));
    match (has(&["light", "thin", "easy"]), has(&["heavy", "strong", "thick", "hard"])) {
        (true, _) => {
            if very {
                -1
            } else {
                0
            }
        }
        (_, true) => {
            if very {
                3
            } else {
                2
            }
        }
        _ => 1,
    }
}

/// The band to take, in the words it is known by; the written one where it is at home.
fn choose<'b>(bands: &'b [String], written: Option<&str>, used: Use, beginner: bool) -> Option<&'b String> {
    if let Some(same) = written.and_then(|w| bands.iter().find(|b| b.eq_ignore_ascii_case(w))) {
        return Some(same);
    }
    let mut sorted: Vec<&String> = bands.iter().collect();
    sorted.sort_by_key(|b| strength(b));
    let most = match (used, written) {
        (Use::Assists { .. }, _) => i8::MAX,
        (_, Some(written)) => strength(written),
        (Use::Strength, None) if beginner => strength("medium"),
        _ => i8::MAX,
    };
    let under = sorted.iter().take_while(|b| strength(b) <= most).count();
    // where all are too strong the weakest is the nearest
    let fit = &sorted[..under.max(1).min(sorted.len())];
    match used {
        Use::Strength => fit.last(),
        Use::Assists { .. } if beginner => fit.last(),
        Use::Assists { strength: true } | Use::Light => fit.first(),
        Use::Assists { .. } | Use::GoingOn => fit.get(fit.len().saturating_sub(1) / 2),
    }
    .copied()
}

/// The band for it: where it hangs from a bar with somebody it helps.
pub(super) fn banded(kit: &Kit, asked: &Asked, way: Way, light: bool, aim: Aim<'_>) -> Option<Fit> {
    let strength = aim.purpose == Purpose::Strength;
    let used = match aim.purpose {
        _ if way.tools & bit(Implement::PullupBar) != 0 => Use::Assists { strength },
        Purpose::Strength if !light => Use::Strength,
        Purpose::Conditioning if !light => Use::GoingOn,
        _ => Use::Light,
    };
    let written = if let Asked::Band(word) = asked { Some(word.as_str()) } else { None };
    let band = choose(&kit.bands, written, used, aim.beginner)?;
    Some(Fit { load: Some(Load::Band(band.clone())), loaded: true, ..Fit::default() })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(bands: &[&str], written: Option<&str>, used: Use, beginner: bool) -> String {
        let owned: Vec<String> = bands.iter().map(|b| (*b).to_owned()).collect();
        choose(&owned, written, used, beginner).cloned().unwrap_or_default()
    }

    const TWO: [&str; 2] = ["light", "heavy"];

    /// Common practice, no source.
    #[test]
    fn strength_takes_the_heaviest_that_fits_the_level() {
        assert_eq!(of(&TWO, None, Use::Strength, false), "heavy");
        assert_eq!(of(&["heavy", "medium", "light"], None, Use::Strength, true), "medium");
        assert_eq!(of(&["extra heavy"], None, Use::Strength, true), "extra heavy");
    }

    /// Common practice, no source.
    #[test]
    fn a_beginner_is_helped_by_the_strongest_and_others_by_less() {
        assert_eq!(of(&TWO, None, Use::Assists { strength: true }, true), "heavy");
        assert_eq!(of(&TWO, None, Use::Assists { strength: true }, false), "light");
    }

    #[test]
    fn small_muscles_take_the_lightest() {
        assert_eq!(of(&["heavy", "light"], None, Use::Light, false), "light");
    }

    #[test]
    fn a_written_band_is_taken_and_never_passed() {
        assert_eq!(of(&["light", "Medium", "heavy"], Some("medium"), Use::Strength, false), "Medium");
        assert_eq!(of(&["light", "heavy"], Some("medium"), Use::Strength, false), "light");
    }

    #[test]
    fn no_band_is_no_band() {
        assert_eq!(choose(&[], None, Use::Strength, false), None);
    }
}
