//! A draft against the group before it is published.

use crate::practice::{NOW, Practice, attributes, location, texts};
use crate::published::DAY;
use axum_test::TestServer;
use dowel::store::ids::{GroupId, PersonId};
use dowel::training::member::KitItem;

const DRAFT: &str = "Tide table\n\nFor time\n30 air squats\n10 dumbbell snatches, 15 kg\n";

struct Harbour {
    practice: Practice,
    mara: TestServer,
    group: GroupId,
}

impl Harbour {
    async fn new() -> Self {
        let practice = Practice::new().await;
        let mara = practice.as_coach("Mara").await;
        let group = practice.group("Harbour").await;
        practice.app.store.save_draft(group, DAY, 1, DRAFT, 0, NOW).await.unwrap();
        Self { practice, mara, group }
    }

    fn address(&self) -> String {
        format!("/groups/{}/days/2026-11-25/1/coverage", self.group)
    }

    fn preview(&self, of: PersonId) -> String {
        format!("/groups/{}/days/2026-11-25/1/as/{of}", self.group)
    }

    async fn with_dumbbell(&self, name: &str) -> PersonId {
        let id = self.practice.member(name, self.group).await;
        let kit = KitItem { item: "dumbbell".to_owned(), kg: vec![15.0], count: Some(1), ..KitItem::default() };
        self.practice.app.store.save_kit(id, &[kit], NOW).await.unwrap();
        id
    }

    /// Given nothing: a person decides first.
    async fn expecting(&self, name: &str) -> PersonId {
        let id = self.practice.member(name, self.group).await;
        self.practice.app.store.save_limits(id, &[], Some("I am pregnant")).await.unwrap();
        id
    }
}

#[tokio::test]
async fn coverage_is_for_coaches_alone_and_only_where_something_is_written() {
    let h = Harbour::new().await;
    let ines = h.practice.member("Ines", h.group).await;
    assert!(location(&h.practice.browser().get(&h.address()).await).starts_with("/sign-in"));
    assert_eq!(h.practice.as_person(ines).await.get(&h.address()).await.status_code(), 404);
    for bad in ["2026-11-26/1", "2026-02-30/1", "2026-11-25/9"] {
        let address = format!("/groups/{}/days/{bad}/coverage", h.group);
        assert_eq!(h.mara.get(&address).await.status_code(), 404, "{bad}");
    }
}

#[tokio::test]
async fn a_group_of_nobody_and_a_draft_of_nothing_say_so() {
    let h = Harbour::new().await;
    assert_eq!(texts(&h.mara.get(&h.address()).await, ".empty").len(), 1);
    h.practice.app.store.save_draft(h.group, DAY, 2, "", 0, NOW).await.unwrap();
    let page = h.mara.get(&h.address().replace("25/1/", "25/2/")).await;
    assert_eq!((texts(&page, ".empty").len(), texts(&page, ".card").len()), (1, 0));
}

#[tokio::test]
async fn the_coach_sees_line_by_line_who_is_served_who_changes_and_who_has_nothing() {
    let h = Harbour::new().await;
    h.with_dumbbell("Ines").await;
    let bo = h.practice.member("Bo <b>", h.group).await;
    let una = h.expecting("Una").await;
    let page = h.mara.get(&h.address()).await;
    assert_eq!(
        texts(&page, "[data-summary]"),
        ["1 does all of it as written, 1 gets a change, nothing is given to Una until you have talked \
          (what they told you stands on their page)."]
    );
    assert_eq!(texts(&page, ".card h3").len(), 2);
    assert_eq!(texts(&page, ".served"), ["2 of 3 as written.", "1 of 3 as written."]);
    assert_eq!(attributes(&page, ".card details .who a", "href"), [h.preview(bo)]);
    assert_eq!(texts(&page, ".card details .who"), ["Bo <b>"]);
    assert_eq!(
        attributes(&page, ".card .ask a", "href"),
        vec![format!("/people/{una}"); 2],
        "it waits for the coach, whose page says why"
    );
    assert_eq!(texts(&page, ".card .bad"), Vec::<String>::new(), "and is not called without a sound version");
}

#[tokio::test]
async fn members_of_other_groups_and_those_who_left_are_not_counted() {
    let h = Harbour::new().await;
    h.with_dumbbell("Ines").await;
    let gone = h.with_dumbbell("Gil").await;
    h.practice.app.store.end_membership(gone, NOW).await.unwrap();
    let other = h.practice.group("Lighthouse").await;
    h.practice.member("Otis", other).await;
    let page = h.mara.get(&h.address()).await;
    assert_eq!(texts(&page, "[data-summary]"), ["1 does all of it as written, 0 get a change."]);
    assert_eq!(texts(&page, ".served")[0], "Everybody does it as written.");
}

#[tokio::test]
async fn a_scored_part_without_a_shorter_version_is_asked_about() {
    let h = Harbour::new().await;
    assert_eq!(texts(&h.mara.get(&h.address()).await, ".notice.ask").len(), 1);
    let text = format!("{DRAFT}or shorter: 2 rounds\n");
    h.practice.app.store.save_draft(h.group, DAY, 1, &text, 1, NOW).await.unwrap();
    assert!(texts(&h.mara.get(&h.address()).await, ".notice.ask").is_empty());
}

#[tokio::test]
async fn publishing_says_in_one_line_how_each_session_fits() {
    let h = Harbour::new().await;
    h.with_dumbbell("Ines").await;
    h.expecting("Una").await;
    let page = h.mara.get(&format!("/groups/{}/weeks/2026-11-23/publish", h.group)).await;
    let link = format!("a[href='{}']", h.address());
    assert_eq!(
        texts(&page, &link),
        ["Wednesday 25 November: 1 does all of it as written, 0 get a change, nothing is given to Una until you have talked \
          (what they told you stands on their page)"]
    );
    for from in [format!("/groups/{}/weeks/2026-11-23", h.group), format!("/groups/{}/days/2026-11-25/1", h.group)] {
        assert_eq!(texts(&h.mara.get(&from).await, &link).len(), 1, "{from}");
    }
}
