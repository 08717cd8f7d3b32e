//! Uploads that are cut off and go on.

use crate::practice::{NOW, Practice, location};
use axum_test::{TestResponse, TestServer};
use dowel::clock::Clock;
use dowel::store::ids::GroupId;
use dowel::store::uploads;
use dowel::web::App;
use dowel::web::server::{Deadlines, Guests, serve};
use sha2::{Digest, Sha256};
use std::net::SocketAddr;
use time::Duration;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::oneshot;

/// Bytes that begin as an MP4 does and go on without a pattern.
fn video(len: usize) -> Vec<u8> {
    let mut bytes = b"\x00\x00\x00\x18ftypisom\x00\x00\x02\x00".to_vec();
    let mut x = 0x2545_f491_u32;
    while bytes.len() < len {
        x ^= x << 13;
        x ^= x >> 17;
        x ^= x << 5;
        bytes.push(x.to_le_bytes()[1]);
    }
    bytes
}

fn hex(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|b| format!("{b:02x}")).collect()
}

async fn harbour() -> (Practice, TestServer, GroupId) {
    let practice = Practice::new().await;
    let mara = practice.as_coach("Mara").await;
    let group = practice.group("Harbour").await;
    (practice, mara, group)
}

fn begin_at(group: GroupId) -> String {
    format!("/groups/{group}/days/2026-11-25/1/video/uploads")
}

async fn begin(mara: &TestServer, group: GroupId, bytes: usize) -> TestResponse {
    let name = serde_json::json!({ "name": "C:\\clips\\talk.mp4" });
    mara.post(&begin_at(group)).add_header("upload-length", bytes.to_string()).json(&name).await
}

async fn piece(mara: &TestServer, at: &str, offset: usize, bytes: &[u8], last: bool) -> TestResponse {
    mara.patch(at)
        .content_type("application/partial-upload")
        .add_header("upload-offset", offset.to_string())
        .add_header("upload-complete", if last { "?1" } else { "?0" })
        .bytes(bytes.to_vec().into())
        // axum-test puts its own content type in place with the bytes
        .content_type("application/partial-upload")
        .await
}

async fn head(browser: &TestServer, at: &str) -> TestResponse {
    browser.method(axum::http::Method::HEAD, at).await
}

fn header(response: &TestResponse, name: &str) -> String {
    response.headers().get(name).map(|v| v.to_str().unwrap().to_owned()).unwrap_or_default()
}

fn files(practice: &Practice) -> Vec<String> {
    let Ok(folder) = std::fs::read_dir(practice.app.config.data.join("media")) else { return Vec::new() };
    folder.map(|e| e.unwrap().file_name().into_string().unwrap()).collect()
}

#[tokio::test]
async fn a_file_in_pieces_lies_under_its_hash_and_stands_on_its_session() {
    let (practice, mara, group) = harbour().await;
    let bytes = video(30_000);
    let begun = begin(&mara, group, bytes.len()).await;
    assert_eq!((begun.status_code().as_u16(), header(&begun, "upload-offset").as_str()), (201, "0"));
    assert!(header(&begun, "upload-limit").starts_with("max-size=5000000"));
    let at = location(&begun);
    let answer = piece(&mara, &at, 0, &bytes[..20_000], false).await;
    assert_eq!((answer.status_code().as_u16(), header(&answer, "upload-offset").as_str()), (204, "20000"));
    let standing = head(&mara, &at).await;
    assert_eq!((header(&standing, "upload-offset").as_str(), header(&standing, "upload-complete").as_str()), ("20000", "?0"));
    assert_eq!((header(&standing, "upload-length").as_str(), header(&standing, "cache-control").as_str()), ("30000", "no-store"));
    let done = piece(&mara, &at, 20_000, &bytes[20_000..], true).await;
    assert_eq!((done.status_code().as_u16(), header(&done, "upload-complete").as_str()), (200, "?1"));
    assert_eq!(header(&done, "content-location"), format!("/media/{}", hex(&bytes)));
    assert_eq!(files(&practice), [hex(&bytes)]);
    let slot = practice.app.store.slot(group, crate::published::DAY, 1).await.unwrap().unwrap();
    let media = practice.app.store.media(slot.video.media.unwrap()).await.unwrap();
    assert_eq!((media.name.as_str(), media.kind.as_str(), media.bytes), ("talk.mp4", "video/mp4", 30_000));
    // the answer may be lost: who asks again learns that it is done
    let standing = head(&mara, &at).await;
    assert_eq!((header(&standing, "upload-offset").as_str(), header(&standing, "upload-complete").as_str()), ("30000", "?1"));
}

#[tokio::test]
async fn only_the_coach_who_began_it_reaches_an_upload() {
    let (practice, mara, group) = harbour().await;
    let bytes = video(5_000);
    let at = location(&begin(&mara, group, bytes.len()).await);
    let member = practice.as_person(practice.member("Ines", group).await).await;
    let other = practice.as_coach("Timo").await;
    assert_eq!(begin(&member, group, 5_000).await.status_code(), 404);
    for browser in [&member, &other] {
        assert_eq!(piece(browser, &at, 0, &bytes, true).await.status_code(), 404);
        assert_eq!(head(browser, &at).await.status_code(), 404);
        assert_eq!(browser.delete(&at).await.status_code(), 404);
    }
    let stranger = practice.browser();
    assert!(location(&piece(&stranger, &at, 0, &bytes, true).await).starts_with("/sign-in"));
    assert!(location(&begin(&stranger, group, 5_000).await).starts_with("/sign-in"));
    assert_eq!(header(&head(&mara, &at).await, "upload-offset"), "0");
}

#[tokio::test]
async fn what_does_not_fit_is_refused_and_changes_nothing() {
    let (practice, mara, group) = harbour().await;
    assert_eq!(begin(&mara, group, 5_000_001).await.status_code(), 413);
    assert_eq!(begin(&mara, group, 0).await.status_code(), 400);
    assert_eq!(begin(&mara, GroupId(999), 10).await.status_code(), 404);
    assert!(files(&practice).is_empty());
    let bytes = video(9_000);
    let at = location(&begin(&mara, group, bytes.len()).await);
    piece(&mara, &at, 0, &bytes[..6_000], false).await;
    for (offset, part, last, status) in [
        (0, &bytes[..100], false, 409),
        (7_000, &bytes[7_000..], true, 409),
        (6_000, &bytes[..], false, 400),
        (6_000, &bytes[6_000..6_000], true, 400),
    ] {
        let answer = piece(&mara, &at, offset, part, last).await;
        assert_eq!((answer.status_code().as_u16(), header(&answer, "upload-offset").as_str()), (status, "6000"), "{offset}");
        assert_eq!(header(&answer, "content-type"), "application/problem+json");
    }
    assert_eq!(mara.patch(&at).add_header("upload-offset", "6000").text("x").await.status_code(), 415);
    assert_eq!(piece(&mara, &at, 6_000, &bytes[6_000..], true).await.status_code(), 200);
    // done is done
    assert_eq!(piece(&mara, &at, 9_000, b"", true).await.status_code(), 409);
    assert_eq!(head(&mara, "/uploads/0123456789abcdef01234567").await.status_code(), 404);
}

#[tokio::test]
async fn what_is_no_video_is_refused_by_its_bytes_whatever_it_is_called() {
    let (practice, mara, group) = harbour().await;
    let page = vec![b'<'; 5_000];
    let at = location(&begin(&mara, group, 9_000).await);
    assert_eq!(piece(&mara, &at, 0, &page, false).await.status_code(), 415, "before the rest is sent");
    let short = location(&begin(&mara, group, 10).await);
    assert_eq!(piece(&mara, &short, 0, b"<html>1234", true).await.status_code(), 415);
    assert_eq!(head(&mara, &at).await.status_code(), 404);
    assert!(files(&practice).is_empty());
}

#[tokio::test]
async fn what_is_given_up_or_left_for_days_is_removed() {
    let (practice, mara, group) = harbour().await;
    let (given_up, left) = (location(&begin(&mara, group, 9_000).await), location(&begin(&mara, group, 9_000).await));
    assert_eq!(mara.delete(&given_up).await.status_code(), 204);
    assert_eq!(head(&mara, &given_up).await.status_code(), 404);
    practice.app.clock.set(NOW + Duration::days(2));
    piece(&mara, &left, 0, &video(6_000), false).await;
    practice.app.clock.set(NOW + Duration::days(4));
    practice.app.store.sweep_uploads(&practice.app.config.data, practice.app.clock.now()).await.unwrap();
    assert_eq!(header(&head(&mara, &left).await, "upload-offset"), "6000", "something came two days ago");
    practice.app.clock.set(NOW + Duration::days(6));
    begin(&mara, group, 9_000).await;
    assert_eq!(head(&mara, &left).await.status_code(), 404);
    assert_eq!(files(&practice).len(), 1);
}

#[tokio::test]
async fn one_request_at_a_time_writes() {
    let (practice, mara, group) = harbour().await;
    let at = location(&begin(&mara, group, 9_000).await);
    let id = at.rsplit('/').next().unwrap();
    let held = uploads::open(&practice.app.config.data, id).unwrap().unwrap();
    assert_eq!(piece(&mara, &at, 0, &video(9_000), true).await.status_code(), 423);
    drop(held);
    assert_eq!(piece(&mara, &at, 0, &video(9_000), true).await.status_code(), 200);
}

/// The program itself on a port, with a folder that stays.
async fn running(app: App) -> (SocketAddr, oneshot::Sender<()>, tokio::task::JoinHandle<()>) {
    let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let address = listener.local_addr().unwrap();
    let (stop, stopped) = oneshot::channel();
    let metrics = app.metrics.clone();
    let router = dowel::web::routes::router(app);
    let serving = tokio::spawn(async move {
        serve(listener, router, metrics, (Deadlines::default(), Guests::default()), async {
            let _ = stopped.await;
        })
        .await
        .unwrap();
    });
    (address, stop, serving)
}

/// Says it, and the answer to its end; `cut`: the line breaks after so many bytes and nobody hears the answer.
async fn say(address: SocketAddr, words: &[u8], cut: Option<usize>) -> String {
    let mut line = TcpStream::connect(address).await.unwrap();
    let _ = line.write_all(&words[..cut.unwrap_or(words.len())]).await;
    if cut.is_some() {
        let _ = line.shutdown().await;
    }
    let mut answer = Vec::new();
    let _ = line.read_to_end(&mut answer).await;
    String::from_utf8_lossy(&answer).to_lowercase()
}

fn request(method: &str, at: &str, cookie: &str, more: &str, body: &[u8]) -> Vec<u8> {
    let head = format!(
        "{method} {at} HTTP/1.1\r\nhost: x\r\ncookie: {cookie}\r\nconnection: close\r\ncontent-length: {}\r\n{more}\r\n",
        body.len()
    );
    [head.as_bytes(), body].concat()
}

fn offset_of(answer: &str) -> usize {
    answer.lines().find_map(|l| l.strip_prefix("upload-offset: ")).unwrap().trim().parse().unwrap()
}

#[tokio::test]
async fn cut_off_at_any_byte_and_with_the_program_started_anew_it_ends_with_the_same_hash() {
    let (practice, mara, group) = harbour().await;
    let coach = practice.coach("Nele").await;
    let cookie = practice.cookie_of(coach).await;
    drop(mara);
    let bytes = video(400_000);
    let (mut address, mut stop, mut serving) = running(practice.app.clone()).await;
    let json = br#"{"name":"talk.mp4"}"#;
    let more = format!("upload-length: {}\r\ncontent-type: application/json\r\n", bytes.len());
    let begun = say(address, &request("POST", &begin_at(group), &cookie, &more, json), None).await;
    let at = begun.lines().find_map(|l| l.strip_prefix("location: ")).unwrap().trim().to_owned();
    let (mut x, mut cuts, mut lost) = (0x9e37_79b9_u32, 0, 0);
    loop {
        let standing = say(address, &request("HEAD", &at, &cookie, "", b""), None).await;
        let offset = offset_of(&standing);
        if cuts == 12 {
            let more = format!("content-type: application/partial-upload\r\nupload-offset: {offset}\r\nupload-complete: ?1\r\n");
            let done = say(address, &request("PATCH", &at, &cookie, &more, &bytes[offset..]), None).await;
            assert!(done.starts_with("http/1.1 200"), "{done}");
            break;
        }
        let more = format!("content-type: application/partial-upload\r\nupload-offset: {offset}\r\nupload-complete: ?1\r\n");
        let whole = request("PATCH", &at, &cookie, &more, &bytes[offset..]);
        x ^= x << 13;
        x ^= x >> 17;
        x ^= x << 5;
        // anywhere within the head or the next part of the body, so that twelve cuts fit
        let cut = x as usize % (whole.len() / 6);
        say(address, &whole, Some(cut)).await;
        cuts += 1;
        if cuts % 4 == 0 {
            stop.send(()).unwrap();
            serving.await.unwrap();
            practice.app.store.clone().close().await;
            let app = App::open((*practice.app.config).clone(), Clock::standing(NOW)).await.unwrap();
            (address, stop, serving) = running(app).await;
        }
        let now = offset_of(&say(address, &request("HEAD", &at, &cookie, "", b""), None).await);
        assert!(now >= offset, "nothing that came is lost");
        lost += usize::from(now == offset);
    }
    assert!(lost < 12, "cut pieces are kept");
    let kept = practice.app.config.data.join("media").join(hex(&bytes));
    assert_eq!(std::fs::read(kept).unwrap(), bytes);
    let _ = stop.send(());
}
