//! What cannot be right in a session that was read: format without number, cap too short, empty part and the like.

use super::super::dose::{Amount, Load};
use super::super::movement::Implement;
use super::super::pace;
use super::super::session::{Format, Part, PartOption, Place, Problem, ProblemKind, Session, Severity};
use super::draft::{Draft, Sheet};
use super::line::Reader;
use super::resolve::words;

/// Adds every problem of the whole.
pub fn check(reader: &mut Reader, sheet: &Sheet, session: &mut Session) {
    for (draft, part) in sheet.parts.iter().zip(&mut session.parts) {
        missing_number(reader, draft, part);
        empty(reader, draft, part);
        cap(reader, part);
        options(reader, part);
        maxes(reader, part);
    }
    for span in &sheet.unread {
        let text = format!("\"{}\" could not be read as a line; it was kept as a note.", reader.doc.typed(span.0, span.1));
        reader.problem(ProblemKind::Unread, Severity::Ask, *span, text, vec![]);
    }
}

fn at(part: &Part) -> Place {
    part.at.or_else(|| part.lines.first().and_then(|l| l.at)).unwrap_or(Place { line: 1, column: 1, length: 0 })
}

fn add(reader: &mut Reader, kind: ProblemKind, severity: Severity, place: Place, text: String, suggest: Vec<String>) {
    reader.problems.push(Problem { kind, severity, line: place.line, column: place.column, length: place.length, text, suggest });
}

/// An AMRAP without minutes, intervals without times.
fn missing_number(reader: &mut Reader, draft: &Draft, part: &Part) {
    let already = |kind| reader.problems.iter().any(|p| p.kind == kind && Some(p.line) == part.at.map(|a| a.line));
    let missing = part.format == Format::Amrap && part.duration_s.is_none() && !already(ProblemKind::OddTime);
    let unclear = part.format == Format::Intervals && part.interval.is_none_or(|i| i.work_s.is_none());
    let cap = draft.facts.iter().any(|f| f.cap.is_some_and(|c| c.0.is_none()));
    if missing || unclear || cap && part.time_cap_s.is_none() {
        let what = if missing {
            "This AMRAP has no minutes."
        } else if unclear {
            "These intervals have no work time."
        } else {
            "The cap has no number."
        };
        add(reader, ProblemKind::MissingNumber, Severity::Error, at(part), what.to_owned(), vec![]);
    }
}

fn empty(reader: &mut Reader, draft: &Draft, part: &Part) {
    let needs = !matches!(part.format, Format::Practice);
    if part.lines.is_empty() && needs && draft.notes.is_empty() {
        add(reader, ProblemKind::EmptyPart, Severity::Error, at(part), format!("\"{}\" has no lines.", part.name), vec![]);
    }
}

fn cap(reader: &mut Reader, part: &Part) {
    let Some(cap) = part.time_cap_s else { return };
    if part.lines.is_empty() || part.cap_scope.is_some() {
        return;
    }
    let least = pace::fastest(part, reader.library);
    if least > cap {
        let text = format!(
            "Nobody can finish this in {}: even the fastest athlete needs about {}.",
            words(cap),
            words((least / 30.0).ceil() * 30.0)
        );
        add(reader, ProblemKind::CapTooShort, Severity::Error, at(part), text, vec![words((least * 2.0 / 60.0).ceil() * 60.0)]);
    }
}

/// An option that changes nothing, or makes it longer under the name of shorter.
fn options(reader: &mut Reader, part: &Part) {
    for option in &part.options {
        if same(option, part) {
            let place = option.at.unwrap_or_else(|| at(part));
            add(
                reader,
                ProblemKind::OptionSame,
                Severity::Error,
                place,
                format!("The version \"{}\" is the same as what is written.", option.name),
                vec![],
            );
        }
    }
}

fn same(option: &PartOption, part: &Part) -> bool {
    let not_less = |a: &Option<Amount>, b: &Option<Amount>| match (a, b) {
        (Some(a), Some(b)) => Some(a == b),
        _ => None,
    };
    let number = |a: Option<f64>, b: Option<f64>| a.zip(b).map(|(a, b)| (a - b).abs() < 0.01);
    let reps = option.reps.as_ref().map(|r| part.lines.iter().any(|l| l.reps.as_ref() == Some(r)));
    let said = [
        not_less(&option.rounds, &part.rounds),
        number(option.time_cap_s, part.time_cap_s),
        number(option.duration_s, part.duration_s),
        reps,
    ];
    let load = option.load.is_none() || part.lines.iter().any(|l| l.load == option.load);
    option.lines.is_empty() && load && said.iter().any(Option::is_some) && said.iter().flatten().all(|same| *same)
}

/// A percent needs a max; asked where the movement is not one that people have a max of.
fn maxes(reader: &mut Reader, part: &Part) {
    for line in &part.lines {
        let Some(Load::Percent { of, .. }) = &line.load else { continue };
        let bar = reader
            .library
            .find(&line.movement)
            .is_some_and(|m| m.equipment.iter().flatten().any(|i| matches!(i, Implement::Barbell | Implement::PullupBar)));
        if !bar && of == "1RM" && line.complex.is_empty() {
            let text = format!("Percent of which max? People seldom have one for {}.", line.movement);
            let place = line.at.unwrap_or_else(|| at(part));
            add(reader, ProblemKind::MissingMax, Severity::Ask, place, text, vec![]);
        }
    }
}
