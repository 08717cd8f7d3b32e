//! Word lists: what a typed word means before the movement library is asked.

/// The form under which words are compared: lower case, singular, abbreviations written out.
/// Apostrophes fall away, so that `farmer's`, `farmers` and `farmer` are one word.
#[must_use]
pub fn plain(word: &str) -> String {
    let mut w = word.to_lowercase().replace('’', "'");
    if let Some(stem) = w.strip_suffix("'s") {
        w.truncate(stem.len());
    }
    w.retain(|c| c != '\'');
    if let Some(full) = written_out(&w) {
        return full.to_owned();
    }
    singular(&mut w);
    written_out(&w).map_or(w, str::to_owned)
}

fn singular(w: &mut String) {
    let cut = |w: &mut String, by: usize| w.truncate(w.len() - by);
    if !w.is_ascii() || w.len() < 4 && w != "ups" || w.ends_with("ss") || w.ends_with("us") {
        return;
    }
    if w.ends_with("ies") {
        cut(w, 3);
        w.push('y');
    } else if ["ches", "shes", "sses", "xes"].iter().any(|end| w.ends_with(end)) {
        cut(w, 2);
    } else if w.ends_with('s') {
        cut(w, 1);
    }
}

/// Abbreviations that the trade uses for parts of a name.
fn written_out(w: &str) -> Option<&'static str> {
    Some(match w {
        "db" | "dbs" | "dumbell" | "dumbel" | "dumbells" => "dumbbell",
        "kb" | "kbs" | "kettle" => "kettlebell",
        "bb" => "barbell",
        "bw" => "bodyweight",
        "oh" => "overhead",
        "mb" | "medball" => "medicine ball",
        "mtn" | "mt" => "mountain",
        "pu" => "push up",
        "sq" | "sqs" | "sqt" => "squat",
        "dl" | "dls" | "deads" => "deadlift",
        "fs" => "front squat",
        "wb" | "wbs" => "wall ball",
        "pp" => "push press",
        "bss" => "bulgarian split squat",
        "mu" | "mus" => "muscle up",
        "wtd" => "weighted",
        "ghs" => "glute ham",
        "pvc" | "pipe" | "broomstick" | "dowel" | "broom" => "stick",
        "farmers" => "farmer",
        "feet" => "feet",
        "alternate" | "alternated" | "alt" => "alternating",
        _ => return None,
    })
}

/// Words inside a name that may be skipped: `over the dumbbell`.
#[must_use]
pub fn is_filler(w: &str) -> bool {
    matches!(w, "the" | "a" | "an" | "your" | "my" | "of")
}

/// Words that tell how a movement is done and leave it the same movement.
#[must_use]
pub fn is_manner(w: &str) -> bool {
    matches!(
        w,
        "slow"
            | "fast"
            | "easy"
            | "heavy"
            | "light"
            | "strict"
            | "controlled"
            | "smooth"
            | "quick"
            | "nice"
            | "good"
            | "big"
            | "full"
            | "unbroken"
            | "touch"
            | "go"
            | "clean"
            | "hard"
            | "steady"
            | "gentle"
            | "perfect"
            | "quality"
            | "relaxed"
            | "moderate"
            | "explosive"
            | "paused"
            | "pause"
            | "tempo"
            | "weighted"
            | "standing"
            | "deep"
            | "proper"
            | "crisp"
            | "sharp"
            | "solid"
            | "quiet"
            | "soft"
            | "straight"
            | "more"
            | "big-range"
            | "tng"
            | "seated"
            | "slowly"
            | "zone"
            | "z"
            | "calm"
            | "total"
            | "alternating"
            | "bodyweight"
            | "of"
            | "the"
            | "a"
            | "an"
            | "your"
            | "my"
            | "with"
            | "each"
            | "x"
            | "times"
            | "reps"
            | "rep"
            | "approx"
            | "about"
            | "around"
            | "all"
            | "continuous"
            | "regular"
            | "normal"
            | "max"
            | "tough"
            | "super"
            | "out"
            | "ones"
    )
}

/// A word after a name that makes it another movement: `plank jack` is not a plank.
#[must_use]
pub fn reshapes(w: &str) -> bool {
    matches!(
        w,
        "jump"
            | "hop"
            | "hold"
            | "walk"
            | "jack"
            | "twist"
            | "press"
            | "row"
            | "pull"
            | "push"
            | "kick"
            | "drag"
            | "throw"
            | "slam"
            | "toss"
            | "raise"
            | "curl"
            | "fly"
            | "crawl"
            | "carry"
            | "climb"
            | "drop"
            | "through"
            | "over"
            | "reach"
            | "rotation"
            | "thrust"
            | "bound"
            | "pulse"
            | "plus"
            | "complex"
            | "march"
            | "drill"
            | "balance"
            | "swing"
            | "snatch"
            | "jerk"
            | "lunge"
            | "squat"
            | "thruster"
            | "extension"
            | "shrug"
    )
}

/// A strange word before a lift that makes it another one: `Copenhagen plank`, but not `Monday squat` or `speed deadlift`.
#[must_use]
pub fn makes_another(word: &str) -> bool {
    let plain = is_manner(word) || is_talk(word) || is_filler(word) || super::assemble::is_day(word);
    !plain && word.chars().count() > 3 && !word.ends_with("ing") && !word.ends_with('s') && !tells_of_the_day(word)
}

/// A word before a lift that says which one or how, and leaves it the same.
fn tells_of_the_day(word: &str) -> bool {
    matches!(
        word,
        "main"
            | "lift"
            | "first"
            | "second"
            | "third"
            | "final"
            | "optional"
            | "extra"
            | "bonus"
            | "same"
            | "another"
            | "also"
            | "plus"
            | "straight"
            | "working"
            | "beginner"
            | "barbell"
            | "accessory"
            | "mixed"
            | "primary"
            | "secondary"
            | "speed"
            | "volume"
            | "dynamic"
            | "medium"
            | "density"
            | "cluster"
            | "backoff"
            | "assistance"
            | "finisher"
            | "opener"
            | "morning"
            | "evening"
            | "core"
            | "upper"
            | "lower"
            | "body"
            | "strength"
            | "power"
            | "skill"
            | "part"
            | "week"
            | "team"
            | "hello"
    )
}

/// Numbers that people write as words.
#[must_use]
pub fn number_word(w: &str) -> Option<f64> {
    Some(match w.to_lowercase().as_str() {
        "zero" => 0.0,
        "one" => 1.0,
        "two" | "twice" => 2.0,
        "three" => 3.0,
        "four" => 4.0,
        "five" => 5.0,
        "six" => 6.0,
        "seven" => 7.0,
        "eight" => 8.0,
        "nine" => 9.0,
        "ten" => 10.0,
        "eleven" => 11.0,
        "twelve" => 12.0,
        "thirteen" => 13.0,
        "fourteen" => 14.0,
        "fifteen" => 15.0,
        "sixteen" => 16.0,
        "seventeen" => 17.0,
        "eighteen" => 18.0,
        "nineteen" => 19.0,
        "twenty" => 20.0,
        "thirty" => 30.0,
        "forty" => 40.0,
        "fifty" => 50.0,
        "sixty" => 60.0,
        "seventy" => 70.0,
        "eighty" => 80.0,
        "ninety" => 90.0,
        "hundred" => 100.0,
        _ => return None,
    })
}

/// Words that mark a sentence to a reader rather than a line to be done.
#[must_use]
pub fn is_talk(w: &str) -> bool {
    matches!(
        w,
        "i" | "i'm"
            | "you"
            | "we"
            | "it"
            | "it's"
            | "is"
            | "are"
            | "was"
            | "be"
            | "don't"
            | "dont"
            | "not"
            | "no"
            | "never"
            | "if"
            | "when"
            | "because"
            | "should"
            | "would"
            | "could"
            | "can"
            | "can't"
            | "cant"
            | "will"
            | "won't"
            | "please"
            | "pls"
            | "think"
            | "feel"
            | "feels"
            | "focus"
            | "keep"
            | "stay"
            | "remember"
            | "try"
            | "want"
            | "need"
            | "today"
            | "yesterday"
            | "tomorrow"
            | "week"
            | "thanks"
            | "hope"
            | "aim"
            | "goal"
            | "make"
            | "sure"
            | "that"
            | "this"
            | "they"
            | "them"
            | "these"
            | "those"
            | "what"
            | "how"
            | "why"
            | "who"
            | "where"
            | "let"
            | "lets"
            | "let's"
            | "use"
            | "see"
            | "video"
            | "link"
            | "ex"
            | "eg"
            | "example"
            | "finished"
            | "got"
            | "did"
            | "last"
            | "next"
            | "your"
            | "my"
            | "our"
            | "his"
            | "her"
            | "me"
            | "us"
            | "but"
            | "so"
            | "than"
            | "then"
            | "ask"
            | "message"
            | "write"
            | "tell"
            | "well"
            | "good"
            | "great"
            | "have"
            | "has"
            | "had"
            | "just"
            | "only"
            | "like"
            | "beat"
            | "stop"
            | "skip"
            | "must"
            | "pick"
            | "choose"
            | "before"
            | "after"
            | "always"
            | "ok"
            | "okay"
            | "as"
            | "under"
            | "until"
            | "til"
            | "till"
            | "off"
            | "doing"
            | "done"
            | "counts"
            | "count"
            | "means"
            | "mean"
            | "someone"
            | "everyone"
            | "people"
            | "ppl"
            | "start"
            | "add"
            | "there"
            | "here"
            | "since"
            | "while"
            | "pm"
            | "am"
            | "o'clock"
            | "years"
            | "days"
            | "ago"
            | "which"
            | "does"
            | "do"
            | "been"
            | "get"
            | "put"
            | "take"
            | "minus"
            | "warm"
            | "breath"
            | "breaths"
    )
}
