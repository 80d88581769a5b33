//! The shop: machines and allowances.

use crate::billet::Allowances;
use crate::physics::colours::Eye;
use crate::units::{Celsius, Fraction, Grams, Kilonewtons, Mm};

/// What moves the steel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Machine {
    Hand,
    /// A press of that force.
    Press {
        /// Rated force.
        force: Kilonewtons,
    },
    /// A power hammer of that ram.
    Hammer {
        /// Falling mass.
        ram: Grams,
    },
}

/// What heats the steel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, strum::IntoStaticStr, strum::VariantArray)]
#[strum(serialize_all = "lowercase")]
pub enum Fuel {
    /// Propane or natural gas.
    #[default]
    Gas,
    /// Coal or coke.
    Coal,
    Charcoal,
    /// An induction heater.
    Induction,
    /// An electric oven or kiln.
    Electric,
}

impl Fuel {
    /// What a plan writes for them.
    pub const WORDS: [&'static str; 5] = ["gas", "coal", "charcoal", "induction", "electric"];

    /// What a plan writes for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        self.into()
    }
}

/// What blades are quenched in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, strum::IntoStaticStr, strum::VariantArray)]
#[strum(serialize_all = "lowercase")]
pub enum Quench {
    #[default]
    Oil,
    Water,
    /// Salt in water.
    Brine,
}

impl Quench {
    /// What a plan writes for them.
    pub const WORDS: [&'static str; 3] = ["oil", "water", "brine"];

    /// What a plan writes for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        self.into()
    }
}

/// Quenching oil is used at 45 to 80 C; where its maker's sheet says more, that holds. Common practice, no source.
pub const HOT_OIL: Celsius = Celsius(80.0);
/// Over this no blade is quenched in oil: it is a mistype, as Fahrenheit for Celsius. Common practice, no source.
pub const NO_OIL: Celsius = Celsius(120.0);

/// What the plan says of the shop.
#[derive(Debug, Clone, PartialEq)]
pub struct Shop {
    /// Kerf, grind, trim, scale, marks and limits.
    pub allowances: Allowances,
    /// What moves the steel.
    pub machine: Machine,
    /// Die width along the bar: the bite.
    pub die: Mm,
    /// What heats the steel.
    pub fuel: Fuel,
    /// What blades are quenched in.
    pub quench: Quench,
    /// Hottest the smith lets the fire get.
    pub fire: Celsius,
    /// Share of the scale that grows in still air: 1 in air, less in a rich fire.
    pub fire_scale: Fraction,
    /// Quenching oil's target temperature, where stated.
    pub oil: Option<Celsius>,
    /// How this smith names heat colours: the workshop names, pinned to pyrometer readings.
    pub eye: Eye,
}
