//! Where in the picture lines run side by side, and which way.
//!
//! The gradients of each block of pixels are summed to a structure tensor; blocks that agree with their
//! neighbours make a region. The largest region at each size of block may be the end.

use super::grey::Grey;
use super::list::{get, whole};

/// Pixels along a side of a block.
const SIDE: usize = 8;
/// Least agreement of the gradients in a block, 0 to 1.
const COHERENT: f32 = 0.45;
/// Cosine of twice the turn from a block to its neighbour: 16 degrees.
const TURN: f32 = 0.85;
/// Fewest blocks of a region.
const FEWEST: usize = 6;

/// The part of a picture with lines side by side.
#[derive(Debug, Clone, Copy)]
pub(super) struct Region {
    /// Its middle, pixels of the whole picture.
    pub(super) middle: [f32; 2],
    /// Direction across the lines, a unit vector.
    pub(super) across: [f32; 2],
    /// Where it begins and ends from the middle, across the lines and along them, pixels.
    pub(super) across_reach: [f32; 2],
    pub(super) along_reach: [f32; 2],
    /// How well its gradients agree in one direction, 0 to 1.
    pub(super) agree: f32,
    /// Pixels along a block's side, in the whole picture.
    pub(super) block: f32,
}

impl Region {
    /// The same with its lines taken the other way.
    pub(super) fn turned(self) -> Self {
        let [x, y] = self.across;
        let [before, after] = self.across_reach;
        Self {
            across: [-y, x],
            across_reach: self.along_reach,
            along_reach: [-after, -before],
            ..self
        }
    }
}

/// Where the end may be, the likeliest first.
pub(super) fn regions(levels: &[Grey]) -> Vec<Region> {
    let sizes = std::iter::successors(Some(SIDE as f32), |size| Some(size * 2.0));
    let mut found: Vec<(f32, Region)> = levels
        .iter()
        .zip(sizes)
        .filter_map(|(grey, size)| largest(grey, size))
        .collect();
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    found.into_iter().map(|(_, region)| region).collect()
}

#[derive(Debug, Clone, Copy, Default)]
struct Tensor {
    xx: f32,
    yy: f32,
    xy: f32,
}

impl Tensor {
    fn plus(self, other: Self, weight: f32) -> Self {
        Self {
            xx: self.xx + other.xx * weight,
            yy: self.yy + other.yy * weight,
            xy: self.xy + other.xy * weight,
        }
    }

    fn energy(self) -> f32 {
        self.xx + self.yy
    }

    /// The direction of the gradient at twice its angle, times its strength.
    fn double(self) -> [f32; 2] {
        [self.xx - self.yy, 2.0 * self.xy]
    }

    fn strength(self) -> f32 {
        let [c, s] = self.double();
        c.hypot(s)
    }

    fn coherence(self) -> f32 {
        self.strength() / (self.energy() + 1e-6)
    }

    fn agrees(self, other: Self) -> bool {
        let ([a, b], [c, d]) = (self.double(), other.double());
        (a * c + b * d) / (self.strength() * other.strength() + 1e-6) > TURN
    }

    /// The direction of the gradient.
    fn direction(self) -> [f32; 2] {
        let [c, s] = self.double();
        let (sin, cos) = (s.atan2(c) / 2.0).sin_cos();
        [cos, sin]
    }
}

/// Tensors of all blocks, each with its neighbours.
struct Blocks {
    across: usize,
    down: usize,
    tensors: Vec<Tensor>,
}

impl Blocks {
    fn of(grey: &Grey) -> Self {
        let (across, down) = (grey.wide / SIDE, grey.high / SIDE);
        let mut tensors = vec![Tensor::default(); across * down];
        let row = |y: usize| {
            grey.shades
                .get(y * grey.wide..(y + 1) * grey.wide)
                .unwrap_or(&[])
        };
        let mut slopes = Slopes::default();
        for y in 1..(down * SIDE).min(grey.high.saturating_sub(1)) {
            slopes.along([row(y - 1), row(y), row(y + 1)]);
            let line = tensors.get_mut((y / SIDE) * across..).unwrap_or(&mut []);
            slopes.add_to(line.get_mut(..across).unwrap_or(&mut []));
        }
        let raw = Self {
            across,
            down,
            tensors,
        };
        let places = (0..across * down).map(|at| (at % across, at / across));
        let tensors = places.map(|place| raw.smooth(place)).collect();
        Self { tensors, ..raw }
    }

    fn around(&self, (x, y): (usize, usize)) -> impl Iterator<Item = usize> + use<> {
        let across = self.across;
        let columns = x.saturating_sub(1)..(x + 2).min(across);
        let rows = y.saturating_sub(1)..(y + 2).min(self.down);
        rows.flat_map(move |y| columns.clone().map(move |x| y * across + x))
    }

    fn smooth(&self, (x, y): (usize, usize)) -> Tensor {
        let own = y * self.across + x;
        let (mut sum, mut total) = (Tensor::default(), 0.0);
        for at in self.around((x, y)) {
            let weight = if at == own { 2.0 } else { 1.0 };
            sum = sum.plus(self.get(at), weight);
            total += weight;
        }
        let pixels = 64.0 * (SIDE * SIDE) as f32;
        Tensor::default().plus(sum, 1.0 / (total * pixels))
    }

    fn get(&self, at: usize) -> Tensor {
        self.tensors.get(at).copied().unwrap_or_default()
    }
}

/// Sobel's gradients along a row of pixels. Each step is a plain loop over the whole row, which the compiler does
/// several pixels at a time.
#[derive(Default)]
struct Slopes {
    /// Over three rows: each pixel's weighed sum, and its step.
    sums: Vec<i16>,
    steps: Vec<i16>,
    /// From the second pixel on.
    across: Vec<i16>,
    down: Vec<i16>,
}

impl Slopes {
    fn along(&mut self, [above, here, below]: [&[u8]; 3]) {
        let (sums, steps) = (&mut self.sums, &mut self.steps);
        let wide = above.len().min(here.len()).min(below.len());
        sums.resize(wide, 0);
        steps.resize(wide, 0);
        let rows = above.iter().zip(here).zip(below);
        for ((sum, step), ((a, h), b)) in sums.iter_mut().zip(steps.iter_mut()).zip(rows) {
            let (a, h, b) = (i16::from(*a), i16::from(*h), i16::from(*b));
            (*sum, *step) = (a + 2 * h + b, b - a);
        }
        // beyond the end of the row the last again
        sums.extend(sums.last().copied());
        steps.extend(steps.last().copied());
        self.across.resize(wide.saturating_sub(1), 0);
        self.down.resize(wide.saturating_sub(1), 0);
        for ((to, before), after) in self.across.iter_mut().zip(&*sums).zip(from(sums, 2)) {
            *to = after - before;
        }
        let three = steps.iter().zip(from(steps, 1)).zip(from(steps, 2));
        for (to, ((before, own), after)) in self.down.iter_mut().zip(three) {
            *to = before + 2 * own + after;
        }
    }

    /// Adds the products of each eight to the tensor of their block.
    fn add_to(&self, tensors: &mut [Tensor]) {
        let eights = |place: usize| {
            let across = from(&self.across, place).as_chunks::<SIDE>().0;
            let down = from(&self.down, place).as_chunks::<SIDE>().0;
            across.iter().zip(down)
        };
        // the first block lies at the border of the picture: its gradients begin with the second pixel
        let all = eights(0).take(1).chain(eights(SIDE - 1));
        for (tensor, (across, down)) in tensors.iter_mut().zip(all) {
            let (mut xx, mut yy, mut xy) = (0i32, 0i32, 0i32);
            for (x, y) in across.iter().zip(down) {
                let (x, y) = (i32::from(*x), i32::from(*y));
                xx += x * x;
                yy += y * y;
                xy += x * y;
            }
            tensor.xx += xx as f32;
            tensor.yy += yy as f32;
            tensor.xy += xy as f32;
        }
    }
}

/// The list from a place on.
fn from(list: &[i16], place: usize) -> &[i16] {
    list.get(place..).unwrap_or(&[])
}

/// The largest region at one size of block, with its score.
fn largest(grey: &Grey, block: f32) -> Option<(f32, Region)> {
    let blocks = Blocks::of(grey);
    if blocks.across < 3 || blocks.down < 3 {
        return None;
    }
    let mut energies: Vec<f32> = blocks
        .tensors
        .iter()
        .map(|tensor| tensor.energy())
        .collect();
    let at = energies.len() * 97 / 100;
    let (_, high, _) = energies.select_nth_unstable_by(at, f32::total_cmp);
    let floor = (*high * 0.06).max(4.0);
    let fits = |tensor: Tensor| tensor.energy() > floor && tensor.coherence() > COHERENT;
    let mut free: Vec<bool> = blocks.tensors.iter().map(|tensor| fits(*tensor)).collect();
    let mut best: (f32, Vec<usize>) = (0.0, Vec::new());
    for start in 0..free.len() {
        let (score, part) = grow(&blocks, &mut free, start);
        if score > best.0 {
            best = (score, part);
        }
    }
    let (score, part) = best;
    (part.len() >= FEWEST).then(|| (score * block * block, region(&blocks, &part, block)))
}

/// Takes the free blocks that agree from one to the next.
fn grow(blocks: &Blocks, free: &mut [bool], start: usize) -> (f32, Vec<usize>) {
    let mut take = |at: usize| free.get_mut(at).is_some_and(std::mem::take);
    let (mut score, mut part) = (0.0, Vec::new());
    let mut queue = Vec::new();
    if take(start) {
        queue.push(start);
    }
    while let Some(at) = queue.pop() {
        let tensor = blocks.get(at);
        part.push(at);
        // beyond this strength an edge is no more of a band
        score += tensor.coherence() * tensor.energy().sqrt().min(14.0);
        for next in blocks.around((at % blocks.across, at / blocks.across)) {
            if tensor.agrees(blocks.get(next)) && take(next) {
                queue.push(next);
            }
        }
    }
    (score, part)
}

fn region(blocks: &Blocks, part: &[usize], block: f32) -> Region {
    let places: Vec<[f32; 2]> = part
        .iter()
        .map(|at| {
            let (x, y) = (at % blocks.across, at / blocks.across);
            [(x as f32 + 0.5) * block, (y as f32 + 0.5) * block]
        })
        .collect();
    let count = places.len().max(1) as f32;
    let middle = places
        .iter()
        .fold([0.0, 0.0], |[a, b], [x, y]| [a + x / count, b + y / count]);
    let along = |[x, y]: [f32; 2], [dx, dy]: [f32; 2]| (x - middle[0]) * dx + (y - middle[1]) * dy;
    let reach = |direction: [f32; 2]| {
        let mut far: Vec<f32> = places
            .iter()
            .map(|place| along(*place, direction))
            .collect();
        far.sort_unstable_by(f32::total_cmp);
        let last = far.len().saturating_sub(1) as f32;
        [get(&far, whole(last * 0.01)), get(&far, whole(last * 0.99))]
    };
    let all = part
        .iter()
        .fold(Tensor::default(), |sum, at| sum.plus(blocks.get(*at), 1.0));
    let [x, y] = all.direction();
    // the direction near the middle counts: the lines are walked from there
    let rough = [-y, x];
    let [left, right] = reach(rough);
    let near = ((right - left).max(block) * 0.15).max(block);
    let central = part
        .iter()
        .zip(&places)
        .filter(|(_, place)| (along(**place, rough) - f32::midpoint(left, right)).abs() < near)
        .fold(Tensor::default(), |sum, (at, _)| {
            sum.plus(blocks.get(*at), 1.0)
        });
    let across = central.direction();
    Region {
        middle,
        across,
        across_reach: reach(across),
        along_reach: reach([-across[1], across[0]]),
        agree: all.coherence(),
        block,
    }
}
