//! The other journals of a plan's folder, and the shop file beside them.

use std::path::{Path, PathBuf};

use super::Trouble;
use super::disk::RealDisk;
use super::guard::caught;
use super::paths::{self, JobPaths};
use super::replace::{read_text, replace_like};
use super::store::read_entries;
use crate::planner::learn::{BookEdit, ShopBook};
use crate::planner::tally::Tally;
use crate::session::Session;
use crate::units::Stamp;

/// Name of the shop file.
pub const SHOP_FILE: &str = "anvilside.shop.toml";
/// Most bytes of a shop file.
const MOST: u64 = 1 << 20;
/// Most journals that are learnt from, the newest first.
const JOURNALS: usize = 60;

/// What lies in the folder.
#[derive(Debug, Clone)]
pub struct Shop {
    /// Jobs whose journals can be read, the plan's own left out.
    pub others: Vec<Session>,
    /// The shop file; an empty book where there is none.
    pub book: Result<ShopBook, String>,
    /// Journals left aside, and why.
    pub trouble: Vec<String>,
    /// Sums over all jobs that were read.
    pub tally: Tally,
}

/// The shop file of a plan's folder.
#[must_use]
pub fn shop_file(plan: &Path) -> PathBuf {
    JobPaths::of(plan).folder.join(SHOP_FILE)
}

/// Reads the folder of a plan. Nothing is locked, changed or mended.
#[must_use]
pub fn read(plan: &Path) -> Shop {
    gather(plan, JOURNALS)
}

/// The same with every journal of the folder in the sums; the newest alone are learnt from.
#[must_use]
pub fn read_all(plan: &Path) -> Shop {
    gather(plan, usize::MAX)
}

fn gather(plan: &Path, most: usize) -> Shop {
    let own = JobPaths::of(plan);
    let mut journals: Vec<PathBuf> = std::fs::read_dir(&own.folder)
        .map(|files| files.flatten().map(|file| file.path()).collect())
        .unwrap_or_default();
    journals.retain(|path| {
        path.extension().is_some_and(|end| end == "journal")
            && path.file_name() != own.journal.file_name()
    });
    let changed = |path: &PathBuf| path.metadata().and_then(|about| about.modified()).ok();
    journals.sort_by_cached_key(|path| (std::cmp::Reverse(changed(path)), path.clone()));
    let mut shop = Shop {
        others: Vec::new(),
        book: read_book(plan).map_err(String::from),
        trouble: Vec::new(),
        tally: Tally::default(),
    };
    for path in journals.into_iter().take(most) {
        let entries = match read_entries(&path.with_extension("toml")) {
            Ok(entries) if entries.is_empty() => continue,
            Ok(entries) => entries,
            Err(why) => {
                shop.trouble.push(why.to_string());
                continue;
            }
        };
        let folded = caught(|| Session::fold(entries));
        match folded.map(|folded| folded.map_err(|why| why.to_string())) {
            Ok(Ok(mut session)) => {
                shop.tally.add(&session);
                if shop.others.len() < JOURNALS {
                    shop.others.push(session.without_log());
                }
            }
            Ok(Err(why)) | Err(why) => {
                shop.trouble.push(format!("{}: {why}", paths::show(&path)));
            }
        }
    }
    // By time begun, so that sums do not depend on the order of the folder.
    shop.others
        .sort_by_key(|session| session.started.unwrap_or(Stamp(0)));
    shop
}

/// The shop file, or why it cannot be used.
///
/// # Errors
/// [`Trouble`].
pub fn read_book(plan: &Path) -> Result<ShopBook, Trouble> {
    let path = shop_file(plan);
    let text = read_text(&path, MOST, "a shop file")?.unwrap_or_default();
    ShopBook::read(&text).map_err(|why| Trouble::ShopFile { path, why })
}

/// Makes one change to the shop file as it is on the disk now; comments of the smith's own are not kept.
///
/// # Errors
/// [`Trouble`]; the file is then as it was.
pub fn edit_book(plan: &Path, edit: BookEdit) -> Result<ShopBook, Trouble> {
    let mut book = read_book(plan)?;
    book.edit(edit);
    let text = book.write();
    replace_like(&RealDisk, &shop_file(plan), text.as_bytes(), plan)?;
    Ok(book)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::planner::learn::Topic;
    use crate::shell::replace::replace;

    #[test]
    fn a_change_is_on_the_disk_and_a_damaged_file_is_left_alone() {
        let dir = tempfile::tempdir().unwrap();
        let plan = dir.path().join("a.toml");
        assert_eq!(read_book(&plan).unwrap(), ShopBook::default());
        edit_book(&plan, BookEdit::Pin(Topic::Trim, 7.5)).unwrap();
        edit_book(&plan, BookEdit::Pin(Topic::Grind, 0.4)).unwrap();
        let book = read_book(&plan).unwrap();
        assert!((book.pinned[&Topic::Trim] - 7.5).abs() < 1e-9);
        assert_eq!(book.pinned.len(), 2);
        edit_book(&plan, BookEdit::LetGo(Topic::Trim)).unwrap();
        assert_eq!(read_book(&plan).unwrap().pinned.len(), 1);
        replace(&RealDisk, &shop_file(&plan), b"[pinned]\nnonsense = 3\n").unwrap();
        let why = edit_book(&plan, BookEdit::Pin(Topic::Trim, 7.5));
        let why = why.unwrap_err().to_string();
        assert!(why.contains(SHOP_FILE) && why.contains("nonsense"), "{why}");
        let kept = std::fs::read_to_string(shop_file(&plan)).unwrap();
        assert!(kept.contains("nonsense"));
    }

    #[test]
    fn damaged_journals_are_named_and_the_others_count() {
        let dir = tempfile::tempdir().unwrap();
        let text = include_str!("../../plans/three-layer.toml");
        for name in ["a", "b"] {
            let plan = dir.path().join(format!("{name}.toml"));
            replace(&RealDisk, &plan, text.as_bytes()).unwrap();
            let mut store = crate::shell::Store::open(&plan).unwrap().store;
            let event = crate::journal::Event::Plan {
                hash: crc32fast::hash(text.as_bytes()),
                text: text.to_owned(),
            };
            let entry = crate::journal::Entry {
                seq: 1,
                at: Stamp(1),
                event,
            };
            store.append(&entry).unwrap();
        }
        let bad = "1 2026-03-02T08:00:00.000Z 00000000 {}\n1 x y z\n";
        replace(&RealDisk, &dir.path().join("c.journal"), bad.as_bytes()).unwrap();
        let shop = read(&dir.path().join("a.toml"));
        assert_eq!(shop.others.len(), 1);
        assert_eq!(shop.trouble.len(), 1, "{:?}", shop.trouble);
        assert!(shop.trouble[0].contains("c.journal"));
    }
}
