//! Accounts: signing in, joining, passwords, passkeys, devices.

pub mod by_passkey;
pub mod change;
pub mod confirm;
pub mod devices;
pub mod forgotten;
pub mod join;
pub mod passkeys;
pub mod password;
pub mod sign_in;
pub mod tokens;
