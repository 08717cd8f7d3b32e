//! The coach's week, its write-ups, and publishing.

use crate::practice::{NOW, Practice, attributes, location, texts};
use crate::published::{self, DAY};
use axum_test::TestServer;
use axum_test::multipart::{MultipartForm, Part};
use dowel::store::ids::GroupId;
use dowel::training::session::Intent;
use time::Duration;

const GOOD: &str = "Tide table\n\nWarm-up, 2 rounds\n10 air squats\n30 s plank\n\nA. Goblet squat\n3 x 10 @ RPE 7, rest 60 s\n";
const BAD: &str = "Odd day\n\nA. Goblet squat\n3 x 0\n";

async fn harbour() -> (Practice, TestServer, GroupId) {
    let practice = Practice::new().await;
    let mara = practice.as_coach("Mara").await;
    let group = practice.group("Harbour").await;
    (practice, mara, group)
}

fn editor(group: GroupId) -> String {
    format!("/groups/{group}/days/2026-11-25/1")
}

fn week(group: GroupId) -> String {
    format!("/groups/{group}/weeks/2026-11-23")
}

async fn publish(mara: &TestServer, group: GroupId) -> String {
    let address = format!("{}/publish", week(group));
    let mark = attributes(&mara.get(&address).await, "[name=mark]", "value").remove(0);
    location(&mara.post(&address).form(&[("mark", mark)]).await)
}

#[tokio::test]
async fn the_week_and_the_editor_are_for_coaches_alone() {
    let (practice, _, group) = harbour().await;
    let member = practice.member("Ines", group).await;
    let ines = practice.as_person(member).await;
    let pages =
        [editor(group), week(group), format!("{}/publish", week(group)), format!("{}/copy", week(group)), "/week".to_owned()];
    for address in pages {
        assert!(location(&practice.browser().get(&address).await).starts_with("/sign-in"), "{address}");
        assert_eq!(ines.get(&address).await.status_code(), 404, "{address}");
    }
    for address in [editor(group), format!("{}/reading", editor(group)), format!("{}/publish", week(group))] {
        assert_eq!(ines.post(&address).form(&[("text", GOOD), ("edit", "0")]).await.status_code(), 404, "{address}");
    }
    assert!(practice.app.store.week(group, DAY - Duration::days(2)).await.unwrap().is_empty());
}

#[tokio::test]
async fn the_coachs_start_is_the_first_groups_week_in_the_coachs_own_zone() {
    let practice = Practice::new().await;
    let mara = practice.as_coach("Mara").await;
    assert_eq!(location(&mara.get("/week").await), "/groups");
    let group = practice.group("Harbour").await;
    assert_eq!(location(&mara.get("/week").await), week(group));
    // Sunday 23:30 in London
    practice.app.clock.set(time::macros::datetime!(2026-11-29 23:30 UTC));
    assert_eq!(location(&mara.get("/week").await), week(group));
}

#[tokio::test]
async fn addresses_that_name_no_day_of_ours_are_not_found() {
    let (_practice, mara, group) = harbour().await;
    let bad = [
        format!("/groups/{group}/weeks/2026-11-24"),
        format!("/groups/{group}/weeks/soon"),
        "/groups/999/weeks/2026-11-23".to_owned(),
        format!("/groups/{group}/days/2026-02-30/1"),
        format!("/groups/{group}/days/2026-11-25/0"),
        format!("/groups/{group}/days/2026-11-25/7"),
    ];
    for address in bad {
        assert_eq!(mara.get(&address).await.status_code(), 404, "{address}");
    }
}

#[tokio::test]
async fn an_empty_week_offers_each_day() {
    let (_practice, mara, group) = harbour().await;
    let page = mara.get(&week(group)).await;
    assert_eq!(texts(&page, ".weekday").len(), 7);
    assert_eq!(attributes(&page, ".weekday.today .day-what a", "href"), [editor(group)]);
}

#[tokio::test]
async fn what_is_typed_is_saved_and_shown_as_understood() {
    let (practice, mara, group) = harbour().await;
    let response = mara.post(&editor(group)).form(&[("text", GOOD.replace('\n', "\r\n")), ("edit", "0".to_owned())]).await;
    let page = mara.get(&location(&response)).await;
    assert_eq!(texts(&page, ".got h3"), ["Warm-up", "A Goblet squat"]);
    assert_eq!(practice.app.store.slot(group, DAY, 1).await.unwrap().unwrap().draft, GOOD);
    let page = mara.get(&week(group)).await;
    assert_eq!(texts(&page, ".weekday.today .chip"), ["draft"]);
    assert_eq!(texts(&page, ".weekday.today svg").len(), 1);
}

#[tokio::test]
async fn tidying_saves_what_was_typed_and_changes_nothing_before_it_is_asked_for() {
    let (practice, mara, group) = harbour().await;
    let store = &practice.app.store;
    let address = format!("{}/tidy", editor(group));
    let page = mara.post(&address).form(&[("text", GOOD), ("edit", "0")]).await;
    assert_eq!(page.status_code(), 200);
    assert_eq!(store.slot(group, DAY, 1).await.unwrap().unwrap().draft, GOOD);
    let tidied = texts(&page, "#text").remove(0);
    assert!(tidied.contains(" A. Goblet squat 3 x 10 @ RPE 7, rest 1:00"), "{tidied}");
    let edit = attributes(&page, "[name=edit]", "value").remove(0);
    mara.post(&editor(group)).form(&[("text", "# Tidied\n"), ("edit", edit.as_str())]).await;
    assert_eq!(store.slot(group, DAY, 1).await.unwrap().unwrap().draft, "# Tidied\n");
    // the tab with the typed one is behind now
    assert_eq!(mara.post(&address).form(&[("text", GOOD), ("edit", edit.as_str())]).await.status_code(), 409);
}

#[tokio::test]
async fn an_unknown_movement_is_added_or_its_line_is_a_note() {
    let (_practice, mara, group) = harbour().await;
    let text = "Odd day\n\nA. Goblet squat\n3 x 10\n10 flurbs\n";
    mara.post(&editor(group)).form(&[("text", text), ("edit", "0")]).await;
    let page = mara.get(&editor(group)).await;
    let add = attributes(&page, ".problem a[href^='/movements/new']", "href").remove(0);
    assert_eq!(attributes(&mara.get(&add).await, "#name", "value"), ["flurbs"]);
    let note = attributes(&page, ".problem button[value$='Note: ']", "value").remove(0);
    let edit = attributes(&page, "[name=edit]", "value").remove(0);
    mara.post(&editor(group)).form(&[("text", text), ("edit", edit.as_str()), ("mend", note.as_str())]).await;
    let page = mara.get(&editor(group)).await;
    assert!(texts(&page, "#text")[0].contains("Note: 10 flurbs"));
    assert!(texts(&page, ".problem").is_empty());
}

#[tokio::test]
async fn two_tabs_never_overwrite_each_other() {
    let (practice, mara, group) = harbour().await;
    practice.app.store.save_draft(group, DAY, 1, "theirs", 0, NOW).await.unwrap();
    let page = mara.post(&editor(group)).form(&[("text", "mine"), ("edit", "0")]).await;
    assert_eq!(page.status_code(), 409);
    assert_eq!((texts(&page, "#text"), texts(&page, "#theirs")), (vec!["mine".to_owned()], vec!["theirs".to_owned()]));
    assert_eq!(practice.app.store.slot(group, DAY, 1).await.unwrap().unwrap().draft, "theirs");
    let edit = attributes(&page, "[name=edit]", "value").remove(0);
    assert_eq!(mara.post(&editor(group)).form(&[("text", "mine".to_owned()), ("edit", edit)]).await.status_code(), 303);
    assert_eq!(practice.app.store.slot(group, DAY, 1).await.unwrap().unwrap().draft, "mine");
}

#[tokio::test]
async fn the_fragment_saves_and_says_which_draft_it_is() {
    let (practice, mara, group) = harbour().await;
    let address = format!("{}/reading", editor(group));
    let first = mara.post(&address).form(&[("text", GOOD), ("edit", "0")]).await;
    assert_eq!((first.status_code().as_u16(), first.header("dowel-edit")), (200, "1".parse().unwrap()));
    assert_eq!(texts(&first, "html").len(), texts(&first, "h3").len().min(1));
    let stale = mara.post(&address).form(&[("text", "other"), ("edit", "0")]).await;
    assert_eq!(stale.status_code(), 409);
    assert_eq!(practice.app.store.slot(group, DAY, 1).await.unwrap().unwrap().draft, GOOD);
}

#[tokio::test]
async fn a_problem_names_its_place_and_a_suggestion_mends_it() {
    let (practice, mara, group) = harbour().await;
    let text = "Warm-up\n10 air sqats, slow\n";
    mara.post(&editor(group)).form(&[("text", text), ("edit", "0")]).await;
    let page = mara.get(&editor(group)).await;
    assert_eq!(texts(&page, ".problem .at"), ["Error at 2:4"]);
    let mend = attributes(&page, ".problem button", "value").remove(0);
    let known = mend.split(':').next_back().unwrap().to_owned();
    let form = [("text", text), ("edit", "1"), ("mend", mend.as_str())];
    assert_eq!(mara.post(&editor(group)).form(&form).await.status_code(), 303);
    let draft = practice.app.store.slot(group, DAY, 1).await.unwrap().unwrap().draft;
    assert_eq!(draft, format!("Warm-up\n10 {known}, slow\n"));
}

#[tokio::test]
async fn what_a_part_is_for_is_set_in_one_tap_and_follows_the_part() {
    let (practice, mara, group) = harbour().await;
    mara.post(&editor(group)).form(&[("text", GOOD), ("edit", "0")]).await;
    let address = format!("{}/intents", editor(group));
    let form = [("text", GOOD), ("edit", "1"), ("intent", "1:technique")];
    assert_eq!(mara.post(&address).form(&form).await.status_code(), 303);
    let intents = practice.app.store.slot(group, DAY, 1).await.unwrap().unwrap().intents;
    assert_eq!(intents.get(&1), Some(&Intent::Technique));
    let page = mara.get(&editor(group)).await;
    assert_eq!(texts(&page, ".got .chip")[1], "Purpose of Goblet squat: technique, set by you");
    let longer = GOOD.replace("A. Goblet", "Accessory\n3 x 8 single-arm row, each side\n\nA. Goblet");
    mara.post(&editor(group)).form(&[("text", longer.as_str()), ("edit", "2")]).await;
    let intents = practice.app.store.slot(group, DAY, 1).await.unwrap().unwrap().intents;
    assert_eq!(intents.get(&2), Some(&Intent::Technique));
}

#[tokio::test]
async fn publishing_says_what_it_will_do_and_leaves_errors_as_drafts() {
    let (practice, mara, group) = harbour().await;
    let ines = practice.member("Ines", group).await;
    let store = &practice.app.store;
    store.save_draft(group, DAY, 1, GOOD, 0, NOW).await.unwrap();
    store.save_draft(group, DAY + Duration::days(1), 1, BAD, 0, NOW).await.unwrap();
    let page = mara.get(&format!("{}/publish", week(group))).await;
    let new = texts(&page, "#new + ul li");
    assert!(new.len() == 1 && new[0].starts_with("Wednesday 25 November: Tide table"), "{new:?}");
    assert_eq!(texts(&page, "#blocked ~ article h3"), ["Thursday 26 November: Odd day"]);
    assert!(texts(&page, ".publish p")[0].starts_with("1 member of Harbour will see 1 session"));
    assert!(store.live_on(ines, DAY).await.unwrap().is_empty(), "showing the page publishes nothing");
    assert!(publish(&mara, group).await.ends_with("said=published-some"));
    assert_eq!(store.live_on(ines, DAY).await.unwrap()[0].session.title, "Tide table");
    assert!(store.live_on(ines, DAY + Duration::days(1)).await.unwrap().is_empty());
}

#[tokio::test]
async fn what_is_still_asked_is_said_before_publishing_and_holds_nothing_up() {
    let (practice, mara, group) = harbour().await;
    practice
        .app
        .store
        .save_draft(group, DAY, 1, "EMOM 12\n12/9 cal bike\n10 DB hang power clean 22.5/15 kg\n12 T2B\n", 0, NOW)
        .await
        .unwrap();
    let page = mara.get(&format!("{}/publish", week(group))).await;
    assert_eq!(texts(&page, ".chip.ask"), ["1 open question"]);
    assert_eq!(texts(&page, ".problem.ask p").len(), 1);
    assert!(publish(&mara, group).await.ends_with("said=published"));
}

#[tokio::test]
async fn a_week_that_changed_after_it_was_shown_is_not_published() {
    let (practice, mara, group) = harbour().await;
    let ines = practice.member("Ines", group).await;
    let store = &practice.app.store;
    store.save_draft(group, DAY, 1, GOOD, 0, NOW).await.unwrap();
    let address = format!("{}/publish", week(group));
    let mark = attributes(&mara.get(&address).await, "[name=mark]", "value").remove(0);
    store.save_draft(group, DAY, 1, &GOOD.replace("10 air", "20 air"), 1, NOW).await.unwrap();
    let page = mara.post(&address).form(&[("mark", mark)]).await;
    assert_eq!((page.status_code().as_u16(), texts(&page, "[role=alert]").len()), (409, 1));
    assert!(store.live_on(ines, DAY).await.unwrap().is_empty());
}

#[tokio::test]
async fn a_change_is_shown_line_by_line_and_its_note_reaches_members() {
    let (practice, mara, group) = harbour().await;
    let ines = practice.member("Ines", group).await;
    let store = &practice.app.store;
    let (id, _) = store.save_draft(group, DAY, 1, GOOD, 0, NOW).await.unwrap();
    publish(&mara, group).await;
    store.save_draft(group, DAY, 1, &GOOD.replace("10 air", "20 air"), 1, NOW).await.unwrap();
    assert_eq!(texts(&mara.get(&week(group)).await, ".weekday.today .chip"), ["changed since published"]);
    let address = format!("{}/publish", week(group));
    let page = mara.get(&address).await;
    assert_eq!(
        (texts(&page, "del"), texts(&page, "ins")),
        (vec!["- 10 air squats".to_owned()], vec!["+ 20 air squats".to_owned()])
    );
    let left_empty = &texts(&page, &format!("#note-{id}-hint"))[0];
    assert!(left_empty.contains("members read: Warm-up: 20 air squat; it was 10 air squat."), "{left_empty}");
    let mark = attributes(&page, "[name=mark]", "value").remove(0);
    mara.post(&address)
        .form(&[("mark", mark), (&format!("note-{id}"), "more squats".to_owned())].map(|(k, v)| (k.to_owned(), v)))
        .await;
    let live = store.live_for(ines, id).await.unwrap();
    assert_eq!((live.number, live.change_note.as_str()), (2, "more squats"));
}

#[tokio::test]
async fn a_published_session_keeps_what_the_coach_said_it_is_for() {
    let (practice, mara, group) = harbour().await;
    let ines = practice.member("Ines", group).await;
    let form = [("text", GOOD), ("edit", "0"), ("intent", "0:mobility")];
    mara.post(&editor(group)).form(&form).await;
    publish(&mara, group).await;
    let live = practice.app.store.live_on(ines, DAY).await.unwrap();
    assert_eq!(live[0].session.parts[0].intent, Intent::Mobility);
}

#[tokio::test]
async fn one_session_or_the_week_is_taken_back_and_results_are_kept() {
    let (practice, mara, group) = harbour().await;
    let ines = practice.member("Ines", group).await;
    let coach = practice.coach("Otto").await;
    let place = published::publish(&practice, group, coach, DAY, published::slow_then_fast()).await;
    let address = format!("{}/unpublish", week(group));
    assert_eq!(texts(&mara.get(&address).await, "tbody tr").len(), 1);
    assert_eq!(mara.post(&address).form(&[("session", "999")]).await.status_code(), 404);
    let response = mara.post(&address).form(&[("session", place.id.to_string())]).await;
    assert_eq!(response.status_code(), 303);
    assert!(practice.app.store.live_on(ines, DAY).await.unwrap().is_empty());
    assert_eq!(practice.app.store.slot_by_id(place.id).await.unwrap().draft, "typed");
}

#[tokio::test]
async fn before_a_change_is_published_it_says_how_many_results_stand_on_what_was() {
    let (practice, mara, group) = harbour().await;
    let coach = practice.coach("Otto").await;
    let place = published::publish(&practice, group, coach, DAY, published::slow_then_fast()).await;
    let store = &practice.app.store;
    let edit = store.slot_by_id(place.id).await.unwrap().draft_edit;
    store.save_draft(group, DAY, 1, GOOD, edit, NOW).await.unwrap();
    let said = ["1 result stands on an earlier version. ", "2 results stand on earlier versions. "];
    for (name, words) in ["Ines", "Odo"].into_iter().zip(said) {
        let member = practice.member(name, group).await;
        store.log_result(member, &published::timed(place, name, "7:42", 462.0), NOW).await.unwrap();
        let page = mara.get(&format!("{}/publish", week(group))).await;
        assert!(texts(&page, "article p").iter().any(|p| p.starts_with(words)), "{words}");
    }
}

#[tokio::test]
async fn the_whole_week_is_taken_back_at_once_and_stays_as_drafts() {
    let (practice, mara, group) = harbour().await;
    let ines = practice.member("Ines", group).await;
    let store = &practice.app.store;
    let days = [DAY - Duration::days(2), DAY, DAY + Duration::days(4)];
    for day in days {
        store.save_draft(group, day, 1, GOOD, 0, NOW).await.unwrap();
    }
    publish(&mara, group).await;
    let elsewhere = practice.group("Lighthouse").await;
    store.save_draft(elsewhere, DAY, 1, GOOD, 0, NOW).await.unwrap();
    publish(&mara, elsewhere).await;
    let response = mara.post(&format!("{}/unpublish", week(group))).form(&[("session", "")]).await;
    assert_eq!(location(&response), format!("{}?said=unpublished", week(group)));
    for day in days {
        assert!(store.live_on(ines, day).await.unwrap().is_empty(), "{day}");
        assert_eq!(store.slot(group, day, 1).await.unwrap().unwrap().draft, GOOD, "{day}");
    }
    assert!(store.slot(elsewhere, DAY, 1).await.unwrap().unwrap().live.is_some());
}

#[tokio::test]
async fn a_week_is_copied_to_another_and_nothing_there_is_lost() {
    let (practice, mara, group) = harbour().await;
    let store = &practice.app.store;
    store.save_draft(group, DAY, 1, GOOD, 0, NOW).await.unwrap();
    let address = format!("{}/copy", week(group));
    for day in ["2026-11-24", "soon", ""] {
        let form = [("group", group.to_string()), ("day", day.to_owned())];
        let page = mara.post(&address).form(&form).await;
        assert_eq!((page.status_code().as_u16(), texts(&page, "#day-error").len()), (422, 1), "{day}");
    }
    let form = [("group", group.to_string()), ("day", "2026-12-02".to_owned())];
    assert!(location(&mara.post(&address).form(&form).await).ends_with("2026-11-30?said=copied"));
    assert!(location(&mara.post(&address).form(&form).await).ends_with("said=copied-some"));
    assert_eq!(store.slot(group, DAY + Duration::days(7), 1).await.unwrap().unwrap().draft, GOOD);
}

#[tokio::test]
async fn a_draft_can_be_deleted_and_a_published_session_not() {
    let (practice, mara, group) = harbour().await;
    let address = format!("{}/delete", editor(group));
    assert_eq!(mara.post(&address).await.status_code(), 404);
    practice.app.store.save_draft(group, DAY, 1, GOOD, 0, NOW).await.unwrap();
    publish(&mara, group).await;
    assert_eq!(mara.post(&address).await.status_code(), 400);
    practice.app.store.save_draft(group, DAY, 2, GOOD, 0, NOW).await.unwrap();
    let second = format!("/groups/{group}/days/2026-11-25/2/delete");
    assert_eq!(mara.post(&second).await.status_code(), 303);
    assert!(practice.app.store.slot(group, DAY, 2).await.unwrap().is_none());
}

#[tokio::test]
async fn an_address_of_a_video_must_be_https() {
    let (practice, mara, group) = harbour().await;
    let address = format!("{}/video", editor(group));
    let page = mara.post(&address).form(&[("url", "http://video.example/1")]).await;
    assert_eq!((page.status_code().as_u16(), texts(&page, "#url-error").len()), (422, 1));
    assert_eq!(attributes(&page, "#url", "value"), ["http://video.example/1"]);
    assert_eq!(mara.post(&address).form(&[("url", "https://video.example/1")]).await.status_code(), 303);
    let video = practice.app.store.slot(group, DAY, 1).await.unwrap().unwrap().video;
    assert_eq!(video.url.as_deref(), Some("https://video.example/1"));
}

fn file(bytes: Vec<u8>) -> MultipartForm {
    MultipartForm::new().add_part("file", Part::bytes(bytes).file_name("talk.mp4").mime_type("video/mp4"))
}

#[tokio::test]
async fn an_uploaded_video_lies_under_its_hash_and_the_same_one_lies_there_once() {
    let (practice, mara, group) = harbour().await;
    let mut bytes = b"\x00\x00\x00\x18ftypisom\x00\x00\x02\x00".to_vec();
    // more than an ordinary form may bring
    bytes.resize(3_000_000, 7);
    let address = format!("{}/video/file", editor(group));
    for _ in 0..2 {
        assert_eq!(mara.post(&address).multipart(file(bytes.clone())).await.status_code(), 303);
    }
    let media = practice.app.store.slot(group, DAY, 1).await.unwrap().unwrap().video.media.unwrap();
    let media = practice.app.store.media(media).await.unwrap();
    assert_eq!((media.name.as_str(), media.kind.as_str(), media.bytes), ("talk.mp4", "video/mp4", 3_000_000));
    let folder = practice.app.config.data.join("media");
    assert_eq!(std::fs::read(folder.join(&media.hash)).unwrap(), bytes);
    assert_eq!(std::fs::read_dir(folder).unwrap().count(), 1);
}

#[tokio::test]
async fn a_file_that_is_no_video_or_too_large_leaves_nothing_behind() {
    let (practice, mara, group) = harbour().await;
    let address = format!("{}/video/file", editor(group));
    let mut large = b"\x00\x00\x00\x18ftypisom\x00\x00\x02\x00".to_vec();
    large.resize(5_000_001, 7);
    for (bytes, status) in [(b"<script>".to_vec(), 422), (Vec::new(), 422), (large, 413)] {
        let page = mara.post(&address).multipart(file(bytes)).await;
        assert_eq!((page.status_code().as_u16(), texts(&page, "#file-error").len()), (status, 1));
    }
    assert_eq!(std::fs::read_dir(practice.app.config.data.join("media")).unwrap().count(), 0);
    assert!(practice.app.store.slot(group, DAY, 1).await.unwrap().is_none());
}

#[tokio::test]
async fn an_ordinary_form_may_not_be_huge() {
    let (_practice, mara, group) = harbour().await;
    let text = "x".repeat(300_000);
    assert_eq!(mara.post(&editor(group)).form(&[("text", text.as_str())]).await.status_code(), 413);
}

#[tokio::test]
async fn how_to_write_shows_examples_with_what_is_understood() {
    let (_practice, mara, _) = harbour().await;
    let page = mara.get("/how-to-write").await;
    assert_eq!(texts(&page, "h1"), ["How to write a session"]);
    assert!(texts(&page, ".got").len() >= texts(&page, "pre").len());
    assert!(texts(&page, ".got .chip").iter().any(|chip| chip.contains("shorter")));
}
