//! A session as text in the canonical form.

use super::super::super::dose::{Amount, Load};
use super::super::super::session::{Line, Part, PartOption, Piece, Role, Session};
use super::escape;
use serde::Serialize;

/// The session in the canonical form. Problems and places are no part of it.
#[must_use]
pub fn print(session: &Session) -> String {
    let mut out = vec![format!("# {}", escape(&session.title))];
    out.extend(session.aim.iter().map(|a| format!("Aim: {}", escape(a))));
    out.extend(session.notes.iter().map(|n| format!("Note: {}", escape(n))));
    for part in &session.parts {
        out.push(String::new());
        self::part(part, &mut out);
    }
    out.push(String::new());
    out.join("\n")
}

/// A value of a closed list in its public spelling.
fn word(value: &impl Serialize) -> String {
    serde_json::to_value(value).ok().and_then(|v| v.as_str().map(str::to_owned)).unwrap_or_default()
}

fn part(part: &Part, out: &mut Vec<String>) {
    out.push(format!("## {}", escape(&part.name)));
    let mut say = |key: &str, value: Option<String>| out.extend(value.map(|v| format!("{key}: {v}")));
    say("Label", part.label.as_deref().map(escape));
    say("Intent", Some(word(&part.intent)));
    say("Format", Some(word(&part.format)));
    say("Rounds", part.rounds.as_ref().map(Amount::to_string));
    say("Cap", seconds(part.time_cap_s));
    say("Length", seconds(part.duration_s));
    if let Some(i) = part.interval {
        say("Clock", Some(String::new()).filter(|_| i.work_s.or(i.rest_s).or(i.every_s).is_none()));
        say("Work", seconds(i.work_s));
        say("Off", seconds(i.rest_s));
        say("Every", seconds(i.every_s));
    }
    say("Rest", part.rest_s.as_ref().map(|r| format!("{r} s")));
    say("Score", Some(word(&part.score)));
    say("Tie-break", part.tie_break.as_deref().map(escape));
    say("Score rule", part.score_rule.as_deref().map(escape));
    say("If capped", part.if_capped.as_deref().map(escape));
    say("Cap for each", part.cap_scope.as_deref().map(escape));
    say("Target", part.target_s.as_ref().map(|t| format!("{t} s")));
    say("Carry on", part.carry_on.map(|c| if c { "yes" } else { "no" }.to_owned()));
    part.lines.iter().for_each(|l| with_swaps("- ", l, out));
    part.options.iter().for_each(|o| option(o, out));
    out.extend(part.notes.iter().map(|n| format!("Note: {}", escape(n))));
}

fn seconds(value: Option<f64>) -> Option<String> {
    value.map(|v| format!("{v} s"))
}

fn with_swaps(lead: &str, line: &Line, out: &mut Vec<String>) {
    out.push(format!("{lead}{}", self::line(line)));
    out.extend(line.alternatives.iter().map(|a| format!("  or {}", self::line(a))));
}

fn option(option: &PartOption, out: &mut Vec<String>) {
    let mut facts = vec![escape(&option.name)];
    facts.extend(option.rounds.as_ref().map(|r| format!("rounds {r}")));
    facts.extend(option.time_cap_s.map(|s| format!("cap {s} s")));
    facts.extend(option.duration_s.map(|s| format!("length {s} s")));
    facts.extend(option.reps.as_ref().map(|r| format!("{r} reps")));
    facts.extend(option.load.as_ref().map(load));
    facts.extend(option.replace.iter().map(|r| format!("in place of {}", escape(r))));
    facts.extend(option.text.as_ref().map(|t| format!("typed {}", escape(t))));
    out.push(format!("Option: {}", facts.join("; ")));
    option.lines.iter().for_each(|l| with_swaps("+ ", l, out));
}

fn line(l: &Line) -> String {
    let mut facts: Vec<String> = Vec::new();
    let unit = |a: &Option<Amount>, unit: &str| a.as_ref().map(|a| format!("{a} {unit}"));
    facts.extend(unit(&l.reps, "reps"));
    facts.extend(l.max.then(|| "max".to_owned()));
    facts.extend(unit(&l.seconds, "s"));
    facts.extend(unit(&l.metres, "m"));
    facts.extend(unit(&l.calories, "cal"));
    facts.extend(l.side.as_ref().map(word));
    facts.extend(l.load.as_ref().map(load));
    facts.extend(l.implements.map(|n| format!("implements {n}")));
    facts.extend(l.tempo.as_ref().map(|t| format!("tempo {}", escape(t))));
    facts.extend(l.pause_s.map(|s| format!("pause {s} s")));
    facts.extend(l.down_s.map(|s| format!("down {s} s")));
    facts.extend(l.open.then(|| "goes on".to_owned()));
    facts.extend(l.step.map(|n| format!("step {n}")));
    facts.extend(l.counts_as_reps.map(|n| format!("counts as {n}")));
    facts.extend(l.minute.map(|n| format!("minute {n}")));
    facts.extend(l.role.map(|r| if r == Role::BuyIn { "buy-in" } else { "cash-out" }.to_owned()));
    facts.extend(l.label.as_ref().map(|x| format!("label {}", escape(x))));
    facts.extend((!l.known).then(|| "unknown".to_owned()));
    facts.extend(l.complex.iter().map(piece));
    facts.extend(l.note.as_ref().map(|n| format!("note {}", escape(n))));
    format!("{}: {}", escape(&l.movement).replace(':', "\\:"), facts.join("; "))
}

fn piece(p: &Piece) -> String {
    let known = if p.known { "" } else { "unknown " };
    format!("piece {}x {known}{}", p.reps.as_ref().map(Amount::to_string).unwrap_or_default(), escape(&p.movement))
}

fn load(load: &Load) -> String {
    let list = |v: &[f64], range: bool| v.iter().map(f64::to_string).collect::<Vec<_>>().join(if range { "-" } else { "/" });
    match load {
        Load::Kg { values, range } => format!("@ {} kg", list(values, *range)),
        Load::Lb { values, range } => format!("@ {} lb", list(values, *range)),
        Load::Percent { percent, of } => format!("@ {percent}% of {}", escape(of)),
        Load::Rpe(n) => format!("@ RPE {n}"),
        Load::Rir(n) => format!("@ RIR {n}"),
        Load::Stick => "@ stick".to_owned(),
        Load::Band(strength) => format!("@ band {}", escape(strength)),
        Load::Find(words) => format!("@ find {}", escape(words)),
    }
}
