//! The folder that photographs come to: its newest pictures, and one of them counted.

use std::io;
use std::path::Path;
use std::sync::Arc;
use std::time::{SystemTime, UNIX_EPOCH};

use super::watch::Watch;
use super::{paths, photo, reading};
use crate::ui::{PhotoAsk, PhotoFile, PhotoFound, PhotoTold};
use crate::units::{Stamp, show};

/// Pictures that are offered: one a digit.
const OFFERED: usize = 9;

/// Tells the newest pictures of a folder, now and whenever it changes.
///
/// # Errors
/// When the system gives no thread.
pub(super) fn watch(
    folder: &Path,
    tell: impl Fn(PhotoTold) -> bool + Send + 'static,
) -> io::Result<Watch> {
    let own = folder.to_owned();
    let watch = Watch::folder(folder, move || tell(told(&own)))?;
    watch.look();
    Ok(watch)
}

fn told(folder: &Path) -> PhotoTold {
    let newest = newest(folder).map_err(|why| reading(folder, &why));
    PhotoTold::Newest(paths::show(folder), newest)
}

/// The newest pictures of a folder, the newest first.
fn newest(folder: &Path) -> io::Result<Vec<PhotoFile>> {
    let mut all: Vec<PhotoFile> = std::fs::read_dir(folder)?
        .filter_map(|entry| {
            let entry = entry.ok()?;
            let path = entry.path();
            let ext = path.extension()?.to_str()?.to_ascii_lowercase();
            let about = std::fs::metadata(&path)
                .ok()
                .filter(std::fs::Metadata::is_file)?;
            matches!(&*ext, "jpg" | "jpeg" | "png").then(|| PhotoFile {
                // a name that is no text is not offered: it could not be found again
                name: entry.file_name().to_str().unwrap_or_default().to_owned(),
                changed: about.modified().map_or(Stamp(0), stamp),
            })
        })
        .filter(|file| !file.name.is_empty() && show::safe(&file.name) == file.name)
        .collect();
    all.sort_by(|a, b| b.changed.cmp(&a.changed).then(a.name.cmp(&b.name)));
    all.truncate(OFFERED);
    Ok(all)
}

fn stamp(time: SystemTime) -> Stamp {
    let since = time.duration_since(UNIX_EPOCH).unwrap_or_default();
    Stamp(i64::try_from(since.as_millis()).unwrap_or(i64::MAX))
}

/// Counts one picture of the folder.
pub(super) fn count(folder: &Path, ask: &PhotoAsk) -> PhotoFound {
    let photo = match &ask.photo {
        Some(photo) => Ok(Arc::clone(photo)),
        None => photo::read(&folder.join(&ask.name)).map(Arc::new),
    };
    ask.clone().answer(photo.map_err(String::from))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_newest_pictures_come_first_and_nothing_else_is_offered() {
        let dir = tempfile::tempdir().unwrap();
        let put = |name: &str, age: u64| {
            let file = std::fs::File::create(dir.path().join(name)).unwrap();
            let then = UNIX_EPOCH + std::time::Duration::from_secs(1_795_597_953 - age);
            file.set_modified(then).unwrap();
        };
        put("old.JPG", 500);
        put("new.png", 5);
        put("middle.jpeg", 50);
        put("plan.toml", 1);
        put("odd\u{1b}[2J.jpg", 1);
        std::fs::create_dir(dir.path().join("folder.jpg")).unwrap();
        for n in 0..20 {
            put(&format!("older-{n}.jpg"), 1000 + n);
        }
        let found = newest(dir.path()).unwrap();
        let names: Vec<&str> = found.iter().map(|file| file.name.as_str()).collect();
        assert_eq!(
            &names[..4],
            ["new.png", "middle.jpeg", "old.JPG", "older-0.jpg"]
        );
        assert_eq!(names.len(), OFFERED);
        let PhotoTold::Newest(_, gone) = told(&dir.path().join("gone")) else {
            panic!("a list was asked for")
        };
        assert!(gone.unwrap_err().contains("is not there"));
    }
}
