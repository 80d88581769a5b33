//! The few things we ask of a disk, so that tests can put a failing one in its place.

use std::fmt::Debug;
use std::fs::{self, File, TryLockError};
use std::io::{self, ErrorKind, Read, Write};
use std::path::{Path, PathBuf};

/// How a file is opened for writing.
#[derive(Debug, Clone, Copy)]
pub enum Open<'a> {
    /// At its end.
    Append,
    /// A new file, with the permissions that the system gives to any; refused when the name is taken.
    New,
    /// A new file with the permissions of that other file where there is one; refused when the name is
    /// taken.
    NewLike(&'a Path),
}

/// A held lock; let go when dropped, or by the system when the process ends in any way.
#[derive(Debug)]
pub struct Lock(Hold);

/// What a lock is held by.
#[derive(Debug)]
enum Hold {
    Nothing,
    /// Never read: the system lets go with it.
    File {
        _file: File,
    },
    /// A file of that name that holds these words; it goes with the lock.
    Note(PathBuf, String),
}

impl Drop for Lock {
    fn drop(&mut self) {
        if let Hold::Note(file, words) = &self.0
            && fs::read(file).is_ok_and(|held| held == words.as_bytes())
        {
            // one that stays is found to be of a process that is gone
            let _ = fs::remove_file(file);
        }
    }
}

impl Lock {
    /// A lock on nothing, for a disk without other users.
    #[must_use]
    pub fn unshared() -> Self {
        Self(Hold::Nothing)
    }

    /// The note that stands for the lock, on a disk that knows none.
    #[must_use]
    pub fn noted(&self) -> Option<&Path> {
        match &self.0 {
            Hold::Note(file, _) => Some(file),
            Hold::Nothing | Hold::File { .. } => None,
        }
    }

    /// A note of these words, on a disk that knows no locks.
    pub(super) fn note(file: PathBuf, words: String) -> Self {
        Self(Hold::Note(file, words))
    }
}

/// A disk: files by name.
pub trait Disk: Debug + Send {
    /// The whole file, or `None` when there is none.
    ///
    /// # Errors
    /// What the system says; [`ErrorKind::FileTooLarge`] when it holds more than `most` bytes;
    /// [`ErrorKind::IsADirectory`] or [`ErrorKind::InvalidInput`] when it is not a plain file.
    fn read(&self, path: &Path, most: u64) -> io::Result<Option<Vec<u8>>>;

    /// As [`Disk::read`], of lines: what has no end of line for more than `longest` bytes is read no further,
    /// and ends there.
    ///
    /// # Errors
    /// As [`Disk::read`].
    fn read_lines(&self, path: &Path, most: u64, longest: usize) -> io::Result<Option<Vec<u8>>> {
        let _ = longest;
        self.read(path, most)
    }

    /// A file to write to.
    ///
    /// # Errors
    /// What the system says.
    fn open(&self, path: &Path, how: Open<'_>) -> io::Result<Box<dyn Tape>>;

    /// Takes the lock of that name, a new one with the permissions of that other file; `None` when another
    /// process or handle holds it.
    ///
    /// # Errors
    /// What the system says; [`ErrorKind::InvalidInput`] when it is not a plain file.
    fn lock(&self, path: &Path, like: &Path) -> io::Result<Option<Lock>>;

    /// Gives a file another name, in place of what had it before.
    ///
    /// # Errors
    /// What the system says.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()>;

    /// Gives a file a second name, unless that is taken.
    ///
    /// # Errors
    /// What the system says: [`ErrorKind::AlreadyExists`] when the name is taken,
    /// [`ErrorKind::Unsupported`] where files have one name only.
    fn link(&self, from: &Path, to: &Path) -> io::Result<()> {
        let _ = (from, to);
        Err(ErrorKind::Unsupported.into())
    }

    /// Takes a file away.
    ///
    /// # Errors
    /// What the system says.
    fn remove(&self, path: &Path) -> io::Result<()>;

    /// Makes the names in a folder durable.
    ///
    /// # Errors
    /// What the system says; a system that cannot do this says nothing.
    fn sync_folder(&self, folder: &Path) -> io::Result<()>;
}

/// A file that is being written.
pub trait Tape: Debug + Send {
    /// Writes at the end.
    ///
    /// # Errors
    /// What the system says; part of the bytes may then be in the file.
    fn write(&mut self, bytes: &[u8]) -> io::Result<()>;

    /// Makes the bytes durable.
    ///
    /// # Errors
    /// What the system says.
    fn sync(&mut self) -> io::Result<()>;

    /// Cuts the file off behind `length` bytes.
    ///
    /// # Errors
    /// What the system says.
    fn cut(&mut self, length: u64) -> io::Result<()>;

    /// The file's length while `path` still names it; `None` when that names another file or none.
    ///
    /// # Errors
    /// What the system says.
    fn length_at(&self, path: &Path) -> io::Result<Option<u64>>;
}

/// So much is read at a time.
const PART: u64 = 4 << 20;

/// The computer's own disk.
#[derive(Debug, Clone, Copy, Default)]
pub struct RealDisk;

impl Disk for RealDisk {
    fn read(&self, path: &Path, most: u64) -> io::Result<Option<Vec<u8>>> {
        self.read_lines(path, most, usize::MAX)
    }

    fn read_lines(&self, path: &Path, most: u64, longest: usize) -> io::Result<Option<Vec<u8>>> {
        match plain_file(path) {
            Err(e) if e.kind() == ErrorKind::NotFound => return Ok(None),
            other => other?,
        }
        let file = File::open(path)?;
        let size = file.metadata()?.len();
        if size > most {
            return Err(ErrorKind::FileTooLarge.into());
        }
        let known = usize::try_from(size).unwrap_or(0);
        let mut bytes = Vec::with_capacity(known.min(longest));
        // it may have grown since
        let mut file = file.take(most);
        let mut line = 0;
        while file.by_ref().take(PART).read_to_end(&mut bytes)? > 0 {
            let new = bytes.get(line..).unwrap_or_default();
            line += new
                .iter()
                .rposition(|byte| *byte == b'\n')
                .map_or(0, |at| at + 1);
            if bytes.len() - line > longest {
                break;
            }
        }
        Ok(Some(bytes))
    }

    fn open(&self, path: &Path, how: Open<'_>) -> io::Result<Box<dyn Tape>> {
        let mut options = File::options();
        let file = match how {
            Open::Append => {
                plain_file(path)?;
                options.read(true).append(true).open(path)?
            }
            Open::New => {
                let options = options.read(true).append(true);
                options.create_new(true).open(path)?
            }
            Open::NewLike(other) => {
                options.read(true).append(true).create_new(true);
                new_like(&mut options, path, other)?
            }
        };
        Ok(Box::new(RealTape {
            file,
            path: path.to_owned(),
        }))
    }

    fn lock(&self, path: &Path, like: &Path) -> io::Result<Option<Lock>> {
        // the file stays: taking it away would let two programs lock two files of one name
        let there = path.symlink_metadata();
        let mut options = File::options();
        options.read(true).write(true);
        let file = match there {
            // a link is not followed, to nowhere least of all
            Ok(about) if !about.is_file() => return Err(ErrorKind::InvalidInput.into()),
            Ok(_) => options.open(path)?,
            Err(_) => new_like(options.create_new(true), path, like)?,
        };
        match file.try_lock() {
            Ok(()) => Ok(Some(Lock(Hold::File { _file: file }))),
            Err(TryLockError::WouldBlock) => Ok(None),
            Err(TryLockError::Error(e)) => Err(e),
        }
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::rename(from, to)
    }

    fn link(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::hard_link(from, to)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        if cfg!(not(unix)) {
            return Ok(());
        }
        match File::open(folder)?.sync_all() {
            // network and user-space file systems that know no such thing
            Err(e) if matches!(e.kind(), ErrorKind::InvalidInput | ErrorKind::Unsupported) => {
                Ok(())
            }
            other => other,
        }
    }
}

/// A new file with the permissions of another; until it has them, and where there is no other, it is its
/// owner's alone.
fn new_like(options: &mut fs::OpenOptions, path: &Path, other: &Path) -> io::Result<File> {
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(options, 0o600);
    let file = options.open(path)?;
    if let Ok(meta) = fs::metadata(other) {
        file.set_permissions(meta.permissions())?;
    }
    Ok(file)
}

/// A pipe would wait for ever and a folder cannot be read.
fn plain_file(path: &Path) -> io::Result<()> {
    let meta = fs::metadata(path)?;
    if meta.is_file() {
        Ok(())
    } else if meta.is_dir() {
        Err(ErrorKind::IsADirectory.into())
    } else {
        Err(io::Error::new(
            ErrorKind::InvalidInput,
            "it is not a plain file",
        ))
    }
}

#[derive(Debug)]
struct RealTape {
    file: File,
    path: PathBuf,
}

impl Tape for RealTape {
    fn write(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.file.write_all(bytes)
    }

    fn sync(&mut self) -> io::Result<()> {
        self.file.sync_data()
    }

    fn cut(&mut self, length: u64) -> io::Result<()> {
        if cfg!(unix) {
            return self.file.set_len(length);
        }
        // elsewhere a file opened for appending may not be cut
        File::options()
            .write(true)
            .open(&self.path)?
            .set_len(length)
    }

    fn length_at(&self, path: &Path) -> io::Result<Option<u64>> {
        let ours = self.file.metadata()?;
        let named = match fs::metadata(path) {
            Err(e) if e.kind() == ErrorKind::NotFound => return Ok(None),
            other => other?,
        };
        Ok(same_file(&ours, &named).then_some(ours.len()))
    }
}

#[cfg(unix)]
fn same_file(a: &fs::Metadata, b: &fs::Metadata) -> bool {
    use std::os::unix::fs::MetadataExt;
    a.dev() == b.dev() && a.ino() == b.ino()
}

/// Without file numbers only the length can tell.
#[cfg(not(unix))]
fn same_file(a: &fs::Metadata, b: &fs::Metadata) -> bool {
    a.len() == b.len()
}
