//! The command line: one file a command, and, with nothing said, the list of billets.

mod ask;
mod check;
mod count;
mod draft;
mod enter;
mod fault;
mod follow;
mod help;
mod label;
mod list;
mod look;
mod out;
mod papers;
mod picture;
mod record;
mod samples;
mod sheet;
mod shelf;
mod shop;
mod status;
mod work;

use std::ffi::OsString;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{Arg, ArgAction, Args, CommandFactory, FromArgMatches, Parser, Subcommand};

use self::look::{Anvil, Look};
use crate::units::show;

/// Exit code for a plan with errors, or a job that cannot be opened.
const FOUND: u8 = 1;
/// Exit code for a command line that does not read.
const USAGE: u8 = 2;

/// Step through a forging plan at the anvil; with no command, the billets here.
#[derive(Debug, Parser)]
#[command(name = "anvilside", version, max_term_width = 96)]
#[command(
    after_help = "The cards are reminders for a trained smith, not legal advice: follow local codes, the makers' \
    sheets, and licensed trades for gas and electrical work."
)]
struct Cli {
    #[command(subcommand)]
    command: Option<Command>,
    #[command(flatten)]
    anvil: Anvil,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Work a plan, full screen; resumes where you left off
    Work {
        #[command(flatten)]
        plan: PlanArgs,
        #[command(flatten)]
        anvil: Anvil,
    },
    /// Show a job that another screen works, live; writes nothing
    Follow {
        #[command(flatten)]
        plan: PlanArgs,
        #[command(flatten)]
        look: Look,
    },
    /// Errors, warnings, and sizes, counts and losses at every step
    Check {
        #[command(flatten)]
        plan: PlanArgs,
        /// Print JSON instead of the table (keys: plans/JSON.md)
        #[arg(long)]
        json: bool,
    },
    /// Whole plans from a wish: blade, pattern, stock and shop
    Draft {
        #[command(flatten)]
        args: Box<draft::DraftArgs>,
        #[command(flatten)]
        look: Look,
    },
    /// The job's record: sizes, losses, heats, cards and notes
    Record {
        #[command(flatten)]
        plan: PlanArgs,
        /// Print JSON instead of words (keys: plans/JSON.md)
        #[arg(long)]
        json: bool,
        /// Print the readings as CSV, one row a reading
        #[arg(long, conflicts_with = "json")]
        csv: bool,
        /// Write the whole record as a page for a browser, to show, keep and print
        #[arg(long, value_name = "FILE", conflicts_with_all = ["json", "csv"])]
        html: Option<PathBuf>,
        /// Keep that page current while the job runs, until Ctrl-C
        #[arg(long, requires = "html")]
        live: bool,
    },
    /// The plan as a page for the shop wall (HTML, to print)
    Sheet {
        #[command(flatten)]
        plan: PlanArgs,
        /// The file to write; by default PLAN-sheet.html in this folder
        #[arg(long, short, value_name = "FILE")]
        out: Option<PathBuf>,
    },
    /// What was read or done earlier, as on the wall sheet, entered with its time
    Enter(Box<enter::EnterArgs>),
    /// A label for the knife's owner: what it is, and its care
    Label {
        #[command(flatten)]
        plan: PlanArgs,
        /// Write it as a page, to print
        #[arg(long, value_name = "FILE")]
        html: Option<PathBuf>,
    },
    /// Where a billet is, from its plan and journal
    Status {
        #[command(flatten)]
        plan: PlanArgs,
        /// Print JSON instead of words (keys: plans/JSON.md)
        #[arg(long)]
        json: bool,
    },
    /// What this shop has learned, used, finished and spent
    Shop(shop::ShopArgs),
    /// Offcuts and spare bars that outlive their job
    Shelf(Box<shelf::ShelfArgs>),
    /// One answer at the bench, with its range and its source
    Ask(Box<ask::AskArgs>),
    /// A picture of billet or blade as PNG or SVG, with its numbers
    Picture(Box<picture::PictureArgs>),
    /// The bands of an etched end, counted in a photograph
    Count(Box<count::CountArgs>),
    /// Write the sample plans and the plan format into a folder
    Samples(papers::Folder),
    /// Print the completions of a shell
    Completions(papers::Shell),
    /// Write the manual pages into a folder
    Man(papers::Folder),
}

#[derive(Debug, Args)]
struct PlanArgs {
    /// The plan file, as plans/kitchen-pair.toml
    plan: PathBuf,
}

/// The command line as it stands, for pages and tests. Help fits a screen.
#[must_use]
pub fn command() -> clap::Command {
    let mut whole = whole();
    whole.build();
    help::short(whole)
}

/// The command line with help that says everything.
fn whole() -> clap::Command {
    // The list of billets takes the screen's settings too; they are told where they matter most.
    plain_help(Cli::command().mut_args(|arg| arg.hide(true)))
}

/// Gives a command and all below it one flag for help.
fn plain_help(command: clap::Command) -> clap::Command {
    let help = Arg::new("help")
        .short('h')
        .long("help")
        .action(ArgAction::HelpShort)
        .help_heading(None::<&str>)
        .help("Print this help");
    command
        .disable_help_flag(true)
        .disable_help_subcommand(true)
        .arg(help)
        .mut_subcommands(plain_help)
}

/// Runs the program with these arguments.
pub fn run(args: impl IntoIterator<Item = OsString>) -> ExitCode {
    let mut words: Vec<OsString> = args.into_iter().collect();
    let typed = words.clone();
    let all = words.iter().take_while(|word| *word != "--");
    let all = all.filter(|word| *word == "--help-all").count() > 0;
    let read = if all {
        words
            .iter_mut()
            .filter(|word| *word == "--help-all")
            .for_each(|word| *word = "--help".into());
        whole().try_get_matches_from(words)
    } else {
        command().try_get_matches_from(words)
    };
    let cli = match read.and_then(|found| Cli::from_arg_matches(&found)) {
        Ok(cli) => cli,
        Err(error) => return ExitCode::from(out::ended(refused(&error, &typed))),
    };
    let screen = matches!(
        cli.command,
        None | Some(Command::Work { .. } | Command::Follow { .. } | Command::Draft { .. })
    );
    if !screen && cli.anvil != Anvil::default() {
        out::complain(
            "anvilside: settings of the screen are for work, follow, draft and the list; leave them out here",
        );
        return ExitCode::from(USAGE);
    }
    let code = match cli.command {
        None => list::run(&cli.anvil),
        Some(Command::Work { plan, anvil }) => work::run(None, &plan.plan, &anvil.or(&cli.anvil)),
        Some(Command::Follow { plan, look }) => follow::run(&plan.plan, look.or(&cli.anvil.look)),
        Some(Command::Check { plan, json }) => check::run(&plan.plan, json),
        Some(Command::Draft { args, look }) => draft::run(&args, &Anvil::from(look).or(&cli.anvil)),
        Some(Command::Record {
            plan,
            html: Some(to),
            live: true,
            ..
        }) => record::live(&plan.plan, &to),
        Some(Command::Record {
            plan,
            json,
            csv,
            html,
            ..
        }) => {
            let form = match &html {
                Some(to) => record::Form::Page(to),
                None if json => record::Form::Json,
                None if csv => record::Form::Csv,
                None => record::Form::Text,
            };
            record::run(&plan.plan, form)
        }
        Some(Command::Sheet { plan, out }) => sheet::run(&plan.plan, out.as_deref()),
        Some(Command::Enter(args)) => enter::run(&args),
        Some(Command::Label { plan, html }) => label::run(&plan.plan, html.as_deref()),
        Some(Command::Status { plan, json }) => status::run(&plan.plan, json),
        Some(Command::Shop(args)) => shop::run(&args),
        Some(Command::Shelf(args)) => shelf::run(&args),
        Some(Command::Ask(args)) => ask::run(&args),
        Some(Command::Picture(args)) => picture::run(&args),
        Some(Command::Count(args)) => count::run(&args),
        Some(Command::Samples(folder)) => samples::run(&folder.folder),
        Some(Command::Completions(shell)) => papers::completions(&shell),
        Some(Command::Man(folder)) => papers::man(&folder.folder),
    };
    ExitCode::from(out::ended(code))
}

/// Says why the command line does not read; help and version are answers.
fn refused(error: &clap::Error, words: &[OsString]) -> u8 {
    if let Some(number) = below_zero(error, words) {
        out::complain(&format!(
            "anvilside: '{number}' is below zero; write it without the minus"
        ));
        return USAGE;
    }
    let code = if error.use_stderr() { USAGE } else { 0 };
    if code == 0 {
        out::lost(error.print());
        return 0;
    }
    // what was typed stands in it, and goes the way of all text
    out::complain(&plainly(&error.render().to_string()));
    code
}

/// What the reader of numbers says, as what to write.
fn plainly(text: &str) -> String {
    let whole = "write a whole number";
    let text = text
        .replace("invalid digit found in string", whole)
        .replace("cannot parse integer from empty string", whole)
        .replace(
            "number too large to fit in target type",
            "write a smaller number",
        );
    text.replace(" is not in ", " is outside; write a whole number of ")
        .replace("..=", " to ")
}

/// A number with a minus, which reads as a flag that nobody has: the whole word as it was typed.
fn below_zero(error: &clap::Error, words: &[OsString]) -> Option<String> {
    let Some(ContextValue::String(flag)) = error.get(ContextKind::InvalidArg) else {
        return None;
    };
    let digit = |c: char| c.is_ascii_digit() || c == '.';
    let number = flag.strip_prefix('-')?.starts_with(digit);
    let typed = words.iter().map(|word| word.to_string_lossy());
    let whole = typed
        .into_iter()
        .find(|word| word.starts_with(flag.as_str()));
    let whole = whole.map_or_else(|| flag.clone(), |word| show::plain(&word, 24));
    (error.kind() == ErrorKind::UnknownArgument && number).then_some(whole)
}
