//! The journal on the disk: lock, open, repair, append and sync.
//!
//! An append is one write of a whole line and one sync; it has happened when the call returns, not
//! before. A write that fails is cut off again, so that trying once more starts clean. What the file
//! format promises is told in [`crate::journal`].
//!
//! Long because opening, repairing and appending share what is known of the file.

use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use super::Trouble;
use super::disk::{Disk, Lock, Open, RealDisk, Tape};
use super::lock::{self, Locking};
use super::paths::{JobPaths, show};
use crate::journal::{Entry, Scan, encode, scan};

/// Most bytes a journal may hold: 256 MB, thousands of years of work.
const MOST: u64 = 256 << 20;
/// Longest line in bytes: several times the largest plan, with each character escaped.
const LONGEST: usize = 16 << 20;

/// Whether records can be added now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Mode {
    /// Yes.
    Writable,
    /// Another copy of the program adds them; why and what to do.
    ReadOnly(String),
    /// The disk refuses for now; why and what to do. Each append tries again.
    Refused(String),
}

/// A journal as it was found.
#[derive(Debug)]
pub struct Opened {
    /// Every record, in order.
    pub entries: Vec<Entry>,
    /// Where more are added.
    pub store: Store,
    /// Whether they can be added now.
    pub mode: Mode,
    /// The copy that was kept of a journal whose last write had been cut short, and how many bytes were cut
    /// off.
    pub repaired: Option<(PathBuf, usize)>,
}

/// One job's journal, held for adding records.
#[derive(Debug)]
pub struct Store {
    disk: Box<dyn Disk>,
    paths: JobPaths,
    locking: Locking,
    state: State,
    /// The file that records are added to: the journal, or what was written in its place.
    file: PathBuf,
    /// Length of the whole records in bytes.
    good: u64,
    /// CRC-32 of what was read, to notice another copy's records.
    read_crc: u32,
    /// Number of the next record.
    next: u64,
}

#[derive(Debug)]
enum State {
    /// Not writable for this reason.
    Waiting(Trouble),
    Writing {
        /// None until the first record of a new journal is written.
        tape: Option<Box<dyn Tape>>,
        /// The folder is known to hold its name.
        named: bool,
        /// A failed write may have left bytes behind the good ones.
        dirty: bool,
        lock: Lock,
    },
}

/// Reads a plan's journal without locking or changing anything; no journal is an empty one. A torn
/// tail is left out.
///
/// # Errors
/// [`Trouble::Damaged`], [`Trouble::TooBig`] or [`Trouble::Read`].
pub fn read_entries(plan: &Path) -> Result<Vec<Entry>, Trouble> {
    Ok(read_journal(plan)?.0)
}

/// As [`read_entries`], and how many bytes of a torn tail were left out.
///
/// # Errors
/// As [`read_entries`].
pub fn read_journal(plan: &Path) -> Result<(Vec<Entry>, usize), Trouble> {
    let paths = JobPaths::of(plan);
    let bytes = read(&RealDisk, &paths)?.unwrap_or_default();
    let found = trusted(&bytes, &paths)?;
    Ok((found.entries, bytes.len() - found.good))
}

fn read(disk: &dyn Disk, paths: &JobPaths) -> Result<Option<Vec<u8>>, Trouble> {
    let path = &paths.journal;
    let found = disk.read_lines(path, MOST, LONGEST);
    found.map_err(|source| match source.kind() {
        ErrorKind::FileTooLarge => Trouble::TooBig {
            path: path.clone(),
            most: MOST,
        },
        _ => Trouble::read(path)(source),
    })
}

fn trusted(bytes: &[u8], paths: &JobPaths) -> Result<Scan, Trouble> {
    let scan = scan(bytes);
    let rest = bytes.len() - scan.good;
    let line = scan.entries.len() + 1;
    let what = "the line is longer than any entry".to_owned();
    let too_long = (rest > LONGEST).then_some((line, what));
    let damage = scan.damage.as_ref();
    let damage = damage.map(|(line, flaw)| (*line, flaw.to_string()));
    match too_long.or(damage) {
        None => Ok(scan),
        Some((line, what)) => Err(Trouble::Damaged {
            path: paths.journal.clone(),
            line,
            what,
        }),
    }
}

impl Store {
    /// Opens the journal of a plan on the computer's disk.
    ///
    /// # Errors
    /// As [`Store::open_on`].
    pub fn open(plan: &Path) -> Result<Opened, Trouble> {
        Self::open_on(Box::new(RealDisk), plan, Locking::Lock)
    }

    /// Opens the journal of a plan: takes the lock, reads every record, repairs a torn tail and makes
    /// ready to append. Where that is not possible (another copy, a folder that may not be written, a
    /// full disk), the records are still given and the mode says why no more can be added.
    ///
    /// # Errors
    /// [`Trouble::NotAPlan`], [`Trouble::Damaged`], [`Trouble::TooBig`] or [`Trouble::Read`]; nothing was changed then.
    pub fn open_on(disk: Box<dyn Disk>, plan: &Path, locking: Locking) -> Result<Opened, Trouble> {
        let paths = JobPaths::of(plan);
        if [&paths.journal, &paths.lock].contains(&&paths.plan) {
            return Err(Trouble::NotAPlan { path: paths.plan });
        }
        // the lock first: nobody may write between our reading and our appending
        let lock = lock::take(&*disk, &paths, locking);
        let bytes = read(&*disk, &paths)?;
        let found = trusted(bytes.as_deref().unwrap_or_default(), &paths)?;
        let good = bytes.as_deref().unwrap_or_default().get(..found.good);
        let mut store = Self {
            good: found.good as u64,
            read_crc: crc32fast::hash(good.unwrap_or_default()),
            next: found.entries.len() as u64 + 1,
            state: State::Waiting(Trouble::Busy),
            file: paths.journal.clone(),
            disk,
            paths,
            locking,
        };
        let mut repaired = None;
        match lock.and_then(|lock| store.begin(lock, bytes.as_deref(), &found)) {
            Ok(copy) => repaired = copy,
            Err(trouble) => store.state = State::Waiting(trouble),
        }
        Ok(Opened {
            entries: found.entries,
            mode: store.mode(),
            store,
            repaired,
        })
    }

    /// Whether records can be added now.
    #[must_use]
    pub fn mode(&self) -> Mode {
        match &self.state {
            State::Writing { .. } => Mode::Writable,
            State::Waiting(why @ (Trouble::Busy | Trouble::Held { .. })) => {
                Mode::ReadOnly(why.to_string())
            }
            State::Waiting(why) => Mode::Refused(why.to_string()),
        }
    }

    /// The note that stands for the lock, where the disk knows none.
    #[must_use]
    pub fn noted(&self) -> Option<&Path> {
        match &self.state {
            State::Writing { lock, .. } => lock.noted(),
            State::Waiting(_) => None,
        }
    }

    /// The files of this job.
    #[must_use]
    pub fn paths(&self) -> &JobPaths {
        &self.paths
    }

    /// The number that the next record must have.
    #[must_use]
    pub fn next_seq(&self) -> u64 {
        self.next
    }

    /// Adds a record. When this returns `Ok`, the record is on the disk; when not, it is absent and the
    /// same call may be made again.
    ///
    /// # Errors
    /// A [`Trouble`] that says what to do first.
    pub fn append(&mut self, entry: &Entry) -> Result<(), Trouble> {
        self.append_all(std::slice::from_ref(entry))
    }

    /// Adds records in one write and one sync: all of them, or none. Only a power cut in the middle may
    /// leave the first few.
    ///
    /// # Errors
    /// As [`Store::append`].
    pub fn append_all(&mut self, entries: &[Entry]) -> Result<(), Trouble> {
        let mut lines = String::new();
        let mut due = self.next;
        for entry in entries {
            if entry.seq != due {
                let given = entry.seq;
                return Err(Trouble::Order { given, due });
            }
            lines += &encode(entry)?;
            due += 1;
        }
        if let State::Waiting(_) = self.state {
            self.try_again()?;
        }
        self.write(lines.as_bytes())?;
        self.good += lines.len() as u64;
        self.next = due;
        Ok(())
    }

    fn write(&mut self, lines: &[u8]) -> Result<(), Trouble> {
        let path = &self.file;
        let State::Writing {
            tape, named, dirty, ..
        } = &mut self.state
        else {
            return Err(Trouble::Busy);
        };
        let tape = match tape {
            Some(tape) => tape,
            None => {
                let made = self.disk.open(path, Open::NewLike(&self.paths.plan));
                tape.insert(made.map_err(|why| match why.kind() {
                    ErrorKind::AlreadyExists => Trouble::MovedOn,
                    _ => Trouble::write(path)(why),
                })?)
            }
        };
        let changed = || Trouble::Changed { path: path.clone() };
        let length = tape.length_at(path).map_err(Trouble::write(path))?;
        let length = length.ok_or_else(changed)?;
        if *dirty && length >= self.good {
            tape.cut(self.good).map_err(Trouble::write(path))?;
        } else if length != self.good {
            return Err(changed());
        }
        *dirty = true;
        let mut written = tape.write(lines).and_then(|()| tape.sync());
        if !*named && written.is_ok() {
            // else the file itself may be missing after a power cut
            written = self.disk.sync_folder(&self.paths.folder);
            *named = written.is_ok();
        }
        // what was written in part must not be read as a torn tail, nor be glued to the next line
        *dirty = written.is_err() && tape.cut(self.good).and_then(|()| tape.sync()).is_err();
        written.map_err(Trouble::write(path))
    }

    /// Writes every record anew, for the file that held them is gone or is another one: under the
    /// journal's own name where that is free, else beside it. What is to be told, in words.
    ///
    /// # Errors
    /// As [`Store::append`]; nothing has changed then.
    pub fn write_anew(&mut self, entries: &[Entry]) -> Result<String, Trouble> {
        let journal = &self.paths.journal;
        let mut lines = String::new();
        for entry in entries {
            lines += &encode(entry)?;
        }
        let names = std::iter::once(journal.clone()).chain((1..1000).map(|n| self.paths.kept(n)));
        for name in names {
            let tape = match self.disk.open(&name, Open::NewLike(&self.paths.plan)) {
                Err(e) if e.kind() == ErrorKind::AlreadyExists => continue,
                other => other,
            };
            let written = tape.and_then(|mut tape| {
                tape.write(lines.as_bytes())?;
                tape.sync()?;
                self.disk.sync_folder(&self.paths.folder)?;
                Ok(tape)
            });
            let fresh = written.map_err(Trouble::write(&name))?;
            let State::Writing { tape, dirty, .. } = &mut self.state else {
                return Err(Trouble::Busy);
            };
            (*tape, *dirty) = (Some(fresh), false);
            self.good = lines.len() as u64;
            self.next = entries.len() as u64 + 1;
            let words = if name == *journal {
                format!(
                    "the journal was gone; all {} entries were written again",
                    entries.len()
                )
            } else {
                format!(
                    "another program changed the journal; all {} entries of this job are in {}. Compare the \
                     two after leaving, and keep the right one as {}",
                    entries.len(),
                    show(&name),
                    show(journal)
                )
            };
            self.file = name;
            return Ok(words);
        }
        Err(Trouble::Changed {
            path: journal.clone(),
        })
    }

    /// Another attempt at what could not be had when the job was opened.
    fn try_again(&mut self) -> Result<(), Trouble> {
        let lock = lock::take(&*self.disk, &self.paths, self.locking)?;
        let bytes = read(&*self.disk, &self.paths)?;
        let found = trusted(bytes.as_deref().unwrap_or_default(), &self.paths)?;
        let good = bytes.as_deref().unwrap_or_default().get(..found.good);
        if crc32fast::hash(good.unwrap_or_default()) != self.read_crc
            || found.good as u64 != self.good
        {
            return Err(Trouble::MovedOn);
        }
        self.begin(lock, bytes.as_deref(), &found)?;
        Ok(())
    }

    /// Makes ready to append behind what was found, keeping a copy of a torn journal.
    fn begin(
        &mut self,
        lock: Lock,
        bytes: Option<&[u8]>,
        found: &Scan,
    ) -> Result<Option<(PathBuf, usize)>, Trouble> {
        let path = &self.paths.journal;
        let torn = bytes.filter(|bytes| found.is_torn(bytes.len()));
        let kept = torn.map(|bytes| self.keep_copy(bytes)).transpose()?;
        let cut = bytes.map_or(0, |bytes| bytes.len() - found.good);
        let copy = kept.map(|copy| (copy, cut));
        let ready = || {
            // looking at a job that has none makes none
            if bytes.is_none() {
                // a link to nowhere is not followed
                return match path.symlink_metadata() {
                    Ok(_) => Err(ErrorKind::AlreadyExists.into()),
                    Err(_) => Ok(None),
                };
            }
            let mut tape = self.disk.open(path, Open::Append)?;
            if copy.is_some() {
                tape.cut(self.good)?;
                tape.sync()?;
            }
            Ok(Some(tape))
        };
        self.state = State::Writing {
            tape: ready().map_err(Trouble::write(path))?,
            named: bytes.is_some(),
            dirty: false,
            lock,
        };
        Ok(copy)
    }

    /// Writes the journal as found under the first free name for torn ones.
    fn keep_copy(&self, bytes: &[u8]) -> Result<PathBuf, Trouble> {
        for n in 1..1000 {
            let copy = self.paths.torn(n);
            match self.disk.open(&copy, Open::NewLike(&self.paths.journal)) {
                Ok(mut tape) => {
                    let kept = tape.write(bytes).and_then(|()| tape.sync());
                    let kept = kept.and_then(|()| self.disk.sync_folder(&self.paths.folder));
                    if kept.is_err() {
                        drop(tape);
                        // half a copy is of no use; the refusal above is the one to tell
                        let _ = self.disk.remove(&copy);
                    }
                    return kept.map_err(Trouble::write(&copy)).map(|()| copy);
                }
                Err(e) if e.kind() == ErrorKind::AlreadyExists => {
                    // kept on an earlier attempt that got no further
                    if let Ok(Some(there)) = self.disk.read(&copy, MOST)
                        && there == bytes
                    {
                        return Ok(copy);
                    }
                }
                Err(e) => return Err(Trouble::write(&copy)(e)),
            }
        }
        Err(Trouble::write(&self.paths.torn(1000))(
            ErrorKind::AlreadyExists.into(),
        ))
    }
}
