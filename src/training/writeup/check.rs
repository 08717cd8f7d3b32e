//! What cannot be right in a session that was read: format without number, cap too short, empty part and the like.

mod told_twice;

use told_twice::{caps, lengths};

use super::super::dose::{Amount, Load};
use super::super::movement::{Implement, Library};
use super::super::pace;
use super::super::session::{Format, Line, Part, PartOption, Place, Problem, ProblemKind, Session, Severity};
use super::crowded;
use super::draft::{Draft, Sheet};
use super::element::{Element, Heading, Name, What};
use super::empty_bar;
use super::item::Span;
use super::lexicon::Lexicon;
use super::line::Reader;
use super::quantity::{Unit, odd_clock, quantity};
use super::resolve::words;
use std::cell::OnceCell;

/// Adds every problem of the whole.
pub fn check(reader: &mut Reader, sheet: &Sheet, session: &mut Session) {
    for (draft, part) in sheet.parts.iter().zip(&mut session.parts) {
        missing_number(reader, draft, part);
        if draft.notes.is_empty() || draft.scheme.is_some() {
            let promised = draft.scheme.is_some()
                || draft.label.is_some()
                || matches!(draft.heading, Some(Heading::Strength | Heading::Conditioning | Heading::Test));
            empty(part, promised, &mut reader.problems);
        }
        let before = reader.problems.len();
        whole(part, reader.library, &mut reader.problems);
        mend_the_cap(reader, draft, before);
        reader.problems.extend(crowded::asked(reader, draft, part));
    }
    for span in &sheet.unitless {
        let text = format!("\"{}\" has a number without a unit: seconds?", reader.doc.typed(span.0, span.1));
        reader.problem(ProblemKind::MissingUnit, Severity::Error, *span, text, vec![]);
    }
    for draft in &sheet.parts {
        lost(reader, draft);
    }
    ranges(reader, sheet, session);
    caps(reader, sheet, session);
    lengths(reader, sheet, session);
    weightless_bar(reader, session);
    perhaps(reader, sheet);
    for span in &sheet.unread {
        let text = format!("\"{}\" could not be read as a line; it was kept as a note.", reader.doc.typed(span.0, span.1));
        reader.problem(ProblemKind::Unread, Severity::Ask, *span, text, vec![]);
    }
}

/// `5 x 20-30 s holds, 3x5 wall walks`: sets that stand above lines which all have their own dose would be nobody's.
fn lost(reader: &mut Reader, draft: &Draft) {
    let Some(scheme) = draft.scheme.as_ref().filter(|s| s.sets.is_some() && s.dose.is_some()) else { return };
    let own = |it: &super::item::Item| it.is_dosed();
    if draft.rows.is_empty() || !draft.rows.iter().all(|r| own(&r.item)) {
        return;
    }
    let span = (scheme.from, scheme.to);
    let text = format!("\"{}\" could not be read as a line; what is done so often?", reader.doc.typed(span.0, span.1));
    reader.problem(ProblemKind::Unread, Severity::Ask, span, text, vec![]);
}

/// Lines of which it cannot be told for certain how often they are done, or in which part.
fn perhaps(reader: &mut Reader, sheet: &Sheet) {
    for (span, once) in &sheet.perhaps_once {
        let typed = reader.doc.typed(span.0, span.1);
        let (read, other) = match once {
            true => ("once, after the last round", "in every round"),
            false => ("in every round", "once, after the last one"),
        };
        let text = format!("\"{typed}\" is read as done {read}. Or is it meant {other}?");
        let suggest = vec![format!("{typed} once, at the end"), format!("{typed} each round")];
        reader.problem(ProblemKind::Unclear, Severity::Ask, *span, text, suggest);
    }
    for (span, own) in &sheet.perhaps_apart {
        let typed = reader.doc.typed(span.0, span.1);
        let text = match own {
            true => format!("\"{typed}\" is read as a part of its own, below the empty line. Or is it done in each round above?"),
            false => format!("\"{typed}\" is read as one of the lines above the empty line. Or is it a part of its own?"),
        };
        let suggest = [Some(format!("then {typed}")), own.then(|| format!("{typed} each round"))].into_iter().flatten().collect();
        reader.problem(ProblemKind::Unclear, Severity::Ask, *span, text, suggest);
    }
}

/// `3 rounds with an empty bar`: bars differ, and without a number nothing keeps it as light for who has none.
fn weightless_bar(reader: &mut Reader, session: &Session) {
    let doc = reader.doc;
    let words: Vec<&str> = (0..doc.tokens.len()).map(|t| doc.low(t)).collect();
    let Some((t, named)) = empty_bar::as_the_load(&words) else { return };
    let line = doc.tokens[t].line;
    let lifted = |l: &Line| {
        let barred =
            reader.library.find(&l.movement).is_some_and(|m| m.equipment.iter().flatten().any(|e| *e == Implement::Barbell));
        barred && l.load.is_none() && l.at.is_some_and(|at| at.line >= line)
    };
    if session.parts.iter().flat_map(|p| &p.lines).any(lifted) {
        let text =
            "How heavy is the empty bar? Without a number it is the member's own, and 20 or 15 kg for who has none.".to_owned();
        reader.problem(ProblemKind::MissingUnit, Severity::Ask, (t, t + named), text, vec![]);
    }
}

/// Clock times past 59 seconds wherever they stand and mean a time: `rest 2:75`, `cap 12:90`.
pub fn odd_clocks(reader: &mut Reader, elements: &[Element]) {
    for e in elements.iter().filter(|e| !matches!(e.what, What::OnOff(..))) {
        for t in (e.from..e.to).filter(|&t| odd_clock(&reader.doc.tokens[t])) {
            let typed = reader.doc.tokens[t].text;
            let line = reader.doc.tokens[t].line;
            if reader.problems.iter().any(|p| p.kind == ProblemKind::OddTime && p.line == line) {
                continue;
            }
            let text = format!("\"{typed}\" has a time with more than 59 seconds in its last place.");
            let suggest = carried(typed).into_iter().collect();
            reader.problem(ProblemKind::OddTime, Severity::Error, (t, t + 1), text, suggest);
        }
    }
}

/// `2:75` as `3:15`.
fn carried(typed: &str) -> Option<String> {
    let (minutes, seconds) = typed.split_once(':')?;
    let (minutes, seconds): (u32, u32) = (minutes.parse().ok()?, seconds.parse().ok()?);
    Some(format!("{}:{:02}", minutes + seconds / 60, seconds % 60))
}

/// Problems of a session that was not read from free text.
#[must_use]
pub fn written(session: &Session, library: &Library, lexicon: &Lexicon) -> Vec<Problem> {
    let mut found = Vec::new();
    for part in &session.parts {
        for line in part.lines.iter().filter(|l| l.complex.is_empty() && library.find(&l.movement).is_none()) {
            let text = format!("The library has no movement called \"{}\".", line.movement);
            let place = line.at.unwrap_or_else(|| at(part));
            add(&mut found, ProblemKind::UnknownMovement, Severity::Error, place, text, lexicon.nearest(library, &line.movement));
        }
        empty(part, false, &mut found);
        whole(part, library, &mut found);
        found.extend(crowded::crowded(part, library, at(part)));
    }
    found
}

/// Checks that need no more than the part itself.
fn whole(part: &Part, library: &Library, found: &mut Vec<Problem>) {
    absurd(part, found);
    cap(part, library, found);
    options(part, found);
    maxes(part, library, found);
}

fn at(part: &Part) -> Place {
    part.at.or_else(|| part.lines.first().and_then(|l| l.at)).unwrap_or(Place { line: 1, column: 1, length: 0 })
}

fn add(found: &mut Vec<Problem>, kind: ProblemKind, severity: Severity, place: Place, text: String, suggest: Vec<String>) {
    found.push(Problem { kind, severity, line: place.line, column: place.column, length: place.length, text, suggest });
}

/// An AMRAP without minutes, intervals without times.
fn missing_number(reader: &mut Reader, draft: &Draft, part: &Part) {
    let already = |kind| reader.problems.iter().any(|p| p.kind == kind && Some(p.line) == part.at.map(|a| a.line));
    let missing = part.format == Format::Amrap && part.duration_s.is_none() && !already(ProblemKind::OddTime);
    let unclear = part.format == Format::Intervals && part.interval.is_none_or(|i| i.work_s.is_none());
    let cap = draft.facts.iter().any(|f| f.cap.is_some_and(|c| c.0.is_none()));
    if part.rounds.is_none()
        && let Some(span) = draft.facts.iter().find_map(|f| f.bare_rounds.filter(|_| f.for_time.is_some()))
        && !reader.problems.iter().any(|p| p.kind == ProblemKind::Contradiction)
    {
        reader.problem(ProblemKind::MissingNumber, Severity::Error, span, "How many rounds?".to_owned(), vec![]);
    }
    if missing || unclear || cap && part.time_cap_s.is_none() {
        let what = if missing {
            "This AMRAP has no minutes."
        } else if unclear {
            "These intervals have no work time."
        } else {
            "The cap has no number."
        };
        add(&mut reader.problems, ProblemKind::MissingNumber, Severity::Error, at(part), what.to_owned(), vec![]);
    }
}

/// A heading with nothing under it; a part of words, such as a cool-down, may stand alone unless a label `promised` more.
fn empty(part: &Part, promised: bool, found: &mut Vec<Problem>) {
    let needs = !matches!(part.format, Format::Practice) || promised && part.duration_s.is_none();
    if part.lines.is_empty() && needs {
        add(found, ProblemKind::EmptyPart, Severity::Error, at(part), format!("\"{}\" has no lines.", part.name), vec![]);
    }
}

fn cap(part: &Part, library: &Library, found: &mut Vec<Problem>) {
    let Some(cap) = part.time_cap_s else { return };
    if part.lines.is_empty() || part.cap_scope.is_some() {
        return;
    }
    let least = pace::fastest(part, library);
    if least > cap {
        let text = format!(
            "Nobody can finish this in {}: even the fastest athlete needs about {}.",
            words(cap),
            words((least / 30.0).ceil() * 30.0)
        );
        add(found, ProblemKind::CapTooShort, Severity::Error, at(part), text, vec![words((least * 2.0 / 60.0).ceil() * 60.0)]);
    }
}

/// A longer cap stands in the place of the cap that was typed, not in that of the heading around it.
fn mend_the_cap(reader: &mut Reader, draft: &Draft, from: usize) {
    let Some((_, _, span)) = draft.first(|f| f.cap) else { return };
    let at = reader.place(span);
    for k in from..reader.problems.len() {
        if reader.problems[k].kind == ProblemKind::CapTooShort {
            let suggest = reader.problems[k].suggest.iter().map(|new| reader.with_time(span, new)).collect();
            let p = &mut reader.problems[k];
            (p.line, p.column, p.length, p.suggest) = (at.line, at.column, at.length, suggest);
        }
    }
}

/// Numbers beyond what anybody does in a session: a key held down, a unit left out.
fn absurd(part: &Part, found: &mut Vec<Problem>) {
    let mut tell = |n: f64, what: &str, place: Place| {
        let text = format!("{n} {what} cannot be meant; is a digit or a unit wrong?");
        add(found, ProblemKind::OddNumber, Severity::Error, place, text, vec![]);
    };
    if let Some(n) = part.rounds.as_ref().map(Amount::high).filter(|n| *n > 150.0) {
        tell(n, "rounds", at(part));
    }
    for line in &part.lines {
        let place = line.at.unwrap_or_else(|| at(part));
        let told = [(&line.reps, 3000.0, "reps"), (&line.metres, 60_000.0, "m"), (&line.calories, 2000.0, "calories")];
        for (amount, most, what) in told {
            if let Some(n) = amount.as_ref().map(Amount::high).filter(|n| *n > most) {
                tell(n, what, place);
            }
        }
        match &line.load {
            Some(Load::Kg { values, .. }) => values.iter().filter(|n| **n > 450.0).take(1).for_each(|n| tell(*n, "kg", place)),
            Some(Load::Lb { values, .. }) => values.iter().filter(|n| **n > 1000.0).take(1).for_each(|n| tell(*n, "lb", place)),
            Some(Load::Percent { percent, .. }) if percent.high() > 200.0 => tell(percent.high(), "%", place),
            _ => {}
        }
    }
}

/// `10-30 s` on the line and `10-20 s` for the same movement elsewhere: one of them is a slip.
fn ranges(reader: &mut Reader, sheet: &Sheet, session: &mut Session) {
    let mut seen: Vec<(usize, &Line, &Amount)> = Vec::new();
    for (i, part) in session.parts.iter().enumerate() {
        for line in &part.lines {
            let Some(range @ Amount::Range(..)) = line.seconds.as_ref().or(line.reps.as_ref()) else { continue };
            if let Some((j, _, other)) = seen.iter().find(|(_, l, r)| {
                l.movement == line.movement && l.seconds.is_some() == line.seconds.is_some() && differ(r, range)
            }) {
                let severity = if *j == i { Severity::Error } else { Severity::Ask };
                let text = format!("{} is {other} in one place and {range} in another.", line.movement);
                let place = line.at.unwrap_or_else(|| at(part));
                // a mend is for the number, and leaves the rest of the line
                let place = reader.range_in(place, range).unwrap_or(place);
                add(
                    &mut reader.problems,
                    ProblemKind::Contradiction,
                    severity,
                    place,
                    text,
                    vec![other.to_string(), range.to_string()],
                );
            }
            seen.push((i, line, range));
        }
    }
    for (draft, part) in sheet.parts.iter().zip(&mut session.parts) {
        for span in draft.notes.iter().chain(draft.rows.iter().flat_map(|r| &r.notes)) {
            note_range(reader, part, *span);
        }
    }
}

fn differ(a: &Amount, b: &Amount) -> bool {
    a != b && ((a.low() - b.low()).abs() < 0.01 || (a.high() - b.high()).abs() < 0.01)
}

/// A range of seconds in a note that speaks of a line of its part.
fn note_range(reader: &mut Reader, part: &mut Part, span: Span) {
    // a note can be as long as the write-up, and hold many ranges
    let names = OnceCell::new();
    for t in span.0..span.1 {
        let Some(q) =
            quantity(&reader.doc.tokens[t..span.1]).filter(|q| q.unit == Unit::Seconds && matches!(q.amount, Amount::Range(..)))
        else {
            continue;
        };
        let named = names.get_or_init(|| named_in(reader, span));
        let later = (span.0..span.1)
            .any(|t| matches!(reader.doc.low(t), "goal" | "later" | "eventually" | "last" | "was" | "if" | "next"));
        let about = |l: &Line, s: &Amount| {
            if named.is_empty() { differ(s, &q.amount) } else { named.contains(&l.movement) && *s != q.amount && !later }
        };
        let Some(line) =
            part.lines.iter_mut().find(|l| l.seconds.as_ref().is_some_and(|s| matches!(s, Amount::Range(..)) && about(l, s)))
        else {
            continue;
        };
        // which of the two is right is in doubt
        let Some(written) = line.seconds.take() else { continue };
        let text = format!("{} is {written} s on its line and {} s in the words beside it.", line.movement, q.amount);
        let suggest = vec![format!("{written} s"), format!("{} s", q.amount)];
        return reader.problem(ProblemKind::Contradiction, Severity::Error, (t, t + q.tokens), text, suggest);
    }
}

/// Library names of the movements that a stretch of words speaks of.
fn named_in(reader: &Reader, span: Span) -> Vec<String> {
    let name = |t| super::tag::name(reader.doc, t, reader.library, reader.lexicon);
    (span.0..span.1)
        .filter_map(|t| if let Some((Name::Known(m), _)) = name(t) { Some(reader.library.all()[m].name.clone()) } else { None })
        .collect()
}

/// An option that changes nothing, or makes it longer under the name of shorter.
fn options(part: &Part, found: &mut Vec<Problem>) {
    for option in &part.options {
        if same(option, part) {
            let place = option.at.unwrap_or_else(|| at(part));
            add(
                found,
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
fn maxes(part: &Part, library: &Library, found: &mut Vec<Problem>) {
    for line in &part.lines {
        let Some(Load::Percent { of, .. }) = &line.load else { continue };
        let bar = library
            .find(&line.movement)
            .is_some_and(|m| m.equipment.iter().flatten().any(|i| matches!(i, Implement::Barbell | Implement::PullupBar)));
        if !bar && of == "1RM" && line.complex.is_empty() {
            let text = format!("Percent of which max? People seldom have one for {}.", line.movement);
            let place = line.at.unwrap_or_else(|| at(part));
            add(found, ProblemKind::MissingMax, Severity::Ask, place, text, vec![]);
        }
    }
}
