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

/// Makes a folder anew with these files: all are written beside it first, then it takes the place of the old one. A folder that holds anything
/// but files of that ending is left as it is; its strange entry is given back. Without files there is no folder afterwards.
///
/// # Errors
/// When a folder or file cannot be made, read or moved. The old folder then stays, or the error says where it is kept.
pub fn write_folder(
    folder: &Path,
    files: &[(&str, &[u8])],
    ending: &str,
) -> Result<Result<(), String>, FileError> {
    let failed = |doing| move |source| FileError::new(doing, folder, source);
    if folder.exists() {
        for entry in std::fs::read_dir(folder).map_err(failed("read"))? {
            let path = entry.map_err(failed("read"))?.path();
            if !path.is_file() || path.extension().is_none_or(|found| found != ending) {
                let name = path.file_name().unwrap_or_default();
                return Ok(Err(name.to_string_lossy().into_owned()));
            }
        }
    }
    let above = match folder.parent() {
        Some(above) if !above.as_os_str().is_empty() => above,
        _ => Path::new("."),
    };
    std::fs::create_dir_all(above).map_err(failed("write"))?;
    let beside = tempfile::tempdir_in(above).map_err(failed("write"))?;
    let (new, old) = (beside.path().join("new"), beside.path().join("old"));
    for (name, bytes) in files {
        write(&new.join(name), bytes)?;
    }
    let had = folder.exists();
    if had {
        std::fs::rename(folder, &old).map_err(failed("replace"))?;
    }
    if !files.is_empty()
        && let Err(error) = std::fs::rename(&new, folder)
    {
        // The old one goes back, if there was one; where it cannot, it is kept where it is.
        if had && let Err(back) = std::fs::rename(&old, folder) {
            let kept = beside.keep().join("old");
            let text = format!(
                "{error}; the folder that was there could not be moved back ({back}), it is kept as `{}`",
                kept.display()
            );
            return Err(failed("write")(std::io::Error::new(error.kind(), text)));
        }
        return Err(failed("write")(error));
    }
    Ok(Ok(()))
}
