//! A ladder that is typed rung by rung: `10 squats, 10 push-ups`, and below it `8 squats, 8 push-ups`, `6 squats, 6 push-ups`.

use super::super::dose::Amount;
use super::draft::{Draft, Row};
use super::element::{Doc, Name};
use super::item::{Facts, Item};
use super::quantity::Unit;
use super::token::Kind;

/// Fewer lines that go up or down could be a pyramid of anything.
const LEAST: usize = 3;
/// What stands below the last rung where the ladder goes on.
const GOES_ON: &[&str] = &[
    "and so on",
    "and so forth",
    "etc",
    "keep going",
    "keep climbing",
    "keep adding",
    "and up",
    "continue",
    "as far as you can",
];

/// Makes of the rungs one line a movement, with a number for each rung.
pub(super) fn rungs(draft: &mut Draft, doc: &Doc) {
    let said = |f: &Facts| f.rounds.is_some() || f.every.is_some() || f.on_off.is_some() || f.step.is_some() || f.sets.is_some();
    if draft.facts.iter().any(said) || draft.scheme.is_some() {
        return;
    }
    let Some(wide) = width(&draft.rows, doc) else { return };
    let lists: Vec<Vec<f64>> =
        (0..wide).map(|k| draft.rows.iter().skip(k).step_by(wide).filter_map(|r| counted(&r.item)).collect()).collect();
    let mut lists = lists;
    let on = goes_on(draft, doc);
    // `10 squats, 9 squats ... and so on` goes on to the last one
    let open = on && !to_the_end(&mut lists);
    let rest: Vec<Row> = draft.rows.drain(wide..).collect();
    draft.said.extend(rest.iter().filter_map(|r| r.at));
    for (row, list) in draft.rows.iter_mut().zip(lists) {
        if let Some(q) = &mut row.item.dose {
            (q.amount, q.open) = (Amount::Scheme(list), open);
        }
    }
    if open {
        let at = draft.rows.first().map_or((0, 0), |r| (r.item.from, r.item.to));
        draft.facts.push(Facts { ladder: Some(at), ..Facts::default() });
    }
}

/// Fills the lists up to where the first that goes down has nothing left; false where none does, or a step is uneven.
fn to_the_end(lists: &mut [Vec<f64>]) -> bool {
    let step = |l: &Vec<f64>| l.windows(2).all(|w| (w[1] - w[0] - (l[1] - l[0])).abs() < 0.01).then(|| l[1] - l[0]);
    let steps: Option<Vec<f64>> = lists.iter().map(step).collect();
    let Some(steps) = steps.filter(|s| s.iter().any(|by| *by < 0.0)) else { return false };
    let next = |l: &Vec<f64>, by: f64| l.last().map_or(0.0, |n| n + by);
    for _ in 0..50 {
        if lists.iter().zip(&steps).any(|(l, by)| next(l, *by) < 1.0) {
            break;
        }
        lists.iter_mut().zip(&steps).for_each(|(l, by)| l.push(next(l, *by)));
    }
    true
}

/// How many lines make a rung, where all of them are rungs of one ladder.
fn width(rows: &[Row], doc: &Doc) -> Option<usize> {
    let first = rows.first()?.line;
    let wide = rows.iter().take_while(|r| r.line == first).count();
    let even = rows.len().is_multiple_of(wide) && rows.len() / wide >= LEAST;
    let rung = |k: usize| &rows[k * wide..(k + 1) * wide];
    let one_line = |k: usize| rung(k).iter().all(|r| r.line == rung(k)[0].line);
    let apart = |k: usize| k == 0 || rung(k)[0].line == rung(k - 1)[0].line + 1;
    let same = |k: usize| rung(k).iter().zip(rung(0)).all(|(a, b)| alike(a, b) && said_alike(a, b, doc));
    let all = even && (0..rows.len() / wide).all(|k| one_line(k) && apart(k) && same(k));
    (all && (0..wide).all(|k| climbs(rows, k, wide))).then_some(wide)
}

/// The same movement, counted the same way, with no load of its own.
fn alike(row: &Row, first: &Row) -> bool {
    let plain = |it: &Item| it.sets.is_none() && it.more.is_empty() && it.choices.is_empty() && it.complex.is_empty();
    let load = row.item.load.is_none() || row.item.load == first.item.load;
    let side = row.item.side == first.item.side;
    let role = row.role.is_none() && row.lead.minute.is_none() && row.lead.label.is_none();
    let name: Option<Name> = row.item.movement;
    name.is_some() && name == first.item.movement && plain(&row.item) && load && side && role && counted(&row.item).is_some()
}

/// Nothing is said of a rung that is not said of the first one too: a pause or a word about the last would be nobody's.
fn said_alike(row: &Row, first: &Row, doc: &Doc) -> bool {
    let (a, b) = (&row.item, &first.item);
    let how = a.tempo == b.tempo && a.pause == b.pause && a.down == b.down && a.max == b.max && a.split == b.split;
    let words = |r: &Row| r.item.tail.iter().chain(&r.notes).map(|s| doc.typed(s.0, s.1)).collect::<Vec<_>>();
    let told = words(row);
    let swaps = row.alternatives.is_empty() || row.alternatives.len() == first.alternatives.len();
    how && swaps && (told.is_empty() || told == words(first))
}

fn counted(item: &Item) -> Option<f64> {
    let q = item.dose.as_ref()?;
    match (&q.amount, q.unit) {
        (Amount::One(n), Unit::Bare | Unit::Reps | Unit::Calories) => Some(*n),
        _ => None,
    }
}

/// Every rung of the column has more than the one before it, or every one fewer.
fn climbs(rows: &[Row], column: usize, wide: usize) -> bool {
    let list: Vec<f64> = rows.iter().skip(column).step_by(wide).filter_map(|r| counted(&r.item)).collect();
    list.windows(2).all(|w| w[1] > w[0]) || list.windows(2).all(|w| w[1] < w[0])
}

/// Dots or `and so on` stand right below the last rung.
fn goes_on(draft: &Draft, doc: &Doc) -> bool {
    let end = draft.rows.iter().map(|r| r.item.to).max().unwrap_or(0);
    let from = (end..doc.tokens.len()).find(|&t| doc.tokens[t].kind != Kind::Newline).unwrap_or(end);
    let near = doc.tokens.get(from).is_some_and(|t| draft.rows.last().is_some_and(|r| t.line <= r.line + 1));
    near && (doc.tokens[from].kind == Kind::Dots || doc.says_any(from, GOES_ON).is_some())
}

#[cfg(test)]
mod tests {
    use super::super::read;
    use crate::training::dose::Amount;
    use crate::training::movement::Library;
    use crate::training::session::{Format, Part};

    fn part(text: &str) -> Part {
        read(text, Library::shipped()).parts.remove(0)
    }

    #[test]
    fn rungs_on_lines_of_their_own_are_one_list_for_each_movement() {
        let read = part("For time\n10 thrusters 40/30 kg, 10 burpees\n8 thrusters, 8 burpees\n6 thrusters, 6 burpees");
        let list = Some(Amount::Scheme(vec![10.0, 8.0, 6.0]));
        assert_eq!((read.rounds, read.lines.len()), (Some(Amount::One(3.0)), 2));
        assert!(read.lines.iter().all(|l| l.reps == list), "{:?}", read.lines);
    }

    #[test]
    fn dots_below_the_last_rung_let_it_go_on() {
        let read = part("12 min AMRAP\n1 burpee, 1 pull-up\n2 burpees, 2 pull-ups\n3 burpees, 3 pull-ups\n...");
        assert!(read.format == Format::Ladder && read.lines.iter().all(|l| l.open), "{read:?}");
    }

    #[test]
    fn what_goes_down_and_so_on_ends_with_the_last_one() {
        let read = part("10 squats + 1 push-up\n9 squats + 2 push-ups\n8 squats + 3 push-ups\nand so on");
        let down: Vec<f64> = (1..=10).rev().map(f64::from).collect();
        let up: Vec<f64> = (1..=10).map(f64::from).collect();
        let lists: Vec<Option<Amount>> = read.lines.iter().map(|l| l.reps.clone()).collect();
        assert_eq!(lists, [Some(Amount::Scheme(down)), Some(Amount::Scheme(up))]);
    }

    #[test]
    fn a_chipper_that_comes_back_keeps_all_of_its_lines() {
        assert_eq!(part("For time\n30 squats\n20 squats\n30 squats").lines.len(), 3);
    }

    #[test]
    fn rounds_above_two_lines_of_one_movement_leave_them_apart() {
        assert_eq!(part("3 rounds\n10 burpees\n8 burpees\n6 burpees").lines.len(), 3);
    }

    #[test]
    fn what_is_said_of_a_later_rung_leaves_the_rungs_apart() {
        let read = part("For time\n10 squats\n8 squats (3 s down)\n6 squats, pause at the bottom");
        assert_eq!((read.lines.len(), read.lines[1].down_s), (3, Some(3.0)));
        assert!(format!("{read:?}").contains("pause at the bottom"), "{read:?}");
    }
}
