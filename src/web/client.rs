//! Where a request comes from.
//!
//! # Design
//! Anybody can send `X-Forwarded-For`. It is believed only where the connection itself comes from a configured proxy, and
//! then read from the right: the last address that is no proxy of ours is the client. Without configured proxies the
//! header means nothing.

use super::App;
use super::error::Error;
use axum::extract::FromRequestParts;
use axum::http::HeaderMap;
use axum::http::request::Parts;
use ipnet::IpNet;
use std::net::{IpAddr, Ipv4Addr};

/// Who is at the other end of the connection; put beside the request by the server.
#[derive(Clone, Copy, Debug)]
pub struct Peer(pub IpAddr);

/// The address that a request came from, as limits and logs use it.
#[derive(Clone, Copy, Debug)]
pub struct Client(pub IpAddr);

impl FromRequestParts<App> for Client {
    type Rejection = Error;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Error> {
        Ok(Self(of(parts.extensions.get().copied(), &parts.headers, &app.config.proxies)))
    }
}

/// The client's address, through the proxies that are ours.
#[must_use]
pub fn of(peer: Option<Peer>, headers: &HeaderMap, proxies: &[IpNet]) -> IpAddr {
    let ours = |address: &IpAddr| proxies.iter().any(|net| net.contains(address));
    // without a connection (a test in one process) it is nobody's address
    let peer = peer.map_or(IpAddr::V4(Ipv4Addr::UNSPECIFIED), |p| p.0.to_canonical());
    let mut client = peer;
    let lines: Vec<&str> = headers.get_all("x-forwarded-for").iter().filter_map(|v| v.to_str().ok()).collect();
    for hop in lines.iter().rev().flat_map(|line| line.rsplit(',')) {
        if !ours(&client) {
            break;
        }
        let Ok(address) = hop.trim().parse::<IpAddr>() else { break };
        client = address.to_canonical();
    }
    client
}

/// It came straight from this machine, through no proxy.
#[must_use]
pub fn is_local(peer: Option<Peer>, headers: &HeaderMap) -> bool {
    let forwarded = ["x-forwarded-for", "forwarded", "x-real-ip", "via"].iter().any(|name| headers.contains_key(*name));
    peer.is_some_and(|p| p.0.to_canonical().is_loopback()) && !forwarded
}

#[cfg(test)]
mod tests {
    use super::*;

    fn seen(peer: &str, forwarded: &[&str], proxies: &[&str]) -> String {
        let mut headers = HeaderMap::new();
        for line in forwarded {
            headers.append("x-forwarded-for", line.parse().unwrap());
        }
        let proxies: Vec<IpNet> = proxies.iter().map(|p| p.parse().unwrap()).collect();
        of(Some(Peer(peer.parse().unwrap())), &headers, &proxies).to_string()
    }

    #[test]
    fn a_header_from_no_proxy_of_ours_means_nothing() {
        assert_eq!(seen("198.51.100.7", &["203.0.113.1"], &[]), "198.51.100.7");
        assert_eq!(seen("198.51.100.7", &["203.0.113.1"], &["127.0.0.0/8"]), "198.51.100.7");
    }

    #[test]
    fn through_one_proxy_the_last_address_counts_and_made_up_ones_before_it_do_not() {
        assert_eq!(seen("127.0.0.1", &["203.0.113.1"], &["127.0.0.0/8"]), "203.0.113.1");
        assert_eq!(seen("127.0.0.1", &["10.1.1.1, 203.0.113.1"], &["127.0.0.0/8"]), "203.0.113.1");
        assert_eq!(seen("127.0.0.1", &["10.1.1.1", "203.0.113.1"], &["127.0.0.0/8"]), "203.0.113.1");
    }

    #[test]
    fn through_two_proxies_the_first_that_is_not_ours_counts() {
        let ours = ["127.0.0.1/32", "192.0.2.0/24"];
        assert_eq!(seen("127.0.0.1", &["10.1.1.1, 203.0.113.1, 192.0.2.4"], &ours), "203.0.113.1");
        assert_eq!(seen("::ffff:127.0.0.1", &["2001:db8::1, 192.0.2.4"], &ours), "2001:db8::1");
    }

    #[test]
    fn what_is_no_address_ends_the_reading() {
        assert_eq!(seen("127.0.0.1", &["203.0.113.1, unknown"], &["127.0.0.0/8"]), "127.0.0.1");
        assert_eq!(seen("127.0.0.1", &[], &["127.0.0.0/8"]), "127.0.0.1");
    }
}
