//! What can go wrong on the disk, as sentences that say what to do.

use std::io::{Error, ErrorKind};
use std::path::{Path, PathBuf};

use super::paths::show;
use crate::journal::EncodeError;
use crate::planner::learn::BookError;
use crate::planner::shelf::{Refused, Unread};

/// Why the journal, or another file, could not be read or written.
#[derive(Debug, thiserror::Error)]
pub enum Trouble {
    /// A record in the journal cannot be trusted. Nothing was changed.
    #[error(
        "{}, line {line}: {what}. Nothing was changed. Keep a copy of the file, take out what was put \
         there by hand or put the file back from a copy, then open the job again.",
        show(path)
    )]
    Damaged {
        /// The journal.
        path: PathBuf,
        /// Line number from 1.
        line: usize,
        /// What is wrong with it.
        what: String,
    },
    /// The name is one that a plan's own files have.
    #[error(
        "{} is not a plan: its name ends as a journal's or a lock's does",
        show(path)
    )]
    NotAPlan {
        /// The file.
        path: PathBuf,
    },
    /// A file of that name is there, and stays as it is.
    #[error(
        "{} is there already and was left as it is; give another name",
        show(path)
    )]
    Taken {
        /// The file.
        path: PathBuf,
    },
    /// Another copy of the program holds the lock.
    #[error("another copy has this job open; leave one of the two, then open the job again")]
    Busy,
    /// Something else has the lock's name.
    #[error(
        "{} stands where this job's lock belongs and is no plain file; take it away and try again",
        show(path)
    )]
    NotALock {
        /// What has the name.
        path: PathBuf,
    },
    /// The note of another copy, on a disk that knows no locks.
    #[error(
        "another copy has this job open: {by}. If that copy is gone, delete {} and open the job again, or \
         open it with --no-lock",
        show(path)
    )]
    Held {
        /// The note.
        path: PathBuf,
        /// Who has it open.
        by: String,
    },
    /// Another copy held the lock and recorded more than this one has read.
    #[error("another copy has written more; leave and open the job again")]
    MovedOn,
    /// The file is not the one that was opened, or its length is not what was left there.
    #[error(
        "another program changed the journal; leave and open the job again ({})",
        show(path)
    )]
    Changed {
        /// The journal.
        path: PathBuf,
    },
    /// The record may not be written.
    #[error("the entry cannot be written: {0}")]
    Record(#[from] EncodeError),
    /// The record's number does not follow the last one in the file.
    #[error("entry {given} does not follow, entry {due} is due; leave and open the job again")]
    Order {
        /// Number of the record.
        given: u64,
        /// Number that follows.
        due: u64,
    },
    /// Too big to be one of our files.
    #[error("{} is over {}: it is not a file of this program", show(path), size(*most))]
    TooBig {
        /// The file.
        path: PathBuf,
        /// The limit in bytes.
        most: u64,
    },
    /// A small file of the program's own is no such file any more.
    #[error("{}: too large for {what}", show(path))]
    TooLarge {
        path: PathBuf,
        /// What it should be.
        what: &'static str,
    },
    #[error("{}: is not text; save it as UTF-8", show(path))]
    NotText { path: PathBuf },
    #[error(
        "{}: a link to a file that is not there; mend it or take it away",
        show(path)
    )]
    LinkToNothing { path: PathBuf },
    #[error("{}: {why}", show(path))]
    ShopFile { path: PathBuf, why: BookError },
    #[error(
        "{}: {why}; mend that line, or move the file aside to begin a new shelf",
        show(path)
    )]
    ShelfFile { path: PathBuf, why: Unread },
    #[error("{}: another program is changing it; try again", show(path))]
    Changing { path: PathBuf },
    /// What the shelf itself says to a change.
    #[error(transparent)]
    Shelf(#[from] Refused),
    #[error("{}: {why}", path.display())]
    Photo { path: PathBuf, why: PhotoFault },
    #[error("give the file a name, as knife.toml")]
    NoName,
    #[error(
        "{} is a name of other files; give the plan another one, as knife.toml",
        show(path)
    )]
    OthersName { path: PathBuf },
    #[error("{} is {whose} name; give another one", show(path))]
    OwnName { path: PathBuf, whose: &'static str },
    #[error(
        "the folder {} is not there; make it, or give another name",
        show(path)
    )]
    NoFolder { path: PathBuf },
    #[error("{} is another job's journal; give the plan another name", show(path))]
    OthersJournal { path: PathBuf },
    /// The disk refused to read.
    #[error("{}", reading(path, source))]
    Read {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: Error,
    },
    /// The disk refused to write.
    #[error("{}", writing(path, source))]
    Write {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: Error,
    },
}

/// Why the bytes of a file are no photograph that can be counted.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PhotoFault {
    #[error("larger than {0} MB: not a photograph of an end")]
    TooLarge(u64),
    #[error(
        "this kind of picture (HEIC, AVIF or a film) is not read: set the phone's camera to JPEG"
    )]
    OtherKind,
    #[error("not a photograph: give a JPEG or PNG file")]
    NoPhoto,
    #[error(
        "{wide} x {high} pixels are too many or none: cut it to the end, at most {millions} million pixels"
    )]
    Pixels {
        wide: usize,
        high: usize,
        millions: usize,
    },
    #[error("the file is cut short or damaged: copy it from the phone again")]
    Short,
}

/// Where the trouble is told, its sentence is all that is wanted.
impl From<Trouble> for String {
    fn from(trouble: Trouble) -> Self {
        trouble.to_string()
    }
}

impl Trouble {
    pub(super) fn read(path: &Path) -> impl FnOnce(Error) -> Self {
        |source| Self::Read {
            path: path.to_owned(),
            source,
        }
    }

    pub(super) fn write(path: &Path) -> impl FnOnce(Error) -> Self {
        |source| Self::Write {
            path: path.to_owned(),
            source,
        }
    }
}

/// Bytes in words.
fn size(bytes: u64) -> String {
    match bytes {
        1_048_576.. => format!("{} MB", bytes >> 20),
        _ => format!("{} kB", bytes / 1000),
    }
}

/// What a pipe, a device or a socket is.
const NOT_PLAIN: &str = "not a plain file";

/// Why a file cannot be read, and what to do.
pub(crate) fn reading(path: &Path, source: &Error) -> String {
    let path = show(path);
    match source.kind() {
        ErrorKind::NotFound => format!("{path} is not there: check the name and the folder"),
        ErrorKind::PermissionDenied => format!("{path} may not be read: allow reading it"),
        ErrorKind::InvalidData => {
            format!("{path} is not text (UTF-8): give the plan's own file, or save it as UTF-8")
        }
        ErrorKind::IsADirectory => format!("{path} is a folder, not a file: give a file in it"),
        ErrorKind::InvalidInput => format!("{path} is {NOT_PLAIN}: give a file"),
        _ => format!("{path} cannot be read: {source}; mend that and try again"),
    }
}

/// The remedy comes before the path: a banner may be short.
fn writing(path: &Path, source: &Error) -> String {
    let path = show(path);
    match source.kind() {
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded | ErrorKind::FileTooLarge => {
            format!("the disk is full; make room and try again ({path})")
        }
        ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => {
            format!("writing is not allowed here; allow it, or move the plan ({path})")
        }
        ErrorKind::InvalidInput => format!("this is {NOT_PLAIN}; give another name ({path})"),
        ErrorKind::NotFound => {
            format!("the folder is gone; put the disk back and try again ({path})")
        }
        _ => format!("the disk refuses ({source}); mend that and try again ({path})"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_refusal_of_the_disk_names_the_file_and_the_remedy() {
        for (kind, remedy) in [
            (ErrorKind::StorageFull, "make room"),
            (ErrorKind::QuotaExceeded, "make room"),
            (ErrorKind::PermissionDenied, "allow it"),
            (ErrorKind::ReadOnlyFilesystem, "allow it"),
            (ErrorKind::NotFound, "put the disk back"),
            (ErrorKind::Other, "mend that"),
        ] {
            let text = Trouble::write(Path::new("a/b.journal"))(kind.into()).to_string();
            assert!(
                text.contains("a/b.journal") && text.contains(remedy),
                "{text}"
            );
        }
        let text = Trouble::read(Path::new("a/b.toml"))(ErrorKind::NotFound.into()).to_string();
        assert_eq!(text, "a/b.toml is not there: check the name and the folder");
    }
}
