//! Practices as earlier schemas kept them, opened by today's program: everything is still there, and a copy of before.

use axum_test::TestServer;
use dowel::clock::Clock;
use dowel::config::Config;
use dowel::store::ids::PersonId;
use dowel::store::{Store, backup};
use dowel::web::{App, routes};
use sqlx::sqlite::{SqliteConnectOptions, SqliteConnection};
use sqlx::{ConnectOptions, Connection, Row};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use time::macros::datetime;
use webauthn_rs::prelude::Passkey;

/// Schemas that were in use, oldest first.
const KEPT: &[(i64, &str)] = &[
    (1, include_str!("../data/schemas/1.sql")),
    (2, include_str!("../data/schemas/2.sql")),
    (10, include_str!("../data/schemas/10.sql")),
    (20, include_str!("../data/schemas/20.sql")),
    (30, include_str!("../data/schemas/30.sql")),
    (35, include_str!("../data/schemas/35.sql")),
    (40, include_str!("../data/schemas/40.sql")),
    (50, include_str!("../data/schemas/50.sql")),
    (60, include_str!("../data/schemas/60.sql")),
    (61, include_str!("../data/schemas/61.sql")),
    (62, include_str!("../data/schemas/62.sql")),
    (63, include_str!("../data/schemas/63.sql")),
    (64, include_str!("../data/schemas/64.sql")),
    (65, include_str!("../data/schemas/65.sql")),
    (66, include_str!("../data/schemas/66.sql")),
];

async fn open(path: &Path) -> SqliteConnection {
    SqliteConnectOptions::new().filename(path).create_if_missing(true).connect().await.unwrap()
}

async fn as_it_was(sql: &'static str) -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("dowel.db");
    let mut db = open(&path).await;
    sqlx::raw_sql(sql).execute(&mut db).await.unwrap();
    sqlx::query("pragma journal_mode = wal").execute(&mut db).await.unwrap();
    db.close().await.unwrap();
    (folder, path)
}

async fn tables(db: &mut SqliteConnection) -> Vec<String> {
    let sql = "select name from sqlite_schema where type = 'table' and name not like '\\_sqlx%' escape '\\'
               and name not like 'sqlite%' order by name";
    sqlx::query_scalar(sql).fetch_all(db).await.unwrap()
}

/// Every row of every table, column by column.
async fn rows(path: &Path) -> BTreeMap<String, Vec<BTreeMap<String, String>>> {
    let mut db = open(path).await;
    let mut all = BTreeMap::new();
    for table in tables(&mut db).await {
        let columns: Vec<String> =
            sqlx::query_scalar("select name from pragma_table_info($1)").bind(&table).fetch_all(&mut db).await.unwrap();
        let quoted = columns.iter().map(|c| format!("quote(\"{c}\")")).collect::<Vec<_>>().join(", ");
        let found =
            sqlx::query(sqlx::AssertSqlSafe(format!("select {quoted} from \"{table}\""))).fetch_all(&mut db).await.unwrap();
        let row = |r: &sqlx::sqlite::SqliteRow| columns.iter().enumerate().map(|(n, c)| (c.clone(), r.get(n))).collect();
        all.insert(table, found.iter().map(row).collect());
    }
    all
}

async fn schema(path: &Path) -> Vec<String> {
    let mut db = open(path).await;
    let sql = "select type || ' ' || name || ' ' || sql from sqlite_schema
               where sql is not null and name not like '\\_sqlx%' escape '\\' and name not like 'sqlite%' order by 1";
    sqlx::query_scalar(sql).fetch_all(&mut db).await.unwrap()
}

#[tokio::test]
async fn every_earlier_practice_comes_up_to_date_with_all_it_had() {
    let fresh = tempfile::tempdir().unwrap();
    let fresh = fresh.path().join("dowel.db");
    Store::open(&fresh).await.unwrap().close().await;
    for (version, sql) in KEPT {
        let (folder, path) = as_it_was(sql).await;
        let before = rows(&path).await;
        assert!(before.values().map(Vec::len).sum::<usize>() > 15, "the practice of schema {version} holds something");
        Store::open(&path).await.unwrap().close().await;
        let after = rows(&path).await;
        for (table, rows) in &before {
            assert_eq!(after[table].len(), rows.len(), "{table} from schema {version}");
            for (was, is) in rows.iter().zip(&after[table]) {
                assert!(
                    was.iter().all(|(column, value)| is[column] == *value),
                    "{table} from schema {version}: {was:?} became {is:?}"
                );
            }
        }
        for (is, new) in schema(&path).await.iter().zip(&schema(&fresh).await) {
            assert_eq!(is, new, "schema {version} comes to the same tables as a new one");
        }
        assert_eq!(schema(&path).await.len(), schema(&fresh).await.len());
        assert_eq!(backup::faults(&path).await.unwrap(), Vec::<String>::new());
        let copies: Vec<PathBuf> =
            fs::read_dir(folder.path().join("before-upgrade")).unwrap().flatten().map(|e| e.path()).collect();
        assert_eq!(copies.len(), 1, "one copy of schema {version}");
        assert_eq!(rows(&copies[0]).await, before, "the copy is what was there before");
        Store::open(&path).await.unwrap().close().await;
        assert!(rows(&path).await == after, "a second start changes nothing");
        assert_eq!(fs::read_dir(folder.path().join("before-upgrade")).unwrap().count(), 1, "and makes no second copy");
    }
}

/// What a coach opens on an ordinary day, and what a member does.
const COACHES_PAGES: &[&str] = &[
    "/groups",
    "/groups/1",
    "/groups/1/weeks/2026-11-23",
    "/groups/1/weeks/2026-11-23/publish",
    "/groups/1/weeks/2026-11-23/board",
    "/groups/1/days/2026-11-24/1",
    "/groups/1/days/2026-11-24/1/coverage",
    "/groups/1/days/2026-11-24/1/as/2",
    "/groups/1/board-rules",
    "/groups/1/data",
    "/people/2",
    "/people/2/maxes",
    "/people/2/data/bundle",
    "/people/3",
    "/sessions/1/results",
    "/sessions/1/parts/0/board",
    "/sessions/1/parts/0/board-rules",
    "/results/1/correct",
    "/review",
    "/questions",
    "/movements",
    "/movements/dock%20carry",
    "/movements/dock%20carry/edit",
    "/fitting",
    "/coaches",
    "/trail",
    "/you/passkeys",
    "/you/tokens",
];
const MEMBERS_PAGES: &[&str] = &[
    "/today",
    "/days/2026-11-24",
    "/sessions/1/parts/0/board",
    "/sessions/1/parts/1/clock",
    "/groups/1/weeks/2026-11-23/board",
    "/results/1",
    "/results/2",
    "/history",
    "/history/lifts/back%20squat",
    "/questions-of-mine",
    "/you",
    "/you/kit",
    "/you/limits",
    "/you/maxes",
    "/you/devices",
    "/you/data/bundle",
];

/// The whole program on this folder, and a browser in which somebody is signed in with the password that they had.
async fn signed_in(app: &App, name: &str) -> TestServer {
    let browser = TestServer::builder().save_cookies().build(routes::router(app.clone()));
    let answer = browser.post("/sign-in").form(&[("name", name), ("password", "driftwood and tar")]).await;
    assert_eq!(answer.status_code(), 303, "{name} signs in");
    browser
}

async fn program(folder: &Path) -> App {
    let config = Config { data: folder.to_owned(), log: "off".to_owned(), ..Config::default() };
    App::open(config, Clock::standing(datetime!(2026-11-25 12:00 UTC))).await.unwrap()
}

#[tokio::test]
async fn every_earlier_practice_is_opened_and_read_by_its_coach_and_a_member() {
    for (version, sql) in KEPT {
        let (folder, _) = as_it_was(sql).await;
        let app = program(folder.path()).await;
        for (name, pages) in [("mara@example.org", COACHES_PAGES), ("ines", MEMBERS_PAGES)] {
            let browser = signed_in(&app, name).await;
            for page in pages {
                let status = browser.get(page).await.status_code();
                assert_eq!(status, 200, "{page} of {name} from schema {version}");
            }
        }
        for key in app.store.passkeys_of(PersonId(1)).await.unwrap() {
            assert!(serde_json::from_str::<Passkey>(&key.body).is_ok(), "a passkey from schema {version}");
        }
        app.store.close().await;
    }
}

#[tokio::test]
async fn a_movement_that_cannot_be_read_is_left_out_and_everything_else_opens() {
    let (folder, path) = as_it_was(KEPT[KEPT.len() - 1].1).await;
    let mut db = open(&path).await;
    let body = r#"{"name":"dock carry"}"#;
    sqlx::query("update movements set body = $1").bind(body).execute(&mut db).await.unwrap();
    db.close().await.unwrap();
    let app = program(folder.path()).await;
    let coach = signed_in(&app, "mara@example.org").await;
    for page in COACHES_PAGES.iter().filter(|page| !page.contains("dock")) {
        assert_eq!(coach.get(page).await.status_code(), 200, "{page}");
    }
    assert_eq!(coach.get("/movements/dock%20carry").await.status_code(), 404);
    app.store.close().await;
    let kept: String = sqlx::query_scalar("select body from movements").fetch_one(&mut open(&path).await).await.unwrap();
    assert_eq!(kept, body, "and it is not deleted");
}

#[tokio::test]
async fn results_of_an_earlier_practice_stand_under_the_parts_they_were_logged_for() {
    for (version, sql) in KEPT {
        let (_folder, path) = as_it_was(sql).await;
        Store::open(&path).await.unwrap().close().await;
        let mut db = open(&path).await;
        let places: Vec<(i64, i64)> = sqlx::query_as("select part, stands from results").fetch_all(&mut db).await.unwrap();
        assert!(!places.is_empty() && places.iter().all(|(part, stands)| part == stands), "schema {version}: {places:?}");
    }
}

#[tokio::test]
async fn the_way_back_is_one_command() {
    let (folder, path) = as_it_was(KEPT[0].1).await;
    let before = rows(&path).await;
    Store::open(&path).await.unwrap().close().await;
    let copy = fs::read_dir(folder.path().join("before-upgrade")).unwrap().flatten().next().unwrap().path();
    let printed = crate::dowel(&["restore", copy.to_str().unwrap()], folder.path());
    assert!(printed.status.success(), "{}", String::from_utf8_lossy(&printed.stderr));
    assert_eq!(rows(&path).await, before);
}

#[tokio::test]
async fn a_practice_of_a_newer_program_is_refused_untouched() {
    let (_folder, path) = as_it_was(KEPT[1].1).await;
    let mut db = open(&path).await;
    sqlx::query("pragma user_version = 9000").execute(&mut db).await.unwrap();
    // a log of its own would hide that the header was written
    sqlx::query("pragma journal_mode = delete").execute(&mut db).await.unwrap();
    db.close().await.unwrap();
    let (bytes, mode) = (fs::read(&path).unwrap(), fs::metadata(&path).unwrap().permissions());
    let refused = Store::open(&path).await.unwrap_err().to_string();
    assert!(refused.contains("newer Dowel"), "{refused}");
    assert!(fs::read(&path).unwrap() == bytes && fs::metadata(&path).unwrap().permissions() == mode);
}

#[tokio::test]
async fn copies_from_before_upgrades_make_room() {
    let (folder, path) = as_it_was(KEPT[0].1).await;
    let copies = folder.path().join("before-upgrade");
    fs::create_dir(&copies).unwrap();
    for name in ["dowel-1-to-2-1700000001.db", "dowel-1-to-2-1700000002.db", "dowel-1-to-2-1700000003.db", "mine.db"] {
        fs::write(copies.join(name), "an older copy").unwrap();
    }
    Store::open(&path).await.unwrap().close().await;
    let mut left: Vec<String> =
        fs::read_dir(&copies).unwrap().flatten().map(|e| e.file_name().to_string_lossy().into_owned()).collect();
    left.sort();
    assert_eq!(left.len(), 4, "the new one, two older, and what is not ours: {left:?}");
    assert!(!left.contains(&"dowel-1-to-2-1700000001.db".to_owned()) && left.contains(&"mine.db".to_owned()), "{left:?}");
}

/// A folder that was upgraded by an older Dowel refuses a migration that reads otherwise than the one it applied. A new migration
/// is added to the list; a line of the list never changes.
#[test]
fn a_migration_that_is_out_never_changes() {
    use sha2::{Digest, Sha256};
    let listed: Vec<(String, String)> = include_str!("../data/schemas/landed.sha256")
        .lines()
        .filter_map(|line| line.split_once("  ").map(|(sum, file)| (file.to_owned(), sum.to_owned())))
        .collect();
    let mut here: Vec<(String, String)> = fs::read_dir("migrations")
        .unwrap()
        .map(|file| {
            let path = file.unwrap().path();
            let sum = Sha256::digest(fs::read(&path).unwrap()).iter().map(|b| format!("{b:02x}")).collect();
            (path.file_name().unwrap().to_string_lossy().into_owned(), sum)
        })
        .collect();
    here.sort();
    assert_eq!(here, listed);
}
