//! Whether a scored part leaves a way for a short evening, for thin walls and for an empty room.

use super::{Action, Tailor};
use crate::training::member::{KIT_KINDS, KitDetail, KitItem, Level, Profile};
use crate::training::movement::{Demand, Library};
use crate::training::pace;
use crate::training::session::{Format, Line, Part, PartOption, ScoreKind, Session};

/// A way to do a part that somebody will ask for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Route {
    /// in clearly less time
    Shorter,
    /// without jumping, landing or noise
    Quiet,
    /// with nothing but floor and wall
    NoKit,
}

/// A scored part that leaves one way out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MissingRoute {
    /// of the part, from 0
    pub part: usize,
    /// which way
    pub route: Route,
    /// written movements that nothing sound stands in for; empty for [`Route::Shorter`]
    pub movements: Vec<String>,
}

/// An option is shorter where it takes at most this share of the time (*common practice*).
const CLEARLY_LESS: f64 = 0.9;

/// Ways that the scored parts of `session` leave out, in order.
#[must_use]
pub fn missing_routes(session: &Session, library: &Library) -> Vec<MissingRoute> {
    let tailor = Tailor::new(library);
    let quiet =
        Profile { kit: everything(), avoid: vec![Demand::Noise, Demand::Impact], level: Level::Advanced, ..Profile::default() };
    let bare = Profile { level: Level::Advanced, ..Profile::default() };
    let lost = [(Route::Quiet, tailor.tailor(session, &quiet)), (Route::NoKit, tailor.tailor(session, &bare))];
    let mut missing = Vec::new();
    for (i, part) in session.parts.iter().enumerate().filter(|(_, p)| p.score != ScoreKind::None && !p.lines.is_empty()) {
        // one try at a most has no shorter version: it is one try
        if part.format != Format::MaxEffort && !part.options.iter().any(|o| is_shorter(o, part, library)) {
            missing.push(MissingRoute { part: i, route: Route::Shorter, movements: Vec::new() });
        }
        for (route, done) in &lost {
            let refused = done.parts[i].lines.iter().filter(|l| l.action == Action::Refer && known(&l.written));
            let movements: Vec<String> = refused.map(|l| l.written.movement.clone()).collect();
            if !movements.is_empty() {
                missing.push(MissingRoute { part: i, route: *route, movements });
            }
        }
    }
    missing
}

/// Words that the library does not know are asked about while writing; nothing can be said of them here.
fn known(line: &Line) -> bool {
    line.known && line.complex.iter().all(|p| p.known)
}

fn is_shorter(option: &PartOption, part: &Part, library: &Library) -> bool {
    let named = option.name.to_lowercase().contains("short");
    named || pace::part(&with(option, part), library).typical_s < CLEARLY_LESS * pace::part(part, library).typical_s
}

/// The part as the option makes it.
fn with(option: &PartOption, part: &Part) -> Part {
    let mut own = part.clone();
    own.rounds = option.rounds.clone().or(own.rounds);
    own.time_cap_s = option.time_cap_s.or(own.time_cap_s);
    own.duration_s = option.duration_s.or(own.duration_s);
    match option.replace.as_slice() {
        [] if !option.lines.is_empty() => own.lines.clone_from(&option.lines),
        [] => {}
        names => {
            for line in &mut own.lines {
                let place = names.iter().position(|n| n.eq_ignore_ascii_case(&line.movement));
                if let Some(new) = place.and_then(|p| option.lines.get(p)) {
                    line.clone_from(new);
                }
            }
        }
    }
    if option.reps.is_some() {
        for line in own.lines.iter_mut().filter(|l| l.role.is_none()) {
            line.reps.clone_from(&option.reps);
        }
    }
    own
}

/// A home with one of each thing, in every usual load: what is not sound there is not sound anywhere.
fn everything() -> Vec<KitItem> {
    let loads: Vec<f64> = (1..=32).map(|n| f64::from(n) * 1.25).collect();
    let item = |kind: &crate::training::member::KitKind| {
        let has = |d: KitDetail| kind.details.contains(&d);
        KitItem {
            item: kind.item.to_owned(),
            kg: match (has(KitDetail::Loads), has(KitDetail::BarLoad)) {
                (true, _) => loads.clone(),
                (false, true) => vec![20.0],
                (false, false) => Vec::new(),
            },
            count: has(KitDetail::Count).then_some(2),
            plates_kg_pairs: if has(KitDetail::PlatePairs) { vec![1.25, 2.5, 5.0, 10.0, 15.0, 20.0, 20.0] } else { Vec::new() },
            tension: has(KitDetail::Tension).then(|| "medium".to_owned()),
            anchor: has(KitDetail::Anchor).then_some(true),
            rack: has(KitDetail::Rack).then_some(true),
            ..KitItem::default()
        }
    };
    KIT_KINDS.iter().map(item).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::training::movement::Movement;
    use crate::training::writeup;

    fn missing(text: &str) -> Vec<Route> {
        let session = writeup::read(text, Library::shipped());
        assert!(session.parts[0].score != ScoreKind::None, "the part is scored");
        missing_routes(&session, Library::shipped()).into_iter().map(|m| m.route).collect()
    }

    #[test]
    fn a_part_with_a_shorter_count_and_quiet_bare_movements_leaves_nothing_out() {
        assert_eq!(missing("For time\n100 air squats\nor shorter: 60\n"), []);
    }

    #[test]
    fn the_same_part_without_the_shorter_count_asks_for_one() {
        assert_eq!(missing("For time\n100 air squats\n"), [Route::Shorter]);
    }

    #[test]
    fn an_option_that_takes_less_time_is_shorter_by_whatever_name() {
        let part = Part { rounds: Some(crate::training::dose::Amount::One(5.0)), ..missing_part() };
        let fewer = PartOption {
            name: "gentle".to_owned(),
            rounds: Some(crate::training::dose::Amount::One(3.0)),
            ..PartOption::default()
        };
        assert!(is_shorter(&fewer, &part, Library::shipped()));
        let same = PartOption { rounds: Some(crate::training::dose::Amount::One(5.0)), ..fewer };
        assert!(!is_shorter(&same, &part, Library::shipped()));
    }

    fn missing_part() -> Part {
        let session = writeup::read("For time, 5 rounds\n10 air squats\n10 push-ups\n", Library::shipped());
        session.parts[0].clone()
    }

    #[test]
    fn where_nothing_near_is_in_the_library_the_missing_ways_name_the_movement() {
        let few = ["pull-up", "double-under", "air squat"];
        let alone = |m: &Movement| Movement { easier: Vec::new(), harder: Vec::new(), ..m.clone() };
        let movements = Library::shipped().all().iter().filter(|m| few.contains(&m.name.as_str())).map(alone).collect();
        let library = Library::new(movements).unwrap();
        let text = "For time\n20 pull-ups\n50 double-unders\n30 air squats\nor shorter: 10\n";
        let session = writeup::read(text, &library);
        let missing = missing_routes(&session, &library);
        let of = |route| missing.iter().find(|m| m.route == route).map(|m| m.movements.clone()).unwrap_or_default();
        assert_eq!(of(Route::NoKit), ["pull-up", "double-under"]);
        assert_eq!(of(Route::Quiet), ["double-under"]);
    }
}
