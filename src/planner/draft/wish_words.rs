//! A wish in words, above the plans that it has.

use super::wish::Wish;
use crate::plan::Machine;
use crate::units::show;

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
                "from {}; {machine}; kerf {}, grind {} a face, trim {} an end, scale {}, {} over",
                rack.join(", "),
                units.length(allow.kerf),
                units.length(allow.grind),
                units.length(allow.trim),
                show::percent(allow.scale, 1),
                show::percent(self.spare, 0)
            ),
        ]
    }
}
