//! Ways by count: a piece fewer or more, other counts, a restack fewer.

use super::search::{Fit, Search};
use super::{WayKind, edit};

/// Minutes that a way without a margin is taken to cost more; a matter of judgement, no source.
const NO_MARGIN: f64 = 600.0;

impl Search<'_> {
    /// One piece fewer or more, other counts, or one restack fewer: the best of each kind.
    pub(super) fn sequences(&self) -> Vec<Fit> {
        let cuts = self.base.piled_cuts(self.start.at);
        let now: Vec<u32> = cuts
            .iter()
            .map(|cut| edit::pieces_of(&self.base, *cut))
            .collect();
        let mut fits = Vec::new();
        if cuts.is_empty() || cuts.len() > 3 {
            return fits;
        }
        let mut best: [Option<(f64, Fit)>; 3] = [None, None, None];
        let mut keep = |slot: usize, fit: Fit| {
            // One that leaves no margin gives way to any that does.
            let margin = if fit.sure { 0.0 } else { NO_MARGIN };
            let weight = self.cost(&fit).weight(self.start.plan) + margin;
            if let Some(place) = best.get_mut(slot)
                && place.as_ref().is_none_or(|(least, _)| weight < *least)
            {
                *place = Some((weight, fit));
            }
        };
        for counts in combinations(cuts.len()) {
            if counts == now {
                continue;
            }
            let change: i64 = counts
                .iter()
                .zip(&now)
                .map(|(new, old)| i64::from(*new) - i64::from(*old))
                .sum();
            let moved = counts
                .iter()
                .zip(&now)
                .filter(|(new, old)| new != old)
                .count();
            let (slot, kind) = match (moved, change) {
                (1, -1) => (0, WayKind::PieceFewer),
                (1, 1) => (1, WayKind::PieceMore),
                _ => (2, WayKind::OtherSequence),
            };
            let mut plan = self.base.clone();
            for (cut, count) in cuts.iter().zip(&counts) {
                plan = edit::with_pieces(&plan, *cut, *count, true);
            }
            let title = format!("Restack {} high instead of {}", row(&counts), row(&now));
            if let Some(fit) = self.fit(kind, title.clone(), plan.clone()) {
                keep(slot, fit);
            } else if self.lost_count
                && let Some(fit) = self.shorter_blanks(&plan, kind, &title)
            {
                keep(slot, fit);
            }
        }
        if let Some(first) = cuts.first()
            && cuts.len() > 1
            && let Some(fewer) = edit::without_pile(&self.base, *first, self.start.at)
        {
            let left = fewer.piled_cuts(self.start.at);
            for counts in combinations(left.len()) {
                let mut plan = fewer.clone();
                for (cut, count) in left.iter().zip(&counts) {
                    plan = edit::with_pieces(&plan, *cut, *count, true);
                }
                let title = format!("One restack fewer: {} high", row(&counts));
                if let Some(fit) = self.fit(WayKind::OtherSequence, title, plan) {
                    keep(2, fit);
                }
            }
        }
        fits.extend(best.into_iter().flatten().map(|(_, fit)| fit));
        fits
    }
}

/// Every row of piece counts.
fn combinations(length: usize) -> Vec<Vec<u32>> {
    let mut all: Vec<Vec<u32>> = vec![Vec::new()];
    for _ in 0..length {
        all = all
            .into_iter()
            .flat_map(|row| {
                (2..=edit::MOST_PIECES).map(move |count| {
                    let mut longer = row.clone();
                    longer.push(count);
                    longer
                })
            })
            .collect();
    }
    all
}

fn row(counts: &[u32]) -> String {
    let words: Vec<String> = counts.iter().map(ToString::to_string).collect();
    words.join(" then ")
}
