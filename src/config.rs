//! Settings. Each is a flag and an environment variable.

use crate::mail;
use clap::Args;
use ipnet::IpNet;
use std::net::{IpAddr, SocketAddr};
use std::path::PathBuf;

/// Settings of a running practice.
#[derive(Args, Clone)]
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
    /// Proxies whose X-Forwarded-For is believed: addresses or networks, with commas between
    #[arg(long, env = "DOWEL_PROXIES", value_delimiter = ',', value_parser = network)]
    pub proxies: Vec<IpNet>,
    /// Token for /metrics; without one it answers only to this machine itself
    #[arg(long, env = "DOWEL_METRICS_TOKEN", hide_env_values = true)]
    pub metrics_token: Option<String>,
    /// Write a checked backup every so many hours while serving; 0 writes none
    #[arg(long, env = "DOWEL_BACKUP_HOURS", default_value_t = 0)]
    pub backup_hours: u32,
    /// Folder for those backups; a disk of its own is best
    #[arg(long, env = "DOWEL_BACKUPS")]
    pub backups: Option<PathBuf>,
    /// How many of them to keep
    #[arg(long, env = "DOWEL_BACKUPS_KEPT", default_value_t = 14)]
    pub backups_kept: usize,
    /// Mail
    #[command(flatten)]
    pub mail: mail::Settings,
}

impl Default for Config {
    /// As `dowel serve` without a flag.
    fn default() -> Self {
        Self {
            data: PathBuf::from("dowel-data"),
            listen: SocketAddr::from(([127, 0, 0, 1], 8420)),
            address: None,
            upload_mb: 600,
            log: "info".to_owned(),
            log_json: false,
            proxies: Vec::new(),
            metrics_token: None,
            backup_hours: 0,
            backups: None,
            backups_kept: 14,
            mail: mail::Settings::default(),
        }
    }
}

/// `192.0.2.0/24`, or a single address.
fn network(text: &str) -> Result<IpNet, String> {
    let text = text.trim();
    text.parse::<IpNet>()
        .or_else(|_| text.parse::<IpAddr>().map(IpNet::from))
        .map_err(|_| format!("{text:?} is no address and no network, such as 127.0.0.1 or 10.0.0.0/8"))
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

impl std::fmt::Debug for Config {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        // token and mail password stay out
        f.debug_struct("Config").field("data", &self.data).field("listen", &self.listen).finish_non_exhaustive()
    }
}
