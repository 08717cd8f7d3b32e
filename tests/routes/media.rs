//! Uploaded files.

use crate::practice::{NOW, Practice, location};
use crate::published::{DAY, slow_then_fast};
use axum_test::TestServer;
use dowel::store::ids::GroupId;
use dowel::store::media::Incoming;
use dowel::store::people::{NewPerson, Role, Units};
use dowel::store::weeks::{ToPublish, Video};

const BYTES: &[u8] = b"0123456789 and a long enough tail that somebody might think of making it smaller on the way";

/// A signed-in member's browser, and the address of a file.
async fn bench() -> (Practice, TestServer, String) {
    let practice = Practice::new().await;
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    let mut incoming = Incoming::open(&practice.app.config.data).await.unwrap();
    incoming.write(BYTES).await.unwrap();
    let hash = incoming.keep().await.unwrap();
    let media = practice.app.store.add_media(&hash, "video/mp4", 91, "talk.mp4", NOW).await.unwrap();
    let coach = practice.coach("Mara").await;
    let (id, draft_edit) = practice.app.store.save_draft(group, DAY, 1, "typed", 0, NOW).await.unwrap();
    practice.app.store.save_video(id, &Video { url: None, media: Some(media) }).await.unwrap();
    let out = ToPublish { id, draft_edit, session: slow_then_fast(), change_note: String::new() };
    practice.app.store.publish(&[out], coach, NOW).await.unwrap();
    let browser = practice.as_person(ines).await;
    (practice, browser, format!("/media/{hash}"))
}

fn header(response: &axum_test::TestResponse, name: &str) -> String {
    response.headers().get(name).map(|v| v.to_str().unwrap().to_owned()).unwrap_or_default()
}

#[tokio::test]
async fn a_stranger_signs_in_first() {
    let (practice, _, address) = bench().await;
    assert!(location(&practice.browser().get(&address).await).starts_with("/sign-in"));
}

#[tokio::test]
async fn a_file_is_for_the_group_that_has_it_and_for_coaches() {
    let (practice, _, address) = bench().await;
    let lighthouse = practice.group("Lighthouse").await;
    let pia = practice.member("Pia", lighthouse).await;
    assert_eq!(practice.as_person(pia).await.get(&address).await.status_code(), 404);
    assert_eq!(practice.as_coach("Lou").await.get(&address).await.status_code(), 200);
    // somebody who joined and has not read the cautions yet
    let new = NewPerson {
        role: Role::Member,
        sign_in: "new@example.org".to_owned(),
        name: "New".to_owned(),
        password_hash: None,
        zone: dowel::training::calendar::Zone::default(),
        units: Units::Kg,
    };
    let new = practice.app.store.add_person(&new, NOW).await.unwrap();
    practice.app.store.join_group(GroupId(1), new, NOW).await.unwrap();
    assert_eq!(location(&practice.as_person(new).await.get(&address).await), "/welcome/kit");
}

#[tokio::test]
async fn a_file_that_is_not_out_yet_or_no_more_is_the_coachs() {
    let (practice, browser, address) = bench().await;
    let id = practice.app.store.slot(GroupId(1), DAY, 1).await.unwrap().unwrap().id;
    practice.app.store.unpublish(id).await.unwrap();
    assert_eq!(browser.get(&address).await.status_code(), 404);
    assert_eq!(practice.as_coach("Lou").await.get(&address).await.status_code(), 200);
}

#[tokio::test]
async fn a_file_comes_whole_with_its_type_and_is_kept_by_the_browser() {
    let (_practice, browser, address) = bench().await;
    let response = browser.get(&address).add_header("accept-encoding", "gzip, br").await;
    assert_eq!((response.status_code().as_u16(), response.as_bytes().as_ref()), (200, BYTES));
    assert_eq!(header(&response, "content-type"), "video/mp4");
    assert_eq!(header(&response, "accept-ranges"), "bytes");
    assert_eq!(header(&response, "content-encoding"), "", "a video is small already");
    assert_eq!(header(&response, "cache-control"), "private, max-age=31536000, immutable");
    assert_eq!(header(&response, "x-content-type-options"), "nosniff");
    assert!(header(&response, "content-security-policy").contains("sandbox"));
}

#[tokio::test]
async fn one_can_jump_into_the_middle() {
    // RFC 9110, section 14: a range, an open range, the last bytes, and one that is not there
    let (_practice, browser, address) = bench().await;
    for (range, status, bytes, says) in [
        ("bytes=2-5", 206, &BYTES[2..6], "bytes 2-5/91"),
        ("bytes=85-", 206, &BYTES[85..], "bytes 85-90/91"),
        ("bytes=-4", 206, &BYTES[87..], "bytes 87-90/91"),
        ("bytes=500-", 416, &BYTES[..0], "bytes */91"),
    ] {
        let response = browser.get(&address).add_header("range", range).await;
        assert_eq!((response.status_code().as_u16(), header(&response, "content-range").as_str()), (status, says), "{range}");
        if status == 206 {
            assert_eq!(response.as_bytes().as_ref(), bytes, "{range}");
        }
    }
}

#[tokio::test]
async fn a_range_that_is_none_is_as_if_none_was_asked_for() {
    // RFC 9110, section 14.2: an unknown unit, a wrong form, the wrong way round, more than one
    let (_practice, browser, address) = bench().await;
    for range in ["lines=2-5", "bytes=a-b", "bytes=5-2", "bytes=", "bytes=-", "bytes=0-1,4-5", "2-5"] {
        let response = browser.get(&address).add_header("range", range).await;
        assert_eq!((response.status_code().as_u16(), response.as_bytes().as_ref()), (200, BYTES), "{range}");
    }
}

#[tokio::test]
async fn a_download_goes_on_only_with_the_very_bytes_it_began_with() {
    // RFC 9110, section 13.1.5: If-Range with the strong entity tag of these bytes, of others, a weak one, and a date
    let (_practice, browser, address) = bench().await;
    let tag = header(&browser.get(&address).await, "etag");
    assert_eq!(tag, format!("\"{}\"", address.rsplit('/').next().unwrap()));
    for (condition, status) in [
        (tag.clone(), 206),
        ("\"other\"".to_owned(), 200),
        (format!("W/{tag}"), 200),
        ("Wed, 25 Nov 2026 12:00:00 GMT".to_owned(), 200),
    ] {
        let response = browser.get(&address).add_header("range", "bytes=2-5").add_header("if-range", condition.clone()).await;
        assert_eq!(response.status_code(), status, "{condition}");
    }
    let known = browser.get(&address).add_header("if-none-match", tag).await;
    assert_eq!((known.status_code().as_u16(), known.as_bytes().len()), (304, 0));
}

#[tokio::test]
async fn no_other_file_can_be_asked_for() {
    let (practice, browser, address) = bench().await;
    std::fs::write(practice.app.config.data.join("media").join("stray"), "not uploaded").unwrap();
    for path in [
        "/media/stray".to_owned(),
        "/media/..%2Fdowel.db".to_owned(),
        "/media/%2e%2e%2fdowel.db".to_owned(),
        "/media/..%5Cdowel.db".to_owned(),
        "/media/%2Fetc%2Fpasswd".to_owned(),
        address.to_uppercase().replace("/MEDIA", "/media"),
        format!("{address}%00"),
        format!("/media/{}", "0".repeat(64)),
    ] {
        assert_eq!(browser.get(&path).await.status_code(), 404, "{path}");
    }
}

#[tokio::test]
async fn a_file_that_went_missing_is_not_there() {
    let (practice, browser, address) = bench().await;
    let file = practice.app.config.data.join("media").join(address.rsplit('/').next().unwrap());
    std::fs::remove_file(file).unwrap();
    assert_eq!(browser.get(&address).await.status_code(), 404);
}
