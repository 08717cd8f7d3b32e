//! Addresses of one-time links: `{id}-{mac}`, the mac made with the practice's secret from what the link is for, when it
//! was made, and its id. An address never fits another link, also not one that took its number after a restore.

use crate::clock;
use crate::config::Config;
use crate::store::ids::{LinkId, PersonId};
use crate::store::links::{Made, Purpose};
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
        close(&path).with_context(|| format!("{} can be read by others, and that cannot be changed", path.display()))?;
        let secret = match std::fs::read(&path) {
            Ok(bytes) => bytes.try_into().ok().with_context(|| format!("{} is not 32 bytes long", path.display()))?,
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => make_secret(&path)?,
            Err(e) => return Err(e).with_context(|| format!("cannot read {}", path.display())),
        };
        Ok(Self { secret, address: config.public_address() })
    }

    fn mac(&self, what: &[u8], numbers: &[i64]) -> Option<Hmac<Sha256>> {
        let mut mac = Hmac::<Sha256>::new_from_slice(&self.secret).ok()?;
        mac.update(what);
        numbers.iter().for_each(|n| mac.update(&n.to_be_bytes()));
        Some(mac)
    }

    fn link_mac(&self, link: Made) -> Option<Hmac<Sha256>> {
        let what: &[u8] = match link.purpose {
            Purpose::Invitation => b"invitation ",
            Purpose::Password => b"password ",
        };
        self.mac(what, &[link.id.0, link.created_at])
    }

    fn token(&self, link: Made) -> String {
        format!("{}-{}", link.id, written(self.link_mac(link)))
    }

    /// What seals a person's unsent results on a device: only their own sign-in gets it back.
    #[must_use]
    pub fn seal_of(&self, person: PersonId) -> String {
        let bytes = self.mac(b"seal ", &[person.0]).map(|m| m.finalize().into_bytes()).unwrap_or_default();
        BASE64_URL_SAFE_NO_PAD.encode(bytes)
    }

    /// Where an invitation is opened.
    #[must_use]
    pub fn invitation_address(&self, link: impl Into<Made>) -> String {
        format!("{}/join/{}", self.address, self.token(link.into()))
    }

    /// Where a password is set.
    #[must_use]
    pub fn password_address(&self, link: impl Into<Made>) -> String {
        format!("{}/password/{}", self.address, self.token(link.into()))
    }

    /// Which link a token says it is.
    #[must_use]
    pub fn number(token: &str) -> Option<LinkId> {
        token.split_once('-')?.0.parse().ok().map(LinkId)
    }

    /// Whether we made this token for this link.
    #[must_use]
    pub fn fits(&self, token: &str, link: Made) -> bool {
        token.split_once('-').is_some_and(|(_, mac)| same(self.link_mac(link), mac))
    }

    /// What a browser keeps in which this person signed in once: their own tries stay apart from strangers'.
    #[must_use]
    pub fn known(&self, person: PersonId) -> String {
        format!("{person}-{}", written(self.mac(b"known ", &[person.0])))
    }

    /// Whether a browser's mark is this person's.
    #[must_use]
    pub fn knows(&self, mark: &str, person: PersonId) -> bool {
        let Some((id, mac)) = mark.split_once('-') else { return false };
        id.parse() == Ok(person.0) && same(self.mac(b"known ", &[person.0]), mac)
    }
}

/// A secret that others on the machine could read (a copy by hand, say) is for its owner alone from now on.
#[cfg(unix)]
fn close(path: &Path) -> std::io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    let Ok(file) = std::fs::metadata(path) else { return Ok(()) };
    if file.permissions().mode() & 0o077 != 0 {
        match std::fs::set_permissions(path, std::fs::Permissions::from_mode(0o600)) {
            Ok(()) => tracing::warn!(file = %path.display(), "others could read it; it is for its owner alone from now on"),
            // it is another user's: what can be read serves, and its owner is told
            Err(e) if e.kind() == std::io::ErrorKind::PermissionDenied => {
                tracing::warn!(file = %path.display(), "others can read it, and only its owner may close it: chmod 600");
            }
            Err(e) => return Err(e),
        }
    }
    Ok(())
}

#[cfg(not(unix))]
fn close(_path: &Path) -> std::io::Result<()> {
    Ok(())
}

fn written(mac: Option<Hmac<Sha256>>) -> String {
    let bytes = mac.map(|m| m.finalize().into_bytes()).unwrap_or_default();
    BASE64_URL_SAFE_NO_PAD.encode(&bytes[..16])
}

/// Compares in constant time.
fn same(mac: Option<Hmac<Sha256>>, given: &str) -> bool {
    let bytes = BASE64_URL_SAFE_NO_PAD.decode(given).ok().filter(|b| b.len() == 16);
    mac.zip(bytes).is_some_and(|(mac, bytes)| mac.verify_truncated_left(&bytes).is_ok())
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
    fn a_token_fits_its_own_link_and_no_other() {
        let links = Links { secret: [7; 32], address: String::new() };
        let link = Made { id: LinkId(5), purpose: Purpose::Invitation, created_at: 1000 };
        let token = links.token(link);
        assert_eq!(Links::number(&token), Some(LinkId(5)));
        assert!(links.fits(&token, link));
        assert!(!links.fits(&token, Made { id: LinkId(6), ..link }), "another number");
        assert!(!links.fits(&token, Made { purpose: Purpose::Password, ..link }), "another purpose");
        assert!(!links.fits(&token, Made { created_at: 1001, ..link }), "the same number, made later");
        assert!(!links.fits("5-", link) && !links.fits("5", link));
        assert!(!Links { secret: [8; 32], ..links }.fits(&token, link), "another practice");
    }

    #[test]
    fn a_browser_is_known_for_one_person() {
        let links = Links { secret: [7; 32], address: String::new() };
        let mark = links.known(PersonId(3));
        assert!(links.knows(&mark, PersonId(3)));
        assert!(!links.knows(&mark, PersonId(4)));
        assert!(!links.knows(&mark.replacen('3', "4", 1), PersonId(4)));
    }

    #[cfg(unix)]
    #[test]
    fn a_secret_that_others_could_read_is_closed_to_them() {
        use std::os::unix::fs::PermissionsExt;
        let data = tempfile::tempdir().unwrap();
        let (file, config) = (data.path().join("secret"), Config { data: data.path().to_owned(), ..Config::default() });
        std::fs::write(&file, [7; 32]).unwrap();
        std::fs::set_permissions(&file, std::fs::Permissions::from_mode(0o644)).unwrap();
        Links::open(&config).unwrap();
        assert_eq!(std::fs::metadata(&file).unwrap().permissions().mode() & 0o777, 0o600);
        assert_eq!(std::fs::read(&file).unwrap(), [7; 32]);
    }
}
