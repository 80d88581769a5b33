//! From a billet's history to the way back.

use super::blade::Forging;
use super::chain::{Back, Chain};
use super::map::barrel::Barrel;
use super::map::corner::Corner;
use super::map::dimple::{Dimples, Drops};
use super::map::fold::Fold;
use super::map::frame::Frame;
use super::map::groove::{Grooves, Ladder, Profile};
use super::map::hammer::{Hammer, Uneven};
use super::map::pile::{Lie, Pile};
use super::map::split::Split;
use super::map::stretch::Stretch;
use super::map::twist::Twist;
use super::noise::{BOUND, mix};
use super::strata::{Beyond, Strata};
use crate::billet::{Arrange, Deformation, Faces, FrameBar, Groove, Move, Part, Side, StackPiece};
use crate::units::Mm;

/// How the work is done: what no plan says and every picture shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hand {
    /// The same seed gives the same picture.
    pub seed: u64,
    /// Unevenness of the hammering: 0 as if ruled, 1 a steady hand, 2 a heavy one.
    pub rough: f64,
    /// Flat grind per face to expect where the history does not reach the next grind yet.
    pub grind: Mm,
}

impl Default for Hand {
    fn default() -> Self {
        Self {
            seed: 1,
            rough: 1.0,
            grind: Mm(0.5),
        }
    }
}

impl Hand {
    /// Perfectly even work: layers stay where the layer tree says.
    #[must_use]
    pub fn ruled() -> Self {
        Self {
            rough: 0.0,
            ..Self::default()
        }
    }
}

/// Waves left by a hammer face or a bite, mm: common practice, no source.
const BITE: f64 = 22.0;

/// A picture of more moves than this is refused nothing, but the moves past it are left out.
const MOST: usize = 4096;

impl Chain {
    /// From the pieces of the first stack, bottom to top, and the moves made since, oldest first.
    ///
    /// A move whose sizes are not finite or not above zero is left out, so that any history gives a
    /// chain.
    #[must_use]
    pub fn new(first: &[StackPiece], history: &[Deformation], hand: Hand) -> Self {
        let strata = Strata::new(first);
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
        };
        let mut size = [1.0, strata.height().max(1e-6), 1.0];
        for (at, done) in history.iter().enumerate().take(MOST) {
            let before = done.before.map(Mm::get);
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
        let (window, beyond, runs_on) = builder.window(&strata);
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
            hand,
            strata,
        }
    }
}

/// True for the moves that pile pieces of the bar on one another.
fn joins(made: &Move) -> bool {
    matches!(made, Move::Restack { .. } | Move::Fold { .. })
}

/// Grooves or dimples that the press may still close.
#[derive(Debug, Clone, Copy)]
struct Open {
    /// Their step; the stretch after it brings the pressed bar to the size that the next steps know.
    at: usize,
    /// That size: width, thickness, length.
    known: [f64; 3],
    /// True once pressed.
    pressed: bool,
}

/// A run of hammering without grinding or restacking between: its unevenness is that of its end.
#[derive(Debug, Clone, Copy)]
struct Run {
    /// Number of the run.
    number: u64,
    /// Its hammering's step.
    at: Option<usize>,
    /// Log squeeze so far.
    squeeze: f64,
}

struct Builder<'a> {
    history: &'a [Deformation],
    hand: Hand,
    steps: Vec<Back>,
    open: Option<Open>,
    run: Option<Run>,
    /// True when layers do not all lie flat across the width any more: y matters.
    across: bool,
    /// True when the layers stand on edge.
    on_edge: bool,
    kerf: f64,
    per_bar: f64,
    skin: f64,
    forging: Forging,
    forged_spine: Option<f64>,
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
        match &done.made {
            Move::Weld { .. } | Move::Draw { .. } | Move::Square { .. } => {
                self.squeeze(at, before, after);
                return true;
            }
            Move::Normalise { .. } | Move::Anneal { .. } => {
                self.steps.push(Back::Stretch(Stretch::new(before, after)));
                return true;
            }
            Move::Trim { ends } => {
                self.steps.push(Back::Along(ends[0].0));
                return true;
            }
            Move::Grind { per_face, .. } => {
                self.grind(per_face.0);
                return true;
            }
            Move::Cut { pieces, kerf, .. } => {
                self.kerf = kerf.0.max(0.0);
                self.per_bar = (f64::from(*pieces) / f64::from(done.pieces.max(1))).max(1.0);
                return true;
            }
            _ => {}
        }
        let first = self.steps.len();
        self.shape(at, done, before, after);
        if self.steps.len() > first {
            self.run = None;
            self.skin = 0.0;
            if !matches!(done.made, Move::Groove { .. } | Move::Dimple { .. }) {
                self.open = None;
            }
        }
        true
    }

    fn seed(&self, at: usize) -> u64 {
        mix(self.hand.seed, at as u64)
    }

    /// Moves that change what lies where.
    fn shape(&mut self, at: usize, done: &Deformation, before: [f64; 3], after: [f64; 3]) {
        let seed = self.seed(at);
        match &done.made {
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
            Move::Frame { bars } => self.frame(bars, after),
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
            Move::Twist { turns, over } => {
                let length = after[2];
                let hot = over.map_or(length, |over| over.0.clamp(1e-6, length));
                let zone = [0.5 * (length - hot), 0.5 * (length + hot)];
                let turns = if turns.is_finite() { *turns } else { 0.0 };
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
            _ => {}
        }
    }

    /// Weld, draw, square up: an even stretch, a bulge, and the hammer's unevenness.
    fn squeeze(&mut self, at: usize, before: [f64; 3], after: [f64; 3]) {
        if let Some(open) = self.open {
            self.press(open, after[1]);
        }
        let log = |from: f64, to: f64| (from / to).ln().max(0.0);
        let flat = log(before[1], after[1]);
        let run = match self.run {
            Some(run) => {
                if let Some(hammer) = run.at {
                    self.steps.remove(hammer);
                }
                run
            }
            None => Run {
                number: at as u64,
                at: None,
                squeeze: 0.0,
            },
        };
        self.steps.push(Back::Stretch(Stretch::new(before, after)));
        if self.across && flat > 0.15 && self.hand.rough > 0.0 {
            self.steps.push(Back::Barrel(Barrel {
                thickness: after[1],
                bulge: (0.05 * flat * self.hand.rough).min(0.08),
            }));
        }
        let squeeze = run.squeeze + flat.max(0.5 * log(before[0], after[0]));
        let seed = mix(self.hand.seed, run.number);
        let hammer = self.hammer(at, seed, after, squeeze);
        self.run = Some(Run {
            at: hammer,
            squeeze,
            ..run
        });
    }

    /// Unevenness of a hammering to `size`; where its step is.
    fn hammer(&mut self, at: usize, seed: u64, size: [f64; 3], squeeze: f64) -> Option<usize> {
        let rough = self.hand.rough * (squeeze / 0.5).clamp(0.3, 1.0);
        if rough <= 0.0 {
            return None;
        }
        let [through, across] = self.ground_next(at, size);
        // A fiftieth of the thickness, up to 0.3 mm, and what grinding takes off in any case.
        let uneven = |thick: f64, ground: f64, weave: f64| Uneven {
            face: (rough * 0.02 * thick.min(15.0)).min(ground / (1.02 * BOUND)),
            inside: rough * weave * thick.min(25.0),
        };
        let z = uneven(size[1], through, 0.012);
        let y = if self.across {
            uneven(size[0], across, 0.02)
        } else {
            Uneven::default()
        };
        self.skin = BOUND * z.face;
        self.steps
            .push(Back::Hammer(Box::new(Hammer::new(seed, size, BITE, z, y))));
        Some(self.steps.len() - 1)
    }

    /// What will be ground off each face before the metal is moved again: through, across.
    fn ground_next(&self, at: usize, size: [f64; 3]) -> [f64; 2] {
        let (mut through, mut across) = (0.0, 0.0);
        for done in self.history.iter().skip(at + 1) {
            match &done.made {
                Move::Grind { per_face, faces } => {
                    through += per_face.0.max(0.0);
                    if *faces == Faces::Four {
                        across += per_face.0.max(0.0);
                    }
                }
                Move::Forge { .. } | Move::RoughGrind { .. } | Move::FinishGrind { .. } => {
                    return [through + 0.1 * size[1], across];
                }
                Move::Weld { .. }
                | Move::Draw { .. }
                | Move::Square { .. }
                | Move::QuarterTurn
                | Move::CornerCrush { .. }
                | Move::Restack { .. }
                | Move::Fold { .. }
                | Move::Frame { .. }
                | Move::Groove { .. }
                | Move::Dimple { .. }
                | Move::Twist { .. }
                | Move::Split { .. } => return [through, across],
                _ => {}
            }
        }
        if through > 0.0 {
            [through, across]
        } else {
            [self.hand.grind.0.clamp(0.0, 0.1 * size[1]), across]
        }
    }

    fn grind(&mut self, off: f64) {
        self.run = None;
        self.skin = (self.skin - off.max(0.0)).max(0.0);
        let Some(open) = &mut self.open else { return };
        if open.pressed {
            // Pressed half-way, then ground: what is open stays open.
            self.open = None;
            return;
        }
        open.known[1] -= 2.0 * off;
        match self.steps.get_mut(open.at) {
            Some(Back::Grooves(map)) => **map = map.as_ref().clone().ground(off),
            Some(Back::Dimples(map)) => **map = map.as_ref().clone().ground(off),
            _ => {}
        }
    }

    /// Grooves or dimples: open until pressed.
    fn opened(&mut self, step: Back, known: [f64; 3]) {
        self.open = Some(Open {
            at: self.steps.len(),
            known,
            pressed: false,
        });
        self.steps.push(step);
        self.steps.push(Back::Stretch(Stretch::new(known, known)));
    }

    /// Presses open grooves to a thickness; the stretch after them keeps the size that later steps know.
    fn press(&mut self, open: Open, to: f64) {
        let [width, thick, length] = open.known;
        if to >= thick {
            return;
        }
        let long = match self.steps.get_mut(open.at) {
            Some(Back::Grooves(map)) => {
                **map = map.as_ref().clone().pressed(to);
                map.long()
            }
            Some(Back::Dimples(map)) => {
                **map = map.as_ref().clone().pressed(to);
                length
            }
            _ => return,
        };
        if let Some(stretch) = self.steps.get_mut(open.at + 1) {
            *stretch = Back::Stretch(Stretch::new([width, to, long], open.known));
        }
        if let Some(open) = &mut self.open {
            open.pressed = true;
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
            step: piece[2] + self.kerf,
            per_bar: self.per_bar,
            lie,
        }));
    }

    fn frame(&mut self, bars: &[FrameBar], after: [f64; 3]) {
        let mut frame = Frame {
            size: [after[0], after[1]],
            ..Frame::default()
        };
        for bar in bars.iter().filter(|bar| bar.thickness.is_positive()) {
            let [edge, spine, bottom, top] = &mut frame.bars;
            let side = match bar.side {
                Side::Edge => edge,
                Side::Spine => spine,
                Side::Bottom => bottom,
                Side::Top => top,
            };
            side.push((bar.thickness.0, bar.steel));
        }
        self.across = true;
        self.steps.push(Back::Frame(Box::new(frame)));
    }

    /// The depths of the first stack that one piece keeps, through even work up to the first restack;
    /// how it goes on in the next piece, and whether just so.
    fn window(&self, strata: &Strata) -> ([f64; 2], Beyond, bool) {
        let height = strata.height();
        let pile = self
            .steps
            .iter()
            .position(|step| matches!(step, Back::Pile(_) | Back::Fold(_)));
        let Some(pile) = pile else {
            return ([0.0, height], Beyond::Hold, false);
        };
        let (thickness, beyond) = match self.steps.get(pile) {
            Some(Back::Pile(map)) if map.lie == Lie::Same => (map.piece[1], Beyond::Repeat),
            Some(Back::Pile(map)) => (map.piece[1], Beyond::Mirror),
            Some(Back::Fold(map)) => (map.thickness, Beyond::Mirror),
            _ => (height, Beyond::Hold),
        };
        let older = self.steps.iter().take(pile).rev();
        let mut ends = [-0.5 * thickness, 0.5 * thickness];
        for step in older {
            match step {
                Back::Stretch(map) => {
                    ends = ends.map(|z| map.back([0.0, 0.0, z])[2]);
                }
                Back::Along(_) | Back::Hammer(_) | Back::Barrel(_) => {}
                _ => return ([0.0, height], Beyond::Mirror, false),
            }
        }
        let [low, high] = ends.map(|z| (z + 0.5 * height).clamp(0.0, height));
        if high - low > 1e-6 * height {
            let one_column = match self.steps.get(pile) {
                Some(Back::Pile(map)) => map.columns < 1.5 && map.lie != Lie::Quarter,
                _ => true,
            };
            ([low, high], beyond, one_column)
        } else {
            ([0.0, height], beyond, false)
        }
    }
}
