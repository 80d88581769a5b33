//! A column of metal between a groove or dimple above it and one below: the law that both maps share.

use crate::pattern::dual::Num;

/// The old height of what lies at `z` now, where `thick` less the two openings was pressed to `flat`; `None`
/// where nothing lies, because the press has not reached the column yet.
#[inline]
pub(super) fn before_pressing<T: Num>(
    z: T,
    [top, bottom]: [T; 2],
    thick: f64,
    flat: f64,
) -> Option<T> {
    let h0 = -(top + bottom) + thick;
    let is_open = flat - h0.value() > 1e-9;
    let (below, h1) = if is_open {
        let share = bottom * (top + bottom).recip();
        ((-h0 + flat) * share, h0)
    } else {
        (T::of(0.0), T::of(flat))
    };
    let f = (z + 0.5 * flat - below) * h1.recip();
    if is_open && !(-1e-9..=1.0 + 1e-9).contains(&f.value()) {
        return None;
    }
    Some(bottom + f * h0 - 0.5 * thick)
}
