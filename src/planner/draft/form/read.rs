//! The form read as a wish.
//!
//! Long because each field of the form is read once, all in the order of the form.

use super::parts::{Bars, above_zero, bars, length, range, sizes, wrong};
use super::{Form, MOST_BARS, Wrong};
use crate::billet::{Allowances, SteelId};
use crate::metal::Catalogue;
use crate::physics::colours::Eye;
use crate::plan::{
    Blade, Bolster, Fuel, Goal, Machine, NO_OIL, Pattern, PlanSteel, Quench, Shop, Tang,
};
use crate::planner::draft::wish::steels_of;
use crate::planner::draft::{AtHand, RackBar, Wish};
use crate::units::{Celsius, Fault, Fraction, Mm, near, parse, show};

/// The families by their words.
const PATTERNS: [(&str, Pattern); 10] = [
    ("random", Pattern::Random),
    ("ladder", Pattern::Ladder),
    ("raindrop", Pattern::Raindrop),
    ("twist", Pattern::Twist),
    ("turned-w", Pattern::TurnedW),
    ("feather", Pattern::Feather),
    ("three-layer", Pattern::ThreeLayer),
    ("straight", Pattern::Straight),
    ("jacket", Pattern::Jacket),
    ("tiles", Pattern::Tiles),
];
/// Most knives of one billet.
const MOST_KNIVES: u64 = 1000;
/// Most welds that are asked for.
const MOST_WELDS: u64 = 20;
/// Most rods side by side, and most layers of a side.
const MOST_RODS: u64 = 8;
const MOST_LAYERS: u32 = 40;
/// Hottest and coldest that a fire may be said to get, C.
const FIRE: (f64, f64) = (1000.0, 1400.0);

impl Form {
    /// Reads every item.
    ///
    /// # Errors
    /// The first item that does not read, or does not go with another.
    pub fn wish(&self) -> Result<Wish, Wrong> {
        if let Some(key) = self.missing().first() {
            return Err(wrong(key, "is missing; write a size"));
        }
        let words = self.text("units");
        if !["mm", "in", "inch", "inches"].contains(&words) {
            let words = show::plain(words, 24);
            return Err(wrong(
                "units",
                format!("'{words}' are not units of this wish; write mm or in"),
            ));
        }
        let goal = self.goal()?;
        let rack = self.rack()?;
        let wish = Wish {
            title: self.title(&goal),
            units: self.units(),
            at_hand: self.at_hand(&rack)?,
            rack,
            shop: self.shop()?,
            most_welds: small(self.count("welds", MOST_WELDS)?),
            forged: self.is_forged()?,
            spare: self.share("spare", 1.0)?,
            sides: self.sides()?,
            rods: small(self.count("rods", MOST_RODS)?),
            uses_shelf: match self.some("shelf") {
                None => false,
                Some("yes") => true,
                Some(_) => return Err(wrong("shelf", "is yes or no")),
            },
            shelf: Vec::new(),
            command: Some(self.command()),
            goal,
        };
        wish.check().map_err(|why| {
            use crate::planner::draft::WishError as E;
            let key = match why {
                E::Bands(..) | E::ThreeLayer(..) => "bands",
                E::OneSteel | E::Empty | E::Widths(_) => "steel",
                E::Size(_) => "length",
                E::Sides | E::Covered => "sides",
                E::Rods(_) => "rods",
            };
            wrong(key, why.to_string())
        })?;
        Ok(wish)
    }

    /// The pattern family.
    pub(super) fn pattern(&self) -> Result<Pattern, Wrong> {
        let word = self.typed("pattern").unwrap_or("random").to_lowercase();
        let known = PATTERNS.iter().find(|(known, _)| *known == word);
        known.map(|(_, pattern)| *pattern).ok_or_else(|| {
            let all = PATTERNS.map(|(word, _)| word);
            let remedy = near::nearest(&word, all)
                .map_or_else(|| format!("one of {}", all.join(", ")), ToOwned::to_owned);
            let word = show::plain(&word, 24);
            wrong(
                "pattern",
                format!("'{word}' is not a pattern family; write {remedy}"),
            )
        })
    }

    fn goal(&self) -> Result<Goal, Wrong> {
        let (bands_least, bands_most) = range("bands", self.text("bands"))?;
        Ok(Goal {
            blade: self.blade()?,
            tang: self.tang()?,
            bolster: self.bolster()?,
            pattern: self.pattern()?,
            bands_least,
            bands_most,
            knives: small(self.count("knives", MOST_KNIVES)?),
            edge_margin: self.maybe("edge-margin")?,
        })
    }

    /// `10+5`: layers of the spine side and of the edge side.
    fn sides(&self) -> Result<[u32; 2], Wrong> {
        let Some(text) = self.some("sides") else {
            return Ok([0, 0]);
        };
        let read = text.split_once('+').and_then(|(spine, edge)| {
            let count = |text: &str| text.trim().parse::<u32>().ok();
            Some([count(spine)?, count(edge)?])
        });
        read.filter(|sides| sides.iter().all(|layers| *layers <= MOST_LAYERS))
            .ok_or_else(|| {
                let text = show::plain(text, 24);
                let why = format!(
                    "'{text}' is not two counts of up to {MOST_LAYERS} layers; write spine side + edge side, as 10+5"
                );
                wrong("sides", why)
            })
    }

    fn blade(&self) -> Result<Blade, Wrong> {
        let spine = self.size("spine")?;
        let blade = Blade {
            length: self.size("length")?,
            width: self.size("width")?,
            spine,
            spine_tip: match self.text("spine-tip") {
                "half" => spine / 2.0,
                text => length("spine-tip", self.units(), text)?,
            },
            edge: self.size("edge")?,
            bevel: self.share("bevel", 1.0)?.0,
        };
        let units = self.units();
        for (key, small, other, large) in [
            ("width", blade.width, "length", blade.length),
            ("spine", blade.spine, "width", blade.width),
            ("spine-tip", blade.spine_tip, "spine", blade.spine),
            ("edge", blade.edge, "spine", blade.spine),
        ] {
            if small > large {
                let (small, large) = (units.length(small), units.length(large));
                return Err(wrong(
                    key,
                    format!("{small} is more than the {other} of {large}"),
                ));
            }
        }
        Ok(blade)
    }

    fn tang(&self) -> Result<Option<Tang>, Wrong> {
        let Some(text) = self.some("tang") else {
            return Ok(None);
        };
        let units = self.units();
        let (start, end) = match text.split_once("to") {
            Some((start, end)) => (start, Some(sizes::<2>("tang", units, end)?)),
            None => (text, None),
        };
        let [length, width, thickness] = sizes::<3>("tang", units, start)?;
        let [width_end, thickness_end] = end.unwrap_or([width, thickness]);
        Ok(Some(Tang {
            length,
            width,
            thickness,
            width_end,
            thickness_end,
        }))
    }

    fn bolster(&self) -> Result<Option<Bolster>, Wrong> {
        let Some(text) = self.some("bolster") else {
            return Ok(None);
        };
        if !self.is_forged()? {
            return Err(wrong(
                "bolster",
                "is forged; write make forged, or no bolster",
            ));
        }
        let [length, width, thickness] = sizes::<3>("bolster", self.units(), text)?;
        Ok(Some(Bolster {
            length,
            width,
            thickness,
        }))
    }

    fn rack(&self) -> Result<Vec<RackBar>, Wrong> {
        let units = self.units();
        let each = self.text("steel").split(';').map(str::trim);
        let read: Vec<Bars> = each
            .filter(|text| !text.is_empty())
            .map(|text| bars("steel", units, text))
            .collect::<Result<_, _>>()?;
        let mut keys: Vec<String> = Vec::new();
        let mut rack: Vec<RackBar> = Vec::new();
        for (steel, thick, width) in read {
            let at = keys.iter().position(|grade| *grade == steel.grade);
            let at = at.unwrap_or_else(|| {
                keys.push(steel.grade.clone());
                keys.len() - 1
            });
            // The letters follow the order on the rack, as a plan gives them.
            let letter = ('A'..='Z').nth(at).unwrap_or('Z');
            rack.extend(thick.into_iter().map(|thickness| RackBar {
                steel: PlanSteel {
                    key: letter.to_string(),
                    letter,
                    steel: steel.clone(),
                    lot: String::new(),
                },
                thickness,
                width,
            }));
        }
        if rack.len() > MOST_BARS {
            let many = rack.len();
            return Err(wrong(
                "steel",
                format!("{many} bars are in stock; name at most {MOST_BARS}"),
            ));
        }
        Ok(rack)
    }

    /// `1084=1.2kg; 15N20=600g`: all that there is of a steel in stock.
    fn at_hand(&self, rack: &[RackBar]) -> Result<Vec<AtHand>, Wrong> {
        const KEY: &str = "at-hand";
        let mut all: Vec<AtHand> = Vec::new();
        let each = self.some(KEY).unwrap_or_default().split(';');
        for text in each.map(str::trim).filter(|text| !text.is_empty()) {
            let shown = show::plain(text, 40);
            let Some((name, mass)) = text.split_once('=') else {
                let why = format!("'{shown}' has no mass; write grade = mass, as 1084=1.2kg");
                return Err(wrong(KEY, why));
            };
            let steel = Catalogue::builtin()
                .find(name.trim())
                .map_err(|why| wrong(KEY, why.to_string()))?;
            let mass = above_zero(KEY, self.units(), mass)?;
            let mut steels = steels_of(rack).into_iter();
            let Some(at) = steels.position(|one| one.steel.grade == steel.grade) else {
                let why = format!(
                    "{} is not among the steels of this wish; name it under steel too",
                    steel.grade
                );
                return Err(wrong(KEY, why));
            };
            let one = AtHand {
                steel: SteelId::from_index(at),
                density: steel.density,
                mass,
            };
            if all.iter().any(|known| known.steel == one.steel) {
                let why = format!("{} is named twice; write one mass for it", steel.grade);
                return Err(wrong(KEY, why));
            }
            all.push(one);
        }
        Ok(all)
    }

    /// The shop: what is typed, and what is usual for the rest.
    pub(crate) fn shop(&self) -> Result<Shop, Wrong> {
        let machine = match (self.some("press"), self.some("hammer")) {
            (Some(_), Some(_)) => {
                return Err(wrong(
                    "hammer",
                    "a press is there too; keep the one that draws out",
                ));
            }
            (Some(text), None) => {
                let force = above_zero("press", self.units(), text)?;
                Machine::Press { force }
            }
            (None, Some(text)) => {
                let ram = above_zero("hammer", self.units(), text)?;
                Machine::Hammer { ram }
            }
            (None, None) => Machine::Hand,
        };
        let allowance = |key| {
            let default = self.units();
            parse::quantity::<Mm>(self.text(key), default)
                .map_err(|why| wrong(key, why.to_string()))
        };
        let fire = self.temperature("fire")?;
        if !(FIRE.0..=FIRE.1).contains(&fire.0) {
            let units = self.units();
            let [at, low, high] = [fire.0, FIRE.0, FIRE.1].map(|at| units.temperature(Celsius(at)));
            return Err(wrong(
                "fire",
                format!("{at} is not a welding heat; write {low} to {high}"),
            ));
        }
        let oil = self.some("oil").map(|_| self.temperature("oil"));
        if let Some(Ok(at)) = &oil
            && *at > NO_OIL
        {
            let [said, most] = [*at, NO_OIL].map(|at| self.units().temperature(at));
            return Err(wrong(
                "oil",
                format!("oil at {said} is no quench; write at most {most}"),
            ));
        }
        Ok(Shop {
            allowances: Allowances {
                kerf: allowance("kerf")?,
                grind: allowance("grind")?,
                trim: allowance("trim")?,
                scale: self.share("scale", 0.5)?,
                mark: self.size("mark")?,
                shortest: self.size("shortest")?,
                widest: self.maybe("widest")?,
                tallest: self.maybe("tallest")?,
                longest: self.maybe("longest")?,
                finished: None,
                shape: crate::billet::Shape::PLAIN,
                units: self.units(),
            },
            machine,
            die: self.size("die")?,
            fuel: Fuel::default(),
            quench: Quench::default(),
            fire,
            fire_scale: Fraction::ONE,
            oil: oil.transpose()?,
            eye: Eye::default(),
        })
    }

    fn title(&self, goal: &Goal) -> String {
        if let Some(typed) = self.typed("title") {
            return typed.to_owned();
        }
        let family = PATTERNS
            .iter()
            .find(|(_, pattern)| *pattern == goal.pattern);
        let family = family.map_or("random", |(word, _)| word);
        let size = self.units().length(goal.blade.length);
        let family = match goal.pattern {
            Pattern::ThreeLayer => "Three-layer".to_owned(),
            Pattern::TurnedW => "Turned-W".to_owned(),
            Pattern::Jacket => "Jacketed".to_owned(),
            Pattern::Tiles => "Tiled".to_owned(),
            _ => {
                let (first, rest) = family.split_at(1);
                format!("{}{rest}-pattern", first.to_uppercase())
            }
        };
        match goal.knives {
            1 => format!("{family} blade, {size}"),
            many => format!("{family} blades, {many} of {size}"),
        }
    }

    /// The text of an item that may be none.
    fn some(&self, key: &str) -> Option<&str> {
        Some(self.text(key)).filter(|text| !matches!(*text, "none" | "no" | "0" | ""))
    }

    fn size(&self, key: &'static str) -> Result<Mm, Wrong> {
        length(key, self.units(), self.text(key))
    }

    fn maybe(&self, key: &'static str) -> Result<Option<Mm>, Wrong> {
        self.some(key).map(|_| self.size(key)).transpose()
    }

    fn temperature(&self, key: &'static str) -> Result<Celsius, Wrong> {
        let default = self.units();
        parse::quantity::<Celsius>(self.text(key), default)
            .map_err(|why| wrong(key, why.to_string()))
    }

    fn share(&self, key: &'static str, most: f64) -> Result<Fraction, Wrong> {
        let share = parse::quantity::<Fraction>(self.text(key), self.units())
            .map_err(|why| wrong(key, why.to_string()))?;
        if share.0 > most {
            let percent = show::percent(Fraction(most), 0);
            return Err(wrong(
                key,
                format!(
                    "{} is too much; write at most {percent}",
                    show::percent(share, 0)
                ),
            ));
        }
        if key == "bevel" && share.0 <= 0.0 {
            return Err(wrong(key, Fault::Zero.of(self.text(key)).to_string()));
        }
        Ok(share)
    }

    fn count(&self, key: &'static str, most: u64) -> Result<u64, Wrong> {
        let text = self.text(key);
        let bad = |_| {
            let text = show::plain(text, 24);
            wrong(key, format!("'{text}' is not a whole number"))
        };
        let count = parse::count(text).map_err(bad)?;
        if (1..=most).contains(&count) {
            return Ok(count);
        }
        Err(wrong(key, format!("{count} is outside 1 to {most}")))
    }

    fn is_forged(&self) -> Result<bool, Wrong> {
        match self.text("make") {
            "forged" => Ok(true),
            "ground" => Ok(false),
            other => {
                let other = show::plain(other, 24);
                Err(wrong(
                    "make",
                    format!("'{other}' is not known; write forged or ground"),
                ))
            }
        }
    }
}

fn small(count: u64) -> u32 {
    u32::try_from(count).unwrap_or(u32::MAX)
}

/// Steps a choice on to the next word; none for items that are no choice.
pub(super) fn next_word(key: &str, now: &str) -> Option<&'static str> {
    let words: Vec<&'static str> = match key {
        "units" => vec!["mm", "in"],
        "make" => vec!["forged", "ground"],
        "pattern" => PATTERNS.iter().map(|(word, _)| *word).collect(),
        _ => return None,
    };
    let at = words.iter().position(|word| *word == now);
    words
        .get(at.map_or(0, |at| (at + 1) % words.len()))
        .copied()
}

impl Form {
    /// Puts the next word of a choice; false for items that are no choice.
    pub fn step(&mut self, key: &str) -> bool {
        let Some(next) = next_word(key, self.text(key)) else {
            return false;
        };
        self.put(key, next).is_ok()
    }

    /// True when an item is one of a few words.
    #[must_use]
    pub fn is_choice(key: &str) -> bool {
        next_word(key, "").is_some()
    }

    /// What stands against one item, whatever else is still missing.
    #[must_use]
    pub fn trouble(&self, key: &str) -> Option<Wrong> {
        let mut whole = self.clone();
        // Nothing is too large beside a size that nobody wrote.
        for missing in self.missing() {
            let stand_in = if missing == "length" {
                "20000mm"
            } else {
                "19999mm"
            };
            if missing != key {
                // the name is in the table
                let _ = whole.put(missing, stand_in);
            }
        }
        whole.wish().err().filter(|wrong| wrong.key == key)
    }
}
