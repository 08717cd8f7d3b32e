//! Settings. Each is a flag and an environment variable.

use clap::Args;
use std::net::SocketAddr;
use std::path::PathBuf;

/// Settings of a running practice.
#[derive(Args, Clone, Debug)]
pub struct Config {
    /// Folder that holds everything: data, media, secrets, backups
    #[arg(long, env = "DOWEL_DATA", default_value = "dowel-data")]
    pub data: PathBuf,
    /// Address and port to listen on
    #[arg(long, env = "DOWEL_LISTEN", default_value = "127.0.0.1:8420")]
    pub listen: SocketAddr,
    /// Address that people type, as seen from outside; with https, cookies are marked secure
    #[arg(long, env = "DOWEL_ADDRESS")]
    pub address: Option<String>,
    /// Largest upload, in megabytes
    #[arg(long, env = "DOWEL_UPLOAD_MB", default_value_t = 600)]
    pub upload_mb: u64,
    /// What to log: error, warn, info, debug
    #[arg(long, env = "DOWEL_LOG", default_value = "info")]
    pub log: String,
    /// Log lines as JSON
    #[arg(long, env = "DOWEL_LOG_JSON")]
    pub log_json: bool,
}

impl Config {
    /// Address for links, without a slash at the end.
    #[must_use]
    pub fn public_address(&self) -> String {
        match &self.address {
            Some(a) => a.trim_end_matches('/').to_owned(),
            None => format!("http://{}", self.listen),
        }
    }

    /// People reach it over TLS.
    #[must_use]
    pub fn secure(&self) -> bool {
        self.public_address().starts_with("https://")
    }
}
