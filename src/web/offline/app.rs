//! What makes Dowel an app on the home screen: the manifest, the service worker and the page for no signal.

use crate::web::frame::{Frame, asset};
use askama::Template;
use askama_web::WebTemplate;
use axum::http::{HeaderName, header};
use axum::response::IntoResponse;
use serde_json::{Value, json};

type Headers = [(HeaderName, &'static str); 2];

/// Looked for again at each visit: what they name changes with each version of Dowel.
fn fresh(kind: &'static str) -> Headers {
    [(header::CONTENT_TYPE, kind), (header::CACHE_CONTROL, "no-cache")]
}

fn icon(file: &str, sizes: &str, purpose: &str) -> Value {
    let kind = if sizes == "any" { "image/svg+xml" } else { "image/png" };
    json!({ "src": asset(&format!("icons/{file}")), "sizes": sizes, "type": kind, "purpose": purpose })
}

/// `GET /manifest.webmanifest`
pub async fn show_manifest() -> impl IntoResponse {
    let small = [icon("icon-192.png", "192x192", "any")];
    let manifest = json!({
        "id": "/",
        "name": "Dowel",
        "short_name": "Dowel",
        "description": "Your training day, with or without a signal.",
        "lang": "en",
        "start_url": "/",
        "scope": "/",
        "display": "standalone",
        "background_color": "#f7f5ef",
        "theme_color": "#f7f5ef",
        "icons": [
            icon("icon.svg", "any", "any"),
            icon("icon-192.png", "192x192", "any"),
            icon("icon-512.png", "512x512", "any"),
            icon("maskable-192.png", "192x192", "maskable"),
            icon("maskable-512.png", "512x512", "maskable"),
        ],
        "shortcuts": [
            { "name": "Today", "url": "/today", "icons": small },
            { "name": "Log what I did", "short_name": "Log", "url": "/today#log", "icons": small },
        ],
    });
    (fresh("application/manifest+json"), manifest.to_string())
}

/// `GET /sw.js`: another version of Dowel is another text, and so another worker.
pub async fn show_worker() -> impl IntoResponse {
    let files = env!("DOWEL_FILES").split(' ').map(asset).collect::<Vec<_>>();
    let (worker, build, files) = (asset("js/offline/worker.js"), env!("DOWEL_STATIC"), json!(files));
    (fresh("text/javascript; charset=utf-8"), format!("import {{ work }} from '{worker}';\nwork('{build}', {files});\n"))
}

#[derive(Template, WebTemplate)]
#[template(path = "offline/no_signal.html")]
struct NoSignalPage {
    frame: Frame,
}

/// `GET /no-signal`: stands in for a page that the phone does not keep.
pub async fn show_no_signal() -> impl IntoResponse {
    ([(header::CACHE_CONTROL, "no-cache")], NoSignalPage { frame: Frame::signed_out("No signal") })
}
