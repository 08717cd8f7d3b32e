//! The kit as a form: from what is stored to what is typed, and back.

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

/// Most anybody can type for one weight, in either unit.
const HEAVIEST: f64 = 500.0;
/// Most entries in one field.
const MOST: usize = 40;

/// Weights in the two units they may be marked in.
#[derive(Clone, Debug, Default, PartialEq)]
struct Weights {
    kg: Vec<f64>,
    lb: Vec<f64>,
}

impl Weights {
    fn is_empty(&self) -> bool {
        self.kg.is_empty() && self.lb.is_empty()
    }

    /// As it is typed: the reader's own unit without a word.
    fn words(&self, units: Units) -> String {
        let list = |list: &[f64], unit: Units, word: &str| {
            let suffix = if unit == units { String::new() } else { format!(" {word}") };
            list.iter().map(|n| format!("{n}{suffix}")).collect::<Vec<_>>()
        };
        [list(&self.kg, Units::Kg, "kg"), list(&self.lb, Units::Lb, "lb")].concat().join(", ")
    }
}

/// Reads `10, 15, 22.5`, `16 and 24 kg`, `25 lb; 35 lb`; a weight without a unit is in the reader's own.
fn read_weights(text: &str, units: Units) -> Result<Weights, String> {
    let mut weights = Weights::default();
    let spaced = text.to_lowercase().replace(" and ", " , ");
    let mut last: Option<Units> = None;
    let entries = spaced.split([';', '/', '\n']).flat_map(str::split_whitespace).map(numbers).collect::<Result<Vec<_>, _>>()?;
    let words = entries.concat();
    for word in words.iter().rev() {
        let (number, unit) = split_unit(word);
        if number.is_empty() {
            last = unit;
            continue;
        }
        let n: f64 =
            number.parse().map_err(|_| format!("{word} is no weight. Type numbers with commas between: 10, 15, 22.5."))?;
        if !(n > 0.0 && n <= HEAVIEST) {
            return Err(format!("{word} is no weight that anybody has at home."));
        }
        // a unit behind the last of several goes for all of them: `16, 24 kg`
        last = unit.or(last);
        match last.unwrap_or(units) {
            Units::Kg => weights.kg.push(n),
            Units::Lb => weights.lb.push(n),
        }
    }
    if words.len() > MOST {
        return Err(format!("At most {MOST} weights in one field."));
    }
    weights.kg.reverse();
    weights.lb.reverse();
    Ok(weights)
}

/// The numbers in what stands without a gap. One comma between digits is a decimal point, as many countries write it:
/// `22,5`, `1,25`; several divide a list: `10,15,20`. What could be either is asked about rather than guessed.
fn numbers(typed: &str) -> Result<Vec<String>, String> {
    let pieces: Vec<&str> = typed.split(',').filter(|p| !p.is_empty()).collect();
    let digits = |p: &str| p.len() - p.trim_start_matches(|c: char| c.is_ascii_digit()).len();
    let between = pieces.windows(2).all(|w| w[0].ends_with(|c: char| c.is_ascii_digit()) && digits(w[1]) > 0);
    if pieces.len() < 2 || !between {
        return Ok(pieces.into_iter().map(str::to_owned).collect());
    }
    let plain = pieces.iter().all(|p| !p.contains('.'));
    let (first, second) = (pieces[0], pieces[1]);
    let quarter = matches!(&second[..digits(second)], "00" | "25" | "50" | "75");
    let ask = || {
        let (point, list) = (typed.replacen(',', ".", 1), pieces.join(", "));
        Err(format!("{typed} can be read in two ways. Type {point}, or with spaces: {list}."))
    };
    match pieces.len() {
        2 if plain && digits(second) == 1 => Ok(vec![format!("{first}.{second}")]),
        2 if plain && quarter && matches!(first, "0" | "1" | "2") => Ok(vec![format!("{first}.{second}")]),
        2 if plain && quarter => ask(),
        // `12,5,15`: one of them may be a decimal
        n if n > 2 && plain && pieces[1..].iter().any(|p| digits(p) == 1) => {
            Err(format!("{typed} can be read in two ways. Put a space after each comma that divides two weights."))
        }
        _ => Ok(pieces.into_iter().map(str::to_owned).collect()),
    }
}

fn split_unit(word: &str) -> (&str, Option<Units>) {
    let at = word.find(|c: char| c.is_alphabetic()).unwrap_or(word.len());
    let unit = match &word[at..] {
        "kg" | "kgs" | "kilo" | "kilos" => Some(Units::Kg),
        "lb" | "lbs" | "pound" | "pounds" => Some(Units::Lb),
        _ => None,
    };
    // an unknown word stays with its number, so that the error can show it
    if unit.is_some() { (&word[..at], unit) } else { (word, None) }
}

fn item(word: &str) -> KitItem {
    KitItem { item: word.to_owned(), ..KitItem::default() }
}

fn weighed(word: &str, weights: Weights, count: Option<u32>) -> KitItem {
    KitItem { kg: weights.kg, lb: weights.lb, count, ..item(word) }
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

    /// The kit as stored. `old` is kept where the form cannot show all of an item.
    pub fn kit(&self, units: Units, old: &[KitItem], errors: &mut Errors) -> Vec<KitItem> {
        let mut weights = |field: &str, text: &str| {
            read_weights(text, units).unwrap_or_else(|why| {
                errors.add(field, why);
                Weights::default()
            })
        };
        let hand = [
            ("dumbbell", weights("dumbbells", &self.dumbbells), 1),
            ("dumbbell", weights("dumbbell_pairs", &self.dumbbell_pairs), 2),
            ("kettlebell", weights("kettlebells", &self.kettlebells), 1),
            ("kettlebell", weights("kettlebell_pairs", &self.kettlebell_pairs), 2),
        ];
        let (bar, plates) = (weights("bar_weight", &self.bar_weight), weights("plates", &self.plates));
        let (bag, balls) = (weights("backpack_weight", &self.backpack_weight), weights("balls", &self.balls));
        let mut kit = Vec::new();
        for (word, list, count) in hand.into_iter().filter(|(_, list, _)| !list.is_empty()) {
            let adjustable = (word == "dumbbell" && self.adjustable.is_some()).then_some(true);
            kit.push(KitItem { adjustable, ..weighed(word, list, Some(count)) });
        }
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

    fn typed(text: &str) -> Weights {
        read_weights(text, Units::Kg).unwrap()
    }

    #[test]
    fn weights_are_read_as_people_type_them() {
        for text in ["10, 15, 22.5", "10 15 22.5", "10;15;22.5 kg", "10 kg, 15 kg and 22.5 kg", "10/15/22.5"] {
            assert_eq!(typed(text).kg, [10.0, 15.0, 22.5], "{text}");
        }
        assert_eq!(typed("25, 35 lb").lb, [25.0, 35.0]);
        assert_eq!(typed("10 kg, 25lb"), Weights { kg: vec![10.0], lb: vec![25.0] });
    }

    #[test]
    fn a_comma_between_digits_is_a_decimal_and_what_could_be_two_weights_is_asked_about() {
        for (text, kg) in [
            ("22,5 kg", vec![22.5]),
            ("12,5, 15, 17,5kg", vec![12.5, 15.0, 17.5]),
            ("1,25", vec![1.25]),
            ("16,24", vec![16.0, 24.0]),
            ("8,12 kg", vec![8.0, 12.0]),
            ("10,15,20", vec![10.0, 15.0, 20.0]),
            ("10,15,22.5", vec![10.0, 15.0, 22.5]),
            ("10 and 5 kg", vec![10.0, 5.0]),
        ] {
            assert_eq!(typed(text).kg, kg, "{text}");
        }
        for text in ["20,25", "12,5,15", "12,50 kg"] {
            assert!(read_weights(text, Units::Kg).is_err_and(|why| why.contains("two ways")), "{text}");
        }
    }

    #[test]
    fn what_is_no_weight_is_said() {
        for text in ["ten", "-5", "0", "900", "10 stone"] {
            assert!(read_weights(text, Units::Kg).is_err(), "{text}");
        }
    }

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
