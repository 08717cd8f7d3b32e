//! `dowel restore`, `dowel check`: getting a practice back, and whether it is whole.

use super::backups::{DATA, MANIFEST, MEDIA, Manifest, SECRET, hash_of, private, sync_all};
use super::out;
use super::owner;
use crate::clock::Clock;
use crate::store::backup;
use anyhow::{Context, bail, ensure};
use clap::Args;
use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};

/// Where the practice is.
#[derive(Args, Clone)]
pub struct DataFolder {
    /// Folder that holds everything
    #[arg(long, env = "DOWEL_DATA", default_value = "dowel-data")]
    pub(super) data: PathBuf,
}

impl DataFolder {
    /// The folder, where there is a practice in it.
    pub(super) fn with_a_practice(&self) -> anyhow::Result<&Path> {
        let file = self.data.join(DATA);
        ensure!(file.is_file(), "there is no practice in {}: no file {}", self.data.display(), file.display());
        Ok(&self.data)
    }
}

/// What `dowel restore` takes.
#[derive(Args)]
pub struct RestoreArgs {
    /// The backup: a folder with a manifest.json, or a copy from before an upgrade
    from: PathBuf,
    #[command(flatten)]
    folder: DataFolder,
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

/// Puts the copy from before an upgrade back: the data file alone. Media stay as they are.
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
    fs::create_dir_all(data).with_context(|| format!("cannot make {}", data.display()))?;
    private(data).with_context(|| format!("{} is not this user's", data.display()))?;
    let lock_file = data.join("lock");
    let lock = File::create(&lock_file).with_context(|| format!("cannot write {}", lock_file.display()))?;
    lock.try_lock().with_context(|| format!("stop the running dowel on {} first", data.display()))?;
    let stamp = backup::stamp(Clock::System.now());
    let (new, aside) = (data.join(format!("restoring-{stamp}")), data.join(format!("replaced-{stamp}")));
    new_folder(&new)?;
    if let Err(e) = copy(&new).and_then(|()| sync_all(&new)) {
        // a full disk must not stay full of halves
        let _ = fs::remove_dir_all(&new);
        return Err(anyhow::Error::from(e).context("the backup could not be copied; nothing was touched"));
    }
    // what is in the old file's log goes into the old file; where it cannot, the log is set aside beside it
    let _ = backup::fold_log(&data.join(DATA)).await;
    new_folder(&aside)?;
    // before the swap: from then on the service may start
    let foreign = owner::hand_over(data, &[&lock_file, &new, &aside]);
    swap(data, names, &new, &aside)?;
    fs::remove_dir(&new)?;
    File::open(&aside)?.sync_all()?;
    File::open(data)?.sync_all()?;
    out::say(format_args!("Restored {}. What was there before is in {}.", from.display(), aside.display()))?;
    if let Some(words) = foreign {
        out::say(words)?;
    }
    Ok(())
}

fn new_folder(path: &Path) -> anyhow::Result<()> {
    fs::create_dir(path).and_then(|()| private(path)).with_context(|| format!("cannot make {}", path.display()))
}

/// What is there goes aside, what is new goes there; all of it or nothing.
fn swap(data: &Path, names: &[&str], new: &Path, aside: &Path) -> anyhow::Result<()> {
    let mut moved = Vec::new();
    let logs = ["dowel.db-wal", "dowel.db-shm"].map(|name| (data.join(name), aside.join(name)));
    let swaps = names.iter().flat_map(|name| {
        let there = data.join(name);
        [(there.clone(), aside.join(name)), (new.join(name), there)]
    });
    for (a, b) in logs.into_iter().chain(swaps).filter(|(a, _)| a.starts_with(new) || a.exists()) {
        if let Err(e) = fs::rename(&a, &b) {
            for (a, b) in moved.iter().rev() {
                let _ = fs::rename(b, a);
            }
            let what = format!("{} could not be put in place; what was there is there again", a.display());
            return Err(anyhow::Error::from(e).context(what));
        }
        moved.push((a, b));
    }
    Ok(())
}

/// Says whether the practice's folder is whole and sound.
///
/// # Errors
/// What is wrong, one line each.
pub async fn check(args: DataFolder) -> anyhow::Result<()> {
    let data = args.with_a_practice()?;
    let mut faults = backup::faults(&data.join(DATA)).await.context("cannot open the data file")?;
    match fs::metadata(data.join(SECRET)) {
        Ok(secret) if secret.len() == 32 => {}
        Ok(_) => faults.push(format!("{SECRET} is not 32 bytes long: links and known browsers are lost; a backup has it")),
        Err(_) => faults.push(format!("{SECRET} is missing: links and known browsers are lost; a backup has it")),
    }
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

fn copy_folder(from: &Path, to: &Path) -> io::Result<()> {
    fs::create_dir_all(to)?;
    for entry in fs::read_dir(from)? {
        let entry = entry?;
        fs::copy(entry.path(), to.join(entry.file_name()))?;
    }
    Ok(())
}
