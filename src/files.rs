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

/// Writes `bytes` to a temporary file beside `path`, then renames it; makes the folders above.
///
/// # Errors
/// When a folder or the file cannot be made; the old file, if any, is then still whole.
pub fn write(path: &Path, bytes: &[u8]) -> Result<(), FileError> {
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
    file.persist(path).map_err(|error| failed(error.error))?;
    Ok(())
}
