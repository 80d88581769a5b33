//! Where things lie: the journal and its lock beside the plan, our own few files in the user's state
//! folder.

use std::ffi::OsString;
use std::path::{Path, PathBuf};

use etcetera::BaseStrategy;

use crate::units::show::commands;

/// Names the folder of our own files instead of the system's place for it.
pub const STATE_VARIABLE: &str = "ANVILSIDE_STATE";

/// The files that belong to one plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JobPaths {
    /// The plan itself; where it is a symbolic link, the file behind it.
    pub plan: PathBuf,
    /// `<plan stem>.journal` beside it.
    pub journal: PathBuf,
    /// `<plan stem>.lock` beside it.
    pub lock: PathBuf,
    /// The folder they lie in; `.` for a bare file name.
    pub folder: PathBuf,
}

impl JobPaths {
    /// The files of a plan. Symbolic links are followed so that one plan has one journal.
    #[must_use]
    pub fn of(plan: &Path) -> Self {
        let plan = followed(plan);
        // a copy under another ending does not take up the plan's own job
        let copy = plan.extension().is_some_and(|end| end != "toml")
            && plan.with_extension("toml").is_file();
        let beside = |end: &str| match plan.file_name().filter(|_| copy) {
            Some(name) => {
                let mut name = name.to_owned();
                name.push(format!(".{end}"));
                plan.with_file_name(name)
            }
            None => plan.with_extension(end),
        };
        Self {
            journal: beside("journal"),
            lock: beside("lock"),
            folder: folder(&plan),
            plan,
        }
    }

    /// The journal's own name.
    #[must_use]
    pub fn journal_name(&self) -> String {
        let name = self.journal.file_name().unwrap_or_default();
        name.to_string_lossy().into_owned()
    }

    /// Name for the `n`th copy of a journal that was found torn: `<stem>.journal.torn-<n>`.
    #[must_use]
    pub fn torn(&self, n: u32) -> PathBuf {
        self.beside(&format!("torn-{n}"))
    }

    /// Name for the `n`th copy of a job's records that were written anew: `<stem>.journal.kept-<n>`.
    #[must_use]
    pub fn kept(&self, n: u32) -> PathBuf {
        self.beside(&format!("kept-{n}"))
    }

    /// Name for the `n`th crash note: `<stem>.journal.crash-<n>`.
    #[must_use]
    pub fn crash(&self, n: u32) -> PathBuf {
        self.beside(&format!("crash-{n}"))
    }

    fn beside(&self, ending: &str) -> PathBuf {
        self.journal.with_extension(format!("journal.{ending}"))
    }
}

/// The file behind a symbolic link; any other path as it is.
#[must_use]
pub fn followed(path: &Path) -> PathBuf {
    if path.is_symlink() {
        path.canonicalize().unwrap_or_else(|_| path.to_owned())
    } else {
        path.to_owned()
    }
}

/// The folder a file lies in, never empty.
#[must_use]
pub fn folder(path: &Path) -> PathBuf {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
        _ => PathBuf::from("."),
    }
}

/// The folder of our own files: `given` (from [`STATE_VARIABLE`]) when it is not empty, else the
/// system's place for such things. `None` when the user has no home.
#[must_use]
pub fn state_folder(given: Option<OsString>) -> Option<PathBuf> {
    if let Some(given) = given.filter(|g| !g.is_empty()) {
        return Some(PathBuf::from(given));
    }
    let base = etcetera::choose_base_strategy().ok()?;
    // where the system has no place for state, its place for data serves
    let base = base.state_dir().unwrap_or_else(|| base.data_dir());
    Some(base.join("anvilside"))
}

/// A path as it may be shown on a terminal: what is not printable is replaced.
#[must_use]
pub fn show(path: &Path) -> String {
    let plain = |c: char| if commands(c) { '\u{fffd}' } else { c };
    path.to_string_lossy().chars().map(plain).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_files_lie_beside_the_plan() {
        let paths = JobPaths::of(Path::new("jobs/knife.toml"));
        assert_eq!(paths.journal, Path::new("jobs/knife.journal"));
        assert_eq!(paths.lock, Path::new("jobs/knife.lock"));
        assert_eq!(paths.folder, Path::new("jobs"));
        assert_eq!(paths.torn(2), Path::new("jobs/knife.journal.torn-2"));
        assert_eq!(paths.crash(1), Path::new("jobs/knife.journal.crash-1"));
        assert_eq!(JobPaths::of(Path::new("knife")).folder, Path::new("."));
        let dotted = JobPaths::of(Path::new("no.7.toml"));
        assert_eq!(dotted.journal, Path::new("no.7.journal"));
        assert_eq!(dotted.torn(1), Path::new("no.7.journal.torn-1"));
    }

    #[test]
    fn a_copy_under_another_ending_is_another_job() {
        let dir = tempfile::tempdir().unwrap();
        let old = dir.path().join("plan.old");
        assert_eq!(JobPaths::of(&old).journal, dir.path().join("plan.journal"));
        std::fs::File::create(dir.path().join("plan.toml")).unwrap();
        let paths = JobPaths::of(&old);
        assert_eq!(paths.journal, dir.path().join("plan.old.journal"));
        assert_eq!(paths.torn(1), dir.path().join("plan.old.journal.torn-1"));
        assert_eq!(paths.lock, dir.path().join("plan.old.lock"));
    }

    #[cfg(unix)]
    #[test]
    fn a_link_to_a_plan_shares_its_journal() {
        let dir = tempfile::tempdir().unwrap();
        let plan = dir.path().canonicalize().unwrap().join("knife.toml");
        std::fs::File::create(&plan).unwrap();
        let link = dir.path().join("today.toml");
        std::os::unix::fs::symlink(&plan, &link).unwrap();
        assert_eq!(JobPaths::of(&link), JobPaths::of(&plan));
    }

    #[test]
    fn our_own_folder_can_be_named() {
        assert_eq!(
            state_folder(Some("here".into())),
            Some(PathBuf::from("here"))
        );
        let system = state_folder(Some(OsString::new()));
        assert_eq!(system, state_folder(None));
        assert!(system.is_none_or(|s| s.ends_with("anvilside")));
    }

    #[test]
    fn a_path_cannot_command_the_terminal() {
        let shown = show(Path::new("a\u{1b}[2J\nb.toml"));
        assert!(!shown.contains(char::is_control), "{shown}");
        assert!(shown.ends_with("b.toml"));
    }
}
