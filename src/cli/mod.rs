//! The command line: `work`, `check`, `status`, `ask`, `picture`, `draft`, and, with nothing said, the list of billets.

mod ask;
mod check;
mod draft;
mod list;
mod out;
mod picture;
mod record;
mod status;
mod work;

use std::ffi::OsString;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Args, CommandFactory, Parser, Subcommand, ValueEnum};

use crate::shell::{Protocol, Wish};
use crate::ui::glyphs::Glyphs;
use crate::ui::theme::Theme;
use crate::ui::{Settings, Shades};
use crate::units::Seconds;

/// Exit code for a plan with errors, or a job that cannot be opened.
const FOUND: u8 = 1;

/// Step through a forging plan at the anvil.
///
/// Pattern-welded steel, from the first stack to the finished knife: the operation now, target
/// sizes, layers and bands, a card of cautions, and a record that survives a power cut.
#[derive(Debug, Parser)]
#[command(name = "anvilside", version, max_term_width = 96)]
#[command(
    after_help = "With no command: the billets of this folder and of recent use; a number opens one.\n\
    Keys at the anvil: SPACE or + goes on, ENTER takes a value, BACKSPACE or - takes back, * is the menu.\n\n\
    The cards are reminders for a trained smith, not instructions or legal advice. Follow your local\n\
    code, the makers' sheets, and licensed trades for gas and electrical work."
)]
struct Cli {
    #[command(subcommand)]
    command: Option<Command>,
    #[command(flatten)]
    look: Look,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Work a plan, full screen; goes on where it was left
    Work(PlanArgs),
    /// Review a plan: errors, warnings, and sizes, counts and losses at every step
    Check {
        #[command(flatten)]
        plan: PlanArgs,
        /// Print JSON instead of the table (keys: plans/JSON.md)
        #[arg(long)]
        json: bool,
    },
    /// Whole plans from a wish: blade, pattern, rack and shop; the best are shown, one becomes a plan file
    Draft(Box<draft::DraftArgs>),
    /// Print the job's record: sizes, losses, heats, cards, notes, all with times
    Record(PlanArgs),
    /// Say where a billet is, from its plan and journal
    Status {
        #[command(flatten)]
        plan: PlanArgs,
        /// Print JSON instead of words (keys: plans/JSON.md)
        #[arg(long)]
        json: bool,
    },
    /// One answer at the bench: sizes, heat, force, hardening, each with its band and its source
    Ask(Box<ask::AskArgs>),
    /// A picture of the billet or the blade as PNG or SVG (end grain, side, face, or the ground blade), with
    /// how its lines run and what the steps to come do to them
    Picture(Box<picture::PictureArgs>),
}

#[derive(Debug, Args)]
struct PlanArgs {
    /// The plan file, as plans/kitchen-pair.toml
    plan: PathBuf,
}

/// How the screen looks.
#[derive(Debug, Clone, Args)]
pub(crate) struct Look {
    /// Colours: the terminal's own, none, or high contrast on black or white
    #[arg(long, value_enum, global = true, help_heading = "Screen")]
    theme: Option<ThemeName>,
    /// Draw with plain ASCII characters only, for poor fonts
    #[arg(long, global = true, help_heading = "Screen")]
    ascii: bool,
    /// Sharp pictures where the terminal says it takes them (asked once, not over SSH nor in a multiplexer); or half blocks
    #[arg(
        long,
        value_enum,
        global = true,
        help_heading = "Screen",
        default_value = "auto"
    )]
    graphics: GraphicsName,
    /// Quiet time before the same key acts again, in ms (a held key acts once)
    #[arg(long, global = true, help_heading = "Screen", value_name = "MS", default_value_t = 700, value_parser = clap::value_parser!(u64).range(0..=5000))]
    key_gap: u64,
    /// Length of the fire watch in minutes; 60 or more
    #[arg(long, global = true, help_heading = "Screen", value_name = "MIN", default_value_t = 60, value_parser = clap::value_parser!(u32).range(60..=600))]
    fire_watch: u32,
    /// Fail on purpose, to test the handing back of the terminal
    #[arg(long, global = true, hide = true, value_name = "WHERE", value_parser = ["main", "worker"])]
    crash: Option<String>,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum ThemeName {
    /// The terminal's own sixteen colours
    Terminal,
    /// No colour at all (also by the variable NO_COLOR)
    Mono,
    /// High contrast on black
    Dark,
    /// High contrast on white
    Light,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum GraphicsName {
    /// What the terminal says; half blocks when it does not answer at once
    Auto,
    /// Half blocks; the terminal is asked nothing
    Blocks,
    /// The kitty graphics protocol
    Kitty,
    /// Inline pictures by OSC 1337
    Iterm,
    /// Sixel
    Sixel,
}

impl Look {
    /// What is wanted of sharp pictures. Without colour or with plain ASCII there are none.
    fn sharp(&self) -> Wish {
        if self.ascii || self.theme() == Theme::Mono {
            return Wish::Blocks;
        }
        match self.graphics {
            GraphicsName::Auto if Wish::may_ask(|name| std::env::var(name).ok()) => Wish::Ask,
            GraphicsName::Auto | GraphicsName::Blocks => Wish::Blocks,
            GraphicsName::Kitty => Wish::Only(Protocol::Kitty),
            GraphicsName::Iterm => Wish::Only(Protocol::Inline),
            GraphicsName::Sixel => Wish::Only(Protocol::Sixel),
        }
    }

    /// The theme: asked for, or mono where NO_COLOR is set, or the terminal's own.
    fn theme(&self) -> Theme {
        match self.theme {
            Some(ThemeName::Terminal) => Theme::Terminal,
            Some(ThemeName::Mono) => Theme::Mono,
            Some(ThemeName::Dark) => Theme::Dark,
            Some(ThemeName::Light) => Theme::Light,
            None if std::env::var_os("NO_COLOR").is_some_and(|v| !v.is_empty()) => Theme::Mono,
            None => Theme::Terminal,
        }
    }
}

impl Look {
    /// Everything the screen can be set to.
    fn settings(&self) -> Settings {
        Settings {
            theme: self.theme(),
            glyphs: if self.ascii {
                Glyphs::Ascii
            } else {
                Glyphs::Blocks
            },
            shades: Shades::of(
                std::env::var("COLORTERM").ok().as_deref(),
                std::env::var("TERM").ok().as_deref(),
            ),
            // the terminal is asked when the screen is taken
            sharp: None,
            quiet_ms: self.key_gap,
            watch: Seconds::from_minutes(f64::from(self.fire_watch)),
        }
    }
}

/// The command line as it stands, for pages and tests.
#[must_use]
pub fn command() -> clap::Command {
    Cli::command()
}

/// Runs the program with these arguments.
pub fn run(args: impl IntoIterator<Item = OsString>) -> ExitCode {
    let cli = match Cli::try_parse_from(args) {
        Ok(cli) => cli,
        Err(error) => {
            // Help and version are answers; everything else is a usage error.
            let code = if error.use_stderr() { 2 } else { 0 };
            if error.print().is_err() {
                return ExitCode::from(2);
            }
            return ExitCode::from(code);
        }
    };
    let code = match cli.command {
        None => list::run(&cli.look),
        Some(Command::Work(plan)) => work::run(None, &plan.plan, &cli.look),
        Some(Command::Check { plan, json }) => check::run(&plan.plan, json),
        Some(Command::Draft(args)) => draft::run(&args, &cli.look),
        Some(Command::Record(plan)) => record::run(&plan.plan),
        Some(Command::Status { plan, json }) => status::run(&plan.plan, json),
        Some(Command::Ask(args)) => ask::run(&args),
        Some(Command::Picture(args)) => picture::run(&args),
    };
    ExitCode::from(code)
}
