//! The soak of the piece in the fire: what is wanted, and what it has had.

use super::Model;
use crate::journal::Fire;
use crate::physics::Spread;
use crate::units::{Seconds, show};

impl Model {
    /// Time wanted in the fire, with its band: until the section is hot through, and then the step's
    /// soak. None while the piece is not in the fire or nothing is known.
    #[must_use]
    pub fn soak(&self) -> Option<Spread> {
        if self.session.fire.0 != Fire::In {
            return None;
        }
        let hold = self.session.soak().map_or(0.0, |soak| soak.0);
        let fire = self.reckoned.as_ref().and_then(|found| found.fire.as_ref());
        let through = fire.map_or(Spread::exact(0.0), |fire| fire.through);
        let soaked = fire.map_or(0.0, |fire| fire.soaked.0);
        let need = through.map(|s| s + (hold - soaked).max(0.0));
        (need.best > 0.0).then_some(need)
    }

    /// How much of the soak the piece was not yet held at heat; none where it has it, or nothing is known.
    #[must_use]
    pub fn soak_short(&self) -> Option<Seconds> {
        let fire = self.reckoned.as_ref()?.fire.as_ref()?;
        fire.soak_short(self.session.soak()?)
    }

    /// Why the step in hand can hardly be done by the heat that its piece had: to be asked about once.
    #[must_use]
    pub fn hardly_hot(&self) -> Option<String> {
        let step = self.session.current()?;
        if !step.kind().is_hot() || step.heats == 0 {
            return None;
        }
        let fire = self.reckoned.as_ref()?.fire.as_ref()?;
        let units = self.units();
        if let Some(hottest) = fire.never_hot() {
            return Some(format!(
                "it was at {} at the most (estimate), and the step asks for {}",
                units.about(hottest),
                units.temperature(fire.floor)
            ));
        }
        let (hold, short) = self.session.soak().zip(self.soak_short())?;
        Some(format!(
            "held at heat for ~{} (estimate), and the soak is {}",
            show::span(hold - short),
            show::span(hold)
        ))
    }
}
