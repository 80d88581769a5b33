//! The built-in grades and look-up by name.

use std::sync::OnceLock;

use serde::Deserialize;

use super::{Composition, Source, Steel, Window};
use crate::units::{Celsius, Density};

/// The table, as shipped.
const TEXT: &str = include_str!("../../shared/steels.toml");

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    steel: Vec<Row>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    grade: String,
    #[serde(default)]
    aliases: Vec<String>,
    nominal: Composition,
    least: Option<Composition>,
    greatest: Option<Composition>,
    density: Density,
    forging: Option<Window>,
    burning: Option<Celsius>,
    normalise: Option<Window>,
    austenitise: Option<Window>,
    quench: Option<String>,
    temper: Option<Window>,
    #[serde(default)]
    sources: std::collections::BTreeMap<String, Source>,
}

/// A name that no grade carries.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("no steel is called '{name}'; nearest: {}", nearest.join(", "))]
pub struct UnknownSteel {
    /// The name as asked for.
    pub name: String,
    /// Nearest known names, best first.
    pub nearest: Vec<String>,
}

/// All grades that the program knows.
#[derive(Debug)]
pub struct Catalogue {
    steels: Vec<Steel>,
}

impl Catalogue {
    /// The grades of `shared/steels.toml`.
    #[must_use]
    pub fn builtin() -> &'static Self {
        static BUILTIN: OnceLock<Catalogue> = OnceLock::new();
        BUILTIN.get_or_init(|| Self::read(TEXT).unwrap_or(Self { steels: Vec::new() }))
    }

    /// Reads a catalogue file.
    ///
    /// # Errors
    /// What is wrong with the text, with its place.
    pub fn read(text: &str) -> Result<Self, toml::de::Error> {
        let file: File = toml::from_str(text)?;
        let steels = file
            .steel
            .into_iter()
            .map(|row| Steel {
                grade: row.grade,
                aliases: row.aliases,
                nominal: row.nominal,
                range: row.least.zip(row.greatest),
                density: row.density,
                forging: row.forging,
                burning: row.burning,
                normalise: row.normalise,
                austenitise: row.austenitise,
                quench: row.quench,
                temper: row.temper,
                sources: row.sources.into_iter().collect(),
            })
            .collect();
        Ok(Self { steels })
    }

    /// Every grade, in file order.
    #[must_use]
    pub fn all(&self) -> &[Steel] {
        &self.steels
    }

    /// The grade of that name or alias; case, spaces and dashes do not matter.
    ///
    /// # Errors
    /// [`UnknownSteel`] with the nearest names.
    pub fn find(&self, name: &str) -> Result<&Steel, UnknownSteel> {
        let wanted = key(name);
        let hit = self.steels.iter().find(|steel| {
            key(&steel.grade) == wanted || steel.aliases.iter().any(|alias| key(alias) == wanted)
        });
        hit.ok_or_else(|| UnknownSteel {
            name: name.to_owned(),
            nearest: self.nearest(&wanted),
        })
    }

    fn nearest(&self, wanted: &str) -> Vec<String> {
        let mut all: Vec<(usize, &String)> = self
            .steels
            .iter()
            .flat_map(|steel| std::iter::once(&steel.grade).chain(&steel.aliases))
            .map(|name| (crate::units::near::distance(&key(name), wanted), name))
            .collect();
        all.sort();
        all.into_iter()
            .take(3)
            .map(|(_, name)| name.clone())
            .collect()
    }
}

fn key(name: &str) -> String {
    let plain: String = name
        .chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_lowercase)
        .collect();
    plain
        .strip_prefix("sae")
        .or_else(|| plain.strip_prefix("aisi"))
        .unwrap_or(&plain)
        .to_owned()
}
