//! Boards of a crowd are made when the program starts, so that nobody waits for one.

use super::kept;
use super::standing::Which;
use crate::training::calendar::Zone;
use crate::web::App;
use crate::web::error::Error;
use time::Duration;

/// Boards with fewer results are made in a moment by whoever comes first.
const CROWD: u32 = 2_000;
/// Days back.
const DAYS: i64 = 7;
/// Most boards.
const BOARDS: usize = 10;

/// Makes the boards of the last days that take long to make, one after the other.
pub async fn warm(app: App) {
    match make(&app, CROWD).await {
        Ok(0) => {}
        Ok(made) => tracing::info!(event = "boards", made),
        // whoever comes first makes it
        Err(e) => tracing::warn!(error = ?e, "boards were not made beforehand"),
    }
}

/// Makes the boards of the last days that have at least so many results; how many.
///
/// # Errors
/// Only the store's own.
pub async fn make(app: &App, at_least: u32) -> Result<usize, Error> {
    // no coach looks on yet: a day more or less at the far end is no matter
    let from = Zone::default().day(app.clock.now()) - Duration::days(DAYS);
    let crowded = app.store.crowded_parts(from, at_least).await?;
    let mut made = 0;
    for (version, part) in crowded.into_iter().take(BOARDS) {
        let shown = app.store.version(version).await?;
        // results of a part that is no longer there
        if part >= shown.session.parts.len() {
            continue;
        }
        kept::look(app, &shown, part, Which::default(), |_, _| ()).await?;
        made += 1;
    }
    Ok(made)
}
