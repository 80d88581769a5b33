//! Random trees against the same sequence written out layer by layer.

use proptest::prelude::*;

use super::{Layers, SteelId};
use crate::units::Mm;

/// Every layer, bottom first, like neighbours not yet merged; mm.
type Expanded = Vec<(SteelId, f64)>;

/// Quarter millimetres and factors of two keep every sum exact in a double.
const QUARTER: f64 = 0.25;
const MOST: usize = 3_000;

#[derive(Debug, Clone)]
enum Op {
    Repeat(u64),
    Fold(u64),
    Mirror,
    Scale(i32),
    /// Quarters off the bottom and off the top, each as a share of 64ths of the height.
    Trim(u32, u32),
    Under(u8, u32),
    Over(u8, u32),
    /// The tree on itself turned over, with a layer between.
    Between(u8, u32),
}

fn op() -> impl Strategy<Value = Op> {
    prop_oneof![
        (2_u64..6).prop_map(Op::Repeat),
        (2_u64..6).prop_map(Op::Fold),
        Just(Op::Mirror),
        (-2_i32..3).prop_map(Op::Scale),
        (0_u32..28, 0_u32..28).prop_map(|(b, t)| Op::Trim(b, t)),
        (0_u32..28, 0_u32..28).prop_map(|(b, t)| Op::Trim(b, t)),
        (0_u8..3, 1_u32..20).prop_map(|(s, t)| Op::Under(s, t)),
        (0_u8..3, 1_u32..20).prop_map(|(s, t)| Op::Over(s, t)),
        (0_u8..3, 1_u32..20).prop_map(|(s, t)| Op::Between(s, t)),
    ]
}

fn leaf((steel, quarters): (u8, u32)) -> (SteelId, f64) {
    (SteelId(steel), f64::from(quarters) * QUARTER)
}

fn flipped(flat: &Expanded) -> Expanded {
    flat.iter().rev().copied().collect()
}

fn height(flat: &Expanded) -> f64 {
    flat.iter().map(|(_, thickness)| thickness).sum()
}

fn cut(flat: &Expanded, from: f64, to: f64) -> Expanded {
    let mut at = 0.0;
    let mut kept = Vec::new();
    for (steel, thickness) in flat {
        let (low, high) = (f64::max(at, from), f64::min(at + thickness, to));
        if high > low {
            kept.push((*steel, high - low));
        }
        at += thickness;
    }
    kept
}

fn merged(flat: &Expanded) -> Expanded {
    let mut bands: Expanded = Vec::new();
    for (steel, thickness) in flat {
        match bands.last_mut() {
            Some((last, sum)) if last == steel => *sum += thickness,
            _ => bands.push((*steel, *thickness)),
        }
    }
    bands
}

/// A cut that is whole quarters of the layers' own scale, so that it stays exact.
fn quarters(height: f64, share: u32) -> f64 {
    (height * f64::from(share) / 64.0 / QUARTER).floor() * QUARTER
}

fn both(start: &[(u8, u32)], ops: &[Op]) -> (Layers, Expanded) {
    let mut flat: Expanded = start.iter().copied().map(leaf).collect();
    let mut tree = Layers::pile(flat.iter().map(|(s, t)| Layers::leaf(*s, Mm(*t))).collect());
    for op in ops {
        let copies = match op {
            Op::Repeat(times) | Op::Fold(times) => usize::try_from(*times).unwrap(),
            Op::Between(..) => 3,
            _ => 1,
        };
        if flat.len() * copies > MOST {
            continue;
        }
        match op {
            Op::Repeat(times) => {
                tree = tree.repeat(*times);
                flat = (0..*times).flat_map(|_| flat.clone()).collect();
            }
            Op::Fold(times) => {
                tree = tree.folded(*times);
                let turned = flipped(&flat);
                flat = (0..*times)
                    .flat_map(|at| {
                        if at % 2 == 0 {
                            flat.clone()
                        } else {
                            turned.clone()
                        }
                    })
                    .collect();
            }
            Op::Mirror => {
                tree = tree.mirrored();
                flat = flipped(&flat);
            }
            Op::Scale(power) => {
                let factor = 2.0_f64.powi(*power);
                tree = tree.scaled(factor);
                flat.iter_mut().for_each(|layer| layer.1 *= factor);
            }
            Op::Trim(bottom, top) => {
                let all = height(&flat);
                let (bottom, top) = (quarters(all, *bottom), quarters(all, *top));
                if bottom + top < all {
                    tree = tree.trimmed(Mm(bottom), Mm(top)).unwrap();
                    flat = cut(&flat, bottom, all - top);
                }
            }
            Op::Under(steel, quarters) => {
                let (steel, thickness) = leaf((*steel, *quarters));
                tree = Layers::pile(vec![Layers::leaf(steel, Mm(thickness)), tree]);
                flat.insert(0, (steel, thickness));
            }
            Op::Over(steel, quarters) => {
                let (steel, thickness) = leaf((*steel, *quarters));
                tree = Layers::pile(vec![tree, Layers::leaf(steel, Mm(thickness))]);
                flat.push((steel, thickness));
            }
            Op::Between(steel, quarters) => {
                let (steel, thickness) = leaf((*steel, *quarters));
                let middle = Layers::leaf(steel, Mm(thickness));
                tree = Layers::pile(vec![tree.clone(), middle, tree.mirrored()]);
                let mut above = flipped(&flat);
                flat.push((steel, thickness));
                flat.append(&mut above);
            }
        }
    }
    (tree, flat)
}

fn same(what: &str, got: f64, want: f64) -> Result<(), TestCaseError> {
    prop_assert!(
        (got - want).abs() <= 1e-9 * want.abs().max(1.0),
        "{what}: {got} for {want}"
    );
    Ok(())
}

fn same_summary(sum: &super::Summary, bands: &Expanded) -> Result<(), TestCaseError> {
    prop_assert_eq!(sum.bands(), bands.len() as u128);
    same("height", sum.height().0, height(bands))?;
    for steel in (0..3).map(SteelId) {
        let all = bands.iter().filter(|(s, _)| *s == steel);
        let thickness: f64 = all.map(|(_, t)| t).sum();
        same("by steel", sum.thickness_of(steel).0, thickness)?;
    }
    if let (Some(first), Some(last)) = (bands.first(), bands.last()) {
        let (low, high) = (sum.first().unwrap(), sum.last().unwrap());
        prop_assert_eq!((low.0, high.0), (first.0, last.0));
        same("first", low.1.0, first.1)?;
        same("last", high.1.0, last.1)?;
        let thin = bands.iter().map(|(_, t)| *t).fold(f64::INFINITY, f64::min);
        let thick = bands.iter().map(|(_, t)| *t).fold(0.0, f64::max);
        same("thinnest", sum.thinnest().0, thin)?;
        same("thickest", sum.thickest().0, thick)?;
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn trees_say_what_the_expansion_says(
        start in prop::collection::vec((0_u8..3, 1_u32..20), 1..8),
        ops in prop::collection::vec(op(), 0..10),
        depths in prop::collection::vec(0_u32..1000, 6),
        slices in prop::collection::vec((0_u32..=256, 0_u32..=256), 3),
    ) {
        let (tree, flat) = both(&start, &ops);
        let bands = merged(&flat);
        let all = height(&flat);
        same_summary(tree.summary(), &bands)?;

        for share in depths {
            let depth = all * (f64::from(share) + 0.37) / 1001.0;
            let under = cut(&flat, 0.0, depth);
            prop_assert_eq!(tree.at(Mm(depth)), under.last().map(|(steel, _)| *steel));
            for steel in (0..3).map(SteelId) {
                let want: f64 = under.iter().filter(|(s, _)| *s == steel).map(|(_, t)| t).sum();
                same("below", tree.below(Mm(depth), steel).0, want)?;
            }
            prop_assert_eq!(tree.bands_below(Mm(depth)), merged(&under).len() as u128);
            prop_assert!(tree.reached(Mm(depth), false) >= merged(&under).len() as u128);
            let above = merged(&cut(&flat, depth, all));
            prop_assert!(tree.reached(Mm(all - depth), true) >= above.len() as u128);
            let mut at = depth;
            let mut found = 0;
            for (band, (steel, thickness)) in tree.bands_from(Mm(depth)).zip(&above).take(40) {
                prop_assert_eq!(band.steel, *steel);
                same("from", band.from.0, at)?;
                at += thickness;
                same("to", band.to.0, at)?;
                found += 1;
            }
            prop_assert_eq!(found, above.len().min(40));
        }
        for (one, two) in slices {
            let at = |share| all * f64::from(share) / 256.0;
            let (from, to) = (at(one.min(two)), at(one.max(two)));
            same_summary(&tree.slice(Mm(from), Mm(to)), &merged(&cut(&flat, from, to)))?;
        }
        prop_assert!(tree.below(Mm(all * 2.0), SteelId(0)).near(tree.summary().thickness_of(SteelId(0)), 1e-9));
        prop_assert_eq!(tree.at(Mm(all * 1.01)), None);
        let (again, _) = both(&start, &ops);
        prop_assert_eq!(&tree, &again);
    }
}
