//! `ask scale`: how much metal the fire eats, and how deep the skin loses its carbon.

use clap::{Args, ValueEnum};

use super::answer::Answer;
use super::read::{self, Asked};
use super::refused::{Refused, left};
use super::say::{self, Kind};
use crate::metal::Composition;
use crate::physics::decarburisation;
use crate::physics::diffusion::carbon_diffusivity;
use crate::physics::scale::{self, Fire, Growth, section_lost};
use crate::physics::{Range, Spread, low_alloy, reach};
use crate::units::{Celsius, Fraction, Mm, Seconds, Units};

const TEMPERATURE: Range = Range {
    law: "scale growth",
    name: "temperature",
    unit: "C",
    least: 570.0,
    greatest: 1400.0,
};
/// A skin of ferrite forms under this: the depth is not worked out there.
const FERRITE: f64 = 912.0;
/// Share of the carbon that must still be there where the depth is taken.
const LEFT: Fraction = Fraction(0.9);
/// Heats that one question may hold.
const MOST_HEATS: u64 = 1000;

/// Metal lost to scale, and the skin that loses carbon
#[derive(Debug, Args)]
pub(super) struct Flags {
    /// Temperature in the fire
    #[arg(long, value_name = "TEMP")]
    temperature: String,
    /// Time at that temperature in each heat
    #[arg(long, value_name = "TIME")]
    time: String,
    /// Heats; the scale is knocked off between them
    #[arg(long, value_name = "COUNT", default_value = "1")]
    heats: String,
    /// How hard the fire scales
    #[arg(long, value_enum, default_value_t = FireName::Air)]
    fire: FireName,
    /// Width of the section, for the share of metal lost
    #[arg(long, value_name = "LENGTH", requires = "thickness")]
    width: Option<String>,
    /// Thickness of the section
    #[arg(long, value_name = "LENGTH", requires = "width")]
    thickness: Option<String>,
    /// The steel: a grade, or an analysis as "c=0.8 mn=0.4"
    #[arg(long, default_value = "SAE 1084")]
    steel: String,
}

#[derive(Debug, Clone, Copy, ValueEnum, strum::IntoStaticStr)]
#[strum(serialize_all = "kebab-case")]
enum FireName {
    /// Open air, or a lean, blowing fire
    Air,
    /// A gas fire near neutral
    Neutral,
    /// A rich, soft fire
    Rich,
    /// A closed stack, or a face under flux
    Covered,
}

impl FireName {
    const fn fire(self) -> Fire {
        match self {
            Self::Air => Fire::Air,
            Self::Neutral => Fire::Neutral,
            Self::Rich => Fire::Rich,
            Self::Covered => Fire::Covered,
        }
    }

    const fn words(self) -> &'static str {
        match self {
            Self::Air => "in air",
            Self::Neutral => "in a neutral fire",
            Self::Rich => "in a rich fire",
            Self::Covered => "covered",
        }
    }

    fn word(self) -> &'static str {
        self.into()
    }
}

/// What so many equal heats do to one face, all in mm.
struct Lost {
    metal: Spread,
    scale: Spread,
    decarburised: Option<Spread>,
}

fn lost(at: Celsius, time: Seconds, heats: u64, fire: Fire, metal: &Composition) -> Lost {
    let mut face = Growth::clean(metal);
    let mut scale = Spread::exact(0.0);
    for _ in 0..heats {
        face.knock_off();
        face.hold(at, time, fire);
        scale = face.thickness();
    }
    #[expect(clippy::cast_precision_loss, reason = "at most a thousand heats")]
    let seconds = time.0 * heats as f64;
    Lost {
        metal: face.metal(),
        scale,
        decarburised: decarburised(at, seconds, face.metal(), metal),
    }
}

/// Depth below today's surface at which nine tenths of the carbon are left.
fn decarburised(at: Celsius, seconds: f64, lost: Spread, metal: &Composition) -> Option<Spread> {
    if at.0 < FERRITE || metal.ni >= 50.0 || reach::austenite(metal, at).is_err() {
        return None;
    }
    let d = carbon_diffusivity(at, metal.c / 2.0).ok()?;
    let depth = |d: f64, lost: f64| {
        let deep = decarburisation::depth(d * seconds * 1e6, Mm(lost), LEFT);
        deep.ok().map(|mm| mm.0)
    };
    Some(Spread {
        low: depth(d.low, lost.high)?,
        best: depth(d.best, lost.best)?,
        high: depth(d.high, lost.low)?,
    })
}

/// Why the depth is not worked out, for steels that have carbon to lose.
fn not_worked(at: Celsius, metal: &Composition, units: Units) -> Option<String> {
    if metal.ni >= 50.0 {
        return None;
    }
    if at.0 < FERRITE {
        let under = units.temperature(Celsius(FERRITE));
        return Some(format!("under {under} it turns to ferrite"));
    }
    reach::austenite(metal, at)
        .err()
        .map(|why| left(why, units))
}

pub(super) fn ask(flags: &Flags, asked: Asked) -> Result<Answer, Refused> {
    let at = asked.temperature("--temperature", &flags.temperature)?;
    TEMPERATURE.check(at.0)?;
    let time = read::duration("--time", &flags.time)?;
    let heats = read::count("--heats", &flags.heats)?;
    if heats > MOST_HEATS {
        return Err(Refused::say(format!(
            "--heats must be {MOST_HEATS} or fewer"
        )));
    }
    let steel = read::steel("--steel", &flags.steel)?;
    if steel.nominal.ni < 50.0 {
        low_alloy::check(&steel.nominal, scale::LAW.title)?;
    }
    if let Err(why @ reach::NotAustenite::Melts(_)) = reach::austenite(&steel.nominal, at) {
        return Err(Refused::Structure(steel.grade, at.0, why));
    }
    let left_out = reach::ignored(&steel.nominal, &["cr", "si", "ni"]);
    let width = asked.maybe_length("--width", flags.width.as_ref())?;
    let thickness = asked.maybe_length("--thickness", flags.thickness.as_ref())?;
    let found = lost(at, time, heats, flags.fire.fire(), &steel.nominal);
    let share = width.zip(thickness).map(|(width, thickness)| {
        let part = |metal: f64| section_lost(width, thickness, Mm(metal)).percent();
        found.metal.map(part)
    });
    let say = asked.say();
    let times = if heats == 1 {
        String::new()
    } else {
        format!("{heats} times ")
    };
    let mut text = format!(
        "{times}{} at {} {}: {} of metal lost off each face",
        say::given(time),
        say.temperature(at),
        flags.fire.words(),
        say.ranged(Kind::Length, found.metal, 2),
    );
    if let Some((share, (width, thickness))) = share.zip(width.zip(thickness)) {
        text = format!(
            "{text}, of {} {}",
            say.size(&[width.0, thickness.0]),
            say::shared(share, "%", 2)
        );
    }
    if let Some(skin) = found.decarburised {
        text = format!(
            "{text}; carbon is under nine tenths for {} below",
            say.ranged(Kind::Length, skin, 2)
        );
    }
    if let Some(why) = not_worked(at, &steel.nominal, asked.units) {
        text = format!("{text}; how deep the skin loses carbon is not worked out: {why}");
    }
    let answer = Answer::new(
        "scale",
        "two measurements of the rate, what the fire may be, and what chromium and silicon may slow",
    )
    .say(text)
    .input("temperature_c", at.0)
    .input("time_s", time.0)
    .input("heats", heats)
    .input("fire", flags.fire.word())
    .input("width_mm", width.map(Mm::get))
    .input("thickness_mm", thickness.map(Mm::get))
    .input("steel", steel.grade)
    .range("metal_per_face", "mm", found.metal)
    .range("scale_per_face", "mm", found.scale)
    .range("section_lost", "percent", share)
    .range("decarburised", "mm", found.decarburised)
    .leaving_out(&left_out)
    .by(scale::LAW);
    Ok(if found.decarburised.is_some() {
        answer.by(decarburisation::LAW)
    } else {
        answer
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn knocking_off_costs_more_than_leaving_on() {
        let steel = Composition {
            c: 0.8,
            ..Composition::default()
        };
        let at = Celsius(1200.0);
        let once = lost(at, Seconds(600.0), 1, Fire::Air, &steel);
        // The law's worked number: 0.2524 mm after 10 min at 1200 C in air.
        assert!((once.metal.best - 0.2524).abs() < 1e-3);
        let four = lost(at, Seconds(150.0), 4, Fire::Air, &steel);
        assert!((four.metal.best / once.metal.best - 2.0).abs() < 1e-9);
        assert!(four.scale.best < once.scale.best);
        assert!(
            lost(Celsius(850.0), Seconds(600.0), 1, Fire::Air, &steel)
                .decarburised
                .is_none()
        );
    }
}
