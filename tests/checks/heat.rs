//! The laws of heat, size, scale, transformation and hardness, by the names that rows use.

use anvilside::physics::expansion;
use anvilside::units::{Celsius, Mm};

use crate::row::{Answer, Function, Input};

type Given = Result<Answer, String>;

/// Name and function; the part before the dot is the key of the law's card.
pub(crate) fn laws() -> Vec<(&'static str, Function)> {
    vec![
        ("expansion.strain", strain),
        ("expansion.mean-coefficient", mean_coefficient),
        ("expansion.cold-mm", cold_mm),
        ("expansion.hot-mm", hot_mm),
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

fn hot_mm(input: &Input<'_>) -> Given {
    let cold = Mm(input.number("cold_mm")?);
    Ok(
        expansion::hot_from_cold(cold, celsius(input)?, &input.metal()?)
            .0
            .into(),
    )
}
