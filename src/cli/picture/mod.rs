//! `anvilside picture PLAN`: the billet or the blade as a PNG or SVG file.

mod job;
mod numbers;
mod page;
mod panels;
mod render;
mod tones;

use std::ffi::OsStr;
use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};

use self::numbers::{Figures, Road};
pub(super) use self::page::for_page;
use self::panels::{At, Drawn, Job};
use self::render::Stopped;
use super::{out, papers};
use crate::pattern::{MOST_PIXELS, Sheet, is_ours};
use crate::session::Aspect;
use crate::shell::disk::RealDisk;
use crate::shell::paths::{folder, show};
use crate::shell::replace::replace;

/// What is to be drawn.
#[derive(Debug, Args)]
pub(super) struct PictureArgs {
    /// The plan file; its journal, where there is one, says what was really done
    plan: PathBuf,
    /// The file to write; its ending says the kind (.png or .svg). By default named after the plan
    #[arg(long, short, value_name = "FILE", value_parser = ending)]
    out: Option<PathBuf>,
    /// What is looked at [default: blade; on a sheet, what shows each step best]
    #[arg(long, value_enum)]
    view: Option<ViewName>,
    /// When: a step's id, `now`, or `finished` [default: now where there is a journal, else finished]
    #[arg(long, value_name = "WHEN")]
    at: Option<String>,
    /// Pixels of each picture, as 1600x420, 120 million in all; by default as the shape asks
    #[arg(long, value_name = "WxH", value_parser = size)]
    size: Option<[u32; 2]>,
    /// Another number, another hand: the same number gives the same picture
    #[arg(long, value_name = "N", default_value_t = 1)]
    seed: u64,
    /// Samples of a pixel that a seam, a plain bar or a groove runs through; any other takes its exact
    /// share of the layers
    #[arg(long, value_name = "N", default_value_t = 4, value_parser = clap::value_parser!(u32).range(1..=64))]
    samples: u32,
    /// How bright a steel comes out, 0 (black) to 100 (white), as B=70; by default from its analysis. Once
    /// for each steel: its letter, or its name in the plan
    #[arg(long, value_name = "STEEL=LIGHT", value_parser = tones::read)]
    tone: Vec<tones::SetTone>,
    /// All steps on one sheet
    #[arg(long, conflicts_with_all = ["at", "compare"])]
    sheet: bool,
    /// Beside it: another step of this plan (its id, `now`, `finished`), or another plan file
    #[arg(long, value_name = "OTHER")]
    compare: Option<String>,
    /// Write over a file of that name that is no picture of this program
    #[arg(long)]
    overwrite: bool,
    /// Print the numbers as JSON instead of words; the units are in the names of the keys
    #[arg(long)]
    json: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum ViewName {
    /// The end grain: the section of the bar
    End,
    /// The narrow side of the bar
    Side,
    /// The wide face, cleaned
    Face,
    /// The blade, ground
    Blade,
}

impl ViewName {
    fn aspect(self) -> Aspect {
        match self {
            Self::End => Aspect::End,
            Self::Side => Aspect::Side,
            Self::Face => Aspect::Face,
            Self::Blade => Aspect::Blade,
        }
    }
}

/// The kind of file that a name asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum FileKind {
    Png,
    Svg,
}

fn kind_of(path: &Path) -> Option<FileKind> {
    let end = path.extension().and_then(OsStr::to_str)?;
    if end.eq_ignore_ascii_case("png") {
        Some(FileKind::Png)
    } else if end.eq_ignore_ascii_case("svg") {
        Some(FileKind::Svg)
    } else {
        None
    }
}

fn ending(text: &str) -> Result<PathBuf, String> {
    let path = PathBuf::from(text);
    if kind_of(&path).is_some() {
        Ok(path)
    } else {
        Err("the name must end in .png or .svg".to_owned())
    }
}

/// `WIDTHxHEIGHT` in pixels.
fn size(text: &str) -> Result<[u32; 2], String> {
    let wrong = || format!("write width x height in pixels, as 1600x420; each 8 to {MOST_PIXELS}");
    let (width, height) = text.split_once(['x', 'X', '×']).ok_or_else(wrong)?;
    let read = |part: &str| {
        part.trim()
            .parse::<u32>()
            .ok()
            .filter(|n| (8..=MOST_PIXELS).contains(n))
            .ok_or_else(wrong)
    };
    Ok([read(width)?, read(height)?])
}

/// Draws and writes; 0, or 1 when it cannot be done: there is then no file.
pub(super) fn run(args: &PictureArgs) -> u8 {
    out::told(make(args))
}

fn make(args: &PictureArgs) -> Result<String, String> {
    let path = match &args.out {
        Some(path) => path.clone(),
        None => by_default(args),
    };
    let kind = kind_of(&path).unwrap_or(FileKind::Png);
    papers::is_there(&folder(&path))?;
    if !args.overwrite && !papers::may_be_written(&path, is_ours) {
        return Err(format!(
            "{} is there already and is no picture of this program; give another name with --out, or \
             --overwrite to write over it",
            show(&path)
        ));
    }
    let job = Job::open(&args.plan, args.seed)?.toned(&args.tone)?;
    let at = match &args.at {
        Some(word) => At::read(word, &job)?,
        None => At::usual(&job),
    };
    let render = render::Render::new(args.samples).map_err(|why| why.to_string())?;
    let drawn = draw(args, &job, at, &render);
    let made = drawn.and_then(|(sheet, figures)| {
        let bytes = match kind {
            FileKind::Png => sheet.png(),
            FileKind::Svg => sheet.svg().map(String::into_bytes),
        };
        let bytes = bytes.map_err(|why| why.to_string())?;
        Ok((sheet.size(), bytes, figures))
    });
    render.end();
    let (size, bytes, figures) = made?;
    if render.is_stopped() {
        return Err(Stopped.to_string());
    }
    // Past a sheet or a comparison there is no one place that anything is to come from.
    let road = (!args.sheet && args.compare.is_none()).then(|| Road::from(&job, at));
    replace(&RealDisk, &path, &bytes)?;
    Ok(if args.json {
        as_json(&path, size, &job, &figures, road.as_ref())
    } else {
        as_text(&path, size, &job, &figures, road.as_ref())
    })
}

/// The sheet that is asked for, with its numbers.
fn draw(
    args: &PictureArgs,
    job: &Job,
    at: At,
    render: &render::Render,
) -> Result<(Sheet, Vec<Figures>), String> {
    let view = args.view.map(ViewName::aspect);
    let title = job.title();
    let aspect = view.unwrap_or(Aspect::Blade);
    if args.sheet {
        let drawn: Vec<Drawn> = panels::sheet(job, view, args.size, render)?;
        let (panels, figures): (Vec<_>, Vec<_>) = drawn.into_iter().unzip();
        let sheet = Sheet::strip(title, &panels, panels::columns(panels.len()));
        return Ok((sheet, figures));
    }
    let Some(other) = &args.compare else {
        let (panel, figures) = panels::single(job, at, aspect, args.size, render)?;
        return Ok((Sheet::single(title, &panel), vec![figures]));
    };
    let (other, there) = panels::other(other, &args.plan, job, at)?;
    let second = other.as_ref().unwrap_or(job);
    let title = if other.is_some() {
        format!("{title} / {}", second.title())
    } else {
        title.to_owned()
    };
    let (left, right) = panels::pair((job, at), (second, there), aspect, args.size, render)?;
    let sheet = Sheet::pair(&title, &left.0, &right.0);
    Ok((sheet, vec![left.1, right.1]))
}

fn as_text(
    path: &Path,
    [width, height]: [u32; 2],
    job: &Job,
    figures: &[Figures],
    road: Option<&Road>,
) -> String {
    let mut lines = vec![format!(
        "{}: {width} x {height} pixels, seed {}",
        show(path),
        job.seed
    )];
    lines.extend(figures.iter().flat_map(Figures::text));
    lines.extend(road.into_iter().flat_map(Road::text));
    lines.join("\n")
}

fn as_json(
    path: &Path,
    [width, height]: [u32; 2],
    job: &Job,
    figures: &[Figures],
    road: Option<&Road>,
) -> String {
    let made = serde_json::json!({
        "format": crate::plan::report::FORMAT,
        "file": show(path),
        "width_px": width,
        "height_px": height,
        "seed": job.seed,
        "estimate": true,
        "pictures": figures.iter().map(Figures::json).collect::<Vec<_>>(),
        "ahead": road.map(Road::json),
    });
    format!("{made:#}")
}

/// `plan-blade.png` in the folder that the program runs in.
fn by_default(args: &PictureArgs) -> PathBuf {
    let stem = args.plan.file_stem().unwrap_or_else(|| OsStr::new("plan"));
    let mut name = stem.to_os_string();
    name.push(if args.sheet {
        "-sheet.png"
    } else {
        match args.view.unwrap_or(ViewName::Blade) {
            ViewName::End => "-end.png",
            ViewName::Side => "-side.png",
            ViewName::Face => "-face.png",
            ViewName::Blade => "-blade.png",
        }
    });
    PathBuf::from(name)
}
