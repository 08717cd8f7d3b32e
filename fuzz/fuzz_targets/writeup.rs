//! Any text is read without a panic, and what is printed reads back.
#![no_main]

use dowel_fuzz::training::movement::Library;
use dowel_fuzz::training::writeup;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let session = writeup::read(text, Library::shipped());
    let _ = writeup::print(&session);
});
