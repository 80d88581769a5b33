//! What the metal says of a history: a bar holds what its first stack held, less what welds, trims, cuts and
//! grinds took.
//!
//! `ln(first / now) = welds * WELD + restacks * CUT + grinds`, a grind taking the larger of its usual share and
//! of the outermost bands that it was to take away. All shares are common practice, no source.

use super::history::History;

/// What a weld and its drawing take, as a logarithm, and how far a shop is from that.
const WELD: [f64; 2] = [0.05, 0.02];
/// What trimmed ends and cuts take before a restack, and how far a shop is from that.
const CUT: [f64; 2] = [0.09, 0.05];
/// What a flat grind of both faces takes before a restack.
const GRIND: f64 = 0.07;
/// How far sizes or a mass are off as they are read.
const READ: f64 = 0.02;
/// Least weight of a history that would have left more metal: some may have been cut off since.
const CUT_OFF: f64 = 0.05;

/// What is known of the first stack.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum First {
    /// All of it, mm3.
    Stack(f64),
    /// One layer of it, mm3.
    Layer(f64),
}

/// The metal that was read.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Metal {
    /// The bar in hand, mm3.
    pub now: Option<f64>,
    /// The first stack.
    pub first: Option<First>,
}

/// A volume that follows from a history: its best value, mm3, and its deviation as a logarithm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Volume {
    /// Best value, mm3.
    pub best: f64,
    /// Deviation, as a logarithm.
    pub off: f64,
}

impl Volume {
    /// Least and most, for 95 of 100.
    #[must_use]
    pub fn between(self) -> [f64; 2] {
        let part = (1.96 * self.off).exp();
        [self.best / part, self.best * part]
    }
}

/// What a history takes of the metal, as a logarithm, and how far that is off.
fn taken(history: &History) -> [f64; 2] {
    let outermost = |bands: u64| -(1.0 - 2.0 / bands.max(3) as f64).ln();
    let mut bands = history.first;
    let mut sum = WELD[0];
    for restack in &history.restacks {
        sum += CUT[0] + WELD[0];
        if restack.ground {
            sum += GRIND.max(outermost(bands));
            bands = bands.saturating_sub(2);
        } else {
            sum += GRIND;
        }
        let met = if bands % 2 == 1 {
            restack.pieces.saturating_sub(1)
        } else {
            0
        };
        bands = bands.saturating_mul(restack.pieces).saturating_sub(met);
    }
    if history.ground {
        sum += outermost(bands);
    }
    // a shop that trims much does so each time
    let restacks = history.restacks.len() as f64;
    let off = (WELD[1] * (restacks + 1.0)).hypot(CUT[1] * restacks);
    [sum, off.hypot(READ)]
}

impl Metal {
    /// The bar that a history leaves of the first stack, where that is known.
    #[must_use]
    pub fn left(&self, history: &History) -> Option<Volume> {
        let whole = match self.first? {
            First::Stack(volume) => volume,
            First::Layer(volume) => volume * history.first as f64,
        };
        let [taken, off] = taken(history);
        Some(Volume {
            best: whole / taken.exp(),
            off,
        })
    }

    /// One layer of the first stack that a history made the bar of, where the bar is known.
    #[must_use]
    pub fn layer(&self, history: &History) -> Option<Volume> {
        let [taken, off] = taken(history);
        Some(Volume {
            best: self.now? * taken.exp() / history.first.max(1) as f64,
            off,
        })
    }

    /// How well a history agrees with the metal, of 1; 1 where not enough is known to say.
    pub(super) fn weight(&self, history: &History) -> f64 {
        let (Some(now), Some(left)) = (self.now, self.left(history)) else {
            return 1.0;
        };
        let off = (now / left.best).ln() / left.off;
        let weight = (-0.5 * off * off).exp();
        if off < 0.0 {
            weight.max(CUT_OFF)
        } else {
            weight
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::history::Restack;
    use super::*;

    fn history(first: u64, pieces: &[(u64, bool)], ground: bool) -> History {
        let restacks = pieces.iter().map(|(pieces, ground)| Restack {
            pieces: *pieces,
            ground: *ground,
        });
        History {
            first,
            restacks: restacks.collect(),
            ground,
            bands: 0,
            doubled: 0,
            share: 1.0,
        }
    }

    // By hand, from the shares above: nine layers of 40 x 3 x 150 mm are 162 cm3. Three welds and two restacks
    // take 3 x 0.05 + 2 x 0.09 + 2 x 0.07 = 0.47; exp(-0.47) = 0.6250 leaves 101.3 cm3.
    #[test]
    fn two_restacks_leave_five_eighths() {
        let metal = Metal {
            now: None,
            first: Some(First::Layer(18_000.0)),
        };
        let left = metal
            .left(&history(9, &[(4, false), (4, false)], false))
            .unwrap();
        assert!((left.best - 101_253.0).abs() < 10.0, "{left:?}");
        // hypot(3 x 0.02, 2 x 0.05) = 0.1166, with 0.02 of reading 0.1183
        assert!((left.off - 0.1183).abs() < 1e-4, "{left:?}");
    }

    // By hand: the outermost two of five bands are two fifths, -ln(0.6) = 0.5108; 0.05 + 0.09 + 0.5108 + 0.05
    // = 0.7008. Ground last, of 5 x 3 - 2 x ... : three bands times four, three met, are 9: -ln(7/9) = 0.2513.
    #[test]
    fn outermost_bands_ground_off_a_bar_of_few_take_much() {
        let metal = Metal {
            now: None,
            first: Some(First::Stack(100.0)),
        };
        let first = metal.left(&history(5, &[(4, true)], false)).unwrap();
        assert!((first.best - 100.0 / 0.7008f64.exp()).abs() < 0.01);
        let last = metal.left(&history(5, &[(4, true)], true)).unwrap();
        assert!((last.best - 100.0 / (0.7008f64 + 0.2513).exp()).abs() < 0.01);
    }

    // The bar of the sample plan `kitchen-pair` after its last draw, from its own steps and allowances
    // (`check plans/kitchen-pair.toml`): 201.6 cm3 stacked, 127.7 cm3 drawn; an independent sum of losses.
    #[test]
    fn the_losses_of_a_worked_plan_lie_in_the_range() {
        let metal = Metal {
            now: None,
            first: Some(First::Stack(201_600.0)),
        };
        let left = metal
            .left(&history(9, &[(4, false), (4, false)], false))
            .unwrap();
        let [low, high] = left.between();
        assert!((low..=high).contains(&127_690.0), "{low} to {high}");
    }

    #[test]
    fn more_metal_than_there_was_cannot_be_and_less_may_have_been_cut_off() {
        let of = |now: f64| Metal {
            now: Some(now),
            first: Some(First::Stack(162_000.0)),
        };
        let two = history(9, &[(4, false), (4, false)], false);
        assert!(of(101_000.0).weight(&two) > 0.99);
        assert!(of(162_000.0).weight(&two) < 0.001);
        assert!((of(20_000.0).weight(&two) - 0.05).abs() < 1e-9);
        assert!((Metal::default().weight(&two) - 1.0).abs() < 1e-9);
    }
}
