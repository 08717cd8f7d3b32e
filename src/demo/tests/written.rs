//! The write-ups: they read as they stand.

use super::demo;
use crate::training::movement::Library;
use crate::training::pace;
use crate::training::session::{Format, Intent, ProblemKind, ScoreKind, Session};
use crate::training::writeup;
use std::sync::LazyLock;

fn read() -> impl Iterator<Item = (String, Session)> {
    static READ: LazyLock<Vec<(String, Session)>> = LazyLock::new(|| {
        let day = |s: &crate::demo::Session| format!("{}, {} {}", demo().groups[s.group].name, s.date, s.date.weekday());
        demo().sessions.iter().map(|s| (day(s), writeup::read(&s.text, Library::shipped()))).collect()
    });
    READ.iter().cloned()
}

#[test]
fn every_write_up_reads_without_a_problem() {
    for (day, session) in read() {
        assert!(session.problems.is_empty(), "{day}: {:#?}", session.problems);
    }
}

#[test]
fn every_session_has_an_aim_and_a_short_title() {
    for (day, session) in read() {
        assert!(session.aim.is_some(), "{day} has no aim");
        assert!((3..40).contains(&session.title.chars().count()), "{day}: {}", session.title);
    }
}

#[test]
fn every_scored_conditioning_part_has_a_shorter_way() {
    for (day, session) in read() {
        for part in session.parts.iter().filter(|p| matches!(p.score, ScoreKind::Time | ScoreKind::RoundsReps)) {
            assert!(part.options.iter().any(|o| o.name.to_lowercase().contains("short")), "{day}: {}", part.name);
        }
    }
}

#[test]
fn a_cap_leaves_room_for_most_and_is_no_invitation_to_stroll() {
    for (day, session) in read() {
        for part in session.parts.iter().filter(|p| p.format == Format::ForTime) {
            let cap = part.time_cap_s.unwrap();
            let open = crate::training::session::Part { time_cap_s: None, ..part.clone() };
            let typical = pace::part(&open, Library::shipped()).typical_s;
            assert!((1.15..1.9).contains(&(cap / typical)), "{day}: cap {cap} s, typical {typical} s");
        }
    }
}

#[test]
fn a_session_takes_as_long_as_its_group_was_promised() {
    for (day, session) in read() {
        let minutes = pace::session(&session, Library::shipped()).typical_s / 60.0;
        let promised = if day.starts_with("Quiet") { 5.0..40.0 } else { 22.0..55.0 };
        assert!(promised.contains(&minutes), "{day}: {minutes:.0} min");
    }
}

#[test]
fn the_low_kit_group_needs_no_more_than_a_bag_a_stick_and_a_chair() {
    use crate::training::movement::{Implement as I, StandIn};
    let at_hand = [I::None, I::Wall, I::RaisedSurface, I::Stick, I::Backpack, I::Towel];
    let quiet = read().filter(|(day, _)| day.starts_with("Quiet"));
    for (day, session) in quiet {
        for (part, line) in session.parts.iter().flat_map(|p| p.lines.iter().map(move |l| (p, l))) {
            let Some(movement) = Library::shipped().find(&line.movement) else { continue };
            let at_hand = movement.equipment.iter().any(|set| set.iter().all(|i| at_hand.contains(i)));
            let possible = at_hand || part.intent == Intent::Technique && movement.stand_in == StandIn::StickTech;
            let outdoors = movement.name == "brisk walk";
            assert!(possible || outdoors, "{day}: {}", movement.name);
        }
    }
}

#[test]
fn nothing_lands_in_the_quiet_group() {
    use crate::training::movement::Demand;
    for (day, session) in read().filter(|(day, _)| day.starts_with("Quiet")) {
        for line in session.parts.iter().flat_map(|p| &p.lines) {
            let loud = Library::shipped().find(&line.movement).is_some_and(|m| m.asks(Demand::Impact));
            assert!(!loud, "{day}: {}", line.movement);
        }
    }
}

#[test]
fn every_movement_is_in_the_library() {
    for (day, session) in read() {
        let unknown = session.problems.iter().find(|p| p.kind == ProblemKind::UnknownMovement);
        assert!(unknown.is_none(), "{day}: {unknown:?}");
        assert!(session.parts.iter().flat_map(|p| &p.lines).all(|l| l.known), "{day}");
    }
}

#[test]
fn the_aim_is_not_taken_for_a_part() {
    for (day, session) in read() {
        let from_the_aim = session.parts.iter().find(|p| p.at.is_some_and(|at| at.line == 2));
        assert!(from_the_aim.is_none(), "{day}: {}", from_the_aim.map_or("", |p| &p.name));
    }
}
