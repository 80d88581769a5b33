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
    /// Worked out: from a stated formula, by a reference, or looked up in a table of the program's own.
    Computed,
    /// A rule of the trade: common practice, no source.
    CommonPractice,
    /// Copied by the smith from the maker's sheet of the steel in hand.
    #[serde(rename = "makers-sheet")]
    Sheet,
}

impl Mark {
    /// As it reads behind a figure.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Seen => "published and read",
            Self::FromMemory => "from memory",
            Self::Computed => "computed",
            Self::CommonPractice => "common practice, no source",
            Self::Sheet => "maker's sheet",
        }
    }
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

/// Carbon further than this from what was sold makes a known window another steel's, mass %.
const SAME_CARBON: f64 = 0.05;

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
    pub normalise: Option<Window>,
    /// Austenitising before the quench.
    pub austenitise: Option<Window>,
    /// The usual quench, in words.
    pub quench: Option<String>,
    pub temper: Option<Window>,
    /// Where the figures come from, by figure.
    pub sources: Vec<(String, Source)>,
}

impl Steel {
    /// A steel known only by its analysis, as a plan may define one. Temperatures are left open: the
    /// laws of `physics` work them out of the analysis. Without a density, [`density_of`] gives one.
    #[must_use]
    pub fn from_composition(
        name: impl Into<String>,
        nominal: Composition,
        density: Option<Density>,
    ) -> Self {
        let mut sources = vec![(
            "nominal".to_owned(),
            Source {
                text: "given in the plan".to_owned(),
                mark: Mark::CommonPractice,
            },
        )];
        if density.is_none() {
            sources.push((
                "density".to_owned(),
                Source {
                    text: "iron, cementite and alloying elements by mass".to_owned(),
                    mark: Mark::Computed,
                },
            ));
        }
        Self {
            grade: name.into(),
            aliases: Vec::new(),
            nominal,
            range: None,
            density: density.unwrap_or_else(|| density_of(&nominal)),
            forging: None,
            burning: None,
            normalise: None,
            austenitise: None,
            quench: None,
            temper: None,
            sources,
        }
    }

    /// The source of a figure, by its name in the file: `forging`, `burning`, `temper` and so on.
    #[must_use]
    pub fn source(&self, figure: &str) -> Option<&Source> {
        let hit = self.sources.iter().find(|(name, _)| name == figure);
        hit.map(|(_, source)| source)
    }

    /// Takes the smith's word for a figure: it stands on the maker's sheet.
    pub fn by_sheet(&mut self, figure: &str) {
        self.sources.retain(|(name, _)| name != figure);
        let source = Source {
            text: "written in the plan, from the maker's sheet".to_owned(),
            mark: Mark::Sheet,
        };
        self.sources.push((figure.to_owned(), source));
    }

    /// The known austenitising window and how well it is known, while the steel still holds about the
    /// carbon that it was sold with.
    #[must_use]
    pub fn hardening(&self, carbon: f64) -> Option<(Window, Mark)> {
        let window = self.austenitise.filter(|_| self.holds(carbon, SAME_CARBON));
        window.zip(self.source("austenitise").map(|source| source.mark))
    }

    /// The known tempering window, under the same rule; it hangs less on the carbon.
    #[must_use]
    pub fn tempering(&self, carbon: f64) -> Option<Window> {
        self.temper
            .filter(|_| self.holds(carbon, 4.0 * SAME_CARBON))
    }

    fn holds(&self, carbon: f64, within: f64) -> bool {
        (carbon - self.nominal.c).abs() <= within
    }
}

/// Density at 20 C by the rule of mixtures: specific volumes of ferrite (7.874 g/cm3), cementite
/// (7.69, 6.67 % C) and the alloying elements (handbook densities; silicon 4.3, as dissolved in
/// iron), added by mass. Good to about 0.5 % for steels under 5 % alloy and for nickel.
///
/// ```
/// # use anvilside::metal::{Composition, density_of};
/// let steel = Composition { c: 0.84, mn: 0.75, si: 0.2, ..Composition::default() };
/// assert!((density_of(&steel).0 - 7.83).abs() < 0.02);
/// ```
#[must_use]
pub fn density_of(metal: &Composition) -> Density {
    let cementite = metal.c.clamp(0.0, 6.67) / 6.67 * 100.0;
    let alloy = [
        (metal.mn, 7.43),
        (metal.si, 4.3),
        (metal.cr, 7.19),
        (metal.ni, 8.91),
        (metal.mo, 10.2),
        (metal.v, 6.1),
        (metal.w, 19.3),
        (metal.cu, 8.96),
    ];
    let alloyed: f64 = alloy.iter().map(|(share, _)| share).sum();
    let volume: f64 = alloy.iter().map(|(share, density)| share / density).sum();
    let ferrite = (100.0 - cementite - alloyed).max(0.0);
    let mass = ferrite + cementite + alloyed;
    Density(mass / (ferrite / 7.874 + cementite / 7.69 + volume))
}
