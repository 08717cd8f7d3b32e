//! Any text is read as any kind of score without a panic.
#![no_main]

use dowel_fuzz::training::score::{ScoreRules, read};
use dowel_fuzz::training::session::ScoreKind;
use libfuzzer_sys::fuzz_target;

const KINDS: [ScoreKind; 8] = [
    ScoreKind::Time,
    ScoreKind::RoundsReps,
    ScoreKind::Reps,
    ScoreKind::Load,
    ScoreKind::Distance,
    ScoreKind::Calories,
    ScoreKind::HoldTime,
    ScoreKind::None,
];

fuzz_target!(|text: &str| {
    let rules = ScoreRules { cap_s: Some(840.0), total_reps: Some(135), round_reps: Some(27), ..ScoreRules::default() };
    for kind in KINDS {
        let _ = read(kind, text, &ScoreRules::default());
        let _ = read(kind, text, &rules);
    }
});
