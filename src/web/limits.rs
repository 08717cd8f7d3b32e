//! Wrong sign-ins and tokens are slowed down, and nobody is locked out for good.
//!
//! # Design
//! A try is counted before the password is looked at, so that many at once come to no more than the limit; a right one is
//! taken off again. Three counts stand side by side: what was typed from this address, what was typed from anywhere, and
//! the address. A stranger can so use up the count of an account; a browser in which its owner signed in once has a count
//! of its own ([`super::links::Links::knows`]) and goes on working meanwhile. Names are kept as hashes of one length.

use crate::store::ids::PersonId;
use axum::http::{HeaderName, HeaderValue, header};
use sha2::{Digest, Sha256};
use std::collections::HashMap;
use std::net::IpAddr;
use std::sync::{Arc, Mutex, PoisonError};
use time::{Duration, OffsetDateTime};

/// How long tries are counted together.
pub const WINDOW: Duration = Duration::minutes(10);
/// Tries of one name from one address, or from one known browser.
pub const TRIES: u32 = 10;
/// Tries of one name from everywhere but its known browsers.
pub const TRIES_OF_NAME: u32 = 20;
/// Tries from one address, whatever the names.
pub const TRIES_OF_ADDRESS: u32 = 40;
/// How long asking for links by mail is counted together.
pub const MAIL_WINDOW: Duration = Duration::hours(1);
/// Links that are mailed for one name.
pub const MAILS_OF_NAME: u32 = 3;
/// Links that are asked for from one address.
pub const MAILS_OF_ADDRESS: u32 = 10;
/// How long wrong tokens are counted together.
pub const TOKEN_WINDOW: Duration = Duration::minutes(1);
/// Wrong tokens from one address.
pub const TOKENS_OF_ADDRESS: u32 = 60;
/// Most counts that are kept; beyond it the oldest are forgotten.
const COUNTS: usize = 20_000;

/// What is counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
enum Kind {
    /// a name from one address
    Pair,
    /// a name in a browser in which its owner signed in once
    Known,
    /// a name from everywhere else
    Name,
    /// an address, whatever the names
    Address,
    /// an address that answers with passkeys, where no name is typed
    Passkey,
    /// a passkey in a browser in which its owner signed in once
    KnownPasskey,
    /// an address that sends tokens
    Token,
    /// links by mail for a name
    Mail,
    /// links by mail that an address asks for
    Mails,
}

impl Kind {
    /// How many within the window.
    const fn most(self) -> u32 {
        match self {
            Self::Pair | Self::Known | Self::KnownPasskey => TRIES,
            Self::Name => TRIES_OF_NAME,
            Self::Address | Self::Passkey => TRIES_OF_ADDRESS,
            Self::Token => TOKENS_OF_ADDRESS,
            Self::Mail => MAILS_OF_NAME,
            Self::Mails => MAILS_OF_ADDRESS,
        }
    }

    /// After a right one: an address keeps its wrong ones, and so does a name from elsewhere.
    const fn starts_anew(self) -> bool {
        matches!(self, Self::Pair | Self::Known | Self::KnownPasskey)
    }
}

type Key = (Kind, [u8; 16]);

/// Counts tries.
#[derive(Clone, Debug)]
pub struct Limits {
    window: Duration,
    /// when, in milliseconds, oldest first; never more than its kind allows
    tries: Arc<Mutex<HashMap<Key, Vec<i64>>>>,
}

impl Default for Limits {
    /// For signing in.
    fn default() -> Self {
        Self::within(WINDOW)
    }
}

/// Tries that were counted, to be taken back where the password was right.
#[derive(Debug)]
pub struct Counted {
    keys: Vec<Key>,
    at: i64,
}

fn key(kind: Kind, parts: &[&[u8]]) -> Key {
    let mut hash = Sha256::new();
    for part in parts {
        hash.update((part.len() as u64).to_be_bytes());
        hash.update(part);
    }
    let mut key = [0; 16];
    key.copy_from_slice(&hash.finalize()[..16]);
    (kind, key)
}

/// A home has one IPv4 address, or 2^64 of IPv6.
pub(super) fn home(address: IpAddr) -> Vec<u8> {
    match address {
        IpAddr::V4(v4) => v4.octets().to_vec(),
        IpAddr::V6(v6) => v6.octets()[..8].to_vec(),
    }
}

fn keys(name: &str, from: IpAddr, known: bool) -> Vec<Key> {
    let name = name.trim().to_lowercase();
    let (name, home) = (name.as_bytes(), home(from));
    if known {
        vec![key(Kind::Known, &[name])]
    } else {
        vec![key(Kind::Pair, &[name, &home]), key(Kind::Name, &[name]), key(Kind::Address, &[&home])]
    }
}

/// How long to wait, in words: `7 minutes`.
#[must_use]
pub fn minutes(wait: Duration) -> String {
    match (wait.whole_seconds() + 59) / 60 {
        ..=1 => "a minute".to_owned(),
        more => format!("{more} minutes"),
    }
}

/// The same for a program, in seconds (RFC 9110, section 10.2.3).
#[must_use]
pub fn retry_after(wait: Duration) -> (HeaderName, HeaderValue) {
    (header::RETRY_AFTER, HeaderValue::from(wait.whole_seconds().max(1)))
}

impl Limits {
    /// Counts together what comes within so long.
    #[must_use]
    pub fn within(window: Duration) -> Self {
        Self { window, tries: Arc::default() }
    }

    /// Counts that a link is asked for by mail, for this name and from this address.
    ///
    /// # Errors
    /// How long to wait, where there were too many.
    pub fn count_mail(&self, name: &str, from: IpAddr, now: OffsetDateTime) -> Result<(), Duration> {
        let name = name.trim().to_lowercase();
        self.count_all(vec![key(Kind::Mail, &[name.as_bytes()]), key(Kind::Mails, &[&home(from)])], now).map(drop)
    }

    /// Counts a try of this name from this address; `known` where it comes from a browser that its owner used before.
    ///
    /// # Errors
    /// How long to wait, where there were too many.
    pub fn count(&self, name: &str, from: IpAddr, known: bool, now: OffsetDateTime) -> Result<Counted, Duration> {
        self.count_all(keys(name, from, known), now)
    }

    /// Counts an answer with a passkey, in which no name is typed: from this address, or of this person where it comes from a
    /// browser that they used before.
    ///
    /// # Errors
    /// How long to wait, where there were too many.
    pub fn count_passkey(&self, from: IpAddr, known: Option<PersonId>, now: OffsetDateTime) -> Result<Counted, Duration> {
        let key = match known {
            Some(person) => key(Kind::KnownPasskey, &[&person.0.to_be_bytes()]),
            None => key(Kind::Passkey, &[&home(from)]),
        };
        self.count_all(vec![key], now)
    }

    /// Counts a wrong token from this address. A right one is never counted: it passes whatever others at home sent.
    ///
    /// # Errors
    /// How long to wait, where there were too many.
    pub fn count_token(&self, from: IpAddr, now: OffsetDateTime) -> Result<(), Duration> {
        self.count_all(vec![key(Kind::Token, &[&home(from)])], now).map(drop)
    }

    /// Only what came within one window back from now counts, so that no border lets two windows' worth through at once.
    fn count_all(&self, keys: Vec<Key>, now: OffsetDateTime) -> Result<Counted, Duration> {
        let (now, window) = (millis(now), self.window_ms());
        let mut tries = self.tries.lock().unwrap_or_else(PoisonError::into_inner);
        for key in &keys {
            if let Some(times) = tries.get_mut(key) {
                // a clock that was set back must not make anybody wait: what is yet to come is forgotten
                times.retain(|at| *at <= now && *at > now - window);
            }
        }
        let wait = keys.iter().filter_map(|key| {
            let times = tries.get(key)?;
            let over = times.len().checked_sub(key.0.most() as usize)?;
            Some(times.get(over)? + window - now)
        });
        if let Some(wait) = wait.max() {
            return Err(Duration::milliseconds(wait));
        }
        make_room(&mut tries, now - window);
        keys.iter().for_each(|key| tries.entry(*key).or_default().push(now));
        Ok(Counted { keys, at: now })
    }

    fn window_ms(&self) -> i64 {
        self.window.whole_seconds() * 1000
    }

    /// Takes a try back that was right; the name starts anew, the address keeps its wrong ones.
    pub fn forgive(&self, counted: &Counted) {
        let mut tries = self.tries.lock().unwrap_or_else(PoisonError::into_inner);
        for key in &counted.keys {
            if key.0.starts_anew() {
                tries.remove(key);
            } else if let Some(times) = tries.get_mut(key)
                && let Some(at) = times.iter().position(|at| *at == counted.at)
            {
                times.remove(at);
            }
        }
    }
}

fn millis(at: OffsetDateTime) -> i64 {
    at.unix_timestamp() * 1000 + i64::from(at.millisecond())
}

/// Forgets what is over; where all of it still counts, the oldest tenth.
fn make_room(tries: &mut HashMap<Key, Vec<i64>>, since: i64) {
    if tries.len() < COUNTS {
        return;
    }
    let newest = |times: &[i64]| times.last().copied().unwrap_or(i64::MIN);
    tries.retain(|_, times| newest(times) > since);
    if tries.len() < COUNTS {
        return;
    }
    let mut ages: Vec<i64> = tries.values().map(|times| newest(times)).collect();
    let (_, oldest, _) = ages.select_nth_unstable(COUNTS / 10);
    let oldest = *oldest;
    // equally old ones are forgotten only as far as there must be room
    let mut spare = COUNTS / 10;
    tries.retain(|_, times| {
        let goes = spare > 0 && newest(times) <= oldest;
        spare -= usize::from(goes);
        !goes
    });
}

#[cfg(test)]
mod tests {
    use super::*;
    use time::macros::datetime;

    const NOW: OffsetDateTime = datetime!(2026-11-25 12:00 UTC);

    fn address(n: u16) -> IpAddr {
        IpAddr::from([10, 0, u8::try_from(n / 256).unwrap(), u8::try_from(n % 256).unwrap()])
    }

    #[test]
    fn ten_tries_make_one_name_wait_and_time_frees_it() {
        let limits = Limits::default();
        (0..10).for_each(|_| drop(limits.count("Ada ", address(1), false, NOW).unwrap()));
        assert_eq!(limits.count("ada", address(1), false, NOW).unwrap_err(), WINDOW);
        assert!(limits.count("bo", address(1), false, NOW).is_ok());
        assert!(limits.count("ada", address(1), false, NOW + WINDOW).is_ok());
    }

    #[test]
    fn no_border_lets_two_windows_worth_through_at_once() {
        let limits = Limits::default();
        assert!(limits.count("ada", address(1), false, NOW).is_ok());
        // nine more in the last second of ten minutes that began with the first
        let late = NOW + WINDOW - Duration::SECOND;
        assert_eq!((0..20).filter(|_| limits.count("ada", address(1), false, late).is_ok()).count(), 9);
        // a second later the first no longer counts, and nothing else became free
        assert_eq!((0..20).filter(|_| limits.count("ada", address(1), false, NOW + WINDOW).is_ok()).count(), 1);
        assert_eq!(limits.count("ada", address(1), false, NOW + WINDOW).unwrap_err(), WINDOW - Duration::SECOND);
    }

    #[test]
    fn strangers_wrong_passkeys_do_not_hold_up_a_browser_that_its_owner_used_before() {
        let limits = Limits::default();
        let tried = (0..100).filter(|_| limits.count_passkey(address(1), None, NOW).is_ok()).count();
        assert_eq!(tried, usize::try_from(TRIES_OF_ADDRESS).unwrap());
        assert!(limits.count_passkey(address(1), Some(PersonId(7)), NOW).is_ok());
    }

    #[test]
    fn many_at_once_come_to_no_more_than_the_limit() {
        let limits = Limits::default();
        let tried = std::thread::scope(|s| {
            let tries: Vec<_> = (0..50).map(|_| s.spawn(|| limits.count("ada", address(1), false, NOW).is_ok())).collect();
            tries.into_iter().map(|t| t.join().unwrap()).filter(|ok| *ok).count()
        });
        assert_eq!(tried, usize::try_from(TRIES).unwrap());
    }

    #[test]
    fn an_attack_from_many_addresses_ends_and_the_owners_own_browser_goes_on() {
        let limits = Limits::default();
        let tried = (0..100).filter(|n| limits.count("ada", address(*n), false, NOW).is_ok()).count();
        assert_eq!(tried, usize::try_from(TRIES_OF_NAME).unwrap());
        assert!(limits.count("ada", address(500), true, NOW).is_ok());
    }

    #[test]
    fn one_address_tries_few_names_and_a_right_password_costs_nothing() {
        let limits = Limits::default();
        for n in 0..200 {
            let counted = limits.count(&format!("member {n}"), address(1), false, NOW).expect("right ones are not counted");
            limits.forgive(&counted);
        }
        let tried = (0..200).filter(|n| limits.count(&format!("guess {n}"), address(1), false, NOW).is_ok()).count();
        assert_eq!(tried, usize::try_from(TRIES_OF_ADDRESS).unwrap());
    }

    #[test]
    fn a_right_password_takes_back_one_try_of_its_address_and_all_of_its_name_there() {
        let limits = Limits::default();
        (0..9).for_each(|_| drop(limits.count("ada", address(1), false, NOW).unwrap()));
        let right = limits.count("ada", address(1), false, NOW).unwrap();
        limits.forgive(&right);
        assert_eq!((0..20).filter(|_| limits.count("ada", address(1), false, NOW).is_ok()).count(), 10, "the name starts anew");
        let others = (0..90).filter(|n| limits.count(&format!("guess {n}"), address(1), false, NOW).is_ok()).count();
        assert_eq!(others, 40 - 9 - 10, "the address keeps its wrong ones");
    }

    #[test]
    fn wrong_tokens_are_slowed_down_by_home_and_time_frees_them() {
        let limits = Limits::within(TOKEN_WINDOW);
        let at_home = |n: u16| IpAddr::from([0x2001, 0xdb8, 0, 7, 0, 0, 0, n]);
        let sent = (0..200).filter(|n| limits.count_token(at_home(*n), NOW).is_ok()).count();
        assert_eq!(sent, usize::try_from(TOKENS_OF_ADDRESS).unwrap(), "a home has many addresses");
        let later = NOW + Duration::seconds(20);
        assert_eq!(limits.count_token(at_home(1), later), Err(Duration::seconds(40)));
        assert!(limits.count_token(IpAddr::from([0x2001, 0xdb8, 0, 8, 0, 0, 0, 1]), NOW).is_ok(), "somebody else's");
        assert!(limits.count_token(at_home(1), NOW + TOKEN_WINDOW).is_ok());
    }

    #[test]
    fn links_by_mail_are_few_for_one_name_and_from_one_address() {
        let limits = Limits::within(MAIL_WINDOW);
        let asked = (0..20).filter(|n| limits.count_mail(" ADA@example.org", address(*n), NOW).is_ok()).count();
        assert_eq!(asked, usize::try_from(MAILS_OF_NAME).unwrap());
        let asked = (0..20).filter(|n| limits.count_mail(&format!("{n}@example.org"), address(99), NOW).is_ok()).count();
        assert_eq!(asked, usize::try_from(MAILS_OF_ADDRESS).unwrap());
        assert!(limits.count_mail("ada@example.org", address(1), NOW + Duration::minutes(59)).is_err());
        assert!(limits.count_mail("ada@example.org", address(1), NOW + MAIL_WINDOW).is_ok());
    }

    #[test]
    fn a_wait_is_never_told_shorter_than_it_is() {
        let told = |seconds| minutes(Duration::seconds(seconds));
        assert_eq!([told(0), told(60), told(61), told(600)], ["a minute", "a minute", "2 minutes", "10 minutes"]);
        assert_eq!(retry_after(Duration::milliseconds(300)).1, "1");
    }

    #[test]
    fn memory_is_bounded_and_what_is_newest_still_counts() {
        let limits = Limits::default();
        for n in 0..30_000_u32 {
            let from = IpAddr::from((u128::from(n) << 64).to_be_bytes());
            let _ = limits.count(&format!("name {n}"), from, false, NOW + Duration::milliseconds(i64::from(n)));
        }
        let later = NOW + Duration::seconds(31);
        (0..10).for_each(|_| drop(limits.count("ada", address(1), false, later)));
        assert!(limits.count("ada", address(1), false, later).is_err());
        assert!(limits.tries.lock().unwrap().len() <= COUNTS + 3);
    }

    #[test]
    fn a_clock_that_is_set_back_locks_nobody_out() {
        let limits = Limits::default();
        (0..10).for_each(|_| drop(limits.count("ada", address(1), false, NOW)));
        assert!(limits.count("ada", address(1), false, NOW - Duration::days(400)).is_ok());
    }
}
