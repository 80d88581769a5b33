//! What the moves to come do to the lines: how much straighter each draw leaves them, and what a
//! turned or twisted restack brings.

use super::build::Hand;
use super::chain::Chain;
use super::lines::{Lines, Straightened};
use super::view::View;
use crate::billet::{Billet, Deformation, Deforms, Figure, Kind, Move, StackPiece, Stand};
use crate::units::show;

/// One move to come.
#[derive(Debug, Clone, PartialEq)]
pub struct Coming {
    /// Its place in the history.
    pub at: usize,
    /// What it is.
    pub kind: Kind,
    /// The lines before it; none where no layers show.
    pub before: Option<Lines>,
    /// The lines after it; none where no layers show.
    pub lines: Option<Lines>,
    /// Slopes of the lines before over after this move alone: 3 for three times straighter, under 1
    /// where it leaves them steeper. The hammer's new waves are in it.
    pub straighter: f64,
    /// The same from the lines now.
    pub since_now: f64,
    /// The affine law, for a move that only squeezes: what it takes of the lines that are there.
    pub law: Option<Straightened>,
}

impl Coming {
    /// Slope in degrees that an even squeeze leaves of what is there, before the hammer makes new waves: its
    /// tangent goes by `(t1/t0)/(L1/L0)` where layers lie flat under the face, by `(w1/w0)/(L1/L0)` where they
    /// stand on edge. None where they lie both ways, and for a move that is no squeeze.
    #[must_use]
    pub fn leaves(&self) -> Option<f64> {
        let before = self.before?;
        let law = self.law?;
        let factor = match before.tilt {
            flat if flat < 0.3 => law.along,
            edge if edge > 0.95 => law.on_edge,
            _ => return None,
        };
        let tangent = before.slope.to_radians().tan() * factor;
        Some(tangent.atan().to_degrees())
    }
}

/// True for the moves after which lines run otherwise on a bar's faces; the rest only take metal off or
/// are no work on the bar.
#[must_use]
pub fn bends_lines(made: &Move) -> bool {
    matches!(
        made.kind().row().deforms,
        Deforms::Stretches | Deforms::Bends
    )
}

/// True for work that is an even stretch.
#[must_use]
pub fn squeezes(kind: Kind) -> bool {
    kind.row().deforms == Deforms::Stretches
}

/// Slopes before over after, in words: `4.6 x straighter`.
///
/// ```
/// # use anvilside::pattern::straight;
/// assert_eq!(straight(4.63), "4.6 x straighter");
/// assert_eq!(straight(0.5), "2.0 x steeper");
/// ```
#[must_use]
pub fn straight(times: f64) -> String {
    match times {
        t if t >= 1.0 => format!("{} x straighter", figure(t)),
        t => format!("{} x steeper", figure(1.0 / t.max(1e-6))),
    }
}

/// A number of times, no finer than it is known.
#[must_use]
pub fn figure(times: f64) -> String {
    match times {
        t if t < 9.95 => show::fixed(t, 1),
        t if t < 999.5 => show::fixed(t, 0),
        _ => "over 1000".to_owned(),
    }
}

/// How much straighter along the bar an even draw from one billet to the next leaves the lines that are
/// there, by the affine law: 3 for three times. Where layers lie both ways, what it surely takes.
#[must_use]
pub fn straighter(before: &Billet, after: &Billet) -> f64 {
    let size = |billet: &Billet| {
        let bar = &billet.bar;
        [bar.width, bar.thickness, bar.length]
    };
    let drawn = Straightened::by(size(before), size(after));
    let core = &before.bar.core;
    let left = match (core.figure, core.stand) {
        (Figure::Flat, Stand::Flat) => drawn.along,
        (Figure::Flat, Stand::OnEdge) => drawn.on_edge,
        _ => drawn.along.max(drawn.on_edge),
    };
    1.0 / left.max(1e-6)
}

/// The lines after each move from `now` on that bends them. The first `now` moves are done.
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
    // The lines before the next move, while they are still those after the last.
    let mut known = Some(start);
    let mut out = Vec::new();
    for (at, done) in history.iter().enumerate().skip(now) {
        if !bends_lines(&done.made) {
            known = None;
            continue;
        }
        let before = known.unwrap_or_else(|| lines(at));
        let after = lines(at + 1);
        let times = |from: Option<Lines>| match (slope(from), slope(after)) {
            (a, b) if a > 1e-9 && b > 1e-9 => a / b,
            _ => 1.0,
        };
        out.push(Coming {
            at,
            kind: done.made.kind(),
            before,
            lines: after,
            straighter: times(before),
            since_now: times(start),
            law: squeezes(done.made.kind()).then(|| Straightened::by(done.worked(), done.after)),
        });
        known = Some(after);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pattern::samples::{Shop, alternating};
    use crate::units::Mm;

    #[test]
    fn a_heavy_draw_straightens_and_a_twist_steepens() {
        let shop = Shop::twist();
        let hand = Hand::default();
        let coming = foresee(&shop.first, &shop.history, 1, hand, View::Face);
        // Draw, restack, draw, twist, square, draw; trims, grinds and cuts bend nothing.
        assert_eq!(coming.len(), 5, "{coming:?}");
        let of = |kind: Kind| coming.iter().find(|c| c.kind == kind).unwrap();
        assert!(of(Kind::Twist).straighter < 0.3, "{:?}", of(Kind::Twist));
        let slopes = [of(Kind::Twist).before, of(Kind::Twist).lines].map(|of| of.unwrap().slope);
        assert!(slopes[1] > slopes[0] + 1.0, "{slopes:?}");
        let last = coming.last().unwrap();
        assert_eq!(last.kind, Kind::Draw);
        assert!(last.straighter > 1.2, "{last:?}");
        assert!(last.law.unwrap().along < 0.7);
    }

    // By hand: at 45 degrees, drawn to twice the length at half the thickness and the same width, the tangent
    // of flat layers is quartered (14.036 degrees), that of layers on edge halved (26.565).
    #[test]
    fn a_draw_leaves_by_law_what_it_stretches() {
        let lines = |tilt| {
            Some(Lines {
                along: 1.0,
                across: 1.0,
                slope: 45.0,
                tilt,
            })
        };
        let of = |law, tilt| Coming {
            at: 0,
            kind: Kind::Draw,
            before: lines(tilt),
            lines: lines(tilt),
            straighter: 1.0,
            since_now: 1.0,
            law,
        };
        let law = Straightened::by(
            [Mm(40.0), Mm(20.0), Mm(100.0)],
            [Mm(40.0), Mm(10.0), Mm(200.0)],
        );
        assert!((of(Some(law), 0.0).leaves().unwrap() - 14.036_243).abs() < 1e-6);
        assert!((of(Some(law), 1.0).leaves().unwrap() - 26.565_051).abs() < 1e-6);
        assert!(of(None, 0.0).leaves().is_none());
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
