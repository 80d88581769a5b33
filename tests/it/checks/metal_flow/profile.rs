//! Whole billets: rows give a stack, heats and faces, and say what to read.

use anvilside::metal::Composition;
use anvilside::physics::diffusion::{
    CarbonLaw, Care, Faces, Heat, HeatPoint, Profile, Sequence, Surface,
};
use anvilside::units::{Celsius, Mm, Seconds};

use super::diffusion::carbon_law;
use crate::checks::row::{Answer, Function, Input};

type Given = Result<Answer, String>;

pub(crate) fn laws() -> Vec<(&'static str, Function)> {
    vec![
        ("carbon-profile.laminate", laminate),
        ("carbon-profile.restacked", restacked),
        ("carbon-profile.bars", bars),
        ("carbon-profile.gain-g-m2", gain),
        ("carbon-profile.rest-difference", rest_difference),
        ("carbon-profile.blur-um", blur_um),
        ("carbon-profile.contrast", contrast),
    ]
}

fn heat(moments: &[(f64, f64, f64)]) -> Result<Heat, String> {
    let point = |&(at, t, thickness): &(f64, f64, f64)| HeatPoint {
        at: Seconds(at),
        temperature: Celsius(t),
        thickness,
    };
    Heat::new(moments.iter().map(point).collect()).map_err(|e| e.to_string())
}

/// 800 to 1150 C in three minutes, ten minutes there, drawn to `end` meanwhile, two minutes down.
fn welding(end: f64) -> Result<Heat, String> {
    heat(&[
        (0.0, 800.0, 1.0),
        (180.0, 1150.0, 1.0),
        (780.0, 1150.0, end),
        (900.0, 800.0, end),
    ])
}

fn soak(celsius: f64, seconds: f64) -> Result<Heat, String> {
    heat(&[(0.0, celsius, 1.0), (seconds, celsius, 1.0)])
}

fn care(input: &Input<'_>) -> Result<Care, String> {
    let usual = Care::default();
    let care = match input.word_or("care", "usual")? {
        "usual" => usual,
        "fine" => Care {
            cells: 25.0,
            face_cells: 50.0,
            steps: 120.0,
            ..usual
        },
        other => return Err(format!("no care is called '{other}'")),
    };
    Ok(Care {
        law: carbon_law(input)?,
        ..care
    })
}

fn face(word: &str, input: &Input<'_>) -> Result<Surface, String> {
    match word {
        "sealed" => Ok(Surface::Sealed),
        "bare" => Ok(Surface::Bare),
        "fire" => Ok(Surface::Exchange {
            metres_per_second: input.number("beta_m_s")?,
            potential_pct: input.number("fire_pct")?,
        }),
        other => Err(format!("no face is called '{other}'")),
    }
}

fn faces(input: &Input<'_>) -> Result<Faces, String> {
    let first = face(input.word_or("first", "sealed")?, input)?;
    let last = face(input.word_or("last", "sealed")?, input)?;
    Ok(Faces { first, last })
}

fn steel(input: &Input<'_>) -> Result<usize, String> {
    let index = input.number_or("steel", 0.0)?;
    (0..4)
        .find(|i| (f64::from(*i) - index).abs() < 0.5)
        .and_then(|i: i32| usize::try_from(i).ok())
        .ok_or_else(|| "no such steel".to_owned())
}

/// What the row asks for: `whole`, `mean` of a steel, or what a steel holds `from_mm` `to_mm`.
fn read(profile: &Profile, input: &Input<'_>) -> Given {
    let steel = steel(input)?;
    let answer = match input.word("read")? {
        "whole" => Some(profile.stack().mean_carbon()),
        "mean" => profile
            .by_steel()
            .into_iter()
            .find(|held| held.steel == steel)
            .map(|held| held.mean),
        "between" => profile.held_between(
            steel,
            Mm(input.number("from_mm")?),
            Mm(input.number("to_mm")?),
        ),
        "lost" => {
            let thickness = profile.stack().thickness().0;
            Some(input.number("start_pct_mm")? - profile.stack().mean_carbon() * thickness)
        }
        other => return Err(format!("nothing is called '{other}'")),
    };
    answer.map(Into::into).ok_or_else(|| "not there".to_owned())
}

/// 125 layers of 0.2 mm, 0.95 % outside and 0.75 % between, factors 1 and 1.06.
fn laminate(input: &Input<'_>) -> Given {
    let layer = |steel: usize, carbon: f64| Sequence::layer(steel, Mm(0.2), carbon);
    let pair = Sequence::join([layer(1, 0.75), layer(0, 0.95)]);
    let stack = Sequence::join([layer(0, 0.95), pair.repeated(62)]);
    let mut profile =
        Profile::new(vec![Composition::default(); 2], stack).with_factors(&[1.0, 1.06]);
    let (faces, care) = (faces(input)?, care(input)?);
    let heats = input.number("heats")?;
    let mut done = 0.5;
    while done < heats {
        profile = profile.heated(&welding(1.0)?, faces, care);
        done += 1.0;
    }
    read(&profile, input)
}

/// Five layers of 5 mm; each heat but the fifth draws 25 to 5 mm, then five pieces are stacked.
fn restacked(input: &Input<'_>) -> Given {
    let layer = |(steel, carbon)| Sequence::layer(steel, Mm(5.0), carbon);
    let (outer, inner) = ((0, 0.95), (1, 0.75));
    let stack = Sequence::join([outer, inner, outer, inner, outer].map(layer));
    let mut profile =
        Profile::new(vec![Composition::default(); 2], stack).with_factors(&[1.0, 1.06]);
    let (faces, care) = (faces(input)?, care(input)?);
    let stages = input.number("stages")?;
    let mut done = 0.5;
    while done < stages {
        if done > 1.0 {
            profile = profile.moved(|s| s.repeated(5));
        }
        let end = if done < 4.0 { 0.2 } else { 1.0 };
        profile = profile.heated(&welding(end)?, faces, care);
        done += 1.0;
    }
    read(&profile, input)
}

/// Bars side by side: `mm`, `carbon` and `factors` as lists; steel 2 is nickel metal.
fn bars(input: &Input<'_>) -> Given {
    let (mm, carbon) = (input.list("mm")?, input.list("carbon")?);
    let nickel = Composition {
        ni: 99.5,
        ..Composition::default()
    };
    let stack = mm.iter().zip(&carbon).enumerate();
    let stack = Sequence::join(stack.map(|(i, (mm, c))| Sequence::layer(i, Mm(*mm), *c)));
    let mut steels = vec![Composition::default(); mm.len()];
    if input.word_or("middle", "steel")? == "nickel" {
        let middle = steels.get_mut(1).ok_or("no middle bar")?;
        *middle = nickel;
    }
    let profile = Profile::new(steels, stack).with_factors(&input.list("factors")?);
    let heat = soak(input.number("celsius")?, input.number("seconds")?)?;
    let after = profile.heated(&heat, faces(input)?, care(input)?);
    read(&after, input)
}

/// Grams of iron in a square metre, a millimetre deep, for each mass percent of carbon.
const G_M2: f64 = 78.0;

/// Carbon that a thick bar takes up through one face held at a level; the ends as those of the diffusivity: 20 C
/// of pyrometer either way and the law that stands beside it.
fn gain(input: &Input<'_>) -> Given {
    let (mm, carbon) = (5.0, input.number("carbon")?);
    let face = Surface::Exchange {
        metres_per_second: 1e-4,
        potential_pct: input.number("face_pct")?,
    };
    let faces = Faces {
        first: face,
        last: Surface::Sealed,
    };
    let (celsius, seconds) = (input.number("celsius")?, input.number("seconds")?);
    let taken = |shift: f64, law: CarbonLaw| {
        let stack = Sequence::layer(0, Mm(mm), carbon);
        let care = Care {
            law,
            ..Care::default()
        };
        let heat = soak(celsius + shift, seconds)?;
        let after = Profile::new(vec![Composition::default()], stack).heated(&heat, faces, care);
        Ok::<f64, String>(G_M2 * mm * (after.stack().mean_carbon() - carbon))
    };
    let (best, rival) = (CarbonLaw::Agren, CarbonLaw::Tibbetts);
    let taken = match input.word_or("end", "best")? {
        "low" => taken(-20.0, best)?.min(taken(0.0, rival)?),
        "high" => taken(20.0, best)?.max(taken(0.0, rival)?),
        _ => taken(0.0, best)?,
    };
    Ok(taken.into())
}

/// Difference at rest of thin equal layers of the two usual steels, factors from their analyses.
fn rest_difference(input: &Input<'_>) -> Given {
    let plain = Composition {
        mn: 0.40,
        si: 0.20,
        ..Composition::default()
    };
    let nickel = Composition {
        ni: 2.0,
        mn: 0.35,
        si: 0.25,
        cr: 0.10,
        ..Composition::default()
    };
    let pair = Sequence::join([
        Sequence::layer(0, Mm(0.02), 0.95),
        Sequence::layer(1, Mm(0.02), 0.75),
    ]);
    let heat = soak(input.number("celsius")?, 600.0)?;
    let after = Profile::new(vec![plain, nickel], pair.folded(500)).heated(
        &heat,
        Faces::default(),
        Care::default(),
    );
    match after.by_steel().as_slice() {
        [a, b] => Ok((a.mean - b.mean).into()),
        _ => Err("no two steels".to_owned()),
    }
}

fn soaked(input: &Input<'_>) -> Result<Profile, String> {
    let stack = Sequence::layer(0, Mm(10.0), 0.8);
    let heat = soak(input.number("celsius")?, input.number("seconds")?)?;
    let profile = Profile::new(vec![Composition::default()], stack);
    Ok(profile.heated(&heat, Faces::default(), Care::default()))
}

fn blur_um(input: &Input<'_>) -> Given {
    let width = soaked(input)?.blur().width();
    let um = match input.word_or("read", "best")? {
        "low" => width.low,
        "high" => width.high,
        _ => width.best,
    };
    Ok((1000.0 * um).into())
}

fn contrast(input: &Input<'_>) -> Given {
    let band = Mm(input.number("band_um")? / 1000.0);
    Ok(soaked(input)?.blur().contrast(band).best.into())
}
