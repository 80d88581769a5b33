//! A move in the making: the billet before and after, what is lost, what is odd.

use std::sync::Arc;

use super::Outcome;
pub(super) use super::refuse::refuse;
use super::sizes::Actual;
use crate::billet::{
    Allowances, Billet, Deformation, Deforms, Fit, Kind, Loss, LossEntry, Move, Reading, Refusal,
    Skin, Warning,
};
use crate::units::{Fraction, Mm, Mm3};

/// Volumes below this are rounding of the machine, not metal (a thousandth of a grain of sand).
const NOTHING: f64 = 1e-6;

pub(super) struct Work<'a> {
    pub(super) was: &'a Billet,
    pub(super) now: Billet,
    pub(super) made: &'a Move,
    pub(super) allow: &'a Allowances,
    pub(super) reading: &'a Reading,
    losses: Vec<LossEntry>,
    pub(super) skin: Skin,
    /// The bars laid on this one, and how many of them are its own pieces.
    pub(super) joined: Vec<Arc<Billet>>,
    pub(super) joined_own: u32,
    pub(super) fits: Vec<Fit>,
    pub(super) warnings: Vec<Warning>,
}

impl<'a> Work<'a> {
    pub(super) fn new(
        was: &'a Billet,
        made: &'a Move,
        allow: &'a Allowances,
        reading: &'a Reading,
    ) -> Self {
        Self {
            was,
            now: was.clone(),
            made,
            allow,
            reading,
            losses: Vec::new(),
            skin: Skin::default(),
            joined: Vec::new(),
            joined_own: 0,
            fits: Vec::new(),
            warnings: Vec::new(),
        }
    }

    pub(super) fn kind(&self) -> Kind {
        self.made.kind()
    }

    /// A length in the units of the shop.
    pub(super) fn say(&self, length: Mm) -> String {
        self.allow.units.length(length)
    }

    pub(super) fn warn(&mut self, key: Option<&'static str>, text: String) {
        self.warn_loss(key, None, text);
    }

    pub(super) fn warn_loss(
        &mut self,
        key: Option<&'static str>,
        loss: Option<Loss>,
        text: String,
    ) {
        self.warnings.push(Warning {
            text,
            key,
            kind: self.kind(),
            loss,
        });
    }

    /// Books a loss over all pieces.
    pub(super) fn lose(&mut self, loss: Loss, volume: Mm3, measured: bool) {
        if volume.0.abs() > NOTHING {
            self.losses.push(LossEntry {
                loss,
                volume,
                measured,
            });
        }
    }

    /// Books what has gone and is not booked yet: metal before and added, less metal now.
    pub(super) fn lose_rest(&mut self, loss: Loss, measured: bool) {
        let before = self.was.volume() + self.was.stock_volume();
        let added = self.now.ledger.added - self.was.ledger.added;
        let after = self.now.volume() + self.now.stock_volume();
        let booked: Mm3 = self.losses.iter().map(|entry| entry.volume).sum();
        self.lose(loss, before + added - after - booked, measured);
    }

    /// Says so when readings found more metal than there was.
    pub(super) fn grown(&mut self, loss: Loss) {
        let before = self.was.volume() + (self.now.ledger.added - self.was.ledger.added);
        let after = self.now.volume() + self.now.stock_volume() - self.was.stock_volume();
        if after.0 > before.0 * 1.01 {
            let text = format!(
                "the readings find {} where {} went in: metal does not grow; measure again, cold, or weigh it",
                self.allow.units.volume(after),
                self.allow.units.volume(before)
            );
            self.warn_loss(None, Some(loss), text);
        }
    }

    /// Says so when calipers and scale do not find the same metal.
    pub(super) fn disagree(&mut self, found: &Actual) {
        if let Some((caliper, scale)) = found.disagree {
            let text = format!(
                "the sizes make {}, the mass {}: the mass is taken, and the length from it; measure again",
                self.allow.units.volume(caliper),
                self.allow.units.volume(scale)
            );
            self.warn(Some("mass"), text);
        }
    }

    pub(super) fn finish(self) -> Outcome {
        let mut billet = self.now;
        billet.ledger.losses.extend_from_slice(&self.losses);
        if self.made.kind().row().deforms != Deforms::Keeps {
            billet.history.push(Deformation {
                made: self.made.clone(),
                before: self.was.outside_sizes(),
                after: billet.outside_sizes(),
                pieces: self.was.pieces,
                skin: self.skin,
                joined: self.joined,
            });
        }
        Outcome {
            billet,
            losses: self.losses,
            warnings: self.warnings,
            fits: self.fits,
        }
    }
}

/// A share that can be lost, from nothing to nearly all.
pub(super) fn share(key: &'static str, share: Fraction) -> Result<f64, Refusal> {
    if share.0.is_finite() && (0.0..1.0).contains(&share.0) {
        return Ok(share.0);
    }
    Err(refuse(
        key,
        format!(
            "{key} of {} % is not a share that can be lost",
            share.percent()
        ),
        "write a share from 0 % to under 100 %",
    ))
}

/// An amount from zero up.
pub(super) fn amount(key: &'static str, amount: Mm) -> Result<Mm, Refusal> {
    if amount.0.is_finite() && amount.0 >= 0.0 {
        return Ok(amount);
    }
    Err(refuse(
        key,
        format!("{key} of {:.3} mm cannot be", amount.0),
        "write a size from 0 up",
    ))
}

/// A size above zero.
pub(super) fn positive(key: &'static str, size: Mm) -> Result<Mm, Refusal> {
    if size.is_positive() {
        return Ok(size);
    }
    Err(refuse(
        key,
        format!("{key} of {:.3} mm is not a size", size.0),
        "write a size above 0",
    ))
}
