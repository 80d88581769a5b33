//! The billets of a folder and of recent use, however many: what is known of each is kept in an index, so
//! that only what has changed is read again. The index is a cache; without it the list comes later.

use std::collections::{BTreeSet, HashMap};
use std::fs::{self, File};
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;
use std::time::SystemTime;

use serde::{Deserialize, Serialize};

use super::disk::RealDisk;
use super::load::load;
use super::paths::JobPaths;
use super::recent::Recent;
use super::replace::{replace_private, tidy};
use crate::session::Brief;
use crate::units::{Stamp, show};

/// Name of the index in the state folder.
pub const INDEX: &str = "billets.index";
/// Most lines of the index.
const MOST: usize = 50_000;
/// Rows that are told together while files are read.
const BATCH: usize = 16;

/// A billet, before anything of it is read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Billet {
    /// The plan file.
    pub plan: PathBuf,
    /// When its journal was last written; none where there is no journal.
    pub worked: Option<Stamp>,
    marks: Marks,
}

/// What is known of a billet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum BilletInfo {
    /// The job in a few words.
    Job(Brief),
    /// It cannot be opened: why.
    Damaged(String),
    /// The file is no plan.
    NoPlan,
}

/// Length and time of change, of the plan and of its journal: while they stay, so does what is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
struct Marks([u64; 4]);

#[derive(Serialize, Deserialize)]
struct Line {
    plan: PathBuf,
    marks: Marks,
    known: BilletInfo,
}

/// The plans of these folders and of recent use, those worked last first, then those without a journal by
/// name. Nothing of them is read yet.
#[must_use]
pub fn billets(folders: &[&Path], state: Option<&Path>) -> Vec<Billet> {
    let recent = state.map(|folder| Recent::in_folder(folder).plans());
    let here = folders.iter().flat_map(|folder| tomls(folder));
    let mut seen = BTreeSet::new();
    let mut all: Vec<Billet> = here
        .chain(recent.unwrap_or_default())
        .filter(|plan| seen.insert(std::path::absolute(plan).unwrap_or_else(|_| plan.clone())))
        .filter_map(billet)
        .collect();
    all.sort_by(|a, b| (b.worked, &a.plan).cmp(&(a.worked, &b.plan)));
    all
}

fn tomls(folder: &Path) -> Vec<PathBuf> {
    let files = fs::read_dir(folder).into_iter().flatten().flatten();
    files
        .filter(|file| {
            let name = file.file_name();
            let toml = Path::new(&name)
                .extension()
                .is_some_and(|end| end == "toml");
            toml && name != "Cargo.toml" && name != "clippy.toml"
        })
        // a plan of this folder is shown by its name alone
        .map(|file| match folder.as_os_str().to_str() {
            Some(".") => PathBuf::from(file.file_name()),
            _ => file.path(),
        })
        .collect()
}

fn billet(plan: PathBuf) -> Option<Billet> {
    let about = fs::metadata(&plan).ok().filter(fs::Metadata::is_file)?;
    let journal = fs::metadata(JobPaths::of(&plan).journal).ok();
    let time = |about: &fs::Metadata| {
        let since = about
            .modified()
            .ok()?
            .duration_since(SystemTime::UNIX_EPOCH);
        since.ok()
    };
    let nanos = |about: &fs::Metadata| {
        let since = time(about).unwrap_or_default();
        u64::try_from(since.as_nanos()).unwrap_or(u64::MAX)
    };
    let worked = journal.as_ref().and_then(time);
    let worked = worked.and_then(|since| i64::try_from(since.as_millis()).ok());
    let marks = [
        about.len(),
        nanos(&about),
        journal.as_ref().map_or(0, fs::Metadata::len),
        journal.as_ref().map_or(0, nanos),
    ];
    Some(Billet {
        plan,
        worked: worked.map(Stamp),
        marks: Marks(marks),
    })
}

/// Tells what is known of every billet, by its place in the list: at first all that the index has, then
/// the rest as it is read, in order. `told` answers false to stop. The index is brought up to date.
pub fn read(
    billets: &[Billet],
    state: Option<&Path>,
    told: &(impl Fn(Vec<(usize, BilletInfo)>) -> bool + Sync),
) {
    let index = state.map(|folder| folder.join(INDEX));
    let mut held = index.as_deref().map(read_index).unwrap_or_default();
    let mut known = Vec::with_capacity(billets.len());
    let mut unread = Vec::new();
    for (at, billet) in billets.iter().enumerate() {
        let full = std::path::absolute(&billet.plan).unwrap_or_else(|_| billet.plan.clone());
        match held
            .remove(&full)
            .filter(|(marks, _)| *marks == billet.marks)
        {
            Some((_, one)) => known.push((at, one)),
            None => unread.push(at),
        }
    }
    let fresh = unread.is_empty();
    if !told(known.clone()) {
        return;
    }
    let read = Mutex::new(known);
    let next = AtomicUsize::new(0);
    let work = || {
        loop {
            let from = next.fetch_add(BATCH, Ordering::Relaxed);
            let mine = unread.get(from..(from + BATCH).min(unread.len()));
            let Some(mine) = mine.filter(|mine| !mine.is_empty()) else {
                return;
            };
            let places = mine.iter().filter_map(|at| Some((*at, billets.get(*at)?)));
            let found: Vec<(usize, BilletInfo)> = places
                .map(|(at, billet)| (at, known_of(&billet.plan)))
                .collect();
            if let Ok(mut read) = read.lock() {
                read.extend(found.iter().cloned());
            }
            if !told(found) {
                next.store(unread.len(), Ordering::Relaxed);
                return;
            }
        }
    };
    let hands = thread::available_parallelism()
        .map_or(1, usize::from)
        .min(8);
    thread::scope(|scope| {
        for _ in 1..hands {
            scope.spawn(work);
        }
        work();
    });
    if let (Some(index), false, Ok(read)) = (index, fresh, read.into_inner()) {
        // without an index the next list only takes longer
        let _ = write_index(&index, billets, read, held);
    }
}

fn known_of(plan: &Path) -> BilletInfo {
    match load(plan) {
        Ok((session, _)) => BilletInfo::Job(session.brief()),
        Err(why) => {
            let looks_so = || {
                let text = super::watch::read(plan).unwrap_or_default();
                text.contains("[[step]]")
            };
            // a file that is no plan at all is not listed
            if why.contains("journal") || looks_so() {
                BilletInfo::Damaged(show::plain(&why, 200))
            } else {
                BilletInfo::NoPlan
            }
        }
    }
}

/// What the first line of an index says of its maker; another version's is not read.
fn maker() -> String {
    format!("anvilside {} 1", env!("CARGO_PKG_VERSION"))
}

fn read_index(path: &Path) -> HashMap<PathBuf, (Marks, BilletInfo)> {
    let plain = path.symlink_metadata().is_ok_and(|about| about.is_file());
    let Some(file) = plain.then(|| File::open(path).ok()).flatten() else {
        return HashMap::new();
    };
    let mut lines = BufReader::new(file).lines().map_while(Result::ok);
    if lines.next() != Some(maker()) {
        return HashMap::new();
    }
    let read = lines.map_while(|line| serde_json::from_str::<Line>(&line).ok());
    read.take(MOST)
        .map(|line| (line.plan, (line.marks, line.known)))
        .collect()
}

/// The billets of this list, and those of other folders as they were.
fn write_index(
    path: &Path,
    billets: &[Billet],
    read: Vec<(usize, BilletInfo)>,
    others: HashMap<PathBuf, (Marks, BilletInfo)>,
) -> Option<()> {
    let mut text = (maker() + "\n").into_bytes();
    let own = read.into_iter().filter_map(|(at, known)| {
        let billet = billets.get(at)?;
        let plan = std::path::absolute(&billet.plan).ok()?;
        Some((plan, (billet.marks, known)))
    });
    for (plan, (marks, known)) in own.chain(others).take(MOST) {
        // a name that is no text is read anew each time
        if let Ok(line) = serde_json::to_string(&Line { plan, marks, known }) {
            writeln!(text, "{line}").ok()?;
        }
    }
    let state = path.parent()?;
    fs::create_dir_all(state).ok()?;
    tidy(&RealDisk, state);
    replace_private(&RealDisk, path, &text).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::journal::{Event, encode};
    use crate::session::Standing;
    use crate::shell::replace::replace;

    fn all(billets: &[Billet], state: &Path) -> (usize, Vec<BilletInfo>) {
        let told = Mutex::new(Vec::new());
        read(billets, Some(state), &|rows| {
            told.lock().unwrap().push(rows);
            true
        });
        let told = told.into_inner().unwrap();
        let first = told.first().map_or(0, Vec::len);
        let mut rows: Vec<(usize, BilletInfo)> = told.into_iter().flatten().collect();
        rows.sort_by_key(|(at, _)| *at);
        (first, rows.into_iter().map(|(_, known)| known).collect())
    }

    fn put(path: &Path, text: &str) {
        replace(&RealDisk, path, text.as_bytes()).unwrap();
    }

    #[test]
    fn what_the_index_knows_is_not_read_again_and_what_has_changed_is() {
        let dir = tempfile::tempdir().unwrap();
        let (shop, state) = (dir.path().join("shop"), dir.path().join("state"));
        fs::create_dir_all(&shop).unwrap();
        let text = include_str!("../../plans/three-layer.toml");
        for name in ["a", "b", "c"] {
            put(&shop.join(format!("{name}.toml")), text);
        }
        put(&shop.join("notes.toml"), "[other]\nthing = 1\n");
        put(&shop.join("wrong.toml"), "title = 3\n[[step]]\n");
        let first = crate::shell::load::first_entry(text, Stamp(1_000));
        let legal = crate::journal::Entry {
            seq: 2,
            at: Stamp(2_000),
            event: Event::LegalRead,
        };
        let begun = encode(&first).unwrap() + &encode(&legal).unwrap();
        put(&shop.join("c.journal"), &begun);
        let list = || billets(&[&shop], None);
        let found = list();
        assert_eq!(found.len(), 5);
        assert!(
            found[0].plan.ends_with("c.toml"),
            "what was worked is first"
        );
        let (at_once, known) = all(&found, &state);
        assert_eq!(at_once, 0);
        let BilletInfo::Job(job) = &known[0] else {
            panic!("{known:?}")
        };
        assert_eq!(job.standing, Standing::Unfinished);
        assert!(job.place.starts_with("step 1 of"), "{}", job.place);
        assert!(
            job.goal.contains("bands") && !job.size.is_empty(),
            "{job:?}"
        );
        assert!(matches!(&known[1], BilletInfo::Job(job) if job.standing == Standing::NotBegun));
        assert_eq!(known[3], BilletInfo::NoPlan);
        assert!(matches!(&known[4], BilletInfo::Damaged(_)), "{known:?}");
        // all of it from the index now, and the same
        assert_eq!(all(&list(), &state), (5, known.clone()));
        put(&shop.join("c.journal"), "1 nonsense\n");
        let (at_once, changed) = all(&list(), &state);
        assert_eq!(at_once, 4);
        assert!(matches!(&changed[0], BilletInfo::Damaged(why) if why.contains("line 1")));
        // a cache: gone, or of nobody's making, it is made again
        for spoilt in ["", "anvilside 0.0.0 9\n{}\n", "\0\0"] {
            put(&state.join(INDEX), spoilt);
            assert_eq!(all(&list(), &state), (0, changed.clone()));
        }
        fs::remove_file(state.join(INDEX)).unwrap();
        assert_eq!(all(&list(), &state), (0, changed));
    }
}
