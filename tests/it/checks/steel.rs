//! The laws of scale, transformation, hardness and colour, by the names that rows use.

use anvilside::metal::{Catalogue, Window};
use anvilside::physics::colours::{Eye, Pin, School};
use anvilside::physics::quench::{self, Quench};
use anvilside::physics::scale::{self, Fire, Growth};
use anvilside::physics::{
    OutOfRange, Spread, critical, decarburisation, hardenability, hardening, hardness, martensite,
    melting, tempering,
};
use anvilside::units::{Celsius, Fraction, Mm, Seconds};

use crate::checks::row::{Answer, Function, Input};

type Given = Result<Answer, String>;

/// Name and function; the part before the dot is the key of the law's card.
pub(crate) fn laws() -> Vec<(&'static str, Function)> {
    vec![
        ("scale.kp", |i| pick(i, scale::rate(celsius(i)?))),
        ("scale.fit-cal", |i| Ok(fitted(i)?.0.into())),
        ("scale.fit-factor", |i| Ok(fitted(i)?.1.into())),
        ("scale.fire-rate", fire_rate),
        ("scale.metal-mm", |i| pick(i, growth(i)?.metal())),
        ("scale.thickness-mm", |i| pick(i, growth(i)?.thickness())),
        ("scale.section-percent", section_percent),
        ("decarburisation.depth-mm", carbon_depth_mm),
        ("decarburisation.left", carbon_left),
        ("critical.ac1", |i| spread(i, critical::ac1(&i.metal()?))),
        ("critical.ac3", |i| spread(i, critical::ac3(&i.metal()?))),
        ("critical.acm", |i| {
            Ok(critical::acm(i.number("c")?).0.into())
        }),
        ("critical.a3-iron", |i| {
            Ok(critical::a3_iron(i.number("c")?).0.into())
        }),
        ("critical.carbon-held", |i| {
            Ok(critical::carbon_held(celsius(i)?).into())
        }),
        ("martensite.start", |i| {
            spread(i, martensite::start(&i.metal()?))
        }),
        ("martensite.van-bohemen", |i| {
            Ok(martensite::van_bohemen(&i.metal()?).into())
        }),
        ("martensite.andrews", |i| {
            Ok(martensite::andrews(&i.metal()?).into())
        }),
        ("martensite.steven-haynes", |i| {
            Ok(martensite::steven_haynes(&i.metal()?).into())
        }),
        ("martensite.ingber-kunert", |i| {
            Ok(martensite::ingber_kunert(&i.metal()?).into())
        }),
        ("martensite.trzaska", |i| {
            Ok(martensite::trzaska(&i.metal()?).into())
        }),
        ("martensite.rate", |i| {
            Ok(martensite::rate(&i.metal()?).into())
        }),
        ("martensite.retained", |i| {
            spread(i, martensite::retained(&i.metal()?, celsius(i)?))
        }),
        ("martensite.reached", martensite_reached),
        ("melting.solidus", |i| {
            pick(i, melting::solidus(&i.metal()?))
        }),
        ("melting.burning", |i| {
            Ok(melting::burning(i.number("c")?).0.into())
        }),
        ("melting.limit", |i| {
            Ok(melting::limit(&i.metal()?).0.into())
        }),
        ("hardness.as-quenched", |i| {
            spread(i, hardness::as_quenched(i.number("c")?))
        }),
        ("hardness.vickers", |i| {
            plain(hardness::vickers(i.number("hrc")?))
        }),
        ("tempering.parameter", parameter),
        ("tempering.one-hour", one_hour),
        ("tempering.hrc", |i| {
            spread(
                i,
                tempering::hardness_after(&i.metal()?, celsius(i)?, hours(i)?),
            )
        }),
        ("tempering.celsius", |i| {
            spread(
                i,
                tempering::temperature_for(&i.metal()?, i.number("hrc")?, hours(i)?),
            )
        }),
        ("hardenability.inch", |i| {
            spread(i, hardenability::ideal_diameter_inch(&i.metal()?))
        }),
        ("quench.plate-mm", |i| {
            plain(quench::plate(i.number("ideal_inch")?, i.number("severity")?).map(|s| s.0))
        }),
        ("quench.severity", severity),
        ("hardening.low", |i| Ok(window(i)?.low.0.into())),
        ("hardening.high", |i| Ok(window(i)?.high.0.into())),
        ("colours.name", colour_name),
        ("colours.low", |i| Ok(colour(i)?.0.into())),
        ("colours.high", |i| Ok(colour(i)?.1.into())),
    ]
}

fn celsius(input: &Input<'_>) -> Result<Celsius, String> {
    input.number("celsius").map(Celsius)
}

fn hours(input: &Input<'_>) -> Result<Seconds, String> {
    Ok(Seconds(3600.0 * input.number("hours")?))
}

/// The end of the band that the row names; the best without a name.
fn pick(input: &Input<'_>, band: Spread) -> Given {
    match input.word_or("end", "best")? {
        "low" => Ok(band.low.into()),
        "best" => Ok(band.best.into()),
        "high" => Ok(band.high.into()),
        other => Err(format!("no end is called '{other}'")),
    }
}

fn spread(input: &Input<'_>, band: Result<Spread, OutOfRange>) -> Given {
    pick(input, band.map_err(|e| e.to_string())?)
}

fn plain(value: Result<f64, OutOfRange>) -> Given {
    value.map(Answer::from).map_err(|e| e.to_string())
}

/// A face after the heats of the row: `times` and `temps`, repeated `heats` times with the scale
/// knocked off between.
/// Energy in cal/mol and factor of the exponential through one end of the rate at two temperatures.
fn fitted(input: &Input<'_>) -> Result<(f64, f64), String> {
    let (from, to) = (input.number("from")?, input.number("to")?);
    let end = input.word("end")?;
    let at = |celsius: f64| {
        let rate = scale::rate(Celsius(celsius));
        let rate = if end == "high" { rate.high } else { rate.low };
        (rate.ln(), 1.0 / (1.987 * Celsius(celsius).kelvin().0))
    };
    let ((low, cold), (high, hot)) = (at(from), at(to));
    let energy = (high - low) / (cold - hot);
    Ok((energy, (low + energy * cold).exp()))
}

/// How much faster than in still air a fire scales: the square of its factor on thickness.
fn fire_rate(input: &Input<'_>) -> Given {
    let fire = match input.word("fire")? {
        "air" => Fire::Air,
        "neutral" => Fire::Neutral,
        other => return Err(format!("no fire is called '{other}'")),
    };
    pick(input, fire.factor().map(|factor| factor * factor))
}

fn growth(input: &Input<'_>) -> Result<Growth, String> {
    let mut face = Growth::clean(&input.metal()?);
    let times = input.list("times")?;
    let temps = input.list("temps")?;
    let course: Vec<(Seconds, Celsius)> = times
        .iter()
        .zip(&temps)
        .map(|(t, c)| (Seconds(*t), Celsius(*c)))
        .collect();
    let fire = match input.word_or("fire", "learned")? {
        "air" => Fire::Air,
        "neutral" => Fire::Neutral,
        "rich" => Fire::Rich,
        "covered" => Fire::Covered,
        _ => Fire::Learned(input.number_or("factor", 1.0)?),
    };
    let mut left = input.number_or("heats", 1.0)?;
    while left > 0.5 {
        face.follow(&course, fire);
        left -= 1.0;
        if left > 0.5 {
            face.knock_off();
        }
    }
    Ok(face)
}

fn section_percent(input: &Input<'_>) -> Given {
    let metal = Mm(growth(input)?.metal().best);
    let (width, thickness) = (
        Mm(input.number("width_mm")?),
        Mm(input.number("thickness_mm")?),
    );
    Ok(scale::section_lost(width, thickness, metal)
        .percent()
        .into())
}

fn carbon_depth_mm(input: &Input<'_>) -> Given {
    let diffused = input.number("diffused_mm2")?;
    let recession = Mm(input.number("recession_mm")?);
    let left = Fraction(input.number("left")?);
    plain(decarburisation::depth(diffused, recession, left).map(|d| d.0))
}

fn carbon_left(input: &Input<'_>) -> Given {
    let diffused = input.number("diffused_mm2")?;
    let recession = Mm(input.number("recession_mm")?);
    let depth = Mm(input.number("depth_mm")?);
    plain(decarburisation::left_at(diffused, recession, depth).map(|d| d.0))
}

fn martensite_reached(input: &Input<'_>) -> Given {
    let part = Fraction(input.number("part")?);
    plain(martensite::reached(&input.metal()?, part).map(|t| t.0))
}

fn parameter(input: &Input<'_>) -> Given {
    plain(tempering::parameter(
        celsius(input)?,
        hours(input)?,
        input.number("constant")?,
    ))
}

fn one_hour(input: &Input<'_>) -> Given {
    let at = tempering::in_one_hour(celsius(input)?, hours(input)?, input.number("constant")?);
    plain(at.map(|t| t.0))
}

fn severity(input: &Input<'_>) -> Given {
    let wanted = input.word("quench")?;
    let kind = Quench::ALL.into_iter().find(|kind| kind.name() == wanted);
    pick(
        input,
        kind.ok_or_else(|| format!("no quench is called '{wanted}'"))?
            .severity(),
    )
}

/// The common window of the row's metal and, if named, a second steel.
fn window(input: &Input<'_>) -> Result<Window, String> {
    let second = input.word_or("with", "")?;
    let mut members = vec![hardening::Member {
        name: "first",
        metal: input.metal()?,
        known: None,
    }];
    if !second.is_empty() {
        let steel = Catalogue::builtin().find(second);
        members.push(hardening::Member {
            name: "second",
            metal: steel.map_err(|e| e.to_string())?.nominal,
            known: None,
        });
    }
    let common = hardening::common(&members).map_err(|e| e.to_string())?;
    common.window.ok_or_else(|| "nothing hardens".to_owned())
}

fn eye(input: &Input<'_>) -> Result<Eye, String> {
    let school = match input.word("school")? {
        "workshop" => School::Workshop,
        "boiler" => School::Boiler,
        other => return Err(format!("no school is called '{other}'")),
    };
    let pin = input.word_or("pin", "")?;
    let pins = if pin.is_empty() {
        Vec::new()
    } else {
        vec![Pin {
            name: pin.to_owned(),
            celsius: Celsius(input.number("pin_celsius")?),
        }]
    };
    Ok(Eye { school, pins })
}

fn colour_name(input: &Input<'_>) -> Given {
    let name = eye(input)?.name(celsius(input)?);
    name.map(Answer::from).ok_or_else(|| "no colour".to_owned())
}

fn colour(input: &Input<'_>) -> Result<(f64, f64), String> {
    let band = eye(input)?.band(input.word("colour")?);
    let band = band.ok_or_else(|| "no such colour".to_owned())?;
    Ok((band.low.0, band.high.0))
}
