//! Which histories end in a count: a first stack of so many layers, restacks of so many pieces, and outermost
//! bands ground away before a pile.
//!
//! Two steels by turns. An odd stack has the same steel on both faces: piled, like faces meet and are one band.
//! An even stack is piled the same way up, and unlike faces meet. Plain counting; no model of a bar.

use std::ops::RangeInclusive;

pub use super::metal::{First, Metal, Volume};

/// Histories that are listed.
pub const MOST: usize = 12;
/// Most bands that a history may reach on its way.
const CEILING: u64 = 100_000;
/// Layers of a first stack whose bars may be ground: of fewer, grinding soon reaches a doubled band.
const LEAST_GROUND: u64 = 5;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Restack {
    /// Pieces of the pile.
    pub pieces: u64,
    /// The outermost bands were ground away first.
    pub ground: bool,
}

/// What may have been done, from the first stack to the bar in hand.
#[derive(Debug, Clone, PartialEq)]
pub struct History {
    /// Layers of the first stack.
    pub first: u64,
    /// The restacks, in order.
    pub restacks: Vec<Restack>,
    /// The outermost bands of the bar in hand were ground away.
    pub ground: bool,
    /// Bands that it shows.
    pub bands: u64,
    /// Bands of double height, where like faces met.
    pub doubled: u64,
    /// How likely beside the others listed, of 1: an estimate by common practice, no source.
    pub share: f64,
}

impl History {
    /// Pieces multiplied.
    #[must_use]
    pub fn nominal(&self) -> u64 {
        self.restacks.iter().fold(self.first, |sum, restack| {
            sum.saturating_mul(restack.pieces)
        })
    }

    /// True when both faces are of the same steel.
    #[must_use]
    pub fn has_like_faces(&self) -> bool {
        self.bands % 2 == 1
    }

    /// In words: `9 layers, restacked 4 and 4 (outermost bands ground away first)`.
    #[must_use]
    pub fn words(&self) -> String {
        let mut out = format!("{} layers", self.first);
        for (at, restack) in self.restacks.iter().enumerate() {
            out += if at == 0 { ", restacked " } else { " and " };
            out += &restack.pieces.to_string();
            if restack.ground {
                out += " (outermost bands ground away first)";
            }
        }
        if self.ground {
            out += ", outermost bands ground away last";
        }
        out
    }
}

/// What is asked.
#[derive(Debug, Clone)]
pub struct Asked {
    /// Bands that were counted.
    pub bands: RangeInclusive<u64>,
    /// Layers that the first stack may have had.
    pub first: RangeInclusive<u64>,
    /// Pieces that a restack may have had.
    pub pieces: RangeInclusive<u64>,
    /// Most restacks.
    pub restacks: usize,
    /// Doubled bands that were seen, if any were looked for.
    pub doubled: Option<u64>,
    /// The metal that was read.
    pub metal: Metal,
}

/// The histories that fit, the likeliest first; at most [`MOST`].
#[must_use]
pub fn histories(asked: &Asked) -> Vec<History> {
    let mut found = Vec::new();
    for first in asked.first.clone() {
        let begin = History {
            first,
            restacks: Vec::new(),
            ground: false,
            bands: first,
            doubled: 0,
            share: 1.0,
        };
        follow(asked, &begin, &mut found);
    }
    found.sort_by(|a, b| b.share.total_cmp(&a.share).then(a.first.cmp(&b.first)));
    found.truncate(MOST);
    let whole: f64 = found.iter().map(|history| history.share).sum();
    for history in &mut found {
        history.share /= whole;
    }
    found
}

/// The bar without its outermost bands, where it has enough.
fn ground(history: &History) -> Option<History> {
    (history.bands > 4 && history.first >= LEAST_GROUND).then(|| History {
        bands: history.bands - 2,
        ..history.clone()
    })
}

fn follow(asked: &Asked, history: &History, found: &mut Vec<History>) {
    let last = ground(history).map(|bar| History {
        ground: true,
        ..bar
    });
    for bar in std::iter::once(history.clone()).chain(last) {
        if asked.bands.contains(&bar.bands) {
            let share = weight(asked, &bar);
            found.push(History { share, ..bar });
        }
    }
    if history.restacks.len() >= asked.restacks {
        return;
    }
    for (was_ground, bar) in [(false, Some(history.clone())), (true, ground(history))] {
        let Some(bar) = bar else { continue };
        for pieces in asked.pieces.clone() {
            let met = if bar.has_like_faces() { pieces - 1 } else { 0 };
            let bands = bar.bands.saturating_mul(pieces).saturating_sub(met);
            if bands > CEILING || bands > asked.bands.end().saturating_add(2) {
                break;
            }
            let mut restacks = bar.restacks.clone();
            restacks.push(Restack {
                pieces,
                ground: was_ground,
            });
            let doubled = bar.doubled * pieces + met;
            follow(
                asked,
                &History {
                    restacks,
                    bands,
                    doubled,
                    ..bar.clone()
                },
                found,
            );
        }
    }
}

/// How likely a history is beside others: common practice, no source. Few restacks, piles of three to five and
/// odd first stacks are usual; bands get thin enough to be ground through late, not early; the middle of the
/// counted range is likelier than its ends.
fn weight(asked: &Asked, history: &History) -> f64 {
    let mut weight = 0.6f64.powf(history.restacks.len() as f64);
    for (at, restack) in history.restacks.iter().enumerate() {
        weight *= match restack.pieces {
            3..=5 => 1.0,
            2 | 6 => 0.6,
            _ => 0.3,
        };
        if restack.ground {
            weight *= if at == 0 { 0.15 } else { 0.6 };
        }
    }
    if history.ground {
        weight *= if history.restacks.is_empty() {
            0.2
        } else {
            0.5
        };
    }
    if history.first.is_multiple_of(2) {
        weight *= 0.4;
    }
    let (low, high) = (*asked.bands.start() as f64, *asked.bands.end() as f64);
    let half = ((high - low) / 2.0).max(1.0);
    let off = (history.bands as f64 - f64::midpoint(low, high)) / half;
    weight *= (-0.5 * off * off).exp();
    if let Some(seen) = asked.doubled {
        let off = (history.doubled as f64 - seen as f64) / (1.0 + 0.3 * seen as f64);
        weight *= (-0.5 * off * off).exp().max(0.02);
    }
    weight * asked.metal.weight(history)
}

/// What one more look at the bar would tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Look {
    /// Count the bands of double height.
    Doubled,
    /// See whether both faces are of the same steel.
    Faces,
    /// Count the bands again, to the last one.
    Bands,
    /// Weigh or measure the bar.
    Bar,
    /// Find out what one layer of the first stack weighed or measured.
    Layer,
}

impl Look {
    /// What it would show of a history: a count, or a volume; none where that does not follow.
    #[must_use]
    pub fn shows(self, history: &History, metal: &Metal) -> Option<Volume> {
        let count = |count: u64| {
            Some(Volume {
                best: count as f64,
                off: 0.0,
            })
        };
        match self {
            Self::Doubled => count(history.doubled),
            Self::Faces => count(u64::from(history.has_like_faces())),
            Self::Bands => count(history.bands),
            Self::Bar if metal.now.is_none() => metal.left(history),
            Self::Layer if metal.first.is_none() => metal.layer(history),
            Self::Bar | Self::Layer => None,
        }
    }

    /// True where it would tell two histories apart: counts that differ, volumes two deviations apart.
    fn parts(self, a: &History, b: &History, metal: &Metal) -> bool {
        match (self.shows(a, metal), self.shows(b, metal)) {
            (Some(a), Some(b)) if a.off > 0.0 && b.off > 0.0 => {
                (a.best / b.best).ln().abs() > 2.0 * a.off.hypot(b.off)
            }
            (Some(a), Some(b)) => (a.best - b.best).abs() > 0.5,
            _ => false,
        }
    }
}

/// The look that tells most of these histories apart; none when no look does.
#[must_use]
pub fn next_look(histories: &[History], metal: &Metal) -> Option<Look> {
    // the chance that two drawn by their shares differ
    let parted = |look: Look| -> f64 {
        let pairs = histories
            .iter()
            .flat_map(|a| histories.iter().map(move |b| (a, b)));
        pairs
            .filter(|(a, b)| look.parts(a, b, metal))
            .map(|(a, b)| a.share * b.share)
            .sum()
    };
    let looks = [
        Look::Faces,
        Look::Doubled,
        Look::Bands,
        Look::Bar,
        Look::Layer,
    ];
    looks
        .into_iter()
        .map(|look| (look, parted(look)))
        .filter(|(_, parted)| *parted > 0.01)
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(look, _)| look)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(bands: RangeInclusive<u64>) -> Asked {
        Asked {
            bands,
            first: 3..=15,
            pieces: 2..=8,
            restacks: 3,
            doubled: None,
            metal: Metal::default(),
        }
    }

    /// The bands of a bar by laying steels one upon another.
    fn laid(history: &History) -> (u64, u64) {
        let mut bar: Vec<bool> = (0..history.first).map(|at| at % 2 == 0).collect();
        let bands = |bar: &[bool]| 1 + bar.windows(2).filter(|two| two[0] != two[1]).count();
        // a ground bar loses its outermost band at either face, however many layers it has
        let grind = |bar: &mut Vec<bool>| {
            for _ in 0..2 {
                let outer = bar[0];
                let keep = bar.iter().position(|steel| *steel != outer).unwrap();
                bar.drain(..keep);
                bar.reverse();
            }
        };
        for restack in &history.restacks {
            if restack.ground {
                grind(&mut bar);
            }
            bar = (0..restack.pieces).flat_map(|_| bar.clone()).collect();
        }
        if history.ground {
            grind(&mut bar);
        }
        let runs: Vec<usize> = bar.chunk_by(|a, b| a == b).map(<[bool]>::len).collect();
        (
            bands(&bar) as u64,
            runs.iter().filter(|run| **run > 1).count() as u64,
        )
    }

    #[test]
    fn every_history_shows_what_is_found_when_it_is_laid_layer_by_layer() {
        let all = histories(&asked(100..=130));
        assert_eq!(all.len(), MOST);
        for history in all.iter().chain(&histories(&asked(20..=40))) {
            assert_eq!(
                laid(history),
                (history.bands, history.doubled),
                "{}",
                history.words()
            );
        }
    }

    #[test]
    fn nine_restacked_four_and_four_is_among_those_of_121() {
        let all = histories(&asked(121..=121));
        let words: Vec<String> = all.iter().map(History::words).collect();
        let wanted = "9 layers, restacked 4 and 4 (outermost bands ground away first)";
        assert!(words.iter().any(|words| words == wanted), "{words:#?}");
        let sum: f64 = all.iter().map(|history| history.share).sum();
        assert!((sum - 1.0).abs() < 1e-9);
    }

    #[test]
    fn doubled_bands_seen_move_the_ranking_and_the_next_look_parts_the_rest() {
        let all = histories(&asked(119..=123));
        let none = Metal::default();
        let look = next_look(&all, &none).unwrap();
        let shown: Vec<f64> = all
            .iter()
            .map(|history| look.shows(history, &none).unwrap().best)
            .collect();
        assert!(shown.iter().any(|other| (other - shown[0]).abs() > 0.5));
        let seen = all.last().unwrap().doubled;
        let again = histories(&Asked {
            doubled: Some(seen),
            ..asked(119..=123)
        });
        let near = |all: &[History]| all[0].doubled.abs_diff(seen);
        assert!(near(&again) <= near(&all));
    }

    #[test]
    fn nothing_fits_an_impossible_count() {
        assert!(
            histories(&Asked {
                restacks: 0,
                ..asked(400..=410)
            })
            .is_empty()
        );
        assert_eq!(next_look(&[], &Metal::default()), None);
    }

    // By hand: 33 bands are nine layers restacked four (4 x 9 - 3), or three restacked four and four
    // (4 x 3 - 3 = 9, 4 x 9 - 3). Of layers of 18 cm3 the first has 162 cm3 and leaves, after two welds and a
    // restack, exp(-0.26) = 0.771 of it: 124.9 cm3. The other has 54 cm3 and leaves exp(-0.47) = 0.625: 33.8.
    #[test]
    fn the_metal_tells_a_tall_stack_restacked_once_from_a_low_one_restacked_twice() {
        let ask = |now: Option<f64>, first: Option<First>| Asked {
            first: 3..=9,
            pieces: 4..=4,
            restacks: 2,
            metal: Metal { now, first },
            ..asked(33..=33)
        };
        let firsts = |now, first| -> Vec<(u64, usize)> {
            let all = histories(&ask(now, first));
            all.iter()
                .map(|one| (one.first, one.restacks.len()))
                .collect()
        };
        let layer = Some(First::Layer(18_000.0));
        let (tall, low) = ((9, 1), (3, 2));
        let both = firsts(None, layer);
        assert!(both.contains(&tall) && both.contains(&low), "{both:?}");
        assert_eq!(firsts(Some(125_000.0), layer)[0], tall);
        assert_eq!(firsts(Some(34_000.0), layer)[0], low);
        // and which look would say so: the bar not weighed, or the layer not known
        let look = |now, first| {
            let asked = ask(now, first);
            let all: Vec<History> = histories(&asked)
                .into_iter()
                .filter(|one| !one.ground && one.restacks.iter().all(|one| !one.ground))
                .collect();
            assert!(all.len() >= 2);
            let seen = |look: Look| {
                let shown: Vec<f64> = all
                    .iter()
                    .filter_map(|one| look.shows(one, &asked.metal))
                    .map(|one| one.best)
                    .collect();
                (look.parts(&all[0], &all[1], &asked.metal), shown)
            };
            (seen(Look::Bar), seen(Look::Layer))
        };
        let (bar, layer_look) = look(None, layer);
        assert!(bar.0 && !layer_look.0);
        assert!(bar.1.iter().any(|mm3| (mm3 - 124_900.0).abs() < 100.0));
        assert!(bar.1.iter().any(|mm3| (mm3 - 33_750.0).abs() < 100.0));
        let (bar, layer_look) = look(Some(125_000.0), None);
        assert!(!bar.0 && layer_look.0);
        // 125 / 0.771 / 9 = 18.0 cm3 a layer, or 125 / 0.625 / 3 = 66.7
        assert!(layer_look.1.iter().any(|mm3| (mm3 - 18_010.0).abs() < 50.0));
        assert!(layer_look.1.iter().any(|mm3| (mm3 - 66_670.0).abs() < 60.0));
    }
}
