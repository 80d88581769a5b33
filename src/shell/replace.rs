//! Whole-file writes that leave the old file or the new one, never half of either.

use std::ffi::OsString;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use super::Trouble;
use super::disk::{Disk, Open, RealDisk};
use super::paths::{folder, followed};

/// The text of a small file of the program's own, or none where there is no such file; `what` it should be.
///
/// # Errors
/// [`Trouble`].
pub(super) fn read_text(
    path: &Path,
    most: u64,
    what: &'static str,
) -> Result<Option<String>, Trouble> {
    let own = || path.to_owned();
    let bytes = RealDisk.read(path, most).map_err(|why| match why.kind() {
        ErrorKind::FileTooLarge => Trouble::TooLarge { path: own(), what },
        _ => Trouble::read(path)(why),
    })?;
    bytes
        .map(|bytes| String::from_utf8(bytes).map_err(|_| Trouble::NotText { path: own() }))
        .transpose()
}

/// Writes `bytes` as the file of that name: new file beside it, sync, rename, sync of the folder. The
/// permissions of the old file are kept and a symbolic link stays one. A pipe or a device stays too.
///
/// # Errors
/// [`Trouble::Write`]; the old file is then as it was.
pub fn replace(disk: &dyn Disk, path: &Path, bytes: &[u8]) -> Result<(), Trouble> {
    swap(disk, &followed(path), bytes, Open::New)
}

/// As [`replace`]; a file that was not there gets the permissions of another.
///
/// # Errors
/// As [`replace`].
pub fn replace_like(
    disk: &dyn Disk,
    path: &Path,
    bytes: &[u8],
    other: &Path,
) -> Result<(), Trouble> {
    swap(disk, &followed(path), bytes, Open::NewLike(other))
}

/// As [`replace`], of a file that is its owner's alone.
///
/// # Errors
/// As [`replace`].
pub fn replace_private(disk: &dyn Disk, path: &Path, bytes: &[u8]) -> Result<(), Trouble> {
    // there is no file whose permissions it would take
    let path = followed(path);
    make(disk, &path, bytes, Open::NewLike(Path::new("")))
}

fn swap(disk: &dyn Disk, path: &Path, bytes: &[u8], fresh: Open<'_>) -> Result<(), Trouble> {
    let how = if path.is_file() {
        Open::NewLike(path)
    } else {
        fresh
    };
    make(disk, path, bytes, how)
}

fn make(disk: &dyn Disk, path: &Path, bytes: &[u8], how: Open<'_>) -> Result<(), Trouble> {
    let about = path.symlink_metadata();
    if about.is_ok_and(|about| !about.is_file() && !about.is_symlink()) {
        let why = io::Error::new(ErrorKind::InvalidInput, "it is not a plain file");
        return Err(Trouble::write(path)(why));
    }
    let all = || {
        let fresh = write_beside(disk, path, bytes, how)?;
        if let Err(e) = disk.rename(&fresh, path) {
            // the rename's own refusal is the one to tell
            let _ = disk.remove(&fresh);
            return Err(e);
        }
        disk.sync_folder(&folder(path))
    };
    all().map_err(Trouble::write(path))
}

/// Writes `bytes` as a new file of that name, whole or not at all; a file that has the name already is
/// left as it is.
///
/// # Errors
/// [`Trouble::Taken`] when the name is taken, else [`Trouble::Write`]; there is then no new file.
pub fn create(disk: &dyn Disk, path: &Path, bytes: &[u8]) -> Result<(), Trouble> {
    let taken = || Trouble::Taken {
        path: path.to_owned(),
    };
    if path.symlink_metadata().is_ok() {
        return Err(taken());
    }
    let all = || {
        let fresh = write_beside(disk, path, bytes, Open::New)?;
        let named = match disk.link(&fresh, path) {
            Err(e) if e.kind() != ErrorKind::AlreadyExists && path.symlink_metadata().is_err() => {
                // files have one name only on this disk
                disk.rename(&fresh, path)
            }
            other => other,
        };
        // gone already where it was renamed; the link's own refusal is the one to tell
        let _ = disk.remove(&fresh);
        named?;
        disk.sync_folder(&folder(path))
    };
    all().map_err(|e| match e.kind() {
        ErrorKind::AlreadyExists => taken(),
        _ => Trouble::write(path)(e),
    })
}

fn write_beside(disk: &dyn Disk, path: &Path, bytes: &[u8], how: Open<'_>) -> io::Result<PathBuf> {
    let mut n = 0;
    let (fresh, mut tape) = loop {
        let fresh = fresh_name(path, n);
        match disk.open(&fresh, how) {
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

/// Takes away what writes that were killed have left in a folder, once their process is gone. Where it
/// cannot be known whether that still runs, nothing is taken.
pub fn tidy(disk: &dyn Disk, folder: &Path) {
    if !Path::new("/proc/self").exists() {
        return;
    }
    let files = std::fs::read_dir(folder).into_iter().flatten().flatten();
    for name in files.filter_map(|file| file.file_name().into_string().ok()) {
        if let Some(process) = left_by(&name)
            && !Path::new(&format!("/proc/{process}")).exists()
        {
            // one that stays harms nothing
            let _ = disk.remove(&folder.join(&name));
        }
    }
}

/// The process that a half-written file of ours is named for.
fn left_by(name: &str) -> Option<u32> {
    let (file, number) = name
        .strip_prefix('.')?
        .strip_suffix(".new")?
        .rsplit_once('.')?;
    let ends = [".toml", ".journal", ".html", ".png", ".svg", ".index"];
    let ours = ends.iter().any(|end| file.ends_with(end)) || file == "recent";
    let (process, n) = number.split_once('-')?;
    n.parse::<u32>().ok().filter(|_| ours)?;
    process.parse().ok()
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
    fn what_a_killed_write_left_is_taken_away() {
        let dir = tempfile::tempdir().unwrap();
        let mine = format!(".knife.toml.{}-0.new", std::process::id());
        // no process has so high a number, see pid_max in proc(5)
        let gone = ".knife.toml.4999999-0.new";
        for name in [
            mine.as_str(),
            gone,
            ".other.4999999-0.new",
            ".knife.toml.x-0.new",
        ] {
            fs::File::create(dir.path().join(name)).unwrap();
        }
        tidy(&RealDisk, dir.path());
        let left = names(dir.path());
        assert_eq!(left.len(), 3, "{left:?}");
        assert!(!left.contains(&gone.to_owned()));
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

    /// A disk on which files have one name only.
    #[derive(Debug)]
    struct Plain;

    impl Disk for Plain {
        fn read(&self, path: &Path, most: u64) -> io::Result<Option<Vec<u8>>> {
            RealDisk.read(path, most)
        }
        fn open(
            &self,
            path: &Path,
            how: Open<'_>,
        ) -> io::Result<Box<dyn crate::shell::disk::Tape>> {
            RealDisk.open(path, how)
        }
        fn lock(&self, path: &Path, like: &Path) -> io::Result<Option<crate::shell::disk::Lock>> {
            RealDisk.lock(path, like)
        }
        fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
            RealDisk.rename(from, to)
        }
        fn remove(&self, path: &Path) -> io::Result<()> {
            RealDisk.remove(path)
        }
        fn sync_folder(&self, folder: &Path) -> io::Result<()> {
            RealDisk.sync_folder(folder)
        }
    }

    #[test]
    fn a_new_file_is_made_whole_and_an_older_one_is_left_alone() {
        for disk in [&RealDisk as &dyn Disk, &Plain] {
            let dir = tempfile::tempdir().unwrap();
            let path = dir.path().join("plan.toml");
            create(disk, &path, b"one").unwrap();
            let error = create(disk, &path, b"two").unwrap_err();
            assert!(matches!(error, Trouble::Taken { .. }), "{error}");
            assert_eq!(fs::read_to_string(&path).unwrap(), "one");
            assert_eq!(names(dir.path()), ["plan.toml"]);
            assert!(create(disk, &dir.path().join("gone/a"), b"x").is_err());
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
