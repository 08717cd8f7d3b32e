//! Answers that stay open to say when something changed.
//!
//! # Design
//! An open answer holds a connection, and there are only so many. So there is a most of them, each ends by itself after a while
//! (browsers come back), and all end at once when the program is told to stop: waiting for them would hold it up. Whoever finds
//! no room is told to ask now and then instead.

use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{IntoResponse, Response};
use futures_util::stream;
use std::convert::Infallible;
use std::sync::Arc;
use std::time::Duration;
use tokio::sync::{Semaphore, broadcast, watch};
use tokio::time::{Instant, sleep, sleep_until};

/// Most answers that are open at once, of the connections that the server takes.
const OPEN: usize = 300;
/// One ends after so long, and its browser asks anew: rights are looked at again.
const LONGEST: Duration = Duration::from_secs(600);
/// A word now and then, so that a line on which nobody is any more is noticed.
const ALIVE: Duration = Duration::from_secs(20);
/// Changes that come together are told once.
const TOGETHER: Duration = Duration::from_millis(400);

/// Open answers of this program.
#[derive(Clone, Debug)]
pub struct Live {
    room: Arc<Semaphore>,
    stop: watch::Sender<bool>,
}

impl Default for Live {
    fn default() -> Self {
        Self { room: Arc::new(Semaphore::new(OPEN)), stop: watch::Sender::new(false) }
    }
}

impl Live {
    /// Ends every open answer, and those to come.
    pub fn end(&self) {
        self.stop.send_replace(true);
    }

    /// Says `changed` whenever `news` brings something that matters. Without room the answer is empty, which tells a browser
    /// not to ask for it again.
    pub fn changes<T, F>(&self, news: broadcast::Receiver<T>, matters: F) -> Response
    where
        T: Clone + Send + 'static,
        F: Fn(&T) -> bool + Send + Sync + 'static,
    {
        let Ok(place) = self.room.clone().try_acquire_owned() else {
            return axum::http::StatusCode::NO_CONTENT.into_response();
        };
        let stop = self.stop.subscribe();
        let state = (news, stop, matters, place, Instant::now() + LONGEST, 0_u64);
        let events = stream::unfold(state, |(mut news, mut stop, matters, place, end, n)| async move {
            let changed = async {
                loop {
                    match news.recv().await {
                        Ok(what) if !matters(&what) => {}
                        // who fell behind missed something that may have mattered
                        Ok(_) | Err(broadcast::error::RecvError::Lagged(_)) => return true,
                        Err(broadcast::error::RecvError::Closed) => return false,
                    }
                }
            };
            let goes_on = tokio::select! {
                goes_on = changed => goes_on,
                _ = stop.wait_for(|stop| *stop) => false,
                () = sleep_until(end) => false,
            };
            if !goes_on {
                return None;
            }
            sleep(TOGETHER).await;
            while news.try_recv().is_ok() {}
            let event = Event::default().event("changed").data((n + 1).to_string());
            Some((Ok::<_, Infallible>(event), (news, stop, matters, place, end, n + 1)))
        });
        // a proxy that gathers answers before it passes them on would hold the news back
        ([("x-accel-buffering", "no")], Sse::new(events).keep_alive(KeepAlive::new().interval(ALIVE))).into_response()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::body::Body;
    use futures_util::StreamExt;
    use tokio::time::timeout;

    const SOON: Duration = Duration::from_secs(5);

    async fn next(body: &mut axum::body::BodyDataStream) -> Option<String> {
        let part = timeout(SOON, body.next()).await.expect("something comes, or it ends");
        part.map(|bytes| String::from_utf8(bytes.unwrap().to_vec()).unwrap())
    }

    fn opened(live: &Live, news: &broadcast::Sender<u8>) -> axum::body::BodyDataStream {
        let body: Body = live.changes(news.subscribe(), |n| *n == 7).into_body();
        body.into_data_stream()
    }

    #[tokio::test]
    async fn what_matters_is_told_and_the_rest_is_not() {
        let (live, news) = (Live::default(), broadcast::Sender::new(8));
        let mut open = opened(&live, &news);
        news.send(1).unwrap();
        news.send(7).unwrap();
        assert_eq!(next(&mut open).await.unwrap(), "event: changed\ndata: 1\n\n");
    }

    #[tokio::test]
    async fn stopping_ends_what_is_open() {
        let (live, news) = (Live::default(), broadcast::Sender::new(8));
        let mut open = opened(&live, &news);
        live.end();
        assert_eq!(next(&mut open).await, None);
        assert_eq!(next(&mut opened(&live, &news)).await, None);
    }

    #[tokio::test]
    async fn without_room_the_answer_is_empty_and_room_comes_back() {
        let live = Live { room: Arc::new(Semaphore::new(1)), ..Live::default() };
        let news: broadcast::Sender<u8> = broadcast::Sender::new(8);
        let first = live.changes(news.subscribe(), |_| true);
        assert_eq!(live.changes(news.subscribe(), |_| true).status(), 204);
        drop(first);
        assert_eq!(live.changes(news.subscribe(), |_| true).status(), 200);
    }
}
