//! The laws of heat, size, scale, transformation and hardness, by the names that rows use.

use anvilside::physics::conduction::{self, Shape};
use anvilside::physics::section::{self, Convection, Course, Matter, Section, Surroundings};
use anvilside::physics::{expansion, properties};
use anvilside::units::{Celsius, Mm, Seconds};

use crate::checks::row::{Answer, Function, Input};

type Given = Result<Answer, String>;

/// Name and function; the part before the dot is the key of the law's card.
pub(crate) fn laws() -> Vec<(&'static str, Function)> {
    vec![
        ("expansion.strain", strain),
        ("expansion.mean-coefficient", mean_coefficient),
        ("expansion.cold-mm", cold_mm),
        ("properties.specific-heat", |i| {
            Ok(properties::specific_heat(celsius(i)?).into())
        }),
        ("properties.conductivity", |i| {
            Ok(properties::conductivity(celsius(i)?).into())
        }),
        ("properties.enthalpy-kj-kg", |i| {
            Ok((properties::enthalpy(celsius(i)?) / 1000.0).into())
        }),
        ("conduction.plate-root", |i| {
            Ok(term(i, Shape::Plate)?.root.into())
        }),
        ("conduction.plate-weight", |i| {
            Ok(term(i, Shape::Plate)?.weight.into())
        }),
        ("conduction.round-root", |i| {
            Ok(term(i, Shape::Round)?.root.into())
        }),
        ("conduction.round-weight", |i| {
            Ok(term(i, Shape::Round)?.weight.into())
        }),
        ("conduction.plate-centre", |i| centre(i, Shape::Plate)),
        ("conduction.round-centre", |i| centre(i, Shape::Round)),
        ("conduction.plate-half", |i| half(i, Shape::Plate)),
        ("conduction.round-half", |i| half(i, Shape::Round)),
        ("conduction.wall-celsius", wall_celsius),
        ("section.constant-centre-s", constant_centre_s),
        ("section.cool-s", cool_s),
        ("section.heat-s", heat_s),
        ("section.soak-s", soak_s),
    ]
}

fn celsius(input: &Input<'_>) -> Result<Celsius, String> {
    input.number("celsius").map(Celsius)
}

fn strain(input: &Input<'_>) -> Given {
    Ok(expansion::strain(celsius(input)?, &input.metal()?).into())
}

/// Mean coefficient from 20 C, 1e-6/K.
fn mean_coefficient(input: &Input<'_>) -> Given {
    let at = celsius(input)?;
    Ok((1e6 * expansion::strain(at, &input.metal()?) / (at.0 - 20.0)).into())
}

fn cold_mm(input: &Input<'_>) -> Given {
    let hot = Mm(input.number("hot_mm")?);
    Ok(
        expansion::cold_from_hot(hot, celsius(input)?, &input.metal()?)
            .0
            .into(),
    )
}

fn term(input: &Input<'_>, shape: Shape) -> Result<conduction::Term, String> {
    let mut terms = conduction::terms(shape, input.number("biot")?);
    terms.next().ok_or_else(|| "no terms".to_owned())
}

fn centre(input: &Input<'_>, shape: Shape) -> Given {
    Ok(conduction::centre(shape, input.number("biot")?, input.number("fourier")?).into())
}

/// Fourier number at which half is left at the centre; a perfect film unless `biot` is given.
fn half(input: &Input<'_>, shape: Shape) -> Given {
    let biot = input.number_or("biot", f64::INFINITY)?;
    Ok(conduction::fourier_at_centre(shape, biot, 0.5).into())
}

fn wall_celsius(input: &Input<'_>) -> Given {
    let half_m = input.number("half_mm")? / 1000.0;
    let biot = input.number("film")? * half_m / input.number("conductivity")?;
    let fourier = input.number("diffusivity")? * input.number("seconds")? / (half_m * half_m);
    let (start, fluid) = (input.number("start")?, input.number("fluid")?);
    Ok((fluid + (start - fluid) * conduction::centre(Shape::Plate, biot, fourier)).into())
}

fn bar(input: &Input<'_>) -> Result<Section, String> {
    Ok(Section {
        width: Mm(input.number("width_mm")?),
        thickness: Mm(input.number("thickness_mm")?),
    })
}

fn passed(input: &Input<'_>, course: &Course, at: Celsius) -> Given {
    let seconds = match input.word("point")? {
        "mean" => course.mean_at(at),
        "face" => course.face_at(at),
        "centre" => course.centre_at(at),
        other => return Err(format!("no point is called '{other}'")),
    };
    let Seconds(seconds) = seconds.ok_or_else(|| "never passed".to_owned())?;
    Ok(seconds.into())
}

fn constant_centre_s(input: &Input<'_>) -> Given {
    let matter = Matter::constant(
        input.number("density")?,
        input.number("specific_heat")?,
        input.number("conductivity")?,
    );
    let around = Surroundings {
        emissivity: 0.0,
        convection: Convection::Fixed(input.number("film")?),
        ..Surroundings::furnace(Celsius(input.number("fluid")?))
    };
    let until = Celsius(input.number("until")?);
    let start = Celsius(input.number("start")?);
    let course = section::follow(bar(input)?, &matter, start, &around, 1, until, |now| {
        now.coldest >= until
    })
    .map_err(|e| e.to_string())?;
    course
        .centre_at(until)
        .map(|s| s.0.into())
        .ok_or_else(|| "never passed".to_owned())
}

fn cool_s(input: &Input<'_>) -> Given {
    let until = Celsius(input.number("until")?);
    let start = Celsius(input.number("start")?);
    let course = section::cool(bar(input)?, start, until, &Surroundings::air());
    passed(input, &course.map_err(|e| e.to_string())?, until)
}

fn heat_s(input: &Input<'_>) -> Given {
    let until = Celsius(input.number("until")?);
    let start = Celsius(input.number("start")?);
    let around = Surroundings::furnace(Celsius(input.number("furnace")?));
    let course = section::heat(bar(input)?, start, until, &around);
    passed(input, &course.map_err(|e| e.to_string())?, until)
}

fn soak_s(input: &Input<'_>) -> Given {
    section::soak(
        bar(input)?,
        Celsius(input.number("start")?),
        Celsius(input.number("furnace")?),
        Celsius(input.number("core_within")?),
    )
    .map(|s| s.0.into())
    .map_err(|e| e.to_string())
}
