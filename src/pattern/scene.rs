//! One view of one bar at one size: all that a renderer of rows needs.

use std::sync::Arc;

use super::chain::Chain;
use super::first_stack::{Beyond, Running};
use super::picture::{Picture, Pixel};
use super::tone::Tone;
use super::view::{Column, Outlook, View};
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
    /// How deep the etch has eaten: a shallow one shows little of the contrast, a deep one moves the
    /// lines of a shallow bevel. None for full contrast on the ground face.
    pub etch: Option<Mm>,
}

/// Most pixels along one side of a picture.
pub const MOST_PIXELS: u32 = 16_384;

/// The layers of one bar of the section.
#[derive(Debug, Clone)]
pub(super) struct Body {
    /// What stays sharp, and what blurs with carbon where that differs.
    pub(super) kept: Running,
    pub(super) carbon: Option<Running>,
    /// Blur as a window's square in depth of the first stack: nickel, carbon.
    pub(super) blur: [f64; 2],
    /// Footprints, in depth, past which two pixels need no walks of their own: where a seam runs
    /// between them, and where the slopes do not agree, mm.
    pub(super) fades: [f64; 2],
    /// Depths past which a place comes from another piece; endless where there is one alone.
    pub(super) seams: [f64; 2],
    /// Mean height of two layers, mm.
    pub(super) pitch: f64,
    /// Depth that may be off unseen: a part of the mean layer, mm.
    pub(super) fine: f64,
}

/// One view of one bar at one size.
#[derive(Debug, Clone)]
pub struct Scene {
    pub(super) chain: Arc<Chain>,
    pub(super) outlook: Outlook,
    /// The bars of the section that have layers, by their number in the chain.
    pub(super) bodies: Vec<Body>,
    /// What the outline covers, column by column.
    pub(super) columns: Vec<Column>,
    pub(super) plain: Vec<f32>,
    /// Samples along one side of a pixel that something breaks off in.
    pub(super) finer: u32,
    pub(super) width: u32,
    pub(super) height: u32,
    pub(super) px: f64,
    /// Place of the picture's upper left corner, mm.
    pub(super) origin: [f64; 2],
}

impl Scene {
    /// Fits the view into `size` pixels (width, height; at most [`MOST_PIXELS`] each) with a small
    /// margin round it.
    #[must_use]
    pub fn new(chain: Arc<Chain>, view: View, look: &Look, size: [u32; 2]) -> Self {
        let depth = look.etch.map_or(0.0, |depth| depth.0.max(0.0));
        let outlook = Outlook::new(&chain, view, look.clean).etched(depth);
        let [width, height] = size.map(|s| s.clamp(1, MOST_PIXELS));
        let [low_u, high_u, low_v, high_v] = outlook.extent();
        let px = ((high_u - low_u) / (0.96 * f64::from(width)))
            .max((high_v - low_v) / (0.96 * f64::from(height)))
            .max(1e-9);
        let contrast = look.etch.map_or(1.0, |_| 1.0 - (-depth / FIRST_TONE).exp());
        let mean = look.tones.iter().map(Tone::whole).sum::<f64>()
            / f64::from(u32::try_from(look.tones.len()).unwrap_or(1).max(1));
        let tone = |steel: SteelId| {
            let full = look.tones.get(steel.index()).copied().unwrap_or(DULL);
            Tone {
                kept: mean + (full.kept - mean) * contrast,
                carbon: full.carbon * contrast,
            }
        };
        let together = look.carbon_blur.near(look.nickel_blur, 0.0);
        let kept = |steel| {
            if together {
                tone(steel).whole()
            } else {
                tone(steel).kept
            }
        };
        let carbon = |steel| tone(steel).carbon;
        let body = |(at, part): (usize, &Chain)| {
            let run = |value: &dyn Fn(SteelId) -> f64| {
                Running::new(&part.first_stack, part.window, part.beyond, value)
            };
            let pitch = 2.0 * part.first_stack.mean();
            let fine = chain.fineness(u16::try_from(at).unwrap_or(0));
            let blur = |sd: Mm| 12.0 * (sd.0.max(0.0) * fine).powi(2);
            Body {
                kept: run(&kept),
                carbon: (!together).then(|| run(&carbon)),
                blur: [blur(look.nickel_blur), blur(look.carbon_blur)],
                fades: [FADES[0] * pitch, FADES[1] * pitch],
                seams: if part.beyond == Beyond::Hold || part.runs_on {
                    [f64::NEG_INFINITY, f64::INFINITY]
                } else {
                    part.window
                },
                pitch,
                fine: 0.06 * part.first_stack.mean(),
            }
        };
        let mut scene = Self {
            bodies: chain.parts().enumerate().map(body).collect(),
            columns: Vec::new(),
            plain: (0..=u8::MAX)
                .map(|steel| single(tone(SteelId(steel)).whole()))
                .collect(),
            finer: 2,
            width,
            height,
            px,
            origin: [
                0.5 * (low_u + high_u) - 0.5 * px * f64::from(width),
                0.5 * (low_v + high_v) + 0.5 * px * f64::from(height),
            ],
            chain,
            outlook,
        };
        scene.fill_columns();
        scene
    }

    pub(super) fn fill_columns(&mut self) {
        self.columns = (0..self.width)
            .map(|x| self.outlook.column(self.middle(x, 0)[0], self.px))
            .collect();
    }

    /// The same with at least so many samples (4 to 64) in a pixel that a seam, a plain bar or a groove
    /// runs through. Every other pixel takes its exact share of the layers, whatever this says.
    #[must_use]
    pub fn with_samples(mut self, samples: u32) -> Self {
        self.finer = (2..8).find(|n| n * n >= samples).unwrap_or(8);
        self
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
        self.fill_columns();
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

    pub(super) fn middle(&self, x: u32, y: u32) -> [f64; 2] {
        [
            self.origin[0] + (f64::from(x) + 0.5) * self.px,
            self.origin[1] - (f64::from(y) + 0.5) * self.px,
        ]
    }
}

/// Etch depth at which two thirds of the contrast stand, mm: common practice, no source.
const FIRST_TONE: f64 = 0.015;

/// Footprints past which two pixels need no walks of their own, in pairs of layers: at a seam, nobody
/// sees which of the two it runs through; where the slopes do not agree, the lines fade.
const FADES: [f64; 2] = [0.25, 1.5];

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
