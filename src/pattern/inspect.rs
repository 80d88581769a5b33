//! Under the cursor: which steel, and the bands on a way through.

use super::chain::What;
use super::scene::Scene;
use crate::billet::SteelId;
use crate::units::Mm;

/// A band met on a straight way through a view.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Met {
    /// The steel; none in an open groove.
    pub steel: Option<SteelId>,
    /// Where the way enters it, below the upper side.
    pub from: Mm,
    /// Where the way leaves it.
    pub to: Mm,
}

impl Scene {
    /// The steel at a place of this view.
    #[must_use]
    pub fn steel_at(&self, [u, v]: [Mm; 2]) -> Option<SteelId> {
        let spot = self.chain.back(self.outlook.point(u.0, v.0));
        match spot.what {
            What::Layer(depth) => {
                let part = self.chain.part(spot.member);
                let ([low, high], first_stack) = (part.window, &part.first_stack);
                first_stack.steel(first_stack.layer(depth.min(high).max(low)))
            }
            What::Plain(steel) => Some(steel),
            What::Void => None,
        }
    }

    /// The bands met on the way down at `u`, from the upper side on, at most `most` of them. Bands
    /// finer than a two-thousandth of the height may be passed over.
    #[must_use]
    pub fn bands_down(&self, u: Mm, most: usize) -> Vec<Met> {
        const STEPS: u32 = 4000;
        let [.., low, high] = self.outlook.extent();
        let step = (high - low) / f64::from(STEPS);
        let place = |depth: f64| [u, Mm(high - depth)];
        let mut met: Vec<Met> = Vec::new();
        for n in 0..STEPS {
            let depth = (f64::from(n) + 0.5) * step;
            let [_, v] = place(depth);
            let covered = self.outlook.column(u.0, 1e-6).cover(v.0, 1e-6) >= 0.5;
            if !covered {
                continue;
            }
            let steel = self.steel_at(place(depth));
            match met.last_mut() {
                Some(last) if last.steel == steel => last.to = Mm(depth + 0.5 * step),
                Some(last) => {
                    let seam = self.seam(last.steel, place, depth - step, depth);
                    last.to = Mm(seam);
                    if met.len() >= most {
                        return met;
                    }
                    met.push(Met {
                        steel,
                        from: Mm(seam),
                        to: Mm(depth + 0.5 * step),
                    });
                }
                None => met.push(Met {
                    steel,
                    from: Mm(depth - 0.5 * step),
                    to: Mm(depth + 0.5 * step),
                }),
            }
        }
        met
    }

    /// Where a steel ends between two depths, by halving.
    fn seam(
        &self,
        steel: Option<SteelId>,
        place: impl Fn(f64) -> [Mm; 2],
        mut here: f64,
        mut beyond: f64,
    ) -> f64 {
        for _ in 0..24 {
            let middle = 0.5 * (here + beyond);
            if self.steel_at(place(middle)) == steel {
                here = middle;
            } else {
                beyond = middle;
            }
        }
        0.5 * (here + beyond)
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::pattern::samples::{Shop, alternating, look};
    use crate::pattern::{Chain, Hand, View};

    fn scene(shop: &Shop) -> Scene {
        let chain = Chain::new(&shop.first, &shop.history, Hand::ruled());
        Scene::new(Arc::new(chain), View::End, &look(), [100, 40])
    }

    #[test]
    fn a_band_of_a_drawn_stack_is_its_piece_made_thinner() {
        let shop = Shop::new(alternating(9, 6.0, 3.0), 40.0, 120.0).draw(40.0, 14.0);
        let scene = scene(&shop);
        // Stack 42 -> 14: a third. Second piece from the bottom: 6..9 of 42.
        let steel = scene.steel_at([Mm(3.0), Mm(7.5 / 3.0 - 7.0)]);
        assert_eq!(steel, Some(SteelId(1)));
        let met = scene.bands_down(Mm(0.0), 100);
        assert_eq!(met.len(), 9);
        for (n, band) in met.iter().enumerate() {
            let thick = if n % 2 == 0 { 2.0 } else { 1.0 };
            assert!((band.to - band.from).near(Mm(thick), 1e-3), "{band:?}");
        }
        assert_eq!(scene.bands_down(Mm(0.0), 4).len(), 4);
    }

    #[test]
    fn like_faces_merge_across_a_restack() {
        let shop = Shop::new(alternating(9, 6.0, 3.0), 40.0, 120.0)
            .draw(40.0, 14.0)
            .cut(4, 2.0)
            .restack(crate::billet::Arrange::Pile);
        let scene = scene(&shop);
        let met = scene.bands_down(Mm(0.0), 1000);
        assert_eq!(met.len(), 33);
        // At the seams two outer layers of 2 mm are one band of 4.
        let thick = met
            .iter()
            .filter(|band| (band.to - band.from).near(Mm(4.0), 1e-2));
        assert_eq!(thick.count(), 3);
    }
}
