//! `ask soak`: how long a bar must stand in the fire until it is hot through.

use clap::{Args, ValueEnum};

use super::answer::Answer;
use super::read::Asked;
use super::refused::Refused;
use super::say;
use super::warmth::{EMISSIVITIES, SLOWEST, SectionFlags, ranged};
use crate::physics::section::{self, Section, SectionError, Surroundings, heat};
use crate::physics::{Range, Spread};
use crate::units::Celsius;

const WITHIN: Range = Range {
    law: "soaking",
    name: "difference",
    unit: "K",
    least: 1.0,
    greatest: 500.0,
};

const FIRE: Range = Range {
    law: "section heating",
    name: "fire",
    unit: "C",
    least: 20.0,
    greatest: 1400.0,
};

/// Time in the fire until the core is hot
#[derive(Debug, Args)]
pub(super) struct Flags {
    #[command(flatten)]
    section: SectionFlags,
    /// Temperature of the fire
    #[arg(long, value_name = "TEMP")]
    fire: String,
    /// Temperature of the bar when it goes in
    #[arg(long, value_name = "TEMP", default_value = "20 C")]
    start: String,
    /// What the bar lies on in the fire; unsaid, the range covers both
    #[arg(long, value_enum)]
    lies: Option<Lies>,
    /// How near the core shall come to the fire
    #[arg(long, value_name = "DEGREES", default_value = "20 C")]
    within: String,
}

/// What the lower face has of the fire.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Lies {
    /// Fire on all sides: held up, or in the middle of the coals
    Free,
    /// On a hearth or floor that gives the lower face nothing
    Hearth,
}

impl Lies {
    const fn words(self) -> &'static str {
        match self {
            Self::Free => "free",
            Self::Hearth => "on the hearth",
        }
    }
}

/// Seconds until the core stands within `within` kelvin of the fire, over the emissivities of scaled
/// steel, and over what it may lie on where that is not said. The best is in the middle of both.
fn soak(
    bar: Section,
    start: Celsius,
    fire: Celsius,
    within: f64,
    lies: Option<Lies>,
) -> Result<Spread, SectionError> {
    let wanted = Celsius(fire.0 - within);
    let mut found = Vec::new();
    if start >= wanted {
        return Ok(Spread::exact(0.0));
    }
    let free = lies != Some(Lies::Hearth);
    let mut cases: Vec<(f64, bool)> = EMISSIVITIES.map(|e| (e, !free)).to_vec();
    // The slowest: poor emissivity, and nothing from below.
    if lies.is_none() {
        cases.push((SLOWEST, true));
    }
    for (emissivity, hearth) in cases {
        let open = Surroundings {
            emissivity,
            ..Surroundings::furnace(fire)
        };
        let around = if hearth { open.on_hearth() } else { open };
        let course = heat(bar, start, wanted, &around)?;
        let seconds = course.centre_at(wanted);
        found.push(seconds.map_or(f64::NAN, |s| s.0));
    }
    Ok(ranged(&found))
}

pub(super) fn ask(flags: &Flags, asked: Asked) -> Result<Answer, Refused> {
    let bar = flags.section.read(asked)?;
    let fire = asked.temperature("--fire", &flags.fire)?;
    FIRE.check(fire.0)?;
    let start = asked.temperature("--start", &flags.start)?;
    let within = WITHIN.check(asked.difference("--within", &flags.within)?)?;
    let say = asked.say();
    if start > fire {
        return Err(Refused::say(format!(
            "a bar at {} in a fire at {} cools: nothing is to soak; give a hotter --fire, or ask cooling",
            say.both(say::Kind::Temperature, start.0, 3),
            say.both(say::Kind::Temperature, fire.0, 3),
        )));
    }
    let time = soak(bar, start, fire, within, flags.lies)?;
    let lies = flags
        .lies
        .map_or(String::new(), |on| format!(", {}", on.words()));
    let text = format!(
        "{} from {} in a fire at {}{lies}: core within {} of it after {}",
        say.size(&[bar.width.0, bar.thickness.0]),
        say.both(say::Kind::Temperature, start.0, 3),
        say.both(say::Kind::Temperature, fire.0, 3),
        say.both(say::Kind::Difference, within, 3),
        say::time(time),
    );
    Ok(Answer::new(
        "soak",
        match flags.lies {
            Some(_) => "emissivity of the steel from 0.9 to 0.7; an open or crowded fire takes longer",
            None => {
                "emissivity of the steel from 0.9 to 0.7, and from fire on all sides to a hearth that gives \
                 the lower face nothing (--lies says which); an open or crowded fire takes longer"
            }
        },
    )
    .say(text)
    .input("width_mm", bar.width.0)
    .input("thickness_mm", bar.thickness.0)
    .input("fire_c", fire.0)
    .input("start_c", start.0)
    .input("within_k", within)
    .input("lies", flags.lies.map(Lies::words))
    .range("soak", "s", time)
    .figure("core_c", fire.0 - within)
    .by(section::LAW))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Mm;

    #[test]
    fn the_middle_is_the_laws_own_soak() {
        let bar = Section {
            width: Mm(30.0),
            thickness: Mm(30.0),
        };
        let (start, fire) = (Celsius(20.0), Celsius(1250.0));
        let found = soak(bar, start, fire, 20.0, None).unwrap();
        let own = section::soak(bar, start, fire, Celsius(20.0)).unwrap();
        assert!((found.best - own.0).abs() < 1e-6);
        assert!(found.low < found.best && found.best < found.high);
        let hot = soak(bar, Celsius(1240.0), fire, 20.0, None).unwrap();
        assert!(hot.best.abs() < 1e-9);
        let hearth = soak(bar, start, fire, 20.0, Some(Lies::Hearth)).unwrap();
        let free = soak(bar, start, fire, 20.0, Some(Lies::Free)).unwrap();
        // Three faces for four: a third longer, and more for the longer way through.
        assert!(hearth.best > 1.3 * free.best && hearth.best < 1.6 * free.best);
        assert!(found.holds(hearth.best) && found.holds(free.low) && free.high < found.high);
    }
}
