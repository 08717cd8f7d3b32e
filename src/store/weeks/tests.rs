//! Drafts, versions and what members see of them.

use super::*;
use crate::store::people::{NewPerson, Role, Units};
use crate::training::calendar::Zone;
use time::macros::{date, datetime};

const NOW: OffsetDateTime = datetime!(2026-11-25 12:00 UTC);
const DAY: Date = date!(2026 - 11 - 25);
const MONDAY: Date = date!(2026 - 11 - 23);

struct Bench {
    store: Store,
    group: GroupId,
    coach: PersonId,
    member: PersonId,
    _folder: tempfile::TempDir,
}

async fn bench() -> Bench {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::open(&folder.path().join("dowel.db")).await.unwrap();
    let person = |role, name: &str| NewPerson {
        role,
        sign_in: name.to_owned(),
        name: name.to_owned(),
        password_hash: None,
        zone: Zone::default(),
        units: Units::Kg,
    };
    let coach = store.add_person(&person(Role::Coach, "mara"), NOW).await.unwrap();
    let member = store.add_person(&person(Role::Member, "ines"), NOW).await.unwrap();
    let group = store.add_group("Harbour", "", NOW).await.unwrap();
    store.join_group(group, member, NOW).await.unwrap();
    Bench { store, group, coach, member, _folder: folder }
}

fn to_publish(id: SessionId, draft_edit: i64, title: &str) -> ToPublish {
    let session = Session { title: title.to_owned(), ..Session::default() };
    ToPublish { id, draft_edit, session, change_note: String::new() }
}

#[tokio::test]
async fn a_stale_tab_never_overwrites() {
    let b = bench().await;
    let (_, first) = b.store.save_draft(b.group, DAY, 1, "one", 0, NOW).await.unwrap();
    b.store.save_draft(b.group, DAY, 1, "two", first, NOW).await.unwrap();
    let stale = b.store.save_draft(b.group, DAY, 1, "three", first, NOW).await;
    assert!(matches!(stale, Err(StoreError::Stale)));
    assert_eq!(b.store.slot(b.group, DAY, 1).await.unwrap().unwrap().draft, "two");
}

#[tokio::test]
async fn typing_changes_nothing_that_members_see() {
    let b = bench().await;
    let (id, edit) = b.store.save_draft(b.group, DAY, 1, "one", 0, NOW).await.unwrap();
    assert!(b.store.live_on(b.member, DAY).await.unwrap().is_empty());
    b.store.publish(&[to_publish(id, edit, "first")], b.coach, NOW).await.unwrap();
    let (_, edit) = b.store.save_draft(b.group, DAY, 1, "two", edit, NOW).await.unwrap();
    let seen = b.store.live_on(b.member, DAY).await.unwrap();
    assert_eq!((seen[0].text.as_str(), seen[0].number), ("one", 1));
    assert!(b.store.slot_by_id(id).await.unwrap().live.unwrap().changed_since);
    b.store.publish(&[to_publish(id, edit, "second")], b.coach, NOW).await.unwrap();
    let seen = b.store.live_for(b.member, id).await.unwrap();
    assert_eq!((seen.session.title.as_str(), seen.number), ("second", 2));
    assert_eq!(b.store.versions(id).await.unwrap().len(), 2);
}

#[tokio::test]
async fn publishing_a_draft_that_changed_after_it_was_read_is_refused() {
    let b = bench().await;
    let (id, edit) = b.store.save_draft(b.group, DAY, 1, "one", 0, NOW).await.unwrap();
    b.store.save_draft(b.group, DAY, 1, "two", edit, NOW).await.unwrap();
    let stale = b.store.publish(&[to_publish(id, edit, "first")], b.coach, NOW).await;
    assert!(matches!(stale, Err(StoreError::Stale)));
    assert!(b.store.live_on(b.member, DAY).await.unwrap().is_empty());
}

#[tokio::test]
async fn a_week_taken_back_is_gone_for_members_and_kept_for_the_coach() {
    let b = bench().await;
    let (id, edit) = b.store.save_draft(b.group, DAY, 1, "one", 0, NOW).await.unwrap();
    b.store.publish(&[to_publish(id, edit, "first")], b.coach, NOW).await.unwrap();
    assert_eq!(b.store.unpublish_week(b.group, MONDAY).await.unwrap(), 1);
    assert!(matches!(b.store.live_for(b.member, id).await, Err(StoreError::NotFound)));
    assert_eq!(b.store.week(b.group, MONDAY).await.unwrap()[0].draft, "one");
}

#[tokio::test]
async fn copying_a_week_leaves_what_stands_there() {
    let b = bench().await;
    let next = MONDAY + Duration::days(7);
    b.store.save_draft(b.group, DAY, 1, "wed", 0, NOW).await.unwrap();
    b.store.save_draft(b.group, MONDAY, 1, "mon", 0, NOW).await.unwrap();
    b.store.save_draft(b.group, next, 1, "mine", 0, NOW).await.unwrap();
    assert_eq!(b.store.copy_week((b.group, MONDAY), (b.group, next), NOW).await.unwrap(), (1, 1));
    let week = b.store.week(b.group, next).await.unwrap();
    assert_eq!(week.iter().map(|s| s.draft.as_str()).collect::<Vec<_>>(), ["mine", "wed"]);
}

#[tokio::test]
async fn somebody_elses_session_is_not_found() {
    let b = bench().await;
    let other = b.store.add_group("Lighthouse", "", NOW).await.unwrap();
    let (id, edit) = b.store.save_draft(other, DAY, 1, "one", 0, NOW).await.unwrap();
    b.store.publish(&[to_publish(id, edit, "first")], b.coach, NOW).await.unwrap();
    assert!(matches!(b.store.live_for(b.member, id).await, Err(StoreError::NotFound)));
}
