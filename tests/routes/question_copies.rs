//! A shared answer stands at the same line in copies of its session, for the group in which it was asked.

use crate::practice::{NOW, Practice, texts};
use crate::published::{DAY, Place, publish, slow_then_fast};
use dowel::store::ids::{GroupId, PersonId, QuestionId};
use dowel::store::questions::{NewQuestion, Reply};
use dowel::store::weeks::ToPublish;
use dowel::training::calendar;
use dowel::training::dose::Amount;
use dowel::training::session::Session;
use time::Duration;

struct Bench {
    practice: Practice,
    coach: PersonId,
    harbour: GroupId,
    lighthouse: GroupId,
    ines: PersonId,
    odo: PersonId,
    pia: PersonId,
    at: Place,
}

impl Bench {
    async fn new() -> Self {
        let practice = Practice::new().await;
        let coach = practice.coach("Mara").await;
        let (harbour, lighthouse) = (practice.group("Harbour").await, practice.group("Lighthouse").await);
        let (ines, odo) = (practice.member("Ines", harbour).await, practice.member("Odo", harbour).await);
        let pia = practice.member("Pia", lighthouse).await;
        let at = publish(&practice, harbour, coach, DAY - Duration::weeks(2), slow_then_fast()).await;
        Self { practice, coach, harbour, lighthouse, ines, odo, pia, at }
    }

    /// Ines asked at the push-ups of the second part, and got an answer.
    async fn answered(&self, shared: bool) -> QuestionId {
        let new = NewQuestion {
            session_id: self.at.id,
            version: None,
            part: Some(1),
            line: Some(0),
            text: "Hands how wide?".to_owned(),
            client_id: None,
        };
        let id = self.practice.app.store.ask(self.ines, &new, NOW).await.unwrap();
        self.practice
            .app
            .store
            .answer(id, Reply { text: "Shoulder wide.", shared, stays_out: false }, self.coach, NOW)
            .await
            .unwrap();
        id
    }

    /// Copies the week of this many weeks ago to another, and publishes what stands there by then.
    async fn copied(&self, from: i64, to: (GroupId, i64), session: Session) -> Place {
        let store = &self.practice.app.store;
        let monday = |ago: i64| calendar::monday(DAY) - Duration::weeks(ago);
        store.copy_week((self.harbour, monday(from)), (to.0, monday(to.1)), NOW).await.unwrap();
        let slot = store.week(to.0, monday(to.1)).await.unwrap().remove(0);
        let publish = ToPublish { id: slot.id, draft_edit: slot.draft_edit, session, change_note: String::new() };
        store.publish(&[publish], self.coach, NOW).await.unwrap();
        Place { id: slot.id, version: store.versions(slot.id).await.unwrap()[0].version_id }
    }

    /// What this member reads of others' questions, on the day of a session and beside the form that asks.
    async fn reads(&self, who: PersonId, at: Place) -> [bool; 2] {
        let browser = self.practice.as_person(who).await;
        let day = self.practice.app.store.slot_by_id(at.id).await.unwrap().day;
        let day = browser.get(&format!("/days/{}", calendar::iso(day))).await.text();
        let ask = browser.get(&format!("/sessions/{}/questions", at.id)).await.text();
        [day, ask].map(|page| page.contains("Shoulder wide."))
    }
}

#[tokio::test]
async fn a_shared_answer_goes_with_a_copy_of_its_week_and_with_a_copy_of_that() {
    let b = Bench::new().await;
    b.answered(true).await;
    let last = b.copied(2, (b.harbour, 1), slow_then_fast()).await;
    let this = b.copied(1, (b.harbour, 0), slow_then_fast()).await;
    for at in [b.at, last, this] {
        assert_eq!(b.reads(b.odo, at).await, [true, true]);
    }
    let page = b.practice.as_person(b.odo).await.get("/today").await;
    assert!(!page.text().contains("Ines"), "who asked is nobody else's business");
    let lines = texts(&page, &format!("#s{}p1 .line", this.id));
    let says: Vec<bool> = lines.iter().map(|line| line.contains("Shoulder wide.")).collect();
    assert_eq!(says, [true, false], "at the line that it was asked about: {lines:?}");
    let note = texts(&b.practice.as_person(b.odo).await.get(&format!("/sessions/{}/questions", this.id)).await, ".message .note");
    assert!(note[0].contains("Somebody in the group"), "{note:?}");
}

#[tokio::test]
async fn an_answer_that_is_not_shared_stays_with_who_asked() {
    let b = Bench::new().await;
    b.answered(false).await;
    let copy = b.copied(2, (b.harbour, 0), slow_then_fast()).await;
    assert_eq!(b.reads(b.odo, copy).await, [false, false]);
    assert!(!b.reads(b.ines, copy).await[1], "today tells her that it was answered; the copy has nothing of it");
    assert_eq!(b.reads(b.ines, b.at).await, [true, true]);
}

#[tokio::test]
async fn a_line_that_is_another_in_the_copy_gets_no_old_answer() {
    let b = Bench::new().await;
    b.answered(true).await;
    let mut changed = slow_then_fast();
    changed.parts[1].lines[0].reps = Some(Amount::One(20.0));
    let copy = b.copied(2, (b.harbour, 0), changed).await;
    assert_eq!(b.reads(b.odo, copy).await, [false, false]);
}

#[tokio::test]
async fn another_group_does_not_read_what_was_shared_with_the_first() {
    let b = Bench::new().await;
    b.answered(true).await;
    let copy = b.copied(2, (b.lighthouse, 0), slow_then_fast()).await;
    assert_eq!(b.reads(b.pia, copy).await, [false, false]);
    // who was in the group in which it was asked may read it wherever the line is
    b.practice.app.store.join_group(b.lighthouse, b.odo, NOW).await.unwrap();
    assert_eq!(b.reads(b.odo, copy).await, [true, true]);
}
