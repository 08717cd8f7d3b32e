//! The results: believable, readable, and not from the future.

use super::{TODAY, demo};
use crate::demo::{Logged, Version, practice};
use crate::training::movement::Library;
use crate::training::score::{self, MassUnit, Reading, ScoreRules};
use crate::training::session::{Part, ScoreKind, Session};
use crate::training::writeup;
use std::collections::BTreeSet;
use std::sync::LazyLock;
use time::Duration;

fn part(logged: &Logged) -> &'static Part {
    static READ: LazyLock<Vec<Session>> =
        LazyLock::new(|| demo().sessions.iter().map(|s| writeup::read(&s.text, Library::shipped())).collect());
    &READ[logged.session].parts[logged.part]
}

/// The score as the product reads it, with what it knows of member and part.
fn reading(logged: &Logged) -> Reading {
    let member = &demo().members[logged.member];
    let part = part(logged);
    let lift = part.lines.first().map_or("", |l| l.movement.as_str());
    let rules = ScoreRules {
        mass_unit: Some(if member.unit == crate::demo::Unit::Lb { MassUnit::Lb } else { MassUnit::Kg }),
        known_max_kg: member.profile.known_maxes_kg.get(lift).copied(),
        ..ScoreRules::of(part, Library::shipped())
    };
    score::read(part.score, &logged.text, &rules).unwrap_or_else(|e| panic!("{}: {e}", logged.text))
}

#[test]
fn there_is_much_to_look_at() {
    assert!(demo().results.len() > 2000, "{} results", demo().results.len());
}

#[test]
fn another_seed_is_another_story() {
    assert_ne!(practice(2, TODAY).results, demo().results);
}

#[test]
fn nobody_logs_before_joining_or_for_a_group_that_is_not_theirs() {
    for r in &demo().results {
        let (member, session) = (&demo().members[r.member], &demo().sessions[r.session]);
        assert!(member.joined <= session.date && member.groups.contains(&session.group), "{}: {}", member.name, session.date);
    }
}

#[test]
fn each_part_is_logged_once_by_a_member() {
    let mut seen = BTreeSet::new();
    assert!(demo().results.iter().all(|r| seen.insert((r.member, r.session, r.part))));
}

#[test]
fn results_come_by_time_and_end_this_morning() {
    let results = &demo().results;
    assert!(results.is_sorted_by_key(|r| r.at));
    assert!(results.iter().any(|r| demo().sessions[r.session].date == TODAY), "nobody trained today");
    assert!(results.last().unwrap().at <= TODAY.midnight().assume_utc() + Duration::hours(8));
}

#[test]
fn a_result_is_logged_on_the_day_of_the_session_or_the_next() {
    for r in &demo().results {
        let late = r.at.date() - demo().sessions[r.session].date;
        assert!((0..=1).contains(&late.whole_days()), "{} for {}", r.at, demo().sessions[r.session].date);
    }
}

#[test]
fn every_result_can_be_read_as_it_was_typed() {
    for r in &demo().results {
        let understood = reading(r);
        assert!(understood.held.is_none(), "{}: {:?}", r.text, understood.held);
        assert!(understood.unread.is_empty(), "{}: {:?}", r.text, understood.unread);
    }
}

#[test]
fn exactly_the_three_slips_are_hard_to_believe() {
    let doubtful: Vec<_> =
        demo().results.iter().filter(|r| reading(r).doubt.is_some()).map(|r| (part(r).score, &r.text)).collect();
    let kinds: Vec<ScoreKind> = doubtful.iter().map(|d| d.0).collect();
    assert_eq!(kinds.len(), 3, "{doubtful:?}");
    for kind in [ScoreKind::Time, ScoreKind::Load, ScoreKind::RoundsReps] {
        assert!(kinds.contains(&kind), "{doubtful:?}");
    }
}

#[test]
fn effort_and_minutes_are_those_of_training_at_home() {
    for r in &demo().results {
        assert!((1..=10).contains(&r.rpe) && (1..=45).contains(&r.minutes), "{r:?}");
    }
}

#[test]
fn nobody_says_the_same_thing_twice() {
    let mut said = BTreeSet::new();
    for r in demo().results.iter().filter(|r| !r.note.is_empty()) {
        assert!(said.insert((r.member, &r.note)), "{}", r.note);
    }
}

#[test]
fn every_version_is_done_by_someone_and_as_written_by_most() {
    let count = |v: Version| demo().results.iter().filter(|r| r.version == v).count();
    for version in [Version::Lighter, Version::Shorter, Version::Adapted] {
        assert!((20..count(Version::Full)).contains(&count(version)), "{version:?}: {}", count(version));
    }
}

#[test]
fn five_people_report_something_that_hurt() {
    let hurt: BTreeSet<usize> = demo().results.iter().filter(|r| r.hurt.is_some()).map(|r| r.member).collect();
    assert_eq!(hurt.len(), 5);
}

/// Sessions that a member did in a week, from 1.
fn came(name: &str, week: i64) -> usize {
    let member = demo().members.iter().position(|m| m.name.starts_with(name)).unwrap();
    let monday = crate::training::calendar::monday(TODAY) - Duration::weeks(6 - week);
    let in_week = |r: &&Logged| (monday..monday + Duration::weeks(1)).contains(&demo().sessions[r.session].date);
    let sessions: BTreeSet<usize> =
        demo().results.iter().filter(|r| r.member == member).filter(in_week).map(|r| r.session).collect();
    sessions.len()
}

#[test]
fn who_fades_fades_and_who_is_ill_comes_back() {
    assert!(came("Henrik", 1) + came("Henrik", 2) > came("Henrik", 4) + came("Henrik", 5));
    assert_eq!([came("Liv", 2), came("Liv", 3)], [0, 0]);
    assert!(came("Liv", 5) >= 3);
}

#[test]
fn most_sessions_of_five_full_weeks_are_done() {
    let days = TODAY - Duration::days(i64::from(TODAY.weekday().number_days_from_monday()));
    let possible: usize = demo()
        .members
        .iter()
        .map(|m| demo().sessions.iter().filter(|s| s.date < days && s.date >= m.joined && m.groups.contains(&s.group)).count())
        .sum();
    let done: BTreeSet<_> =
        demo().results.iter().filter(|r| demo().sessions[r.session].date < days).map(|r| (r.member, r.session)).collect();
    #[expect(clippy::cast_precision_loss, reason = "a few hundred")]
    let share = done.len() as f64 / possible as f64;
    assert!((0.6..0.85).contains(&share), "{share}");
}

#[test]
fn most_people_do_better_in_the_retest() {
    let tests: Vec<&Logged> =
        demo().results.iter().filter(|r| part(r).name.contains("test") && part(r).score == ScoreKind::RoundsReps).collect();
    let of = |r: &Logged| match reading(r).score {
        crate::training::score::Score::RoundsReps { rounds, reps } => (rounds, reps),
        other => panic!("{other:?}"),
    };
    let (mut better, mut all) = (0, 0);
    for first in tests.iter().filter(|r| demo().sessions[r.session].date < TODAY - Duration::weeks(4)) {
        let same = |r: &&&Logged| {
            r.member == first.member
                && r.version == first.version
                && r.at > first.at
                && demo().sessions[r.session].group == demo().sessions[first.session].group
        };
        if let Some(again) = tests.iter().find(same) {
            all += 1;
            better += i32::from(of(again) > of(first));
        }
    }
    assert!(all >= 8 && better * 3 > all * 2, "{better} of {all}");
}
