//! The phone without a signal: what it installs, what it keeps and how it brings back what was logged meanwhile.

pub mod app;
pub mod keep;
pub mod pages;
pub mod sender;
