//! Any session comes back as it went.

use super::super::super::dose::{Amount, Load, Side};
use super::super::super::movement::Library;
use super::super::super::session::{Format, Intent, Interval, Line, Part, PartOption, Piece, Role, ScoreKind, Session};
use super::{parse, print};
use proptest::option::of;
use proptest::prelude::*;
use proptest::sample::select;

fn number() -> impl Strategy<Value = f64> {
    (1u32..4000).prop_map(|n| f64::from(n) / 4.0)
}

fn amount() -> impl Strategy<Value = Amount> {
    prop_oneof![
        number().prop_map(Amount::One),
        (number(), number()).prop_map(|(a, b)| Amount::Range(a, b)),
        proptest::collection::vec(number(), 3..6).prop_map(Amount::Scheme),
        (number(), number()).prop_map(|(a, b)| Amount::Columns(a, b)),
    ]
}

/// Anything that people type, with the signs that shape the form, line ends and pictures.
fn words() -> impl Strategy<Value = String> {
    "[ -~é☀\n\\\\;:]{0,24}"
}

fn load() -> impl Strategy<Value = Load> {
    prop_oneof![
        number().prop_map(Load::kg),
        (number(), number()).prop_map(|(a, b)| Load::Kg { values: vec![a, b], range: false }),
        (number(), number()).prop_map(|(a, b)| Load::Lb { values: vec![a, b], range: true }),
        (amount(), words()).prop_map(|(percent, of)| Load::Percent { percent, of }),
        amount().prop_map(Load::Rpe),
        amount().prop_map(Load::Rir),
        Just(Load::Stick),
        words().prop_map(Load::Band),
        words().prop_map(Load::Find),
    ]
}

fn line() -> impl Strategy<Value = Line> {
    let doses = (words(), any::<bool>(), of(amount()), any::<bool>(), of(amount()), of(amount()), of(amount()));
    let marks = (
        of(select(vec![Side::PerSide, Side::Alternating, Side::Total])),
        of(load()),
        of(1u8..5),
        of(words()),
        of(number()),
        of(number()),
    );
    let more = (
        any::<bool>(),
        of(number()),
        of(number()),
        of(1u32..60),
        of(select(vec![Role::BuyIn, Role::CashOut])),
        of(words()),
        of(words()),
    );
    let pieces = proptest::collection::vec((words(), of(amount()), any::<bool>()), 0..3);
    (doses, marks, more, pieces).prop_map(|(d, m, x, pieces)| Line {
        movement: d.0,
        known: d.1,
        reps: d.2,
        max: d.3,
        seconds: d.4,
        metres: d.5,
        calories: d.6,
        side: m.0,
        load: m.1,
        implements: m.2,
        tempo: m.3,
        pause_s: m.4,
        down_s: m.5,
        open: x.0,
        step: x.1,
        counts_as_reps: x.2,
        minute: x.3,
        role: x.4,
        label: x.5,
        note: x.6,
        complex: pieces.into_iter().map(|(movement, reps, known)| Piece { movement, reps, known }).collect(),
        ..Line::default()
    })
}

fn lines(n: usize) -> impl Strategy<Value = Vec<Line>> {
    let with_swaps = (line(), proptest::collection::vec(line(), 0..2)).prop_map(|(l, alternatives)| Line { alternatives, ..l });
    proptest::collection::vec(with_swaps, 0..n)
}

fn option() -> impl Strategy<Value = PartOption> {
    let a = (words(), of(amount()), of(number()), of(number()), of(amount()), of(load()));
    (a, proptest::collection::vec(words(), 0..2), lines(2), of(words())).prop_map(|(a, replace, lines, text)| PartOption {
        name: a.0.trim().to_owned(),
        rounds: a.1,
        time_cap_s: a.2,
        duration_s: a.3,
        reps: a.4,
        load: a.5,
        replace,
        lines,
        text,
        at: None,
    })
}

fn part() -> impl Strategy<Value = Part> {
    let formats = vec![
        Format::Sets,
        Format::Rounds,
        Format::ForTime,
        Format::Amrap,
        Format::Emom,
        Format::Intervals,
        Format::Practice,
        Format::MaxEffort,
        Format::Ladder,
    ];
    let scores =
        vec![ScoreKind::Time, ScoreKind::RoundsReps, ScoreKind::Reps, ScoreKind::Load, ScoreKind::HoldTime, ScoreKind::None];
    let intents = vec![Intent::Prep, Intent::Technique, Intent::Strength, Intent::Conditioning, Intent::Mobility];
    let head = (words(), of(words()), select(intents), select(formats), of(amount()), of(number()), of(number()));
    let clock =
        of((of(number()), of(number()), of(number())).prop_map(|(work_s, rest_s, every_s)| Interval { work_s, rest_s, every_s }));
    let score =
        (of(amount()), select(scores), of(words()), of(words()), of(words()), of(words()), of(amount()), of(any::<bool>()));
    let body = (lines(4), proptest::collection::vec(option(), 0..2), proptest::collection::vec(words(), 0..3));
    (head, clock, score, body).prop_map(|(h, interval, s, b)| Part {
        name: h.0,
        label: h.1,
        intent: h.2,
        format: h.3,
        rounds: h.4,
        time_cap_s: h.5,
        duration_s: h.6,
        interval,
        rest_s: s.0,
        score: s.1,
        tie_break: s.2,
        score_rule: s.3,
        if_capped: s.4,
        cap_scope: s.5,
        target_s: s.6,
        carry_on: s.7,
        lines: b.0,
        options: b.1,
        notes: b.2,
        ..Part::default()
    })
}

fn session() -> impl Strategy<Value = Session> {
    (words(), of(words()), proptest::collection::vec(words(), 0..3), proptest::collection::vec(part(), 0..3))
        .prop_map(|(title, aim, notes, parts)| Session { title, aim, notes, parts, problems: vec![] })
}

proptest! {
    #[test]
    fn any_session_comes_back_as_it_went(session in session()) {
        let back = super::super::read(&print(&session), Library::shipped());
        prop_assert_eq!(back.placeless(), session);
    }

    #[test]
    fn any_text_is_canonical_or_not_but_never_trips(text in "(# |## |- |  or |Format: |[ -~é\n]){0,30}") {
        let _ = parse(&text);
    }
}

#[test]
fn free_text_is_not_canonical() {
    assert_eq!(parse("# Monday\n10 burpees"), None);
    assert_eq!(parse("10 burpees"), None);
}
