//! More than fits into one window: three lines under `EMOM 12` that take two minutes together.

use super::super::movement::Library;
use super::super::pace::{self, Window};
use super::super::session::{Line, Part, Place, Problem, ProblemKind, Severity};
use super::draft::Draft;
use super::line::Reader;
use super::resolve::words;

/// Asks at the written window whether all of its lines are meant in each.
pub(super) fn asked(reader: &Reader, draft: &Draft, part: &Part) -> Option<Problem> {
    let span = draft.first(|f| f.every).map(|e| e.3)?;
    let typed = reader.doc.typed(span.0, span.1);
    Some(Problem { suggest: mends(part, reader.library, typed), ..crowded(part, reader.library, reader.place(span))? })
}

/// The question, where the lines of a window take longer than it even for somebody quick.
pub(super) fn crowded(part: &Part, library: &Library, place: Place) -> Option<Problem> {
    let (window, time) = pace::windows(part).into_iter().find_map(|w| too_much(&w, part, library).map(|s| (w, s)))?;
    let long = words(window.length_s);
    let many = match window.lines.len() {
        2 => "Both",
        3 => "All three",
        _ => "All of these",
    };
    let each = if (window.length_s - 60.0).abs() < 0.5 { "every minute".to_owned() } else { format!("every {long}") };
    let text = format!("{many} {each}? That is about {} of work. Or one line at a time, in turn?", words(time));
    let Place { line, column, length } = place;
    Some(Problem { kind: ProblemKind::WindowTooShort, severity: Severity::Ask, line, column, length, text, suggest: Vec::new() })
}

/// Typical seconds of the window's lines, to five, where several of them do not fit into it even at a quick pace.
fn too_much(window: &Window, part: &Part, library: &Library) -> Option<f64> {
    let time = pace::together(window.lines.iter().map(|&i| &part.lines[i]), library);
    (window.lines.len() > 1 && time.low_s > window.length_s).then(|| (time.typical_s / 5.0).round() * 5.0)
}

/// What could stand in the place of the typed window: the lines in turn, or a window that holds them all.
fn mends(part: &Part, library: &Library, typed: &str) -> Vec<String> {
    let every = part.interval.and_then(|i| i.every_s).unwrap_or(60.0);
    let numbered = part.lines.iter().any(|l| l.minute.is_some());
    let (Some(total), false) = (part.duration_s, numbered) else { return Vec::new() };
    let divides = |n: f64| (total / n).fract().abs() < 1e-9;
    let each: Vec<&Line> = part.lines.iter().filter(|l| l.role.is_none()).collect();
    #[expect(clippy::cast_precision_loss, reason = "a part has a few lines")]
    let listed = each.len() as f64;
    let turns = divides(every * listed).then(|| format!("{typed}, alternating"));
    let needed = pace::together(each.iter().copied(), library).typical_s;
    let wide = (1..=20).map(|n| f64::from(n) * 30.0).find(|s| *s > every && s * pace::WORKED >= needed && divides(*s));
    // a number stands in the place of a number
    let wide = wide.map(|s| match typed.starts_with(|c: char| c.is_ascii_digit()) {
        true => format!("{}, every {}", words(total), words(s)),
        false => format!("every {} for {}", words(s), words(total)),
    });
    turns.into_iter().chain(wide).collect()
}

#[cfg(test)]
mod tests {
    use super::super::read;
    use super::*;

    fn asked(text: &str) -> Option<Problem> {
        read(text, Library::shipped()).problems.into_iter().find(|p| p.kind == ProblemKind::WindowTooShort)
    }

    const LINES: &str = "12/9 cal bike\n10 DB hang power clean 22.5/15 kg\n12 T2B\n";

    #[test]
    fn a_minute_and_a_half_of_work_every_minute_is_asked_about() {
        let found = asked(&format!("EMOM 12\n{LINES}")).unwrap();
        assert_eq!((found.severity, found.line, found.column, found.length), (Severity::Ask, 1, 1, 7));
        assert!(found.text.starts_with("All three every minute? That is about 1:30 of work."), "{}", found.text);
    }

    #[test]
    fn each_mend_in_the_place_of_what_was_typed_answers_it() {
        for head in ["EMOM 12", "12 min EMOM", "Every minute for 12 minutes"] {
            let text = format!("{head}\n{LINES}");
            let mends = asked(&text).unwrap().suggest;
            assert!(!mends.is_empty(), "{head}");
            for mend in mends {
                let mended = text.replacen(head, &mend, 1);
                let session = read(&mended, Library::shipped());
                assert_eq!(session.problems, [], "{mend}");
                assert_eq!((session.parts[0].lines.len(), session.parts[0].duration_s), (3, Some(720.0)), "{mend}");
            }
        }
    }

    #[test]
    fn turns_are_offered_only_where_they_come_out_even() {
        let mends = asked(&format!("EMOM 10\n{LINES}")).unwrap().suggest;
        assert!(mends.iter().all(|m| !m.contains("alternating")) && !mends.is_empty(), "{mends:?}");
    }

    #[test]
    fn what_fits_or_takes_turns_raises_nothing() {
        for text in [
            "EMOM 12\n12/9 cal bike\n8 DB hang cleans\n6 toes-to-bar\n",
            "EMOM 10\n5 pull-ups\n10 push-ups\n15 air squats\n",
            "EMOM 12, alternating\n12/9 cal bike\n10 DB hang power clean\n12 T2B\n",
            "EMOM 12\nmin 1: 12/9 cal bike\nmin 2: 10 DB hang power clean\nmin 3: 12 T2B\n",
            "Every 3 min for 15 min:\n250 m row\n8 DB push press 2 x 17.5/12.5 kg\n6 box jumps\n",
            "EMOM 10\n12 burpees\n",
        ] {
            assert_eq!(asked(text), None, "{text}");
        }
    }

    #[test]
    fn a_tidied_write_up_is_asked_the_same() {
        let session = read(&format!("EMOM 12\n{LINES}"), Library::shipped());
        assert!(asked(&super::super::print(&session)).is_some());
    }
}
