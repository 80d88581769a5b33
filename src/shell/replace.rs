//! Whole-file writes that leave the old file or the new one, never half of either.

use std::ffi::OsString;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use super::Trouble;
use super::disk::{Disk, Open};
use super::paths::{folder, followed};

/// Writes `bytes` as the file of that name: new file beside it, sync, rename, sync of the folder. The
/// permissions of the old file are kept and a symbolic link stays one.
///
/// # Errors
/// [`Trouble::Write`]; the old file is then as it was.
pub fn replace(disk: &dyn Disk, path: &Path, bytes: &[u8]) -> Result<(), Trouble> {
    let path = followed(path);
    let all = || {
        let fresh = write_beside(disk, &path, bytes)?;
        if let Err(e) = disk.rename(&fresh, &path) {
            // the rename's own refusal is the one to tell
            let _ = disk.remove(&fresh);
            return Err(e);
        }
        disk.sync_folder(&folder(&path))
    };
    all().map_err(Trouble::write(&path))
}

fn write_beside(disk: &dyn Disk, path: &Path, bytes: &[u8]) -> io::Result<PathBuf> {
    let mut n = 0;
    let (fresh, mut tape) = loop {
        let fresh = fresh_name(path, n);
        match disk.open(&fresh, Open::NewLike(path)) {
            // left over from a crash under the same process number
            Err(e) if e.kind() == ErrorKind::AlreadyExists && n < 99 => n += 1,
            other => break (fresh, other?),
        }
    };
    let written = tape.write(bytes).and_then(|()| tape.sync());
    if let Err(e) = written {
        drop(tape);
        // the write's own refusal is the one to tell
        let _ = disk.remove(&fresh);
        return Err(e);
    }
    Ok(fresh)
}

/// `.<name>.<process>-<n>.new` in the same folder, so that the rename stays on one disk.
fn fresh_name(path: &Path, n: u32) -> PathBuf {
    let mut name = OsString::from(".");
    name.push(path.file_name().unwrap_or_default());
    name.push(format!(".{}-{n}.new", std::process::id()));
    path.with_file_name(name)
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;
    use crate::shell::disk::RealDisk;

    fn names(folder: &Path) -> Vec<String> {
        let name = |e: io::Result<fs::DirEntry>| e.unwrap().file_name().into_string().unwrap();
        let mut names: Vec<_> = fs::read_dir(folder).unwrap().map(name).collect();
        names.sort();
        names
    }

    #[test]
    fn the_file_is_made_or_replaced_and_nothing_else_is_left() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("recent");
        for text in ["one", "and two", ""] {
            replace(&RealDisk, &path, text.as_bytes()).unwrap();
            assert_eq!(fs::read_to_string(&path).unwrap(), text);
            assert_eq!(names(dir.path()), ["recent"]);
        }
    }

    #[cfg(unix)]
    #[test]
    fn permissions_and_links_are_kept() {
        use std::os::unix::fs::{PermissionsExt, symlink};
        let dir = tempfile::tempdir().unwrap();
        let (file, link) = (dir.path().join("file"), dir.path().join("link"));
        replace(&RealDisk, &file, b"one").unwrap();
        fs::set_permissions(&file, fs::Permissions::from_mode(0o640)).unwrap();
        symlink(&file, &link).unwrap();
        replace(&RealDisk, &link, b"two").unwrap();
        assert!(link.is_symlink());
        assert_eq!(fs::read(&file).unwrap(), b"two");
        let mode = fs::metadata(&file).unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o640);
    }

    #[test]
    fn a_missing_folder_is_told() {
        let dir = tempfile::tempdir().unwrap();
        let error = replace(&RealDisk, &dir.path().join("gone/file"), b"one").unwrap_err();
        assert!(error.to_string().contains("is gone"), "{error}");
    }
}
