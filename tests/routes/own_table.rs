//! A table of results as Dowel gives it out comes back in: into another practice as a member's past, into the same one as nothing
//! new.

use crate::practice::{Practice, location, texts};
use crate::published::{DAY, Place, log, publish, slow_then_fast, timed};
use axum_test::multipart::MultipartForm;
use axum_test::{TestResponse, TestServer};
use dowel::store::ids::{GroupId, PersonId};
use dowel::store::past::PastResult;
use dowel::store::results::{Editor, NewResult};
use dowel::training::score::{Lift, MassUnit, Score};
use dowel::training::session::ScoreKind;

struct Harbour {
    practice: Practice,
    coach: PersonId,
    browser: TestServer,
    group: GroupId,
    ines: PersonId,
    at: Place,
}

impl Harbour {
    async fn new() -> Self {
        let practice = Practice::new().await;
        let coach = practice.coach("Mara").await;
        let browser = practice.as_person(coach).await;
        let group = practice.group("Harbour").await;
        let ines = practice.member("Ines", group).await;
        let at = publish(&practice, group, coach, DAY, slow_then_fast()).await;
        Self { practice, coach, browser, group, ines, at }
    }

    async fn squat(&self) {
        let lifts = serde_json::json!({"kind": "load", "lifts": [{"weight": 135.0, "unit": "lb"}]});
        let new = NewResult { part: 0, score: Some(lifts), ..timed(self.at, "squat", "135", 0.0) };
        log(&self.practice, self.ines, &new).await;
    }

    /// Everything that one may log: a time that was corrected, a lift, one taken back, one held.
    async fn full(&self) {
        let new = NewResult {
            note: "=warm".to_owned(),
            hurt: Some("left wrist".to_owned()),
            minutes: Some(8.0),
            rpe: Some(7.5),
            load_text: "2 x 12 kg".to_owned(),
            load_kg: Some(12.0),
            ..timed(self.at, "one", "7:42", 462.0)
        };
        let id = log(&self.practice, self.ines, &new).await;
        let mended = NewResult {
            score_text: "7:50".to_owned(),
            score: Some(serde_json::json!({ "kind": "time", "seconds": 470.0 })),
            ..new
        };
        let store = &self.practice.app.store;
        store.edit_result(Editor::Coach(self.coach, "I saw it."), id, &mended, crate::practice::NOW).await.unwrap();
        self.squat().await;
        let odo = self.practice.member("Odo", self.group).await;
        let back = log(&self.practice, odo, &timed(self.at, "back", "9:00", 540.0)).await;
        store.withdraw_result(odo, back, crate::practice::NOW).await.unwrap();
        let held =
            NewResult { part: 0, score: None, doubt: Some("Is that kg or lb?".to_owned()), ..timed(self.at, "held", "60", 0.0) };
        log(&self.practice, odo, &held).await;
    }

    async fn table(&self) -> String {
        self.browser.get(&format!("/groups/{}/results.csv?notes=on&pain=on", self.group)).await.text()
    }

    async fn send(&self, csv: &str, go: bool) -> TestResponse {
        let mut form = MultipartForm::new().add_text("what", "results").add_text("csv", csv);
        if go {
            form = form.add_text("go", "yes");
        }
        self.browser.post(&format!("/groups/{}/import", self.group)).multipart(form).await
    }

    async fn past(&self, who: PersonId) -> Vec<PastResult> {
        self.practice.app.store.past_results(who).await.unwrap()
    }
}

#[tokio::test]
async fn in_the_same_practice_every_line_is_there_already() {
    let h = Harbour::new().await;
    h.full().await;
    let look = h.send(&h.table().await, false).await;
    assert_eq!(look.status_code(), 200);
    assert_eq!(texts(&look, "tbody .chip"), ["double", "left out", "double", "left out"]);
    let rows = texts(&look, "tbody td:last-child");
    assert!(rows.iter().any(|r| r.contains("logged here already")), "{rows:?}");
    assert!(
        rows.iter().any(|r| r.contains("taken back"))
            && rows.iter().any(|r| r.contains("no score yet: left out. Is that kg or lb?"))
    );
    assert!(texts(&look, "[role=status]")[0].starts_with("0 new, 2 there already, 2 left out, 0 with an error."));
    assert!(!look.text().contains("Nothing is taken from"), "every column is known");
}

#[tokio::test]
async fn in_another_practice_it_becomes_a_past_with_all_that_was_typed() {
    let (from, to) = (Harbour::new().await, Harbour::new().await);
    from.full().await;
    to.practice.member("Odo", to.group).await;
    let table = from.table().await;
    let look = to.send(&table, false).await;
    assert_eq!(texts(&look, "tbody .chip"), ["new", "left out", "new", "left out"], "{}", table);
    assert!(texts(&look, "tbody td:last-child")[0].contains("as 135 lb x 3, among the bests of goblet squat"));
    assert!(to.past(to.ines).await.is_empty(), "a look changes nothing");
    for _ in 0..2 {
        assert_eq!(location(&to.send(&table, true).await), format!("/groups/{}/data?said=imported", to.group));
    }
    let past = to.past(to.ines).await;
    assert_eq!(past.len(), 2, "twice is once");
    let find = |kind: ScoreKind| past.iter().find(|p| p.kind == kind).unwrap();
    let time = find(ScoreKind::Time);
    assert_eq!((time.score_text.as_str(), &time.score), ("7:50", &Score::Time { seconds: 470.0 }));
    assert_eq!((time.day, time.title.as_str()), (DAY, "Slow, then fast: B. Ten rounds"));
    assert_eq!(time.beside, "as written · 2 x 12 kg · 8 min · effort 7.5");
    assert_eq!(time.note, "=warm Hurt: left wrist Typed first: 7:42");
    let squat = find(ScoreKind::Load);
    let lift = Lift { weight: 135.0, unit: Some(MassUnit::Lb), reps: Some(3), implements: 1, added: false };
    assert_eq!(squat.score, Score::Load { lifts: vec![lift] }, "in the unit that was typed, with the reps that were asked for");
    assert_eq!((squat.score_text.as_str(), squat.movement.as_deref()), ("135", Some("goblet squat")));
    let page = to.practice.as_person(to.ines).await.get("/history").await;
    assert_eq!(texts(&page, "[aria-label='Your lifts'] tbody th"), ["goblet squat"]);
}

#[tokio::test]
async fn a_table_without_sign_ins_goes_by_names_that_only_one_has() {
    let h = Harbour::new().await;
    let head = "person,session_day,session,part,typed,done_on,kind";
    let line = |who: &str| format!("{who},2025-03-01,Row,A. Row,7:42,2025-03-01,time");
    let look = h.send(&format!("{head}\n{}\n{}\n", line("ines"), line("Signe")), false).await;
    assert_eq!(texts(&look, "tbody .chip"), ["new", "error"]);
    assert!(texts(&look, "tbody tr")[1].contains("person “Signe”: Nobody in Harbour has this name."));
    let other = h.practice.member("Bo", h.group).await;
    let bo = h.practice.app.store.person(other).await.unwrap();
    h.practice.app.store.save_person(&dowel::store::people::Person { name: "Ines".to_owned(), ..bo }).await.unwrap();
    let look = h.send(&format!("{head}\n{}\n", line("Ines")), false).await;
    assert!(texts(&look, "tbody tr")[0].contains("More than one member has this name. Add a column sign_in."));
}

#[tokio::test]
async fn a_load_without_its_unit_is_an_error_of_its_line() {
    let h = Harbour::new().await;
    let csv = "person,session_day,session,part,typed,done_on,kind\nInes,2025-03-01,Squats,A. Squat,135,2025-03-01,load\n\
               Ines,soon,Squats,A. Squat,60 kg,2025-03-01,speed\n";
    let look = h.send(csv, true).await;
    assert_eq!(look.status_code(), 422);
    let rows = texts(&look, "tbody tr");
    assert!(rows[0].contains("typed “135”:"), "{rows:?}");
    assert!(rows[1].contains("session_day “soon”:") && rows[1].contains("kind “speed”:"), "{rows:?}");
    assert!(h.past(h.ines).await.is_empty());
}
