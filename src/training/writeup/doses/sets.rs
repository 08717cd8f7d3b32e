//! How many sets, and of what.

use super::super::super::dose::Amount;
use super::super::clocks;
use super::super::element::{Doc, What};
use super::super::quantity::{Quantity, Unit, number, quantity};
use super::super::token::Kind;
use super::load::weight;
use super::{NameAt, is_x};

/// `sets of 10-20` with no number before it: so many at a time.
pub fn in_sets_of(doc: &Doc, i: usize) -> Option<(What, usize)> {
    if let Some(n) = doc.says_any(i, &["top set of", "one set of", "a set of", "one top set of", "a top set of"]) {
        let q = quantity(doc.tokens.get(i + n..)?).filter(|q| matches!(q.unit, Unit::Bare | Unit::Reps))?;
        let used = n + q.tokens;
        return Some((What::SetsOf(1.0, q), used));
    }
    let n = doc.says_any(i, &["sets of", "small sets of", "unbroken sets of", "short sets of", "easy sets of"])?;
    let q = quantity(doc.tokens.get(i + n..)?).filter(|q| matches!(q.unit, Unit::Bare | Unit::Reps))?;
    Some((What::Dose(Quantity { unit: Unit::Reps, ..q.clone() }), n + q.tokens))
}

/// `two waves: 5-3-1`, `three little tests`, `3 blocks, 4 min AMRAP each`: of how many pieces a day or a part is made.
/// Nothing to be done that often, but for blocks of a window.
pub fn pieces(doc: &Doc, i: usize, q: &Quantity, name_at: NameAt) -> Option<(What, usize)> {
    if q.unit == Unit::Sets && supersets(doc, i + q.tokens - 1) {
        return Some((What::Word, q.tokens));
    }
    let (Amount::One(n), Unit::Bare, false) = (&q.amount, q.unit, q.negative) else { return None };
    let noun = |at: usize| {
        matches!(
            doc.low(at),
            "waves"
                | "tests"
                | "tasks"
                | "parts"
                | "things"
                | "pieces"
                | "sections"
                | "blocks"
                | "bits"
                | "chunks"
                | "phases"
                | "notes"
                | "reminders"
                | "questions"
                | "announcements"
        )
    };
    let plain = |at: usize| doc.tokens.get(at).is_some_and(|t| t.kind == Kind::Word) && !name_at(at);
    let at = (i + q.tokens..i + q.tokens + 3).take_while(|at| plain(*at)).find(|at| noun(*at))?;
    if doc.low(at + 1) == "of" {
        return waves(doc, at, *n).map(|(what, used)| (what, at + 2 + used - i)).or_else(|| {
            let timed = doc.low(at) == "blocks" && clocks::worked_and_off(doc, at + 2).is_some();
            // `two bits of admin`
            let talk = matches!(doc.low(at), "bits" | "things" | "pieces").then_some((What::Word, at + 1 - i));
            timed.then(|| (What::Dose(Quantity { unit: Unit::Rounds, ..q.clone() }), at + 2 - i)).or(talk)
        });
    }
    let line = doc.tokens[i].line;
    let behind = (at + 1..(at + 12).min(doc.tokens.len())).take_while(|t| doc.tokens[*t].line == line);
    let windows = doc.low(at) == "blocks" && behind.into_iter().any(|t| matches!(doc.low(t), "amrap" | "amraps" | "on" | "emom"));
    Some((if windows { What::Times(*n) } else { What::Word }, at + 1 - i))
}

/// `two supersets, then out`, and below it `Superset one`: how many there are of them.
fn supersets(doc: &Doc, at: usize) -> bool {
    let which = |t: usize| matches!(doc.low(t), "one" | "1" | "a");
    doc.low(at) == "supersets" && (at + 1..(at + 40).min(doc.tokens.len())).any(|t| doc.low(t) == "superset" && which(t + 1))
}

/// `2 waves of 3-2-1`: the list so often.
fn waves(doc: &Doc, at: usize, n: f64) -> Option<(What, usize)> {
    let q = quantity(doc.tokens.get(at + 2..)?).filter(|q| matches!(q.unit, Unit::Bare | Unit::Reps))?;
    let Amount::Scheme(list) = &q.amount else { return None };
    let often = (1..=5).take_while(|k| f64::from(*k) <= n).flat_map(|_| list.clone()).collect();
    let used = q.tokens;
    (doc.low(at) == "waves").then(|| (What::Dose(Quantity { amount: Amount::Scheme(often), ..q.clone() }), used))
}

/// `5 x (2+1)`: brackets that hold nothing but what one set is.
pub fn sets_in_brackets(doc: &Doc, i: usize, q: &Quantity) -> Option<(What, usize)> {
    let at = i + q.tokens;
    let (Amount::One(sets), Unit::Bare) = (&q.amount, q.unit) else { return None };
    let open = is_x(doc, at) && doc.low(at + 1) == "(";
    let dose = quantity(doc.tokens.get(at + 2..).filter(|_| open)?)?;
    let end = at + 2 + dose.tokens;
    let counts = matches!(dose.unit, Unit::Bare | Unit::Reps) && doc.low(end) == ")";
    counts.then_some((What::SetsOf(*sets, dose), end + 1 - i))
}

/// `back-off sets of`: how many tokens.
fn kind_of_sets(doc: &Doc, at: usize) -> Option<usize> {
    const KINDS: &[&str] = &[
        "back off sets of",
        "backoff sets of",
        "drop sets of",
        "working sets of",
        "work sets of",
        "lighter sets of",
        "more sets of",
        "heavy sets of",
        "straight sets of",
        "top sets of",
        "easy sets of",
        "hard sets of",
        "light sets of",
        "down sets of",
        "trips of",
        "lengths of",
        "passes of",
        "runs of",
        "walks of",
        "carries of",
        "bouts of",
        "efforts of",
        "goes of",
        "holds of",
        "hangs of",
    ];
    doc.says_any(at, KINDS)
}

/// `3-4 x 8`, `2-3 x 30 s`: as many sets as one likes of these; `8-10 x 3` is so many reps in each of three sets.
fn range_of_sets(doc: &Doc, i: usize, q: &Quantity) -> Option<(What, usize)> {
    let (Amount::Range(_, most), Unit::Bare) = (&q.amount, q.unit) else { return None };
    let at = i + q.tokens;
    let of = quantity(doc.tokens.get(at + 1..).filter(|_| is_x(doc, at))?)?;
    let reps = matches!(of.unit, Unit::Bare | Unit::Reps) && (of.amount.low() > *most || matches!(of.amount, Amount::Range(..)));
    let told = reps || matches!(of.unit, Unit::Seconds | Unit::Metres);
    (told && *most <= 6.0).then(|| (What::Dose(Quantity { unit: Unit::Sets, ..q.clone() }), q.tokens + 1))
}

/// `4 x 4 min on the rower`: where it is done, and no time on and off.
fn on_something(doc: &Doc, at: usize) -> bool {
    doc.low(at) == "on" && matches!(doc.low(at + 1), "the" | "a" | "an" | "your" | "any")
}

/// `three sets of a twenty-five second hold`: the article before a time or a way.
fn article(doc: &Doc, at: usize) -> usize {
    let held = || doc.tokens.get(at + 1..).and_then(quantity).is_some_and(|q| matches!(q.unit, Unit::Seconds | Unit::Metres));
    usize::from(matches!(doc.low(at), "a" | "an") && held())
}

/// Short of the limit.
const SUBMAX: &[&str] =
    &["submax", "sub max", "sub - max", "submaximal", "sub - maximal", "submax reps", "sub max reps", "sub - max reps"];

/// `5x5`, `3 sets of 8-10`, `4 x 400 m`, `3 x max`, and `2 x 22.5/15 kg` which is a pair of loads.
pub fn sets_of(doc: &Doc, i: usize, q: &Quantity, name_at: NameAt) -> Option<(What, usize)> {
    if let Some(found) = range_of_sets(doc, i, q) {
        return Some(found);
    }
    // `1+1 x 5` is how often each piece is done, and then how many sets
    let (Amount::One(sets), true) = (&q.amount, q.sum.is_empty()) else { return None };
    let (sets, mut at) = (*sets, i + q.tokens);
    match q.unit {
        Unit::Bare if is_x(doc, at) => at += 1,
        Unit::Sets if is_x(doc, at) || doc.low(at) == "of" => at += 1 + article(doc, at + 1),
        Unit::Rounds if is_x(doc, at) => at += 1,
        // `3 sets 10 reps`, `3 sets 30 s`
        Unit::Sets => {}
        // `five by five`
        Unit::Bare if doc.low(at) == "by" && doc.tokens.get(at + 1).and_then(number).is_some_and(|n| n.0 <= 20.0) => at += 1,
        // `3 back-off sets of 5`
        Unit::Bare if kind_of_sets(doc, at).is_some() => at += kind_of_sets(doc, at).unwrap_or(0),
        // `4 times 8`
        Unit::Bare if doc.low(at) == "times" && doc.tokens.get(at + 1).is_some_and(|t| t.kind == Kind::Number) => at += 1,
        _ => return None,
    }
    if is_x(doc, at - 1) && is_x(doc, at) {
        at += 1;
    }
    if let Some(n) = doc.says_any(at, SUBMAX).filter(|_| q.unit != Unit::Rounds) {
        // `5 x submax`: so many sets, and as many reps as are good
        return Some((What::Dose(Quantity { unit: Unit::Sets, ..q.clone() }), at + n - i));
    }
    if doc.says_any(at, &["max", "amrap", "maximum", "as many as possible", "max reps", "max effort"]).is_some()
        && q.unit != Unit::Rounds
    {
        let amrap_window = doc.low(at) == "amrap" && quantity(doc.tokens.get(at + 1..)?).is_some_and(|w| !w.negative);
        let n = doc.says_any(at, &["max reps", "max effort", "max hold", "max", "amrap", "maximum"]).unwrap_or(1);
        return (!(amrap_window || doc.low(at) == "amrap" && doc.low(at + 1) == "of"))
            .then_some((What::SetsOfMax(sets), at + n - i));
    }
    let mut dose = quantity(doc.tokens.get(at..)?)?;
    let behind = doc.tokens.get(at + 2..).filter(|_| doc.tokens[at + 1].spaced && doc.tokens[at].kind == Kind::Number);
    let told = |q: Quantity| matches!(q.unit, Unit::Percent | Unit::Kg | Unit::Lb);
    if let Amount::Range(reps, _) = dose.amount
        && behind.and_then(quantity).is_some_and(told)
    {
        // `4 x 6 - 75 %`: reps, and then how heavy
        dose = Quantity::bare(Amount::One(reps));
    }
    let end = at + dose.tokens;
    if let Some((on, off, used)) = clocks::windows(doc, at, &dose).filter(|_| sets >= 4.0 && q.unit != Unit::Sets) {
        return Some((What::Windows(on, off, sets), at + used - i));
    }
    match dose.unit {
        Unit::Kg | Unit::Lb if sets <= 2.0 && q.unit == Unit::Bare => {
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "one or two")]
            let n = sets.max(1.0) as u8;
            Some((What::Load(weight(&dose), Some(n)), end - i))
        }
        // `6 hang cleans 2x22,5/15`: a pair, and its unit is asked for
        Unit::Bare
            if sets <= 2.0 && q.unit == Unit::Bare && matches!(dose.amount, Amount::Columns(..)) && dose.amount.high() > 5.0 =>
        {
            Some((What::BareLoad(dose.amount.high()), end - i))
        }
        Unit::Rounds | Unit::Sets | Unit::Kg | Unit::Lb | Unit::Percent => None,
        // `3 sets, 10 squats` or `3 rounds x 2 min`: only glue that says so makes a set of it
        Unit::Bare | Unit::Reps if q.unit == Unit::Rounds => None,
        // `3 x 12 min AMRAP` has its own tag
        Unit::Seconds if doc.says_any(end, &["amrap", "emom", "on", "work"]).is_some() && !on_something(doc, end) => None,
        Unit::Seconds if clocks::both_halves(doc, end, &dose) => None,
        Unit::Bare if q.unit == Unit::Sets && at == i + q.tokens && name_at(end) => None,
        _ => Some((What::SetsOf(sets, dose), end - i)),
    }
}
