//! `anvilside sheet PLAN`: the plan as a page for the shop wall.

use std::path::{Path, PathBuf};

use super::{out, papers};
use crate::plan::{check, report};
use crate::shell::paths;

/// Writes the page; 0, or 1 when there is no plan to write or it cannot be written.
pub(super) fn run(plan: &Path, to: Option<&Path>) -> u8 {
    let written = write(plan, to).map(|path| paths::show(&path));
    out::told(written.map(|shown| format!("{shown}: written; print it before the fire is lit")))
}

fn write(plan: &Path, to: Option<&Path>) -> Result<PathBuf, String> {
    let text = super::work::plan_text(plan)?;
    let checked = check(&text);
    let (Some(read), Some(walk)) = (&checked.plan, &checked.walk) else {
        let name = plan.display().to_string();
        return Err(report::findings(&checked, &name));
    };
    let stem = plan.file_stem().map(std::ffi::OsStr::to_string_lossy);
    let named = PathBuf::from(format!("{}-sheet.html", stem.unwrap_or_default()));
    let path = to.map_or(named, Path::to_path_buf);
    let page = report::sheet(read, walk);
    papers::page(plan, &path, &page)?;
    Ok(path)
}
