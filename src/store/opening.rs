//! What is looked at before a file is used, and what it may not be.

use super::{APPLICATION_ID, StoreError, backup, upgrade};
use sqlx::Connection;
use sqlx::sqlite::SqliteConnection;
use std::path::Path;

/// Only this user reads the file; what SQLite makes beside it takes its mode.
///
/// A file that is there is never opened here: closing it again would end the locks of others in this process.
pub(super) fn private(path: &Path) -> std::io::Result<()> {
    #[cfg(unix)]
    {
        use std::os::unix::fs::{OpenOptionsExt, PermissionsExt};
        if path.exists() {
            std::fs::set_permissions(path, std::fs::Permissions::from_mode(0o600))?;
        } else {
            std::fs::OpenOptions::new().write(true).create_new(true).mode(0o600).open(path)?;
        }
    }
    #[cfg(not(unix))]
    let _ = path;
    Ok(())
}

/// Looks at a file that is there before anything of it is changed, its mode included: one of another program or of a newer
/// Dowel stays byte for byte as it is. A file that cannot be looked at so (its folder can only be read, say) is left to what
/// follows, which says why.
pub(super) async fn ours(path: &Path) -> Result<(), StoreError> {
    if !std::fs::metadata(path).is_ok_and(|file| file.len() > 0) {
        return Ok(());
    }
    let mut file = match backup::open_for_reading(path).await {
        Ok(file) => file,
        Err(broken @ StoreError::Broken(_)) => return Err(broken),
        Err(_) => return Ok(()),
    };
    let id: i64 = match sqlx::query_scalar("pragma application_id").fetch_one(&mut file).await.map_err(StoreError::from) {
        Ok(id) => id,
        Err(broken @ StoreError::Broken(_)) => return Err(broken),
        Err(_) => return Ok(()),
    };
    let tables: i64 = sqlx::query_scalar("select count(*) from sqlite_schema").fetch_one(&mut file).await?;
    if id != APPLICATION_ID && (id, tables) != (0, 0) {
        return Err(StoreError::Unusable(format!("{} belongs to another program", path.display())));
    }
    upgrade::not_newer(&mut file).await?;
    Ok(file.close().await?)
}

pub(super) async fn check(file: &mut SqliteConnection, as_left: bool) -> Result<(), StoreError> {
    let id: i64 = sqlx::query_scalar("pragma application_id").fetch_one(&mut *file).await?;
    let tables: i64 = sqlx::query_scalar("select count(*) from sqlite_schema").fetch_one(&mut *file).await?;
    if id == 0 && tables == 0 {
        // new file: mark it as ours
        sqlx::query("pragma application_id = 1685026668").execute(&mut *file).await?;
    } else if id != APPLICATION_ID {
        return Err(StoreError::Unusable("it belongs to another program".to_owned()));
    }
    if as_left {
        return Ok(());
    }
    let sound: String = sqlx::query_scalar("pragma quick_check(1)").fetch_one(&mut *file).await?;
    if sound != "ok" {
        return Err(StoreError::Unusable(sound));
    }
    let torn = backup::torn(file, backup::WRITE_UPS).await?;
    if !torn.is_empty() {
        return Err(StoreError::Unusable(format!("{}; restore a backup", torn.join("; "))));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::Store;
    use sqlx::sqlite::{SqliteConnectOptions, SqliteJournalMode, SqlitePool};

    #[tokio::test]
    async fn a_file_of_another_program_is_refused_untouched() {
        // as SQLite writes it without being asked for anything else, and as a program with a log does
        for (n, mode) in [SqliteJournalMode::Delete, SqliteJournalMode::Wal].into_iter().enumerate() {
            let folder = tempfile::tempdir().unwrap();
            let path = folder.path().join("other.db");
            let options = SqliteConnectOptions::new().filename(&path).create_if_missing(true).journal_mode(mode);
            let other = SqlitePool::connect_with(options).await.unwrap();
            sqlx::query("create table theirs (a)").execute(&other).await.unwrap();
            other.close().await;
            let before = (std::fs::read(&path).unwrap(), std::fs::metadata(&path).unwrap().permissions());
            assert!(matches!(Store::open(&path).await, Err(StoreError::Unusable(_))));
            let after = (std::fs::read(&path).unwrap(), std::fs::metadata(&path).unwrap().permissions());
            assert!(before == after, "file {n}");
        }
    }

    #[tokio::test]
    async fn a_file_that_is_no_database_is_refused_untouched() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("dowel.db");
        let words = "a letter to somebody, and no database at all".repeat(40);
        std::fs::write(&path, &words).unwrap();
        assert!(Store::open(&path).await.is_err());
        assert_eq!(std::fs::read_to_string(&path).unwrap(), words);
    }
}
