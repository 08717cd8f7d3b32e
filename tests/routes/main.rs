//! Every route, asked as its users would: signed out, someone else, invalid, success. Mirrors `web/routes.rs`.
#![allow(clippy::unwrap_used, clippy::expect_used, missing_docs, reason = "a test says what it expects by unwrapping")]

mod access;
mod account;
mod api;
mod at_hand;
mod at_hand_house;
mod board;
mod board_kept;
mod coach_coverage;
mod coach_groups;
mod coach_pins;
mod coach_preview;
mod coach_week;
mod data;
mod decisions;
mod forgotten;
mod log;
mod mail_server;
mod maxes;
mod media;
mod member_clock;
mod member_day;
mod member_history;
mod member_settings;
mod member_wishes;
mod movements;
mod offline;
mod passkeys;
mod practice;
mod published;
mod questions;
mod review;
mod soft_key;
mod trust;
mod upload;
mod video;
