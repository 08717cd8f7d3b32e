//! Data out and in: tables, everything of one person, deleting for real, bringing in.

use crate::practice::{NOW, PASSWORD, Practice, location, texts};
use crate::published::{DAY, Place, log, publish, slow_then_fast, timed};
use axum_test::TestServer;
use axum_test::multipart::{MultipartForm, Part};
use dowel::store::Store;
use dowel::store::decisions::{Decided, NewDecision};
use dowel::store::ids::{GroupId, PersonId};
use dowel::store::maxes::MaxSource;
use dowel::store::questions::NewQuestion;
use dowel::store::results::{Editor, NewResult};
use dowel::store::tokens::Scope;
use dowel::training::session::{Intent, Line};
use dowel::training::tailor::{Pin, Whom, Wish, Wished};
use std::io::Read;
use time::Duration;

struct Harbour {
    practice: Practice,
    coach: PersonId,
    group: GroupId,
    ines: PersonId,
    at: Place,
}

impl Harbour {
    async fn new() -> Self {
        let practice = Practice::new().await;
        let coach = practice.coach("Mara").await;
        let group = practice.group("Harbour").await;
        let ines = practice.member("Ines", group).await;
        let at = publish(&practice, group, coach, DAY, slow_then_fast()).await;
        Self { practice, coach, group, ines, at }
    }

    async fn as_coach(&self) -> TestServer {
        self.practice.as_person(self.coach).await
    }

    /// A result with everything, also what is private.
    fn full(&self) -> NewResult {
        NewResult {
            note: "=HYPERLINK(\"x\")".to_owned(),
            hurt: Some("left wrist".to_owned()),
            minutes: Some(8.0),
            rpe: Some(7.5),
            load_text: "2 x 12 kg".to_owned(),
            load_kg: Some(12.0),
            ..timed(self.at, "one", "7:42", 462.0)
        }
    }
}

fn rows(text: &str) -> Vec<std::collections::HashMap<String, String>> {
    csv::Reader::from_reader(text.as_bytes()).deserialize().map(Result::unwrap).collect()
}

#[tokio::test]
async fn a_coach_takes_results_out_and_private_words_only_when_asked_for() {
    let h = Harbour::new().await;
    log(&h.practice, h.ines, &h.full()).await;
    let coach = h.as_coach().await;
    let address = format!("/groups/{}/results.csv", h.group);
    let table = coach.get(&address).await;
    assert_eq!(table.headers()["content-type"], "text/csv; charset=utf-8; header=present");
    let list = rows(&table.text());
    assert_eq!(list.len(), 1);
    let cell = |name: &str| list[0][name].as_str();
    assert_eq!((cell("person"), cell("session"), cell("part")), ("Ines", "Slow, then fast", "B. Ten rounds"));
    assert_eq!((cell("typed"), cell("score"), cell("version")), ("7:42", "7:42", "full"));
    assert_eq!(cell("corrected"), "");
    assert_eq!((cell("load_kg"), cell("load_typed"), cell("minutes"), cell("rpe")), ("12", "2 x 12 kg", "8", "7.5"));
    assert_eq!((cell("session_day"), cell("late"), cell("withdrawn")), ("2026-11-25", "", ""));
    assert!(!table.text().contains("wrist") && !table.text().contains("HYPERLINK"));
    let with = rows(&coach.get(&format!("{address}?notes=on&pain=on")).await.text());
    assert_eq!((with[0]["note"].as_str(), with[0]["hurt"].as_str()), ("'=HYPERLINK(\"x\")", "left wrist"));
    assert!(rows(&coach.get(&format!("{address}?from=2026-11-26")).await.text()).is_empty());
    assert_eq!(coach.get(&format!("{address}?from=soon")).await.status_code(), 400);
}

#[tokio::test]
async fn what_the_member_typed_stays_beside_what_the_coach_made_of_it() {
    let h = Harbour::new().await;
    let id = log(&h.practice, h.ines, &h.full()).await;
    let mended = NewResult { score_text: "8:42".to_owned(), load_text: "2 x 10 kg".to_owned(), ..h.full() };
    h.practice.app.store.edit_result(Editor::Coach(h.coach, "I saw the clock."), id, &mended, NOW).await.unwrap();
    let table = rows(&h.as_coach().await.get(&format!("/groups/{}/results.csv", h.group)).await.text());
    let cell = |name: &str| table[0][name].as_str();
    assert_eq!((cell("typed"), cell("corrected"), cell("load_typed")), ("7:42", "8:42", "2 x 12 kg"));
}

#[tokio::test]
async fn a_result_that_was_taken_back_or_came_late_says_so() {
    let h = Harbour::new().await;
    let late = NewResult { done_on: DAY + Duration::days(1), ..h.full() };
    let id = log(&h.practice, h.ines, &late).await;
    h.practice.app.store.withdraw_result(h.ines, id, NOW).await.unwrap();
    let list = rows(&h.as_coach().await.get(&format!("/groups/{}/results.csv", h.group)).await.text());
    assert_eq!((list[0]["late"].as_str(), list[0]["withdrawn"].as_str()), ("yes", "yes"));
}

#[tokio::test]
async fn tables_are_for_the_coach_alone() {
    let h = Harbour::new().await;
    let member = h.practice.as_person(h.ines).await;
    for path in ["results.csv", "members.csv", "data"].map(|p| format!("/groups/{}/{p}", h.group)) {
        assert!(location(&h.practice.browser().get(&path).await).starts_with("/sign-in"), "{path}");
        assert_eq!(member.get(&path).await.status_code(), 404, "{path}");
    }
    let coach = h.as_coach().await;
    assert_eq!(coach.get("/groups/99/results.csv").await.status_code(), 404);
    let members = rows(&coach.get(&format!("/groups/{}/members.csv", h.group)).await.text());
    assert_eq!((members[0]["name"].as_str(), members[0]["sign_in"].as_str()), ("Ines", "ines@example.org"));
}

#[tokio::test]
async fn everything_of_one_member_comes_in_one_file() {
    let h = Harbour::new().await;
    let id = log(&h.practice, h.ines, &h.full()).await;
    let changed = NewResult { score_text: "7:40".to_owned(), ..h.full() };
    h.practice.app.store.edit_result(Editor::Owner(h.ines), id, &changed, NOW).await.unwrap();
    let member = h.practice.as_person(h.ines).await;
    let coach = h.as_coach().await;
    for file in [member.get("/you/data/bundle").await, coach.get(&format!("/people/{}/data/bundle", h.ines)).await] {
        let mut zip = zip::ZipArchive::new(std::io::Cursor::new(file.as_bytes().to_vec())).unwrap();
        let mut text = String::new();
        zip.by_name("everything.json").unwrap().read_to_string(&mut text).unwrap();
        let all: serde_json::Value = serde_json::from_str(&text).unwrap();
        assert_eq!(all["person"]["sign_in"], "ines@example.org");
        assert_eq!(all["results"][0]["logged"]["score_text"], "7:40");
        assert_eq!(all["results"][0]["earlier"][0]["before"]["score_text"], "7:42");
        assert_eq!(all["questions"][0]["text"], "left wrist");
        let mut table = String::new();
        zip.by_name("results.csv").unwrap().read_to_string(&mut table).unwrap();
        assert_eq!(rows(&table)[0]["hurt"], "left wrist");
    }
}

#[tokio::test]
async fn data_of_a_person_is_theirs_and_the_coachs() {
    let h = Harbour::new().await;
    let other = h.practice.member("Odd", h.group).await;
    let other = h.practice.as_person(other).await;
    for path in ["", "/bundle"].map(|p| format!("/people/{}/data{p}", h.ines)) {
        assert!(location(&h.practice.browser().get(&path).await).starts_with("/sign-in"));
        assert_eq!(other.get(&path).await.status_code(), 404);
        assert_eq!(h.as_coach().await.get(&path.replace(&h.ines.to_string(), &h.coach.to_string())).await.status_code(), 404);
    }
    assert_eq!(other.post(&format!("/people/{}/data/delete", h.ines)).form(&[("confirm", "Ines")]).await.status_code(), 404);
    assert!(h.practice.app.store.person(h.ines).await.is_ok());
}

/// Every table and column that holds one of these words, or the person's number in a column that points at people.
async fn left_in(folder: &std::path::Path, id: PersonId, words: &[&str]) -> Vec<String> {
    use sqlx::Row;
    let file = sqlx::sqlite::SqliteConnectOptions::new().filename(folder.join("dowel.db")).read_only(true);
    let pool = sqlx::SqlitePool::connect_with(file).await.unwrap();
    let tables: Vec<String> =
        sqlx::query_scalar("select name from sqlite_schema where type = 'table'").fetch_all(&pool).await.unwrap();
    let mut left = Vec::new();
    for table in tables {
        let columns: Vec<String> = sqlx::query("select name from pragma_table_info($1)")
            .bind(&table)
            .fetch_all(&pool)
            .await
            .unwrap()
            .iter()
            .map(|r| r.get(0))
            .collect();
        let people: Vec<String> = sqlx::query("select \"from\" from pragma_foreign_key_list($1) where \"table\" = 'people'")
            .bind(&table)
            .fetch_all(&pool)
            .await
            .unwrap()
            .iter()
            .map(|r| r.get(0))
            .collect();
        for column in &columns {
            for word in words {
                let sql = format!("select count(*) from \"{table}\" where cast(\"{column}\" as text) like '%' || $1 || '%'");
                let n: i64 = sqlx::query_scalar(sqlx::AssertSqlSafe(sql)).bind(word).fetch_one(&pool).await.unwrap();
                left.extend((n > 0).then(|| format!("{table}.{column} holds {word}")));
            }
            if people.contains(column) || (table == "people" && column == "id") {
                let sql = format!("select count(*) from \"{table}\" where \"{column}\" = $1");
                let n: i64 = sqlx::query_scalar(sqlx::AssertSqlSafe(sql)).bind(id).fetch_one(&pool).await.unwrap();
                left.extend((n > 0).then(|| format!("{table}.{column} points at them")));
            }
        }
    }
    left
}

const WORDS: [&str; 4] = ["Zebulonia", "zebulonia@example.org", "quince elbow", "plum note"];

/// A member who left something in every table that holds something of people.
async fn zebulonia(h: &Harbour) -> PersonId {
    let (store, id): (&Store, PersonId) = (&h.practice.app.store, h.practice.member("Zebulonia", h.group).await);
    let new =
        NewResult { hurt: Some("quince elbow".to_owned()), note: "plum note".to_owned(), ..timed(h.at, "z", "7:00", 420.0) };
    let result = log(&h.practice, id, &new).await;
    store.edit_result(Editor::Owner(id), result, &new, NOW).await.unwrap();
    store.toggle_nod(result, h.ines, NOW).await.unwrap();
    store.toggle_nod(log(&h.practice, h.ines, &h.full()).await, id, NOW).await.unwrap();
    store.save_limits(id, &[], Some("plum note")).await.unwrap();
    let decided = NewDecision { words: "plum note", decided: &Decided::Hold, said: "quince elbow", answer: "No." };
    store.decide(id, &decided, h.coach, NOW).await.unwrap();
    store.add_max(id, "front squat", 60.0, (MaxSource::Tested, DAY), NOW).await.unwrap();
    let past = dowel::store::past::PastResult {
        day: DAY,
        title: "Row".to_owned(),
        kind: dowel::training::session::ScoreKind::Time,
        score_text: "7:42".to_owned(),
        score: dowel::training::score::Score::Time { seconds: 462.0 },
        note: "plum note".to_owned(),
        movement: None,
        beside: String::new(),
    };
    store.import_past(&[(id, past)], h.coach, NOW).await.unwrap();
    // logged once more from a page that did not know of the first: one result, and a send that is remembered
    log(&h.practice, id, &NewResult { client_id: "z2".to_owned(), edit: 2, ..new }).await;
    store.mark_seen(result, h.coach, NOW).await.unwrap();
    store.spoke_with(id, h.coach, NOW).await.unwrap();
    let passkey = dowel::store::passkeys::NewPasskey {
        credential_id: vec![9; 20],
        handle: "018f2b9e-0000-4000-8000-000000000000".to_owned(),
        name: "plum note".to_owned(),
        body: "{}".to_owned(),
    };
    store.add_passkey(id, &passkey, NOW).await.unwrap();
    let wished = Wished { part: 1, line: 0, movement: "push-up".to_owned(), wish: Wish::TooHeavy };
    store.save_wish(id, h.at.id, &wished, &wished.movement, NOW).await.unwrap();
    let question = NewQuestion {
        session_id: h.at.id,
        version: None,
        part: None,
        line: None,
        text: "quince elbow?".to_owned(),
        client_id: Some("q1".to_owned()),
    };
    store.ask(id, &question, NOW).await.unwrap();
    let pin = Pin {
        id: 0,
        session: None,
        whom: Whom::Member(id.0),
        movement: "push-up".to_owned(),
        intent: Intent::Strength,
        becomes: Line { movement: "plank".to_owned(), note: Some("plum note".to_owned()), ..Line::default() },
    };
    store.add_pin(&pin, NOW).await.unwrap();
    id
}

/// Tables whose rows go with a member's, by column: all but uploads, which coaches alone have.
async fn tables_of_members(folder: &std::path::Path) -> Vec<String> {
    let file = sqlx::sqlite::SqliteConnectOptions::new().filename(folder.join("dowel.db")).read_only(true);
    let pool = sqlx::SqlitePool::connect_with(file).await.unwrap();
    sqlx::query_scalar(
        "select t.name || '.' || f.\"from\" from sqlite_schema t, pragma_foreign_key_list(t.name) f
         where t.type = 'table' and f.\"table\" = 'people' and f.on_delete = 'CASCADE' and t.name <> 'uploads'",
    )
    .fetch_all(&pool)
    .await
    .unwrap()
}

#[tokio::test]
async fn what_is_taken_along_is_everything() {
    let h = Harbour::new().await;
    let id = zebulonia(&h).await;
    let browser = h.practice.as_person(id).await;
    h.as_coach().await.post(&format!("/people/{id}/level")).form(&[("level", "advanced")]).await;
    let file = browser.get("/you/data/bundle").await;
    let mut zip = zip::ZipArchive::new(std::io::Cursor::new(file.as_bytes().to_vec())).unwrap();
    let mut text = String::new();
    zip.by_name("everything.json").unwrap().read_to_string(&mut text).unwrap();
    let all: serde_json::Value = serde_json::from_str(&text).unwrap();
    let beside = &all["beside"];
    assert_eq!(beside["devices"].as_array().unwrap().len(), 1);
    assert_eq!(beside["devices"][0]["signed_in_at"], "2026-11-25T12:00:00Z");
    assert_eq!(beside["passkeys"][0]["name"], "plum note");
    assert_eq!(beside["password_links"].as_array().unwrap().len(), 1);
    let yours: Vec<bool> = beside["nods"].as_array().unwrap().iter().map(|n| n["yours"].as_bool().unwrap()).collect();
    assert!(yours.len() == 2 && yours.contains(&true) && yours.contains(&false), "{yours:?}");
    assert_eq!(beside["chosen_for_you"][0]["becomes"]["movement"], "plank");
    let decided = &beside["decided_about_your_words"][0];
    assert_eq!((&decided["words"], &decided["decided"], &decided["by"]), (&"plum note".into(), &"hold".into(), &"Mara".into()));
    assert_eq!(beside["spoken_with_at"], "2026-11-25T12:00:00Z");
    let trail: Vec<(&str, bool)> = beside["trail"]
        .as_array()
        .unwrap()
        .iter()
        .map(|t| (t["what"].as_str().unwrap(), t["by_you"].as_bool().unwrap()))
        .collect();
    assert!(trail.contains(&("signed in", true)) && trail.contains(&("changed the level of", false)), "{trail:?}");
    assert_eq!(all["said_at_lines"][0]["movement"], "push-up");
    assert!(all["questions"].as_array().unwrap().iter().any(|q| q["text"] == "quince elbow?" && q["pain"] == false));
    let mut readme = String::new();
    zip.by_name("README.txt").unwrap().read_to_string(&mut readme).unwrap();
    assert!(readme.contains("Where and when you signed in"));
}

#[tokio::test]
async fn a_member_deletes_themself_and_nothing_is_left_anywhere() {
    let h = Harbour::new().await;
    let id = zebulonia(&h).await;
    let browser = h.practice.as_person(id).await;
    let folder = &h.practice.app.config.data;
    // setting the password to sign in ended the token
    let until = NOW + Duration::days(9);
    h.practice.app.store.add_token(id, &[8; 32], "for Zebulonia", &[Scope::Read], (NOW, until)).await.unwrap();
    let there = left_in(folder, id, &WORDS).await;
    for column in tables_of_members(folder).await {
        assert!(there.contains(&format!("{column} points at them")), "nothing of them in {column}: {there:?}");
    }
    let page = browser.get("/you/data").await;
    assert!(page.text().contains("Backups hold a copy"));
    let wrong = browser.post("/you/data/delete").form(&[("confirm", "guessed")]).await;
    assert_eq!((wrong.status_code().as_u16(), texts(&wrong, "#confirm-error").len()), (422, 1));
    assert!(h.practice.app.store.person(id).await.is_ok());
    let gone = browser.post("/you/data/delete").form(&[("confirm", PASSWORD)]).await;
    assert_eq!(location(&gone), "/sign-in?said=erased");
    assert_eq!(left_in(folder, id, &WORDS).await, [""; 0]);
    assert!(location(&browser.get("/today").await).starts_with("/sign-in"));
    let board = h.as_coach().await.get(&format!("/sessions/{}/parts/1/board", h.at.id)).await;
    assert!(!board.text().contains("Zebulonia") && board.text().contains("Ines"));
    // not in freed pages and not in the log either
    h.practice.app.store.close().await;
    for file in std::fs::read_dir(folder).unwrap().map(|f| f.unwrap().path()).filter(|f| f.is_file()) {
        let bytes = std::fs::read(&file).unwrap();
        for word in WORDS {
            assert!(!bytes.windows(word.len()).any(|w| w == word.as_bytes()), "{word} in {}", file.display());
        }
    }
}

#[tokio::test]
async fn a_coach_deletes_a_member_by_typing_the_name_and_never_a_coach() {
    let h = Harbour::new().await;
    let id = zebulonia(&h).await;
    let coach = h.as_coach().await;
    let address = format!("/people/{id}/data/delete");
    assert_eq!(coach.post(&address).form(&[("confirm", "Zeb")]).await.status_code(), 422);
    assert_eq!(location(&coach.post(&address).form(&[("confirm", "Zebulonia")]).await), "/groups?said=erased");
    assert_eq!(left_in(&h.practice.app.config.data, id, &WORDS).await, [""; 0]);
    let own = coach.post(&format!("/people/{}/data/delete", h.coach)).form(&[("confirm", "Mara")]).await;
    assert_eq!(own.status_code(), 404);
    assert!(h.practice.app.store.erase_member(h.coach).await.is_err());
}

#[tokio::test]
async fn invitations_that_nobody_used_do_not_keep_the_name_of_somebody_deleted() {
    let h = Harbour::new().await;
    let store = &h.practice.app.store;
    let id = zebulonia(&h).await;
    for label in ["Zebulonia", "for zebulonia (again)", "Ines' sister"] {
        store.invite(h.group, label, Some(h.coach), NOW).await.unwrap();
    }
    store.erase_member(id).await.unwrap();
    assert_eq!(left_in(&h.practice.app.config.data, id, &WORDS).await, [""; 0]);
    let labels: Vec<String> = store.open_invitations(h.group, NOW).await.unwrap().into_iter().map(|l| l.label).collect();
    assert_eq!(labels, ["Ines' sister", "", ""]);
}

#[tokio::test]
async fn nobody_gets_the_number_of_somebody_deleted() {
    let h = Harbour::new().await;
    let last = h.practice.member("Odo", h.group).await;
    h.practice.app.store.erase_member(last).await.unwrap();
    let next = h.practice.member("Signe", h.group).await;
    assert!(next > last, "{next:?} after {last:?}");
    h.practice.app.store.erase_member(next).await.unwrap();
    assert!(h.practice.member("Tove", h.group).await > next);
}

async fn send(browser: &TestServer, group: GroupId, what: &str, csv: &str, go: bool) -> axum_test::TestResponse {
    let mut form = MultipartForm::new().add_text("what", what).add_text("csv", csv);
    if go {
        form = form.add_text("go", "yes");
    }
    browser.post(&format!("/groups/{group}/import")).multipart(form).await
}

const MEMBERS: &str = "name,sign_in,zone,units\nNele,nele@example.org,Europe/Lisbon,lb\nTimo,timo,,\n";

#[tokio::test]
async fn members_come_in_after_a_look_each_with_a_link_and_never_twice() {
    let h = Harbour::new().await;
    let coach = h.as_coach().await;
    let look = send(&coach, h.group, "members", MEMBERS, false).await;
    assert_eq!(look.status_code(), 200);
    assert_eq!(texts(&look, "tbody tr th"), ["2", "3"]);
    assert_eq!(h.practice.app.store.members_of(h.group).await.unwrap().len(), 1, "a look changes nothing");
    assert_eq!(
        location(&send(&coach, h.group, "members", MEMBERS, true).await),
        format!("/groups/{}/data?said=imported", h.group)
    );
    let page = coach.get(&format!("/groups/{}/data", h.group)).await;
    let links = texts(&page, "#waiting ~ ul code");
    assert_eq!(links.len(), 2);
    let again = send(&coach, h.group, "members", MEMBERS, true).await;
    assert_eq!(again.status_code(), 303);
    assert_eq!(h.practice.app.store.members_of(h.group).await.unwrap().len(), 3);
    let nele = h.practice.browser();
    let set = nele.post(crate::practice::path(&links[0])).form(&[("password", PASSWORD)]).await;
    assert_eq!(set.status_code(), 303);
    assert_eq!(location(&nele.get("/today").await), "/welcome/kit");
}

#[tokio::test]
async fn a_file_is_taken_as_the_lines_are() {
    let h = Harbour::new().await;
    let file = Part::bytes(MEMBERS.as_bytes().to_vec()).file_name("members.csv").mime_type("text/csv");
    let form = MultipartForm::new().add_text("what", "members").add_part("file", file).add_text("csv", "");
    let look = h.as_coach().await.post(&format!("/groups/{}/import", h.group)).multipart(form).await;
    assert_eq!(texts(&look, "tbody .chip"), ["new", "new"]);
    let old = Part::bytes(b"name,sign_in\nJos\xe9,jose\n".to_vec()).file_name("m.csv").mime_type("text/csv");
    let form = MultipartForm::new().add_text("what", "members").add_part("file", old).add_text("csv", "");
    let look = h.as_coach().await.post(&format!("/groups/{}/import", h.group)).multipart(form).await;
    assert!(texts(&look, "#unreadable")[0].contains("UTF-8"));
}

#[tokio::test]
async fn a_line_that_is_wrong_holds_everything_back_and_is_named() {
    let h = Harbour::new().await;
    let coach = h.as_coach().await;
    let csv = "name,sign_in,zone\nNele,nele,Moon/Base\nTimo,timo,\nTimo again,TIMO,\nInes,ines@example.org,\n";
    let answer = send(&coach, h.group, "members", csv, true).await;
    assert_eq!(answer.status_code(), 422);
    assert_eq!(texts(&answer, "tbody .chip"), ["error", "new", "double", "double"]);
    let row = &texts(&answer, "tbody tr")[0];
    assert!(row.contains("Nele, nele, Moon/Base error zone “Moon/Base”:"), "{row}");
    assert_eq!(
        texts(&answer, "textarea")[0],
        csv.split_whitespace().collect::<Vec<_>>().join(" "),
        "what was typed is still there"
    );
    assert_eq!(h.practice.app.store.members_of(h.group).await.unwrap().len(), 1);
}

const RESULTS: &str = "person,date,title,kind,score,note\nines@example.org,2025-03-01,Deadlift,load,100 kg,felt light\n\
    INES@example.org,2025-03-02,Row 2k,time,7:42,\n";

#[tokio::test]
async fn past_results_come_into_the_history_once_and_on_no_board() {
    let h = Harbour::new().await;
    let coach = h.as_coach().await;
    for _ in 0..2 {
        assert_eq!(send(&coach, h.group, "results", RESULTS, true).await.status_code(), 303);
    }
    let past = h.practice.app.store.past_results(h.ines).await.unwrap();
    assert_eq!(past.len(), 2);
    let page = h.practice.as_person(h.ines).await.get("/history").await;
    assert_eq!(texts(&page, "#past + ol .result"), ["7:42", "100 kg"]);
    let look = send(&coach, h.group, "results", RESULTS, false).await;
    assert_eq!(texts(&look, "tbody .chip"), ["double", "double"]);
}

#[tokio::test]
async fn a_past_result_without_a_unit_or_of_a_stranger_is_an_error() {
    let h = Harbour::new().await;
    let csv = "person,date,title,kind,score\nines@example.org,2025-03-01,Deadlift,load,100\nnobody,2025-03-01,Row,time,7:42\n";
    let answer = send(&h.as_coach().await, h.group, "results", csv, true).await;
    let rows = texts(&answer, "tbody tr");
    assert!(rows[0].contains("score “100”:") && rows[1].contains("person “nobody”:"), "{rows:?}");
    assert!(h.practice.app.store.past_results(h.ines).await.unwrap().is_empty());
}

#[tokio::test]
async fn only_a_coach_brings_in() {
    let h = Harbour::new().await;
    let member = h.practice.as_person(h.ines).await;
    assert_eq!(send(&member, h.group, "members", MEMBERS, true).await.status_code(), 404);
    assert!(location(&send(&h.practice.browser(), h.group, "members", MEMBERS, true).await).starts_with("/sign-in"));
    assert_eq!(send(&h.as_coach().await, GroupId(99), "members", MEMBERS, true).await.status_code(), 404);
}
