//! A member's day: which day it is, what stands there, how it was fitted.

use crate::practice::{NOW, Practice, attributes, location, texts};
use crate::published::{DAY, publish, slow_then_fast};
use dowel::store::people::{Person, Units};
use dowel::store::weeks::ToPublish;
use dowel::training::calendar;
use dowel::training::dose::Load;
use dowel::training::member::KitItem;
use dowel::training::movement::Demand;
use dowel::training::session::{Line, Session};
use time::macros::{date, datetime};
use time::{Date, Duration, OffsetDateTime};

fn titled(title: &str) -> Session {
    Session { title: title.to_owned(), ..slow_then_fast() }
}

#[tokio::test]
async fn strangers_sign_in_first_and_coaches_have_no_day() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let coach = practice.as_person(coach).await;
    for address in ["/today", "/days/2026-11-25"] {
        assert!(location(&practice.browser().get(address).await).starts_with("/sign-in"), "{address}");
        assert_eq!(coach.get(address).await.status_code(), 404, "{address}");
    }
}

#[tokio::test]
async fn what_is_no_date_is_not_found() {
    let practice = Practice::new().await;
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    let browser = practice.as_person(ines).await;
    for address in ["/days/2026-02-30", "/days/tomorrow", "/days/9999-12-31"] {
        assert_eq!(browser.get(address).await.status_code(), 404, "{address}");
    }
}

#[tokio::test]
async fn the_session_stands_there_with_one_part_open() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    let kit = [KitItem { item: "kettlebell".to_owned(), kg: vec![16.0], count: Some(1), ..KitItem::default() }];
    practice.app.store.save_kit(ines, &kit, NOW).await.unwrap();
    publish(&practice, group, coach, DAY, slow_then_fast()).await;
    let page = practice.as_person(ines).await.get("/today").await;
    assert_eq!(texts(&page, "h1"), ["Slow, then fast"]);
    assert_eq!(texts(&page, ".part-name"), ["Squats", "Ten rounds"]);
    assert_eq!(texts(&page, ".part[open] .part-name"), ["Squats"]);
    assert_eq!(texts(&page, ".part[open] .dose"), ["3"]);
    assert_eq!(texts(&page, ".part[open] .move"), ["goblet squat"]);
    assert_eq!(texts(&page, ".edge title").len(), 1);
    assert!(texts(&page, "main > .caution")[0].contains("chest pain"));
}

#[tokio::test]
async fn nobody_sees_a_session_of_a_group_they_are_not_in_or_a_draft() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let (group, other) = (practice.group("Harbour").await, practice.group("Lighthouse").await);
    let ines = practice.member("Ines", group).await;
    publish(&practice, other, coach, DAY, slow_then_fast()).await;
    practice.app.store.save_draft(group, DAY, 1, "typed", 0, NOW).await.unwrap();
    let page = practice.as_person(ines).await.get("/today").await;
    assert!(texts(&page, ".part").is_empty());
    assert_eq!(texts(&page, ".empty").len(), 1);
}

#[tokio::test]
async fn an_empty_day_leads_to_the_next_with_something() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    publish(&practice, group, coach, DAY + Duration::days(2), slow_then_fast()).await;
    let page = practice.as_person(ines).await.get("/today").await;
    assert_eq!(attributes(&page, ".empty a", "href"), ["/days/2026-11-27"]);
}

#[tokio::test]
async fn two_sessions_of_a_day_stand_under_the_day() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let (group, other) = (practice.group("Harbour").await, practice.group("Lighthouse").await);
    let ines = practice.member("Ines", group).await;
    practice.app.store.join_group(other, ines, NOW).await.unwrap();
    publish(&practice, group, coach, DAY, titled("Morning")).await;
    publish(&practice, other, coach, DAY, titled("Evening")).await;
    let page = practice.as_person(ines).await.get("/today").await;
    assert_eq!(texts(&page, "h1"), ["Wednesday 25 November"]);
    assert_eq!(texts(&page, "h2"), ["Morning", "Evening"]);
    assert_eq!(texts(&page, ".part[open]").len(), 1);
}

#[tokio::test]
async fn a_changed_session_says_so() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    let place = publish(&practice, group, coach, DAY, slow_then_fast()).await;
    let browser = practice.as_person(ines).await;
    assert!(
        texts(&browser.get("/today").await, ".notice").is_empty()
            || texts(&browser.get("/today").await, ".notice")[0].contains("at home")
    );
    let draft_edit = practice.app.store.slot_by_id(place.id).await.unwrap().draft_edit;
    let again = ToPublish { id: place.id, draft_edit, session: slow_then_fast(), change_note: "One round less.".to_owned() };
    practice.app.store.publish(&[again], coach, NOW).await.unwrap();
    let said = texts(&browser.get("/today").await, ".head .notice");
    assert_eq!(said, ["Changed on Wed 25 Nov 12:00: version 2. One round less."]);
}

#[tokio::test]
async fn an_edit_without_a_word_says_what_it_changed() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    let place = publish(&practice, group, coach, DAY, slow_then_fast()).await;
    let mut edited = slow_then_fast();
    edited.parts[1].time_cap_s = Some(720.0);
    edited.parts[1].lines.pop();
    let draft_edit = practice.app.store.slot_by_id(place.id).await.unwrap().draft_edit;
    let again = ToPublish { id: place.id, draft_edit, session: edited, change_note: String::new() };
    practice.app.store.publish(&[again], coach, NOW).await.unwrap();
    let page = practice.as_person(ines).await.get("/today").await;
    assert_eq!(texts(&page, "#changed p"), ["Changed on Wed 25 Nov 12:00: version 2."]);
    let said = ["B. Ten rounds: cap 12 min; it was cap 15 min.", "B. Ten rounds: without 12 air squat."];
    assert_eq!(texts(&page, "#changed li"), said);
}

#[tokio::test]
async fn a_part_of_which_everything_is_left_out_says_so_and_offers_neither_clock_nor_log() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    practice.app.store.save_limits(ines, &[], Some("chest pain on stairs since Monday")).await.unwrap();
    let place = publish(&practice, group, coach, DAY, slow_then_fast()).await;
    let browser = practice.as_person(ines).await;
    let page = browser.get("/today").await;
    assert!(texts(&page, "#s1p1 .notice")[0].starts_with("Everything in this part waits for your coach"));
    assert_eq!((texts(&page, "#s1p1 form.score").len(), texts(&page, "#s1p1 a.button").len()), (0, 0));
    let clock = browser.get(&format!("/sessions/{}/parts/1/clock", place.id)).await;
    assert_eq!(location(&clock), format!("/days/2026-11-25#s{}p1", place.id));
}

#[tokio::test]
async fn a_part_that_is_a_letter_alone_is_called_after_what_is_done() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    let mut session = slow_then_fast();
    (session.parts[1].name, session.parts[1].label) = ("Part B".to_owned(), None);
    let place = publish(&practice, group, coach, DAY, session).await;
    let browser = practice.as_person(ines).await;
    let page = browser.get("/today").await;
    assert_eq!(
        (texts(&page, "#s1p1 .label"), texts(&page, "#s1p1 .part-name")),
        (vec!["B".to_owned()], vec!["push-up".to_owned()])
    );
    let board = browser.get(&format!("/sessions/{}/parts/1/board", place.id)).await;
    assert_eq!(texts(&board, "h1"), ["Results: push-up"]);
}

#[tokio::test]
async fn a_line_is_fitted_with_why_and_as_written_beside() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    practice.app.store.save_limits(ines, &[Demand::WristLoad], None).await.unwrap();
    publish(&practice, group, coach, DAY, slow_then_fast()).await;
    let page = practice.as_person(ines).await.get("/today").await;
    let changed = texts(&page, "#s1p1 .changed").join(" ");
    assert!(changed.contains("As written: 8 push-up"), "{changed}");
    assert!(texts(&page, "#s1p1 .own").contains(&"Changed for you".to_owned()), "it is said before anything is opened");
    assert!(!texts(&page, "#s1p1 .move").contains(&"push-up".to_owned()));
}

#[tokio::test]
async fn a_note_of_pain_leaves_lines_out_and_sends_to_the_coach() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    practice.app.store.save_limits(ines, &[], Some("chest pain on stairs since Monday")).await.unwrap();
    publish(&practice, group, coach, DAY, slow_then_fast()).await;
    let page = practice.as_person(ines).await.get("/today").await;
    assert!(texts(&page, ".dose").is_empty());
    assert!(texts(&page, "#held")[0].contains("ask a doctor"));
    assert_eq!(attributes(&page, "#held a", "href"), ["/you/limits"]);
}

#[tokio::test]
async fn loads_are_said_in_the_members_unit() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    let person = practice.app.store.person(ines).await.unwrap();
    practice.app.store.save_person(&Person { units: Units::Lb, ..person }).await.unwrap();
    let kit = [KitItem { item: "kettlebell".to_owned(), kg: vec![16.0], count: Some(1), ..KitItem::default() }];
    practice.app.store.save_kit(ines, &kit, NOW).await.unwrap();
    let mut session = slow_then_fast();
    session.parts[0].lines = vec![Line { load: Some(Load::kg(16.0)), ..session.parts[0].lines[0].clone() }];
    publish(&practice, group, coach, DAY, session).await;
    let page = practice.as_person(ines).await.get("/today").await;
    assert_eq!(texts(&page, "#s1p0 .load")[0], "about 35 lb (16 kg)");
}

/// Which day `/today` shows, by the one session published on it.
async fn todays_title(zone: &str, at: OffsetDateTime, days: [Date; 3]) -> String {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let group = practice.group("Harbour").await;
    let member = practice.member_in("Ines", group, zone).await;
    for day in days {
        publish(&practice, group, coach, day, titled(&calendar::iso(day))).await;
    }
    let cookie = practice.cookie_of(member).await;
    practice.app.clock.set(at);
    let page = practice.browser().get("/today").add_header("cookie", cookie).await;
    texts(&page, "h1").concat()
}

#[tokio::test]
async fn today_is_the_members_own_day_ten_hours_behind_and_fourteen_ahead() {
    let days = [date!(2026 - 11 - 24), date!(2026 - 11 - 25), date!(2026 - 11 - 26)];
    let noon = datetime!(2026-11-25 12:00 UTC);
    let early = datetime!(2026-11-25 09:30 UTC);
    assert_eq!(todays_title("Pacific/Honolulu", noon, days).await, "2026-11-25");
    assert_eq!(todays_title("Pacific/Honolulu", early, days).await, "2026-11-24");
    assert_eq!(todays_title("Pacific/Kiritimati", early, days).await, "2026-11-25");
    assert_eq!(todays_title("Pacific/Kiritimati", noon, days).await, "2026-11-26");
}

#[tokio::test]
async fn today_changes_at_local_midnight_in_the_night_in_which_the_clock_changes() {
    // Warsaw goes back on 25 October 2026 at 03:00: that day has 25 hours
    let days = [date!(2026 - 10 - 24), date!(2026 - 10 - 25), date!(2026 - 10 - 26)];
    for (at, day) in [
        (datetime!(2026-10-24 21:59 UTC), "2026-10-24"),
        (datetime!(2026-10-24 22:00 UTC), "2026-10-25"),
        (datetime!(2026-10-25 22:59 UTC), "2026-10-25"),
        (datetime!(2026-10-25 23:00 UTC), "2026-10-26"),
    ] {
        assert_eq!(todays_title("Europe/Warsaw", at, days).await, day, "{at}");
    }
    // New York goes forward on 8 March 2026 at 02:00: that day has 23 hours
    let days = [date!(2026 - 03 - 07), date!(2026 - 03 - 08), date!(2026 - 03 - 09)];
    for (at, day) in [
        (datetime!(2026-03-08 04:59 UTC), "2026-03-07"),
        (datetime!(2026-03-08 05:00 UTC), "2026-03-08"),
        (datetime!(2026-03-09 03:59 UTC), "2026-03-08"),
        (datetime!(2026-03-09 04:00 UTC), "2026-03-09"),
    ] {
        assert_eq!(todays_title("America/New_York", at, days).await, day, "{at}");
    }
}
