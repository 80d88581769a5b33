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
    steel: Vec<SteelRow>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct SteelRow {
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
#[error("no steel is called '{name}'{}", near(nearest))]
pub struct UnknownSteel {
    /// The name as asked for.
    pub name: String,
    /// Known names that are near in name or carbon, best first; none where no grade is.
    pub nearest: Vec<String>,
}

fn near(nearest: &[String]) -> String {
    if nearest.is_empty() {
        ", and no grade of the table is near it".to_owned()
    } else {
        format!("; nearest: {}", nearest.join(", "))
    }
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

    /// One name per grade, nearest first. Near is a letter off in a name of four or more, or a number that
    /// says about the same carbon: a plain carbon grade is never near for its spelling alone, and M2 is
    /// nothing like W2.
    fn nearest(&self, wanted: &str) -> Vec<String> {
        let carbon = carbon_of(wanted);
        let apart = |name: &str| -> Option<f64> {
            let name = key(name);
            match (carbon, carbon_of(&name)) {
                (Some(wanted), Some(own)) => Some((own - wanted).abs()).filter(|off| *off < 0.055),
                (Some(_), None) => None,
                (None, _) => {
                    let letters = crate::units::near::distance(&name, wanted);
                    let most = wanted.chars().count() / 4;
                    #[expect(clippy::cast_precision_loss, reason = "a letter or two")]
                    (letters <= most).then_some(letters as f64)
                }
            }
        };
        let mut best: Vec<(f64, &String)> = self
            .steels
            .iter()
            .filter_map(|steel| {
                let names = std::iter::once(&steel.grade).chain(&steel.aliases);
                let near = names.filter_map(|name| Some((apart(name)?, name)));
                near.min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.len().cmp(&b.1.len())))
            })
            .collect();
        best.sort_by(|a, b| a.0.total_cmp(&b.0));
        let names = best.into_iter().map(|(_, name)| name.clone());
        names.take(3).collect()
    }
}

/// Carbon that the name of a plain carbon steel says, mass %: 1084, SAE 1084, C75S, C105U.
fn carbon_of(key: &str) -> Option<f64> {
    let bare = ["sae", "aisi"]
        .iter()
        .find_map(|body| key.strip_prefix(body))
        .unwrap_or(key);
    let hundredths = match bare.strip_prefix("10") {
        Some(two) if two.len() == 2 => two,
        _ => bare
            .strip_prefix('c')?
            .trim_end_matches(['s', 'u', 'e', 'r']),
    };
    let number: u16 = hundredths.parse().ok()?;
    (number < 200).then_some(f64::from(number) / 100.0)
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

#[cfg(test)]
mod tests {
    use super::*;

    fn shipped() -> Catalogue {
        Catalogue::read(TEXT).unwrap()
    }

    #[test]
    fn the_shipped_file_reads_and_holds_the_grades_a_smith_buys() {
        let steels = shipped();
        assert!(steels.all().len() >= 17);
        assert_eq!(Catalogue::builtin().all().len(), steels.all().len());
        for name in [
            "1018",
            "1045",
            "SAE 1075",
            "1080",
            "1084",
            "sae-1095",
            "15n20",
            "75 Ni 8",
            "80CrV2",
            "C75S",
            "C100S",
            "C125S",
            "O1",
            "95MnWCr5",
            "W1",
            "W2",
            "C105U",
            "52100",
            "100Cr6",
            "Nickel 200",
            "Wrought Iron",
        ] {
            assert!(steels.find(name).is_ok(), "{name}");
        }
    }

    #[test]
    fn every_grade_lies_inside_its_own_range() {
        for steel in shipped().all() {
            let (least, greatest) = steel.range.unwrap();
            assert!(steel.nominal.within(&least, &greatest), "{}", steel.grade);
            assert!(steel.nominal.is_sane(), "{}", steel.grade);
        }
    }

    #[test]
    fn no_name_belongs_to_two_grades() {
        let mut names: Vec<(String, &str)> = Vec::new();
        let steels = shipped();
        for steel in steels.all() {
            for name in std::iter::once(&steel.grade).chain(&steel.aliases) {
                names.push((key(name), &steel.grade));
            }
        }
        names.sort();
        names.dedup();
        for pair in names.windows(2) {
            assert_ne!(pair[0].0, pair[1].0, "{} and {}", pair[0].1, pair[1].1);
        }
    }

    #[test]
    fn windows_open_upwards_and_forging_stays_below_burning() {
        for steel in shipped().all() {
            let windows = [
                steel.forging,
                steel.normalise,
                steel.austenitise,
                steel.temper,
            ];
            for window in windows.into_iter().flatten() {
                assert!(window.low < window.high, "{}", steel.grade);
                assert!(window.low.0 > 100.0 && window.high.0 < 1400.0);
            }
            if let (Some(forging), Some(burning)) = (steel.forging, steel.burning) {
                assert!(forging.high.0 <= burning.0 - 20.0, "{}", steel.grade);
            }
        }
    }

    #[test]
    fn every_figure_has_a_source_and_every_source_a_figure() {
        for steel in shipped().all() {
            let figures = [
                ("nominal", true),
                ("range", steel.range.is_some()),
                ("density", true),
                ("forging", steel.forging.is_some()),
                ("burning", steel.burning.is_some()),
                ("normalise", steel.normalise.is_some()),
                ("austenitise", steel.austenitise.is_some()),
                ("quench", steel.quench.is_some()),
                ("temper", steel.temper.is_some()),
            ];
            for (figure, given) in figures {
                let sourced = steel.source(figure).is_some_and(|s| s.text.len() > 3);
                assert_eq!(given, sourced, "{}: {figure}", steel.grade);
            }
            for (name, _) in &steel.sources {
                assert!(figures.iter().any(|(figure, _)| figure == name), "{name}");
            }
        }
    }

    #[test]
    fn densities_agree_with_the_rule_of_mixtures() {
        for steel in shipped().all() {
            let worked = crate::metal::density_of(&steel.nominal);
            let slack = if steel.grade == "wrought iron" {
                0.2
            } else {
                0.05
            };
            assert!(
                steel.density.near(worked, slack),
                "{}: {} against {}",
                steel.grade,
                steel.density.0,
                worked.0
            );
        }
    }

    #[test]
    fn an_unknown_name_offers_the_nearest() {
        let steels = shipped();
        let why = steels.find("15N2O").unwrap_err();
        assert_eq!(why.nearest.first().map(String::as_str), Some("15N20"));
        assert!(why.to_string().contains("15N20"));
        let why = steels.find("1085").unwrap_err();
        assert!(
            why.nearest.iter().any(|name| name.contains("1084")),
            "{why}"
        );
        assert!(steels.find("").is_err());
    }

    #[test]
    fn an_own_steel_needs_only_its_analysis() {
        let nominal = Composition {
            c: 0.6,
            mn: 0.8,
            ..Composition::default()
        };
        let own = Steel::from_composition("spring from the scrap bin", nominal, None);
        assert!(own.density.near(Density(7.84), 0.02));
        assert!(own.burning.is_none() && own.source("density").is_some());
        let weighed = Steel::from_composition("weighed", nominal, Some(Density(7.8)));
        assert!(weighed.density.near(Density(7.8), 1e-12) && weighed.source("density").is_none());
    }
}
