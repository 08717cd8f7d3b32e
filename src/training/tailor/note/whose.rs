//! Whose body it is, whether it is denied, and whether it is long past.

use super::text::Word;

/// Words that turn a phrase around when they stand right before it.
const NEGATIONS: &[&str] = &[
    "not", "no", "never", "without", "isnt", "dont", "non", "havent", "hasnt", "didnt", "wasnt", "arent", "werent", "doesnt",
    "aint", "neither", "nor", "nothing", "nobody", "zero",
];

/// Words after a negation that take its force away: `not good`, `no worries`.
const NO_DENIAL: &[&str] = &[
    "good", "great", "well", "bad", "too", "so", "just", "happy", "nice", "able", "long", "sure", "only", "longer", "until",
    "till", "unless", "idea", "clue", "worries", "worry", "problem", "doubt", "surprise", "wonder", "joke", "kidding", "big",
    "need", "reason", "excuse", "really", "yet", "better", "fully", "quite",
];

/// A word close before `at` denies what stands there; `no pain or numbness` denies both, `no history of` whatever follows.
pub(super) fn denied(text: &[Word], at: usize) -> bool {
    let before: Vec<&str> = same_clause(text, at).map(|w| w.text.as_str()).collect();
    let unsure = before.iter().any(|w| ["sure", "longer", "only", "until", "till", "unless"].contains(w));
    let joined = before.iter().rev().take(2).any(|w| ["or", "nor", "any"].contains(w));
    let history = before.windows(2).any(|w| w[1] == "of" && ["history", "sign", "signs", "trace"].contains(&w[0]));
    let reach = if joined || history { 6 } else { 2 };
    let from = before.len().saturating_sub(reach);
    let no = (from..before.len())
        .any(|i| NEGATIONS.contains(&before[i]) && before.get(i + 1).is_none_or(|next| !NO_DENIAL.contains(next)));
    let after = text.get(at..).unwrap_or_default().iter().take(5).map(|w| w.text.as_str()).collect::<Vec<_>>();
    let was = after.contains(&"anymore") || after.windows(2).any(|w| w == ["any", "more"]);
    no && !unsure && !was
}

/// The words of the same clause before `at`, first to last.
fn same_clause(text: &[Word], at: usize) -> impl Iterator<Item = &Word> {
    let clause = text.get(at).map_or(0, |w| w.clause);
    text[..at.min(text.len())].iter().filter(move |w| w.clause == clause)
}

/// People and animals of whom a member may write.
const OTHERS: &[&str] = &[
    "partner",
    "wife",
    "husband",
    "hubby",
    "missus",
    "girlfriend",
    "boyfriend",
    "fiancee",
    "fiance",
    "spouse",
    "sister",
    "brother",
    "mother",
    "father",
    "mum",
    "mom",
    "dad",
    "daughter",
    "son",
    "kid",
    "kids",
    "child",
    "children",
    "toddler",
    "friend",
    "friends",
    "mate",
    "flatmate",
    "roommate",
    "housemate",
    "neighbour",
    "neighbours",
    "neighbor",
    "neighbors",
    "colleague",
    "boss",
    "client",
    "teacher",
    "aunt",
    "auntie",
    "uncle",
    "cousin",
    "nephew",
    "niece",
    "grandmother",
    "grandfather",
    "grandma",
    "grandpa",
    "granny",
    "gran",
    "nan",
    "grandad",
    "dog",
    "cat",
    "horse",
    "puppy",
    "rabbit",
];
/// Whose birth is also somebody's giving birth.
const CHILDREN: &[&str] = &["daughter", "son", "child", "children", "kid"];
/// Words for oneself, and words that begin something else: after one of them the clause is the member's own.
const OWN: &[&str] =
    &["i", "im", "ive", "id", "me", "my", "we", "weve", "our", "us", "mine", "myself", "but", "so", "because", "now"];
/// Words that stand before a person.
const BEFORE: &[&str] = &["my", "our", "the", "a", "an", "his", "her", "their", "poor", "old", "little", "elder", "younger"];
/// Words after which a person may be whom the rest is about.
const OPENING: &[&str] = &[
    "and",
    "but",
    "so",
    "if",
    "when",
    "while",
    "as",
    "since",
    "that",
    "because",
    "then",
    "today",
    "yesterday",
    "now",
    "also",
    "sadly",
    "apparently",
    "until",
    "after",
    "before",
];
/// What somebody else is or does, after `she` or `he`.
const DOES: &[&str] = &["is", "was", "has", "had", "got", "gave", "broke", "fell", "tore", "needs", "just", "will"];

/// The clause is about somebody else: `my partner is pregnant`, `wife is 30 weeks along`, `she is expecting`.
pub(super) fn of_another(text: &[Word], at: usize, len: usize) -> bool {
    let clause = text.get(at).map_or(0, |w| w.clause);
    let before: Vec<&str> = same_clause(text, at).map(|w| w.text.as_str()).collect();
    let hit: Vec<&str> = text[at..].iter().take(len).map(|w| w.text.as_str()).collect();
    let own_birth = hit.iter().any(|w| ["born", "arrived", "delivered"].contains(w)) || is_an_infants_age(&hit);
    // `my pregnant wife`
    let next = text.get(at + len).filter(|w| w.clause == clause).map(|w| w.text.as_str());
    let of_them = ["pregnan", "expect", "injured", "sick", "newborn"];
    let says = text.get(at).is_some_and(|w| of_them.iter().any(|o| w.text.starts_with(o)));
    if says && next.is_some_and(|n| person(n).is_some()) {
        return true;
    }
    match (0..before.len()).rev().find(|&i| begins_another(&before, i, next)) {
        Some(i) => !(mine_again(&before[i + 1..]) || (own_birth && CHILDREN.contains(&before[i]))),
        // `my wife, who is pregnant`: the clause before says of whom it is
        None => {
            let relative = before.first().is_some_and(|w| ["who", "whos", "whose"].contains(w));
            let start = at - before.len();
            relative && start > 0 && text.get(start - 1).is_some_and(|w| person(&w.text).is_some())
        }
    }
}

/// `weeks old`: an age that is not told in years tells of a birth, as `was born` does.
fn is_an_infants_age(words: &[&str]) -> bool {
    words.windows(2).any(|w| w[1] == "old" && !w[0].starts_with("year") && !w[0].starts_with("yr"))
        && words.iter().any(|w| ["week", "wk", "day", "month", "mth"].iter().any(|unit| w.starts_with(unit)))
}

/// `wife`, `wifes`.
fn person(word: &str) -> Option<&str> {
    let one = word.strip_suffix('s').unwrap_or(word);
    OTHERS.contains(&word).then_some(word).or_else(|| OTHERS.contains(&one).then_some(one))
}

fn begins_another(before: &[&str], i: usize, phrase: Option<&str>) -> bool {
    let word = before[i];
    if person(word).is_some() {
        // somebody of whom something is told, not somebody to whom something is done: `lifting my son hurts`
        let leading = before[..i].iter().rposition(|w| !BEFORE.contains(w));
        return leading.is_none_or(|l| OPENING.contains(&before[l]));
    }
    let next = before.get(i + 1).copied();
    match word {
        "baby" => next.is_some_and(|n| ["has", "had", "got", "caught", "kept", "woke", "with"].contains(&n)),
        "shes" | "hes" | "theyre" => true,
        "she" | "he" => next.map_or_else(|| phrase.is_some(), |n| DOES.contains(&n)),
        "her" | "his" => next.is_none() || i == 0,
        _ => false,
    }
}

/// A word for oneself, or an `and` that does not go on about the other.
fn mine_again(words: &[&str]) -> bool {
    words.iter().enumerate().any(|(i, w)| {
        let goes_on = words
            .get(i + 1)
            .is_some_and(|n| ["is", "was", "has", "her", "his", "their", "she", "he", "they", "needs"].contains(n));
        OWN.contains(w) || (*w == "and" && !goes_on)
    })
}

/// Clauses of a note that tell of something long past with words that all is well: `broke my arm thirty years ago, never a
/// bother since`. A clause about these days is never one of them. Months never count as long.
pub(super) fn long_past(text: &[Word]) -> Vec<usize> {
    let sentences = text.last().map_or(0, |w| w.sentence + 1);
    let of = |s: usize| text.iter().filter(move |w| w.sentence == s).map(|w| w.text.as_str()).collect::<Vec<_>>();
    let mut out = Vec::new();
    for s in 0..sentences {
        let here = of(s);
        // a birth years ago is over
        let well = is_well(&here) || here.contains(&"born") || (s + 1 < sentences && is_well(&of(s + 1)));
        if !(is_long_ago(&here) && well) || goes_on(&here) {
            continue;
        }
        let mut clauses: Vec<usize> = text.iter().filter(|w| w.sentence == s).map(|w| w.clause).collect();
        clauses.dedup();
        out.extend(clauses.into_iter().filter(|&c| {
            let words: Vec<&str> = text.iter().filter(|w| w.clause == c).map(|w| w.text.as_str()).collect();
            !of_these_days(&words)
        }));
    }
    out
}

const NUMBERS: &[&str] = &[
    "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve", "fifteen", "twenty", "thirty",
    "forty", "fifty", "several", "many", "some", "few",
];

pub(super) fn says(words: &[&str], phrase: &str) -> bool {
    let want: Vec<&str> = phrase.split(' ').collect();
    words.windows(want.len()).any(|w| w == want)
}

pub(super) fn is_long_ago(words: &[&str]) -> bool {
    let years = words.windows(3).any(|w| {
        let many = w[0].parse::<f64>().is_ok_and(|n| n >= 2.0) || NUMBERS.contains(&w[0]);
        many && ["years", "yrs"].contains(&w[1]) && ["ago", "back"].contains(&w[2])
    });
    // a year that was over long before this was written
    let metric = |w: &&str| ["m", "metre", "metres", "meter", "meters", "kcal", "cal", "calories", "steps"].contains(w);
    let in_year = words
        .iter()
        .enumerate()
        .any(|(i, w)| w.parse::<u32>().is_ok_and(|n| (1950..2020).contains(&n)) && !words.get(i + 1).is_some_and(metric));
    let phrases = [
        "decades ago",
        "long ago",
        "years ago",
        "ages ago",
        "as a kid",
        "as a child",
        "as a teenager",
        "as a teen",
        "as a boy",
        "as a girl",
        "when i was a kid",
        "when i was little",
        "when i was a child",
        "when i was at school",
        "at school",
        "in my teens",
        "in childhood",
        "in my twenties",
    ];
    let short = says(words, "one year ago") || says(words, "a year ago") || says(words, "1 year ago");
    !short && (years || in_year || phrases.iter().any(|p| says(words, p)))
}

pub(super) fn is_well(words: &[&str]) -> bool {
    [
        "all fine",
        "fully fine",
        "completely fine",
        "totally fine",
        "perfectly fine",
        "absolutely fine",
        "fine now",
        "fine since",
        "fine ever since",
        "been fine",
        "is fine",
        "fully healed",
        "healed well",
        "healed fine",
        "healed up",
        "long healed",
        "no problem",
        "no problems",
        "no trouble",
        "no bother",
        "never a bother",
        "never bothers me",
        "never bothered me",
        "never bothered",
        "doesnt bother me",
        "no issue",
        "no issues",
        "all good",
        "fully recovered",
        "good as new",
        "nothing since",
        "never a problem",
        "never had a problem",
        "never any trouble",
        "no symptoms",
        "just a scar",
        "never noticed it",
        "never looked back",
        "never a peep",
        "not a peep",
        "strong as ever",
    ]
    .iter()
    .any(|p| says(words, p))
}

/// It is not over.
fn goes_on(words: &[&str]) -> bool {
    ["but", "still", "again", "sometimes", "now and then", "on and off", "comes back", "came back", "ever since then", "mostly"]
        .iter()
        .any(|p| says(words, p))
}

pub(super) fn of_these_days(words: &[&str]) -> bool {
    [
        "yesterday",
        "today",
        "tonight",
        "lately",
        "recently",
        "still",
        "again",
        "this week",
        "this morning",
        "last week",
        "last night",
        "these days",
        "weeks ago",
        "days ago",
        "months ago",
        "last month",
        "since monday",
        "since tuesday",
        "since wednesday",
        "since thursday",
        "since friday",
        "since saturday",
        "since sunday",
        "at the moment",
        "right now",
        "sometimes",
        "keeps",
    ]
    .iter()
    .any(|p| says(words, p))
}
