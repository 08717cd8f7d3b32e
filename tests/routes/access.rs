//! Who may, for every route there is: the table in `routes.rs` is read, the rule is what stands in the handler's signature,
//! and every role is then sent to every route with ids that are somebody else's.

use crate::practice::{NOW, Practice, location};
use crate::published::{DAY, Place, log, publish, slow_then_fast, timed};
use axum_test::{TestResponse, TestServer};
use dowel::store::ids::PersonId;
use dowel::store::maxes::MaxSource;
use dowel::store::media::Incoming;
use dowel::store::passkeys::NewPasskey;
use dowel::store::questions::NewQuestion;
use dowel::store::talks::Track;
use dowel::store::tokens::Scope;
use dowel::store::weeks::{ToPublish, Video};
use dowel::web::api::access::{hash, new_token};
use dowel::web::trail;
use serde_json::json;
use sqlx::sqlite::SqliteConnectOptions;
use sqlx::{ConnectOptions, Row};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use time::Duration;

/// Routes that anybody may ask, each with why.
const PUBLIC: &[(&str, &str)] = &[
    ("/", "leads on"),
    ("/sign-in", "for those who are not signed in"),
    ("/sign-in/passkey", "for those who are not signed in"),
    ("/forgotten", "the same for everybody, and what follows goes to the account's own address"),
    ("/sign-in/passkey/question", "the same for everybody, kept in memory and not for long"),
    ("/sign-out", "ends what there is"),
    ("/join/{token}", "the token is the key"),
    ("/password/{token}", "the token is the key"),
    ("/healthz", "says ok and no more"),
    ("/manifest.webmanifest", "what the app is called and looks like"),
    ("/sw.js", "the same for everybody"),
    ("/no-signal", "says that there is no signal and no more"),
    ("/metrics", "asks for this machine itself or a token"),
];

/// Answers that stay open for as long as one listens: they are asked only where they are refused.
const STAY_OPEN: [&str; 2] = ["/sessions/{id}/parts/{part}/board/changes", "/groups/{id}/weeks/{monday}/board/changes"];

/// What members of one group may ask about the group's own sessions and each other's results.
const SHARED_IN_A_GROUP: &[&str] = &[
    "/sessions/{id}/parts/{part}/board",
    "/sessions/{id}/parts/{part}/board/changes",
    "/sessions/{id}/questions",
    "/sessions/{id}/parts/{part}/result",
    "/sessions/{id}/parts/{part}/understood",
    "/sessions/{id}/parts/{part}/clock",
    "/sessions/{id}/video",
    "/sessions/{id}/video/{track}",
    "/sessions/{id}/parts/{part}/lines/{line}/change",
    "/results/{id}/nod",
    "/groups/{id}/weeks/{monday}/board",
    "/groups/{id}/weeks/{monday}/board/changes",
    "/media/{hash}",
];

/// Beginnings of addresses that name something of Ines or of her group, and are no coach's alone.
const OWNED: &[&str] = &[
    "/sessions/",
    "/results/",
    "/questions/",
    "/media/",
    "/you/devices/{",
    "/you/passkeys/{",
    "/you/tokens/{",
    "/you/maxes/{",
    "/groups/{id}/weeks/{monday}/board",
];

fn owned(route: &Route) -> bool {
    OWNED.iter().any(|p| route.path.starts_with(p))
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Rule {
    Public,
    SignedIn,
    Newcomer,
    Member,
    Staff,
    Coach,
    Joined,
    NoAssistant,
}

#[derive(Debug)]
struct Route {
    method: &'static str,
    path: String,
    rule: Option<Rule>,
}

fn sources(folder: &Path, all: &mut Vec<(PathBuf, String)>) {
    for entry in std::fs::read_dir(folder).unwrap().flatten() {
        let path = entry.path();
        // programs come with tokens: their handlers are asked in `api.rs`
        if path.ends_with("src/web/api") {
            continue;
        }
        if path.is_dir() {
            sources(&path, all);
        } else if path.extension().is_some_and(|e| e == "rs") {
            all.push((path.clone(), std::fs::read_to_string(&path).unwrap()));
        }
    }
}

/// The text between a handler's name and its body.
fn signature<'a>(handler: &str, files: &'a [(PathBuf, String)]) -> &'a str {
    let (module, name) = handler.rsplit_once("::").unwrap();
    let module = module.rsplit("::").next().unwrap();
    let is_module = |path: &Path| {
        path.file_stem().is_some_and(|s| s == module)
            || (path.ends_with("mod.rs") && path.parent().is_some_and(|p| p.file_name().is_some_and(|n| n == module)))
    };
    let marks = [format!("fn {name}("), format!("fn {name}<")];
    let found = files.iter().filter(|(path, _)| is_module(path)).find_map(|(_, text)| {
        let at = marks.iter().find_map(|mark| text.find(mark.as_str()))?;
        Some(&text[at..at + text[at..].find("{\n")?])
    });
    found.unwrap_or_else(|| panic!("no source of {handler}"))
}

fn rule(path: &str, signature: &str) -> Option<Rule> {
    let asks = |words: &str| signature.contains(words);
    if asks("Coach(") {
        Some(Rule::Coach)
    } else if asks("Staff(") {
        Some(Rule::Staff)
    } else if asks("NoAssistant(") {
        Some(Rule::NoAssistant)
    } else if asks("Joined(") {
        Some(Rule::Joined)
    } else if asks("Member(") || asks(": Member") || asks(": Sender") {
        Some(Rule::Member)
    } else if asks("Newcomer(") || asks(": Newcomer") {
        Some(Rule::Newcomer)
    } else if PUBLIC.iter().any(|(p, _)| *p == path) {
        Some(Rule::Public)
    } else if asks("SignedIn(") || asks(": SignedIn") {
        Some(Rule::SignedIn)
    } else {
        None
    }
}

/// Every route of the table: method, path, handler.
fn table() -> Vec<(&'static str, String, String)> {
    let text = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("src/web/routes.rs")).unwrap();
    let mut all = Vec::new();
    for line in text.lines().filter_map(|l| l.trim().strip_prefix(".route(\"")) {
        let (path, handlers) = line.split_once("\", ").unwrap();
        for method in ["GET", "POST", "HEAD", "PUT", "PATCH", "DELETE"] {
            let start = format!("{}(", method.to_lowercase());
            // at the start of a call and not within a name
            let calls = handlers.match_indices(&start).filter(|(at, _)| *at == 0 || handlers[..*at].ends_with('.'));
            for (at, _) in calls {
                let handler = handlers[at + start.len()..].split(')').next().unwrap();
                all.push((method, path.to_owned(), handler.to_owned()));
            }
        }
    }
    all
}

/// Every page with its method and its rule, as they stand in the source.
fn routes() -> Vec<Route> {
    let mut files = Vec::new();
    sources(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src/web"), &mut files);
    let pages = table().into_iter().filter(|(_, path, _)| !path.starts_with("/api/"));
    let all: Vec<Route> =
        pages.map(|(method, path, handler)| Route { method, rule: rule(&path, signature(&handler, &files)), path }).collect();
    assert!(all.len() > 80, "only {} routes were understood", all.len());
    all
}

/// Every route for programs. They come with tokens and get problems, not pages.
fn programs() -> Vec<Route> {
    let programs = table().into_iter().filter(|(_, path, _)| path.starts_with("/api/"));
    let all: Vec<Route> = programs.map(|(method, path, _)| Route { method, path, rule: None }).collect();
    assert!(all.len() >= 16, "only {} routes were understood", all.len());
    all
}

/// The document of the API says what can be asked, to anybody.
const DOCUMENT: &str = "/api/v1/openapi.json";

/// A practice with two groups: Ines and Odo in one, Pia in the other, a coach, an assistant, and everything Ines owns.
struct Scene {
    practice: Practice,
    at: Place,
    ids: BTreeMap<&'static str, String>,
    ines: PersonId,
    odo: PersonId,
    pia: PersonId,
    coach: PersonId,
    assistant: PersonId,
}

impl Scene {
    async fn new() -> Self {
        let practice = Practice::new().await;
        let (coach, assistant) = (practice.coach("Mara").await, practice.coach("Lou").await);
        practice.app.store.set_assistant(assistant, true).await.unwrap();
        let (harbour, lighthouse) = (practice.group("Harbour").await, practice.group("Lighthouse").await);
        let (ines, odo) = (practice.member("Ines", harbour).await, practice.member("Odo", harbour).await);
        let pia = practice.member("Pia", lighthouse).await;
        let at = publish(&practice, harbour, coach, DAY, slow_then_fast()).await;
        let store = &practice.app.store;
        let mut incoming = Incoming::open(&practice.app.config.data).await.unwrap();
        incoming.write(b"a talk").await.unwrap();
        let hash = incoming.keep().await.unwrap();
        let media = store.add_media(&hash, "video/mp4", 6, "talk.mp4", NOW).await.unwrap();
        store.save_video(at.id, &Video { url: None, media: Some(media) }).await.unwrap();
        let draft_edit = store.slot_by_id(at.id).await.unwrap().draft_edit;
        let again = ToPublish { id: at.id, draft_edit, session: slow_then_fast(), change_note: String::new() };
        store.publish(&[again], coach, NOW).await.unwrap();
        let at = Place { version: store.versions(at.id).await.unwrap()[0].version_id, ..at };
        let chapters = (Track::Chapters, Some("WEBVTT\n\n00:00.000 --> 00:05.000\nA\n"));
        store.save_track(at.id, &format!("/media/{hash}"), chapters, NOW).await.unwrap();
        let result = log(&practice, ines, &timed(at, "ines-1", "9:50", 590.0)).await;
        let new =
            NewQuestion { session_id: at.id, version: None, part: None, line: None, text: "Why?".to_owned(), client_id: None };
        let question = store.ask(ines, &new, NOW).await.unwrap();
        store.add_max(ines, "deadlift", 100.0, (MaxSource::Tested, DAY), NOW).await.unwrap();
        let max = store.maxes_of(ines).await.unwrap()[0].id;
        let link = practice.app.store.invite(harbour, "Nele", Some(coach), NOW).await.unwrap();
        practice.as_person(ines).await;
        let until = NOW + Duration::days(9);
        // a new password ends tokens, so it is made after it was set
        let token = practice.app.store.add_token(ines, &[7; 32], "hers", &[Scope::Read], (NOW, until)).await.unwrap();
        let device = practice.app.store.devices(ines, &[0; 32], NOW).await.unwrap()[0].id;
        let new = NewPasskey {
            credential_id: vec![7; 20],
            handle: "018f2b9e-0000-4000-8000-000000000000".to_owned(),
            name: "phone".to_owned(),
            body: "{}".to_owned(),
        };
        let passkey = practice.app.store.add_passkey(ines, &new, NOW).await.unwrap();
        let ids = BTreeMap::from([
            ("/sessions/", at.id.to_string()),
            ("/results/", result.to_string()),
            ("/groups/", harbour.to_string()),
            ("/people/", ines.to_string()),
            ("/coaches/", coach.to_string()),
            ("/members/", ines.to_string()),
            ("/questions/", question.to_string()),
            ("/you/tokens/", token.to_string()),
            ("{max}", max.to_string()),
            ("/you/devices/", device.to_string()),
            ("/you/passkeys/", passkey.to_string()),
            ("{link}", link.id.to_string()),
            ("{group}", harbour.to_string()),
            ("{person}", ines.to_string()),
            ("{part}", "1".to_owned()),
            ("{line}", "0".to_owned()),
            ("{date}", "2026-11-25".to_owned()),
            ("{monday}", "2026-11-23".to_owned()),
            ("{slot}", "1".to_owned()),
            ("{name}", "air%20squat".to_owned()),
            ("{hash}", hash),
            ("{track}", "chapters.vtt".to_owned()),
            ("{token}", "1-AAAAAAAAAAAAAAAAAAAAAA".to_owned()),
        ]);
        Self { practice, at, ids, ines, odo, pia, coach, assistant }
    }

    /// The route's address with ids of what is Ines's or her group's.
    fn address(&self, path: &str) -> String {
        let within = path.strip_prefix("/api/v1").unwrap_or(path);
        let id = self.ids.iter().find(|(prefix, _)| within.starts_with(*prefix)).map_or("1", |(_, id)| id.as_str());
        let mut address = path.replace("{id}", id);
        for (name, value) in self.ids.iter().filter(|(name, _)| name.starts_with('{')) {
            address = address.replace(name, value);
        }
        // any other part: a number that is nobody's
        while let (Some(from), Some(to)) = (address.find('{'), address.find('}')) {
            address.replace_range(from..=to, "9999");
        }
        address
    }

    async fn ask(&self, browser: &TestServer, route: &Route) -> TestResponse {
        let address = self.address(&route.path);
        match route.method {
            "GET" => browser.get(&address).await,
            "POST" => {
                let version = self.at.version.to_string();
                browser.post(&address).form(&[("version_id", version.as_str()), ("text", "words"), ("score", "9:00")]).await
            }
            "HEAD" => browser.method(axum::http::Method::HEAD, &address).await,
            "PATCH" => browser.patch(&address).await,
            "DELETE" => browser.delete(&address).await,
            other => panic!("{other} is not asked yet"),
        }
    }

    /// Everything that is kept, but who is signed in and the trail.
    async fn kept(&self) -> BTreeMap<String, Vec<String>> {
        let file = self.practice.app.config.data.join("dowel.db");
        let mut db = SqliteConnectOptions::new().filename(file).read_only(true).connect().await.unwrap();
        let tables: Vec<String> = sqlx::query_scalar("select name from sqlite_schema where type = 'table' order by name")
            .fetch_all(&mut db)
            .await
            .unwrap();
        let mut all = BTreeMap::new();
        for table in tables.into_iter().filter(|t| !["sign_ins", "trail", "links", "_sqlx_migrations"].contains(&t.as_str())) {
            let columns: Vec<String> =
                sqlx::query_scalar("select name from pragma_table_info($1)").bind(&table).fetch_all(&mut db).await.unwrap();
            let quoted = columns.iter().map(|c| format!("quote(\"{c}\")")).collect::<Vec<_>>().join(" || '|' || ");
            let rows = sqlx::query(sqlx::AssertSqlSafe(format!("select {quoted} from \"{table}\" order by 1")))
                .fetch_all(&mut db)
                .await
                .unwrap();
            all.insert(table, rows.iter().map(|r| r.get::<String, _>(0)).collect());
        }
        all
    }
}

#[test]
fn every_route_has_a_rule() {
    let without: Vec<_> = routes().into_iter().filter(|r| r.rule.is_none()).map(|r| (r.method, r.path)).collect();
    assert!(without.is_empty(), "no rule in the handler's signature: {without:?}");
}

#[test]
fn every_route_that_changes_something_is_in_the_trail_or_left_out_on_purpose() {
    for route in routes().iter().chain(&programs()).filter(|r| r.method != "GET") {
        let kept = trail::ACTS.iter().any(|(method, path, ..)| *method == route.method && *path == route.path);
        let left_out = trail::NOT_KEPT.contains(&route.path.as_str());
        assert!(kept != left_out, "{} {}", route.method, route.path);
    }
    for (method, path, ..) in trail::ACTS {
        assert!(
            routes().iter().chain(&programs()).any(|r| r.method == *method && r.path == *path),
            "{method} {path} is no route"
        );
    }
}

#[tokio::test]
async fn signed_out_every_route_asks_to_sign_in() {
    let scene = Scene::new().await;
    let before = scene.kept().await;
    for route in routes().iter().filter(|r| r.rule != Some(Rule::Public)) {
        let response = scene.ask(&scene.practice.browser(), route).await;
        let asks = response.status_code() == 303 && location(&response).starts_with("/sign-in?next=");
        assert!(asks, "{} {}: {}", route.method, route.path, response.status_code());
    }
    assert_eq!(scene.kept().await, before);
}

#[tokio::test]
async fn a_made_up_cookie_opens_nothing() {
    let scene = Scene::new().await;
    for cookie in ["dowel=AAAA", "dowel=", "dowel=%00", "__Host-dowel=AAAA"] {
        let response = scene.practice.browser().get("/today").add_header("cookie", cookie).await;
        assert!(location(&response).starts_with("/sign-in"), "{cookie}");
    }
}

#[tokio::test]
async fn a_member_finds_no_coachs_page_and_nothing_of_another_group() {
    let scene = Scene::new().await;
    let pia = scene.practice.as_person(scene.pia).await;
    let before = scene.kept().await;
    for route in routes() {
        let foreign = matches!(route.rule, Some(Rule::Coach | Rule::Staff)) || owned(&route);
        if foreign {
            let response = scene.ask(&pia, &route).await;
            assert_eq!(response.status_code(), 404, "{} {}", route.method, route.path);
        }
    }
    assert_eq!(scene.kept().await, before, "a refused request changed something");
}

#[tokio::test]
async fn a_member_of_the_same_group_finds_only_what_is_shared_in_it() {
    let scene = Scene::new().await;
    let odo = scene.practice.as_person(scene.odo).await;
    let before = scene.kept().await;
    for route in routes() {
        if owned(&route) && !SHARED_IN_A_GROUP.contains(&route.path.as_str()) {
            let response = scene.ask(&odo, &route).await;
            assert_eq!(response.status_code(), 404, "{} {}", route.method, route.path);
        }
    }
    assert_eq!(scene.kept().await, before, "a refused request changed something");
}

#[tokio::test]
async fn a_coach_is_no_member_and_another_persons_device_is_not_theirs() {
    let scene = Scene::new().await;
    let coach = scene.practice.as_person(scene.coach).await;
    for route in routes() {
        if matches!(route.rule, Some(Rule::Member | Rule::Newcomer))
            || route.path.starts_with("/you/devices/{")
            || route.path.starts_with("/you/passkeys/{")
            || route.path.starts_with("/you/tokens/{")
        {
            let response = scene.ask(&coach, &route).await;
            assert_eq!(response.status_code(), 404, "{} {}", route.method, route.path);
        }
    }
}

#[tokio::test]
async fn a_coach_opens_every_page_of_a_coach() {
    let scene = Scene::new().await;
    let coach = scene.practice.as_person(scene.coach).await;
    for route in routes().iter().filter(|r| r.method == "GET" && matches!(r.rule, Some(Rule::Coach | Rule::Staff))) {
        let response = scene.ask(&coach, route).await;
        let opens =
            response.status_code() == 200 || (response.status_code() == 303 && !location(&response).starts_with("/sign-in"));
        assert!(opens, "{}: {}", route.path, response.status_code());
    }
}

/// What an assistant may send: answers, what was looked at, previews that keep nothing, and their own tokens.
const ASSISTANTS_SEND: &[&str] = &[
    "/groups/{id}/days/{date}/{slot}/reading",
    "/groups/{id}/days/{date}/{slot}/tidy",
    "/questions/{id}/answer",
    "/questions/{id}/seen",
    "/results/{id}/seen",
    "/you/tokens",
    "/you/tokens/{id}/end",
];

#[test]
fn an_assistant_sends_what_is_listed_and_nothing_else() {
    let staffs = routes().into_iter().filter(|r| r.method != "GET" && r.method != "HEAD");
    let mut sent: Vec<_> = staffs.filter(|r| matches!(r.rule, Some(Rule::Staff | Rule::Joined))).map(|r| r.path).collect();
    sent.sort();
    assert_eq!(sent, ASSISTANTS_SEND);
}

#[tokio::test]
async fn an_assistant_sees_what_a_coach_sees_answers_and_changes_nothing_else() {
    let scene = Scene::new().await;
    let assistant = scene.practice.as_person(scene.assistant).await;
    let before = scene.kept().await;
    for route in routes() {
        let status = match (route.rule, route.method) {
            (Some(Rule::Coach | Rule::NoAssistant), _) | (Some(Rule::Staff), "GET") => {
                scene.ask(&assistant, &route).await.status_code()
            }
            _ => continue,
        };
        if route.rule == Some(Rule::Staff) {
            assert!(status == 200 || status == 303, "{}: {status}", route.path);
        } else {
            assert_eq!(status, 403, "{} {}", route.method, route.path);
        }
    }
    assert_eq!(scene.kept().await, before, "a refused request changed something");
}

impl Scene {
    async fn token(&self, who: PersonId, scopes: &[Scope]) -> String {
        let token = new_token();
        let until = NOW + Duration::days(9);
        self.practice.app.store.add_token(who, &hash(&token), "test", scopes, (NOW, until)).await.unwrap();
        token
    }

    /// A program asks: what it sends would do where it may.
    async fn program(&self, token: Option<&str>, route: &Route) -> TestResponse {
        let id = "01939f5a-7e1c-7b1e-8000-000000000001";
        let body = json!({ "client_id": id, "version_id": self.at.version, "score": "9:00", "edit": 1 });
        let asked = self.practice.browser().method(route.method.parse().unwrap(), &self.address(&route.path));
        let asked = if matches!(route.method, "POST" | "PUT") { asked.json(&body) } else { asked };
        match token {
            Some(token) => asked.authorization_bearer(token).await,
            None => asked.await,
        }
    }
}

#[tokio::test]
async fn without_a_token_every_route_for_programs_is_refused() {
    let scene = Scene::new().await;
    let before = scene.kept().await;
    for route in programs().iter().filter(|r| r.path != DOCUMENT) {
        for token in [None, Some("dowel_guessed")] {
            let status = scene.program(token, route).await.status_code();
            assert_eq!(status, 401, "{} {}", route.method, route.path);
        }
    }
    assert_eq!(scene.kept().await, before);
}

#[tokio::test]
async fn a_members_program_finds_nothing_of_another_group_and_nothing_of_a_coachs() {
    let scene = Scene::new().await;
    let all = [Scope::Read, Scope::Log, Scope::Coach];
    let (pia, odo) = (scene.token(scene.pia, &all).await, scene.token(scene.odo, &all).await);
    // the hour of its last use is kept with a token
    let kept = async || {
        let mut kept = scene.kept().await;
        kept.remove("tokens");
        kept
    };
    let before = kept().await;
    let coachs = |r: &Route| r.path.ends_with("/members") || r.path.ends_with("{id}/results") || r.path.contains("/members/");
    for route in programs() {
        let part = ["/api/v1/sessions/", "/api/v1/results/", "/api/v1/groups/"].iter().any(|p| route.path.starts_with(p));
        if part || coachs(&route) {
            let status = scene.program(Some(&pia), &route).await.status_code();
            assert_eq!(status, 404, "{} {}", route.method, route.path);
        } else {
            let words = scene.program(Some(&pia), &route).await.text();
            assert!(!words.contains("Ines") && !words.contains("Harbour"), "{} {}: {words}", route.method, route.path);
        }
        if route.path.starts_with("/api/v1/results/") || coachs(&route) {
            let status = scene.program(Some(&odo), &route).await.status_code();
            assert_eq!(status, 404, "{} {}", route.method, route.path);
        }
    }
    assert_eq!(kept().await, before, "a refused request changed something");
}

#[tokio::test]
async fn looking_changes_nothing() {
    let scene = Scene::new().await;
    let browsers = [
        scene.practice.as_person(scene.coach).await,
        scene.practice.as_person(scene.ines).await,
        scene.practice.as_person(scene.odo).await,
    ];
    let before = scene.kept().await;
    for route in routes().iter().filter(|r| r.method == "GET" && !STAY_OPEN.contains(&r.path.as_str())) {
        for browser in &browsers {
            scene.ask(browser, route).await;
        }
    }
    assert_eq!(scene.kept().await, before);
}

#[tokio::test]
async fn a_post_from_another_site_is_refused_on_every_route() {
    let scene = Scene::new().await;
    let (coach, ines) = (scene.practice.as_person(scene.coach).await, scene.practice.as_person(scene.ines).await);
    let before = scene.kept().await;
    let foreign = [("sec-fetch-site", "cross-site"), ("origin", "https://evil.example"), ("origin", "null")];
    for route in routes().iter().filter(|r| r.method == "POST") {
        for browser in [&coach, &ines] {
            for (name, value) in foreign {
                let address = scene.address(&route.path);
                let response = browser.post(&address).add_header(name, value).form(&[("name", "x")]).await;
                assert_eq!(response.status_code(), 403, "{} with {name}: {value}", route.path);
            }
        }
    }
    assert_eq!(scene.kept().await, before);
}

/// What says nothing of anybody and may be kept.
const NOBODYS: [&str; 3] = ["/manifest.webmanifest", "/no-signal", "/sw.js"];

#[tokio::test]
async fn every_page_of_every_role_is_kept_by_nobody_and_loads_nothing_from_elsewhere() {
    let scene = Scene::new().await;
    let browsers =
        [scene.practice.browser(), scene.practice.as_person(scene.coach).await, scene.practice.as_person(scene.ines).await];
    for route in routes().iter().filter(|r| r.method == "GET" && !STAY_OPEN.contains(&r.path.as_str())) {
        for browser in &browsers {
            let response = scene.ask(browser, route).await;
            let header = |name: &str| response.headers().get(name).map_or("", |v| v.to_str().unwrap()).to_owned();
            let cache = header("cache-control");
            // a video is for one sign-in's browser, which asks with it
            let own = route.path == "/media/{hash}" && cache.contains("private");
            assert!(own || NOBODYS.contains(&route.path.as_str()) || cache.contains("no-store"), "{}: {cache}", route.path);
            let policy = header("content-security-policy");
            assert!(policy.starts_with("default-src 'none'") && !policy.contains("unsafe"), "{}: {policy}", route.path);
            assert!(policy.contains("frame-ancestors 'none'"), "{}: {policy}", route.path);
            assert_eq!(header("x-content-type-options"), "nosniff", "{}", route.path);
            assert_eq!(header("referrer-policy"), "same-origin", "{}", route.path);
            assert!(response.headers().get("access-control-allow-origin").is_none(), "{}", route.path);
            let kind = header("content-type");
            assert!(kind.is_empty() || !kind.starts_with("text/") || kind.contains("charset=utf-8"), "{}: {kind}", route.path);
        }
    }
}

#[tokio::test]
async fn odd_words_in_an_address_or_a_form_never_break_a_page() {
    let scene = Scene::new().await;
    let (coach, ines) = (scene.practice.as_person(scene.coach).await, scene.practice.as_person(scene.ines).await);
    let odd = [
        "'; drop table people; --",
        "..%2f..%2fsecret",
        "%00",
        "%ff%fe",
        "999999999999999999999",
        "-1",
        "%0d%0aset-cookie:x=1",
        "{{7*7}}",
    ];
    for route in routes() {
        let mut address = route.path.clone();
        for word in odd {
            address.clone_from(&route.path);
            while let (Some(from), Some(to)) = (address.find('{'), address.find('}')) {
                let encoded: String =
                    if word.starts_with('{') { "%7B%7B7*7%7D%7D".to_owned() } else { word.replace([' ', ';', '\''], "%20") };
                address.replace_range(from..=to, &encoded);
            }
            if address == route.path || STAY_OPEN.contains(&route.path.as_str()) {
                continue;
            }
            for browser in [&coach, &ines] {
                let form = [("text", word), ("name", word), ("score", word), ("version_id", word)];
                let asked = browser.method(route.method.parse().unwrap(), &address);
                let response = if route.method == "POST" { asked.form(&form).await } else { asked.await };
                let status = response.status_code().as_u16();
                assert!(status < 500 && status != 405, "{} {address}: {status}", route.method);
                assert!(response.headers().get("set-cookie").is_none() || route.path.starts_with("/join"), "{address}");
            }
        }
    }
}
