//! Dowel: daily training, written by a coach and delivered to members at home.
//!
//! - [`demo`] an invented practice for looking around in: plain data from a seed and a date
//! - [`training`] the trade: pure functions and types

pub mod demo;
pub mod training;
