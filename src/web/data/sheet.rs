//! Tables as CSV (RFC 4180), with cells that a spreadsheet does not take for formulas.
//!
//! # Design
//! A spreadsheet that opens `=HYPERLINK(...)` typed by a member runs it on the coach's machine. Such a cell gets an
//! apostrophe before it, as OWASP advises. A plain number such as `-5` does no harm and stays one.
//! [`crate::training::intake`] takes the apostrophe away again, so that a table that was saved can be brought back in.

use crate::web::error::Error;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use std::borrow::Cow;

/// Characters with which a formula can begin, or that a spreadsheet drops before looking for one. The wide ones are taken for
/// the plain ones by some.
const STARTS: [char; 11] = ['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠'];

fn plain_number(cell: &str) -> bool {
    let digits = cell.strip_prefix(['-', '+']).unwrap_or(cell);
    let (whole, part) = digits.split_once(['.', ',']).unwrap_or((digits, "0"));
    let all = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    all(whole) && all(part)
}

/// The cell as it may stand in a file that a spreadsheet opens.
#[must_use]
pub fn safe(cell: &str) -> Cow<'_, str> {
    if cell.starts_with(STARTS) && !plain_number(cell) { Cow::Owned(format!("'{cell}")) } else { Cow::Borrowed(cell) }
}

/// A table as CSV: comma, CRLF, quotes where they are needed, every cell [`safe`].
///
/// # Errors
/// Rows that are not as long as the head.
pub fn csv<R: AsRef<[String]>>(head: &[&str], rows: impl IntoIterator<Item = R>) -> Result<String, Error> {
    let mut out = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    let broken = |e: csv::Error| Error::Internal(e.into());
    out.write_record(head).map_err(broken)?;
    for row in rows {
        out.write_record(row.as_ref().iter().map(|cell| safe(cell).into_owned())).map_err(broken)?;
    }
    let bytes = out.into_inner().map_err(|e| Error::Internal(anyhow::anyhow!("{e}")))?;
    String::from_utf8(bytes).map_err(|e| Error::Internal(e.into()))
}

/// Letters, digits and dashes of a name, for a file.
#[must_use]
pub fn file_name(words: &str) -> String {
    let name: String = words.to_lowercase().chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect();
    let name = name.split('-').filter(|p| !p.is_empty()).collect::<Vec<_>>().join("-");
    if name.is_empty() { "dowel".to_owned() } else { name.chars().take(60).collect() }
}

/// Bytes to be saved under a name.
#[must_use]
pub fn download(name: &str, kind: &'static str, bytes: impl Into<axum::body::Body>) -> Response {
    let headers =
        [(header::CONTENT_TYPE, kind.to_owned()), (header::CONTENT_DISPOSITION, format!("attachment; filename=\"{name}\""))];
    (headers, bytes.into()).into_response()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cell_that_could_be_a_formula_is_text_and_a_number_stays_a_number() {
        for bad in ["=1+1", "+1+1", "-2+3", "@x", "\tx", "\r=1", "-", "--5", "=", "＝1", "-1e5", "+49 30 1"] {
            assert_eq!(safe(bad), format!("'{bad}"));
        }
        for good in ["-5", "-62.5", "+3,5", "7:42", "12 + 5", "'quoted'", "", " =1"] {
            assert_eq!(safe(good), good);
        }
    }

    #[test]
    fn names_of_files_are_plain() {
        assert_eq!(file_name("Early Birds / \"2\"\r\n"), "early-birds-2");
        assert_eq!(file_name("лето"), "dowel");
    }
}
