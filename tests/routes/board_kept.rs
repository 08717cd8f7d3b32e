//! A board is kept in memory and put right by what changed. Whatever happens, it is the board that a program makes which was
//! just started.

use crate::practice::{NOW, Practice, texts};
use crate::published::{DAY, Place, log, publish, slow_then_fast, timed};
use axum_test::TestServer;
use dowel::clock::Clock;
use dowel::store::ids::{PersonId, ResultId};
use dowel::store::people::Person;
use dowel::store::results::{Editor, NewResult};
use dowel::training::member::KitItem;
use dowel::training::standings::{Attempts, Policy};
use dowel::web::board::warm;
use dowel::web::{App, routes};

fn address(at: Place) -> String {
    format!("/sessions/{}/parts/1/board", at.id)
}

async fn board(app: &App, cookie: &str, path: &str) -> Vec<String> {
    let browser = TestServer::builder().build(routes::router(app.clone()));
    let page = browser.get(path).add_header("cookie", cookie).await;
    assert_eq!(page.status_code(), 200);
    texts(&page, "#board > *")
}

struct Crowd {
    practice: Practice,
    coach: PersonId,
    people: Vec<PersonId>,
    at: Place,
    cookies: Vec<String>,
}

impl Crowd {
    async fn new() -> Self {
        let practice = Practice::new().await;
        let coach = practice.coach("Mara").await;
        let group = practice.group("Harbour").await;
        let mut people = Vec::new();
        for name in ["Ines", "Odo", "Pia", "Rui", "Uli"] {
            people.push(practice.member(name, group).await);
        }
        let at = publish(&practice, group, coach, DAY, slow_then_fast()).await;
        let cookies = vec![practice.cookie_of(coach).await, practice.cookie_of(people[0]).await];
        Self { practice, coach, people, at, cookies }
    }

    /// The kept boards are those of a program that was just started, in the eyes of the coach and of a member.
    async fn is_right(&self, step: &str) {
        let fresh = App::open((*self.practice.app.config).clone(), Clock::standing(NOW)).await.unwrap();
        for cookie in &self.cookies {
            for query in ["", "?list=one", "?kit=light"] {
                let path = address(self.at) + query;
                let (kept, anew) = (board(&self.practice.app, cookie, &path).await, board(&fresh, cookie, &path).await);
                assert_eq!(kept, anew, "{step}, {query}");
            }
        }
    }

    fn new_result(&self, who: usize, seconds: f64) -> NewResult {
        let text = format!("{}:{:02}", (seconds / 60.0).floor(), seconds % 60.0);
        timed(self.at, &format!("r{who}-{seconds}"), &text, seconds)
    }

    async fn logs(&self, who: usize, seconds: f64) -> ResultId {
        log(&self.practice, self.people[who], &self.new_result(who, seconds)).await
    }
}

#[tokio::test]
async fn whatever_happens_the_kept_board_is_the_board_made_anew() {
    let c = Crowd::new().await;
    let store = &c.practice.app.store;
    c.is_right("nobody logged").await;
    for (who, seconds) in [(0, 700.0), (1, 650.0), (2, 700.0), (3, 800.0)] {
        c.logs(who, seconds).await;
        c.is_right("somebody logged").await;
    }
    let odo = store.results_on(c.people[1], DAY).await.unwrap()[0].clone();
    store
        .edit_result(Editor::Coach(c.coach, "misread"), odo.id, &NewResult { edit: 5, ..c.new_result(1, 750.0) }, NOW)
        .await
        .unwrap();
    c.is_right("the coach corrected").await;
    store.withdraw_result(c.people[2], store.results_on(c.people[2], DAY).await.unwrap()[0].id, NOW).await.unwrap();
    c.is_right("one was taken back").await;
    c.logs(2, 690.0).await;
    c.is_right("and logged again").await;
    let capped = NewResult {
        score: Some(serde_json::json!({ "kind": "capped", "work": { "done": 180 } })),
        score_text: "180 reps".to_owned(),
        ..c.new_result(4, 900.0)
    };
    let uli = log(&c.practice, c.people[4], &capped).await;
    c.is_right("one was capped").await;
    let held = NewResult { score: None, doubt: Some("reps or seconds?".to_owned()), edit: 9, ..capped };
    store.edit_result(Editor::Owner(c.people[4]), uli, &held, NOW).await.unwrap();
    c.is_right("one is held").await;
    let rui = store.person(c.people[3]).await.unwrap();
    store.save_person(&Person { nickname: Some("Roo".to_owned()), ..rui.clone() }).await.unwrap();
    c.is_right("one took another name").await;
    store.save_person(&Person { shown: false, ..rui.clone() }).await.unwrap();
    c.is_right("one keeps off boards").await;
    store.save_person(&Person { shown: true, ..rui }).await.unwrap();
    let bell = [KitItem { item: "kettlebell".to_owned(), ..KitItem::default() }];
    store.save_home(c.people[1], &bell, &[], None, NOW).await.unwrap();
    c.is_right("one bought a bell").await;
    store.end_membership(c.people[3], NOW).await.unwrap();
    c.is_right("one left").await;
    store.resume_membership(c.people[3]).await.unwrap();
    c.is_right("and came back").await;
    let best = Policy { attempts: Attempts::Best, ..Policy::default() };
    store.save_part_rules(c.at.id, 1, Some(&best), c.coach, NOW).await.unwrap();
    c.is_right("the rules changed").await;
    c.logs(0, 600.0).await;
    c.is_right("a second attempt").await;
    store.save_part_rules(c.at.id, 1, None, c.coach, NOW).await.unwrap();
    c.is_right("the rules are as they were").await;
}

#[tokio::test]
async fn a_board_that_was_made_beforehand_is_the_board_and_goes_on_as_it() {
    let c = Crowd::new().await;
    for (who, seconds) in [(0, 700.0), (1, 650.0)] {
        c.logs(who, seconds).await;
    }
    assert_eq!(warm::make(&c.practice.app, 3).await.unwrap(), 0, "two are no crowd of three");
    assert_eq!(warm::make(&c.practice.app, 2).await.unwrap(), 1);
    c.is_right("made beforehand").await;
    c.logs(2, 600.0).await;
    c.is_right("somebody logged").await;
    c.practice.app.clock.set(NOW + time::Duration::days(8));
    assert_eq!(warm::make(&c.practice.app, 2).await.unwrap(), 0, "long ago");
}

#[tokio::test]
async fn a_board_that_is_made_for_a_nod_counts_among_those_that_are_kept() {
    let c = Crowd::new().await;
    c.logs(0, 700.0).await;
    let odos = c.logs(1, 650.0).await;
    let browser = c.practice.as_person(c.people[0]).await;
    assert_eq!(c.practice.app.boards.rows(), 0);
    let nod = browser.post(&format!("/results/{odos}/nod?session={}&part=1&list=one", c.at.id)).await;
    assert_eq!((nod.status_code().as_u16(), c.practice.app.boards.rows()), (303, 2));
}
