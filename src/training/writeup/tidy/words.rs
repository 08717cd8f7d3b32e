//! How a part runs and what its lines are, in the words that a coach types: `EMOM 12`, `5 x 5 back squat @ 75 %`.

use super::super::super::dose::{Amount, Load, Side};
use super::super::super::session::{Format, Line, Part, Piece, Role};

/// One way to say how a part runs.
#[derive(Clone, Debug, Default)]
pub(super) struct Shape {
    /// its own line above the lines
    pub head: Option<String>,
    /// before the dose of every line: `5` of `5 x 3`
    pub sets: Option<String>,
    /// the head says the dose of every line
    pub dosed: bool,
    /// the heading says the movement
    pub unnamed: bool,
    /// behind the last line: `rest 2:00`
    pub tail: Option<String>,
}

/// Minutes and seconds as on a clock, seconds alone below a minute.
fn clock(s: f64) -> String {
    if s < 60.0 || s.fract() != 0.0 {
        return format!("{s} s");
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a written time is small and not negative")]
    let whole = s.min(1e9) as u64;
    format!("{}:{:02}", whole / 60, whole % 60)
}

/// `45 s`, `5 min`, `2:30`, `60-90 s`, `2-3 min`
fn time(amount: &Amount) -> String {
    let whole = amount.values().iter().all(|s| s % 60.0 == 0.0);
    match amount {
        Amount::One(s) if *s >= 120.0 && whole => format!("{} min", s / 60.0),
        Amount::One(s) if *s > 90.0 => clock(*s),
        _ if whole && amount.low() >= 60.0 => format!("{} min", amount.map(|s| s / 60.0)),
        _ => format!("{amount} s"),
    }
}

fn rest(part: &Part) -> Option<String> {
    part.rest_s.as_ref().map(|r| match r {
        Amount::One(s) => format!("rest {}", clock(*s)),
        more => format!("rest {}", time(more)),
    })
}

/// Every way to say how the part runs that is worth a try, the plainest first. `rested` where the rest is said elsewhere.
pub(super) fn shapes(part: &Part, rested: bool) -> Vec<Shape> {
    if rested { with_rest(&Part { rest_s: None, ..part.clone() }) } else { with_rest(part) }
}

fn with_rest(part: &Part) -> Vec<Shape> {
    let cap = part.time_cap_s.map(|s| match part.cap_scope.as_deref() {
        Some("round") => format!("cap {} each round", clock(s)),
        _ => format!("cap {}", clock(s)),
    });
    let with = |core: String| {
        let mut all = vec![core];
        all.extend(cap.clone());
        all.extend(rest(part));
        Shape { head: Some(all.join(", ")), ..Shape::default() }
    };
    let rounds = part.rounds.as_ref().map(|n| if n.high() == 1.0 { format!("{n} round") } else { format!("{n} rounds") });
    let minutes = part.duration_s.map(|s| time(&Amount::One(s)));
    match part.format {
        Format::Sets => sets(part),
        Format::Rounds => rounds.map(with).into_iter().collect(),
        Format::ForTime => for_time(part, &with, rounds),
        Format::Amrap => {
            let Some(minutes) = minutes else { return vec![] };
            match &part.rounds {
                Some(n) if n.high() > 1.0 => vec![with(format!("{n} x {minutes} AMRAP")), with(format!("{n} x AMRAP {minutes}"))],
                _ => vec![with(format!("{minutes} AMRAP")), with(format!("AMRAP {minutes}"))],
            }
        }
        Format::Emom => every(part).into_iter().map(with).collect(),
        Format::Intervals => on_off(part).into_iter().map(with).collect(),
        Format::Practice => {
            let all: Vec<String> = minutes.into_iter().chain(rounds).collect();
            let plain = Shape { tail: rest(part), ..Shape::default() };
            let said = (!all.is_empty()).then(|| with(all.join(", ")));
            std::iter::once(plain).chain(said).collect()
        }
        Format::MaxEffort => {
            let window = minutes.map(|m| Shape { head: Some(format!("{m} for it")), ..Shape::default() });
            vec![Shape { tail: rest(part), ..window.unwrap_or_default() }]
        }
        Format::Ladder => vec![],
    }
}

fn sets(part: &Part) -> Vec<Shape> {
    let n = part.rounds.as_ref().map(Amount::to_string);
    let each = Shape { sets: n.clone(), tail: rest(part), ..Shape::default() };
    let listed = Shape { sets: None, ..each.clone() };
    let above = n.map(|n| {
        let words: Vec<String> = std::iter::once(format!("{n} sets")).chain(rest(part)).collect();
        Shape { head: Some(words.join(", ")), ..Shape::default() }
    });
    std::iter::once(each).chain(Some(listed)).chain(above).collect()
}

fn for_time(part: &Part, with: &dyn Fn(String) -> Shape, rounds: Option<String>) -> Vec<Shape> {
    let rungs = part.lines.first().and_then(|l| l.reps.clone()).filter(|n| matches!(n, Amount::Scheme(_)));
    let same = |n: &Amount| part.lines.iter().all(|l| l.reps.as_ref() == Some(n));
    let mut all = Vec::new();
    if let Some(n) = rungs.filter(same) {
        all.push(Shape { dosed: true, ..with(format!("{n} for time")) });
    }
    all.extend(rounds.map(|r| with(format!("{r} for time"))));
    all.push(with("For time".to_owned()));
    all
}

fn every(part: &Part) -> Vec<String> {
    let Some(every) = part.interval.and_then(|i| i.every_s) else { return vec![] };
    let mut all = Vec::new();
    if let Some(s) = part.duration_s.filter(|s| every == 60.0 && s % 60.0 == 0.0) {
        all.push(format!("EMOM {}", s / 60.0));
    }
    let times = part.duration_s.map(|s| s / every).filter(|n| n.fract() == 0.0);
    let rounds = part.rounds.as_ref().map(Amount::to_string);
    all.extend(rounds.iter().map(|n| format!("Every {} x {n}", clock(every))));
    all.extend(times.map(|n| format!("Every {} x {n}", clock(every))));
    all.extend(rounds.iter().map(|n| format!("Every {}, {n} rounds", clock(every))));
    all.extend(part.duration_s.map(|s| format!("Every {} for {}", clock(every), time(&Amount::One(s)))));
    if rounds.is_none() && part.duration_s.is_none() {
        all.push(if every == 60.0 { "EMOM".to_owned() } else { format!("Every {}", clock(every)) });
    }
    all
}

fn on_off(part: &Part) -> Vec<String> {
    let Some((on, off)) = part.interval.and_then(|i| i.work_s.zip(i.rest_s)) else { return vec![] };
    let pair = format!("{} on / {} off", time(&Amount::One(on)), time(&Amount::One(off)));
    match &part.rounds {
        Some(n) => vec![format!("{pair} x {n}"), format!("{pair}, {n} rounds"), format!("{n} rounds, {pair}")],
        None => vec![pair],
    }
}

/// A line without its notes; none where plain words cannot say it.
pub(super) fn line(l: &Line, shape: &Shape) -> Option<String> {
    let found = matches!(l.load, Some(Load::Find(_)));
    if l.open || l.step.is_some() || l.counts_as_reps.is_some() || found || l.movement.is_empty() {
        return None;
    }
    let mut out = String::new();
    if let Some(label) = &l.label {
        out.push_str(&format!("{label}. "));
    }
    if let Some(n) = l.minute {
        out.push_str(&format!("Min {n}: "));
    }
    match l.role {
        Some(Role::BuyIn) => out.push_str("Buy-in: "),
        Some(Role::CashOut) => out.push_str("Cash-out: "),
        None => {}
    }
    let pieces_say = l.complex.iter().any(|p| p.reps.is_some());
    if pieces_say && l.reps.as_ref().is_some_and(|n| *n != Amount::One(1.0)) {
        return None;
    }
    let said = if shape.dosed || pieces_say { None } else { dose(l)? };
    if let Some(n) = shape.sets.as_ref().filter(|_| !matches!(l.reps, Some(Amount::Scheme(_)))) {
        out.push_str(&format!("{n} x "));
    }
    let named = (!shape.unnamed).then(|| movement(l, shape));
    out.push_str(&said.into_iter().chain(named).collect::<Vec<_>>().join(" "));
    out.push_str(&marks(l));
    let swaps: Option<Vec<String>> = l.alternatives.iter().map(|a| swap(l, a)).collect();
    let swaps = swaps?;
    if !swaps.is_empty() {
        out.push_str(&format!(" (or {})", swaps.join(", or ")));
    }
    Some(out)
}

/// Nothing where no dose was written; none where two were.
#[expect(clippy::option_option, reason = "no dose and no words for it are two things")]
fn dose(l: &Line) -> Option<Option<String>> {
    let all: Vec<String> = [
        l.reps.as_ref().map(Amount::to_string),
        l.seconds.as_ref().map(time),
        l.metres.as_ref().map(|m| format!("{m} m")),
        l.calories.as_ref().map(|c| format!("{c} cal")),
        l.max.then(|| "max".to_owned()),
    ]
    .into_iter()
    .flatten()
    .collect();
    match &all[..] {
        [] => Some(None),
        [one] => Some(Some(one.clone())),
        _ => None,
    }
}

fn movement(l: &Line, shape: &Shape) -> String {
    if !l.complex.is_empty() {
        return l.complex.iter().map(piece).collect::<Vec<_>>().join(" + ");
    }
    let many = l.max || l.reps.as_ref().is_some_and(|n| n.high() > 1.0) || shape.dosed;
    let timed = l.seconds.is_some() || l.metres.is_some() || l.calories.is_some();
    if l.movement == "row machine" && (l.metres.is_some() || l.calories.is_some()) {
        return "row".to_owned();
    }
    if many && !timed && shape.sets.is_none() && l.known { plural(&l.movement) } else { l.movement.clone() }
}

/// `burpees`, `strict presses`; a name that ends otherwise stays.
fn plural(name: &str) -> String {
    let end = |ends: &[&str]| ends.iter().any(|e| name.ends_with(e));
    if [" with ", " to ", " from ", " over "].iter().any(|w| name.contains(w)) {
        return name.to_owned();
    }
    if end(&["press", "ch", "box"]) {
        return format!("{name}es");
    }
    if end(&["fly"]) {
        return format!("{}ies", &name[..name.len() - 1]);
    }
    let stays = end(&[
        "s", "bar", "machine", "bike", "run", "hold", "wall sit", "plank", "hang", "knees", "place", "boxing", "y-t-w", "pose",
    ]);
    if stays { name.to_owned() } else { format!("{name}s") }
}

fn piece(piece: &Piece) -> String {
    piece.reps.as_ref().map_or_else(|| piece.movement.clone(), |n| format!("{n} {}", piece.movement))
}

/// Side, load, tempo: what stands behind the movement.
fn marks(l: &Line) -> String {
    let mut out = String::new();
    match l.side {
        Some(Side::PerSide) => out.push_str(" per side"),
        Some(Side::Total) => out.push_str(" in total"),
        _ => {}
    }
    if let Some(load) = &l.load {
        let many = l.implements.filter(|n| *n > 1).map(|n| format!("{n} x ")).unwrap_or_default();
        out.push_str(&self::load(load, &many));
    }
    if l.side == Some(Side::Alternating) {
        out.push_str(", alternating");
    }
    out.extend(l.tempo.as_ref().map(|t| format!(", tempo {t}")));
    out.extend(l.pause_s.map(|s| format!(", pause {s} s")));
    out.extend(l.down_s.map(|s| format!(", {s} s down")));
    out
}

fn load(load: &Load, many: &str) -> String {
    let list = |v: &[f64], range: bool| v.iter().map(f64::to_string).collect::<Vec<_>>().join(if range { "-" } else { "/" });
    match load {
        Load::Kg { values, range } => format!(" @ {many}{} kg", list(values, *range)),
        Load::Lb { values, range } => format!(" @ {many}{} lb", list(values, *range)),
        Load::Percent { percent, of } if of == "1RM" => format!(" @ {percent} %"),
        Load::Percent { percent, of } => format!(" @ {percent} % of {of}"),
        Load::Rpe(n) => format!(" @ RPE {n}"),
        Load::Rir(n) => format!(", {n} reps in reserve"),
        Load::Stick => " with a stick".to_owned(),
        Load::Band(strength) => format!(", {strength} band"),
        Load::Find(words) => format!(", {words}"),
    }
}

/// The coach's own swap: its movement alone where the dose is the same.
fn swap(l: &Line, other: &Line) -> Option<String> {
    let same = other.reps == l.reps && other.seconds == l.seconds && other.metres == l.metres && other.calories == l.calories;
    if other.note.is_some() || other.movement.is_empty() {
        return None;
    }
    let bare = Line { side: other.side.filter(|s| Some(*s) != l.side), alternatives: vec![], ..other.clone() };
    line(&bare, &Shape { dosed: same, ..Shape::default() })
}
