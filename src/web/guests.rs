//! How many connections one address may have at once, so that nobody takes every place.

use super::limits::home;
use ipnet::IpNet;
use std::collections::HashMap;
use std::net::IpAddr;
use std::sync::{Arc, Mutex, PoisonError};

/// Connections of one address: more than any household, school or gym has open.
const OF_ONE: usize = 256;

/// How many are let in from where.
#[derive(Clone, Debug)]
pub struct Guests {
    /// most of one address, or of one home where addresses are many (IPv6)
    pub of_one: usize,
    /// proxies, behind whose address everybody comes
    pub trusted: Vec<IpNet>,
}

impl Default for Guests {
    fn default() -> Self {
        Self { of_one: OF_ONE, trusted: Vec::new() }
    }
}

/// Counts who is there.
#[derive(Debug)]
pub(super) struct Door {
    guests: Guests,
    there: Arc<Mutex<HashMap<Vec<u8>, usize>>>,
}

/// A place that somebody has; it is free again when this goes.
#[derive(Debug)]
pub(super) struct Place {
    there: Arc<Mutex<HashMap<Vec<u8>, usize>>>,
    /// none where nobody counts
    whose: Option<Vec<u8>>,
}

impl Door {
    pub(super) fn new(guests: Guests) -> Self {
        Self { guests, there: Arc::default() }
    }

    /// A place for a connection from there; none where that address has all that it may.
    pub(super) fn enter(&self, from: IpAddr) -> Option<Place> {
        let from = from.to_canonical();
        if self.guests.trusted.iter().any(|net| net.contains(&from)) {
            return Some(Place { there: self.there.clone(), whose: None });
        }
        let whose = home(from);
        let mut there = self.there.lock().unwrap_or_else(PoisonError::into_inner);
        let count = there.entry(whose.clone()).or_default();
        if *count >= self.guests.of_one {
            return None;
        }
        *count += 1;
        Some(Place { there: self.there.clone(), whose: Some(whose) })
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        let Some(whose) = &self.whose else { return };
        let mut there = self.there.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(count) = there.get_mut(whose) {
            *count -= 1;
            if *count == 0 {
                there.remove(whose);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_address_has_its_places_and_no_more_and_others_have_theirs() {
        let door = Door::new(Guests { of_one: 2, trusted: Vec::new() });
        let (one, other) = (IpAddr::from([192, 0, 2, 1]), IpAddr::from([192, 0, 2, 2]));
        let first = door.enter(one);
        let _second = door.enter(one).unwrap();
        assert!(door.enter(one).is_none());
        assert!(door.enter(other).is_some());
        drop(first);
        assert!(door.enter(one).is_some(), "a place that was left is free");
    }

    #[test]
    fn behind_a_trusted_proxy_everybody_comes_from_one_address() {
        let door = Door::new(Guests { of_one: 2, trusted: vec!["192.0.2.0/24".parse().unwrap()] });
        let places: Vec<_> = (0..50).map_while(|_| door.enter(IpAddr::from([192, 0, 2, 1]))).collect();
        assert_eq!(places.len(), 50);
    }

    #[test]
    fn nobody_who_left_is_remembered() {
        let door = Door::new(Guests::default());
        (0..100).for_each(|n| drop(door.enter(IpAddr::from([192, 0, 2, n]))));
        assert!(door.there.lock().unwrap().is_empty());
    }
}
