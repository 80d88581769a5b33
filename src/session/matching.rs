//! Before bars are laid on each other: what must match, side by side.

use super::Session;
use super::like::piece_name;
use crate::billet::{Dimension, Fit, Move, Piece, Reading, apply};
use crate::units::{Mm, Units};

/// One size that must match.
#[derive(Debug, Clone, PartialEq)]
pub struct Matching {
    pub what: Dimension,
    /// What it must be: that of the bar under them.
    pub wanted: Mm,
    /// Each bar that is laid, in order, the one in hand first where it is its own size: which, and its size.
    pub bars: Vec<(String, Mm)>,
    /// Largest difference.
    pub apart: Mm,
    /// What to do about it, a sentence each; empty where the weld and the trim after it bring them flush.
    pub todo: Vec<String>,
}

impl Matching {
    /// In one line: `length: right: 216, left: 214 mm; 2 mm apart, near enough`.
    #[must_use]
    pub fn text(&self, units: Units) -> String {
        let bars = self.bars.iter();
        let bars: Vec<String> = bars
            .map(|(bar, size)| format!("{bar}: {}", units.length_bare(*size)))
            .collect();
        let what = self.what.word();
        let todo = if self.todo.is_empty() {
            "near enough".to_owned()
        } else {
            self.todo.join(", ")
        };
        format!(
            "{what}: {} {}; {} apart, {todo}",
            bars.join(", "),
            units.length_unit(),
            units.length(self.apart)
        )
    }
}

impl Session {
    /// The sizes that must match in the step in hand, as they were read last or follow from the metal; empty
    /// where no bar is laid on another.
    #[must_use]
    pub fn matching(&self) -> Vec<Matching> {
        let Some(step) = self.current() else {
            return Vec::new();
        };
        let (laid, _) = step.made.laid();
        if !laid.iter().any(|one| matches!(one.piece, Piece::Of { .. })) {
            return Vec::new();
        }
        let mut made = step.made.clone();
        if let Move::Frame { fit, .. }
        | Move::Join { fit, .. }
        | Move::Jacket { fit, .. }
        | Move::Stack { fit, .. } = &mut made
        {
            *fit = true;
        }
        let metal = self.billet.in_hand(&step.bar);
        let allow = self.plan.allowances();
        let Ok(outcome) = apply(&metal, &made, &allow, &Reading::default()) else {
            return Vec::new();
        };
        let mut out: Vec<Matching> = Vec::new();
        let mut groups: Vec<(Dimension, Mm)> = Vec::new();
        for fit in &outcome.fits {
            if !groups.contains(&(fit.what, fit.wants)) {
                groups.push((fit.what, fit.wants));
            }
        }
        for (what, wants) in groups {
            let fits = outcome.fits.iter();
            let fits: Vec<&Fit> = fits
                .filter(|fit| fit.what == what && fit.wants == wants)
                .collect();
            out.push(self.matched(what, wants, &fits));
        }
        out
    }

    fn matched(&self, what: Dimension, wants: Mm, fits: &[&Fit]) -> Matching {
        let units = self.plan.units;
        let bar = &self.billet.bar;
        let own = match what {
            Dimension::Length => bar.length,
            Dimension::Width => bar.width,
            _ => bar.thickness,
        };
        let name = &self.billet.name;
        let laid: Vec<&str> = fits.iter().map(|fit| &*fit.bar).collect();
        let several = |bar: &str| {
            let own = usize::from(*bar == **name);
            laid.iter().filter(|one| **one == bar).count() + own > 1
        };
        let under = if own.near(wants, 1e-9) {
            let read = self.last_read(name, what, 0);
            let piece = u32::from(several(name)) + 1;
            (piece_name(name, 1, piece), read.unwrap_or(own))
        } else {
            ("wanted".to_owned(), wants)
        };
        let wants = under.1;
        let mut bars = vec![under];
        let mut held = Vec::new();
        for (at, fit) in fits.iter().enumerate() {
            let before = laid
                .iter()
                .take(at)
                .filter(|one| ***one == *fit.bar)
                .count();
            let nth = before + usize::from(fit.bar == *name);
            let read = match (what, fit.turned) {
                (Dimension::Width, true) => Dimension::Thickness,
                (Dimension::Thickness, true) => Dimension::Width,
                _ => what,
            };
            let has = self.last_read(&fit.bar, read, nth).unwrap_or(fit.has);
            let number = u32::try_from(nth + 1).unwrap_or(u32::MAX);
            let pieces = u32::from(several(&fit.bar)) + 1;
            let which = piece_name(&fit.bar, number, pieces);
            let fit = Fit {
                has,
                wants,
                ..(*fit).clone()
            };
            bars.push((which.clone(), has));
            held.push((which, fit));
        }
        let sizes = || bars.iter().map(|(_, size)| *size);
        let least = sizes().fold(wants, Mm::min);
        let apart = sizes().fold(wants, Mm::max) - least;
        let todo = match what {
            // All are trimmed to the shortest.
            Dimension::Length if held.iter().any(|(_, fit)| !fit.is_near()) => {
                let long = bars.iter().filter(|(_, size)| *size - least > least * 1e-3);
                long.map(|(bar, size)| format!("trim {} off {bar}", units.length(*size - least)))
                    .collect()
            }
            Dimension::Length => Vec::new(),
            _ => {
                let off = held.iter().filter(|(_, fit)| !fit.is_near());
                off.map(|(bar, fit)| {
                    let over = units.length(fit.over().abs());
                    if fit.over().is_positive() {
                        format!("grind {over} off {bar}")
                    } else {
                        format!("draw {bar} {over} larger")
                    }
                })
                .collect()
            }
        };
        Matching {
            what,
            wanted: wants,
            bars,
            apart,
            todo,
        }
    }

    /// What was read of one of the pieces of a bar in the last of its steps, as far as it was read there.
    fn last_read(&self, bar: &str, what: Dimension, nth: usize) -> Option<Mm> {
        let mut done = self.done.iter().rev();
        let done = done.find(|done| done.step.bar == bar)?;
        let (_, read) = done.each.get(nth).or(match done.each.as_slice() {
            [only] => Some(only),
            _ => None,
        })?;
        read.get(what).map(Mm)
    }
}
