//! Flags read as quantities: a unit behind the number, or the system of `--units`.

use super::refused::Refused;
use super::say::Say;
use crate::metal::{Catalogue, Composition, Steel};
use crate::units::parse;
use crate::units::{Celsius, Fraction, Grams, Kilonewtons, Mm, NumberError, Seconds, Units, show};

/// How a question is asked: what bare numbers mean, and what the answer is worded in.
#[derive(Debug, Clone, Copy)]
pub(super) struct Asked {
    /// The units of bare numbers and of the answer.
    pub(super) units: Units,
}

impl Asked {
    /// The words of the answer.
    pub(super) fn say(self) -> Say {
        Say { units: self.units }
    }

    /// A length above nothing.
    pub(super) fn length(self, flag: &str, text: &str) -> Result<Mm, Refused> {
        parse::above_zero(text, self.units).map_err(|why| at(flag, &why))
    }

    /// A length that may be nothing.
    pub(super) fn allowance(self, flag: &str, text: &str) -> Result<Mm, Refused> {
        parse::quantity::<Mm>(text, self.units).map_err(|why| at(flag, &why))
    }

    /// A length, where the flag was given.
    pub(super) fn maybe_length(
        self,
        flag: &str,
        text: Option<&String>,
    ) -> Result<Option<Mm>, Refused> {
        text.map(|text| self.length(flag, text)).transpose()
    }

    /// A temperature.
    pub(super) fn temperature(self, flag: &str, text: &str) -> Result<Celsius, Refused> {
        parse::quantity::<Celsius>(text, self.units).map_err(|why| at(flag, &why))
    }

    /// A difference of temperature in kelvin: `20 C` or `36 F`.
    pub(super) fn difference(self, flag: &str, text: &str) -> Result<f64, Refused> {
        let typed = parse::number(text).map_err(|why| at(flag, &why))?;
        let per_degree = match (typed.unit.as_str(), self.units) {
            ("", Units::Mm) | ("c" | "k" | "°c" | "degc", _) => 1.0,
            ("", Units::Inch) | ("f" | "°f" | "degf", _) => 5.0 / 9.0,
            (unit, _) => {
                return Err(Refused::say(format!(
                    "{flag}: '{}' is not a unit of a difference in temperature; use C or F",
                    show::plain(unit, 12)
                )));
            }
        };
        Ok(typed.value * per_degree)
    }

    /// A mass above nothing.
    pub(super) fn mass(self, flag: &str, text: &str) -> Result<Grams, Refused> {
        parse::above_zero(text, self.units).map_err(|why| at(flag, &why))
    }
}

/// A time above nothing; a bare number is minutes.
pub(super) fn duration(flag: &str, text: &str) -> Result<Seconds, Refused> {
    parse::above_zero(text, Units::Mm).map_err(|why| at(flag, &why))
}

/// A share of a whole.
pub(super) fn share(flag: &str, text: &str) -> Result<Fraction, Refused> {
    parse::quantity::<Fraction>(text, Units::Mm).map_err(|why| at(flag, &why))
}

/// A force above nothing; a bare number is US tons.
pub(super) fn force(flag: &str, text: &str) -> Result<Kilonewtons, Refused> {
    parse::above_zero(text, Units::Mm).map_err(|why| at(flag, &why))
}

/// A plain number, which may carry one of `units`.
pub(super) fn plain(flag: &str, text: &str, units: &[&str]) -> Result<f64, Refused> {
    let typed = parse::number(text).map_err(|why| at(flag, &why))?;
    if typed.unit.is_empty() || units.contains(&typed.unit.as_str()) {
        return Ok(typed.value);
    }
    Err(Refused::say(format!(
        "{flag}: '{}' is not a unit here; give {}",
        show::plain(&typed.unit, 12),
        units.first().copied().unwrap_or("a plain number")
    )))
}

/// A whole number of one or more.
pub(super) fn count(flag: &str, text: &str) -> Result<u64, Refused> {
    let part = parse::number(text).is_ok_and(|typed| typed.value.fract() > 0.0 || typed.fraction);
    if part {
        let text = show::plain(text, 24);
        return Err(Refused::say(format!(
            "{flag}: '{text}' is not a whole number"
        )));
    }
    let count = parse::count(text).map_err(|why| at(flag, &why))?;
    if count == 0 {
        return Err(Refused::say(format!("{flag} must be 1 or more")));
    }
    Ok(count)
}

/// A grade or alias of the table, or an analysis as `c=0.8 mn=0.4 ni=2`.
pub(super) fn steel(flag: &str, text: &str) -> Result<Steel, Refused> {
    if text.contains('=') {
        return analysis(flag, text);
    }
    Ok(Catalogue::builtin().find(text)?.clone())
}

/// Every steel of a flag that may be given more than once.
pub(super) fn steels(flag: &str, texts: &[String]) -> Result<Vec<Steel>, Refused> {
    texts.iter().map(|text| steel(flag, text)).collect()
}

/// Carbon in percent.
pub(super) fn carbon(flag: &str, text: &str) -> Result<f64, Refused> {
    const CARBON: crate::physics::Range = crate::physics::Range {
        law: "steel",
        name: "carbon",
        unit: "%",
        least: 0.0,
        greatest: 2.0,
    };
    Ok(CARBON.check(plain(flag, text, &["%"])?)?)
}

/// A steel's analysis, with the carbon of `--carbon` where that was given.
pub(super) fn with_carbon(steel: &Steel, text: Option<&str>) -> Result<Composition, Refused> {
    Ok(match text {
        Some(text) => steel.nominal.with_carbon(carbon("--carbon", text)?),
        None => steel.nominal,
    })
}

/// Most carbon that steel takes up, %: where cast iron begins (iron-carbon diagram, 2.1 %, from memory).
const MOST_CARBON: f64 = 2.1;
/// An alloy with less iron is no steel, %.
const LEAST_IRON: f64 = 50.0;

fn analysis(flag: &str, text: &str) -> Result<Steel, Refused> {
    let mut metal = Composition::default();
    for part in text.split_whitespace() {
        let (element, share) = part.split_once('=').ok_or_else(|| {
            Refused::say(format!(
                "{flag}: '{}' is not a part of an analysis; write c=0.8 mn=0.4, in percent",
                show::plain(part, 24)
            ))
        })?;
        let value = plain(flag, share, &["%"])?;
        let element = element.to_lowercase();
        let mut known = metal.elements_mut().into_iter();
        let Some((_, place)) = known.find(|(symbol, _)| *symbol == element) else {
            return Err(Refused::say(format!(
                "{flag}: '{}' is not an element that the laws use; use c, mn, si, cr, ni, mo, v, w, cu, p or s",
                show::plain(&element, 12)
            )));
        };
        *place = value;
    }
    if !metal.is_sane() {
        return Err(Refused::say(format!(
            "{flag}: the analysis adds up to more than the whole; give percent by mass, as c=0.8"
        )));
    }
    if metal.c > MOST_CARBON || (metal.iron() < LEAST_IRON && !metal.is_nickel()) {
        return Err(Refused::say(format!(
            "{flag}: no steel has that: carbon is {MOST_CARBON} % at most, and iron the most of it; give percent by mass, as c=0.8"
        )));
    }
    let name = format!("({})", show::plain(text.trim(), 60));
    Ok(Steel::from_composition(name, metal, None))
}

fn at(flag: &str, why: &NumberError) -> Refused {
    Refused::say(format!("{flag}: {why}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    const MM: Asked = Asked { units: Units::Mm };
    const INCH: Asked = Asked { units: Units::Inch };

    #[test]
    fn bare_numbers_follow_the_units() {
        assert!(MM.length("--width", "40").unwrap().near(Mm(40.0), 1e-9));
        assert!(INCH.length("--width", "2").unwrap().near(Mm(50.8), 1e-9));
        assert!(INCH.length("--width", "40mm").unwrap().near(Mm(40.0), 1e-9));
        assert!((INCH.difference("--within", "36").unwrap() - 20.0).abs() < 1e-9);
        assert!((MM.difference("--within", "36 F").unwrap() - 20.0).abs() < 1e-9);
    }

    #[test]
    fn refusals_name_the_flag() {
        let said = |why: Result<Mm, Refused>| why.unwrap_err().text(Units::Mm);
        assert_eq!(
            said(MM.length("--width", "0")),
            "--width: '0' must be greater than zero"
        );
        assert!(said(MM.length("--width", "wide")).starts_with("--width: 'wide' is not a number"));
        assert!(said(MM.length("--width", "3 kg")).contains("use mm, cm or in"));
    }

    #[test]
    fn a_steel_is_a_grade_or_an_analysis() {
        assert_eq!(steel("--steel", "15N20").unwrap().grade, "75Ni8");
        let own = steel("--steel", "C=0.8 Mn=0,4").unwrap();
        assert!((own.nominal.mn - 0.4).abs() < 1e-12);
        let nearest = steel("--steel", "1085").unwrap_err().text(Units::Mm);
        assert!(nearest.contains("nearest: 1084"), "{nearest}");
        for bad in ["c=80 ni=30", "xx=3", "c=0.8 mn", "c=-1", "c=0.8 kg"] {
            assert!(steel("--steel", bad).is_err(), "{bad}");
        }
    }
}
