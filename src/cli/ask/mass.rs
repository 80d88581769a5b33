//! `ask mass`: what a bar weighs, and how long a bar of that weight is.

use std::f64::consts::FRAC_PI_4;

use clap::Args;

use super::answer::{Answer, Basis};
use super::read::{self, Asked};
use super::refused::Refused;
use super::say::Kind;
use super::stack::Stack;
use crate::metal::{Mark, Source, Steel};
use crate::physics::Spread;
use crate::units::{Density, Grams, Mm, Mm2};

/// The rule of mixtures is good to half a percent, and so are rolled bars.
const TRUST: f64 = 0.005;

/// What a bar weighs, or how long a bar of that weight is
#[derive(Debug, Args)]
pub(super) struct Flags {
    /// Width of the bar
    #[arg(
        long,
        value_name = "LENGTH",
        required_unless_present = "diameter",
        conflicts_with = "diameter"
    )]
    width: Option<String>,
    /// Thickness of the bar; a stack has its own
    #[arg(long, value_name = "LENGTH", required_unless_present_any = ["diameter", "stack"], conflicts_with_all = ["diameter", "stack"])]
    thickness: Option<String>,
    /// Diameter of a round bar, in place of width and thickness
    #[arg(long, value_name = "LENGTH", conflicts_with = "stack")]
    diameter: Option<String>,
    /// Length of the bar
    #[arg(
        long,
        value_name = "LENGTH",
        required_unless_present = "weight",
        conflicts_with = "weight"
    )]
    length: Option<String>,
    /// Weight, in place of the length: how long is the bar
    #[arg(long, value_name = "MASS")]
    weight: Option<String>,
    /// The steel: a grade, or an analysis as "c=0.8 mn=0.4"
    #[arg(long, default_value = "SAE 1084", conflicts_with = "stack")]
    steel: String,
    /// A stack of layers in place of one steel, as "1084 4mm + 15N20 2mm"
    #[arg(long, value_name = "LAYERS")]
    stack: Option<String>,
    /// Layers in the stack: its sequence is carried on to that number
    #[arg(long, value_name = "COUNT", requires = "stack")]
    layers: Option<String>,
}

/// A bar of one section: length and mass follow from each other.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Weighed {
    area: Mm2,
    length: Spread,
    mass: Spread,
}

fn by_length(area: Mm2, length: Mm, density: Density) -> Weighed {
    let mass = (area * length).mass(density);
    Weighed {
        area,
        length: Spread::exact(length.0),
        mass: Spread::around(mass.0, TRUST),
    }
}

fn by_weight(area: Mm2, weight: Grams, density: Density) -> Weighed {
    let length = weight.volume(density) / area;
    Weighed {
        area,
        length: Spread::around(length.0, TRUST),
        mass: Spread::exact(weight.0),
    }
}

/// Where a steel's density comes from.
fn density_basis(steel: &Steel) -> Basis {
    let worked_out = Source {
        text: "iron, cementite and alloying elements by mass".to_owned(),
        mark: Mark::Computed,
    };
    let source = steel.source("density").unwrap_or(&worked_out);
    Basis::new("density", "density", source, "cold")
}

pub(super) fn ask(flags: &Flags, asked: Asked) -> Result<Answer, Refused> {
    let width = asked.maybe_length("--width", flags.width.as_ref())?;
    let diameter = asked.maybe_length("--diameter", flags.diameter.as_ref())?;
    let thickness = asked.maybe_length("--thickness", flags.thickness.as_ref())?;
    let stack = flags
        .stack
        .as_ref()
        .map(|text| Stack::read("--stack", text, flags.layers.as_deref(), asked))
        .transpose()?;
    let (density, name, basis) = match &stack {
        Some(stack) => (
            stack.density(),
            stack.words(),
            density_basis(&Steel::from_composition("", stack.mean(), None)),
        ),
        None => {
            let steel = read::steel("--steel", &flags.steel)?;
            (steel.density, steel.grade.clone(), density_basis(&steel))
        }
    };
    let high = thickness.or(stack.as_ref().map(Stack::height));
    let say = asked.say();
    let (area, section) = match (diameter, width, high) {
        (Some(round), _, _) => (
            Mm2(FRAC_PI_4 * round.0 * round.0),
            format!("{} round", say.size(&[round.0])),
        ),
        (None, Some(width), Some(high)) => (width * high, say.size(&[width.0, high.0])),
        _ => return Err(Refused::say("give --width and --thickness, or --diameter")),
    };
    let length = asked.maybe_length("--length", flags.length.as_ref())?;
    let weight = flags
        .weight
        .as_ref()
        .map(|text| asked.mass("--weight", text))
        .transpose()?;
    let found = match (length, weight) {
        (Some(length), _) => by_length(area, length, density),
        (None, Some(weight)) => by_weight(area, weight, density),
        (None, None) => return Err(Refused::say("give --length, or --weight")),
    };
    let text = if length.is_some() {
        format!(
            "{section}, {} long, of {name} weighs {}; {} at {}",
            asked.units.length(Mm(found.length.best)),
            say.ranged(Kind::Mass, found.mass, 4),
            say.both(Kind::Volume, found.area.0 * found.length.best, 4),
            say.both(Kind::Density, density.0, 4),
        )
    } else {
        format!(
            "{} of {name}, {section}, is {} long",
            asked.units.mass(Grams(found.mass.best)),
            say.ranged(Kind::Length, found.length, 4)
        )
    };
    let volume = Spread {
        low: found.area.0 * found.length.low,
        best: found.area.0 * found.length.best,
        high: found.area.0 * found.length.high,
    };
    Ok(Answer::new("mass", "0.5 % in the density")
        .say(text)
        .input("width_mm", width.map(Mm::get))
        .input("thickness_mm", high.map(Mm::get))
        .input("diameter_mm", diameter.map(Mm::get))
        .input("length_mm", length.map(Mm::get))
        .input("weight_g", weight.map(Grams::get))
        .input("layers", stack.as_ref().map(|stack| stack.count))
        .input("steel", name)
        .range("mass", "g", found.mass)
        .range("length", "mm", found.length)
        .range("volume", "mm3", volume)
        .figure("density_g_cm3", density.0)
        .by(basis))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bar_weighs_what_a_steel_table_says() {
        // Tables of flat bar: 50 x 10 mm weighs 3.93 kg/m at 7.85 g/cm3 (EN 1993-1-2 density;
        // common stockholders' tables, from memory).
        let bar = by_length(Mm2(500.0), Mm(1000.0), Density(7.85));
        assert!((bar.mass.best - 3925.0).abs() < 1e-9);
        let back = by_weight(Mm2(500.0), Grams(3925.0), Density(7.85));
        assert!((back.length.best - 1000.0).abs() < 1e-9);
    }

    #[test]
    fn the_range_is_half_a_percent() {
        let bar = by_length(Mm2(100.0), Mm(100.0), Density(7.85));
        assert!((bar.mass.high / bar.mass.best - 1.005).abs() < 1e-12);
    }
}
