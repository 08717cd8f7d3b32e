//! A member's kit as tailoring uses it: which implements are at hand, and in which loads.

use crate::training::load::{LoadedBar, Mass, MassUnit};
use crate::training::member::{KitItem, Profile};
use crate::training::movement::Implement;

/// A set of implements, one bit each.
pub(crate) type Tools = u64;

/// The bit of one implement.
pub(crate) fn bit(i: Implement) -> Tools {
    1 << (i as u8)
}

/// What a member has.
#[derive(Clone, Debug, Default)]
pub(crate) struct Kit {
    /// implements at hand; the wall and the body are always there
    pub tools: Tools,
    /// single dumbbells, lightest first
    pub dumbbells: Vec<Mass>,
    /// loads that come twice
    pub dumbbell_pairs: Vec<Mass>,
    /// single kettlebells, lightest first
    pub kettlebells: Vec<Mass>,
    /// loads that come twice
    pub kettlebell_pairs: Vec<Mass>,
    /// what a bag can be filled to, in steps of a kilogram
    pub backpack: Vec<Mass>,
    /// balls
    pub balls: Vec<Mass>,
    /// loose plates
    pub plates: Vec<Mass>,
    /// bar and plates
    pub bar: Option<(LoadedBar, MassUnit)>,
    /// band strengths as typed
    pub bands: Vec<String>,
    /// something fixed to hold the feet
    pub foot_hold: bool,
    /// a box, block or bench that can be jumped on
    pub solid_base: bool,
    /// the only bar to hang from sits in a doorway: still, straight pulling only
    pub doorway_only: bool,
}

/// The item's loads in the unit they are marked in.
fn masses(item: &KitItem) -> Vec<Mass> {
    let sound = |n: &&f64| n.is_finite() && **n > 0.0;
    let kg = item.kg.iter().filter(sound).map(|&n| Mass::kg(n));
    let mut all: Vec<Mass> = kg.chain(item.lb.iter().filter(sound).map(|&n| Mass::lb(n))).collect();
    if item.adjustable == Some(true) && all.len() <= 2 {
        all = steps(&all);
    }
    all
}

/// The settings of an adjustable dumbbell known only by its ends: every 2.5 kg or 5 lb (*common practice*).
fn steps(ends: &[Mass]) -> Vec<Mass> {
    let Some(top) = ends.iter().copied().max_by(|a, b| a.in_kg().total_cmp(&b.in_kg())) else { return Vec::new() };
    let step = if top.unit == MassUnit::Kg { 2.5 } else { 5.0 };
    let first = if ends.len() == 2 { ends.iter().map(|m| m.value).fold(f64::INFINITY, f64::min) } else { step };
    let mut all: Vec<Mass> = ends.to_vec();
    let mut at = first;
    while at < top.value && all.len() < 64 {
        all.push(Mass { value: at, unit: top.unit });
        at += step;
    }
    all
}

fn tidy_list(list: &mut Vec<Mass>) {
    list.sort_by(|a, b| a.in_kg().total_cmp(&b.in_kg()));
    list.dedup();
}

/// Lower case, one kind of gap, no plural `s`.
fn plain_word(item: &str) -> String {
    let word = item.trim().to_lowercase().replace([' ', '-'], "_");
    word.strip_suffix('s').filter(|w| w.len() > 2 && !w.ends_with('s')).map(str::to_owned).unwrap_or(word)
}

impl Kit {
    /// Reads the kit of a profile. What is not known counts as nothing.
    pub fn of(profile: &Profile) -> Self {
        let mut kit = Self { tools: bit(Implement::None) | bit(Implement::Wall), ..Self::default() };
        let mut fixed_bar = false;
        // bars first, so that loose plates find them
        let mut items: Vec<&KitItem> = profile.kit.iter().collect();
        items.sort_by_key(|i| !i.item.to_lowercase().contains("bar"));
        for item in items {
            let word = plain_word(&item.item);
            fixed_bar |= matches!(word.as_str(), "pullup_bar" | "pull_up_bar" | "rig");
            kit.add(&word, item);
        }
        kit.doorway_only &= !fixed_bar;
        for list in [
            &mut kit.dumbbells,
            &mut kit.dumbbell_pairs,
            &mut kit.kettlebells,
            &mut kit.kettlebell_pairs,
            &mut kit.backpack,
            &mut kit.balls,
            &mut kit.plates,
        ] {
            tidy_list(list);
        }
        kit
    }

    /// A weight of exactly this is at home, as this implement; a bar is loaded to it.
    pub fn has_weight(&self, implement: Implement, mass: Mass) -> bool {
        use Implement as I;
        let near = |list: &[Mass]| list.iter().any(|m| (m.in_kg() - mass.in_kg()).abs() < 0.02);
        match implement {
            I::Dumbbell => near(&self.dumbbells),
            I::Dumbbells => near(&self.dumbbell_pairs),
            I::Kettlebell => near(&self.kettlebells),
            I::Kettlebells => near(&self.kettlebell_pairs),
            I::Backpack => near(&self.backpack),
            I::MedBall => near(&self.balls),
            I::Plate => near(&self.plates),
            I::Barbell => self.bar.as_ref().is_some_and(|(bar, unit)| {
                let there = if *unit == MassUnit::Kg { mass.in_kg() } else { mass.in_lb() };
                bar.at_most(there * 1.0001).is_some_and(|b| (b.total - there).abs() < 0.02)
            }),
            _ => false,
        }
    }

    /// The bar at home with nothing on it.
    pub fn own_bar(&self) -> Option<Mass> {
        self.bar.as_ref().map(|(bar, unit)| Mass { value: bar.bar, unit: *unit })
    }

    fn have(&mut self, tools: &[Implement]) {
        for &t in tools {
            self.tools |= bit(t);
        }
    }

    fn add(&mut self, word: &str, item: &KitItem) {
        use Implement as I;
        match word {
            "dumbbell" | "db" | "adjustable_dumbbell" | "hand_weight" => self.add_dumbbells(item),
            "kettlebell" | "kb" => self.add_kettlebells(item),
            "barbell" | "bar" => self.add_bar(item),
            "backpack" | "rucksack" | "bag" | "sandbag" => {
                self.have(&[I::Backpack]);
                self.backpack.extend(masses(item).iter().flat_map(|&m| fillings(m)));
            }
            "med_ball" | "medicine_ball" | "wall_ball" => {
                self.have(&[I::MedBall]);
                self.balls.extend(masses(item));
            }
            "plate" => {
                self.have(&[I::Plate]);
                self.plates.extend(masses(item));
                self.add_plates(item);
            }
            "band" | "resistance_band" => {
                self.have(&[I::Band]);
                self.bands.push(item.tension.clone().unwrap_or_else(|| "medium".to_owned()));
                if item.anchor == Some(true) {
                    self.have(&[I::Anchor]);
                }
            }
            "foot_anchor" | "foot_hold" => {
                self.have(&[I::Anchor]);
                self.foot_hold = true;
            }
            "anchor" | "door_anchor" => self.have(&[I::Anchor]),
            "stick" | "broomstick" | "pipe" | "dowel" | "broom" => self.have(&[I::Stick]),
            "doorway_bar" | "door_bar" | "doorway_pullup_bar" => {
                self.have(&[I::PullupBar]);
                self.doorway_only = true;
            }
            "pullup_bar" | "pull_up_bar" | "rig" => self.have(&[I::PullupBar]),
            "ring" | "gymnastic_ring" | "suspension_trainer" => self.have(&[I::Rings]),
            "parallel_bar" | "dip_bar" | "parallette" => self.have(&[I::ParallelBars, I::Handles]),
            "handle" | "push_up_handle" => self.have(&[I::Handles]),
            "bench" => {
                self.have(&[I::Bench, I::RaisedSurface]);
                self.solid_base = true;
            }
            "box" | "step" | "block" | "jump_box" | "plyo_box" => {
                self.have(&[I::RaisedSurface]);
                self.solid_base = true;
            }
            "chair" | "sofa" | "couch" | "stool" | "raised_surface" | "bed" | "counter" => {
                self.have(&[I::RaisedSurface]);
            }
            "stair" => self.have(&[I::Stairs, I::RaisedSurface]),
            "table" => self.have(&[I::Table]),
            "rack" | "squat_rack" => self.have(&[I::Rack]),
            "towel" => self.have(&[I::Towel]),
            "slider" => self.have(&[I::Sliders]),
            "rope" | "skipping_rope" | "jump_rope" => self.have(&[I::Rope]),
            "run_space" | "running_space" | "outdoor" | "street" | "park" | "run" => self.have(&[I::RunSpace]),
            "treadmill" => self.have(&[I::Treadmill]),
            "rower" | "rowing_machine" => self.have(&[I::Rower]),
            "bike" | "air_bike" | "exercise_bike" | "stationary_bike" => self.have(&[I::Bike]),
            "ski_machine" | "ski_erg" => self.have(&[I::SkiMachine]),
            _ => {}
        }
    }

    fn add_dumbbells(&mut self, item: &KitItem) {
        self.have(&[Implement::Dumbbell]);
        let all = masses(item);
        if count(item) >= 2 {
            self.have(&[Implement::Dumbbells]);
            self.dumbbell_pairs.extend(&all);
        } else if all.iter().any(|m| self.dumbbells.contains(m)) {
            self.have(&[Implement::Dumbbells]);
            self.dumbbell_pairs.extend(all.iter().filter(|m| self.dumbbells.contains(m)));
        }
        self.dumbbells.extend(all);
    }

    fn add_kettlebells(&mut self, item: &KitItem) {
        self.have(&[Implement::Kettlebell]);
        let all = masses(item);
        if count(item) >= 2 {
            self.have(&[Implement::Kettlebells]);
            self.kettlebell_pairs.extend(&all);
        } else if all.iter().any(|m| self.kettlebells.contains(m)) {
            self.have(&[Implement::Kettlebells]);
            self.kettlebell_pairs.extend(all.iter().filter(|m| self.kettlebells.contains(m)));
        }
        self.kettlebells.extend(all);
    }

    /// A bar whose weight is not told is taken as the usual 20 kg, or 45 lb with pound plates.
    fn add_bar(&mut self, item: &KitItem) {
        self.have(&[Implement::Barbell]);
        if item.rack == Some(true) {
            self.have(&[Implement::Rack]);
        }
        let pounds = !item.lb.is_empty() || (item.kg.is_empty() && !item.plates_lb_pairs.is_empty());
        let (unit, own, pairs, usual) = if pounds {
            (MassUnit::Lb, &item.lb, &item.plates_lb_pairs, 45.0)
        } else {
            (MassUnit::Kg, &item.kg, &item.plates_kg_pairs, 20.0)
        };
        let bar = own.iter().copied().find(|n| n.is_finite() && *n > 0.0).unwrap_or(usual);
        self.bar = Some((LoadedBar { bar, collar: 0.0, pairs: pairs.clone() }, unit));
        self.add_plates(item);
    }

    fn add_plates(&mut self, item: &KitItem) {
        let kg = item.plates_kg_pairs.iter().map(|&n| Mass::kg(n));
        let loose: Vec<Mass> = kg.chain(item.plates_lb_pairs.iter().map(|&n| Mass::lb(n))).collect();
        if !loose.is_empty() {
            self.have(&[Implement::Plate]);
        }
        if item.item.to_lowercase().contains("plate")
            && let Some((bar, unit)) = &mut self.bar
        {
            bar.pairs.extend(if *unit == MassUnit::Kg { &item.plates_kg_pairs } else { &item.plates_lb_pairs });
        }
        self.plates.extend(loose);
    }
}

/// A plural name without a count is a pair.
fn count(item: &KitItem) -> u32 {
    let plural = item.item.trim().ends_with('s');
    item.count.unwrap_or(if plural { 2 } else { 1 })
}

/// A bag can be packed lighter than it holds, by the kilogram.
fn fillings(full: Mass) -> Vec<Mass> {
    let mut all = vec![full];
    let mut n = 2.0;
    while n < full.value && all.len() < 64 {
        all.push(Mass { value: n, unit: full.unit });
        n += 1.0;
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kit(json: &str) -> Kit {
        Kit::of(&serde_json::from_str(&format!(r#"{{"kit":[{json}]}}"#)).unwrap())
    }

    #[test]
    fn two_equal_dumbbells_listed_one_by_one_are_a_pair() {
        let kit = kit(r#"{"item":"dumbbell","kg":[10]},{"item":"dumbbell","kg":[10]}"#);
        assert_eq!(kit.dumbbell_pairs, [Mass::kg(10.0)]);
    }

    #[test]
    fn two_different_dumbbells_are_not_a_pair() {
        let kit = kit(r#"{"item":"dumbbell","kg":[10]},{"item":"dumbbell","kg":[15]}"#);
        assert!(kit.dumbbell_pairs.is_empty());
    }

    #[test]
    fn an_unknown_item_is_nothing() {
        assert_eq!(kit(r#"{"item":"trampoline"}"#).tools, kit("").tools);
    }

    #[test]
    fn every_kind_that_a_form_offers_is_known() {
        for kind in crate::training::member::KIT_KINDS {
            assert_ne!(kit(&format!(r#"{{"item":"{}"}}"#, kind.item)).tools, kit("").tools, "{}", kind.item);
        }
    }

    #[test]
    fn a_fixed_bar_beside_a_doorway_bar_may_be_swung_on() {
        assert!(!kit(r#"{"item":"doorway_bar"},{"item":"pullup_bar"}"#).doorway_only);
    }
}
