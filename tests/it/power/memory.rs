//! A disk in memory that can be full, refuse a sync, and lose its power.

use std::collections::BTreeMap;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard};

use anvilside::shell::disk::{Disk, Lock, Open, Tape};

/// Shared by all clones, as a disk is by all programs.
#[derive(Debug, Clone, Default)]
pub(crate) struct MemoryDisk(Arc<Mutex<World>>);

#[derive(Debug, Clone, Default)]
struct World {
    names: BTreeMap<PathBuf, usize>,
    durable_names: BTreeMap<PathBuf, usize>,
    files: Vec<Content>,
    /// Bytes that may still be written; no limit when `None`.
    room: Option<usize>,
    /// Syncs that will still work; no limit when `None`.
    syncs: Option<usize>,
    /// No new files.
    closed: bool,
    /// A cut is refused.
    rigid: bool,
}

#[derive(Debug, Clone, Default)]
struct Content {
    live: Vec<u8>,
    durable: Vec<u8>,
}

impl MemoryDisk {
    fn world(&self) -> MutexGuard<'_, World> {
        self.0.lock().unwrap()
    }

    /// A disk with one file, all of it durable.
    pub(crate) fn with(path: &Path, bytes: &[u8]) -> Self {
        let disk = Self::default();
        disk.put(path, bytes);
        disk
    }

    pub(crate) fn put(&self, path: &Path, bytes: &[u8]) {
        let mut world = self.world();
        let id = world.files.len();
        world.files.push(Content {
            live: bytes.to_vec(),
            durable: bytes.to_vec(),
        });
        world.names.insert(path.to_owned(), id);
        world.durable_names.insert(path.to_owned(), id);
    }

    pub(crate) fn set_room(&self, room: Option<usize>) {
        self.world().room = room;
    }

    pub(crate) fn set_syncs(&self, syncs: Option<usize>) {
        self.world().syncs = syncs;
    }

    pub(crate) fn set_closed(&self, closed: bool) {
        self.world().closed = closed;
    }

    pub(crate) fn set_rigid(&self, rigid: bool) {
        self.world().rigid = rigid;
    }

    /// The names of all files.
    pub(crate) fn names(&self) -> Vec<PathBuf> {
        self.world().names.keys().cloned().collect()
    }

    pub(crate) fn bytes(&self, path: &Path) -> Option<Vec<u8>> {
        let world = self.world();
        world
            .names
            .get(path)
            .map(|&id| world.files[id].live.clone())
    }

    /// Every disk that may be found after the power fails now. What was synced is there; of what was
    /// written behind it, any part may be, or zeros in its place; names not synced may be there or not.
    pub(crate) fn after_power_cut(&self) -> Vec<Self> {
        let world = self.world();
        let mut found = Vec::new();
        for names in [&world.names, &world.durable_names] {
            let longest = world
                .files
                .iter()
                .map(|f| f.live.len().saturating_sub(f.durable.len()));
            for kept in 0..=longest.max().unwrap_or(0) {
                for zeros in [false, true] {
                    let after = |f: &Content| {
                        let bytes = f.after_power_cut(kept, zeros);
                        Content {
                            live: bytes.clone(),
                            durable: bytes,
                        }
                    };
                    let files = world.files.iter().map(after).collect();
                    found.push(Self(Arc::new(Mutex::new(World {
                        names: names.clone(),
                        durable_names: names.clone(),
                        files,
                        ..World::default()
                    }))));
                }
            }
        }
        found
    }
}

impl Content {
    fn after_power_cut(&self, kept: usize, zeros: bool) -> Vec<u8> {
        if !self.live.starts_with(&self.durable) {
            // a cut that was not synced: done or not
            return if zeros { &self.live } else { &self.durable }.clone();
        }
        let end = (self.durable.len() + kept).min(self.live.len());
        let mut bytes = self.live[..end].to_vec();
        if zeros {
            bytes[self.durable.len()..].fill(0);
        }
        bytes
    }
}

impl Disk for MemoryDisk {
    fn read(&self, path: &Path, most: u64) -> io::Result<Option<Vec<u8>>> {
        match self.bytes(path) {
            Some(bytes) if bytes.len() as u64 > most => Err(ErrorKind::FileTooLarge.into()),
            other => Ok(other),
        }
    }

    fn open(&self, path: &Path, how: Open<'_>) -> io::Result<Box<dyn Tape>> {
        let mut world = self.world();
        let id = match (world.names.get(path), how) {
            (Some(_), Open::New | Open::NewLike(_)) => return Err(ErrorKind::AlreadyExists.into()),
            (Some(&id), Open::Append) => id,
            (None, _) if world.closed => return Err(ErrorKind::PermissionDenied.into()),
            (None, _) => {
                let id = world.files.len();
                world.files.push(Content::default());
                world.names.insert(path.to_owned(), id);
                id
            }
        };
        let disk = self.clone();
        Ok(Box::new(MemoryTape { disk, id }))
    }

    fn lock(&self, _: &Path, _: &Path) -> io::Result<Option<Lock>> {
        if self.world().closed {
            return Err(ErrorKind::PermissionDenied.into());
        }
        Ok(Some(Lock::unshared()))
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        let mut world = self.world();
        let id = world.names.remove(from).ok_or(ErrorKind::NotFound)?;
        world.names.insert(to.to_owned(), id);
        Ok(())
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        let gone = self.world().names.remove(path);
        gone.map(drop).ok_or_else(|| ErrorKind::NotFound.into())
    }

    fn sync_folder(&self, _: &Path) -> io::Result<()> {
        let mut world = self.world();
        world.count_sync()?;
        world.durable_names = world.names.clone();
        Ok(())
    }
}

impl World {
    fn count_sync(&mut self) -> io::Result<()> {
        match &mut self.syncs {
            Some(0) => return Err(io::Error::other("the disk does not answer")),
            Some(left) => *left -= 1,
            None => {}
        }
        Ok(())
    }
}

#[derive(Debug)]
struct MemoryTape {
    disk: MemoryDisk,
    id: usize,
}

impl Tape for MemoryTape {
    fn write(&mut self, bytes: &[u8]) -> io::Result<()> {
        let mut world = self.disk.world();
        let fits = world.room.map_or(bytes.len(), |room| room.min(bytes.len()));
        world.files[self.id].live.extend_from_slice(&bytes[..fits]);
        if let Some(room) = &mut world.room {
            *room -= fits;
        }
        if fits < bytes.len() {
            return Err(ErrorKind::StorageFull.into());
        }
        Ok(())
    }

    fn sync(&mut self) -> io::Result<()> {
        let mut world = self.disk.world();
        world.count_sync()?;
        let file = &mut world.files[self.id];
        file.durable = file.live.clone();
        Ok(())
    }

    fn cut(&mut self, length: u64) -> io::Result<()> {
        let mut world = self.disk.world();
        if world.rigid {
            return Err(io::Error::other("the disk does not answer"));
        }
        world.files[self.id]
            .live
            .truncate(usize::try_from(length).unwrap());
        Ok(())
    }

    fn length_at(&self, path: &Path) -> io::Result<Option<u64>> {
        let world = self.disk.world();
        let named = world.names.get(path) == Some(&self.id);
        Ok(named.then(|| world.files[self.id].live.len() as u64))
    }
}
