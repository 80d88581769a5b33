//! Restacks worked on the metal of a bar, for `ask restacks`.

use super::orders::{Wanted, Way};
use super::refused::Refused;
use crate::billet::advice::{Advice, in_order};
use crate::billet::{Allowances, Billet, StackPiece, Stage, SteelId, Stock};
use crate::session::Session;
use crate::units::{Density, Fraction, Mm, Mm3, Units};

/// Bands of the bar beyond which its layers are not laid out one by one.
const MOST_BANDS: u64 = 10_000;

/// The bar before the first cut, and what the shop loses.
#[derive(Debug, Clone)]
pub(super) struct Bar {
    pub(super) width: Mm,
    pub(super) thickness: Mm,
    pub(super) length: Mm,
    pub(super) kerf: Mm,
    pub(super) grind: Mm,
    pub(super) trim: Mm,
    pub(super) scale: Fraction,
    pub(super) shortest: Mm,
    pub(super) units: Units,
}

/// One order of restacks on that bar.
#[derive(Debug, Clone)]
pub(super) struct Metal {
    pub(super) way: Way,
    /// Bands at the end, what the grind eats taken off.
    pub(super) bands: u64,
    /// True when the bands end in the range and no piece is too short.
    pub(super) holds: bool,
    pub(super) shortest: Mm,
    pub(super) tallest: Mm,
    pub(super) length: Mm,
    pub(super) volume: Mm3,
}

/// Every way on the metal: those that hold first, then fewest restacks, then most metal left.
pub(super) fn work<'a>(
    bar: &Bar,
    bands: u64,
    target: (u64, u64),
    ways: impl Iterator<Item = &'a Way>,
) -> Result<Vec<Metal>, Refused> {
    if bands > MOST_BANDS {
        return Err(Refused::say(format!(
            "--bands: more than {MOST_BANDS} are counted but not worked on the metal; leave out the sizes"
        )));
    }
    let billet = billet(bar, bands);
    let allow = Allowances {
        kerf: bar.kerf,
        grind: bar.grind,
        trim: bar.trim,
        scale: bar.scale,
        mark: Mm(0.0),
        shortest: bar.shortest,
        widest: None,
        tallest: None,
        longest: None,
        finished: None,
        shape: crate::billet::Shape::PLAIN,
        units: bar.units,
    };
    let section = (bar.width, bar.thickness);
    let mut found: Vec<Metal> = ways
        .filter_map(|way| {
            let advice = in_order(&billet, &allow, section, target, &way.pieces)?;
            Some(metal(way, &advice))
        })
        .collect();
    rank(&mut found);
    Ok(found)
}

/// Every order of pieces on the bar of a job, by the same laws as the work screen; and that bar.
pub(super) fn of_job(session: &Session) -> Result<(Bar, Vec<Metal>), Refused> {
    let all = session.restack_orders().ok_or_else(|| {
        Refused::say("--plan: the bar is blanks or a blade by now, or the job is done; no restack is to come")
    })?;
    let allow = session.plan.allowances();
    let size = &session.metal().bar;
    let bar = Bar {
        width: size.width,
        thickness: size.thickness,
        length: size.length,
        kerf: allow.kerf,
        grind: allow.grind,
        trim: allow.trim,
        scale: allow.scale,
        shortest: allow.shortest,
        units: session.plan.units,
    };
    let found = all.iter().map(|advice| {
        let way = Way {
            pieces: advice.rounds.iter().map(|round| round.pieces).collect(),
            bands: u64::try_from(advice.bands).unwrap_or(u64::MAX),
        };
        metal(&way, advice)
    });
    let mut found: Vec<Metal> = found.filter(|m| !m.way.pieces.is_empty()).collect();
    rank(&mut found);
    Ok((bar, found))
}

/// Those that hold first, then fewest restacks, then most metal left.
fn rank(found: &mut [Metal]) {
    let first = |m: &Metal| (!m.holds, m.way.pieces.len());
    found.sort_by(|a, b| {
        first(a)
            .cmp(&first(b))
            .then(b.volume.0.total_cmp(&a.volume.0))
            .then(a.tallest.0.total_cmp(&b.tallest.0))
    });
}

/// The orders that come nearest to the range on the metal, from under and from over it.
pub(super) fn nearest_of(wanted: &Wanted, metal: &[Metal]) -> (Option<Way>, Option<Way>) {
    let way = |m: &Metal| Way {
        bands: m.bands,
        ..m.way.clone()
    };
    let under = metal.iter().filter(|m| m.bands < wanted.least);
    let over = metal.iter().filter(|m| m.bands > wanted.most);
    (
        under.max_by_key(|m| m.bands).map(way),
        over.min_by_key(|m| m.bands).map(way),
    )
}

fn metal(way: &Way, advice: &Advice) -> Metal {
    let rounds = advice.rounds.iter();
    let shortest = rounds.clone().map(|round| round.piece).reduce(Mm::min);
    let tallest = rounds.map(|round| round.height).reduce(Mm::max);
    Metal {
        way: way.clone(),
        bands: u64::try_from(advice.bands).unwrap_or(u64::MAX),
        holds: advice.works() && advice.count() == way.pieces.len(),
        shortest: shortest.unwrap_or(Mm::ZERO),
        tallest: tallest.unwrap_or(Mm::ZERO),
        length: advice.length,
        volume: advice.left,
    }
}

/// A bar of equal bands of two steels in turn.
fn billet(bar: &Bar, bands: u64) -> Billet {
    let steel = |letter: char| Stock {
        letter,
        name: letter.to_string(),
        density: Density(7.85),
    };
    #[expect(clippy::cast_precision_loss, reason = "at most ten thousand")]
    let thickness = bar.thickness / bands as f64;
    let pieces: Vec<StackPiece> = (0..bands)
        .map(|at| StackPiece {
            steel: SteelId(u8::from(at % 2 == 1)),
            thickness,
        })
        .collect();
    let steels = [steel('A'), steel('B')];
    let mut billet = Billet::new(&pieces, bar.width, bar.length, steels.into());
    billet.stage = Stage::Bar;
    billet
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bar() -> Bar {
        Bar {
            width: Mm(42.0),
            thickness: Mm(14.0),
            length: Mm(345.0),
            kerf: Mm(2.0),
            grind: Mm(0.0),
            trim: Mm(12.0),
            scale: Fraction(0.0),
            shortest: Mm(40.0),
            units: Units::Mm,
        }
    }

    fn way(pieces: &[u32], bands: u64) -> Way {
        Way {
            pieces: pieces.to_vec(),
            bands,
        }
    }

    #[test]
    fn metal_is_kept_but_for_what_is_named() {
        // By hand: 345 less two ends of 12 and three cuts of 2 in four pieces is 78.75; without scale
        // and grind the volume at the end is 4 x 78.75 x 42 x 14.
        let ways = [way(&[4], 33)];
        let found = work(&bar(), 9, (30, 40), ways.iter()).unwrap();
        assert!(found[0].holds);
        assert!(found[0].shortest.near(Mm(78.75), 1e-6));
        assert!(found[0].tallest.near(Mm(56.0), 1e-6));
        assert!((found[0].volume.0 / (4.0 * 78.75 * 42.0 * 14.0) - 1.0).abs() < 1e-9);
        assert_eq!(found[0].bands, 33);
    }

    #[test]
    fn a_short_bar_does_not_hold_and_grinding_eats_bands() {
        let short = Bar {
            length: Mm(120.0),
            ..bar()
        };
        let ways = [way(&[4], 33)];
        assert!(!work(&short, 9, (30, 40), ways.iter()).unwrap()[0].holds);
        let ground = Bar {
            grind: Mm(0.5),
            length: Mm(2000.0),
            ..bar()
        };
        let ways = [way(&[4, 4, 4], 513)];
        let found = work(&ground, 9, (1, 1000), ways.iter()).unwrap();
        assert!(found[0].bands < 513, "{}", found[0].bands);
    }
}
