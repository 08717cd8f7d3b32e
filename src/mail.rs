//! Mail, where the settings name a server for it: links for forgotten passwords and nothing else.
//!
//! # Design
//! One server, one message at a time, and a few that wait. A connection is private or there is none: STARTTLS is asked for
//! and never done without, a certificate must fit the server's name, and plain text goes to this machine alone. What the server
//! says is kept as a number: its words may hold an address.

use crate::clock;
use anyhow::{Context, bail};
use clap::{Args, ValueEnum};
use lettre::message::Mailbox;
use lettre::message::header::{ContentType, HeaderName, HeaderValue};
use lettre::transport::smtp::authentication::Credentials;
use lettre::transport::smtp::client::{Certificate, Tls, TlsParameters};
use lettre::transport::smtp::extension::ClientId;
use lettre::{Address, AsyncSmtpTransport, AsyncTransport, Message, Tokio1Executor};
use std::net::IpAddr;
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;
use tokio::sync::{OwnedSemaphorePermit, Semaphore};

/// Mails under way at once; one more is asked to come again.
const AT_ONCE: usize = 16;
/// How long the server may take for one answer.
const PATIENCE: Duration = Duration::from_secs(20);
/// How long to wait before each further try, where the server could not take it just then.
const AGAIN: [Duration; 2] = [Duration::from_secs(1), Duration::from_secs(20)];

/// How the connection to the mail server is kept private.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Privacy {
    /// begins plain and must go on with TLS
    #[default]
    Starttls,
    /// TLS from the first byte
    Tls,
    /// plain text, to this machine alone
    None,
}

/// Settings of the mail server.
#[derive(Args, Clone, Default)]
pub struct Settings {
    /// Mail server that sends links for forgotten passwords; without one, coaches give them
    #[arg(long, env = "DOWEL_SMTP_HOST")]
    pub smtp_host: Option<String>,
    /// Its port; 587 with starttls, 465 with tls and 25 with none unless set
    #[arg(long, env = "DOWEL_SMTP_PORT")]
    pub smtp_port: Option<u16>,
    /// How the connection to it is kept private; none is for this machine alone
    #[arg(long, env = "DOWEL_SMTP_TLS", value_enum, default_value_t)]
    pub smtp_tls: Privacy,
    /// File with one more certificate to trust, in PEM, where the mail server's is not a public one
    #[arg(long, env = "DOWEL_SMTP_CA")]
    pub smtp_ca: Option<PathBuf>,
    /// Name to sign in there, where it asks
    #[arg(long, env = "DOWEL_SMTP_USER")]
    pub smtp_user: Option<String>,
    /// Password to sign in there
    #[arg(long, env = "DOWEL_SMTP_PASSWORD", hide_env_values = true)]
    pub smtp_password: Option<String>,
    /// From whom mail comes, such as "Dowel <dowel@example.org>"
    #[arg(long, env = "DOWEL_SMTP_FROM")]
    pub smtp_from: Option<String>,
}

/// A setting that says something.
fn said(setting: Option<&String>) -> Option<&str> {
    setting.map(|s| s.trim()).filter(|s| !s.is_empty())
}

fn is_this_machine(host: &str) -> bool {
    host == "localhost" || host.parse().is_ok_and(|a: IpAddr| a.is_loopback())
}

/// Sends mail.
#[derive(Clone)]
pub struct Post {
    server: AsyncSmtpTransport<Tokio1Executor>,
    from: Mailbox,
    room: Arc<Semaphore>,
}

/// Why a mail was not sent, without the address.
#[derive(Debug, thiserror::Error)]
pub enum Failed {
    /// It may go another time.
    #[error("{0}")]
    Now(String),
    /// It will not go.
    #[error("{0}")]
    Always(String),
}

impl Post {
    /// Ready to send, where the settings name a server; `site` is the address that people type.
    ///
    /// # Errors
    /// Settings that do not fit together, in plain words.
    pub fn open(settings: &Settings, site: &str) -> anyhow::Result<Option<Self>> {
        let Some(host) = said(settings.smtp_host.as_ref()) else { return Ok(None) };
        let from = said(settings.smtp_from.as_ref()).context("mail needs DOWEL_SMTP_FROM: from whom it comes")?;
        let from: Mailbox = from.parse().with_context(|| format!("DOWEL_SMTP_FROM is no mail address: {from:?}"))?;
        let (tls, usual) = privacy(settings, host)?;
        let mut server = AsyncSmtpTransport::<Tokio1Executor>::builder_dangerous(host)
            .port(settings.smtp_port.unwrap_or(usual))
            .tls(tls)
            .timeout(Some(PATIENCE));
        // this machine's own name is nobody's business
        if let Some(name) = webauthn_rs::prelude::Url::parse(site).ok().and_then(|u| u.domain().map(str::to_owned)) {
            server = server.hello_name(ClientId::Domain(name));
        }
        match (said(settings.smtp_user.as_ref()), said(settings.smtp_password.as_ref())) {
            (Some(user), Some(password)) => {
                server = server.credentials(Credentials::new(user.to_owned(), password.to_owned()));
            }
            (None, None) => {}
            _ => bail!("DOWEL_SMTP_USER and DOWEL_SMTP_PASSWORD go together"),
        }
        Ok(Some(Self { server: server.build(), from, room: Arc::new(Semaphore::new(AT_ONCE)) }))
    }

    /// Room for one more mail; none where too many are under way.
    #[must_use]
    pub fn room(&self) -> Option<OwnedSemaphorePermit> {
        self.room.clone().try_acquire_owned().ok()
    }

    /// Sends plain text; where the server cannot take it just then, twice more.
    ///
    /// # Errors
    /// Why it was not sent.
    pub async fn send(&self, to: Address, subject: &str, text: &str) -> Result<(), Failed> {
        let message = self.message(to, subject, text).map_err(|e| Failed::Always(format!("no mail could be made: {e}")))?;
        let mut waits = AGAIN.iter();
        loop {
            match self.server.send(message.clone()).await.map_err(|e| failed(&e)) {
                Err(Failed::Now(why)) => match waits.next() {
                    Some(wait) => tokio::time::sleep(*wait).await,
                    None => return Err(Failed::Now(why)),
                },
                other => return other.map(drop),
            }
        }
    }

    fn message(&self, to: Address, subject: &str, text: &str) -> Result<Message, lettre::error::Error> {
        // RFC 3834: nobody's holiday greeting answers it
        let by_itself = HeaderValue::new(HeaderName::new_from_ascii_str("Auto-Submitted"), "auto-generated".to_owned());
        let id: String = clock::random::<16>().iter().map(|b| format!("{b:02x}")).collect();
        Message::builder()
            .message_id(Some(format!("<{id}@{}>", self.from.email.domain())))
            .from(self.from.clone())
            .to(Mailbox::new(None, to))
            .subject(subject)
            .header(ContentType::TEXT_PLAIN)
            .raw_header(by_itself)
            .body(text.to_owned())
    }
}

/// The connection and its usual port.
fn privacy(settings: &Settings, host: &str) -> anyhow::Result<(Tls, u16)> {
    if settings.smtp_tls == Privacy::None {
        if !is_this_machine(host) {
            bail!(
                "mail to {host} needs DOWEL_SMTP_TLS=starttls or tls: without, links to set passwords could be read on the way"
            );
        }
        return Ok((Tls::None, 25));
    }
    let mut tls = TlsParameters::builder(host.to_owned());
    if let Some(path) = &settings.smtp_ca {
        let pem = std::fs::read(path).with_context(|| format!("cannot read {}", path.display()))?;
        tls = tls.add_root_certificate(Certificate::from_pem(&pem).with_context(|| format!("no PEM in {}", path.display()))?);
    }
    let tls = tls.build().context("no TLS for mail")?;
    Ok(if settings.smtp_tls == Privacy::Tls { (Tls::Wrapper(tls), 465) } else { (Tls::Required(tls), 587) })
}

fn failed(e: &lettre::transport::smtp::Error) -> Failed {
    if let Some(code) = e.status() {
        let why = format!("the mail server answered {code}");
        return if e.is_permanent() { Failed::Always(why) } else { Failed::Now(why) };
    }
    if e.is_timeout() {
        return Failed::Now("the mail server took too long".to_owned());
    }
    if e.is_response() {
        return Failed::Now("the mail server answered what makes no sense".to_owned());
    }
    let why = std::error::Error::source(e).map_or_else(|| e.to_string(), ToString::to_string);
    // a certificate or an answer that does not fit will not fit a moment later
    if e.is_tls() || e.is_client() || not_private(e) { Failed::Always(why) } else { Failed::Now(format!("no connection: {why}")) }
}

/// The handshake failed: the library for TLS says so inside an error of the connection.
fn not_private(e: &dyn std::error::Error) -> bool {
    std::iter::successors(e.source(), |e| e.source())
        .filter_map(|e| e.downcast_ref::<std::io::Error>())
        .any(|e| e.kind() == std::io::ErrorKind::InvalidData)
}

impl std::fmt::Debug for Post {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        // the password stays out
        f.debug_struct("Post").finish_non_exhaustive()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn settings(host: &str, tls: Privacy) -> Settings {
        let words = |s: &str| Some(s.to_owned());
        Settings { smtp_host: words(host), smtp_tls: tls, smtp_from: words("Dowel <dowel@example.org>"), ..Settings::default() }
    }

    fn refused(settings: &Settings) -> String {
        Post::open(settings, "https://training.example.org").unwrap_err().to_string()
    }

    #[test]
    fn without_a_host_there_is_no_mail() {
        for host in [None, Some(String::new())] {
            let none = Settings { smtp_host: host, ..Settings::default() };
            assert!(Post::open(&none, "https://training.example.org").unwrap().is_none());
        }
    }

    #[test]
    fn plain_text_goes_to_this_machine_alone() {
        for host in ["127.0.0.1", "localhost", "::1"] {
            assert!(Post::open(&settings(host, Privacy::None), "http://localhost:8420").unwrap().is_some(), "{host}");
        }
        for host in ["mail.example.org", "192.0.2.7", "localhost.example.org"] {
            assert!(refused(&settings(host, Privacy::None)).contains("could be read on the way"), "{host}");
            assert!(Post::open(&settings(host, Privacy::Starttls), "https://training.example.org").unwrap().is_some());
        }
    }

    #[test]
    fn settings_that_do_not_fit_together_are_refused_at_the_start() {
        let whole = settings("mail.example.org", Privacy::Tls);
        assert!(refused(&Settings { smtp_from: None, ..whole.clone() }).contains("DOWEL_SMTP_FROM"));
        assert!(refused(&Settings { smtp_from: Some("dowel".to_owned()), ..whole.clone() }).contains("no mail address"));
        assert!(refused(&Settings { smtp_user: Some("dowel".to_owned()), ..whole.clone() }).contains("go together"));
        assert!(refused(&Settings { smtp_ca: Some("/nowhere/ca.pem".into()), ..whole }).contains("cannot read"));
    }
}
