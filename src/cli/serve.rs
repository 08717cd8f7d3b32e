//! `dowel serve`: runs a practice until it is told to stop.

use crate::clock::Clock;
use crate::config::Config;
use crate::web::{App, routes, server};
use anyhow::Context;
use std::fs::File;
use std::path::Path;
use tracing_subscriber::EnvFilter;

/// Serves until SIGTERM or Ctrl-C, then finishes what is under way.
///
/// # Errors
/// A data folder or an address that cannot be used.
pub async fn serve(config: Config) -> anyhow::Result<()> {
    start_log(&config);
    let app = App::open(config, Clock::System).await?;
    run(app).await
}

/// Serves an opened practice.
///
/// # Errors
/// A data folder that another process uses, or an address that cannot be listened on.
pub async fn run(app: App) -> anyhow::Result<()> {
    let _lock = lock(&app.config.data)?;
    let listener = tokio::net::TcpListener::bind(app.config.listen)
        .await
        .with_context(|| format!("cannot listen on {}", app.config.listen))?;
    tracing::info!(address = %app.config.public_address(), "ready");
    let (store, live, metrics) = (app.store.clone(), app.live.clone(), app.metrics.clone());
    store.sweep_uploads(&app.config.data, app.clock.now()).await?;
    // answers that stay open would hold up the end
    let stop = async move {
        stop().await;
        live.end();
    };
    server::serve(listener, routes::router(app), metrics, server::Deadlines::default(), stop).await?;
    store.close().await;
    Ok(())
}

/// Two processes on one data folder would fight over it: the second is refused.
fn lock(data: &Path) -> anyhow::Result<File> {
    let file = File::create(data.join("lock"))?;
    file.try_lock().with_context(|| format!("{} is used by another running dowel", data.display()))?;
    Ok(file)
}

/// Logs to standard error, as lines or as JSON.
pub fn start_log(config: &Config) {
    let filter = EnvFilter::try_new(format!("{},sqlx=warn", config.log)).unwrap_or_else(|_| EnvFilter::new("info"));
    let log = tracing_subscriber::fmt().with_env_filter(filter).with_writer(std::io::stderr);
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
