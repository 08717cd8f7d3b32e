//! Dowel: daily training, written by a coach and delivered to members at home.
//!
//! Imports run downward only:
//!
//! - [`cli`] the command line, a file a command
//! - [`web`] pages: `routes.rs` is the whole URL map, then a file a page family
//! - [`store`] every line of SQL, a file an aggregate
//! - [`training`] the trade: pure functions and types
//! - [`demo`] an invented practice for looking around in: plain data from a seed and a date
//! - [`config`], [`clock`] settings; time, randomness and new ids come in here alone
//! - [`mail`] what goes out by mail

pub mod cli;
pub mod clock;
pub mod config;
pub mod demo;
pub mod mail;
pub mod store;
pub mod training;
pub mod web;
