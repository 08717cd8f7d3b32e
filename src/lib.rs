//! Dowel: daily training, written by a coach and delivered to members at home.
//!
//! - [`training`] the trade: pure functions and types

pub mod training;
