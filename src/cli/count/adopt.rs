//! A plan that adopts a bar of unknown past: the bar as found, and an inspect step to begin with.

use std::fmt::Write as _;
use std::ops::RangeInclusive;
use std::path::{Path, PathBuf};

use clap::Args;

use crate::count::history::History;
use crate::metal::Catalogue;
use crate::plan::{Level, check};
use crate::shell::{draft, paths};
use crate::units::{Density, Grams, Mm, Mm3, Units, parse};

/// Density of carbon steel, g/cm3: the grades differ by half a percent.
pub(super) const STEEL: Density = Density(7.85);
/// Bar volume over that of the knife that the plan asks for: enough for trims, scale and grinding of a plain
/// blade. Common practice, no source.
const SPARE: f64 = 2.5;
/// Width, spine and edge of the blade that stands in the plan until it is changed, mm.
const BLADE: [f64; 3] = [30.0, 3.0, 0.3];
/// Histories that are kept as comments.
const KEPT: usize = 5;

/// The bar that is adopted.
#[derive(Debug, Args)]
pub(super) struct AdoptArgs {
    /// Write a plan that begins with this bar as found, as found.toml; needs --bar
    #[arg(long, value_name = "FILE", requires = "bar")]
    out: Option<PathBuf>,
    /// Width, thickness (across the layers) and length of the bar, mm: 36x20x130
    #[arg(long, value_name = "WxTxL", value_parser = bar, requires = "from")]
    bar: Option<[Mm; 3]>,
    /// Its mass on the scale, as 720g; goes before the sizes
    #[arg(long, value_name = "MASS", value_parser = mass, requires = "from")]
    mass: Option<Grams>,
    /// Its steels by turns, as 1084,15N20, where they are known
    #[arg(long, value_name = "GRADES", value_delimiter = ',', requires = "out")]
    steels: Vec<String>,
}

fn bar(word: &str) -> Result<[Mm; 3], String> {
    let sizes: Vec<Mm> = word
        .split(['x', 'X'])
        .map_while(|part| parse::quantity(part.trim(), Units::Mm).ok())
        .filter(|size: &Mm| size.is_positive())
        .collect();
    match sizes.as_slice() {
        [width, thickness, length] if word.split(['x', 'X']).count() == 3 => {
            Ok([*width, *thickness, *length])
        }
        _ => Err("write width, thickness and length, as 36x20x130".to_owned()),
    }
}

/// Metal by its sizes, as 40x42x120, or by its mass.
pub(super) fn metal(word: &str) -> Result<Mm3, String> {
    match (bar(word), mass(word)) {
        (Ok([width, thickness, length]), _) => Ok(width * thickness * length),
        (_, Ok(mass)) => Ok(mass.volume(STEEL)),
        _ => Err("write width, thickness and length, as 40x42x120, or a mass, as 1580g".to_owned()),
    }
}

fn mass(word: &str) -> Result<Grams, String> {
    match parse::quantity::<Grams>(word, Units::Mm) {
        Ok(mass) if mass.is_positive() => Ok(mass),
        _ => Err("write a mass, as 720g".to_owned()),
    }
}

impl AdoptArgs {
    /// The metal of the bar, as weighed or measured.
    pub(super) fn volume(&self) -> Option<Mm3> {
        let measured = self
            .bar
            .map(|[width, thickness, length]| width * thickness * length);
        self.mass.map(|mass| mass.volume(STEEL)).or(measured)
    }

    /// True where a plan is to be written.
    pub(super) fn is_asked(&self) -> bool {
        self.out.is_some()
    }

    /// Writes the plan, where one is asked for; what is said of it.
    ///
    /// # Errors
    /// Why not, and what to do.
    pub(super) fn write(
        &self,
        bands: &RangeInclusive<u64>,
        histories: &[History],
    ) -> Result<Option<String>, String> {
        let (Some(out), Some(bar)) = (&self.out, self.bar) else {
            return Ok(None);
        };
        let text = self.plan(bar, bands, histories)?;
        let wrong = check(&text)
            .found
            .into_iter()
            .find(|one| one.level == Level::Error);
        if let Some(wrong) = wrong {
            return Err(format!(
                "no plan comes of this bar: {}; {}",
                wrong.what, wrong.remedy
            ));
        }
        let path = draft::save(Path::new(out), &text)?;
        Ok(Some(format!(
            "written: {}; put your own steps and blade into it, then `anvilside work` it",
            paths::show(&path)
        )))
    }

    fn plan(
        &self,
        [width, thickness, length]: [Mm; 3],
        bands: &RangeInclusive<u64>,
        histories: &[History],
    ) -> Result<String, String> {
        let known = Catalogue::builtin();
        let grades: Vec<&str> = self
            .steels
            .iter()
            .map(|name| match known.find(name.trim()) {
                Ok(steel) => Ok(steel.grade.as_str()),
                Err(why) => Err(why.to_string()),
            })
            .collect::<Result<_, _>>()?;
        let stands = [known.find("1084"), known.find("75Ni8")];
        let named: Vec<&str> = match grades.as_slice() {
            [] => stands
                .into_iter()
                .flatten()
                .map(|steel| steel.grade.as_str())
                .collect(),
            own => own.to_vec(),
        };
        let [wide, spine, edge] = BLADE;
        let volume = (width * thickness * length).0;
        let blade = (volume / SPARE / (wide * (spine + edge) / 2.0))
            .clamp(0.0, 250.0)
            .floor();
        if blade < 60.0 {
            return Err("the bar is too small for a blade of 60 mm: nothing to plan".to_owned());
        }
        let (low, high) = (*bands.start(), *bands.end());
        let mut text = String::from(
            "#:schema ./plan.schema.json\n# A bar as found. Blade and steps stand in for your own.\n",
        );
        for history in histories.iter().take(KEPT) {
            let _ = writeln!(
                text,
                "# perhaps {} ({:.0} of 100, a guess)",
                history.words(),
                100.0 * history.share
            );
        }
        let _ = writeln!(
            text,
            "\ntitle = \"A bar as found\"\nunits = \"mm\"\n\n[goal]\npattern = \"random\"\nbands = [{low}, {high}]\n\n\
             [goal.blade]\nlength = {blade}\nwidth = {wide}\nspine = {spine}\nedge = {edge}\n\n[steels]"
        );
        let letters: Vec<char> = ('A'..='Z').take(named.len()).collect();
        for (letter, grade) in letters.iter().zip(&named) {
            let _ = writeln!(text, "{letter} = \"{grade}\"");
        }
        let _ = writeln!(
            text,
            "\n[found]\nwidth = {}\nthickness = {}\nlength = {}",
            width.0, thickness.0, length.0
        );
        if let Some(mass) = self.mass {
            let _ = writeln!(text, "mass = \"{} g\"", mass.0);
        }
        if !grades.is_empty() {
            let names: Vec<String> = letters
                .iter()
                .map(|letter| format!("\"{letter}\""))
                .collect();
            let _ = writeln!(text, "steels = [{}]", names.join(", "));
        }
        let _ = match low == high {
            true => writeln!(text, "bands = {low}"),
            false => writeln!(text, "bands = [{low}, {high}]"),
        };
        text.push_str(
            "\n[[step]]\nkind = \"inspect\"\ntitle = \"Count the bands of the bar as found\"\n\n[[step]]\nkind = \"end-day\"\n",
        );
        Ok(text)
    }
}
