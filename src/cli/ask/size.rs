//! `ask size`: hot size to cold and back.

use clap::Args;

use super::answer::Answer;
use super::read::{self, Asked};
use super::refused::Refused;
use super::say::{self, Kind};
use crate::metal::Composition;
use crate::physics::expansion::{self, strain};
use crate::physics::{Range, Spread};
use crate::units::{Celsius, Mm};

const TEMPERATURE: Range = Range {
    law: "hot size against cold",
    name: "temperature",
    unit: "C",
    least: -60.0,
    greatest: 1400.0,
};
/// Readings of the range: close enough together to see the step at A1.
const READINGS: u32 = 40;

/// Hot size to cold, and back
#[derive(Debug, Args)]
pub(super) struct Flags {
    /// What it measures hot
    #[arg(
        long,
        value_name = "LENGTH",
        required_unless_present = "cold",
        conflicts_with = "cold"
    )]
    hot: Option<String>,
    /// What it measures, or shall measure, cold
    #[arg(long, value_name = "LENGTH")]
    cold: Option<String>,
    /// How hot it is
    #[arg(long, value_name = "TEMP")]
    temperature: String,
    /// The steel: a grade, or an analysis as "c=0.8 mn=0.4"
    #[arg(long, default_value = "SAE 1084")]
    steel: String,
    /// How far off the temperature may be, either way
    #[arg(long, value_name = "DEGREES", default_value = "20 C")]
    off: String,
}

/// Growth from cold to hot as a part of the cold size, with the range that an error of `off` kelvin in
/// the temperature leaves.
fn growth(at: Celsius, off: f64, metal: &Composition) -> Spread {
    let readings: Vec<f64> = (0..=READINGS)
        .map(|n| at.0 - off + 2.0 * off * f64::from(n) / f64::from(READINGS))
        .map(|t| strain(Celsius(t), metal))
        .collect();
    Spread::preferring(strain(at, metal), &readings)
}

pub(super) fn ask(flags: &Flags, asked: Asked) -> Result<Answer, Refused> {
    let at = asked.temperature("--temperature", &flags.temperature)?;
    TEMPERATURE.check(at.0)?;
    let off = asked.difference("--off", &flags.off)?;
    let steel = read::steel("--steel", &flags.steel)?;
    let hot = asked.maybe_length("--hot", flags.hot.as_ref())?;
    let cold = asked.maybe_length("--cold", flags.cold.as_ref())?;
    let growth = growth(at, off, &steel.nominal);
    let (hot, cold) = match (hot, cold) {
        (Some(hot), _) => (Spread::exact(hot.0), growth.map(|g| hot.0 / (1.0 + g))),
        (None, Some(cold)) => (growth.map(|g| cold.0 * (1.0 + g)), Spread::exact(cold.0)),
        (None, None) => return Err(Refused::say("give --hot or --cold")),
    };
    let say = asked.say();
    let name = &steel.grade;
    let heat = say.temperature(at);
    let text = if flags.hot.is_some() {
        format!(
            "{} at {heat} is cold {}; {name} shrinks {}",
            asked.units.length(Mm(hot.best)),
            say.ranged(Kind::Length, cold, 4),
            say::shared(growth.map(|g| 100.0 * g / (1.0 + g)), "%", 3),
        )
    } else {
        format!(
            "{} cold is {} at {heat}; {name} grows {}",
            asked.units.length(Mm(cold.best)),
            say.ranged(Kind::Length, hot, 4),
            say::shared(growth.scaled(100.0), "%", 3),
        )
    };
    let range = format!(
        "the temperature off by {} either way",
        say.both(Kind::Difference, off, 3)
    );
    Ok(Answer::new("size", range)
        .say(text)
        .input("hot_mm", flags.hot.as_ref().map(|_| hot.best))
        .input("cold_mm", flags.cold.as_ref().map(|_| cold.best))
        .input("temperature_c", at.0)
        .input("off_k", off)
        .input("steel", name.clone())
        .range("hot", "mm", hot)
        .range("cold", "mm", cold)
        .range("growth", "percent", growth.scaled(100.0))
        .by(expansion::LAW))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn growth_of_mild_steel_is_the_standards() {
        // EN 1993-1-2:2005 3.4.1.1 (3.1a) at 600 C: 1.2e-5*600 + 0.4e-8*600^2 - 2.416e-4.
        let mild = Composition {
            c: 0.18,
            ..Composition::default()
        };
        let found = growth(Celsius(600.0), 20.0, &mild);
        assert!((found.best - 8.3984e-3).abs() < 1e-7);
        assert!(found.low < found.best && found.best < found.high);
    }

    #[test]
    fn the_range_sees_the_step_at_a1() {
        let steel = Composition {
            c: 0.84,
            ..Composition::default()
        };
        let found = growth(Celsius(740.0), 30.0, &steel);
        let ends = [
            strain(Celsius(710.0), &steel),
            strain(Celsius(770.0), &steel),
        ];
        assert!(found.low <= ends[1] && found.high >= ends[0]);
    }
}
