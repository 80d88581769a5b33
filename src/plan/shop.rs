//! The shop: machines and allowances.

use crate::billet::Allowances;
use crate::physics::colours::Eye;
use crate::units::{Celsius, Fraction, Grams, Kilonewtons, Mm};

/// What moves the steel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Machine {
    /// By hand.
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

/// What the plan says of the shop.
#[derive(Debug, Clone, PartialEq)]
pub struct Shop {
    /// Kerf, grind, trim, scale, marks and limits.
    pub allowances: Allowances,
    /// What moves the steel.
    pub machine: Machine,
    /// Die width along the bar: the bite.
    pub die: Mm,
    /// Hottest the smith lets the fire get.
    pub fire: Celsius,
    /// Share of the scale that grows in still air: 1 in air, less in a rich fire.
    pub fire_scale: Fraction,
    /// Quenching oil's target temperature, where stated.
    pub oil: Option<Celsius>,
    /// How this smith names heat colours: the workshop names, pinned to pyrometer readings.
    pub eye: Eye,
}
