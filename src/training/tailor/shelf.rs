//! The library as tailoring reads it: indexed once, with the coach's rules from `data/` laid over it.

use super::house::House;
use super::kit::{Tools, bit};
use crate::training::movement::{Demand, Implement, Library, Movement, Pattern, Sided};
use crate::training::session::Intent;
use std::collections::HashMap;
use std::sync::Arc;

const STAND_INS: &str = include_str!("../../../data/stand_ins.csv");
const DOSES: &str = include_str!("../../../data/doses.csv");
const HANDLING: &str = include_str!("../../../data/handling.csv");
const PATTERNS: &str = include_str!("../../../data/patterns.csv");
const COUNTS: &str = include_str!("../../../data/counts.csv");
const RATIOS: &str = include_str!("../../../data/ratios.csv");
const BODY_LOADS: &str = include_str!("../../../data/body_loads.csv");
const WITH_TWO: &str = include_str!("../../../data/with_two.csv");

/// What carries the load when a movement is done one particular way.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum Tool {
    Body,
    Bar,
    Dumbbell,
    Kettlebell,
    Backpack,
    Ball,
    Plate,
    Band,
    Stick,
}

/// One way to do a movement.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Way {
    /// every implement that it needs
    pub tools: Tools,
    /// what carries the load
    pub tool: Tool,
    /// two of them
    pub pair: bool,
    /// done one arm at a time although the movement is written for both
    pub one_arm: bool,
}

/// What a part is for, as the swap lists name it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum Purpose {
    Strength,
    Conditioning,
    Technique,
    Mobility,
}

impl Purpose {
    pub fn of(intent: Intent) -> Self {
        match intent {
            Intent::Strength => Self::Strength,
            Intent::Conditioning => Self::Conditioning,
            Intent::Technique => Self::Technique,
            Intent::Prep | Intent::Mobility => Self::Mobility,
        }
    }

    fn key(self) -> &'static str {
        match self {
            Self::Strength => "strength",
            Self::Conditioning => "conditioning",
            Self::Technique => "technique",
            Self::Mobility => "mobility",
        }
    }

    /// A stick may stand for an empty bar.
    pub fn stick_may_stand_in(self) -> bool {
        matches!(self, Self::Technique | Self::Mobility)
    }
}

/// Reps or seconds of a useful set without the load that was written, and pace where the unit is a distance.
#[derive(Clone, Copy, Debug)]
pub(crate) struct UsualDose {
    pub low: f64,
    pub high: f64,
}

/// One movement with everything tailoring asks of it.
#[derive(Clone, Debug)]
pub(crate) struct Entry {
    /// what it asks, one bit a [`Demand`]
    pub demands: u32,
    pub ways: Vec<Way>,
    pub dose: UsualDose,
    /// seconds for a metre
    pub pace: Option<f64>,
    /// not on a bar in a doorway
    pub not_in_doorway: bool,
    /// needs a box, block or bench: a chair does not do
    pub solid_base: bool,
    /// with a kettlebell it is a taught skill
    pub taught_with_bell: bool,
    /// only a small weight unless a load was written
    pub light: bool,
    /// a bar can lie across the hips
    pub on_the_hips: bool,
    /// without a rack the bar is brought up from the floor first
    pub cleaned_up: bool,
    /// done fast: no slow tempo
    pub fast: bool,
    /// with nothing raised under the hands the body goes right down
    pub lowered: bool,
    /// done on a seat, and on the floor where there is none
    pub seated: bool,
    /// how far the knee bends is the height of a seat or step
    pub set_height: bool,
    /// it steps out of its place
    pub long_step: bool,
    /// the feet are held: a band's anchor does not do
    pub feet_held: bool,
    /// no external load is held even where the library says it can be
    pub bare: bool,
    /// a kilogram ratio to the lift it is measured against
    pub ratio: Option<(usize, f64)>,
    /// what part of the body's weight is moved, where no weight is held
    pub body_share: Option<f64>,
    pub weights: Weights,
    /// the coach gives it to nobody in the place of another
    pub never_given: bool,
    /// it covers a distance where there is room, and can be done on the spot
    pub travels: bool,
    /// the same lift with two weights
    pub with_two: Option<usize>,
}

impl Entry {
    /// Whichever way it is done, a weight is held: a bar to hang from is none.
    pub fn is_weighted(&self) -> bool {
        self.ways.iter().all(|w| !matches!(w.tool, Tool::Body | Tool::Band | Tool::Stick))
    }
}

/// Pattern weights; nearest patterns replace each other.
pub(crate) type Weights = [f64; 14];

/// 1 - cosine of two pattern weights: 0 is the same pattern, 1 has nothing in common.
pub(crate) fn distance(a: &Weights, b: &Weights) -> f64 {
    let dot = |x: &Weights, y: &Weights| x.iter().zip(y).map(|(p, q)| p * q).sum::<f64>();
    let size = (dot(a, a) * dot(b, b)).sqrt();
    if size > 0.0 { (1.0 - dot(a, b) / size).clamp(0.0, 1.0) } else { 1.0 }
}

/// Stand-ins of a movement, for a limit that it breaks or for a purpose, in a coach's order.
type Preferred = HashMap<(usize, Option<Demand>, &'static str), Vec<usize>>;

/// What is known of a library's movements beside what they say themselves. Clones share it.
#[derive(Clone, Debug)]
pub(crate) struct Index {
    entries: Arc<Vec<Entry>>,
    preferred: Arc<Preferred>,
    counts: Arc<HashMap<(usize, usize), f64>>,
}

/// The indexed library.
pub(crate) struct Shelf<'l> {
    pub library: &'l Library,
    /// what the coach decided
    pub house: House,
    pub entries: Arc<Vec<Entry>>,
    index: Index,
}

/// Rows of a small table under `data/`; its lines that start with `#` are notes.
fn rows(text: &'static str) -> impl Iterator<Item = csv::StringRecord> {
    csv::ReaderBuilder::new().comment(Some(b'#')).flexible(true).from_reader(text.as_bytes()).into_records().flatten()
}

fn cell(row: &csv::StringRecord, i: usize) -> &str {
    row.get(i).unwrap_or("").trim()
}

impl Index {
    /// Reads every table under `data/`: to be made once a library.
    pub fn of(library: &Library) -> Self {
        let handling: HashMap<String, Vec<String>> = rows(HANDLING).fold(HashMap::new(), |mut all, row| {
            all.entry(cell(&row, 0).to_owned()).or_default().push(cell(&row, 1).to_owned());
            all
        });
        let says = |rule: &str, m: &Movement| handling.get(rule).is_some_and(|list| list.contains(&m.name));
        let patterns: HashMap<String, Weights> = rows(PATTERNS).map(|row| (cell(&row, 0).to_owned(), weights(&row))).collect();
        let mut entries: Vec<Entry> = library
            .all()
            .iter()
            .map(|m| Entry {
                demands: mask(&m.demands) | if says("floor_start", m) { mask(&[Demand::FloorStart]) } else { 0 },
                ways: ways(m, says("one_arm", m)),
                dose: usual(m),
                pace: None,
                not_in_doorway: says("not_in_doorway", m),
                solid_base: says("solid_base", m),
                taught_with_bell: says("taught_with_bell", m),
                light: says("light", m),
                on_the_hips: says("on_the_hips", m),
                cleaned_up: says("cleaned_up", m),
                fast: says("fast", m) || matches!(m.pattern, Pattern::Olympic | Pattern::Jump),
                feet_held: m.equipment.iter().any(|set| set[..] == [Implement::Anchor]),
                lowered: says("lowered", m),
                long_step: says("long_step", m),
                seated: says("seated", m),
                set_height: says("set_height", m),
                bare: says("bare", m),
                ratio: None,
                body_share: None,
                never_given: says("only_written", m),
                travels: m.pattern == Pattern::Cyclical && m.equipment.iter().any(|set| set[..] == [Implement::None]),
                with_two: None,
                weights: patterns.get(m.name.as_str()).or_else(|| patterns.get(m.pattern.key())).copied().unwrap_or([0.0; 14]),
            })
            .collect();
        for row in rows(DOSES) {
            if let Some(i) = library.position(cell(&row, 0)) {
                if let (Ok(low), Ok(high)) = (cell(&row, 1).parse(), cell(&row, 2).parse()) {
                    entries[i].dose = UsualDose { low, high };
                }
                entries[i].pace = cell(&row, 3).parse().ok();
            }
        }
        for row in rows(RATIOS) {
            if let (Some(i), Some(of), Ok(ratio)) =
                (library.position(cell(&row, 0)), library.position(cell(&row, 1)), cell(&row, 2).parse())
            {
                entries[i].ratio = Some((of, ratio));
            }
        }
        for row in rows(BODY_LOADS) {
            if let Some(i) = library.position(cell(&row, 0)) {
                entries[i].body_share = cell(&row, 1).parse().ok();
            }
        }
        for row in rows(WITH_TWO) {
            if let Some(i) = library.position(cell(&row, 0)) {
                entries[i].with_two = library.position(cell(&row, 1));
            }
        }
        let mut preferred = HashMap::new();
        for row in rows(STAND_INS) {
            let Some(i) = library.position(cell(&row, 0)) else { continue };
            let list: Vec<usize> = cell(&row, 3).split('|').filter_map(|n| library.position(n)).collect();
            if let Some(key) = PURPOSES.iter().find(|k| **k == cell(&row, 2)) {
                preferred.insert((i, Demand::from_key(cell(&row, 1)), *key), list);
            }
        }
        let counts = rows(COUNTS).filter_map(|row| {
            let place = |c| library.position(cell(&row, c));
            Some(((place(0)?, place(1)?), cell(&row, 2).parse().ok()?))
        });
        let counts = Arc::new(counts.collect());
        Self { entries: Arc::new(entries), preferred: Arc::new(preferred), counts }
    }
}

impl<'l> Shelf<'l> {
    pub fn new(library: &'l Library) -> Self {
        let index = library.index().clone();
        Self { library, house: House::default(), entries: index.entries.clone(), index }
    }

    /// With what the coach decided laid over it.
    pub fn in_house(mut self, house: House) -> Self {
        for name in &house.rules.never {
            if let Some(i) = self.library.position(name)
                && let Some(entry) = Arc::make_mut(&mut self.entries).get_mut(i)
            {
                entry.never_given = true;
            }
        }
        self.house = house;
        self
    }

    pub fn movement(&self, i: usize) -> &'l Movement {
        &self.library.all()[i]
    }

    /// Stand-ins in the order a coach would try them, without repeats: first for the limits that the written movement breaks,
    /// then for the purpose, then in general.
    pub fn preferred(&self, i: usize, broken: u32, purpose: Purpose) -> Vec<usize> {
        let limits = Demand::ALL.iter().filter(|d| broken & mask(&[**d]) != 0).map(|d| Some(*d));
        let mut all: Vec<usize> = Vec::new();
        for when in limits.chain([None]) {
            for key in [purpose.key(), "any"] {
                for &c in self.index.preferred.get(&(i, when, key)).into_iter().flatten() {
                    if c != i && !all.contains(&c) {
                        all.push(c);
                    }
                }
            }
        }
        all
    }

    /// Reps of `to` that a coach gives for one of `from`, where the clock does not decide.
    pub fn count(&self, from: usize, to: usize) -> Option<f64> {
        self.index.counts.get(&(from, to)).copied()
    }
}

const PURPOSES: [&str; 5] = ["strength", "conditioning", "technique", "mobility", "any"];

/// One bit a demand.
pub(crate) fn mask(demands: &[Demand]) -> u32 {
    demands.iter().fold(0, |all, d| all | 1 << (*d as u8))
}

fn weights(row: &csv::StringRecord) -> Weights {
    let mut all = [0.0; 14];
    for (i, w) in all.iter_mut().enumerate() {
        *w = cell(row, i + 1).parse().unwrap_or(0.0);
    }
    all
}

/// *Common practice*: a set without the written load is 8 to 15 reps, a hold 20 to 30 seconds.
fn usual(m: &Movement) -> UsualDose {
    match m.unit {
        crate::training::movement::Unit::Reps => UsualDose { low: 8.0, high: 15.0 },
        _ => UsualDose { low: 20.0, high: 30.0 },
    }
}

/// Every way the library allows, with what carries the load.
fn ways(m: &Movement, one_arm: bool) -> Vec<Way> {
    use Implement as I;
    let carrier = |set: &[I]| {
        let has = |i| set.contains(&i);
        match () {
            () if has(I::Barbell) && m.pattern != Pattern::PullHorizontal => (Tool::Bar, false),
            () if has(I::Barbell) && !has(I::Rack) => (Tool::Bar, false),
            () if has(I::Dumbbells) => (Tool::Dumbbell, true),
            () if has(I::Dumbbell) => (Tool::Dumbbell, false),
            () if has(I::Kettlebells) => (Tool::Kettlebell, true),
            () if has(I::Kettlebell) => (Tool::Kettlebell, false),
            () if has(I::Backpack) => (Tool::Backpack, false),
            () if has(I::MedBall) => (Tool::Ball, false),
            () if has(I::Plate) => (Tool::Plate, false),
            () if has(I::Band) => (Tool::Band, false),
            () if has(I::Stick) => (Tool::Stick, false),
            () => (Tool::Body, false),
        }
    };
    m.equipment
        .iter()
        .map(|set| {
            let (tool, pair) = carrier(set);
            let single = matches!(tool, Tool::Dumbbell | Tool::Kettlebell) && !pair;
            let leans_on_it = !m.loadable && matches!(tool, Tool::Dumbbell | Tool::Kettlebell) && m.pattern != Pattern::Carry;
            Way {
                tools: set.iter().fold(0, |all, &i| all | bit(i)),
                tool: if leans_on_it { Tool::Body } else { tool },
                pair,
                one_arm: one_arm && single && m.sided == Sided::Bilateral,
            }
        })
        .collect()
}
