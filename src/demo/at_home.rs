//! What a member does of a part at home: what the product itself gives them for their kit and limits.

use crate::training::dose::Load;
use crate::training::member::Profile;
use crate::training::score::KG_PER_LB;
use crate::training::session::{Line, Part};
use crate::training::tailor::{Action, TailoredPart};

/// Less than this share of the written load is a lighter version.
const SAME: f64 = 0.9;

/// A part as one member does it.
#[derive(Clone)]
pub struct AtHome {
    /// with the lines that they do
    pub part: Part,
    /// a line became another, or was left out
    pub swapped: bool,
    /// a load is clearly below the written one
    pub lighter: bool,
    /// load of one implement, kilograms: the first that is given
    pub load_kg: Option<f64>,
}

/// The part with what is given for each of its lines.
pub fn at_home(written: &Part, tailored: &TailoredPart, profile: &Profile) -> AtHome {
    let given = || tailored.lines.iter().flat_map(|l| &l.given);
    let column = usize::from(profile.column.unwrap_or(1).saturating_sub(1));
    let less = |l: &crate::training::tailor::TailoredLine| {
        let asked = kg(&l.written, column)?;
        Some(kg(l.given.first()?, column)? < asked * SAME)
    };
    AtHome {
        part: Part { lines: given().cloned().collect(), ..written.clone() },
        swapped: tailored.lines.iter().any(|l| l.action >= Action::Swap),
        lighter: tailored.lines.iter().filter_map(less).any(|less| less),
        load_kg: given().find_map(|l| kg(l, column)),
    }
}

/// Kilograms of the line in this column.
fn kg(line: &Line, column: usize) -> Option<f64> {
    let of = |values: &[f64]| values.get(column).or(values.last()).copied();
    match line.load.as_ref()? {
        Load::Kg { values, range: false } => of(values),
        Load::Lb { values, range: false } => of(values).map(|lb| lb * KG_PER_LB),
        _ => None,
    }
}
