//! `anvilside samples DIR`: the sample plans, which the program carries with it.

use std::path::{Path, PathBuf};

use super::{out, papers};
use crate::plan;
use crate::shell::Trouble;
use crate::shell::disk::RealDisk;
use crate::shell::paths;
use crate::shell::replace::create;

/// One sample plan.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sample {
    /// The name of its file.
    pub(super) file: &'static str,
    /// The plan.
    pub(super) text: &'static str,
    /// What it shows.
    pub(super) words: &'static str,
}

macro_rules! sample {
    ($file:literal, $words:literal) => {
        Sample {
            file: $file,
            text: include_str!(concat!("../../plans/", $file)),
            words: $words,
        }
    };
}

/// The samples, the plainest first.
pub(super) const SAMPLES: [Sample; 13] = [
    sample!(
        "kitchen-pair.toml",
        "nine pieces restacked twice: two kitchen knives"
    ),
    sample!(
        "three-layer.toml",
        "plain high-carbon core between soft jackets"
    ),
    sample!("twist-boot.toml", "a twisted bar"),
    sample!("ladder-hunter.toml", "ladder grooves, in inches"),
    sample!("raindrop-belt-knife.toml", "drilled dimples, from flat bar"),
    sample!(
        "turned-w-petty.toml",
        "turned, framed in plain steel, integral bolster"
    ),
    sample!("feather-chef.toml", "split by a wedge"),
    sample!(
        "framed-core.toml",
        "three bars: a turned core between layered sides"
    ),
    sample!(
        "four-twist-edges.toml",
        "four twisted rods side by side, in inches"
    ),
    sample!("jacketed.toml", "a layered jacket folded over a plain core"),
    sample!(
        "end-grain-tiles.toml",
        "end-grain tiles on both faces of a plain core"
    ),
    sample!(
        "unfolded.toml",
        "a bar cut from both faces and opened, end grain up"
    ),
    sample!(
        "found-bar.toml",
        "a bar as found, counted and piled once more"
    ),
];

/// Writes what is not there yet; 1 when something cannot be written.
pub(super) fn run(folder: &Path) -> u8 {
    out::told(write(folder))
}

fn write(folder: &Path) -> Result<String, String> {
    papers::is_there(folder)?;
    let plans = SAMPLES.iter().map(|one| (one.file, one.text.to_owned()));
    let beside = [
        ("FORMAT.md", plan::format_page()),
        ("plan.schema.json", plan::schema()),
    ];
    let mut said = Vec::new();
    for (name, text) in plans.chain(beside) {
        let path = folder.join(name);
        let shown = paths::show(&path);
        match create(&RealDisk, &path, text.as_bytes()) {
            Ok(()) => said.push(format!("{shown}: written")),
            Err(Trouble::Taken { .. }) => {
                said.push(format!("{shown}: there already, left as it is"));
            }
            Err(why) => return Err(why.to_string()),
        }
    }
    said.push("Begin with: anvilside work PLAN, or anvilside check PLAN".to_owned());
    Ok(said.join("\n"))
}

/// Writes one sample into this folder, to be worked.
///
/// # Errors
/// Why not, as a sentence.
pub(super) fn begin(sample: &Sample) -> Result<PathBuf, String> {
    Ok(crate::shell::draft::save(
        Path::new(sample.file),
        sample.text,
    )?)
}
