//! What the moves to come do to the lines: how much straighter each draw leaves them, and what a
//! turned or twisted restack brings.

use super::build::Hand;
use super::chain::Chain;
use super::lines::{Lines, Straightened};
use super::view::View;
use crate::billet::{Deformation, Kind, Move, StackPiece};

/// One move to come.
#[derive(Debug, Clone, PartialEq)]
pub struct Coming {
    /// Its place in the history.
    pub at: usize,
    /// What it is.
    pub kind: Kind,
    /// The lines after it; none where no layers show.
    pub lines: Option<Lines>,
    /// Slopes of the lines before over after this move alone: 3 for three times straighter, under 1
    /// where it livens them.
    pub straighter: f64,
    /// The same from the lines now.
    pub since_now: f64,
    /// The affine law, for a move that only squeezes.
    pub law: Option<Straightened>,
}

impl Coming {
    /// In a line, as an estimate.
    #[must_use]
    pub fn text(&self) -> String {
        let what = self.kind.title();
        match (self.lines, self.straighter) {
            (None, _) => format!("{what}: no layers show here"),
            (Some(lines), times) if times > 1.1 => format!(
                "{what}: lines about {} x straighter, {}",
                figure(times),
                lines.lively_word().word()
            ),
            (Some(lines), times) if times < 0.9 => format!(
                "{what}: lines about {} x steeper, {}",
                figure(1.0 / times.max(1e-6)),
                lines.lively_word().word()
            ),
            (Some(lines), _) => format!("{what}: lines as before, {}", lines.lively_word().word()),
        }
    }
}

fn figure(times: f64) -> String {
    if times < 9.95 {
        format!("{times:.1}")
    } else if times < 1000.0 {
        format!("{times:.0}")
    } else {
        "over 1000".to_owned()
    }
}

/// The lines after each move from `now` on. The first `now` moves are done.
#[must_use]
pub fn foresee(
    first: &[StackPiece],
    history: &[Deformation],
    now: usize,
    hand: Hand,
    view: View,
) -> Vec<Coming> {
    let lines = |moves: usize| {
        let done = history.get(..moves)?;
        Lines::of(&Chain::new(first, done, hand), view)
    };
    let slope = |lines: Option<Lines>| lines.map_or(0.0, |lines| lines.slope.to_radians().tan());
    let start = lines(now);
    let mut before = start;
    let mut out = Vec::new();
    for (at, done) in history.iter().enumerate().skip(now) {
        let after = lines(at + 1);
        let squeezes = matches!(
            done.made,
            Move::Weld { .. } | Move::Draw { .. } | Move::Square { .. }
        );
        let times = |from: Option<Lines>| match (slope(from), slope(after)) {
            (a, b) if a > 1e-9 && b > 1e-9 => a / b,
            _ => 1.0,
        };
        out.push(Coming {
            at,
            kind: done.made.kind(),
            lines: after,
            straighter: times(before),
            since_now: times(start),
            law: squeezes.then(|| Straightened::by(done.before, done.after)),
        });
        before = after;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pattern::samples::{Shop, alternating};

    #[test]
    fn a_heavy_draw_straightens_and_a_twist_livens() {
        let shop = Shop::twist();
        let hand = Hand::default();
        let coming = foresee(&shop.first, &shop.history, 1, hand, View::Face);
        assert_eq!(coming.len(), shop.history.len() - 1);
        let of = |kind: Kind| coming.iter().find(|c| c.kind == kind).unwrap();
        assert!(of(Kind::Twist).straighter < 0.3, "{:?}", of(Kind::Twist));
        assert!(of(Kind::Twist).text().contains("steeper"));
        let last = coming.last().unwrap();
        assert_eq!(last.kind, Kind::Draw);
        assert!(last.straighter > 1.2, "{last:?}");
        assert!(last.text().contains("straighter"), "{}", last.text());
        assert!(last.law.unwrap().along < 0.7);
    }

    #[test]
    fn standing_the_layers_on_edge_brings_every_band_to_the_face() {
        let flat = Shop::new(alternating(9, 3.0, 2.0), 30.0, 100.0).draw(22.0, 23.0);
        let [w, t, l] = flat.size;
        let turned = flat.made(Move::QuarterTurn, [t, w, l]);
        let coming = foresee(
            &turned.first,
            &turned.history,
            1,
            Hand::default(),
            View::Face,
        );
        let lines = coming.first().unwrap().lines.unwrap();
        // 9 layers over 23 mm: 3.9 in a centimetre.
        assert!((lines.across - 90.0 / 23.0).abs() < 0.5, "{lines:?}");
        assert!(lines.tilt > 0.95);
    }
}
