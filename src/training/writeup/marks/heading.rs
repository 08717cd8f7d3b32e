//! Words that name a part.

use super::super::element::{Doc, Heading, What};
use super::super::token::Kind;
use super::after_rest;

pub(super) fn heading(doc: &Doc, i: usize) -> Option<(What, usize)> {
    if doc.low(i) == "after"
        && ((matches!(doc.low(i + 1), "each" | "every" | "all") || doc.says(i + 1, "the last").is_some())
            || after_rest(doc, i).is_some())
    {
        // `after every rung 100 m run`: when, not a part
        return None;
    }
    if let Some(n) = warms(doc, i) {
        return Some((What::Heading(Heading::WarmUp), n));
    }
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
    // words that often stand in a sentence too: headings where a colon or the end of the line follows
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
    let alone = ALONE.iter().filter_map(|(h, phrases)| doc.says_any(i, phrases).map(|n| (What::Heading(*h), n)));
    let with = |n: usize| doc.low(i + n) == "with" && matches!(doc.low(i), "close" | "end" | "land" | "settle");
    let ends = |n: usize| with(n) || matches!(doc.low(i + n), ":" | "\n" | "·") || doc.tokens.get(i + n).is_none();
    let opens = i == 0 || doc.tokens[i - 1].kind != Kind::Word && doc.low(i - 1) != ",";
    if let Some(found) = alone.filter(|(_, n)| opens && ends(*n)).max_by_key(|(_, n)| *n) {
        return Some(found);
    }
    let (h, n) = WORDS.iter().filter_map(|(h, phrases)| doc.says_any(i, phrases).map(|n| (*h, n))).max_by_key(|(_, n)| *n)?;
    Some((What::Heading(h), n + usize::from(opens && is_numbered(doc, i + n, h))))
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
