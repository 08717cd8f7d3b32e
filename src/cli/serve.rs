//! `dowel serve`: runs a practice until it is told to stop.

use super::keep;
use crate::clock::Clock;
use crate::config::Config;
use crate::web::at_hand::Front;
use crate::web::board::warm::warm;
use crate::web::{App, make_private_folder, routes, server};
use anyhow::Context;
use std::fs::File;
use std::path::Path;
use std::sync::Arc;
use std::time::Duration;
use tracing_subscriber::EnvFilter;

/// Serves until SIGTERM or Ctrl-C, then finishes what is under way.
///
/// # Errors
/// A data folder or an address that cannot be used.
pub async fn serve(config: Config) -> anyhow::Result<()> {
    start_log(&config);
    // before the file is opened: opening brings its tables up to date, and another may be serving it
    let lock = lock(&config.data)?;
    let app = App::open(config, Clock::System).await?;
    run(app, lock).await
}

/// Serves an opened practice, whose lock is held until the end.
///
/// # Errors
/// An address that cannot be listened on.
pub async fn run(app: App, _lock: File) -> anyhow::Result<()> {
    let listener = tokio::net::TcpListener::bind(app.config.listen)
        .await
        .with_context(|| format!("cannot listen on {}", app.config.listen))?;
    tracing::info!(address = %app.config.public_address(), "ready");
    let backups = (app.config.backup_hours > 0).then(|| tokio::spawn(keep_backups(app.config.clone())));
    let (store, live, metrics) = (app.store.clone(), app.live.clone(), app.metrics.clone());
    let guests = server::Guests { trusted: app.config.proxies.clone(), ..server::Guests::default() };
    store.sweep_uploads(&app.config.data, app.clock.now()).await?;
    let boards = tokio::spawn(warm(app.clone()));
    // answers that stay open would hold up the end
    let stop = async move {
        stop().await;
        live.end();
    };
    let front = Front::new(app.clone(), routes::router(app));
    server::serve(listener, front, metrics, (server::Deadlines::default(), guests), stop).await?;
    boards.abort();
    if let Some(backups) = backups {
        backups.abort();
    }
    store.close().await;
    Ok(())
}

/// Writes a checked backup now and every so many hours. One that fails is said loudly, and the next is tried all the same.
async fn keep_backups(config: Arc<Config>) {
    let all = config.backups.clone().unwrap_or_else(|| config.data.join("backups"));
    let mut times = tokio::time::interval(Duration::from_secs(u64::from(config.backup_hours) * 3600));
    loop {
        times.tick().await;
        match keep::write_backup(&config.data, &all, config.backups_kept).await {
            Ok(done) => tracing::info!(event = "backup", folder = %done.display()),
            Err(e) => tracing::error!(event = "backup failed", error = format!("{e:#}")),
        }
    }
}

/// Two processes on one data folder would fight over it: the second is refused.
///
/// # Errors
/// A folder that another process serves, or that cannot be written.
pub fn lock(data: &Path) -> anyhow::Result<File> {
    make_private_folder(data).with_context(|| format!("cannot use the folder {}", data.display()))?;
    let file = File::create(data.join("lock")).with_context(|| format!("cannot write in {}", data.display()))?;
    file.try_lock().with_context(|| format!("{} is used by another running dowel", data.display()))?;
    Ok(file)
}

/// Logs to standard error, as lines or as JSON.
pub fn start_log(config: &Config) {
    // what looks at where posts come from says their address at the finest level, and one-time links are secrets
    let filter =
        EnvFilter::try_new(format!("{},sqlx=warn,tower_http::csrf=info", config.log)).unwrap_or_else(|_| EnvFilter::new("info"));
    // colours are for a terminal, not for a file or the journal
    let colours = std::io::IsTerminal::is_terminal(&std::io::stderr());
    let log = tracing_subscriber::fmt().with_env_filter(filter).with_ansi(colours).with_writer(std::io::stderr);
    // a second start in one process (tests) keeps the first
    let _ = if config.log_json { log.json().try_init() } else { log.compact().try_init() };
}

async fn stop() {
    let interrupt = tokio::signal::ctrl_c();
    #[cfg(unix)]
    {
        let Ok(mut terminate) = tokio::signal::unix::signal(tokio::signal::unix::SignalKind::terminate()) else {
            let _ = interrupt.await;
            return;
        };
        tokio::select! { _ = interrupt => {}, _ = terminate.recv() => {} }
    }
    #[cfg(not(unix))]
    let _ = interrupt.await;
}
