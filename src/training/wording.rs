//! A session in the words that people read: dose, load, format, kit. The same words on every page.

use super::dose::{Amount, Load};
use super::member::KitItem;
use super::pace;
use super::session::{Format, Intent, Line, Part, PartOption, Piece, Role, ScoreKind};

/// An aim without the word that marks it: `Aim: keep one pace` is `Keep one pace`.
#[must_use]
pub fn aim(typed: &str) -> String {
    let marked = typed.split_once(':').filter(|(mark, rest)| mark.split_whitespace().count() <= 3 && !rest.trim().is_empty());
    let aim = marked.map_or(typed, |(_, rest)| rest).trim();
    let mut letters = aim.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// How much, in short: `10`, `3-5`, `30 s`, `2:30 min`, `12/9 cal`, `max`; empty where nothing was written.
#[must_use]
pub fn dose(line: &Line) -> String {
    let unit = |a: &Option<Amount>, unit: &str| a.as_ref().map(|a| format!("{a} {unit}"));
    let amount = line
        .reps
        .as_ref()
        .map(ToString::to_string)
        .or_else(|| line.seconds.as_ref().map(seconds_of))
        .or_else(|| unit(&line.metres, "m"))
        .or_else(|| unit(&line.calories, "cal"));
    match (amount, line.max) {
        // as many as one can in that time
        (Some(amount), true) if line.reps.is_none() && line.seconds.is_some() => format!("{amount} max"),
        (Some(amount), true) => format!("{amount} or max"),
        (Some(amount), false) if line.open => format!("{amount} ..."),
        (Some(amount), false) => amount,
        (None, true) => "max".to_owned(),
        (None, false) => String::new(),
    }
}

/// Everything about a line beside its dose and movement, in reading order: `per side`, `22.5/15 kg`, `tempo 3-1-1-0`.
#[must_use]
pub fn details(line: &Line) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    all.extend(line.side.map(|s| s.words().to_owned()));
    all.extend(line.load.as_ref().map(|l| match line.implements {
        Some(n) if n > 1 => format!("{n} x {}", load(l)),
        _ => load(l),
    }));
    all.extend(line.tempo.as_ref().map(|t| format!("tempo {t}")));
    all.extend(slowed(line));
    all.extend(line.step.map(|n| format!("{n} more each rung")));
    all.extend(line.counts_as_reps.map(|n| format!("counts as {n} reps")));
    all.extend(line.minute.map(|n| format!("minute {n}")));
    all.extend(line.role.map(|r| match r {
        Role::BuyIn => "once, before".to_owned(),
        Role::CashOut => "once, after".to_owned(),
    }));
    all
}

/// Where each rep stops or is slow, beside its tempo.
pub fn slowed(line: &Line) -> impl Iterator<Item = String> {
    let pause = line.pause_s.map(|s| format!("pause {}", seconds(s)));
    pause.into_iter().chain(line.down_s.map(|s| format!("{} on the way down", seconds(s))))
}

/// What is done: the movement, or the pieces of a complex: `2 clean + 1 jerk`.
#[must_use]
pub fn movement(line: &Line) -> String {
    if line.complex.is_empty() { line.movement.clone() } else { line.complex.iter().map(piece).collect::<Vec<_>>().join(" + ") }
}

fn piece(piece: &Piece) -> String {
    match &piece.reps {
        Some(n) => format!("{n} {}", piece.movement),
        None => piece.movement.clone(),
    }
}

/// A load as written: `22.5/15 kg`, `70 % of front squat`, `RPE 8`, `2 reps in reserve`.
#[must_use]
pub fn load(load: &Load) -> String {
    let mass = |values: &[f64], range: bool, unit: &str| {
        let all: Vec<String> = values.iter().map(f64::to_string).collect();
        format!("{} {unit}", all.join(if range { "-" } else { "/" }))
    };
    match load {
        Load::Kg { values, range } => mass(values, *range, "kg"),
        Load::Lb { values, range } => mass(values, *range, "lb"),
        Load::Percent { percent, of } if of == "1RM" => format!("{percent} % of 1RM"),
        Load::Percent { percent, of } => format!("{percent} % of {of}"),
        Load::Rpe(n) => format!("RPE {n}"),
        Load::Rir(n) => format!("{n} reps in reserve"),
        Load::Stick => "a stick, no load".to_owned(),
        Load::Band(tension) => format!("{tension} band"),
        Load::Find(words) => words.clone(),
    }
}

/// Seconds as people say them: `45 s`, `90 s`, `2:30 min`, `10 min`.
#[must_use]
pub fn seconds(s: f64) -> String {
    seconds_of(&Amount::One(s))
}

fn seconds_of(amount: &Amount) -> String {
    if amount.high() <= 90.0 {
        return format!("{amount} s");
    }
    let glue = if matches!(amount, Amount::Columns(..)) { "/" } else { "-" };
    let clocks: Vec<String> = amount.values().into_iter().map(clock).collect();
    format!("{} min", clocks.join(glue))
}

/// Minutes and seconds: `2:30`, or `10` for whole minutes.
fn clock(s: f64) -> String {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a written time is small and not negative")]
    let whole = s.max(0.0).round() as u64;
    if whole.is_multiple_of(60) { (whole / 60).to_string() } else { format!("{}:{:02}", whole / 60, whole % 60) }
}

/// How a part is organised, in one phrase: `5 sets, rest 2:30 min`, `AMRAP 12 min`, `for time, cap 10 min`.
#[must_use]
pub fn format(part: &Part) -> String {
    let mut all = vec![core(part)];
    all.extend(part.time_cap_s.map(|s| match part.cap_scope.as_deref() {
        Some("round") => format!("cap {} each round", seconds(s)),
        _ => format!("cap {}", seconds(s)),
    }));
    all.extend(part.target_s.as_ref().map(|t| format!("aim for {}", seconds_of(t))));
    all.extend(part.rest_s.as_ref().map(|r| format!("rest {}", seconds_of(r))));
    all.extend(part.carry_on.filter(|on| *on).map(|_| "going on where the last block stopped".to_owned()));
    all.retain(|words| !words.is_empty());
    all.join(", ")
}

fn core(part: &Part) -> String {
    let n = |one: &str, more: &str| part.rounds.as_ref().map(|r| format!("{r} {}", if r.high() == 1.0 { one } else { more }));
    let window = part.duration_s.map(seconds);
    let with = |name: &str, words: Option<String>| match words {
        Some(words) => format!("{name} {words}"),
        None => name.to_owned(),
    };
    match part.format {
        Format::Sets => n("set", "sets").unwrap_or_else(|| "sets".to_owned()),
        Format::Rounds => n("round", "rounds").unwrap_or_else(|| "rounds".to_owned()),
        Format::ForTime => match n("round", "rounds") {
            Some(rounds) => format!("{rounds} for time"),
            None => "for time".to_owned(),
        },
        Format::Amrap => match n("time", "times") {
            Some(times) if part.rounds != Some(Amount::One(1.0)) => format!("{}, {times}", with("AMRAP", window)),
            _ => with("AMRAP", window),
        },
        Format::Emom | Format::Intervals => clocked(part),
        Format::Practice => match n("round", "rounds") {
            Some(rounds) => format!("{}, {rounds}", with("practice", window)),
            None => with("practice", window),
        },
        Format::MaxEffort => with("max effort", window.map(|w| format!("in {w}"))),
        Format::Ladder => match n("rung", "rungs") {
            Some(rungs) => format!("ladder of {rungs}"),
            None => "ladder".to_owned(),
        },
    }
}

fn clocked(part: &Part) -> String {
    let interval = part.interval.unwrap_or_default();
    let rounds = part.rounds.as_ref().map(|r| format!(" x {r}")).unwrap_or_default();
    match (interval.every_s, interval.work_s, interval.rest_s) {
        (Some(60.0), _, _) => match part.duration_s {
            Some(s) if pace::in_turn(part) => format!("every minute for {}, in turn", seconds(s)),
            Some(s) => format!("every minute for {}", seconds(s)),
            None => format!("every minute{rounds}"),
        },
        (Some(every), _, _) => format!("every {}{rounds}", seconds(every)),
        (None, Some(on), Some(off)) => format!("{} on, {} off{rounds}", seconds(on), seconds(off)),
        (None, Some(on), None) => format!("{} on{rounds}", seconds(on)),
        (None, None, Some(off)) => format!("{} off{rounds}", seconds(off)),
        (None, None, None) => match part.duration_s {
            Some(s) => format!("by the clock, {}", seconds(s)),
            None => format!("by the clock{rounds}"),
        },
    }
}

/// What differs in another version of a part: `80 reps`, `3 rounds, cap 8 min`.
#[must_use]
pub fn option(option: &PartOption) -> String {
    let mut all: Vec<String> = Vec::new();
    all.extend(option.rounds.as_ref().map(|n| format!("{n} {}", if n.high() == 1.0 { "round" } else { "rounds" })));
    all.extend(option.duration_s.map(seconds));
    all.extend(option.time_cap_s.map(|s| format!("cap {}", seconds(s))));
    all.extend(option.reps.as_ref().map(|n| format!("{n} reps")));
    all.extend(option.load.as_ref().map(load));
    all.extend(option.lines.iter().map(whole_line));
    let understood = all.join(", ");
    let typed = option.text.as_deref().map(|t| beyond_name(t, &option.name)).unwrap_or_default();
    let words = |text: &str| text.split(|c: char| !c.is_alphabetic()).filter(|w| !w.is_empty()).count();
    // what the coach typed, where it says more than was understood
    if words(typed) > words(&understood) { typed.to_owned() } else { understood }
}

/// What was typed of another version without the name of it, which stands before it on every page: `No run? 45 s fast feet`
/// for `No run` is `45 s fast feet`.
fn beyond_name<'t>(typed: &'t str, name: &str) -> &'t str {
    let typed = typed.trim_start_matches(|c: char| !c.is_alphanumeric());
    let named = name.starts_with(char::is_alphabetic);
    let from = |text: &'t str| {
        let end = text.char_indices().nth(name.chars().count()).map_or(text.len(), |(i, _)| i);
        let (first, rest) = text.split_at(end);
        let whole = !rest.starts_with(char::is_alphanumeric);
        (named && whole && first.to_lowercase() == name.to_lowercase()).then_some(rest)
    };
    let rest = from(typed).or_else(|| from(typed.strip_prefix("or ").or_else(|| typed.strip_prefix("Or "))?));
    let rest = rest.map(|r| {
        let mark = |c: char| c.is_whitespace() || matches!(c, ':' | '?' | ',' | '-' | '\u{2013}' | '\u{2014}' | '=' | '>');
        let r = r.trim_start();
        r.strip_prefix("version")
            .or_else(|| r.strip_prefix("option"))
            .filter(|r| r.starts_with(mark))
            .unwrap_or(r)
            .trim_start_matches(mark)
    });
    rest.unwrap_or(typed)
}

/// A line in one phrase: `10 single-arm row, per side, 22.5 kg`.
#[must_use]
pub fn whole_line(line: &Line) -> String {
    let mut words = [dose(line), movement(line)].into_iter().filter(|w| !w.is_empty()).collect::<Vec<_>>().join(" ");
    for detail in details(line) {
        words.push_str(", ");
        words.push_str(&detail);
    }
    words
}

/// Letter and name of a part. A letter that was typed alone is a letter: such a part is called after what is done first.
#[must_use]
pub fn title(part: &Part) -> (Option<String>, String) {
    let name = part.name.trim();
    let bare = |text: &str| text.len() == 1 && text.chars().all(|c| c.is_ascii_alphabetic());
    let letter = name.strip_prefix("Part ").unwrap_or(name).trim_end_matches(['.', ')', ':']);
    match part.lines.first().map(movement).filter(|_| bare(letter)) {
        Some(first) => (part.label.clone().or_else(|| Some(letter.to_uppercase())), first),
        None => (part.label.clone(), part.name.clone()),
    }
}

/// `A. Squat`, or the name alone.
#[must_use]
pub fn part(part: &Part) -> String {
    match title(part) {
        (Some(label), name) => format!("{label}. {name}"),
        (None, name) => name,
    }
}

/// What a part is for, in one word.
#[must_use]
pub fn intent(intent: Intent) -> &'static str {
    match intent {
        Intent::Prep => "prep",
        Intent::Technique => "technique",
        Intent::Strength => "strength",
        Intent::Conditioning => "conditioning",
        Intent::Mobility => "mobility",
    }
}

/// What is scored, in words; none where nothing is.
#[must_use]
pub fn score(kind: ScoreKind) -> Option<&'static str> {
    Some(match kind {
        ScoreKind::Time => "time",
        ScoreKind::RoundsReps => "rounds + reps",
        ScoreKind::Reps => "reps",
        ScoreKind::Load => "load",
        ScoreKind::Distance => "distance",
        ScoreKind::Calories => "calories",
        ScoreKind::HoldTime => "hold time",
        ScoreKind::None => return None,
    })
}

/// One thing at home with its loads: `dumbbell, 10, 12.5 kg, 2 of each`.
#[must_use]
pub fn kit(item: &KitItem) -> String {
    let list = |values: &[f64], unit: &str| {
        let all: Vec<String> = values.iter().map(f64::to_string).collect();
        (!all.is_empty()).then(|| format!("{} {unit}", all.join(", ")))
    };
    let mut all = vec![item.item.replace('_', " ")];
    all.extend(list(&item.kg, "kg"));
    all.extend(list(&item.lb, "lb"));
    all.extend(
        item.count
            .filter(|n| *n > 1)
            .map(|n| if item.kg.len() + item.lb.len() > 1 { format!("{n} of each") } else { format!("{n} of them") }),
    );
    all.extend(list(&item.plates_kg_pairs, "kg plates in pairs"));
    all.extend(list(&item.plates_lb_pairs, "lb plates in pairs"));
    all.extend(item.tension.clone());
    all.extend(item.adjustable.filter(|yes| *yes).map(|_| "adjustable".to_owned()));
    all.extend(item.anchor.map(|yes| if yes { "with an anchor".to_owned() } else { "no anchor".to_owned() }));
    all.extend(item.rack.map(|yes| if yes { "with a rack".to_owned() } else { "no rack".to_owned() }));
    all.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::training::dose::Side;
    use crate::training::session::Interval;

    #[test]
    fn a_line_reads_as_a_coach_would_say_it() {
        let line = Line {
            movement: "single-arm row".to_owned(),
            reps: Some(Amount::Range(8.0, 10.0)),
            side: Some(Side::PerSide),
            load: Some(Load::Kg { values: vec![22.5, 15.0], range: false }),
            tempo: Some("3-1-1-0".to_owned()),
            ..Line::default()
        };
        assert_eq!(whole_line(&line), "8-10 single-arm row, per side, 22.5/15 kg, tempo 3-1-1-0");
    }

    #[test]
    fn as_many_as_one_can_in_a_time_is_no_choice_between_the_two() {
        let max = Line { max: true, ..Line::default() };
        assert_eq!(dose(&Line { seconds: Some(Amount::One(30.0)), ..max.clone() }), "30 s max");
        assert_eq!(dose(&Line { reps: Some(Amount::One(10.0)), ..max.clone() }), "10 or max");
        assert_eq!(dose(&max), "max");
    }

    #[test]
    fn short_times_are_seconds_and_long_ones_minutes() {
        for (s, words) in [(30.0, "30 s"), (90.0, "90 s"), (150.0, "2:30 min"), (600.0, "10 min")] {
            assert_eq!(seconds(s), words);
        }
    }

    #[test]
    fn a_format_says_its_numbers() {
        let part = |format, rounds| Part { format, rounds, ..Part::default() };
        let sets = Part { rest_s: Some(Amount::One(150.0)), ..part(Format::Sets, Some(Amount::One(5.0))) };
        assert_eq!(super::format(&sets), "5 sets, rest 2:30 min");
        let timed = Part { time_cap_s: Some(720.0), ..part(Format::ForTime, Some(Amount::One(3.0))) };
        assert_eq!(super::format(&timed), "3 rounds for time, cap 12 min");
        let amrap = Part { duration_s: Some(720.0), ..part(Format::Amrap, None) };
        assert_eq!(super::format(&amrap), "AMRAP 12 min");
        let on_off = Interval { work_s: Some(30.0), rest_s: Some(30.0), every_s: None };
        let intervals = Part { interval: Some(on_off), ..part(Format::Intervals, Some(Amount::One(8.0))) };
        assert_eq!(super::format(&intervals), "30 s on, 30 s off x 8");
    }

    #[test]
    fn another_version_says_its_name_once_and_loses_nothing_that_was_typed() {
        let words = |name: &str, text: &str, rounds: Option<f64>| {
            let text = Some(text.to_owned());
            super::option(&PartOption { name: name.to_owned(), text, rounds: rounds.map(Amount::One), ..PartOption::default() })
        };
        assert_eq!(words("No run", "No run? 45s fast feet on the spot", None), "45s fast feet on the spot");
        assert_eq!(words("quiet", "quiet: step ups instead of the jumps", None), "step ups instead of the jumps");
        assert_eq!(words("shorter", "or shorter: 3", Some(3.0)), "3 rounds");
        assert_eq!(words("scaled", "Scaled: 3 rounds, and half the skips", Some(3.0)), "3 rounds, and half the skips");
        assert_eq!(words("run", "running hurts? then walk", None), "running hurts? then walk");
        assert_eq!(words("quiet", "- quiet", None), "");
        assert_eq!(words("2", "2 rounds if you are new", Some(2.0)), "2 rounds if you are new");
    }

    #[test]
    fn kit_says_its_loads_and_how_many() {
        let pair = KitItem { item: "dumbbell".to_owned(), kg: vec![10.0, 12.5], count: Some(2), ..KitItem::default() };
        assert_eq!(kit(&pair), "dumbbell, 10, 12.5 kg, 2 of each");
        let bar = KitItem { item: "doorway_bar".to_owned(), ..KitItem::default() };
        assert_eq!(kit(&bar), "doorway bar");
    }
}
