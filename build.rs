//! Embeds `static/` and names its version, so that a changed file has a new address.

use sha2::{Digest, Sha256};
use std::io;
use std::path::Path;

fn main() -> io::Result<()> {
    memory_serve::load_directory("./static");
    let mut hash = Sha256::new();
    let mut files = Vec::new();
    add(Path::new("static"), &mut hash, &mut files)?;
    let version: String = hash.finalize().iter().take(5).map(|b| format!("{b:02x}")).collect();
    println!("cargo:rustc-env=DOWEL_STATIC={version}");
    // what a phone keeps for when there is no signal
    files.retain(|f| f.starts_with("css/") || f.starts_with("js/") || f == "icons/favicon.svg");
    println!("cargo:rustc-env=DOWEL_FILES={}", files.join(" "));
    println!("cargo:rerun-if-changed=static");
    println!("cargo:rerun-if-changed=migrations");
    println!("cargo:rerun-if-changed=templates");
    Ok(())
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
