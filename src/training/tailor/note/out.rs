//! Parts of the body that a coach keeps out: what touches or loads them is not given, and something else takes its place.

use super::vocabulary::{Region, vocabulary};
use crate::training::member::KeptOut;
use crate::training::movement::Pattern;

/// What a coach keeps out of a member's sessions.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Out {
    touches: Vec<usize>,
    loads: Vec<usize>,
}

impl Out {
    /// Reads the names; none where one is not known, so that it is not lost.
    pub fn of(kept: &KeptOut) -> Option<Self> {
        let places = |names: &[String]| {
            let place = |name: &String| vocabulary().regions.iter().position(|r| r.name == name);
            names.iter().map(place).collect::<Option<Vec<usize>>>()
        };
        Some(Self { touches: places(&kept.touches)?, loads: places(&kept.loads)? })
    }

    pub fn is_empty(&self) -> bool {
        self.touches.is_empty() && self.loads.is_empty()
    }

    /// The part of the body for which a movement is not given, and whether it would be loaded rather than touched.
    pub fn keeps_out(&self, pattern: Pattern, demands: u32) -> Option<(&'static str, bool)> {
        let regions = &vocabulary().regions;
        let find = |list: &[usize], holds: &dyn Fn(&Region) -> bool| {
            list.iter().map(|&r| &regions[r]).find(|r| holds(r)).map(|r| r.name)
        };
        let touched = |r: &Region| r.touched.hold(pattern, demands);
        // what loads a part is not told apart everywhere: then all that touches it counts
        let loaded = |r: &Region| if r.loaded.is_empty() { touched(r) } else { r.loaded.hold(pattern, demands) };
        find(&self.touches, &touched).map(|name| (name, false)).or_else(|| find(&self.loads, &loaded).map(|name| (name, true)))
    }
}
