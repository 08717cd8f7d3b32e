//! The talk-through: chapters, captions, the member's player, the run sheet.

use crate::practice::{NOW, Practice, attributes, location, texts};
use crate::published::{DAY, Place, publish, slow_then_fast};
use axum_test::multipart::{MultipartForm, Part};
use axum_test::{TestResponse, TestServer};
use dowel::store::ids::{GroupId, PersonId};
use dowel::store::media::Incoming;
use dowel::store::weeks::Video;

const CHAPTERS: &str = "0:00 Hello\n0:10 A. Squats\n1:24 B. Ten rounds\n  1:40 air squat\n4:10 end\n";
const CAPTIONS: &str = "WEBVTT\n\n00:00.000 --> 00:02.000\nFeet flat\n";

struct Bench {
    practice: Practice,
    mara: TestServer,
    ines: TestServer,
    group: GroupId,
    at: Place,
    media: String,
}

/// A published session with an uploaded talk-through.
async fn bench() -> Bench {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let group = practice.group("Harbour").await;
    let media = film(&practice, group).await;
    let at = republish(&practice, group, coach).await;
    let ines = practice.member("Ines", group).await;
    let (mara, ines) = (practice.as_person(coach).await, practice.as_person(ines).await);
    Bench { practice, mara, ines, group, at, media }
}

async fn film(practice: &Practice, group: GroupId) -> String {
    let store = &practice.app.store;
    let mut incoming = Incoming::open(&practice.app.config.data).await.unwrap();
    incoming.write(b"\x00\x00\x00\x18ftypisom and the rest").await.unwrap();
    let hash = incoming.keep().await.unwrap();
    let media = store.add_media(&hash, "video/mp4", 25, "talk.mp4", NOW).await.unwrap();
    let (id, _) = store.save_draft(group, DAY, 1, TYPED, 0, NOW).await.unwrap();
    store.save_video(id, &Video { url: None, media: Some(media) }).await.unwrap();
    store.fit_talk(id, &format!("/media/{hash}"), NOW).await.unwrap();
    format!("/media/{hash}")
}

const TYPED: &str =
    "Slow, then fast\n\nA. Goblet squat\n5x3, rest 60 s\n\nB. For time, cap 15:00\n10 rounds\n8 push-ups\n12 air squats\n";

async fn republish(practice: &Practice, group: GroupId, coach: PersonId) -> Place {
    use dowel::store::weeks::ToPublish;
    let store = &practice.app.store;
    let slot = store.slot(group, DAY, 1).await.unwrap().unwrap();
    let one = ToPublish { id: slot.id, draft_edit: slot.draft_edit, session: slow_then_fast(), change_note: String::new() };
    store.publish(&[one], coach, NOW).await.unwrap();
    Place { id: slot.id, version: store.versions(slot.id).await.unwrap()[0].version_id }
}

fn coachs(group: GroupId, rest: &str) -> String {
    format!("/groups/{group}/days/2026-11-25/1/{rest}")
}

fn members(at: Place, rest: &str) -> String {
    format!("/sessions/{}/video{rest}", at.id)
}

fn typed(text: &str) -> MultipartForm {
    MultipartForm::new()
        .add_text("text", text.to_owned())
        .add_text("length", "")
        .add_part("file", Part::bytes(Vec::new()).file_name(""))
}

fn vtt(bytes: &[u8]) -> MultipartForm {
    MultipartForm::new().add_part("file", Part::bytes(bytes.to_vec()).file_name("talk.vtt").mime_type("text/vtt"))
}

impl Bench {
    async fn chapters(&self, form: MultipartForm) -> TestResponse {
        self.mara.post(&coachs(self.group, "video/chapters")).multipart(form).await
    }

    async fn captions(&self, form: MultipartForm) -> TestResponse {
        self.mara.post(&coachs(self.group, "video/captions")).multipart(form).await
    }
}

#[tokio::test]
async fn typed_chapters_reach_the_members_player_and_the_parts_that_they_show() {
    let b = bench().await;
    assert_eq!(location(&b.chapters(typed(&CHAPTERS.replace('\n', "\r\n"))).await), coachs(b.group, "video?said=saved"));
    let page = b.ines.get(&members(b.at, "")).await;
    assert_eq!(texts(&page, ".chapters li"), ["0:00 Hello", "0:10 A. Squats", "1:24 B. Ten rounds", "1:40 air squat"]);
    assert_eq!(attributes(&page, ".chapters li[id]", "id"), ["part-0", "part-1", "part-1-line-1"]);
    assert_eq!(attributes(&page, ".chapters a", "href")[2], format!("{}#t=84,250", b.media));
    let day = b.ines.get("/days/2026-11-25").await;
    let page = members(b.at, "");
    assert_eq!(attributes(&day, ".do a[href*=video]", "href"), [format!("{page}#part-0"), format!("{page}#part-1")]);
    assert_eq!(attributes(&day, ".line a[href*=video]", "href"), [format!("{page}#part-1-line-1")]);
    let file = b.ines.get(&members(b.at, "/chapters.vtt")).await;
    assert_eq!(file.headers()["content-type"], "text/vtt; charset=utf-8");
    assert!(file.text().contains("01:24.000 --> 04:10.000\nB. Ten rounds\n"), "{}", file.text());
    // and the coach has back what was typed
    assert_eq!(
        texts(&b.mara.get(&coachs(b.group, "video")).await, "#chapter-lines")[0],
        CHAPTERS.split_whitespace().collect::<Vec<_>>().join(" ")
    );
}

#[tokio::test]
async fn the_player_loads_nothing_and_plays_nothing_by_itself() {
    let b = bench().await;
    let page = b.ines.get(&members(b.at, "")).await;
    assert_eq!(attributes(&page, "video", "preload"), ["none"]);
    assert_eq!(attributes(&page, "video", "src"), std::slice::from_ref(&b.media));
    assert_eq!(attributes(&page, "video[controls][playsinline]", "src").len(), 1);
    assert!(attributes(&page, "video", "autoplay").is_empty());
    assert!(page.headers()["content-security-policy"].to_str().unwrap().contains("media-src 'self';"));
}

#[tokio::test]
async fn what_is_wrong_with_chapters_or_captions_is_said_with_its_line() {
    let b = bench().await;
    let page = b.chapters(typed("0:20 A. Squats\n0:10 B")).await;
    assert_eq!(page.status_code(), 422);
    assert!(texts(&page, "#chapter-lines-error li")[0].starts_with("Line 2:"));
    assert_eq!(texts(&page, "#chapter-lines"), ["0:20 A. Squats 0:10 B"]);
    let page = b.captions(vtt(b"WEBVTT\n\n00:00,000 --> 00:02.000\nFeet\n")).await;
    assert_eq!(page.status_code(), 422);
    assert!(texts(&page, "#caption-file-error li")[0].starts_with("Line 3:"));
    let page = b.captions(vtt(b"WEBVTT\n\n00:00.000 --> 00:02.000\nF\xfc\xdfe\n")).await;
    assert!(texts(&page, "#caption-file-error li")[0].starts_with("Line 4:"));
    let over = "WEBVTT\n\n00:00.000 --> 01:00.000\nA\n\n00:30.000 --> 01:30.000\nB\n";
    assert!(texts(&b.chapters(vtt(over.as_bytes())).await, "#chapter-lines-error li")[0].starts_with("Line 6:"));
    assert_eq!(b.ines.get(&members(b.at, "/chapters.vtt")).await.status_code(), 404);
}

#[tokio::test]
async fn captions_come_as_the_file_had_them_and_can_be_taken_out() {
    let b = bench().await;
    assert_eq!(b.captions(vtt(CAPTIONS.as_bytes())).await.status_code(), 303);
    assert_eq!(b.ines.get(&members(b.at, "/captions.vtt")).await.text(), CAPTIONS);
    let page = b.ines.get(&members(b.at, "")).await;
    assert_eq!(attributes(&page, "track[kind=captions]", "src"), [members(b.at, "/captions.vtt")]);
    assert_eq!(b.mara.get(&coachs(b.group, "video/captions.vtt")).await.text(), CAPTIONS);
    b.captions(MultipartForm::new().add_text("remove", "yes")).await;
    assert_eq!(b.ines.get(&members(b.at, "/captions.vtt")).await.status_code(), 404);
    assert_eq!(b.ines.get(&members(b.at, "/other.vtt")).await.status_code(), 404);
}

#[tokio::test]
async fn a_file_of_chapters_is_taken_as_well() {
    let b = bench().await;
    let file = "WEBVTT\n\n00:00.000 --> 01:24.000\nA. Squats\n\n01:24.000 --> 02:00.000\nB &amp; more\n";
    assert_eq!(b.chapters(vtt(file.as_bytes())).await.status_code(), 303);
    assert_eq!(b.ines.get(&members(b.at, "/chapters.vtt")).await.text(), file);
    let page = b.mara.get(&coachs(b.group, "video")).await;
    assert_eq!(texts(&page, "#chapter-lines"), ["0:00 A. Squats 1:24 B & more 2:00 end"]);
    assert!(texts(&page, ".notice")[0].contains("B & more"), "it names no part");
}

#[tokio::test]
async fn the_talk_through_is_for_the_group_and_its_coach() {
    let b = bench().await;
    b.chapters(typed(CHAPTERS)).await;
    b.captions(vtt(CAPTIONS.as_bytes())).await;
    let other = b.practice.group("Lighthouse").await;
    let timo = b.practice.as_person(b.practice.member("Timo", other).await).await;
    let stranger = b.practice.browser();
    for rest in ["", "/chapters.vtt", "/captions.vtt"] {
        let address = members(b.at, rest);
        assert!(location(&stranger.get(&address).await).starts_with("/sign-in"), "{address}");
        assert_eq!(timo.get(&address).await.status_code(), 404, "{address}");
        assert_eq!(b.mara.get(&address).await.status_code(), 404, "{address}: a coach has a page of their own");
        assert_eq!(b.ines.get(&address).await.status_code(), 200, "{address}");
    }
    for rest in ["video", "video/chapters.vtt", "run-sheet"] {
        let address = coachs(b.group, rest);
        assert!(location(&stranger.get(&address).await).starts_with("/sign-in"), "{address}");
        assert_eq!(b.ines.get(&address).await.status_code(), 404, "{address}");
        assert_eq!(b.mara.get(&address).await.status_code(), 200, "{address}");
    }
    for rest in ["video/chapters", "video/captions", "video/fits"] {
        assert_eq!(b.ines.post(&coachs(b.group, rest)).multipart(vtt(CAPTIONS.as_bytes())).await.status_code(), 404, "{rest}");
        let nowhere = coachs(b.group, rest).replace("2026-11-25", "2026-11-26");
        assert_eq!(b.mara.post(&nowhere).multipart(vtt(CAPTIONS.as_bytes())).await.status_code(), 404, "{nowhere}");
    }
    assert_eq!(b.mara.get(&coachs(b.group, "run-sheet").replace("2026-11-25", "2026-11-26")).await.status_code(), 404);
}

#[tokio::test]
async fn a_session_without_a_talk_through_has_no_page_for_it() {
    let practice = Practice::new().await;
    let coach = practice.coach("Mara").await;
    let group = practice.group("Harbour").await;
    let at = publish(&practice, group, coach, DAY, slow_then_fast()).await;
    let ines = practice.as_person(practice.member("Ines", group).await).await;
    assert_eq!(ines.get(&members(at, "")).await.status_code(), 404);
    assert!(attributes(&ines.get("/days/2026-11-25").await, "a[href*=video]", "href").is_empty());
}

#[tokio::test]
async fn an_address_elsewhere_is_opened_there_and_nothing_of_it_is_embedded() {
    let b = bench().await;
    let coach = b.practice.coach("Nele").await;
    b.mara.post(&coachs(b.group, "video")).form(&[("url", "https://video.example/talk")]).await;
    republish(&b.practice, b.group, coach).await;
    let day = b.ines.get("/days/2026-11-25").await;
    assert_eq!(attributes(&day, "a[href='https://video.example/talk']", "rel"), ["noopener noreferrer"]);
    b.chapters(typed(CHAPTERS)).await;
    let page = b.ines.get(&members(b.at, "")).await;
    assert!(texts(&page, "video, iframe, embed, object").is_empty());
    assert_eq!(attributes(&page, "main a.button", "href")[0], "https://video.example/talk");
    assert_eq!(texts(&page, ".chapters li").len(), 4);
    // W3C Media Fragments URI: a player that knows it begins there
    let links = attributes(&page, ".chapters a", "href");
    assert_eq!((links.len(), links[0].as_str()), (4, "https://video.example/talk#t=0"));
    assert!(links[1..].iter().all(|l| l.starts_with("https://video.example/talk#t=") && !l.ends_with("=0")), "{links:?}");
}

#[tokio::test]
async fn an_address_that_has_a_place_of_its_own_keeps_it() {
    let b = bench().await;
    let coach = b.practice.coach("Nele").await;
    b.mara.post(&coachs(b.group, "video")).form(&[("url", "https://video.example/talk#t=90")]).await;
    republish(&b.practice, b.group, coach).await;
    b.chapters(typed(CHAPTERS)).await;
    let page = b.ines.get(&members(b.at, "")).await;
    assert_eq!((texts(&page, ".chapters li").len(), texts(&page, ".chapters a").len()), (4, 0));
}

#[tokio::test]
async fn a_new_video_in_the_draft_leaves_members_the_chapters_of_the_old_one() {
    let b = bench().await;
    b.chapters(typed(CHAPTERS)).await;
    b.mara.post(&coachs(b.group, "video")).form(&[("url", "https://video.example/new")]).await;
    assert_eq!(texts(&b.ines.get(&members(b.at, "")).await, ".chapters li").len(), 4);
    assert_eq!(texts(&b.mara.get(&coachs(b.group, "video")).await, "#chapter-lines"), [""]);
}

#[tokio::test]
async fn a_video_is_stale_when_the_text_changed_after_it_until_it_is_said_to_fit() {
    let b = bench().await;
    let week = format!("/groups/{}/weeks/2026-11-23", b.group);
    let stale = async || texts(&b.mara.get(&week).await, "a.chip.ask");
    assert!(stale().await.is_empty());
    let write = async |text: &str| {
        let slot = b.practice.app.store.slot(b.group, DAY, 1).await.unwrap().unwrap();
        b.practice.app.store.save_draft(b.group, DAY, 1, text, slot.draft_edit, NOW).await.unwrap();
    };
    write(&format!("{TYPED}\n\n")).await;
    assert!(stale().await.is_empty(), "an empty line changes nothing that was said");
    write(&TYPED.replace("5x3", "5x5")).await;
    assert_eq!(stale().await.len(), 1);
    let page = b.mara.get(&coachs(b.group, "video")).await;
    assert!(texts(&page, "pre")[0].contains("- 5x3, rest 60 s + 5x5, rest 60 s"), "{:?}", texts(&page, "pre"));
    assert_eq!(b.mara.post(&coachs(b.group, "video/fits")).await.status_code(), 303);
    assert!(stale().await.is_empty());
    write(TYPED).await;
    assert_eq!(stale().await.len(), 1);
    b.chapters(typed(CHAPTERS)).await;
    assert_eq!(stale().await.len(), 1, "chapters do not say that what is told in it still fits");
}

#[tokio::test]
async fn a_copied_week_brings_chapters_and_what_the_video_was_made_for() {
    let b = bench().await;
    b.chapters(typed(CHAPTERS)).await;
    let monday = time::macros::date!(2026 - 11 - 23);
    let next = monday + time::Duration::days(7);
    b.practice.app.store.copy_week((b.group, monday), (b.group, next), NOW).await.unwrap();
    let page = b.mara.get(&coachs(b.group, "video").replace("11-25", "12-02")).await;
    assert!(texts(&page, "#chapter-lines")[0].starts_with("0:00 Hello"));
    assert!(texts(&page, "#older").is_empty());
}

#[tokio::test]
async fn the_run_sheet_has_every_part_in_order_with_what_to_say() {
    let b = bench().await;
    let sheet = b.mara.get(&coachs(b.group, "run-sheet")).await;
    let heads = texts(&sheet, ".run-sheet h2");
    assert!(heads[0].starts_with("A. Goblet squat") && heads[1].starts_with("B. For time"), "{heads:?}");
    assert!(heads.iter().all(|h| h.contains("min")));
    assert_eq!(texts(&sheet, ".run-sheet h3"), ["goblet squat", "push-up", "air squat"]);
    let words = texts(&sheet, ".run-sheet > li:first-child label b");
    assert_eq!(words, ["Kit", "Set-up", "Standard", "Pace", "Common fault", "Caution"]);
    let boxes = attributes(&sheet, ".run-sheet label input", "type");
    assert!(boxes.len() > 15 && boxes.iter().all(|t| t == "checkbox"));
    for page in [format!("/groups/{}/weeks/2026-11-23", b.group), coachs(b.group, "").trim_end_matches('/').to_owned()] {
        assert_eq!(attributes(&b.mara.get(&page).await, "a[href$=run-sheet]", "href").len(), 1, "{page}");
    }
}
