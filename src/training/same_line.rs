//! Whether a line of one session stands in a copy of it that may have been edited since.

use super::retest::{as_given, work};
use super::session::{Part, Session};

/// Where what was asked about stands in a copy.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stands {
    /// part and line, from 0
    Line(usize, usize),
    /// the part, from 0, with the same work
    Part(usize),
    /// the session, with the same work throughout
    Session,
}

/// The two say the same of how their lines are done.
fn alike(a: &Part, b: &Part) -> bool {
    (a.format, a.score, a.intent) == (b.format, b.score, b.intent)
}

/// Where a line, a part or the whole of `asked` stands in `copy`: only where nothing about it is another by now. An answer about
/// sets of five says nothing about sets of three.
#[must_use]
pub fn in_copy(asked: &Session, part: Option<usize>, line: Option<usize>, copy: &Session) -> Option<Stands> {
    let Some(at) = part else {
        let all = |session: &Session| session.parts.iter().map(work).collect::<Vec<_>>();
        return (all(asked) == all(copy)).then_some(Stands::Session);
    };
    let then = asked.parts.get(at)?;
    // the same place first, where a session has the same line twice
    let mut places: Vec<usize> = (0..copy.parts.len()).collect();
    places.sort_by_key(|p| *p != at);
    let Some(line) = line else {
        return places.into_iter().find(|p| work(&copy.parts[*p]) == work(then)).map(Stands::Part);
    };
    let wanted = as_given(then.lines.get(line)?);
    places.into_iter().filter(|p| alike(&copy.parts[*p], then)).find_map(|p| {
        let found = copy.parts[p].lines.iter().position(|l| as_given(l) == wanted)?;
        Some(Stands::Line(p, found))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::training::dose::Amount;
    use crate::training::session::{Format, Line};

    fn line(movement: &str, reps: f64) -> Line {
        Line { movement: movement.to_owned(), reps: Some(Amount::One(reps)), ..Line::default() }
    }

    fn session(parts: &[&[Line]]) -> Session {
        let part = |lines: &&[Line]| Part { format: Format::Sets, lines: lines.to_vec(), ..Part::default() };
        Session { parts: parts.iter().map(part).collect(), ..Session::default() }
    }

    #[test]
    fn a_line_is_found_where_it_stands_by_now_and_only_as_it_was() {
        let (squat, row) = (line("goblet squat", 5.0), line("bent-over row", 8.0));
        let asked = session(&[&[squat.clone(), row.clone()]]);
        let moved = session(&[&[line("plank", 1.0)], &[row.clone(), squat.clone()]]);
        assert_eq!(in_copy(&asked, Some(0), Some(0), &moved), Some(Stands::Line(1, 1)));
        let lighter = session(&[&[line("goblet squat", 3.0), row]]);
        assert_eq!(in_copy(&asked, Some(0), Some(0), &lighter), None, "another dose");
        let mut timed = asked.clone();
        timed.parts[0].format = Format::ForTime;
        assert_eq!(in_copy(&asked, Some(0), Some(0), &timed), None, "another kind of part");
        assert_eq!(in_copy(&asked, Some(0), Some(7), &asked), None, "a line that is not there");
    }

    #[test]
    fn a_part_and_a_session_are_found_only_where_all_of_it_is_the_same() {
        let asked = session(&[&[line("goblet squat", 5.0)], &[line("plank", 1.0)]]);
        let changed = session(&[&[line("plank", 1.0)], &[line("goblet squat", 6.0)]]);
        assert_eq!(in_copy(&asked, Some(1), None, &changed), Some(Stands::Part(0)));
        assert_eq!(in_copy(&asked, Some(0), None, &changed), None);
        assert_eq!(in_copy(&asked, None, None, &asked.clone()), Some(Stands::Session));
        assert_eq!(in_copy(&asked, None, None, &changed), None);
    }
}
