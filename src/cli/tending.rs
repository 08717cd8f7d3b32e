//! What `dowel serve` does beside serving: backups when they are due, and sweeping what nothing has any more.

use super::backups::{self, Stop};
use crate::store::backup;
use crate::web::App;
use std::time::Duration;
use time::OffsetDateTime;

/// How often is swept.
const SWEEP: Duration = Duration::from_secs(24 * 3600);
/// A backup that failed is tried again after so long, or when the next is due.
const AGAIN: Duration = Duration::from_secs(3600);

/// Tends the practice until the program stops. One thing after the other: a backup copies the files that its data names, and no
/// sweep takes one away meanwhile.
pub(super) async fn tend(app: App, mut stop: Stop) {
    let all = app.config.backups_folder();
    let every = Duration::from_secs(u64::from(app.config.backup_hours) * 3600);
    if let Err(e) = backups::sweep_parts(&all) {
        tracing::warn!(error = %e, folder = %all.display(), "what a broken-off backup left could not be removed");
    }
    let mut swept: Option<tokio::time::Instant> = None;
    loop {
        if swept.is_none_or(|at| at.elapsed() >= SWEEP) {
            sweep(&app).await;
            swept = Some(tokio::time::Instant::now());
        }
        let mut wait = SWEEP;
        if !every.is_zero() {
            wait = wait.min(back_up(&app, every, &stop).await);
        }
        tokio::select! {
            () = tokio::time::sleep(wait) => {}
            _ = stop.changed() => return,
        }
    }
}

async fn sweep(app: &App) {
    let now = app.clock.now();
    let uploads = app.store.sweep_uploads(&app.config.data, now).await;
    match uploads.and(app.store.sweep_media(&app.config.data, now).await) {
        Ok(0) => {}
        Ok(files) => tracing::info!(event = "removed files that nothing has any more", files),
        Err(e) => tracing::error!(event = "sweeping failed", error = %e),
    }
}

/// Writes a backup where the newest is older than `every`; returns when to look again. One that fails is said loudly.
async fn back_up(app: &App, every: Duration, stop: &Stop) -> Duration {
    let all = app.config.backups_folder();
    let left = until_due(backup::newest(&all), app.clock.now(), every);
    if !left.is_zero() {
        return left;
    }
    match backups::write(&app.config.data, &all, app.config.backups_kept, stop).await {
        Ok(done) => {
            tracing::info!(event = "backup", folder = %done.display());
            every
        }
        Err(_) if *stop.borrow() => {
            tracing::info!(event = "a backup was given up: the program stops");
            every
        }
        Err(e) => {
            tracing::error!(event = "backup failed", error = format!("{e:#}"));
            AGAIN.min(every)
        }
    }
}

/// How long until the next is due. A newest one from the future (the clock was set back) holds nothing up for longer than `every`.
fn until_due(newest: Option<OffsetDateTime>, now: OffsetDateTime, every: Duration) -> Duration {
    let Some(newest) = newest else { return Duration::ZERO };
    let age = Duration::try_from(now - newest).unwrap_or_default();
    every.saturating_sub(age)
}

#[cfg(test)]
mod tests {
    use super::*;
    use time::macros::datetime;

    #[test]
    fn a_backup_is_due_where_the_newest_is_older_than_the_interval() {
        let (now, day) = (datetime!(2026-11-25 12:00 UTC), Duration::from_secs(24 * 3600));
        assert_eq!(until_due(None, now, day), Duration::ZERO);
        assert_eq!(until_due(Some(now - time::Duration::hours(30)), now, day), Duration::ZERO);
        assert_eq!(until_due(Some(now - time::Duration::hours(1)), now, day), Duration::from_secs(23 * 3600));
        assert_eq!(until_due(Some(now + time::Duration::days(300)), now, day), day);
    }
}
