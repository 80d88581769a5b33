//! What a job leaves over, for the shelf: pieces set aside, and bars that no step to come works.

use super::Session;
use crate::billet::{Bar, Billet, Figure, Line, Piece, Stage, Stand, SteelId};
use crate::journal::{Kept, Spare};
use crate::plan::StepId;
use crate::units::{Grams, Mm, Stamp};

/// Most layers that are written down one by one.
const MOST_LAYERS: usize = 60;

/// What the shelf is told of a job: all that it has kept, and all that its plan takes.
#[derive(Debug, Clone, PartialEq)]
pub struct ShelfSide {
    /// When the job began: with the file's name, what tells it from others.
    pub job: Stamp,
    /// Pieces kept, by the numbers of their entries.
    pub kept: Vec<Kept>,
    /// Numbers of the pieces that the plan in force is made of.
    pub takes: Vec<u32>,
    /// Every step is done.
    pub finished: bool,
}

impl Session {
    /// What the shelf is to be told.
    #[must_use]
    pub fn shelf_side(&self) -> ShelfSide {
        ShelfSide {
            job: self.started.unwrap_or_default(),
            kept: self.kept.iter().cloned().collect(),
            takes: self.plan.takes().collect(),
            finished: self.is_finished(),
        }
    }

    /// What is left over and not kept yet, in the order of the plan's bars.
    #[must_use]
    pub fn left_over(&self) -> Vec<Spare> {
        let metal = self.metal();
        let mut out = Vec::new();
        for bar in &self.plan.bars {
            let Some(metal) = metal.bars().find(|metal| *metal.name == *bar.name) else {
                continue;
            };
            for (at, cut) in metal.stock.iter().enumerate() {
                let from = self.set_aside_by(metal, at);
                out.push(spare(metal, &cut.bar, cut.pieces, Some(at), from));
            }
            if self.is_spare(metal) {
                let mut of = self.done.iter().rev();
                let last = of.find(|done| done.step.bar == *metal.name);
                let from = last.map_or_else(|| StepId(String::new()), |done| done.step.id.clone());
                out.push(spare(metal, &metal.bar, metal.pieces, None, from));
            }
        }
        let kept = |spare: &Spare| {
            self.kept
                .iter()
                .any(|kept| kept.spare.bar == spare.bar && kept.spare.place == spare.place)
        };
        out.retain(|spare| !kept(spare));
        out
    }

    /// The step that set a piece aside.
    fn set_aside_by(&self, metal: &Billet, at: usize) -> StepId {
        let has = |bar: &Billet| bar.name == metal.name && bar.stock.len() > at;
        let done = self.done.iter();
        let by = done
            .filter(|done| done.made.billet.bars().any(has))
            .map(|done| done.step.id.clone());
        by.into_iter()
            .next()
            .unwrap_or_else(|| StepId(String::new()))
    }

    /// True of a welded bar that no step to come works or lays into another, in a plan whose knife is made of
    /// another.
    fn is_spare(&self, metal: &Billet) -> bool {
        let welded = matches!(metal.stage, Stage::Bar | Stage::Pieces);
        let ends_in = self.plan.steps.last().map(|step| step.bar.as_str());
        let to_come = self.plan.steps.iter().skip(self.at);
        let wanted = to_come.into_iter().any(|step| {
            let (laid, _) = step.made.laid();
            let of = |piece: &Piece| matches!(piece, Piece::Of { bar, .. } if **bar == *metal.name);
            step.bar == *metal.name || laid.iter().any(|one| of(&one.piece))
        });
        welded && metal.pieces > 0 && ends_in != Some(&*metal.name) && !wanted
    }
}

/// Pieces of a bar as they lie.
fn spare(metal: &Billet, bar: &Bar, pieces: u32, place: Option<usize>, from: StepId) -> Spare {
    let on_edge = bar.frame.is_empty() && bar.core.stand == Stand::OnEdge;
    // What stands on edge lies flat on the shelf: layers are piled through the thickness.
    let [width, thickness] = if on_edge {
        [bar.thickness, bar.width]
    } else {
        [bar.width, bar.thickness]
    };
    let figure = match bar.core.figure {
        _ if !bar.frame.is_empty() => "framed",
        Figure::Crushed => "crushed",
        Figure::Block => "block",
        Figure::Twisted => "twisted",
        Figure::Split => "split",
        Figure::Tiled => "tiled",
        Figure::Flat if bar.core.blocks != [1; 2] => "block",
        Figure::Flat => "flat",
    };
    let bands = bar.bands(if on_edge { Line::Across } else { Line::Through });
    let volume = bar.volume();
    let grades = metal.steels.iter().enumerate();
    let mut steels = Vec::new();
    let mut mass = Grams(0.0);
    for (at, stock) in grades {
        let part = bar.share_of(SteelId::from_index(at));
        if part > 1e-6 && part.is_finite() {
            steels.push((stock.name.clone(), part));
            mass += (volume * part).mass(stock.density);
        }
    }
    let mut flat = Vec::new();
    if figure == "flat" {
        let seen = bar.core.layers.bands_from(Mm::ZERO).take(MOST_LAYERS + 1);
        let name = |steel: SteelId| metal.steels.get(steel.index()).map(|one| one.name.clone());
        flat = seen
            .filter_map(|band| Some((name(band.steel)?, (band.to - band.from).0)))
            .collect();
        if flat.len() > MOST_LAYERS {
            flat.clear();
        }
    }
    Spare {
        bar: metal.name.to_string(),
        place,
        from,
        pieces,
        size: [width.0, thickness.0, bar.length.0],
        mass: mass.0,
        bands: u64::try_from(bands).unwrap_or(u64::MAX),
        figure: figure.to_owned(),
        steels,
        layers: flat,
    }
}
