//! Weights as people type them.

use super::*;

#[test]
fn weights_are_read_in_every_spelling() {
    use MassUnit::{Kg, Lb};
    let with = |reps, l: Lift| Lift { reps: Some(reps), ..l };
    let pair = |l: Lift| Lift { implements: 2, ..l };
    for (text, lifts) in [
        ("62,5 kg", vec![lift(62.5, Kg)]),
        ("62.5kg", vec![lift(62.5, Kg)]),
        ("135 lb", vec![lift(135.0, Lb)]),
        ("135lbs.", vec![lift(135.0, Lb)]),
        ("135#", vec![lift(135.0, Lb)]),
        ("80x3, 90x2 kg", vec![with(3, lift(80.0, Kg)), with(2, lift(90.0, Kg))]),
        ("80kg x3,90x2", vec![with(3, lift(80.0, Kg)), with(2, lift(90.0, Kg))]),
        ("80x8, 90x6 kg", vec![with(8, lift(80.0, Kg)), with(6, lift(90.0, Kg))]),
        ("3x80kg", vec![with(3, lift(80.0, Kg))]),
        ("80 kg for 3", vec![with(3, lift(80.0, Kg))]),
        ("5 @ 100 kg", vec![with(5, lift(100.0, Kg))]),
        ("3 reps at 80 kg", vec![with(3, lift(80.0, Kg))]),
        ("80 kg x 3 @ 8", vec![with(3, lift(80.0, Kg))]),
        ("kg 62,5", vec![lift(62.5, Kg)]),
        ("#135", vec![lift(135.0, Lb)]),
        ("5x5 @ 80kg", vec![with(5, lift(80.0, Kg))]),
        ("5 x 5 80kg", vec![with(5, lift(80.0, Kg))]),
        ("80kg 5x5", vec![with(5, lift(80.0, Kg))]),
        ("5 sets of 5 at 80 kg", vec![with(5, lift(80.0, Kg))]),
        ("80 kg (5 reps)", vec![with(5, lift(80.0, Kg))]),
        ("5 reps 80kg", vec![with(5, lift(80.0, Kg))]),
        ("heavy 3: 80kg", vec![with(3, lift(80.0, Kg))]),
        ("1rm 100 kg", vec![lift(100.0, Kg)]),
        ("80 kg x 3 (2 rir)", vec![with(3, lift(80.0, Kg))]),
        ("two 22.5 kg dumbbells", vec![pair(lift(22.5, Kg))]),
        ("2 x 100 kg", vec![with(2, lift(100.0, Kg))]),
        ("2 x 20 kg", vec![pair(lift(20.0, Kg))]),
        ("20 kg each", vec![pair(lift(20.0, Kg))]),
        ("20kg per hand", vec![pair(lift(20.0, Kg))]),
        ("2 x 20 kg x 3", vec![with(3, pair(lift(20.0, Kg)))]),
        ("80, 85, 90 kg", vec![lift(80.0, Kg), lift(85.0, Kg), lift(90.0, Kg)]),
        ("80,85,90kg", vec![lift(80.0, Kg), lift(85.0, Kg), lift(90.0, Kg)]),
        ("90 kg, failed 95", vec![lift(90.0, Kg), with(0, lift(95.0, Kg))]),
        ("90 kg, 95 miss", vec![lift(90.0, Kg), with(0, lift(95.0, Kg))]),
        ("132 lb / 60 kg", vec![lift(132.0, Lb)]),
        ("135 lb (61.2 kg)", vec![lift(135.0, Lb)]),
        ("bw + 20 kg", vec![Lift { added: true, ..lift(20.0, Kg) }]),
    ] {
        let reading = plain(ScoreKind::Load, text);
        assert_eq!(reading.score, Score::Load { lifts }, "{text:?}");
        assert_eq!(reading.held, None, "{text:?}");
    }
}

#[test]
fn a_unit_is_never_guessed() {
    let reading = plain(ScoreKind::Load, "135");
    assert_eq!(answers(&reading), ["135 kg", "135 lb"]);
    let Score::Load { lifts } = reading.score else { panic!("a weight") };
    assert_eq!(lifts[0].kg(), None);
}

#[test]
fn a_setting_settles_the_unit() {
    let rules = ScoreRules { mass_unit: Some(MassUnit::Lb), ..ScoreRules::default() };
    assert_eq!(got(ScoreKind::Load, "135", &rules).score, Score::Load { lifts: vec![lift(135.0, MassUnit::Lb)] });
}

#[test]
fn two_weights_with_a_slash_are_asked_about() {
    assert_eq!(answers(&plain(ScoreKind::Load, "60/65 kg")), ["60 kg", "65 kg"]);
}

#[test]
fn much_more_than_the_known_max_is_doubted_and_kept() {
    let rules = ScoreRules { known_max_kg: Some(80.0), ..ScoreRules::default() };
    assert!(got(ScoreKind::Load, "105 kg", &rules).doubt.is_some());
    assert!(got(ScoreKind::Load, "104 kg", &rules).doubt.is_none());
}

#[test]
fn other_units_of_weight_are_refused_with_a_reason() {
    assert!(read(ScoreKind::Load, "1.5 pood", &ScoreRules::default()).is_err());
}

/// Common practice, no source: the bar, plates and percentages as people speak of them.
#[test]
fn a_weight_that_is_only_part_of_what_was_lifted_is_asked_about() {
    let kg = ScoreRules { mass_unit: Some(MassUnit::Kg), known_max_kg: Some(100.0), ..ScoreRules::default() };
    for (text, offered) in [
        ("bar + 40", vec!["60 kg", "55 kg"]),
        ("40 kg plus the bar", vec!["60 kg", "55 kg"]),
        ("70 %", vec!["70 kg"]),
        ("70% of 100 kg", vec!["70 kg"]),
        ("2 plates", vec![]),
        ("1.5 bw", vec![]),
        ("-60", vec!["60 kg"]),
        ("0", vec!["body weight"]),
        ("60-65", vec!["60 kg", "65 kg"]),
        ("60 to 65 kg", vec!["60 kg", "65 kg"]),
        ("20 kg a side", vec!["pair of 20 kg"]),
        ("16s", vec!["pair of 16 kg", "16 kg"]),
    ] {
        let reading = got(ScoreKind::Load, text, &kg);
        assert_eq!((answers(&reading), reading.held.is_some()), (offered, true), "{text:?}: {}", reading.understood);
    }
    for text in ["80 kg @ 70 %", "80 kg (70%)", "80 kg with the bar", "- 80 kg"] {
        let reading = got(ScoreKind::Load, text, &kg);
        assert_eq!(reading.held, None, "{text:?}: {}", reading.understood);
    }
}

#[test]
fn two_bells_are_a_pair_and_two_is_no_weight() {
    let kg = ScoreRules { mass_unit: Some(MassUnit::Kg), ..ScoreRules::default() };
    for text in ["two 16s", "2 KB 16 kg", "2 kettlebells of 16 kg", "2 x 16 kg", "2 x 16kg KBs", "2x16s", "2 dbs @ 16"] {
        let reading = got(ScoreKind::Load, text, &kg);
        let pair = Lift { implements: 2, ..lift(16.0, MassUnit::Kg) };
        assert_eq!((reading.score, reading.held), (Score::Load { lifts: vec![pair] }, None), "{text:?}");
    }
    assert_eq!(answers(&plain(ScoreKind::Load, "two 16s")), ["pair of 16 kg", "pair of 16 lb"]);
}

#[test]
fn a_cross_behind_a_weight_is_a_miss() {
    let lifts = |text| got(ScoreKind::Load, text, &ScoreRules { mass_unit: Some(MassUnit::Kg), ..ScoreRules::default() }).score;
    let miss = Lift { reps: Some(0), ..lift(100.0, MassUnit::Kg) };
    assert_eq!(lifts("95 ✓, 100 ✗"), Score::Load { lifts: vec![lift(95.0, MassUnit::Kg), miss] });
    assert_eq!(plain(ScoreKind::None, "❌").score, Score::NotDone { started: false });
    assert!(read(ScoreKind::Reps, "1.000", &ScoreRules::default()).is_err(), "one, or a thousand");
}
