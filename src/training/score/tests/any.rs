//! Scores of any kind and texts of any hand.

use super::*;
use proptest::prelude::*;

pub(super) const KINDS: [ScoreKind; 8] = [
    ScoreKind::Time,
    ScoreKind::RoundsReps,
    ScoreKind::Reps,
    ScoreKind::Load,
    ScoreKind::Distance,
    ScoreKind::Calories,
    ScoreKind::HoldTime,
    ScoreKind::None,
];

fn lifts() -> impl Strategy<Value = Vec<Lift>> {
    let unit = prop_oneof![Just(MassUnit::Kg), Just(MassUnit::Lb)];
    let one = (1..4000_u32, proptest::option::of(0..13_u32), 1..3_u32, any::<bool>());
    (unit, proptest::collection::vec(one, 1..4)).prop_map(|(unit, list)| {
        list.into_iter()
            .map(|(quarter, reps, implements, added)| Lift {
                weight: f64::from(quarter) / 4.0,
                unit: Some(unit),
                reps,
                implements,
                added,
            })
            .collect()
    })
}

fn any_score() -> impl Strategy<Value = (ScoreKind, Score)> {
    let seconds = (1..200_000_000_u32).prop_map(|ms| f64::from(ms) / 1000.0);
    let n = 0..1_000_000_u32;
    let units = prop_oneof![
        Just(DistanceUnit::M),
        Just(DistanceUnit::Km),
        Just(DistanceUnit::Mi),
        Just(DistanceUnit::Yd),
        Just(DistanceUnit::Ft)
    ];
    prop_oneof![
        seconds.clone().prop_map(|seconds| (ScoreKind::Time, Score::Time { seconds })),
        seconds.prop_map(|seconds| (ScoreKind::HoldTime, Score::Hold { seconds })),
        n.clone().prop_map(|n| (ScoreKind::Time, Score::Capped { work: Work::Done(n) })),
        n.clone().prop_map(|n| (ScoreKind::Time, Score::Capped { work: Work::Left(n) })),
        (n.clone(), n.clone()).prop_map(|(a, b)| (ScoreKind::Time, Score::Capped { work: Work::Rounds(a, b) })),
        (n.clone(), n.clone()).prop_map(|(rounds, reps)| (ScoreKind::RoundsReps, Score::RoundsReps { rounds, reps })),
        n.clone().prop_map(|reps| (ScoreKind::Reps, Score::Reps { reps })),
        n.clone().prop_map(|n| (ScoreKind::Calories, Score::Calories { calories: f64::from(n) / 10.0 })),
        (n, units).prop_map(|(n, u)| (ScoreKind::Distance, Score::Distance { value: f64::from(n) / 10.0, unit: Some(u) })),
        lifts().prop_map(|lifts| (ScoreKind::Load, Score::Load { lifts })),
        (0..KINDS.len(), any::<bool>()).prop_map(|(k, started)| (KINDS[k], Score::NotDone { started })),
        Just((ScoreKind::None, Score::Done)),
    ]
}

proptest! {
    #[test]
    fn what_is_printed_is_read_back((kind, score) in any_score()) {
        let reading = plain(kind, &score.words());
        prop_assert_eq!(&reading.score, &score, "{}", score.words());
        prop_assert_eq!(reading.held, None, "{}", score.words());
        prop_assert!(reading.unread.is_empty());
    }

    #[test]
    fn what_is_stored_is_read_back((_, score) in any_score()) {
        let json = serde_json::to_string(&score).unwrap();
        prop_assert_eq!(serde_json::from_str::<Score>(&json).unwrap(), score);
    }

    #[test]
    fn any_text_is_read_or_refused_and_kept(text in "\\PC{0,40}", rich in any::<bool>()) {
        let rules = if rich { capped() } else { ScoreRules::default() };
        for kind in KINDS {
            match read(kind, &text, &rules) {
                Ok(reading) => prop_assert_eq!(&reading.text, &text),
                Err(error) => prop_assert_eq!(&error.text, &text),
            }
        }
    }

    #[test]
    fn scribbles_of_a_sweaty_hand_never_panic(text in "[0-9:.,+x@/ kglbrepsmincal'\"#-]{0,24}") {
        for kind in KINDS {
            if let Ok(reading) = read(kind, &text, &capped()) {
                prop_assert!(serde_json::to_string(&reading).is_ok_and(|json| serde_json::from_str::<Reading>(&json).is_ok()), "{:?}", reading);
            }
        }
    }

    #[test]
    fn every_answer_to_a_question_settles_it(text in "[0-9]{1,4}[:.,+/x ]?[0-9]{0,2}( kg| lb| min| left| rounds)?") {
        for kind in KINDS {
            let Ok(Reading { held: Some(question), .. }) = read(kind, &text, &ScoreRules::default()) else { continue };
            for answer in question.answers {
                prop_assert_eq!(got(kind, &answer, &ScoreRules::default()).held, None, "{} to {}", answer, question.text);
            }
        }
    }
}
