//! `dowel backup`, and the backups that `dowel serve` writes by itself.
//!
//! A backup is a folder: the data file, the secret, the media, and `manifest.json` with the hash of each. It counts only
//! once it was written, checked and renamed into place.

use super::keep::DataFolder;
use super::{out, rotation};
use crate::clock::Clock;
use crate::store::{backup, media};
use anyhow::{Context, ensure};
use clap::Args;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use tokio::sync::watch;

/// Hash of each file of a backup, by its path inside it.
pub(super) type Manifest = BTreeMap<String, String>;
/// Turns true where the program is to stop: what takes minutes is given up then.
pub(super) type Stop = watch::Receiver<bool>;

pub(super) const DATA: &str = "dowel.db";
pub(super) const SECRET: &str = "secret";
pub(super) const MEDIA: &str = "media";
pub(super) const MANIFEST: &str = "manifest.json";
/// Locked by whoever writes a backup, for as long as they do.
const WRITING: &str = "writing";

/// What `dowel backup` takes.
#[derive(Args)]
pub struct BackupArgs {
    #[command(flatten)]
    folder: DataFolder,
    /// Folder for backups; a disk of its own is best
    #[arg(long, env = "DOWEL_BACKUPS")]
    to: Option<PathBuf>,
    /// How many of the newest to keep, beside one a day for seven days and one a week for four weeks
    #[arg(long, env = "DOWEL_BACKUPS_KEPT", default_value_t = 14)]
    keep: usize,
}

/// Writes a checked backup and prints where it is.
///
/// # Errors
/// Whatever keeps it from being whole; nothing half-written is left under a backup's name.
pub async fn backup(args: BackupArgs) -> anyhow::Result<()> {
    let data = args.folder.with_a_practice()?;
    let all = args.to.unwrap_or_else(|| data.join("backups"));
    let (_never, stop) = watch::channel(false);
    let done = write(data, &all, args.keep, &stop).await?;
    out::say(done.display())
}

/// Writes a checked backup into a folder of backups, and removes what rotation no longer keeps.
///
/// # Errors
/// Whatever keeps it from being whole, also being told to stop; nothing half-written is left under a backup's name.
pub(super) async fn write(data: &Path, all: &Path, keep: usize, stop: &Stop) -> anyhow::Result<PathBuf> {
    let fresh = !all.exists();
    fs::create_dir_all(all).with_context(|| format!("cannot use {}", all.display()))?;
    let name = backup::name(Clock::System.now());
    let part = all.join(format!("{name}.part"));
    let written = write_part(data, &part, stop).await;
    if written.is_err() {
        // a full disk must not stay full of halves
        let _ = fs::remove_dir_all(&part);
        if fresh {
            let _ = fs::remove_dir(all);
        }
    }
    written?;
    let done = all.join(&name);
    fs::rename(&part, &done).with_context(|| format!("cannot name {}", done.display()))?;
    File::open(all)?.sync_all()?;
    drop_old(all, keep)?;
    Ok(done)
}

async fn write_part(data: &Path, part: &Path, stop: &Stop) -> anyhow::Result<()> {
    fs::create_dir(part).and_then(|()| private(part)).with_context(|| format!("cannot make {}", part.display()))?;
    let writing = File::create(part.join(WRITING))?;
    writing.try_lock()?;
    // the data first, then the media it names: none is swept meanwhile
    let _held = media::hold(data);
    backup::snapshot(&data.join(DATA), &part.join(DATA)).await.context("cannot copy the data file")?;
    let faults = backup::faults(&part.join(DATA)).await?;
    ensure!(faults.is_empty(), "the copy is not sound: {}", faults.join("; "));
    let named = backup::media_named(&part.join(DATA)).await?;
    let (data, part, stop) = (data.to_owned(), part.to_owned(), stop.clone());
    // videos take minutes to copy: not on a thread that answers requests
    tokio::task::spawn_blocking(move || fill(&data, &part, &named, &stop)).await??;
    drop(writing);
    Ok(())
}

fn fill(data: &Path, part: &Path, media: &[String], stop: &Stop) -> anyhow::Result<()> {
    fs::copy(data.join(SECRET), part.join(SECRET)).context("cannot copy the secret")?;
    fs::create_dir(part.join(MEDIA))?;
    for hash in media {
        copy(&data.join(MEDIA).join(hash), &part.join(MEDIA).join(hash), stop)
            .with_context(|| format!("media file {hash} cannot be copied"))?;
    }
    let manifest = manifest_of(part, stop)?;
    fs::write(part.join(MANIFEST), serde_json::to_string_pretty(&manifest)?)?;
    sync_all(part)?;
    // only what is whole on the disk counts as whole
    fs::remove_file(part.join(WRITING))?;
    File::open(part)?.sync_all()?;
    Ok(())
}

fn manifest_of(folder: &Path, stop: &Stop) -> anyhow::Result<Manifest> {
    let hash = |path: &Path| {
        let mut hash = Sha256::new();
        pieces(path, stop, |piece| {
            hash.update(piece);
            Ok(())
        })?;
        io::Result::Ok(hex(hash))
    };
    let mut manifest = Manifest::new();
    for name in [DATA, SECRET] {
        manifest.insert(name.to_owned(), hash(&folder.join(name))?);
    }
    for entry in fs::read_dir(folder.join(MEDIA))? {
        let entry = entry?;
        let name = format!("{MEDIA}/{}", entry.file_name().to_string_lossy());
        manifest.insert(name, hash(&entry.path())?);
    }
    Ok(manifest)
}

fn copy(from: &Path, to: &Path, stop: &Stop) -> io::Result<()> {
    let mut to = File::create(to)?;
    pieces(from, stop, |piece| to.write_all(piece))
}

/// A file, a megabyte at a time, until it ends or the program is to stop.
fn pieces(path: &Path, stop: &Stop, mut each: impl FnMut(&[u8]) -> io::Result<()>) -> io::Result<()> {
    let (mut file, mut piece) = (File::open(path)?, vec![0; 1 << 20]);
    loop {
        if *stop.borrow() {
            return Err(io::Error::other("given up: the program is to stop"));
        }
        match file.read(&mut piece)? {
            0 => return Ok(()),
            n => each(&piece[..n])?,
        }
    }
}

/// The hash of a file as a manifest has it.
pub(super) fn hash_of(path: &Path) -> io::Result<String> {
    let mut hash = Sha256::new();
    io::copy(&mut File::open(path)?, &mut hash)?;
    Ok(hex(hash))
}

fn hex(hash: Sha256) -> String {
    hash.finalize().iter().map(|b| format!("{b:02x}")).collect()
}

/// Files, then folders, to the disk.
pub(super) fn sync_all(folder: &Path) -> io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() { sync_all(&path)? } else { File::open(&path)?.sync_all()? }
    }
    File::open(folder)?.sync_all()
}

/// A folder for this user alone.
pub(super) fn private(folder: &Path) -> io::Result<()> {
    #[cfg(unix)]
    fs::set_permissions(folder, std::os::unix::fs::PermissionsExt::from_mode(0o700))?;
    #[cfg(not(unix))]
    let _ = folder;
    Ok(())
}

/// Ours, and whole: nothing else in that folder is ever removed.
fn is_whole(folder: &Path) -> bool {
    let manifest = fs::read_to_string(folder.join(MANIFEST)).ok().and_then(|text| serde_json::from_str::<Manifest>(&text).ok());
    manifest.is_some_and(|m| m.contains_key(DATA))
}

fn drop_old(all: &Path, keep: usize) -> io::Result<()> {
    let made = |path: &Path| backup::made_at(&path.file_name()?.to_string_lossy());
    let entries = fs::read_dir(all)?.flatten().map(|e| e.path());
    let mut there: Vec<_> = entries.filter_map(|path| Some((made(&path)?, path))).filter(|(_, p)| is_whole(p)).collect();
    there.sort();
    let times: Vec<_> = there.iter().map(|(at, _)| *at).collect();
    for ((_, path), stays) in there.iter().zip(rotation::stay(&times, keep)) {
        if !stays {
            fs::remove_dir_all(path)?;
        }
    }
    Ok(())
}

/// Removes what backups that were broken off have left; one that is being written stays.
pub(super) fn sweep_parts(all: &Path) -> io::Result<()> {
    if !all.exists() {
        return Ok(());
    }
    for path in fs::read_dir(all)?.flatten().map(|e| e.path()) {
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        if name.strip_suffix(".part").and_then(backup::made_at).is_none() {
            continue;
        }
        let under_way = File::open(path.join(WRITING)).is_ok_and(|file| file.try_lock().is_err());
        if !under_way {
            fs::remove_dir_all(&path)?;
            tracing::info!(event = "removed what a broken-off backup left", folder = %path.display());
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::Store;

    async fn practice() -> tempfile::TempDir {
        let data = tempfile::tempdir().unwrap();
        let store = Store::open(&data.path().join(DATA)).await.unwrap();
        let hash = "0".repeat(64);
        store.add_media(&hash, "video/mp4", 4, "talk.mp4", time::OffsetDateTime::now_utc()).await.unwrap();
        store.close().await;
        fs::create_dir(data.path().join(MEDIA)).unwrap();
        fs::write(data.path().join(MEDIA).join(hash), "talk").unwrap();
        fs::write(data.path().join(SECRET), [7; 32]).unwrap();
        data
    }

    #[tokio::test]
    async fn a_backup_is_given_up_where_the_program_is_to_stop_and_leaves_nothing() {
        let (data, disk) = (practice().await, tempfile::tempdir().unwrap());
        let (stopping, stop) = watch::channel(false);
        write(data.path(), disk.path(), 3, &stop).await.unwrap();
        assert_eq!(fs::read_dir(disk.path()).unwrap().count(), 1);
        stopping.send(true).unwrap();
        let given_up = write(data.path(), disk.path(), 3, &stop).await.unwrap_err();
        assert!(format!("{given_up:#}").contains("the program is to stop"), "{given_up:#}");
        assert_eq!(fs::read_dir(disk.path()).unwrap().count(), 1, "the one from before");
    }

    #[tokio::test]
    async fn what_a_broken_off_backup_left_is_swept_and_one_under_way_stays() {
        let disk = tempfile::tempdir().unwrap();
        let [broken, writing, mine, whole] =
            ["dowel-20261124T060000.000Z.part", "dowel-20261125T060000.000Z.part", "mine.part", "dowel-20261123T060000.000Z"]
                .map(|name| disk.path().join(name));
        for folder in [&broken, &writing, &mine, &whole] {
            fs::create_dir(folder).unwrap();
            fs::write(folder.join(WRITING), "").unwrap();
        }
        let held = File::open(writing.join(WRITING)).unwrap();
        held.try_lock().unwrap();
        sweep_parts(disk.path()).unwrap();
        assert_eq!([broken, writing, mine, whole].map(|f| f.exists()), [false, true, true, true]);
        sweep_parts(&disk.path().join("no such folder")).unwrap();
    }
}
