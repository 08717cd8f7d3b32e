//! The keys of one JSON object, in the order written, taken one by one so that what is left can be named.

use serde::de::{Deserialize, Deserializer, MapAccess, Visitor};
use serde_json::Value;

/// A JSON object in the order written.
#[derive(Debug, Default)]
pub struct Ordered(pub(super) Vec<(String, Value)>);

impl<'de> Deserialize<'de> for Ordered {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct Reader;
        impl<'de> Visitor<'de> for Reader {
            type Value = Ordered;
            fn expecting(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
                f.write_str("an object")
            }
            fn visit_map<M: MapAccess<'de>>(self, mut map: M) -> Result<Ordered, M::Error> {
                let mut out = Vec::new();
                while let Some(key) = map.next_key::<String>()? {
                    if matches!(plain(&key).as_str(), "options" | "option_caps" | "versions") {
                        out.push((key, options(map.next_value()?)));
                    } else {
                        out.push((key, map.next_value()?));
                    }
                }
                Ok(Ordered(out))
            }
        }
        d.deserialize_map(Reader)
    }
}

/// `options` may be an object, whose order counts, a list of names, or anything else.
#[derive(serde::Deserialize)]
#[serde(untagged)]
enum Options {
    Map(Ordered),
    Other(Value),
}

/// An object becomes a list of name and value, so that its order is kept.
fn options(read: Options) -> Value {
    match read {
        Options::Map(Ordered(pairs)) => {
            Value::Array(pairs.into_iter().map(|(name, value)| Value::Array(vec![Value::String(name), value])).collect())
        }
        Options::Other(value) => value,
    }
}

/// Keys still to be read.
pub(super) struct Fields(Vec<(String, Value)>);

/// Lower case, with one stroke for whatever stands between two words.
fn plain(name: &str) -> String {
    let words = name.to_lowercase();
    words.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).collect::<Vec<_>>().join("_")
}

impl Fields {
    /// Keys are read in any spelling: `Rounds + reps` is `rounds_reps`.
    pub fn new(pairs: Vec<(String, Value)>) -> Self {
        Self(pairs.into_iter().map(|(name, value)| (plain(&name), value)).collect())
    }

    /// The value of the first of these keys that is there.
    pub fn take(&mut self, keys: &[&str]) -> Option<Value> {
        let at = keys.iter().find_map(|k| self.0.iter().position(|(name, _)| name == k))?;
        Some(self.0.remove(at).1)
    }

    pub fn put(&mut self, key: &str, value: Value) {
        self.0.push((key.to_owned(), value));
    }

    fn take_if(&mut self, keys: &[&str], fits: impl Fn(&Value) -> bool) -> Option<Value> {
        let at = keys.iter().find_map(|k| self.0.iter().position(|(name, v)| name == k && fits(v)))?;
        Some(self.0.remove(at).1)
    }

    pub fn has(&self, keys: &[&str]) -> bool {
        self.0.iter().any(|(name, v)| keys.contains(&name.as_str()) && !v.is_null())
    }

    /// The key is there and says null.
    pub fn is_null(&self, keys: &[&str]) -> bool {
        self.0.iter().any(|(name, v)| keys.contains(&name.as_str()) && v.is_null())
    }

    pub fn text(&mut self, keys: &[&str]) -> Option<String> {
        match self.take_if(keys, |v| v.is_string() || v.is_number())? {
            Value::String(s) => Some(s),
            other => Some(other.to_string()),
        }
    }

    pub fn peek_text(&self, keys: &[&str]) -> Option<String> {
        keys.iter().find_map(|k| self.0.iter().find(|(name, _)| name == k)?.1.as_str().map(str::to_owned))
    }

    /// Takes the keys of an object under one of these keys as its own.
    pub fn flatten(&mut self, keys: &[&str]) {
        if let Some(Value::Object(map)) = self.take_if(keys, Value::is_object) {
            self.0.extend(map);
        }
    }

    /// A text, or the texts of an object.
    pub fn words(&mut self, keys: &[&str]) -> Option<String> {
        if let Some(Value::Object(map)) = self.take_if(keys, Value::is_object) {
            return Some(map.values().filter_map(Value::as_str).collect::<Vec<_>>().join(" "));
        }
        self.text(keys)
    }

    /// One text or a list of texts.
    pub fn texts(&mut self, keys: &[&str]) -> Vec<String> {
        match self.take_if(keys, |v| v.is_string() || v.as_array().is_some_and(|a| a.iter().all(Value::is_string))) {
            Some(Value::String(s)) => vec![s],
            Some(Value::Array(list)) => list.into_iter().filter_map(|v| v.as_str().map(str::to_owned)).collect(),
            _ => Vec::new(),
        }
    }

    pub fn number(&mut self, keys: &[&str]) -> Option<f64> {
        let value = self.take_if(keys, |v| number(v).is_some())?;
        number(&value)
    }

    pub fn numbers(&mut self, keys: &[&str]) -> Vec<f64> {
        let list = |v: &Value| v.as_array().map(|a| a.iter().filter_map(number).collect::<Vec<f64>>()).filter(|n| !n.is_empty());
        self.take_if(keys, |v| list(v).is_some()).as_ref().and_then(list).unwrap_or_default()
    }

    pub fn count(&mut self, keys: &[&str]) -> Option<u32> {
        let value = self.take_if(keys, |v| number(v).is_some_and(|n| n.fract() == 0.0 && (0.0..1e6).contains(&n)))?;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "whole and below a million")]
        number(&value).map(|n| n as u32)
    }

    /// Seconds as a number or as `9:50`.
    pub fn seconds(&mut self, keys: &[&str]) -> Option<f64> {
        let read = |v: &Value| number(v).or_else(|| super::value::clock(v.as_str()?));
        self.take_if(keys, |v| read(v).is_some()).as_ref().and_then(read)
    }

    /// Yes or no, as people and programs write them: `true`, `"yes"`, `1`. Any other word is left.
    pub fn flag(&mut self, keys: &[&str]) -> Option<bool> {
        let value = self.take_if(keys, |v| flag(v).is_some())?;
        flag(&value)
    }

    /// The values of every key whose name fits.
    pub fn take_all(&mut self, fits: impl Fn(&str) -> bool) -> Vec<Value> {
        let (taken, left) = std::mem::take(&mut self.0).into_iter().partition(|(name, _)| fits(name));
        self.0 = left;
        let taken: Vec<(String, Value)> = taken;
        taken.into_iter().map(|(_, value)| value).collect()
    }

    pub fn map(&mut self, keys: &[&str]) -> Vec<(String, Value)> {
        let Some(Value::Array(list)) = self.take(keys) else { return Vec::new() };
        list.into_iter()
            .filter_map(|v| match v {
                Value::Array(pair) => match &pair[..] {
                    [Value::String(name), value] => Some((name.clone(), value.clone())),
                    _ => None,
                },
                Value::String(name) => Some((name, Value::Null)),
                Value::Object(map) => map.get("name").and_then(Value::as_str).map(str::to_owned).map(|n| (n, Value::Object(map))),
                _ => None,
            })
            .collect()
    }

    /// Keys that are known and play no part.
    pub fn drop(&mut self, keys: &[&str]) {
        self.0.retain(|(name, _)| !keys.contains(&name.as_str()));
    }

    /// What was not read: keys with something in them.
    pub fn left(&self) -> impl Iterator<Item = &str> {
        self.0.iter().filter(|(_, v)| !v.is_null() && *v != Value::Bool(false)).map(|(name, _)| name.as_str())
    }
}

fn flag(v: &Value) -> Option<bool> {
    match v {
        Value::Bool(b) => Some(*b),
        Value::Number(n) if n.as_f64() == Some(0.0) => Some(false),
        Value::Number(n) if n.as_f64() == Some(1.0) => Some(true),
        Value::String(s) => match s.trim().to_lowercase().as_str() {
            "true" | "yes" | "y" | "on" => Some(true),
            "false" | "no" | "n" | "off" => Some(false),
            _ => None,
        },
        _ => None,
    }
}

/// A number, also as text (`"62,5"`).
pub(super) fn number(v: &Value) -> Option<f64> {
    match v {
        Value::Number(n) => n.as_f64(),
        Value::String(s) => s.trim().replace(',', ".").parse().ok().filter(|n: &f64| n.is_finite()),
        _ => None,
    }
}
