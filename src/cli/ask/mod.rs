//! `anvilside ask TOPIC`: one answer at the bench, with its band, the law and its source.
//!
//! Each topic is one file: its flags, a pure function from numbers to numbers, and the words. To add a
//! topic: a file, a row in [`Topic`], a section in `shared/ASK.md`; `tests/it/ask` holds the page.

mod answer;
#[cfg(test)]
mod fuzz;
mod orders;
mod read;
mod refused;
mod say;
mod stack;
mod warmth;
mod worked;

mod blade;
mod carbon;
mod cooling;
mod force;
mod hardness;
mod mass;
mod restacks;
mod scale;
mod size;
mod soak;
mod sources;
mod spread;
mod window;

use clap::{Args, Subcommand, ValueEnum};

use super::out;
use crate::units::Units;
use answer::Answer;
use read::Asked;
use refused::Refused;

/// Exit code for a question that cannot be answered as it was asked.
const ASKED_WRONG: u8 = 2;

/// What is asked, and how.
#[derive(Debug, Args)]
#[command(
    subcommand_value_name = "TOPIC",
    subcommand_help_heading = "Topics",
    disable_help_subcommand = true,
    after_help = "Numbers take units: \"1-3/8 in\", 40mm, 1100C, 2000F, \"10 min\", 25t. All topics with examples: shared/ASK.md.\n\
    Answers are estimates for a trained smith; the makers' sheets and local rules come first."
)]
pub(super) struct AskArgs {
    #[command(subcommand)]
    topic: Topic,
    /// Units of bare numbers, and the first in the answer (in: inches, pounds, Fahrenheit)
    #[arg(long, value_enum, global = true, default_value_t = UnitsName::Mm)]
    units: UnitsName,
    /// Print JSON instead of words (always metric)
    #[arg(long, global = true)]
    json: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum UnitsName {
    /// Millimetres, grams, Celsius
    Mm,
    /// Inches, pounds, Fahrenheit
    In,
}

#[derive(Debug, Subcommand)]
enum Topic {
    Size(size::Flags),
    Mass(mass::Flags),
    Soak(soak::Flags),
    Cooling(cooling::Flags),
    Scale(scale::Flags),
    Carbon(carbon::Flags),
    Force(Box<force::Flags>),
    Spread(spread::Flags),
    Window(window::Flags),
    Hardness(hardness::Flags),
    Restacks(Box<restacks::Flags>),
    Blade(Box<blade::Flags>),
    Sources(sources::Flags),
}

/// Answers; 0, or 2 when it was asked wrongly.
pub(super) fn run(args: &AskArgs) -> u8 {
    let units = match args.units {
        UnitsName::Mm => Units::Mm,
        UnitsName::In => Units::Inch,
    };
    let found = answer(&args.topic, Asked { units }, args.json);
    out::told_with(found.map_err(|why| {
        let words = format!("anvilside ask: {}", why.text(units));
        (ASKED_WRONG, words)
    }))
}

fn answer(topic: &Topic, asked: Asked, json: bool) -> Result<String, Refused> {
    let found: Answer = match topic {
        Topic::Size(flags) => size::ask(flags, asked)?,
        Topic::Mass(flags) => mass::ask(flags, asked)?,
        Topic::Soak(flags) => soak::ask(flags, asked)?,
        Topic::Cooling(flags) => cooling::ask(flags, asked)?,
        Topic::Scale(flags) => scale::ask(flags, asked)?,
        Topic::Carbon(flags) => carbon::ask(flags, asked)?,
        Topic::Force(flags) => force::ask(flags, asked)?,
        Topic::Spread(flags) => spread::ask(flags, asked)?,
        Topic::Window(flags) => window::ask(flags, asked)?,
        Topic::Hardness(flags) => hardness::ask(flags, asked)?,
        Topic::Restacks(flags) => restacks::ask(flags, asked)?,
        Topic::Blade(flags) => blade::ask(flags, asked)?,
        Topic::Sources(flags) => {
            return if json {
                sources::json(flags).map(|value| value.to_string())
            } else {
                sources::words(flags)
            };
        }
    };
    Ok(if json {
        found.json().to_string()
    } else {
        found.lines()
    })
}
