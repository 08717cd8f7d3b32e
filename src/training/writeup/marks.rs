//! Words and signs that shape a write-up: headings, labels, scores, options, notes, punctuation.

use super::super::movement::Library;
use super::super::session::Role;
use super::clocks::count;
use super::element::{Doc, Heading, What};
use super::lexicon::Lexicon;
use super::tag::name;
use super::token::Kind;

/// Bullets, list numbers, labels and minutes, which only count at the beginning of a line.
pub fn line_start(doc: &Doc, i: usize, last: f64, library: &Library, lexicon: &Lexicon) -> Option<(What, usize)> {
    let t = doc.tokens.get(i)?;
    let next = doc.tokens.get(i + 1);
    if matches!(t.text, "-" | "–" | "—" | "*" | "•" | "·" | ">" | "#" | "+" | "~" | "▪" | "●" | "◦" | "✓") {
        let minus = matches!(t.text, "-") && next.is_some_and(|n| !n.spaced && n.kind == Kind::Number);
        return (!minus || next.is_some_and(|n| n.text.len() > 2))
            .then_some((What::Bullet(None), 1))
            .or(minus.then_some((What::Bullet(None), 1)).filter(|_| false));
    }
    if t.is("[") {
        let close = (1..=2).find(|n| doc.low(i + n) == "]")?;
        return Some((What::Bullet(None), close + 1));
    }
    minute(doc, i).or_else(|| numbered(doc, i, last)).or_else(|| label(doc, i, library, lexicon))
}

/// `min 1`, `minute 2:`, `1st min`, `odd`, `even minutes`
pub fn minute(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let colon = |at: usize| usize::from(matches!(doc.low(at), ":" | "-" | "=" | "–" | ")" | "." | "—"));
    if let Some(n) = doc.says_any(i, &["min", "minute", "minutes", "mins", "station", "st", "m", "window"]) {
        let at = i + n;
        let k = count(doc, at).filter(|k| k.fract() == 0.0 && (1.0..=60.0).contains(k))?;
        let short = doc.low(i) == "m" || doc.low(i) == "st";
        if short && doc.tokens[at].spaced || doc.low(i).starts_with("min") && doc.tokens.get(at + 1).is_some_and(|t| t.is("/")) {
            return None;
        }
        // `min 1/3/5` and `min 1-3` are several stations; the first one stands for them
        let end = at + 1;
        return Some((What::Minute(whole(k)), end + colon(end) - i));
    }
    if let (Some(k), Some(n)) =
        (ordinal(doc, i), doc.says_any(i + ordinal_tokens(doc, i), &["min", "minute", "station", "window", "interval"]))
    {
        let end = i + ordinal_tokens(doc, i) + n;
        return Some((What::Minute(k), end + colon(end) - i));
    }
    odd_even(doc, i)
}

fn odd_even(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let on = usize::from(doc.low(i) == "on");
    let k = match doc.low(i + on) {
        "odd" | "odds" => 1,
        "even" | "evens" => 2,
        _ => return None,
    };
    let mut end = i + on + 1;
    end += usize::from(matches!(doc.low(end), "min" | "mins" | "minute" | "minutes" | "rounds" | "numbers"));
    end += usize::from(matches!(doc.low(end), ":" | "-" | "=" | "–" | "—"));
    Some((What::Minute(k), end - i))
}

fn ordinal(doc: &Doc, i: usize) -> Option<u32> {
    Some(match doc.low(i) {
        "first" => 1,
        "second" => 2,
        "third" => 3,
        "fourth" => 4,
        "fifth" => 5,
        _ if matches!(doc.low(i + 1), "st" | "nd" | "rd" | "th") && !doc.tokens[i + 1].spaced => whole(doc.tokens[i].number()?),
        _ => return None,
    })
}

fn ordinal_tokens(doc: &Doc, i: usize) -> usize {
    if doc.tokens[i].kind == Kind::Number { 2 } else { 1 }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "the callers pass small whole numbers")]
fn whole(n: f64) -> u32 {
    n.clamp(0.0, 999.0) as u32
}

/// `1.`, `2)`, `3:` before something else: a list number.
/// With a spaced dash only where it goes on from the list number before, `last`: `10 - 12 burpees` is a range.
fn numbered(doc: &Doc, i: usize, last: f64) -> Option<(What, usize)> {
    let n = doc.tokens[i].number().filter(|n| n.fract() == 0.0 && *n < 40.0)?;
    let mark = doc.tokens.get(i + 1)?;
    let next = doc.tokens.get(i + 2)?;
    let dash = matches!(mark.text, "-" | "–" | "—") && mark.spaced && next.spaced && (n - last - 1.0).abs() < 0.01;
    let closes =
        dash || mark.is(")") || matches!(mark.text, "." | ":") && !mark.spaced && next.spaced && next.kind != Kind::Newline;
    (closes && !doc.tokens[i].text.contains(['.', ','])).then_some((What::Bullet(Some(n)), 2))
}

/// `A.`, `B)`, `A1`, `C2:`, `A -`
fn label(doc: &Doc, i: usize, library: &Library, lexicon: &Lexicon) -> Option<(What, usize)> {
    let t = &doc.tokens[i];
    if let Some(n) = doc.says_any(i, &["part", "block", "piece", "section"]) {
        let id =
            doc.tokens.get(i + n).filter(|t| t.text.chars().count() <= 2 && (t.kind == Kind::Number || t.kind == Kind::Word))?;
        let end = i + n + 1;
        let colon = usize::from(matches!(doc.low(end), ":" | "." | ")" | "-" | "–"));
        let known = doc.tokens[i + n].kind == Kind::Number || id.text.chars().count() == 1;
        return known.then(|| (What::Label(id.text.to_uppercase()), end + colon - i));
    }
    let letter = doc.tokens.get(i + 1).filter(|l| !l.spaced && matches!(doc.low(i + 1), "a" | "b" | "c" | "d"));
    if let (Kind::Number, 1, Some(letter)) = (t.kind, t.text.len(), letter)
        && matches!(doc.low(i + 2), "." | ")" | ":" | "-")
    {
        return Some((What::Label(format!("{}{}", t.text, letter.text.to_uppercase())), 3));
    }
    if t.kind != Kind::Word
        || t.text.chars().count() != 1
        || !t.text.chars().all(|c| c.is_ascii_alphabetic())
        || name(doc, i, library, lexicon).is_some_and(|(_, n)| n > 1)
    {
        return None;
    }
    let letter = t.text.to_uppercase();
    let next = doc.tokens.get(i + 1)?;
    if next.kind == Kind::Number
        && !next.spaced
        && next.text.len() == 1
        && ('A'..='H').contains(&letter.chars().next()?)
        && !doc.low(i + 2).starts_with("mom")
    {
        let close = doc.tokens.get(i + 2).is_some_and(|m| matches!(m.text, "." | ")" | ":" | "-" | "–" | "—"));
        return Some((What::Label(format!("{letter}{}", next.text)), 2 + usize::from(close)));
    }
    let sign = matches!(next.text, "." | ")" | ":") || matches!(next.text, "-" | "–" | "—") && next.spaced;
    (sign && ('A'..='H').contains(&letter.chars().next()?)).then_some((What::Label(letter), 2))
}

/// Words that shape what follows.
pub fn read(doc: &Doc, i: usize) -> Option<(What, usize)> {
    if doc.tokens[i].kind != Kind::Word {
        return None;
    }
    const FOR_TIME: &[&str] = &[
        "for time",
        "fortime",
        "rft",
        "4 time",
        "as fast as possible",
        "for best time",
        "for a time",
        "on time",
        "for your best time",
        "as quickly as possible",
        "as fast as you can",
        "against the clock",
    ];
    const NOT: &[&str] = &["not for time", "nft", "no clock", "not timed", "not a race", "no rush", "not against the clock"];
    const SCORE: &[&str] = &[
        "score",
        "scores",
        "scoring",
        "your score",
        "post",
        "log",
        "record",
        "result",
        "results",
        "report",
        "enter",
        "note down",
        "write down",
        "score it",
        "send me",
        "count total reps",
        "count reps",
        "count your reps",
        "count all reps",
        "count every rep",
        "total reps",
    ];
    const NOTE: &[&str] = &[
        "note",
        "notes",
        "nb",
        "n b",
        "ps",
        "p s",
        "coach note",
        "coach's note",
        "coaches note",
        "tip",
        "tips",
        "cue",
        "cues",
        "video",
        "link",
        "equipment",
        "kit",
        "kit list",
        "kit needed",
        "reminder",
        "focus",
        "ex",
        "e g",
        "example",
        "demo",
        "standard",
        "standards",
        "points",
        "key points",
        "watch",
        "stimulus",
        "feel",
    ];
    const AIM: &[&str] = &[
        "aim",
        "aims",
        "goal",
        "goals",
        "intent",
        "intention",
        "purpose",
        "today is about",
        "today's about",
        "today we work on",
        "todays aim",
        "today's aim",
        "today's goal",
        "the aim",
        "the goal",
        "the point",
        "session aim",
        "aim of today",
        "objective",
    ];
    const OPTION: &[&str] = &[
        "short version",
        "shorter version",
        "short option",
        "shorter option",
        "shorter",
        "or shorter",
        "short",
        "scaled",
        "scale",
        "scaling",
        "scaled version",
        "short on time",
        "beginner",
        "beginners",
        "beginner version",
        "beginner option",
        "easier",
        "easier option",
        "easier version",
        "lighter",
        "lighter version",
        "lighter option",
        "option",
        "options",
        "new here",
        "less time",
        "quick version",
        "quiet version",
        "quiet option",
        "longer version",
        "long version",
        "harder",
        "harder option",
        "no time",
        "in a hurry",
        "option b",
        "easy version",
        "easy option",
        "lite version",
        "lite",
        "light version",
        "light option",
        "mini version",
        "half version",
        "short for time",
        "pressed for time",
    ];
    let found = [
        doc.says_any(i, NOT).map(|n| (What::NotForTime, n)),
        doc.says_any(i, FOR_TIME).map(|n| (What::ForTime, n)),
        role(doc, i),
        heading(doc, i),
        doc.says_any(i, OPTION).map(|n| (What::Option, n)),
        doc.says_any(i, AIM).map(|n| (What::Aim, n)),
        doc.says_any(i, SCORE).map(|n| (What::Score, n)),
        doc.says_any(i, NOTE).filter(|n| matches!(doc.low(i + n), ":" | "-" | "–" | "=")).map(|n| (What::Note, n)),
        doc.says_any(i, &["no score", "not scored", "nothing to score", "unscored"]).map(|n| (What::Score, n)),
        ladder(doc, i),
        doc.says_any(i, &["intervals", "interval"]).map(|n| (What::Intervals, n)),
        doc.says_any(i, &["each one"]).map(|n| (What::EachRound, n)),
        doc.says_any(
            i,
            &["instead of", "in place of", "instead", "sub", "subs", "swap", "swap for", "substitute", "replace with", "replace"],
        )
        .filter(|n| doc.tokens.get(i + n).is_none_or(|t| t.number().is_none()))
        .map(|n| (What::Instead, n)),
        doc.says_any(i, &["or", "alternatively", "otherwise", "oder"]).map(|n| (What::Or, n)),
        doc.says_any(
            i,
            &[
                "then",
                "and then",
                "after that",
                "afterwards",
                "followed by",
                "into",
                "straight into",
                "next",
                "next up",
                "finish with",
                "finally",
                "to finish",
                "and finally",
                "later",
            ],
        )
        .map(|n| (What::Then, n)),
        doc.says_any(i, &["plus", "and also"]).map(|n| (What::Plus, n)),
        step(doc, i),
    ];
    found.into_iter().flatten().max_by_key(|(_, n)| *n)
}

fn role(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let (what, n) = match doc.low(i) {
        "buy" | "buyin" => (What::Role(Role::BuyIn), doc.says_any(i, &["buy in", "buyin", "buy - in"])?),
        "cash" | "cashout" => match doc.says_any(i, &["cash out", "cashout"]) {
            Some(n) => (What::Role(Role::CashOut), n),
            None => (What::Role(Role::BuyIn), doc.says(i, "cash in")?),
        },
        "finisher" | "opener" => return None,
        _ => return None,
    };
    Some((what, n))
}

fn ladder(doc: &Doc, i: usize) -> Option<(What, usize)> {
    doc.says_any(
        i,
        &[
            "ladder",
            "ladder up",
            "ladder down",
            "ascending ladder",
            "descending ladder",
            "ascending",
            "descending",
            "pyramid",
            "ladders",
            "climbing ladder",
            "rungs",
            "rung",
        ],
    )
    .map(|n| (What::Ladder, n))
}

/// `add 2 every round`, `+2 each round`, `up by 3`
fn step(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let n = doc.says_any(i, &["add", "adding", "go up by", "up by", "increase by", "increasing by", "plus"])?;
    let by = count(doc, i + n).filter(|k| *k > 0.0 && *k < 50.0)?;
    let mut end = i + n + 1;
    end += usize::from(matches!(doc.low(end), "rep" | "reps" | "more" | "each" | "to"));
    let each = doc.says_any(
        end,
        &[
            "every round",
            "each round",
            "per round",
            "a round",
            "every time",
            "each time",
            "every rung",
            "each rung",
            "every minute",
            "each minute",
            "per rung",
            "reps every round",
            "reps each round",
            "movement each round",
            "each set",
            "rep each round",
        ],
    )?;
    Some((What::Step(by), end + each - i))
}

fn heading(doc: &Doc, i: usize) -> Option<(What, usize)> {
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
        (Heading::CoolDown, &["cool down", "cooldown", "cool off", "down regulation", "wind down", "cd"]),
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
    WORDS.iter().filter_map(|(h, phrases)| doc.says_any(i, phrases).map(|n| (What::Heading(*h), n))).max_by_key(|(_, n)| *n)
}

/// Marks of punctuation, each by its use.
pub fn punctuation(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let t = &doc.tokens[i];
    let next_spaced = doc.tokens.get(i + 1).is_none_or(|n| n.spaced || n.kind == Kind::Newline);
    let what = match t.kind {
        Kind::Newline => What::Newline,
        Kind::Link => What::Link,
        Kind::Dots | Kind::Other => What::Stop,
        Kind::Arrow => What::Colon,
        Kind::Mark => match t.text {
            "(" | "[" => What::Open,
            ")" | "]" => What::Close,
            "," => What::Comma,
            ";" | "|" | "!" | "?" | "•" | "·" | "▪" | "●" | "◦" => What::Stop,
            "." if next_spaced => What::Stop,
            ":" | "=" => What::Colon,
            "-" | "–" | "—" => What::Dash,
            "+" => What::Plus,
            "&" => What::Word,
            "/" => What::Slash,
            _ => return None,
        },
        _ => return None,
    };
    Some((what, 1))
}
