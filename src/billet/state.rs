//! The billet between two steps.

use std::borrow::Cow;
use std::sync::Arc;

use super::bar::{Bar, Stand};
use super::kinds::{Kind, Move};
use super::layers::SteelId;
use super::ledger::{Ledger, Loss};
use super::moves::{Part, Sizes};
use super::skin::Skin;
use super::stage::Stage;
use crate::units::{Density, Grams, Mm, Mm3, Units};

/// A steel of this job: what the billet must know of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Stock {
    /// One capital letter for pictures, as `A`.
    pub letter: char,
    /// Grade.
    pub name: String,
    /// Cold density.
    pub density: Density,
}

/// One piece of the first stack, bottom to top.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StackPiece {
    /// What it is.
    pub steel: SteelId,
    /// How thick it is, cleaned.
    pub thickness: Mm,
}

/// A piece kept aside.
#[derive(Debug, Clone, PartialEq)]
pub struct Offcut {
    /// What it is like.
    pub bar: Bar,
    /// How many.
    pub pieces: u32,
}

/// One part of a blank forged to shape.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ForgedPart {
    pub part: Part,
    /// Its sizes: as read, otherwise as asked for.
    pub sizes: Sizes,
    /// The same, with what follows from the metal.
    pub full: Sizes,
}

/// What forging and grinding have made of one blank. The blank's outside is kept as it was cut; the
/// metal that has gone since is open space inside it ([`Bar::void`]), so volumes stay true while the
/// shape is no longer a bar.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BladeState {
    /// Metal in the blank when its shaping began; zero before that.
    pub blank: Mm3,
    /// Parts forged so far, in the order of forging.
    pub parts: Vec<ForgedPart>,
}

/// A move that was made, with the outside of one piece before and after: what pictures are made from.
#[derive(Debug, Clone, PartialEq)]
pub struct Deformation {
    /// The move.
    pub made: Move,
    /// Width, thickness, length before.
    pub before: [Mm; 3],
    /// Width, thickness, length after.
    pub after: [Mm; 3],
    /// Pieces before the move (a restack joins this many).
    pub pieces: u32,
    /// What the fire ate of one piece's sides.
    pub skin: Skin,
    /// The bars that it was joined with, in the order of the move, as they were laid.
    pub joined: Vec<Arc<Billet>>,
}

impl Deformation {
    /// The outside that was worked to the outside after: that before, less what the fire ate.
    #[must_use]
    pub fn worked(&self) -> [Mm; 3] {
        self.skin.inside(self.before)
    }
}

/// The job's metal, all of it cold: the bar in hand, and the others as they lie.
#[derive(Debug, Clone, PartialEq)]
pub struct Billet {
    /// What the plan calls this bar; empty in a plan of one.
    pub name: Arc<str>,
    /// The pieces of its first stack, bottom to top.
    pub first: Arc<[StackPiece]>,
    /// The other bars of the job, used up ones too; they have none of their own.
    pub others: Vec<Arc<Billet>>,
    /// True while bars of the plan are to come between its loose pieces.
    pub waits: bool,
    /// The bar that its last piece went into.
    pub within: Option<Arc<str>>,
    /// One of the like pieces being worked.
    pub bar: Bar,
    /// How many.
    pub pieces: u32,
    /// How far it has come.
    pub stage: Stage,
    /// Kept aside.
    pub stock: Vec<Offcut>,
    /// Where the metal went.
    pub ledger: Ledger,
    /// Pieces of the first stack times every restack and fold.
    pub nominal: u128,
    /// Quarter-turns made since the first stack, 0 to 3.
    pub turns: u8,
    /// Counted bands over modelled bands, from the last etched end; 1 until one is counted.
    pub count_factor: f64,
    /// How well the bands are known: one deviation as a part of them, from the range of the last count or of a
    /// bar as found; 0 where the model or a count alone speaks.
    pub count_doubt: f64,
    /// Thickness of a layer now over its thickness in the first stack.
    pub thinned: f64,
    /// What forging to shape and grinding have made of a blank.
    pub blade: BladeState,
    /// Moves made, oldest first.
    pub history: Vec<Deformation>,
    /// Steels of the job, by [`SteelId`].
    pub steels: Arc<[Stock]>,
}

impl BladeState {
    /// Sizes of the part that a move forges, with what follows from the metal; none of other moves.
    #[must_use]
    pub fn sizes_of(&self, made: &Move) -> Option<Sizes> {
        let Move::Forge { part: made, .. } = made else {
            return None;
        };
        self.forged(*made).map(|known| known.full)
    }

    /// That part, where it is forged.
    #[must_use]
    pub fn forged(&self, part: Part) -> Option<&ForgedPart> {
        self.parts.iter().find(|known| known.part == part)
    }
}

impl Billet {
    /// The same metal with another bar in hand; as it is where there is no such bar.
    #[must_use]
    pub fn in_hand(&self, name: &str) -> Cow<'_, Self> {
        if *self.name == *name || !self.others.iter().any(|other| *other.name == *name) {
            return Cow::Borrowed(self);
        }
        let mut metal = self.clone();
        metal.take_up(name);
        Cow::Owned(metal)
    }

    /// Lays the bar in hand by and takes up another, where there is one of that name.
    pub fn take_up(&mut self, name: &str) {
        let mut others = std::mem::take(&mut self.others);
        let found = others.iter_mut().find(|other| *other.name == *name);
        if let Some(place) = found.filter(|_| *self.name != *name) {
            let taken = (**place).clone();
            *place = Arc::new(std::mem::replace(self, taken));
        }
        self.others = others;
    }

    /// Every bar of the job, the one in hand first.
    pub fn bars(&self) -> impl Iterator<Item = &Self> {
        std::iter::once(self).chain(self.others.iter().map(|other| &**other))
    }

    /// Width, thickness and length of one piece.
    pub(super) fn outside_sizes(&self) -> [Mm; 3] {
        [self.bar.width, self.bar.thickness, self.bar.length]
    }

    /// Puts a move that lost nothing to the fire into the history.
    pub(super) fn note(&mut self, made: Move, before: [Mm; 3]) {
        self.history.push(Deformation {
            made,
            before,
            after: self.outside_sizes(),
            pieces: self.pieces,
            skin: Skin::default(),
            joined: Vec::new(),
        });
    }

    /// Where the metal of all bars went: what went from bar to bar is in it once.
    #[must_use]
    pub fn balance(&self) -> Ledger {
        let mut all = self.ledger.clone();
        for bar in &self.others {
            all.start += bar.ledger.start;
            all.added += bar.ledger.added;
            all.given += bar.ledger.given;
            all.losses.extend_from_slice(&bar.ledger.losses);
        }
        all.added = all.added - all.given;
        all.given = Mm3::ZERO;
        all
    }

    /// Metal in the pieces of all bars, and what is kept aside of them.
    #[must_use]
    pub fn whole(&self) -> [Mm3; 2] {
        [
            self.bars().map(Self::volume).sum(),
            self.bars().map(Self::stock_volume).sum(),
        ]
    }

    /// What messages call it: `bar 'core'`, or `the bar` where there is one.
    #[must_use]
    pub fn called(&self) -> String {
        if self.name.is_empty() {
            "the bar".to_owned()
        } else {
            format!("bar '{}'", self.name)
        }
    }

    /// True for a first stack of one piece: it is a bar as it lies.
    #[must_use]
    pub fn is_one_piece(&self) -> bool {
        self.stage == Stage::Loose && self.first.len() == 1 && !self.waits
    }

    /// Outside of one piece in words; of a forged or ground one, what it is and the blank that it was made from.
    #[must_use]
    pub fn outside(&self, units: Units) -> String {
        let bar = &self.bar;
        let size = units.size(bar.width, bar.thickness, bar.length);
        match self.stage {
            Stage::Loose | Stage::Pile | Stage::Bar | Stage::Pieces => size,
            Stage::Forged => format!("forged piece (blank {size})"),
            Stage::Ground | Stage::Hard | Stage::Tempered | Stage::Finished => {
                format!("blade (blank {size})")
            }
            Stage::Etched => format!("etched blade (blank {size})"),
        }
    }

    /// Metal in the pieces being worked.
    #[must_use]
    pub fn volume(&self) -> Mm3 {
        self.bar.volume() * f64::from(self.pieces)
    }

    /// Metal kept aside.
    #[must_use]
    pub fn stock_volume(&self) -> Mm3 {
        self.stock
            .iter()
            .map(|cut| cut.bar.volume() * f64::from(cut.pieces))
            .sum()
    }

    /// Volume of one steel in one piece.
    #[must_use]
    pub fn volume_of(&self, steel: SteelId) -> Mm3 {
        let outside = self.bar.section() * self.bar.length;
        if !outside.is_positive() {
            return Mm3::ZERO;
        }
        // What is open takes metal in proportion: grooves run right across the bar.
        self.bar.volume() * self.bar.share_of(steel)
    }

    /// Mass of one piece.
    #[must_use]
    pub fn piece_mass(&self) -> Grams {
        self.steels
            .iter()
            .enumerate()
            .map(|(at, stock)| self.volume_of(SteelId::from_index(at)).mass(stock.density))
            .sum()
    }

    /// Mass of all pieces being worked.
    #[must_use]
    pub fn mass(&self) -> Grams {
        self.piece_mass() * f64::from(self.pieces)
    }

    /// Mean density of one piece.
    #[must_use]
    pub fn density(&self) -> Density {
        let volume = self.bar.volume();
        if volume.is_positive() {
            Density(self.piece_mass().0 / volume.0 * 1000.0)
        } else {
            Density(7.85)
        }
    }

    /// Mean thickness of a band.
    #[must_use]
    pub fn mean_band(&self) -> Mm {
        let layers = &self.bar.layered().core.layers;
        #[expect(
            clippy::cast_precision_loss,
            reason = "a mean of so many is not exact anyway"
        )]
        let bands = layers.bands().max(1) as f64;
        layers.height() / (bands * self.count_factor)
    }
}

/// Why a move cannot be made, as a sentence, and what to do.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{what}; {remedy}")]
pub struct Refusal {
    /// What is wrong, with the numbers.
    pub what: String,
    /// What to do about it.
    pub remedy: String,
    /// The plan key it hangs on, as `length`.
    pub key: Option<&'static str>,
}

/// Odd but possible.
#[derive(Debug, Clone, PartialEq)]
pub struct Warning {
    /// What is odd, with the numbers, and what to do.
    pub text: String,
    /// The plan key it hangs on.
    pub key: Option<&'static str>,
    /// The kind of step.
    pub kind: Kind,
    /// The loss concerned, where it is about one.
    pub loss: Option<Loss>,
}

impl Billet {
    /// The loose pieces of a first stack.
    #[must_use]
    pub fn new(pieces: &[StackPiece], width: Mm, length: Mm, steels: Arc<[Stock]>) -> Self {
        let leaf = |piece: &StackPiece| super::Layers::leaf(piece.steel, piece.thickness);
        let layers = super::Layers::pile(pieces.iter().map(leaf).collect());
        let bar = Bar {
            width,
            thickness: layers.height(),
            length,
            void: Mm3::ZERO,
            depth: Mm::ZERO,
            core: super::Core {
                layers,
                stand: Stand::Flat,
                figure: super::Figure::Flat,
                blocks: [1; 2],
            },
            frame: Vec::new(),
            cap: None,
        };
        let ledger = Ledger {
            start: bar.volume(),
            ..Ledger::default()
        };
        Self {
            name: Arc::default(),
            first: pieces.into(),
            others: Vec::new(),
            waits: false,
            within: None,
            bar,
            pieces: 1,
            stage: Stage::Loose,
            stock: Vec::new(),
            ledger,
            nominal: pieces.len() as u128,
            turns: 0,
            count_factor: 1.0,
            count_doubt: 0.0,
            thinned: 1.0,
            blade: BladeState::default(),
            history: Vec::new(),
            steels,
        }
    }
}
