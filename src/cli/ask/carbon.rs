//! `ask carbon`: carbon through a laminate at heat, and how far nickel has blurred it.

use clap::{Args, ValueEnum};
use serde_json::{Map, Value, json};

use super::answer::Answer;
use super::read::{self, Asked};
use super::refused::Refused;
use super::say::{self, Kind, Say};
use super::stack::Stack;
use crate::metal::Composition;
use crate::physics::diffusion::{
    self, Blur, CarbonLaw, Care, Faces, Heat, HeatError, Profile, SteelCarbon, Surface,
    carbon_diffusivity, series,
};
use crate::physics::{OutOfRange, Range, Spread, low_alloy, reach};
use crate::units::{Celsius, Mm, Seconds};

const TEMPERATURE: Range = Range {
    law: "diffusion of carbon",
    name: "temperature",
    unit: "C",
    least: 727.0,
    greatest: 1400.0,
};
const CARBON: Range = Range {
    law: "diffusion of carbon",
    name: "carbon",
    unit: "%",
    least: 0.0,
    greatest: 1.5,
};
const HEIGHT: Range = Range {
    law: "diffusion of carbon",
    name: "height of the stack",
    unit: "mm",
    least: 0.01,
    greatest: 500.0,
};
/// Error of a pyrometer, K.
const OFF: f64 = 20.0;
/// Share of the first difference at which carbon counts as level.
const LEVEL: f64 = 0.05;
/// Layers on which the time to level is worked out; more of the same level in the same time.
const FEW: usize = 65;
/// Height over the reach of carbon beyond which no time to level is resolved.
const SHORTEST: f64 = 4000.0;
/// Nickel between two steels from which a blur is worth a figure, mass %.
const NICKEL: f64 = 0.5;

/// Carbon through a stack at heat, and the blur of nickel
#[derive(Debug, Args)]
pub(super) struct Flags {
    /// The layers from the bottom up, as "1084 4mm + 15N20 2mm"
    #[arg(long, value_name = "LAYERS")]
    stack: String,
    /// Layers in all: the sequence is carried on to that number
    #[arg(long, value_name = "COUNT")]
    layers: Option<String>,
    /// Height of the stack at this heat, where it has been drawn
    #[arg(long, value_name = "LENGTH")]
    height: Option<String>,
    /// Temperature that it is held at
    #[arg(long, value_name = "TEMP")]
    temperature: String,
    /// Time at that temperature
    #[arg(long, value_name = "TIME")]
    time: String,
    /// What the fire does to the two outer faces
    #[arg(long, value_enum, default_value_t = Face::Sealed)]
    face: Face,
    /// Depth of the skin whose carbon is given
    #[arg(long, value_name = "LENGTH", default_value = "0.2 mm")]
    skin: String,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum, strum::IntoStaticStr)]
#[strum(serialize_all = "kebab-case")]
enum Face {
    /// Welded can or good flux: nothing leaves
    Sealed,
    /// Carbon burns away as fast as it comes: the worst case
    Bare,
}

impl Face {
    const fn faces(self) -> Faces {
        match self {
            Self::Sealed => Faces::both(Surface::Sealed),
            Self::Bare => Faces::both(Surface::Bare),
        }
    }

    fn word(self) -> &'static str {
        self.into()
    }
}

/// What a heat makes of a stack.
#[derive(Debug, Clone, PartialEq)]
struct HeatedStack {
    /// Each steel as the best law has it, with the range of its mean.
    steels: Vec<(SteelCarbon, Spread)>,
    /// Mean carbon of the poorer of the two skins, mass %.
    skin: Spread,
    /// Time until the difference between the steels is down to a twentieth, s.
    level: Option<Spread>,
    /// Width of the nickel's blur and the part of its contrast that is left, where nickel differs.
    nickel: Option<(Spread, Spread)>,
}

fn hold(at: Celsius, time: Seconds) -> Result<Heat, HeatError> {
    Heat::soak((at, Seconds(0.0)), (at, time), (at, Seconds(0.0)))
}

/// The stack after `time` at `at`, with the range of two laws of diffusion and of the pyrometer.
fn work(
    stack: &Stack,
    at: Celsius,
    time: Seconds,
    faces: Faces,
    skin: Mm,
) -> Result<HeatedStack, Refused> {
    let metals: Vec<Composition> = stack.steels.iter().map(|steel| steel.nominal).collect();
    let start = Profile::new(metals, stack.sequence());
    let shifted = |off: f64| Celsius(TEMPERATURE.clamp(at.0 + off));
    let cases = [
        (at, CarbonLaw::Agren),
        (at, CarbonLaw::Tibbetts),
        (shifted(-OFF), CarbonLaw::Agren),
        (shifted(OFF), CarbonLaw::Agren),
    ];
    let mut after = Vec::new();
    for (at, law) in cases {
        let heat = hold(at, time).map_err(|why| Refused::say(why.to_string()))?;
        let care = Care {
            law,
            ..Care::default()
        };
        after.push(start.heated(&heat, faces, care));
    }
    let skins: Vec<f64> = after
        .iter()
        .map(|billet| billet.at_faces(skin))
        .map(|(first, last)| first.min(last))
        .collect();
    let best: Vec<SteelCarbon> = after.first().map(Profile::by_steel).unwrap_or_default();
    let steels = best
        .into_iter()
        .map(|own| {
            let means: Vec<f64> = after
                .iter()
                .flat_map(Profile::by_steel)
                .filter(|other| other.steel == own.steel)
                .map(|other| other.mean)
                .collect();
            (own, Spread::preferring(own.mean, &means))
        })
        .collect();
    let heat = hold(at, time).map_err(|why| Refused::say(why.to_string()))?;
    Ok(HeatedStack {
        steels,
        skin: Spread::preferring(skins.first().copied().unwrap_or(f64::NAN), &skins),
        level: level(stack, at)?,
        nickel: nickel(stack, &heat),
    })
}

/// Time until the steels' mean carbon differs by a twentieth of what it did at first, s: closed form
/// with one diffusivity. None when they hold the same carbon.
fn level(stack: &Stack, at: Celsius) -> Result<Option<Spread>, OutOfRange> {
    let few = stack.first(FEW);
    let start = |steel: usize| stack.steels.get(steel).map_or(0.0, |own| own.nominal.c);
    let layers: Vec<(f64, f64)> = few
        .iter()
        .map(|(steel, thickness)| (thickness.0, start(*steel)))
        .collect();
    let height: f64 = layers.iter().map(|layer| layer.0).sum();
    let mean = layers.iter().map(|layer| layer.0 * layer.1).sum::<f64>() / height;
    // In a tall stack the ends do not count: they are slower, and few.
    let ends = if stack.count > FEW as u64 { FEW / 4 } else { 0 };
    let inner = few.len().saturating_sub(2 * ends);
    // Richest steel less poorest, each by the mean of its layers.
    let apart = |carbon: &[f64]| {
        let mut sums = vec![(0.0, 0.0); stack.steels.len()];
        for ((steel, thickness), carbon) in few.iter().zip(carbon).skip(ends).take(inner) {
            if let Some((high, sum)) = sums.get_mut(*steel) {
                *high += thickness.0;
                *sum += thickness.0 * carbon;
            }
        }
        let means = sums
            .iter()
            .filter(|(high, _)| *high > 0.0)
            .map(|(high, sum)| sum / high);
        means.clone().fold(f64::NEG_INFINITY, f64::max) - means.fold(f64::INFINITY, f64::min)
    };
    let first = apart(&layers.iter().map(|layer| layer.1).collect::<Vec<_>>());
    if first < 1e-6 {
        return Ok(None);
    }
    // Shorter times than the first of these would take endless terms; they read as that.
    let (mut low, mut high) = ((height / SHORTEST).powi(2), 4.0 * height * height);
    for _ in 0..40 {
        let middle = f64::midpoint(low, high);
        if apart(&series::layer_means(&layers, middle)) > LEVEL * first {
            low = middle;
        } else {
            high = middle;
        }
    }
    let diffusivity = carbon_diffusivity(at, mean)?;
    Ok(Some(diffusivity.map(|d| high * 1e-6 / d)))
}

/// Blur of the nickel after a heat, mm, and the part of its contrast left in the thinnest layer.
fn nickel(stack: &Stack, heat: &Heat) -> Option<(Spread, Spread)> {
    let of = |steel: usize| stack.steels.get(steel).map_or(0.0, |own| own.nominal.ni);
    let all = stack.first(FEW);
    let most = all.iter().map(|layer| of(layer.0)).fold(0.0, f64::max);
    let least = all
        .iter()
        .map(|layer| of(layer.0))
        .fold(f64::INFINITY, f64::min);
    if most - least < NICKEL {
        return None;
    }
    let thinnest = all.iter().map(|layer| layer.1).reduce(Mm::min)?;
    let blur = Blur::default().heated(heat);
    Some((blur.width(), blur.contrast(thinnest)))
}

pub(super) fn ask(flags: &Flags, asked: Asked) -> Result<Answer, Refused> {
    let mut stack = Stack::read("--stack", &flags.stack, flags.layers.as_deref(), asked)?;
    if let Some(height) = asked.maybe_length("--height", flags.height.as_ref())? {
        stack = stack.at_height(height);
    }
    HEIGHT.check(stack.height().0)?;
    let at = asked.temperature("--temperature", &flags.temperature)?;
    TEMPERATURE.check(at.0)?;
    let mut left_out = Vec::new();
    for steel in &stack.steels {
        let metal = &steel.nominal;
        CARBON.check(metal.c)?;
        if metal.ni < 50.0 {
            low_alloy::check(metal, "diffusion of carbon")?;
        }
        let structure = reach::austenite(metal, at);
        structure.map_err(|why| Refused::Structure(steel.grade.clone(), at.0, why))?;
        left_out.extend(reach::ignored(metal, &["mn", "si", "cr", "ni"]));
    }
    let time = read::duration("--time", &flags.time)?;
    let skin = asked.length("--skin", &flags.skin)?.min(stack.height());
    let found = work(&stack, at, time, flags.face.faces(), skin)?;
    let mut answer = Answer::new(
        "carbon",
        "two laws of diffusion, and 20 C of the pyrometer either way",
    )
    .say(words(
        &stack,
        &found,
        at,
        time,
        skin,
        flags.face,
        asked.say(),
    ))
    .input("stack", stack.words())
    .input("height_mm", stack.height().0)
    .input("temperature_c", at.0)
    .input("time_s", time.0)
    .input("face", flags.face.word())
    .input("skin_mm", skin.0)
    .figure("steels", Value::Array(by_steel(&stack, &found)))
    .range("skin", "percent", found.skin)
    .range("level", "s", found.level)
    .range("nickel_blur", "mm", found.nickel.map(|(width, _)| width))
    .range(
        "nickel_contrast_left",
        "percent",
        found.nickel.map(|(_, left)| left.scaled(100.0)),
    )
    .leaving_out(&left_out)
    .by(diffusion::LAW_PROFILE)
    .by(diffusion::LAW_CARBON)
    .by(diffusion::LAW_ACTIVITY);
    if found.nickel.is_some() {
        answer = answer.by(diffusion::LAW_TRACER);
    }
    Ok(answer)
}

fn by_steel(stack: &Stack, found: &HeatedStack) -> Vec<Value> {
    let row = |(own, mean): &(SteelCarbon, Spread)| {
        let name = stack.steels.get(own.steel);
        let mut row = Map::new();
        row.insert("steel".to_owned(), json!(name.map(|steel| &steel.grade)));
        for (key, value) in [
            (
                "start_percent",
                name.map_or(f64::NAN, |steel| steel.nominal.c),
            ),
            ("share_percent", own.share * 100.0),
            ("carbon_percent", mean.best),
            ("carbon_low_percent", mean.low),
            ("carbon_high_percent", mean.high),
            ("poorest_percent", own.least),
            ("richest_percent", own.greatest),
        ] {
            row.insert(key.to_owned(), json!(say::rounded(value, 6)));
        }
        Value::Object(row)
    };
    found.steels.iter().map(row).collect()
}

fn words(
    stack: &Stack,
    found: &HeatedStack,
    at: Celsius,
    time: Seconds,
    skin: Mm,
    face: Face,
    say: Say,
) -> String {
    let held: Vec<String> = found
        .steels
        .iter()
        .map(|(own, mean)| {
            let steel = stack.steels.get(own.steel);
            let name = steel.map_or("steel", |steel| steel.grade.as_str());
            let start = steel.map_or(f64::NAN, |steel| steel.nominal.c);
            format!("{name} from {start:.2} to {}", carbon(*mean))
        })
        .collect();
    let mut text = format!(
        "{}, {} high, {} at {}: {}",
        stack.words(),
        say.both(Kind::Length, stack.height().0, 3),
        say::given(time),
        say.both(Kind::Temperature, at.0, 3),
        held.join(", "),
    );
    let outer = match face {
        Face::Sealed => "the sealed skin",
        Face::Bare => "the bare skin",
    };
    text = format!(
        "{text}; {outer} of {} holds {}",
        say.both(Kind::Length, skin.0, 2),
        carbon(found.skin)
    );
    if let Some(level) = found.level {
        text = format!("{text}; level after {}", say::time(level));
    }
    if let Some((width, left)) = found.nickel {
        text = format!(
            "{text}; nickel blurs over {} and keeps {} of its contrast",
            say.ranged(Kind::Length, width, 2),
            say::shared(left.scaled(100.0), "%", 3),
        );
    }
    text
}

/// Carbon with its range, to a hundredth of a percent.
fn carbon(mean: Spread) -> String {
    format!("{:.2} % C ({:.2} to {:.2})", mean.best, mean.low, mean.high)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Units;

    fn stack(text: &str, layers: &str) -> Stack {
        Stack::read("--stack", text, Some(layers), Asked { units: Units::Mm }).unwrap()
    }

    #[test]
    fn the_time_to_level_is_the_closed_form_of_a_laminate() {
        // Equal layers of 1 mm in a tall stack: theta 0.28225 l^2 (Crank's series, computed with
        // scipy in tests/reference/series.py).
        let tall = stack("c=1.0 1mm + c=0.6 1mm", "10000");
        let found = level(&tall, Celsius(1150.0)).unwrap().unwrap();
        let d = carbon_diffusivity(Celsius(1150.0), 0.8).unwrap().best;
        let layer = found.best * d * 1e6;
        assert!((layer - 0.28225).abs() < 0.001, "{layer}");
        assert!(found.low < found.best && found.best < found.high);
        let same = stack("c=0.8 1mm + c=0.8 mn=1 1mm", "9");
        assert!(level(&same, Celsius(1150.0)).unwrap().is_none());
    }

    #[test]
    fn a_long_heat_levels_activity_and_keeps_the_carbon() {
        let pair = stack("c=1.0 0.2mm + c=0.6 0.2mm", "20");
        let faces = Faces::both(Surface::Sealed);
        let long = work(&pair, Celsius(1150.0), Seconds(36_000.0), faces, Mm(0.1)).unwrap();
        for (_, mean) in &long.steels {
            assert!((mean.best - 0.8).abs() < 1e-3);
        }
        assert!(long.nickel.is_none());
        let bare = Faces::both(Surface::Bare);
        let burnt = work(&pair, Celsius(1150.0), Seconds(600.0), bare, Mm(0.1)).unwrap();
        assert!(burnt.skin.best < 0.5 * long.skin.best);
    }

    #[test]
    fn nickel_steel_ends_under_plain_steel() {
        let pair = stack("1095 0.2mm + 15N20 0.2mm", "200");
        let faces = Faces::both(Surface::Sealed);
        let long = work(&pair, Celsius(1150.0), Seconds(36_000.0), faces, Mm(0.1)).unwrap();
        let held: Vec<f64> = long.steels.iter().map(|(_, mean)| mean.best).collect();
        assert!(held[0] > held[1]);
        let (width, left) = long.nickel.unwrap();
        assert!(width.low < width.best && left.best < 1.0);
    }
}
