//! A line in the words and units of one member.

use crate::store::people::Units;
use crate::training::dose::{Amount, Load};
use crate::training::load::{Mass, MassUnit};
use crate::training::session::Line;
use crate::training::tailor::TailoredLine;
use crate::training::wording;

/// The member's own of two columns.
fn mine(amount: &Amount, column: u8) -> Amount {
    match amount {
        Amount::Columns(a, b) => Amount::One(if column == 2 { *b } else { *a }),
        other => other.clone(),
    }
}

/// The line with the amounts of the member's column.
#[must_use]
pub fn own(line: &Line, column: u8) -> Line {
    let of = |a: &Option<Amount>| a.as_ref().map(|a| mine(a, column));
    Line {
        reps: of(&line.reps),
        seconds: of(&line.seconds),
        metres: of(&line.metres),
        calories: of(&line.calories),
        ..line.clone()
    }
}

/// How much, in the member's column: `14`, `20 s`, `400 m`; empty where nothing is written.
#[must_use]
pub fn dose(line: &Line, column: u8) -> String {
    wording::dose(&own(line, column))
}

/// The load in the member's column and unit: `2 × 12 kg`, `about 26 lb (12 kg)`, `RPE 8`.
#[must_use]
pub fn load(line: &Line, column: u8, units: Units) -> Option<String> {
    let words = match line.load.as_ref()? {
        Load::Kg { values, range } => mass(values, *range, column, MassUnit::Kg, units),
        Load::Lb { values, range } => mass(values, *range, column, MassUnit::Lb, units),
        other => wording::load(other),
    };
    Some(match line.implements {
        Some(n) if n > 1 => format!("{n} × {words}"),
        _ => words,
    })
}

/// What goes on a bar: `on each side 10 + 5 kg`; none where no bar is loaded.
#[must_use]
pub fn plates(line: &TailoredLine) -> Option<String> {
    let kg = line.plates_per_side_kg.as_ref().map(|plates| (plates, "kg"));
    let (plates, unit) = kg.or_else(|| line.plates_per_side_lb.as_ref().map(|plates| (plates, "lb")))?;
    let list = plates.iter().map(f64::to_string).collect::<Vec<_>>().join(" + ");
    Some(if plates.is_empty() { "the bar alone".to_owned() } else { format!("on each side {list} {unit}") })
}

/// The load of one implement as a member would type it: `12 kg`; none where it is no number.
#[must_use]
pub fn plain_load(line: &Line, column: u8) -> Option<String> {
    let (values, unit) = match line.load.as_ref()? {
        Load::Kg { values, range: false } => (values, "kg"),
        Load::Lb { values, range: false } => (values, "lb"),
        _ => return None,
    };
    let own = if column == 2 { values.last() } else { values.first() };
    own.map(|n| format!("{n} {unit}"))
}

fn mass(values: &[f64], range: bool, column: u8, unit: MassUnit, units: Units) -> String {
    let own = match values {
        [_, second] if !range && column == 2 => std::slice::from_ref(second),
        [first, _] if !range => std::slice::from_ref(first),
        all => all,
    };
    let join = |list: Vec<f64>| list.iter().map(f64::to_string).collect::<Vec<_>>().join("-");
    let (word, other) = if unit == MassUnit::Kg { ("kg", MassUnit::Lb) } else { ("lb", MassUnit::Kg) };
    let written = format!("{} {word}", join(own.to_vec()));
    let reads = if units == Units::Kg { MassUnit::Kg } else { MassUnit::Lb };
    if reads == unit {
        return written;
    }
    // half a kilogram or a whole pound is as fine as anybody loads at home
    let near = |n: &f64| {
        let mass = Mass { value: *n, unit };
        if other == MassUnit::Lb { mass.in_lb().round() } else { (mass.in_kg() * 2.0).round() / 2.0 }
    };
    let about = join(own.iter().map(near).collect());
    format!("about {about} {} ({written})", if other == MassUnit::Lb { "lb" } else { "kg" })
}

/// `3-1-1-0` as `3 s down, 1 s hold, 1 s up, no rest`; what is no tempo stays as typed.
#[must_use]
pub fn tempo(tempo: &str) -> String {
    let places: Vec<&str> = tempo.split('-').collect();
    let [down, low, up, high] = places[..] else { return format!("tempo {tempo}") };
    let moving = |place: &str, way: &str| match place {
        "X" | "x" => format!("fast {way}"),
        n => format!("{n} s {way}"),
    };
    let still = |place: &str, words: &str| (place != "0").then(|| format!("{place} s {words}"));
    let all = [Some(moving(down, "down")), still(low, "hold"), Some(moving(up, "up")), still(high, "hold at the top")];
    all.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// Everything else about a line: tempo, pauses, minute, buy-in.
#[must_use]
pub fn rest(line: &Line) -> Vec<String> {
    let bare = Line { side: None, load: None, tempo: None, ..line.clone() };
    line.tempo.as_deref().map(tempo).into_iter().chain(wording::details(&bare)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn loaded(load: Load, implements: Option<u8>) -> Line {
        Line { load: Some(load), implements, ..Line::default() }
    }

    #[test]
    fn a_load_is_said_in_the_members_column_and_unit() {
        let two = loaded(Load::Kg { values: vec![22.5, 15.0], range: false }, Some(2));
        assert_eq!(load(&two, 1, Units::Kg).unwrap(), "2 × 22.5 kg");
        assert_eq!(load(&two, 2, Units::Kg).unwrap(), "2 × 15 kg");
        assert_eq!(load(&two, 2, Units::Lb).unwrap(), "2 × about 33 lb (15 kg)");
        let span = loaded(Load::Lb { values: vec![35.0, 45.0], range: true }, None);
        assert_eq!(load(&span, 2, Units::Kg).unwrap(), "about 16-20.5 kg (35-45 lb)");
    }

    #[test]
    fn a_dose_in_two_columns_is_the_members_own() {
        let line = Line { calories: Some(Amount::Columns(12.0, 9.0)), ..Line::default() };
        assert_eq!((dose(&line, 1).as_str(), dose(&line, 2).as_str()), ("12 cal", "9 cal"));
    }

    #[test]
    fn a_tempo_is_said_in_words() {
        assert_eq!(tempo("3-1-X-0"), "3 s down, 1 s hold, fast up");
        assert_eq!(tempo("2-0-2-1"), "2 s down, 2 s up, 1 s hold at the top");
        assert_eq!(tempo("slow"), "tempo slow");
    }
}
