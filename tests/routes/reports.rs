//! What a member told after a session or at a line holds back what it touches until a coach has answered.

use crate::practice::{NOW, Practice, attributes, texts};
use crate::published::{DAY, Place, log, publish, slow_then_fast, timed};
use axum_test::TestServer;
use dowel::store::ids::PersonId;
use dowel::store::questions::NewQuestion;
use dowel::store::results::NewResult;
use time::Duration;

struct Harbour {
    practice: Practice,
    mara: TestServer,
    ines: PersonId,
    as_ines: TestServer,
    at: Place,
}

fn hurt(at: Place, place: &str, note: &str) -> NewResult {
    NewResult { hurt: Some(place.to_owned()), note: note.to_owned(), ..timed(at, "one", "9:00", 540.0) }
}

impl Harbour {
    /// The day has goblet squats, then push-ups and air squats; the next day has the same.
    async fn new() -> Self {
        let practice = Practice::new().await;
        let coach = practice.coach("Mara").await;
        let group = practice.group("Harbour").await;
        let ines = practice.member("Ines", group).await;
        let at = publish(&practice, group, coach, DAY, slow_then_fast()).await;
        publish(&practice, group, coach, DAY + Duration::days(1), slow_then_fast()).await;
        let (mara, as_ines) = (practice.as_person(coach).await, practice.as_person(ines).await);
        Self { practice, mara, ines, as_ines, at }
    }

    async fn hurts(&self, place: &str, note: &str) {
        log(&self.practice, self.ines, &hurt(self.at, place, note)).await;
    }

    async fn asks(&self, text: &str) {
        let new = NewQuestion {
            session_id: self.at.id,
            version: None,
            part: Some(1),
            line: Some(0),
            text: text.to_owned(),
            client_id: None,
        };
        self.practice.app.store.ask(self.ines, &new, NOW).await.unwrap();
    }

    async fn answer(&self, words: &str) {
        let open = self.practice.app.store.open_questions().await.unwrap().remove(0).id;
        let form = [("answer", words), ("back_in", "on")];
        assert_eq!(self.mara.post(&format!("/questions/{open}/answer")).form(&form).await.status_code(), 303);
    }

    /// How many lines wait on the next day, and what is said above.
    async fn tomorrow(&self) -> (usize, Vec<String>) {
        let page = self.as_ines.get("/days/2026-11-26").await;
        (texts(&page, ".line > .note").iter().filter(|t| *t == "Waits for your coach.").count(), texts(&page, "#held"))
    }
}

#[tokio::test]
async fn what_hurt_stays_out_until_the_coach_answers() {
    let h = Harbour::new().await;
    assert_eq!(h.tomorrow().await.0, 0);
    h.hurts("left knee, since Monday", "").await;
    let (waiting, said) = h.tomorrow().await;
    assert_eq!(waiting, 2, "both squats, and no push-up");
    assert!(said[0].starts_with("Whatever touches the knee waits because of what you wrote to your coach"), "{said:?}");
    h.answer("Thank you. Go on, and stop where it hurts again.").await;
    assert_eq!(h.tomorrow().await, (0, Vec::new()));
}

#[tokio::test]
async fn chest_pain_in_the_note_of_a_report_stops_everything() {
    let h = Harbour::new().await;
    h.hurts("left wrist", "felt dizzy and had chest pain too").await;
    assert_eq!(h.tomorrow().await.0, 3);
}

#[tokio::test]
async fn where_it_was_not_said_where_it_hurts_the_coach_is_told_and_nothing_is_guessed() {
    let h = Harbour::new().await;
    h.hurts("", "").await;
    assert_eq!(h.tomorrow().await.0, 0);
    assert_eq!(texts(&h.mara.get("/review").await, "#pain .entry").len(), 1);
}

#[tokio::test]
async fn a_question_that_tells_of_a_pregnancy_stops_everything_until_it_is_answered() {
    let h = Harbour::new().await;
    h.asks("I am 14 weeks pregnant, can I still do these?").await;
    assert_eq!(h.tomorrow().await.0, 3);
    h.answer("Please see your midwife first; we speak tonight.").await;
    assert_eq!(h.tomorrow().await.0, 0);
}

#[tokio::test]
async fn an_ordinary_question_holds_nothing_back() {
    let h = Harbour::new().await;
    h.asks("Should the knees go past the toes?").await;
    assert_eq!(h.tomorrow().await, (0, Vec::new()));
}

#[tokio::test]
async fn an_answer_is_for_the_words_that_stood_there() {
    let h = Harbour::new().await;
    h.hurts("left wrist", "").await;
    h.answer("Thank you. Fists instead of flat hands.").await;
    assert_eq!(h.tomorrow().await.0, 0);
    let again = NewResult { edit: 2, ..hurt(h.at, "left wrist", "a bit stiff still") };
    log(&h.practice, h.ines, &again).await;
    assert_eq!(h.tomorrow().await.0, 0, "the wrist was answered");
    let more = NewResult { edit: 3, ..hurt(h.at, "left wrist", "and I fainted in the kitchen afterwards") };
    log(&h.practice, h.ines, &more).await;
    assert_eq!(h.tomorrow().await.0, 3, "that was not");
}

#[tokio::test]
async fn an_open_report_holds_what_its_note_says_now() {
    let h = Harbour::new().await;
    h.hurts("left knee", "").await;
    assert_eq!(h.tomorrow().await.0, 2);
    log(&h.practice, h.ines, &NewResult { edit: 2, ..hurt(h.at, "left knee", "and chest pain on the stairs") }).await;
    assert_eq!(h.tomorrow().await.0, 3);
}

#[tokio::test]
async fn a_note_of_fainting_is_a_report_also_where_nothing_was_ticked_and_sore_legs_are_none() {
    let h = Harbour::new().await;
    let note = |text: &str, edit| NewResult { note: text.to_owned(), edit, ..timed(h.at, "one", "9:00", 540.0) };
    log(&h.practice, h.ines, &note("legs sore from Monday, grip tired", 1)).await;
    assert_eq!(h.tomorrow().await.0, 0);
    log(&h.practice, h.ines, &note("I fainted after the last set", 2)).await;
    assert_eq!(h.tomorrow().await.0, 3);
    assert_eq!(texts(&h.mara.get("/review").await, "#pain .entry").len(), 1);
}

#[tokio::test]
async fn only_a_coach_answers_what_holds_something_back() {
    let h = Harbour::new().await;
    h.hurts("left knee", "").await;
    h.asks("Should the toes point out?").await;
    let lou = h.practice.coach("Lou").await;
    h.practice.app.store.set_assistant(lou, true).await.unwrap();
    let lou = h.practice.as_person(lou).await;
    let open = h.practice.app.store.open_questions().await.unwrap();
    let of = |pain: bool| open.iter().find(|q| q.pain == pain).unwrap().id;
    let (knee, toes) = (of(true), of(false));
    let address = |pain| format!("/questions/{}/answer", if pain { knee } else { toes });
    for next in ["/questions", "/review"] {
        let refused = lou.post(&address(true)).form(&[("answer", "go on"), ("next", next)]).await;
        assert_eq!(refused.status_code(), 422);
        assert!(refused.text().contains("Ask a coach"), "{next} says who may");
    }
    assert_eq!(h.tomorrow().await.0, 2);
    assert_eq!(lou.post(&address(false)).form(&[("answer", "A little.")]).await.status_code(), 303);
    let seen = texts(&h.mara.get("/review").await, "#pain .entry");
    assert!(
        seen[0].contains("Stays out of their sessions until a coach lets it back in: whatever touches the knee."),
        "{seen:?}"
    );
}

#[tokio::test]
async fn what_was_reported_is_found_where_it_stands() {
    let h = Harbour::new().await;
    h.hurts("left knee", "").await;
    let tomorrow = h.as_ines.get("/days/2026-11-26").await;
    assert_eq!(attributes(&tomorrow, "#held a", "href"), ["/questions-of-mine"]);
}

#[tokio::test]
async fn a_part_that_is_done_lets_nothing_out_that_waits() {
    let h = Harbour::new().await;
    h.hurts("left knee", "").await;
    let today = h.as_ines.get("/today").await;
    let waiting = texts(&today, ".line > .note").iter().filter(|t| *t == "Waits for your coach.").count();
    assert_eq!(waiting, 2, "both squats wait, also that of the part that was just done");
}

#[tokio::test]
async fn an_answer_alone_lets_nothing_back_in_and_a_later_one_does() {
    let h = Harbour::new().await;
    h.hurts("left knee", "").await;
    let id = h.practice.app.store.open_questions().await.unwrap().remove(0).id;
    let address = format!("/questions/{id}/answer");
    h.mara.post(&address).form(&[("answer", "Which knee, and since when? No squats for now.")]).await;
    assert_eq!(h.tomorrow().await.0, 2, "both squats still wait");
    assert_eq!(h.mara.post(&format!("/questions/{id}/seen")).await.status_code(), 404, "it is not put away unseen");
    let listed = texts(&h.mara.get("/questions").await, "#answered .entry");
    assert!(listed[0].contains("still out of their sessions: whatever touches the knee"), "{listed:?}");
    let mine = h.as_ines.get("/questions-of-mine").await.text();
    assert!(mine.contains("Stays out of your sessions until your coach lets it back in"), "the member reads why");
    h.mara.post(&address).form(&[("answer", "Go on, shallow."), ("back_in", "on")]).await;
    assert_eq!(h.tomorrow().await.0, 0);
}

#[tokio::test]
async fn an_assistant_does_not_change_what_a_coach_said_of_it() {
    let h = Harbour::new().await;
    h.hurts("left knee", "").await;
    let id = h.practice.app.store.open_questions().await.unwrap().remove(0).id;
    h.answer("See somebody about it first.").await;
    let lou = h.practice.coach("Lou").await;
    h.practice.app.store.set_assistant(lou, true).await.unwrap();
    let lou = h.practice.as_person(lou).await;
    let form = [("answer", "go on"), ("back_in", "on")];
    assert_eq!(lou.post(&format!("/questions/{id}/answer")).form(&form).await.status_code(), 422);
    assert_eq!(h.practice.app.store.question(id).await.unwrap().answer.unwrap().text, "See somebody about it first.");
    assert!(attributes(&lou.get("/questions").await, "#answered form", "action").iter().all(|a| !a.ends_with("/answer")));
}

#[tokio::test]
async fn worse_words_about_the_same_place_are_a_report_of_their_own_that_stays_when_they_are_taken_out() {
    let h = Harbour::new().await;
    h.hurts("left knee", "").await;
    h.answer("Thank you. Go on.").await;
    log(&h.practice, h.ines, &NewResult { edit: 2, ..hurt(h.at, "left knee", "it popped and swells now") }).await;
    assert!(h.tomorrow().await.0 > 0, "that was not answered");
    log(&h.practice, h.ines, &NewResult { edit: 3, ..hurt(h.at, "left knee", "") }).await;
    assert!(h.tomorrow().await.0 > 0, "the coach has not read it yet");
    let open = h.practice.app.store.open_questions().await.unwrap();
    assert_eq!(open.iter().map(|q| q.text.as_str()).collect::<Vec<_>>(), ["it popped and swells now"], "as it was typed");
}

#[tokio::test]
async fn something_that_popped_is_a_report_also_where_nothing_was_ticked() {
    let h = Harbour::new().await;
    let new = NewResult { note: "felt a pop in my knee on the last one".to_owned(), ..timed(h.at, "one", "9:00", 540.0) };
    log(&h.practice, h.ines, &new).await;
    assert_eq!(h.tomorrow().await.0, 2);
}
