//! Under the cursor: which steel, how thick its band is there, how deep it lies.

use super::chain::What;
use super::dual::Dual;
use super::first_stack::{Beyond, FirstStack};
use super::scene::Scene;
use crate::billet::SteelId;
use crate::units::Mm;

/// What lies at a place of a view.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Under {
    pub steel: SteelId,
    /// Thickness of its band, square to the band; none for a plain bar.
    pub band: Option<Mm>,
    /// Piece of the first stack, 1 at the bottom; none for a plain bar.
    pub piece: Option<usize>,
    /// Depth below the upper side of the view.
    pub depth: Mm,
}

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
    /// What lies at a place of this view (to the right and up, as [`Scene::place`] gives it); none off
    /// the metal and in an open groove.
    #[must_use]
    pub fn under(&self, [u, v]: [Mm; 2]) -> Option<Under> {
        let [.., high] = self.outlook.extent();
        let depth = Mm(high - v.0);
        if self.outlook.is_tang(u.0) || self.outlook.column(u.0, 1e-6).cover(v.0, 1e-6) < 0.5 {
            return None;
        }
        let p = self.outlook.point_off(
            Dual::<3>::variable(u.0, 0),
            Dual::variable(v.0, 1),
            Dual::variable(0.0, 2),
        );
        let spot = self.chain.back(p);
        let part = self.chain.part(spot.member);
        match spot.what {
            What::Layer(at) => {
                let first_stack = &part.first_stack;
                let [low, high] = part.window;
                let layer = first_stack.layer(at.v.min(high).max(low));
                let fine = at.d.iter().map(|s| s * s).sum::<f64>().sqrt();
                let thick = first_stack.band(layer, part.window, part.beyond);
                Some(Under {
                    steel: first_stack.steel(layer)?,
                    band: (fine > 0.0).then(|| Mm(thick / fine)),
                    piece: Some(layer + 1),
                    depth,
                })
            }
            What::Plain(steel) => Some(Under {
                steel,
                band: None,
                piece: None,
                depth,
            }),
            What::Void => None,
        }
    }

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

impl FirstStack {
    /// Thickness of the band that a layer belongs to inside a window, like neighbours merged, also
    /// with the next piece of a pile.
    fn band(&self, layer: usize, [low, high]: [f64; 2], beyond: Beyond) -> f64 {
        let Some(steel) = self.steel(layer) else {
            return 0.0;
        };
        let kept = self.between(low, high);
        let whole = self.between(0.0, low).len();
        // The first kept layer is the one that the window's bottom cuts.
        let first = self.layer(low).min(whole);
        let at = layer
            .saturating_sub(first)
            .min(kept.len().saturating_sub(1));
        let run = |parts: &mut dyn Iterator<Item = &(SteelId, f64)>| -> f64 {
            parts
                .take_while(|part| part.0 == steel)
                .map(|part| part.1)
                .sum()
        };
        let down: f64 = run(&mut kept.iter().take(at).rev());
        let own = kept.get(at).map_or(0.0, |part| part.1);
        let up: f64 = run(&mut kept.iter().skip(at + 1));
        let reaches = |to: f64, of: f64| (to - of).abs() < 1e-9;
        let below: f64 = kept.iter().take(at).map(|part| part.1).sum();
        let above: f64 = kept.iter().skip(at + 1).map(|part| part.1).sum();
        let mut sum = down + own + up;
        if reaches(up, above) {
            sum += match beyond {
                Beyond::Hold => 0.0,
                Beyond::Repeat => run(&mut kept.iter()),
                Beyond::Mirror => run(&mut kept.iter().rev()),
            };
        }
        if reaches(down, below) {
            sum += match beyond {
                Beyond::Hold => 0.0,
                Beyond::Repeat => run(&mut kept.iter().rev()),
                Beyond::Mirror => run(&mut kept.iter()),
            };
        }
        sum
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
        let under = scene.under([Mm(3.0), Mm(7.5 / 3.0 - 7.0)]).unwrap();
        assert_eq!((under.steel, under.piece), (SteelId(1), Some(2)));
        assert!(under.band.unwrap().near(Mm(1.0), 1e-9));
        assert!(under.depth.near(Mm(14.0 - 2.5), 1e-9));
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
        // Just over the lowest seam: two outer layers of 2 mm are one band of 4.
        let under = scene.under([Mm(0.0), Mm(-14.0 + 0.3)]).unwrap();
        assert_eq!(under.steel, SteelId(0));
        assert!(under.band.unwrap().near(Mm(4.0), 1e-9), "{under:?}");
        assert_eq!(scene.bands_down(Mm(0.0), 1000).len(), 33);
    }
}
