//! Bands one after the other, found when they are asked for.

use super::{Layers, Shape, SteelId};
use crate::units::Mm;

/// One band and where it lies, in heights above the bottom.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// What it is.
    pub steel: SteelId,
    /// Its lower face.
    pub from: Mm,
    /// Its upper face.
    pub to: Mm,
}

/// The bands from a depth upward; see [`Layers::bands_from`].
#[derive(Debug, Clone)]
pub struct Bands<'a> {
    todo: Vec<Todo<'a>>,
    /// Height of the lower face of what is next.
    at: f64,
    /// A band found but not handed out: more of the same steel may follow.
    held: Option<Band>,
}

/// A subtree still to be walked, the lowest on top of the list.
#[derive(Debug, Clone, Copy)]
struct Todo<'a> {
    of: &'a Layers,
    times: u64,
    flipped: bool,
    scale: f64,
}

impl Layers {
    /// The bands from a depth upward, lowest first; the first one begins at the depth. Finding the
    /// next costs a few nodes, however many there are.
    #[must_use]
    pub fn bands_from(&self, depth: Mm) -> Bands<'_> {
        let root = Todo {
            of: self,
            times: 1,
            flipped: false,
            scale: 1.0,
        };
        let mut walk = Bands {
            todo: vec![root],
            at: 0.0,
            held: None,
        };
        walk.skip_to(depth.0.max(0.0));
        walk
    }
}

impl<'a> Bands<'a> {
    /// Goes down to the layer at the depth; what lies above it stays on the list. One path: when
    /// rounding leaves a depth above the last part of a node, the last part is taken.
    fn skip_to(&mut self, depth: f64) {
        let mut rest = depth;
        let mut beside = 0;
        while let Some(next) = self.todo.pop() {
            let one = next.of.0.sum.height * next.scale;
            let all = one * copies(next.times);
            if all <= rest && self.todo.len() > beside {
                rest -= all;
                continue;
            }
            beside = self.todo.len();
            let mut times = next.times;
            if times > 1 && !next.is_plain() {
                let whole = super::query::whole_below(rest, one, times);
                rest -= whole * one;
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "a whole number from 0 to times - 1"
                )]
                let gone = whole as u64;
                times -= gone;
                if times > 1 {
                    let times = times - 1;
                    self.todo.push(Todo { times, ..next });
                    beside = self.todo.len();
                    self.todo.push(Todo { times: 1, ..next });
                    continue;
                }
            }
            if let Some((steel, height)) = self.open(Todo { times, ..next }) {
                self.at = depth - rest + height;
                self.held = (height > rest).then_some(Band {
                    steel,
                    from: Mm(depth),
                    to: Mm(self.at),
                });
                return;
            }
        }
    }

    /// Opens a subtree one level: its parts go on the list, or it is a layer of one steel.
    fn open(&mut self, next: Todo<'a>) -> Option<(SteelId, f64)> {
        if next.is_plain() {
            let height = next.of.0.sum.height * next.scale * copies(next.times);
            return (next.of.bands() > 0).then_some((next.of.0.sum.first.0, height));
        }
        if next.times > 1 {
            self.todo.push(Todo {
                times: next.times - 1,
                ..next
            });
            self.todo.push(Todo { times: 1, ..next });
            return None;
        }
        let inner = |of, times| Todo { of, times, ..next };
        match &next.of.0.shape {
            Shape::Leaf => {}
            Shape::Cat(cat) if next.flipped => {
                self.todo.extend(cat.parts.iter().map(|of| inner(of, 1)));
            }
            Shape::Cat(cat) => {
                let parts = cat.parts.iter().rev();
                self.todo.extend(parts.map(|of| inner(of, 1)));
            }
            Shape::Rep(of, times) => self.todo.push(inner(of, *times)),
            Shape::Mir(of) => self.todo.push(Todo {
                flipped: !next.flipped,
                ..inner(of, 1)
            }),
            Shape::Scale(of, factor) => self.todo.push(Todo {
                scale: next.scale * factor,
                ..inner(of, 1)
            }),
        }
        None
    }
}

impl Todo<'_> {
    fn is_plain(&self) -> bool {
        self.of.0.sum.bands <= 1
    }
}

#[expect(
    clippy::cast_precision_loss,
    reason = "more copies than a double counts are far below the thickness of an atom"
)]
fn copies(times: u64) -> f64 {
    times as f64
}

impl Iterator for Bands<'_> {
    type Item = Band;

    fn next(&mut self) -> Option<Band> {
        while let Some(next) = self.todo.pop() {
            let Some((steel, height)) = self.open(next) else {
                continue;
            };
            let from = Mm(self.at);
            self.at += height;
            let to = Mm(self.at);
            match &mut self.held {
                Some(held) if held.steel == steel => held.to = to,
                held => {
                    let found = held.replace(Band { steel, from, to });
                    if found.is_some() {
                        return found;
                    }
                }
            }
        }
        self.held.take()
    }
}
