//! A bar brought to other sizes, its core, frame and grooves with it.

use crate::billet::{Bar, Billet, Figure, Stand};
use crate::units::{Mm, Mm3};

/// Width, thickness and length of one piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Outside {
    pub(super) width: Mm,
    pub(super) thickness: Mm,
    pub(super) length: Mm,
}

impl Outside {
    pub(super) fn of(bar: &Bar) -> Self {
        Self {
            width: bar.width,
            thickness: bar.thickness,
            length: bar.length,
        }
    }

    pub(super) fn volume(self) -> Mm3 {
        self.width * self.thickness * self.length
    }
}

/// Open space as a mean height over the face of the bar, and how deep it reaches, when the bar is
/// brought to a thickness: the floors of grooves stay where they are while the lands come down, so
/// the depth shrinks by what the thickness does, and the open height in proportion. Grooves run
/// across the face and stretch with it.
pub(super) fn hollow_at(bar: &Bar, thickness: Mm) -> (Mm, Mm) {
    let open = bar.void / (bar.width * bar.length);
    if !bar.void.is_positive() || !bar.depth.is_positive() {
        return (open.max(Mm::ZERO), Mm::ZERO);
    }
    let depth = (bar.depth - (bar.thickness - thickness).max(Mm::ZERO)).max(Mm::ZERO);
    (open * (depth / bar.depth), depth)
}

/// Works one piece of the billet to an outside: frames and layers follow, evenly over the section.
pub(super) fn work_to(billet: &mut Billet, to: Outside) {
    let bar = &mut billet.bar;
    let across = to.width / bar.width;
    let through = to.thickness / bar.thickness;
    let (open, depth) = hollow_at(bar, to.thickness);
    let along = to.length / bar.length;
    let core = (bar.core.figure, bar.core.stand);
    stretch(bar, to);
    bar.void = to.width * to.length * open;
    bar.depth = depth;
    billet.thinned *= match core {
        (Figure::Tiled, _) => along,
        (_, Stand::Flat) => through,
        (_, Stand::OnEdge) => across,
    };
}

/// Brings a bar and every bar on it to an outside.
pub(super) fn stretch(bar: &mut Bar, to: Outside) {
    let across = to.width / bar.width;
    let through = to.thickness / bar.thickness;
    let along = to.length / bar.length;
    for on in &mut bar.frame {
        // It was cut with the whole.
        on.bar.length = bar.length;
        let to = Outside {
            width: on.bar.width * across,
            thickness: on.bar.thickness * through,
            length: to.length,
        };
        stretch(&mut on.bar, to);
    }
    bar.width = to.width;
    bar.thickness = to.thickness;
    bar.length = to.length;
    if let Some(cap) = &mut bar.cap {
        cap.length = cap.length * along;
    }
    let (ratio, core) = match (bar.core.figure, bar.core.stand) {
        (Figure::Tiled, _) => (along, Mm::ZERO),
        (_, Stand::Flat) => (through, bar.core_thickness()),
        (_, Stand::OnEdge) => (across, bar.core_width()),
    };
    bar.core.layers = match bar.core.figure {
        Figure::Flat if core.is_positive() => bar.core.layers.scaled_to(core),
        _ => bar.core.layers.scaled(ratio),
    };
}

/// The thickness at which metal of a mean height fills a bar, with open space that depends on the
/// thickness. By bisection: metal only grows with thickness as long as grooves do not overlap.
pub(super) fn thickness_for(metal: Mm, hollow: impl Fn(Mm) -> Mm) -> Mm {
    let (mut low, mut high) = (metal, metal + hollow(Mm(1e9)));
    for _ in 0..100 {
        let middle = (low + high) / 2.0;
        if middle - hollow(middle) < metal {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}
