//! A file that is byte for byte as the last clean stop left it needs no other check.
//!
//! # Design
//! SQLite's own check walks through every page, and takes longer the more there is; a checksum of the bytes goes at the speed of
//! memory, and notices any byte that changed meanwhile, also in pages that are well formed. So a clean stop of a sound practice
//! leaves the checksum of what it closed beside the file. Whatever else comes to be opened (after a kill, a power cut, a restore,
//! another program) has no such mark, and is walked through before anything is read or written.
//!
//! The file is only opened here while SQLite has it closed: closing it would end SQLite's locks.

use super::StoreError;
use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};

/// Larger files are walked through: to read one at the stop would hold that up.
const LARGEST: u64 = 2 << 30;

fn beside(path: &Path, end: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(end);
    name.into()
}

/// Length and checksum (CRC-32) of the file.
fn mark(path: &Path) -> io::Result<Option<String>> {
    let mut file = File::open(path)?;
    let length = file.metadata()?.len();
    // what is left in the log belongs to the file
    let log = fs::metadata(beside(path, "-wal")).map_or(0, |log| log.len());
    if length == 0 || length > LARGEST || log > 0 {
        return Ok(None);
    }
    let (mut sum, mut piece) = (crc32fast::Hasher::new(), vec![0; 1 << 20]);
    loop {
        match file.read(&mut piece)? {
            0 => break,
            n => sum.update(&piece[..n]),
        }
    }
    Ok(Some(format!("{length} {:08x}\n", sum.finalize())))
}

/// The file is as a clean stop left it.
pub(super) async fn as_left(path: &Path) -> bool {
    let path = path.to_owned();
    let same = move || {
        let kept = fs::read_to_string(beside(&path, "-sound")).ok()?;
        Some(mark(&path).ok()?? == kept)
    };
    tokio::task::spawn_blocking(same).await.ok().flatten().unwrap_or(false)
}

/// Marks a file that was closed cleanly; one that is not sound loses its mark.
pub(super) async fn leave(path: &Path, sound: bool) -> Result<(), StoreError> {
    let path = path.to_owned();
    let write = move || {
        let (kept, part) = (beside(&path, "-sound"), beside(&path, "-sound.part"));
        match mark(&path)?.filter(|_| sound) {
            Some(mark) => {
                fs::write(&part, mark)?;
                fs::rename(part, kept)
            }
            None => fs::remove_file(kept).or_else(|e| if e.kind() == io::ErrorKind::NotFound { Ok(()) } else { Err(e) }),
        }
    };
    Ok(tokio::task::spawn_blocking(write).await.map_err(io::Error::other)??)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::Store;

    async fn left() -> (tempfile::TempDir, PathBuf) {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("dowel.db");
        Store::open(&path).await.unwrap().close().await;
        (folder, path)
    }

    #[tokio::test]
    async fn a_clean_stop_leaves_a_mark_and_any_byte_that_changes_undoes_it() {
        let (_folder, path) = left().await;
        assert!(as_left(&path).await);
        let mut bytes = fs::read(&path).unwrap();
        let middle = bytes.len() / 2;
        bytes[middle] ^= 1;
        fs::write(&path, bytes).unwrap();
        assert!(!as_left(&path).await);
    }

    #[tokio::test]
    async fn a_log_beside_the_file_undoes_it() {
        let (_folder, path) = left().await;
        fs::write(beside(&path, "-wal"), b"something").unwrap();
        assert!(!as_left(&path).await);
    }

    #[tokio::test]
    async fn a_damaged_page_is_refused_although_there_is_a_mark() {
        let (_folder, path) = left().await;
        let mut bytes = fs::read(&path).unwrap();
        let page = 4096 * (bytes.len() / 4096 / 2);
        bytes[page..page + 4096].fill(0);
        fs::write(&path, &bytes).unwrap();
        assert!(matches!(Store::open(&path).await, Err(StoreError::Unusable(_))));
        assert_eq!(fs::read(&path).unwrap(), bytes);
    }
}
