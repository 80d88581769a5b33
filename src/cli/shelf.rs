//! `anvilside shelf`: the pieces of steel that outlive their job.

use std::path::{Path, PathBuf};

use clap::Args;

use super::{FOUND, USAGE, enter, out};
use crate::journal::Event;
use crate::plan;
use crate::planner::shelf::{Act, Shelf, like};
use crate::shell::clock::{self, Clock};
use crate::shell::paths::show;
use crate::shell::shelf::{change, meet, read, shelf_file};
use crate::shell::{JobPaths, read_plan};
use crate::units::{Mm, Stamp, Units, parse, show as words};

/// Which shelf, and what is to be done.
#[derive(Debug, Args)]
pub(super) struct ShelfArgs {
    /// The folder of plans and journals
    #[arg(value_name = "DIR", default_value = ".")]
    folder: PathBuf,
    /// List what has gone too, and where it went
    #[arg(long)]
    all: bool,
    /// Keep what the job of this plan has left over
    #[arg(long, value_name = "PLAN", group = "act")]
    keep: Option<PathBuf>,
    /// Print what a plan writes to take this piece
    #[arg(long, value_name = "NUMBER", group = "act")]
    bar: Option<u32>,
    /// With --bar: the plan that is to take it, for its names of steels
    #[arg(long, value_name = "PLAN", requires = "bar")]
    plan: Option<PathBuf>,
    /// A piece was used up without a plan
    #[arg(long, value_name = "NUMBER", group = "act")]
    used: Option<u32>,
    /// A piece was thrown away
    #[arg(long, value_name = "NUMBER", group = "act")]
    thrown: Option<u32>,
    /// A piece lies on the shelf again, wherever it had gone
    #[arg(long, value_name = "NUMBER", group = "act")]
    put_back: Option<u32>,
    /// Size read by caliper, width x thickness x length, as 7=40x12x95
    #[arg(long, value_name = "NUMBER=SIZE", group = "act")]
    size: Option<String>,
    /// Sizes in inches
    #[arg(long)]
    inch: bool,
    /// Print JSON instead of words (keys: plans/JSON.md)
    #[arg(long)]
    json: bool,
}

/// Lists the shelf or changes it; 0, 1 when it cannot be done, 2 when what is to be done does not read.
pub(super) fn run(args: &ShelfArgs) -> u8 {
    let now = Clock::start().now().at;
    let done = match &args.keep {
        Some(plan) => keep(plan, now),
        None if !args.folder.is_dir() => Err((
            FOUND,
            format!(
                "{} is not a folder; name the folder of your plans",
                show(&args.folder)
            ),
        )),
        None => with(args, now),
    };
    out::told_with(done)
}

type Done = Result<String, (u8, String)>;

fn found(why: impl Into<String>) -> (u8, String) {
    (FOUND, why.into())
}

fn units(args: &ShelfArgs) -> Units {
    if args.inch { Units::Inch } else { Units::Mm }
}

fn with(args: &ShelfArgs, now: Stamp) -> Done {
    let act = match act(args) {
        Ok(act) => act,
        Err(why) => return Err((USAGE, format!("anvilside shelf: {why}"))),
    };
    if let Some((number, act)) = act {
        let file = shelf_file(&args.folder);
        return change(&args.folder, &file, |shelf| shelf.act(number, act, now)).map_err(found);
    }
    let shelf = read(&args.folder).map_err(found)?;
    if let Some(number) = args.bar {
        return table(args, &shelf, number);
    }
    if args.json {
        let page = serde_json::to_string_pretty(&shelf.page(args.all));
        return page.map_err(|why| found(why.to_string()));
    }
    let offset = clock::offset_minutes(now);
    Ok(shelf.text(units(args), args.all, offset))
}

/// The one thing that is to be done with a piece.
fn act(args: &ShelfArgs) -> Result<Option<(u32, Act)>, String> {
    let plain = [
        (args.used, Act::Use),
        (args.thrown, Act::Throw),
        (args.put_back, Act::PutBack),
    ];
    if let Some((number, act)) = plain
        .into_iter()
        .find_map(|(number, act)| Some((number?, act)))
    {
        return Ok(Some((number, act)));
    }
    let Some(text) = &args.size else {
        return Ok(None);
    };
    let wrong = || {
        format!(
            "--size '{}' does not read; write it as 7=40x12x95",
            words::plain(text, 40)
        )
    };
    let (number, sizes) = text.split_once('=').ok_or_else(wrong)?;
    let number = number.trim().parse().map_err(|_| wrong())?;
    let mut read = [0.0; 3];
    let mut typed = sizes.split(['x', 'X', '\u{d7}']);
    for place in &mut read {
        let one = typed.next().ok_or_else(wrong)?;
        let one: Mm = parse::above_zero(one.trim(), units(args)).map_err(|why| why.to_string())?;
        *place = one.0;
    }
    typed
        .next()
        .map_or(Ok(Some((number, Act::Size(read)))), |_| Err(wrong()))
}

fn table(args: &ShelfArgs, shelf: &Shelf, number: u32) -> Done {
    let piece = shelf
        .piece(number)
        .ok_or_else(|| found(format!("the shelf has no piece {number}")))?;
    if let Some(gone) = piece.gone() {
        return Err(found(format!(
            "piece {number} is {gone}; `--put-back {number}` lays it on the shelf again"
        )));
    }
    let Some(plan) = &args.plan else {
        return Ok(piece.table(units(args), &[]));
    };
    let text = read_plan(plan).map_err(found)?;
    let checked = plan::check(&text);
    let plan = checked.plan.ok_or_else(|| {
        found(format!(
            "{} has errors; see `anvilside check`, or leave --plan out",
            show(plan)
        ))
    })?;
    let known: Vec<(String, String)> = plan
        .steels
        .iter()
        .map(|steel| (steel.key.clone(), steel.steel.grade.clone()))
        .collect();
    Ok(piece.table(plan.units, &known))
}

/// Keeps what a job has left over, in its journal and on the shelf beside it.
fn keep(plan: &Path, now: Stamp) -> Done {
    let (mut session, mut store) = enter::open(plan).map_err(found)?;
    let left = session.left_over();
    if left.is_empty() {
        return Err(found(format!(
            "{}: the job has left nothing over that is not kept",
            show(plan)
        )));
    }
    let steps = &session.plan.steps;
    let step = session.current().or(steps.last());
    let step = step.map(|step| step.id.clone());
    let step = step.ok_or_else(|| found("the plan has no steps".to_owned()))?;
    let units = session.plan.units;
    let mut lines: Vec<String> = left
        .iter()
        .map(|spare| format!("{} x {}", spare.pieces, like(spare, units)))
        .collect();
    let events = left.into_iter().map(|spare| Event::Kept {
        step: step.clone(),
        spare: Box::new(spare),
    });
    let entries = enter::add(&mut store, now, events.collect()).map_err(found)?;
    for entry in entries {
        session.take(entry).map_err(|why| found(why.to_string()))?;
    }
    let (said, taken) = meet(store.paths(), &session.shelf_side(), now).map_err(found)?;
    lines.extend(said);
    taken.map_err(found)?;
    lines.push("`work` takes it back with -".to_owned());
    Ok(lines.join("\n"))
}

/// What stands against the pieces of the shelf that a plan names.
pub(super) fn review(file: &Path, plan: &plan::Plan) -> Vec<plan::Diagnostic> {
    if plan.takes().next().is_none() {
        return Vec::new();
    }
    let paths = JobPaths::of(file);
    match read(&paths.folder) {
        Ok(shelf) => shelf.review(&paths.journal_name(), plan),
        Err(why) => vec![plan::Diagnostic {
            level: plan::Level::Error,
            place: plan::Place { line: 1, column: 1 },
            step: None,
            key: Some("shelf".to_owned()),
            what: why.into(),
            remedy: "then check again".to_owned(),
        }],
    }
}
