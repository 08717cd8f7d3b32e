//! Pages that are sent again while nothing on them changed: never another's, and never one that is no longer true.

use crate::practice::{NOW, PASSWORD, Practice};
use crate::published::{DAY, Place, log, publish, slow_then_fast, timed};
use axum::body::{Body, to_bytes};
use axum::extract::Request;
use axum::http::HeaderMap;
use dowel::clock::Clock;
use dowel::store::ids::{GroupId, PersonId};
use dowel::store::results::{Editor, NewResult};
use dowel::training::member::KitItem;
use dowel::training::session::Session;
use dowel::web::at_hand::Front;
use dowel::web::{App, routes};
use time::Duration;

pub struct Hand {
    pub practice: Practice,
    pub front: Front,
    pub coach: PersonId,
    pub harbour: GroupId,
    pub ines: PersonId,
    pub at: Place,
}

pub struct Answer {
    pub status: u16,
    pub headers: HeaderMap,
    pub body: Vec<u8>,
}

impl Answer {
    pub fn header(&self, name: &str) -> &str {
        self.headers.get(name).map_or("", |v| v.to_str().unwrap())
    }

    pub fn text(&self) -> String {
        String::from_utf8(self.body.clone()).unwrap()
    }
}

pub async fn ask(front: &Front, cookie: &str, path: &str, more: &[(&str, &str)]) -> Answer {
    let mut request = Request::get(path).header("host", "localhost").header("cookie", cookie);
    for (name, value) in more {
        request = request.header(*name, *value);
    }
    let answer = front.answer(request.body(Body::empty()).unwrap()).await;
    let (parts, body) = answer.into_parts();
    Answer { status: parts.status.as_u16(), headers: parts.headers, body: to_bytes(body, usize::MAX).await.unwrap().to_vec() }
}

pub async fn hand() -> Hand {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let harbour = practice.group("Harbour").await;
    let ines = practice.member("Ines", harbour).await;
    let at = publish(&practice, harbour, coach, DAY, slow_then_fast()).await;
    let front = Front::new(practice.app.clone(), routes::router(practice.app.clone()));
    Hand { practice, front, coach, harbour, ines, at }
}

pub const TODAY: &str = "/days/2026-11-25";

impl Hand {
    pub async fn ask(&self, cookie: &str) -> Answer {
        ask(&self.front, cookie, TODAY, &[]).await
    }

    /// The page as a program that was just started makes it, at the same time.
    pub async fn anew(&self, cookie: &str) -> Answer {
        let now = self.practice.app.clock.now();
        let app = App::open((*self.practice.app.config).clone(), Clock::standing(now)).await.unwrap();
        ask(&Front::from(routes::router(app)), cookie, TODAY, &[]).await
    }
}

/// Ids of forms are new in every making.
pub fn without_ids(page: &str) -> String {
    let is_id = |piece: &str| piece.len() == 36 && piece.chars().all(|c| c.is_ascii_hexdigit() || c == '-');
    page.split('"').filter(|piece| !is_id(piece)).collect::<Vec<_>>().join("\"")
}

#[tokio::test]
async fn a_page_is_sent_again_whole_and_with_its_headers() {
    let h = hand().await;
    let cookie = h.practice.cookie_of(h.ines).await;
    let (first, again) = (h.ask(&cookie).await, h.ask(&cookie).await);
    assert_eq!((first.status, again.status), (200, 200));
    assert!(first.text().contains("Slow, then fast"));
    // ids of forms show that it was made once
    assert_eq!(first.body, again.body);
    let (one, two) = (first.header("x-request-id"), again.header("x-request-id"));
    assert!(one != two && two.len() == 16, "each request has its own number");
    for name in first.headers.keys().filter(|n| *n != "x-request-id") {
        assert_eq!(first.headers[name], again.headers[name], "{name}");
    }
    assert_eq!(again.header("cache-control"), "no-store");
    assert!(again.header("content-security-policy").starts_with("default-src 'none'"));
    assert!(!again.header("dowel-keep").is_empty());
}

#[tokio::test]
async fn who_has_it_already_is_told_so() {
    let h = hand().await;
    let cookie = h.practice.cookie_of(h.ines).await;
    let tag = h.ask(&cookie).await.header("etag").to_owned();
    assert!(tag.len() > 10, "{tag}");
    let same = ask(&h.front, &cookie, TODAY, &[("if-none-match", &tag)]).await;
    assert_eq!((same.status, same.body.len(), same.header("etag")), (304, 0, tag.as_str()));
    log(&h.practice, h.ines, &timed(h.at, "a", "12:20", 740.0)).await;
    let changed = ask(&h.front, &cookie, TODAY, &[("if-none-match", &tag)]).await;
    assert!(changed.status == 200 && changed.header("etag") != tag);
}

#[tokio::test]
async fn each_encoding_is_its_own_page() {
    let h = hand().await;
    let cookie = h.practice.cookie_of(h.ines).await;
    for _ in 0..2 {
        let small = ask(&h.front, &cookie, TODAY, &[("accept-encoding", "gzip")]).await;
        assert_eq!((small.header("content-encoding"), &small.body[..2]), ("gzip", &[0x1f, 0x8b][..]));
        assert!(h.ask(&cookie).await.text().starts_with("<!"));
    }
}

#[tokio::test]
async fn nobody_gets_the_page_of_another() {
    let h = hand().await;
    let odo = h.practice.member("Odo", h.harbour).await;
    let (ines, two) = (h.practice.cookie_of(h.ines).await, h.practice.cookie_of(odo).await);
    for _ in 0..2 {
        assert!(h.ask(&ines).await.text().contains(&format!("data-person=\"{}\"", h.ines)));
        assert!(h.ask(&two).await.text().contains(&format!("data-person=\"{odo}\"")));
        assert_eq!(h.ask("").await.status, 303);
        assert_eq!(h.ask("dowel=AAAA").await.status, 303);
        // two cookies of one name leave a doubt, and the routes decide
        assert!(h.ask(&format!("{ines}; {two}")).await.status < 400);
    }
}

/// Her cookie in one more browser.
async fn another_browser(h: &Hand) -> String {
    let jar = dowel::web::access::sign_in(&h.practice.app, h.ines, &HeaderMap::new()).await.unwrap();
    jar.iter().map(|c| format!("{}={}", c.name(), c.value())).collect()
}

#[tokio::test]
async fn one_who_was_signed_out_gets_nothing_more() {
    let h = hand().await;
    let (here, there) = (h.practice.cookie_of(h.ines).await, another_browser(&h).await);
    for cookie in [&here, &there] {
        assert_eq!((h.ask(cookie).await.status, h.ask(cookie).await.status), (200, 200));
    }
    let request = Request::post("/you/devices/sign-out-others")
        .header("host", "localhost")
        .header("cookie", &here)
        .header("content-type", "application/x-www-form-urlencoded");
    let password = format!("password={}", PASSWORD.replace(' ', "+"));
    assert_eq!(h.front.answer(request.body(Body::from(password)).unwrap()).await.status(), 303);
    assert_eq!((h.ask(&here).await.status, h.ask(&there).await.status), (200, 303));
    let there = another_browser(&h).await;
    assert_eq!(h.ask(&there).await.status, 200);
    h.practice.app.store.end_membership(h.ines, NOW).await.unwrap();
    assert_eq!((h.ask(&here).await.status, h.ask(&there).await.status), (303, 303));
}

#[tokio::test]
async fn a_sign_in_that_runs_out_ends_what_is_at_hand() {
    let h = hand().await;
    let cookie = h.practice.cookie_of(h.ines).await;
    h.ask(&cookie).await;
    h.practice.app.clock.set(NOW + Duration::days(61));
    assert_eq!(h.ask(&cookie).await.status, 303);
}

#[tokio::test]
async fn at_midnight_where_they_live_the_page_is_another() {
    let h = hand().await;
    let faro = h.practice.member_in("Rui", h.harbour, "Pacific/Auckland").await;
    let cookie = h.practice.cookie_of(faro).await;
    // at noon in London it is one in the morning there, on the 26th
    let before = ask(&h.front, &cookie, "/today", &[]).await;
    assert_eq!(before.header("content-location"), "/days/2026-11-26");
    h.practice.app.clock.set(NOW + Duration::minutes(23 * 60 - 1));
    assert_eq!(ask(&h.front, &cookie, "/today", &[]).await.body, before.body);
    h.practice.app.clock.set(NOW + Duration::hours(23));
    assert_eq!(ask(&h.front, &cookie, "/today", &[]).await.header("content-location"), "/days/2026-11-27");
}

#[tokio::test]
async fn a_page_that_midnight_comes_upon_is_not_the_next_days() {
    let h = hand().await;
    let cookie = h.practice.cookie_of(h.ines).await;
    let clock = &h.practice.app.clock;
    // an hour goes by with each look at the clock: whenever one begins, midnight falls between other two
    for hour in 0..24 {
        clock.run(NOW + Duration::hours(hour), Duration::hours(1));
        let made = ask(&h.front, &cookie, "/today", &[]).await.header("content-location").to_owned();
        let (_, day) = made.rsplit_once('/').unwrap();
        let next = dowel::training::calendar::read_iso(day).unwrap() + Duration::days(1);
        clock.set(next.midnight().assume_utc() + Duration::hours(6));
        let then = ask(&h.front, &cookie, "/today", &[]).await;
        assert_eq!(then.header("content-location"), format!("/days/{next}"), "begun {hour} hours after noon");
    }
}

/// Changes one after the other; after each the page is what a program makes that was just started.
#[tokio::test]
async fn whatever_is_changed_is_on_the_page_at_once() {
    let h = hand().await;
    let (app, store) = (&h.practice.app, &h.practice.app.store);
    let cookie = h.practice.cookie_of(h.ines).await;
    let other = h.practice.group("Lighthouse").await;
    let new = |text: &str, seconds: f64, edit| NewResult { edit, ..timed(h.at, "a", text, seconds) };
    let person = || async { store.person(h.ines).await.unwrap() };
    let mut pages: Vec<String> = Vec::new();
    let steps = 14;
    for step in 0..steps {
        match step {
            0 => {}
            1 => drop(log(&h.practice, h.ines, &new("12:20", 740.0, 1)).await),
            2 => drop(log(&h.practice, h.ines, &new("12:10", 730.0, 2)).await),
            3 => {
                let id = store.results_on(h.ines, DAY).await.unwrap()[0].id;
                store.edit_result(Editor::Coach(h.coach, "seen it"), id, &new("12:15", 735.0, 3), NOW).await.unwrap();
            }
            4 => {
                let id = store.results_on(h.ines, DAY).await.unwrap()[0].id;
                store.withdraw_result(h.ines, id, NOW).await.unwrap();
            }
            5 => {
                let kit = [KitItem { item: "kettlebell".to_owned(), kg: vec![16.0], ..KitItem::default() }];
                store.save_home(h.ines, &kit, &[], None, NOW).await.unwrap();
            }
            6 => {
                let units = dowel::store::people::Units::Lb;
                store
                    .save_person(&dowel::store::people::Person { units, name: "Inês".to_owned(), ..person().await })
                    .await
                    .unwrap();
            }
            7 => {
                let mut session = slow_then_fast();
                session.title = "Slower, then faster".to_owned();
                let (id, draft_edit) = store.save_draft(h.harbour, DAY, 1, "typed", 1, NOW).await.unwrap();
                let to = dowel::store::weeks::ToPublish { id, draft_edit, session, change_note: "slower".to_owned() };
                store.publish(&[to], h.coach, NOW).await.unwrap();
            }
            8 => store.join_group(other, h.ines, NOW).await.unwrap(),
            9 => {
                let session = Session { title: "By the lamp".to_owned(), ..slow_then_fast() };
                publish(&h.practice, other, h.coach, DAY, session).await;
            }
            10 => store.leave_group(other, h.ines).await.unwrap(),
            11 => {
                // the zone moves, and with it the day
                let zone = dowel::training::calendar::Zone::named("Pacific/Auckland").unwrap();
                store.save_person(&dowel::store::people::Person { zone, ..person().await }).await.unwrap();
            }
            12 => {
                let mut db = sqlx::ConnectOptions::connect(
                    &sqlx::sqlite::SqliteConnectOptions::new().filename(app.config.data.join("dowel.db")),
                )
                .await
                .unwrap();
                // another process
                sqlx::query("update groups set name = 'Old harbour' where name = 'Harbour'").execute(&mut db).await.unwrap();
                store.look_for_others_now().await.unwrap();
            }
            _ => store.leave_group(h.harbour, h.ines).await.unwrap(),
        }
        let page = h.ask(&cookie).await.text();
        assert_eq!(without_ids(&page), without_ids(&h.anew(&cookie).await.text()), "after step {step}");
        assert_eq!(h.ask(&cookie).await.text(), page, "and it is kept after step {step}");
        pages.push(without_ids(&page));
    }
    pages.dedup();
    assert!(pages.len() >= steps - 3, "most steps show on the page: {}", pages.len());
}

#[tokio::test]
async fn a_day_that_is_no_date_and_a_page_after_an_act_are_not_kept() {
    let h = hand().await;
    let cookie = h.practice.cookie_of(h.ines).await;
    assert_eq!(ask(&h.front, &cookie, "/days/soon", &[]).await.status, 404);
    let said = ask(&h.front, &cookie, "/days/2026-11-25?said=logged", &[]).await;
    assert!(said.text().contains("Your result is saved.") && said.header("etag").is_empty());
    assert!(!h.ask(&cookie).await.text().contains("Your result is saved."));
}
