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
    /// How many of the newest to keep, beside one a day for seven days and one a week for four weeks
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

    /// People on other machines are to reach it without TLS: whoever is on the way reads passwords and notes.
    #[must_use]
    pub fn is_bare(&self) -> bool {
        let address = self.public_address();
        let host = webauthn_rs::prelude::Url::parse(&address).ok().and_then(|url| url.host_str().map(str::to_owned));
        let host = host.unwrap_or_default();
        let this_machine = host == "localhost"
            || host.ends_with(".localhost")
            || host.trim_matches(['[', ']']).parse::<IpAddr>().is_ok_and(|a| a.is_loopback());
        !self.secure() && !this_machine
    }

    /// Where backups go.
    #[must_use]
    pub fn backups_folder(&self) -> PathBuf {
        self.backups.clone().unwrap_or_else(|| self.data.join("backups"))
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_address_that_others_reach_without_tls_is_said() {
        let bare = |listen: &str, address: Option<&str>| {
            Config { listen: listen.parse().unwrap(), address: address.map(str::to_owned), ..Config::default() }.is_bare()
        };
        for (listen, address) in [
            ("0.0.0.0:8420", None),
            ("0.0.0.0:8420", Some("http://training.example.org")),
            ("127.0.0.1:8420", Some("http://training.example.org")),
            ("[::]:8420", Some("http://192.168.1.7:8420/")),
        ] {
            assert!(bare(listen, address), "{listen} {address:?}");
        }
        for (listen, address) in [
            ("127.0.0.1:8420", None),
            ("[::1]:8420", None),
            ("0.0.0.0:8420", Some("https://training.example.org")),
            // in a container, behind a port of this machine alone
            ("0.0.0.0:8420", Some("http://localhost:8420")),
        ] {
            assert!(!bare(listen, address), "{listen} {address:?}");
        }
    }
}
