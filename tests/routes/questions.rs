//! Questions: asked by a member, answered by the coach, shared without a name.

use crate::practice::{NOW, Practice, attributes, location, texts};
use crate::published::{DAY, Place, log, publish, slow_then_fast, timed};
use dowel::store::ids::{PersonId, QuestionId};
use dowel::store::questions::NewQuestion;
use dowel::store::results::NewResult;
use time::Duration;

struct Bench {
    practice: Practice,
    coach: PersonId,
    ines: PersonId,
    odo: PersonId,
    outsider: PersonId,
    at: Place,
}

async fn bench() -> Bench {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let harbour = practice.group("Harbour").await;
    let lighthouse = practice.group("Lighthouse").await;
    let ines = practice.member("Ines", harbour).await;
    let odo = practice.member("Odo", harbour).await;
    let outsider = practice.member("Pia", lighthouse).await;
    let at = publish(&practice, harbour, coach, DAY, slow_then_fast()).await;
    Bench { practice, coach, ines, odo, outsider, at }
}

impl Bench {
    fn address(&self) -> String {
        format!("/sessions/{}/questions", self.at.id)
    }

    async fn asked(&self, who: PersonId, text: &str, hours_ago: i64) -> QuestionId {
        let new = NewQuestion {
            session_id: self.at.id,
            version: None,
            part: Some(1),
            line: Some(0),
            text: text.to_owned(),
            client_id: None,
        };
        self.practice.app.store.ask(who, &new, NOW - Duration::hours(hours_ago)).await.unwrap()
    }

    async fn pain(&self) -> QuestionId {
        let hurt = NewResult { hurt: Some("left knee".to_owned()), ..timed(self.at, "one", "9:00", 540.0) };
        log(&self.practice, self.ines, &hurt).await;
        self.practice.app.store.open_questions().await.unwrap().iter().find(|q| q.pain).unwrap().id
    }
}

#[tokio::test]
async fn a_stranger_signs_in_first() {
    let b = bench().await;
    let browser = b.practice.browser();
    for address in [b.address().as_str(), "/questions", "/questions-of-mine"] {
        assert!(location(&browser.get(address).await).starts_with("/sign-in"), "{address}");
    }
    assert!(location(&browser.post(&b.address()).form(&[("text", "Why?")]).await).starts_with("/sign-in"));
    assert!(location(&browser.post("/questions/1/answer").form(&[("answer", "So.")]).await).starts_with("/sign-in"));
}

#[tokio::test]
async fn a_member_asks_about_a_line_and_is_led_back_to_the_day() {
    let b = bench().await;
    let browser = b.practice.as_person(b.ines).await;
    let page = browser.get(&format!("{}?part=1&line=0", b.address())).await;
    assert!(texts(&page, ".head p").contains(&"About B. Ten rounds: push-up.".to_owned()));
    let form = [("text", " On my knees? "), ("part", "1"), ("line", "0")];
    assert_eq!(location(&browser.post(&b.address()).form(&form).await), "/days/2026-11-25?said=asked");
    let mine = browser.get("/questions-of-mine").await;
    assert_eq!(texts(&mine, ".message p:nth-child(2)"), ["On my knees?"]);
    assert!(texts(&mine, ".message .note")[0].contains("Wed 25 Nov, B. Ten rounds: push-up"));
    assert_eq!(texts(&mine, "ul > .note"), ["Waiting for the coach."]);
}

#[tokio::test]
async fn an_empty_or_endless_question_comes_back_with_what_was_typed() {
    let b = bench().await;
    let browser = b.practice.as_person(b.ines).await;
    let long = "why ".repeat(1001);
    for text in ["  \n ", long.as_str()] {
        let response = browser.post(&b.address()).form(&[("text", text), ("part", "1")]).await;
        assert_eq!((response.status_code().as_u16(), texts(&response, "#text-error").len()), (422, 1));
        assert_eq!(texts(&response, "#text"), [text.trim()]);
        assert_eq!(attributes(&response, "input[name=part]", "value"), ["1"]);
    }
    assert!(b.practice.app.store.open_questions().await.unwrap().is_empty());
}

#[tokio::test]
async fn a_place_that_is_not_there_is_the_whole_session() {
    let b = bench().await;
    let browser = b.practice.as_person(b.ines).await;
    for (part, line) in [("7", "0"), ("x", "0"), ("-1", "")] {
        browser.post(&b.address()).form(&[("text", "Where?"), ("part", part), ("line", line)]).await;
    }
    let asked = b.practice.app.store.open_questions().await.unwrap();
    assert_eq!(asked.len(), 3);
    assert!(asked.iter().all(|q| q.about.as_ref().unwrap().part.is_none()));
}

#[tokio::test]
async fn one_asks_only_about_sessions_one_can_see() {
    let b = bench().await;
    let outsider = b.practice.as_person(b.outsider).await;
    assert_eq!(outsider.get(&b.address()).await.status_code(), 404);
    assert_eq!(outsider.post(&b.address()).form(&[("text", "Mine too?")]).await.status_code(), 404);
    let coach = b.practice.as_person(b.coach).await;
    assert_eq!(coach.post(&b.address()).form(&[("text", "Me?")]).await.status_code(), 404);
    b.practice.app.store.unpublish(b.at.id).await.unwrap();
    let ines = b.practice.as_person(b.ines).await;
    assert_eq!(ines.post(&b.address()).form(&[("text", "Still?")]).await.status_code(), 404);
}

#[tokio::test]
async fn the_coach_reads_the_longest_wait_first() {
    let b = bench().await;
    b.asked(b.odo, "newer", 1).await;
    b.asked(b.ines, "older", 30).await;
    let page = b.practice.as_person(b.coach).await.get("/questions").await;
    assert_eq!(texts(&page, "#open .who"), ["Ines", "Odo"]);
    assert_eq!(texts(&page, "#open .chip"), ["30 hours", "1 hour"]);
    assert_eq!(texts(&page, "#open h2"), ["2 wait for you"]);
}

#[tokio::test]
async fn members_do_not_answer() {
    let b = bench().await;
    let id = b.asked(b.ines, "On my knees?", 1).await;
    let odo = b.practice.as_person(b.odo).await;
    assert_eq!(odo.get("/questions").await.status_code(), 404);
    assert_eq!(odo.post(&format!("/questions/{id}/answer")).form(&[("answer", "Sure")]).await.status_code(), 404);
    assert!(b.practice.app.store.question(id).await.unwrap().answer.is_none());
}

#[tokio::test]
async fn an_answer_reaches_who_asked_and_nobody_else_unless_shared() {
    let b = bench().await;
    let id = b.asked(b.ines, "On my knees?", 1).await;
    let coach = b.practice.as_person(b.coach).await;
    let (ines, odo) = (b.practice.as_person(b.ines).await, b.practice.as_person(b.odo).await);
    let address = format!("/questions/{id}/answer");
    let form = [("answer", "Yes, hips straight."), ("next", "/review")];
    assert_eq!(location(&coach.post(&address).form(&form).await), "/review?said=answered");
    assert_eq!(texts(&ines.get(&b.address()).await, ".message").len(), 2);
    assert_eq!(texts(&odo.get(&b.address()).await, ".message").len(), 0);
    coach.post(&address).form(&[("answer", "Yes, hips straight."), ("shared", "on")]).await;
    let seen = odo.get(&b.address()).await;
    assert_eq!(texts(&seen, ".message").len(), 2);
    assert!(texts(&seen, ".message .note")[0].starts_with("Somebody in the group"));
    assert!(!texts(&seen, "main")[0].contains("Ines"), "who asked is not told");
    let outsider = b.practice.app.store.questions_about(b.outsider, b.at.id).await.unwrap();
    assert!(outsider.is_empty(), "another group reads nothing");
}

#[tokio::test]
async fn an_empty_answer_in_the_review_comes_back_in_the_review() {
    let b = bench().await;
    let id = b.asked(b.ines, "On my knees?", 1).await;
    let coach = b.practice.as_person(b.coach).await;
    let response =
        coach.post(&format!("/questions/{id}/answer")).form(&[("answer", " "), ("shared", "on"), ("next", "/review")]).await;
    assert_eq!((response.status_code().as_u16(), texts(&response, "h1")), (422, vec!["Review".to_owned()]));
    assert_eq!(texts(&response, "#questions details[open] .error[role=alert]").len(), 1);
    assert_eq!(attributes(&response, "[autofocus]", "id"), [format!("answer-{id}")], "the focus is where something is wrong");
    assert_eq!(attributes(&response, "#questions [name=shared]", "checked").len(), 1, "the tick is kept");
}

#[tokio::test]
async fn an_empty_answer_to_pain_opens_no_other_fold() {
    let b = bench().await;
    b.asked(b.ines, "On my knees?", 1).await;
    let id = b.pain().await;
    let coach = b.practice.as_person(b.coach).await;
    let response = coach.post(&format!("/questions/{id}/answer")).form(&[("answer", " "), ("next", "/review")]).await;
    assert_eq!(attributes(&response, "[autofocus]", "id"), [format!("answer-{id}")]);
    assert_eq!(
        (texts(&response, "#pain details[open] .error").len(), texts(&response, "#questions details[open]").len()),
        (1, 0)
    );
}

#[tokio::test]
async fn an_empty_answer_closes_nothing() {
    let b = bench().await;
    let id = b.asked(b.ines, "On my knees?", 1).await;
    let coach = b.practice.as_person(b.coach).await;
    let response = coach.post(&format!("/questions/{id}/answer")).form(&[("answer", " ")]).await;
    assert_eq!((response.status_code().as_u16(), texts(&response, &format!("#answer-{id}-error")).len()), (422, 1));
    assert_eq!(b.practice.app.store.open_questions().await.unwrap().len(), 1);
    assert_eq!(coach.post("/questions/999/answer").form(&[("answer", "So.")]).await.status_code(), 404);
}

#[tokio::test]
async fn pain_is_marked_private_and_never_shared() {
    let b = bench().await;
    let id = b.pain().await;
    let coach = b.practice.as_person(b.coach).await;
    let page = coach.get("/questions").await;
    assert_eq!(texts(&page, ".entry.hurt .chip.bad"), ["something hurt"]);
    assert_eq!(attributes(&page, ".entry.hurt input[name=shared]", "name").len(), 0);
    let form = [("answer", "Rest it, and see someone if it stays."), ("shared", "on")];
    coach.post(&format!("/questions/{id}/answer")).form(&form).await;
    let odo = b.practice.as_person(b.odo).await;
    assert!(!texts(&odo.get(&b.address()).await, "main")[0].contains("knee"));
    let ines = b.practice.as_person(b.ines).await;
    assert!(texts(&ines.get(&b.address()).await, ".message .note")[0].contains("something hurt"));
}

#[tokio::test]
async fn empty_pages_say_how_to_begin() {
    let b = bench().await;
    assert_eq!(texts(&b.practice.as_person(b.coach).await.get("/questions").await, ".empty").len(), 1);
    assert_eq!(texts(&b.practice.as_person(b.ines).await.get("/questions-of-mine").await, ".empty").len(), 1);
}

#[tokio::test]
async fn a_double_tap_asks_once() {
    let b = bench().await;
    let ines = b.practice.as_person(b.ines).await;
    let address = format!("/sessions/{}/questions", b.at.id);
    let page = ines.get(&address).await;
    let id = attributes(&page, "[name=client_id]", "value")[0].clone();
    let form = [("client_id", id.as_str()), ("text", "How deep?")];
    let (one, two) = tokio::join!(ines.post(&address).form(&form), ines.post(&address).form(&form));
    assert_eq!((one.status_code().as_u16(), two.status_code().as_u16()), (303, 303));
    assert_eq!(b.practice.app.store.questions_of(b.ines).await.unwrap().len(), 1);
}

#[tokio::test]
async fn what_is_answered_is_put_away_and_a_new_answer_brings_it_back() {
    let b = bench().await;
    let id = b.asked(b.ines, "Heels up?", 2).await;
    let (seen, coach) = (format!("/questions/{id}/seen"), b.practice.as_person(b.coach).await);
    assert!(location(&b.practice.browser().post(&seen).await).starts_with("/sign-in"));
    assert_eq!(b.practice.as_person(b.ines).await.post(&seen).await.status_code(), 404);
    assert_eq!(coach.post(&seen).await.status_code(), 404, "it waits for an answer");
    let answer = async |text: &str| coach.post(&format!("/questions/{id}/answer")).form(&[("answer", text)]).await;
    let answered = async || texts(&coach.get("/questions").await, "#answered .entry").len();
    answer("A little.").await;
    assert_eq!(answered().await, 1);
    assert_eq!(location(&coach.post(&seen).await), "/questions?said=put_away#answered");
    assert_eq!(answered().await, 0);
    let mine = b.practice.as_person(b.ines).await.get("/questions-of-mine").await;
    assert_eq!(texts(&mine, ".message").len(), 2, "she keeps it");
    answer("Flat, after all.").await;
    assert_eq!(answered().await, 1);
}
