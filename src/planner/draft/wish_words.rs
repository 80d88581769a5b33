//! A wish in words, above the plans that it has.

use super::wish::Wish;
use crate::plan::Machine;
use crate::units::{Units, show};

impl Wish {
    /// The wish in two lines: the knife and its pattern, then rack and shop.
    #[must_use]
    pub fn summary(&self) -> [String; 2] {
        let units = self.units;
        let goal = &self.goal;
        let blade = &goal.blade;
        let machine = match self.shop.machine {
            Machine::Hand => "by hand".to_owned(),
            Machine::Press { force } => format!("press {}", units.force(force)),
            Machine::Hammer { ram } if units == Units::Mm => {
                format!("hammer {} kg", show::trimmed(ram.0 / 1000.0, 1))
            }
            Machine::Hammer { ram } => format!("hammer {}", units.mass(ram)),
        };
        let rack: Vec<String> = self
            .rack
            .iter()
            .map(|bar| {
                let width = bar.width.map_or_else(String::new, |width| {
                    format!(" x {}", units.length_bare(width))
                });
                format!(
                    "{} {}{width} {}",
                    bar.steel.steel.grade,
                    units.length_bare(bar.thickness),
                    units.length_unit()
                )
            })
            .collect();
        let allow = &self.shop.allowances;
        [
            format!(
                "{}: blade {} ({}), {} to {} bands, at most {}",
                self.title,
                units.size(blade.length, blade.width, blade.spine),
                match self.forged {
                    true => "forged",
                    false => "ground out of the bar",
                },
                goal.bands_least,
                goal.bands_most,
                show::counted(self.most_welds, "weld"),
            ),
            format!(
                "from {}{}; {machine}; kerf {}, grind {} a face, trim {} an end, scale {}, {} over",
                rack.join(", "),
                self.hand_words(),
                units.length(allow.kerf),
                units.length(allow.grind),
                units.length(allow.trim),
                show::percent(allow.scale, 1),
                show::percent(self.spare, 0)
            ),
        ]
    }

    /// How much there is of which steel; nothing where all can be bought.
    fn hand_words(&self) -> String {
        let steels = self.steels();
        let each = self.at_hand.iter().filter_map(|one| {
            let steel = steels.get(one.steel.index())?;
            Some(format!(
                "{} of {}",
                self.units.mass(one.mass),
                steel.steel.grade
            ))
        });
        let each: Vec<String> = each.collect();
        match each.as_slice() {
            [] => String::new(),
            all => format!(", no more than {}", all.join(" and ")),
        }
    }
}
