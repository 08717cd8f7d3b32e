//! Accounts: signing in, joining, passwords, devices.

pub mod change;
pub mod confirm;
pub mod devices;
pub mod join;
pub mod password;
pub mod sign_in;
pub mod tokens;
