//! To which table an entry belongs, and what comes before its value.

use super::key::{Kinds, Standing, standing};
use super::policy::Policy;
use super::{Entry, Scoring, Version};

/// A version's rank and name.
pub(super) type Group = (usize, String);

/// Which table an entry belongs to. A load below the written ones is the lighter version, whatever it was called.
pub(super) fn group(entry: &Entry, scoring: &Scoring, policy: &Policy) -> Group {
    let name = match &entry.version {
        Version::Option(name) => name.as_str(),
        Version::Full if too_light(entry, scoring, policy) => "lighter",
        Version::Full | Version::Adapted(_) => "full",
    };
    if policy.one_list {
        return (0, String::new());
    }
    if name == "full" {
        return (0, name.to_owned());
    }
    let named = policy.group_order.iter().position(|g| g == name);
    let written = || scoring.options.iter().position(|(n, _)| n == name).map(|i| policy.group_order.len() + i);
    let last = policy.group_order.len() + scoring.options.len();
    (1 + named.or_else(written).unwrap_or(last), name.to_owned())
}

fn too_light(entry: &Entry, scoring: &Scoring, policy: &Policy) -> bool {
    let least = scoring.columns_kg.iter().copied().reduce(f64::min);
    entry.load_kg.zip(least).is_some_and(|(kg, least)| kg < least - policy.load_step_kg)
}

/// Reasons that come before the value: an open question, another movement, too late.
pub(super) fn verdict(entry: &Entry, scoring: &Scoring, policy: &Policy, kinds: Kinds) -> Standing {
    if let Some(why) = &entry.held {
        return Standing::Held(why.clone());
    }
    if let Some(why) = &entry.unplaced {
        return Standing::Listed(why.clone());
    }
    if let Version::Adapted(swap) = &entry.version {
        let other = if swap.is_empty() { "other work than written".to_owned() } else { format!("another movement ({swap})") };
        return Standing::Listed(format!("{other} cannot be compared"));
    }
    if let Some(why) = policy.too_late(&entry.when) {
        return Standing::Listed(why);
    }
    standing(entry, scoring, policy, kinds)
}
