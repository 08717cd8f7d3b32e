//! Every route, asked as its users would: signed out, someone else, invalid, success. Mirrors `web/routes.rs`.

mod account;
mod practice;
