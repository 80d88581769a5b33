//! From the cells of a stack to cells that a heat can be worked out on: finest where carbon will move,
//! at fresh joints and open faces, and growing into what is level.

use super::cells::Cells;
use super::fineness::{Ends, Fineness};
use super::flatten::Raw;

/// Which faces carbon can leave by.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Open {
    pub(crate) first: bool,
    pub(crate) last: bool,
}

/// The same carbon on cells as fine as wanted, and no finer: level stretches are merged, coarse ones
/// near carbon on the move are split.
pub(crate) fn refine(stack: &Raw, open: Open, fine: Fineness) -> Cells {
    let raw = &stack.cells;
    let thickness = raw.thickness();
    let activity = raw.activity(&raw.factors);
    let mean = activity.iter().copied().fold(0.0, f64::max).max(1e-9);
    let moving = moves(&activity, open, fine.level * mean);
    let room = Room::of(&thickness, &moving, open);
    let mut out = Cells::none(&raw.factors);
    let mut group = Group::default();
    for (i, mm) in thickness.iter().enumerate() {
        let a = activity.get(i).copied().unwrap_or(0.0);
        let ends = room.at(i);
        let wanted = fine.wanted(ends);
        let fits = group.mm + mm <= wanted.min(group.wanted)
            && (group.mm + mm <= fine.cell || (a - group.first).abs() <= fine.level * mean);
        if group.mm > 0.0 && fits {
            grow(&mut out, raw, i);
            group.mm += mm;
            group.wanted = group.wanted.min(wanted);
            continue;
        }
        let sizes = if *mm > wanted * 1.5 {
            fine.split(*mm, ends)
        } else {
            vec![1.0]
        };
        let tilt = stack.tilts.get(i).copied().unwrap_or(0.0);
        let mut done = 0.0;
        for share in &sizes {
            let off = done + share / 2.0 - 0.5;
            copy(&mut out, raw, i, *share, 1.0 + tilt * off);
            done += share;
        }
        group = if sizes.len() == 1 {
            Group {
                mm: *mm,
                wanted,
                first: a,
            }
        } else {
            Group::default()
        };
    }
    out
}

#[derive(Default)]
struct Group {
    mm: f64,
    wanted: f64,
    first: f64,
}

/// Adds `share` of a cell, with its carbon `rich` times as dense as in the whole cell.
fn copy(out: &mut Cells, raw: &Cells, i: usize, share: f64, rich: f64) {
    for (into, steel) in out.steels.iter_mut().zip(&raw.steels) {
        into.push(steel.get(i).copied().unwrap_or(0.0) * share);
    }
    out.carbon
        .push(raw.carbon.get(i).copied().unwrap_or(0.0) * share * rich);
}

fn grow(out: &mut Cells, raw: &Cells, i: usize) {
    for (into, steel) in out.steels.iter_mut().zip(&raw.steels) {
        if let (Some(last), Some(more)) = (into.last_mut(), steel.get(i)) {
            *last += more;
        }
    }
    if let (Some(last), Some(more)) = (out.carbon.last_mut(), raw.carbon.get(i)) {
        *last += more;
    }
}

/// For each boundary, first face to last, whether carbon moves across it.
fn moves(activity: &[f64], open: Open, step: f64) -> Vec<bool> {
    let inner = activity.iter().zip(activity.iter().skip(1));
    let mut moving = vec![open.first];
    moving.extend(inner.map(|(a, b)| (a - b).abs() > step));
    moving.push(open.last);
    moving
}

struct Room {
    left: Vec<f64>,
    right: Vec<f64>,
    from_first: Vec<f64>,
    from_last: Vec<f64>,
}

impl Room {
    fn of(thickness: &[f64], moving: &[bool], open: Open) -> Self {
        let whole: f64 = thickness.iter().sum();
        let mut left = Vec::with_capacity(moving.len());
        let mut from_first = Vec::with_capacity(moving.len());
        let mut room = f64::INFINITY;
        let mut at = 0.0;
        for (i, moves) in moving.iter().enumerate() {
            room = if *moves { 0.0 } else { room };
            left.push(room);
            from_first.push(if open.first { at } else { f64::INFINITY });
            let mm = thickness.get(i).copied().unwrap_or(0.0);
            room += mm;
            at += mm;
        }
        let mut right = left.clone();
        let mut from_last = vec![f64::INFINITY; moving.len()];
        let mut room = f64::INFINITY;
        let mut at = whole;
        for (i, moves) in moving.iter().enumerate().rev() {
            room = if *moves { 0.0 } else { room };
            if let Some(r) = right.get_mut(i) {
                *r = r.min(room);
            }
            if open.last
                && let Some(d) = from_last.get_mut(i)
            {
                *d = whole - at;
            }
            let mm = i
                .checked_sub(1)
                .and_then(|k| thickness.get(k))
                .copied()
                .unwrap_or(0.0);
            room += mm;
            at -= mm;
        }
        // `right` now holds the nearest on either side of each boundary.
        Self {
            left: right.clone(),
            right,
            from_first,
            from_last,
        }
    }

    fn at(&self, i: usize) -> Ends {
        let get = |list: &[f64], k: usize| list.get(k).copied().unwrap_or(f64::INFINITY);
        Ends {
            left: get(&self.left, i),
            right: get(&self.right, i + 1),
            faces: (get(&self.from_first, i), get(&self.from_last, i + 1)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Fineness, Open, refine};
    use crate::physics::diffusion::Sequence;
    use crate::physics::diffusion::flatten::flatten;
    use crate::units::Mm;

    const FINE: Fineness = Fineness {
        cell: 0.05,
        face: 0.02,
        blend: 0.075,
        near: 0.3,
        growth: 0.3,
        level: 1e-4,
    };

    fn pair(mm: f64) -> Sequence {
        Sequence::join([
            Sequence::layer(0, Mm(mm), 0.9),
            Sequence::layer(1, Mm(mm), 0.6),
        ])
    }

    fn count(stack: &Sequence, open: bool) -> usize {
        let open = Open {
            first: open,
            last: open,
        };
        let cells = refine(&flatten(stack, &[1.0, 1.0], FINE), open, FINE);
        let mm: f64 = cells.thickness().iter().sum();
        assert!((mm / stack.thickness().0 - 1.0).abs() < 1e-9);
        let carbon: f64 = cells.carbon.iter().sum();
        assert!((carbon / mm / stack.mean_carbon() - 1.0).abs() < 1e-9);
        cells.len()
    }

    #[test]
    fn a_level_billet_is_few_cells_and_an_open_one_is_fine_at_its_faces() {
        let level = Sequence::layer(0, Mm(25.0), 0.8);
        assert!(count(&level, false) == 1);
        let open = count(&level, true);
        assert!(open > 40 && open < 120, "{open}");
    }

    #[test]
    fn copies_thinner_than_a_cell_cost_nothing() {
        let few = count(&pair(0.03).repeated(400), true);
        let many = count(&pair(0.03e-9).repeated(400_000_000_000), true);
        assert_eq!(few, many);
    }

    #[test]
    fn thick_layers_are_graded_and_thin_ones_share() {
        let thick = count(&pair(5.0).repeated(2), false);
        assert!(thick > 40 && thick < 4 * 60, "{thick}");
        let odd = (1..400_u32).map(|i| Sequence::layer(1, Mm(0.01), f64::from(i % 3)));
        let shared = count(&Sequence::join(odd), false);
        assert!(shared < 200 + 1, "{shared}");
    }
}
