//! The window and the soak of a step where the plan names none.

use super::{HeatWindow, Plan, Step};
use crate::billet::Fire;
use crate::metal::{Steel, Window};
use crate::units::Seconds;

/// One cycle of a temper, and the hold of an anneal under A1, where the plan names none. Common
/// practice, no source.
const TEMPER: Seconds = Seconds(2.0 * 3600.0);
const ANNEAL: Seconds = Seconds(3600.0);

impl Step {
    /// How long to hold at heat: the step's own soak, or the usual one of its kind; for a temper or an
    /// etch one cycle.
    #[must_use]
    pub fn hold(&self) -> Option<Seconds> {
        self.soak.or(match self.kind().row().fire {
            Fire::Tempering => Some(TEMPER),
            Fire::Annealing => Some(ANNEAL),
            _ => None,
        })
    }
}

impl Plan {
    /// Where to work in that step: its own window, or what the steels of the job have in common for
    /// work of that kind. None where nothing is common, and for welding and annealing, for which
    /// steels carry no window.
    ///
    /// ```
    /// use anvilside::plan::read;
    /// let text = std::fs::read_to_string("plans/kitchen-pair.toml")?;
    /// let (mut plan, _) = read(&text).map_err(|found| found[0].to_string())?;
    /// let step = plan.steps.iter_mut().find(|step| step.id.0 == "draw-1").ok_or("no draw")?;
    /// step.window = None;
    /// let step = step.clone();
    /// // SAE 1084 is forged at 815 to 1175 C, 75Ni8 at 815 to 1150 C.
    /// let window = plan.window(&step).ok_or("no window")?;
    /// assert!((window.low.0 - 815.0).abs() < 1e-9 && (window.high.0 - 1150.0).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn window(&self, step: &Step) -> Option<HeatWindow> {
        if step.window.is_some() {
            return step.window;
        }
        let of: fn(&Steel) -> Option<Window> = match step.kind().row().fire {
            Fire::Forging => |steel| steel.forging,
            Fire::Normalising => |steel| steel.normalise,
            Fire::Hardening => |steel| steel.austenitise,
            Fire::Tempering => |steel| steel.temper,
            Fire::None | Fire::Welding | Fire::Annealing => return None,
        };
        let all = self.steels.iter().filter_map(|steel| of(&steel.steel));
        let common = all.reduce(|a, b| Window {
            low: a.low.max(b.low),
            high: a.high.min(b.high),
        })?;
        (common.low < common.high).then_some(HeatWindow {
            low: common.low,
            high: common.high,
        })
    }
}
