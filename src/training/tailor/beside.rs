//! What else was typed at a line, where something else is done there: words of pace and effort hold, a cue to the written movement does not.

/// `or 100 singles`, `if no rope`: it says nothing once something else is done.
pub(super) fn is_another_way(text: &str) -> bool {
    const FIRST: [&str; 10] = ["or", "no", "if", "without", "instead", "sub", "else", "otherwise", "scale", "scaled"];
    let low = format!(" {} ", text.to_lowercase());
    let first = words(&low).next().unwrap_or("");
    FIRST.contains(&first) || [" instead", " if no ", " if you ", " no rope", " otherwise "].iter().any(|w| low.contains(w))
}

/// Words of pace, effort and rest hold for any movement; of heavy and light only where something is held.
pub(super) fn holds_for_any(text: &str, loaded: bool) -> bool {
    const ANY: [&str; 26] = [
        "easy",
        "smooth",
        "quiet",
        "quietly",
        "steady",
        "pace",
        "unbroken",
        "rest",
        "rests",
        "breathe",
        "breathing",
        "effort",
        "hard",
        "rpe",
        "reserve",
        "tank",
        "stop",
        "pain",
        "hurts",
        "quality",
        "relaxed",
        "warm",
        "slow",
        "slowly",
        "tempo",
        "amrap",
    ];
    let low = text.to_lowercase();
    words(&low).any(|w| ANY.contains(&w) || (loaded && ["heavy", "light"].contains(&w))) || takes_seconds(&low)
}

/// `3 sec down`, `3s lowering`.
fn takes_seconds(low: &str) -> bool {
    let all: Vec<&str> = words(low).collect();
    let unit = |w: &str| ["s", "sec", "secs", "second", "seconds", "count"].contains(&w);
    let counted = |w: &str| w.strip_suffix('s').is_some_and(|n| !n.is_empty() && n.bytes().all(|b| b.is_ascii_digit()));
    let way = |w: &str| ["down", "lower", "lowering", "up"].contains(&w);
    all.windows(2).any(|w| (unit(w[0]) || counted(w[0])) && way(w[1]))
}

/// The last clauses of a note that hold by themselves: `no bar: goblet squat, 3 sec down` is `3 sec down` at the goblet squat.
pub(super) fn tail(note: &str, holds: impl Fn(&str) -> bool) -> Option<&str> {
    let behind = note.match_indices([',', ';', '.']).map(|(at, sign)| at + sign.len());
    let starts: Vec<usize> = behind.filter(|at| note[*at..].starts_with(char::is_whitespace)).collect();
    let ends = starts.iter().skip(1).copied().chain([note.len()]);
    let clauses: Vec<(usize, usize)> = starts.iter().copied().zip(ends).collect();
    let kept = clauses.into_iter().rev().take_while(|(at, end)| holds(&note[*at..*end])).last();
    kept.map(|(at, _)| note[at..].trim())
}

fn words(low: &str) -> impl Iterator<Item = &str> {
    low.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty())
}
