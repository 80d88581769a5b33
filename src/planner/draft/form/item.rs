//! The items of a wish: one table for flags, wish files, the screen and the help.

use crate::units::Units;

/// What an item is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Group {
    Knife,
    Pattern,
    /// What lies on the rack.
    Rack,
    /// Machine, fire and allowances.
    Shop,
    /// How far the plan may go.
    Limits,
}

impl Group {
    #[must_use]
    pub fn heading(self) -> &'static str {
        match self {
            Self::Knife => "Knife",
            Self::Pattern => "Pattern",
            Self::Rack => "Stock",
            Self::Shop => "Shop",
            Self::Limits => "Limits",
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Item {
    /// Its name: the flag without its dashes, the key of a wish file.
    pub key: &'static str,
    /// What is written, in one word for the help.
    pub takes: &'static str,
    /// What it is about.
    pub group: Group,
    /// What it means, in a line.
    pub words: &'static str,
    /// What holds where nothing is written, in mm and inch shops; `?` where it must be written.
    usual: [&'static str; 2],
}

impl Item {
    /// True when it must be written.
    #[must_use]
    pub fn is_needed(&self) -> bool {
        self.usual[0] == "?"
    }

    /// What holds where nothing is written.
    #[must_use]
    pub fn usual(&self, units: Units) -> &'static str {
        let [mm, inch] = self.usual;
        match (self.is_needed(), units) {
            (true, _) => "",
            (_, Units::Mm) => mm,
            (_, Units::Inch) => inch,
        }
    }
}

const fn item(
    group: Group,
    key: &'static str,
    takes: &'static str,
    usual: [&'static str; 2],
    words: &'static str,
) -> Item {
    Item {
        key,
        takes,
        group,
        words,
        usual,
    }
}

use Group::{Knife, Limits, Pattern, Rack, Shop};

/// The table. The usual allowances are common practice, no source.
const ITEMS: &[Item] = &[
    item(
        Knife,
        "units",
        "UNITS",
        ["mm", "mm"],
        "Units of bare numbers and of the plan: mm or in",
    ),
    item(
        Knife,
        "length",
        "LENGTH",
        ["?", "?"],
        "Blade, heel to point",
    ),
    item(
        Knife,
        "width",
        "LENGTH",
        ["?", "?"],
        "Blade, edge to spine at the heel",
    ),
    item(
        Knife,
        "spine",
        "LENGTH",
        ["4", "5/32"],
        "Thickness of the spine at the heel",
    ),
    item(
        Knife,
        "spine-tip",
        "LENGTH",
        ["half", "half"],
        "Thickness of the spine near the point; half of the spine",
    ),
    item(
        Knife,
        "edge",
        "LENGTH",
        ["0.3", "0.012"],
        "Thickness of the edge before sharpening",
    ),
    item(
        Knife,
        "bevel",
        "SHARE",
        ["100 %", "100 %"],
        "Height of the bevel over the blade's width",
    ),
    item(
        Knife,
        "tang",
        "SIZES",
        ["none", "none"],
        "Tang: length x width x thickness, as 100x20x3; 100x20x3 to 12x2 tapers",
    ),
    item(
        Knife,
        "bolster",
        "SIZES",
        ["none", "none"],
        "Integral bolster: length x width x thickness",
    ),
    item(
        Knife,
        "knives",
        "COUNT",
        ["1", "1"],
        "Knives from this billet",
    ),
    item(
        Knife,
        "make",
        "HOW",
        ["forged", "forged"],
        "The blade is forged to shape, or ground out of the bar: forged or ground",
    ),
    item(Knife, "title", "TEXT", ["", ""], "What the plan is called"),
    item(
        Pattern,
        "pattern",
        "FAMILY",
        ["random", "random"],
        "random, ladder, raindrop, twist, turned-w, feather, three-layer, straight, jacket or tiles",
    ),
    item(
        Pattern,
        "bands",
        "RANGE",
        ["60-150", "60-150"],
        "Bands wanted, as seen on an etched end: 100-150, or one number",
    ),
    item(
        Pattern,
        "edge-margin",
        "LENGTH",
        ["none", "none"],
        "Plain steel kept above the edge: the core is framed; in a jacket or between tiles it is left bare, for 3 mm where nothing is written",
    ),
    item(
        Pattern,
        "sides",
        "COUNTS",
        ["none", "none"],
        "Layered sides in the frame: layers on the spine side and on the edge side, as 10+5",
    ),
    item(
        Pattern,
        "rods",
        "COUNT",
        ["1", "1"],
        "Twisted rods side by side, hands by turns: 2, 4, 6 or 8; with pattern twist",
    ),
    item(
        Rack,
        "shelf",
        "YES",
        ["no", "no"],
        "yes: plain bars of the frame from pieces on the shelf, where one is large enough",
    ),
    item(
        Rack,
        "steel",
        "BARS",
        ["1084=6mm; 15N20=3mm", "1084=1/4; 15N20=1/8"],
        "A steel and its thicknesses, as 1084=4mm,6mm; with the width of the stock: 1084=6mm x 40mm",
    ),
    item(
        Rack,
        "at-hand",
        "MASSES",
        ["none", "none"],
        "All that there is of a steel, as 1084=1.2kg; 15N20=600g; what is not named can be bought",
    ),
    item(
        Shop,
        "press",
        "FORCE",
        ["none", "none"],
        "A press of that force, as 25t; with neither press nor hammer all is done by hand",
    ),
    item(
        Shop,
        "hammer",
        "MASS",
        ["none", "none"],
        "A power hammer with a ram of that mass, as 25kg",
    ),
    item(
        Shop,
        "die",
        "LENGTH",
        ["25", "1"],
        "Die along the bar: one bite; drawing dies are narrow",
    ),
    item(
        Shop,
        "tallest",
        "LENGTH",
        ["none", "none"],
        "Tallest pile that the machine, or the forge door, takes",
    ),
    item(
        Shop,
        "widest",
        "LENGTH",
        ["none", "none"],
        "Widest bar that they take",
    ),
    item(
        Shop,
        "longest",
        "LENGTH",
        ["none", "none"],
        "Longest bar that the forge heats",
    ),
    item(
        Shop,
        "shortest",
        "LENGTH",
        ["40", "1-1/2"],
        "Shortest piece that can be held and welded",
    ),
    item(
        Shop,
        "kerf",
        "LENGTH",
        ["2", "1/16"],
        "Width that one cut removes",
    ),
    item(
        Shop,
        "grind",
        "LENGTH",
        ["0.5", "1/64"],
        "Flat grind off each face",
    ),
    item(Shop, "trim", "LENGTH", ["10", "3/8"], "Cut off each end"),
    item(
        Shop,
        "scale",
        "SHARE",
        ["4 %", "4 %"],
        "Metal lost to scale in one weld-and-draw",
    ),
    item(
        Shop,
        "mark",
        "LENGTH",
        ["0.5", "1/16"],
        "Finest mark that lengths are cut to",
    ),
    item(
        Shop,
        "fire",
        "TEMP",
        ["1230 C", "2250 F"],
        "Hottest that the fire may get",
    ),
    item(
        Shop,
        "oil",
        "TEMP",
        ["none", "none"],
        "Quenching oil, by its maker's sheet",
    ),
    item(
        Limits,
        "welds",
        "COUNT",
        ["4", "4"],
        "Most welds that you will make",
    ),
    item(
        Limits,
        "spare",
        "SHARE",
        ["15 %", "15 %"],
        "Metal over what the sum needs, against what goes wrong",
    ),
];

/// Every item, in the order in which they are asked.
#[must_use]
pub fn items() -> &'static [Item] {
    ITEMS
}
