//! The forging plan: goal, steels, shop, first stack and steps; its file and its review.
//!
//! Text in, plan out: reading the disk is the shell's job.

mod blank;
mod caution;
mod check;
mod cut_list;
mod diagnostic;
mod file;
mod found;
mod goal;
mod heats;
pub(crate) mod keys;
mod need;
pub mod report;
mod review;
mod shop;
mod spreads;
mod step;
mod walk;
mod window;

pub use blank::Blank;
pub use caution::{
    Answer, Card, Caution, CautionId, Hold, Limits, Quantity, all_cautions, card, least_watch,
    legal, shown,
};
pub use check::{Checked, check};
pub use cut_list::CutLine;
pub use diagnostic::{Diagnostic, Level, Place, Places};
pub use file::{MAX_BARS, MAX_BYTES, MAX_STEPS, read};
pub use found::{FoundBar, MOST_FOUND, UNCOUNTED};
pub use goal::{Blade, Bolster, Goal, PROFILE, Pattern, SKIN, Tang};
pub use heats::{draw_heats, forge_heats};
pub use keys::{KeyDoc, Table, Writes, all_tables, format_page, given_size, schema};
pub use need::{Need, SPARE, is_forged};
pub use shop::{Fuel, HOT_OIL, Machine, NO_OIL, Quench, Shop};
pub use spreads::too_wide;
pub use step::{HeatWindow, PlanSteel, Step, StepId, day_after, free_letter};
pub use walk::{Walk, WalkedStep, bands_by_scale, dry_run};

use std::sync::Arc;

use crate::billet::{Allowances, Among, Arrange, Billet, Kind, Move, StackPiece, Stage, Stock};
use crate::units::{Mm, Units};

/// A bar that a plan begins with.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PlanBar {
    /// What steps, frames and joins call it; empty where there is one.
    pub name: String,
    /// Width of every piece of its first stack.
    pub width: Mm,
    /// Length of every piece.
    pub length: Mm,
    /// The pieces, bottom to top; none of a bar as found.
    pub pieces: Vec<StackPiece>,
    /// Bars of the plan that lie between them, from the bottom up.
    pub among: Vec<Among>,
    /// What it is where it begins as found, instead of a first stack.
    pub found: Option<FoundBar>,
    /// Number of the piece on the shelf that it is: it begins welded, and no steel is bought for it.
    pub shelf: Option<u32>,
    /// Where that piece came from, in words.
    pub from: Option<String>,
}

impl PlanBar {
    /// As it lies when the job begins: loose pieces, or welded where it comes from the shelf.
    #[must_use]
    pub fn lies(&self, steels: Arc<[Stock]>) -> Billet {
        let metal = match &self.found {
            Some(found) => found.metal(self.width, self.length, &steels),
            None => Billet::new(&self.pieces, self.width, self.length, steels),
        };
        let stage = self.shelf.map_or(metal.stage, |_| Stage::Bar);
        Billet {
            name: self.name.as_str().into(),
            stage,
            waits: !self.among.is_empty(),
            ..metal
        }
    }
}

/// A whole plan. Text fields are already safe to draw.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// What the job is called.
    pub title: String,
    /// Free words on top of the file.
    pub notes: Vec<String>,
    /// The units that this shop reads.
    pub units: Units,
    /// What is wanted.
    pub goal: Goal,
    /// Steels of the job; [`crate::billet::SteelId`] is the place in this list.
    pub steels: Vec<PlanSteel>,
    /// The shop's machines and allowances.
    pub shop: Shop,
    /// The bars that it begins with, each with its first stack; one in most plans.
    pub bars: Vec<PlanBar>,
    /// The steps, in order.
    pub steps: Vec<Step>,
    /// Where the keys of goal, shop and stack are written, as `goal.bands` or `blade.length`.
    pub places: Places,
}

impl Plan {
    /// The allowances that moves are made with.
    #[must_use]
    pub fn allowances(&self) -> Allowances {
        let knife = self.goal.volume();
        Allowances {
            finished: knife.is_positive().then_some(knife),
            shape: self.goal.shape(),
            units: self.units,
            ..self.shop.allowances
        }
    }

    /// The loose pieces that the job begins with.
    #[must_use]
    pub fn first_billet(&self) -> Billet {
        let stock: Arc<[Stock]> = self
            .steels
            .iter()
            .map(|steel| Stock {
                letter: steel.letter,
                name: steel.steel.grade.clone(),
                density: steel.steel.density,
            })
            .collect();
        let mut all = self.bars.iter().map(|bar| bar.lies(Arc::clone(&stock)));
        let mut metal = all
            .next()
            .unwrap_or_else(|| Billet::new(&[], Mm::ZERO, Mm::ZERO, Arc::clone(&stock)));
        metal.others = all.map(Arc::new).collect();
        if let Some(step) = self.steps.first() {
            metal.take_up(&step.bar);
        }
        metal
    }

    /// What is known of a bar that begins as found; none of one that begins as a stack.
    #[must_use]
    pub fn found(&self, bar: &str) -> Option<&FoundBar> {
        let bar = self.bars.iter().find(|one| one.name == bar)?;
        bar.found.as_ref()
    }

    /// What is guessed of a bar as found, as a sentence; none where nothing is.
    #[must_use]
    pub fn guess(&self, bar: &str) -> Option<String> {
        let guessed = self.found(bar)?.guessed();
        (!guessed.is_empty()).then(|| format!("a bar as found: {guessed} guessed"))
    }

    /// Numbers of the pieces on the shelf that its bars are.
    pub fn takes(&self) -> impl Iterator<Item = u32> + '_ {
        self.bars.iter().filter_map(|bar| bar.shelf)
    }

    /// How a bar is marked: with as many punch dots as its place in the plan.
    #[must_use]
    pub fn mark_of(&self, bar: &str) -> String {
        let at = self.bars.iter().position(|one| one.name == bar);
        crate::units::show::counted(at.map_or(0, |at| at + 1), "dot")
    }

    /// Pieces of the first stack of the bar that a step works on.
    #[must_use]
    pub fn first_pieces(&self, step: &Step) -> u32 {
        let bar = self.bars.iter().find(|bar| bar.name == step.bar);
        bar.map_or(0, |bar| u32::try_from(bar.pieces.len()).unwrap_or(u32::MAX))
    }

    /// Cuts whose pieces are piled on each other again, from a place on.
    #[must_use]
    pub fn piled_cuts(&self, from: usize) -> Vec<usize> {
        let joins_or_parts =
            |step: &&Step| matches!(step.kind(), Kind::Restack | Kind::Cut | Kind::Forge);
        let is_piled = |at: usize| {
            let next = self.steps.iter().skip(at + 1).find(joins_or_parts);
            next.is_some_and(|step| {
                matches!(
                    step.made,
                    Move::Restack {
                        arrange: Arrange::Pile | Arrange::Flipped
                    }
                )
            })
        };
        let cuts = self.steps.iter().enumerate().skip(from);
        cuts.filter(|(at, step)| step.kind() == Kind::Cut && is_piled(*at))
            .map(|(at, _)| at)
            .collect()
    }
}
