//! Reading and writing whole files: never half a file, always an error that names the file.

use std::io::Write;
use std::path::{Path, PathBuf};

/// A file could not be read or written.
#[derive(Debug, thiserror::Error)]
#[error("cannot {doing} `{}`: {source}", path.display())]
pub struct FileError {
    doing: &'static str,
    path: PathBuf,
    source: std::io::Error,
}

impl FileError {
    fn new(doing: &'static str, path: &Path, source: std::io::Error) -> Self {
        FileError {
            doing,
            path: path.to_path_buf(),
            source,
        }
    }
}

/// The whole file.
///
/// # Errors
/// When it cannot be opened or read.
pub fn read(path: &Path) -> Result<Vec<u8>, FileError> {
    std::fs::read(path).map_err(|source| FileError::new("read", path, source))
}

/// Writes several files into `folder`, each under its name: first all of them beside their places, then each is renamed, so that nothing is
/// changed when one cannot be written, and none is ever half there.
///
/// # Errors
/// When the folder or a file cannot be made.
pub fn write_all(folder: &Path, files: &[(String, Vec<u8>)]) -> Result<(), FileError> {
    let mut ready = Vec::with_capacity(files.len());
    for (name, bytes) in files {
        ready.push((folder.join(name), beside(&folder.join(name), bytes)?));
    }
    for (path, file) in ready {
        let failed = |error: tempfile::PersistError| FileError::new("write", &path, error.error);
        file.persist(&path).map_err(failed)?;
    }
    Ok(())
}

/// Writes `bytes` to a temporary file beside `path`, then renames it; makes the folders above.
///
/// # Errors
/// When a folder or the file cannot be made; the old file, if any, is then still whole.
pub fn write(path: &Path, bytes: &[u8]) -> Result<(), FileError> {
    let file = beside(path, bytes)?;
    let failed = |error: tempfile::PersistError| FileError::new("write", path, error.error);
    file.persist(path).map_err(failed)?;
    Ok(())
}

/// A temporary file with those bytes, in the folder of `path`.
fn beside(path: &Path, bytes: &[u8]) -> Result<tempfile::NamedTempFile, FileError> {
    let failed = |source| FileError::new("write", path, source);
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    std::fs::create_dir_all(folder).map_err(failed)?;
    let mut file = tempfile::NamedTempFile::new_in(folder).map_err(failed)?;
    file.write_all(bytes).map_err(failed)?;
    file.as_file().sync_all().map_err(failed)?;
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let readable = std::fs::Permissions::from_mode(0o644);
        file.as_file().set_permissions(readable).map_err(failed)?;
    }
    Ok(file)
}
