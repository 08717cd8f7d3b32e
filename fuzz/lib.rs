//! The trade alone, as the program has it.

#[path = "../src/training/mod.rs"]
pub mod training;
