//! Tables pasted from a sheet: rows of cells under a head that says what each column holds.
//!
//! A table is a head line of two known column words or more, and the lines below it that are cut into as many cells by the
//! same mark: `|`, a tab, `,`, `;` or two spaces and more.

mod cell;

pub use cell::cell;

use std::collections::HashMap;
use std::ops::Range;

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Column {
    /// names, notes, doses: read as anywhere else
    Plain,
    /// the row's number
    Number,
    /// how many sets
    Sets,
    /// how much in each
    Reps,
    /// how heavy; the unit of its numbers where the head tells it
    Load(Option<&'static str>),
    /// the rest behind each set
    Rest,
}

/// A line of a table.
#[derive(Clone, Debug)]
pub enum Row {
    /// the head, or a ruler below it
    Head,
    /// cells: the bytes of the text, and what they hold
    Cells(Vec<(Range<usize>, Column)>),
}

/// The tables of a text.
#[derive(Clone, Debug, Default)]
pub struct Tables {
    /// by typed line, from 1
    pub rows: HashMap<usize, Row>,
    /// bytes of commas that part cells and are no decimal
    pub commas: Vec<usize>,
}

/// Finds the tables of a text, in one pass.
#[must_use]
pub fn tables(text: &str) -> Tables {
    let mut out = Tables::default();
    let mut head: Option<(Mark, Vec<Column>)> = None;
    let mut start = 0;
    for (n, line) in text.split('\n').enumerate() {
        let at = start;
        start += line.len() + 1;
        if let Some((mark, columns)) = &head {
            if is_ruler(line) {
                out.rows.insert(n + 1, Row::Head);
                continue;
            }
            if let Some(cells) = row(line, *mark, columns) {
                if matches!(mark, Mark::Char(',')) {
                    out.commas.extend(line.match_indices(',').map(|(i, _)| at + i));
                }
                let cells = cells.into_iter().map(|(r, c)| (r.start + at..r.end + at, c)).collect();
                out.rows.insert(n + 1, Row::Cells(cells));
                continue;
            }
            head = None;
        }
        if let Some(found) = heads(line) {
            out.rows.insert(n + 1, Row::Head);
            head = Some(found);
        }
    }
    // a head without rows is a line like any other
    let lonely: Vec<usize> = out.rows.keys().copied().filter(|n| is_lonely(&out.rows, *n)).collect();
    lonely.iter().for_each(|n| drop(out.rows.remove(n)));
    out
}

fn is_lonely(rows: &HashMap<usize, Row>, n: usize) -> bool {
    let cells = |n: &usize| matches!(rows.get(n), Some(Row::Cells(_)));
    matches!(rows.get(&n), Some(Row::Head)) && !cells(&(n + 1)) && !cells(&(n + 2)) && !cells(&n.saturating_sub(1))
}

/// What parts the cells of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Mark {
    Char(char),
    Spaces,
}

const MARKS: [Mark; 5] = [Mark::Char('|'), Mark::Char('\t'), Mark::Spaces, Mark::Char(';'), Mark::Char(',')];

fn is_ruler(line: &str) -> bool {
    line.contains("--") && line.chars().all(|c| matches!(c, '-' | '|' | ':' | '+' | '=' | ' ' | '\t'))
}

/// The mark and the columns of a head.
fn heads(line: &str) -> Option<(Mark, Vec<Column>)> {
    if line.chars().any(|c| c.is_ascii_digit()) || line.len() > 200 {
        return None;
    }
    MARKS.into_iter().find_map(|mark| {
        let cells = cut(line, mark);
        let columns: Vec<Option<Column>> = cells.iter().map(|r| column(line[r.clone()].trim())).collect();
        let known = columns.iter().flatten().count();
        let telling = columns.iter().flatten().any(|c| *c != Column::Plain);
        (known >= 2 && telling && known + 1 >= cells.len())
            .then(|| (mark, columns.into_iter().map(|c| c.unwrap_or(Column::Plain)).collect()))
    })
}

/// The cells of a row, where it has as many as its head, or one more in front that the head leaves without a word.
fn row(line: &str, mark: Mark, columns: &[Column]) -> Option<Vec<(Range<usize>, Column)>> {
    if line.trim().is_empty() {
        return None;
    }
    let cells = cut(line, mark);
    let more = cells.len() == columns.len() + 1;
    let fewer = mark != Mark::Spaces && cells.len() < columns.len() && cells.len() > 1;
    if cells.len() != columns.len() && !more && !fewer {
        return None;
    }
    let front = more.then_some(Column::Plain);
    Some(cells.into_iter().zip(front.into_iter().chain(columns.iter().copied())).collect())
}

/// Bytes of each cell. A bar at either end of the line parts nothing.
fn cut(line: &str, mark: Mark) -> Vec<Range<usize>> {
    let mut out = Vec::new();
    let (from, to) = match mark {
        Mark::Char('\t') => (0, line.trim_end_matches(['\r', ' ']).len()),
        _ => (line.len() - line.trim_start().len(), line.trim_end().len()),
    };
    if from >= to {
        return out;
    }
    let bars = mark == Mark::Char('|');
    let from = from + usize::from(bars && line[from..].starts_with('|'));
    let to = (to - usize::from(bars && line[..to].ends_with('|'))).max(from);
    let mut start = from;
    match mark {
        Mark::Char(c) => {
            for (i, _) in line[from..to].match_indices(c) {
                out.push(start..from + i);
                start = from + i + c.len_utf8();
            }
        }
        Mark::Spaces => {
            let bytes = line.as_bytes();
            let mut i = from;
            while i < to {
                let gap = bytes[i..to].iter().take_while(|b| **b == b' ').count();
                if gap > 1 {
                    out.push(start..i);
                    start = i + gap;
                }
                i += gap.max(1);
            }
        }
    }
    out.push(start..to);
    out
}

/// What a column's head says it holds.
fn column(head: &str) -> Option<Column> {
    let words = head.to_lowercase().replace(['*', '_', '.'], "");
    Some(match words.trim() {
        "exercise" | "exercises" | "movement" | "movements" | "lift" | "lifts" | "drill" | "what" | "move" | "name"
        | "sets x reps" | "sets × reps" | "sets/reps" | "sets / reps" | "sets and reps" | "sets & reps" | "how much" | "work"
        | "scheme" | "volume" | "amount" | "dose" | "how long" | "time" | "distance" | "tempo" | "note" | "notes" | "comment"
        | "comments" | "cue" | "cues" | "each round" => Column::Plain,
        "#" | "no" | "nr" | "order" => Column::Number,
        "sets" | "set" | "rounds" | "series" => Column::Sets,
        "reps" | "rep" | "repetitions" | "how many" => Column::Reps,
        "load" | "weight" | "intensity" | "how hard" | "how heavy" | "effort" => Column::Load(None),
        "%" | "percent" | "% 1rm" | "%1rm" => Column::Load(Some("%")),
        "kg" | "load kg" | "load (kg)" | "weight (kg)" => Column::Load(Some("kg")),
        "lb" | "lbs" | "load (lb)" | "weight (lb)" => Column::Load(Some("lb")),
        "rpe" => Column::Load(Some("rpe")),
        "rir" => Column::Load(Some("rir")),
        "rest" | "rests" | "rest between sets" | "recovery" | "pause" | "off" => Column::Rest,
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn columns(text: &str, line: usize) -> Option<Vec<(String, Column)>> {
        match tables(text).rows.get(&line)? {
            Row::Head => None,
            Row::Cells(cells) => Some(cells.iter().map(|(r, c)| (text[r.clone()].trim().to_owned(), *c)).collect()),
        }
    }

    #[test]
    fn a_row_has_the_columns_of_its_head() {
        let want = |cells: [&str; 4]| {
            let columns = [Column::Plain, Column::Sets, Column::Reps, Column::Rest];
            Some(cells.map(str::to_owned).into_iter().zip(columns).collect::<Vec<_>>())
        };
        let cells = ["squat", "4", "6", "90 s"];
        assert_eq!(columns("exercise,sets,reps,rest\nsquat,4,6,90 s", 2), want(cells));
        assert_eq!(columns("Exercise\tSets\tReps\tRest\nsquat\t4\t6\t90 s", 2), want(cells));
        assert_eq!(columns("| Exercise | Sets | Reps | Rest |\n|---|---|---|---|\n| squat | 4 | 6 | 90 s |", 3), want(cells));
        assert_eq!(columns("         sets  reps  rest\nsquat    4     6     90 s", 2), want(cells));
    }

    #[test]
    fn a_sentence_is_no_head() {
        assert!(tables("sets, reps and rest as you like\n5 x 5 back squat, easy").rows.is_empty());
    }
}
