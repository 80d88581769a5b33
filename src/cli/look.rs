//! The settings of the screen, for the commands that take it.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use crate::plan::least_watch;
use crate::shell::clock::Clock;
use crate::shell::lock::Locking;
use crate::shell::paths::JobPaths;
use crate::shell::run::Shell;
use crate::shell::{Protocol, Wish};
use crate::ui::glyphs::Glyphs;
use crate::ui::theme::Theme;
use crate::ui::{Settings, Shades};
use crate::units::{Seconds, Units, parse};

/// Longest fire watch that can be set, minutes; the shortest is the one its card names.
const LONGEST_WATCH: f64 = 600.0;
/// Longest quiet time of a key, ms.
const MOST_QUIET: f64 = 5000.0;
/// Quiet time of a key unless set, ms.
const QUIET: u64 = 700;

/// How the screen looks. Given before the command or after it; what stands after it holds.
#[derive(Debug, Clone, Default, PartialEq, Args)]
#[command(next_help_heading = "Screen")]
pub(super) struct Look {
    /// Colours: terminal (its own), mono (none), dark or light
    #[arg(long, value_enum, hide_possible_values = true)]
    theme: Option<ThemeName>,
    /// Draw with plain ASCII characters only, for poor fonts
    #[arg(long)]
    ascii: bool,
    /// Pictures: auto (asks the terminal), blocks, kitty, iterm or sixel
    #[arg(long, value_enum, value_name = "HOW", hide_possible_values = true)]
    graphics: Option<GraphicsName>,
    /// Time before the same key acts again, in ms; a held key acts once [default: 700]
    #[arg(long, value_name = "MS", value_parser = quiet)]
    key_gap: Option<u64>,
    /// Fail on purpose, to test the handing back of the terminal
    #[arg(long, hide = true, value_name = "WHERE", value_parser = ["main", "worker"])]
    pub(super) crash: Option<String>,
}

/// What a screen at the anvil takes besides.
#[derive(Debug, Clone, Default, PartialEq, Args)]
#[command(next_help_heading = "Screen")]
pub(super) struct Anvil {
    #[command(flatten)]
    pub(super) look: Look,
    /// Length of the fire watch in minutes [default: 60, the least]
    #[arg(long, value_name = "MIN", value_parser = watch)]
    fire_watch: Option<Minutes>,
    /// Open the job without a lock, where the disk has none: only when no other copy has it open
    #[arg(long)]
    pub(super) no_lock: bool,
    /// Take the readings of a caliper or scale on a serial line: /dev/ttyUSB0 (9600 bits a second), or
    /// /dev/ttyUSB0:4800
    #[arg(long, value_name = "DEVICE")]
    pub(super) gauge: Option<String>,
    /// Where photographs of etched ends come to [default: the plan's folder]
    #[arg(long, value_name = "FOLDER")]
    pub(super) photos: Option<PathBuf>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Minutes(f64);

fn quiet(text: &str) -> Result<u64, String> {
    let read = parse::number(text).ok().filter(|typed| {
        let ms = typed.unit.is_empty() || typed.unit == "ms";
        ms && (0.0..=MOST_QUIET).contains(&typed.value)
    });
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "0 to 5000 by the check above"
    )]
    let whole = read.map(|typed| typed.value.round() as u64);
    whole.ok_or_else(|| format!("write a time of 0 to {MOST_QUIET} ms, as {QUIET}"))
}

fn watch(text: &str) -> Result<Minutes, String> {
    let (least, most) = (least_watch().minutes(), LONGEST_WATCH);
    let read = parse::quantity::<Seconds>(text, Units::Mm)
        .ok()
        .map(|time| time.0 / 60.0);
    let held = read.filter(|minutes| (least..=most).contains(minutes));
    held.map(Minutes).ok_or_else(|| {
        format!("a fire watch lasts {least} to {most} minutes; write {least} or more, or 2h")
    })
}

#[derive(Debug, Clone, Copy, PartialEq, ValueEnum)]
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

#[derive(Debug, Clone, Copy, PartialEq, ValueEnum)]
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
    /// This, and what was given before the command where nothing was given after it.
    pub(super) fn or(self, before: &Self) -> Self {
        let before = before.clone();
        Self {
            theme: self.theme.or(before.theme),
            ascii: self.ascii || before.ascii,
            graphics: self.graphics.or(before.graphics),
            key_gap: self.key_gap.or(before.key_gap),
            crash: self.crash.or(before.crash),
        }
    }

    /// What is wanted of sharp pictures. Without colour or with plain ASCII there are none.
    pub(super) fn sharp(&self) -> Wish {
        if self.ascii || self.theme() == Theme::Mono {
            return Wish::Blocks;
        }
        match self.graphics.unwrap_or(GraphicsName::Auto) {
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
    /// Takes the screen.
    pub(super) fn shell(&self, clock: Clock, paths: Option<JobPaths>) -> Result<Shell, String> {
        Shell::start(clock, paths, self.sharp())
            .map_err(|why| format!("the screen cannot be taken: {why}"))
    }

    /// Everything the screen can be set to.
    pub(super) fn settings(&self) -> Settings {
        Settings {
            theme: self.theme(),
            glyphs: if self.ascii {
                Glyphs::Ascii
            } else {
                super::out::glyphs()
            },
            shades: Shades::of(
                std::env::var("COLORTERM").ok().as_deref(),
                std::env::var("TERM").ok().as_deref(),
            ),
            // the terminal is asked when the screen is taken
            sharp: None,
            quiet_ms: self.key_gap.unwrap_or(QUIET),
            watch: least_watch(),
        }
    }
}

impl From<Look> for Anvil {
    fn from(look: Look) -> Self {
        Self {
            look,
            ..Self::default()
        }
    }
}

impl Anvil {
    /// How the job is kept from being worked twice.
    pub(super) fn locking(&self) -> Locking {
        if self.no_lock {
            Locking::Nothing
        } else {
            Locking::Lock
        }
    }

    /// This, and what was given before the command where nothing was given after it.
    pub(super) fn or(self, before: &Self) -> Self {
        Self {
            look: self.look.or(&before.look),
            fire_watch: self.fire_watch.or(before.fire_watch),
            no_lock: self.no_lock || before.no_lock,
            gauge: self.gauge.or_else(|| before.gauge.clone()),
            photos: self.photos.or_else(|| before.photos.clone()),
        }
    }

    /// Everything the screen can be set to.
    pub(super) fn settings(&self) -> Settings {
        let watch = self.fire_watch.map(|minutes| minutes.0);
        Settings {
            watch: watch.map_or_else(least_watch, Seconds::from_minutes),
            ..self.look.settings()
        }
    }
}
