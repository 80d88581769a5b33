//! `ask blade`: the volume of a knife, and the steel to start from.
//!
//! Long because its flags are a third of it.

use clap::{Args, ValueEnum};

use super::answer::{Answer, Basis};
use super::read::{self, Asked};
use super::refused::Refused;
use super::say::Kind;
use crate::billet::Allowances;
use crate::physics::blade_volume::{self, bevel_factor, taper};
use crate::physics::{Bevel, Blade, Bolster, OutOfRange, Range, Spread};
use crate::plan::{self, Goal, Need, Pattern, SPARE};
use crate::planner::draft::{FORGING, Form};
use crate::units::{Density, Fraction, Mm, Mm3};

/// Restacks of a job that says nothing else.
const RESTACKS: u32 = 2;

/// A bar before its cuts, and the pieces of each restack.
#[derive(Debug, Clone, Copy)]
struct Bar {
    width: Mm,
    thickness: Mm,
    pieces: f64,
}

/// A small, a usual and a heavy way to the same count (common practice, no source).
const BARS: [Bar; 3] = [
    Bar {
        width: Mm(30.0),
        thickness: Mm(12.0),
        pieces: 3.0,
    },
    Bar {
        width: Mm(40.0),
        thickness: Mm(14.0),
        pieces: 4.0,
    },
    Bar {
        width: Mm(50.0),
        thickness: Mm(16.0),
        pieces: 5.0,
    },
];
const OVER: Range = Range {
    law: "a forged blank",
    name: "blank over finished knife",
    unit: "",
    least: 1.0,
    greatest: 20.0,
};
const KEPT: Range = Range {
    law: "a billet",
    name: "yield",
    unit: "%",
    least: 5.0,
    greatest: 100.0,
};

/// Volume of a knife, and the steel to start from
#[derive(Debug, Args)]
pub(super) struct Flags {
    /// Heel to tip
    #[arg(long, value_name = "LENGTH")]
    length: String,
    /// Edge to spine at the heel
    #[arg(long, value_name = "LENGTH")]
    width: String,
    /// Thickness of the spine at the heel
    #[arg(long, value_name = "LENGTH")]
    spine: String,
    /// Thickness of the spine at the tip
    #[arg(long, value_name = "LENGTH")]
    tip_spine: String,
    /// Thickness of the edge before sharpening
    #[arg(long, value_name = "LENGTH", default_value = "0.3 mm")]
    edge: String,
    /// Height of the bevels over the width of the blade
    #[arg(long, value_name = "SHARE", default_value = "100 %")]
    bevel: String,
    /// How the bevels run
    #[arg(long, value_enum, default_value_t = Side::Flat)]
    side: Side,
    /// Power of the edge curve: 2.5 to 4 for a belly, large for a square end
    #[arg(long, value_name = "NUMBER", default_value = "3")]
    curve: String,
    /// Length of the tang
    #[arg(long, value_name = "LENGTH", requires_all = ["tang_width", "tang_thickness"])]
    tang_length: Option<String>,
    /// Width of the tang at the blade
    #[arg(long, value_name = "LENGTH", requires = "tang_length")]
    tang_width: Option<String>,
    /// Thickness of the tang at the blade
    #[arg(long, value_name = "LENGTH", requires = "tang_length")]
    tang_thickness: Option<String>,
    /// Width of the tang at its end; as at the blade, unless said
    #[arg(long, value_name = "LENGTH", requires = "tang_length")]
    tang_end_width: Option<String>,
    /// Thickness of the tang at its end; as at the blade, unless said
    #[arg(long, value_name = "LENGTH", requires = "tang_length")]
    tang_end_thickness: Option<String>,
    /// Length of an integral bolster along the knife
    #[arg(long, value_name = "LENGTH", requires_all = ["bolster_width", "bolster_thickness"])]
    bolster_length: Option<String>,
    /// Width of the bolster
    #[arg(long, value_name = "LENGTH", requires = "bolster_length")]
    bolster_width: Option<String>,
    /// Thickness of the bolster
    #[arg(long, value_name = "LENGTH", requires = "bolster_length")]
    bolster_thickness: Option<String>,
    /// The bolster seen from the end
    #[arg(long, value_enum, default_value_t = Shape::Oval)]
    bolster_shape: Shape,
    /// Knives from one billet
    #[arg(long, value_name = "COUNT", default_value = "1")]
    knives: String,
    /// Metal in a blank over the finished knife; unless said, its skin, edge and scale as a draft takes them
    #[arg(long, value_name = "RATIO")]
    over: Option<String>,
    /// Finished bar over first stack; unless said, from the losses of two restacks
    #[arg(long = "yield", value_name = "SHARE")]
    kept: Option<String>,
    /// Width of the bar that blanks are cut from: how long is one blank
    #[arg(long, value_name = "LENGTH", requires = "bar_thickness")]
    bar_width: Option<String>,
    /// Thickness of that bar
    #[arg(long, value_name = "LENGTH", requires = "bar_width")]
    bar_thickness: Option<String>,
    /// The steel: a grade, or an analysis as "c=0.8 mn=0.4"
    #[arg(long, default_value = "SAE 1084")]
    steel: String,
}

#[derive(Debug, Clone, Copy, ValueEnum, strum::IntoStaticStr)]
#[strum(serialize_all = "kebab-case")]
enum Side {
    /// Straight from shoulder to edge
    Flat,
    /// Bowed out
    Convex,
    /// Hollow ground
    Hollow,
}

impl Side {
    fn word(self) -> &'static str {
        self.into()
    }
}

#[derive(Debug, Clone, Copy, ValueEnum, strum::IntoStaticStr)]
#[strum(serialize_all = "kebab-case")]
enum Shape {
    /// Oval
    Oval,
    /// Eight-sided
    Octagon,
    /// Rectangular
    Block,
}

impl Shape {
    fn word(self) -> &'static str {
        self.into()
    }
}

/// A straight-tapered tang.
#[derive(Debug, Clone, Copy)]
struct Tang {
    length: Mm,
    start: (Mm, Mm),
    end: (Mm, Mm),
}

/// An integral bolster.
#[derive(Debug, Clone, Copy)]
struct Collar {
    shape: Bolster,
    width: Mm,
    thickness: Mm,
    length: Mm,
}

/// The knife, part by part.
#[derive(Debug, Clone, Copy)]
struct Volumes {
    blade: Mm3,
    tang: Mm3,
    bolster: Mm3,
}

impl Volumes {
    fn of(blade: &Blade, tang: Option<Tang>, collar: Option<Collar>) -> Result<Self, OutOfRange> {
        let tang = tang.map(|t| taper(t.length, t.start, t.end)).transpose()?;
        let bolster = collar
            .map(|c| c.shape.volume(c.width, c.thickness, c.length))
            .transpose()?;
        Ok(Self {
            blade: blade.volume()?,
            tang: tang.unwrap_or(Mm3::ZERO),
            bolster: bolster.unwrap_or(Mm3::ZERO),
        })
    }

    fn whole(self) -> Mm3 {
        self.blade + self.tang + self.bolster
    }
}

/// Metal in a forged blank over the finished knife: skin, edge and profile as forecast and draft take them.
fn blank_ratio(blade: &Blade, edge: Mm, bevel: Fraction, parts: Volumes) -> Spread {
    let goal = Goal {
        blade: plan::Blade {
            length: blade.length,
            width: blade.height,
            spine: blade.spine,
            spine_tip: blade.tip_spine,
            edge,
            bevel: bevel.0,
        },
        tang: None,
        bolster: None,
        pattern: Pattern::Random,
        bands_least: 1,
        bands_most: 1,
        knives: 1,
        edge_margin: None,
    };
    let need = Need::of_goal(&goal, true);
    let forged = need.metal.0 / need.finished.0.max(1e-9) / (1.0 - FORGING);
    // Tang and bolster are thick: their skin is a small part of them.
    let thick = (parts.tang + parts.bolster).0 / parts.whole().0.max(1e-9);
    SPARE.scaled(forged * (1.0 - thick) + thick / (1.0 - FORGING))
}

/// The first stack that leaves so much metal in blanks: from the last bar back through every weld and
/// draw, its pieces never shorter than can be held.
fn first_stack(blanks: f64, bar: Bar, allow: &Allowances) -> f64 {
    let ground = bar.thickness - allow.grind * 2.0;
    let face = (bar.width * ground).0;
    let ends = (bar.width * bar.thickness * (allow.trim * 2.0)).0;
    let after_draw = |metal: f64| metal / (1.0 - allow.scale.0);
    let mut metal = blanks + ends;
    for _ in 0..RESTACKS {
        let pieces = after_draw(metal).max(bar.pieces * face * allow.shortest.0);
        let cut = pieces + (bar.pieces - 1.0) * face * allow.kerf.0;
        metal = cut * (bar.thickness / ground) + ends;
    }
    after_draw(metal)
}

/// Metal in the first stack, mm3: by the yield where one is given, else through the losses.
fn stack(blanks: Spread, kept: Option<f64>, allow: &Allowances) -> Spread {
    if let Some(kept) = kept {
        return blanks.scaled(1.0 / kept);
    }
    let [small, usual, heavy] = BARS;
    Spread {
        low: first_stack(blanks.low, small, allow),
        best: first_stack(blanks.best, usual, allow),
        high: first_stack(blanks.high, heavy, allow),
    }
}

fn blade(flags: &Flags, asked: Asked) -> Result<Blade, Refused> {
    let spine = asked.length("--spine", &flags.spine)?;
    let edge = asked.allowance("--edge", &flags.edge)?;
    let bevel = match flags.side {
        Side::Flat => Bevel::Flat,
        Side::Convex => Bevel::Convex,
        Side::Hollow => Bevel::Hollow,
    };
    let tip_spine = asked.allowance("--tip-spine", &flags.tip_spine)?;
    if tip_spine > spine {
        return Err(Refused::say(format!(
            "--tip-spine: {} is more than the spine at the heel, {}",
            asked.units.length(tip_spine),
            asked.units.length(spine)
        )));
    }
    Ok(Blade {
        length: asked.length("--length", &flags.length)?,
        height: asked.length("--width", &flags.width)?,
        spine,
        tip_spine,
        curve: read::plain("--curve", &flags.curve, &[])?,
        section: bevel_factor(read::share("--bevel", &flags.bevel)?, edge, spine, bevel)?,
    })
}

fn tang(flags: &Flags, asked: Asked) -> Result<Option<Tang>, Refused> {
    let size = |flag: &str, text: &Option<String>| asked.maybe_length(flag, text.as_ref());
    let length = size("--tang-length", &flags.tang_length)?;
    let width = size("--tang-width", &flags.tang_width)?;
    let thickness = size("--tang-thickness", &flags.tang_thickness)?;
    let (Some(length), Some(width), Some(thickness)) = (length, width, thickness) else {
        return Ok(None);
    };
    let end_width = size("--tang-end-width", &flags.tang_end_width)?;
    let end_thickness = size("--tang-end-thickness", &flags.tang_end_thickness)?;
    Ok(Some(Tang {
        length,
        start: (width, thickness),
        end: (
            end_width.unwrap_or(width),
            end_thickness.unwrap_or(thickness),
        ),
    }))
}

fn collar(flags: &Flags, asked: Asked) -> Result<Option<Collar>, Refused> {
    let size = |flag: &str, text: &Option<String>| asked.maybe_length(flag, text.as_ref());
    let length = size("--bolster-length", &flags.bolster_length)?;
    let width = size("--bolster-width", &flags.bolster_width)?;
    let thickness = size("--bolster-thickness", &flags.bolster_thickness)?;
    let (Some(length), Some(width), Some(thickness)) = (length, width, thickness) else {
        return Ok(None);
    };
    let shape = match flags.bolster_shape {
        Shape::Oval => Bolster::Ellipse,
        Shape::Octagon => Bolster::Octagon,
        Shape::Block => Bolster::Block,
    };
    Ok(Some(Collar {
        shape,
        width,
        thickness,
        length,
    }))
}

pub(super) fn ask(flags: &Flags, asked: Asked) -> Result<Answer, Refused> {
    let steel = read::steel("--steel", &flags.steel)?;
    let blade = blade(flags, asked)?;
    let (tang, collar) = (tang(flags, asked)?, collar(flags, asked)?);
    let parts = Volumes::of(&blade, tang, collar)?;
    let knives = read::count("--knives", &flags.knives)?;
    if knives > 1000 {
        return Err(Refused::say("--knives must be 1000 or fewer"));
    }
    #[expect(clippy::cast_precision_loss, reason = "at most a thousand")]
    let count = knives as f64;
    let edge = asked.allowance("--edge", &flags.edge)?;
    let bevel = read::share("--bevel", &flags.bevel)?;
    let over = match &flags.over {
        Some(text) => Spread::exact(OVER.check(read::plain("--over", text, &[])?)?),
        None => blank_ratio(&blade, edge, bevel, parts),
    };
    let kept = match &flags.kept {
        Some(text) => {
            let share: Fraction = read::share("--yield", text)?;
            Some(KEPT.check(share.percent())? / 100.0)
        }
        None => None,
    };
    // The shop that a draft takes for granted.
    let shop = Form::default()
        .shop()
        .map_err(|why| Refused::say(why.to_string()))?;
    let blank = over.scaled(parts.whole().0);
    let stack = stack(blank.scaled(count), kept, &shop.allowances);
    let weigh = |volume: Spread| weigh(volume, steel.density);
    let bar = asked
        .maybe_length("--bar-width", flags.bar_width.as_ref())?
        .zip(asked.maybe_length("--bar-thickness", flags.bar_thickness.as_ref())?);
    let bar_length = bar.map(|(width, thickness)| blank.scaled(1.0 / (width * thickness).0));
    let say = asked.say();
    let finished = weigh(Spread::exact(parts.whole().0)).best;
    let mut text = format!(
        "a knife of {}, finished {} in {}; its blank {}",
        say.both(Kind::Volume, parts.whole().0, 3),
        say.both(Kind::Mass, finished, 3),
        steel.grade,
        say.ranged(Kind::Mass, weigh(blank), 3),
    );
    if let Some(((width, thickness), length)) = bar.zip(bar_length) {
        text = format!(
            "{text}, {} of {} bar",
            say.ranged(Kind::Length, length, 3),
            say.size(&[width.0, thickness.0])
        );
    }
    let knives_word = if knives == 1 { "knife" } else { "knives" };
    text = format!(
        "{text}; first stack for {knives} {knives_word} {}",
        say.ranged(Kind::Mass, weigh(stack), 2)
    );
    if kept.is_none() {
        text.push_str(", ends, cuts and pieces long enough to hold counted; `anvilside draft` works it for your shop");
    }
    Ok(Answer::new("blade", "what forging, scale, cuts and grinding take, as shops find it")
        .say(text)
        .input("length_mm", blade.length.0)
        .input("width_mm", blade.height.0)
        .input("spine_mm", blade.spine.0)
        .input("tip_spine_mm", blade.tip_spine.0)
        .input("edge_mm", edge.0)
        .input("bevel_percent", bevel.percent())
        .input("side", flags.side.word())
        .input("curve", blade.curve)
        .input("tang_length_mm", tang.map(|t| t.length.0))
        .input("tang_width_mm", tang.map(|t| t.start.0.0))
        .input("tang_thickness_mm", tang.map(|t| t.start.1.0))
        .input("tang_end_width_mm", tang.map(|t| t.end.0.0))
        .input("tang_end_thickness_mm", tang.map(|t| t.end.1.0))
        .input("bolster_length_mm", collar.map(|c| c.length.0))
        .input("bolster_width_mm", collar.map(|c| c.width.0))
        .input("bolster_thickness_mm", collar.map(|c| c.thickness.0))
        .input("bolster_shape", collar.map(|_| flags.bolster_shape.word()))
        .input("bar_width_mm", bar.map(|(width, _)| width.0))
        .input("bar_thickness_mm", bar.map(|(_, thickness)| thickness.0))
        .input("over", flags.over.as_ref().map(|_| over.best))
        .input("yield_percent", kept.map(|kept| kept * 100.0))
        .input("knives", knives)
        .input("steel", steel.grade)
        .figure("blade_mm3", parts.blade.0)
        .figure("tang_mm3", parts.tang.0)
        .figure("bolster_mm3", parts.bolster.0)
        .figure("section_factor", blade.section)
        .figure("finished_mm3", parts.whole().0)
        .figure("finished_g", finished)
        .range("blank", "mm3", blank)
        .range("blank", "g", weigh(blank))
        .range("blank_length", "mm", bar_length)
        .range("first_stack", "mm3", stack)
        .range("first_stack", "g", weigh(stack))
        .by(blade_volume::LAW)
        .by(Basis::practice(
            "blank",
            "steel needed",
            "a forged blank has 0.4 mm of skin a face, a thick edge and up to 25 % over; two restacks of 3 to 5 pieces on bars \
             of 30 x 12 to 50 x 16 mm, with the losses that a draft takes for granted",
        )))
}

fn weigh(volume: Spread, density: Density) -> Spread {
    volume.map(|mm3| Mm3(mm3).mass(density).0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_parts_are_the_laws_own() {
        let blade = Blade {
            length: Mm(150.0),
            height: Mm(30.0),
            spine: Mm(3.0),
            tip_spine: Mm(1.2),
            curve: 3.0,
            section: 0.55,
        };
        let tang = Tang {
            length: Mm(90.0),
            start: (Mm(16.0), Mm(6.0)),
            end: (Mm(8.0), Mm(3.5)),
        };
        let collar = Collar {
            shape: Bolster::Ellipse,
            width: Mm(26.0),
            thickness: Mm(18.0),
            length: Mm(14.0),
        };
        let parts = Volumes::of(&blade, Some(tang), Some(collar)).unwrap();
        assert!((parts.whole().0 - (4232.25 + 5280.0 + 5145.93)).abs() < 0.1);
    }

    #[test]
    fn what_is_needed_grows_with_knives_and_losses() {
        let allow = Form::default().shop().unwrap().allowances;
        // Enough that the shortest pieces do not decide.
        let one = stack(SPARE.scaled(300_000.0), None, &allow);
        let two = stack(SPARE.scaled(600_000.0), None, &allow);
        assert!(one.low < one.best && one.best < one.high && one.best < two.best);
        let exact = stack(Spread::exact(10_000.0), Some(0.5), &allow);
        assert!((exact.best - 20_000.0).abs() < 1e-9);
    }

    // By hand, for 117 cm3 of blanks from bars of 40 x 14 mm, four pieces a restack, 10 mm an end, 2 mm a
    // cut, 0.5 mm a face, 4 % scale: 128.2 at the last bar; 133.54 piled, 136.66 cut, 147.17 ground, 158.37;
    // 164.97, 168.09, 181.02, 192.22; 200.23 cm3 in the first stack. The pair of kitchen knives, 117.0 cm3 of
    // blanks through the same steps, begins with 201.6.
    #[test]
    fn the_first_stack_is_the_sum_of_what_is_lost_on_the_way() {
        let allow = Form::default().shop().unwrap().allowances;
        let found = first_stack(117_000.0, BARS[1], &allow);
        assert!((found - 200_230.0).abs() < 30.0, "{found}");
        // A small blade asks for as much as the shortest pieces do.
        let small = first_stack(1_000.0, BARS[1], &allow);
        assert!(small > 4.0 * 40.0 * 40.0 * 13.0, "{small}");
    }
}
