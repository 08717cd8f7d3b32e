//! The boards of a week on one page: the same choices as on the board of a part, and fresh without a reload.

use crate::practice::{NOW, Practice, attributes, location, texts};
use crate::published::{DAY, Place, log, publish, slow_then_fast, timed};
use axum::body::{Body, BodyDataStream};
use axum::http::Request;
use dowel::store::ids::{GroupId, PersonId, ResultId};
use dowel::training::member::KitItem;
use dowel::training::standings::Policy;
use dowel::web::routes;
use futures_util::StreamExt;
use std::time::Duration;
use tower::ServiceExt;

struct Week {
    practice: Practice,
    coach: PersonId,
    harbour: GroupId,
    ines: PersonId,
    odo: PersonId,
    /// of another group that does the same
    pia: PersonId,
    at: Place,
    there: Place,
}

impl Week {
    async fn new() -> Self {
        let practice = Practice::new().await;
        let coach = practice.coach("Mara").await;
        let (harbour, lighthouse) = (practice.group("Harbour").await, practice.group("Lighthouse").await);
        let (ines, odo) = (practice.member("Ines", harbour).await, practice.member("Odo", harbour).await);
        let pia = practice.member("Pia", lighthouse).await;
        let at = publish(&practice, harbour, coach, DAY, slow_then_fast()).await;
        let there = publish(&practice, lighthouse, coach, DAY, slow_then_fast()).await;
        let week = Self { practice, coach, harbour, ines, odo, pia, at, there };
        week.logs(ines, at, 540.0).await;
        week.logs(odo, at, 500.0).await;
        week.logs(pia, there, 480.0).await;
        week
    }

    async fn logs(&self, who: PersonId, at: Place, seconds: f64) -> ResultId {
        let text = format!("{}:{:02}", (seconds / 60.0).floor(), seconds % 60.0);
        log(&self.practice, who, &timed(at, &format!("{who}-{seconds}"), &text, seconds)).await
    }

    fn address(&self) -> String {
        format!("/groups/{}/weeks/2026-11-23/board", self.harbour)
    }

    async fn shows_across(&self) {
        let policy = Policy { across_groups: true, ..Policy::default() };
        self.practice.app.store.save_group_rules(self.harbour, &policy, self.coach, NOW).await.unwrap();
    }
}

#[tokio::test]
async fn a_week_is_listed_by_kit_and_one_sees_no_kit_but_ones_own() {
    let w = Week::new().await;
    let item = |name: &str| KitItem { item: name.to_owned(), ..KitItem::default() };
    w.practice.app.store.save_kit(w.ines, &[item("kettlebell")], NOW).await.unwrap();
    w.practice.app.store.save_kit(w.odo, &[item("barbell")], NOW).await.unwrap();
    let ines = w.practice.as_person(w.ines).await;
    let page = ines.get(&w.address()).await;
    assert_eq!(texts(&page, ".who"), ["Odo", "Ines you"]);
    assert!(texts(&page, ".choices a").contains(&"Kit like yours: dumbbells or kettlebells".to_owned()));
    let own = format!("{}?kit=bells", w.address());
    let page = ines.get(&own).await;
    assert_eq!(texts(&page, ".who"), ["Ines you"]);
    assert_eq!(attributes(&page, "h3 a", "href"), [format!("/sessions/{}/parts/1/board?kit=bells", w.at.id)]);
    assert!(attributes(&page, ".head a", "href").iter().all(|other| other.ends_with("?kit=bells")), "the choice stays");
    assert_eq!(texts(&ines.get(&format!("{}?kit=bar", w.address())).await, ".who"), ["Odo", "Ines you"]);
    let coach = w.practice.as_person(w.coach).await;
    assert_eq!(texts(&coach.get(&format!("{}?kit=bar", w.address())).await, ".who"), ["Odo"]);
    let nobody = coach.get(&format!("{}?kit=light", w.address())).await;
    assert_eq!(texts(&nobody, ".empty p"), ["Nobody with neither bar nor bells stands on a board of this week."]);
}

#[tokio::test]
async fn all_groups_stand_in_a_week_only_where_the_coach_lets_members_see_it() {
    let w = Week::new().await;
    let all = format!("{}?groups=all", w.address());
    let (ines, coach) = (w.practice.as_person(w.ines).await, w.practice.as_person(w.coach).await);
    assert_eq!(texts(&coach.get(&all).await, ".who"), ["Pia", "Odo", "Ines"]);
    let page = ines.get(&all).await;
    assert_eq!(texts(&page, ".who"), ["Odo", "Ines you"]);
    assert!(!texts(&page, ".choices a").contains(&"All groups".to_owned()));
    w.shows_across().await;
    let page = ines.get(&all).await;
    assert_eq!(texts(&page, ".who"), ["Pia", "Odo", "Ines you"]);
    assert_eq!(texts(&page, ".choices [aria-current]"), ["Everybody", "All groups"]);
    let one_list = format!("{}?list=one", w.address());
    assert_eq!(texts(&ines.get(&one_list).await, "article > .note"), ["All versions, 2"]);
}

#[tokio::test]
async fn a_nod_on_the_page_of_a_week_leads_back_to_it_as_it_was_shown() {
    let w = Week::new().await;
    w.shows_across().await;
    let all = format!("{}?groups=all", w.address());
    let ines = w.practice.as_person(w.ines).await;
    let nods = attributes(&ines.get(&all).await, "form.nods", "action");
    let pias = nods[0].clone();
    let id = pias.trim_start_matches("/results/").split('/').next().unwrap().to_owned();
    assert_eq!(location(&ines.post(&pias).await), format!("{all}#result-{id}"));
    assert_eq!(attributes(&ines.get(&all).await, ".nods button", "aria-pressed"), ["true", "false"]);
}

#[tokio::test]
async fn news_of_a_week_are_for_those_who_may_see_it() {
    let w = Week::new().await;
    let address = format!("{}/changes", w.address());
    assert!(location(&w.practice.browser().get(&address).await).starts_with("/sign-in"));
    assert_eq!(w.practice.as_person(w.pia).await.get(&address).await.status_code(), 404);
    let ines = w.practice.as_person(w.ines).await;
    assert_eq!(ines.get(&format!("/groups/{}/weeks/2026-11-24/board/changes", w.harbour)).await.status_code(), 404);
    assert_eq!(attributes(&ines.get(&w.address()).await, "[data-fresh]", "data-fresh"), std::slice::from_ref(&address));
    let all = ines.get(&format!("{}?groups=all", w.address())).await;
    assert_eq!(attributes(&all, "[data-fresh]", "data-fresh"), std::slice::from_ref(&address), "what she may not see is no news");
    // told to stop, an open answer ends at once
    w.practice.app.live.end();
    assert_eq!(ines.get(&address).await.headers().get("content-type").unwrap(), "text/event-stream");
}

/// What an open answer says next; none where it says nothing for a while.
async fn next(open: &mut BodyDataStream) -> Option<String> {
    let part = tokio::time::timeout(Duration::from_secs(2), open.next()).await.ok()??;
    Some(String::from_utf8(part.unwrap().to_vec()).unwrap())
}

#[tokio::test]
async fn a_week_is_told_of_its_own_results_and_of_other_groups_only_where_they_are_shown() {
    let w = Week::new().await;
    w.shows_across().await;
    let cookie = w.practice.cookie_of(w.ines).await;
    let router = routes::router(w.practice.app.clone());
    let open = |query: &str| {
        let address = format!("{}/changes{query}", w.address());
        let request = Request::get(address).header("cookie", &cookie).body(Body::empty()).unwrap();
        let router = router.clone();
        async move { router.oneshot(request).await.unwrap().into_body().into_data_stream() }
    };
    let (mut own, mut all) = (open("").await, open("?groups=all").await);
    w.logs(w.pia, w.there, 470.0).await;
    assert_eq!(next(&mut all).await.as_deref(), Some("event: changed\ndata: 1\n\n"));
    w.logs(w.odo, w.at, 490.0).await;
    assert_eq!(next(&mut all).await.as_deref(), Some("event: changed\ndata: 2\n\n"));
    assert_eq!(next(&mut own).await.as_deref(), Some("event: changed\ndata: 1\n\n"), "of the group's own, and of no other");
    w.practice.app.live.end();
    assert_eq!(next(&mut own).await, None, "Pia's was never told");
}
