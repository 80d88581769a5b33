//! Which passes bring a bar to a target section.
//!
//! With `a` the log squeeze in all on the flat, `c` on the edge, `dx = ln(h0/h1)`, `dy = ln(w1/w0)` and
//! the spread coefficients `sf`, `se` of the two ways up ([`draw_out`](super::draw_out)):
//! `a - se c = dx`, `sf a - c = dy`, and the length follows from volume.
//! The two limits of the bite: for the work to reach the middle the bite is at least a third of
//! the height, and a squeeze above 1.3 laps at the edge of the bite (Wistreich and Shutt, J. Iron
//! Steel Inst. 193 (1959) 163, from memory); a bar set on edge buckles when it is more than 2.5
//! times as tall as wide (from memory).

use super::draw_out::{Bar, bites, coefficient};
use super::{Law, OutOfRange, Range};
use crate::metal::Mark;
use crate::units::Mm;

/// The card of this law.
pub const LAW: Law = Law {
    key: "draw-plan",
    title: "a drawing plan",
    source: "volume kept and the spread law; limits of bite and squeeze from J. G. \
             Wistreich, A. Shutt, J. Iron Steel Inst. 193 (1959) 163",
    mark: Mark::FromMemory,
    valid: "rectangular bars; squeeze of one pass 1.01 to 2",
};

/// Bite over height from which the middle of the bar is worked.
pub const LEAST_BITE: f64 = 1.0 / 3.0;
/// Squeeze of one bite beyond which laps form.
pub const GREATEST_SQUEEZE: f64 = 1.3;
/// Height over width beyond which a bar on edge buckles.
pub const GREATEST_ON_EDGE: f64 = 2.5;
/// Passes in one plan beyond which the job is refused as unreal.
const MOST_PAIRS: u32 = 200;
/// Log squeeze on edge too small to turn the bar for.
const NO_EDGE: f64 = 0.005;

/// Squeeze that one pass may take.
pub const PASS_SQUEEZE: Range = Range {
    law: LAW.title,
    name: "squeeze of one pass",
    unit: "",
    least: 1.01,
    greatest: 2.0,
};

/// Log squeezes in all, and how much longer the bar gets.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Squeezes {
    /// On the flat.
    pub flat: f64,
    /// On the edge; below zero when the bar comes out narrower than asked for.
    pub edge: f64,
    /// Length after over length before.
    pub longer: f64,
}

/// The log squeezes that bring `height` x `width` of `from` to those of `to`, for fixed spread
/// coefficients on the flat and on the edge.
///
/// ```
/// # use anvilside::physics::{draw_plan::squeezes, Bar};
/// let s = squeezes(Bar::new(56.0, 42.0, 100.0), Bar::new(14.0, 42.0, 400.0), 0.35, 0.45);
/// assert!((s.flat - 1.64545).abs() < 1e-4);
/// assert!((s.edge - 0.57591).abs() < 1e-4);
/// assert!((s.longer - 4.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn squeezes(from: Bar, to: Bar, flat_spread: f64, edge_spread: f64) -> Squeezes {
    let thinner = (from.height / to.height).ln();
    let wider = (to.width / from.width).ln();
    let both = 1.0 - flat_spread * edge_spread;
    let flat = (thinner - edge_spread * wider) / both;
    let edge = (flat_spread * thinner - wider) / both;
    Squeezes {
        flat,
        edge,
        longer: ((1.0 - flat_spread) * flat + (1.0 - edge_spread) * edge).exp(),
    }
}

/// One pass along the whole bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pass {
    /// True when the bar stands on edge.
    pub on_edge: bool,
    /// Before over after, of the side between the dies.
    pub squeeze: f64,
    /// Bites from end to end.
    pub bites: f64,
    /// Bite over the side between the dies.
    pub bite_over_height: f64,
    /// The bar after the pass; height and width keep their names on edge.
    pub after: Bar,
}

/// What to mind in a plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DrawWarning {
    /// Bites are short against the height: the middle is not worked and welds there are pulled.
    SkinOnly {
        /// The least bite that works the middle all through.
        bite: Mm,
    },
    /// The squeeze chosen is beyond [`GREATEST_SQUEEZE`]: laps at the edges of the bites.
    Laps,
    /// On edge the bar is taller than [`GREATEST_ON_EDGE`] times its width: it buckles.
    Buckles,
    /// The bar comes out narrower than asked for: take wider bites, or start wider.
    Narrow {
        /// Width reached.
        width: Mm,
    },
}

/// Passes from one section to another.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawPlan {
    /// In order.
    pub passes: Vec<Pass>,
    /// The bar at the end; only narrower than the target when [`DrawWarning::Narrow`] says so.
    pub after: Bar,
    /// Bites in all.
    pub bites: f64,
    /// What to mind.
    pub warnings: Vec<DrawWarning>,
}

/// Why there is no plan.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NoPlan {
    /// A size or squeeze out of range.
    #[error(transparent)]
    Range(#[from] OutOfRange),
    /// The target is thicker than the bar.
    #[error("drawing out does not thicken a bar: upset it, or choose a thinner target")]
    Thicker,
    /// The target is wider than the bar spreads.
    #[error("the bar comes out narrower than that by more than a tenth: start wider")]
    TooWide,
}

/// Plans pairs of passes, each at most `squeeze`, with the spread followed as the bar changes. The side
/// that has further to go is squeezed first; a side within 0.5 % is let be.
///
/// ```
/// # use anvilside::physics::{draw_plan::plan_draw, Bar};
/// # use anvilside::units::Mm;
/// let plan = plan_draw(Bar::new(56.0, 42.0, 100.0), Mm(14.0), Mm(42.0), Mm(25.0), 1.25)?;
/// assert!((plan.after.height.0 - 14.0).abs() < 1e-9);
/// assert!((plan.after.width.0 - 42.0).abs() < 1e-9);
/// assert!((plan.after.length.0 - 400.0).abs() < 1e-6);
/// # Ok::<(), anvilside::physics::draw_plan::NoPlan>(())
/// ```
///
/// # Errors
/// [`NoPlan`].
pub fn plan_draw(
    from: Bar,
    height: Mm,
    width: Mm,
    bite: Mm,
    squeeze: f64,
) -> Result<DrawPlan, NoPlan> {
    for size in [from.height, from.width, from.length, height, width, bite] {
        super::draw_out::SIZE.check(size.0)?;
    }
    PASS_SQUEEZE.check(squeeze)?;
    if height.0 > from.height.0 * 1.0001 {
        return Err(NoPlan::Thicker);
    }
    let to = Bar {
        height,
        width,
        length: from.length,
    };
    if from.width / width > from.height / height {
        let mut passes = gentlest(from.turned(), to.turned(), bite, squeeze)?;
        for pass in &mut passes {
            pass.on_edge = !pass.on_edge;
            pass.after = pass.after.turned();
        }
        return finish(from, to, bite, squeeze, passes);
    }
    let passes = gentlest(from, to, bite, squeeze)?;
    finish(from, to, bite, squeeze, passes)
}

/// As few pairs as `squeeze` allows, then the gentlest even squeeze that needs no more of them, so
/// that the last pair is not a stub.
fn gentlest(from: Bar, to: Bar, bite: Mm, squeeze: f64) -> Result<Vec<Pass>, NoPlan> {
    let Some((mut passes, most)) = walk(from, to, bite, squeeze.ln()) else {
        return Err(NoPlan::TooWide);
    };
    let (mut too_soft, mut enough) = (0.0, squeeze.ln());
    for _ in 0..30 {
        let middle = f64::midpoint(too_soft, enough);
        match walk(from, to, bite, middle) {
            Some((softer, pairs)) if pairs <= most => {
                passes = softer;
                enough = middle;
            }
            _ => too_soft = middle,
        }
    }
    Ok(passes)
}

/// Pairs of passes of at most `limit` (log) until the target is met, and how many pairs; none when
/// [`MOST_PAIRS`] do not get there.
fn walk(from: Bar, to: Bar, bite: Mm, limit: f64) -> Option<(Vec<Pass>, u32)> {
    let mut passes = Vec::new();
    let mut bar = from;
    for pair in 1..=MOST_PAIRS {
        let flat_spread = coefficient(bite / bar.width);
        let mut share = 1.0_f64;
        let (mut need, mut edge_spread) = pair_to(bar, to, bite);
        if need.flat.max(need.edge) > limit {
            let mut hard = 1.0;
            share = 0.0;
            for _ in 0..40 {
                let middle = f64::midpoint(share, hard);
                let (try_need, try_spread) = pair_to(bar, part_way(bar, to, middle), bite);
                if try_need.flat.max(try_need.edge) > limit {
                    hard = middle;
                } else {
                    (share, need, edge_spread) = (middle, try_need, try_spread);
                }
            }
        }
        if need.flat > 1e-9 {
            bar = pass(&mut passes, bar, false, need.flat, flat_spread, bite);
        }
        if need.edge > 1e-9 {
            bar = pass(&mut passes, bar, true, need.edge, edge_spread, bite);
        }
        if share >= 1.0 {
            return Some((passes, pair));
        }
        if share < 1e-6 {
            return None;
        }
    }
    None
}

/// The squeezes of one pair from `bar` to the section of `goal`, and the spread on its edge pass: that
/// spreads the height which the flat pass left, so both are settled together.
fn pair_to(bar: Bar, goal: Bar, bite: Mm) -> (Squeezes, f64) {
    let flat_spread = coefficient(bite / bar.width);
    let mut edge_spread = coefficient(bite / goal.height);
    let mut need = squeezes(bar, goal, flat_spread, edge_spread);
    for _ in 0..20 {
        edge_spread = coefficient(bite.0 / (bar.height.0 * (-need.flat).exp()));
        need = squeezes(bar, goal, flat_spread, edge_spread);
    }
    if need.edge < NO_EDGE {
        need.flat = (bar.height / goal.height).ln();
        need.edge = 0.0;
    }
    (need, edge_spread)
}

/// The section `share` of the way, in logs.
fn part_way(bar: Bar, to: Bar, share: f64) -> Bar {
    Bar {
        height: bar.height * (to.height / bar.height).powf(share),
        width: bar.width * (to.width / bar.width).powf(share),
        ..bar
    }
}

fn pass(passes: &mut Vec<Pass>, bar: Bar, on_edge: bool, log: f64, spread: f64, bite: Mm) -> Bar {
    let up = if on_edge { bar.turned() } else { bar };
    let done = Bar {
        height: up.height * (-log).exp(),
        width: up.width * (spread * log).exp(),
        length: up.length * ((1.0 - spread) * log).exp(),
    };
    let after = if on_edge { done.turned() } else { done };
    passes.push(Pass {
        on_edge,
        squeeze: log.exp(),
        bites: bites(up.length, bite),
        bite_over_height: bite / up.height,
        after,
    });
    after
}

fn finish(
    from: Bar,
    to: Bar,
    bite: Mm,
    squeeze: f64,
    passes: Vec<Pass>,
) -> Result<DrawPlan, NoPlan> {
    let after = passes.last().map_or(from, |pass| pass.after);
    let mut warnings = Vec::new();
    if after.width.0 < to.width.0 * 0.9 {
        return Err(NoPlan::TooWide);
    }
    if passes.iter().any(|p| p.bite_over_height < LEAST_BITE) {
        let tallest = passes
            .iter()
            .map(|p| bite.0 / p.bite_over_height)
            .fold(0.0, f64::max);
        warnings.push(DrawWarning::SkinOnly {
            bite: Mm(tallest * LEAST_BITE),
        });
    }
    if squeeze > GREATEST_SQUEEZE {
        warnings.push(DrawWarning::Laps);
    }
    let mut before = from;
    let mut buckles = false;
    for pass in &passes {
        buckles |= pass.on_edge && before.width.0 > GREATEST_ON_EDGE * before.height.0;
        before = pass.after;
    }
    if buckles {
        warnings.push(DrawWarning::Buckles);
    }
    if after.width.0 < to.width.0 * 0.995 {
        warnings.push(DrawWarning::Narrow { width: after.width });
    }
    Ok(DrawPlan {
        bites: passes.iter().map(|p| p.bites).sum(),
        after,
        passes,
        warnings,
    })
}

#[cfg(test)]
mod tests {
    use super::{DrawWarning, NoPlan, plan_draw, squeezes};
    use crate::physics::Bar;
    use crate::units::Mm;

    #[test]
    fn square_to_square_is_close_to_the_pairs_worked_by_hand() {
        let plan = plan_draw(
            Bar::new(50.0, 50.0, 200.0),
            Mm(25.35),
            Mm(25.35),
            Mm(25.0),
            1.26,
        )
        .unwrap();
        assert_eq!(plan.passes.len(), 10, "{plan:?}");
        assert!((plan.bites - 168.0).abs() < 8.0, "{}", plan.bites);
        assert!((plan.after.length.0 - 778.0).abs() < 1.0);
    }

    #[test]
    fn volume_and_target_are_met_and_no_pass_squeezes_harder() {
        for (h, w) in [(40.0, 45.0), (30.0, 40.0), (12.0, 40.0), (20.0, 20.0)] {
            let from = Bar::new(45.0, 45.0, 150.0);
            let plan = plan_draw(from, Mm(h), Mm(w), Mm(25.0), 1.25).unwrap();
            assert!((plan.after.volume() / from.volume() - 1.0).abs() < 1e-9);
            assert!((plan.after.height.0 - h).abs() < 1e-6);
            assert!(plan.passes.iter().all(|p| p.squeeze <= 1.25 + 1e-6));
            assert!(plan.after.width.0 < w * 1.006 && plan.after.width.0 > w * 0.9);
        }
    }

    #[test]
    fn a_target_wider_than_the_metal_spreads_is_said() {
        let from = Bar::new(30.0, 30.0, 100.0);
        let far = plan_draw(from, Mm(15.0), Mm(60.0), Mm(25.0), 1.25);
        assert!(matches!(far, Err(NoPlan::TooWide)));
        let near = plan_draw(from, Mm(20.0), Mm(36.5), Mm(25.0), 1.25).unwrap();
        assert!(
            near.warnings
                .iter()
                .any(|w| matches!(w, DrawWarning::Narrow { .. })),
            "{near:?}"
        );
    }

    #[test]
    fn short_bites_hard_squeezes_and_tall_bars_are_warned_of() {
        let plan = plan_draw(
            Bar::new(60.0, 60.0, 100.0),
            Mm(40.0),
            Mm(50.0),
            Mm(12.0),
            1.4,
        )
        .unwrap();
        assert!(plan.warnings.contains(&DrawWarning::Laps));
        assert!(plan.warnings.iter().any(
            |w| matches!(w, DrawWarning::SkinOnly { bite } if bite.0 >= 20.0 && bite.0 < 23.0)
        ));
        let flat = plan_draw(
            Bar::new(12.0, 40.0, 100.0),
            Mm(12.0),
            Mm(34.0),
            Mm(25.0),
            1.25,
        )
        .unwrap();
        assert!(flat.warnings.contains(&DrawWarning::Buckles), "{flat:?}");
    }

    #[test]
    fn nonsense_is_refused() {
        let from = Bar::new(30.0, 30.0, 100.0);
        assert!(matches!(
            plan_draw(from, Mm(40.0), Mm(30.0), Mm(25.0), 1.25),
            Err(NoPlan::Thicker)
        ));
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!(plan_draw(from, Mm(bad), Mm(30.0), Mm(25.0), 1.25).is_err());
            assert!(plan_draw(from, Mm(20.0), Mm(30.0), Mm(25.0), bad).is_err());
        }
    }

    #[test]
    fn the_closed_form_keeps_the_volume() {
        let s = squeezes(
            Bar::new(50.0, 40.0, 1.0),
            Bar::new(20.0, 35.0, 1.0),
            0.3,
            0.4,
        );
        assert!((s.longer - 50.0 * 40.0 / (20.0 * 35.0)).abs() < 1e-9);
    }
}
