//! Addresses of one-time links: `{id}-{mac}`, the mac made from the id with the practice's secret.

use crate::clock;
use crate::config::Config;
use crate::store::ids::LinkId;
use anyhow::Context;
use base64::Engine;
use base64::prelude::BASE64_URL_SAFE_NO_PAD;
use hmac::{Hmac, Mac};
use sha2::Sha256;
use std::io::Write;
use std::path::Path;

/// Makes and checks link addresses.
#[derive(Clone)]
pub struct Links {
    secret: [u8; 32],
    address: String,
}

impl Links {
    /// Reads the secret from the data folder, and makes it where there is none.
    ///
    /// # Errors
    /// A secret file that cannot be read or written.
    pub fn open(config: &Config) -> anyhow::Result<Self> {
        let path = config.data.join("secret");
        let secret = match std::fs::read(&path) {
            Ok(bytes) => bytes.try_into().ok().with_context(|| format!("{} is not 32 bytes long", path.display()))?,
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => make_secret(&path)?,
            Err(e) => return Err(e).with_context(|| format!("cannot read {}", path.display())),
        };
        Ok(Self { secret, address: config.public_address() })
    }

    fn mac(&self, id: LinkId) -> Option<Hmac<Sha256>> {
        let mut mac = Hmac::<Sha256>::new_from_slice(&self.secret).ok()?;
        mac.update(b"link ");
        mac.update(&id.0.to_be_bytes());
        Some(mac)
    }

    fn token(&self, id: LinkId) -> String {
        let bytes = self.mac(id).map(|m| m.finalize().into_bytes()).unwrap_or_default();
        format!("{id}-{}", BASE64_URL_SAFE_NO_PAD.encode(&bytes[..16]))
    }

    /// Where an invitation is opened.
    #[must_use]
    pub fn invitation_address(&self, id: LinkId) -> String {
        format!("{}/join/{}", self.address, self.token(id))
    }

    /// Where a password is set.
    #[must_use]
    pub fn password_address(&self, id: LinkId) -> String {
        format!("{}/password/{}", self.address, self.token(id))
    }

    /// The link that a token belongs to; none for a token that we did not make.
    #[must_use]
    pub fn read(&self, token: &str) -> Option<LinkId> {
        let (id, mac) = token.split_once('-')?;
        let id = LinkId(id.parse().ok()?);
        let bytes = BASE64_URL_SAFE_NO_PAD.decode(mac).ok().filter(|b| b.len() == 16)?;
        // compares in constant time
        self.mac(id)?.verify_truncated_left(&bytes).ok().map(|()| id)
    }
}

impl std::fmt::Debug for Links {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Links").field("address", &self.address).finish_non_exhaustive()
    }
}

fn make_secret(path: &Path) -> anyhow::Result<[u8; 32]> {
    let secret = clock::random::<32>();
    let mut open = std::fs::OpenOptions::new();
    open.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut open, 0o600);
    let mut file = open.open(path).with_context(|| format!("cannot write {}", path.display()))?;
    file.write_all(&secret)?;
    file.sync_all()?;
    Ok(secret)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_our_own_tokens_are_read() {
        let links = Links { secret: [7; 32], address: String::new() };
        let token = links.token(LinkId(5));
        assert_eq!(links.read(&token), Some(LinkId(5)));
        assert_eq!(links.read(&token.replacen('5', "6", 1)), None);
        assert_eq!(links.read("5-"), None);
        assert_eq!(Links { secret: [8; 32], ..links }.read(&token), None);
    }
}
