//! The hardening and tempering windows worked out for this billet, with the carbon it holds now.

use crate::metal::Steel;
use crate::physics::Spread;
use crate::physics::hardenability::ideal_diameter_inch;
use crate::physics::hardening::{Common, Member, common};
use crate::physics::quench::{Quench, plate_mm};
use crate::physics::tempering::hardness_after;
use crate::plan::HeatWindow;
use crate::units::{Celsius, Seconds};

/// What hardening and tempering come to.
#[derive(Debug, Clone, PartialEq)]
pub struct HardenView {
    /// The window to harden in: the plan's, else the one worked for the carbon held now.
    pub window: Option<HeatWindow>,
    /// The worked window, where the plan's reaches outside it.
    pub against: Option<HeatWindow>,
    /// The window that all steels share, and each one's own figures.
    pub common: Common,
    /// Hardness as quenched over all steels that harden, HRC.
    pub quenched: Option<Spread>,
    /// Hardness after the step's temper over all steels that harden, HRC: at the lower and at the
    /// upper end of its window.
    pub tempered: Option<(Spread, Spread)>,
    /// Part still austenite at 20 C, over all steels that harden.
    pub retained: Option<Spread>,
    /// Thickest plate that the shallowest steel hardens through in fast oil, mm.
    pub through: Option<Spread>,
}

/// What a window may reach outside the worked one before it is said: the formulas are worth no more.
const OUTSIDE: Celsius = Celsius(5.0);

/// Works the windows for steels that hold this carbon now, mass %; `temper` is what the step does,
/// `planned` the window of the plan's hardening.
#[must_use]
pub fn harden(
    steels: &[(Steel, f64)],
    temper: Option<(HeatWindow, Seconds)>,
    planned: Option<HeatWindow>,
) -> Option<HardenView> {
    let members: Vec<Member<'_>> = steels
        .iter()
        .map(|(steel, carbon)| Member {
            name: &steel.grade,
            metal: steel.nominal.with_carbon(*carbon),
            known: steel.hardening(*carbon),
        })
        .collect();
    let common = common(&members).ok()?;
    let hard: Vec<&Member<'_>> = members
        .iter()
        .filter(|member| !common.soft.iter().any(|name| name == member.name))
        .collect();
    let tempered = temper.and_then(|(window, time)| {
        let after = |at: Celsius| {
            let each = hard
                .iter()
                .map(|member| hardness_after(&member.metal, at, time));
            over(&each.filter_map(Result::ok).collect::<Vec<_>>())
        };
        after(window.low).zip(after(window.high))
    });
    let through = hard
        .iter()
        .filter_map(|member| {
            let diameter = ideal_diameter_inch(&member.metal).ok()?;
            plate_mm(diameter, Quench::FastOil).ok()
        })
        .min_by(|a, b| a.best.total_cmp(&b.best));
    let worked = common.window.map(|window| HeatWindow {
        low: window.low,
        high: window.high,
    });
    let inside = |plan: HeatWindow, worked: HeatWindow| {
        plan.low >= worked.low - OUTSIDE && plan.high <= worked.high + OUTSIDE
    };
    Some(HardenView {
        window: planned.or(worked),
        against: planned
            .zip(worked)
            .and_then(|(plan, worked)| (!inside(plan, worked)).then_some(worked)),
        quenched: common.over_all(|one| one.hardness),
        retained: common.over_all(|one| one.retained),
        tempered,
        through,
        common,
    })
}

/// One figure over several steels: lowest, mean and highest.
fn over(each: &[Spread]) -> Option<Spread> {
    let low = each.iter().map(|s| s.low).reduce(f64::min)?;
    let high = each.iter().map(|s| s.high).reduce(f64::max)?;
    let sum: f64 = each.iter().map(|s| s.best).sum();
    #[expect(clippy::cast_precision_loss, reason = "a handful of steels")]
    let best = sum / each.len() as f64;
    Some(Spread { low, best, high })
}
