//! `ask cooling`: seconds left to work a bar out of the fire.

use clap::{Args, ValueEnum};

use super::answer::Answer;
use super::read::Asked;
use super::refused::Refused;
use super::say;
use super::warmth::{EMISSIVITIES, FASTEST, SectionFlags, ranged};
use crate::physics::Spread;
use crate::physics::section::{self, Contact, Section, SectionError, Surroundings, cool};
use crate::units::Celsius;

/// Contact takes most of the heat when it leaves less than this part of the time in air.
const RULES: f64 = 0.5;

/// Seconds left out of the fire
#[derive(Debug, Args)]
pub(super) struct Flags {
    #[command(flatten)]
    section: SectionFlags,
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
    /// Held in the air; the range reaches from still air to a draught
    Air,
    /// Held in a draught: an open door, a blower's waste air
    Draught,
    /// Lying on the anvil or the lower die
    Anvil,
    /// Worked between dies, which touch a fifth of the time
    Dies,
    /// The length in the jaws of tongs; the rest is as in air
    Tongs,
}

impl On {
    const fn words(self) -> &'static str {
        match self {
            Self::Air => "in air",
            Self::Draught => "in a draught",
            Self::Anvil => "lying on the anvil",
            Self::Dies => "between dies",
            Self::Tongs => "in the jaws of tongs",
        }
    }

    /// True where something cold touches the bar.
    const fn touches(self) -> bool {
        matches!(self, Self::Anvil | Self::Dies | Self::Tongs)
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
            Self::Draught => open.in_draught(),
            Self::Anvil => open.lying_on(touch(Contact::RESTING)),
            Self::Dies => open.between(touch(Contact::WORKING)),
            Self::Tongs => open.between(touch(Contact::RESTING)),
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
    let strengths = if on.touches() {
        [1.0, 2.0, 0.4]
    } else {
        [1.0; 3]
    };
    let own = EMISSIVITIES.into_iter().zip(strengths);
    let mut cases: Vec<Surroundings> = own.map(|(e, strength)| on.around(e, strength)).collect();
    if on == On::Air {
        cases.push(On::Draught.around(FASTEST, 1.0));
    }
    let mut corner = Vec::new();
    let mut mean = Vec::new();
    for around in cases {
        if start <= floor {
            mean.push(0.0);
            corner.push(0.0);
            continue;
        }
        let course = cool(bar, start, floor, &around)?;
        mean.push(course.mean_at(floor).map_or(f64::NAN, |s| s.0));
        let coldest = course.moments().iter().find(|now| now.coldest <= floor);
        corner.push(coldest.map_or(f64::NAN, |now| now.seconds.0));
    }
    Ok((ranged(&mean), ranged(&corner)))
}

pub(super) fn ask(flags: &Flags, asked: Asked) -> Result<Answer, Refused> {
    let bar = flags.section.read(asked)?;
    let start = asked.temperature("--start", &flags.start)?;
    let floor = asked.temperature("--down-to", &flags.down_to)?;
    if start <= floor {
        return Err(Refused::say("--start must be hotter than --down-to"));
    }
    let (mean, corner) = seconds(bar, start, floor, flags.on)?;
    let say = asked.say();
    // What the contact takes of the time that still air leaves.
    let (air, _) = seconds(bar, start, floor, On::Air)?;
    let contact = if flags.on.touches() {
        mean
    } else {
        seconds(bar, start, floor, On::Dies)?.0
    };
    let rules = contact.best < RULES * air.best;
    let mut text = format!(
        "{} from {} {}: down to {} after {}; its corners after {}",
        say.size(&[bar.width.0, bar.thickness.0]),
        say.both(say::Kind::Temperature, start.0, 3),
        flags.on.words(),
        say.both(say::Kind::Temperature, floor.0, 3),
        say::time(mean),
        say::time(corner),
    );
    let range = match flags.on {
        On::Air => {
            "emissivity of the steel from 0.9 to 0.7, from still air to a draught of 50 W/m2/K"
        }
        On::Draught => "emissivity of the steel from 0.9 to 0.7",
        On::Anvil | On::Dies | On::Tongs => {
            "emissivity of the steel from 0.9 to 0.7, contact from 2 to 0.4 times the usual"
        }
    };
    if rules {
        text = match flags.on.touches() {
            true => format!(
                "{text}; the contact takes most of its heat ({} in air)",
                say::time(air)
            ),
            false => format!(
                "{text}; worked between dies after {}: the contact takes most of its heat",
                say::time(contact)
            ),
        };
    }
    Ok(Answer::new("cooling", range)
        .say(text)
        .input("width_mm", bar.width.0)
        .input("thickness_mm", bar.thickness.0)
        .input("start_c", start.0)
        .input("down_to_c", floor.0)
        .input("on", flags.on.words())
        .range("cooling", "s", mean)
        .range("corners", "s", corner)
        .figure("contact_rules", rules)
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
        let course = cool(bar, start, floor, &Surroundings::air()).unwrap();
        let own = course.mean_at(floor).unwrap();
        assert!((air.best - own.0).abs() < 1e-6);
        assert!(air.low < air.best && air.best < air.high);
        assert!(corner.best < air.best);
        let (anvil, _) = seconds(bar, start, floor, On::Anvil).unwrap();
        let (dies, _) = seconds(bar, start, floor, On::Dies).unwrap();
        assert!(anvil.best < air.best && dies.best < anvil.best);
        let (tongs, _) = seconds(bar, start, floor, On::Tongs).unwrap();
        assert!(tongs.best < anvil.best);
    }
}
