//! How the program is doing: `/healthz` for whoever watches it, `/metrics` for Prometheus.

use super::App;
use super::client::{self, Peer};
use super::error::Error;
use crate::store::backup;
use axum::Extension;
use axum::extract::State;
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};
use std::fmt::Write;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Duration;
use subtle::ConstantTimeEq;

/// Upper bounds of the buckets, milliseconds.
const BOUNDS: [u64; 8] = [1, 2, 5, 10, 20, 50, 200, 1000];

/// What is counted.
#[derive(Debug, Default)]
pub struct Metrics {
    /// by first digit of the status
    answers: [AtomicU64; 6],
    /// by time taken; the last is beyond every bound
    took: [AtomicU64; BOUNDS.len() + 1],
    took_us: AtomicU64,
    /// wrong names or passwords
    pub wrong_sign_ins: AtomicU64,
    /// tries that were sent away
    pub limited_sign_ins: AtomicU64,
    /// open connections
    pub connections: AtomicU64,
}

impl Metrics {
    /// Counts an answer.
    pub fn answered(&self, status: StatusCode, took: Duration) {
        if let Some(count) = self.answers.get(usize::from(status.as_u16() / 100)) {
            count.fetch_add(1, Ordering::Relaxed);
        }
        let ms = took.as_secs_f64() * 1000.0;
        #[expect(clippy::cast_precision_loss, reason = "bounds are small")]
        let bucket = BOUNDS.iter().position(|b| ms <= *b as f64).unwrap_or(BOUNDS.len());
        self.took[bucket].fetch_add(1, Ordering::Relaxed);
        self.took_us.fetch_add(u64::try_from(took.as_micros()).unwrap_or(u64::MAX), Ordering::Relaxed);
    }

    fn answers(&self, out: &mut String) {
        out.push_str("# TYPE dowel_answers_total counter\n");
        for (class, count) in self.answers.iter().enumerate().skip(2) {
            let _ = writeln!(out, "dowel_answers_total{{status=\"{class}xx\"}} {}", count.load(Ordering::Relaxed));
        }
        out.push_str("# TYPE dowel_answer_seconds histogram\n");
        let mut sum = 0;
        for (bucket, count) in self.took.iter().enumerate() {
            sum += count.load(Ordering::Relaxed);
            let bound = BOUNDS.get(bucket).map_or("+Inf".to_owned(), |ms| format!("{}.{:03}", ms / 1000, ms % 1000));
            let _ = writeln!(out, "dowel_answer_seconds_bucket{{le=\"{bound}\"}} {sum}");
        }
        let us = self.took_us.load(Ordering::Relaxed);
        let _ =
            writeln!(out, "dowel_answer_seconds_sum {}.{:06}\ndowel_answer_seconds_count {sum}", us / 1_000_000, us % 1_000_000);
    }
}

fn one(out: &mut String, name: &str, kind: &str, value: u64) {
    let _ = writeln!(out, "# TYPE dowel_{name} {kind}\ndowel_{name} {value}");
}

fn text(app: &App) -> String {
    let mut out = String::new();
    let m = &app.metrics;
    m.answers(&mut out);
    let now = |n: &AtomicU64| n.load(Ordering::Relaxed);
    one(&mut out, "wrong_sign_ins_total", "counter", now(&m.wrong_sign_ins));
    one(&mut out, "limited_sign_ins_total", "counter", now(&m.limited_sign_ins));
    one(&mut out, "connections", "gauge", now(&m.connections));
    one(&mut out, "passwords_waiting", "gauge", app.passwords.waiting() as u64);
    let pulse = app.store.pulse();
    one(&mut out, "writes_total", "counter", pulse.writes);
    one(&mut out, "commits_total", "counter", pulse.commits);
    one(&mut out, "writes_refused_total", "counter", pulse.refused);
    one(&mut out, "writes_waiting", "gauge", pulse.waiting as u64);
    one(&mut out, "store_broken", "gauge", u64::from(pulse.broken));
    let size = |name: &str| std::fs::metadata(app.config.data.join(name)).map_or(0, |m| m.len());
    one(&mut out, "data_bytes", "gauge", size("dowel.db"));
    one(&mut out, "log_bytes", "gauge", size("dowel.db-wal"));
    // 0 where there is none: whoever alarms on its age hears of that too
    let backup = backup::newest(&app.config.backups_folder()).map_or(0, |at| at.unix_timestamp());
    one(&mut out, "backup_last_success_timestamp_seconds", "gauge", u64::try_from(backup).unwrap_or_default());
    out
}

/// `GET /metrics`: from this machine itself, or with the configured token; to anybody else it is not there.
///
/// # Errors
/// Not found where one may not.
pub async fn show_metrics(State(app): State<App>, peer: Option<Extension<Peer>>, headers: HeaderMap) -> Result<Response, Error> {
    let bearer = headers.get(header::AUTHORIZATION).and_then(|v| v.to_str().ok()?.strip_prefix("Bearer "));
    // an empty one is none: it would fit an empty header
    let token = app.config.metrics_token.as_deref().filter(|token| !token.is_empty());
    let fits = match (token, bearer) {
        (Some(token), Some(given)) => bool::from(token.as_bytes().ct_eq(given.as_bytes())),
        (None, _) => client::is_local(peer.map(|p| p.0), &headers),
        (Some(_), None) => false,
    };
    if !fits {
        return Err(Error::NotFound);
    }
    Ok(([(header::CONTENT_TYPE, "text/plain; version=0.0.4; charset=utf-8")], text(&app)).into_response())
}

/// `GET /healthz`: `ok`, or 503 where nothing can be read or written safely. It says no more than that.
pub async fn show_health(State(app): State<App>) -> (StatusCode, &'static str) {
    if app.store.pulse().broken || !app.store.answers().await {
        return (StatusCode::SERVICE_UNAVAILABLE, "not well\n");
    }
    (StatusCode::OK, "ok\n")
}
