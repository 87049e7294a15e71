//! The lock file that keeps a second server off a SQLite file.

use std::fs::{File, TryLockError};
use std::path::{Path, PathBuf};

use crate::error::OpenError;

/// An exclusive lock of the operating system; it ends with the process, however that ends.
pub(crate) struct FileLock {
    _file: File,
}

impl FileLock {
    /// Locks `PATH.lock` beside the database.
    pub(crate) fn take(database: &Path) -> Result<FileLock, OpenError> {
        let path = lock_path(database);
        let shown = || database.display().to_string();
        let opened = File::options()
            .create(true)
            .truncate(false)
            .write(true)
            .open(&path);
        let file = opened.map_err(|source| OpenError::File {
            path: shown(),
            source,
        })?;
        match file.try_lock() {
            Ok(()) => Ok(FileLock { _file: file }),
            Err(TryLockError::WouldBlock) => Err(OpenError::InUse { path: shown() }),
            Err(TryLockError::Error(source)) => Err(OpenError::File {
                path: shown(),
                source,
            }),
        }
    }
}

fn lock_path(database: &Path) -> PathBuf {
    let mut name = database.as_os_str().to_owned();
    name.push(".lock");
    PathBuf::from(name)
}
