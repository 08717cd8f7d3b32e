//! Words that name a part.

use super::super::element::{Doc, Heading, What};
use super::super::token::Kind;
use super::after_rest;

/// `Warm-up`, `Finisher 1:`, `last bit` alone on its line
pub(super) fn heading(doc: &Doc, i: usize) -> Option<(What, usize)> {
    if tells_when(doc, i) {
        return None;
    }
    if let Some(n) = warms(doc, i) {
        return Some((What::Heading(Heading::WarmUp), n));
    }
    let with = |n: usize| doc.low(i + n) == "with" && matches!(doc.low(i), "close" | "end" | "land" | "settle");
    let ends = |n: usize| with(n) || matches!(doc.low(i + n), ":" | "\n" | "·") || doc.tokens.get(i + n).is_none();
    let opens = i == 0 || doc.tokens[i - 1].kind != Kind::Word && doc.low(i - 1) != ",";
    let alone = named(doc, i, ALONE).filter(|(_, n)| opens && ends(*n)).max_by_key(|(_, n)| *n);
    let (h, n) = alone.or_else(|| {
        let (h, n) = named(doc, i, WORDS).max_by_key(|(_, n)| *n)?;
        Some((h, n + usize::from(opens && is_numbered(doc, i + n, h))))
    })?;
    Some((What::Heading(h), n))
}

/// What the phrases at `i` name, and how many tokens each takes.
fn named<'d>(doc: &'d Doc, i: usize, words: &'d [(Heading, &[&str])]) -> impl Iterator<Item = (Heading, usize)> + 'd {
    words.iter().filter_map(move |(h, phrases)| doc.says_any(i, phrases).map(|n| (*h, n)))
}

/// `after every rung 100 m run`, `after 3 minutes rest`: when, not a part.
fn tells_when(doc: &Doc, i: usize) -> bool {
    let each = || matches!(doc.low(i + 1), "each" | "every" | "all") || doc.says(i + 1, "the last").is_some();
    doc.low(i) == "after" && (each() || after_rest(doc, i).is_some())
}

/// `Warm the hips up for five minutes`
fn warms(doc: &Doc, i: usize) -> Option<usize> {
    let the = doc.says_any(i, &["warm the", "warm your", "warm those"])?;
    let up = (i + the + 1..i + the + 3).find(|&t| doc.low(t) == "up")?;
    doc.tokens[i..up].iter().all(|t| t.kind == Kind::Word).then_some(up + 1 - i)
}

/// `Test 2 - max pull-ups`, `Finisher 1: ...`: which of several it is, and no number of anything.
fn is_numbered(doc: &Doc, at: usize, heading: Heading) -> bool {
    let few = doc.tokens.get(at).filter(|t| t.kind == Kind::Number && t.chars == 1 && t.spaced);
    let sign = doc.tokens.get(at + 1).filter(|s| s.is(":") || matches!(s.text, "-" | "–" | "—") && s.spaced);
    let word = sign.is_some() && doc.tokens.get(at + 2).is_some_and(|t| t.spaced && t.kind == Kind::Word);
    few.is_some()
        && match heading {
            // `Test 1 - 1.5 km run`
            Heading::Test => sign.is_some() || matches!(doc.low(at + 1), "\n" | ")"),
            Heading::Strength | Heading::Skill | Heading::Conditioning => word,
            _ => false,
        }
}

/// Words that name a part wherever they stand.
const WORDS: &[(Heading, &[&str])] = &[
    (
        Heading::WarmUp,
        &[
            "warm up",
            "warmup",
            "wu",
            "warming up",
            "w / u",
            "prep",
            "activation",
            "primer",
            "opener",
            "get warm",
            "general warm up",
            "warm up flow",
        ],
    ),
    (
        Heading::CoolDown,
        &[
            "cool down",
            "cooldown",
            "cool off",
            "cooling down",
            "cooling off",
            "warm down",
            "warming down",
            "down regulation",
            "wind down",
            "cd",
            "unwind",
            "settle down",
            "come down",
            "ease down",
        ],
    ),
    (
        Heading::Mobility,
        &[
            "mobility",
            "stretch",
            "stretching",
            "flow",
            "mobility flow",
            "stretches",
            "mobility work",
            "flexibility",
            "movement flow",
            "loosen up",
            "loosening",
            "stretch out",
            "stretch down",
            "recovery flow",
        ],
    ),
    (
        Heading::Skill,
        &[
            "skill",
            "skills",
            "technique",
            "practice",
            "practise",
            "skill practice",
            "skill work",
            "technique work",
            "gymnastics",
            "drill",
            "drills",
            "skill practise",
            "play time",
        ],
    ),
    (
        Heading::Strength,
        &[
            "strength",
            "str",
            "accessory",
            "accessories",
            "lift",
            "lifting",
            "back off",
            "back offs",
            "back off sets",
            "backoff",
            "backoffs",
            "assistance",
            "weightlifting",
            "olympic",
            "main lift",
            "accessory work",
            "heavy",
            "strength work",
            "bodybuilding",
            "pump",
            "core",
            "core work",
            "lifts",
        ],
    ),
    (
        Heading::Conditioning,
        &[
            "conditioning",
            "cond",
            "metcon",
            "engine",
            "cardio",
            "finisher",
            "finish",
            "wod",
            "chipper",
            "circuit",
            "sweat",
            "workout",
            "burner",
            "main piece",
            "hit out",
            "conditioning piece",
            "core finisher",
        ],
    ),
    (Heading::Test, &["retest", "re test", "test day", "retest day", "testing", "test", "benchmark"]),
    (
        Heading::Plain,
        &[
            "after",
            "main",
            "main set",
            "main part",
            "session",
            "first",
            "afters",
            "main session",
            "part one",
            "part two",
            "bonus",
            "extra",
            "second",
            "main bit",
            "main block",
            "optional",
        ],
    ),
];

/// Words that often stand in a sentence too: headings where a colon or the end of the line follows.
const ALONE: &[(Heading, &[&str])] = &[
    (Heading::WarmUp, &["warm"]),
    (Heading::CoolDown, &["down", "close", "closing", "land", "settle", "settle in", "breathe", "breathe first", "calm"]),
    (
        Heading::Plain,
        &[
            "last",
            "finally",
            "the main",
            "last one",
            "challenge",
            "the end",
            "end",
            "final part",
            "next",
            "last bit",
            "final bit",
            "next bit",
            "third bit",
            "last part",
            "next part",
            "last piece",
            "next piece",
            "final piece",
            "last block",
            "final block",
            "last job",
            "before",
            "dessert",
            "starter",
            "main course",
        ],
    ),
];
