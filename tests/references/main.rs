//! Main computations against published values and worked arithmetic; each file names its source.

#![expect(clippy::unwrap_used, reason = "a test says what it expects by unwrapping")]

mod calendar;
mod load;
mod pace;
mod ranking;
mod strain;
mod strength;
mod tables;
mod webvtt;

use std::collections::HashMap;

/// Rows of a CSV with `#` comments, each as column name to cell.
fn rows(text: &str) -> Vec<HashMap<String, String>> {
    csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes()).deserialize().map(Result::unwrap).collect()
}
