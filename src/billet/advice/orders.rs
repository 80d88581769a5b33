//! Restacks in every order of piece counts.

use super::{Advice, Allowances, Mm, Outset, RestackSearch, bare, restacks};

/// Every order of `choices` in so many restacks and fewer, made from there until the bands reach `target` or
/// go over it; orders that stay under it end as [`super::Ends::Never`], those of too short pieces are left out.
#[must_use]
pub fn orders(
    outset: &Outset<'_>,
    allow: &Allowances,
    section: (Mm, Mm),
    target: (u64, u64),
    (choices, most): (&[u32], usize),
) -> Vec<Advice> {
    let run = RestackSearch::of(allow, section, target);
    let mut found = Vec::new();
    if let Ok(bar) = run.ready(bare(outset.billet)) {
        let from = Outset {
            billet: &bar,
            ..*outset
        };
        if bar.bands() >= run.least {
            return restacks(outset, allow, section, target, choices);
        }
        run.branch(&from, choices, most, &mut found);
    }
    found
}

impl RestackSearch<'_> {
    /// Goes on with each of the choices, so many restacks at most.
    fn branch(&self, outset: &Outset<'_>, choices: &[u32], most: usize, found: &mut Vec<Advice>) {
        let Some(left) = most.checked_sub(1) else {
            return;
        };
        let bar = outset.billet;
        for pieces in choices {
            let one = self.round(bar, *pieces, (outset.trimmed, outset.ground));
            let Ok((after, round)) = one else { continue };
            if !round.long_enough || after.bands() <= bar.bands() {
                continue;
            }
            let rounds = [outset.pending, &[round]].concat();
            let on = Outset {
                billet: &after,
                pending: &rounds,
                trimmed: false,
                ground: false,
            };
            if after.bands() < self.least {
                self.branch(&on, choices, left, found);
            }
            found.push(Advice {
                order: rounds.iter().map(|round| round.pieces).collect(),
                ..self.follow(&on, *pieces, std::iter::empty(), false)
            });
        }
    }
}
