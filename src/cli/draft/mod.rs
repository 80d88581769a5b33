//! `anvilside draft`: whole plans from a wish, on the screen or for scripts.

mod flags;
mod json;
mod progress;
mod words;

use std::io::IsTerminal;
use std::path::{Path, PathBuf};

use clap::Args;

use self::flags::Typed;
use self::progress::Watched;
use super::look::Anvil;
use super::{FOUND, out, work};
use crate::planner::draft::form::MOST_BYTES;
use crate::planner::draft::{Drafted, Form, NoPlan, Outlook, Wish};
use crate::shell::clock::Clock;
use crate::shell::disk::{Disk, RealDisk};
use crate::shell::draft::{save, search, taught};
use crate::shell::paths::JobPaths;
use crate::shell::run::{Ending, Shell};
use crate::shell::shop::SHOP_FILE;
use crate::ui::{Draft, file_name};

/// Exit code for a wish that does not read.
const WISHED_WRONG: u8 = 2;
/// Exit code where no plan comes of a wish.
const NO_PLAN: u8 = 3;

/// What is wished, and what is to be done with the plans.
#[derive(Debug, Args)]
#[command(
    after_help = "On a terminal the wish is asked and the plans are shown full screen; with --list, --show, --take or \
    --json, or where the output goes elsewhere, they are printed. Length and width must be given then.\n\n  \
    anvilside draft --length 210 --width 46 --press 25t --steel '1084=6mm x 40mm' --steel '15N20=3mm x 40mm'\n\n\
    Exit codes: 0 plans, 1 the file cannot be written or the search was stopped, 2 the wish does not read, \
    3 no plan: the limits that rule out all of them are named.\n\n\
    Heats, hours and losses are estimates for a trained smith. The makers' sheets and local rules come first."
)]
pub(super) struct DraftArgs {
    #[command(flatten)]
    typed: Typed,
    /// A wish file: the names of the flags below as TOML keys; flags go before it
    #[arg(long, value_name = "FILE")]
    wish: Option<PathBuf>,
    /// Print the cheapest plan first, by the [costs] of the shop file
    #[arg(long)]
    by_cost: bool,
    /// Print the short list, also on a terminal
    #[arg(long)]
    list: bool,
    /// Print all of one plan: steel to buy, and sizes after every step
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u8).range(1..))]
    show: Option<u8>,
    /// Write this plan of the list as a plan file
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u8).range(1..))]
    take: Option<u8>,
    /// The file to write; by default named after the plan. A file that is there is left alone
    #[arg(long, short, value_name = "FILE", requires = "take")]
    out: Option<PathBuf>,
    /// Print JSON instead of words (keys: plans/JSON.md)
    #[arg(long)]
    json: bool,
}

impl DraftArgs {
    /// True when the screen is to be taken.
    fn is_screen(&self) -> bool {
        let asked =
            self.by_cost || self.list || self.json || self.show.is_some() || self.take.is_some();
        !asked && std::io::stdin().is_terminal() && std::io::stdout().is_terminal()
    }
}

/// Why nothing comes of it, and the exit code.
struct No(u8, String);

impl No {
    fn wish(why: impl std::fmt::Display) -> Self {
        Self(WISHED_WRONG, format!("anvilside draft: {why}"))
    }
}

/// Drafts; see the exit codes above.
pub(super) fn run(args: &DraftArgs, anvil: &Anvil) -> u8 {
    let form = match form(args) {
        Ok(form) => form,
        Err(No(code, why)) => {
            out::complain(&why);
            return code;
        }
    };
    if args.is_screen() {
        return screen(form, anvil);
    }
    match printed(args, &form) {
        Err(No(code, why)) if args.json && code == NO_PLAN => {
            out::say(&why);
            code
        }
        printed => out::told_with(printed.map_err(|No(code, why)| (code, why))),
    }
}

fn form(args: &DraftArgs) -> Result<Form, No> {
    let mut form = match &args.wish {
        Some(file) => wish_file(file).map_err(No::wish)?,
        None => Form::default(),
    };
    form.over(&args.typed.0);
    Ok(form)
}

fn wish_file(file: &Path) -> Result<Form, String> {
    let name = crate::shell::paths::show(file);
    let cannot = |why: std::io::Error| crate::shell::reading(file, &why);
    let bytes = RealDisk.read(file, MOST_BYTES as u64).map_err(cannot)?;
    let bytes = bytes.ok_or_else(|| cannot(std::io::ErrorKind::NotFound.into()))?;
    let text =
        String::from_utf8(bytes).map_err(|_| cannot(std::io::ErrorKind::InvalidData.into()))?;
    Form::from_toml(&text).map_err(|why| format!("{name}: {why}"))
}

fn printed(args: &DraftArgs, form: &Form) -> Result<String, No> {
    let wish = form
        .wish()
        .map_err(|wrong| No::wish(format!("--{wrong}")))?;
    let found = match find(&wish)? {
        Ok(found) if args.by_cost => cheapest_first(found)?,
        Ok(found) => found,
        Err(why) if args.json => {
            return Err(No(NO_PLAN, format!("{:#}", json::none(&wish, &why))));
        }
        Err(why) => return Err(No(NO_PLAN, why.join("\n"))),
    };
    let pick = |n: u8| {
        let many = found.offers.len();
        let place = usize::from(n) - 1;
        let offer = found
            .offers
            .get(place)
            .map(|(offer, seen)| (place, offer, seen));
        offer.ok_or_else(|| No::wish(format!("there is no plan {n}; the list has 1 to {many}")))
    };
    let mut written = None;
    if let Some(n) = args.take {
        let (place, offer, _) = pick(n)?;
        let name = args
            .out
            .clone()
            .unwrap_or_else(|| file_name(&wish.title).into());
        let path = save(&name, &offer.text).map_err(|why| No(FOUND, why.into()))?;
        written = Some((place, crate::shell::paths::show(&path)));
    }
    if args.json {
        if let Some(n) = args.show {
            pick(n)?;
        }
        return Ok(format!("{:#}", json::plans(&found, written.as_ref())));
    }
    if let Some(n) = args.show {
        let (place, offer, seen) = pick(n)?;
        let mut text = words::whole(place, offer, seen);
        if let Some((_, path)) = written {
            text.push_str(&words::written(&path));
        }
        return Ok(text);
    }
    Ok(match written {
        Some((_, path)) => words::written(&path).trim_start().to_owned(),
        None => words::list(&found),
    })
}

/// The same list by what each plan costs.
fn cheapest_first(mut found: Drafted) -> Result<Drafted, No> {
    let cost = |seen: &Outlook| seen.cost.as_ref().map(|(_, cost)| cost.best);
    if found.offers.iter().any(|(_, seen)| cost(seen).is_none()) {
        return Err(No::wish(format!(
            "--by-cost wants prices; write them under [costs] in {SHOP_FILE}"
        )));
    }
    found.offers.sort_by(|(_, a), (_, b)| {
        let (a, b) = (cost(a).unwrap_or_default(), cost(b).unwrap_or_default());
        a.total_cmp(&b)
    });
    Ok(found)
}

/// Searches with a bar on the standard error; the inner error is why there is no plan.
fn find(wish: &Wish) -> Result<Result<Drafted, Vec<String>>, No> {
    let watched = Watched::start().map_err(|why| No(FOUND, why.to_string()))?;
    let taught = taught();
    for why in &taught.trouble {
        out::complain(&format!("not learnt from: {why}"));
    }
    let found = search(wish, &taught, watched.stop(), &|progress| {
        watched.show(progress);
    });
    watched.end();
    match found {
        Ok(found) => Ok(Ok(found)),
        Err(NoPlan::Limits(why)) => Ok(Err(why)),
        Err(NoPlan::Stopped) => Err(No(FOUND, "stopped; nothing was written".to_owned())),
    }
}

/// Asks the whole wish on the screen.
pub(super) fn begin(anvil: &Anvil) -> u8 {
    screen(Form::default(), anvil)
}

/// Full screen; goes on to work on the plan when that is wanted.
fn screen(form: Form, anvil: &Anvil) -> u8 {
    let look = &anvil.look;
    let whole = form.missing().is_empty();
    let mut draft = Draft::new(form, look.settings());
    let started = Shell::start(
        Clock::start(),
        Some(JobPaths::of(Path::new("anvilside"))),
        look.sharp(),
    );
    let Some(mut shell) = out::taken(started) else {
        return FOUND;
    };
    if let Some(place) = look.crash.as_deref() {
        shell.fail(place == "main");
    }
    draft.starts = whole;
    let ended = shell.run(&mut draft, None);
    match (ended, draft.written) {
        (Ok(Ending::Quit), Some(plan)) if draft.work => {
            work::run(Some(shell), Path::new(&plan), anvil)
        }
        (Ok(Ending::Fault(why)), _) => {
            drop(shell);
            out::complain(&format!(
                "the draft failed ({why}); begin again with another wish"
            ));
            FOUND
        }
        (Ok(ending), written) => {
            drop(shell);
            if let Some(plan) = written.filter(|_| ending == Ending::Quit) {
                out::say(words::written(&plan).trim_start());
            }
            0
        }
        (Err(why), _) => {
            drop(shell);
            out::complain(&format!("the screen ended: {why}"));
            FOUND
        }
    }
}
