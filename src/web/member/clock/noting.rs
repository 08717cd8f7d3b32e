//! What a clock takes down beside its taps, set by set, and what the log is filled in with.

use super::Maker;
use crate::store::people::Units;
use crate::training::clock::Plan;
use crate::training::load::{Mass, MassUnit};
use crate::training::score::Combine;
use crate::training::session::{Line, Part, ScoreKind};
use crate::training::setup::begins_at;
use crate::training::tailor::{TailoredPart, lifted};
use crate::web::member::mass_unit;
use serde::Serialize;

/// Beside the plan.
#[derive(Debug, Default, Serialize)]
pub(super) struct Noting {
    /// what is noted set by set: `kg` or `lb` where loads are scored, `reps` where nobody knows beforehand how many
    #[serde(skip_serializing_if = "Option::is_none")]
    unit: Option<&'static str>,
    /// where a load begins: that of each set, else the bar alone
    #[serde(skip_serializing_if = "Vec::is_empty")]
    from: Vec<f64>,
    /// plain sets as they were given: what to log after one of them, after two, and so on
    #[serde(skip_serializing_if = "Vec::is_empty")]
    sets: Vec<String>,
    /// the coach says how several windows make one score
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    combines: bool,
}

impl Noting {
    /// `part` as the member does it and as it was written.
    pub(super) fn of(maker: &Maker<'_>, plan: &Plan, (part, written): (&Part, &Part), own: Option<&TailoredPart>) -> Self {
        let asked = lifted::asked(written, own, maker.library);
        let units = maker.person.units;
        let unit = match plan.score {
            ScoreKind::Load => Some(if units == Units::Kg { "kg" } else { "lb" }),
            ScoreKind::Reps if several(plan) && part.lines.iter().any(|l| l.max) => Some("reps"),
            _ => None,
        };
        Self {
            unit,
            from: if plan.score == ScoreKind::Load { from(maker, &part.lines, mass_unit(units)) } else { Vec::new() },
            sets: own.filter(|_| asked).map(|own| lifted::set_by_set(written, own, maker.person.load_column)).unwrap_or_default(),
            combines: part.score_rule.as_deref().and_then(Combine::from_words).is_some(),
        }
    }

    /// What is noted, in a word.
    pub(super) fn what(&self) -> Option<&'static str> {
        self.unit.map(|unit| if unit == "reps" { unit } else { "load" })
    }
}

/// It is done more than once.
fn several(plan: &Plan) -> bool {
    plan.steps.iter().any(|step| step.round > 1)
}

/// Of the only line, in the member's unit, to what can be read off a plate.
fn from(maker: &Maker<'_>, lines: &[Line], unit: MassUnit) -> Vec<f64> {
    let [line] = lines else { return Vec::new() };
    let said = |mass: Mass| {
        let n = if unit == MassUnit::Kg { mass.in_kg() } else { mass.in_lb() };
        (n * 4.0).round() / 4.0
    };
    begins_at(line, maker.profile, maker.library, maker.person.load_column).into_iter().map(said).collect()
}
