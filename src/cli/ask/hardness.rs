//! `ask hardness`: as quenched and tempered, the temper for a wanted hardness, and how thick a blade
//! hardens through.

use clap::{Args, ValueEnum};

use super::answer::Answer;
use super::read::{self, Asked};
use super::refused::Refused;
use super::say::{self, Kind};
use crate::metal::{Composition, Steel};
use crate::physics::hardening::{self, Member};
use crate::physics::quench::{self, Quench, plate_mm};
use crate::physics::tempering::{self, hardness_after, temperature_for};
use crate::physics::{OutOfRange, Spread, hardenability, hardness};
use crate::units::{Celsius, Mm, Seconds};

/// Hardness as quenched and tempered; how thick a blade hardens
#[derive(Debug, Args)]
pub(super) struct Flags {
    /// The steel: a grade, or an analysis as "c=0.8 mn=0.4"
    #[arg(long)]
    steel: String,
    /// Carbon that it holds now, where the billet has evened it out
    #[arg(long, value_name = "PERCENT")]
    carbon: Option<String>,
    /// Tempered at this temperature
    #[arg(long, value_name = "TEMP", conflicts_with = "wanted")]
    temper: Option<String>,
    /// Hardness wanted, in HRC: at what temper
    #[arg(long, value_name = "HRC")]
    wanted: Option<String>,
    /// Time at the temper, all cycles together
    #[arg(long, value_name = "TIME", default_value = "2 h")]
    time: String,
    /// Thickness of the blade: does it harden through
    #[arg(long, value_name = "LENGTH")]
    thickness: Option<String>,
    /// What it is quenched in
    #[arg(long, value_enum, default_value_t = QuenchName::FastOil)]
    quench: QuenchName,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum QuenchName {
    /// Still air
    Air,
    /// Plain or medium oil, hardly moved
    SlowOil,
    /// Medium oil, the blade moved in it
    Oil,
    /// Fast quenching oil, the blade moved in it
    FastOil,
    /// Water, the blade moved in it
    Water,
    /// Brine, the blade moved in it
    Brine,
}

impl QuenchName {
    const fn quench(self) -> Quench {
        match self {
            Self::Air => Quench::Air,
            Self::SlowOil => Quench::SlowOil,
            Self::Oil => Quench::Oil,
            Self::FastOil => Quench::FastOil,
            Self::Water => Quench::Water,
            Self::Brine => Quench::Brine,
        }
    }
}

/// HRC of fresh martensite with what a short soak takes into solution.
fn quenched(steel: &Steel, metal: &Composition) -> Result<Spread, OutOfRange> {
    if metal.c < 0.3 {
        return hardness::as_quenched(metal.c);
    }
    let member = Member {
        name: &steel.grade,
        metal: *metal,
        known: steel.hardening(metal.c),
    };
    Ok(hardening::of(&member)?.hardness)
}

/// Vickers, where the table goes that far.
fn vickers(rockwell: Spread) -> Option<Spread> {
    let of = |hrc: f64| hardness::vickers(hrc).ok();
    Some(Spread {
        low: of(rockwell.low)?,
        best: of(rockwell.best)?,
        high: of(rockwell.high)?,
    })
}

/// Thickest plate that hardens to the middle, mm.
fn through(metal: &Composition, quench: Quench) -> Result<Spread, OutOfRange> {
    plate_mm(hardenability::ideal_diameter_inch(metal)?, quench)
}

/// Whether this thickness hardens through, in words.
fn verdict(thickness: Mm, plate: Spread) -> &'static str {
    if thickness.0 <= plate.low {
        "hardens through"
    } else if thickness.0 <= plate.best {
        "should harden through"
    } else if thickness.0 <= plate.high {
        "may stay soft in the middle"
    } else {
        "stays soft in the middle"
    }
}

pub(super) fn ask(flags: &Flags, asked: Asked) -> Result<Answer, Refused> {
    let steel = read::steel("--steel", &flags.steel)?;
    let metal = read::with_carbon(&steel, flags.carbon.as_deref())?;
    let time = read::duration("--time", &flags.time)?;
    let say = asked.say();
    let fresh = quenched(&steel, &metal)?;
    let mut text = format!(
        "{} as quenched {}",
        steel.grade,
        say::shared(fresh, "HRC", 3)
    );
    let temper = flags
        .temper
        .as_ref()
        .map(|text| asked.temperature("--temper", text))
        .transpose()?;
    let after = temper
        .map(|at| hardness_after(&metal, at, time))
        .transpose()?;
    if let Some((at, after)) = temper.zip(after) {
        text = format!(
            "{} tempered {} at {}: {}{}; as quenched {}",
            steel.grade,
            say::given(time),
            say.both(Kind::Temperature, at.0, 3),
            say::shared(after, "HRC", 3),
            vickers(after).map_or(String::new(), |hv| format!(
                " ({} HV)",
                say::number(hv.best, 3)
            )),
            say::shared(fresh, "HRC", 3),
        );
    }
    let wanted = flags
        .wanted
        .as_ref()
        .map(|text| read::plain("--wanted", text, &["hrc"]))
        .transpose()?;
    let asked_temper = wanted
        .map(|hrc| temperature_for(&metal, hrc, time))
        .transpose()?;
    if let Some((hrc, at)) = wanted.zip(asked_temper) {
        text = format!(
            "{} for {} HRC: temper {} at {}; as quenched {}",
            steel.grade,
            say::number(hrc, 3),
            say::given(time),
            say.ranged(Kind::Temperature, at, 3),
            say::shared(fresh, "HRC", 3),
        );
    }
    let thickness = asked.maybe_length("--thickness", flags.thickness.as_ref())?;
    let quench = flags.quench.quench();
    let plate = thickness.map(|_| through(&metal, quench)).transpose()?;
    if let Some((thickness, plate)) = thickness.zip(plate) {
        text = format!(
            "{text}; {} in {} {}: up to {}",
            asked.units.length(thickness),
            quench.name(),
            verdict(thickness, plate),
            say.ranged(Kind::Length, plate, 2),
        );
    }
    text.push_str("; the maker's sheet comes first");
    let mut answer = Answer::new(
        "hardness",
        "formulas and rows that disagree, and real analyses",
    )
    .say(text)
    .input("steel", steel.grade.clone())
    .input("carbon_percent", metal.c)
    .input("temper_c", temper.map(Celsius::get))
    .input("wanted_hrc", wanted)
    .input("time_s", Seconds::get(time))
    .input("thickness_mm", thickness.map(Mm::get))
    .input("quench", thickness.map(|_| quench.name()))
    .range("as_quenched", "hrc", fresh)
    .range("hardness", "hrc", after)
    .range("hardness", "hv", after.and_then(vickers))
    .range("temper", "c", asked_temper)
    .range("hardens_through", "mm", plate)
    .figure(
        "through_verdict",
        thickness.zip(plate).map(|(t, p)| verdict(t, p)),
    )
    .by(hardness::LAW);
    if temper.is_some() || wanted.is_some() {
        answer = answer.by(tempering::LAW);
    }
    if plate.is_some() {
        answer = answer.by(hardenability::LAW).by(quench::LAW);
    }
    Ok(answer)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::metal::Catalogue;

    fn steel(name: &str) -> Steel {
        Catalogue::builtin().find(name).unwrap().clone()
    }

    #[test]
    fn a_shallow_steel_hardens_thin_and_a_deep_one_thick() {
        let thin = through(&steel("1095").nominal, Quench::Oil).unwrap();
        let thick = through(&steel("O1").nominal, Quench::Oil).unwrap();
        assert!(thick.low > thin.high);
        assert_eq!(verdict(Mm(0.5), thin), "hardens through");
        assert_eq!(verdict(Mm(500.0), thick), "stays soft in the middle");
    }

    #[test]
    fn mild_steel_is_read_without_a_window() {
        let mild = steel("1018");
        let found = quenched(&mild, &mild.nominal).unwrap();
        assert!(found.best > 38.0 && found.best < 48.0);
        // ASTM E140 table 1: 60 HRC is 697 HV.
        assert!(vickers(Spread::exact(60.0)).is_some_and(|hv| (hv.best - 697.0).abs() < 1e-9));
        assert!(vickers(Spread::around(10.0, 0.1)).is_none());
    }
}
