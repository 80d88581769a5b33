//! Numbers with their bands, in the few words that a line has room for.

use crate::physics::Spread;
use crate::ui::model::Model;
use crate::units::{Celsius, Mm, Seconds, Units, show};

/// `0.81 (0.80-0.83)`, the `~` before it.
pub(super) fn band(s: Spread, decimals: usize) -> String {
    let [low, best, high] = [s.low, s.best, s.high].map(|v| show::fixed(v, decimals));
    if low == high {
        format!("~{best}")
    } else {
        format!("~{best} ({low}-{high})")
    }
}

/// `~8 min (7-10 min)`.
pub(super) fn time(s: Spread) -> String {
    around(s, |v| show::span(Seconds(v)))
}

/// `~0.06 mm (0.05-0.07 mm)`.
pub(super) fn length(units: Units, s: Spread) -> String {
    around(s, |v| units.fine(Mm(v)))
}

/// The best value, and the band where it says more.
fn around(s: Spread, say: impl Fn(f64) -> String) -> String {
    let [low, best, high] = [s.low, s.best, s.high].map(say);
    if low == high {
        format!("~{best}")
    } else {
        format!("~{best} ({})", joined(&low, &high))
    }
}

/// Two ends of a band; the unit is said once where it is the same.
fn joined(low: &str, high: &str) -> String {
    match (low.rsplit_once(' '), high.rsplit_once(' ')) {
        (Some((value, unit)), Some((_, other))) if unit == other => format!("{value}-{high}"),
        _ => format!("{low}-{high}"),
    }
}

/// To the nearest mark that a rule shows: the number is an estimate.
pub(super) fn tidy(mm: f64, units: Units) -> Mm {
    match units {
        Units::Mm => Mm(mm.round()),
        Units::Inch => Mm::from_inch((Mm(mm).inch() * 8.0).round() / 8.0),
    }
}

/// What this smith calls a temperature; empty where it does not glow.
pub(super) fn colour(model: &Model, at: Celsius) -> &'static str {
    model.plan().shop.eye.name(at).unwrap_or_default()
}

/// True when a steel of the job has nickel to spread: the bright lines of the pattern.
pub(super) fn has_nickel(model: &Model) -> bool {
    let steels = &model.plan().steels;
    steels.iter().any(|steel| steel.steel.nominal.ni >= 0.5)
}

/// A temperature and what this smith calls it: `1025 C (orange)`.
pub(super) fn heat(model: &Model, at: Celsius) -> String {
    let celsius = model.units().temperature(at);
    match colour(model, at) {
        "" => celsius,
        name => format!("{celsius} ({name})"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_unit_is_said_once() {
        let s = |low: f64, best: f64, high: f64| Spread { low, best, high };
        assert_eq!(time(s(420.0, 480.0, 600.0)), "~8 min (7-10 min)");
        assert_eq!(time(s(60.0, 80.0, 100.0)), "~80 s (60 s-2 min)");
        assert_eq!(
            length(Units::Mm, s(0.05, 0.06, 0.07)),
            "~0.06 mm (0.05-0.07 mm)"
        );
        assert_eq!(time(s(110.0, 120.0, 130.0)), "~2 min");
        assert_eq!(
            length(Units::Inch, s(0.05, 0.06, 0.07)),
            "~0.0024 in (0.002-0.0028 in)"
        );
        assert_eq!(band(s(0.801, 0.802, 0.803), 2), "~0.80");
        assert_eq!(band(s(0.8, 0.81, 0.83), 2), "~0.81 (0.80-0.83)");
    }
}
