//! The talk-through of a session on a page of its own: the player, its chapters, each at the part or line that it shows.
//!
//! # Design
//! A page of its own, because the day's page must be small enough to be read on a slow line. A chapter's link is the file's
//! own address with the stretch as a media fragment (W3C Media Fragments URI, `#t=84,250`): without JavaScript a browser opens
//! the file there; with it the player on this page jumps.

use super::day::view::Film;
use crate::store::ids::SessionId;
use crate::store::talks::Talk;
use crate::store::weeks::Published;
use crate::training::calendar;
use crate::training::captions::{self, Chapter, Spot};
use crate::web::App;
use crate::web::access::Member;
use crate::web::coach::video::tracks;
use crate::web::error::Error;
use crate::web::frame::Frame;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Response};

#[derive(Template, WebTemplate)]
#[template(path = "member/talk.html")]
struct TalkPage {
    frame: Frame,
    /// where it is, and whether it is our own file
    video: String,
    ours: bool,
    /// of an address elsewhere
    host: String,
    tracks: String,
    has_captions: bool,
    chapters: Vec<ChapterView>,
    back: String,
}

/// A chapter on the page.
struct ChapterView {
    /// of the place that it shows: `part-1`, `part-1-line-0`
    id: Option<String>,
    title: String,
    /// `1:24`
    at: String,
    /// seconds
    start: f64,
    end: f64,
    nested: bool,
    /// of an address elsewhere: where it begins there; none where the address names a place of its own
    there: Option<String>,
}

fn seconds(ms: u64) -> f64 {
    ms as f64 / 1000.0
}

fn anchor(spot: Spot) -> String {
    spot.line.map_or_else(|| format!("part-{}", spot.part), |line| format!("part-{}-line-{line}", spot.part))
}

/// `elsewhere` is the address of a video that is not ours.
fn view(c: &Chapter, spot: Option<Spot>, elsewhere: Option<&str>) -> ChapterView {
    let there = elsewhere.filter(|address| !address.contains('#'));
    ChapterView {
        there: there.map(|address| format!("{address}#t={}", seconds(c.start_ms))),
        id: spot.map(anchor),
        title: c.title.clone(),
        at: captions::short_time(c.start_ms),
        start: seconds(c.start_ms),
        end: seconds(c.end_ms),
        nested: c.nested,
    }
}

async fn talk(app: &App, p: &Published) -> Result<Option<(String, Option<Talk>)>, Error> {
    let Some(address) = app.store.video_address(&p.video).await? else { return Ok(None) };
    let talk = app.store.talk(p.session_id, &address).await?;
    Ok(Some((address, talk)))
}

/// The talk-through as the day's page shows it, and where each part and line is in it.
pub(super) async fn film(app: &App, p: &Published) -> Result<(Option<Film>, Vec<(Spot, String)>), Error> {
    let Some((address, talk)) = talk(app, p).await? else { return Ok((None, Vec::new())) };
    let chapters = tracks::chapters_of(talk.as_ref());
    let page = format!("/sessions/{}/video", p.session_id);
    let spots = captions::fit(&chapters, &p.session).into_iter().flatten();
    let spots = spots.map(|spot| (spot, format!("{page}#{}", anchor(spot)))).collect();
    let film = if p.video.media.is_none() && chapters.is_empty() { Film::Link(address) } else { Film::Page(page) };
    Ok((Some(film), spots))
}

/// `GET /sessions/{id}/video`
///
/// # Errors
/// A session that is not live or not theirs, or that has no talk-through.
pub async fn show_talk(State(app): State<App>, Member(person): Member, Path(id): Path<SessionId>) -> Result<Response, Error> {
    let published = app.store.live_for(person.id, id).await?;
    let (video, talk) = talk(&app, &published).await?.ok_or(Error::NotFound)?;
    let chapters = tracks::chapters_of(talk.as_ref());
    let spots = captions::fit(&chapters, &published.session);
    let title = if published.session.title.is_empty() { calendar::long(published.day) } else { published.session.title.clone() };
    let ours = published.video.media.is_some();
    let page = TalkPage {
        frame: Frame::of(&person, format!("Talk-through: {title}"), "today"),
        ours,
        chapters: chapters.iter().zip(spots).map(|(c, spot)| view(c, spot, Some(video.as_str()).filter(|_| !ours))).collect(),
        host: video.split('/').nth(2).unwrap_or_default().to_owned(),
        video,
        tracks: format!("/sessions/{id}/video"),
        has_captions: talk.as_ref().is_some_and(|t| t.captions.is_some()),
        back: format!("/days/{}", calendar::iso(published.day)),
    };
    Ok(page.into_response())
}

/// `GET /sessions/{id}/video/{track}`: `chapters.vtt` or `captions.vtt`.
///
/// # Errors
/// A session that is not live or not theirs, or that has no such track.
pub async fn show_track(
    State(app): State<App>,
    Member(person): Member,
    Path((id, track)): Path<(SessionId, String)>,
) -> Result<Response, Error> {
    let published = app.store.live_for(person.id, id).await?;
    let (_, talk) = talk(&app, &published).await?.ok_or(Error::NotFound)?;
    tracks::track_file(talk, &track)
}
