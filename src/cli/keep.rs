//! `dowel backup`, `dowel restore`, `dowel check`: keeping a practice, and getting it back.
//!
//! A backup is a folder: the data file, the secret, the media, and `manifest.json` with the hash of each. It counts only
//! once it was written, checked and renamed into place.

use super::out;
use crate::clock::Clock;
use crate::store::backup;
use anyhow::{Context, bail, ensure};
use clap::Args;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};

/// Hash of each file of a backup, by its path inside it.
type Manifest = BTreeMap<String, String>;

const DATA: &str = "dowel.db";
const SECRET: &str = "secret";
const MEDIA: &str = "media";
const MANIFEST: &str = "manifest.json";

/// Where the practice is.
#[derive(Args, Clone)]
pub struct DataFolder {
    /// Folder that holds everything
    #[arg(long, env = "DOWEL_DATA", default_value = "dowel-data")]
    data: PathBuf,
}

/// What `dowel backup` takes.
#[derive(Args)]
pub struct BackupArgs {
    #[command(flatten)]
    folder: DataFolder,
    /// Folder for backups; a disk of its own is best
    #[arg(long, env = "DOWEL_BACKUPS")]
    to: Option<PathBuf>,
    /// How many backups to keep
    #[arg(long, env = "DOWEL_BACKUPS_KEPT", default_value_t = 14)]
    keep: usize,
}

/// What `dowel restore` takes.
#[derive(Args)]
pub struct RestoreArgs {
    /// The backup: a folder with a manifest.json, or a copy from before an upgrade
    from: PathBuf,
    #[command(flatten)]
    folder: DataFolder,
}

/// Writes a checked backup and prints where it is.
///
/// # Errors
/// Whatever keeps it from being whole; nothing half-written is left under a backup's name.
pub async fn backup(args: BackupArgs) -> anyhow::Result<()> {
    let data = &args.folder.data;
    let done = write_backup(data, &args.to.unwrap_or_else(|| data.join("backups")), args.keep).await?;
    out::say(done.display())
}

/// Writes a checked backup into a folder of backups, and removes the oldest beyond `keep`.
///
/// # Errors
/// Whatever keeps it from being whole; nothing half-written is left under a backup's name.
pub async fn write_backup(data: &Path, all: &Path, keep: usize) -> anyhow::Result<PathBuf> {
    fs::create_dir_all(all).with_context(|| format!("cannot use {}", all.display()))?;
    let name = format!("dowel-{}", stamp());
    let part = all.join(format!("{name}.part"));
    fs::create_dir(&part)?;
    private(&part)?;
    let written = fill(data, &part).await;
    if written.is_err() {
        // a full disk must not stay full of halves
        let _ = fs::remove_dir_all(&part);
    }
    written?;
    let done = all.join(&name);
    fs::rename(&part, &done)?;
    File::open(all)?.sync_all()?;
    drop_oldest(all, keep)?;
    Ok(done)
}

async fn fill(data: &Path, part: &Path) -> anyhow::Result<()> {
    // the data first, then the media it names: media are only ever added
    backup::snapshot(&data.join(DATA), &part.join(DATA)).await.context("cannot copy the data file")?;
    let faults = backup::faults(&part.join(DATA)).await?;
    ensure!(faults.is_empty(), "the copy is not sound: {}", faults.join("; "));
    let media = backup::media_named(&part.join(DATA)).await?;
    let (data, part) = (data.to_owned(), part.to_owned());
    // videos take minutes to copy: not on a thread that answers requests
    tokio::task::spawn_blocking(move || fill_rest(&data, &part, &media)).await?
}

fn fill_rest(data: &Path, part: &Path, media: &[String]) -> anyhow::Result<()> {
    fs::copy(data.join(SECRET), part.join(SECRET)).context("cannot copy the secret")?;
    fs::create_dir(part.join(MEDIA))?;
    for hash in media {
        fs::copy(data.join(MEDIA).join(hash), part.join(MEDIA).join(hash))
            .with_context(|| format!("media file {hash} is missing"))?;
    }
    let manifest = manifest_of(part)?;
    fs::write(part.join(MANIFEST), serde_json::to_string_pretty(&manifest)?)?;
    sync_all(part)?;
    Ok(())
}

/// Puts a backup in place of the practice; what was there is set aside, never deleted.
///
/// # Errors
/// A backup that is not whole or not sound, or a practice that is running: nothing is touched then.
pub async fn restore(args: RestoreArgs) -> anyhow::Result<()> {
    let (from, data) = (&args.from, &args.folder.data);
    if from.is_file() {
        return restore_file(from, data).await;
    }
    verify(from).await?;
    let copy = |new: &Path| {
        fs::copy(from.join(SECRET), new.join(SECRET))?;
        copy_folder(&from.join(MEDIA), &new.join(MEDIA))?;
        fs::copy(from.join(DATA), new.join(DATA)).map(drop)
    };
    // the data file last: with it the practice is the restored one
    put_in_place(from, data, &[SECRET, MEDIA, DATA], copy).await
}

/// Puts the copy from before an upgrade back: the data file alone. Media are never changed, only added.
async fn restore_file(from: &Path, data: &Path) -> anyhow::Result<()> {
    let faults = backup::faults(from).await.with_context(|| format!("{} is no data file", from.display()))?;
    ensure!(faults.is_empty(), "it is not sound: {}", faults.join("; "));
    put_in_place(from, data, &[DATA], |new| fs::copy(from, new.join(DATA)).map(drop)).await
}

/// Copies beside what is there, then swaps by renaming. Until everything is copied and on the disk nothing is touched; a
/// swap that fails is undone.
async fn put_in_place(
    from: &Path,
    data: &Path,
    names: &[&str],
    copy: impl FnOnce(&Path) -> io::Result<()>,
) -> anyhow::Result<()> {
    fs::create_dir_all(data)?;
    private(data)?;
    let lock = File::create(data.join("lock"))?;
    lock.try_lock().with_context(|| format!("stop the running dowel on {} first", data.display()))?;
    let stamp = stamp();
    let (new, aside) = (data.join(format!("restoring-{stamp}")), data.join(format!("replaced-{stamp}")));
    fs::create_dir(&new)?;
    private(&new)?;
    if let Err(e) = copy(&new).and_then(|()| sync_all(&new)) {
        // a full disk must not stay full of halves
        let _ = fs::remove_dir_all(&new);
        return Err(anyhow::Error::from(e).context("the backup could not be copied; nothing was touched"));
    }
    // what is in the old file's log goes into the old file; where it cannot, the log is set aside beside it
    let _ = backup::fold_log(&data.join(DATA)).await;
    fs::create_dir(&aside)?;
    private(&aside)?;
    let mut moved = Vec::new();
    let logs = ["dowel.db-wal", "dowel.db-shm"].map(|name| (data.join(name), aside.join(name)));
    let swaps = names.iter().flat_map(|name| {
        let there = data.join(name);
        [(there.clone(), aside.join(name)), (new.join(name), there)]
    });
    for (a, b) in logs.into_iter().chain(swaps).filter(|(a, _)| a.starts_with(&new) || a.exists()) {
        if let Err(e) = fs::rename(&a, &b) {
            for (a, b) in moved.iter().rev() {
                let _ = fs::rename(b, a);
            }
            return Err(anyhow::Error::from(e).context("the backup could not be put in place; what was there is there again"));
        }
        moved.push((a, b));
    }
    fs::remove_dir(&new)?;
    File::open(&aside)?.sync_all()?;
    File::open(data)?.sync_all()?;
    out::say(format_args!("Restored {}. What was there before is in {}.", from.display(), aside.display()))
}

/// Says whether the practice's folder is whole and sound.
///
/// # Errors
/// What is wrong, one line each.
pub async fn check(args: DataFolder) -> anyhow::Result<()> {
    let mut faults = backup::faults(&args.data.join(DATA)).await.context("cannot open the data file")?;
    for hash in backup::media_named(&args.data.join(DATA)).await? {
        let file = args.data.join(MEDIA).join(&hash);
        match hash_of(&file) {
            Ok(found) if found == hash => {}
            Ok(_) => faults.push(format!("media file {hash} is damaged")),
            Err(_) => faults.push(format!("media file {hash} is missing")),
        }
    }
    ensure!(faults.is_empty(), "not sound:\n{}", faults.join("\n"));
    out::say("Sound.")
}

async fn verify(from: &Path) -> anyhow::Result<()> {
    let text = fs::read_to_string(from.join(MANIFEST)).with_context(|| format!("{} is no backup", from.display()))?;
    let manifest: Manifest = serde_json::from_str(&text).context("its manifest cannot be read")?;
    for needed in [DATA, SECRET] {
        ensure!(manifest.contains_key(needed), "its manifest does not name {needed}");
    }
    for (name, hash) in &manifest {
        let inside = Path::new(name).components().all(|c| matches!(c, std::path::Component::Normal(_)));
        ensure!(inside, "its manifest names {name:?}");
        if hash_of(&from.join(name)).with_context(|| format!("{name} is missing"))? != *hash {
            bail!("{name} is not what it was when it was backed up");
        }
    }
    let faults = backup::faults(&from.join(DATA)).await?;
    ensure!(faults.is_empty(), "its data file is not sound: {}", faults.join("; "));
    for hash in backup::media_named(&from.join(DATA)).await? {
        ensure!(manifest.contains_key(&format!("{MEDIA}/{hash}")), "media file {hash} is not in it");
    }
    Ok(())
}

fn manifest_of(folder: &Path) -> anyhow::Result<Manifest> {
    let mut manifest = Manifest::new();
    for name in [DATA, SECRET] {
        manifest.insert(name.to_owned(), hash_of(&folder.join(name))?);
    }
    for entry in fs::read_dir(folder.join(MEDIA))? {
        let entry = entry?;
        let name = format!("{MEDIA}/{}", entry.file_name().to_string_lossy());
        manifest.insert(name, hash_of(&entry.path())?);
    }
    Ok(manifest)
}

fn hash_of(path: &Path) -> io::Result<String> {
    let mut hash = Sha256::new();
    io::copy(&mut File::open(path)?, &mut hash)?;
    Ok(hash.finalize().iter().map(|b| format!("{b:02x}")).collect())
}

fn copy_folder(from: &Path, to: &Path) -> io::Result<()> {
    fs::create_dir_all(to)?;
    for entry in fs::read_dir(from)? {
        let entry = entry?;
        fs::copy(entry.path(), to.join(entry.file_name()))?;
    }
    Ok(())
}

/// Files, then folders, to the disk.
fn sync_all(folder: &Path) -> io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() { sync_all(&path)? } else { File::open(&path)?.sync_all()? }
    }
    File::open(folder)?.sync_all()
}

/// Ours, and whole: nothing else in that folder is ever removed.
fn is_backup(folder: &Path) -> bool {
    let name = folder.file_name().unwrap_or_default().to_string_lossy();
    let manifest = fs::read_to_string(folder.join(MANIFEST)).ok().and_then(|text| serde_json::from_str::<Manifest>(&text).ok());
    name.starts_with("dowel-") && name.ends_with('Z') && manifest.is_some_and(|m| m.contains_key(DATA))
}

fn drop_oldest(all: &Path, keep: usize) -> io::Result<()> {
    let mut kept: Vec<PathBuf> = fs::read_dir(all)?.flatten().map(|e| e.path()).filter(|p| is_backup(p)).collect();
    kept.sort();
    let old = kept.len().saturating_sub(keep.max(1));
    kept.iter().take(old).try_for_each(fs::remove_dir_all)
}

fn private(folder: &Path) -> io::Result<()> {
    #[cfg(unix)]
    fs::set_permissions(folder, std::os::unix::fs::PermissionsExt::from_mode(0o700))?;
    #[cfg(not(unix))]
    let _ = folder;
    Ok(())
}

/// `20261125T135501.042Z`: sorts by time.
fn stamp() -> String {
    let now = Clock::System.now();
    let (y, m, d) = (now.year(), u8::from(now.month()), now.day());
    let (h, min, s, ms) = (now.hour(), now.minute(), now.second(), now.millisecond());
    format!("{y:04}{m:02}{d:02}T{h:02}{min:02}{s:02}.{ms:03}Z")
}
