use super::*;
use crate::training::movement::Library;
use std::collections::BTreeSet;
use std::sync::LazyLock;
use time::macros::date;
use time::{Duration, Weekday};

/// A Wednesday.
const TODAY: Date = date!(2026 - 11 - 25);

fn demo() -> &'static Practice {
    static DEMO: LazyLock<Practice> = LazyLock::new(|| practice(1, TODAY));
    &DEMO
}

#[test]
fn the_same_seed_and_day_give_the_same_practice() {
    assert_eq!(&practice(1, TODAY), demo());
}

#[test]
fn everyone_has_an_address_of_their_own_that_leads_nowhere() {
    let demo = demo();
    let addresses: BTreeSet<&str> = demo.members.iter().map(|m| m.email.as_str()).collect();
    assert_eq!(addresses.len(), demo.members.len());
    assert!(addresses.iter().all(|a| a.ends_with("@example.org")));
}

#[test]
fn everyone_belongs_to_a_group_and_lives_in_a_known_zone() {
    for member in &demo().members {
        assert!(!member.groups.is_empty(), "{} has no group", member.name);
        assert!(tzdb::tz_by_name(&member.zone).is_some(), "{} is no zone", member.zone);
        assert!(member.joined <= TODAY);
    }
}

#[test]
fn every_max_is_of_a_movement_in_the_library() {
    for lift in demo().members.iter().flat_map(|m| &m.maxes) {
        assert_eq!(Library::shipped().find(&lift.lift).map(|m| m.name.as_str()), Some(lift.lift.as_str()));
    }
}

#[test]
fn each_group_trains_five_days_a_week_and_the_draft_has_four_so_far() {
    let demo = demo();
    for group in 0..demo.groups.len() {
        for week in 0..7 {
            let monday = date!(2026 - 10 - 19) + Duration::weeks(week);
            let days =
                demo.sessions.iter().filter(|s| s.group == group && (monday..monday + Duration::weeks(1)).contains(&s.date));
            assert_eq!(days.count(), if week == 6 { 4 } else { 5 }, "group {group}, week {week}");
        }
    }
}

#[test]
fn only_the_week_after_this_one_is_a_draft() {
    let next_monday = TODAY + Duration::days(5);
    assert_eq!(next_monday.weekday(), Weekday::Monday);
    assert!(demo().sessions.iter().all(|s| s.published == (s.date < next_monday)));
}

#[test]
fn the_current_week_is_there_on_any_day_of_it() {
    let days = |today: Date| shelf::sessions(&people::set_up(), today).iter().map(|s| s.date).collect::<Vec<_>>();
    assert_eq!(days(date!(2026 - 11 - 23)), days(date!(2026 - 11 - 29)));
}

#[test]
fn the_retests_of_week_six_are_those_of_week_one_word_for_word() {
    let demo = demo();
    for (group, test) in [(0, "B. Breakwater test"), (1, "B. Lamp test"), (0, "A. The test"), (1, "A. The test")] {
        let texts: Vec<&str> = demo
            .sessions
            .iter()
            .filter(|s| s.group == group)
            .filter_map(|s| s.text.split_once(test))
            .map(|(_, rest)| rest.split("\n\n").next().unwrap())
            .collect();
        assert_eq!(texts.len(), 2, "{test}");
        assert_eq!(texts[0], texts[1], "{test}");
    }
}

#[test]
fn questions_are_asked_by_members_of_the_group_after_they_joined() {
    let demo = demo();
    assert_eq!(demo.questions.len(), 13);
    for q in &demo.questions {
        let (member, session) = (&demo.members[q.member], &demo.sessions[q.session]);
        assert!(member.groups.contains(&session.group), "{} asks about {}", member.name, session.text);
        assert!(member.joined <= session.date, "{} asks before joining", member.name);
    }
}

#[test]
fn every_question_about_a_line_finds_its_line() {
    let quoting = include_str!("../../data/demo/questions.json").matches("\"line\": \"").count();
    assert_eq!(demo().questions.iter().filter(|q| q.line.is_some()).count(), quoting);
}

#[test]
fn nothing_is_asked_or_answered_after_this_morning() {
    for today in (0..7).map(|i| date!(2026 - 11 - 23) + Duration::days(i)) {
        let set_up = people::set_up();
        let keys: Vec<&str> = set_up.groups.iter().map(|g| g.key.as_str()).collect();
        let members: Vec<Member> = people::people(&set_up, today).into_iter().map(|p| p.member).collect();
        let now = when::instant("Atlantic/Faroe", today, when::MORNING_ENDS);
        for q in questions::questions(&keys, &members, &shelf::sessions(&set_up, today), (today, now)) {
            let last = q.answer.map_or(q.asked, |a| a.at);
            assert!(last <= today.midnight().assume_utc() + Duration::hours(8), "{last} on {today}");
        }
    }
}

mod logged;
mod written;
