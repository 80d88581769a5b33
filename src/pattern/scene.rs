//! Rendering: every pixel by its exact share, row by row, so that a caller may split rows over threads
//! and stop between them.
//!
//! A pixel walks back once with its slopes and integrates the stack over its own footprint (no
//! moire however fine the layers). Where it straddles a plain bar, an open groove or two patches of a
//! block, four samples of their own are taken.

use std::ops::Range;
use std::sync::Arc;

use super::chain::{Chain, VOID, What};
use super::dual::Dual;
use super::picture::{Picture, Pixel};
use super::strata::Running;
use super::tone::Tone;
use super::view::{Outlook, View};
use crate::billet::SteelId;
use crate::units::Mm;

/// How the steels look.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Look {
    /// Tone of each steel, by [`SteelId`].
    pub tones: Vec<Tone>,
    /// How far nickel has blurred across a seam in the bar as it is now (standard deviation).
    pub nickel_blur: Mm,
    /// How far carbon has evened out (standard deviation); far past a band it leaves no contrast.
    pub carbon_blur: Mm,
    /// Metal cleaned off the face looked at; none for just past the hammer marks.
    pub clean: Option<Mm>,
}

/// Light of what is open, and of the tang.
const PIT: f32 = 0.004;
const TANG: f32 = 0.045;

/// Most pixels along one side of a picture.
pub const MOST_PIXELS: u32 = 16_384;

/// One view of one bar at one size.
#[derive(Debug, Clone)]
pub struct Scene {
    chain: Arc<Chain>,
    outlook: Outlook,
    kept: Running,
    carbon: Running,
    plain: Vec<f32>,
    /// Blur as a window's square in depth of the first stack: nickel, carbon.
    blur: [f64; 2],
    /// Footprint, in depth, up to which a seam between pieces is worth samples of its own, mm.
    jump: f64,
    width: u32,
    height: u32,
    px: f64,
    /// Place of the picture's upper left corner, mm.
    origin: [f64; 2],
}

/// What a pixel's middle meets.
#[derive(Debug, Clone, Copy)]
struct Probe {
    cover: f64,
    patch: u32,
    /// Piece of the piles, where pieces are large against a pixel; else 0.
    piece: u32,
    light: f32,
    steel: u8,
}

impl Probe {
    /// True when nothing breaks off between two neighbours.
    fn runs_on(&self, other: &Self) -> bool {
        other.cover <= 0.0 || (self.patch == other.patch && self.piece == other.piece)
    }
}

const EMPTY: Probe = Probe {
    cover: 0.0,
    patch: u32::MAX,
    piece: 0,
    light: 0.0,
    steel: Pixel::NONE,
};

impl Scene {
    /// Fits the view into `size` pixels (width, height; at most [`MOST_PIXELS`] each) with a small
    /// margin round it.
    #[must_use]
    pub fn new(chain: Arc<Chain>, view: View, look: &Look, size: [u32; 2]) -> Self {
        let outlook = Outlook::new(&chain, view, look.clean);
        let [width, height] = size.map(|s| s.clamp(1, MOST_PIXELS));
        let [low_u, high_u, low_v, high_v] = outlook.extent();
        let px = ((high_u - low_u) / (0.96 * f64::from(width)))
            .max((high_v - low_v) / (0.96 * f64::from(height)))
            .max(1e-9);
        let tone = |steel: SteelId| look.tones.get(steel.index()).copied().unwrap_or(DULL);
        let run = |value: &dyn Fn(SteelId) -> f64| {
            Running::new(&chain.strata, chain.window, chain.beyond, value)
        };
        let fine = chain.fineness();
        let blur = |sd: Mm| 12.0 * (sd.0.max(0.0) * fine).powi(2);
        Self {
            kept: run(&|steel| tone(steel).kept),
            carbon: run(&|steel| tone(steel).carbon),
            plain: (0..=u8::MAX)
                .map(|steel| single(tone(SteelId(steel)).whole()))
                .collect(),
            jump: 0.2 * (chain.window[1] - chain.window[0]),
            blur: [blur(look.nickel_blur), blur(look.carbon_blur)],
            width,
            height,
            px,
            origin: [
                0.5 * (low_u + high_u) - 0.5 * px * f64::from(width),
                0.5 * (low_v + high_v) + 0.5 * px * f64::from(height),
            ],
            chain,
            outlook,
        }
    }

    /// The same view closer, about a place given as shares of the picture's width and height.
    #[must_use]
    pub fn closer(mut self, times: f64, at: [f64; 2]) -> Self {
        let times = if times.is_finite() {
            times.clamp(1e-3, 1e6)
        } else {
            1.0
        };
        let [x, y] = at.map(|s| {
            if s.is_finite() {
                s.clamp(0.0, 1.0)
            } else {
                0.5
            }
        });
        let (w, h) = (f64::from(self.width), f64::from(self.height));
        let centre = [
            self.origin[0] + x * w * self.px,
            self.origin[1] - y * h * self.px,
        ];
        self.px /= times;
        self.origin = [centre[0] - 0.5 * w * self.px, centre[1] + 0.5 * h * self.px];
        self
    }

    /// Pixels across and down.
    #[must_use]
    pub fn size(&self) -> [u32; 2] {
        [self.width, self.height]
    }

    /// Size of a pixel on the metal.
    #[must_use]
    pub fn mm_per_px(&self) -> Mm {
        Mm(self.px)
    }

    /// The place on the metal at a pixel's middle: to the right and up, mm.
    #[must_use]
    pub fn place(&self, x: u32, y: u32) -> [Mm; 2] {
        self.middle(x, y).map(Mm)
    }

    /// The whole picture, on this thread.
    #[must_use]
    pub fn render(&self) -> Picture {
        self.picture(self.render_rows(0..self.height))
    }

    /// A picture from all its rows.
    #[must_use]
    pub fn picture(&self, pixels: Vec<Pixel>) -> Picture {
        Picture {
            width: self.width,
            height: self.height,
            pixels,
            mm_per_px: Mm(self.px),
        }
    }

    /// Some rows, from the top. How the rows are split changes nothing in them.
    #[must_use]
    pub fn render_rows(&self, rows: Range<u32>) -> Vec<Pixel> {
        let rows = rows.start.min(self.height)..rows.end.min(self.height);
        let mut out = Vec::with_capacity(rows.len() * self.width as usize);
        let mut above = match rows.start.checked_sub(1) {
            Some(row) => self.probe_row(row),
            None => vec![EMPTY; self.width as usize],
        };
        let mut here = self.probe_row(rows.start);
        for row in rows {
            let below = self.probe_row(row + 1);
            for (column, probe) in (0_u32..).zip(&here) {
                let near = |line: &[Probe], at: Option<u32>| {
                    at.and_then(|at| line.get(at as usize))
                        .is_none_or(|other| probe.runs_on(other))
                };
                let whole = near(&here, column.checked_sub(1))
                    && near(&here, Some(column + 1))
                    && near(&above, Some(column))
                    && near(&below, Some(column));
                out.push(self.pixel(column, row, probe, whole));
            }
            above = std::mem::replace(&mut here, below);
        }
        out
    }

    fn middle(&self, x: u32, y: u32) -> [f64; 2] {
        [
            self.origin[0] + (f64::from(x) + 0.5) * self.px,
            self.origin[1] - (f64::from(y) + 0.5) * self.px,
        ]
    }

    fn probe_row(&self, row: u32) -> Vec<Probe> {
        if row >= self.height {
            return vec![EMPTY; self.width as usize];
        }
        (0..self.width)
            .map(|column| self.probe(column, row))
            .collect()
    }

    fn probe(&self, column: u32, row: u32) -> Probe {
        let [u, v] = self.middle(column, row);
        let cover = self.outlook.cover(u, v, self.px);
        if cover <= 0.0 {
            return EMPTY;
        }
        self.sample(u, v, self.px, cover)
    }

    /// One sample with a square footprint.
    fn sample(&self, u: f64, v: f64, side: f64, cover: f64) -> Probe {
        if self.outlook.is_tang(u) {
            return Probe {
                cover,
                patch: u32::MAX - 1,
                piece: 0,
                light: TANG,
                steel: Pixel::NONE,
            };
        }
        let p = self
            .outlook
            .point(Dual::<2>::variable(u, 0), Dual::variable(v, 1));
        let spot = self.chain.back(p);
        let mut piece = 0;
        let (light, steel) = match spot.what {
            What::Layer(depth) => {
                let [a, b] = depth.d.map(|slope| (slope * side).abs());
                if a + b < self.jump {
                    piece = spot.piece;
                }
                (self.seen(depth.v, a, b), self.steel(depth.v))
            }
            What::Plain(steel) => (
                self.plain.get(steel.index()).copied().unwrap_or(PIT),
                steel.0,
            ),
            What::Void => (PIT, Pixel::NONE),
        };
        Probe {
            cover,
            patch: spot.patch,
            piece,
            light,
            steel,
        }
    }

    fn steel(&self, depth: f64) -> u8 {
        let strata = &self.chain.strata;
        strata
            .steel(strata.layer(depth))
            .map_or(Pixel::NONE, |steel| steel.0)
    }

    /// Light of the layers about a depth over a footprint, softened by what has diffused.
    fn seen(&self, depth: f64, a: f64, b: f64) -> f32 {
        let [nickel, carbon] = self.blur;
        let soft = |blur: f64| {
            if blur > 0.0 {
                ((a * a + blur).sqrt(), b)
            } else {
                (a, b)
            }
        };
        let (ka, kb) = soft(nickel);
        let (ca, cb) = soft(carbon);
        single(self.kept.seen(depth, ka, kb) + self.carbon.seen(depth, ca, cb))
    }

    fn pixel(&self, column: u32, row: u32, probe: &Probe, whole: bool) -> Pixel {
        if probe.cover <= 0.0 {
            return Pixel {
                steel: Pixel::NONE,
                ..Pixel::default()
            };
        }
        let void = |patch: u32| patch == VOID && self.outlook.sees_through();
        let (mut light, mut metal) = (probe.light, f64::from(u8::from(!void(probe.patch))));
        if !whole {
            let [u, v] = self.middle(column, row);
            let (mut sum, mut weight) = (0.0_f32, 0.0_f32);
            for (du, dv) in [(-0.25, -0.25), (0.25, -0.25), (-0.25, 0.25), (0.25, 0.25)] {
                let (u, v) = (u + du * self.px, v + dv * self.px);
                let sample = self.sample(u, v, 0.5 * self.px, 1.0);
                if !void(sample.patch) {
                    sum += sample.light;
                    weight += 1.0;
                }
            }
            light = if weight > 0.0 { sum / weight } else { 0.0 };
            metal = f64::from(weight) / 4.0;
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a share of 255"
        )]
        let metal = (255.0 * metal * probe.cover).round().clamp(0.0, 255.0) as u8;
        Pixel {
            light,
            metal,
            steel: probe.steel,
        }
    }
}

/// A steel that nothing is known of.
const DULL: Tone = Tone {
    kept: 0.2,
    carbon: 0.0,
};

fn single(light: f64) -> f32 {
    #[expect(clippy::cast_possible_truncation, reason = "a tone needs no more")]
    let light = light.clamp(0.0, 1.0) as f32;
    light
}
