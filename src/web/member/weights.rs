//! The weights of a kit as they are typed: `10, 15, 22.5`, `16 and 24 kg`, `2 x 35 lb`.

use crate::store::people::Units;

/// Most anybody can type for one weight, in either unit.
const HEAVIEST: f64 = 500.0;
/// Most entries in one field.
pub(super) const MOST: usize = 40;

/// Most pieces of one weight; a greater number beside another is a weight.
const MOST_PIECES: f64 = 6.0;

/// Weights in the two units they may be marked in.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Weights {
    pub(super) kg: Vec<f64>,
    pub(super) lb: Vec<f64>,
}

impl Weights {
    pub(super) fn is_empty(&self) -> bool {
        self.kg.is_empty() && self.lb.is_empty()
    }

    /// These and others.
    pub(super) fn and(self, others: Self) -> Self {
        Self { kg: [self.kg, others.kg].concat(), lb: [self.lb, others.lb].concat() }
    }

    /// As it is typed: the reader's own unit without a word.
    pub(super) fn words(&self, units: Units) -> String {
        let list = |list: &[f64], unit: Units, word: &str| {
            let suffix = if unit == units { String::new() } else { format!(" {word}") };
            list.iter().map(|n| format!("{n}{suffix}")).collect::<Vec<_>>()
        };
        [list(&self.kg, Units::Kg, "kg"), list(&self.lb, Units::Lb, "lb")].concat().join(", ")
    }
}

impl<'t> FromIterator<&'t Typed> for Weights {
    fn from_iter<I: IntoIterator<Item = &'t Typed>>(all: I) -> Self {
        let mut weights = Self::default();
        for typed in all {
            match typed.unit {
                Units::Kg => weights.kg.push(typed.weight),
                Units::Lb => weights.lb.push(typed.weight),
            }
        }
        weights
    }
}

/// One weight as typed, and how many of it where that was said.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Typed {
    weight: f64,
    unit: Units,
    pieces: Option<u32>,
}

/// What is held in a hand: there once, and there twice. `usual` is how many are meant where nothing is said.
pub(super) fn singles_and_pairs(typed: &[Typed], usual: u32) -> (Weights, Weights) {
    let pieces = |t: &Typed| t.pieces.unwrap_or(usual);
    (typed.iter().filter(|t| pieces(t) % 2 == 1).collect(), typed.iter().filter(|t| pieces(t) > 1).collect())
}

/// Plates, one number for each pair. `2 x 20` could be one pair or two: it is asked about.
pub(super) fn pairs_of_plates(typed: &[Typed]) -> Result<Weights, String> {
    match typed.iter().find_map(|t| Some((t.pieces?, t.weight))) {
        Some((1, kg)) => Err(format!("One plate of {kg} loads one side only. Type the pairs.")),
        Some((_, kg)) => Err(format!("One pair of {kg}, or several? Type {kg} for one pair, {kg}, {kg} for two.")),
        None => Ok(typed.iter().collect()),
    }
}

/// Reads `10, 15, 22.5`, `16 and 24 kg`, `25 lb; 35 lb`, `2 x 35 lb`; a weight without a unit is in the reader's own.
pub(super) fn read(text: &str, units: Units) -> Result<Vec<Typed>, String> {
    let spaced = times_without_gaps(&text.to_lowercase().replace(" and ", " , "));
    let mut last: Option<Units> = None;
    let entries = spaced.split([';', '/', '\n']).flat_map(str::split_whitespace).map(numbers).collect::<Result<Vec<_>, _>>()?;
    let words = entries.concat();
    let mut all = Vec::new();
    for word in words.iter().rev() {
        let (number, unit) = split_unit(word);
        if number.is_empty() {
            last = unit;
            continue;
        }
        let (weight, pieces) =
            counted(number).ok_or_else(|| format!("{word} is no weight. Type numbers with commas between: 10, 15, 22.5."))?;
        if !(weight > 0.0 && weight <= HEAVIEST) {
            return Err(format!("{word} is no weight that anybody has at home."));
        }
        // a unit behind the last of several goes for all of them: `16, 24 kg`
        last = unit.or(last);
        all.push(Typed { weight, unit: last.unwrap_or(units), pieces });
    }
    if words.len() > MOST {
        return Err(format!("At most {MOST} weights in one field."));
    }
    all.reverse();
    Ok(all)
}

/// `2 x 35`, `2 × 35`: nothing stands between a number of pieces and their weight.
fn times_without_gaps(text: &str) -> String {
    text.replace(['×', '*'], "x").split('x').enumerate().fold(String::new(), |mut all, (i, piece)| {
        let of_numbers = i > 0 && all.trim_end().ends_with(|c: char| c.is_ascii_digit());
        let piece = if of_numbers { piece.trim_start() } else { piece };
        if of_numbers {
            all.truncate(all.trim_end().len());
        }
        if i > 0 {
            all.push('x');
        }
        all + piece
    })
}

/// `35`, `2x35` and `35x2`: the weight, and how many where it says so. The smaller number counts; of two small ones the first.
fn counted(number: &str) -> Option<(f64, Option<u32>)> {
    let Some((one, other)) = number.split_once('x') else { return Some((number.parse().ok()?, None)) };
    let (one, other): (f64, f64) = (one.parse().ok()?, other.parse().ok()?);
    let pieces = |n: f64| ((1.0..=MOST_PIECES).contains(&n) && n.fract() == 0.0).then_some(n as u32);
    match (pieces(one), pieces(other)) {
        (Some(n), _) => Some((other, Some(n))),
        (None, Some(n)) => Some((one, Some(n))),
        (None, None) => None,
    }
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
        // weights go up by 2.5: `12,5` is one, `10,5` may be two
        2 if plain && digits(second) == 1 && is_half(first, second) => Ok(vec![format!("{first}.{second}")]),
        2 if plain && digits(second) == 1 => ask(),
        2 if plain && quarter && matches!(first, "0" | "1" | "2") => Ok(vec![format!("{first}.{second}")]),
        2 if plain && quarter => ask(),
        // `12,5,15`: one of them may be a decimal
        n if n > 2 && plain && pieces[1..].iter().any(|p| digits(p) == 1) => {
            Err(format!("{typed} can be read in two ways. Put a space after each comma that divides two weights."))
        }
        _ => Ok(pieces.into_iter().map(str::to_owned).collect()),
    }
}

/// `12` and `5`, `0` and `5`: with a point between them a weight that is made.
fn is_half(first: &str, second: &str) -> bool {
    second.starts_with('5') && (first.ends_with(['2', '7']) || matches!(first, "0" | "1"))
}

fn split_unit(word: &str) -> (&str, Option<Units>) {
    let at = word.rfind(|c: char| c.is_ascii_digit() || c == '.').map_or(0, |last| last + 1);
    let unit = match &word[at..] {
        "kg" | "kgs" | "kilo" | "kilos" => Some(Units::Kg),
        "lb" | "lbs" | "pound" | "pounds" => Some(Units::Lb),
        _ => None,
    };
    // an unknown word stays with its number, so that the error can show it
    if unit.is_some() { (&word[..at], unit) } else { (word, None) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(text: &str) -> Weights {
        read(text, Units::Kg).unwrap().iter().collect()
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
            assert!(read(text, Units::Kg).is_err_and(|why| why.contains("two ways")), "{text}");
        }
    }

    #[test]
    fn what_is_no_weight_is_said() {
        for text in ["ten", "-5", "0", "900", "10 stone"] {
            assert!(read(text, Units::Kg).is_err(), "{text}");
        }
    }

    #[test]
    fn how_many_there_are_may_be_typed_with_the_weight() {
        let hands = |text: &str, usual| {
            let (singles, pairs) = singles_and_pairs(&read(text, Units::Lb).unwrap(), usual);
            (singles.lb, pairs.lb)
        };
        for text in ["2x35, 50", "2 x 35 lb, 50", "35 x2; 50", "2 × 35 and 1x50", "2x35lb, 50", "2 x 35lb and 50"] {
            assert_eq!(hands(text, 1), (vec![50.0], vec![35.0]), "{text}");
        }
        assert_eq!(hands("3x20", 1), (vec![20.0], vec![20.0]));
        assert_eq!(hands("2x20, 30, 1x40", 2), (vec![40.0], vec![20.0, 30.0]));
        assert_eq!(hands("2x2.5", 1), (vec![], vec![2.5]));
        assert!(read("20x30", Units::Kg).is_err());
    }

    #[test]
    fn two_plates_may_be_a_pair_or_two_pairs_and_that_is_asked() {
        let plates = |text| pairs_of_plates(&read(text, Units::Kg).unwrap());
        assert_eq!(plates("20, 10, 10").unwrap().kg, [20.0, 10.0, 10.0]);
        assert!(plates("2x20").unwrap_err().contains("20, 20 for two"));
        assert!(plates("1x20").is_err());
    }
}
