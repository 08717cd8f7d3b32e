//! Data on its way out and in: tables for a spreadsheet, everything of one person, deleting for real, bringing people and
//! results in.

pub mod bundle;
pub mod erase;
pub mod export;
pub mod import;
pub mod person;
pub mod sheet;
mod there;
