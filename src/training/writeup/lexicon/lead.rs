//! An implement or a single limb before a name.

use super::super::super::movement::{Implement, Movement};

/// What stands before a name: which implement, one limb or two.
#[derive(Debug, Default)]
pub(super) struct Lead {
    implement: Option<&'static str>,
    pub(super) single: bool,
    pub(super) words: usize,
}

impl Lead {
    /// A lead can begin with this word.
    pub(super) fn opens(word: &str) -> bool {
        matches!(
            word,
            "dumbbell"
                | "kettlebell"
                | "barbell"
                | "band"
                | "banded"
                | "backpack"
                | "stick"
                | "single"
                | "one"
                | "1"
                | "sa"
                | "double"
                | "bodyweight"
                | "weighted"
                | "pair"
                | "2"
                | "two"
        )
    }

    pub(super) fn read(words: &[String]) -> Self {
        let mut lead = Self::default();
        while let Some(word) = words.get(lead.words) {
            let next = words.get(lead.words + 1).map_or("", String::as_str);
            match word.as_str() {
                "dumbbell" | "kettlebell" | "barbell" | "band" | "banded" | "backpack" | "stick" => {
                    lead.implement = Some(name_of(word))
                }
                "single" | "one" | "1" if next == "arm" || next == "handed" => {
                    lead.single = true;
                    lead.words += 1;
                }
                "single" | "one" | "1" if next == "dumbbell" || next == "kettlebell" => lead.single = true,
                "sa" => lead.single = true,
                "double" | "bodyweight" | "weighted" | "pair" if lead.words == 0 => {}
                // `two burpees` is a number; `two dumbbell squats` may be one thing in each hand
                "2" | "two" if lead.words == 0 && matches!(next, "dumbbell" | "kettlebell" | "arm" | "handed" | "hand") => {}
                "bell" if lead.words > 0 && words[lead.words - 1] == "kettlebell" => {}
                _ => break,
            }
            lead.words += 1;
        }
        lead
    }

    pub(super) fn spellings(&self, base: &str) -> Vec<String> {
        let mut keys = Vec::new();
        let tools = self.implement.into_iter().chain(["", "dumbbell"]);
        for tool in tools {
            if self.single {
                keys.extend([format!("singlearm{tool}{base}"), format!("{tool}singlearm{base}"), format!("onearm{tool}{base}")]);
            } else {
                keys.push(format!("{tool}{base}"));
            }
        }
        if self.single {
            keys.extend([format!("{}{base}", self.implement.unwrap_or("dumbbell")), format!("dumbbell{base}")]);
        }
        keys
    }

    pub(super) fn allowed(&self, m: &Movement) -> bool {
        // nothing in the hands by itself, so anything may be held
        let free = m.loadable
            && m.equipment.iter().any(|set| set.iter().all(|e| matches!(e, Implement::None | Implement::RaisedSurface)));
        let holds = |a, b| m.equipment.iter().any(|set| set.contains(&a) || set.contains(&b));
        match self.implement {
            None => true,
            Some("dumbbell") => free || holds(Implement::Dumbbell, Implement::Dumbbells),
            Some("kettlebell") => {
                free || holds(Implement::Kettlebell, Implement::Kettlebells) || holds(Implement::Dumbbell, Implement::Dumbbells)
            }
            Some("barbell") => free || holds(Implement::Barbell, Implement::Barbell),
            Some("band") => free || holds(Implement::Band, Implement::Band),
            Some("stick") => holds(Implement::Stick, Implement::Barbell) || free,
            Some(_) => free || holds(Implement::Backpack, Implement::Backpack),
        }
    }
}

fn name_of(word: &str) -> &'static str {
    match word {
        "dumbbell" => "dumbbell",
        "kettlebell" => "kettlebell",
        "barbell" => "barbell",
        "band" | "banded" => "band",
        "stick" => "stick",
        _ => "backpack",
    }
}
