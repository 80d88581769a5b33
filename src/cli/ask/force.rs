//! `ask force`: what a bite takes under a press, and what a hammer blow does to it.

use clap::Args;

use super::answer::Answer;
use super::read::{self, Asked};
use super::refused::Refused;
use super::say::{self, Kind};
use crate::metal::Composition;
use crate::physics::hammer::{self, Hammer};
use crate::physics::press_force::{self, longest_bite, stops_at, widest_bar};
use crate::physics::reach;
use crate::physics::{
    Bite, Blow, OutOfRange, Pressing, Range, Spread, flow_stress, spread_coefficient,
};
use crate::units::{Fraction, Kilonewtons, Mm};

/// Strain at which a bite is judged when nothing is said of its end.
const GOOD_BITE: f64 = 0.2;
/// Least strain at which the flow stress of a bite is read.
const LEAST_STRAIN: f64 = 0.1;

/// Force of a press bite, and what a hammer blow does
#[derive(Debug, Args)]
pub(super) struct Flags {
    /// Width of the bar
    #[arg(long, value_name = "LENGTH")]
    width: String,
    /// Thickness between the dies, before the bite
    #[arg(long, value_name = "LENGTH")]
    thickness: String,
    /// Length of bar under the dies
    #[arg(long, value_name = "LENGTH")]
    bite: String,
    /// Temperature of the bar
    #[arg(long, value_name = "TEMP")]
    temperature: String,
    /// Thickness at the end of the bite: gives the force to get there
    #[arg(long, value_name = "LENGTH")]
    to: Option<String>,
    /// A press of this force: does it move, and where does it stop
    #[arg(long, value_name = "FORCE")]
    press: Option<String>,
    /// A power hammer with a ram of this mass: what one blow does
    #[arg(long, value_name = "MASS")]
    ram: Option<String>,
    /// Speed of the ram at the work
    #[arg(long, value_name = "SPEED", default_value = "4 m/s")]
    speed: String,
    /// Part of the blow that goes into the work
    #[arg(long, value_name = "SHARE", default_value = "70 %")]
    efficiency: String,
    /// Strain rate per second; 0.5 to 2 under a press
    #[arg(long, value_name = "RATE", default_value = "1")]
    rate: String,
    /// The steel: a grade, or an analysis as "c=0.8 mn=0.4"
    #[arg(long, default_value = "SAE 1084")]
    steel: String,
}

/// Force in kN to start a good bite, or to bring it down to `to`.
fn needed(bite: Bite, at: &Pressing, to: Option<Mm>) -> Result<Spread, OutOfRange> {
    let Some(to) = to else {
        return press_force::press_force(bite, at);
    };
    let thinner = Range {
        law: "a bite",
        name: "thickness after it",
        unit: "mm",
        least: press_force::SIZE.least,
        greatest: bite.height.0,
    };
    let squeeze = bite.height.0 / thinner.check(to.0)?;
    let s = spread_coefficient(bite.bite, bite.width)?.best;
    let end = Bite {
        width: Mm((bite.width.0 * squeeze.powf(s)).min(press_force::SIZE.greatest)),
        height: to,
        ..bite
    };
    let strain = squeeze.ln().max(LEAST_STRAIN);
    press_force::press_force(end, &Pressing { strain, ..*at })
}

/// What a press of a known force does.
struct Pressed {
    stops: Spread,
    widest: Spread,
    longest: Spread,
}

fn pressed(press: Kilonewtons, bite: Bite, at: &Pressing) -> Result<Pressed, OutOfRange> {
    Ok(Pressed {
        stops: stops_at(press, bite, at)?,
        widest: widest_bar(press, bite.bite, bite.height, at)?,
        longest: longest_bite(press, bite.width, bite.height, at)?,
    })
}

/// Whether a press of this force does it, in words.
fn verdict(press: Kilonewtons, needed: Spread) -> &'static str {
    if press.0 >= needed.high {
        "does it"
    } else if press.0 >= needed.best {
        "should do it"
    } else if press.0 >= needed.low {
        "may stall"
    } else {
        "does not do it"
    }
}

pub(super) fn ask(flags: &Flags, asked: Asked) -> Result<Answer, Refused> {
    let steel = read::steel("--steel", &flags.steel)?;
    let metal: Composition = steel.nominal;
    let temperature = asked.temperature("--temperature", &flags.temperature)?;
    let bite = Bite {
        bite: asked.length("--bite", &flags.bite)?,
        width: asked.length("--width", &flags.width)?,
        height: asked.length("--thickness", &flags.thickness)?,
    };
    let to = asked.maybe_length("--to", flags.to.as_ref())?;
    let at = Pressing {
        metal,
        temperature,
        strain: GOOD_BITE,
        rate: read::plain("--rate", &flags.rate, &["per second", "/s", "s"])?,
    };
    let force = needed(bite, &at, to)?;
    let say = asked.say();
    let task = match to {
        Some(to) => format!("down to {} takes", asked.units.length(to)),
        None => "takes".to_owned(),
    };
    let mut text = format!(
        "a bite of {} on {} of {} at {} {task} {}",
        asked.units.length(bite.bite),
        say.size(&[bite.width.0, bite.height.0]),
        steel.grade,
        say.temperature(temperature),
        say.ranged(Kind::Force, force, 3),
    );
    let press = flags
        .press
        .as_ref()
        .map(|text| read::force("--press", text))
        .transpose()?;
    let done = press.map(|press| pressed(press, bite, &at)).transpose()?;
    if let Some((press, done)) = press.zip(done.as_ref()) {
        text = format!(
            "{text}; a press of {} {}, and stops at {}; it moves a bar this thick up to {} wide",
            say.both(Kind::Force, press.0, 3),
            verdict(press, force),
            say.ranged(Kind::Length, done.stops, 3),
            say.ranged(Kind::Length, done.widest, 2),
        );
    }
    let hammer = flags
        .ram
        .as_ref()
        .map(|ram| hammer(ram, flags, asked))
        .transpose()?;
    let blow = hammer
        .map(|h| h.blow(bite, &metal, temperature))
        .transpose()?;
    if let Some((hammer, blow)) = hammer.zip(blow.as_ref()) {
        text = format!("{text}; {}", blow_words(&hammer, blow, say)?);
    }
    let energy = hammer.map(|h| h.energy()).transpose()?;
    let answer = Answer::new(
        "force",
        "die pressure 0.9 to 1.25 of the best, and the flow stress",
    )
    .say(text)
    .input("width_mm", bite.width.0)
    .input("thickness_mm", bite.height.0)
    .input("bite_mm", bite.bite.0)
    .input("to_mm", to.map(Mm::get))
    .input("temperature_c", temperature.0)
    .input("rate_per_s", at.rate)
    .input("press_kn", press.map(Kilonewtons::get))
    .input("ram_g", hammer.map(|h| h.ram.0))
    .input("steel", steel.grade)
    .range("force", "kn", force)
    .range("stops_at", "mm", done.as_ref().map(|d| d.stops))
    .range("widest_bar", "mm", done.as_ref().map(|d| d.widest))
    .range("longest_bite", "mm", done.as_ref().map(|d| d.longest))
    .figure("press_verdict", press.map(|press| verdict(press, force)))
    .figure("blow_j", energy.map(crate::units::Joules::get))
    .range("blow_off", "mm", blow.as_ref().map(|b| b.off))
    .figure("blow_verdict", blow.as_ref().map(|b| b.verdict.words()))
    .leaving_out(&reach::ignored(
        &metal,
        &["mn", "si", "cr", "ni", "mo", "v", "w"],
    ))
    .by(press_force::LAW)
    .by(flow_stress::LAW);
    Ok(if hammer.is_some() {
        answer.by(hammer::LAW)
    } else {
        answer
    })
}

fn hammer(ram: &str, flags: &Flags, asked: Asked) -> Result<Hammer, Refused> {
    let efficiency: Fraction = read::share("--efficiency", &flags.efficiency)?;
    Ok(Hammer {
        ram: asked.mass("--ram", ram)?,
        speed: read::plain("--speed", &flags.speed, &["m/s"])?,
        efficiency,
    })
}

fn blow_words(hammer: &Hammer, blow: &Blow, say: say::Say) -> Result<String, OutOfRange> {
    Ok(format!(
        "a ram of {} strikes with {} and takes off {} a blow: {}",
        say.both(Kind::Mass, hammer.ram.0, 3),
        say.both(Kind::Energy, hammer.energy()?.0, 3),
        say.ranged(Kind::Length, blow.off, 2),
        blow.verdict.words(),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Celsius;

    fn at(temperature: f64) -> Pressing {
        Pressing {
            metal: Composition {
                c: 0.8,
                ..Composition::default()
            },
            temperature: Celsius(temperature),
            strain: GOOD_BITE,
            rate: 1.0,
        }
    }

    #[test]
    fn the_end_of_a_deep_bite_takes_more_than_its_start() {
        let bite = Bite::new(50.0, 40.0, 20.0);
        let start = needed(bite, &at(1100.0), None).unwrap();
        let end = needed(bite, &at(1100.0), Some(Mm(12.0))).unwrap();
        assert!(end.best > start.best);
        assert!(needed(bite, &at(1100.0), Some(Mm(25.0))).is_err());
        assert!(needed(bite, &at(500.0), None).is_err());
    }

    #[test]
    fn where_a_press_stops_is_where_its_force_is_needed() {
        let bite = Bite::new(25.0, 50.0, 50.0);
        let press = Kilonewtons::from_us_tons(25.0);
        let done = pressed(press, bite, &at(1100.0)).unwrap();
        let there = needed(bite, &at(1100.0), Some(Mm(done.stops.best))).unwrap();
        assert!((there.best / press.0 - 1.0).abs() < 1e-6);
        assert_eq!(verdict(press, there.scaled(0.5)), "does it");
        assert_eq!(verdict(press, there.scaled(5.0)), "does not do it");
    }
}
