//! What grinds and the fire have taken off the faces of the layers, in the thickness of the first draw.

use crate::billet::Billet;
use crate::units::Mm;

/// The faces of the layers on their way.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Worn {
    /// Height of the layers after the first draw, and how far they were thinned by then.
    drawn: Option<(Mm, f64)>,
    /// What had gone off each face when the layers were covered or cut to tiles, and a thickness of then in that
    /// of the first draw.
    gone: Option<(Mm, f64)>,
    /// Height of core and jacket, and how far they were thinned, when they were laid together.
    covered: Option<(Mm, f64)>,
}

impl Worn {
    /// The bar was drawn.
    pub(super) fn draw(&mut self, billet: &Billet) {
        self.drawn
            .get_or_insert((billet.bar.core.layers.height(), billet.thinned));
    }

    /// From here on the faces of the layers are no longer those of this bar.
    pub(super) fn faces_go(&mut self, billet: &Billet) {
        let thinned = self.drawn.map_or(1.0, |(_, thinned)| thinned);
        self.gone = Some((self.since_drawn(billet), thinned / billet.thinned));
    }

    /// The core has its jacket on.
    pub(super) fn covered(&mut self, core: &Billet) {
        self.covered = Some((core.bar.core.layers.height(), core.thinned));
    }

    /// Off the lower and the upper face; of a jacket, off the inner and the outer one.
    pub(super) fn off(&self, billet: &Billet) -> [Mm; 2] {
        let Some((inner, ratio)) = self.gone else {
            return [self.since_drawn(billet); 2];
        };
        let outer = self.covered.map_or(Mm::ZERO, |laid| since(laid, billet));
        [inner, inner + outer * ratio]
    }

    fn since_drawn(&self, billet: &Billet) -> Mm {
        self.drawn.map_or(Mm::ZERO, |drawn| since(drawn, billet))
    }
}

/// Off each face since the layers had a height, of that height.
fn since((height, thinned): (Mm, f64), billet: &Billet) -> Mm {
    let kept = billet.bar.core.layers.height() * (thinned / billet.thinned);
    ((height - kept) / 2.0).max(Mm::ZERO)
}
