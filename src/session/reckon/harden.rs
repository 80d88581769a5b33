//! The hardening and tempering windows worked out for this billet, with the carbon it holds now.

use crate::metal::Steel;
use crate::physics::Spread;
use crate::physics::hardening::{Common, Member, common};
use crate::physics::tempering::hardness_after;
use crate::units::{Celsius, Seconds};

/// What hardening and tempering come to.
#[derive(Debug, Clone, PartialEq)]
pub struct HardenView {
    /// The window that all steels share, and each one's own figures.
    pub common: Common,
    /// Hardness as quenched over all steels that harden, HRC.
    pub quenched: Option<Spread>,
    /// Hardness after the step's temper over all steels that harden, HRC.
    pub tempered: Option<Spread>,
    /// Part still austenite at 20 C, over all steels that harden.
    pub retained: Option<Spread>,
}

/// Works the windows for steels that hold this carbon now, mass %; `temper` is what the step does.
#[must_use]
pub fn harden(steels: &[(Steel, f64)], temper: Option<(Celsius, Seconds)>) -> Option<HardenView> {
    let members: Vec<Member<'_>> = steels
        .iter()
        .map(|(steel, carbon)| Member {
            name: &steel.grade,
            metal: steel.nominal.with_carbon(*carbon),
            // The maker's own window holds while the carbon is about what was sold.
            maker: steel
                .austenitise
                .filter(|_| (carbon - steel.nominal.c).abs() < 0.05),
        })
        .collect();
    let common = common(&members).ok()?;
    let tempered = temper.and_then(|(at, time)| {
        let each: Vec<Spread> = members
            .iter()
            .filter(|member| !common.soft.iter().any(|name| name == member.name))
            .filter_map(|member| hardness_after(&member.metal, at, time).ok())
            .collect();
        let low = each.iter().map(|s| s.low).reduce(f64::min)?;
        let high = each.iter().map(|s| s.high).reduce(f64::max)?;
        let best: f64 = each.iter().map(|s| s.best).sum();
        #[expect(clippy::cast_precision_loss, reason = "a handful of steels")]
        let mean = best / each.len() as f64;
        Some(Spread {
            low,
            best: mean,
            high,
        })
    });
    Some(HardenView {
        quenched: common.over_all(|one| one.hardness),
        retained: common.over_all(|one| one.retained),
        tempered,
        common,
    })
}
