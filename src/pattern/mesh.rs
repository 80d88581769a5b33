//! Shared walks: places at the corners of square cells of pixels, each walked back once, and what lies
//! between four of them.
//!
//! Where all four corners of a cell come from the same piece and their slopes agree, depth between them
//! is the smooth surface through the corners' depths and slopes (the twelve-term cubic of Adini and Clough
//! 1961, from memory: exact for cubics). Where they do not, the cell is cut in four, down to one pixel.
//! Pieces of the oldest pile count as one where the stack goes on from each to the next.

use super::chain::VOID;
use super::picture::Pixel;
use super::scene::Scene;

/// Patch of the tang.
pub(super) const HANDLE: u32 = u32::MAX - 1;

/// Most pixels along one side of a cell, and its largest size, mm.
const MOST: u32 = 8;
const LARGEST: f64 = 0.6;

/// Pixels larger than this are no small part of a hammer's mark, mm.
const COARSE: f64 = 0.2;

/// What one walk back found.
#[derive(Debug, Clone, Copy)]
pub(super) struct WalkEnd {
    pub(super) patch: u32,
    /// Piece of the piles, and of the oldest.
    pub(super) piece: u32,
    pub(super) oldest: u32,
    /// Which bar of the section.
    pub(super) member: u16,
    /// Depth and its slopes to the right and up, on layered metal.
    pub(super) depth: [f64; 3],
    /// The plain steel, elsewhere.
    pub(super) plain: u8,
}

pub(super) const NOTHING: WalkEnd = WalkEnd {
    patch: VOID,
    piece: 0,
    oldest: 0,
    member: 0,
    depth: [0.0; 3],
    plain: Pixel::NONE,
};

impl WalkEnd {
    pub(super) fn is_layered(&self) -> bool {
        self.patch & VOID == 0 && self.plain == Pixel::NONE
    }

    /// Change of depth over one pixel each way.
    fn foot(&self, px: f64) -> f64 {
        let [_, by_u, by_v] = self.depth;
        (by_u.abs() + by_v.abs()) * px
    }
}

/// The corners of a cell: upper left, upper right, lower left, lower right.
pub(super) type Corners = [WalkEnd; 4];

/// What lies between four corners.
#[derive(Debug, Clone, Copy)]
pub(super) enum Between {
    /// The same all over: a plain bar, the tang, nothing.
    Even,
    /// Layers, by the surface through the corners.
    Smooth,
    /// Layers, each pixel by its nearest corner: no surface is worth its cost for two pixels a side.
    Nearest,
    /// Something breaks off, or the slopes do not agree.
    Broken,
}

/// The walks of a row of cells. Rows of corners take turns in a ring, so that the lowest row of one row
/// of cells serves as the uppermost of the next.
pub(super) struct Mesh<'a> {
    scene: &'a Scene,
    stride: usize,
    ring: u32,
    nodes: Vec<WalkEnd>,
    /// Row of each node plus one; 0 for none yet.
    known: Vec<u32>,
}

impl<'a> Mesh<'a> {
    pub(super) fn new(scene: &'a Scene) -> Self {
        let side = scene.cell();
        let stride = (scene.width.div_ceil(side) * side + 1) as usize;
        let count = stride * (side + 1) as usize;
        Self {
            scene,
            stride,
            ring: side + 1,
            nodes: vec![NOTHING; count],
            known: vec![0; count],
        }
    }

    /// The walk from the corner between pixels, by the pixel to its lower right.
    fn node(&mut self, column: u32, row: u32) -> WalkEnd {
        let at = (row % self.ring) as usize * self.stride + column as usize;
        match (self.nodes.get_mut(at), self.known.get_mut(at)) {
            (Some(node), Some(known)) => {
                if *known != row + 1 {
                    *known = row + 1;
                    let [u, v] = self.scene.corner(column, row);
                    *node = self.scene.find(u, v);
                }
                *node
            }
            _ => NOTHING,
        }
    }

    pub(super) fn corners(&mut self, column: u32, row: u32, side: u32) -> Corners {
        [
            self.node(column, row),
            self.node(column + side, row),
            self.node(column, row + side),
            self.node(column + side, row + side),
        ]
    }
}

impl Scene {
    /// Pixels along one side of the largest cells.
    pub(super) fn cell(&self) -> u32 {
        let mut side = MOST;
        while side > 1 && f64::from(side) * self.px > LARGEST {
            side /= 2;
        }
        side
    }

    /// Place of the corner of a pixel.
    fn corner(&self, column: u32, row: u32) -> [f64; 2] {
        [
            self.origin[0] + f64::from(column) * self.px,
            self.origin[1] - f64::from(row) * self.px,
        ]
    }

    /// What lies in a cell of `side` pixels.
    pub(super) fn between(&self, corners: &Corners, side: u32) -> Between {
        let [a, b, c, d] = corners;
        let same = |f: &dyn Fn(&WalkEnd) -> u32| f(a) == f(b) && f(a) == f(c) && f(a) == f(d);
        if !same(&|found| found.patch)
            || !same(&|found| u32::from(found.plain))
            || !same(&|found| u32::from(found.member))
        {
            return Between::Broken;
        }
        let Some(body) = self
            .bodies
            .get(usize::from(a.member))
            .filter(|_| a.is_layered())
        else {
            return Between::Even;
        };
        let foot = corners
            .iter()
            .fold(0.0_f64, |most, found| most.max(found.foot(self.px)));
        let one_piece = same(&|found| found.piece);
        let seam = !one_piece || !same(&|found| found.oldest);
        let [at_seam, elsewhere] = body.fades;
        let fade = if seam && side == 2 {
            at_seam
        } else {
            elsewhere
        };
        let broken = if side > 2 || foot < fade {
            Between::Broken
        } else {
            Between::Nearest
        };
        if !one_piece {
            return broken;
        }
        let h = f64::from(side) * self.px;
        // Pixels that are no small part of a layer take more off for the same, and pairs at a seam.
        let part = if seam && side > 1 || !seam && side == 1 && self.px > COARSE {
            0.5
        } else {
            0.25
        };
        let fine = body.fine.max(part * foot);
        // How far an edge sags, and what a parabola through its slopes misses of its rise.
        let mut sag = 0.0_f64;
        let mut off = 0.0_f64;
        for (from, to, along, sign) in [(a, b, 1, h), (c, d, 1, h), (a, c, 2, -h), (b, d, 2, -h)] {
            let slope = |found: &WalkEnd| match along {
                1 => found.depth[1] * sign,
                _ => found.depth[2] * sign,
            };
            let (from_slope, to_slope) = (slope(from), slope(to));
            sag = sag.max((to_slope - from_slope).abs());
            let rise = to.depth[0] - from.depth[0];
            off = off.max((rise - 0.5 * (from_slope + to_slope)).abs());
        }
        sag *= 0.125;
        if sag > 4.0 * fine || off > fine {
            return broken;
        }
        let [low, high] = body.seams;
        if corners
            .iter()
            .any(|found| found.depth[0] - sag < low || found.depth[0] + sag > high)
            && side > 1
        {
            return broken;
        }
        if side == 2 {
            Between::Nearest
        } else {
            Between::Smooth
        }
    }
}

/// The surface through four corners' depths and slopes, row by row.
#[derive(Debug, Clone, Copy)]
pub(super) struct Surface {
    /// Upper edge and how the lower differs from it, by powers of the share along.
    upper: [f64; 4],
    more: [f64; 4],
    /// What the left and the right edge have over a straight line, by powers of the share down.
    left: [f64; 4],
    right: [f64; 4],
}

/// The cubic from one end's height and slope to the other's.
fn cubic(from: f64, from_slope: f64, to: f64, to_slope: f64) -> [f64; 4] {
    let rise = to - from;
    [
        from,
        from_slope,
        3.0 * rise - 2.0 * from_slope - to_slope,
        from_slope + to_slope - 2.0 * rise,
    ]
}

impl Surface {
    /// Through the corners of a cell `h` mm wide.
    pub(super) fn new([a, b, c, d]: &Corners, h: f64) -> Self {
        let along = |from: &WalkEnd, to: &WalkEnd| {
            cubic(
                from.depth[0],
                h * from.depth[1],
                to.depth[0],
                h * to.depth[1],
            )
        };
        let down = |from: &WalkEnd, to: &WalkEnd| {
            let mut edge = cubic(
                from.depth[0],
                -h * from.depth[2],
                to.depth[0],
                -h * to.depth[2],
            );
            edge[0] = 0.0;
            edge[1] -= to.depth[0] - from.depth[0];
            edge
        };
        let upper = along(a, b);
        let mut more = along(c, d);
        for (more, upper) in more.iter_mut().zip(upper) {
            *more -= upper;
        }
        Self {
            upper,
            more,
            left: down(a, c),
            right: down(b, d),
        }
    }

    /// The row at a share of the way down: depth, and its slope down, by powers of the share along.
    pub(super) fn row(&self, t: f64) -> SurfaceRow {
        let bulge = |k: &[f64; 4]| ((k[3] * t + k[2]) * t + k[1]) * t;
        let steep = |k: &[f64; 4]| (3.0 * k[3] * t + 2.0 * k[2]) * t + k[1];
        let (left, right) = (bulge(&self.left), bulge(&self.right));
        let (left_steep, right_steep) = (steep(&self.left), steep(&self.right));
        let mut depth = self.upper;
        for (depth, more) in depth.iter_mut().zip(self.more) {
            *depth += t * more;
        }
        depth[0] += left;
        depth[1] += right - left;
        let mut down = self.more;
        down[0] += left_steep;
        down[1] += right_steep - left_steep;
        SurfaceRow { depth, down }
    }
}

/// One row of a surface.
#[derive(Debug, Clone, Copy)]
pub(super) struct SurfaceRow {
    depth: [f64; 4],
    down: [f64; 4],
}

impl SurfaceRow {
    /// Depth at a share along, and its slopes along and down, each over the whole cell.
    pub(super) fn at(&self, s: f64) -> [f64; 3] {
        let [a, b, c, d] = self.depth;
        let [e, f, g, h] = self.down;
        [
            ((d * s + c) * s + b) * s + a,
            (3.0 * d * s + 2.0 * c) * s + b,
            ((h * s + g) * s + f) * s + e,
        ]
    }
}
