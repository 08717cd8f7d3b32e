//! The kit as a form: from what is stored to what is typed, and back.

use super::weights::{self, MOST, Typed, Weights};
use crate::store::people::Units;
use crate::training::member::KitItem;
use crate::web::forms::Errors;
use serde::Deserialize;

/// Things that are simply there or not, with the words for them.
pub const THINGS: &[(&str, &str)] = &[
    ("stick", "Broomstick, pipe or wooden rod"),
    ("chair", "Sturdy chair"),
    ("box", "Solid box, block or step to jump on"),
    ("bench", "Bench to lie on"),
    ("table", "Sturdy table"),
    ("doorway_bar", "Pull-up bar in a doorway"),
    ("pullup_bar", "Pull-up bar that is fixed"),
    ("rings", "Rings or straps"),
    ("handles", "Push-up handles"),
    ("parallel_bars", "Parallel bars"),
    ("rope", "Skipping rope"),
    ("towel", "Towel"),
    ("sliders", "Sliders, or socks on a smooth floor"),
    ("stairs", "Stairs"),
    ("run_space", "Somewhere to run"),
    ("rower", "Rowing machine"),
    ("bike", "Exercise bike"),
    ("ski_machine", "Ski machine"),
    ("treadmill", "Treadmill"),
    ("foot_anchor", "Something fixed that holds the feet"),
];

/// Band strengths, with the words for them.
pub const BANDS: &[(&str, &str)] = &[("light", "A light band"), ("medium", "A medium band"), ("heavy", "A heavy band")];

/// What is typed and ticked.
#[derive(Clone, Debug, Default, Deserialize, PartialEq)]
#[serde(default)]
pub struct KitForm {
    /// one of each
    pub dumbbells: String,
    /// two of each
    pub dumbbell_pairs: String,
    /// only lightest and heaviest were typed
    pub adjustable: Option<String>,
    /// one of each
    pub kettlebells: String,
    /// two of each
    pub kettlebell_pairs: String,
    /// there is a bar
    pub bar: Option<String>,
    /// its own weight
    pub bar_weight: String,
    /// one entry a pair
    pub plates: String,
    /// a rack for it
    pub rack: Option<String>,
    /// there is a bag
    pub backpack: Option<String>,
    /// filled at most
    pub backpack_weight: String,
    /// medicine balls
    pub balls: String,
    /// strengths
    pub band: Vec<String>,
    /// a checked anchor
    pub anchor: Option<String>,
    /// things from [`THINGS`]
    pub has: Vec<String>,
    /// keys of [`super::HOME`]
    pub home: Vec<String>,
    /// anything else, with commas
    pub other: String,
    /// which of two written loads is theirs, `1` or `2`; asked when joining
    pub column: String,
    /// what they say of their training; empty: not said
    pub level: String,
}

fn item(word: &str) -> KitItem {
    KitItem { item: word.to_owned(), ..KitItem::default() }
}

fn weighed(word: &str, weights: Weights, count: Option<u32>) -> KitItem {
    KitItem { kg: weights.kg, lb: weights.lb, count, ..item(word) }
}

/// Reads fields of weights; what is wrong in one is said beside it.
struct Fields<'e> {
    units: Units,
    errors: &'e mut Errors,
}

impl Fields<'_> {
    fn sound<T: Default>(&mut self, field: &str, read: Result<T, String>) -> T {
        read.map_err(|why| self.errors.add(field, why)).unwrap_or_default()
    }

    fn read(&mut self, field: &str, text: &str) -> Vec<Typed> {
        self.sound(field, weights::read(text, self.units))
    }

    /// However many there are of each.
    fn each(&mut self, field: &str, text: &str) -> Weights {
        self.read(field, text).iter().collect()
    }

    fn plates(&mut self, field: &str, text: &str) -> Weights {
        let typed = self.read(field, text);
        self.sound(field, weights::pairs_of_plates(&typed))
    }
}

impl KitForm {
    /// What is stored, as it would be typed.
    #[must_use]
    pub fn of(kit: &[KitItem], units: Units) -> Self {
        let mut form = Self::default();
        let mut other = Vec::new();
        for k in kit {
            let weights = Weights { kg: k.kg.clone(), lb: k.lb.clone() }.words(units);
            let pair = k.count.unwrap_or(1) >= 2;
            let slot = match k.item.as_str() {
                "dumbbell" if pair => &mut form.dumbbell_pairs,
                "dumbbell" => &mut form.dumbbells,
                "kettlebell" if pair => &mut form.kettlebell_pairs,
                "kettlebell" => &mut form.kettlebells,
                "barbell" => {
                    form.bar = Some("on".to_owned());
                    form.rack = k.rack.filter(|r| *r).map(|_| "on".to_owned());
                    let plates = Weights { kg: k.plates_kg_pairs.clone(), lb: k.plates_lb_pairs.clone() };
                    form.plates = plates.words(units);
                    &mut form.bar_weight
                }
                "backpack" => {
                    form.backpack = Some("on".to_owned());
                    &mut form.backpack_weight
                }
                "med_ball" => &mut form.balls,
                "band" => {
                    form.band.push(k.tension.clone().unwrap_or_else(|| "medium".to_owned()));
                    if k.anchor == Some(true) {
                        form.anchor = Some("on".to_owned());
                    }
                    continue;
                }
                thing if THINGS.iter().any(|(key, _)| *key == thing) => {
                    form.has.push(thing.to_owned());
                    continue;
                }
                thing => {
                    other.push(thing.to_owned());
                    continue;
                }
            };
            if k.adjustable == Some(true) {
                form.adjustable = Some("on".to_owned());
            }
            if !slot.is_empty() && !weights.is_empty() {
                slot.push_str(", ");
            }
            slot.push_str(&weights);
        }
        form.other = other.join(", ");
        form
    }

    /// A thing of [`THINGS`] is ticked.
    #[must_use]
    pub fn has(&self, key: &str) -> bool {
        self.has.iter().any(|k| k == key)
    }

    /// A band of this strength is ticked.
    #[must_use]
    pub fn band(&self, key: &str) -> bool {
        self.band.iter().any(|k| k == key)
    }

    /// A demand of the home is ticked.
    #[must_use]
    pub fn home(&self, key: &str) -> bool {
        self.home.iter().any(|k| k == key)
    }

    /// Dumbbells and kettlebells, those that are there once before the pairs.
    fn hands(&self, typed: &mut Fields<'_>) -> Vec<KitItem> {
        let adjustable = self.adjustable.is_some().then_some(true);
        let mut kit = Vec::new();
        for (word, adjustable, one, ones, two, twos) in [
            ("dumbbell", adjustable, "dumbbells", &self.dumbbells, "dumbbell_pairs", &self.dumbbell_pairs),
            ("kettlebell", None, "kettlebells", &self.kettlebells, "kettlebell_pairs", &self.kettlebell_pairs),
        ] {
            let (singles, pairs) = weights::singles_and_pairs(&typed.read(one, ones), 1);
            let (more_singles, more_pairs) = weights::singles_and_pairs(&typed.read(two, twos), 2);
            let there = [(singles.and(more_singles), 1), (more_pairs.and(pairs), 2)];
            let there = there.into_iter().filter(|(list, _)| !list.is_empty());
            kit.extend(there.map(|(list, count)| KitItem { adjustable, ..weighed(word, list, Some(count)) }));
        }
        kit
    }

    /// The kit as stored. `old` is kept where the form cannot show all of an item.
    pub fn kit(&self, units: Units, old: &[KitItem], errors: &mut Errors) -> Vec<KitItem> {
        let mut typed = Fields { units, errors };
        let mut kit = self.hands(&mut typed);
        let (bar, plates) = (typed.each("bar_weight", &self.bar_weight), typed.plates("plates", &self.plates));
        let (bag, balls) = (typed.each("backpack_weight", &self.backpack_weight), typed.each("balls", &self.balls));
        if self.bar.is_some() || !bar.is_empty() || !plates.is_empty() {
            let rack = self.rack.is_some().then_some(true);
            kit.push(KitItem { plates_kg_pairs: plates.kg, plates_lb_pairs: plates.lb, rack, ..weighed("barbell", bar, None) });
        }
        if self.backpack.is_some() || !bag.is_empty() {
            kit.push(weighed("backpack", bag, None));
        }
        if !balls.is_empty() {
            kit.push(weighed("med_ball", balls, None));
        }
        for (tension, _) in BANDS.iter().filter(|(key, _)| self.band(key)) {
            let anchor = self.anchor.is_some().then_some(true);
            kit.push(KitItem { tension: Some((*tension).to_owned()), anchor, ..item("band") });
        }
        kit.extend(THINGS.iter().filter(|(key, _)| self.has(key)).map(|(key, _)| item(key)));
        let others = self.other.split([',', ';', '\n']).map(str::trim).filter(|o| !o.is_empty()).take(MOST);
        kit.extend(others.map(|o| old.iter().find(|k| k.item == o).cloned().unwrap_or_else(|| item(o))));
        kit
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_kit_comes_back_as_it_was() {
        let kit: Vec<KitItem> = serde_json::from_str(
            r#"[{"item":"dumbbell","kg":[10,15],"count":1},{"item":"dumbbell","lb":[25],"count":2},
                {"item":"barbell","kg":[15],"plates_kg_pairs":[20,10,2.5],"rack":true},{"item":"backpack"},
                {"item":"band","tension":"medium","anchor":true},{"item":"stick"},{"item":"chair"},
                {"item":"sandbag","kg":[20]}]"#,
        )
        .unwrap();
        for units in [Units::Kg, Units::Lb] {
            let mut errors = Errors::default();
            assert_eq!(KitForm::of(&kit, units).kit(units, &kit, &mut errors), kit);
            assert!(errors.is_empty());
        }
    }
}
