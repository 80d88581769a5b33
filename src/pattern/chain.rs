//! The way back: every step that moved metal, newest first, from a point of the bar to its depth in
//! the first stack. The cost of a point is the number of steps, never the number of layers.

use super::dual::{Dual, Num};
use super::first_stack::{Beyond, FirstStack};
use super::map::barrel::Barrel;
use super::map::corner::Corner;
use super::map::dimple::Drops;
use super::map::fold::Fold;
use super::map::frame::{Frame, On};
use super::map::groove::Ladder;
use super::map::hammer::Hammer;
use super::map::jacket::Jacket;
use super::map::pile::Pile;
use super::map::split::Split;
use super::map::stretch::Stretch;
use super::map::tiles::Tiles;
use super::map::turn;
use super::map::twist::Twist;
use crate::billet::SteelId;
use crate::units::Mm;

/// One step back.
#[derive(Debug, Clone)]
pub(crate) enum Back {
    /// Ends cut off: so much was taken at the held end, mm.
    Along(f64),
    Stretch(Stretch),
    Hammer(Box<Hammer>),
    Barrel(Barrel),
    Turn,
    /// Plain steel past this place along the bar, mm.
    Cap {
        from: f64,
        steel: SteelId,
    },
    Corner(Corner),
    Pile(Pile),
    Fold(Fold),
    Frame(Box<Frame>),
    Jacket(Box<Jacket>),
    Tiles(Tiles),
    Grooves(Box<Ladder>),
    Dimples(Box<Drops>),
    Twist(Box<Twist>),
    Split(Split),
}

/// Why a walk ends before the first stack.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Stop {
    /// In a plain bar.
    Plain(SteelId),
    /// In an open groove or dimple.
    Void,
    /// In a bar that was joined on, which has its own way back from here.
    Member(u16),
}

impl From<On> for Stop {
    fn from(on: On) -> Self {
        match on {
            On::Plain(steel) => Self::Plain(steel),
            On::Member(which) => Self::Member(which),
        }
    }
}

/// Which pieces a walk has come through.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Trail {
    patch: u32,
    /// Of every pile but the one met last.
    piece: u32,
    last: u32,
}

impl Trail {
    fn through(&mut self, which: u32, block: bool) {
        self.piece = self.piece.wrapping_mul(31).wrapping_add(self.last);
        self.last = which;
        if block {
            self.patch = self.patch.wrapping_mul(31).wrapping_add(which + 1);
        }
    }
}

impl Back {
    /// One step back in place, or why it is the last. Nothing large is returned: the walk is the
    /// innermost loop of a picture.
    #[inline]
    pub(crate) fn back<T: Num>(&self, p: &mut [T; 3], trail: &mut Trail) -> Option<Stop> {
        match self {
            Self::Along(off) => p[0] = p[0] + *off,
            Self::Stretch(map) => *p = map.back(*p),
            Self::Hammer(map) => *p = map.back(*p),
            Self::Barrel(map) => *p = map.back(*p),
            Self::Cap { from, steel } => {
                if p[0].value() >= *from {
                    return Some(Stop::Plain(*steel));
                }
            }
            Self::Turn => *p = turn::quarter(*p),
            Self::Corner(map) => *p = map.back(*p),
            Self::Pile(map) => {
                let (next, which, block) = map.back(*p);
                *p = next;
                trail.through(which, block);
            }
            Self::Fold(map) => {
                let (next, which) = map.back(*p);
                *p = next;
                trail.through(which, false);
            }
            Self::Frame(map) => {
                let (next, on) = map.back(*p);
                *p = next;
                return on.map(Stop::from);
            }
            Self::Jacket(map) => {
                let (next, on) = map.back(*p);
                *p = next;
                return on.map(Stop::from);
            }
            Self::Tiles(map) => {
                let (next, which) = map.back(*p);
                *p = next;
                trail.through(which, true);
            }
            Self::Grooves(map) => match map.back(*p) {
                Some(next) => *p = next,
                None => return Some(Stop::Void),
            },
            Self::Dimples(map) => match map.back(*p) {
                Some(next) => *p = next,
                None => return Some(Stop::Void),
            },
            Self::Twist(map) => *p = map.back(*p),
            Self::Split(map) => *p = map.back(*p),
        }
        None
    }
}

/// What lies at a point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum What<T> {
    /// Layered metal, at this depth above the bottom of the first stack, mm.
    Layer(T),
    /// A plain bar.
    Plain(SteelId),
    /// Nothing: an open groove or dimple.
    Void,
}

/// What lies at a point, and in which patch of the pattern: across a change of patch depths do not run
/// on.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Spot<T> {
    pub(crate) what: What<T>,
    pub(crate) patch: u32,
    /// Which piece of every pile but the oldest: across a change the figure jumps, though the depth may
    /// run on.
    pub(crate) piece: u32,
    /// Which piece of the oldest pile, from the bottom, where the stack goes on in the next one as told
    /// by [`Beyond`]; else 0, and the piece is that of every pile.
    pub(crate) oldest: u32,
    /// Which bar of the joined one: 0 for the core, else its number among the members.
    pub(crate) member: u16,
}

/// Patch of a plain bar (with its steel), and of what is open.
pub(crate) const PLAIN: u32 = 0x4000_0000;
pub(crate) const VOID: u32 = 0x8000_0000;

/// The way from a bar back to its first stack.
#[derive(Debug, Clone)]
pub struct Chain {
    /// Newest first.
    pub(crate) steps: Vec<Back>,
    pub(crate) first_stack: FirstStack,
    /// Outside width, thickness, length of the bar, mm.
    pub(crate) size: [f64; 3],
    /// Depths of the first stack that one piece keeps, and how it goes on past them.
    pub(crate) window: [f64; 2],
    pub(crate) beyond: Beyond,
    /// True when the pieces of the oldest pile lie one on the other just so, but for unevenness.
    pub(crate) runs_on: bool,
    /// How deep the unevenness of the last hammering reaches from a face, mm: what cleaning takes off.
    pub(crate) skin: f64,
    /// What the forging of the blade has come to.
    pub(crate) forging: super::blade::Forging,
    /// Thickness of the spine as forged, where the steps say it, mm.
    pub(crate) forged_spine: Option<f64>,
    /// Its far end is wrapped with plain steel: the point lies there.
    pub(crate) capped: bool,
    /// How the work is done.
    pub(crate) hand: super::hand::Hand,
    /// The layered bars that were joined on at any time, each with its own way back; they have no members
    /// of their own.
    pub(crate) members: Vec<Chain>,
}

impl Chain {
    /// Outside width, thickness and length of the bar.
    #[must_use]
    pub fn size(&self) -> [Mm; 3] {
        self.size.map(Mm)
    }

    /// The steel at a point of the bar: x from the held end, y across and z through from the middle.
    /// None in an open groove.
    #[must_use]
    pub fn steel_at(&self, x: Mm, y: Mm, z: Mm) -> Option<SteelId> {
        let spot = self.back([x.0, y.0, z.0]);
        let first_stack = &self.part(spot.member).first_stack;
        match spot.what {
            What::Layer(depth) => first_stack.steel(first_stack.layer(depth)),
            What::Plain(steel) => Some(steel),
            What::Void => None,
        }
    }

    /// Depth in the first stack of a point of the bar; none in a plain bar or an open groove.
    #[must_use]
    pub fn depth_at(&self, x: Mm, y: Mm, z: Mm) -> Option<Mm> {
        match self.back([x.0, y.0, z.0]).what {
            What::Layer(depth) => Some(Mm(depth)),
            _ => None,
        }
    }

    /// The bar of a number: the core, or a member.
    #[inline]
    pub(crate) fn part(&self, member: u16) -> &Self {
        let at = usize::from(member).checked_sub(1);
        at.and_then(|at| self.members.get(at)).unwrap_or(self)
    }

    /// Every bar of the section that has layers, the core first.
    pub(crate) fn parts(&self) -> impl Iterator<Item = &Self> {
        std::iter::once(self).chain(&self.members)
    }

    /// Walks a point back.
    pub(crate) fn back<T: Num>(&self, mut p: [T; 3]) -> Spot<T> {
        let mut trail = Trail::default();
        let mut member = 0;
        let mut part = self;
        let mut steps = self.steps.iter();
        while let Some(step) = steps.next() {
            let (what, patch) = match step.back(&mut p, &mut trail) {
                None => continue,
                Some(Stop::Member(which)) => {
                    member = which;
                    part = self.part(which);
                    steps = part.steps.iter();
                    trail.through(u32::from(which), true);
                    continue;
                }
                Some(Stop::Plain(steel)) => (What::Plain(steel), PLAIN | u32::from(steel.0)),
                Some(Stop::Void) => (What::Void, VOID),
            };
            return Spot {
                what,
                patch,
                piece: 0,
                oldest: 0,
                member: 0,
            };
        }
        let (piece, oldest) = if part.runs_on {
            (trail.piece, trail.last)
        } else {
            (trail.piece.wrapping_mul(31).wrapping_add(trail.last), 0)
        };
        Spot {
            what: What::Layer(p[2] + 0.5 * part.first_stack.height()),
            patch: trail.patch & !(PLAIN | VOID),
            piece,
            oldest,
            member,
        }
    }

    /// A depth in one piece of the oldest pile, as a depth that runs on through all of them.
    #[inline]
    pub(crate) fn run_on<T: Num>(&self, depth: T, oldest: u32) -> T {
        let [low, high] = self.window;
        let below = f64::from(oldest) * (high - low);
        if self.beyond == Beyond::Mirror && oldest % 2 == 1 {
            -depth + (below + high + low)
        } else {
            depth + below
        }
    }

    /// Depth in the first stack with its slopes along x, y and z; none off the layers.
    pub(crate) fn slopes(&self, [x, y, z]: [f64; 3]) -> Option<Dual<3>> {
        let p = [
            Dual::variable(x, 0),
            Dual::variable(y, 1),
            Dual::variable(z, 2),
        ];
        match self.back(p).what {
            What::Layer(depth) => Some(depth),
            _ => None,
        }
    }
}

impl Chain {
    /// Depth of first stack to a millimetre across the layers of one bar of the section: how often they
    /// have been thinned. The middle of nine places, or of as many as lie in a member.
    pub(crate) fn fineness(&self, member: u16) -> f64 {
        let [w, t, l] = self.size;
        let fine: [f64; 15] =
            std::array::from_fn(|n| (f64::from(u8::try_from(n).unwrap_or(0)) - 7.0) / 15.3);
        let places: &[f64] = if self.members.is_empty() {
            &[-0.31, 0.02, 0.27]
        } else {
            &fine
        };
        let here = |p: &[f64; 3]| self.members.is_empty() || self.back(*p).member == member;
        let section = places
            .iter()
            .flat_map(|y| places.iter().map(move |z| (*y, *z)));
        let whole = !self.members.is_empty();
        let mut found: Vec<f64> = section
            .filter(|(y, z)| whole || (y - z).abs() < 1e-9)
            .flat_map(|(y, z)| [0.21, 0.5, 0.77].map(|x| [x * l, y * w, z * t]))
            .filter(here)
            .filter_map(|p| self.slopes(p))
            .map(|d| d.d.iter().map(|g| g * g).sum::<f64>().sqrt())
            .filter(|g| g.is_finite())
            .collect();
        found.sort_by(f64::total_cmp);
        found.get(found.len() / 2).copied().unwrap_or(1.0)
    }
}
