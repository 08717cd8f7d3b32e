//! Keeping a practice: the commands as an operator types them, on real folders.
#![allow(clippy::unwrap_used, missing_docs, reason = "a test says what it expects by unwrapping")]

mod memory;
mod pipe;
mod security;
mod upgrade;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn dowel(words: &[&str], data: &Path) -> Output {
    Command::new(env!("CARGO_BIN_EXE_dowel")).args(words).arg("--data").arg(data).output().unwrap()
}

fn printed(output: &Output) -> String {
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8_lossy(&output.stdout).trim().to_owned()
}

fn practice() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let data = folder.path().join("data");
    let added = printed(&dowel(&["coach", "add", "--name", "Mara", "--sign-in", "mara@example.org"], &data));
    assert!(added.contains("/password/1-"));
    (folder, data)
}

#[test]
fn a_backup_is_restored_on_another_machine() {
    let (folder, data) = practice();
    let backup = printed(&dowel(&["backup"], &data));
    let elsewhere = folder.path().join("elsewhere");
    printed(&dowel(&["restore", &backup], &elsewhere));
    assert_eq!(printed(&dowel(&["check"], &elsewhere)), "Sound.");
    let again = dowel(&["coach", "add", "--name", "Mara", "--sign-in", "mara@example.org"], &elsewhere);
    assert!(String::from_utf8_lossy(&again.stderr).contains("taken"), "the coach is there already");
}

#[test]
fn a_damaged_backup_is_refused_and_nothing_is_touched() {
    let (_folder, data) = practice();
    let backup = printed(&dowel(&["backup"], &data));
    let file = Path::new(&backup).join("dowel.db");
    let mut bytes = fs::read(&file).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 0xff;
    fs::write(&file, bytes).unwrap();
    let before = fs::read(data.join("dowel.db")).unwrap();
    assert!(!dowel(&["restore", &backup], &data).status.success());
    assert_eq!(fs::read(data.join("dowel.db")).unwrap(), before);
}

#[test]
fn restoring_sets_what_was_there_aside() {
    let (_folder, data) = practice();
    let backup = printed(&dowel(&["backup"], &data));
    printed(&dowel(&["coach", "add", "--name", "Later", "--sign-in", "later@example.org"], &data));
    printed(&dowel(&["restore", &backup], &data));
    let aside = fs::read_dir(&data).unwrap().flatten().find(|e| e.file_name().to_string_lossy().starts_with("replaced-"));
    assert!(aside.unwrap().path().join("dowel.db").is_file());
    printed(&dowel(&["coach", "add", "--name", "Later", "--sign-in", "later@example.org"], &data));
}

#[test]
fn the_oldest_backups_make_room() {
    let (_folder, data) = practice();
    let first = printed(&dowel(&["backup", "--keep", "2"], &data));
    printed(&dowel(&["backup", "--keep", "2"], &data));
    let last = printed(&dowel(&["backup", "--keep", "2"], &data));
    assert!(!Path::new(&first).exists() && Path::new(&last).exists());
}

#[test]
fn what_is_not_a_backup_is_never_removed() {
    let (folder, data) = practice();
    let all = folder.path().join("disk");
    let photos = all.join("aaa-photos");
    fs::create_dir_all(&photos).unwrap();
    fs::write(photos.join("manifest.json"), "{}").unwrap();
    for _ in 0..2 {
        printed(&dowel(&["backup", "--keep", "1", "--to", all.to_str().unwrap()], &data));
    }
    assert!(photos.join("manifest.json").is_file());
}

#[test]
fn a_folder_that_is_no_backup_is_refused() {
    let (folder, data) = practice();
    let output = dowel(&["restore", folder.path().to_str().unwrap()], &data);
    assert!(!output.status.success());
    assert!(String::from_utf8_lossy(&output.stderr).contains("is no backup"));
}

#[test]
fn an_assistant_is_not_made_where_no_coach_is_there() {
    let folder = tempfile::tempdir().unwrap();
    let data = folder.path().join("data");
    let words = ["coach", "add", "--assistant", "--name", "Odo", "--sign-in", "odo@example.org"];
    let refused = dowel(&words, &data);
    assert!(!refused.status.success() && String::from_utf8_lossy(&refused.stderr).contains("must be a coach"));
    printed(&dowel(&["coach", "add", "--name", "Mara", "--sign-in", "mara@example.org"], &data));
    // the refused one left nothing behind, so the same name is free
    printed(&dowel(&words, &data));
}

#[test]
fn a_coach_is_removed_on_the_machine_and_the_last_one_stays() {
    let (_folder, data) = practice();
    printed(&dowel(&["coach", "add", "--name", "Odo", "--sign-in", "odo@example.org"], &data));
    assert!(printed(&dowel(&["coach", "remove", "--sign-in", "Odo@example.org"], &data)).contains("Odo can no longer sign in"));
    let last = dowel(&["coach", "remove", "--sign-in", "mara@example.org"], &data);
    assert!(!last.status.success() && String::from_utf8_lossy(&last.stderr).contains("the last coach"));
    let nobody = dowel(&["coach", "link", "--sign-in", "odo@example.org"], &data);
    assert!(String::from_utf8_lossy(&nobody.stderr).contains("nobody signs in"));
    assert!(printed(&dowel(&["sign-out-everybody"], &data)).contains("Everybody is signed out"));
}

#[test]
fn a_folder_without_a_practice_is_said_to_be_one_and_nothing_is_made_there() {
    let folder = tempfile::tempdir().unwrap();
    for words in [&["check"][..], &["backup"]] {
        let refused = dowel(words, folder.path());
        let said = String::from_utf8_lossy(&refused.stderr).into_owned();
        assert!(!refused.status.success() && said.contains("there is no practice in") && !said.contains("busy"), "{said}");
    }
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
}

#[test]
fn a_practice_without_its_secret_is_not_sound() {
    let (_folder, data) = practice();
    assert_eq!(printed(&dowel(&["check"], &data)), "Sound.");
    fs::write(data.join("secret"), "short").unwrap();
    assert!(String::from_utf8_lossy(&dowel(&["check"], &data).stderr).contains("secret is not 32 bytes"));
    fs::remove_file(data.join("secret")).unwrap();
    assert!(String::from_utf8_lossy(&dowel(&["check"], &data).stderr).contains("secret is missing"));
}

/// Run by root for a service that is not, as on a machine with systemd; run by anybody else the owner is themself.
#[cfg(unix)]
#[test]
fn what_is_restored_is_whose_the_folder_is_and_for_them_alone() {
    use std::os::unix::fs::{MetadataExt, PermissionsExt, chown};
    let (folder, data) = practice();
    let backup = printed(&dowel(&["backup", "--to", folder.path().join("disk").to_str().unwrap()], &data));
    let elsewhere = folder.path().join("elsewhere");
    fs::create_dir(&elsewhere).unwrap();
    let _ = chown(&elsewhere, Some(64_420), Some(64_420));
    printed(&dowel(&["restore", &backup], &elsewhere));
    let owner = fs::metadata(&elsewhere).unwrap().uid();
    for name in ["dowel.db", "secret", "media", "lock"] {
        let made = fs::metadata(elsewhere.join(name)).unwrap();
        assert_eq!(made.uid(), owner, "{name}");
        assert!(made.is_dir() || made.permissions().mode() & 0o777 == 0o600, "{name}");
    }
}

#[test]
fn a_practice_that_another_serves_is_not_even_opened() {
    let (_folder, data) = practice();
    let lock = fs::File::create(data.join("lock")).unwrap();
    lock.try_lock().unwrap();
    // as an upgrade would find it: opening would change it
    let before = fs::read(data.join("dowel.db")).unwrap();
    fs::write(data.join("dowel.db"), [before.as_slice(), b"another program is in the middle of it"].concat()).unwrap();
    let refused = dowel(&["serve", "--listen", "127.0.0.1:0"], &data);
    assert!(String::from_utf8_lossy(&refused.stderr).contains("is used by another running dowel"));
}

#[test]
fn a_coach_is_added_while_the_practice_is_served() {
    let (_folder, data) = practice();
    let lock = fs::File::create(data.join("lock")).unwrap();
    lock.try_lock().unwrap();
    printed(&dowel(&["coach", "add", "--name", "Odo", "--sign-in", "odo@example.org"], &data));
}

#[test]
fn a_restore_that_cannot_be_finished_leaves_what_was_there() {
    let (_folder, data) = practice();
    let backup = printed(&dowel(&["backup"], &data));
    // the secret can not be replaced: a folder that is not empty stands where its copy goes
    let before = fs::read(data.join("dowel.db")).unwrap();
    fs::remove_dir_all(Path::new(&backup).join("media")).unwrap();
    fs::write(Path::new(&backup).join("media"), "no folder").unwrap();
    assert!(!dowel(&["restore", &backup], &data).status.success());
    assert_eq!(fs::read(data.join("dowel.db")).unwrap(), before);
    assert!(data.join("secret").is_file());
    let left: Vec<_> = fs::read_dir(&data).unwrap().flatten().map(|e| e.file_name().to_string_lossy().into_owned()).collect();
    assert!(!left.iter().any(|n| n.starts_with("restoring-") || n.starts_with("replaced-")), "{left:?}");
}

#[test]
fn containers_say_which_proxy_is_believed() {
    let compose = include_str!("../../docker-compose.yml");
    let said =
        |key: &str| compose.lines().find_map(|l| l.trim().trim_start_matches("- ").strip_prefix(key)).unwrap().trim().to_owned();
    assert_eq!(said("DOWEL_PROXIES:"), said("gateway:"), "the address from which the machine's own proxy comes");
}
