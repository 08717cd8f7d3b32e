//! `dowel serve`: runs a practice until it is told to stop.

use super::tending::tend;
use crate::clock::Clock;
use crate::config::Config;
use crate::web::at_hand::Front;
use crate::web::board::warm::warm;
use crate::web::{App, make_private_folder, routes, server};
use anyhow::Context;
use std::fs::File;
use std::path::Path;
use std::time::Duration;
use tokio::sync::watch;
use tokio::time::timeout;
use tracing_subscriber::EnvFilter;

/// How long what is done beside serving may take to end.
const TENDING: Duration = Duration::from_secs(2);

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
    if app.config.is_bare() {
        tracing::warn!(
            address = %app.config.public_address(),
            "without https whoever is on the way reads passwords and notes: for trying only; put a web server with TLS in front"
        );
    }
    let (stopping, stopped) = watch::channel(false);
    let tending = tokio::spawn(tend(app.clone(), stopped));
    let (store, live, metrics) = (app.store.clone(), app.live.clone(), app.metrics.clone());
    let guests = server::Guests { trusted: app.config.proxies.clone(), ..server::Guests::default() };
    let boards = tokio::spawn(warm(app.clone()));
    // answers that stay open would hold up the end
    let stop = async move {
        stop().await;
        live.end();
        // a backup that is being written is given up meanwhile
        let _ = stopping.send(true);
    };
    let front = Front::new(app.clone(), routes::router(app));
    server::serve(listener, front, metrics, (server::Deadlines::default(), guests), stop).await?;
    boards.abort();
    let ends = tending.abort_handle();
    if timeout(TENDING, tending).await.is_err() {
        ends.abort();
    }
    store.close().await;
    Ok(())
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
    // what looks at where posts come from says their address at the finest level, and one-time links are secrets; what serves the
    // files that are built in says a line for each of them at the start
    let filter = EnvFilter::try_new(format!("{},sqlx=warn,tower_http::csrf=info,memory_serve=warn", config.log))
        .unwrap_or_else(|_| EnvFilter::new("info"));
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
