//! A straight way through the layers: which band lies where, and its neighbours.

use std::sync::Arc;

use super::Model;
use crate::billet::{Band, Billet, Figure, Layers};
use crate::session::{Aspect, Subject};
use crate::units::Mm;

/// Bent layers are walked down this far from the middle, as a share of the width: the middle of a block
/// is a weld.
pub(in crate::ui) const ASIDE: f64 = -0.25;
/// Most bands taken up on one walk.
const MOST: usize = 4000;

/// The way through the layers of a bar.
pub(in crate::ui) enum Section<'a> {
    /// Layers that lie straight: their sequence, every band of it.
    Straight(&'a Layers),
    /// Bent ones: what a line down through the bar meets, upward from its lower side.
    Walked(Arc<Vec<Band>>),
}

impl<'a> Section<'a> {
    /// Through the bar at a place of the plan.
    pub(in crate::ui) fn of(model: &Model, place: usize, billet: &'a Billet) -> Option<Self> {
        let core = &billet.bar.core;
        if core.figure == Figure::Flat {
            return Some(Self::Straight(&core.layers));
        }
        let walk = model.walk(place)?;
        (!walk.is_empty()).then_some(Self::Walked(walk))
    }

    /// Its length.
    pub(in crate::ui) fn height(&self) -> Mm {
        match self {
            Self::Straight(layers) => layers.height(),
            Self::Walked(bands) => bands.last().map_or(Mm::ZERO, |band| band.to),
        }
    }

    /// The whole band about a height.
    pub(in crate::ui) fn at(&self, height: Mm) -> Option<Band> {
        match self {
            Self::Straight(layers) => band_at(layers, height),
            Self::Walked(bands) => bands
                .iter()
                .find(|band| band.to > height)
                .or(bands.last())
                .copied(),
        }
    }

    /// Up to so many bands above one, the nearest first.
    pub(in crate::ui) fn above(&self, band: &Band, most: usize) -> Vec<Band> {
        match self {
            Self::Straight(layers) => bands_up(layers, band.to).take(most).collect(),
            Self::Walked(bands) => {
                let over = bands.iter().filter(|other| other.from >= band.to);
                over.take(most).copied().collect()
            }
        }
    }

    /// Up to so many bands below one, the nearest first.
    pub(in crate::ui) fn below(&self, band: &Band, most: usize) -> Vec<Band> {
        match self {
            Self::Straight(layers) => bands_down(&layers.mirrored(), band.from)
                .take(most)
                .collect(),
            Self::Walked(bands) => {
                let under = bands.iter().rev().filter(|other| other.to <= band.from);
                under.take(most).copied().collect()
            }
        }
    }

    /// Which band from the top, and of how many.
    pub(in crate::ui) fn number(&self, band: &Band) -> [u128; 2] {
        match self {
            Self::Straight(layers) => {
                let count = layers.bands();
                let middle = (band.from + band.to) / 2.0;
                let below = layers.bands_below(middle).clamp(1, count.max(1));
                [count.saturating_sub(below) + 1, count]
            }
            Self::Walked(bands) => {
                let over = bands.iter().filter(|other| other.from >= band.to).count();
                [over as u128 + 1, bands.len() as u128]
            }
        }
    }
}

/// The bands on the way down through the end, upward from the lower side. What is open is left out.
pub(in crate::ui) fn walk(subject: &Subject) -> Vec<Band> {
    let [width, height] = subject.extent(Aspect::End);
    let scene = subject.scene(Aspect::End, [4, 4]);
    let mut bands: Vec<Band> = scene
        .bands_down(width * ASIDE, MOST)
        .into_iter()
        .filter_map(|met| {
            Some(Band {
                steel: met.steel?,
                from: height - met.to,
                to: height - met.from,
            })
        })
        .collect();
    bands.reverse();
    bands
}

/// Not a crumb that rounding left at a seam.
fn is_whole(band: &Band, height: Mm) -> bool {
    (band.to - band.from).0 > 1e-9 * height.0
}

/// The bands from a height upward, whole ones only.
fn bands_up(layers: &Layers, from: Mm) -> impl Iterator<Item = Band> {
    let height = layers.height();
    layers
        .bands_from(from)
        .filter(move |band| is_whole(band, height))
}

/// The bands from a height downward, whole ones only: `turned` is the layers [`Layers::mirrored`].
fn bands_down(turned: &Layers, from: Mm) -> impl Iterator<Item = Band> {
    let height = turned.height();
    bands_up(turned, height - from).map(move |band| Band {
        from: height - band.to,
        to: height - band.from,
        ..band
    })
}

/// The whole band about a height.
fn band_at(layers: &Layers, at: Mm) -> Option<Band> {
    let turned = layers.mirrored();
    let up = bands_up(layers, at)
        .next()
        .or_else(|| bands_down(&turned, at).next())?;
    let down = bands_down(&turned, up.to).next();
    let from = down
        .filter(|band| band.steel == up.steel)
        .map_or(up.from, |band| band.from);
    Some(Band { from, ..up })
}
