//! From a billet's history to the way back.

mod joined;
mod open;
mod strokes;
mod window;

use super::blade::Forging;
use super::chain::{Back, Chain};
pub use super::hand::Hand;
use super::map::corner::Corner;
use super::map::dimple::{Dimples, Drops};
use super::map::fold::Fold;
use super::map::frame::On;
use super::map::groove::{Grooves, Ladder, Profile};

use super::first_stack::FirstStack;
use super::map::pile::{Lie, Pile};
use super::map::split::Split;
use super::map::stretch::Stretch;
use super::map::twist::Twist;
use super::noise::mix;
use crate::billet::{
    Arrange, Billet, Deformation, Deforms, Groove, Hand as Turn, Lay, Move, Part, StackPiece,
    Tiling,
};
use crate::units::Mm;

use open::Open;
use strokes::HammerRun;

/// A picture of more moves than this is refused nothing, but the moves past it are left out.
const MOST: usize = 4096;

impl Chain {
    /// From the pieces of the first stack, bottom to top, and the moves made since, oldest first.
    ///
    /// A move whose sizes are not finite or not above zero is left out, so that any history gives a
    /// chain.
    #[must_use]
    pub fn new(first: &[StackPiece], history: &[Deformation], hand: Hand) -> Self {
        let mut members = Vec::new();
        let mut chain = Self::grown(first, history, hand, &mut members);
        chain.members = members;
        chain
    }

    /// The way back of one bar; those of the bars joined on go to the members.
    fn grown(
        first: &[StackPiece],
        history: &[Deformation],
        hand: Hand,
        members: &mut Vec<Self>,
    ) -> Self {
        let first_stack = FirstStack::new(first);
        let rough = if hand.rough.is_finite() {
            hand.rough.clamp(0.0, 4.0)
        } else {
            1.0
        };
        // A few thick layers are drawn with care, in equal heats on flat dies.
        let few = first.len() < 5 && !history.iter().any(|done| joins(&done.made));
        let rough = if few { 0.3 * rough } else { rough };
        let hand = Hand { rough, ..hand };
        let mut builder = Builder {
            history,
            hand,
            members,
            steps: Vec::new(),
            open: None,
            run: None,
            across: false,
            on_edge: false,
            kerf: 0.0,
            per_bar: 1.0,
            skin: 0.0,
            forging: Forging::None,
            forged_spine: None,
            capped: false,
        };
        let mut size = [1.0, first_stack.height().max(1e-6), 1.0];
        for (at, done) in history.iter().enumerate().take(MOST) {
            // The fire's skin comes off evenly on facing sides, so that the middle stays where it was.
            let before = done.worked().map(Mm::get);
            let after = done.after.map(Mm::get);
            if before
                .iter()
                .chain(&after)
                .all(|s| s.is_finite() && *s > 0.0)
                && builder.step(at, done, before, after)
            {
                size = after;
            }
        }
        let (window, beyond, runs_on) = builder.window(&first_stack);
        let mut steps = builder.steps;
        steps.reverse();
        Self {
            steps,
            size,
            window,
            beyond,
            runs_on,
            skin: builder.skin,
            forging: builder.forging,
            forged_spine: builder.forged_spine,
            capped: builder.capped,
            hand,
            first_stack,
            members: Vec::new(),
        }
    }

    /// A bar joined on: its own way back, from the size that it was given in the joined section.
    fn joined(metal: &Billet, hand: Hand, members: &mut Vec<Self>) -> On {
        if let Some(steel) = metal.bar.plain() {
            return On::Plain(steel);
        }
        let seed = mix(hand.seed, members.len() as u64 + 7_919);
        let mut chain = Self::grown(&metal.first, &metal.history, Hand { seed, ..hand }, members);
        let [width, thickness, length] = chain.size;
        let to = [metal.bar.width.0, metal.bar.thickness.0, length];
        if to.iter().all(|s| s.is_finite() && *s > 0.0) {
            let fitted = Stretch::new([width, thickness, length], to);
            chain.steps.insert(0, Back::Stretch(fitted));
        }
        let Ok(number) = u16::try_from(members.len() + 1) else {
            return On::Plain(chain.first_stack.steel(0).unwrap_or_default());
        };
        members.push(chain);
        On::Member(number)
    }
}

/// True for the moves that pile pieces of the bar on one another.
fn joins(made: &Move) -> bool {
    matches!(made, Move::Restack { .. } | Move::Fold { .. })
}

struct Builder<'a> {
    history: &'a [Deformation],
    hand: Hand,
    members: &'a mut Vec<Chain>,
    steps: Vec<Back>,
    open: Option<Open>,
    run: Option<HammerRun>,
    /// True when layers do not all lie flat across the width any more: y matters.
    across: bool,
    /// True when the layers stand on edge.
    on_edge: bool,
    kerf: f64,
    per_bar: f64,
    skin: f64,
    forging: Forging,
    forged_spine: Option<f64>,
    capped: bool,
}

impl Builder<'_> {
    /// Takes one move in; true when the bar's outside is now the move's.
    fn step(&mut self, at: usize, done: &Deformation, before: [f64; 3], after: [f64; 3]) -> bool {
        if let Some(forging) = Forging::by(&done.made) {
            self.forging = self.forging.max(forging);
            if let Move::Forge {
                part: Part::Blade | Part::Bevels,
                to,
                ..
            } = &done.made
            {
                let thick = to.thickness.filter(|t| t.is_positive());
                self.forged_spine = thick.map(Mm::get).or(self.forged_spine);
            }
        }
        if self.forging != Forging::None || matches!(done.made, Move::Forge { .. }) {
            return false;
        }
        let first = self.steps.len();
        self.take(at, done, before, after);
        let bends = done.made.kind().row().deforms == Deforms::Bends;
        if bends && self.steps.len() > first {
            self.run = None;
            self.skin = 0.0;
            if !matches!(done.made, Move::Groove { .. } | Move::Dimple { .. }) {
                self.open = None;
            }
        }
        true
    }

    /// An even stretch the other way: the waves of earlier blows spread with the section, and what is
    /// open stays open.
    fn upset(&mut self, before: [f64; 3], after: [f64; 3]) {
        self.steps.push(Back::Stretch(Stretch::new(before, after)));
        self.skin *= after[1] / before[1];
        self.run = None;
        self.open = None;
    }

    fn seed(&self, at: usize) -> u64 {
        mix(self.hand.seed, at as u64)
    }

    /// What a move does to what lies where; forging to shape and grinding are the blade's own.
    fn take(&mut self, at: usize, done: &Deformation, before: [f64; 3], after: [f64; 3]) {
        let seed = self.seed(at);
        match &done.made {
            Move::Prepare
            | Move::Stack { .. }
            | Move::Inspect { .. }
            | Move::Forge { .. }
            | Move::RoughGrind { .. }
            | Move::FinishGrind { .. }
            | Move::Harden
            | Move::Temper { .. }
            | Move::Etch
            | Move::EndDay => {}
            Move::Weld { .. } | Move::Draw { .. } | Move::Square { .. } => {
                self.squeeze(at, before, after);
            }
            Move::Upset { .. } => self.upset(before, after),
            Move::Normalise { .. } | Move::Anneal { .. } => {
                self.steps.push(Back::Stretch(Stretch::new(before, after)));
            }
            Move::Trim { ends } => self.steps.push(Back::Along(ends[0].0)),
            Move::Grind { per_face, .. } => self.grind(per_face.0),
            Move::Cut { pieces, kerf, .. } => {
                self.kerf = kerf.0.max(0.0);
                self.per_bar = (f64::from(*pieces) / f64::from(done.pieces.max(1))).max(1.0);
            }
            Move::QuarterTurn => {
                self.steps.push(Back::Turn);
                self.on_edge = !self.on_edge;
                self.across = true;
            }
            Move::CornerCrush { .. } => {
                self.steps.push(Back::Corner(Corner::new(before, after)));
                self.across = true;
                self.hammer(at, seed, after, 0.4);
            }
            Move::Restack { arrange } => self.restack(*arrange, done.pieces, before),
            Move::Fold { plies, kerf } => {
                let plies = f64::from((*plies).max(1));
                self.steps.push(Back::Fold(Fold {
                    thickness: after[1] / plies,
                    plies,
                    length: after[2],
                    loss: kerf.0.max(0.0),
                }));
            }
            Move::Join {
                lay: Lay::Grid { columns },
                ..
            } => self.grid(*columns, done, after),
            Move::Frame { .. } | Move::Join { .. } => self.frame(done, after),
            Move::Jacket { .. } => self.jacket(done, after),
            // Past the end that was there lies plain steel.
            Move::Wrap { .. } => {
                let edge = done.joined.first().and_then(|edge| edge.bar.plain());
                if let Some(steel) = edge {
                    let from = before[2];
                    self.steps.push(Back::Cap { from, steel });
                    self.capped = true;
                }
            }
            Move::Slice {
                tiles,
                thickness,
                lay,
                backing,
                kerf,
                ..
            } => {
                let per_bar = f64::from((*tiles).max(1));
                let count = per_bar * f64::from(done.pieces.max(1));
                self.tiles(before, thickness.0, [count, per_bar, kerf.0], *lay);
                if !backing.is_empty() {
                    self.frame(done, after);
                }
            }
            Move::Unfold { cuts, kerf, .. } => {
                let count = f64::from(*cuts) + 1.0;
                let each = (before[2] - f64::from(*cuts) * kerf.0) / count;
                let laid = [before[0], each, count * before[1]];
                if each > 0.0 {
                    self.tiles(before, each, [count, count, kerf.0], Tiling::Mirrored);
                    self.steps.push(Back::Stretch(Stretch::new(laid, after)));
                }
            }
            Move::Groove {
                count,
                width,
                depth,
                pitch,
                shape,
            } => {
                let grooves = Grooves {
                    count: (*count).min(10_000),
                    width: width.0,
                    depth: depth.0,
                    pitch: pitch.0,
                    profile: match shape {
                        Groove::Round => Profile::Round,
                        Groove::Vee => Profile::Vee,
                    },
                    rough: self.hand.rough,
                    seed,
                };
                self.opened(
                    Back::Grooves(Box::new(Ladder::new(before, grooves))),
                    before,
                );
            }
            Move::Dimple {
                count,
                diameter,
                depth,
                ..
            } => {
                let dimples = Dimples {
                    count: (*count).min(100_000),
                    diameter: diameter.0,
                    depth: depth.0,
                    rough: self.hand.rough,
                    seed,
                };
                self.opened(Back::Dimples(Box::new(Drops::new(before, dimples))), before);
            }
            Move::Twist {
                turns,
                over,
                from,
                hand,
            } => {
                let length = after[2];
                let start = from.map(|from| from.0.clamp(0.0, length));
                let most = length - start.unwrap_or(0.0);
                let hot = over.map_or(most, |over| over.0.min(most)).max(1e-6);
                let start = start.unwrap_or(0.5 * (length - hot));
                let zone = [start, start + hot];
                let turns = match hand {
                    _ if !turns.is_finite() => 0.0,
                    Turn::Right => *turns,
                    Turn::Left => -*turns,
                };
                let uneven = 0.5 * self.hand.rough;
                let twist = Twist::new(seed, before, after, turns, zone, uneven);
                self.steps.push(Back::Twist(Box::new(twist)));
                self.across = true;
            }
            Move::Split { angle } => {
                let split = Split::new(before, after, *angle, self.on_edge);
                self.steps.push(Back::Split(split));
                self.across = true;
                self.on_edge = false;
            }
        }
    }

    fn restack(&mut self, arrange: Arrange, pieces: u32, piece: [f64; 3]) {
        let (columns, rows, lie) = match arrange {
            Arrange::Pile => (1, pieces, Lie::Same),
            Arrange::Flipped => (1, pieces, Lie::Over),
            Arrange::Block {
                columns,
                rows,
                turned,
            } => {
                let lie = if turned { Lie::Quarter } else { Lie::Same };
                (columns, rows, lie)
            }
        };
        self.across |= columns > 1 || lie == Lie::Quarter;
        self.steps.push(Back::Pile(Pile {
            piece: [piece[0], piece[1]],
            columns: f64::from(columns.max(1)),
            rows: f64::from(rows.max(1)),
            long: piece[2],
            step: piece[2] + self.kerf,
            per_bar: self.per_bar,
            lie,
        }));
    }
}
