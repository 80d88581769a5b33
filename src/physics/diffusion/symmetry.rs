//! Whether a stack reads the same from both faces.
//!
//! A stack that does, with the same rule at both faces, is worked out by its half: the middle is a
//! mirror that nothing crosses. Sealed, the copies of a symmetric piece are each such a piece: every
//! seam is a mirror too, so one piece stands for all of them, however many.

use std::sync::Arc;

use super::cells::Cells;
use super::sequence::{InOrder, Kind, Placed, Sequence};

/// Leaves that are compared one by one; a longer stack that is not symmetric by its build counts as
/// not symmetric, which costs time and nothing else.
const LEAVES: usize = 4000;

/// The same for a stack of more moves upon each other than this.
const DEEPEST: u32 = 200;

/// True when the stack is the same from both faces, to about a millionth of a percent of carbon.
pub(crate) fn is_symmetric(stack: &Sequence) -> bool {
    symmetric(stack, DEEPEST)
}

/// The same, looked at so many nodes deep.
fn symmetric(stack: &Sequence, deep: u32) -> bool {
    let Some(deep) = deep.checked_sub(1) else {
        return false;
    };
    match &stack.node.kind {
        Kind::Even => true,
        Kind::Cells(cells) => {
            let both = cells.steels.iter().chain(std::iter::once(&cells.carbon));
            (cells.faces.0 - cells.faces.1).abs() < 1e-9
                && both.into_iter().all(|list| palindrome(list))
        }
        Kind::Repeat(inner, _) if symmetric(inner, deep) => true,
        Kind::Mirror(inner) | Kind::Scale(inner, _) => symmetric(inner, deep),
        Kind::Join(all) => by_build(all, deep) || alternating(all, deep) || by_leaves(stack, deep),
        Kind::Repeat(..) => false,
    }
}

fn palindrome(list: &[f64]) -> bool {
    let pairs = list.iter().zip(list.iter().rev());
    pairs.take(list.len() / 2).all(|(a, b)| near(*a, *b))
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * (a.abs() + b.abs()) + 1e-15
}

/// The join is its own mirror image, stretch by stretch.
fn by_build(all: &[Sequence], deep: u32) -> bool {
    let pairs = all.iter().zip(all.iter().rev());
    let halves = pairs
        .take(all.len() / 2)
        .all(|(a, b)| mirror_of(a, b, deep));
    let middle = all.get(all.len() / 2);
    halves && (all.len().is_multiple_of(2) || middle.is_some_and(|middle| symmetric(middle, deep)))
}

/// `x (y x)^n` or `(x y)^n x` with both symmetric: the usual stack with the same steel outside.
fn alternating(all: &[Sequence], deep: u32) -> bool {
    let (outer, repeat, first) = match all {
        [outer, repeat] if matches!(repeat.node.kind, Kind::Repeat(..)) => (outer, repeat, false),
        [repeat, outer] => (outer, repeat, true),
        _ => return false,
    };
    let Kind::Repeat(inner, _) = &repeat.node.kind else {
        return false;
    };
    let Kind::Join(pair) = &inner.node.kind else {
        return false;
    };
    match (pair.as_slice(), first) {
        ([y, x], false) | ([x, y], true) => {
            same(x, outer, deep) && symmetric(x, deep) && symmetric(y, deep)
        }
        _ => false,
    }
}

/// `a` is `b` turned over, as far as the build shows it.
fn mirror_of(a: &Sequence, b: &Sequence, deep: u32) -> bool {
    match (&a.node.kind, &b.node.kind) {
        (Kind::Mirror(a), _) => same(a, b, deep),
        (_, Kind::Mirror(b)) => same(a, b, deep),
        _ => same(a, b, deep) && symmetric(a, deep),
    }
}

fn same(a: &Sequence, b: &Sequence, deep: u32) -> bool {
    if Arc::ptr_eq(&a.node, &b.node) {
        return true;
    }
    let Some(deep) = deep.checked_sub(1) else {
        return false;
    };
    match (&a.node.kind, &b.node.kind) {
        (Kind::Even, Kind::Even) => same_parts(a, b, 1.0),
        (Kind::Cells(a), Kind::Cells(b)) => same_cells(a, b),
        (Kind::Repeat(a, m), Kind::Repeat(b, n)) => m == n && same(a, b, deep),
        (Kind::Scale(a, f), Kind::Scale(b, g)) => near(*f, *g) && same(a, b, deep),
        _ => false,
    }
}

fn same_cells(a: &Cells, b: &Cells) -> bool {
    let pairs = a.steels.iter().zip(&b.steels);
    a.steels.len() == b.steels.len()
        && a.len() == b.len()
        && near(a.faces.0, b.faces.0)
        && near(a.faces.1, b.faces.1)
        && pairs
            .chain(std::iter::once((&a.carbon, &b.carbon)))
            .all(|(a, b)| a.iter().zip(b).all(|(a, b)| near(*a, *b)))
}

fn same_parts(a: &Sequence, b: &Sequence, scale: f64) -> bool {
    let (a, b) = (&a.node.parts, &b.node.parts);
    a.len() == b.len()
        && a.iter()
            .zip(b)
            .all(|(a, b)| near(a.mm, b.mm * scale) && near(a.carbon, b.carbon * scale))
}

/// The leaves in order, unless there are too many.
fn leaves(stack: &Sequence) -> Option<Vec<Placed<'_>>> {
    let mut all = InOrder::of(stack);
    let mut out = Vec::new();
    while let Some(at) = all.next() {
        match &at.stretch.node.kind {
            Kind::Even | Kind::Cells(_) => out.push(at),
            _ => all.below(at),
        }
        if out.len() > LEAVES {
            return None;
        }
    }
    Some(out)
}

fn by_leaves(stack: &Sequence, deep: u32) -> bool {
    let Some(all) = leaves(stack) else {
        return false;
    };
    let pairs = all.iter().zip(all.iter().rev());
    pairs.take(all.len().div_ceil(2)).all(|(a, b)| {
        let (x, y) = (a.stretch, b.stretch);
        match (&x.node.kind, &y.node.kind) {
            (Kind::Even, Kind::Even) => same_parts(x, y, b.scale / a.scale),
            (Kind::Cells(_), Kind::Cells(_)) => {
                near(a.scale, b.scale)
                    && same(x, y, deep)
                    && (a.turned != b.turned || is_symmetric(x))
            }
            _ => false,
        }
    })
}

#[cfg(test)]
mod tests {
    use super::is_symmetric;
    use crate::physics::diffusion::Sequence;
    use crate::units::Mm;

    fn a() -> Sequence {
        Sequence::layer(0, Mm(1.0), 0.9)
    }

    fn b() -> Sequence {
        Sequence::layer(1, Mm(2.0), 0.6)
    }

    #[test]
    fn by_build_and_by_leaves() {
        let aba = Sequence::join([a(), b(), a()]);
        assert!(is_symmetric(&aba) && is_symmetric(&aba.repeated(7).scaled(0.3)));
        let ab = Sequence::join([a(), b()]);
        assert!(!is_symmetric(&ab) && !is_symmetric(&ab.repeated(7)));
        assert!(is_symmetric(&ab.folded(2)) && is_symmetric(&ab.folded(2).repeated(1 << 40)));
        assert!(!is_symmetric(&ab.folded(3)));
        let odd = Sequence::join([a(), Sequence::join([b(), a()]).repeated(62)]);
        assert!(is_symmetric(&odd));
        let even = Sequence::join([a(), Sequence::join([b(), a()]).repeated(62), b()]);
        assert!(!is_symmetric(&even));
    }

    #[test]
    fn nested_folds_are_quick() {
        let mut fold = Sequence::join([a(), b()]);
        for _ in 0..60 {
            fold = fold.folded(2).scaled(0.5);
        }
        assert!(is_symmetric(&fold));
    }

    #[test]
    fn the_usual_stack_is_known_at_any_length() {
        let long = Sequence::join([a(), Sequence::join([b(), a()]).repeated(1 << 50)]);
        assert!(is_symmetric(&long));
        let other = Sequence::join([Sequence::join([a(), b()]).repeated(1 << 50), a()]);
        assert!(is_symmetric(&other));
        let not = Sequence::join([a(), Sequence::join([a(), b()]).repeated(1 << 50)]);
        assert!(!is_symmetric(&not));
    }
}
