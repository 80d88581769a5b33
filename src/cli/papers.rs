//! `anvilside completions SHELL` and `anvilside man DIR`: made from the command line as it stands.

use std::path::{Path, PathBuf};

use clap::Args;

use super::{command, out};
use crate::plan::report;
use crate::shell::disk::{Disk, RealDisk};
use crate::shell::paths;
use crate::shell::replace::{replace, replace_like, tidy};

/// Largest file that is looked at before it is written over.
const MOST_BYTES: u64 = 1 << 30;

/// Where files go.
#[derive(Debug, Args)]
pub(super) struct Folder {
    /// The folder; it must be there
    #[arg(value_name = "DIR")]
    pub(super) folder: PathBuf,
}

/// The shell that completes.
#[derive(Debug, Args)]
pub(super) struct Shell {
    /// The shell; put what is printed where it looks for completions
    shell: clap_complete::Shell,
}

/// Prints the completions.
pub(super) fn completions(shell: &Shell) -> u8 {
    let mut text = Vec::new();
    clap_complete::generate(shell.shell, &mut command(), "anvilside", &mut text);
    out::say(&String::from_utf8_lossy(&text));
    0
}

/// Writes a page for the program and one for every command of it; 1 when one cannot be written.
pub(super) fn man(folder: &Path) -> u8 {
    let mut all = command();
    all.build();
    out::told(pages(&all).and_then(|pages| written(folder, &pages)))
}

/// Name and text of the page of a command and of all below it.
fn pages(command: &clap::Command) -> Result<Vec<(String, Vec<u8>)>, String> {
    let name = command.get_display_name().unwrap_or(command.get_name());
    let mut page = Vec::new();
    clap_mangen::Man::new(command.clone())
        .title(name.to_uppercase())
        .render(&mut page)
        .map_err(|why| why.to_string())?;
    let mut all = vec![(format!("{name}.1"), page)];
    for below in command.get_subcommands().filter(|one| !one.is_hide_set()) {
        all.extend(pages(below)?);
    }
    Ok(all)
}

fn written(folder: &Path, pages: &[(String, Vec<u8>)]) -> Result<String, String> {
    is_there(folder)?;
    for (name, page) in pages {
        replace(&RealDisk, &folder.join(name), page)?;
    }
    let shown = paths::show(folder);
    Ok(format!("{shown}: {} manual pages written", pages.len()))
}

/// Writes a page over no other file but an older page; a new one is as private as its plan.
pub(super) fn page(plan: &Path, to: &Path, page: &str) -> Result<(), String> {
    is_there(&paths::folder(to))?;
    if !may_be_written(to, report::html::is_ours) {
        return Err(format!(
            "{} is there already and is no page of this program; give another name",
            paths::show(to)
        ));
    }
    tidy(&RealDisk, &paths::folder(to));
    Ok(replace_like(&RealDisk, to, page.as_bytes(), plan)?)
}

/// True where no file of that name is, or only one that was made here.
pub(super) fn may_be_written(path: &Path, is_ours: fn(&[u8]) -> bool) -> bool {
    let there = || RealDisk.read(path, MOST_BYTES).ok().flatten();
    path.symlink_metadata().is_err() || there().is_some_and(|bytes| is_ours(&bytes))
}

/// Refuses a folder that is not there.
pub(super) fn is_there(folder: &Path) -> Result<(), String> {
    if folder.is_dir() {
        return Ok(());
    }
    let shown = paths::show(folder);
    Err(format!(
        "the folder {shown} is not there; make it, or give another"
    ))
}
