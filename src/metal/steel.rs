//! One grade of steel.

use serde::{Deserialize, Serialize};

use super::Composition;
use crate::units::{Celsius, Density};

/// How well a figure is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Mark {
    /// Read in the source named.
    Seen,
    /// Recalled from the source named, not read again.
    FromMemory,
    /// Worked out from a stated formula.
    Computed,
    /// A rule of the trade: common practice, no source.
    CommonPractice,
}

/// Where a figure comes from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// The standard, book, paper or data sheet.
    pub text: String,
    /// How well it is known.
    pub mark: Mark,
}

/// A temperature window.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Window {
    /// Lower end, C.
    pub low: Celsius,
    /// Upper end, C.
    pub high: Celsius,
}

/// One grade: names, analysis, density and the temperatures its makers give.
#[derive(Debug, Clone, PartialEq)]
pub struct Steel {
    /// Standard designation, as `SAE 1084` or `75Ni8`.
    pub grade: String,
    /// Trade grade names and other standards' names.
    pub aliases: Vec<String>,
    /// Nominal analysis, mass %.
    pub nominal: Composition,
    /// Least and greatest of the standard's range, mass %.
    pub range: Option<(Composition, Composition)>,
    /// Density at room temperature.
    pub density: Density,
    /// Forging: stop below `low`, never above `high`.
    pub forging: Option<Window>,
    /// Burning: grain boundaries begin to melt here.
    pub burning: Option<Celsius>,
    /// Normalising.
    pub normalise: Option<Window>,
    /// Austenitising before the quench.
    pub austenitise: Option<Window>,
    /// The usual quench, in words.
    pub quench: Option<String>,
    /// Tempering.
    pub temper: Option<Window>,
    /// Where the figures come from, by figure.
    pub sources: Vec<(String, Source)>,
}
