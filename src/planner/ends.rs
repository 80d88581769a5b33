//! The fish-mouth in the ends of a bar, step by step since they were last cut: how much a trim has to take off, and
//! what a plan has it take besides.

use std::collections::BTreeMap;

use crate::billet::{Billet, Loses, Move};
use crate::physics::fish_mouth::measure;
use crate::units::Mm;

/// How far the stretch by section and by length may be apart, as a factor: a digit too many is further.
const SAME: f64 = 1.4;
/// Ends nearer than this are cut alike, mm.
const EVEN: f64 = 0.05;

/// What a trim is planned to take: the same bad length off each end that it cuts, and what one end is cut beyond the
/// other, which is a test piece. A shop's habits and the draws change the bad length alone: a test piece is as long as
/// the plan says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EndCut {
    /// Off each end that is cut.
    pub bad: Mm,
    /// How many ends are cut.
    pub ends: f64,
    /// The length of the test piece; zero where there is none.
    pub test_piece: Mm,
}

impl EndCut {
    /// Of the two ends of a trim, the held one first.
    #[must_use]
    pub fn of(ends: [Mm; 2]) -> Self {
        match ends {
            [one, other] if one.is_positive() && other.is_positive() => Self {
                bad: one.min(other),
                ends: 2.0,
                test_piece: if one.near(other, EVEN) {
                    Mm::ZERO
                } else {
                    one.max(other) - one.min(other)
                },
            },
            [one, other] => {
                let bad = one.max(other).max(Mm::ZERO);
                Self {
                    bad,
                    ends: if bad.is_positive() { 1.0 } else { 0.0 },
                    test_piece: Mm::ZERO,
                }
            }
        }
    }

    /// The bad length in the mean of both ends, cut or not.
    #[must_use]
    pub fn bad_mean(&self) -> Mm {
        self.bad * (self.ends / 2.0)
    }

    /// The two ends with another bad length, the test piece as it was.
    #[must_use]
    pub fn with_bad(&self, ends: [Mm; 2], bad: Mm) -> [Mm; 2] {
        ends.map(|end| {
            if end.is_positive() {
                end - self.bad + bad.max(Mm::ZERO)
            } else {
                end
            }
        })
    }
}

/// The measure of the hollow of each bar, by name; none where the ends are freshly cut, no number where a
/// reading that cannot be has spoilt it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Ends(BTreeMap<String, Mm>);

impl Ends {
    /// The measure in the ends of a bar, mm: [`measure`].
    #[must_use]
    pub fn of(&self, bar: &str) -> Mm {
        self.0.get(bar).copied().unwrap_or(Mm::ZERO)
    }

    /// Follows one step that was made on the bar in hand.
    pub fn step(&mut self, bar: &str, made: &Move, before: &Billet, after: &Billet) {
        let was = self.of(bar);
        let now = match made.kind().row().loses {
            Loses::Draw | Loses::Crush | Loses::Weld => {
                let (from, to) = (&before.bar, &after.bar);
                let longer = (from.width * from.thickness) / (to.width * to.thickness);
                let apart = to.length / from.length / longer;
                if (1.0 / SAME..SAME).contains(&apart) {
                    // Outside the law nothing is known of the ends.
                    measure(was, from.thickness, to.thickness, longer).unwrap_or(Mm(f64::NAN))
                } else {
                    Mm(f64::NAN)
                }
            }
            Loses::Nothing | Loses::Grind | Loses::Treat | Loses::Untold => was,
            Loses::Trim
            | Loses::Kerf
            | Loses::Piles
            | Loses::Adds
            | Loses::Opening
            | Loses::Forge
            | Loses::Shaping => Mm::ZERO,
        };
        if now.is_positive() || now.0.is_nan() {
            self.0.insert(bar.to_owned(), now);
        } else {
            self.0.remove(bar);
        }
    }
}
