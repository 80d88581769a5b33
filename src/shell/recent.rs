//! The plans in recent use: one path a line, newest first, in the user's state folder.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use super::Trouble;
use super::disk::{Disk, RealDisk};
use super::replace::replace_private;

/// Most plans that are remembered.
const MOST: usize = 50;
/// Most bytes of the list.
const MOST_BYTES: u64 = 1 << 20;

/// The list in the folder that [`super::paths::state_folder`] gives.
#[derive(Debug, Clone)]
pub struct Recent {
    file: PathBuf,
}

impl Recent {
    /// The list in that folder.
    #[must_use]
    pub fn in_folder(folder: &Path) -> Self {
        Self {
            file: folder.join("recent"),
        }
    }

    /// The plans, newest first; none when there is no list that can be read.
    #[must_use]
    pub fn plans(&self) -> Vec<PathBuf> {
        let bytes = RealDisk.read(&self.file, MOST_BYTES);
        let text = bytes.ok().flatten().unwrap_or_default();
        let text = String::from_utf8_lossy(&text);
        let lines = text.lines().filter(|l| !l.is_empty());
        lines.map(PathBuf::from).take(MOST).collect()
    }

    /// Puts a plan first.
    ///
    /// # Errors
    /// [`Trouble`] when the list cannot be written; work can go on without it.
    pub fn add(&self, plan: &Path) -> Result<(), Trouble> {
        let plan = std::path::absolute(plan).map_err(Trouble::read(plan))?;
        let mut plans = self.plans();
        plans.retain(|p| *p != plan);
        plans.insert(0, plan);
        plans.truncate(MOST);
        let line = |p: &PathBuf| {
            p.to_str()
                .filter(|p| !p.contains(['\n', '\r']))
                .map(|p| p.to_owned() + "\n")
        };
        let text: String = plans.iter().filter_map(line).collect();
        let folder = super::paths::folder(&self.file);
        private_folder(&folder).map_err(Trouble::write(&folder))?;
        replace_private(&RealDisk, &self.file, text.as_bytes())
    }
}

/// Makes a folder that is its owner's alone, whatever the shell lets new files be.
fn private_folder(folder: &Path) -> io::Result<()> {
    let mut builder = fs::DirBuilder::new();
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.recursive(true).create(folder)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_newest_comes_first_once_and_the_list_stays_short() {
        let dir = tempfile::tempdir().unwrap();
        let recent = Recent::in_folder(&dir.path().join("state"));
        assert!(recent.plans().is_empty());
        for n in 0..60 {
            recent.add(&dir.path().join(format!("{n}.toml"))).unwrap();
        }
        recent.add(&dir.path().join("30.toml")).unwrap();
        let plans = recent.plans();
        assert_eq!(plans.len(), MOST);
        assert_eq!(plans[0], dir.path().join("30.toml"));
        assert_eq!(plans[1], dir.path().join("59.toml"));
        assert_eq!(plans.iter().filter(|p| p.ends_with("30.toml")).count(), 1);
    }

    #[test]
    fn a_list_that_cannot_be_written_is_told() {
        let dir = tempfile::tempdir().unwrap();
        let file = dir.path().join("taken");
        fs::File::create(&file).unwrap();
        let error = Recent::in_folder(&file)
            .add(Path::new("a.toml"))
            .unwrap_err();
        assert!(error.to_string().contains("taken"), "{error}");
    }
}
