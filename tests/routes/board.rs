//! Leaderboards, nods, and the coach's list of results.

use crate::practice::{NOW, Practice, attributes, location, texts};
use crate::published::{DAY, Place, log, publish, slow_then_fast, timed};
use dowel::store::ids::{GroupId, PersonId, ResultId};
use dowel::store::people::Units;
use dowel::store::results::NewResult;
use dowel::store::weeks::ToPublish;
use dowel::training::member::KitItem;
use dowel::training::session::{PartOption, Session};
use serde_json::json;
use time::OffsetDateTime;
use time::macros::datetime;

struct Bench {
    practice: Practice,
    coach: PersonId,
    harbour: GroupId,
    ines: PersonId,
    odo: PersonId,
    outsider: PersonId,
    at: Place,
}

async fn bench_of(session: Session) -> Bench {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let harbour = practice.group("Harbour").await;
    let lighthouse = practice.group("Lighthouse").await;
    let ines = practice.member("Ines", harbour).await;
    let odo = practice.member("Odo", harbour).await;
    let outsider = practice.member("Pia", lighthouse).await;
    let at = publish(&practice, harbour, coach, DAY, session).await;
    Bench { practice, coach, harbour, ines, odo, outsider, at }
}

async fn bench() -> Bench {
    bench_of(slow_then_fast()).await
}

impl Bench {
    fn board(&self) -> String {
        format!("/sessions/{}/parts/1/board", self.at.id)
    }

    fn results(&self) -> String {
        format!("/sessions/{}/results", self.at.id)
    }

    async fn timed(&self, who: PersonId, seconds: f64) -> ResultId {
        let text = format!("{}:{:02}", (seconds / 60.0).floor(), seconds % 60.0);
        log(&self.practice, who, &timed(self.at, &format!("{who}-{seconds}"), &text, seconds)).await
    }

    /// Another member of the group who logged this time.
    async fn other(&self, name: &str, seconds: f64) -> ResultId {
        let id = self.practice.member(name, self.harbour).await;
        self.timed(id, seconds).await
    }
}

#[tokio::test]
async fn a_board_is_for_its_group_and_coaches() {
    let b = bench().await;
    for address in [b.board(), b.results()] {
        assert!(location(&b.practice.browser().get(&address).await).starts_with("/sign-in"), "{address}");
    }
    assert_eq!(b.practice.as_person(b.outsider).await.get(&b.board()).await.status_code(), 404);
    assert_eq!(b.practice.as_person(b.ines).await.get(&b.board()).await.status_code(), 200);
    assert_eq!(b.practice.as_person(b.coach).await.get(&b.board()).await.status_code(), 200);
    assert_eq!(b.practice.as_person(b.ines).await.get(&b.results()).await.status_code(), 404);
}

#[tokio::test]
async fn a_part_or_session_that_is_not_there_is_not_found() {
    let b = bench().await;
    let coach = b.practice.as_person(b.coach).await;
    for address in
        [format!("/sessions/{}/parts/7/board", b.at.id), "/sessions/999/parts/0/board".into(), "/sessions/999/results".into()]
    {
        assert_eq!(coach.get(&address).await.status_code(), 404, "{address}");
    }
}

#[tokio::test]
async fn an_empty_board_says_how_to_begin() {
    let b = bench().await;
    let page = b.practice.as_person(b.ines).await.get(&b.board()).await;
    assert_eq!(attributes(&page, ".empty a", "href"), ["/days/2026-11-25"]);
}

#[tokio::test]
async fn places_are_shared_and_one_finds_oneself_at_once() {
    let b = bench().await;
    b.timed(b.ines, 540.0).await;
    b.timed(b.odo, 540.0).await;
    b.other("Ada", 500.0).await;
    b.other("Bo", 600.0).await;
    let page = b.practice.as_person(b.ines).await.get(&b.board()).await;
    let ranks: Vec<String> = texts(&page, ".rank").iter().map(|r| r.replace("Place ", "")).collect();
    assert_eq!(ranks, ["1", "2", "2", "4"]);
    assert_eq!(texts(&page, ".place.you .who"), ["Ines you"]);
    assert_eq!(texts(&page, ".notice.mine"), ["You: place 2 of 4 as written, 9:00"]);
    assert!(texts(&page, ".place.you .why p")[0].contains("shared"));
    assert_eq!(texts(&page, ".dots text.you"), ["you"]);
}

#[tokio::test]
async fn whoever_is_not_shown_leaves_no_gap_and_no_trace() {
    let b = bench().await;
    let hidden = NewResult { hidden: true, ..timed(b.at, "h", "7:00", 420.0) };
    log(&b.practice, b.odo, &hidden).await;
    b.timed(b.ines, 540.0).await;
    let mut ada = b.practice.app.store.person(b.practice.member("Ada", b.harbour).await).await.unwrap();
    ada.shown = false;
    b.practice.app.store.save_person(&ada).await.unwrap();
    b.timed(ada.id, 500.0).await;
    let withdrawn = b.other("Bo", 510.0).await;
    let bo = b.practice.app.store.result_for_coach(withdrawn).await.unwrap().person_id;
    b.practice.app.store.withdraw_result(bo, withdrawn, NOW).await.unwrap();
    let page = b.practice.as_person(b.ines).await.get(&b.board()).await;
    assert_eq!(texts(&page, ".who"), ["Ines you"]);
    assert_eq!(texts(&page, ".rank"), ["Place 1"]);
    let own = b.practice.as_person(b.odo).await.get(&b.board()).await;
    assert_eq!(texts(&own, ".place").len(), 1);
    assert!(texts(&own, ".notice.mine")[0].contains("kept off the board"), "who hides it is told so");
}

#[tokio::test]
async fn effort_pain_and_notes_never_reach_the_board() {
    let b = bench().await;
    let told = NewResult {
        rpe: Some(9.5),
        minutes: Some(11.0),
        note: "slept badly".to_owned(),
        hurt: Some("left knee".to_owned()),
        ..timed(b.at, "one", "9:00", 540.0)
    };
    log(&b.practice, b.odo, &told).await;
    for reader in [b.ines, b.odo, b.coach] {
        let page = b.practice.as_person(reader).await.get(&b.board()).await;
        for word in ["9.5", "slept", "knee"] {
            assert!(!texts(&page, "main")[0].contains(word), "{word}");
        }
    }
}

#[tokio::test]
async fn versions_stand_in_groups_or_in_one_list() {
    let mut session = slow_then_fast();
    session.parts[1].options = vec![PartOption { name: "shorter".to_owned(), time_cap_s: Some(600.0), ..PartOption::default() }];
    let b = bench_of(session).await;
    b.timed(b.ines, 700.0).await;
    let shorter = NewResult { version_done: "shorter".to_owned(), ..timed(b.at, "s", "5:00", 300.0) };
    log(&b.practice, b.odo, &shorter).await;
    let browser = b.practice.as_person(b.ines).await;
    let page = browser.get(&b.board()).await;
    assert_eq!(texts(&page, "main section h2"), ["As written 1", "Shorter 1"]);
    let one = browser.get(&format!("{}?list=one", b.board())).await;
    assert_eq!(texts(&one, ".who"), ["Odo", "Ines you"]);
}

#[tokio::test]
async fn another_movement_is_listed_with_the_swap_and_no_reason() {
    let b = bench().await;
    let given = json!([[{ "movement": "push-up" }], [{ "movement": "chair squat", "why": "you keep deep knee bends out" }]]);
    let adapted = NewResult { version_done: "adapted".to_owned(), given: Some(given), ..timed(b.at, "a", "6:00", 360.0) };
    log(&b.practice, b.odo, &adapted).await;
    let page = b.practice.as_person(b.ines).await.get(&b.board()).await;
    assert_eq!(texts(&page, "#listed .how"), ["adapted: chair squat"]);
    assert_eq!(texts(&page, "#listed .rank"), [""]);
    assert!(!texts(&page, "main")[0].contains("knee"), "why it was changed is private");
}

#[tokio::test]
async fn a_held_result_is_between_its_owner_and_the_coach() {
    let b = bench().await;
    let held = NewResult { score: None, doubt: Some("9 minutes or 9 seconds?".to_owned()), ..timed(b.at, "one", "9", 0.0) };
    log(&b.practice, b.odo, &held).await;
    for (reader, seen) in [(b.odo, 1), (b.coach, 1), (b.ines, 0)] {
        let page = b.practice.as_person(reader).await.get(&b.board()).await;
        assert_eq!(texts(&page, "#held .place").len(), seen);
        assert_eq!(texts(&page, "section:not(#held) .place").len(), 0);
    }
}

#[tokio::test]
async fn members_see_nicknames_and_the_coach_sees_names_with_a_way_to_the_person() {
    let b = bench().await;
    let mut odo = b.practice.app.store.person(b.odo).await.unwrap();
    odo.nickname = Some("Oak".to_owned());
    b.practice.app.store.save_person(&odo).await.unwrap();
    b.timed(b.odo, 540.0).await;
    let seen = b.practice.as_person(b.ines).await.get(&b.board()).await;
    assert_eq!((texts(&seen, ".who"), texts(&seen, ".who a").len()), (vec!["Oak".to_owned()], 0));
    let coach = b.practice.as_person(b.coach).await.get(&b.board()).await;
    assert_eq!(texts(&coach, ".who"), ["Odo"]);
    assert_eq!(attributes(&coach, ".who a", "href"), [format!("/people/{}", b.odo)]);
}

#[tokio::test]
async fn loads_are_read_in_the_readers_unit() {
    let b = bench().await;
    let lift = json!({ "kind": "load", "lifts": [{ "weight": 100.0, "unit": "kg", "reps": 3 }] });
    let heavy = NewResult { part: 0, score: Some(lift), load_kg: Some(100.0), ..timed(b.at, "l", "100 kg x 3", 0.0) };
    log(&b.practice, b.odo, &heavy).await;
    let mut ines = b.practice.app.store.person(b.ines).await.unwrap();
    ines.units = Units::Lb;
    b.practice.app.store.save_person(&ines).await.unwrap();
    let page = b.practice.as_person(b.ines).await.get(&format!("/sessions/{}/parts/0/board", b.at.id)).await;
    // 100 kg = 220.46 lb (1 lb = 0.45359237 kg)
    assert_eq!(texts(&page, ".result"), ["100 kg x 3 (220.5 lb)"]);
    assert_eq!(texts(&page, ".how"), ["as written, 220.5 lb"]);
}

#[tokio::test]
async fn a_result_of_another_work_is_listed_and_a_renamed_part_is_the_same() {
    let b = bench().await;
    b.timed(b.ines, 540.0).await;
    let store = &b.practice.app.store;
    let again = |session: Session, edit| ToPublish { id: b.at.id, draft_edit: edit, session, change_note: String::new() };
    let mut renamed = slow_then_fast();
    renamed.parts[1].name = "Ten quick rounds".to_owned();
    store.publish(&[again(renamed, 1)], b.coach, NOW).await.unwrap();
    let browser = b.practice.as_person(b.ines).await;
    assert_eq!(texts(&browser.get(&b.board()).await, ".rank"), ["Place 1"]);
    let mut harder = slow_then_fast();
    harder.parts[1].lines.pop();
    store.publish(&[again(harder, 1)], b.coach, NOW).await.unwrap();
    let page = browser.get(&b.board()).await;
    assert!(texts(&page, "#listed .why p")[0].contains("earlier version"));
}

#[tokio::test]
async fn what_was_written_when_it_was_done_is_no_adaptation_after_an_edit() {
    let b = bench().await;
    let given = json!([[{ "movement": "push-up" }], [{ "movement": "chair squat" }]]);
    let adapted = NewResult { version_done: "adapted".to_owned(), given: Some(given), ..timed(b.at, "a", "6:00", 360.0) };
    log(&b.practice, b.odo, &adapted).await;
    let mut without = slow_then_fast();
    without.parts[1].lines.remove(0);
    let again = ToPublish { id: b.at.id, draft_edit: 1, session: without, change_note: String::new() };
    b.practice.app.store.publish(&[again], b.coach, NOW).await.unwrap();
    let page = b.practice.as_person(b.ines).await.get(&b.board()).await;
    assert_eq!(texts(&page, "#listed .how"), ["adapted: chair squat"], "the push-up was written in version 1");
    assert!(!texts(&page, "#listed .why p")[0].contains("push-up"));
}

#[tokio::test]
async fn the_rules_stand_on_the_board() {
    let b = bench().await;
    let rules = texts(&b.practice.as_person(b.ines).await.get(&b.board()).await, "#rules li");
    assert!(rules.iter().any(|r| r.contains("share a place")), "{rules:?}");
}

#[tokio::test]
async fn a_nod_is_one_tap_and_one_more_takes_it_back() {
    let b = bench().await;
    let id = b.timed(b.odo, 540.0).await;
    let ines = b.practice.as_person(b.ines).await;
    let address = format!("/results/{id}/nod");
    assert_eq!(location(&ines.post(&address).await), format!("{}#result-{id}", b.board()));
    assert_eq!(attributes(&ines.get(&b.board()).await, ".nods button", "aria-pressed"), ["true"]);
    assert_eq!(texts(&b.practice.as_person(b.odo).await.get(&b.board()).await, ".nods"), ["1 nod"]);
    ines.post(&address).await;
    assert_eq!(attributes(&ines.get(&b.board()).await, ".nods button", "aria-pressed"), ["false"]);
}

#[tokio::test]
async fn one_nods_only_at_what_one_can_see_and_not_at_oneself() {
    let b = bench().await;
    let own = b.timed(b.ines, 540.0).await;
    let hidden = log(&b.practice, b.odo, &NewResult { hidden: true, ..timed(b.at, "h", "7:00", 420.0) }).await;
    let ines = b.practice.as_person(b.ines).await;
    for id in [own, hidden, ResultId(999)] {
        assert_eq!(ines.post(&format!("/results/{id}/nod")).await.status_code(), 404);
    }
    let outsider = b.practice.as_person(b.outsider).await;
    assert_eq!(outsider.post(&format!("/results/{own}/nod")).await.status_code(), 404);
    assert!(location(&b.practice.browser().post(&format!("/results/{own}/nod")).await).starts_with("/sign-in"));
}

#[tokio::test]
async fn the_coach_reads_everything_and_sees_who_has_not_logged() {
    let b = bench().await;
    let told = NewResult {
        rpe: Some(8.0),
        minutes: Some(11.5),
        note: "slept badly".to_owned(),
        hurt: Some("left knee".to_owned()),
        hidden: true,
        load_kg: Some(22.5),
        ..timed(b.at, "one", "9 min", 540.0)
    };
    log(&b.practice, b.ines, &told).await;
    let page = b.practice.as_person(b.coach).await.get(&b.results()).await;
    let entry = &texts(&page, "#logged tr.hurt")[0];
    for words in [
        "Ines",
        "B. Ten rounds",
        "9 min",
        "understood as 9:00",
        "22.5 kg",
        "11.5",
        " 8 ",
        "slept badly",
        "left knee",
        "off the board",
    ] {
        assert!(entry.contains(words), "{words} in {entry}");
    }
    assert_eq!(texts(&page, "#missing li"), ["Odo"]);
    assert_eq!(texts(&page, "#boards li").len(), 2);
    assert_eq!(texts(&page, ".tile b"), ["1", "1", "1"]);
}

#[tokio::test]
async fn a_result_keeps_the_version_it_was_done_on_before_the_coach() {
    let b = bench().await;
    b.timed(b.ines, 540.0).await;
    let mut turned = slow_then_fast();
    turned.parts.reverse();
    let out = ToPublish { id: b.at.id, draft_edit: 1, session: turned, change_note: String::new() };
    b.practice.app.store.publish(&[out], b.coach, NOW).await.unwrap();
    let page = b.practice.as_person(b.coach).await.get(&b.results()).await;
    let entry = texts(&page, "#logged tbody tr").concat();
    assert!(entry.contains("B. Ten rounds") && entry.contains("done on version 1"), "{entry}");
}

#[tokio::test]
async fn a_session_that_was_never_published_has_no_results_page() {
    let b = bench().await;
    let (draft, _) = b.practice.app.store.save_draft(b.harbour, DAY.next_day().unwrap(), 1, "soon", 0, NOW).await.unwrap();
    let coach = b.practice.as_person(b.coach).await;
    assert_eq!(coach.get(&format!("/sessions/{draft}/results")).await.status_code(), 404);
}

/// The form of rules as a browser sends it, with these changes.
fn rules<'a>(changes: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let usual = [("list", "versions"), ("attempts", "first"), ("tie", "none"), ("step", "0.5"), ("grace", "24")];
    let kept = usual.into_iter().filter(|(name, _)| !changes.iter().any(|(other, _)| other == name));
    kept.chain(changes.iter().copied()).collect()
}

#[tokio::test]
async fn the_rules_are_the_coachs_and_each_address_asks_who_it_is() {
    let b = bench().await;
    for address in [format!("/groups/{}/board-rules", b.harbour), format!("{}-rules", b.board())] {
        assert!(location(&b.practice.browser().get(&address).await).starts_with("/sign-in"), "{address}");
        let ines = b.practice.as_person(b.ines).await;
        assert_eq!(ines.get(&address).await.status_code(), 404);
        assert_eq!(ines.post(&address).form(&rules(&[])).await.status_code(), 404);
        let coach = b.practice.as_person(b.coach).await;
        assert_eq!(coach.get(&address).await.status_code(), 200);
        assert_eq!(location(&coach.post(&address).form(&rules(&[])).await), format!("{address}?said=saved"));
        let wrong = coach.post(&address).form(&rules(&[("step", "heavy"), ("closes_time", "21:00")])).await;
        assert_eq!(wrong.status_code(), 422);
        assert_eq!(attributes(&wrong, "#step, #closes_time", "value"), ["heavy", "21:00"]);
        assert_eq!(texts(&wrong, "#step-error, #closes_days-error").len(), 2);
    }
    let coach = b.practice.as_person(b.coach).await;
    for address in ["/groups/999/board-rules", "/sessions/999/parts/0/board-rules", "/sessions/1/parts/9/board-rules"] {
        assert_eq!(coach.get(address).await.status_code(), 404, "{address}");
    }
}

#[tokio::test]
async fn a_parts_own_rules_come_before_its_groups_and_members_read_them_as_sentences() {
    let b = bench().await;
    let coach = b.practice.as_person(b.coach).await;
    coach.post(&format!("/groups/{}/board-rules", b.harbour)).form(&rules(&[("list", "one")])).await;
    let ines = b.practice.as_person(b.ines).await;
    let said = texts(&ines.get(&b.board()).await, "#rules li, #rules p");
    assert!(said.iter().any(|s| s == "All versions stand in one list."), "{said:?}");
    assert!(said.iter().any(|s| s == "The coach set these for the group on Wednesday 25 November."), "{said:?}");
    let own = format!("{}-rules", b.board());
    coach.post(&own).form(&rules(&[("attempts", "best"), ("tie", "clock"), ("tie_words", "the time after round five")])).await;
    let said = texts(&ines.get(&b.board()).await, "#rules li");
    for sentence in ["As written stands first", "You may try more than once; the best attempt counts.", "round five"] {
        assert!(said.iter().any(|s| s.contains(sentence)), "{sentence} in {said:?}");
    }
    coach.post(&own).form(&[("reset", "yes")]).await;
    assert!(texts(&ines.get(&b.board()).await, "#rules li").contains(&"All versions stand in one list.".to_owned()));
}

#[tokio::test]
async fn where_more_attempts_count_another_can_be_logged_and_the_best_stands() {
    let b = bench().await;
    b.timed(b.ines, 540.0).await;
    let ines = b.practice.as_person(b.ines).await;
    assert!(!texts(&ines.get("/today").await, "#s1p1 summary").contains(&"Log another attempt".to_owned()));
    let coach = b.practice.as_person(b.coach).await;
    coach.post(&format!("{}-rules", b.board())).form(&rules(&[("attempts", "best")])).await;
    assert!(texts(&ines.get("/today").await, "#s1p1 summary").contains(&"Log another attempt".to_owned()));
    b.timed(b.ines, 500.0).await;
    b.timed(b.ines, 560.0).await;
    assert_eq!(texts(&ines.get(&b.board()).await, ".place .result"), ["8:20"]);
}

#[tokio::test]
async fn a_board_closes_by_the_members_own_day_with_a_grace_for_the_way_in() {
    let b = bench().await;
    let coach = b.practice.as_person(b.coach).await;
    coach.post(&format!("{}-rules", b.board())).form(&rules(&[("closes_days", "0"), ("grace", "12")])).await;
    let store = &b.practice.app.store;
    let logged = async |name: &str, zone: &str, at: OffsetDateTime, done_on| {
        let id = b.practice.member_in(name, b.harbour, zone).await;
        let result = NewResult { done_on, ..timed(b.at, name, "9:00", 540.0) };
        store.log_result(id, &result, at).await.unwrap();
    };
    // the day ends in Lisbon at midnight UTC; in Honolulu ten hours later
    logged("Ada", "Europe/Lisbon", datetime!(2026-11-25 23:50 UTC), DAY).await;
    logged("Bo", "Pacific/Honolulu", datetime!(2026-11-26 09:00 UTC), DAY).await;
    logged("Cy", "Europe/Lisbon", datetime!(2026-11-26 08:00 UTC), DAY).await;
    logged("Di", "Europe/Lisbon", datetime!(2026-11-26 08:00 UTC), DAY.next_day().unwrap()).await;
    logged("Ed", "Europe/Lisbon", datetime!(2026-11-26 12:30 UTC), DAY).await;
    let page = coach.get(&b.board()).await;
    assert_eq!(texts(&page, "section:not(#listed) .who"), ["Ada", "Bo", "Cy"]);
    assert_eq!(texts(&page, "#listed .who"), ["Di", "Ed"]);
    let why = texts(&page, "#listed .why p:first-of-type");
    assert!(why[0].contains("done after the end of the day") && why[1].contains("more than 12 h"), "{why:?}");
}

#[tokio::test]
async fn what_was_typed_in_time_without_a_signal_is_in_time() {
    let b = bench().await;
    let coach = b.practice.as_person(b.coach).await;
    coach
        .post(&format!("{}-rules", b.board()))
        .form(&rules(&[("closes_days", "0"), ("closes_time", "18:00"), ("grace", "2")]))
        .await;
    let came = datetime!(2026-11-25 18:45 UTC);
    for (name, typed) in [("Ada", datetime!(2026-11-25 17:45 UTC)), ("Bo", datetime!(2026-11-25 18:10 UTC))] {
        let id = b.practice.member_in(name, b.harbour, "Europe/Lisbon").await;
        let edit = typed.unix_timestamp() * 1000;
        let result = NewResult { edit, done_on: DAY, ..timed(b.at, name, "9:00", 540.0) };
        b.practice.app.store.log_result(id, &result, came).await.unwrap();
    }
    let page = coach.get(&b.board()).await;
    assert_eq!(texts(&page, "section:not(#listed) .who"), ["Ada"]);
    assert_eq!(texts(&page, "#listed .who"), ["Bo"]);
}

#[tokio::test]
async fn whoever_left_the_group_is_no_longer_on_its_boards_and_leaves_no_gap() {
    let b = bench().await;
    b.timed(b.odo, 500.0).await;
    b.timed(b.ines, 540.0).await;
    let ines = b.practice.as_person(b.ines).await;
    assert_eq!(texts(&ines.get(&b.board()).await, ".who"), ["Odo", "Ines you"]);
    b.practice.app.store.leave_group(b.harbour, b.odo).await.unwrap();
    let page = ines.get(&b.board()).await;
    assert_eq!((texts(&page, ".who"), texts(&page, ".rank")), (vec!["Ines you".to_owned()], vec!["Place 1".to_owned()]));
}

#[tokio::test]
async fn one_sees_who_trains_with_the_same_kit() {
    let b = bench().await;
    let item = |name: &str| KitItem { item: name.to_owned(), ..KitItem::default() };
    let store = &b.practice.app.store;
    store.save_kit(b.ines, &[item("stick"), item("kettlebell")], NOW).await.unwrap();
    store.save_kit(b.odo, &[item("barbell"), item("dumbbell")], NOW).await.unwrap();
    b.timed(b.ines, 540.0).await;
    b.timed(b.odo, 500.0).await;
    b.other("Ada", 520.0).await;
    let ines = b.practice.as_person(b.ines).await;
    let page = ines.get(&b.board()).await;
    assert!(texts(&page, ".choices a").contains(&"Kit like yours: dumbbells or kettlebells".to_owned()));
    assert_eq!(texts(&ines.get(&format!("{}?kit=bells", b.board())).await, ".who"), ["Ines you"]);
    // what others have at home is theirs and the coach's
    for other in ["bar", "light"] {
        let page = ines.get(&format!("{}?kit={other}", b.board())).await;
        assert_eq!(texts(&page, ".who"), ["Odo", "Ada", "Ines you"], "{other}");
        assert!(!texts(&page, ".choices a").iter().any(|words| words.starts_with("With ")), "{other}");
    }
    let coach = b.practice.as_person(b.coach).await;
    assert_eq!(texts(&coach.get(&format!("{}?kit=bar", b.board())).await, ".who"), ["Odo"]);
    assert_eq!(texts(&coach.get(&format!("{}?kit=light", b.board())).await, ".who"), ["Ada"]);
}

#[tokio::test]
async fn all_groups_are_one_list_only_where_the_coach_lets_members_see_it() {
    let b = bench().await;
    let lighthouse = b.practice.app.store.groups_of(b.outsider).await.unwrap()[0].id;
    let there = publish(&b.practice, lighthouse, b.coach, DAY, slow_then_fast()).await;
    log(&b.practice, b.outsider, &timed(there, "p", "8:00", 480.0)).await;
    b.timed(b.ines, 540.0).await;
    let all = format!("{}?groups=all", b.board());
    let coach = b.practice.as_person(b.coach).await;
    assert_eq!(texts(&coach.get(&all).await, ".who"), ["Pia", "Ines"]);
    let ines = b.practice.as_person(b.ines).await;
    assert_eq!(texts(&ines.get(&all).await, ".who"), ["Ines you"]);
    coach.post(&format!("{}-rules", b.board())).form(&rules(&[("across", "on")])).await;
    assert_eq!(texts(&ines.get(&all).await, ".who"), ["Pia", "Ines you"]);
}

#[tokio::test]
async fn one_nods_on_a_board_of_all_groups_and_comes_back_to_it() {
    let b = bench().await;
    let lighthouse = b.practice.app.store.groups_of(b.outsider).await.unwrap()[0].id;
    let there = publish(&b.practice, lighthouse, b.coach, DAY, slow_then_fast()).await;
    let pias = log(&b.practice, b.outsider, &timed(there, "p", "8:00", 480.0)).await;
    b.timed(b.ines, 540.0).await;
    let ines = b.practice.as_person(b.ines).await;
    let all = format!("{}?groups=all", b.board());
    let nod = format!("/results/{pias}/nod?session={}&part=1&groups=all", b.at.id);
    assert_eq!(ines.post(&nod).await.status_code(), 404, "the coach has not let members see it");
    let coach = b.practice.as_person(b.coach).await;
    coach.post(&format!("{}-rules", b.board())).form(&rules(&[("across", "on")])).await;
    assert_eq!(attributes(&ines.get(&all).await, "form.nods", "action"), std::slice::from_ref(&nod));
    assert_eq!(location(&ines.post(&nod).await), format!("{all}#result-{pias}"));
    assert_eq!(attributes(&ines.get(&all).await, ".nods button", "aria-pressed"), ["true"]);
    for elsewhere in [
        format!("/results/{pias}/nod"),
        format!("/results/{pias}/nod?session={}&part=1", b.at.id),
        format!("/results/{pias}/nod?session={}&part=0&groups=all", b.at.id),
        format!("/results/{pias}/nod?session={}&part=1&groups=all", there.id),
    ] {
        assert_eq!(ines.post(&elsewhere).await.status_code(), 404, "{elsewhere}");
    }
}

#[tokio::test]
async fn a_nod_leads_back_to_the_board_as_it_was_shown() {
    let b = bench().await;
    let id = b.timed(b.odo, 540.0).await;
    let ines = b.practice.as_person(b.ines).await;
    let shown = format!("{}?list=one&kit=light", b.board());
    let nod = attributes(&ines.get(&shown).await, "form.nods", "action").remove(0);
    assert_eq!(location(&ines.post(&nod).await), format!("{shown}#result-{id}"));
}

#[tokio::test]
async fn an_assistant_looks_on_and_does_not_nod() {
    let b = bench().await;
    let id = b.timed(b.odo, 540.0).await;
    b.practice.coach("Lou").await;
    b.practice.app.store.set_assistant(b.coach, true).await.unwrap();
    let assistant = b.practice.as_person(b.coach).await;
    assert!(attributes(&assistant.get(&b.board()).await, "form.nods", "action").is_empty());
    assert_eq!(assistant.post(&format!("/results/{id}/nod")).await.status_code(), 403);
}

#[tokio::test]
async fn a_group_that_does_the_same_twice_in_a_day_is_no_other_group() {
    let b = bench().await;
    let store = &b.practice.app.store;
    let (id, draft_edit) = store.save_draft(b.harbour, DAY, 2, "typed", 0, NOW).await.unwrap();
    let out = ToPublish { id, draft_edit, session: slow_then_fast(), change_note: String::new() };
    store.publish(&[out], b.coach, NOW).await.unwrap();
    let second = Place { id, version: store.versions(id).await.unwrap()[0].version_id };
    log(&b.practice, b.odo, &timed(second, "o", "8:00", 480.0)).await;
    b.timed(b.ines, 540.0).await;
    let coach = b.practice.as_person(b.coach).await;
    assert_eq!(texts(&coach.get(&format!("{}?groups=all", b.board())).await, ".who"), ["Ines"]);
}

#[tokio::test]
async fn a_board_is_asked_for_far_past_its_end_and_shows_ones_own_place() {
    let b = bench().await;
    b.timed(b.ines, 540.0).await;
    let ines = b.practice.as_person(b.ines).await;
    for from in ["18446744073709551615", "9999", "-1", "x"] {
        let page = ines.get(&format!("{}?table=full&from={from}", b.board())).await;
        assert!(page.status_code().as_u16() < 500, "{from}");
        if page.status_code() == 200 {
            assert_eq!(texts(&page, ".who"), ["Ines you"], "{from}");
        }
    }
}

#[tokio::test]
async fn of_a_long_board_one_sees_the_top_and_ones_own_place_and_can_go_on() {
    let b = bench().await;
    for n in 0..70_u32 {
        b.other(&format!("M{n:02}"), 500.0 + f64::from(n)).await;
    }
    b.timed(b.ines, 800.0).await;
    let ines = b.practice.as_person(b.ines).await;
    let page = ines.get(&b.board()).await;
    assert_eq!(texts(&page, ".place").len(), 50 + 3);
    assert_eq!(texts(&page, ".gap"), ["18 not shown here"]);
    assert_eq!(texts(&page, ".place.you .rank"), ["Place 71"]);
    let next = attributes(&page, "main section > p > a.button", "href");
    let further = ines.get(&format!("{}{}", b.board(), next[0])).await;
    assert_eq!(texts(&further, ".place").len(), 21);
    assert_eq!(texts(&further, ".rank")[0], "Place 51");
    assert!(attributes(&further, "main section > p > a.button", "href").is_empty());
}

#[tokio::test]
async fn the_boards_of_a_week_stand_on_one_page_for_the_group_and_its_coach() {
    let b = bench().await;
    for (name, seconds) in [("Ada", 500.0), ("Bo", 510.0), ("Cy", 520.0), ("Di", 530.0)] {
        b.other(name, seconds).await;
    }
    b.timed(b.ines, 540.0).await;
    let address = format!("/groups/{}/weeks/2026-11-23/board", b.harbour);
    let page = b.practice.as_person(b.ines).await.get(&address).await;
    assert_eq!(texts(&page, ".who"), ["Ada", "Bo", "Cy", "Ines you"]);
    assert_eq!(texts(&page, ".gap"), ["1 not shown here"]);
    assert_eq!(attributes(&page, "h3 a", "href"), [b.board()]);
    assert_eq!(texts(&page, ".notice"), ["You: place 5 of 5 as written, 9:00"]);
    assert_eq!(b.practice.as_person(b.coach).await.get(&address).await.status_code(), 200);
    assert_eq!(b.practice.as_person(b.outsider).await.get(&address).await.status_code(), 404);
    assert!(location(&b.practice.browser().get(&address).await).starts_with("/sign-in"));
    let ines = b.practice.as_person(b.ines).await;
    assert_eq!(ines.get(&format!("/groups/{}/weeks/2026-11-24/board", b.harbour)).await.status_code(), 404);
    let empty = ines.get(&format!("/groups/{}/weeks/2026-11-16/board", b.harbour)).await;
    assert_eq!(texts(&empty, ".empty").len(), 1);
}

#[tokio::test]
async fn news_of_a_board_are_for_those_who_may_see_it() {
    let b = bench().await;
    let address = format!("{}/changes", b.board());
    assert!(location(&b.practice.browser().get(&address).await).starts_with("/sign-in"));
    assert_eq!(b.practice.as_person(b.outsider).await.get(&address).await.status_code(), 404);
    let ines = b.practice.as_person(b.ines).await;
    assert_eq!(ines.get(&format!("/sessions/{}/parts/7/board/changes", b.at.id)).await.status_code(), 404);
    // told to stop, an open answer ends at once
    b.practice.app.live.end();
    let open = ines.get(&address).await;
    assert_eq!(open.headers().get("content-type").unwrap(), "text/event-stream");
    assert_eq!(open.headers().get("x-accel-buffering").unwrap(), "no");
    assert_eq!(attributes(&ines.get(&b.board()).await, "[data-fresh]", "data-fresh"), [address]);
}

#[tokio::test]
async fn a_change_of_the_session_is_seen_on_the_board_at_once() {
    let b = bench().await;
    b.timed(b.ines, 540.0).await;
    let ines = b.practice.as_person(b.ines).await;
    assert_eq!(texts(&ines.get(&b.board()).await, ".who").len(), 1);
    let mut person = b.practice.app.store.person(b.ines).await.unwrap();
    person.nickname = Some("Ivy".to_owned());
    b.practice.app.store.save_person(&person).await.unwrap();
    assert_eq!(texts(&ines.get(&b.board()).await, ".who"), ["Ivy you"]);
}

#[tokio::test]
async fn a_coach_corrects_with_a_reason_that_the_member_reads() {
    let b = bench().await;
    let told = NewResult { note: "slept badly".to_owned(), rpe: Some(8.0), ..timed(b.at, "one", "19:00", 1140.0) };
    let id = log(&b.practice, b.ines, &told).await;
    let address = format!("/results/{id}/correct");
    let coach = b.practice.as_person(b.coach).await;
    assert_eq!(attributes(&coach.get(&address).await, "#score", "value"), ["19:00"]);
    let form = |reason: &'static str, score: &'static str| {
        [("score", score), ("version", "full"), ("done_on", "2026-11-25"), ("reason", reason)]
    };
    let without = coach.post(&address).form(&form("", "9:00")).await;
    assert_eq!((without.status_code().as_u16(), texts(&without, "#reason-error").len()), (422, 1));
    assert_eq!(attributes(&without, "#score", "value"), ["9:00"]);
    assert_eq!(coach.post(&address).form(&form("I saw the clock.", "fast")).await.status_code(), 422);
    assert_eq!(location(&coach.post(&address).form(&form("I saw the clock.", "9:00")).await), format!("{address}?said=saved"));
    let now = b.practice.app.store.result(b.ines, id).await.unwrap();
    assert_eq!((now.score_text.as_str(), now.note.as_str(), now.rpe), ("9:00", "slept badly", Some(8.0)));
    let versions = texts(&coach.get(&address).await, "#versions .entry");
    assert!(
        versions[0].contains("19:00") && versions[0].contains("changed by you, today 12:00: I saw the clock."),
        "{versions:?}"
    );
    let ines = b.practice.as_person(b.ines).await;
    for page in ["/today", "/history"] {
        assert!(texts(&ines.get(page).await, "main")[0].contains("Corrected by Mara, today 12:00: I saw the clock."), "{page}");
    }
    assert!(
        texts(&ines.get(&format!("/results/{id}")).await, "main")[0].contains("changed by Mara, today 12:00: I saw the clock.")
    );
    assert_eq!(texts(&ines.get(&b.board()).await, ".result"), ["9:00"]);
}

#[tokio::test]
async fn only_a_coach_corrects_and_nothing_that_was_taken_back() {
    let b = bench().await;
    let id = b.timed(b.ines, 540.0).await;
    let address = format!("/results/{id}/correct");
    let form = [("score", "9:00"), ("version", "full"), ("reason", "why")];
    assert!(location(&b.practice.browser().get(&address).await).starts_with("/sign-in"));
    for member in [b.ines, b.odo] {
        let browser = b.practice.as_person(member).await;
        assert_eq!(browser.get(&address).await.status_code(), 404);
        assert_eq!(browser.post(&address).form(&form).await.status_code(), 404);
    }
    let coach = b.practice.as_person(b.coach).await;
    assert_eq!(coach.get("/results/999/correct").await.status_code(), 404);
    b.practice.app.store.withdraw_result(b.ines, id, NOW).await.unwrap();
    assert_eq!(coach.post(&address).form(&form).await.status_code(), 404);
}
