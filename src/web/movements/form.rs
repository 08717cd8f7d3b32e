//! What the coach types about a movement, and how it is read.

use crate::training::movement::{Demand, Implement, Library, Movement, Pattern, Sided, StandIn, Unit};
use crate::web::forms::Errors;
use serde::Deserialize;

/// Every field as typed. Lists are one entry a line.
#[derive(Clone, Deserialize, Default)]
pub struct MovementForm {
    #[serde(default)]
    pub(super) name: String,
    #[serde(default)]
    pub(super) aliases: String,
    #[serde(default)]
    pub(super) pattern: String,
    #[serde(default)]
    pub(super) equipment: String,
    #[serde(default)]
    pub(super) demands: Vec<String>,
    #[serde(default)]
    pub(super) skill: String,
    #[serde(default)]
    pub(super) sided: String,
    pub(super) loadable: Option<String>,
    #[serde(default)]
    pub(super) unit: String,
    #[serde(default)]
    pub(super) seconds_per_rep: String,
    #[serde(default)]
    pub(super) easier: String,
    #[serde(default)]
    pub(super) harder: String,
    #[serde(default)]
    pub(super) stand_in: String,
    #[serde(default)]
    pub(super) stand_in_words: String,
    #[serde(default)]
    pub(super) cues: String,
    #[serde(default)]
    pub(super) faults: String,
    #[serde(default)]
    pub(super) caution: String,
}

impl MovementForm {
    /// An empty form, set to what is most common.
    pub(super) fn empty() -> Self {
        Self {
            pattern: Pattern::Squat.key().to_owned(),
            equipment: Implement::None.label().to_owned(),
            skill: "1".to_owned(),
            sided: Sided::Bilateral.key().to_owned(),
            unit: Unit::Reps.key().to_owned(),
            seconds_per_rep: "2".to_owned(),
            stand_in: StandIn::BodyOnly.key().to_owned(),
            ..Self::default()
        }
    }

    /// The form of a movement that is there.
    pub(super) fn of(m: &Movement) -> Self {
        let sets = m.equipment.iter().map(|set| set.iter().map(|i| i.label()).collect::<Vec<_>>().join(" + "));
        Self {
            name: m.name.clone(),
            aliases: m.aliases.join("\n"),
            pattern: m.pattern.key().to_owned(),
            equipment: sets.collect::<Vec<_>>().join("\n"),
            demands: m.demands.iter().map(|d| d.key().to_owned()).collect(),
            skill: m.skill.to_string(),
            sided: m.sided.key().to_owned(),
            loadable: m.loadable.then(|| "on".to_owned()),
            unit: m.unit.key().to_owned(),
            seconds_per_rep: m.seconds_per_rep.map(|s| s.to_string()).unwrap_or_default(),
            easier: m.easier.join("\n"),
            harder: m.harder.join("\n"),
            stand_in: m.stand_in.key().to_owned(),
            stand_in_words: m.stand_in_words.clone(),
            cues: m.cues.join("\n"),
            faults: m.faults.join("\n"),
            caution: m.caution.clone().unwrap_or_default(),
        }
    }

    /// Reads every field; `was` is the name of the movement that is changed. None where something is wrong.
    pub(super) fn read(&self, library: &Library, was: Option<&str>, errors: &mut Errors) -> Option<Movement> {
        let name = self.name.trim().to_lowercase();
        errors.check((1..=80).contains(&name.chars().count()), "name", "Give it a name of at most 80 letters.");
        errors.check(name != "new", "name", "“new” alone is no name for a movement.");
        taken(library, was, &name, "name", errors);
        let mut aliases = lines(&self.aliases);
        aliases.retain(|a| a.to_lowercase() != name);
        aliases.sort();
        aliases.dedup_by_key(|a| a.to_lowercase());
        for alias in &aliases {
            taken(library, was, alias, "aliases", errors);
        }
        if let Some(was) = was
            && was != name
            && !aliases.iter().any(|a| a == was)
        {
            // what was written with the old name is still read
            aliases.push(was.to_owned());
        }
        let pattern = word(Pattern::from_key(&self.pattern), "pattern", errors);
        let sided = word(Sided::from_key(&self.sided), "sided", errors);
        let unit = word(Unit::from_key(&self.unit), "unit", errors);
        let stand_in = word(StandIn::from_key(&self.stand_in), "stand_in", errors);
        let skill = self.skill.trim().parse().ok().filter(|s| (1..=5).contains(s));
        errors.check(skill.is_some(), "skill", "Choose 1 to 5.");
        let equipment = self.sets(errors);
        let demands = self.demands.iter().filter_map(|d| Demand::from_key(d)).collect();
        let seconds_per_rep = self.seconds(errors);
        let easier = neighbours(library, was, &name, &self.easier, "easier", errors);
        let harder = neighbours(library, was, &name, &self.harder, "harder", errors);
        if let Some(both) = easier.iter().find(|e| harder.contains(e)) {
            errors.add("harder", format!("{both} cannot be both easier and harder."));
        }
        let cues = lines(&self.cues);
        errors.check(!cues.is_empty(), "cues", "Write at least one cue: it is what a member reads first.");
        let caution = Some(self.caution.trim().to_owned()).filter(|c| !c.is_empty());
        if !errors.is_empty() {
            return None;
        }
        Some(Movement {
            name,
            aliases,
            pattern: pattern?,
            equipment,
            demands,
            skill: skill?,
            sided: sided?,
            loadable: self.loadable.is_some(),
            unit: unit?,
            seconds_per_rep,
            easier,
            harder,
            stand_in: stand_in?,
            stand_in_words: self.stand_in_words.trim().to_owned(),
            cues,
            faults: lines(&self.faults),
            caution,
        })
    }

    /// One set a line, implements joined by `+`.
    fn sets(&self, errors: &mut Errors) -> Vec<Vec<Implement>> {
        let mut sets = Vec::new();
        for line in lines(&self.equipment) {
            let mut set = Vec::new();
            for piece in line.split(['+', ',']).map(str::trim).filter(|p| !p.is_empty()) {
                match implement(piece) {
                    Some(i) => set.push(i),
                    None => errors.add("equipment", unknown_implement(piece)),
                }
            }
            sets.push(set);
        }
        errors.check(!sets.is_empty(), "equipment", "Write what it is done with, or “nothing”.");
        sets
    }

    fn seconds(&self, errors: &mut Errors) -> Option<f64> {
        let typed = self.seconds_per_rep.trim().replace(',', ".");
        if typed.is_empty() {
            return None;
        }
        let seconds = typed.parse().ok().filter(|s: &f64| s.is_finite() && (0.1..=600.0).contains(s));
        errors.check(seconds.is_some(), "seconds_per_rep", "A number of seconds from 0.1 to 600, such as 2.5; or nothing.");
        seconds
    }
}

fn lines(text: &str) -> Vec<String> {
    text.lines().map(str::trim).filter(|l| !l.is_empty()).map(str::to_owned).collect()
}

fn word<T>(read: Option<T>, field: &str, errors: &mut Errors) -> Option<T> {
    errors.check(read.is_some(), field, "Choose one of the list.");
    read
}

fn implement(typed: &str) -> Option<Implement> {
    let typed = typed.to_lowercase();
    Implement::ALL.iter().copied().find(|i| i.label() == typed || i.key() == typed || format!("{}s", i.label()) == typed)
}

fn unknown_implement(typed: &str) -> String {
    let nearest = nearest(typed, Implement::ALL.iter().map(|i| i.label()));
    format!("“{typed}” is nothing Dowel knows. The nearest is “{nearest}”; the whole list stands below.")
}

fn nearest<'a>(typed: &str, names: impl Iterator<Item = &'a str>) -> &'a str {
    let typed = typed.to_lowercase();
    names.max_by(|a, b| strsim::jaro_winkler(&typed, a).total_cmp(&strsim::jaro_winkler(&typed, b))).unwrap_or_default()
}

fn taken(library: &Library, was: Option<&str>, name: &str, field: &str, errors: &mut Errors) {
    if let Some(other) = library.find(name).filter(|m| Some(m.name.as_str()) != was) {
        errors.add(field, format!("“{name}” is a name of {} already.", other.name));
    }
}

/// Names of other movements, as the library spells them.
fn neighbours(library: &Library, was: Option<&str>, own: &str, typed: &str, field: &str, errors: &mut Errors) -> Vec<String> {
    let mut names = Vec::new();
    for line in lines(typed) {
        match library.find(&line) {
            _ if line.to_lowercase() == own => errors.add(field, format!("It cannot be {field} than itself.")),
            Some(m) if Some(m.name.as_str()) == was => errors.add(field, format!("It cannot be {field} than itself.")),
            Some(m) if names.contains(&m.name) => {}
            Some(m) => names.push(m.name.clone()),
            None => {
                let nearest = nearest(&line, library.all().iter().map(|m| m.name.as_str()));
                errors.add(field, format!("“{line}” is no movement of the library. The nearest name is “{nearest}”."));
            }
        }
    }
    names
}
