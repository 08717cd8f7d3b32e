//! Pages at hand beside all that a coach and others do; and the forms on them.

use crate::at_hand::{Hand, TODAY, ask, hand, without_ids};
use crate::practice::NOW;
use crate::published::{DAY, log, timed};
use axum::body::Body;
use axum::extract::Request;
use dowel::store::decisions::{Decided, NewDecision};
use dowel::store::ids::PinId;
use dowel::store::maxes::MaxSource;
use dowel::store::questions::{NewQuestion, Reply};
use dowel::training::dose::Amount;
use dowel::training::movement::Demand;
use dowel::training::session::{Intent, Line};
use dowel::training::standings::{Attempts, Policy};
use dowel::training::tailor::{Pin, Rules, Whom, Wish, Wished};
use time::Duration;

impl Hand {
    /// One thing that somebody does; none are left where there is no such step.
    async fn step(&self, step: usize) -> Option<&'static str> {
        let (app, store) = (&self.practice.app, &self.practice.app.store);
        let told = |text: &str| NewQuestion {
            session_id: self.at.id,
            version: None,
            part: Some(1),
            line: Some(0),
            text: text.to_owned(),
            client_id: None,
        };
        let push_up = || app.library().find("push-up").unwrap().clone();
        Some(match step {
            0 => {
                store.save_limits(self.ines, &[Demand::FloorStart], None).await.unwrap();
                "she keeps off the floor"
            }
            1 => {
                store.save_limits(self.ines, &[], None).await.unwrap();
                "she is well again"
            }
            2 => {
                let said = Wished { part: 1, line: 1, movement: "air squat".to_owned(), wish: Wish::NoRoom };
                store.save_wish(self.ines, self.at.id, &said, &said.movement, NOW).await.unwrap();
                "not today, she says at a line"
            }
            3 => {
                store.drop_wish(self.ines, self.at.id, 1, 1).await.unwrap();
                "and takes it back"
            }
            4 => {
                store.add_max(self.ines, "goblet squat", 30.0, (MaxSource::Tested, DAY), NOW).await.unwrap();
                "she knows a max"
            }
            5 => {
                let becomes = Line { movement: "wall push-up".to_owned(), reps: Some(Amount::One(9.0)), ..Line::default() };
                let pin = Pin {
                    id: 0,
                    session: None,
                    whom: Whom::Member(self.ines.0),
                    movement: "push-up".to_owned(),
                    intent: Intent::Conditioning,
                    becomes,
                };
                store.add_pin(&pin, NOW).await.unwrap();
                "the coach pins a line for her"
            }
            6 => {
                store.remove_pin(PinId(store.pins().await.unwrap()[0].pin.id)).await.unwrap();
                "and takes the pin out"
            }
            7 => {
                let rules = Rules { never: vec!["glute bridge".to_owned()], ..Rules::default() };
                store.save_rules(Some(&rules)).await.unwrap();
                "the coach sets rules of the house"
            }
            8 => {
                let named = dowel::training::movement::Movement { cues: vec!["Ribs down.".to_owned()], ..push_up() };
                store.save_movement(None, &named, self.coach, NOW).await.unwrap();
                "the coach says a movement in other words"
            }
            9 => {
                let odo = self.practice.member("Odo", self.harbour).await;
                log(&self.practice, odo, &timed(self.at, "odo", "11:00", 660.0)).await;
                let id = store.ask(odo, &told("Knees?"), NOW).await.unwrap();
                store.answer(id, Reply { text: "On a mat.", shared: true, stays_out: false }, self.coach, NOW).await.unwrap();
                "an answer to another is shared with all"
            }
            10 => {
                let best = Policy { attempts: Attempts::Best, ..Policy::default() };
                store.save_part_rules(self.at.id, 1, Some(&best), self.coach, NOW).await.unwrap();
                log(&self.practice, self.ines, &timed(self.at, "first", "12:20", 740.0)).await;
                "more than one attempt is allowed"
            }
            11 => {
                store.save_limits(self.ines, &[], Some("knee surgery last month")).await.unwrap();
                "she writes of an operation"
            }
            12 => {
                let new = NewDecision { words: "knee surgery last month", decided: &Decided::Train, said: "", answer: "Yes." };
                store.decide(self.ines, &new, self.coach, NOW).await.unwrap();
                "the coach decides"
            }
            13 => {
                store.take_decision_back(self.ines, false).await.unwrap();
                "and takes it back"
            }
            _ => return None,
        })
    }
}

#[tokio::test]
async fn whatever_the_coach_or_another_does_is_on_the_page_at_once() {
    let h = hand().await;
    let cookie = h.practice.cookie_of(h.ines).await;
    let (mut before, mut seen, mut step) = (without_ids(&h.ask(&cookie).await.text()), 0, 0);
    while let Some(what) = h.step(step).await {
        let page = without_ids(&h.ask(&cookie).await.text());
        assert_eq!(page, without_ids(&h.anew(&cookie).await.text()), "{what}");
        seen += usize::from(page != before);
        (before, step) = (page, step + 1);
    }
    assert!(seen >= 7, "most of it shows on the page: {seen} of {step}");
}

#[tokio::test]
async fn through_a_day_the_kept_page_is_the_one_that_would_be_made_then() {
    let h = hand().await;
    let cookie = h.practice.cookie_of(h.ines).await;
    log(&h.practice, h.ines, &timed(h.at, "a", "12:20", 740.0)).await;
    for minutes in [0, 1, 59, 240, 719, 721, 1439, 1441, 60 * 24 * 13, 60 * 24 * 40] {
        h.practice.app.clock.set(NOW + Duration::minutes(minutes));
        assert_eq!(h.ask(&cookie).await.text().len(), h.anew(&cookie).await.text().len(), "{minutes} minutes later");
        assert_eq!(
            without_ids(&h.ask(&cookie).await.text()),
            without_ids(&h.anew(&cookie).await.text()),
            "{minutes} minutes later"
        );
    }
}

#[tokio::test]
async fn looking_whether_writes_are_kept_and_nods_leave_pages_at_hand() {
    let h = hand().await;
    let cookie = h.practice.cookie_of(h.ines).await;
    let odo = h.practice.member("Odo", h.harbour).await;
    let result = log(&h.practice, odo, &timed(h.at, "odo", "11:00", 660.0)).await;
    let kept = h.ask(&cookie).await;
    assert_eq!(ask(&h.front, "", "/healthz", &[]).await.status, 200);
    h.practice.app.store.toggle_nod(result, h.ines, NOW).await.unwrap();
    log(&h.practice, odo, &dowel::store::results::NewResult { edit: 2, ..timed(h.at, "odo", "10:59", 659.0) }).await;
    assert_eq!(h.ask(&cookie).await.body, kept.body, "the same, ids of forms and all");
}

/// The form of the second part, as a browser without script sends it.
async fn send(h: &Hand, cookie: &str, page: &str, score: &str) -> u16 {
    let action = format!("/sessions/{}/parts/1/result", h.at.id);
    let form = page.split("<form").find(|f| f.contains(&action) && f.contains("name=\"score\"")).unwrap();
    let value = |name: &str| {
        let from = form.split(&format!("name=\"{name}\" value=\"")).nth(1).unwrap();
        from.split('"').next().unwrap().to_owned()
    };
    let body =
        format!("client_id={}&version_id={}&version=full&score={score}&shown=on", value("client_id"), value("version_id"),);
    let request = Request::post(action)
        .header("host", "localhost")
        .header("cookie", cookie)
        .header("content-type", "application/x-www-form-urlencoded")
        .body(Body::from(body))
        .unwrap();
    h.front.answer(request).await.status().as_u16()
}

/// The results of hers that stand, and all states that any was in before.
async fn standing(h: &Hand) -> (Vec<String>, usize) {
    let store = &h.practice.app.store;
    let results = store.results_on(h.ines, DAY).await.unwrap();
    let mut earlier = 0;
    for result in &results {
        earlier += store.edits_of(result.id).await.unwrap().len();
    }
    (results.iter().map(|r| r.score_text.clone()).collect(), earlier)
}

#[tokio::test]
async fn two_logs_from_a_page_that_was_sent_twice_are_one_result_with_both_states() {
    let h = hand().await;
    let cookie = h.practice.cookie_of(h.ines).await;
    let (one, two) = (h.ask(&cookie).await.text(), h.ask(&cookie).await.text());
    assert_eq!(one, two, "the page is at hand");
    for (page, score) in [(&one, "12:20"), (&one, "12:20"), (&two, "12:10"), (&two, "12:10")] {
        assert_eq!(send(&h, &cookie, page, score).await, 303);
    }
    assert_eq!(standing(&h).await, (vec!["12:10".to_owned()], 1));
}

#[tokio::test]
async fn where_one_may_try_again_two_logs_from_two_pages_are_two_attempts() {
    let h = hand().await;
    let cookie = h.practice.cookie_of(h.ines).await;
    let best = Policy { attempts: Attempts::Best, ..Policy::default() };
    h.practice.app.store.save_group_rules(h.harbour, &best, h.coach, NOW).await.unwrap();
    let (one, two) = (ask(&h.front, &cookie, TODAY, &[]).await.text(), ask(&h.front, &cookie, TODAY, &[]).await.text());
    for (page, score) in [(&one, "12:20"), (&one, "12:20"), (&two, "12:10"), (&two, "12:10")] {
        assert_eq!(send(&h, &cookie, page, score).await, 303);
    }
    assert_eq!(standing(&h).await, (vec!["12:20".to_owned(), "12:10".to_owned()], 0));
}
