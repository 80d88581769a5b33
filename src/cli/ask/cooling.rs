//! `ask cooling`: seconds left to work a bar out of the fire.

use clap::{Args, ValueEnum};

use super::answer::Answer;
use super::read::Asked;
use super::refused::Refused;
use super::say;
use super::warmth::{EMISSIVITIES, ranged};
use crate::physics::Spread;
use crate::physics::section::{self, Contact, Section, SectionError, Surroundings, cool};
use crate::units::Celsius;

/// Seconds left out of the fire
#[derive(Debug, Args)]
pub(super) struct Flags {
    /// Width of the section, cold
    #[arg(long, value_name = "LENGTH")]
    width: String,
    /// Thickness of the section, cold
    #[arg(long, value_name = "LENGTH")]
    thickness: String,
    /// Temperature when it leaves the fire
    #[arg(long, value_name = "TEMP")]
    start: String,
    /// Where the work must stop
    #[arg(long, value_name = "TEMP")]
    down_to: String,
    /// What it lies on
    #[arg(long, value_enum, default_value_t = On::Air)]
    on: On,
}

/// What takes the heat off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum On {
    /// Held in still air
    Air,
    /// Lying on the anvil or the lower die
    Anvil,
    /// Worked between dies, which touch a fifth of the time
    Dies,
}

impl On {
    const fn words(self) -> &'static str {
        match self {
            Self::Air => "in still air",
            Self::Anvil => "lying on the anvil",
            Self::Dies => "between dies",
        }
    }

    /// The surroundings, with the contact as strong as `strength` times the usual.
    fn around(self, emissivity: f64, strength: f64) -> Surroundings {
        let open = Surroundings {
            emissivity,
            ..Surroundings::air()
        };
        let touch = |contact: Contact| Contact {
            conductance: contact.conductance * strength,
            ..contact
        };
        match self {
            Self::Air => open,
            Self::Anvil => open.lying_on(touch(Contact::RESTING)),
            Self::Dies => open.between(touch(Contact::WORKING)),
        }
    }
}

/// Seconds until the mean, and until the coldest corner, are down to `floor`.
fn seconds(
    bar: Section,
    start: Celsius,
    floor: Celsius,
    on: On,
) -> Result<(Spread, Spread), SectionError> {
    // Contact is known to a factor of two and more: 2000 to 10000 W/m2/K under a die.
    let strengths = if on == On::Air {
        [1.0, 1.0, 1.0]
    } else {
        [1.0, 2.0, 0.4]
    };
    let cases: Vec<(f64, f64)> = EMISSIVITIES.into_iter().zip(strengths).collect();
    let mut corner = Vec::new();
    let mut mean = Vec::new();
    for (emissivity, strength) in cases {
        if start <= floor {
            mean.push(0.0);
            corner.push(0.0);
            continue;
        }
        let course = cool(bar, start, floor, &on.around(emissivity, strength))?;
        mean.push(course.mean_at(floor).map_or(f64::NAN, |s| s.0));
        let coldest = course.moments().iter().find(|now| now.coldest <= floor);
        corner.push(coldest.map_or(f64::NAN, |now| now.seconds.0));
    }
    Ok((ranged(&mean), ranged(&corner)))
}

pub(super) fn ask(flags: &Flags, asked: Asked) -> Result<Answer, Refused> {
    let bar = Section {
        width: asked.length("--width", &flags.width)?,
        thickness: asked.length("--thickness", &flags.thickness)?,
    };
    let start = asked.temperature("--start", &flags.start)?;
    let floor = asked.temperature("--down-to", &flags.down_to)?;
    if start <= floor {
        return Err(Refused::say("--start must be hotter than --down-to"));
    }
    let (mean, corner) = seconds(bar, start, floor, flags.on)?;
    let say = asked.say();
    let text = format!(
        "{} from {} {}: down to {} after {}; its corners after {}",
        say.size(&[bar.width.0, bar.thickness.0]),
        say.both(say::Kind::Temperature, start.0, 3),
        flags.on.words(),
        say.both(say::Kind::Temperature, floor.0, 3),
        say::time(mean),
        say::time(corner),
    );
    let range = if flags.on == On::Air {
        "emissivity of the steel from 0.9 to 0.7"
    } else {
        "emissivity of the steel from 0.9 to 0.7, contact from 2 to 0.4 times the usual"
    };
    Ok(Answer::new("cooling", range)
        .say(text)
        .input("width_mm", bar.width.0)
        .input("thickness_mm", bar.thickness.0)
        .input("start_c", start.0)
        .input("down_to_c", floor.0)
        .input("on", flags.on.words())
        .range("cooling", "s", mean)
        .range("corners", "s", corner)
        .by(section::LAW))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Mm;

    #[test]
    fn the_middle_is_the_laws_own_and_a_cold_anvil_takes_more() {
        let bar = Section {
            width: Mm(40.0),
            thickness: Mm(20.0),
        };
        let (start, floor) = (Celsius(1200.0), Celsius(900.0));
        let (air, corner) = seconds(bar, start, floor, On::Air).unwrap();
        let own = section::seconds_left(bar, start, floor, &Surroundings::air()).unwrap();
        assert!((air.best - own.0).abs() < 1e-6);
        assert!(air.low < air.best && air.best < air.high);
        assert!(corner.best < air.best);
        let (anvil, _) = seconds(bar, start, floor, On::Anvil).unwrap();
        let (dies, _) = seconds(bar, start, floor, On::Dies).unwrap();
        assert!(anvil.best < air.best && dies.best < anvil.best);
    }
}
