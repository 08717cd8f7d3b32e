//! Accounts: signing in, joining, passwords.

pub mod join;
pub mod password;
pub mod sign_in;
