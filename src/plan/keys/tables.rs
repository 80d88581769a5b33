//! The tables beside the steps.
//!
//! Long because it is tables of keys.

use super::field::{Field, Slot, may, must, said};
use super::writes::Writes;
use crate::billet::Allowances;
use crate::metal::Composition;
use crate::physics::colours::Eye;
use crate::plan::{
    Blade, Bolster, FoundBar, Fuel, Goal, Machine, PlanBar, PlanSteel, Quench, Shop, Tang,
};
use crate::units::bounds::Bounds;
use crate::units::{Celsius, Fraction, Mm, Units};

/// Most knives of one billet.
const MAX_KNIVES: u32 = 1000;

/// Mass percent of an element.
pub(crate) const PERCENT: Bounds = Bounds {
    name: "a mass percent",
    unit: "%",
    least: 0.0,
    greatest: 100.0,
};
/// Density of metals that a smith could weld, magnesium to tungsten.
const DENSITY: Bounds = Bounds {
    name: "a density",
    unit: "g/cm3",
    least: 1.0,
    greatest: 20.0,
};

/// A table that is read on its own.
macro_rules! table {
    ($need:ident $name:literal, $words:literal) => {
        $need($name, $words, |_| Slot::Other(Writes::Table))
    };
}

/// A size of a shape.
macro_rules! size {
    ($need:ident $name:literal, $words:literal, $field:ident) => {
        $need($name, $words, |shape| {
            Slot::Size((&mut shape.$field).into())
        })
    };
}

pub(crate) const TOP_HEADER: &str = "top of the file";
pub(super) const TOP_WORDS: &str = "What the job is called and how its bare numbers are read.";

/// The top of the file, read into its title, units and notes.
pub(crate) const TOP: &[Field<(String, Units, Vec<String>)>] = &[
    must("title", "What the job is called.", |top| {
        Slot::Text((&mut top.0).into())
    }),
    may(
        "units",
        "How bare numbers are read and sizes are shown: `\"mm\"` (mm, g, C) or `\"inch\"` (inches, pounds, F). Default `\"mm\"`.",
        |top| Slot::Word(&mut top.1, &["mm", "inch"]),
    ),
    may("notes", "Free words.", |top| Slot::Texts(&mut top.2)),
    table!(must "goal", "What is wanted: `[goal]`."),
    table!(must "steels", "The steels of the job: `[steels]`."),
    table!(may "shop", "Machines and allowances: `[shop]`."),
    table!(may "stack", "The first stack of a plan with one bar: `[stack]`."),
    table!(may "found", "Instead of a first stack, the one bar as it was found: `[found]`."),
    may(
        "bar",
        "The bars of a plan with several, each a `[[bar]]` with its own first stack.",
        |_| Slot::Other(Writes::Bars),
    ),
    must("step", "The steps in order, each a `[[step]]`.", |_| {
        Slot::Other(Writes::Steps)
    }),
];

/// What is wanted.
pub(crate) const GOAL: &[Field<Goal>] = &[
    must(
        "pattern",
        "Pattern family: `random`, `ladder`, `raindrop`, `twist`, `turned-w`, `feather`, `three-layer`, `straight`, `jacket` (on a plain core) or `tiles` (end grain on the faces).",
        |goal| {
            Slot::Word(
                &mut goal.pattern,
                &[
                    "random",
                    "ladder",
                    "raindrop",
                    "twist",
                    "turned-w",
                    "feather",
                    "three-layer",
                    "straight",
                    "jacket",
                    "tiles",
                ],
            )
        },
    ),
    must(
        "bands",
        "Fewest and most bands wanted, counted as seen on an etched end, along the line through it that meets most of them (like faces that meet are one band).",
        |goal| Slot::Range([&mut goal.bands_least, &mut goal.bands_most]),
    ),
    said("knives", "Knives from this billet. Default 1.", |goal| {
        Slot::Count((&mut goal.knives).into(), [1, MAX_KNIVES])
    }),
    size!(may "edge-margin", "Plain steel wanted above the finished edge, where layers must not reach it.", edge_margin),
    table!(must "blade", "The finished blade: `[goal.blade]`."),
    table!(may "tang", "The tang: `[goal.tang]`."),
    table!(may "bolster", "An integral bolster: `[goal.bolster]`."),
];

/// The finished blade.
pub(crate) const BLADE: &[Field<Blade>] = &[
    size!(must "length", "Heel to point.", length),
    size!(must "width", "Edge to spine at the heel.", width),
    size!(must "spine", "Thickness of the spine at the heel.", spine),
    size!(said "spine-tip", "Thickness of the spine near the point. Default half of `spine`.", spine_tip),
    size!(said "edge", "Thickness of the edge before sharpening. Default 0.3 mm.", edge),
    may(
        "bevel",
        "Height of the bevel over the width of the blade. Default `\"100 %\"`, a full flat grind.",
        |blade| Slot::Part(&mut blade.bevel),
    ),
];

/// The part under the handle.
pub(crate) const TANG: &[Field<Tang>] = &[
    size!(must "length", "Its length.", length),
    size!(must "width", "Its width at the blade.", width),
    size!(must "thickness", "Its thickness at the blade.", thickness),
    size!(said "width-end", "Its width at the end. Default as at the blade.", width_end),
    size!(said "thickness-end", "Its thickness at the end. Default as at the blade.", thickness_end),
];

/// The collar.
pub(crate) const BOLSTER: &[Field<Bolster>] = &[
    size!(must "length", "Along the knife.", length),
    size!(must "width", "Across, edge to spine.", width),
    size!(must "thickness", "Through, side to side.", thickness),
];

/// A goal before it is read: what a plan may leave out. The edge before sharpening is common
/// practice, no source.
pub(crate) fn usual_goal() -> Goal {
    Goal {
        knives: 1,
        blade: Blade {
            edge: Mm(0.3),
            bevel: 1.0,
            ..Blade::default()
        },
        ..Goal::default()
    }
}

pub(crate) const STEELS_WORDS: &str = "The steels of the job, at most 26. Each key is the name this plan uses for it: one to twelve letters, digits or dashes, beginning with a letter.";
pub(crate) const STEEL_WORDS: &str =
    "A steel in full: either `grade`, or an analysis of its own with at least `c`.";

/// What names a steel.
pub(crate) const STEEL_NAMES: &[Field<PlanSteel>] = &[
    may(
        "grade",
        "A grade that the program knows, as `\"SAE 1084\"`.",
        |_| Slot::Other(Writes::Text),
    ),
    may(
        "letter",
        "One capital letter for pictures. Default the first letter of the name that is still free.",
        |_| Slot::Other(Writes::Text),
    ),
    may(
        "title",
        "What a steel of your own is called. Default its name in this plan.",
        |_| Slot::Other(Writes::Text),
    ),
];

/// What is in a steel of the plan's own.
pub(crate) const ANALYSIS: &[Field<Composition>] = &[
    said("c", "Carbon, mass %.", |metal| Slot::Percent(&mut metal.c)),
    may(
        "mn",
        "Manganese, mass %. Default 0, as for all that follow.",
        |metal| Slot::Percent(&mut metal.mn),
    ),
    may("si", "Silicon, mass %.", |metal| {
        Slot::Percent(&mut metal.si)
    }),
    may("cr", "Chromium, mass %.", |metal| {
        Slot::Percent(&mut metal.cr)
    }),
    may("ni", "Nickel, mass %.", |metal| {
        Slot::Percent(&mut metal.ni)
    }),
    may("mo", "Molybdenum, mass %.", |metal| {
        Slot::Percent(&mut metal.mo)
    }),
    may("v", "Vanadium, mass %.", |metal| {
        Slot::Percent(&mut metal.v)
    }),
    may("w", "Tungsten, mass %.", |metal| {
        Slot::Percent(&mut metal.w)
    }),
    may("cu", "Copper, mass %.", |metal| {
        Slot::Percent(&mut metal.cu)
    }),
    may("p", "Phosphorus, mass %.", |metal| {
        Slot::Percent(&mut metal.p)
    }),
    may("s", "Sulphur, mass %.", |metal| Slot::Percent(&mut metal.s)),
];

/// What a plan may say of a steel otherwise than its grade does.
pub(crate) const FIGURES: &[Field<PlanSteel>] = &[
    may("density", "Density, g/cm3. Default 7.85.", |own| {
        Slot::Number(&mut own.steel.density.0, &DENSITY)
    }),
    may("forging", "Forging window of the maker's sheet.", |own| {
        Slot::Window(&mut own.steel.forging)
    }),
    may("burning", "Where it begins to burn.", |own| {
        Slot::Temperature((&mut own.steel.burning).into())
    }),
    may(
        "normalising",
        "Normalising window of the maker's sheet.",
        |own| Slot::Window(&mut own.steel.normalise),
    ),
    may(
        "hardening",
        "Hardening window of the maker's sheet.",
        |own| Slot::Window(&mut own.steel.austenitise),
    ),
    may(
        "tempering",
        "Tempering window of the maker's sheet.",
        |own| Slot::Window(&mut own.steel.temper),
    ),
    may("quench", "The usual quench, in words.", |own| {
        Slot::Text((&mut own.steel.quench).into())
    }),
    may(
        "lot",
        "Its heat lot, as stamped on the bar or on its sheet; it stands in the record. Steel of two lots is two steels.",
        |own| Slot::Text((&mut own.lot).into()),
    ),
];

/// Windows of [`FIGURES`], with the figure of the steel that each is.
pub(crate) const SHEET: [(&str, &str); 4] = [
    ("forging", "forging"),
    ("normalising", "normalise"),
    ("hardening", "austenitise"),
    ("tempering", "temper"),
];

/// An allowance or a size of the shop.
macro_rules! allow {
    ($need:ident $slot:ident $name:literal, $words:literal, $field:ident) => {
        $need($name, $words, |shop| {
            Slot::$slot((&mut shop.allowances.$field).into())
        })
    };
}

/// The shop.
pub(crate) const SHOP: &[Field<Shop>] = &[
    said("press", "A press of that force.", |shop| {
        Slot::Press(&mut shop.machine)
    }),
    said(
        "hammer",
        "A power hammer with a ram of that mass.",
        |shop| Slot::Hammer(&mut shop.machine),
    ),
    said(
        "hand",
        "`true`: all by hand, which is the default.",
        |shop| Slot::Hand(&mut shop.machine),
    ),
    size!(said "die", "Die width along the bar: one bite. Default 50 mm.", die),
    allow!(said Allowance "kerf", "Width that one cut removes. Default 2 mm.", kerf),
    allow!(said Allowance "grind", "Flat grind off each face. Default 0.5 mm.", grind),
    allow!(said Allowance "trim", "Cut off each end. Default 10 mm.", trim),
    allow!(said Loss "scale", "Metal lost to scale in one weld-and-draw; charged at the draw. Default `\"4 %\"`.", scale),
    allow!(said Size "mark", "Finest mark that lengths are cut to. Default 0.5 mm, or 1/16 in where units are inches.", mark),
    allow!(said Size "shortest", "Shortest piece that can be held and welded. Default 40 mm.", shortest),
    allow!(said Size "widest", "Widest bar that the machine moves.", widest),
    allow!(said Size "tallest", "Tallest stack that the machine opens to.", tallest),
    allow!(said Size "longest", "Longest bar that the forge heats.", longest),
    may(
        "fuel",
        "What heats the steel; its cautions are asked. Default `gas`.",
        |shop| Slot::Word(&mut shop.fuel, &Fuel::WORDS),
    ),
    may(
        "quench",
        "What blades are quenched in; its cautions are asked. Default `oil`.",
        |shop| Slot::Word(&mut shop.quench, &Quench::WORDS),
    ),
    said(
        "fire",
        "Hottest that the fire may get. Default 1260 C.",
        |shop| Slot::Temperature((&mut shop.fire).into()),
    ),
    may(
        "fire-scale",
        "Scale against what still air would make: less in a rich fire. Default `\"100 %\"`.",
        |shop| Slot::Share((&mut shop.fire_scale).into()),
    ),
    may(
        "oil",
        "Quenching oil's temperature, by its maker's sheet.",
        |shop| Slot::Temperature((&mut shop.oil).into()),
    ),
    may(
        "colours",
        "What the pyrometer read when you called a heat by its colour, as `[\"cherry 840 C\", \"orange 1010 C\"]`; the screen then names colours as you do.",
        |shop| Slot::Colours(&mut shop.eye.pins),
    ),
];

/// What the shop is where the plan says nothing. Common practice, no source.
pub(crate) fn usual_shop(units: Units) -> Shop {
    Shop {
        allowances: Allowances {
            kerf: Mm(2.0),
            grind: Mm(0.5),
            trim: Mm(10.0),
            scale: Fraction::from_percent(4.0),
            mark: match units {
                Units::Mm => Mm(0.5),
                Units::Inch => Mm::from_inch(1.0 / 16.0),
            },
            shortest: Mm(40.0),
            widest: None,
            tallest: None,
            longest: None,
            finished: None,
            shape: crate::billet::Shape::PLAIN,
            units,
        },
        machine: Machine::Hand,
        die: Mm(50.0),
        fuel: Fuel::default(),
        quench: Quench::default(),
        fire: Celsius(1260.0),
        fire_scale: Fraction::ONE,
        oil: None,
        eye: Eye::default(),
    }
}

/// A first stack.
pub(crate) const STACK: &[Field<PlanBar>] = &[
    size!(must "width", "Width of every piece.", width),
    size!(must "length", "Length of every piece.", length),
    must(
        "pieces",
        "Pieces from bottom to top, each a steel's name and its thickness. `4 x (A 6 mm, B 3 mm)` repeats what is in the brackets; put a space behind a comma that parts two pieces. Between plain pieces a bar of this plan may lie, as `core` or `core turned`; the step that stacks them takes it.",
        |_| Slot::Other(Writes::Pieces),
    ),
    may(
        "shelf",
        "Number of the piece on the shelf that this bar is (`anvilside shelf --bar N` writes these keys): it begins welded, no steel is bought for it, and `work` takes it off the shelf. `width`, `length` and `pieces` are then its own size and layers.",
        |bar| Slot::Count((&mut bar.shelf).into(), [1, 1_000_000]),
    ),
    may(
        "from",
        "Where that piece came from: its journal and step.",
        |bar| Slot::Text((&mut bar.from).into()),
    ),
];

pub(super) const FOUND_WORDS: &str = "A bar as found: bought, inherited, or begun before this plan. It begins as a sound bar, not as loose pieces. What is not known is guessed, and said so wherever it shows: the layers lie by turns, all of one thickness.";

/// A bar as found.
pub(crate) const FOUND: &[Field<PlanBar>] = &[
    size!(must "width", "Across it.", width),
    must("thickness", "Through it, across the layers.", |bar| {
        Slot::Size((&mut found(bar).thickness).into())
    }),
    size!(must "length", "Along it.", length),
    may(
        "mass",
        "On the scale. It goes before the sizes: the length is then what comes of it.",
        |bar| Slot::Mass((&mut found(bar).mass).into()),
    ),
    may(
        "steels",
        "Its steels by the plan's names for them, by turns from the face that is down, as `[\"A\", \"B\"]`; one where it is plain. Default the first two of the plan, as a guess.",
        |_| Slot::Other(Writes::Texts),
    ),
    may(
        "bands",
        "Bands counted on an etched end, or least and most that they may be. Default not counted: 10 to 1000, as a guess.",
        |bar| Slot::Between(&mut found(bar).bands),
    ),
];

fn found(bar: &mut PlanBar) -> &mut FoundBar {
    bar.found.get_or_insert_with(FoundBar::default)
}

pub(super) const BAR_WORDS: &str = "A bar of a plan of several: its first stack, or, with `thickness` instead of `pieces`, the bar as found (see `[found]`); instead of `[stack]`. Steps stay one list, in the order of work, and say which bar they work on. A bar that was welded into another is used up.";

/// What names a bar, where there are several.
pub(crate) const BAR: &[Field<PlanBar>] = &[must(
    "name",
    "What steps, frames and joins call it, as `\"core\"`. It is marked with as many punch dots as its place in the file.",
    |_| Slot::Other(Writes::Name),
)];
