//! How much and how heavy: sets and reps, loads, sides, tempo, effort.

use super::super::dose::{Amount, Load, Side};
use super::element::{Doc, Element, What};
use super::quantity::{Quantity, Unit, quantity};
use super::token::{Kind, Token};

/// Tells whether a movement's name begins at a token.
pub type NameAt<'a> = &'a dyn Fn(usize) -> bool;

/// The dose mark at token `i`, and how many tokens it takes.
pub fn read(doc: &Doc, i: usize, before: Option<&Element>, name_at: NameAt) -> Option<(What, usize)> {
    tempo(doc, i)
        .or_else(|| at_load(doc, i))
        .or_else(|| effort(doc, i))
        .or_else(|| build(doc, i))
        .or_else(|| max(doc, i))
        .or_else(|| side(doc, i))
        .or_else(|| times(doc, i, before))
        .or_else(|| number_word_implements(doc, i, name_at))
        .or_else(|| counted(doc, i, name_at))
        .or_else(|| unit_word(doc, i, name_at))
}

fn is_x(doc: &Doc, i: usize) -> bool {
    matches!(doc.low(i), "x" | "×" | "*")
}

/// `x 6`, `x6 rounds` behind something.
fn times(doc: &Doc, i: usize, before: Option<&Element>) -> Option<(What, usize)> {
    if !is_x(doc, i) || before.is_none_or(|b| matches!(b.what, What::Newline)) {
        return None;
    }
    let q = quantity(doc.tokens.get(i + 1..)?)?;
    if doc.says_any(i + 1 + q.tokens, &["on", "work", "of work", "amrap", "emom"]).is_some() {
        return None;
    }
    match (&q.amount, q.unit) {
        (Amount::One(n), Unit::Bare | Unit::Rounds | Unit::Sets) => Some((What::Times(*n), 1 + q.tokens)),
        (Amount::Range(..), Unit::Rounds) => None,
        // `squat x 5 reps`, `plank x 30 s`: the mark is only glue
        (_, _) => Some((What::Dose(q.clone()), 1 + q.tokens)),
    }
}

/// `one dumbbell`, `2 DBs`, `a pair of kettlebells`, `same DBs`
fn number_word_implements(doc: &Doc, i: usize, name_at: NameAt) -> Option<(What, usize)> {
    let tool = |at: usize| {
        matches!(
            doc.plain.get(at).map(String::as_str),
            Some("dumbbell" | "kettlebell" | "weight" | "implement" | "bell" | "bag" | "backpack")
        )
    };
    let load =
        |at: usize| tool(at) || matches!(doc.low(at), "load" | "loads" | "kg" | "bar" | "weight" | "weights" | "as" | "pair");
    if doc.low(i) == "same" && load(i + 1) {
        return Some((What::Same, 2 + usize::from(doc.low(i + 1) == "as" && doc.low(i + 2) == "above")));
    }
    let (n, used) = match doc.low(i) {
        "one" | "single" | "1" => (1, 1),
        "two" | "2" | "double" => (2, 1),
        "pair" => (2, 1 + 2 * usize::from(doc.low(i + 1) == "of")),
        _ => return None,
    };
    if doc.low(i) == "pair" {
        return Some((What::Implements(2), if doc.low(i + 1) == "of" { 3 } else { 1 }));
    }
    // `2 kb swings` counts swings
    (tool(i + used) && !name_at(i + used)).then_some((What::Implements(n), used + 1))
}

/// `cal row` under `30-20-10`
fn unit_word(doc: &Doc, i: usize, name_at: NameAt) -> Option<(What, usize)> {
    let unit = match doc.low(i) {
        "cal" | "cals" | "calorie" | "calories" | "kcal" => Unit::Calories,
        "m" | "metre" | "meter" | "metres" | "meters" => Unit::Metres,
        _ => return None,
    };
    name_at(i + 1).then_some((What::UnitWord(unit), 1))
}

/// A number with whatever it counts: sets and reps, load, side, or a plain dose.
fn counted(doc: &Doc, i: usize, name_at: NameAt) -> Option<(What, usize)> {
    let rest = doc.tokens.get(i..)?;
    let q = quantity(rest)?;
    let end = i + q.tokens;
    if let Some(found) = sets_of(doc, i, &q, name_at) {
        return Some(found);
    }
    if let Some(found) = split(doc, i, &q) {
        return Some(found);
    }
    if let Some(n) = doc.says_any(end, &["times through", "time through", "x through", "times round", "times around"])
        && matches!(q.unit, Unit::Bare)
    {
        return Some((What::Dose(Quantity { unit: Unit::Rounds, ..q.clone() }), q.tokens + n));
    }
    if let (Amount::One(n), Unit::Bare) = (&q.amount, q.unit) {
        if matches!(doc.low(end), "stations" | "station" | "exercises" | "movements") && *n >= 1.0 {
            return Some((What::Stations(*n), q.tokens + 1));
        }
        if matches!(doc.low(end), "times") && !name_at(end + 1) {
            return Some((What::Dose(Quantity { unit: Unit::Rounds, ..q.clone() }), q.tokens + 1));
        }
    }
    match q.unit {
        Unit::Percent => Some(percent(doc, i, q)),
        Unit::Kg | Unit::Lb => Some((What::Load(weight(&q), None), q.tokens)),
        _ => {
            let used = q.tokens;
            Some((What::Dose(q), used))
        }
    }
}

fn weight(q: &Quantity) -> Load {
    let (values, range) = match &q.amount {
        Amount::Columns(a, b) => (vec![a.max(*b), a.min(*b)], false),
        Amount::Range(a, b) => (vec![*a, *b], true),
        other => (other.values(), false),
    };
    if q.unit == Unit::Lb { Load::Lb { values, range } } else { Load::Kg { values, range } }
}

/// `5x5`, `3 sets of 8-10`, `4 x 400 m`, `3 x max`, and `2 x 22.5/15 kg` which is a pair of loads.
fn sets_of(doc: &Doc, i: usize, q: &Quantity, name_at: NameAt) -> Option<(What, usize)> {
    let Amount::One(sets) = q.amount else { return None };
    let mut at = i + q.tokens;
    match q.unit {
        Unit::Bare if is_x(doc, at) => at += 1,
        Unit::Sets if is_x(doc, at) || doc.low(at) == "of" => at += 1,
        Unit::Rounds if is_x(doc, at) => at += 1,
        // `3 sets 10 reps`, `3 sets 30 s`
        Unit::Sets => {}
        // `4 times 8`
        Unit::Bare if doc.low(at) == "times" && doc.tokens.get(at + 1).is_some_and(|t| t.kind == Kind::Number) => at += 1,
        _ => return None,
    }
    if is_x(doc, at - 1) && is_x(doc, at) {
        at += 1;
    }
    if doc.says_any(at, &["max", "amrap", "maximum", "as many as possible", "max reps", "max effort"]).is_some()
        && q.unit != Unit::Rounds
    {
        let amrap_window = doc.low(at) == "amrap" && quantity(doc.tokens.get(at + 1..)?).is_some();
        let n = doc.says_any(at, &["max reps", "max effort", "max hold", "max", "amrap", "maximum"]).unwrap_or(1);
        return (!(amrap_window || doc.low(at) == "amrap" && doc.low(at + 1) == "of"))
            .then_some((What::SetsOfMax(sets), at + n - i));
    }
    let dose = quantity(doc.tokens.get(at..)?)?;
    let end = at + dose.tokens;
    match dose.unit {
        Unit::Kg | Unit::Lb if sets <= 2.0 && q.unit == Unit::Bare => {
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "one or two")]
            let n = sets.max(1.0) as u8;
            Some((What::Load(weight(&dose), Some(n)), end - i))
        }
        Unit::Rounds | Unit::Sets | Unit::Kg | Unit::Lb | Unit::Percent => None,
        // `3 sets, 10 squats` or `3 rounds x 2 min`: only glue that says so makes a set of it
        Unit::Bare | Unit::Reps if q.unit == Unit::Rounds => None,
        // `3 x 12 min AMRAP` has its own tag
        Unit::Seconds if doc.says_any(end, &["amrap", "emom", "on", "work"]).is_some() => None,
        Unit::Bare if q.unit == Unit::Sets && at == i + q.tokens && name_at(end) => None,
        _ => Some((What::SetsOf(sets, dose), end - i)),
    }
}

/// `70%`, `70-75% of front squat`, `@ 90% of that`
fn percent(doc: &Doc, i: usize, q: Quantity) -> (What, usize) {
    let mut used = q.tokens;
    let end = i + used;
    let mut of = "1RM".to_owned();
    if let Some(n) = doc.says_any(
        end,
        &[
            "1 rm",
            "of 1 rm",
            "of your 1 rm",
            "of max",
            "of your max",
            "of one rep max",
            "of 1 rep max",
            "of your 1 rep max",
            "1 rep max",
            "rm",
        ],
    ) {
        used += n;
    } else if doc.low(end) == "of" {
        let mut at = end + 1;
        while doc.tokens.get(at).is_some_and(|t| matches!(t.kind, Kind::Word | Kind::Number) || t.is("-") && !t.spaced)
            && at - end < 7
            && !stops(doc.low(at))
        {
            at += 1;
        }
        let words = doc.typed(end + 1, at).to_lowercase();
        if !words.is_empty() {
            used += at - end;
            of = words;
        }
    }
    (What::Load(Load::Percent { percent: q.amount, of }, None), used)
}

fn stops(word: &str) -> bool {
    matches!(word, "rest" | "with" | "then" | "tempo" | "every" | "for" | "x" | "each" | "and" | "on" | "if" | "no")
}

/// What stands behind `@`.
fn at_load(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let n = match doc.low(i) {
        "@" => 1,
        "at" if doc.tokens.get(i + 1).is_some_and(|t| t.kind == Kind::Number) => 1,
        "with" if doc.tokens.get(i + 1).is_some_and(|t| t.kind == Kind::Number) => 1,
        _ => return None,
    };
    let at = i + n + usize::from(matches!(doc.low(i + n), "about" | "around" | "~" | "approx"));
    if let Some((what, used)) = effort(doc, at)
        .or_else(|| tempo_code(&doc.tokens[at.min(doc.tokens.len())..], false).map(|(t, used)| (What::Tempo(t), used)))
    {
        return Some((what, at + used - i));
    }
    let q = quantity(doc.tokens.get(at..)?)?;
    match q.unit {
        Unit::Percent => {
            let (what, used) = percent(doc, at, q);
            Some((what, at + used - i))
        }
        Unit::Kg | Unit::Lb => Some((What::Load(weight(&q), None), at + q.tokens - i)),
        Unit::Bare if is_x(doc, at + q.tokens) => {
            let (what, used) = sets_of(doc, at, &q, &|_| false)?;
            matches!(what, What::Load(..)).then_some((what, at + used - i))
        }
        Unit::Bare if doc.low(i) == "@" => Some((What::BareLoad(q.amount.high()), at + q.tokens - i)),
        _ => None,
    }
}

/// `RPE 8`, `2 RIR`, `RIR 2`, `2 reps in reserve`, `leave 2 in the tank`
fn effort(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let leave = usize::from(matches!(doc.low(i), "leave" | "leaving" | "keep" | "with"));
    if matches!(doc.low(i), "rpe" | "rir") {
        let gap = usize::from(matches!(doc.low(i + 1), ":" | "=" | "of"));
        let q = quantity(doc.tokens.get(i + 1 + gap..)?)?;
        let load = if doc.low(i) == "rpe" { Load::Rpe(q.amount) } else { Load::Rir(q.amount) };
        return (q.unit == Unit::Bare).then_some((What::Load(load, None), 1 + gap + q.tokens));
    }
    let q = quantity(doc.tokens.get(i + leave..)?)?;
    if !matches!(q.unit, Unit::Bare | Unit::Reps) {
        return None;
    }
    let end = i + leave + q.tokens;
    let n = doc.says_any(
        end,
        &[
            "rir",
            "in reserve",
            "reps in reserve",
            "rep in reserve",
            "in the tank",
            "left in the tank",
            "reps in the tank",
            "left in reserve",
            "in hand",
            "left",
        ],
    )?;
    (doc.low(end) != "left" || leave > 0 || n > 1).then_some((What::Load(Load::Rir(q.amount), None), leave + q.tokens + n))
}

/// `tempo 31X1`, `31X1`, `3-1-1-0 tempo`
fn tempo(doc: &Doc, i: usize) -> Option<(What, usize)> {
    if doc.low(i) == "tempo" {
        let gap = usize::from(matches!(doc.low(i + 1), ":" | "=" | "@" | "of" | "-"));
        let (code, used) = tempo_code(doc.tokens.get(i + 1 + gap..)?, true)?;
        return Some((What::Tempo(code), 1 + gap + used));
    }
    let (code, used) = tempo_code(doc.tokens.get(i..)?, doc_says_tempo_behind(doc, i))?;
    let behind = usize::from(doc.low(i + used) == "tempo");
    Some((What::Tempo(code), used + behind))
}

fn doc_says_tempo_behind(doc: &Doc, i: usize) -> bool {
    (1..=7).any(|n| {
        doc.low(i + n) == "tempo"
            && (0..n)
                .all(|k| doc.tokens.get(i + k).is_some_and(|t| matches!(t.text, "-" | "x" | "X" | ".") || t.kind == Kind::Number))
    })
}

/// Four places at the beginning of `t`: digits, or `X` for fast. Plain digits only where `sure`.
fn tempo_code(t: &[Token], sure: bool) -> Option<(String, usize)> {
    let mut places: Vec<char> = Vec::new();
    let mut at = 0;
    let mut fast = false;
    let mut glued = true;
    while places.len() < 4 {
        let token = t.get(at)?;
        let glue = matches!(token.text, "-" | "/" | "." | ":" | "–");
        if glue && at > 0 {
            at += 1;
            continue;
        }
        let digits = token.kind == Kind::Number || token.kind == Kind::Word && token.text.chars().all(|c| matches!(c, 'x' | 'X'));
        if !digits || token.text.len() > 4 {
            return None;
        }
        fast |= token.text.contains('X');
        glued &= at == 0 || !token.spaced;
        places.extend(token.text.chars().filter(|c| *c != '.'));
        at += 1;
    }
    // `3X10` is sets and reps; `31X1` and `3-0-X-1` are tempo
    let sets = !sure && t[0].text.len() == 1 && t.get(1).is_some_and(|x| x.text.eq_ignore_ascii_case("x")) && at == 3;
    if sets {
        return None;
    }
    let joined = t
        .get(at)
        .is_some_and(|n| !n.spaced && (n.kind == Kind::Word || n.kind == Kind::Number || matches!(n.text, "-" | "%" | "/")));
    let starts_with_digit = places.first().is_some_and(|c| c.is_ascii_digit() || *c == 'X');
    if places.len() != 4 || joined || !glued && !sure || !(sure || fast && starts_with_digit) {
        return None;
    }
    let code: Vec<String> = places.iter().map(|c| c.to_ascii_uppercase().to_string()).collect();
    Some((code.join("-"), at))
}

/// `each side`, `/leg`, `per arm`, `alternating`, `total`
fn side(doc: &Doc, i: usize) -> Option<(What, usize)> {
    const PER: &[&str] = &[
        "each side",
        "per side",
        "a side",
        "every side",
        "both sides",
        "each leg",
        "per leg",
        "each arm",
        "per arm",
        "a leg",
        "an arm",
        "each way",
        "each direction",
        "each hand",
        "per hand",
        "each foot",
        "per foot",
        "either side",
        "each knee",
        "each hip",
        "for each leg",
        "for each side",
        "for each arm",
        "on each side",
        "on each leg",
        "on each arm",
        "on both sides",
        "per each side",
        "left and right",
        "l and r",
        "l & r",
        "right and left",
        "ea side",
        "ea leg",
        "ea arm",
        "e / s",
        "p / s",
        "/ side",
        "/ leg",
        "/ arm",
        "/ hand",
        "/ s",
        "by side",
        "by leg",
        "by arm",
        "every leg",
        "every arm",
        "each shoulder",
        "per shoulder",
        "per direction",
        "per way",
        "l / r",
        "r / l",
        "l + r",
        "each limb",
        "eachside",
        "pr side",
        "to each side",
        "in each direction",
        "with each arm",
        "with each leg",
        "sides each",
    ];
    const ALT: &[&str] = &[
        "alternating",
        "alternate",
        "alternated",
        "alternately",
        "alt",
        "alternating sides",
        "alternating legs",
        "alternating arms",
        "alt sides",
        "alt legs",
        "alt arms",
        "switching sides",
        "switch sides each rep",
        "switch legs each rep",
        "switching each rep",
        "switch each rep",
        "switching legs",
        "alternate legs",
        "alternate sides",
        "alternate arms",
        "swap each rep",
    ];
    const TOTAL: &[&str] =
        &["total", "in total", "all together", "altogether", "total reps", "tot", "reps total", "both sides together"];
    let ends = |at: usize| {
        doc.tokens.get(at).is_none_or(|t| {
            t.kind == Kind::Newline
                || matches!(t.text, "," | "." | ")" | "@" | ";" | "-" | "–")
                || matches!(doc.low(at), "rest" | "tempo")
        })
    };
    if matches!(doc.low(i), "each" | "ea") && ends(i + 1 + usize::from(doc.low(i) == "ea" && doc.low(i + 1) == ".")) {
        return Some((What::Side(Side::PerSide), 1));
    }
    if let Some(n) = doc.says_any(i, PER) {
        return Some((What::Side(Side::PerSide), n));
    }
    if let Some(n) = doc.says_any(i, ALT) {
        return Some((
            What::Side(Side::Alternating),
            n + usize::from(doc.low(i + n) == "." && doc.tokens.get(i + n).is_some_and(|t| !t.spaced) && doc.low(i) == "alt"),
        ));
    }
    doc.says_any(i, TOTAL).map(|n| (What::Side(Side::Total), n))
}

/// `5 L / 5 R`, `5 left, 5 right`
fn split(doc: &Doc, i: usize, q: &Quantity) -> Option<(What, usize)> {
    let hand = |w: &str| match w {
        "l" | "left" => Some('l'),
        "r" | "right" => Some('r'),
        _ => None,
    };
    let Amount::One(a) = q.amount else { return None };
    let end = i + q.tokens;
    let first = hand(doc.low(end))?;
    let mut at = end + 1;
    while matches!(doc.low(at), "/" | "," | "+" | "and" | "&" | "-") {
        at += 1;
    }
    let other = quantity(doc.tokens.get(at..)?)?;
    let Amount::One(b) = other.amount else { return None };
    let second = hand(doc.low(at + other.tokens))?;
    (first != second).then_some((What::Split(a, b), at + other.tokens + 1 - i))
}

/// `build to a heavy triple`, `find your 5RM`, `work up to a heavy set of 3`
fn build(doc: &Doc, i: usize) -> Option<(What, usize)> {
    const LEAD: &[&str] = &[
        "build to",
        "build up to",
        "build",
        "work up to",
        "work to",
        "building to",
        "find",
        "find your",
        "establish",
        "ramp to",
        "ramp up to",
        "test",
        "test your",
        "go for",
        "retest",
        "up to",
        "take",
        "climb to",
        "warm up to",
    ];
    let lead = doc.says_any(i, LEAD).unwrap_or(0);
    let mut at = i + lead;
    let mut heavy = false;
    while matches!(
        doc.low(at),
        "a" | "an"
            | "your"
            | "the"
            | "today's"
            | "new"
            | "heavy"
            | "tough"
            | "max"
            | "good"
            | "strong"
            | "challenging"
            | "hard"
            | "maximum"
            | "solid"
            | "daily"
            | "best"
    ) {
        heavy |= matches!(doc.low(at), "heavy" | "tough" | "max" | "hard" | "challenging" | "maximum" | "daily" | "best");
        at += 1;
    }
    let under = matches!(
        doc.low(at + 1 + usize::from(doc.low(at + 1) == "-")),
        "under" | "unders" | "arm" | "leg" | "dumbbell" | "db" | "kb"
    );
    if let Some(n) = match doc.low(at) {
        _ if under => None,
        "single" => Some(1.0),
        "double" => Some(2.0),
        "triple" => Some(3.0),
        _ => None,
    } {
        return (lead > 0 || heavy).then_some((What::Build(n), at + 1 - i));
    }
    let set = doc.says_any(at, &["set of", "sets of"]).unwrap_or(0);
    let n = doc.tokens.get(at + set).and_then(Token::number).filter(|n| n.fract() == 0.0 && (1.0..=20.0).contains(n))?;
    let end = at + set + 1;
    if let Some(rm) = doc.says_any(end, &["rm", "rep max", "rep maximum", "- rep max", "reps max", "rep - max"]) {
        let loose = lead == 0 && !heavy && i > 0 && matches!(doc.low(i - 1), "of" | "your" | "%");
        return (!loose).then_some((What::Build(n), end + rm - i));
    }
    let reps = doc.says_any(end, &["reps", "rep", "- rep"]).unwrap_or(0);
    let goes_on = doc
        .tokens
        .get(end + reps)
        .is_some_and(|t| is_x(doc, end + reps) || t.is("-") && !t.spaced || t.is("%") || t.is("/") || t.is(":"));
    (lead > 0 && heavy && !goes_on).then_some((What::Build(n), end + reps - i))
}

/// `max reps`, `max hold`, `as long as possible`, `to failure`
fn max(doc: &Doc, i: usize) -> Option<(What, usize)> {
    const LONG: &[(&str, Option<Unit>)] = &[
        ("max reps", Some(Unit::Reps)),
        ("max rep", Some(Unit::Reps)),
        ("max hold", Some(Unit::Seconds)),
        ("max holds", Some(Unit::Seconds)),
        ("max time", Some(Unit::Seconds)),
        ("max distance", Some(Unit::Metres)),
        ("max metres", Some(Unit::Metres)),
        ("max meters", Some(Unit::Metres)),
        ("max cal", Some(Unit::Calories)),
        ("max cals", Some(Unit::Calories)),
        ("max calories", Some(Unit::Calories)),
        ("max effort", None),
        ("max unbroken", Some(Unit::Reps)),
        ("maximum", None),
        ("maximum reps", Some(Unit::Reps)),
        ("as long as possible", Some(Unit::Seconds)),
        ("as long as you can", Some(Unit::Seconds)),
        ("to failure", None),
        ("as many as possible", Some(Unit::Reps)),
        ("as many as you can", Some(Unit::Reps)),
        ("amap", Some(Unit::Reps)),
        ("max", None),
        ("one max set", None),
        ("max set", Some(Unit::Reps)),
        ("as far as possible", Some(Unit::Metres)),
        ("for distance", Some(Unit::Metres)),
        ("for calories", Some(Unit::Calories)),
        ("for cals", Some(Unit::Calories)),
        ("for max reps", Some(Unit::Reps)),
        ("for max distance", Some(Unit::Metres)),
        ("for max calories", Some(Unit::Calories)),
        ("for max cals", Some(Unit::Calories)),
        ("as far as you can", Some(Unit::Metres)),
    ];
    let (n, unit) = LONG.iter().filter_map(|(phrase, unit)| doc.says(i, phrase).map(|n| (n, *unit))).max_by_key(|(n, _)| *n)?;
    Some((What::Max(unit), n))
}
