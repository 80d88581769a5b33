//! The tables beside the steps.

use super::{KeyDoc, Table, Writes};
use crate::plan::{Fuel, Quench};

const fn must(name: &'static str, writes: Writes, words: &'static str) -> KeyDoc {
    KeyDoc::must(name, writes, words)
}

const fn may(name: &'static str, writes: Writes, words: &'static str) -> KeyDoc {
    KeyDoc::may(name, writes, words)
}

/// The words for the pattern families, in the order of [`crate::plan::Pattern`].
pub(crate) const PATTERNS: [&str; 8] = [
    "random",
    "ladder",
    "raindrop",
    "twist",
    "turned-w",
    "feather",
    "three-layer",
    "straight",
];

/// The top of the file.
pub(crate) const TOP: Table = Table {
    header: "top of the file",
    kind: None,
    words: "What the job is called and how its bare numbers are read.",
    keys: &[
        must("title", Writes::Text, "What the job is called."),
        may(
            "units",
            Writes::Choice(&["mm", "inch"]),
            "How bare numbers are read and sizes are shown: `\"mm\"` (mm, g, C) or `\"inch\"` (inches, pounds, F). Default `\"mm\"`.",
        ),
        may("notes", Writes::Texts, "Free words."),
        must("goal", Writes::Table, "What is wanted: `[goal]`."),
        must(
            "steels",
            Writes::Table,
            "The steels of the job: `[steels]`.",
        ),
        may("shop", Writes::Table, "Machines and allowances: `[shop]`."),
        must("stack", Writes::Table, "The first stack: `[stack]`."),
        must(
            "step",
            Writes::Steps,
            "The steps in order, each a `[[step]]`.",
        ),
    ],
};

/// What is wanted.
pub(crate) const GOAL: Table = Table {
    header: "[goal]",
    kind: None,
    words: "What the smith wants at the end.",
    keys: &[
        must(
            "pattern",
            Writes::Choice(&PATTERNS),
            "Pattern family: `random`, `ladder`, `raindrop`, `twist`, `turned-w`, `feather`, `three-layer` or `straight`.",
        ),
        must(
            "bands",
            Writes::Counts,
            "Fewest and most bands wanted, counted as seen on an etched end (like faces that meet are one band).",
        ),
        may(
            "knives",
            Writes::Count,
            "Knives from this billet. Default 1.",
        ),
        may(
            "edge-margin",
            Writes::Size,
            "Plain steel wanted above the finished edge, where layers must not reach it.",
        ),
        must(
            "blade",
            Writes::Table,
            "The finished blade: `[goal.blade]`.",
        ),
        may("tang", Writes::Table, "The tang: `[goal.tang]`."),
        may(
            "bolster",
            Writes::Table,
            "An integral bolster: `[goal.bolster]`.",
        ),
    ],
};

/// The finished blade.
pub(crate) const BLADE: Table = Table {
    header: "[goal.blade]",
    kind: None,
    words: "The finished blade, cold.",
    keys: &[
        must("length", Writes::Size, "Heel to point."),
        must("width", Writes::Size, "Edge to spine at the heel."),
        must("spine", Writes::Size, "Thickness of the spine at the heel."),
        may(
            "spine-tip",
            Writes::Size,
            "Thickness of the spine near the point. Default half of `spine`.",
        ),
        may(
            "edge",
            Writes::Size,
            "Thickness of the edge before sharpening. Default 0.3 mm.",
        ),
        may(
            "bevel",
            Writes::Share,
            "Height of the bevel over the width of the blade. Default `\"100 %\"`, a full flat grind.",
        ),
    ],
};

/// The part under the handle.
pub(crate) const TANG: Table = Table {
    header: "[goal.tang]",
    kind: None,
    words: "The part under the handle, finished.",
    keys: &[
        must("length", Writes::Size, "Its length."),
        must("width", Writes::Size, "Its width at the blade."),
        must("thickness", Writes::Size, "Its thickness at the blade."),
        may(
            "width-end",
            Writes::Size,
            "Its width at the end. Default as at the blade.",
        ),
        may(
            "thickness-end",
            Writes::Size,
            "Its thickness at the end. Default as at the blade.",
        ),
    ],
};

/// The collar.
pub(crate) const BOLSTER: Table = Table {
    header: "[goal.bolster]",
    kind: None,
    words: "A bolster forged from the same bar, finished.",
    keys: &[
        must("length", Writes::Size, "Along the knife."),
        must("width", Writes::Size, "Across, edge to spine."),
        must("thickness", Writes::Size, "Through, side to side."),
    ],
};

/// The steels.
pub(crate) const STEELS: Table = Table {
    header: "[steels]",
    kind: None,
    words: "The steels of the job, at most 26. Each key is the name this plan uses for it: one to twelve letters, digits or dashes, beginning with a letter.",
    keys: &[],
};

/// A steel of the plan's own, or a grade with a letter.
pub(crate) const STEEL: Table = Table {
    header: "[steels.NAME]",
    kind: None,
    words: "A steel in full: either `grade`, or an analysis of its own with at least `c`.",
    keys: &[
        may(
            "grade",
            Writes::Text,
            "A grade that the program knows, as `\"SAE 1084\"`.",
        ),
        may(
            "letter",
            Writes::Text,
            "One capital letter for pictures. Default the first letter of the name that is still free.",
        ),
        may(
            "title",
            Writes::Text,
            "What a steel of your own is called. Default its name in this plan.",
        ),
        may("c", Writes::Percent, "Carbon, mass %."),
        may(
            "mn",
            Writes::Percent,
            "Manganese, mass %. Default 0, as for all that follow.",
        ),
        may("si", Writes::Percent, "Silicon, mass %."),
        may("cr", Writes::Percent, "Chromium, mass %."),
        may("ni", Writes::Percent, "Nickel, mass %."),
        may("mo", Writes::Percent, "Molybdenum, mass %."),
        may("v", Writes::Percent, "Vanadium, mass %."),
        may("w", Writes::Percent, "Tungsten, mass %."),
        may("cu", Writes::Percent, "Copper, mass %."),
        may("p", Writes::Percent, "Phosphorus, mass %."),
        may("s", Writes::Percent, "Sulphur, mass %."),
        may("density", Writes::Number, "Density, g/cm3. Default 7.85."),
        may(
            "forging",
            Writes::Window,
            "Forging window of the maker's sheet.",
        ),
        may("burning", Writes::Temperature, "Where it begins to burn."),
        may(
            "normalising",
            Writes::Window,
            "Normalising window of the maker's sheet.",
        ),
        may(
            "hardening",
            Writes::Window,
            "Hardening window of the maker's sheet.",
        ),
        may(
            "tempering",
            Writes::Window,
            "Tempering window of the maker's sheet.",
        ),
        may("quench", Writes::Text, "The usual quench, in words."),
    ],
};

/// The shop.
pub(crate) const SHOP: Table = Table {
    header: "[shop]",
    kind: None,
    words: "Machines and allowances; a step's own amount goes before these. At most one of `press`, `hammer` and `hand`. The defaults are common practice, no source: put your own.",
    keys: &[
        may("press", Writes::Force, "A press of that force."),
        may(
            "hammer",
            Writes::Mass,
            "A power hammer with a ram of that mass.",
        ),
        may(
            "hand",
            Writes::Flag,
            "`true`: all by hand, which is the default.",
        ),
        may(
            "die",
            Writes::Size,
            "Die width along the bar: one bite. Default 50 mm.",
        ),
        may(
            "kerf",
            Writes::Allowance,
            "Width that one cut removes. Default 2 mm.",
        ),
        may(
            "grind",
            Writes::Allowance,
            "Flat grind off each face. Default 0.5 mm.",
        ),
        may(
            "trim",
            Writes::Allowance,
            "Cut off each end. Default 10 mm.",
        ),
        may(
            "scale",
            Writes::Share,
            "Metal lost to scale in one weld-and-draw; charged at the draw. Default `\"4 %\"`.",
        ),
        may(
            "mark",
            Writes::Size,
            "Finest mark that lengths are cut to. Default 0.5 mm, or 1/16 in where units are inches.",
        ),
        may(
            "shortest",
            Writes::Size,
            "Shortest piece that can be held and welded. Default 40 mm.",
        ),
        may("widest", Writes::Size, "Widest bar that the machine moves."),
        may(
            "tallest",
            Writes::Size,
            "Tallest stack that the machine opens to.",
        ),
        may("longest", Writes::Size, "Longest bar that the forge heats."),
        may(
            "fuel",
            Writes::Choice(&Fuel::WORDS),
            "What heats the steel; its cautions are asked. Default `gas`.",
        ),
        may(
            "quench",
            Writes::Choice(&Quench::WORDS),
            "What blades are quenched in; its cautions are asked. Default `oil`.",
        ),
        may(
            "fire",
            Writes::Temperature,
            "Hottest that the fire may get. Default 1260 C.",
        ),
        may(
            "fire-scale",
            Writes::Share,
            "Scale against what still air would make: less in a rich fire. Default `\"100 %\"`.",
        ),
        may(
            "oil",
            Writes::Temperature,
            "Quenching oil's temperature, by its maker's sheet.",
        ),
        may(
            "colours",
            Writes::Colours,
            "What the pyrometer read when you called a heat by its colour, as `[\"cherry 840 C\", \"orange 1010 C\"]`; the screen then names colours as you do.",
        ),
    ],
};

/// The first stack.
pub(crate) const STACK: Table = Table {
    header: "[stack]",
    kind: None,
    words: "The first stack, cleaned. Its height is the sum of its pieces.",
    keys: &[
        must("width", Writes::Size, "Width of every piece."),
        must("length", Writes::Size, "Length of every piece."),
        must(
            "pieces",
            Writes::Pieces,
            "Pieces from bottom to top, each a steel's name and its thickness. `4 x (A 6 mm, B 3 mm)` repeats what is in the brackets; put a space behind a comma that parts two pieces.",
        ),
    ],
};
