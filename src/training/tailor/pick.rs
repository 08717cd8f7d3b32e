//! Which movement, done which way: hard rules as filters, then the least cost.

mod cost;
mod rules;
mod said;

use super::able::{self, Cannot};
use super::convert::{Dose, Swap};
use super::fit::{Aim, Asked, Fit, asked, fit};
use super::house::OneForTwo;
use super::kit::{Kit, bit};
use super::note::{self, Held, Out, Reading};
use super::shelf::{Purpose, Shelf, Tool, Way, distance, mask};
use crate::training::dose::{Amount, Load};
use crate::training::member::{Level, Profile};
use crate::training::movement::{Demand, Implement, Pattern, StandIn};
use crate::training::session::{Line, Part};
pub use cost::Cost;
pub(super) use cost::FAR_TOO_LIGHT;
pub(crate) use rules::RIGHT_DOWN;
pub(crate) use said::{Said, builds};
use std::borrow::Cow;
use std::rc::Rc;

/// A member, read once for a whole session.
#[derive(Clone)]
pub(crate) struct Who<'p> {
    pub profile: &'p Profile,
    pub kit: Kit,
    /// what is kept out, one bit a demand
    pub avoid: u32,
    /// what of it is kept out because of what they said at the line, and is no limit of theirs
    pub for_now: u32,
    /// they said at the line that there is no room, and a step out of the place is too far
    pub in_place: bool,
    /// the highest skill a line may ask
    pub ceiling: u8,
    /// what the note means
    pub reading: Reading,
    /// what a coach keeps out
    pub out: Out,
    /// what they wrote that they cannot do yet
    pub cannot: Cannot,
    /// what other lines of the part give already, and no line is given in the place of another
    pub taken: Vec<usize>,
}

impl<'p> Who<'p> {
    pub fn new(profile: &'p Profile, shelf: &Shelf<'_>) -> Self {
        let mut reading = note::read(profile.note.as_deref());
        if let Some(open) = &profile.open_words {
            reading.held = Held::of(open);
        }
        let out = Out::of(&profile.kept_out);
        // a part of the body that is not known cannot be kept out: everything waits
        reading.held.all |= out.is_none();
        let shallow = if reading.shallow { mask(&[Demand::DeepKnee]) } else { 0 };
        Self {
            profile,
            kit: Kit::of(profile),
            avoid: mask(&profile.avoid) | shallow,
            for_now: 0,
            in_place: false,
            ceiling: profile.level.skill_ceiling(),
            reading,
            out: out.unwrap_or_default(),
            cannot: able::read(profile.note.as_deref(), shelf),
            taken: Vec::new(),
        }
    }
}

/// Why a movement cannot be given one particular way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Bar {
    /// a demand that is kept out
    Avoids(Demand),
    /// what they said at the line speaks against it
    SetAside,
    /// an implement that is not at home
    Lacks(Implement),
    /// more skill than the level
    Skill,
    /// they wrote that they cannot do it yet
    SaidCannot,
    /// a bar in a doorway
    Doorway,
    /// a chair where a box, block or bench is needed
    ShakyBase,
    /// only heavier than was written
    TooHeavy,
    /// a stick where a load is meant
    StickForLoad,
    /// a makeshift load over the head
    MakeshiftOverhead,
    /// it touches what waits for the coach
    Waits,
    /// a coach keeps out what touches this part of the body, or what loads it
    KeptOut(&'static str, bool),
}

/// One thing that could be given, with what it costs.
#[derive(Clone, Debug)]
pub(crate) struct Choice {
    pub at: usize,
    pub way: Way,
    pub fit: Fit,
    pub dose: Dose,
    pub cost: Cost,
    /// how the dose is held to its window, in words
    pub inside: Option<String>,
}

/// One sound way, before its dose is counted out.
struct Bid {
    at: usize,
    way: Way,
    fit: Fit,
    cost: Cost,
}

/// The cheaper stays; among equals the first of the library, and of its ways the first.
fn keep_cheaper(best: &mut Option<Bid>, bid: Bid) {
    let key = |b: &Bid| (b.cost.total(), b.at);
    if best.as_ref().is_none_or(|b| key(&bid) < key(b)) {
        *best = Some(bid);
    }
}

/// A light member's weight, kilograms (*common practice*): a body's part of a push is reckoned from it.
const A_BODY: f64 = 60.0;
/// Times the written weight that a push with the body alone may come to (*common practice*).
const MORE_THAN_WRITTEN: f64 = 1.75;

/// One line with what is needed to choose for it.
pub(crate) struct Ask<'a, 's> {
    pub line: &'a Line,
    pub at: usize,
    pub purpose: Purpose,
    pub asked: Asked,
    pub shelf: &'s Shelf<'s>,
    /// the coach's own swaps for the line
    pub own: Rc<[Cow<'a, Line>]>,
    /// the effort that the coach wrote, as it is said of a set
    pub effort: Option<Rc<str>>,
    /// one of a superset that nobody counts against the clock: each arm does the written reps
    pub superset: bool,
    /// it is built up to one heavy set
    pub builds: bool,
    /// the part's clock says how long it goes on
    pub clocked: bool,
}

impl<'a, 's> Ask<'a, 's> {
    /// For a line of a part; `None` where the library does not have the movement.
    pub fn of(line: &'a Line, part: &'a Part, shelf: &'s Shelf<'s>, who: &Who<'_>) -> Option<Self> {
        Self::told(line, part, &Said::of(line, part, shelf), shelf, who)
    }

    /// The same where what the line and its part say was read before.
    pub fn told(line: &'a Line, part: &Part, said: &Said<'a>, shelf: &'s Shelf<'s>, who: &Who<'_>) -> Option<Self> {
        let at = shelf.library.position(&line.movement)?;
        Some(Self {
            own: said.own.clone(),
            effort: said.effort.clone(),
            superset: said.superset,
            builds: said.builds,
            clocked: said.clocked,
            ..Self::new(line, at, Purpose::of(part.intent), shelf, who)
        })
    }

    pub fn new(line: &'a Line, at: usize, purpose: Purpose, shelf: &'s Shelf<'s>, who: &Who<'_>) -> Self {
        Self {
            line,
            at,
            purpose,
            asked: asked(line, at, shelf, who.profile),
            shelf,
            own: Rc::new([]),
            effort: None,
            superset: false,
            builds: false,
            clocked: true,
        }
    }

    /// The written line means a load: it names one, or it is done with something that has weight.
    pub fn was_loaded(&self) -> bool {
        match self.asked {
            Asked::Weight { .. } | Asked::Effort | Asked::NoMax => true,
            Asked::Stick | Asked::Band(_) => false,
            Asked::Nothing => self.shelf.entries[self.at].is_weighted(),
        }
    }

    /// Steady work of more than two minutes and a half.
    fn long_work(&self) -> bool {
        let pace = self.shelf.entries[self.at].pace.unwrap_or(0.0);
        let metres = self.line.metres.as_ref().map_or(0.0, |m| m.high() * pace);
        let calories = self.line.calories.as_ref().map_or(0.0, |c| c.high() * 4.5);
        metres.max(calories).max(self.line.seconds.as_ref().map_or(0.0, Amount::high)) > 150.0
    }

    /// Every way to do movement `to` for this line: the library's, a stick for an empty bar, and a hand weight where one may be held.
    fn ways(&self, to: usize) -> impl Iterator<Item = Way> {
        self.shelf.entries[to].ways.iter().copied().chain(self.more_ways(to))
    }

    fn more_ways(&self, to: usize) -> Vec<Way> {
        let (entry, m) = (&self.shelf.entries[to], self.shelf.movement(to));
        let mut all = Vec::new();
        if m.stand_in == StandIn::StickTech && !entry.ways.iter().any(|w| w.tool == Tool::Stick) {
            all.push(Way { tools: bit(Implement::Stick), tool: Tool::Stick, pair: false, one_arm: false });
        }
        let may_hold = m.loadable
            && (!entry.bare || to == self.at)
            && matches!(self.asked, Asked::Weight { .. } | Asked::NoMax | Asked::Effort);
        if may_hold && self.purpose != Purpose::Mobility {
            for way in entry.ways.iter().filter(|w| w.tool == Tool::Body) {
                for (tool, implement, pair) in HELD {
                    let fits = if tool == Tool::Bar { entry.on_the_hips } else { !pair || m.pattern == Pattern::SingleLeg };
                    if fits {
                        all.push(Way { tools: way.tools | bit(implement), tool, pair, one_arm: false });
                    }
                }
            }
        }
        all
    }

    /// Every sound way to give movement `to`, or the rule that each way breaks.
    pub fn choices(&self, to: usize, rank: Option<usize>, who: &Who<'_>) -> Result<Vec<Choice>, Bar> {
        let mut all = Vec::new();
        self.bids(to, rank, who, &mut |bid| all.push(self.dosed(bid, who)))?;
        Ok(all)
    }

    /// The same before anything is counted out: most of them are only compared.
    fn bids(&self, to: usize, rank: Option<usize>, who: &Who<'_>, take: &mut dyn FnMut(Bid)) -> Result<(), Bar> {
        let (mut sound, mut first) = (false, None);
        for way in self.ways(to) {
            if let Err(broken) = self.allowed(to, way, who) {
                let softer = matches!(first, None | Some(Bar::Lacks(_))) && broken != Bar::StickForLoad;
                first = if first.is_none() || (softer && !matches!(broken, Bar::Lacks(_))) { Some(broken) } else { first };
                continue;
            }
            if self.is_too_much_body(to, way, who) {
                first = Some(Bar::TooHeavy);
                continue;
            }
            let aim = self.aim(to, who);
            match fit(&who.kit, &self.asked, self.at, to, way, self.shelf, aim) {
                Some(fit) => {
                    sound = true;
                    take(Bid { at: to, way, cost: self.cost(to, way, &fit, rank, who), fit });
                }
                None => first = Some(Bar::TooHeavy),
            }
        }
        if sound { Ok(()) } else { Err(first.unwrap_or(Bar::Lacks(Implement::None))) }
    }

    fn aim(&self, to: usize, who: &Who<'_>) -> Aim<'_> {
        Aim {
            purpose: self.purpose,
            effort: self.effort.as_deref(),
            swapped: to != self.at,
            builds: self.builds,
            beginner: who.profile.level == Level::Beginner,
        }
    }

    /// What another movement with the body alone comes to, of the written weight; none where that is not known.
    fn body_share(&self, to: usize, way: Way) -> Option<f64> {
        let Asked::Weight { total, .. } = self.asked else { return None };
        let body = self.shelf.entries[to].body_share.filter(|_| to != self.at && way.tool == Tool::Body)?;
        Some(body * A_BODY / total)
    }

    /// The body alone is far more than was written, for someone new or for whom the weights at home are too heavy already.
    fn is_too_much_body(&self, to: usize, way: Way, who: &Who<'_>) -> bool {
        let much = self.body_share(to, way).is_some_and(|share| share > MORE_THAN_WRITTEN);
        let too_heavy = || matches!(self.bids(self.at, Some(0), who, &mut |_| {}), Err(Bar::TooHeavy));
        much && (who.profile.level == Level::Beginner || too_heavy())
    }

    fn dosed(&self, bid: Bid, who: &Who<'_>) -> Choice {
        let Bid { at, way, fit, cost } = bid;
        let swap = Swap {
            line: self.line,
            from: self.at,
            to: at,
            way,
            fit: &fit,
            was_loaded: self.was_loaded(),
            purpose: self.purpose,
            second_column: who.profile.column != Some(1),
            body_is_enough: self.body_share(at, way).is_some_and(|share| share >= 1.0),
            lost_the_load: matches!(self.asked, Asked::Weight { .. }) && !fit.loaded,
            effort_with_one_weight: self.asked == Asked::Effort && fit.loaded && fit.load.is_some(),
            builds: self.builds,
            dose_needed: !self.clocked,
            each_side: self.superset || self.shelf.house.rules.one_for_two == OneForTwo::EachSide,
            rules: &self.shelf.house.rules,
        };
        let dose = swap.dose(self.shelf);
        Choice { at, way, fit, dose, cost, inside: None }
    }

    /// The cheapest of everything sound that could stand in; nothing harder than what the coach wrote for such a case, where
    /// anything else is sound.
    pub fn stand_in(&self, who: &Who<'_>) -> Option<Choice> {
        let skill = |l: &Cow<'_, Line>| self.shelf.library.find(&l.movement).map(|m| m.skill);
        let most = self.own.iter().filter_map(skill).max().filter(|s| *s < self.shelf.movement(self.at).skill);
        let easier = most.and_then(|most| self.nearest(most, who));
        easier.or_else(|| self.nearest(u8::MAX, who))
    }

    /// The cheapest that asks for no more skill than `most`.
    fn nearest(&self, most: u8, who: &Who<'_>) -> Option<Choice> {
        let mut best: Option<Bid> = None;
        let listed = self.listed(who);
        let fits = |c: usize| self.shelf.movement(c).skill <= most && !who.taken.contains(&c);
        for (rank, &c) in listed.iter().enumerate().filter(|(_, c)| fits(**c)) {
            // no part of a cost is below zero: where the place on the list alone costs more, nothing there is cheaper
            if best.as_ref().is_some_and(|b| self.of_rank(rank) > b.cost.total()) {
                break;
            }
            if !self.shelf.entries[c].never_given {
                let _ = self.bids(c, Some(rank), who, &mut |bid| keep_cheaper(&mut best, bid));
            }
        }
        // what merely lies near is no better than the same once more
        if best.is_none() && who.taken.is_empty() {
            for c in self.beside(&listed).into_iter().filter(|c| fits(*c)) {
                let _ = self.bids(c, None, who, &mut |bid| keep_cheaper(&mut best, bid));
            }
        }
        best.map(|bid| self.dosed(bid, who))
    }

    /// Everything sound that could stand in, cheapest first.
    pub fn stand_ins(&self, who: &Who<'_>) -> Vec<Choice> {
        let listed = self.listed(who);
        let mut all: Vec<Choice> = Vec::new();
        for (rank, &c) in listed.iter().enumerate().filter(|(_, c)| !self.shelf.entries[**c].never_given) {
            all.extend(self.choices(c, Some(rank), who).unwrap_or_default());
        }
        if all.is_empty() {
            for c in self.beside(&listed) {
                all.extend(self.choices(c, None, who).unwrap_or_default());
            }
        }
        all.sort_by(|x, y| x.cost.total().total_cmp(&y.cost.total()).then(x.at.cmp(&y.at)));
        all
    }

    /// The written movement and those of the coach's list that a rule strikes out, with the rule.
    pub fn struck(&self, who: &Who<'_>) -> Vec<(usize, Bar)> {
        let all = std::iter::once(self.at).chain(self.listed(who));
        all.filter_map(|c| self.bids(c, Some(0), who, &mut |_| {}).err().map(|broken| (c, broken))).collect()
    }

    /// The coach's list for this line and this member's limits.
    fn listed(&self, who: &Who<'_>) -> Vec<usize> {
        self.shelf.preferred(self.at, who.avoid & self.shelf.entries[self.at].demands, self.purpose)
    }

    /// Near movements that may be given and are not on the list.
    fn beside(&self, listed: &[usize]) -> Vec<usize> {
        self.near().into_iter().filter(|c| !self.shelf.entries[*c].never_given && !listed.contains(c)).collect()
    }

    /// Movements that are not on the list: easier and harder ones and near patterns.
    fn near(&self) -> Vec<usize> {
        let here = &self.shelf.entries[self.at].weights;
        (0..self.shelf.entries.len()).filter(|&c| c != self.at && distance(here, &self.shelf.entries[c].weights) < 0.45).collect()
    }
}

/// The least cost; among equals the first.
pub(crate) fn cheapest(choices: Vec<Choice>) -> Option<Choice> {
    choices.into_iter().reduce(|best, c| if c.cost.total() < best.cost.total() { c } else { best })
}

/// What may be held in the hands where the library asks for no implement.
const HELD: [(Tool, Implement, bool); 5] = [
    (Tool::Bar, Implement::Barbell, false),
    (Tool::Dumbbell, Implement::Dumbbells, true),
    (Tool::Dumbbell, Implement::Dumbbell, false),
    (Tool::Kettlebell, Implement::Kettlebell, false),
    (Tool::Backpack, Implement::Backpack, false),
];

/// The load in kilograms or words that a load carries, for a sentence.
pub(crate) fn load_words(load: &Load) -> Option<String> {
    match load {
        Load::Kg { values, .. } => Some(format!("{} kg", numbers(values))),
        Load::Lb { values, .. } => Some(format!("{} lb", numbers(values))),
        Load::Band(tension) => Some(format!("the {tension} band")),
        Load::Stick => Some("the stick".to_owned()),
        _ => None,
    }
}

fn numbers(values: &[f64]) -> String {
    let words: Vec<String> = values.iter().map(f64::to_string).collect();
    words.join("-")
}
