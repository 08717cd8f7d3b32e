//! `SECURITY.md` says what holds and what shows it; here it is held to its word.

use std::fs;
use std::path::{Path, PathBuf};

const SAID: &str = include_str!("../../SECURITY.md");
const ROWS: &str = include_str!("../data/asvs.txt");

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn read(folder: &str, endings: &[&str]) -> Vec<(PathBuf, String)> {
    fn walk(folder: &Path, endings: &[&str], all: &mut Vec<(PathBuf, String)>) {
        for path in fs::read_dir(folder).unwrap().flatten().map(|e| e.path()) {
            if path.is_dir() && !path.ends_with("node_modules") {
                walk(&path, endings, all);
            } else if endings.iter().any(|e| path.to_string_lossy().ends_with(e)) {
                all.push((path.clone(), fs::read_to_string(&path).unwrap()));
            }
        }
    }
    let mut all = Vec::new();
    walk(&root().join(folder), endings, &mut all);
    all
}

/// What stands in backquotes.
fn quoted() -> impl Iterator<Item = &'static str> {
    SAID.split('`').skip(1).step_by(2)
}

#[test]
fn every_row_is_answered_once() {
    for id in ROWS.lines() {
        let answers = SAID.lines().filter(|l| l.starts_with(&format!("| {id} |"))).count();
        assert_eq!(answers, 1, "{id}");
    }
}

#[test]
fn every_test_and_file_that_is_named_is_there() {
    let code: String = ["src", "tests"].iter().flat_map(|f| read(f, &[".rs"])).map(|(_, text)| text).collect();
    let mut tests = 0;
    for name in quoted() {
        let first = name.split_whitespace().next().unwrap_or_default();
        let is_test =
            name.matches('_').count() >= 3 && name.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_');
        if is_test {
            assert!(code.contains(&format!("fn {name}(")), "no test {name}");
            tests += 1;
        } else if ["src/", "tests/", "deploy/", "scripts/", "templates/", "migrations/", "static/"]
            .iter()
            .any(|f| first.starts_with(f))
        {
            assert!(root().join(first).exists(), "no file {first}");
        }
    }
    assert!(tests > 40, "only {tests} tests are named");
}

#[test]
fn the_limits_that_are_written_down_are_those_in_the_code() {
    for (row, file, code) in [
        ("| form body | 256 KiB |", "src/web/routes.rs", "FORM_LIMIT: usize = 256 * 1024"),
        ("| header | 32 KiB, within 10 s |", "src/web/server.rs", "HEADER_LIMIT: usize = 32 * 1024"),
        ("1 s more for each 8 KiB declared", "src/web/server.rs", "SLOWEST: u64 = 8 * 1024"),
        ("| connections | 1024 |", "src/web/server.rs", "CONNECTIONS: usize = 1024"),
        ("| connections of one address | 256;", "src/web/guests.rs", "OF_ONE: usize = 256"),
        ("| an answer that nobody reads | 30 s", "src/web/server.rs", "write: Duration::from_secs(30)"),
        ("| passwords hashed at once | 2, and 32 wait |", "src/web/passwords.rs", "AT_ONCE: usize = 2"),
        ("| passwords hashed at once | 2, and 32 wait |", "src/web/passwords.rs", "WAITING: usize = 32"),
        ("| writes that wait | 1024, 5 s |", "src/store/writer.rs", "QUEUE: usize = 1024"),
        ("| writes in one commit | 128 |", "src/store/writer.rs", "BATCH: usize = 128"),
        ("60 days unused", "src/store/sign_ins.rs", "LASTS: Duration = Duration::days(60)"),
        ("400 days at most", "src/store/sign_ins.rs", "LASTS_AT_MOST: Duration = Duration::days(400)"),
        ("20\nbrowsers a person", "src/store/sign_ins.rs", "AT_ONCE: i64 = 20"),
        ("10 in 10 minutes", "src/web/limits.rs", "TRIES: u32 = 10"),
        ("20 for one name from everywhere", "src/web/limits.rs", "TRIES_OF_NAME: u32 = 20"),
        ("40 for one address", "src/web/limits.rs", "TRIES_OF_ADDRESS: u32 = 40"),
        ("3 in an hour for one name", "src/web/limits.rs", "MAILS_OF_NAME: u32 = 3"),
        ("10 for one address", "src/web/limits.rs", "MAILS_OF_ADDRESS: u32 = 10"),
        ("| wrong tokens from one address | 60 in a minute |", "src/web/limits.rs", "TOKENS_OF_ADDRESS: u32 = 60"),
        ("16 under way at once", "src/mail.rs", "AT_ONCE: usize = 16"),
        ("lasts an hour", "src/store/links.rs", "MAILED_LINK_LASTS: Duration = Duration::hours(1)"),
        ("8 to 256 characters", "src/web/passwords.rs", "SHORTEST: usize = 8"),
        ("8 to 256 characters", "src/web/passwords.rs", "LONGEST: usize = 256"),
        ("`trail`, 400 days", "src/store/trail.rs", "KEPT: Duration = Duration::days(400)"),
    ] {
        assert!(SAID.contains(row), "SECURITY.md does not say {row:?}");
        assert!(fs::read_to_string(root().join(file)).unwrap().contains(code), "{file} does not say {code:?}");
    }
}

#[test]
fn the_example_of_a_proxy_takes_tls_of_today_alone() {
    let proxy = include_str!("../../deploy/nginx.conf");
    let said = |key: &str| {
        let line = proxy.lines().find_map(|l| l.trim().strip_prefix(key)).unwrap_or_else(|| panic!("no {key}"));
        line.trim().trim_end_matches(';').to_owned()
    };
    assert_eq!(said("ssl_protocols "), "TLSv1.2 TLSv1.3");
    for suite in said("ssl_ciphers ").split(':') {
        // RFC 9325, section 4.2: forward secrecy and authenticated encryption
        assert!(suite.starts_with("ECDHE-") && (suite.contains("GCM") || suite.contains("CHACHA20")), "{suite}");
    }
}

#[test]
fn the_source_keeps_its_bans() {
    for (path, text) in read("src", &[".rs"]) {
        // tests at the end of a file may connect to what they started
        let text = text.split("#[cfg(test)]\nmod tests {").next().unwrap();
        for banned in ["Command::new", "TcpStream::connect", "reqwest", "md5", "sha1", "Sha1", "transmute"] {
            assert!(!text.contains(banned), "{banned} in {}", path.display());
        }
    }
}
