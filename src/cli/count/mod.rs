//! `anvilside count PHOTO`: the bands of an etched end, counted in a photograph.

mod adopt;
mod from;
mod take;
mod words;

use std::path::{Path, PathBuf};

use clap::Args;

use self::from::FromArgs;
use self::words::{Beside, Told};
use super::{FOUND, out, status};
use crate::count::{Line, count};
use crate::shell::photo;

/// What is counted.
#[derive(Debug, Args)]
pub(super) struct CountArgs {
    /// The photograph of an etched end, JPEG or PNG
    #[arg(required_unless_present = "bands")]
    photo: Option<PathBuf>,
    /// A line across the layers, in pixels from the upper left, as 120,80,130,900: from just outside one
    /// face to just outside the other [default: found in the picture]
    #[arg(long, value_name = "X1,Y1,X2,Y2", value_parser = line)]
    line: Option<Line>,
    /// Height of the bar across the layers, mm: gives the bands their size
    #[arg(long, value_name = "MM", value_parser = height)]
    height: Option<f32>,
    /// A plan: what its model expects is shown beside the count, never mixed into it
    #[arg(long, value_name = "FILE")]
    plan: Option<PathBuf>,
    /// Take the count into the plan's journal, at its inspect step, with a note of file, line and range
    #[arg(long, requires = "plan", conflicts_with_all = ["json", "from"])]
    take: bool,
    /// Print JSON instead of words (keys: plans/JSON.md)
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    from: FromArgs,
}

fn line(word: &str) -> Result<Line, String> {
    let numbers: Vec<f32> = word
        .split(',')
        .map_while(|part| part.trim().parse().ok())
        .collect();
    match numbers.as_slice() {
        [x1, y1, x2, y2]
            if word.split(',').count() == 4 && numbers.iter().all(|n| n.is_finite()) =>
        {
            Ok(Line {
                from: [*x1, *y1],
                to: [*x2, *y2],
            })
        }
        _ => Err("write four numbers, as 120,80,130,900".to_owned()),
    }
}

fn height(word: &str) -> Result<f32, String> {
    match word.parse() {
        Ok(mm) if (1.0..=500.0).contains(&mm) => Ok(mm),
        _ => Err("write the height in mm, 1 to 500".to_owned()),
    }
}

/// Prints the count, or the histories that fit it; 0, or 1 when the picture gives none.
pub(super) fn run(args: &CountArgs) -> u8 {
    let said = match &args.photo {
        Some(path) => counted(args, path),
        None => args.from.answer(None, args.json),
    };
    match said {
        Ok(words) => {
            out::say(&words);
            return 0;
        }
        Err(why) if args.json => out::say(&format!("{:#}", words::refused(&why))),
        Err(why) => out::complain(&why),
    }
    FOUND
}

/// What is said of a photograph.
fn counted(args: &CountArgs, path: &Path) -> Result<String, String> {
    let photo = photo::read(path)?;
    let beside = args.plan.as_deref().map(status::load).transpose()?;
    let reading =
        count(photo.grey, args.line).map_err(|why| format!("{}: {why}", path.display()))?;
    if args.from.from {
        return args.from.answer(Some(&reading), args.json);
    }
    let told = Told {
        reading,
        name: path.display().to_string(),
        checksum: photo.checksum,
        height: args.height,
        beside: beside.map(|session| Beside::of(&session)),
    };
    match &args.plan {
        _ if args.json => Ok(format!("{:#}", told.json())),
        Some(plan) if args.take => Ok(told.text() + &take::take(plan, &told)?),
        _ => Ok(told.text()),
    }
}
