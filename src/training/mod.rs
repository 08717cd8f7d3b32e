//! The trade: pure functions and types; no IO, no clock, no SQL, no HTTP.

pub mod calendar;
pub mod captions;
pub mod clock;
pub mod difference;
pub mod dose;
pub mod effort;
pub mod intake;
pub mod load;
pub mod member;
pub mod movement;
pub mod pace;
pub mod retest;
pub mod same_line;
pub mod same_part;
pub mod score;
pub mod session;
pub mod setup;
pub mod standings;
pub mod strain;
pub mod strength;
pub mod tailor;
pub mod wording;
pub mod writeup;
