//! Diffusion: constants, activities, closed forms, heats.

use crate::oracle::series as oracle;
use anvilside::metal::Composition;
use anvilside::physics::diffusion::{
    CarbonLaw, Heat, HeatPoint, Tracer, activity, nickel_metal, series,
};
use anvilside::physics::erf;
use anvilside::units::{Celsius, Seconds};

use crate::checks::row::{Answer, Function, Input};

type Given = Result<Answer, String>;

pub(crate) fn laws() -> Vec<(&'static str, Function)> {
    vec![
        ("carbon-diffusivity.m2-s", diffusivity),
        (
            "carbon-diffusivity.agren-over-tibbetts",
            agren_over_tibbetts,
        ),
        ("carbon-diffusivity.theta-m2", theta),
        ("tracer-diffusivity.m2-s", tracer),
        ("tracer-diffusivity.low-m2-s", tracer_low),
        ("tracer-diffusivity.high-m2-s", tracer_high),
        ("tracer-diffusivity.blur-um", blur_um),
        ("carbon-in-nickel.m2-s", in_nickel),
        ("carbon-activity.activity", carbon_activity),
        ("carbon-activity.shift-per-pct", shift_per_pct),
        ("carbon-activity.beside-pct", beside_pct),
        ("carbon-activity.ratio", ratio),
        ("carbon-activity.equal-layers-difference", equal_layers),
        ("carbon-activity.couple-first", couple_first),
        ("carbon-activity.couple-second", couple_second),
        ("diffusion-series.erf", error_function),
        ("diffusion-series.inverse-erf", inverse),
        ("diffusion-series.half-space", half_space),
        ("diffusion-series.half-space-loss", half_space_loss),
        ("diffusion-series.seconds-to-reach", seconds_to_reach),
        ("diffusion-series.depth-mm", depth_mm),
        ("diffusion-series.flux", flux),
        ("diffusion-series.sheet", sheet),
        ("diffusion-series.sheet-mean", sheet_mean),
        ("diffusion-series.couple", couple),
        ("diffusion-series.laminate", laminate),
        ("diffusion-series.laminate-mean", laminate_mean),
        ("diffusion-series.to-level", to_level),
        ("diffusion-series.joint-first", joint_first),
        ("diffusion-series.joint-second", joint_second),
        ("diffusion-series.beside-joint", beside_joint),
        ("diffusion-series.layer-mean", layer_mean),
        ("diffusion-series.blur", blur),
    ]
}

fn say<T, E: std::fmt::Display>(result: Result<T, E>) -> Result<T, String> {
    result.map_err(|e| e.to_string())
}

fn celsius(input: &Input<'_>) -> Result<Celsius, String> {
    input.number("celsius").map(Celsius)
}

pub(super) fn carbon_law(input: &Input<'_>) -> Result<CarbonLaw, String> {
    match input.word_or("by", "agren")? {
        "agren" => Ok(CarbonLaw::Agren),
        "callister" => Ok(CarbonLaw::Callister),
        "tibbetts" => Ok(CarbonLaw::Tibbetts),
        other => Err(format!("no law is called '{other}'")),
    }
}

fn diffusivity(input: &Input<'_>) -> Given {
    let law = carbon_law(input)?;
    Ok(say(law.diffusivity(celsius(input)?, input.number_or("c", 0.0)?))?.into())
}

fn agren_over_tibbetts(input: &Input<'_>) -> Given {
    let (t, c) = (celsius(input)?, input.number("c")?);
    let one = say(CarbonLaw::Agren.diffusivity(t, c))?;
    Ok((one / say(CarbonLaw::Tibbetts.diffusivity(t, c))?).into())
}

/// Moments as three lists: `seconds`, `celsius` and, when drawn, `thickness`.
fn heat(input: &Input<'_>) -> Result<Heat, String> {
    let (at, t) = (input.list("seconds")?, input.list("celsius")?);
    let thickness = if input.word_or("drawn", "no")? == "yes" {
        input.list("thickness")?
    } else {
        vec![1.0; at.len()]
    };
    let points = at.iter().zip(&t).zip(&thickness);
    say(Heat::new(
        points
            .map(|((&at, &t), &thickness)| HeatPoint {
                at: Seconds(at),
                temperature: Celsius(t),
                thickness,
            })
            .collect(),
    ))
}

fn theta(input: &Input<'_>) -> Given {
    let law = carbon_law(input)?;
    Ok(heat(input)?
        .carbon_theta(law, input.number_or("c", 0.0)?)
        .into())
}

fn element(input: &Input<'_>) -> Result<Tracer, String> {
    match input.word("element")? {
        "ni" => Ok(Tracer::Nickel),
        "mn" => Ok(Tracer::Manganese),
        "cr" => Ok(Tracer::Chromium),
        "si" => Ok(Tracer::Silicon),
        "fe" => Ok(Tracer::Iron),
        other => Err(format!("no metal is called '{other}'")),
    }
}

fn tracer(input: &Input<'_>) -> Given {
    Ok(say(element(input)?.diffusivity(celsius(input)?))?
        .best
        .into())
}

fn tracer_low(input: &Input<'_>) -> Given {
    Ok(say(element(input)?.diffusivity(celsius(input)?))?
        .low
        .into())
}

fn tracer_high(input: &Input<'_>) -> Given {
    Ok(say(element(input)?.diffusivity(celsius(input)?))?
        .high
        .into())
}

fn blur_um(input: &Input<'_>) -> Given {
    let d = say(element(input)?.diffusivity(celsius(input)?))?.best;
    let theta = d * input.number("seconds")?;
    Ok((1e6 * series::BLUR * theta.sqrt()).into())
}

fn in_nickel(input: &Input<'_>) -> Given {
    Ok(say(nickel_metal::diffusivity(celsius(input)?))?.into())
}

fn carbon_activity(input: &Input<'_>) -> Given {
    let metal = input.metal()?;
    Ok(
        say(activity::ln_activity(&metal, metal.c, celsius(input)?))?
            .exp()
            .into(),
    )
}

/// Shift of `ln a` by the alloy of the row, over the mass percent of the alloy.
fn shift_per_pct(input: &Input<'_>) -> Given {
    let (metal, t) = (input.metal()?, celsius(input)?);
    let alloy = metal.ni + metal.si + metal.mn + metal.cr;
    let with = say(activity::ln_activity(&metal, metal.c, t))?;
    let without = say(activity::ln_activity(&Composition::default(), metal.c, t))?;
    Ok(((with - without) / alloy).into())
}

fn beside_pct(input: &Input<'_>) -> Given {
    let (metal, t) = (input.metal()?, celsius(input)?);
    Ok(say(activity::carbon_beside(
        &metal,
        input.number("plain_pct")?,
        t,
    ))?
    .into())
}

/// Two analyses as lists of Mn, Si, Ni, Cr.
fn two(input: &Input<'_>) -> Result<[Composition; 2], String> {
    let one = |name: &str| match input.list(name)?.as_slice() {
        [mn, si, ni, cr] => Ok(Composition {
            mn: *mn,
            si: *si,
            ni: *ni,
            cr: *cr,
            ..Composition::default()
        }),
        _ => Err(format!("'{name}' is not Mn, Si, Ni, Cr")),
    };
    Ok([one("first")?, one("second")?])
}

/// What the second holds less of than the first at rest: first over second.
fn ratio(input: &Input<'_>) -> Given {
    let gamma = activity::factors(&two(input)?, input.number("c")?, celsius(input)?);
    match gamma.as_slice() {
        [a, b] => Ok((b / a).into()),
        _ => Err("no two factors".to_owned()),
    }
}

fn equal_layers(input: &Input<'_>) -> Given {
    let mean = input.number("c")?;
    let gamma = activity::factors(&two(input)?, mean, celsius(input)?);
    let [a, b] = gamma.as_slice() else {
        return Err("no two factors".to_owned());
    };
    let (first, second) = oracle::at_rest(mean, mean, b / a);
    Ok((first - second).into())
}

/// Both sides of a joint of two thick bars, from the model's activities at the joint itself.
fn darken(input: &Input<'_>) -> Result<(f64, f64), String> {
    let metals = two(input)?;
    let start = (input.number("c_first")?, input.number("c_second")?);
    let t = celsius(input)?;
    let (mut low, mut high) = (0.01, start.0 + start.1 - 0.01);
    for _ in 0..60 {
        let first = f64::midpoint(low, high);
        let second = start.0 + start.1 - first;
        let a = say(activity::ln_activity(&metals[0], first, t))?;
        let b = say(activity::ln_activity(&metals[1], second, t))?;
        if a < b {
            low = first;
        } else {
            high = first;
        }
    }
    Ok((low, start.0 + start.1 - low))
}

fn couple_first(input: &Input<'_>) -> Given {
    Ok(darken(input)?.0.into())
}

fn couple_second(input: &Input<'_>) -> Given {
    Ok(darken(input)?.1.into())
}

fn error_function(input: &Input<'_>) -> Given {
    Ok(erf::erf(input.number("z")?).into())
}

fn inverse(input: &Input<'_>) -> Given {
    Ok(erf::inverse_erf(input.number("y")?).into())
}

fn ends(input: &Input<'_>) -> Result<(f64, f64), String> {
    Ok((input.number("start")?, input.number("face")?))
}

fn theta_mm2(input: &Input<'_>) -> Result<f64, String> {
    Ok(1e6 * input.number("m2_s")? * input.number("seconds")?)
}

fn half_space(input: &Input<'_>) -> Given {
    let (start, face) = ends(input)?;
    Ok(oracle::half_space(start, face, input.number("mm")?, theta_mm2(input)?).into())
}

fn half_space_loss(input: &Input<'_>) -> Given {
    let (start, face) = ends(input)?;
    Ok(oracle::half_space_loss(start, face, theta_mm2(input)?).into())
}

fn seconds_to_reach(input: &Input<'_>) -> Given {
    let (start, face) = ends(input)?;
    let theta = oracle::theta_to_reach(start, face, input.number("wanted")?, input.number("mm")?);
    Ok((theta / (1e6 * input.number("m2_s")?)).into())
}

fn depth_mm(input: &Input<'_>) -> Given {
    let (start, face) = ends(input)?;
    Ok(oracle::depth_of(start, face, input.number("wanted")?, theta_mm2(input)?).into())
}

/// Fick's first law between two planes, kg/m2/s.
fn flux(input: &Input<'_>) -> Given {
    let drop = input.number("first_kg_m3")? - input.number("second_kg_m3")?;
    Ok((input.number("m2_s")? * drop / (input.number("apart_mm")? / 1000.0)).into())
}

fn f(input: &Input<'_>) -> Result<f64, String> {
    input.number("f")
}

fn sheet(input: &Input<'_>) -> Given {
    Ok(oracle::sheet(f(input)?, input.number("place")?).into())
}

fn sheet_mean(input: &Input<'_>) -> Given {
    Ok(oracle::sheet_mean(f(input)?).into())
}

fn couple(input: &Input<'_>) -> Given {
    Ok(oracle::couple(input.number("filled")?, input.number("place")?, f(input)?).into())
}

fn laminate(input: &Input<'_>) -> Given {
    Ok(oracle::laminate(f(input)?, input.number("place")?).into())
}

fn laminate_mean(input: &Input<'_>) -> Given {
    Ok(series::laminate_mean(f(input)?).into())
}

fn to_level(input: &Input<'_>) -> Given {
    Ok(oracle::theta_to_level(1.0, input.number("left")?).into())
}

fn joint(input: &Input<'_>) -> Result<(f64, f64), String> {
    let start = (input.number("c_first")?, input.number("c_second")?);
    let d = (
        input.number_or("d_first", 1.0)?,
        input.number_or("d_second", 1.0)?,
    );
    Ok(oracle::joint(start, input.number("ratio")?, d))
}

fn joint_first(input: &Input<'_>) -> Given {
    Ok(joint(input)?.0.into())
}

fn joint_second(input: &Input<'_>) -> Given {
    Ok(joint(input)?.1.into())
}

/// On the first side, `mm` from the joint.
fn beside_joint(input: &Input<'_>) -> Given {
    let at_joint = joint(input)?.0;
    let start = input.number("c_first")?;
    Ok(oracle::beside_joint(start, at_joint, input.number("mm")?, theta_mm2(input)?).into())
}

fn layer_mean(input: &Input<'_>) -> Given {
    let (thickness, start) = (input.list("mm")?, input.list("start")?);
    let layers: Vec<(f64, f64)> = thickness.into_iter().zip(start).collect();
    let means = series::layer_means(&layers, 1e6 * input.number("theta_m2")?);
    let wanted = input.number("layer")?;
    let mut counted = 0.0;
    for mean in means {
        counted += 1.0;
        if (counted - wanted).abs() < 0.5 {
            return Ok(mean.into());
        }
    }
    Err("no such layer".to_owned())
}

fn blur(_: &Input<'_>) -> Given {
    Ok(series::BLUR.into())
}
