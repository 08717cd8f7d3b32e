//! `dowel bench`: how long a board takes, with a crowd and a history. For whoever changes Dowel.

use super::out;
use crate::clock::{Clock, new_uuid};
use crate::config::Config;
use crate::store::ids::{GroupId, PersonId, SessionId};
use crate::store::people::{NewPerson, Role, Units};
use crate::store::results::NewResult;
use crate::store::weeks::ToPublish;
use crate::training::calendar::Zone;
use crate::training::movement::Library;
use crate::training::writeup;
use crate::web::{App, access, routes};
use anyhow::{Context, ensure};
use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{HeaderMap, Request, header};
use clap::Args;
use std::path::PathBuf;
use std::time::{Duration, Instant};
use time::OffsetDateTime;
use tower::ServiceExt;

/// What is measured.
#[derive(Args)]
pub struct BenchArgs {
    /// An empty folder for the data
    #[arg(long)]
    data: PathBuf,
    /// Results on the board
    #[arg(long, default_value_t = 100_000)]
    results: u32,
    /// Results of earlier sessions, in steps: the board is measured at each
    #[arg(long, value_delimiter = ',', default_value = "0,1000000,3000000")]
    history: Vec<u32>,
    /// Requests at each step
    #[arg(long, default_value_t = 200)]
    requests: u32,
}

const PART: &str = "B. For time, cap 15:00\n5 rounds\n12 air squats\n9 push-ups\n";

struct Crowd {
    app: App,
    router: Router,
    group: GroupId,
    coach: PersonId,
    first: PersonId,
    size: u32,
    board: SessionId,
    cookie: String,
}

/// Fills the folder and measures.
///
/// # Errors
/// A folder that is not empty, or a board that is not answered.
pub async fn run(args: BenchArgs) -> anyhow::Result<()> {
    ensure!(!args.data.join("dowel.db").exists(), "{} is not empty", args.data.display());
    let crowd = fill(&args).await?;
    out::say(format_args!("a board of {} results; each request through the whole program, without a network", crowd.size))?;
    out::say(format_args!(
        "{:>10}  {:>9}  {:>9}  {:>9}  {:>14}  {:>14}",
        "history", "median ms", "95 % ms", "most ms", "first ms", "after a log ms"
    ))?;
    let mut behind = 0;
    for step in &args.history {
        while behind < *step {
            let now = OffsetDateTime::now_utc();
            let (day, n) = (now.date() - time::Duration::days(i64::from(1 + behind / crowd.size)), crowd.size.min(step - behind));
            let session = publish(&crowd, day).await?;
            crowd.app.store.bench_results(session, (crowd.first, n), day, now - time::Duration::days(30)).await?;
            behind += n;
        }
        measure(&crowd, behind, args.requests).await?;
    }
    crowd.app.store.close().await;
    Ok(())
}

async fn fill(args: &BenchArgs) -> anyhow::Result<Crowd> {
    let config = Config {
        data: args.data.clone(),
        listen: ([127, 0, 0, 1], 0).into(),
        log: "off".to_owned(),
        backup_hours: 0,
        ..Config::default()
    };
    let app = App::open(config, Clock::System).await?;
    let now = app.clock.now();
    let coach = NewPerson {
        role: Role::Coach,
        sign_in: "coach@example.org".to_owned(),
        name: "Coach".to_owned(),
        password_hash: None,
        zone: Zone::default(),
        units: Units::Kg,
    };
    let coach = app.store.add_person(&coach, now).await?;
    let group = app.store.add_group("Crowd", "", now).await?;
    let first = app.store.bench_members(group, args.results, access::CAUTIONS_VERSION, now).await?;
    // somebody in the middle looks
    let jar = access::sign_in(&app, PersonId(first.0 + i64::from(args.results / 2)), &HeaderMap::new()).await?;
    let cookie = jar.iter().map(|c| format!("{}={}", c.name(), c.value())).collect();
    let router = routes::router(app.clone());
    let mut crowd = Crowd { app, router, group, coach, first, size: args.results, board: SessionId(0), cookie };
    crowd.board = publish(&crowd, now.date()).await?;
    crowd.app.store.bench_results(crowd.board, (first, args.results), now.date(), now).await?;
    Ok(crowd)
}

async fn publish(crowd: &Crowd, day: time::Date) -> anyhow::Result<SessionId> {
    let (store, now) = (&crowd.app.store, crowd.app.clock.now());
    let session = writeup::read(PART, Library::shipped());
    let (id, draft_edit) = store.save_draft(crowd.group, day, 1, PART, 0, now).await?;
    store.publish(&[ToPublish { id, draft_edit, session, change_note: String::new() }], crowd.coach, now).await?;
    Ok(id)
}

/// One request for the board, through the whole program.
async fn ask(crowd: &Crowd) -> anyhow::Result<Duration> {
    let request = Request::get(format!("/sessions/{}/parts/0/board", crowd.board))
        .header(header::COOKIE, &crowd.cookie)
        .header(header::HOST, "localhost")
        .body(Body::empty())?;
    let begun = Instant::now();
    let answer = crowd.router.clone().oneshot(request).await?;
    let status = answer.status();
    let body = to_bytes(answer.into_body(), usize::MAX).await?;
    let took = begun.elapsed();
    ensure!(status.is_success(), "the board was answered by {status}");
    ensure!(String::from_utf8_lossy(&body).contains("place you"), "the reader is not on the board");
    Ok(took)
}

async fn measure(crowd: &Crowd, history: u32, requests: u32) -> anyhow::Result<()> {
    change(crowd, 0).await?;
    let first = ask(crowd).await?;
    let mut took = Vec::new();
    for _ in 0..requests {
        took.push(ask(crowd).await?);
    }
    took.sort();
    let mut after = Vec::new();
    for n in 1..=5 {
        change(crowd, n).await?;
        after.push(ask(crowd).await?);
    }
    after.sort();
    let ms = |d: Duration| d.as_secs_f64() * 1000.0;
    let at = |list: &[Duration], share: usize| list.get(list.len() * share / 100).copied().map_or(0.0, ms);
    out::say(format_args!(
        "{history:>10}  {:>9.2}  {:>9.2}  {:>9.2}  {:>14.1}  {:>14.1}",
        at(&took, 50),
        at(&took, 95),
        took.last().copied().map_or(0.0, ms),
        ms(first),
        at(&after, 50)
    ))?;
    Ok(())
}

/// Somebody logs again.
async fn change(crowd: &Crowd, n: u32) -> anyhow::Result<()> {
    let (store, now) = (&crowd.app.store, crowd.app.clock.now());
    let owner = PersonId(crowd.first.0 + i64::from(n));
    let version = store.versions(crowd.board).await?.first().context("it is published")?.version_id;
    let seconds = 500.0 + f64::from(n);
    let new = NewResult {
        client_id: new_uuid(now),
        session_id: crowd.board,
        version_id: version,
        part: 0,
        score_text: format!("{seconds} s"),
        score: Some(serde_json::json!({ "kind": "time", "seconds": seconds })),
        doubt: None,
        version_done: "full".to_owned(),
        load_text: String::new(),
        load_kg: Some(20.0),
        minutes: Some(9.0),
        rpe: Some(7.0),
        note: String::new(),
        hurt: None,
        given: None,
        done_on: now.date(),
        edit: 1,
        hidden: false,
    };
    store.log_result(owner, &new, now).await?;
    Ok(())
}
