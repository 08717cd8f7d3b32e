//! Accepting connections, with deadlines.
//!
//! # Design
//! `axum::serve` sets no timer, so a silent or dripping client would hold its connection for ever and keep the program
//! from stopping. Here every connection has a deadline for its header and for what is sent and not read, every body one for its
//! length, there is a most that are open at once and a most for one address, and stopping has a ceiling.

use super::at_hand::Front;
use super::client::Peer;
use super::guests::Door;
pub use super::guests::Guests;
use super::metrics::Metrics;
use super::patient::Patient;
use axum::body::{Body, Bytes};
use axum::extract::Request;
use axum::http::header;
use axum::middleware::{Next, from_fn};
use axum::response::Response;
use futures_util::future::{BoxFuture, Either, Ready, ready};
use futures_util::{FutureExt, StreamExt};
use hyper::body::Incoming;
use hyper::server::conn::http1;
use hyper::service::Service;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::GracefulShutdown;
use std::convert::Infallible;
use std::io;
use std::net::IpAddr;
use std::sync::Arc;
use std::sync::atomic::Ordering;
use std::time::Duration;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::Semaphore;
use tokio::time::{Instant, timeout, timeout_at};

/// Most connections at once; the next one waits to be accepted.
const CONNECTIONS: usize = 1024;
/// Largest header, bytes.
const HEADER_LIMIT: usize = 32 * 1024;
/// Slowest upload that is waited for, bytes a second.
const SLOWEST: u64 = 8 * 1024;

/// How long is waited for what.
#[derive(Clone, Copy, Debug)]
pub struct Deadlines {
    /// for a request's header
    pub header: Duration,
    /// for a body, and a second more for each 8 kB that it declares
    pub body: Duration,
    /// for what is sent, until any of it gets through
    pub write: Duration,
    /// for what is under way when told to stop
    pub stop: Duration,
}

impl Default for Deadlines {
    fn default() -> Self {
        let ten = Duration::from_secs(10);
        Self { header: ten, body: ten, write: Duration::from_secs(30), stop: ten }
    }
}

/// Serves until `stop` comes, then finishes what is under way.
///
/// # Errors
/// Only where the listener itself fails.
pub async fn serve(
    listener: TcpListener,
    front: impl Into<Front>,
    metrics: Arc<Metrics>,
    (deadlines, guests): (Deadlines, Guests),
    stop: impl Future<Output = ()>,
) -> io::Result<()> {
    let deadline = from_fn(move |request, next| body_deadline(deadlines.body, request, next));
    let front = Arc::new(front.into().around(|router| router.layer(deadline)));
    let places = Arc::new(Semaphore::new(CONNECTIONS));
    let door = Door::new(guests);
    let graceful = GracefulShutdown::new();
    tokio::pin!(stop);
    loop {
        let Ok(place) = places.clone().acquire_owned().await else { break };
        let (stream, peer) = tokio::select! {
            accepted = listener.accept() => match accepted {
                Ok(accepted) => accepted,
                Err(e) => {
                    // out of file handles, or a client that left again: wait a little and go on
                    tracing::warn!(error = %e, "cannot accept a connection");
                    tokio::time::sleep(Duration::from_millis(50)).await;
                    continue;
                }
            },
            () = &mut stop => break,
        };
        let Some(entered) = door.enter(peer.ip()) else {
            // closed without a word: whoever has so many knows
            tracing::debug!(event = "too many connections of one address");
            continue;
        };
        let connection = graceful.watch(connect(stream, peer.ip(), front.clone(), deadlines));
        let metrics = metrics.clone();
        metrics.connections.fetch_add(1, Ordering::Relaxed);
        tokio::spawn(async move {
            // a client that leaves in the middle is no news
            let _ = connection.await;
            metrics.connections.fetch_sub(1, Ordering::Relaxed);
            drop((place, entered));
        });
    }
    drop(listener);
    let _ = timeout(deadlines.stop, graceful.shutdown()).await;
    Ok(())
}

/// Says beside each request who is at the other end.
#[derive(Clone)]
struct FromPeer {
    front: Arc<Front>,
    peer: Peer,
}

impl Service<Request<Incoming>> for FromPeer {
    type Response = Response;
    type Error = Infallible;
    type Future = Either<Ready<Result<Response, Infallible>>, BoxFuture<'static, Result<Response, Infallible>>>;

    fn call(&self, mut request: Request<Incoming>) -> Self::Future {
        request.extensions_mut().insert(self.peer);
        if let Some(answer) = self.front.at_once(&request) {
            return Either::Left(ready(Ok(answer)));
        }
        let front = self.front.clone();
        Either::Right(async move { Ok(front.answer(request.map(Body::new)).await) }.boxed())
    }
}

type Connection = http1::Connection<TokioIo<Patient<TcpStream>>, FromPeer>;

fn connect(stream: TcpStream, peer: IpAddr, front: Arc<Front>, deadlines: Deadlines) -> Connection {
    let _ = stream.set_nodelay(true);
    http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(deadlines.header)
        .max_buf_size(HEADER_LIMIT)
        .serve_connection(TokioIo::new(Patient::new(stream, deadlines.write)), FromPeer { front, peer: Peer(peer) })
}

/// Ends a body that comes too slowly.
async fn body_deadline(allowed: Duration, request: Request, next: Next) -> Response {
    let declared = request.headers().get(header::CONTENT_LENGTH).and_then(|v| v.to_str().ok()?.parse().ok());
    let deadline = Instant::now() + allowed + Duration::from_secs(declared.unwrap_or(0_u64) / SLOWEST);
    next.run(request.map(|body| hurry(body, deadline))).await
}

fn hurry(body: Body, deadline: Instant) -> Body {
    let parts = futures_util::stream::unfold(body.into_data_stream(), move |mut parts| async move {
        let part: Result<Bytes, axum::Error> = match timeout_at(deadline, parts.next()).await {
            Ok(part) => part?,
            Err(late) => Err(axum::Error::new(late)),
        };
        Some((part, parts))
    });
    Body::from_stream(parts.boxed())
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::Router;
    use axum::routing::{get, post};
    use std::net::SocketAddr;
    use tokio::io::{AsyncReadExt, AsyncWriteExt};
    use tokio::sync::oneshot;
    use tokio::task::JoinHandle;

    async fn running() -> (SocketAddr, oneshot::Sender<()>, JoinHandle<io::Result<()>>) {
        running_for(Guests::default()).await
    }

    async fn running_for(guests: Guests) -> (SocketAddr, oneshot::Sender<()>, JoinHandle<io::Result<()>>) {
        let router = Router::new()
            .route("/", get(|| async { "here" }))
            .route("/", post(|body: Bytes| async move { body }))
            .route("/large", get(|| async { vec![b'x'; 1 << 20] }));
        let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
        let address = listener.local_addr().unwrap();
        let short = Duration::from_millis(100);
        let deadlines = Deadlines { header: short, body: short, write: short, stop: short };
        let (stop, stopped) = oneshot::channel();
        let serving = tokio::spawn(serve(listener, router, Arc::default(), (deadlines, guests), async {
            let _ = stopped.await;
        }));
        (address, stop, serving)
    }

    async fn say(address: SocketAddr, words: &str) -> String {
        let mut client = TcpStream::connect(address).await.unwrap();
        client.write_all(words.as_bytes()).await.unwrap();
        let mut answer = Vec::new();
        timeout(Duration::from_secs(5), client.read_to_end(&mut answer)).await.expect("it is closed").unwrap();
        String::from_utf8_lossy(&answer).into_owned()
    }

    #[tokio::test]
    async fn an_honest_client_is_answered() {
        let (address, _stop, _serving) = running().await;
        assert!(say(address, "GET / HTTP/1.1\r\nhost: x\r\nconnection: close\r\n\r\n").await.ends_with("here"));
    }

    #[tokio::test]
    async fn a_silent_client_is_closed() {
        let (address, _stop, _serving) = running().await;
        say(address, "").await;
        say(address, "GET / HT").await;
    }

    #[tokio::test]
    async fn a_client_that_asks_and_never_reads_is_closed() {
        let (address, _stop, _serving) = running().await;
        let mut client = TcpStream::connect(address).await.unwrap();
        let many = "GET /large HTTP/1.1\r\nhost: x\r\n\r\n".repeat(100);
        client.write_all(many.as_bytes()).await.unwrap();
        // more and more of it until it is closed, which a client that does not read hears of by sending
        let closed = async { while client.write_all(b"GET /large HTTP/1.1\r\nhost: x\r\n\r\n").await.is_ok() {} };
        timeout(Duration::from_secs(5), closed).await.expect("it is closed");
    }

    #[tokio::test]
    async fn one_address_has_so_many_connections_and_one_that_ended_makes_room() {
        let (address, _stop, _serving) = running_for(Guests { of_one: 2, trusted: Vec::new() }).await;
        // each is there once it has sent the beginning of something
        let mut here = Vec::new();
        for _ in 0..2 {
            let mut client = TcpStream::connect(address).await.unwrap();
            client.write_all(b"GET / HTTP/1.1\r\nhost: x\r\n\r\n").await.unwrap();
            let mut answer = [0; 12];
            client.read_exact(&mut answer).await.unwrap();
            here.push(client);
        }
        let asked = "GET / HTTP/1.1\r\nhost: x\r\nconnection: close\r\n\r\n";
        let mut third = TcpStream::connect(address).await.unwrap();
        let _ = third.write_all(asked.as_bytes()).await;
        let mut answer = Vec::new();
        let _ = timeout(Duration::from_secs(5), third.read_to_end(&mut answer)).await.expect("it is closed");
        assert!(answer.is_empty(), "the third is not answered");
        // the two are closed by their own deadline, and somebody else has their place
        for mut client in here {
            let _ = timeout(Duration::from_secs(5), client.read_to_end(&mut Vec::new())).await.expect("it is closed");
        }
        let mut answered = String::new();
        while !answered.ends_with("here") {
            answered = say(address, asked).await;
        }
    }

    #[tokio::test]
    async fn a_body_that_never_comes_is_given_up() {
        let (address, _stop, _serving) = running().await;
        let answer = say(address, "POST / HTTP/1.1\r\nhost: x\r\ncontent-length: 100\r\n\r\nabc").await;
        assert!(answer.starts_with("HTTP/1.1 4"), "{answer}");
    }

    #[tokio::test]
    async fn a_request_with_two_lengths_is_refused_and_chunks_count_where_both_are_there() {
        let (address, _stop, _serving) = running().await;
        let two = "POST / HTTP/1.1\r\nhost: x\r\ncontent-length: 5\r\ncontent-length: 1\r\n\r\nabcde";
        assert!(say(address, two).await.starts_with("HTTP/1.1 400"));
        // RFC 9112, section 6.3: the chunks are the length. The one chunk is the body, and nothing is left for another request
        let both = "POST / HTTP/1.1\r\nhost: x\r\nconnection: close\r\ncontent-length: 9\r\ntransfer-encoding: chunked\r\n\r\n3\r\nabc\r\n0\r\n\r\n";
        let answer = say(address, both).await;
        assert!(answer.starts_with("HTTP/1.1 200") && answer.ends_with("abc"), "{answer}");
        assert_eq!(answer.matches("HTTP/1.1").count(), 1);
    }

    #[tokio::test]
    async fn a_huge_header_is_refused() {
        let (address, _stop, _serving) = running().await;
        let header = "a".repeat(60_000);
        let mut client = TcpStream::connect(address).await.unwrap();
        // the server may close before all of it is written
        let _ = client.write_all(format!("GET / HTTP/1.1\r\nhost: x\r\nx: {header}\r\n\r\n").as_bytes()).await;
        let mut answer = Vec::new();
        let _ = timeout(Duration::from_secs(5), client.read_to_end(&mut answer)).await.expect("it is closed");
        assert!(!String::from_utf8_lossy(&answer).contains("200 OK"));
    }

    #[tokio::test]
    async fn a_stuck_client_does_not_keep_it_from_stopping() {
        let (address, stop, serving) = running().await;
        let mut client = TcpStream::connect(address).await.unwrap();
        client.write_all(b"GET / HT").await.unwrap();
        stop.send(()).unwrap();
        timeout(Duration::from_secs(5), serving).await.expect("it stops").unwrap().unwrap();
    }
}
