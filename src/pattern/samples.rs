//! Billets worked by hand for the tests: sizes follow from volume.

use crate::billet::{
    Arrange, Deformation, Faces, FrameBar, Groove, Hand, Move, Part, Side, Sizes, Skin, StackPiece,
    SteelId,
};
use crate::metal::Composition;
use crate::units::{Fraction, Mm};

use super::blade::BladeShape;
use super::scene::Look;
use super::tone::Tone;

/// A bar being worked.
pub(crate) struct Shop {
    pub(crate) first: Vec<StackPiece>,
    pub(crate) history: Vec<Deformation>,
    pub(crate) size: [f64; 3],
    pub(crate) pieces: u32,
    /// Open inside the outside sizes, mm3.
    pub(crate) void: f64,
}

/// Alternating pieces, the first steel outside.
pub(crate) fn alternating(count: usize, a: f64, b: f64) -> Vec<StackPiece> {
    (0..count)
        .map(|n| StackPiece {
            steel: SteelId(u8::from(n % 2 == 1)),
            thickness: Mm(if n % 2 == 0 { a } else { b }),
        })
        .collect()
}

pub(crate) fn look() -> Look {
    let dark = Composition {
        c: 0.84,
        mn: 0.75,
        ..Composition::default()
    };
    let bright = Composition {
        c: 0.75,
        mn: 0.4,
        ni: 2.0,
        ..Composition::default()
    };
    let plain = Composition {
        c: 0.95,
        mn: 0.4,
        ..Composition::default()
    };
    let soft = Composition {
        c: 0.05,
        mn: 0.3,
        ..Composition::default()
    };
    Look {
        tones: [dark, bright, plain, soft]
            .iter()
            .map(|steel| Tone::of(steel, 0.8))
            .collect(),
        ..Look::default()
    }
}

pub(crate) fn shape(length: f64, width: f64, spine: f64, tip: f64) -> BladeShape {
    BladeShape {
        length: Mm(length),
        width: Mm(width),
        spine: Mm(spine),
        spine_tip: Mm(tip),
        edge: Mm(0.3),
        bevel: 1.0,
        tang: Some([Mm(40.0), Mm(12.0)]),
        ground: Mm(0.5),
        off: Mm(0.0),
    }
}

impl Shop {
    pub(crate) fn new(first: Vec<StackPiece>, width: f64, length: f64) -> Self {
        let height = first.iter().map(|p| p.thickness.0).sum();
        Self {
            first,
            history: Vec::new(),
            size: [width, height, length],
            pieces: 1,
            void: 0.0,
        }
    }

    pub(crate) fn made(mut self, made: Move, after: [f64; 3]) -> Self {
        self.history.push(Deformation {
            made,
            before: self.size.map(Mm),
            after: after.map(Mm),
            pieces: self.pieces,
            skin: Skin::default(),
            joined: Vec::new(),
        });
        self.size = after;
        self
    }

    fn volume(&self) -> f64 {
        self.size.iter().product::<f64>() - self.void
    }

    pub(crate) fn draw(self, width: f64, thickness: f64) -> Self {
        let length = self.volume() / (width * thickness);
        let to = Sizes::default();
        let scale = Fraction(0.0);
        self.made(Move::Draw { to, scale }, [width, thickness, length])
    }

    pub(crate) fn square(self, width: f64, thickness: f64) -> Self {
        let length = self.volume() / (width * thickness);
        let to = Sizes::default();
        let scale = Fraction(0.0);
        self.made(Move::Square { to, scale }, [width, thickness, length])
    }

    pub(crate) fn grind(self, off: f64, faces: Faces) -> Self {
        let [w, t, l] = self.size;
        let side = if faces == Faces::Four { 2.0 * off } else { 0.0 };
        let per_face = Mm(off);
        self.made(
            Move::Grind { per_face, faces },
            [w - side, t - 2.0 * off, l],
        )
    }

    pub(crate) fn trim(self, end: f64) -> Self {
        let [w, t, l] = self.size;
        let ends = [Mm(end), Mm(end)];
        self.made(Move::Trim { ends }, [w, t, l - 2.0 * end])
    }

    pub(crate) fn cut(mut self, pieces: u32, kerf: f64) -> Self {
        let [w, t, l] = self.size;
        let length = (l - kerf * f64::from(pieces - 1)) / f64::from(pieces);
        let made = Move::Cut {
            pieces,
            length: None,
            kerf: Mm(kerf),
            keep_rest: false,
        };
        self = self.made(made, [w, t, length]);
        self.pieces = pieces;
        self
    }

    pub(crate) fn restack(mut self, arrange: Arrange) -> Self {
        let [w, t, l] = self.size;
        let (columns, rows) = match arrange {
            Arrange::Block { columns, rows, .. } => (columns, rows),
            _ => (1, self.pieces),
        };
        let after = [w * f64::from(columns), t * f64::from(rows), l];
        self = self.made(Move::Restack { arrange }, after);
        self.pieces = 1;
        self
    }

    pub(crate) fn forge(self, part: Part) -> Self {
        let size = self.size;
        let to = Sizes::default();
        let scale = Fraction(0.0);
        self.made(Move::Forge { part, to, scale }, size)
    }

    /// Nine layers, restacked four and four: 45 x 5 bar.
    pub(crate) fn random() -> Self {
        Self::new(alternating(9, 6.0, 3.0), 40.0, 120.0)
            .draw(40.0, 14.0)
            .trim(10.0)
            .grind(0.5, Faces::Two)
            .cut(4, 2.0)
            .restack(Arrange::Pile)
            .draw(40.0, 14.0)
            .trim(10.0)
            .grind(0.5, Faces::Two)
            .cut(4, 2.0)
            .restack(Arrange::Pile)
            .draw(45.0, 5.0)
    }

    /// Up to the grooves: 17 layers, restacked three and two.
    pub(crate) fn before_grooves() -> Self {
        Self::new(alternating(17, 3.175, 1.5875), 31.75, 127.0)
            .draw(31.75, 12.7)
            .trim(9.5)
            .grind(0.8, Faces::Two)
            .cut(3, 1.6)
            .restack(Arrange::Pile)
            .draw(31.75, 12.7)
            .trim(9.5)
            .grind(0.8, Faces::Two)
            .cut(2, 1.6)
            .restack(Arrange::Pile)
            .draw(31.75, 9.525)
    }

    pub(crate) fn grooves(mut self) -> Self {
        let size = self.size;
        self.void = 48.0 * std::f64::consts::FRAC_PI_4 * 4.7625 * 2.381 * size[0];
        self.made(
            Move::Groove {
                count: 24,
                width: Mm(4.7625),
                depth: Mm(2.381),
                pitch: Mm(9.525),
                shape: Groove::Round,
            },
            size,
        )
    }

    /// Grooves pressed flat past their floor.
    pub(crate) fn ladder() -> Self {
        Self::before_grooves().grooves().draw(31.75, 6.35)
    }

    pub(crate) fn raindrop() -> Self {
        let mut bar = Self::before_grooves();
        let size = bar.size;
        bar.void = 220.0 * std::f64::consts::PI * 3.5 * 3.5 * 2.4 / 3.0;
        bar.made(
            Move::Dimple {
                count: 110,
                diameter: Mm(7.0),
                depth: Mm(2.4),
                pressed: false,
            },
            size,
        )
        .draw(31.75, 6.0)
    }

    pub(crate) fn twist() -> Self {
        let bar = Self::new(alternating(13, 3.0, 2.0), 30.0, 100.0)
            .draw(30.0, 15.0)
            .trim(8.0)
            .grind(0.5, Faces::Two)
            .cut(2, 2.0)
            .restack(Arrange::Pile)
            .draw(16.0, 16.0);
        let size = bar.size;
        bar.made(
            Move::Twist {
                turns: size[2] / 32.0,
                over: None,
                from: None,
                hand: Hand::Right,
            },
            size,
        )
        .square(15.0, 15.0)
        .grind(1.0, Faces::Four)
        .draw(24.0, 6.0)
    }

    /// Corner-crushed square, a block of four turned, framed.
    pub(crate) fn turned() -> Self {
        let bar = Self::new(alternating(13, 5.0, 2.0), 30.0, 90.0).draw(24.0, 24.0);
        let length = bar.volume() / (23.0 * 23.0);
        let to = Sizes::default();
        let scale = Fraction(0.0);
        let bar = bar
            .made(Move::CornerCrush { to, scale }, [23.0, 23.0, length])
            .trim(10.0)
            .grind(0.75, Faces::Four)
            .cut(4, 2.0)
            .restack(Arrange::Block {
                columns: 2,
                rows: 2,
                turned: true,
            })
            .draw(30.0, 18.0)
            .trim(8.0)
            .grind(0.5, Faces::Four);
        let [w, t, l] = bar.size;
        let frame = |side, thickness| FrameBar::plain(side, SteelId(2), Mm(thickness));
        bar.made(
            Move::Frame {
                bars: vec![frame(Side::Edge, 10.0), frame(Side::Spine, 6.0)],
                fit: false,
            },
            [w + 16.0, t, l],
        )
        .draw(32.0, 18.0)
        .cut(2, 2.0)
        .forge(Part::Bolster)
        .forge(Part::Tang)
        .forge(Part::Blade)
        .forge(Part::Bevels)
    }

    pub(crate) fn feather() -> Self {
        let bar = Self::new(alternating(25, 2.0, 1.6), 40.0, 110.0)
            .draw(40.0, 20.0)
            .trim(8.0)
            .grind(0.5, Faces::Two)
            .cut(4, 2.0)
            .restack(Arrange::Pile);
        let [w, t, l] = bar.size;
        bar.made(Move::Split { angle: 35.0 }, [w, l, t])
            .draw(38.0, 8.0)
    }

    pub(crate) fn three_layer() -> Self {
        let piece = |steel, thickness| StackPiece {
            steel: SteelId(steel),
            thickness: Mm(thickness),
        };
        let stack = vec![piece(3, 8.0), piece(0, 5.0), piece(3, 8.0)];
        Self::new(stack, 40.0, 110.0).draw(42.0, 7.0).trim(10.0)
    }
}
