//! Which pages a device may keep for when there is no signal, and under which name.
//!
//! # Design
//! A page that may be kept says so in a header with the name of the sign-in it belongs to. The worker keeps it under that
//! name, and throws away what stands under any other: at the next sign-in, and when somebody is signed out.

use crate::web::App;
use crate::web::access;
use axum::extract::{Request, State};
use axum::http::{HeaderValue, Method, StatusCode};
use axum::middleware::Next;
use axum::response::Response;

/// What is read on the floor or on the way there; nothing that asks for a decision, and no list of other people.
fn may_keep(path: &str) -> bool {
    let mut pieces = path.split('/').skip(1);
    match (pieces.next(), pieces.next(), pieces.next(), pieces.next(), pieces.next()) {
        (Some("today" | "history" | "movements"), None, ..) | (Some("days" | "results"), Some(_), None, ..) => true,
        (Some("movements"), Some(name), None, ..) => name != "new",
        (Some("welcome"), Some(page), None, ..) => page == "cautions",
        // the coach's week
        (Some("groups"), Some(_), Some("weeks"), Some(_), None) => true,
        (Some("sessions"), Some(_), Some("parts"), Some(_), Some("clock")) => true,
        _ => false,
    }
}

/// Marks the pages that may be kept.
pub async fn mark(State(app): State<App>, request: Request, next: Next) -> Response {
    let keeps = request.method() == Method::GET && may_keep(request.uri().path());
    let key = keeps.then(|| access::device_key(&app, request.headers())).flatten();
    let mut response = next.run(request).await;
    if let Some(Ok(key)) = key.map(|k| HeaderValue::from_str(&k))
        && response.status() == StatusCode::OK
    {
        response.headers_mut().insert("dowel-keep", key);
    }
    response
}

#[cfg(test)]
mod tests {
    use super::may_keep;

    #[test]
    fn what_is_read_on_the_floor_is_kept_and_nothing_of_other_people() {
        for path in ["/today", "/days/2026-11-25", "/sessions/3/parts/0/clock", "/history", "/results/4", "/movements/plank"] {
            assert!(may_keep(path), "{path}");
        }
        for path in
            ["/", "/sessions/3/parts/0/board", "/people/2", "/review", "/you", "/sign-in", "/groups/1/weeks/2026-11-23/publish"]
        {
            assert!(!may_keep(path), "{path}");
        }
    }
}
