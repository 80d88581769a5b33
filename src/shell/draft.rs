//! Drafting with all the computer's cores, and the plan file that comes of it.

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use super::Trouble;
use super::disk::RealDisk;
use super::paths::{self, JobPaths};
use super::replace::create;
use super::shelf::{self, SHELF_FILE};
use super::shop::{self, SHOP_FILE};
use crate::planner::costs::Prices;
use crate::planner::draft::{
    Drafted, Grid, Misses, NoPlan, Progress, SearchResult, Wish, conclude, explain_with, outlook,
    search_one,
};
use crate::planner::learn::{Lessons, learn};

/// Most threads of a search.
const THREADS: usize = 8;

/// What this shop has taught so far.
#[derive(Debug)]
pub struct Taught {
    pub lessons: Lessons,
    /// Journals they come from.
    pub journals: usize,
    /// What was left aside, and why.
    pub trouble: Vec<String>,
    /// The smith's own prices.
    pub prices: Prices,
}

/// Learns from the journals and the shop file of the folder that the program runs in.
#[must_use]
pub fn taught() -> Taught {
    let found = shop::read(Path::new("drafted.toml"));
    let mut trouble = found.trouble;
    let book = found.book.unwrap_or_else(|why| {
        trouble.push(why);
        Default::default()
    });
    let sessions: Vec<_> = found.others.iter().collect();
    Taught {
        lessons: learn(&sessions, &book, None),
        journals: sessions.len(),
        trouble,
        prices: book.prices,
    }
}

/// Searches the whole grid of a wish. `told` hears how far it is, from any thread; `stop` ends it.
///
/// # Errors
/// [`NoPlan`]: stopped, or what rules out every plan.
pub fn search(
    wish: &Wish,
    taught: &Taught,
    stop: &AtomicBool,
    told: &(dyn Fn(Progress) + Sync),
) -> Result<Drafted, NoPlan> {
    let wish = &with_shelf(wish).map_err(|why| NoPlan::because(&why.to_string()))?;
    let grid =
        Grid::of(wish, &taught.lessons).map_err(|why| NoPlan::because(&why.sentence(wish)))?;
    let goes_on = || !stop.load(Ordering::Relaxed);
    let empty = SearchResult {
        finished: true,
        ..SearchResult::default()
    };
    let (done, plans) = (AtomicUsize::new(0), AtomicUsize::new(0));
    let one = |at, found: &mut SearchResult| {
        search_one(&grid, at, found);
        let most = found.front.len();
        told(Progress {
            done: done.fetch_add(1, Ordering::Relaxed) + 1,
            of: grid.outer(),
            plans: plans.fetch_max(most, Ordering::Relaxed).max(most),
        });
    };
    let found = over_threads(grid.outer(), &goes_on, &empty, &one, |a, b| a.merge(&b));
    let Some(found) = found else {
        return Err(NoPlan::Stopped);
    };
    if found.front.is_empty() {
        let why = explain_with(&grid, &mut |empty| {
            let one = |at, misses: &mut Misses| misses.look(&grid, at);
            over_threads(grid.outer(), &goes_on, &empty, &one, |a, b| a.merge(&b))
        });
        return Err(why.map_or(NoPlan::Stopped, NoPlan::Limits));
    }
    let grades: Vec<&str> = wish
        .rack
        .iter()
        .map(|bar| bar.steel.steel.grade.as_str())
        .collect();
    let offers = conclude(&grid, &found, taught.prices.rates(&grades))?;
    let offers = offers.into_iter().map(|offer| {
        let seen = outlook(&offer, &taught.lessons).priced(&offer, &taught.prices);
        (offer, seen)
    });
    Ok(Drafted {
        wish: wish.clone(),
        offers: offers.collect(),
        candidates: grid.candidates(),
        journals: taught.journals,
    })
}

/// The wish with what lies on the shelf of the folder that the program runs in, where that is wanted.
fn with_shelf(wish: &Wish) -> Result<Wish, Trouble> {
    let mut wish = wish.clone();
    if wish.uses_shelf {
        wish.shelf = shelf::read(Path::new("."))?.plain();
    }
    Ok(wish)
}

/// Every thread takes the next outermost choice until none is left, and goes on with what it has found
/// so far; all together in the end, or none when it was stopped.
fn over_threads<T: Clone + Send + Sync>(
    of: usize,
    goes_on: &(dyn Fn() -> bool + Sync),
    empty: &T,
    one: &(dyn Fn(usize, &mut T) + Sync),
    merge: impl Fn(T, T) -> T,
) -> Option<T> {
    let threads = std::thread::available_parallelism().map_or(2, |n| n.get().clamp(1, THREADS));
    let next = AtomicUsize::new(0);
    let work = || {
        let mut own = empty.clone();
        while goes_on() {
            let at = next.fetch_add(1, Ordering::Relaxed);
            if at >= of {
                break;
            }
            one(at, &mut own);
        }
        own
    };
    let parts = std::thread::scope(|scope| {
        let others: Vec<_> = (1..threads).map(|_| scope.spawn(work)).collect();
        let mut parts = vec![work()];
        // a thread that failed has ended the program already
        parts.extend(others.into_iter().filter_map(|other| other.join().ok()));
        parts
    });
    goes_on().then(|| parts.into_iter().fold(empty.clone(), merge))
}

/// Writes a plan as a new file; the name gets its ending where it has none.
///
/// # Errors
/// [`Trouble`]: the name is taken, or belongs to other files; nothing was changed.
pub fn save(name: &Path, text: &str) -> Result<PathBuf, Trouble> {
    if name.file_name().is_none_or(std::ffi::OsStr::is_empty) {
        return Err(Trouble::NoName);
    }
    let mut path = name.to_owned();
    if path.extension().is_none_or(|end| end != "toml") {
        let mut whole = path.into_os_string();
        whole.push(".toml");
        path = PathBuf::from(whole);
    }
    let other = name
        .extension()
        .is_some_and(|end| end == "journal" || end == "lock");
    if other || path.file_name().is_some_and(|file| file == "Cargo.toml") {
        let path = name.to_owned();
        return Err(Trouble::OthersName { path });
    }
    for (own, whose) in [(SHELF_FILE, "the shelf's"), (SHOP_FILE, "the shop file's")] {
        if path.file_name().is_some_and(|file| file == own) {
            return Err(Trouble::OwnName { path, whose });
        }
    }
    let folder = paths::folder(&path);
    if !folder.is_dir() {
        return Err(Trouble::NoFolder { path: folder });
    }
    // a plan must not take up another job's record
    let job = JobPaths::of(&path);
    if job.journal.exists() {
        return Err(Trouble::OthersJournal { path: job.journal });
    }
    create(&RealDisk, &path, text.as_bytes())?;
    Ok(std::path::absolute(&path).unwrap_or(path))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::planner::draft::{Form, draft};

    fn wish(pairs: &[(&str, &str)]) -> Wish {
        let mut form = Form::default();
        for (key, text) in pairs {
            form.put(key, text).unwrap();
        }
        form.wish().unwrap()
    }

    fn nothing() -> Taught {
        Taught {
            lessons: learn(&[], &Default::default(), None),
            journals: 0,
            trouble: Vec::new(),
            prices: Prices::default(),
        }
    }

    #[test]
    fn threads_find_what_one_finds() {
        let wish = wish(&[
            ("length", "150"),
            ("width", "32"),
            ("press", "25t"),
            ("steel", "1084=6mm x 40mm; 15N20=3mm x 40mm"),
        ]);
        let told = AtomicUsize::new(0);
        let count = |progress: Progress| {
            assert!(progress.done <= progress.of);
            told.fetch_add(1, Ordering::Relaxed);
        };
        let many = search(&wish, &nothing(), &AtomicBool::new(false), &count).unwrap();
        let one = draft(&wish, &nothing().lessons, &|_| true).unwrap();
        assert_eq!(told.load(Ordering::Relaxed), 15);
        let texts = |offers: Vec<&str>| offers.join("\n");
        assert_eq!(
            texts(many.offers.iter().map(|one| one.0.text.as_str()).collect()),
            texts(one.iter().map(|one| one.text.as_str()).collect())
        );
        let stopped = search(&wish, &nothing(), &AtomicBool::new(true), &|_| {});
        assert_eq!(stopped.unwrap_err(), NoPlan::Stopped);
    }

    #[test]
    fn a_plan_is_written_once_and_never_over_another() {
        let dir = tempfile::tempdir().unwrap();
        let name = dir.path().join("knife");
        let path = save(&name, "one").unwrap();
        assert_eq!(path, dir.path().join("knife.toml"));
        let why = save(&path, "two").unwrap_err().to_string();
        assert!(why.contains("there already"), "{why}");
        assert_eq!(std::fs::read_to_string(&path).unwrap(), "one");
        assert_eq!(std::fs::read_dir(dir.path()).unwrap().count(), 1);
        std::fs::File::create(dir.path().join("old.journal")).unwrap();
        for (name, said) in [
            ("old.toml", "another job's journal"),
            ("gone/a.toml", "is not there"),
            ("anvilside.shop.toml", "shop file"),
            ("anvilside.shelf.toml", "the shelf's name"),
            ("new.journal", "other files"),
            ("new.lock", "other files"),
            ("Cargo.toml", "other files"),
            ("..", "give the file a name"),
        ] {
            let why = save(&dir.path().join(name), "x").unwrap_err().to_string();
            assert!(why.contains(said), "{name}: {why}");
        }
    }
}
