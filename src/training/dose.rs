//! How much: amounts, loads, sides and tempo, as a coach writes them and as the public JSON spells them.

use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// A written amount of reps, seconds, metres, calories or rounds.
///
/// JSON: a number, `[min, max]`, a list of three or more (a scheme: one a set or rung), or
/// `{"columns": [a, b]}` where the coach wrote two columns (heavier or larger first).
///
/// # Design
/// One type for every quantity: the unit stands in the field's name (`seconds`, `metres`), as in the
/// public JSON, so that a reader sees it and no conversion can be forgotten.
#[derive(Clone, Debug, PartialEq)]
pub enum Amount {
    /// `5`
    One(f64),
    /// `3-5`
    Range(f64, f64),
    /// `21-15-9`: three or more, one a set or rung
    Scheme(Vec<f64>),
    /// `12/9`: two columns, the larger first
    Columns(f64, f64),
}

impl Amount {
    /// The smallest number written.
    #[must_use]
    pub fn low(&self) -> f64 {
        self.values().into_iter().fold(f64::INFINITY, f64::min)
    }

    /// The largest number written.
    #[must_use]
    pub fn high(&self) -> f64 {
        self.values().into_iter().fold(f64::NEG_INFINITY, f64::max)
    }

    /// Every number written, in order.
    #[must_use]
    pub fn values(&self) -> Vec<f64> {
        match self {
            Self::One(n) => vec![*n],
            Self::Range(a, b) | Self::Columns(a, b) => vec![*a, *b],
            Self::Scheme(list) => list.clone(),
        }
    }

    /// The same shape with every number changed by `f`.
    #[must_use]
    pub fn map(&self, f: impl Fn(f64) -> f64) -> Self {
        match self {
            Self::One(n) => Self::One(f(*n)),
            Self::Range(a, b) => Self::Range(f(*a), f(*b)),
            Self::Columns(a, b) => Self::Columns(f(*a), f(*b)),
            Self::Scheme(list) => Self::Scheme(list.iter().copied().map(f).collect()),
        }
    }
}

impl std::fmt::Display for Amount {
    /// As a coach would write it: `5`, `3-5`, `21-15-9`, `12/9`.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let glue = if matches!(self, Self::Columns(..)) { "/" } else { "-" };
        let words: Vec<String> = self.values().iter().map(|n| n.to_string()).collect();
        f.write_str(&words.join(glue))
    }
}

/// A whole number is written without a point: `5`, not `5.0`.
#[derive(Serialize)]
#[serde(untagged)]
enum Plain {
    Whole(i64),
    Broken(f64),
}

fn plain(n: f64) -> Plain {
    if n.fract() == 0.0 && n.abs() < 9e15 {
        #[expect(clippy::cast_possible_truncation, reason = "whole and far inside i64")]
        Plain::Whole(n as i64)
    } else {
        Plain::Broken(n)
    }
}

fn plain_list(list: &[f64]) -> Vec<Plain> {
    list.iter().copied().map(plain).collect()
}

#[derive(Serialize)]
struct ColumnsOut {
    columns: [Plain; 2],
}

impl Serialize for Amount {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::One(n) => plain(*n).serialize(s),
            Self::Range(a, b) => [plain(*a), plain(*b)].serialize(s),
            Self::Scheme(list) => plain_list(list).serialize(s),
            Self::Columns(a, b) => ColumnsOut { columns: [plain(*a), plain(*b)] }.serialize(s),
        }
    }
}

#[derive(Deserialize)]
#[serde(untagged)]
enum AmountIn {
    One(f64),
    List(Vec<f64>),
    Columns { columns: [f64; 2] },
}

impl<'de> Deserialize<'de> for Amount {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        match AmountIn::deserialize(d)? {
            AmountIn::One(n) => Ok(Self::One(n)),
            AmountIn::Columns { columns: [a, b] } => Ok(Self::Columns(a, b)),
            AmountIn::List(list) => match list[..] {
                [] => Err(serde::de::Error::custom("an amount needs at least one number")),
                [n] => Ok(Self::One(n)),
                [a, b] => Ok(Self::Range(a, b)),
                _ => Ok(Self::Scheme(list)),
            },
        }
    }
}

/// Which side the number counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Side {
    /// The number is for each side.
    #[serde(rename = "per side")]
    PerSide,
    /// The number is the whole count, switching each rep.
    #[serde(rename = "alternating")]
    Alternating,
    /// The number is the whole count, split freely or evenly.
    #[serde(rename = "total")]
    Total,
}

impl Side {
    /// The words a member reads.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::PerSide => "per side",
            Self::Alternating => "alternating",
            Self::Total => "in total",
        }
    }
}

/// A written or given load. It is for one implement; [`crate::training::session::Line::implements`] says how many.
#[derive(Clone, Debug, PartialEq)]
pub enum Load {
    /// Kilograms: one number, or two columns, heavier first; `range` where the coach wrote from-to.
    Kg {
        /// one or two numbers
        values: Vec<f64>,
        /// the two numbers are a span, not two columns
        range: bool,
    },
    /// Pounds, kept as typed and never converted twice.
    Lb {
        /// one or two numbers
        values: Vec<f64>,
        /// the two numbers are a span, not two columns
        range: bool,
    },
    /// Percent of a max: `of` is `1RM` (this movement's own) or a lift's name.
    Percent {
        /// the percent, or a span or scheme of them
        percent: Amount,
        /// `1RM` or the canonical name of a lift
        of: String,
    },
    /// Rated effort, 0-10.
    Rpe(Amount),
    /// Reps left in reserve.
    Rir(Amount),
    /// A stick, pipe or dowel: no load at all.
    Stick,
    /// A band of this strength (`light`, `medium`, `heavy` or as typed).
    Band(String),
    /// No number can be given: how to find the load, in words.
    Find(String),
}

impl Load {
    /// One number in kilograms.
    #[must_use]
    pub fn kg(value: f64) -> Self {
        Self::Kg { values: vec![value], range: false }
    }

    /// Another number in the same unit.
    #[must_use]
    pub fn with(&self, n: f64) -> Self {
        match self {
            Self::Lb { .. } => Self::lb(n),
            Self::Percent { of, .. } => Self::Percent { percent: Amount::One(n), of: of.clone() },
            _ => Self::kg(n),
        }
    }

    /// One load for each set, as a list: `70 kg`, `80 kg` and `90 kg`, or two waves of percents.
    #[must_use]
    pub fn per_set(loads: &[&Self]) -> Option<Self> {
        let kind = std::mem::discriminant(*loads.first()?);
        let lists: Vec<Vec<f64>> =
            loads.iter().filter(|l| std::mem::discriminant(**l) == kind).map(|l| l.listed()).collect::<Option<_>>()?;
        let values = lists.concat();
        let range = values.len() == 2;
        let amount = if let [a, b] = values[..] { Amount::Range(a, b) } else { Amount::Scheme(values.clone()) };
        (lists.len() == loads.len()).then_some(())?;
        match loads.first()? {
            Self::Percent { of, .. } => Some(Self::Percent { percent: amount, of: of.clone() }),
            Self::Rpe(_) => Some(Self::Rpe(amount)),
            Self::Kg { .. } => Some(Self::Kg { values, range }),
            Self::Lb { .. } => Some(Self::Lb { values, range }),
            _ => None,
        }
    }

    /// Its number, or its list of three and more; none where it is a span or two columns.
    fn listed(&self) -> Option<Vec<f64>> {
        let values = match self {
            Self::Percent { percent, .. } => percent.values(),
            Self::Rpe(n) => n.values(),
            Self::Kg { values, .. } | Self::Lb { values, .. } => values.clone(),
            _ => return None,
        };
        (values.len() != 2).then_some(values)
    }

    /// One number in pounds.
    #[must_use]
    pub fn lb(value: f64) -> Self {
        Self::Lb { values: vec![value], range: false }
    }
}

#[derive(Serialize, Deserialize, Default)]
#[serde(default)]
struct LoadJson {
    #[serde(skip_serializing_if = "Option::is_none")]
    kg: Option<OneOrMore>,
    #[serde(skip_serializing_if = "Option::is_none")]
    lb: Option<OneOrMore>,
    #[serde(rename = "as", skip_serializing_if = "Option::is_none")]
    kind: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    percent: Option<Amount>,
    #[serde(skip_serializing_if = "Option::is_none")]
    of: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    rpe: Option<Amount>,
    #[serde(skip_serializing_if = "Option::is_none")]
    rir: Option<Amount>,
    #[serde(skip_serializing_if = "Option::is_none")]
    stick: Option<bool>,
    #[serde(skip_serializing_if = "Option::is_none")]
    band: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    find: Option<String>,
}

/// A list is always written as a list; a bare number is read as a list of one.
struct OneOrMore(Vec<f64>);

impl Serialize for OneOrMore {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        plain_list(&self.0).serialize(s)
    }
}

impl<'de> Deserialize<'de> for OneOrMore {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        Ok(Self(Amount::deserialize(d)?.values()))
    }
}

impl Serialize for Load {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        let span = |range: bool| range.then(|| "range".to_owned());
        let mut out = LoadJson::default();
        match self.clone() {
            Self::Kg { values, range } => (out.kg, out.kind) = (Some(OneOrMore(values)), span(range)),
            Self::Lb { values, range } => (out.lb, out.kind) = (Some(OneOrMore(values)), span(range)),
            Self::Percent { percent, of } => (out.percent, out.of) = (Some(percent), Some(of)),
            Self::Rpe(n) => out.rpe = Some(n),
            Self::Rir(n) => out.rir = Some(n),
            Self::Stick => out.stick = Some(true),
            Self::Band(strength) => out.band = Some(strength),
            Self::Find(words) => out.find = Some(words),
        }
        out.serialize(s)
    }
}

impl<'de> Deserialize<'de> for Load {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        let json = LoadJson::deserialize(d)?;
        let range = json.kind.as_deref() == Some("range");
        if let Some(OneOrMore(values)) = json.kg {
            Ok(Self::Kg { values, range })
        } else if let Some(OneOrMore(values)) = json.lb {
            Ok(Self::Lb { values, range })
        } else if let Some(percent) = json.percent {
            Ok(Self::Percent { percent, of: json.of.unwrap_or_else(|| "1RM".to_owned()) })
        } else if let Some(n) = json.rpe {
            Ok(Self::Rpe(n))
        } else if let Some(n) = json.rir {
            Ok(Self::Rir(n))
        } else if json.stick == Some(true) {
            Ok(Self::Stick)
        } else if let Some(strength) = json.band {
            Ok(Self::Band(strength))
        } else if let Some(words) = json.find {
            Ok(Self::Find(words))
        } else {
            Err(serde::de::Error::custom("a load needs one of kg, lb, percent, rpe, rir, stick, band, find"))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn round_trip(json: &str) {
        let load: Load = serde_json::from_str(json).unwrap();
        assert_eq!(serde_json::to_string(&load).unwrap(), json);
    }

    #[test]
    fn a_load_is_spelt_as_in_the_public_shapes() {
        round_trip(r#"{"kg":[22.5,15]}"#);
        round_trip(r#"{"lb":[50,35]}"#);
        round_trip(r#"{"kg":[20,24],"as":"range"}"#);
        round_trip(r#"{"percent":72.5,"of":"1RM"}"#);
        round_trip(r#"{"rpe":8}"#);
        round_trip(r#"{"stick":true}"#);
    }

    #[test]
    fn an_amount_keeps_its_shape() {
        for json in ["5", "[3,5]", "[21,15,9]", r#"{"columns":[12,9]}"#, "2.5"] {
            let amount: Amount = serde_json::from_str(json).unwrap();
            assert_eq!(serde_json::to_string(&amount).unwrap(), json);
        }
    }
}
