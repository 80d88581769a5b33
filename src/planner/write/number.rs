//! Numbers of a plan file: written so that reading gives back the very same value.

use crate::units::parse::{self, Quantity};
use crate::units::show::trimmed;
use crate::units::{Celsius, Fraction, Grams, Kilonewtons, Mm, Seconds, Units};

/// Longest number that typed text may have.
const DIGITS: usize = 15;

/// The first candidate that the plan's reader gives back exactly, else the one that it gives back nearest.
fn first_exact<T: Quantity + PartialEq>(
    wanted: T,
    units: Units,
    candidates: impl IntoIterator<Item = String>,
) -> String {
    let mut best: Option<(f64, String)> = None;
    for text in candidates {
        let read: Option<T> = match unquoted(&text) {
            Some(typed) => parse::quantity(typed, units).ok(),
            None => text
                .parse()
                .ok()
                .and_then(|value| parse::bare(value, units).ok()),
        };
        let Some(value) = read else { continue };
        if value == wanted {
            return text;
        }
        let far = (value.bare() - wanted.bare()).abs();
        if best.as_ref().is_none_or(|(nearest, _)| far < *nearest) {
            best = Some((far, text));
        }
    }
    best.map(|(_, text)| text).unwrap_or_default()
}

/// Decimals from few to many, none longer than typed text may be.
fn decimals(value: f64) -> impl Iterator<Item = String> {
    let exact = format!("{value}");
    let exact = (exact.len() <= DIGITS).then_some(exact);
    (0..=9)
        .map(move |places| trimmed(value, places))
        .chain(exact)
        .filter(|text| text.len() <= DIGITS && !text.starts_with('-'))
}

/// Bare TOML numbers whose product with `factor` is near `wanted`: the quotient and its neighbours.
fn bare(wanted: f64, factor: f64) -> impl Iterator<Item = String> {
    let quotient = wanted / factor;
    let bits = quotient.to_bits();
    let finite = quotient.is_finite() && quotient >= 0.0;
    [0_i64, -1, 1, -2, 2]
        .into_iter()
        .filter(move |_| finite)
        .map(move |step| format!("{}", f64::from_bits(bits.saturating_add_signed(step))))
}

fn quoted(text: &str) -> String {
    format!("\"{text}\"")
}

/// Text without the quotes that [`quoted`] put round it; a bare number stays.
fn unquoted(text: &str) -> Option<&str> {
    text.strip_prefix('"')
        .and_then(|rest| rest.strip_suffix('"'))
}

/// A size: a bare number of millimetres, or inch fractions in quotes.
pub(in crate::planner) fn length(units: Units, value: Mm) -> String {
    if units == Units::Mm {
        return format!("{}", value.0);
    }
    let fraction = std::iter::once(quoted(&units.length(value)));
    let metric = decimals(value.0).map(|mm| quoted(&format!("{mm} mm")));
    let bare = bare(value.0, Mm::from_inch(1.0).0);
    first_exact(value, units, fraction.chain(metric).chain(bare))
}

/// A size inside a text, as in `A 6 mm`: always with its unit.
pub(super) fn length_in_text(units: Units, value: Mm) -> String {
    let fraction = (units == Units::Inch).then(|| units.length(value));
    let metric = decimals(value.0).map(|mm| format!("{mm} mm"));
    let inches = decimals(value.inch()).map(|inch| format!("{inch} in"));
    let all = fraction.into_iter().chain(metric).chain(inches);
    let text = first_exact(value, units, all.map(|text| quoted(&text)));
    text.trim_matches('"').to_owned()
}

/// A temperature in quotes.
pub(super) fn temperature(units: Units, value: Celsius) -> String {
    let fahrenheit = decimals(value.fahrenheit()).map(|f| quoted(&format!("{f} F")));
    let celsius = decimals(value.0).map(|c| quoted(&format!("{c} C")));
    match units {
        Units::Mm => {
            let all = celsius.chain(fahrenheit).chain(bare(value.0, 1.0));
            first_exact(value, units, all)
        }
        Units::Inch => first_exact(value, units, fahrenheit.chain(celsius)),
    }
}

/// A time in quotes.
pub(super) fn duration(value: Seconds) -> String {
    let whole = |unit: f64, word: &str| {
        let count = value.0 / unit;
        (count >= 1.0 && (count - count.round()).abs() < 1e-9)
            .then(|| quoted(&format!("{} {word}", trimmed(count, 0))))
    };
    let round = [whole(3600.0, "h"), whole(60.0, "min")]
        .into_iter()
        .flatten();
    let seconds = decimals(value.0).map(|s| quoted(&format!("{s} s")));
    first_exact(value, Units::Mm, round.chain(seconds))
}

/// A share: percent in quotes, or a bare part of one.
pub(super) fn share(value: Fraction) -> String {
    let percent = decimals(value.percent()).map(|p| quoted(&format!("{p} %")));
    first_exact(value, Units::Mm, percent.chain(bare(value.0, 1.0)))
}

/// A force in quotes: tons as presses are rated, or kilonewtons.
pub(super) fn force(value: Kilonewtons) -> String {
    let tons = (0..=3).map(|places| quoted(&format!("{} t", trimmed(value.us_tons(), places))));
    let kn = decimals(value.0).map(|kn| quoted(&format!("{kn} kN")));
    let bare = bare(value.0, Kilonewtons::from_us_tons(1.0).0);
    first_exact(value, Units::Mm, tons.chain(kn).chain(bare))
}

/// A mass in quotes; a bare one only where nothing shorter is exact.
pub(super) fn mass(units: Units, value: Grams) -> String {
    let one = match units {
        Units::Mm => 1.0,
        Units::Inch => Grams::from_pounds(1.0).0,
    };
    let pounds = decimals(value.pounds()).map(|lb| quoted(&format!("{lb} lb")));
    let kilograms = (value.0 >= 1000.0).then(|| decimals(value.kilograms()));
    let kilograms = kilograms
        .into_iter()
        .flatten()
        .map(|kg| quoted(&format!("{kg} kg")));
    let metric = kilograms.chain(decimals(value.0).map(|g| quoted(&format!("{g} g"))));
    let bare = bare(value.0, one);
    match units {
        Units::Mm => first_exact(value, units, metric.chain(pounds).chain(bare)),
        Units::Inch => first_exact(value, units, pounds.chain(metric).chain(bare)),
    }
}

/// A plain number.
pub(super) fn plain(value: f64) -> String {
    format!("{value}")
}

/// A list of texts, one on each line when there is more than one.
pub(super) fn list(texts: &[String]) -> String {
    let quoted: Vec<String> = texts.iter().map(|text| self::text(text)).collect();
    match quoted.as_slice() {
        [] => "[]".to_owned(),
        [one] => format!("[{one}]"),
        many => format!("[\n  {},\n]", many.join(",\n  ")),
    }
}

/// Text between quotes.
pub(in crate::planner) fn text(words: &str) -> String {
    let mut out = String::with_capacity(words.len() + 2);
    out.push('"');
    for c in words.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            c if c.is_control() => out.push_str(&format!("\\u{:04X}", u32::from(c))),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

#[cfg(test)]
mod tests {
    use super::{duration, force, length, length_in_text, mass, share, temperature, text};
    use crate::units::{Celsius, Fraction, Grams, Kilonewtons, Mm, Seconds, Units};

    #[test]
    fn numbers_look_as_a_smith_writes_them() {
        assert_eq!(length(Units::Mm, Mm(345.5)), "345.5");
        assert_eq!(length(Units::Inch, Mm(34.925)), "\"1-3/8 in\"");
        assert_eq!(length(Units::Inch, Mm(40.0)), "\"40 mm\"");
        assert_eq!(length_in_text(Units::Inch, Mm::from_inch(0.125)), "1/8 in");
        assert_eq!(length_in_text(Units::Mm, Mm(6.0)), "6 mm");
        assert_eq!(temperature(Units::Mm, Celsius(1150.0)), "\"1150 C\"");
        assert_eq!(
            temperature(Units::Inch, Celsius::from_fahrenheit(2200.0)),
            "\"2200 F\""
        );
        assert_eq!(duration(Seconds(600.0)), "\"10 min\"");
        assert_eq!(duration(Seconds(7200.0)), "\"2 h\"");
        assert_eq!(duration(Seconds(90.0)), "\"90 s\"");
        assert_eq!(share(Fraction::from_percent(4.0)), "\"4 %\"");
        assert_eq!(force(Kilonewtons::from_us_tons(25.0)), "\"25 t\"");
        assert_eq!(force(Kilonewtons(160.0)), "\"160 kN\"");
        assert_eq!(mass(Units::Mm, Grams(25_000.0)), "\"25 kg\"");
        assert_eq!(mass(Units::Inch, Grams::from_pounds(55.0)), "\"55 lb\"");
        assert_eq!(text("a \"b\" \\"), r#""a \"b\" \\""#);
    }
}
