//! Embeds `static/` and names its version, so that a changed file has a new address.

use sha2::{Digest, Sha256};
use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// Every sheet of a member's page, in one file: on a slow line five requests cost more than their bytes.
const PHONE_SHEETS: [&str; 5] = ["tokens", "base", "layout", "pieces", "member"];

/// Only on pages that no phone keeps.
const NOT_KEPT: [&str; 10] = [
    "css/run-sheet.css",
    "css/video.css",
    "js/chapter-lines.js",
    "js/chapters.js",
    "js/editor.js",
    "js/fresh.js",
    "js/guess-zone.js",
    "js/marks.js",
    "js/player.js",
    "js/upload.js",
];

fn main() -> io::Result<()> {
    let made = PathBuf::from(std::env::var_os("OUT_DIR").unwrap_or_default()).join("made");
    join_sheets(&made)?;
    memory_serve::load_names_directories([("static", Path::new("static")), ("made", &made)], !cfg!(debug_assertions));
    let mut hash = Sha256::new();
    let mut files = Vec::new();
    add(Path::new("static"), &mut hash, &mut files)?;
    let version: String = hash.finalize().iter().take(5).map(|b| format!("{b:02x}")).collect();
    println!("cargo:rustc-env=DOWEL_STATIC={version}");
    // what a phone keeps for when there is no signal
    files.retain(|f| f.starts_with("css/") || f.starts_with("js/") || f == "icons/favicon.svg");
    files.retain(|f| !NOT_KEPT.contains(&f.as_str()));
    files.push("css/phone.css".to_owned());
    println!("cargo:rustc-env=DOWEL_FILES={}", files.join(" "));
    println!("cargo:rerun-if-changed=static");
    println!("cargo:rerun-if-changed=migrations");
    println!("cargo:rerun-if-changed=templates");
    Ok(())
}

/// Writes `css/phone.css`. It and its folders are dated as old as can be: they follow from the sheets, which cargo looks at
/// itself, and a new date would have it build everything again the next time.
fn join_sheets(made: &Path) -> io::Result<()> {
    let folder = made.join("css");
    fs::create_dir_all(&folder)?;
    let sheets = PHONE_SHEETS.map(|name| fs::read_to_string(format!("static/css/{name}.css")));
    let file = folder.join("phone.css");
    fs::write(&file, sheets.into_iter().collect::<io::Result<String>>()?)?;
    [&file, &folder, made].into_iter().try_for_each(|path| File::open(path)?.set_modified(SystemTime::UNIX_EPOCH))
}

fn add(folder: &Path, hash: &mut Sha256, files: &mut Vec<String>) -> io::Result<()> {
    let mut entries: Vec<_> = std::fs::read_dir(folder)?.flatten().map(|e| e.path()).collect();
    entries.sort();
    for path in entries {
        if path.is_dir() {
            add(&path, hash, files)?;
        } else {
            println!("cargo:rerun-if-changed={}", path.display());
            hash.update(path.to_string_lossy().as_bytes());
            hash.update(std::fs::read(&path)?);
            files.extend(path.strip_prefix("static").ok().map(|p| p.to_string_lossy().into_owned()));
        }
    }
    Ok(())
}
