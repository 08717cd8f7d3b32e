//! A forgotten password: a link by mail, and never a word about who is there.

use crate::mail_server::{Mail, MailServer, Manner};
use crate::practice::{NOW, PASSWORD, Practice, location, texts};
use axum_test::{TestResponse, TestServer};
use base64::Engine;
use base64::prelude::BASE64_STANDARD;
use dowel::config::Config;
use dowel::mail::{Privacy, Settings};
use dowel::store::ids::PersonId;
use std::io::Write;
use std::sync::{Arc, Mutex};
use time::Duration;

const SITE: &str = "https://training.example.org";

fn settings(server: &MailServer) -> Settings {
    Settings {
        smtp_host: Some("localhost".to_owned()),
        smtp_port: Some(server.port),
        smtp_tls: Privacy::None,
        smtp_from: Some("Dowel <dowel@example.org>".to_owned()),
        ..Settings::default()
    }
}

/// A practice that sends through this server, with the member Ines.
async fn practice(mail: Settings) -> (Practice, PersonId) {
    let practice = Practice::with(Config { mail, address: Some(SITE.to_owned()), ..Config::default() }).await;
    let group = practice.group("Harbour").await;
    let ines = practice.member("Ines", group).await;
    (practice, ines)
}

async fn with_mail(manner: Manner) -> (Practice, PersonId, MailServer) {
    let server = MailServer::start(manner).await;
    let (practice, ines) = practice(settings(&server)).await;
    (practice, ines, server)
}

async fn ask(browser: &TestServer, name: &str) -> TestResponse {
    browser.post("/forgotten").form(&[("name", name)]).await
}

/// Waits until nothing is on its way.
async fn all_sent(practice: &Practice) {
    let post = practice.app.post.as_ref().unwrap();
    let mut room = Vec::new();
    while room.len() < 16 {
        match post.room() {
            Some(place) => room.push(place),
            None => tokio::task::yield_now().await,
        }
    }
}

/// The link in a mail.
fn link(mail: &Mail) -> String {
    let found = mail.text.lines().find_map(|l| l.strip_prefix(SITE).filter(|rest| rest.starts_with("/password/")));
    found.unwrap_or_else(|| panic!("no link in {}", mail.text)).to_owned()
}

#[tokio::test]
async fn a_forgotten_password_is_set_by_a_link_in_a_mail() {
    let (practice, ines, mut server) = with_mail(Manner::default()).await;
    let elsewhere = practice.as_person(ines).await;
    let visitor = practice.browser();
    assert_eq!(texts(&visitor.get("/sign-in").await, "a[href='/forgotten']"), ["Forgot your password?"]);
    let answer = ask(&visitor, " Ines@Example.org ").await;
    assert_eq!((answer.status_code().as_u16(), location(&answer)), (303, "/sign-in?said=mailed".to_owned()));
    let mail = server.next().await;
    assert_eq!((mail.from.as_str(), mail.to.as_slice()), ("dowel@example.org", &["ines@example.org".to_owned()][..]));
    assert_eq!(mail.hello, "training.example.org");
    for line in ["From: Dowel <dowel@example.org>", "To: ines@example.org", "Auto-Submitted: auto-generated"] {
        assert!(mail.text.lines().any(|l| l == line), "{line} in {}", mail.text);
    }
    assert!(mail.text.lines().any(|l| l.starts_with("Message-ID: <") && l.ends_with("@example.org>")), "{}", mail.text);
    assert!(mail.text.contains("until 13:00 on Wednesday 25 November (Europe/London)"), "{}", mail.text);
    let address = link(&mail);
    assert_eq!(visitor.get(&address).await.status_code(), 200, "looking does not use it up");
    let form = [("password", "harbour wall at dusk")];
    assert_eq!(visitor.post(&address).form(&form).await.status_code(), 303);
    assert_eq!(visitor.get("/today").await.status_code(), 200);
    assert!(location(&elsewhere.get("/today").await).starts_with("/sign-in"), "other browsers are signed out");
    assert_eq!(practice.browser().post(&address).form(&form).await.status_code(), 410, "once");
}

#[tokio::test]
async fn whoever_is_not_there_reads_the_same_and_gets_nothing() {
    let (practice, ines, mut server) = with_mail(Manner::default()).await;
    let group = practice.group("Quay").await;
    let left = practice.member("Otto", group).await;
    practice.app.store.end_membership(left, NOW).await.unwrap();
    let mut answers = Vec::new();
    for name in ["ines@example.org", "nobody@example.org", "otto@example.org"] {
        let answer = ask(&practice.browser(), name).await;
        let headers: Vec<(String, String)> = answer
            .headers()
            .iter()
            .filter(|(name, _)| name.as_str() != "x-request-id")
            .map(|(name, value)| (name.to_string(), value.to_str().unwrap().to_owned()))
            .collect();
        answers.push((answer.status_code(), headers, answer.text()));
        all_sent(&practice).await;
    }
    assert_eq!(answers[0], answers[1]);
    assert_eq!(answers[0], answers[2]);
    assert_eq!(server.came().unwrap().to, ["ines@example.org"]);
    assert!(server.came().is_none());
    assert!(practice.app.store.open_password_link(left, NOW).await.unwrap().is_none());
    assert!(practice.app.store.open_password_link(ines, NOW).await.unwrap().is_some());
}

#[tokio::test]
async fn the_answer_does_not_wait_for_the_mail() {
    let (practice, ..) = with_mail(Manner { silent: true, ..Manner::default() }).await;
    let browser = practice.browser();
    for name in ["ines@example.org", "nobody@example.org"] {
        let answer = tokio::time::timeout(std::time::Duration::from_secs(10), ask(&browser, name)).await;
        assert_eq!(answer.expect("at once").status_code(), 303, "{name}");
    }
}

#[tokio::test]
async fn a_few_an_hour_for_one_name_known_or_not_and_from_one_address() {
    let (practice, _, mut server) = with_mail(Manner::default()).await;
    let browser = practice.browser();
    let mut words = Vec::new();
    for name in ["ines@example.org", "nobody@example.org"] {
        for _ in 0..3 {
            assert_eq!(ask(&browser, name).await.status_code(), 303);
        }
        let answer = ask(&browser, name).await;
        assert_eq!(answer.status_code(), 429);
        words.push((texts(&answer, ".error"), answer.headers()["retry-after"].clone()));
    }
    assert_eq!(words[0], words[1]);
    for n in 0..4 {
        assert_eq!(ask(&browser, &format!("{n}@example.org")).await.status_code(), 303);
    }
    assert_eq!(ask(&browser, "fresh@example.org").await.status_code(), 429, "ten from one address");
    practice.app.clock.set(NOW + Duration::hours(1));
    assert_eq!(ask(&browser, "ines@example.org").await.status_code(), 303);
    all_sent(&practice).await;
    assert_eq!(std::iter::from_fn(|| server.came()).count(), 4);
}

#[tokio::test]
async fn a_stranger_who_asks_withdraws_no_link_of_the_owner() {
    let (practice, ines, mut server) = with_mail(Manner::default()).await;
    let of_the_coach = practice.app.store.password_link(ines, None, NOW).await.unwrap();
    ask(&practice.browser(), "ines@example.org").await;
    let mailed = link(&server.next().await);
    assert_eq!(format!("{SITE}{mailed}"), practice.app.links.password_address(of_the_coach));
    assert_eq!(practice.browser().get(&mailed).await.status_code(), 200);
}

#[tokio::test]
async fn a_mailed_link_is_good_for_an_hour() {
    let (practice, _, mut server) = with_mail(Manner::default()).await;
    ask(&practice.browser(), "ines@example.org").await;
    let mailed = link(&server.next().await);
    practice.app.clock.set(NOW + Duration::minutes(59));
    assert_eq!(practice.browser().get(&mailed).await.status_code(), 200);
    ask(&practice.browser(), "ines@example.org").await;
    let fresh = link(&server.next().await);
    assert_ne!(fresh, mailed, "one that ends soon is not mailed again");
    practice.app.clock.set(NOW + Duration::minutes(59) + Duration::hours(1));
    assert_eq!(practice.browser().get(&fresh).await.status_code(), 410);
}

#[tokio::test]
async fn the_link_leads_to_the_site_of_the_settings_whatever_host_a_request_names() {
    let (practice, _, mut server) = with_mail(Manner::default()).await;
    let asked = practice.browser().post("/forgotten").add_header("host", "evil.example");
    asked.add_header("x-forwarded-host", "evil.example").form(&[("name", "ines@example.org")]).await;
    let mail = server.next().await;
    assert!(link(&mail).starts_with("/password/") && !mail.text.contains("evil"));
}

#[tokio::test]
async fn what_is_no_address_comes_back_and_nothing_is_sent() {
    let (practice, _, mut server) = with_mail(Manner::default()).await;
    for name in ["", "ines", "ines@example.org, otto@example.org", "ines@example.org\r\nBcc: x@example.org", "<b>@"] {
        let answer = ask(&practice.browser(), name).await;
        assert_eq!((answer.status_code().as_u16(), texts(&answer, "#name-error").len()), (422, 1), "{name:?}");
    }
    all_sent(&practice).await;
    assert!(server.came().is_none());
}

#[tokio::test]
async fn without_a_mail_server_there_is_no_such_page() {
    let practice = Practice::new().await;
    let browser = practice.browser();
    assert_eq!(browser.get("/forgotten").await.status_code(), 404);
    assert_eq!(ask(&browser, "ines@example.org").await.status_code(), 404);
    assert!(texts(&browser.get("/sign-in").await, "a[href='/forgotten']").is_empty());
}

#[tokio::test]
async fn somebody_who_is_signed_in_is_led_to_their_own_page() {
    let (practice, ines, _server) = with_mail(Manner::default()).await;
    assert_eq!(location(&practice.as_person(ines).await.get("/forgotten").await), "/you/password");
}

#[tokio::test]
async fn mail_goes_on_with_tls_and_signs_in_there() {
    for (privacy, manner) in [
        (Privacy::Starttls, Manner { starttls: true, asks: true, ..Manner::default() }),
        (Privacy::Tls, Manner { tls: true, asks: true, ..Manner::default() }),
    ] {
        let mut server = MailServer::start(manner).await;
        let mail = Settings {
            smtp_tls: privacy,
            smtp_ca: Some(server.ca.clone()),
            smtp_user: Some("dowel".to_owned()),
            smtp_password: Some("tar and rope".to_owned()),
            ..settings(&server)
        };
        let (practice, _) = practice(mail).await;
        ask(&practice.browser(), "ines@example.org").await;
        let mail = server.next().await;
        assert!(mail.private, "{privacy:?}");
        assert_eq!(mail.sign_in, Some(BASE64_STANDARD.encode("\0dowel\0tar and rope")), "{privacy:?}");
    }
}

#[tokio::test]
async fn without_tls_or_with_a_strangers_certificate_nothing_is_sent() {
    for (privacy, host, trusted, manner) in [
        (Privacy::Starttls, "localhost", true, Manner { asks: true, ..Manner::default() }),
        (Privacy::Starttls, "localhost", false, Manner { starttls: true, asks: true, ..Manner::default() }),
        (Privacy::Tls, "localhost", false, Manner { tls: true, asks: true, ..Manner::default() }),
        // trusted, and not its name
        (Privacy::Tls, "127.0.0.1", true, Manner { tls: true, asks: true, ..Manner::default() }),
    ] {
        let mut server = MailServer::start(manner).await;
        let mail = Settings {
            smtp_host: Some(host.to_owned()),
            smtp_tls: privacy,
            smtp_ca: trusted.then(|| server.ca.clone()),
            smtp_user: Some("dowel".to_owned()),
            smtp_password: Some("tar and rope".to_owned()),
            ..settings(&server)
        };
        let (practice, _) = practice(mail).await;
        assert_eq!(ask(&practice.browser(), "ines@example.org").await.status_code(), 303);
        all_sent(&practice).await;
        assert!(server.came().is_none(), "{privacy:?} {host}");
        let heard = server.heard.lock().unwrap().join("\n").to_uppercase();
        assert!(!heard.contains("AUTH") && !heard.contains("INES"), "{privacy:?} {host}: {heard}");
    }
}

#[tokio::test]
async fn a_server_that_cannot_just_now_is_asked_again() {
    let refusals = Arc::new(Mutex::new(["451 later"].into()));
    let (practice, _, mut server) = with_mail(Manner { refusals, ..Manner::default() }).await;
    ask(&practice.browser(), "ines@example.org").await;
    assert_eq!(server.next().await.to, ["ines@example.org"]);
    all_sent(&practice).await;
    assert!(server.came().is_none(), "and once only");
}

/// Everything that was logged.
#[derive(Clone, Default)]
struct Log(Arc<Mutex<Vec<u8>>>);

impl Write for Log {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        self.0.lock().unwrap().extend(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

#[tokio::test]
async fn neither_the_log_nor_the_trail_has_the_link_the_address_or_the_password() {
    // with a single subscriber, what another test's thread says first would be left out for all
    let _other = tracing::Dispatch::new(tracing::subscriber::NoSubscriber::default());
    let log = Log::default();
    let writer = log.clone();
    let wide = tracing_subscriber::fmt().with_max_level(tracing::Level::DEBUG).with_writer(move || writer.clone()).finish();
    let guard = tracing::subscriber::set_default(wide);
    let refusals = Arc::new(Mutex::new(["550 <ines@example.org> is not known here"].into()));
    let mut server = MailServer::start(Manner { asks: true, refusals, ..Manner::default() }).await;
    let secret = Some("tar and rope".to_owned());
    let mail = Settings { smtp_user: Some("dowel".to_owned()), smtp_password: secret, ..settings(&server) };
    let (practice, _) = practice(mail).await;
    let coach = practice.as_coach("Mara").await;
    ask(&practice.browser(), "ines@example.org").await;
    all_sent(&practice).await;
    ask(&practice.browser(), "ines@example.org").await;
    let mailed = link(&server.next().await);
    all_sent(&practice).await;
    practice.browser().post(&mailed).form(&[("password", PASSWORD)]).await;
    drop(guard);
    let log = String::from_utf8(log.0.lock().unwrap().clone()).unwrap();
    assert!(log.contains("mail failed") && log.contains("550") && log.contains("was mailed"), "{log}");
    let trail = coach.get("/trail").await;
    assert!(texts(&trail, "tbody tr td:nth-child(3)").contains(&"a link for a new password was mailed: Ines".to_owned()));
    for kept in [log, trail.text()] {
        for secret in [mailed.trim_start_matches("/password/"), "ines@example.org", "tar and rope", PASSWORD] {
            let at = kept.find(secret).map(|at| &kept[at.saturating_sub(300)..(at + 100).min(kept.len())]);
            assert_eq!(at, None, "{secret}");
        }
    }
}
