//! A connection that is given up where nobody reads what is sent.
//!
//! # Design
//! A client that asks and asks and reads nothing fills its buffers and ours, and would hold its place for as long as it likes: there
//! is no deadline on sending in what runs a connection. Here any byte that gets through starts the clock anew, so that a slow
//! phone gets its video and a stuck one is gone. A player that pauses for longer comes back for the rest.

use std::io::{self, IoSlice};
use std::pin::Pin;
use std::task::{Context, Poll, ready};
use std::time::Duration;
use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio::time::{Sleep, sleep};

/// A stream with a deadline for sending.
#[derive(Debug)]
pub struct Patient<S> {
    stream: S,
    allowed: Duration,
    /// set while something waits to be sent
    late: Option<Pin<Box<Sleep>>>,
}

impl<S> Patient<S> {
    /// Gives up where nothing gets through for this long.
    pub const fn new(stream: S, allowed: Duration) -> Self {
        Self { stream, allowed, late: None }
    }

    /// What came of a try to send, or that it took too long.
    fn waited<T>(&mut self, tried: Poll<io::Result<T>>, cx: &mut Context<'_>) -> Poll<io::Result<T>> {
        if tried.is_ready() {
            self.late = None;
            return tried;
        }
        let allowed = self.allowed;
        let late = self.late.get_or_insert_with(|| Box::pin(sleep(allowed)));
        ready!(late.as_mut().poll(cx));
        Poll::Ready(Err(io::ErrorKind::TimedOut.into()))
    }
}

impl<S: AsyncRead + Unpin> AsyncRead for Patient<S> {
    fn poll_read(mut self: Pin<&mut Self>, cx: &mut Context<'_>, buf: &mut ReadBuf<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_read(cx, buf)
    }
}

impl<S: AsyncWrite + Unpin> AsyncWrite for Patient<S> {
    fn poll_write(mut self: Pin<&mut Self>, cx: &mut Context<'_>, buf: &[u8]) -> Poll<io::Result<usize>> {
        let tried = Pin::new(&mut self.stream).poll_write(cx, buf);
        self.waited(tried, cx)
    }

    fn poll_write_vectored(mut self: Pin<&mut Self>, cx: &mut Context<'_>, bufs: &[IoSlice<'_>]) -> Poll<io::Result<usize>> {
        let tried = Pin::new(&mut self.stream).poll_write_vectored(cx, bufs);
        self.waited(tried, cx)
    }

    fn is_write_vectored(&self) -> bool {
        self.stream.is_write_vectored()
    }

    fn poll_flush(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        let tried = Pin::new(&mut self.stream).poll_flush(cx);
        self.waited(tried, cx)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        let tried = Pin::new(&mut self.stream).poll_shutdown(cx);
        self.waited(tried, cx)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use tokio::io::{AsyncReadExt, AsyncWriteExt};

    #[tokio::test]
    async fn what_nobody_reads_is_given_up() {
        let (near, _far) = tokio::io::duplex(8);
        let mut near = Patient::new(near, Duration::from_millis(20));
        let sent = near.write_all(b"more than fits").await;
        assert_eq!(sent.unwrap_err().kind(), io::ErrorKind::TimedOut);
    }

    #[tokio::test]
    async fn a_slow_reader_gets_everything_however_long_it_takes() {
        let (near, mut far) = tokio::io::duplex(8);
        let allowed = Duration::from_millis(300);
        let mut near = Patient::new(near, allowed);
        let text = "eight bytes at a time, one piece after the other".repeat(8);
        let started = tokio::time::Instant::now();
        let reading = tokio::spawn(async move {
            let mut all = Vec::new();
            let mut piece = [0; 8];
            while let Ok(n @ 1..) = far.read(&mut piece).await {
                all.extend_from_slice(&piece[..n]);
                sleep(allowed / 20).await;
            }
            all
        });
        near.write_all(text.as_bytes()).await.unwrap();
        drop(near);
        assert_eq!(reading.await.unwrap(), text.as_bytes());
        assert!(started.elapsed() > allowed, "it took longer than one piece may");
    }
}
