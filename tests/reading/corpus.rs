//! Compares a reading with a careful human one, field by field.

use dowel::training::movement::Library;
use dowel::training::writeup;
use serde_json::Value;
use std::path::{Path, PathBuf};

const PART: [&str; 7] = ["format", "rounds", "time_cap_s", "duration_s", "interval", "rest_s", "score"];
const LINE: [&str; 8] = ["movement", "reps", "seconds", "metres", "calories", "side", "load", "tempo"];

/// How a folder of write-ups was read.
#[derive(Default)]
pub struct Tally {
    /// fields read right
    pub right: usize,
    /// fields written or read
    pub total: usize,
    /// write-ups
    pub files: usize,
    /// one line a mistake, missed problem or false alarm
    pub wrong: Vec<String>,
}

/// Reads every write-up of a folder and compares.
pub fn score_folder(folder: &str) -> Tally {
    let mut tally = Tally::default();
    for path in texts(folder) {
        let text = std::fs::read_to_string(&path).unwrap();
        let want: Value = serde_json::from_str(&std::fs::read_to_string(path.with_extension("expect.json")).unwrap()).unwrap();
        let got = serde_json::to_value(writeup::read(&text, Library::shipped())).unwrap();
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let mut one = Tally::default();
        fields(&want, &got, &mut one);
        problems(&want, &got, &mut one);
        tally.right += one.right;
        tally.total += one.total;
        tally.files += 1;
        tally.wrong.extend(one.wrong.into_iter().map(|w| format!("{name}: {w}")));
    }
    tally
}

/// The `.txt` files of a folder, in order.
pub fn texts(folder: &str) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut paths: Vec<PathBuf> = std::fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "txt"))
        .collect();
    paths.sort();
    paths
}

fn list<'v>(value: &'v Value, key: &str) -> &'v [Value] {
    value.get(key).and_then(Value::as_array).map_or(&[], Vec::as_slice)
}

/// Every line with its part.
fn lines(session: &Value) -> Vec<(&Value, &Value)> {
    list(session, "parts").iter().flat_map(|p| list(p, "lines").iter().map(move |l| (p, l))).collect()
}

fn fields(want: &Value, got: &Value, tally: &mut Tally) {
    let (a, b) = (lines(want), lines(got));
    let pairs = pair(&a, &b);
    for (i, (part, line)) in a.iter().enumerate() {
        let other = pairs[i].map(|j| b[j].1).unwrap_or(&Value::Null);
        compare(&LINE, line, other, &format!("{} / {}", part["name"], line["movement"]), tally);
    }
    let mut spare = list(got, "parts").iter().filter(|p| list(p, "lines").is_empty());
    for part in list(want, "parts") {
        let first = a.iter().position(|(p, _)| std::ptr::eq(*p, part));
        let paired = (0..a.len()).filter(|&i| std::ptr::eq(a[i].0, part)).find_map(|i| pairs[i]).map(|j| b[j].0);
        let other = if first.is_none() { spare.next() } else { paired };
        compare(&PART, part, other.unwrap_or(&Value::Null), &part["name"].to_string(), tally);
    }
    let extra = b.len().saturating_sub(pairs.iter().flatten().count());
    if extra > 0 {
        tally.total += extra;
        tally.wrong.push(format!("{extra} line(s) read that a person would not"));
    }
}

fn compare(keys: &[&str], want: &Value, got: &Value, place: &str, tally: &mut Tally) {
    for key in keys {
        let (w, g) = (&want[*key], &got[*key]);
        if w.is_null() && g.is_null() {
            continue;
        }
        tally.total += 1;
        let also = list(want, &format!("{key}_also"));
        if std::iter::once(w).chain(also).any(|w| plain(key, w) == plain(key, g)) {
            tally.right += 1;
        } else {
            tally.wrong.push(format!("{place}: {key} is {w}, read as {g}"));
        }
    }
}

/// Longest run of lines with the same movements in the same order; what lies between is paired by place.
fn pair(a: &[(&Value, &Value)], b: &[(&Value, &Value)]) -> Vec<Option<usize>> {
    let name = |x: &(&Value, &Value)| plain("movement", &x.1["movement"]);
    let (n, m) = (a.len(), b.len());
    let mut best = vec![vec![0usize; m + 1]; n + 1];
    for i in (0..n).rev() {
        for j in (0..m).rev() {
            best[i][j] = if name(&a[i]) == name(&b[j]) { best[i + 1][j + 1] + 1 } else { best[i + 1][j].max(best[i][j + 1]) };
        }
    }
    let mut pairs = vec![None; n];
    let (mut i, mut j) = (0, 0);
    let mut gap: (Vec<usize>, Vec<usize>) = (vec![], vec![]);
    let settle = |gap: &mut (Vec<usize>, Vec<usize>), pairs: &mut Vec<Option<usize>>| {
        gap.0.drain(..).zip(gap.1.drain(..)).for_each(|(i, j)| pairs[i] = Some(j));
    };
    while i < n && j < m {
        if name(&a[i]) == name(&b[j]) {
            settle(&mut gap, &mut pairs);
            pairs[i] = Some(j);
            (i, j) = (i + 1, j + 1);
        } else if best[i + 1][j] >= best[i][j + 1] {
            gap.0.push(i);
            i += 1;
        } else {
            gap.1.push(j);
            j += 1;
        }
    }
    gap.0.extend(i..n);
    gap.1.extend(j..m);
    settle(&mut gap, &mut pairs);
    pairs
}

/// One spelling for values that mean the same.
fn plain(key: &str, value: &Value) -> Value {
    match value {
        Value::Array(list) if list.len() == 1 || list.len() == 2 && list[0] == list[1] => plain("", &list[0]),
        Value::Array(list) => list.iter().map(|v| plain("", v)).collect(),
        Value::Object(map) => {
            let mut map: serde_json::Map<String, Value> =
                map.iter().filter(|(k, v)| !(v.is_null() || *k == "as")).map(|(k, v)| (k.clone(), plain("", v))).collect();
            if key == "load" && map.contains_key("percent") {
                map.entry("of").or_insert_with(|| "1RM".into());
            }
            if map.is_empty() { Value::Null } else { Value::Object(map) }
        }
        Value::String(s) if key == "tempo" => s.replace('-', "").to_uppercase().into(),
        Value::String(s) if key == "movement" => s.trim().to_lowercase().into(),
        Value::Number(n) => n.as_f64().map_or(Value::Null, Value::from),
        other => other.clone(),
    }
}

fn problems(want: &Value, got: &Value, tally: &mut Tally) {
    let blocks = |p: &&Value| p["severity"] != "ask";
    let (expected, found) = (list(want, "problems"), list(got, "problems"));
    if expected.is_empty()
        && let Some(p) = found.iter().find(blocks)
    {
        tally.wrong.push(format!("false alarm: {}", p["text"]));
    }
    for p in expected.iter().filter(blocks).filter(|p| !found.iter().any(|f| f["kind"] == p["kind"])) {
        tally.wrong.push(format!("missed: {} ({})", p["kind"], p["where"]));
    }
}
