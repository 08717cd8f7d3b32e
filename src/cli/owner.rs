//! Whose the files of a practice are: whoever has the data folder. `dowel restore` is often run as root, for a service that is not.

use std::path::Path;

/// Gives what was just made to the owner of the data folder, each file for its owner alone. Where that may not be done: what to
/// type instead.
#[cfg(unix)]
pub(super) fn hand_over(data: &Path, made: &[&Path]) -> Option<String> {
    use std::os::unix::fs::MetadataExt;
    let folder = std::fs::metadata(data).ok()?;
    let whose = (folder.uid(), folder.gid());
    let (path, error) = made.iter().find_map(|path| give(path, whose).err())?;
    let data = data.display();
    Some(format!(
        "Before it is started: {} is not the service's ({error}). As root: chown -R --reference={data} {data}",
        path.display()
    ))
}

/// Other systems ask nobody for an owner.
#[cfg(not(unix))]
pub(super) fn hand_over(_data: &Path, _made: &[&Path]) -> Option<String> {
    None
}

#[cfg(unix)]
fn give(path: &Path, whose: (u32, u32)) -> Result<(), (std::path::PathBuf, std::io::Error)> {
    use std::os::unix::fs::{MetadataExt, PermissionsExt, lchown};
    let named = |e| (path.to_owned(), e);
    let is = std::fs::symlink_metadata(path).map_err(named)?;
    if is.is_dir() {
        for entry in std::fs::read_dir(path).map_err(named)? {
            give(&entry.map_err(named)?.path(), whose)?;
        }
    } else if is.is_file() {
        std::fs::set_permissions(path, std::fs::Permissions::from_mode(0o600)).map_err(named)?;
    }
    if (is.uid(), is.gid()) != whose {
        lchown(path, Some(whose.0), Some(whose.1)).map_err(named)?;
    }
    Ok(())
}
