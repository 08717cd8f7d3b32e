//! A mail server on this machine, as much of one as a sender can see (RFC 5321; STARTTLS of RFC 3207; AUTH PLAIN of RFC 4954).

use std::collections::VecDeque;
use std::path::PathBuf;
use std::sync::{Arc, Mutex};
use tokio::io::{AsyncBufReadExt, AsyncRead, AsyncWrite, AsyncWriteExt, BufStream};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::mpsc::{UnboundedReceiver, UnboundedSender, unbounded_channel};
use tokio_rustls::TlsAcceptor;
use tokio_rustls::rustls::ServerConfig;
use tokio_rustls::rustls::pki_types::PrivateKeyDer;

/// A mail that arrived.
#[derive(Clone, Debug, Default)]
pub struct Mail {
    pub from: String,
    pub to: Vec<String>,
    /// head and body, without the line ends of quoted-printable (RFC 2045, section 6.7)
    pub text: String,
    /// what followed AUTH PLAIN
    pub sign_in: Option<String>,
    /// what followed EHLO
    pub hello: String,
    /// the connection was private
    pub private: bool,
}

/// How the server behaves.
#[derive(Clone, Default)]
pub struct Manner {
    /// TLS after STARTTLS
    pub starttls: bool,
    /// TLS from the first byte
    pub tls: bool,
    /// never says a word
    pub silent: bool,
    /// asks who sends
    pub asks: bool,
    /// what the first recipients get to hear instead of "yes"
    pub refusals: Arc<Mutex<VecDeque<&'static str>>>,
}

pub struct MailServer {
    pub port: u16,
    /// its authority's certificate
    pub ca: PathBuf,
    /// what it heard, line by line, without bodies
    pub heard: Arc<Mutex<Vec<String>>>,
    mails: UnboundedReceiver<Mail>,
    _folder: tempfile::TempDir,
}

impl MailServer {
    pub async fn start(manner: Manner) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
        let port = listener.local_addr().unwrap().port();
        let folder = tempfile::tempdir().unwrap();
        let made = rcgen::generate_simple_self_signed(["localhost".to_owned()]).unwrap();
        let ca = folder.path().join("ca.pem");
        std::fs::write(&ca, made.cert.pem()).unwrap();
        let key = PrivateKeyDer::Pkcs8(made.signing_key.serialize_der().into());
        let config = ServerConfig::builder().with_no_client_auth().with_single_cert(vec![made.cert.der().clone()], key).unwrap();
        let (sender, mails) = unbounded_channel();
        let heard = Arc::default();
        let talk = Talk { manner, tls: TlsAcceptor::from(Arc::new(config)), sender, heard: Arc::clone(&heard) };
        tokio::spawn(async move {
            while let Ok((stream, _)) = listener.accept().await {
                tokio::spawn(talk.clone().answer(stream));
            }
        });
        Self { port, ca, heard, mails, _folder: folder }
    }

    /// The next mail; waits for it.
    pub async fn next(&mut self) -> Mail {
        let patience = std::time::Duration::from_secs(60);
        tokio::time::timeout(patience, self.mails.recv()).await.expect("a mail comes").unwrap()
    }

    /// A mail that came already.
    pub fn came(&mut self) -> Option<Mail> {
        self.mails.try_recv().ok()
    }
}

#[derive(Clone)]
struct Talk {
    manner: Manner,
    tls: TlsAcceptor,
    sender: UnboundedSender<Mail>,
    heard: Arc<Mutex<Vec<String>>>,
}

impl Talk {
    async fn answer(self, stream: TcpStream) {
        if self.manner.silent {
            std::future::pending::<()>().await;
        } else if self.manner.tls {
            if let Ok(stream) = self.tls.clone().accept(stream).await {
                self.talk(BufStream::new(stream), true, true).await;
            }
        } else if let Some(plain) = self.talk(BufStream::new(stream), false, true).await
            && let Ok(stream) = self.tls.clone().accept(plain.into_inner()).await
        {
            self.talk(BufStream::new(stream), true, false).await;
        }
    }

    /// Until the end; gives the stream back where it is to become private.
    async fn talk<S: AsyncRead + AsyncWrite + Unpin>(
        &self,
        mut s: BufStream<S>,
        private: bool,
        greet: bool,
    ) -> Option<BufStream<S>> {
        if greet {
            say(&mut s, "220 mail.example.org").await;
        }
        let mut mail = Mail { private, ..Mail::default() };
        loop {
            let line = line(&mut s).await?;
            self.heard.lock().unwrap().push(line.clone());
            let (word, rest) = line.split_at(line.len().min(4));
            match word.to_uppercase().as_str() {
                "EHLO" => {
                    rest.trim().clone_into(&mut mail.hello);
                    let more = [(self.manner.starttls && !private, "250-STARTTLS"), (self.manner.asks, "250-AUTH PLAIN")];
                    for (_, line) in more.iter().filter(|(is, _)| *is) {
                        say(&mut s, line).await;
                    }
                    say(&mut s, "250 8BITMIME").await;
                }
                "STAR" => {
                    say(&mut s, "220 go on").await;
                    return Some(s);
                }
                "AUTH" => {
                    mail.sign_in = rest.trim().strip_prefix("PLAIN ").map(str::to_owned);
                    say(&mut s, "235 welcome").await;
                }
                "MAIL" => {
                    mail.from = within(rest);
                    say(&mut s, "250 yes").await;
                }
                "RCPT" => {
                    mail.to.push(within(rest));
                    let refusal = self.manner.refusals.lock().unwrap().pop_front();
                    say(&mut s, refusal.unwrap_or("250 yes")).await;
                }
                "DATA" => {
                    say(&mut s, "354 go on").await;
                    mail.text = body(&mut s).await?;
                    let _ = self.sender.send(mail.clone());
                    say(&mut s, "250 yes").await;
                }
                "QUIT" => {
                    say(&mut s, "221 bye").await;
                    return None;
                }
                _ => say(&mut s, "250 yes").await,
            }
        }
    }
}

fn within(text: &str) -> String {
    text.split(['<', '>']).nth(1).unwrap_or_default().to_owned()
}

async fn say<S: AsyncWrite + AsyncRead + Unpin>(s: &mut BufStream<S>, line: &str) {
    let _ = s.write_all(format!("{line}\r\n").as_bytes()).await;
    let _ = s.flush().await;
}

async fn line<S: AsyncWrite + AsyncRead + Unpin>(s: &mut BufStream<S>) -> Option<String> {
    let mut line = String::new();
    let read = s.read_line(&mut line).await.ok()?;
    (read > 0).then(|| line.trim_end().to_owned())
}

async fn body<S: AsyncWrite + AsyncRead + Unpin>(s: &mut BufStream<S>) -> Option<String> {
    let mut text = String::new();
    loop {
        match line(s).await?.as_str() {
            "." => return Some(text.replace("=\n", "").replace("=3D", "=")),
            line => text += &format!("{}\n", line.strip_prefix('.').unwrap_or(line)),
        }
    }
}
