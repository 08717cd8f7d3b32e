//! What a coach's choice for some members comes to, home by home, before and after it is kept.

use super::coverage::{Group, members};
use super::house::Pin;
use super::line::stopped;
use super::pick::{Ask, Who};
use super::{Tailor, pinned, why};
use crate::training::session::Session;

/// What a pin comes to in a group.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Chosen {
    /// who gets it, by place in the group
    pub given: Vec<usize>,
    /// who does not, and why, as the coach reads it: `keeps out arms overhead`
    pub refused: Vec<(String, Vec<usize>)>,
}

impl Tailor<'_> {
    /// What `pin` comes to at a line of `session`. It must be one of the house's.
    #[must_use]
    pub fn chosen(&self, pin: i64, session: &Session, (part, line): (usize, usize), group: &Group) -> Chosen {
        let Some((part, written)) = session.parts.get(part).and_then(|p| Some((p, p.lines.get(line)?))) else {
            return Chosen::default();
        };
        let outcome = |who: &Who<'_>| {
            let ask = Ask::of(written, part, &self.shelf, who);
            if stopped(written, ask.as_ref(), who, &self.shelf).is_some() {
                return Some(Err("their note is for a person to decide".to_owned()));
            }
            let ask = ask?;
            let mine = |p: &Pin| p.id == pin;
            match pinned::pinned(&ask, who) {
                (Some((_, p)), _) if mine(p) => Some(Ok(())),
                (_, Some((p, broken))) if mine(p) => Some(Err(why::refused_for(broken, &p.becomes.movement))),
                _ => None,
            }
        };
        let mut all = Chosen::default();
        let concerned = |who: &Who<'_>| self.shelf.house.pins.iter().any(|p| p.id == pin && p.whom.holds(who));
        let outcomes: Vec<Option<Result<(), String>>> = group
            .distinct()
            .iter()
            .map(|profile| {
                let who = Who::new(profile, &self.shelf);
                if concerned(&who) { outcome(&who) } else { None }
            })
            .collect();
        all.given = members(group, |d| outcomes[d] == Some(Ok(())));
        let mut whys: Vec<&String> = outcomes.iter().filter_map(|o| o.as_ref()?.as_ref().err()).collect();
        whys.sort_unstable();
        whys.dedup();
        all.refused = whys
            .into_iter()
            .map(|why| (why.clone(), members(group, |d| matches!(&outcomes[d], Some(Err(w)) if w == why))))
            .collect();
        all
    }
}
