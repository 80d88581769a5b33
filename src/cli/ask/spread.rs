//! `ask spread`: how wide and how long a bar gets when it is drawn out.

use clap::Args;

use super::answer::Answer;
use super::read::{self, Asked};
use super::refused::Refused;
use super::say::{self, Kind};
use crate::physics::draw_out::{self, SQUEEZE};
use crate::physics::draw_plan::{self, DrawPlan, DrawWarning, LEAST_BITE, plan_draw};
use crate::physics::heats::{self, heats_for_ratio};
use crate::physics::{Bar, OutOfRange, Range, Spread, bites, spread_coefficient};
use crate::units::Mm;

/// Log reduction that a press or a light hammer gains in one heat (common practice, no source).
const MACHINE_GAIN: Spread = Spread {
    low: 0.12,
    best: 0.16,
    high: 0.20,
};

/// Width and length after drawing out; passes and heats
#[derive(Debug, Args)]
pub(super) struct Flags {
    /// Width before
    #[arg(long, value_name = "LENGTH")]
    width: String,
    /// Thickness between the dies, before
    #[arg(long, value_name = "LENGTH")]
    thickness: String,
    /// Length before
    #[arg(long, value_name = "LENGTH")]
    length: String,
    /// Length of bar under the dies
    #[arg(long, value_name = "LENGTH")]
    bite: String,
    /// Thickness wanted
    #[arg(long, value_name = "LENGTH")]
    to: String,
    /// Width wanted: plans passes on the flat and on the edge; without it all is one pass on the flat
    #[arg(long, value_name = "LENGTH")]
    to_width: Option<String>,
    /// Most that one pass squeezes, before over after
    #[arg(long, value_name = "RATIO", default_value = "1.25")]
    squeeze: String,
}

/// A bar after drawing, and what it took.
#[derive(Debug, Clone, PartialEq)]
struct Drawn {
    width: Spread,
    length: Spread,
    passes: usize,
    bites: f64,
    mind: Vec<&'static str>,
}

/// One pass on the flat, with the range of the spread coefficient.
fn one_pass(bar: Bar, to: Mm, bite: Mm) -> Result<Drawn, OutOfRange> {
    for side in [bar.height, bar.width, bar.length, to] {
        draw_out::SIZE.check(side.0)?;
    }
    let thinner = Range {
        name: "thickness after the pass",
        greatest: bar.height.0,
        ..draw_out::SIZE
    };
    let squeeze = SQUEEZE.check(bar.height.0 / thinner.check(to.0)?)?;
    let s = spread_coefficient(bite, bar.width)?;
    let mut mind = Vec::new();
    if bite.0 < LEAST_BITE * bar.height.0 {
        mind.push("the bite is short: the middle is not worked");
    }
    if squeeze > draw_plan::GREATEST_SQUEEZE {
        mind.push("too much for one pass: laps form over 1.3");
    }
    Ok(Drawn {
        width: s.map(|s| bar.width.0 * squeeze.powf(s)),
        length: s.map(|s| bar.length.0 * squeeze.powf(1.0 - s)),
        passes: 1,
        bites: bites(bar.length, bite),
        mind,
    })
}

/// The same for a plan of several passes: the end is what was asked for.
fn planned(plan: &DrawPlan) -> Drawn {
    let mind = plan.warnings.iter().map(|warning| match warning {
        DrawWarning::SkinOnly { .. } => "the bite is short: the middle is not worked",
        DrawWarning::Laps => "too much for one pass: laps form over 1.3",
        DrawWarning::Buckles => "on edge it stands too tall and buckles",
        DrawWarning::Narrow { .. } => "it comes out narrower than wanted",
    });
    Drawn {
        width: Spread::exact(plan.after.width.0),
        length: Spread::exact(plan.after.length.0),
        passes: plan.passes.len(),
        bites: plan.bites,
        mind: mind.collect(),
    }
}

pub(super) fn ask(flags: &Flags, asked: Asked) -> Result<Answer, Refused> {
    let bar = Bar {
        height: asked.length("--thickness", &flags.thickness)?,
        width: asked.length("--width", &flags.width)?,
        length: asked.length("--length", &flags.length)?,
    };
    let bite = asked.length("--bite", &flags.bite)?;
    let to = asked.length("--to", &flags.to)?;
    let to_width = asked.maybe_length("--to-width", flags.to_width.as_ref())?;
    let squeeze = read::plain("--squeeze", &flags.squeeze, &[])?;
    let drawn = match to_width {
        Some(width) => planned(&plan_draw(bar, to, width, bite, squeeze)?),
        None => one_pass(bar, to, bite)?,
    };
    let ratio = bar.height.0 * bar.width.0 / (to.0 * drawn.width.best);
    let heats = heats_for_ratio(ratio.max(1.0), MACHINE_GAIN)?;
    let say = asked.say();
    let after = if to_width.is_some() {
        format!(
            "{} x {} long",
            say.size(&[drawn.width.best, to.0]),
            say.both(Kind::Length, drawn.length.best, 3)
        )
    } else {
        format!(
            "{} wide and {} long",
            say.ranged(Kind::Length, drawn.width, 3),
            say.ranged(Kind::Length, drawn.length, 3)
        )
    };
    let passes = if drawn.passes == 1 { "pass" } else { "passes" };
    let mut text = format!(
        "{} drawn to {} thick: {after}; {} {passes}, {} bites, {}",
        say.size(&[bar.width.0, bar.height.0, bar.length.0]),
        asked.units.length(to),
        drawn.passes,
        say::number(drawn.bites, 4),
        say::shared(heats, if heats.best < 1.5 { "heat" } else { "heats" }, 2),
    );
    for mind in &drawn.mind {
        text = format!("{text}; {mind}");
    }
    let answer = Answer::new("spread", "the spread coefficient a quarter either way, until the shop's own is known; heats by a press or light hammer")
        .say(text)
        .input("width_mm", bar.width.0)
        .input("thickness_mm", bar.height.0)
        .input("length_mm", bar.length.0)
        .input("bite_mm", bite.0)
        .input("to_mm", to.0)
        .input("to_width_mm", to_width.map(Mm::get))
        .input("squeeze", squeeze)
        .range("width", "mm", drawn.width)
        .range("length", "mm", drawn.length)
        .figure("passes", drawn.passes)
        .figure("bites", drawn.bites)
        .range("heats", "", heats)
        .figure("mind", drawn.mind)
        .by(draw_out::LAW);
    let answer = if to_width.is_some() {
        answer.by(draw_plan::LAW)
    } else {
        answer
    };
    Ok(answer.by(heats::LAW))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::flat_pass;

    #[test]
    fn one_pass_is_the_laws_own_and_keeps_the_metal() {
        let bar = Bar::new(50.0, 50.0, 200.0);
        let drawn = one_pass(bar, Mm(40.0), Mm(25.0)).unwrap();
        let own = flat_pass(bar, Mm(40.0), Mm(25.0)).unwrap();
        assert!((drawn.width.best - own.width.0).abs() < 1e-9);
        assert!((drawn.length.best - own.length.0).abs() < 1e-9);
        let kept = drawn.width.high * drawn.length.low * 40.0;
        assert!((kept / bar.volume().0 - 1.0).abs() < 1e-12);
        assert!(one_pass(bar, Mm(60.0), Mm(25.0)).is_err());
        assert!(!one_pass(bar, Mm(30.0), Mm(10.0)).unwrap().mind.is_empty());
    }
}
