//! Members and past results from a table: what each line would do, or what is wrong with it, where, and what stands there.
//!
//! Nothing is guessed: a load without a unit or a score without a kind is an error with its line and column.

mod own;

use super::calendar::{self, Zone};
use super::score::{self, MassUnit, Score, ScoreRules};
use super::session::ScoreKind;
use serde_json::Value;
use time::Date;

/// Most lines that are read at once.
pub const MOST: usize = 5000;

/// What is wrong in a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// name of the column
    pub column: String,
    /// what stands there
    pub typed: String,
    /// one plain sentence
    pub text: String,
}

/// A line of the table, read.
#[derive(Clone, Debug, PartialEq)]
pub struct Line<T> {
    /// in the file, from 1; the head is one too
    pub number: u64,
    /// its cells, for whoever reads the list
    pub typed: String,
    /// what it says
    pub read: Result<T, Vec<Fault>>,
}

/// A member to be.
#[derive(Clone, Debug, PartialEq)]
pub struct Member {
    /// name
    pub name: String,
    /// what they will type to sign in
    pub sign_in: String,
    /// time zone; none where it is not said
    pub zone: Option<Zone>,
    /// pounds; none where it is not said
    pub unit: Option<MassUnit>,
}

/// Whose a result is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Whose {
    /// what they sign in with
    SignIn(String),
    /// their name, where no sign-in is said
    Name(String),
}

/// Where a result was logged, in Dowel's own table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Logged {
    /// the session's day
    pub session_day: Date,
    /// its name
    pub session: String,
    /// name of the part
    pub part: String,
    /// what was typed first
    pub typed: String,
}

/// A line of results, read.
#[derive(Clone, Debug, PartialEq)]
pub enum Row {
    /// a result
    New(Box<Past>),
    /// nothing is taken from it: why
    Left(String),
}

/// A result from elsewhere.
#[derive(Clone, Debug, PartialEq)]
pub struct Past {
    /// whose it is
    pub person: Whose,
    /// the day it was done
    pub day: Date,
    /// name of the session or part
    pub title: String,
    /// what was scored
    pub kind: ScoreKind,
    /// as typed
    pub text: String,
    /// as read
    pub score: Score,
    /// words beside it
    pub note: String,
    /// the lift, by its name in the library
    pub movement: Option<String>,
    /// version, load, minutes and effort, in words
    pub beside: String,
    /// of Dowel's own table: where it was logged
    pub logged: Option<Logged>,
}

/// A table that cannot be read at all: one plain sentence.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct Unreadable(pub String);

/// What was read of a table.
#[derive(Clone, Debug, PartialEq)]
pub struct Rows<T> {
    /// in order
    pub lines: Vec<Line<T>>,
    /// columns that nothing is taken from
    pub skipped: Vec<String>,
}

struct Table {
    head: Vec<String>,
    /// columns that are not known here
    skipped: Vec<String>,
    rows: Vec<(u64, Vec<String>)>,
}

/// Comma, semicolon or tab: the one that stands in the head most often, outside quotes.
fn delimiter(text: &str) -> u8 {
    let head = text.lines().next().unwrap_or_default();
    let mut quoted = false;
    let mut count = [0_usize; 3];
    for c in head.chars() {
        match c {
            '"' => quoted = !quoted,
            ',' if !quoted => count[0] += 1,
            ';' if !quoted => count[1] += 1,
            '\t' if !quoted => count[2] += 1,
            _ => {}
        }
    }
    let most = count.iter().max().copied().unwrap_or_default();
    count.iter().position(|n| *n == most).map_or(b',', |at| [b',', b';', b'\t'][at])
}

/// A cell without the apostrophe that keeps spreadsheets from taking it for a formula, and without spaces around it.
fn plain(cell: &str) -> String {
    let rest = cell.strip_prefix('\'').filter(|r| r.starts_with(['=', '+', '-', '@', '\t', '\r', '＝', '＋', '－', '＠']));
    rest.unwrap_or(cell).trim().to_owned()
}

/// The name of a column, as it is looked for.
fn column(head: &str) -> String {
    plain(head).to_lowercase().replace([' ', '-'], "_")
}

/// The first byte from here on that ends no line.
fn begin(text: &str, from: usize) -> usize {
    let rest = text.as_bytes().get(from..).unwrap_or_default();
    from + rest.iter().take_while(|b| matches!(b, b'\r' | b'\n')).count()
}

fn table(text: &str, needed: &[&str], known: &[&str]) -> Result<Table, Unreadable> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let bad = |e: csv::Error| Unreadable(format!("This is no table that can be read: {e}."));
    let mut reader =
        csv::ReaderBuilder::new().delimiter(delimiter(text)).flexible(true).has_headers(false).from_reader(text.as_bytes());
    let mut records = reader.records();
    let Some(head) = records.next() else {
        return Err(Unreadable(format!("Nothing stands here. The first line names the columns: {}.", known.join(", "))));
    };
    let head: Vec<String> = head.map_err(bad)?.iter().map(column).collect();
    for name in needed {
        if !head.iter().any(|h| h == name) {
            return Err(Unreadable(format!("The first line has no column named {name}. It needs {}.", needed.join(", "))));
        }
    }
    let of_ours = |(i, h): &(usize, &String)| known.contains(&h.as_str()) && head[..*i].contains(h);
    if let Some(twice) = head.iter().enumerate().find(of_ours) {
        return Err(Unreadable(format!("The column {} stands there twice.", twice.1)));
    }
    let mut rows = Vec::new();
    let (mut line, mut at) = (1, 0);
    for record in records {
        let record = record.map_err(bad)?;
        // where the reader stood is before blank lines and before the second half of a line's end
        let stood = record.position().map_or(0, csv::Position::byte);
        let begins = begin(text, usize::try_from(stood).unwrap_or(at));
        line += text.as_bytes().get(at..begins).unwrap_or_default().iter().filter(|b| **b == b'\n').count() as u64;
        at = begins;
        if record.iter().all(|c| c.trim().is_empty()) {
            continue;
        }
        if rows.len() == MOST {
            return Err(Unreadable(format!("These are more than {MOST} lines. Bring them in a part at a time.")));
        }
        rows.push((line, record.iter().map(plain).collect()));
    }
    if rows.is_empty() {
        return Err(Unreadable("There is no line under the first one.".to_owned()));
    }
    let skipped = head.iter().filter(|h| !h.is_empty() && !known.contains(&h.as_str())).cloned().collect();
    Ok(Table { head, skipped, rows })
}

/// One row on its way to be read.
struct Cells<'a> {
    head: &'a [String],
    cells: &'a [String],
    faults: Vec<Fault>,
}

impl Cells<'_> {
    fn get(&self, column: &str) -> &str {
        let at = self.head.iter().position(|h| h == column);
        at.and_then(|i| self.cells.get(i)).map_or("", String::as_str)
    }

    fn wrong(&mut self, column: &str, text: impl Into<String>) {
        let typed = self.get(column).to_owned();
        self.faults.push(Fault { column: column.to_owned(), typed, text: text.into() });
    }

    /// Text of so many letters, or a fault.
    fn text(&mut self, column: &str, most: usize, what: &str) -> String {
        let text = self.get(column).to_owned();
        if text.is_empty() {
            self.wrong(column, format!("{what} is missing."));
        } else if text.chars().count() > most {
            self.wrong(column, format!("{what} is longer than {most} letters."));
        }
        text
    }
}

fn lines<T>(table: &Table, read: impl Fn(&mut Cells<'_>) -> Option<T>) -> Rows<T> {
    let line = |(number, cells): &(u64, Vec<String>)| {
        let mut row = Cells { head: &table.head, cells, faults: Vec::new() };
        if cells.len() > table.head.len() {
            let typed = cells[table.head.len()..].join(", ");
            let text = "More cells stand here than the first line has columns. A comma inside a cell needs quotes around it.";
            row.faults.push(Fault { column: format!("column {}", table.head.len() + 1), typed, text: text.to_owned() });
        }
        let value = read(&mut row);
        let read = match value {
            Some(value) if row.faults.is_empty() => Ok(value),
            _ => Err(row.faults),
        };
        Line { number: *number, typed: cells.iter().filter(|c| !c.is_empty()).cloned().collect::<Vec<_>>().join(", "), read }
    };
    Rows { lines: table.rows.iter().map(line).collect(), skipped: table.skipped.clone() }
}

/// Reads members: `name`, `sign_in`, and if wanted `zone` and `units`.
///
/// # Errors
/// No table, or columns that are missing.
pub fn members(text: &str) -> Result<Rows<Member>, Unreadable> {
    let table = table(text, &["name", "sign_in"], &["name", "sign_in", "zone", "units"])?;
    Ok(lines(&table, member))
}

fn member(row: &mut Cells<'_>) -> Option<Member> {
    let name = row.text("name", 100, "The name");
    let sign_in = row.text("sign_in", 200, "What they sign in with, an e-mail address or a short name,");
    let zone = Zone::named(row.get("zone"));
    if zone.is_none() && !row.get("zone").is_empty() {
        row.wrong("zone", "This is no time zone. Write it as in Europe/Lisbon, or leave it empty for yours.");
    }
    let unit = match row.get("units").to_lowercase().as_str() {
        "kg" => Some(MassUnit::Kg),
        "lb" | "lbs" => Some(MassUnit::Lb),
        "" => None,
        _ => {
            row.wrong("units", "Write kg or lb, or leave it empty for kg.");
            None
        }
    };
    Some(Member { name, sign_in, zone, unit })
}

/// Reads past results: `person` (what they sign in with), `date`, `title`, `kind`, `score`, and if wanted `note`, `movement` and
/// `beside`; or Dowel's own table of results. No day after `today`.
///
/// # Errors
/// No table, or columns that are missing.
pub fn results(text: &str, today: Date) -> Result<Rows<Row>, Unreadable> {
    let head = text.strip_prefix('\u{feff}').unwrap_or(text).lines().next().unwrap_or_default();
    let head: Vec<String> = head.split([',', ';', '\t']).map(|h| column(h.trim_matches('"'))).collect();
    if own::is_own(&head) {
        let table = table(text, &own::NEEDED, &own::KNOWN)?;
        return Ok(lines(&table, |row| own::result(row, today)));
    }
    let needed = ["person", "date", "title", "kind", "score"];
    let table = table(text, &needed, &["person", "date", "title", "kind", "score", "note", "movement", "beside"])?;
    Ok(lines(&table, |row| Some(Row::New(Box::new(past(row, today)?)))))
}

/// Words for what is scored.
pub const KINDS: &str = "time, rounds_reps, reps, load, distance, calories, hold_time";

fn past(row: &mut Cells<'_>, today: Date) -> Option<Past> {
    let person = Whose::SignIn(row.text("person", 200, "Whose it is"));
    let title = row.text("title", 200, "The name of the session or part");
    let text = row.text("score", 200, "The score");
    let day = day_of(row, "date", today);
    for (name, most) in [("note", 2000), ("movement", 200), ("beside", 500)] {
        if row.get(name).chars().count() > most {
            row.wrong(name, format!("The {name} is longer than {most} letters."));
        }
    }
    let kind = kind_of(row, false)?;
    let score = if text.is_empty() { None } else { read_score(row, "score", kind, &text) };
    let movement = Some(row.get("movement").to_owned()).filter(|name| !name.is_empty());
    let (note, beside) = (row.get("note").to_owned(), row.get("beside").to_owned());
    Some(Past { person, day: day?, title, kind, text, score: score?, note, movement, beside, logged: None })
}

/// The day in this column, or a fault.
fn day_of(row: &mut Cells<'_>, name: &str, today: Date) -> Option<Date> {
    let day = calendar::read_iso(row.get(name)).filter(|d| *d <= today && d.year() >= 1950);
    if day.is_none() {
        row.wrong(name, "Write a day up to today as in 2025-11-25.");
    }
    day
}

/// What is scored, or a fault; `none`, that it was done, only where it may be.
fn kind_of(row: &mut Cells<'_>, none: bool) -> Option<ScoreKind> {
    let word = row.get("kind").to_lowercase().replace([' ', '-'], "_");
    let kind = serde_json::from_value::<ScoreKind>(Value::String(word)).ok().filter(|k| none || *k != ScoreKind::None);
    if kind.is_none() {
        row.wrong("kind", format!("Write what is scored: {KINDS}."));
    }
    kind
}

fn read_score(row: &mut Cells<'_>, name: &str, kind: ScoreKind, text: &str) -> Option<Score> {
    match score::read(kind, text, &ScoreRules::default()) {
        Ok(reading) => match reading.held {
            None => return Some(reading.score),
            Some(question) if question.answers.is_empty() => row.wrong(name, question.text),
            Some(question) => row.wrong(name, format!("{} Write {}.", question.text, question.answers.join(" or "))),
        },
        Err(e) => row.wrong(name, format!("{} Such as {}.", e.why, e.examples.join(", or "))),
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use time::macros::date;

    const TODAY: Date = date!(2026 - 11 - 25);

    fn faults<T: std::fmt::Debug>(line: &Line<T>) -> Vec<(&str, &str)> {
        line.read.as_ref().unwrap_err().iter().map(|f| (f.column.as_str(), f.typed.as_str())).collect()
    }

    #[test]
    fn members_are_read_from_what_a_spreadsheet_saves() {
        let text = "\u{feff}Name;Sign-in;Zone\r\n\"Ines, the second\";ines@example.org;Europe/Lisbon\r\n\r\nBo;bo;\r\n";
        let lines = members(text).unwrap().lines;
        let first = lines[0].read.as_ref().unwrap();
        assert_eq!((first.name.as_str(), first.zone.as_ref().map(Zone::name)), ("Ines, the second", Some("Europe/Lisbon")));
        assert_eq!((lines[1].number, lines[1].read.as_ref().unwrap().zone.is_none()), (4, true));
    }

    #[test]
    fn an_error_names_line_column_and_what_was_typed() {
        let text = "name,sign_in,zone,units\n,x,Moon/Base,stone\n";
        let lines = members(text).unwrap().lines;
        assert_eq!(lines[0].number, 2);
        assert_eq!(faults(&lines[0]), [("name", ""), ("zone", "Moon/Base"), ("units", "stone")]);
    }

    #[test]
    fn a_past_result_is_read_as_its_kind_and_no_unit_is_guessed() {
        let text = "person,date,title,kind,score,note\nbo,2025-03-01,Deadlift,load,100 kg,\nbo,2025-03-02,Deadlift,load,100,\n\
            bo,2025-03-03,Row,time,7:42,\nbo,2026-11-26,Row,time,7:42,\nbo,2025-03-03,Row,speed,7:42,\nbo,2025-03-03,Row,time,fast,\n";
        let lines = results(text, TODAY).unwrap().lines;
        assert!(lines[0].read.is_ok() && lines[2].read.is_ok());
        assert_eq!(faults(&lines[1]), [("score", "100")]);
        assert_eq!(faults(&lines[3]), [("date", "2026-11-26")]);
        assert_eq!(faults(&lines[4]), [("kind", "speed")]);
        assert_eq!(faults(&lines[5]), [("score", "fast")]);
    }

    #[test]
    fn a_table_without_its_columns_says_which() {
        assert!(members("").unwrap_err().0.contains("name, sign_in"));
        assert!(members("name\nBo\n").unwrap_err().0.contains("no column named sign_in"));
        assert!(members("name,sign_in\n").unwrap_err().0.contains("no line"));
    }

    #[test]
    fn a_column_that_is_not_known_is_skipped_and_named() {
        let rows = members("name,sign_in,shoe\nBo,bo,43\n").unwrap();
        assert_eq!(rows.skipped, ["shoe"]);
        assert_eq!(rows.lines[0].read.as_ref().unwrap().sign_in, "bo");
    }

    #[test]
    fn a_line_is_numbered_as_an_editor_numbers_it() {
        for end in ["\n", "\r\n"] {
            let text = format!("name,sign_in{end}\"Ines,{end}the second\",ines{end}{end}Bo,bo{end}Odo,odo");
            let numbers: Vec<u64> = members(&text).unwrap().lines.iter().map(|l| l.number).collect();
            assert_eq!(numbers, [2, 5, 6], "{end:?}");
        }
    }

    #[test]
    fn a_comma_too_many_is_an_error_and_not_lost() {
        let lines = members("name,sign_in\nBo, the first,bo\n").unwrap().lines;
        assert_eq!(faults(&lines[0]), [("column 3", "bo")]);
    }

    proptest::proptest! {
        #[test]
        fn reading_never_panics(text in "\\PC{0,200}") {
            let _ = (members(&text), results(&text, TODAY));
            let _ = (members(&format!("name,sign_in\n{text}")), results(&format!("person,date,title,kind,score\n{text}"), TODAY));
        }
    }
}
