use super::*;
use crate::store::Store;
use futures_util::FutureExt;

async fn store() -> (tempfile::TempDir, Store) {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::open(&folder.path().join("dowel.db")).await.unwrap();
    sqlx::query("create table t (a integer primary key)").execute(&store.write).await.unwrap();
    (folder, store)
}

async fn rows(store: &Store) -> i64 {
    query_scalar("select count(*) from t").fetch_one(&store.read).await.unwrap()
}

#[tokio::test(flavor = "multi_thread")]
async fn many_writes_share_a_commit_and_all_are_kept() {
    let (_folder, store) = store().await;
    let before = store.write.pulse();
    let writes = (0..200).map(|n| {
        let store = store.clone();
        tokio::spawn(async move { sqlx::query("insert into t values ($1)").bind(n).execute(&store.write).await.map(drop) })
    });
    for write in futures_util::future::join_all(writes).await {
        write.unwrap().unwrap();
    }
    let after = store.write.pulse();
    // the table's own making may be counted a moment after it was answered
    assert!(rows(&store).await == 200 && (200..=201).contains(&(after.writes - before.writes)));
    assert!(after.commits - before.commits < 100, "{} commits for 200 writes", after.commits - before.commits);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_write_that_fails_is_taken_back_alone() {
    let (_folder, store) = store().await;
    let writes = (0..40).map(|n| {
        let store = store.clone();
        // every second one breaks the key
        tokio::spawn(async move { sqlx::query("insert into t values ($1)").bind(n / 2).execute(&store.write).await.is_ok() })
    });
    let kept = futures_util::future::join_all(writes).await.into_iter().filter(|w| *w.as_ref().unwrap()).count();
    assert_eq!((kept, rows(&store).await), (20, 20));
}

#[tokio::test]
async fn a_turn_that_is_dropped_keeps_nothing_and_the_next_goes_on() {
    let (_folder, store) = store().await;
    let mut write = store.begin().await.unwrap();
    sqlx::query("insert into t values (1)").execute(&mut *write).await.unwrap();
    drop(write);
    sqlx::query("insert into t values (2)").execute(&store.write).await.unwrap();
    assert_eq!(query_scalar::<_, i64>("select a from t").fetch_all(&store.read).await.unwrap(), [2]);
}

#[tokio::test]
async fn what_was_acknowledged_is_in_the_file_even_where_another_turn_is_open() {
    let (_folder, store) = store().await;
    sqlx::query("insert into t values (1)").execute(&store.write).await.unwrap();
    let mut open = store.begin().await.unwrap();
    sqlx::query("insert into t values (2)").execute(&mut *open).await.unwrap();
    assert_eq!(rows(&store).await, 1);
    open.commit().await.unwrap();
    assert_eq!(rows(&store).await, 2);
}

#[tokio::test]
async fn one_who_stops_waiting_leaves_nobody_unanswered() {
    let (_folder, store) = store().await;
    let mut first = store.begin().await.unwrap();
    sqlx::query("insert into t values (1)").execute(&mut *first).await.unwrap();
    let waiting = tokio::spawn({
        let store = store.clone();
        async move { store.begin().await.map(drop) }
    });
    while store.write.pulse().waiting == 0 {
        tokio::task::yield_now().await;
    }
    // the first leaves its commit to the one who waits, and that one goes away
    let told = tokio::spawn(first.commit());
    waiting.abort();
    timeout(Duration::from_secs(5), told).await.expect("it is told").unwrap().unwrap();
    assert_eq!(rows(&store).await, 1);
}

/// Polls so many times, with others in between, and then goes away, as a client does who closes the page.
async fn left_after<T>(polls: usize, turn: impl Future<Output = T>) -> Option<T> {
    let mut turn = Box::pin(turn);
    for _ in 0..polls {
        if let Some(done) = turn.as_mut().now_or_never() {
            return Some(done);
        }
        tokio::task::yield_now().await;
    }
    None
}

/// One of the ways in which the store is written to.
async fn turn(store: &Store, kind: i64, n: i64) -> Result<bool, StoreError> {
    let insert = || sqlx::query("insert into t values ($1)").bind(n);
    match kind {
        0 => insert().execute(&store.write).await.map(|_| true).map_err(Into::into),
        1 => {
            let mut tx = store.begin().await?;
            insert().execute(&mut *tx).await?;
            tx.commit().await.map(|()| true).map_err(Into::into)
        }
        2 => {
            let mut tx = store.begin().await?;
            insert().execute(&mut *tx).await?;
            Ok(false)
        }
        3 => {
            let mut tx = store.begin().await?;
            Ok(sqlx::query("select a from t limit 5").fetch_all(&mut *tx).await?.len() > 5)
        }
        _ => {
            store.write.cut_log().await;
            Ok(false)
        }
    }
}

#[tokio::test]
async fn a_full_disk_is_told_as_such_to_all_in_the_commit_and_the_next_goes_on() {
    let (_folder, store) = store().await;
    sqlx::query("create table large (a blob)").execute(&store.write).await.unwrap();
    // no page more than there are
    store.write.seat.lock().await.say("pragma max_page_count = 1").await.unwrap();
    let mut first = store.begin().await.unwrap();
    sqlx::query("insert into t values (1)").execute(&mut *first).await.unwrap();
    let waiting = tokio::spawn({
        let store = store.clone();
        async move {
            let mut second = store.begin().await?;
            sqlx::query("insert into large values (zeroblob(1000000))").execute(&mut *second).await?;
            second.commit().await.map_err(StoreError::from)
        }
    });
    while store.write.pulse().waiting == 0 {
        tokio::task::yield_now().await;
    }
    // the first leaves its commit to the second, for whom there is no room
    let told = first.commit().await;
    assert!(matches!(waiting.await.unwrap(), Err(StoreError::Full)));
    assert_eq!(told, Err(Trouble::Full));
    store.write.seat.lock().await.say("pragma max_page_count = 100000").await.unwrap();
    sqlx::query("insert into t values (2)").execute(&store.write).await.unwrap();
    assert_eq!(query_scalar::<_, i64>("select a from t").fetch_all(&store.read).await.unwrap(), [2]);
}

#[tokio::test]
async fn a_transaction_that_is_given_up_is_not_told_as_a_damaged_disk() {
    let (_folder, store) = store().await;
    let mut write = store.begin().await.unwrap();
    // as where SQLite gives up the whole of it
    sqlx::query("rollback").execute(&mut *write).await.unwrap();
    let told: Result<(), StoreError> = write.commit().await.map_err(Into::into);
    assert!(matches!(told, Err(StoreError::Unkept)) && !store.write.pulse().broken, "{told:?}");
}

#[tokio::test]
async fn whoever_comes_after_the_end_is_told_to_come_again() {
    let (_folder, store) = store().await;
    store.close().await;
    assert!(matches!(store.begin().await, Err(StoreError::Busy)));
    assert!(matches!(store.own_movements().await, Err(StoreError::Busy)));
}

#[tokio::test(flavor = "multi_thread")]
async fn whoever_leaves_at_any_moment_stops_nobody_else() {
    let (_folder, store) = store().await;
    let done = Arc::new(AtomicBool::new(false));
    let others = (1..=3).map(|who| {
        let (store, done) = (store.clone(), done.clone());
        tokio::spawn(async move {
            let mut kept = Vec::new();
            while !done.load(Ordering::Relaxed) {
                let n = who * 1_000_000 + i64::try_from(kept.len()).unwrap();
                assert!(turn(&store, n % 2, n).await.expect("others' writes are kept"));
                kept.push(n);
                // at times nobody else is writing
                tokio::time::sleep(Duration::from_millis(n.unsigned_abs() % 4)).await;
            }
            kept
        })
    });
    let others: Vec<_> = others.collect();
    let mut kept = Vec::new();
    for n in 0..6000_i64 {
        // from the first poll on, and beyond the last
        let polls = usize::try_from(n * 7919 % 400).unwrap();
        let kind = if n % 50 == 0 { 4 } else { n % 4 };
        if left_after(polls, turn(&store, kind, n)).await.transpose().expect("nothing is refused") == Some(true) {
            kept.push(n);
        }
    }
    done.store(true, Ordering::Relaxed);
    for other in futures_util::future::join_all(others).await {
        kept.extend(other.unwrap());
    }
    store.write.close().await;
    let there: std::collections::HashSet<i64> =
        query_scalar("select a from t").fetch_all(&store.read).await.unwrap().into_iter().collect();
    let lost: Vec<_> = kept.iter().filter(|n| !there.contains(n)).collect();
    assert!(lost.is_empty(), "{} were told that they are kept, and are not: {lost:?}", lost.len());
    let taken_back = there.iter().filter(|n| **n < 1_000_000 && **n % 4 >= 2).count();
    assert_eq!(taken_back, 0, "what was never committed is not there");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_log_that_a_reader_holds_is_not_said_to_be_cut() {
    let (_folder, store) = store().await;
    let mut reader = store.read.begin().await.unwrap();
    query_scalar::<_, i64>("select count(*) from t").fetch_one(&mut *reader).await.unwrap();
    sqlx::query("insert into t values (1)").execute(&store.write).await.unwrap();
    assert!(!store.write.cut_log().await);
    reader.rollback().await.unwrap();
    assert!(store.write.cut_log().await);
}

#[tokio::test(flavor = "multi_thread")]
async fn it_is_said_that_nothing_can_be_written_and_that_it_can_again() {
    let (_folder, store) = store().await;
    assert!(store.answers().await);
    // as on a disk that takes nothing more
    store.write.seat.lock().await.say("pragma query_only = on").await.unwrap();
    *store.write.tried.lock().await = None;
    assert!(!store.answers().await);
    store.write.seat.lock().await.say("pragma query_only = off").await.unwrap();
    *store.write.tried.lock().await = None;
    assert!(store.answers().await);
}

#[tokio::test]
async fn a_writer_that_is_stuck_is_not_well() {
    let (_folder, store) = store().await;
    let seat = store.write.seat.clone().lock_owned().await;
    assert!(!store.write.keeps(Duration::from_millis(50)).await);
    drop(seat);
}
