//! The section of a bar of several: which bar lies where, and what a line through it meets.

use super::bar::{Bar, Member, Side, Stand};
use super::layers::{Layers, SteelId};
use crate::units::Mm;

impl Bar {
    /// The bar that lies at a place of the section, counted from the edge side and from the bottom, and the
    /// place in its own core.
    #[must_use]
    pub fn place(&self, across: Mm, through: Mm) -> (&Self, [Mm; 2]) {
        let mut bar = self;
        let mut at = [across, through];
        while let Some((on, place)) = bar.on_which(at) {
            (bar, at) = (&on.bar, place);
        }
        let [across, through] = at;
        let core = [
            across - bar.frame_on(Side::Edge),
            through - bar.frame_on(Side::Bottom),
        ];
        (bar, core)
    }

    /// The steel at a place of the section, where its layers are flat.
    #[must_use]
    pub fn steel_at(&self, across: Mm, through: Mm) -> Option<SteelId> {
        let (bar, [across, through]) = self.place(across, through);
        bar.core.layers.at(match bar.core.stand {
            Stand::Flat => through,
            // On edge the sequence runs from the spine side.
            Stand::OnEdge => bar.core_width() - across,
        })
    }

    /// The bar on a side that a place lies in, and the place in it; none in the core.
    fn on_which(&self, [across, through]: [Mm; 2]) -> Option<(&Member, [Mm; 2])> {
        let ([mut left, mut low], [mut right, mut high]) =
            ([Mm::ZERO; 2], [self.width, self.thickness]);
        for on in self.outside_in() {
            let size = on.thickness();
            let inside = match on.side {
                Side::Edge => across < left + size,
                Side::Spine => across >= right - size,
                Side::Bottom => through < low + size,
                Side::Top => through >= high - size,
            };
            match on.side {
                Side::Spine => right = right - size,
                Side::Top => high = high - size,
                _ => {}
            }
            if inside {
                let corner = match on.side {
                    Side::Spine => [right, low],
                    Side::Top => [left, high],
                    Side::Edge | Side::Bottom => [left, low],
                };
                return Some((on, [across - corner[0], through - corner[1]]));
            }
            match on.side {
                Side::Edge => left += size,
                Side::Bottom => low += size,
                _ => {}
            }
        }
        None
    }

    /// The bars on its sides from the outside in: of each frame first those that run past the others.
    fn outside_in(&self) -> impl Iterator<Item = &Member> {
        let ring = |ring: u16, long: bool| {
            let of = self.frame.iter().rev();
            of.filter(move |on| on.ring == ring && on.long == long)
        };
        let rings = (1..=self.rings()).rev();
        rings.flat_map(move |at| ring(at, true).chain(ring(at, false)))
    }

    /// The band in the middle of the thickness just behind the plain steel on the edge side, where others lie
    /// above and below it: how thick it is, and how far its middle lies off that of the bar. Of a jacketed
    /// core it is the core.
    #[must_use]
    pub fn middle_band(&self) -> Option<(Mm, Mm)> {
        let line = self.through(self.plain_on(Side::Edge) + self.core_width() * 1e-3);
        let middle = self.thickness / 2.0;
        let band = line.bands_from(Mm::ZERO).find(|band| band.to > middle)?;
        let rim = self.thickness.0 * 1e-6;
        (band.from.0 > rim && band.to.0 < self.thickness.0 - rim)
            .then(|| (band.to - band.from, (band.from + band.to) / 2.0 - middle))
    }

    /// What a line straight through the thickness meets, bottom to top, so far from the edge side. Where
    /// layers are bent, their sequence is taken as it lay before.
    #[must_use]
    pub fn through(&self, across: Mm) -> Layers {
        let mut bounds = vec![Mm::ZERO, self.thickness];
        self.seams(Mm::ZERO, &mut bounds);
        bounds.sort_by(|a, b| a.0.total_cmp(&b.0));
        let parts = bounds.windows(2).filter_map(|pair| {
            let (from, to) = (*pair.first()?, *pair.last()?);
            let middle = (from + to) / 2.0;
            let (bar, [side, place]) = self.place(across, middle);
            let (low, high) = (place - (middle - from), place + (to - middle));
            let layers = &bar.core.layers;
            match bar.core.stand {
                Stand::Flat => {
                    let scale = bar.core_thickness() / layers.height();
                    let above = (layers.height() - high / scale).max(Mm::ZERO);
                    layers
                        .trimmed((low / scale).max(Mm::ZERO), above)
                        .ok()
                        .map(|cut| cut.scaled(scale))
                }
                Stand::OnEdge => {
                    let steel = layers.at(bar.core_width() - side)?;
                    Some(Layers::leaf(steel, to - from))
                }
            }
        });
        Layers::pile(parts.collect())
    }

    /// A quarter-turn: the face that was up goes to the edge.
    pub(super) fn lay_on_side(&mut self) {
        std::mem::swap(&mut self.width, &mut self.thickness);
        for on in &mut self.frame {
            on.side = match on.side {
                Side::Top => Side::Edge,
                Side::Edge => Side::Bottom,
                Side::Bottom => Side::Spine,
                Side::Spine => Side::Top,
            };
            on.bar.lay_on_side();
        }
        self.core.blocks.reverse();
        match self.core.stand {
            Stand::Flat => self.core.stand = Stand::OnEdge,
            Stand::OnEdge => {
                // The edge goes to the bottom, so what ran from spine to edge now runs top to bottom.
                self.core.stand = Stand::Flat;
                self.core.layers = self.core.layers.mirrored();
            }
        }
    }

    /// What a line straight across the width meets, edge to spine, so far from the bottom.
    #[must_use]
    pub fn across(&self, through: Mm) -> Layers {
        let mut turned = self.clone();
        turned.lay_on_side();
        turned.through(self.thickness - through)
    }

    /// Heights of the seams between bars, anywhere in the section.
    fn seams(&self, bottom: Mm, bounds: &mut Vec<Mm>) {
        let (mut low, mut high) = (bottom, bottom + self.thickness);
        for on in self.outside_in() {
            match on.side {
                Side::Edge | Side::Spine => on.bar.seams(low, bounds),
                Side::Bottom => {
                    on.bar.seams(low, bounds);
                    low += on.thickness();
                    bounds.push(low);
                }
                Side::Top => {
                    high = high - on.thickness();
                    on.bar.seams(high, bounds);
                    bounds.push(high);
                }
            }
        }
    }
}
